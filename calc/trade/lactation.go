package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

const woodSource = "Wood 1967, Algebraic model of the lactation curve in cattle, Nature 216:164-165"

// longestLactation bounds the days that are added up: more than three years in
// milk is a slip of the pen.
const longestLactation = 1100

var perDay = quantity.Number.Div(quantity.Time)

// lactation is Wood's curve: on day t after calving, counted from 1, a cow gives
// a * t^b * e^(-c*t). The yield a is in whatever the milk is measured in (kg or L
// a day), b is a plain number, c a share a day. The curve rises to a peak on day
// b/c if both are positive; curves without a peak are fitted to real cows too,
// and lactation_peak_day has no answer for them.
//
// lactation_yield(a, b, c, day) is the yield of one day. lactation_mean(a, b, c,
// days) is the mean over days 1 to days, so that mean * days is the lactation's
// milk. lactation_months(a, b, c, calving, days) is the mean yield of a day in
// each month of the calendar for a cow that calves on the same date each year
// and is dry when the days are over; days of the dry time count as zero, so that
// the series times month_days() is the year's milk. Days are whole days; at most
// a year fits into lactation_months.
var lactation = []*formula.Function{
	{
		Name: "lactation_yield", About: "the yield on one day after calving, by Wood's curve", Source: woodSource,
		Params: append(woodParams(), formula.Param{Name: "day", Dimension: quantity.Time}),
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = wood(x[0], x[1], x[2]*daySeconds, x[3]/daySeconds) },
	},
	{
		Name: "lactation_mean", About: "the mean yield of the days in milk, by Wood's curve", Source: woodSource,
		Params: append(woodParams(), formula.Param{Name: "days", Dimension: quantity.Time}),
		Result: formula.Param{Like: 1},
		Eval: func(x, out []float64) {
			days := math.Round(x[3] / daySeconds)
			if !(days >= 1 && days <= longestLactation) {
				out[0] = math.NaN()
				return
			}
			sum := 0.0
			for t := 1.0; t <= days; t++ {
				sum += wood(x[0], x[1], x[2]*daySeconds, t)
			}
			out[0] = sum / days
		},
	},
	{
		Name: "lactation_months", About: "the mean daily yield in each month, for a cow that calves on one date each year", Source: woodSource,
		Params: append(woodParams(), formula.Param{Name: "calving", Dimension: quantity.Time}, formula.Param{Name: "days", Dimension: quantity.Time}),
		Result: formula.Param{Like: 1, Months: true},
		Eval: func(x, out []float64) {
			fill(out, 0)
			first, days := math.Floor(x[3]/daySeconds), math.Round(x[4]/daySeconds)
			if !(days >= 1 && days <= 365) || math.IsNaN(first) {
				fill(out, math.NaN())
				return
			}
			for t := 1.0; t <= days; t++ {
				month, _ := quantity.MonthDay(first + t - 1)
				out[month] += wood(x[0], x[1], x[2]*daySeconds, t) / float64(quantity.MonthDays[month])
			}
		},
	},
	{
		Name: "lactation_peak_day", About: "the day after calving on which a cow gives most, by Wood's curve", Source: woodSource,
		Params: []formula.Param{{Name: "b", Dimension: quantity.Number}, {Name: "c", Dimension: perDay}},
		Result: formula.Param{Dimension: quantity.Time, Unit: "day"},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[0] > 0 && x[1] > 0 {
				out[0] = x[0] / x[1]
			}
		},
	},
}

func woodParams() []formula.Param {
	return []formula.Param{{Name: "a", Any: true}, {Name: "b", Dimension: quantity.Number}, {Name: "c", Dimension: perDay}}
}

// wood is the yield on day t; c is the share a day.
func wood(a, b, c, t float64) float64 {
	if !(t > 0) {
		return math.NaN()
	}
	return a * math.Exp(b*math.Log(t)-c*t)
}
