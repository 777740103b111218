package trade

import "testing"

func TestCropCoefficient(t *testing.T) {
	kc := func(n, a, b, c, d, first, full, last float64) []float64 {
		return call(t, "crop_coefficient", n*day, a*day, b*day, c*day, d*day, first, full, last)
	}
	// FAO-56, Example 28: dry beans of 25, 25, 30 and 20 days.
	for n, want := range map[float64]float64{1: 0.15, 20: 0.15, 25: 0.15, 40: 0.77, 50: 1.19, 70: 1.19, 80: 1.19, 95: 0.56, 100: 0.35} {
		near(t, "beans", kc(n, 25, 25, 30, 20, 0.15, 1.19, 0.35)[0], want, 0.005)
	}
	none(t, "after the end", kc(101, 25, 25, 30, 20, 0.15, 1.19, 0.35))
	none(t, "before the start", kc(0.9, 25, 25, 30, 20, 0.15, 1.19, 0.35))
	none(t, "beyond sense", kc(5, 25, 25, 30, 20, 0.15, 2.1, 0.35))
	near(t, "no first stage", kc(5, 0, 10, 30, 20, 0.2, 1.2, 0.4)[0], 0.7, 1e-12)
	near(t, "no ripening", kc(60, 20, 10, 30, 0, 0.2, 1.2, 0.4)[0], 1.2, 1e-12)

	// Example 27: maize of 2 m, two climates.
	near(t, "damp and still", call(t, "crop_coefficient_here", 1.2, 1.3, 0.75, 2.0)[0], 1.07, 0.005)
	near(t, "dry and windy", call(t, "crop_coefficient_here", 1.2, 4.6, 0.44, 2.0)[0], 1.30, 0.005)
	near(t, "as in the table", call(t, "crop_coefficient_here", 1.2, 2.0, 0.45, 2.0)[0], 1.2, 1e-12)
	near(t, "never below nought", call(t, "crop_coefficient_here", 0.1, 0.0, 1.0, 10.0)[0], 0, 0)
}

func TestSoilWater(t *testing.T) {
	// FAO-56, Example 36: tomato of 0.8 m on three soils, 72, 136 and 96 mm; the
	// readily available parts are 40 %: 29, 54, 38. Onion of 0.4 m at 30 %: 11, 20,
	// 14; maize of 1 m at 55 %: 49.5, 93.5, 66 (both from memory).
	for i, soil := range [][2]float64{{0.15, 0.06}, {0.32, 0.15}, {0.35, 0.23}} {
		at := func(depth float64) float64 { return call(t, "soil_water", soil[0], soil[1], depth)[0] / mm }
		near(t, "tomato", at(0.8), []float64{72, 136, 96}[i], 0.5)
		near(t, "tomato, ready", at(0.8)*0.4, []float64{29, 54, 38}[i], 0.5)
		near(t, "onion, ready", at(0.4)*0.3, []float64{11, 20, 14}[i], 0.5)
		near(t, "maize, ready", at(1.0)*0.55, []float64{49.5, 93.5, 66}[i], 0.5)
	}
	none(t, "wilting above field capacity", call(t, "soil_water", 0.1, 0.2, 1.0))
	near(t, "nothing between", call(t, "soil_water", 0.2, 0.2, 1.0)[0], 0, 0)
}

func TestIrrigationNeed(t *testing.T) {
	// 5 mm a day for 31 days at 1.15, 14 mm of effective rain, 90 %: 182.5 mm, and
	// 91.25 m3 on 500 m2. FAO-56, equation 58, the rest by hand.
	gross := call(t, "irrigation_need", 155*mm, 1.15, 14*mm, 0.9)[0]
	near(t, "gross", gross, 182.5*mm, 0.01*mm)
	near(t, "on a field", gross*500, 91.25, 0.01)
	near(t, "rain enough", call(t, "irrigation_need", 155*mm, 1.0, 156*mm, 0.9)[0], 0, 0)
	none(t, "nothing arrives", call(t, "irrigation_need", 155*mm, 1.0, 14*mm, 0.0))
}

func TestDrinking(t *testing.T) {
	// An Australian advisory page: dry cows drink 40 L at 25 degrees and 70 L at 32.
	drink := func(at float64) float64 {
		return call(t, "drinking", 40.0, 70.0, kelvin(25), kelvin(32), kelvin(at))[0]
	}
	near(t, "cool", drink(25), 40, 1e-9)
	near(t, "hot", drink(32), 70, 1e-9)
	near(t, "between", drink(28.5), 55, 1e-9)
	near(t, "colder", drink(5), 40, 1e-9)
	near(t, "hotter", drink(35), 70+30*3/7.0, 1e-9)
	none(t, "no two days", call(t, "drinking", 40.0, 70.0, kelvin(25), kelvin(25), kelvin(25)))
	none(t, "less when hot", call(t, "drinking", 70.0, 40.0, kelvin(25), kelvin(32), kelvin(28)))
}
