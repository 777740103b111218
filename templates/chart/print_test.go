package chart

import (
	"strings"
	"testing"
)

func TestSharpDrawings(t *testing.T) {
	const before = `<svg><pattern id="k-1" width="1" height="5"><path class="cp" d="M0 0H1v1H0Z"/></pattern><path class="c3" d="M0 0h12v12h-12z"/>` +
		`<path class="x" fill="url(#k-1)" d="M0 0h12v12h-12z"/><path class="x" fill="url(#k-2)" d="M0 0h16v8h-16z"/></svg>`
	after := Sharp(before)
	if strings.Contains(after, "url(#k-1)\"") || strings.Contains(after, "<pattern") {
		t.Errorf("an area is still filled with a pattern: %s", after)
	}
	for _, want := range []string{
		`<path class="c3" d="M0 0h12v12h-12z"/>`, `transform="rotate(45)"`, `<clipPath id="k-a1">`, `clip-path="url(#k-a2)"`,
		// Two tiles of two dots each, at 2 2 and 6 6 with a radius of 1.5.
		`d="M0.5 2a1.5 1.5 0 1 1 3 0a1.5 1.5 0 1 1 -3 0ZM4.5 6a1.5 1.5 0 1 1 3 0a1.5 1.5 0 1 1 -3 0ZM8.5 2a`,
	} {
		if !strings.Contains(after, want) {
			t.Errorf("%q is missing in %s", want, after)
		}
	}
}

func TestPathBox(t *testing.T) {
	for d, want := range map[string][4]float64{
		"M43.6 242.5l36.1 0l0 -36.7l-36.1 0Z": {43.6, 205.8, 79.7, 242.5},
		"M1 2H5V9h-6Z":                        {-1, 2, 5, 9},
		"M0 0C1 5 2 -5 3 0":                   {0, -5, 3, 5},
	} {
		x0, y0, x1, y1, ok := pathBox(d)
		for i, got := range []float64{x0, y0, x1, y1} {
			if diff := got - want[i]; !ok || diff > 1e-9 || diff < -1e-9 {
				t.Errorf("%s: got %v, want %v", d, []float64{x0, y0, x1, y1}, want)
				break
			}
		}
	}
	for _, d := range []string{"", "Z", "M1 1", "M1 1l5 0", "Mxyz"} {
		if _, _, _, _, ok := pathBox(d); ok {
			t.Errorf("%q has a box", d)
		}
	}
}

// A path comes out at its place, as short as it can be said, and its circles stay
// whole.
func TestPlaced(t *testing.T) {
	for d, want := range map[string]string{
		"M0 0L10 0L10 5L0 5Z":     "M5 6h20v10h-20z",
		"M1 0A1 1 0 1 1 1 -.0001": "M7 6a2 2 0 1 1-4 0a2 2 0 1 1 4 0",
		"M0 0l.04 .04":            "M5 6l0.1 0.1",
		"M0 0l.01 .01":            "M5 6",
	} {
		if got, err := placed(d, matrix{2, 0, 0, 2, 5, 6}, 10); err != nil || got != want {
			t.Errorf("%s: got %s (%v), want %s", d, got, err, want)
		}
	}
}
