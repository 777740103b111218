package chart

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Browsers print an area that is filled with a pattern as a coarse picture. On
// paper the lines and dots of a chart's areas are therefore drawn one by one,
// each within the area.

var (
	patternElement = regexp.MustCompile(`<pattern ([^>]*)>(.*?)</pattern>`)
	patternedPath  = regexp.MustCompile(`<path ([^>]*)fill="url\(#([^")]+)\)"([^>]*?)/?>(?:</path>)?`)
	patternTurn    = regexp.MustCompile(`^rotate\((-?[\d.]+)\)$`)
	patternLine    = regexp.MustCompile(`d="M0 0l1 0l0 ([\d.]+)l-1 0Z"`)
	patternDot     = regexp.MustCompile(`d="M(-?[\d.]+) (-?[\d.]+)A([\d.]+) `)
)

// A hatch is a pattern of lines or dots.
type hatch struct {
	width, height float64 // of a tile
	turned        float64 // degrees
	line          float64 // thickness; 0 for dots
	dots          [][3]float64
}

// hatches reads the patterns of a drawing by their ids. One that is neither
// lines nor dots is left out.
func hatches(svg string) map[string]hatch {
	all := map[string]hatch{}
	for _, m := range patternElement.FindAllStringSubmatch(svg, -1) {
		attrs := " " + m[1]
		number := func(name string) float64 {
			x, _ := strconv.ParseFloat(attributeOf(attrs, name), 64) // what is no number is no tile
			return x
		}
		h := hatch{width: number("width"), height: number("height")}
		if turn := attributeOf(attrs, "patternTransform"); turn != "" {
			t := patternTurn.FindStringSubmatch(turn)
			if t == nil {
				continue
			}
			h.turned, _ = strconv.ParseFloat(t[1], 64)
		}
		if line := patternLine.FindStringSubmatch(m[2]); line != nil && h.width == 1 {
			h.line, _ = strconv.ParseFloat(line[1], 64)
		}
		for _, d := range patternDot.FindAllStringSubmatch(m[2], -1) {
			var p [3]float64
			for i := range p {
				p[i], _ = strconv.ParseFloat(d[i+1], 64)
			}
			// The arc begins at the right of its circle.
			if p[0] -= p[2]; p[2] > 0 && p[0] >= 0 && p[0] < h.width && p[1] >= 0 && p[1] < h.height {
				h.dots = append(h.dots, p)
			}
		}
		if h.width > 0 && h.height > 0 && (h.line > 0 || len(h.dots) > 0) {
			all[attributeOf(attrs, "id")] = h
		}
	}
	return all
}

// mostHatchMarks bounds the lines or dots of one area.
const mostHatchMarks = 20_000

// Sharp draws the patterned areas of all drawings in a page line by line.
func Sharp(page string) string {
	var b strings.Builder
	for {
		from := strings.Index(page, "<svg")
		if from < 0 {
			b.WriteString(page)
			return b.String()
		}
		to := strings.Index(page[from:], "</svg>")
		if to < 0 {
			to = len(page) - from
		}
		b.WriteString(page[:from])
		b.WriteString(sharpDrawing(page[from : from+to]))
		page = page[from+to:]
	}
}

func sharpDrawing(svg string) string {
	known := hatches(svg)
	if len(known) == 0 {
		return svg
	}
	n := 0
	return patternedPath.ReplaceAllStringFunc(svg, func(path string) string {
		m := patternedPath.FindStringSubmatch(path)
		h, ok := known[m[2]]
		d := attributeOf(" "+m[1], "d")
		x0, y0, x1, y1, boxed := pathBox(d)
		if !ok || !boxed || (x1-x0)*(y1-y0)/(h.width*h.height) > mostHatchMarks {
			return path
		}
		n++
		id := fmt.Sprintf("%s-a%d", m[2], n)
		turn := ""
		if move := attributeOf(" "+m[1], "transform"); move != "" {
			turn = ` transform="` + move + `"`
		}
		return fmt.Sprintf(`<g%s><clipPath id="%s"><path d="%s"/></clipPath><g clip-path="url(#%[2]s)"><path class="cp" fill="#fff" d="%[4]s"%[5]s/></g></g><path %sfill="none"%s/>`,
			turn, id, d, h.marks(x0, y0, x1, y1), h.transform(), m[1], m[3])
	})
}

func (h hatch) transform() string {
	if h.turned == 0 {
		return ""
	}
	return fmt.Sprintf(` transform="rotate(%g)"`, h.turned)
}

// marks is a path of the lines or dots that fall into a box, in the pattern's
// own directions.
func (h hatch) marks(x0, y0, x1, y1 float64) string {
	sin, cos := math.Sincos(-h.turned * math.Pi / 180)
	left, top, right, bottom := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, c := range [][2]float64{{x0, y0}, {x1, y0}, {x0, y1}, {x1, y1}} {
		x, y := c[0]*cos-c[1]*sin, c[0]*sin+c[1]*cos
		left, right = min(left, x), max(right, x)
		top, bottom = min(top, y), max(bottom, y)
	}
	short := func(x float64) string { return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64) }
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

var pathStep = regexp.MustCompile(`([MmLlHhVvAaCcZz])([^MmLlHhVvAaCcZz]*)`)
var pathNumber = regexp.MustCompile(`-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?`)

// pathBox returns a box that holds a path: its points, those that steer its
// curves, and the whole circles of its arcs.
func pathBox(d string) (x0, y0, x1, y1 float64, ok bool) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	x, y := 0.0, 0.0
	point := func(px, py, r float64) {
		x0, x1 = min(x0, px-r), max(x1, px+r)
		y0, y1 = min(y0, py-r), max(y1, py+r)
	}
	for _, m := range pathStep.FindAllStringSubmatch(d, -1) {
		var n []float64
		for _, text := range pathNumber.FindAllString(m[2], -1) {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				return 0, 0, 0, 0, false
			}
			n = append(n, v)
		}
		kind := m[1][0]
		relative := kind >= 'a'
		size := map[byte]int{'m': 2, 'l': 2, 'h': 1, 'v': 1, 'a': 7, 'c': 6}[kind|0x20]
		for ; size > 0 && len(n) >= size; n = n[size:] {
			fromX, fromY := x, y
			if !relative {
				fromX, fromY = 0, 0
			}
			switch kind | 0x20 {
			case 'h':
				x = fromX + n[0]
			case 'v':
				y = fromY + n[0]
			case 'c':
				point(fromX+n[0], fromY+n[1], 0)
				point(fromX+n[2], fromY+n[3], 0)
				x, y = fromX+n[4], fromY+n[5]
			case 'a':
				r := 2 * max(n[0], n[1])
				point(x, y, r)
				x, y = fromX+n[5], fromY+n[6]
				point(x, y, r)
			default:
				x, y = fromX+n[0], fromY+n[1]
			}
			point(x, y, 0)
		}
	}
	return x0, y0, x1, y1, x1 > x0 && y1 > y0
}

func attributeOf(tag, name string) string {
	_, rest, _ := strings.Cut(tag, " "+name+`="`)
	value, _, _ := strings.Cut(rest, `"`)
	return value
}
