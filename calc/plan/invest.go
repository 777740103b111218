package plan

import "rickyard/calc/trade"

// What an investment is worth stands in calc/trade, where formulas can call it.

// NetPresentValue returns the flows' worth today.
func NetPresentValue(rate float64, flows []float64) float64 { return trade.PresentValue(rate, flows) }

// InternalRates returns the rates at which the flows are worth nothing today.
func InternalRates(flows []float64) []float64 { return trade.InternalRates(flows) }

// Payback returns after how many periods the first flow is back.
func Payback(flows []float64) (float64, bool) { return trade.Payback(0, flows) }
