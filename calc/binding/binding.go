// Package binding reckons what a bound book measures and weighs: its spine, its
// cover sheet, a copy on the scales. Lengths are in metres, masses in
// kilograms.
//
// A printed sheet swells with ink and moisture and is pressed by the binder, so
// a spine reckoned here is what to begin with; the printer's own dummy, bound
// from the same paper, decides.
package binding

import (
	"fmt"
)

// A Paper is the paper of the leaves. Caliper, the thickness of one sheet in m,
// is used if it is given; else it is worked out from Grammage (kg/m2) and Bulk
// (m3/kg), the apparent specific volume of ISO 534.
type Paper struct {
	Grammage float64
	Bulk     float64
	Caliper  float64
}

// Thickness is that of one sheet in m: the caliper, or grammage times bulk.
func (p Paper) Thickness() float64 {
	if p.Caliper > 0 {
		return p.Caliper
	}
	return p.Grammage * p.Bulk
}

// Leaves returns how many leaves carry a number of pages. A leaf has two pages,
// so an odd count leaves the last one blank.
func Leaves(pages int) int { return (pages + 1) / 2 }

// Block returns the thickness in m of the leaves of a book.
func Block(pages int, p Paper) float64 { return float64(float64(Leaves(pages)) * p.Thickness()) }

// A Case is what a case binding adds to the leaves: thicknesses and lengths in
// m.
type Case struct {
	Board    float64 // of each of the two boards
	Cloth    float64 // of the cloth or paper around them
	Endpaper float64 // of one endpaper leaf; there are four
	Overhang float64 // of the boards over the leaves, on three sides
	Hinge    float64 // the groove between spine and board
	TurnIn   float64 // of the cloth round the edges of the boards
}

// Usual is a case as binders commonly make it (common practice, no source).
var Usual = Case{Board: 0.002, Cloth: 0.0003, Endpaper: 0.00015, Overhang: 0.003, Hinge: 0.008, TurnIn: 0.015}

// Spine returns the width of a spine in m: the block, and for a case its four
// endpaper leaves, two boards and two thicknesses of cloth. The formula is the
// one that printers' guides give.
func Spine(block float64, c *Case) float64 {
	if c == nil {
		return block
	}
	return block + float64(4*c.Endpaper) + float64(2*c.Board) + float64(2*c.Cloth)
}

// A Sheet is a cover laid flat, back cover on the left, seen from outside. All
// is in m from its lower or upper left corner.
type Sheet struct {
	Width, Height float64
	Edge          float64   // bleed, or for a case the turn-in: what does not show
	Folds         []float64 // from the left, where the cover bends
	SpineFrom     float64
	SpineTo       float64
}

// Cover lays out the cover of a book with leaves of width by height: for a
// paperback with bleed around it, for a case with the turn-in, the overhang and
// two hinges.
func Cover(width, height, spine, bleed float64, c *Case) Sheet {
	if c == nil {
		s := Sheet{Width: 2*width + spine + 2*bleed, Height: height + 2*bleed, Edge: bleed}
		s.SpineFrom, s.SpineTo = bleed+width, bleed+width+spine
		s.Folds = []float64{s.SpineFrom, s.SpineTo}
		return s
	}
	// A board begins a hinge away from the spine and stands over the fore-edge.
	side := width + c.Overhang
	s := Sheet{Width: 2*side + spine + 2*c.TurnIn, Height: height + 2*c.Overhang + 2*c.TurnIn, Edge: c.TurnIn}
	s.SpineFrom, s.SpineTo = c.TurnIn+side, c.TurnIn+side+spine
	s.Folds = []float64{s.SpineFrom - c.Hinge, s.SpineFrom, s.SpineTo, s.SpineTo + c.Hinge}
	return s
}

// Weight returns the mass of a copy in kg: its leaves and its cover, of which
// cover is the mass by area in kg/m2 (for a case: board and cloth together).
// Glue and thread are left out.
func Weight(pages int, width, height float64, p Paper, s Sheet, cover float64) float64 {
	return float64(float64(Leaves(pages))*width*height*p.Grammage) + float64((s.Width-float64(2*s.Edge))*(s.Height-float64(2*s.Edge))*cover)
}

// Step returns the index of the first of some limits, in rising order, that a
// weight does not pass, or -1 if it passes all.
func Step(weight float64, limits []float64) int {
	for i, most := range limits {
		if weight <= most {
			return i
		}
	}
	return -1
}

// Limits of a spine's text.
const (
	// spineClear is left free on either side of the letters: a spine moves that
	// much when it is bound (common practice, no source).
	spineClear = 0.0015
	// leastText is the smallest size of letters on a spine: 6 points.
	leastText = 6 * point
	mostText  = 22 * point
	// lineShare is the height of letters, from the foot of a p to the top of an
	// h, as a share of their size.
	lineShare = 0.95
	// spineLength is the share of a spine's height that its text may take.
	spineLength = 0.8
	point       = 0.0254 / 72
)

// SpineText returns the size in m of letters for a text on a spine, which is ems
// long at a size of 1, or 0 if it would be too small to read. The text runs
// downwards, as ISO 6357 has it.
func SpineText(spine, height, ems float64) float64 {
	size := min(mostText, (spine-2*spineClear)/lineShare)
	if ems > 0 {
		size = min(size, height*spineLength/ems)
	}
	if size < leastText {
		return 0
	}
	return size
}

// ISO216 returns the width and height in m of a size of the A or B series, by
// the rule of ISO 216: each size halves the longer side of the last, rounded
// down to a whole millimetre.
func ISO216(series byte, n int) (width, height float64, err error) {
	w, h := 841, 1189
	switch series {
	case 'A':
	case 'B':
		w, h = 1000, 1414
	default:
		return 0, 0, fmt.Errorf("no series of paper sizes is called %c", series)
	}
	if n < 0 || n > 10 {
		return 0, 0, fmt.Errorf("no size %c%d", series, n)
	}
	for range n {
		w, h = h/2, w
	}
	return float64(w) / 1000, float64(h) / 1000, nil
}

const inch = 0.0254

// Size returns the width and height in m of a size by its name: A4, B5 and so on
// after ISO 216; letter and half_letter after ANSI/ASME Y14.1.
func Size(name string) (width, height float64, err error) {
	switch name {
	case "letter":
		return 8.5 * inch, 11 * inch, nil
	case "half_letter":
		return 5.5 * inch, 8.5 * inch, nil
	}
	if len(name) == 2 && name[1] >= '0' && name[1] <= '9' {
		return ISO216(name[0], int(name[1])-'0')
	}
	return 0, 0, fmt.Errorf("no paper size is called %q", name)
}
