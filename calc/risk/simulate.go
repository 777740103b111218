package risk

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
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
	"rickyard/calc/quantity"
	"rickyard/calc/say"
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

// mostRuns bounds how many runs there are, whatever is asked.
const mostRuns = 1_000_000

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

// A Simulation is a plan with the inputs that vary, to be run when somebody asks
// for what it finds.
type Simulation struct {
	Settings
	plan       *plan.Declared
	candidates []*figures.Definition // inputs with a range, sorted by name

	cone          *figures.Cone
	cash, opening *figures.In
	limit         *figures.In
	profit, cover []*figures.In // by year
	outs          map[string]*figures.Out
	units         *quantity.System
	runs, seed    *figures.In
	correlations  []*figures.In // by group
}

// A run of the simulation knows what varies: inputs and their spreads as they
// stand in a case.
type drawing struct {
	*Simulation
	seed   uint64
	inputs []varying
	groups []string // of the common causes: what their draws are seeded with
	yearly []bool   // by group
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

// NewSimulation takes the settings of a farm whose plan has been declared, and
// the definitions of all figures: inputs with a low or a high are drawn if the
// plan rests on them.
func NewSimulation(p *plan.Declared, settings Settings, definitions []figures.Definition) *Simulation {
	s := &Simulation{Settings: settings, plan: p}
	if s.Runs <= 0 {
		s.Runs = DefaultRuns
	}
	for i := range definitions {
		d := &definitions[i]
		if !d.IsInput() || d.Series != nil || d.Words != "" || d.NoAnswer != "" || d.Low == nil && d.High == nil || d.Failed != nil {
			continue
		}
		if low, high := rangeOf(d, d.Value.Value); low < high && low <= d.Value.Value && d.Value.Value <= high {
			s.candidates = append(s.candidates, d)
		}
	}
	slices.SortFunc(s.candidates, func(a, b *figures.Definition) int { return strings.Compare(a.Name, b.Name) })
	return s
}

// rangeOf are the low and high of an input; a missing one is its value, and one
// that the value lies beyond is widened to it.
func rangeOf(d *figures.Definition, now float64) (low, high float64) {
	low, high = now, now
	if d.Low != nil {
		low = min(low, *d.Low)
	}
	if d.High != nil {
		high = max(high, *d.High)
	}
	return low, high
}

// Engine works the simulation out, late.
func (s *Simulation) Engine() *figures.Engine {
	return &figures.Engine{Name: "the simulation", Late: true, Declare: func(d *figures.Declaration) figures.Run {
		set := make([]*figures.In, len(s.candidates))
		for i, x := range s.candidates {
			set[i] = d.Name(x.Name)
		}
		s.cash, s.opening, s.limit = d.Name("plan.cash"), d.Name("plan.before.net_cash"), d.Name("finance.plan.overdraft.limit")
		wants := []*figures.In{s.cash, s.opening, s.limit}
		s.profit, s.cover = nil, nil
		for y := range s.plan.Years {
			s.profit = append(s.profit, d.Name(fmt.Sprintf("plan.year%d.profit", y+1)))
			s.cover = append(s.cover, d.Name(fmt.Sprintf("plan.year%d.debt_service_cover", y+1)))
		}
		wants = append(append(wants, s.profit...), s.cover...)
		s.cone = d.Again(set, wants, true).ReadsSet()
		s.runs, s.seed = d.ReadOr("finance.risk.runs", float64(s.Runs)), d.ReadOr("finance.risk.seed", float64(s.Seed))
		s.correlations = nil
		for _, g := range s.Groups {
			s.correlations = append(s.correlations, d.ReadOr("finance.risk.groups."+g.ID+".correlation", g.Correlation))
		}
		s.declare(d)
		return func(c *figures.Case) {
			for _, in := range append([]*figures.In{s.runs, s.seed}, s.correlations...) {
				if why, none := c.Why(in); none {
					s.refuse(c, why)
					return
				}
			}
			s.run(c, 0).report(c)
		}
	}}
}

// refuse gives nothing an answer, for a reason.
func (s *Simulation) refuse(c *figures.Case, why say.Text) {
	for _, out := range s.outs {
		c.None(out, why)
	}
}

// draws settles what varies in a case.
func (s *Simulation) draws(c *figures.Case) *drawing {
	w := &drawing{Simulation: s, seed: uint64(max(0, c.Of(s.seed)))}
	inputs := s.cone.Leads()
	group, sign := s.sort(inputs, nil)
	for _, group := range s.Groups {
		w.groups = append(w.groups, "group "+group.ID)
		w.yearly = append(w.yearly, group.EachYear)
	}
	for i, f := range inputs {
		now := c.Value(f)
		if group[i] == fixed || now != now {
			continue
		}
		low, high := rangeOf(f.Definition, now)
		v := varying{figure: f, spread: NewSpread(s.Shape, low, now, high), group: group[i], own: 1, seed: "input " + f.Name}
		if v.group >= 0 {
			r := max(0, min(1, c.Of(s.correlations[v.group])))
			v.common, v.own, v.yearly = float64(sign[i]*math.Sqrt(r)), math.Sqrt(1-r), s.Groups[v.group].EachYear
		}
		w.inputs = append(w.inputs, v)
	}
	return w
}

// Mistakes returns names in the settings that nothing has, or that stand in two
// groups, and warnings of those that do not vary. Of an enterprise's that the plan
// does not run nothing is said.
func (s *Simulation) Mistakes(g *figures.Graph) source.Errors {
	var errs source.Errors
	inputs := s.cone.Leads()
	s.sort(inputs, func(ref Ref, err *source.Error) {
		if err == nil {
			if s.plan.Idle[root(ref.Text)] && hasInput(g, ref) {
				return
			}
			err = unknown(g, ref)
		}
		errs = append(errs, err)
	})
	return errs
}

const (
	ungrouped = -1
	fixed     = -2
)

// sort puts inputs into their groups; sign is -1 for those that move against.
func (s *Simulation) sort(inputs []*figures.Figure, fail func(Ref, *source.Error)) (group []int, sign []float64) {
	if fail == nil {
		fail = func(Ref, *source.Error) {}
	}
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
					fail(ref, source.Errorf(source.Duplicate, ref.At, "%s is in two groups: %s and %s", f.Name, s.Groups[group[i]].ID, s.Groups[to].ID).
						With("an input moves with one group only; put it under except in one of them"))
					continue
				}
				group[i], sign[i] = to, way
			}
			if !found {
				fail(ref, nil)
			}
		}
	}
	for k, g := range s.Groups {
		put(g.Of, g.Except, k, 1)
		put(g.Against, g.Except, k, -1)
		for _, ref := range g.Except {
			if !slices.ContainsFunc(inputs, func(f *figures.Figure) bool { return ref.fits(f.Name) }) {
				fail(ref, nil)
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

// hasInput reports whether a name fits an input.
func hasInput(g *figures.Graph, ref Ref) bool {
	return slices.ContainsFunc(g.All(), func(f *figures.Figure) bool { return f.IsInput() && !f.Hidden && ref.fits(f.Name) })
}

// unknown says why a name fits no input that varies.
func unknown(g *figures.Graph, ref Ref) *source.Error {
	if f := g.Lookup(ref.Text); f != nil {
		switch {
		case !f.IsInput():
			return source.Errorf(source.WrongType, ref.At, "%s is worked out from others, so it has no range of its own", ref.Text).
				With("name the inputs that it comes from")
		case f.Low == nil && f.High == nil:
			return source.Warningf(ref.At, "%s has neither low nor high, so it does not vary", ref.Text).
				With("give it a range: {value: ..., low: ..., high: ...}")
		}
		return source.Warningf(ref.At, "the plan does not depend on %s", ref.Text)
	}
	if strings.Contains(ref.Text, "*") {
		if hasInput(g, ref) {
			return source.Warningf(ref.At, "no input with a range that the plan depends on is called like %s", ref.Text)
		}
		return source.Errorf(source.UnknownRef, ref.At, "no input is called like %s", ref.Text)
	}
	if hasInput(g, ref) {
		return source.Warningf(ref.At, "nothing under %s has a range and enters the plan", ref.Text)
	}
	var known []string
	for _, f := range g.All() {
		if f.IsInput() && !f.Hidden {
			known = append(known, f.Name)
		}
	}
	err := source.Errorf(source.UnknownRef, ref.At, "no input is called %s, and none begins with it", ref.Text)
	if close := source.Nearest(ref.Text, known); close != "" {
		err.With("did you mean %s?", close)
	}
	return err
}

// Drawn returns what was drawn in each run for an input, counted as Inputs has
// them, in base units; of one drawn each year the mean of its draws.
func (o *Outcomes) Drawn(input int) []float64 { return o.drawn[input*o.asked:][:o.Runs] }

// lanesOfBlock is how many runs are worked out side by side. Each block of them
// has its own draws, so that the answer is the same however many workers share
// the blocks.
const lanesOfBlock = 64

// Outcomes are the runs of a simulation.
type Outcomes struct {
	*drawing
	Runs    int // those in which everything had an answer
	asked   int
	columns int
	bank    []float64 // by run and column
	income  []float64 // by run and year: profit before tax
	cover   []float64 // by run and year: debt service cover; NaN where no loan is paid
	limit   []float64 // by run: of the overdraft
	faulty  []bool    // by run: some figure had no answer
	drawn   []float64 // by input and run; of one drawn each year the mean of its draws
}

// run works all runs out on as many workers; 0 stands for one on each core. The
// result does not depend on their number.
func (s *Simulation) run(c *figures.Case, workers int) *Outcomes {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	d := s.draws(c)
	var bent []*figures.Figure
	for i := range d.inputs {
		if d.inputs[i].yearly {
			bent = append(bent, d.inputs[i].figure)
		}
	}
	s.cone.Bend(bent...)
	years, columns := s.plan.Years, 12*s.plan.Years+1
	runs := int(max(1, min(c.Of(s.runs), mostRuns)))
	o := &Outcomes{
		drawing: d, Runs: runs, asked: runs, columns: columns, bank: make([]float64, runs*columns), income: make([]float64, runs*years),
		cover: make([]float64, runs*years), limit: make([]float64, runs), faulty: make([]bool, runs), drawn: make([]float64, runs*len(d.inputs)),
	}
	blocks := (runs + lanesOfBlock - 1) / lanesOfBlock
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(workers, blocks) {
		wait.Go(func() {
			w := d.worker(c)
			defer w.lanes.Free()
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
	o.leaveOut()
	return o
}

// leaveOut leaves out the runs in which something had no answer.
func (o *Outcomes) leaveOut() {
	kept := 0
	years := o.plan.Years
	for run := range o.Runs {
		if o.faulty[run] {
			continue
		}
		if kept < run {
			copy(o.bank[kept*o.columns:(kept+1)*o.columns], o.run(run))
			copy(o.income[kept*years:(kept+1)*years], o.income[run*years:])
			copy(o.cover[kept*years:(kept+1)*years], o.cover[run*years:])
			o.limit[kept] = o.limit[run]
			for i := range o.inputs {
				o.drawn[i*o.asked+kept] = o.drawn[i*o.asked+run]
			}
		}
		kept++
	}
	o.Runs = kept
}

// A worker works blocks out, one after the other, without allocating.
type worker struct {
	*drawing
	lanes  *figures.Lanes
	source *rand.ChaCha8
	bytes  []byte
	causes []float64 // by group, year and lane
	values []float64 // by input, year and lane
	bends  []figures.Bend
}

func (d *drawing) worker(c *figures.Case) *worker {
	years := max(1, d.plan.Years)
	return &worker{
		drawing: d, lanes: c.Lanes(d.cone, lanesOfBlock), source: rand.NewChaCha8([32]byte{}),
		causes: make([]float64, len(d.groups)*years*lanesOfBlock), values: make([]float64, len(d.inputs)*years*lanesOfBlock),
	}
}

// begin seeds the draws of one input or group in one block. Each has a stream of
// its own, so that a range given to one more input leaves the draws of all others
// as they were.
func (w *worker) begin(block int, name string) {
	w.bytes = binary.LittleEndian.AppendUint64(w.bytes[:0], w.drawing.seed)
	w.bytes = binary.LittleEndian.AppendUint64(w.bytes, uint64(block))
	w.bytes = append(w.bytes, name...)
	w.source.Seed(sha256.Sum256(w.bytes))
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
	for i := range w.inputs {
		v := &w.inputs[i]
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
	runs := min(lanesOfBlock, o.asked-first)
	years := w.plan.Years
	w.keep(o, first, runs)
	w.set()
	w.cone.Run(w.lanes)
	for l := range runs {
		run := first + l
		bank := o.bank[run*o.columns : (run+1)*o.columns]
		bank[0] = w.lanes.Of(w.opening, l)
		for m := range o.columns - 1 {
			bank[m+1] = w.lanes.At(w.cash, m, l)
		}
		for y := range years {
			o.income[run*years+y] = w.lanes.Of(w.profit[y], l)
			o.cover[run*years+y] = w.lanes.Of(w.cover[y], l)
		}
		if limit := w.lanes.Of(w.limit, l); limit > 0 {
			o.limit[run] = limit
		}
		for _, row := range [][]float64{bank, o.income[run*years : (run+1)*years]} {
			for _, x := range row {
				o.faulty[run] = o.faulty[run] || x-x != 0
			}
		}
	}
}

// set puts the draws into the lanes.
func (w *worker) set() {
	years := max(1, w.plan.Years)
	w.bends = w.bends[:0]
	for i := range w.inputs {
		v := &w.inputs[i]
		values := w.values[i*years*lanesOfBlock : (i+1)*years*lanesOfBlock]
		if v.yearly {
			w.bends = append(w.bends, figures.Bend{Figure: v.figure, Values: values})
			// What is read once for all years takes the last year's draw.
			values = values[(years-1)*lanesOfBlock:]
		}
		copy(w.lanes.Lane(v.figure, 0), values)
	}
	w.lanes.Bends(w.bends...)
}

// keep notes what was drawn for each run.
func (w *worker) keep(o *Outcomes, first, runs int) {
	years := max(1, w.plan.Years)
	for i := range w.inputs {
		values := w.values[i*years*lanesOfBlock:]
		n := w.times(w.inputs[i].yearly)
		for l := range runs {
			sum := 0.0
			for k := range n {
				sum += values[k*lanesOfBlock+l]
			}
			o.drawn[i*o.asked+first+l] = sum / float64(n)
		}
	}
}
