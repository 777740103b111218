package formula

import (
	"maps"
	"slices"
	"strings"

	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

// A Function is one of the trade's own formulas, offered to formulas by name.
// Its parameters and result have fixed dimensions, in base units.
type Function struct {
	Name   string
	About  string // what it gives, in one sentence
	Source string // where the formula is published
	Params []Param
	Result Param
	// Eval works the result out of the arguments laid end to end (a series
	// takes 12 places). A result that is not a number means that there is
	// none. It must not keep or change args.
	Eval func(args, out []float64)
}

// A Param is an argument or a result of a function.
type Param struct {
	Name      string
	Dimension quantity.Dimension
	Any       bool   // of any dimension
	Like      int    // a result of the same dimension as this parameter, from 1
	Months    bool   // a series of 12 months
	Unit      string // of a result, to show it in
}

// Usage writes how the function is called, with the unit kind of each part.
func (f *Function) Usage() string {
	names := make([]string, len(f.Params))
	for i, p := range f.Params {
		names[i] = p.Name
	}
	return f.Name + "(" + strings.Join(names, ", ") + ")"
}

func (f *Function) resultSlots() int {
	if f.Result.Months {
		return 12
	}
	return 1
}

type builtin struct {
	usage string
	least int
	most  int // -1: any number
	about string
	emit  func(c *Compiler, n *callNode, args []Operand) Operand
}

const anyNumber = -1

var builtins map[string]builtin

func init() {
	builtins = map[string]builtin{
		"if":      {"if(condition, a, b)", 3, 3, "a where the condition holds, else b", (*Compiler).choose},
		"min":     {"min(a, b, ...) or min(series)", 1, anyNumber, "the least", fold(opMin)},
		"max":     {"max(a, b, ...) or max(series)", 1, anyNumber, "the greatest", fold(opMax)},
		"sum":     {"sum(series) or sum(a, b, ...)", 1, anyNumber, "all added up", fold(opAdd)},
		"average": {"average(series)", 1, 1, "the mean of the months", (*Compiler).average},
		"abs":     {"abs(a)", 1, 1, "without its sign", same(opAbs)},
		"ceil":    {"ceil(a)", 1, 1, "rounded up to a whole number of the unit that it is shown in", rounding(opCeil)},
		"floor":   {"floor(a)", 1, 1, "rounded down to a whole number of the unit that it is shown in", rounding(opFloor)},
		"round":   {"round(a) or round(a, step)", 1, 2, "rounded to the nearest step, halves away from zero", rounding(opRound)},
		"sqrt":    {"sqrt(a)", 1, 1, "the square root", (*Compiler).root},
		"exp":     {"exp(a)", 1, 1, "e to the power of a", plain(opExp)},
		"ln":      {"ln(a)", 1, 1, "the natural logarithm", plain(opLog)},
		"at":      {"at(series, month)", 2, 2, "the value in one month, as at(rain, Apr)", (*Compiler).atMonth},
		"spread":  {"spread(amount, weights)", 2, 2, "the amount over the months by their weights", (*Compiler).spread},
		"running": {"running(series)", 1, 1, "each month with all before it", (*Compiler).running},
		"shift":   {"shift(series, months)", 2, 2, "moved later by whole months, round the year", (*Compiler).shift},
		"monthly": {"monthly(jan, feb, ... dec)", 12, 12, "a series of twelve values", (*Compiler).monthly},
		"month_days": {"month_days()", 0, 0, "the days of each month", func(c *Compiler, n *callNode, _ []Operand) Operand {
			x := Operand{Slot: c.reserve(12), Type: Type{Dimension: quantity.Time, Len: 12}, Unit: quantity.Days}
			for m, days := range quantity.MonthDays {
				c.emit(opCopy, x.Slot+m, c.constant(quantity.Days.ToBase(float64(days))), 0, 0, n.span)
			}
			return x
		}},
		"each_year": {"each_year(series)", 1, 1, "twelve months repeated over the plan's years", (*Compiler).eachYear},
		"by_year":   {"by_year(first, second, ...)", 1, anyNumber, "a series over the plan's years, one value a year; the last one holds on", (*Compiler).byYear},
	}
}

// FunctionNames lists the functions of the language and those given to the
// compiler, sorted.
func (c *Compiler) FunctionNames() []string {
	return slices.Sorted(func(yield func(string) bool) {
		for name := range maps.Keys(builtins) {
			if !yield(name) {
				return
			}
		}
		for name := range maps.Keys(c.functions) {
			if !yield(name) {
				return
			}
		}
	})
}

func (c *Compiler) call(n *callNode) Operand {
	b, ok := builtins[n.name]
	fn := c.functions[n.name]
	if !ok && fn == nil {
		err := c.fail(source.UnknownRef, n.span, "there is no function %s", n.name)
		if near := source.Nearest(n.name, c.FunctionNames()); near != "" {
			err.With("did you mean %s?", near)
		}
		return Operand{}
	}
	args := make([]Operand, len(n.args))
	for i, a := range n.args {
		args[i] = c.node(a)
	}
	if len(c.errs) > 0 {
		return Operand{}
	}
	if fn != nil && !ok {
		return c.callFunction(fn, n, args)
	}
	if len(args) < b.least || b.most != anyNumber && len(args) > b.most {
		c.fail(source.Syntax, n.where(), "%s has %d values here; expected %s", n.name, len(args), b.usage)
		return Operand{}
	}
	for i, a := range args {
		if n.name == "if" && i == 0 {
			continue
		}
		if n.name == "if" && a.Type.Truth {
			continue
		}
		if !c.number(a, n.args[i]) {
			return Operand{}
		}
	}
	return b.emit(c, n, args)
}

func (c *Compiler) callFunction(fn *Function, n *callNode, args []Operand) Operand {
	if len(args) != len(fn.Params) {
		c.fail(source.Syntax, n.where(), "%s has %d values here; expected %s", n.name, len(args), fn.Usage())
		return Operand{}
	}
	slots := 0
	for i, p := range fn.Params {
		a := args[i]
		if !c.number(a, n.args[i]) {
			return Operand{}
		}
		if !p.Any && a.Type.Dimension != p.Dimension {
			c.fail(source.WrongUnit, n.args[i].where(), "%s needs %s for %s; this is %s", fn.Usage(), c.describe(p.Dimension), p.Name, c.Describe(a.Type))
			return Operand{}
		}
		if a.series() && (!p.Months || a.Type.Len != 12) {
			c.fail(source.WrongType, n.args[i].where(), "%s needs a single value for %s; this is a monthly series", fn.Usage(), p.Name)
			return Operand{}
		}
		slots++
		if p.Months {
			slots += 11
		}
	}
	base := c.reserve(slots)
	at := base
	for i, p := range fn.Params {
		wide := 1
		if p.Months {
			wide = 12
		}
		for m := range wide {
			from := args[i].Slot
			if args[i].series() {
				from += m
			}
			c.emit(opCopy, at, from, 0, 0, n.args[i].where())
			at++
		}
	}
	index := slices.Index(c.program.calls, fn)
	if index < 0 {
		index = len(c.program.calls)
		c.program.calls = append(c.program.calls, fn)
	}
	t := Type{Dimension: fn.Result.Dimension}
	unit := quantity.Unit{Factor: 1}
	if fn.Result.Like > 0 {
		like := args[fn.Result.Like-1]
		t.Dimension, unit = like.Type.Dimension, like.Unit
	} else if fn.Result.Unit != "" {
		unit = c.units.Must(fn.Result.Unit)
	}
	if fn.Result.Months {
		t.Len = 12
	}
	x := Operand{Slot: c.reserve(fn.resultSlots()), Type: t, Unit: unit}
	c.emit(opCall, x.Slot, base, index, slots, n.where())
	return x
}

func (c *Compiler) choose(n *callNode, args []Operand) Operand {
	if !args[0].Type.Truth {
		c.fail(source.WrongType, n.args[0].where(), "if needs a yes or no first, such as a > b; this is %s", c.Describe(args[0].Type))
		return Operand{}
	}
	x, y := args[1], args[2]
	if x.Type.Truth != y.Type.Truth || x.text || y.text {
		c.fail(source.WrongType, n.where(), "both answers of if must be numbers, or both yes or no")
		return Operand{}
	}
	if !c.sameLength(n.span, args...) {
		return Operand{}
	}
	t, unit, ok := c.common(n, args[1:], n.args[1:])
	if !ok {
		return Operand{}
	}
	t.Truth = x.Type.Truth
	t.Len = max(t.Len, args[0].Type.Len)
	return c.each(opSelect, t, unit, n.where(), args...)
}

// common checks that all of args measure the same and returns their type.
func (c *Compiler) common(n *callNode, args []Operand, nodes []node) (Type, quantity.Unit, bool) {
	t, unit := Type{Dimension: anyDimension}, quantity.Unit{Factor: 1}
	first := -1
	for i, a := range args {
		t.Len = max(t.Len, a.Type.Len)
		if a.Type.Dimension == anyDimension {
			continue
		}
		if first < 0 {
			t.Dimension, unit, first = a.Type.Dimension, a.Unit, i
			continue
		}
		if a.Type.Dimension != t.Dimension {
			c.fail(source.WrongUnit, nodes[i].where(), "%s needs values of one kind: %s is %s, but %s is %s",
				n.name, brief(nodes[first]), c.describe(t.Dimension), brief(nodes[i]), c.describe(a.Type.Dimension))
			return t, unit, false
		}
	}
	return t, unit, true
}

// fold joins all values, or all months of one series, by one operation.
func fold(op opcode) func(*Compiler, *callNode, []Operand) Operand {
	return func(c *Compiler, n *callNode, args []Operand) Operand {
		if !c.sameLength(n.span, args...) {
			return Operand{}
		}
		t, unit, ok := c.common(n, args, n.args)
		if !ok {
			return Operand{}
		}
		x := args[0]
		if len(args) == 1 {
			first := x
			t.Len, x.Type.Len = 0, 0
			for m := 1; m < first.Type.Len; m++ {
				month := first
				month.Slot, month.Type.Len = first.Slot+m, 0
				x = c.each(op, t, unit, n.where(), x, month)
			}
			x.Unit = unit
			return x
		}
		for _, y := range args[1:] {
			t.Len = max(x.Type.Len, y.Type.Len)
			x = c.each(op, t, unit, n.where(), x, y)
		}
		return x
	}
}

func (c *Compiler) average(n *callNode, args []Operand) Operand {
	months := max(1, args[0].Type.Len)
	x := builtins["sum"].emit(c, n, args)
	count := Operand{Slot: c.constant(float64(months))}
	return c.each(opDiv, x.Type, x.Unit, n.where(), x, count)
}

func same(op opcode) func(*Compiler, *callNode, []Operand) Operand {
	return func(c *Compiler, n *callNode, args []Operand) Operand {
		return c.each(op, args[0].Type, args[0].Unit, n.where(), args[0])
	}
}

// rounding works in the unit that the value is shown in, since "a whole number"
// means whole birds or whole hours to the author.
func rounding(op opcode) func(*Compiler, *callNode, []Operand) Operand {
	return func(c *Compiler, n *callNode, args []Operand) Operand {
		x, t, unit := args[0], args[0].Type, args[0].Unit
		one := 1.0
		if unit.Factor != 0 && !(len(unit.Parts) == 1 && unit.Parts[0].Unit.Symbol == "%") {
			one = unit.Factor
		}
		step := Operand{Slot: c.constant(one), Type: Type{Dimension: t.Dimension}}
		if len(args) == 2 {
			if args[1].Type.Dimension != t.Dimension || args[1].series() {
				c.fail(source.WrongUnit, n.args[1].where(), "round needs a step of the same kind; %s is %s", brief(n.args[0]), c.Describe(t))
				return Operand{}
			}
			step = args[1]
		}
		if op == opRound {
			return c.each(opRound, t, unit, n.where(), x, step)
		}
		if one != 1 {
			x = c.each(opDiv, t, unit, n.where(), x, step)
		}
		x = c.each(op, t, unit, n.where(), x)
		if one != 1 {
			x = c.each(opMul, t, unit, n.where(), x, step)
		}
		return x
	}
}

func (c *Compiler) root(n *callNode, args []Operand) Operand {
	t := args[0].Type
	dim, ok := t.Dimension.Root(2)
	if !ok {
		c.fail(source.WrongUnit, n.args[0].where(), "%s has no square root with a unit", c.describe(t.Dimension))
		return Operand{}
	}
	t.Dimension = dim
	unit := quantity.Unit{Factor: 1}
	if dim == quantity.Length {
		unit = c.units.Must("m")
	} else if dim != quantity.Number {
		unit = c.units.Must(dimensionText(dim))
	}
	return c.each(opSqrt, t, unit, n.where(), args[0])
}

func plain(op opcode) func(*Compiler, *callNode, []Operand) Operand {
	return func(c *Compiler, n *callNode, args []Operand) Operand {
		if args[0].Type.Dimension != quantity.Number {
			c.fail(source.WrongUnit, n.args[0].where(), "%s needs a plain number; this is %s", n.name, c.Describe(args[0].Type))
			return Operand{}
		}
		return c.each(op, args[0].Type, quantity.Unit{Factor: 1}, n.where(), args[0])
	}
}

func (c *Compiler) atMonth(n *callNode, args []Operand) Operand {
	series := args[0]
	month, ok := n.args[1].(*monthsNode)
	if !series.series() {
		c.fail(source.WrongType, n.args[0].where(), "at needs a monthly series; this is %s", c.Describe(series.Type))
		return Operand{}
	}
	x := Operand{Type: Type{Dimension: series.Type.Dimension}, Unit: series.Unit}
	if ok && month.first == month.last {
		x.Slot = series.Slot + month.first
		return x
	}
	index := args[1]
	if ok || index.series() || index.Type.Dimension != quantity.Number {
		c.fail(source.WrongType, n.args[1].where(), "at needs one month, as in at(rain, Apr), or the number of a month counted from 1")
		return Operand{}
	}
	one := Operand{Slot: c.constant(1)}
	index = c.each(opSub, Type{}, quantity.Unit{}, n.where(), index, one)
	x.Slot = c.reserve(1)
	c.emit(opPick, x.Slot, series.Slot, index.Slot, series.Type.Len, n.where())
	return x
}

func (c *Compiler) spread(n *callNode, args []Operand) Operand {
	amount, weights := args[0], args[1]
	if amount.series() || !weights.series() {
		c.fail(source.WrongType, n.where(), "expected a single amount and a monthly series of weights: spread(amount, weights)")
		return Operand{}
	}
	total := builtins["sum"].emit(c, &callNode{span: n.span, name: "sum", args: n.args[1:], end: n.end}, args[1:])
	share := c.each(opDiv, Type{Len: weights.Type.Len}, quantity.Unit{Factor: 1}, n.where(), weights, total)
	return c.each(opMul, Type{Dimension: amount.Type.Dimension, Len: weights.Type.Len}, amount.Unit, n.where(), amount, share)
}

func (c *Compiler) needSeries(n *callNode, x Operand) bool {
	if !x.series() {
		c.fail(source.WrongType, n.args[0].where(), "%s needs a monthly series; this is %s", n.name, c.Describe(x.Type))
	}
	return x.series()
}

func (c *Compiler) running(n *callNode, args []Operand) Operand {
	if !c.needSeries(n, args[0]) {
		return Operand{}
	}
	x := Operand{Slot: c.reserve(args[0].Type.Len), Type: args[0].Type, Unit: args[0].Unit}
	c.emit(opCopy, x.Slot, args[0].Slot, 0, 0, n.span)
	for m := 1; m < x.Type.Len; m++ {
		c.emit(opAdd, x.Slot+m, x.Slot+m-1, args[0].Slot+m, 0, n.span)
	}
	return x
}

func (c *Compiler) shift(n *callNode, args []Operand) Operand {
	by, known := c.known[args[1].Slot]
	if !c.needSeries(n, args[0]) {
		return Operand{}
	}
	if !known || args[1].Type.Dimension != quantity.Number || by != float64(int(by)) {
		c.fail(source.WrongType, n.args[1].where(), "shift needs a whole number of months, written as a number")
		return Operand{}
	}
	x := Operand{Slot: c.reserve(args[0].Type.Len), Type: args[0].Type, Unit: args[0].Unit}
	for m := range x.Type.Len {
		to := ((m+int(by))%x.Type.Len + x.Type.Len) % x.Type.Len
		c.emit(opCopy, x.Slot+to, args[0].Slot+m, 0, 0, n.span)
	}
	return x
}

func (c *Compiler) monthly(n *callNode, args []Operand) Operand {
	t, unit, ok := c.common(n, args, n.args)
	if !ok {
		return Operand{}
	}
	if t.Len > 0 {
		c.fail(source.WrongType, n.where(), "monthly needs twelve single values")
		return Operand{}
	}
	return c.lay(n, args, Type{Dimension: t.Dimension, Len: 12}, unit, func(m int) int { return m })
}

func (c *Compiler) eachYear(n *callNode, args []Operand) Operand {
	if !c.needSeries(n, args[0]) || args[0].Type.Len != 12 {
		return args[0]
	}
	var months []Operand
	for m := range 12 {
		month := args[0]
		month.Slot += m
		months = append(months, month)
	}
	return c.lay(n, months, Type{Dimension: args[0].Type.Dimension, Len: 12 * c.years}, args[0].Unit, func(m int) int { return m % 12 })
}

func (c *Compiler) byYear(n *callNode, args []Operand) Operand {
	t, unit, ok := c.common(n, args, n.args)
	if !ok {
		return Operand{}
	}
	if t.Len > 0 {
		c.fail(source.WrongType, n.where(), "by_year needs single values, one a year")
		return Operand{}
	}
	return c.lay(n, args, Type{Dimension: t.Dimension, Len: 12 * c.years}, unit, func(m int) int { return min(m/12, len(args)-1) })
}

// lay fills a series with single values, each month with the one that which
// names.
func (c *Compiler) lay(n *callNode, values []Operand, t Type, unit quantity.Unit, which func(month int) int) Operand {
	x := Operand{Slot: c.reserve(t.Len), Type: t, Unit: unit}
	for m := range t.Len {
		c.emit(opCopy, x.Slot+m, values[which(m)].Slot, 0, 0, n.span)
	}
	return x
}
