package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// soils weigh a field's soil and what is in it, and the lime that it needs. How much
// lime lifts an area by one pH, and how much of a material counts, are a laboratory's
// figures. Shares of organic matter and carbon are by weight of dry soil.
var soils = []*formula.Function{
	{
		Name: "soil_mass", About: "the weight of an area's dry soil down to a depth",
		Source: "area times depth times bulk density; Penn State Extension on the furrow slice",
		Params: []formula.Param{area("area", "the area"), length("depth", "the depth"), bulkDensity},
		Result: formula.Param{Dimension: quantity.Mass, Unit: "t"},
		Eval:   func(x, out []float64) { out[0] = x[0] * x[1] * x[2] },
	},
	{
		Name: "soil_carbon", About: "the carbon on an area down to a depth",
		Source: "depth times bulk density times carbon, less stones; IPCC Guidelines 2006, volume 4",
		Params: []formula.Param{
			length("depth", "the depth"), bulkDensity, share("organic", "the share of organic matter in the soil"),
			published(share("carbon", "the share of carbon in organic matter, 58 % by van Bemmelen"), formula.Between(50, 58)),
			share("stones", "the share of stones in the soil, by volume"),
		},
		Result: formula.Param{Dimension: massOnArea, Unit: "t/ha"},
		Eval:   func(x, out []float64) { out[0] = x[0] * x[1] * x[2] * x[3] * (1 - x[4]) },
	},
	{
		Name: "lime_need", About: "the lime to spread on an area to lift its soil to a pH",
		Source: "the pH wanting times the lime for one, divided by what counts of it; as laboratories advise",
		Params: []formula.Param{
			acidity("measured", "the pH measured"), acidity("target", "the pH wanted"),
			atLeastNone("for_one", "the pure lime that lifts an area by one pH", massOnArea, "t/ha"), formula.Param{Name: "counts", About: "the neutralising value of the material against pure lime", Dimension: quantity.Number, Unit: "%", Sense: formula.Above(0).AtMost(180)},
		},
		Result: formula.Param{Dimension: massOnArea, Unit: "t/ha"},
		Eval:   func(x, out []float64) { out[0] = math.Max(0, x[1]-x[0]) * x[2] / x[3] },
	},
	{
		Name: "lime_share", About: "the share of a soil's acidity to neutralise for a pH, where at one all of it is",
		Source: "North Carolina Department of Agriculture, notes on lime, there with 6.6 for all",
		Params: []formula.Param{acidity("measured", "the pH measured"), acidity("target", "the pH wanted"), acidity("all", "the pH at which nothing is left to neutralise")},
		Rules:  []formula.Rule{{Words: "the pH measured is at or above the one where nothing is left to neutralise", Holds: func(x []float64) bool { return x[0] < x[2] }}},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = math.Max(0, x[1]-x[0]) / (x[2] - x[0]) },
	},
}

var bulkDensity = formula.Param{
	Name: "density", About: "the bulk density of the soil", Dimension: massOfVolume, Unit: "t/m3",
	Sense: formula.Above(0).AtMost(2.65), Published: formula.Between(0.2, 1.9),
}

func acidity(name string, about say.Text) formula.Param {
	return published(number(name, about, formula.Between(0, 14)), formula.Between(3.5, 9))
}
