//go:build unix

package risk_test

import (
	"fmt"
	"slices"
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
// run, with its draws and what is kept of it, to that of the same part of the graph
// worked in lanes; with-report counts the report too.
func BenchmarkRiskDemo(b *testing.B) {
	d := loadDemo(b, nil)
	const runs, width = 10_000, 64
	d.with(runs, func(c *figures.Case) {
		cone := d.s.Cone()
		drawn := d.s.Work(c, 0) // lays the cone out for what is drawn each year
		inputs := drawn.Inputs()
		b.Run("set", func(b *testing.B) {
			v, run := d.Base().Clone(), 0
			samples := make([][]float64, len(inputs))
			for i := range inputs {
				samples[i] = drawn.Drawn(i)
			}
			timed(b, 1, func() {
				for i, f := range inputs {
					v.Set(f, samples[i][run%runs])
				}
				v.Run()
				run++
			})
		})
		b.Run("cone", func(b *testing.B) {
			l := c.Lanes(cone, 1)
			timed(b, 1, func() { cone.Run(l) })
		})
		l := c.Lanes(cone, width)
		d.spread(l, drawn, width)
		b.Run("lanes", func(b *testing.B) { timed(b, width, func() { cone.Run(l) }) })
		for _, cores := range []int{1, 2} {
			b.Run(fmt.Sprintf("simulation/cores=%d", cores), func(b *testing.B) { timed(b, runs, func() { d.s.Work(c, cores) }) })
		}
		o := d.s.Work(c, 0)
		b.Run("report", func(b *testing.B) { timed(b, runs, func() { o.Report(c) }) })
		b.Run("ratio", func(b *testing.B) {
			var worked, told, bare float64
			for b.Loop() {
				start := processorTime()
				o := d.s.Work(c, 1)
				kept := processorTime()
				o.Report(c)
				between := processorTime()
				for range (runs + width - 1) / width {
					cone.Run(l)
				}
				worked, told, bare = worked+kept-start, told+between-start, bare+processorTime()-between
			}
			b.ReportMetric(worked/bare, "ratio")
			b.ReportMetric(told/bare, "with-report")
		})
	})
}

// spread sets cases to what was drawn in as many runs; an input that is drawn each
// year to the mean of its draws, in every year.
func (d *demo) spread(l *figures.Lanes, drawn *risk.Outcomes, width int) {
	var bends []figures.Bend
	for i, f := range drawn.Inputs() {
		values := drawn.Drawn(i)[:width]
		copy(l.Lane(f, 0), values)
		if !d.s.Yearly(f.Name) {
			continue
		}
		bends = append(bends, figures.Bend{Figure: f, Values: slices.Repeat(values, d.declared.Years)})
	}
	l.Bends(bends...)
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
			d.with(runs, func(c *figures.Case) {
				d.s.Work(c, 0) // takes the room that all later ones use
				timed(b, runs, func() { d.s.Work(c, 0) })
			})
		})
	}
	for _, n := range []int{1, 3, 6, 100} {
		grown(fmt.Sprintf("enterprises=%d/months=60", n), n, 0)
	}
	for _, years := range []int{1, 10, 20} {
		grown(fmt.Sprintf("enterprises=3/months=%d", 12*years), 3, years)
	}
}
