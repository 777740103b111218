package land

import (
	"math"
	"slices"

	"rickyard/calc/portable"
)

// A Row is a straight piece on the plan.
type Row struct{ From, To Point }

// Length of the row in metres.
func (r Row) Length() float64 { return between(r.From, r.To) }

// Rows lays rows across a field on the plan, in a direction given as a bearing in
// degrees, the given distance apart, the first half of that from the field's edge. Each
// ends short of the edge by the headland, and what is then left of it is a row; a field
// that is not round about may cut one into several. None where apart is not above zero,
// the headland is below it, or there would be more than 10,000 lines.
func Rows(ring []Point, bearing, apart, headland float64) []Row {
	const most = 10000
	sin, cos := portable.Sin(bearing*math.Pi/180), portable.Cos(bearing*math.Pi/180)
	// On a plan turned so that the rows run up it.
	turned := make([]Point, len(ring))
	left, right := math.Inf(1), math.Inf(-1)
	for i, p := range ring {
		turned[i] = Point{float64(p.X*cos) - float64(p.Y*sin), float64(p.X*sin) + float64(p.Y*cos)}
		left, right = math.Min(left, turned[i].X), math.Max(right, turned[i].X)
	}
	if !(apart > 0) || !(headland >= 0) || !((right-left)/apart <= most) {
		return nil
	}
	back := func(x, y float64) Point {
		return Point{float64(x*cos) + float64(y*sin), float64(y*cos) - float64(x*sin)}
	}
	var rows []Row
	for k := 0.5; left+float64(k*apart) < right; k++ {
		x := left + float64(k*apart)
		at := crossings(turned, x)
		for i := 1; i < len(at); i += 2 {
			if low, high := at[i-1]+headland, at[i]-headland; low < high {
				rows = append(rows, Row{back(x, low), back(x, high)})
			}
		}
	}
	return rows
}

// crossings are the heights at which a ring crosses an upright line, in order.
func crossings(ring []Point, x float64) []float64 {
	var at []float64
	for i, a := range ring {
		if b := ring[(i+1)%len(ring)]; (a.X > x) != (b.X > x) {
			at = append(at, a.Y+float64((x-a.X)/(b.X-a.X)*(b.Y-a.Y)))
		}
	}
	slices.Sort(at)
	return at
}
