package data

import (
	"go/parser"
	"go/token"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
)

// manual is the text of the package comment.
func manual(t *testing.T) string {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), "doc.go", nil, parser.ParseComments)
	if err != nil {
		t.Fatal(err)
	}
	return f.Doc.Text()
}

// The examples of the manual are one farm, and it can be read.
func TestManualExamples(t *testing.T) {
	files := fstest.MapFS{}
	var name string
	for _, line := range strings.Split(manual(t), "\n") {
		if rest, ok := strings.CutPrefix(line, "An example, "); ok {
			name = strings.TrimSuffix(rest, ":")
			files[name] = &fstest.MapFile{}
			continue
		}
		code, ok := strings.CutPrefix(line, "\t")
		if name != "" && (ok || line == "") {
			files[name].Data = append(files[name].Data, code+"\n"...)
		} else {
			name = ""
		}
	}
	if len(files) != len(kinds) {
		t.Fatalf("the manual has examples of %d files, want %d", len(files), len(kinds))
	}
	f, err := Load(files)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Enterprises) != 1 || len(f.Enterprises[0].Lines) != 9 || f.Horizon != 6 {
		t.Errorf("the manual's farm is not read whole: %d enterprises", len(f.Enterprises))
	}
	s := compile(t, "")
	for name, file := range files {
		if err := s.Validate(plainValue(t, file.Data)); err != nil {
			t.Errorf("%s: the schema refuses the manual's example: %v", name, err)
		}
	}
}

// Every key that the reader knows is explained in the manual.
func TestManualNamesEveryKey(t *testing.T) {
	text := manual(t)
	for _, k := range kinds {
		walk(k.is, func(s *shape) {
			for _, f := range s.fields {
				if !regexp.MustCompile(`\b` + f.key + `\b`).MatchString(text) {
					t.Errorf("the manual does not mention %s of %s", f.key, s.noun)
				}
			}
			for _, word := range s.words {
				if !regexp.MustCompile(`\b` + word + `\b`).MatchString(text) {
					t.Errorf("the manual does not mention the word %s", word)
				}
			}
		})
	}
}

// walk visits a shape and all that it is made of.
func walk(s *shape, visit func(*shape)) {
	if s == nil {
		return
	}
	visit(s)
	for _, f := range s.fields {
		walk(f.is, visit)
	}
	for _, v := range s.variants {
		walk(v.is, visit)
	}
	walk(s.of, visit)
	walk(s.short, visit)
	walk(s.long, visit)
	switch s.form {
	case leafForm, lineForm, amountForm:
		walk(leafRecord(s.want, s.single), visit)
	case formulaForm:
		walk(formulaRecord, visit)
	}
}
