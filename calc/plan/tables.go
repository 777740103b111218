package plan

import (
	"fmt"

	"rickyard/calc/enterprise"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
)

// Tables lays the plan out, by the words that chapters use; the months of a
// later year are cash_by_month_year_2 and so on.
func (p *Declared) Tables() map[string]sheet.Table {
	tables := map[string]sheet.Table{
		"cash_by_month": p.cashByMonth(0), "cash_by_year": p.cashByYear(), "profit": p.profitTable(), "balance": p.balanceTable(),
		"profit_to_cash": p.profitToCash(), "loans": p.loanTable(), "depreciation": p.depreciationTable(),
		"measures": p.measures(), "measures_by_year": p.measuresByYear(),
		"labour_calendar": p.labourCalendar(), "land_calendar": p.landCalendar(),
	}
	for year := range p.Years {
		tables[fmt.Sprintf("cash_by_month_year_%d", year+1)] = p.cashByMonth(year)
	}
	return tables
}

// A layout builds a table row by row.
type layout struct {
	*Declared
	sheet.Table
}

func (t *layout) row(row sheet.Row) int {
	t.Rows = append(t.Rows, row)
	return len(t.Rows) - 1
}

func (t *layout) head(label say.Text) { t.row(sheet.Row{Kind: sheet.Head, Label: label}) }

// byYear starts a table with one column a year.
func (p *Declared) byYear(name string, title, head say.Text, opening bool) *layout {
	t := &layout{p, sheet.Table{Name: "plan_" + name, Title: title, Head: head}}
	if opening {
		t.Columns = append(t.Columns, sheet.Column{Label: "Opening", Foots: true})
	}
	for year := range p.Years {
		t.Columns = append(t.Columns, sheet.Column{Label: p.YearLabel(year), Foots: true})
	}
	return t
}

// years adds a row with a figure of each year, if there is such a figure.
func (t *layout) years(kind sheet.RowKind, label say.Text, name string, parts []sheet.Part) (int, bool) {
	if !t.made[yearName(0, name)] {
		return 0, false
	}
	row := sheet.Row{Kind: kind, Label: label, Parts: parts, IfAny: kind == sheet.Line}
	for year := range t.Years {
		row.Cells = append(row.Cells, yearName(year, name))
	}
	return t.row(row), true
}

// flows adds a row for each of some flows that there are.
func (t *layout) flows(names []string, minus bool) []sheet.Part {
	var parts []sheet.Part
	for _, name := range names {
		if at, ok := t.years(sheet.Line, flowLabel(name), name, nil); ok {
			parts = append(parts, sheet.Part{Row: at, Minus: minus})
		}
	}
	return parts
}

func (p *Declared) cashByMonth(year int) sheet.Table {
	t := &layout{p, sheet.Table{Name: fmt.Sprintf("plan_cash_year_%d", year+1), Title: say.With("Cash flow by month, %s", p.YearLabel(year)), Head: "Month by month",
		Months: true, First: p.Start.Of(), From: 12 * year}}
	some := func(names []string) []sheet.Part {
		var parts []sheet.Part
		for _, name := range names {
			parts = append(parts, sheet.Part{Row: t.row(sheet.Row{Kind: sheet.Line, Label: flowLabel(name), Of: "plan.months." + name, IfAny: true})})
		}
		return parts
	}
	t.head("Money in")
	parts := some(moneyIn)
	in := t.row(sheet.Row{Kind: sheet.Sub, Label: "All that comes in", Of: "plan.months.money_in", Parts: parts})
	t.head("Money out")
	parts = some(moneyOut)
	out := t.row(sheet.Row{Kind: sheet.Sub, Label: "All that goes out", Of: "plan.months.money_out", Parts: parts})
	t.row(sheet.Row{Kind: sheet.Total, Label: "Net", Of: "plan.months.net_cash", Parts: []sheet.Part{{Row: in}, {Row: out, Minus: true}}})
	t.row(sheet.Row{Kind: sheet.Line, Label: "In the bank at the end", Of: "plan.cash"})
	return t.Table
}

func (p *Declared) cashByYear() sheet.Table {
	t := p.byYear("cash", "Cash flow by year", "Year by year", false)
	t.head("Money in")
	in, _ := t.years(sheet.Sub, "Money in", "money_in", t.flows(moneyIn, false))
	t.head("Money out")
	out, _ := t.years(sheet.Sub, "Money out", "money_out", t.flows(moneyOut, false))
	t.years(sheet.Total, "Net", "net_cash", []sheet.Part{{Row: in}, {Row: out, Minus: true}})
	t.years(sheet.Line, "In the bank at the year's end", "cash_end", nil)
	return t.Table
}

func (p *Declared) profitTable() sheet.Table {
	t := p.byYear("profit", "Profit and loss by year", "Line", false)
	parts := t.flows([]string{"sales"}, false)
	parts = append(parts, t.flows([]string{"growing_change"}, false)...)
	parts = append(parts, t.flows([]string{"channel_fees", "variable_costs", "stock_used"}, true)...)
	gross, _ := t.years(sheet.Sub, "Gross margin", "gross_margin", parts)
	overheads, _ := t.years(sheet.Sub, "Overheads", "overheads", t.flows(overheadNames, false))
	profit, _ := t.years(sheet.Sub, "Profit before tax", "profit", []sheet.Part{{Row: gross}, {Row: overheads, Minus: true}})
	after := append([]sheet.Part{{Row: profit}}, t.flows([]string{"tax"}, true)...)
	t.years(sheet.Total, "Profit after tax", "profit_after_tax", after)
	return t.Table
}

func (p *Declared) balanceTable() sheet.Table {
	t := p.byYear("balance", "Balance sheet", "Line", true)
	add := func(kind sheet.RowKind, label say.Text, name string, parts []sheet.Part) int {
		row := sheet.Row{Kind: kind, Label: label, Parts: parts, Cells: []string{"plan.opening." + name}, IfAny: kind == sheet.Line && name != "bank"}
		for year := range p.Years {
			row.Cells = append(row.Cells, yearName(year, "balance."+name))
		}
		return t.row(row)
	}
	group := func(owed bool) []sheet.Part {
		var parts []sheet.Part
		for _, s := range p.stands() {
			if s.owed == owed && p.made["plan.opening."+s.name] {
				parts = append(parts, sheet.Part{Row: add(sheet.Line, s.label, s.name, nil)})
			}
		}
		return parts
	}
	t.head("Owned")
	add(sheet.Sub, "All that is owned", "assets", group(false))
	t.head("Owed")
	owed := add(sheet.Sub, "All that is owed", "liabilities", group(true))
	equity := add(sheet.Line, "Owners' equity", "equity", nil)
	add(sheet.Total, "Owed and owners' equity", "both", []sheet.Part{{Row: owed}, {Row: equity}})
	return t.Table
}

// profitToCash shows why the bank does not grow by the profit.
func (p *Declared) profitToCash() sheet.Table {
	t := p.byYear("profit_to_cash", "From profit to money in the bank", "Line", false)
	t.head("Profit, costs without a payment, and other money in")
	in, _ := t.years(sheet.Sub, "Together", "profit_and_received", t.flows(receivedBeside, false))
	t.head("Payments that are not costs")
	out, _ := t.years(sheet.Sub, "Together", "paid_beside", t.flows(paidBeside, false))
	t.years(sheet.Total, "Change in the bank balance", "net_cash", []sheet.Part{{Row: in}, {Row: out, Minus: true}})
	return t.Table
}

func (p *Declared) loanTable() sheet.Table {
	t := p.byYear("loans", "Loans year by year", "Loan", false)
	for i := range p.Sources {
		l := &p.Sources[i]
		if !l.Loan {
			continue
		}
		t.head(say.Own(l.Label))
		for _, part := range []struct {
			name  string
			label say.Text
		}{{"interest", "Interest"}, {"principal", "Paid back"}, {"debt", "Owed at the year's end"}} {
			t.years(sheet.Line, part.label, "loans."+l.ID+"."+part.name, nil)
		}
	}
	return t.Table
}

func (p *Declared) depreciationTable() sheet.Table {
	t := p.byYear("depreciation", "Depreciation by year, and what is left", "Item", false)
	t.Columns = append(t.Columns, sheet.Column{Label: "Book value at the end", Foots: true})
	last := p.Years - 1
	var parts []sheet.Part
	group := ""
	for i := range p.classes {
		c := &p.classes[i]
		if c.group != group {
			group = c.group
			t.head(say.Own(group))
		}
		at, ok := t.years(sheet.Line, say.Own(c.label), "depreciation."+c.name, nil)
		if ok {
			t.Rows[at].Cells = append(t.Rows[at].Cells, yearName(last, "book."+c.name))
			parts = append(parts, sheet.Part{Row: at})
		}
	}
	if at, ok := t.years(sheet.Total, "All", "depreciation", parts); ok {
		t.Rows[at].Cells = append(t.Rows[at].Cells, yearName(last, "balance.equipment"))
	}
	return t.Table
}

const sayMet = "Lenders differ; each threshold's source is with its figure."

func (p *Declared) measures() sheet.Table {
	t := &layout{p, sheet.Table{Name: "plan_measures", Title: "What a lender asks", Head: "Measure", Note: sayMet,
		Columns: []sheet.Column{{Label: "This plan"}, {Label: "Usual"}, {Label: "Verdict", Yes: "met", No: "not met"}}}}
	last := p.Years - 1
	add := func(label say.Text, figure, usual, met string) {
		if !p.made[usual] && !p.defined(usual) {
			usual = ""
		}
		t.row(sheet.Row{Kind: sheet.Line, Label: label, Cells: []string{figure, usual, met}})
	}
	t.head("Money in hand")
	t.row(sheet.Row{Kind: sheet.Line, Label: "Least in the bank (%s)", With: "plan.lowest_cash_when", Cells: []string{"plan.lowest_cash", "", ""}})
	add("Deepest overdraft, at most its limit", "plan.peak_overdraft", "finance.plan.overdraft.limit", "plan.met.overdraft")
	add("Working capital needed", "plan.working_capital", "", "")
	t.head(say.With("In %s", p.YearLabel(last)))
	add("Debt service cover, at least", yearName(last, "debt_service_cover"), "plan.usual.debt_service_cover", "plan.met.debt_service_cover")
	add("Current ratio, at least", yearName(last, "current_ratio"), "plan.usual.current_ratio", "plan.met.current_ratio")
	add("Debt to assets, at most", yearName(last, "debt_to_assets"), "plan.usual.debt_to_assets", "plan.met.debt_to_assets")
	add("Operating profit margin, at least", yearName(last, "operating_margin"), "plan.usual.operating_margin", "plan.met.operating_margin")
	add("Return on assets, at least", yearName(last, "return_on_assets"), "plan.usual.return_on_assets", "plan.met.return_on_assets")
	add("Sales that cover all costs", yearName(last, "break_even_turnover"), "", "")
	t.head("The start-up as an investment")
	add("Net present value, after the household's living", "plan.npv", "", "")
	add("Internal rate of return, after the household's living", "plan.irr", "", "")
	add("Internal rate of return, before the household's living", "plan.irr_before_drawings", "", "")
	add("Payback, before the household's living", "plan.payback_before_drawings", "", "")
	t.head("How much it bears")
	add("Fall of prices, or of yields at full cost, until a payment is missed", "plan.price_fall_to_miss_loan", "plan.usual.fall", "plan.met.fall")
	return t.Table
}

func (p *Declared) measuresByYear() sheet.Table {
	t := p.byYear("measures_by_year", "Ratios by year", "Measure", false)
	for i := range t.Columns {
		t.Columns[i].Foots = false
	}
	t.Columns = append(t.Columns, sheet.Column{Label: "Usual"})
	for _, m := range []struct {
		id    string
		label say.Text
	}{
		{"debt_service_cover", "Debt service cover, at least"}, {"current_ratio", "Current ratio, at least"}, {"debt_to_assets", "Debt to assets, at most"},
		{"operating_margin", "Operating profit margin, at least"}, {"return_on_assets", "Return on assets, at least"},
		{"break_even_turnover", "Sales that cover all costs"}, {"living_turnover", "Sales that also cover the household's living, tax and loan payments"}, {"sales", "Planned sales"},
	} {
		if at, ok := t.years(sheet.Line, m.label, m.id, nil); ok && p.made["plan.usual."+m.id] {
			t.Rows[at].Cells = append(t.Rows[at].Cells, "plan.usual."+m.id)
		}
	}
	return t.Table
}

func (p *Declared) labourCalendar() sheet.Table {
	t := &layout{p, sheet.Table{Name: "plan_labour", Title: say.With("Hours by month and task, %s", p.YearLabel(p.Years-1)), Head: "Task", Months: true}}
	if len(p.tasks) == 0 {
		return t.Table
	}
	var parts []sheet.Part
	enterprise := -1
	for _, task := range p.tasks {
		if task.enterprise != enterprise {
			enterprise = task.enterprise
			t.head(say.Own(p.Enterprises[enterprise].Name))
		}
		parts = append(parts, sheet.Part{Row: t.row(sheet.Row{Kind: sheet.Line, Label: task.label, Of: "plan.labour." + task.name})})
	}
	t.row(sheet.Row{Kind: sheet.Total, Label: "All tasks", Of: "plan.labour.needed", Parts: parts})
	t.row(sheet.Row{Kind: sheet.Line, Label: "What the people have", Of: "plan.labour.had"})
	t.row(sheet.Row{Kind: sheet.Line, Label: "Beyond what they have", Of: "plan.labour.beyond"})
	return t.Table
}

func (p *Declared) landCalendar() sheet.Table {
	t := &layout{p, sheet.Table{Name: "plan_land", Title: "Land held by month", Head: "Land", Months: true,
		Note: "The last column is the highest month and what is free then."}}
	for _, k := range p.Land {
		name := "plan.land." + k.ID
		if !p.made[name+".used"] {
			continue
		}
		t.head(say.Own(k.Label))
		var parts []sheet.Part
		for i := range p.Enterprises {
			e := &p.Enterprises[i]
			for j := range e.Lines {
				l := &e.Lines[j]
				if of := name + ".by." + e.ID + "_" + l.Name; l.Kind == enterprise.Land && p.made[of] {
					parts = append(parts, sheet.Part{Row: t.row(sheet.Row{Kind: sheet.Line, Label: say.Own(e.Name), Of: of})})
				}
			}
		}
		t.row(sheet.Row{Kind: sheet.Sub, Label: "Held", Of: name + ".used", Parts: parts})
		t.row(sheet.Row{Kind: sheet.Line, Label: "Left", Of: name + ".left", Least: true})
	}
	return t.Table
}
