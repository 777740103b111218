package trade

import (
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

const wedgeSource = "grass wedge as Irish and New Zealand dairy advisers draw it"

// pasture walks a farm's grass. Covers are all from the ground or all above the
// stubble: the two differ by some 1,500 kg/ha, and countries differ in which they
// mean. What is worst of a year's months is grazing_area with nothing kept.
var pasture = []*formula.Function{
	{
		Name: "entry_cover", About: "the grass that a paddock should have when stock comes in", Source: wedgeSource,
		Params: []formula.Param{
			atLeastNone("demand", "what stock eats of an area in a day", growthADay, "kg/ha/day"),
			days("round", "the time from one grazing of a paddock to the next"),
			cover("residual", "the grass that is left behind"),
		},
		Result: formula.Param{Dimension: massOnArea, Unit: "kg/ha"},
		Eval:   func(x, out []float64) { out[0] = float64(x[0]*x[1]) + x[2] },
	},
	{
		Name: "regrowth", About: "the time in which grass comes back", Source: "grass to grow divided by growth; New Zealand and Irish grazing guides",
		Params: []formula.Param{
			cover("entry", "the grass when stock comes in"), cover("residual", "the grass that is left behind"),
			aboveNone("growth", "what an area grows in a day", growthADay, "kg/ha/day"),
		},
		Result: formula.Param{Dimension: quantity.Time, Unit: "day"},
		Rules:  []formula.Rule{leftBelow(0)},
		Eval:   func(x, out []float64) { out[0] = (x[0] - x[1]) / x[2] },
	},
	{
		Name: "round_length", About: "the time that stock takes to graze round a farm", Source: "grass on the farm divided by what is eaten in a day; common in grazing manuals",
		Params: []formula.Param{
			area("area", "the area that is grazed"), cover("entry", "the grass when stock comes in"), cover("residual", "the grass that is left behind"),
			aboveNone("eaten", "what the group eats in a day", massADay, "kg/day"),
		},
		Result: formula.Param{Dimension: quantity.Time, Unit: "day"},
		Rules:  []formula.Rule{leftBelow(1)},
		Eval:   func(x, out []float64) { out[0] = x[0] * (x[1] - x[2]) / x[3] },
	},
	{
		Name: "plate_cover", About: "the grass that a plate meter's reading means", Source: "a straight line that differs by country and season: 140 a step and 500 in New Zealand's winter, 158 and 330 by Northern Ireland's department of agriculture",
		Params: []formula.Param{
			number("reading", "the reading of the plate meter", formula.AtLeast(0)),
			cover("step", "the grass that one step of the reading means"), cover("ground", "the grass at a reading of nothing"),
		},
		Result: formula.Param{Dimension: massOnArea, Unit: "kg/ha"},
		Eval:   func(x, out []float64) { out[0] = float64(x[0]*x[1]) + x[2] },
	},
	{
		Name: "cover_after", About: "the grass that stands on an area after a time, below nothing where it runs out", Source: "feed budget, New Zealand and Irish grazing guides",
		Params: []formula.Param{
			cover("cover", "the grass at the beginning"),
			atLeastNone("growth", "what an area grows in a day", growthADay, "kg/ha/day"),
			atLeastNone("demand", "what stock eats of an area in a day", growthADay, "kg/ha/day"),
			days("days", "the length of the time"),
		},
		Result: formula.Param{Dimension: massOnArea, Unit: "kg/ha"},
		Eval:   func(x, out []float64) { out[0] = x[0] + float64((x[1]-x[2])*x[3]) },
	},
	{
		Name: "grass_spare", About: "the grass that a time leaves over, below nothing where it lacks", Source: "feed budget, New Zealand and Irish grazing guides",
		Params: []formula.Param{
			area("area", "the area that is grazed"),
			atLeastNone("growth", "what an area grows in a day", growthADay, "kg/ha/day"),
			days("days", "the length of the time"),
			cover("cover", "the grass at the beginning"), cover("least", "the grass that must stand at the end"),
			atLeastNone("eaten", "what the group eats in a day", massADay, "kg/day"),
		},
		Result: formula.Param{Dimension: quantity.Mass, Unit: "kg"},
		Eval: func(x, out []float64) {
			stands := float64(x[1]*x[2]) + x[3] - x[4]
			out[0] = float64(x[0]*stands) - float64(x[5]*x[2])
		},
	},
	{
		Name: "intake_fibre", About: "the dry matter that cattle eat in a day of a feed that fills them", Source: "1.2 % of live weight divided by neutral detergent fibre, after Mertens; American extension",
		Params: []formula.Param{
			atLeastNone("live", "the live weight", quantity.Mass, "kg"),
			someShare("fibre", "the neutral detergent fibre in the feed's dry matter"),
		},
		Result: formula.Param{Dimension: massADay, Unit: "kg/day"},
		Eval:   func(x, out []float64) { out[0] = x[0] * 0.012 / x[1] / daySeconds },
	},
}

// leftBelow is the rule that what is left is no more than what stood; entry is the
// place of what stood, which is followed by what is left.
func leftBelow(entry int) formula.Rule {
	return formula.Rule{
		Words: "more grass is left behind than stands when stock comes in",
		Holds: func(x []float64) bool { return x[entry] >= x[entry+1] },
	}
}

func cover(name string, about say.Text) formula.Param {
	return atLeastNone(name, about, massOnArea, "kg/ha")
}
