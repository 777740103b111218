package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/portable"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

const laySource = "straight lines up to the peak and down from it, as hen-day and hen-housed lay are drawn in layer guides; common practice, no source"

// oldestHen bounds the weeks of a flock: nine years is a slip of the pen.
const oldestHen = 500

// laying is a flock of hens from its arrival to its end, in whole weeks of age.
// The rate of lay is the share of the living hens that lay on a day. It is
// nothing up to the age first, rises in a straight line to top at the age peak
// and then falls, but not below nothing. Hens die at a constant share lost in a
// time; the dead lay nothing. Each week is taken at its beginning, and the week
// of the age sold is not counted. What the grades of eggs are called and where
// their limits lie differs between countries.
var laying = []*formula.Function{
	{
		Name: "lay_rate", About: "the share of the hens that lay on a day, at an age", Source: laySource,
		Params: append([]formula.Param{age("age", "the age of the hens")}, layParams...),
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Rules:  []formula.Rule{peakLast(1)},
		Eval:   func(x, out []float64) { out[0] = layCurveOf(x[1:]).at(weeks(x[0])) },
	},
	{
		Name: "lay_housed", About: "the mean rate of lay over a flock's stay, for each hen housed", Source: laySource,
		Params: append(append(stay(), layParams...), losses),
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Rules:  []formula.Rule{soldLast, peakLast(2)},
		Eval: func(x, out []float64) {
			curve := layCurveOf(x[2:6])
			out[0] = stayMean(x[0], x[1], x[6], curve.at)
		},
	},
	{
		Name: "flock_alive", About: "the mean share of the hens housed that is alive over a flock's stay", Source: laySource,
		Params: append(stay(), losses),
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Rules:  []formula.Rule{soldLast},
		Eval: func(x, out []float64) {
			out[0] = stayMean(x[0], x[1], x[2], func(float64) float64 { return 1 })
		},
	},
	{
		Name: "egg_grade", About: "the share of eggs between two weights, the lower one in it", Source: "the normal distribution; egg weights follow it closely, common practice, no source",
		Params: []formula.Param{
			atLeastNone("mean", "the mean weight of an egg", quantity.Mass, "g"),
			aboveNone("spread", "the standard deviation of the weights", quantity.Mass, "g"),
			{Name: "from", About: "the lower limit of the grade", Dimension: quantity.Mass, Unit: "g"},
			{Name: "to", About: "the upper limit of the grade", Dimension: quantity.Mass, Unit: "g"},
		},
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Rules: []formula.Rule{{
			Words: "the upper limit of the grade is below the lower one",
			Holds: func(x []float64) bool { return x[2] <= x[3] },
		}},
		Eval: func(x, out []float64) {
			out[0] = below((x[3]-x[0])/x[1]) - below((x[2]-x[0])/x[1])
		},
	},
}

func age(name string, about say.Text) formula.Param {
	return formula.Param{Name: name, About: about, Dimension: quantity.Time, Unit: "week", Sense: formula.Between(0, oldestHen)}
}

func stay() []formula.Param {
	return []formula.Param{age("housed", "the age at which the flock is housed"), age("sold", "the age at which the flock is sold")}
}

var soldLast = formula.Rule{
	Words: "the age at which the flock is sold is not a week above that at which it is housed",
	Holds: func(x []float64) bool { return math.Round(weeks(x[1])) > math.Round(weeks(x[0])) },
}

// peakLast asks for a peak after the first eggs, whose age is argument n.
func peakLast(n int) formula.Rule {
	return formula.Rule{
		Words: "the age at the peak of lay is not above that at the first eggs",
		Holds: func(x []float64) bool { return x[n+1] > x[n] },
	}
}

var losses = formula.Param{Name: "lost", About: "the share of the hens that dies in a week", Dimension: perDay, Unit: "%/week", Sense: formula.Between(0, 100)}

var layParams = []formula.Param{
	age("first", "the age at the first eggs"), age("peak", "the age at the peak of lay"),
	share("top", "the rate of lay at its peak"),
	atLeastNone("fall", "what the rate of lay falls by after the peak", perDay, "%/week"),
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
	case age <= c.first:
		return 0
	case age < c.peak:
		return c.top * (age - c.first) / (c.peak - c.first)
	}
	return math.Max(0, c.top-float64(c.fall*(age-c.peak)))
}

// stayMean is the mean over the weeks of a stay of what rate gives at their
// beginning, for each animal that was there at first; lost is the share that
// dies in a second.
func stayMean(from, to, lost float64, rate func(week float64) float64) float64 {
	first, last := math.Round(weeks(from)), math.Round(weeks(to))
	lost = float64(lost * 7 * daySeconds)
	alive, sum := 1.0, 0.0
	for w := first; w < last; w++ {
		sum += float64(alive * rate(w))
		alive *= 1 - lost
	}
	return sum / (last - first)
}

// below is the part of a normal distribution that lies below z standard
// deviations over its mean.
func below(z float64) float64 { return float64(portable.Erfc(-z/math.Sqrt2) / 2) }
