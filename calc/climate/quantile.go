package climate

import (
	"math"
	"slices"
)

// Rank returns the value that a share of the years stays below, by its rank p (n +
// 1): Weibull's plotting position, which does not take the record for the worst
// there can be. NaN where the record is too short to say: a tenth needs nine years.
//
// Source: Weibull 1939; Makkonen, Journal of Applied Meteorology and Climatology 45
// (2006), for why this one of the many.
func Rank(values []float64, share float64) float64 {
	return ranked(values, share*float64(len(values)+1))
}

// Spreadsheet returns the same by the rank p (n - 1) + 1 that spreadsheets take. It
// is nearer the middle, and for few years too hopeful.
func Spreadsheet(values []float64, share float64) float64 {
	return ranked(values, float64(share*float64(len(values)-1))+1)
}

// ranked returns the value at a rank from 1, in proportion between two.
func ranked(values []float64, rank float64) float64 {
	n := float64(len(values))
	// 0.1 * 10 may come out a hair below 1.
	if near := math.Round(rank); math.Abs(rank-near) < 1e-9 {
		rank = near
	}
	if !(rank >= 1 && rank <= n) || slices.ContainsFunc(values, math.IsNaN) {
		return math.NaN()
	}
	sorted := slices.Sorted(slices.Values(values))
	below := sorted[int(rank)-1]
	part := rank - math.Floor(rank)
	if part == 0 {
		return below
	}
	return below + float64(part*(sorted[int(rank)]-below))
}
