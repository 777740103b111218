package content

import (
	"regexp"
	"slices"

	"gopkg.in/yaml.v3"

	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// A Show is a table or chart that the engine makes. The list of them is what the
// manual explains, what blocks are checked against, and what pages are made by.
type Show struct {
	Word  string
	Of    Need   // whether it is of an enterprise
	What  string // as a table
	Chart *ShowChart
	// Whole is the word of the table of the whole farm that stands in where of is
	// left out, or planned for one table of each enterprise that is run.
	Whole string
	// Else is what of may name beside enterprises, or instead of them; nil for
	// nothing.
	Else    *regexp.Regexp
	Instead bool
}

// A ShowChart says how a show is drawn.
type ShowChart struct {
	Of     Need
	What   string   // where it differs from the table
	Shapes []string // of Shapes
	Target bool     // it may have a line to reach
}

// A Need says whether something is given.
type Need int

// The needs.
const (
	Never Need = iota
	May
	Must
)

// Planned is the word for all enterprises that the plan runs.
const Planned = "planned"

var (
	yearWord = regexp.MustCompile(`^year_[1-9][0-9]?$`)
	farmWord = regexp.MustCompile(`^farm$`)
)

// Shows has all that a table or chart can show by one word.
var Shows = []Show{
	{Word: "budget", Of: Must, What: "the lines of an enterprise: output, variable costs, margins", Chart: &ShowChart{Of: Must, Shapes: []string{"steps"}}},
	{Word: "summary", Of: Must, What: "the one-page summary of an enterprise"},
	{Word: "hours", Of: May, What: "hours by task and month", Whole: "labour_calendar", Chart: &ShowChart{Of: Must, Shapes: []string{"stack", "columns", "lines", "area", "heat"}, Target: true}},
	{Word: "cash", Of: Must, What: "money in and out of an enterprise by month in a full year"},
	{Word: "land", Of: May, What: "land by month", Whole: "land_calendar"},
	{Word: "capital", Of: May, What: "buildings and equipment with their life and cost a year", Whole: "planned"},
	{Word: "people", Of: Never, What: "who works on the farm, how long, and what they earn elsewhere"},
	{Word: "farm_land", Of: Never, What: "the farm's land by kind, with its rent"},
	{Word: "brief", Of: Never, What: "the enterprises that are run beside one another, with their key measures"},
	{Word: "market", Of: Never, What: "the ways of selling that the plan uses, and how far it fills each"},
	{Word: "infrastructure", Of: Never, What: "the infrastructure list"},
	{Word: "sources_and_uses", Of: Never, What: "the start-up budget: where the money comes from and goes to"},
	{Word: "overheads", Of: May, What: "overheads and how they are shared out"},
	{Word: "channels", Of: May, What: "where the produce is sold, with the costs of selling"},
	{Word: "prices", Of: May, What: "the price list by channel"},
	{Word: "inputs", Of: May, What: "every input with its value, range and source", Else: dottedName},
	{Word: "cash_by_month", Of: May, What: "the whole farm's cash flow by month: of its first year, or with of: year_2 of the second", Else: yearWord, Instead: true},
	{Word: "cash_by_year", Of: Never, What: "the whole farm's cash flow by year"},
	{Word: "profit", Of: Never, What: "the whole farm's profit and loss by year"},
	{Word: "balance", Of: Never, What: "the whole farm's balance sheet at the opening and at each year's end"},
	{Word: "profit_to_cash", Of: Never, What: "how each year's profit becomes money in the bank"},
	{Word: "loans", Of: Never, What: "each loan by year: interest, paid back, owed"},
	{Word: "depreciation", Of: Never, What: "what buildings and equipment lose by year"},
	{Word: "measures", Of: Never, What: "what a lender asks for, with the usual thresholds"},
	{Word: "measures_by_year", Of: Never, What: "a lender's ratios by year"},
	{Word: "labour_calendar", Of: Never, What: "hours of the whole farm by month and task beside what the people have"},
	{Word: "land_calendar", Of: Never, What: "land of the whole farm held by month, by kind"},
	{Word: "actual", Of: May, What: "the year to date beside the plan; with of, an enterprise or farm line by line", Else: farmWord},
	{Word: "variances", Of: May, What: "the difference from the plan, by price and by volume", Else: farmWord},
	{Word: "forecast", Of: Never, What: "the year as it will end: the rest as planned, and at this year's rate"},
	{Word: "left_out", Of: Never, What: "how many records were counted, and which were left out and why"},
	{Word: "risk", Of: Never, What: "how likely it is that the money runs out, by year", Chart: &ShowChart{Of: Never, What: "by month", Shapes: []string{"columns", "lines"}}},
	{Word: "risk_bands", Of: Never, What: "profit and money in the bank as one in ten, half and nine in ten runs of the simulation have them", Chart: &ShowChart{Of: Never, What: "the bank by month", Shapes: []string{"lines"}}},
	{Word: "risk_drivers", Of: Never, What: "the inputs that move the least in the bank most, by rank correlation", Chart: &ShowChart{Of: Never, Shapes: []string{"bars"}}},
	{Word: "scenarios", Of: Never, What: "the plan beside what happens in each scenario"},
	{Word: "checks", Of: May, What: "every check and whether it passes", Else: dottedName},
	{Word: "mix", Of: Never, What: "the best mix of enterprises"},
	{Word: "mix_limits", Of: Never, What: "what one more hour, hectare or thousand would be worth in the best mix"},
	{Word: "mix_hours", Of: Never, What: "hours hired in the best mix, by month"},
	{Word: "sources", Of: May, What: "every source that an input names", Else: dottedName},
	{Word: "living", Of: Must, What: "the scale at which an enterprise alone pays the target income, or why there is none"},
	{Word: "comparison", Of: Never, What: "all enterprises side by side at the target income", Chart: &ShowChart{Of: Never, Shapes: []string{"points", "heat", "bars", "stack"}}},
	{Word: "reading", Of: Never, What: "the trade-offs between enterprises, in sentences"},
	{Word: "ranking", Of: Never, What: "the enterprises in order, by the reader's weights"},
	{Word: "sensitivity", Of: Must, What: "the inputs that move an enterprise's net margin most", Chart: &ShowChart{Of: Must, Shapes: []string{"ranges"}}},
}

// ShowOf returns the show of a word, or nil.
func ShowOf(word string) *Show {
	for i := range Shows {
		if Shows[i].Word == word {
			return &Shows[i]
		}
	}
	return nil
}

// show checks what a table or a chart asks the engine for; of is the key's value,
// nil if there is none.
func (s *spec) show(g Grid, of *yaml.Node) {
	words := make([]string, len(Shows))
	for i := range Shows {
		words[i] = Shows[i].Word
	}
	s.oneOf(g.Show, "show", words)
	for _, of := range g.Of {
		if !dottedName.MatchString(of.Text) {
			s.r.fail(source.Syntax, of.Place, "%s is not the name of an enterprise", leaf.Clip(of.Text)).With("write it as its file is called, without .yaml")
		}
	}
	show := ShowOf(g.Show.Text)
	if show == nil {
		return
	}
	need := show.Of
	if s.chart {
		if show.Chart == nil {
			e := s.r.fail(source.WrongType, g.Show.Place, "%s can't be drawn as a chart", show.Word)
			if of == nil || show.Of != Never {
				e.With("show it as a table")
			}
			return
		}
		need = show.Chart.Of
	}
	switch {
	case need == Must && of == nil:
		s.r.fail(source.Missing, g.Show.Place, "show: %s needs a key of with the name of an enterprise", show.Word)
	case need == Never && of != nil:
		s.r.fail(source.Syntax, s.At(of), "%s is of the whole farm, so it has no key of", show.Word)
	}
}

// shape checks that a chart can have the shape of its kind.
func (s *spec) shape(n *ChartBlock, kind Word) {
	show := ShowOf(n.Show.Text)
	if show == nil || show.Chart == nil {
		return
	}
	if kind.Text != "" && !slices.Contains(show.Chart.Shapes, kind.Text) {
		s.r.fail(source.WrongType, kind.Place, "%s can't be drawn as %s", show.Word, leaf.Clip(kind.Text)).With("expected %s", leaf.List(show.Chart.Shapes, "or"))
	}
	if n.Target != nil && !show.Chart.Target {
		s.r.fail(source.Syntax, n.Target.Figure.Formula, "a chart with show: %s has no target", show.Word).
			With("take the target out; a chart with rows or series may have one")
	}
}

// CheckShows reports what tables and charts are of that is no enterprise.
func (b *Book) CheckShows(enterprises []string) source.Errors {
	var errs source.Errors
	check := func(g Grid) {
		show := ShowOf(g.Show.Text)
		for _, of := range g.Of {
			switch {
			case show == nil, show.Else != nil && show.Else.MatchString(of.Text):
				continue
			case show.Instead:
				errs = append(errs, source.Errorf(source.WrongType, of.Place, "%s is not of an enterprise", show.Word).With("write of: year_2, or leave of out"))
				continue
			case of.Text == Planned, slices.Contains(enterprises, of.Text):
				continue
			}
			e := source.Errorf(source.Unknown{Name: of.Text}, of.Place, "no enterprise is called %s", leaf.Clip(of.Text))
			if near := source.Nearest(of.Text, enterprises); near != "" {
				e.With("did you mean %s?", near)
			}
			errs = append(errs, e)
		}
	}
	for _, ch := range b.Chapters {
		for _, t := range ch.Tables {
			check(t.Grid)
		}
		for _, c := range ch.Charts {
			check(c.Grid)
		}
	}
	return errs
}
