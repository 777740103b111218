package actual

import (
	"math"

	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
)

// Tables lays the results out by the words that chapters use; those of an
// enterprise, or of the farm as a whole, are actual_<e> and variances_<e>.
func (r *Results) Tables(g *figures.Graph) map[string]sheet.Table {
	r.once.Do(r.count)
	s := &showing{r, g}
	tables := map[string]sheet.Table{
		"actual": s.actual(), "variances": r.variances(), "forecast": r.forecast(), "left_out": r.leftOut(),
	}
	for _, x := range r.groups {
		tables["actual_"+x.id] = s.actualOf(x)
		tables["variances_"+x.id] = s.variancesOf(x)
	}
	return tables
}

// A layout builds a table row by row.
type layout struct{ sheet.Table }

func (t *layout) row(kind sheet.RowKind, label say.Text, parts []sheet.Part, cells ...string) sheet.Part {
	t.Rows = append(t.Rows, sheet.Row{Kind: kind, Label: label, Parts: parts, Cells: cells})
	return sheet.Part{Row: len(t.Rows) - 1}
}

// cells names the figures of a row.
func cells(prefix string, names ...string) []string {
	out := make([]string, len(names))
	for i, name := range names {
		if name != "" {
			out[i] = prefix + name
		}
	}
	return out
}

const ofNote = "Money out is negative. A difference above nothing is good for the profit, one below it is bad."

// showing lays tables out by what is there to be shown in the farm's own case.
type showing struct {
	*Results
	graph *figures.Graph
}

func (s *showing) of(id string, it *item, word string) float64 {
	f := s.graph.Lookup("actual." + id + "." + it.name + word)
	if f == nil {
		return math.NaN()
	}
	return f.Current()
}

// stands reports whether an item has anything to show to date.
func (s *showing) stands(id string, it *item) bool {
	return it.rows > 0 || s.of(id, it, ".planned") != 0
}

func (s *showing) splits(id string, it *item) bool { return s.of(id, it, ".split") == 1 }

// beside are the columns that set what happened beside the plan.
func beside(first int) []sheet.Column {
	return []sheet.Column{{Label: "Planned", Foots: true}, {Label: "Happened", Foots: true},
		{Label: "Difference", Across: []sheet.Part{{Row: first + 1}, {Row: first, Minus: true}}}}
}

// title says which months a table is of.
func (r *Results) title(text say.Text) say.Text {
	if r.months == 0 {
		return say.With("%s, nothing yet", text)
	}
	return say.With("%s, to the end of %s", text, (r.first + plan.Month(r.months-1)).Name())
}

func (r *showing) actual() sheet.Table {
	t := &layout{sheet.Table{Whole: true, Name: "actual", Title: r.title("What happened beside the plan"), Head: "Year to date", Columns: beside(0), Note: ofNote}}
	var all []sheet.Part
	for _, x := range r.groups {
		name := "actual." + x.id + "."
		t.row(sheet.Head, x.label, nil)
		var parts []sheet.Part
		if x.id == Farm {
			for _, it := range x.items {
				if r.stands(x.id, it) {
					parts = append(parts, t.row(sheet.Line, it.label, nil, cells(name+it.name, ".planned", ".amount", ".variance")...))
				}
			}
			all = append(all, t.row(sheet.Sub, "Costs of the whole farm", parts, cells(name, "planned_margin", "margin", "variance")...))
			continue
		}
		parts = append(parts, t.row(sheet.Line, "Sales", nil, cells(name, "planned_sales", "sales", "sales_variance")...))
		parts = append(parts, t.row(sheet.Line, "Costs", nil, cells(name, "planned_costs", "costs", "costs_variance")...))
		if it := x.find(Other); r.stands(x.id, it) {
			parts = append(parts, t.row(sheet.Line, "Other", nil, cells(name+it.name, ".planned", ".amount", ".variance")...))
		}
		all = append(all, t.row(sheet.Sub, "Margin", parts, cells(name, "planned_margin", "margin", "variance")...))
	}
	t.row(sheet.Total, "Result before depreciation", all, cells("actual.", "planned_result", "result", "variance")...)
	head := false
	for _, it := range r.aside {
		if !r.stands(Farm, it) {
			continue
		}
		if !head {
			t.row(sheet.Head, "Money that is no part of the profit", nil)
			head = true
		}
		t.row(sheet.Line, it.label, nil, cells("actual."+Farm+"."+it.name, ".planned", ".amount", ".variance")...)
	}
	return t.Table
}

func (r *showing) actualOf(x *group) sheet.Table {
	t := &layout{sheet.Table{Whole: true, Name: "actual_" + x.id, Title: r.title(say.With("%s beside the plan", x.label)), Head: "Year to date", Note: ofNote,
		Columns: append([]sheet.Column{{Label: "Planned quantity"}, {Label: "Quantity"}}, beside(2)...)}}
	var parts []sheet.Part
	for _, it := range x.items {
		if !r.stands(x.id, it) {
			continue
		}
		name := "actual." + x.id + "." + it.name
		names := []string{"", "", ".planned", ".amount", ".variance"}
		if r.splits(x.id, it) {
			names[0], names[1] = ".planned_quantity", ".quantity"
		}
		parts = append(parts, t.row(sheet.Line, it.label, nil, cells(name, names...)...))
	}
	label := say.Text("Margin")
	if x.id == Farm {
		label = "Costs of the whole farm"
	}
	t.row(sheet.Total, label, parts, cells("actual."+x.id+".", "", "", "planned_margin", "margin", "variance")...)
	return t.Table
}

// byCause are the columns that split a variance; first is the number of the
// first of them.
func byCause(first int) []sheet.Column {
	return []sheet.Column{{Label: "By price", Foots: true}, {Label: "By volume", Foots: true}, {Label: "Not split", Foots: true},
		{Label: "Difference", Across: []sheet.Part{{Row: first}, {Row: first + 1}, {Row: first + 2}}}}
}

const splitNote = "Not split: costs without a quantity, and lines where a record gives none."

func (r *Results) variances() sheet.Table {
	t := &layout{sheet.Table{Whole: true, Name: "variances", Title: r.title("Where the difference comes from"), Head: "Year to date", Columns: byCause(0), Note: splitNote}}
	var parts []sheet.Part
	for _, x := range r.groups {
		parts = append(parts, t.row(sheet.Line, x.label, nil, cells("actual."+x.id+".", "price_variance", "volume_variance", "unsplit_variance", "variance")...))
	}
	t.row(sheet.Total, "All", parts, cells("actual.", "price_variance", "volume_variance", "unsplit_variance", "variance")...)
	return t.Table
}

func (r *showing) variancesOf(x *group) sheet.Table {
	t := &layout{sheet.Table{Whole: true, Name: "variances_" + x.id, Title: r.title(say.With("%s: price or volume", x.label)), Head: "Year to date", Note: splitNote,
		Columns: append([]sheet.Column{{Label: "Planned price"}, {Label: "Price"}}, byCause(2)...)}}
	var parts []sheet.Part
	for _, it := range x.items {
		if !r.stands(x.id, it) {
			continue
		}
		names := []string{"", "", "", "", ".unsplit_variance", ".variance"}
		if r.splits(x.id, it) {
			names = []string{".planned_price", ".price", ".price_variance", ".volume_variance", "", ".variance"}
			if it.quantity == 0 {
				names[1] = ""
			}
		}
		parts = append(parts, t.row(sheet.Line, it.label, nil, cells("actual."+x.id+"."+it.name, names...)...))
	}
	t.row(sheet.Total, "All", parts, cells("actual."+x.id+".", "", "", "price_variance", "volume_variance", "unsplit_variance", "variance")...)
	return t.Table
}

func (r *Results) forecast() sheet.Table {
	t := &layout{sheet.Table{Whole: true, Name: "forecast", Title: say.With("How %s will end", r.plan.YearLabel(r.year)), Head: "Margin",
		Columns: []sheet.Column{{Label: "Plan of the year", Foots: true}, {Label: "To date", Foots: true},
			{Label: "Rest as planned", Foots: true}, {Label: "Year, rest as planned", Across: []sheet.Part{{Row: 1}, {Row: 2}}},
			{Label: "Rest at this year's rate", Foots: true}, {Label: "Year at this year's rate", Across: []sheet.Part{{Row: 1}, {Row: 4}}}},
		Note: "At this year's rate, the rest of an enterprise's sales and costs is scaled by what they were beside the plan so far; the whole farm's costs are not."}}
	names := []string{"planned_year", "margin", "remaining", "forecast", "remaining_at_rate", "forecast_at_rate"}
	var parts []sheet.Part
	for _, x := range r.groups {
		parts = append(parts, t.row(sheet.Line, x.label, nil, cells("actual."+x.id+".", names...)...))
	}
	result := t.row(sheet.Sub, "Result before depreciation", parts, cells("actual.", "planned_year_result", "result", "remaining", "forecast", "remaining_at_rate", "forecast_at_rate")...)
	rest := t.row(sheet.Line, "Depreciation and growth, as planned", nil, cells("actual.", "not_recorded", "", "not_recorded", "not_recorded", "not_recorded", "not_recorded")...)
	t.row(sheet.Total, "Profit before tax", []sheet.Part{result, rest}, cells("actual.", "planned_profit", "result", "remaining_profit", "forecast_profit", "remaining_profit_at_rate", "forecast_profit_at_rate")...)
	return t.Table
}

// mostListed bounds the rows of records that a page lists.
const mostListed = 500

// leftOut lists every row that was not counted, with the reason.
func (r *Results) leftOut() sheet.Table {
	t := &layout{sheet.Table{Name: "left_out", Title: "Records counted and left out", Head: "Records", Columns: []sheet.Column{{Label: "Rows"}}}}
	t.row(sheet.Line, "Counted", nil, "actual.rows_counted")
	t.row(sheet.Line, "Of other years or later", nil, "actual.rows_outside")
	t.row(sheet.Line, "Left out because of a mistake", nil, "actual.rows_left_out")
	for i, n := range r.outside {
		if n == 1 {
			t.row(sheet.Line, say.With("%s: 1 row is of another year, or later", r.records.Files[i]), nil, "")
		} else if n > 1 {
			t.row(sheet.Line, say.With("%s: %s rows are of other years, or later", r.records.Files[i], n), nil, "")
		}
	}
	for i, err := range r.Bad() {
		if i == mostListed {
			t.row(sheet.Line, say.With("and %s more", len(r.bad)-mostListed), nil, "")
			break
		}
		t.row(sheet.Line, say.Own(err.Error()), nil, "")
		t.Rows[len(t.Rows)-1].English = true
	}
	return t.Table
}
