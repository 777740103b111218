package templates

import (
	"math"
	"slices"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/sheet"
	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/templates/chart"
	"rickyard/templates/tree"
)

// chart shows a chart block.
func (p *page) chart(block *content.ChartBlock) tree.Nodes {
	if block.Show.Text != "" {
		return p.engineChart(block)
	}
	c := &chart.Chart{Kind: chart.Kind(block.Shape), Alt: block.Alt}
	c.Each = block.EachRow
	g := &grid{page: p, chart: c, block: block}
	fill := g.fill
	if len(block.Sweeps) > 0 {
		fill = g.sweep
	}
	if !fill() {
		return nil
	}
	return p.draw(c, p.line(block.Title), p.line(block.Note), block.Place)
}

// draw is a chart with its caption and the numbers behind it; a sentence, where
// none of its figures has a value.
func (p *page) draw(c *chart.Chart, title, note tree.Nodes, place source.Span) tree.Nodes {
	if c.Number == nil {
		c.Number = func(v float64, decimals int) string {
			return p.Style.Figures(v, quantity.Unit{Factor: 1}, math.Pow10(-max(0, decimals)))
		}
	}
	curlAll(c)
	c.Language = p.words
	if len(c.Series) > 0 && len(c.Categories) > 0 && c.Empty() {
		return tree.Nodes{tree.E("p", tree.E("strong", title), txt(p.words.Say("chart_empty")))}
	}
	drawing, err := p.Drawer.Draw(c)
	if err != nil {
		p.fail(err, place)
		return nil
	}
	p.counter["drawing "+drawing.ID]++
	n := p.counter["drawing "+drawing.ID]
	if p.together {
		n += 1000 + p.made.number*100
	}
	if n > 1 {
		drawing = drawing.Again(n)
	}
	id := p.id("chart")
	box := tree.E("div.drawn", tree.A("role", "img"), tree.A("aria-label", curl(drawing.Alt)), tree.Drawn(drawing.Wide), tree.Drawn(drawing.Narrow))
	var numbers tree.Nodes
	if p.paper == nil || !drawing.Told {
		table := p.chartTable(id, c)
		if drawing.Told {
			table.AddClass("told")
		}
		numbers = tree.Join(table)
	}
	return plate("figure.chart", id, box, title, note, numbers)
}

// chartTable is the table of the numbers behind a chart.
func (p *page) chartTable(id string, c *chart.Chart) *tree.Element {
	tag := "table.plain"
	if c.Years {
		tag = "table.months"
	}
	head, rows := c.Table()
	top := tree.E("tr")
	for i, h := range head {
		class := ""
		if i > 0 {
			class = "n"
		}
		top.Add(p.headCell(class, h))
	}
	body := tree.E("tbody")
	for _, row := range rows {
		tr := tree.E("tr", rowHead(row[0]))
		for _, cell := range row[1:] {
			tr.Add(tree.E("td.n", txt(cell)))
		}
		body.Add(tr)
	}
	return p.numbersTable(id, p.words.Say("numbers"), tag, top, body)
}

// plate is a drawing under its title, with a note beneath and the numbers in it
// as a table.
func plate(tag, id string, drawing *tree.Element, title, note, numbers tree.Nodes) tree.Nodes {
	figure := tree.E(tag, tree.ID(id), tree.E("figcaption", tree.ID(id+"-c"), title), drawing)
	if len(note) > 0 {
		figure.Add(tree.E("p.note", note))
	}
	return tree.Nodes{figure.Add(numbers)}
}

// curlAll sets the apostrophes of all texts of a chart.
func curlAll(c *chart.Chart) {
	for _, text := range []*string{&c.Alt, &c.Unit, &c.Across, &c.BaseName} {
		*text = curl(*text)
	}
	for i := range c.Categories {
		c.Categories[i] = curl(c.Categories[i])
	}
	for i := range c.Series {
		c.Series[i].Name = curl(c.Series[i].Name)
	}
	for i := range c.Marks {
		c.Marks[i].Name = curl(c.Marks[i].Name)
	}
}

// A grid turns the rows and columns of a chart block into a chart.
type grid struct {
	*page
	chart *chart.Chart
	block *content.ChartBlock
	unit  quantity.Unit
	set   bool

	months int // of its series
}

// take returns a figure's value, or its months, in the chart's unit; the first
// figure settles the unit unless the chart names one.
func (g *grid) take(f *figures.Figure, place source.Span) ([]float64, []string, bool) {
	if f.Type.Open() { // no answer, which fits anywhere
		return slices.Repeat([]float64{math.NaN()}, max(1, g.months)), slices.Repeat([]string{g.say("–")}, max(1, g.months)), true
	}
	if !g.set {
		g.set = true
		g.unit = f.Unit
		if f.Formula != nil && f.Formula.As == nil {
			g.unit = g.Graph.Units.Larger(f.Current(), f.Unit)
		}
		if word := g.block.Unit; word.Text != "" {
			unit, err := g.Graph.Units.ParseUnit(word.Text)
			if err != nil {
				g.fail(source.Errorf(source.WrongUnit, word.Place, "%v", err), word.Place)
				return nil, nil, false
			}
			g.unit = unit
		}
		g.chart.Unit = g.Style.Unit(g.unit, true)
	}
	if f.Type.Dimension != g.unit.Dimension {
		g.fail(source.Errorf(source.WrongUnit, place, "%s can't be drawn in %s beside the others", f.Name, g.Style.Unit(g.unit, true)).
			With("draw it in a chart of its own"), place)
		return nil, nil, false
	}
	values := []float64{f.Current()}
	if f.Type.Len > 0 {
		values = f.Months()
	}
	shown := make([]string, len(values))
	for i, x := range values {
		if math.IsNaN(x) {
			values[i], shown[i] = math.NaN(), g.say("–")
			continue
		}
		values[i] = g.unit.FromBase(x)
		shown[i] = g.Style.Figures(x, g.unit, f.Step)
	}
	return values, shown, true
}

func (g *grid) fill() bool {
	c := g.chart
	type cell struct {
		f     *figures.Figure
		place source.Span
	}
	var cells [][]cell
	var labels []string
	for _, row := range g.block.Rows {
		if row.Kind != content.RowFigure {
			continue
		}
		var line []cell
		for _, shown := range row.Cells {
			f := g.lookup(shown)
			if f == nil {
				return false
			}
			line = append(line, cell{f, shown.Formula})
		}
		if len(line) == 0 {
			continue
		}
		label := row.Label
		if label == "" {
			label = g.rowLabel(row, line[0].f, len(g.block.Columns) == 0)
		}
		cells, labels = append(cells, line), append(labels, label)
	}
	if len(cells) == 0 {
		g.fail(source.Errorf(source.Missing, g.block.Place, "this chart has no figures"), g.block.Place)
		return false
	}
	columnLabel := func(j int) string {
		if j < len(g.block.Columns) && g.block.Columns[j].Label != "" {
			return g.block.Columns[j].Label
		}
		return g.say(cells[0][j].f.Label)
	}
	series := func(i, j int) ([]float64, []string, bool) { return g.take(cells[i][j].f, cells[i][j].place) }

	for i := range cells {
		g.months = max(g.months, cells[i][0].f.Type.Len)
	}
	switch months := g.months; {
	case months > 0:
		// Each row is a series over the months.
		whole := months > 12 && (cells[0][0].f.Scope == "plan" || cells[0][0].f.Scope == "risk")
		for m := range months {
			if whole {
				c.Categories = append(c.Categories, g.say((g.Start + plan.Month(m)).Short()))
			} else {
				c.Categories = append(c.Categories, g.month(m%12))
			}
		}
		c.Years = whole
		for i := range cells {
			values, shown, ok := series(i, 0)
			if !ok {
				return false
			}
			c.Series = append(c.Series, chart.Series{Name: labels[i], Values: values, Shown: shown})
		}
	case c.Kind == chart.Points:
		return g.points(labels, func(i int) []*figures.Figure {
			return []*figures.Figure{cells[i][0].f, cells[i][min(1, len(cells[i])-1)].f}
		})
	case c.Kind == chart.Ranges:
		return g.ranges(labels, columnLabel, series, len(cells))
	default:
		c.Categories = labels
		for j := range cells[0] {
			var s chart.Series
			if len(cells[0]) > 1 {
				s.Name = columnLabel(j)
			}
			for i := range cells {
				values, shown, ok := series(i, j)
				if !ok {
					return false
				}
				s.Values, s.Shown = append(s.Values, values[0]), append(s.Shown, shown[0])
			}
			c.Series = append(c.Series, s)
		}
	}
	return g.target()
}

// target adds the lines across the chart, and says which points to name.
func (g *grid) target() bool {
	g.chart.Lowest, g.chart.Highest = g.block.Lowest, g.block.Highest
	targets := g.block.Marks
	if g.block.Target != nil {
		targets = append([]*content.Target{g.block.Target}, targets...)
	}
	for _, t := range targets {
		if !g.mark(t) {
			return false
		}
	}
	return true
}

// mark adds a line at a figure's value; one with a value for each month steps
// along a chart by months.
func (g *grid) mark(t *content.Target) bool {
	f := g.lookup(t.Figure)
	if f == nil {
		return false
	}
	place := t.Figure.Formula
	if f.Type.Len > 0 && f.Type.Len != len(g.chart.Categories) {
		g.fail(source.Errorf(source.WrongType, place, "a target is one value here, and %s has one for each month", g.say(f.Label)).
			With("write at(..., May) or max(...) round it"), place)
		return false
	}
	values, shown, ok := g.take(f, place)
	if !ok {
		return false
	}
	mark := chart.Mark{Name: t.Label, Value: values[0], Shown: shown[0]}
	if mark.Name == "" {
		mark.Name = g.say(f.Label)
	}
	if f.Type.Len > 0 {
		mark.Values, mark.Value, mark.Shown = values, math.NaN(), ""
	}
	g.chart.Marks = append(g.chart.Marks, mark)
	return true
}

// points places each row by its first figure across and its second upwards.
func (g *grid) points(labels []string, of func(i int) []*figures.Figure) bool {
	c := g.chart
	c.Categories = labels
	var s chart.Series
	for i := range labels {
		pair := of(i)
		x, y := pair[0], pair[1]
		if i == 0 {
			c.Across = axisName(g.say(x.Label), g.Style.Unit(x.Unit, true))
			c.Unit = axisName(g.say(y.Label), g.Style.Unit(y.Unit, true))
		}
		for k, f := range pair {
			v, text := f.Shown(), g.Style.Figures(f.Current(), f.Unit, f.Step)
			if _, none := g.Graph.Base().None(f); none {
				v, text = math.NaN(), g.say("–")
			}
			if k == 0 {
				s.At, s.ShownAt = append(s.At, v), append(s.ShownAt, text)
			} else {
				s.Values, s.Shown = append(s.Values, v), append(s.Shown, text)
			}
		}
	}
	c.Series = []chart.Series{s}
	return true
}

func axisName(label, unit string) string {
	if unit == "" || strings.EqualFold(label, unit) {
		return label
	}
	return label + ", " + unit
}

func (g *grid) ranges(labels []string, column func(int) string, series func(i, j int) ([]float64, []string, bool), rows int) bool {
	c := g.chart
	if len(g.block.Columns) != 3 {
		g.fail(source.Errorf(source.Missing, g.block.Place, "a chart of ranges needs three columns: low, likely and high"), g.block.Place)
		return false
	}
	c.Categories = labels
	s := chart.Series{LowName: column(0), HighName: column(2)}
	for i := range rows {
		low, lowText, ok1 := series(i, 0)
		high, highText, ok2 := series(i, 2)
		if !ok1 || !ok2 {
			return false
		}
		s.Low, s.ShownLow = append(s.Low, low[0]), append(s.ShownLow, lowText[0])
		s.High, s.ShownHigh = append(s.High, high[0]), append(s.ShownHigh, highText[0])
	}
	base, shown, ok := series(0, 1)
	if !ok {
		return false
	}
	c.Base, c.BaseShown, c.BaseName = base[0], shown[0], column(1)
	c.Series = []chart.Series{s}
	return true
}

// engineChart draws what the engine knows of an enterprise.
func (p *page) engineChart(block *content.ChartBlock) tree.Nodes {
	if nodes, ok := p.compareChart(block); ok {
		return nodes
	}
	if nodes, ok := p.tableChart(block); ok {
		return nodes
	}
	var nodes tree.Nodes
	for _, of := range block.Of {
		s := p.enterpriseOf(of.Text)
		if s == nil {
			continue
		}
		var c *chart.Chart
		switch block.Show.Text {
		case "hours":
			if c = p.hoursChart(s, chart.Kind(block.Shape)); block.Target != nil {
				// The line to reach, or to stay under, is time in a month.
				hour := p.Graph.Units.Must("h")
				g := &grid{page: p, chart: c, block: block, unit: hour, set: true}
				if !g.target() {
					return nil
				}
			}
		case "budget":
			c = p.moneyChart(s)
		}
		if c == nil {
			continue
		}
		c.Alt = block.Alt
		nodes = append(nodes, p.draw(c, p.line(block.Title), p.line(block.Note), block.Place)...)
	}
	return nodes
}

// mostTasks is how many tasks a chart of hours tells apart; the smallest of
// more are put together.
const mostTasks = 12

// hoursChart shows an enterprise's hours by task and month, rounded as in the
// table of hours.
func (p *page) hoursChart(s *enterprise.Spec, kind chart.Kind) *chart.Chart {
	t := enterprise.HoursByMonth(s)
	printed, err := t.Print(p.Graph, p.Style)
	if err != nil {
		p.errs.Add(err)
		return nil
	}
	hour := p.Graph.Units.Must("h")
	c := &chart.Chart{Kind: kind, Unit: p.Style.Unit(hour, true)}
	for m := range 12 {
		c.Categories = append(c.Categories, p.month(m))
	}
	for _, row := range printed.Rows[:len(printed.Rows)-1] {
		series := chart.Series{Name: row.Label}
		for _, cell := range row.Cells[:min(12, len(row.Cells))] {
			series.Values = append(series.Values, cell.Value)
			series.Shown = append(series.Shown, p.Style.Figures(hour.ToBase(cell.Value), hour, 1))
		}
		c.Series = append(c.Series, series)
	}
	c.Series = p.fewer(c.Series, hour)
	return c
}

func (p *page) fewer(series []chart.Series, unit quantity.Unit) []chart.Series {
	if len(series) <= mostTasks {
		return series
	}
	rest := chart.Series{Name: p.words.Say("other"), Values: make([]float64, len(series[0].Values))}
	total := func(s chart.Series) (sum float64) {
		for _, v := range s.Values {
			sum += v
		}
		return sum
	}
	keep := map[int]bool{}
	for range mostTasks - 1 {
		best := -1
		for i := range series {
			if !keep[i] && (best < 0 || total(series[i]) > total(series[best])) {
				best = i
			}
		}
		keep[best] = true
	}
	var out []chart.Series
	for i, s := range series {
		if keep[i] {
			out = append(out, s)
			continue
		}
		for m, v := range s.Values {
			rest.Values[m] += v
		}
	}
	for _, v := range rest.Values {
		rest.Shown = append(rest.Shown, p.Style.Figures(unit.ToBase(v), unit, 1))
	}
	return append(out, rest)
}

// smallShare is the part of the sales below which a cost is drawn together
// with others.
const smallShare = 0.04

// moneyChart shows where the sales of an enterprise go, down to the net
// margin.
func (p *page) moneyChart(s *enterprise.Spec) *chart.Chart {
	t := enterprise.Budget(s)
	printed, err := t.Print(p.Graph, p.Style)
	if err != nil {
		p.errs.Add(err)
		return nil
	}
	money := p.Graph.Units.Money()
	c := &chart.Chart{Kind: chart.Steps, Unit: p.Style.Unit(money, true), Across: printed.Head}
	var series chart.Series
	const amount = 2
	add := func(label string, value float64, sum bool) {
		if sum {
			c.Sums = append(c.Sums, len(c.Categories))
		}
		c.Categories = append(c.Categories, label)
		series.Values = append(series.Values, value)
		series.Shown = append(series.Shown, p.Style.Figures(money.ToBase(value), money, 1))
	}
	whole := 0.0
	for _, row := range printed.Rows {
		if row.Whole {
			whole = row.Cells[amount].Value
		}
	}
	group, small := "", 0.0
	for _, row := range printed.Rows {
		if row.Kind == sheet.Head {
			group, small = row.Label, 0
			continue
		}
		if len(row.Cells) <= amount || math.IsNaN(row.Cells[amount].Value) {
			continue
		}
		v := row.Cells[amount].Value
		switch {
		case row.Kind == sheet.Line && group == printed.Rows[0].Label:
		case row.Kind == sheet.Line && v < smallShare*whole:
			small += v
		case row.Kind == sheet.Line:
			add(row.Label, -v, false)
		case row.Whole, row.Kind == sheet.Total, len(row.Parts) == 2 && row.Parts[1].Minus:
			add(row.Label, v, true)
		case small != 0:
			add(p.words.Say("other_of", p.words.Mid(row.Label)), -small, false)
		}
	}
	c.Series = []chart.Series{series}
	return c
}
