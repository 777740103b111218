package chart

import (
	"fmt"
	"math"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"
)

var lines = &kind{says: "Lines", categories: mostAcross, series: mostPanels, marks: true, lay: layLines}

var area = &kind{says: "Areas", categories: mostAcross, series: mostPanels, marks: true, lay: layLines}

// layLines lays out lines, with bands about them, and stacked areas.
func layLines(l *layout) *base {
	many := len(l.Series) > 1
	if l.stacked() && len(l.Series) > mostParts || len(l.Series) > mostLines {
		return layPanels(l)
	}
	l.Parted = l.stacked()
	l.writeUnit()
	low, high := l.extent()
	s := niceScale(low, high, l.ticksWanted())
	l.left = widest(l.tickTexts(s)) + 10
	side, within := sideNames{}, l.stacked() && l.nameAreas(s, box{}, nil)
	if !within {
		side = l.nameSeries(true, l.Kind == Lines)
	}
	l.keyOfBand()
	l.top += 6
	if l.Here != nil && l.Along != nil {
		l.top += LineHeight
	}
	l.roomForMarks(s)
	l.right = max(l.right, 8)
	f := l.foot(l.plotWidth())
	l.bottom = f.height
	b := l.settlePlot()
	l.writeTicks(s, b)

	o := &charts.NewLine().BaseConfiguration
	o.XAxisList = []opts.XAxis{categoryAxisX(len(l.Categories), s.min >= 0)}
	if l.Along != nil {
		o.XAxisList = []opts.XAxis{valueAxisX(f.across, false)}
		o.XAxisList[0].AxisLine = &opts.AxisLine{Show: opts.Bool(true), OnZero: opts.Bool(false), LineStyle: line("ca", 1)}
	}
	o.YAxisList = []opts.YAxis{valueAxisY(s, true)}
	l.add("yAxis.0.interval", s.step)
	slot := (b.x1 - b.x0) / float64(len(l.Categories))
	x := func(j int) float64 {
		if l.Along != nil {
			return f.across.at(l.Along[j], b.x0, b.x1)
		}
		return b.x0 + float64((float64(j)+0.5)*slot)
	}
	ends, lasts := l.drawLines(o, s, b, x, many)
	if within {
		l.nameAreas(s, b, x)
	}
	l.writeFoot(f, b)
	l.drawHere(f, s, b)
	l.drawMarks(s, b)
	l.drawDots(s, b, x)
	if side.width > 0 {
		side.write(l, ends, lasts, b)
	}
	return o
}

// keyOfBand says what the band about the first line is.
func (l *layout) keyOfBand() {
	for i, row := range l.Series {
		if len(row.Low) == 0 {
			continue
		}
		text := shorten(row.LowName+" – "+row.HighName, l.w-20)
		y := l.top + LineHeight/2
		l.draw(fmt.Sprintf("c%d f", i+1), "M0 %vh18v10h-18z", y-5)
		l.write(text, 24, y, "", "ct")
		l.top = y + LineHeight/2 + 4
		return
	}
}

// drawLines adds the series and returns the heights and places at which they
// end; no places for areas.
func (l *layout) drawLines(o *base, s scale, b box, x func(int) float64, many bool) (ends, lasts []float64) {
	n := len(l.Categories)
	sums := make([]float64, n)
	index := 0
	for i, row := range l.Series {
		if len(row.Low) > 0 && l.Kind == Lines {
			index = l.addBand(o, row, i, index)
		}
		one := charts.SingleSeries{Name: seriesKey(i), Type: "line"}
		l.styleLine(&one, i, many)
		if l.stacked() {
			one.Stack = "all"
		}
		end, last := math.NaN(), 0.0
		var data []any
		for j, v := range row.Values {
			d := map[string]any{"value": l.point(j, v)}
			if alone(row.Values, j) {
				// A point between two gaps has no line to be seen by.
				d["symbol"], d["symbolSize"] = "circle", 6
				l.add(fmt.Sprintf("series.%d.showSymbol", index), true)
			} else if *one.ShowSymbol == false {
				d["symbol"] = "none"
			}
			data = append(data, d)
			if math.IsNaN(v) {
				continue
			}
			last = x(j)
			if end = v; l.stacked() {
				end = sums[j] + float64(v/2)
				sums[j] += v
			}
			top := v
			if l.stacked() {
				top = sums[j]
			}
			y := s.at(top, b.y1, b.y0)
			l.taken = append(l.taken, box{x(j) - 4, y - 4, x(j) + 4, y + 4})
			if j > 0 && !math.IsNaN(row.Values[j-1]) && !l.stacked() {
				l.keepOffLine(x(j-1), s.at(row.Values[j-1], b.y1, b.y0), x(j), y)
			}
		}
		one.Data = data
		o.MultiSeries = append(o.MultiSeries, one)
		index++
		if math.IsNaN(end) {
			end = s.min
		}
		ends = append(ends, s.at(end, b.y1, b.y0))
		if !l.stacked() {
			lasts = append(lasts, last)
		}
	}
	return ends, lasts
}

// keepOffLine keeps words off a piece of a line.
func (l *layout) keepOffLine(x0, y0, x1, y1 float64) {
	steps := int(max(math.Abs(x1-x0), math.Abs(y1-y0)) / 6)
	for k := 1; k < steps; k++ {
		t := float64(k) / float64(steps)
		px, py := x0+float64(t*(x1-x0)), y0+float64(t*(y1-y0))
		l.taken = append(l.taken, box{px - 2, py - 2, px + 2, py + 2})
	}
}

// point is a value at its place across.
func (l *layout) point(j int, v float64) any {
	if l.Along != nil {
		return []any{l.Along[j], number(v)}
	}
	return number(v)
}

// addBand adds the band about a line: an unseen line at its lower edge and, on
// top of that, the area up to the upper one.
func (l *layout) addBand(o *base, row Series, i, index int) int {
	edge := func(values func(j int) float64, fill bool) charts.SingleSeries {
		one := charts.SingleSeries{Name: seriesKey(100 + index), Type: "line", Symbol: "none", Stack: fmt.Sprint("band", i),
			LineStyle: &opts.LineStyle{Width: 0, Color: "none"}}
		l.add(fmt.Sprintf("series.%d.stackStrategy", index), "all")
		l.add(fmt.Sprintf("series.%d.lineStyle.width", index), 0)
		if fill {
			opacity := float32(0.22)
			one.AreaStyle = &opts.AreaStyle{Color: StandIn(seriesRole(i)), Opacity: &opacity}
		}
		var data []any
		for j := range l.Categories {
			data = append(data, l.point(j, values(j)))
		}
		one.Data = data
		index++
		return one
	}
	lower := func(j int) float64 { return min(row.Low[j], row.High[j]) }
	o.MultiSeries = append(o.MultiSeries, edge(lower, false),
		edge(func(j int) float64 { return max(row.Low[j], row.High[j]) - lower(j) }, true))
	return index
}

// mostMarkers is how many points of a line are marked one by one.
const mostMarkers = 24

func (l *layout) styleLine(one *charts.SingleSeries, i int, many bool) {
	one.Symbol = []string{"circle", "rect", "triangle", "diamond"}[i%4]
	one.SymbolSize = 6
	one.ItemStyle = &opts.ItemStyle{Color: StandIn(seriesRole(i))}
	one.ShowSymbol = opts.Bool(l.Kind == Lines && len(l.Categories) <= mostMarkers && l.Along == nil)
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

// alone tells whether a value stands between two gaps.
func alone(values []float64, j int) bool {
	gap := func(k int) bool { return k < 0 || k >= len(values) || math.IsNaN(values[k]) }
	return !math.IsNaN(values[j]) && gap(j-1) && gap(j+1)
}

// nameAreas writes the name of each stacked area within it, where it is
// thickest, and tells whether all have room. Without places it only tells.
func (l *layout) nameAreas(s scale, b box, x func(int) float64) bool {
	n := len(l.Categories)
	trial := x == nil
	if trial {
		b = box{l.left, 0, l.w - 10, 170}
		slot := (b.x1 - b.x0) / float64(n)
		x = func(j int) float64 { return b.x0 + float64((float64(j)+0.5)*slot) }
	}
	under, over := make([]float64, n), make([]float64, n)
	for i, row := range l.Series {
		for j, v := range row.Values {
			under[j] = over[j]
			if !math.IsNaN(v) {
				over[j] += v
			}
		}
		w := TextWidth(row.Name, TextSize) + 8
		best, most, middle := -1, 0.0, 0.0
		for j := range n {
			// The room that is left over the whole width of the name.
			top, bottom := math.Inf(-1), math.Inf(1)
			for k := range n {
				if k == j || math.Abs(x(k)-x(j)) < w/2 || k+1 < n && x(k) < x(j) && x(k+1) > x(j)-float64(w/2) || k > 0 && x(k) > x(j) && x(k-1) < x(j)+float64(w/2) {
					top = max(top, s.at(over[k], b.y1, b.y0))
					bottom = min(bottom, s.at(under[k], b.y1, b.y0))
				}
			}
			if x(j)-float64(w/2) >= x(0) && x(j)+float64(w/2) <= x(n-1) && bottom-top > most {
				best, most, middle = j, bottom-top, (top+bottom)/2
			}
		}
		if best < 0 || most < LineHeight+3 {
			return false
		}
		if !trial {
			l.write(row.Name, x(best), middle, "middle", inkRole(i))
		}
	}
	return true
}
