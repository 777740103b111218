package chart

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"rickyard/calc/portable"
)

// On paper the areas of several series are hatched, so that they stay apart in
// grey. Neighbours of the palette differ in lightness; the hatching tells apart
// the dark ones from each other, and the light ones.

// A hatch is a pattern of lines or dots, in pixels.
type hatch struct {
	width, height float64 // of a tile
	turned        float64 // degrees
	line          float64 // thickness; 0 for dots
	dots          [][3]float64
}

var hatches = []hatch{
	1: {width: 1, height: 5, turned: 45, line: 1},
	2: {width: 8, height: 8, dots: [][3]float64{{2, 2, 1.5}, {6, 6, 1.5}}},
	3: {width: 1, height: 5, line: 1},
}

// hatchOf is the hatching of a class, 0 for none: the first two series need
// none.
func hatchOf(class string) int {
	if len(class) < 2 || class[0] != 'c' || class[1] < '1' || class[1] > '8' {
		return 0
	}
	return int(class[1]-'1') / 2
}

// writeHatches writes the patterns that a drawing's paths need.
func writeHatches(b *strings.Builder, paths []pathOf, id string) {
	known := map[int]bool{}
	for _, p := range paths {
		n := hatchOf(p.class)
		if n == 0 || known[n] {
			continue
		}
		known[n] = true
		h := hatches[n]
		turn := ""
		if h.turned != 0 {
			turn = fmt.Sprintf(` patternTransform="rotate(%g)"`, h.turned)
		}
		fmt.Fprintf(b, `<pattern id="%s-%d" width="%g" height="%g" patternUnits="userSpaceOnUse"%s><path class="cp" d="%s"/></pattern>`,
			id, n, h.width, h.height, turn, h.marks(0, 0, h.width, h.height, true))
	}
}

var hatchedPath = regexp.MustCompile(`<path class="x" fill="url\(#([^")]+)-(\d)\)" d="([^"]*)"/>`)
var patternElement = regexp.MustCompile(`<pattern .*?</pattern>`)

// mostHatchMarks bounds the lines or dots of one area.
const mostHatchMarks = 20_000

// Sharp is a drawing for the printed book: browsers print an area that is
// filled with a pattern as a coarse picture, so each line and dot is drawn by
// itself, within its area.
func Sharp(svg string) string {
	n := 0
	svg = hatchedPath.ReplaceAllStringFunc(svg, func(path string) string {
		m := hatchedPath.FindStringSubmatch(path)
		kind, err := strconv.Atoi(m[2])
		if err != nil || kind >= len(hatches) {
			return ""
		}
		h := hatches[kind]
		x0, y0, x1, y1, boxed := pathBox(m[3])
		if !boxed || (x1-x0)*(y1-y0)/(h.width*h.height) > mostHatchMarks {
			return ""
		}
		n++
		return fmt.Sprintf(`<clipPath id="%s-a%d"><path d="%s"/></clipPath><g clip-path="url(#%[1]s-a%[2]d)"><path class="cp" d="%[4]s"%[5]s/></g>`,
			m[1], n, m[3], h.marks(x0, y0, x1, y1, false), h.transform())
	})
	return patternElement.ReplaceAllString(svg, "")
}

func (h hatch) transform() string {
	if h.turned == 0 {
		return ""
	}
	return fmt.Sprintf(` transform="rotate(%g)"`, h.turned)
}

// marks is a path of the lines or dots that fall into a box, in the pattern's
// own directions.
func (h hatch) marks(x0, y0, x1, y1 float64, tile bool) string {
	turned := h.turned
	if tile {
		turned = 0
	}
	sin, cos := portable.Sin(-turned*math.Pi/180), portable.Cos(-turned*math.Pi/180)
	left, top, right, bottom := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, c := range [][2]float64{{x0, y0}, {x1, y0}, {x0, y1}, {x1, y1}} {
		x, y := float64(c[0]*cos)-float64(c[1]*sin), float64(c[0]*sin)+float64(c[1]*cos)
		left, right = min(left, x), max(right, x)
		top, bottom = min(top, y), max(bottom, y)
	}
	var b strings.Builder
	for y := math.Floor(top/h.height) * h.height; y < bottom; y += h.height {
		if h.line > 0 {
			fmt.Fprintf(&b, "M%s %sH%sv%sH%[1]sZ", short(left), short(y), short(right), short(h.line))
			continue
		}
		for x := math.Floor(left/h.width) * h.width; x < right; x += h.width {
			for _, d := range h.dots {
				fmt.Fprintf(&b, "M%s %sa%s %[3]s 0 1 1 %s 0a%[3]s %[3]s 0 1 1 %[5]s 0Z", short(x+d[0]-d[2]), short(y+d[1]), short(d[2]), short(2*d[2]), short(-2*d[2]))
			}
		}
	}
	return b.String()
}

// pathBox returns a box that holds a path: its points, those that steer its
// curves, and the whole circles of its arcs.
func pathBox(d string) (x0, y0, x1, y1 float64, ok bool) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	x, y := 0.0, 0.0
	point := func(px, py, r float64) {
		x0, x1 = min(x0, px-r), max(x1, px+r)
		y0, y1 = min(y0, py-r), max(y1, py+r)
	}
	err := walk(d, func(op byte, n []float64) {
		switch op {
		case 'Z':
			return
		case 'C':
			point(n[0], n[1], 0)
			point(n[2], n[3], 0)
		case 'A':
			r := 2 * max(n[0], n[1])
			point(x, y, r)
			point(n[5], n[6], r)
		}
		x, y = n[len(n)-2], n[len(n)-1]
		point(x, y, 0)
	})
	return x0, y0, x1, y1, err == nil && x1 > x0 && y1 > y0
}
