package formula

import (
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// FunctionNames lists the functions of the language and those given to the
// compiler, sorted.
func (c *Compiler) FunctionNames() []string {
	names := slices.AppendSeq(slices.Collect(maps.Keys(builtins)), maps.Keys(c.functions))
	slices.Sort(names)
	return names
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
	if !ok {
		return c.callFunction(fn, n, args)
	}
	if len(args) < b.least || b.most != anyNumber && len(args) > b.most {
		c.count(n, b.Usage)
		return Operand{}
	}
	for i, a := range args {
		if n.name != "if" && !c.number(a, n.args[i]) || n.name == "if" && i > 0 && !a.Type.Truth() && a.Type.Kind != Choice && !c.number(a, n.args[i]) {
			return Operand{}
		}
	}
	return b.emit(c, n, args)
}

// count reports a call with too few or too many values.
func (c *Compiler) count(n *callNode, usage string) {
	values := "1 value"
	if len(n.args) != 1 {
		values = strconv.Itoa(len(n.args)) + " values"
	}
	c.fail(source.Syntax, n.where(), "%s has %s here; expected %s", n.name, values, usage)
}

func (c *Compiler) choose(n *callNode, args []Operand) Operand {
	if !args[0].Type.Truth() {
		c.fail(source.WrongType, n.args[0].where(), "if needs a yes or no first, such as a > b; this is %s", c.what(args[0]))
		return Operand{}
	}
	x, y := args[1], args[2]
	if x.Type.Truth() != y.Type.Truth() {
		c.fail(source.WrongType, n.where(), "both answers of if must be numbers, or both yes or no")
		return Operand{}
	}
	if (x.Type.Kind == Choice || y.Type.Kind == Choice) && !x.Type.Choices.same(y.Type.Choices) {
		c.fail(source.WrongType, n.where(), "both answers of if must be of the same words: one is %s, the other %s", c.what(x), c.what(y))
		return Operand{}
	}
	if !c.sameLength(n.span, args...) {
		return Operand{}
	}
	t, unit, ok := c.common(n, args[1:], n.args[1:])
	if !ok {
		return Operand{}
	}
	t.Choices = x.Type.Choices
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
			t.Dimension, t.Kind, unit, first = a.Type.Dimension, a.Type.Kind, a.Unit, i
			continue
		}
		t.Kind = summed(t.Kind, a.Type.Kind)
		if a.Type.Dimension == t.Dimension && !c.sameScale(n, nodes[first], nodes[i], args[first], a) {
			return t, unit, false
		}
		if a.Type.Dimension != t.Dimension {
			c.fail(source.WrongUnit, nodes[i].where(), "%s needs values of one kind: %s is %s, but %s is %s",
				n.name, brief(nodes[first]), c.measure(t.Dimension, unit), brief(nodes[i]), c.measure(a.Type.Dimension, a.Unit))
			return t, unit, false
		}
	}
	return t, unit, true
}

// join joins all values, or all months of one series, by one operation.
func join(op opcode) func(*Compiler, *callNode, []Operand) Operand {
	return func(c *Compiler, n *callNode, args []Operand) Operand {
		if !c.sameLength(n.span, args...) {
			return Operand{}
		}
		t, unit, ok := c.common(n, args, n.args)
		if !ok || n.name == "sum" && !c.amount(Operand{Unit: unit}, n.args[0]) {
			return Operand{}
		}
		x := args[0]
		if len(args) == 1 {
			first := x
			t.Len, x.Type.Len = 0, 0
			t.Kind = single(t.Kind)
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

// single is the kind of one value of a series.
func single(k Kind) Kind {
	if k >= Date {
		return k
	}
	return Number
}

func (c *Compiler) average(n *callNode, args []Operand) Operand {
	if len(args) == 2 {
		return c.weighted(n, args)
	}
	months := max(1, args[0].Type.Len)
	x := join(opAdd)(c, n, args)
	count := Operand{Slot: c.constant(float64(months))}
	return c.each(opDiv, x.Type, x.Unit, n.where(), x, count)
}

// weighted is the mean of a series' months, each counted by its weight.
func (c *Compiler) weighted(n *callNode, args []Operand) Operand {
	series, weights := args[0], args[1]
	if !c.needSeries(n, series) || !c.amount(series, n.args[0]) || !c.amount(weights, n.args[1]) {
		return Operand{}
	}
	if !weights.series() {
		c.fail(source.WrongType, n.args[1].where(), "average weighs by a monthly series; this is %s", c.what(weights))
		return Operand{}
	}
	if !c.sameLength(n.span, args...) {
		return Operand{}
	}
	one := func(of node, x Operand) Operand {
		return join(opAdd)(c, &callNode{span: n.span, name: "sum", args: []node{of}, end: n.end}, []Operand{x})
	}
	t := Type{Dimension: series.Type.Dimension.Mul(weights.Type.Dimension), Len: series.Type.Len}
	products := c.each(opMul, t, series.Unit, n.where(), series, weights)
	return c.divide(Type{Dimension: series.Type.Dimension}, series.Unit, n.where(), n.args[1], one(n.args[0], products), one(n.args[1], weights))
}

func (c *Compiler) magnitude(n *callNode, args []Operand) Operand {
	if !c.amount(args[0], n.args[0]) {
		return Operand{}
	}
	return c.each(opAbs, args[0].Type, args[0].Unit, n.where(), args[0])
}

// rounding works in the unit that the value is shown in, since "a whole number"
// means whole birds or whole hours to the author.
func rounding(op opcode) func(*Compiler, *callNode, []Operand) Operand {
	return func(c *Compiler, n *callNode, args []Operand) Operand {
		x, t, unit := args[0], args[0].Type, args[0].Unit
		step := Operand{Slot: c.constant(1), Type: Type{Dimension: t.Dimension}}
		if unit.Factor != 0 {
			step.Slot = c.constant(unit.Factor)
		}
		if len(args) == 2 {
			step = args[1]
			if step.Type.Dimension != t.Dimension || step.series() || point(step) {
				c.fail(source.WrongUnit, n.args[1].where(), "round needs a single step of the same kind; %s is %s", brief(n.args[0]), c.what(args[0]))
				return Operand{}
			}
		}
		zero := Operand{Slot: c.constant(unit.Offset)}
		each := func(op opcode, with ...Operand) {
			x = c.each(op, t, unit, n.where(), append([]Operand{x}, with...)...)
		}
		if unit.Offset != 0 {
			each(opSub, zero)
		}
		switch {
		case op == opRound:
			each(op, step)
		case c.known[step.Slot] == 1:
			each(op)
		default:
			each(opDiv, step)
			each(op)
			each(opMul, step)
		}
		if unit.Offset != 0 {
			each(opAdd, zero)
		}
		return x
	}
}

func (c *Compiler) root(n *callNode, args []Operand) Operand {
	t := args[0].Type
	t.Kind = Number
	dim, ok := t.Dimension.Root(2)
	if !ok {
		c.fail(source.WrongUnit, n.args[0].where(), "%s has no square root with a unit", c.what(args[0]))
		return Operand{}
	}
	t.Dimension = dim
	return c.each(opSqrt, t, c.baseUnit(dim), n.where(), args[0])
}

// baseUnit is the unit of a dimension in base units.
func (c *Compiler) baseUnit(d quantity.Dimension) quantity.Unit {
	unit := quantity.Unit{Factor: 1}
	for field := range strings.FieldsSeq(string(d)) {
		base, exp, found := strings.Cut(field, "^")
		n := 1
		if found {
			n, _ = strconv.Atoi(exp)
		}
		unit = unit.Times(c.units.Must(base).Pow(n))
	}
	return unit
}

func plain(op opcode) func(*Compiler, *callNode, []Operand) Operand {
	return func(c *Compiler, n *callNode, args []Operand) Operand {
		if args[0].Type.Dimension != quantity.Number {
			c.fail(source.WrongUnit, n.args[0].where(), "%s needs a plain number; this is %s", n.name, c.what(args[0]))
			return Operand{}
		}
		return c.each(op, Type{Len: args[0].Type.Len}, quantity.Unit{Factor: 1}, n.where(), args[0])
	}
}

func (c *Compiler) atMonth(n *callNode, args []Operand) Operand {
	series := args[0]
	month, ok := n.args[1].(*monthsNode)
	if !series.series() {
		c.fail(source.WrongType, n.args[0].where(), "at needs a monthly series; this is %s", c.what(series))
		return Operand{}
	}
	x := Operand{Type: Type{Dimension: series.Type.Dimension, Kind: single(series.Type.Kind), Choices: series.Type.Choices}, Unit: series.Unit}
	if ok && month.first == month.last {
		x.Slot = series.Slot + month.first
		return x
	}
	index := args[1]
	if ok || index.series() || index.Type.Dimension != quantity.Number {
		c.fail(source.WrongType, n.args[1].where(), "at needs one month, as in at(rain, Apr), or the number of a month counted from 1")
		return Operand{}
	}
	if number, known := c.known[index.Slot]; known {
		x.Slot = c.monthNumber(n, series, number)
		return x
	}
	one := Operand{Slot: c.constant(1)}
	index = c.each(opSub, Type{}, quantity.Unit{}, n.where(), index, one)
	x.Slot = c.reserve(1)
	c.emit(opPick, x.Slot, series.Slot, index.Slot, series.Type.Len, n.where())
	return x
}

// beyond is why a month or year after the plan's last has no answer.
const beyond say.Text = "it lies beyond the plan's years"

// monthNumber returns the slot of a month by its number, written in the formula.
// A month beyond the plan's years has no answer, for a formula may stand in a
// workbook whose plan is shorter; a month that no year has is a slip.
func (c *Compiler) monthNumber(n *callNode, series Operand, number float64) int {
	month, ok := whole(number)
	switch {
	case !ok || month < 1 || series.Type.Len == 12 && c.years > 1 && month > 12:
		c.fail(source.OutOfRange, n.args[1].where(), "there is no month %s; this series has months 1 to %d", n.args[1].where().Text(), series.Type.Len)
		return 0
	case month > float64(series.Type.Len):
		return c.none("", beyond)
	}
	return series.Slot + int(month) - 1
}

// inYear is the twelve months of one of the plan's years.
func (c *Compiler) inYear(n *callNode, args []Operand) Operand {
	series := args[0]
	number, known := c.known[args[1].Slot]
	year, ok := whole(number)
	if !c.needSeries(n, series) {
		return Operand{}
	}
	if !known || !ok || year < 1 || args[1].Type.Dimension != quantity.Number {
		c.fail(source.WrongType, n.args[1].where(), "in_year needs the number of a year, counted from 1 and written as a number")
		return Operand{}
	}
	x := series
	x.Type.Len = 12
	if from := int(min(year, 1e6)-1) * 12; from+12 <= series.Type.Len {
		x.Slot, x.Weights = x.Slot+from, x.Weights+from
		return x
	}
	x.Weighted = false
	x.Slot = c.reserve(12)
	for m := range 12 {
		c.emit(opCopy, x.Slot+m, c.none("", beyond), 0, 0, n.span)
	}
	return x
}

func (c *Compiler) spread(n *callNode, args []Operand) Operand {
	amount, weights := args[0], args[1]
	if amount.series() || !weights.series() {
		c.fail(source.WrongType, n.where(), "expected a single amount and a monthly series of weights: spread(amount, weights)")
		return Operand{}
	}
	if !c.amount(amount, n.args[0]) || !c.amount(weights, n.args[1]) {
		return Operand{}
	}
	total := join(opAdd)(c, &callNode{span: n.span, name: "spread", args: n.args[1:], end: n.end}, args[1:])
	share := c.divide(Type{Len: weights.Type.Len}, quantity.Unit{Factor: 1}, n.where(), n.args[1], weights, total)
	return c.each(opMul, Type{Dimension: amount.Type.Dimension, Len: weights.Type.Len, Kind: Flow}, amount.Unit, n.where(), amount, share)
}

func (c *Compiler) needSeries(n *callNode, x Operand) bool {
	if !x.series() {
		c.fail(source.WrongType, n.args[0].where(), "%s needs a monthly series; this is %s", n.name, c.what(x))
	}
	return x.series()
}

func (c *Compiler) running(n *callNode, args []Operand) Operand {
	if !c.needSeries(n, args[0]) || !c.amount(args[0], n.args[0]) {
		return Operand{}
	}
	x := Operand{Slot: c.reserve(args[0].Type.Len), Type: args[0].Type, Unit: args[0].Unit}
	x.Type.Kind = Level
	c.emit(opCopy, x.Slot, args[0].Slot, 0, 0, n.span)
	for m := 1; m < x.Type.Len; m++ {
		c.emit(opAdd, x.Slot+m, x.Slot+m-1, args[0].Slot+m, 0, n.span)
	}
	return x
}

// longestShift is a hundred years in months.
const longestShift = 1200

func (c *Compiler) shift(n *callNode, args []Operand) Operand {
	by, known := c.known[args[1].Slot]
	if !c.needSeries(n, args[0]) {
		return Operand{}
	}
	if !known || args[1].Type.Dimension != quantity.Number || by != math.Trunc(by) || math.Abs(by) > longestShift {
		c.fail(source.WrongType, n.args[1].where(), "shift needs a whole number of months, written as a number, at most %d", longestShift)
		return Operand{}
	}
	x := Operand{Slot: c.reserve(args[0].Type.Len), Type: args[0].Type, Unit: args[0].Unit}
	for m := range x.Type.Len {
		c.emit(opCopy, x.Slot+m, c.shifted(args[0], m-int(by)), 0, 0, n.span)
	}
	return x
}

// shifted is the slot of a month that may lie outside a series. The months of a
// year go round; before the plan's years and after them nothing flows, and what
// else there was nobody knows.
func (c *Compiler) shifted(series Operand, month int) int {
	switch {
	case series.Type.Len == 12:
		return series.Slot + (month%12+12)%12
	case month >= 0 && month < series.Type.Len:
		return series.Slot + month
	case series.Type.Settled(series.Unit).Kind == Flow:
		return c.constant(0)
	}
	return c.none("", beyond)
}

func (c *Compiler) monthDays(n *callNode, _ []Operand) Operand {
	x := Operand{Slot: c.reserve(12), Type: Type{Dimension: quantity.Time, Len: 12, Kind: Flow}, Unit: quantity.Days}
	for m, days := range quantity.MonthDays {
		c.emit(opCopy, x.Slot+m, c.constant(quantity.Days.ToBase(float64(days))), 0, 0, n.span)
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
	return c.lay(n, args, Type{Dimension: t.Dimension, Kind: t.Kind, Len: 12}, unit, func(m int) int { return m })
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
	return c.lay(n, months, Type{Dimension: args[0].Type.Dimension, Kind: args[0].Type.Kind, Len: 12 * c.years}, args[0].Unit, func(m int) int { return m % 12 })
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
	return c.lay(n, args, Type{Dimension: t.Dimension, Kind: t.Kind, Len: 12 * c.years}, unit, func(m int) int { return min(m/12, len(args)-1) })
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

// partOf is the year or the month of a date.
func partOf(op opcode) func(*Compiler, *callNode, []Operand) Operand {
	return func(c *Compiler, n *callNode, args []Operand) Operand {
		code := op
		switch s := scaleOf(args[0].Unit); {
		case s == daysOfYear && op == opMonthOf:
			code = opMonthOfDay
		case s == daysOfYear:
			c.fail(source.WrongUnit, n.args[0].where(), "a day of the year has no year").With("a date with its year is written 2027-03-14")
			return Operand{}
		case s != calendarDays:
			c.fail(source.WrongUnit, n.args[0].where(), "%s needs a date, as 2027-03-14; this is %s", n.name, c.what(args[0]))
			return Operand{}
		}
		return c.each(code, Type{Len: args[0].Type.Len}, quantity.Unit{Factor: 1}, n.where(), args[0])
	}
}

func (c *Compiler) pi(*callNode, []Operand) Operand {
	return Operand{Slot: c.constant(math.Pi), Unit: quantity.Unit{Factor: 1}}
}
