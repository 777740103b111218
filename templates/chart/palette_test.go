package chart

import (
	"fmt"
	"math"
	"strconv"
	"testing"
)

type linearColour [3]float64

func linear(t *testing.T, hex string) linearColour {
	t.Helper()
	var c linearColour
	for i := range c {
		n, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		if err != nil || len(hex) != 7 {
			t.Fatalf("colour %q", hex)
		}
		v := float64(n) / 255
		// sRGB transfer function, IEC 61966-2-1.
		if v <= 0.04045 {
			c[i] = v / 12.92
		} else {
			c[i] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	return c
}

func (c linearColour) luminance() float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] }

// contrast is the contrast ratio of WCAG 2.2.
func contrast(t *testing.T, a, b string) float64 {
	x, y := linear(t, a).luminance(), linear(t, b).luminance()
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// lab gives CIE 1976 L*a*b* under D65.
func (c linearColour) lab() [3]float64 {
	f := func(v float64) float64 {
		if v > 216.0/24389 {
			return math.Cbrt(v)
		}
		return (24389.0/27*v + 16) / 116
	}
	x := f((0.4124*c[0] + 0.3576*c[1] + 0.1805*c[2]) / 0.9505)
	y := f(c.luminance())
	z := f((0.0193*c[0] + 0.1192*c[1] + 0.9505*c[2]) / 1.089)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// Colour blindness at full severity: Machado, Oliveira and Fernandes, "A
// physiologically-based model for simulation of color vision deficiency",
// IEEE TVCG 15(6), 2009, tables of the supplement (from memory).
var colourVision = map[string][3][3]float64{
	"usual":        {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protanopia":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"tritanopia":   {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

func seenAs(c linearColour, m [3][3]float64) linearColour {
	var out linearColour
	for i := range out {
		out[i] = min(1, max(0, m[i][0]*c[0]+m[i][1]*c[1]+m[i][2]*c[2]))
	}
	return out
}

func TestPaletteContrast(t *testing.T) {
	for mode, of := range map[string]func(shade) (colour, ink string){
		"light": func(s shade) (string, string) { return s.light, s.lightInk },
		"dark":  func(s shade) (string, string) { return s.dark, s.darkInk },
	} {
		paper, _ := of(chartPaper)
		for i, s := range seriesPalette {
			colour, ink := of(s)
			// WCAG 2.2, 1.4.11: graphical objects need 3:1.
			if r := contrast(t, colour, paper); r < 3 {
				t.Errorf("%s colour %d: contrast with the paper %.2f", mode, i+1, r)
			}
			// WCAG 2.2, 1.4.3: text needs 4.5:1.
			if r := contrast(t, colour, ink); r < 4.5 {
				t.Errorf("%s colour %d: contrast of its ink %.2f", mode, i+1, r)
			}
			// In grey, what lies side by side must differ.
			next, _ := of(seriesPalette[(i+1)%len(seriesPalette)])
			if r := contrast(t, colour, next); r < 2 {
				t.Errorf("%s colour %d: contrast with the next %.2f", mode, i+1, r)
			}
			for j := range i {
				other, _ := of(seriesPalette[j])
				for name, m := range colourVision {
					a, b := seenAs(linear(t, colour), m).lab(), seenAs(linear(t, other), m).lab()
					// A difference of 20 is many times what the eye can just tell.
					if d := math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2]); d < 20 {
						t.Errorf("%s colours %d and %d with %s vision: difference %.1f", mode, j+1, i+1, name, d)
					}
				}
				// In grey, two colours of about one lightness differ in hatching.
				if contrast(t, colour, other) < 1.8 && hatchOf(fmt.Sprint("c", i+1)) == hatchOf(fmt.Sprint("c", j+1)) {
					t.Errorf("%s colours %d and %d look alike in grey", mode, j+1, i+1)
				}
			}
		}
		for _, list := range [][]shade{heatPalette[:], coldPalette[:]} {
			last := 1.0
			for i, s := range list {
				colour, ink := of(s)
				if r := contrast(t, colour, ink); r < 4.5 {
					t.Errorf("%s shade %d: contrast of its ink %.2f", mode, i+1, r)
				}
				// More is darker on paper, lighter on a dark screen.
				r := contrast(t, colour, paper)
				if r <= last {
					t.Errorf("%s shade %d: contrast with the paper %.2f after %.2f", mode, i+1, r, last)
				}
				last = r
			}
		}
		for name, s := range map[string]shade{"text": chartText, "muted": chartMuted} {
			colour, _ := of(s)
			if r := contrast(t, colour, paper); r < 4.5 {
				t.Errorf("%s %s: contrast %.2f", mode, name, r)
			}
		}
		axis, _ := of(chartAxis)
		if r := contrast(t, axis, paper); r < 3 {
			t.Errorf("%s axis: contrast %.2f", mode, r)
		}
	}
}
