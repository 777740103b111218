package formula

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

// A Type is what a formula comes out in.
type Type struct {
	Dimension quantity.Dimension
	Len       int  // 0 for a single value, else the number of months of a series
	Truth     bool // yes or no
}

// An Operand is a compiled value: where it stands in the frame, its type, and
// the unit that a person would show it in.
type Operand struct {
	Slot int // first of max(1, Type.Len) slots
	Type Type
	Unit quantity.Unit
	Step float64 // rounding step for showing it, in Unit; 0 for the default

	text bool // a quoted text, only as an argument
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
	lookup    func(*Name) (Operand, *source.Error)
}

// NewCompiler returns a compiler for a farm's units, with the language's own
// functions and those given, for plans of the given number of years.
func NewCompiler(units *quantity.System, years int, functions ...*Function) *Compiler {
	c := &Compiler{
		units: units, years: years, functions: map[string]*Function{}, program: &Program{},
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

func (c *Compiler) reserve(n int) int {
	slot := c.program.size
	c.program.size += n
	return slot
}

func (c *Compiler) constant(x float64) int {
	bits := math.Float64bits(x)
	if slot, ok := c.constants[bits]; ok {
		return slot
	}
	slot := c.reserve(1)
	c.constants[bits] = slot
	c.known[slot] = x
	c.program.constants = append(c.program.constants, constant{slot, x})
	return slot
}

// Compile checks a formula and appends its instructions. Names are resolved
// through lookup. It fails with source.Errors; nothing is then compiled.
func (c *Compiler) Compile(f *Formula, lookup func(*Name) (Operand, *source.Error)) (Operand, error) {
	c.errs, c.lookup = nil, lookup
	start := len(c.program.code)
	x := c.node(f.root)
	if x.text && len(c.errs) == 0 {
		c.fail(source.WrongType, f.root.where(), "a text can't be a figure; expected a number")
	}
	if f.As != nil && len(c.errs) == 0 {
		if f.As.Dimension != x.Type.Dimension || x.Type.Truth {
			c.fail(source.WrongUnit, f.Span, "this comes out as %s, which can't be shown in %s", c.Describe(x.Type), f.As)
		}
		x.Unit, x.Step = *f.As, f.Step
	}
	if len(c.errs) > 0 {
		c.program.code = c.program.code[:start]
		c.program.spans = c.program.spans[:start]
		return Operand{}, c.errs
	}
	return x, nil
}

func (c *Compiler) fail(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
	err := source.Errorf(kind, at, format, args...)
	c.errs = append(c.errs, err)
	return err
}

// Describe says in words what a type measures.
func (c *Compiler) Describe(t Type) string {
	if t.Truth {
		return "yes or no"
	}
	text := c.describe(t.Dimension)
	if t.Len > 0 {
		text += " for each month"
	}
	return text
}

var kinds = map[quantity.Dimension]string{
	quantity.Number: "a plain number", quantity.Length: "a length", quantity.Area: "an area",
	quantity.Volume: "a volume", quantity.Mass: "a mass", quantity.Time: "a time",
	quantity.Temperature: "a temperature", quantity.Energy: "an energy", quantity.Power: "a power",
	quantity.Current: "a current",
}

func (c *Compiler) describe(d quantity.Dimension) string {
	if text, ok := kinds[d]; ok {
		return text
	}
	if d == quantity.Base(c.units.Currency()) {
		return "money"
	}
	if c.units.Known(string(d)) {
		return fmt.Sprintf("a number of %s", string(d))
	}
	return dimensionText(d)
}

// dimensionText writes a dimension as a unit of its base units: GBP/kg.
func dimensionText(d quantity.Dimension) string {
	var above, below []string
	for field := range strings.FieldsSeq(string(d)) {
		base, exp, _ := strings.Cut(field, "^")
		if rest, negative := strings.CutPrefix(exp, "-"); negative {
			below = append(below, base+strings.TrimPrefix(rest, "1"))
		} else {
			above = append(above, base+exp)
		}
	}
	text := strings.Join(above, "·")
	if text == "" {
		text = "1"
	}
	for _, b := range below {
		text += "/" + b
	}
	return text
}

func (c *Compiler) node(n node) Operand {
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
		return Operand{text: true}
	case *monthsNode:
		return c.months(n)
	case *noneNode:
		return Operand{Slot: c.none(n.why), Type: Type{Dimension: anyDimension}}
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

func (c *Compiler) none(why string) int {
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
		if !x.Type.Truth {
			c.fail(source.WrongType, n.x.where(), "not needs a yes or no, such as a > b; this is %s", c.Describe(x.Type))
			return Operand{}
		}
		return c.each(opNot, x.Type, quantity.Unit{}, n.span, x)
	}
	if !c.number(x, n.x) {
		return Operand{}
	}
	return c.each(opNeg, x.Type, x.Unit, n.span, x)
}

// number reports an operand that is a text or a truth where a number must be.
func (c *Compiler) number(x Operand, at node) bool {
	switch {
	case x.text:
		c.fail(source.WrongType, at.where(), "a text can't be reckoned with; expected a number")
	case x.Type.Truth:
		c.fail(source.WrongType, at.where(), "this is yes or no; expected a number").With("to choose between two values, write if(condition, a, b)")
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
		for i, o := range []Operand{x, y} {
			if !o.Type.Truth {
				c.fail(source.WrongType, []node{n.x, n.y}[i].where(), "%s joins two yes-or-no parts; this is %s", op, c.Describe(o.Type))
				return Operand{}
			}
		}
		code := opAnd
		if op == "or" {
			code = opOr
		}
		return c.each(code, Type{Truth: true, Len: max(x.Type.Len, y.Type.Len)}, quantity.Unit{}, n.op.span, x, y)
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
	t := Type{Dimension: dim, Len: months}
	switch op {
	case "+":
		return c.each(opAdd, t, sumUnit(x, y, false), n.op.span, x, y)
	case "-":
		return c.each(opSub, t, sumUnit(x, y, true), n.op.span, x, y)
	}
	code := map[string]opcode{"<": opLess, "<=": opAtMost, ">": opLess, ">=": opAtMost, "is": opEqual, "is not": opUnequal}[op]
	if op == ">" || op == ">=" {
		x, y = y, x
	}
	return c.each(code, Type{Truth: true, Len: months}, quantity.Unit{}, n.op.span, x, y)
}

// sumUnit is the unit that a sum or difference is shown in: that of its first
// part, but a date if one part is a date, and days between two dates.
func sumUnit(x, y Operand, minus bool) quantity.Unit {
	switch {
	case x.Type.Dimension == anyDimension:
		return y.Unit
	case x.Unit.IsDate() && y.Unit.IsDate() && minus:
		return quantity.Days
	case y.Unit.IsDate():
		return y.Unit
	case x.Unit.Offset != 0 && minus && y.Unit.Offset != 0:
		return quantity.Kelvin
	case len(x.Unit.Parts) == 0 && len(y.Unit.Parts) > 0:
		return y.Unit
	}
	return x.Unit
}

func (c *Compiler) sameLength(at source.Span, operands ...Operand) bool {
	months := 0
	for _, o := range operands {
		if o.Type.Len > 0 && months > 0 && o.Type.Len != months {
			c.fail(source.WrongType, at, "one side has %d months and the other %d", months, o.Type.Len).
				With("each_year(...) repeats twelve months over the plan's %d years", c.years)
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
	left, right := c.describe(dx), c.describe(dy)
	what, ok := verbs[n.op.text]
	if ok {
		what = fmt.Sprintf(what, right, left)
	} else {
		what = fmt.Sprintf("compare %s with %s", left, right)
	}
	c.fail(source.WrongUnit, n.where(), "can't %s: %s is %s, but %s is %s", what, brief(n.x), left, brief(n.y), right)
	return quantity.Number, false
}

// brief quotes a part of a formula in an error.
func brief(n node) string {
	text := strings.Join(strings.Fields(n.where().Text()), " ")
	if r := []rune(text); len(r) > 40 {
		text = string(r[:37]) + "..."
	}
	return text
}

func (c *Compiler) product(n *binaryNode, x, y Operand, months int) Operand {
	if x.Type.Dimension == anyDimension || y.Type.Dimension == anyDimension {
		c.fail(source.WrongType, n.where(), "none stands for a whole answer; it can't be multiplied or divided")
		return Operand{}
	}
	if n.op.text == "*" {
		return c.each(opMul, Type{Dimension: x.Type.Dimension.Mul(y.Type.Dimension), Len: months}, x.Unit.Times(y.Unit), n.op.span, x, y)
	}
	return c.each(opDiv, Type{Dimension: x.Type.Dimension.Div(y.Type.Dimension), Len: months}, x.Unit.Per(y.Unit), n.op.span, x, y)
}

func (c *Compiler) power(n *binaryNode, x, y Operand, months int) Operand {
	if y.Type.Dimension != quantity.Number {
		c.fail(source.WrongUnit, n.y.where(), "an exponent is a plain number; this is %s", c.Describe(y.Type))
		return Operand{}
	}
	t, unit := Type{Dimension: x.Type.Dimension, Len: months}, x.Unit
	if x.Type.Dimension != quantity.Number {
		exp, known := c.known[y.Slot]
		if !known || y.series() || exp != math.Trunc(exp) || math.Abs(exp) > 9 {
			c.fail(source.WrongUnit, n.y.where(), "%s can be raised only to a whole power written as a number", c.describe(x.Type.Dimension))
			return Operand{}
		}
		t.Dimension, unit = t.Dimension.Pow(int(exp)), x.Unit.Pow(int(exp))
	} else {
		unit = quantity.Unit{Factor: 1}
	}
	return c.each(opPow, t, unit, n.op.span, x, y)
}

// each emits one instruction for a single value, or one a month for series;
// single values stand beside series by repeating. An instruction on constants
// is carried out at once.
func (c *Compiler) each(op opcode, t Type, unit quantity.Unit, at source.Span, args ...Operand) Operand {
	if t.Len == 0 {
		values := make([]float64, len(args))
		fixed := true
		for i, a := range args {
			v, ok := c.known[a.Slot]
			values[i], fixed = v, fixed && ok
		}
		if fixed {
			frame := append(values, 0)
			in := instruction{op: op, dst: int32(len(args))}
			in.a, in.b, in.c = 0, int32(min(1, len(args)-1)), int32(min(2, len(args)-1))
			run([]instruction{in}, nil, frame)
			if v := frame[len(args)]; !math.IsNaN(v) && !math.IsInf(v, 0) {
				return Operand{Slot: c.constant(v), Type: t, Unit: unit}
			}
		}
	}
	x := Operand{Slot: c.reserve(max(1, t.Len)), Type: t, Unit: unit}
	var slots [3]int
	for m := range max(1, t.Len) {
		for i, a := range args {
			slots[i] = a.Slot
			if a.series() {
				slots[i] += m
			}
		}
		c.emit(op, x.Slot+m, slots[0], slots[1], slots[2], at)
	}
	return x
}

func (c *Compiler) emit(op opcode, dst, a, b, third int, at source.Span) {
	c.program.code = append(c.program.code, instruction{op: op, dst: int32(dst), a: int32(a), b: int32(b), c: int32(third)})
	c.program.spans = append(c.program.spans, at)
}
