package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

const laySource = "straight lines up to the peak and down from it, as hen-day and hen-housed lay are drawn in layer guides; common practice, no source"

// oldestHen bounds the weeks of a flock: nine years is a slip of the pen.
const oldestHen = 500

// laying is a flock of hens from its arrival to its end, in whole weeks of age.
// The rate of lay is the share of the living hens that lay on a day. It is
// nothing up to the age first, rises in a straight line to top at the age peak
// and then falls by fall (points of that share in a time, as 0.5 %/week), but
// not below nothing. Hens die at a constant share lost in a time.
//
// lay_rate(age, first, peak, top, fall) is the rate at one age.
//
// lay_housed(housed, sold, first, peak, top, fall, lost) is the mean rate over
// the flock's stay from the age housed up to the age sold (that week itself not
// counted), for each hen that was housed: the dead lay nothing. Times the length
// of the stay it gives the eggs of a hen housed. flock_alive(housed, sold, lost)
// is the mean share of the hens housed that is alive over the same weeks, by
// which feed is reckoned. Each week is taken at its beginning.
//
// egg_grade(mean, spread, from, to) is the share of the eggs that weigh at least
// from and less than to, when weights lie about their mean as errors do about
// theirs (a normal distribution), with spread as the standard deviation. What
// the grades are called and where their limits lie differs between countries.
//
// Limits: ages in order, first before peak, shares from 0 to 100 %, a spread
// above nothing.
var laying = []*formula.Function{
	{
		Name: "lay_rate", About: "the share of the hens that lay on a day, at an age", Source: laySource,
		Params: append([]formula.Param{{Name: "age", Dimension: quantity.Time}}, layParams...),
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Eval:   func(x, out []float64) { out[0] = layCurveOf(x[1:]).at(weeks(x[0])) },
	},
	{
		Name: "lay_housed", About: "the mean rate of lay over a flock's stay, for each hen housed", Source: laySource,
		Params: append(append([]formula.Param{{Name: "housed", Dimension: quantity.Time}, {Name: "sold", Dimension: quantity.Time}}, layParams...), formula.Param{Name: "lost", Dimension: perDay}),
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Eval: func(x, out []float64) {
			curve := layCurveOf(x[2:6])
			out[0] = stayMean(x[0], x[1], x[6], curve.at)
		},
	},
	{
		Name: "flock_alive", About: "the mean share of the hens housed that is alive over a flock's stay", Source: laySource,
		Params: []formula.Param{{Name: "housed", Dimension: quantity.Time}, {Name: "sold", Dimension: quantity.Time}, {Name: "lost", Dimension: perDay}},
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Eval: func(x, out []float64) {
			out[0] = stayMean(x[0], x[1], x[2], func(float64) float64 { return 1 })
		},
	},
	{
		Name: "egg_grade", About: "the share of eggs between two weights", Source: "the normal distribution; egg weights follow it closely, common practice, no source",
		Params: []formula.Param{
			{Name: "mean", Dimension: quantity.Mass}, {Name: "spread", Dimension: quantity.Mass},
			{Name: "from", Dimension: quantity.Mass}, {Name: "to", Dimension: quantity.Mass},
		},
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[1] > 0 && x[2] <= x[3] {
				out[0] = below((x[3]-x[0])/x[1]) - below((x[2]-x[0])/x[1])
			}
		},
	},
}

var layParams = []formula.Param{
	{Name: "first", Dimension: quantity.Time}, {Name: "peak", Dimension: quantity.Time},
	{Name: "top", Dimension: quantity.Number}, {Name: "fall", Dimension: perDay},
}

// weeks turns seconds into weeks.
func weeks(t float64) float64 { return t / (7 * daySeconds) }

// A layCurve has ages in weeks, and shares.
type layCurve struct{ first, peak, top, fall float64 }

func layCurveOf(x []float64) layCurve {
	return layCurve{weeks(x[0]), weeks(x[1]), x[2], x[3] * 7 * daySeconds}
}

func (c layCurve) at(age float64) float64 {
	switch {
	case !(age >= 0 && c.first >= 0 && c.peak > c.first && c.top >= 0 && c.top <= 1 && c.fall >= 0):
		return math.NaN()
	case age <= c.first:
		return 0
	case age < c.peak:
		return c.top * (age - c.first) / (c.peak - c.first)
	}
	return math.Max(0, c.top-c.fall*(age-c.peak))
}

// stayMean is the mean over the weeks of a stay of what rate gives at their
// beginning, for each animal that was there at first; lost is the share that
// dies in a second.
func stayMean(from, to, lost float64, rate func(week float64) float64) float64 {
	first, last := math.Round(weeks(from)), math.Round(weeks(to))
	lost *= 7 * daySeconds
	if !(first >= 0 && last > first && last <= oldestHen && lost >= 0 && lost <= 1) {
		return math.NaN()
	}
	alive, sum := 1.0, 0.0
	for w := first; w < last; w++ {
		sum += alive * rate(w)
		alive *= 1 - lost
	}
	return sum / (last - first)
}

// below is the part of a normal distribution that lies below z standard
// deviations over its mean.
func below(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
