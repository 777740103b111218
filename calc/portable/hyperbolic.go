package portable

import "math"

// Sinh returns the hyperbolic sine of x.
func Sinh(x float64) float64 {
	a := math.Abs(x)
	switch {
	case x == 0 || math.IsNaN(x):
		return x
	case a > 700:
		half := Exp(a / 2)
		return math.Copysign(float64(half/2)*half, x)
	}
	m := Expm1(a)
	if a < 1 {
		return math.Copysign(m-float64(m*m)/(2*(m+1)), x)
	}
	return math.Copysign((m+m/(m+1))/2, x)
}

// Cosh returns the hyperbolic cosine of x.
func Cosh(x float64) float64 {
	a := math.Abs(x)
	if a > 700 {
		half := Exp(a / 2)
		return float64(half/2) * half
	}
	e := Exp(a)
	return (e + 1/e) / 2
}

// Asinh returns the number whose hyperbolic sine is x.
func Asinh(x float64) float64 {
	a := math.Abs(x)
	if a > 0x1p28 {
		return math.Copysign(Log(a)+math.Ln2, x)
	}
	square := float64(a * a)
	return math.Copysign(Log1p(a+square/(1+math.Sqrt(square+1))), x)
}

// Atanh returns the number whose hyperbolic tangent is x.
func Atanh(x float64) float64 {
	a := math.Abs(x)
	if x == 0 {
		return x
	}
	return math.Copysign(float64(0.5*Log1p(2*a/(1-a))), x)
}
