package sheet

import (
	"fmt"
	"math"
	"slices"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// months prints a table with one column a month and one for the year. Lines
// that add up to a total below are rounded so that the table adds up both
// ways.
func (p *printer) months() error {
	rows := p.Printed.Rows
	byRow := make([]*figures.Figure, len(rows))
	var all []float64
	var unit quantity.Unit
	for i := range rows {
		if rows[i].Of == "" {
			continue
		}
		f, err := p.lookup(rows[i].Of)
		if err != nil {
			return err
		}
		byRow[i] = f
		if len(all) > 0 && f.Type.Dimension != unit.Dimension && !f.Type.Open() {
			return fmt.Errorf("table %s has %s by month beside others in %s", p.Name, f.Name, p.style.Unit(unit, true))
		}
		if len(all) == 0 || rows[i].Kind == Total {
			unit = f.Unit // a total's unit suits the whole table
		}
		all = append(all, p.window(f)...)
	}
	step := p.step(unit, all...)
	if unit.Dimension == quantity.Time && step < 1 {
		step = 1 // an hour is near enough
	}
	done := make([]bool, len(rows))
	for i := range rows {
		if len(rows[i].Parts) > 0 && p.sameLength(byRow, rows[i].Parts) {
			p.footMonths(i, byRow, unit, step, done)
		}
	}
	for i, f := range byRow {
		if f == nil || done[i] {
			continue
		}
		months := p.window(f)
		shown := make([]float64, len(months))
		sum := 0.0
		for m, x := range months {
			shown[m] = unit.FromBase(x)
			sum += shown[m]
		}
		if row := &rows[i].Row; !row.sums(f) {
			shown = eachRounded(shown, step)
			p.setMonths(i, f, unit, step, shown, p.whole(row, f, unit, step, shown, sum))
			continue
		}
		rounded, total, moved := quantity.Foot(shown, step)
		p.Adjusted = p.Adjusted || moved
		p.setMonths(i, f, unit, step, rounded, total)
	}
	name := p.style.Unit(unit, true)
	p.Heads = nil
	for m := range say.ShortMonths {
		p.Heads = append(p.Heads, p.style.Words(say.ShortMonths[(p.First+m)%12]))
	}
	p.Heads = append(p.Heads, p.style.Words("Year"))
	if name != "" {
		p.Head = p.Head + ", " + name
	}
	return nil
}

// window returns the twelve months of a series that the table shows.
func (p *printer) window(f *figures.Figure) []float64 {
	months := f.Months()
	if len(months) >= p.From+12 {
		return months[p.From : p.From+12]
	}
	return months
}

// sums reports whether the months of a row add up to the year.
func (row *Row) sums(f *figures.Figure) bool {
	return !row.Least && (f == nil || f.Type.Kind == formula.Flow || f.Type.Kind == formula.Number)
}

// whole is what stands behind the months: of what adds up, their sum; of a price
// or a share the mean, weighted as the figure is; else one of the months as shown.
func (p *printer) whole(row *Row, f *figures.Figure, unit quantity.Unit, step float64, months []float64, sum float64) float64 {
	switch {
	case row.Least:
		return slices.Min(months)
	case row.sums(f):
		return sum
	}
	switch f.Type.Kind {
	case formula.Price, formula.Share, formula.Temperature:
		from := 0
		if f.Type.Len >= p.From+12 {
			from = p.From
		}
		return quantity.Round(unit.FromBase(p.graph.Base().Whole(f, from, from+len(months))), quantity.Unit{}, step)
	}
	return f.Type.Kind.Whole(months, nil)
}

func (p *printer) sameLength(byRow []*figures.Figure, parts []Part) bool {
	for _, part := range parts {
		if byRow[part.Row] == nil || len(p.window(byRow[part.Row])) != 12 {
			return false
		}
	}
	return true
}

// totalled is the figure that says what a row of parts is: its own, or the first
// part's.
func (p *printer) totalled(at int, byRow []*figures.Figure) *figures.Figure {
	if f := byRow[at]; f != nil {
		return f
	}
	return byRow[p.Printed.Rows[at].Parts[0].Row]
}

func (p *printer) footMonths(at int, byRow []*figures.Figure, unit quantity.Unit, step float64, done []bool) {
	parts := p.Printed.Rows[at].Parts
	cells := make([][]float64, len(parts))
	for k, part := range parts {
		for _, x := range p.window(byRow[part.Row]) {
			cells[k] = append(cells[k], sign(part)*unit.FromBase(x))
		}
	}
	whole := p.totalled(at, byRow)
	if !p.Printed.Rows[at].Row.sums(whole) {
		p.footColumns(at, byRow, cells, unit, step, done)
		return
	}
	rounded, right, below, total := quantity.FootGrid(cells, step)
	for k, part := range parts {
		months := make([]float64, len(rounded[k]))
		for m, x := range rounded[k] {
			months[m] = sign(part) * x
		}
		p.setMonths(part.Row, byRow[part.Row], unit, step, months, p.whole(&p.Printed.Rows[part.Row].Row, byRow[part.Row], unit, step, months, sign(part)*right[k]))
		done[part.Row] = true
		for m, x := range rounded[k] {
			if math.Abs(x-quantity.Round(cells[k][m], quantity.Unit{}, step)) > step/2 {
				p.Adjusted = true
			}
		}
	}
	p.setMonths(at, byRow[at], unit, step, below, total)
	done[at] = true
}

// footColumns rounds a sum and its parts month by month, where the months
// themselves don't add up to anything.
func (p *printer) footColumns(at int, byRow []*figures.Figure, cells [][]float64, unit quantity.Unit, step float64, done []bool) {
	parts := p.Printed.Rows[at].Parts
	whole := p.totalled(at, byRow)
	below := make([]float64, 12)
	rounded := make([][]float64, len(parts))
	for k := range rounded {
		rounded[k] = make([]float64, 12)
	}
	for m := range below {
		column := make([]float64, len(parts))
		for k := range parts {
			column[k] = cells[k][m]
		}
		var moved bool
		column, below[m], moved = quantity.Foot(column, step)
		p.Adjusted = p.Adjusted || moved
		for k, x := range column {
			rounded[k][m] = sign(parts[k]) * x
		}
	}
	for k, part := range parts {
		p.setMonths(part.Row, byRow[part.Row], unit, step, rounded[k], p.whole(&p.Printed.Rows[part.Row].Row, byRow[part.Row], unit, step, rounded[k], 0))
		done[part.Row] = true
	}
	p.setMonths(at, byRow[at], unit, step, below, p.whole(&p.Printed.Rows[at].Row, whole, unit, step, below, 0))
	done[at] = true
}

func (p *printer) setMonths(row int, f *figures.Figure, unit quantity.Unit, step float64, months []float64, year float64) {
	cells := make([]Cell, 0, len(months)+1)
	for _, x := range append(months[:len(months):len(months)], year) {
		c := Cell{Figure: f}
		p.fill(&c, unit.ToBase(x), unit, step)
		cells = append(cells, c)
	}
	p.Printed.Rows[row].Cells = cells
}

func eachRounded(values []float64, step float64) []float64 {
	rounded := make([]float64, len(values))
	for i, x := range values {
		rounded[i] = quantity.Round(x, quantity.Unit{}, step)
	}
	return rounded
}
