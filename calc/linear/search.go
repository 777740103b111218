package linear

import (
	"container/heap"
	"errors"
	"math"
	"slices"
)

const (
	// wholeness is how near to a whole number counts as whole.
	wholeness = 1e-6
	// near is the part of the gain by which a plan must be better to count: what
	// is proven is proven to that.
	nearly = 1e-6
	// tried is how many splits of a variable on each side make what a further
	// one brings foreseeable; until then both sides are tried for tryFor steps.
	tried, tryFor = 4, 40
	// tryMost is how many tries in a row that better nothing end the trying.
	tryMost = 8
)

// Solve returns the best plan: branch and bound over linear programs without
// whole numbers, the branch that may gain most first and each followed down until
// it can't be better than the best plan known by more than one part in a million.
// A variable is split where that lowers the bound on both sides most, foreseen
// from earlier splits or tried. It returns ErrInfeasible or ErrUnbounded; and if
// it comes to mostSteps steps of the simplex method, the best plan found so far as
// not Proven, or ErrTooHard if it found none.
//
// Sources: A. H. Land and A. G. Doig, "An automatic method of solving discrete
// programming problems", Econometrica 28 (1960); R. J. Dakin, "A tree-search
// algorithm for mixed integer programming problems", The Computer Journal 8
// (1965); for sets, E. M. L. Beale and J. A. Tomlin, "Special facilities in a
// general mathematical programming system for non-convex problems using ordered
// sets of variables", Proceedings of the Fifth International Conference on
// Operational Research (1970); for the choice of splits, T. Achterberg, T. Koch
// and A. Martin, "Branching rules revisited", Operations Research Letters 33
// (2005).
func (p *Program) Solve(mostSteps int) (Solution, error) {
	if err := p.check(); err != nil {
		return Solution{}, err
	}
	s := newSearch(p, mostSteps)
	err := s.run()
	s.best.Work = Work{Steps: s.lp.steps, Nodes: s.nodes}
	return s.best, err
}

// A search is branch and bound at work.
type search struct {
	p       *Program
	lp      *simplex
	limit   int // of steps
	nodes   int
	best    Solution
	open    queue
	pushed  int
	lost    float64 // the greatest bound of a part that rounding kept from being solved
	setOf   []int   // by variable: its set, or -1
	whole   []bool
	history []history // by variable, then by set
	least   []float64 // bounds at the root, by column
	most    []float64
	root    rootEnd
}

// A rootEnd is how the first program ended: a column whose reduced gain there
// outweighs what the bound has over the best plan can't move in a better one.
type rootEnd struct {
	bound   float64
	reduced []float64
	at      []place
}

// A history is what splits of a variable or set have lowered the bound by, for
// each unit that they shut out, down and up.
type history [2]struct {
	sum   float64
	count int
}

// A node is a part of the search that is still to be solved: the program with the
// splits on the way to it, and the basis of the best plan before the last of them.
type node struct {
	bound  float64
	order  int
	parent *node // of splits only
	split  split
	basis  []int
	high   []int // columns at their most
}

// A split is one side of a split: of a whole variable, at most at (down) or at
// least at+1 (up); of a set, none from its member at on, or one of those.
type split struct {
	key int // a variable, or the number of variables and a set's number
	at  int
	up  bool
}

// A fraction is a split that shuts the plan at hand out on both sides.
type fraction struct {
	key, at  int
	down, up float64 // what is shut out on either side
	score    float64
}

type queue []*node

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	if q[i].bound != q[j].bound {
		return q[i].bound > q[j].bound
	}
	return q[i].order < q[j].order
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(n any)   { *q = append(*q, n.(*node)) }
func (q *queue) Pop() any {
	last := len(*q) - 1
	n := (*q)[last]
	(*q)[last] = nil
	*q = (*q)[:last]
	return n
}

func newSearch(p *Program, limit int) *search {
	s := &search{p: p, lp: newSimplex(p), limit: limit, lost: math.Inf(-1), best: Solution{Gain: math.Inf(-1), Bound: math.Inf(1)},
		setOf: make([]int, len(p.Variables)), whole: make([]bool, len(p.Variables)),
		history: make([]history, len(p.Variables)+len(p.Sets))}
	for j, v := range p.Variables {
		s.setOf[j], s.whole[j] = -1, v.Whole
		if v.Whole {
			s.lp.least[j] = math.Ceil(v.Least-wholeness) / s.lp.scale[j]
			s.lp.most[j] = math.Floor(v.Most+wholeness) / s.lp.scale[j]
		}
	}
	for k, set := range p.Sets {
		for _, j := range set {
			s.setOf[j], s.whole[j] = k, true
		}
	}
	s.least, s.most = slices.Clone(s.lp.least), slices.Clone(s.lp.most)
	s.lp.place()
	return s
}

// run searches until nothing is left that could be better.
func (s *search) run() error {
	err := s.lp.solve(noCutoff, s.limit)
	if err != nil {
		if errors.Is(err, errSlow) || errors.Is(err, errLost) {
			err = ErrTooHard
		}
		return err
	}
	s.nodes = 1
	s.root = rootEnd{s.lp.objective(), slices.Clone(s.lp.reduced), slices.Clone(s.lp.at)}
	s.best.Bound = s.root.bound
	stopped := s.follow(nil)
	for !stopped && s.open.Len() > 0 && s.open[0].bound > s.enough() {
		n := heap.Pop(&s.open).(*node)
		s.visit(n)
		switch ok, more := s.solved(n.bound, s.limit-s.lp.steps); {
		case more:
			heap.Push(&s.open, n)
			stopped = true
		case ok:
			stopped = s.follow(n)
		}
	}
	none := math.IsInf(s.best.Gain, -1)
	left := s.lost
	if s.open.Len() > 0 {
		left = math.Max(left, s.open[0].bound)
	}
	switch {
	case none && !math.IsInf(left, -1):
		return ErrTooHard
	case none:
		return ErrInfeasible
	}
	s.best.Proven = left <= s.enough()
	s.best.Bound = math.Min(s.best.Bound, math.Max(left, s.enough()))
	return nil
}

// enough is what a plan must gain more than to be better than the best known.
func (s *search) enough() float64 {
	if math.IsInf(s.best.Gain, -1) {
		return s.best.Gain
	}
	return s.best.Gain + float64(nearly*math.Max(1, math.Abs(s.best.Gain)))
}

// solved solves the program at hand and reports whether it may still hold a
// better plan; or, in more, that it was left for want of steps.
func (s *search) solved(bound float64, steps int) (ok, more bool) {
	s.nodes++
	err := s.lp.solve(s.enough(), steps)
	switch {
	case errors.Is(err, errSlow):
		return false, true
	case errors.Is(err, errLost), errors.Is(err, ErrUnbounded):
		s.lost = math.Max(s.lost, bound)
		return false, false
	}
	return err == nil && s.lp.objective() > s.enough(), false
}

// follow goes down from a node that is solved: it splits, leaves the side that
// promises less for later, and goes on with the other until that is shut out. It
// reports whether it was stopped by the limit; what is left is open then.
func (s *search) follow(n *node) (stopped bool) {
	for {
		bound := s.lp.objective()
		x := s.lp.values()
		s.improve(x)
		if bound <= s.enough() {
			return false
		}
		fractions := s.fractions(x)
		if len(fractions) == 0 {
			s.take(x)
			return false
		}
		s.fix(bound)
		f, bounds := s.choose(fractions, bound)
		first, second := s.child(n, f, false, bounds[0]), s.child(n, f, true, bounds[1])
		if second.bound > first.bound || second.bound == first.bound && f.up < f.down {
			first, second = second, first
		}
		if second.bound > s.enough() {
			s.leave(second)
		}
		if first.bound <= s.enough() {
			return false
		}
		s.apply(first.split)
		s.lp.place()
		ok, more := s.solved(first.bound, s.limit-s.lp.steps)
		switch {
		case more:
			heap.Push(&s.open, first)
			return true
		case !ok:
			return false
		}
		side := 0
		shut := f.down
		if first.split.up {
			side, shut = 1, f.up
		}
		s.history[f.key].learn(side, bound-s.lp.objective(), shut)
		n = first
	}
}

func (h *history) learn(side int, drop, shut float64) {
	h[side].sum += math.Max(0, drop) / shut
	h[side].count++
}

// child is a side of a split.
func (s *search) child(n *node, f fraction, up bool, bound float64) *node {
	s.pushed++
	return &node{bound: bound, order: s.pushed, parent: n, split: split{f.key, f.at, up}}
}

// leave keeps a side for later, to start from the basis at hand.
func (s *search) leave(n *node) {
	n.basis = slices.Clone(s.lp.basis)
	for j, at := range s.lp.at {
		if at == high {
			n.high = append(n.high, j)
		}
	}
	heap.Push(&s.open, n)
}

// visit makes the program that of a node.
func (s *search) visit(n *node) {
	copy(s.lp.least, s.least)
	copy(s.lp.most, s.most)
	for up := n; up != nil; up = up.parent {
		s.apply(up.split)
	}
	at := make([]place, s.lp.columns)
	for _, j := range n.high {
		at[j] = high
	}
	s.lp.stand(n.basis, at)
	s.lp.place()
	n.basis, n.high = nil, nil
}

// apply narrows the bounds at hand to a side of a split.
func (s *search) apply(side split) {
	lp := s.lp
	if set := side.key - lp.vars; set >= 0 {
		members := s.p.Sets[set]
		shut := members[side.at:]
		if side.up {
			shut = members[:side.at]
			slack := lp.vars + len(s.p.Rows) + set
			lp.most[slack] = lp.least[slack]
		}
		for _, j := range shut {
			lp.most[j] = lp.least[j]
		}
		return
	}
	if side.up {
		lp.least[side.key] = math.Max(lp.least[side.key], float64(side.at+1)/lp.scale[side.key])
	} else {
		lp.most[side.key] = math.Min(lp.most[side.key], float64(side.at)/lp.scale[side.key])
	}
}

// improve takes the plan that Near makes, if it is better.
func (s *search) improve(x []float64) {
	if s.p.Near == nil {
		return
	}
	if plan := s.p.Near(x); plan != nil {
		s.take(plan)
	}
}

// take keeps a plan that is better than the best.
func (s *search) take(x []float64) {
	x = slices.Clone(x)
	for j, whole := range s.whole {
		if whole {
			x[j] = math.Round(x[j])
		}
	}
	if gain := s.p.Gain(x); gain > s.best.Gain && s.p.keeps(x) {
		s.best.Gain, s.best.X = gain, x
		s.narrow()
	}
}

// narrow fixes for good the columns that the best plan shows can't move.
func (s *search) narrow() {
	if s.root.at == nil {
		return
	}
	spare := (s.root.bound - s.enough()) / s.lp.gainScale
	for j := range s.lp.columns {
		if s.fixes(j, s.root.reduced[j], s.root.at[j], spare) {
			s.fixAt(j, s.root.at[j], s.least, s.most)
		}
	}
}

// fix fixes for the branch at hand the columns that its bound shows can't move.
func (s *search) fix(bound float64) {
	spare := (bound - s.enough()) / s.lp.gainScale
	for j := range s.lp.columns {
		if s.lp.moves(j) && s.fixes(j, s.lp.reduced[j], s.lp.at[j], spare) {
			s.fixAt(j, s.lp.at[j], s.lp.least, s.lp.most)
		}
	}
}

// fixes reports whether one whole unit of a column costs more than is to spare.
func (s *search) fixes(j int, reduced float64, at place, spare float64) bool {
	if at == basic {
		return false
	}
	unit := 1.0
	switch {
	case j < s.lp.vars && s.whole[j]:
		unit = 1 / s.lp.scale[j]
	case j < s.lp.vars+len(s.p.Rows):
		return false
	}
	return math.Abs(reduced)*unit > float64(spare*(1+1e-9))+1e-9
}

func (s *search) fixAt(j int, at place, least, most []float64) {
	if at == high {
		least[j] = most[j]
	} else {
		most[j] = least[j]
	}
}

// fractions lists the splits that a plan which is not whole offers.
func (s *search) fractions(x []float64) []fraction {
	var all []fraction
	for k, set := range s.p.Sets {
		if at, above, ok := cut(set, x); ok {
			all = append(all, fraction{key: len(s.p.Variables) + k, at: at, down: above, up: 1 - above})
		}
	}
	for j, whole := range s.whole {
		if !whole || s.setOf[j] >= 0 || math.Abs(x[j]-math.Round(x[j])) <= wholeness {
			continue
		}
		floor := math.Floor(x[j])
		all = append(all, fraction{key: j, at: int(floor), down: x[j] - floor, up: floor + 1 - x[j]})
	}
	return all
}

// cut returns where a set is best split, the member next above the mean of those
// that the plan mixes, and how much of it lies from there on; ok is false if the
// set is whole.
func cut(set []int, x []float64) (at int, above float64, ok bool) {
	mean := 0.0
	for k, j := range set {
		mean += float64(float64(k+1) * x[j])
		ok = ok || math.Abs(x[j]-math.Round(x[j])) > wholeness
	}
	if !ok {
		return 0, 0, false
	}
	from := func(at int) float64 {
		sum := 0.0
		for _, j := range set[at:] {
			sum += x[j]
		}
		return sum
	}
	// None of the set is its place 0. The split must shut some out on both
	// sides.
	at = min(int(math.Floor(mean)), len(set)-1)
	for at > 0 && from(at) <= wholeness {
		at--
	}
	for at < len(set)-1 && from(at) >= 1-wholeness {
		at++
	}
	return at, from(at), true
}

// choose picks the split that lowers the bound on both sides most, and returns
// what is known of the bound on either side.
func (s *search) choose(all []fraction, bound float64) (fraction, [2]float64) {
	mean := s.mean()
	for i := range all {
		f := &all[i]
		f.score = score(s.foreseen(f, 0, mean), s.foreseen(f, 1, mean))
	}
	slices.SortStableFunc(all, func(a, b fraction) int {
		switch {
		case a.score > b.score:
			return -1
		case a.score < b.score:
			return 1
		}
		return 0
	})
	best, bounds, idle := -1, [2]float64{bound, bound}, 0
	for i := range all {
		f := &all[i]
		sides := [2]float64{bound, bound}
		h := &s.history[f.key]
		if (h[0].count < tried || h[1].count < tried) && idle < tryMost && s.limit-s.lp.steps > tryFor {
			sides = s.try(*f, bound)
			f.score = score(bound-sides[0], bound-sides[1])
		}
		if best < 0 || f.score > all[best].score {
			best, bounds, idle = i, sides, 0
		} else {
			idle++
		}
		if bounds[0] <= s.enough() || bounds[1] <= s.enough() {
			break // one side is shut: no split is better
		}
	}
	return all[best], bounds
}

// score is high if both sides fall.
func score(down, up float64) float64 {
	const least = 1e-6
	return math.Max(down, least) * math.Max(up, least)
}

// foreseen is by how much a side of a split is likely to lower the bound.
func (s *search) foreseen(f *fraction, side int, mean [2]float64) float64 {
	shut := f.down
	if side == 1 {
		shut = f.up
	}
	if h := s.history[f.key][side]; h.count > 0 {
		return h.sum / float64(h.count) * shut
	}
	return mean[side] * shut
}

// mean is what a unit shut out has lowered the bound by, on either side, over all
// variables that were split.
func (s *search) mean() [2]float64 {
	var mean [2]float64
	for side := range mean {
		sum, count := 0.0, 0
		for _, h := range s.history {
			if h[side].count > 0 {
				sum += h[side].sum / float64(h[side].count)
				count++
			}
		}
		mean[side] = 1
		if count > 0 {
			mean[side] = sum / float64(count)
		}
	}
	return mean
}

// try solves both sides of a split for some steps, returns the bounds found, and
// leaves the program as it was.
func (s *search) try(f fraction, bound float64) [2]float64 {
	lp := s.lp
	before, since := lp.save(), lp.since
	least, most := slices.Clone(lp.least), slices.Clone(lp.most)
	var bounds [2]float64
	for side, shut := range []float64{f.down, f.up} {
		s.apply(split{f.key, f.at, side == 1})
		lp.place()
		err := lp.solve(s.enough(), tryFor)
		switch {
		case err == nil || errors.Is(err, errSlow):
			bounds[side] = math.Min(bound, lp.objective())
			s.history[f.key].learn(side, bound-bounds[side], shut)
		case errors.Is(err, errLost):
			bounds[side] = bound
		default:
			bounds[side] = math.Inf(-1) // nothing better is there
		}
		copy(lp.least, least)
		copy(lp.most, most)
		lp.load(&before)
		lp.since = since
	}
	lp.place()
	return bounds
}
