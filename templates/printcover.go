package templates

import (
	"fmt"
	"strings"

	"rickyard/calc/binding"
	"rickyard/templates/chart"
	"rickyard/templates/tree"
)

// Cover draws a book's cover sheet at full size as SVG, seen from outside, with
// crop and fold marks in what is trimmed off or turned in. lettering is the size
// of the spine's text in m; 0 says that the spine is too thin to carry one.
func (b *Workbook) Cover(f Format, s binding.Sheet, spine float64) (svg string, lettering float64, err error) {
	const mm = 1000
	base, _ := b.Language.Base()
	words, err := ReadWords(base.String())
	if err != nil {
		return "", 0, err
	}
	text := b.Title
	if b.Author != "" {
		text += "   " + b.Author
	}
	lettering = binding.SpineText(spine, s.Height-float64(2*s.Edge), ems(text))
	if lettering == 0 {
		text = b.Title
		lettering = binding.SpineText(spine, s.Height-float64(2*s.Edge), ems(text))
	}
	w, h, edge := float64(s.Width*mm), float64(s.Height*mm), float64(s.Edge*mm)
	front, back := float64(s.SpineTo*mm), float64(s.SpineFrom*mm)
	c := newCover(coverOf{fmt.Sprintf("%.3fmm", w), fmt.Sprintf("%.3fmm", h), w, h}, b.Language.String(), words.Say("cover_of", b.Title))
	// The furrows of a field seen from above: they run over spine and both
	// sides, and nothing in them shows if a fold is a millimetre off.
	furrows := tree.E("g", drawnAs("none", "#b4cfb8", "1.1")...)
	for i := range 26 {
		y := float64(h*0.62) + float64(float64(i*i)*h*0.00068) + float64(float64(i)*h*0.003)
		furrows.Add(stroke("M0 %.2f C %.2f %.2f %.2f %.2f %.2f %.2f", y, w*0.3, y-float64(h*0.05), w*0.62, y+float64(h*0.05), w, y-float64(h*0.03)))
	}
	c.svg.Add(furrows)
	const serif = "'Iowan Old Style',Charter,'Palatino Linotype',Palatino,P052,'Noto Serif','DejaVu Serif Condensed',serif"
	const sans = "'Gill Sans Nova','Segoe UI','Noto Sans','DejaVu Sans Condensed',sans-serif"
	side := float64(f.Width*mm) - 36 // the measure of the text on either side
	y := c.lines(b.Title, min(14, f.Width*mm/13), side, front+20, edge+float64(h*0.2), 1.15, face("#1f231f", serif))
	if b.Part != "" {
		y = c.lines(b.Part, 7, side, front+20, y+2, 1.2, face("#5a2d74", serif))
	}
	y = c.lines(b.Subtitle, 5.4, side, front+20, y+3, 1.3, face("#1f231f", serif), tree.A("font-style", "italic"))
	c.lines(b.Author, 4.6, side, front+20, y+12, 1.3, face("#1f231f", sans))
	y = c.lines(b.Farm, 4.4, side, edge+18, edge+float64(h*0.2), 1.3, face("#1f231f", serif))
	c.lines(b.Edition, 3.6, side, edge+18, y+2, 1.3, face("#4b534c", sans))
	c.svg.Add(tree.E("rect", tree.A("x", fmt.Sprintf("%.3f", back)), tree.A("y", "0"), tree.A("width", fmt.Sprintf("%.3f", front-back)),
		tree.A("height", fmt.Sprintf("%.3f", h)), tree.A("fill", "#5a2d74")))
	if lettering > 0 {
		// The letters stand upright when the book lies on its back.
		c.svg.Add(tree.E("text", tree.A("transform", fmt.Sprintf("translate(%.3f %.3f) rotate(90)", (back+front)/2, h/2)), tree.A("font-size", fmt.Sprintf("%.3f", lettering*mm)),
			tree.A("text-anchor", "middle"), tree.A("dominant-baseline", "central"), face("#fff", serif), tree.A("xml:space", "preserve"), txt(text)))
	}
	// Marks stand only where they are cut off or turned in.
	marks := tree.E("g", drawnAs("", "#000", ".15")...)
	mark := float64(edge * 0.8)
	for _, x := range []float64{edge, w - edge} {
		marks.Add(stroke("M%.3f 0V%.3fM%[1]f %[3]fV%[4]f", x, mark, h-mark, h))
	}
	for _, at := range []float64{edge, h - edge} {
		marks.Add(stroke("M0 %.3fH%.3fM%.3f %.3fH%.3f", at, mark, w-mark, at, w))
	}
	folds := tree.E("g", drawnAs("", "#000", ".15")...).Add(tree.A("stroke-dasharray", ".6 .4"))
	for _, x := range s.Folds {
		folds.Add(stroke("M%.3f 0V%.3fM%.3f %.3fV%.3f", x*mm, mark, x*mm, h-mark, h))
	}
	c.svg.Add(marks, folds)
	return tree.XHTML(c.svg) + "\n", lettering, nil
}

// A cover is one that is being drawn.
type cover struct{ svg *tree.Element }

// A coverOf is the size of a cover, and that of the units it is drawn in.
type coverOf struct {
	width, height string
	across, down  float64
}

func newCover(size coverOf, language, title string) cover {
	number := func(x float64) string { return strings.TrimSuffix(fmt.Sprintf("%.3f", x), ".000") }
	return cover{tree.E("svg", tree.A("xmlns", "http://www.w3.org/2000/svg"), tree.A("width", size.width), tree.A("height", size.height),
		tree.A("viewBox", "0 0 "+number(size.across)+" "+number(size.down)), tree.A("xml:lang", language),
		tree.E("title", txt(title)), tree.E("rect", tree.A("width", number(size.across)), tree.A("height", number(size.down)), tree.A("fill", "#f7f5ec")))}
}

// lines writes a text in lines of a width, and returns where the next would
// stand.
func (c cover) lines(text string, size, width, x, y, lead float64, how ...tree.Part) float64 {
	for _, line := range wrapEms(text, width/size) {
		c.svg.Add(tree.E("text", tree.A("x", fmt.Sprintf("%.2f", x)), tree.A("y", fmt.Sprintf("%.2f", y)), tree.A("font-size", fmt.Sprintf("%.2f", size))).
			Add(how...).Add(txt(line)))
		y += float64(size * lead)
	}
	return y
}

// face is the colour and the typeface of a text.
func face(fill, family string) tree.Part {
	return tree.Attrs{tree.A("fill", fill), tree.A("font-family", family)}
}

func drawnAs(fill, stroke, width string) []tree.Part {
	return []tree.Part{given("fill", fill), tree.A("stroke", stroke), tree.A("stroke-width", width)}
}

func stroke(path string, numbers ...any) *tree.Element {
	return tree.E("path", tree.A("d", fmt.Sprintf(path, numbers...)))
}

// ems is the width of a text in a serif face at size 1. It errs on the wide
// side, so that a text that fits by it fits.
func ems(text string) float64 {
	return chart.TextWidth(text, 1) * 1.05
}

// wrapEms breaks a text into lines of at most so many ems.
func wrapEms(text string, most float64) []string {
	var lines []string
	for _, word := range strings.Fields(text) {
		if n := len(lines) - 1; n >= 0 && ems(lines[n]+" "+word) <= most {
			lines[n] += " " + word
		} else {
			lines = append(lines, word)
		}
	}
	return lines
}

// frontCover is the front of the cover alone, for the shelf of a reading system.
func (m *maker) frontCover() string {
	const w, h = 600, 900
	c := newCover(coverOf{"600", "900", w, h}, m.Language.String(), m.words.Say("cover_of", m.Title))
	furrows := tree.E("g", drawnAs("none", "#b4cfb8", "3")...)
	for i := range 26 {
		y := float64(h * (0.62 + float64(float64(i*i)*0.00068) + float64(float64(i)*0.003)))
		furrows.Add(stroke("M22 %.1f C 200 %.1f 380 %.1f %d %.1f", y, y-h*0.05, y+h*0.05, w, y-h*0.03))
	}
	c.svg.Add(tree.E("rect", tree.A("width", "22"), tree.A("height", "900"), tree.A("fill", "#5a2d74")), furrows)
	y := c.lines(m.Title, 54, 480, 70, 200, 1.2, face("#1f231f", "serif")) + 16
	y = c.lines(m.Part, 30, 480, 70, y, 1.2, face("#5a2d74", "serif")) + 16
	y = c.lines(m.Subtitle, 25, 480, 70, y, 1.2, face("#1f231f", "serif"), tree.A("font-style", "italic")) + 16
	c.lines(m.Author, 22, 480, 70, y, 1.2, face("#1f231f", "sans-serif"))
	return tree.XHTML(c.svg) + "\n"
}
