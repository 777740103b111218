package templates

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"rickyard/templates/chart"
)

var (
	cssClass   = regexp.MustCompile(`\.(-?[a-zA-Z][\w-]*)`)
	cssComment = regexp.MustCompile(`(?s)/\*.*?\*/`)
	cssString  = regexp.MustCompile(`"[^"]*"`)
	tagLiteral = regexp.MustCompile(`^[a-z][a-z0-9]*(\.[a-z][\w-]*)+$`)
	oneWord    = regexp.MustCompile(`[a-z][\w-]*`)
)

// styled are the classes that selectors name.
func styled(css string) map[string]bool {
	classes := map[string]bool{}
	for _, m := range cssClass.FindAllStringSubmatch(css, -1) {
		classes[m[1]] = true
	}
	return classes
}

// ruleHeads are the selectors of a style sheet, those within @media too.
func ruleHeads(css string) string {
	css = cssString.ReplaceAllString(cssComment.ReplaceAllString(css, ""), `""`)
	var b strings.Builder
	from := 0
	for i := range css {
		switch css[i] {
		case '{':
			b.WriteString(css[from:i] + "\n")
			from = i + 1
		case '}', ';':
			from = i + 1
		}
	}
	return b.String()
}

// written are the classes that the program puts on elements, and every word in
// its texts.
func written(t *testing.T) (classes map[string]string, words map[string]bool) {
	classes, words = map[string]string{}, map[string]bool{}
	look := func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() && (d.Name() == "node_modules" || d.Name() == "script") {
			return filepath.SkipDir
		}
		if strings.HasSuffix(path, ".js") {
			raw, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			for _, w := range oneWord.FindAllString(string(raw), -1) {
				words[w] = true
			}
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			text, err := strconv.Unquote(lit.Value)
			if err != nil {
				return true
			}
			for _, w := range oneWord.FindAllString(text, -1) {
				words[w] = true
			}
			if tagLiteral.MatchString(text) && htmlNames[text[:strings.IndexByte(text, '.')]] {
				for _, class := range strings.Split(text, ".")[1:] {
					if class != "xhtml" && class != "html" { // a file's name
						classes[class] = path
					}
				}
			}
			return true
		})
		return nil
	}
	for _, dir := range []string{".", "../cmd/rickyard"} {
		if err := filepath.WalkDir(dir, look); err != nil {
			t.Fatal(err)
		}
	}
	return classes, words
}

var htmlNames = map[string]bool{"a": true, "article": true, "aside": true, "body": true, "button": true, "dd": true, "details": true, "div": true, "dl": true, "figure": true,
	"footer": true, "header": true, "img": true, "li": true, "nav": true, "ol": true, "p": true, "search": true, "section": true, "span": true, "table": true, "tbody": true,
	"td": true, "th": true, "tr": true, "ul": true, "label": true}

// What a style sheet names is written somewhere, and what is written has a style,
// or a script that looks for it.
func TestStyleAndPagesAgree(t *testing.T) {
	classes, words := written(t)
	if len(classes) < 40 {
		t.Fatalf("only %d classes are written", len(classes))
	}
	known := styled(ruleHeads(chart.CSS()))
	for _, sheet := range []string{"style.css", "print.css", "ebook.css"} {
		raw, err := os.ReadFile(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for class := range styled(ruleHeads(string(raw))) {
			known[class] = true
			if !words[class] {
				t.Errorf("%s names .%s, and nothing writes it", sheet, class)
			}
		}
	}
	script, err := os.ReadFile("workbook.js")
	if err != nil {
		t.Fatal(err)
	}
	find, err := os.ReadFile("search.js")
	if err != nil {
		t.Fatal(err)
	}
	// What only a reader or a script of the printed page looks for, or nobody: they
	// say what an element is.
	for _, name := range []string{"plain", "what", "at"} {
		delete(classes, name)
	}
	for class, path := range classes {
		if !known[class] && !strings.Contains(string(script)+string(find), "."+class) {
			t.Errorf("%s writes .%s, and no style sheet or script names it", path, class)
		}
	}
}
