package templates

import (
	"math"

	"rickyard/calc/risk"
	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/templates/chart"
	"rickyard/templates/tree"
)

// tableChart draws a table that belongs to the whole farm: each row of a table
// of months is a line or a column for each month, each row of another a bar for
// each of its columns. Rows without a figure are left out.
func (p *page) tableChart(block *content.ChartBlock) (tree.Nodes, bool) {
	word := block.Show.Text
	t, ok := p.Tables[word+risk.DrawnAs]
	if !ok || len(block.Of) > 0 {
		return nil, false
	}
	c := &chart.Chart{Kind: chart.Kind(block.Shape), Alt: block.Alt}
	g := &grid{page: p, chart: c, block: block}
	take := func(name string) ([]float64, []string, bool) {
		f := p.Graph.Lookup(name)
		if f == nil {
			p.fail(source.Errorf(source.UnknownRef, block.Show.Place, "%s can't be drawn: %s has no value", word, name), block.Show.Place)
			return nil, nil, false
		}
		return g.take(f, block.Show.Place)
	}
	if t.Months {
		for _, column := range t.Columns {
			c.Categories = append(c.Categories, p.say(column.Label))
		}
		c.Years = true
		for _, row := range t.Rows {
			values, shown, ok := take(row.Of)
			if !ok {
				return nil, true
			}
			c.Series = append(c.Series, chart.Series{Name: p.say(row.Label), Values: values, Shown: shown})
		}
		if c.Kind == chart.Lines && word == "risk_bands" {
			c.Series = band(c.Series)
		}
		return p.draw(c, p.line(block.Title), p.line(block.Note), block.Place), true
	}
	for _, column := range t.Columns {
		c.Series = append(c.Series, chart.Series{Name: p.say(column.Label)})
	}
	printed, err := t.Print(p.Graph, p.Style)
	if err != nil {
		p.errs.Add(err)
		return nil, true
	}
	for _, row := range printed.Rows { // those left out are not among them
		c.Categories = append(c.Categories, row.Label)
		for j := range c.Series {
			s := &c.Series[j]
			value, text := math.NaN(), ""
			if names := row.Row.Cells; j < len(names) && names[j] != "" {
				values, shown, ok := take(names[j])
				if !ok {
					return nil, true
				}
				value, text = values[0], shown[0]
			}
			s.Values, s.Shown = append(s.Values, value), append(s.Shown, text)
		}
	}
	return p.draw(c, p.line(block.Title), p.line(block.Note), block.Place), true
}

// band makes one line with a band about it of three: better, middle, worse.
func band(three []chart.Series) []chart.Series {
	if len(three) != 3 {
		return three
	}
	better, one, worse := three[0], three[1], three[2]
	one.Low, one.ShownLow, one.LowName = worse.Values, worse.Shown, worse.Name
	one.High, one.ShownHigh, one.HighName = better.Values, better.Shown, better.Name
	return []chart.Series{one}
}
