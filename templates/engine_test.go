package templates

import (
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"go/types"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// TestEngineWords holds the words files against all that the program says of
// its own: what packages below templates name and tell, which units and months
// there are, and the reasons in the formulas that they write.
func TestEngineWords(t *testing.T) {
	said := engineTexts(t)
	if len(said) < 400 {
		t.Errorf("only %d texts were found in the code", len(said))
	}
	for _, language := range WordLanguages() {
		words, err := ReadWords(language)
		if err != nil {
			t.Fatal(err)
		}
		if language == "en" {
			if len(words.engine) > 0 {
				t.Errorf("words/en.yaml translates what is English already: %v", slices.Sorted(maps.Keys(words.engine)))
			}
			continue
		}
		missing := 0
		for _, english := range slices.Sorted(maps.Keys(said)) {
			text, ok := words.engine[english]
			switch {
			case !ok && wordless(english):
			case !ok:
				missing++
				t.Errorf("words/%s.yaml has no words under engine: for %q, said at %s", language, english, said[english])
			case !samePlaces(english, text):
				t.Errorf("words/%s.yaml: %q puts in other things than %q", language, text, english)
			}
		}
		for english := range words.engine {
			if _, ok := said[english]; !ok {
				t.Errorf("words/%s.yaml: nothing says %q any more", language, english)
			}
		}
		t.Logf("%s: %d of %d texts of the engine", language, len(said)-missing, len(said))
	}
}

// wordless reports whether a text says nothing but what is put in, and marks.
func wordless(english string) bool {
	english, _, _ = strings.Cut(english, "|")
	return !strings.ContainsFunc(verb.ReplaceAllString(english, ""), func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) })
}

var verb = regexp.MustCompile(`%(\[(\d)\])?[sd]|%%|%.`)

// samePlaces reports whether a translation puts in what the English text does,
// in whatever order.
func samePlaces(english, translated string) bool {
	count := func(text string) map[string]int {
		n, places := 0, map[string]int{}
		for _, m := range verb.FindAllStringSubmatch(text, -1) {
			switch {
			case m[0] == "%%":
			case m[2] != "":
				n, _ = strconv.Atoi(m[2])
				places[m[2]] = 1
			default:
				n++
				places[strconv.Itoa(n)] = 1
			}
		}
		return places
	}
	return maps.Equal(count(english), count(translated))
}

// inFormula is a reason in a formula that the engine writes.
var inFormula = regexp.MustCompile(`none\("([^"]+)"\)`)

// engineTexts lists the constants that the code uses as texts of its own, with
// the place of each. The packages are checked by go/types, which tells where an
// untyped constant becomes a say.Text.
func engineTexts(t *testing.T) map[string]string {
	t.Helper()
	said := map[string]string{}
	l := &codeLoader{t: t, fset: token.NewFileSet(), packages: map[string]*types.Package{}, info: &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}}
	for _, dir := range []string{"calc", "data", "content", "templates", "cmd"} {
		err := filepath.WalkDir(filepath.Join("..", dir), func(path string, d os.DirEntry, err error) error {
			if err != nil || !d.IsDir() {
				return err
			}
			if name := d.Name(); name == "testdata" || name == "node_modules" || name == "script" {
				return filepath.SkipDir
			}
			if found, _ := filepath.Glob(filepath.Join(path, "*.go")); len(found) > 0 {
				_, err = l.Import("rickyard/" + filepath.ToSlash(strings.TrimPrefix(path, ".."+string(filepath.Separator))))
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for expr, of := range l.info.Types {
		if of.Type == nil || of.Type.String() != "rickyard/calc/say.Text" {
			continue
		}
		at := l.fset.Position(expr.Pos())
		place := filepath.ToSlash(at.Filename) + ":" + strconv.Itoa(at.Line)
		if strings.Contains(place, "calc/say/") {
			continue
		}
		if of.Value != nil {
			if text := constant.StringVal(of.Value); text != "" {
				said[text] = place
			}
			continue
		}
		switch e := expr.(type) {
		case *ast.BinaryExpr:
			t.Errorf("%s: texts are joined with +, which no language file can translate; use say.With", place)
		case *ast.CallExpr: // a conversion of what is not a constant
			if name, ok := e.Fun.(*ast.SelectorExpr); ok && l.info.Types[name].IsType() && !slices.ContainsFunc(converted, func(file string) bool { return strings.Contains(place, file) }) {
				t.Errorf("%s: a text that is not a constant is taken for the program's own; use say.Own", place)
			}
		}
	}
	for _, months := range [][12]say.Text{say.Months, say.ShortMonths} {
		for _, month := range months {
			said[string(month)] = "calc/say"
		}
	}
	for i := range quantity.Standard {
		if d := &quantity.Standard[i]; d.Plural != "" {
			name := d.Shown
			if name == "" {
				name = d.Symbol
			}
			said[name+"|unit"], said[d.Plural+"|unit"] = "calc/quantity", "calc/quantity"
		}
	}
	for text, place := range l.reasons {
		said[text] = place
	}
	return said
}

// converted are the files that rightly turn texts which they were given into
// the program's own: a reason read back from a formula of the engine's.
var converted = []string{"calc/formula/function.go", "calc/figures/values.go", "templates/workings.go"}

// A codeLoader checks the module's packages. Those of others are taken for
// empty, which leaves errors behind but no wrong constants.
type codeLoader struct {
	t        *testing.T
	fset     *token.FileSet
	packages map[string]*types.Package
	info     *types.Info
	reasons  map[string]string
}

func (l *codeLoader) Import(path string) (*types.Package, error) {
	if p := l.packages[path]; p != nil {
		return p, nil
	}
	dir, ours := strings.CutPrefix(path, "rickyard/")
	if !ours {
		p := types.NewPackage(path, filepath.Base(path))
		p.MarkComplete()
		l.packages[path] = p
		return p, nil
	}
	names, err := filepath.Glob(filepath.Join("..", filepath.FromSlash(dir), "*.go"))
	if err != nil {
		return nil, err
	}
	var files []*ast.File
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(l.fset, name, nil, 0)
		if err != nil {
			return nil, err
		}
		files = append(files, file)
		if dir != "calc/formula" && dir != "calc/figures" && strings.HasPrefix(dir, "calc/") {
			l.inFormulas(file)
		}
	}
	config := types.Config{Importer: l, Error: func(error) {}, FakeImportC: true}
	p, _ := config.Check(path, l.fset, files, l.info)
	l.packages[path] = p
	return p, nil
}

// inFormulas notes the reasons in a file's formulas.
func (l *codeLoader) inFormulas(file *ast.File) {
	ast.Inspect(file, func(n ast.Node) bool {
		if expr, ok := n.(ast.Expr); ok {
			if text, ok := literal(expr); ok {
				for _, m := range inFormula.FindAllStringSubmatch(text, -1) {
					if l.reasons == nil {
						l.reasons = map[string]string{}
					}
					l.reasons[m[1]] = l.fset.Position(n.Pos()).String()
				}
			}
		}
		return true
	})
}
