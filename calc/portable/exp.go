package portable

import "math"

// The logarithm of two: its first 32 bits, so that a whole number of them is
// exact, and the rest.
const (
	ln2High = 6.93147180369123816490e-01
	ln2Low  = 1.90821492927058770002e-10
)

// The coefficients of r (e^r + 1) / (e^r - 1) = 2 + P(r^2), less its 2.
var expRest = []float64{4.13813679705723846039e-08, -1.65339022054652515390e-06, 6.61375632143793436117e-05, -2.77777777770155933842e-03, 1.66666666666666019037e-01}

// Exp returns e to the power of x.
func Exp(x float64) float64 { return expOf(pair{x, 0}) }

// expOf is the exponential of a pair.
func expOf(x pair) float64 {
	switch {
	case math.IsNaN(x.high):
		return x.high
	case x.high > 709.782712893384:
		return math.Inf(1)
	case x.high < -745.1332191019412:
		return 0
	}
	k, high, low, bend := expParts(x)
	s := sum(1, high)
	return math.Ldexp(s.high+(bend-low+s.low), k)
}

// expParts parts x into k times the logarithm of two and a rest of high - low, no
// larger than half of it. The exponential of the rest is 1 + high - low + bend.
func expParts(x pair) (k int, high, low, bend float64) {
	n := math.Floor(float64(x.high*math.Log2E) + 0.5)
	high = x.high - float64(n*ln2High)
	low = float64(n*ln2Low) - x.low
	r := high - low
	square := float64(r * r)
	c := r - float64(square*horner(square, expRest))
	return int(n), high, low, float64(r*c) / (2 - c)
}

// Expm1 returns e to the power of x, less 1, which keeps its digits where x is
// small.
func Expm1(x float64) float64 {
	switch {
	case math.IsNaN(x) || x == 0 || math.Abs(x) < 0x1p-54:
		return x
	case x > 709.782712893384:
		return math.Inf(1)
	case x < -40:
		return -1
	}
	k, high, low, bend := expParts(pair{x, 0})
	if k > 60 {
		return Exp(x)
	}
	// (e^r - 1) + (1 - 1/2^k), doubled k times
	s := sum(1-math.Ldexp(1, -k), high)
	return math.Ldexp(s.high+(bend-low+s.low), k)
}
