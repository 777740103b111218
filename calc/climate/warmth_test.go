package climate

import (
	"math"
	"testing"
)

var endless = math.Inf(1)

func TestClippedDegrees(t *testing.T) {
	// Maize, 50 to 86 F. An extension column in a county newspaper: 25.5, 11.0, 6.5.
	for _, c := range [][3]float64{{65, 90, 25.5}, {46, 72, 11}, {42, 63, 6.5},
		{50, 70, 10}, // Iowa State University, agronomy
		{68, 92, 27}, // a Midwestern climate centre prints the mean 77
		{86, 99, 36}, // the most of one day, Iowa State University
		{30, 45, 0}, {90, 95, 36}} {
		near(t, "maize", ClippedDegrees(c[0], c[1], 50, 86), c[2], 1e-12)
	}
	none(t, "crossed", ClippedDegrees(60, 40, 50, 86))
	none(t, "crossed beyond the cap", ClippedDegrees(99, 90, 50, 86))
	none(t, "cap below base", ClippedDegrees(40, 60, 50, 40))
	near(t, "cap at the base", ClippedDegrees(40, 60, 50, 50), 0, 0)
	near(t, "no span", ClippedDegrees(60, 60, 50, 86), 10, 0)
	near(t, "no span, by the mean", MeanDegrees(60, 60, 50), 10, 0)
	near(t, "no span, by quarters", QuarterDegrees(60, 60, 50), 10, 0)
}

func TestMeanDegrees(t *testing.T) {
	// By the formula, and 83/61 F from a dairy advisory page.
	near(t, "72/46", MeanDegrees(46, 72, 50), 9, 0)
	near(t, "63/42", MeanDegrees(42, 63, 50), 2.5, 0)
	near(t, "83/61", MeanDegrees(61, 83, 50), 22, 0)
	near(t, "below the base", MeanDegrees(4, 12, 10), 0, 0)
	none(t, "crossed", MeanDegrees(12, 4, 0))
}

func TestQuarterDegrees(t *testing.T) {
	// The Irish weather service's four cases; what is below is the mirror of above.
	near(t, "above", QuarterDegrees(6, 18, 10), 3, 1e-12)
	near(t, "below", QuarterDegrees(-18, -6, -10), 1, 1e-12)
	near(t, "mean below the base", QuarterDegrees(4, 12, 10), 0.5, 1e-12)
	near(t, "all below", QuarterDegrees(2, 8, 10), 0, 0)
	near(t, "all above", QuarterDegrees(12, 28, 10), 10, 0)
	near(t, "mean at the base", QuarterDegrees(4, 16, 10), 1.5, 1e-12)
	none(t, "crossed", QuarterDegrees(12, 4, 0))
}

func TestSineAndTriangle(t *testing.T) {
	for _, c := range []struct{ low, high, lower, upper, sine, triangle, within float64 }{
		{7, 14, 12, 33, 0.468059, 0.285714, 1e-6}, // R package manual after UC IPM: 0.47, 0.29
		{8, 22, 10, endless, 5.32564, 5.14286, 5e-6},
		{15, 36, 10, 30, 14.09582, 14.64286, 5e-6},
		{40, 60, 50, 88, 10 / math.Pi, 2.5, 5e-6},
		{6, 18, 10, endless, 3.017, 64.0 / 24, 0.005},
		{4, 12, 10, endless, 0.436, 4.0 / 16, 0.005},
		{12, 28, 10, endless, 10, 10, 1e-9}, // an identity of all methods
		{2, 8, 10, endless, 0, 0, 0},
		{32, 40, 10, 30, 20, 20, 1e-12},
		{10, 20, 10, 20, 5, 5, 1e-12},
		{12, 12, 10, 30, 2, 2, 0}, // no span
		{10, 10, 10, 30, 0, 0, 0},
	} {
		near(t, "sine", SineDegrees(c.low, c.high, c.lower, c.upper), c.sine, c.within)
		near(t, "triangle", TriangleDegrees(c.low, c.high, c.lower, c.upper), c.triangle, c.within)
	}
	// Each half day takes its own minimum: half of 5.32564 and half of 7.
	near(t, "double sine", DoubleSineDegrees(6, 20, 10, 8, endless), 6.16282, 5e-6)
	none(t, "crossed", SineDegrees(12, 4, 0, 30))
	none(t, "limits crossed", TriangleDegrees(4, 12, 30, 10))
}

func TestChill(t *testing.T) {
	// Source code of a public R package on chill, whose limits are closed above.
	for _, c := range [][2]float64{{1.4, 0}, {2.4, 0.5}, {2.5, 1}, {9.1, 1}, {9.2, 0.5}, {12.4, 0.5}, {12.5, 0}, {15.9, 0}, {16, -0.5}, {18, -0.5}, {18.1, -1}} {
		near(t, "Utah unit", UtahUnit(c[0]), c[1], 0)
	}
	none(t, "unknown hour", UtahUnit(math.NaN()))
	// Two days of 24 hours worked by hand with both definitions.
	cold := []float64{-2, -1, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 14, 12, 10, 8, 5, 2}
	warm := []float64{2, 3, 4, 6, 8, 10, 13, 15, 17, 19, 20, 19, 17, 16, 14, 12, 10, 9, 8, 7, 6, 5, 4, 3}
	for _, c := range []struct {
		day          []float64
		hours, units float64
	}{{cold, 10, 12.5}, {warm, 9, 8.5}} {
		hours, units := 0.0, 0.0
		for _, x := range c.day {
			if ChillHour(x) {
				hours++
			}
			units += UtahUnit(x)
		}
		near(t, "chill hours", hours, c.hours, 0)
		near(t, "Utah units", units, c.units, 0)
	}
	if !ChillHour(7.2) || !ChillHour(0) || ChillHour(7.21) || ChillHour(-0.01) {
		t.Error("an hour of chill is from 0 to 7.2, both counted")
	}
}

func TestHours(t *testing.T) {
	// Linvill's day: the lowest at sunrise, the highest two hours past noon.
	hours := Hours(4, 18, 6, 16, 12)
	near(t, "sunrise", hours[6], 4, 1e-9)
	near(t, "warmest", hours[14], 18, 1e-9)
	near(t, "sunset", hours[18], 4+14*math.Sin(math.Pi*12/16), 1e-9)
	evening := 4 + 12*math.Sin(math.Pi*12/16)
	near(t, "midnight", hours[0], evening-(evening-4)*math.Log(7)/math.Log(13), 1e-9)
	near(t, "an hour past sunset", hours[19], hours[18]-(hours[18]-6)*math.Log(2)/math.Log(13), 1e-9)
	for h := 19; h < 24; h++ {
		if hours[h] >= hours[h-1] {
			t.Errorf("it warms at %d h", h)
		}
	}
	// Without a night, and without a day, there are still 24 hours.
	for _, length := range []float64{0, 24} {
		for h, x := range Hours(4, 18, 4, 18, length) {
			if !(x >= 4-1e-9 && x <= 18+1e-9) {
				t.Errorf("with %v h of light it is %v at %d h", length, x, h)
			}
		}
	}
}
