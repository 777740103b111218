package formula

import (
	"fmt"
	"math"
	"slices"

	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// A Type is what a formula comes out in.
type Type struct {
	Dimension quantity.Dimension
	Len       int      // 0 for a single value, else the number of months of a series
	Kind      Kind     // what the values are
	Choices   *Choices // of a choice, its words
}

// Truth reports whether the values are yes or no.
func (t Type) Truth() bool { return t.Kind == Truth }

// Open reports whether the type is that of none alone, which fits anywhere.
func (t Type) Open() bool { return t.Dimension == anyDimension }

// An Operand is a compiled value: where it stands in the frame, its type, and
// the unit that a person would show it in.
type Operand struct {
	Slot int // first of max(1, Type.Len) slots
	Type Type
	Unit quantity.Unit
	Step float64 // rounding step for showing it, in Unit; 0 for the default

	// Weights is where the series begins that the months of a quotient are to be
	// weighed by, what it divides by, if Weighted.
	Weights  int
	Weighted bool

	text  bool // a quoted text, only as an argument
	words string
}

func (o Operand) series() bool { return o.Type.Len > 0 }

// A Compiler checks formulas and appends their instructions to one program.
type Compiler struct {
	units     *quantity.System
	functions map[string]*Function
	years     int // the plan's horizon
	program   *Program
	constants map[uint64]int
	known     map[int]float64 // slots whose value never changes
	errs      source.Errors
	start     int // where the formula's instructions begin
	lookup    func(*Name) (Operand, *source.Error)
}

// NewCompiler returns a compiler for a farm's units, with the language's own
// functions and those given, for plans of the given number of years.
func NewCompiler(units *quantity.System, years int, functions ...*Function) *Compiler {
	c := &Compiler{
		units: units, years: max(1, years), functions: map[string]*Function{}, program: &Program{divisors: map[int]node{}},
		constants: map[uint64]int{}, known: map[int]float64{},
	}
	for _, f := range functions {
		c.functions[f.Name] = f
	}
	return c
}

// Program returns all that has been compiled so far.
func (c *Compiler) Program() *Program { return c.program }

// Input sets aside slots for an input of n values (0 for a single one) and
// returns the first.
func (c *Compiler) Input(n int) int { return c.reserve(max(1, n)) }

// Compile checks a formula and appends its instructions. Names are resolved
// through lookup. The result stands in slots of its own. It fails with
// source.Errors; nothing is then compiled.
func (c *Compiler) Compile(f *Formula, lookup func(*Name) (Operand, *source.Error)) (Operand, error) {
	c.errs, c.lookup, c.start = nil, lookup, len(c.program.code)
	free := c.program.size
	x := c.node(f.root)
	if len(c.errs) == 0 {
		x = c.shown(f, x)
		x.Type = x.Type.Settled(x.Unit)
	}
	if len(c.errs) > 0 {
		c.program.code = c.program.code[:c.start]
		c.program.spans = c.program.spans[:c.start]
		return Operand{}, c.errs
	}
	if _, fixed := c.known[x.Slot]; fixed || x.Slot < free {
		x = c.copied(x, f.Span)
	}
	return x, nil
}

// shown gives a formula's result the unit that its as asks for.
func (c *Compiler) shown(f *Formula, x Operand) Operand {
	if x.text {
		c.fail(source.WrongType, f.root.where(), "a text can't be a figure; expected a number")
	}
	if f.As == nil {
		return x
	}
	if x.Type.Dimension == anyDimension {
		x.Type.Dimension = f.As.Dimension
	}
	switch {
	case f.As.Dimension != x.Type.Dimension || x.Type.Truth() || x.Type.Kind == Choice:
		c.fail(source.WrongUnit, f.Span, "this comes out as %s, which can't be shown in %s", c.what(x), unitName(*f.As))
	case f.As.Offset != 0 && x.Unit.Offset == 0 && len(x.Unit.Parts) > 0:
		c.fail(source.WrongUnit, f.Span, "this is a difference of temperatures, which can't be shown in %s", f.As).With("show it in K")
	}
	x.Unit, x.Step = *f.As, f.Step
	return x
}

func unitName(u quantity.Unit) string {
	if len(u.Parts) == 0 {
		return "plain numbers"
	}
	return u.String()
}

func (c *Compiler) fail(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
	err := source.Errorf(kind, at, format, args...)
	c.errs = append(c.errs, err)
	return err
}

func (c *Compiler) node(n node) Operand {
	if len(c.program.code)-c.start > mostInstructions {
		if len(c.errs) == 0 {
			c.fail(source.Unsafe, n.where(), "this formula takes more than %d steps of reckoning; split it into named figures", mostInstructions)
		}
		return Operand{}
	}
	switch n := n.(type) {
	case *numberNode:
		return Operand{Slot: c.constant(n.value.Value), Type: Type{Dimension: n.value.Unit.Dimension}, Unit: n.value.Unit, Step: n.value.Step}
	case *nameNode:
		x, err := c.lookup(n.name)
		if err != nil {
			c.errs = append(c.errs, err)
		}
		return x
	case *textNode:
		return Operand{text: true, words: n.text}
	case *monthsNode:
		return c.months(n)
	case *noneNode:
		return Operand{Slot: c.none(n.why, ""), Type: Type{Dimension: anyDimension}}
	case *unaryNode:
		return c.unary(n)
	case *binaryNode:
		return c.binary(n)
	case *callNode:
		return c.call(n)
	}
	panic("formula: unknown node")
}

// anyDimension is that of none, which fits beside anything.
const anyDimension quantity.Dimension = "any"

// none returns the slot of no answer, for the reason that a formula gives or for
// one in the program's words.
func (c *Compiler) none(given string, words say.Text) int {
	why := reason{given, words}
	index := slices.Index(c.program.reasons, why)
	if index < 0 {
		index = len(c.program.reasons)
		c.program.reasons = append(c.program.reasons, why)
	}
	return c.constant(noneValue(index))
}

func (c *Compiler) months(n *monthsNode) Operand {
	one, zero := c.constant(1), c.constant(0)
	x := Operand{Slot: c.reserve(12), Type: Type{Len: 12}, Unit: quantity.Unit{Factor: 1}}
	for m := range 12 {
		in := m >= n.first && m <= n.last
		if n.first > n.last { // Oct..Mar runs over the turn of the year
			in = m >= n.first || m <= n.last
		}
		from := zero
		if in {
			from = one
		}
		c.emit(opCopy, x.Slot+m, from, 0, 0, n.span)
	}
	return x
}

func (c *Compiler) unary(n *unaryNode) Operand {
	x := c.node(n.x)
	if len(c.errs) > 0 {
		return Operand{}
	}
	if n.op == "not" {
		if !x.Type.Truth() {
			c.fail(source.WrongType, n.x.where(), "not needs a yes or no, such as a > b; this is %s", c.what(x))
			return Operand{}
		}
		return c.each(opNot, x.Type, quantity.Unit{}, n.span, x)
	}
	if !c.number(x, n.x) || !c.amount(x, n.x) {
		return Operand{}
	}
	return c.each(opNeg, x.Type, x.Unit, n.span, x)
}

// number reports an operand that is a text or a truth where a number must be.
func (c *Compiler) number(x Operand, at node) bool {
	switch {
	case x.text:
		c.fail(source.WrongType, at.where(), "a text can't be reckoned with; expected a number")
	case x.Type.Truth():
		c.fail(source.WrongType, at.where(), "this is yes or no; expected a number").With("to choose between two values, write if(condition, a, b)")
	case x.Type.Kind == Choice:
		c.fail(source.WrongType, at.where(), "this is one of %s; expected a number", x.Type.Choices.list())
	default:
		return true
	}
	return false
}

// point reports whether a value marks a point on a scale, a date or a
// temperature in degrees, and so can't be added up or multiplied.
func point(x Operand) bool { return scaleOf(x.Unit) != amounts }

// amount reports a point on a scale where an amount must be.
func (c *Compiler) amount(x Operand, at node) bool {
	switch {
	case x.Unit.IsDate():
		c.fail(source.WrongUnit, at.where(), "a date is a point in the year, not an amount of time").With("subtract another date to get a time, as in %s - 1 Jan", brief(at))
	case x.Unit.IsCalendar():
		c.fail(source.WrongUnit, at.where(), "a date is a point in time, not an amount of it").With("subtract another date to get a time, as in %s - 2027-01-01", brief(at))
	case x.Unit.Offset != 0:
		c.fail(source.WrongUnit, at.where(), "a temperature in %s is a point on a scale, not an amount", x.Unit).
			With("subtract another temperature to get a difference, as in %s - 5 degC", brief(at))
	default:
		return true
	}
	return false
}

func (c *Compiler) binary(n *binaryNode) Operand {
	x, y := c.node(n.x), c.node(n.y)
	if len(c.errs) > 0 {
		return Operand{}
	}
	op := n.op.text
	if op == "and" || op == "or" {
		return c.logic(n, x, y)
	}
	if x.Type.Kind == Choice || y.Type.Kind == Choice {
		return c.chosen(n, x, y)
	}
	if !c.number(x, n.x) || !c.number(y, n.y) || !c.sameLength(n.op.span, x, y) {
		return Operand{}
	}
	months := max(x.Type.Len, y.Type.Len)
	switch op {
	case "*", "/":
		return c.product(n, x, y, months)
	case "^":
		return c.power(n, x, y, months)
	}
	dim, ok := c.alike(n, x, y)
	if !ok {
		return Operand{}
	}
	t := Type{Dimension: dim, Len: months, Kind: summed(x.Type.Kind, y.Type.Kind)}
	switch op {
	case "+", "-":
		unit, ok := c.sumUnit(n, x, y)
		if !ok {
			return Operand{}
		}
		t.Kind = sumKind(t.Kind, x, y, unit)
		if moved, ok := c.movesDate(n, t, x, y, unit); ok {
			return moved
		}
		return c.each(map[string]opcode{"+": opAdd, "-": opSub}[op], t, unit, n.op.span, x, y)
	case ">", ">=":
		if !c.sameScale(n, n.x, n.y, x, y) {
			return Operand{}
		}
		x, y = y, x
	default:
		if !c.sameScale(n, n.x, n.y, x, y) {
			return Operand{}
		}
	}
	return c.each(comparisons[op], Type{Kind: Truth, Len: months}, quantity.Unit{}, n.op.span, x, y)
}

var comparisons = map[string]opcode{
	"<": opLess, "<=": opAtMost, ">": opLess, ">=": opAtMost, "is": opEqual, "is not": opUnequal,
}

func (c *Compiler) logic(n *binaryNode, x, y Operand) Operand {
	for i, o := range []Operand{x, y} {
		if !o.Type.Truth() {
			c.fail(source.WrongType, []node{n.x, n.y}[i].where(), "%s joins two yes-or-no parts; this is %s", n.op.text, c.what(o))
			return Operand{}
		}
	}
	if !c.sameLength(n.op.span, x, y) {
		return Operand{}
	}
	code := opAnd
	if n.op.text == "or" {
		code = opOr
	}
	return c.each(code, Type{Kind: Truth, Len: max(x.Type.Len, y.Type.Len)}, quantity.Unit{}, n.op.span, x, y)
}

// sumUnit is the unit that a sum or difference is shown in: that of its first
// part that has one, but a date plus days is a date, and two dates or two
// temperatures are a time or a difference apart.
func (c *Compiler) sumUnit(n *binaryNode, x, y Operand) (quantity.Unit, bool) {
	minus := n.op.text == "-"
	a, b := scaleOf(x.Unit), scaleOf(y.Unit)
	switch {
	case a != amounts && b != amounts && a != b:
		c.sameScale(n, n.x, n.y, x, y)
		return quantity.Unit{}, false
	case point(x) && point(y) && minus:
		if a != degrees {
			return quantity.Days, true
		}
		return difference(x, y), true
	case point(x) && point(y):
		c.fail(source.WrongUnit, n.where(), "two %s can't be added", points(x)).With("only a difference can be added to one")
		return quantity.Unit{}, false
	case point(y) && minus && x.Type.Dimension != anyDimension && b != degrees:
		c.fail(source.WrongUnit, n.where(), "a date can't be subtracted from a time; subtract the time from the date")
		return quantity.Unit{}, false
	case point(y) && minus:
		return quantity.Kelvin, true
	case point(y), x.Type.Dimension == anyDimension, len(x.Unit.Parts) == 0 && len(y.Unit.Parts) > 0:
		return y.Unit, true
	}
	return x.Unit, true
}

// difference is the unit of the difference of two temperatures.
func difference(x, y Operand) quantity.Unit {
	if x.Unit.Offset == y.Unit.Offset && x.Unit.Factor == quantity.Fahrenheits.Factor {
		return quantity.Fahrenheits
	}
	return quantity.Kelvin
}

// sumKind is the kind of a sum in a unit. A point and what is added to it are a
// point; two points apart are an amount.
func sumKind(k Kind, x, y Operand, unit quantity.Unit) Kind {
	switch {
	case scaleOf(unit) == daysOfYear || scaleOf(unit) == calendarDays:
		return Date
	case point(x) && point(y) && k == Date:
		return Number
	}
	return k
}

// movesDate compiles a date and months or years: the same day of another month.
func (c *Compiler) movesDate(n *binaryNode, t Type, x, y Operand, unit quantity.Unit) (Operand, bool) {
	date, by := x, y
	if point(y) {
		date, by = y, x
	}
	if t.Kind != Date || point(by) || !by.Unit.InMonths() {
		return Operand{}, false
	}
	if n.op.text == "-" {
		by = c.each(opNeg, by.Type, by.Unit, n.op.span, by)
	}
	op := opMonthsOnYear
	if unit.IsCalendar() {
		op = opMonthsOnDate
	}
	return c.each(op, t, unit, n.op.span, date, by), true
}

func points(x Operand) string {
	if scaleOf(x.Unit) == degrees {
		return "temperatures"
	}
	return "dates"
}

// sameLength reports series of different lengths that stand side by side.
func (c *Compiler) sameLength(at source.Span, operands ...Operand) bool {
	months := 0
	for _, o := range operands {
		if o.Type.Len > 0 && months > 0 && o.Type.Len != months {
			c.fail(source.WrongType, at, "one side has %d months and the other %d", months, o.Type.Len).
				With("each_year(...) repeats twelve months over the plan's years, %d months in all", 12*c.years)
			return false
		}
		months = max(months, o.Type.Len)
	}
	return true
}

var verbs = map[string]string{"+": "add %s to %s", "-": "subtract %s from %s"}

// alike checks that both sides measure the same, and returns the dimension.
func (c *Compiler) alike(n *binaryNode, x, y Operand) (quantity.Dimension, bool) {
	dx, dy := x.Type.Dimension, y.Type.Dimension
	switch {
	case dx == dy || dy == anyDimension:
		return dx, true
	case dx == anyDimension:
		return dy, true
	}
	left, right := c.measure(dx, x.Unit), c.measure(dy, y.Unit)
	what, ok := verbs[n.op.text]
	if ok {
		what = fmt.Sprintf(what, right, left)
	} else {
		what = fmt.Sprintf("compare %s with %s", left, right)
	}
	c.fail(source.WrongUnit, n.where(), "can't %s: %s is %s, but %s is %s", what, brief(n.x), left, brief(n.y), right)
	return quantity.Number, false
}

func (c *Compiler) product(n *binaryNode, x, y Operand, months int) Operand {
	if x.Type.Dimension == anyDimension || y.Type.Dimension == anyDimension {
		c.fail(source.WrongType, n.where(), "none stands for a whole answer; it can't be multiplied or divided")
		return Operand{}
	}
	if !c.amount(x, n.x) || !c.amount(y, n.y) {
		return Operand{}
	}
	op, t, unit := opMul, Type{Len: months}, quantity.Unit{}
	if n.op.text == "*" {
		t.Dimension = x.Type.Dimension.Mul(y.Type.Dimension)
		t.Kind = c.multiplied(x, y, t.Dimension)
		unit = unshared(x.Unit).Times(unshared(y.Unit))
	} else {
		op = opDiv
		t.Dimension = x.Type.Dimension.Div(y.Type.Dimension)
		t.Kind = c.divided(x, y, t.Dimension)
		unit = x.Unit.Per(unshared(y.Unit))
	}
	if !c.plainUnit(unit, n) {
		return Operand{}
	}
	if op == opDiv {
		return c.divide(t, unit, n.op.span, n.y, x, y)
	}
	z := c.each(op, t, unit, n.op.span, x, y)
	if !x.series() {
		x, y = y, x
	}
	if !y.series() { // a share of so much is weighed as the share is
		z.Weights, z.Weighted = x.Weights, x.Weighted
	}
	return z
}

// divide divides, and keeps what by, to name it should it be nought.
func (c *Compiler) divide(t Type, unit quantity.Unit, at source.Span, by node, x, y Operand) Operand {
	first := len(c.program.code)
	quotient := c.each(opDiv, t, unit, at, x, y)
	for i := first; i < len(c.program.code); i++ {
		c.program.divisors[i] = by
	}
	if x.Type.Kind == Flow && y.Type.Kind == Flow && x.series() && y.series() {
		quotient.Weights, quotient.Weighted = y.Slot, true
	}
	return quotient
}

// unshared drops the unit of a percentage: 6 % of 300 is shown as 18, and so is
// 6 % of 300 hens.
func unshared(u quantity.Unit) quantity.Unit {
	if len(u.Parts) == 1 && u.Parts[0].Unit.Symbol == "%" {
		return quantity.Unit{Factor: 1}
	}
	return u
}

// A unit has at most mostParts names in it, and none to more than highestPower,
// which is the highest that can be written.
const (
	mostParts    = 12
	highestPower = 9
)

func (c *Compiler) plainUnit(u quantity.Unit, n *binaryNode) bool {
	high := slices.ContainsFunc(u.Parts, func(p quantity.Part) bool { return max(p.Power, -p.Power) > highestPower })
	if high || len(u.Parts) > mostParts {
		c.fail(source.WrongUnit, n.op.span, "the unit of the result is too large a product of units")
		return false
	}
	return true
}

func (c *Compiler) power(n *binaryNode, x, y Operand, months int) Operand {
	if y.Type.Dimension != quantity.Number {
		c.fail(source.WrongUnit, n.y.where(), "an exponent is a plain number; this is %s", c.what(y))
		return Operand{}
	}
	t, unit := Type{Dimension: x.Type.Dimension, Len: months}, quantity.Unit{Factor: 1}
	if x.Type.Dimension != quantity.Number {
		if !c.amount(x, n.x) {
			return Operand{}
		}
		exp, known := c.known[y.Slot]
		if !known || y.series() || exp != math.Trunc(exp) || math.Abs(exp) > highestPower {
			c.fail(source.WrongUnit, n.y.where(), "%s can be raised only to a whole power up to %d, written as a number", c.what(x), highestPower)
			return Operand{}
		}
		t.Dimension, unit = t.Dimension.Pow(int(exp)), x.Unit.Pow(int(exp))
		if !c.plainUnit(unit, n) {
			return Operand{}
		}
	}
	return c.each(opPow, t, unit, n.op.span, x, y)
}
