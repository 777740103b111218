package climate

import "testing"

func TestEffectiveRain(t *testing.T) {
	// FAO, Irrigation Water Management Training Manual 3, table of effective rain.
	for rain, want := range map[float64]float64{0: 0, 10: 0, 20: 2, 50: 20, 70: 32, 80: 39, 100: 55, 150: 95} {
		near(t, "by FAO", EffectiveFAO(rain), want, 0.1)
	}
	near(t, "at the break", EffectiveFAO(75), 35, 1e-12)
	near(t, "just above it", EffectiveFAO(75.0001), 35, 1e-3)
	// USDA Soil Conservation Service, as FAO uses it.
	for rain, want := range map[float64]float64{0: 0, 50: 46, 100: 84, 250: 150, 300: 155} {
		near(t, "by the SCS", EffectiveSCS(rain), want, 0.01)
	}
	near(t, "just above the break", EffectiveSCS(250.001), 150, 0.01)
}
