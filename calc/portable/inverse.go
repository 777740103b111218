package portable

import "math"

// The coefficients of (atan x - x) / x^3 in x^2, and the arc tangents of 1/2, 1,
// 3/2 and of what has no end.
var (
	atanRest = []float64{1.62858201153657823623e-02, -3.65315727442169155270e-02, 4.97687799461593236017e-02, -5.83357013379057348645e-02, 6.66107313738753120669e-02, -7.69187620504482999495e-02, 9.09088713343650656196e-02, -1.11111104054623557880e-01, 1.42857142725034663711e-01, -1.99999999998764832476e-01, 3.33333333333329318027e-01}
	atanOf   = [4]pair{{4.63647609000806093515e-01, 2.26987774529616870924e-17}, {7.85398163397448278999e-01, 3.06161699786838301793e-17}, {9.82793723247329054082e-01, 1.39033110312309984516e-17}, {1.57079632679489655800e+00, 6.12323399573676603587e-17}}
)

// The coefficients of (asin x - x) / x, a quotient of polynomials in x^2.
var (
	asinOver  = []float64{3.47933107596021167570e-05, 7.91534994289814532176e-04, -4.00555345006794114027e-02, 2.01212532134862925881e-01, -3.25565818622400915405e-01, 1.66666666666666657415e-01, 0}
	asinUnder = []float64{7.70381505559019352791e-02, -6.88283971605453293030e-01, 2.02094576023350569471e+00, -2.40339491173441421878e+00, 1}
)

// Atan returns the angle, in radians from a quarter turn back to one on, whose
// tangent is x.
func Atan(x float64) float64 {
	switch {
	case math.IsNaN(x) || math.Abs(x) < 0x1p-27:
		return x
	case math.Abs(x) > 0x1p66:
		return math.Copysign(math.Pi/2, x)
	}
	return math.Copysign(atan(pair{math.Abs(x), 0}).high, x)
}

// atan returns the arc tangent of an a above nought: that of the nearest half, and
// of what remains.
func atan(a pair) pair {
	one := pair{1, 0}
	switch {
	case a.high < 7./16:
		return atanNear(pair{}, a)
	case a.high < 11./16:
		return atanNear(atanOf[0], pair{float64(2 * a.high), float64(2 * a.low)}.plus(pair{-1, 0}).over(a.plus(pair{2, 0})))
	case a.high < 19./16:
		return atanNear(atanOf[1], a.plus(pair{-1, 0}).over(a.plus(one)))
	case a.high < 39./16:
		return atanNear(atanOf[2], a.plus(pair{-1.5, 0}).over(a.times(pair{1.5, 0}).plus(one)))
	}
	return atanNear(atanOf[3], pair{-1, 0}.over(a))
}

func atanNear(base, t pair) pair {
	square := float64(t.high * t.high)
	bend := float64(t.high * float64(square*horner(square, atanRest)))
	s := sum(base.high, t.high)
	return sum(s.high, s.low+(base.low+t.low-bend))
}

// Atan2 returns the angle, in radians from half a turn back to half a turn on, to
// the point x across and y up.
func Atan2(y, x float64) float64 {
	if math.IsNaN(x) || math.IsNaN(y) || x == 0 || y == 0 || math.IsInf(x, 0) || math.IsInf(y, 0) {
		return math.Atan2(y, x) // a multiple of an eighth of a turn, from no arithmetic
	}
	slope := math.Abs(y / x)
	angle := pair{Atan(slope), 0}
	if 0x1p-200 < slope && slope < 0x1p66 && math.Abs(x) > 0x1p-400 && math.Abs(y) < 0x1p400 {
		angle = atan(pair{math.Abs(y), 0}.over(pair{math.Abs(x), 0}))
	}
	if x < 0 {
		angle = pair{float64(2 * atanOf[3].high), float64(2 * atanOf[3].low)}.plus(pair{-angle.high, -angle.low})
	}
	return math.Copysign(angle.high, y)
}

// asinBend returns (asin x - x) / x for no more than a half.
func asinBend(square float64) float64 {
	return horner(square, asinOver) / horner(square, asinUnder)
}

// Asin returns the angle whose sine is x.
func Asin(x float64) float64 {
	a := math.Abs(x)
	switch {
	case !(a <= 1):
		return math.NaN()
	case a < 0x1p-27:
		return x
	case a < 0.5:
		return x + float64(x*asinBend(float64(x*x)))
	}
	half := halfAngle(a)
	rest := sum(atanOf[3].high, float64(-2*half.high))
	return math.Copysign(rest.high+(rest.low+(atanOf[3].low-float64(2*half.low))), x)
}

// Acos returns the angle whose cosine is x.
func Acos(x float64) float64 {
	a := math.Abs(x)
	switch {
	case !(a <= 1):
		return math.NaN()
	case a < 0.5:
		s := sum(atanOf[3].high, -x)
		return s.high + (s.low + (atanOf[3].low - float64(x*asinBend(float64(x*x)))))
	}
	half := halfAngle(a)
	if x > 0 {
		return 2*half.high + 2*half.low
	}
	return 2 * (atanOf[3].high - (half.high - (atanOf[3].low - half.low)))
}

// halfAngle returns half of acos a, for a from a half to 1: the arc sine of the
// root of (1 - a) / 2.
func halfAngle(a float64) pair {
	square := float64((1 - a) / 2)
	if square == 0 {
		return pair{}
	}
	root := math.Sqrt(square)
	p := product(root, root)
	rest := ((square - p.high) - p.low) / float64(2*root)
	return sum(root, rest+float64(root*asinBend(square)))
}
