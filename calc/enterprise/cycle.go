package enterprise

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// Functions are the functions that the formulas of enterprises use beside
// those of the language.
//
// cycle_day(first, every, number, day) gives the share of a yearly amount that
// falls in each month when it is divided equally among the cycles and falls on
// the given day of each. cycle_span(first, every, number, from, to) spreads
// each cycle's part evenly over the days from and to (to itself not counted).
// Cycles start at first and then every so often, number of them; a part of a
// cycle at the end counts by that part. What runs past the end of the year is
// counted in the months of its start, as in a farm that does the same each
// year.
//
// deepest_run(cash) is the most money that the months of a year take in a row,
// more than they bring, wherever the row begins and whether or not it runs over
// the year's end; at most twelve months long. It is 0 if each month brings more
// than it takes. The same year is thought to come again and again.
var Functions = []*formula.Function{
	{
		Name: "cycle_day", About: "the share of each month in what falls on one day of each cycle",
		Params: []formula.Param{
			{Name: "first", Dimension: quantity.Time}, {Name: "every", Dimension: quantity.Time},
			{Name: "number", Any: true}, {Name: "day", Dimension: quantity.Time},
		},
		Result: formula.Param{Months: true},
		Eval: func(a, out []float64) {
			for i := range out {
				out[i] = 0
			}
			eachCycle(a[0], a[1], a[2], a[3], out, func(start, share float64) {
				month, _ := quantity.MonthDay(start / daySeconds)
				out[month] += share
			})
		},
	},
	{
		Name: "cycle_span", About: "the share of each month in what is spread over some days of each cycle",
		Params: []formula.Param{
			{Name: "first", Dimension: quantity.Time}, {Name: "every", Dimension: quantity.Time},
			{Name: "number", Any: true}, {Name: "from", Dimension: quantity.Time}, {Name: "to", Dimension: quantity.Time},
		},
		Result: formula.Param{Months: true},
		Eval: func(a, out []float64) {
			for i := range out {
				out[i] = 0
			}
			if !(a[4] >= a[3] && a[4]-a[3] <= longestSpan) {
				fill(out, math.NaN())
				return
			}
			eachCycle(a[0], a[1], a[2], a[3], out, func(start, share float64) {
				spreadDays(out, start/daySeconds, (start+a[4]-a[3])/daySeconds, share)
			})
		},
	},
	{
		Name: "deepest_run", About: "the most that a run of months takes, more than it brings, in a year that comes again and again",
		Params: []formula.Param{{Name: "cash", Any: true, Months: true}},
		Result: formula.Param{Like: 1},
		Eval: func(a, out []float64) {
			deepest := 0.0
			for start := range 12 {
				run := 0.0
				for m := range 12 {
					run += a[(start+m)%12]
					if run < deepest || math.IsNaN(run) {
						deepest = run
					}
				}
			}
			out[0] = math.Abs(deepest)
		},
	},
}

const daySeconds = 86400

// longestSpan bounds the days that one cycle lasts: ten years, in seconds.
const longestSpan = 3650 * daySeconds

// mostCycles bounds the cycles of a year: more than one a day is a slip of the
// pen.
const mostCycles = 366

func fill(out []float64, x float64) {
	for i := range out {
		out[i] = x
	}
}

// furthest is how far from the beginning of the year a day of a cycle may lie:
// a thousand years, in seconds. Beyond, days are soon lost in rounding.
const furthest = 365_000 * daySeconds

// eachCycle calls visit with a day of each cycle (seconds after 1 January),
// counted from its start, and the cycle's share. Arguments that make no sense
// fill out with NaN.
func eachCycle(first, every, number, from float64, out []float64, visit func(day, share float64)) {
	if number <= 0 {
		return
	}
	begin := first + from
	last := begin + math.Max(0, math.Ceil(number)-1)*every
	if !(number <= mostCycles) || !(every > 0 || number <= 1) || !(math.Abs(begin) <= furthest && (number <= 1 || last <= furthest)) {
		fill(out, math.NaN())
		return
	}
	for n := 0; float64(n) < number-1e-9; n++ {
		part := math.Min(1, number-float64(n))
		day := begin
		if n > 0 {
			day += float64(n) * every
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
