package enterprise

import (
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
	"rickyard/calc/source"
)

// marketTotal and marketElsewhere are what is sold in all, and what is sold
// without a channel, by the enterprises that are run.
const (
	marketTotal     = "prices.channels.total"
	marketElsewhere = "prices.channels.elsewhere"
)

// A Selling is how the enterprises that are run use the ways of selling, in one
// full year at their scale.
type Selling struct {
	specs    []*Spec
	channels []Channel // those that are used
	through  map[string][]string
	direct   []string
}

// NewSelling gathers the takings of the enterprises that are run, named by
// their ids, by channel.
func NewSelling(specs []Spec, running []string, channels []Channel) *Selling {
	m := &Selling{specs: Running(specs, running), through: map[string][]string{}}
	for _, s := range m.specs {
		s.lines(Sale, func(l *Line, name string) {
			if len(l.Through) == 0 {
				m.direct = append(m.direct, name+".takings")
			}
			for _, c := range l.Through {
				m.through[c.Channel.Name] = append(m.through[c.Channel.Name], name+".through."+c.Channel.Name)
			}
		})
	}
	for _, c := range channels {
		if len(m.through[c.ID]) > 0 {
			m.channels = append(m.channels, c)
		}
	}
	return m
}

// Running returns the enterprises with these ids, in the order of specs.
func Running(specs []Spec, ids []string) []*Spec {
	var running []*Spec
	for i := range specs {
		for _, id := range ids {
			if specs[i].ID == id {
				running = append(running, &specs[i])
			}
		}
	}
	return running
}

// Definitions are the figures of the selling in a full year:
//
//	prices.channels.<id>.planned   takings that the enterprises plan through it
//	prices.channels.<id>.filled    that as a share of the most that it takes
//	prices.channels.<id>.fits      it takes so much (yes or no)
//	prices.channels.elsewhere      takings without a channel
//	prices.channels.total          all takings
//
// filled and fits are there only where a channel has a limit.
func (m *Selling) Definitions() []figures.Definition {
	var all []figures.Definition
	add := func(place source.Span, name string, label say.Text, formula string) {
		all = append(all, figures.Definition{Name: name, Label: label, Place: place, Formula: source.Derived(place, formula).Whole(), Engine: true})
	}
	if len(m.specs) == 0 {
		return nil
	}
	at := m.specs[0].Place
	for _, c := range m.channels {
		name := "prices.channels." + c.ID
		add(c.Place, name+".planned", say.With("%s, planned takings", c.Label), strings.Join(m.through[c.ID], " + "))
		if c.HasLimit {
			add(c.Place, name+".filled", say.With("%s, filled", c.Label), name+".planned / "+name+".limit as 1 %")
			add(c.Place, name+".fits", say.With("%s takes what is planned", c.Label), name+".planned <= "+name+".limit")
		}
	}
	if len(m.direct) > 0 {
		add(at, marketElsewhere, "Sold at one price, through no channel", strings.Join(m.direct, " + "))
	}
	sales := make([]string, len(m.specs))
	for i, s := range m.specs {
		sales[i] = s.ID + ".sales"
	}
	add(at, marketTotal, "Sales of all enterprises in a full year", strings.Join(sales, " + "))
	return all
}

// Tables are brief, the enterprises that are run beside one another, and
// market, the ways of selling and how far the plan fills each.
func (m *Selling) Tables() map[string]sheet.Table {
	brief := tableMaker{sheet.Table{Name: "brief", Title: "The enterprises in brief", Head: "Enterprise",
		Note: "A full year at the scale of the plan. Net margin is what is left before the owners are paid.",
		Columns: []sheet.Column{{Label: "Scale"}, {Label: "Sales", Foots: true}, {Label: "Gross margin", Foots: true},
			{Label: "Net margin", Foots: true}, {Label: "Work", Foots: true}, {Label: "Capital needed", Foots: true}, {Label: "For an hour"}}}}
	var rows []int
	for _, s := range m.specs {
		rows = append(rows, brief.add(sheet.Row{Kind: sheet.Line, Label: say.Own(s.Name), Cells: []string{s.ID + "." + s.Scale.Figure.Name,
			s.ID + ".sales", s.ID + ".gross_margin", s.ID + ".net_margin", s.ID + ".hours", s.ID + ".capital_needed", s.ID + ".return_per_hour"}}))
	}
	if len(rows) > 1 {
		brief.add(sheet.Row{Kind: sheet.Total, Label: "Together", Parts: parts(rows...)})
	}
	market := tableMaker{sheet.Table{Name: "market", Title: "Ways of selling, and how far the plan fills them", Head: "Channel",
		Note: "Takings of a full year at the scale of the plan.",
		Columns: []sheet.Column{{Label: "Planned", Foots: true}, {Label: "of sales", Share: true}, {Label: "The most it takes"},
			{Label: "Filled"}, {Label: "Cost, of takings"}, {Label: "Room for it", Yes: "met", No: "not met"}}}}
	rows = nil
	for _, c := range m.channels {
		name := "prices.channels." + c.ID
		cells := []string{name + ".planned", "", "", "", name + ".fee", ""}
		if c.HasLimit {
			cells[2], cells[3], cells[5] = name+".limit", name+".filled", name+".fits"
		}
		rows = append(rows, market.add(sheet.Row{Kind: sheet.Line, Label: say.Own(c.Label), Cells: cells}))
	}
	if len(m.direct) > 0 {
		rows = append(rows, market.add(sheet.Row{Kind: sheet.Line, Label: "Through no channel", Cells: []string{marketElsewhere}}))
	}
	if len(rows) > 0 {
		market.add(sheet.Row{Kind: sheet.Total, Label: "All sales", Cells: []string{marketTotal}, Parts: parts(rows...), Whole: true})
	}
	return map[string]sheet.Table{"brief": brief.Table, "market": market.Table}
}
