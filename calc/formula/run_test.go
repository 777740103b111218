package formula_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

// compiled are formulas over six inputs, as a program of their own.
type compiled struct {
	program *formula.Program
	inputs  map[string]int // slots
	results []formula.Operand
}

func compile(t testing.TB, inputs map[string]string, texts ...string) compiled {
	t.Helper()
	system := units(t)
	c := compiled{inputs: map[string]int{}}
	compiler := formula.NewCompiler(system, years, trade, harvest)
	operands := map[string]formula.Operand{}
	for name, unit := range inputs {
		months := 0
		if rest, ok := strings.CutPrefix(unit, "monthly "); ok {
			unit, months = rest, 12
		}
		u := system.Must(unit)
		c.inputs[name] = compiler.Input(months)
		operands[name] = formula.Operand{Slot: c.inputs[name], Unit: u, Type: formula.Type{Dimension: u.Dimension, Len: months}}
	}
	for _, text := range texts {
		parsed, err := formula.Parse(source.New("page.md", text).Whole(), system)
		if err != nil {
			t.Fatal(err)
		}
		x, err := compiler.Compile(parsed, func(n *formula.Name) (formula.Operand, *source.Error) {
			return operands[n.Text], nil
		})
		if err != nil {
			t.Fatal(err)
		}
		c.results = append(c.results, x)
	}
	c.program = compiler.Program()
	return c
}

// everything holds each kind of instruction at least once.
const everything = `if(not (a > b and c >= 1 or a is b) or a is not c, min(a, b, c), max(a - b, -c)) +
	ceil(a * 3.7) + floor(b / c) + round(c, 0.25) + abs(a) ^ 1.5 + b ^ 2 + c ^ 3 + sqrt(abs(b)) + exp(a / 50) +
	ln(abs(c) + 1) + at(s, 1 + abs(a) / 5) + sum(harvest(abs(a) * 1 kg, s)) / mean_of_two(abs(b) * 1 kg, 3 kg) +
	sum(spread(a, month_days())) + sum(shift(running(s), 2)) + average(s * Apr..Oct) + at(by_year(a, b), 30)`

var everythingInputs = map[string]string{"a": "", "b": "", "c": "", "s": "monthly "}

func TestLanesEqualRunToTheBit(t *testing.T) {
	p := compile(t, everythingInputs, everything, "a / b", "c / (a - a)", "if(a > b, a, none(\"no\")) < 3")
	const n = 64
	lanes := p.program.NewLanes(n)
	frames := make([][]float64, n)
	random := rand.New(rand.NewPCG(1, 2))
	hard := []float64{0, 1, -1, 1e300, -1e300, 1e-300, 0.1 + 0.2, 0.3, math.Copysign(0, -1)}
	for l := range frames {
		frames[l] = p.program.NewFrame()
		for _, slot := range p.inputs {
			for m := range 12 {
				if m > 0 && slot != p.inputs["s"] {
					break
				}
				x := random.NormFloat64() * 20
				if random.IntN(4) == 0 {
					x = hard[random.IntN(len(hard))]
				}
				frames[l][slot+m], lanes[(slot+m)*n+l] = x, x
			}
		}
		p.program.Run(frames[l], 0, p.program.Len())
	}
	p.program.RunLanes(lanes, n, 0, p.program.Len())
	for l, frame := range frames {
		for slot := range frame {
			if a, b := math.Float64bits(frame[slot]), math.Float64bits(lanes[slot*n+l]); a != b {
				t.Fatalf("slot %d of lane %d: %x in lanes, %x alone", slot, l, b, a)
			}
		}
	}
}

func TestRunningAllocatesNothing(t *testing.T) {
	p := compile(t, everythingInputs, everything)
	frame, lanes := p.program.NewFrame(), p.program.NewLanes(256)
	for name, run := range map[string]func(){
		"Run":      func() { p.program.Run(frame, 0, p.program.Len()) },
		"RunLanes": func() { p.program.RunLanes(lanes, 256, 0, p.program.Len()) },
	} {
		if n := testing.AllocsPerRun(100, run); n != 0 {
			t.Errorf("%s allocates %v times", name, n)
		}
	}
}

// TestResultsKeepTheirOwnSlots: a figure that is a constant, another figure or
// one month of a series can be set without changing what it was made from.
func TestResultsKeepTheirOwnSlots(t *testing.T) {
	inputs := map[string]string{"a": "", "s": "monthly "}
	p := compile(t, inputs, "5", "a", "at(s, Apr)", "5", "a + 5", "s", `none("no")`)
	taken := map[int]bool{p.inputs["a"]: true}
	for m := range 12 {
		taken[p.inputs["s"]+m] = true
	}
	for i, x := range p.results {
		for m := range max(1, x.Type.Len) {
			if taken[x.Slot+m] {
				t.Errorf("result %d shares a slot", i)
			}
			taken[x.Slot+m] = true
		}
	}
}

// TestTypes checks what a formula comes out in.
func TestTypes(t *testing.T) {
	for _, c := range []struct{ text, unit, kind string }{
		{"land * 2", "ha", "an area"},
		{"birds * weight", "kg", "a mass"},
		{"birds * weight * price", "GBP", "money"},
		{"price / weight", "GBP·bird/kg2", "GBP·bird/kg2"},
		{"rain", "mm", "a length for each month"},
		{"birds > 3 bird", "", "yes or no"},
		{"2 kWh * 3", "kWh", "an energy"},
		{"0.30 GBP/kWh", "GBP/kWh", "GBP/kWh"},
		{"birds", "bird", "a number of birds"},
		{"2 batch", "batch", "a number of batches"},
		{"house - 5 degC", "K", "a temperature"},
		{"sqrt(land)", "m", "a length"},
	} {
		g, f, err := work(t, c.text)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		if f.Unit.String() != c.unit {
			t.Errorf("%s comes out in %s, want %s", c.text, f.Unit, c.unit)
		}
		if got := formula.NewCompiler(g.Units, years).DescribeIn(f.Type, f.Unit); got != c.kind {
			t.Errorf("%s comes out as %s, want %s", c.text, got, c.kind)
		}
	}
}

func TestReading(t *testing.T) {
	var write func(r formula.Reading) string
	write = func(r formula.Reading) string {
		switch r.Op {
		case "name":
			return r.Name.Text
		case "number":
			return fmt.Sprint(r.Quantity.Value)
		case "months":
			return fmt.Sprint(r.First, "..", r.Last)
		case "none", "text":
			return strconv.Quote(r.Text)
		}
		var args []string
		for _, a := range r.Args {
			args = append(args, write(a))
		}
		return r.Op + "(" + strings.Join(args, " ") + ")"
	}
	for text, want := range map[string]string{
		"birds*(1-loss) as bird":                   "*(birds -(1 loss))",
		"-birds * -2 bird":                         "*(neg(birds) neg(2))",
		"pens is not 4 and not pens >= 3":          "and(is not(pens 4) not(>=(pens 3)))",
		"if(pens<3,none(\"few\"),max(pens,2)^2)":   "if(<(pens 3) \"few\" ^(max(pens 2) 2))",
		"sum(month_days()) / 2 day + at(rain,Apr)": "+(/(sum(month_days()) 172800) at(rain 3..3))",
	} {
		f, err := formula.Parse(source.New("page.md", text).Whole(), units(t))
		if err != nil {
			t.Fatal(err)
		}
		if got := write(f.Read()); got != want {
			t.Errorf("%s\n got %s\nwant %s", text, got, want)
		}
	}
}

func TestNames(t *testing.T) {
	f, err := formula.Parse(source.New("page.md", "a.b + max(c, a.b) * Apr as kg").Whole(), units(t))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, n := range f.Names() {
		names = append(names, n.Text+" at "+n.Span.Position().String())
	}
	if got, want := strings.Join(names, ", "), "a.b at page.md:1:1, c at page.md:1:11, a.b at page.md:1:14"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	for word, want := range map[string]bool{"if": true, "Apr": true, "as": true, "apr": false, "min": false} {
		if formula.Reserved(word) != want {
			t.Errorf("Reserved(%s) is %v", word, !want)
		}
	}
}

// TestWant: a price per hen times trays is no cost.
func TestWant(t *testing.T) {
	system := units(t)
	definitions := append(farm(t, system), figures.Definition{
		Name: "litter", Formula: source.New("page.md", "hen_cost * 30 tray").Whole(),
		Want: &figures.Want{What: "a cost", Dimensions: []quantity.Dimension{system.Money().Dimension}},
	})
	_, err := figures.Build(system, years, definitions)
	const want = `page.md:1:1: a cost must come out as money, but this comes out as GBP·tray/hen
  hen_cost * 30 tray
  ^^^^^^^^^^^^^^^^^^
`
	if got := details(err); got != want {
		t.Errorf("got %s\nwant %s", got, want)
	}
}
