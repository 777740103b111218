package land

import (
	"math"

	"rickyard/calc/portable"
)

// A Point lies on a flat plan: metres east and north of a corner.
type Point struct{ X, Y float64 }

// Plan returns the signed area, the perimeter and the centre of gravity of a
// polygon on a flat plan. The area is positive where the corners run against the
// clock. The last corner joins the first, whether that is repeated or not. Fewer
// than three corners, or a ring whose area is nought, have no centre.
func Plan(corners []Point) (area, perimeter float64, centre Point) {
	centre = Point{math.NaN(), math.NaN()}
	if len(corners) == 0 {
		return 0, 0, centre
	}
	from := corners[0] // near the origin the products keep their digits
	var x, y float64
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		ax, ay, bx, by := a.X-from.X, a.Y-from.Y, b.X-from.X, b.Y-from.Y
		cross := float64(ax*by) - float64(bx*ay)
		area += float64(cross / 2)
		x += float64((ax + bx) * cross)
		y += float64((ay + by) * cross)
		perimeter += between(a, b)
	}
	if len(corners) > 2 && area != 0 {
		centre = Point{from.X + x/(6*area), from.Y + y/(6*area)}
	}
	return area, perimeter, centre
}

func between(a, b Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	return math.Sqrt(float64(dx*dx) + float64(dy*dy))
}

// Crossing returns the numbers, from 0, of the first two sides of a ring that cross
// or touch though they are no neighbours, and whether there are such. Side i runs
// from corner i to the next. A ring that crosses itself has no area to speak of:
// its parts cancel.
func Crossing(corners []Point) (i, j int, ok bool) {
	if n := len(corners); n > 1 && corners[0] == corners[n-1] {
		corners = corners[:n-1]
	}
	n := len(corners)
	for i := range n {
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue
			}
			if meet(corners[i], corners[i+1], corners[j], corners[(j+1)%n]) {
				return i, j, true
			}
		}
	}
	return 0, 0, false
}

func meet(a, b, c, d Point) bool {
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0 && overlap(a.X, b.X, c.X, d.X) && overlap(a.Y, b.Y, c.Y, d.Y)
}

// side is 1 where c lies to the left of the way from a to b, -1 to the right.
func side(a, b, c Point) int {
	cross := float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X))
	switch {
	case cross > 0:
		return 1
	case cross < 0:
		return -1
	}
	return 0
}

func overlap(a, b, c, d float64) bool {
	return math.Max(a, b) >= math.Min(c, d) && math.Max(c, d) >= math.Min(a, b)
}

// Within reports whether a point lies inside a ring on a plan. A point on the
// ring itself may be either.
func Within(p Point, corners []Point) bool {
	in := false
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+float64((p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X)) {
			in = !in
		}
	}
	return in
}

// Zone returns the number of the zone of the Universal Transverse Mercator grid
// that a longitude lies in, from 1 to 60. The wider zones of Norway and Svalbard
// are not known here.
func Zone(longitude float64) int {
	return min(60, 1+int(math.Floor((longitude+180)/6)))
}

// UTM lays a place on the plan of a zone of the Universal Transverse Mercator grid
// on WGS84: metres east, and metres north of the equator (in the south of a point
// 10,000 km below it). On it a length is up to 0.04 % short in the middle of the
// zone and 0.1 % long at its edges. Exact to a millimetre within 10 degrees of the
// zone's middle; NaN beyond it, where the plan bends too much to be one.
//
// Source: Krueger's series in n to the fourth, as in Karney, Transverse Mercator
// with an accuracy of a few nanometers, Journal of Geodesy 85 (2011), equations 7
// to 15 and 35.
func UTM(zone int, p Place) Point {
	const scale, falseEast, falseNorth, degree = 0.9996, 500000, 10000000, math.Pi / 180
	east := eastward(Place{0, float64(6*zone - 183)}, p)
	if !p.OnGlobe() || zone < 1 || zone > 60 || math.Abs(east) > 10 {
		return Point{math.NaN(), math.NaN()}
	}
	const n = flattening / (2 - flattening)
	const n2, n3, n4 = n * n, n * n * n, n * n * n * n
	alpha := [4]float64{
		n/2 - n2*2/3 + n3*5/16 + n4*41/180,
		n2*13/48 - n3*3/5 + n4*557/1440,
		n3*61/240 - n4*103/140,
		n4 * 49561 / 161280,
	}
	radius := equatorRadius / (1 + n) * (1 + n2/4 + n4/64)
	e := math.Sqrt(eccentricity2)
	tan := portable.Tan(p.Latitude * degree)
	sigma := portable.Sinh(e * portable.Atanh(e*tan/math.Sqrt(1+float64(tan*tan))))
	conformal := float64(tan*math.Sqrt(1+float64(sigma*sigma))) - float64(sigma*math.Sqrt(1+float64(tan*tan)))
	sinL, cosL := portable.Sin(east*degree), portable.Cos(east*degree)
	xi := portable.Atan2(conformal, cosL)
	eta := portable.Asinh(sinL / math.Sqrt(float64(conformal*conformal)+float64(cosL*cosL)))
	x, y := eta, xi
	for i, a := range alpha {
		k := float64(2 * (i + 1))
		x += float64(a * portable.Cos(k*xi) * portable.Sinh(k*eta))
		y += float64(a * portable.Sin(k*xi) * portable.Cosh(k*eta))
	}
	north := float64(scale * radius * y)
	if p.Latitude < 0 {
		north += falseNorth
	}
	return Point{falseEast + float64(scale*radius*x), north}
}
