package risk

import (
	"crypto/sha256"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/portable"
	"rickyard/calc/source"
)

// Settings say how a farm's plan is simulated.
type Settings struct {
	Runs   int
	Seed   uint64
	Shape  Shape
	Groups []Group
	Fixed  []Ref // inputs that stay as they are although they have a range
	Place  source.Span
}

// DefaultRuns is how many runs a simulation has if nobody says.
const DefaultRuns = 10_000

// A Ref names figures: one by its name, all whose names begin with it and a dot,
// or all that it fits with a * standing for any letters.
type Ref struct {
	Text string
	At   source.Span
}

// A Group holds inputs that move together: all of them follow one common cause
// and each a cause of its own. Correlation, from 0 to 1, is that between the
// normal scores of any two of them; between one of Of and one of Against it has
// the other sign. EachYear draws them anew for each year of the plan; otherwise
// one draw holds for all years.
type Group struct {
	ID                  string
	Of, Against, Except []Ref
	Correlation         float64
	EachYear            bool
}

// A Simulation is a plan with the inputs that vary, ready to be run.
type Simulation struct {
	Settings
	plan   *plan.Plan
	graph  *figures.Graph
	inputs []varying
	groups []string // of the common causes: what their draws are seeded with
	yearly []bool   // by group
	base   *plan.Inputs

	scales        []*figures.Figure
	before, route *figures.Route // to the scales, and to what the plan reads
	varies        []slot
}

// A varying input is one that is drawn.
type varying struct {
	figure *figures.Figure
	spread *Spread
	group  int     // -1: none
	common float64 // weight of the group's cause, with its sign
	own    float64
	seed   string
	yearly bool
}

// A slot is a number that the plan reads and that may differ between runs.
type slot struct {
	at     int
	figure *figures.Figure
	month  int
	sound  bool // it has an answer in the farm's own case
}

// NewSimulation finds the inputs that a farm's plan depends on and whose low or
// high is known, and their groups. Its errors are names in the settings that
// nothing has, or that stand in two groups.
func NewSimulation(g *figures.Graph, farm *plan.Farm, settings Settings) (*Simulation, source.Errors) {
	s := &Simulation{Settings: settings, graph: g}
	if s.Runs <= 0 {
		s.Runs = DefaultRuns
	}
	var errs source.Errors
	own := *farm
	for _, group := range s.Groups {
		own.Apart = own.Apart || group.EachYear
	}
	s.plan = plan.Compile(g, &own)
	inputs := s.ranged()
	group, sign := s.sort(inputs, &errs)
	for _, group := range s.Groups {
		s.groups = append(s.groups, "group "+group.ID)
		s.yearly = append(s.yearly, group.EachYear)
	}
	for i, f := range inputs {
		if group[i] == fixed {
			continue
		}
		low, high := bounds(f, f.Current())
		v := varying{figure: f, spread: NewSpread(s.Shape, low, f.Current(), high), group: group[i], own: 1, seed: "input " + f.Name}
		if v.group >= 0 {
			r := max(0, min(1, s.Groups[v.group].Correlation))
			v.common, v.own, v.yearly = sign[i]*math.Sqrt(r), math.Sqrt(1-r), s.Groups[v.group].EachYear
		}
		s.inputs = append(s.inputs, v)
	}
	s.routes()
	return s, errs
}

// ranged lists the inputs with a range that the plan rests on, sorted by name.
func (s *Simulation) ranged() []*figures.Figure {
	seen := map[*figures.Figure]bool{}
	var all []*figures.Figure
	var visit func(f *figures.Figure)
	visit = func(f *figures.Figure) {
		if f == nil || seen[f] {
			return
		}
		seen[f] = true
		if f.IsInput() && f.Type.Len == 0 && (f.Low != nil || f.High != nil) {
			if low, high := bounds(f, f.Current()); low < high && low <= f.Current() && f.Current() <= high {
				all = append(all, f)
			}
		}
		for _, used := range f.Needs() {
			visit(used)
		}
	}
	s.plan.Reads(func(_ int, f *figures.Figure, _ int) { visit(f) })
	for k := range s.plan.Vintages() {
		s.plan.Scales(k, func(scale, value *figures.Figure) { visit(scale); visit(value) })
	}
	slices.SortFunc(all, func(a, b *figures.Figure) int { return strings.Compare(a.Name, b.Name) })
	return all
}

const (
	ungrouped = -1
	fixed     = -2
)

// sort puts inputs into their groups; sign is -1 for those that move against.
func (s *Simulation) sort(inputs []*figures.Figure, errs *source.Errors) (group []int, sign []float64) {
	group, sign = make([]int, len(inputs)), make([]float64, len(inputs))
	for i := range group {
		group[i] = ungrouped
	}
	put := func(refs, except []Ref, to int, way float64) {
		for _, ref := range refs {
			found := false
			for i, f := range inputs {
				if !ref.fits(f.Name) {
					continue
				}
				found = true
				if slices.ContainsFunc(except, func(r Ref) bool { return r.fits(f.Name) }) || group[i] == to {
					continue
				}
				if group[i] >= 0 && to >= 0 {
					*errs = append(*errs, source.Errorf(source.Duplicate, ref.At, "%s is in two groups: %s and %s", f.Name, s.Groups[group[i]].ID, s.Groups[to].ID).
						With("an input moves with one group only; put it under except in one of them"))
					continue
				}
				group[i], sign[i] = to, way
			}
			if !found {
				*errs = append(*errs, s.unknown(ref))
			}
		}
	}
	for k, g := range s.Groups {
		put(g.Of, g.Except, k, 1)
		put(g.Against, g.Except, k, -1)
		for _, ref := range g.Except {
			if !slices.ContainsFunc(inputs, func(f *figures.Figure) bool { return ref.fits(f.Name) }) {
				*errs = append(*errs, s.unknown(ref))
			}
		}
	}
	put(s.Fixed, nil, fixed, 0)
	return group, sign
}

func (r Ref) fits(name string) bool {
	if !strings.Contains(r.Text, "*") {
		rest, ok := strings.CutPrefix(name, r.Text)
		return ok && (rest == "" || rest[0] == '.')
	}
	parts := strings.Split(r.Text, "*")
	if !strings.HasPrefix(name, parts[0]) {
		return false
	}
	name = name[len(parts[0]):]
	for _, part := range parts[1 : len(parts)-1] {
		at := strings.Index(name, part)
		if at < 0 {
			return false
		}
		name = name[at+len(part):]
	}
	return strings.HasSuffix(name, parts[len(parts)-1])
}

// unknown says why a name fits no input that varies.
func (s *Simulation) unknown(ref Ref) *source.Error {
	if f := s.graph.Lookup(ref.Text); f != nil {
		switch {
		case !f.IsInput():
			return source.Errorf(source.WrongType, ref.At, "%s is worked out from others, so it has no range of its own", ref.Text).
				With("name the inputs that it comes from")
		case f.Low == nil && f.High == nil:
			return source.Errorf(source.Missing, ref.At, "%s has neither low nor high, so it does not vary", ref.Text).
				With("give it a range: {value: ..., low: ..., high: ...}")
		}
		return source.Errorf(source.UnknownRef, ref.At, "the plan does not depend on %s", ref.Text)
	}
	if strings.Contains(ref.Text, "*") {
		return source.Errorf(source.UnknownRef, ref.At, "no input with a range that the plan depends on is called like %s", ref.Text)
	}
	var known []string
	some := false // such figures there are, but none with a range
	for _, f := range s.graph.All() {
		if f.IsInput() && !f.Hidden {
			known = append(known, f.Name)
			some = some || ref.fits(f.Name)
		}
	}
	if some {
		return source.Errorf(source.Missing, ref.At, "nothing under %s has a range and enters the plan", ref.Text)
	}
	err := source.Errorf(source.UnknownRef, ref.At, "no input is called %s, and none begins with it", ref.Text)
	if close := source.Nearest(ref.Text, known); close != "" {
		err.With("did you mean %s?", close)
	}
	return err
}

// routes settles which instructions are run, and which numbers are taken over
// into the books: only what can differ from the farm's own case.
func (s *Simulation) routes() {
	var changed, wanted, from []*figures.Figure
	for i := range s.inputs {
		changed = append(changed, s.inputs[i].figure)
	}
	seen := map[*figures.Figure]bool{}
	for k := range s.plan.Vintages() {
		s.plan.Scales(k, func(scale, value *figures.Figure) {
			if !seen[scale] {
				seen[scale] = true
				s.scales = append(s.scales, scale)
			}
			if value != nil {
				from = append(from, value)
			}
		})
	}
	touched := map[*figures.Figure]bool{}
	both := append(slices.Clone(changed), s.scales...)
	for _, f := range append(s.graph.Dependents(both...), both...) {
		touched[f] = true
	}
	drawn := map[*figures.Figure]bool{}
	for _, f := range append(s.graph.Dependents(changed...), changed...) {
		drawn[f] = true
	}
	// What only the scales move is the same in every run of a vintage, unless
	// they vary themselves.
	moved := drawn
	if s.scaleDrawn(drawn) {
		moved = touched
	}
	s.plan.Reads(func(at int, f *figures.Figure, month int) {
		if !moved[f] {
			return
		}
		s.varies = append(s.varies, slot{at: at, figure: f, month: month})
		wanted = append(wanted, f)
	})
	s.before = s.graph.RouteTo(both, append(from, s.scales...))
	s.route = s.graph.RouteTo(both, wanted)
	s.base = s.plan.NewInputs()
	v := s.graph.Base().Clone()
	s.plan.Read(v, s.base)
	for i := range s.varies {
		x := s.graph.Base().At(s.varies[i].figure, s.varies[i].month)
		s.varies[i].sound = !math.IsNaN(x) && !math.IsInf(x, 0)
	}
}

// scaleDrawn reports whether some enterprise's scale itself varies.
func (s *Simulation) scaleDrawn(drawn map[*figures.Figure]bool) bool {
	for _, f := range s.scales {
		if drawn[f] {
			return true
		}
	}
	for k := range s.plan.Vintages() {
		any := false
		s.plan.Scales(k, func(_, value *figures.Figure) { any = any || value != nil && drawn[value] })
		if any {
			return true
		}
	}
	return false
}

// Inputs returns the inputs that vary, in the order of their names.
func (s *Simulation) Inputs() []*figures.Figure {
	all := make([]*figures.Figure, len(s.inputs))
	for i := range s.inputs {
		all[i] = s.inputs[i].figure
	}
	return all
}

// Drawn returns what was drawn in each run for an input, counted as Inputs has
// them, in base units; of one drawn each year the mean of its draws.
func (o *Outcomes) Drawn(input int) []float64 { return o.drawn[input*o.Runs : (input+1)*o.Runs] }

// lanesOfBlock is how many runs are worked out side by side. Each block of them
// has its own draws, so that the answer is the same however many workers share
// the blocks.
const lanesOfBlock = 64

// Outcomes are the runs of a simulation.
type Outcomes struct {
	*Simulation
	columns int
	bank    []float64 // by run and column
	income  []float64 // by run and year: profit before tax
	cover   []float64 // by run and year: debt service cover; NaN where no loan is paid
	limit   []float64 // by run: of the overdraft
	faulty  []bool    // by run: some figure had no answer, though it has one in the farm's own case
	drawn   []float64 // by input and run; of one drawn each year the mean of its draws
}

// Run works all runs out on as many workers; 0 stands for one on each core. The
// result does not depend on their number.
func (s *Simulation) Run(workers int) *Outcomes {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	blocks := (s.Runs + lanesOfBlock - 1) / lanesOfBlock
	years, columns := s.plan.Years, 12*s.plan.Years+1
	o := &Outcomes{
		Simulation: s, columns: columns, bank: make([]float64, s.Runs*columns), income: make([]float64, s.Runs*years),
		cover: make([]float64, s.Runs*years), limit: make([]float64, s.Runs), faulty: make([]bool, s.Runs), drawn: make([]float64, s.Runs*len(s.inputs)),
	}
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(workers, blocks) {
		wait.Go(func() {
			w := s.worker()
			for {
				block := int(next.Add(1)) - 1
				if block >= blocks {
					return
				}
				w.block(o, block)
			}
		})
	}
	wait.Wait()
	return o
}

// A worker works blocks out, one after the other, without allocating.
type worker struct {
	*Simulation
	lanes  *figures.Lanes
	inputs []*plan.Inputs // by lane
	books  *plan.Books
	source *rand.ChaCha8
	seed   []byte
	causes []float64 // by group, year and lane
	values []float64 // by input, year and lane
	scale  []float64 // by scale and lane, while scales are changed
	bad    []bool    // by lane
}

func (s *Simulation) worker() *worker {
	years := max(1, s.plan.Years)
	w := &worker{
		Simulation: s, lanes: s.graph.NewLanes(lanesOfBlock), books: s.plan.NewBooks(), source: rand.NewChaCha8([32]byte{}),
		causes: make([]float64, len(s.groups)*years*lanesOfBlock), values: make([]float64, len(s.inputs)*years*lanesOfBlock),
		scale: make([]float64, len(s.scales)*lanesOfBlock), bad: make([]bool, lanesOfBlock),
	}
	for range lanesOfBlock {
		in := s.plan.NewInputs()
		in.CopyFrom(s.base)
		w.inputs = append(w.inputs, in)
	}
	return w
}

// begin seeds the draws of one input or group in one block. Each has a stream of
// its own, so that a range given to one more input leaves the draws of all others
// as they were.
func (w *worker) begin(block int, name string) {
	w.seed = binary.LittleEndian.AppendUint64(w.seed[:0], w.Seed)
	w.seed = binary.LittleEndian.AppendUint64(w.seed, uint64(block))
	w.seed = append(w.seed, name...)
	w.source.Seed(sha256.Sum256(w.seed))
}

// normal draws a standard normal score, by the inverse of its distribution.
func (w *worker) normal() float64 {
	// 52 bits in the middle of their cells: never 0, never 1.
	return portable.NormalQuantile((float64(w.source.Uint64()>>12) + 0.5) / (1 << 52))
}

func (w *worker) draw(block int) {
	years := max(1, w.plan.Years)
	for g, name := range w.groups {
		w.begin(block, name)
		for i := range w.times(w.yearly[g]) * lanesOfBlock {
			w.causes[g*years*lanesOfBlock+i] = w.normal()
		}
	}
	for i := range w.Simulation.inputs {
		v := &w.Simulation.inputs[i]
		w.begin(block, v.seed)
		values := w.values[i*years*lanesOfBlock:]
		for k := range w.times(v.yearly) * lanesOfBlock {
			z := w.normal()
			if v.group >= 0 {
				z = float64(v.common*w.causes[v.group*years*lanesOfBlock+k]) + float64(v.own*z)
			}
			values[k] = v.spread.At(z)
		}
	}
}

// times is how often something is drawn for a run.
func (s *Simulation) times(yearly bool) int {
	if yearly {
		return max(1, s.plan.Years)
	}
	return 1
}

func (w *worker) block(o *Outcomes, block int) {
	w.draw(block)
	first := block * lanesOfBlock
	runs := min(lanesOfBlock, w.Runs-first)
	years := w.plan.Years
	w.keep(o, first, runs)
	clear(w.bad)
	for k := range w.plan.Vintages() {
		w.set(k)
		w.scaleTo(k)
		w.route.RunLanes(w.lanes)
		for i := range w.varies {
			r := &w.varies[i]
			lane := w.lanes.Lane(r.figure, r.month)
			for l, x := range lane {
				w.inputs[l].Set(k, r.at, x)
				if r.sound && x-x != 0 {
					w.bad[l] = true
				}
			}
		}
	}
	for l := range runs {
		run := first + l
		w.plan.Work(w.inputs[l], w.books)
		copy(o.bank[run*o.columns:(run+1)*o.columns], w.books.Row(plan.Bank))
		for y := range years {
			o.income[run*years+y] = w.books.Year(plan.Profit, y)
			sum := func(r plan.Row) float64 { return w.books.Year(r, y) }
			cover, ok := plan.TermDebtCover(sum(plan.Profit), sum(plan.OffFarm), sum(plan.Depreciation), sum(plan.Interest), sum(plan.Tax), sum(plan.Drawings), sum(plan.Principal))
			if !ok {
				cover = math.NaN()
			}
			o.cover[run*years+y] = cover
		}
		o.limit[run] = w.inputs[l].OverdraftLimit()
		o.faulty[run] = w.bad[l]
	}
}

// set puts the draws that hold for a vintage into the lanes, with the scales of
// now.
func (w *worker) set(vintage int) {
	for _, f := range w.scales {
		lane := w.lanes.Lane(f, 0)
		for l := range lane {
			lane[l] = f.Current()
		}
	}
	years := max(1, w.plan.Years)
	for i := range w.Simulation.inputs {
		v := &w.Simulation.inputs[i]
		at := i * years
		if v.yearly {
			at += vintage // with draws each year, vintages are years
		}
		copy(w.lanes.Lane(v.figure, 0), w.values[at*lanesOfBlock:(at+1)*lanesOfBlock])
	}
}

// scaleTo sets the scales of a vintage. What they come to is worked out at the
// scales of now before any of them is changed.
func (w *worker) scaleTo(vintage int) {
	w.before.RunLanes(w.lanes)
	each := func(do func(scale, value *figures.Figure, kept []float64)) {
		i := 0
		w.plan.Scales(vintage, func(scale, value *figures.Figure) {
			do(scale, value, w.scale[i*lanesOfBlock:(i+1)*lanesOfBlock])
			i++
		})
	}
	each(func(scale, value *figures.Figure, kept []float64) {
		if value == nil {
			value = scale
		}
		copy(kept, w.lanes.Lane(value, 0))
	})
	each(func(scale, _ *figures.Figure, kept []float64) { copy(w.lanes.Lane(scale, 0), kept) })
}

// keep notes what was drawn for each run.
func (w *worker) keep(o *Outcomes, first, runs int) {
	years := max(1, w.plan.Years)
	for i := range w.Simulation.inputs {
		values := w.values[i*years*lanesOfBlock:]
		n := w.times(w.Simulation.inputs[i].yearly)
		for l := range runs {
			sum := 0.0
			for k := range n {
				sum += values[k*lanesOfBlock+l]
			}
			o.drawn[i*w.Runs+first+l] = sum / float64(n)
		}
	}
}
