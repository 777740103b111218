package templates

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/text/language"

	"rickyard/calc/say"
)

// TestWords holds the words that the pages say against those that there are:
// none may be missing, and none may be left over.
func TestWords(t *testing.T) {
	en, err := ReadWords("en")
	if err != nil {
		t.Fatal(err)
	}
	said, literals := wordsInCode(t)
	known := en.Keys()
	for _, key := range said {
		if !slices.Contains(known, key) {
			t.Errorf("a page says %q, for which there are no words", key)
		}
	}
	for _, key := range known {
		// Or its beginning, to which the code adds the rest.
		if !slices.ContainsFunc(literals, func(l string) bool { return l == key || len(l) > 4 && l[len(l)-1] == '_' && strings.HasPrefix(key, l) }) {
			t.Errorf("words/en.yaml: no page says %q", key)
		}
	}
	if len(said) < 50 {
		t.Errorf("only %d words were found in the code", len(said))
	}
	for _, language := range WordLanguages() {
		words, err := ReadWords(language)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(words.Keys(), known) {
			t.Errorf("words/%s.yaml has other keys than words/en.yaml", language)
		}
		for _, key := range known {
			if a, b := strings.Count(en.text[key], "%"), strings.Count(words.text[key], "%"); a != b {
				t.Errorf("words/%s.yaml: %s has %d places to put something in, and %d in English", language, key, b, a)
			}
		}
	}
	if _, err := ReadWords("tlh"); err == nil {
		t.Error("there are words in a language that there are none in")
	}
	if got := en.Say("no_such_words"); got != "[no_such_words]" {
		t.Errorf("words that are missing show as %q", got)
	}
}

// wordsInCode lists the keys that are given to Say as they stand, and all
// short texts in the code, some of which are handed to Say by way of a table.
func wordsInCode(t *testing.T) (said, literals []string) {
	t.Helper()
	var files []string
	// The engine names some words as well.
	for _, dir := range []string{".", "../calc/enterprise", "../calc/plan", "../calc/risk"} {
		found, err := filepath.Glob(filepath.Join(dir, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	fset := token.NewFileSet()
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(fset, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		sayers := map[string]bool{"Say": true}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.AssignStmt:
				// w := m.words.Say makes w a name for it.
				for i, right := range n.Rhs {
					if s, ok := right.(*ast.SelectorExpr); ok && s.Sel.Name == "Say" {
						if left, ok := n.Lhs[i].(*ast.Ident); ok {
							sayers[left.Name] = true
						}
					}
				}
			case *ast.CallExpr:
				called := ""
				switch f := n.Fun.(type) {
				case *ast.SelectorExpr:
					called = f.Sel.Name
				case *ast.Ident:
					called = f.Name
				}
				if sayers[called] && len(n.Args) > 0 {
					if key, ok := literal(n.Args[0]); ok {
						said = append(said, key)
					}
				}
			case *ast.BasicLit:
				if key, ok := literal(n); ok {
					literals = append(literals, key)
				}
			}
			return true
		})
	}
	return said, literals
}

func literal(n ast.Expr) (string, bool) {
	lit, ok := n.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	text, err := strconv.Unquote(lit.Value)
	return text, err == nil
}

// Numbers in words follow the country: https://cldr.unicode.org, numbers of de
// and de-CH.
func TestNumbersOfCountries(t *testing.T) {
	for tag, want := range map[string]string{"en-GB": "12,345.5", "de": "12.345,5", "de-CH": "12’345.5"} {
		words, err := ReadWordsFor(language.MustParse(tag))
		if err != nil {
			t.Fatal(err)
		}
		if got := say.Number(12345.5, 1).In(words); got != want {
			t.Errorf("%s writes %q, want %q", tag, got, want)
		}
	}
}
