package portable

import "math"

// The coefficients of (log(1+f) - f) / s + ... in s^2, where s = f / (2 + f).
var logRest = []float64{1.479819860511658591e-01, 1.531383769920937332e-01, 1.818357216161805012e-01, 2.222219843214978396e-01, 2.857142874366239149e-01, 3.999999999940941908e-01, 6.666666666666735130e-01, 0}

// Log returns the natural logarithm of x.
func Log(x float64) float64 {
	if answer, ok := logSpecial(x); ok {
		return answer
	}
	f, k := mantissa(x)
	return logOf(f-1, k, 0)
}

// Log1p returns the natural logarithm of 1 + x, which keeps its digits where x is
// small.
func Log1p(x float64) float64 {
	if x == 0 || math.Abs(x) < 0x1p-54 {
		return x
	}
	if answer, ok := logSpecial(1 + x); ok {
		return answer
	}
	u := sum(1, x)
	f, k := mantissa(u.high)
	if k == 0 {
		return logOf(x, 0, 0)
	}
	return logOf(f-1, k, u.low/u.high)
}

// logSpecial answers where there is no logarithm, or none that is finite.
func logSpecial(x float64) (float64, bool) {
	switch {
	case math.IsNaN(x) || x < 0:
		return math.NaN(), true
	case x == 0:
		return math.Inf(-1), true
	}
	return x, math.IsInf(x, 1)
}

// mantissa parts x into f times a power k of two, with f from the root of a half
// to that of two.
func mantissa(x float64) (f, k float64) {
	f, power := math.Frexp(x)
	if f < math.Sqrt2/2 {
		f *= 2
		power--
	}
	return f, float64(power)
}

// logOf returns log(1+f) + k log 2 + rest.
func logOf(f, k, rest float64) float64 {
	s := f / (2 + f)
	half := float64(float64(0.5*f) * f)
	bend := float64(s * (half + horner(float64(s*s), logRest)))
	if k == 0 {
		return f - (half - bend)
	}
	return float64(k*ln2High) - ((half - (bend + (float64(k*ln2Low) + rest))) - f)
}

// Log10 returns the logarithm of x to the base of ten; it is whole where x is a
// power of ten that a float64 holds.
func Log10(x float64) float64 {
	if answer, ok := logSpecial(x); ok {
		return answer
	}
	return logPair(x).times(pair{math.Log10E, 1.098319650216765e-17}).high
}

// logPair returns the natural logarithm of x to about 20 digits, from the series
// 2 s (1 + s^2/3 + s^4/5 + ...), whose first two terms are pairs.
func logPair(x float64) pair {
	f, k := mantissa(x)
	s := pair{f - 1, 0}.over(sum(f, 1))
	square := s.times(s)
	tail := float64(float64(square.high*square.high) * horner(square.high, logTail))
	bracket := pair{1, 0}.plus(square.times(pair{1. / 3, 1.850371707708594e-17})).plus(pair{tail, 0})
	series := s.times(bracket)
	whole := sum(float64(k*ln2High), float64(k*ln2Low))
	return whole.plus(pair{float64(2 * series.high), float64(2 * series.low)})
}

// The series from its third term on.
var logTail = []float64{1. / 25, 1. / 23, 1. / 21, 1. / 19, 1. / 17, 1. / 15, 1. / 13, 1. / 11, 1. / 9, 1. / 7, 1. / 5}
