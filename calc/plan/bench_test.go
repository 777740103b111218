package plan_test

import (
	"fmt"
	"testing"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/plan"
)

// evenFarm has so many enterprises of ten lines each, with a build-up of two
// years.
func evenFarm(enterprises, years int) *sketch {
	s := newSketch(years)
	for i := range enterprises {
		e := s.enterprise(fmt.Sprintf("e%d", i), "9", "3", "6")
		e.Cycles = []enterprise.Cycle{{Name: enterprise.Ref{Name: "batch"}, First: text("95 day"), Every: text("21 day"), Number: text("6")}}
		batch := enterprise.Timing{Each: enterprise.Ref{Name: "batch"}, From: text("19 day"), To: text("58 day")}
		season := enterprise.Timing{Months: text("Apr..Oct")}
		for k := range 3 {
			e.Lines = append(e.Lines,
				enterprise.Line{Kind: enterprise.Sale, Name: fmt.Sprintf("s%d", k), Label: "Sale", Amount: text("size * 100"), Price: text("9 GBP"), When: season},
				enterprise.Line{Kind: enterprise.Cost, Name: fmt.Sprintf("c%d", k), Label: "Cost", Amount: text("size * 90 GBP"), When: batch},
				enterprise.Line{Kind: enterprise.Hours, Name: fmt.Sprintf("h%d", k), Label: "Hours", Amount: text("size * 20 h"), When: season})
		}
		e.Lines = append(e.Lines, enterprise.Line{Kind: enterprise.Capital, Name: "pen", Label: "Pen", Number: text("ceil(size / 2)"), UnitCost: text("380 GBP"), Life: text("4 year")})
	}
	s.farm.People = []plan.Person{{ID: "robin"}}
	s.add("farm.people.robin.hours: 40 h/week")
	s.farm.Sources = []plan.Source{{Named: plan.Named{ID: "bank"}, Loan: true}}
	s.choose("finance.sources.bank.kind", 1)
	s.add("finance.sources.bank.amount: 90000 GBP")
	s.add("finance.sources.bank.rate: 7 %%/year")
	s.add("finance.sources.bank.term: 18 year")
	return s
}

// BenchmarkPlan works a plan out again when a scale has changed: one case by
// itself, and 64 of them side by side.
func BenchmarkPlan(b *testing.B) {
	const width = 64
	for _, c := range []struct{ enterprises, years int }{{1, 5}, {3, 5}, {10, 5}, {30, 5}, {3, 10}, {3, 20}} {
		x := evenFarm(c.enterprises, c.years).build(b)
		var set []*figures.Figure
		for i := range c.enterprises {
			set = append(set, x.figure(fmt.Sprintf("e%d.size", i)))
		}
		cash := x.figure("plan.cash")
		name := fmt.Sprintf("enterprises=%d/months=%d", c.enterprises, 12*c.years)
		b.Run("one/"+name, func(b *testing.B) {
			b.ReportAllocs()
			cone, v := x.NewCone(set, []*figures.Figure{cash}, true), x.Base()
			l := cone.Lanes(v, 1)
			for b.Loop() {
				cone.Run(l)
			}
		})
		b.Run("lanes/"+name, func(b *testing.B) {
			b.ReportAllocs()
			cone := x.NewCone(set, []*figures.Figure{cash}, true)
			l := cone.Lanes(x.Base(), width)
			for b.Loop() {
				cone.Run(l)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/width, "ns/run")
		})
	}
}

// TestNoAllocation: working a plan out over and over, one case or many side by
// side, allocates nothing.
func TestNoAllocation(t *testing.T) {
	s := evenFarm(3, 5)
	s.choose("finance.plan.depreciation", 1)
	s.choose(registered, 1)
	x := s.build(t)
	cone := x.NewCone([]*figures.Figure{x.figure("e0.size"), x.figure("e1.size"), x.figure("finance.sources.bank.rate")}, []*figures.Figure{x.figure("plan.cash")}, true)
	for _, width := range []int{1, 64} {
		l := cone.Lanes(x.Base(), width)
		if n := testing.AllocsPerRun(20, func() { cone.Run(l) }); n != 0 {
			t.Errorf("%d cases allocate %v times", width, n)
		}
	}
}
