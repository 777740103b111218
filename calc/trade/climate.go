package trade

import (
	"math"

	"rickyard/calc/climate"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// weather has the light of a latitude, what a crop gives off, rain that counts and
// warmth that adds up, all of package climate. Of a month, take the mean day's
// temperatures and mid_days() for the day; results by the day are then multiplied
// with month_days(). South of the equator latitudes are below nought.
var weather = []*formula.Function{
	{
		Name: "mid_days", About: "the day that stands for each month, its 15th",
		Source: "FAO Irrigation and Drainage Paper 56, chapter 3",
		Result: formula.Param{Dimension: quantity.Time, Unit: "date", Months: true},
		Eval: func(_, out []float64) {
			for m, day := range climate.MidMonth {
				out[m] = (day - 1) * daySeconds
			}
		},
	},
	{
		Name: "day_length", About: "the time from sunrise to sunset over a flat horizon",
		Source: fao56 + "34",
		Params: []formula.Param{latitude, dayOfYear}, Result: formula.Param{Dimension: quantity.Time, Unit: "h", Kind: formula.Price},
		Eval: func(x, out []float64) {
			out[0] = 3600 * climate.DayLength(degrees(x[0]), dayNumber(x[1]), climate.Flat)
		},
	},
	{
		Name: "almanac_day", About: "the time from sunrise to sunset as almanacs print it",
		Source: "FAO Irrigation and Drainage Paper 56, with the almanac's horizon of -0.8333 degrees",
		Params: []formula.Param{latitude, dayOfYear}, Result: formula.Param{Dimension: quantity.Time, Unit: "h", Kind: formula.Price},
		Eval: func(x, out []float64) {
			out[0] = 3600 * climate.DayLength(degrees(x[0]), dayNumber(x[1]), climate.Almanac)
		},
	},
	{
		Name: "sky_radiation", About: "the radiation that reaches a level area above the air",
		Source: fao56 + "21",
		Params: []formula.Param{published(latitude, formula.Between(-55, 55)), dayOfYear}, Result: radiated,
		Eval: func(x, out []float64) { out[0] = climate.Radiation(degrees(x[0]), dayNumber(x[1])) * megajoulesADay },
	},
	{
		Name: "solar_of_sun", About: "the radiation that reaches the ground where the sun shone for so long",
		Source: fao56 + "35",
		Params: []formula.Param{
			atLeastNone("sky", "the radiation above the air", radiation, "MJ/m2/day"),
			atLeastNone("shone", "the time of sunshine", quantity.Time, "h"),
			atLeastNone("day", "the time from sunrise to sunset", quantity.Time, "h"),
		},
		Rules:  []formula.Rule{{Words: "the sun shone for longer than the day is", Holds: func(x []float64) bool { return x[1] <= x[2]*(1+1e-9) }}},
		Result: radiated,
		Eval:   func(x, out []float64) { out[0] = climate.SolarOfSun(x[0], x[1], x[2]) },
	},
	{
		Name: "solar_of_range", About: "the radiation that reaches the ground, from the span of temperatures",
		Source: fao56 + "50",
		Params: []formula.Param{
			lowest, highest, atLeastNone("sky", "the radiation above the air", radiation, "MJ/m2/day"),
			published(number("adjustment", "the adjustment, 0.16 inland and 0.19 by the sea", formula.Above(0)), formula.Between(0.16, 0.19)),
		},
		Rules: notCrossed, Result: radiated,
		Eval: func(x, out []float64) { out[0] = climate.SolarOfRange(x[2], celsius(x[0]), celsius(x[1]), x[3]) },
	},
	{
		Name: "vapour_at", About: "the pressure of vapour in air that is saturated, or at its dew point",
		Source: fao56 + "11",
		Params: []formula.Param{temperature("temperature", "the temperature")}, Result: formula.Param{Dimension: pressure, Unit: "kPa", Kind: formula.Price},
		Eval: func(x, out []float64) { out[0] = 1000 * climate.VapourAt(celsius(x[0])) },
	},
	{
		Name: "vapour_of_humidity", About: "the pressure of vapour in the air, from its humidity",
		Source: fao56 + "17",
		Params: []formula.Param{lowest, highest, share("dampest", "the highest relative humidity"), share("driest", "the lowest relative humidity")},
		Rules:  notCrossed, Result: formula.Param{Dimension: pressure, Unit: "kPa", Kind: formula.Price},
		Eval: func(x, out []float64) {
			out[0] = 1000 * climate.VapourOfHumidity(celsius(x[0]), celsius(x[1]), x[2], x[3])
		},
	},
	{
		Name: "wind_at_two", About: "the wind at 2 m above short grass, from one measured higher or lower",
		Source: fao56 + "47",
		Params: []formula.Param{
			atLeastNone("wind", "the wind", speed, "m/s"),
			published(formula.Param{Name: "height", About: "the height at which it was measured", Dimension: quantity.Length, Unit: "m", Sense: formula.AtLeast(0.1)}, formula.AtLeast(0.5)),
		},
		Result: formula.Param{Dimension: speed, Unit: "m/s"},
		Eval:   func(x, out []float64) { out[0] = climate.WindAtTwo(x[0], x[1]) },
	},
	{
		Name: "hargreaves", About: "the reference evapotranspiration from temperatures alone",
		Source: fao56 + "52, after Hargreaves and Samani 1985",
		Params: []formula.Param{lowest, highest, atLeastNone("sky", "the radiation above the air", radiation, "MJ/m2/day")},
		Rules:  notCrossed, Result: givenOff,
		Eval: func(x, out []float64) {
			out[0] = climate.Hargreaves(celsius(x[0]), celsius(x[1]), x[2]/megajoulesADay) * millimetresADay
		},
	},
	{
		Name: "penman_monteith", About: "the reference evapotranspiration from temperatures, humidity, wind and sun",
		Source: fao56 + "6",
		Params: []formula.Param{
			latitude, formula.Param{Name: "elevation", About: "the height above the sea", Dimension: quantity.Length, Unit: "m", Sense: formula.Between(-500, 9000)}, dayOfYear,
			lowest, highest, atLeastNone("vapour", "the pressure of vapour in the air", pressure, "kPa"),
			atLeastNone("wind", "the wind at 2 m", speed, "m/s"), atLeastNone("solar", "the radiation that reaches the ground", radiation, "MJ/m2/day"),
		},
		Rules: notCrossed4, Result: givenOff,
		Eval: func(x, out []float64) {
			out[0] = millimetresADay * climate.PenmanMonteith(climate.Weather{
				Latitude: degrees(x[0]), Elevation: x[1], Day: dayNumber(x[2]), Low: celsius(x[3]), High: celsius(x[4]),
				Vapour: x[5] / 1000, Wind: x[6], Solar: x[7] / megajoulesADay,
			})
		},
	},
	{
		Name: "effective_rain_scs", About: "the part of a month's rain that a crop can use, by the rule of the American soil service",
		Source: "USDA Soil Conservation Service, as FAO uses it",
		Params: []formula.Param{monthsRain}, Result: formula.Param{Dimension: quantity.Length, Unit: "mm"},
		Eval: func(x, out []float64) { out[0] = climate.EffectiveSCS(x[0]*1000) / 1000 },
	},
	{
		Name: "effective_rain_fao", About: "the part of a month's rain that a crop can use, by FAO's rule for gentle slopes",
		Source: "FAO Irrigation Water Management Training Manual 3",
		Params: []formula.Param{monthsRain}, Result: formula.Param{Dimension: quantity.Length, Unit: "mm"},
		Eval: func(x, out []float64) { out[0] = climate.EffectiveFAO(x[0]*1000) / 1000 },
	},
	{
		Name: "degree_days", About: "the degrees of a day's mean above a base, for each day",
		Source: "the average method, as extension services print it",
		Params: []formula.Param{lowest, highest, temperature("base", "the base below which nothing grows")},
		Rules:  notCrossed, Result: formula.Param{Dimension: quantity.Temperature, Unit: "K"},
		Eval: func(x, out []float64) { out[0] = climate.MeanDegrees(x[0], x[1], x[2]) },
	},
	{
		Name: "degree_days_sine", About: "the degrees of a day above a base and no higher than a limit, the day taken for a sine, for each day",
		Source: "Baskerville and Emin 1969, horizontal cut-off after the University of California",
		Params: []formula.Param{
			lowest, highest, temperature("base", "the base below which nothing grows"), temperature("limit", "the temperature above which growth is no faster"),
		},
		Rules:  append(notCrossed, formula.Rule{Words: "the limit is below the base", Holds: func(x []float64) bool { return x[2] <= x[3] }}),
		Result: formula.Param{Dimension: quantity.Temperature, Unit: "K"},
		Eval:   func(x, out []float64) { out[0] = climate.SineDegrees(x[0], x[1], x[2], x[3]) },
	},
	{
		Name: "years_below", About: "the value that a share of the years stays below, by its rank among them",
		Source: "rank p (n + 1), Weibull 1939; a tenth needs nine years",
		Params: []formula.Param{someShare("share", "the share of the years"), many(formula.Param{Name: "years", About: "the value of a year", Any: true})},
		Rules:  []formula.Rule{{Words: "there are too few years to say", Holds: func(x []float64) bool { return !math.IsNaN(climate.Rank(x[1:], x[0])) }}},
		Result: formula.Param{Like: 2},
		Eval:   func(x, out []float64) { out[0] = climate.Rank(x[1:], x[0]) },
	},
}

const fao56 = "FAO Irrigation and Drainage Paper 56, equation "

// Base units of what package climate gives in others.
const (
	megajoulesADay  = 1e6 / daySeconds
	millimetresADay = 1e-3 / daySeconds
)

var (
	latitude   = formula.Param{Name: "latitude", About: "the latitude (below nought in the south)", Dimension: quantity.Number, Unit: "deg", Sense: formula.Between(-90, 90)}
	dayOfYear  = formula.Param{Name: "day", About: "the day of the year", Dimension: quantity.Time, Unit: "day", Sense: formula.AtLeast(0).Below(365)}
	lowest     = temperature("low", "the lowest temperature")
	highest    = temperature("high", "the highest temperature")
	monthsRain = atLeastNone("rain", "the rain of a month", quantity.Length, "mm")

	notCrossed  = crossedAt(0, 1)
	notCrossed4 = crossedAt(3, 4)

	radiated = formula.Param{Dimension: radiation, Unit: "MJ/m2/day"}
	givenOff = formula.Param{Dimension: speed, Unit: "mm/day"}
)

func crossedAt(low, high int) []formula.Rule {
	return []formula.Rule{{
		Words: "the lowest temperature is above the highest",
		Holds: func(x []float64) bool { return x[low] <= x[high] },
	}}
}

// temperature is one that was ever measured in the open, or near it.
func temperature(name string, about say.Text) formula.Param {
	return formula.Param{Name: name, About: about, Dimension: quantity.Temperature, Unit: "degC", Sense: formula.Between(-90, 60)}
}

func degrees(radians float64) float64 { return radians * 180 / math.Pi }

func celsius(kelvin float64) float64 { return kelvin - 273.15 }

// dayNumber counts from 1, as FAO-56 does.
func dayNumber(seconds float64) float64 { return math.Floor(seconds/daySeconds+1e-9) + 1 }
