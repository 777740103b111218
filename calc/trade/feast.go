package trade

import (
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/season"
)

// feasts are days that move, for which lambs, turkeys and eggs are wanted. They
// come as a date of the year of 365 days.
var feasts = []*formula.Function{
	{
		Name: "easter", About: "the date of Easter Sunday in a year", Source: "J. Meeus, Astronomical Algorithms, chapter 8",
		Params: calendarYear(), Result: formula.Param{Dimension: quantity.Time, Unit: "date"},
		Eval: func(x, out []float64) { out[0] = dateOf(season.Easter(int(x[0]))) },
	},
	{
		Name: "eastern_easter", About: "the date of Easter Sunday of the Eastern churches in a year", Source: "J. Meeus, Astronomical Algorithms, chapter 8",
		Params: calendarYear(), Result: formula.Param{Dimension: quantity.Time, Unit: "date"},
		Eval: func(x, out []float64) { out[0] = dateOf(season.EasternEaster(int(x[0]))) },
	},
}

func calendarYear() []formula.Param {
	return []formula.Param{number("year", "the year", formula.Between(1583, 4099))}
}

func dateOf(month, day int) float64 {
	days, _ := quantity.Date(float64(day), month-1)
	return days * daySeconds
}
