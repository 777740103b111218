package land

import (
	"math"
	"testing"
)

func TestPlan(t *testing.T) {
	// The shoelace formula worked by hand, map-and-season check GA-21.
	field := []Point{{0, 0}, {120, -10}, {200, 80}, {90, 160}, {-20, 70}}
	area, perimeter, centre := Plan(field)
	near(t, "area", area, 22950, 1e-9)
	near(t, "perimeter", perimeter, 591.774, 0.001)
	near(t, "centre east", centre.X, 84.016, 0.001)
	near(t, "centre north", centre.Y, 64.989, 0.001)
	far := make([]Point, 0, len(field)+1)
	for _, p := range append(field, field[0]) {
		far = append(far, Point{p.X + 500000, p.Y + 5800000})
	}
	area, perimeter, centre = Plan(far)
	near(t, "area far from the origin, closed", area, 22950, 1e-6)
	near(t, "perimeter far from the origin", perimeter, 591.774, 0.001)
	near(t, "centre far from the origin", centre.X, 500084.016, 0.001)
	back, _, _ := Plan([]Point{{0, 10}, {10, 10}, {10, 0}, {0, 0}})
	near(t, "with the clock", back, -100, 0)
	if _, _, c := Plan([]Point{{0, 0}, {1, 1}}); !math.IsNaN(c.X) {
		t.Errorf("two points have the centre %v", c)
	}
	if a, p, c := Plan(nil); a != 0 || p != 0 || !math.IsNaN(c.Y) {
		t.Errorf("nothing has %v, %v, %v", a, p, c)
	}
}

func TestCrossing(t *testing.T) {
	bow := []Point{{0, 0}, {100, 100}, {100, 0}, {0, 100}}
	if area, _, c := Plan(bow); area != 0 || !math.IsNaN(c.X) {
		t.Errorf("the parts of a bow-tie come to %v, centre %v; want 0 and none", area, c)
	}
	if i, j, ok := Crossing(bow); !ok || i != 0 || j != 2 {
		t.Errorf("a bow-tie crosses at %d, %d, %v; want sides 0 and 2", i, j, ok)
	}
	for name, simple := range map[string][]Point{
		"square":        {{0, 0}, {1, 0}, {1, 1}, {0, 1}},
		"closed square": {{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}},
		"L":             {{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}},
		"in a row":      {{0, 0}, {1, 0}, {2, 0}, {3, 0}, {3, 1}, {0, 1}},
	} {
		if i, j, ok := Crossing(simple); ok {
			t.Errorf("%s: sides %d and %d are said to cross", name, i, j)
		}
	}
	if _, _, ok := Crossing([]Point{{0, 0}, {4, 0}, {4, 2}, {2, 0}, {0, 2}}); !ok {
		t.Error("a corner that touches a side is not noticed")
	}
	if _, _, ok := Crossing([]Point{{0, 0}, {4, 0}, {4, 2}, {3, 0}, {1, 0}, {0, 2}}); !ok {
		t.Error("a side that lies on another is not noticed")
	}
}

func TestWithin(t *testing.T) {
	l := []Point{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}
	for p, want := range map[Point]bool{{0.5, 0.5}: true, {1.5, 0.5}: true, {0.5, 1.5}: true, {1.5, 1.5}: false, {-1, 0.5}: false, {3, 0.5}: false, {0.5, 3}: false, {0.5, -1}: false} {
		if Within(p, l) != want {
			t.Errorf("%v inside: %v", p, !want)
		}
	}
}

func TestWithinSlantedSides(t *testing.T) {
	triangle := []Point{{10, 5}, {20, 5}, {12, 25}}
	for p, want := range map[Point]bool{{11, 10}: true, {10.4, 10}: false, {17.9, 10}: true, {18.1, 10}: false, {12, 24}: true, {12.5, 24}: false, {15, 5.1}: true, {15, 4.9}: false} {
		if Within(p, triangle) != want {
			t.Errorf("%v inside: %v", p, !want)
		}
	}
}

func TestUTM(t *testing.T) {
	// PROJ 9.1, EPSG:32631.
	p := UTM(31, Place{0, 3})
	near(t, "middle, east", p.X, 500000, 0.001)
	near(t, "middle, north", p.Y, 0, 0.001)
	p = UTM(31, Place{52.2, 0.12})
	near(t, "Cambridge, east", p.X, 303189.314, 0.001)
	near(t, "Cambridge, north", p.Y, 5787193.025, 0.001)
	south := UTM(31, Place{-52.2, 5.88})
	near(t, "mirrored, east", south.X, 1e6-p.X, 0.001)
	near(t, "mirrored, north", south.Y, 1e7-p.Y, 0.001)
	if far := UTM(31, Place{52, 13.5}); !math.IsNaN(far.X) {
		t.Errorf("a place far from the zone is at %v", far)
	}
	for _, bad := range []Point{UTM(0, Place{52, -179}), UTM(61, Place{52, -179}), UTM(31, Place{91, 3})} {
		if !math.IsNaN(bad.X) || !math.IsNaN(bad.Y) {
			t.Errorf("off the grid is at %v", bad)
		}
	}
	for longitude, want := range map[float64]int{-180: 1, -174.1: 1, -174: 2, 0: 31, 2.9: 31, 6: 32, 179.9: 60, 180: 60} {
		if got := Zone(longitude); got != want {
			t.Errorf("%v lies in zone %d, want %d", longitude, got, want)
		}
	}
}
