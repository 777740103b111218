package main

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	calcfarm "rickyard/calc/farm"
	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/risk"
	"rickyard/calc/source"
	"rickyard/data"
)

// The demo farm's own graph, and its plan over 60 months.
func demoGraph(tb testing.TB) (*figures.Graph, *data.Farm) {
	tb.Helper()
	farm, err := data.Load(os.DirFS("../.."))
	if err != nil {
		tb.Fatal(err)
	}
	g, err := figures.Build(farm.Units, farm.Horizon, farm.Whole(nil).Budgets(), calcfarm.Functions...)
	if err != nil {
		tb.Fatal(err)
	}
	return g, farm
}

// Runs of the demo farm are what the plan comes to with the same inputs set one
// by one and everything worked out afresh, to the bit: the lanes, the routes and
// what they leave out change nothing.
func TestRunsAreThePlan(t *testing.T) {
	g, farm := demoGraph(t)
	settings := farm.Risk
	settings.Runs = 130 // two blocks and a part of one
	settings.Groups = slices.Clone(settings.Groups)
	for i := range settings.Groups {
		settings.Groups[i].EachYear = false // one draw a run, to be set again here
	}
	s, errs := risk.NewSimulation(g, farm.Plan(), settings)
	if len(errs) > 0 {
		t.Fatal(errs)
	}
	o := s.Run(0)
	p := plan.Compile(g, farm.Plan())
	in, books := p.NewInputs(), p.NewBooks()
	inputs := s.Inputs()
	if len(inputs) < 60 {
		t.Fatalf("only %d inputs of the demo farm vary", len(inputs))
	}
	for run := range settings.Runs {
		v := g.Base().Clone()
		for i, f := range inputs {
			v.Set(f, o.Drawn(i)[run])
		}
		p.Read(v, in)
		p.Work(in, books)
		for c, want := range books.Row(plan.Bank) {
			if got := o.Cash(c)[run]; got != want {
				t.Fatalf("run %d, month %d: %v in the bank, worked out one by one %v", run, c, got, want)
			}
		}
		for y := range p.Years {
			if got, want := o.Income(y)[run], books.Year(plan.Profit, y); got != want {
				t.Fatalf("run %d, year %d: profit %v, worked out one by one %v", run, y+1, got, want)
			}
		}
	}
}

// Years worked out apart are those worked out together.
func TestYearsApart(t *testing.T) {
	g, farm := demoGraph(t)
	whole, apart := farm.Plan(), farm.Plan()
	apart.Apart = true
	var rows [2][]float64
	for i, f := range []*plan.Farm{whole, apart} {
		p := plan.Compile(g, f)
		in, books := p.NewInputs(), p.NewBooks()
		p.Read(g.Base().Clone(), in)
		p.Work(in, books)
		for r := plan.Sales; r <= plan.HoursHired; r++ {
			rows[i] = append(rows[i], books.Row(r)...)
		}
	}
	if !slices.Equal(rows[0], rows[1]) {
		t.Error("the plan with its years apart is another plan")
	}
}

// Scenarios of the demo farm against what can be said by hand.
func TestScenarios(t *testing.T) {
	book, _, err := load("../..")
	if err != nil {
		t.Fatal(err)
	}
	value := func(name string) float64 {
		f := book.Graph.Lookup(name)
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
	if got := book.Facts["scenarios.partner_ill.lowest_cash_when"]; got == "" {
		t.Error("when there is least in the bank is not said")
	}
}

// What is wrong in scenarios, with the nearest name.
func TestScenarioMistakes(t *testing.T) {
	g, farm := demoGraph(t)
	whole := plan.Work(g, farm.Plan())
	word := func(s string) source.Span { return source.New("data/finance.yaml", s).Whole() }
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
		q, err := farm.Units.Parse(c.value)
		if err != nil {
			t.Fatal(err)
		}
		x := risk.Scenario{ID: "it", Label: "It", Place: word("it"), Changes: []risk.Change{{Figure: risk.Ref{Text: c.figure, At: word(c.figure)}, Scope: "finance", Value: q, At: word(c.value)}}}
		if c.over != nil {
			c.over(&x)
		}
		errs := risk.WorkScenarios(g, whole, []risk.Scenario{x}).Mistakes()
		if len(errs) != 1 || !strings.Contains(errs[0].Error()+errs[0].Detail(), c.want) {
			t.Errorf("%s: expected %q, got %v", c.figure, c.want, errs)
		}
	}
	// A loan's rate may be otherwise for the whole plan.
	q, _ := farm.Units.Parse("9 %/year")
	x := risk.Scenario{ID: "it", Label: "It", Place: word("it"), Changes: []risk.Change{{Figure: risk.Ref{Text: "sources.bank_loan.rate", At: word("it")}, Scope: "finance", Value: q, At: word("9 %/year")}}}
	if errs := risk.WorkScenarios(g, whole, []risk.Scenario{x}).Mistakes(); len(errs) > 0 {
		t.Error(errs)
	}
}
