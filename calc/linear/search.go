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
	// nearly is the part of the gain by which a plan must be better to count: what
	// is proven is proven to that.
	nearly = 1e-6
)

// Solve returns the best plan: branch and bound over linear programs without
// whole numbers, the branch that may gain most first and each followed down until
// it can't be better than the best plan known by more than one part in a million.
// What is left is cut in two where that lowers the bound on both sides most, foreseen
// from earlier cuts and then tried. It returns ErrInfeasible or ErrUnbounded; and if
// it comes to mostSteps steps of the simplex method, the best plan found so far as
// not Proven, or ErrTooHard if it found none.
//
// Sources: A. H. Land and A. G. Doig, "An automatic method of solving discrete
// programming problems", Econometrica 28 (1960); R. J. Dakin, "A tree-search
// algorithm for mixed integer programming problems", The Computer Journal 8
// (1965); for sets, E. M. L. Beale and J. A. Tomlin, "Special facilities in a
// general mathematical programming system for non-convex problems using ordered
// sets of variables", Proceedings of the Fifth International Conference on
// Operational Research (1970); for the choice of cuts, M. Benichou et al.,
// "Experiments in mixed-integer linear programming", Mathematical Programming 1
// (1971), and T. Achterberg, T. Koch and A. Martin, "Branching rules revisited",
// Operations Research Letters 33 (2005).
func (p *Program) Solve(mostSteps int) (Solution, error) {
	if err := p.check(); err != nil {
		return Solution{}, err
	}
	s := newSearch(p, mostSteps)
	if err := s.run(); err != nil {
		return Solution{}, err
	}
	s.best.Work = Work{Steps: s.lp.steps, Nodes: s.nodes}
	return s.best, nil
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

// A split is one side of a cut: of a whole variable, at most at (side 0, down) or
// at least at+1 (side 1, up); of a set, none from its member at on, or one of those.
type split struct {
	key  int // a variable, or the number of variables and a set's number
	at   int
	side int
}

// A queue has the node that may gain most first, and of equal ones the oldest.
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
	}
	for k, set := range p.Sets {
		for _, j := range set {
			s.setOf[j], s.whole[j] = k, true
		}
	}
	for j, v := range p.Variables {
		if s.whole[j] {
			s.lp.least[j] = math.Ceil(v.Least-wholeness) / s.lp.scale[j]
			s.lp.most[j] = math.Floor(v.Most+wholeness) / s.lp.scale[j]
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
	s.lp.refresh()
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
		cuts := s.cuts(x)
		if len(cuts) == 0 {
			if !s.take(x) {
				s.lost = math.Max(s.lost, bound)
			}
			return false
		}
		s.fix(bound)
		c := s.choose(cuts, bound)
		first, second := s.child(n, c, 0), s.child(n, c, 1)
		if second.bound > first.bound || second.bound == first.bound && c.shut[1] < c.shut[0] {
			first, second = second, first
		}
		if second.bound > s.enough() {
			s.leave(second, c)
		}
		if first.bound <= s.enough() {
			return false
		}
		if end := c.sides[first.split.side].end; end != nil {
			s.lp.load(end)
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
		n = first
	}
}

// child is a side of a split.
func (s *search) child(n *node, c *cut, side int) *node {
	s.pushed++
	return &node{bound: c.sides[side].bound, order: s.pushed, parent: n, split: split{c.key, c.at, side}}
}

// leave keeps a side for later, to start from where its trial came.
func (s *search) leave(n *node, c *cut) {
	from := c.sides[n.split.side].end
	if from == nil {
		from = &s.lp.state
	}
	n.basis = slices.Clone(from.basis)
	for j, at := range from.at {
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
	n.basis, n.high = nil, nil
}

// apply narrows the bounds at hand to a side of a split.
func (s *search) apply(side split) {
	lp := s.lp
	if set := side.key - lp.vars; set >= 0 {
		members := s.p.Sets[set]
		shut := members[side.at:]
		if side.side == 1 {
			shut = members[:side.at]
			slack := lp.vars + len(s.p.Rows) + set
			lp.most[slack] = lp.least[slack]
		}
		for _, j := range shut {
			lp.most[j] = lp.least[j]
		}
		return
	}
	if side.side == 1 {
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

// take keeps a plan, made quite whole, if it is better than the best and keeps
// within all limits, and reports whether it is.
func (s *search) take(x []float64) bool {
	x = slices.Clone(x)
	for j, whole := range s.whole {
		if whole {
			x[j] = math.Round(x[j])
		}
	}
	gain := s.p.Gain(x)
	if gain <= s.best.Gain || !s.p.keeps(x) {
		return false
	}
	s.best.Gain, s.best.X = gain, x
	s.narrow()
	return true
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
