package plan_test

import (
	"math"
	"testing"

	"rickyard/calc/enterprise"
	"rickyard/calc/plan"
)

// The lines by themselves come to the rows of the books, in every month: with
// tax, inflation, a build-up, cycles that run past the year's end and fees.
func TestLinesAddUpToTheBooks(t *testing.T) {
	s := newSketch(3)
	s.farm.Registered = true
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
	hens.Cycles = []enterprise.Cycle{{Name: enterprise.Ref{Name: "flock", Span: text("flock")}, First: text("6 Oct"), Every: text("30 day"), Number: text("3")}}
	hens.Lines = []enterprise.Line{
		{Kind: enterprise.Sale, Name: "eggs", Label: "Eggs", Amount: text("size * 9 kg"), Price: text("6 GBP/kg"),
			Through: []enterprise.ChannelShare{{Channel: enterprise.Ref{Name: "gate", Span: text("gate")}, Share: text("100 %%")}}, Place: text("eggs"),
			When: enterprise.Timing{Each: enterprise.Ref{Name: "flock", Span: text("flock")}, From: text("10 day"), To: text("60 day"), Place: text("when")}},
		{Kind: enterprise.Cost, Name: "meal", Label: "Meal", Amount: text("feed * feed_price"), Place: text("meal")},
		{Kind: enterprise.Cost, Name: "straw", Label: "Straw", Amount: text("40 GBP + 2 GBP * size"), Place: text("straw"), When: enterprise.Timing{Months: text("Sep..Nov"), Place: text("when")}},
		{Kind: enterprise.Hours, Name: "chores", Label: "Chores", Amount: text("20 h"), Place: text("chores")},
		{Kind: enterprise.Overhead, Name: "test", Label: "Tests", Amount: text("30 GBP"), Place: text("test")},
	}
	g, _ := s.compile(t)
	r := plan.Work(g, &s.farm)
	lines := r.ByLine()
	if len(lines) != 4 {
		t.Fatalf("%d lines that are money, want 4", len(lines))
	}
	r.Books.Whole = false
	r.Plan.Work(r.Inputs, r.Books)
	for _, row := range []plan.Row{plan.Sales, plan.ChannelFees, plan.VariableCosts, plan.OwnOverheads} {
		for m, want := range r.Books.Row(row)[1:] {
			got := 0.0
			for _, l := range lines {
				switch {
				case l.Row == row:
					got += l.Money[m]
				case row == plan.ChannelFees && l.Fees != nil:
					got += l.Fees[m]
				}
			}
			if math.Abs(got-want) > 1e-9*math.Max(1, want) {
				t.Errorf("row %d, month %d: the lines come to %.6f, the books say %.6f", row, m, got, want)
			}
		}
	}
	for m, want := range r.Books.Row(plan.FarmOverheads)[1:] {
		if got := r.OverheadByMonth(0)[m]; math.Abs(got-want) > 1e-9 {
			t.Errorf("month %d: the overhead is %.6f, the books say %.6f", m, got, want)
		}
	}
	// Worked by hand: 4 hens at 9 kg, sold over 50 days each from 16 October, 15
	// November and 15 December, of which 50, 47 and 17 days fall within 2027.
	sold := 0.0
	for _, q := range lines[0].Quantity[:12] {
		sold += q
	}
	if want := 36.0 * (50 + 47 + 17) / 150; math.Abs(sold-want) > 1e-6 {
		t.Errorf("eggs of the first year: %.4f kg, want %.4f", sold, want)
	}
	if got, want := lines[1].Quantity[0], 160.0*31/365; math.Abs(got-want) > 1e-9 {
		t.Errorf("meal in January: %.4f kg, want %.4f", got, want)
	}
	if lines[1].Price == nil || lines[1].Price.Name != "hens.feed_price" || lines[2].Quantity != nil {
		t.Error("a cost of one quantity at one price has them, no other has")
	}
}
