package trade

import (
	"math"
	"testing"
)

const week = 7 * day

// A made-up flock of 1,000 hens whose sums were added up week by week apart from
// this program: from 18 weeks to the end of the 71st, rising to 94 % at 28 weeks
// and falling by half a point a week, with 0.12 % of the flock dying each week.
func TestFlock(t *testing.T) {
	const hens, stay = 1000, 54 * 7
	const fall, lost = 0.005 / week, 0.0012 / week
	housed := call(t, "lay_housed", 18*week, 72*week, 18*week, 28*week, 0.94, fall, lost)[0]
	alive := call(t, "flock_alive", 18*week, 72*week, lost)[0]
	near(t, "eggs", hens*stay*housed, 276594.6, 0.1)
	near(t, "hen-days", hens*stay*alive, 366225.8, 0.1)
	near(t, "hen-day rate", housed/alive, 0.7553, 0.0001)
	near(t, "eggs a hen housed", stay*housed, 276.59, 0.01)

	near(t, "rate at 18 weeks", call(t, "lay_rate", 18*week, 18*week, 28*week, 0.94, fall)[0], 0, 0)
	near(t, "rate at 23 weeks", call(t, "lay_rate", 23*week, 18*week, 28*week, 0.94, fall)[0], 0.47, 1e-12)
	near(t, "rate at 28 weeks", call(t, "lay_rate", 28*week, 18*week, 28*week, 0.94, fall)[0], 0.94, 1e-12)
	near(t, "rate at 71 weeks", call(t, "lay_rate", 71*week, 18*week, 28*week, 0.94, fall)[0], 0.725, 1e-12)
	near(t, "rate long after", call(t, "lay_rate", 400*week, 18*week, 28*week, 0.94, fall)[0], 0, 0)
}

// Hisex White nutrition management guide, standard from 18 to 100 weeks: 475 eggs
// of each hen housed in 574 days, 93 % alive at the end. Losses spread evenly
// leave 96.5 % alive on the mean, and 85.75 % of these lay on a day.
func TestLongFlock(t *testing.T) {
	const stay = 574
	lost := (1 - math.Pow(0.93, 1./82)) / week
	alive := call(t, "flock_alive", 18*week, 100*week, lost)[0]
	near(t, "mean alive", alive, 0.965, 0.002)
	near(t, "hen-day rate of 475 eggs", 475./stay/alive, 0.8575, 0.005)
	// A peak of 96 % at 25 weeks, from memory, and a fall of 0.1 to 0.25 points a
	// week hold that standard between them.
	low := stay * call(t, "lay_housed", 18*week, 100*week, 18*week, 25*week, 0.96, 0.0025/week, lost)[0]
	high := stay * call(t, "lay_housed", 18*week, 100*week, 18*week, 25*week, 0.96, 0.001/week, lost)[0]
	if !(low < 475 && 475 < high) {
		t.Errorf("475 eggs do not lie between %.0f and %.0f", low, high)
	}
}

func TestFlockLimits(t *testing.T) {
	none(t, "a peak before lay", call(t, "lay_rate", 30*week, 28*week, 20*week, 0.9, 0.005/week))
	none(t, "more eggs than hens", call(t, "lay_rate", 30*week, 18*week, 28*week, 1.2, 0.005/week))
	none(t, "sold before housed", call(t, "lay_housed", 72*week, 18*week, 18*week, 28*week, 0.9, 0.005/week, 0.0))
	none(t, "more die than live", call(t, "flock_alive", 18*week, 72*week, 1.5/week))
	none(t, "losses that are none", call(t, "flock_alive", 18*week, 72*week, math.NaN()))
	near(t, "no losses", call(t, "flock_alive", 18*week, 72*week, 0.0)[0], 1, 0)
}

// Shares of the normal distribution as printed in any table of it: 68.27, 95.45
// and 99.73 % within one, two and three standard deviations. The weights are the
// limits of class A grades in Commission Delegated Regulation (EU) 2023/2465, which
// took the place of Regulation (EC) 589/2008.
func TestEggGrades(t *testing.T) {
	const g = 0.001
	for n, want := range map[float64]float64{1: 0.6827, 2: 0.9545, 3: 0.9973} {
		near(t, "within deviations", call(t, "egg_grade", 63*g, 5*g, (63-5*n)*g, (63+5*n)*g)[0], want, 0.00005)
	}
	sum := 0.0
	for _, grade := range [][2]float64{{0, 53}, {53, 63}, {63, 73}, {73, 200}} {
		sum += call(t, "egg_grade", 62.7*g, 4.8*g, grade[0]*g, grade[1]*g)[0]
	}
	near(t, "all grades", sum, 1, 1e-9)
	near(t, "from the mean upwards", call(t, "egg_grade", 63*g, 5*g, 63*g, 200*g)[0], 0.5, 1e-9)
	none(t, "no spread", call(t, "egg_grade", 63*g, 0.0, 53*g, 63*g))
	none(t, "limits the wrong way round", call(t, "egg_grade", 63*g, 5*g, 63*g, 53*g))
}
