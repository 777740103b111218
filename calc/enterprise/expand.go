package enterprise

import (
	"fmt"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// Context is what an enterprise shares with the rest of the farm.
type Context struct {
	Currency string   // ISO 4217
	People   []string // ids of the people who work: figures farm.people.<id>.hours
	Place    source.Span

	// UsedBy has the pieces of infrastructure that an enterprise would need if
	// it were the only one: figures infrastructure.<id>.yearly and .total.
	UsedBy map[string][]string
	Units  *quantity.System // to check the span of each scale; may be nil
}

// Definitions turns the enterprises into figures: for each, its lines and all
// results of its budget in one full year at its scale. They rest on figures
// that the farm's data defines: prices.<product>.<channel>,
// prices.channels.<id>.fee and .hours, farm.land.<kind>.area, .rent and
// .rent_of_more, farm.wage,
// farm.employment, infrastructure.for_<enterprise>,
// finance.overheads_for_<enterprise> and finance.overheads_total (all three
// money a year).
//
// The results, each named <enterprise>.<name>:
//
//	sales, channel_fees, variable_costs, gross_margin
//	own_overheads, depreciation, land_charge, shared_overheads, overheads
//	net_margin            gross margin less overheads, before the owners are paid
//	capital, working_capital, capital_needed
//	hours, hours_by_month, peak_hours, land, land_by_month, cash_by_month
//	hired_hours, hired_cost, net_margin_hired
//	return_per_hour, margin_per_hectare (in customary units per acre), return_on_capital, margin_per_unit
//	break_even_price, full_cost_price, break_even_of_prices, break_even_volume
//	payback
//	scale.step, scale.least, scale.most
//
// working_capital is the deepest that the money of a run of months goes down: of
// any run in a full year, and of the first years, in which lines that lag bring
// nothing yet.
//
// And, for the enterprise run on its own, renting land beyond the farm's own and
// hiring what the people can't do:
//
//	alone_more_rent, alone_direct_costs, alone_own_overheads, alone_farm_overheads, alone_overheads
//	alone_net_margin, alone_net_margin_hired, alone_capital, alone_payback
//	alone_return_per_hour, alone_margin_per_hectare, alone_break_even_price
//
// Gross margin and net margin are used as in farm accounting: sales less
// variable costs, and that less overheads.
func Definitions(specs []Spec, context Context) []figures.Definition {
	x := &expander{Context: context}
	x.farm()
	for i := range specs {
		x.enterprise(&specs[i])
	}
	return x.definitions
}

type expander struct {
	Context
	definitions []figures.Definition

	id    string      // of the enterprise
	place source.Span // of the line or enterprise that is being expanded

	terms map[string][]string // names to add up, by total
}

// worked adds a figure whose formula the engine writes.
func (x *expander) worked(name string, label say.Text, formula string, args ...any) {
	if len(args) > 0 {
		formula = fmt.Sprintf(formula, args...)
	}
	x.add(name, label, source.Derived(x.place, formula).Whole(), nil)
	x.definitions[len(x.definitions)-1].Engine = true
}

// own adds a figure whose formula the user wrote.
func (x *expander) own(name string, label say.Text, formula source.Span, want *figures.Want) {
	x.add(name, label, formula, want)
}

func (x *expander) add(name string, label say.Text, formula source.Span, want *figures.Want) {
	x.definitions = append(x.definitions, figures.Definition{
		Name: name, Label: label, Scope: x.id, Place: x.place, Formula: formula, Want: want,
	})
}

func (x *expander) hide() { x.definitions[len(x.definitions)-1].Hidden = true }

// term notes that a figure is part of a total.
func (x *expander) term(total, name string) { x.terms[total] = append(x.terms[total], name) }

// sum writes the formula of a total, or an empty one's value.
func (x *expander) sum(total, empty string) string {
	if len(x.terms[total]) == 0 {
		return empty
	}
	return strings.Join(x.terms[total], " + ")
}

// landUnit is the unit in which the farm measures land, and what one is called.
func (x *expander) landUnit() (unit string, word say.Text) {
	if x.Units == nil {
		return "ha", "hectare"
	}
	u, word := x.Units.Land()
	return u.String(), word
}

func (x *expander) zero() string { return "0 " + x.Currency }

func (x *expander) farm() {
	x.place = x.Context.Place
	people := make([]string, len(x.People))
	for i, id := range x.People {
		people[i] = "farm.people." + id + ".hours"
	}
	hours := strings.Join(people, " + ")
	if hours == "" {
		hours = "0 h/week"
	}
	x.worked("farm.hours_a_week", "Hours that the people have a week", "%s", hours)
	x.worked("farm.hours_by_month", "Hours that the people have", "farm.hours_a_week * month_days() as h")
}

var (
	wantTime  = []quantity.Dimension{quantity.Time}
	wantShare = []quantity.Dimension{quantity.Number}
	wantArea  = []quantity.Dimension{quantity.Area}
)

func (x *expander) money(what string) *figures.Want {
	return &figures.Want{What: what, Dimensions: []quantity.Dimension{quantity.Base(x.Currency)}}
}

const noMonths = "0 * month_days() / month_days()"

func (x *expander) enterprise(s *Spec) {
	x.id, x.place, x.terms = s.ID, s.Place, map[string][]string{}
	for i := range s.Cycles {
		x.cycle(s, &s.Cycles[i])
	}
	for i := range s.Lines {
		x.line(s, &s.Lines[i])
	}
	x.id, x.place = s.ID, s.Place
	x.results(s)
	x.scale(s)
	x.alone(s)
}

func (x *expander) cycle(s *Spec, c *Cycle) {
	x.place = c.Name.Span
	name := s.ID + "." + c.Name.Name + "_cycle"
	label := strings.ReplaceAll(c.Name.Name, "_", " ")
	x.own(name+".first", say.With("First %s", label), c.First, &figures.Want{What: "the first date of a cycle", Dimensions: wantTime})
	x.own(name+".every", say.With("Between one %s and the next", label), c.Every, &figures.Want{What: "the time between cycles", Dimensions: wantTime})
	x.own(name+".number", "Number in a year", c.Number, nil)
}

func (x *expander) line(s *Spec, l *Line) {
	x.place = l.Place
	name := s.ID + "." + l.Name
	switch l.Kind {
	case Sale:
		x.sale(s, l, name)
	case Cost, Overhead:
		total, what := "cost", "a cost"
		if l.Kind == Overhead {
			total, what = "overhead", "an overhead"
		}
		x.yearly(l, name, x.money(what))
		x.term(total, name)
		x.weights(s, l, name)
		x.byMonth(name, name, say.Own(l.Label))
		x.term("costs by month", name+".by_month")
	case Hours:
		x.yearly(l, name, &figures.Want{What: "the time for a task", Dimensions: wantTime})
		x.term("hours", name)
		x.weights(s, l, name)
		x.byMonth(name, name, say.Own(l.Label))
		x.term("hours by month", name+".by_month")
	case Capital:
		x.capital(l, name)
	case Land:
		x.land(s, l, name)
	}
}

// yearly adds the amount of a line in a full year: what its formula gives, or
// a share of that for something that comes back only every so many years.
func (x *expander) yearly(l *Line, name string, want *figures.Want) {
	if l.When.Every.File == nil {
		x.own(name, say.Own(l.Label), l.Amount, want)
		return
	}
	x.own(name+".each_time", say.With("%s, each time", l.Label), l.Amount, want)
	x.own(name+".every", say.With("%s: comes back after", l.Label), l.When.Every, &figures.Want{What: "the time until it comes back", Dimensions: wantTime})
	x.worked(name, say.Own(l.Label), "%s.each_time * 1 year / %[1]s.every", name)
}

func (x *expander) sale(s *Spec, l *Line, name string) {
	x.own(name, say.Own(l.Label), l.Amount, nil)
	var prices, fees, hours []string
	for _, c := range l.Through {
		id := c.Channel.Name
		share, through := name+".share."+id, name+".through."+id
		x.own(share, say.With("Share through %s", strings.ReplaceAll(id, "_", " ")), c.Share, &figures.Want{What: "the share of a channel", Dimensions: wantShare})
		price := name + ".price"
		if l.Price.File == nil {
			price = "prices." + l.Product.Name + "." + id
			prices = append(prices, share+" * "+price)
		}
		x.worked(through, say.With("Takings through %s", strings.ReplaceAll(id, "_", " ")), "%s * %s * %s", name, share, price)
		x.definitions[len(x.definitions)-1].Want = x.money("what is sold times its price")
		fees = append(fees, through+" * prices.channels."+id+".fee")
		hours = append(hours, through+" * prices.channels."+id+".hours")
	}
	if l.Price.File != nil {
		x.own(name+".price", say.With("%s, price", l.Label), l.Price, nil)
	} else {
		x.worked(name+".price", say.With("%s, average price", l.Label), "%s", strings.Join(prices, " + "))
	}
	x.worked(name+".takings", say.Own(l.Label), "%s * %[1]s.price", name)
	x.definitions[len(x.definitions)-1].Want = x.money("what is sold times its price")
	x.term("sales", name+".takings")
	if l.Side {
		x.term("side", name+".takings")
	}
	x.weights(s, l, name)
	x.byMonth(name, name+".takings", say.Own(l.Label))
	x.term("sales by month", name+".by_month")
	if len(fees) == 0 {
		return
	}
	x.worked(name+".fees", say.With("%s: selling costs", l.Label), "%s", strings.Join(fees, " + "))
	x.worked(name+".selling_hours", say.With("%s: time to sell", l.Label), "(%s) as h", strings.Join(hours, " + "))
	x.term("fees", name+".fees")
	x.term("hours", name+".selling_hours")
	x.worked(name+".fees_by_month", say.With("%s: selling costs by month", l.Label), "%s.fees * %[1]s.months", name)
	x.worked(name+".selling_by_month", say.With("%s: time to sell by month", l.Label), "%s.selling_hours * %[1]s.months", name)
	x.term("costs by month", name+".fees_by_month")
	x.term("hours by month", name+".selling_by_month")
}

// weights adds <line>.months, the parts of the line's year that fall in each
// month; they add up to 1, or to 0 where a cycle does not run at all.
func (x *expander) weights(s *Spec, l *Line, name string) {
	w, label := &l.When, say.With("%s: share of each month", l.Label)
	switch {
	case w.Each.Name != "":
		cycle := s.ID + "." + w.Each.Name + "_cycle"
		run := cycle + ".first, " + cycle + ".every, " + cycle + ".number"
		want := &figures.Want{What: "a day of a cycle", Dimensions: wantTime}
		if w.Day.File != nil {
			x.own(name+".day", say.With("%s: day", l.Label), w.Day, want)
			x.worked(name+".months", label, "cycle_day(%s, %s.day)", run, name)
			break
		}
		x.own(name+".from", say.With("%s: from day", l.Label), w.From, want)
		x.own(name+".to", say.With("%s: to day", l.Label), w.To, want)
		x.worked(name+".months", label, "cycle_span(%s, %s.from, %[2]s.to)", run, name)
	case w.Months.File != nil:
		x.own(name+".season", say.With("%s: months", l.Label), w.Months, &figures.Want{What: "months", Monthly: true})
		x.hide()
		x.worked(name+".months", label, "spread(1, %s.season)", name)
	default:
		x.worked(name+".months", label, "spread(1, month_days())")
	}
	x.hide()
}

func (x *expander) byMonth(name, amount string, label say.Text) {
	x.worked(name+".by_month", say.With("%s by month", label), "%s * %s.months", amount, name)
}

func (x *expander) capital(l *Line, name string) {
	x.own(name+".number", say.With("%s: number", l.Label), l.Number, nil)
	x.own(name+".each", say.With("%s: cost of one", l.Label), l.UnitCost, nil)
	x.own(name+".life", say.With("%s: life", l.Label), l.Life, &figures.Want{What: "a life", Dimensions: wantTime})
	left := ""
	if l.Residual.File != nil {
		x.own(name+".residual", say.With("%s: worth at the end", l.Label), l.Residual, &figures.Want{What: "what is left at the end", Dimensions: wantShare})
		left = " * (1 - " + name + ".residual)"
	}
	x.worked(name, say.Own(l.Label), "%s.number * %[1]s.each", name)
	x.definitions[len(x.definitions)-1].Want = x.money("a number times the cost of one")
	// Straight line: cost less residual, over the life.
	x.worked(name+".yearly", say.With("%s, a year", l.Label), "%s%s * 1 year / %[1]s.life", name, left)
	x.term("capital", name)
	x.term("depreciation", name+".yearly")
}

func (x *expander) land(s *Spec, l *Line, name string) {
	x.own(name, say.Own(l.Label), l.Amount, &figures.Want{What: "land", Dimensions: wantArea})
	x.weights(s, l, name)
	x.worked(name+".by_month", say.With("%s by month", l.Label), "if(%s.months > 0, %[1]s, 0 m2)", name)
	x.definitions[len(x.definitions)-1].Kind = formula.Held
	x.worked(name+".charge", say.With("%s: rent", l.Label), "%s * farm.land.%s.rent * 1 year", name, l.Use.Name)
	x.term("land", name+".by_month")
	x.term("land charge", name+".charge")
}

// mostLag is how many years of a beginning are told apart.
const mostLag = 15

// firstYears adds <enterprise>.first_cash, the cash of the plan's months at the
// full scale from the first year on, in which lines that lag bring and take
// nothing yet. It returns what their deepest point adds to a max of outlays, or
// nothing where no line lags.
func (x *expander) firstYears(s *Spec) string {
	cash, lags := "each_year("+s.ID+".cash_by_month)", false
	lagged := func(by, sign string, lag source.Span) {
		late := make([]string, mostLag)
		for year := range late {
			late[year] = fmt.Sprintf("if((%s) > %d year, 1, 0)", lag.Text(), year)
		}
		cash += sign + "each_year(" + by + ") * by_year(" + strings.Join(late, ", ") + ")"
		lags = true
	}
	for i := range s.Lines {
		l := &s.Lines[i]
		if name := s.ID + "." + l.Name; l.When.Lag.File != nil {
			switch l.Kind {
			case Sale:
				lagged(name+".by_month", " - ", l.When.Lag)
				if len(l.Through) > 0 {
					lagged(name+".fees_by_month", " + ", l.When.Lag)
				}
			case Cost, Overhead:
				lagged(name+".by_month", " + ", l.When.Lag)
			}
		}
	}
	if !lags {
		return ""
	}
	x.worked(s.ID+".first_cash", "Cash by month, from the year in which it begins", "%s", cash)
	x.hide()
	return ", -min(running(" + s.ID + ".first_cash))"
}

func (x *expander) results(s *Spec) {
	id, zero := s.ID, x.zero()
	in := func(text string) string { return strings.ReplaceAll(text, "~", id) }
	add := func(name string, label say.Text, formula string) { x.worked(id+"."+name, label, in(formula)) }

	add("sales", "Sales", x.sum("sales", zero))
	add("channel_fees", "Selling costs", x.sum("fees", zero))
	add("variable_costs", "Variable costs", x.sum("cost", zero)+" + ~.channel_fees")
	add("gross_margin", "Gross margin", "~.sales - ~.variable_costs")

	add("own_overheads", "Overheads of its own", x.sum("overhead", zero))
	add("depreciation", "Depreciation", x.sum("depreciation", zero))
	add("land_charge", "Rent of land", x.sum("land charge", zero))
	add("shared_overheads", "Share of the farm's overheads", "(infrastructure.for_~ + finance.overheads_for_~) * 1 year")
	add("overheads", "Overheads", "~.own_overheads + ~.depreciation + ~.land_charge + ~.shared_overheads")
	add("net_margin", "Net margin", "~.gross_margin - ~.overheads")

	add("hours", "Hours a year", "("+x.sum("hours", "0 h")+") as h")
	add("hours_by_month", "Hours by month", "("+x.sum("hours by month", "0 h * "+noMonths)+") as h")
	add("peak_hours", "Hours in the busiest month", "max(~.hours_by_month)")

	add("land_by_month", "Land by month", x.sum("land", "0 m2 * "+noMonths))
	x.definitions[len(x.definitions)-1].Kind = formula.Held
	add("land", "Land", "max(~.land_by_month)")

	add("sales_by_month", "Sales by month", x.sum("sales by month", zero+" * "+noMonths))
	add("costs_by_month", "Costs by month", x.sum("costs by month", zero+" * "+noMonths))
	add("cash_by_month", "Cash by month", "~.sales_by_month - ~.costs_by_month")
	add("capital", "Buildings and equipment", x.sum("capital", zero))
	first := x.firstYears(s)
	add("working_capital", "Working capital", "max("+zero+", deepest_run(~.cash_by_month)"+first+")")
	add("capital_needed", "Capital needed", "~.capital + ~.working_capital")

	add("hired_hours", "Hours to hire", "sum(max(~.hours_by_month - farm.hours_by_month, 0 h))")
	add("hired_cost", "Cost of hired hours", "~.hired_hours * farm.wage * (1 + farm.employment)")
	add("net_margin_hired", "Net margin after hired help", "~.net_margin - ~.hired_cost")

	add("return_per_hour", "Earnings per hour of work", `if(~.hours > 0 h, ~.net_margin / ~.hours, none("takes no work"))`)
	land, word := x.landUnit()
	add("margin_per_hectare", say.With("Net margin per %s", word), `if(~.land > 0 m2, ~.net_margin / ~.land, none("takes no land")) as `+x.Currency+"/"+land)
	add("return_on_capital", "Return on capital", `if(~.capital_needed > `+zero+`, ~.net_margin / ~.capital_needed, none("takes no capital")) as 0.1 %`)
	add("payback", "Payback", `if(~.net_margin + ~.depreciation > `+zero+`, ~.capital_needed / (~.net_margin + ~.depreciation) * 1 year, none("sales do not cover the yearly costs")) as 0.1 year`)

	// Fees grow with prices, so the price that just covers all costs must also
	// cover the fees on itself.
	add("fee_share", "Selling costs as a share of sales", `if(~.sales > `+zero+`, ~.channel_fees / ~.sales, 0) as 0.1 %`)
	add("costs_to_cover", "Costs before selling costs", "~.variable_costs - ~.channel_fees + ~.overheads")
	add("break_even_of_prices", "Break-even, as a share of today's prices", `if(~.sales > `+zero+`, ~.costs_to_cover / (1 - ~.fee_share) / ~.sales, none("nothing is sold")) as 0.1 %`)
	if s.Output.Name == "" {
		return
	}
	x.add(id+".output", "Output", s.Output.Span, nil)
	add("side_sales", "Sales of by-products", x.sum("side", zero))
	add("break_even_price", "Break-even price", "(~.costs_to_cover / (1 - ~.fee_share) - ~.side_sales) / ~.output")
	add("full_cost_price", "Break-even price with every hour paid", "((~.costs_to_cover + ~.hours * farm.wage) / (1 - ~.fee_share) - ~.side_sales) / ~.output")
	add("margin_per_unit", "Net margin per unit sold", "~.net_margin / ~.output")
	add("break_even_volume", "Break-even volume", `if(~.gross_margin > `+zero+`, ~.output * ~.overheads / ~.gross_margin, none("each unit sold costs more than it brings"))`)
}
