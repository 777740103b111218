package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// tanks follow a store of water through the year. What can be drawn in a step is
// what stood in the store at its start: yield after spillage, the cautious one of
// two conventions, as water runs in before it is drawn and may run over.
var tanks = []*formula.Function{
	{
		Name: "rain_caught", About: "the water that runs off a roof or a yard",
		Source: "plan area times rain times runoff coefficient; rainwater guides of development agencies",
		Params: []formula.Param{
			area("area", "the area seen from above"), atLeastNone("rain", "the rain", quantity.Length, "mm"),
			share("runoff", "the share of the rain that runs off"),
		},
		Result: formula.Param{Dimension: quantity.Volume, Unit: "L"},
		Eval:   func(x, out []float64) { out[0] = x[0] * x[1] * x[2] },
	},
	{
		Name: "tank_store", About: "what stands in a tank at the end of each month",
		Source: yieldAfterSpillage, Params: append(tank, opening), Rules: notOverfull,
		Result: formula.Param{Dimension: quantity.Volume, Unit: "L", Months: true, Kind: formula.Level},
		Eval:   func(x, out []float64) { tankOf(x).Run(x[25], x[1:13], x[13:25], out, nil, nil) },
	},
	{
		Name: "tank_supply", About: "what a tank gives in each month",
		Source: yieldAfterSpillage, Params: append(tank, opening), Rules: notOverfull,
		Result: formula.Param{Dimension: quantity.Volume, Unit: "L", Months: true},
		Eval:   func(x, out []float64) { tankOf(x).Run(x[25], x[1:13], x[13:25], nil, out, nil) },
	},
	{
		Name: "tank_spill", About: "what runs over from a tank in each month",
		Source: yieldAfterSpillage, Params: append(tank, opening), Rules: notOverfull,
		Result: formula.Param{Dimension: quantity.Volume, Unit: "L", Months: true},
		Eval:   func(x, out []float64) { tankOf(x).Run(x[25], x[1:13], x[13:25], nil, nil, out) },
	},
	{
		Name: "tank_reliability", About: "the share of the water wanted that a tank gives, year after year alike",
		Source: yieldAfterSpillage, Params: tank,
		Result: formula.Param{Dimension: quantity.Number, Unit: "%"},
		Eval:   func(x, out []float64) { out[0] = tankOf(x).Reliability(x[1:13], x[13:25]) },
	},
	{
		Name: "tank_size", About: "the smallest tank that gives a share of the water wanted, year after year alike",
		Source: yieldAfterSpillage,
		Params: []formula.Param{tank[1], tank[2], someShare("reliability", "the share of the water wanted that it is to give")},
		Result: formula.Param{Dimension: quantity.Volume, Unit: "L"},
		Eval:   func(x, out []float64) { out[0] = float64(SmallestTank(x[:12], x[12:24], x[24])) },
	},
}

const yieldAfterSpillage = "balance by the month, yield after spillage; common in the rainwater literature"

var (
	tank = []formula.Param{
		atLeastNone("size", "what the tank holds", quantity.Volume, "L"),
		byMonth(atLeastNone("inflow", "what runs in in each month", quantity.Volume, "L")),
		byMonth(atLeastNone("wanted", "the water wanted in each month", quantity.Volume, "L")),
	}
	opening     = atLeastNone("opening", "what stands in the tank at the start", quantity.Volume, "L")
	notOverfull = []formula.Rule{{Words: "more stands in the tank at the start than it holds", Holds: func(x []float64) bool { return x[25] <= x[0]*(1+1e-9) }}}
)

// A Tank is the size of a store, in any unit of volume that inflow and demand are
// in too.
type Tank float64

func tankOf(x []float64) Tank { return Tank(x[0]) }

// Run follows the tank through steps of inflow and demand, days or months, from
// what stands in it at the start, and returns what stands in it at the end. Store
// at each step's end, supply and spill are written where a slice is given. Inflow
// and opening store are what was supplied, spilt and is left.
func (t Tank) Run(stored float64, inflow, demand, store, supply, spill []float64) float64 {
	size := float64(t)
	for i := range inflow {
		drawn := math.Min(demand[i], stored)
		over := math.Max(0, stored+inflow[i]-size)
		stored = stored + inflow[i] - over - drawn
		if store != nil {
			store[i] = stored
		}
		if supply != nil {
			supply[i] = drawn
		}
		if spill != nil {
			spill[i] = over
		}
	}
	return stored
}

// turns bounds how often the steps are gone through until the store at their end is
// the one they began with.
const turns = 100

// Reliability returns the share of all demand that is supplied when the same steps
// come round again and again. Where nothing is wanted it is all supplied.
func (t Tank) Reliability(inflow, demand []float64) float64 {
	supply := make([]float64, len(inflow))
	stored := 0.0
	for range turns {
		before := stored
		stored = t.Run(stored, inflow, demand, nil, supply, nil)
		if stored == before {
			break
		}
	}
	wanted, given := total(demand), total(supply)
	if wanted == 0 {
		return 1
	}
	return given / wanted
}

// SmallestTank returns the least size whose reliability is at least the one wanted,
// to a ten-millionth of the year's demand; NaN if none is, as where less runs in
// than is wanted.
func SmallestTank(inflow, demand []float64, reliability float64) Tank {
	low, high := 0.0, total(inflow)+total(demand)
	meets := func(size float64) bool { return Tank(size).Reliability(inflow, demand) >= reliability-1e-12 }
	switch {
	case meets(0):
		return 0
	case !meets(high):
		return Tank(math.NaN())
	}
	for high-low > 1e-7*total(demand) {
		if middle := (low + high) / 2; meets(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return Tank(high)
}

func total(values []float64) float64 {
	sum := 0.0
	for _, x := range values {
		sum += x
	}
	return sum
}
