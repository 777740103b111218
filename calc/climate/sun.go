package climate

import (
	"math"

	"rickyard/calc/portable"
)

const degree = math.Pi / 180

// Horizons that a day can be reckoned to, in degrees of the sun's centre above the
// level.
const (
	Flat    = 0.0     // geometric, as FAO-56 has it
	Almanac = -0.8333 // the upper rim seen through the air: sunrise and sunset of almanacs
	Civil   = -6.0    // light enough to work outside
)

// Declination returns the sun's declination in radians on a day of the year.
//
// Source: Allen and others, Crop evapotranspiration, FAO Irrigation and Drainage
// Paper 56 (1998), equation 24. Within half a degree of the almanac.
func Declination(day float64) float64 {
	return 0.409 * portable.Sin(float64(2*math.Pi/365*day)-1.39)
}

// Nearness returns the inverse relative distance of the sun: FAO-56, equation 23.
func Nearness(day float64) float64 {
	return 1 + float64(0.033*portable.Cos(2*math.Pi/365*day))
}

// SunsetAngle returns the hour angle in radians at which the sun passes a horizon,
// 0 where it stays below all day and pi where it stays above.
//
// Source: FAO-56, equation 25, which is that of the flat horizon.
func SunsetAngle(latitude, day, horizon float64) float64 {
	phi, delta := latitude*degree, Declination(day)
	x := (portable.Sin(horizon*degree) - float64(portable.Sin(phi)*portable.Sin(delta))) / (portable.Cos(phi) * portable.Cos(delta))
	return portable.Acos(math.Max(-1, math.Min(1, x)))
}

// DayLength returns the hours from sunrise to sunset: FAO-56, equation 34, with
// Flat. The almanac's day is some ten minutes longer, more in the far north.
func DayLength(latitude, day, horizon float64) float64 {
	return 24 / math.Pi * SunsetAngle(latitude, day, horizon)
}

// Radiation returns what reaches a level square metre above the air in a day, in
// megajoules: FAO-56, equation 21.
func Radiation(latitude, day float64) float64 {
	const solar = 0.0820 // MJ/m2/min
	phi, delta, set := latitude*degree, Declination(day), SunsetAngle(latitude, day, Flat)
	up := float64(set*portable.Sin(phi)*portable.Sin(delta)) + float64(portable.Cos(phi)*portable.Cos(delta)*portable.Sin(set))
	return math.Max(0, 24*60/math.Pi*solar*Nearness(day)*up)
}

// SunAt returns how high the sun stands and its bearing clockwise from north, both
// in degrees, so many hours after it is highest (before, below zero). No refraction
// is counted. Source: spherical astronomy, as in Meeus, Astronomical algorithms,
// chapter 13.
func SunAt(latitude, day, hours float64) (height, bearing float64) {
	phi, delta, h := latitude*degree, Declination(day), hours*15*degree
	height = portable.Asin(float64(portable.Sin(phi)*portable.Sin(delta)) + float64(portable.Cos(phi)*portable.Cos(delta)*portable.Cos(h)))
	east := -portable.Sin(h) * portable.Cos(delta)
	north := float64(portable.Cos(phi)*portable.Sin(delta)) - float64(portable.Sin(phi)*portable.Cos(delta)*portable.Cos(h))
	bearing = portable.Atan2(east, north) / degree
	if bearing < 0 {
		bearing += 360
	}
	return height / degree, bearing
}

// MidMonth are the days of the year that stand for each month: the 15th, as FAO-56
// has it.
var MidMonth = [12]float64{15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349}
