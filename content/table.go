package content

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/yuin/goldmark/ast"
	"gopkg.in/yaml.v3"

	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// KindTableBlock is the kind of TableBlock.
var KindTableBlock = ast.NewNodeKind("TableBlock")

// A TableBlock shows figures in rows and columns, or a table that the engine
// makes.
type TableBlock struct {
	ast.BaseBlock
	Title *Prose
	Note  *Prose // nil if it has none
	Grid
	Total string // label of a row that adds up all figure rows; "" for none
	Sort  string // "", or one of Sorts: how figure rows are ordered, by the first column
	Place source.Span
}

// Kind implements ast.Node.
func (*TableBlock) Kind() ast.NodeKind { return KindTableBlock }

// IsRaw implements ast.Node.
func (*TableBlock) IsRaw() bool { return true }

// Dump implements ast.Node.
func (n *TableBlock) Dump(src []byte, level int) { ast.DumpHelper(n, src, level, nil, nil) }

// A Grid is what a table or a chart shows: rows and columns of figures, or
// (Show is not empty) something that the engine makes.
type Grid struct {
	Columns []*Column // none: each row has one figure
	Rows    []*Row

	Show Word   // one of Shows, or empty
	Of   []Word // of which enterprises or price lists; none for the whole farm
}

// A Column is a column of a grid.
type Column struct {
	Label string // "" for the label of what Of or Formula names
	Of    string // a cell is the figure row.of
	// Formula is a formula in which the word row stands for the row; "" if Of
	// is set.
	Formula string
	Total   bool // a total row adds this column up
	Place   source.Span
}

// A RowKind says what a row of a grid is.
type RowKind int

// The kinds of row.
const (
	RowFigure RowKind = iota // a label and figures
	RowGroup                 // a sub-head
	RowTotal                 // a total: its own figures, or the sum of the figure rows since the last total or sub-head
)

// A Row is a row of a grid, or one of the points, bars or lines of a chart.
type Row struct {
	Kind  RowKind
	Label string // "" for the label of the figure or enterprise that Name names
	Name  string // what the row says, if it is only a name: broilers, farm.target_income
	// Cells has a figure for each column, or one if there are no columns. It is
	// nil in a sub-head and in a total that adds up.
	Cells []*Figure
	Place source.Span
}

// Sorts has the orders in which a table can put its rows.
var Sorts = []string{"largest", "smallest", "name"}

const (
	mostRows    = 400
	mostColumns = 40
)

func (m *markup) tableBlock(b *block) ast.Node {
	n := &TableBlock{Place: b.place}
	m.tables = append(m.tables, n)
	if len(m.figures) > mostFigures {
		return n
	}
	s := m.readSpec(b.body, b.place, "a table")
	if s == nil {
		return n
	}
	v := s.keys(s.Root, s.what, "title", "rows", "columns", "total", "sort", "show", "of", "note")
	s.need(s.Root, v, s.what, "title")
	n.Title = s.prose(v["title"], "a title")
	n.Note = s.prose(v["note"], "a note")
	n.Grid = s.grid(v, "rows")
	n.Total = s.word(v["total"], "the label of a total row").Text
	sort := s.word(v["sort"], "sort")
	s.oneOf(sort, "sort", Sorts)
	n.Sort = sort.Text
	for _, key := range []string{"total", "sort"} {
		if v[key] != nil && v["rows"] == nil {
			s.r.fail(source.Syntax, s.At(v[key]), "%s belongs to a table with rows of its own", key)
		}
	}
	if n.Sort != "" {
		for _, row := range n.Rows {
			if row.Kind != RowFigure {
				s.r.fail(source.Syntax, sort.Place, "a table with sub-heads or totals between its rows can't be sorted").
					With("leave sort out, or use the key total for one total at the foot")
				break
			}
		}
	}
	return n
}

// grid reads what a table or chart shows; rowsKey is the key of its rows.
func (s *spec) grid(v map[string]*yaml.Node, rowsKey string) Grid {
	var g Grid
	rows := v[rowsKey]
	switch {
	case rows != nil && v["show"] != nil:
		s.r.fail(source.Syntax, s.At(v["show"]), "%s has either %s or show", s.what, rowsKey).With("make it two blocks")
		return g
	case v["show"] != nil:
		g.Show = s.word(v["show"], "show")
		g.Of = s.words(v["of"], "of")
		s.show(g, v["of"])
		if v["columns"] != nil {
			s.r.fail(source.Syntax, s.At(v["columns"]), "columns belong to rows, and show has columns of its own")
		}
		return g
	case rows == nil:
		if !hasKey(s.Root, rowsKey) && !hasKey(s.Root, "show") {
			s.r.fail(source.Missing, s.place, "%s needs a key %s with the figures to show, or a key show", s.what, rowsKey)
		}
		return g
	}
	if v["of"] != nil {
		s.r.fail(source.Syntax, s.At(v["of"]), "of belongs to show").With("for figures of several enterprises, use columns: [{label: ..., of: ...}]")
	}

	columns := s.items(v["columns"], "columns")
	if len(columns) > mostColumns {
		s.r.fail(source.OutOfRange, s.At(v["columns"]), "%s has at most %d columns", s.what, mostColumns)
		return g
	}
	var templates []*yaml.Node
	for _, c := range columns {
		if column, template := s.column(c); column != nil {
			g.Columns = append(g.Columns, column)
			templates = append(templates, template)
		}
	}
	items := s.items(rows, rowsKey)
	if len(items) > mostRows {
		s.r.fail(source.OutOfRange, s.At(rows), "%s has at most %d rows", s.what, mostRows)
		return g
	}
	if len(g.Columns) < len(columns) {
		return g // what a row holds is not known
	}
	for _, item := range items {
		if row := s.row(item, g.Columns, templates); row != nil {
			g.Rows = append(g.Rows, row)
		}
	}
	return g
}

// column reads a column; the node is its formula or the name after the dot.
func (s *spec) column(n *yaml.Node) (*Column, *yaml.Node) {
	const what = "a column"
	c := &Column{Total: true, Place: s.At(n)}
	of := n
	if n.Kind != yaml.ScalarNode {
		v := s.keys(n, what, "label", "of", "formula", "total")
		c.Label = s.word(v["label"], "a label").Text
		c.Total = s.yes(v["total"], "total", true)
		if f := v["formula"]; f != nil {
			if v["of"] != nil {
				s.r.fail(source.Syntax, s.At(f), "a column has either of or formula")
				return nil, nil
			}
			w := s.word(f, "a formula")
			c.Formula = w.Text
			switch {
			case w.Text == "":
				return nil, nil
			case !rowWord.MatchString(w.Text):
				s.r.fail(source.Missing, w.Place, "the word row was expected in a column's formula").
					With("write row where the row's name belongs, as in row.net_margin / row.hours")
				return nil, nil
			case c.Label == "":
				s.r.fail(source.Missing, s.At(n), "a column with a formula needs a label")
			}
			return c, f
		}
		of = v["of"]
		if of == nil {
			s.need(n, v, what, "of")
			return nil, nil
		}
	}
	w := s.word(of, "the name of a column's figure")
	if w.Text == "" {
		return nil, nil
	}
	if !dottedName.MatchString(w.Text) {
		s.r.fail(source.Syntax, w.Place, "%s is not the name of a figure", leaf.Clip(w.Text)).
			With("for a formula write {label: ..., formula: ...} with the word row in it")
		return nil, nil
	}
	c.Of = w.Text
	return c, of
}

// rowWord is the word row in a column's formula, alone or before a dot; rowDot
// only before a dot.
var rowDot = regexp.MustCompile(`(^|[^a-z0-9_.])row\.`)

var rowWord = regexp.MustCompile(`(^|[^a-z0-9_.])row(\.[a-z]|[^a-z0-9_.]|$)`)

func (s *spec) row(n *yaml.Node, columns []*Column, templates []*yaml.Node) *Row {
	const what = "a row"
	row := &Row{Place: s.At(n)}
	figure := n
	if n.Kind != yaml.ScalarNode {
		v := s.keys(n, what, "label", "figure", "group", "total")
		row.Label = s.word(v["label"], "a label").Text
		figure = v["figure"]
		kinds := 0
		for _, key := range []string{"label", "group", "total"} {
			if v[key] != nil {
				kinds++
			}
		}
		switch {
		case kinds > 1:
			s.r.fail(source.Syntax, row.Place, "a row has one of label, group and total")
			return nil
		case v["group"] != nil:
			row.Kind, row.Label = RowGroup, s.word(v["group"], "a sub-head").Text
			if figure != nil {
				s.r.fail(source.Syntax, s.At(figure), "a sub-head has no figure")
			}
			return row
		case v["total"] != nil:
			row.Kind, row.Label = RowTotal, s.word(v["total"], "the label of a total").Text
			if figure == nil {
				return row
			}
		case figure == nil:
			s.need(n, v, what, "figure")
			return nil
		}
	}
	w := s.word(figure, "a figure")
	if w.Text == "" {
		return nil
	}
	text := strings.Join(strings.Fields(w.Text), " ")
	if dottedName.MatchString(text) {
		row.Name = text
	} else if strings.Count(text, "(") != strings.Count(text, ")") {
		s.r.fail(source.Syntax, w.Place, "the round brackets of %s don't match", leaf.Clip(text)).With("put a formula that holds a comma into quotes")
		return nil
	} else if row.Label == "" {
		s.r.fail(source.Missing, w.Place, "a formula needs a label in a row").With("write {label: ..., figure: %s}", leaf.Clip(text))
	}
	if len(columns) == 0 {
		if f := s.figure(figure, "a figure"); f != nil {
			row.Cells = []*Figure{f}
		}
		return row
	}
	for i, c := range columns {
		f := s.cell(row, text, w.Place, c, templates[i], i)
		if f == nil {
			return row
		}
		row.Cells = append(row.Cells, f)
	}
	return row
}

// cell returns the figure where a row and a column meet.
func (s *spec) cell(row *Row, text string, place source.Span, c *Column, template *yaml.Node, i int) *Figure {
	suffix := fmt.Sprintf(":%d", i+1)
	if c.Of != "" {
		if row.Name == "" {
			s.r.fail(source.WrongType, place, "a row of a table with columns is a name, such as broilers").
				With("a cell is then broilers.%s", c.Of)
			return nil
		}
		whole := row.Name + "." + c.Of
		return s.r.figure(source.Derived(place, whole).Whole(), whole, place, suffix)
	}
	if row.Name == "" && rowDot.MatchString(c.Formula) {
		s.r.fail(source.WrongType, place, "a row is a name here, because a column asks for row.something")
		return nil
	}
	insert := text
	if row.Name == "" {
		insert = "(" + text + ")"
	}
	whole := replaceRow(c.Formula, insert)
	at := s.At(template)
	return s.r.figure(source.Derived(at, whole).Whole(), whole, place, suffix)
}

// replaceRow puts a row in the place of the word row.
func replaceRow(formula, insert string) string {
	var b strings.Builder
	for i := 0; i < len(formula); {
		j := i
		for j < len(formula) && isNameByte(formula[j]) {
			j++
		}
		if j == i {
			b.WriteByte(formula[i])
			i++
			continue
		}
		word := formula[i:j]
		if word == "row" {
			word = insert
		} else if rest, ok := strings.CutPrefix(word, "row."); ok {
			word = insert + "." + rest
		}
		b.WriteString(word)
		i = j
	}
	return b.String()
}

func isNameByte(c byte) bool {
	return c == '.' || c == '_' || 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9'
}
