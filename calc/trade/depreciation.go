package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

const methods = "methods of depreciation as accounting courses compare them, common practice, no source"

// depreciating is what a thing loses in a year, and what owning it costs. A
// year's depreciation falls at its end.
var depreciating = []*formula.Function{
	{
		Name: "straight_line", About: "the depreciation of each year by the straight line", Source: methods,
		Params: []formula.Param{price, left, life},
		Result: formula.Param{Like: 1, Kind: formula.Flow},
		Eval:   func(x, out []float64) { out[0] = StraightLine(x[0], x[1], years(x[2])) },
	},
	{
		Name: "sum_of_years", About: "the depreciation of one year by the sum of the years' digits", Source: methods,
		Params: []formula.Param{price, left, life, year},
		Result: formula.Param{Like: 1, Kind: formula.Flow},
		Rules:  []formula.Rule{wholeLife(2), inLife(2, 3)},
		Eval: func(x, out []float64) {
			n := years(x[2])
			out[0] = (x[0] - x[1]) * (n - x[3] + 1) / (n * (n + 1) / 2)
		},
	},
	{
		Name: "declining_balance", About: "the depreciation of one year by declining balance, which takes a part of the book value each year and goes on for ever", Source: methods,
		Params: []formula.Param{price, times, life, year},
		Result: formula.Param{Like: 1, Kind: formula.Flow},
		Rules:  []formula.Rule{inLife(2, 3), partOfBook(1, 2)},
		Eval: func(x, out []float64) {
			book, part := x[0], x[1]/years(x[2])
			for range int(x[3]) - 1 {
				book -= float64(book * part)
			}
			out[0] = book * part
		},
	},
	{
		Name: "declining_to_straight", About: "the depreciation of one year by declining balance, going over to the straight line once that is more, and never below what is left", Source: methods,
		Params: []formula.Param{price, left, times, life, year},
		Result: formula.Param{Like: 1, Kind: formula.Flow},
		Rules:  []formula.Rule{wholeLife(3), inLife(3, 4), partOfBook(2, 3)},
		Eval: func(x, out []float64) {
			book, n := x[0], years(x[3])
			for year := 1.0; year <= x[4]; year++ {
				out[0] = Decline(book, x[1], x[2], n, n-year+1)
				book -= out[0]
			}
		},
	},
	{
		Name: "capital_recovery", About: "the level payment in each period that returns one unit of money with interest", Source: annuity,
		Params: []formula.Param{loanRate, number("periods", "the number of periods", formula.Between(1, mostPeriods))},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = Payment(1, x[0], x[1], 0) },
	},
	{
		Name: "yearly_cost", About: "what owning a thing costs a year: the capital recovery of what it loses, and interest on what is left", Source: "capital recovery as in Iowa State University Extension, A3-29",
		Params: []formula.Param{price, left, loanRate, life},
		Result: formula.Param{Like: 1, Kind: formula.Flow},
		Eval: func(x, out []float64) {
			out[0] = float64(Payment(1, x[2], years(x[3]), 0)*(x[0]-x[1])) + float64(x[1]*x[2])
		},
	},
}

var (
	price = formula.Param{Name: "cost", About: "the price of the thing when new", Any: true, Sense: formula.AtLeast(0)}
	left  = formula.Param{Name: "left", About: "what it is worth at the end of its life", Like: 1, Sense: formula.AtLeast(0)}
	life  = formula.Param{Name: "life", About: "the life of the thing", Dimension: quantity.Time, Unit: "year", Sense: formula.Between(1, 100)}
	year  = number("year", "the year, counted from 1", formula.AtLeast(1))
	times = number("times", "how many times the straight line is taken: 2 for the double rate", formula.Above(0))
)

const yearSeconds = 365 * daySeconds

func years(t float64) float64 { return t / yearSeconds }

// wholeLife asks for whole years of the life, which is argument n.
func wholeLife(n int) formula.Rule {
	return formula.Rule{
		Words: "the life is not a whole number of years",
		Holds: func(x []float64) bool { return math.Abs(years(x[n])-math.Round(years(x[n]))) < 1e-9 },
	}
}

// inLife asks for a whole year that is not beyond the life.
func inLife(life, year int) formula.Rule {
	return formula.Rule{
		Words: "the thing has no such year",
		Holds: func(x []float64) bool { return x[year] == math.Round(x[year]) && x[year] <= years(x[life])+1e-9 },
	}
}

// partOfBook asks that no year takes more than all of the book value.
func partOfBook(times, life int) formula.Rule {
	return formula.Rule{
		Words: "a year would take more than the whole book value",
		Holds: func(x []float64) bool { return x[times] <= years(x[life])+1e-9 },
	}
}

// StraightLine returns the depreciation of each year: cost less what is left at
// the end, over the life.
func StraightLine(cost, left, years float64) float64 { return (cost - left) / years }

// Decline returns the depreciation of one year of an asset at its book value by
// declining balance (2 for the double rate) or the straight line if that is more,
// with so many years of its life to go.
func Decline(book, left, times, life, toGo float64) float64 {
	return math.Min(math.Max(0, book-left), math.Max(book*times/life, (book-left)/toGo))
}
