package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// logs are the ways to measure a log and a stack of wood. Diameters are across
// the log, without bark where the price is without bark; lengths along it. All
// give cubic metres of solid wood. A straight taper makes Huber a little low and
// Smalian a little high; butt swell makes Smalian much too high. Newton weighs
// them two to one and is exact for cylinder, cone, paraboloid and neiloid. The
// quarter girth gives pi/4 of the true volume of a round log, as an allowance
// for slabs.
var logs = []*formula.Function{
	{
		Name: "log_huber", About: "the volume of a log from its diameter half-way along",
		Source: "Huber's formula, as in Irish forest research notes on wood energy units",
		Params: []formula.Param{length("middle", "the diameter half-way along"), length("length", "the length of the log")}, Result: cubicMetres,
		Eval: func(x, out []float64) { out[0] = cylinder(x[0], x[1]) },
	},
	{
		Name: "log_smalian", About: "the volume of a log from the diameters of its two ends",
		Source: "Smalian's formula, as in the forest functions of the University of Missouri",
		Params: []formula.Param{length("end", "the diameter at one end"), length("other", "the diameter at the other end"), length("length", "the length of the log")}, Result: cubicMetres,
		Eval: func(x, out []float64) { out[0] = (cylinder(x[0], x[2]) + cylinder(x[1], x[2])) / 2 },
	},
	{
		Name: "log_newton", About: "the volume of a log from the diameters of both ends and the middle",
		Source: "Newton's formula, common in forest mensuration",
		Params: []formula.Param{
			length("end", "the diameter at one end"), length("middle", "the diameter half-way along"),
			length("other", "the diameter at the other end"), length("length", "the length of the log"),
		}, Result: cubicMetres,
		Eval: func(x, out []float64) {
			out[0] = (cylinder(x[0], x[3]) + float64(4*cylinder(x[1], x[3])) + cylinder(x[2], x[3])) / 6
		},
	},
	{
		Name: "log_quarter_girth", About: "the volume of a log by the quarter girth, which leaves a part for slabs",
		Source: "Hoppus measure, as in British forest mensuration",
		Params: []formula.Param{length("girth", "the girth half-way along"), length("length", "the length of the log")}, Result: cubicMetres,
		Eval: func(x, out []float64) { out[0] = x[0] / 4 * x[0] / 4 * x[1] },
	},
	{
		Name: "stacked", About: "the room that solid wood takes in a pile",
		Source: "solid wood divided by its share of the pile; common in firewood trade",
		Params: []formula.Param{
			{Name: "solid", About: "the solid wood", Any: true, Sense: formula.AtLeast(0)},
			someShare("share", "the share of the pile that is wood and not air"),
		},
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = x[0] / x[1] },
	},
}

var cubicMetres = formula.Param{Dimension: quantity.Volume, Unit: "m3"}

func cylinder(diameter, length float64) float64 {
	return float64(math.Pi / 4 * diameter * diameter * length)
}
