package land

import (
	"math"
	"slices"
	"testing"
)

// The teaching grid long used for this method, in the tests of four public raster
// libraries: heights, directions, and cells above each.
var (
	taught = []float64{
		78, 72, 69, 71, 58, 49,
		74, 67, 56, 49, 46, 50,
		69, 53, 44, 37, 38, 48,
		64, 58, 55, 22, 31, 24,
		68, 61, 47, 21, 16, 19,
		74, 53, 34, 12, 11, 12,
	}
	taughtWays = []Direction{
		2, 2, 2, 4, 4, 8,
		2, 2, 2, 4, 4, 8,
		1, 1, 2, 4, 8, 4,
		128, 128, 1, 2, 4, 8,
		2, 2, 1, 4, 4, 4,
		1, 1, 1, 1, Out, 16,
	}
	taughtAbove = []int32{
		0, 0, 0, 0, 0, 0,
		0, 1, 1, 2, 2, 0,
		0, 3, 7, 5, 4, 0,
		0, 0, 0, 20, 0, 1,
		0, 0, 0, 1, 24, 0,
		0, 2, 4, 7, 35, 1,
	}
)

func TestFlowOfTaughtGrid(t *testing.T) {
	g := &Grid{Rows: 6, Columns: 6, Cell: 10, Heights: taught}
	f := g.Flow()
	if !slices.Equal(f.Directions, taughtWays) {
		t.Errorf("directions %v", f.Directions)
	}
	if !slices.Equal(f.Above, taughtAbove) {
		t.Errorf("cells above %v", f.Above)
	}
	if !slices.Equal(f.Filled, taught) {
		t.Errorf("ground without pits is filled to %v", f.Filled)
	}
	// All 36 cells of 10 m drain through the lowest: the whole map.
	near(t, "land that drains through the outlet", f.Area(5, 4), 3600, 0)
	if in := f.Catchment(5, 4); slices.Contains(in, false) {
		t.Errorf("the outlet's catchment lacks some: %v", in)
	}
	n := 0
	for _, in := range f.Catchment(3, 3) {
		if in {
			n++
		}
	}
	if n != 21 {
		t.Errorf("%d cells in the catchment of row 4, column 4; want 20 and itself", n)
	}
	if way := f.Way(0, 0); !slices.Equal(way, []int{0, 7, 14, 21, 28, 34}) {
		t.Errorf("the way from the first cell is %v", way)
	}
	if way := f.Way(1, 3); !slices.Equal(way, []int{9, 15, 21, 28, 34}) {
		t.Errorf("the way from row 2, column 4 is %v", way)
	}
	// Two streams of at least five cells meet in the fourth row, and go on.
	streams := f.Streams(500)
	want := [][]int{{14, 21}, {15, 21}, {16, 21}, {21, 28, 34}, {32, 33, 34}, {34}}
	if !slices.EqualFunc(streams, want, slices.Equal[[]int]) {
		t.Errorf("streams %v, want %v", streams, want)
	}
}

func TestPitsAreFilled(t *testing.T) {
	// A pan with a rim of 5 and one gap of 3 in the east: water stands to 3 and
	// leaves there. By hand.
	g := &Grid{Rows: 5, Columns: 5, Cell: 1, Heights: []float64{
		5, 5, 5, 5, 5,
		5, 1, 2, 1, 5,
		5, 2, 0, 2, 3,
		5, 1, 2, 1, 5,
		5, 5, 5, 5, 5,
	}}
	f := g.Flow()
	for i, h := range f.Filled {
		if want := math.Max(g.Heights[i], 3); h != want {
			t.Errorf("cell %d is filled to %v, want %v", i, h, want)
		}
	}
	for i := range f.Filled {
		if i%5 == 0 || i%5 == 4 || i < 5 || i >= 20 {
			continue
		}
		if way := f.Way(i/5, i%5); way[len(way)-1] != 14 {
			t.Errorf("from cell %d water runs %v, not through the gap", i, way)
		}
	}
	// Beside the rim's corners all rim cells fall inward; only the gap leads out.
	near(t, "through the gap", f.Area(2, 4), 25, 0)
}

func TestFlowKeepsWater(t *testing.T) {
	// Rough ground with pits, level parts and a hole in the map: all the water of
	// all cells leaves somewhere, and never uphill on the filled ground.
	g := gridOf(37, 41, 5, func(x, y float64) float64 {
		return math.Round(10*math.Sin(x/17)*math.Sin(y/13)+x/40) / 2
	})
	g.Heights[500], g.Heights[501] = math.NaN(), math.NaN()
	f := g.Flow()
	out := 0
	for i := range g.Heights {
		if math.IsNaN(g.Heights[i]) {
			if f.Above[i] != 0 || f.Directions[i] != Out {
				t.Errorf("unknown cell %d takes part", i)
			}
			continue
		}
		if f.Filled[i] < g.Heights[i] {
			t.Errorf("cell %d is dug from %v to %v", i, g.Heights[i], f.Filled[i])
		}
		j := f.next(i)
		if j < 0 {
			out += int(f.Above[i]) + 1
			if !f.edge(i) {
				t.Errorf("cell %d inside the map keeps its water", i)
			}
		} else if f.Filled[j] > f.Filled[i] {
			t.Errorf("from cell %d water runs up to %d", i, j)
		}
	}
	if out != 37*41-2 {
		t.Errorf("%d cells' water leaves the map, want all %d", out, 37*41-2)
	}
	if again := g.Flow(); !slices.Equal(again.Directions, f.Directions) {
		t.Error("a second time the water runs another way")
	}
}

// Water leaves the map beside a single unknown post, as it does at the edge.
func TestWaterLeavesAtUnknownPost(t *testing.T) {
	g := gridOf(7, 7, 1, func(x, y float64) float64 { return math.Hypot(x-3, y-3) })
	g.Heights[3*7+3] = math.NaN()
	f := g.Flow()
	for i, h := range f.Filled {
		if h != g.Heights[i] && i != 3*7+3 {
			t.Errorf("cell %d is filled to %v", i, h)
		}
	}
	if f.Directions[2*7+3] != Out || f.Directions[1*7+3] != South {
		t.Errorf("water above the unknown post runs %d, then %d", f.Directions[1*7+3], f.Directions[2*7+3])
	}
}

func TestSteepestDropCountsDistance(t *testing.T) {
	// 1.3 down over a corner is less steep than 1 straight: 0.919 a cell.
	g := &Grid{Rows: 3, Columns: 3, Cell: 1, Heights: []float64{9, 9, 9, 9, 5, 4, 9, 9, 3.7}}
	if d := g.Flow().Directions[4]; d != East {
		t.Errorf("water runs %d, want east", d)
	}
	g.Heights[8] = 3.5 // 1.06 a cell
	if d := g.Flow().Directions[4]; d != SouthEast {
		t.Errorf("water runs %d, want south-east", d)
	}
}

func BenchmarkMillionHeights(b *testing.B) {
	g := gridOf(1000, 1000, 5, func(x, y float64) float64 {
		return 120 + 40*math.Sin(x/700)*math.Cos(y/900) + 3*math.Sin(x/37)*math.Sin(y/41) + 0.01*x
	})
	b.ReportAllocs()
	for b.Loop() {
		f := g.Flow()
		lines := g.Contours(5)
		f.Streams(50000)
		if len(lines) == 0 {
			b.Fatal("no lines")
		}
		for row := range g.Rows {
			for column := range g.Columns {
				g.Slope(row, column)
			}
		}
	}
}
