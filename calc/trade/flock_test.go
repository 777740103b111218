package trade

import "testing"

// University of Florida Extension, quoted on a page on chicks: 95, 90, 85, 80, 75
// and 70 °F in the first six weeks, then room warmth.
func TestBroodHeat(t *testing.T) {
	fahrenheit := func(f float64) float64 { return (f-32)/1.8 + 273.15 }
	at := func(age float64) float64 {
		return call(t, "brood_heat", age*day, fahrenheit(95), fahrenheit(70), 6.0)[0]
	}
	for week, want := range []float64{95, 90, 85, 80, 75, 70, 70, 70} {
		near(t, "first day of a week", at(float64(7*week)), fahrenheit(want), 1e-9)
		near(t, "last day of a week", at(float64(7*week+6)), fahrenheit(want), 1e-9)
	}
	near(t, "week 4 in Celsius", at(21)-273.15, 26.7, 0.05)
	// A poultry producer's poults: 35, 32, 29, 27 and 21 to 24 °C.
	for week, want := range []float64{35, 32, 29, 27, 22.5} {
		near(t, "poults", call(t, "brood_heat", float64(week)*7*day, 35+273.15, 22.5+273.15, 5.0)[0]-273.15, want, 1.5)
	}
	none(t, "in one step", call(t, "brood_heat", 0.0, 300.0, 290.0, 1.0))
}

func TestProductionIndex(t *testing.T) {
	// A poultry performance page: 2.257 kg at 37 days, 96 % alive, 1.62 (361 printed).
	near(t, "index", call(t, "production_index", 2.257, 37*day, 0.96, 1.62)[0], 361.48, 0.01)
	// A page that leaves the share alive out prints 4.464 for 2.5 kg at 35 days and
	// 1.6: the same with all alive, on a scale of its own.
	near(t, "all alive", call(t, "production_index", 2.5, 35*day, 1.0, 1.6)[0], 446.4, 0.05)
	none(t, "no feed", call(t, "production_index", 2.5, 35*day, 1.0, 0.0))
	none(t, "no days", call(t, "production_index", 2.5, 0.0, 1.0, 1.6))
}
