package chart

import (
	"math"
	"strings"

	"rickyard/calc/say"
)

func (m Mark) text() string { return strings.TrimSpace(m.Name + " " + m.Shown) }

// roomForMarks keeps room above a plot for the names of marks near its top, and
// of those that bars rise above.
func (l *layout) roomForMarks(s scale) {
	if l.narrow {
		l.keyOfMarks()
		return
	}
	_, most := l.extentOfValues()
	for _, m := range l.Marks {
		if (l.Kind == Stack || l.Kind == Columns) && most > m.Value {
			l.top += LineHeight + 2
			return
		}
		top := m.Value
		for _, v := range m.Values {
			if v > top || math.IsNaN(top) {
				top = v
			}
		}
		if top > s.max-float64(0.12*(s.max-s.min)) {
			l.top += LineHeight
			return
		}
	}
}

// keyOfMarks names the marks above the plot, where a narrow one has no room.
func (l *layout) keyOfMarks() {
	for _, m := range l.Marks {
		y := l.top + LineHeight/2 - 4
		l.draw("st k", "M0 %vh18", y)
		l.write(shorten(m.text(), l.w-26), 24, y, "", "ct")
		l.top += LineHeight + 2
	}
	if len(l.Marks) > 0 {
		l.top += 4
	}
}

// drawMarks draws the marks across an upright plot, each with its name where
// the fewest values lie under it.
func (l *layout) drawMarks(s scale, b box) {
	if s.min < 0 && s.max > 0 {
		zero := s.at(0, b.y1, b.y0)
		l.draw("sa", "M%v %vH%v", b.x0, zero, b.x1)
		l.taken = append(l.taken, box{b.x0, zero - 1, b.x1, zero + 1})
	}
	for _, m := range l.Marks {
		if len(m.Values) > 0 {
			l.stepMark(m, s, b)
			continue
		}
		y := s.at(m.Value, b.y1, b.y0)
		l.draw("sp w", "M%v %vH%v", b.x0, y, b.x1) // a rim, to be seen on dark bars
		l.draw("st k", "M%v %vH%v", b.x0, y, b.x1)
		l.label(shorten(m.text(), b.x1-b.x0-8), b, y, y)
		l.taken = append(l.taken, box{b.x0, y - 1, b.x1, y + 1})
	}
}

// stepMark draws a mark that has a value for each category: what there is in
// each month.
func (l *layout) stepMark(m Mark, s scale, b box) {
	n := len(l.Categories)
	slot := (b.x1 - b.x0) / float64(n)
	var path strings.Builder
	top := math.Inf(-1)
	on := false
	for j := range min(n, len(m.Values)) {
		v := m.Values[j]
		if math.IsNaN(v) {
			on = false
			continue
		}
		y := s.at(v, b.y1, b.y0)
		if !on {
			path.WriteString("M" + short(b.x0+float64(float64(j)*slot)) + " " + short(y))
		} else {
			path.WriteString("V" + short(y))
		}
		path.WriteString("H" + short(b.x0+float64(float64(j+1)*slot)))
		on = true
		top = max(top, v)
	}
	if path.Len() == 0 {
		return
	}
	l.draw("st k", "%v", path.String())
	y := s.at(top, b.y1, b.y0)
	l.label(shorten(m.text(), b.x1-b.x0-8), b, y, y)
}

// label writes a text above or below a level line, where nothing lies if there
// is such a place, and in no case on another text.
func (l *layout) label(text string, b box, above, below float64) {
	if l.narrow {
		return // named above the plot
	}
	w := TextWidth(text, TextSize)
	words := make([]box, len(l.Words))
	for i, x := range l.Words {
		words[i] = wordBox(x.Text, x.X, x.Y, x.Anchor)
	}
	try := func(free func(box) bool) bool {
		for _, y := range []float64{above - LineHeight/2 - 2, below + LineHeight/2 + 2} {
			for x := b.x1 - w - 2; x >= b.x0+2; x -= 12 {
				at := box{x, y - LineHeight/2, x + w, y + LineHeight/2}
				if at.y0 >= 0 && at.y1 <= b.y1 && free(at) {
					l.write(text, x, y, "", "ct").Halo = true
					return true
				}
			}
		}
		return false
	}
	clear := func(at box) bool {
		for _, o := range words {
			if at.hits(o) {
				return false
			}
		}
		return true
	}
	over := box{b.x1 - w, b.y0 - LineHeight - 4, b.x1, b.y0 - 4}
	switch {
	case try(l.free):
	case over.y0 >= 0 && clear(over):
		l.write(text, over.x0, b.y0-4-LineHeight/2, "", "ct")
	case !try(clear):
		l.write(text, b.x1-w-2, above-LineHeight/2-2, "", "ct").Halo = true
	}
}

// drawDots marks the lowest and the highest value of the first series.
func (l *layout) drawDots(s scale, b box, x func(j int) float64) {
	if !l.Lowest && !l.Highest {
		return
	}
	row := l.Series[0]
	low, high := ends(row.Values)
	if low < 0 {
		return
	}
	dot := func(j int, word, alone say.Text, below bool) {
		px, py := x(j), s.at(row.Values[j], b.y1, b.y0)
		if l.Kind == Lines || l.Kind == Area {
			l.draw("ct", "M%v %vm-4 0a4 4 0 1 1 8 0a4 4 0 1 1-8 0z", px, py)
		}
		text := l.tell(say.With(word, l.Categories[j], row.Shown[j]))
		if l.Along != nil {
			text = l.tell(say.With(alone, row.Shown[j])) // the axis tells where
		}
		text = shorten(text, b.x1-b.x0)
		l.near(text, px, py, b, below)
	}
	if l.Lowest {
		dot(low, "lowest, %s: %s", "lowest: %s", true)
	}
	if l.Highest && high != low {
		dot(high, "highest, %s: %s", "highest: %s", false)
	}
}

// near writes a text by a point: above or below it, or beside it.
func (l *layout) near(text string, px, py float64, b box, below bool) {
	w := TextWidth(text, TextSize)
	left := max(b.x0+2, min(px-float64(w/2), b.x1-w))
	sides := []float64{-1, 1}
	if below {
		sides = []float64{1, -1}
	}
	for _, away := range []float64{16, 24, 34, 46, 60} {
		for _, side := range sides {
			for _, x := range []float64{left, max(b.x0+2, px-w-8), min(px+8, b.x1-w)} {
				y := py + float64(side*away)
				at := box{x, y - LineHeight/2, x + w, y + LineHeight/2}
				if at.y1 > b.y1-1 || !l.free(at) {
					continue
				}
				l.write(text, x, y, "", "ct").Halo = true
				return
			}
		}
	}
	w = min(w, b.x1-b.x0)
	l.write(text, max(b.x0, min(px-float64(w/2), b.x1-w)), py-16, "", "ct").Halo = true
}

// drawHere draws a line down a true axis where the farm itself stands.
func (l *layout) drawHere(f foot, s scale, b box) {
	if l.Here == nil || l.Along == nil || l.Here.At < f.across.min || l.Here.At > f.across.max {
		return
	}
	x := f.across.at(l.Here.At, b.x0, b.x1)
	l.draw("st k", "M%v %vV%v", x, b.y0, b.y1)
	for i, row := range l.Series {
		if v := between(l.Along, row.Values, l.Here.At); !math.IsNaN(v) {
			y := s.at(v, b.y1, b.y0)
			l.draw(seriesRole(i)+" sp", "M%v %vm-5 0a5 5 0 1 1 10 0a5 5 0 1 1-10 0z", x, y)
			l.taken = append(l.taken, box{x - 6, y - 6, x + 6, y + 6})
		}
	}
	text := shorten(strings.TrimSpace(l.HereWords+" "+l.Here.Shown), l.w-4)
	w := TextWidth(text, TextSize)
	l.write(text, max(0, min(x-float64(w/2), l.w-w)), b.y0-LineHeight/2-2, "", "ct").Halo = true
}

// between reads a value off a line at a place between its points.
func between(along, values []float64, at float64) float64 {
	for j := 1; j < len(along); j++ {
		if along[j-1] <= at && at <= along[j] {
			if along[j] == along[j-1] {
				return values[j]
			}
			return values[j-1] + float64((at-along[j-1])/(along[j]-along[j-1])*(values[j]-values[j-1]))
		}
	}
	if len(along) == 1 && along[0] == at {
		return values[0]
	}
	return math.NaN()
}
