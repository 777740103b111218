package figures

import (
	"fmt"
	"math"
	"slices"
	"strings"

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

	graph    *Graph
	slot     int
	from, to int   // its instructions
	needs    []int // figures that it is worked from, as they are first named
	users    []int
}

// A Graph is all the figures of a workbook, compiled and worked out.
type Graph struct {
	Units *quantity.System

	figures []*Figure
	byName  map[string]*Figure
	program *formula.Program
	base    *Values
}

// Build makes the graph of the given definitions and works it out. It fails
// with all the errors of the run together, as source.Errors; the graph then
// returned holds the figures that are sound. years is the plan's horizon.
func Build(units *quantity.System, years int, definitions []Definition, functions ...*formula.Function) (*Graph, error) {
	b := &builder{
		Graph:    &Graph{Units: units, byName: map[string]*Figure{}},
		compiler: formula.NewCompiler(units, years, functions...),
	}
	b.define(definitions)
	b.resolve()
	b.order()
	b.compile()
	g := b.Graph
	g.program = b.compiler.Program()
	g.base = g.newValues()
	b.check()
	return g, b.errs.Err()
}

type builder struct {
	*Graph
	compiler *formula.Compiler
	errs     source.Errors
	all      []*Figure // in the order of definition
	broken   map[*Figure]bool
	uses     map[*Figure][]*Figure
}

func (b *builder) define(definitions []Definition) {
	b.broken = map[*Figure]bool{}
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
		if d.IsInput() {
			continue
		}
		parsed, err := formula.Parse(d.Formula, b.Units)
		if err != nil {
			b.errs.Add(err)
			b.broken[f] = true
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

func parent(scope string) string {
	dot := strings.LastIndexByte(scope, '.')
	return scope[:max(0, dot)]
}

func (b *builder) resolve() {
	b.uses = map[*Figure][]*Figure{}
	for _, f := range b.all {
		if f.Formula == nil {
			continue
		}
		for _, name := range f.Formula.Names() {
			used := b.find(f.Scope, name.Text)
			if used == nil {
				b.errs = append(b.errs, b.unknown(f.Scope, name.Text, name.Span))
				b.broken[f] = true
				continue
			}
			name.Full = used.Name
			if !slices.Contains(b.uses[f], used) {
				b.uses[f] = append(b.uses[f], used)
			}
		}
	}
}

// unknown says that nothing is called name, and which name is nearest.
func (g *Graph) unknown(scope, name string, at source.Span) *source.Error {
	err := source.Errorf(source.UnknownRef, at, "no figure is called %s", name)
	var known []string
	for full := range g.byName {
		if local, ok := strings.CutPrefix(full, scope+"."); ok && scope != "" {
			known = append(known, local)
		}
		known = append(known, full)
	}
	if near := source.Nearest(name, known); near != "" {
		return err.With("did you mean %s?", near)
	}
	return err
}

// order puts every figure behind those that it needs, and reports cycles. The
// order of definition is kept wherever it can be.
func (b *builder) order() {
	const (
		unseen = iota
		open
		done
	)
	state := map[*Figure]int{}
	var path []*Figure
	var visit func(f *Figure)
	visit = func(f *Figure) {
		switch state[f] {
		case done:
			return
		case open:
			b.cycle(path[slices.Index(path, f):])
			return
		}
		state[f] = open
		path = append(path, f)
		for _, used := range b.uses[f] {
			visit(used)
		}
		path = path[:len(path)-1]
		state[f] = done
		f.Index = len(b.figures)
		b.figures = append(b.figures, f)
	}
	for _, f := range b.all {
		visit(f)
	}
}

func (b *builder) cycle(path []*Figure) {
	names := make([]string, 0, len(path)+1)
	for _, f := range path {
		names = append(names, f.Name)
		b.broken[f] = true
	}
	names = append(names, path[0].Name)
	b.errs = append(b.errs, source.Errorf(source.Cycle, path[0].Place, "%s is worked out from itself: %s", path[0].Name, strings.Join(names, " needs ")).
		With("one of them must be an input"))
}

func (b *builder) compile() {
	for _, f := range b.figures {
		for _, used := range b.uses[f] {
			if b.broken[used] {
				b.broken[f] = true // its error is already reported
			}
		}
		if b.broken[f] {
			continue
		}
		if f.IsInput() {
			f.Type = formula.Type{Dimension: f.Value.Unit.Dimension, Len: len(f.Series)}
			f.Unit, f.Step = f.Value.Unit, f.Value.Step
			f.slot = b.compiler.Input(len(f.Series))
			b.want(f, f.Place)
			continue
		}
		f.from = b.compiler.Program().Len()
		x, err := b.compiler.Compile(f.Formula, func(name *formula.Name) (formula.Operand, *source.Error) {
			used := b.byName[name.Full]
			return formula.Operand{Slot: used.slot, Type: used.Type, Unit: used.Unit, Step: used.Step}, nil
		})
		if err != nil {
			b.errs.Add(err)
			b.broken[f] = true
			continue
		}
		f.to = b.compiler.Program().Len()
		f.slot, f.Type, f.Unit = x.Slot, x.Type, x.Unit
		f.Step = x.Step
		if f.Formula.As == nil && f.Formula.Bare() == nil {
			f.Step = 0
		}
		for _, used := range b.uses[f] {
			f.needs = append(f.needs, used.Index)
			used.users = append(used.users, f.Index)
		}
		b.want(f, f.Definition.Formula)
	}
}

// want checks that a figure comes out in what its place calls for.
func (b *builder) want(f *Figure, at source.Span) {
	w := f.Want
	if w == nil {
		return
	}
	switch {
	case f.Type.Truth != w.Truth:
		b.errs = append(b.errs, source.Errorf(source.WrongType, at, "%s can't be %s; expected %s", w.What, b.compiler.Describe(f.Type), b.wanted(w)))
	case f.Type.Len > 0 && !w.Monthly:
		b.errs = append(b.errs, source.Errorf(source.WrongType, at, "%s is a single value, but this is a monthly series", w.What).
			With("sum(...) adds its months up"))
	case !w.Truth && len(w.Dimensions) > 0 && !slices.Contains(w.Dimensions, f.Type.Dimension):
		b.errs = append(b.errs, source.Errorf(source.WrongUnit, at, "%s must come out as %s, but this comes out as %s", w.What, b.wanted(w), b.compiler.Describe(f.Type)))
	default:
		return
	}
	b.broken[f] = true
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

// check drops broken figures and reports those whose value is not a number.
func (b *builder) check() {
	for _, f := range b.figures {
		if b.broken[f] {
			delete(b.byName, f.Name)
			continue
		}
		if err := b.base.Fault(f); err != nil {
			b.errs = append(b.errs, err)
		}
	}
}

// Lookup returns the figure with the given full name, or nil.
func (g *Graph) Lookup(name string) *Figure { return g.byName[name] }

// Find returns the figure that a name means in a scope: one of the scope's
// own, or the one with that full name. It fails with the nearest known name.
func (g *Graph) Find(scope, name string, at source.Span) (*Figure, error) {
	if f := g.find(scope, name); f != nil {
		return f, nil
	}
	return nil, g.unknown(scope, name, at)
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
func (f *Figure) Needs() []*Figure { return f.graph.at(f.needs) }

// Users returns the figures whose formulas name f.
func (f *Figure) Users() []*Figure { return f.graph.at(f.users) }

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
	seen := map[int]bool{}
	var leaves []*Figure
	var visit func(*Figure)
	visit = func(f *Figure) {
		if seen[f.Index] {
			return
		}
		seen[f.Index] = true
		if f.IsInput() {
			leaves = append(leaves, f)
		}
		for _, n := range f.needs {
			visit(f.graph.figures[n])
		}
	}
	visit(f)
	slices.SortFunc(leaves, func(a, b *Figure) int { return strings.Compare(a.Name, b.Name) })
	return leaves
}

// Dependents returns the worked figures that change when one of the given
// figures does, in working order.
func (g *Graph) Dependents(changed ...*Figure) []*Figure {
	touched := make([]bool, len(g.figures))
	for _, f := range changed {
		touched[f.Index] = true
	}
	var dependents []*Figure
	for _, f := range g.figures {
		for _, n := range f.needs {
			if touched[n] {
				touched[f.Index] = true
				dependents = append(dependents, f)
				break
			}
		}
	}
	return dependents
}

// Value returns the figure's value in the farm's own case, in base units; of
// a series, its sum.
func (f *Figure) Current() float64 { return f.graph.base.Of(f) }

// Months returns a copy of the series' values in the farm's own case, in base
// units, or nil if f is not a series.
func (f *Figure) Months() []float64 { return f.graph.base.Months(f) }

// Shown returns the value in the unit that the figure is shown in.
func (f *Figure) Shown() float64 { return f.Unit.FromBase(f.Current()) }

// String names the figure, for messages.
func (f *Figure) String() string { return fmt.Sprintf("%s (%s)", f.Label, f.Name) }

func isFinite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
