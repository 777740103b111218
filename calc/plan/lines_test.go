package plan_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"rickyard/calc/enterprise"
	"rickyard/calc/plan"
)

// hensFarm has a line of each kind, with tax, inflation, a build-up, a cycle that
// runs past the year's end and fees.
func hensFarm() *sketch {
	s := newSketch(3)
	s.choose(registered, 1)
	s.add("finance.plan.sales_tax.sales: 5 %%")
	s.add("finance.plan.sales_tax.costs: 20 %%")
	s.add("finance.plan.inflation.sales: 3 %%/year")
	s.add("finance.plan.inflation.costs: 4 %%/year")
	s.add("prices.channels.gate.fee: 8 %%")
	s.add("prices.channels.gate.hours: 0 h/GBP")
	s.add("hens.feed_price: 0.5 GBP/kg")
	s.add("hens.feed = hens.size * 40 kg")
	s.add("finance.overheads.phone.amount: 365 GBP/year")
	s.farm.Overheads = append(s.farm.Overheads, plan.Named{ID: "phone", Label: "Telephone"})
	hens := s.enterprise("hens", "10", "4", "7")
	flock := enterprise.Ref{Name: "flock", Span: text("flock")}
	hens.Cycles = []enterprise.Cycle{{Name: flock, First: text("6 Oct"), Every: text("30 day"), Number: text("3")}}
	hens.Lines = []enterprise.Line{
		{Kind: enterprise.Sale, Name: "eggs", Label: "Eggs", Amount: text("size * 9 kg"), Price: text("6 GBP/kg"),
			Through: []enterprise.ChannelShare{{Channel: enterprise.Ref{Name: "gate", Span: text("gate")}, Share: text("100 %%")}}, Place: text("eggs"),
			When: enterprise.Timing{Each: flock, From: text("10 day"), To: text("60 day"), Place: text("when")}},
		{Kind: enterprise.Cost, Name: "meal", Label: "Meal", Amount: text("feed * feed_price"), Place: text("meal")},
		{Kind: enterprise.Cost, Name: "straw", Label: "Straw", Amount: text("40 GBP + 2 GBP * size"), Place: text("straw"), When: enterprise.Timing{Months: text("Sep..Nov"), Place: text("when")}},
		{Kind: enterprise.Hours, Name: "chores", Label: "Chores", Amount: text("20 h"), Place: text("chores")},
		{Kind: enterprise.Overhead, Name: "test", Label: "Tests", Amount: text("30 GBP"), Place: text("test")},
	}
	return s
}

// The lines by themselves come to the rows of the books: what they add up to by
// any month is never more than half a unit of money off.
func TestLinesAddUpToTheBooks(t *testing.T) {
	b := hensFarm().work(t)
	for row, lines := range map[string][]string{
		"sales": {"plan.lines.hens.eggs"}, "channel_fees": {"plan.lines.hens.eggs.fees"}, "variable_costs": {"plan.lines.hens.meal", "plan.lines.hens.straw"},
		"own_overheads": {"plan.lines.hens.test"}, "farm_overheads": {"plan.overheads.phone"},
		"sales_tax_added": {"plan.lines.hens.eggs.sales_tax", "plan.lines.hens.eggs.fees_sales_tax", "plan.lines.hens.meal.sales_tax", "plan.lines.hens.straw.sales_tax",
			"plan.lines.hens.test.sales_tax", "plan.overheads.phone.sales_tax"},
	} {
		got, want := 0.0, 0.0
		for m, x := range b.row(row)[1:] {
			got += x
			for _, line := range lines {
				want += b.v.At(b.figure(line), m)
			}
			if math.Abs(got-want) > 0.5+1e-9 {
				t.Errorf("by month %d, the books' %s come to %.6f, their lines to %.6f", m+1, row, got, want)
			}
		}
		if want == 0 {
			t.Errorf("there are no %s", row)
		}
	}
	// Worked by hand: 4 hens at 9 kg, sold over 50 days each from 16 October, 15
	// November and 15 December, of which 50, 47 and 17 days fall within 2027.
	sold := 0.0
	for _, q := range b.v.Months(b.figure("plan.lines.hens.eggs.quantity1"))[:12] {
		sold += q
	}
	near(t, "eggs of the first year, in kg", sold, 36.0*(50+47+17)/150, 1e-6)
	near(t, "meal in January, in kg", b.v.At(b.figure("plan.lines.hens.meal.quantity1"), 0), 160.0*31/365, 1e-9)
	near(t, "takings of the first year before tax", b.year("sales", 0), 36*6*(50+47+17)/150./1.05, 0.5)
	near(t, "fees of the first year before tax", b.year("channel_fees", 0), 0.08*36*6*(50+47+17)/150./1.2, 0.5)
	of := func(line int) []string {
		e := &b.plan.Enterprises[0]
		_, names := b.plan.Quantities(e, &e.Lines[line])
		return names
	}
	if got := of(1); !slices.Equal(got, []string{"hens.feed", "hens.feed_price"}) || of(2) != nil {
		t.Errorf("a cost of one figure times another is measured by both, no other by any: %v and %v", got, of(2))
	}
}

// A line's months are those of the year by themselves: worked alone, each part of
// the year and of each flock counts once.
func TestLinesKeepTheirYear(t *testing.T) {
	b := hensFarm().work(t)
	b.v.Set(b.figure(registered), 0)
	b.v.Run()
	for year, size := range []float64{4, 7, 10} {
		rise := math.Pow(1.04, float64(year))
		near(t, fmt.Sprintf("straw of year %d", year+1), b.sum("plan.lines.hens.straw", year), (40+2*size)*rise, 1e-9)
		near(t, fmt.Sprintf("meal of year %d", year+1), b.sum("plan.lines.hens.meal", year), size*40*0.5*rise, 1e-9)
		near(t, fmt.Sprintf("hours of year %d", year+1), b.sum("plan.lines.hens.chores", year)/3600, 20, 1e-9)
	}
}

// sum adds a series of the plan's months up over a year, counted from 0.
func (b *books) sum(name string, year int) float64 {
	sum := 0.0
	for _, x := range b.v.Months(b.figure(name))[12*year : 12*year+12] {
		sum += x
	}
	return sum
}
