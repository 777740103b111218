package formula

import (
	"slices"

	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

// callFunction compiles a call of one of the trade's functions. One that takes
// and gives single values works month by month on series.
func (c *Compiler) callFunction(fn *Function, n *callNode, args []Operand) Operand {
	params, ok := c.params(fn, n, args)
	if !ok {
		return Operand{}
	}
	byMonth := !slices.ContainsFunc(append(params, fn.Result), func(p Param) bool { return p.Months || p.Many })
	for i := range params {
		if !c.fits(fn, params, i, n.args[i], args, byMonth) {
			return Operand{}
		}
	}
	x := Operand{Type: Type{Dimension: fn.Result.Dimension, Kind: fn.Result.Kind}, Unit: fn.resultUnit()}
	if like := fn.Result.Like; like > 0 {
		x.Type.Dimension, x.Unit = args[like-1].Type.Dimension, args[like-1].Unit
	}
	if over := fn.Result.Over; over > 0 {
		x.Type.Dimension = x.Type.Dimension.Div(args[over-1].Type.Dimension)
		x.Unit = x.Unit.Per(unshared(args[over-1].Unit))
	}
	months := 1
	switch {
	case fn.Result.Months:
		x.Type.Len = 12
	case byMonth:
		if !c.sameLength(n.span, args...) {
			return Operand{}
		}
		for _, a := range args {
			x.Type.Len = max(x.Type.Len, a.Type.Len)
		}
		months = max(1, x.Type.Len)
	}
	index := c.callee(fn)
	x.Slot = c.reserve(months * fn.resultSlots())
	for m := range months {
		base, slots := c.layArguments(params, n, args, m)
		c.program.widest = max(c.program.widest, slots+fn.resultSlots())
		c.emit(opCall, x.Slot+m, base, index, slots, n.where())
	}
	return x
}

// resultUnit is the unit that a result of a fixed dimension is shown in.
func (f *Function) resultUnit() quantity.Unit {
	if f.Result.Unit == "" {
		return quantity.Unit{Factor: 1}
	}
	return f.Result.unit()
}

// params returns the parameter that each argument is for: the last one takes
// all that are left if it takes many.
func (c *Compiler) params(fn *Function, n *callNode, args []Operand) ([]Param, bool) {
	params := slices.Clone(fn.Params)
	if last := len(params) - 1; last >= 0 && params[last].Many {
		more := params[last]
		if more.Any { // all of the kind of the first
			more.Any, more.Like = false, last+1
		}
		for len(params) < len(args) {
			params = append(params, more)
		}
	}
	if len(args) != len(params) {
		c.count(n, fn.Usage())
		return nil, false
	}
	return params, true
}

// callee returns the number of a function in the program.
func (c *Compiler) callee(fn *Function) int {
	index := slices.IndexFunc(c.program.calls, func(l *limited) bool { return l.Function == fn })
	if index < 0 {
		index = len(c.program.calls)
		c.program.calls = append(c.program.calls, limitsOf(fn))
	}
	return index
}

// fits reports an argument that is not what the function's parameter asks for.
func (c *Compiler) fits(fn *Function, params []Param, i int, at node, args []Operand, byMonth bool) bool {
	p, a := params[i], args[i]
	want, unit := p.Dimension, quantity.Unit{}
	if p.Like > 0 {
		want, unit = args[p.Like-1].Type.Dimension, args[p.Like-1].Unit
	}
	switch {
	case !c.number(a, at):
	case !p.Any && a.Type.Dimension != want && a.Type.Dimension != anyDimension:
		c.fail(source.WrongUnit, at.where(), "%s needs %s for %s; this is %s", fn.Usage(), c.measure(want, unit), p.Name, c.what(a))
	case p.Many && a.series() && len(args) > len(fn.Params):
		c.fail(source.WrongType, at.where(), "%s takes single values for %s, or one series; this is a series among others", fn.Usage(), p.Name)
	case a.series() && !p.Months && !p.Many && !byMonth:
		c.fail(source.WrongType, at.where(), "%s needs a single value for %s; this is a monthly series", fn.Usage(), p.Name)
	case a.series() && p.Months && a.Type.Len != 12:
		c.fail(source.WrongType, at.where(), "%s needs twelve months for %s; this has %d", fn.Usage(), p.Name, a.Type.Len)
	default:
		return true
	}
	return false
}

// layArguments copies what a call is worked from end to end: of series, the one
// month where the function works by month, else all; a single value twelve times
// where twelve months are wanted.
func (c *Compiler) layArguments(params []Param, n *callNode, args []Operand, month int) (base, slots int) {
	length := func(i int) int {
		if params[i].Many {
			return max(1, args[i].Type.Len)
		}
		return params[i].slots()
	}
	for i := range params {
		slots += length(i)
	}
	base = c.reserve(slots)
	at := base
	for i := range params {
		for m := range length(i) {
			from := args[i].Slot
			switch {
			case args[i].series() && (params[i].Months || params[i].Many):
				from += m
			case args[i].series():
				from += month
			}
			c.emit(opCopy, at, from, 0, 0, n.args[i].where())
			at++
		}
	}
	return base, slots
}
