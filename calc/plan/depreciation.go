package plan

import "rickyard/calc/trade"

// What a thing loses in a year stands in calc/trade, where formulas can call it.

// StraightLine returns the depreciation of each year.
func StraightLine(cost, left, years float64) float64 { return trade.StraightLine(cost, left, years) }

func decline(book, left, times, life, toGo float64) float64 {
	return trade.Decline(book, left, times, life, toGo)
}
