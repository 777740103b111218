package formula

import (
	"math"

	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

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

// mostInstructions bounds what one formula is compiled to: several hundred
// operations on a series over fifty years.
const mostInstructions = 500_000

// copied puts a result into slots of its own. If it shared them with a constant
// or another figure, setting one would change the other.
func (c *Compiler) copied(x Operand, at source.Span) Operand {
	from := x.Slot
	x.Slot = c.reserve(max(1, x.Type.Len))
	for m := range max(1, x.Type.Len) {
		c.emit(opCopy, x.Slot+m, from+m, 0, 0, at)
	}
	return x
}

// each emits one instruction for a single value, or one a month for series;
// single values stand beside series by repeating. An instruction on constants
// is carried out at once.
func (c *Compiler) each(op opcode, t Type, unit quantity.Unit, at source.Span, args ...Operand) Operand {
	if t.Len == 0 {
		if v, ok := c.fold(op, args); ok {
			return Operand{Slot: c.constant(v), Type: t, Unit: unit}
		}
	}
	x := Operand{Slot: c.reserve(max(1, t.Len)), Type: t, Unit: unit}
	for m := range max(1, t.Len) {
		var slots [3]int
		for i, a := range args {
			slots[i] = a.Slot
			if a.series() {
				slots[i] += m
			}
		}
		if len(args) == 1 {
			slots[1] = slots[0]
		}
		c.emit(op, x.Slot+m, slots[0], slots[1], slots[2], at)
	}
	return x
}

// fold works out an instruction on constants. One without a result is left to
// fail when it is run, with its place.
func (c *Compiler) fold(op opcode, args []Operand) (float64, bool) {
	var frame [4]float64
	for i, a := range args {
		v, known := c.known[a.Slot]
		if !known {
			return 0, false
		}
		frame[i] = v
	}
	in := instruction{op: op, a: 0, b: int32(min(1, len(args)-1)), c: 2, dst: 3}
	run([]instruction{in}, nil, frame[:])
	return frame[3], finite(frame[3])
}

func (c *Compiler) emit(op opcode, dst, a, b, third int, at source.Span) {
	c.program.code = append(c.program.code, instruction{op: op, dst: int32(dst), a: int32(a), b: int32(b), c: int32(third)})
	c.program.spans = append(c.program.spans, at)
}
