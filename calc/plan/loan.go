package plan

import "rickyard/calc/trade"

// Amounts in this file are in any one currency, rates are fractions for a
// period (0.06 is six per cent), and payments fall at the end of a period. What a
// level payment is stands in calc/trade.

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
	level := trade.Payment(t.Amount, t.Rate, periods, rest)
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
