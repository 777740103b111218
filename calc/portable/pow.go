package portable

import "math"

// Pow returns x to the power of y. Its logarithm and the product are worked out
// to 20 digits, since an error of theirs is multiplied by up to 700.
func Pow(x, y float64) float64 {
	switch {
	case y == 0 || x == 1:
		return 1
	case y == 1:
		return x
	case y == 2:
		return x * x
	case math.IsNaN(x) || math.IsNaN(y), x == 0, math.IsInf(x, 0), math.IsInf(y, 0):
		return math.Pow(x, y) // an exact answer of IEEE 754, from no arithmetic
	case x < 0 && y != math.Floor(y):
		return math.NaN()
	}
	log := logPair(math.Abs(x))
	var answer float64
	switch size := y * log.high; {
	case size == 0:
		answer = 1
	case size > 710:
		answer = math.Inf(1)
	case size < -746:
		answer = 0
	default:
		answer = expOf(product(y, log.high).plus(pair{float64(y * log.low), 0}))
	}
	if x < 0 && math.Mod(y, 2) != 0 {
		return -answer
	}
	return answer
}

// Hypot returns the length of the long side over two at a right angle.
func Hypot(p, q float64) float64 {
	p, q = math.Abs(p), math.Abs(q)
	switch {
	case math.IsInf(p, 1) || math.IsInf(q, 1):
		return math.Inf(1)
	case math.IsNaN(p) || math.IsNaN(q):
		return math.NaN()
	}
	if p < q {
		p, q = q, p
	}
	if p == 0 {
		return 0
	}
	_, k := math.Frexp(p)
	p, q = math.Ldexp(p, -k), math.Ldexp(q, -k)
	squares := product(p, p).plus(product(q, q))
	return math.Ldexp(math.Sqrt(squares.high), k)
}
