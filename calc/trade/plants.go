package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// planting counts plants and the seed for them. In a row the first plant stands
// half a spacing from the end, so that the next bed can begin where this one
// ends; a row with a plant at either end holds one more. Counting by area rounds
// nothing: right for a field, too many for a small bed, since it does not know
// the edges. Triangles hold 15.5 % more than squares.
var planting = []*formula.Function{
	{
		Name: "plants_in_row", About: "the plants that a row holds, the first half a spacing from its end",
		Source: "length divided by spacing, whole; row tables in seed merchants' guides",
		Params: []formula.Param{length("length", "the length of the row"), gap("spacing", "the spacing in the row")},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = places(x[0], x[1]) },
	},
	{
		Name: "plants_in_bed", About: "the plants that a bed holds in whole rows",
		Source: "rows times plants in a row, both whole; common practice in bed gardens",
		Params: []formula.Param{
			length("length", "the length of the bed"), length("width", "the width of the bed"),
			gap("between_rows", "the distance between rows"), gap("in_row", "the spacing in the row"),
		},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = places(x[1], x[2]) * places(x[0], x[3]) },
	},
	{
		Name: "plants_on_area", About: "the plants on an area in rows, edges left aside",
		Source: "area divided by row distance and spacing; spacing tables in farm rule books",
		Params: []formula.Param{area("area", "the area planted"), gap("between_rows", "the distance between rows"), gap("in_row", "the spacing in the row")},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = x[0] / (x[1] * x[2]) },
	},
	{
		Name: "plants_in_triangles", About: "the plants on an area at the corners of equal triangles",
		Source: "area divided by 0.866 times the spacing squared; nursery planting guides",
		Params: []formula.Param{area("area", "the area planted"), gap("spacing", "the side of the triangles")},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = x[0] / (math.Sqrt(3) / 2 * x[1] * x[1]) },
	},
	{
		Name: "seeds_needed", About: "the seeds to sow for so many plants, rounded up to a whole one",
		Source: "plants with a share to spare, divided by germination, rounded up; common practice",
		Params: []formula.Param{
			{Name: "plants", About: "the plants wanted", Any: true, Sense: formula.AtLeast(0)},
			{Name: "spare", About: "the share to spare on top", Dimension: quantity.Number, Unit: "%", Sense: formula.AtLeast(0)},
			someShare("germination", "the share of the seeds that germinates"),
		},
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = whole(x[0] * (1 + x[1]) / x[2]) },
	},
	{
		Name: "sowing_weight", About: "the weight of seed on an area for so many plants",
		Source: "sowing-rate formula of New Zealand and Australian seed merchants",
		Params: []formula.Param{
			{Name: "density", About: "the plants wanted on an area", Dimension: quantity.Number.Div(quantity.Area), Unit: "1/m2", Sense: formula.AtLeast(0)},
			{Name: "thousand", About: "the weight of a thousand seeds", Dimension: quantity.Mass, Unit: "g", Sense: formula.AtLeast(0)},
			someShare("germination", "the share of the seeds that germinates"),
			someShare("establishment", "the share of the germinated that comes up and lives"),
		},
		Result: formula.Param{Dimension: massOnArea, Unit: "g/m2"},
		Eval:   func(x, out []float64) { out[0] = x[0] * x[1] / 1000 / (x[2] * x[3]) },
	},
}

// places is how often a spacing fits into a length, with room for the noise of
// fractions such as 30 / 0.3.
func places(length, spacing float64) float64 {
	n := length / spacing
	if near := math.Round(n); math.Abs(n-near) <= 1e-9*math.Max(1, near) {
		return near
	}
	return math.Floor(n)
}
