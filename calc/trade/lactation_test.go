package trade

import (
	"math"
	"testing"
)

// Parameters of two curves for first-lactation Simmental cows: Animal
// Bioscience 34(6):949-956, 2021. What follows from them was worked out apart
// from this program.
func TestLactation(t *testing.T) {
	for _, c := range []struct {
		name          string
		a, b, c       float64 // a in kg/day, c a day
		peakDay, peak float64
		days          []float64
		sums          []float64
	}{
		{"to 305 days", 15.2317, 0.1029, 0.0015, 68.6, 0, []float64{305}, []float64{6022.42}},
		{"to 640 days", 17.4329, 0.0603, 0.0010, 60.3, 21.0153, []float64{305, 640}, []float64{6075.97, 11363.46}},
	} {
		a, perDay := c.a/day, c.c/day
		near(t, c.name+": peak day", call(t, "lactation_peak_day", c.b, perDay)[0]/day, c.peakDay, 0.05)
		if c.peak > 0 {
			near(t, c.name+": peak", call(t, "lactation_yield", a, c.b, perDay, c.peakDay*day)[0]*day, c.peak, 0.001)
		}
		for i, days := range c.days {
			near(t, c.name+": milk", call(t, "lactation_mean", a, c.b, perDay, days*day)[0]*day*days, c.sums[i], 0.1)
		}
	}
	near(t, "first day", call(t, "lactation_yield", 15.2317/day, 0.1029, 0.0015/day, day)[0]*day, 15.2089, 0.001)
	near(t, "last day", call(t, "lactation_yield", 15.2317/day, 0.1029, 0.0015/day, 305*day)[0]*day, 17.3657, 0.001)

	// A curve without a peak: called atypical in a study of lactation-curve
	// standards for Holstein, Brown Swiss and Simmental.
	none(t, "peak of a curve that only falls", call(t, "lactation_peak_day", -0.1, 0.0015/day))
	none(t, "peak of a curve that only rises", call(t, "lactation_peak_day", 0.1, 0.0))
	none(t, "peak of a curve that does not rise", call(t, "lactation_peak_day", 0.0, 0.0015/day))
	none(t, "day of calving", call(t, "lactation_yield", 15.0, 0.1, 0.0015/day, 0.0))
	none(t, "mean of no days", call(t, "lactation_mean", 15.0, 0.1, 0.0015/day, 0.0))
}

// The months of a lactation hold its milk, wherever in the year it begins.
func TestLactationMonths(t *testing.T) {
	days := []float64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	for _, calving := range []float64{0, 89, 120, 273, 364} {
		months := call(t, "lactation_months", 15.2317/day, 0.1029, 0.0015/day, calving*day, 305*day)
		sum := 0.0
		for m, x := range months {
			sum += x * day * days[m]
		}
		near(t, "milk of the months", sum, 6022.42, 0.1)
	}
	// Calved on 1 October and dry after 305 days, on 1 August: nothing from the
	// second day of August to the end of September.
	months := call(t, "lactation_months", 15.2317/day, 0.1029, 0.0015/day, 273*day, 305*day)
	if months[8] != 0 || months[7] > 1/day || months[9] == 0 {
		t.Errorf("dry in September, in milk from October: %v", months)
	}
	none(t, "a lactation of over a year", call(t, "lactation_months", 15.0, 0.1, 0.0015/day, 0.0, 400*day))
	none(t, "no date", call(t, "lactation_months", 15.0, 0.1, 0.0015/day, math.NaN(), 305*day))
}
