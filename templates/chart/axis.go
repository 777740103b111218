package chart

import (
	"math"
	"strings"
)

// at is the place of a value between two ends of an axis, in pixels.
func (s scale) at(v, from, to float64) float64 {
	return from + float64((v-s.min)/(s.max-s.min)*(to-from))
}

// extentOfValues is the lowest and highest value of the figures, stacked or not.
func (l *layout) extentOfValues() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	add := func(list ...float64) { low, high = grow(low, high, list...) }
	if l.stacked() {
		for j := range l.Categories {
			up, down := l.sums(j)
			add(up, down)
		}
	} else {
		for _, s := range l.Series {
			add(s.Values...)
			add(s.Low...)
			add(s.High...)
		}
	}
	return low, high
}

// grow widens a range to hold some values.
func grow(low, high float64, list ...float64) (float64, float64) {
	for _, v := range list {
		if !math.IsNaN(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	return low, high
}

// extent is the lowest and highest value that the axis of values must hold.
func (l *layout) extent() (low, high float64) {
	low, high = l.extentOfValues()
	add := func(list ...float64) { low, high = grow(low, high, list...) }
	for _, m := range l.Marks {
		if len(m.Values) > 0 {
			add(m.Values...)
		} else {
			add(m.Value)
		}
	}
	// A bar's length means nothing unless it starts at zero; a line may start
	// higher when all of it lies far from zero.
	lineLike := l.Kind == Lines || l.Kind == Points
	if !(lineLike && low > 0.6*high) && !(lineLike && high < 0.6*low) {
		add(0)
	}
	return low, high
}

func (c *Chart) stacked() bool {
	return c.Kind == Stack || c.Kind == Area && len(c.Series) > 1
}

// sums are the sums of a category's values above zero and below.
func (c *Chart) sums(j int) (up, down float64) {
	for _, s := range c.Series {
		if v := s.Values[j]; v > 0 {
			up += v
		} else if v < 0 {
			down += v
		}
	}
	return up, down
}

// tickTexts are the texts of a scale's ticks.
func (l *layout) tickTexts(s scale) []string {
	var texts []string
	for _, v := range s.ticks() {
		texts = append(texts, cleanText(l.Number(v, s.decimals)))
	}
	return texts
}

// writeTicks writes the numbers of an axis of values along the left edge of
// the plot.
func (l *layout) writeTicks(s scale, b box) {
	texts := l.tickTexts(s)
	for i, v := range s.ticks() {
		l.write(texts[i], b.x0-8, s.at(v, b.y1, b.y0), "end", "cm")
	}
}

// foot is what stands beneath a plot: names of categories, or the ticks of a
// true axis.
type foot struct {
	texts  []string
	lines  int // of the highest text
	years  bool
	across scale // of a true axis
	height float64
}

// isRun tells months, years and other short names in a row, of which a few are
// enough.
func (c *Chart) isRun() bool {
	return c.Years || len(c.Categories) >= 12 && widest(c.Categories) <= 62
}

// lies tells that the names of the categories have no room beneath upright
// bars: the bars then lie.
func (l *layout) lies() bool {
	n := len(l.Categories)
	if l.isRun() || n > mostRows {
		return false
	}
	width := l.w - 40
	if l.Kind == Stack && len(l.Series) > 1 {
		width -= l.sideNames().width
	}
	slot := width / float64(n)
	for _, name := range l.Categories {
		if _, broken := WrapText(name, slot-6, 3); broken {
			return true
		}
	}
	return false
}

// foot finds what to write beneath a plot that is so wide.
func (l *layout) foot(width float64) foot {
	f := foot{height: LineHeight + 8}
	n := len(l.Categories)
	switch {
	case l.Along != nil:
		f.across = niceScale(l.Along[0], l.Along[n-1], int(max(2, width/80)))
		f.across.min, f.across.max = l.Along[0], l.Along[n-1]
		if f.across.max <= f.across.min {
			f.across.max = f.across.min + 1
		}
		if l.Across != "" {
			f.height += LineHeight + 2
		}
		return f
	case l.Years && n > 24:
		f.years = true
		return f
	}
	slot := width / float64(n)
	f.texts = make([]string, n)
	fits := true
	for i, name := range l.Categories {
		lines, broken := WrapText(name, slot-6, 3)
		if fits = !broken; !fits {
			break
		}
		f.texts[i] = strings.Join(lines, "\n")
		f.lines = max(f.lines, len(lines))
	}
	if fits {
		f.height = float64(float64(f.lines)*LineHeight) + 8
		return f
	}
	longest := widest(l.Categories)
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
	for i, name := range l.Categories {
		f.texts[i] = ""
		if i%every != 0 {
			continue
		}
		room := float64(float64(every)*slot) - 6
		if rest := float64(float64(n-i) * slot); i > 0 && TextWidth(name, TextSize) > rest+12 {
			continue // the last one, that would leave the drawing
		}
		f.texts[i] = shorten(name, room)
	}
	return f
}

// writeFoot writes it, beneath a plot.
func (l *layout) writeFoot(f foot, b box) {
	switch {
	case l.Along != nil:
		l.writeAlong(f, b)
		return
	case f.years:
		l.writeYears(b)
		return
	}
	slot := (b.x1 - b.x0) / float64(len(l.Categories))
	for i, text := range f.texts {
		x := b.x0 + float64((float64(i)+0.5)*slot)
		for k, line := range strings.Split(text, "\n") {
			half := float64(TextWidth(line, TextSize) / 2)
			l.write(line, max(half, min(x, min(l.w, b.x1+12)-half)), b.y1+6+LineHeight/2+float64(float64(k)*LineHeight), "middle", "ct")
		}
	}
}

// writeAlong writes the numbers of a true axis, and what it is.
func (l *layout) writeAlong(f foot, b box) {
	s := niceScale(f.across.min, f.across.max, int(max(2, (b.x1-b.x0)/80)))
	y := b.y1 + 6 + LineHeight/2
	end := math.Inf(-1)
	for _, v := range s.ticks() {
		if v < f.across.min-float64(s.step*1e-6) || v > f.across.max+float64(s.step*1e-6) {
			continue
		}
		x := f.across.at(v, b.x0, b.x1)
		text := cleanText(l.Number(v, s.decimals))
		w := float64(TextWidth(text, TextSize) / 2)
		at := min(x, l.w-w)
		if at-w < end+8 {
			continue
		}
		end = at + w
		l.draw("sa", "M%v %vv4", x, b.y1)
		l.write(text, at, y, "middle", "cm")
	}
	if l.Across != "" {
		l.write(shorten(l.Across, l.w-4), b.x1, y+LineHeight+2, "end", "cm")
	}
}

// writeYears writes a year beneath the middle of its months, and a thin line
// where each begins.
func (l *layout) writeYears(b box) {
	n := len(l.Categories)
	slot := (b.x1 - b.x0) / float64(n)
	y := b.y1 + 6 + LineHeight/2
	year := func(i int) string {
		_, y, _ := strings.Cut(l.Categories[i], " ")
		return y
	}
	for from := 0; from < n; {
		to := from + 1
		for to < n && year(to) == year(from) {
			to++
		}
		x0, x1 := b.x0+float64(float64(from)*slot), b.x0+float64(float64(to)*slot)
		if from > 0 {
			l.Under = append(l.Under, shape{"sg", "M" + short(x0) + " " + short(b.y0) + "V" + short(b.y1+4)})
		}
		if text := year(from); TextWidth(text, TextSize) <= x1-x0-2 {
			l.write(text, (x0+x1)/2, y, "middle", "ct")
		}
		from = to
	}
}

// sideNames are the names of the series at the right of a plot, beside where
// they end.
type sideNames struct {
	lines [][]string
	width float64 // 0: they have no room there
}

func (l *layout) sideNames() sideNames {
	var s sideNames
	if l.narrow {
		return s
	}
	for _, name := range l.seriesNames() {
		lines, broken := WrapText(name, float64(0.24*l.w)-22, 3)
		if broken {
			return sideNames{}
		}
		s.lines = append(s.lines, lines)
		s.width = max(s.width, widest(lines))
	}
	high := 0.0
	for _, lines := range s.lines {
		high += float64(float64(len(lines))*LineHeight) + 2
	}
	if high > 200 { // they would not fit beside the plot
		return sideNames{}
	}
	s.width += 22
	return s
}

// write writes the names beside the heights that they belong to, each by itself.
// from has where each line ends, for the leaders; it is nil for areas.
func (s sideNames) write(l *layout, at, from []float64, b box) {
	order := make([]int, len(at))
	for i := range order {
		order[i] = i
	}
	for i := range order { // a few: by insertion, from top to bottom
		for k := i; k > 0 && at[order[k]] < at[order[k-1]]; k-- {
			order[k], order[k-1] = order[k-1], order[k]
		}
	}
	height := func(i int) float64 { return float64(len(s.lines[i])) * LineHeight }
	// Down as far as those above need, then up as far as the edge needs.
	y := make([]float64, len(at))
	edge := b.y0 - 6
	for _, i := range order {
		y[i] = max(at[i], edge+float64(height(i)/2))
		edge = y[i] + float64(height(i)/2) + 2
	}
	edge = b.y1 + 4
	for k := len(order) - 1; k >= 0; k-- {
		i := order[k]
		y[i] = min(y[i], edge-float64(height(i)/2))
		edge = y[i] - float64(height(i)/2) - 2
	}
	x := b.x1 + 6
	for i := range at {
		switch {
		case from != nil && from[i] >= b.x1-40:
			l.draw(strokeRole(i)+" l", "M%v %vL%v %v", from[i]+5, at[i], x+10, y[i])
		case from != nil:
			l.draw(strokeRole(i)+" w"+dashOf(i), "M%v %vH%v", x-4, y[i], x+10)
		default:
			l.swatch(seriesRole(i), x, y[i])
		}
		for k, text := range s.lines[i] {
			l.write(text, x+16, y[i]+float64((float64(k)-float64(float64(len(s.lines[i])-1)/2))*LineHeight), "", "ct")
		}
	}
}
