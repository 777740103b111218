// Package trade holds the formulas of single trades that the formula language
// offers by name: a lactation curve, the grass that a flock needs, a mix of two
// feeds. One file is one topic. Each function says where it is published and
// within which limits it holds.
//
// Coefficients that differ between breeds, places or schemes are arguments, so
// that they stand in the farm's own data with their source. The limits of each
// argument stand in the table: outside them the language gives no answer and
// says why.
package trade

import (
	"math"
	"slices"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// Functions are all functions of this package.
var Functions = slices.Concat(
	lactation,
	grazing,
	rations,
	laying,
	feeding,
	logs,
	planting,
	milk,
	cheese,
	meat,
	stages,
	flocks,
	pasture,
	seeds,
	fungi,
	work,
	feasts,
	weather,
	tanks,
	ponds,
	runoffs,
	irrigating,
	pipes,
	trees,
	firewood,
	fencing,
	soils,
	composting,
	finance,
	depreciating,
)

// A day in the language's base unit of time.
const daySeconds = 86400

// Parameters that many functions have. None of them can be below nothing.

// share is a part of a whole, from nothing to all of it.
func share(name string, about say.Text) formula.Param {
	return formula.Param{Name: name, About: about, Dimension: quantity.Number, Unit: "%", Sense: formula.Between(0, 100)}
}

// someShare is a share that is divided by, and so can't be nothing.
func someShare(name string, about say.Text) formula.Param {
	p := share(name, about)
	p.Sense = formula.Above(0).AtMost(100)
	return p
}

func length(name string, about say.Text) formula.Param {
	return formula.Param{Name: name, About: about, Dimension: quantity.Length, Unit: "m", Sense: formula.AtLeast(0)}
}

// gap is a length that is divided by, and so can't be nothing.
func gap(name string, about say.Text) formula.Param {
	return formula.Param{Name: name, About: about, Dimension: quantity.Length, Unit: "m", Sense: formula.Above(0)}
}

func area(name string, about say.Text) formula.Param {
	return formula.Param{Name: name, About: about, Dimension: quantity.Area, Unit: "ha", Sense: formula.AtLeast(0)}
}

func days(name string, about say.Text) formula.Param {
	return formula.Param{Name: name, About: about, Dimension: quantity.Time, Unit: "day", Sense: formula.AtLeast(0)}
}

// whole rounds up, but takes a number within a thousand-millionth of a whole
// one for that one, as the language's own ceil does.
func whole(x float64) float64 {
	if near := math.Round(x); math.Abs(x-near) <= 1e-9*math.Max(1, math.Abs(near)) {
		return near
	}
	return math.Ceil(x)
}
