package land

import (
	"math"
	"testing"
)

func TestSection(t *testing.T) {
	g := gridOf(11, 11, 10, func(x, y float64) float64 { return 100 - 0.04*x - 0.02*y })
	s := g.Section([]Point{{0, 0}, {60, 0}, {60, 45}}, 20)
	want := []Station{{0, 100}, {20, 99.2}, {40, 98.4}, {60, 97.6}, {75, 97.3}, {90, 97}, {105, 96.7}}
	if len(s) != len(want) {
		t.Fatalf("stations %v, want %v", s, want)
	}
	for i := range s {
		near(t, "along", s[i].Along, want[i].Along, 1e-9)
		near(t, "height", s[i].Height, want[i].Height, 1e-9)
	}
	near(t, "fall", Fall(s), 3.3/105, 1e-12)
	near(t, "fall upward", Fall([]Station{{0, 1}, {50, 2}}), -0.02, 1e-15)
	off := g.Section([]Point{{90, 0}, {110, 0}}, 20)
	if len(off) != 2 || !math.IsNaN(off[1].Height) {
		t.Errorf("off the grid: %v", off)
	}
	if s := g.Section(nil, 1); s != nil {
		t.Errorf("no line has the section %v", s)
	}
	if s := g.Section([]Point{{0, 0}, {1, 0}}, 0); s != nil {
		t.Errorf("a step of 0 gives %v", s)
	}
	if f := Fall(s[:1]); !math.IsNaN(f) {
		t.Errorf("one station falls %v", f)
	}
}

func TestKeyPoint(t *testing.T) {
	// A valley floor that falls 20 % over 100 m and 4 % after, by construction.
	var s []Station
	for x := 0.0; x <= 300; x += 10 {
		s = append(s, Station{x, 100 - 0.2*math.Min(x, 100) - 0.04*math.Max(0, x-100)})
	}
	if at, ok := KeyPoint(s); !ok || s[at].Along != 100 {
		t.Errorf("the key point is station %d, %v; want that at 100 m", at, ok)
	}
	// Rough ground moves it by no more than a station.
	for i := range s {
		s[i].Height += 0.3 * math.Sin(float64(7*i))
	}
	if at, ok := KeyPoint(s); !ok || math.Abs(s[at].Along-100) > 10 {
		t.Errorf("on rough ground it is station %d, %v", at, ok)
	}
	var steeper []Station
	for x := 0.0; x <= 300; x += 10 {
		steeper = append(steeper, Station{x, 100 - 0.04*math.Min(x, 100) - 0.2*math.Max(0, x-100)})
	}
	if at, ok := KeyPoint(steeper); ok {
		t.Errorf("a slope that steepens has a key point at %d", at)
	}
	if at, ok := KeyPoint([]Station{{0, 9}, {1, 7}, {2, 5}, {3, 4.5}, {4, 4}}); !ok || at != 2 {
		t.Errorf("five stations have their key point at %d, %v; want the middle one", at, ok)
	}
	if at, ok := KeyPoint(steeper[:4]); ok {
		t.Errorf("four stations have a key point at %d", at)
	}
	s[3].Height = math.NaN()
	if at, ok := KeyPoint(s); ok {
		t.Errorf("with an unknown height the key point is at %d", at)
	}
	// A floor that rises from its head is no valley, though it bends.
	if at, ok := KeyPoint([]Station{{0, 0}, {1, 0.1}, {2, 0.2}, {3, 1}, {4, 2}, {5, 3}}); ok {
		t.Errorf("rising ground has a key point at %d", at)
	}
}

func TestBeside(t *testing.T) {
	line := []Point{{0, 0}, {10, 0}, {10, 10}}
	left := Beside(line, 2)
	want := []Point{{0, 2}, {8, 2}, {8, 10}}
	right := Beside(line, -2)
	wantRight := []Point{{0, -2}, {12, -2}, {12, 10}}
	for i := range want {
		near(t, "left", between(left[i], want[i]), 0, 1e-12)
		near(t, "right", between(right[i], wantRight[i]), 0, 1e-12)
	}
	if back := Beside([]Point{{0, 0}, {5, 0}, {0, 0}}, 1); len(back) != 2 {
		t.Errorf("beside a line that turns back: %v", back)
	}
	if none := Beside(nil, 1); len(none) != 0 {
		t.Errorf("beside nothing: %v", none)
	}
}

func TestEarthwork(t *testing.T) {
	// A handbook of railroad construction, section 108: base 20 ft, slopes 1.5:1,
	// cuts of 0, 5, 10, 15, 0 ft every 50 ft. The scanned book shows the middle
	// areas as 59, 236, 483, 236, which its rule does not give.
	cut := func(c float64) float64 { return c * (20 + 1.5*c) }
	ends := []float64{cut(0), cut(5), cut(10), cut(15), cut(0)}
	for i, want := range []float64{0, 137.5, 350, 637.5, 0} {
		near(t, "end area", ends[i], want, 0.0005)
	}
	var all []float64
	for i, want := range []float64{59.375, 234.375, 484.375, 234.375} {
		middle := []float64{cut(2.5), cut(7.5), cut(12.5), cut(7.5)}[i]
		near(t, "middle area", middle, want, 0.0005)
		all = append(all, ends[i], middle)
	}
	all = append(all, ends[4])
	byEnds, byPrisms := EndAreas(ends, 50), Prismoids(all, 25)
	near(t, "by end areas, ft3", byEnds, 56250, 0.5)
	near(t, "by prismoids, ft3", byPrisms, 52500, 0.5)
	// The prismoidal correction, L (c1 - c2) (w1 - w2) / 12 with w = 20 + 3 c.
	correction := 0.0
	for _, d := range []float64{5, 5, 5, 15} {
		correction += 50.0 / 12 * d * 3 * d
	}
	near(t, "their difference", byEnds-byPrisms, correction, 1e-9)
	// A surveying example: 120 and 80 square yards, 50 ft apart.
	near(t, "yd3", EndAreas([]float64{120, 80}, 50.0/3), 1666.67, 0.005)
	// 24, 36, 51 m2 every 20 m, by the formulas.
	near(t, "end areas", EndAreas([]float64{24, 36, 51}, 20), 1470, 1e-9)
	near(t, "prismoid", Prismoids([]float64{24, 36, 51}, 20), 1460, 1e-9)
	// A cone and a pyramid are prismoids: a third of base times height.
	near(t, "cone", Prismoids([]float64{0, math.Pi / 4, math.Pi}, 3), math.Pi*6/3, 1e-12)
	for _, odd := range [][]float64{nil, {1}, {1, 2}, {1, 2, 3, 4}} {
		if v := Prismoids(odd, 1); !math.IsNaN(v) {
			t.Errorf("%v sections hold %v", odd, v)
		}
	}
	near(t, "a single section", EndAreas([]float64{5}, 10), 0, 0)
}
