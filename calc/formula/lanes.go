package formula

import "math"

// NewLanes returns a frame for n evaluations side by side: slot s of lane l
// stands at index s*n+l. Constants are in place in every lane. What lies behind
// the slots is room for the arguments of calls.
func (p *Program) NewLanes(n int) []float64 {
	frame := make([]float64, p.size*n+p.widest)
	for _, c := range p.constants {
		lane := frame[c.slot*n : (c.slot+1)*n]
		for i := range lane {
			lane[i] = c.value
		}
	}
	return frame
}

// RunLanes carries out instructions on n evaluations side by side, in a frame
// from NewLanes. Each lane comes out to the bit as Run would give it alone.
// Reading each instruction once for n values brings its cost down to that of
// the arithmetic.
func (p *Program) RunLanes(frame []float64, n, from, to int) {
	lane := func(slot int32) []float64 { return frame[int(slot)*n:][:n] }
	for i := range p.code[from:to] {
		in := &p.code[from+i]
		if in.op == opCall {
			p.callLanes(in, frame, n)
			continue
		}
		dst, a, b := lane(in.dst), lane(in.a), lane(in.b)
		switch in.op {
		case opAdd:
			for l := range dst {
				dst[l] = a[l] + b[l]
			}
		case opMul:
			for l := range dst {
				dst[l] = a[l] * b[l]
			}
		case opSub:
			for l := range dst {
				dst[l] = a[l] - b[l]
			}
		case opDiv:
			for l := range dst {
				dst[l] = divide(a[l], b[l])
			}
		case opCopy:
			copy(dst, a)
		case opSelect:
			c := lane(in.c)
			for l := range dst {
				dst[l] = choose(a[l], b[l], c[l])
			}
		case opPick:
			for l := range dst {
				if s, ok := picked(int(in.c), b[l]); ok {
					dst[l] = frame[(int(in.a)+s)*n+l]
				} else {
					dst[l] = math.NaN()
				}
			}
		default:
			for l := range dst {
				dst[l] = lesser(in.op, a[l], b[l])
			}
		}
	}
}

// callLanes calls a function lane by lane, with its arguments laid together
// behind the slots of the frame.
func (p *Program) callLanes(in *instruction, frame []float64, n int) {
	fn := p.calls[in.b]
	args := frame[p.size*n:][:in.c]
	out := frame[p.size*n+int(in.c):][:fn.resultSlots()]
	for l := range n {
		for s := range args {
			args[s] = frame[(int(in.a)+s)*n+l]
		}
		if fn.work(args, out) {
			for s, x := range args {
				frame[(int(in.a)+s)*n+l] = x
			}
		}
		for s := range out {
			frame[(int(in.dst)+s)*n+l] = out[s]
		}
	}
}
