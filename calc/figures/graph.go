package figures

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

// A Figure is one number of the workbook: its definition, compiled, with its
// value in the farm's own case.
type Figure struct {
	*Definition
	Index   int // place in the graph's order: what a figure needs stands before it
	Type    formula.Type
	Unit    quantity.Unit    // to show it in
	Step    float64          // rounding step to show it with, in Unit; 0 for the default
	Formula *formula.Formula // nil for an input

	Text bool // it says words, and is no number

	graph    *Graph
	uses     []*Figure // what must stand before it: the figures that its formula names
	rests    []*Figure // what it rests on, if that is not uses
	made     *maker    // the engine that gives it, or whose node it is
	output   *Output
	quotes   *Figure // whose words it says
	word     int     // of an engine's figure, its place in words
	again    *again
	broken   bool
	fault    *source.Error // why it is broken
	slot     int
	weights  int   // where the series begins that its months are weighed by
	weighted bool  // whether there is one
	from, to int   // its instructions
	needs    []int // figures that it is worked from, as they are first named
	users    []int
}

// A Graph is all the figures of a workbook, compiled and worked out.
type Graph struct {
	Units *quantity.System

	figures []*Figure
	byName  map[string]*Figure
	failed  map[string]bool            // figures that have an error, or need one that has
	roots   map[string]map[string]bool // the files that know a first part of names
	nodes   []*Figure                  // of engines
	again   []*Figure                  // worked in rounds
	batches []*batch
	words   int // how many figures of engines there are
	program *formula.Program
	base    *Values
	pool    lanesPool

	usersOnce sync.Once
	restingOn [][]*Figure // by figure, those that rest on it
}

// A nodeKind says how a figure is worked out.
type nodeKind uint8

const (
	formulaNode nodeKind = iota // by its formula; an input too
	engineNode                  // stands for an engine, and is no figure itself
	outputNode                  // by an engine
	roundNode                   // in rounds
)

func (f *Figure) kind() nodeKind {
	switch {
	case f.again != nil:
		return roundNode
	case f.made == nil:
		return formulaNode
	case f.made.node == f:
		return engineNode
	}
	return outputNode
}

// Build makes the graph of the given definitions and works it out. It fails
// with all the errors of the run together, as source.Errors; the graph then
// returned holds the figures that are sound. years is the plan's horizon.
func Build(units *quantity.System, years int, definitions []Definition, functions ...*formula.Function) (*Graph, error) {
	return BuildWith(units, years, definitions, nil, functions...)
}

// BuildWith is Build with engines.
func BuildWith(units *quantity.System, years int, definitions []Definition, engines []*Engine, functions ...*formula.Function) (*Graph, error) {
	return BuildBeyond(nil, units, years, definitions, engines, functions...)
}

// A Beyond defines a figure that a formula names and nothing else does, or
// returns nil. has reports whether a figure is called a name.
type Beyond func(name string, has func(string) bool) *Definition

// BuildBeyond is BuildWith with what is defined only where somebody names it.
func BuildBeyond(beyond Beyond, units *quantity.System, years int, definitions []Definition, engines []*Engine, functions ...*formula.Function) (*Graph, error) {
	b := &builder{
		beyond:   beyond,
		Graph:    &Graph{Units: units, byName: map[string]*Figure{}, failed: map[string]bool{}},
		compiler: formula.NewCompiler(units, years, functions...),
	}
	b.define(definitions)
	b.declare(engines)
	b.resolve()
	b.bind()
	b.bindRounds()
	b.order()
	b.stages()
	b.compile()
	g := b.Graph
	g.program = b.compiler.Program()
	for _, node := range g.nodes {
		node.made.rest()
	}
	for _, f := range g.again {
		f.restRounds()
	}
	for _, t := range g.batches {
		t.all = &rounds{batch: t, members: t.members}
		t.all.lay(g, nil)
	}
	g.base = g.newValues()
	g.show()
	b.drop()
	return g, b.errs.Err()
}

type builder struct {
	*Graph
	compiler *formula.Compiler
	beyond   Beyond
	errs     source.Errors
	all      []*Figure // in the order of definition
	guesses  int       // nearest names looked for so far
	inCycles int       // figures named in cycles so far
}

// fail notes why a figure is broken, if it is.
func (f *Figure) fail(why *source.Error) {
	if why != nil && !f.broken {
		f.broken, f.fault = true, why
	}
}

// report reports what is wrong with a figure, which is then broken.
func (b *builder) report(f *Figure, err error) {
	from := len(b.errs)
	b.errs.Add(err)
	f.fail(b.errs[from])
}

func (b *builder) define(definitions []Definition) {
	for i := range definitions {
		d := &definitions[i]
		if first, ok := b.byName[d.Name]; ok {
			b.errs = append(b.errs, source.Errorf(source.Duplicate, d.Place, "%s is defined twice; first at %s", d.Name, first.Place.Position()).
				With("give one of them another name"))
			continue
		}
		f := &Figure{Definition: d, graph: b.Graph}
		b.byName[d.Name] = f
		b.all = append(b.all, f)
		if f.fail(d.Failed); f.broken || d.given() {
			continue
		}
		parsed, err := formula.Parse(d.Formula, b.Units)
		if err != nil {
			b.report(f, err)
			continue
		}
		f.Formula = parsed
	}
}

// find looks a name up as a formula in the given scope means it: in the scope,
// then in the scopes around it, then as a full name.
func (g *Graph) find(scope, name string) *Figure {
	for scope != "" {
		if f := g.byName[scope+"."+name]; f != nil {
			return f
		}
		scope = parent(scope)
	}
	return g.byName[name]
}

// lost returns the failed figure under which a name stands that nothing has: what
// could not be read may have had it.
func (b *builder) lost(scope, name string) *Figure {
	for {
		for above := parent(name); above != ""; above = parent(above) {
			if f := b.byName[strings.TrimPrefix(scope+"."+above, ".")]; f != nil && f.Failed != nil {
				return f
			}
		}
		if scope == "" {
			return nil
		}
		if f := b.byName[scope]; f != nil && f.Failed != nil {
			return f
		}
		scope = parent(scope)
	}
}

func parent(scope string) string {
	dot := strings.LastIndexByte(scope, '.')
	return scope[:max(0, dot)]
}

func (b *builder) resolve() {
	for _, f := range b.all {
		seen := map[*Figure]bool{}
		if f.Formula == nil {
			continue
		}
		for _, name := range f.Formula.Names() {
			used := b.find(f.Scope, name.Text)
			if used == nil {
				used = b.further(f.Scope, name.Text)
			}
			if lost := b.lost(f.Scope, name.Text); used == nil && lost != nil {
				f.fail(lost.Failed)
				lost.Failed.Follow(f.Place)
				continue
			}
			if used == nil {
				b.report(f, b.unknown(f.Scope, name))
				continue
			}
			name.Full = used.Name
			if !seen[used] {
				seen[used] = true
				f.uses = append(f.uses, used)
			}
		}
	}
}

// further defines what a name means that nothing has, if it is one that may be
// named nevertheless: in the scope, then in the scopes around it.
func (b *builder) further(scope, name string) *Figure {
	if b.beyond == nil {
		return nil
	}
	has := func(name string) bool { return b.byName[name] != nil }
	for ; ; scope = parent(scope) {
		if d := b.beyond(strings.TrimPrefix(scope+"."+name, "."), has); d != nil {
			b.define([]Definition{*d})
			return b.byName[d.Name]
		}
		if scope == "" {
			return nil
		}
	}
}

// mostGuesses bounds how many unknown names are given their nearest known one,
// for each takes a look at all names.
const mostGuesses = 100

func (b *builder) unknown(scope string, name *formula.Name) *source.Error {
	if b.guesses++; b.guesses > mostGuesses {
		return source.Errorf(b.missing(scope, name.Text, name.Span), name.Span, "no figure is called %s", name.Text)
	}
	return b.Graph.unknown(scope, name.Text, name.Span)
}

// missing is the kind of error of a name that nothing has: what is missing is all
// under its first part, if no other text knows anything under that.
func (g *Graph) missing(scope, name string, at source.Span) source.Unknown {
	root, _, dotted := strings.Cut(name, ".")
	if !dotted {
		if scope != "" {
			name = scope + "." + name
		}
		return source.Unknown{Name: name, Scope: scope}
	}
	if g.roots == nil {
		g.roots = map[string]map[string]bool{}
		for known, f := range g.byName {
			if first, _, dotted := strings.Cut(known, "."); dotted {
				if g.roots[first] == nil {
					g.roots[first] = map[string]bool{}
				}
				g.roots[first][f.Place.Position().File] = true
			}
		}
	}
	if in := g.roots[root]; len(in) > 1 || len(in) == 1 && !in[at.Position().File] {
		return source.Unknown{Name: name, Scope: scope}
	}
	return source.Unknown{Name: root, Scope: scope}
}

// unknown says that nothing is called name, and which name is nearest: one of
// the scope's own first.
func (g *Graph) unknown(scope, name string, at source.Span) *source.Error {
	err := source.Errorf(g.missing(scope, name, at), at, "no figure is called %s", name)
	var local, full []string
	for known, f := range g.byName {
		if f.Hidden {
			continue
		}
		if short, ok := strings.CutPrefix(known, scope+"."); ok {
			local = append(local, short)
		}
		full = append(full, known)
	}
	for _, f := range formula.Describe() {
		if f.Name == name {
			return err.With("%s is a function: %s", name, f.Usage)
		}
	}
	near := source.Nearest(name, local)
	if near == "" {
		near = source.Nearest(name, full)
	}
	switch {
	case g.Units.Known(name):
		return err.With("%s is a unit, which stands after a number, as in 1 %s", name, name)
	case near != "":
		return err.With("did you mean %s?", near)
	}
	if all := err.Kind.(source.Unknown).Name; all != name && strings.HasPrefix(name, all+".") {
		err.With("nothing is called %s: is it misspelt, or was it taken away?", all)
	}
	return err
}

// order puts every figure behind those that it needs, and reports cycles. The
// order of definition is kept wherever it can be. It keeps its own stack, for
// a chain of figures may be very long.
func (b *builder) order() {
	const (
		unseen = iota
		open
		done
	)
	type step struct {
		f    *Figure
		next int // of f.uses
	}
	state := make(map[*Figure]int, len(b.all))
	for _, first := range b.all {
		if state[first] == done {
			continue
		}
		state[first] = open
		path := []step{{f: first}}
		for len(path) > 0 {
			top := &path[len(path)-1]
			if top.next == len(top.f.uses) {
				top.f.Index = len(b.figures)
				b.figures = append(b.figures, top.f)
				state[top.f] = done
				path = path[:len(path)-1]
				continue
			}
			used := top.f.uses[top.next]
			top.next++
			switch state[used] {
			case unseen:
				state[used] = open
				path = append(path, step{f: used})
			case open:
				from := len(path) - 1
				for path[from].f != used && b.inCycles <= mostInCycles {
					from--
				}
				var cycle []*Figure
				for _, s := range path[from:] {
					cycle = append(cycle, s.f)
				}
				b.cycle(used, cycle)
			}
		}
	}
}

// mostInCycles bounds the names in errors of cycles, of which there can be
// more than there are figures. The first cycle is always named in full.
const mostInCycles = 10_000

// cycle reports that the figures of a path need each other in turn, back to
// the first.
func (b *builder) cycle(first *Figure, path []*Figure) {
	if b.inCycles > mostInCycles {
		first.fail(b.errs[len(b.errs)-1]) // of the last cycle
		return
	}
	b.inCycles += len(path)
	names := make([]string, 0, len(path)+1)
	for _, f := range path {
		names = append(names, f.Name)
	}
	names = append(names, first.Name)
	b.report(first, source.Errorf(source.Cycle, first.Place, "%s is worked out from itself: %s", first.Name, strings.Join(names, " needs ")).
		With("one of them must be an input")) // and through it all others
}

func (b *builder) compile() {
	for _, f := range b.figures {
		for _, used := range f.uses {
			if used.broken {
				f.fail(used.fault)
				if !f.Engine && f.kind() == formulaNode {
					used.fault.Follow(f.Place)
				}
			}
		}
		if f.broken {
			continue
		}
		switch f.kind() {
		case engineNode:
			b.settle(f)
			b.join(f)
			continue
		case roundNode:
			b.settleRounds(f)
			b.join(f)
			continue
		case outputNode:
			b.join(f)
			continue
		}
		if f.Text = f.Words != ""; f.Text {
			f.slot = b.compiler.Input(1)
			b.join(f)
			continue
		}
		if f.given() {
			f.Unit, f.Step = f.Value.Unit, f.Value.Step
			f.Type = formula.Type{Dimension: f.Unit.Dimension, Len: len(f.Series), Kind: f.Kind, Choices: f.Choices}.Settled(f.Unit)
			f.slot = b.compiler.Input(len(f.Series))
			if f.IsInput() && slices.ContainsFunc(append([]float64{f.Value.Value}, f.Series...), func(x float64) bool { return !finite(x) }) {
				b.report(f, source.Errorf(source.NotFinite, f.Place, "%s is not a number", f.Name))
			}
			b.join(f)
			b.want(f, f.Place)
			continue
		}
		if name := f.Formula.Bare(); name != nil && f.Formula.As == nil && b.byName[name.Full].Text {
			// Words that are quoted.
			f.Text, f.quotes = true, b.byName[name.Full]
			f.slot = f.quotes.slot
			b.join(f)
			continue
		}
		f.from = b.compiler.Program().Len()
		x, err := b.compiler.Compile(f.Formula, func(name *formula.Name) (formula.Operand, *source.Error) {
			used := b.byName[name.Full]
			if used.Text {
				return formula.Operand{}, source.Errorf(source.WrongType, name.Span, "%s is words, and no number", used.Name)
			}
			return formula.Operand{Slot: used.slot, Type: used.Type, Unit: used.Unit, Step: used.Step, Weights: used.weights, Weighted: used.weighted}, nil
		})
		if err != nil {
			b.report(f, err)
			continue
		}
		f.to = b.compiler.Program().Len()
		f.slot, f.Type, f.Unit = x.Slot, x.Type, x.Unit
		if f.Kind != formula.Number && f.Type.Len > 0 {
			f.Type.Kind = f.Kind
		}
		f.weights, f.weighted = x.Weights, x.Weighted
		f.Step = x.Step
		if f.Formula.As == nil && f.Formula.Bare() == nil {
			f.Step = 0
		}
		b.join(f)
		b.want(f, f.Definition.Formula)
	}
}

// join ties a figure to those that it is worked from.
func (b *builder) join(f *Figure) {
	for _, used := range f.uses {
		f.needs = append(f.needs, used.Index)
		used.users = append(used.users, f.Index)
	}
}

// want checks that a figure comes out in what its place calls for.
func (b *builder) want(f *Figure, at source.Span) {
	w := f.Want
	if w == nil {
		return
	}
	switch {
	case f.Type.Truth() != w.Truth:
		b.report(f, source.Errorf(source.WrongType, at, "%s can't be %s; expected %s", w.What, b.compiler.DescribeIn(f.Type, f.Unit), b.wanted(w)))
	case f.Type.Len > 0 && !w.Monthly:
		b.report(f, source.Errorf(source.WrongType, at, "%s is a single value, but this is a monthly series", w.What).
			With("sum(...) adds its months up"))
	case !w.Truth && len(w.Dimensions) > 0 && !slices.Contains(w.Dimensions, f.Type.Dimension) && !f.Type.Open():
		b.report(f, source.Errorf(source.WrongUnit, at, "%s must come out as %s, but this comes out as %s", w.What, b.wanted(w), b.compiler.DescribeIn(f.Type, f.Unit)))
	}
}

func (b *builder) wanted(w *Want) string {
	if w.Truth {
		return "yes or no"
	}
	var texts []string
	for _, d := range w.Dimensions {
		texts = append(texts, b.compiler.Describe(formula.Type{Dimension: d}))
	}
	return strings.Join(texts, " or ")
}

// drop leaves broken figures out.
func (b *builder) drop() {
	for _, f := range b.figures {
		if f.broken {
			delete(b.byName, f.Name)
			b.failed[f.Name] = true
		}
	}
}

// Lookup returns the figure with the given full name, or nil.
func (g *Graph) Lookup(name string) *Figure { return g.byName[name] }

// Find returns the figure that a name means in a scope: one of the scope's
// own, or the one with that full name. It fails with the nearest known name;
// see Failed for names whose own error Build has reported.
func (g *Graph) Find(scope, name string, at source.Span) (*Figure, error) {
	if f := g.find(scope, name); f != nil {
		return f, nil
	}
	if g.Failed(scope, name) {
		return nil, source.Errorf(source.UnknownRef, at, "%s could not be worked out", name).With("see the other errors")
	}
	return nil, g.unknown(scope, name, at)
}

// Failed reports whether a name means a figure that is defined but was left out
// of the graph, since it or one that it needs has an error that Build reported.
// Whoever mentions it need not report it again.
func (g *Graph) Failed(scope, name string) bool {
	for ; name != ""; name = parent(name) {
		for within := scope; within != ""; within = parent(within) {
			if g.failed[within+"."+name] {
				return true
			}
		}
		if g.failed[name] {
			return true
		}
	}
	return false
}

// All returns the figures sorted by name.
func (g *Graph) All() []*Figure {
	all := make([]*Figure, 0, len(g.byName))
	for _, f := range g.byName {
		all = append(all, f)
	}
	slices.SortFunc(all, func(a, b *Figure) int { return strings.Compare(a.Name, b.Name) })
	return all
}

// Base returns the values of the farm's own case. They must not be changed;
// Clone them first.
func (g *Graph) Base() *Values { return g.base }

// Needs returns the figures that f is worked from, in the order in which its
// formula names them.
func (f *Figure) Needs() []*Figure {
	if f.again == nil && f.made == nil {
		return f.graph.at(f.needs)
	}
	var needs []*Figure
	add := func(n *Figure) {
		if n != nil && !(n.Hidden && n.IsInput()) && !slices.Contains(needs, n) {
			needs = append(needs, n)
		}
	}
	for _, n := range f.rests {
		if n.again == nil {
			add(n)
			continue
		}
		add(n.again.want)
		for _, round := range n.again.to {
			for _, to := range round {
				add(to)
			}
		}
	}
	return needs
}

// traced returns what a figure rests on, to the letter.
func (f *Figure) traced() []*Figure {
	if f.again == nil && f.made == nil {
		return f.graph.at(f.needs)
	}
	return f.rests
}

// Users returns the figures that rest on f.
func (f *Figure) Users() []*Figure {
	g := f.graph
	g.usersOnce.Do(func() {
		g.restingOn = make([][]*Figure, len(g.figures))
		for _, u := range g.figures {
			if u.kind() == engineNode || u.kind() == roundNode {
				continue
			}
			for _, n := range u.Needs() {
				g.restingOn[n.Index] = append(g.restingOn[n.Index], u)
			}
		}
	})
	return g.restingOn[f.Index]
}

func (g *Graph) at(indices []int) []*Figure {
	figures := make([]*Figure, len(indices))
	for i, n := range indices {
		figures[i] = g.figures[n]
	}
	return figures
}

// Leaves returns the inputs that f depends on, sorted by name; for an input
// that is itself.
func (f *Figure) Leaves() []*Figure {
	seen := map[*Figure]bool{f: true}
	var leaves []*Figure
	for open := []*Figure{f}; len(open) > 0; {
		f := open[len(open)-1]
		open = open[:len(open)-1]
		if f.IsInput() && !f.Hidden {
			leaves = append(leaves, f)
		}
		for _, used := range f.traced() {
			if !seen[used] {
				seen[used] = true
				open = append(open, used)
			}
		}
	}
	slices.SortFunc(leaves, func(a, b *Figure) int { return strings.Compare(a.Name, b.Name) })
	return leaves
}

// Current returns the figure's value in the farm's own case, in base units; of
// a series, its sum.
func (f *Figure) Current() float64 { return f.graph.base.Of(f) }

// Months returns a copy of the series' values in the farm's own case, in base
// units, or nil if f is not a series.
func (f *Figure) Months() []float64 { return f.graph.base.Months(f) }

// Shown returns the value in the unit that the figure is shown in.
func (f *Figure) Shown() float64 { return f.Unit.FromBase(f.Current()) }

// String names the figure, for messages.
func (f *Figure) String() string { return fmt.Sprintf("%s (%s)", f.Label, f.Name) }
