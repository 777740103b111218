package plan

import (
	"math"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
)

// A wideLine is a line of an enterprise in many cases side by side, which all have
// it fall in the same months.
type wideLine struct {
	x      *lineIns
	timing []*figures.In
	ofFees pricing

	main, tax, fee, feeTax, selling *figures.Out
}

// work comes to what the line's engine does in each case, to the bit. It leaves
// the work to that where cases differ in when the line falls, or reasons are
// wanted.
func (w *wideLine) work(p *Declared, l *figures.Lanes) bool {
	c, n := l.Case(), l.Width()
	if n == 1 {
		return false
	}
	for _, in := range w.timing {
		if _, none := c.Why(in); none || l.Varies(in) {
			return false
		}
	}
	for _, out := range []*figures.Out{w.main, w.tax, w.fee, w.feeTax, w.selling} {
		if out != nil {
			for m := range p.months() {
				clear(l.Out(out, m))
			}
		}
	}
	hours, sale := w.x.Kind == enterprise.Hours, w.x.Kind == enterprise.Sale
	var prices, fees widePrices
	if !hours {
		prices = w.x.prices.wide(l)
	}
	if w.fee != nil {
		fees = w.ofFees.wide(l)
	}
	scale, more := c.Scratch(n), c.Scratch(n)
	for i := range scale {
		scale[i] = 1
	}
	if sale {
		copy(scale, l.In(w.x.level, 0))
	}
	f := p.falling(c, w.x)
	for year := f.first; year < p.Years; year++ {
		if !f.comes(year) {
			continue
		}
		amount := l.In(w.x.amount, year)
		if f.more(year) {
			for i, before := range l.In(w.x.amount, year-1) {
				more[i] = math.Max(0, amount[i]-before)
			}
			amount = more
		}
		f.parts(year, func(column int, weight float64) {
			switch at := column - 1; {
			case !f.falls(column):
			case hours:
				add(l.Out(w.main, at), weight, amount, scale)
			default:
				prices.add(l.Out(w.main, at), l.Out(w.tax, at), column, weight, amount, scale)
				if w.fee != nil {
					fees.add(l.Out(w.fee, at), l.Out(w.feeTax, at), column, weight, l.In(w.x.fees, year), scale)
					add(l.Out(w.selling, at), weight, l.In(w.x.selling, year), scale)
				}
			}
		})
	}
	return true
}

// add adds a part of what a year comes to in each case.
func add(to []float64, weight float64, amount, scale []float64) {
	amount, scale = amount[:len(to)], scale[:len(to)]
	for i := range to {
		to[i] += float64(weight * amount[i] * scale[i])
	}
}

// widePrices are prices in many cases side by side.
type widePrices struct {
	n            int
	levels       []float64 // by year and case
	kept, levied []float64
}

func (x pricing) wide(l *figures.Lanes) widePrices {
	c, n := l.Case(), l.Width()
	y := widePrices{n, c.Scratch(x.Years * n), c.Scratch(n), c.Scratch(n)}
	for i := range n {
		rise, level := 1+float64(l.Of(x.rise, i)*yearSeconds), 1.0
		for year := range x.Years {
			y.levels[year*n+i] = level
			level *= rise
		}
		y.kept[i] = 1
		if x.tax != nil {
			y.kept[i], y.levied[i] = x.split(l.Of(x.tax, i), l.Of(x.registered, i) == 1, l.Of(x.without, i) == 1)
		}
	}
	return y
}

// add adds a part of what a year comes to, at the prices of a column, and the
// sales tax on it.
func (y *widePrices) add(kept, levied []float64, column int, weight float64, amount, scale []float64) {
	n := y.n
	level := y.levels[max(0, column-1)/12*n:][:n]
	share, tax := y.kept[:n], y.levied[:n]
	kept, levied, amount, scale = kept[:n], levied[:n], amount[:n], scale[:n]
	for i := range kept {
		at := float64(weight*amount[i]*scale[i]) * level[i]
		kept[i] += float64(at * share[i])
		levied[i] += float64(at * tax[i])
	}
}
