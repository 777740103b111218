package formula

import (
	"math"

	"rickyard/calc/source"
)

type opcode uint8

const (
	opCopy opcode = iota
	opAdd
	opSub
	opMul
	opDiv
	opPow
	opNeg
	opAbs
	opSqrt
	opCeil
	opFloor
	opRound // a to a multiple of b
	opMin
	opMax
	opLess
	opAtMost
	opEqual
	opUnequal
	opAnd
	opOr
	opNot
	opSelect // b where a holds, else c
	opPick   // of the c slots from a, the one that b counts (from 0)
	opExp
	opLog
	opCall // function b on the c slots from a
)

// An instruction works on slots of a frame. It holds no pointers, and running
// it allocates nothing.
type instruction struct {
	op           opcode
	dst, a, b, c int32
}

type constant struct {
	slot  int
	value float64
}

// A Program is a list of instructions over a frame of float64 slots: inputs,
// constants and results alike. It is not changed by running, so several
// goroutines may run it, each with a frame of its own.
type Program struct {
	code      []instruction
	spans     []source.Span // where each instruction stems from
	constants []constant
	reasons   []string // of none
	calls     []*Function
	size      int
}

// Len returns how many instructions there are; Run takes ranges of them.
func (p *Program) Len() int { return len(p.code) }

// NewFrame returns a frame with the constants in place and all inputs zero.
func (p *Program) NewFrame() []float64 {
	frame := make([]float64, p.size)
	for _, c := range p.constants {
		frame[c.slot] = c.value
	}
	return frame
}

// Run carries out the instructions from up to but not including to.
func (p *Program) Run(frame []float64, from, to int) { run(p.code[from:to], p.calls, frame) }

// closeness is the relative difference below which two numbers count as equal
// in comparisons, ceil and floor. Shares of 60 %, 25 % and 15 % must be 100 %,
// and 300 birds at 75 to a pen must not need a fifth pen, though float64 can't
// hold such numbers exactly.
const closeness = 1e-9

func near(a, b float64) bool {
	return a == b || math.Abs(a-b) <= closeness*math.Max(math.Abs(a), math.Abs(b))
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func ceil(x float64) float64 {
	if r := math.Round(x); near(x, r) {
		return r
	}
	return math.Ceil(x)
}

func floor(x float64) float64 {
	if r := math.Round(x); near(x, r) {
		return r
	}
	return math.Floor(x)
}

func roundTo(x, step float64) float64 { return math.Round(x/step) * step }

func run(code []instruction, calls []*Function, f []float64) {
	for i := range code {
		in := &code[i]
		a := f[in.a]
		switch in.op {
		case opAdd:
			f[in.dst] = a + f[in.b]
		case opMul:
			f[in.dst] = a * f[in.b]
		case opSub:
			f[in.dst] = a - f[in.b]
		case opDiv:
			f[in.dst] = a / f[in.b]
		case opCopy:
			f[in.dst] = a
		case opCall:
			fn := calls[in.b]
			fn.Eval(f[in.a:in.a+in.c], f[in.dst:int(in.dst)+fn.resultSlots()])
		case opPick:
			f[in.dst] = pick(f[in.a:in.a+in.c], f[in.b])
		case opSelect:
			if a != 0 {
				f[in.dst] = f[in.b]
			} else {
				f[in.dst] = f[in.c]
			}
		default:
			f[in.dst] = lesser(in.op, a, f[in.b])
		}
	}
}

// lesser carries out the operations that are rarer or dearer.
func lesser(op opcode, a, b float64) float64 {
	switch op {
	case opPow:
		switch b {
		case 2:
			return a * a
		case 3:
			return a * a * a
		}
		return math.Pow(a, b)
	case opNeg:
		return -a
	case opAbs:
		return math.Abs(a)
	case opSqrt:
		return math.Sqrt(a)
	case opCeil:
		return ceil(a)
	case opFloor:
		return floor(a)
	case opRound:
		return roundTo(a, b)
	case opMin:
		return math.Min(a, b)
	case opMax:
		return math.Max(a, b)
	case opLess:
		return truth(a < b && !near(a, b))
	case opAtMost:
		return truth(a <= b || near(a, b))
	case opEqual:
		return truth(near(a, b))
	case opUnequal:
		return truth(!near(a, b))
	case opAnd:
		return a * b
	case opOr:
		return math.Max(a, b)
	case opNot:
		return 1 - a
	case opExp:
		return math.Exp(a)
	case opLog:
		return math.Log(a)
	}
	panic("formula: unknown instruction")
}

func pick(from []float64, index float64) float64 {
	i := int(math.Round(index))
	if !(index >= -0.5) || i >= len(from) {
		return math.NaN()
	}
	return from[i]
}

// noneBits marks the NaN that stands for "no answer"; the low bits number the
// reason. Arithmetic may lose them, so a figure worked from such a value is
// known by its inputs.
const noneBits = 0x7ff8_52_59_0000_0000

func noneValue(reason int) float64 { return math.Float64frombits(noneBits | uint64(reason+1)) }

// None returns the reason if x is the answer none, and whether it is.
func (p *Program) None(x float64) (reason string, ok bool) {
	bits := math.Float64bits(x)
	if bits&^0xffff_ffff != noneBits {
		return "", false
	}
	i := int(bits&0xffff_ffff) - 1
	if i < 0 || i >= len(p.reasons) {
		return "", false
	}
	return p.reasons[i], true
}

// Fault finds the first instruction in a range that made a value which is not
// finite out of finite ones, in a frame where the range has been run: a
// division by zero, an overflow. It returns its place and what went wrong.
func (p *Program) Fault(frame []float64, from, to int) (at source.Span, what string, found bool) {
	finite := func(slot int32) bool { return !math.IsNaN(frame[slot]) && !math.IsInf(frame[slot], 0) }
	for i := from; i < to; i++ {
		in := p.code[i]
		if finite(in.dst) {
			continue
		}
		switch in.op {
		case opCall:
			fn := p.calls[in.b]
			all := true
			for s := range in.c {
				all = all && finite(in.a+s)
			}
			if all {
				return p.spans[i], fn.Name + " has no answer for these values; it needs " + fn.Usage(), true
			}
		case opSelect:
			if finite(in.a) && finite(in.b) && finite(in.c) {
				return p.spans[i], "no value", true
			}
		case opPick:
			return p.spans[i], "there is no such month or place in the series", true
		case opDiv:
			if finite(in.a) && frame[in.b] == 0 {
				return p.spans[i], "division by zero", true
			}
			fallthrough
		default:
			if finite(in.a) && finite(in.b) {
				if math.IsInf(frame[in.dst], 0) {
					return p.spans[i], "the result is too large a number", true
				}
				return p.spans[i], "there is no such number, as the root of a negative number or 0/0", true
			}
		}
	}
	return source.Span{}, "", false
}
