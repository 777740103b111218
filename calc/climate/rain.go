package climate

import "math"

// EffectiveSCS returns the part of a month's rain that a crop can use, in mm.
//
// Source: USDA Soil Conservation Service, in the form that FAO uses; for whole
// months, not for single storms.
func EffectiveSCS(rain float64) float64 {
	if rain <= 250 {
		return rain * (125 - float64(0.2*rain)) / 125
	}
	return 125 + float64(0.1*rain)
}

// EffectiveFAO returns the same by the rule of FAO's Irrigation Water Management
// Training Manual 3, for land that slopes no more than 4 to 5 %. It breaks at 75
// mm; other forms of it break at 70.
func EffectiveFAO(rain float64) float64 {
	if rain <= 75 {
		return math.Max(0, float64(0.6*rain)-10)
	}
	return float64(0.8*rain) - 25
}
