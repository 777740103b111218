package sheet

import (
	"slices"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/say"
)

// present returns the table without rows that say nothing: lines marked IfAny
// whose values are all nought, and heads of groups that are left without rows.
// Labels have their words put in.
func (t *Table) present(g *figures.Graph) *Table {
	p := *t
	if f := g.Lookup(t.NoteOf); f != nil {
		p.Note = g.Base().Text(f)
	}
	p.Rows = nil
	place := make([]int, len(t.Rows)) // of a row among those kept, or -1
	for i, row := range t.Rows {
		place[i] = -1
		if row.IfAny && t.nought(g, &row) || row.IfSaid && t.unsaid(g, &row) {
			continue
		}
		if row.Kind == Head && t.emptyGroup(g, i) {
			continue
		}
		if f := g.Lookup(row.With); f != nil {
			row.Label = say.With(row.Label, g.Base().Text(f))
		}
		for j, name := range row.Cells {
			if by, ok := strings.CutPrefix(name, NamedBy); ok {
				row.Cells = slices.Clone(row.Cells)
				row.Cells[j] = ""
				if f := g.Lookup(by); f != nil {
					row.Cells[j] = g.Base().Text(f).String()
				}
			}
		}
		place[i] = len(p.Rows)
		p.Rows = append(p.Rows, row)
	}
	for i := range p.Rows {
		var parts []Part
		for _, part := range p.Rows[i].Parts {
			if part.Row < 0 || part.Row >= len(place) {
				parts = append(parts, part) // a fault that Print reports
			} else if at := place[part.Row]; at >= 0 {
				parts = append(parts, Part{at, part.Minus})
			}
		}
		p.Rows[i].Parts = parts
	}
	return &p
}

// emptyGroup reports whether no row is left between a head and the next.
func (t *Table) emptyGroup(g *figures.Graph, head int) bool {
	for i := head + 1; i < len(t.Rows) && t.Rows[i].Kind != Head; i++ {
		if row := &t.Rows[i]; !row.IfAny || !t.nought(g, row) {
			return false
		}
	}
	return true
}

// unsaid reports whether the figure that a row is named by says nothing.
func (t *Table) unsaid(g *figures.Graph, row *Row) bool {
	by, _ := strings.CutPrefix(row.Cells[0], NamedBy)
	f := g.Lookup(by)
	return f == nil || g.Base().Text(f) == ""
}

// nought reports whether all figures of a row are nought over what the table
// shows of them.
func (t *Table) nought(g *figures.Graph, row *Row) bool {
	for _, name := range append(row.Cells, row.Of) {
		f := g.Lookup(name)
		if f == nil {
			continue
		}
		months := f.Months()
		if months == nil {
			months = []float64{f.Current()}
		} else if t.Months && len(months) >= t.From+12 {
			months = months[t.From : t.From+12]
		}
		for _, x := range months {
			if x > 0.005 || x < -0.005 || x != x {
				return false
			}
		}
	}
	return true
}
