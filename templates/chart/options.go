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

// An Order is a chart that is ready to be drawn.
type Order struct {
	// JSON is all that the script needs. It is data alone: nothing in it is
	// ever run, so no text of a user can be.
	JSON          string
	Title, Alt    string
	Width, Height int // in CSS pixels
}

// Order lays a chart out. The error is a *source.Error without a place if it
// can't be drawn as asked.
func (c *Chart) Order() (*Order, error) {
	settled, err := c.settle()
	if err != nil {
		return nil, err
	}
	o, err := settled.lay()
	if err != nil {
		return nil, err
	}
	b, err := json.Marshal(o)
	if err != nil {
		return nil, fmt.Errorf("chart options: %w", err)
	}
	return &Order{JSON: string(b), Title: settled.Title, Alt: settled.altText(), Width: o.Width, Height: o.Height}, nil
}

// An order is what the script reads.
type order struct {
	Width  int            `json:"width"`
	Height int            `json:"height"`
	Option map[string]any `json:"option"`
	// Names are the texts of the legend, by the plain name that a series has
	// in the option.
	Names map[string]string `json:"names,omitempty"`
	// Ticks are the texts of the axis of values, from its lowest up.
	Ticks map[string]*tickTexts `json:"ticks,omitempty"`
	// Spans are lying bars drawn one by one (ranges, steps).
	Spans [][]span `json:"spans,omitempty"`
}

type tickTexts struct {
	Min   float64  `json:"min"`
	Step  float64  `json:"step"`
	Texts []string `json:"texts"`
}

// A span is a lying bar in one row, with a text beside either end.
type span struct {
	From  float64 `json:"from"`
	To    float64 `json:"to"`
	Fill  string  `json:"fill"`
	Left  string  `json:"left,omitempty"`
	Right string  `json:"right,omitempty"`
	Join  bool    `json:"join,omitempty"` // a thin line from To down to the next row
}

// layout collects a chart's option while it is put together.
type layout struct {
	*Chart
	order
	w, h                     int
	left, right, top, bottom float64 // of the plot, from the edges
	titles                   []any
	leaders                  []any // lines from points to names that stand away from them
	later                    []func(option map[string]any)
}

// add keeps a change to the option for when go-echarts has written it: for
// what its types can't say.
func (l *layout) add(path string, value any) {
	l.later = append(l.later, func(option map[string]any) { set(option, path, value) })
}

// lay lays out a settled chart.
func (c *Chart) lay() (*order, error) {
	l := &layout{Chart: c, w: c.Width, left: 1, right: 1, top: 6, bottom: 6}
	if l.w == 0 {
		l.w = 640
	}
	l.h = c.Height
	var base *charts.BaseConfiguration
	switch c.Kind {
	case Columns, Stack, Lines, Area:
		base = l.upright()
	case Bars, Ranges, Steps:
		base = l.rows()
	case Heat:
		base = l.heat()
	case Points:
		base = l.points()
	case Split:
		base = l.split()
	}
	option, err := generic(base.JSON())
	if err != nil {
		return nil, err
	}
	// Nothing hovers and nothing moves on paper.
	for _, key := range []string{"toolbox", "tooltip", "title", "color"} {
		delete(option, key)
	}
	if base.Legend.Data == nil {
		delete(option, "legend")
	}
	l.finish(option)
	l.order.Option = option
	l.order.Width, l.order.Height = l.w, l.h
	return &l.order, nil
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

// set puts a value at a path of keys and indexes such as "series.0.label.distance".
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
				panic("chart: chart option has no " + path)
			}
			if last {
				node[n] = value
				return
			}
			here = node[n]
		default:
			panic("chart: chart option has no " + path)
		}
	}
}

func (l *layout) finish(option map[string]any) {
	set(option, "animation", false)
	set(option, "textStyle", map[string]any{"fontFamily": "inherit", "fontSize": TextSize, "color": StandIn("ct")})
	set(option, "grid", map[string]any{
		"left": l.left, "right": l.right, "top": l.top, "bottom": l.bottom,
		"containLabel": false, "outerBoundsMode": "none",
	})
	if len(l.titles) > 0 {
		set(option, "title", l.titles)
	}
	list, _ := option["series"].([]any)
	for i := range list {
		at := fmt.Sprintf("series.%d.", i)
		set(option, at+"silent", true)
		set(option, at+"animation", false)
		set(option, at+"clip", false)
		set(option, at+"emphasis", map[string]any{"disabled": true})
	}
	axes, _ := option["yAxis"].([]any)
	for i := range axes {
		set(option, fmt.Sprintf("yAxis.%d.axisTick", i), map[string]any{"show": false})
	}
	for _, change := range l.later {
		change(option)
	}
}

func px(v float64) string { return strconv.Itoa(int(math.Round(v))) }

// plotWidth is the width of the plot.
func (l *layout) plotWidth() float64 { return float64(l.w) - l.left - l.right }

// write puts a line of text at a place of the drawing.
func (l *layout) write(text string, x, y float64, align, ink string) {
	l.titles = append(l.titles, map[string]any{
		"text": text, "left": x, "top": y, "padding": 0, "textAlign": align, "silent": true,
		"textStyle": map[string]any{
			"fontSize": TextSize, "fontWeight": "normal", "fontFamily": "inherit", "color": StandIn(ink),
			"LineHeight": LineHeight,
		},
	})
}

// writeUnit puts the unit of the values at the top left.
func (l *layout) writeUnit() {
	if l.Unit == "" {
		return
	}
	lines, _ := WrapText(l.Unit, float64(l.w)-2, 2)
	for _, line := range lines {
		l.write(line, 0, l.top-4, "left", "cm")
		l.top += LineHeight
	}
	l.top += 4
}

// writeLegend puts a key of the series at the top, in rows.
func (l *layout) writeLegend(base *charts.BaseConfiguration, names []string, icon string) {
	const box, gap = 18, 18
	l.Names = map[string]string{}
	var data []any
	x, rows := 0.0, 1
	for i, name := range names {
		key := fmt.Sprintf("s%d", i)
		text := shorten(name, float64(l.w)-box-30)
		w := box + 5 + TextWidth(text, TextSize) + gap
		if x > 0 && x+w-gap > float64(l.w)-4 {
			data = append(data, "\n")
			x = 0
			rows++
		}
		x += w
		l.Names[key] = text
		data = append(data, map[string]any{"name": key})
	}
	base.Legend = opts.Legend{
		Show: opts.Bool(true), Type: "plain", Left: "0", Top: px(l.top - 4), Padding: 0,
		Orient: "horizontal", Icon: icon, ItemWidth: box, ItemHeight: 10, Data: data,
		SelectedMode: "false",
		TextStyle:    &opts.TextStyle{Color: StandIn("ct"), FontSize: TextSize, FontFamily: "inherit"},
	}
	l.top += float64(rows)*22 + 2
}

func seriesRole(i int) string { return fmt.Sprintf("c%d", i%len(seriesPalette)+1) }

// decalFor is the hatching of a series. The palette's neighbours differ in
// lightness; hatching tells apart the dark ones from each other, and the light
// ones, when a page is printed in grey. Two series need none.
func decalFor(i int) any {
	lines := func(rotation float64) any {
		return map[string]any{
			"symbol": "rect", "symbolSize": 1, "color": StandIn("cp"), "rotation": rotation,
			"dashArrayX": []any{1, 0}, "dashArrayY": []any{0.8, 5},
		}
	}
	switch i % len(seriesPalette) / 2 {
	case 1:
		return lines(math.Pi / 4)
	case 2:
		return map[string]any{
			"symbol": "circle", "symbolSize": 0.75, "color": StandIn("cp"),
			"dashArrayX": []any{[]any{4, 4}, []any{0, 4, 4, 0}}, "dashArrayY": []any{4, 0},
		}
	case 3:
		return lines(0)
	}
	return nil
}

// extent is the lowest and highest value that the axis of values must hold.
func (l *layout) extent() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	add := func(v float64) {
		if !math.IsNaN(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	if l.Kind == Stack || l.Kind == Area && len(l.Series) > 1 {
		for j := range l.Categories {
			up, down := 0.0, 0.0
			for _, s := range l.Series {
				if v := s.Values[j]; v > 0 {
					up += v
				} else if v < 0 {
					down += v
				}
			}
			add(up)
			add(down)
		}
	} else if l.Kind != Ranges && l.Kind != Steps {
		for _, s := range l.Series {
			for _, v := range s.Values {
				add(v)
			}
		}
	}
	for _, m := range l.Marks {
		add(m.Value)
	}
	for _, row := range l.Spans {
		for _, s := range row {
			add(s.From)
			add(s.To)
		}
	}
	// A bar's length means nothing unless it starts at zero; a line may start
	// higher when all of it lies far from zero.
	lineLike := l.Kind == Lines || l.Kind == Points
	if l.Kind != Ranges && !(lineLike && low > 0.6*high) && !(lineLike && high < 0.6*low) {
		add(0)
	}
	return low, high
}

// tickTexts gives the axis ("xAxis" or "yAxis") the numbers of a scale.
func (l *layout) tickTexts(axis string, s scale) []string {
	var texts []string
	for _, v := range s.ticks() {
		texts = append(texts, cleanText(l.Number(v, s.decimals)))
	}
	l.axisTexts(axis, s.min, s.step, texts)
	l.add(axis+".0.interval", s.step)
	return texts
}

func (l *layout) axisTexts(axis string, from, step float64, texts []string) {
	if l.Ticks == nil {
		l.Ticks = map[string]*tickTexts{}
	}
	l.Ticks[axis] = &tickTexts{Min: from, Step: step, Texts: texts}
}

// categoryTexts gives the axis the names of the categories, all of them.
func (l *layout) categoryTexts(axis string, texts []string) {
	l.axisTexts(axis, 0, 1, texts)
	l.add(axis+".0.axisLabel.interval", 0)
	l.add(axis+".0.axisLabel.LineHeight", LineHeight)
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

func widest(texts []string) float64 {
	w := 0.0
	for _, t := range texts {
		w = max(w, TextWidth(t, TextSize))
	}
	return w
}

func line(name string, width float32) *opts.LineStyle {
	return &opts.LineStyle{Color: StandIn(name), Width: width}
}

func axisLabel(ink string) *opts.AxisLabel {
	return &opts.AxisLabel{Show: opts.Bool(true), Color: StandIn(ink), FontSize: TextSize,
		ShowMinLabel: opts.Bool(true), ShowMaxLabel: opts.Bool(true), HideOverlap: opts.Bool(false)}
}

// valueAxisX and valueAxisY are axes of values: numbers and quiet grid lines,
// or nothing at all where every value is written beside its bar.
func valueAxisX(s scale, shown bool) opts.XAxis {
	a := opts.XAxis{Type: "value", Min: s.min, Max: s.max, Show: opts.Bool(shown),
		AxisLine:  &opts.AxisLine{Show: opts.Bool(false)},
		AxisTick:  &opts.AxisTick{Show: opts.Bool(false)},
		AxisLabel: axisLabel("cm"), SplitLine: &opts.SplitLine{Show: opts.Bool(shown), LineStyle: line("cg", 1)}}
	return a
}

func valueAxisY(s scale, shown bool) opts.YAxis {
	return opts.YAxis{Type: "value", Min: s.min, Max: s.max, Show: opts.Bool(shown),
		AxisLine:  &opts.AxisLine{Show: opts.Bool(false)},
		AxisLabel: axisLabel("cm"), SplitLine: &opts.SplitLine{Show: opts.Bool(shown), LineStyle: line("cg", 1)}}
}

// number is a value of a series as the script reads it; a gap is "-".
func number(v float64) any {
	if math.IsNaN(v) {
		return "-"
	}
	return v
}

// item is a value of a series with its label, or without one if text is empty.
func item(value any, text, position, ink string) map[string]any {
	d := map[string]any{"value": value}
	if text != "" {
		d["shown"] = text
		d["label"] = map[string]any{"show": true, "position": position, "color": StandIn(ink),
			"fontSize": TextSize, "distance": 4}
	}
	return d
}

// halo puts a rim of paper round the label of an item, so that it reads on
// top of lines.
func halo(d map[string]any) {
	if label, ok := d["label"].(map[string]any); ok {
		label["textBorderColor"] = StandIn("cp")
		label["textBorderWidth"] = 3
	}
}

// plate puts a plain plate of a colour under the label of an item, so that it
// reads on top of hatching.
func plate(d map[string]any, colour string) {
	if label, ok := d["label"].(map[string]any); ok {
		label["backgroundColor"] = StandIn(colour)
		label["padding"] = []any{1, 3}
	}
}

func (c *Chart) seriesNames() []string {
	names := make([]string, len(c.Series))
	for i, s := range c.Series {
		names[i] = s.Name
	}
	return names
}

func seriesKey(i int) string { return fmt.Sprintf("s%d", i) }

// bottomLabels are the names of the categories along the bottom: all of them
// if they fit, wrapped or slanting, otherwise every so many.
type bottomLabels struct {
	texts  []string
	rotate bool
	height float64
}

func (l *layout) bottomLabels(slot float64) bottomLabels {
	const slantRoom, mostSlant = 130, 170 // how long a slanting name may be, and where it doesn't reach the left edge
	n := len(l.Categories)
	b := bottomLabels{texts: make([]string, n), height: LineHeight}
	fits := true
	for i, name := range l.Categories {
		lines, broken := WrapText(name, slot-6, 3)
		if fits = !broken; !fits {
			break
		}
		b.texts[i] = strings.Join(lines, "\n")
		b.height = max(b.height, float64(len(lines))*LineHeight)
	}
	if fits {
		return b
	}
	longest := widest(l.Categories)
	short := n > 16 && longest <= 60 // a long run of months or years
	if slot >= 17 && !short {
		b.rotate = true
		w := 0.0
		for i, name := range l.Categories {
			toEdge := (l.left + (float64(i)+0.5)*slot - LineHeight) * math.Sqrt2
			if l.Kind == Heat {
				toEdge = 0 // its cells don't fill the slots
			}
			b.texts[i] = shorten(name, min(mostSlant, max(slantRoom, toEdge)))
			w = max(w, TextWidth(b.texts[i], TextSize))
		}
		b.height = (w + LineHeight) * math.Sqrt2 / 2
		return b
	}
	every := int(math.Ceil((min(longest, 100) + 10) / slot))
	if n > 24 {
		// Steps that keep the same month under each label.
		for _, round := range []int{2, 3, 4, 6, 12, 24, 36, 60, 120} {
			if round >= every {
				every = round
				break
			}
		}
	}
	b.height = LineHeight
	for i, name := range l.Categories {
		b.texts[i] = ""
		if i%every != 0 {
			continue
		}
		// A label is centred on its place and must not leave the drawing.
		toLeft, toRight := l.left+(float64(i)+0.5)*slot, l.right+(float64(n-i)-0.5)*slot
		room := min(float64(every)*slot-8, 2*min(toLeft, toRight)-2)
		if i > 0 && TextWidth(name, TextSize) > room && room < 40 {
			continue
		}
		b.texts[i] = shorten(name, room)
	}
	return b
}
