package portable_test

import (
	"bufio"
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// What the packages that work figures out, and set them on pages, are made of.
var working = []string{"./calc/...", "./data/...", "./content/...", "./templates/..."}

// The processors whose compilers make one step of a product and a sum.
var fusing = []struct {
	name string
	env  []string
	step *regexp.Regexp
}{
	{"arm64", []string{"GOARCH=arm64"}, regexp.MustCompile(`\bFN?M(ADD|SUB)[DS]\b`)},
	{"amd64 v3", []string{"GOARCH=amd64", "GOAMD64=v3"}, regexp.MustCompile(`\bVFN?M(ADD|SUB)\w*\b`)},
}

// settled names the files of other modules that hold such a step, and why it moves
// nothing that is printed.
var settled = map[string]string{
	"dop251/goja@*/ftoa/ftoa.go":       "an estimate of a number's first digit, put right by comparison",
	"dop251/goja@*/builtin_global.go":  "digits of parseInt, whole numbers",
	"dop251/goja@*/parser/lexer.go":    "digits of a number in a script, whole numbers",
	"dop251/goja@*/builtin_math.go":    "Math.hypot, which the drawer takes away",
	"tdewolff/minify/v2@*/css/util.go": "a colour that is said by hue; the style sheets have none",
	"tdewolff/parse/v2@*/css/util.go":  "a colour that is said by hue; the style sheets have none",
	"tdewolff/parse/v2@*/strconv/*.go": "numbers of style sheets, which the smaller ones take as text",
	"gopkg.in/yaml.v3@*/decode.go":     "how many aliases a file may have",
}

// No product of the program's own goes unrounded into a sum, whatever processor it
// is compiled for, and in other modules none that reaches a figure.
func TestNoProductIsFusedIntoASum(t *testing.T) {
	for _, p := range fusing {
		args := []string{"build"}
		for _, modules := range []string{"rickyard", "github.com", "gopkg.in", "golang.org"} {
			args = append(args, "-gcflags="+modules+"/...=-S")
		}
		cmd := exec.Command("go", append(args, working...)...)
		cmd.Dir = filepath.Join("..", "..")
		cmd.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS=linux")
		cmd.Env = append(cmd.Env, p.env...)
		listing, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", p.name, err, listing[max(0, len(listing)-2000):])
		}
		for _, place := range stepsOf(listing, p.step) {
			t.Errorf("%s: a product goes unrounded into a sum, at %s; write float64(x*y) for it, or for the one that it was handed", p.name, place)
		}
	}
}

// stepsOf returns the places of a listing that hold a fused step and are not
// settled.
func stepsOf(listing []byte, step *regexp.Regexp) []string {
	place := regexp.MustCompile(`\(([^()]+\.go):(\d+)\)`)
	root, _ := filepath.Abs(filepath.Join("..", ".."))
	var found []string
	lines := bufio.NewScanner(bytes.NewReader(listing))
	lines.Buffer(nil, 1<<24)
	for lines.Scan() {
		line := lines.Bytes()
		if !step.Match(line) {
			continue
		}
		at := place.FindSubmatch(line)
		if at == nil {
			found = append(found, string(line))
			continue
		}
		file := string(at[1])
		if rest, own := strings.CutPrefix(file, root+string(filepath.Separator)); own {
			found = append(found, fmt.Sprintf("%s:%s", rest, at[2]))
		} else if !isSettled(filepath.ToSlash(file)) {
			found = append(found, fmt.Sprintf("%s:%s", file, at[2]))
		}
	}
	slices.Sort(found)
	return slices.Compact(found)
}

func isSettled(file string) bool {
	for pattern := range settled {
		parts := strings.Count(pattern, "/") + 1
		tail := strings.Split(file, "/")
		if ok, _ := filepath.Match(pattern, strings.Join(tail[max(0, len(tail)-parts):], "/")); ok {
			return true
		}
	}
	return false
}

// exact are the functions of the math package that have one right answer, and give
// it everywhere.
var exact = strings.Fields("Abs Ceil Copysign Float64bits Float64frombits Floor Frexp Inf IsInf IsNaN Ldexp Max Min Mod Modf NaN Nextafter Pow10 Round RoundToEven Signbit Sqrt Trunc")

// Nobody but the portable mathematics calls what processors differ in.
func TestMathIsExact(t *testing.T) {
	for _, dir := range []string{"calc", "data", "content", "templates"} {
		err := filepath.WalkDir(filepath.Join("..", "..", dir), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if d.IsDir() && d.Name() == "node_modules" {
				return filepath.SkipDir
			}
			if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || filepath.Base(filepath.Dir(path)) == "portable" {
				return nil
			}
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			ast.Inspect(file, func(n ast.Node) bool {
				call, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				if pkg, ok := call.X.(*ast.Ident); ok && pkg.Name == "math" && !isConstant(call.Sel.Name) && !slices.Contains(exact, call.Sel.Name) {
					t.Errorf("%s: math.%s differs between processors; use calc/portable", set.Position(call.Pos()), call.Sel.Name)
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

func isConstant(name string) bool {
	return regexp.MustCompile(`^(E|Pi|Phi|Sqrt[2EP].*|Ln\d+|Log.+E|Max(Float|Int|Uint).*|Smallest.*|MinInt.*)$`).MatchString(name)
}
