package portable

import "math"

// The coefficients of Stirling's series in 1/x^2: DLMF 5.11.1.
var stirling = []float64{1. / 156, -691. / 360360, 1. / 1188, -1. / 1680, 1. / 1260, -1. / 360, 1. / 12}

// LogGamma returns the logarithm of the gamma function of an x above nought, off
// by no more than 1e-14 of itself or of 1. Source: DLMF 5.11.1, from where its
// series is good to 17 digits, and 5.5.1 to get there.
func LogGamma(x float64) float64 {
	const enough = 12
	steps := 1.0
	for ; x < enough; x++ {
		steps = float64(steps * x)
	}
	series := horner(1/float64(x*x), stirling) / x
	return float64((x-0.5)*Log(x)) - x + 0.91893853320467274178 + series - Log(steps)
}

// LogBeta returns the logarithm of the beta function of a and b, both above nought.
// Source: DLMF 5.12.1.
func LogBeta(a, b float64) float64 { return LogGamma(a) + LogGamma(b) - LogGamma(a+b) }

// Beta returns the chance that a beta variable with exponents a and b, from 1 to a
// hundred or so, is below x; logBeta is LogBeta(a, b), which is worked out once.
// Source: DLMF 8.17.22, a continued fraction, and 8.17.4 for the other side.
func Beta(a, b, logBeta, x float64) float64 {
	switch {
	case !(x >= 0 && x <= 1):
		return math.NaN()
	case x == 0 || x == 1:
		return x
	case x > (a+1)/(a+b+2):
		return 1 - Beta(b, a, logBeta, 1-x)
	}
	front := Exp(float64(a*Log(x))+float64(b*Log1p(-x))-logBeta) / a
	return front / betaFraction(a, b, x)
}

// betaFraction works 1 + d1/(1 + d2/(1 + ...)) out from its front. Source:
// I. J. Thompson and A. R. Barnett, "Coulomb and Bessel functions of complex
// arguments and order", Journal of Computational Physics 64 (1986), who name the
// rule after Lentz.
func betaFraction(a, b, x float64) float64 {
	answer, over, under := 1.0, 1.0, 0.0
	for n := 1; n < 400; n++ {
		k := float64(n)
		m := math.Floor(k / 2)
		part := float64(m * (b - m))
		if n%2 == 1 {
			part = -float64((a + m) * (a + b + m))
		}
		part = float64(part*x) / float64((a+k-1)*(a+k))
		over, under = 1+part/over, 1/(1+float64(part*under))
		step := float64(over * under)
		answer = float64(answer * step)
		if math.Abs(step-1) < 0x1p-52 {
			break
		}
	}
	return answer
}
