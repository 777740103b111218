package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// Results are a plan worked out in the farm's own case, as figures, tables and
// texts.
type Results struct {
	*Plan
	Inputs *Inputs
	Books  *Books

	graph       *figures.Graph
	definitions []figures.Definition
	facts       map[string]say.Text
	has         map[string]bool // figures defined here
}

// Work compiles a farm's plan on a graph and works it out.
func Work(g *figures.Graph, farm *Farm) *Results {
	p := Compile(g, farm)
	r := &Results{Plan: p, Inputs: p.NewInputs(), Books: p.NewBooks(), graph: g, facts: map[string]say.Text{}, has: map[string]bool{}}
	r.Books.Whole = true
	p.Read(g.Base().Clone(), r.Inputs)
	p.Work(r.Inputs, r.Books)
	r.define()
	return r
}

// Definitions returns the plan's figures, which doc.go lists.
func (r *Results) Definitions() []figures.Definition { return r.definitions }

// Facts returns texts that a chapter may quote, by name: plan.start,
// plan.end, plan.lowest_cash_when, plan.overload.
func (r *Results) Facts() map[string]say.Text { return r.facts }

// add defines a found figure.
func (r *Results) add(d figures.Definition) {
	d.Scope, d.Place = "plan", r.Place
	r.has[d.Name] = true
	r.definitions = append(r.definitions, d)
}

// worked defines a figure by a formula on others.
func (r *Results) worked(name string, label say.Text, formula string, args ...any) {
	r.add(figures.Definition{Name: name, Label: label, Formula: source.Derived(r.Place, fmt.Sprintf(formula, args...)).Whole(), Engine: true})
}

func (r *Results) unit(text string) quantity.Unit { return r.graph.Units.Must(text) }

func (r *Results) money(name string, label, found say.Text, x float64, from ...string) {
	r.add(figures.Definition{Name: name, Label: label, Found: found, From: from, Value: quantity.Quantity{Value: x, Unit: r.graph.Units.Money(), Step: 1}})
}

func (r *Results) series(name string, label, found say.Text, unit quantity.Unit, values []float64, from ...string) {
	r.add(figures.Definition{Name: name, Label: label, Found: found, From: from, Series: values, Value: quantity.Quantity{Unit: unit, Step: 1}})
}

// number defines a figure that may have no answer.
func (r *Results) number(name string, label, found say.Text, unit string, step, x float64, reason say.Text, from ...string) {
	d := figures.Definition{Name: name, Label: label, Found: found, From: from, NoAnswer: reason, Value: quantity.Quantity{Value: x, Step: step}}
	d.Value.Unit = quantity.Unit{Factor: 1}
	if unit != "" {
		d.Value.Unit = r.unit(unit)
	}
	r.add(d)
}

// How figures of the books are found, for readers.
const (
	oldByMonth = "the plan of the whole farm, month by month"
	byYear     = "the months of the plan, added up over the year"
	byBalance  = "the plan's balance sheet at the end of the year"
)

// A oldFlow is a row of the books with the name and label of its figures.
type oldFlow struct {
	row   Row
	name  string
	label say.Text
}

var oldFlows = []oldFlow{
	{Sales, "sales", "Sales"},
	{ChannelFees, "channel_fees", "Selling costs"},
	{VariableCosts, "variable_costs", "Variable costs"},
	{StockUsed, "stock_used", "First stock, used up"},
	{OwnOverheads, "own_overheads", "Overheads of the enterprises"},
	{FarmOverheads, "farm_overheads", "Overheads of the whole farm"},
	{Rent, "rent", "Rent of land"},
	{HiredLabour, "hired_labour", "Hired help"},
	{Depreciation, "depreciation", "Depreciation"},
	{Interest, "interest", "Interest on loans"},
	{OverdraftInterest, "overdraft_interest", "Interest on the overdraft"},
	{Tax, "tax", "Set aside for tax (an estimate)"},
	{Profit, "profit", "Profit before tax"},
	{OffFarm, "off_farm", "Income from off the farm"},
	{Drawings, "drawings", "Household"},
	{Introduced, "introduced", "Savings and gifts"},
	{Grants, "grants", "Grants"},
	{LoansDrawn, "loans_drawn", "Loans received"},
	{Principal, "principal", "Loans paid back"},
	{InterestPaid, "interest_paid", "Interest on loans paid"},
	{PropertyBought, "property_bought", "Property"},
	{EquipmentBought, "equipment_bought", "Buildings and equipment bought"},
	{EquipmentSold, "equipment_sold", "Old equipment sold"},
	{StockBought, "stock_bought", "First stock and plants"},
	{SalesTaxAdded, "sales_tax_added", "Sales tax taken less sales tax paid"},
	{SalesTaxSettled, "sales_tax_settled", "Sales tax settled"},
	{TaxPaid, "tax_paid", "Income tax"},
	{NetCash, "net_cash", "In less out"},
}

// from lists the figures that a row of the books rests on.
func (r *Results) from(row Row) []string {
	var names []string
	each := func(suffix string) {
		for i := range r.Enterprises {
			names = append(names, r.Enterprises[i].ID+"."+suffix)
		}
	}
	sources := func(suffix string, kinds ...string) {
		for _, s := range r.Sources {
			for _, kind := range kinds {
				if s.Kind == kind {
					names = append(names, "finance.sources."+s.ID+"."+suffix)
				}
			}
		}
	}
	loans := func() {
		for _, suffix := range []string{"amount", "rate", "term"} {
			sources(suffix, "loan")
		}
	}
	switch row {
	case Sales:
		each("sales")
	case ChannelFees:
		each("channel_fees")
	case VariableCosts:
		each("variable_costs")
	case OwnOverheads:
		each("own_overheads")
	case FarmOverheads:
		names = []string{"finance.overheads_total"}
	case Rent:
		for _, k := range r.Land {
			names = append(names, "farm.land."+k.ID+".area", "farm.land."+k.ID+".rent")
		}
	case HiredLabour, HoursHired:
		each("hours_by_month")
		for _, p := range r.People {
			names = append(names, "farm.people."+p.ID+".hours")
		}
		if row == HiredLabour {
			names = append(names, "farm.wage", "farm.employment")
		}
	case HoursNeeded:
		each("hours_by_month")
	case Depreciation, EquipmentBought, Equipment:
		each("capital")
		names = append(names, "infrastructure.total")
	case Interest, InterestPaid, Principal, LoansDrawn, Loans:
		loans()
	case OverdraftInterest:
		names = []string{"finance.plan.overdraft.rate"}
	case Drawings:
		names = []string{"finance.plan.drawings"}
	case OffFarm:
		for _, p := range r.People {
			names = append(names, "farm.people."+p.ID+".income")
		}
	case Introduced:
		sources("amount", "savings", "gift", "other")
	case Grants:
		sources("amount", "grant")
	case PropertyBought, Property:
		for _, u := range r.Uses {
			if u.Group == "property" {
				names = append(names, "finance.uses."+u.ID+".amount")
			}
		}
	case StockBought, StockUsed, Stock:
		for _, u := range r.Uses {
			if u.Group == "stock" {
				names = append(names, "finance.uses."+u.ID+".amount")
			}
		}
	case Tax, TaxPaid:
		names = []string{"plan.months.profit", "finance.plan.tax"}
	case Bank:
		names = []string{"plan.months.net_cash"}
	case NetCash, Profit:
		for _, f := range oldFlows {
			switch {
			case row == Profit && (f.row == Sales || f.row >= ChannelFees && f.row <= OverdraftInterest),
				row == NetCash && f.row != NetCash && f.row != Profit && f.row != Depreciation && f.row != StockUsed && f.row != Interest && f.row != Tax:
				if r.any(f.row) {
					names = append(names, "plan.months."+f.name)
				}
			}
		}
	}
	return names
}

// any reports whether a row holds anything in the plan's months.
func (r *Results) any(row Row) bool {
	for _, x := range r.Books.Row(row)[1:] {
		if x != 0 {
			return true
		}
	}
	return false
}

func (r *Results) define() {
	b := r.Books
	money := r.graph.Units.Money()
	r.facts["plan.start"] = r.Start.Name()
	r.facts["plan.end"] = r.month(r.columns - 1).Name()
	r.usual()
	for _, f := range oldFlows {
		if r.any(f.row) || f.row == Sales || f.row == Profit || f.row == NetCash {
			r.series("plan.months."+f.name, say.With("%s by month", f.label), oldByMonth, money, b.Row(f.row)[1:], r.from(f.row)...)
			for year := range r.Years {
				r.money(oldYearName(year, f.name), say.With("%s in %s", f.label, r.YearLabel(year)), byYear, b.Year(f.row, year), "plan.months."+f.name)
			}
		}
	}
	months := func(names []string) string {
		terms := []string{"0 * plan.months.sales"}
		for _, name := range names {
			if name = "plan.months." + name; r.has[name] {
				terms = append(terms, name)
			}
		}
		return strings.Join(terms[min(1, len(terms)-1):], " + ")
	}
	r.worked("plan.months.money_in", "Money in by month", "%s", months(oldMoneyIn))
	r.worked("plan.months.money_out", "Money out by month", "%s", months(oldMoneyOut))
	r.series("plan.cash", "In the bank at the end of the month", oldByMonth, money, b.Row(Bank)[1:], r.from(Bank)...)
	for year := range r.Years {
		r.year(year)
	}
	r.balance(-1)
	for year := range r.Years {
		r.balance(year)
	}
	r.lender()
	r.worth()
	r.labour()
	r.land()
	r.schedules()
}

func oldYearName(year int, name string) string { return fmt.Sprintf("plan.year%d.%s", year+1, name) }

// year defines the sums of a year's profit and cash.
func (r *Results) year(year int) {
	in := func(label say.Text) say.Text { return say.With("%s in %s", label, r.YearLabel(year)) }
	if r.any(Growing) {
		change := r.Books.End(Growing, year) - r.Books.End(Growing, year-1)
		r.money(oldYearName(year, "growing_change"), in("Growth of crops and stock on hand"), byYear, change)
	}
	r.worked(oldYearName(year, "gross_margin"), in("Gross margin"), "%s", r.sum(year, []string{"sales", "growing_change"}, []string{"channel_fees", "variable_costs", "stock_used"}))
	r.worked(oldYearName(year, "overheads"), in("Overheads"), "%s", r.sum(year, nil, oldOverheadNames))
	r.worked(oldYearName(year, "profit_after_tax"), in("Profit after tax"), "%s", r.sum(year, []string{"profit"}, []string{"tax"}))
	r.worked(oldYearName(year, "money_in"), in("Money in"), "%s", r.sum(year, oldMoneyIn, nil))
	r.worked(oldYearName(year, "money_out"), in("Money out"), "%s", r.sum(year, nil, oldMoneyOut))
	r.worked(oldYearName(year, "profit_and_received"), in("Profit, costs not paid, and what else came in"), "%s", r.sum(year, oldReceivedBeside, nil))
	r.worked(oldYearName(year, "paid_beside"), in("Paid out beside the costs"), "%s", r.sum(year, nil, oldPaidBeside))
	r.money(oldYearName(year, "cash_end"), say.With("In the bank at the end of %s", r.YearLabel(year)), byBalance, r.Books.End(Bank, year), "plan.cash")
	before := "plan.opening."
	if year > 0 {
		before = oldYearName(year-1, "balance.")
	}
	r.money(oldYearName(year, "equity_change"), in("Growth of the owners' equity"), byBalance, r.Books.End(Equity, year)-r.Books.End(Equity, year-1),
		oldYearName(year, "balance.equity"), before+"equity")
}

var (
	oldOverheadNames = []string{"own_overheads", "farm_overheads", "rent", "hired_labour", "depreciation", "interest", "overdraft_interest"}
	oldMoneyIn       = []string{"sales", "off_farm", "introduced", "grants", "loans_drawn", "equipment_sold", "sales_tax_added"}
	oldMoneyOut      = []string{"channel_fees", "variable_costs", "own_overheads", "farm_overheads", "rent", "hired_labour",
		"overdraft_interest", "interest_paid", "principal", "property_bought", "equipment_bought", "stock_bought", "sales_tax_settled", "tax_paid", "drawings"}
)

// Profit becomes money in the bank by these.
var (
	oldReceivedBeside = []string{"profit", "depreciation", "stock_used", "interest", "off_farm", "introduced", "grants", "loans_drawn", "equipment_sold", "sales_tax_added"}
	oldPaidBeside     = []string{"interest_paid", "principal", "property_bought", "equipment_bought", "stock_bought", "sales_tax_settled", "tax_paid", "drawings", "growing_change"}
)

// sum writes the formula that adds those of a year's figures that there are,
// and takes others off; with nothing to add, it is the sum of the others.
func (r *Results) sum(year int, plus, minus []string) string {
	var b strings.Builder
	sign := " - "
	if plus == nil {
		plus, minus = minus, nil
	}
	for _, name := range plus {
		if full := oldYearName(year, name); r.has[full] {
			if b.Len() > 0 {
				b.WriteString(" + ")
			}
			b.WriteString(full)
		}
	}
	if b.Len() == 0 {
		b.WriteString("0 " + r.Currency)
	}
	for _, name := range minus {
		if full := oldYearName(year, name); r.has[full] {
			b.WriteString(sign + full)
		}
	}
	return b.String() + " as 1 " + r.Currency
}

// A oldStand is a line of the balance sheet.
type oldStand struct {
	name  string
	label say.Text
	value func(b *Books, column int) float64
	row   Row // that it rests on
	owed  bool
}

func rowOf(r Row) func(b *Books, column int) float64 {
	return func(b *Books, column int) float64 { return b.Row(r)[column] }
}

func positive(r Row, sign float64) func(b *Books, column int) float64 {
	return func(b *Books, column int) float64 { return math.Max(0, sign*b.Row(r)[column]) }
}

var oldStands = []oldStand{
	{"property", "Property", rowOf(Property), Property, false},
	{"equipment", "Buildings and equipment", rowOf(Equipment), Equipment, false},
	{"growing", "Growing crops and stock", rowOf(Growing), VariableCosts, false},
	{"stock", "First stock", rowOf(Stock), Stock, false},
	{"tax_back", "Sales tax to come back", positive(SalesTaxDue, -1), SalesTaxDue, false},
	{"bank", "In the bank", positive(Bank, 1), Bank, false},
	{"overdraft", "Overdraft", positive(Bank, -1), Bank, true},
	{"loans_soon", "Loans to pay back within a year", rowOf(DueSoon), Loans, true},
	{"loans_later", "Loans to pay back later", func(b *Books, c int) float64 { return b.Row(Loans)[c] - b.Row(DueSoon)[c] }, Loans, true},
	{"interest_due", "Interest not yet paid", rowOf(Accrued), Interest, true},
	{"sales_tax_due", "Sales tax owed", positive(SalesTaxDue, 1), SalesTaxDue, true},
	{"tax_due", "Tax set aside", rowOf(TaxDue), Tax, true},
}

// balance defines the balance sheet at the end of a year; -1 is the opening.
func (r *Results) balance(year int) {
	column := 12 * (year + 1)
	prefix := "plan.opening."
	when := func(label say.Text) say.Text { return say.With("%s at the opening", label) }
	if year >= 0 {
		prefix = oldYearName(year, "balance.")
		when = func(label say.Text) say.Text { return say.With("%s at the end of %s", label, r.YearLabel(year)) }
	}
	var assets, owed []string
	for _, s := range oldStands {
		if !r.stands(s) {
			continue
		}
		r.money(prefix+s.name, when(s.label), byBalance, s.value(r.Books, column), r.from(s.row)...)
		if s.owed {
			owed = append(owed, prefix+s.name)
		} else {
			assets = append(assets, prefix+s.name)
		}
	}
	zero := "0 " + r.Currency
	join := func(names []string) string {
		if len(names) == 0 {
			return zero
		}
		return strings.Join(names, " + ")
	}
	r.worked(prefix+"assets", when("All that is owned"), "(%s) as 1 %s", join(assets), r.Currency)
	r.worked(prefix+"liabilities", when("All that is owed"), "(%s) as 1 %s", join(owed), r.Currency)
	r.money(prefix+"equity", when("Owners' equity"), "what the owners put in, and profit after tax, less what the household took", r.Books.Row(Equity)[column], prefix+"assets", prefix+"liabilities")
	r.worked(prefix+"both", when("Owed and owners' equity"), "(%sliabilities + %[1]sequity) as 1 %[2]s", prefix, r.Currency)
	r.worked(prefix+"ties", say.With("%s ties", when("The balance sheet")), "abs(%sassets - %[1]sboth) < 0.01 %[2]s", prefix, r.Currency)
}

// oldStands reports whether a line of the balance sheet ever holds anything.
func (r *Results) stands(s oldStand) bool {
	if s.name == "bank" {
		return true
	}
	for year := -1; year < r.Years; year++ {
		if math.Abs(s.value(r.Books, 12*(year+1))) > 0.005 {
			return true
		}
	}
	return false
}

// usual defines the thresholds.
func (r *Results) usual() {
	for _, t := range Thresholds {
		name := "finance.plan.usual." + t.ID
		if r.graph.Lookup(name) != nil {
			r.worked("plan.usual."+t.ID, t.Label, "%s", name)
			continue
		}
		unit, step, value := quantity.Unit{Factor: 1}, 0.01, t.Value
		if t.Share {
			unit, step = r.unit("%"), 1
		}
		r.add(figures.Definition{Name: "plan.usual." + t.ID, Label: t.Label, Value: quantity.Quantity{Value: value, Unit: unit, Step: step}, Source: t.Source, AsOf: t.AsOf})
	}
}

// met defines whether a measure keeps its threshold.
func (r *Results) met(measure, figure, threshold string, label say.Text, most bool) {
	sign := ">="
	if most {
		sign = "<="
	}
	r.worked("plan.met."+measure, label, "%s %s %s", figure, sign, threshold)
}

// lender defines what a lender asks for.
func (r *Results) lender() {
	b := r.Books
	bank := b.Row(Bank)
	low := 1
	for c := 1; c < r.columns; c++ {
		if bank[c] < bank[low]-0.005 {
			low = c
		}
	}
	const lowest = "the least of all month ends of the plan"
	r.money("plan.lowest_cash", "Least in the bank at a month's end", lowest, bank[low], "plan.cash")
	r.number("plan.lowest_cash_month", "Month of the plan with the least in the bank", lowest, "", 1, float64(low), "", "plan.cash")
	r.facts["plan.lowest_cash_when"] = r.month(low).Name()
	r.money("plan.peak_overdraft", "Deepest overdraft", lowest, math.Max(0, -bank[low]), "plan.cash")
	limit := r.graph.Lookup("finance.plan.overdraft.limit")
	if limit != nil {
		r.worked("plan.met.overdraft", "The overdraft is within its limit", "plan.peak_overdraft <= finance.plan.overdraft.limit")
	} else {
		r.worked("plan.met.overdraft", "The bank is never overdrawn", "plan.lowest_cash >= 0 %s", r.Currency)
	}
	sum, deepest := 0.0, 0.0
	for c := 1; c < r.columns; c++ {
		row := func(x Row) float64 { return b.Row(x)[c] }
		sum += row(NetCash) - row(Introduced) - row(Grants) - row(LoansDrawn) + row(PropertyBought) + row(EquipmentBought) - row(EquipmentSold) + row(StockBought)
		deepest = math.Min(deepest, sum)
	}
	r.money("plan.working_capital", "Working capital needed", "the deepest point of what runs in and out, household, tax and loan payments included, before things are bought and without money put in", -deepest, "plan.months.net_cash")

	year := func(y int) { r.ratios(y) }
	for y := range r.Years {
		year(y)
	}
	last := r.Years - 1
	for _, m := range []struct {
		id    string
		label say.Text
	}{
		{"debt_service_cover", "Loans are covered in %s"}, {"current_ratio", "Bills of a year are covered at the end of %s"},
		{"operating_margin", "Operating profit margin in %s"}, {"return_on_assets", "Return on assets in %s"},
	} {
		if r.answered(oldYearName(last, m.id)) {
			r.met(m.id, oldYearName(last, m.id), "plan.usual."+m.id, say.With(m.label, r.YearLabel(last)), false)
		}
	}
	r.met("debt_to_assets", oldYearName(last, "debt_to_assets"), "plan.usual.debt_to_assets", say.With("Debt to assets at the end of %s", r.YearLabel(last)), true)
	r.worked("plan.met.balance", "Every balance sheet ties", "%s", r.allTie())
	r.fall()
}

func (r *Results) answered(name string) bool {
	for i := range r.definitions {
		if r.definitions[i].Name == name {
			return r.definitions[i].NoAnswer == ""
		}
	}
	return false
}

func (r *Results) allTie() string {
	names := []string{"plan.opening.ties"}
	for year := range r.Years {
		names = append(names, oldYearName(year, "balance.ties"))
	}
	return strings.Join(names, " and ")
}

func (r *Results) ratios(y int) {
	b := r.Books
	when := func(label say.Text) say.Text { return say.With("%s in %s", label, r.YearLabel(y)) }
	end := func(label say.Text) say.Text { return say.With("%s at the end of %s", label, r.YearLabel(y)) }
	sum := func(x Row) float64 { return b.Year(x, y) }
	in := func(names ...string) []string {
		for i := range names {
			names[i] = oldYearName(y, names[i])
		}
		return names
	}
	interest := sum(Interest) + sum(OverdraftInterest)
	put := func(name string, label, found say.Text, unit string, step float64, from []string, reason say.Text) func(x float64, ok bool) {
		return func(x float64, ok bool) {
			if ok {
				reason = ""
			}
			r.number(oldYearName(y, name), label, found, unit, step, x, reason, from...)
		}
	}
	put("debt_service_cover", when("Debt service cover"),
		"(profit + income from off the farm + depreciation + interest on loans - tax - household) / (loans paid back + interest on loans)", "", 0.01,
		in("profit", "off_farm", "depreciation", "interest", "tax", "drawings", "principal"), "no loan is paid in this year")(
		TermDebtCover(sum(Profit), sum(OffFarm), sum(Depreciation), sum(Interest), sum(Tax), sum(Drawings), sum(Principal)))
	current, soon := b.Current(12 * (y + 1))
	put("current_ratio", end("Current ratio"), "money and stock over what must be paid within a year", "", 0.01,
		in("balance.bank", "balance.growing", "balance.loans_soon", "balance.tax_due"), "nothing must be paid within a year")(CurrentRatio(current, soon))
	put("debt_to_assets", end("Debt to assets"), "all that is owed over all that is owned", "%", 1,
		in("balance.liabilities", "balance.assets"), "nothing is owned")(DebtToAssets(b.Liabilities(12*(y+1)), b.Assets(12*(y+1))))
	put("operating_margin", when("Operating profit margin"), "(profit + interest - household) / sales", "%", 0.1,
		in("profit", "interest", "overdraft_interest", "drawings", "sales"), "nothing is sold in this year")(OperatingMargin(sum(Profit), interest, sum(Drawings), sum(Sales)))
	put("return_on_assets", when("Return on assets"), "(profit + interest - household) / all that is owned at its end", "%", 0.1,
		in("profit", "interest", "overdraft_interest", "drawings", "balance.assets"), "nothing is owned")(ReturnOnAssets(sum(Profit), interest, sum(Drawings), b.Assets(12*(y+1))))
	change := b.End(Growing, y) - b.End(Growing, y-1)
	variable := sum(ChannelFees) + sum(VariableCosts) + sum(StockUsed) - change
	fixed := sum(Sales) - variable - sum(Profit)
	turnover := func(name string, label say.Text, fixed float64, what say.Text, from []string) {
		x, ok := BreakEvenTurnover(fixed, variable, sum(Sales))
		d := figures.Definition{Name: oldYearName(y, name), Label: when(label), Found: say.With("%s / (1 - variable costs / sales)", what), From: from,
			Value: quantity.Quantity{Value: x, Unit: r.graph.Units.Money(), Step: 1}}
		if !ok {
			d.NoAnswer = "what is sold does not cover its variable costs"
			if sum(Sales) == 0 {
				d.NoAnswer = "nothing is sold in this year"
			}
		}
		r.add(d)
	}
	turnover("break_even_turnover", "Turnover at which nothing is lost", fixed, "overheads", in("overheads", "variable_costs", "channel_fees", "sales"))
	turnover("living_turnover", "Turnover that also pays household, tax and loan", fixed-sum(Depreciation)+sum(Drawings)-sum(OffFarm)+sum(Tax)+sum(Principal),
		"(overheads without depreciation + household + tax + loans paid back - income from off the farm)", in("overheads", "drawings", "tax", "principal", "off_farm", "variable_costs", "sales"))
}

// Short returns the first month in which the bank is overdrawn by more than a
// limit, and whether there is one.
func (b *Books) Short(limit float64) (Month, bool) {
	for c, x := range b.Row(Bank) {
		if x < -limit-0.005 {
			return b.plan.month(max(1, c)), true
		}
	}
	return 0, false
}

// ScaleSales multiplies what is sold by a factor, in every year: takings, and
// what is reckoned by them, which are the channels' fees and hours.
func (in *Inputs) ScaleSales(factor float64) {
	p := in.plan
	for v := range p.vintages {
		for i := range p.enterprises {
			for k := range p.enterprises[i].lines {
				l := &p.enterprises[i].lines[k]
				if l.kind != enterprise.Sale {
					continue
				}
				for _, slot := range []int{l.amount, l.fees, l.selling} {
					if slot >= 0 {
						in.values[v*len(p.reads)+slot] *= factor
					}
				}
			}
		}
	}
}

// fall searches how far prices may fall before a loan can't be paid.
func (r *Results) fall() {
	limit := math.Max(0, r.Inputs.at(0, r.overdraftLimit))
	in, b := r.NewInputs(), r.NewBooks()
	short := func(fall float64) bool {
		in.CopyFrom(r.Inputs)
		in.ScaleSales(1 - fall)
		r.Work(in, b)
		_, short := b.Short(limit)
		return short
	}
	const found = "the least fall, of all prices in all years, at which the bank is overdrawn beyond its limit in some month and the next payment can't be made; found by halving"
	var reason say.Text
	low, high := 0.0, 1.0
	switch {
	case short(0):
		when, _ := r.Books.Short(limit)
		reason = say.With("the money runs out in %s as the plan oldStands", when.Name())
	case !short(1):
		reason = "the money lasts even if nothing is sold"
	default:
		for range 40 {
			if m := (low + high) / 2; short(m) {
				high = m
			} else {
				low = m
			}
		}
	}
	from := r.from(Sales)
	r.number("plan.price_fall_to_miss_loan", "Fall of prices, or of yields at full cost, until a payment is missed", found, "%", 0.1, low, reason, append(from, "plan.cash")...)
	if reason == "" {
		r.met("fall", "plan.price_fall_to_miss_loan", "plan.usual.fall", "Prices or yields may fall by so much", false)
	}
}

// Investment returns the oldFlows of the start-up as an investment: what is bought
// at the opening, then what each year leaves before money put in or borrowed
// and before what that costs, household and tax paid; the last year with all
// that is owned then at book value. Without the household, its drawings less
// income from off the farm are left out.
func (b *Books) Investment(household bool) []float64 {
	p := b.plan
	row := func(r Row, c int) float64 { return b.Row(r)[c] }
	oldFlow := func(c int) float64 {
		x := row(NetCash, c) - row(Introduced, c) - row(LoansDrawn, c) + row(Principal, c) + row(InterestPaid, c) + row(OverdraftInterest, c)
		if !household {
			x += row(Drawings, c) - row(OffFarm, c)
		}
		return x
	}
	oldFlows := []float64{oldFlow(0)}
	for year := range p.Years {
		sum := 0.0
		for m := range 12 {
			sum += oldFlow(1 + 12*year + m)
		}
		oldFlows = append(oldFlows, sum)
	}
	last := p.columns - 1
	for _, r := range []Row{Property, Equipment, Stock, Growing} {
		oldFlows[p.Years] += row(r, last)
	}
	oldFlows[p.Years] -= row(SalesTaxDue, last) + row(TaxDue, last)
	return oldFlows
}

// worth defines what the start-up is worth as an investment.
func (r *Results) worth() {
	rate := float64(r.Inputs.at(0, r.discount) * yearSeconds)
	from := []string{"plan.months.net_cash", "plan.months.principal", "plan.months.interest_paid", "plan.months.introduced", "plan.months.loans_drawn"}
	last := oldYearName(r.Years-1, "balance.assets")
	for _, way := range []struct {
		suffix    string
		what      say.Text
		household bool
	}{{"", "after the household's living", true}, {"_before_drawings", "before the household's living", false}} {
		oldFlows := r.Books.Investment(way.household)
		what := say.With("yearly money of the farm before financing, %s, with all that is owned at the end of %s at book value", way.what, r.YearLabel(r.Years-1))
		r.money("plan.npv"+way.suffix, say.With("Net present value of the start-up, %s", way.what), say.With("%s, discounted at the rate of finance.plan.discount", what), NetPresentValue(rate, oldFlows), append(from, last, "finance.plan.discount")...)
		x, reason := returnOf(oldFlows)
		r.number("plan.irr"+way.suffix, say.With("Internal rate of return of the start-up, %s", way.what), say.With("the yearly rate at which that is worth nothing today: %s", what), "%", 0.1, x, reason, append(from, last)...)
		bare := append([]float64{}, oldFlows...)
		bare[r.Years] -= r.rest()
		years, ok := Payback(bare)
		reason = ""
		if !ok {
			reason = say.With("it is not back within the %s years of the plan", r.Years)
		} else if years == 0 {
			reason = "nothing is paid out first"
		}
		r.number("plan.payback"+way.suffix, say.With("Years until the start-up's money is back, %s", way.what),
			say.With("yearly money of the farm before financing, %s, added up, without what is owned", way.what), "year", 0.1, years*yearSeconds, reason, from...)
	}
}

// rest is what the last oldFlow of Investment holds of book values.
func (r *Results) rest() float64 {
	last := r.columns - 1
	sum := -r.Books.Row(SalesTaxDue)[last] - r.Books.Row(TaxDue)[last]
	for _, x := range []Row{Property, Equipment, Stock, Growing} {
		sum += r.Books.Row(x)[last]
	}
	return sum
}

// returnOf gives the internal rate of return, or the reason why there is none.
func returnOf(oldFlows []float64) (float64, say.Text) {
	rates := InternalRates(oldFlows)
	switch len(rates) {
	case 0:
		in, out := false, false
		for _, x := range oldFlows {
			in, out = in || x > 0, out || x < 0
		}
		switch {
		case !out:
			return 0, "no money goes out, so there is no rate"
		case !in:
			return 0, "no money ever comes in, so there is no rate"
		}
		return 0, "at no rate is it worth nothing today"
	case 1:
		return rates[0], ""
	}
	var texts say.Text
	for _, x := range rates {
		text := say.With("%s %%", say.Number(100*x, 1))
		if texts != "" {
			text = say.With("%s, %s", texts, text)
		}
		texts = text
	}
	return 0, say.With("there are several such rates (%s), because money goes in and out more than once; look at the net present value", texts)
}

// oldMostNamed is how many overfull months the text of plan.overload names.
const oldMostNamed = 5

// labour defines hours of the plan's months and the calendar of a full year.
func (r *Results) labour() {
	hour := r.unit("h")
	b := r.Books
	if !r.any(HoursNeeded) {
		return
	}
	r.series("plan.hours_needed", "Hours of all tasks by month", oldByMonth, hour, b.Row(HoursNeeded)[1:], r.from(HoursNeeded)...)
	r.series("plan.hours_had", "Hours that the people have by month", oldByMonth, hour, b.Row(HoursHad)[1:], r.from(HoursHired)...)
	r.series("plan.hours_hired", "Hours beyond theirs by month", oldByMonth, hour, b.Row(HoursHired)[1:], "plan.hours_needed", "plan.hours_had")
	for year := range r.Years {
		r.number(oldYearName(year, "hours"), say.With("Hours of all tasks in %s", r.YearLabel(year)), byYear, "h", 1, b.Year(HoursNeeded, year), "", "plan.hours_needed")
		r.number(oldYearName(year, "hours_hired"), say.With("Hours beyond the people's in %s", r.YearLabel(year)), byYear, "h", 1, b.Year(HoursHired, year), "", "plan.hours_hired")
	}
	// The calendar of the last year, January first.
	last := 12 * (r.Years - 1)
	calendar := func(at func(column int) float64) []float64 {
		out := make([]float64, 12)
		for m := range 12 {
			out[r.calendar(last+m+1)] = at(last + m + 1)
		}
		return out
	}
	const found = "the last year of the plan"
	var tasks []string
	for i, t := range r.tasks {
		s := r.Enterprises[t.enterprise].Spec
		name := "plan.labour." + t.name
		r.series(name, say.With("%s: %s", s.Name, say.Mid(t.label)), found, hour, calendar(func(c int) float64 { return b.tasks[i*r.columns+c] }), s.ID+".hours_by_month")
		tasks = append(tasks, name)
	}
	r.worked("plan.labour.needed", "All tasks", "%s", strings.Join(tasks, " + "))
	r.series("plan.labour.had", "What the people have", found, hour, calendar(func(c int) float64 { return b.Row(HoursHad)[c] }), r.from(HoursHired)...)
	r.worked("plan.labour.beyond", "Beyond what they have", "max(plan.labour.needed - plan.labour.had, 0 h)")
	r.worked("plan.labour.free", "Free", "max(plan.labour.had - plan.labour.needed, 0 h)")
	worst, over := 0, 0
	var columns []int
	for c := 1; c < r.columns; c++ {
		beyond := b.Row(HoursHired)[c]
		if beyond <= 0 {
			continue
		}
		over++
		if worst == 0 || beyond > b.Row(HoursHired)[worst] {
			worst = c
		}
		columns = append(columns, c)
	}
	// The worst ones are named, in the order of the calendar.
	hired := b.Row(HoursHired)
	slices.SortStableFunc(columns, func(a, b int) int { return cmp.Compare(hired[b], hired[a]) })
	columns = columns[:min(len(columns), oldMostNamed)]
	slices.Sort(columns)
	var overload say.Text
	for _, c := range columns {
		text := say.With("%s (%s h too many; the largest task is %s)", r.month(c).Name(), say.Number(hired[c]/3600, 0), r.largest(c))
		if overload != "" {
			text = say.With("%s; %s", overload, text)
		}
		overload = text
	}
	r.number("plan.months_over", "Months in which the work is more than the people's hours", "the months of the plan counted", "", 1, float64(over), "", "plan.hours_hired")
	r.worked("plan.met.labour", "The people can do all the work themselves", "plan.months_over is 0")
	r.facts["plan.overload"] = "no month"
	if worst > 0 {
		r.number("plan.most_over", "Hours too many in the worst month", "the greatest of the months of the plan", "h", 1, b.Row(HoursHired)[worst], "", "plan.hours_hired")
		r.facts["plan.overload"] = overload
		r.facts["plan.most_over_when"] = r.month(worst).Name()
		r.facts["plan.most_over_task"] = r.largest(worst)
	}
}

// largest names the task that takes most time in a column.
func (r *Results) largest(column int) say.Text {
	most, at := 0.0, -1
	for i := range r.tasks {
		if x := r.Books.tasks[i*r.columns+column]; x > most {
			most, at = x, i
		}
	}
	if at < 0 {
		return ""
	}
	t := r.tasks[at]
	return say.With("%s, %s", say.Mid(t.label), say.Mid(r.Enterprises[t.enterprise].Name))
}

// land defines who holds which land when, in a full year at the plan's scale.
func (r *Results) land() {
	for _, k := range r.Land {
		area := "farm.land." + k.ID + ".area"
		if r.graph.Lookup(area) == nil {
			continue
		}
		var holders []string
		for i := range r.Enterprises {
			e := &r.Enterprises[i]
			for j := range e.Lines {
				l := &e.Lines[j]
				of := e.ID + "." + l.Name + ".by_month"
				if l.Kind == enterprise.Land && l.Use.Name == k.ID && r.graph.Lookup(of) != nil {
					name := "plan.land." + k.ID + ".by." + e.ID + "_" + l.Name
					r.worked(name, say.With("%s held by %s", k.Label, say.Mid(e.Name)), "%s as %s", of, r.graph.Lookup(area).Unit)
					holders = append(holders, name)
				}
			}
		}
		if len(holders) == 0 {
			continue
		}
		name := "plan.land." + k.ID
		unit := r.graph.Lookup(area).Unit.String()
		r.worked(name+".used", say.With("%s held", k.Label), "(%s) as %s", strings.Join(holders, " + "), unit)
		r.worked(name+".left", say.With("%s left", k.Label), "%s - %s.used", area, name)
		r.worked(name+".most", say.With("%s held in the fullest month", k.Label), "max(%s.used)", name)
		r.worked(name+".enough", say.With("%s is promised only once", k.Label), "%s.most <= %s", name, area)
	}
}

// schedules defines the loans' and the assets' years.
func (r *Results) schedules() {
	b, n := r.Books, r.columns
	for i := range r.loans {
		l := &r.loans[i]
		of := func(part int) []float64 { return b.loans[(3*i+part)*n:][:n] }
		from := []string{"finance.sources." + l.ID + ".amount", "finance.sources." + l.ID + ".rate", "finance.sources." + l.ID + ".term"}
		for year := range r.Years {
			name := oldYearName(year, "loans."+l.ID)
			interest, principal := 0.0, 0.0
			for c := 12*year + 1; c <= 12*year+12; c++ {
				interest += of(0)[c]
				principal += of(1)[c]
			}
			const found = "the loan's schedule, payments at the end of each period"
			r.money(name+".interest", say.With("%s, interest in %s", l.Label, r.YearLabel(year)), found, interest, from...)
			r.money(name+".principal", say.With("%s, paid back in %s", l.Label, r.YearLabel(year)), found, principal, from...)
			r.money(name+".debt", say.With("%s, owed at the end of %s", l.Label, r.YearLabel(year)), found, of(2)[12*year+12], from...)
		}
	}
	for i := range r.classes {
		c := &r.classes[i]
		const found = "the depreciation schedule"
		from := []string{c.name + ".number", c.name + ".each", c.name + ".cost", c.name + ".life", c.name + ".residual"}
		if use, ok := strings.CutPrefix(c.name, "uses."); ok {
			from = []string{"finance.uses." + use + ".amount", "finance.uses." + use + ".life"}
		}
		for year := range r.Years {
			r.money(oldYearName(year, "depreciation."+c.name), say.With("%s, depreciation in %s", c.label, r.YearLabel(year)), found, b.worn[i*r.Years+year], from...)
		}
		r.money(oldYearName(r.Years-1, "book."+c.name), say.With("%s, book value at the end of %s", c.label, r.YearLabel(r.Years-1)), found, b.left[i*r.Years+r.Years-1], from...)
	}
}
