package figures

import (
	"slices"
	"sync"

	"rickyard/calc/say"
)

// A Cone is the part of a graph between figures that are set and figures that
// are wanted, to be worked out again at other values.
type Cone struct {
	graph           *Graph
	setIns, wantIns []*In
	set, want       []*Figure
	through, built  bool
	readsSet        bool
	bent            []*Figure

	inside []bool
	steps  []step
	beside []*Figure // what is read, and not worked again
}

// A step is a run of instructions, or an engine, or rounds.
type step struct {
	from, to int
	engine   *Figure
	rounds   *rounds

	// Of an engine: the slots of what it looks at that may differ between lanes,
	// as first and number.
	vary [][2]int
}

// NewCone returns the cone between figures of a graph. through has engines that
// lie between them run again too.
func (g *Graph) NewCone(set, want []*Figure, through bool) *Cone {
	c := &Cone{graph: g, set: set, want: want, through: through}
	c.lay()
	return c
}

func (c *Cone) build() {
	if c.built {
		return
	}
	c.built = true
	for _, in := range c.setIns {
		if in.figure != nil {
			c.set = append(c.set, in.figure)
		}
	}
	for _, in := range c.wantIns {
		if in.figure != nil {
			c.want = append(c.want, in.figure)
		}
	}
	c.lay()
}

func (c *Cone) lay() {
	g := c.graph
	inside := g.between(c.set, c.want, c.through)
	c.inside = inside
	set := make([]bool, len(g.figures))
	for _, f := range c.set {
		set[f.Index] = true
	}
	seen := make([]bool, len(g.figures))
	besides := func(f *Figure) {
		if !inside[f.Index] && !set[f.Index] && !seen[f.Index] {
			seen[f.Index] = true
			c.beside = append(c.beside, f)
		}
	}
	var nodes []*Figure
	for _, f := range g.figures {
		if inside[f.Index] {
			nodes = append(nodes, f)
			for _, used := range f.uses {
				besides(used)
			}
			if f.kind() == engineNode {
				for _, used := range f.made.rest() {
					besides(used)
				}
			}
		}
	}
	c.steps = g.steps(nodes, set)
	for i := range c.steps {
		s := &c.steps[i]
		if s.rounds != nil {
			for _, f := range s.rounds.beside {
				besides(f)
			}
		}
		if s.engine == nil {
			continue
		}
		for _, f := range s.engine.made.looksAt() {
			if inside[f.Index] || set[f.Index] {
				s.vary = append(s.vary, [2]int{f.slot, max(1, f.Type.Len)})
			}
		}
	}
	for _, f := range c.want {
		besides(f)
	}
	slices.SortFunc(c.beside, func(a, b *Figure) int { return a.Index - b.Index })
}

// ReadsSet says that the engine reads what the figures that it sets are now.
func (c *Cone) ReadsSet() *Cone {
	c.readsSet = true
	return c
}

// Leads returns those of the figures set on which something wanted rests.
func (c *Cone) Leads() []*Figure {
	var leads []*Figure
	for _, f := range c.set {
		if slices.Contains(c.want, f) || slices.ContainsFunc(f.users, func(n int) bool { return c.inside[n] }) {
			leads = append(leads, f)
		}
	}
	return leads
}

// between marks the figures that depend on some and that others need.
func (g *Graph) between(set, want []*Figure, through bool) []bool {
	touched, needed := make([]bool, len(g.figures)), make([]bool, len(g.figures))
	for _, f := range set {
		touched[f.Index] = true
	}
	for _, f := range g.figures {
		if f.kind() != formulaNode && !through || touched[f.Index] {
			continue
		}
		touched[f.Index] = slices.ContainsFunc(f.uses, func(u *Figure) bool { return touched[u.Index] })
	}
	for _, f := range want {
		needed[f.Index] = true
	}
	for i := len(g.figures) - 1; i >= 0; i-- {
		if f := g.figures[i]; needed[i] && touched[i] {
			for _, u := range f.uses {
				needed[u.Index] = true
			}
		}
	}
	for _, f := range set {
		touched[f.Index] = false
	}
	for i := range touched {
		touched[i] = touched[i] && needed[i]
	}
	return touched
}

// steps lays out how figures are worked, in their order. set are those whose
// values are given.
func (g *Graph) steps(nodes []*Figure, set []bool) []step {
	var steps []step
	joined := map[*batch]*rounds{}
	for _, f := range nodes {
		switch f.kind() {
		case formulaNode:
			if f.from == f.to {
				continue
			}
			if n := len(steps); n > 0 && steps[n-1].engine == nil && steps[n-1].rounds == nil && steps[n-1].to == f.from {
				steps[n-1].to = f.to
			} else {
				steps = append(steps, step{from: f.from, to: f.to})
			}
		case engineNode:
			steps = append(steps, step{engine: f})
		case roundNode:
			// All rounds of one batch are worked together: what they need stands
			// before the first of them.
			r := joined[f.again.batch]
			if r == nil {
				r = &rounds{batch: f.again.batch}
				joined[r.batch] = r
				steps = append(steps, step{rounds: r})
			}
			r.members = append(r.members, f)
		}
	}
	for _, r := range joined {
		r.lay(g, nil)
	}
	return steps
}

// Lanes are the values of many cases side by side, for searches and
// simulations. They belong to one goroutine.
type Lanes struct {
	graph *Graph
	n     int
	frame []float64
	one   Case // of one lane, for engines
	step  *step
	bends []Bend
}

// lanesPool keeps lanes for further use, by their number.
type lanesPool struct {
	mu   sync.Mutex
	idle map[int][]*Lanes
}

func (g *Graph) lanesOf(n int) *Lanes {
	g.pool.mu.Lock()
	defer g.pool.mu.Unlock()
	if idle := g.pool.idle[n]; len(idle) > 0 {
		l := idle[len(idle)-1]
		g.pool.idle[n] = idle[:len(idle)-1]
		l.bends = nil
		return l
	}
	return &Lanes{graph: g, n: n, frame: g.program.NewLanes(n)}
}

// Free gives lanes back.
func (l *Lanes) Free() {
	l.graph.pool.mu.Lock()
	defer l.graph.pool.mu.Unlock()
	if l.graph.pool.idle == nil {
		l.graph.pool.idle = map[int][]*Lanes{}
	}
	l.graph.pool.idle[l.n] = append(l.graph.pool.idle[l.n], l)
}

// Lanes returns n cases side by side of a cone that the engine has declared,
// each with the values of the case at hand. Whoever asks gives them back with
// Free.
func (c *Case) Lanes(cone *Cone, n int) *Lanes { return cone.lanes(c.frame, n) }

// Lanes returns n cases of the cone with the values of v.
func (c *Cone) Lanes(v *Values, n int) *Lanes { return c.lanes(v.frame, n) }

// Load takes what the cone reads beside from the case at hand, after it has been
// laid out anew.
func (c *Cone) Load(from *Case, l *Lanes) {
	for _, f := range c.beside {
		l.spread(from.frame, f)
	}
}

func (c *Cone) lanes(frame []float64, n int) *Lanes {
	l := c.graph.lanesOf(n)
	for _, f := range c.beside {
		l.spread(frame, f)
	}
	for _, f := range c.set {
		l.spread(frame, f)
	}
	if slices.ContainsFunc(c.steps, func(s step) bool { return s.engine != nil }) {
		if l.one.frame == nil {
			l.one = Case{graph: c.graph, frame: make([]float64, len(frame)), words: make([]say.Text, c.graph.words)}
		}
		copy(l.one.frame, frame)
	}
	return l
}

// spread sets all lanes of a figure to its value in a frame.
func (l *Lanes) spread(frame []float64, f *Figure) {
	for s := f.slot; s < f.slot+max(1, f.Type.Len); s++ {
		lane := l.frame[s*l.n : (s+1)*l.n]
		for i := range lane {
			lane[i] = frame[s]
		}
	}
}

// Lane returns the values of a single-valued figure, or of one place of a
// series, in all cases; they may be set.
func (l *Lanes) Lane(f *Figure, place int) []float64 {
	at := f.slot + place
	return l.frame[at*l.n : (at+1)*l.n]
}

// Of returns the value of one lane.
func (l *Lanes) Of(in *In, lane int) float64 {
	if in.figure == nil {
		return in.otherwise
	}
	return l.frame[in.figure.slot*l.n+lane]
}

// At returns one place of a series in one lane.
func (l *Lanes) At(in *In, place, lane int) float64 {
	if in.figure == nil {
		return in.otherwise
	}
	return l.frame[(in.figure.slot+place)*l.n+lane]
}

// Set sets a figure in one lane.
func (l *Lanes) Set(in *In, lane int, value float64) {
	if f := in.figure; f != nil {
		for s := f.slot; s < f.slot+max(1, f.Type.Len); s++ {
			l.frame[s*l.n+lane] = value
		}
	}
}

// Bend lays the cone out for figures that are otherwise in single rounds.
func (c *Cone) Bend(bent ...*Figure) {
	if slices.Equal(c.bent, bent) {
		return
	}
	c.bent = bent
	for i := range c.steps {
		if r := c.steps[i].rounds; r != nil {
			r.lay(c.graph, bent)
			for _, f := range r.beside {
				if !slices.Contains(c.beside, f) && !slices.Contains(c.set, f) && !c.works(f) {
					c.beside = append(c.beside, f)
				}
			}
		}
	}
}

// works reports whether a figure is worked out in the cone.
func (c *Cone) works(f *Figure) bool { return c.inside[f.Index] }

// Bends sets what is otherwise in single rounds, of figures that the cone was
// laid out for with Bend.
func (l *Lanes) Bends(bends ...Bend) { l.bends = bends }

// Run works the cone out in all lanes.
func (c *Cone) Run(l *Lanes) {
	for i := range c.steps {
		s := &c.steps[i]
		switch {
		case s.engine != nil:
			l.engine(s)
		case s.rounds != nil:
			s.rounds.work(c.graph.program, l.frame, l.n, l.bends, &l.one)
		default:
			c.graph.program.RunLanes(l.frame, l.n, s.from, s.to)
		}
	}
}

// engine works an engine out in all lanes: by its own way of doing so, or lane by
// lane.
func (l *Lanes) engine(s *step) {
	m := s.engine.made
	l.step, l.one.used = s, 0
	if m.wide != nil && m.wide(l) {
		return
	}
	frame := l.one.frame
	for lane := range l.n {
		for _, slots := range s.vary {
			for s := slots[0]; s < slots[0]+slots[1]; s++ {
				frame[s] = l.frame[s*l.n+lane]
			}
		}
		m.work(&l.one)
		for _, f := range m.gives {
			for s := f.slot; s < f.slot+max(1, f.Type.Len); s++ {
				l.frame[s*l.n+lane] = frame[s]
			}
		}
	}
}

// Why returns the reason for which a figure has no answer in the first lane of a
// cone that has been run, and whether it has none.
func (l *Lanes) Why(c *Cone, in *In) (say.Text, bool) {
	if l.n != 1 {
		panic("figures: reasons are told of one lane alone")
	}
	words := l.one.words
	if words == nil {
		words = make([]say.Text, l.graph.words)
	}
	return l.graph.none(l.frame, words, in.figure)
}

// Width is how many lanes there are.
func (l *Lanes) Width() int { return l.n }

// In returns the values of one place of a figure in all lanes. They must not be
// changed.
func (l *Lanes) In(in *In, place int) []float64 { return l.Lane(in.figure, place) }

// Varies reports whether a figure that the engine reads may differ between cases.
func (l *Lanes) Varies(in *In) bool {
	f := in.figure
	return f != nil && slices.ContainsFunc(l.step.vary, func(slots [2]int) bool { return slots[0] == f.slot })
}

// Case is a case to read what does not vary from, and to take Scratch of.
func (l *Lanes) Case() *Case { return &l.one }

// Out returns where those of a figure that the engine gives go.
func (l *Lanes) Out(out *Out, place int) []float64 { return l.Lane(out.figure, place) }

// Reaches reports whether some figures rest on f: inRounds, by way of what is
// worked in rounds; ever, in any way.
func (g *Graph) Reaches(f *Figure, names ...string) (inRounds, ever bool) {
	var wants []*Figure
	for _, name := range names {
		if w := g.byName[name]; w != nil {
			wants = append(wants, w)
		}
	}
	inside := g.between([]*Figure{f}, wants, true)
	for i, is := range inside {
		ever = ever || is
		inRounds = inRounds || is && g.figures[i].kind() == roundNode
	}
	return inRounds, ever
}
