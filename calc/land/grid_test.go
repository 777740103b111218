package land

import (
	"math"
	"testing"
)

// gridOf lays heights out by a formula of metres east and north of the
// south-western post.
func gridOf(rows, columns int, cell float64, height func(x, y float64) float64) *Grid {
	g := &Grid{Rows: rows, Columns: columns, Cell: cell, Heights: make([]float64, rows*columns)}
	for i := range g.Heights {
		p := g.Post(i/columns, i%columns)
		g.Heights[i] = height(p.X, p.Y)
	}
	return g
}

func TestSlope(t *testing.T) {
	const degree = math.Pi / 180
	// Two windows of a GIS maker's help pages, quoted in several public tests.
	g := &Grid{Rows: 3, Columns: 3, Cell: 5, Heights: []float64{50, 45, 50, 30, 30, 30, 8, 10, 10}}
	slope, _ := g.Slope(1, 1)
	near(t, "rise over run", slope, 3.80033, 0.00001)
	near(t, "degrees", math.Atan(slope)/degree, 75.2577, 0.0001)
	g = &Grid{Rows: 3, Columns: 3, Cell: 1, Heights: []float64{101, 92, 85, 101, 92, 85, 101, 91, 84}}
	slope, aspect := g.Slope(1, 1)
	near(t, "aspect", aspect, 92.6425, 0.0001)
	near(t, "of -8.125 and -0.375 a cell", slope, math.Hypot(8.125, 0.375), 1e-12)

	// Planes: the slope is everywhere that of the plane, by Horn 1981.
	for _, c := range []struct{ east, north, slope, aspect float64 }{
		{0.1, 0, 0.1, 270}, {-0.1, 0, 0.1, 90}, {0, 0.1, 0.1, 180}, {0, -0.1, 0.1, 0},
		{0.03, 0.04, 0.05, 216.8699}, {-0.05, -0.05, 0.0707107, 45}, {0.05, -0.05, 0.0707107, 315},
	} {
		g := gridOf(3, 3, 10, func(x, y float64) float64 { return 100 + c.east*x + c.north*y })
		slope, aspect := g.Slope(1, 1)
		near(t, "slope of a plane", slope, c.slope, 1e-5)
		near(t, "aspect of a plane", aspect, c.aspect, 1e-4)
	}
	flat := gridOf(3, 4, 10, func(x, y float64) float64 { return 7 })
	if slope, aspect := flat.Slope(1, 2); slope != 0 || !math.IsNaN(aspect) {
		t.Errorf("flat ground has slope %v and aspect %v, want 0 and none", slope, aspect)
	}
	for _, at := range [][2]int{{0, 1}, {2, 1}, {1, 0}, {1, 3}, {-1, 1}, {3, 1}} {
		if slope, aspect := flat.Slope(at[0], at[1]); !math.IsNaN(slope) || !math.IsNaN(aspect) {
			t.Errorf("the edge at %v has slope %v", at, slope)
		}
	}
	flat.Heights[5] = math.NaN()
	for _, at := range [][2]int{{1, 1}, {1, 2}} {
		if slope, _ := flat.Slope(at[0], at[1]); !math.IsNaN(slope) {
			t.Errorf("beside an unknown post the slope is %v", slope)
		}
	}
}

func TestTrueSurface(t *testing.T) {
	// 1 / cos 15 degrees and sqrt(1 + 0.2^2), by geometry.
	near(t, "at 15 degrees", Surface(1, math.Tan(15*math.Pi/180)), 1.035276, 1e-6)
	near(t, "at 20 %", Surface(1, 0.2), 1.019804, 1e-6)
}

func TestMeanSlope(t *testing.T) {
	// A roof: west half falls west, east half twice as steep east.
	g := gridOf(11, 21, 10, func(x, y float64) float64 {
		return math.Min(0.1*(x-100), -0.2*(x-100))
	})
	west := []Point{{1, 1}, {95, 1}, {95, 99}, {1, 99}}
	slope, aspect, posts := g.MeanSlope(west)
	near(t, "west slope", slope, 0.1, 1e-12)
	near(t, "west aspect", aspect, 270, 1e-9)
	if posts != 81 {
		t.Errorf("%d posts in the west, want 9 times 9", posts)
	}
	all := []Point{{-1, -1}, {201, -1}, {201, 101}, {-1, 101}}
	slope, aspect, posts = g.MeanSlope(all)
	near(t, "both aspects", aspect, 90, 1e-9)
	// In each row nine posts of 0.1, nine of 0.2, and the ridge, where Horn's
	// differences see half of the sum: -0.05.
	near(t, "both slopes", slope, (9*0.1+9*0.2+0.05)/19, 1e-12)
	if posts != 9*19 {
		t.Errorf("%d posts, the edge left out; want %d", posts, 9*19)
	}
	if slope, aspect, posts := g.MeanSlope([]Point{{500, 500}, {510, 500}, {510, 510}}); !math.IsNaN(slope) || !math.IsNaN(aspect) || posts != 0 {
		t.Errorf("outside the grid the slope is %v, %v of %d posts", slope, aspect, posts)
	}
	cone := gridOf(21, 21, 10, func(x, y float64) float64 { return 100 - 0.1*math.Hypot(x-100, y-100) })
	if _, aspect, _ := cone.MeanSlope([]Point{{-1, -1}, {201, -1}, {201, 201}, {-1, 201}}); !math.IsNaN(aspect) {
		t.Errorf("a cone faces %v, want nowhere", aspect)
	}
}

func TestHeight(t *testing.T) {
	g := gridOf(4, 5, 10, func(x, y float64) float64 { return 50 + 0.1*x - 0.2*y })
	g.West, g.South = 1000, 2000
	for _, p := range []Point{{1000, 2000}, {1040, 2030}, {1007, 2021}, {1040, 2003}, {1003, 2030}} {
		near(t, "height on a plane", g.Height(p), 50+0.1*(p.X-1000)-0.2*(p.Y-2000), 1e-12)
	}
	for _, p := range []Point{{999.9, 2010}, {1040.1, 2010}, {1010, 1999.9}, {1010, 2030.1}, {math.NaN(), 2010}} {
		if h := g.Height(p); !math.IsNaN(h) {
			t.Errorf("off the grid at %v the height is %v", p, h)
		}
	}
	// Between four posts the surface is Lagrange's: the middle is their mean.
	saddle := &Grid{Rows: 2, Columns: 2, Cell: 1, Heights: []float64{4, 0, 0, 8}}
	near(t, "middle", saddle.Height(Point{0.5, 0.5}), 3, 1e-15)
	near(t, "near the first post", saddle.Height(Point{0.25, 0.75}), 4*0.5625+8*0.0625, 1e-15)
	one := &Grid{Rows: 1, Columns: 1, Cell: 1, Heights: []float64{4}}
	near(t, "a single post", one.Height(Point{0, 0}), 4, 0)
}

func TestFlooded(t *testing.T) {
	// A bowl's water is half the cylinder round it: a paraboloid's volume.
	g := gridOf(201, 201, 1, func(x, y float64) float64 { return (math.Pow(x-100, 2) + math.Pow(y-100, 2)) / 2500 })
	all := []Point{{-1, -1}, {201, -1}, {201, 201}, {-1, 201}}
	area, volume := g.Flooded(all, 2)
	near(t, "area of a bowl", area, math.Pi*5000, 40)
	near(t, "volume of a bowl", volume, math.Pi*5000, 40)
	half := []Point{{-1, -1}, {100.5, -1}, {100.5, 201}, {-1, 201}}
	area, volume = g.Flooded(half, 2)
	near(t, "area of the western half", area, math.Pi*2500+71, 40)
	near(t, "volume of the western half", volume, math.Pi*2500+94, 40)
	if area, volume := g.Flooded(all, 0); area != 0 || volume != 0 {
		t.Errorf("dry ground holds %v on %v", volume, area)
	}
}
