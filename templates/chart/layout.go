package chart

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"
)

// The widths that each chart is laid out for, in CSS pixels. A page shows the
// wide drawing where it has at least wideFrom of room (see CSS), which keeps
// texts of textSize at 12 pixels or more; the narrow one down to 265.
const (
	wideWidth   = 672
	narrowWidth = 286
)

// An Order is a chart that is ready to be drawn, at both widths.
type Order struct {
	Wide, Narrow *Sheet
	Alt          string
	// Told says that the wide drawing shows every number as text, so that paper
	// needs no table beneath it.
	Told bool
}

// A Sheet is a drawing to be made. The script draws what stands for values:
// bars, lines, areas, points, cells, and their axes. Words, and the lines and
// boxes that belong to words, are placed here, since their widths are known
// here; Finish writes them. All of it is data: nothing in it is ever run.
type Sheet struct {
	Width  int            `json:"width"`
	Height int            `json:"height"`
	Option map[string]any `json:"option"`
	Spans  [][]span       `json:"spans,omitempty"` // lying bars drawn one by one
	Words  []word         `json:"words,omitempty"`
	Shapes []shape        `json:"shapes,omitempty"`
	Under  []shape        `json:"under,omitempty"`  // beneath the values
	Cells  bool           `json:"cells,omitempty"`  // nothing overlaps
	Parted bool           `json:"parted,omitempty"` // areas of several series: print hatches them
}

// A span is a lying bar: from one value to another, at a height in pixels.
type span struct {
	From float64 `json:"from"`
	To   float64 `json:"to"`
	Y    float64 `json:"y"` // of its middle
	High float64 `json:"high"`
	Fill string  `json:"fill"`
	Join float64 `json:"join,omitempty"` // a thin line from To down to that height
	Edge bool    `json:"edge,omitempty"` // a rim of paper, to part it from the next
}

// A word is a line of text: X is where it begins, ends or has its middle, Y the
// middle of its height.
type word struct {
	Text   string  `json:"text"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Anchor string  `json:"anchor,omitempty"` // "", middle or end
	Ink    string  `json:"ink"`
	Halo   bool    `json:"halo,omitempty"` // a rim of paper, to read on top of lines
	Bold   bool    `json:"bold,omitempty"`
}

// A shape is a path of the page's own: a mark's line, a swatch, a leader.
type shape struct {
	Class string `json:"class"` // of a role, and k for a dashed line, l for a thin one
	Path  string `json:"path"`
}

// A box is a rectangle that something takes up.
type box struct{ x0, y0, x1, y1 float64 }

func (b box) hits(o box) bool {
	return b.x1 > o.x0 && b.x0 < o.x1 && b.y1 > o.y0 && b.y0 < o.y1
}

// A layout is a sheet while it is put together.
type layout struct {
	*Chart
	Sheet
	narrow                   bool
	w, h                     float64
	left, right, top, bottom float64 // of the plot, from the edges
	taken                    []box   // what words must not lie on
	told                     bool
	grids                    []any
	later                    []func(option map[string]any)
}

// Order lays a chart out. The error is a *source.Error without a place if it
// can't be drawn as asked.
func (c *Chart) Order() (*Order, error) {
	settled, err := c.settle()
	if err != nil {
		return nil, err
	}
	o := &Order{Alt: settled.altText()}
	if o.Wide, o.Told, err = settled.lay(wideWidth); err != nil {
		return nil, err
	}
	o.Narrow, _, err = settled.lay(narrowWidth)
	return o, err
}

// lay lays out a settled chart at a width.
func (c *Chart) lay(width float64) (*Sheet, bool, error) {
	mine := *c
	l := &layout{Chart: &mine, w: width, narrow: width < 480, left: 1, right: 1, top: 2, bottom: 6}
	base := kinds[c.Kind].lay(l)
	option, err := generic(base.JSON())
	if err != nil {
		return nil, false, err
	}
	for _, key := range []string{"toolbox", "tooltip", "title", "color", "legend"} {
		delete(option, key)
	}
	l.finish(option)
	l.Sheet.Option = option
	l.Sheet.Width, l.Sheet.Height = int(l.w), int(math.Ceil(l.h))
	return &l.Sheet, l.told, nil
}

// generic turns go-echarts' typed options into plain maps and lists, so that
// what its types lack can be added.
func generic(typed any) (map[string]any, error) {
	b, err := json.Marshal(typed)
	if err != nil {
		return nil, fmt.Errorf("chart options: %w", err)
	}
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	var m map[string]any
	if err := d.Decode(&m); err != nil {
		return nil, fmt.Errorf("chart options: %w", err)
	}
	return m, nil
}

// add keeps a change to the option for when go-echarts has written it: for
// what its types can't say.
func (l *layout) add(path string, value any) {
	l.later = append(l.later, func(option map[string]any) { set(option, path, value) })
}

// set puts a value at a path of keys and indexes such as "series.0.step".
func set(at map[string]any, path string, value any) {
	keys := strings.Split(path, ".")
	var here any = at
	for i, key := range keys {
		last := i == len(keys)-1
		switch node := here.(type) {
		case map[string]any:
			if last {
				node[key] = value
				return
			}
			next, ok := node[key]
			if !ok || next == nil {
				next = map[string]any{}
				node[key] = next
			}
			here = next
		case []any:
			n, err := strconv.Atoi(key)
			if err != nil || n >= len(node) {
				panic("chart: the option has no " + path)
			}
			if last {
				node[n] = value
				return
			}
			here = node[n]
		default:
			panic("chart: the option has no " + path)
		}
	}
}

func (l *layout) finish(option map[string]any) {
	set(option, "animation", false)
	if l.grids == nil {
		l.grids = []any{l.grid(box{l.left, l.top, l.w - l.right, l.h - l.bottom})}
	}
	set(option, "grid", l.grids)
	list, _ := option["series"].([]any)
	for i := range list {
		at := fmt.Sprintf("series.%d.", i)
		set(option, at+"silent", true)
		set(option, at+"animation", false)
		set(option, at+"clip", false)
		set(option, at+"emphasis", map[string]any{"disabled": true})
	}
	for _, key := range []string{"xAxis", "yAxis"} {
		axes, _ := option[key].([]any)
		for i := range axes {
			set(option, fmt.Sprintf("%s.%d.axisTick", key, i), map[string]any{"show": false})
		}
	}
	for _, change := range l.later {
		change(option)
	}
}

// grid is a plot at a place of the drawing.
func (l *layout) grid(b box) any {
	return map[string]any{"left": b.x0, "top": b.y0, "right": l.w - b.x1, "bottom": l.h - b.y1,
		"containLabel": false, "outerBoundsMode": "none"}
}

func (l *layout) plotWidth() float64  { return l.w - l.left - l.right }
func (l *layout) plotHeight() float64 { return l.h - l.top - l.bottom }

// write puts a line of text at a place and keeps others off it.
func (l *layout) write(text string, x, y float64, anchor, ink string) *word {
	if text == "" {
		return &word{}
	}
	l.Words = append(l.Words, word{Text: text, X: x, Y: y, Anchor: anchor, Ink: ink})
	l.taken = append(l.taken, wordBox(text, x, y, anchor))
	return &l.Words[len(l.Words)-1]
}

func wordBox(text string, x, y float64, anchor string) box {
	w := TextWidth(text, TextSize)
	switch anchor {
	case "middle":
		x -= float64(w / 2)
	case "end":
		x -= w
	}
	return box{x, y - LineHeight/2, x + w, y + LineHeight/2}
}

// free tells whether nothing lies in a box, which must lie in the drawing.
func (l *layout) free(b box) bool {
	if b.x0 < 0 || b.y0 < 0 || b.x1 > l.w || b.y1 > l.h {
		return false
	}
	for _, t := range l.taken {
		if b.hits(t) {
			return false
		}
	}
	return true
}

func (l *layout) draw(class, format string, args ...any) {
	for i, a := range args {
		if v, ok := a.(float64); ok {
			args[i] = short(v)
		}
	}
	l.Shapes = append(l.Shapes, shape{class, fmt.Sprintf(format, args...)})
}

// short writes a coordinate to a tenth of a pixel.
func short(v float64) string {
	text := strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
	if text == "-0" {
		return "0"
	}
	return text
}

// swatch is a small box of a colour, its left end and middle at a place.
func (l *layout) swatch(role string, x, y float64) {
	l.draw(role, "M%v %vh12v10h-12z", x, y-5)
}

// lineSwatch is a short piece of a series' line.
func (l *layout) lineSwatch(i int, x, y float64) {
	l.draw(strokeRole(i)+" w"+dashOf(i), "M%v %vh18", x, y)
}

// writeUnit puts the unit of the values at the top left.
func (l *layout) writeUnit() {
	if l.Unit == "" {
		return
	}
	lines, _ := WrapText(l.Unit, l.w-2, 2)
	for _, line := range lines {
		l.write(line, 0, l.top+LineHeight/2, "", "cm")
		l.top += LineHeight
	}
	l.top += 4
}

// writeKey puts a key of the series at the top, in rows.
func (l *layout) writeKey(names []string, lines bool) {
	width := 12.0
	if lines {
		width = 18
	}
	const gap = 16
	x, y := 0.0, l.top+LineHeight/2
	for i, name := range names {
		text := shorten(name, l.w-width-8)
		w := width + 5 + TextWidth(text, TextSize)
		if x > 0 && x+w > l.w {
			x, y = 0, y+20
		}
		if lines {
			l.lineSwatch(i, x, y)
		} else {
			l.swatch(seriesRole(i), x, y)
		}
		l.write(text, x+width+5, y, "", "ct")
		x += w + gap
	}
	l.top = y + LineHeight/2 + 6
}

func seriesRole(i int) string { return fmt.Sprintf("c%d", i%len(seriesPalette)+1) }

func strokeRole(i int) string { return fmt.Sprintf("s%d", i%len(seriesPalette)+1) }

// dashOf is the class of a series' dashes.
func dashOf(i int) string { return []string{"", " d1", "", " d3"}[i%4] }

func inkRole(i int) string { return fmt.Sprintf("i%d", i%len(seriesPalette)+1) }

func (c *Chart) seriesNames() []string {
	names := make([]string, len(c.Series))
	for i, s := range c.Series {
		names[i] = s.Name
	}
	return names
}

func seriesKey(i int) string { return "s" + strconv.Itoa(i) }

func widest(texts []string) float64 {
	w := 0.0
	for _, t := range texts {
		w = max(w, TextWidth(t, TextSize))
	}
	return w
}

func line(class string, width float32) *opts.LineStyle {
	return &opts.LineStyle{Color: StandIn(class), Width: width}
}

// indexes are the categories as the script knows them: plain numbers, so that
// equal or odd names can't disturb it.
func indexes(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = strconv.Itoa(i)
	}
	return out
}

// number is a value of a series as the script reads it; a gap is "-".
func number(v float64) any {
	if math.IsNaN(v) {
		return "-"
	}
	return v
}

func valueAxisX(s scale, lines bool) opts.XAxis {
	return opts.XAxis{Type: "value", Min: s.min, Max: s.max,
		AxisLine:  &opts.AxisLine{Show: opts.Bool(false)},
		AxisLabel: &opts.AxisLabel{Show: opts.Bool(false)}, SplitLine: &opts.SplitLine{Show: opts.Bool(lines), LineStyle: line("cg", 1)}}
}

func valueAxisY(s scale, lines bool) opts.YAxis {
	return opts.YAxis{Type: "value", Min: s.min, Max: s.max,
		AxisLine:  &opts.AxisLine{Show: opts.Bool(false)},
		AxisLabel: &opts.AxisLabel{Show: opts.Bool(false)}, SplitLine: &opts.SplitLine{Show: opts.Bool(lines), LineStyle: line("cg", 1)}}
}

func categoryAxisX(n int, drawn bool) opts.XAxis {
	return opts.XAxis{Type: "category", Data: indexes(n),
		AxisLine:  &opts.AxisLine{Show: opts.Bool(drawn), OnZero: opts.Bool(false), LineStyle: line("ca", 1)},
		AxisLabel: &opts.AxisLabel{Show: opts.Bool(false)}, SplitLine: &opts.SplitLine{Show: opts.Bool(false)}}
}

func categoryAxisY(n int, drawn bool) opts.YAxis {
	return opts.YAxis{Type: "category", Data: indexes(n), Inverse: opts.Bool(true),
		AxisLine:  &opts.AxisLine{Show: opts.Bool(drawn), OnZero: opts.Bool(false), LineStyle: line("ca", 1)},
		AxisLabel: &opts.AxisLabel{Show: opts.Bool(false)}, SplitLine: &opts.SplitLine{Show: opts.Bool(false)}}
}

func barSeries(i int) charts.SingleSeries {
	return charts.SingleSeries{Name: seriesKey(i), Type: "bar", ItemStyle: &opts.ItemStyle{Color: StandIn(seriesRole(i))}}
}
