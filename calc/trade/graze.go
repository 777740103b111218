package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

var (
	massADay   = quantity.Mass.Div(quantity.Time)
	massOnArea = quantity.Mass.Div(quantity.Area)
	growthADay = massOnArea.Div(quantity.Time)
)

// grazing has what a grazier reckons with. Grass and hay are in dry matter
// unless a function says otherwise; animals come in as what they eat together.
// With the grass between entry and exit as offered, all of it is used. Hay
// divides by what is left, since the loss is a share of the hay put out.
var grazing = []*formula.Function{
	{
		Name: "paddock_area", About: "the area that a group of animals needs for a stay", Source: "Penn State Agronomy Guide, Table 1.8-9",
		Params: []formula.Param{
			{Name: "eaten", About: "what the group eats in a day", Dimension: massADay, Unit: "kg/day", Sense: formula.AtLeast(0)},
			days("stay", "the length of the stay"),
			{Name: "offered", About: "the grass that stands on an area", Dimension: massOnArea, Unit: "kg/ha", Sense: formula.Above(0)},
			someShare("used", "the share of the grass that is eaten"),
		},
		Result: formula.Param{Dimension: quantity.Area, Unit: "ha"},
		Eval:   func(x, out []float64) { out[0] = x[0] * x[1] / (x[2] * x[3]) },
	},
	{
		Name: "paddock_count", About: "the number of paddocks that give each its rest", Source: "rest divided by stay, and one that is grazed; common in grazing manuals",
		Params: []formula.Param{
			days("rest", "the rest that each paddock is to have"),
			{Name: "stay", About: "the length of a stay", Dimension: quantity.Time, Unit: "day", Sense: formula.Above(0)},
		},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = whole(x[0]/x[1]) + 1 },
	},
	{
		Name: "hay_needed", About: "the hay to buy for what is eaten of it in dry matter", Source: "Iowa State and Missouri Extension worked examples, loss as a share of the hay put out",
		Params: []formula.Param{
			{Name: "eaten", About: "the dry matter that is eaten", Any: true, Sense: formula.AtLeast(0)},
			someShare("dry", "the share of dry matter in the hay"),
			{Name: "lost", About: "the share of the hay put out that is trodden in or spoilt", Dimension: quantity.Number, Unit: "%", Sense: formula.AtLeast(0).Below(100)},
		},
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = x[0] / x[1] / (1 - x[2]) },
	},
	{
		Name: "grazing_area", About: "the smallest area on which a year's grazing never runs out", Source: "a feed budget month by month; common practice, no source",
		Params: []formula.Param{
			{Name: "eaten", About: "what all the animals graze in each month", Dimension: quantity.Mass, Months: true, Unit: "kg", Sense: formula.AtLeast(0)},
			{Name: "growth", About: "what an area grows in a day of each month", Dimension: growthADay, Months: true, Unit: "kg/ha/day", Sense: formula.AtLeast(0)},
			share("used", "the share of the growth that is grazed"),
			share("keeps", "the share of what is left standing that is still worth eating a month later"),
			{Name: "cover", About: "the grass above the height that is left when grazing begins", Dimension: massOnArea, Unit: "kg/ha", Sense: formula.AtLeast(0)},
		},
		Result: formula.Param{Dimension: quantity.Area, Unit: "ha"},
		Eval: func(x, out []float64) {
			out[0] = leastArea(x[:12], x[12:24], x[24], x[25], x[26])
		},
	},
}

// leastArea is the smallest area on which cover never falls below zero. Cover at
// the end of a month is keeps times the cover before, plus growth, less what is
// eaten over the area; both parts can be carried on without knowing the area,
// and the tightest month decides. The year is counted from the month in which
// grazing begins after months without any. A month without grazing needs no area.
func leastArea(eaten, growth []float64, used, keeps, cover float64) float64 {
	area, grown, gone := 0.0, cover, 0.0
	first := turnOut(eaten)
	for i := range 12 {
		m := (first + i) % 12
		if i > 0 {
			grown, gone = grown*keeps, gone*keeps
		}
		grown += float64(growth[m] * used * float64(quantity.MonthDays[m]) * daySeconds)
		gone += eaten[m]
		if eaten[m] > 0 {
			area = math.Max(area, gone/grown)
		}
	}
	if math.IsInf(area, 0) {
		return math.NaN()
	}
	return area
}

// turnOut is the month in which grazing begins after the longest time without.
func turnOut(eaten []float64) int {
	best, longest := 0, 0
	for m := range 12 {
		idle := 0
		for idle < 12 && eaten[(m+11-idle)%12] == 0 {
			idle++
		}
		if eaten[m] > 0 && idle > longest {
			best, longest = m, idle
		}
	}
	return best
}
