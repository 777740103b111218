package chart

import (
	"math"
	"strings"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"
)

// inOrder tells categories that follow one another, as months and years do, so
// that the first and the last tell where the others stand.
func (c *Chart) inOrder() bool {
	if c.isRun() || c.Along != nil {
		return true
	}
	for _, name := range c.Categories {
		if !strings.ContainsAny(name, "0123456789") {
			return false
		}
	}
	return true
}

// layBarTable lays out many series over categories in no order: a row for each
// category, and in it a bar for each series, all at one scale. A narrow page
// has no room for so many bars, and shades the values instead.
func layBarTable(l *layout) *base {
	if l.narrow {
		l.turn()
		return layHeat(l)
	}
	l.writeUnit()
	l.left = min(widest(l.Categories), 0.24*l.w) + 12
	column := (l.w - l.left) / float64(len(l.Series))
	var heads [][]string
	most := 1
	for _, s := range l.Series {
		lines, _ := WrapText(s.Name, column-8, 4)
		heads = append(heads, lines)
		most = max(most, len(lines))
	}
	low, high, texts := 0.0, 0.0, 0.0
	for _, s := range l.Series {
		low, high = grow(low, high, s.Values...)
		texts = max(texts, widest(s.Shown))
	}
	if low == high {
		high = 1
	}
	room := max(8, column-texts-14)
	if room < 20 {
		l.turn()
		return layHeat(l) // the numbers alone fill the columns
	}
	for i, lines := range heads {
		for k, text := range lines {
			l.write(text, l.left+float64(float64(i)*column), l.top+float64((float64(k+most-len(lines))+0.5)*LineHeight), "", "ct")
		}
	}
	l.top += float64(float64(most)*LineHeight) + 6
	const pitch = 24.0
	l.Spans = make([][]span, len(l.Categories))
	for j, name := range l.Categories {
		y := l.top + float64((float64(j)+0.5)*pitch)
		l.write(shorten(name, l.left-8), 0, y, "", "ct")
		for i, s := range l.Series {
			v := s.Values[j]
			if math.IsNaN(v) {
				continue
			}
			zero := l.left + float64(float64(i)*column) - float64(low/(high-low)*room)
			end := zero + float64(v/(high-low)*room)
			l.Spans[j] = append(l.Spans[j], span{From: zero, To: end, Y: y, High: 14, Fill: StandIn("c1")})
			l.write(s.Shown[j], max(zero, end)+4, y, "", "ct")
		}
	}
	l.h = l.top + float64(float64(len(l.Categories))*pitch) + 4
	l.told = true
	l.left, l.right = 0, 0

	// The bars stand at pixels, not at values.
	o := &charts.NewCustom().BaseConfiguration
	o.YAxisList = []opts.YAxis{categoryAxisY(len(l.Categories), false)}
	o.XAxisList = []opts.XAxis{valueAxisX(scale{max: l.w}, false)}
	l.add("xAxis.0.show", false)
	l.add("yAxis.0.show", false)
	l.addSpanSeries(o)
	return o
}

// turn makes a row of each category, and a column of each series.
func (l *layout) turn() {
	var rows []Series
	for j, name := range l.Categories {
		row := Series{Name: name}
		for _, s := range l.Series {
			row.Values, row.Shown = append(row.Values, s.Values[j]), append(row.Shown, s.Shown[j])
		}
		rows = append(rows, row)
	}
	l.Categories, l.Series = l.seriesNames(), rows
}

// addSpanSeries adds the series by which the script draws the spans.
func (l *layout) addSpanSeries(o *base) {
	var data []any
	for i := range l.Spans {
		data = append(data, map[string]any{"value": []any{i}})
	}
	o.MultiSeries = append(o.MultiSeries, charts.SingleSeries{Name: seriesKey(0), Type: "custom", Data: data})
}
