package risk

import (
	"fmt"
	"math"
	"slices"

	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
	"rickyard/calc/source"
)

// A Scenario sets some figures otherwise and works the plan out again.
type Scenario struct {
	ID, Label, Note string
	Changes         []Change
	Place           source.Span

	// From and To are the months over which it holds, both included; none: the
	// whole plan.
	From, To plan.Month
	Over     source.Span // where they are written
}

// A Change sets one figure: to a value, or to so many times what it is.
type Change struct {
	Figure Ref // by its name, as a formula would call it in Scope
	Scope  string
	Times  bool
	Value  quantity.Quantity // of Times a plain number
	At     source.Span       // of what is written
}

// Scenarios are scenarios worked out beside the plan.
type Scenarios struct {
	plan        *plan.Results
	all         []Scenario
	graph       *figures.Graph
	errs        source.Errors
	definitions []figures.Definition
	facts       map[string]say.Text
	sound       []int // those of all that could be worked out
}

// A bend is a change that has been looked up.
type bend struct {
	*Change
	figure *figures.Figure
	person int // whose hours it changes by months; -1
}

// WorkScenarios works out the plan in each scenario. A change to a figure holds
// for whole years of the plan; one to a person's hours for any months. A figure
// that is worked out from others is changed when they are: the greenhouse's yield
// times 0.5 is half of what it comes to at each year's scale.
func WorkScenarios(g *figures.Graph, results *plan.Results, scenarios []Scenario) *Scenarios {
	s := &Scenarios{plan: results, all: scenarios, graph: g, facts: map[string]say.Text{}}
	if len(scenarios) == 0 {
		return s
	}
	own := *results.Farm
	own.Apart = true
	p := plan.Compile(g, &own)
	in, books := p.NewInputs(), p.NewBooks()
	books.Whole = true
	p.Read(g.Base().Clone(), in)
	p.Work(in, books)
	plain := snapshot(books)
	for i := range scenarios {
		if bends, ok := s.look(&scenarios[i]); ok {
			// A change that the plan takes no notice of is a slip, more likely than
			// not.
			for k := range bends {
				s.apply(p, &scenarios[i], bends[k:k+1], in, books)
				if slices.Equal(plain, snapshot(books)) {
					c := bends[k]
					err := source.Errorf(source.UnknownRef, c.Figure.At, "the plan does not change with %s in the scenario %s", c.figure.Name, scenarios[i].ID)
					if scenarios[i].From != 0 {
						err.With("loans, lives of equipment and the like hold for the whole plan: leave out over, or choose another figure")
					}
					s.errs = append(s.errs, err)
					ok = false
				}
			}
			if !ok {
				continue
			}
			s.apply(p, &scenarios[i], bends, in, books)
			s.sound = append(s.sound, i)
			s.define(&scenarios[i], bends, books)
		}
	}
	return s
}

// snapshot is what a plan's books say of money and hours.
func snapshot(b *plan.Books) []float64 {
	var all []float64
	for _, r := range []plan.Row{plan.Bank, plan.Profit, plan.Equity, plan.HoursNeeded, plan.HoursHad} {
		all = append(all, b.Row(r)...)
	}
	return all
}

// look finds the figures of a scenario, and reports what can't be changed so.
func (s *Scenarios) look(x *Scenario) ([]bend, bool) {
	before := len(s.errs)
	start, end := s.plan.Start, s.plan.Start+plan.Month(12*s.plan.Years)
	if x.From != 0 && (x.From < start || x.To >= end || x.To < x.From) {
		s.errs = append(s.errs, source.Errorf(source.OutOfRange, x.Over, "%s is not within the plan, which runs from %s to %s", x.Over.Text(), start, end-1))
		return nil, false
	}
	whole := x.From == 0 || (x.From-start)%12 == 0 && (x.To+1-start)%12 == 0
	var bends []bend
	for i := range x.Changes {
		c := &x.Changes[i]
		f, err := s.graph.Find(c.Scope, c.Figure.Text, c.Figure.At)
		if err != nil {
			if !s.graph.Failed(c.Scope, c.Figure.Text) {
				s.errs.Add(err)
			}
			continue
		}
		b := bend{c, f, -1}
		for k, p := range s.plan.People {
			if f.Name == "farm.people."+p.ID+".hours" && c.Times {
				b.person = k
			}
		}
		switch {
		case f.Found != "" || f.Hidden:
			s.errs = append(s.errs, source.Errorf(source.WrongType, c.Figure.At, "%s is a result of the plan, which a scenario can't set", f.Name).
				With("change what it comes from"))
		case f.Type.Truth():
			s.errs = append(s.errs, source.Errorf(source.WrongType, c.Figure.At, "%s is yes or no; a scenario changes numbers", f.Name))
		case !c.Times && c.Value.Unit.Dimension != f.Unit.Dimension:
			s.errs = append(s.errs, source.Errorf(source.WrongUnit, c.At, "%s is given in %s here, but it is in %s", f.Name, unitText(c.Value.Unit), unitText(f.Unit)))
		case !whole && b.person < 0:
			s.errs = append(s.errs, source.Errorf(source.OutOfRange, x.Over, "%s can only be changed for whole years of the plan, which begin in %s", f.Name, start.Name()).
				With("write over: %d, or leave over out; a person's hours, times a number, can be changed by months", x.From.Year()))
		default:
			bends = append(bends, b)
		}
	}
	// In the order of the graph, so that what is worked from another changed
	// figure is changed after it.
	slices.SortStableFunc(bends, func(a, b bend) int { return a.figure.Index - b.figure.Index })
	return bends, len(s.errs) == before && len(bends) > 0
}

func unitText(u quantity.Unit) string {
	if text := u.String(); text != "" {
		return text
	}
	return "plain numbers"
}

// apply works the plan out with some changes.
func (s *Scenarios) apply(p *plan.Plan, x *Scenario, bends []bend, in *plan.Inputs, books *plan.Books) {
	*in = *p.NewInputs()
	holds := func(year int) bool {
		first := p.Start + plan.Month(12*year)
		return x.From == 0 || x.From <= first && first+11 <= x.To
	}
	p.ReadWith(s.graph.Base().Clone(), in, func(year int, v *figures.Values, after bool) {
		for _, b := range bends {
			if b.figure.IsInput() == after || b.person >= 0 || !holds(year) {
				continue
			}
			b.set(v)
			v.Run()
		}
	})
	for _, b := range bends {
		if b.person >= 0 {
			from, to := x.From, x.To
			if from == 0 {
				from, to = p.Start, p.Start+plan.Month(12*p.Years-1)
			}
			in.ScaleHours(b.person, from, to, b.Value.Value)
		}
	}
	p.Work(in, books)
}

func (b *bend) set(v *figures.Values) {
	switch {
	case !b.Times:
		v.Set(b.figure, b.Value.Value)
	case b.figure.Type.Len > 0:
		months := v.Months(b.figure)
		for m := range months {
			months[m] *= b.Value.Value
		}
		v.SetMonths(b.figure, months)
	default:
		v.Set(b.figure, v.Of(b.figure)*b.Value.Value)
	}
}

// define makes a scenario's figures:
//
//	scenarios.<id>.lowest_cash, .lowest_cash_month (counted from 1)
//	scenarios.<id>.year<k>.profit, .debt_service_cover, .hours_hired, .cash_end
//
// and as texts scenarios.<id>.label and .lowest_cash_when.
func (s *Scenarios) define(x *Scenario, bends []bend, b *plan.Books) {
	p := s.plan.Plan
	var from []string
	for _, c := range bends {
		from = append(from, c.figure.Name)
	}
	prefix := "scenarios." + x.ID + "."
	found := say.Text("the plan worked out with what this scenario changes")
	add := func(name string, label say.Text, value float64, unit quantity.Unit, step float64) *figures.Definition {
		s.definitions = append(s.definitions, figures.Definition{Name: prefix + name, Label: say.With("%s: %s", x.Label, label), Scope: "scenarios", Place: x.Place,
			Found: found, From: append(slices.Clone(from), "plan."+name), Value: quantity.Quantity{Value: value, Unit: unit, Step: step}})
		return &s.definitions[len(s.definitions)-1]
	}
	money, number, hour := s.graph.Units.Money(), quantity.Unit{Factor: 1}, s.graph.Units.Must("h")
	bank := b.Row(plan.Bank)
	low := 1
	for c := 1; c < len(bank); c++ {
		if bank[c] < bank[low]-0.005 {
			low = c
		}
	}
	when := b.MonthOf(low)
	add("lowest_cash", "least in the bank at a month's end", bank[low], money, 1)
	add("lowest_cash_month", "month of the plan with the least in the bank", float64(low), number, 1)
	s.facts[prefix+"label"] = say.Own(x.Label)
	s.facts[prefix+"lowest_cash_when"] = when.Name()
	for y := range p.Years {
		year := fmt.Sprintf("year%d.", y+1)
		label := p.YearLabel(y)
		sum := func(r plan.Row) float64 { return b.Year(r, y) }
		add(year+"profit", say.With("profit before tax in %s", label), sum(plan.Profit), money, 1)
		add(year+"cash_end", say.With("in the bank at the end of %s", label), b.End(plan.Bank, y), money, 1)
		add(year+"hours_hired", say.With("hours to hire in %s", label), sum(plan.HoursHired), hour, 1)
		cover, ok := plan.TermDebtCover(sum(plan.Profit), sum(plan.OffFarm), sum(plan.Depreciation), sum(plan.Interest), sum(plan.Tax), sum(plan.Drawings), sum(plan.Principal))
		d := add(year+"debt_service_cover", say.With("debt service cover in %s", label), cover, number, 0.01)
		if !ok || math.IsNaN(cover) {
			d.NoAnswer = "no loan is paid in this year"
		}
	}
}

// Mistakes returns what is wrong in the scenarios.
func (s *Scenarios) Mistakes() source.Errors { return s.errs }

// Definitions returns the scenarios' figures.
func (s *Scenarios) Definitions() []figures.Definition { return s.definitions }

// Facts returns the scenarios' texts.
func (s *Scenarios) Facts() map[string]say.Text { return s.facts }

// Tables lays the scenarios out beside the plan, by the word scenarios.
func (s *Scenarios) Tables() map[string]sheet.Table {
	t := sheet.Table{Name: "scenarios", Title: "What if", Head: "Outcome", Columns: []sheet.Column{{Label: "As planned"}}}
	note := say.With("When there is least in the bank. As planned: %s", s.plan.Facts()["plan.lowest_cash_when"])
	for _, i := range s.sound {
		x := &s.all[i]
		t.Columns = append(t.Columns, sheet.Column{Label: say.Own(x.Label)})
		note = say.With("%s. %s: %s", note, x.Label, s.facts["scenarios."+x.ID+".lowest_cash_when"])
	}
	t.Note = say.With("%s.", note)
	row := func(label say.Text, name string) {
		cells := []string{"plan." + name}
		for _, i := range s.sound {
			cells = append(cells, "scenarios."+s.all[i].ID+"."+name)
		}
		t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Line, Label: label, Cells: cells})
	}
	row("Least in the bank", "lowest_cash")
	hired := s.has("plan.year1.hours_hired")
	for _, group := range []struct {
		head say.Text
		name string
	}{{"Profit before tax", "profit"}, {"Debt service cover", "debt_service_cover"}, {"Hours to hire", "hours_hired"}} {
		if group.name == "hours_hired" && !hired {
			continue
		}
		t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Head, Label: group.head})
		for y := range s.plan.Years {
			row(s.plan.YearLabel(y), fmt.Sprintf("year%d.%s", y+1, group.name))
		}
	}
	return map[string]sheet.Table{"scenarios": t}
}

func (s *Scenarios) has(name string) bool {
	return slices.ContainsFunc(s.plan.Definitions(), func(d figures.Definition) bool { return d.Name == name })
}
