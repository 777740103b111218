// Package sheet lays figures out as tables, before anything is printed: which
// figure stands in which row and column, and which rows add up to which. Print
// then rounds them so that every table adds up as printed.
package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// A RowKind says what a row is.
type RowKind string

// The kinds of row.
const (
	Line  RowKind = "line"
	Head  RowKind = "head"  // a group's name
	Sub   RowKind = "sub"   // a sum within the table
	Total RowKind = "total" // the table's last word
	Check RowKind = "check" // a yes-or-no figure
)

// A Table is a table of figures.
type Table struct {
	Name    string // short and unique in a book: names its CSV file
	Title   say.Text
	Note    say.Text
	NoteOf  string   // the figure whose words are the note
	Head    say.Text // heads the column of labels
	Columns []Column
	Rows    []Row
	Lines   bool // an enterprise budget: columns amount sold, price, money, share
	Months  bool // one column a month and one for the year; each row shows a series

	// Whole says that money is in whole units already, and shown so however
	// little it is.
	Whole bool

	// In a table of months: which month of the year comes first, from 0 for
	// January, and the place in each series of more than a year at which the
	// table's twelve months begin.
	First, From int
}

// A Column is a column of figures.
type Column struct {
	Label say.Text
	// Foots says that the column's parts are rounded to add up to their sums.
	Foots bool
	// Yes and No are what the column says of figures that hold or don't; yes and
	// no if they are empty.
	Yes, No say.Text
	// Share shows each value as a percentage of the row marked Whole, in the
	// first column that foots.
	Share bool
	// Across says that the column is the sum of columns before it that foot, as
	// printed; Row of a part is then the number of such a column. Its own figures
	// are what the cells show the working of.
	Across []Part
}

// A Row is one row. A sum lists its parts: rows of this table that add up to
// it, by index.
type Row struct {
	Kind   RowKind
	Label  say.Text
	With   string   // the figure whose words stand for %s in the label
	IfAny  bool     // left out where all its values are nought
	IfSaid bool     // left out where the figure of its first cell, named by another, says nothing
	Of     string   // the figure of a row in a table of months, or of a check
	Cells  []string // the figures, one a column; "" leaves a cell empty
	Parts  []Part
	Whole  bool // what shares are reckoned of
	// In a table of months the last column shows the year as a whole: see
	// formula.Kind. Least shows the least month instead, as of what is left.
	Least bool
	// English says that the label is a message, which is in English in every
	// language.
	English bool
}

// NamedBy before the name of a figure that says words stands for the figure whose
// full name they are.
const NamedBy = "@"

// A Part is a row that counts towards a sum, or against it.
type Part struct {
	Row   int
	Minus bool
}

// A Printed table is ready to be set in type: texts, with the figures they
// show.
type Printed struct {
	*Table
	Title    string // the table's, in the style's language
	Note     string
	Head     string
	Heads    []string // of the columns, with the unit if all of a column share one
	Rows     []PrintedRow
	Adjusted bool // some part was rounded the other way so that a sum is right
}

// A PrintedRow is a row with its texts.
type PrintedRow struct {
	Row
	Label string // the row's, in the style's language
	Cells []Cell
	Holds bool // of a check
}

// A Cell shows one figure, or one month of it.
type Cell struct {
	Text   string // the number, without the unit that heads the column
	Unit   string // the unit, where the column has none
	Figure *figures.Figure
	Value  float64 // as printed, in the unit shown; NaN for none
}

// Print looks the figures up and rounds what must add up. It fails on a name
// that is not a figure; the names in a table come from the engine, so that is
// a fault of the program, or from a chapter, whose reader has checked them.
func (t *Table) Print(g *figures.Graph, style *quantity.Style) (*Printed, error) {
	t = t.present(g)
	p := &printer{Printed: &Printed{Table: t, Title: style.Words(t.Title), Note: style.Words(t.Note), Head: style.Words(t.Head)}, graph: g, style: style}
	p.Printed.Rows = make([]PrintedRow, len(t.Rows))
	for i, row := range t.Rows {
		p.Printed.Rows[i].Row, p.Printed.Rows[i].Label = row, style.Words(row.Label)
		for _, part := range row.Parts {
			if part.Row < 0 || part.Row >= len(t.Rows) || part.Row == i {
				return nil, fmt.Errorf("row %d of table %s has no part %d", i, t.Name, part.Row)
			}
		}
	}
	var err error
	if t.Months {
		err = p.months()
	} else {
		err = p.columns()
	}
	return p.Printed, err
}

type printer struct {
	*Printed
	graph *figures.Graph
	style *quantity.Style
}

func (p *printer) lookup(name string) (*figures.Figure, error) {
	if f := p.graph.Lookup(name); f != nil {
		return f, nil
	}
	return nil, fmt.Errorf("table %s names %s, which is not a figure", p.Name, name)
}

func (p *printer) columns() error {
	p.Heads = make([]string, len(p.Columns))
	for i := range p.Printed.Rows {
		row := &p.Printed.Rows[i]
		row.Cells = make([]Cell, len(p.Columns))
		if row.Kind == Check && row.Of != "" {
			f, err := p.lookup(row.Of)
			if err != nil {
				return err
			}
			row.Holds = p.graph.Base().Holds(f)
			continue
		}
		for j := range p.Columns {
			if j >= len(row.Row.Cells) || row.Row.Cells[j] == "" || p.Columns[j].Share {
				continue
			}
			f, err := p.lookup(row.Row.Cells[j])
			if err != nil {
				return err
			}
			row.Cells[j] = Cell{Figure: f}
		}
	}
	for j, c := range p.Columns {
		p.Heads[j] = p.style.Words(c.Label)
		switch {
		case c.Share:
			p.shares(j)
		case c.Across != nil:
			p.across(j)
		case c.Foots:
			p.foot(j)
		default:
			p.plain(j)
		}
	}
	return nil
}

// common returns the unit in which all figures of a column can be shown.
func (p *printer) common(column int) (quantity.Unit, bool) {
	var unit quantity.Unit
	found := false
	for i := range p.Printed.Rows {
		f := p.Printed.Rows[i].Cells[column].Figure
		if f == nil || f.Type.Open() {
			continue
		}
		if !found {
			unit, found = f.Unit, true
			continue
		}
		if f.Unit.String() != unit.String() {
			return unit, false
		}
	}
	return unit, found
}

// foots reports whether a column of figures can be added up: all of them
// measure the same. They are shown in the unit of the first.
func (p *printer) foots(column int) (quantity.Unit, bool) {
	var first *figures.Figure
	for i := range p.Printed.Rows {
		f := p.Printed.Rows[i].Cells[column].Figure
		if f == nil || f.Type.Open() {
			continue
		}
		if first == nil {
			first = f
		}
		if f.Type.Dimension != first.Type.Dimension || f.Type.Truth() {
			return quantity.Unit{}, false
		}
	}
	if first == nil {
		return quantity.Unit{}, false
	}
	return first.Unit, true
}

// step is the place value to which a set of values that add up is shown.
func (p *printer) step(unit quantity.Unit, values ...float64) float64 {
	largest := 0.0
	for _, x := range values {
		if a := math.Abs(unit.FromBase(x)); a > largest && !math.IsInf(a, 0) {
			largest = a
		}
	}
	if len(unit.Parts) > 0 && unit.Parts[0].Unit.Dimension == quantity.Base(p.graph.Units.Currency()) {
		if largest >= 100 || p.Printed.Whole {
			return 1
		}
		return p.style.Step(0.5, unit)
	}
	// The coarsest place that no value is more than a hundredth of itself off
	// at: 3 ha and 1.5 ha are shown to the tenth.
	for _, step := range []float64{1, 0.1, 0.01} {
		near := true
		for _, x := range values {
			v := unit.FromBase(x)
			near = near && (math.Abs(v-float64(math.Round(v/step)*step)) <= math.Abs(v)/100 || math.Abs(v) < largest/1000)
		}
		if near {
			return step
		}
	}
	return 0.001
}

func (p *printer) plain(column int) {
	unit, same := p.common(column)
	if !same {
		for i := range p.Printed.Rows {
			p.aloneIn(column, &p.Printed.Rows[i].Cells[column])
		}
		return
	}
	// A column of one unit shows its figures to one place, the finest that any
	// of them asks for.
	step := math.Inf(1)
	whole := true
	for i := range p.Printed.Rows {
		c := &p.Printed.Rows[i].Cells[column]
		f := c.Figure
		if f == nil || f.Type.Truth() || p.none(c) {
			continue
		}
		s := f.Step
		if s == 0 || f.IsInput() {
			s = math.Min(1, p.style.Step(f.Current(), f.Unit))
		}
		if math.Abs(f.Shown()) >= 1 || f.Step > 0 {
			step = math.Min(step, s)
		}
		whole = false
	}
	switch {
	case whole:
		step = 0
	case math.IsInf(step, 1):
		step = 1
	default:
		step = p.fewest(column, unit, step)
	}
	for i := range p.Printed.Rows {
		c := &p.Printed.Rows[i].Cells[column]
		if c.Figure == nil {
			continue
		}
		if c.Figure.Type.Truth() || p.none(c) {
			p.aloneIn(column, c)
			continue
		}
		s := step
		if v := math.Abs(c.Figure.Shown()); v != 0 && v < step {
			s = 0
		}
		p.fill(c, c.Figure.Current(), unit, s)
		c.Unit = ""
	}
	p.Heads[column] = p.withUnit(p.style.Words(p.Columns[column].Label), unit)
}

// fewest returns the coarsest step, up to 1, at which a column still shows what
// it shows at this one: zeros that end all of its figures say nothing. Money
// keeps its decimals, and a worked figure the step that its author names.
func (p *printer) fewest(column int, unit quantity.Unit, step float64) float64 {
	for _, part := range unit.Parts {
		if part.Unit.Dimension == quantity.Base(p.graph.Units.Currency()) {
			return step
		}
	}
	for step > 0 && step < 1 {
		for i := range p.Printed.Rows {
			c := &p.Printed.Rows[i].Cells[column]
			f := c.Figure
			if f == nil || f.Type.Truth() || p.none(c) {
				continue
			}
			named := f.Step > 0 && f.Step < 10*step && !f.IsInput()
			fine, coarse := quantity.Round(f.Shown(), quantity.Unit{}, step), quantity.Round(f.Shown(), quantity.Unit{}, 10*step)
			if named || math.Abs(fine-coarse) > step/1e3 {
				return step
			}
		}
		step = math.Min(1, 10*step)
	}
	return step
}

// aloneIn writes a cell with a unit of its own, or with its column's words for
// yes and no.
func (p *printer) aloneIn(column int, c *Cell) {
	p.alone(c)
	col := &p.Columns[column]
	if c.Figure == nil || !c.Figure.Type.Truth() || col.Yes == "" || p.none(c) {
		return
	}
	c.Text = p.style.Words(col.No)
	if p.graph.Base().Holds(c.Figure) {
		c.Text = p.style.Words(col.Yes)
	}
}

func (p *printer) withUnit(label string, unit quantity.Unit) string {
	name := p.style.Unit(unit, true)
	if name == "" {
		return label
	}
	if label == "" {
		return name
	}
	return label + ", " + name
}

// none writes a cell whose figure has no answer.
func (p *printer) none(c *Cell) bool {
	if _, none := p.graph.Base().None(c.Figure); !none {
		return false
	}
	c.Text, c.Unit, c.Value = p.style.Words("–"), "", math.NaN()
	return true
}

// alone writes a cell with a unit of its own.
func (p *printer) alone(c *Cell) {
	f := c.Figure
	if f == nil {
		return
	}
	if p.none(c) {
		return
	}
	if f.Type.Truth() {
		c.Text = p.style.Words("no")
		if p.graph.Base().Holds(f) {
			c.Text = p.style.Words("yes")
		}
		return
	}
	unit, step := f.Unit, f.Step
	if f.Formula != nil && f.Formula.As == nil {
		unit = p.graph.Units.Larger(f.Current(), unit)
		step = 0
	}
	c.Value = unit.FromBase(f.Current())
	c.Text = p.style.Text(f.Current(), unit, step)
}

func (p *printer) fill(c *Cell, base float64, unit quantity.Unit, step float64) {
	c.Value = unit.FromBase(quantity.Round(base, unit, step))
	c.Text = p.style.Figures(base, unit, step)
}

// foot rounds a column from its last sum downwards: a sum's parts are rounded
// to add up to it, then the parts of each of those to that.
func (p *printer) foot(column int) {
	unit, ok := p.foots(column)
	if !ok {
		p.plain(column)
		return
	}
	var all []float64
	for i := range p.Printed.Rows {
		if f := p.Printed.Rows[i].Cells[column].Figure; f != nil {
			all = append(all, f.Current())
		}
	}
	step := p.step(unit, all...)
	rounded := map[int]float64{} // in unit
	var value func(i int) float64
	value = func(i int) float64 {
		if f := p.Printed.Rows[i].Cells[column].Figure; f != nil {
			return unit.FromBase(f.Current())
		}
		sum := 0.0
		for _, part := range p.Printed.Rows[i].Parts {
			sum += float64(sign(part) * value(part.Row))
		}
		return sum
	}
	stands := func(i int) bool {
		return p.Printed.Rows[i].Cells[column].Figure != nil || len(p.Printed.Rows[i].Parts) > 0
	}
	p.settle(rounded, value, stands, step)
	for i := range p.Printed.Rows {
		c := &p.Printed.Rows[i].Cells[column]
		if !stands(i) || c.Figure != nil && p.none(c) {
			continue
		}
		if math.Abs(rounded[i]-quantity.Round(value(i), quantity.Unit{}, step)) > step/2 {
			p.Adjusted = true
		}
		p.fill(c, unit.ToBase(rounded[i]), unit, step)
	}
	p.Heads[column] = p.withUnit(p.style.Words(p.Columns[column].Label), unit)
}

// settle rounds rows from the last sum upwards: the parts of a sum to add up
// to it as rounded, then the parts of each of those.
func (p *printer) settle(rounded map[int]float64, value func(int) float64, stands func(int) bool, step float64) {
	var down func(i int)
	down = func(i int) {
		parts := p.Printed.Rows[i].Parts
		values := make([]float64, len(parts))
		for k, part := range parts {
			values[k] = sign(part) * value(part.Row)
		}
		for k, x := range quantity.FootTo(values, rounded[i], step) {
			n := parts[k].Row
			if _, done := rounded[n]; !done {
				rounded[n] = sign(parts[k]) * x
				down(n)
			}
		}
	}
	for i := len(p.Printed.Rows) - 1; i >= 0; i-- {
		if _, done := rounded[i]; !done && stands(i) {
			rounded[i] = quantity.Round(value(i), quantity.Unit{}, step)
			down(i)
		}
	}
}

func sign(part Part) float64 {
	if part.Minus {
		return -1
	}
	return 1
}

// across adds columns up as printed, so that a table which foots downwards foots
// sideways too.
func (p *printer) across(column int) {
	unit, ok := p.foots(column)
	if !ok {
		p.plain(column)
		return
	}
	for i := range p.Printed.Rows {
		c := &p.Printed.Rows[i].Cells[column]
		if c.Figure == nil || p.none(c) {
			continue
		}
		sum, decimals := 0.0, 0
		for _, part := range p.Columns[column].Across {
			if other := p.Printed.Rows[i].Cells[part.Row]; other.Text != "" && !math.IsNaN(other.Value) {
				sum += float64(sign(part) * other.Value)
				_, fraction, _ := strings.Cut(strconv.FormatFloat(other.Value, 'f', -1, 64), ".")
				decimals = max(decimals, len(fraction))
			}
		}
		step := math.Pow10(-min(decimals, 6))
		sum = quantity.Round(sum, quantity.Unit{}, step)
		if math.Abs(sum-quantity.Round(unit.FromBase(c.Figure.Current()), quantity.Unit{}, step)) > step/2 {
			p.Adjusted = true
		}
		p.fill(c, unit.ToBase(sum), unit, step)
	}
	p.Heads[column] = p.withUnit(p.style.Words(p.Columns[column].Label), unit)
}

// shares writes each row's part of the whole, in whole per cent. They are
// taken of the printed amounts, and foot where the rows do.
func (p *printer) shares(column int) {
	from := -1
	for j, c := range p.Columns {
		if c.Foots {
			from = j
			break
		}
	}
	whole := math.NaN()
	for i := range p.Printed.Rows {
		if from >= 0 && p.Printed.Rows[i].Whole {
			whole = p.Printed.Rows[i].Cells[from].Value
		}
	}
	if math.IsNaN(whole) || whole == 0 {
		return
	}
	rounded := map[int]float64{}
	stands := func(i int) bool {
		return p.Printed.Rows[i].Cells[from].Text != "" && !math.IsNaN(p.Printed.Rows[i].Cells[from].Value)
	}
	value := func(i int) float64 { return 100 * p.Printed.Rows[i].Cells[from].Value / whole }
	p.settle(rounded, value, stands, 1)
	unit := p.graph.Units.Must("%")
	for i := range p.Printed.Rows {
		if stands(i) {
			p.fill(&p.Printed.Rows[i].Cells[column], unit.ToBase(rounded[i]), unit, 1)
		}
	}
	p.Heads[column] = strings.TrimPrefix(p.style.Words(p.Columns[column].Label)+", %", ", ")
}
