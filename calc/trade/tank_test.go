package trade

import (
	"math"
	"testing"
)

const litre = 1e-3

func TestRainCaught(t *testing.T) {
	for _, c := range []struct {
		area, rain, runoff, litres, within float64
	}{
		{1, 1, 1, 1, 1e-9},            // an identity, stated by rainwater guides
		{40, 750, 0.8, 24000, 1},      // a relief agency's shelter training page
		{120, 450, 0.9, 48600, 1},     // a development agency's manual of 1989
		{100.1, 600, 0.80, 48048, 1},  // two halves of 11 by 4.55 m; the page prints 48 112, which its inputs don't give
		{100, 565, 0.85, 48025, 1e-6}, // by hand
		{0, 565, 0.85, 0, 0}, {100, 0, 0.85, 0, 0}, {100, 565, 0, 0, 0},
	} {
		near(t, "caught", call(t, "rain_caught", c.area, c.rain*mm, c.runoff)[0], c.litres*litre, c.within*litre)
	}
	const usGallon, foot, inch = 3.785411784e-3, 0.3048, 0.0254
	// The American factor: 0.623 gallons of a square foot and an inch.
	near(t, "1 in on 1000 sq ft", call(t, "rain_caught", 1000*foot*foot, inch, 1.0)[0], 623.4*usGallon, 0.5*usGallon)
	near(t, "a Texas river authority", call(t, "rain_caught", 2500*foot*foot, 3.5*inch, 0.85)[0], 4633.6*usGallon, 5*usGallon)
	none(t, "more than all runs off", call(t, "rain_caught", 40.0, 0.75, 1.01))
	none(t, "rain below nought", call(t, "rain_caught", 40.0, -0.75, 0.8))
}

// A roof of 100 m2 at 0.85 and a demand of 4000 L a month, by hand with the
// definition of yield after spillage.
var (
	rains = []float64{80, 70, 60, 40, 20, 10, 0, 5, 30, 60, 90, 100}
	drawn = months(4000)
)

func months(x float64) []float64 {
	out := make([]float64, 12)
	for m := range out {
		out[m] = x * litre
	}
	return out
}

func caught() []float64 {
	in := make([]float64, 12)
	for m, mm := range rains {
		in[m] = mm * 0.085
	}
	return in
}

func TestTankByMonth(t *testing.T) {
	store := call(t, "tank_store", 10.0, caught(), drawn, 0.0)
	for m, want := range []float64{6800, 6000, 6000, 5400, 3100, 850, 0, 425, 2550, 5100, 6000, 6000} {
		near(t, "month's end", store[m], want*litre, litre)
	}
	supply, spill := call(t, "tank_supply", 10.0, caught(), drawn, 0.0), call(t, "tank_spill", 10.0, caught(), drawn, 0.0)
	near(t, "supplied", total(supply), 30.925, litre)
	near(t, "spilt", total(spill), 11.1, litre)
	// What came in is what was supplied, spilt and is left, with any opening store.
	for _, size := range []float64{0, 1, 4, 10, 100} {
		opening := math.Min(size, 3)
		store, supply, spill := call(t, "tank_store", size, caught(), drawn, opening), call(t, "tank_supply", size, caught(), drawn, opening), call(t, "tank_spill", size, caught(), drawn, opening)
		near(t, "balance", total(supply)+total(spill)+store[11], total(caught())+opening, 1e-9)
		for m := range store {
			if store[m] < 0 || store[m] > size+1e-12 || supply[m] > 4 {
				t.Errorf("a tank of %v holds %v and gives %v", size, store[m], supply[m])
			}
		}
	}
	near(t, "first month from the opening store", call(t, "tank_supply", 10.0, caught(), drawn, 3.0)[0], 3, 1e-12)
	none(t, "overfull", call(t, "tank_store", 10.0, caught(), drawn, 10.1))
	none(t, "overfull for supply", call(t, "tank_supply", 10.0, caught(), drawn, 10.1))
	none(t, "overfull for spill", call(t, "tank_spill", 10.0, caught(), drawn, 10.1))
	none(t, "inflow below nought", call(t, "tank_store", 10.0, append(caught()[:11], -1), drawn, 0.0))
}

func TestTankReliability(t *testing.T) {
	// When the year comes round, January finds the 6000 L of December and is supplied
	// in full: 4000 L more than in the first year.
	near(t, "reliability", call(t, "tank_reliability", 10.0, caught(), drawn)[0], 34.925/48, 1e-9)
	near(t, "no tank", call(t, "tank_reliability", 0.0, caught(), drawn)[0], 0, 0)
	near(t, "nothing wanted", call(t, "tank_reliability", 0.0, caught(), months(0))[0], 1, 0)
	// A month's rain runs in, and over, before the month's demand is drawn: even rain
	// needs two months' room, and half of it gives half the water.
	near(t, "even rain", call(t, "tank_reliability", 8.0, months(4000), drawn)[0], 1, 1e-12)
	near(t, "half the room", call(t, "tank_reliability", 4.0, months(4000), drawn)[0], 0.5, 1e-12)

	for _, wanted := range []float64{0.3, 0.6, 0.75, 0.9} {
		size := call(t, "tank_size", caught(), drawn, wanted)[0]
		near(t, "reliability of the smallest", Tank(size).Reliability(caught(), drawn), wanted, 1e-6)
		if r := Tank(size-1e-5).Reliability(caught(), drawn); r >= wanted {
			t.Errorf("a smaller tank than %v has the reliability %v", size, r)
		}
	}
	near(t, "even rain", call(t, "tank_size", months(4000), drawn, 1.0)[0], 8, 1e-4)
	near(t, "nothing wanted", call(t, "tank_size", caught(), months(0), 0.9)[0], 0, 0)
	none(t, "less runs in than is wanted", call(t, "tank_size", months(3000), drawn, 0.9))
	none(t, "no reliability", call(t, "tank_size", caught(), drawn, 0.0))
}

func TestTankByDay(t *testing.T) {
	// Steps may be days: a cubic metre each tenth day, a tenth of it wanted a day, is
	// held over by a tank of one.
	inflow, demand := make([]float64, 3650), make([]float64, 3650)
	for d := range inflow {
		demand[d] = 0.1
		if d%10 == 0 {
			inflow[d] = 1
		}
	}
	near(t, "a full tank each time", Tank(1.1).Reliability(inflow, demand), 1, 1e-9)
	near(t, "half of it", Tank(0.5).Reliability(inflow, demand), 0.5, 1e-9)
	near(t, "smallest", float64(SmallestTank(inflow, demand, 0.5)), 0.5, 1e-3)
}
