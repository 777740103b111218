package risk

import "math"

// A tableau is a linear program in the full-tableau form of the simplex
// method, for programs of up to some hundred rows and a thousand variables.
// Branch and bound solves thousands of such programs; gonum's simplex method
// factorises its basis anew with an estimate of its condition at each step,
// and stalls on the many ties of a farm's choices, so it serves the tests as a
// second opinion.
//
// Source: G. B. Dantzig's method in two phases with Bland's rule where it
// stalls, as in any textbook of linear programming; from memory.
type tableau struct {
	rows    [][]float64 // each with the limit as its last entry
	basis   []int
	gain    []float64 // reduced gains of phase two; last entry: minus the gain
	columns int       // without the limit
	vars    int       // the program's own
	first   int       // first artificial column
}

const (
	// enterTolerance is the reduced gain, scaled to about 1, that makes a
	// variable worth bringing in.
	enterTolerance = 1e-9
	// pivotTolerance is the smallest entry that may be divided by.
	pivotTolerance = 1e-9
	// stalled is how many steps without gain lead to Bland's rule, which
	// can't run in circles.
	stalled = 60
	// mostSteps bounds one program; real ones take a few times their rows.
	mostSteps = 50_000
	// unmet is how far a row may miss its limit, scaled to 1, by rounding.
	unmet = 1e-7
)

// columnScale returns for each variable the size that makes its largest entry
// about 1 beside the limit of its row.
func columnScale(rows []Row, n int) []float64 {
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
	return scale
}

func newTableau(gain []float64, rows []Row, scale []float64) *tableau {
	n, m := len(gain), len(rows)
	t := &tableau{vars: n, columns: n, basis: make([]int, m)}
	// A slack for each inequality, then an artificial variable for each row
	// whose slack can't start in the basis.
	slack, starts := make([]int, m), make([]bool, m)
	for i, row := range rows {
		slack[i] = -1
		if row.Sense != Equal {
			slack[i] = t.columns
			t.columns++
		}
		starts[i] = row.Sense == AtMost && row.Limit >= 0 || row.Sense == AtLeast && row.Limit <= 0
	}
	t.first = t.columns
	for i := range rows {
		if !starts[i] {
			t.columns++
		}
	}
	artificial := t.first
	for i, row := range rows {
		r := make([]float64, t.columns+1)
		sign := 1.0
		if row.Limit < 0 || row.Sense == AtLeast && row.Limit == 0 {
			sign = -1
		}
		size := math.Abs(row.Limit)
		if size == 0 {
			for j, x := range row.Coefficients {
				size = math.Max(size, math.Abs(x*scale[j]))
			}
		}
		if size == 0 {
			size = 1
		}
		for j, x := range row.Coefficients {
			r[j] = sign * x * scale[j] / size
		}
		r[t.columns] = sign * row.Limit / size
		if slack[i] >= 0 {
			r[slack[i]] = sign
			if row.Sense == AtLeast {
				r[slack[i]] = -sign
			}
			t.basis[i] = slack[i]
		}
		if !starts[i] {
			r[artificial] = 1
			t.basis[i] = artificial
			artificial++
		}
		t.rows = append(t.rows, r)
	}
	largest := 0.0
	for j, g := range gain {
		largest = math.Max(largest, math.Abs(g*scale[j]))
	}
	if largest == 0 {
		largest = 1
	}
	t.gain = make([]float64, t.columns+1)
	for j, g := range gain {
		t.gain[j] = g * scale[j] / largest
	}
	return t
}

// solve runs both phases.
func (t *tableau) solve() error {
	if t.first < t.columns {
		// Phase one brings the artificial variables down to 0: it maximises
		// minus their sum, whose reduced gains are the sums of their rows.
		one := make([]float64, t.columns+1)
		for i, j := range t.basis {
			if j >= t.first {
				for k, x := range t.rows[i] {
					one[k] += x
				}
			}
		}
		for j := t.first; j < t.columns; j++ {
			one[j] = 0
		}
		if err := t.climb(one, t.columns); err != nil {
			return err
		}
		for i, j := range t.basis {
			if j < t.first {
				continue
			}
			if t.rows[i][t.columns] > unmet {
				return ErrInfeasible
			}
			// Put a real variable in its place if the row still has one.
			for k := range t.first {
				if math.Abs(t.rows[i][k]) > 1e-7 {
					t.pivot(i, k, one)
					break
				}
			}
		}
	}
	return t.climb(t.gain, t.first)
}

// climb makes steps until no column below limit gains. Both gains are kept
// up to date.
func (t *tableau) climb(gain []float64, limit int) error {
	idle := 0
	for range mostSteps {
		enter, most := -1, enterTolerance
		for j := range limit {
			if gain[j] > most {
				enter, most = j, gain[j]
				if idle > stalled {
					break // Bland: the first that gains
				}
			}
		}
		if enter < 0 {
			return nil
		}
		leave, least := -1, math.Inf(1)
		for i, row := range t.rows {
			if row[enter] <= pivotTolerance {
				continue
			}
			ratio := row[t.columns] / row[enter]
			better := ratio < least-1e-12
			if !better && ratio <= least+1e-12 && leave >= 0 {
				if idle > stalled {
					better = t.basis[i] < t.basis[leave]
				} else {
					better = row[enter] > t.rows[leave][enter] // the steadier pivot
				}
			}
			if better {
				leave, least = i, math.Min(least, ratio)
			}
		}
		if leave < 0 {
			return ErrUnbounded
		}
		if least*most > 1e-12 {
			idle = 0
		} else {
			idle++
		}
		t.pivot(leave, enter, gain)
	}
	return ErrTooHard
}

func (t *tableau) pivot(row, column int, gain []float64) {
	r := t.rows[row]
	by := 1 / r[column]
	for k := range r {
		r[k] *= by
	}
	r[column] = 1
	eliminate := func(other []float64) {
		f := other[column]
		if f == 0 {
			return
		}
		for k, x := range r {
			other[k] -= float64(f * x)
		}
		other[column] = 0
	}
	for i, other := range t.rows {
		if i != row {
			eliminate(other)
			if last := &other[t.columns]; *last < 0 && *last > -1e-11 {
				*last = 0
			}
		}
	}
	eliminate(t.gain)
	if &gain[0] != &t.gain[0] {
		eliminate(gain)
	}
	t.basis[row] = column
}

// values returns the program's own variables, scaled.
func (t *tableau) values() []float64 {
	x := make([]float64, t.vars)
	for i, j := range t.basis {
		if j < t.vars {
			x[j] = math.Max(0, t.rows[i][t.columns])
		}
	}
	return x
}
