package enterprise

import (
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// scale adds the span that the scale moves in: <enterprise>.scale.step, .least
// and .most.
func (x *expander) scale(s *Spec) {
	var want *figures.Want
	if x.Units != nil {
		if unit, err := x.Units.ParseUnit(s.Scale.Unit.Name); err == nil {
			want = &figures.Want{What: "the scale", Dimensions: []quantity.Dimension{unit.Dimension}}
		}
	}
	bound := func(name string, label say.Text, formula source.Span, otherwise string) {
		x.place = s.Place
		switch {
		case formula.File != nil:
			x.place = formula
		case otherwise == "":
			return
		default:
			formula = source.Derived(s.Place, otherwise).Whole()
		}
		x.own(s.ID+".scale."+name, label, formula, want)
	}
	bound("step", "One step of the scale", s.Scale.Step, "1 "+s.Scale.Unit.Name)
	bound("least", "Smallest scale", s.Scale.Least, s.ID+".scale.step")
	bound("most", "Largest scale", s.Scale.Most, "")
	x.place = s.Place
}

// alone adds the results of an enterprise that is run on its own: it bears all
// overheads of the farm, and the whole yearly cost of each piece of
// infrastructure that it needs. Land beyond what the farm has is rented, and
// hours beyond those of the people are hired.
func (x *expander) alone(s *Spec) {
	id, zero := s.ID, x.zero()
	add := func(name string, label say.Text, formula string) {
		x.worked(id+".alone_"+name, label, strings.ReplaceAll(formula, "~", id))
	}
	yearly, cost := []string{"finance.overheads_total"}, []string{"~.capital_needed"}
	wear := []string{"~.depreciation"}
	for _, item := range x.UsedBy[id] {
		yearly = append(yearly, "infrastructure."+item+".yearly")
		cost = append(cost, "infrastructure."+item+".total")
		wear = append(wear, "infrastructure."+item+".yearly * 1 year")
	}
	add("direct_costs", "Variable costs before selling", "~.variable_costs - ~.channel_fees")
	var rents []string
	for _, use := range s.landUses() {
		var held []string
		s.lines(Land, func(l *Line, name string) {
			if l.Use.Name == use {
				held = append(held, name+".by_month")
				x.place = l.Place // a kind that the farm doesn't have is one mistake
			}
		})
		more := id + ".alone_more_rent." + use
		x.worked(more, say.With("Rent of more %s, run alone", strings.ReplaceAll(use, "_", " ")),
			"max(0 m2, max(%s) - farm.land.%s.area) * farm.land.%[2]s.rent_of_more * 1 year", strings.Join(held, " + "), use)
		rents = append(rents, more)
	}
	x.place = s.Place
	if len(rents) == 0 {
		rents = []string{zero}
	}
	add("more_rent", "Rent of land beyond the farm's own, run alone", strings.Join(rents, " + "))
	add("own_overheads", "Overheads of its own, with rent and wear of equipment", "~.own_overheads + ~.depreciation + ~.land_charge + ~.alone_more_rent")
	add("farm_overheads", "Overheads and infrastructure of the farm, run alone", "("+strings.Join(yearly, " + ")+") * 1 year")
	add("overheads", "Overheads, run alone", "~.alone_own_overheads + ~.alone_farm_overheads")
	add("net_margin", "Net margin, run alone", "~.gross_margin - ~.alone_overheads")
	add("net_margin_hired", "Net margin after hired help, run alone", "~.alone_net_margin - ~.hired_cost")
	add("capital", "Capital needed, run alone", strings.Join(cost, " + "))
	add("return_per_hour", "Earnings per hour of the owners, run alone",
		`if(~.hours > ~.hired_hours, ~.alone_net_margin_hired / (~.hours - ~.hired_hours), none("takes no work of the owners"))`)
	land, word := x.landUnit()
	add("margin_per_hectare", say.With("Net margin per %s, run alone", word),
		`if(~.land > 0 m2, ~.alone_net_margin_hired / ~.land, none("takes no land")) as `+x.Currency+"/"+land)
	// What comes back in a year is the margin and what was set aside for wear.
	back := "(" + strings.Join(append([]string{"~.alone_net_margin_hired"}, wear...), " + ") + ")"
	add("payback", "Payback, run alone", `if(`+back+` > `+zero+`, ~.alone_capital / `+back+` * 1 year, none("sales do not cover the yearly costs")) as 0.1 year`)
	if s.Output.Name != "" {
		add("break_even_price", "Break-even price, run alone",
			"((~.alone_direct_costs + ~.alone_overheads + ~.hired_cost) / (1 - ~.fee_share) - ~.side_sales) / ~.output")
	}
}
