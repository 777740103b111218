package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// feeding is growth on feed by weight. A young animal turns feed into weight
// more cheaply than a heavy one; over the weights of one fattening both the feed
// for each kilogram of gain and the gain of a day are near enough straight lines
// against live weight, so that two weighings give the line.
//
// feed_between(lighter, heavier, at_lighter, at_heavier) is the feed for growth
// from one weight to another, where a kilogram of gain takes at_lighter
// kilograms of feed at the lighter weight and at_heavier at the heavier.
//
// days_between(lighter, heavier, at_lighter, at_heavier) is the time for the same
// growth, with the gain of a day at both weights: time runs faster where gain is
// greater, so it is no mean of the two but the logarithmic one.
//
// Limits: weights in order and not below nothing, conversions and gains above
// nothing.
var feeding = []*formula.Function{
	{
		Name: "feed_between", About: "the feed for growth from one live weight to another", Source: "feed for each kilogram of gain as a straight line against weight; NRC 2012, Nutrient Requirements of Swine, Table 16-1A follows it from 25 to 135 kg",
		Params: []formula.Param{
			{Name: "lighter", Dimension: quantity.Mass}, {Name: "heavier", Dimension: quantity.Mass},
			{Name: "at_lighter", Dimension: quantity.Number}, {Name: "at_heavier", Dimension: quantity.Number},
		},
		Result: formula.Param{Dimension: quantity.Mass, Unit: "kg"},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[0] >= 0 && x[1] >= x[0] && x[2] > 0 && x[3] > 0 {
				out[0] = (x[1] - x[0]) * (x[2] + x[3]) / 2
			}
		},
	},
	{
		Name: "days_between", About: "the time for growth from one live weight to another", Source: "daily gain as a straight line against weight; NRC 2012, Nutrient Requirements of Swine, Table 16-1A",
		Params: []formula.Param{
			{Name: "lighter", Dimension: quantity.Mass}, {Name: "heavier", Dimension: quantity.Mass},
			{Name: "at_lighter", Dimension: massADay}, {Name: "at_heavier", Dimension: massADay},
		},
		Result: formula.Param{Dimension: quantity.Time, Unit: "day"},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[0] >= 0 && x[1] >= x[0] && x[2] > 0 && x[3] > 0 {
				out[0] = (x[1] - x[0]) / logMean(x[2], x[3])
			}
		},
	},
}

// logMean is the logarithmic mean of two numbers above nothing.
func logMean(a, b float64) float64 {
	if math.Abs(a-b) <= 1e-9*math.Max(a, b) {
		return (a + b) / 2
	}
	return (b - a) / math.Log(b/a)
}
