package season

import "math"

// Starts finds what must be started when, so that what is wanted by week is had:
// trays of shoots, blocks of mushrooms, pots. A unit started in a week gives
// yields[i] in the week that lies lead+i weeks later. Units are whole and start
// as late as they can; what has to be started before the plan begins is missing.
//
// The number of units is the least where yields are all alike: whatever starts
// later than the latest start that yields in the first short week can't help it.
func Starts(wanted []float64, lead int, yields []float64) (units []int, missing []float64) {
	units, missing = make([]int, len(wanted)), make([]float64, len(wanted))
	have := make([]float64, len(wanted)+len(yields))
	for week, want := range wanted {
		short := want - have[week]
		if short <= shade*want {
			continue
		}
		start, yield := latest(week-lead, yields)
		if start < 0 {
			missing[week] = short
			continue
		}
		n := count(short / yield)
		units[start] += n
		for i, y := range yields {
			have[start+lead+i] += float64(float64(n) * y)
		}
	}
	return units, missing
}

// latest is the latest start that yields in a week, and how much; fresh is the
// start whose first yield falls in it. It is negative before the plan begins.
func latest(fresh int, yields []float64) (start int, yield float64) {
	for i, y := range yields {
		if y > 0 {
			return fresh - i, y
		}
	}
	return -1, 0
}

// shade is the part of an amount that counts as nothing, beside the noise of
// fractions.
const shade = 1e-9

// nearCeil rounds up, but takes what is nearly whole for whole.
func nearCeil(x float64) float64 {
	if near := math.Round(x); math.Abs(x-near) <= shade*math.Max(1, math.Abs(near)) {
		return near
	}
	return math.Ceil(x)
}

// mostUnits bounds what is counted in whole units: more is a slip of the pen, such
// as bags of nothing.
const mostUnits = 1_000_000_000

// count rounds up to a whole number, from nothing to mostUnits; what is no number
// counts as nothing.
func count(x float64) int {
	if math.IsNaN(x) {
		return 0
	}
	return int(math.Min(math.Max(0, nearCeil(x)), mostUnits))
}
