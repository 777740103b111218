package formula

// NewLanes returns a frame for n evaluations side by side: slot s of lane l
// stands at index s*n+l. Constants are in place in every lane.
func (p *Program) NewLanes(n int) []float64 {
	frame := make([]float64, p.size*n)
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
	var args, out [64]float64
	for i := from; i < to; i++ {
		in := &p.code[i]
		dst := frame[int(in.dst)*n:][:n]
		a := frame[int(in.a)*n:][:n]
		b := frame[int(in.b)*n:][:n]
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
				dst[l] = a[l] / b[l]
			}
		case opCopy:
			copy(dst, a)
		case opSelect:
			c := frame[int(in.c)*n:][:n]
			for l := range dst {
				if a[l] != 0 {
					dst[l] = b[l]
				} else {
					dst[l] = c[l]
				}
			}
		case opPick:
			values := make([]float64, in.c)
			for l := range dst {
				for s := range values {
					values[s] = frame[(int(in.a)+s)*n+l]
				}
				dst[l] = pick(values, b[l])
			}
		case opCall:
			fn := p.calls[in.b]
			results := fn.resultSlots()
			in1, out1 := args[:], out[:]
			if int(in.c) > len(in1) {
				in1 = make([]float64, in.c)
			}
			if results > len(out1) {
				out1 = make([]float64, results)
			}
			for l := range n {
				for s := range int(in.c) {
					in1[s] = frame[(int(in.a)+s)*n+l]
				}
				fn.Eval(in1[:in.c], out1[:results])
				for s := range results {
					frame[(int(in.dst)+s)*n+l] = out1[s]
				}
			}
		default:
			for l := range dst {
				dst[l] = lesser(in.op, a[l], b[l])
			}
		}
	}
}
