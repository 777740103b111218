package chart

import (
	"strings"
	"testing"
)

func TestSharpDrawings(t *testing.T) {
	const before = `<p>a</p><svg><pattern width="1" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" id="k1"><path d="M0 0l1 0l0 1l-1 0Z"/></pattern>` +
		`<pattern id="k2" width="8" height="8"><path d="M3.5 6A1.5 1.5 0 1 1 3.5 5.9999"/><path d="M11.5 6A1.5 1.5 0 1 1 11.5 5.9999"/><path d="M7.5 2A1.5 1.5 0 1 1 7.5 1.9999"/><path d="M0 2A0 0 0 1 1 0 2"/></pattern>` +
		`<path class="sp" d="M0 0l12 0l0 12l-12 0Z" fill="url(#k1)" stroke="#fff"/><path d="M0 0h16v8h-16Z" transform="translate(5 6)" fill="url(#k2)"/><path d="M0 0h1v1Z" fill="url(#other)"/></svg><p>b</p>`
	after := Sharp(before)
	if strings.Contains(after, `url(#k1)`) || strings.Contains(after, `url(#k2)`) {
		t.Errorf("an area is still filled with a pattern: %s", after)
	}
	for _, want := range []string{
		`fill="url(#other)"`, // not known: left as it is
		`<path class="sp" d="M0 0l12 0l0 12l-12 0Z" fill="none" stroke="#fff"/>`,
		`transform="rotate(45)"`, `<g transform="translate(5 6)"><clipPath id="k2-a2">`,
		// Two tiles of two dots each, at 2 6 and 6 2 with a radius of 1.5.
		`d="M0.5 6a1.5 1.5 0 1 1 3 0a1.5 1.5 0 1 1 -3 0ZM4.5 2a1.5 1.5 0 1 1 3 0a1.5 1.5 0 1 1 -3 0ZM8.5 6a`,
		`<p>a</p>`, `<p>b</p>`,
	} {
		if !strings.Contains(after, want) {
			t.Errorf("%q is missing in %s", want, after)
		}
	}
	// A square of 12 turned by 45 degrees is 17 high: lines at -12, -6, 0 and 6.
	if n := strings.Count(after, "v1H"); n != 3 && n != 4 {
		t.Errorf("%d lines cross the square", n)
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
