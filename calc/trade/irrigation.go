package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/portable"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// irrigating has what a crop drinks and the soil holds, and what stock drinks. Crop
// coefficients, stages and the water of each class of stock are the farm's data.
var irrigating = []*formula.Function{
	{
		Name: "crop_coefficient", About: "the crop coefficient on a day after sowing, which counts as day 1",
		Source: fao56 + "66",
		Params: []formula.Param{
			formula.Param{Name: "day", About: "the day after sowing", Dimension: quantity.Time, Unit: "day", Sense: formula.AtLeast(1)},
			days("initial", "the days of the first stage"), days("growing", "the days in which the crop closes"),
			days("middle", "the days of the full crop"), days("late", "the days of ripening"),
			coefficient("first", "the coefficient of the first stage"), coefficient("full", "the coefficient of the full crop"), coefficient("last", "the coefficient at the end"),
		},
		Rules:  []formula.Rule{{Words: "the day lies after the end of the crop", Holds: func(x []float64) bool { return x[0] <= (x[1]+x[2]+x[3]+x[4])*(1+1e-12) }}},
		Result: formula.Param{Dimension: quantity.Number, Kind: formula.Price},
		Eval:   func(x, out []float64) { out[0] = onCurve(x[0], x[1:5], x[5], x[6], x[7]) },
	},
	{
		Name: "crop_coefficient_here", About: "a crop coefficient for wind and air other than those of the tables",
		Source: fao56 + "62",
		Params: []formula.Param{
			coefficient("table", "the coefficient of the table"),
			published(atLeastNone("wind", "the wind at 2 m", speed, "m/s"), formula.Between(1, 6)),
			published(share("driest", "the lowest relative humidity"), formula.Between(20, 80)),
			published(length("height", "the height of the crop"), formula.Between(0.1, 10)),
		},
		Result: formula.Param{Dimension: quantity.Number, Kind: formula.Price},
		Eval: func(x, out []float64) {
			change := float64(0.04*(x[1]-2)) - float64(0.4*(x[2]-0.45))
			out[0] = math.Max(0, x[0]+float64(change*portable.Pow(x[3]/3, 0.3)))
		},
	},
	{
		Name: "soil_water", About: "the water that soil holds for roots, between field capacity and wilting",
		Source: fao56 + "82",
		Params: []formula.Param{
			share("field_capacity", "the share of water at field capacity, by volume"), share("wilting", "the share of water at wilting, by volume"), length("depth", "the depth of the roots"),
		},
		Rules:  []formula.Rule{{Words: "the water at wilting is above that at field capacity", Holds: func(x []float64) bool { return x[1] <= x[0] }}},
		Result: formula.Param{Dimension: quantity.Length, Unit: "mm"},
		Eval:   func(x, out []float64) { out[0] = (x[0] - x[1]) * x[2] },
	},
	{
		Name: "irrigation_need", About: "the depth of water to give, with what is lost on the way",
		Source: fao56 + "58, less effective rain, divided by efficiency",
		Params: []formula.Param{
			atLeastNone("evapotranspiration", "the reference evapotranspiration of the time", quantity.Length, "mm"), coefficient("crop", "the crop coefficient"),
			atLeastNone("rain", "the effective rain of the time", quantity.Length, "mm"), someShare("efficiency", "the share of the water given that reaches the roots"),
		},
		Result: formula.Param{Dimension: quantity.Length, Unit: "mm"},
		Eval:   func(x, out []float64) { out[0] = math.Max(0, float64(x[0]*x[1])-x[2]) / x[3] },
	},
	{
		Name: "drinking", About: "what stock drinks at a temperature, between what it drinks on a cool day and on a hot one",
		Source: "in proportion between two temperatures of a table, no less than at the cooler; common practice, no source",
		Params: []formula.Param{
			{Name: "cool", About: "what it drinks on the cool day", Any: true, Sense: formula.AtLeast(0)},
			{Name: "hot", About: "what it drinks on the hot day", Like: 1, Sense: formula.AtLeast(0)},
			temperature("cool_at", "the temperature of the cool day"), temperature("hot_at", "the temperature of the hot day"), temperature("temperature", "the temperature"),
		},
		Rules: []formula.Rule{
			{Words: "the hot day is no hotter than the cool one", Holds: func(x []float64) bool { return x[2] < x[3] }},
			{Words: "stock drinks less on the hot day than on the cool one", Holds: func(x []float64) bool { return x[0] <= x[1] }},
		},
		Result: formula.Param{Like: 1},
		Eval: func(x, out []float64) {
			out[0] = x[0] + float64((x[1]-x[0])*math.Max(0, (x[4]-x[2])/(x[3]-x[2])))
		},
	},
}

func coefficient(name string, about say.Text) formula.Param {
	return published(number(name, about, formula.Between(0, 2)), formula.Between(0, 1.4))
}

// onCurve walks the four straight parts of the curve.
func onCurve(day float64, stages []float64, first, full, last float64) float64 {
	at := [5]float64{first, first, full, full, last}
	for i, long := range stages {
		if day <= long || i == len(stages)-1 {
			return at[i] + float64(math.Min(1, day/long)*(at[i+1]-at[i]))
		}
		day -= long
	}
	return last
}
