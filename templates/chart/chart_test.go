package chart_test

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"rickyard/calc/source"
	"rickyard/templates"
	"rickyard/templates/chart"
	"rickyard/templates/chart/drawer"
)

// A drawnText is a text of a drawing with the box that it is thought to fill.
type drawnText struct {
	text           string
	x0, y0, x1, y1 float64
	level          bool // it lies level, not slanting
}

// readDrawing checks that an SVG is well formed and holds only what a page
// under a strict content policy may, and returns its texts.
func readDrawing(t *testing.T, svg string) (texts []drawnText, box [4]float64) {
	t.Helper()
	type frame struct {
		name   string
		matrix [6]float64
		attrs  map[string]string
	}
	stack := []frame{{matrix: [6]float64{1, 0, 0, 1, 0, 0}}}
	ids, uses := map[string]bool{}, []string{}
	colours := map[string]bool{"none": true}
	for _, r := range chart.Roles() {
		colours[r.Light()] = true
	}
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("not well formed: %v\n%s", err, svg)
		}
		switch e := token.(type) {
		case xml.StartElement:
			name := e.Name.Local
			if !chart.AllowedElements[name] && name != "title" && name != "desc" {
				t.Errorf("forbidden element %s", name)
			}
			f := frame{name: name, matrix: stack[len(stack)-1].matrix, attrs: map[string]string{}}
			for name, value := range stack[len(stack)-1].attrs {
				if chart.SharedAttrs[name] {
					f.attrs[name] = value
				}
			}
			for _, a := range e.Attr {
				f.attrs[a.Name.Local] = a.Value
				switch n := strings.ToLower(a.Name.Local); {
				case n == "style", strings.HasPrefix(n, "on"), n == "href", n == "font-family", a.Name.Space != "":
					t.Errorf("forbidden attribute %s=%q on %s", a.Name.Local, a.Value, name)
				case n == "id":
					if ids[a.Value] {
						t.Errorf("the id %s stands twice", a.Value)
					}
					ids[a.Value] = true
				case (n == "fill" || n == "stroke") && !colours[a.Value] && !strings.HasPrefix(a.Value, "url("):
					t.Errorf("the %s %q of %s is no colour of the palette: %v", n, a.Value, name, e.Attr)
				}
				if m := chart.URLReference.FindStringSubmatch(a.Value); m != nil {
					uses = append(uses, m[1])
				} else if strings.Contains(a.Value, "url(") {
					t.Errorf("odd reference %q", a.Value)
				}
				if strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Infinity") || strings.Contains(a.Value, "undefined") {
					t.Errorf("%s of %s is %q", a.Name.Local, name, a.Value)
				}
			}
			if name == "svg" {
				if f.attrs["role"] != "img" || f.attrs["width"] != "" || f.attrs["height"] != "" {
					t.Errorf("root element: %v", f.attrs)
				}
				if _, err := fmt.Sscanf(f.attrs["viewBox"], "%g %g %g %g", &box[0], &box[1], &box[2], &box[3]); err != nil {
					t.Errorf("viewBox %q: %v", f.attrs["viewBox"], err)
				}
			}
			f.matrix = multiply(f.matrix, parseTransform(t, f.attrs["transform"]))
			stack = append(stack, f)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.CharData:
			f := stack[len(stack)-1]
			if f.name != "text" {
				continue
			}
			size := float64(chart.TextSize)
			if s := f.attrs["font-size"]; s != "" {
				size, _ = strconv.ParseFloat(s, 64)
			}
			x, _ := strconv.ParseFloat(f.attrs["x"], 64)
			y, _ := strconv.ParseFloat(f.attrs["y"], 64)
			w := chart.TextWidth(string(e), size)
			switch f.attrs["text-anchor"] {
			case "end":
				x -= w
			case "middle":
				x -= w / 2
			}
			out := drawnText{text: string(e), x0: math.Inf(1), y0: math.Inf(1), x1: math.Inf(-1), y1: math.Inf(-1),
				level: math.Abs(f.matrix[1]) < 1e-6}
			for _, c := range [][2]float64{{x, y - size*0.5}, {x + w, y - size*0.5}, {x, y + size*0.5}, {x + w, y + size*0.5}} {
				px := f.matrix[0]*c[0] + f.matrix[2]*c[1] + f.matrix[4]
				py := f.matrix[1]*c[0] + f.matrix[3]*c[1] + f.matrix[5]
				out.x0, out.x1 = min(out.x0, px), max(out.x1, px)
				out.y0, out.y1 = min(out.y0, py), max(out.y1, py)
			}
			texts = append(texts, out)
		}
	}
	for _, u := range uses {
		if !ids[u] {
			t.Errorf("a reference to %s, which is not in the drawing", u)
		}
	}
	return texts, box
}

var transformPart = regexp.MustCompile(`(\w+)\(([^)]*)\)`)

func parseTransform(t *testing.T, s string) [6]float64 {
	m := [6]float64{1, 0, 0, 1, 0, 0}
	for _, part := range transformPart.FindAllStringSubmatch(s, -1) {
		var v []float64
		for _, f := range strings.FieldsFunc(part[2], func(r rune) bool { return r == ' ' || r == ',' }) {
			n, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Errorf("transform %q: %v", s, err)
			}
			v = append(v, n)
		}
		for len(v) < 2 {
			v = append(v, 0)
		}
		switch part[1] {
		case "translate":
			m = multiply(m, [6]float64{1, 0, 0, 1, v[0], v[1]})
		case "rotate":
			a := v[0] * math.Pi / 180
			m = multiply(m, [6]float64{math.Cos(a), math.Sin(a), -math.Sin(a), math.Cos(a), 0, 0})
		case "scale":
			m = multiply(m, [6]float64{v[0], 0, 0, v[len(v)-1], 0, 0})
		case "matrix":
			m = multiply(m, [6]float64{v[0], v[1], v[2], v[3], v[4], v[5]})
		default:
			t.Errorf("unknown transform %q", s)
		}
	}
	return m
}

func multiply(a, b [6]float64) [6]float64 {
	return [6]float64{
		a[0]*b[0] + a[2]*b[1], a[1]*b[0] + a[3]*b[1],
		a[0]*b[2] + a[2]*b[3], a[1]*b[2] + a[3]*b[3],
		a[0]*b[4] + a[2]*b[5] + a[4], a[1]*b[4] + a[3]*b[5] + a[5],
	}
}

// checkLayout reports texts that leave the drawing or lie on each other.
func checkLayout(t *testing.T, texts []drawnText, box [4]float64) {
	t.Helper()
	const slack = 1.5
	for i, a := range texts {
		if a.x0 < -slack || a.y0 < -slack || a.x1 > box[2]+slack || a.y1 > box[3]+slack {
			t.Errorf("text %q leaves the drawing: %.1f,%.1f to %.1f,%.1f in %gx%g", a.text, a.x0, a.y0, a.x1, a.y1, box[2], box[3])
		}
		for _, b := range texts[i+1:] {
			// Line boxes are a little taller than letters.
			if a.level && b.level && a.x0+1 < b.x1-1 && b.x0+1 < a.x1-1 && a.y0+2 < b.y1-2 && b.y0+2 < a.y1-2 {
				t.Errorf("text %q lies on %q", a.text, b.text)
			}
		}
	}
}

func joined(texts []drawnText) string {
	var words []string
	for _, x := range texts {
		words = append(words, x.text)
	}
	return strings.Join(words, " ")
}

func TestChartsOfEveryKind(t *testing.T) {
	d := testDrawer(t)
	seen := map[chart.Kind]bool{}
	for _, c := range chartCases {
		t.Run(c.name, func(t *testing.T) {
			seen[c.chart.Kind] = true
			drawing, err := d.Draw(&c.chart)
			if err != nil {
				t.Fatal(err)
			}
			texts, box := readDrawing(t, drawing.SVG)
			if int(box[2]) != drawing.Width || int(box[3]) != drawing.Height {
				t.Errorf("viewBox %v, drawing %dx%d", box, drawing.Width, drawing.Height)
			}
			checkLayout(t, texts, box)
			all := joined(texts)
			for _, name := range c.chart.Categories {
				if strings.HasPrefix(c.name, "columns-many") || c.name == "heat-shades" || strings.HasPrefix(c.name, "lines-years") {
					break // a long run of months names every so many
				}
				if !strings.Contains(all, strings.Fields(name)[0]) {
					t.Errorf("the category %q is not named", name)
				}
			}
			for _, s := range c.chart.Series {
				if s.Name != "" && len(c.chart.Series) > 1 && !strings.Contains(all, s.Name) {
					t.Errorf("the series %q is not named", s.Name)
				}
			}
			for _, m := range c.chart.Marks {
				if !strings.Contains(all, m.Name) {
					t.Errorf("the mark %q is not named", m.Name)
				}
			}
			if c.chart.Unit != "" && !strings.Contains(all, c.chart.Unit) {
				t.Errorf("the unit %q is not shown", c.chart.Unit)
			}
			if !strings.Contains(drawing.SVG, "<title>"+c.chart.Title+"</title><desc>") {
				t.Errorf("no title or description: %.200s", drawing.SVG)
			}
			header, rows := c.chart.Table()
			if len(rows) == 0 {
				t.Error("no table")
			}
			for _, r := range rows {
				if len(r) != len(header) {
					t.Errorf("row %q under header %q", r, header)
				}
			}
		})
	}
	for _, k := range chart.Kinds {
		if !seen[k] {
			t.Errorf("no test chart of kind %s", k)
		}
	}
}

// The length of each bar must be its value at one scale for all.
func TestChartBarsKeepScale(t *testing.T) {
	d := testDrawer(t)
	c := chart.Chart{Kind: chart.Columns, Categories: []string{"a", "b", "c"}, Series: []chart.Series{{Values: []float64{100, 50, 25}}}}
	drawing, err := d.Draw(&c)
	if err != nil {
		t.Fatal(err)
	}
	_, bars, found := strings.Cut(drawing.SVG, `<g class="c1"`)
	if !found {
		t.Fatalf("no group of columns in %s", drawing.SVG)
	}
	bars, _, _ = strings.Cut(bars, "</g>")
	var heights []float64
	for _, m := range regexp.MustCompile(`<path d="M[\d.]+ [\d.]+l[\d.]+ 0l0 -([\d.]+)l`).FindAllStringSubmatch(bars, -1) {
		h, _ := strconv.ParseFloat(m[1], 64)
		heights = append(heights, h)
	}
	if len(heights) != 3 || math.Abs(heights[0]/heights[1]-2) > 0.01 || math.Abs(heights[0]/heights[2]-4) > 0.02 {
		t.Errorf("heights of columns for 100, 50, 25: %v\n%s", heights, drawing.SVG)
	}
}

func TestChartsAreTheSameEachTime(t *testing.T) {
	first, second := testDrawer(t), testDrawer(t)
	for i := range chartCases {
		a, err := first.Draw(&chartCases[i].chart)
		if err != nil {
			t.Fatal(err)
		}
		// The second draws in the opposite order: nothing may carry over from
		// one chart to the next.
		_, err = second.Draw(&chartCases[len(chartCases)-1-i].chart)
		if err != nil {
			t.Fatal(err)
		}
		defer func() {
			b, _ := second.Draw(&chartCases[i].chart)
			if a != b {
				t.Errorf("%s was drawn differently the second time", chartCases[i].name)
			}
		}()
	}
}

func TestChartIDsNeverClash(t *testing.T) {
	d := testDrawer(t)
	owner := map[string]string{}
	id := regexp.MustCompile(`id="([^"]+)"`)
	with := 0
	for _, c := range chartCases {
		drawing, err := d.Draw(&c.chart)
		if err != nil {
			t.Fatal(err)
		}
		again := drawing.Again(2)
		readDrawing(t, again)
		for i, svg := range []string{drawing.SVG, again} {
			for _, m := range id.FindAllStringSubmatch(svg, -1) {
				with++
				who := fmt.Sprint(c.name, i)
				if owner[m[1]] != "" {
					t.Errorf("the id %s is in %s and in %s", m[1], owner[m[1]], who)
				}
				owner[m[1]] = who
			}
		}
	}
	if with == 0 {
		t.Error("no test chart has an id: the test shows nothing")
	}
}

func TestChartTextIsEscaped(t *testing.T) {
	d := testDrawer(t)
	nasty := []string{
		`<script>alert(1)</script>`, `]]>`, `"><img src=x onerror=alert(1)>`, `&amp;&lt;`, `{a}{b|c}{value}`, `__f__function(){}__f__`,
		"__proto__", "a\x00b\x1b[31m", "\xff\xfe", "line\nbreak\ttab", "\u202eturned", "'; throw 1; '", "s0", "\u2028", "${1}", "%s %d", "-", "", "🐔 hens", "\n",
		"constructor", "toString hasOwnProperty", "valueOf", "prototype", "\u2060constructor",
	}
	for i := 0; i < len(nasty); i += 5 {
		some := nasty[i : i+5]
		for _, kind := range chart.Kinds {
			values := []float64{5, 4, 3, 2, 1}
			c := chart.Chart{Kind: kind, Title: some[0], Alt: some[1], Unit: some[2], Across: some[3], BaseName: some[4],
				Categories: some,
				Series: []chart.Series{{Name: some[0] + "x", Values: values, Shown: some, At: values,
					Low: values, High: values, LowName: some[0], HighName: some[2], ShownLow: some}}}
			if kind != chart.Ranges && kind != chart.Steps && kind != chart.Split {
				c.Series = append(c.Series, c.Series[0])
			}
			if kind != chart.Heat && kind != chart.Split {
				c.Marks = []chart.Mark{{Name: some[4], Value: 2, Shown: some[1]}}
			}
			drawing, err := d.Draw(&c)
			if err != nil {
				t.Errorf("%s with %q: %v", kind, some, err)
				continue
			}
			texts, box := readDrawing(t, drawing.SVG)
			for _, x := range texts {
				if x.x0 < -2 || x.x1 > box[2]+2 {
					t.Errorf("%s: text %q leaves the drawing: %.0f to %.0f of %.0f", kind, x.text, x.x0, x.x1, box[2])
				}
			}
			if all := joined(texts); i == 0 && (!strings.Contains(all, `{a}{b|c}{value}`) || !strings.Contains(all, "]]>") || !strings.Contains(all, "<script>")) {
				t.Errorf("%s: a text is not shown as it was written: %s", kind, all)
			}
		}
	}
}

func TestChartsRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	two := []string{"a", "b"}
	one := func(kind chart.Kind, v ...float64) chart.Chart {
		return chart.Chart{Kind: kind, Categories: two, Series: []chart.Series{{Values: v, At: v, Low: v, High: v}}}
	}
	many := make([]chart.Series, 9)
	for i := range many {
		many[i] = chart.Series{Name: fmt.Sprint("n", i), Values: []float64{1, 2}}
	}
	hundred := make([]string, 500)
	with := func(c chart.Chart, change func(*chart.Chart)) chart.Chart { change(&c); return c }
	for _, c := range []struct {
		name  string
		chart chart.Chart
		kind  source.Kind
		says  string
	}{
		{"unknown kind", one("colums", 1, 2), source.UnknownRef, `no kind of chart is called "colums"`},
		{"no kind", chart.Chart{}, source.UnknownRef, `no kind of chart is called ""`},
		{"no categories", chart.Chart{Kind: chart.Bars, Series: many[:1]}, source.Missing, "no categories"},
		{"no series", chart.Chart{Kind: chart.Bars, Categories: two}, source.Missing, "no series"},
		{"empty series", one(chart.Lines), source.WrongType, "series 1 has 0 values for 2 categories"},
		{"too few values", one(chart.Columns, 1), source.WrongType, "has 1 values for 2 categories"},
		{"infinite", one(chart.Columns, 1, inf), source.NotFinite, `series 1 at "b" is too large to draw: +Inf`},
		{"minus infinite", one(chart.Points, -inf, 1), source.NotFinite, "too large to draw: -Inf"},
		{"huge", one(chart.Bars, 1e200, 1), source.NotFinite, "too large to draw"},
		{"all gaps", one(chart.Stack, nan, nan), source.Missing, "nothing to show"},
		{"all gaps, points", one(chart.Points, nan, nan), source.Missing, "nothing to show"},
		{"mark without value", with(one(chart.Lines, 1, 2), func(c *chart.Chart) { c.Marks = []chart.Mark{{Name: "m", Value: nan}} }), source.NotFinite, `the mark "m" has no value`},
		{"mark on a heat map", with(one(chart.Heat, 1, 2), func(c *chart.Chart) { c.Marks = []chart.Mark{{Name: "m"}} }), source.WrongType, "no axis of values"},
		{"base without value", with(one(chart.Ranges, 1, 2), func(c *chart.Chart) { c.Base = nan }), source.NotFinite, "the base line has no value"},
		{"nine series", chart.Chart{Kind: chart.Stack, Categories: two, Series: many}, source.OutOfRange, "can show 8 series at most, but has 9"},
		{"500 rows", chart.Chart{Kind: chart.Bars, Categories: hundred, Series: many[:1]}, source.OutOfRange, "can show 60 categories at most, but has 500"},
		{"below zero in a split", one(chart.Split, 1, -2), source.OutOfRange, "can't be a part of a whole"},
		{"nothing to split", one(chart.Split, 0, 0), source.OutOfRange, "add up to nothing"},
		{"below zero in stacked areas", chart.Chart{Kind: chart.Area, Categories: two, Series: []chart.Series{{Name: "a", Values: []float64{1, 2}}, {Name: "b", Values: []float64{1, -1}}}}, source.OutOfRange, "can't be stacked"},
		{"sum that is wrong", chart.Chart{Kind: chart.Steps, Categories: []string{"in", "out", "left"}, Series: []chart.Series{{Values: []float64{10, -4, 5}}}, Sums: []int{2}}, source.OutOfRange, `"left" shows 5.00, but the steps before it add up to 6.00`},
		{"sum that is not there", with(one(chart.Steps, 1, 2), func(c *chart.Chart) { c.Sums = []int{2} }), source.OutOfRange, "no step 2"},
		{"too narrow", with(one(chart.Bars, 1, 2), func(c *chart.Chart) { c.Width = 10 }), source.OutOfRange, "width must be from 240"},
		{"too tall", with(one(chart.Bars, 1, 2), func(c *chart.Chart) { c.Height = 1 << 30 }), source.OutOfRange, "height must be from"},
		{"nameless series", chart.Chart{Kind: chart.Lines, Categories: two, Series: []chart.Series{{Values: []float64{1, 2}}, {Values: []float64{1, 2}}}}, source.Missing, "has no name"},
	} {
		err := c.chart.Check()
		var e *source.Error
		if !errors.As(err, &e) {
			t.Errorf("%s: got %v", c.name, err)
			continue
		}
		if e.Kind != c.kind || !strings.Contains(e.Message, c.says) || e.Remedy == "" {
			t.Errorf("%s: kind %q, message %q, remedy %q; expected %q, %q", c.name, e.Kind, e.Message, e.Remedy, c.kind, c.says)
		}
	}
}

func TestChartsAtTheLimit(t *testing.T) {
	d := testDrawer(t)
	long := strings.Repeat("Pastured broilers ", 600)
	solid := strings.Repeat("x", 10000)
	for _, kind := range chart.Kinds {
		for _, n := range []int{1, 13, 60, 500} {
			for _, name := range []string{"Jan", "Pastured broilers on the bank", long, solid} {
				for _, width := range []int{0, 240} {
					if n == 13 && width > 0 && name != long || n > 13 && (width > 0 || len(name) > 100) || n == 500 && name != "Jan" {
						continue
					}
					c := chart.Chart{Kind: kind, Unit: name, Width: width}
					s := chart.Series{Name: name, LowName: name, HighName: name}
					for i := range n {
						c.Categories = append(c.Categories, name)
						v := float64((i*37)%101) * 1000
						s.Values = append(s.Values, v)
						s.At = append(s.At, float64(i))
						s.Low, s.High = append(s.Low, -v), append(s.High, 2*v)
					}
					s.Values[0] = 17
					c.Series = []chart.Series{s}
					if kind != chart.Ranges && kind != chart.Steps && kind != chart.Split {
						c.Series = append(c.Series, s)
					}
					label := fmt.Sprintf("%s, %d categories, names of %d, width %d", kind, n, len(name), width)
					drawing, err := d.Draw(&c)
					var e *source.Error
					if errors.As(err, &e) {
						if n <= 13 && kind != chart.Split || n == 1 {
							t.Errorf("%s: refused: %v", label, err)
						}
						continue
					}
					if err != nil {
						t.Fatalf("%s: %v", label, err)
					}
					texts, box := readDrawing(t, drawing.SVG)
					for _, x := range texts {
						if x.x0 < -2 || x.x1 > box[2]+2 || x.y0 < -2 || x.y1 > box[3]+2 {
							t.Errorf("%s: text %.40q leaves the drawing: %.0f,%.0f to %.0f,%.0f of %.0f,%.0f", label, x.text, x.x0, x.y0, x.x1, x.y1, box[2], box[3])
							break
						}
					}
					if len(drawing.SVG) > 600_000 {
						t.Errorf("%s: %d bytes", label, len(drawing.SVG))
					}
				}
			}
		}
	}
}

func TestChartOddValues(t *testing.T) {
	d := testDrawer(t)
	nan := math.NaN()
	for _, values := range [][]float64{
		{nan, 1, nan}, {0, 0, 0}, {-1, -2, -3}, {1e-9, 2e-9, 3e-9}, {1e15, -1e15, 0}, {5, 5, 5}, {math.Copysign(0, -1), 0, nan}, {1, 1 + 1e-12, 1},
		{math.SmallestNonzeroFloat64, 0, 0}, {999999.5, 1000000, 1000000.5},
	} {
		for _, kind := range chart.Kinds {
			c := chart.Chart{Kind: kind, Decimals: -1, Categories: []string{"a", "b", "c"},
				Series: []chart.Series{{Name: "n", Values: append([]float64(nil), values...), At: values, Low: values, High: []float64{nan, 0, 1}}}}
			drawing, err := d.Draw(&c)
			var e *source.Error
			if errors.As(err, &e) {
				if kind != chart.Split {
					t.Errorf("%s of %v: %v", kind, values, err)
				}
				continue
			}
			if err != nil {
				t.Errorf("%s of %v: %v", kind, values, err)
				continue
			}
			texts, box := readDrawing(t, drawing.SVG)
			if !t.Run(string(kind), func(t *testing.T) { checkLayout(t, texts, box) }) {
				t.Logf("of %v", values)
			}
		}
	}
}

func TestChartCache(t *testing.T) {
	testDrawer(t)
	dir := filepath.Join(t.TempDir(), "drawn")
	cold := drawer.New(templates.ChartScript(), drawer.Options{CacheDir: dir})
	if cold.Started() {
		t.Error("the script was started before anything was drawn")
	}
	want := map[string]chart.Drawing{}
	for _, c := range chartCases {
		drawing, err := cold.Draw(&c.chart)
		if err != nil {
			t.Fatal(err)
		}
		want[c.name] = drawing
	}
	if !cold.Started() {
		t.Error("charts were drawn without the script")
	}

	warm := drawer.New(templates.ChartScript(), drawer.Options{CacheDir: dir})
	for _, c := range chartCases {
		drawing, err := warm.Draw(&c.chart)
		if err != nil || drawing != want[c.name] {
			t.Errorf("%s from the cache: %v, same: %v", c.name, err, drawing == want[c.name])
		}
	}
	if warm.Started() {
		t.Error("every chart was in the cache, yet the script was started")
	}

	// Entries that were cut short, changed or emptied are drawn anew.
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != len(chartCases) {
		t.Fatalf("%d entries for %d charts: %v", len(entries), len(chartCases), err)
	}
	for i, e := range entries {
		name := filepath.Join(dir, e.Name())
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		switch i % 3 {
		case 0:
			b = b[:len(b)/2]
		case 1:
			b[len(b)-20] ^= 1
		case 2:
			b = nil
		}
		if err := os.WriteFile(name, b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	mended := drawer.New(templates.ChartScript(), drawer.Options{CacheDir: dir})
	for _, c := range chartCases {
		if drawing, err := mended.Draw(&c.chart); err != nil || drawing != want[c.name] {
			t.Errorf("%s from a spoilt cache: %v", c.name, err)
		}
	}
	healed := drawer.New(templates.ChartScript(), drawer.Options{CacheDir: dir})
	if _, err := healed.Draw(&chartCases[0].chart); err != nil || healed.Started() {
		t.Errorf("a spoilt entry was not replaced: %v", err)
	}

	// A sweep leaves what this build asked for, and files that are not its own.
	keep := filepath.Join(dir, "notes.txt")
	if err := os.WriteFile(keep, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	healed.Sweep()
	entries, _ = os.ReadDir(dir)
	if len(entries) != 2 {
		t.Errorf("after a sweep: %v", entries)
	}

	// A cache that can't be written costs time, nothing else.
	blocked := drawer.New(templates.ChartScript(), drawer.Options{CacheDir: filepath.Join(keep, "under-a-file")})
	if drawing, err := blocked.Draw(&chartCases[0].chart); err != nil || drawing != want[chartCases[0].name] {
		t.Errorf("with a cache folder that can't be made: %v", err)
	}
}

func TestChartCacheKnowsEveryChange(t *testing.T) {
	d := testDrawer(t)
	base := chart.Chart{Kind: chart.Columns, Title: "t", Unit: "u", Categories: []string{"a", "b"}, Series: []chart.Series{{Name: "n", Values: []float64{1, 2}}}}
	seen := map[string]string{}
	for name, change := range map[string]func(*chart.Chart){
		"none":   func(*chart.Chart) {},
		"value":  func(c *chart.Chart) { c.Series = []chart.Series{{Name: "n", Values: []float64{1, 2.5}}} },
		"title":  func(c *chart.Chart) { c.Title = "other" },
		"alt":    func(c *chart.Chart) { c.Alt = "other" },
		"unit":   func(c *chart.Chart) { c.Unit = "other" },
		"kind":   func(c *chart.Chart) { c.Kind = chart.Bars },
		"width":  func(c *chart.Chart) { c.Width = 500 },
		"mark":   func(c *chart.Chart) { c.Marks = []chart.Mark{{Name: "m", Value: 1}} },
		"number": func(c *chart.Chart) { c.Number = func(v float64, n int) string { return "n" + chart.Number(v, n) } },
	} {
		c := base
		change(&c)
		drawing, err := d.Draw(&c)
		if err != nil {
			t.Fatal(err)
		}
		if other := seen[drawing.SVG]; other != "" {
			t.Errorf("the drawings for %s and %s are the same", name, other)
		}
		seen[drawing.SVG] = name
	}
}

func TestNoChartScript(t *testing.T) {
	d := drawer.New("", drawer.Options{})
	if _, err := d.Draw(&chartCases[0].chart); !errors.Is(err, drawer.ErrNoChartScript) {
		t.Errorf("got %v", err)
	}
	if !errors.Is(d.Ready(), drawer.ErrNoChartScript) {
		t.Errorf("Ready: %v", d.Ready())
	}
	const says = "this rickyard was built without its chart script; run go generate ./... and build again"
	if drawer.ErrNoChartScript.Error() != says {
		t.Errorf("the message is %q", drawer.ErrNoChartScript)
	}
}

func TestChartScriptNotices(t *testing.T) {
	testDrawer(t)
	text := templates.ChartScriptNotices()
	// What the licences of the three embedded works ask to be carried along.
	for _, want := range []string{"Apache ECharts\nCopyright", "Apache License", "Mike Bostock", "Baidu Inc."} {
		if !strings.Contains(text, want) {
			t.Errorf("the notices do not hold %q", want)
		}
	}
	if templates.ChartScriptVersion() != "Apache ECharts 6.1.0" {
		t.Errorf("version %q", templates.ChartScriptVersion())
	}
}

func TestLockFileNamesNoHost(t *testing.T) {
	b, err := os.ReadFile("../package-lock.json")
	if err != nil {
		t.Fatal(err)
	}
	if s := string(b); strings.Contains(s, "resolved") || strings.Contains(s, "://") || !strings.Contains(s, `"integrity": "sha512-`) {
		t.Error("the lock file must hold checksums and no addresses")
	}
}

func TestChartTable(t *testing.T) {
	c := chart.Chart{Kind: chart.Split, Unit: "GBP", Across: "Use", Categories: []string{"a", "b", "c"},
		Series: []chart.Series{{Name: "Cost", Values: []float64{1, 1, 1}}}}
	header, rows := c.Table()
	if got, want := fmt.Sprint(header, rows), "[Use Cost, GBP share] [[a 1 34 %] [b 1 33 %] [c 1 33 %]]"; got != want {
		t.Errorf("got %s, expected %s", got, want)
	}
	c = chart.Chart{Kind: chart.Steps, Unit: "p", Categories: []string{"Sales", "Feed", "Margin"}, Series: []chart.Series{{Values: []float64{100, -38, math.NaN()}}}, Sums: []int{2}}
	_, rows = c.Table()
	if got, want := fmt.Sprint(rows), "[[Sales 100] [Feed −38] [Margin 62]]"; got != want {
		t.Errorf("got %s, expected %s", got, want)
	}
	c = chart.Chart{Kind: chart.Columns, Across: "Month", Categories: []string{"Jan", "Feb"}, Series: []chart.Series{{Name: "Rain", Values: []float64{math.NaN(), 3}, Shown: []string{"", "3 mm"}}},
		Marks: []chart.Mark{{Name: "Usual", Value: 4}}}
	header, rows = c.Table()
	if got, want := fmt.Sprint(header, rows), "[Month Rain] [[Jan –] [Feb 3 mm] [Usual 4]]"; got != want {
		t.Errorf("got %s, expected %s", got, want)
	}
}

func TestChartNumber(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		want     string
	}{
		{0, 0, "0"}, {999, 0, "999"}, {1000, 0, "1,000"}, {-12500, 1, "−12,500.0"}, {1234567.891, 2, "1,234,567.89"},
		{-0.2, 0, "0"}, {math.NaN(), 0, "–"}, {0.5, -1, "0"}, {1e15, 0, "1,000,000,000,000,000"},
	} {
		if got := chart.Number(c.v, c.decimals); got != c.want {
			t.Errorf("Number(%v, %d) = %q, expected %q", c.v, c.decimals, got, c.want)
		}
	}
}

func TestNiceScale(t *testing.T) {
	for _, c := range [][2]float64{{0, 1}, {0, 97}, {-1380, 18655}, {0.002, 0.0031}, {-5, -1}, {0, 0}, {7, 7}, {-3e14, 9e14}} {
		ticks, low, high, step := chart.NiceScale(c[0], c[1], 5).Ticks()
		if low > c[0] || high < c[1] || len(ticks) < 2 || len(ticks) > 12 || !(step > 0) {
			t.Errorf("scale over %v: %g to %g by %g, %d ticks", c, low, high, step, len(ticks))
		}
	}
}

func BenchmarkChartCold(b *testing.B) {
	testDrawer(b)
	for b.Loop() {
		d := drawer.New(templates.ChartScript(), drawer.Options{})
		if _, err := d.Draw(&chartCases[0].chart); err != nil {
			b.Fatal(err)
		}
	}
}

// A workbook's charts: the first build, a rebuild in which one chart changed,
// and a rebuild in which none did.
func BenchmarkChartsOfABuild(b *testing.B) {
	testDrawer(b)
	dir := b.TempDir()
	build := func(b *testing.B, dir string, price float64) {
		d := drawer.New(templates.ChartScript(), drawer.Options{CacheDir: dir})
		for i := range chartCases {
			c := chartCases[i].chart
			if i == 0 {
				c.Marks = []chart.Mark{{Name: "Target income", Value: price}}
			}
			if _, err := d.Draw(&c); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.Run("first", func(b *testing.B) {
		for b.Loop() {
			build(b, "", 16000)
		}
	})
	b.Run("one-changed", func(b *testing.B) {
		build(b, dir, 15999)
		price := 16000.0
		for b.Loop() {
			price++
			build(b, dir, price)
		}
	})
	b.Run("none-changed", func(b *testing.B) {
		for b.Loop() {
			build(b, dir, 15999)
		}
	})
}

func BenchmarkChartDrawn(b *testing.B) {
	d := testDrawer(b)
	c := chartCases[0].chart
	if _, err := d.Draw(&c); err != nil {
		b.Fatal(err)
	}
	i := 0.0
	for b.Loop() {
		i++
		c.Series = []chart.Series{{Name: "n", Values: []float64{i, i + 1, i + 2, i + 3}}}
		if _, err := d.Draw(&c); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkChartFromCacheFolder(b *testing.B) {
	testDrawer(b)
	dir := b.TempDir()
	if _, err := drawer.New(templates.ChartScript(), drawer.Options{CacheDir: dir}).Draw(&chartCases[0].chart); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		d := drawer.New(templates.ChartScript(), drawer.Options{CacheDir: dir})
		if _, err := d.Draw(&chartCases[0].chart); err != nil || d.Started() {
			b.Fatal(err)
		}
	}
}
