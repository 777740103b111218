package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// planting counts plants and the seed for them.
//
// plants_in_row(length, spacing) is the whole number of spacings in a row: the
// first plant stands half a spacing from the end, so that the next bed can begin
// where this one ends. (A row with a plant at either end holds one more.)
// plants_in_bed(length, width, between_rows, in_row) is rows times plants in each,
// both whole, in the same way. plants_on_area(area, between_rows, in_row) divides
// the area and rounds nothing: right for a field, too many for a small bed, since
// it does not know the edges. plants_in_triangles(area, spacing) is the same for
// plants at the corners of equal triangles of the given side, 15.5 % more than in
// squares. Limits: no length below zero, spacings above zero.
//
// seeds_needed(plants, spare, germination) is what to sow for so many plants: a
// share to spare on top, then as many as germinate, rounded up to a whole seed (or
// a whole one of what plants are counted in). sowing_weight(density, thousand,
// germination, establishment) is the weight of seed on an area for so many plants
// on it; thousand is the weight of a thousand seeds, establishment the share of
// the germinated that come up and live. Limits: shares above 0 % and at most
// 100 %.
var planting = []*formula.Function{
	{
		Name: "plants_in_row", About: "the plants that a row holds", Source: "length divided by spacing, whole; row tables in seed merchants' guides",
		Params: lengths("length", "spacing"), Result: formula.Param{Dimension: quantity.Number},
		Eval: func(x, out []float64) { out[0] = places(x[0], x[1]) },
	},
	{
		Name: "plants_in_bed", About: "the plants that a bed holds in whole rows", Source: "rows times plants in a row, both whole; common practice in bed gardens",
		Params: lengths("length", "width", "between_rows", "in_row"), Result: formula.Param{Dimension: quantity.Number},
		Eval: func(x, out []float64) { out[0] = places(x[1], x[2]) * places(x[0], x[3]) },
	},
	{
		Name: "plants_on_area", About: "the plants on an area in rows, edges left aside", Source: "area divided by row distance and spacing; spacing tables in farm rule books",
		Params: append([]formula.Param{{Name: "area", Dimension: quantity.Area}}, lengths("between_rows", "in_row")...),
		Result: formula.Param{Dimension: quantity.Number},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[0] >= 0 && x[1] > 0 && x[2] > 0 {
				out[0] = x[0] / (x[1] * x[2])
			}
		},
	},
	{
		Name: "plants_in_triangles", About: "the plants on an area at the corners of equal triangles", Source: "area divided by 0.866 times the spacing squared; nursery planting guides",
		Params: append([]formula.Param{{Name: "area", Dimension: quantity.Area}}, lengths("spacing")...),
		Result: formula.Param{Dimension: quantity.Number},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[0] >= 0 && x[1] > 0 {
				out[0] = x[0] / (math.Sqrt(3) / 2 * x[1] * x[1])
			}
		},
	},
	{
		Name: "seeds_needed", About: "the seeds to sow for so many plants", Source: "plants with a share to spare, divided by germination, rounded up; common practice",
		Params: []formula.Param{{Name: "plants", Any: true}, {Name: "spare", Dimension: quantity.Number}, {Name: "germination", Dimension: quantity.Number}},
		Result: formula.Param{Like: 1},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[0] >= 0 && x[1] >= 0 && isShare(x[2]) {
				out[0] = whole(x[0] * (1 + x[1]) / x[2])
			}
		},
	},
	{
		Name: "sowing_weight", About: "the weight of seed on an area for so many plants", Source: "sowing-rate formula of New Zealand and Australian seed merchants",
		Params: []formula.Param{
			{Name: "density", Dimension: quantity.Number.Div(quantity.Area)}, {Name: "thousand", Dimension: quantity.Mass},
			{Name: "germination", Dimension: quantity.Number}, {Name: "establishment", Dimension: quantity.Number},
		},
		Result: formula.Param{Dimension: massOnArea, Unit: "g/m2"},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[0] >= 0 && x[1] >= 0 && isShare(x[2]) && isShare(x[3]) {
				out[0] = x[0] * x[1] / 1000 / (x[2] * x[3])
			}
		},
	},
}

func isShare(x float64) bool { return x > 0 && x <= 1 }

// places is how often a spacing fits into a length, with room for the noise of
// fractions such as 30 / 0.3.
func places(length, spacing float64) float64 {
	if !(length >= 0 && spacing > 0) {
		return math.NaN()
	}
	n := length / spacing
	if near := math.Round(n); math.Abs(n-near) <= 1e-9*math.Max(1, near) {
		return near
	}
	return math.Floor(n)
}
