package land

import (
	"math"
	"testing"
)

func TestRows(t *testing.T) {
	// 200 m east by 100 m north, rows to the north 24 m apart with 10 m to turn: eight of
	// 80 m, the first 12 m in. By hand.
	field := []Point{{0, 0}, {200, 0}, {200, 100}, {0, 100}}
	rows := Rows(field, 0, 24, 10)
	if len(rows) != 8 {
		t.Fatalf("%d rows, want 8", len(rows))
	}
	for i, r := range rows {
		near(t, "length", r.Length(), 80, 1e-9)
		near(t, "from the west", r.From.X, 12+24*float64(i), 1e-9)
		near(t, "begins", r.From.Y, 10, 1e-9)
		near(t, "ends", r.To.Y, 90, 1e-9)
	}
	// Eastward four of 180; turned by any bearing with the field, the same.
	east := Rows(field, 90, 24, 10)
	if len(east) != 4 {
		t.Fatalf("%d rows east, want 4", len(east))
	}
	near(t, "eastward", east[0].To.X-east[0].From.X, 180, 1e-9)
	for _, turn := range []float64{17, 123, 289} {
		sin, cos := math.Sin(turn*math.Pi/180), math.Cos(turn*math.Pi/180)
		var turned []Point
		for _, p := range field {
			turned = append(turned, Point{5000 + p.X*cos + p.Y*sin, 7000 + p.Y*cos - p.X*sin})
		}
		sum := 0.0
		for _, r := range Rows(turned, turn, 24, 10) {
			sum += r.Length()
			middle := Point{(r.From.X + r.To.X) / 2, (r.From.Y + r.To.Y) / 2}
			if !Within(middle, turned) {
				t.Errorf("a row lies outside the field at %v", middle)
			}
			near(t, "bearing", bearing(r.To.X-r.From.X, r.To.Y-r.From.Y), turn, 1e-6)
		}
		near(t, "length of all", sum, 8*80, 1e-6)
	}
	// A U of two arms: rows across it are cut in two, and what is shorter than the
	// headlands is none.
	u := []Point{{0, 0}, {100, 0}, {100, 60}, {70, 60}, {70, 20}, {30, 20}, {30, 60}, {0, 60}}
	if across := Rows(u, 90, 20, 5); len(across) != 5 {
		t.Errorf("%d rows across a U, want one and twice two: %v", len(across), across)
	}
	if across := Rows(u, 90, 20, 15); len(across) != 1 {
		t.Errorf("%d rows across a U with headlands as wide as half its arms, want 1", len(across))
	}
	for _, bad := range [][2]float64{{0, 5}, {-1, 5}, {10, -1}, {0.001, 5}, {math.NaN(), 5}} {
		if rows := Rows(field, 0, bad[0], bad[1]); rows != nil {
			t.Errorf("%v apart with %v to turn gives %d rows", bad[0], bad[1], len(rows))
		}
	}
	if rows := Rows(nil, 0, 10, 5); rows != nil {
		t.Errorf("no field has rows %v", rows)
	}
}
