package trade

import (
	"math"
	"testing"
)

func TestTreesInRows(t *testing.T) {
	// A bed of 30 m at 30 cm holds 101 where both ends are planted, 100 otherwise.
	near(t, "both ends", call(t, "trees_in_row", 30.0, 0.3)[0], 101, 0)
	near(t, "shorter than a spacing", call(t, "trees_in_row", 2.0, 3.0)[0], 1, 0)
	// 200 by 100 m, rows 24 m apart with 10 m to turn: five rows of 37 at 5 m; alleys of
	// 22 m between strips of 2 m. By hand.
	near(t, "alleys", call(t, "trees_in_alleys", 200.0, 100.0, 24.0, 10.0, 5.0)[0], 5*37, 0)
	near(t, "cropped", call(t, "alley_crop", 200.0, 100.0, 24.0, 10.0, 2.0)[0], 4*22*180, 1e-9)
	near(t, "nothing but headland", call(t, "alley_crop", 20.0, 100.0, 24.0, 10.0, 2.0)[0], 0, 1e-9)
	near(t, "one tree a row", call(t, "trees_in_alleys", 20.0, 100.0, 24.0, 10.0, 5.0)[0], 5, 0)
	none(t, "no room", call(t, "trees_in_alleys", 19.0, 100.0, 24.0, 10.0, 5.0))
	none(t, "no room to crop", call(t, "alley_crop", 19.0, 100.0, 24.0, 10.0, 2.0))
	none(t, "strips too wide", call(t, "alley_crop", 200.0, 100.0, 24.0, 10.0, 25.0))
	none(t, "no alley", call(t, "trees_in_alleys", 200.0, 100.0, 0.0, 10.0, 5.0))
	// A 10 m square with a tree at each centre has twice the square's trees.
	near(t, "with fillers", 2*call(t, "plants_on_area", ha, 10.0, 10.0)[0], 200, 1e-9)
}

func TestRaising(t *testing.T) {
	// 300 wanted, 85 % of the seed, 90 % of the grafts, 95 % of the first winter: 412.8.
	near(t, "stock", call(t, "before_losses", 300.0, 0.15, 0.10, 0.05)[0], 413, 0)
	near(t, "a whole number stays", call(t, "before_losses", 300.0, 0.5)[0], 600, 0)
	// 200 trees that lose 8, 3 and 1.2 %: 16, 6 and 3.
	near(t, "beating up", call(t, "beating_up", many2(200, 0.08, 0.03, 0.012)...)[0], 25, 0)
	none(t, "more than all lost", call(t, "beating_up", many2(200, 1.1)...))
}

func TestThinning(t *testing.T) {
	near(t, "basal area", call(t, "basal_area", 0.3)[0], 0.0706858, 1e-7)
	// 36 m2/ha down to 28 by stems of 20 cm: 8 / 0.0314159 = 254.6 a hectare.
	near(t, "stems", call(t, "stems_to_fell", 36/ha, 28/ha, 0.2)[0]*ha, 254.648, 0.001)
	near(t, "below the target", call(t, "stems_to_fell", 20/ha, 28/ha, 0.2)[0], 0, 0)
	none(t, "no stem", call(t, "stems_to_fell", 36/ha, 28/ha, 0.0))
	if d := math.Sqrt(4 * call(t, "basal_area", 0.25)[0] / math.Pi); math.Abs(d-0.25) > 1e-12 {
		t.Errorf("the basal area's diameter is %v", d)
	}
}
