package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// rations has the sums of a small ration.
//
// pearson_share(wanted, a, b) is the share of feed a in a mix of a and b that has
// the wanted content, as of protein; all three on the same basis, dry matter or
// as fed, and so is the share. No answer if wanted is not between the two, since
// no mix of them has it.
//
// fat_corrected(milk, fat) is Gaines' milk of 4 % fat with the same energy: 0.4
// of the milk and 15 times its fat. In weight; fat is a share of the weight.
var rations = []*formula.Function{
	{
		Name: "pearson_share", About: "the share of the first of two feeds in a mix with the content that is wanted", Source: "Pearson's square, Montana State University Extension",
		Params: []formula.Param{
			{Name: "wanted", Dimension: quantity.Number}, {Name: "a", Dimension: quantity.Number}, {Name: "b", Dimension: quantity.Number},
		},
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Eval: func(x, out []float64) {
			wanted, a, b := x[0], x[1], x[2]
			out[0] = math.NaN()
			if a != b && wanted >= math.Min(a, b) && wanted <= math.Max(a, b) {
				out[0] = (wanted - b) / (a - b)
			}
		},
	},
	{
		Name: "fat_corrected", About: "the milk of 4 % fat that has the same energy", Source: "Gaines 1928, University of Illinois Bulletin 308",
		Params: []formula.Param{{Name: "milk", Any: true}, {Name: "fat", Dimension: quantity.Number}},
		Result: formula.Param{Like: 1},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[1] >= 0 && x[1] <= 1 {
				out[0] = x[0] * (0.4 + 15*x[1])
			}
		},
	},
}
