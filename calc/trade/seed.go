package trade

import (
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// seeds reckons what a bag holds, and the last day to sow for autumn. Pure live
// seed is the share of a bag that is the right seed and alive; hard seed, which
// comes up later, counts where the label says so.
//
// last_sowing counts back from the first frost: the days to maturity and to raise
// a plant, those of picking, about two weeks since growth slows in autumn, and
// two weeks more for what frost kills.
var seeds = []*formula.Function{
	{
		Name: "live_seed", About: "the share of a bag that is pure live seed", Source: "purity times germination with hard seed; American seed law and seed merchants",
		Params: bag(), Result: formula.Param{Dimension: quantity.Number, Unit: "%"}, Rules: []formula.Rule{allAlive(0)},
		Eval: func(x, out []float64) { out[0] = x[0] * (x[1] + x[2]) },
	},
	{
		Name: "bulk_seed", About: "the seed to weigh out of a bag for so much pure live seed", Source: "divided by the share of pure live seed; American seed merchants",
		Params: append([]formula.Param{{Name: "live", About: "the pure live seed that is wanted", Any: true, Sense: formula.AtLeast(0)}}, bag()...),
		Result: formula.Param{Like: 1},
		Rules: []formula.Rule{allAlive(1), {
			Words: "no seed of the bag is alive",
			Holds: func(x []float64) bool { return x[1]*(x[2]+x[3]) > 0 },
		}},
		Eval: func(x, out []float64) { out[0] = x[0] / (x[1] * (x[2] + x[3])) },
	},
	{
		Name: "last_sowing", About: "the last date to sow so that a crop is picked before the frost", Source: "Virginia Cooperative Extension, counting back from the first frost",
		Params: []formula.Param{
			{Name: "frost", About: "the date of the first frost", Dimension: quantity.Time, Unit: "date"},
			days("maturity", "the days from planting to the first picking"),
			days("raised", "the days from sowing to planting out"),
			days("picked", "the days of picking"),
			days("autumn", "the days lost as growth slows in autumn"),
			days("tender", "the days in hand for what frost kills"),
		},
		Result: formula.Param{Dimension: quantity.Time, Unit: "date"},
		Eval:   func(x, out []float64) { out[0] = x[0] - x[1] - x[2] - x[3] - x[4] - x[5] },
	},
}

func bag() []formula.Param {
	return []formula.Param{
		share("purity", "the share of the bag that is the right seed"),
		share("germination", "the share of the seed that germinates"),
		share("hard", "the share of the seed that is hard and comes up later"),
	}
}

func allAlive(purity int) formula.Rule {
	return formula.Rule{
		Words: "more seed is alive than there is seed",
		Holds: func(x []float64) bool { return x[purity+1]+x[purity+2] <= 1+1e-9 },
	}
}
