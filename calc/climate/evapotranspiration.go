package climate

import (
	"math"

	"rickyard/calc/portable"
)

// Evaporating a millimetre takes 2.45 MJ on a square metre: FAO-56, equation 20.
const latentHeat = 2.45

// Hargreaves returns the reference evapotranspiration of a day in mm from its
// lowest and highest temperature and the radiation above the air in MJ/m2. It is
// never below zero. Its authors meant it for stretches of five days and more; it
// gives too little in wind and too much in damp air.
//
// Source: Hargreaves and Samani 1985, as FAO-56, equation 52.
func Hargreaves(low, high, radiation float64) float64 {
	if high < low {
		return math.NaN()
	}
	return math.Max(0, 0.0023*(float64((low+high)/2)+17.8)*math.Sqrt(high-low)*radiation/latentHeat)
}

// Weather is what the Penman-Monteith equation needs of a day or the mean day of
// a month.
type Weather struct {
	Latitude  float64 // degrees
	Elevation float64 // metres above the sea
	Day       float64 // of the year
	Low, High float64 // degrees Celsius
	Vapour    float64 // pressure of the water vapour in the air, kPa
	Wind      float64 // metres a second at 2 m
	Solar     float64 // radiation that reaches the ground, MJ/m2/day
	Soil      float64 // heat into the ground, MJ/m2/day; nought for a day
}

// PenmanMonteith returns the reference evapotranspiration of a day in mm, of
// green grass 12 cm high that lacks no water; never below zero.
//
// Source: FAO-56, equation 6.
func PenmanMonteith(w Weather) float64 {
	mean := float64((w.Low + w.High) / 2)
	slope, gamma := vapourSlope(mean), Psychrometric(w.Elevation)
	heat := float64(0.408 * slope * (w.Net() - w.Soil))
	wind := float64(gamma * 900 / (mean + 273) * w.Wind * (Saturation(w.Low, w.High) - w.Vapour))
	return math.Max(0, (heat+wind)/(slope+float64(gamma*(1+float64(0.34*w.Wind)))))
}

// Net returns the net radiation in MJ/m2/day: FAO-56, equations 37 to 40.
func (w Weather) Net() float64 {
	return NetShort(w.Solar) - NetLong(w.Low, w.High, w.Vapour, w.Solar, ClearSky(w.Elevation, Radiation(w.Latitude, w.Day)))
}

// NetShort is what grass keeps of the sun's radiation: FAO-56, equation 38.
func NetShort(solar float64) float64 { return float64((1 - 0.23) * solar) }

// NetLong is the heat that the ground sends out: FAO-56, equation 39. Solar over
// clear stands for the clouds, and is taken as 0.3 at least and 1 at most, as by the
// American Society of Civil Engineers (2005), equation 45.
func NetLong(low, high, vapour, solar, clear float64) float64 {
	const stefan = 4.903e-9 // MJ/K4/m2/day
	fourth := func(celsius float64) float64 { k := celsius + 273.16; return float64(k * k * k * k) }
	bright := 0.3
	if clear > 0 {
		bright = math.Max(bright, math.Min(1, solar/clear))
	}
	return stefan * (fourth(low) + fourth(high)) / 2 * (0.34 - float64(0.14*math.Sqrt(vapour))) * (float64(1.35*bright) - 0.35)
}

// ClearSky is the radiation under a clear sky: FAO-56, equation 37.
func ClearSky(elevation, radiation float64) float64 {
	return (0.75 + float64(2e-5*elevation)) * radiation
}

// SolarOfSun is the radiation that reaches the ground where the sun shone so many
// hours of so long a day: FAO-56, equation 35, with its coefficients for where none
// are measured.
func SolarOfSun(radiation, shone, dayLength float64) float64 {
	if dayLength == 0 {
		return 0
	}
	return (0.25 + float64(0.50*shone/dayLength)) * radiation
}

// SolarOfRange is the same from the span of temperature: FAO-56, equation 50. The
// adjustment is 0.16 inland and 0.19 near the sea.
func SolarOfRange(radiation, low, high, adjustment float64) float64 {
	if high < low {
		return math.NaN()
	}
	return adjustment * math.Sqrt(high-low) * radiation
}

// VapourAt is the pressure of vapour that saturates air, in kPa: FAO-56, equation
// 11. That of the dew point is the vapour in the air; where it was not measured,
// the lowest temperature stands for it (equation 48), too high in dry places.
func VapourAt(celsius float64) float64 {
	return float64(0.6108 * portable.Exp(17.27*celsius/(celsius+237.3)))
}

// Saturation is the mean of the day's lowest and highest: FAO-56, equation 12.
func Saturation(low, high float64) float64 { return float64((VapourAt(low) + VapourAt(high)) / 2) }

// VapourOfHumidity is the vapour in the air from the day's highest and lowest
// relative humidity as shares: FAO-56, equation 17.
func VapourOfHumidity(low, high, dampest, driest float64) float64 {
	return (float64(VapourAt(low)*dampest) + float64(VapourAt(high)*driest)) / 2
}

// vapourSlope is the slope of the curve of saturation, kPa/K: FAO-56, equation 13.
func vapourSlope(celsius float64) float64 {
	return 4098 * VapourAt(celsius) / ((celsius + 237.3) * (celsius + 237.3))
}

// Pressure of the air at a height above the sea, kPa: FAO-56, equation 7.
func Pressure(elevation float64) float64 {
	return 101.3 * portable.Pow((293-float64(0.0065*elevation))/293, 5.26)
}

// Psychrometric is the constant of that name, kPa/K: FAO-56, equation 8.
func Psychrometric(elevation float64) float64 { return 0.000665 * Pressure(elevation) }

// WindAtTwo turns a wind measured at a height in metres over short grass into that
// at 2 m: FAO-56, equation 47. NaN where the height is in the grass.
func WindAtTwo(wind, height float64) float64 {
	if !(float64(67.8*height)-5.42 > 1) {
		return math.NaN()
	}
	return wind * 4.87 / portable.Log(float64(67.8*height)-5.42)
}
