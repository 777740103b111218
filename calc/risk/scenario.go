package risk

import (
	"fmt"
	"math"
	"slices"
	"strings"

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

// Scenarios are a farm's scenarios, to be worked out beside its plan.
type Scenarios struct {
	plan *plan.Declared
	all  []Scenario
}

// NewScenarios takes the scenarios of a farm whose plan has been declared. A
// change to a figure holds for whole years of the plan; one to a person's hours
// for any months. A figure that is worked out from others is changed when they
// are: the greenhouse's yield times 0.5 is half of what it comes to at each
// year's scale.
func NewScenarios(p *plan.Declared, scenarios []Scenario) *Scenarios { return &Scenarios{p, scenarios} }

// Engines work the scenarios out. Each gives
//
//	scenarios.<id>.lowest_cash, .lowest_cash_month (counted from 1)
//	scenarios.<id>.year<k>.profit, .debt_service_cover, .hours_hired, .cash_end
//
// and as texts scenarios.<id>.label and .lowest_cash_when.
func (s *Scenarios) Engines() []*figures.Engine {
	var engines []*figures.Engine
	for i := range s.all {
		x := &s.all[i]
		engines = append(engines, &figures.Engine{Name: "the scenario " + x.ID, Declare: func(d *figures.Declaration) figures.Run { return s.declare(d, x) }})
	}
	return append(engines, &figures.Engine{Name: "when scenarios have least in the bank", Declare: func(d *figures.Declaration) figures.Run {
		planned := d.Read("plan.lowest_cash_when")
		var when []*figures.In
		for i := range s.all {
			when = append(when, d.Read("scenarios."+s.all[i].ID+".lowest_cash_when"))
		}
		out := d.Give(figures.Output{Name: "scenarios.when", Label: "When there is least in the bank", Text: true, Hidden: true})
		return func(c *figures.Case) {
			note := say.With("When there is least in the bank. As planned: %s", c.Text(planned))
			for i, in := range when {
				note = say.With("%s. %s: %s", note, s.all[i].Label, c.Text(in))
			}
			c.Say(out, say.With("%s.", note))
		}
	}})
}

// A bent figure is one that a scenario changes, as an engine sees it.
type bent struct {
	*Change
	now *figures.In // what it is, of one that is multiplied
	set *figures.In
}

// Named is the full name of what a change calls by a name in its scope.
func (c *Change) Named(has func(string) bool) (string, bool) {
	for scope := c.Scope; scope != ""; {
		if full := scope + "." + c.Figure.Text; has(full) {
			return full, true
		}
		dot := strings.LastIndexByte(scope, '.')
		scope = scope[:max(0, dot)]
	}
	return c.Figure.Text, has(c.Figure.Text)
}

// person returns whose hours a figure is, if it is anybody's.
func (s *Scenarios) person(name string) string {
	for _, p := range s.plan.People {
		if name == "farm.people."+p.ID+".hours" {
			return p.ID
		}
	}
	return ""
}

func (s *Scenarios) declare(d *figures.Declaration, x *Scenario) figures.Run {
	p := s.plan
	var bends []bent
	var set []*figures.In
	for i := range x.Changes {
		c := &x.Changes[i]
		name, ok := c.Named(d.Has)
		if !ok {
			continue // Mistakes says so
		}
		if who := s.person(name); who != "" && c.Times {
			name = plan.HoursOf(who)
		}
		b := bent{Change: c, set: d.Name(name)}
		if c.Times || x.From != 0 {
			b.now = d.Read(name) // what it is in other years counts too
		}
		set = append(set, b.set)
		bends = append(bends, b)
	}
	years := p.Years
	cash, before := d.Name("plan.cash"), d.Name("plan.before.net_cash")
	wants := []*figures.In{cash, before}
	byYear := map[string][]*figures.In{}
	for _, name := range []string{"profit", "cash_end", "hours_hired", "debt_service_cover"} {
		for y := range years {
			in := d.Name(fmt.Sprintf("plan.year%d.%s", y+1, name))
			byYear[name] = append(byYear[name], in)
			wants = append(wants, in)
		}
	}
	cone := d.Again(set, wants, true)
	prefix := "scenarios." + x.ID + "."
	const how = "the plan worked out with what this scenario changes"
	give := func(name string, label say.Text, unit quantity.Unit, step float64) *figures.Out {
		return d.Give(figures.Output{Name: prefix + name, Label: say.With("%s: %s", x.Label, label), Scope: "scenarios", Place: x.Place, How: how, Unit: unit, Step: step})
	}
	words := func(name string, label say.Text) *figures.Out {
		return d.Give(figures.Output{Name: prefix + name, Label: say.With("%s: %s", x.Label, label), Scope: "scenarios", Place: x.Place, How: how, Text: true})
	}
	money, number, hour := d.Units().Money(), quantity.Unit{Factor: 1}, d.Units().Must("h")
	lowest, month := give("lowest_cash", "least in the bank at a month's end", money, 1), give("lowest_cash_month", "month of the plan with the least in the bank", number, 1)
	label, when := words("label", "name"), words("lowest_cash_when", "when there is least in the bank")
	outs := map[string][]*figures.Out{}
	for y := range years {
		year, in := fmt.Sprintf("year%d.", y+1), p.YearLabel(y)
		outs["profit"] = append(outs["profit"], give(year+"profit", say.With("profit before tax in %s", in), money, 1))
		outs["cash_end"] = append(outs["cash_end"], give(year+"cash_end", say.With("in the bank at the end of %s", in), money, 1))
		outs["hours_hired"] = append(outs["hours_hired"], give(year+"hours_hired", say.With("hours to hire in %s", in), hour, 1))
		outs["debt_service_cover"] = append(outs["debt_service_cover"], give(year+"debt_service_cover", say.With("debt service cover in %s", in), number, 0.01))
	}
	single := []*figures.Out{lowest, month}
	for _, by := range outs {
		single = append(single, by...)
	}
	return func(c *figures.Case) {
		c.Say(label, say.Own(x.Label))
		if why := s.unfit(x); why != "" {
			for _, out := range single {
				c.None(out, why)
			}
			c.Say(when, why)
			return
		}
		l := c.Lanes(cone, 1)
		defer l.Free()
		s.bend(c, x, bends, cone, l)
		cone.Run(l)
		months := make([]float64, 12*years)
		for m := range months {
			months[m] = l.At(cash, m, 0)
		}
		const unknown = "a figure that it rests on has no answer in this scenario"
		if slices.ContainsFunc(months, func(x float64) bool { return x != x }) {
			c.None(lowest, unknown)
			c.None(month, unknown)
			c.Say(when, unknown)
		} else {
			low := plan.Lowest(months)
			c.Give(lowest, months[low])
			c.Give(month, float64(low+1))
			c.Say(when, (p.Start + plan.Month(low)).Name())
		}
		for name, ins := range byYear {
			for y, in := range ins {
				if v := l.Of(in, 0); v == v {
					c.Give(outs[name][y], v)
				} else if name == "debt_service_cover" {
					c.None(outs[name][y], "no loan is paid in this year")
				} else {
					c.None(outs[name][y], unknown)
				}
			}
		}
	}
}

// bend sets the lanes to what a scenario changes.
func (s *Scenarios) bend(c *figures.Case, x *Scenario, bends []bent, cone *figures.Cone, l *figures.Lanes) {
	holds := func(year int) bool {
		first := s.plan.Start + plan.Month(12*year)
		return x.From == 0 || x.From <= first && first+11 <= x.To
	}
	var all []*figures.Figure
	var set []figures.Bend
	for _, b := range bends {
		f := b.set.Figure()
		if f == nil {
			continue
		}
		if strings.HasPrefix(f.Name, "plan.people.") {
			for m, hours := range c.Series(b.now) {
				if month := s.plan.Start + plan.Month(m); x.From == 0 || x.From <= month && month <= x.To {
					l.Lane(f, m)[0] = hours * b.Value.Value
				}
			}
			continue
		}
		bend := figures.Bend{Figure: f, Times: b.Times, Values: make([]float64, s.plan.Years)}
		for year := range bend.Values {
			bend.Values[year] = math.NaN()
			if holds(year) {
				bend.Values[year] = b.Value.Value
			}
		}
		if x.From == 0 {
			for m := range max(1, f.Type.Len) {
				to := b.Value.Value
				if b.Times {
					to *= c.Series(b.now)[m]
				}
				l.Lane(f, m)[0] = to
			}
			if f.Formula == nil {
				continue // set once, it is so in every year
			}
		}
		all, set = append(all, f), append(set, bend)
	}
	if len(all) > 0 {
		cone.Bend(all...)
		cone.Load(c, l)
		l.Bends(set...)
	}
}

// unfit says why the plan has no answer to a scenario: it is of months that the
// plan has not, or changes within a year of the plan what only whole years can.
func (s *Scenarios) unfit(x *Scenario) say.Text {
	start, broken := s.plan.Start, false
	for i := range x.Changes {
		c := &x.Changes[i]
		broken = broken || !c.Times || s.person(c.Figure.Text) == "" && s.person(c.Scope+"."+c.Figure.Text) == ""
	}
	switch {
	case x.From == 0:
	case x.From < start || x.To >= start+plan.Month(12*s.plan.Years):
		return "it is not within the plan"
	case broken && ((x.From-start)%12 != 0 || (x.To+1-start)%12 != 0):
		return "it is not of whole years of the plan"
	}
	return ""
}

// Mistakes returns what is wrong in the scenarios, once the graph is there, and
// warnings of those that the plan is too short for, and of what is changed in an
// enterprise that it does not run.
func (s *Scenarios) Mistakes(g *figures.Graph) source.Errors {
	var errs source.Errors
	start, end := s.plan.Start, s.plan.Start+plan.Month(12*s.plan.Years)
	for i := range s.all {
		x := &s.all[i]
		if x.From != 0 && x.To < x.From {
			errs = append(errs, source.Errorf(source.OutOfRange, x.Over, "%s ends before it begins", x.Over.Text()))
			continue
		}
		if x.From != 0 && (x.From < start || x.To >= end) {
			errs = append(errs, source.Warningf(x.Over, "%s is not within the plan, which runs from %s to %s, so the scenario %s has no answer", x.Over.Text(), start, end-1, x.ID))
			continue
		}
		if s.unfit(x) != "" {
			errs = append(errs, source.Warningf(x.Over, "%s is not of whole years of the plan, which begin in %s, so the scenario %s has no answer", x.Over.Text(), start.Name(), x.ID).
				With("write over: %d, or leave over out; a person's hours, times a number, can be changed by months", x.From.Year()))
			continue
		}
		for k := range x.Changes {
			errs.Add(s.mistake(g, x, &x.Changes[k]))
		}
	}
	return errs
}

func (s *Scenarios) mistake(g *figures.Graph, x *Scenario, c *Change) error {
	f, err := g.Find(c.Scope, c.Figure.Text, c.Figure.At)
	if err != nil {
		if g.Failed(c.Scope, c.Figure.Text) {
			return nil
		}
		return err
	}
	hours := s.person(f.Name) != "" && c.Times
	switch {
	case f.Found != "" || f.Hidden:
		return source.Errorf(source.WrongType, c.Figure.At, "%s is a result of the plan, which a scenario can't set", f.Name).
			With("change what it comes from")
	case f.Type.Truth():
		return source.Errorf(source.WrongType, c.Figure.At, "%s is yes or no; a scenario changes numbers", f.Name)
	case !c.Times && c.Value.Unit.Dimension != f.Unit.Dimension:
		return source.Errorf(source.WrongUnit, c.At, "%s is given in %s here, but it is in %s", f.Name, unitText(c.Value.Unit), unitText(f.Unit))
	case hours:
		return nil
	case s.plan.Idle[root(f.Name)]:
		return source.Warningf(c.Figure.At, "the plan does not change with %s in the scenario %s, for it does not run the enterprise", f.Name, x.ID)
	}
	// A change that the plan takes no notice of is a slip, more likely than not.
	inYears, ever := g.Reaches(f, "plan.cash", "plan.months.profit", "plan.hours_needed", "plan.hours_had")
	if x.From != 0 && !inYears || !ever {
		err := source.Errorf(source.UnknownRef, c.Figure.At, "the plan does not change with %s in the scenario %s", f.Name, x.ID)
		if x.From != 0 {
			err.With("loans, lives of equipment and the like hold for the whole plan: leave out over, or choose another figure")
		}
		return err
	}
	return nil
}

// root is the first part of a name.
func root(name string) string {
	first, _, _ := strings.Cut(name, ".")
	return first
}

func unitText(u quantity.Unit) string {
	if text := u.String(); text != "" {
		return text
	}
	return "plain numbers"
}

// Tables lays the scenarios out beside the plan, by the word scenarios.
func (s *Scenarios) Tables() map[string]sheet.Table {
	t := sheet.Table{Name: "scenarios", Title: "What if", Head: "Outcome", Columns: []sheet.Column{{Label: "As planned"}}, NoteOf: "scenarios.when"}
	for i := range s.all {
		t.Columns = append(t.Columns, sheet.Column{Label: say.Own(s.all[i].Label)})
	}
	row := func(label say.Text, name string) {
		cells := []string{"plan." + name}
		for i := range s.all {
			cells = append(cells, "scenarios."+s.all[i].ID+"."+name)
		}
		t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Line, Label: label, Cells: cells, IfAny: name != "lowest_cash"})
	}
	row("Least in the bank", "lowest_cash")
	for _, group := range []struct {
		head say.Text
		name string
	}{{"Profit before tax", "profit"}, {"Debt service cover", "debt_service_cover"}, {"Hours to hire", "hours_hired"}} {
		t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Head, Label: group.head})
		for y := range s.plan.Years {
			row(s.plan.YearLabel(y), fmt.Sprintf("year%d.%s", y+1, group.name))
		}
	}
	return map[string]sheet.Table{"scenarios": t}
}
