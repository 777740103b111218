package chart

import (
	"fmt"
	"math"
	"strconv"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"

	"rickyard/calc/say"
)

var heat = &kind{says: "Shaded table", categories: 120, series: mostRows, lay: layHeat}

// layHeat lays out a table of shaded cells. On a narrow page the name of a row
// stands above its cells.
func layHeat(l *layout) *base {
	l.writeUnit()
	n, rows := len(l.Categories), len(l.Series)
	if !l.narrow {
		l.left = min(max(widest(l.seriesNames()), TextWidth(l.Up, TextSize)), 0.3*l.w) + 10
	}
	cell := l.plotWidth() / float64(n)
	l.told = true
	for _, s := range l.Series {
		l.told = l.told && widest(s.Shown) <= cell-4
	}
	most := l.mostOf()
	switch {
	case !l.told:
		l.heatKey(most)
	case l.Each && len(l.Series) > 1:
		l.write(shorten(l.tell(say.Text("Each row is shaded by its own highest.")), l.w), 0, l.top+LineHeight/2, "", "cm")
		l.top += LineHeight + 4
	}
	if l.Up != "" && l.narrow {
		l.write(shorten(l.Up, l.w)+" ↓", 0, l.top+LineHeight/2, "", "cm")
		l.top += LineHeight
	}
	if l.Along == nil && !l.isRun() && l.lies() {
		l.numberColumns()
	}
	if l.Across != "" && l.Along != nil {
		l.write(shorten(l.Across, l.plotWidth()), l.left, l.top+LineHeight/2, "", "cm")
		l.top += LineHeight + 2
	}
	// The names of the columns stand above the first row.
	f := l.foot(l.plotWidth())
	if l.Along != nil {
		f = l.numbersAbove(cell)
	}
	head := box{l.left, 0, l.w - l.right, l.top - 6}
	l.writeFoot2(f, head)
	if !l.narrow {
		l.write(shorten(l.Up, l.left-8), 0, l.top+LineHeight/2, "", "cm")
	}
	l.top += f.height - 2

	const high = 25.0
	o := &charts.NewHeatMap().BaseConfiguration
	o.XAxisList, o.YAxisList = nil, nil
	pitch := high
	if l.narrow {
		pitch = high + LineHeight + 6
	}
	for i, s := range l.Series {
		top := l.top + float64(float64(i)*pitch)
		if l.narrow {
			l.write(shorten(s.Name, l.w), 0, top+LineHeight/2, "", "ct")
			top += LineHeight + 2
		} else {
			l.write(shorten(s.Name, l.left-8), 0, top+high/2, "", "ct")
		}
		l.heatRow(o, i, box{l.left, top, l.w - l.right, top + high}, most[i])
	}
	l.h = l.top + float64(float64(rows)*pitch) + 4
	l.settleGrids(o)
	l.Cells = true
	l.add("visualMap", []any{map[string]any{"type": "piecewise", "show": false, "dimension": 2, "pieces": heatPieces()}})
	return o
}

// numberColumns puts numbers in the place of names that have no room above
// their columns, and a key of them first.
func (l *layout) numberColumns() {
	numbers := make([]string, len(l.Categories))
	for i, name := range l.Categories {
		numbers[i] = strconv.Itoa(i + 1)
		l.write(shorten(numbers[i]+"  "+name, l.w), 0, l.top+LineHeight/2, "", "ct")
		l.top += LineHeight
	}
	l.top += 4
	l.Categories = numbers
}

// mostOf is the value that each row is shaded by: the greatest of all, or its own.
func (l *layout) mostOf() []float64 {
	most, all := make([]float64, len(l.Series)), 0.0
	for i, s := range l.Series {
		for _, v := range s.Values {
			if !math.IsNaN(v) {
				most[i] = max(most[i], math.Abs(v))
			}
		}
		all = max(all, most[i])
	}
	for i := range most {
		if !l.Each {
			most[i] = all
		}
	}
	return most
}

// numbersAbove are the numbers of a true axis above the columns of a table.
func (l *layout) numbersAbove(cell float64) foot {
	f := foot{height: LineHeight + 8, texts: make([]string, len(l.Categories))}
	every := int(math.Ceil((widest(l.Categories) + 6) / cell))
	for i, name := range l.Categories {
		if i%max(1, every) == 0 {
			f.texts[i] = name
		}
	}
	return f
}

// writeFoot2 writes the names of the columns beneath a line.
func (l *layout) writeFoot2(f foot, b box) {
	along := l.Along
	l.Along, f.years = nil, false
	if f.texts == nil {
		f.texts = make([]string, len(l.Categories))
	}
	l.writeFoot(f, b)
	l.Along = along
}

// heatPieces maps each class of shade, a number of its own, to its colour.
func heatPieces() []any {
	var pieces []any
	for i := range heatPalette {
		pieces = append(pieces, map[string]any{"min": float64(i) + 0.5, "max": float64(i) + 1.5, "color": StandIn(fmt.Sprintf("h%d", i+1))})
	}
	for i := range coldPalette {
		pieces = append(pieces, map[string]any{"min": -float64(i) - 1.5, "max": -float64(i) - 0.5, "color": StandIn(fmt.Sprintf("n%d", i+1))})
	}
	return pieces
}

// heatRow draws one row of cells, with their values if there is room.
func (l *layout) heatRow(o *base, i int, b box, most float64) {
	plot := len(l.grids)
	l.grids = append(l.grids, b)
	x, y := categoryAxisX(len(l.Categories), false), categoryAxisY(1, false)
	x.GridIndex, y.GridIndex = plot, plot
	x.Show, y.Show = opts.Bool(false), opts.Bool(false)
	o.XAxisList, o.YAxisList = append(o.XAxisList, x), append(o.YAxisList, y)
	cell := (b.x1 - b.x0) / float64(len(l.Categories))
	var data []any
	for j, v := range l.Series[i].Values {
		if math.IsNaN(v) {
			continue
		}
		class := heatClass(v, most)
		ink := heatInk(class)
		data = append(data, []any{j, 0, class})
		if l.told {
			l.write(l.Series[i].Shown[j], b.x0+float64((float64(j)+0.5)*cell), (b.y0+b.y1)/2, "middle", ink)
		}
		if l.Here != nil && i == l.HereRow && l.Here.At == float64(j) {
			l.draw("st", "M%v %vh%vv%vh%vz", b.x0+float64(float64(j)*cell), b.y0, cell, b.y1-b.y0, -cell)
		}
	}
	one := charts.SingleSeries{Name: seriesKey(i), Type: "heatmap", Data: data,
		ItemStyle: &opts.ItemStyle{BorderColor: StandIn("cp"), BorderWidth: 1.5}}
	one.XAxisIndex, one.YAxisIndex = plot, plot
	o.MultiSeries = append(o.MultiSeries, one)
}

// heatInk is the class of a text on a shade. Shades with the same ink share
// one, so that their texts can stand together.
func heatInk(class int) string {
	switch {
	case class < 0:
		return fmt.Sprintf("ni%d", -class)
	case class <= 4:
		return "hi1"
	case class == 5:
		return "hi5"
	}
	return "hi6"
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
func (l *layout) heatKey(most []float64) {
	low, high := "", ""
	negative := false
	for _, s := range l.Series {
		for _, v := range s.Values {
			negative = negative || v < 0
		}
	}
	decimals := l.Decimals
	if decimals < 0 {
		decimals = l.neededDecimals()
	}
	if l.Each {
		low, high = l.tell(say.Text("little|shade")), l.tell(say.Text("the row's most"))
	} else {
		high = cleanText(l.Number(most[0], decimals))
		low = cleanText(l.Number(0, decimals))
		if negative {
			low = cleanText(l.Number(-most[0], decimals))
		}
	}
	step := 16.0
	if l.narrow {
		step = 10
	}
	x, y := 0.0, l.top+LineHeight/2
	word := func(text string) {
		text = shorten(text, l.w-x)
		l.write(text, x, y, "", "cm")
		x += TextWidth(text, TextSize) + 6
	}
	word(shorten(low, l.w/4))
	if negative {
		for i := len(coldPalette); i > 0; i-- {
			l.draw(fmt.Sprintf("n%d", i), "M%v %vh%vv12h%vz", x, y-6, step, -step)
			x += step
		}
	}
	for i := range heatPalette {
		l.draw(fmt.Sprintf("h%d", i+1), "M%v %vh%vv12h%vz", x, y-6, step, -step)
		x += step
	}
	x += 6
	word(high)
	l.top += LineHeight + 6
}
