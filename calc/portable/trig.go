package portable

import "math"

// The coefficients of (sin r - r) / r^3 and of (cos r - 1 + r^2/2) / r^4, in r^2.
var (
	sinRest = []float64{1.58969099521155010221e-10, -2.50507602534068634195e-08, 2.75573137070700676789e-06, -1.98412698298579493134e-04, 8.33333333332248946124e-03, -1.66666666666666324348e-01}
	cosRest = []float64{-1.13596475577881948265e-11, 2.08757232129817482790e-09, -2.75573143513906633035e-07, 2.48015872894767294178e-05, -1.38888888888741095749e-03, 4.16666666666666019037e-02}
)

// largestAngle is how far angles keep their accuracy, some 160,000 turns. The
// sines of larger ones are the same everywhere, but not right to the last digit.
const largestAngle = 0x1p20

// quarter takes quarter turns from x until no more than an eighth of a turn is
// left, and returns that and how many there were, from 0 to 3. The quarter comes
// in pieces of 33 bits, so that their products with the count are exact.
func quarter(x float64) (rest pair, turns int) {
	const (
		first  = 1.57079632673412561417e+00
		second = 6.07710050630396597660e-11
		third  = 2.02226624871116645580e-21
		fourth = 8.47842766036889956997e-32
	)
	if math.Abs(x) > largestAngle {
		x = math.Mod(x, 2*math.Pi)
	}
	n := math.Floor(float64(x*(2/math.Pi)) + 0.5)
	rest = sum(x-float64(n*first), -float64(n*second))
	rest = rest.plus(pair{-float64(n * third), -float64(n * fourth)})
	return rest, int(math.Mod(n, 4)+4) % 4
}

// sinOf and cosOf are for no more than an eighth of a turn.
func sinOf(r pair) pair {
	square := float64(r.high * r.high)
	bend := float64(float64(square*r.high) * horner(square, sinRest))
	return sum(r.high, bend+(r.low-float64(float64(0.5*square)*r.low)))
}

func cosOf(r pair) pair {
	square := product(r.high, r.high)
	bend := float64(float64(square.high*square.high) * horner(square.high, cosRest))
	s := sum(1, float64(-0.5*square.high))
	return sum(s.high, s.low+(bend-(float64(0.5*square.low)+float64(r.high*r.low))))
}

// sinCos returns both; ok is false where there are none.
func sinCos(x float64) (sin, cos pair, ok bool) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return pair{}, pair{}, false
	}
	rest, turns := quarter(x)
	sin, cos = sinOf(rest), cosOf(rest)
	if turns%2 == 1 {
		sin, cos = cos, pair{-sin.high, -sin.low}
	}
	if turns >= 2 {
		sin, cos = pair{-sin.high, -sin.low}, pair{-cos.high, -cos.low}
	}
	return sin, cos, true
}

// Sin returns the sine of an angle in radians. It is accurate to 160,000 turns.
func Sin(x float64) float64 {
	sin, _, ok := sinCos(x)
	if !ok {
		return math.NaN()
	}
	if x == 0 {
		return x
	}
	return sin.high
}

// Cos returns the cosine of an angle in radians. It is accurate to 160,000 turns.
func Cos(x float64) float64 {
	_, cos, ok := sinCos(x)
	if !ok {
		return math.NaN()
	}
	return cos.high
}

// Tan returns the tangent of an angle in radians. It is accurate to 160,000 turns.
func Tan(x float64) float64 {
	sin, cos, ok := sinCos(x)
	if !ok {
		return math.NaN()
	}
	if x == 0 {
		return x
	}
	return sin.over(cos).high
}
