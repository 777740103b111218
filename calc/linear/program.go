// Package linear finds the plan that gains most within limits: linear programs
// whose variables have bounds, and some of which take whole numbers only.
//
// A Program is plain numbers and Solve a pure function of it: the same program
// has the same answer to the last bit on every machine, for sums are added in
// one order, a product is rounded before it is added, and what stops a search is
// a count and never a clock.
package linear

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// A Variable is something to be decided.
type Variable struct {
	Gain        float64 // what one unit of it adds to the gain
	Least, Most float64 // its bounds; Least is finite, Most may be math.Inf(1)
	Whole       bool    // whole numbers only; a yes or no is one from 0 to 1
}

// A Sense says how a row is bounded.
type Sense int

// The senses of a row.
const (
	AtMost Sense = iota
	AtLeast
	Equal
)

// A Term is a multiple of a variable.
type Term struct {
	Variable    int
	Coefficient float64
}

// A Row bounds a sum of terms, AtMost, AtLeast or Equal to Limit. A variable
// stands in it once at most.
type Row struct {
	Terms []Term
	Sense Sense
	Limit float64
}

// A Program asks for the values of its variables that keep within all rows and
// bounds and gain most.
type Program struct {
	Variables []Variable
	Rows      []Row
	// Sets are variables, in an order that means something (a scale), of which
	// at most one is 1 and the others 0: whole without being marked so, and
	// bounded without a row. Their Least is 0, and each is in one set at most.
	Sets [][]int
	// Near, if set, makes a plan that keeps within all limits, whole where it
	// must be, out of one that is not whole; nil if it finds none. A good one
	// spares much of the search.
	Near func(x []float64) []float64
}

// A Solution is the best plan that was found.
type Solution struct {
	Gain  float64
	X     []float64 // by variable
	Bound float64   // no plan gains more
	// Proven is false if the search came to its limit before every other plan
	// was shut out; the best may then gain up to Bound.
	Proven bool
	Work   Work
}

// Gap is how much more than Gain the best plan may gain; 0 once proven.
func (s *Solution) Gap() float64 {
	if s.Proven {
		return 0
	}
	return s.Bound - s.Gain
}

// Work is what a search took, counted.
type Work struct {
	Steps int // of the simplex method, tries before a split among them
	Nodes int // parts of the search that were solved
}

// The answers that are no plan.
var (
	ErrInfeasible = errors.New("linear: no plan keeps within all limits")
	ErrUnbounded  = errors.New("linear: the gain has no limit; a limit is missing")
	ErrTooHard    = errors.New("linear: the search came to its limit before it found a plan")
)

// Gain returns what a plan gains.
func (p *Program) Gain(x []float64) float64 {
	gain := 0.0
	for j, v := range p.Variables {
		gain += float64(v.Gain * x[j])
	}
	return gain
}

// Slack returns how much of a row's limit a plan leaves; below 0 what it is
// above an AtMost row's limit.
func (p *Program) Slack(row int, x []float64) float64 {
	used := 0.0
	for _, t := range p.Rows[row].Terms {
		used += float64(t.Coefficient * x[t.Variable])
	}
	return p.Rows[row].Limit - used
}

// keeps reports whether a plan keeps within all limits, but for rounding.
func (p *Program) keeps(x []float64) bool {
	for j, v := range p.Variables {
		slip := float64(unmet * math.Max(1, math.Abs(x[j])))
		if x[j] < v.Least-slip || x[j] > v.Most+slip {
			return false
		}
	}
	for i, row := range p.Rows {
		size := math.Abs(row.Limit)
		for _, t := range row.Terms {
			size = math.Max(size, math.Abs(t.Coefficient*x[t.Variable]))
		}
		slack, slip := p.Slack(i, x), float64(unmet*math.Max(size, 1e-300))
		if row.Sense != AtLeast && slack < -slip || row.Sense != AtMost && slack > slip {
			return false
		}
	}
	for _, set := range p.Sets {
		sum := 0.0
		for _, j := range set {
			sum += x[j]
		}
		if sum > 1+unmet {
			return false
		}
	}
	return true
}

// check refuses what is no program: a mistake of the caller's.
func (p *Program) check() error {
	for j, v := range p.Variables {
		if math.IsNaN(v.Gain) || math.IsInf(v.Gain, 0) || math.IsNaN(v.Least) || math.IsInf(v.Least, 0) || math.IsNaN(v.Most) {
			return fmt.Errorf("linear: variable %d has gain %g from %g to %g; want a finite gain and a finite least", j, v.Gain, v.Least, v.Most)
		}
	}
	seen := make([]int, len(p.Variables))
	for i, row := range p.Rows {
		if math.IsNaN(row.Limit) || math.IsInf(row.Limit, 0) {
			return fmt.Errorf("linear: row %d has the limit %g; want a finite one", i, row.Limit)
		}
		for _, t := range row.Terms {
			if t.Variable < 0 || t.Variable >= len(seen) || seen[t.Variable] == i+1 || math.IsNaN(t.Coefficient) || math.IsInf(t.Coefficient, 0) {
				return fmt.Errorf("linear: row %d has %g of variable %d; want a finite number, once, of one of %d variables", i, t.Coefficient, t.Variable, len(seen))
			}
			seen[t.Variable] = i + 1
		}
	}
	clear(seen)
	for i, set := range p.Sets {
		for _, j := range set {
			if j < 0 || j >= len(seen) || seen[j] > 0 || p.Variables[j].Least != 0 {
				return fmt.Errorf("linear: set %d has variable %d; want one whose least is 0 and that is in no other set", i, j)
			}
			seen[j] = 1
		}
	}
	return nil
}

// A Relaxation is the best plan of a program if nothing had to be whole.
type Relaxation struct {
	Gain float64
	X    []float64
	p    *Program
	s    *simplex
	end  state
}

// Relax solves the program without whole numbers: of a set, shares that come to
// 1 at most. It returns ErrInfeasible, or ErrUnbounded.
func (p *Program) Relax() (*Relaxation, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	s := newSimplex(p)
	if err := s.solve(noCutoff, manySteps); err != nil {
		return nil, err
	}
	s.refresh()
	return &Relaxation{Gain: s.objective(), X: s.values(), p: p, s: s, end: s.save()}, nil
}

// Slack returns how much of a row's limit the plan leaves.
func (r *Relaxation) Slack(row int) float64 { return r.p.Slack(row, r.X) }

// Worth returns what one more unit of the limits of some rows, of all of them at
// once, adds to the gain (their shadow price): the prices of the best plan once the
// limits are moved up by one part in a million, so that of several sets of prices
// those count that hold for more and not for less. It is 0 if moving the limits
// leaves no plan.
func (r *Relaxation) Worth(rows ...int) float64 {
	s, least := r.s, math.Inf(1)
	for _, row := range rows {
		least = math.Min(least, math.Max(1/s.rowScale[row], math.Abs(r.p.Rows[row].Limit)))
	}
	limits := slices.Clone(s.limit)
	s.load(&r.end)
	for _, row := range rows {
		s.limit[row] += float64(1e-6 * least * s.rowScale[row])
	}
	s.place()
	err := s.solve(noCutoff, manySteps)
	worth := 0.0
	for _, row := range rows {
		if price := -s.reduced[s.vars+row]; err == nil && math.Abs(price) > gainful {
			worth += float64(price * s.gainScale * s.rowScale[row])
		}
	}
	s.limit = limits
	return worth
}
