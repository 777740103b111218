//go:build unix

package main

import (
	"fmt"
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
//	go test ./cmd/rickyard -run '^$' -bench RiskDemo
//
// plain is one case worked out as the workbook itself does it: all that rests on
// the inputs that vary, at each year's scales, then the books. figures is the
// arithmetic of what the plan reads, in lanes and nothing else; books that of
// the months. simulation is 10,000 runs with their draws, settled those inputs'
// tables of chances, report the percentiles and rank correlations. ns/run is the
// time of one run by the clock, cpu-ns/run that of the processor.
func BenchmarkRiskDemo(b *testing.B) {
	g, farm := demoGraph(b)
	benchRisk(b, g, farm.Plan(), farm.Risk, true)
}

// BenchmarkRiskGrowth is the simulation with more of the demo farm's enterprises
// and over more months.
func BenchmarkRiskGrowth(b *testing.B) {
	g, farm := demoGraph(b)
	var all []string
	for i := range farm.Enterprises {
		all = append(all, farm.Enterprises[i].ID)
	}
	settings := farm.Risk
	settings.Groups, settings.Fixed = settings.Groups[:1], nil // what every choice of enterprises has
	settings.Groups[0].Except = nil
	for _, n := range []int{1, 3, 6, len(all)} {
		farm.Planned = all[:n]
		b.Run(fmt.Sprintf("enterprises=%d/months=60", n), func(b *testing.B) { benchRisk(b, g, farm.Plan(), settings, false) })
	}
	farm.Planned = all[:3]
	for _, years := range []int{1, 10, 20} {
		whole := farm.Plan()
		whole.Years = years
		b.Run(fmt.Sprintf("enterprises=3/months=%d", 12*years), func(b *testing.B) { benchRisk(b, g, whole, settings, false) })
	}
}

func benchRisk(b *testing.B, g *figures.Graph, whole *plan.Farm, settings risk.Settings, parts bool) {
	s, errs := risk.NewSimulation(g, whole, settings)
	if len(errs) > 0 {
		b.Fatal(errs)
	}
	if !parts {
		timed(b, s.Runs, func() { s.Run(0) })
		return
	}
	inputs := s.Inputs()
	apart := *whole // as the simulation has them
	apart.Apart = true
	p := plan.Compile(g, &apart)
	b.Run("plain", func(b *testing.B) {
		v, in, books := g.Base().Clone(), p.NewInputs(), p.NewBooks()
		timed(b, 1, func() {
			for _, f := range inputs {
				v.Set(f, f.Current())
			}
			p.Read(v, in)
			p.Work(in, books)
		})
	})
	b.Run("figures", func(b *testing.B) {
		const n = 64
		changed := append([]*figures.Figure{}, inputs...)
		var wanted []*figures.Figure
		p.Scales(0, func(scale, _ *figures.Figure) { changed = append(changed, scale) })
		p.Reads(func(_ int, f *figures.Figure, _ int) { wanted = append(wanted, f) })
		route, lanes := g.RouteTo(changed, wanted), g.NewLanes(n)
		timed(b, n, func() {
			for range p.Vintages() {
				route.RunLanes(lanes)
			}
		})
	})
	b.Run("books", func(b *testing.B) {
		in, books := p.NewInputs(), p.NewBooks()
		p.Read(g.Base().Clone(), in)
		timed(b, 1, func() { p.Work(in, books) })
	})
	for _, cores := range []int{1, 2} {
		b.Run(fmt.Sprintf("simulation/cores=%d", cores), func(b *testing.B) { timed(b, s.Runs, func() { s.Run(cores) }) })
	}
	o := s.Run(0)
	b.Run("report", func(b *testing.B) { timed(b, s.Runs, func() { o.Report() }) })
	b.Run("settled", func(b *testing.B) { timed(b, s.Runs, func() { risk.NewSimulation(g, whole, settings) }) })
}
