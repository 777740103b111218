package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/portable"
	"rickyard/calc/quantity"
)

// Amounts are in any one currency, and payments fall at the end of their period
// unless they are said to fall today. A rate is a share for one period: of 6 % a
// year, 6 %/year * 1 month for a loan that is paid by the month.
const annuity = "the level annuity, as any text on the mathematics of finance gives it"

// finance are loans, what money is worth later and earlier, and what a plan must
// bring.
var finance = []*formula.Function{
	{
		Name: "loan_payment", About: "the level payment that pays a loan back with its interest", Source: annuity,
		Params: []formula.Param{loan, loanRate, payments},
		Result: formula.Param{Like: 1, Kind: formula.Flow},
		Rules:  []formula.Rule{wholePayments},
		Eval:   func(x, out []float64) { out[0] = Payment(x[0], x[1], x[2], 0) },
	},
	{
		Name: "loan_balance", About: "what is still owed of a loan after some of its level payments", Source: annuity,
		Params: []formula.Param{loan, loanRate, payments, number("paid", "the payments made", formula.AtLeast(0))},
		Result: formula.Param{Like: 1, Kind: formula.Level},
		Rules:  []formula.Rule{wholePayments, notMorePaid},
		Eval:   func(x, out []float64) { out[0] = Balance(x[0], x[1], x[2], x[3]) },
	},
	{
		Name: "loan_interest", About: "the interest in one of the level payments of a loan", Source: annuity,
		Params: []formula.Param{loan, loanRate, payments, number("paid", "the number of the payment, counted from 1", formula.AtLeast(1))},
		Result: formula.Param{Like: 1, Kind: formula.Flow},
		Rules:  []formula.Rule{wholePayments, notMorePaid},
		Eval:   func(x, out []float64) { out[0] = Balance(x[0], x[1], x[2], x[3]-1) * x[1] },
	},
	{
		Name: "loan_payments", About: "the number of payments that pay a loan back, seldom a whole one", Source: annuity,
		Params: []formula.Param{loan, loanRate, {Name: "payment", About: "the level payment", Like: 1, Sense: formula.Above(0)}},
		Result: formula.Param{Dimension: quantity.Number},
		Rules: []formula.Rule{{
			Words: "the payment does not cover the interest, so the loan is never paid back",
			Holds: func(x []float64) bool { return x[2] > x[0]*x[1] },
		}},
		Eval: func(x, out []float64) { out[0] = Payments(x[0], x[1], x[2]) },
	},
	{
		Name: "effective_rate", About: "what a yearly rate comes to when a part of it is charged several times a year", Source: annuity,
		Params: []formula.Param{share("rate", "the yearly rate"), number("times", "how often it is charged in a year", formula.Between(1, 366))},
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Eval:   func(x, out []float64) { out[0] = portable.Expm1(x[1] * portable.Log1p(x[0]/x[1])) },
	},
	{
		Name: "future_value", About: "what a sum of today and a payment in each period grow to", Source: annuity,
		Params: []formula.Param{
			{Name: "now", About: "the sum of today", Any: true}, {Name: "each", About: "the payment at the end of each period", Like: 1},
			interest, number("periods", "the number of periods", formula.Between(0, mostPeriods)),
		},
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = FutureValue(x[0], x[1], x[2], x[3]) },
	},
	{
		Name: "present_value", About: "what flows of money are worth today, the first of them today and one in each period", Source: annuity,
		Params: []formula.Param{interest, flows},
		Result: formula.Param{Like: 2},
		Eval:   func(x, out []float64) { out[0] = PresentValue(x[0], x[1:]) },
	},
	{
		Name: "internal_rate", About: "the rate at which flows of money are worth nothing today; of several the nearest to nought", Source: "the root of the present value; any text on the mathematics of finance",
		Params: []formula.Param{flows},
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Rules: []formula.Rule{{
			Words: "no rate makes these flows worth nothing",
			Holds: func(x []float64) bool { _, ok := NearestRate(x); return ok },
		}},
		Eval: func(x, out []float64) { out[0], _ = NearestRate(x) },
	},
	{
		Name: "payback", About: "the periods after which flows of money have brought the first one back, each at its worth today at a rate; each flow falls evenly within its period", Source: "common practice, no source",
		Params: []formula.Param{interest, flows},
		Result: formula.Param{Dimension: quantity.Number},
		Rules: []formula.Rule{{
			Words: "these flows never bring the first one back",
			Holds: func(x []float64) bool { _, ok := Payback(x[0], x[1:]); return ok },
		}},
		Eval: func(x, out []float64) { out[0], _ = Payback(x[0], x[1:]) },
	},
	{
		Name: "break_even_price", About: "the price at which what is yielded pays its cost", Source: "Penn State Extension, break-even guidance",
		Params: []formula.Param{cost, {Name: "yield", About: "the yield expected", Any: true, Sense: formula.Above(0)}},
		Result: formula.Param{Like: 1, Over: 2, Kind: formula.Price},
		Eval:   func(x, out []float64) { out[0] = x[0] / x[1] },
	},
	{
		Name: "break_even_yield", About: "the yield that pays its cost at a price", Source: "Penn State Extension, break-even guidance",
		Params: []formula.Param{cost, {Name: "price", About: "the price expected", Any: true, Sense: formula.Above(0)}},
		Result: formula.Param{Like: 1, Over: 2},
		Eval:   func(x, out []float64) { out[0] = x[0] / x[1] },
	},
	{
		Name: "break_even_volume", About: "how much must be sold to pay the fixed costs and what is wanted besides", Source: "fixed costs over the margin of each; common practice, no source",
		Params: []formula.Param{
			{Name: "fixed", About: "the fixed costs", Any: true, Sense: formula.AtLeast(0)}, {Name: "wanted", About: "the profit wanted", Like: 1},
			{Name: "price", About: "the price of each", Any: true}, {Name: "variable", About: "the variable costs of each", Like: 3},
		},
		Result: formula.Param{Like: 1, Over: 3},
		Rules: []formula.Rule{{
			Words: "the price is not above the variable costs of each, so no volume pays the fixed costs",
			Holds: func(x []float64) bool { return x[2] > x[3] },
		}},
		Eval: func(x, out []float64) { out[0] = (x[0] + x[1]) / (x[2] - x[3]) },
	},
	{
		Name: "break_even_turnover", About: "the sales at which nothing is lost, if variable costs stay the same part of them", Source: "fixed costs over 1 less the part of the variable ones; common practice, no source",
		Params: []formula.Param{
			{Name: "fixed", About: "the fixed costs", Any: true, Sense: formula.AtLeast(0)},
			{Name: "variable", About: "the variable costs", Like: 1}, {Name: "sales", About: "the sales", Like: 1, Sense: formula.Above(0)},
		},
		Result: formula.Param{Like: 1},
		Rules: []formula.Rule{{
			Words: "the variable costs are not below the sales, so no sales pay the fixed costs",
			Holds: func(x []float64) bool { return x[1] < x[2] },
		}},
		Eval: func(x, out []float64) { out[0] = x[0] / (1 - x[1]/x[2]) },
	},
}

// mostPeriods bounds the periods of a loan: a hundred years of months.
const mostPeriods = 1200

var (
	loan     = formula.Param{Name: "loan", About: "the loan", Any: true, Sense: formula.AtLeast(0)}
	payments = number("payments", "the number of payments", formula.Between(1, mostPeriods))
	interest = formula.Param{Name: "rate", About: "the rate of one period", Dimension: quantity.Number, Unit: "%", Sense: formula.Above(-100)}
	flows    = formula.Param{Name: "flow", About: "the flows of money, what is paid out below nought", Any: true, Many: true}
	cost     = formula.Param{Name: "cost", About: "the whole cost", Any: true, Sense: formula.AtLeast(0)}
)

// loanRate is the rate of one period of a loan, which is not below nought.
var loanRate = formula.Param{Name: "rate", About: "the rate of one period", Dimension: quantity.Number, Unit: "%", Sense: formula.AtLeast(0)}

var wholePayments = formula.Rule{
	Words: "the number of payments is not a whole one",
	Holds: func(x []float64) bool { return x[2] == math.Round(x[2]) },
}

var notMorePaid = formula.Rule{
	Words: "there are not so many payments",
	Holds: func(x []float64) bool { return x[3] <= x[2] },
}

// Payment returns the level payment that brings a debt down to a rest over so
// many periods: (amount - rest/(1+rate)^periods) * rate / (1 - (1+rate)^-periods),
// and an equal part of the debt where the rate is zero.
func Payment(amount, rate, periods, rest float64) float64 {
	if periods <= 0 {
		return amount - rest
	}
	if rate == 0 {
		return (amount - rest) / periods
	}
	// Expm1 and Log1p keep the digits of a very small rate.
	shrunk := portable.Exp(-periods * portable.Log1p(rate))
	return (amount - float64(rest*shrunk)) * rate / -portable.Expm1(-periods*portable.Log1p(rate))
}

// Balance returns what is owed of a debt after so many of its level payments: the
// worth, then, of those still to come.
func Balance(amount, rate, periods, paid float64) float64 {
	left := periods - paid
	if rate == 0 {
		return amount * left / periods
	}
	return amount * portable.Expm1(-left*portable.Log1p(rate)) / portable.Expm1(-periods*portable.Log1p(rate))
}

// Payments returns how many level payments pay a debt off, usually not a whole
// number; each must be more than the interest of the first.
func Payments(amount, rate, payment float64) float64 {
	if rate == 0 {
		return amount / payment
	}
	return -portable.Log1p(-amount*rate/payment) / portable.Log1p(rate)
}

// FutureValue returns what a sum of now and a payment at the end of each period
// grow to.
func FutureValue(now, payment, rate, periods float64) float64 {
	if rate == 0 {
		return now + float64(payment*periods)
	}
	return float64(now*portable.Pow(1+rate, periods)) + payment*portable.Expm1(periods*portable.Log1p(rate))/rate
}
