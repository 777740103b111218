package templates

import (
	"slices"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/templates/chart"
	"rickyard/templates/tree"
)

// usualFront is what the front page tells a farm by whose data names nothing: what
// is needed, what is left, the lowest month, the hours beyond the people's, and the
// chance that the money runs out. What a farm does not have is left out.
var usualFront = []string{"farm.target_income", "goal.needed", "plan.last_profit", "plan.lowest_cash", "plan.most_over", "risk.chance_cash_runs_out"}

// lender is the tag of the chapters that are written for a bank.
const lender = "bank"

// answers is the farm in a few lines and a small chart, ahead of all chapters.
func (m *maker) answers() tree.Nodes {
	p := m.newPage(&made{Chapter: &content.Chapter{Name: "index", Title: m.words.Say("front")}}, false)
	lines := tree.E("dl.measures")
	for _, f := range p.frontFigures() {
		value := p.shown(f)
		if reason, none := m.Graph.Base().None(f); none {
			value = m.words.Say("none_text") + ": " + m.say(reason)
		}
		label := p.label(f, "")
		if when := m.Graph.Lookup(f.Name + "_when"); when != nil && when.Text {
			label += ", " + m.say(m.Graph.Base().Text(when))
		}
		lines.Add(tree.E("div", tree.E("dt", txt(label)), tree.E("dd", p.figure(f, value))))
	}
	section := tree.E("section.answers", tree.E("h2", txt(m.words.Say("front_title", m.Farm))))
	if len(lines.Kids) > 0 {
		section.Add(lines)
	}
	section.Add(p.doubts(), p.frontChart(), tree.E("p.as-shown", txt(m.words.Say("front_opens"))), m.ways())
	p.settle(section)
	return tree.Nodes{section}
}

// frontFigures are those that the farm names, or the usual ones that it has.
func (p *page) frontFigures() []*figures.Figure {
	shown, errs := p.FrontFigures()
	p.errs.Add(errs.Err())
	return shown
}

// FrontFigures are those by which the front page tells the farm: those that the
// farm names, or the usual ones that it has.
func (b *Workbook) FrontFigures() ([]*figures.Figure, source.Errors) {
	var shown []*figures.Figure
	var errs source.Errors
	if b.Front != nil {
		for _, word := range b.Front {
			f := b.Graph.Lookup(word.Text)
			switch {
			case f == nil:
				errs.Add(source.Errorf(source.UnknownRef, word.Place, "no figure is called %s", word.Text).With("name one that rickyard list shows"))
			case f.Type.Len > 0:
				errs.Add(wrongSeries(f, word.Place))
			default:
				shown = append(shown, f)
			}
		}
		return shown, errs
	}
	for _, name := range usualFront {
		if name == "plan.last_profit" {
			name = b.lastProfit()
		}
		if f := b.Graph.Lookup(name); f != nil && f.Type.Len == 0 {
			shown = append(shown, f)
		}
	}
	return shown, nil
}

// lastProfit is the name of the profit of the plan's last year.
func (b *Workbook) lastProfit() string {
	last := ""
	for _, f := range b.Graph.All() {
		year, ok := strings.CutPrefix(f.Name, "plan.year")
		if year, after, found := strings.Cut(year, "."); ok && found && after == "profit" && (last == "" || len(year) > 0 && f.Name > last) {
			last = f.Name
		}
	}
	return last
}

// doubts says which of the plan's tests do not hold.
func (p *page) doubts() *tree.Element {
	var not []tree.Nodes
	all := 0
	for _, f := range p.Graph.All() {
		if !strings.HasPrefix(f.Name, "plan.met.") || !f.Type.Truth() || f.Type.Len > 0 || f.Hidden {
			continue
		}
		if _, none := p.Graph.Base().None(f); none {
			continue // it neither holds nor fails
		}
		all++
		if !p.Graph.Base().Holds(f) {
			not = append(not, p.refer(f, p.say(f.Label), true))
		}
	}
	switch {
	case all == 0:
		return nil
	case len(not) == 0:
		return tree.E("p", phrase(p.words.Say("front_all_met"), p.words.inWords(all)))
	}
	return tree.E("p", phrase(p.words.Say("front_not_met"), p.words.inWords(len(not)), p.words.inWords(all), p.listOf(not)))
}

// listOf lists parts that may hold commas.
func (p *page) listOf(texts []tree.Nodes) tree.Nodes {
	var nodes tree.Nodes
	for i, text := range texts {
		if i > 0 {
			nodes = append(nodes, tree.Text("; "))
		}
		nodes = append(nodes, text...)
	}
	return nodes
}

// frontChart is what the farm has in the bank, month by month.
func (p *page) frontChart() tree.Nodes {
	f := p.Graph.Lookup("plan.cash")
	if f == nil || f.Type.Len < 2 {
		return nil
	}
	c := &chart.Chart{Kind: chart.Lines, Unit: p.Style.Unit(f.Unit, true), Years: true}
	s := chart.Series{Name: p.say(f.Label)}
	for i, x := range f.Months() {
		c.Categories = append(c.Categories, p.say((p.Start + plan.Month(i)).Short()))
		s.Values = append(s.Values, f.Unit.FromBase(x))
		s.Shown = append(s.Shown, p.Style.Figures(x, f.Unit, f.Step))
	}
	c.Series = []chart.Series{s}
	return p.draw(c, tree.Nodes{txt(s.Name)}, nil, f.Place)
}

// ways are three ways to read the book: to begin, to check it, to lend on it.
func (m *maker) ways() *tree.Element {
	list := tree.E("ul.ways")
	way := func(word, href, title string) {
		list.Add(tree.E("li", txt(m.words.Say(word)+" "), tree.E("a", tree.Href(href), txt(title))))
	}
	if len(m.chapters) > 0 {
		way("way_begin", m.chapters[0].href(), m.chapters[0].Title)
	}
	way("way_check", "figures.html", m.words.Say("all_figures"))
	if i := slices.IndexFunc(m.chapters, func(c *made) bool { return slices.Contains(c.Tags, lender) || strings.HasPrefix(c.Name, lender+"_") }); i >= 0 {
		way("way_lend", m.chapters[i].href(), m.chapters[i].Title)
	}
	return list
}
