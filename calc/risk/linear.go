package risk

import (
	"errors"
	"fmt"
	"math"
)

// A Sense says how a row is bounded.
type Sense int

// The senses of a row.
const (
	AtMost Sense = iota
	AtLeast
	Equal
)

// A Row bounds a sum of variables: Coefficients · x, AtMost, AtLeast or Equal
// to Limit. Coefficients has one entry a variable.
type Row struct {
	Name         string
	Coefficients []float64
	Sense        Sense
	Limit        float64
}

// A Program asks for the x of at least 0 that make Gain · x greatest within all
// rows. Variables marked in Whole take whole numbers.
type Program struct {
	Gain  []float64
	Rows  []Row
	Whole []bool // nil: none
	// Sets are variables, in an order that means something (a scale), of which
	// at most one is 1 and the others 0. Rows must say so too; the search
	// uses a set to split it in two.
	Sets [][]int
	// Near, if set, makes a plan that keeps within all limits out of one that
	// is not whole. A good one spares much of the search.
	Near func(x []float64) (Optimum, bool)
}

// An Optimum is the answer to a Program.
type Optimum struct {
	Gain float64
	X    []float64
}

// The answers that are no plan.
var (
	ErrInfeasible = errors.New("risk: no plan keeps within all limits")
	ErrUnbounded  = errors.New("risk: the gain has no limit; a limit is missing")
	ErrTooHard    = errors.New("risk: the search for the best plan took too many steps")
)

const (
	// wholeness is how near to a whole number counts as whole.
	wholeness = 1e-6
	// mostNodes bounds the search over whole numbers.
	mostNodes = 20_000
)

// Solve returns the best plan: whole numbers by branch and bound, best bound
// first, over linear programs without them, until no other plan can be better
// by more than one part in a million. It returns ErrInfeasible, ErrUnbounded,
// or ErrTooHard with the best plan found so far.
//
// Source: W. L. Winston, "Operations Research", branch and bound; from memory.
func (p *Program) Solve() (Optimum, error) {
	for i, row := range p.Rows {
		if len(row.Coefficients) != len(p.Gain) {
			return Optimum{}, fmt.Errorf("risk: row %d has %d coefficients for %d variables", i, len(row.Coefficients), len(p.Gain))
		}
	}
	root, err := p.relaxed(nil)
	if err != nil || len(p.Whole) == 0 {
		return root, err
	}
	best := Optimum{Gain: math.Inf(-1)}
	open := []*node{{bound: root, rows: nil}}
	for nodes := 0; len(open) > 0; nodes++ {
		if nodes == mostNodes {
			return best, ErrTooHard
		}
		at := 0
		for i, n := range open {
			if n.bound.Gain > open[at].bound.Gain {
				at = i
			}
		}
		n := open[at]
		open[at] = open[len(open)-1]
		open = open[:len(open)-1]
		if n.bound.Gain <= best.Gain+gap(best.Gain) {
			continue
		}
		if p.Near != nil {
			if near, ok := p.Near(n.bound.X); ok && near.Gain > best.Gain {
				best = near
			}
		}
		j, fraction := p.mostFractional(n.bound.X)
		if j < 0 {
			if whole := p.rounded(n.bound); whole.Gain > best.Gain {
				best = whole
			}
			continue
		}
		for _, row := range p.split(j, fraction, n.bound.X) {
			rows := append(append([]Row{}, n.rows...), row)
			bound, err := p.relaxed(rows)
			switch {
			case errors.Is(err, ErrInfeasible):
				continue
			case err != nil:
				return best, err
			}
			if bound.Gain > best.Gain+gap(best.Gain) {
				open = append(open, &node{bound, rows})
			}
		}
	}
	if math.IsInf(best.Gain, -1) {
		return Optimum{}, ErrInfeasible
	}
	return best, nil
}

// A node is a part of the search: the program with more rows.
type node struct {
	bound Optimum
	rows  []Row
}

func gap(gain float64) float64 {
	if math.IsInf(gain, 0) {
		return 0
	}
	return 1e-6 * math.Max(1, math.Abs(gain))
}

func (p *Program) bound(j int, sense Sense, limit float64) Row {
	row := Row{Coefficients: make([]float64, len(p.Gain)), Sense: sense, Limit: limit}
	row.Coefficients[j] = 1
	return row
}

// split returns the two rows that part a program at a variable that is not
// whole: by its set, so that the smaller scales go one way and the larger the
// other, or else by the whole numbers around it.
func (p *Program) split(j int, value float64, x []float64) [2]Row {
	for _, set := range p.Sets {
		total, mean := 0.0, 0.0
		found := false
		for k, member := range set {
			total += x[member]
			mean += float64(float64(k) * x[member])
			found = found || member == j
		}
		if !found {
			continue
		}
		// The larger scales begin at cut. Either side must shut the plan at hand
		// out: one that takes less than a whole from the set is split into none
		// and some of it.
		cut := 0
		if total >= 1-wholeness {
			cut = min(int(math.Floor(mean/total))+1, len(set)-1)
		}
		larger := Row{Coefficients: make([]float64, len(p.Gain))}
		for _, member := range set[cut:] {
			larger.Coefficients[member] = 1
		}
		none, some := larger, larger
		none.Sense, none.Limit = AtMost, 0
		some.Sense, some.Limit = AtLeast, 1
		return [2]Row{none, some}
	}
	return [2]Row{p.bound(j, AtMost, math.Floor(value)), p.bound(j, AtLeast, math.Ceil(value))}
}

func (p *Program) mostFractional(x []float64) (index int, value float64) {
	index = -1
	most := wholeness
	for j, whole := range p.Whole {
		if !whole {
			continue
		}
		if f := math.Abs(x[j] - math.Round(x[j])); f > most {
			index, value, most = j, x[j], f
		}
	}
	return index, value
}

func (p *Program) rounded(o Optimum) Optimum {
	x := append([]float64{}, o.X...)
	gain := 0.0
	for j := range x {
		if p.Whole[j] {
			x[j] = math.Round(x[j])
		}
		gain += float64(p.Gain[j] * x[j])
	}
	return Optimum{gain, x}
}

// relaxed solves the program with more rows and without whole numbers.
func (p *Program) relaxed(more []Row) (Optimum, error) {
	rows := append(append([]Row{}, p.Rows...), more...)
	scale := columnScale(rows, len(p.Gain))
	t := newTableau(p.Gain, rows, scale)
	if err := t.solve(); err != nil {
		return Optimum{}, err
	}
	o := Optimum{X: t.values()}
	for j := range o.X {
		o.X[j] *= scale[j]
		o.Gain += float64(p.Gain[j] * o.X[j])
	}
	return o, nil
}

// Worth returns what one more unit of a row's limit adds to the gain of the
// program without whole numbers (its shadow price), by solving again with the
// limit moved up and down by a small part of it and taking the smaller change;
// 0 if the row does not bind.
func (p *Program) Worth(row int) (float64, error) {
	base, err := p.relaxed(nil)
	if err != nil {
		return 0, err
	}
	step := float64(1e-4 * math.Max(1, math.Abs(p.Rows[row].Limit)))
	moved := *p
	moved.Rows = append([]Row{}, p.Rows...)
	moved.Rows[row].Limit += step
	up, err := moved.relaxed(nil)
	if err != nil {
		return 0, err
	}
	worth := (up.Gain - base.Gain) / step
	if math.Abs(worth) < 1e-6 {
		return 0, nil
	}
	return worth, nil
}

// Slack returns how much of an AtMost row's limit a plan leaves.
func (p *Program) Slack(row int, x []float64) float64 {
	used := 0.0
	for j, c := range p.Rows[row].Coefficients {
		used += float64(c * x[j])
	}
	return p.Rows[row].Limit - used
}
