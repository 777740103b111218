package trade

import (
	"math"

	"rickyard/calc/formula"
)

// composting mixes materials by weight as they come, by moisture (a share of that
// weight) and by carbon and nitrogen (shares of the dry part). A mix of any number
// has the carbon of all over the nitrogen of all: add up part_of for each. The
// ratios themselves can't be averaged. With two materials one of the two goals is
// met, and the other is what it is.
var composting = []*formula.Function{
	{
		Name: "part_of", About: "the weight of what is a share of the dry part of a material, as carbon or nitrogen",
		Source: compostSource,
		Params: []formula.Param{
			{Name: "weight", About: "the weight of the material as it comes", Any: true, Sense: formula.AtLeast(0)},
			share("moisture", "the share of water in it"), share("share", "the share of the dry part"),
		},
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = x[0] * (1 - x[1]) * x[2] },
	},
	{
		Name: "add_for_moisture", About: "how much of a second material brings a first to a moisture",
		Source: compostSource,
		Params: []formula.Param{
			{Name: "weight", About: "the weight of the first material", Any: true, Sense: formula.AtLeast(0)},
			share("moisture", "the share of water in the first"), share("other", "the share of water in the second"), share("wanted", "the share of water wanted"),
		},
		Rules: []formula.Rule{{
			Words: "the moisture wanted does not lie between those of the two materials",
			Holds: func(x []float64) bool {
				return x[3] >= math.Min(x[1], x[2]) && x[3] <= math.Max(x[1], x[2]) && (x[3] != x[2] || x[1] == x[2])
			},
		}},
		Result: formula.Param{Like: 1},
		Eval: func(x, out []float64) {
			out[0] = 0
			if x[3] != x[1] {
				out[0] = x[0] * (x[1] - x[3]) / (x[3] - x[2])
			}
		},
	},
	{
		Name: "add_for_ratio", About: "how much of a second material brings a first to a ratio of carbon to nitrogen",
		Source: compostSource,
		Params: []formula.Param{
			{Name: "weight", About: "the weight of the first material", Any: true, Sense: formula.AtLeast(0)},
			share("moisture", "the share of water in the first"), share("carbon", "the share of carbon in the dry part of the first"), share("nitrogen", "the share of nitrogen in the dry part of the first"),
			share("other_moisture", "the share of water in the second"), share("other_carbon", "the share of carbon in the dry part of the second"), share("other_nitrogen", "the share of nitrogen in the dry part of the second"),
			published(number("wanted", "the ratio of carbon to nitrogen wanted", formula.Above(0)), formula.Between(20, 40)),
		},
		Rules: []formula.Rule{{
			Words: "the ratio wanted does not lie between those of the two materials",
			Holds: func(x []float64) bool {
				first, second := lacking(x[2], x[3], x[7]), lacking(x[5], x[6], x[7])
				return x[4] < 1 && (first == 0 || first*second < 0)
			},
		}},
		Result: formula.Param{Like: 1},
		Eval: func(x, out []float64) {
			out[0] = 0
			if first := lacking(x[2], x[3], x[7]); first != 0 {
				out[0] = -x[0] * (1 - x[1]) * first / ((1 - x[4]) * lacking(x[5], x[6], x[7]))
			}
		},
	},
}

const compostSource = "Cornell composting pages; On-Farm Composting Handbook, NRAES-54"

// lacking is the carbon that a dry part lacks for a ratio, below nought where it has
// more.
func lacking(carbon, nitrogen, ratio float64) float64 { return float64(ratio*nitrogen) - carbon }
