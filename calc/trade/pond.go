package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/land"
	"rickyard/calc/quantity"
)

// ponds measure water that stands in a hollow and the earth that came out of it. A
// side slope is the way out for one down: 2 is two along for one deep. The mean of
// top and bottom area, which is sometimes used, makes a pond with sloping sides too
// large; a pyramid's formula is only right where top and bottom have one shape.
var ponds = []*formula.Function{
	{
		Name: "pond_volume", About: "what a pond with straight sides holds, rectangular at the top",
		Source: "prismoidal formula, USDA Agriculture Handbook 590 and Alberta Agriculture on dugouts",
		Params: []formula.Param{length("length", "the length at the top"), length("width", "the width at the top"), length("depth", "the depth"), sideSlope},
		Rules:  []formula.Rule{{Words: "the sides meet before the depth is reached", Holds: func(x []float64) bool { return 2*x[3]*x[2] <= math.Min(x[0], x[1])*(1+1e-12) }}},
		Result: cubicMetres,
		Eval: func(x, out []float64) {
			at := func(in float64) float64 {
				return float64((x[0] - float64(in*x[3]*x[2])) * (x[1] - float64(in*x[3]*x[2])))
			}
			out[0] = x[2] / 6 * (at(0) + float64(4*at(1)) + at(2))
		},
	},
	{
		Name: "round_pond_volume", About: "what a round pond with straight sides holds",
		Source: "frustum of a cone, by geometry",
		Params: []formula.Param{length("across", "the diameter at the top"), length("depth", "the depth"), sideSlope},
		Rules:  []formula.Rule{{Words: "the sides meet before the depth is reached", Holds: func(x []float64) bool { return 2*x[2]*x[1] <= x[0]*(1+1e-12) }}},
		Result: cubicMetres,
		Eval: func(x, out []float64) {
			top := float64(x[0] / 2)
			bottom := top - float64(x[2]*x[1])
			out[0] = math.Pi * x[1] / 3 * (float64(top*top) + float64(top*bottom) + float64(bottom*bottom))
		},
	},
	{
		Name: "prismoid", About: "the volume between two level areas, with the area half-way",
		Source: "prismoidal formula, USDA Agriculture Handbook 590",
		Params: []formula.Param{area("top", "the area at the top"), area("middle", "the area half-way"), area("bottom", "the area at the bottom"), length("depth", "the depth")},
		Result: cubicMetres,
		Eval:   func(x, out []float64) { out[0] = x[3] / 6 * (x[0] + float64(4*x[1]) + x[2]) },
	},
	{
		Name: "volume_by_end_areas", About: "the volume between level areas or cross sections, by the mean of each two",
		Source: "average-end-area rule, handbooks of railway construction",
		Params: []formula.Param{length("apart", "the distance from one area to the next"), many(area("areas", "an area"))},
		Result: cubicMetres,
		Eval:   func(x, out []float64) { out[0] = land.EndAreas(x[1:], x[0]) },
	},
	{
		Name: "volume_by_prismoids", About: "the volume between level areas or cross sections, every second one taken for a middle",
		Source: "prismoidal formula, handbooks of railway construction",
		Params: []formula.Param{length("apart", "the distance from one area to the next"), many(area("areas", "an area"))},
		Rules:  []formula.Rule{{Words: "the number of areas is not odd, or below three", Holds: func(x []float64) bool { return len(x) >= 4 && len(x)%2 == 0 }}},
		Result: cubicMetres,
		Eval:   func(x, out []float64) { out[0] = land.Prismoids(x[1:], x[0]) },
	},
	{
		Name: "trench_volume", About: "the earth out of a trench or a swale with sloping sides",
		Source: "by geometry",
		Params: []formula.Param{length("length", "the length"), length("bottom", "the width at the bottom"), length("depth", "the depth"), sideSlope},
		Result: cubicMetres,
		Eval:   func(x, out []float64) { out[0] = x[0] * x[2] * (x[1] + float64(x[3]*x[2])) },
	},
	{
		Name: "pond_store", About: "what stands in a pond at the end of each month, its surface taken as that of a full one",
		Source: "balance by the month: what runs in, less what seeps, evaporates and is drawn; common practice, no source",
		Params: []formula.Param{
			atLeastNone("size", "what the pond holds", quantity.Volume, "m3"), area("surface", "the surface of the full pond"),
			byMonth(atLeastNone("inflow", "what runs in in each month", quantity.Volume, "L")),
			byMonth(formula.Param{Name: "evaporation", About: "what evaporates in each month, less the rain on it", Dimension: quantity.Length, Unit: "mm"}),
			atLeastNone("seepage", "what seeps away from each area in a day", speed, "mm/day"),
			byMonth(atLeastNone("wanted", "the water wanted in each month", quantity.Volume, "L")),
			atLeastNone("opening", "what stands in the pond at the start", quantity.Volume, "m3"),
		},
		Rules:  []formula.Rule{{Words: "more stands in the pond at the start than it holds", Holds: func(x []float64) bool { return x[39] <= x[0]*(1+1e-9) }}},
		Result: formula.Param{Dimension: quantity.Volume, Unit: "m3", Months: true, Kind: formula.Level},
		Eval: func(x, out []float64) {
			stored := x[39]
			for m := range 12 {
				lost := float64(x[1] * (x[14+m] + float64(x[26]*float64(quantity.MonthDays[m])*daySeconds)))
				stored = math.Max(0, math.Min(x[0], stored+x[2+m]-lost)-x[27+m])
				out[m] = stored
			}
		},
	},
}

var sideSlope = number("side", "the slope of the sides, along for one down", formula.AtLeast(0))
