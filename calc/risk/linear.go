package risk

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
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
	// tolerance is the reduced cost, after scaling to about 1, below which the
	// simplex method stops.
	tolerance = 1e-10
	// wholeness is how near to a whole number counts as whole.
	wholeness = 1e-6
	// mostNodes bounds the search over whole numbers.
	mostNodes = 200_000
	// penalty is the cost of leaving a row unmet, beside gains scaled to 1. Larger ones cost
	// precision.
	penalty = 1e5
)

// Solve returns the best plan. Linear programs are solved by gonum's simplex
// method; whole numbers by branch and bound over it, best bound first, until
// no other plan can be better by more than one part in a million. It returns
// ErrInfeasible, ErrUnbounded, or ErrTooHard with the best plan found so far.
//
// Source: W. L. Winston, "Operations Research", branch and bound; from memory.
func (p *Program) Solve() (Optimum, error) {
	for i, row := range p.Rows {
		if len(row.Coefficients) != len(p.Gain) {
			return Optimum{}, fmt.Errorf("risk: row %d has %d coefficients for %d variables", i, len(row.Coefficients), len(p.Gain))
		}
	}
	root, err := p.relaxed(nil)
	if err != nil || p.Whole == nil {
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
		j, fraction := p.mostFractional(n.bound.X)
		if j < 0 {
			best = p.rounded(n.bound)
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
			mean += float64(k) * x[member]
			found = found || member == j
		}
		if !found {
			continue
		}
		cut := int(math.Floor(mean/total)) + 1 // the larger scales begin here
		if total < 1-wholeness && cut >= len(set) || total < 0.5 {
			cut = 0
		}
		cut = min(cut, len(set)-1)
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
		gain += p.Gain[j] * x[j]
	}
	return Optimum{gain, x}
}

// relaxed solves the program with more rows and without whole numbers.
func (p *Program) relaxed(more []Row) (Optimum, error) {
	rows := append(append([]Row{}, p.Rows...), more...)
	n := len(p.Gain)
	// Each variable and each row is scaled to a size of about 1, for the
	// method's tolerances are absolute.
	scale := make([]float64, n)
	for j := range scale {
		largest := 0.0
		for _, row := range rows {
			if row.Limit != 0 {
				largest = math.Max(largest, math.Abs(row.Coefficients[j]/row.Limit))
			}
		}
		scale[j] = 1
		if largest > 0 {
			scale[j] = 1 / largest
		}
	}
	gain := 0.0
	for j, g := range p.Gain {
		gain = math.Max(gain, math.Abs(g*scale[j]))
	}
	if gain == 0 {
		gain = 1
	}
	// Columns: the variables, then a slack or surplus for each inequality, then
	// an artificial one for each row that has no slack to start from.
	m := len(rows)
	columns := n
	slack := make([]int, m)
	artificial := make([]int, m)
	flip := make([]bool, m)
	for i, row := range rows {
		slack[i], artificial[i] = -1, -1
		flip[i] = row.Limit < 0
		if row.Sense != Equal {
			slack[i] = columns
			columns++
		}
	}
	for i, row := range rows {
		// After flipping to a limit of at least 0, an AtMost row starts from
		// its slack; the others need an artificial column.
		if starts := row.Sense == AtMost && !flip[i] || row.Sense == AtLeast && flip[i]; !starts {
			artificial[i] = columns
			columns++
		}
	}
	a := mat.NewDense(m, columns, nil)
	b := make([]float64, m)
	c := make([]float64, columns)
	basic := make([]int, m)
	for j, g := range p.Gain {
		c[j] = -g * scale[j] / gain
	}
	for i, row := range rows {
		sign := 1.0
		if flip[i] {
			sign = -1
		}
		size := math.Abs(row.Limit)
		for j, x := range row.Coefficients {
			if row.Limit == 0 {
				size = math.Max(size, math.Abs(x*scale[j]))
			}
		}
		if size == 0 {
			size = 1
		}
		for j, x := range row.Coefficients {
			a.Set(i, j, sign*x*scale[j]/size)
		}
		b[i] = sign * row.Limit / size
		if slack[i] >= 0 {
			s := sign
			if row.Sense == AtLeast {
				s = -sign
			}
			a.Set(i, slack[i], s)
			basic[i] = slack[i]
		}
		if artificial[i] >= 0 {
			a.Set(i, artificial[i], 1)
			c[artificial[i]] = penalty
			basic[i] = artificial[i]
		}
	}
	x, err := simplex(c, a, b, basic)
	if err != nil {
		return Optimum{}, err
	}
	for _, j := range artificial {
		if j >= 0 && x[j] > 1e-7 {
			return Optimum{}, ErrInfeasible
		}
	}
	o := Optimum{X: make([]float64, n)}
	for j := range o.X {
		o.X[j] = x[j] * scale[j]
		o.Gain += p.Gain[j] * o.X[j]
	}
	return o, nil
}

// simplex runs gonum's method from a basis that is feasible. Where ties make
// it stall, the limits are moved apart by parts in a billion, which moves the
// answer by no more, and it is run again.
func simplex(c []float64, a *mat.Dense, b []float64, basic []int) ([]float64, error) {
	rows, columns := a.Dims()
	// A column of zeros can't enter a basis; the library refuses it.
	keep := make([]int, 0, columns)
	for j := range columns {
		zero := true
		for i := range rows {
			zero = zero && a.At(i, j) == 0
		}
		if !zero {
			keep = append(keep, j)
			continue
		}
		if c[j] < 0 {
			return nil, ErrUnbounded
		}
	}
	position := map[int]int{}
	small := mat.NewDense(rows, len(keep), nil)
	cost := make([]float64, len(keep))
	for k, j := range keep {
		position[j] = k
		cost[k] = c[j]
		for i := range rows {
			small.Set(i, k, a.At(i, j))
		}
	}
	start := make([]int, len(basic))
	for i, j := range basic {
		start[i] = position[j]
	}
	var last error
	for try := range 4 {
		limits := append([]float64{}, b...)
		if try > 0 {
			for i := range limits {
				limits[i] += math.Pow(10, float64(try-10)) * (1 + float64((i*7919)%rows)/float64(rows))
			}
		}
		order := append([]int{}, start...)
		_, x, err := lp.Simplex(cost, small, limits, tolerance, order)
		if err == nil {
			full := make([]float64, columns)
			for k, j := range keep {
				full[j] = x[k]
			}
			return full, nil
		}
		if errors.Is(err, lp.ErrUnbounded) {
			return nil, ErrUnbounded
		}
		last = err
	}
	return nil, fmt.Errorf("risk: the simplex method failed: %w", last)
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
	step := 1e-4 * math.Max(1, math.Abs(p.Rows[row].Limit))
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
		used += c * x[j]
	}
	return p.Rows[row].Limit - used
}

// byGain orders indices by falling value.
func byGain(values []float64) []int {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return values[order[a]] > values[order[b]] })
	return order
}
