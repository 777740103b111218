package content_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/calc/source"
	"rickyard/content"
)

// wrappers put a fenced block into the blocks that can hold one.
var wrappers = []struct{ name, first, rest string }{
	{"at the margin", "", ""},
	{"indented", "   ", "   "},
	{"in a quote", "> ", "> "},
	{"in a tight quote", ">", ">"},
	{"in a list", "- ", "  "},
	{"in a numbered list", "12. ", "    "},
	{"in a list in a quote", "> - ", ">   "},
	{"in a quote in a list", "- > ", "  > "},
	{"after a tab", "-\t", "\t"},
	{"in quotes in quotes", "> > > ", "> > > "},
}

// wrapped has ~ where a chapter has a backtick.
const wrapped = `~~~calc
title: About ~calc: one~
Ünits sold: sold = 320 bird *
  (1 - 4 %) *
# a remark
  two
> a note with ~calc: three + 1~
Total: total = sold
~~~

~~~table
title: 'It''s ~calc: four~'
rows:
  - five
  - {label: "A \"six\"", figure: "six * 6"}
  - label: seven
    figure: >
      seven *
      7
note: "Wörds and ~calc: eight~"
~~~
`

// TestSpans checks that each formula is reported at the place where it is
// found by hand, however the block that holds it is nested and the lines end.
func TestSpans(t *testing.T) {
	body := strings.ReplaceAll(wrapped, "~", "`")
	formulas := []string{"one", "320 bird *", "three + 1", "sold", "four", "five", "six * 6", "seven *", "eight"}
	for _, w := range wrappers {
		for _, end := range []string{"\n", "\r\n"} {
			text := "```chapter\ntitle: A\n```\n\n"
			for i, line := range strings.Split(strings.TrimSuffix(body, "\n"), "\n") {
				prefix := w.rest
				if i == 0 {
					prefix = w.first
				}
				text += strings.TrimRight(prefix+line, " ") + "\n"
			}
			text = strings.ReplaceAll(text, "\n", end)
			book, err := content.Load(fstest.MapFS{"content/01-a.md": {Data: []byte(text)}})
			if err != nil {
				t.Errorf("%s %q: %v", w.name, end, err)
				continue
			}
			file := source.New("content/01-a.md", text)
			got := make(map[string]source.Position)
			for _, d := range book.Definitions() {
				got[squeeze(d.Formula.Text())] = d.Formula.Position()
			}
			for _, formula := range formulas {
				at := strings.Index(text, formula)
				if formula == "sold" {
					at = strings.Index(text, "total = sold") + len("total = ")
				}
				full := formula
				switch formula {
				case "320 bird *":
					full = "320 bird * (1 - 4 %) * two"
				case "seven *":
					full = "seven * 7"
				}
				if got[full] != file.Position(at) {
					t.Errorf("%s %q: %q is at %v, want %v", w.name, end, full, got[full], file.Position(at))
				}
			}
			if t.Failed() {
				t.Logf("%s\n%v", text, got)
				return
			}
		}
	}
}

// TestByteOrderMark checks that a chapter saved with a byte order mark is read
// as one without.
func TestByteOrderMark(t *testing.T) {
	book, err := content.Load(fstest.MapFS{"content/01-a.md": {Data: []byte("\ufeff```chapter\ntitle: A\n```\n")}})
	if err != nil || book.Chapters[0].Title != "A" {
		t.Error(err)
	}
}

func TestOrder(t *testing.T) {
	fsys := fstest.MapFS{}
	for _, name := range []string{"10-ten.md", "9-nine.md", "009-eight.md", "100-last.md", "notes.txt", "demo.go"} {
		fsys["content/"+name] = &fstest.MapFile{Data: []byte("```chapter\ntitle: A\n```\n")}
	}
	book, err := content.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, ch := range book.Chapters {
		names = append(names, ch.Name)
	}
	if got := strings.Join(names, " "); got != "eight nine ten last" {
		t.Errorf("got %s", got)
	}
	if book.Chapter("ten") != book.Chapters[2] || book.Chapter("eleven") != nil {
		t.Error("Chapter finds the wrong one")
	}
}

func TestNoChapters(t *testing.T) {
	for want, fsys := range map[string]fstest.MapFS{
		"there is no folder content with chapters": {},
		"the folder content has no chapters":       {"content/x.txt": {}},
		"content is not a folder of its own":       {"content": {}},
	} {
		book, err := content.Load(fsys)
		if err == nil || !strings.Contains(err.Error(), want) || book == nil {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}
