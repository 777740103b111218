package chart

import (
	"math"
	"slices"
	"strconv"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"

	"rickyard/calc/portable"
	"rickyard/calc/say"
)

var points = &kind{says: "Points", categories: 400, series: 8, marks: true, lay: layPoints}

// bunched tells values of which most would lie in a tenth of a plain axis: a
// logarithmic one spreads them.
func bunched(values []float64) bool {
	var v []float64
	for _, x := range values {
		if !math.IsNaN(x) {
			v = append(v, x)
		}
	}
	if len(v) < 5 {
		return false
	}
	slices.Sort(v)
	return v[0] >= 0 && v[len(v)/2] < v[len(v)-1]/6
}

// An axisOf is an axis of points: plain, or logarithmic.
type axisOf struct {
	scale
	log   bool
	ticks []float64
	texts []string
}

// place turns a value into what the script draws it by.
func (a axisOf) place(v float64) float64 {
	switch {
	case !a.log:
		return v
	case v <= 0:
		return a.min // nought stands at the edge, beyond the axis
	}
	return portable.Log10(v)
}

func (l *layout) pointAxis(values, more []float64, steps int) axisOf {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range append(append([]float64(nil), values...), more...) {
		if !math.IsNaN(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	if math.IsInf(low, 0) {
		low, high = 0, 1
	}
	if bunched(values) && low >= 0 {
		return l.logAxis(values, high)
	}
	if !(low > 0.6*high) && !(high < 0.6*low) {
		low, high = min(0, low), max(0, high)
	}
	s := niceScale(low, high, steps)
	return axisOf{scale: s, ticks: s.ticks(), texts: l.tickTexts(s)}
}

// logAxis has a tick at each 1, 2 and 5 times a power of ten, of which so many
// are named as there is room for. Nought, which no such axis has, stands apart
// at its edge.
func (l *layout) logAxis(values []float64, high float64) axisOf {
	a := axisOf{log: true}
	low, nought := high, false
	for _, v := range values {
		if v == 0 {
			nought = true
		} else if v < low {
			low = v
		}
	}
	low *= 0.8
	high *= 1.25
	a.min, a.max = portable.Log10(low), portable.Log10(high)
	if nought {
		a.min -= float64(0.12 * (a.max - a.min))
		a.ticks, a.texts = append(a.ticks, 0), append(a.texts, "0")
	}
	wide := portable.Pow(10, math.Floor(a.min))
	for ; wide <= high; wide *= 10 {
		for _, m := range []float64{1, 2, 5} {
			if v := m * wide; v >= low && v <= high && (a.max-a.min < 2.5 || m == 1) {
				decimals := max(0, int(-math.Floor(portable.Log10(v)+1e-9)))
				a.ticks = append(a.ticks, v)
				a.texts = append(a.texts, cleanText(l.Number(v, decimals)))
			}
		}
	}
	return a
}

// layPoints lays out named points by two values.
func layPoints(l *layout) *base {
	across, up := l.Across, l.Unit
	var xs, ys, marks []float64
	for _, s := range l.Series {
		for i, v := range s.At {
			if !math.IsNaN(v) && !math.IsNaN(s.Values[i]) {
				xs, ys = append(xs, v), append(ys, s.Values[i])
			}
		}
	}
	for _, m := range l.Marks {
		marks = append(marks, m.Value)
	}
	x, y := l.pointAxis(xs, nil, l.ticksWanted()+1), l.pointAxis(ys, marks, l.ticksWanted())
	if x.log {
		across = l.tell(say.With("%s (each line a multiple of the last)", across))
	}
	if y.log {
		up = l.tell(say.With("%s (each line a multiple of the last)", up))
	}
	l.Unit = up
	l.writeUnit()
	names := l.seriesNames()
	if len(l.Series) > 1 {
		for i, n := range names {
			if n == "" {
				names[i] = strconv.Itoa(i + 1)
			}
		}
		l.writeKey(names, false)
	}
	l.left = widest(y.texts) + 10
	if len(x.texts) > 0 {
		l.right = float64(TextWidth(x.texts[len(x.texts)-1], TextSize)/2) + 6
	}
	l.top += 8
	l.roomForMarks(y.scale)
	acrossLines, _ := WrapText(across, l.w-4, 2)
	l.bottom = LineHeight + 10 + float64(float64(len(acrossLines))*LineHeight)
	plot := 300.0
	if l.narrow {
		plot = 250
	}
	b := box{l.left, l.top, l.w - l.right, l.top + plot}
	l.h = b.y1 + l.bottom
	l.writePointAxes(x, y, b)
	for i, text := range acrossLines {
		l.write(text, b.x1+l.right, b.y1+8+LineHeight*1.5+float64(float64(i)*LineHeight), "end", "cm")
	}

	o := &charts.NewScatter().BaseConfiguration
	o.XAxisList, o.YAxisList = []opts.XAxis{valueAxisX(x.scale, false)}, []opts.YAxis{valueAxisY(y.scale, false)}
	o.XAxisList[0].AxisLine = &opts.AxisLine{Show: opts.Bool(true), OnZero: opts.Bool(false), LineStyle: line("ca", 1)}
	var dots []dot
	for i, s := range l.Series {
		one := charts.SingleSeries{Name: seriesKey(i), Type: "scatter",
			Symbol: []string{"circle", "rect", "triangle", "diamond"}[i%4], SymbolSize: 9,
			ItemStyle: &opts.ItemStyle{Color: StandIn(seriesRole(i)), BorderColor: StandIn("cp"), BorderWidth: 1}}
		l.add("series."+strconv.Itoa(i)+".itemStyle.opacity", 1)
		var data []any
		for j, v := range s.Values {
			if math.IsNaN(v) || math.IsNaN(s.At[j]) {
				continue
			}
			data = append(data, []any{x.place(s.At[j]), y.place(v)})
			px, py := x.at(x.place(s.At[j]), b.x0, b.x1), y.at(y.place(v), b.y1, b.y0)
			dots = append(dots, dot{l.Categories[j], px, py})
			l.taken = append(l.taken, box{px - 6, py - 6, px + 6, py + 6})
		}
		one.Data = data
		o.MultiSeries = append(o.MultiSeries, one)
	}
	for _, m := range l.Marks {
		py := y.at(y.place(m.Value), b.y1, b.y0)
		l.draw("st k", "M%v %vH%v", b.x0, py, b.x1)
		l.label(shorten(m.text(), b.x1-b.x0-8), b, py, py)
		l.taken = append(l.taken, box{b.x0, py - 1, b.x1, py + 1})
	}
	l.nameDots(dots, b)
	l.bottom = l.h - b.y1
	return o
}

func (l *layout) writePointAxes(x, y axisOf, b box) {
	for i, v := range y.ticks {
		py := y.at(y.place(v), b.y1, b.y0)
		l.Under = append(l.Under, shape{"sg l", "M" + short(b.x0) + " " + short(py) + "H" + short(b.x1)})
		l.write(y.texts[i], b.x0-8, py, "end", "cm")
	}
	end := math.Inf(-1)
	for i, v := range x.ticks {
		px := x.at(x.place(v), b.x0, b.x1)
		w := float64(TextWidth(x.texts[i], TextSize) / 2)
		if x.log {
			l.Under = append(l.Under, shape{"sg l", "M" + short(px) + " " + short(b.y0) + "V" + short(b.y1)})
		}
		if px-w > end+6 && px+w <= l.w {
			end = px + w
			l.write(x.texts[i], px, b.y1+6+LineHeight/2, "middle", "cm")
		}
	}
}

// A dot is a point where it is drawn.
type dot struct {
	name   string
	px, py float64
}

// nameDots names the points beside them, or away from them at the end of a
// thin line. If one finds no room, all carry numbers, with a key beneath.
func (l *layout) nameDots(dots []dot, b box) {
	words, shapes, taken := len(l.Words), len(l.Shapes), len(l.taken)
	all := true
	for _, d := range dots {
		all = all && l.nameDot(d, b)
	}
	if all {
		return
	}
	l.Words, l.Shapes, l.taken = l.Words[:words], l.Shapes[:shapes], l.taken[:taken]
	y := l.h + LineHeight/2
	column, x := 0, 0.0
	columns := 3
	if l.narrow {
		columns = 1
	}
	width := l.w / float64(columns)
	for i, d := range dots {
		mark := strconv.Itoa(i + 1)
		l.nameDot(dot{mark, d.px, d.py}, b)
		x = float64(column) * width
		l.write(shorten(mark+"  "+d.name, width-8), x, y, "", "ct")
		if column++; column == columns {
			column = 0
			y += LineHeight + 2
		}
	}
	if column == 0 {
		y -= LineHeight + 2
	}
	l.h = y + LineHeight/2 + 4
}

// leaderWays are the directions of lines from points to their names.
var leaderWays = [][2]float64{{0.8, 0.6}, {0.8, -0.6}, {0.96, 0.28}, {0.96, -0.28}, {0.5, -0.87}, {0.5, 0.87}, {1, 0}, {0.2, 0.98}, {0.2, -0.98}, {-0.8, -0.6}, {-0.8, 0.6}, {0, -1}, {0, 1}}

// nameDot finds room for the name of a point: to its right, left, above or
// below, clear of the points and names so far, or at the end of a thin line.
func (l *layout) nameDot(d dot, b box) bool {
	name := d.name
	w := TextWidth(name, TextSize)
	if w > 0.45*l.w {
		return false
	}
	const half = LineHeight / 2
	inside := func(t box) bool {
		return t.x0 >= b.x0 && t.x1 <= l.w && t.y0 >= 0 && t.y1 <= b.y1-1 && l.free(t)
	}
	for _, try := range []struct{ x, y float64 }{{d.px + 8, d.py}, {d.px - 8 - w, d.py}, {d.px - float64(w/2), d.py - 8 - half}, {d.px - float64(w/2), d.py + 8 + half}} {
		if inside(box{try.x, try.y - half, try.x + w, try.y + half}) {
			l.write(name, try.x, try.y, "", "ct").Halo = true
			return true
		}
	}
	for k := range 2 * 20 {
		away, crossing := 20+float64(float64(k%20)*6), k >= 20
		if away > 0.25*l.w {
			continue
		}
		for _, to := range leaderWays {
			ex, ey := d.px+float64(away*to[0]), d.py+float64(away*to[1])
			x := ex + 3
			if to[0] < 0 {
				x = ex - 3 - w
			}
			if !inside(box{x, ey - half, x + w, ey + half}) {
				continue
			}
			// The line keeps off names and points if it can, and later names off it.
			var steps []box
			for at := 8.0; at <= away; at += 2 {
				steps = append(steps, box{d.px + float64(at*to[0]) - 1, d.py + float64(at*to[1]) - 1, d.px + float64(at*to[0]) + 1, d.py + float64(at*to[1]) + 1})
			}
			if !crossing && slices.ContainsFunc(steps, func(s box) bool { return !l.free(s) }) {
				continue
			}
			l.write(name, x, ey, "", "ct").Halo = true
			l.taken = append(l.taken, steps...)
			l.draw("sa l", "M%v %vL%v %v", d.px+float64(6*to[0]), d.py+float64(6*to[1]), ex, ey)
			return true
		}
	}
	return false
}
