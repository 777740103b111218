package actual

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// Results are the records beside the plan, as figures yet to be worked out,
// tables and texts.
type Results struct {
	Definitions []figures.Definition
	Engines     []*figures.Engine

	plan    *plan.Declared
	units   *quantity.System
	records *Records

	year, months int // of the plan, from 0; whole months of it to date
	first        plan.Month
	groups       []*group // the enterprises, then the farm
	aside        []*item  // what is no part of the profit
	made         map[string]bool
	once         sync.Once
	counted      int
	outside      []int // rows of other years or later, by file
	bad          []BadRow
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
	name  string
	label say.Text
	side  side
	of    []signed // series of the plan that it is planned by
	tax   string   // the group of prices whose sales tax is in an amount, or ""

	// The quantities of a line that may have one: their series and the figures that
	// measure them in a full year.
	quantities, measures []string
	reads                []*figures.In // of measures, once declared
	price                string        // of one, or ""

	rows, without int // records counted, and those of them without a quantity
	amount        float64
	quantity      float64
}

// A signed series is one that counts towards an item, or against it.
type signed struct {
	name string
	sign float64
}

// Declare sets records beside the year of a plan that has been declared.
func Declare(p *plan.Declared, units *quantity.System, records *Records) *Results {
	if records == nil {
		records = &Records{}
	}
	r := &Results{plan: p, units: units, records: records, made: map[string]bool{}, outside: make([]int, len(records.Files)), bad: slices.Clone(records.Bad)}
	r.upTo()
	r.lines()
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

// lines lays out all items that a record can name.
func (r *Results) lines() {
	for i := range r.plan.Enterprises {
		e := &r.plan.Enterprises[i]
		x := &group{id: e.ID, label: say.Own(e.Name)}
		var fees []signed
		for k := range e.Lines {
			l := &e.Lines[k]
			name := "plan.lines." + e.ID + "." + l.Name
			if l.Kind != enterprise.Sale && l.Kind != enterprise.Cost && l.Kind != enterprise.Overhead || !r.plan.Made(name) {
				continue
			}
			it := &item{name: l.Name, label: say.Own(l.Label), side: cost, tax: "costs", of: []signed{{name, -1}}}
			switch l.Kind {
			case enterprise.Sale:
				it.side, it.tax, it.of[0].sign = sale, "sales", 1
				it.price = e.ID + "." + l.Name + ".price"
			case enterprise.Overhead:
				it.tax = "overheads"
			}
			it.quantities, it.measures = r.plan.Quantities(e, l)
			if r.plan.Made(name + ".fees") {
				fees = append(fees, signed{name + ".fees", -1})
			}
			x.items = append(x.items, it)
		}
		x.add(&item{name: SellingCosts, label: "Selling costs", side: cost, tax: "costs", of: fees})
		x.add(&item{name: Other, label: "Other", side: either})
		r.groups = append(r.groups, x)
	}
	whole := &group{id: Farm, label: "The farm as a whole"}
	for _, o := range r.plan.Overheads {
		whole.add(&item{name: o.ID, label: say.Own(o.Label), side: cost, tax: "overheads", of: []signed{{"plan.overheads." + o.ID, -1}}})
	}
	for _, f := range farmItems {
		it := &item{name: f.word, label: f.label, side: either}
		if f.word == "rent" {
			it.tax = "rent"
		}
		for _, flow := range f.plus {
			it.of = append(it.of, signed{"plan.months." + flow, 1})
		}
		for _, flow := range f.minus {
			it.of = append(it.of, signed{"plan.months." + flow, -1})
		}
		if f.profit {
			it.side = cost
			whole.add(it)
		} else {
			r.aside = append(r.aside, it)
		}
	}
	whole.add(&item{name: Other, label: "Other", side: either})
	r.groups = append(r.groups, whole)
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
	run := false
	for _, x := range r.groups {
		if x.id == row.Enterprise {
			if it := x.find(row.Item); it != nil {
				return it
			}
			run = true
		}
	}
	if !run {
		return nil
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

// measure returns which of an item's measures is its quantity, not its price; -1 if
// it has none. Types must be known.
func (r *Results) measure(it *item) int {
	money := r.units.Money().Dimension
	has := func(d quantity.Dimension) bool { return slices.Contains(strings.Fields(string(d)), string(money)) }
	switch len(it.reads) {
	case 1:
		return 0
	case 2:
		for k := range 2 {
			a, b := it.reads[k].Figure(), it.reads[1-k].Figure()
			if a != nil && b != nil && a.Type.Len == 0 && b.Type.Len == 0 && has(b.Type.Dimension) && b.Type.Dimension != money && !has(a.Type.Dimension) {
				return k
			}
		}
	}
	return -1
}

// in is the figure that measures an item's quantity, or nil.
func (r *Results) in(it *item) *figures.In {
	if k := r.measure(it); k >= 0 {
		return it.reads[k]
	}
	return nil
}

// leave notes a row that can't be counted.
func (r *Results) leave(row *Row, err *source.Error) {
	r.bad = append(r.bad, BadRow{row.File, err})
}

// count counts the records, once the units of all quantities are known.
func (r *Results) count() {
	end := r.end()
	to := r.first + plan.Month(r.months) // the first month that is not counted
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
		if in := r.in(it); row.HasQuantity && in != nil {
			f := in.Figure()
			switch {
			case row.Bare:
				q = f.Unit.ToBase(row.Quantity.Value)
			case row.Quantity.Unit.Dimension != f.Type.Dimension || row.Quantity.Unit.IsDate():
				err := source.Errorf(source.WrongUnit, row.QuantityAt, "the quantity is in %s, but %s is counted in %s", row.Quantity.Unit, say.Mid(it.label), f.Unit)
				r.leave(row, err.With("write it in %s, or a number alone", f.Unit))
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
		it.amount += float64(row.Amount * part)
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
// read: bad rows, if the farm refuses them; and warns of a last month outside the
// plan.
// The graph must have been built.
func (r *Results) Mistakes() source.Errors {
	r.once.Do(r.count)
	var errs source.Errors
	if m := r.records.UpTo; m != 0 && (m < r.plan.Start || m >= r.end()) {
		errs = append(errs, source.Warningf(r.records.UpToAt, "%s is outside the plan, which runs from %s to %s", m, r.plan.Start, r.end()-1))
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

// Made reports whether the records give a figure of that name.
func (r *Results) Made(name string) bool { return r.made[name] }

func (r *Results) worked(name string, label say.Text, formula string) {
	r.made[name] = true
	r.Definitions = append(r.Definitions, figures.Definition{Name: name, Label: label, Scope: "actual", Place: r.plan.Place,
		Formula: source.Derived(r.plan.Place, formula).Whole(), Engine: true})
}

func (r *Results) engine(name string, declare func(*figures.Declaration) figures.Run) {
	r.Engines = append(r.Engines, &figures.Engine{Name: name, Declare: func(d *figures.Declaration) figures.Run {
		run := declare(d)
		return func(c *figures.Case) {
			r.once.Do(r.count)
			run(c)
		}
	}})
}

func (r *Results) output(name string, label, how say.Text, unit quantity.Unit, step float64) figures.Output {
	return figures.Output{Name: name, Label: label, Scope: "actual", Place: r.plan.Place, How: how, Unit: unit, Step: step}
}

const (
	byRecord = "the records in data/records, added up"
	byPlan   = "the plan's months up to the same day"
	byRest   = "the plan's months from there to the year's end"
)

// define declares the figures, which doc.go lists, and as texts actual.year,
// actual.up_to (the last month counted) and actual.largest (the line with the
// largest variance).
func (r *Results) define() {
	year := r.plan.YearLabel(r.year)
	r.counts(year)
	var all totals
	for _, x := range r.groups {
		r.group(x, year, &all)
	}
	for _, it := range r.aside {
		r.line(Farm, it)
	}
	r.largest()
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

// counts declares what is told of the records themselves.
func (r *Results) counts(year say.Text) {
	r.engine("the records", func(d *figures.Declaration) figures.Run {
		for _, x := range r.groups {
			for _, it := range x.items {
				it.reads = nil
				for _, name := range it.measures {
					it.reads = append(it.reads, d.Read(name))
				}
			}
		}
		count := func(name string, label say.Text) *figures.Out {
			o := r.output("actual."+name, label, byRecord, quantity.Unit{Factor: 1}, 1)
			o.Alone = true // what is counted hangs on units alone
			return d.Give(o)
		}
		words := func(name string, label say.Text) *figures.Out {
			o := r.output("actual."+name, label, byRecord, quantity.Unit{}, 0)
			o.Text, o.Alone = true, true
			return d.Give(o)
		}
		months, rows := count("months", "Months to date"), count("rows_counted", "Records counted")
		left, outside := count("rows_left_out", "Records left out because of a mistake"), count("rows_outside", "Records of other years, or later")
		of, upTo := words("year", "Year of the plan that the records are of"), words("up_to", "The last month counted")
		return func(c *figures.Case) {
			c.Give(months, float64(r.months))
			c.Give(rows, float64(r.counted))
			c.Give(left, float64(len(r.bad)))
			sum := 0
			for _, n := range r.outside {
				sum += n
			}
			c.Give(outside, float64(sum))
			c.Say(of, year)
			last := say.Text("nothing yet")
			if r.months > 0 {
				last = (r.first + plan.Month(r.months-1)).Name()
			}
			c.Say(upTo, last)
		}
	})
}

// largest names the line with the largest variance.
func (r *Results) largest() {
	r.engine("the largest variance", func(d *figures.Declaration) figures.Run {
		type of struct {
			in    *figures.In
			label say.Text
		}
		var all []of
		for _, x := range r.groups {
			for _, it := range x.items {
				all = append(all, of{d.Read("actual." + x.id + "." + it.name + ".variance"), say.With("%s (%s)", say.Mid(it.label), x.label)})
			}
		}
		o := r.output("actual.largest", "The line with the largest variance", byRecord, quantity.Unit{}, 0)
		o.Text = true
		out := d.Give(o)
		return func(c *figures.Case) {
			most, label := 0.005, say.Text("–")
			for _, x := range all {
				if v := math.Abs(c.Of(x.in)); v > most {
					most, label = v, x.label
				}
			}
			c.Say(out, label)
		}
	})
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

// line declares an item's figures. In whole units of money, as the plan is, so
// that what is printed adds up in every table.
func (r *Results) line(id string, x *item) {
	name := "actual." + id + "." + x.name
	words := []string{".amount", ".planned", ".remaining"}
	if len(x.quantities) > 0 {
		words = append(words, ".split", ".quantity", ".planned_quantity", ".planned_price", ".price")
	}
	for _, word := range words {
		r.made[name+word] = true
	}
	money := r.units.Money()
	r.engine("the records of "+id+"."+x.name, func(d *figures.Declaration) figures.Run {
		var series []*figures.In
		for _, s := range x.of {
			series = append(series, d.Read(s.name))
		}
		tax, registered := d.Const(0), d.Const(0)
		if x.tax != "" {
			tax, registered = d.ReadOr("finance.plan.sales_tax."+x.tax, 0), d.ReadOr(plan.Registered, 0)
		}
		give := func(word string, label, how say.Text, rests ...*figures.In) *figures.Out {
			o := r.output(name+word, label, how, money, 1)
			o.Rests, o.Alone = rests, true
			return d.Give(o)
		}
		amount := give(".amount", say.With("%s, to date", x.label), byRecord, tax, registered)
		planned := give(".planned", say.With("%s, planned to date", x.label), byPlan, series...)
		remaining := give(".remaining", say.With("%s, planned for the rest of the year", x.label), byRest, series...)
		var parts *splitting
		if len(x.quantities) > 0 {
			parts = r.splitting(d, x, name)
		}
		return func(c *figures.Case) {
			levied := 0.0
			if c.Of(registered) == 1 {
				levied = c.Of(tax)
			}
			if why, none := c.Why(tax); none && levied != 0 {
				c.None(amount, why)
			} else {
				c.Give(amount, math.Round(x.amount/(1+levied)))
			}
			toDate, rest := 0.0, 0.0
			for i, in := range series {
				before, after := r.sums(c.Series(in))
				toDate += float64(x.of[i].sign * before)
				rest += float64(x.of[i].sign * after)
			}
			c.Give(planned, math.Round(toDate))
			c.Give(remaining, math.Round(rest))
			if parts != nil {
				parts.give(c, r, x, toDate, x.amount/(1+levied))
			}
		}
	})
	r.worked(name+".variance", say.With("%s, variance", x.label), name+".amount - "+name+".planned")
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

// splitting gives what a variance is split by, where a line has a quantity.
type splitting struct {
	series, measures                                    []*figures.In
	price                                               *figures.In
	split, quantity, planned, plannedPrice, actualPrice *figures.Out
}

func (r *Results) splitting(d *figures.Declaration, x *item, name string) *splitting {
	s := &splitting{price: d.Const(math.NaN())}
	for i, of := range x.quantities {
		s.series = append(s.series, d.Read(of))
		s.measures = append(s.measures, d.Read(x.measures[i]))
	}
	if x.price != "" {
		s.price = d.ReadOr(x.price, math.NaN())
	}
	of := func() *figures.In { return r.in(x) }
	give := func(word string, label, how say.Text, price bool) *figures.Out {
		o := r.output(name+word, say.With(label, x.label), how, quantity.Unit{Factor: 1}, 0)
		o.LikeOf, o.PerLike, o.LikeStep = of, price, true
		if price {
			o.Unit = r.units.Money()
		}
		return d.Give(o)
	}
	split := r.output(name+".split", say.With("%s, split by price and volume", x.label), byRecord, quantity.Unit{Factor: 1}, 1)
	split.Hidden = true
	s.split = d.Give(split)
	s.quantity = give(".quantity", "%s, quantity to date", byRecord, false)
	s.planned = give(".planned_quantity", "%s, quantity planned to date", byPlan, false)
	s.plannedPrice = give(".planned_price", "%s, planned price", "what is planned to date, for one", true)
	s.actualPrice = give(".price", "%s, price to date", "what is recorded to date, for one", true)
	return s
}

func (s *splitting) give(c *figures.Case, r *Results, x *item, planned, amount float64) {
	refuse := func(why say.Text) {
		for _, out := range []*figures.Out{s.quantity, s.planned, s.plannedPrice, s.actualPrice} {
			c.None(out, why)
		}
	}
	k := r.measure(x)
	switch {
	case k < 0:
		refuse("it is not one quantity at one price")
		return
	case x.without > 0:
		refuse("one of its records has no quantity")
		return
	}
	wanted, _ := r.sums(c.Series(s.series[k]))
	sign := 1.0 // what a cost comes to is negative
	if x.side == cost {
		sign = -1
	}
	price := c.Of(s.price)
	if len(s.measures) == 2 {
		price = c.Of(s.measures[1-k])
	}
	if wanted != 0 {
		price = sign * planned / wanted
	}
	if price != price {
		refuse("no quantity is planned, and no price")
		return
	}
	c.Give(s.split, 1)
	c.Give(s.quantity, x.quantity)
	c.Give(s.planned, wanted)
	c.Give(s.plannedPrice, price)
	if x.quantity == 0 {
		c.None(s.actualPrice, "no quantity is recorded yet")
	} else {
		c.Give(s.actualPrice, sign*amount/x.quantity)
	}
}

// cause defines the parts of an item's variance, and reports whether it may be
// split by price and volume.
func (r *Results) cause(id string, x *item) bool {
	name := "actual." + id + "." + x.name
	if len(x.quantities) == 0 {
		r.worked(name+".unsplit_variance", say.With("%s, variance not split", x.label), name+".variance")
		return false
	}
	difference := "%[1]s.quantity - %[1]s.planned_quantity"
	if x.side == cost {
		difference = "%[1]s.planned_quantity - %[1]s.quantity"
	}
	zero := "0 " + r.plan.Currency
	volume := fmt.Sprintf("if(%s.split is 1, round(("+difference+") * %[1]s.planned_price, 1 %[2]s), 0 %[2]s)", name, r.plan.Currency)
	r.worked(name+".volume_variance", say.With("%s, variance by volume", x.label), volume)
	// (price - planned price) * quantity, but for the rounding.
	r.worked(name+".price_variance", say.With("%s, variance by price", x.label), fmt.Sprintf("if(%s.split is 1, %[1]s.variance - %[1]s.volume_variance, %[2]s)", name, zero))
	r.worked(name+".unsplit_variance", say.With("%s, variance not split", x.label), fmt.Sprintf("if(%s.split is 1, %[2]s, %[1]s.variance)", name, zero))
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
		}
		terms["unsplit_variance"] = append(terms["unsplit_variance"], line+".unsplit_variance")
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
	if r.units.DecimalsOf(r.plan.Currency) == 0 {
		return "1 " + r.plan.Currency
	}
	return "0.01 " + r.plan.Currency
}
