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
//
// paddock_area(eaten, stay, offered, used) is the area that a group which eats so
// much a day needs for a stay, where so much grass stands on an area and that
// share of it is used. With the grass between entry and exit as offered, used is
// 100 %. Limits: offered and used above zero, used at most 100 %.
//
// paddock_count(rest, stay) is the number of paddocks for one group: rest
// divided by stay, and the one that is being grazed.
//
// hay_needed(eaten, dry, lost) is hay as it is bought for what is eaten in dry
// matter: dry is the share of dry matter in the hay, lost the share of what is
// put out that is trodden in or spoilt. It divides by what is left, since lost is
// a share of the hay put out.
//
// grazing_area(eaten, growth, used, keeps, cover) is the smallest area on which a
// year's grazing never runs out: eaten is what all animals graze in each month
// (a mass), growth what an area grows a day in each month, used the share of it
// that is grazed. Grass not eaten stands over into the next month, but only the
// share keeps of it is still worth eating. The year is counted from the month in
// which grazing begins after months without any (from January where there are
// none), and cover is what then stands above the height that is left. A month
// without grazing needs no area. Limits: shares from 0 to 100 %, nothing below
// zero.
var grazing = []*formula.Function{
	{
		Name: "paddock_area", About: "the area that a group of animals needs for a stay", Source: "Penn State Agronomy Guide, Table 1.8-9",
		Params: []formula.Param{
			{Name: "eaten", Dimension: massADay}, {Name: "stay", Dimension: quantity.Time},
			{Name: "offered", Dimension: massOnArea}, {Name: "used", Dimension: quantity.Number},
		},
		Result: formula.Param{Dimension: quantity.Area, Unit: "ha"},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[2] > 0 && x[3] > 0 && x[3] <= 1 {
				out[0] = x[0] * x[1] / (x[2] * x[3])
			}
		},
	},
	{
		Name: "paddock_count", About: "the number of paddocks that give each its rest", Source: "rest divided by stay, and one that is grazed; common in grazing manuals",
		Params: []formula.Param{{Name: "rest", Dimension: quantity.Time}, {Name: "stay", Dimension: quantity.Time}},
		Result: formula.Param{Dimension: quantity.Number},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[0] >= 0 && x[1] > 0 {
				out[0] = whole(x[0]/x[1]) + 1
			}
		},
	},
	{
		Name: "hay_needed", About: "the hay to buy for what is eaten of it in dry matter", Source: "Iowa State and Missouri Extension worked examples, loss as a share of the hay put out",
		Params: []formula.Param{{Name: "eaten", Any: true}, {Name: "dry", Dimension: quantity.Number}, {Name: "lost", Dimension: quantity.Number}},
		Result: formula.Param{Like: 1},
		Eval: func(x, out []float64) {
			out[0] = math.NaN()
			if x[1] > 0 && x[1] <= 1 && x[2] >= 0 && x[2] < 1 {
				out[0] = x[0] / x[1] / (1 - x[2])
			}
		},
	},
	{
		Name: "grazing_area", About: "the smallest area on which a year's grazing never runs out", Source: "a feed budget month by month; common practice, no source",
		Params: []formula.Param{
			{Name: "eaten", Dimension: quantity.Mass, Months: true}, {Name: "growth", Dimension: growthADay, Months: true},
			{Name: "used", Dimension: quantity.Number}, {Name: "keeps", Dimension: quantity.Number}, {Name: "cover", Dimension: massOnArea},
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
// and the tightest month decides.
func leastArea(eaten, growth []float64, used, keeps, cover float64) float64 {
	if !(used >= 0 && used <= 1 && keeps >= 0 && keeps <= 1 && cover >= 0) {
		return math.NaN()
	}
	area, grown, gone := 0.0, cover, 0.0
	first := turnOut(eaten)
	for i := range 12 {
		m := (first + i) % 12
		if !(eaten[m] >= 0 && growth[m] >= 0) {
			return math.NaN()
		}
		if i > 0 {
			grown, gone = grown*keeps, gone*keeps
		}
		grown += growth[m] * used * float64(quantity.MonthDays[m]) * daySeconds
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
