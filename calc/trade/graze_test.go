package trade

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestPaddocks(t *testing.T) {
	// Penn State Agronomy Guide, Table 1.8-9: acres for an animal unit of 25 lb
	// a day.
	for _, c := range []struct{ days, offered, used, acres float64 }{
		{1, 750, 0.80, 0.042}, {2, 750, 0.75, 0.089}, {4, 1000, 0.70, 0.143},
		{5, 1500, 0.65, 0.128}, {6, 750, 0.60, 0.333}, {7, 1500, 0.60, 0.194},
	} {
		got := call(t, "paddock_area", 25*lb/day, c.days*day, c.offered*lb/acre, c.used)[0] / acre
		near(t, "paddock of an animal unit", got, c.acres, 0.0005)
	}
	// The same formula in metric units, worked out apart: 30 cows on 15 kg, and
	// 60 steers on 18 kg.
	near(t, "30 cows for two days", call(t, "paddock_area", 450/day, 2*day, 2800/ha, 0.5)[0]/ha, 0.642857, 1e-6)
	near(t, "between 2,800 and 1,500 kg", call(t, "paddock_area", 450/day, 2*day, 1300/ha, 1.0)[0]/ha, 0.692308, 1e-6)
	near(t, "60 steers for three days", call(t, "paddock_area", 60*18/day, 3*day, 1600/ha, 0.5)[0]/ha, 4.05, 1e-6)
	none(t, "no grass", call(t, "paddock_area", 1.0, day, 0.0, 0.5))
	none(t, "more used than there is", call(t, "paddock_area", 1.0, day, 1.0, 1.2))

	// Rest of 30 days and stays of 3: eleven paddocks, printed so in a grazing
	// page; with four paddocks 75 % rest, Hay & Forage Grower, May 2019.
	near(t, "paddocks", call(t, "paddock_count", 30*day, 3*day)[0], 11, 0)
	four := call(t, "paddock_count", 21*day, 7*day)[0]
	near(t, "resting", 1-1/four, 0.75, 1e-12)
	near(t, "paddocks, in parts of a stay", call(t, "paddock_count", 31*day, 3*day)[0], 12, 0)
	none(t, "no stay", call(t, "paddock_count", 30*day, 0.0))
}

// Worked examples in the US farm press from Iowa State and Missouri Extension
// figures, November 2021 and High Plains Journal: 405 short tons of dry matter
// in hay of 85 %, and with 5 % lost; 50 cows of 1,300 lb on 3 %.
func TestHay(t *testing.T) {
	const ton = 2000 * lb
	eaten := 150 * 1200 * 0.025 * 180 * lb
	near(t, "eaten", eaten/ton, 405, 1e-9)
	near(t, "as fed", call(t, "hay_needed", eaten, 0.85, 0.0)[0]/ton, 476.47, 0.5)
	near(t, "with 5 % lost", call(t, "hay_needed", eaten, 0.85, 0.05)[0]/ton, 501.55, 0.7)
	near(t, "a day for 50 cows", call(t, "hay_needed", 50*1300*0.03, 0.85, 0.0)[0], 2294, 10)
	// The second example multiplies by 1.20 for 20 % waste and prints 137; as a
	// share of the hay put out it is 141.9.
	near(t, "99 days, 20 % lost", call(t, "hay_needed", 50*1300*0.03*99*lb, 0.85, 0.2)[0]/ton, 141.9, 0.1)
	none(t, "all lost", call(t, "hay_needed", 1.0, 0.85, 1.0))
	none(t, "hay of water", call(t, "hay_needed", 1.0, 0.0, 0.1))
}

var monthDays = []float64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// A year that comes again and again eats no more than grows.
func TestGrazingArea(t *testing.T) {
	growth := []float64{2, 4, 10, 25, 45, 40, 31, 28, 22, 12, 6, 3} // kg/ha/day
	perDay := make([]float64, 12)
	for m := range growth {
		perDay[m] = growth[m] / ha / day
	}
	month := func(m int, kg float64) []float64 {
		eaten := make([]float64, 12)
		eaten[m] = kg
		return eaten
	}
	// Where nothing keeps, a month eats its own growth. By pencil: 45 * 31 * 60 %
	// = 837 kg/ha in May; 8,370 kg take 10 ha.
	near(t, "one month", call(t, "grazing_area", month(4, 8370), perDay, 0.6, 0.0)[0]/ha, 10, 1e-9)
	// Where all keeps, whatever grows in the year is one heap.
	grown := 0.0
	for m := range growth {
		grown += growth[m] * monthDays[m]
	}
	three := month(6, 4000)
	three[4], three[5] = 1000, 1000
	near(t, "three months in one heap", call(t, "grazing_area", three, perDay, 0.5, 1.0)[0]/ha, 6000/(0.5*grown), 1e-9)
	// Half keeps: in June what May left counts half, April's a quarter, and so
	// round the year; 12 months on, a 4,096th part of the same June.
	heap := 0.0
	for i := range 12 {
		heap += growth[(5+12-i)%12] * monthDays[(5+12-i)%12] * math.Pow(0.5, float64(i))
	}
	near(t, "June on the half that keeps", call(t, "grazing_area", month(5, 1000), perDay, 1.0, 0.5)[0]/ha, 1000/heap, 1e-9)
	near(t, "no animals", call(t, "grazing_area", make([]float64, 12), perDay, 0.5, 1.0)[0], 0, 0)
	none(t, "no grass", call(t, "grazing_area", month(4, 1), make([]float64, 12), 0.5, 1.0))
	none(t, "share over 100 %", call(t, "grazing_area", month(4, 1), perDay, 1.5, 1.0))

	// Walked month by month for as long as it takes to settle, grass never runs
	// out on the area found, and on a little less it does. What is eaten in a year
	// never is more than what grows in it.
	r := rand.New(rand.NewPCG(3, 2026))
	for range 300 {
		eaten := make([]float64, 12)
		first, sum := r.IntN(12), 0.0
		for i := range 1 + r.IntN(12) {
			eaten[(first+i)%12] = r.Float64() * 5000
			sum += eaten[(first+i)%12]
		}
		used, keeps := 0.3+0.5*r.Float64(), 0.5+0.45*r.Float64()
		area := call(t, "grazing_area", eaten, perDay, used, keeps)[0] / ha
		least := func(area float64) float64 {
			have, low := 0.0, math.Inf(1)
			for m := range 60 * 12 {
				have = have*keeps + growth[m%12]*monthDays[m%12]*used - eaten[m%12]/area
				if m >= 59*12 {
					low = math.Min(low, have)
				}
			}
			return low
		}
		if got := least(area * (1 + 1e-9)); got < -1e-6 {
			t.Fatalf("on %.3f ha grass runs out by %.3g kg/ha (%v)", area, got, eaten)
		}
		if got := least(area * 0.999); got >= 0 {
			t.Fatalf("%.3f ha is more than is needed (%v)", area, eaten)
		}
		if sum > grown*used*area*(1+1e-9) {
			t.Fatalf("%.0f kg are eaten where %.0f grow", sum, grown*used*area)
		}
	}
}
