package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// work counts people. In work_units nobody counts for more than one, however long
// the days are.
var work = []*formula.Function{
	{
		Name: "work_units", About: "the full-time workers that people's hours make", Source: "Eurostat, annual work unit: 1,800 h where national rules say nothing, nobody more than one",
		Params: []formula.Param{
			published(aboveNone("full", "the hours of a full year", quantity.Time, "h"), formula.Between(1600, 2400)),
			many(atLeastNone("hours", "the hours that one person works in the year", quantity.Time, "h")),
		},
		Result: formula.Param{Dimension: quantity.Number},
		Eval: func(x, out []float64) {
			out[0] = 0
			for _, hours := range x[1:] {
				out[0] += math.Min(1, hours/x[0])
			}
		},
	},
}
