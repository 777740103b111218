package risk

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %v, expected %v", what, got, want)
	}
}

// Closed forms of the triangular distribution, and the two means of three
// estimates. Sources beside each.
func TestSpreads(t *testing.T) {
	// Mean (a+b+c)/3, variance (a2+b2+c2-ab-ac-bc)/18; inverse of the two
	// parabolas, F(mode) = 1/3. Recomputed by hand from the closed forms.
	s := NewSpread(Triangular, 10, 20, 40)
	near(t, "triangular 10, 20, 40, mean", s.Mean(), 23.33333, 5e-6)
	near(t, "its variance", s.Deviation()*s.Deviation(), 38.88889, 5e-6)
	near(t, "its deviation", s.Deviation(), 6.23610, 5e-6)
	for p, want := range map[float64]float64{0.10: 15.47723, 0.25: 18.66025, 1. / 3: 20, 0.50: 22.67949, 0.75: 27.75255, 0.90: 32.25403} {
		near(t, "its percentile", s.Quantile(p), want, 5e-6)
	}
	// Three-estimate form of university operations-research notes.
	s = NewSpread(Triangular, 0, 0.5, 1)
	near(t, "triangular 0, 0.5, 1, mean", s.Mean(), 0.5, 1e-7)
	near(t, "its variance", s.Deviation()*s.Deviation(), 0.0416667, 1e-7)
	near(t, "its 10th percentile", s.Quantile(0.1), 0.2236068, 1e-7)
	// A project-management exam item lists both 4,400 and 3,950 among its
	// choices for 2,500, 3,500 and 7,200.
	near(t, "triangular mean of three estimates", NewSpread(Triangular, 2500, 3500, 7200).Mean(), 4400, 1e-9)
	near(t, "PERT mean of three estimates", NewSpread(PERT, 2500, 3500, 7200).Mean(), 3950, 1e-9)
	near(t, "PERT mean of 10, 20, 40", NewSpread(PERT, 10, 20, 40).Mean(), 21.66667, 5e-6)
	// The quoted spread (b-a)/6 is 5; the beta's own, sqrt(11.6667 * 18.3333 / 7),
	// is a tenth more.
	near(t, "PERT deviation of 10, 20, 40", NewSpread(PERT, 10, 20, 40).Deviation(), 5.52771, 5e-6)
}

// Percentiles of PERT where the beta has a closed form. Mode in the middle gives
// exponents 3 and 3, whose distribution function is 10x3 - 15x4 + 6x5; a mode at
// the low end gives 1 and 5, with 1 - (1-x)^5.
func TestPERTClosedForms(t *testing.T) {
	middle, low, high := NewSpread(PERT, 0, 0.5, 1), NewSpread(PERT, 0, 0, 1), NewSpread(PERT, 0, 1, 1)
	for i := 1; i < 1000; i++ {
		p := float64(i) / 1000
		x := middle.Quantile(p)
		near(t, "middle", x*x*x*(10-15*x+6*x*x), p, 3e-6)
		near(t, "low end", low.Quantile(p), 1-math.Pow(1-p, 0.2), 1e-6)
		near(t, "high end", high.Quantile(p), math.Pow(p, 0.2), 1e-6)
	}
}

// The table against the beta distribution of an independent library, all modes,
// out to one in a billion on either side.
func TestPERTTable(t *testing.T) {
	worst := 0.0
	for i := 0; i <= 40; i++ {
		mode := float64(i) / 40
		s := NewSpread(PERT, 0, mode, 1)
		d := distuv.Beta{Alpha: 1 + 4*mode, Beta: 5 - 4*mode}
		last := -1.0
		for z := -6.; z <= 6; z += 0.011 {
			x := s.At(z)
			if !(x >= last) || x < 0 || x > 1 {
				t.Fatalf("mode %v: falls from %v to %v at z = %v", mode, last, x, z)
			}
			last = x
			want := d.Quantile(distuv.UnitNormal.CDF(z))
			if z > 0 {
				want = 1 - distuv.Beta{Alpha: d.Beta, Beta: d.Alpha}.Quantile(distuv.UnitNormal.CDF(-z))
			}
			worst = max(worst, math.Abs(x-want))
		}
	}
	if worst > 1e-6 {
		t.Errorf("the table is %.2g of the range off", worst)
	}
	t.Logf("the table is at most %.2g of the range off", worst)
}

// Mean and deviation, by integrating the quantile over all chances.
func TestSpreadMoments(t *testing.T) {
	for _, shape := range []Shape{PERT, Triangular} {
		for _, c := range [][3]float64{{10, 20, 40}, {0, 0, 1}, {-3, 5, 5}, {0.45, 0.52, 0.66}} {
			s := NewSpread(shape, c[0], c[1], c[2])
			const n = 200_000
			sum, squares := 0.0, 0.0
			for i := range n {
				x := s.At(mathext.NormalQuantile((float64(i) + 0.5) / n))
				sum += x
				squares += x * x
			}
			mean := sum / n
			width := c[2] - c[0]
			near(t, "mean", mean, s.Mean(), 1e-5*width)
			near(t, "deviation", math.Sqrt(squares/n-mean*mean), s.Deviation(), 1e-4*width)
		}
	}
	if s := NewSpread(PERT, 4, 4, 4); s.At(1.3) != 4 || s.Deviation() != 0 {
		t.Error("what has no range must not vary")
	}
}
