// Package portable is mathematics that gives the same bits on every processor.
//
// The math package works out exponentials and logarithms in assembly on some
// processors, and on others the compiler makes one step of a product and the sum
// it goes into, rounding once where there were two roundings. Either moves the
// last digit of a figure, and with it, now and then, a digit that is printed. So
// everything here is sums, products, quotients and square roots of float64, which
// IEEE 754 settles to the bit; and each product that is added to something is
// converted with float64(...), which the Go specification says is rounded there
// ("Floating-point operators": an explicit conversion rounds).
//
// math.Sqrt, Floor, Ceil, Trunc, Round, Abs, Mod, Frexp, Ldexp, Pow10 and the like
// are exact, or have one right answer, and stay in use.
//
// Elementary functions are within one unit in the last place of the true value,
// Erfc and the hyperbolic ones within two. Where nothing else is said they follow the algorithms and the coefficients of
// fdlibm (K. C. Ng, SunPro, 1993), written anew; special values are those of the
// math package.
package portable

// horner returns the polynomial with these coefficients, the highest power first.
func horner(x float64, coefficients []float64) float64 {
	sum := coefficients[0]
	for _, c := range coefficients[1:] {
		sum = float64(sum*x) + c
	}
	return sum
}

// A pair is an unevaluated sum whose second part is what rounding took from the
// first: about 32 digits.
type pair struct{ high, low float64 }

// sum returns a + b exactly. Source: Knuth, The Art of Computer Programming,
// volume 2, 4.2.2, theorem B.
func sum(a, b float64) pair {
	s := a + b
	t := s - a
	return pair{s, (a - (s - t)) + (b - t)}
}

// product returns a * b exactly where it neither overflows nor comes near the
// smallest numbers. Source: Dekker, "A floating-point technique for extending the
// available precision", Numerische Mathematik 18 (1971).
func product(a, b float64) pair {
	p := float64(a * b)
	x, y := halves(a), halves(b)
	low := float64(x.high*y.high) - p
	low += float64(x.high * y.low)
	low += float64(x.low * y.high)
	return pair{p, low + float64(x.low*y.low)}
}

// halves parts a into two numbers of 26 bits.
func halves(a float64) pair {
	c := float64(a * (1<<27 + 1))
	high := c - (c - a)
	return pair{high, a - high}
}

func (p pair) plus(q pair) pair {
	s := sum(p.high, q.high)
	return sum(s.high, s.low+(p.low+q.low))
}

func (p pair) times(q pair) pair {
	r := product(p.high, q.high)
	return sum(r.high, r.low+(float64(p.high*q.low)+float64(p.low*q.high)))
}

func (p pair) over(q pair) pair {
	n := p.high / q.high
	r := product(n, q.high)
	rest := ((p.high - r.high) - r.low) + (p.low - float64(n*q.low))
	return sum(n, rest/q.high)
}
