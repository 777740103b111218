package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// fencing counts what a fence is made of. What an energiser needs for a length of
// wire, and earth for its energy, differs with growth and ground and is the farm's
// data.
var fencing = []*formula.Function{
	{
		Name: "posts_along", About: "the posts of a fence from one end to another, both with a post",
		Source: "length divided by spacing, rounded up, and one more; common practice, no source",
		Params: []formula.Param{length("length", "the length of the fence"), gap("spacing", "the widest spacing of posts")},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = whole(x[0]/x[1]) + 1 },
	},
	{
		Name: "posts_round", About: "the posts of a fence that runs round a field",
		Source: "length divided by spacing, rounded up; common practice, no source",
		Params: []formula.Param{length("length", "the length of the fence"), gap("spacing", "the widest spacing of posts")},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = whole(x[0] / x[1]) },
	},
	{
		Name: "strainers", About: "the straining posts round a field: at each corner and gate post, and no strain longer than a limit",
		Source: "common practice, no source",
		Params: []formula.Param{length("length", "the length of the fence"), number("corners", "the corners and gate posts", formula.AtLeast(0)), gap("strain", "the longest strain of wire")},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = math.Max(x[1], whole(x[0]/x[2])) },
	},
	{
		Name: "fence_wire", About: "the wire to buy for a fence, with what goes into knots and ends",
		Source: "length times wires and a share to spare; common practice, no source",
		Params: []formula.Param{
			length("length", "the length of the fence"), number("wires", "the number of wires", formula.AtLeast(0)),
			{Name: "spare", About: "the share to spare on top", Dimension: quantity.Number, Unit: "%", Sense: formula.AtLeast(0)},
		},
		Result: metres,
		Eval:   func(x, out []float64) { out[0] = x[0] * x[1] * (1 + x[2]) },
	},
	{
		Name: "earth_stakes", About: "the stakes that earth an energiser, no fewer than a least number",
		Source: "length of stake for the energy, rounded up; common practice, no source",
		Params: []formula.Param{
			atLeastNone("energy", "the energy of a pulse", quantity.Energy, "J"), atLeastNone("stake_for", "the length of stake for an energy", quantity.Length.Div(quantity.Energy), "m/J"),
			gap("stake", "the length of a stake in the ground"), number("least", "the least number of stakes", formula.AtLeast(0)),
		},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = math.Max(x[3], whole(x[0]*x[1]/x[2])) },
	},
}
