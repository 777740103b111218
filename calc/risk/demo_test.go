package risk_test

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/language"

	"rickyard/calc/farm"
	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/risk"
	"rickyard/calc/source"
	"rickyard/data"
)

// demo is the demo farm with its plan and simulation in one graph, the runs of
// which can be worked again.
type demo struct {
	*figures.Graph
	farm     *data.Farm
	declared *plan.Declared
	s        *risk.Simulation
	probe    func(*figures.Case)
}

// loadDemo builds the demo farm, with whatever is otherwise in it.
func loadDemo(t testing.TB, otherwise func(f *data.Farm)) *demo {
	t.Helper()
	f, err := data.Load(os.DirFS("../.."))
	if err != nil {
		t.Fatal(err)
	}
	if otherwise != nil {
		otherwise(f)
	}
	d := &demo{farm: f}
	definitions := f.Whole(nil).Budgets()
	known := map[string]*figures.Definition{}
	for i := range definitions {
		known[definitions[i].Name] = &definitions[i]
	}
	d.declared = f.Plan().Declare(f.Units, func(name string) *figures.Definition { return known[name] })
	d.s = risk.NewSimulation(d.declared, f.Risk, definitions)
	d.Graph, err = figures.BuildWith(f.Units, f.Horizon, append(definitions, d.declared.Definitions...), append(d.declared.Engines, d.s.Probe(&d.probe)), farm.Functions...)
	if err != nil {
		t.Fatal(err)
	}
	if errs := d.s.Mistakes(d.Graph); len(errs) > 0 {
		t.Fatal(errs)
	}
	return d
}

// with hands over the case that the simulation is worked out from, with so many
// runs.
func (d *demo) with(runs int, do func(*figures.Case)) { risk.Probed(d.Graph, &d.probe, runs, do) }

// Runs of the demo farm are what the plan comes to with the same inputs set one
// by one, to the bit.
func TestRunsAreThePlan(t *testing.T) {
	const runs = 130 // two blocks and a part of one
	d := loadDemo(t, func(f *data.Farm) {
		f.Risk.Groups = slices.Clone(f.Risk.Groups)
		for i := range f.Risk.Groups {
			f.Risk.Groups[i].EachYear = false // one draw a run, to be set again here
		}
	})
	var o *risk.Outcomes
	d.with(runs, func(c *figures.Case) { o = d.s.Work(c, 0) })
	inputs := o.Inputs()
	if o.Runs != runs {
		t.Fatalf("%d of %d runs have an answer", o.Runs, runs)
	}
	if len(inputs) < 60 {
		t.Fatalf("only %d inputs of the demo farm vary", len(inputs))
	}
	v := d.Base().Clone()
	for run := range runs {
		for i, f := range inputs {
			v.Set(f, o.Drawn(i)[run])
		}
		v.Run()
		if got, want := o.Cash(0)[run], v.Of(d.Lookup("plan.before.net_cash")); got != want {
			t.Fatalf("run %d: %v at the opening, worked out one by one %v", run, got, want)
		}
		for m, want := range v.Months(d.Lookup("plan.cash")) {
			if got := o.Cash(m + 1)[run]; got != want {
				t.Fatalf("run %d, month %d: %v in the bank, worked out one by one %v", run, m+1, got, want)
			}
		}
		for y := range d.declared.Years {
			if got, want := o.Income(y)[run], v.Of(d.Lookup(profitOf(y))); got != want {
				t.Fatalf("run %d, year %d: profit %v, worked out one by one %v", run, y+1, got, want)
			}
		}
	}
}

func profitOf(year int) string { return "plan.year" + string(rune('1'+year)) + ".profit" }

// What is the same in every year is the same as what is set once.
func TestYearsApart(t *testing.T) {
	d := loadDemo(t, nil)
	var o *risk.Outcomes
	d.with(2, func(c *figures.Case) { o = d.s.Work(c, 0) })
	inputs, cash := o.Inputs(), d.Lookup("plan.cash")
	cone := d.NewCone(inputs, []*figures.Figure{cash}, true)
	cone.Bend(inputs...)
	const width = 2
	l := cone.Lanes(d.Base(), width)
	var bends []figures.Bend
	for i, f := range inputs {
		b := figures.Bend{Figure: f}
		for lane := range width {
			l.Lane(f, 0)[lane] = o.Drawn(i)[lane]
		}
		for range d.declared.Years {
			b.Values = append(b.Values, o.Drawn(i)[:width]...)
		}
		bends = append(bends, b)
	}
	l.Bends(bends...)
	cone.Run(l)
	for lane := range width {
		v := d.Base().Clone()
		for i, f := range inputs {
			v.Set(f, o.Drawn(i)[lane])
		}
		v.Run()
		for m, want := range v.Months(cash) {
			if got := l.Lane(cash, m)[lane]; got != want {
				t.Fatalf("case %d, month %d: with its years apart the plan has %v in the bank, else %v", lane, m+1, got, want)
			}
		}
	}
}

// Scenarios of the demo farm against what can be said by hand.
func TestScenarios(t *testing.T) {
	f, err := data.Load(os.DirFS("../.."))
	if err != nil {
		t.Fatal(err)
	}
	w, err := f.Whole(quantity.NewStyle(f.Units, language.BritishEnglish)).Work(nil, false)
	if err != nil {
		t.Fatal(err)
	}
	value := func(name string) float64 {
		f := w.Graph.Lookup(name)
		if f == nil {
			t.Fatalf("there is no %s", name)
		}
		return f.Current()
	}
	// Dearer feed costs a third of the feed, in a full year at the plan's scale;
	// the last year is one. A pound for the rounding of months.
	feed := value("broilers.starter_cost") + value("broilers.grower_cost")
	fall := value("plan.year5.profit") - value("scenarios.dear_feed.year5.profit")
	if math.Abs(fall-0.33*feed) > 2 {
		t.Errorf("feed a third dearer costs %.2f, expected %.2f", fall, 0.33*feed)
	}
	// Three months without Merrin: her hours are hired as far as the others have
	// none to spare, so it is no more than her hours of April to June, and the
	// profit falls by what they cost.
	more := (value("scenarios.partner_ill.year2.hours_hired") - value("plan.year2.hours_hired"))
	hers := value("farm.people.merrin.hours") * 91 * 86400
	if more <= 0 || more > hers {
		t.Errorf("%.0f h more are hired; Merrin's are %.0f h", more/3600, hers/3600)
	}
	cost := value("plan.year2.profit") - value("scenarios.partner_ill.year2.profit")
	if want := more * value("farm.wage") * (1 + value("farm.employment")); math.Abs(cost-want) > 2 {
		t.Errorf("hired for %.2f, expected %.2f", cost, want)
	}
	// What holds in one year leaves the others' profits alone, but for interest on
	// an overdraft and whole pounds.
	for _, name := range []string{"wet_spring", "partner_ill"} {
		for _, year := range []string{"year1", "year3", "year4", "year5"} {
			if d := value("plan."+year+".profit") - value("scenarios."+name+"."+year+".profit"); math.Abs(d) > 2 {
				t.Errorf("%s changes the profit of %s by %v", name, year, d)
			}
		}
	}
	if got := w.Facts["scenarios.partner_ill.lowest_cash_when"]; got == "" {
		t.Error("when there is least in the bank is not said")
	}
}

// What is wrong in scenarios, with the nearest name.
func TestScenarioMistakes(t *testing.T) {
	d := loadDemo(t, nil)
	word := func(s string) source.Span { return source.New("data/finance.yaml", s).Whole() }
	mistakes := func(x risk.Scenario) source.Errors {
		return risk.NewScenarios(d.declared, []risk.Scenario{x}).Mistakes(d.Graph)
	}
	year := func(x *risk.Scenario) {
		x.From, x.To, x.Over = plan.MonthOf(2028, 0), plan.MonthOf(2028, 11), word("2028")
	}
	for _, c := range []struct {
		figure, value string
		over          func(x *risk.Scenario)
		want          string
	}{
		{"broilers.grower_fed", "0.7 GBP/kg", nil, "did you mean broilers.grower_feed?"},
		{"broilers.grower_feed", "0.7 GBP/bird", nil, "is given in GBP/bird here, but it is in GBP/kg"},
		{"turkeys.poult_price", "9 GBP/bird", nil, "the plan does not change with turkeys.poult_price"},
		{"finance.sources.bank_loan.rate", "9 %/year", year, "leave out over"},
		{"broilers.grower_feed", "0.7 GBP/kg", func(x *risk.Scenario) {
			x.From, x.To, x.Over = plan.MonthOf(2028, 3), plan.MonthOf(2028, 5), word("2028-04..2028-06")
		}, "whole years of the plan"},
		{"broilers.grower_feed", "0.7 GBP/kg", func(x *risk.Scenario) {
			x.From, x.To, x.Over = plan.MonthOf(2050, 0), plan.MonthOf(2050, 11), word("2050")
		}, "not within the plan, which runs from 2027-01 to 2031-12"},
		{"garden.every_bed_cropped", "1", nil, "is yes or no"},
	} {
		q, err := d.farm.Units.Parse(c.value)
		if err != nil {
			t.Fatal(err)
		}
		x := risk.Scenario{ID: "it", Label: "It", Place: word("it"), Changes: []risk.Change{{Figure: risk.Ref{Text: c.figure, At: word(c.figure)}, Scope: "finance", Value: q, At: word(c.value)}}}
		if c.over != nil {
			c.over(&x)
		}
		errs := mistakes(x)
		if len(errs) != 1 || !strings.Contains(errs[0].Error()+errs[0].Detail(), c.want) {
			t.Errorf("%s: expected %q, got %v", c.figure, c.want, errs)
		}
	}
	// A loan's rate may be otherwise for the whole plan.
	q, _ := d.farm.Units.Parse("9 %/year")
	x := risk.Scenario{ID: "it", Label: "It", Place: word("it"), Changes: []risk.Change{{Figure: risk.Ref{Text: "sources.bank_loan.rate", At: word("it")}, Scope: "finance", Value: q, At: word("9 %/year")}}}
	if errs := mistakes(x); len(errs) > 0 {
		t.Error(errs)
	}
}
