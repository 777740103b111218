package templates

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/portable"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/templates/chart"
	"rickyard/templates/tree"
)

// drawing shows a drawing block: the diagram at two widths, and its sizes with
// their workings.
func (p *page) drawing(block *content.DrawingBlock) tree.Nodes {
	d := &diagram{page: p, block: block, sizes: map[string]drawnSize{}}
	if !d.take() || !d.possible() {
		return nil
	}
	var sizes []string
	for i, s := range block.Sizes {
		name := p.words.Say("draw_" + s.Key)
		if i > 0 {
			name = p.words.Mid(name)
		}
		sizes = append(sizes, name+" "+d.sizes[s.Key].text)
	}
	alt := block.Alt
	if alt == "" {
		alt = p.words.Say("draw_alt_"+block.Of) + " " + strings.Join(sizes, ", ") + "."
	}
	title := block.Title.Plain()
	drawn := tree.Join(d.svg("wide", 600, title, alt))
	if p.paper == nil {
		drawn = append(drawn, d.svg("narrow", 330, title, alt))
	}
	body := tree.E("tbody")
	for _, s := range block.Sizes {
		size := d.sizes[s.Key]
		body.Add(tree.E("tr", rowHead(p.words.Say("draw_"+s.Key)), tree.E("td.n", p.figure(size.figure, size.text))))
	}
	head := tree.E("tr", p.headCell("", p.words.Say("label")), p.headCell("n", p.words.Say("value")))
	id := p.id("drawing")
	plot := p.scrolls("plot", tree.A("aria-labelledby", id+"-c")).Add(drawn)
	return plate("figure.chart.drawing", id, plot, p.line(block.Title), p.line(block.Note),
		tree.Join(p.numbersTable(id, p.words.Say("draw_sizes"), "table.plain", head, body)))
}

// A drawnSize is a figure of a drawing: in metres, or a plain number.
type drawnSize struct {
	value  float64
	text   string
	figure *figures.Figure
	place  source.Span
}

// A diagram draws one block. Its views are drawn one under the other.
type diagram struct {
	*page
	block *content.DrawingBlock
	sizes map[string]drawnSize

	drawn tree.Nodes
	w, y  float64 // the width, and how far down it has drawn
	scale float64 // units of the drawing to a metre
}

// take finds the figures of the sizes and checks what they are.
func (d *diagram) take() bool {
	ok := true
	for _, s := range d.block.Sizes {
		f := d.lookup(s.Figure)
		if f == nil {
			ok = false
			continue
		}
		at := s.Figure.Formula
		fail := func(e *source.Error) {
			ok = false
			d.fail(e, at)
		}
		name := s.Key
		reason, none := d.Graph.Base().None(f)
		switch dimension := f.Type.Dimension; {
		case f.Type.Len > 0:
			fail(wrongSeries(f, at))
			continue
		case f.Type.Truth():
			fail(source.Errorf(source.WrongType, at, "%s is %s, and this is yes or no", name, s.Measure))
			continue
		case none:
			fail(source.Errorf(source.OutOfRange, at, "%s can't be drawn: it has no value, because %s", name, d.say(reason)))
			continue
		case s.Measure == content.ALength && dimension != quantity.Length:
			fail(source.Errorf(source.WrongUnit, at, "%s is a length, and this is in %s", name, unitWords(d.Style.Unit(f.Unit, true))))
			continue
		case s.Measure == content.OneIn && dimension != quantity.Number:
			fail(source.Errorf(source.WrongUnit, at, "%s is the plain number N of a slope of 1 in N, and this is in %s", name, unitWords(d.Style.Unit(f.Unit, true))))
			continue
		case s.Measure == content.ACount && (dimension == quantity.Length || dimension == quantity.Mass || dimension == quantity.Time || dimension == quantity.Area || dimension == quantity.Volume):
			fail(source.Errorf(source.WrongUnit, at, "%s is a number of things, and this is in %s", name, unitWords(d.Style.Unit(f.Unit, true))))
			continue
		}
		x := f.Current()
		if !(x > 0) || math.IsInf(x, 0) {
			fail(source.Errorf(source.OutOfRange, at, "%s is %s, and can't be drawn", name, d.shown(f)).With("give a value above zero"))
			continue
		}
		d.sizes[s.Key] = drawnSize{value: x, text: d.shown(f), figure: f, place: at}
	}
	return ok
}

func unitWords(unit string) string {
	if unit == "" {
		return "no unit"
	}
	return unit
}

// of returns a size in metres, or as a number.
func (d *diagram) of(key string) float64 { return d.sizes[key].value }

func (d *diagram) said(key string) string { return d.sizes[key].text }

// within reports a size that is less than low or more than high, which are
// other sizes or multiples of them.
func (d *diagram) within(key string, low, high float64, why string) bool {
	s := d.sizes[key]
	// A size that is worked out from the limit itself may miss it by a rounding.
	if s.value >= low*(1-1e-9) && s.value <= high*(1+1e-9) {
		return true
	}
	d.fail(source.Errorf(source.OutOfRange, s.place, "%s: %s can't be drawn: %s", key, s.text, why).
		With("look at its unit, and at the other sizes of the drawing"), s.place)
	return false
}

// How much of a thing is drawn one by one.
const (
	mostBirds  = 600 // drawn in a pen
	mostBoxes  = 120 // nest boxes of a house
	mostStrips = 40  // of a bed, or lines of perches or of cultivation
)

// possible checks the sizes against one another.
func (d *diagram) possible() bool {
	inf := math.Inf(1)
	ok := true
	check := func(key string, low, high float64, why string) { ok = d.within(key, low, high, why) && ok }
	switch d.block.Of {
	case "pen":
		length := d.of("length")
		check("width", length/12, length*4, "a pen is at most 12 times as long as it is wide, and 4 times as wide as long")
		check("height", length/60, 2*length, "a pen is at most twice as high as it is long, and not flatter than a sixtieth")
		check("move", length/50, 4*length, "the day's move is from a fiftieth of a pen's length to four lengths")
		check("birds", 1, mostBirds, fmt.Sprintf("from 1 to %d birds can be drawn", mostBirds))
	case "hen_house":
		length := d.of("length")
		check("width", length/12, length*1.5, "a house is at most 12 times as long as it is wide, and half as wide again as long")
		check("height", length/15, length, "a house is at most as high as it is long, and not lower than a fifteenth")
		check("drawbar", length/40, length, "a drawbar is at most as long as the house")
		check("nest_boxes", 1, mostBoxes, fmt.Sprintf("from 1 to %d nest boxes can be drawn", mostBoxes))
		check("perch", 0.1*length, mostStrips*length, fmt.Sprintf("perches are from a tenth of the house's length to %d lengths", mostStrips))
		check("hens", 1, inf, "there is at least one hen")
	case "bed":
		width := d.of("width")
		check("path", width/20, 4*width, "a path is from a twentieth of the bed's width to four widths")
		check("length", width, inf, "a bed is at least as long as it is wide")
		check("rows", 1, mostStrips, fmt.Sprintf("from 1 to %d rows can be drawn", mostStrips))
		check("spacing", width/60, 3*width, "plants stand from a sixtieth of the bed's width to three widths apart")
		if _, given := d.sizes["between"]; given {
			check("between", width/100, width, "rows are at most as far apart as the bed is wide")
			if rows := math.Round(d.of("rows")); ok && (rows-1)*d.of("between") > width*(1+1e-9) {
				check("between", 0, width/(rows-1), fmt.Sprintf("%s rows at this distance are wider than the bed", d.said("rows")))
			}
		}
	case "pond":
		depth := d.of("depth")
		high := depth + d.of("freeboard")
		check("freeboard", depth/50, 2*depth, "the freeboard is from a fiftieth of the water's depth to twice the depth")
		check("slope", 0.5, 12, "a bank under water is from 1 in 0.5 to 1 in 12")
		check("back", 0.5, 12, "the back of a bank is from 1 in 0.5 to 1 in 12")
		check("crest", high/20, 5*high, "the crest is from a twentieth of the bank's height to five heights wide")
		check("core", high/50, d.of("crest"), "a core is at most as wide as the crest above it")
		check("key", high/50, 2*high, "the key of the core is at most twice as deep as the bank is high")
		check("spillway", high/50, inf, "the spillway is a gap that water can run through")
	case "keyline":
		ridge := d.of("ridge")
		check("slope", 2, 100, "ground that is worked on the keyline falls from 1 in 2 to 1 in 100")
		check("rise", ridge/200, ridge/2, "the ridge stands from a two-hundredth to a half of its distance above the valley's floor")
		check("fall", 2*d.of("slope"), 5000, "the lines fall more gently than half the ground's slope, and not flatter than 1 in 5000")
		high := d.of("rise") + ridge/d.of("slope")
		check("interval", high/mostStrips, high, fmt.Sprintf("up to %d contours can be drawn, and one is needed", mostStrips))
		check("apart", ridge/mostStrips, ridge/2, fmt.Sprintf("up to %d lines can be drawn, and two are needed", mostStrips))
	}
	return ok
}

// svg draws the block at a width.
func (d *diagram) svg(class string, width float64, title, alt string) *tree.Element {
	d.drawn = nil
	d.w, d.y = width, 0
	switch d.block.Of {
	case "pen":
		d.pen()
	case "hen_house":
		d.henHouse()
	case "bed":
		d.bed()
	case "pond":
		d.pond()
	case "keyline":
		d.keyline()
	}
	return tree.E("svg", tree.A("xmlns", "http://www.w3.org/2000/svg"), tree.A("class", class), tree.A("viewBox", "0 0 "+tenth(d.w)+" "+tenth(math.Ceil(d.y))),
		tree.A("role", "img"), tree.E("title", txt(title)), tree.E("desc", txt(alt)), d.drawn)
}

// tenth writes a coordinate.
func tenth(x float64) string {
	x = math.Round(x*10) / 10
	if x == 0 {
		x = 0 // not -0
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

type spot struct{ x, y float64 }

// stroke draws a path.
func (d *diagram) stroke(class, path string) {
	d.drawn = append(d.drawn, tree.E("path", tree.A("class", class), tree.A("d", path)))
}

// path draws lines through spots; with shut, back to the first.
func (d *diagram) path(class string, shut bool, spots ...spot) {
	through := lineThrough(spots)
	if shut {
		through += "Z"
	}
	d.stroke(class, through)
}

func lineThrough(spots []spot) string {
	var b strings.Builder
	for i, s := range spots {
		letter := "L"
		if i == 0 {
			letter = "M"
		}
		b.WriteString(letter + tenth(s.x) + " " + tenth(s.y))
	}
	return b.String()
}

func (d *diagram) rect(class string, x, y, w, h float64) {
	d.stroke(class, fmt.Sprintf("M%s %sh%sv%sh%sZ", tenth(x), tenth(y), tenth(w), tenth(h), tenth(-w)))
}

// write puts a text that begins at x, or ends or has its middle there.
func (d *diagram) write(x, y float64, anchor, text string) {
	var at tree.Attr
	wide := float64(chart.TextWidth(text, chart.TextSize))
	switch anchor {
	case "middle":
		// It stays on the drawing.
		x = min(max(x, float64(wide/2)+1), d.w-float64(wide/2)-1)
		at = tree.A("text-anchor", anchor)
	case "end":
		at = tree.A("text-anchor", anchor)
	default:
		x = max(1, min(x, d.w-wide-1))
	}
	d.letters("ct", x, y, at, text)
}

func (d *diagram) letters(class string, x, y float64, at tree.Attr, text string) {
	d.drawn = append(d.drawn, tree.E("text", tree.A("class", class), tree.A("x", tenth(x)), tree.A("y", tenth(y)), at, txt(text)))
}

// across draws a dimension line at y from x0 to x1, with its text beneath it.
func (d *diagram) across(x0, x1, y float64, text string) {
	d.stroke("dm", fmt.Sprintf("M%s %sH%sM%[1]s %[4]sv8M%[3]s %[4]sv8", tenth(x0), tenth(y), tenth(x1), tenth(y-4)))
	if text != "" {
		d.write((x0+x1)/2, y+16, "middle", text)
	}
}

// upright draws a dimension line at x from y0 to y1, with its text to the
// right of it.
func (d *diagram) upright(x, y0, y1 float64, text string) {
	y := 0.0
	d.stroke("dm", fmt.Sprintf("M%s %sV%sM%s %[2]sh8M%[4]s %[3]sh8", tenth(x), tenth(y0), tenth(y1), tenth(x-4)))
	if y = float64((y0+y1)/2) + 4.5; y1-y0 < chart.TextSize+1 { // there is no room between the lines at its ends
		y = y0 - 5
	}
	d.write(x+8, y, "start", text)
}

// heading writes the name of a view.
func (d *diagram) heading(word string) {
	d.letters("ct dt", 1, d.y+14, tree.Attr{}, d.words.Say(word))
	d.y += 24
}

// lines writes texts under a drawing, as many to a line as there is room for.
func (d *diagram) lines(texts ...string) {
	line := ""
	flush := func() {
		if line != "" {
			d.y += chart.LineHeight
			d.write(1, d.y, "start", line)
		}
	}
	for _, text := range texts {
		if text == "" {
			continue
		}
		if line != "" && chart.TextWidth(line+" · "+text, chart.TextSize) > d.w-2 {
			flush()
			line = ""
		}
		switch {
		case line != "":
			line += " · " + text
		case chart.TextWidth(text, chart.TextSize) > d.w-2:
			parts, _ := chart.WrapText(text, d.w-2, 6)
			for _, line = range parts[:len(parts)-1] {
				flush()
			}
			line = parts[len(parts)-1]
		default:
			line = text
		}
	}
	flush()
	d.y += 6
}

// named is a size with its name, such as Nest boxes: 33.
func (d *diagram) named(key string) string {
	if _, given := d.sizes[key]; !given {
		return ""
	}
	return d.words.Say("draw_named", d.words.Say("draw_"+key), d.said(key))
}

// room is how wide a text beside a dimension line is.
func room(texts ...string) float64 {
	wide := 0.0
	for _, t := range texts {
		wide = max(wide, chart.TextWidth(t, chart.TextSize))
	}
	return wide + 14
}

// dots are round marks at spots, as one path.
func (d *diagram) dots(class string, spots []spot) {
	var b strings.Builder
	for _, s := range spots {
		b.WriteString("M" + tenth(s.x) + " " + tenth(s.y) + "h0")
	}
	d.stroke(class, b.String())
}

func (d *diagram) pen() {
	length, width, height, move := d.of("length"), d.of("width"), d.of("height"), d.of("move")
	whole := length + move
	right := room(d.said("width"), d.said("height"))
	d.scale = min((d.w-right-4)/whole, 340/width)
	s := d.scale
	x0, x1 := 2.0, 2+float64(move*s)

	d.heading("draw_plan")
	top := d.y
	w := float64(width * s)
	d.rect("dg", x1, top, length*s, w) // where it goes
	d.rect("ds", x0, top, length*s, w)
	// The birds stand in a grid that fills the pen, every second row moved.
	n := int(math.Round(d.of("birds")))
	columns := max(1, int(math.Ceil(math.Sqrt(float64(n)*length/width))))
	rows := (n + columns - 1) / columns
	var birds []spot
	for i := range n {
		across, down := float64(i%columns), float64(i/columns)
		shift := 0.3 + float64(0.4*float64(i/columns%2))
		birds = append(birds, spot{x0 + length*s*(across+shift)/float64(columns), top + w*(down+0.5)/float64(rows)})
	}
	d.dots("db", birds)
	d.upright(x0+float64((length+move)*s)+8, top, top+w, d.said("width"))
	y := top + w + 12
	d.across(x0, x0+float64(length*s), y, d.said("length"))
	y += 30
	d.arrow(x0, x1, y)
	d.write((x0+x1)/2, y+16, "middle", d.named("move"))
	d.y = y + 30

	d.heading("draw_side")
	top = d.y
	ground := top + float64(height*s)
	d.rect("dg", x1, top, length*s, height*s)
	d.path("ds", true, spot{x0, ground}, spot{x0, top}, spot{x0 + float64(length*s), top}, spot{x0 + float64(length*s), ground})
	// Roofed behind, netted in front.
	half := x0 + float64(length*s/2)
	d.rect("dk", x0, top, length*s/2, height*s)
	d.path("dl", false, spot{half, top}, spot{half, ground})
	d.path("dn", false, spot{half, ground - float64(height*s/2)}, spot{x0 + float64(length*s), ground - float64(height*s/2)})
	d.path("dl", false, spot{0, ground}, spot{x0 + float64((length+move)*s), ground})
	d.upright(x0+float64((length+move)*s)+8, top, ground, d.said("height"))
	d.y = ground + 8
	d.lines(d.named("birds"), d.named("room"))
}

// arrow draws an arrow to the right.
func (d *diagram) arrow(x0, x1, y float64) {
	d.path("dm", false, spot{x0, y}, spot{x1, y})
	d.path("dm", false, spot{x1 - 7, y - 4}, spot{x1, y}, spot{x1 - 7, y + 4})
}

func (d *diagram) henHouse() {
	length, width, height, bar := d.of("length"), d.of("width"), d.of("height"), d.of("drawbar")
	skid := height / 8
	right := room(d.said("height"))
	d.scale = min((d.w-right-4)/(float64(length*1.02)+bar), 230/height)
	s := d.scale

	d.heading("draw_side")
	top := d.y
	x0 := 2 + float64(length*0.02*s)
	x1 := x0 + float64(length*s)
	floor := top + float64(height*s)
	ground := floor + float64(skid*s)
	eaves := top + float64(height*s*0.25)
	d.rect("ds", x0, eaves, length*s, floor-eaves)
	d.path("dk", true, spot{x0 - float64(0.02*length*s), eaves}, spot{x0, top}, spot{x1, top}, spot{x1 + float64(0.02*length*s), eaves})
	// The skids, turned up in front, and the drawbar.
	d.path("dw2", false, spot{x0, ground - 3}, spot{x1 - float64(skid*s), ground - 3}, spot{x1, floor + 1})
	d.path("dw2", false, spot{x1, floor + float64(skid*s/2)}, spot{x1 + float64(bar*s), floor + float64(skid*s/2)})
	d.dots("dr", []spot{{x1 + float64(bar*s) - 3, floor + float64(skid*s/2)}})
	d.path("dl", false, spot{0, ground}, spot{x1 + float64(bar*s), ground})
	// Nest boxes along the wall, in up to three rows.
	n := int(math.Round(d.of("nest_boxes")))
	wall := floor - eaves
	rows := 1
	if n > 10 {
		rows = 2
	}
	if n > 50 {
		rows = 3
	}
	columns := (n + rows - 1) / rows
	box := min(length*s*0.9/float64(columns), wall*0.75/float64(rows))
	left := x0 + float64((float64(length*s)-float64(box*float64(columns)))/2)
	boxes := ""
	for i := range n {
		column, row := i/rows, i%rows
		boxes += fmt.Sprintf("M%s %sh%sv%[3]sh-%[3]sZ", tenth(left+float64(float64(column)*box)), tenth(eaves+float64(wall*0.12)+float64(float64(row)*box)), tenth(box))
	}
	d.stroke("dn", boxes)
	d.upright(x1+float64(bar*s)+8, top, floor, d.said("height"))
	y := ground + 12
	d.across(x0, x1, y, d.said("length"))
	if bar*s > chart.TextWidth(d.said("drawbar"), chart.TextSize) {
		d.across(x1, x1+float64(bar*s), y, d.said("drawbar"))
	} else {
		d.across(x1, x1+float64(bar*s), y+18, d.said("drawbar"))
		y += 18
	}
	d.y = y + 32

	d.heading("draw_section")
	top = d.y
	floor = top + float64(height*s)
	ground = floor + float64(skid*s)
	eaves = top + float64(height*s*0.25)
	mid := x0 + float64(width*s/2)
	d.path("ds", true, spot{x0, floor}, spot{x0, eaves}, spot{mid, top}, spot{x0 + float64(width*s), eaves}, spot{x0 + float64(width*s), floor})
	d.rect("dk", x0+float64(width*s*0.05), floor, width*s*0.08, skid*s)
	d.rect("dk", x0+float64(width*s*0.87), floor, width*s*0.08, skid*s)
	// Perches run the length of the house; each is seen from its end.
	rails := max(1, int(math.Ceil(d.of("perch")/length-1e-9)))
	var ends []spot
	for i := range rails {
		part := (float64(i) + 0.5) / float64(rails)
		up := 0.25 + float64(0.3*(1-math.Abs(float64(2*part)-1)))
		ends = append(ends, spot{x0 + float64(width*s*(0.08+float64(0.84*part))), floor - float64(height*s*up)})
	}
	if rails > 1 {
		d.path("dm", false, ends...)
	}
	d.dots("dr", ends)
	d.path("dl", false, spot{0, ground}, spot{x0 + float64(width*s) + 10, ground})
	d.across(x0, x0+float64(width*s), ground+12, d.said("width"))
	d.y = ground + 38
	d.lines(d.named("nest_boxes"), d.named("perch"), d.named("hens"), d.named("hens_a_metre"))
}

func (d *diagram) bed() {
	width, path, length := d.of("width"), d.of("path"), d.of("length")
	whole := width + float64(2*path)
	right := room(d.said("width"), d.said("path"), d.said("between"))
	d.scale = 180 / whole
	// The bed is drawn as long as there is room for, at most as long as it is.
	x0, x1 := 2.0, d.w-right-4
	broken := length*d.scale > x1-x0
	if !broken {
		x1 = x0 + float64(length*d.scale)
	}
	s := d.scale
	d.heading("draw_plan")
	top := d.y
	d.rect("dg", x0, top, x1-x0, whole*s)
	bedTop := top + float64(path*s)
	d.rect("de", x0, bedTop, x1-x0, width*s)
	n := int(math.Round(d.of("rows")))
	between := width / float64(n)
	if v := d.of("between"); v > 0 {
		between = v
	}
	first := bedTop + float64((width-float64(float64(n-1)*between))/2*s)
	spacing := float64(d.of("spacing") * s)
	breakAt, breakWide := x0+float64((x1-x0)*0.62), 16.0
	var plants []spot
	firstX := x0 + min(spacing/2, (x1-x0)/4)
	for i := range n {
		for k := 0; ; k++ {
			x := firstX + float64(float64(k)*spacing)
			if x > x1-3 || len(plants) > 4000 {
				break
			}
			if broken && x > breakAt-6 && x < breakAt+breakWide+6 {
				continue
			}
			plants = append(plants, spot{x, first + float64(float64(i)*between*s)})
		}
	}
	d.dots("dp", plants)
	if broken {
		// Two ragged edges with nothing between them.
		var leftEdge, rightEdge []spot
		for i := range 9 {
			y := top - 3 + float64((float64(whole*s)+6)*float64(i)/8)
			x := breakAt + float64(5*float64(i%2))
			leftEdge = append(leftEdge, spot{x, y})
			rightEdge = append([]spot{{x + breakWide, y}}, rightEdge...)
		}
		d.path("dx", true, append(append([]spot{}, leftEdge...), rightEdge...)...)
		d.path("dl", false, leftEdge...)
		d.path("dl", false, rightEdge...)
	}
	at := x1 + 8
	d.upright(at, top, bedTop, d.said("path"))
	d.upright(at, bedTop, bedTop+float64(width*s), d.said("width"))
	d.upright(at, bedTop+float64(width*s), top+float64(whole*s), d.said("path"))
	y := top + float64(whole*s) + 12
	// From plant to plant, under the row's first two.
	if firstX+spacing < x1 {
		d.across(firstX, firstX+spacing, y, "")
		d.write(firstX+spacing+8, y+4.5, "start", d.named("spacing"))
		y += 20
	}
	d.across(x0, x1, y, d.said("length"))
	d.y = y + 26
	d.lines(d.named("rows"), d.named("between"))
}

func (d *diagram) pond() {
	depth, free := d.of("depth"), d.of("freeboard")
	high := depth + free
	in, out, crest := float64(d.of("slope")*high), float64(d.of("back")*high), d.of("crest")
	floor := max(float64(1.2*depth), float64(0.12*(in+crest+out)))
	key := d.of("key")
	d.scale = (d.w - 4) / (floor + in + crest + out)
	s := d.scale
	d.heading("draw_section")
	d.y += 22 // for the width of the crest
	top := d.y
	ground := top + float64(high*s)
	x0 := 2.0
	toe := x0 + float64(floor*s)
	crestL := toe + float64(in*s)
	crestR := crestL + float64(crest*s)
	back := crestR + float64(out*s)
	below := ground + float64(key*s) + 10
	water := top + float64(free*s)
	shore := toe + float64(d.of("slope")*depth*s)
	d.path("dw", true, spot{x0, water}, spot{shore, water}, spot{toe, ground}, spot{x0, ground})
	d.rect("dg", x0, ground, back-x0, below-ground)
	d.path("de", true, spot{toe, ground}, spot{crestL, top}, spot{crestR, top}, spot{back, ground})
	mid := float64((crestL + crestR) / 2)
	core := d.of("core") * s
	d.path("dk", true, spot{mid - float64(core/2), top + float64(free*s/2)}, spot{mid + float64(core/2), top + float64(free*s/2)}, spot{mid + float64(core/2), ground + float64(key*s)}, spot{mid - float64(core/2), ground + float64(key*s)})
	d.path("dl", false, spot{x0, ground}, spot{back, ground})
	// The spillway is a gap in the bank further on, with its sill at the water.
	d.path("dd", false, spot{shore, water}, spot{crestR + float64(d.of("back")*free*s), water})
	d.across(crestL, crestR, top-10, "")
	d.write(mid, top-16, "middle", d.named("crest"))
	x := x0 + float64(floor*s*0.4)
	d.upright(x, water, ground, d.said("depth"))
	d.path("dm", false, spot{x0, top}, spot{crestL, top})
	d.upright(x, top, water, d.said("freeboard"))
	d.y = below + 4
	d.write((toe+crestL)/2, d.y+14, "middle", d.words.Say("draw_one_in", d.said("slope")))
	d.write((crestR+back)/2, d.y+14, "middle", d.words.Say("draw_one_in", d.said("back")))
	d.y += 22
	d.lines(d.named("depth"), d.named("freeboard"), d.named("core"), d.named("key"), d.named("spillway"), d.words.Say("draw_sill"))
}

func (d *diagram) keyline() {
	ridge, rise := d.of("ridge"), d.of("rise")
	slope := 1 / d.of("slope")
	fall := 1 / d.of("fall")
	d.scale = (d.w - 4) / (2 * ridge)
	s := d.scale
	d.heading("draw_plan")
	top := d.y
	// The ground: height above the key point at x across from the valley's floor
	// and y down the valley from it, both in metres.
	hollow := func(x float64) float64 { return float64(rise * (1 - portable.Cos(math.Pi*x/ridge)) / 2) }
	deep := float64(1.1 * ridge) // of the map
	if most := hollow(ridge) / slope * 1.6; most > deep {
		deep = min(most, float64(2*ridge))
	}
	keyY := float64(deep * 0.35)
	// Where, down the valley, the ground has a height: the ridges are higher, so
	// a contour bends down the valley there.
	at := func(x, height float64) float64 { return keyY + (hollow(x)-height)/slope }
	const steps = 24
	bottom := top + float64(deep*s)
	d.rect("dg", 2, top, d.w-4, deep*s)
	curve := func(class string, height func(x, way float64) float64) bool {
		drawn := false
		for _, side := range []float64{-1, 1} {
			var spots []spot
			way, last := 0.0, spot{}
			flush := func() {
				if len(spots) > 1 {
					drawn = true
					d.path(class, false, spots...)
				}
				spots = nil
			}
			for i := range steps + 1 {
				x := ridge * float64(i) / steps
				here := spot{x, at(x, height(x, way))}
				if i > 0 {
					way += portable.Hypot(here.x-last.x, here.y-last.y)
					here.y = at(x, height(x, way))
				}
				last = here
				if here.y < 0 || here.y > deep {
					flush()
					continue
				}
				spots = append(spots, spot{float64(d.w/2) + float64(side*x*s), top + float64(here.y*s)})
			}
			flush()
		}
		return drawn
	}
	interval := d.of("interval")
	highest := float64(keyY * slope)
	lowest := -float64((deep - keyY) * slope)
	for k := math.Ceil(lowest / interval); k*interval <= highest+rise; k++ {
		curve("dc", func(float64, float64) float64 { return k * interval })
	}
	// The other lines are the keyline again, moved up and down the valley, which
	// on even ground falls as it does.
	spacing := d.of("apart")
	for k := -mostStrips; k <= mostStrips; k++ {
		shift := float64(k) * spacing
		if k != 0 {
			curve("dv", func(_, way float64) float64 { return float64(-shift*slope) - float64(way*fall) })
		}
	}
	curve("dy", func(_, way float64) float64 { return -way * fall })
	d.dots("dr", []spot{{d.w / 2, top + float64(keyY*s)}})
	d.letters("ct dq", d.w/2, top+float64(keyY*s)-9, tree.A("text-anchor", "middle"), d.words.Say("draw_key_point"))
	d.y = bottom
	d.across(d.w/2, d.w-2, d.y+12, d.said("ridge"))
	d.y += 36
	legend := func(class, text string) {
		d.y += chart.LineHeight + 2
		d.path(class, false, spot{1, d.y - 4.5}, spot{33, d.y - 4.5})
		parts, _ := chart.WrapText(text, d.w-42, 4)
		for i, part := range parts {
			if i > 0 {
				d.y += chart.LineHeight
			}
			d.write(40, d.y, "start", part)
		}
	}
	legend("dy", d.words.Say("draw_keyline_falls", d.said("fall")))
	legend("dv", d.words.Say("draw_worked_along", d.said("apart")))
	legend("dc", d.words.Say("draw_contours", d.said("interval")))
	d.y += 4
	d.lines(d.words.Say("draw_slope_down", d.said("slope")), d.named("rise"))
}
