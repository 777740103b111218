package content_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/content"
	"rickyard/data/leaf"
)

// manual returns the examples of the package's documentation, each a text of
// several lines.
func manual(t *testing.T) (text string, examples []string) {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "doc.go", nil, parser.ParseComments|parser.PackageClauseOnly)
	if err != nil {
		t.Fatal(err)
	}
	var doc *ast.CommentGroup = file.Doc
	text = doc.Text()
	var example strings.Builder
	for _, line := range strings.Split(text+"\nend", "\n") {
		if code, ok := strings.CutPrefix(line, "\t"); ok {
			example.WriteString(code + "\n")
		} else if example.Len() > 0 {
			examples = append(examples, example.String())
			example.Reset()
		}
	}
	return text, examples
}

// manualLine is how the manual explains what show may be.
func manualLine(s content.Show) string {
	needs := map[content.Need]string{content.Must: " (needs of)", content.May: " (may have of)", content.Never: ""}
	line := fmt.Sprintf("\t%-16s  %s%s", s.Word, s.What, needs[s.Of])
	if c := s.Chart; c != nil {
		what := ""
		if c.What != "" {
			what = ", " + c.What
		}
		if c.Of != s.Of {
			what += needs[c.Of]
		}
		line += "; as a chart: " + leaf.List(c.Shapes, "or") + what
	}
	return line + "\n"
}

// TestManual loads the examples of the manual as one chapter and parses every
// formula in them.
func TestManual(t *testing.T) {
	text, examples := manual(t)
	var chapter, cautions, glossary strings.Builder
	blocks := 0
	for _, example := range examples {
		switch {
		case strings.HasPrefix(example, "~~~"), strings.HasPrefix(example, "##"), strings.Contains(example, "`calc:"), strings.Contains(example, "]("):
			blocks += strings.Count(example, "~~~") / 2
			chapter.WriteString("\n" + example + "\n")
		case strings.HasPrefix(example, "heat_lamps:"):
			cautions.WriteString(example)
		case strings.HasPrefix(example, "gross margin:"):
			glossary.WriteString(example)
		}
	}
	if blocks < 8 {
		t.Fatalf("only %d blocks found in the manual", blocks)
	}
	cautions.WriteString("fire: {title: Fire, text: x}\ncontracts: {title: Contracts, text: x}\n")
	other := func(title string) *fstest.MapFile {
		return &fstest.MapFile{Data: []byte("```chapter\ntitle: " + title + "\n```\n\n## Borrowing the rest\n")}
	}
	book, err := content.Load(fstest.MapFS{
		"content/01-manual.md":           {Data: []byte(strings.TrimLeft(chapter.String(), "\n") + "\n## What can go wrong\n")},
		"content/02-start-up.md":         other("Start"),
		"content/05-garden.md":           other("Garden"),
		"content/cautions.yaml":          {Data: []byte(cautions.String())},
		"content/glossary.yaml":          {Data: []byte(glossary.String())},
		"content/pictures/field-pen.svg": {Data: []byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`)},
	})
	if err != nil {
		t.Fatalf("%s\n%s", details(err), chapter.String())
	}
	if len(book.Glossary) != 1 || book.Cautions["heat_lamps"] == nil {
		t.Error("the manual's cautions or its glossary were not read")
	}
	units, err := quantity.NewSystem("GBP", []quantity.Thing{{Name: "bird"}, {Name: "batch", Plural: "batches"}})
	if err != nil {
		t.Fatal(err)
	}
	definitions := book.Definitions()
	if len(definitions) < 25 {
		t.Errorf("only %d figures found in the manual", len(definitions))
	}
	for _, d := range definitions {
		if _, err := formula.Parse(d.Formula, units); err != nil {
			t.Error(err)
		}
	}
	for _, show := range content.Shows {
		if line := manualLine(show); !strings.Contains(text, line) {
			t.Errorf("the manual does not explain show: %s\n%s", show.Word, line)
		}
	}
	for _, shape := range content.Shapes {
		if !strings.Contains(text, "\t"+shape.Word+" ") || !strings.Contains(text, shape.What) {
			t.Errorf("the manual does not explain kind: %s", shape.Word)
		}
	}
	for _, kind := range content.Drawings {
		if !strings.Contains(text, "\t"+kind.Word+" ") || !strings.Contains(text, kind.What) {
			t.Errorf("the manual does not explain the drawing %s", kind.Word)
		}
		for _, key := range kind.Keys {
			if !strings.Contains(text, key.Key) || !strings.Contains(text, key.What) {
				t.Errorf("the manual does not explain %s of the drawing %s", key.Key, kind.Word)
			}
		}
	}
	for _, sort := range content.Sorts {
		if !strings.Contains(text, sort) {
			t.Errorf("the manual does not explain sort: %s", sort)
		}
	}
}
