package trade

import (
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// stages follows a number of animals, plants or grafts through stages of which
// each loses a share of what came into it.
var stages = []*formula.Function{
	{
		Name: "before_losses", About: "what to start with so that so many are left, rounded up", Source: "divided by what each stage leaves; common practice, no source",
		Params: []formula.Param{{Name: "wanted", About: "what is to be left", Any: true, Sense: formula.AtLeast(0)}, lostShares(formula.AtLeast(0).Below(100))},
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = whole(x[0] / leftOf(x[1:])) },
	},
	{
		Name: "after_losses", About: "what is left of what was started with", Source: "times what each stage leaves; common practice, no source",
		Params: []formula.Param{{Name: "started", About: "what was started with", Any: true, Sense: formula.AtLeast(0)}, lostShares(formula.Between(0, 100))},
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = x[0] * leftOf(x[1:]) },
	},
}

func lostShares(sense formula.Range) formula.Param {
	return many(formula.Param{Name: "lost", About: "the share lost in a stage", Dimension: quantity.Number, Unit: "%", Sense: sense})
}

func leftOf(lost []float64) float64 {
	left := 1.0
	for _, share := range lost {
		left *= 1 - share
	}
	return left
}
