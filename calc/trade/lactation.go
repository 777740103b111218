package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/portable"
	"rickyard/calc/quantity"
)

const woodSource = "Wood 1967, Algebraic model of the lactation curve in cattle, Nature 216:164-165"

// longestLactation bounds the days that are added up: more than three years in
// milk is a slip of the pen.
const longestLactation = 1100

var perDay = quantity.Number.Div(quantity.Time)

// lactation is Wood's curve: on day t after calving, counted from 1, a cow gives
// a * t^b * e^(-c*t). The curve rises to a peak on day b/c if both are positive;
// curves without a peak are fitted to real cows too. The mean over days 1 to so
// many, times the days, is the lactation's milk; the months' series times
// month_days() is the year's, days of the dry time counting as nothing.
var lactation = []*formula.Function{
	{
		Name: "lactation_yield", About: "the yield on one day after calving, by Wood's curve", Source: woodSource,
		Params: append(woodParams(), formula.Param{Name: "day", About: "the day after calving", Dimension: quantity.Time, Unit: "day", Sense: formula.Above(0)}),
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = wood(x[0], x[1], x[2]*daySeconds, x[3]/daySeconds) },
	},
	{
		Name: "lactation_mean", About: "the mean yield of the days in milk, by Wood's curve", Source: woodSource,
		Params: append(woodParams(), inMilk(longestLactation)),
		Result: formula.Param{Like: 1},
		Eval: func(x, out []float64) {
			days := math.Round(x[3] / daySeconds)
			sum := 0.0
			for t := 1.0; t <= days; t++ {
				sum += wood(x[0], x[1], x[2]*daySeconds, t)
			}
			out[0] = sum / days
		},
	},
	{
		Name: "lactation_months", About: "the mean daily yield in each month, for a cow that calves on one date each year", Source: woodSource,
		Params: append(woodParams(), formula.Param{Name: "calving", About: "the date of calving", Dimension: quantity.Time}, inMilk(365)),
		Result: formula.Param{Like: 1, Months: true},
		Eval: func(x, out []float64) {
			clear(out)
			first, days := math.Floor(x[3]/daySeconds), math.Round(x[4]/daySeconds)
			for t := 1.0; t <= days; t++ {
				month, _ := quantity.MonthDay(first + t - 1)
				out[month] += wood(x[0], x[1], x[2]*daySeconds, t) / float64(quantity.MonthDays[month])
			}
		},
	},
	{
		Name: "lactation_peak_day", About: "the day after calving on which a cow gives most, by Wood's curve", Source: woodSource,
		Params: woodParams()[1:],
		Result: formula.Param{Dimension: quantity.Time, Unit: "day"},
		Rules: []formula.Rule{{
			Words: "the curve has no peak unless it first rises and then falls",
			Holds: func(x []float64) bool { return x[0] > 0 && x[1] > 0 },
		}},
		Eval: func(x, out []float64) { out[0] = x[0] / x[1] },
	},
}

func woodParams() []formula.Param {
	return []formula.Param{
		{Name: "a", About: "the scale of the curve, in what the milk of a day is measured in", Any: true},
		{Name: "b", About: "the rise of the curve", Dimension: quantity.Number},
		{Name: "c", About: "the fall of the curve, a share a day", Dimension: perDay},
	}
}

// inMilk are whole days in milk, at most so many.
func inMilk(most float64) formula.Param {
	return formula.Param{Name: "days", About: "the days in milk", Dimension: quantity.Time, Unit: "day", Sense: formula.Between(1, most)}
}

// wood is the yield on day t; c is the share a day.
func wood(a, b, c, t float64) float64 {
	return a * portable.Exp(float64(b*portable.Log(t))-float64(c*t))
}
