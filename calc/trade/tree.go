package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// growing trees: how many stand on a field, how many to raise, what dies, what to
// fell. Where both ends of a row are planted it holds one more than plants_in_row
// says.
var trees = []*formula.Function{
	{
		Name: "trees_in_row", About: "the trees in a row with one at either end",
		Source: "length divided by spacing, whole, and one more; common practice, no source",
		Params: []formula.Param{length("length", "the length of the row"), gap("spacing", "the spacing in the row")},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = places(x[0], x[1]) + 1 },
	},
	{
		Name: "trees_in_alleys", About: "the trees in rows along a field, the first and last row at its sides, with room to turn at both ends",
		Source: "rows times trees in each, both whole; common practice, no source",
		Params: alleyField("in_row"), Rules: roomToTurn,
		Result: formula.Param{Dimension: quantity.Number},
		Eval: func(x, out []float64) {
			out[0] = (places(x[1], x[2]) + 1) * (places(math.Max(0, x[0]-2*x[3]), x[4]) + 1)
		},
	},
	{
		Name: "alley_crop", About: "the area between rows of trees that is cropped, without their strips and the room to turn",
		Source: "whole alleys by geometry; common practice, no source",
		Params: alleyField("strip"), Rules: append(roomToTurn, formula.Rule{Words: "the strips are wider than the alleys", Holds: func(x []float64) bool { return x[4] <= x[2] }}),
		Result: formula.Param{Dimension: quantity.Area, Unit: "ha"},
		Eval:   func(x, out []float64) { out[0] = places(x[1], x[2]) * (x[2] - x[4]) * math.Max(0, x[0]-2*x[3]) },
	},
	{
		Name: "beating_up", About: "the trees planted again over the years where each year's losses are made good, each rounded up",
		Source: "planted times the loss of each year; common practice in forestry, no source",
		Params: []formula.Param{number("planted", "the trees planted", formula.AtLeast(0)), many(share("losses", "the share lost in a year"))},
		Result: formula.Param{Dimension: quantity.Number},
		Eval: func(x, out []float64) {
			out[0] = 0
			for _, lost := range x[1:] {
				out[0] += whole(x[0] * lost)
			}
		},
	},
	{
		Name: "basal_area", About: "the cross section of a stem at breast height",
		Source: "pi/4 times the diameter squared, forest mensuration",
		Params: []formula.Param{length("diameter", "the diameter at breast height")},
		Result: formula.Param{Dimension: quantity.Area, Unit: "m2"},
		Eval:   func(x, out []float64) { out[0] = cylinder(x[0], 1) },
	},
	{
		Name: "stems_to_fell", About: "the stems to fell on an area to bring its basal area down to a target",
		Source: "the basal area above the target divided by that of a mean stem, forest mensuration",
		Params: []formula.Param{
			atLeastNone("standing", "the basal area that stands on an area", quantity.Number, "m2/ha"), atLeastNone("target", "the basal area to leave on an area", quantity.Number, "m2/ha"),
			gap("diameter", "the diameter of a mean stem to fell"),
		},
		Result: formula.Param{Dimension: perArea, Unit: "1/ha"},
		Eval:   func(x, out []float64) { out[0] = math.Max(0, x[0]-x[1]) / cylinder(x[2], 1) },
	},
}

// alleyField are the arguments of a field with alleys; the last is a spacing or a
// width.
func alleyField(last string) []formula.Param {
	params := []formula.Param{
		length("length", "the length of the field, along the rows"), length("width", "the width of the field, across them"),
		gap("alley", "the distance from row to row"), length("headland", "the room to turn at each end"),
	}
	if last == "strip" {
		return append(params, length("strip", "the width of the strip that a row takes"))
	}
	return append(params, gap("in_row", "the spacing in the row"))
}

var roomToTurn = []formula.Rule{{Words: "the room to turn leaves nothing of the field", Holds: func(x []float64) bool { return 2*x[3] <= x[0]*(1+1e-12) }}}
