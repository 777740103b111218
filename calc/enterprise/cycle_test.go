package enterprise_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"rickyard/calc/enterprise"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

func share(t *testing.T, name string, args ...float64) [12]float64 {
	t.Helper()
	for _, f := range enterprise.Functions {
		if f.Name == name {
			var out [12]float64
			f.Work(args, out[:])
			return out
		}
	}
	t.Fatalf("there is no function %s", name)
	return [12]float64{}
}

// monthOf counts the days of a year off one by one.
func monthOf(n int) int {
	n = (n%365 + 365) % 365
	for m, days := range quantity.MonthDays {
		if n < days {
			return m
		}
		n -= days
	}
	panic("a year of more than 365 days")
}

// TestCyclesByDay lays each cycle on a calendar day by day.
func TestCyclesByDay(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 3000 {
		first, every, number := r.IntN(365), 1+r.IntN(100), float64(r.IntN(40))/4
		from := r.IntN(200)
		to := from + 1 + r.IntN(500)
		var onDay, spread [12]float64
		for n := 0; float64(n) < number; n++ {
			part := math.Min(1, number-float64(n)) / number
			start := first + n*every
			onDay[monthOf(start+from)] += part
			for at := start + from; at < start+to; at++ {
				spread[monthOf(at)] += part / float64(to-from)
			}
		}
		args := []float64{float64(first) * day, float64(every) * day, number, float64(from) * day}
		gotDay, gotSpan := share(t, "cycle_day", args...), share(t, "cycle_span", append(args, float64(to)*day)...)
		for m := range 12 {
			if math.Abs(gotDay[m]-onDay[m]) > 1e-9 || math.Abs(gotSpan[m]-spread[m]) > 1e-9 {
				t.Fatalf("first %d, every %d, %g of them, day %d to %d, month %d: on the day %g, want %g; spread %g, want %g",
					first, every, number, from, to, m+1, gotDay[m], onDay[m], gotSpan[m], spread[m])
			}
		}
	}
}

// TestCyclesOverNewYear: three cycles from 1 December (day 334), 20 days apart,
// start on 1 and 21 December and 10 January.
func TestCyclesOverNewYear(t *testing.T) {
	got := share(t, "cycle_day", 334*day, 20*day, 3, 0)
	if !near(got[11], 2./3) || !near(got[0], 1./3) {
		t.Errorf("December has %g and January %g; want two thirds and one", got[11], got[0])
	}
	// Fourteen days from 25 December: 7 in December, 7 in January.
	got = share(t, "cycle_span", 334*day, 0, 1, 24*day, 38*day)
	if !near(got[11], .5) || !near(got[0], .5) {
		t.Errorf("December has %g and January %g; want halves", got[11], got[0])
	}
	// A year and a half from 1 January holds its first half twice.
	got = share(t, "cycle_span", 0, 0, 1, 0, (365+181)*day)
	if !near(got[0], 2*31./546) || !near(got[11], 31./546) {
		t.Errorf("January has %g and December %g", got[0], got[11])
	}
	// Before the year: a day of the cycle may come before its start.
	got = share(t, "cycle_day", 0, 0, 1, -day)
	if got[11] != 1 {
		t.Errorf("the day before 1 January is not in December: %v", got)
	}
}

// TestHostileCycles: what makes no sense is no number, comes at once, and never
// a crash; no cycles at all are nothing.
func TestHostileCycles(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name string
		args []float64
		nan  bool
	}{
		{"cycle_day", []float64{0, day, 0, 0}, false},
		{"cycle_day", []float64{0, day, -3, 0}, false},
		{"cycle_day", []float64{0, day, 1e9, 0}, true},
		{"cycle_day", []float64{0, day, inf, 0}, true},
		{"cycle_day", []float64{0, day, nan, 0}, true},
		{"cycle_day", []float64{nan, day, 2, 0}, true},
		{"cycle_day", []float64{0, 0, 2, 0}, true},
		{"cycle_day", []float64{0, -day, 2, 0}, true},
		{"cycle_day", []float64{inf, day, 2, 0}, true},
		{"cycle_day", []float64{0, nan, 2, 0}, true},
		{"cycle_day", []float64{0, inf, 2, 0}, true},
		{"cycle_day", []float64{0, day, 2, nan}, true},
		{"cycle_day", []float64{0, day, 2, 1e300}, true},
		{"cycle_span", []float64{0, day, 2, 5 * day, 4 * day}, true},
		{"cycle_span", []float64{0, day, 2, 0, 1e12}, true},
		{"cycle_span", []float64{0, day, 2, 0, nan}, true},
		{"cycle_span", []float64{0, day, 2, nan, day}, true},
		{"cycle_span", []float64{0, day, 2, inf, inf}, true},
		{"cycle_span", []float64{1e18, day, 2, 0, 30 * day}, true},
	} {
		got := share(t, c.name, c.args...)
		sum := 0.0
		for _, x := range got {
			sum += x
		}
		if c.nan != math.IsNaN(sum) || !c.nan && sum != 0 {
			t.Errorf("%s%v adds up to %g; want nothing: %v, no number: %v", c.name, c.args, sum, !c.nan, c.nan)
		}
	}
}

func BenchmarkCycleSpan(b *testing.B) {
	args, out := []float64{94 * day, 21 * day, 8, 19 * day, 58 * day}, make([]float64, 12)
	b.ReportAllocs()
	for b.Loop() {
		enterprise.Functions[1].Eval(args, out)
	}
}

// TestDeepestRun holds the deepest run of months against rows worked by hand.
func TestDeepestRun(t *testing.T) {
	run := enterprise.Functions[slices.IndexFunc(enterprise.Functions, func(f *formula.Function) bool { return f.Name == "deepest_run" })]
	for _, c := range []struct {
		what string
		cash []float64
		want float64
	}{
		{"each month earns", []float64{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}, 0},
		{"spent from March to May, earned in June", []float64{0, 0, -5, -3, -2, 20, 0, 0, 0, 0, 0, 0}, 10},
		{"spent in autumn, earned in spring: the row runs over the year's end", []float64{-2, -1, 0, 40, 0, 0, 0, 0, 0, -10, -5, -5}, 23},
		{"a small month of income does not end the row", []float64{0, -10, 4, -10, 30, 0, 0, 0, 0, 0, 0, 0}, 16},
		{"a large one does", []float64{0, -10, 14, -6, 30, 0, 0, 0, 0, 0, 0, 0}, 10},
		{"a loss the whole year, counted once", []float64{-1, -1, -1, -1, -1, -1, -1, -1, -1, -1, -1, -1}, 12},
	} {
		out := []float64{math.NaN()}
		if run.Work(c.cash, out); out[0] != c.want {
			t.Errorf("%s: %g, want %g", c.what, out[0], c.want)
		}
	}
	out := []float64{0}
	if run.Work([]float64{0, 0, math.NaN(), 0, 0, 0, 0, 0, 0, 0, 0, 0}, out); !math.IsNaN(out[0]) {
		t.Errorf("a month without an answer gives %g", out[0])
	}
}
