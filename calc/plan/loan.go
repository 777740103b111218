package plan

import (
	"math"

	"rickyard/calc/portable"
)

// Amounts in this file are in any one currency, rates are fractions for a
// period (0.06 is six per cent), and payments fall at the end of a period. The
// formulas are those of the level annuity, as any text on the mathematics of
// finance gives them.

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

// Periods returns how many level payments pay a debt off, usually not a whole
// number, and whether any number does: a payment that does not cover the
// interest never will.
func Periods(amount, rate, payment float64) (float64, bool) {
	if rate == 0 {
		return amount / payment, payment > 0
	}
	left := 1 - amount*rate/payment
	if !(left > 0) || payment <= 0 {
		return 0, false
	}
	return -portable.Log(left) / portable.Log1p(rate), true
}

// FutureValue returns what a sum of now and a payment at the end of each period
// grow to.
func FutureValue(now, payment, rate, periods float64) float64 {
	if rate == 0 {
		return now + float64(payment*periods)
	}
	return float64(now*portable.Pow(1+rate, periods)) + payment*portable.Expm1(periods*portable.Log1p(rate))/rate
}

// EffectiveRate returns the rate of a whole year that a yearly rate comes to
// when an equal part of it is charged so many times in the year:
// (1 + rate/times)^times - 1.
func EffectiveRate(yearly float64, times int) float64 {
	return portable.Expm1(float64(times) * portable.Log1p(yearly/float64(times)))
}

// A Repayment says how a debt is paid back.
type Repayment int

// The ways of paying back.
const (
	Level          Repayment = iota // the same payment each time
	EqualPrincipal                  // the same part of the debt each time, and the interest on what is left
	AtEnd                           // only interest, and the debt with the last payment
)

// Terms are the terms of a loan.
type Terms struct {
	Amount       float64
	Rate         float64 // for a period
	Periods      int
	InterestOnly int     // so many of the first periods
	Balloon      float64 // fraction of the amount that is left to be paid with the last payment
	Repayment    Repayment
}

// An Instalment is one payment of a loan.
type Instalment struct {
	Interest, Principal float64
	After               float64 // debt after it
}

// Schedule appends the loan's payments to out and returns it.
func (t Terms) Schedule(out []Instalment) []Instalment {
	free := min(max(0, t.InterestOnly), max(0, t.Periods-1))
	rest := t.Amount * min(1, max(0, t.Balloon))
	if t.Repayment == AtEnd {
		rest = t.Amount
	}
	periods := float64(t.Periods - free)
	level := Payment(t.Amount, t.Rate, periods, rest)
	part := (t.Amount - rest) / max(1, periods)
	debt := t.Amount
	for n := range t.Periods {
		i := Instalment{Interest: float64(debt * t.Rate)}
		switch {
		case n == t.Periods-1:
			i.Principal = debt
		case n < free:
		case t.Repayment == Level:
			i.Principal = level - i.Interest
		default:
			i.Principal = part
		}
		debt -= i.Principal
		if n == t.Periods-1 {
			debt = 0
		}
		i.After = debt
		out = append(out, i)
	}
	return out
}

// InWhole appends the payments of a loan that is kept in whole smallest coins
// (a hundred to the unit for two decimals): payment and interest are rounded
// half away from zero, and the last payment clears what is left. Level
// repayment only.
func (t Terms) InWhole(coins float64, out []Instalment) []Instalment {
	round := func(x float64) float64 { return math.Round(x * coins) }
	level := round(Payment(t.Amount, t.Rate, float64(t.Periods), 0))
	debt := round(t.Amount)
	for n := range t.Periods {
		interest := math.Round(debt * t.Rate)
		principal := level - interest
		if n == t.Periods-1 {
			principal = debt
		}
		debt -= principal
		out = append(out, Instalment{interest / coins, principal / coins, debt / coins})
	}
	return out
}
