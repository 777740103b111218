package figures

import (
	"math"
	"slices"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// An Engine works out figures that no one formula gives: a loan's schedule, the
// best mix of enterprises, a simulation. It is declared once for a Build: by
// names alone, so that what exists never hangs on numbers. It is then handed
// exactly what it has declared, so that a trace names all that moves its
// figures.
type Engine struct {
	Name string // for cycles and mistakes, as "the months of broilers.chicks"
	Late bool   // it runs only when somebody asks for what it gives

	// Declare says what the engine reads and gives, and returns what works it
	// out. It may look into the graph's names, but not into numbers.
	Declare func(*Declaration) Run
}

// A Run works an engine out. It sees its Case and nothing else, and always
// gives the same for the same.
type Run func(*Case)

// A Declaration collects what an engine reads and gives.
type Declaration struct {
	b    *builder
	node *Figure
}

// An In is a figure that an engine reads, or the number that stands for it where
// there is none.
type In struct {
	name      string
	figure    *Figure
	otherwise float64
}

// Figure returns the figure that is read, or nil. Its value is the Case's
// business: it is another in each.
func (in *In) Figure() *Figure { return in.figure }

// An Out is a figure that an engine gives.
type Out struct{ figure *Figure }

// An Output says what one figure of an engine's is.
type Output struct {
	Name  string
	Label say.Text
	Scope string
	Place source.Span
	How   say.Text // how it was found, for readers
	Note  say.Text

	Unit quantity.Unit
	Like *In     // in whose unit it is, instead of Unit
	Step float64 // rounding step to show it with, in Unit; 0 for the default
	Len  int     // how many values a series has; 0: a single value
	Per  *In     // the unit is Unit for one of this
	// LikeOf finds Like (or, with PerLike, Per) when the types of all that is read
	// are known; nil for none.
	LikeOf  func() *In
	PerLike bool
	// LikeLen makes it as long as Like, of the same kind, and LikeStep shows it to the step of
	// Like's own formula.
	LikeLen, LikeStep bool
	// How it is shown, by what it is in the farm's own case: in a larger unit
	// where that suits it better, with so many figures, in the unit of land.
	Larger, InLand bool
	Figures        int
	Kind           formula.Kind // what its values are, where its unit does not say
	Truth          bool         // yes or no
	Text           bool         // words, and no number

	Rests   []*In   // what it rests on, if less than all that the engine reads
	RestsOn []*Cone // and what these cones rest on
	// Alone says that it rests on Rests only, even if there are none.
	Alone  bool
	Hidden bool
}

// Has reports whether a figure of that name is defined, or given by an engine
// declared before.
func (d *Declaration) Has(name string) bool { return d.b.byName[name] != nil }

// Read declares a figure that the engine reads; that there is none, or that it
// has failed, is then a mistake of the program's.
func (d *Declaration) Read(name string) *In {
	return d.read(&In{name: name, otherwise: math.NaN()})
}

// ReadOr declares a figure that the engine reads if there is one.
func (d *Declaration) ReadOr(name string, otherwise float64) *In {
	in := &In{name: name, otherwise: otherwise}
	if !d.Has(name) {
		return in
	}
	return d.read(in)
}

func (d *Declaration) read(in *In) *In {
	d.node.made.reads = append(d.node.made.reads, in)
	return in
}

// Units returns the farm's units.
func (d *Declaration) Units() *quantity.System { return d.b.Units }

// Give declares a figure that the engine gives.
func (d *Declaration) Give(o Output) *Out {
	f := &Figure{
		Definition: &Definition{Name: o.Name, Label: o.Label, Scope: o.Scope, Place: o.Place, Note: o.Note, Found: o.How, Hidden: o.Hidden},
		graph:      d.b.Graph, output: &o, made: d.node.made, uses: []*Figure{d.node}, Text: o.Text,
	}
	if f.Found == "" {
		f.Found = "worked out by the program"
	}
	if first := d.b.byName[o.Name]; first != nil {
		d.b.errs = append(d.b.errs, source.Errorf(source.Duplicate, first.Place, "%s is the name of a figure that the program works out", o.Name).
			With("give it another name"))
		return &Out{f}
	}
	f.word = d.b.words
	d.b.words++
	d.b.byName[o.Name] = f
	d.b.all = append(d.b.all, f)
	d.node.made.gives = append(d.node.made.gives, f)
	return &Out{f}
}

// Const is a number that stands where a figure would be read.
func (d *Declaration) Const(x float64) *In { return &In{otherwise: x} }

// Name declares a figure that a cone sets or wants, and that the engine does not
// read besides. There need not be one.
func (d *Declaration) Name(name string) *In { return &In{name: name, otherwise: math.NaN()} }

// Again declares that the engine works a part of the graph again: all formulas
// that lie between the figures it sets and those it wants. What an engine gives
// between them stays as it is, unless through is given; then engines are run
// again too.
func (d *Declaration) Again(set, want []*In, through bool) *Cone {
	c := &Cone{graph: d.b.Graph, setIns: set, wantIns: want, through: through}
	d.node.made.cones = append(d.node.made.cones, c)
	return c
}

// maker is an engine as it stands in a graph.
type maker struct {
	*Engine
	node  *Figure
	reads []*In
	cones []*Cone
	gives []*Figure
	run   Run
	wide  func(*Lanes) bool
}

// declare takes the engines in.
func (b *builder) declare(engines []*Engine) {
	for _, e := range engines {
		node := &Figure{Definition: &Definition{Name: e.Name, Label: say.Own(e.Name), Hidden: true}, graph: b.Graph}
		node.made = &maker{Engine: e, node: node}
		node.made.run = e.Declare(&Declaration{b, node})
		b.all = append(b.all, node)
		b.nodes = append(b.nodes, node)
	}
}

// bind looks up what engines read, when all names are known.
func (b *builder) bind() {
	for _, node := range b.nodes {
		m := node.made
		for _, in := range m.reads {
			if in.figure = b.byName[in.name]; in.figure == nil {
				b.report(node, source.Errorf(source.UnknownRef, source.Span{}, "%s reads %s, which nothing defines", m.Name, in.name))
				continue
			}
			node.use(in.figure)
		}
		for _, c := range m.cones {
			for _, in := range slices.Concat(c.setIns, c.wantIns) {
				in.figure = b.byName[in.name]
				if in.figure != nil {
					node.use(in.figure)
				}
			}
		}
	}
}

// use adds an edge, once.
func (f *Figure) use(used *Figure) {
	if !slices.Contains(f.uses, used) {
		f.uses = append(f.uses, used)
	}
}

// settle gives an engine's figures their slots and types, when those of all
// that it reads are known.
func (b *builder) settle(node *Figure) {
	for _, f := range node.made.gives {
		o := f.output
		f.Unit, f.Step = o.Unit, o.Step
		f.Type = formula.Type{Dimension: o.Unit.Dimension, Len: o.Len, Kind: o.Kind}
		if o.Truth {
			f.Type.Kind = formula.Truth
		}
		if o.LikeOf != nil {
			if o.PerLike {
				o.Per = o.LikeOf()
			} else {
				o.Like = o.LikeOf()
			}
		}
		if o.Per != nil && o.Per.figure != nil {
			f.Unit = f.Unit.Per(o.Per.figure.Unit)
			f.Type.Dimension = f.Unit.Dimension
		}
		if o.Like != nil && o.Like.figure != nil {
			like := o.Like.figure
			f.Unit, f.Type.Dimension = like.Unit, like.Type.Dimension
			if o.Step == 0 && (!o.LikeStep || like.Formula != nil && like.Formula.As != nil) {
				f.Step = like.Step
			}
			if o.InLand {
				f.Unit = b.inLand(f.Unit)
			}
			if o.LikeLen {
				f.Type.Len = like.Type.Len
				if o.Kind == formula.Number {
					f.Type.Kind = like.Type.Kind
				}
			}
		}
		f.Type = f.Type.Settled(f.Unit)
		f.slot = b.compiler.Input(f.Type.Len)
	}
}

// inLand is the unit in which the farm measures land, for an area.
func (b *builder) inLand(unit quantity.Unit) quantity.Unit {
	if unit.Dimension == quantity.Area {
		unit, _ = b.Units.Land()
	}
	return unit
}

// show settles how figures are shown that depend on what they are.
func (g *Graph) show() {
	for _, node := range g.nodes {
		for _, f := range node.made.gives {
			x := g.base.frame[f.slot]
			if o := f.output; f.broken || g.base.Waits(f) || x-x != 0 || f.Type.Len > 0 {
				continue
			} else if o.Larger && f.Step == 0 {
				f.Unit = g.Units.Larger(x, f.Unit)
			}
			if n := f.output.Figures; n > 0 {
				f.Step = 1
				if shown := math.Abs(f.Unit.FromBase(x)); shown >= 1 {
					for least := 1.0; shown >= least*10; least *= 10 {
						if n--; n <= 0 {
							f.Step *= 10
						}
					}
				}
			}
		}
	}
}

// rest returns what the engine looks at.
func (m *maker) rest() []*Figure {
	if m.node.rests != nil {
		return m.node.rests
	}
	all := []*Figure{}
	add := func(f *Figure) {
		if f != nil && !slices.Contains(all, f) {
			all = append(all, f)
		}
	}
	for _, in := range m.reads {
		add(in.figure)
	}
	for _, c := range m.cones {
		c.build()
		for _, f := range c.beside {
			add(f)
		}
		if c.readsSet {
			for _, f := range c.Leads() {
				add(f)
			}
		}
	}
	m.node.rests = all
	for _, f := range m.gives {
		f.rests = all
		if f.output.Rests != nil || f.output.Alone {
			f.rests = nil
			for _, in := range f.output.Rests {
				if in.figure != nil {
					f.rests = append(f.rests, in.figure)
				}
			}
			for _, c := range f.output.RestsOn {
				for _, beside := range c.beside {
					if !slices.Contains(f.rests, beside) {
						f.rests = append(f.rests, beside)
					}
				}
			}
		}
	}
	return all
}

// looksAt returns all whose values an engine may use: what it rests on, and what
// its cones set.
func (m *maker) looksAt() []*Figure {
	all := slices.Clone(m.rest())
	for _, c := range m.cones {
		all = append(all, c.set...)
	}
	return all
}

// Wide gives the engine a way to work out many cases at once, which must come to
// the same to the bit as its Run in each. It returns false, and has set nothing,
// where each must be worked out by itself.
func (d *Declaration) Wide(run func(*Lanes) bool) { d.node.made.wide = run }

// A Case is what an engine is worked out from, and where its figures go.
type Case struct {
	graph *Graph
	frame []float64
	words []say.Text

	scratch []float64
	used    int
}

// Of returns the value of a figure in base units, or the first of a series. It
// is no number if the figure has no answer.
func (c *Case) Of(in *In) float64 {
	if in.figure == nil {
		return in.otherwise
	}
	return c.frame[in.figure.slot]
}

// Series returns the values of a series in base units, or the single value of a
// figure that is none. They must not be changed or kept.
func (c *Case) Series(in *In) []float64 {
	if in.figure == nil {
		return nil
	}
	f := in.figure
	return c.frame[f.slot : f.slot+max(1, f.Type.Len)]
}

// Value returns what a figure of a cone's is in the case, in base units.
func (c *Case) Value(f *Figure) float64 { return c.frame[f.slot] }

// Text returns the words that a figure says.
func (c *Case) Text(in *In) say.Text {
	if in.figure == nil || in.figure.output == nil {
		return ""
	}
	return c.words[in.figure.word]
}

// Why returns the reason for which a figure has no answer, and whether it has
// none.
func (c *Case) Why(in *In) (say.Text, bool) {
	if in.figure == nil {
		return "", in.otherwise != in.otherwise
	}
	return c.graph.none(c.frame, c.words, in.figure)
}

// Give sets a figure that the engine gives, in base units: one value, or all of
// a series.
func (c *Case) Give(out *Out, values ...float64) { copy(c.Room(out), values) }

// Room returns where the values of a figure go. They are nought before the run.
func (c *Case) Room(out *Out) []float64 {
	f := out.figure
	return c.frame[f.slot : f.slot+max(1, f.Type.Len)]
}

// None gives a figure no answer, for a reason.
func (c *Case) None(out *Out, reason say.Text) {
	room := c.Room(out)
	for i := range room {
		room[i] = math.NaN()
	}
	c.words[out.figure.word] = reason
}

// Say sets the words of a figure.
func (c *Case) Say(out *Out, words say.Text) { c.words[out.figure.word] = words }

// run works an engine out in a frame. The figures that it gives hold nought
// before, and no words.
func (m *maker) work(c *Case) {
	for _, f := range m.gives {
		clear(c.frame[f.slot : f.slot+max(1, f.Type.Len)])
		c.words[f.word] = ""
	}
	c.used = 0
	m.run(c)
}

// Scratch returns room for numbers, all nought, that is the engine's own for
// this run.
func (c *Case) Scratch(n int) []float64 {
	if c.used+n > len(c.scratch) {
		c.scratch = make([]float64, max(2*len(c.scratch), c.used+n))
		c.used = 0
	}
	room := c.scratch[c.used : c.used+n : c.used+n]
	c.used += n
	clear(room)
	return room
}
