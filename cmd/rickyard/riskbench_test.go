//go:build unix

package main

import (
	"syscall"
	"testing"

	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/risk"
)

// processorTime is what this process has used of all cores, in nanoseconds: on a
// machine that does other work too it says more than the clock.
func processorTime() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano() + u.Stime.Nano())
}

// timed runs a benchmark that does n things each time, and reports what one of
// them takes by the clock and of the processor.
func timed(b *testing.B, n int, do func()) {
	b.ReportAllocs()
	before := processorTime()
	for b.Loop() {
		do()
	}
	b.ReportMetric((processorTime()-before)/float64(b.N)/float64(n), "cpu-ns/run")
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/run")
}

// BenchmarkRiskDemo holds the simulation of the whole demo farm against the
// arithmetic that it can't do without:
//
//	go test ./cmd/rickyard -run '^$' -bench RiskDemo -cpu 1,2
//
// plain is one case worked out as the workbook itself does it, with what each
// run needs and no more: the graph from the drawn inputs for each year's scales,
// then the books. simulation is 10,000 runs; ns/run is the time of one.
func BenchmarkRiskDemo(b *testing.B) {
	g, farm := demoGraph(b)
	b.Run("plain", func(b *testing.B) {
		whole := farm.Plan()
		whole.Apart = true // as many years as the simulation works out
		p := plan.Compile(g, whole)
		v, in, books := g.Base().Clone(), p.NewInputs(), p.NewBooks()
		var ranged []*figures.Figure
		for _, f := range g.All() {
			if f.IsInput() && f.Type.Len == 0 && (f.Low != nil || f.High != nil) {
				ranged = append(ranged, f)
			}
		}
		timed(b, 1, func() {
			for _, f := range ranged {
				v.Set(f, f.Current())
			}
			p.Read(v, in)
			p.Work(in, books)
		})
	})
	b.Run("books", func(b *testing.B) {
		p := plan.Compile(g, farm.Plan())
		in, books := p.NewInputs(), p.NewBooks()
		p.Read(g.Base().Clone(), in)
		timed(b, 1, func() { p.Work(in, books) })
	})
	b.Run("simulation", func(b *testing.B) {
		s, errs := risk.NewSimulation(g, farm.Plan(), farm.Risk)
		if len(errs) > 0 {
			b.Fatal(errs)
		}
		timed(b, s.Runs, func() { s.Run(0) })
	})
	b.Run("report", func(b *testing.B) {
		s, _ := risk.NewSimulation(g, farm.Plan(), farm.Risk)
		o := s.Run(0)
		timed(b, s.Runs, func() { o.Report() })
	})
	b.Run("settle", func(b *testing.B) {
		timed(b, 10_000, func() { risk.NewSimulation(g, farm.Plan(), farm.Risk) })
	})
}
