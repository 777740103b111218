package plan

import (
	"math"

	"rickyard/calc/figures"
	"rickyard/calc/say"
)

// OverdraftLimit returns how far the bank lets the account be overdrawn.
func (in *Inputs) OverdraftLimit() float64 {
	return math.Max(0, in.at(len(in.plan.vintages)-1, in.plan.overdraftLimit))
}

// ScaleHours multiplies what a person works on the farm, counted in the order
// of the farm's people, by a factor from one month of the plan up to and with
// another. Months outside the plan are passed over.
func (in *Inputs) ScaleHours(person int, from, to Month, factor float64) {
	p := in.plan
	if len(in.works) == 0 {
		in.works = make([]float64, len(p.people)*p.columns)
		for i := range in.works {
			in.works[i] = 1
		}
	}
	for m := max(from, p.Start); m <= to; m++ {
		c := p.column(m)
		if c >= p.columns {
			return
		}
		in.works[person*p.columns+c] *= factor
	}
}

// ReadWith is Read with some figures set otherwise. bend is called for each
// vintage twice: with after false before anything is worked out, where it may set
// inputs, and with after true when the figures stand at the vintage's scales,
// where it may set worked figures and run what depends on them. It works on a
// copy of the case for each vintage.
func (p *Plan) ReadWith(v *figures.Values, in *Inputs, bend func(vintage int, v *figures.Values, after bool)) {
	v.Run()
	c := v.Clone()
	for k := range p.vintages {
		c.CopyFrom(v)
		bend(k, c, false)
		c.Run()
		for i, from := range p.vintages[k].scales {
			if f := p.enterprises[i].scale; f != nil {
				in.scales[i] = c.Of(f)
			}
			if from != nil {
				in.scales[i] = c.Of(from)
			}
		}
		p.setScales(c, in.scales)
		bend(k, c, true)
		values := in.values[k*len(p.reads):]
		for slot := range p.reads {
			r := &p.reads[slot]
			values[slot] = c.At(r.figure, r.month)
		}
	}
}

// MonthOf returns the month in which a column of the books falls; the opening
// counts to the first.
func (b *Books) MonthOf(column int) Month { return b.plan.month(max(1, column)) }

// Short writes the month as Mar 2028, or as Mar of year 1 where a plan has no
// date.
func (m Month) Short() say.Text {
	if m.undated() {
		return say.With("%s of year %s", say.ShortMonths[m.Of()], m.Year())
	}
	return say.With("%s %s|month and year", say.ShortMonths[m.Of()], m.Year())
}
