package chart

import (
	"math"
	"strconv"

	"github.com/go-echarts/go-echarts/v2/charts"

	"rickyard/calc/say"
)

// layPanels lays out a small plot for each series, all at one scale, and for
// what is stacked a larger one of the sums above them.
func layPanels(l *layout) *base {
	if !l.inOrder() {
		return layBarTable(l)
	}
	l.writeUnit()
	o := &charts.NewBar().BaseConfiguration
	o.XAxisList, o.YAxisList = nil, nil
	if l.stacked() {
		l.sumPanel(o)
	}
	across := 3
	if l.narrow {
		across = 2
	}
	low, high := 0.0, 0.0
	for _, s := range l.Series {
		for _, v := range s.Values {
			if !math.IsNaN(v) {
				low, high = min(low, v), max(high, v)
			}
		}
	}
	if low == high {
		high = 1
	}
	const gap, plot = 18.0, 48.0
	width := (l.w - float64(gap*float64(across-1))) / float64(across)
	rows := (len(l.Series) + across - 1) / across
	for r := range rows {
		names, most := make([][]string, across), 1
		for c := range across {
			if i := r*across + c; i < len(l.Series) {
				names[c], _ = WrapText(l.Series[i].Name, width-2, 2)
				most = max(most, len(names[c]))
			}
		}
		top := l.top + float64(float64(most)*LineHeight) + LineHeight + 4
		for c := range across {
			i := r*across + c
			if i >= len(l.Series) {
				break
			}
			x := float64(float64(c) * (width + gap))
			for k, text := range names[c] {
				l.write(text, x, l.top+LineHeight/2+float64(float64(k)*LineHeight), "", "ct")
			}
			l.panel(o, l.Series[i], box{x, top, x + width, top + plot}, scale{min: low, max: high})
		}
		l.top = top + plot + LineHeight + 14
	}
	l.h = l.top - 4
	l.settleGrids(o)
	l.Cells = true
	return o
}

// settleGrids tells the grids to the script once the height is known.
func (l *layout) settleGrids(o *base) {
	for i, g := range l.grids {
		b := g.(box)
		l.grids[i] = l.grid(b)
	}
}

// addPlot adds a plot with axes of its own and returns its index.
func (l *layout) addPlot(o *base, b box, s scale, lines bool) int {
	i := len(l.grids)
	l.grids = append(l.grids, b)
	x, y := categoryAxisX(len(l.Categories), s.min >= 0), valueAxisY(s, lines)
	x.GridIndex, y.GridIndex = i, i
	if lines {
		l.add("yAxis."+strconv.Itoa(i)+".interval", s.step)
	}
	o.XAxisList, o.YAxisList = append(o.XAxisList, x), append(o.YAxisList, y)
	return i
}

// sumPanel draws the sums of all series, with the chart's marks.
func (l *layout) sumPanel(o *base) {
	all := Series{Name: l.tell(say.Text("all together"))}
	low, high := 0.0, 0.0
	for j := range l.Categories {
		up, down := l.sums(j)
		all.Values = append(all.Values, up+down)
		low, high = min(low, up+down), max(high, up+down)
	}
	for _, m := range l.Marks {
		for _, v := range append([]float64{m.Value}, m.Values...) {
			if !math.IsNaN(v) {
				low, high = min(low, v), max(high, v)
			}
		}
	}
	s := niceScale(low, high, 4)
	l.write(upperFirst(all.Name), 0, l.top+LineHeight/2, "", "ct")
	l.top += LineHeight + 10
	l.roomForMarks(s)
	l.left = widest(l.tickTexts(s)) + 10
	f := l.foot(l.plotWidth())
	b := box{l.left, l.top, l.w - l.right, l.top + 120}
	i := l.addPlot(o, b, s, true)
	l.writeTicks(s, b)
	l.addBars(o, all.Values, i, b, 64)
	slot := (b.x1 - b.x0) / float64(len(l.Categories))
	for j, v := range all.Values {
		x := b.x0 + float64((float64(j)+0.5)*slot)
		l.taken = append(l.taken, box{x - float64(slot*0.38), s.at(max(v, 0), b.y1, b.y0), x + float64(slot*0.38), b.y1})
	}
	l.writeFoot(f, b)
	l.drawMarks(s, b)
	l.top = b.y1 + f.height + 14
}

func (l *layout) addBars(o *base, values []float64, plot int, b box, most float64) {
	one := barSeries(0)
	one.XAxisIndex, one.YAxisIndex = plot, plot
	one.BarWidth = short(min(most, (b.x1-b.x0)/float64(len(l.Categories))*0.76))
	var data []any
	for _, v := range values {
		data = append(data, number(v))
	}
	one.Data = data
	o.MultiSeries = append(o.MultiSeries, one)
}

// panel draws one series in a plot of its own, with its highest value and the
// first and last of its categories.
func (l *layout) panel(o *base, row Series, b box, s scale) {
	i := l.addPlot(o, b, s, false)
	if l.Kind == Lines {
		one := charts.SingleSeries{Name: seriesKey(i), Type: "line", XAxisIndex: i, YAxisIndex: i, Symbol: "none",
			LineStyle: line("c1", 2)}
		var data []any
		for _, v := range row.Values {
			data = append(data, number(v))
		}
		one.Data = data
		o.MultiSeries = append(o.MultiSeries, one)
	} else {
		l.addBars(o, row.Values, i, b, 40)
	}
	n := float64(len(l.Categories))
	slot := (b.x1 - b.x0) / n
	if s.min < 0 {
		l.draw("sa", "M%v %vH%v", b.x0, s.at(0, b.y1, b.y0), b.x1)
	}
	if _, high := ends(row.Values); high >= 0 {
		text := row.Shown[high]
		w := TextWidth(text, TextSize)
		x := b.x0 + float64((float64(high)+0.5)*slot) - float64(w/2)
		l.write(text, max(b.x0, min(x, b.x1-w)), s.at(max(row.Values[high], 0), b.y1, b.y0)-LineHeight/2-1, "", "cm")
	}
	first, last := shorten(l.Categories[0], (b.x1-b.x0)*0.6), shorten(l.Categories[len(l.Categories)-1], (b.x1-b.x0)*0.6)
	y := b.y1 + 4 + LineHeight/2
	l.write(first, b.x0, y, "", "cm")
	if TextWidth(first, TextSize)+TextWidth(last, TextSize)+8 <= b.x1-b.x0 && len(l.Categories) > 1 {
		l.write(last, b.x1, y, "end", "cm")
	}
}
