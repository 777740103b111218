package plan

import (
	"fmt"
	"math"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/say"
)

// How figures of the books are found, for readers.
const (
	byMonth = "the lines of the plan, month by month, in whole units of money that add up"
	bySum   = "the lines of the plan, month by month, added up"
)

// A flow is a row of the books, with the label of its figures.
type flow struct {
	name  string
	label say.Text
	whole bool // it is kept in whole units of money, as it adds up over the months
}

// flows are the rows that lines, things, loans and the farm as a whole add up
// to.
var flows = []flow{
	{"sales", "Sales", true},
	{"channel_fees", "Selling costs", true},
	{"variable_costs", "Variable costs", true},
	{"stock_used", "First stock, used up", true},
	{"own_overheads", "Overheads of the enterprises", true},
	{"farm_overheads", "Overheads of the whole farm", true},
	{"rent", "Rent of land", true},
	{"hired_labour", "Hired help", true},
	{"depreciation", "Depreciation", false},
	{"interest", "Interest on loans", false},
	{"off_farm", "Income from off the farm", true},
	{"drawings", "Household", true},
	{"introduced", "Savings and gifts", true},
	{"grants", "Grants", true},
	{"loans_drawn", "Loans received", false},
	{"principal", "Loans paid back", false},
	{"interest_paid", "Interest on loans paid", false},
	{"property_bought", "Property", true},
	{"equipment_bought", "Buildings and equipment bought", false},
	{"equipment_sold", "Old equipment sold", false},
	{"stock_bought", "First stock and plants", true},
	{"sales_tax_added", "Sales tax taken less sales tax paid", true},
}

// closed are the flows that the end of each month gives.
var closed = []flow{
	{"overdraft_interest", "Interest on the overdraft", false},
	{"tax", "Set aside for tax (an estimate)", false},
	{"profit", "Profit before tax", false},
	{"sales_tax_settled", "Sales tax settled", false},
	{"tax_paid", "Income tax", false},
	{"net_cash", "Net", false},
	{"growing_change", "Growth of crops and stock on hand", false},
}

func flowLabel(name string) say.Text {
	for _, list := range [][]flow{flows, closed} {
		for _, f := range list {
			if f.name == name {
				return f.label
			}
		}
	}
	return say.Own(name)
}

// openings are the flows that may come or go before the plan's first month.
var openings = []string{"introduced", "grants", "loans_drawn", "property_bought", "equipment_bought", "stock_bought", "sales_tax_added"}

// row adds the series of a row up. Whole rows are rounded as they add up, from
// the opening on, so that all sums, in whatever table, are those of the numbers
// printed.
func (p *Declared) row(name, at string, label say.Text, whole, level bool, output func(string, say.Text, say.Text, ...*figures.In) figures.Output) {
	p.made[at] = true
	var opening string
	for _, row := range openings {
		if row == name {
			opening = "plan.before." + name
			p.made[opening] = true
		}
	}
	p.engine(string(label), func(d *figures.Declaration) figures.Run {
		var parts, before []*figures.In
		for _, part := range p.parts[name] {
			parts = append(parts, d.Read(part))
		}
		for _, part := range p.opening[name] {
			before = append(before, d.Read(part))
		}
		how := say.Text(bySum)
		if whole {
			how = byMonth
		}
		o := output(at, label, how)
		if level {
			o.Kind = formula.Level
		}
		out := d.Give(o)
		var first *figures.Out
		if opening != "" {
			o := hidden(single(p.money(opening, say.With("%s, at the opening", flowLabel(name)), how, before...)))
			o.Alone = true
			first = d.Give(o)
		}
		var settled settling
		switch {
		case whole && level:
			settled = roundEach
		case whole:
			settled = roundRunning
		}
		d.Wide(func(l *figures.Lanes) bool {
			sums, wholes := l.Case().Scratch(l.Width()), l.Case().Scratch(l.Width())
			add := func(to []float64, parts []*figures.In, place int) {
				clear(to)
				for _, in := range parts {
					for i, x := range l.In(in, place) {
						to[i] += x
					}
				}
				if settled != nil {
					settled(to, sums, wholes)
				}
			}
			if first != nil {
				add(l.Out(first, 0), before, 0)
			}
			for m := range p.months() {
				add(l.Out(out, m), parts, m)
			}
			return true
		})
		return func(c *figures.Case) {
			var sum, kept [1]float64
			settle := func(x []float64) {
				if settled != nil {
					settled(x, sum[:], kept[:])
				}
			}
			if first != nil {
				x := c.Room(first)
				for _, in := range before {
					x[0] += c.Of(in)
				}
				settle(x)
			}
			months := c.Room(out)
			for _, in := range parts {
				for m, x := range c.Series(in) {
					months[m] += x
				}
			}
			for m := range months {
				settle(months[m : m+1])
			}
		}
	})
}

// A settling brings the amounts of one month in several cases to whole units of
// money, with what they and those before them add up to.
type settling func(x, sums, wholes []float64)

// roundRunning rounds as amounts add up, so that a sum from the opening to any
// month is never more than half a unit off. A month without an answer leaves the
// others theirs.
func roundRunning(x, sums, wholes []float64) {
	for i, amount := range x {
		if amount != amount {
			continue
		}
		sums[i] += amount
		next := math.Round(sums[i])
		x[i] = next - wholes[i]
		wholes[i] = next
	}
}

func roundEach(x, _, _ []float64) {
	for i := range x {
		x[i] = math.Round(x[i])
	}
}

// rows declares all rows of the books that other figures add up to.
func (p *Declared) rows() {
	p.row("hours_needed", "plan.hours_needed", "Hours of all tasks by month", false, false, p.time)
	p.row("hours_had", "plan.hours_had", "Hours that the people have by month", false, false, p.time)
	p.hired()
	for _, f := range flows {
		p.row(f.name, "plan.months."+f.name, say.With("%s by month", f.label), f.whole, false, p.money)
	}
	for _, b := range []struct {
		row   string
		label say.Text
		whole bool
	}{{"growing", "Growing crops and stock", true}, {"equipment", "Buildings and equipment", false}, {"loans", "Loans owed", false}, {"due_soon", "Loans to pay back within a year", false}} {
		p.row(b.row, "plan.balances."+b.row, say.With("%s by month", b.label), b.whole, true, p.money)
	}
	p.step("plan.before.due_soon", "Loans to pay back within a year of the opening", "%s", p.sumOf(p.opening["due_soon"]))
}

// sumOf adds figures up in a formula.
func (p *Declared) sumOf(names []string) string {
	if len(names) == 0 {
		return "0 " + p.Currency
	}
	return strings.Join(names, " + ")
}

// Each year is summed from the months; profit becomes money in the bank by the
// last two.
var (
	overheadNames  = []string{"own_overheads", "farm_overheads", "rent", "hired_labour", "depreciation", "interest", "overdraft_interest"}
	moneyIn        = []string{"sales", "off_farm", "introduced", "grants", "loans_drawn", "equipment_sold", "sales_tax_added"}
	moneyOut       = []string{"channel_fees", "variable_costs", "own_overheads", "farm_overheads", "rent", "hired_labour", "overdraft_interest", "interest_paid", "principal", "property_bought", "equipment_bought", "stock_bought", "sales_tax_settled", "tax_paid", "drawings"}
	receivedBeside = []string{"profit", "depreciation", "stock_used", "interest", "off_farm", "introduced", "grants", "loans_drawn", "equipment_sold", "sales_tax_added"}
	paidBeside     = []string{"interest_paid", "principal", "property_bought", "equipment_bought", "stock_bought", "sales_tax_settled", "tax_paid", "drawings", "growing_change"}
)

// signed writes a formula that adds some figures and takes others off.
func signed(prefix string, plus, minus []string) string {
	var b strings.Builder
	for i, name := range plus {
		if i > 0 {
			b.WriteString(" + ")
		}
		b.WriteString(prefix + name)
	}
	for i, name := range minus {
		switch {
		case len(plus) > 0:
			b.WriteString(" - ")
		case i > 0:
			b.WriteString(" + ")
		}
		b.WriteString(prefix + name)
	}
	return b.String()
}

func yearName(year int, name string) string { return fmt.Sprintf("plan.year%d.%s", year+1, name) }

func without(names []string, left ...string) []string {
	var kept []string
	for _, name := range names {
		if !contains(left, name) {
			kept = append(kept, name)
		}
	}
	return kept
}

func contains(names []string, name string) bool {
	for _, n := range names {
		if n == name {
			return true
		}
	}
	return false
}

// books closes the months: interest on the overdraft, tax and what is left in
// the bank hang on each other from month to month.
func (p *Declared) books() {
	const months = "plan.months."
	profit := []string{"sales"}
	costs := []string{"channel_fees", "variable_costs", "stock_used", "own_overheads", "farm_overheads", "rent", "hired_labour", "depreciation", "interest"}
	p.change("plan.balances.growing", months+"growing_change", "Growth of crops and stock on hand by month")
	p.step("plan.before_interest.profit", "Profit before tax and interest on the overdraft, by month", "%s + plan.months.growing_change", signed(months, profit, costs))
	p.quarters()
	p.step("plan.before_interest.cash", "In less out, before interest on the overdraft and income tax, by month", "%s",
		signed(months, moneyIn, without(moneyOut, "overdraft_interest", "tax_paid")))
	p.step("plan.before.net_cash", "In less out at the opening", "%s", signed("plan.before.",
		[]string{"introduced", "grants", "loans_drawn", "sales_tax_added"}, []string{"property_bought", "equipment_bought", "stock_bought"}))
	p.closing()
	p.worked(months+"profit", "Profit before tax by month", "plan.before_interest.profit - plan.months.overdraft_interest")
	p.worked(months+"net_cash", "In less out by month", "plan.before_interest.cash - plan.months.overdraft_interest - plan.months.tax_paid")
	p.worked(months+"money_in", "Money in by month", "%s", signed(months, moneyIn, nil))
	p.worked(months+"money_out", "Money out by month", "%s", signed(months, nil, moneyOut))
	p.worked("plan.cash", "In the bank at the end of the month", "plan.before.net_cash + running(plan.months.net_cash)")

	for _, b := range []struct {
		name, formula string
		label         say.Text
	}{
		{"property", "plan.before.property_bought + running(plan.months.property_bought)", "Property"},
		{"stock", "plan.before.stock_bought + running(plan.months.stock_bought - plan.months.stock_used)", "First stock"},
		{"interest_due", "running(plan.months.interest - plan.months.interest_paid)", "Interest not yet paid"},
		{"tax_due", "running(plan.months.tax - plan.months.tax_paid)", "Tax set aside"},
		{"equity", "plan.before.introduced + plan.before.grants + running(plan.months.profit - plan.months.tax + plan.months.introduced + plan.months.grants + plan.months.off_farm - plan.months.drawings)", "Owners' equity"},
	} {
		p.worked("plan.balances."+b.name, say.With("%s by month", b.label), "%s", b.formula)
	}
	for year := range p.Years {
		p.year(year)
	}
	p.balance(-1)
	for year := range p.Years {
		p.balance(year)
	}
}

// change declares how a level changes in each month.
func (p *Declared) change(level, name string, label say.Text) {
	p.made[name] = true
	p.engine(string(label), func(d *figures.Declaration) figures.Run {
		in := d.Read(level)
		o := p.money(name, label, "each month's end less the one before")
		out := d.Give(o)
		return func(c *figures.Case) {
			before := 0.0
			for m, x := range c.Series(in) {
				c.Room(out)[m] = x - before
				before = x
			}
		}
	})
}

// quarters settles the sales tax of each quarter in the month after it.
func (p *Declared) quarters() {
	p.made["plan.months.sales_tax_settled"], p.made["plan.balances.sales_tax_due"] = true, true
	p.engine("sales tax", func(d *figures.Declaration) figures.Run {
		added, before := d.Read("plan.months.sales_tax_added"), d.Read("plan.before.sales_tax_added")
		const how = "the sales tax of a quarter, in the month after it"
		o := p.money("plan.months.sales_tax_settled", "Sales tax settled by month", how)
		settled := d.Give(o)
		o = p.money("plan.balances.sales_tax_due", "Sales tax owed by month", how)
		o.Kind = formula.Level
		due := d.Give(o)
		return func(c *figures.Case) {
			owed := c.Of(before)
			quarter := owed
			for m, x := range c.Series(added) {
				if column := m + 1; column > 1 && (column-1)%3 == 0 {
					c.Room(settled)[m] = quarter
					owed -= quarter
				}
				owed += x
				c.Room(due)[m] = owed
				if (m+1)%3 == 0 {
					quarter = owed
				}
			}
		}
	})
}

// closing works out interest on the overdraft, and the tax of each year.
func (p *Declared) closing() {
	for _, name := range []string{"overdraft_interest", "tax", "tax_paid"} {
		p.made["plan.months."+name] = true
	}
	p.engine("interest on the overdraft and tax", func(d *figures.Declaration) figures.Run {
		profit, cash, before := d.Read("plan.before_interest.profit"), d.Read("plan.before_interest.cash"), d.Read("plan.before.net_cash")
		share, after := d.ReadOr("finance.plan.tax", 0), d.ReadOr("finance.plan.tax_paid_after", 10*monthSeconds)
		rate := d.ReadOr("finance.plan.overdraft.rate", 0)
		give := func(name string, label, how say.Text, rests ...*figures.In) *figures.Out {
			o := p.money("plan.months."+name, label, how, rests...)
			return d.Give(o)
		}
		interest := give("overdraft_interest", "Interest on the overdraft by month", "on what the bank was overdrawn by at the end of the month before")
		tax := give("tax", "Set aside for tax (an estimate) by month", "a share of each year's profit, set aside at its end", profit, share, rate, cash, before)
		paid := give("tax_paid", "Income tax by month", "what was set aside, when it is paid")
		return func(c *figures.Case) {
			if unanswered(c, []*figures.In{share, after, rate, before}, interest, tax, paid) {
				return
			}
			bank, ofYear := c.Of(before), 0.0
			later := max(1, months(c.Of(after)))
			for m, x := range c.Series(cash) {
				if r := c.Of(rate); r != 0 && !(bank >= 0) { // overdrawn, or nobody knows
					c.Room(interest)[m] = math.Round(-bank * r * monthSeconds)
				}
				ofYear += c.Series(profit)[m] - c.Room(interest)[m]
				if (m+1)%12 == 0 {
					due := math.Round(c.Of(share) * math.Max(0, ofYear))
					ofYear = 0
					c.Room(tax)[m] = due
					if at := m + later; at < p.months() {
						c.Room(paid)[at] = due
					}
				}
				bank += x - c.Room(interest)[m] - c.Room(paid)[m]
			}
		}
	})
}

// year defines the sums of a year's profit and cash.
func (p *Declared) year(year int) {
	in := func(label say.Text) say.Text { return say.With("%s in %s", label, p.YearLabel(year)) }
	at := yearName(year, "")
	for _, list := range [][]flow{flows, closed} {
		for _, f := range list {
			p.worked(at+f.name, in(f.label), "sum(in_year(plan.months.%s, %d))", f.name, year+1)
		}
	}
	as := " as 1 " + p.Currency
	p.worked(at+"gross_margin", in("Gross margin"), "%s", signed(at, []string{"sales", "growing_change"}, []string{"channel_fees", "variable_costs", "stock_used"})+as)
	p.worked(at+"overheads", in("Overheads"), "%s", signed(at, nil, overheadNames)+as)
	p.worked(at+"profit_after_tax", in("Profit after tax"), "%s", signed(at, []string{"profit"}, []string{"tax"})+as)
	p.worked(at+"money_in", in("Money in"), "%s", signed(at, moneyIn, nil)+as)
	p.worked(at+"money_out", in("Money out"), "%s", signed(at, nil, moneyOut)+as)
	p.worked(at+"profit_and_received", in("Profit, costs not paid, and what else came in"), "%s", signed(at, receivedBeside, nil)+as)
	p.worked(at+"paid_beside", in("Payments that are not costs"), "%s", signed(at, nil, paidBeside)+as)
	p.worked(at+"cash_end", say.With("In the bank at the end of %s", p.YearLabel(year)), "at(in_year(plan.cash, %d), 12)", year+1)
	before := "plan.opening.equity"
	if year > 0 {
		before = yearName(year-1, "balance.equity")
	}
	p.worked(at+"equity_change", in("Growth of the owners' equity"), "%sbalance.equity - %s", at, before)
	p.worked(at+"hours", say.With("Hours of all tasks in %s", p.YearLabel(year)), "sum(in_year(plan.hours_needed, %d)) as 1 h", year+1)
	p.worked(at+"hours_hired", say.With("Hours beyond the people's in %s", p.YearLabel(year)), "sum(in_year(plan.hours_hired, %d)) as 1 h", year+1)
}

// A stand is a line of the balance sheet: what it is at the opening, and at the
// end of a year.
type stand struct {
	name            string
	label           say.Text
	opening, ending string // formulas; %d the year
	owed            bool
}

func (p *Declared) stands() []stand {
	zero := "0 " + p.Currency
	least := func(formula string) string { return "max(" + formula + ", " + zero + ")" }
	return []stand{
		{"property", "Property", "plan.before.property_bought", "at(in_year(plan.balances.property, %d), 12)", false},
		{"equipment", "Buildings and equipment", "plan.before.equipment_bought", "at(in_year(plan.balances.equipment, %d), 12)", false},
		{"growing", "Growing crops and stock", zero, "at(in_year(plan.balances.growing, %d), 12)", false},
		{"stock", "First stock", "plan.before.stock_bought", "at(in_year(plan.balances.stock, %d), 12)", false},
		{"tax_back", "Sales tax to come back", least("-plan.before.sales_tax_added"), least("-at(in_year(plan.balances.sales_tax_due, %d), 12)"), false},
		{"bank", "In the bank", least("plan.before.net_cash"), least("at(in_year(plan.cash, %d), 12)"), false},
		{"overdraft", "Overdraft", least("-plan.before.net_cash"), least("-at(in_year(plan.cash, %d), 12)"), true},
		{"loans_soon", "Loans to pay back within a year", "plan.before.due_soon", "at(in_year(plan.balances.due_soon, %d), 12)", true},
		{"loans_later", "Loans to pay back later", "plan.before.loans_drawn - plan.before.due_soon", "at(in_year(plan.balances.loans - plan.balances.due_soon, %d), 12)", true},
		{"interest_due", "Interest not yet paid", zero, "at(in_year(plan.balances.interest_due, %d), 12)", true},
		{"sales_tax_due", "Sales tax owed", least("plan.before.sales_tax_added"), least("at(in_year(plan.balances.sales_tax_due, %d), 12)"), true},
		{"tax_due", "Tax set aside", zero, "at(in_year(plan.balances.tax_due, %d), 12)", true},
	}
}

// balance defines the balance sheet at the end of a year; -1 is the opening.
func (p *Declared) balance(year int) {
	prefix := "plan.opening."
	when := func(label say.Text) say.Text { return say.With("%s at the opening", label) }
	equity := "plan.before.introduced + plan.before.grants"
	if year >= 0 {
		prefix = yearName(year, "balance.")
		when = func(label say.Text) say.Text { return say.With("%s at the end of %s", label, p.YearLabel(year)) }
		equity = fmt.Sprintf("at(in_year(plan.balances.equity, %d), 12)", year+1)
	}
	as := " as 1 " + p.Currency
	var assets, owed []string
	for _, s := range p.stands() {
		formula := s.opening
		if year >= 0 {
			formula = strings.ReplaceAll(s.ending, "%d", fmt.Sprint(year+1))
		}
		p.worked(prefix+s.name, when(s.label), "(%s)%s", formula, as)
		if s.owed {
			owed = append(owed, s.name)
		} else {
			assets = append(assets, s.name)
		}
	}
	p.worked(prefix+"assets", when("All that is owned"), "(%s)%s", signed(prefix, assets, nil), as)
	p.worked(prefix+"liabilities", when("All that is owed"), "(%s)%s", signed(prefix, owed, nil), as)
	p.worked(prefix+"equity", when("Owners' equity"), "(%s)%s", equity, as)
	p.worked(prefix+"both", when("Owed and owners' equity"), "(%sliabilities + %[1]sequity)%[2]s", prefix, as)
	p.worked(prefix+"ties", say.With("%s ties", when("The balance sheet")), "abs(%sassets - %[1]sboth) < 0.01 %[2]s", prefix, p.Currency)
}
