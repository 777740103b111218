package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/portable"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// feeding is growth on feed by weight. A young animal turns feed into weight
// more cheaply than a heavy one; over the weights of one fattening both the feed
// for each kilogram of gain and the gain of a day are near enough straight lines
// against live weight, so that two weighings give the line. Time runs faster
// where gain is greater, so a stay takes no mean of the two gains but their
// logarithmic one.
var feeding = []*formula.Function{
	{
		Name: "feed_between", About: "the feed for growth from one live weight to another",
		Source: "feed for each kilogram of gain as a straight line against weight; NRC 2012, Nutrient Requirements of Swine, Table 16-1A follows it from 25 to 135 kg",
		Params: growth("the feed for each kilogram of gain at the lighter weight", "the feed for each kilogram of gain at the heavier weight", quantity.Number),
		Result: formula.Param{Dimension: quantity.Mass, Unit: "kg"},
		Rules:  []formula.Rule{heavierLast},
		Eval:   func(x, out []float64) { out[0] = (x[1] - x[0]) * (x[2] + x[3]) / 2 },
	},
	{
		Name: "days_between", About: "the time for growth from one live weight to another",
		Source: "daily gain as a straight line against weight, common practice, no source",
		Params: growth("the gain of a day at the lighter weight", "the gain of a day at the heavier weight", massADay),
		Result: formula.Param{Dimension: quantity.Time, Unit: "day"},
		Rules:  []formula.Rule{heavierLast},
		Eval:   func(x, out []float64) { out[0] = (x[1] - x[0]) / logMean(x[2], x[3]) },
	},
}

func growth(lighter, heavier say.Text, rate quantity.Dimension) []formula.Param {
	return []formula.Param{
		{Name: "lighter", About: "the live weight at the start", Dimension: quantity.Mass, Unit: "kg", Sense: formula.AtLeast(0)},
		{Name: "heavier", About: "the live weight at the end", Dimension: quantity.Mass, Unit: "kg", Sense: formula.AtLeast(0)},
		{Name: "at_lighter", About: lighter, Dimension: rate, Unit: rateUnit(rate), Sense: formula.Above(0)},
		{Name: "at_heavier", About: heavier, Dimension: rate, Unit: rateUnit(rate), Sense: formula.Above(0)},
	}
}

func rateUnit(rate quantity.Dimension) string {
	if rate == massADay {
		return "kg/day"
	}
	return ""
}

var heavierLast = formula.Rule{
	Words: "the live weight at the end is below that at the start",
	Holds: func(x []float64) bool { return x[1] >= x[0] },
}

// logMean is the logarithmic mean of two numbers above nothing.
func logMean(a, b float64) float64 {
	if math.Abs(a-b) <= 1e-9*math.Max(a, b) {
		return (a + b) / 2
	}
	return (b - a) / portable.Log(b/a)
}
