package enterprise

import (
	"math"
	"slices"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// Functions are the functions that the formulas of enterprises use beside
// those of the language. Cycles start at first and then every so often, number
// of them; a part of a cycle at the end counts by that part. What runs past the
// end of the year is counted in the months of its start, as in a farm that does
// the same each year. A deepest run begins wherever it is deepest, whether or not
// it runs over the year's end, and is at most twelve months long.
var Functions = []*formula.Function{
	{
		Name: "cycle_day", About: "the share of each month in what falls on one day of each cycle", Source: cycleSource,
		Params: append(cycleParams(), formula.Param{Name: "day", About: "the day of the cycle", Dimension: quantity.Time}),
		Result: formula.Param{Months: true},
		Rules:  cycleRules,
		Eval: func(a, out []float64) {
			clear(out)
			eachCycle(a[0], a[1], a[2], a[3], func(start, share float64) {
				month, _ := quantity.MonthDay(start / daySeconds)
				out[month] += share
			})
		},
	},
	{
		Name: "cycle_span", About: "the share of each month in what is spread over some days of each cycle, the last not counted", Source: cycleSource,
		Params: append(cycleParams(), formula.Param{Name: "from", About: "the first day of the cycle", Dimension: quantity.Time},
			formula.Param{Name: "to", About: "the last day of the cycle", Dimension: quantity.Time}),
		Result: formula.Param{Months: true},
		Rules: append(slices.Clone(cycleRules),
			formula.Rule{Words: "the last day of the cycle is before its first", Holds: func(a []float64) bool { return a[4] >= a[3] }},
			formula.Rule{Words: "a cycle lasts at most ten years", Holds: func(a []float64) bool { return a[4]-a[3] <= longestSpan }}),
		Eval: func(a, out []float64) {
			clear(out)
			eachCycle(a[0], a[1], a[2], a[3], func(start, share float64) {
				spreadDays(out, start/daySeconds, (start+a[4]-a[3])/daySeconds, share)
			})
		},
	},
	{
		Name: "deepest_run", About: "the most that a run of months takes, more than it brings, in a year that comes again and again", Source: "common practice, no source",
		Params: []formula.Param{{Name: "cash", About: "what each month brings, less what it takes", Any: true, Months: true}},
		Result: formula.Param{Like: 1},
		Eval: func(a, out []float64) {
			deepest := 0.0
			for start := range 12 {
				run := 0.0
				for m := range 12 {
					run += a[(start+m)%12]
					deepest = math.Min(deepest, run)
				}
			}
			out[0] = math.Abs(deepest)
		},
	},
}

const cycleSource = "a calendar of batches; common practice, no source"

func cycleParams() []formula.Param {
	return []formula.Param{
		{Name: "first", About: "the start of the first cycle", Dimension: quantity.Time},
		{Name: "every", About: "the time from the start of one cycle to that of the next", Dimension: quantity.Time},
		{Name: "number", About: "the number of cycles in a year", Any: true, Sense: formula.Range{}.AtMost(mostCycles)},
	}
}

var cycleRules = []formula.Rule{
	{Words: "cycles that follow each other need a time between them", Holds: func(a []float64) bool { return a[1] > 0 || a[2] <= 1 }},
	{Words: "a cycle lies more than a thousand years away", Holds: func(a []float64) bool {
		begin := a[0] + a[3]
		last := begin + float64(math.Max(0, math.Ceil(a[2])-1)*a[1])
		return a[2] <= 0 || math.Abs(begin) <= furthest && (a[2] <= 1 || last <= furthest)
	}},
}

const daySeconds = 86400

// longestSpan bounds the days that one cycle lasts: ten years, in seconds.
const longestSpan = 3650 * daySeconds

// mostCycles bounds the cycles of a year: more than one a day is a slip of the
// pen.
const mostCycles = 366

// furthest is how far from the beginning of the year a day of a cycle may lie:
// a thousand years, in seconds. Beyond, days are soon lost in rounding.
const furthest = 365_000 * daySeconds

// eachCycle calls visit with a day of each cycle (seconds after 1 January),
// counted from its start, and the cycle's share.
func eachCycle(first, every, number, from float64, visit func(day, share float64)) {
	begin := first + from
	for n := 0; float64(n) < number-1e-9; n++ {
		part := math.Min(1, number-float64(n))
		day := begin
		if n > 0 {
			day += float64(float64(n) * every)
		}
		visit(day, part/number)
	}
}

// spreadDays adds share to the months, in proportion to the days of each
// between two points counted in days after 1 January.
func spreadDays(out []float64, from, to, share float64) {
	if to-from < 1e-9 {
		month, _ := quantity.MonthDay(from)
		out[month] += share
		return
	}
	for at := from; at < to-1e-9; {
		month, _ := quantity.MonthDay(at)
		inYear := math.Mod(at, 365)
		if inYear < 0 {
			inYear += 365
		}
		end := 0
		for m := 0; m <= month; m++ {
			end += quantity.MonthDays[m]
		}
		next := math.Min(to, at+math.Max(1e-6, float64(end)-inYear))
		out[month] += share * (next - at) / (to - from)
		at = next
	}
}
