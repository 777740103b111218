package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// flocks has what a poultry keeper reckons with beside lay.
//
// brood_heat goes down by equal steps from one week to the next until a week from
// which it stays, as tables for chicks and poults do (95 °F and 5 °F less in each
// week to 70 °F in the sixth). It is the warmth under the heat source; the birds'
// own spread says whether it is right.
//
// production_index is the European one: daily gain in grams times the per cent
// alive, over ten times the feed conversion. Indices without the share alive are
// on another scale.
var flocks = []*formula.Function{
	{
		Name: "brood_heat", About: "the warmth that chicks need under the heat source at an age", Source: "University of Florida Extension, 5 °F less in each week",
		Params: []formula.Param{
			days("age", "the age"),
			{Name: "start", About: "the warmth in the first week", Dimension: quantity.Temperature, Unit: "degC", Published: formula.Between(32, 35.5)},
			{Name: "end", About: "the warmth in the last week of heat and after it", Dimension: quantity.Temperature, Unit: "degC"},
			number("weeks", "the number of the last week of heat", formula.AtLeast(2)),
		},
		Result: formula.Param{Dimension: quantity.Temperature, Unit: "degC"},
		Eval: func(x, out []float64) {
			steps := math.Min(math.Floor(weeks(x[0])+1e-9), x[3]-1)
			out[0] = x[1] + float64((x[2]-x[1])*steps/(x[3]-1))
		},
	},
	{
		Name: "production_index", About: "the European production index of a batch of meat birds", Source: "European production efficiency factor: grams a day times per cent alive, over ten times the feed conversion",
		Params: []formula.Param{
			atLeastNone("live", "the live weight of a bird at the end", quantity.Mass, "kg"),
			aboveNone("age", "the age at the end", quantity.Time, "day"),
			share("alive", "the share of the birds placed that is alive at the end"),
			number("conversion", "the feed for each weight of live bird", formula.Above(0)),
		},
		Result: formula.Param{Dimension: quantity.Number},
		Eval: func(x, out []float64) {
			grams := x[0] * 1000 / (x[1] / daySeconds)
			out[0] = grams * x[2] * 100 / (10 * x[3])
		},
	},
}
