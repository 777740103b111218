package risk

import (
	"math"

	"rickyard/calc/portable"
)

// A Shape is how an input is spread between its low and its high.
type Shape int

// The shapes.
const (
	// PERT is the beta distribution whose mean is (low + 4 value + high) / 6: a
	// beta on the range with exponents 1 + 4 (value - low) / (high - low) and
	// 1 + 4 (high - value) / (high - low).
	//
	// Source: D. G. Malcolm et al., "Application of a technique for research and
	// development program evaluation", Operations Research 7 (1959), for the
	// mean; the exponents follow from it where they add up to six. From memory.
	PERT Shape = iota
	// Triangular rises in a straight line from the low to the value and falls in
	// one to the high.
	Triangular
)

// A Spread is a distribution over a range.
type Spread struct {
	Low, Mode, High float64
	Shape           Shape

	knots *[knots]knot // PERT, on the range 0 to 1; nil where nothing varies
}

// A knot holds the quantile and its slope at one normal score.
type knot struct{ x, slope float64 }

// The quantile of a PERT distribution is read from a table of normal scores from
// -reachZ to reachZ, an eighth apart, with cubics between that have the right
// slopes. In normal scores it is smooth for every place of the mode, so that the
// table is never more than a millionth of the range off; the tests hold it to
// that. Less than one draw in 10^14 lies beyond the table's ends.
const (
	reachZ = 8
	perZ   = 4
	knots  = 2*reachZ*perZ + 1
)

// NewSpread returns the distribution between low and high that is highest at
// mode, which must lie between them.
func NewSpread(shape Shape, low, mode, high float64) *Spread {
	s := &Spread{Low: low, Mode: mode, High: high, Shape: shape}
	if shape == PERT && high > low {
		s.knots = pertKnots(s.exponents())
	}
	return s
}

// exponents are those of the beta distribution of a PERT.
func (s *Spread) exponents() (a, b float64) {
	return 1 + float64(4*(s.Mode-s.Low))/(s.High-s.Low), 1 + float64(4*(s.High-s.Mode))/(s.High-s.Low)
}

// pertKnots works the table out from the median towards either end, each half
// from its own end, where small chances are exact.
func pertKnots(a, b float64) *[knots]knot {
	var t [knots]knot
	const middle = reachZ * perZ
	ln := portable.LogBeta(a, b)
	median := tail(a, b, ln, a/(a+b), 0.5)
	half := func(a, b, x float64, put func(i int, x, slope float64)) {
		for i := range middle + 1 {
			z := float64(i) / perZ
			x = tail(a, b, ln, x, portable.Erfc(z/math.Sqrt2)/2)
			slope := portable.Exp(ln-float64(z*z/2)+float64((1-a)*portable.Log(x))+float64((1-b)*portable.Log1p(-x))) / math.Sqrt(2*math.Pi)
			if x < math.SmallestNonzeroFloat64 {
				slope = 0
			}
			put(i, x, slope)
		}
	}
	half(b, a, 1-median, func(i int, rest, slope float64) { t[middle+i] = knot{1 - rest, slope} })
	half(a, b, median, func(i int, x, slope float64) { t[middle-i] = knot{x, slope} })
	return &t
}

// tail returns the x below which a beta distribution lies with a chance of p, by
// Newton's method in logarithms from an x that is not much larger. There the
// distribution function is nearly a straight line.
func tail(a, b, lnBeta, x, p float64) float64 {
	for range 40 {
		chance := portable.Beta(a, b, lnBeta, x)
		rise := portable.Exp(float64(a*portable.Log(x))+float64((b-1)*portable.Log1p(-x))-lnBeta) / chance
		step := portable.Log(p/chance) / rise
		next := float64(x * portable.Exp(max(-2, min(2, step))))
		if next >= 1 {
			next = (1 + x) / 2
		}
		if math.Abs(next-x) <= 1e-13*x {
			return next
		}
		x = next
	}
	return x
}

// At returns the value that is exceeded as often as the normal score z is by a
// standard normal variable.
func (s *Spread) At(z float64) float64 {
	switch {
	case !(s.High > s.Low):
		return s.Mode
	case s.Shape == Triangular:
		return s.triangular(z)
	}
	t := float64((z + reachZ) * perZ)
	switch {
	case t <= 0:
		return s.Low + float64((s.High-s.Low)*s.knots[0].x)
	case t >= knots-1:
		return s.Low + float64((s.High-s.Low)*s.knots[knots-1].x)
	}
	i := int(t)
	u := t - float64(i)
	p, q := &s.knots[i], &s.knots[i+1]
	// Hermite's cubic; the slopes are by z, and one knot is 1/perZ of it.
	d := q.x - p.x
	m, n := float64(p.slope/perZ), float64(q.slope/perZ)
	bend := float64(3*d) - float64(2*m) - n + float64(u*(m+n-float64(2*d)))
	x := p.x + float64(u*(m+float64(u*bend)))
	return s.Low + float64((s.High-s.Low)*x)
}

// Quantile returns the value below which the distribution lies with a chance of
// p, from 0 to 1.
func (s *Spread) Quantile(p float64) float64 { return s.At(portable.NormalQuantile(p)) }

func (s *Spread) triangular(z float64) float64 {
	width := s.High - s.Low
	if z <= 0 {
		p := float64(portable.Erfc(-z/math.Sqrt2) / 2)
		if rise := s.Mode - s.Low; p*width <= rise {
			return s.Low + math.Sqrt(p*width*rise)
		}
		return s.High - math.Sqrt((1-p)*width*(s.High-s.Mode))
	}
	rest := float64(portable.Erfc(z/math.Sqrt2) / 2)
	if fall := s.High - s.Mode; rest*width <= fall {
		return s.High - math.Sqrt(rest*width*fall)
	}
	return s.Low + math.Sqrt((1-rest)*width*(s.Mode-s.Low))
}

// Mean returns the distribution's mean.
func (s *Spread) Mean() float64 {
	if s.Shape == Triangular {
		return (s.Low + s.Mode + s.High) / 3
	}
	return (s.Low + float64(4*s.Mode) + s.High) / 6
}

// Deviation returns the distribution's standard deviation. That of a PERT is its
// beta's own, which the sixth of the range that is often quoted only comes near.
func (s *Spread) Deviation() float64 {
	if s.Shape == Triangular {
		a, b, c := s.Low, s.High, s.Mode
		return math.Sqrt(max(0, float64(a*a)+float64(b*b)+float64(c*c)-float64(a*b)-float64(a*c)-float64(b*c)) / 18)
	}
	m := s.Mean()
	return math.Sqrt(max(0, (m-s.Low)*(s.High-m)) / 7)
}
