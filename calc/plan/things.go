package plan

import (
	"math"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/say"
	"rickyard/calc/trade"
)

// class declares one kind of thing that is bought and wears out. reads names
// its number, cost of one, life and residual; where there is no such figure it is
// one thing of no cost, a year of life, nothing left. Number and cost are read at each year's
// scale.
func (p *Declared) class(k class, reads []string) {
	name := "plan.things." + k.name
	p.classes = append(p.classes, k)
	p.made[name+".worn"], p.made[name+".book"] = true, true
	p.part("equipment_bought", name+".bought")
	p.part("equipment_sold", name+".sold")
	p.part("depreciation", name+".worn")
	p.part("equipment", name+".book")
	p.taxPart(ofCapital, name+".sales_tax")
	p.atOpening("equipment_bought", name+".bought_before")
	if p.taxed(ofCapital) {
		p.atOpening("sales_tax_added", name+".sales_tax_before")
	}
	const how = "bought as the scale needs it, worn down over its life, bought again at the end of it as far as it is still needed"
	p.engine("the purchases and depreciation of "+k.name, func(d *figures.Declaration) figures.Run {
		when := d.ReadOr(k.from, before)
		paid := append(p.pricing(d, ofCapital).ins(), when) // what is paid for it rests on
		read := func(name string, otherwise float64) func(c *figures.Case, year int) float64 {
			in, ok := d.Rounds(p.rounds, name)
			if !ok {
				return func(*figures.Case, int) float64 { return otherwise }
			}
			paid = append(paid, in)
			return func(c *figures.Case, year int) float64 { return c.Series(in)[year] }
		}
		number, each := read(reads[0], 1), read(reads[1], 0)
		life, residual := d.ReadOr(reads[2], yearSeconds), d.ReadOr(reads[3], 0)
		way, times := d.ReadOr("finance.plan.depreciation", 0), d.ReadOr("finance.plan.declining_times", 2)
		price := p.pricing(d, ofCapital)
		of := func(part string, what say.Text, rests ...*figures.In) figures.Output {
			return hidden(p.money(name+part, say.With("%s: %s", k.label, what), how, rests...))
		}
		lasting := append([]*figures.In{life}, paid...)
		wearing := append([]*figures.In{residual, way, times}, lasting...)
		bought, sold := d.Give(of(".bought", "bought", lasting...)), d.Give(of(".sold", "sold at the end of its life", wearing...))
		worn := d.Give(of(".worn", "depreciation", wearing...))
		value := of(".book", "book value", wearing...)
		value.Kind = formula.Level
		book := d.Give(value)
		tax := d.Give(of(".sales_tax", "sales tax", lasting...))
		opened := func(o figures.Output) *figures.Out {
			if k.run {
				o.Rests, o.Alone = nil, true // nothing is run before the plan
			}
			return d.Give(single(o))
		}
		outs := []*figures.Out{bought, sold, worn, book, tax}
		first, firstTax := opened(of(".bought_before", "bought at the opening", paid...)), opened(of(".sales_tax_before", "sales tax at the opening", paid...))
		if !k.run {
			outs = append(outs, first, firstTax)
		}
		return func(c *figures.Case) {
			if unanswered(c, wearing, outs...) {
				return
			}
			y := price.of(c)
			from := p.column(c.Of(when))
			if k.run {
				from = max(1, from)
			}
			w := wear{from: from, years: p.Years, c: c, prices: y, residual: c.Of(residual), life: max(1, months(c.Of(life))),
				declining: c.Of(way) == 1, times: c.Of(times), number: number, each: each,
				bought: c.Room(bought), sold: c.Room(sold), worn: c.Room(worn), book: c.Room(book), tax: c.Room(tax), before: c.Room(first), taxBefore: c.Room(firstTax)}
			w.run()
		}
	})
	for year := range p.Years {
		p.worked(yearName(year, "depreciation."+k.name), say.With("%s, depreciation in %s", k.label, p.YearLabel(year)), "sum(in_year(%s.worn, %d))", name, year+1)
	}
	p.worked(yearName(p.Years-1, "book."+k.name), say.With("%s, book value at the end of %s", k.label, p.YearLabel(p.Years-1)), "at(in_year(%s.book, %d), 12)", name, p.Years)
}

// wear works the years of one class of things out.
type wear struct {
	from, years, life int
	c                 *figures.Case
	prices            prices
	residual, times   float64
	declining         bool
	number, each      func(c *figures.Case, year int) float64

	bought, sold, worn, book, tax, before, taxBefore []float64
	paid                                             float64
}

func (w *wear) run() {
	var room [8]cohort
	cohorts := room[:0]
	have := 0.0
	for year := max(0, w.from-1) / 12; year < w.years; year++ {
		begin, end := 1+12*year, 12*(year+1)
		number, each := w.number(w.c, year), w.each(w.c, year)
		if more := number - have; more > 1e-9*number && more > 0 {
			at := begin
			if len(cohorts) == 0 && w.from <= end && (w.from >= begin || year == 0) {
				at = w.from
			}
			q := cohort{number: more, start: max(1, at)}
			w.buy(at, &q, each)
			cohorts = append(cohorts, q)
			have = number
		}
		for k := range cohorts {
			q := &cohorts[k]
			for column := max(begin, q.start); column <= end && q.number > 0; column++ {
				if column == q.start+w.life {
					// Its life is over: what is left is sold, and as many bought as
					// are still needed.
					w.sold[column-1] += q.book
					again := math.Min(q.number, math.Max(0, number-(have-q.number)))
					have -= q.number - again
					*q = cohort{number: again, start: column}
					if again == 0 {
						break
					}
					w.buy(column, q, each)
				}
				age := column - q.start
				if age%12 == 0 {
					q.monthly = w.monthly(q, age)
				}
				q.worn += q.monthly
				d := q.book - math.Round(q.cost-q.worn)
				q.book -= d
				w.worn[column-1] += d
				w.book[column-1] += q.book
			}
		}
	}
}

// buy pays for a cohort. Its cost is rounded as the purchases of its class add
// up, so that many small ones don't all err to one side.
func (w *wear) buy(column int, q *cohort, each float64) {
	whole := math.Round(w.paid)
	cost, tax := w.prices.at(column, q.number*each)
	w.paid += cost
	q.cost = math.Round(w.paid) - whole
	q.book = q.cost
	if column == 0 {
		w.before[0] += q.cost
		w.taxBefore[0] += tax
		return
	}
	w.bought[column-1] += q.cost
	w.tax[column-1] += tax
}

// monthly is the depreciation of a cohort by month for the next year of its life.
func (w *wear) monthly(q *cohort, age int) float64 {
	left := float64(q.cost * w.residual)
	if !w.declining {
		return trade.StraightLine(q.cost, left, float64(w.life)) // a life in months gives it by the month
	}
	toGo := float64(w.life-age) / 12
	return trade.Decline(q.cost-q.worn, left, w.times, float64(w.life)/12, toGo) / math.Min(12, float64(w.life-age))
}

// The kinds of sources, by their places among the choices of
// finance.sources.<id>.kind.
const (
	savings = iota
	loan
	grant
)

// source declares money to start. Whatever its kind, it can come to be another:
// so it counts to the rows of all of them.
func (p *Declared) source(s *Source) {
	name := "plan.sources." + s.ID
	p.part("introduced", name+".introduced")
	p.part("grants", name+".granted")
	p.atOpening("introduced", name+".introduced_before")
	p.atOpening("grants", name+".granted_before")
	const how = "in the month in which it comes"
	p.engine("the money of "+s.ID, func(d *figures.Declaration) figures.Run {
		of := "finance.sources." + s.ID
		amount, kind, received := d.ReadOr(of+".amount", 0), d.ReadOr(of+".kind", savings), d.ReadOr(of+".received", before)
		give := func(part string, what say.Text) (months, opening *figures.Out) {
			o := hidden(p.money(name+part, say.With("%s: %s", s.Label, what), how))
			o.Alone = !d.Has(of + ".received") // then nothing comes but at the opening
			if !o.Alone {
				o.Rests = []*figures.In{amount, kind, received}
			}
			return d.Give(o),
				d.Give(hidden(single(p.money(name+part+"_before", say.With("%s: %s, at the opening", s.Label, what), how))))
		}
		introduced, introducedBefore := give(".introduced", "put in")
		granted, grantedBefore := give(".granted", "granted")
		ever := d.Has(of + ".received")
		return func(c *figures.Case) {
			months, opening := introduced, introducedBefore
			switch c.Of(kind) {
			case loan:
				return
			case grant:
				months, opening = granted, grantedBefore
			}
			outs := []*figures.Out{opening, months}
			if !ever {
				outs = outs[:1]
			}
			if !unanswered(c, []*figures.In{amount, kind, received}, outs...) {
				p.comes(c, received, c.Of(amount), months, opening)
			}
		}
	})
	p.loan(s)
}

// comes puts an amount into the month of a date, or into the opening.
func (p *Declared) comes(c *figures.Case, date *figures.In, amount float64, months, opening *figures.Out) {
	switch column := p.column(c.Of(date)); {
	case column == 0:
		c.Give(opening, amount)
	case column <= p.months():
		c.Room(months)[column-1] = amount
	}
}

// loan declares a loan's schedule.
func (p *Declared) loan(s *Source) {
	name := "plan.loans." + s.ID
	p.part("loans_drawn", name+".drawn")
	p.part("interest", name+".interest")
	p.part("interest_paid", name+".interest_paid")
	p.part("principal", name+".principal")
	p.part("loans", name+".debt")
	p.part("due_soon", name+".due_soon")
	p.atOpening("loans_drawn", name+".drawn_before")
	p.atOpening("due_soon", name+".due_soon_before")
	const how = "the loan's schedule, payments at the end of each period"
	p.engine("the loan "+s.ID, func(d *figures.Declaration) figures.Run {
		of := "finance.sources." + s.ID
		amount, rate, term := d.ReadOr(of+".amount", 0), d.ReadOr(of+".rate", 0), d.ReadOr(of+".term", 0)
		free, balloon, every := d.ReadOr(of+".interest_only", 0), d.ReadOr(of+".balloon", 0), d.ReadOr(of+".every", monthSeconds)
		kind, received, repaid := d.ReadOr(of+".kind", savings), d.ReadOr(of+".received", before), d.ReadOr(of+".repaid", float64(Level))
		out := func(part string, what say.Text) *figures.Out {
			return d.Give(hidden(p.money(name+part, say.With("%s: %s", s.Label, what), how)))
		}
		o := hidden(p.money(name+".drawn", say.With("%s: received", s.Label), how, amount, kind, received))
		if !d.Has(of + ".received") {
			o.Rests, o.Alone = nil, true // it comes at the opening
		}
		drawn := d.Give(o)
		interest, paid, principal := out(".interest", "interest"), out(".interest_paid", "interest paid"), out(".principal", "paid back")
		stands := func(part string, what say.Text) *figures.Out {
			o := hidden(p.money(name+part, say.With("%s: %s", s.Label, what), how))
			o.Kind = formula.Level
			return d.Give(o)
		}
		debt, soon := stands(".debt", "owed"), stands(".due_soon", "to pay back within a year")
		drawnBefore := d.Give(hidden(single(p.money(name+".drawn_before", say.With("%s: received at the opening", s.Label), how, amount, kind, received))))
		soonBefore := d.Give(hidden(single(p.money(name+".due_soon_before", say.With("%s: to pay back within a year of the opening", s.Label), how))))
		outs := []*figures.Out{interest, paid, principal, debt, soon, drawnBefore, soonBefore}
		if d.Has(of + ".received") {
			outs = append(outs, drawn)
		}
		return func(c *figures.Case) {
			if unanswered(c, []*figures.In{kind}, outs...) || c.Of(kind) != loan ||
				unanswered(c, []*figures.In{amount, rate, term, free, balloon, every, received, repaid}, outs...) {
				return
			}
			l := lending{at: p.column(c.Of(received)), every: max(1, months(c.Of(every))), drawn: math.Round(c.Of(amount))}
			t := Terms{Amount: c.Of(amount), Rate: c.Of(rate) * monthSeconds * float64(l.every), InterestOnly: months(c.Of(free)) / l.every, Balloon: c.Of(balloon), Repayment: Repayment(c.Of(repaid))}
			// What comes after the plan and the year beyond it is no matter, but
			// for how many payments there are.
			t.Periods = min((months(c.Of(term))+l.every-1)/l.every, mostPayments)
			if months(c.Of(term)) == 0 {
				// Nothing is said of paying it back: interest goes on.
				t.Periods, t.Repayment = mostPayments, AtEnd
			}
			var room [mostPayments]Instalment
			l.schedule = t.Schedule(room[:0])
			l.run(c.Room(drawn), c.Room(interest), c.Room(paid), c.Room(principal), c.Room(debt), c.Room(soon), c.Room(drawnBefore), c.Room(soonBefore))
		}
	})
	if !s.Loan {
		return
	}
	for year := range p.Years {
		at := yearName(year, "loans."+s.ID)
		p.worked(at+".interest", say.With("%s, interest in %s", s.Label, p.YearLabel(year)), "sum(in_year(%s.interest, %d))", name, year+1)
		p.worked(at+".principal", say.With("%s, paid back in %s", s.Label, p.YearLabel(year)), "sum(in_year(%s.principal, %d))", name, year+1)
		p.worked(at+".debt", say.With("%s, owed at the end of %s", s.Label, p.YearLabel(year)), "at(in_year(%s.debt, %d), 12)", name, year+1)
	}
}

// mostPayments bounds a loan's schedule: fifty years of months.
const mostPayments = 600

// lending lays a loan's schedule on the months of a plan.
type lending struct {
	at, every int // the column in which it is received, the months between payments
	drawn     float64
	schedule  []Instalment
}

func (l *lending) run(drawn, interest, paid, principal, debt, soon, drawnBefore, soonBefore []float64) {
	n := len(debt)
	if l.at > n {
		return
	}
	start := max(1, l.at)
	if l.at == 0 {
		drawnBefore[0] = l.drawn
	} else {
		drawn[l.at-1] = l.drawn
	}
	owed, charged, fallen := l.drawn, 0.0, 0.0 // interest since it was drawn, and up to the last payment
	for column := start; column <= n; column++ {
		month := column - start // whole months since it was drawn
		if period := month / l.every; period < len(l.schedule) {
			before := math.Round(charged)
			charged += l.schedule[period].Interest / float64(l.every)
			interest[column-1] = math.Round(charged) - before
			if (month+1)%l.every == 0 {
				paid[column-1] = math.Round(charged) - math.Round(fallen)
				fallen = charged
				after := math.Round(l.schedule[period].After)
				principal[column-1] = owed - after
				owed = after
			}
		}
		debt[column-1] = owed
	}
	// What falls due within the twelve months after each column.
	due := func(column int, debt float64) float64 {
		after := l.drawn
		if k := (column + 12 - start + 1) / l.every; k > 0 && len(l.schedule) > 0 {
			after = math.Round(l.schedule[min(k, len(l.schedule))-1].After)
		}
		return math.Max(0, debt-after)
	}
	if l.at == 0 {
		soonBefore[0] = due(0, l.drawn)
	}
	for column := start; column <= n; column++ {
		soon[column-1] = due(column, debt[column-1])
	}
}

// property declares property that is bought. No sales tax: that is a lawyer's
// matter.
func (p *Declared) property(u *Use) {
	name, of := "plan.uses."+u.ID, "finance.uses."+u.ID
	p.part("property_bought", name)
	p.atOpening("property_bought", name+".before")
	const how = "in the month in which it is paid"
	p.engine(name, func(d *figures.Declaration) figures.Run {
		amount, paid := d.ReadOr(of+".amount", 0), d.ReadOr(of+".paid", before)
		out := d.Give(hidden(p.money(name, say.With("%s, by month", u.Label), how)))
		opening := d.Give(hidden(single(p.money(name+".before", say.With("%s, at the opening", u.Label), how))))
		return func(c *figures.Case) {
			if !unanswered(c, []*figures.In{amount, paid}, out, opening) {
				p.comes(c, paid, c.Of(amount), out, opening)
			}
		}
	})
}

// firstStock declares stock that is bought to begin with, and used up over
// twelve months.
func (p *Declared) firstStock(u *Use) {
	name := "plan.uses." + u.ID
	p.part("stock_bought", name)
	p.part("stock_used", name+".used")
	p.taxPart(ofCosts, name+".sales_tax")
	p.atOpening("stock_bought", name+".before")
	if p.taxed(ofCosts) {
		p.atOpening("sales_tax_added", name+".sales_tax_before")
	}
	const how = "paid when it comes, used up over twelve months"
	p.engine("the first stock "+u.ID, func(d *figures.Declaration) figures.Run {
		amount, paid := d.ReadOr("finance.uses."+u.ID+".amount", 0), d.ReadOr("finance.uses."+u.ID+".paid", before)
		price := p.pricing(d, ofCosts)
		of := func(part string, what say.Text) figures.Output {
			return hidden(p.money(name+part, say.With("%s: %s", u.Label, what), how))
		}
		bought, used, tax := d.Give(of("", "bought")), d.Give(of(".used", "used up")), d.Give(of(".sales_tax", "sales tax"))
		first, firstTax := d.Give(single(of(".before", "bought at the opening"))), d.Give(single(of(".sales_tax_before", "sales tax at the opening")))
		return func(c *figures.Case) {
			if unanswered(c, append(price.ins(), amount, paid), bought, used, tax, first, firstTax) {
				return
			}
			column := p.column(c.Of(paid))
			if column > p.months() {
				return
			}
			y := price.of(c)
			cost, levied := y.at(column, c.Of(amount))
			if column == 0 {
				c.Give(first, cost)
				c.Give(firstTax, levied)
			} else {
				c.Room(bought)[column-1] = cost
				c.Room(tax)[column-1] = levied
			}
			for m := range 12 {
				if at := max(1, column) - 1 + m; at < p.months() {
					c.Room(used)[at] += cost / 12
				}
			}
		}
	})
}

// each declares what the farm as a whole pays or gets in every month: a rate of
// money, read at each year's scale, until a date if there is one of that name.
func (p *Declared) each(row, name string, label say.Text, group int, until string, rate func(read func(string, float64) func(*figures.Case, int) float64) func(*figures.Case, int) float64) {
	p.part(row, name)
	taxed := group != ofWages && group != ofLiving
	if taxed {
		p.taxPart(group, name+".sales_tax")
	}
	const how = "a twelfth of the year in every month"
	p.engine(name, func(d *figures.Declaration) figures.Run {
		var ins []*figures.In
		of := rate(func(name string, otherwise float64) func(*figures.Case, int) float64 {
			in, ok := d.Rounds(p.rounds, name)
			if !ok {
				return func(*figures.Case, int) float64 { return otherwise }
			}
			ins = append(ins, in)
			return func(c *figures.Case, year int) float64 { return c.Series(in)[year] }
		})
		price := p.pricing(d, group)
		out := d.Give(hidden(p.money(name, say.With("%s, by month", label), how)))
		var tax *figures.Out
		if taxed {
			tax = d.Give(hidden(p.money(name+".sales_tax", say.With("%s, sales tax", label), how)))
		}
		end := d.ReadOr(until, never)
		ins = append(append(ins, end), price.ins()...)
		return func(c *figures.Case) {
			if unanswered(c, ins, out, tax) {
				return
			}
			y := price.of(c)
			amounts := c.Room(out)
			for m := range p.until(c, end) {
				kept, levied := y.at(m+1, of(c, m/12)*monthSeconds)
				amounts[m] = kept
				if taxed {
					c.Room(tax)[m] = levied
				}
			}
		}
	})
}

// until is how many months of the plan come before that of a date.
func (p *Declared) until(c *figures.Case, date *figures.In) int {
	return max(1, p.column(c.Of(date))) - 1
}

// alone is the rate of one figure.
func alone(name string) func(read func(string, float64) func(*figures.Case, int) float64) func(*figures.Case, int) float64 {
	return func(read func(string, float64) func(*figures.Case, int) float64) func(*figures.Case, int) float64 {
		return read(name, 0)
	}
}

// wholeFarm declares what the farm as a whole has, pays, gets and works.
func (p *Declared) wholeFarm() {
	for i := range p.Items {
		item := &p.Items[i]
		name := "infrastructure." + item.ID
		p.class(class{label: item.Label, name: name, from: name + ".bought", group: item.Group},
			[]string{name + ".number", name + ".cost", name + ".life", name + ".residual"})
	}
	for i := range p.Uses {
		u := &p.Uses[i]
		name := "finance.uses." + u.ID
		switch {
		case u.Group == "property":
			p.property(u)
		case u.Group == "stock":
			p.firstStock(u)
		case u.Life:
			p.class(class{label: u.Label, name: "uses." + u.ID, from: name + ".paid"},
				[]string{"", name + ".amount", name + ".life", name + ".residual"})
		}
	}
	for i := range p.Sources {
		p.source(&p.Sources[i])
	}
	for _, o := range p.Overheads {
		p.each("farm_overheads", "plan.overheads."+o.ID, say.Own(o.Label), ofOverheads, "", alone("finance.overheads."+o.ID+".amount"))
	}
	for _, k := range p.Land {
		name := "farm.land." + k.ID
		p.each("rent", "plan.rents."+k.ID, say.Own(k.Label), ofRent, "", func(read func(string, float64) func(*figures.Case, int) float64) func(*figures.Case, int) float64 {
			area, rent := read(name+".area", 0), read(name+".rent", 0)
			return func(c *figures.Case, year int) float64 { return area(c, year) * rent(c, year) }
		})
	}
	p.each("drawings", "plan.living", "Household", ofLiving, "", alone("finance.plan.drawings"))
	for i := range p.People {
		who := &p.People[i]
		if name := "farm.people." + who.ID + ".income"; p.defined(name) {
			p.each("off_farm", "plan.incomes."+who.ID, say.Own(who.Name), ofWages, "farm.people."+who.ID+".until", alone(name))
		}
		p.hours(who)
	}
}
