package trade

import (
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// fungi are blocks of substrate. Biological efficiency is fresh mushrooms by dry
// substrate, and may be above 100 %; it is no share of the wet block.
var fungi = []*formula.Function{
	{
		Name: "mushroom_yield", About: "the fresh mushrooms that wet substrate gives", Source: "biological efficiency, fresh mushrooms by dry substrate, as in oyster trials",
		Params: append([]formula.Param{{Name: "substrate", About: "the wet substrate", Any: true, Sense: formula.AtLeast(0)}}, block(formula.AtLeast(0))...),
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = x[0] * (1 - x[1]) * x[2] },
	},
	{
		Name: "substrate_for", About: "the wet substrate that so many fresh mushrooms take", Source: "biological efficiency, fresh mushrooms by dry substrate, as in oyster trials",
		Params: append([]formula.Param{{Name: "picked", About: "the fresh mushrooms", Any: true, Sense: formula.AtLeast(0)}}, block(formula.Above(0))...),
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = x[0] / ((1 - x[1]) * x[2]) },
	},
}

func block(efficiency formula.Range) []formula.Param {
	return []formula.Param{
		{Name: "water", About: "the share of water in the wet substrate", Dimension: quantity.Number, Unit: "%", Sense: formula.AtLeast(0).Below(100)},
		{Name: "efficiency", About: "the biological efficiency", Dimension: quantity.Number, Unit: "%", Sense: efficiency},
	}
}
