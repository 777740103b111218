package plan

import "math"

// Costs in this file are in any one currency, lives in years, and a year's
// depreciation falls at its end.

// StraightLine returns the depreciation of each year: cost less what is left at
// the end, over the life.
func StraightLine(cost, left, years float64) float64 { return (cost - left) / years }

// SumOfYears returns the depreciation of one year, counted from 1, by the sum
// of the years' digits.
func SumOfYears(cost, left float64, years, year int) float64 {
	digits := years * (years + 1) / 2
	return (cost - left) * float64(years-year+1) / float64(digits)
}

// DecliningBalance appends the depreciation of each year at times/years of the
// book value: 2 for the double rate, 1.5 for one and a half. The plain method
// ignores what is left at the end.
func DecliningBalance(cost, times float64, years int, out []float64) []float64 {
	book := cost
	for range years {
		d := book * times / float64(years)
		book -= d
		out = append(out, d)
	}
	return out
}

// DecliningToStraight appends the depreciation of each year by declining
// balance, going over to the straight line once that is more, never below what
// is left at the end.
func DecliningToStraight(cost, left, times float64, years int, out []float64) []float64 {
	book := cost
	for n := range years {
		d := decline(book, left, times, float64(years), float64(years-n))
		book -= d
		out = append(out, d)
	}
	return out
}

// decline is the depreciation of one year of an asset at its book value, with
// so many years of its life to go.
func decline(book, left, times, life, toGo float64) float64 {
	return math.Min(math.Max(0, book-left), math.Max(book*times/life, (book-left)/toGo))
}

// CapitalRecovery returns the level payment a period that returns one unit of
// money with interest: rate*(1+rate)^n / ((1+rate)^n - 1), or 1/n without
// interest.
func CapitalRecovery(rate, periods float64) float64 { return Payment(1, rate, periods, 0) }

// YearlyCost returns what owning something costs a year, with interest: the
// capital recovery of what it loses, and interest on what is left.
func YearlyCost(cost, left, rate, years float64) float64 {
	return float64(CapitalRecovery(rate, years)*(cost-left)) + float64(left*rate)
}
