package land

import "math"

// A Station is a place on a section: how far along the line, and how high, in
// metres.
type Station struct{ Along, Height float64 }

// Section returns the heights along a line on the plan, at each of its corners and
// between them so often that no two stations are further apart than step metres.
// A height off the grid is NaN.
func (g *Grid) Section(line []Point, step float64) []Station {
	if len(line) == 0 || !(step > 0) {
		return nil
	}
	stations := []Station{{0, g.Height(line[0])}}
	along := 0.0
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		length := between(a, b)
		n := math.Max(1, math.Ceil(length/step-1e-9))
		for k := 1.0; k <= n; k++ {
			t := k / n
			p := Point{a.X + float64((b.X-a.X)*t), a.Y + float64((b.Y-a.Y)*t)}
			stations = append(stations, Station{along + float64(length*t), g.Height(p)})
		}
		along += length
	}
	return stations
}

// Fall returns the fall of a section from its first station to its last, as rise
// over run: above zero where the line runs down. NaN for fewer than two stations.
func Fall(s []Station) float64 {
	if len(s) < 2 {
		return math.NaN()
	}
	first, last := s[0], s[len(s)-1]
	return (first.Height - last.Height) / (last.Along - first.Along)
}

// KeyPoint returns the station at which the floor of a valley turns from steep to
// gentle, counted from the head: the one at which two straight lines, joined
// there, fit the section best. There is none where the section has fewer than five
// stations, has a height that is not known, or is not steeper above than below.
// Common practice of those who lay out land by its contours, no source for the fit.
func KeyPoint(s []Station) (at int, ok bool) {
	if len(s) < 5 {
		return 0, false
	}
	best := math.Inf(1)
	for i := 2; i < len(s)-2; i++ {
		upper, lower, miss := bent(s, i)
		if miss < best {
			best, at, ok = miss, i, upper < lower && upper < 0
		}
	}
	return at, ok
}

// bent fits two lines that meet at station i by least squares, and gives their
// slopes and the sum of squares that is left.
func bent(s []Station, i int) (upper, lower, miss float64) {
	// Height is c + upper * min(x, 0) + lower * max(x, 0), x from the station.
	var m [3][4]float64
	for _, p := range s {
		x := p.Along - s[i].Along
		row := [4]float64{1, math.Min(x, 0), math.Max(x, 0), p.Height}
		for a := range 3 {
			for b := range 4 {
				m[a][b] += float64(row[a] * row[b])
			}
		}
	}
	c := solve(m)
	for _, p := range s {
		x := p.Along - s[i].Along
		d := p.Height - c[0] - float64(c[1]*math.Min(x, 0)) - float64(c[2]*math.Max(x, 0))
		miss += float64(d * d)
	}
	return c[1], c[2], miss
}

// solve solves three equations by elimination; what has no solution gives NaN.
func solve(m [3][4]float64) (x [3]float64) {
	for a := range 3 {
		for b := a + 1; b < 3; b++ {
			k := m[b][a] / m[a][a]
			for c := a; c < 4; c++ {
				m[b][c] -= float64(k * m[a][c])
			}
		}
	}
	for a := 2; a >= 0; a-- {
		x[a] = m[a][3]
		for b := a + 1; b < 3; b++ {
			x[a] -= float64(m[a][b] * x[b])
		}
		x[a] /= m[a][a]
	}
	return x
}

// Beside returns a line parallel to another on the plan, so many metres to its left
// (to its right below zero), corner for corner. Where the line bends sharper than
// the distance allows, the parallel runs back on itself; it is then for the eye to
// leave out.
func Beside(line []Point, distance float64) []Point {
	var out []Point
	for i, p := range line {
		before, after := line[max(0, i-1)], line[min(len(line)-1, i+1)]
		in, from := unit(before, p), unit(p, after)
		if i == 0 {
			in = from
		}
		if i == len(line)-1 {
			from = in
		}
		// The corner moves along the middle of the two normals, further the sharper
		// the bend.
		x, y := -(in.Y + from.Y), in.X+from.X
		reach := 1 + float64(in.X*from.X) + float64(in.Y*from.Y)
		if !(reach > 1e-9) {
			continue // the line turns back on itself
		}
		out = append(out, Point{p.X + distance*x/reach, p.Y + distance*y/reach})
	}
	return out
}

func unit(a, b Point) Point {
	d := between(a, b)
	return Point{(b.X - a.X) / d, (b.Y - a.Y) / d}
}

// EndAreas returns the volume in cubic metres between cross sections of the given
// areas, each the given way from the next: the mean of two ends times the way
// between. It is too much where sections narrow to a point, by up to a half.
//
// Source: the average-end-area rule of the handbooks of railway construction.
func EndAreas(areas []float64, apart float64) float64 {
	sum := 0.0
	for i := 1; i < len(areas); i++ {
		sum += float64((areas[i-1] + areas[i]) / 2)
	}
	return sum * apart
}

// Prismoids returns the volume between cross sections evenly apart, every second
// one the middle of a prismoid: exact where the ground between runs straight. NaN
// unless there is an odd number of sections, three at least.
//
// Source: the prismoidal formula (Simpson's rule), as for EndAreas.
func Prismoids(areas []float64, apart float64) float64 {
	if len(areas) < 3 || len(areas)%2 == 0 {
		return math.NaN()
	}
	sum := 0.0
	for i := 2; i < len(areas); i += 2 {
		sum += areas[i-2] + float64(4*areas[i-1]) + areas[i]
	}
	return sum * apart / 3
}
