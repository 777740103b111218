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
	"rickyard/templates/chart"
	"rickyard/templates/chart/drawer"
)

// A drawnText is a text of a drawing with the box that it is thought to fill.
type drawnText struct {
	text           string
	x0, y0, x1, y1 float64
}

var (
	allowedElements = map[string]string{"svg": "xmlns class viewBox aria-hidden", "g": "class", "path": "class d fill",
		"text": "x y", "tspan": "x", "pattern": "id width height patternUnits patternTransform"}
	allowedClass = regexp.MustCompile(`^(ch|wide|narrow|[cis][1-8]|hi?[1-7]|ni?[1-4]|[cs][tmgap]|[meowkflx]|d[13])$`)
	pathData     = regexp.MustCompile(`^[-MmLlHhVvAaCcZz0-9. ]+$`)
)

// readDrawing checks that an SVG is well formed and holds only what a page
// under a strict content policy may, and returns its texts.
func readDrawing(t *testing.T, svg string) (texts []drawnText, width, height float64) {
	t.Helper()
	type frame struct {
		name, class string
		x, y        float64
	}
	stack := []frame{{}}
	ids, uses := map[string]bool{}, []string{}
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
			f := stack[len(stack)-1]
			f.name = e.Name.Local
			known, ok := allowedElements[f.name]
			if !ok {
				t.Errorf("forbidden element %s", f.name)
			}
			for _, a := range e.Attr {
				name, value := a.Name.Local, a.Value
				if !strings.Contains(" "+known+" ", " "+name+" ") {
					t.Errorf("forbidden attribute %s=%q on %s", name, value, f.name)
				}
				number, _ := strconv.ParseFloat(value, 64)
				switch name {
				case "class":
					f.class = value
					for _, c := range strings.Fields(value) {
						if !allowedClass.MatchString(c) {
							t.Errorf("the class %q of %s is none of a chart's", c, f.name)
						}
					}
				case "id":
					if ids[value] {
						t.Errorf("the id %s stands twice", value)
					}
					ids[value] = true
				case "fill":
					uses = append(uses, strings.TrimSuffix(strings.TrimPrefix(value, "url(#"), ")"))
				case "d":
					if !pathData.MatchString(value) {
						t.Errorf("odd path %.80q", value)
					}
				case "x":
					f.x = number
				case "y":
					f.y = number
				case "viewBox":
					if _, err := fmt.Sscanf(value, "0 0 %g %g", &width, &height); err != nil {
						t.Errorf("viewBox %q: %v", value, err)
					}
				}
			}
			stack = append(stack, f)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.CharData:
			f := stack[len(stack)-1]
			if f.name != "text" && f.name != "tspan" {
				if strings.TrimSpace(string(e)) != "" {
					t.Errorf("stray text %q", e)
				}
				continue
			}
			w := chart.TextWidth(string(e), chart.TextSize)
			x, y := f.x, f.y-chart.TextSize*0.35
			switch {
			case strings.Contains(" "+f.class+" ", " m "):
				x -= w / 2
			case strings.Contains(" "+f.class+" ", " e "):
				x -= w
			}
			texts = append(texts, drawnText{string(e), x, y - chart.TextSize/2, x + w, y + chart.TextSize/2})
		}
	}
	for _, u := range uses {
		if !ids[u] {
			t.Errorf("a reference to %s, which is not in the drawing", u)
		}
	}
	return texts, width, height
}

// checkLayout reports texts that leave the drawing or lie on each other.
func checkLayout(t *testing.T, texts []drawnText, width, height float64) {
	t.Helper()
	const slack = 1.5
	for i, a := range texts {
		if a.x0 < -slack || a.y0 < -slack || a.x1 > width+slack || a.y1 > height+slack {
			t.Errorf("text %q leaves the drawing: %.1f,%.1f to %.1f,%.1f in %gx%g", a.text, a.x0, a.y0, a.x1, a.y1, width, height)
		}
		for _, b := range texts[i+1:] {
			if a.x0+1 < b.x1-1 && b.x0+1 < a.x1-1 && a.y0+1.5 < b.y1-1.5 && b.y0+1.5 < a.y1-1.5 {
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

// heaviest is what the two drawings of a chart may weigh together, in bytes.
const heaviest = 12_000

// TestGallery draws every kind with values of every sort at both widths, and
// measures what is drawn.
func TestGallery(t *testing.T) {
	d := testDrawer(t)
	seen := map[chart.Kind]bool{}
	for _, c := range append(chartCases, sorted()...) {
		t.Run(c.name, func(t *testing.T) {
			seen[c.chart.Kind] = true
			if c.chart.Empty() {
				t.Fatal("it is empty")
			}
			drawing, err := d.Draw(&c.chart)
			if err != nil {
				t.Fatal(err)
			}
			if n := len(drawing.Wide) + len(drawing.Narrow); n > heaviest {
				t.Errorf("both drawings weigh %d bytes", n)
			}
			for i, svg := range []string{drawing.Wide, drawing.Narrow} {
				texts, width, height := readDrawing(t, svg)
				if want := []float64{672, 286}[i]; width != want {
					t.Errorf("%g wide, want %g", width, want)
				}
				checkLayout(t, texts, width, height)
				all := joined(texts)
				if c.chart.Unit != "" && !strings.Contains(all, strings.Fields(c.chart.Unit)[0]) {
					t.Errorf("the unit %q is not shown", c.chart.Unit)
				}
				for _, s := range c.chart.Series {
					if s.Name != "" && len(c.chart.Series) > 1 && !strings.Contains(all, strings.Fields(s.Name)[0]) {
						t.Errorf("the series %q is not named", s.Name)
					}
				}
				for _, m := range c.chart.Marks {
					if m.Name != "" && !strings.Contains(all, strings.Fields(m.Name)[0]) {
						t.Errorf("the mark %q is not named", m.Name)
					}
				}
			}
			if drawing.Told {
				checkTold(t, &c.chart, drawing.Wide)
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
			if drawing.Alt == "" {
				t.Error("no words for who can't see it")
			}
		})
	}
	for _, k := range chart.Kinds {
		if !seen[k] {
			t.Errorf("no test chart of kind %s", k)
		}
	}
}

// checkTold sees that a drawing which claims to show every number does.
func checkTold(t *testing.T, c *chart.Chart, svg string) {
	t.Helper()
	texts, _, _ := readDrawing(t, svg)
	all := " " + joined(texts) + " "
	_, rows := c.Table()
	for _, row := range rows {
		for _, cell := range row[1:] {
			if cell != "–" && !strings.Contains(all, " "+cell) {
				t.Errorf("the number %q of %q is not in the drawing", cell, row[0])
			}
		}
	}
}

// The length of each bar must be its value at one scale for all.
func TestBarsKeepScale(t *testing.T) {
	d := testDrawer(t)
	c := chart.Chart{Kind: chart.Columns, Categories: []string{"a", "b", "c"}, Series: []chart.Series{{Values: []float64{100, 50, 25}}}}
	drawing, err := d.Draw(&c)
	if err != nil {
		t.Fatal(err)
	}
	var heights []float64
	_, bars, _ := strings.Cut(drawing.Wide, `<path class="c1" d="`)
	bars, _, _ = strings.Cut(bars, `"`)
	for _, m := range regexp.MustCompile(`M[\d.]+ [\d.]+h[\d.]+v-([\d.]+)h`).FindAllStringSubmatch(bars, -1) {
		h, _ := strconv.ParseFloat(m[1], 64)
		heights = append(heights, h)
	}
	if len(heights) != 3 || math.Abs(heights[0]/heights[1]-2) > 0.01 || math.Abs(heights[0]/heights[2]-4) > 0.02 {
		t.Errorf("heights of columns for 100, 50, 25: %v\n%s", heights, drawing.Wide)
	}
}

// A true axis sets two weeks and six weeks apart as two to six.
func TestTrueAxis(t *testing.T) {
	d := testDrawer(t)
	c := chart.Chart{Kind: chart.Lines, Categories: []string{"20", "22", "28"}, Along: []float64{20, 22, 28},
		Series: []chart.Series{{Values: []float64{1, 2, 3}}}}
	drawing, err := d.Draw(&c)
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`class="s1 w" d="M([\d.]+) [\d.]+l([\d.]+)-[\d.]+l?h?([\d.]+)`).FindStringSubmatch(drawing.Wide)
	if m == nil {
		t.Fatalf("no line in %s", drawing.Wide)
	}
	first, _ := strconv.ParseFloat(m[2], 64)
	second, _ := strconv.ParseFloat(m[3], 64)
	if math.Abs(second/first-3) > 0.02 {
		t.Errorf("steps of 2 and 6 weeks are %g and %g wide", first, second)
	}
}

func TestChartsAreTheSameEachTime(t *testing.T) {
	first, second := testDrawer(t), drawer.New(script(t), drawer.Options{})
	var want []chart.Drawing
	for i := range chartCases {
		a, err := first.Draw(&chartCases[i].chart)
		if err != nil {
			t.Fatal(err)
		}
		want = append(want, a)
	}
	// The second draws in the opposite order: nothing may carry over from one
	// chart to the next.
	for i := len(chartCases) - 1; i >= 0; i-- {
		if b, err := second.Draw(&chartCases[i].chart); err != nil || b != want[i] {
			t.Errorf("%s was drawn differently the second time: %v", chartCases[i].name, err)
		}
	}
}

func TestChartIDsNeverClash(t *testing.T) {
	d := testDrawer(t)
	owner := map[string]string{}
	id := regexp.MustCompile(`id="([^"]+)"`)
	for _, c := range chartCases {
		drawing, err := d.Draw(&c.chart)
		if err != nil {
			t.Fatal(err)
		}
		again := drawing.Again(2)
		readDrawing(t, again.Wide)
		for i, svg := range []string{drawing.Wide, drawing.Narrow, again.Wide, again.Narrow} {
			for _, m := range id.FindAllStringSubmatch(svg, -1) {
				who := fmt.Sprint(c.name, i)
				if owner[m[1]] != "" {
					t.Errorf("the id %s is in %s and in %s", m[1], owner[m[1]], who)
				}
				owner[m[1]] = who
			}
		}
	}
	if len(owner) == 0 {
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
			c := chart.Chart{Kind: kind, Unit: some[2], Across: some[3], BaseName: some[4],
				Categories: some,
				Series:     []chart.Series{{Name: some[0] + "x", Values: values, Shown: some, At: values, LowName: some[0], HighName: some[2]}}}
			if kind == chart.Ranges {
				c.Series[0].Low, c.Series[0].High, c.Series[0].ShownLow = values, values, some
			}
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
			for _, svg := range []string{drawing.Wide, drawing.Narrow} {
				texts, width, _ := readDrawing(t, svg)
				for _, x := range texts {
					if x.x0 < -2 || x.x1 > width+2 {
						t.Errorf("%s: text %q leaves the drawing: %.0f to %.0f of %.0f", kind, x.text, x.x0, x.x1, width)
					}
				}
			}
		}
	}
}

func TestChartsRefused(t *testing.T) {
	two := []string{"a", "b"}
	one := func(kind chart.Kind, v ...float64) chart.Chart {
		return chart.Chart{Kind: kind, Categories: two, Series: []chart.Series{{Values: v, At: v, Low: v, High: v}}}
	}
	many := make([]chart.Series, 25)
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
		{"mark on a heat map", with(one(chart.Heat, 1, 2), func(c *chart.Chart) { c.Marks = []chart.Mark{{Name: "m"}} }), source.WrongType, "no axis of values"},
		{"25 series", chart.Chart{Kind: chart.Stack, Categories: two, Series: many}, source.OutOfRange, "can show 24 series at most, but has 25"},
		{"500 rows", chart.Chart{Kind: chart.Bars, Categories: hundred, Series: many[:1]}, source.OutOfRange, "can show 60 categories at most, but has 500"},
		{"sum that is wrong", chart.Chart{Kind: chart.Steps, Categories: []string{"in", "out", "left"}, Series: []chart.Series{{Values: []float64{10, -4, 5}}}, Sums: []int{2}}, source.OutOfRange, `"left" shows 5.00, but the steps before it add up to 6.00`},
		{"sum that is not there", with(one(chart.Steps, 1, 2), func(c *chart.Chart) { c.Sums = []int{2} }), source.OutOfRange, "no step 2"},
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

// What has no value, or bends what its kind can show, is never a mistake.
func TestBadNewsIsDrawn(t *testing.T) {
	d := testDrawer(t)
	nan, inf := math.NaN(), math.Inf(1)
	for _, kind := range chart.Kinds {
		for _, values := range [][]float64{{nan, nan}, {0, 0}, {1, inf}, {-inf, 1}, {1e200, 1}, {1, -2}, {-1, -2}, {nan, 3}} {
			for _, several := range []bool{false, values[0] == 1} {
				c := chart.Chart{Kind: kind, Decimals: -1, Categories: []string{"a", "b"}, Base: nan, Here: &chart.Place{At: nan},
					Series: []chart.Series{{Name: "n", Values: values, At: values, Low: values, High: values}}}
				if kind != chart.Ranges && kind != chart.Steps && kind != chart.Split {
					if several {
						c.Series = append(c.Series, chart.Series{Name: "m", Values: []float64{2, 1}, At: []float64{1, 2}})
					}
				}
				if kind != chart.Heat && kind != chart.Split {
					c.Marks = []chart.Mark{{Name: "limit", Value: nan}}
				}
				if c.Empty() {
					continue
				}
				drawing, err := d.Draw(&c)
				if err != nil {
					t.Errorf("%s of %v: %v", kind, values, err)
					continue
				}
				readDrawing(t, drawing.Wide)
				readDrawing(t, drawing.Narrow)
			}
		}
	}
	empty := chart.Chart{Kind: chart.Bars, Categories: []string{"a"}, Series: []chart.Series{{Values: []float64{nan}}}}
	if !empty.Empty() || empty.Check() == nil {
		t.Error("a chart without any value does not say so")
	}
}

func TestChartsAtTheLimit(t *testing.T) {
	d := testDrawer(t)
	long := strings.Repeat("Pastured broilers ", 600)
	solid := strings.Repeat("x", 10000)
	for _, kind := range chart.Kinds {
		for _, n := range []int{1, 13, 60, 500} {
			for _, name := range []string{"Jan", "Pastured broilers on the bank", long, solid} {
				if n > 13 && len(name) > 100 || n == 500 && name != "Jan" {
					continue
				}
				c := chart.Chart{Kind: kind, Unit: name}
				s := chart.Series{Name: name}
				for i := range n {
					c.Categories = append(c.Categories, name)
					v := float64((i*37)%101) * 1000
					s.Values = append(s.Values, v)
					s.At = append(s.At, float64(i))
					if kind == chart.Ranges {
						s.Low, s.High = append(s.Low, -v), append(s.High, 2*v)
					}
				}
				s.Values[0] = 17
				c.Series = []chart.Series{s}
				if kind != chart.Ranges && kind != chart.Steps && kind != chart.Split {
					c.Series = append(c.Series, s)
				}
				label := fmt.Sprintf("%s, %d categories, names of %d", kind, n, len(name))
				drawing, err := d.Draw(&c)
				var e *source.Error
				if errors.As(err, &e) {
					if n <= 60 {
						t.Errorf("%s: refused: %v", label, err)
					}
					continue
				}
				if err != nil {
					t.Fatalf("%s: %v", label, err)
				}
				for _, svg := range []string{drawing.Wide, drawing.Narrow} {
					texts, width, height := readDrawing(t, svg)
					for _, x := range texts {
						if x.x0 < -2 || x.x1 > width+2 || x.y0 < -2 || x.y1 > height+2 {
							t.Errorf("%s: text %.40q leaves the drawing: %.0f,%.0f to %.0f,%.0f of %.0f,%.0f", label, x.text, x.x0, x.y0, x.x1, x.y1, width, height)
							break
						}
					}
					if len(svg) > 200_000 {
						t.Errorf("%s: %d bytes", label, len(svg))
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
		{nan, 1, nan}, {-1, -2, -3}, {1e-9, 2e-9, 3e-9}, {1e15, -1e15, 0}, {5, 5, 5}, {1, 1 + 1e-12, 1}, {999999.5, 1000000, 1000000.5},
	} {
		for _, kind := range chart.Kinds {
			c := chart.Chart{Kind: kind, Decimals: -1, Categories: []string{"a", "b", "c"},
				Series: []chart.Series{{Name: "n", Values: append([]float64(nil), values...), At: values}}}
			if kind == chart.Ranges {
				c.Series[0].Low, c.Series[0].High = values, []float64{nan, 0, 1}
			}
			drawing, err := d.Draw(&c)
			if err != nil {
				t.Errorf("%s of %v: %v", kind, values, err)
				continue
			}
			for _, svg := range []string{drawing.Wide, drawing.Narrow} {
				texts, width, height := readDrawing(t, svg)
				if !t.Run(string(kind), func(t *testing.T) { checkLayout(t, texts, width, height) }) {
					t.Logf("of %v", values)
				}
			}
		}
	}
}

func TestChartCache(t *testing.T) {
	script := script(t)
	dir := filepath.Join(t.TempDir(), "drawn")
	cold := drawer.New(script, drawer.Options{CacheDir: dir})
	if cold.Started() {
		t.Error("the script was started before anything was drawn")
	}
	cases := chartCases[:9]
	want := map[string]chart.Drawing{}
	for _, c := range cases {
		drawing, err := cold.Draw(&c.chart)
		if err != nil {
			t.Fatal(err)
		}
		want[c.name] = drawing
	}
	if !cold.Started() {
		t.Error("charts were drawn without the script")
	}
	warm := drawer.New(script, drawer.Options{CacheDir: dir})
	for _, c := range cases {
		drawing, err := warm.Draw(&c.chart)
		if err != nil || drawing != want[c.name] {
			t.Errorf("%s from the cache: %v, same: %v", c.name, err, drawing == want[c.name])
		}
	}
	// What is only said of a chart is no part of its drawing.
	said := cases[0].chart
	said.Alt = "Said otherwise."
	if drawing, err := warm.Draw(&said); err != nil || drawing.Wide != want[cases[0].name].Wide || drawing.Alt != said.Alt {
		t.Errorf("another text alternative: %v", err)
	}
	if warm.Started() {
		t.Error("every chart was in the cache, yet the script was started")
	}

	// Entries that were cut short, changed or emptied are drawn anew.
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != len(cases) {
		t.Fatalf("%d entries for %d charts: %v", len(entries), len(cases), err)
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
	mended := drawer.New(script, drawer.Options{CacheDir: dir})
	for _, c := range cases {
		if drawing, err := mended.Draw(&c.chart); err != nil || drawing != want[c.name] {
			t.Errorf("%s from a spoilt cache: %v", c.name, err)
		}
	}
	healed := drawer.New(script, drawer.Options{CacheDir: dir})
	if _, err := healed.Draw(&cases[0].chart); err != nil || healed.Started() {
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
	blocked := drawer.New(script, drawer.Options{CacheDir: filepath.Join(keep, "under-a-file")})
	if drawing, err := blocked.Draw(&cases[0].chart); err != nil || drawing != want[cases[0].name] {
		t.Errorf("with a cache folder that can't be made: %v", err)
	}
}

func TestChartCacheKnowsEveryChange(t *testing.T) {
	d := testDrawer(t)
	base := chart.Chart{Kind: chart.Columns, Unit: "u", Categories: []string{"a", "b"}, Series: []chart.Series{{Name: "n", Values: []float64{1, 2}}}}
	seen := map[string]string{}
	for name, change := range map[string]func(*chart.Chart){
		"none":   func(*chart.Chart) {},
		"value":  func(c *chart.Chart) { c.Series = []chart.Series{{Name: "n", Values: []float64{1, 2.5}}} },
		"unit":   func(c *chart.Chart) { c.Unit = "other" },
		"kind":   func(c *chart.Chart) { c.Kind = chart.Bars },
		"mark":   func(c *chart.Chart) { c.Marks = []chart.Mark{{Name: "m", Value: 1}} },
		"lowest": func(c *chart.Chart) { c.Lowest = true },
		"number": func(c *chart.Chart) {
			c.Number = func(v float64, n int) string { return "n" + chart.Number(v, n) }
		},
	} {
		c := base
		change(&c)
		drawing, err := d.Draw(&c)
		if err != nil {
			t.Fatal(err)
		}
		if other := seen[drawing.Wide]; other != "" {
			t.Errorf("the drawings for %s and %s are the same", name, other)
		}
		seen[drawing.Wide] = name
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

// A text alternative says the finding first.
func TestTextAlternative(t *testing.T) {
	for _, c := range []struct {
		chart chart.Chart
		want  string
	}{
		{chart.Chart{Kind: chart.Columns, Unit: "hours", Categories: []string{"Feb", "Sep"}, Series: []chart.Series{{Values: []float64{46, 310}}},
			Marks: []chart.Mark{{Name: "What two people have", Value: 300}}},
			"Highest: Sep, 310; lowest: Feb, 46. What two people have 300. Columns, in hours. Feb 46; Sep 310."},
		{chart.Chart{Kind: chart.Split, Unit: "£", Categories: []string{"Feed", "Left"}, Series: []chart.Series{{Values: []float64{3, 1}}}},
			"Largest part: Feed, 75 %. A whole and its parts, in £. Feed 3; Left 1."},
		{chart.Chart{Kind: chart.Ranges, Base: 12, BaseName: "Net margin", Categories: []string{"Feed price"}, Series: []chart.Series{{Low: []float64{15}, High: []float64{9}}}},
			"Feed price moves it most: 15 at its low, 9 at its high. Ranges about a base line. Net margin 12; Feed price 15 to 9."},
	} {
		o, err := c.chart.Order()
		if err != nil || o.Alt != c.want {
			t.Errorf("got %q (%v), want %q", o.Alt, err, c.want)
		}
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

// A workbook's charts: the first build, a rebuild in which one chart changed,
// and a rebuild in which none did.
func BenchmarkChartsOfABuild(b *testing.B) {
	script := script(b)
	dir := b.TempDir()
	build := func(b *testing.B, dir string, price float64) {
		d := drawer.New(script, drawer.Options{CacheDir: dir})
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
