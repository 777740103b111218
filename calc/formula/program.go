package formula

import (
	"math"
	"slices"

	"rickyard/calc/portable"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
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
	opMonthsOnYear // the day of the year a moved by b, in whole months
	opMonthsOnDate // the date a moved so
	opYearOf       // the year of the date a
	opMonthOf      // the month of the date a, from 1
	opMonthOfDay   // the month of the day of the year a, from 1
	opSin          // of a, in radians
	opCos
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
	reasons   []reason // of none
	calls     []*limited
	divisors  map[int]node // what an instruction divides by, as it is written
	size      int
	widest    int // most slots that one call reads and writes
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
// in comparisons. Shares of 60 %, 25 % and 15 % must be 100 %, though float64
// can't hold such numbers exactly.
const closeness = 1e-9

func near(a, b float64) bool {
	return a == b || math.Abs(a-b) < closeness*max(math.Abs(a), math.Abs(b))
}

// whole returns the whole number that x stands for but for the noise of a few
// operations on float64, and whether there is one: 300 birds at 75 to a pen must
// not need a fifth pen, and 0.1 + 0.2 - 0.3 none at all.
func whole(x float64) (float64, bool) {
	r := math.Round(x)
	return r, math.Abs(x-r) < min(closeness*max(1, math.Abs(x)), 1e-4)
}

func ceil(x float64) float64 {
	if r, ok := whole(x); ok {
		return r
	}
	return math.Ceil(x)
}

func floor(x float64) float64 {
	if r, ok := whole(x); ok {
		return r
	}
	return math.Floor(x)
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// divide gives no number for a division by zero: an infinity could vanish
// again, as in 1/(1/0), and leave an answer that is wrong.
func divide(a, b float64) float64 {
	if b == 0 {
		return math.NaN()
	}
	return a / b
}

func choose(condition, a, b float64) float64 {
	switch condition {
	case 1:
		return a
	case 0:
		return b
	}
	return condition // no answer
}

// picked returns which of n slots the index counts, from 0; none if it lies
// between two.
func picked(n int, index float64) (int, bool) {
	i, ok := whole(index)
	return int(i), ok && i >= 0 && i < float64(n)
}

func run(code []instruction, calls []*limited, f []float64) {
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
			f[in.dst] = divide(a, f[in.b])
		case opCopy:
			f[in.dst] = a
		case opSelect:
			f[in.dst] = choose(a, f[in.b], f[in.c])
		case opPick:
			if n, ok := picked(int(in.c), f[in.b]); ok {
				f[in.dst] = f[int(in.a)+n]
			} else {
				f[in.dst] = math.NaN()
			}
		case opCall:
			fn := calls[in.b]
			fn.work(f[in.a:in.a+in.c], f[in.dst:int(in.dst)+fn.resultSlots()])
		default:
			f[in.dst] = lesser(in.op, a, f[in.b])
		}
	}
}

// lesser carries out the operations that are rarer or dearer. One that needs
// a single value is given it twice. What has no answer has none after any of
// them, comparisons included; only one no settles an and, and one yes an or.
func lesser(op opcode, a, b float64) float64 {
	switch {
	case op == opAnd && (a == 0 || b == 0):
		return 0
	case op == opOr && (a == 1 || b == 1):
		return 1
	case a != a:
		return a
	case b != b:
		return b
	}
	switch op {
	case opPow:
		return power(a, b)
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
		if b <= 0 {
			return math.NaN()
		}
		return quantity.Round(a, quantity.Unit{}, b)
	case opMin:
		return min(a, b)
	case opMax:
		return max(a, b)
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
		return max(a, b)
	case opNot:
		return 1 - a
	case opMonthsOnYear, opMonthsOnDate:
		return moveDate(op, a, b)
	case opYearOf, opMonthOf, opMonthOfDay:
		return partOfDate(op, quantity.Days.FromBase(a))
	case opSin:
		return portable.Sin(a)
	case opCos:
		return portable.Cos(a)
	case opExp:
		return portable.Exp(a)
	case opLog:
		return portable.Log(a)
	}
	panic("formula: unknown instruction")
}

// moveDate moves a date by a time that is a whole number of months; by no other
// can it be moved so.
func moveDate(op opcode, date, by float64) float64 {
	months, ok := whole(quantity.Months.FromBase(by))
	if !ok || math.Abs(months) > 1e6 {
		return math.NaN()
	}
	days := quantity.Days.FromBase(date)
	if op == opMonthsOnDate {
		return quantity.Days.ToBase(quantity.MoveMonths(days, int(months)))
	}
	return quantity.Days.ToBase(quantity.MoveMonthsInYear(days, int(months)))
}

func partOfDate(op opcode, days float64) float64 {
	if op == opMonthOfDay {
		month, _ := quantity.MonthDay(days)
		return float64(month + 1)
	}
	year, month, _, ok := quantity.Calendar(days)
	switch {
	case !ok:
		return math.NaN()
	case op == opYearOf:
		return float64(year)
	}
	return float64(month)
}

func power(a, b float64) float64 {
	switch {
	case b == 2:
		return a * a
	case b == 3:
		return a * a * a
	case a == 0 && b < 0:
		return math.NaN()
	}
	return portable.Pow(a, b)
}

// noneBits marks the NaN that stands for "no answer"; the low bits number the
// reason. Arithmetic may lose them, so the origin of such a value is found by
// Trace.
const noneBits = 0x7ff8_52_59_0000_0000

func noneValue(reason int) float64 { return math.Float64frombits(noneBits | uint64(reason+1)) }

// A reason is why there is no answer: as a formula gives it, or in the program's
// own words.
type reason struct {
	given string
	words say.Text
}

func (p *Program) none(x float64) (why reason, ok bool) {
	bits := math.Float64bits(x)
	if bits&^0xffff_ffff != noneBits {
		return reason{}, false
	}
	i := int(bits&0xffff_ffff) - 1
	if i < 0 || i >= len(p.reasons) {
		return reason{}, false
	}
	return p.reasons[i], true
}

// An Origin is where a value that is not a finite number comes from: a none in
// the formula, an instruction that has no result, or a slot that the formula
// only reads.
type Origin struct {
	None   bool        // the formula says none, or asks for what a series has not
	Reason string      // of none, as it is written
	Words  say.Text    // or the program's own
	Fault  say.Text    // why an instruction has no result, or ""
	At     source.Span // where that stands
	Slot   int         // otherwise: the slot read

	// Nought is set where the fault is a division by nought. Zero is then the
	// slot that is nought, if one makes the divisor so, else -1, and Divisor
	// names the figures that it is worked from.
	Nought  bool
	Zero    int
	Divisor []*Name
}

// Own reports whether the formula itself has no answer, and inherits none.
func (o Origin) Own() bool { return o.None || o.Fault != "" }

// Trace follows a slot's value back through the instructions of a range that
// has been run to where it stopped being a finite number. Parts of the formula
// that the value does not depend on, such as the branch of an if that was not
// taken, do not matter.
func (p *Program) Trace(frame []float64, slot, from, to int) Origin {
	for i := to - 1; i >= from; i-- {
		in := &p.code[i]
		if slot < int(in.dst) || slot >= int(in.dst)+p.results(in) {
			continue
		}
		read, ok := p.cause(frame, in)
		if !ok {
			return p.fault(frame, i, from)
		}
		slot = read
	}
	if why, ok := p.none(frame[slot]); ok {
		return Origin{None: true, Reason: why.given, Words: why.words}
	}
	return Origin{Slot: slot}
}

// zero follows a slot that is nought back to the one that makes it so: through
// products, quotients and copies to a slot that the range only reads. It
// returns -1 where no single one does.
func (p *Program) zero(frame []float64, slot, from, before int) int {
	for i := before - 1; i >= from; i-- {
		in := &p.code[i]
		if slot < int(in.dst) || slot >= int(in.dst)+p.results(in) {
			continue
		}
		switch in.op {
		case opCopy, opNeg, opAbs, opDiv, opSqrt:
			slot = int(in.a)
		case opMul:
			slot = int(in.a)
			if frame[slot] != 0 {
				slot = int(in.b)
			}
		default:
			return -1
		}
	}
	return slot
}

func (p *Program) results(in *instruction) int {
	if in.op == opCall {
		return p.calls[in.b].resultSlots()
	}
	return 1
}

// cause returns the slot that an instruction's result is not finite because
// of, if there is one.
func (p *Program) cause(frame []float64, in *instruction) (int, bool) {
	var reads []int32
	switch in.op {
	case opCopy:
		reads = []int32{in.a}
	case opSelect:
		reads = []int32{in.a, in.b}
		if frame[in.a] == 0 {
			reads[1] = in.c
		}
	case opPick:
		reads = []int32{in.b}
		if n, ok := picked(int(in.c), frame[in.b]); ok {
			reads = append(reads, in.a+int32(n))
		}
	case opCall:
		for s := range in.c {
			reads = append(reads, in.a+s)
		}
	default:
		reads = []int32{in.a, in.b}
	}
	i := slices.IndexFunc(reads, func(slot int32) bool { return !finite(frame[slot]) })
	if i < 0 {
		return 0, false
	}
	return int(reads[i]), true
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

func (p *Program) fault(frame []float64, at, from int) Origin {
	in := &p.code[at]
	o := Origin{At: p.spans[at], Zero: -1}
	divisor := -1
	switch a := frame[in.a]; {
	case in.op == opCall:
		o.Fault = p.calls[in.b].why(frame[in.a : in.a+in.c])
	case in.op == opPick:
		o.Fault = "the series has no such month"
		if month := frame[in.b] + 1; math.Abs(month) < 1e6 {
			o.Fault = say.With("the series has no month %s", say.Number(month, decimals(month)))
		}
	case in.op == opDiv && frame[in.b] == 0:
		divisor = int(in.b)
	case in.op == opPow && a == 0:
		divisor = int(in.a)
	case in.op == opPow && a < 0 && math.IsNaN(frame[in.dst]):
		o.Fault = "a number below nought has no broken power"
	case in.op == opYearOf, in.op == opMonthOf:
		o.Fault = "the date lies outside the years 1 to 9999"
	case in.op == opMonthsOnYear, in.op == opMonthsOnDate:
		o.Fault = "a date moves by whole months; a part of one is said in days"
	case in.op == opSqrt:
		o.Fault = "a number below nought has no square root"
	case in.op == opLog:
		o.Fault = "only a number above nought has a logarithm"
	case in.op == opRound:
		o.Fault = "the step to round to is not above nought"
	default:
		o.Fault = "the number becomes too large to reckon with"
	}
	if divisor >= 0 {
		o.Nought, o.Fault = true, "it is divided by nought"
		o.Zero = p.zero(frame, divisor, from, at)
		if n := p.divisors[at]; n != nil {
			o.Divisor = namesIn(n)
		}
	}
	return o
}
