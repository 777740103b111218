package trade

import (
	"rickyard/calc/formula"
)

const meatSource = "live weight times dressing times cutting yield, as extension services work it"

// meat goes from an animal on its feet to what is sold, and back. Dressing is hot
// carcass by live weight; what it counts (head, skin, giblets, an empty gut)
// differs between kinds and abattoirs, so it stands in the farm's data.
var meat = []*formula.Function{
	{
		Name: "saleable_meat", About: "the meat to sell from a live weight", Source: meatSource,
		Params: append([]formula.Param{{Name: "live", About: "the live weight", Any: true, Sense: formula.AtLeast(0)}}, butchery()...),
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = x[0] * meatOf(x[1:]) },
	},
	{
		Name: "animals_for", About: "the animals that so much meat to sell takes, rounded up", Source: meatSource,
		Params: append([]formula.Param{
			{Name: "wanted", About: "the meat to sell", Any: true, Sense: formula.AtLeast(0)},
			{Name: "live", About: "the live weight", Any: true, Sense: formula.Above(0)},
		}, butchery()...),
		Result: formula.Param{Like: 1, Over: 2},
		Rules: []formula.Rule{{
			Words: "no meat to sell is left of an animal",
			Holds: func(x []float64) bool { return meatOf(x[2:]) > 0 },
		}},
		Eval: func(x, out []float64) { out[0] = whole(x[0] / (x[1] * meatOf(x[2:]))) },
	},
}

func butchery() []formula.Param {
	return []formula.Param{
		share("dressing", "the hot carcass as a share of the live weight"),
		share("chilled", "the share of the carcass that is lost in the chiller"),
		share("cutting", "the meat to sell as a share of the cold carcass"),
	}
}

func meatOf(x []float64) float64 { return x[0] * (1 - x[1]) * x[2] }
