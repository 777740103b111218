package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

const cheeseSource = "Van Slyke and Publow's formula, as in the University of Guelph's pages on cheese"

// cheese foretells how much cheese comes out of milk. The constants of
// cheese_yield are Cheddar's: 93 % of the fat is kept, 0.1 kg of casein of each
// 100 kg of milk is lost, and whey solids and salt add 9 %. cheese_yield_of takes
// them as arguments, for other cheeses keep other shares.
var cheese = []*formula.Function{
	{
		Name: "cheese_yield", About: "the Cheddar that milk gives, as a share of its weight", Source: cheeseSource,
		Params: []formula.Param{
			share("fat", "the share of fat in the milk's weight"), share("casein", "the share of casein in the milk's weight"), moisture(),
		},
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Eval:   func(x, out []float64) { out[0] = curd(x[0], x[1], x[2], 0.93, 0.001, 0.09) },
	},
	{
		Name: "cheese_yield_of", About: "the cheese that milk gives, as a share of its weight, for a cheese with its own losses", Source: cheeseSource,
		Params: []formula.Param{
			share("fat", "the share of fat in the milk's weight"), share("casein", "the share of casein in the milk's weight"), moisture(),
			share("fat_kept", "the share of the fat that stays in the cheese"),
			share("casein_lost", "the casein that is lost, as a share of the milk's weight"),
			share("added", "what whey solids and salt add, as a share of the fat and casein kept"),
		},
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Eval:   func(x, out []float64) { out[0] = curd(x[0], x[1], x[2], x[3], x[4], x[5]) },
	},
}

func moisture() formula.Param {
	return formula.Param{Name: "moisture", About: "the share of water in the cheese", Dimension: quantity.Number, Unit: "%", Sense: formula.AtLeast(0).Below(100)}
}

func curd(fat, casein, moisture, kept, lost, added float64) float64 {
	return math.Max(0, float64(kept*fat)+casein-lost) * (1 + added) / (1 - moisture)
}
