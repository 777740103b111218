package binding

import (
	"math"
	"testing"
)

const mm = 0.001

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

// ISO 216, table of the B series; A sizes: the same standard.
func TestPaperSizes(t *testing.T) {
	for n, want := range [][2]float64{{1000, 1414}, {707, 1000}, {500, 707}, {353, 500}, {250, 353}, {176, 250}, {125, 176}} {
		w, h, err := ISO216('B', n)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "width of B", w, want[0]*mm, 1e-9)
		near(t, "height of B", h, want[1]*mm, 1e-9)
	}
	for name, want := range map[string][2]float64{"A4": {210, 297}, "A5": {148, 210}, "A6": {105, 148}, "letter": {215.9, 279.4}} {
		w, h, err := Size(name)
		if err != nil {
			t.Fatal(err)
		}
		near(t, name, w, want[0]*mm, 1e-9)
		near(t, name, h, want[1]*mm, 1e-9)
	}
	for _, bad := range []string{"", "C4", "A", "A:", "legal"} {
		if _, _, err := Size(bad); err == nil {
			t.Errorf("%q is taken for a size", bad)
		}
	}
}

func TestSpines(t *testing.T) {
	sheet := func(grammage, bulk float64) Paper { return Paper{Grammage: grammage * 1e-3, Bulk: bulk * 1e-3} }
	caliper := func(c float64) Paper { return Paper{Caliper: c} }
	endpapers := &Case{Board: 2 * mm, Cloth: 0.3 * mm, Endpaper: 0.15 * mm}
	for _, c := range []struct {
		pages  int
		paper  Paper
		bound  *Case
		want   float64 // m
		source string
	}{
		{512, caliper(0.08 * mm), nil, 20.48 * mm, "a printer's guide"},
		{512, caliper(0.08 * mm), endpapers, 25.68 * mm, "the same guide, case binding"},
		{128, caliper(0.0039 * inch), nil, 0.2496 * inch, "a second printer's guide"},
		{200, sheet(80, 1.25), nil, 10.00 * mm, "leaves x grammage x bulk / 1000"},
		{240, sheet(90, 1.3), nil, 14.04 * mm, "as before"},
		{201, caliper(0.1 * mm), nil, 10.1 * mm, "a leaf has two pages: 101 leaves"},
		{0, caliper(0.1 * mm), nil, 0, "nothing to bind"},
	} {
		near(t, c.source, Spine(Block(c.pages, c.paper), c.bound), c.want, 1e-9)
	}
	// Bulk = thickness / grammage (ISO 534): 0.1 mm at 80 g/m2 is 1.25 cm3/g.
	near(t, "thickness", sheet(80, 1.25).Thickness(), 0.1*mm, 1e-12)
}

// One A4 sheet at 80 g/m2, area times grammage (ISO 216 and ISO 536).
func TestWeightOfASheet(t *testing.T) {
	w, h, _ := Size("A4")
	near(t, "sheet", Weight(2, w, h, Paper{Grammage: 0.08}, Sheet{}, 0), 4.98960e-3, 1e-8)
}

func TestCovers(t *testing.T) {
	// By hand: 2 x 156 + 14.04 + 2 x 3 wide, 234 + 2 x 3 high.
	s := Cover(156*mm, 234*mm, 14.04*mm, 3*mm, nil)
	near(t, "width", s.Width, 332.04*mm, 1e-9)
	near(t, "height", s.Height, 240*mm, 1e-9)
	near(t, "first fold", s.Folds[0], 159*mm, 1e-9)
	near(t, "second fold", s.Folds[1], 173.04*mm, 1e-9)
	// By hand: 2 x (156 + 3) + 20 + 2 x 15 wide, 234 + 6 + 30 high; a hinge of 8.
	s = Cover(156*mm, 234*mm, 20*mm, 3*mm, &Usual)
	near(t, "width of a case", s.Width, 368*mm, 1e-9)
	near(t, "height of a case", s.Height, 270*mm, 1e-9)
	for i, want := range []float64{166, 174, 194, 202} {
		near(t, "fold of a case", s.Folds[i], want*mm, 1e-9)
	}
	for _, c := range []*Case{nil, &Usual} {
		s := Cover(156*mm, 234*mm, 20*mm, 3*mm, c)
		near(t, "left and right of the spine are alike", s.SpineFrom, s.Width-s.SpineTo, 1e-12)
	}
	// By hand: 120 leaves of 156 x 234 mm at 90 g/m2, and a cover of
	// 326.04 x 234 mm at 300 g/m2: 394.2432 g + 22.888 g.
	s = Cover(156*mm, 234*mm, 14.04*mm, 3*mm, nil)
	near(t, "copy", Weight(240, 156*mm, 234*mm, Paper{Grammage: 0.09}, s, 0.3), 0.394243200+0.022888008, 1e-8)
}

func TestSpineText(t *testing.T) {
	for _, c := range []struct {
		spine, height, ems float64
		fits               bool
	}{{14 * mm, 234 * mm, 20, true}, {3 * mm, 234 * mm, 20, false}, {14 * mm, 100 * mm, 60, false}, {60 * mm, 234 * mm, 5, true}} {
		size := SpineText(c.spine, c.height, c.ems)
		if (size > 0) != c.fits {
			t.Errorf("%+v: size %v", c, size)
		}
		if size > 0 && (size*lineShare > c.spine-2*spineClear+1e-12 || size*c.ems > c.height*spineLength+1e-12) {
			t.Errorf("%+v: letters of %v m stand over", c, size)
		}
	}
}

func TestPostageSteps(t *testing.T) {
	limits := []float64{0.1, 0.75, 2}
	for weight, want := range map[float64]int{0.05: 0, 0.1: 0, 0.1001: 1, 0.75: 1, 1.9: 2, 2.1: -1} {
		if got := Step(weight, limits); got != want {
			t.Errorf("%v kg is step %d, want %d", weight, got, want)
		}
	}
	if Step(1, nil) != -1 {
		t.Error("a step without limits")
	}
}
