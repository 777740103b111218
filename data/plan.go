package data

import (
	"slices"

	"rickyard/calc/farm"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

// Whole returns what the farm is worked out from. style is how numbers are
// written within reasons.
func (f *Farm) Whole(style *quantity.Style) *farm.Farm {
	w := &farm.Farm{
		Units: f.Units, Style: style, Definitions: f.Definitions, Facts: f.Facts, Tables: f.Tables(),
		Enterprises: f.Enterprises, Channels: f.Channels, UsedBy: map[string][]string{}, Plan: f.Plan(),
		Scenarios: f.Scenarios, Risk: f.Risk, Records: &f.Records, Place: f.head(), Broken: f.broken, Meant: f.meant,
	}
	for _, item := range f.Infrastructure {
		for _, id := range item.UsedBy {
			w.UsedBy[id] = append(w.UsedBy[id], item.ID)
		}
	}
	return w
}

// head is where figures are placed that belong to the farm as a whole.
func (f *Farm) head() source.Span {
	if len(f.People) > 0 {
		return f.People[0].Place
	}
	if len(f.Files) > 0 {
		return f.Files[0].Span(0, 0)
	}
	return source.Span{}
}

// Plan returns what the plan of the whole farm is made of.
func (f *Farm) Plan() *plan.Farm {
	p := &plan.Farm{
		Currency: f.Currency, Years: f.Horizon, Idle: map[string]bool{},
	}
	if len(f.Files) > 0 {
		p.Place = f.Files[0].Span(0, 0)
	}
	month := func(text string) plan.Month {
		m, _ := plan.ParseMonth(text) // the reader has checked the form
		return m
	}
	p.Start = month(f.Planning.Start)
	if p.Start == 0 {
		p.Start = f.firstYear(month)
	}
	for i := range f.Enterprises {
		if s := &f.Enterprises[i]; f.Planned == nil || slices.Contains(f.Planned, s.ID) {
			p.Enterprises = append(p.Enterprises, plan.Enterprise{Spec: s})
		} else {
			p.Idle[s.ID] = true
		}
	}
	for _, x := range f.People {
		p.People = append(p.People, plan.Person{ID: x.ID, Name: x.Name, HasHours: x.HasHours})
	}
	for _, x := range f.Land {
		p.Land = append(p.Land, plan.Named{ID: x.ID, Label: x.Label})
	}
	for _, x := range f.Infrastructure {
		p.Items = append(p.Items, plan.Item{Named: plan.Named{ID: x.ID, Label: x.Label}, Group: x.Group})
	}
	for _, x := range f.Overheads {
		p.Overheads = append(p.Overheads, plan.Named{ID: x.ID, Label: x.Label})
	}
	for _, x := range f.Sources {
		p.Sources = append(p.Sources, plan.Source{Named: plan.Named{ID: x.ID, Label: x.Label}, Loan: x.Kind == "loan"})
	}
	for _, x := range f.Uses {
		p.Uses = append(p.Uses, plan.Use{Named: plan.Named{ID: x.ID, Label: x.Label}, Group: x.Group, Life: x.HasLife})
	}
	return p
}

// firstYear is January of the year in which the first thing is bought or paid,
// or of a year 1 where the data names no year at all.
func (f *Farm) firstYear(month func(string) plan.Month) plan.Month {
	first := plan.Month(0)
	see := func(text string) {
		if m := month(text); m != 0 && (first == 0 || m < first) {
			first = m
		}
	}
	for _, x := range f.Infrastructure {
		see(x.Bought)
	}
	for _, x := range f.Sources {
		see(x.Received)
	}
	for _, x := range f.Uses {
		see(x.Paid)
	}
	if first == 0 {
		return plan.MonthOf(1, 0)
	}
	return plan.MonthOf(first.Year(), 0)
}
