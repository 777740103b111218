package content

import (
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"
	"gopkg.in/yaml.v3"

	"rickyard/calc/source"
)

// KindDrawingBlock is the kind of DrawingBlock.
var KindDrawingBlock = ast.NewNodeKind("DrawingBlock")

// A DrawingBlock is a diagram that is drawn to scale from figures.
type DrawingBlock struct {
	ast.BaseBlock
	Title *Prose
	Note  *Prose // nil if it has none
	Of    string // one of Drawings
	Sizes []Size // in the order of the kind's keys, without those not given
	Alt   string // what the drawing shows, for a reader who can't see it; "" to have it worked out
	Place source.Span
}

// A Size is a figure that a drawing is drawn from.
type Size struct {
	SizeKey
	Figure *Figure
}

// A DrawingKind is a kind of drawing.
type DrawingKind struct {
	Word string
	What string
	Keys []SizeKey
}

// A SizeKey is a key of a drawing under which a figure stands.
type SizeKey struct {
	Key      string
	What     string
	Measure  Measure
	Optional bool
}

// A Measure is what the figure of a key must be.
type Measure string

// What a figure of a drawing may be.
const (
	ALength  Measure = "a length"
	ACount   Measure = "a number of things"
	OneIn    Measure = "a plain number" // N of a slope of 1 in N
	Anything Measure = "any figure"     // shown, not drawn
)

// Drawings has the kinds of drawing.
var Drawings = []DrawingKind{
	{"pen", "a field pen from above and from the side, with the ground that it moves to", []SizeKey{
		{"length", "in the direction of the move", ALength, false},
		{"width", "across it", ALength, false},
		{"height", "to the top of the roof", ALength, false},
		{"birds", "in the pen", ACount, false},
		{"move", "the day's move, from front to front", ALength, false},
		{"room", "floor for each bird", Anything, true},
	}},
	{"hen_house", "a mobile hen house from the side and in section", []SizeKey{
		{"length", "of the house", ALength, false},
		{"width", "of the house", ALength, false},
		{"height", "from the floor to the ridge", ALength, false},
		{"drawbar", "its length in front of the house", ALength, false},
		{"nest_boxes", "how many", ACount, false},
		{"perch", "all perches together", ALength, false},
		{"hens", "in the house", ACount, false},
		{"hens_a_metre", "hens for each length of perch", Anything, true},
	}},
	{"bed", "a garden bed from above with its rows; its length is cut by a break mark", []SizeKey{
		{"width", "of the bed", ALength, false},
		{"path", "width of a path", ALength, false},
		{"length", "of the bed", ALength, false},
		{"rows", "on the bed", ACount, false},
		{"between", "from row to row; else the rows share the width", ALength, true},
		{"spacing", "from plant to plant in the row", ALength, false},
	}},
	{"pond", "a section through a pond and its bank", []SizeKey{
		{"depth", "of the water", ALength, false},
		{"freeboard", "from the water to the crest", ALength, false},
		{"slope", "of the bank under water: N of 1 in N", OneIn, false},
		{"back", "slope of the bank's dry side: N of 1 in N", OneIn, false},
		{"crest", "width of the bank's top", ALength, false},
		{"core", "width of the clay core", ALength, false},
		{"key", "how deep the core goes into the ground", ALength, false},
		{"spillway", "width of the spillway", ALength, false},
	}},
	{"keyline", "a valley from above with contours, its keyline and the lines to cultivate along", []SizeKey{
		{"ridge", "from the valley's floor to the ridge, on the map", ALength, false},
		{"slope", "of the ground down the valley: N of 1 in N", OneIn, false},
		{"rise", "of the ridge above the valley's floor beside it", ALength, false},
		{"interval", "height from contour to contour", ALength, false},
		{"apart", "from line to line of cultivation, along the valley", ALength, false},
		{"fall", "of the lines from valley to ridge: N of 1 in N", OneIn, false},
	}},
}

// Kind implements ast.Node.
func (*DrawingBlock) Kind() ast.NodeKind { return KindDrawingBlock }

// IsRaw implements ast.Node.
func (*DrawingBlock) IsRaw() bool { return true }

// Dump implements ast.Node.
func (n *DrawingBlock) Dump(src []byte, level int) {
	ast.DumpHelper(n, src, level, map[string]string{"Of": n.Of}, nil)
}

func (m *markup) drawingBlock(b *block) ast.Node {
	n := &DrawingBlock{Place: b.place}
	if len(m.figures) > mostFigures {
		return n
	}
	s := m.readSpec(b.body, b.place, "a drawing")
	if s == nil {
		return n
	}
	known := []string{"title", "kind", "note", "alt"}
	words := make([]string, len(Drawings))
	var of *DrawingKind
	for i := range Drawings {
		words[i] = Drawings[i].Word
		if has(s.Root, "kind", words[i]) {
			of = &Drawings[i]
		}
	}
	if of != nil {
		for _, k := range of.Keys {
			known = append(known, k.Key)
		}
	} else { // which keys are right is not known
		for i := 0; i < len(s.Root.Content); i += 2 {
			for _, d := range Drawings {
				for _, k := range d.Keys {
					if s.Root.Content[i].Value == k.Key && !slices.Contains(known, k.Key) {
						known = append(known, k.Key)
					}
				}
			}
		}
	}
	v := s.keys(s.Root, s.what, known...)
	s.need(s.Root, v, s.what, "title", "kind")
	n.Title = s.prose(v["title"], "a title")
	n.Note = s.prose(v["note"], "a note")
	n.Alt = s.word(v["alt"], "alt").Text
	kind := s.word(v["kind"], "kind")
	s.oneOf(kind, "kind", words)
	n.Of = kind.Text
	if of == nil {
		return n
	}
	for _, k := range of.Keys {
		if !k.Optional {
			s.need(s.Root, v, "a drawing of kind "+of.Word, k.Key)
		}
		if f := s.figure(v[k.Key], "the "+k.Key+" of a drawing"); f != nil {
			n.Sizes = append(n.Sizes, Size{k, f})
		}
	}
	return n
}

// has reports whether a mapping has a key with a value.
func has(n *yaml.Node, key, value string) bool {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key && strings.TrimSpace(n.Content[i+1].Value) == value {
			return true
		}
	}
	return false
}
