package trade

import (
	"math"
	"testing"
)

const (
	degree = math.Pi / 180
	mj     = 1e6 / day // MJ/m2/day
	mm     = 1e-3
)

func kelvin(celsius float64) float64 { return celsius + 273.15 }

// date is the day of the year, counted from 1, as the language counts it.
func date(n float64) float64 { return (n - 1) * day }

func TestLight(t *testing.T) {
	// FAO-56, Examples 8 and 9: 20 S, 3 September, day 246.
	near(t, "sky", call(t, "sky_radiation", -20*degree, date(246))[0], 32.2*mj, 0.1*mj)
	near(t, "day", call(t, "day_length", -20*degree, date(246))[0], 11.7*3600, 0.05*3600)
	// PyEphem 4.1: Greenwich, 21 June 2025.
	near(t, "midsummer at the pole", call(t, "almanac_day", 90*degree, date(172))[0], 24*3600, 1e-6)
	near(t, "almanac", call(t, "almanac_day", 51.4769*degree, date(172))[0], 16.635*3600, 0.02*3600)
	middle := call(t, "mid_days")
	near(t, "15 April", middle[3], date(105), 0)
	near(t, "15 December", middle[11], date(349), 0)
	none(t, "beyond the pole", call(t, "day_length", 90.1*degree, date(1)))
	none(t, "beyond the south pole", call(t, "sky_radiation", -90.1*degree, date(1)))
	none(t, "the day before the first", call(t, "day_length", 52*degree, date(0)))
	near(t, "1 January", call(t, "day_length", 0.0, date(1))[0], 12*3600, 60)
	none(t, "day 366", call(t, "day_length", 52*degree, date(366)))
	near(t, "31 December", call(t, "day_length", 0.0, date(365))[0], 12*3600, 60)
	// 15 of 24 h at the pole's edge; no light at all in its winter.
	near(t, "polar night", call(t, "day_length", 90*degree, date(355))[0], 0, 0)
}

func TestEvapotranspiration(t *testing.T) {
	// FAO-56, Example 20, by equation 52: 5.0 mm/day.
	near(t, "Hargreaves", call(t, "hargreaves", kelvin(14.8), kelvin(26.6), 40.6*mj)[0], 5.0*mm/day, 0.05*mm/day)
	near(t, "no span", call(t, "hargreaves", kelvin(20), kelvin(20), 40*mj)[0], 0, 0)
	none(t, "crossed", call(t, "hargreaves", kelvin(20), kelvin(19), 40*mj))
	// Example 10.
	sky, long := call(t, "sky_radiation", -22.9*degree, date(135))[0], call(t, "day_length", -22.9*degree, date(135))[0]
	near(t, "solar", call(t, "solar_of_sun", sky, 7.1*3600, long)[0], 14.45*mj, 0.05*mj)
	none(t, "sun by night", call(t, "solar_of_sun", sky, 11*3600.0, long))
	// Example 15.
	near(t, "solar from the span", call(t, "solar_of_range", kelvin(14.8), kelvin(26.6), 40.6*mj, 0.16)[0], 22.3*mj, 0.05*mj)
	none(t, "no adjustment", call(t, "solar_of_range", kelvin(14.8), kelvin(26.6), 40.6*mj, 0.0))
	none(t, "span crossed", call(t, "solar_of_range", kelvin(27), kelvin(26.6), 40.6*mj, 0.16))
	// Examples 5, 3 and 14.
	near(t, "vapour", call(t, "vapour_of_humidity", kelvin(18), kelvin(25), 0.82, 0.54)[0], 1700, 5)
	near(t, "saturation", call(t, "vapour_at", kelvin(24.5))[0], 3075, 0.5)
	near(t, "wind", call(t, "wind_at_two", 3.2, 10.0)[0], 2.4, 0.05)
	none(t, "wind in the grass", call(t, "wind_at_two", 3.2, 0.05))
	// Example 18: Uccle, 6 July, 3.9 mm.
	latitude := 50.8 * degree
	vapour := call(t, "vapour_of_humidity", kelvin(12.3), kelvin(21.5), 0.84, 0.63)[0]
	solar := call(t, "solar_of_sun", call(t, "sky_radiation", latitude, date(187))[0], 9.25*3600, call(t, "day_length", latitude, date(187))[0])[0]
	wind := call(t, "wind_at_two", 10/3.6, 10.0)[0]
	near(t, "Penman-Monteith", call(t, "penman_monteith", latitude, 100.0, date(187), kelvin(12.3), kelvin(21.5), vapour, wind, solar)[0], 3.88*mm/day, 0.01*mm/day)
	none(t, "crossed for Penman", call(t, "penman_monteith", latitude, 100.0, date(187), kelvin(22), kelvin(21.5), vapour, wind, solar))
	none(t, "above the air", call(t, "penman_monteith", latitude, 9001.0, date(187), kelvin(12.3), kelvin(21.5), vapour, wind, solar))
	none(t, "hotter than was ever measured", call(t, "hargreaves", kelvin(20), kelvin(60.1), 40*mj))
	none(t, "colder than was ever measured", call(t, "hargreaves", kelvin(-90.1), kelvin(20), 40*mj))
}

func TestEffectiveRainFunctions(t *testing.T) {
	// FAO training manual 3; USDA-SCS as FAO uses it.
	for rain, want := range map[float64][2]float64{10: {0, 9.84}, 50: {20, 46}, 80: {39, 69.76}, 100: {55, 84}, 250: {175, 150}, 300: {215, 155}} {
		near(t, "FAO", call(t, "effective_rain_fao", rain*mm)[0], want[0]*mm, 0.1*mm)
		near(t, "SCS", call(t, "effective_rain_scs", rain*mm)[0], want[1]*mm, 0.01*mm)
	}
	none(t, "rain below nought", call(t, "effective_rain_fao", -1*mm))
}

func TestDegreeDayFunctions(t *testing.T) {
	// R package manual after UC IPM: 0.47 between 7 and 14 degrees over 12.
	near(t, "sine", call(t, "degree_days_sine", kelvin(7), kelvin(14), kelvin(12), kelvin(33))[0], 0.468059, 1e-6)
	// Fahrenheit, dairy advisory page: 83/61 over 50 are 22.
	f := func(x float64) float64 { return (x + 459.67) * 5 / 9 }
	near(t, "mean", call(t, "degree_days", f(61), f(83), f(50))[0], 22*5./9, 1e-9)
	none(t, "limits crossed", call(t, "degree_days_sine", kelvin(7), kelvin(14), kelvin(12), kelvin(11)))
	none(t, "crossed", call(t, "degree_days", kelvin(15), kelvin(14), kelvin(12)))
	none(t, "crossed for the sine", call(t, "degree_days_sine", kelvin(15), kelvin(14), kelvin(12), kelvin(20)))
	near(t, "limit at the base", call(t, "degree_days_sine", kelvin(7), kelvin(14), kelvin(12), kelvin(12))[0], 0, 1e-12)
}
