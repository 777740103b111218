package enterprise_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"rickyard/calc/enterprise"
)

const day = 86400.

// TestCycleMonths: folded back into one year, the open calendar must be that of
// cycle_span and cycle_day, and nothing may be lost.
func TestCycleMonths(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		args := []float64{float64(r.IntN(365)) * day, float64(1+r.IntN(60)) * day, float64(r.IntN(80)) / 4, float64(r.IntN(90)) * day, 0}
		args[4] = args[3] + float64(r.IntN(120))*day
		start := r.IntN(12)
		var open [120]float64
		enterprise.CycleMonths(args[0], args[1], args[2], args[3], args[4], start, 12, open[:])
		var want [12]float64
		enterprise.Functions[1].Work(args, want[:])
		var got [12]float64
		sum := 0.0
		for i, x := range open {
			got[(start+i)%12] += x
			sum += x
		}
		for m := range want {
			if math.Abs(got[m]-want[m]) > 1e-9 {
				t.Fatalf("%v from month %d: month %d has %v, expected %v", args, start, m, got[m], want[m])
			}
		}
		if args[2] > 0 && math.Abs(sum-1) > 1e-9 {
			t.Fatalf("%v: the months add up to %v", args, sum)
		}
	}
}

// TestCyclePastTheYear: a batch that starts on 1 December and is sold after 62
// days is sold on 1 February of the next year; feed before the year falls
// before it.
func TestCyclePastTheYear(t *testing.T) {
	var open [36]float64
	enterprise.CycleMonths(334*day, 0, 1, 62*day, 62*day, 0, 12, open[:])
	if open[12+13] != 1 {
		t.Errorf("sold in %v", open)
	}
	enterprise.CycleMonths(0, 0, 1, -14*day, -14*day, 0, 12, open[:])
	if open[11] != 1 {
		t.Errorf("paid in %v", open)
	}
	// In a year that begins in July, 1 February is the eighth month.
	enterprise.CycleMonths(31*day, 0, 1, 0, 0, 6, 12, open[:])
	if open[12+7] != 1 {
		t.Errorf("begins in %v", open)
	}
}
