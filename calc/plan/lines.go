package plan

import (
	"regexp"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/quantity"
)

// A LineBook is what one line of an enterprise comes to in the plan, month by
// month, beginning with the plan's first.
type LineBook struct {
	Enterprise *Enterprise
	Line       *enterprise.Line
	Row        Row       // Sales, VariableCosts or OwnOverheads
	Money      []float64 // part of that row, before the books are rounded
	Fees       []float64 // of a sale: its part of ChannelFees; else nil
	// Quantity is what is sold, or what is bought where the cost is one quantity
	// at one price; nil where the line has none. It is in base units, and In is
	// the figure that measures it in a full year.
	Quantity []float64
	In       *figures.Figure
	Price    *figures.Figure // of one, in today's money; nil without a quantity
}

// product is the formula of a cost that is one figure times another.
var product = regexp.MustCompile(`^\s*[a-z][a-z0-9_.]*\s*\*\s*[a-z][a-z0-9_.]*\s*$`)

// measure returns the figure that holds the quantity of a line in a full year
// and the one that holds its price.
func (p *Plan) measure(g *figures.Graph, of string, l *enterprise.Line) (in, price *figures.Figure) {
	f := g.Lookup(of)
	switch {
	case f == nil:
		return nil, nil
	case l.Kind == enterprise.Sale:
		return f, g.Lookup(of + ".price")
	case l.Kind != enterprise.Cost || l.When.Every.File != nil || f.Formula == nil || !product.MatchString(f.Formula.Span.Text()):
		return nil, nil
	}
	names := f.Formula.Names()
	if len(names) != 2 {
		return nil, nil
	}
	a, b := g.Lookup(names[0].Full), g.Lookup(names[1].Full)
	money := quantity.Base(p.Currency)
	for range 2 {
		if a != nil && b != nil && a.Type.Len == 0 && b.Type.Len == 0 && hasPart(b.Type.Dimension, money) && b.Type.Dimension != money && !hasPart(a.Type.Dimension, money) {
			return a, b
		}
		a, b = b, a
	}
	return nil, nil
}

func hasPart(d, part quantity.Dimension) bool {
	for _, p := range strings.Fields(string(d)) {
		if p == string(part) {
			return true
		}
	}
	return false
}

// ByLine works out each line of the enterprises that is money by itself. The
// lines' amounts add up to the rows of the books, but for their rounding.
func (r *Results) ByLine() []LineBook {
	p := r.Plan
	books := p.NewBooks()
	w := &run{Plan: p, in: r.Inputs, b: books}
	if p.Years > 0 {
		w.last = p.byYear[p.Years-1]
	}
	asQuantity := *w
	asQuantity.in = p.NewInputs()
	asQuantity.in.CopyFrom(r.Inputs)
	cases := p.cases(r.graph)

	var lines []LineBook
	for i := range p.enterprises {
		e, of := &p.enterprises[i], &p.Enterprises[i]
		specs := map[string]*enterprise.Line{}
		for k := range of.Lines {
			l := &of.Lines[k]
			name := of.ID + "." + l.Name
			switch {
			case l.Kind == enterprise.Sale:
				specs[name+".takings"] = l
			case l.Kind == enterprise.Cost || l.Kind == enterprise.Overhead:
				specs[name], specs[name+".each_time"] = l, l
			}
		}
		for k := range e.lines {
			l := &e.lines[k]
			spec := specs[p.reads[l.amount].figure.Name]
			if spec == nil || spec.Kind != l.kind {
				continue
			}
			x := LineBook{Enterprise: of, Line: spec, Row: map[enterprise.LineKind]Row{
				enterprise.Sale: Sales, enterprise.Cost: VariableCosts, enterprise.Overhead: OwnOverheads}[l.kind]}
			w.factors()
			w.alone(e, l)
			x.Money = append(x.Money, books.Row(x.Row)[1:]...)
			if l.fees != none {
				x.Fees = append(x.Fees, books.Row(ChannelFees)[1:]...)
			}
			if x.In, x.Price = p.measure(r.graph, of.ID+"."+spec.Name, spec); x.In != nil {
				for v := range cases {
					asQuantity.in.Set(v, l.amount, cases[v].Of(x.In))
				}
				// A quantity bears no tax and no inflation.
				for g := range groups {
					asQuantity.kept[g], asQuantity.levied[g] = 1, 0
				}
				for n := range books.levels {
					books.levels[n] = 1
				}
				asQuantity.alone(e, l)
				x.Quantity = append(x.Quantity, books.Row(x.Row)[1:]...)
			}
			lines = append(lines, x)
		}
	}
	return lines
}

// alone works out one line of an enterprise in all years, and nothing else.
func (w *run) alone(e *business, l *line) {
	clear(w.b.all)
	clear(w.b.tasks)
	var ignored pool
	for year := e.year; year < w.Years; year++ {
		w.line(e, l, year, &ignored)
	}
}

// cases are the values of all figures at the scales of each vintage.
func (p *Plan) cases(g *figures.Graph) []*figures.Values {
	base := g.Base()
	all := make([]*figures.Values, len(p.vintages))
	for k := range p.vintages {
		v := base.Clone()
		for i, from := range p.vintages[k].scales {
			if scale := p.enterprises[i].scale; scale != nil && from != nil {
				v.Set(scale, base.Of(from))
			}
		}
		v.Run()
		all[k] = v
	}
	return all
}

// OverheadByMonth returns what an overhead of the whole farm costs in each month
// of the plan, before the books are rounded.
func (r *Results) OverheadByMonth(overhead int) []float64 {
	p := r.Plan
	w := &run{Plan: p, in: r.Inputs, b: p.NewBooks()}
	if p.Years > 0 {
		w.last = p.byYear[p.Years-1]
	}
	w.factors()
	for column := 1; column < p.columns; column++ {
		w.put(FarmOverheads, ofOverheads, column, w.get(w.overheads[overhead])*monthSeconds)
	}
	return append([]float64(nil), w.b.Row(FarmOverheads)[1:]...)
}
