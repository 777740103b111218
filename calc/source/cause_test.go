package source

import (
	"strings"
	"testing"
)

// What names a missing thing, or anything under it, has one cause, and the data
// comes before the chapters.
func TestCauses(t *testing.T) {
	farm := New("data/farm.yaml", "plan: [hens]\n")
	chapter := New("content/01-goal.md", "hens.eggs hens.eggs hens.feed goats\n")
	unknown := func(f *File, from int, name string) *Error {
		return Errorf(Unknown{Name: name}, f.Span(from, from+len(name)), "no figure is called %s", name)
	}
	slip := Errorf(Syntax, farm.Span(0, 4), "a slip").With("mend it")
	slip.Follow(chapter.Span(30, 35))
	slip.Follow(chapter.Span(30, 35))
	slip.Follow(chapter.Span(0, 4))
	errs := Errors{
		unknown(chapter, 0, "hens.eggs"), unknown(chapter, 10, "hens.eggs"), unknown(chapter, 20, "hens.feed"),
		unknown(chapter, 30, "goats"), unknown(farm, 7, "hens"), slip, Warningf(farm.Span(0, 4), "hardly"),
	}
	var b strings.Builder
	for _, e := range errs.Err().(Errors) {
		b.WriteString(e.Detail())
	}
	const want = `data/farm.yaml:1:1: a slip
  plan: [hens]
  ^^^^
  mend it
  and 2 places that need it
data/farm.yaml:1:8: no figure is called hens
  plan: [hens]
         ^^^^
  and 3 places that need it
content/01-goal.md:1:31: no figure is called goats
  hens.eggs hens.eggs hens.feed goats
                                ^^^^^
`
	if b.String() != want {
		t.Errorf("got\n%s\nexpected\n%s", b.String(), want)
	}
	all := errs.Err().(Errors)[0].Everything()
	if !strings.HasSuffix(all, "  content/01-goal.md:1:1 needs it\n  content/01-goal.md:1:31 needs it\n") {
		t.Errorf("all: %s", all)
	}
	warnings := errs.Of(Warning)
	if len(warnings) != 1 || warnings.Err() != nil || !strings.HasPrefix(warnings[0].Detail(), "data/farm.yaml:1:1: look at this: hardly\n") {
		t.Errorf("warnings: %v", warnings)
	}
}
