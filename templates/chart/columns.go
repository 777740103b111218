package chart

import (
	"math"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"
)

// base is what go-echarts calls a chart's options.
type base = charts.BaseConfiguration

var columns = &kind{says: "Columns", categories: mostAcross, series: mostPanels, marks: true, lay: layColumns}

var stack = &kind{says: "Stacked columns", categories: mostAcross, series: mostPanels, marks: true, lay: layColumns}

// What can still be told apart in one plot.
const (
	mostParts = 4 // of a stack, or columns side by side
	mostLines = 6
)

// layColumns lays out upright bars: side by side, or on top of each other. More
// parts than a reader can follow get a small plot each; bars whose names have
// no room lie.
func layColumns(l *layout) *base {
	switch {
	case len(l.Series) > mostParts:
		return layPanels(l)
	case l.lies():
		return layRows(l)
	}
	l.Parted = len(l.Series) > 1
	l.writeUnit()
	side := l.nameSeries(l.Kind == Stack, false)
	low, high := l.extent()
	s, direct := niceScale(low, high, l.ticksWanted()), l.direct()
	if direct {
		s.min, s.max = low, high
		if low == high {
			s.max++
		}
		l.top += LineHeight + 2
	} else {
		l.left = widest(l.tickTexts(s)) + 10
		l.top += 6
	}
	l.roomForMarks(s)
	f := l.foot(l.plotWidth())
	l.bottom = f.height
	if low < 0 && direct {
		l.bottom += LineHeight + 2
	}
	b := l.settlePlot()
	if !direct {
		l.writeTicks(s, b)
	}

	o := &charts.NewBar().BaseConfiguration
	o.XAxisList = []opts.XAxis{categoryAxisX(len(l.Categories), s.min >= 0)}
	o.YAxisList = []opts.YAxis{valueAxisY(s, !direct)}
	l.add("xAxis.0.z", 3) // over the feet of the columns
	if !direct {
		l.add("yAxis.0.interval", s.step)
	}
	l.drawColumns(o, s, b, direct)
	below := b
	if low < 0 && direct {
		below.y1 += LineHeight + 2
	}
	l.writeFoot(f, below)
	l.drawMarks(s, b)
	slot := (b.x1 - b.x0) / float64(len(l.Categories))
	l.drawDots(s, b, func(j int) float64 { return b.x0 + float64((float64(j)+0.5)*slot) })
	if side.width > 0 {
		side.write(l, l.lastMiddles(s, b), nil, b)
	}
	return o
}

// ticksWanted is about how many steps an axis of values has.
func (l *layout) ticksWanted() int {
	if l.narrow {
		return 4
	}
	return 5
}

// nameSeries names several series: beside the plot if that is asked for and
// there is room, else in a key above.
func (l *layout) nameSeries(beside, lines bool) sideNames {
	if len(l.Series) < 2 {
		return sideNames{}
	}
	if beside {
		if side := l.sideNames(); side.width > 0 {
			l.right = side.width + 8
			return side
		}
	}
	l.writeKey(l.seriesNames(), lines)
	return sideNames{}
}

// direct tells that columns are few enough to carry their own values: they
// then need no axis of values.
func (l *layout) direct() bool {
	n := len(l.Categories) * len(l.Series)
	if l.Kind != Columns || n > 14 || l.Lowest || l.Highest {
		return false
	}
	room := l.plotWidth() / float64(len(l.Categories)) * 0.96
	if len(l.Series) > 1 {
		room = l.plotWidth() / float64(len(l.Categories)) * 0.74 / float64(len(l.Series))
	}
	for _, s := range l.Series {
		if widest(s.Shown) > room {
			return false
		}
	}
	return true
}

// settlePlot settles the height of an upright chart, and returns its plot.
func (l *layout) settlePlot() box {
	plot := 210.0
	if l.narrow {
		plot = 170
	}
	l.h = math.Ceil(l.top + plot + l.bottom)
	return box{l.left, l.top, l.w - l.right, l.h - l.bottom}
}

// barWidth is the width of a bar where several stand in a slot.
func barWidth(slot float64, together int) float64 {
	n := float64(together)
	return min(64, slot*0.76/(n+float64((n-1)*0.08)))
}

func (l *layout) drawColumns(o *base, s scale, b box, direct bool) {
	n, together := len(l.Categories), len(l.Series)
	if l.Kind == Stack {
		together = 1
	}
	slot := (b.x1 - b.x0) / float64(n)
	bar := barWidth(slot, together)
	up, down := make([]float64, n), make([]float64, n)
	told := direct
	for i, row := range l.Series {
		one := barSeries(i)
		one.BarWidth, one.BarGap = short(bar), "8%"
		if l.Kind == Stack {
			one.Stack = "all"
			one.ItemStyle.BorderColor, one.ItemStyle.BorderWidth = StandIn("cp"), 1
		}
		var data []any
		for j, v := range row.Values {
			data = append(data, number(v))
			if math.IsNaN(v) {
				continue
			}
			x := b.x0 + float64((float64(j)+0.5)*slot)
			from := 0.0
			if l.Kind == Stack {
				from = up[j]
				if v < 0 {
					from = down[j]
					down[j] += v
				} else {
					up[j] += v
				}
			} else {
				x += float64((float64(i) - float64(float64(together-1)/2)) * bar * 1.08)
			}
			y0, y1 := s.at(max(from, from+v), b.y1, b.y0), s.at(min(from, from+v), b.y1, b.y0)
			l.taken = append(l.taken, box{x - float64(bar/2), y0, x + float64(bar/2), y1})
			switch {
			case direct && v < 0:
				l.write(row.Shown[j], x, y1+LineHeight/2+1, "middle", "ct").Halo = len(l.Marks) > 0
			case direct:
				l.write(row.Shown[j], x, y0-LineHeight/2-1, "middle", "ct").Halo = len(l.Marks) > 0
			case l.Kind == Stack && n <= 8 && y1-y0 >= LineHeight+2 && TextWidth(row.Shown[j], TextSize)+6 <= bar:
				l.write(row.Shown[j], x, (y0+y1)/2, "middle", inkRole(i))
			}
		}
		one.Data = data
		o.MultiSeries = append(o.MultiSeries, one)
	}
	l.told = told
}

// lastMiddles are the heights of the middles of the last column's parts.
func (l *layout) lastMiddles(s scale, b box) []float64 {
	var at []float64
	up, down := 0.0, 0.0
	j := len(l.Categories) - 1
	for _, row := range l.Series {
		v := row.Values[j]
		if math.IsNaN(v) {
			v = 0
		}
		if v < 0 {
			at = append(at, s.at(down+float64(v/2), b.y1, b.y0))
			down += v
		} else {
			at = append(at, s.at(up+float64(v/2), b.y1, b.y0))
			up += v
		}
	}
	return at
}
