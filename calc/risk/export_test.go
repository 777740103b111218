package risk

import (
	"slices"

	"rickyard/calc/figures"
)

// Probe is the simulation's engine, but that it hands its case over instead of
// giving what it finds: for tests and benchmarks of the runs themselves.
func (s *Simulation) Probe(do *func(*figures.Case)) *figures.Engine {
	e := s.Engine()
	declare := e.Declare
	e.Declare = func(d *figures.Declaration) figures.Run {
		declare(d)
		return func(c *figures.Case) { (*do)(c) }
	}
	return e
}

// Probed hands over the case that a simulation declared with Probe is worked out
// from, with so many runs; 0 for its own number.
func Probed(g *figures.Graph, do *func(*figures.Case), runs int, with func(*figures.Case)) {
	*do = with
	v := g.Base().Clone()
	if runs > 0 {
		v.Set(g.Lookup("finance.risk.runs"), float64(runs))
	}
	v.Ask(g.Lookup("risk.runs"))
}

// Work works all runs out on as many workers.
func (s *Simulation) Work(c *figures.Case, workers int) *Outcomes { return s.run(c, workers) }

// Cone is what a simulation works again.
func (s *Simulation) Cone() *figures.Cone { return s.cone }

// Inputs are those that vary.
func (o *Outcomes) Inputs() []*figures.Figure {
	var all []*figures.Figure
	for i := range o.inputs {
		all = append(all, o.inputs[i].figure)
	}
	return all
}

// Report gives what the runs came to.
func (o *Outcomes) Report(c *figures.Case) { o.report(c) }

// Yearly reports whether an input is drawn anew for each year.
func (s *Simulation) Yearly(name string) bool {
	fits := func(refs []Ref) bool { return slices.ContainsFunc(refs, func(r Ref) bool { return r.fits(name) }) }
	for _, g := range s.Groups {
		if g.EachYear && (fits(g.Of) || fits(g.Against)) && !fits(g.Except) {
			return true
		}
	}
	return false
}
