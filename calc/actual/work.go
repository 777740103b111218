package actual

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// Results are the records beside the plan, as figures, tables and texts.
type Results struct {
	plan    *plan.Results
	graph   *figures.Graph
	records *Records

	year, months int // of the plan, from 0; whole months of it to date
	first        plan.Month
	groups       []*group // the enterprises, then the farm
	aside        []*item  // what is no part of the profit
	counted      int
	outside      []int // rows of other years or later, by file
	bad          []BadRow

	definitions []figures.Definition
}

// A group is an enterprise, or the farm as a whole.
type group struct {
	id    string
	label say.Text
	items []*item
}

type side int

const (
	sale side = iota
	cost
	either // may go both ways: other
)

// An item is one line of the year beside its plan.
type item struct {
	name      string
	label     say.Text
	side      side
	plan      []float64 // by month of the plan, signed; nil: nothing planned
	planned   float64   // to date
	remaining float64   // of the plan, in the months that are left
	from      []string

	// The quantities of a line that has one, in base units.
	quantities []float64
	in, price  *figures.Figure
	wanted     float64 // planned quantity to date

	rows, without int // records counted, and those of them without a quantity
	amount        float64
	quantity      float64
}

// splits reports whether the item's variance is split by price and volume.
func (x *item) splits() bool { return x.in != nil && x.without == 0 && x.priced() }

// priced reports whether there is a planned price.
func (x *item) priced() bool { return x.wanted != 0 || x.price != nil }

// Work counts the records and sets them beside the year of a plan. Rows whose
// quantity is in a wrong unit, or whose month no plan covers, join the bad ones.
func Work(g *figures.Graph, whole *plan.Results, records *Records) *Results {
	if records == nil {
		records = &Records{}
	}
	r := &Results{plan: whole, graph: g, records: records, outside: make([]int, len(records.Files)), bad: slices.Clone(records.Bad)}
	r.upTo()
	r.lines()
	r.count()
	r.define()
	return r
}

// upTo finds the year of the plan and its months to date.
func (r *Results) upTo() {
	last := r.records.UpTo
	start, end := r.plan.Start, r.end()
	if last == 0 {
		for i := range r.records.Rows {
			if m := r.records.Rows[i].Month; m >= start && m < end {
				last = max(last, m)
			}
		}
	}
	if last < start {
		last = start - 1 // nothing yet
	}
	if last >= end {
		last = end - 1
	}
	r.first = start
	if last >= start {
		r.year = int(last-start) / 12
		r.first = start + plan.Month(12*r.year)
	}
	r.months = int(last-r.first) + 1
}

// sums adds up a plan by month, to date and over the rest of the year.
func (r *Results) sums(months []float64) (toDate, rest float64) {
	for m := range 12 {
		if at := 12*r.year + m; at < len(months) {
			if m < r.months {
				toDate += months[at]
			} else {
				rest += months[at]
			}
		}
	}
	return
}

func negated(months []float64) []float64 {
	out := make([]float64, len(months))
	for i, x := range months {
		out[i] = -x
	}
	return out
}

// lines lays out all items that a record can name.
func (r *Results) lines() {
	byEnterprise := map[string]*group{}
	for i := range r.plan.Enterprises {
		e := &r.plan.Enterprises[i]
		x := &group{id: e.ID, label: say.Own(e.Name)}
		byEnterprise[e.ID] = x
		r.groups = append(r.groups, x)
	}
	fees := map[string][]float64{}
	for _, l := range r.plan.ByLine() {
		x := byEnterprise[l.Enterprise.ID]
		name := l.Enterprise.ID + "." + l.Line.Name
		it := &item{name: l.Line.Name, label: say.Own(l.Line.Label), plan: l.Money, from: []string{name + ".by_month"}, in: l.In, price: l.Price, quantities: l.Quantity}
		if l.Line.Kind != enterprise.Sale {
			it.side, it.plan = cost, negated(l.Money)
		}
		if l.Fees != nil {
			sum := fees[x.id]
			if sum == nil {
				sum = make([]float64, len(l.Fees))
				fees[x.id] = sum
			}
			for m, fee := range l.Fees {
				sum[m] -= fee
			}
		}
		x.items = append(x.items, it)
	}
	for _, x := range r.groups {
		x.add(&item{name: SellingCosts, label: "Selling costs", side: cost, plan: fees[x.id], from: []string{x.id + ".channel_fees"}})
		x.add(&item{name: Other, label: "Other", side: either})
	}
	whole := &group{id: Farm, label: "The farm as a whole"}
	for i, o := range r.plan.Overheads {
		whole.add(&item{name: o.ID, label: say.Own(o.Label), side: cost, plan: negated(r.plan.OverheadByMonth(i)), from: []string{"finance.overheads." + o.ID + ".amount"}})
	}
	for _, f := range farmItems {
		it := &item{name: f.word, label: f.label, side: either, plan: make([]float64, 12*r.plan.Years)}
		if f.profit {
			it.side = cost
		}
		add := func(rows []plan.Row, sign float64) {
			for _, row := range rows {
				for m, x := range r.plan.Books.Row(row)[1:] {
					it.plan[m] += sign * x
				}
			}
		}
		add(f.plus, 1)
		add(f.minus, -1)
		if f.profit {
			whole.add(it)
		} else {
			r.aside = append(r.aside, it)
		}
	}
	whole.add(&item{name: Other, label: "Other", side: either})
	r.groups = append(r.groups, whole)
	each := func(x *item) {
		x.planned, x.remaining = r.sums(x.plan)
		x.wanted, _ = r.sums(x.quantities)
	}
	for _, x := range r.groups {
		for _, it := range x.items {
			each(it)
		}
	}
	for _, it := range r.aside {
		each(it)
	}
}

// add takes an item in, unless one of that name is there.
func (x *group) add(it *item) {
	if x.find(it.name) == nil {
		x.items = append(x.items, it)
	}
}

func (x *group) find(name string) *item {
	for _, it := range x.items {
		if it.name == name {
			return it
		}
	}
	return nil
}

// find returns the item that a row names.
func (r *Results) find(row *Row) *item {
	for _, x := range r.groups {
		if x.id == row.Enterprise {
			if it := x.find(row.Item); it != nil {
				return it
			}
		}
	}
	if row.Enterprise != Farm {
		// Things that last are bought for an enterprise, and no part of its margin.
		return r.aside[slices.IndexFunc(r.aside, func(x *item) bool { return x.name == "purchases" })]
	}
	for _, it := range r.aside {
		if it.name == row.Item {
			return it
		}
	}
	return nil
}

// leave notes a row that can't be counted.
func (r *Results) leave(row *Row, err *source.Error) {
	r.bad = append(r.bad, BadRow{row.File, err})
}

func (r *Results) count() {
	end := r.end()
	to := r.first + plan.Month(r.months) // the first month that is not counted
	kept := r.kept()
	for i := range r.records.Rows {
		row := &r.records.Rows[i]
		it := r.find(row)
		if it == nil {
			r.leave(row, source.Errorf(source.UnknownRef, row.Place, "%s has nothing in the plan", row.Item))
			continue
		}
		if row.From >= end || row.To < r.plan.Start {
			err := source.Errorf(source.OutOfRange, row.Place, "%s is outside the plan, which runs from %s to %s", row.From, r.plan.Start, end-1)
			r.leave(row, err.With("check the year"))
			continue
		}
		q := row.Quantity.Value
		if row.HasQuantity && it.in != nil {
			unit := it.in.Unit
			switch {
			case row.Bare:
				q = unit.ToBase(row.Quantity.Value)
			case row.Quantity.Unit.Dimension != it.in.Type.Dimension || row.Quantity.Unit.IsDate():
				err := source.Errorf(source.WrongUnit, row.QuantityAt, "the quantity is in %s, but %s is counted in %s", row.Quantity.Unit, say.Mid(it.label), unit)
				r.leave(row, err.With("write it in %s, or a number alone", unit))
				continue
			}
		}
		part := share(row.From, row.To, r.first, to)
		if row.Month >= to || part == 0 {
			r.outside[row.File]++
			continue
		}
		r.counted++
		it.rows++
		amount := row.Amount * part
		if g, taxed := taxGroup[r.rowOf(row, it)]; taxed {
			amount *= kept[g]
		}
		it.amount += amount
		if row.HasQuantity {
			it.quantity += float64(q * part)
		} else {
			it.without++
		}
	}
}

// share is the part of the months from..to that lies in first..end-1.
func share(from, to, first, end plan.Month) float64 {
	n := min(to+1, end) - max(from, first)
	return float64(max(0, n)) / float64(to-from+1)
}

// taxGroup has the group of prices whose sales tax is in an amount.
var taxGroup = map[string]string{"sale": "sales", "cost": "costs", "overhead": "overheads", "rent": "rent"}

// rowOf says what kind of money a row is, for its sales tax.
func (r *Results) rowOf(row *Row, it *item) string {
	switch {
	case it.name == Other, slices.Contains(FarmWords, it.name) && it.name != "rent":
		return ""
	case row.Enterprise == Farm && it.name == "rent":
		return "rent"
	case row.Enterprise == Farm:
		return "overhead"
	case it.side == sale:
		return "sale"
	}
	for i := range r.plan.Enterprises {
		e := &r.plan.Enterprises[i]
		for k := range e.Lines {
			if e.ID == row.Enterprise && e.Lines[k].Name == it.name && e.Lines[k].Kind == enterprise.Overhead {
				return "overhead"
			}
		}
	}
	return "cost"
}

// kept is what of an amount paid is no sales tax, by group of prices.
func (r *Results) kept() map[string]float64 {
	kept := map[string]float64{}
	for _, group := range plan.PriceGroups() {
		kept[group] = 1
		if f := r.graph.Lookup("finance.plan.sales_tax." + group); f != nil && r.plan.Registered {
			kept[group] = 1 / (1 + f.Current())
		}
	}
	return kept
}

// Bad returns the rows that were left out because something is wrong with them,
// in the order of files and lines.
func (r *Results) Bad() source.Errors {
	var errs source.Errors
	for _, b := range r.bad {
		errs = append(errs, b.Err)
	}
	return errs.Sorted()
}

// Mistakes returns what fails the build and was not found when the records were
// read: bad rows, if the farm refuses them, and a last month outside the plan.
func (r *Results) Mistakes() source.Errors {
	var errs source.Errors
	if m := r.records.UpTo; m != 0 && (m < r.plan.Start || m >= r.end()) {
		errs = append(errs, source.Errorf(source.OutOfRange, r.records.UpToAt, "%s is outside the plan, which runs from %s to %s", m, r.plan.Start, r.end()-1))
	}
	if r.records.Refuse {
		for _, b := range r.bad[len(r.records.Bad):] {
			errs = append(errs, b.Err)
		}
	}
	return errs
}

// end is the first month after the plan.
func (r *Results) end() plan.Month { return r.plan.Start + plan.Month(12*r.plan.Years) }

// Definitions returns the figures, which doc.go lists.
func (r *Results) Definitions() []figures.Definition { return r.definitions }

// Facts returns texts that a chapter may quote: actual.year, actual.up_to (the
// last month counted) and actual.largest (the line with the largest variance).
func (r *Results) Facts() map[string]say.Text {
	facts := map[string]say.Text{"actual.year": r.plan.YearLabel(r.year), "actual.up_to": "nothing yet", "actual.largest": "none"}
	if r.months > 0 {
		facts["actual.up_to"] = (r.first + plan.Month(r.months-1)).Name()
	}
	most := 0.005
	for _, x := range r.groups {
		for _, it := range x.items {
			if d := it.amount - it.planned; max(d, -d) > most {
				most = max(d, -d)
				facts["actual.largest"] = say.With("%s (%s)", say.Mid(it.label), x.label)
			}
		}
	}
	return facts
}

func (r *Results) add(d figures.Definition) {
	d.Scope, d.Place = "actual", r.plan.Place
	r.definitions = append(r.definitions, d)
}

func (r *Results) worked(name string, label say.Text, formula string) {
	r.add(figures.Definition{Name: name, Label: label, Formula: source.Derived(r.plan.Place, formula).Whole(), Engine: true})
}

func (r *Results) money(name string, label, found say.Text, x float64, from ...string) {
	r.add(figures.Definition{Name: name, Label: label, Found: found, From: from, Value: quantity.Quantity{Value: x, Unit: r.graph.Units.Money(), Step: 1}})
}

const (
	byRecord = "the records in data/records, added up"
	byPlan   = "the plan's months up to the same day"
	byRest   = "the plan's months from there to the year's end"
)

func (r *Results) define() {
	year := r.plan.YearLabel(r.year)
	count := func(name string, label say.Text, n int) {
		r.add(figures.Definition{Name: name, Label: label, Found: byRecord, Value: quantity.Quantity{Value: float64(n), Unit: quantity.Unit{Factor: 1}, Step: 1}})
	}
	count("actual.months", "Months to date", r.months)
	count("actual.rows_counted", "Records counted", r.counted)
	count("actual.rows_left_out", "Records left out because of a mistake", len(r.bad))
	outside := 0
	for _, n := range r.outside {
		outside += n
	}
	count("actual.rows_outside", "Records of other years, or later", outside)

	var all totals
	for _, x := range r.groups {
		r.group(x, year, &all)
	}
	for _, it := range r.aside {
		r.line(Farm, it)
	}
	r.worked("actual.result", "Result to date, before depreciation", all.sum("margin"))
	r.worked("actual.planned_result", "Result to date, as planned", all.sum("planned_margin"))
	r.worked("actual.variance", "Variance of the result", "result - planned_result")
	for _, cause := range causes {
		r.worked("actual."+cause.name, cause.label, all.sum(cause.name))
	}
	for _, word := range []string{"remaining", "remaining_at_rate", "forecast", "forecast_at_rate"} {
		r.worked("actual."+word, map[string]say.Text{
			"remaining": "Result of the rest of the year, as planned", "remaining_at_rate": "Result of the rest of the year, at this year's rate",
			"forecast": say.With("Result of %s, the rest as planned", year), "forecast_at_rate": say.With("Result of %s, at this year's rate", year)}[word], all.sum(word))
	}
	r.worked("actual.splits", "Price, volume and what is not split are the whole variance",
		"abs(price_variance + volume_variance + unsplit_variance - variance) < "+r.coin())
	r.worked("actual.planned_year_result", say.With("Result of %s, before depreciation, as planned", year), all.sum("planned_year"))
	r.worked("actual.planned_profit", say.With("Profit of %s, as planned", year), fmt.Sprintf("plan.year%d.profit", r.year+1))
	r.worked("actual.not_recorded", "Depreciation and growth, as planned", "planned_profit - planned_year_result")
	r.worked("actual.remaining_profit", "Profit of the rest of the year, as planned", "remaining + not_recorded")
	r.worked("actual.remaining_profit_at_rate", "Profit of the rest of the year, at this year's rate", "remaining_at_rate + not_recorded")
	r.worked("actual.forecast_profit", say.With("Forecast of the profit of %s", year), "result + remaining_profit")
	r.worked("actual.forecast_profit_at_rate", say.With("Forecast of the profit of %s, at this year's rate", year), "result + remaining_profit_at_rate")
	r.worked("actual.forecast_ties", "Planned profit and variance are the forecast", "abs(forecast_profit - planned_profit - variance) < "+r.coin())
}

// causes are the parts that a variance is split into.
var causes = []struct {
	name  string
	label say.Text
}{
	{"price_variance", "Variance by price"},
	{"volume_variance", "Variance by volume"},
	{"unsplit_variance", "Variance not split"},
}

// totals collects the groups.
type totals struct{ ids []string }

func (t *totals) sum(name string) string {
	parts := make([]string, len(t.ids))
	for i, id := range t.ids {
		parts[i] = "actual." + id + "." + name
	}
	return strings.Join(parts, " + ")
}

// line defines an item's figures.
func (r *Results) line(id string, x *item) {
	name := "actual." + id + "." + x.name
	// In whole units of money, as the plan is, so that what is printed adds up
	// in every table.
	r.money(name+".amount", say.With("%s, to date", x.label), byRecord, math.Round(x.amount))
	r.money(name+".planned", say.With("%s, planned to date", x.label), byPlan, math.Round(x.planned), x.from...)
	r.worked(name+".variance", say.With("%s, variance", x.label), name+".amount - "+name+".planned")
	r.money(name+".remaining", say.With("%s, planned for the rest of the year", x.label), byRest, math.Round(x.remaining), x.from...)
}

// cause defines the parts of an item's variance, and reports whether it is split
// by price and volume.
func (r *Results) cause(id string, x *item) bool {
	name := "actual." + id + "." + x.name
	if !x.splits() {
		r.worked(name+".unsplit_variance", say.With("%s, variance not split", x.label), name+".variance")
		return false
	}
	amount := func(word string, label, found say.Text, v float64, from ...string) {
		r.add(figures.Definition{Name: name + word, Label: say.With(label, x.label), Found: found, From: from, Value: quantity.Quantity{Value: v, Unit: x.in.Unit}})
	}
	amount(".quantity", "%s, quantity to date", byRecord, x.quantity)
	amount(".planned_quantity", "%s, quantity planned to date", byPlan, x.wanted, x.in.Name)
	sign := 1.0 // what a cost comes to is negative
	if x.side == cost {
		sign = -1
	}
	price := func(word string, label, found say.Text, v float64, from ...string) {
		r.add(figures.Definition{Name: name + word, Label: say.With(label, x.label), Found: found, From: from, Value: quantity.Quantity{Value: v, Unit: r.graph.Units.Money().Per(x.in.Unit)}})
	}
	if x.wanted != 0 {
		price(".planned_price", "%s, planned price", "what is planned to date, for one", sign*x.planned/x.wanted, name+".planned", name+".planned_quantity")
	} else {
		r.worked(name+".planned_price", say.With("%s, planned price", x.label), x.price.Name)
	}
	if x.quantity != 0 {
		price(".price", "%s, price to date", "what is recorded to date, for one", sign*x.amount/x.quantity, name+".amount", name+".quantity")
	}
	difference := "%s.quantity - %[1]s.planned_quantity"
	if x.side == cost {
		difference = "%s.planned_quantity - %[1]s.quantity"
	}
	r.worked(name+".volume_variance", say.With("%s, variance by volume", x.label), fmt.Sprintf("round(("+difference+") * %[1]s.planned_price, 1 %[2]s)", name, r.plan.Currency))
	// (price - planned price) * quantity, but for the rounding.
	r.worked(name+".price_variance", say.With("%s, variance by price", x.label), fmt.Sprintf("%s.variance - %[1]s.volume_variance", name))
	return true
}

// group defines the figures of an enterprise, or of the farm.
func (r *Results) group(x *group, year say.Text, all *totals) {
	all.ids = append(all.ids, x.id)
	name := "actual." + x.id
	terms := map[string][]string{}
	for _, it := range x.items {
		r.line(x.id, it)
		line := name + "." + it.name
		kind := map[side]string{sale: "sales", cost: "costs", either: Other}[it.side]
		terms[kind] = append(terms[kind], line+".amount")
		terms["planned_"+kind] = append(terms["planned_"+kind], line+".planned")
		terms["remaining_"+kind] = append(terms["remaining_"+kind], line+".remaining")
		if r.cause(x.id, it) {
			terms["price_variance"] = append(terms["price_variance"], line+".price_variance")
			terms["volume_variance"] = append(terms["volume_variance"], line+".volume_variance")
		} else {
			terms["unsplit_variance"] = append(terms["unsplit_variance"], line+".unsplit_variance")
		}
	}
	zero := "0 " + r.plan.Currency
	add := func(word string, label say.Text) {
		formula := strings.Join(terms[word], " + ")
		if formula == "" {
			formula = zero
		}
		r.worked(name+"."+word, say.With("%s: %s", x.label, label), formula)
	}
	add("sales", "sales to date")
	add("planned_sales", "sales planned to date")
	add("remaining_sales", "sales planned for the rest of the year")
	add("costs", "costs to date")
	add("planned_costs", "costs planned to date")
	add("remaining_costs", "costs planned for the rest of the year")
	add(Other, "other to date")
	r.worked(name+".margin", say.With("%s: margin to date", x.label), fmt.Sprintf("%s.sales + %[1]s.costs + %[1]s.other", name))
	r.worked(name+".planned_margin", say.With("%s: margin planned to date", x.label), fmt.Sprintf("%s.planned_sales + %[1]s.planned_costs", name))
	r.worked(name+".sales_variance", say.With("%s: variance of sales", x.label), fmt.Sprintf("%s.sales - %[1]s.planned_sales", name))
	r.worked(name+".costs_variance", say.With("%s: variance of costs", x.label), fmt.Sprintf("%s.costs - %[1]s.planned_costs", name))
	r.worked(name+".variance", say.With("%s: variance", x.label), fmt.Sprintf("%s.margin - %[1]s.planned_margin", name))
	for _, c := range causes {
		add(c.name, say.Mid(c.label))
	}
	r.worked(name+".planned_year", say.With("%s: margin of %s, as planned", x.label, year), fmt.Sprintf("%s.planned_margin + %[1]s.remaining_sales + %[1]s.remaining_costs", name))
	r.worked(name+".remaining", say.With("%s: margin planned for the rest of the year", x.label), fmt.Sprintf("%s.remaining_sales + %[1]s.remaining_costs", name))
	r.worked(name+".forecast", say.With("%s: forecast for %s", x.label, year), fmt.Sprintf("%s.margin + %[1]s.remaining", name))
	for _, kind := range []string{"sales", "costs"} {
		formula := "1 as 1 %"
		if x.id != Farm {
			// A refund may turn a sum round, and nothing sells less than nothing.
			formula = fmt.Sprintf("if(abs(%s.planned_%[2]s) > 0.005 %[3]s, max(0, %[1]s.%[2]s / %[1]s.planned_%[2]s), 1) as 1 %%", name, kind, r.plan.Currency)
		}
		r.worked(name+"."+kind+"_rate", say.With("%s: %s beside the plan", x.label, plan.PriceGroup(kind)), formula)
	}
	r.worked(name+".remaining_at_rate", say.With("%s: rest of the year at this year's rate", x.label), fmt.Sprintf("round(%s.remaining_sales * %[1]s.sales_rate + %[1]s.remaining_costs * %[1]s.costs_rate, 1 %[2]s)", name, r.plan.Currency))
	r.worked(name+".forecast_at_rate", say.With("%s: forecast for %s, at this year's rate", x.label, year), fmt.Sprintf("%s.margin + %[1]s.remaining_at_rate", name))
}

// coin is the smallest sum of the farm's money.
func (r *Results) coin() string {
	if r.graph.Units.DecimalsOf(r.plan.Currency) == 0 {
		return "1 " + r.plan.Currency
	}
	return "0.01 " + r.plan.Currency
}
