package plan_test

import (
	"math"
	"testing"

	"rickyard/calc/plan"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tolerance {
		t.Errorf("%s: %.10g, expected %.10g", what, got, want)
	}
}

// Where a check names numpy-financial, its documentation prints the value (read
// in a stored page); the others are worked out again from the formula.
func TestLoans(t *testing.T) {
	const year = 12.
	schedule := plan.Terms{Amount: 2_500, Rate: 0.0824 / year, Periods: 12}.Schedule(nil)
	for _, c := range []struct {
		month                      int
		principal, interest, after float64
	}{{1, 200.58, 17.17, 2299.42}, {12, 216.26, 1.49, 0}} {
		i := schedule[c.month-1]
		near(t, "numpy-financial, ipmt: principal", i.Principal, c.principal, 0.005)
		near(t, "numpy-financial, ipmt: interest", i.Interest, c.interest, 0.005)
		near(t, "numpy-financial, ipmt: balance", i.After, c.after, 0.005)
	}
	near(t, "numpy-financial, ipmt: interest of the year", interestOf(schedule), 112.98, 0.005)

	annual := plan.Terms{Amount: 100_000, Rate: 0.06, Periods: 5}
	for n, interest := range []float64{6000, 4935.62, 3807.38, 2611.44, 1343.75} {
		i := annual.Schedule(nil)[n]
		near(t, "level: payment", i.Interest+i.Principal, 23739.6400431, 1e-6)
		near(t, "level: interest", i.Interest, interest, 0.005)
	}
	equal := annual
	equal.Repayment = plan.EqualPrincipal
	for n, want := range []float64{26_000, 24_800, 23_600, 22_400, 21_200} {
		i := equal.Schedule(nil)[n]
		near(t, "equal principal", i.Interest+i.Principal, want, 1e-9)
	}
	near(t, "equal principal: interest", interestOf(equal.Schedule(nil)), 18_000, 1e-9)

	later := plan.Terms{Amount: 100_000, Rate: 0.06, Periods: 10, InterestOnly: 2}
	for n, i := range later.Schedule(nil) {
		want := 16103.5942648
		if n < 2 {
			want = 6000
		}
		near(t, "two years of interest only", i.Interest+i.Principal, want, 1e-6)
	}
	near(t, "two years of interest only: interest", interestOf(later.Schedule(nil)), 40828.75, 0.005)
	later.InterestOnly = 0
	near(t, "level from the start: interest", interestOf(later.Schedule(nil)), 35867.96, 0.005)
	long := plan.Terms{Amount: 300_000, Rate: 0.065 / year, Periods: 360, InterestOnly: 12}.Schedule(nil)
	near(t, "a year of interest only", long[0].Interest+long[0].Principal, 1625, 1e-9)
	near(t, "and then", long[12].Interest+long[12].Principal, 1917.6379987939, 1e-8)

	// A rest of 30 % at the end: the balance before the last payment, less that
	// payment's principal but for the rest, is the rest.
	balloon := plan.Terms{Amount: 1_000, Rate: 0.01, Periods: 24, Balloon: 0.3}.Schedule(nil)
	near(t, "balloon", balloon[23].Principal-(balloon[0].Principal+balloon[0].Interest-balloon[23].Interest), 300, 1e-9)
	end := plan.Terms{Amount: 1_000, Rate: 0.01, Periods: 4, Repayment: plan.AtEnd}.Schedule(nil)
	if end[2].Principal != 0 || end[3].Principal != 1_000 || end[3].After != 0 {
		t.Errorf("paid at the end: %v", end)
	}
}

func interestOf(schedule []plan.Instalment) float64 {
	sum := 0.0
	for _, i := range schedule {
		sum += i.Interest
	}
	return sum
}
