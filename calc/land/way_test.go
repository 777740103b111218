package land

import (
	"math"
	"slices"
	"testing"
)

func TestWay(t *testing.T) {
	// A lane with a branch that ends on its middle, a metre short; a loop that is
	// longer; by hand.
	tracks := [][]Point{
		{{0, 0}, {100, 0}, {200, 0}},
		{{60, 1}, {60, 80}},
		{{100, 0}, {100, 80}, {60, 80}},
	}
	length, way := Way(tracks, 2, Point{0, 5}, Point{60, 90})
	near(t, "by the branch", length, 5+60+79+10, 1e-9)
	if len(way) != 5 || way[0] != (Point{0, 5}) || way[len(way)-1] != (Point{60, 90}) || !slices.Contains(way, Point{60, 80}) {
		t.Errorf("the way is %v", way)
	}
	// Without the branch it goes round by the loop.
	length, way = Way([][]Point{tracks[0], tracks[2]}, 2, Point{0, 0}, Point{60, 80})
	near(t, "round by the loop", length, 100+80+40, 1e-9)
	if !slices.Equal(way, []Point{{0, 0}, {100, 0}, {100, 80}, {60, 80}}) {
		t.Errorf("the way is %v", way)
	}
	// Where the joint is wider than the snap there is no way across.
	length, way = Way(tracks[:2], 0.5, Point{0, 0}, Point{60, 80})
	if !math.IsNaN(length) || way != nil {
		t.Errorf("tracks a metre apart give %v, %v", length, way)
	}
	// Two that cross without a corner are a bridge.
	length, _ = Way([][]Point{{{0, 0}, {10, 0}}, {{5, -5}, {5, 5}}}, 0.1, Point{0, 0}, Point{5, 5})
	if !math.IsNaN(length) {
		t.Errorf("over a bridge it is %v", length)
	}
	// Both on one side of a track: straight along it.
	length, way = Way(tracks, 2, Point{20, 3}, Point{90, -4})
	near(t, "along one side", length, 3+70+4, 1e-9)
	if !slices.Equal(way, []Point{{20, 3}, {20, 0}, {60, 1}, {90, 0}, {90, -4}}) && !slices.Equal(way, []Point{{20, 3}, {20, 0}, {90, 0}, {90, -4}}) {
		t.Errorf("the way is %v", way)
	}
	if length, way := Way(nil, 2, Point{0, 0}, Point{1, 1}); !math.IsNaN(length) || way != nil {
		t.Errorf("without tracks it is %v, %v", length, way)
	}
	length, _ = Way([][]Point{{{0, 0}, {0, 0}, {7, 0}}}, 0.1, Point{0, 0}, Point{7, 0})
	near(t, "a track that stands still for a corner", length, 7, 1e-12)
	length, way = Way(tracks, 2, Point{60, 80}, Point{60, 80})
	near(t, "nowhere to go", length, 0, 0)
	if len(way) != 1 {
		t.Errorf("nowhere to go by %v", way)
	}
}

// There and back are equally long, and no way is shorter than as the crow flies.
func TestWayBothWays(t *testing.T) {
	var tracks [][]Point
	for i := range 6 {
		d := float64(20 * i)
		tracks = append(tracks, []Point{{d, 0}, {d + 3, 40}, {d, 100}}, []Point{{0, d}, {50, d + 5}, {100, d}})
	}
	for i := range 20 {
		a, b := Point{float64(17 * i % 100), float64(31 * i % 100)}, Point{float64(53 * i % 100), float64(7 * i % 100)}
		there, way := Way(tracks, 3, a, b)
		back, _ := Way(tracks, 3, b, a)
		if math.IsNaN(there) && math.IsNaN(back) {
			continue
		}
		near(t, "back", back, there, 6)
		if there < between(a, b)-3 {
			t.Errorf("from %v to %v it is %v by %v", a, b, there, way)
		}
	}
}
