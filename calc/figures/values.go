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
	words []say.Text // of engines' figures: what they say, or why they have no answer
	dirty []bool
	// How many are dirty, and the index below which none is.
	waiting, first int
	old            []float64 // of what is being worked out
}

func (g *Graph) newValues() *Values {
	v := &Values{graph: g, frame: g.program.NewLanes(1), words: make([]say.Text, g.words), dirty: make([]bool, len(g.figures))}
	for _, f := range g.figures {
		switch {
		case f.kind() != formulaNode || !f.given() || f.broken:
		case f.NoAnswer != "":
			v.frame[f.slot] = math.NaN()
		case f.Series != nil:
			copy(v.frame[f.slot:], f.Series)
		default:
			v.frame[f.slot] = f.Value.Value
		}
	}
	for _, f := range g.figures {
		if f.broken {
			continue
		}
		switch {
		case f.kind() == engineNode && f.made.Late, slices.ContainsFunc(f.needs, func(n int) bool { return v.dirty[n] }):
			v.wait(f)
		default:
			v.work(f)
		}
	}
	return v
}

// wait marks a figure as not worked out yet.
func (v *Values) wait(f *Figure) {
	if v.dirty[f.Index] {
		return
	}
	v.dirty[f.Index] = true
	if v.waiting == 0 || f.Index < v.first {
		v.first = f.Index
	}
	v.waiting++
}

// work works one figure out, or all that an engine gives.
func (v *Values) work(f *Figure) {
	switch f.kind() {
	case formulaNode:
		if f.from < f.to {
			v.graph.program.Run(v.frame, f.from, f.to)
		}
	case engineNode:
		f.made.work(&Case{graph: v.graph, frame: v.frame, words: v.words})
	case roundNode:
		t := f.again.batch
		if t.members[0] == f || v.waiting > 0 {
			t.all.work(v.graph.program, v.frame, 1, nil, &Case{})
		}
	}
}

// Clone returns a copy that can be changed.
func (v *Values) Clone() *Values {
	c := *v
	c.frame, c.dirty, c.words, c.old = slices.Clone(v.frame), slices.Clone(v.dirty), slices.Clone(v.words), nil
	return &c
}

// CopyFrom sets all values to those of another case of the same graph.
func (v *Values) CopyFrom(other *Values) {
	copy(v.frame, other.frame)
	copy(v.words, other.words)
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
		v.wait(v.graph.figures[n])
	}
}

// Run works out anew only the figures that depend on what was set, and those
// that depend on a figure that has come out otherwise. Engines that run late
// wait, with all that depends on them, until somebody asks.
func (v *Values) Run() {
	first := len(v.dirty)
	left := 0
	for i := v.first; v.waiting > left && i < len(v.dirty); i++ {
		if !v.dirty[i] {
			continue
		}
		f := v.graph.figures[i]
		if f.kind() == engineNode && f.made.Late || slices.ContainsFunc(f.needs, func(n int) bool { return v.dirty[n] }) {
			v.mark(f)
			first = min(first, i)
			left++
			continue
		}
		v.renew(f)
	}
	v.first = min(first, len(v.dirty))
}

// renew works a figure out again, and marks what depends on it if it came out
// otherwise.
func (v *Values) renew(f *Figure) {
	done := func(f *Figure) {
		if v.dirty[f.Index] {
			v.dirty[f.Index] = false
			v.waiting--
		}
	}
	given := []*Figure{f}
	switch f.kind() {
	case outputNode:
		done(f)
		return
	case engineNode:
		given = f.made.gives
	case roundNode:
		given = nil
		for _, m := range f.again.batch.members {
			if !slices.ContainsFunc(m.needs, func(n int) bool { return v.dirty[n] }) {
				given = append(given, m)
			}
		}
	}
	if f.kind() == formulaNode && f.from == f.to {
		done(f)
		v.mark(f) // another name for a slot that has changed
		return
	}
	v.old = v.old[:0]
	for _, g := range given {
		v.old = append(v.old, v.frame[g.slot:g.slot+max(1, g.Type.Len)]...)
	}
	var words []say.Text
	if f.kind() == engineNode {
		for _, g := range given {
			words = append(words, v.words[g.word])
		}
	}
	switch f.kind() {
	case roundNode:
		f.again.batch.all.work(v.graph.program, v.frame, 1, nil, &Case{})
		for _, g := range given {
			done(g)
		}
	default:
		v.work(f)
	}
	done(f)
	at := 0
	for i, g := range given {
		now := v.frame[g.slot : g.slot+max(1, g.Type.Len)]
		same := sameBits(now, v.old[at:at+len(now)]) && (words == nil || words[i] == v.words[g.word])
		at += len(now)
		if !same {
			done(g)
			v.mark(g)
		} else {
			done(g)
		}
	}
}

func sameBits(a, b []float64) bool {
	for i := range a {
		if math.Float64bits(a[i]) != math.Float64bits(b[i]) {
			return false
		}
	}
	return true
}

// Waits reports whether a figure has not been worked out, because nobody has
// asked for it yet.
func (v *Values) Waits(f *Figure) bool { return v.dirty[f.Index] }

// Ask works out figures that rest on engines which run late.
func (v *Values) Ask(figures ...*Figure) {
	needed := map[*Figure]bool{}
	var open []*Figure
	for _, f := range figures {
		if v.dirty[f.Index] && !needed[f] {
			needed[f] = true
			open = append(open, f)
		}
	}
	if len(open) == 0 {
		return
	}
	for len(open) > 0 {
		f := open[len(open)-1]
		open = open[:len(open)-1]
		for _, n := range f.needs {
			if u := v.graph.figures[n]; v.dirty[n] && !needed[u] {
				needed[u] = true
				open = append(open, u)
			}
		}
	}
	for _, f := range v.graph.figures {
		if needed[f] && v.dirty[f.Index] {
			v.renew(f)
		}
	}
}

// Of returns the value of a figure in base units; of a series, the one value
// that stands for all of it: see formula.Kind. A figure without an answer is NaN.
func (v *Values) Of(f *Figure) float64 {
	v.ask(f)
	if f.Type.Len == 0 {
		return v.frame[f.slot]
	}
	return v.Whole(f, 0, f.Type.Len)
}

// Whole returns the one value that stands for some months of a series, from one
// up to but not including another: a year of it, say.
func (v *Values) Whole(f *Figure, from, to int) float64 {
	v.ask(f)
	var weights []float64
	if f.weighted {
		weights = v.frame[f.weights+from : f.weights+to]
	}
	return f.Type.Kind.Whole(v.frame[f.slot+from:f.slot+to], weights)
}

// At returns one month of a series in base units, or the value of a figure that
// is not one.
func (v *Values) At(f *Figure, month int) float64 {
	v.ask(f)
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
	v.ask(f)
	return slices.Clone(v.frame[f.slot : f.slot+f.Type.Len])
}

// Holds reports whether a yes-or-no figure is yes.
func (v *Values) Holds(f *Figure) bool { return f.Type.Truth() && v.frame[f.slot] == 1 }

// Text returns the words that a figure says.
func (v *Values) Text(f *Figure) say.Text {
	v.ask(f)
	for f.quotes != nil {
		f = f.quotes
	}
	if f.output == nil {
		return f.Words
	}
	return v.words[f.word]
}

func (v *Values) ask(f *Figure) {
	if v.waiting > 0 && v.dirty[f.Index] {
		v.Ask(f)
	}
}

// None reports whether the figure has no answer, and the reason. A series has
// none as a whole if one of its months has none.
func (v *Values) None(f *Figure) (reason say.Text, none bool) {
	v.ask(f)
	return v.graph.none(v.frame, v.words, f)
}

// NoneAt reports whether one month of a series, or a figure that is not one, has
// no answer, and the reason: the one that its formula gives, or that of a figure
// which it depends on, or what can't be reckoned there.
func (v *Values) NoneAt(f *Figure, month int) (reason say.Text, none bool) {
	v.ask(f)
	if f.Type.Len == 0 {
		month = 0
	}
	return v.graph.noneAt(v.frame, v.words, f, f.slot+month)
}

func (g *Graph) none(frame []float64, words []say.Text, f *Figure) (reason say.Text, none bool) {
	slot, faulty := f.faulty(frame)
	if !faulty {
		return "", false
	}
	return g.noneAt(frame, words, f, slot)
}

func (g *Graph) noneAt(frame []float64, words []say.Text, f *Figure, slot int) (reason say.Text, none bool) {
	if finite(frame[slot]) {
		return "", false
	}
	for f != nil {
		if f.NoAnswer != "" {
			return f.NoAnswer, true
		}
		switch f.kind() {
		case outputNode:
			if words[f.word] != "" {
				return words[f.word], true
			}
			f, slot = faultyOf(f.rests, frame)
			continue
		case roundNode:
			// What is wrong in a round is wrong as the figure stands, more likely than not.
			of := append([]*Figure{f.again.want}, f.rests...)
			f, slot = faultyOf(of, frame)
			continue
		case engineNode:
			f, slot = faultyOf(f.rests, frame)
			continue
		}
		origin := g.program.Trace(frame, slot, f.from, f.to)
		switch {
		case origin.None && origin.Words != "":
			return origin.Words, true
		case origin.None && f.Engine:
			return say.Text(origin.Reason), true
		case origin.None:
			return say.Own(origin.Reason), true
		case origin.Fault != "":
			return g.fault(f, origin), true
		}
		// A figure's own slot comes back from an input or an overridden figure.
		slot = origin.Slot
		holder := slices.IndexFunc(f.needs, func(n int) bool { return g.figures[n].holds(slot) })
		if holder < 0 {
			break
		}
		f = g.figures[f.needs[holder]]
	}
	return "it can't be worked out", true
}

// faultyOf returns the first figure without an answer, and where it has none.
func faultyOf(figures []*Figure, frame []float64) (*Figure, int) {
	for _, f := range figures {
		if slot, faulty := f.faulty(frame); faulty {
			return f, slot
		}
	}
	return nil, 0
}

// fault says why a formula has no answer of its own; a divisor that is nought is
// named by the figure that makes it so.
func (g *Graph) fault(f *Figure, o formula.Origin) say.Text {
	if !o.Nought {
		return o.Fault
	}
	for _, n := range f.needs {
		if used := g.figures[n]; o.Zero >= 0 && used.holds(o.Zero) && used.Label != "" {
			return say.With("“%s” is nought, and it is divided by that", used.Label)
		}
	}
	var labels say.Text
	for _, name := range o.Divisor {
		used := g.byName[name.Full]
		switch {
		case used == nil || used.Label == "":
		case labels == "":
			labels = say.With("“%s”", used.Label)
		default:
			labels = say.With("%s, “%s”", labels, used.Label)
		}
	}
	if labels == "" {
		return o.Fault
	}
	return say.With("what it is divided by comes to nought: %s", labels)
}

func (f *Figure) holds(slot int) bool { return slot >= f.slot && slot < f.slot+max(1, f.Type.Len) }

// faulty returns the first slot of the figure that is not a finite number.
func (f *Figure) faulty(frame []float64) (slot int, found bool) {
	for m := range max(1, f.Type.Len) {
		if !finite(frame[f.slot+m]) {
			return f.slot + m, true
		}
	}
	return 0, false
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// Warnings says which formulas have no answer without saying none, and which
// functions were given what nothing is published for. What waits for an engine
// that nobody has asked is not looked at.
func (v *Values) Warnings() source.Errors {
	var all source.Errors
	for _, f := range v.graph.figures {
		if f.broken || f.given() || f.kind() != formulaNode || v.Waits(f) {
			continue
		}
		if warning := v.warning(f); warning != nil {
			all = append(all, warning)
		}
		for _, doubt := range v.graph.program.Doubts(v.frame, f.from, f.to) {
			all = append(all, source.Warningf(doubt.At, "%s: %s", f.Name, doubt.Words))
		}
	}
	return all
}

// warning is of the first month that has no answer by the figure's own formula.
func (v *Values) warning(f *Figure) *source.Error {
	for m := range max(1, f.Type.Len) {
		if finite(v.frame[f.slot+m]) {
			continue
		}
		origin := v.graph.program.Trace(v.frame, f.slot+m, f.from, f.to)
		if origin.Fault == "" {
			continue
		}
		err := source.Warningf(origin.At, "%s has no answer: %s", f.Name, v.graph.fault(f, origin))
		if origin.Nought && !f.Engine {
			err.With("if that can happen, say what it means: if(... > ..., ..., none(\"the reason\"))")
		}
		return err
	}
	return nil
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
