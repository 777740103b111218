package trade

import (
	"testing"
)

func TestPlantsInRows(t *testing.T) {
	const inch, foot = 0.0254, 0.3048
	// A farm-supply seed guide: plants on 100 ft of row at 18 and 24 in.
	near(t, "at 18 in", call(t, "plants_in_row", 100*foot, 18*inch)[0], 66, 0)
	near(t, "at 24 in", call(t, "plants_in_row", 100*foot, 24*inch)[0], 50, 0)
	// A gardening reference: a bed of 20 by 3 ft at 12 by 12 in.
	near(t, "bed", call(t, "plants_in_bed", 20*foot, 3*foot, 12*inch, 12*inch)[0], 60, 0)
	// 30 / 0.3 is a hair below 100 in binary fractions.
	near(t, "30 m at 30 cm", call(t, "plants_in_row", 30.0, 0.3)[0], 100, 0)
	// The noise of a few operations grows with the number: a part in a thousand
	// million of a million is a thousandth.
	near(t, "a million, but for the noise", call(t, "plants_in_row", 999_999.9999, 1.0)[0], 1e6, 0)
	near(t, "one short of a million", call(t, "plants_in_row", 999_999.99, 1.0)[0], 999_999, 0)
	near(t, "one short of two", call(t, "plants_in_row", 1.999_999, 1.0)[0], 1, 0)
	near(t, "a million seeds, but for the noise", call(t, "seeds_needed", 1_000_000.0001, 0.0, 1.0)[0], 1e6, 0)
	near(t, "one more than a million seeds", call(t, "seeds_needed", 1_000_000.01, 0.0, 1.0)[0], 1_000_001, 0)
	near(t, "one more than one", call(t, "seeds_needed", 1.000_001, 0.0, 1.0)[0], 2, 0)
	near(t, "no room", call(t, "plants_in_row", 0.2, 0.3)[0], 0, 0)
	none(t, "no spacing", call(t, "plants_in_row", 30.0, 0.0))
	none(t, "no spacing in a bed", call(t, "plants_in_bed", 30.0, 0.75, 0.25, -0.1))
}

func TestPlantsOnArea(t *testing.T) {
	const inch, foot = 0.0254, 0.3048
	// Spacing table of a farm and garden rule book, for an acre.
	for _, c := range []struct{ rows, in, plants float64 }{
		{2 * foot, 3 * foot, 7260}, {inch, inch, 6272640}, {12 * inch, 3 * inch, 174240}, {6 * inch, 3 * inch, 348480},
		// A potato growers' magazine.
		{34 * inch, 6 * inch, 30748}, {34 * inch, 8 * inch, 23061}, {34 * inch, 12 * inch, 15374},
		{36 * inch, 6 * inch, 29040}, {36 * inch, 9 * inch, 19360}, {36 * inch, 12 * inch, 14520},
	} {
		near(t, "plants on an acre", call(t, "plants_on_area", acre, c.rows, c.in)[0], c.plants, 1)
	}
	// Forestry reference pages, for a hectare.
	for _, c := range []struct{ rows, in, plants float64 }{{10, 10, 100}, {8, 8, 156}, {3, 3, 1111}, {3, 2, 1667}} {
		near(t, "trees on a hectare", call(t, "plants_on_area", ha, c.rows, c.in)[0], c.plants, 0.5)
	}
	// A nursery planting guide adds 15 % for triangles; exactly 2/sqrt(3).
	square, triangles := call(t, "plants_on_area", acre, 20*foot, 20*foot)[0], call(t, "plants_in_triangles", acre, 20*foot)[0]
	near(t, "squares of 20 ft", square, 108.9, 0.1)
	near(t, "triangles of 20 ft", triangles, 125.7, 0.1)
	near(t, "gain of triangles", triangles/square, 1.1547, 0.0001)
	none(t, "no spacing", call(t, "plants_on_area", ha, 0.0, 1.0))
	none(t, "no spacing in triangles", call(t, "plants_in_triangles", ha, 0.0))
}

func TestSeed(t *testing.T) {
	// 300 plants, a tenth to spare, 85 of 100 germinate: 388.2. Direct sowing
	// of 4,500 places at 55 %: 8,181.8. Both worked out apart; the order of
	// rounding is common practice, no source.
	near(t, "cells", call(t, "seeds_needed", 300.0, 0.1, 0.85)[0], 389, 0)
	near(t, "direct", call(t, "seeds_needed", 4500.0, 0.0, 0.55)[0], 8182, 0)
	near(t, "no noise rounded up", call(t, "seeds_needed", 330.0, 0.1, 1.0)[0], 363, 0)
	none(t, "nothing germinates", call(t, "seeds_needed", 300.0, 0.1, 0.0))

	// A New Zealand seed merchant's table: 100 and 125 plants/m2 of 45 g a
	// thousand, 95 and 90 %, in kg/ha.
	near(t, "wheat at 100", call(t, "sowing_weight", 100.0, 0.045, 0.95, 0.90)[0]*ha, 53, 0.5)
	near(t, "wheat at 125", call(t, "sowing_weight", 125.0, 0.045, 0.95, 0.90)[0]*ha, 66, 0.5)
	// An agronomy consultant's page, lb/acre for 30 plants/ft2.
	ft2 := 0.3048 * 0.3048
	for _, c := range []struct{ thousand, survival, want float64 }{
		{38, 0.94, 121}, {38, 0.82, 139}, {29, 0.82, 106},
		{29, 0.94, 92.6}, // the page prints 95, which its own formula does not give
	} {
		// Its factor 10 stands for 453.6 / 43.56, so it is 4 % high.
		got := call(t, "sowing_weight", 30/ft2, c.thousand/1000, 1.0, c.survival)[0] * acre / lb
		near(t, "wheat on an acre", got, c.want*10/10.413, 0.5)
	}
	none(t, "more than all germinate", call(t, "sowing_weight", 100.0, 0.045, 1.2, 0.9))
}
