package land

import (
	"math"
	"testing"
)

func length(line []Point) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += between(line[i-1], line[i])
	}
	return sum
}

func TestContoursOfPlane(t *testing.T) {
	// The plane z = 0.05 x has straight lines 20 m apart, by geometry.
	g := gridOf(6, 13, 10, func(x, y float64) float64 { return 0.05 * x })
	lines := g.Contours(1)
	if len(lines) != 6 {
		t.Fatalf("%d lines, want those of 1 to 6 m; 0 m is the edge itself", len(lines))
	}
	for i, c := range lines {
		near(t, "level", c.Height, float64(i+1), 0)
		for _, p := range c.Line {
			near(t, "a point of it", p.X, 20*c.Height, 1e-6)
		}
		// The higher ground in the east lies to the left of a way south.
		near(t, "it begins", c.Line[0].Y, 50, 0)
		near(t, "it ends", c.Line[len(c.Line)-1].Y, 0, 0)
		if c.Closed() {
			t.Error("a straight line is closed")
		}
	}
}

func TestContourBetweenPosts(t *testing.T) {
	// 98.2 and 101.4 m at 10 m: 100 lies 5.625 m from the lower, in proportion.
	g := &Grid{Rows: 2, Columns: 2, Cell: 10, Heights: []float64{98.2, 101.4, 98.2, 101.4}}
	c := g.ContourAt(100)
	if len(c) != 1 || len(c[0].Line) != 2 {
		t.Fatalf("lines %v", c)
	}
	near(t, "from the lower post", c[0].Line[0].X, 5.625, 1e-6)
	near(t, "at the other end", c[0].Line[1].X, 5.625, 1e-6)
}

func TestContourOfCone(t *testing.T) {
	// Contour 15 of a cone of 20 m that falls 10 %: a circle of radius 50 m.
	g := gridOf(481, 481, 0.25, func(x, y float64) float64 { return 20 - 0.1*math.Hypot(x-60, y-60) })
	lines := g.ContourAt(15)
	if len(lines) != 1 || !lines[0].Closed() {
		t.Fatalf("%d lines, want one that is closed", len(lines))
	}
	near(t, "length", length(lines[0].Line), 314.159, 0.005)
	area, _, _ := Plan(lines[0].Line)
	near(t, "area, above zero since the hill is to the left", area, 7853.98, 0.05)
	above := 0.0
	for _, h := range g.Heights {
		above += math.Max(0, h-15) * 0.25 * 0.25
	}
	near(t, "volume above it", above, 13089.97, 1)
}

func TestContoursOfSaddle(t *testing.T) {
	// The mean of the four is 5 and joins the high posts at 4, the low ones at 6.
	g := &Grid{Rows: 2, Columns: 2, Cell: 1, Heights: []float64{10, 0, 0, 10}}
	for _, c := range []struct {
		height float64
		corner Point // cut off by one of the two lines
	}{{4, Point{1, 1}}, {6, Point{0, 1}}} {
		lines := g.ContourAt(c.height)
		if len(lines) != 2 {
			t.Fatalf("%d lines at %v", len(lines), c.height)
		}
		found := false
		for _, l := range lines {
			middle := Point{(l.Line[0].X + l.Line[1].X) / 2, (l.Line[0].Y + l.Line[1].Y) / 2}
			found = found || between(middle, c.corner) < 0.5
			if side(l.Line[0], l.Line[1], Point{0, 1}) < 0 && between(middle, Point{0, 1}) < 0.5 {
				t.Errorf("at %v the high corner lies to the right", c.height)
			}
		}
		if !found {
			t.Errorf("at %v no line cuts off the corner %v: %v", c.height, c.corner, lines)
		}
	}
}

// Lines end at the edge or at what is not known, nowhere else; none runs through
// ground of another height.
func TestContoursEverywhere(t *testing.T) {
	g := gridOf(40, 50, 5, func(x, y float64) float64 {
		return 30 + 9*math.Sin(x/23)*math.Cos(y/31) + 0.02*x
	})
	for _, hole := range []bool{false, true} {
		if hole {
			g.Heights[20*50+25] = math.NaN()
		}
		lines := g.Contours(2)
		if len(lines) < 8 {
			t.Errorf("%d lines", len(lines))
		}
		last := math.Inf(-1)
		for _, c := range lines {
			if c.Height < last {
				t.Errorf("%v after %v", c.Height, last)
			}
			last = c.Height
			for _, p := range c.Line {
				// On the edges the surface is straight between posts.
				if h := g.Height(p); math.Abs(h-c.Height) > 1e-9 && !math.IsNaN(h) {
					t.Errorf("the line of %v runs through %v", c.Height, h)
				}
			}
			for _, p := range []Point{c.Line[0], c.Line[len(c.Line)-1]} {
				edge := p.X == 0 || p.Y == 0 || p.X == 49*5 || p.Y == 39*5
				beside := math.Abs(p.X-125) <= 5 && math.Abs(p.Y-95) <= 5
				if !c.Closed() && !edge && !(hole && beside) {
					t.Errorf("the line of %v ends at %v", c.Height, p)
				}
			}
		}
	}
}

func TestNoContours(t *testing.T) {
	g := gridOf(3, 3, 1, func(x, y float64) float64 { return 1000 * x })
	for _, interval := range []float64{0, -1, math.NaN(), 0.1, math.Inf(1)} {
		if lines := g.Contours(interval); len(lines) > 0 && !math.IsInf(interval, 1) {
			t.Errorf("every %v m there are %d lines", interval, len(lines))
		}
	}
	unknown := gridOf(3, 3, 1, func(x, y float64) float64 { return math.NaN() })
	if lines := unknown.Contours(1); lines != nil {
		t.Errorf("unknown ground has the lines %v", lines)
	}
	flat := gridOf(3, 3, 1, func(x, y float64) float64 { return 2 })
	if lines := flat.Contours(1); len(lines) != 0 {
		t.Errorf("flat ground at a level has the lines %v", lines)
	}
}
