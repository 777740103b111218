package figures

import (
	"math"
	"slices"
	"strconv"

	"rickyard/calc/formula"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// Values are the values of all figures in one case: the farm's own, or one
// with some inputs set otherwise. One goroutine at a time may use them.
type Values struct {
	graph *Graph
	frame []float64
	dirty []bool
	// How many are dirty, and the index below which none is.
	waiting, first int
}

func (g *Graph) newValues() *Values {
	v := &Values{graph: g, frame: g.program.NewFrame(), dirty: make([]bool, len(g.figures))}
	for _, f := range g.figures {
		switch {
		case !f.given():
		case f.NoAnswer != "":
			v.frame[f.slot] = math.NaN()
		case f.Series != nil:
			copy(v.frame[f.slot:], f.Series)
		default:
			v.frame[f.slot] = f.Value.Value
		}
	}
	g.program.Run(v.frame, 0, g.program.Len())
	return v
}

// Clone returns a copy that can be changed.
func (v *Values) Clone() *Values {
	c := *v
	c.frame, c.dirty = slices.Clone(v.frame), slices.Clone(v.dirty)
	return &c
}

// CopyFrom sets all values to those of another case of the same graph.
func (v *Values) CopyFrom(other *Values) {
	copy(v.frame, other.frame)
	copy(v.dirty, other.dirty)
	v.waiting, v.first = other.waiting, other.first
}

// Set overrides a figure with a value in base units, every month of it if it
// is a series, and marks what depends on it. A worked figure may be overridden
// too, until its own inputs change. Run then works out what is marked.
func (v *Values) Set(f *Figure, value float64) {
	for m := range max(1, f.Type.Len) {
		v.frame[f.slot+m] = value
	}
	v.mark(f)
}

// SetMonths overrides a series with one value a month, in base units.
func (v *Values) SetMonths(f *Figure, values []float64) {
	copy(v.frame[f.slot:f.slot+f.Type.Len], values)
	v.mark(f)
}

func (v *Values) mark(f *Figure) {
	for _, n := range f.users {
		if v.dirty[n] {
			continue
		}
		v.dirty[n] = true
		if v.waiting == 0 || n < v.first {
			v.first = n
		}
		v.waiting++
	}
}

// Run works out anew only the figures that depend on what was set.
func (v *Values) Run() {
	for i := v.first; v.waiting > 0; i++ {
		if !v.dirty[i] {
			continue
		}
		v.dirty[i] = false
		v.waiting--
		f := v.graph.figures[i]
		v.graph.program.Run(v.frame, f.from, f.to)
		v.mark(f)
	}
}

// Of returns the value of a figure in base units; of a series, its sum. A
// figure without an answer is NaN.
func (v *Values) Of(f *Figure) float64 {
	if f.Type.Len == 0 {
		return v.frame[f.slot]
	}
	sum := 0.0
	for _, x := range v.frame[f.slot : f.slot+f.Type.Len] {
		sum += x
	}
	return sum
}

// At returns one month of a series in base units, or the value of a figure that
// is not one.
func (v *Values) At(f *Figure, month int) float64 {
	if f.Type.Len == 0 {
		month = 0
	}
	return v.frame[f.slot+month]
}

// Months returns a copy of a series' values in base units, or nil if the
// figure is not a series.
func (v *Values) Months(f *Figure) []float64 {
	if f.Type.Len == 0 {
		return nil
	}
	return slices.Clone(v.frame[f.slot : f.slot+f.Type.Len])
}

// Holds reports whether a yes-or-no figure is yes.
func (v *Values) Holds(f *Figure) bool { return f.Type.Truth && v.frame[f.slot] == 1 }

// None reports whether the figure has no answer, and the reason that its
// formula, or that of a figure it depends on, gives.
func (v *Values) None(f *Figure) (reason say.Text, none bool) {
	slot, faulty := v.faulty(f)
	for faulty {
		if f.NoAnswer != "" {
			return f.NoAnswer, true
		}
		origin := v.graph.program.Trace(v.frame, slot, f.from, f.to)
		if origin.None || origin.Fault != "" {
			if f.Engine {
				return say.Text(origin.Reason), origin.None
			}
			return say.Own(origin.Reason), origin.None
		}
		// A figure's own slot comes back from an input or an overridden figure.
		slot = origin.Slot
		holder := slices.IndexFunc(f.needs, func(n int) bool { return v.graph.figures[n].holds(slot) })
		if holder < 0 {
			return "", false
		}
		f = v.graph.figures[f.needs[holder]]
	}
	return "", false
}

func (f *Figure) holds(slot int) bool { return slot >= f.slot && slot < f.slot+max(1, f.Type.Len) }

// faulty returns the first slot of the figure that is not a finite number.
func (v *Values) faulty(f *Figure) (slot int, found bool) {
	for m := range max(1, f.Type.Len) {
		if x := v.frame[f.slot+m]; math.IsNaN(x) || math.IsInf(x, 0) {
			return f.slot + m, true
		}
	}
	return 0, false
}

// Fault returns an error if the figure's value is neither a number nor none:
// the place of the division by zero or the overflow in its formula. A figure
// that only inherits the fault of another gives no error.
func (v *Values) Fault(f *Figure) *source.Error {
	slot, faulty := v.faulty(f)
	if !faulty {
		return nil
	}
	if f.given() {
		if f.NoAnswer != "" {
			return nil
		}
		return source.Errorf(source.NotFinite, f.Place, "%s is not a number", f.Name)
	}
	origin := v.graph.program.Trace(v.frame, slot, f.from, f.to)
	if origin.Fault == "" {
		return nil
	}
	err := source.Errorf(source.NotFinite, origin.At, "%s can't be worked out: %s", f.Name, origin.Fault)
	if origin.Fault == formula.DivisionByZero {
		err.With("if that can happen, write if(... > ..., ..., none(\"the reason\"))")
	}
	return err
}

// Lanes are the values of many cases side by side, for searches and
// simulations.
type Lanes struct {
	graph *Graph
	n     int
	frame []float64
}

// NewLanes returns n cases, each with the values of the farm's own.
func (g *Graph) NewLanes(n int) *Lanes {
	l := &Lanes{graph: g, n: n, frame: g.program.NewLanes(n)}
	for slot, x := range g.base.frame {
		lane := l.frame[slot*n : (slot+1)*n]
		for i := range lane {
			lane[i] = x
		}
	}
	return l
}

// Lane returns the values of a single-valued figure, or of one month of a
// series, in all cases; they may be set.
func (l *Lanes) Lane(f *Figure, month int) []float64 {
	at := f.slot + month
	return l.frame[at*l.n : (at+1)*l.n]
}

// A Route is the instructions that work out some figures, and no others.
type Route struct {
	program *formula.Program
	ranges  [][2]int
}

// RouteTo returns the instructions that are needed to bring the wanted
// figures up to date when any of the changed ones is set.
func (g *Graph) RouteTo(changed, wanted []*Figure) *Route {
	needed := make([]bool, len(g.figures))
	for _, f := range wanted {
		needed[f.Index] = true
	}
	for i := len(g.figures) - 1; i >= 0; i-- {
		if needed[i] {
			for _, n := range g.figures[i].needs {
				needed[n] = true
			}
		}
	}
	r := &Route{program: g.program}
	for _, f := range g.Dependents(changed...) {
		if !needed[f.Index] || f.from == f.to {
			continue
		}
		if n := len(r.ranges); n > 0 && r.ranges[n-1][1] == f.from {
			r.ranges[n-1][1] = f.to
		} else {
			r.ranges = append(r.ranges, [2]int{f.from, f.to})
		}
	}
	return r
}

// RunLanes carries the route out on all cases.
func (r *Route) RunLanes(l *Lanes) {
	for _, span := range r.ranges {
		r.program.RunLanes(l.frame, l.n, span[0], span[1])
	}
}

// Run carries the route out on one case.
func (r *Route) Run(v *Values) {
	for _, span := range r.ranges {
		r.program.Run(v.frame, span[0], span[1])
	}
}

// Clean rounds x to 15 significant digits, all that float64 holds of a decimal
// number, so that 0.1 + 0.2 is written 0.3.
func Clean(x float64) float64 {
	clean, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 15, 64), 64)
	if err != nil {
		return x
	}
	return clean
}
