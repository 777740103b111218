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
			atLeastNone("eaten", "what the group eats in a day", massADay, "kg/day"),
			days("stay", "the length of the stay"),
			aboveNone("offered", "the grass that stands on an area", massOnArea, "kg/ha"),
			someShare("used", "the share of the grass that is eaten"),
		},
		Result: formula.Param{Dimension: quantity.Area, Unit: "ha"},
		Eval:   func(x, out []float64) { out[0] = x[0] * x[1] / (x[2] * x[3]) },
	},
	{
		Name: "paddock_count", About: "the number of paddocks that give each its rest", Source: "rest divided by stay, and one that is grazed; common in grazing manuals",
		Params: []formula.Param{
			days("rest", "the rest that each paddock is to have"),
			aboveNone("stay", "the length of a stay", quantity.Time, "day"),
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
		Name: "grazing_area", About: "the smallest area on which grazing never runs out where each year is as the last", Source: "a feed budget month by month; common practice, no source",
		Params: []formula.Param{
			{Name: "eaten", About: "what all the animals graze in each month", Dimension: quantity.Mass, Months: true, Unit: "kg", Sense: formula.AtLeast(0)},
			{Name: "growth", About: "what an area grows in a day of each month", Dimension: growthADay, Months: true, Unit: "kg/ha/day", Sense: formula.AtLeast(0)},
			share("used", "the share of the growth that is grazed"),
			share("keeps", "the share of what is left standing that is still worth eating a month later"),
		},
		Result: formula.Param{Dimension: quantity.Area, Unit: "ha"},
		Eval:   func(x, out []float64) { out[0] = leastArea(x[:12], x[12:24], x[24], x[25]) },
	},
}

// leastArea is the smallest area on which cover never falls below nothing, in a
// year that comes again and again: what stands at turn-out is what the year
// before has left. Cover at the end of a month is keeps times the cover before,
// plus growth, less what is eaten over the area. In a year that returns to itself
// that is what has grown less what has been eaten in all months before, each by
// what is left of it; both sums are known without the area, and the tightest
// month decides.
func leastArea(eaten, growth []float64, used, keeps float64) float64 {
	area := 0.0
	for last := range 12 {
		grown, gone, left := 0.0, 0.0, 1.0
		for i := range 12 {
			m := (last + 12 - i) % 12
			grown += float64(float64(growth[m]*used*float64(quantity.MonthDays[m])*daySeconds) * left)
			gone += float64(eaten[m] * left)
			left *= keeps
		}
		if gone > 0 {
			area = math.Max(area, gone/grown)
		}
	}
	if math.IsInf(area, 0) {
		return math.NaN()
	}
	return area
}
