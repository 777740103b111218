package content_test

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/diff"
	"github.com/rogpeppe/go-internal/txtar"

	"rickyard/calc/source"
	"rickyard/content"
)

var update = flag.Bool("update", false, "rewrite the expected parts of testdata/*.txtar")

// TestCases loads the book in each archive of testdata and compares its tree
// (-- tree --) and its errors with the lines they quote (-- errors --).
func TestCases(t *testing.T) {
	names, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(names) == 0 {
		t.Fatal("no cases", err)
	}
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			fsys, want := unpack(archive)
			book, err := content.Load(fsys)
			got := map[string]string{}
			if err == nil {
				got["tree"] = dump(book)
			} else {
				got["errors"] = details(err)
				if _, both := want["tree"]; both {
					got["tree"] = dump(book)
				}
			}
			if *update {
				files := archive.Files[:0:0]
				for _, f := range archive.Files {
					if isInput(f.Name) {
						files = append(files, f)
					}
				}
				for _, part := range []string{"tree", "errors"} {
					if text, ok := got[part]; ok {
						files = append(files, txtar.File{Name: part, Data: []byte(text)})
					}
				}
				archive.Files = files
				if err := os.WriteFile(name, txtar.Format(archive), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			for _, part := range []string{"tree", "errors"} {
				if got[part] != want[part] {
					t.Errorf("%s:\n%s", part, diff.Diff("want", []byte(want[part]), "got", []byte(got[part])))
				}
			}
		})
	}
}

func isInput(name string) bool { return strings.HasPrefix(name, "content/") }

func unpack(archive *txtar.Archive) (fstest.MapFS, map[string]string) {
	fsys, want := fstest.MapFS{}, map[string]string{}
	for _, f := range archive.Files {
		if isInput(f.Name) {
			fsys[f.Name] = &fstest.MapFile{Data: f.Data}
		} else {
			want[f.Name] = string(f.Data)
		}
	}
	return fsys, want
}

func details(err error) string {
	var errs source.Errors
	if !errors.As(err, &errs) {
		return "not source.Errors: " + err.Error()
	}
	var b strings.Builder
	for _, e := range errs {
		b.WriteString(e.Kind.Sort() + ": " + e.Detail())
	}
	return b.String()
}

// load returns the book with one chapter; the text stands after its chapter
// block.
func load(t *testing.T, text string) (*content.Book, error) {
	t.Helper()
	return content.Load(fstest.MapFS{"content/01-goal.md": {Data: []byte("```chapter\ntitle: Goal\n```\n\n" + text)}})
}

// BenchmarkLoad loads workbooks of 10 and 100 chapters.
func BenchmarkLoad(b *testing.B) {
	archive, err := txtar.ParseFile("testdata/figures.txtar")
	if err != nil {
		b.Fatal(err)
	}
	text := archive.Files[0].Data
	for _, chapters := range []int{10, 100} {
		b.Run(fmt.Sprint(chapters), func(b *testing.B) {
			fsys := fstest.MapFS{}
			for i := range chapters {
				fsys[fmt.Sprintf("content/%d-c%d.md", i, i)] = &fstest.MapFile{Data: text}
			}
			for b.Loop() {
				if _, err := content.Load(fsys); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// TestCalcTitle: quotation marks round a title are not part of it, as in the
// blocks that are YAML; those inside it are.
func TestCalcTitle(t *testing.T) {
	for written, want := range map[string]string{
		`From a hen to her eggs`:     "From a hen to her eggs",
		`"Hens, the first year"`:     "Hens, the first year",
		`'Hens, the first year'`:     "Hens, the first year",
		`"Good" birds and "bad"`:     "\u201cGood\u201d birds and \u201cbad\u201d",
		`Two and a half "good" hens`: "Two and a half \u201cgood\u201d hens",
	} {
		book, err := load(t, "```calc\ntitle: "+written+"\nHens: hens = 3\n```\n")
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for n := book.Chapters[0].Doc.FirstChild(); n != nil; n = n.NextSibling() {
			if c, ok := n.(*content.CalcBlock); ok {
				got = c.Title.Plain()
			}
		}
		if got != want {
			t.Errorf("title: %s is shown as %q, want %q", written, got, want)
		}
	}
}
