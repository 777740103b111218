package templates

import (
	"fmt"
	"strings"

	"rickyard/calc/binding"

	"rickyard/templates/chart"
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
	lettering = binding.SpineText(spine, s.Height-2*s.Edge, ems(text))
	if lettering == 0 {
		text = b.Title
		lettering = binding.SpineText(spine, s.Height-2*s.Edge, ems(text))
	}
	var out strings.Builder
	put := func(format string, args ...any) { fmt.Fprintf(&out, format+"\n", args...) }
	w, h, edge := s.Width*mm, s.Height*mm, s.Edge*mm
	front, back := s.SpineTo*mm, s.SpineFrom*mm
	put(`<svg xmlns="http://www.w3.org/2000/svg" width="%.3fmm" height="%.3fmm" viewBox="0 0 %.3f %.3f" lang="%s">`, w, h, w, h, esc(b.Language.String()))
	put(`<title>%s</title>`, esc(words.Say("cover_of", b.Title)))
	put(`<rect width="%.3f" height="%.3f" fill="#f7f5ec"/>`, w, h)
	// The furrows of a field seen from above: they run over spine and both
	// sides, and nothing in them shows if a fold is a millimetre off.
	put(`<g fill="none" stroke="#b4cfb8" stroke-width="1.1">`)
	for i := range 26 {
		y := h*0.62 + float64(i*i)*h*0.00068 + float64(i)*h*0.003
		put(`<path d="M0 %.2f C %.2f %.2f %.2f %.2f %.2f %.2f"/>`, y, w*0.3, y-h*0.05, w*0.62, y+h*0.05, w, y-h*0.03)
	}
	put(`</g>`)
	const serif = `font-family="'Iowan Old Style',Charter,'Palatino Linotype',Palatino,P052,'Noto Serif','DejaVu Serif Condensed',serif"`
	const sans = `font-family="'Gill Sans Nova','Segoe UI','Noto Sans','DejaVu Sans Condensed',sans-serif"`
	lines := func(text string, size, width, x, y, lead float64, attr string) float64 {
		for _, line := range wrapEms(text, width/size) {
			put(`<text x="%.2f" y="%.2f" font-size="%.2f" %s>%s</text>`, x, y, size, attr, esc(line))
			y += size * lead
		}
		return y
	}
	side := f.Width*mm - 36 // the measure of the text on either side
	y := lines(b.Title, min(14, f.Width*mm/13), side, front+20, edge+h*0.2, 1.15, `fill="#1f231f" `+serif)
	if b.Part != "" {
		y = lines(b.Part, 7, side, front+20, y+2, 1.2, `fill="#5a2d74" `+serif)
	}
	y = lines(b.Subtitle, 5.4, side, front+20, y+3, 1.3, `fill="#1f231f" font-style="italic" `+serif)
	lines(b.Author, 4.6, side, front+20, y+12, 1.3, `fill="#1f231f" `+sans)
	y = lines(b.Farm, 4.4, side, edge+18, edge+h*0.2, 1.3, `fill="#1f231f" `+serif)
	lines(b.Edition, 3.6, side, edge+18, y+2, 1.3, `fill="#4b534c" `+sans)
	put(`<rect x="%.3f" y="0" width="%.3f" height="%.3f" fill="#5a2d74"/>`, back, front-back, h)
	if lettering > 0 {
		// The letters stand upright when the book lies on its back.
		put(`<text transform="translate(%.3f %.3f) rotate(90)" font-size="%.3f" text-anchor="middle" dominant-baseline="central" fill="#fff" xml:space="preserve" %s>%s</text>`,
			(back+front)/2, h/2, lettering*mm, serif, esc(text))
	}
	// Marks stand only where they are cut off or turned in.
	put(`<g stroke="#000" stroke-width=".15">`)
	mark := edge * 0.8
	for _, x := range []float64{edge, w - edge} {
		put(`<path d="M%.3f 0V%.3fM%[1]f %[3]fV%[4]f"/>`, x, mark, h-mark, h)
	}
	for _, at := range []float64{edge, h - edge} {
		put(`<path d="M0 %.3fH%.3fM%.3f %.3fH%.3f"/>`, at, mark, w-mark, at, w)
	}
	put(`</g><g stroke="#000" stroke-width=".15" stroke-dasharray=".6 .4">`)
	for _, x := range s.Folds {
		put(`<path d="M%.3f 0V%.3fM%.3f %.3fV%.3f"/>`, x*mm, mark, x*mm, h-mark, h)
	}
	put(`</g></svg>`)
	return out.String(), lettering, nil
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
	var out strings.Builder
	put := func(format string, args ...any) { fmt.Fprintf(&out, format+"\n", args...) }
	put(`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %[1]d %[2]d" xml:lang="%[3]s">`, w, h, esc(m.Language.String()))
	put(`<title>%s</title>`, esc(m.words.Say("cover_of", m.Title)))
	put(`<rect width="%d" height="%d" fill="#f7f5ec"/><rect width="22" height="%[2]d" fill="#5a2d74"/>`, w, h)
	put(`<g fill="none" stroke="#b4cfb8" stroke-width="3">`)
	for i := range 26 {
		y := h * (0.62 + float64(i*i)*0.00068 + float64(i)*0.003)
		put(`<path d="M22 %.1f C 200 %.1f 380 %.1f %d %.1f"/>`, y, y-h*0.05, y+h*0.05, w, y-h*0.03)
	}
	put(`</g>`)
	y := 200.0
	for _, block := range []struct {
		text string
		size float64
		attr string
	}{{m.Title, 54, `fill="#1f231f" font-family="serif"`}, {m.Part, 30, `fill="#5a2d74" font-family="serif"`},
		{m.Subtitle, 25, `fill="#1f231f" font-style="italic" font-family="serif"`}, {m.Author, 22, `fill="#1f231f" font-family="sans-serif"`}} {
		for _, line := range wrapEms(block.text, 480/block.size) {
			put(`<text x="70" y="%.1f" font-size="%.0f" %s>%s</text>`, y, block.size, block.attr, esc(line))
			y += block.size * 1.2
		}
		y += 16
	}
	put(`</svg>`)
	return out.String()
}
