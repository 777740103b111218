package formula_test

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/text/language"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

const years = 3

// trade gives a mass, harvest a series; both are such functions as calc/trade offers.
var trade = &formula.Function{
	Name: "mean_of_two", About: "the mean of two weights",
	Params: []formula.Param{{Name: "a", About: "the first weight", Dimension: quantity.Mass}, {Name: "b", About: "the second weight", Dimension: quantity.Mass}},
	Result: formula.Param{Like: 1},
	Eval:   func(args, out []float64) { out[0] = (args[0] + args[1]) / 2 },
}

// harvest has no answer for less than nothing, and takes a series.
var harvest = &formula.Function{
	Name: "harvest", About: "the harvest of each month", Source: "a table",
	Params: []formula.Param{{Name: "yield", About: "the yield", Dimension: quantity.Mass, Unit: "kg", Sense: formula.AtLeast(0)}, {Name: "months", About: "the share of each month", Months: true, Unit: "%", Published: formula.Between(0, 100)}},
	Result: formula.Param{Dimension: quantity.Mass, Unit: "kg", Months: true},
	Eval: func(args, out []float64) {
		for m := range out {
			out[m] = args[0] * args[1+m]
		}
	},
}

func units(t testing.TB) *quantity.System {
	t.Helper()
	system, err := quantity.NewSystem("GBP", []quantity.Thing{
		{Name: "bird"}, {Name: "hen"}, {Name: "egg"}, {Name: "tray"}, {Name: "batch", Plural: "batches"}, {Name: "bed"},
		{Name: "dozen", Plural: "dozen", Pack: "12 egg"},
	})
	if err != nil {
		t.Fatal(err)
	}
	return system
}

// farm reads testdata/farm.txt.
func farm(t testing.TB, system *quantity.System) []figures.Definition {
	t.Helper()
	var definitions []figures.Definition
	for _, line := range lines(t, "testdata/farm.txt") {
		if name, text, ok := strings.Cut(line, " = "); ok {
			definitions = append(definitions, figures.Definition{Name: name, Label: say.Own(name), Formula: source.New("farm.txt", text).Whole()})
			continue
		}
		name, text, _ := strings.Cut(line, ": ")
		d := figures.Definition{Name: name, Label: say.Own(name), Place: source.New("farm.txt", text).Whole()}
		if fields := strings.Fields(text); len(fields) > 12 {
			d.Value.Unit = system.Must(fields[12])
			for _, field := range fields[:12] {
				x, _ := strconv.ParseFloat(field, 64)
				d.Series = append(d.Series, d.Value.Unit.ToBase(x))
			}
		} else {
			var err error
			if d.Value, err = system.Parse(text); err != nil {
				t.Fatal(err)
			}
		}
		definitions = append(definitions, d)
	}
	return append(definitions, figures.Definition{
		Name: "payment", Label: "Payment", Kind: formula.Choice, Choices: &formula.Choices{Words: []say.Text{"loan", "grant", "savings"}},
		Value: quantity.Quantity{Value: 1},
	})
}

// lines returns the lines of a file that are neither empty nor a remark.
func lines(t testing.TB, name string) []string {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var all []string
	for s := bufio.NewScanner(f); s.Scan(); {
		if s.Text() != "" && !strings.HasPrefix(s.Text(), "#") {
			all = append(all, s.Text())
		}
	}
	return all
}

// work builds the farm with one more figure, result, of the given formula.
func work(t testing.TB, text string) (*figures.Graph, *figures.Figure, error) {
	t.Helper()
	system := units(t)
	definitions := append(farm(t, system), figures.Definition{Name: "result", Label: "Result", Formula: source.New("page.md", text).Whole()})
	g, err := figures.Build(system, years, definitions, trade, harvest)
	return g, g.Lookup("result"), err
}

// shown works a formula out on the farm and returns the text of its result.
func shown(t testing.TB, text string) string {
	t.Helper()
	g, f, err := work(t, text)
	if err != nil {
		return err.Error()
	}
	if reason, none := g.Base().None(f); none {
		return "no answer: " + reason.String()
	}
	style := quantity.NewStyle(g.Units, language.BritishEnglish)
	value := func(x float64) string {
		if f.Type.Kind == formula.Choice {
			return f.Type.Choices.Word(x).String()
		}
		if f.Type.Truth() {
			return map[float64]string{0: "no", 1: "yes"}[x]
		}
		return strings.ReplaceAll(style.Text(x, f.Unit, f.Step), "\u00a0", " ")
	}
	if f.Type.Len == 0 {
		return value(f.Current())
	}
	var runs []string
	months := g.Base().Months(f)
	for from := 0; from < len(months); {
		to := from + 1
		for to < len(months) && value(months[to]) == value(months[from]) {
			to++
		}
		run := value(months[from])
		if to-from > 1 {
			run = fmt.Sprintf("%d × %s", to-from, run)
		}
		runs = append(runs, run)
		from = to
	}
	return strings.Join(runs, ", ")
}

func TestValues(t *testing.T) {
	for _, line := range lines(t, "testdata/values.txt") {
		text, want, ok := strings.Cut(line, " -> ")
		if !ok {
			t.Fatalf("%q is not a case", line)
		}
		if got := shown(t, text); got != want {
			t.Errorf("%s\n got %s\nwant %s", text, got, want)
		}
	}
}

// details gives all errors at full length.
func details(err error) string {
	var all source.Errors
	if err == nil || !errors.As(err, &all) {
		return fmt.Sprintln(err)
	}
	var b strings.Builder
	for _, e := range all {
		b.WriteString(e.Detail())
	}
	return b.String()
}

var update = flag.Bool("update", false, "rewrite testdata/errors.txt from what is reported now; read the change like code")

// TestErrors compares every error and warning with testdata/errors.txt: a line > with the
// formula, then all that the author reads.
func TestErrors(t *testing.T) {
	const name = "testdata/errors.txt"
	var got strings.Builder
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	head, cases, _ := strings.Cut(string(text), "\n>")
	got.WriteString(head + "\n")
	for each := range strings.SplitSeq(cases, "\n>") {
		line, want, _ := strings.Cut(each, "\n")
		g, _, err := work(t, strings.TrimPrefix(line, " "))
		if err == nil {
			if all := g.Base().Warnings(); len(all) > 0 {
				err = all
			}
		}
		if err == nil {
			t.Errorf("%s: no error", line)
		}
		found := details(err)
		fmt.Fprintf(&got, ">%s\n%s", line, found)
		if !*update && strings.TrimSuffix(found, "\n") != strings.TrimSuffix(want, "\n") {
			t.Errorf("%s\n got %s\nwant %s", line, found, want)
		}
	}
	if *update {
		if err := os.WriteFile(name, []byte(got.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// manual returns the package comment of doc.go without its comment marks.
func manual(t *testing.T) []string {
	t.Helper()
	text, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	var comment []string
	for line := range strings.Lines(string(text)) {
		comment = append(comment, strings.TrimRight(strings.TrimPrefix(line, "//"), "\n"))
	}
	return comment
}

func TestManualExamples(t *testing.T) {
	examples := 0
	for _, line := range manual(t) {
		text, want, ok := strings.Cut(strings.TrimPrefix(line, "\t"), " -> ")
		if !ok {
			continue
		}
		examples++
		if got := shown(t, text); got != want {
			t.Errorf("%s\n got %s\nwant %s", text, got, want)
		}
	}
	if examples < 50 {
		t.Errorf("only %d examples found", examples)
	}
}

// TestManualFunctions checks that the manual lists each function as the
// language describes it, and shows an example of each.
func TestManualFunctions(t *testing.T) {
	all := strings.Join(manual(t), "\n")
	for _, f := range formula.Describe() {
		if want := fmt.Sprintf("\n   - %s: %s\n", f.Usage, f.About); !strings.Contains(all, want) {
			t.Errorf("the manual lacks %q", want)
		}
		if !strings.Contains(all, "\t"+f.Name+"(") && !strings.Contains(all, "("+f.Name+"(") {
			t.Errorf("the manual has no example of %s", f.Name)
		}
	}
}
