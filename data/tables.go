package data

import (
	"slices"

	"rickyard/calc/enterprise"
	"rickyard/calc/plan"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
)

// Tables lays out what belongs to the whole farm: people, farm_land,
// infrastructure, sources_and_uses, overheads, channels and prices, by those
// words.
func (f *Farm) Tables() map[string]sheet.Table {
	tables := map[string]sheet.Table{
		"people":           f.peopleTable(),
		"farm_land":        f.landTable(),
		"infrastructure":   f.infrastructureTable(),
		"sources_and_uses": f.startTable(),
		"overheads":        f.overheadTable(),
		"channels":         f.channelTable(nil),
		"prices":           f.priceTable(nil),
	}
	for i := range f.Enterprises {
		s := &f.Enterprises[i]
		tables["overheads_"+s.ID] = f.overheadsOf(s)
		tables["channels_"+s.ID] = f.channelTable(s)
		tables["prices_"+s.ID] = f.priceTable(s)
	}
	return tables
}

// inGroups adds the rows of each group under its name, with a sum for each
// that has more than one, and returns the rows that a total adds up.
func inGroups(t *sheet.Table, groups []string, rows map[string][]sheet.Row) []sheet.Part {
	var all []sheet.Part
	for _, group := range groups {
		if len(rows[group]) == 0 {
			continue
		}
		if group != "" {
			t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Head, Label: say.Own(group)})
		}
		for _, row := range rows[group] {
			all = append(all, sheet.Part{Row: len(t.Rows)})
			t.Rows = append(t.Rows, row)
		}
	}
	return all
}

// peopleTable shows who works on the farm, how long, and what they earn
// elsewhere.
func (f *Farm) peopleTable() sheet.Table {
	t := sheet.Table{Name: "people", Title: "The people", Head: "Name",
		Columns: []sheet.Column{{Label: "Work on the farm"}, {Label: "Of it elsewhere"}, {Label: "Earned elsewhere"}}}
	for _, p := range f.People {
		name, label := "farm.people."+p.ID, say.Own(p.Name)
		if p.Until != "" {
			label = say.With("%s (elsewhere until %s)", p.Name, monthText(p.Until))
		}
		row := sheet.Row{Kind: sheet.Line, Label: label, Cells: []string{"", "", ""}}
		for i, part := range []string{".hours", ".elsewhere", ".income"} {
			if f.has(name + part) {
				row.Cells[i] = name + part
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// landTable shows the land by kind, with its rent.
func (f *Farm) landTable() sheet.Table {
	t := sheet.Table{Name: "farm_land", Title: "The land", Head: "Kind", Columns: []sheet.Column{{Label: "Area", Foots: true}, {Label: "Rent"}}}
	var parts []sheet.Part
	for _, kind := range f.Land {
		parts = append(parts, sheet.Part{Row: len(t.Rows)})
		t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Line, Label: say.Own(kind.Label), Cells: []string{"farm.land." + kind.ID + ".area", "farm.land." + kind.ID + ".rent"}})
	}
	if len(parts) > 1 {
		t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Total, Label: "All", Parts: parts})
	}
	return t
}

// has reports whether the data defines a figure.
func (f *Farm) has(name string) bool {
	for i := range f.Definitions {
		if f.Definitions[i].Name == name {
			return true
		}
	}
	return false
}

// monthText writes 2027-03 as a month of a year; a year alone, and a day, stay
// as they are.
func monthText(text string) say.Text {
	if m, ok := plan.ParseMonth(text); ok && len(text) == len("2027-03") {
		return m.Name()
	}
	return say.Own(text)
}

func (f *Farm) infrastructureTable() sheet.Table {
	t := sheet.Table{
		Name: "infrastructure", Title: "Infrastructure", Head: "Item",
		Columns: []sheet.Column{{Label: "Number"}, {Label: "Cost of one"}, {Label: "Cost", Foots: true}, {Label: "Life"}, {Label: "A year", Foots: true}},
	}
	rows := map[string][]sheet.Row{}
	var groups []string
	for _, item := range f.Infrastructure {
		name := "infrastructure." + item.ID
		if rows[item.Group] == nil {
			groups = append(groups, item.Group)
		}
		label := say.Own(item.Label)
		if item.Bought != "" {
			label = say.With("%s (%s)", item.Label, monthText(item.Bought))
		}
		rows[item.Group] = append(rows[item.Group], sheet.Row{Kind: sheet.Line, Label: label,
			Cells: []string{name + ".number", name + ".cost", name + ".total", name + ".life", name + ".yearly"}})
	}
	parts := inGroups(&t, groups, rows)
	t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Total, Label: "All", Cells: []string{"", "", "infrastructure.total", "", "infrastructure.yearly"}, Parts: parts})
	return t
}

// useGroupNames are the groups of a start-up budget as people read them.
var useGroupNames = map[string]say.Text{
	"property": "Property", "infrastructure": "Infrastructure", "equipment": "Equipment",
	"stock": "Stock and plants", "working_capital": "Working capital", "contingency": "Reserve",
}

func (f *Farm) startTable() sheet.Table {
	t := sheet.Table{
		Name: "sources_and_uses", Title: "Where the money comes from and where it goes", Head: "Line",
		Columns: []sheet.Column{{Label: "Amount", Foots: true}, {Label: "of the uses", Share: true}},
	}
	t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Head, Label: "Sources"})
	var parts []sheet.Part
	for _, s := range f.Sources {
		parts = append(parts, sheet.Part{Row: len(t.Rows)})
		t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Line, Label: say.Own(s.Label), Cells: []string{"finance.sources." + s.ID + ".amount"}})
	}
	sources := len(t.Rows)
	t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Sub, Label: "All sources", Cells: []string{"finance.sources_total"}, Parts: parts})
	parts = nil
	for _, group := range useGroups {
		var lines []sheet.Part
		for _, u := range f.Uses {
			if u.Group != group {
				continue
			}
			if lines == nil {
				t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Head, Label: useGroupNames[group]})
			}
			lines = append(lines, sheet.Part{Row: len(t.Rows)})
			t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Line, Label: say.Own(u.Label), Cells: []string{"finance.uses." + u.ID + ".amount"}})
		}
		if len(lines) > 1 {
			lines = []sheet.Part{{Row: len(t.Rows)}}
			t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Sub, Label: say.With("%s, together", useGroupNames[group]),
				Cells: []string{"finance.uses_" + group}, Parts: since(t.Rows, sheet.Line)})
		}
		parts = append(parts, lines...)
	}
	uses := len(t.Rows)
	t.Rows = append(t.Rows,
		sheet.Row{Kind: sheet.Sub, Label: "All uses", Cells: []string{"finance.uses_total"}, Parts: parts, Whole: true},
		sheet.Row{Kind: sheet.Total, Label: "Surplus", Cells: []string{"finance.difference"}, Parts: []sheet.Part{{Row: sources}, {Row: uses, Minus: true}}})
	return t
}

// since returns the run of rows of a kind at the end of rows.
func since(rows []sheet.Row, kind sheet.RowKind) []sheet.Part {
	var parts []sheet.Part
	for i := len(rows) - 1; i >= 0 && rows[i].Kind == kind; i-- {
		parts = append([]sheet.Part{{Row: i}}, parts...)
	}
	return parts
}

func (f *Farm) overheadTable() sheet.Table {
	t := sheet.Table{Name: "overheads", Title: "Overheads of the whole farm", Head: "Overhead"}
	t.Columns = append(t.Columns, sheet.Column{Label: "A year", Foots: true})
	var parts []sheet.Part
	for _, o := range f.Overheads {
		parts = append(parts, sheet.Part{Row: len(t.Rows)})
		t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Line, Label: say.Own(o.Label), Cells: []string{"finance.overheads." + o.ID + ".amount"}})
	}
	t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Total, Label: "All", Cells: []string{"finance.overheads_total"}, Parts: parts})
	return t
}

// overheadsOf shows the overheads that an enterprise bears a share of.
func (f *Farm) overheadsOf(s *enterprise.Spec) sheet.Table {
	t := sheet.Table{Name: "overheads_" + s.ID, Title: say.With("%s: its share of the overheads", s.Name), Head: "Overhead",
		Columns: []sheet.Column{{Label: "A year"}, {Label: "Its share"}}}
	for _, o := range f.Overheads {
		if name := "finance.overheads." + o.ID; slices.Contains(o.SharedBy, s.ID) {
			t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Line, Label: say.Own(o.Label), Cells: []string{name + ".amount", name + ".shared." + s.ID}})
		}
	}
	t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Line, Label: "Its part of all", Cells: []string{"finance.overheads_for_" + s.ID, ""}})
	return t
}

// sells reports whether an enterprise sells through a channel; without an
// enterprise, whether the farm has it.
func sells(s *enterprise.Spec, channel string) bool {
	return s == nil || slices.ContainsFunc(s.Lines, func(l enterprise.Line) bool {
		return slices.ContainsFunc(l.Through, func(c enterprise.ChannelShare) bool { return c.Channel.Name == channel })
	})
}

// nameOf is the name of a table of the farm, or of an enterprise's part of it.
func nameOf(word string, s *enterprise.Spec) string {
	if s == nil {
		return word
	}
	return word + "_" + s.ID
}

// channelTable shows the channels, or those that an enterprise sells through.
func (f *Farm) channelTable(s *enterprise.Spec) sheet.Table {
	t := sheet.Table{
		Name: nameOf("channels", s), Title: "Ways of selling and what they cost", Head: "Channel",
		Columns: []sheet.Column{{Label: "Cost, of takings"}, {Label: "Time for takings"}, {Label: "The most it takes in a year"}},
	}
	for _, c := range f.Channels {
		if !sells(s, c.ID) {
			continue
		}
		name := "prices.channels." + c.ID
		row := sheet.Row{Kind: sheet.Line, Label: say.Own(c.Label), Cells: []string{name + ".fee", name + ".hours", ""}}
		if c.HasLimit {
			row.Cells[2] = name + ".limit"
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// priceTable shows the price list, or what an enterprise sells of it.
func (f *Farm) priceTable(s *enterprise.Spec) sheet.Table {
	t := sheet.Table{Name: nameOf("prices", s), Title: "Prices by the way of selling", Head: "Product"}
	var channels []enterprise.Channel
	for _, c := range f.Channels {
		if sells(s, c.ID) {
			channels = append(channels, c)
			t.Columns = append(t.Columns, sheet.Column{Label: say.Own(c.Label)})
		}
	}
	for _, product := range f.Products {
		if s != nil && !slices.ContainsFunc(s.Lines, func(l enterprise.Line) bool { return l.Product.Name == product.ID }) {
			continue
		}
		row := sheet.Row{Kind: sheet.Line, Label: say.Own(product.Label), Cells: make([]string, len(channels))}
		for i, c := range channels {
			for _, id := range product.Channels {
				if id == c.ID {
					row.Cells[i] = "prices." + product.ID + "." + id
				}
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
