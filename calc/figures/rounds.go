package figures

import (
	"slices"

	"rickyard/calc/formula"
	"rickyard/calc/say"
)

// Rounds have figures worked out several times, each time with some others at
// other values: what an enterprise costs at the scale of each year of a plan.
type Rounds struct {
	Name string     // joined to the names of figures, as in_year
	Set  []string   // the figures that are set
	To   [][]string // by round: the figure whose value each of Set takes; "" for its own
}

// Rounds reads a figure as it is in each round: all of its values in the first,
// then in the second. ok is false if there is no such figure.
func (d *Declaration) Rounds(r *Rounds, want string) (in *In, ok bool) {
	if !d.Has(want) {
		return nil, false
	}
	name := want + "." + r.Name
	if !d.Has(name) {
		f := &Figure{Definition: &Definition{Name: name, Label: say.Own(name), Found: "as it is in each year", Hidden: true},
			graph: d.b.Graph, again: &again{rounds: r, name: want}}
		d.b.byName[name] = f
		d.b.all = append(d.b.all, f)
		d.b.again = append(d.b.again, f)
	}
	return d.Read(name), true
}

// again is a figure as it is in each round.
type again struct {
	rounds *Rounds
	name   string
	want   *Figure
	set    []*Figure   // those of the rounds that it depends on
	to     [][]*Figure // by round, for each of set; nil for its own
	batch  *batch
}

// A batch is all such figures that can be worked together.
type batch struct {
	rounds  *Rounds
	stage   int
	members []*Figure
	all     *rounds
}

// bindRounds finds what each of them depends on.
func (b *builder) bindRounds() {
	reached := map[*Rounds]map[*Figure]map[*Figure]bool{} // which of the set figures lead to a figure
	for _, f := range b.again {
		a := f.again
		r := a.rounds
		a.want = b.byName[a.name]
		if reached[r] == nil {
			reached[r] = map[*Figure]map[*Figure]bool{}
			for _, name := range r.Set {
				if s := b.byName[name]; s != nil {
					reached[r][s] = map[*Figure]bool{s: true}
				}
			}
		}
		f.use(a.want)
		leads := b.leads(a.want, reached[r])
		for i, name := range r.Set {
			s := b.byName[name]
			if s == nil || !leads[s] {
				continue
			}
			a.set = append(a.set, s)
			f.use(s)
			for k := range r.To {
				for len(a.to) <= k {
					a.to = append(a.to, nil)
				}
				to := b.byName[r.To[k][i]]
				a.to[k] = append(a.to[k], to)
				if to != nil {
					f.use(to)
				}
			}
		}
	}
}

// leads returns which set figures lead to a figure through formulas alone. It
// keeps its own stack, for chains may be long.
func (b *builder) leads(want *Figure, known map[*Figure]map[*Figure]bool) map[*Figure]bool {
	type open struct {
		f    *Figure
		next int
		sets map[*Figure]bool
	}
	if sets, ok := known[want]; ok {
		return sets
	}
	stack := []open{{f: want}}
	known[want] = nil
	for {
		top := &stack[len(stack)-1]
		if top.f.kind() != formulaNode || top.next == len(top.f.uses) {
			known[top.f] = top.sets
			stack = stack[:len(stack)-1]
			if len(stack) == 0 {
				return known[want]
			}
			below := &stack[len(stack)-1]
			below.sets = joinSets(below.sets, known[top.f])
			continue
		}
		used := top.f.uses[top.next]
		top.next++
		if sets, ok := known[used]; ok {
			top.sets = joinSets(top.sets, sets)
			continue
		}
		known[used] = nil
		stack = append(stack, open{f: used})
	}
}

func joinSets(a, b map[*Figure]bool) map[*Figure]bool {
	if len(b) == 0 {
		return a
	}
	joined := map[*Figure]bool{}
	for f := range a {
		joined[f] = true
	}
	for f := range b {
		joined[f] = true
	}
	return joined
}

// stages puts all figures in stages, so that what is worked in rounds can be
// worked together: a figure that reads a round stands a stage after it.
func (b *builder) stages() {
	stage := make([]int, len(b.figures))
	for i, f := range b.figures {
		for _, u := range f.uses {
			s := stage[u.Index]
			if u.kind() == roundNode {
				s++
			}
			stage[i] = max(stage[i], s)
		}
	}
	late := func(f *Figure) int {
		if f.kind() == roundNode {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(b.figures, func(x, y *Figure) int {
		if d := stage[x.Index] - stage[y.Index]; d != 0 {
			return d
		}
		return late(x) - late(y)
	})
	for i, f := range b.figures {
		if f.kind() != roundNode {
			continue
		}
		at := slices.IndexFunc(b.batches, func(t *batch) bool { return t.rounds == f.again.rounds && t.stage == stage[f.Index] })
		if at < 0 {
			at = len(b.batches)
			b.batches = append(b.batches, &batch{rounds: f.again.rounds, stage: stage[f.Index]})
		}
		f.again.batch = b.batches[at]
		f.again.batch.members = append(f.again.batch.members, f)
		_ = i
	}
	for i, f := range b.figures {
		f.Index = i
	}
}

// settleRounds gives such a figure its slots.
func (b *builder) settleRounds(f *Figure) {
	want := f.again.want
	f.Type, f.Unit, f.Step = want.Type, want.Unit, want.Step
	f.Type.Len = len(f.again.rounds.To) * max(1, want.Type.Len)
	f.slot = b.compiler.Input(f.Type.Len)
}

// restRounds says what such a figure rests on: what is read beside it, and the
// values that are set.
func (f *Figure) restRounds() {
	a := f.again
	c := &Cone{graph: f.graph, set: a.set, want: []*Figure{a.want}}
	c.lay()
	f.rests = slices.Clone(c.beside)
	for _, round := range a.to {
		for i, to := range round {
			if to == nil {
				to = a.set[i]
			}
			if !slices.Contains(f.rests, to) {
				f.rests = append(f.rests, to)
			}
		}
	}
}

// rounds is a batch, or a part of it, as it is worked.
type rounds struct {
	batch   *batch
	members []*Figure
	bent    []*Figure

	set    []*Figure
	to     [][]*Figure
	steps  []roundStep
	beside []*Figure
}

// A roundStep is a run of instructions, and a figure that may be bent after it.
type roundStep struct {
	from, to int
	bend     *Figure
}

// lay finds what is worked in each round. bent are figures that are otherwise in
// single rounds.
func (r *rounds) lay(g *Graph, bent []*Figure) {
	r.set, r.to, r.steps, r.beside, r.bent = nil, make([][]*Figure, len(r.batch.rounds.To)), nil, nil, bent
	var wants []*Figure
	for _, m := range r.members {
		wants = append(wants, m.again.want)
		for i, s := range m.again.set {
			if slices.Contains(r.set, s) {
				continue
			}
			r.set = append(r.set, s)
			for k := range r.to {
				r.to[k] = append(r.to[k], m.again.to[k][i])
			}
		}
	}
	given := slices.Clone(r.set)
	for _, f := range bent {
		if !slices.Contains(given, f) {
			given = append(given, f)
		}
	}
	inside := g.between(given, wants, false)
	isSet := make([]bool, len(g.figures))
	for _, f := range r.set {
		isSet[f.Index] = true
	}
	for _, f := range bent {
		// What is worked out from others is worked, and then bent.
		if f.Formula != nil && !isSet[f.Index] {
			inside[f.Index] = true
		}
	}
	seen := make([]bool, len(g.figures))
	besides := func(f *Figure) {
		if f != nil && !inside[f.Index] && !seen[f.Index] {
			seen[f.Index] = true
			r.beside = append(r.beside, f)
		}
	}
	for _, f := range g.figures {
		if !inside[f.Index] {
			continue
		}
		for _, u := range f.uses {
			besides(u)
		}
		if n := len(r.steps); n > 0 && r.steps[n-1].to == f.from && r.steps[n-1].bend == nil {
			r.steps[n-1].to = f.to
		} else {
			r.steps = append(r.steps, roundStep{from: f.from, to: f.to})
		}
		if slices.Contains(bent, f) {
			r.steps[len(r.steps)-1].bend = f
		}
	}
	for _, f := range wants {
		besides(f)
	}
	for _, f := range r.set {
		besides(f)
	}
	for _, round := range r.to {
		for _, f := range round {
			besides(f)
		}
	}
	for _, f := range bent {
		besides(f)
	}
}

// A Bend has a figure otherwise in some rounds: an input set, or a figure that is
// worked out from others multiplied or set when it has been worked.
type Bend struct {
	Figure *Figure
	Times  bool
	// Values has one value for each round and, within it, each lane; no number
	// leaves the figure as it is.
	Values []float64
}

// work carries the rounds out on n cases side by side. It takes what room it needs
// of scratch.
func (r *rounds) work(program *formula.Program, frame []float64, n int, bends []Bend, scratch *Case) {
	count := len(r.to)
	lane := func(slot int) []float64 { return frame[slot*n : (slot+1)*n] }
	// What the set figures come to is looked up before any of them is changed.
	scratch.used = 0
	own, values := scratch.Scratch(len(r.set)*n), scratch.Scratch(count*len(r.set)*n)
	for i, s := range r.set {
		copy(own[i*n:], lane(s.slot))
		for k := range r.to {
			from := s
			if r.to[k][i] != nil {
				from = r.to[k][i]
			}
			copy(values[(k*len(r.set)+i)*n:], lane(from.slot))
		}
	}
	slots := 0 // of inputs that are bent
	for i := range bends {
		if f := bends[i].Figure; f.Formula == nil {
			slots += max(1, f.Type.Len)
		}
	}
	kept := scratch.Scratch(slots * n)[:0]
	for i := range bends {
		if f := bends[i].Figure; f.Formula == nil {
			for s := range max(1, f.Type.Len) {
				kept = append(kept, lane(f.slot+s)...)
			}
		}
	}
	run := func() {
		for i := range r.steps {
			s := &r.steps[i]
			if n == 1 {
				program.Run(frame, s.from, s.to)
			} else {
				program.RunLanes(frame, n, s.from, s.to)
			}
		}
	}
	for k := range count {
		if first := like(values, k, len(r.set)*n); first < k && len(bends) == 0 {
			for _, m := range r.members {
				size := max(1, m.again.want.Type.Len)
				copy(frame[(m.slot+k*size)*n:(m.slot+(k+1)*size)*n], frame[(m.slot+first*size)*n:])
			}
			continue
		}
		for i, s := range r.set {
			copy(lane(s.slot), values[(k*len(r.set)+i)*n:][:n])
		}
		if len(bends) == 0 {
			run()
		} else {
			r.bendAndRun(program, frame, n, k, bends, kept)
		}
		for _, m := range r.members {
			size := max(1, m.again.want.Type.Len)
			copy(frame[(m.slot+k*size)*n:(m.slot+(k+1)*size)*n], frame[m.again.want.slot*n:(m.again.want.slot+size)*n])
		}
	}
	for i, s := range r.set {
		copy(lane(s.slot), own[i*n:][:n])
	}
	for _, b := range bends {
		if b.Figure.Formula == nil {
			for s := range max(1, b.Figure.Type.Len) {
				kept = kept[copy(lane(b.Figure.slot+s), kept[:n]):]
			}
		}
	}
	if len(r.steps) > 0 {
		run() // everybody else sees the present
	}
}

func (r *rounds) bendAndRun(program *formula.Program, frame []float64, n, k int, bends []Bend, kept []float64) {
	apply := func(f *Figure) {
		for i := range bends {
			if b := &bends[i]; b.Figure == f {
				b.apply(frame, n, b.Values[k*n:(k+1)*n])
			}
		}
	}
	for i := range bends {
		b := &bends[i]
		if b.Figure.Formula == nil {
			for s := range max(1, b.Figure.Type.Len) {
				kept = kept[copy(frame[(b.Figure.slot+s)*n:][:n], kept[:n]):]
			}
		}
		if b.Figure.Formula == nil || slices.Contains(r.set, b.Figure) {
			b.apply(frame, n, b.Values[k*n:(k+1)*n])
		}
	}
	for i := range r.steps {
		s := &r.steps[i]
		program.RunLanes(frame, n, s.from, s.to)
		if s.bend != nil {
			apply(s.bend)
		}
	}
}

func (b *Bend) apply(frame []float64, n int, values []float64) {
	f := b.Figure
	for s := range max(1, f.Type.Len) {
		lane := frame[(f.slot+s)*n:][:n]
		for l, x := range values {
			switch {
			case x != x:
			case b.Times:
				lane[l] *= x
			default:
				lane[l] = x
			}
		}
	}
}

// like returns the first round that sets the same values as round k, of which each
// sets size values.
func like(values []float64, k, size int) int {
	for i := range k {
		if sameBits(values[i*size:(i+1)*size], values[k*size:(k+1)*size]) {
			return i
		}
	}
	return k
}
