package sheet

import (
	"math"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
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
		if len(all) == 0 {
			unit = f.Unit
		}
		all = append(all, f.Months()...)
	}
	step := p.step(unit, all...)
	if unit.Dimension == quantity.Time && step < 1 {
		step = 1 // an hour is near enough
	}
	done := make([]bool, len(rows))
	for i := range rows {
		if len(rows[i].Parts) > 0 && sameLength(byRow, rows[i].Parts) {
			p.footMonths(i, byRow, unit, step, done)
		}
	}
	for i, f := range byRow {
		if f == nil || done[i] {
			continue
		}
		months := f.Months()
		shown := make([]float64, len(months))
		sum := 0.0
		for m, x := range months {
			shown[m] = unit.FromBase(x)
			sum += shown[m]
		}
		if rows[i].Mean {
			p.setMonths(i, f, unit, step, eachRounded(shown, step), greatest(shown))
			continue
		}
		rounded, total, moved := quantity.Foot(shown, step)
		p.Adjusted = p.Adjusted || moved
		p.setMonths(i, f, unit, step, rounded, total)
	}
	name := p.style.Unit(unit, true)
	p.Heads = append([]string{}, quantity.MonthNames[:]...)
	p.Heads = append(p.Heads, "Year")
	if name != "" {
		p.Head = p.Head + ", " + name
	}
	return nil
}

func sameLength(byRow []*figures.Figure, parts []Part) bool {
	for _, part := range parts {
		if byRow[part.Row] == nil || byRow[part.Row].Type.Len != 12 {
			return false
		}
	}
	return true
}

func (p *printer) footMonths(at int, byRow []*figures.Figure, unit quantity.Unit, step float64, done []bool) {
	parts := p.Printed.Rows[at].Parts
	cells := make([][]float64, len(parts))
	for k, part := range parts {
		for _, x := range byRow[part.Row].Months() {
			cells[k] = append(cells[k], sign(part)*unit.FromBase(x))
		}
	}
	rounded, right, below, total := quantity.FootGrid(cells, step)
	for k, part := range parts {
		months := make([]float64, len(rounded[k]))
		for m, x := range rounded[k] {
			months[m] = sign(part) * x
		}
		p.setMonths(part.Row, byRow[part.Row], unit, step, months, sign(part)*right[k])
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

func greatest(values []float64) float64 {
	most := math.Inf(-1)
	for _, x := range values {
		most = math.Max(most, x)
	}
	return most
}
