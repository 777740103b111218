package linear

import (
	"errors"
	"math"
	"slices"
)

// A simplex is a linear program in the revised simplex method with bounded
// variables: a column for each variable and a slack for each row and set, an
// explicit inverse of the basis, and steps both of the primal method and of the
// dual. Bounds are bounds and never rows, so what a search adds to a program
// leaves its size and, in the dual method's sense, its best basis as they are.
//
// Sources: G. B. Dantzig, "Upper Bounds, Secondary Constraints, and Block
// Triangularity in Linear Programming", Econometrica 23 (1955); C. E. Lemke, "The
// dual method of solving the linear programming problem", Naval Research Logistics
// Quarterly 1 (1954); J. J. Forrest and D. Goldfarb, "Steepest-edge simplex
// algorithms for linear programming", Mathematical Programming 57 (1992); P. M. J.
// Harris, "Pivot selection methods of the Devex LP code", Mathematical Programming
// 5 (1973); R. G. Bland, "New finite pivoting rules for the simplex method",
// Mathematics of Operations Research 2 (1977).
type simplex struct {
	rows, vars, columns int // columns: the variables, then a slack a row
	start               []int
	index               []int // the variables' entries, column by column
	value               []float64
	gain                []float64
	limit               []float64
	least, most         []float64 // by column, as they are now
	rowScale, scale     []float64 // powers of two, so that scaling rounds nothing
	gainScale           float64

	state
	pivots []float64 // scratch: a row of the tableau, by column
	enters []float64 // scratch: a column of the tableau, by row
	steps  int       // ever
}

// A state is where the method stands: what is basic, at which bound the others
// are, and what follows from that.
type state struct {
	basis   []int // by row
	at      []place
	inverse []float64 // rows by rows
	x       []float64 // of the basic columns, by row
	reduced []float64 // gains less the basis's prices, by column
	since   int       // steps since the inverse was made anew
}

// A place says where a column's value is.
type place uint8

const (
	low place = iota // at its least
	high
	basic
)

const (
	// gainful is the reduced gain, scaled to about 1, that counts as one.
	gainful = 1e-9
	// unfit is by how much a value, scaled to about 1, may miss its bound.
	unfit = 1e-9
	// unmet is by how much a finished plan may miss a limit, scaled to 1.
	unmet = 1e-6
	// tiny is the smallest entry that may be divided by.
	tiny = 1e-9
	// stale is after how many steps the inverse is made anew.
	stale = 64
	// stalled is how many steps without gain lead to Bland's rule, which can't
	// run in circles.
	stalled = 60
	// manySteps bounds one program; real ones take a few times their rows.
	manySteps = 50_000
)

var (
	noCutoff = math.Inf(-1)
	// errCutOff says that a program can't gain more than the cutoff.
	errCutOff = errors.New("linear: no better than what is known")
	// errSlow says that a program was left before its best plan was found; its
	// objective is a bound.
	errSlow = errors.New("linear: left before the best plan was found")
	// errLost says the same, and the objective says nothing.
	errLost = errors.New("linear: lost to rounding")
)

func newSimplex(p *Program) *simplex {
	n, m := len(p.Variables), len(p.Rows)+len(p.Sets)
	s := &simplex{rows: m, vars: n, columns: n + m,
		start: make([]int, n+1), gain: make([]float64, n+m), limit: make([]float64, m),
		least: make([]float64, n+m), most: make([]float64, n+m),
		pivots: make([]float64, n+m), enters: make([]float64, m),
		state: state{basis: make([]int, m), at: make([]place, n+m), inverse: make([]float64, m*m), x: make([]float64, m), reduced: make([]float64, n+m)}}
	s.entries(p)
	s.measure(p)
	for j, v := range p.Variables {
		s.gain[j] = v.Gain * s.scale[j] / s.gainScale
		s.least[j], s.most[j] = v.Least/s.scale[j], v.Most/s.scale[j]
	}
	for i := range m {
		j, sense, limit := n+i, AtMost, 1.0
		if i < len(p.Rows) {
			sense, limit = p.Rows[i].Sense, p.Rows[i].Limit
		}
		s.limit[i] = limit * s.rowScale[i]
		switch sense {
		case AtMost:
			s.most[j] = math.Inf(1)
		case AtLeast:
			s.least[j] = math.Inf(-1)
		}
		s.basis[i] = j
	}
	s.stand(slices.Clone(s.basis), s.at)
	return s
}

// entries writes rows and sets column by column.
func (s *simplex) entries(p *Program) {
	each := func(visit func(row, column int, x float64)) {
		for i, row := range p.Rows {
			for _, t := range row.Terms {
				if t.Coefficient != 0 {
					visit(i, t.Variable, t.Coefficient)
				}
			}
		}
		for k, set := range p.Sets {
			for _, j := range set {
				visit(len(p.Rows)+k, j, 1)
			}
		}
	}
	each(func(_, j int, _ float64) { s.start[j+1]++ })
	for j := range s.vars {
		s.start[j+1] += s.start[j]
	}
	next := slices.Clone(s.start)
	s.index, s.value = make([]int, s.start[s.vars]), make([]float64, s.start[s.vars])
	each(func(i, j int, x float64) {
		s.index[next[j]], s.value[next[j]] = i, x
		next[j]++
	})
}

// measure scales each row by its limit (by its largest entry if that is 0), then
// each column by its largest entry, and the gains by the largest.
func (s *simplex) measure(p *Program) {
	s.rowScale, s.scale, s.gainScale = make([]float64, s.rows), make([]float64, s.vars), 0
	for i := range s.rowScale {
		s.rowScale[i] = 1
		if i < len(p.Rows) {
			size := math.Abs(p.Rows[i].Limit)
			for _, t := range p.Rows[i].Terms {
				if p.Rows[i].Limit == 0 {
					size = math.Max(size, math.Abs(t.Coefficient))
				}
			}
			s.rowScale[i] = 1 / power(size)
		}
	}
	for j := range s.scale {
		largest := 0.0
		for k := s.start[j]; k < s.start[j+1]; k++ {
			s.value[k] *= s.rowScale[s.index[k]]
			largest = math.Max(largest, math.Abs(s.value[k]))
		}
		s.scale[j] = 1 / power(largest)
		for k := s.start[j]; k < s.start[j+1]; k++ {
			s.value[k] *= s.scale[j]
		}
		s.gainScale = math.Max(s.gainScale, math.Abs(p.Variables[j].Gain*s.scale[j]))
	}
	s.gainScale = power(s.gainScale)
}

// power is the power of two at x or next below it; 1 for 0.
func power(x float64) float64 {
	if x == 0 {
		return 1
	}
	_, e := math.Frexp(x)
	return math.Ldexp(1, e-1)
}

func (s *simplex) save() state {
	return state{slices.Clone(s.basis), slices.Clone(s.at), slices.Clone(s.inverse), slices.Clone(s.x), slices.Clone(s.reduced), s.since}
}

func (s *simplex) load(from *state) {
	copy(s.basis, from.basis)
	copy(s.at, from.at)
	copy(s.inverse, from.inverse)
	copy(s.x, from.x)
	copy(s.reduced, from.reduced)
	s.since = from.since
}

// stand takes a basis and makes its inverse, the slacks first, then the variables,
// each in the row of those left where its entry is largest; and what follows from
// it.
func (s *simplex) stand(basis []int, at []place) {
	copy(s.at, at)
	clear(s.inverse)
	free := make([]bool, s.rows)
	for i := range s.rows {
		s.inverse[i*s.rows+i] = 1
		s.basis[i] = s.vars + i
		free[i] = true
	}
	for _, j := range basis {
		if j >= s.vars {
			free[j-s.vars] = false
		}
	}
	for _, j := range basis {
		if j >= s.vars {
			continue
		}
		s.column(j)
		row := -1
		for i, ok := range free {
			if ok && math.Abs(s.enters[i]) > 1e-7 && (row < 0 || math.Abs(s.enters[i]) > math.Abs(s.enters[row])) {
				row = i
			}
		}
		if row < 0 {
			s.at[j] = low // it hangs on the others: its row keeps the slack
			continue
		}
		s.invert(row)
		s.basis[row], free[row] = j, false
	}
	for _, j := range s.basis {
		s.at[j] = basic
	}
	s.since = 0
	s.place()
	s.price()
}

// refresh makes the inverse of the basis anew.
func (s *simplex) refresh() { s.stand(slices.Clone(s.basis), slices.Clone(s.at)) }

// place puts every column that is not basic at a bound that it has, and works out
// the values of the basic ones.
func (s *simplex) place() {
	rest := slices.Clone(s.limit)
	for j := range s.columns {
		switch {
		case s.at[j] == low && math.IsInf(s.least[j], -1):
			s.at[j] = high
		case s.at[j] == high && math.IsInf(s.most[j], 1):
			s.at[j] = low
		}
		if s.at[j] == basic {
			continue
		}
		if x := s.bound(j); x != 0 { // a slack's bounds are 0
			for k := s.start[j]; k < s.start[j+1]; k++ {
				rest[s.index[k]] -= float64(s.value[k] * x)
			}
		}
	}
	for i := range s.x {
		s.x[i] = dot(s.inverse[i*s.rows:(i+1)*s.rows], rest)
	}
}

// price works out the reduced gains.
func (s *simplex) price() {
	prices := make([]float64, s.rows)
	for i, j := range s.basis {
		if g := s.gain[j]; g != 0 {
			for k, x := range s.inverse[i*s.rows : (i+1)*s.rows] {
				prices[k] += float64(g * x)
			}
		}
	}
	for j := range s.columns {
		s.reduced[j] = 0
		if s.at[j] != basic {
			s.reduced[j] = s.gain[j] - s.along(prices, j)
		}
	}
}

// bound is the value of a column that is not basic.
func (s *simplex) bound(j int) float64 {
	if s.at[j] == high {
		return s.most[j]
	}
	return s.least[j]
}

// along multiplies a row of the size of the basis by a column.
func (s *simplex) along(row []float64, j int) float64 {
	if j >= s.vars {
		return row[j-s.vars]
	}
	sum := 0.0
	for k := s.start[j]; k < s.start[j+1]; k++ {
		sum += float64(row[s.index[k]] * s.value[k])
	}
	return sum
}

// column works out a column of the tableau, into s.enters.
func (s *simplex) column(j int) {
	if j >= s.vars {
		for i := range s.enters {
			s.enters[i] = s.inverse[i*s.rows+j-s.vars]
		}
		return
	}
	clear(s.enters)
	for k := s.start[j]; k < s.start[j+1]; k++ {
		x, at := s.value[k], s.index[k]
		for i := range s.enters {
			s.enters[i] += float64(s.inverse[i*s.rows+at] * x)
		}
	}
}

// row works out a row of the tableau, into s.pivots, for the columns that may move.
func (s *simplex) row(i int) {
	row := s.inverse[i*s.rows : (i+1)*s.rows]
	for j := range s.columns {
		s.pivots[j] = 0
		if s.moves(j) {
			s.pivots[j] = s.along(row, j)
		}
	}
}

// moves reports whether a column is out of the basis and not fixed.
func (s *simplex) moves(j int) bool { return s.at[j] != basic && s.least[j] < s.most[j] }

// invert brings the inverse up to date: the column in s.enters takes a row.
func (s *simplex) invert(row int) {
	pivot := s.inverse[row*s.rows : (row+1)*s.rows]
	by := 1 / s.enters[row]
	for k := range pivot {
		pivot[k] *= by
	}
	for i, f := range s.enters {
		if f == 0 || i == row {
			continue
		}
		other := s.inverse[i*s.rows : (i+1)*s.rows]
		for k, x := range pivot {
			other[k] -= float64(f * x)
		}
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, x := range a {
		sum += float64(x * b[i])
	}
	return sum
}

// exchange makes a step: column enters, moved by so much from its bound, and the
// basic column of a row leaves to a bound. s.enters and s.pivots hold the column
// and the row of the tableau.
func (s *simplex) exchange(row, column int, by float64, to place) {
	leaves := s.basis[row]
	theta := s.reduced[column] / s.enters[row]
	if theta != 0 {
		for j := range s.columns {
			if s.pivots[j] != 0 {
				s.reduced[j] -= float64(theta * s.pivots[j])
			}
		}
	}
	s.reduced[column], s.reduced[leaves] = 0, -theta
	value := s.bound(column) + by
	s.shift(by)
	s.x[row] = value
	s.invert(row)
	s.basis[row], s.at[column], s.at[leaves] = column, basic, to
	s.count()
}

// shift moves the basic values as the column in s.enters moves.
func (s *simplex) shift(by float64) {
	for i, f := range s.enters {
		s.x[i] -= float64(by * f)
	}
}

// count counts a step and makes the inverse anew when it is stale.
func (s *simplex) count() {
	s.steps++
	if s.since++; s.since >= stale {
		s.refresh()
	}
}

// solve finds the best plan from where the method stands: by the dual method if a
// basic value misses its bound, with the gains that are in its way left out at
// first, and then by the primal one. It returns ErrInfeasible, ErrUnbounded,
// errCutOff once the plan can't gain more than cutoff, errSlow after so many steps
// of which the last were the dual method's, or errLost after as many others.
func (s *simplex) solve(cutoff float64, most int) error {
	for j := range s.columns {
		if s.least[j] > s.most[j] {
			return ErrInfeasible
		}
	}
	end := s.steps + most
	for range 8 {
		if s.fits() {
			if err := s.primal(end); err != nil {
				return err
			}
			if s.fits() {
				return nil
			}
			continue
		}
		var left []int
		var gains []float64
		for j := range s.columns {
			if !s.moves(j) || !s.wrong(j) {
				continue
			}
			if s.at[j] == low && !math.IsInf(s.most[j], 1) {
				s.at[j] = high
			} else if s.at[j] == high && !math.IsInf(s.least[j], -1) {
				s.at[j] = low
			} else {
				left, gains = append(left, j), append(gains, s.gain[j])
				s.gain[j] -= s.reduced[j]
			}
		}
		s.place()
		below := cutoff
		if left != nil {
			below = noCutoff
			s.price()
		}
		err := s.dual(below, end)
		for k, j := range left {
			s.gain[j] = gains[k]
		}
		if left != nil {
			s.price()
			if errors.Is(err, errSlow) {
				err = errLost
			}
		}
		if err != nil {
			return err
		}
	}
	return errLost
}

// fits reports whether the basic values keep within their bounds.
func (s *simplex) fits() bool {
	for i, j := range s.basis {
		if s.x[i] < s.least[j]-unfit || s.x[i] > s.most[j]+unfit {
			return false
		}
	}
	return true
}

// priced reports whether no column out of the basis would gain.
func (s *simplex) priced() bool {
	for j := range s.columns {
		if s.moves(j) && s.wrong(j) {
			return false
		}
	}
	return true
}

// wrong reports whether a column that may move would gain by it.
func (s *simplex) wrong(j int) bool {
	return s.at[j] == low && s.reduced[j] > gainful || s.at[j] == high && s.reduced[j] < -gainful
}

// dual makes steps of the dual method until all values keep within their bounds.
// No column out of the basis may gain at its start.
func (s *simplex) dual(cutoff float64, end int) error {
	for idle := 0; ; {
		row, below := s.misses(idle > stalled)
		if row < 0 {
			return nil
		}
		if s.steps >= end {
			return errSlow
		}
		if cutoff != noCutoff && s.objective() <= cutoff {
			return errCutOff
		}
		s.row(row)
		column := s.dualRatio(below, idle > stalled)
		if column < 0 {
			return ErrInfeasible
		}
		s.column(column)
		if off := math.Abs(s.enters[row] - s.pivots[column]); off > 1e-7*(1+math.Abs(s.pivots[column])) && s.since > 0 {
			s.refresh() // rounding has grown
			continue
		}
		if math.Abs(s.reduced[column]) > gainful {
			idle = 0
		} else {
			idle++
		}
		leaves := s.basis[row]
		to, bound := high, s.most[leaves]
		if below {
			to, bound = low, s.least[leaves]
		}
		s.exchange(row, column, (s.x[row]-bound)/s.enters[row], to)
	}
}

// misses returns the row whose basic value is furthest beyond a bound, measured
// along its edge (the length of the inverse's row), and whether it is below; or of
// all such rows the one whose column comes first; -1 if there is none.
func (s *simplex) misses(first bool) (row int, below bool) {
	row = -1
	most := 0.0
	for i, j := range s.basis {
		short, over := s.least[j]-s.x[i], s.x[i]-s.most[j]
		miss := math.Max(short, over)
		if miss <= unfit {
			continue
		}
		edge := s.inverse[i*s.rows : (i+1)*s.rows]
		score := miss * miss / dot(edge, edge)
		if first {
			score = 1 / float64(1+j)
		}
		if score > most {
			row, below, most = i, short > over, score
		}
	}
	return row, below
}

// dualRatio returns the column whose reduced gain is the first to vanish as the
// row in s.pivots is brought to its bound; of those that nearly tie, the one with
// the largest entry, or the one that comes first; -1 if there is none.
func (s *simplex) dualRatio(below, first bool) int {
	entry := func(j int) float64 {
		if (s.at[j] == high) != below {
			return -s.pivots[j]
		}
		return s.pivots[j]
	}
	least := math.Inf(1)
	for j := range s.columns {
		if s.pivots[j] != 0 {
			if a := entry(j); a > tiny {
				least = math.Min(least, (math.Abs(s.reduced[j])+gainful)/a)
			}
		}
	}
	column, largest := -1, tiny
	for j := range s.columns {
		if s.pivots[j] != 0 {
			if a := entry(j); a > largest && math.Abs(s.reduced[j]) <= least*a {
				column, largest = j, a
				if first {
					break
				}
			}
		}
	}
	return column
}

// primal makes steps of the primal method until no column gains.
func (s *simplex) primal(end int) error {
	idle := 0
	for {
		column := s.gains(idle > stalled)
		if column < 0 {
			return nil
		}
		if s.steps >= end {
			return errLost
		}
		s.column(column)
		up := 1.0
		if s.at[column] == high {
			up = -1
		}
		row, by, to := s.primalRatio(column, up, idle > stalled)
		if math.IsInf(by, 1) {
			return ErrUnbounded
		}
		if float64(by*math.Abs(s.reduced[column])) > 1e-12 {
			idle = 0
		} else {
			idle++
		}
		if row < 0 {
			s.shift(up * by)
			s.at[column] = low + high - s.at[column]
			s.steps++
			continue
		}
		s.row(row)
		s.exchange(row, column, up*by, to)
	}
}

// gains returns the column that gains most by moving, or the first that gains; -1
// for none.
func (s *simplex) gains(first bool) int {
	column, most := -1, 0.0
	for j := range s.columns {
		if s.moves(j) && s.wrong(j) && math.Abs(s.reduced[j]) > most {
			column, most = j, math.Abs(s.reduced[j])
			if first {
				break
			}
		}
	}
	return column
}

// primalRatio returns the row that stops a column on its way up or down, how far
// it comes, and to which bound that row's basic column goes; row -1 if it comes
// to its own other bound.
func (s *simplex) primalRatio(column int, up float64, first bool) (row int, by float64, to place) {
	row, by = -1, s.most[column]-s.least[column]
	for i, j := range s.basis {
		f := float64(up * s.enters[i])
		if math.Abs(f) <= tiny {
			continue
		}
		goes, room := low, s.x[i]-s.least[j]
		if f < 0 {
			goes, room = high, s.most[j]-s.x[i]
		}
		ratio := math.Max(0, room) / math.Abs(f)
		better := ratio < by-1e-12
		if !better && row >= 0 && ratio <= by+1e-12 {
			if first {
				better = j < s.basis[row]
			} else {
				better = math.Abs(f) > math.Abs(s.enters[row]) // the steadier pivot
			}
		}
		if better {
			row, by, to = i, math.Min(by, ratio), goes
		}
	}
	return row, by, to
}

// objective is what the plan at hand gains: a bound of the gain while the dual
// method is on its way.
func (s *simplex) objective() float64 {
	gain := 0.0
	for i, j := range s.basis {
		gain += float64(s.gain[j] * s.x[i])
	}
	for j := range s.vars {
		if s.at[j] != basic && s.gain[j] != 0 {
			if x := s.bound(j); x != 0 {
				gain += float64(s.gain[j] * x)
			}
		}
	}
	return gain * s.gainScale
}

// values are the variables as the program has them.
func (s *simplex) values() []float64 {
	x := make([]float64, s.vars)
	for j := range x {
		if s.at[j] != basic {
			x[j] = s.bound(j) * s.scale[j]
		}
	}
	for i, j := range s.basis {
		if j < s.vars {
			x[j] = math.Max(s.least[j], math.Min(s.most[j], s.x[i])) * s.scale[j]
		}
	}
	return x
}
