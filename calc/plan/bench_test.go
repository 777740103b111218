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
	s.farm.Sources = []plan.Source{{Named: plan.Named{ID: "bank"}, Kind: "loan"}}
	s.add("finance.sources.bank.amount: 90000 GBP")
	s.add("finance.sources.bank.rate: 7 %%/year")
	s.add("finance.sources.bank.term: 18 year")
	return s
}

// BenchmarkPlan works the whole plan out again: the books alone, and with the
// graph of figures run for each scale and read.
func BenchmarkPlan(b *testing.B) {
	for _, c := range []struct{ enterprises, years int }{{1, 5}, {3, 5}, {10, 5}, {30, 5}, {3, 10}, {3, 20}} {
		g, p := evenFarm(c.enterprises, c.years).compile(b)
		v, in, books := g.Base().Clone(), p.NewInputs(), p.NewBooks()
		p.Read(v, in)
		name := fmt.Sprintf("enterprises=%d/months=%d", c.enterprises, 12*c.years)
		b.Run("books/"+name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				p.Work(in, books)
			}
		})
		b.Run("read/"+name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				p.Read(v, in)
			}
		})
	}
}

// TestNoAllocation: working a plan out over and over, as a simulation does,
// allocates nothing.
func TestNoAllocation(t *testing.T) {
	s := evenFarm(3, 5)
	s.farm.Declining = true
	s.farm.Registered = true
	g, p := s.compile(t)
	v, in, books := g.Base().Clone(), p.NewInputs(), p.NewBooks()
	if n := testing.AllocsPerRun(50, func() {
		p.Read(v, in)
		p.Work(in, books)
	}); n != 0 {
		t.Errorf("a plan allocates %v times", n)
	}
}

// TestReadPutsBack: reading the plan's inputs leaves the case as it was, and
// the second time gives the same.
func TestReadPutsBack(t *testing.T) {
	g, p := evenFarm(2, 5).compile(t)
	v, in, books := g.Base().Clone(), p.NewInputs(), p.NewBooks()
	p.Read(v, in)
	p.Work(in, books)
	first := append([]float64{}, books.Row(plan.Bank)...)
	for _, f := range g.All() {
		if x := f.Current(); v.Of(f) != x && x == x {
			t.Fatalf("%s is %v after reading, it was %v", f.Name, v.Of(f), f.Current())
		}
	}
	in2 := p.NewInputs()
	p.Read(v, in2)
	p.Work(in2, books)
	for c, x := range books.Row(plan.Bank) {
		if x != first[c] {
			t.Fatalf("column %d: %v and then %v", c, first[c], x)
		}
	}
	// By hand over Scales and Reads, as a simulation in lanes does it.
	in3 := p.NewInputs()
	for k := range p.Vintages() {
		c := g.Base().Clone()
		p.Scales(k, func(scale, value *figures.Figure) {
			if value != nil {
				c.Set(scale, g.Base().Of(value))
			}
		})
		c.Run()
		p.Reads(func(slot int, f *figures.Figure, month int) { in3.Set(k, slot, c.At(f, month)) })
	}
	p.Work(in3, books)
	for c, x := range books.Row(plan.Bank) {
		if x != first[c] {
			t.Fatalf("column %d by hand: %v, expected %v", c, x, first[c])
		}
	}
}
