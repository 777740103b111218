package trade

import (
	"math"
	"testing"
)

func TestPondVolume(t *testing.T) {
	const foot = 0.3048
	ft3 := foot * foot * foot
	for _, c := range []struct{ length, width, depth, side, want, within float64 }{
		// A university's mathematics question service, found there by calculus.
		{100 * foot, 70 * foot, 12 * foot, 2, 44256 * ft3, ft3},
		// USDA Agriculture Handbook 590, excavated ponds (from memory): 3612 cubic yards.
		{148 * foot, 88 * foot, 12 * foot, 2, 97536 * ft3, 27 * ft3},
		// The prismoidal formula by hand.
		{30, 20, 2.5, 2, 958.33, 0.01},
		{20, 20, 2, 2, 522.67, 0.01}, // bottom of the same shape: the frustum's volume too
		{30, 20, 2, 0, 1200, 1e-9},
		{20, 20, 5, 2, 2000.0 / 3, 1e-9}, // down to a point: a pyramid
	} {
		near(t, "pond", call(t, "pond_volume", c.length, c.width, c.depth, c.side)[0], c.want, c.within)
	}
	none(t, "sides that meet", call(t, "pond_volume", 30.0, 20.0, 5.01, 2.0))
	none(t, "sides that meet the other way", call(t, "pond_volume", 20.0, 30.0, 5.01, 2.0))
	none(t, "no such side", call(t, "pond_volume", 20.0, 30.0, 1.0, -0.1))

	// A frustum of a cone of radii 10 and 6 m, 2 m deep, by geometry.
	near(t, "round pond", call(t, "round_pond_volume", 20.0, 2.0, 2.0)[0], 410.50, 0.01)
	near(t, "down to a point", call(t, "round_pond_volume", 20.0, 5.0, 2.0)[0], math.Pi*500/3, 1e-9)
	none(t, "round sides that meet", call(t, "round_pond_volume", 20.0, 5.01, 2.0))

	// A homework-help page: depth 15 ft, bottom 180 by 20, top 202 by 25 ft. It prints
	// 64 875 by end areas; the true prismoid holds 64 600.
	top, middle, bottom := 202*25*foot*foot, 191*22.5*foot*foot, 180*20*foot*foot
	near(t, "by end areas", call(t, "volume_by_end_areas", many2(15*foot, top, bottom)...)[0], 64875*ft3, ft3)
	near(t, "prismoid", call(t, "prismoid", top, middle, bottom, 15*foot)[0], 64600*ft3, ft3)
	near(t, "by prismoids", call(t, "volume_by_prismoids", many2(7.5*foot, top, middle, bottom)...)[0], 64600*ft3, ft3)
	none(t, "an even number", call(t, "volume_by_prismoids", many2(1.0, 1, 2, 3, 4)...))
	none(t, "two", call(t, "volume_by_prismoids", many2(1.0, 1, 2)...))
	none(t, "one", call(t, "volume_by_prismoids", many2(1.0, 1)...))
	// A swale: bottom 0.5 m, 0.4 m deep, sides 1 : 2, 120 m, by geometry.
	near(t, "swale", call(t, "trench_volume", 120.0, 0.5, 0.4, 2.0)[0], 62.4, 1e-9)
}

func many2(values ...float64) []any {
	out := make([]any, len(values))
	for i, v := range values {
		out[i] = v
	}
	return out
}

func TestPondStore(t *testing.T) {
	// 100 m2 that lose 2 mm a day and 10 mm a month, by hand.
	none12, inflow, evaporation := make([]float64, 12), make([]float64, 12), make([]float64, 12)
	for m := range inflow {
		evaporation[m] = 0.010
	}
	inflow[1], inflow[2] = 200, 5
	wanted := make([]float64, 12)
	wanted[3] = 30
	store := call(t, "pond_store", 150.0, 100.0, inflow, evaporation, 0.002/day, wanted, 20.0)
	near(t, "January", store[0], 20-1-6.2, 1e-9)
	near(t, "February, full", store[1], 150, 0)
	near(t, "March", store[2], 150+5-1-6.2, 1e-9)
	near(t, "April", store[3], store[2]-1-6-30, 1e-9)
	near(t, "December", store[11], store[10]-7.2, 1e-9)
	store = call(t, "pond_store", 150.0, 100.0, none12, evaporation, 0.002/day, months(4000), 20.0)
	near(t, "dry", store[11], 0, 0)
	none(t, "overfull", call(t, "pond_store", 150.0, 100.0, none12, evaporation, 0.0, none12, 151.0))
	near(t, "nearly full", call(t, "pond_store", 150.0, 100.0, none12, none12, 0.0, none12, 120.0)[0], 120, 0)
	evaporation[0] = -0.05 // more rain than evaporation
	near(t, "rain on it", call(t, "pond_store", 150.0, 100.0, none12, evaporation, 0.0, none12, 20.0)[0], 25, 1e-9)
}
