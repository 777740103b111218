package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// logs are the ways to measure a log and a stack of wood. Diameters are across
// the log, without bark where the price is without bark; lengths along it. All
// give cubic metres of solid wood.
//
// log_huber(middle, length) takes the diameter half-way along: pi/4 * middle^2 *
// length. log_smalian(end, other, length) takes the mean of the two end areas. A
// straight taper makes Huber a little low and Smalian a little high; butt swell
// makes Smalian much too high. log_newton(end, middle, other, length) weighs them
// two to one and is exact for cylinder, cone, paraboloid and neiloid.
// log_quarter_girth(girth, length) is the old measure of Britain, a quarter of the
// girth squared: it gives pi/4 of the true volume of a round log, as an allowance
// for slabs.
//
// stacked(solid, share) is the room that solid wood takes when it is piled, where
// share of the pile is wood and the rest air. The result is of the same kind as
// solid. Limits: no diameter, girth or length below zero, share above 0 % and at
// most 100 %.
var logs = []*formula.Function{
	{
		Name: "log_huber", About: "the volume of a log from its diameter half-way along", Source: "Huber's formula, as in Irish forest research notes on wood energy units",
		Params: lengths("middle", "length"), Result: cubicMetres,
		Eval: func(x, out []float64) { out[0] = cylinder(x[0], x[1]) },
	},
	{
		Name: "log_smalian", About: "the volume of a log from the diameters of its two ends", Source: "Smalian's formula, as in the forest functions of the University of Missouri",
		Params: lengths("end", "other", "length"), Result: cubicMetres,
		Eval: func(x, out []float64) { out[0] = (cylinder(x[0], x[2]) + cylinder(x[1], x[2])) / 2 },
	},
	{
		Name: "log_newton", About: "the volume of a log from the diameters of both ends and the middle", Source: "Newton's formula, common in forest mensuration",
		Params: lengths("end", "middle", "other", "length"), Result: cubicMetres,
		Eval: func(x, out []float64) {
			out[0] = (cylinder(x[0], x[3]) + 4*cylinder(x[1], x[3]) + cylinder(x[2], x[3])) / 6
		},
	},
	{
		Name: "log_quarter_girth", About: "the volume of a log by the quarter girth, which leaves a part for slabs", Source: "Hoppus measure, as in British forest mensuration",
		Params: lengths("girth", "length"), Result: cubicMetres,
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[0] >= 0 && x[1] >= 0 {
				out[0] = x[0] / 4 * x[0] / 4 * x[1]
			}
		},
	},
	{
		Name: "stacked", About: "the room that solid wood takes in a pile", Source: "solid wood divided by its share of the pile; common in firewood trade",
		Params: []formula.Param{{Name: "solid", Any: true}, {Name: "share", Dimension: quantity.Number}},
		Result: formula.Param{Like: 1},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[0] >= 0 && x[1] > 0 && x[1] <= 1 {
				out[0] = x[0] / x[1]
			}
		},
	},
}

var cubicMetres = formula.Param{Dimension: quantity.Volume, Unit: "m3"}

func lengths(names ...string) []formula.Param {
	params := make([]formula.Param, len(names))
	for i, name := range names {
		params[i] = formula.Param{Name: name, Dimension: quantity.Length}
	}
	return params
}

func cylinder(diameter, length float64) float64 {
	if !(diameter >= 0 && length >= 0) {
		return math.NaN()
	}
	return math.Pi / 4 * diameter * diameter * length
}
