package chart

import (
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// drawingVersion changes whenever the same order would give a different
// drawing.
const drawingVersion = "14"

// Version names all that is done to a drawing after the script, so that no
// cache hands out an old one.
func Version() string { return drawingVersion + fmt.Sprint(roles) }

// A Drawing is a drawn chart: two svg elements, of which the style sheet of CSS
// shows the one that there is room for. They carry classes and no colours, no
// script, no link and no text alternative: whoever sets them in a page says Alt
// for both. Ids in them begin with ID.
type Drawing struct {
	Wide, Narrow string
	ID           string
	Alt          string
	Told         bool // the wide one shows every number as text
}

// Again returns the drawing for another place on the same page: n, from 2,
// sets its ids apart.
func (d Drawing) Again(n int) Drawing {
	id := fmt.Sprintf("%s.%d", d.ID, n)
	other := strings.NewReplacer(`id="`+d.ID+"-", `id="`+id+"-", "url(#"+d.ID+"-", "url(#"+id+"-")
	d.Wide, d.Narrow, d.ID = other.Replace(d.Wide), other.Replace(d.Narrow), id
	return d
}

// A Drawer draws charts, the same chart to the same bytes.
type Drawer interface {
	// Ready tells what keeps it from drawing any chart.
	Ready() error
	// Draw draws a chart. The error is that of Ready or Order, or a fault of
	// the drawer's own.
	Draw(*Chart) (Drawing, error)
}

// guard begins a text, while it is drawn, that is also the name of something
// which every script object has ("constructor"): the chart script keeps texts
// as keys of plain objects. The drawer puts it there. It is a word joiner.

// A node is an element of a drawing, or a text if its name is empty.
type node struct {
	name     string
	attrs    []attr
	children []*node
	text     string
}

type attr struct{ name, value string }

func (n *node) get(name string) string {
	for _, a := range n.attrs {
		if a.name == name {
			return a.value
		}
	}
	return ""
}

// Finish makes the script's drawing of a sheet fit for a page under a strict
// content policy, and small: shapes carry classes, those alike are one path,
// and the words are added. class is of the svg element; id begins every id.
func (s *Sheet) Finish(raw, class, id string) (string, error) {
	root, err := parseSVG(raw)
	if err != nil {
		return "", fmt.Errorf("the chart script's drawing can't be read: %w", err)
	}
	var paths []pathOf
	if err := flatten(root, matrix{1, 0, 0, 1, 0, 0}, s.grain(), &paths); err != nil {
		return "", err
	}
	var under, over []pathOf
	for _, x := range s.Under {
		under = append(under, pathOf{x.Class, x.Path})
	}
	for _, x := range s.Shapes {
		over = append(over, pathOf{x.Class, x.Path})
	}
	if s.Cells {
		// Cells and panels don't overlap, so what is alike may be drawn
		// together, grid lines first and axes last.
		slices.SortStableFunc(paths, func(a, b pathOf) int {
			return cmp.Or(cmp.Compare(layer(a.class), layer(b.class)), strings.Compare(a.class, b.class))
		})
	}
	paths = joined(slices.Concat(under, paths))
	over = joined(over)
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" class="ch %s" viewBox="0 0 %d %d" aria-hidden="true">`, class, s.Width, s.Height)
	if s.Parted {
		writeHatches(&b, slices.Concat(paths, over), id)
	}
	for _, p := range slices.Concat(paths, over) {
		writePath(&b, p)
		if h := hatchOf(p.class); s.Parted && h > 0 {
			fmt.Fprintf(&b, `<path class="x" fill="url(#%s-%d)" d="%s"/>`, id, h, p.d)
		}
	}
	s.writeWords(&b)
	b.WriteString("</svg>")
	return b.String(), nil
}

// layer says what lies on top where the order of paths is free.
func layer(class string) int {
	switch {
	case strings.HasPrefix(class, "sg"):
		return 0
	case strings.HasPrefix(class, "s"):
		return 2
	}
	return 1
}

// A pathOf is a path with the classes that say how it looks.
type pathOf struct{ class, d string }

func writePath(b *strings.Builder, p pathOf) {
	if p.d != "" {
		fmt.Fprintf(b, `<path class="%s" d="%s"/>`, p.class, p.d)
	}
}

// joined makes one path of those in a row that look the same.
func joined(paths []pathOf) []pathOf {
	var out []pathOf
	for _, p := range paths {
		if n := len(out); n > 0 && out[n-1].class == p.class {
			out[n-1].d += p.d
		} else {
			out = append(out, p)
		}
	}
	return out
}

// writeWords writes the words, those that look the same in a group.
func (s *Sheet) writeWords(b *strings.Builder) {
	var classes []string
	by := map[string][]word{}
	for _, w := range s.Words {
		class := w.Ink
		switch w.Anchor {
		case "middle":
			class += " m"
		case "end":
			class += " e"
		}
		if w.Halo {
			class += " o"
		}
		if by[class] == nil {
			classes = append(classes, class)
		}
		by[class] = append(by[class], w)
	}
	for _, class := range classes {
		writeGroup(b, class, by[class])
	}
}

func parseSVG(raw string) (*node, error) {
	d := xml.NewDecoder(strings.NewReader(raw))
	top := &node{}
	open := []*node{top}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		here := open[len(open)-1]
		switch t := token.(type) {
		case xml.StartElement:
			n := &node{name: t.Name.Local}
			for _, a := range t.Attr {
				name := a.Name.Local
				if a.Name.Space != "" {
					name = a.Name.Space + ":" + name
				}
				n.attrs = append(n.attrs, attr{name, a.Value})
			}
			here.children = append(here.children, n)
			open = append(open, n)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if here.name == "text" || here.name == "tspan" {
				here.children = append(here.children, &node{text: string(t)})
			}
		}
	}
	if len(top.children) != 1 || top.children[0].name != "svg" {
		return nil, errors.New("it holds no single svg element")
	}
	return top.children[0], nil
}

// writeGroup writes words that look the same; several in a row at one height
// share a text.
func writeGroup(b *strings.Builder, class string, words []word) {
	fmt.Fprintf(b, `<g class="%s">`, class)
	for i := 0; i < len(words); {
		// A line's middle lies a third of the letters' size above its foot.
		y, n := words[i].Y, 1
		for i+n < len(words) && words[i+n].Y == y {
			n++
		}
		foot := strconv.Itoa(int(math.Round(y + TextSize*0.35)))
		at := func(w word) string { return strconv.Itoa(int(math.Round(w.X))) }
		if n == 1 {
			fmt.Fprintf(b, `<text x="%s" y="%s">%s</text>`, at(words[i]), foot, escapeText.Replace(words[i].Text))
		} else {
			fmt.Fprintf(b, `<text y="%s">`, foot)
			for _, w := range words[i : i+n] {
				fmt.Fprintf(b, `<tspan x="%s">%s</tspan>`, at(w), escapeText.Replace(w.Text))
			}
			b.WriteString("</text>")
		}
		i += n
	}
	b.WriteString("</g>")
}

// What the script writes that leaves no ink, or would fall to a strict policy.
var dropped = wordSet("style script foreignObject animate set clipPath defs text")

func wordSet(s string) map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(s) {
		m[w] = true
	}
	return m
}

// grain is how finely shapes are placed, in parts of a pixel: cells are many,
// and whole pixels do.
func (s *Sheet) grain() float64 {
	if s.Cells {
		return 1
	}
	return 10
}

// flatten lists all paths of a drawing, at their places in it.
func flatten(n *node, m matrix, grain float64, out *[]pathOf) error {
	if dropped[n.name] {
		return nil
	}
	if t := n.get("transform"); t != "" {
		own, err := parseMatrix(t)
		if err != nil {
			return err
		}
		m = m.times(own)
	}
	switch n.name {
	case "svg", "g":
		for _, c := range n.children {
			if err := flatten(c, m, grain, out); err != nil {
				return err
			}
		}
		return nil
	case "rect":
		if n.get("fill") == "none" {
			return nil // the ground of the page shows through
		}
	}
	d := n.outline()
	if d == "" && n.name != "path" {
		return fmt.Errorf("the chart script drew an element that a page can't carry: %s", n.name)
	}
	class, err := n.look()
	if err != nil || class == "" {
		return err
	}
	d, err = placed(d, m, grain)
	if err == nil && d != "" {
		*out = append(*out, pathOf{class, d})
	}
	return err
}

// outline is an element's shape as a path.
func (n *node) outline() string {
	switch n.name {
	case "path":
		return n.get("d")
	case "line":
		return "M" + n.get("x1") + " " + n.get("y1") + "L" + n.get("x2") + " " + n.get("y2")
	case "polyline":
		return "M" + n.get("points")
	case "rect":
		w, h := n.get("width"), n.get("height")
		return "M" + n.get("x") + " " + n.get("y") + "h" + w + "v" + h + "h-" + w + "z"
	case "circle":
		r := n.get("r")
		return fmt.Sprintf("M%s %sm-%s 0a%[3]s %[3]s 0 1 1 %[4]s 0a%[3]s %[3]s 0 1 1 -%[4]s 0z", n.get("cx"), n.get("cy"), r, double(r))
	}
	return ""
}

func double(r string) string {
	v, err := strconv.ParseFloat(r, 64)
	if err != nil {
		return r
	}
	return short(2 * v)
}

// look turns an element's colours into classes; nothing for one without ink.
func (n *node) look() (string, error) {
	var classes []string
	if f := n.get("fill"); f != "" && f != "none" && f != "transparent" && n.get("fill-opacity") != "0" {
		r, ok := roleOf(f)
		if !ok && f != "#000" { // the script's default, on a line, which has no area
			return "", fmt.Errorf("the chart script drew in a colour of its own: %s", f)
		}
		if ok {
			classes = append(classes, r.fill)
			if o := n.get("fill-opacity"); o != "" && o != "1" {
				classes = append(classes, "f")
			}
		}
	}
	width, _ := strconv.ParseFloat(cmp.Or(n.get("stroke-width"), "1"), 64)
	if k := n.get("stroke"); k != "" && k != "none" && width > 0 {
		r, ok := roleOf(k)
		if !ok {
			return "", fmt.Errorf("the chart script drew in a colour of its own: %s", k)
		}
		classes = append(classes, r.stroke)
		if width >= 2 {
			classes = append(classes, "w")
		}
		if dash := n.get("stroke-dasharray"); dash != "" && dash != "none" {
			if on, off, _ := strings.Cut(strings.ReplaceAll(dash, " ", ","), ","); len(on) > 0 && on == off {
				classes = append(classes, "d3")
			} else {
				classes = append(classes, "d1")
			}
		}
	}
	return strings.Join(classes, " "), nil
}

var escapeText = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")
