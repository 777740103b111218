package trade

import (
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// firewood is sold by room or weight and burnt for its heat. Moisture is a share of
// the wood as it lies (wet basis) unless it is said to be of the dry wood: 20 % of
// the one is 25 % of the other.
var firewood = []*formula.Function{
	{
		Name: "wood_heat", About: "the heat of wood as it lies, less what its water takes to boil off",
		Source: "EN ISO 18125: heat of the dry wood times its share, less 2.443 MJ for a kilogram of water",
		Params: []formula.Param{aboveNone("dry", "the heat of the dry wood", energyOfMass, "MJ/kg"), published(share("moisture", "the share of water in the wood"), formula.Between(0, 60))},
		Result: formula.Param{Dimension: energyOfMass, Unit: "kWh/kg"},
		Eval:   func(x, out []float64) { out[0] = float64(x[0]*(1-x[1])) - float64(2.443e6*x[1]) },
	},
	{
		Name: "moisture_of_dry", About: "moisture as a share of the dry wood, from that of the wood as it lies",
		Source: "by definition",
		Params: []formula.Param{{Name: "moisture", About: "the share of water in the wood", Dimension: quantity.Number, Unit: "%", Sense: formula.AtLeast(0).Below(100)}},
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Eval:   func(x, out []float64) { out[0] = x[0] / (1 - x[0]) },
	},
	{
		Name: "dried_to", About: "the weight of wood, hay or grain after it has dried to another moisture",
		Source: "the dry part stays; common practice",
		Params: []formula.Param{
			{Name: "weight", About: "the weight before it dries", Any: true, Sense: formula.AtLeast(0)},
			share("from", "the moisture before"), {Name: "to", About: "the moisture after", Dimension: quantity.Number, Unit: "%", Sense: formula.AtLeast(0).Below(100)},
		},
		Rules:  []formula.Rule{{Words: "it would have to take up water", Holds: func(x []float64) bool { return x[2] <= x[1] }}},
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = x[0] * (1 - x[1]) / (1 - x[2]) },
	},
}
