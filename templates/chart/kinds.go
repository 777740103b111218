package chart

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"
)

// The plot of a chart keeps this height at least, whatever its labels take.
const leastPlot = 90

// upright lays out the kinds that run from left to right over the categories.
func (l *layout) upright() *charts.BaseConfiguration {
	n, many := len(l.Categories), len(l.Series) > 1
	isBar := l.Kind == Columns || l.Kind == Stack
	base := &charts.NewLine().BaseConfiguration
	if isBar {
		base = &charts.NewBar().BaseConfiguration
	}

	l.writeUnit()
	// A few lines are named at their right end, if the names leave room.
	names := l.seriesNames()
	endNames := l.Kind == Lines && many && widest(names) <= 0.28*float64(l.w)
	if endNames {
		l.right = widest(names) + 14
	} else if many {
		icon := "rect"
		if l.Kind == Lines {
			icon = ""
		}
		l.writeLegend(base, names, icon)
	}

	// Few columns carry their own values and then need no axis of values.
	low, high := l.extent()
	direct := l.Kind == Columns && n*len(l.Series) <= 14
	if direct {
		room := l.plotWidth() / float64(n) * 0.96
		if many {
			room = l.plotWidth() / float64(n) * 0.72 / float64(len(l.Series))
		}
		for _, s := range l.Series {
			direct = direct && widest(s.Shown) <= room
		}
	}
	s := niceScale(low, high, 5)
	if direct {
		s.min, s.max = low, high
		if low == high {
			s.max++
		}
		l.top += LineHeight + 2
	} else {
		l.left = widest(l.tickTexts("yAxis", s)) + 12
		l.top += 6
	}
	l.markRoom(s)

	labels := l.bottomLabels(l.plotWidth() / float64(n))
	if labels.rotate {
		// A slanting label reaches to the left of its column.
		reach := 0.0
		for i, t := range labels.texts {
			slot := l.plotWidth() / float64(n)
			reach = max(reach, TextWidth(t, TextSize)*math.Sqrt2/2-(float64(i)+0.5)*slot+8)
		}
		l.left = max(l.left, reach)
	}
	l.bottom = labels.height + 12
	if low < 0 && direct {
		l.bottom += LineHeight + 2
	}
	least := int(l.top + l.bottom + leastPlot)
	switch {
	case l.h == 0:
		l.h = max(300, least+60)
	default:
		l.h = max(l.h, least)
	}

	x := opts.XAxis{Type: "category", Data: indexes(n), AxisTick: &opts.AxisTick{Show: opts.Bool(false)},
		AxisLine:  &opts.AxisLine{Show: opts.Bool(s.min >= 0), OnZero: opts.Bool(false), LineStyle: line("ca", 1)},
		AxisLabel: axisLabel("ct"), SplitLine: &opts.SplitLine{Show: opts.Bool(false)}}
	x.AxisLabel.Margin = l.bottom - labels.height - 4
	base.XAxisList = []opts.XAxis{x}
	base.YAxisList = []opts.YAxis{valueAxisY(s, !direct)}
	l.categoryTexts("xAxis", labels.texts)
	l.add("xAxis.0.boundaryGap", true)
	l.add("xAxis.0.z", 3) // over the feet of the columns
	if labels.rotate {
		l.add("xAxis.0.axisLabel.rotate", 45)
	}

	plot := float64(l.h) - l.top - l.bottom
	for i, row := range l.Series {
		one := charts.SingleSeries{Name: seriesKey(i), Type: "bar", ItemStyle: &opts.ItemStyle{Color: StandIn(seriesRole(i))}}
		at := fmt.Sprintf("series.%d.", i)
		if l.Kind == Stack || l.Kind == Area && many {
			one.Stack = "all"
		}
		if d := decalFor(i); d != nil && many && l.Kind != Lines {
			l.add(at+"itemStyle.decal", d)
		}
		if isBar {
			one.BarCategoryGap, one.BarGap = "26%", "8%"
			if len(l.Series) == 1 || l.Kind == Stack {
				one.BarMaxWidth = "72"
			}
			if l.Kind == Stack {
				one.ItemStyle.BorderColor, one.ItemStyle.BorderWidth = StandIn("cp"), 1
			}
		} else {
			l.styleLine(&one, i, n, many)
		}
		if endNames {
			l.add(at+"endLabel", map[string]any{"show": true, "distance": 8, "color": StandIn("ct"), "fontSize": TextSize})
			l.add(at+"labelLayout", map[string]any{"moveOverlap": "shiftY"})
		}
		barWidth := min(72, l.plotWidth()/float64(n)*0.74)
		var data []any
		for j, v := range row.Values {
			text, position, ink := "", "top", "ct"
			switch {
			case direct:
				text = row.Shown[j]
				if v < 0 {
					position = "bottom"
				}
			case l.Kind == Stack && n <= 8 && math.Abs(v)/(s.max-s.min)*plot >= LineHeight+3 &&
				TextWidth(row.Shown[j], TextSize)+6 <= barWidth:
				text, position, ink = row.Shown[j], "inside", inkRole(i)
			}
			d := item(number(v), text, position, ink)
			if direct {
				halo(d)
			}
			if position == "inside" && decalFor(i) != nil {
				plate(d, seriesRole(i))
			}
			if !isBar && alone(row.Values, j) {
				// A point between two gaps has no line to be seen by.
				d["symbol"], d["symbolSize"] = one.Symbol, 7
				if l.Kind == Area || n > mostMarkers {
					l.add(at+"showSymbol", true)
				}
			} else if !isBar && (l.Kind == Area || n > mostMarkers) {
				d["symbol"] = "none"
			}
			data = append(data, d)
		}
		one.Data = data
		base.MultiSeries = append(base.MultiSeries, one)
	}
	if endNames {
		l.Names = map[string]string{}
		for i, name := range names {
			l.Names[seriesKey(i)] = name
		}
	}
	l.markLines("yAxis", s)
	return base
}

// mostMarkers is how many points of a line are marked one by one.
const mostMarkers = 24

func (l *layout) styleLine(one *charts.SingleSeries, i, n int, many bool) {
	one.Type = "line"
	one.Symbol = []string{"circle", "rect", "triangle", "diamond"}[i%4]
	one.SymbolSize = 7
	one.ShowSymbol = opts.Bool(l.Kind == Lines && n <= mostMarkers)
	one.LineStyle = &opts.LineStyle{Color: StandIn(seriesRole(i)), Width: 2,
		Type: []string{"solid", "dashed", "solid", "dotted"}[i%4]}
	if l.Kind != Area {
		return
	}
	one.LineStyle.Type = "solid"
	opacity := float32(1)
	if many {
		one.LineStyle.Color, one.LineStyle.Width = StandIn("cp"), 1
	} else {
		opacity = 0.3
	}
	one.AreaStyle = &opts.AreaStyle{Color: StandIn(seriesRole(i)), Opacity: &opacity}
}

func inkRole(i int) string { return fmt.Sprintf("i%d", i%len(seriesPalette)+1) }

// alone tells whether a value stands between two gaps.
func alone(values []float64, j int) bool {
	gap := func(k int) bool { return k < 0 || k >= len(values) || math.IsNaN(values[k]) }
	return !math.IsNaN(values[j]) && gap(j-1) && gap(j+1)
}

func (m Mark) text() string { return strings.TrimSpace(m.Name + " " + m.Shown) }

// markRoom keeps room above the plot for the text of a mark near its top.
func (l *layout) markRoom(s scale) {
	if l.markAbove() {
		l.write(shorten("\u2013 \u2013 "+l.Marks[0].text(), float64(l.w)-4), float64(l.w), l.top-2, "right", "ct")
		l.top += LineHeight + 4
		return
	}
	for _, m := range l.Marks {
		if m.Value > s.max-0.1*(s.max-s.min) {
			l.top += LineHeight
			return
		}
	}
}

// markAbove says that the name of the only mark stands above the plot, where
// bars that are higher than it don't hide it.
func (l *layout) markAbove() bool {
	return len(l.Marks) == 1 && (l.Kind == Stack || l.Kind == Columns)
}

// markLines draws the marks, the base line of ranges, and a line at zero
// where values lie on both sides of it, on the axis of values ("xAxis" or
// "yAxis"). Along rows the marks have their names above the plot.
func (l *layout) markLines(axis string, s scale) {
	quiet := map[string]any{"show": false}
	var lines []any
	add := func(at float64, ink string, width float64, kind any, text string, label any) {
		lines = append(lines, map[string]any{axis: at, "shown": text, "label": label,
			"lineStyle": map[string]any{"color": StandIn(ink), "width": width, "type": kind}})
	}
	switch {
	case l.Kind == Ranges:
		add(l.Base, "ct", 1.25, "solid", "", quiet)
	case s.min < 0 && s.max >= 0:
		add(0, "ca", 1, "solid", "", quiet)
	}
	for _, m := range l.Marks {
		label := quiet
		if axis == "yAxis" && !l.markAbove() {
			label = map[string]any{"show": true, "position": "insideEndTop", "distance": 3, "color": StandIn("ct"),
				"fontSize": TextSize, "textBorderColor": StandIn("cp"), "textBorderWidth": 3}
		}
		add(m.Value, "ct", 1.25, []any{6, 3}, shorten(m.text(), l.plotWidth()-8), label)
	}
	lines = append(lines, l.leaders...)
	if lines != nil {
		z := 5 // over the bars
		if axis == "xAxis" || l.Kind == Columns {
			z = 2 // under the values beside the bars
		}
		l.add("series.0.markLine", map[string]any{"silent": true, "z": z, "animation": false, "symbol": "none", "data": lines})
	}
}

// rows lays out the kinds with a row for each category.
func (l *layout) rows() *charts.BaseConfiguration {
	n := len(l.Categories)
	base := &charts.NewBar().BaseConfiguration
	if l.Kind != Bars {
		base = &charts.NewCustom().BaseConfiguration
	}

	// A text beside a bar may take this much of the width.
	for i := range l.Series {
		for _, texts := range [][]string{l.Series[i].Shown, l.Series[i].ShownLow, l.Series[i].ShownHigh} {
			for j := range texts {
				texts[j] = shorten(texts[j], 0.22*float64(l.w))
			}
		}
	}
	names := make([]string, n)
	most, room, nameWidth := 1, 0.36*float64(l.w), 0.0
	for i, name := range l.Categories {
		lines, _ := WrapText(name, room, 2)
		names[i] = strings.Join(lines, "\n")
		most = max(most, len(lines))
		for _, t := range lines {
			nameWidth = max(nameWidth, TextWidth(t, TextSize))
		}
	}
	l.left = nameWidth + 12
	l.writeUnit()
	perRow := 1
	switch {
	case l.Kind == Bars && len(l.Series) > 1:
		perRow = len(l.Series)
		l.writeLegend(base, l.seriesNames(), "rect")
	case l.Kind == Ranges:
		l.rangeSpans()
		s := l.Series[0]
		l.writeKey(s.LowName, s.HighName)
	case l.Kind == Steps:
		l.stepSpans()
	}

	// Every bar carries its value beside it, so there is no axis of values;
	// the texts beyond the ends of the bars need room on both sides.
	low, high := l.extent()
	type text struct {
		at    float64
		width float64
	}
	var toLeft, toRight []text
	for _, row := range l.Spans {
		for _, sp := range row {
			toLeft = append(toLeft, text{min(sp.From, sp.To), TextWidth(sp.Left, TextSize)})
			toRight = append(toRight, text{max(sp.From, sp.To), TextWidth(sp.Right, TextSize)})
		}
	}
	direct := perRow <= 4
	if l.Kind == Bars {
		for _, s := range l.Series {
			for j, v := range s.Values {
				if v < 0 {
					toLeft = append(toLeft, text{v, TextWidth(s.Shown[j], TextSize)})
				} else if v >= 0 {
					toRight = append(toRight, text{v, TextWidth(s.Shown[j], TextSize)})
				}
			}
		}
	}
	if low == high {
		high++
	}
	s := scale{min: low, max: high}
	if direct {
		// Widen the margins until each text fits beside its bar; the scale
		// shrinks as they widen, so a few rounds are needed.
		padLeft, padRight := 0.0, 0.0
		for range 8 {
			plot := max(40, l.plotWidth()-padLeft-padRight)
			needLeft, needRight := 0.0, 0.0
			for _, t := range toLeft {
				if t.width > 0 {
					needLeft = max(needLeft, t.width+6-(t.at-low)/(high-low)*plot)
				}
			}
			for _, t := range toRight {
				if t.width > 0 {
					needRight = max(needRight, t.width+6-(high-t.at)/(high-low)*plot)
				}
			}
			padLeft, padRight = max(0, needLeft), max(0, needRight)
		}
		most := 0.26 * float64(l.w)
		l.left += min(padLeft, most)
		l.right += min(padRight, most)
		l.top += 2
	} else {
		s = niceScale(low, high, 4)
		texts := l.tickTexts("xAxis", s)
		l.right += TextWidth(texts[len(texts)-1], TextSize) / 2
		l.bottom += 20
	}
	if len(l.Marks) > 0 || l.Kind == Ranges {
		l.rowMarks(s)
	}

	bar := 18.0
	if perRow > 1 {
		bar = float64(perRow) * 16
	}
	pitch := max(bar+12, float64(most)*LineHeight+8)
	fit := l.top + l.bottom + pitch*float64(n)
	if l.h == 0 {
		l.h = int(math.Ceil(fit))
	}
	l.h = max(l.h, int(math.Ceil(l.top+l.bottom+(float64(most)*LineHeight+2)*float64(n))))

	base.YAxisList = []opts.YAxis{{Type: "category", Data: indexes(n), Inverse: opts.Bool(true),
		AxisLine:  &opts.AxisLine{Show: opts.Bool(s.min >= 0 && l.Kind == Bars), OnZero: opts.Bool(false), LineStyle: line("ca", 1)},
		AxisLabel: axisLabel("ct"), SplitLine: &opts.SplitLine{Show: opts.Bool(false)}}}
	base.XAxisList = []opts.XAxis{valueAxisX(s, !direct)}
	l.categoryTexts("yAxis", names)
	// The names keep to the edge; texts to the left of bars stand between.
	l.add("yAxis.0.axisLabel.margin", max(10, l.left-nameWidth-1))

	if l.Kind != Bars {
		var data []any
		for i := range l.Spans {
			data = append(data, map[string]any{"value": []any{i}})
		}
		base.MultiSeries = append(base.MultiSeries, charts.SingleSeries{Name: seriesKey(0), Type: "custom", Data: data})
	}
	if l.Kind == Bars {
		for i, row := range l.Series {
			one := charts.SingleSeries{Name: seriesKey(i), Type: "bar",
				ItemStyle: &opts.ItemStyle{Color: StandIn(seriesRole(i))}, BarCategoryGap: "30%", BarGap: "8%"}
			if perRow == 1 {
				one.BarMaxWidth = "22"
			}
			if d := decalFor(i); d != nil && perRow > 1 {
				l.add(fmt.Sprintf("series.%d.itemStyle.decal", i), d)
			}
			var data []any
			for j, v := range row.Values {
				text, position := "", "right"
				if direct {
					text = row.Shown[j]
				}
				if v < 0 {
					position = "left"
				}
				d := item(number(v), text, position, "ct")
				if len(l.Marks) > 0 {
					halo(d)
				}
				data = append(data, d)
			}
			one.Data = data
			base.MultiSeries = append(base.MultiSeries, one)
		}
	}
	l.markLines("xAxis", s)
	return base
}

// rowMarks writes the names of the marks, and of the base line of ranges, in
// lines above the plot, each over its place.
func (l *layout) rowMarks(s scale) {
	marks := append([]Mark(nil), l.Marks...)
	if l.Kind == Ranges {
		marks = append(marks, Mark{Name: l.BaseName, Value: l.Base, Shown: l.BaseShown})
	}
	type box struct{ from, to float64 }
	var lines [][]box
	for _, m := range marks {
		text := shorten(m.text(), float64(l.w)-4)
		w := TextWidth(text, TextSize)
		x := l.left + (m.Value-s.min)/(s.max-s.min)*l.plotWidth() - w/2
		x = max(0, min(x, float64(l.w)-w))
		row := 0
		for ; row < len(lines); row++ {
			free := true
			for _, b := range lines[row] {
				free = free && (x > b.to+8 || x+w < b.from-8)
			}
			if free {
				break
			}
		}
		if row == len(lines) {
			lines = append(lines, nil)
		}
		lines[row] = append(lines[row], box{x, x + w})
		l.write(text, x+w/2, l.top-4+float64(row)*LineHeight, "center", "ct")
	}
	l.top += float64(len(lines)) * LineHeight
}

// writeKey puts the key of a range's two ends at the top.
func (l *layout) writeKey(low, high string) {
	x := 0.0
	for i, name := range []string{low, high} {
		text := shorten(name, float64(l.w)/2-52)
		l.titles = append(l.titles, map[string]any{
			"text": " ", "left": x, "top": l.top + 1, "padding": []any{0, 0, 0, 18}, "silent": true,
			"backgroundColor": StandIn(seriesRole(i)),
			"textStyle":       map[string]any{"fontSize": 10, "LineHeight": 10},
		})
		l.write(text, x+28, l.top-4, "left", "ct")
		x += 28 + TextWidth(text, TextSize) + 20
	}
	l.top += LineHeight + 6
}

// rangeSpans draws each range as two bars that meet at the base, with the
// outcome beyond the end of each. Where both ends lie on the same side, the
// nearer one has no room for its text; the table has it.
func (l *layout) rangeSpans() {
	s := l.Series[0]
	for i := range l.Categories {
		low := span{From: l.Base, To: s.Low[i], Fill: StandIn("c1")}
		high := span{From: l.Base, To: s.High[i], Fill: StandIn("c2")}
		row := []span{}
		// The longer bar comes first, so that a shorter one shows on top of it.
		ends := []struct {
			span  *span
			shown string
		}{{&low, s.ShownLow[i]}, {&high, s.ShownHigh[i]}}
		if math.Abs(s.High[i]-l.Base) > math.Abs(s.Low[i]-l.Base) {
			ends[0], ends[1] = ends[1], ends[0]
		}
		left, right := false, false
		for _, e := range ends {
			switch v := e.span.To; {
			case math.IsNaN(v):
				continue
			case v < l.Base && !left:
				e.span.Left, left = e.shown, true
			case v >= l.Base && !right:
				e.span.Right, right = e.shown, true
			}
			row = append(row, *e.span)
		}
		l.Spans = append(l.Spans, row)
	}
}

// stepSpans draws each step from where the last one ended, and each sum from
// zero.
func (l *layout) stepSpans() {
	sums := map[int]bool{}
	for _, i := range l.Sums {
		sums[i] = true
	}
	s := l.Series[0]
	running := 0.0
	for i, v := range s.Values {
		row := []span{}
		if !math.IsNaN(v) {
			sp := span{From: running, To: running + v, Fill: StandIn("c2"), Right: s.Shown[i], Join: i+1 < len(s.Values)}
			if v > 0 {
				sp.Fill = StandIn("c4")
			}
			if sums[i] || i == 0 {
				sp.From, sp.To, sp.Fill = 0, v, StandIn("c1")
			}
			running = sp.To
			if max(sp.From, sp.To) <= 0 {
				sp.Left, sp.Right = sp.Right, ""
			}
			row = append(row, sp)
		}
		l.Spans = append(l.Spans, row)
	}
}

// heat lays out a table of shaded cells.
func (l *layout) heat() *charts.BaseConfiguration {
	n, rows := len(l.Categories), len(l.Series)
	base := &charts.NewHeatMap().BaseConfiguration
	l.writeUnit()

	names := make([]string, rows)
	for i, s := range l.Series {
		names[i] = shorten(s.Name, 0.32*float64(l.w))
	}
	l.left = widest(names) + 10
	labels := l.bottomLabels(l.plotWidth() / float64(n))
	if labels.rotate {
		l.right += labels.height // names slant up to the right here
	}

	most := 0.0
	for _, s := range l.Series {
		for _, v := range s.Values {
			if !math.IsNaN(v) {
				most = max(most, math.Abs(v))
			}
		}
	}
	// The values stand in their cells, in smaller figures if need be.
	widestValue := 0.0
	for _, s := range l.Series {
		widestValue = max(widestValue, widest(s.Shown))
	}
	size := float64(TextSize)
	for ; size > smallText && widestValue*size/TextSize > l.plotWidth()/float64(n)-4; size-- {
	}
	printed := widestValue*size/TextSize <= l.plotWidth()/float64(n)-4
	// Each class of shade is a number of its own; the script maps it to a
	// colour, and the cell carries the value as text.
	var pieces []any
	for i := range heatPalette {
		pieces = append(pieces, map[string]any{"min": float64(i) + 0.5, "max": float64(i) + 1.5, "color": StandIn(fmt.Sprintf("h%d", i+1))})
	}
	for i := range coldPalette {
		pieces = append(pieces, map[string]any{"min": -float64(i) - 1.5, "max": -float64(i) - 0.5, "color": StandIn(fmt.Sprintf("n%d", i+1))})
	}
	negative := false
	var data []any
	for i, s := range l.Series {
		for j, v := range s.Values {
			if math.IsNaN(v) {
				continue
			}
			class := heatClass(v, most)
			ink := fmt.Sprintf("hi%d", class)
			if class < 0 {
				negative = true
				ink = fmt.Sprintf("ni%d", -class)
			}
			text := ""
			if printed {
				text = s.Shown[j]
			}
			d := item([]any{j, i, class}, text, "inside", ink)
			if text != "" {
				d["label"].(map[string]any)["fontSize"] = size
			}
			data = append(data, d)
		}
	}
	if !printed {
		l.heatKey(most, negative)
	}

	l.top += labels.height + 6
	l.bottom = 4
	pitch := 26.0
	if l.h == 0 {
		l.h = int(l.top + l.bottom + pitch*float64(rows))
	}
	l.h = max(l.h, int(l.top+l.bottom+float64(LineHeight+2)*float64(rows)))

	x := opts.XAxis{Type: "category", Data: indexes(n), Position: "top",
		AxisTick: &opts.AxisTick{Show: opts.Bool(false)}, AxisLine: &opts.AxisLine{Show: opts.Bool(false)},
		AxisLabel: axisLabel("ct"), SplitLine: &opts.SplitLine{Show: opts.Bool(false)}}
	base.XAxisList = []opts.XAxis{x}
	base.YAxisList = []opts.YAxis{{Type: "category", Data: indexes(rows), Inverse: opts.Bool(true),
		AxisLine: &opts.AxisLine{Show: opts.Bool(false)}, AxisLabel: axisLabel("ct"), SplitLine: &opts.SplitLine{Show: opts.Bool(false)}}}
	l.categoryTexts("xAxis", labels.texts)
	l.categoryTexts("yAxis", names)
	if labels.rotate {
		l.add("xAxis.0.axisLabel.rotate", 45)
	}
	l.add("visualMap", []any{map[string]any{"type": "piecewise", "show": false, "dimension": 2, "pieces": pieces}})
	base.MultiSeries = append(base.MultiSeries, charts.SingleSeries{Name: seriesKey(0), Type: "heatmap", Data: data,
		ItemStyle: &opts.ItemStyle{BorderColor: StandIn("cp"), BorderWidth: 1.5}})
	return base
}

// heatClass is the shade of a value: 1 to 7 for zero and more, −1 to −4 below.
func heatClass(v, most float64) int {
	if most == 0 {
		return 1
	}
	if v < 0 {
		return -min(len(coldPalette), int(-v/most*float64(len(coldPalette)))+1)
	}
	return min(len(heatPalette), int(v/most*float64(len(heatPalette)))+1)
}

// heatKey writes what the shades mean, for cells too small for their values.
func (l *layout) heatKey(most float64, negative bool) {
	decimals := l.Decimals
	if decimals < 0 {
		decimals = l.neededDecimals()
	}
	x := 0.0
	word := func(text string) {
		l.write(text, x, l.top-4, "left", "cm")
		x += TextWidth(text, TextSize) + 6
	}
	swatch := func(fill string) {
		l.titles = append(l.titles, map[string]any{
			"text": " ", "left": x, "top": l.top - 1, "padding": []any{0, 0, 0, 18}, "silent": true,
			"backgroundColor": StandIn(fill), "textStyle": map[string]any{"fontSize": 12, "LineHeight": 12},
		})
		x += 24
	}
	if negative {
		word(cleanText(l.Number(-most, decimals)))
		for i := len(coldPalette); i > 0; i-- {
			swatch(fmt.Sprintf("n%d", i))
		}
	}
	word(cleanText(l.Number(0, decimals)))
	for i := range heatPalette {
		swatch(fmt.Sprintf("h%d", i+1))
	}
	word(cleanText(l.Number(most, decimals)))
	l.top += LineHeight + 6
}

// points lays out named points by two values.
func (l *layout) points() *charts.BaseConfiguration {
	base := &charts.NewScatter().BaseConfiguration
	l.writeUnit()
	names := l.seriesNames()
	if len(l.Series) > 1 {
		for i, n := range names {
			if n == "" {
				names[i] = fmt.Sprintf("series %d", i+1)
			}
		}
		l.writeLegend(base, names, "")
		base.Legend.ItemWidth = 10
	}
	low, high := l.extent()
	y := niceScale(low, high, 5)
	l.left = widest(l.tickTexts("yAxis", y)) + 12

	lowX, highX := math.Inf(1), math.Inf(-1)
	for _, s := range l.Series {
		for i, v := range s.At {
			if !math.IsNaN(v) && !math.IsNaN(s.Values[i]) {
				lowX, highX = min(lowX, v), max(highX, v)
			}
		}
	}
	if math.IsInf(lowX, 0) {
		lowX, highX = 0, 1
	}
	if !(lowX > 0.6*highX) && !(highX < 0.6*lowX) {
		lowX, highX = min(0, lowX), max(0, highX)
	}
	x := niceScale(lowX, highX, 6)
	texts := l.tickTexts("xAxis", x)
	l.right = TextWidth(texts[len(texts)-1], TextSize)/2 + 6
	l.top += 8
	l.markRoom(y)
	l.bottom = LineHeight + 14
	if l.Across != "" {
		l.bottom += LineHeight + 2
	}
	if l.h == 0 {
		l.h = 380
	}
	l.h = max(l.h, int(l.top+l.bottom+leastPlot))
	if l.Across != "" {
		l.write(shorten(l.Across, float64(l.w)-4), float64(l.w), float64(l.h)-LineHeight-2, "right", "cm")
	}

	base.XAxisList = []opts.XAxis{valueAxisX(x, true)}
	base.XAxisList[0].AxisLine = &opts.AxisLine{Show: opts.Bool(true), OnZero: opts.Bool(false), LineStyle: line("ca", 1)}
	base.XAxisList[0].SplitLine = &opts.SplitLine{Show: opts.Bool(false)}
	base.YAxisList = []opts.YAxis{valueAxisY(y, true)}
	place := l.placer(x, y)
	for i, s := range l.Series {
		one := charts.SingleSeries{Name: seriesKey(i), Type: "scatter",
			Symbol: []string{"circle", "rect", "triangle", "diamond"}[i%4], SymbolSize: 10,
			ItemStyle: &opts.ItemStyle{Color: StandIn(seriesRole(i)), BorderColor: StandIn("cp"), BorderWidth: 1}}
		l.add(fmt.Sprintf("series.%d.itemStyle.opacity", i), 1)
		var data []any
		for j, v := range s.Values {
			if math.IsNaN(v) || math.IsNaN(s.At[j]) {
				continue
			}
			name, position := place(l.Categories[j], s.At[j], v)
			d := item([]any{s.At[j], v}, name, position, "ct")
			halo(d)
			data = append(data, d)
		}
		one.Data = data
		base.MultiSeries = append(base.MultiSeries, one)
	}
	l.markLines("yAxis", y)
	return base
}

// leaderWays are the directions of lines from points to their names.
var leaderWays = [][2]float64{{0.8, 0.6}, {0.8, -0.6}, {0.96, 0.28}, {0.96, -0.28}, {0.5, -0.87}, {0.5, 0.87}, {1, 0}, {0.2, 0.98}, {0.2, -0.98}, {-0.8, -0.6}, {-0.8, 0.6}, {0, -1}, {0, 1}}

// placer returns a function that finds room for the name of a point: to its
// right, left, above or below, clear of the points and names so far, or else
// at the end of a thin line. A name for which there is no room is left out; it
// stays in the table.
func (l *layout) placer(x, y scale) func(name string, vx, vy float64) (text, position string) {
	type box struct{ x0, y0, x1, y1 float64 }
	width := float64(l.w) - l.left - l.right
	height := float64(l.h) - l.top - l.bottom
	at := func(vx, vy float64) (float64, float64) {
		return l.left + (vx-x.min)/(x.max-x.min)*width, l.top + (y.max-vy)/(y.max-y.min)*height
	}
	var taken, lines []box
	for _, m := range l.Marks {
		_, py := at(x.min, m.Value)
		lines = append(lines, box{l.left, py - 1, l.left + width, py + 1})
		taken = append(taken, box{l.left + width - TextWidth(m.text(), TextSize) - 8, py - 3 - LineHeight, l.left + width, py})
	}
	for _, s := range l.Series {
		for j, v := range s.Values {
			if !math.IsNaN(v) && !math.IsNaN(s.At[j]) {
				px, py := at(s.At[j], v)
				taken = append(taken, box{px - 6, py - 6, px + 6, py + 6})
			}
		}
	}
	clear := func(b box, of []box) bool {
		for _, t := range of {
			if b.x1 > t.x0 && b.x0 < t.x1 && b.y1 > t.y0 && b.y0 < t.y1 {
				return false
			}
		}
		return true
	}
	return func(name string, vx, vy float64) (string, string) {
		name = shorten(name, 0.35*float64(l.w))
		w := TextWidth(name, TextSize)
		px, py := at(vx, vy)
		const half = LineHeight / 2
		// A name may cross the line of a mark if it must.
		for _, avoid := range [][]box{lines, nil} {
			for _, try := range []struct {
				position string
				box      box
			}{
				{"right", box{px + 7, py - half, px + 9 + w, py + half}},
				{"left", box{px - 9 - w, py - half, px - 7, py + half}},
				{"top", box{px - w/2, py - 9 - LineHeight, px + w/2, py - 7}},
				{"bottom", box{px - w/2, py + 7, px + w/2, py + 9 + LineHeight}},
			} {
				b := try.box
				inside := b.x0 >= 0 && b.x1 <= float64(l.w) && b.y0 >= 0 && b.y1 <= float64(l.h)-l.bottom+4
				if inside && clear(b, taken) && clear(b, avoid) {
					taken = append(taken, b)
					return name, try.position
				}
			}
		}
		// Else away from the point, at the end of a thin line to it.
		for k := range 2 * 26 {
			away, crossing := 20+float64(k%26)*6, k >= 26
			if away > 0.3*width {
				continue
			}
			for _, to := range leaderWays {
				ex, ey := px+away*to[0], py+away*to[1]
				b, x, align := box{ex + 2, ey - half, ex + 4 + w, ey + half}, ex+3, "left"
				if to[0] < 0 {
					b, x, align = box{ex - 4 - w, ey - half, ex - 2, ey + half}, ex-3, "right"
				}
				if b.x0 < l.left || b.x1 > float64(l.w) || b.y0 < 0 || b.y1 > float64(l.h)-l.bottom-2 || !clear(b, taken) || !clear(b, lines) {
					continue
				}
				// The line keeps off names and points if it can, and later names off it.
				var steps []box
				for at := 8.0; at <= away; at += 2 {
					steps = append(steps, box{px + at*to[0] - 1, py + at*to[1] - 1, px + at*to[0] + 1, py + at*to[1] + 1})
				}
				if !crossing && slices.ContainsFunc(steps, func(s box) bool { return !clear(s, taken) }) {
					continue
				}
				taken = append(append(taken, b), steps...)
				l.write(name, x, b.y0+1, align, "ct")
				l.leaders = append(l.leaders, []any{
					map[string]any{"x": px + 6*to[0], "y": py + 6*to[1], "label": map[string]any{"show": false}, "lineStyle": map[string]any{"color": StandIn("ca"), "width": 1, "type": "solid"}},
					map[string]any{"x": ex, "y": ey},
				})
				return "", ""
			}
		}
		return "", ""
	}
}

// split lays out one bar that is shared out over the categories.
func (l *layout) split() *charts.BaseConfiguration {
	base := &charts.NewBar().BaseConfiguration
	s := l.Series[0]
	sum := 0.0
	for _, v := range s.Values {
		if v > 0 {
			sum += v
		}
	}
	shares := splitShares(s.Values)
	l.writeUnit()
	names := make([]string, len(l.Categories))
	for i, name := range l.Categories {
		names[i] = strings.TrimSpace(shorten(name, 0.6*float64(l.w)) + "  " + s.Shown[i])
	}
	l.writeLegend(base, names, "rect")
	const bar = 40
	if l.h == 0 {
		l.h = int(l.top + l.bottom + bar)
	}
	l.h = max(l.h, int(l.top+l.bottom+24))

	base.XAxisList = []opts.XAxis{{Type: "value", Min: 0, Max: sum, Show: opts.Bool(false)}}
	base.YAxisList = []opts.YAxis{{Type: "category", Data: indexes(1), Show: opts.Bool(false)}}
	for i, v := range s.Values {
		one := charts.SingleSeries{Name: seriesKey(i), Type: "bar", Stack: "all", BarWidth: "100%",
			ItemStyle: &opts.ItemStyle{Color: StandIn(seriesRole(i)), BorderColor: StandIn("cp"), BorderWidth: 1.5}}
		text := ""
		if v/sum*l.plotWidth() >= TextWidth(shares[i], TextSize)+8 {
			text = shares[i]
		}
		d := item(number(v), text, "inside", inkRole(i))
		one.Data = []any{d}
		if decal := decalFor(i); decal != nil {
			plate(d, seriesRole(i))
			l.add(fmt.Sprintf("series.%d.itemStyle.decal", i), decal)
		}
		base.MultiSeries = append(base.MultiSeries, one)
	}
	return base
}
