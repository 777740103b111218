package content

import (
	"github.com/yuin/goldmark/ast"
	"gopkg.in/yaml.v3"

	"rickyard/calc/source"
)

// KindChartBlock is the kind of ChartBlock.
var KindChartBlock = ast.NewNodeKind("ChartBlock")

// A ChartBlock draws figures.
type ChartBlock struct {
	ast.BaseBlock
	Title *Prose
	Note  *Prose // nil if it has none
	Shape string // one of Shapes
	Grid
	Months          bool    // each figure has a value for each month
	Unit            Word    // the unit to draw in; empty for that of the first figure
	Target          *Target // a line to reach; nil if there is none
	Marks           []*Target
	Sweeps          []*Sweep // none, one, or two for a shaded table
	Lowest, Highest bool     // the points to be named
	EachRow         bool     // each row of a shaded table is shaded by its own highest
	Alt             string   // what the chart says, for a reader who can't see it; "" to have it worked out
	Place           source.Span
}

// A Target is a line across a chart.
type Target struct {
	Label  string // "" for the label of the figure
	Figure *Figure
}

// A Shape is a kind of chart.
type Shape struct {
	Word string
	What string
}

// Shapes has the kinds of chart.
var Shapes = []Shape{
	{"columns", "upright bars, one for each row; several columns stand side by side"},
	{"bars", "bars that lie, one for each row: best for long labels"},
	{"stack", "upright bars in which the columns of a row, or the series of a month, stand on one another"},
	{"lines", "a line for each series"},
	{"area", "lines with the area under them filled, on one another"},
	{"heat", "a grid of shaded cells: rows by columns or by months"},
	{"points", "a point for each row: the first column across, the second up"},
	{"ranges", "a span for each row: columns low, likely and high"},
	{"steps", "rows that each begin where the last one ended: what goes off a sum, step by step"},
	{"split", "one bar that is split into the rows: the parts of a whole"},
}

// Kind implements ast.Node.
func (*ChartBlock) Kind() ast.NodeKind { return KindChartBlock }

// IsRaw implements ast.Node.
func (*ChartBlock) IsRaw() bool { return true }

// Dump implements ast.Node.
func (n *ChartBlock) Dump(src []byte, level int) {
	ast.DumpHelper(n, src, level, map[string]string{"Shape": n.Shape}, nil)
}

func (m *markup) chartBlock(b *block) ast.Node {
	n := &ChartBlock{Place: b.place}
	m.charts = append(m.charts, n)
	if len(m.figures) > mostFigures {
		return n
	}
	s := m.readSpec(b.body, b.place, "a chart")
	if s == nil {
		return n
	}
	s.chart = true
	v := s.keys(s.Root, s.what, "title", "kind", "rows", "series", "columns", "months", "unit", "target", "marks", "sweep", "by", "shade", "show", "of", "note", "alt")
	s.need(s.Root, v, s.what, "title", "kind")
	n.Title = s.prose(v["title"], "a title")
	n.Note = s.prose(v["note"], "a note")
	shape := s.word(v["kind"], "kind")
	words := make([]string, len(Shapes))
	for i, k := range Shapes {
		words[i] = k.Word
	}
	s.oneOf(shape, "kind", words)
	n.Shape = shape.Text

	rows := "rows"
	if v["series"] != nil {
		rows = "series"
		n.Months = true
		switch {
		case v["rows"] != nil:
			s.r.fail(source.Syntax, s.At(v["series"]), "a chart has either rows or series").
				With("series are figures with a value for each month, rows are figures with one value")
		case v["columns"] != nil:
			s.r.fail(source.Syntax, s.At(v["columns"]), "series run over the months, so they have no columns")
			delete(v, "columns")
		}
	}
	n.Months = s.yes(v["months"], "months", n.Months)
	n.Grid = s.grid(v, rows)
	for _, row := range n.Rows {
		if row.Kind != RowFigure {
			s.r.fail(source.Syntax, row.Place, "a chart has no sub-heads and totals")
		}
	}
	n.Unit = s.word(v["unit"], "unit")
	n.Alt = s.word(v["alt"], "alt").Text
	if t := v["target"]; t != nil {
		n.Target = s.target(t, "a target")
	}
	for _, item := range s.items(v["marks"], "marks") {
		s.mark(n, item)
	}
	shade := s.word(v["shade"], "shade")
	s.oneOf(shade, "shade", []string{"rows", "all"})
	n.EachRow = shade.Text == "rows"
	s.sweeps(n, v)
	s.shape(n, shape)
	return n
}

// target reads a line across a chart, or returns nil.
func (s *spec) target(t *yaml.Node, what string) *Target {
	target, figure := &Target{}, t
	if len(t.Content) > 0 {
		keys := s.keys(t, what, "label", "figure")
		s.need(t, keys, what, "figure")
		target.Label = s.word(keys["label"], "a label").Text
		figure = keys["figure"]
	}
	if target.Figure = s.figure(figure, what+"'s figure"); target.Figure == nil {
		return nil
	}
	return target
}

// mark reads what else a chart points out: its lowest or highest value, or a
// further line.
func (s *spec) mark(n *ChartBlock, item *yaml.Node) {
	switch item.Value {
	case "lowest":
		n.Lowest = true
	case "highest":
		n.Highest = true
	default:
		if t := s.target(item, "a mark"); t != nil {
			n.Marks = append(n.Marks, t)
		}
	}
}
