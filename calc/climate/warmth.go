package climate

import (
	"math"

	"rickyard/calc/portable"
)

// Degree days by five methods, each in degrees times days for one day of a lowest
// and a highest temperature. They differ, so whoever stores a sum stores the name
// of the method with it. They work in any degree, if all arguments are in it. No
// day counts below nought; a highest below the lowest has no answer.

// MeanDegrees is the mean above a base: the plainest.
func MeanDegrees(low, high, base float64) float64 {
	if high < low {
		return math.NaN()
	}
	return math.Max(0, float64((low+high)/2)-base)
}

// ClippedDegrees takes lowest and highest no lower than a base and no higher than
// a cap before the mean, as is done for maize in America with 50 and 86 degrees
// Fahrenheit.
func ClippedDegrees(low, high, base, cap float64) float64 {
	clip := func(x float64) float64 { return math.Max(base, math.Min(cap, x)) }
	if high < low || cap < base {
		return math.NaN()
	}
	return MeanDegrees(clip(low), clip(high), base)
}

// QuarterDegrees splits a day that crosses the base by quarters: four cases, as the
// weather services of Britain and Ireland do.
func QuarterDegrees(low, high, base float64) float64 {
	mean := float64((low + high) / 2)
	switch {
	case high < low:
		return math.NaN()
	case low >= base:
		return mean - base
	case mean >= base:
		return float64((high-base)/2) - float64((base-low)/4)
	}
	return math.Max(0, (high-base)/4)
}

// SineDegrees takes the day for one wave of a sine. What is above the upper limit
// counts no more than the limit; give infinity where there is none.
//
// Source: Baskerville and Emin, Ecology 50 (1969), with the horizontal cut-off of
// the University of California's integrated pest management.
func SineDegrees(low, high, lower, upper float64) float64 {
	return overLimits(low, high, lower, upper, sineAbove)
}

// DoubleSineDegrees takes a half wave from the lowest to the highest and another to
// the next day's lowest.
func DoubleSineDegrees(low, high, nextLow, lower, upper float64) float64 {
	return float64(SineDegrees(low, high, lower, upper)/2) + float64(SineDegrees(nextLow, high, lower, upper)/2)
}

// TriangleDegrees takes the day for two straight lines.
func TriangleDegrees(low, high, lower, upper float64) float64 {
	return overLimits(low, high, lower, upper, triangleAbove)
}

func overLimits(low, high, lower, upper float64, above func(low, high, limit float64) float64) float64 {
	if high < low || upper < lower {
		return math.NaN()
	}
	sum := above(low, high, lower)
	if upper < high {
		sum -= above(low, high, upper)
	}
	return sum
}

func sineAbove(low, high, limit float64) float64 {
	mean, reach := float64((low+high)/2), float64((high-low)/2)
	if limit <= low {
		return mean - limit
	}
	if limit >= high {
		return 0
	}
	angle := portable.Asin((limit - mean) / reach)
	return (float64((mean-limit)*(math.Pi/2-angle)) + float64(reach*portable.Cos(angle))) / math.Pi
}

func triangleAbove(low, high, limit float64) float64 {
	if limit <= low {
		return float64((low+high)/2) - limit
	}
	if limit >= high {
		return 0
	}
	return (high - limit) * (high - limit) / (2 * (high - low))
}

// ChillHour reports whether an hour counts as chill: from 0 to 7.2 degrees, both
// counted.
//
// Source: Weinberger, Proceedings of the American Society for Horticultural Science
// 56 (1950). Some count all below 7.2 instead.
func ChillHour(celsius float64) bool { return celsius >= 0 && celsius <= 7.2 }

// UtahUnit returns the chill units of an hour, from -1 to 1.
//
// Source: Richardson, Seeley and Walker, HortScience 9 (1974), with the limits closed
// above, which leaves no temperature without a value.
func UtahUnit(celsius float64) float64 {
	for _, step := range []struct{ to, units float64 }{{1.4, 0}, {2.4, 0.5}, {9.1, 1}, {12.4, 0.5}, {15.9, 0}, {18, -0.5}} {
		if celsius <= step.to {
			return step.units
		}
	}
	if math.IsNaN(celsius) {
		return celsius
	}
	return -1
}

// Hours returns the temperatures of a day's 24 hours, from midnight by the sun, out
// of the lowest of the day, its highest, the lowest of the next, the highest of the
// day before, and the hours of daylight: a sine by day, a logarithm by night.
//
// Source: Linvill, HortScience 25 (1990), each night's logarithm begun at one hour so
// that it joins the evening.
func Hours(low, high, nextLow, highBefore, dayLength float64) [24]float64 {
	var hours [24]float64
	rise, set := 12-float64(dayLength/2), 12+float64(dayLength/2)
	day := func(low, high, sinceRise float64) float64 {
		return low + float64((high-low)*portable.Sin(math.Pi*sinceRise/(dayLength+4)))
	}
	night := func(evening, low, sinceSet float64) float64 {
		return evening - float64((evening-low)*portable.Log(sinceSet+1)/portable.Log(24-dayLength+1))
	}
	for h := range hours {
		switch at := float64(h); {
		case at < rise:
			hours[h] = night(day(low, highBefore, dayLength), low, at+24-set)
		case at <= set:
			hours[h] = day(low, high, at-rise)
		default:
			hours[h] = night(day(low, high, dayLength), nextLow, at-set)
		}
	}
	return hours
}
