package leaf

import (
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"rickyard/calc/source"
)

// read reads a text that stands in a file after some other lines, each of its
// lines behind a quote's mark, as a block of a chapter can.
func read(t *testing.T, text string) (*Document, source.Errors) {
	t.Helper()
	var errs source.Errors
	whole := "above\n> " + strings.ReplaceAll(text, "\n", "\n> ")
	outer := Whole(source.New("a.md", whole))
	var lines [][2]int
	for at := len("above\n> "); at <= len(whole); {
		end := LineEnd(whole, at)
		lines = append(lines, [2]int{at, end})
		at = end + len("\n> ")
	}
	d := Read(outer.Joined(lines), func(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
		errs = append(errs, source.Errorf(kind, at, format, args...))
		return errs[len(errs)-1]
	})
	outer.Finish()
	return d, errs
}

// Each slip is told in a farmer's words, at the place where it was made.
func TestSlips(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"a: b: c\nd: 1", "a.md:2:7: a colon is out of place here: this line is indented wrongly, or a text that contains a colon lacks quotes; line the key up with its neighbours, or put the text in quotes"},
		{"a: 1\n\tb: 2", "a.md:3:3: there is a tab in the indentation; YAML allows only spaces there; replace it by spaces"},
		{"a: [1, 2\nb: 3", "a.md:2:6: the list that begins here with [ is not closed or lacks a comma; close it with ], part its entries by commas, and put a formula that holds a comma in quotes"},
		{"a: {b: 1\nc: 3", "a.md:2:6: the entries that begin here with { are not closed or lack a comma; close them with }, part them by commas, and put a formula that holds a comma in quotes"},
		{"a: \"b\nc: 3", "a.md:2:6: a quote that opens here is never closed; close it"},
		{"a: `b`", "a.md:2:6: a value can't begin with this character; put the value in quotes"},
		{"a: 1\n b\nc", "a.md:4:3: a key lacks its colon here; write key: value"},
		{"a: &x 1", "a.md:2:6: &x gives a value a name to copy it from; this is not used here; write the value out wherever it is needed, or use a named figure in a formula"},
		{"a: !!str 1", "a.md:2:6: a type that begins with ! is not used here; delete it and write the value alone"},
		{"a: 1\n---\nb: 2", "a.md:4:3: a second YAML document starts here; expected one document; delete the line --- above it, or move what follows to a file of its own"},
		{"a: \u202e1", "a.md:2:6: a hidden character (U+202E) stands here that turns the direction of the text; delete it"},
		{"a: \x01", "a.md:2:6: there is an invisible control character here (U+0001); delete it"},
	} {
		if d, errs := read(t, c.text); errs.Error() != c.want || d.Root != nil {
			t.Errorf("%q:\ngot  %s\nwant %s", c.text, errs.Error(), c.want)
		}
	}
}

// Keys that come twice, or are no keys, are told once and left out.
func TestEntries(t *testing.T) {
	d, errs := read(t, "a: 1\n? [x]\n: 2\na: 3\nb: 4")
	if d.Root == nil {
		t.Fatal(errs)
	}
	var got []string
	var fails source.Errors
	d.fail = func(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
		fails = append(fails, source.Errorf(kind, at, format, args...))
		return fails[len(fails)-1]
	}
	whole := d.Entries(d.Root, func(e Entry) bool {
		got = append(got, e.Key+"="+e.Value.Value)
		return true
	})
	const want = `a.md:3:5: a key must be a single word; if this was meant to be a value, put it in quotes
a.md:5:3: "a" is given twice; the first is at a.md:2:3; delete or rename one of them`
	if strings.Join(got, " ") != "a=1 b=4" || whole || fails.Error() != want {
		t.Errorf("read %v (whole: %v) with %s", got, whole, fails)
	}
}

// A value is found again where it is written, whatever its quotes.
func TestPlaces(t *testing.T) {
	for _, c := range []struct{ text, value, place string }{
		{"a: one two", "one two", "a.md:2:6"},
		{"a: 'one ''two'", "one 'two", "a.md:2:7"},
		{`a: "one \"two"`, `one "two`, "a.md:2:7"},
		{"a: >\n  one\n  two", "one two", "a.md:3:5"},
		{"ä: ünits", "ünits", "a.md:2:6"},
	} {
		d, errs := read(t, c.text)
		if errs != nil || d.Root.Kind != yaml.MappingNode {
			t.Fatal(errs)
		}
		n := d.Root.Content[1]
		if at := d.At(n).Position().String(); at != c.place {
			t.Errorf("%q stands at %s, want %s", c.text, at, c.place)
		}
		if f := d.Formula(n); strings.Join(strings.Fields(f.Text()), " ") != c.value || f.Position().String() != c.place {
			t.Errorf("%q reads %q at %s, want %q", c.text, f.Text(), f.Position(), c.value)
		}
	}
}
