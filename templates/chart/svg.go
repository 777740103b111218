package chart

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// drawingVersion changes whenever the same order would give a different
// drawing.
const drawingVersion = "6"

// Version names all that is done to a drawing after the script, so that no
// cache hands out an old one.
func Version() string { return drawingVersion + fmt.Sprint(roles) }

// guard begins a text, while it is drawn, that is also the name of something
// which every script object has ("constructor"): the chart script keeps texts
// as keys of plain objects. drawScript puts it there. It is a word joiner.
const guard = "\u2060"

// A Drawing is a drawn chart.
type Drawing struct {
	// SVG is one svg element that can stand in a page or, as it is, in a file
	// of its own. It carries its colours, its title and its text alternative,
	// and no style, script, link or fixed size. Its ids begin with ID.
	SVG           string
	ID            string
	Width, Height int // its shape, in CSS pixels at its natural size
}

// Again returns the SVG for another place on the same page: n, from 2, sets
// its ids apart.
func (d Drawing) Again(n int) string {
	return strings.ReplaceAll(strings.ReplaceAll(d.SVG, `id="`+d.ID+`-`, fmt.Sprintf(`id="%s.%d-`, d.ID, n)),
		"url(#"+d.ID+"-", fmt.Sprintf("url(#%s.%d-", d.ID, n))
}

// A Drawer draws charts, the same chart to the same bytes.
type Drawer interface {
	// Ready tells what keeps it from drawing any chart.
	Ready() error
	// Draw draws a chart. The error is that of Ready or Order, or a fault of
	// the drawer's own.
	Draw(*Chart) (Drawing, error)
}

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

func (n *node) put(name, value string) {
	for i := range n.attrs {
		if n.attrs[i].name == name {
			n.attrs[i].value = value
			return
		}
	}
	n.attrs = append(n.attrs, attr{name, value})
}

func (n *node) drop(name string) {
	n.attrs = slices.DeleteFunc(n.attrs, func(a attr) bool { return a.name == name })
}

// What a finished drawing may hold. All else that the script writes is either
// for a mouse, or would fall to a strict content policy.
var (
	allowedElements = wordSet("svg g defs pattern path rect circle ellipse line polyline polygon text tspan")
	// Every chart's values lie inside its plot, so nothing needs clipping.
	droppedElements = wordSet("style script foreignObject animate set clipPath")
	allowedAttrs    = wordSet(`d x y x1 y1 x2 y2 dx dy cx cy r rx ry width height points transform
		fill fill-opacity fill-rule stroke stroke-width stroke-opacity stroke-dasharray stroke-dashoffset stroke-linecap
		stroke-linejoin stroke-miterlimit opacity font-size font-weight font-style text-anchor dominant-baseline
		paint-order patternUnits patternTransform patternContentUnits id`)
	numberAttrs = wordSet("d x y x1 y1 x2 y2 dx dy cx cy r rx ry width height points transform patternTransform stroke-width")
)

func wordSet(s string) map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(s) {
		m[w] = true
	}
	return m
}

// Finish makes the script's drawing of an order fit for a page under a strict content
// policy, for a page with other drawings, for dark screens, for an e-book and
// for a reader who can't see it. prefix begins every id.
func (o *Order) Finish(raw, prefix string) (string, error) {
	root, err := parseSVG(raw)
	if err != nil {
		return "", fmt.Errorf("the chart script's drawing can't be read: %w", err)
	}
	ids := map[string]string{}
	collectIDs(root, prefix, ids)
	if err := finishNode(root, ids); err != nil {
		return "", err
	}
	var body []*node
	for _, n := range root.children {
		if n.name == "rect" && n.get("fill") == "none" {
			continue // the ground of the page shows through
		}
		body = append(body, n)
	}
	body = shared(body)
	root.children = append([]*node{
		{name: "title", children: []*node{{text: o.Title}}},
		{name: "desc", children: []*node{{text: o.Alt}}},
	}, body...)
	if o.Title == "" {
		root.children = root.children[1:]
	}
	root.attrs = []attr{
		{"xmlns", "http://www.w3.org/2000/svg"},
		{"class", "chart"},
		{"viewBox", fmt.Sprintf("0 0 %d %d", o.Width, o.Height)},
		{"role", "img"},
		{"font-size", strconv.Itoa(TextSize)},
	}
	var b strings.Builder
	writeNode(&b, root)
	return b.String(), nil
}

// sharedAttrs are inherited, so a group may carry them for what it holds. The
// baseline of text is too, but not in every browser.
var sharedAttrs = wordSet("class fill fill-opacity stroke stroke-width stroke-linecap stroke-linejoin stroke-miterlimit text-anchor paint-order font-size font-weight")

// fewToShare is the shortest run that a group makes shorter.
const fewToShare = 3

// shared writes once what several shapes or texts in a row have in common.
func shared(nodes []*node) []*node {
	attrsOf := func(n *node) (together, own []attr, key string) {
		for _, a := range n.attrs {
			if sharedAttrs[a.name] {
				together = append(together, a)
				key += a.name + "=" + a.value + " "
			} else {
				own = append(own, a)
			}
		}
		return together, own, n.name + " " + key
	}
	var out []*node
	for i := 0; i < len(nodes); {
		n := nodes[i]
		if n.name != "path" && n.name != "text" {
			if n.name == "g" {
				n.children = shared(n.children)
			}
			out = append(out, n)
			i++
			continue
		}
		together, _, key := attrsOf(n)
		run := i
		for ; run < len(nodes); run++ {
			if _, _, other := attrsOf(nodes[run]); other != key {
				break
			}
		}
		// An area with a pattern keeps its own: on paper other shapes take its place.
		if run-i < fewToShare || len(together) == 0 || strings.HasPrefix(n.get("fill"), "url(") {
			out = append(out, nodes[i:run]...)
			i = run
			continue
		}
		group := &node{name: "g", attrs: together}
		for _, c := range nodes[i:run] {
			_, c.attrs, _ = attrsOf(c)
			group.children = append(group.children, c)
		}
		out = append(out, group)
		i = run
	}
	return out
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

func collectIDs(n *node, prefix string, ids map[string]string) {
	if id := n.get("id"); id != "" {
		if _, ok := ids[id]; !ok {
			ids[id] = fmt.Sprintf("%s-%d", prefix, len(ids)+1)
		}
	}
	for _, c := range n.children {
		collectIDs(c, prefix, ids)
	}
}

var urlReference = regexp.MustCompile(`^url\(['"]?#([^'")]+)['"]?\)$`)

func finishNode(n *node, ids map[string]string) error {
	if n.name == "" {
		n.text = strings.ReplaceAll(n.text, guard, "")
		return nil
	}
	if !allowedElements[n.name] {
		return fmt.Errorf("the chart script drew an element that a page can't carry: %s", n.name)
	}
	style := n.get("style")
	n.drop("style")
	for _, part := range strings.Split(style, ";") {
		name, value, ok := strings.Cut(part, ":")
		if name = strings.TrimSpace(name); ok && allowedAttrs[name] {
			n.put(name, strings.TrimSpace(value))
		}
	}
	var classes []string
	var kept []attr
	for _, a := range n.attrs {
		if !allowedAttrs[a.name] {
			continue
		}
		switch a.name {
		case "fill", "stroke":
			if r, ok := roleOf(a.value); ok {
				a.value = r.light
				if a.name == "fill" {
					classes = append(classes, r.fill)
				} else {
					classes = append(classes, r.stroke)
				}
			}
		case "id":
			a.value = ids[a.value]
		case "font-size":
			a.value = strings.TrimSuffix(a.value, "px")
			if a.value == strconv.Itoa(TextSize) {
				continue // inherited from the root
			}
		case "font-weight", "font-style":
			if a.value == "normal" {
				continue
			}
		}
		if strings.Contains(a.value, "url(") {
			m := urlReference.FindStringSubmatch(a.value)
			if m == nil || ids[m[1]] == "" {
				return fmt.Errorf("the chart script drew a reference out of the drawing: %s", a.value)
			}
			a.value = "url(#" + ids[m[1]] + ")"
		}
		if numberAttrs[a.name] {
			a.value = roundNumbers(a.value)
		}
		kept = append(kept, a)
	}
	n.attrs = kept
	if n.get("fill") == "#000" {
		n.put("fill", "none") // the script's default, on a line, which has no area
	}
	if n.get("stroke-width") == "0" {
		n.drop("stroke")
		n.drop("stroke-width")
	}
	if n.name == "text" {
		placeText(n)
	}
	if len(classes) > 0 {
		n.attrs = append([]attr{{"class", strings.Join(classes, " ")}}, n.attrs...)
	}

	var children []*node
	for _, c := range n.children {
		if droppedElements[c.name] {
			continue
		}
		if err := finishNode(c, ids); err != nil {
			return err
		}
		switch {
		case c.name == "g" && len(c.attrs) == 0:
			children = append(children, c.children...)
		case c.name == "text" && strings.TrimSpace(allText(c)) == "",
			c.name == "path" && c.get("d") == "",
			(c.name == "g" || c.name == "defs") && len(c.children) == 0:
		case c.name == "path" && unseen(c):
		default:
			children = append(children, c)
		}
	}
	n.children = children
	return nil
}

var translation = regexp.MustCompile(`^translate\((-?[\d.]+)[ ,](-?[\d.]+)\)$`)

// placeText writes a text's place as its coordinates, which is shorter than
// moving it there.
func placeText(n *node) {
	if n.get("text-anchor") == "start" {
		n.drop("text-anchor")
	}
	m := translation.FindStringSubmatch(n.get("transform"))
	if m == nil {
		return
	}
	for _, c := range n.children {
		if c.name != "" {
			return // parts with places of their own
		}
	}
	for i, name := range []string{"x", "y"} {
		moved, err := strconv.ParseFloat(m[1+i], 64)
		at, err2 := 0.0, error(nil)
		if own := n.get(name); own != "" {
			at, err2 = strconv.ParseFloat(own, 64)
		}
		if err != nil || err2 != nil {
			return
		}
		defer n.put(name, strconv.FormatFloat(math.Round((moved+at)*100)/100, 'f', -1, 64))
	}
	n.drop("transform")
}

// unseen tells shapes that leave no ink: areas for a mouse.
func unseen(n *node) bool {
	fill, stroke := n.get("fill"), n.get("stroke")
	return (fill == "none" || n.get("fill-opacity") == "0") &&
		(stroke == "" || stroke == "none" || n.get("stroke-width") == "0")
}

func allText(n *node) string {
	if n.name == "" {
		return n.text
	}
	s := ""
	for _, c := range n.children {
		s += allText(c)
	}
	return s
}

var longNumber = regexp.MustCompile(`-?\d+\.\d{3,}(e-?\d+)?|-?\d+(\.\d+)?e-\d+`)

// roundNumbers cuts coordinates to a hundredth of a pixel. A path with an arc
// stays: a whole circle is drawn as an arc to a point a hair from its start.
func roundNumbers(s string) string {
	if strings.Contains(s, "A") {
		return s
	}
	return longNumber.ReplaceAllStringFunc(s, func(t string) string {
		v, err := strconv.ParseFloat(t, 64)
		if err != nil {
			return t
		}
		out := strings.TrimRight(strings.TrimRight(strconv.FormatFloat(v, 'f', 2, 64), "0"), ".")
		if out == "-0" || out == "" {
			return "0"
		}
		return out
	})
}

var (
	escapeText = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")
	escapeAttr = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;")
)

func writeNode(b *strings.Builder, n *node) {
	if n.name == "" {
		b.WriteString(escapeText.Replace(n.text))
		return
	}
	b.WriteString("<" + n.name)
	for _, a := range n.attrs {
		b.WriteString(" " + a.name + `="` + escapeAttr.Replace(a.value) + `"`)
	}
	if len(n.children) == 0 {
		b.WriteString("/>")
		return
	}
	b.WriteString(">")
	for _, c := range n.children {
		writeNode(b, c)
	}
	b.WriteString("</" + n.name + ">")
}
