package templates

import (
	"strings"

	"rickyard/calc/farm"
	"rickyard/calc/figures"
	"rickyard/calc/formula"
)

// A spoken is a formula in words: pieces of text, and the figures that it names
// in between.
type spoken []spokenPiece

// A spokenPiece is a text, or a figure that the formula names.
type spokenPiece struct {
	text string
	of   *figures.Figure
}

// join puts texts and what is spoken together.
func join(parts ...any) spoken {
	var s spoken
	add := func(p spokenPiece) {
		if n := len(s); p.of == nil && n > 0 && s[n-1].of == nil {
			s[n-1].text += p.text
			return
		}
		s = append(s, p)
	}
	for _, part := range parts {
		switch part := part.(type) {
		case string:
			add(spokenPiece{text: part})
		case spoken:
			for _, p := range part {
				add(p)
			}
		}
	}
	return s
}

// A reader says the formula of a figure in words.
type reader struct {
	*maker
	of    *figures.Figure
	depth int // of steps whose formula stands in their place
}

// deepestStep bounds how many steps without a name are put into one formula.
const deepestStep = 8

// speak says how a figure is worked, nothing for one without a formula.
func (m *maker) speak(f *figures.Figure) spoken {
	if f.Formula == nil {
		return nil
	}
	r := reader{maker: m, of: f}
	return r.say(f.Formula.Read(), bindNone)
}

// How strongly the parts of a formula hold together, weakest first. What is a
// phrase of words takes brackets inside any other.
const (
	bindNone = iota // nothing around it
	bindList        // an item of a list, or of a comparison
	bindSum
	bindProduct
	bindSign
	bindPower
)

var operators = map[string]struct {
	sign string
	bind int
}{"+": {" + ", bindSum}, "-": {" − ", bindSum}, "*": {" × ", bindProduct}, "/": {" ÷ ", bindProduct}}

var comparisons = map[string]string{"<": "formula_less", ">": "formula_more", "<=": "formula_most", ">=": "formula_least", "is": "formula_is", "is not": "formula_is_not"}

// say says a part of a formula within another that binds as strongly as around.
func (r reader) say(part formula.Reading, around int) spoken {
	bracket := func(s spoken, bind int) spoken {
		if around > bind {
			return join("(", s, ")")
		}
		return s
	}
	switch part.Op {
	case "name":
		return r.name(part.Name, around)
	case "number":
		return join(r.Style.Text(part.Quantity.Value, part.Quantity.Unit, part.Quantity.Step))
	case "text":
		return join(part.Text)
	case "months":
		if part.First == part.Last {
			return join(r.month(part.First))
		}
		return join(r.words.Say("formula_months", r.month(part.First), r.month(part.Last)))
	case "none":
		return bracket(join(r.words.Say("formula_none", r.reason(part.Text))), bindNone)
	case "neg":
		return bracket(join("−", r.say(part.Args[0], bindSign)), bindSign)
	case "not":
		return bracket(r.phrase("formula_not", r.say(part.Args[0], bindList)), bindNone)
	case "and", "or":
		return bracket(r.phrase("formula_"+part.Op, r.say(part.Args[0], bindNone), r.say(part.Args[1], bindNone)), bindNone)
	case "^":
		return bracket(r.power(part), bindPower)
	}
	if part.Op == "/" && one(part.Args[1]) { // it only takes the unit off
		return r.say(part.Args[0], around)
	}
	if op, ok := operators[part.Op]; ok {
		right := op.bind
		if part.Op == "-" || part.Op == "/" {
			right++
		}
		return bracket(join(r.say(part.Args[0], op.bind), op.sign, r.say(part.Args[1], right)), op.bind)
	}
	if word, ok := comparisons[part.Op]; ok {
		return bracket(r.phrase(word, r.say(part.Args[0], bindList), r.say(part.Args[1], bindList)), bindNone)
	}
	return bracket(r.called(part, around), bindNone)
}

// one reports whether a part is 1 of some unit.
func one(part formula.Reading) bool {
	q := part.Quantity
	return part.Op == "number" && len(q.Unit.Parts) == 1 && q.Unit.FromBase(q.Value) == 1
}

// phrase puts what is spoken into the program's words.
func (r reader) phrase(word string, args ...any) spoken {
	text := r.words.Say(word)
	var s spoken
	for i := 0; ; i++ {
		before, after, found := strings.Cut(text, "%s")
		s = join(s, before)
		if !found || i >= len(args) {
			return s
		}
		s = join(s, args[i])
		text = after
	}
}

// name is a mention of a figure. A step without a name has its formula in its
// place.
func (r reader) name(name *formula.Name, around int) spoken {
	used := r.Graph.Lookup(name.Full)
	if used == nil {
		return join(name.Text)
	}
	used = r.behind(used)
	if used.Hidden && used.Formula != nil && r.depth < deepestStep {
		r.depth++
		return r.say(used.Formula.Read(), around)
	}
	return spoken{{of: used}}
}

// behind is the figure that another only repeats, or itself.
func (m *maker) behind(f *figures.Figure) *figures.Figure {
	for range 9 {
		if f.Formula == nil || f.Formula.Bare() == nil {
			break
		}
		of := m.Graph.Lookup(f.Formula.Bare().Full)
		if of == nil {
			break
		}
		f = of
	}
	return f
}

func (r reader) reason(text string) string {
	if r.of.Engine {
		return r.engineSays(text)
	}
	return text
}

func (r reader) power(part formula.Reading) spoken {
	base, to := r.say(part.Args[0], bindPower+1), part.Args[1]
	if to.Op == "number" {
		switch to.Quantity.Value {
		case 2:
			return join(base, "²")
		case 3:
			return join(base, "³")
		}
	}
	return r.phrase("formula_power", base, r.say(to, bindPower))
}

// list says several parts as in a sentence.
func (r reader) list(parts []formula.Reading) spoken {
	var s spoken
	for i, part := range parts {
		switch {
		case i > 0 && i == len(parts)-1:
			s = join(s, " "+r.words.Say("and")+" ")
		case i > 0:
			s = join(s, ", ")
		}
		s = join(s, r.say(part, bindList))
	}
	return s
}

// called says what a function gives of its arguments.
func (r reader) called(part formula.Reading, around int) spoken {
	arg := func(i int) spoken { return r.say(part.Args[i], bindList) }
	n := len(part.Args)
	if n > 0 && part.Args[0].Op == "in_year" && (part.Op == "sum" || part.Op == "at") {
		of := part.Args[0].Args
		return r.phrase(map[string]string{"sum": "formula_year_sum", "at": "formula_year_end"}[part.Op], r.say(of[0], bindList), r.say(of[1], bindList))
	}
	switch part.Op {
	case "if":
		return r.phrase("formula_if", r.say(part.Args[0], bindNone), r.say(part.Args[1], bindNone), r.say(part.Args[2], bindNone))
	case "min", "max", "sum":
		switch {
		case n == 1:
			return r.phrase("formula_"+part.Op+"_months", arg(0))
		case n == 2 && part.Op != "sum":
			return r.phrase("formula_"+part.Op+"_two", arg(0), arg(1))
		}
		return r.phrase("formula_"+part.Op, r.list(part.Args))
	case "ceil", "floor":
		if unit := r.wholeOf(); around == bindNone && unit != "" {
			return r.phrase("formula_"+part.Op+"_whole", r.say(part.Args[0], bindSum), unit)
		}
		return r.phrase("formula_"+part.Op, r.say(part.Args[0], bindSum))
	case "round":
		if n == 2 {
			return r.phrase("formula_round_to", r.say(part.Args[0], bindSum), arg(1))
		}
		return r.phrase("formula_round", r.say(part.Args[0], bindSum))
	case "average", "abs", "sqrt", "exp", "ln", "running", "each_year":
		return r.phrase("formula_"+part.Op, arg(0))
	case "at", "shift", "in_year":
		return r.phrase("formula_"+part.Op, arg(0), arg(1))
	case "spread":
		if part.Args[0].Op == "number" && part.Args[0].Quantity.Value == 1 {
			if part.Args[1].Op == "month_days" {
				return join(r.words.Say("formula_share_days"))
			}
			return r.phrase("formula_share", r.weights(part.Args[1]))
		}
		if part.Args[1].Op == "month_days" {
			return r.phrase("formula_spread_days", arg(0))
		}
		return r.phrase("formula_spread", arg(0), arg(1))
	case "month_days":
		return join(r.words.Say("formula_month_days"))
	case "monthly", "by_year":
		return r.phrase("formula_"+part.Op, r.list(part.Args))
	}
	if n >= 4 && (part.Op == "cycle_day" || part.Op == "cycle_span") {
		first, every, count := arg(0), arg(1), arg(2)
		if part.Op == "cycle_day" {
			return r.phrase("formula_cycle_day", arg(3), count, every, first)
		}
		return r.phrase("formula_cycle_span", arg(3), arg(4), count, every, first)
	}
	return r.byTrade(part)
}

// weights are those of the months, plainly in a row if they are written so.
func (r reader) weights(part formula.Reading) spoken {
	if part.Op != "monthly" {
		return r.say(part, bindNone)
	}
	var s spoken
	for i, a := range part.Args {
		if i > 0 {
			s = join(s, ", ")
		}
		s = join(s, r.say(a, bindList))
	}
	return s
}

// wholeOf is what whole numbers of a figure count, "" for a plain number.
func (r reader) wholeOf() string {
	if len(r.of.Unit.Parts) != 1 {
		return ""
	}
	return strings.TrimSpace(r.Style.Unit(r.of.Unit, true))
}

// byTrade says what a formula of a trade gives, and what of.
func (r reader) byTrade(part formula.Reading) spoken {
	about := strings.ReplaceAll(part.Op, "_", " ")
	var params []formula.Param
	if fn := tradeFunctions[part.Op]; fn != nil {
		about, params = r.maker.say(fn.About), fn.Params
	}
	s := join(about)
	for i, a := range part.Args {
		s = join(s, map[bool]string{true: " (", false: "; "}[i == 0])
		if i < len(params) && params[i].About != "" && params[i].About != params[max(0, i-1)].About || i == 0 && len(params) > 0 {
			s = join(s, r.maker.say(params[i].About)+": ")
		}
		s = join(s, r.say(a, bindNone))
	}
	if len(part.Args) > 0 {
		s = join(s, ")")
	}
	return s
}

var tradeFunctions = func() map[string]*formula.Function {
	byName := map[string]*formula.Function{}
	for _, f := range farm.Functions {
		byName[f.Name] = f
	}
	return byName
}()

// valueIn is the value of a figure in a formula: of one with a value for each
// month its name.
func (m *maker) valueIn(used *figures.Figure, called func(*figures.Figure) string) string {
	if used.Type.Len > 0 {
		return called(used)
	}
	return m.shown(used)
}

// putIn says a formula with the values of its figures in place of their names,
// nothing where that would say no more. A negative one after an operator stands
// in brackets.
func (m *maker) putIn(s spoken, called func(*figures.Figure) string) string {
	var b strings.Builder
	valued := false
	for _, p := range s {
		if p.of == nil {
			b.WriteString(p.text)
			continue
		}
		valued = valued || p.of.Type.Len == 0
		value := m.valueIn(p.of, called)
		if strings.HasPrefix(value, "−") && strings.HasSuffix(b.String(), " ") {
			value = "(" + value + ")"
		}
		b.WriteString(value)
	}
	if !valued || len(s) == 1 {
		return ""
	}
	return b.String()
}

// inWords is a formula with its figures' names.
func inWords(s spoken, called func(*figures.Figure) string) string {
	var b strings.Builder
	for _, p := range s {
		if p.of != nil {
			b.WriteString(called(p.of))
		} else {
			b.WriteString(p.text)
		}
	}
	return b.String()
}
