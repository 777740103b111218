package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// rations has the sums of a small ration.
var rations = []*formula.Function{
	{
		Name: "pearson_share", About: "the share of the first of two feeds in a mix with the content that is wanted, on the basis that the contents are given on (dry matter or as fed)",
		Source: "Pearson's square, Montana State University Extension",
		Params: []formula.Param{
			share("wanted", "the content wanted in the mix"),
			share("a", "the content of the first feed"),
			share("b", "the content of the second feed"),
		},
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Rules: []formula.Rule{
			{Words: "the two feeds have the same content, so that no mix of them is richer or poorer", Holds: func(x []float64) bool { return x[1] != x[2] }},
			{Words: "the content wanted does not lie between those of the two feeds, so that no mix of them has it",
				Holds: func(x []float64) bool { return x[0] >= math.Min(x[1], x[2]) && x[0] <= math.Max(x[1], x[2]) }},
		},
		Eval: func(x, out []float64) { out[0] = (x[0] - x[2]) / (x[1] - x[2]) },
	},
	{
		Name: "fat_corrected", About: "the milk of 4 % fat that has the same energy: 0.4 of the milk and 15 times its fat, by weight",
		Source: "Gaines 1928, University of Illinois Bulletin 308",
		Params: []formula.Param{
			{Name: "milk", About: "the weight of the milk", Any: true},
			share("fat", "the share of fat in the milk's weight"),
		},
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = x[0] * (0.4 + float64(15*x[1])) },
	},
}
