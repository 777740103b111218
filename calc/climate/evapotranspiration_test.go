package climate

import (
	"math"
	"testing"
)

// Each from the worked examples of FAO-56, the numbers of which several public
// libraries quote.
func TestPartsOfPenmanMonteith(t *testing.T) {
	near(t, "Example 10, sun", SolarOfSun(25.1, 7.1, 10.9), 14.45, 0.05)
	near(t, "Example 11, long waves", NetLong(19.1, 25.1, 2.1, 14.5, 18.8), 3.5, 0.05)
	// The paper cut 11.165 to 11.1 and did not round it.
	near(t, "Example 12, short waves", NetShort(14.5), 11.165, 0.001)
	near(t, "Example 2, pressure", Pressure(1800), 81.8, 0.05)
	near(t, "Example 2, psychrometric constant", Psychrometric(1800), 0.054, 0.0005)
	near(t, "Example 3, saturation", Saturation(15, 24.5), 2.39, 0.005)
	near(t, "Example 3, at 24.5", VapourAt(24.5), 3.075, 0.0005)
	near(t, "Example 5, vapour", VapourOfHumidity(18, 25, 0.82, 0.54), 1.70, 0.005)
	near(t, "Example 14, wind", WindAtTwo(3.2, 10), 2.4, 0.05)
	near(t, "wind at 2 m", WindAtTwo(3.2, 2), 3.2, 0.005)
	near(t, "Example 15, span", SolarOfRange(40.6, 14.8, 26.6, 0.16), 22.3, 0.05)
	near(t, "polar night", SolarOfSun(0, 0, 0), 0, 0)
	none(t, "crossed temperatures", SolarOfRange(40, 20, 10, 0.16))
	none(t, "wind in the grass", WindAtTwo(3, 0.09))
	near(t, "wind just above it", WindAtTwo(3, 0.1), 3*4.87/math.Log(1.36), 1e-9)
	// In the dark, and under the thickest cloud, three tenths of a clear sky.
	dark := 4.903e-9 * math.Pow(273.16, 4) * (0.34 - 0.14*math.Sqrt(0.6)) * (1.35*0.3 - 0.35)
	near(t, "dark", NetLong(0, 0, 0.6, 0, 0), dark, 1e-9)
	near(t, "thick cloud", NetLong(0, 0, 0.6, 2.9, 10), dark, 1e-9)
	near(t, "no brighter than clear", NetLong(10, 20, 1, 30, 20), NetLong(10, 20, 1, 20, 20), 0)
}

func TestPenmanMonteith(t *testing.T) {
	// Example 17: Bangkok in April, a month's mean day.
	w := Weather{Latitude: 13 + 44./60, Elevation: 2, Day: 105, Low: 25.6, High: 34.8, Vapour: 2.85, Wind: 2, Soil: 0.14}
	w.Solar = SolarOfSun(Radiation(w.Latitude, w.Day), 8.5, DayLength(w.Latitude, w.Day, Flat))
	near(t, "Example 17, net radiation", w.Net(), 14.33, 0.02)
	near(t, "Example 17, saturation", Saturation(w.Low, w.High), 4.42, 0.01)
	near(t, "Example 17", PenmanMonteith(w), 5.72, 0.02)
	// Example 18: Uccle, 6 July.
	w = Weather{Latitude: 50.80, Elevation: 100, Day: 187, Low: 12.3, High: 21.5, Wind: WindAtTwo(10/3.6, 10)}
	w.Vapour = VapourOfHumidity(w.Low, w.High, 0.84, 0.63)
	ra := Radiation(w.Latitude, w.Day)
	w.Solar = SolarOfSun(ra, 9.25, DayLength(w.Latitude, w.Day, Flat))
	near(t, "wind", w.Wind, 2.078, 0.01)
	near(t, "vapour", w.Vapour, 1.409, 0.01)
	near(t, "saturation", Saturation(w.Low, w.High), 1.997, 0.01)
	near(t, "radiation", ra, 41.09, 0.01)
	near(t, "day", DayLength(w.Latitude, w.Day, Flat), 16.1, 0.05)
	near(t, "solar", w.Solar, 22.07, 0.01)
	near(t, "clear sky", ClearSky(w.Elevation, ra), 30.90, 0.01)
	near(t, "short waves", NetShort(w.Solar), 17.0, 0.01)
	near(t, "long waves", NetLong(w.Low, w.High, w.Vapour, w.Solar, ClearSky(w.Elevation, ra)), 3.71, 0.01)
	near(t, "net radiation", w.Net(), 13.28, 0.01)
	near(t, "Example 18", PenmanMonteith(w), 3.88, 0.01)
	// Example 20: Lyon in July, humidity, sun and wind not measured.
	w = Weather{Latitude: 45.72, Elevation: 200, Day: 196, Low: 14.8, High: 26.6, Vapour: VapourAt(14.8), Wind: 2}
	w.Solar = SolarOfRange(Radiation(w.Latitude, w.Day), w.Low, w.High, 0.16)
	near(t, "Example 20", PenmanMonteith(w), 4.6, 0.05)
	// Mirrored over the equator half a year on, the same within the sun's nearness.
	w.Latitude, w.Day = -45.72, 15
	w.Solar = SolarOfRange(Radiation(w.Latitude, w.Day), w.Low, w.High, 0.16)
	near(t, "its mirror in the south", PenmanMonteith(w)/4.6, 1.05, 0.03)
	// A cold damp night takes nothing.
	w = Weather{Latitude: 60, Elevation: 0, Day: 355, Low: -5, High: 0, Vapour: 0.6, Wind: 1}
	near(t, "a dark winter's day", PenmanMonteith(w), 0, 0)
}

func TestHargreaves(t *testing.T) {
	// Example 20 by equation 52: Ra 40.6 MJ/m2 is 16.56 mm, 5.0 mm in all.
	near(t, "Example 20", Hargreaves(14.8, 26.6, 40.6), 5.0, 0.05)
	near(t, "no span", Hargreaves(20, 20, 40), 0, 0)
	near(t, "a mean below -17.8", Hargreaves(-30, -10, 10), 0, 0)
	near(t, "a mean just above it", Hargreaves(-27.7, -7.7, 10), 0.0023*0.1*math.Sqrt(20)*10/2.45, 1e-9)
	none(t, "crossed", Hargreaves(20, 10, 40))
}
