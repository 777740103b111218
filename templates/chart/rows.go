package chart

import (
	"math"
	"strings"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"
)

var bars = &kind{says: "Bars", categories: mostRows, series: len(seriesPalette), marks: true, lay: layRows}

// A sideText is a text beside a bar: at the end that it names, in a row.
type sideText struct {
	row   int
	at    float64 // the value beside which it stands
	y     float64
	text  string
	left  bool
	width float64
}

// rows is a chart with a row for each category while it is laid out.
type rows struct {
	*layout
	names  [][]string
	middle []float64 // of the bars of each row
	high   float64   // of all bars of a row
	texts  []sideText
	untold bool // a value has no text beside its bar
}

// layRows lays out the kinds with a row for each category.
func layRows(l *layout) *base {
	r := &rows{layout: l}
	l.writeUnit()
	r.high = 18
	if l.narrow {
		r.high = 14
	}
	together := l.Kind == Bars || l.Kind == Columns
	switch {
	case l.Kind == Ranges:
		s := l.Series[0]
		l.writeKey([]string{s.LowName, s.HighName}, false)
	case len(l.Series) > 1:
		l.writeKey(l.seriesNames(), false)
		l.Parted = true
		if together {
			r.high = float64(len(l.Series)) * (LineHeight - 1)
		}
	}
	r.wrapNames()
	r.placeRows(0)
	r.addSpans()
	s := r.roomForTexts()
	markLines := r.markTops(s)
	if markLines > 0 {
		for i := range r.texts {
			r.texts[i].y += markLines
		}
		for _, row := range l.Spans {
			for k := range row {
				row[k].Y += markLines
				if row[k].Join > 0 {
					row[k].Join += markLines
				}
			}
		}
		r.placeRows(markLines)
	}
	l.h = math.Ceil(l.h)
	r.writeNames()
	r.writeTexts(s)
	if l.Kind == Stack {
		r.writeParts(s)
	}
	r.drawRowMarks(s)
	l.told = l.Kind != Stack && !r.untold

	o := &charts.NewCustom().BaseConfiguration
	o.YAxisList = []opts.YAxis{categoryAxisY(len(l.Categories), false)}
	o.XAxisList = []opts.XAxis{valueAxisX(s, false)}
	l.add("xAxis.0.show", false)
	l.add("yAxis.0.show", false)
	l.addSpanSeries(o)
	return o
}

// wrapNames sets the names of the rows: beside the bars, or above them where
// the page is narrow.
func (r *rows) wrapNames() {
	room := 0.34 * r.w
	if r.narrow {
		room = r.w - 2
	}
	width := 0.0
	for _, name := range r.Categories {
		lines, _ := WrapText(name, room, 2)
		r.names = append(r.names, lines)
		width = max(width, widest(lines))
	}
	if !r.narrow {
		r.left = width + 12
	}
}

// placeRows stacks the rows, so far below where it would begin.
func (r *rows) placeRows(down float64) {
	y := r.top + down
	r.middle = r.middle[:0]
	for _, lines := range r.names {
		text := float64(float64(len(lines)) * LineHeight)
		if r.narrow {
			r.middle = append(r.middle, y+text+float64(r.high/2))
			y += text + r.high + 10
			continue
		}
		whole := max(text, r.high) + 9
		r.middle = append(r.middle, y+float64(whole/2))
		y += whole
	}
	r.h = y + 2
}

func (r *rows) writeNames() {
	for i, lines := range r.names {
		for k, text := range lines {
			y := r.middle[i] + float64((float64(k)-float64(float64(len(lines)-1)/2))*LineHeight)
			if r.narrow {
				y = r.middle[i] - float64(r.high/2) - float64((float64(len(lines)-k)-0.5)*LineHeight)
			}
			r.write(text, 0, y, "", "ct")
		}
	}
}

// addSpans adds the bars of every row, and the texts beside them.
func (r *rows) addSpans() {
	r.Spans = make([][]span, len(r.Categories))
	switch r.Kind {
	case Ranges:
		r.rangeSpans()
	case Steps:
		r.stepSpans()
	case Split:
		r.splitSpans()
	case Stack:
		r.stackSpans()
	default:
		r.barSpans()
	}
}

func (r *rows) text(row int, at, y float64, text string, left bool) {
	if text != "" {
		text = shorten(text, 0.3*r.w)
		r.texts = append(r.texts, sideText{row, at, y, text, left, TextWidth(text, TextSize)})
	}
}

func (r *rows) barSpans() {
	each := r.high / float64(len(r.Series))
	for i, s := range r.Series {
		for j, v := range s.Values {
			if math.IsNaN(v) {
				continue
			}
			y := r.middle[j] + float64((float64(i)-float64(float64(len(r.Series)-1)/2))*each)
			high := each
			if len(r.Series) > 1 {
				high -= 2
			}
			r.Spans[j] = append(r.Spans[j], span{Y: y, High: high, From: 0, To: v, Fill: StandIn(seriesRole(i))})
			r.text(j, v, y, s.Shown[j], v < 0)
		}
	}
}

// stackSpans sets the parts of each category end to end.
func (r *rows) stackSpans() {
	for j := range r.Categories {
		up, down := 0.0, 0.0
		for i, s := range r.Series {
			v := s.Values[j]
			if math.IsNaN(v) {
				continue
			}
			from := &up
			if v < 0 {
				from = &down
			}
			r.Spans[j] = append(r.Spans[j], span{Y: r.middle[j], High: r.high, From: *from, To: *from + v, Fill: StandIn(seriesRole(i)), Edge: true})
			*from += v
		}
	}
}

// roomForTexts finds the scale of the rows. Every bar carries its value beside
// it, so there is no axis; the margins widen until each text fits, and the
// scale shrinks as they widen, so a few rounds are needed.
func (r *rows) roomForTexts() scale {
	low, high := 0.0, 0.0
	if r.Kind == Ranges {
		low, high = r.Base, r.Base
	}
	for _, row := range r.Spans {
		for _, s := range row {
			low, high = min(low, s.From, s.To), max(high, s.From, s.To)
		}
	}
	for _, m := range r.Marks {
		if len(m.Values) == 0 {
			low, high = min(low, m.Value), max(high, m.Value)
		}
	}
	if low == high {
		high++
	}
	padLeft, padRight := 0.0, 0.0
	for range 8 {
		plot := max(40, r.plotWidth()-padLeft-padRight)
		needLeft, needRight := 0.0, 0.0
		for _, t := range r.texts {
			if t.left {
				needLeft = max(needLeft, t.width+6-float64((t.at-low)/(high-low)*plot))
			} else {
				needRight = max(needRight, t.width+6-float64((high-t.at)/(high-low)*plot))
			}
		}
		padLeft, padRight = max(0, needLeft), max(0, needRight)
	}
	most := 0.45 * r.w
	r.left += min(padLeft, most)
	r.right += min(padRight, most)
	return scale{min: low, max: high}
}

func (r *rows) writeTexts(s scale) {
	for _, t := range r.texts {
		x := s.at(t.at, r.left, r.w-r.right)
		if t.left {
			r.write(t.text, max(t.width, x-5), t.y, "end", "ct")
		} else {
			r.write(t.text, min(r.w-t.width, x+5), t.y, "", "ct")
		}
	}
}

// writeParts writes the values of a stack's parts within them, where they fit.
func (r *rows) writeParts(s scale) {
	for j := range r.Categories {
		k := 0 // of the spans, which gaps have none of
		for i, row := range r.Series {
			if math.IsNaN(row.Values[j]) {
				continue
			}
			part := r.Spans[j][k]
			k++
			x0, x1 := s.at(part.From, r.left, r.w-r.right), s.at(part.To, r.left, r.w-r.right)
			if TextWidth(row.Shown[j], TextSize)+6 <= math.Abs(x1-x0) {
				r.write(row.Shown[j], (x0+x1)/2, part.Y, "middle", inkRole(i))
			}
		}
	}
}

// A rowMark is a line down through the rows.
func (r *rows) rowMarks() []Mark {
	var marks []Mark
	for _, m := range r.Marks {
		if len(m.Values) == 0 {
			marks = append(marks, m)
		}
	}
	if r.Kind == Ranges {
		marks = append(marks, Mark{Name: r.BaseName, Value: r.Base, Shown: r.BaseShown})
	}
	return marks
}

// markTops writes the names of the marks in lines above the rows, each over its
// place, and returns the height that they take.
func (r *rows) markTops(s scale) float64 {
	var lines [][]box
	for _, m := range r.rowMarks() {
		text := shorten(m.text(), r.w-4)
		w := TextWidth(text, TextSize)
		x := max(0, min(s.at(m.Value, r.left, r.w-r.right)-float64(w/2), r.w-w))
		row := 0
		for ; row < len(lines); row++ {
			clear := true
			for _, b := range lines[row] {
				clear = clear && (x > b.x1+8 || x+w < b.x0-8)
			}
			if clear {
				break
			}
		}
		if row == len(lines) {
			lines = append(lines, nil)
		}
		lines[row] = append(lines[row], box{x0: x, x1: x + w})
		r.write(text, x, r.top+LineHeight/2+float64(float64(row)*LineHeight), "", "ct")
	}
	if len(lines) == 0 {
		return 0
	}
	return float64(float64(len(lines))*LineHeight) + 4
}

// drawRowMarks draws a line for each mark, which stops at the texts in its way.
func (r *rows) drawRowMarks(s scale) {
	top, bottom := r.middle[0]-float64(r.high/2)-6, r.middle[len(r.middle)-1]+float64(r.high/2)+4
	draw := func(at float64, class string) {
		x := s.at(at, r.left, r.w-r.right)
		var path strings.Builder
		from := top
		for y := top; y < bottom; y++ {
			blocked := false
			for _, w := range r.Words {
				b := wordBox(w.Text, w.X, w.Y, w.Anchor)
				blocked = blocked || b.x0-2 < x && x < b.x1+2 && b.y0-3 < y && y < b.y1+3
			}
			if blocked {
				if y-from > 2 {
					path.WriteString("M" + short(x) + " " + short(from) + "V" + short(y))
				}
				from = y + 1
			}
		}
		if bottom-from > 2 {
			path.WriteString("M" + short(x) + " " + short(from) + "V" + short(bottom))
		}
		if class != "sa" {
			r.draw("sp w", "%v", path.String()) // a rim, to be seen on dark bars
		}
		r.draw(class, "%v", path.String())
	}
	if r.Kind != Ranges && r.Kind != Split && s.min <= 0 && s.max >= 0 && (s.min < 0 || !r.narrow) {
		draw(0, "sa")
	}
	for _, m := range r.rowMarks() {
		class := "st k"
		if r.Kind == Ranges && m.Value == r.Base && m.Name == r.BaseName {
			class = "st"
		}
		draw(m.Value, class)
	}
}
