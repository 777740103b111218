package content_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"

	"rickyard/calc/source"
	"rickyard/content"
)

// FuzzLoad loads any chapter and any cautions.yaml, and checks that every
// error has a place and that every formula is read from where it is written.
func FuzzLoad(f *testing.F) {
	archives, err := filepath.Glob("testdata/*.txtar")
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range archives {
		archive, err := txtar.ParseFile(name)
		if err != nil {
			f.Fatal(err)
		}
		cautions := ""
		for _, file := range archive.Files {
			switch {
			case strings.HasSuffix(file.Name, "cautions.yaml"):
				cautions = string(file.Data)
			case strings.HasSuffix(file.Name, ".md"):
				f.Add(string(file.Data), cautions)
			}
		}
	}
	chapters, err := filepath.Glob(hostile + "/*.md")
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range chapters {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(data), "")
	}
	f.Fuzz(func(t *testing.T, chapter, cautions string) {
		book, err := content.Load(fstest.MapFS{
			"content/01-a.md":       {Data: []byte(chapter)},
			"content/cautions.yaml": {Data: []byte(cautions)},
		})
		var errs source.Errors
		if err != nil && !errors.As(err, &errs) {
			t.Fatalf("not source.Errors: %v", err)
		}
		for _, e := range errs {
			if e.Span.File == nil && !strings.HasPrefix(e.Message, "more than") {
				t.Errorf("no place: %v", e)
			}
			e.Detail()
		}
		if len(book.Chapters) != 1 || book.Chapters[0].Doc == nil {
			t.Fatal("the chapter is not returned")
		}
		dump(book)
		names := make(map[string]bool)
		for _, d := range book.Definitions() {
			if names[d.Name] && d.Hidden {
				t.Errorf("two figures shown in place are called %s", d.Name)
			}
			names[d.Name] = true
			if d.Hidden && squeeze(d.Formula.Text()) != d.Label.String() {
				t.Errorf("%s: the formula %q is read as %q", d.Place.Position(), d.Label, d.Formula.Text())
			}
			checkSpan(t, d.Formula)
			checkSpan(t, d.Place)
		}
	})
}

func squeeze(s string) string { return strings.Join(strings.Fields(s), " ") }

// checkSpan checks that a span lies in its file, and that what it leads to is
// a text that was given.
func checkSpan(t *testing.T, s source.Span) {
	t.Helper()
	for _, s := range []source.Span{s, s.Origin()} {
		if s.File == nil || s.Start < 0 || s.Start > s.End || s.End > len(s.File.Text) {
			t.Errorf("a span %d to %d of %v", s.Start, s.End, s.File)
		}
	}
}
