//go:build unix

package risk_test

import (
	"fmt"
	"syscall"
	"testing"

	"rickyard/calc/figures"
	"rickyard/calc/risk"
	"rickyard/data"
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

// BenchmarkRiskDemo holds the simulation of the whole demo farm against what it
// can't do without:
//
//	go test ./calc/risk -run '^$' -bench RiskDemo
//
// set is one case as the workbook itself works it out: the inputs that vary set
// in the whole graph, and all that rests on them. cone is what lies between them
// and what the simulation reads of a run, one case alone; lanes is the same, 64
// cases side by side, and nothing else. simulation is the runs with their draws,
// report the percentiles and rank correlations. ns/run is the time of one run by
// the clock, cpu-ns/run that of the processor. ratio is the processor's time of a
// run, draws, outcomes and report included, to that of the same part of the graph
// worked in lanes.
func BenchmarkRiskDemo(b *testing.B) {
	d := loadDemo(b, nil)
	const runs, width = 10_000, 64
	d.with(runs, func(c *figures.Case) {
		cone := d.s.Cone()
		inputs := d.s.Work(c, 0).Inputs() // lays the cone out for what is drawn each year
		b.Run("set", func(b *testing.B) {
			v := d.Base().Clone()
			timed(b, 1, func() {
				for _, f := range inputs {
					v.Set(f, f.Current())
				}
				v.Run()
			})
		})
		b.Run("cone", func(b *testing.B) {
			l := c.Lanes(cone, 1)
			timed(b, 1, func() { cone.Run(l) })
		})
		l := c.Lanes(cone, width)
		l.Bends(d.bends(inputs, width)...)
		b.Run("lanes", func(b *testing.B) { timed(b, width, func() { cone.Run(l) }) })
		for _, cores := range []int{1, 2} {
			b.Run(fmt.Sprintf("simulation/cores=%d", cores), func(b *testing.B) { timed(b, runs, func() { d.s.Work(c, cores) }) })
		}
		o := d.s.Work(c, 0)
		b.Run("report", func(b *testing.B) { timed(b, runs, func() { o.Report(c) }) })
		b.Run("ratio", func(b *testing.B) {
			whole, bare := 0.0, 0.0
			for b.Loop() {
				start := processorTime()
				d.s.Work(c, 1).Report(c)
				between := processorTime()
				for range (runs + width - 1) / width {
					cone.Run(l)
				}
				whole, bare = whole+between-start, bare+processorTime()-between
			}
			b.ReportMetric(whole/bare, "ratio")
		})
	})
}

// bends have the inputs that are drawn each year at what they are, in each year.
func (d *demo) bends(inputs []*figures.Figure, width int) []figures.Bend {
	var bends []figures.Bend
	for _, f := range inputs {
		if !d.s.Yearly(f.Name) {
			continue
		}
		b := figures.Bend{Figure: f}
		for range width * d.declared.Years {
			b.Values = append(b.Values, f.Current())
		}
		bends = append(bends, b)
	}
	return bends
}

// BenchmarkRiskGrowth is the simulation with more of the demo farm's enterprises
// and over more months.
func BenchmarkRiskGrowth(b *testing.B) {
	grown := func(name string, enterprises, years int) {
		d := loadDemo(b, func(f *data.Farm) {
			f.Planned = nil
			for i := range f.Enterprises[:min(enterprises, len(f.Enterprises))] {
				f.Planned = append(f.Planned, f.Enterprises[i].ID)
			}
			if years > 0 {
				f.Horizon = years
			}
			f.Risk.Groups, f.Risk.Fixed = append([]risk.Group(nil), f.Risk.Groups[:1]...), nil // what every choice of enterprises has
			f.Risk.Groups[0].Except = nil
		})
		b.Run(name, func(b *testing.B) {
			const runs = 1_000
			d.with(runs, func(c *figures.Case) { timed(b, runs, func() { d.s.Work(c, 0) }) })
		})
	}
	for _, n := range []int{1, 3, 6, 100} {
		grown(fmt.Sprintf("enterprises=%d/months=60", n), n, 0)
	}
	for _, years := range []int{1, 10, 20} {
		grown(fmt.Sprintf("enterprises=3/months=%d", 12*years), 3, years)
	}
}
