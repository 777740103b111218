// Package trade holds the formulas of single trades that the formula language
// offers by name: a lactation curve, the grass that a flock needs, a mix of two
// feeds. One file is one topic. Each function says where it is published and
// within which limits it holds.
//
// Coefficients that differ between breeds, places or schemes are arguments, so
// that they stand in the farm's own data with their source. Outside its limits
// a function gives NaN, which the language shows as no answer.
package trade

import (
	"math"
	"slices"
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
)

// A day in the language's base unit of time.
const daySeconds = 86400

// fill sets every value, as NaN for a series that has no answer.
func fill(out []float64, x float64) {
	for i := range out {
		out[i] = x
	}
}

// whole rounds up, but takes a number within a thousand-millionth of a whole
// one for that one, as the language's own ceil does.
func whole(x float64) float64 {
	if near := math.Round(x); math.Abs(x-near) <= 1e-9*math.Max(1, math.Abs(near)) {
		return near
	}
	return math.Ceil(x)
}
