package enterprise

import (
	"rickyard/calc/say"
	"rickyard/calc/sheet"
)

// A tableMaker adds rows and remembers where they stand.
type tableMaker struct{ sheet.Table }

func (t *tableMaker) add(row sheet.Row) int {
	t.Rows = append(t.Rows, row)
	return len(t.Rows) - 1
}

func (t *tableMaker) head(label say.Text) { t.add(sheet.Row{Kind: sheet.Head, Label: label}) }

func parts(rows ...int) []sheet.Part {
	parts := make([]sheet.Part, len(rows))
	for i, row := range rows {
		parts[i].Row = row
	}
	return parts
}

func less(from, what int) []sheet.Part { return []sheet.Part{{Row: from}, {Row: what, Minus: true}} }

// lines calls visit with each line of a kind and its figure's full name.
func (s *Spec) lines(kind LineKind, visit func(l *Line, name string)) {
	for i := range s.Lines {
		if l := &s.Lines[i]; l.Kind == kind {
			visit(l, s.ID+"."+l.Name)
		}
	}
}

// Budget is the enterprise's budget for one full year: sales, variable costs,
// gross margin, overheads, net margin.
func Budget(s *Spec) sheet.Table {
	t := tableMaker{sheet.Table{
		Name: s.ID + "_budget", Title: say.With("%s: the budget of one full year", s.Name), Head: "Line", Lines: true,
		Columns: []sheet.Column{{Label: "Sold"}, {Label: "Price"}, {Label: "Amount", Foots: true}, {Label: "of sales", Share: true}},
	}}
	amount := func(label say.Text, figure string) int {
		return t.add(sheet.Row{Kind: sheet.Line, Label: label, Cells: []string{"", "", figure}})
	}
	sum := func(kind sheet.RowKind, label say.Text, figure string, of []sheet.Part) int {
		return t.add(sheet.Row{Kind: kind, Label: label, Cells: []string{"", "", s.ID + "." + figure}, Parts: of})
	}
	t.head("Sales")
	var rows []int
	s.lines(Sale, func(l *Line, name string) {
		rows = append(rows, t.add(sheet.Row{Kind: sheet.Line, Label: say.Own(l.Label), Cells: []string{name, name + ".price", name + ".takings"}}))
	})
	sales := sum(sheet.Sub, "Sales", "sales", parts(rows...))
	t.Rows[sales].Whole = true

	t.head("Variable costs")
	rows = nil
	s.lines(Cost, func(l *Line, name string) { rows = append(rows, amount(say.Own(l.Label), name)) })
	if s.hasFees() {
		rows = append(rows, amount("Selling costs of the channels", s.ID+".channel_fees"))
	}
	costs := sum(sheet.Sub, "Variable costs", "variable_costs", parts(rows...))
	gross := sum(sheet.Sub, "Gross margin", "gross_margin", less(sales, costs))

	t.head("Overheads")
	rows = nil
	s.lines(Overhead, func(l *Line, name string) { rows = append(rows, amount(say.Own(l.Label), name)) })
	s.lines(Capital, func(l *Line, name string) {
		rows = append(rows, amount(say.With("%s: depreciation", l.Label), name+".yearly"))
	})
	if s.has(Land) {
		rows = append(rows, amount("Rent of land", s.ID+".land_charge"))
	}
	rows = append(rows, amount("Share of the farm's overheads", s.ID+".shared_overheads"))
	overheads := sum(sheet.Sub, "Overheads", "overheads", parts(rows...))
	sum(sheet.Total, "Net margin", "net_margin", less(gross, overheads))
	return t.Table
}

func (s *Spec) has(kind LineKind) bool {
	found := false
	s.lines(kind, func(*Line, string) { found = true })
	return found
}

func (s *Spec) hasFees() bool {
	found := false
	s.lines(Sale, func(l *Line, _ string) { found = found || len(l.Through) > 0 })
	return found
}

// HoursByMonth is the enterprise's labour by task and month.
func HoursByMonth(s *Spec) sheet.Table {
	t := tableMaker{sheet.Table{Name: s.ID + "_hours", Title: say.With("%s: hours by task and month", s.Name), Head: "Task", Months: true}}
	var rows []int
	s.lines(Hours, func(l *Line, name string) {
		rows = append(rows, t.add(sheet.Row{Kind: sheet.Line, Label: say.Own(l.Label), Of: name + ".by_month"}))
	})
	s.lines(Sale, func(l *Line, name string) {
		if len(l.Through) > 0 {
			rows = append(rows, t.add(sheet.Row{Kind: sheet.Line, Label: say.With("Selling: %s", say.Mid(l.Label)), Of: name + ".selling_by_month"}))
		}
	})
	t.add(sheet.Row{Kind: sheet.Total, Label: "All tasks", Of: s.ID + ".hours_by_month", Parts: parts(rows...)})
	return t.Table
}

// CashByMonth is the enterprise's money in and out by month in a full year,
// before overheads and capital.
func CashByMonth(s *Spec) sheet.Table {
	t := tableMaker{sheet.Table{Name: s.ID + "_cash", Title: say.With("%s: money in and out by month", s.Name), Head: "Month by month", Months: true,
		Note: "A full year as it runs from year to year, before overheads and the purchase of equipment."}}
	sales := t.add(sheet.Row{Kind: sheet.Line, Label: "Sales", Of: s.ID + ".sales_by_month"})
	costs := t.add(sheet.Row{Kind: sheet.Line, Label: "Costs", Of: s.ID + ".costs_by_month"})
	t.add(sheet.Row{Kind: sheet.Total, Label: "Net", Of: s.ID + ".cash_by_month", Parts: less(sales, costs)})
	return t.Table
}

// LandByMonth is the land that the enterprise holds in each month.
func LandByMonth(s *Spec) sheet.Table {
	t := tableMaker{sheet.Table{Name: s.ID + "_land", Title: say.With("%s: land held by month", s.Name), Head: "Land", Months: true}}
	s.lines(Land, func(l *Line, name string) {
		t.add(sheet.Row{Kind: sheet.Line, Label: say.Own(l.Label), Of: name + ".by_month"})
	})
	return t.Table
}

// Purchases is the enterprise's capital: what is bought, for how long, and
// what that costs a year.
func Purchases(s *Spec) sheet.Table {
	t := tableMaker{sheet.Table{
		Name: s.ID + "_capital", Title: say.With("%s: buildings and equipment", s.Name), Head: "Item",
		Columns: []sheet.Column{{Label: "Number"}, {Label: "Cost of one"}, {Label: "Cost", Foots: true}, {Label: "Life"}, {Label: "A year", Foots: true}},
	}}
	var rows []int
	s.lines(Capital, func(l *Line, name string) {
		rows = append(rows, t.add(sheet.Row{Kind: sheet.Line, Label: say.Own(l.Label),
			Cells: []string{name + ".number", name + ".each", name, name + ".life", name + ".yearly"}}))
	})
	t.add(sheet.Row{Kind: sheet.Total, Label: "All", Cells: []string{"", "", s.ID + ".capital", "", s.ID + ".depreciation"}, Parts: parts(rows...)})
	return t.Table
}

// Measures are the results of a one-page summary, with their labels, in order.
func Measures(s *Spec) []sheet.Row {
	rows := []sheet.Row{}
	for _, name := range []string{"sales", "gross_margin", "net_margin", "hours", "peak_hours", "return_per_hour"} {
		rows = append(rows, sheet.Row{Of: s.ID + "." + name})
	}
	if s.has(Land) {
		rows = append(rows, sheet.Row{Of: s.ID + ".land"}, sheet.Row{Of: s.ID + ".margin_per_hectare"})
	}
	for _, name := range []string{"capital_needed", "return_on_capital", "payback"} {
		rows = append(rows, sheet.Row{Of: s.ID + "." + name})
	}
	if s.Output.Name != "" {
		for _, name := range []string{"break_even_price", "full_cost_price", "break_even_volume"} {
			rows = append(rows, sheet.Row{Of: s.ID + "." + name})
		}
	}
	return append(rows, sheet.Row{Of: s.ID + ".break_even_of_prices"})
}

// Table makes the table of one of the words that chapters use: budget, hours,
// cash, land or capital.
func Table(word string, s *Spec) (sheet.Table, bool) {
	make, ok := map[string]func(*Spec) sheet.Table{
		"budget": Budget, "hours": HoursByMonth, "cash": CashByMonth, "land": LandByMonth, "capital": Purchases,
	}[word]
	if !ok {
		return sheet.Table{}, false
	}
	return make(s), true
}
