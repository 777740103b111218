package formula

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// A Function is one of the trade's own formulas, offered to formulas by name.
// All that a reader is told of it comes from here: the manual's list, the page
// of functions, the reason where it has no answer.
type Function struct {
	Name   string
	About  say.Text // what it gives, in one phrase without a full stop
	Source string   // where the formula is published, or "common practice, no source"
	Params []Param
	Result Param
	Rules  []Rule // what must hold between arguments

	// Eval works the result out of the arguments laid end to end, in base
	// units (a series takes 12 places). It is only called with finite arguments
	// that the parameters' Sense and the Rules allow. A result that is not a
	// number means that there is none. It must not keep or change args.
	Eval func(args, out []float64)
}

// A Param is an argument or the result of a function. What can be called
// depends on no number: units are checked when a formula is compiled.
type Param struct {
	Name      string
	About     say.Text // what it is, in a few words: "the live weight at the start"
	Dimension quantity.Dimension
	Any       bool   // an argument of any dimension
	Like      int    // of the same dimension as this parameter, from 1
	Over      int    // of a result: divided by the dimension of this parameter, from 1
	Months    bool   // a series of 12 months
	Kind      Kind   // of a result: what it is as a series, where its unit does not say
	Many      bool   // the last argument: one value or more, or a series of any length
	Unit      string // of the units that every farm knows: of Sense and Published, and to show a result in

	// Sense is what the value can be at all: outside it the function has no
	// answer. Published is where the source vouches for the formula: outside it
	// there is an answer, with a warning. Both are in Unit.
	Sense, Published Range
}

// A Rule is what must hold between the arguments of a function.
type Rule struct {
	Words say.Text // what is wrong where it doesn't hold: "the heavier weight is below the lighter one"
	Holds func(args []float64) bool
}

// A Range bounds a number on neither, one or both sides; a bound belongs to it
// unless it is open. The zero Range is all numbers.
type Range struct{ low, high bound }

type bound struct {
	at   float64
	is   bool
	open bool
}

// AtLeast is the range of x and all that is more.
func AtLeast(x float64) Range { return Range{low: bound{at: x, is: true}} }

// Above is the range of all that is more than x.
func Above(x float64) Range { return Range{low: bound{at: x, is: true, open: true}} }

// Between is the range from one number to another, both in it.
func Between(least, most float64) Range { return AtLeast(least).AtMost(most) }

// AtMost ends the range at x.
func (r Range) AtMost(x float64) Range {
	r.high = bound{at: x, is: true}
	return r
}

// Below ends the range before x.
func (r Range) Below(x float64) Range {
	r.high = bound{at: x, is: true, open: true}
	return r
}

// bounded reports whether the range leaves any number out.
func (r Range) bounded() bool { return r.low.is || r.high.is }

// holds reports whether x, and no other than a number, lies in the range.
func (r Range) holds(x float64) bool {
	low := !r.low.is || x > r.low.at || !r.low.open && x == r.low.at
	high := !r.high.is || x < r.high.at || !r.high.open && x == r.high.at
	return low && high
}

// in converts a range from a unit to base units.
func (r Range) in(u quantity.Unit) Range {
	r.low.at, r.high.at = u.ToBase(r.low.at), u.ToBase(r.high.at)
	return r
}

// settled returns x, or the bound that x misses by no more than the noise of a
// few operations on float64: 1 - 0.3 - 0.7 is a share of nothing, not below it.
func (r Range) settled(x, unit float64) float64 {
	for _, b := range []bound{r.low, r.high} {
		if b.is && !b.open && math.Abs(x-b.at) < closeness*max(math.Abs(b.at), math.Abs(unit)) {
			return b.at
		}
	}
	return x
}

// Words says what the range holds, in a unit: "0% or more", "above 0 kg and at
// most 5 kg", "from 25 to 135 kg"; nothing for all numbers.
func (r Range) Words(unit string) say.Text {
	low, high := amount(r.low.at, unit), amount(r.high.at, unit)
	switch {
	case r.low.is && r.high.is && !r.low.open && !r.high.open:
		return say.With("from %s to %s|limits", say.Number(r.low.at, decimals(r.low.at)), high)
	case r.low.is && r.high.is:
		return say.With("%s and %s|limits", lowWords(r.low, low), highWords(r.high, high))
	case r.low.is:
		return lowWords(r.low, low)
	case r.high.is:
		return highWords(r.high, high)
	}
	return ""
}

func lowWords(b bound, amount say.Text) say.Text {
	if b.open {
		return say.With("above %s", amount)
	}
	return say.With("at least %s", amount)
}

func highWords(b bound, amount say.Text) say.Text {
	if b.open {
		return say.With("below %s", amount)
	}
	return say.With("at most %s", amount)
}

// amount writes a bound with its unit.
func amount(x float64, unit string) say.Text {
	n := say.Number(x, decimals(x))
	switch unit {
	case "":
		return n
	case "%":
		return say.With("%s %%", n)
	}
	return say.With("%s %s|amount", n, say.Text(standard().Must(unit).String()+"|unit"))
}

// decimals is how many decimals a bound was written with.
func decimals(x float64) int {
	_, after, _ := strings.Cut(strconv.FormatFloat(x, 'f', -1, 64), ".")
	return len(after)
}

// standard are the units that every farm knows, in which limits are given.
var standard = sync.OnceValue(func() *quantity.System {
	s, err := quantity.NewSystem("GBP", nil)
	if err != nil {
		panic(err)
	}
	return s
})

// Usage writes how the function is called.
func (f *Function) Usage() string {
	names := make([]string, len(f.Params))
	for i, p := range f.Params {
		names[i] = p.Name
		if p.Many {
			names[i] += ", ..."
		}
	}
	return f.Name + "(" + strings.Join(names, ", ") + ")"
}

func (f *Function) resultSlots() int { return f.Result.slots() }

func (p Param) slots() int {
	if p.Months {
		return 12
	}
	return 1
}

// unit is that in which the parameter's limits are given.
func (p Param) unit() quantity.Unit { return standard().Must(p.Unit) }

// A limited function is one with its limits in base units.
type limited struct {
	*Function
	sense, published []Range
	units            []float64
}

func limitsOf(f *Function) *limited {
	l := &limited{Function: f}
	for _, p := range f.Params {
		u := p.unit()
		l.sense = append(l.sense, p.Sense.in(u))
		l.published = append(l.published, p.Published.in(u))
		l.units = append(l.units, u.Factor)
	}
	return l
}

// Work works the function out of its arguments laid end to end, in base units:
// NaN throughout if one of them isn't finite, or outside what makes sense.
func (f *Function) Work(args, out []float64) { limitsOf(f).work(slices.Clone(args), out) }

// work works the function out. An argument that misses a bound by the noise of
// float64 is moved to it; moved says whether one was.
func (l *limited) work(args, out []float64) (moved bool) {
	at := 0
	for i := range l.Params {
		for end := l.end(i, at, len(args)); at < end; at++ {
			if finite(args[at]) && l.sense[i].holds(args[at]) {
				continue
			}
			args[at] = l.sense[i].settled(args[at], l.units[i])
			if !finite(args[at]) || !l.sense[i].holds(args[at]) {
				none(out)
				return moved
			}
			moved = true
		}
	}
	if l.broken(args) != "" {
		none(out)
		return moved
	}
	l.Eval(args, out)
	return moved
}

// none fills a result that has no answer.
func none(out []float64) {
	for i := range out {
		out[i] = math.NaN()
	}
}

// end is where the values of a parameter end that begin at one place.
func (l *limited) end(param, at, all int) int {
	if l.Params[param].Many {
		return all
	}
	return at + l.Params[param].slots()
}

// each visits the arguments one by one with the parameter that each is of,
// until visit says no.
func (l *limited) each(args []float64, visit func(param, at int) bool) {
	at := 0
	for i := range l.Params {
		for end := l.end(i, at, len(args)); at < end; at++ {
			if !visit(i, at) {
				return
			}
		}
	}
}

// broken returns the words of the first rule that does not hold, or "".
func (l *limited) broken(args []float64) say.Text {
	for _, rule := range l.Rules {
		if !rule.Holds(args) {
			return rule.Words
		}
	}
	return ""
}

// why says why the function has no answer for finite arguments.
func (l *limited) why(args []float64) say.Text {
	var why say.Text
	l.each(args, func(param, at int) bool {
		if !l.sense[param].holds(args[at]) {
			p := l.Params[param]
			why = say.With("%s must be %s", p.About, p.Sense.Words(p.Unit))
		}
		return why == ""
	})
	if why == "" {
		why = l.broken(args)
	}
	if why == "" {
		why = say.With("%s has no answer for these numbers", l.About)
	}
	return why
}

// doubts says which arguments lie outside what the function's source covers.
func (l *limited) doubts(args []float64) []say.Text {
	var all []say.Text
	l.each(args, func(param, at int) bool {
		r, p := l.published[param], l.Params[param]
		if !r.holds(r.settled(args[at], l.units[param])) {
			if doubt := say.With("%s lies outside what is published for it, %s (%s)", p.About, p.Published.Words(p.Unit), say.Own(l.Source)); len(all) == 0 || all[len(all)-1] != doubt {
				all = append(all, doubt)
			}
		}
		return true
	})
	return all
}

// A Doubt is an argument outside what its function's source covers.
type Doubt struct {
	Words say.Text
	At    source.Span
}

// Doubts lists the arguments in a range of instructions that has been run which
// lie outside what is published for their function, each once.
func (p *Program) Doubts(frame []float64, from, to int) []Doubt {
	var all []Doubt
	for i := from; i < to; i++ {
		in := &p.code[i]
		if in.op != opCall || !finite(frame[in.dst]) {
			continue
		}
		for _, words := range p.calls[in.b].doubts(frame[in.a : in.a+in.c]) {
			if d := (Doubt{words, p.spans[i]}); !slices.Contains(all, d) {
				all = append(all, d)
			}
		}
	}
	return all
}
