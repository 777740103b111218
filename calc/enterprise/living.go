package enterprise

import (
	"math"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/portable"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// A Living is what it takes an enterprise, run on its own, to earn the farm's
// target income: the smallest scale in whole steps at which it does.
type Living struct {
	Spec   *Spec
	Owners Answer // worked by the people alone, within their hours in every month
	Hired  Answer // with hired help for the hours that they don't have
	// AtBest is the scale that leaves the most, with hired help, whether that
	// pays or not. Pays says only that there is one.
	AtBest Answer
}

// An Answer is a scale that pays, or the reason why there is none.
type Answer struct {
	Pays    bool
	Scale   float64  // base units of the scale's figure
	Tried   int      // steps up to the scale, or all there are if none pays
	Why     Why      // empty if it pays
	Reason  say.Text // a plain sentence without its full stop; empty if it pays
	Below   float64  // the step below, which does not pay
	IsLeast bool     // there is no step below

	values *figures.Values // of all figures at the scale
}

// A Why is what keeps an enterprise from paying.
type Why string

// The reasons.
const (
	NoTarget Why = "target"  // the farm names no target income, or the scale no span
	Loss     Why = "loss"    // each unit costs more than it brings
	Short    Why = "short"   // the margin falls short, and larger would be worse
	Market   Why = "market"  // the margin falls short at the largest scale
	NoLand   Why = "land"    // the same, where land sets the largest scale
	NoHours  Why = "hours"   // it would pay, but takes more hours than the people have
	TooDear  Why = "help"    // it would pay, but not the help that it takes
	Unknown  Why = "unknown" // the margin itself has no answer
)

// Target is the figure that a living is measured against: money, or money in
// a time, of which a year's is meant.
const Target = "farm.target_income"

// mostSteps bounds a search: a million steps take a few seconds.
const mostSteps = 1_000_000

// lanes is how many steps are worked out side by side.
const lanes = 64

// nearly is the part by which a margin may miss the target and still count as
// equal, as in comparisons of formulas.
const nearly = 1e-9

// Livings looks, for each enterprise, at every step of its scale for the
// smallest that pays. Nothing is assumed about how the
// margin moves between steps: costs may jump and the margin fall and rise
// again. Land beyond what the farm has and takings beyond what a channel bears
// do not end a search; they are part of the answer.
func Livings(g *figures.Graph, specs []Spec, style *quantity.Style) []Living {
	s := newSearch(g, style)
	livings := make([]Living, len(specs))
	for i := range specs {
		livings[i] = s.living(&specs[i])
	}
	return livings
}

func newSearch(g *figures.Graph, style *quantity.Style) *search {
	s := &search{g: g, style: style}
	f := g.Lookup(Target)
	switch {
	case f == nil || f.Type.Len > 0:
	case f.Type.Dimension == g.Units.Money().Dimension:
		s.target, s.aim = f, f.Current()
	case f.Type.Dimension == g.Units.Must(g.Units.Currency()+"/year").Dimension:
		s.target, s.aim, s.aYear = f, f.Current()*g.Units.Must("year").ToBase(1), " * 1 year"
	}
	return s
}

type search struct {
	g      *figures.Graph
	style  *quantity.Style
	target *figures.Figure // nil if the farm has none, or none in money
	aim    float64         // money to earn in a year, base units
	aYear  string          // what makes it a year's money, in a formula
	lanes  *figures.Lanes  // made when first needed
}

// A scan is what one pass over the steps of an enterprise sees.
type scan struct {
	*search
	spec                     *Spec
	scale                    *figures.Figure
	net, hired, hours, gross *figures.Figure
	least, step              float64
	count                    int

	owners, help     int // first step that pays, or -1
	anyHours         int // first step that would pay if hours were no matter, or -1
	best, bestGross  extreme
	bestHired        extreme
	answered, looked int // steps with a margin; steps looked at
}

type extreme struct {
	at    int
	value float64
}

func (e *extreme) take(at int, value float64) {
	if value > e.value {
		e.at, e.value = at, value
	}
}

func (s *search) living(spec *Spec) Living {
	l := Living{Spec: spec}
	refuse := func(why Why, reason say.Text) Living {
		l.Owners = Answer{Why: why, Reason: reason}
		l.Hired, l.AtBest = l.Owners, l.Owners
		return l
	}
	if s.target == nil {
		return refuse(NoTarget, "the farm has no target income; write target_income, a sum of money, under inputs in data/farm.yaml")
	}
	c := &scan{search: s, spec: spec, owners: -1, help: -1, anyHours: -1}
	lowest := extreme{value: math.Inf(-1)}
	c.best, c.bestGross, c.bestHired = lowest, lowest, lowest
	id := spec.ID + "."
	c.scale = s.g.Lookup(id + spec.Scale.Figure.Name)
	c.net, c.hired = s.g.Lookup(id+"alone_net_margin"), s.g.Lookup(id+"alone_net_margin_hired")
	c.hours, c.gross = s.g.Lookup(id+"hired_hours"), s.g.Lookup(id+"gross_margin")
	step, least, most := s.g.Lookup(id+"scale.step"), s.g.Lookup(id+"scale.least"), s.g.Lookup(id+"scale.most")
	for _, f := range []*figures.Figure{c.scale, c.net, c.hired, c.hours, c.gross, step, least, most} {
		if f == nil {
			return refuse(Unknown, "its budget could not be worked out")
		}
	}
	c.least, c.step = least.Current(), step.Current()
	span := most.Current() - c.least
	n := math.Floor(span/c.step + 1e-9)
	switch {
	case math.IsNaN(n) || !(c.step > 0):
		return refuse(NoTarget, "the span of its scale has no answer")
	case n < 0:
		return refuse(NoTarget, say.With("its largest scale, %s, is below its smallest, %s", s.text(most, most.Current()), s.text(least, c.least)))
	case n >= mostSteps:
		return refuse(NoTarget, "its scale has more than a million steps; make the step larger")
	}
	c.count = int(n) + 1
	c.run()
	l.Owners = c.answer(c.owners)
	if !l.Owners.Pays {
		l.Owners.Why, l.Owners.Reason = c.whyOwners()
	}
	l.Hired = c.answer(c.help)
	if !l.Hired.Pays {
		l.Hired.Why, l.Hired.Reason = c.whyHired()
	}
	if l.AtBest = c.answer(c.bestHired.at); math.IsInf(c.bestHired.value, -1) {
		l.AtBest = Answer{Tried: c.looked, Why: Unknown, Reason: "its net margin can't be worked out at any scale"}
	}
	return l
}

// at is the scale after so many steps from the least.
func (c *scan) at(step int) float64 { return c.least + float64(float64(step)*c.step) }

// run looks at all steps, in blocks.
func (c *scan) run() {
	if c.lanes == nil {
		c.search.lanes = c.g.NewLanes(lanes)
	}
	l := c.search.lanes
	route := c.g.RouteTo([]*figures.Figure{c.scale}, []*figures.Figure{c.net, c.hired, c.hours, c.gross})
	scale := l.Lane(c.scale, 0)
	net, hired, hours, gross := l.Lane(c.net, 0), l.Lane(c.hired, 0), l.Lane(c.hours, 0), l.Lane(c.gross, 0)
	enough := c.aim - float64(nearly*math.Abs(c.aim))
	slack := nearly * c.g.Units.Must("year").ToBase(1)
	for from := 0; from < c.count; from += lanes {
		for i := range scale {
			scale[i] = c.at(min(from+i, c.count-1))
		}
		route.RunLanes(l)
		for i := 0; i < lanes && from+i < c.count; i++ {
			k := from + i
			c.looked++
			if !math.IsNaN(net[i]) {
				c.answered++
			}
			c.best.take(k, net[i])
			c.bestGross.take(k, gross[i])
			c.bestHired.take(k, hired[i])
			if net[i] >= enough && c.anyHours < 0 {
				c.anyHours = k
			}
			if net[i] >= enough && hours[i] <= slack && c.owners < 0 {
				c.owners = k
			}
			if hired[i] >= enough && c.help < 0 {
				c.help = k
			}
		}
	}
	// Other enterprises see this one at its present scale.
	now := c.scale.Current()
	for i := range scale {
		scale[i] = now
	}
	route.RunLanes(l)
}

func (c *scan) answer(step int) Answer {
	if step < 0 {
		return Answer{Tried: c.looked}
	}
	a := Answer{Pays: true, Scale: c.at(step), Tried: step + 1, IsLeast: step == 0, values: c.valuesAt(step)}
	if step > 0 {
		a.Below = c.at(step - 1)
	}
	return a
}

func (c *scan) valuesAt(step int) *figures.Values {
	v := c.g.Base().Clone()
	v.Set(c.scale, c.at(step))
	v.Run()
	return v
}

// text writes a value as the figure is shown.
func (s *search) text(f *figures.Figure, value float64) string {
	unit, step := f.Unit, f.Step
	if f.Formula == nil || f.Formula.As == nil {
		unit, step = s.g.Units.Larger(value, unit), 0
	}
	return s.style.Text(value, unit, step)
}

// money writes an amount in whole units of the currency.
func (s *search) money(value float64) string { return s.style.Text(value, s.g.Units.Money(), 1) }

// usedThrough calls visit with each channel that an enterprise sells through
// and the names of the figures of its takings there, in the order of lines.
func (s *Spec) usedThrough(visit func(channel string, takings []string)) {
	var order []string
	takings := map[string][]string{}
	s.lines(Sale, func(l *Line, name string) {
		for _, c := range l.Through {
			id := c.Channel.Name
			if takings[id] == nil {
				order = append(order, id)
			}
			takings[id] = append(takings[id], name+".through."+id)
		}
	})
	for _, id := range order {
		visit(id, takings[id])
	}
}

// A measure is a result at the scale that pays, under a name of its own.
type measure struct {
	name, of string
	label    say.Text
}

// measures has what is told of an enterprise at the scale that pays.
var measures = []measure{
	{"net_margin", "alone_net_margin_hired", "Net margin"},
	{"land", "land", "Land"},
	{"capital_needed", "alone_capital", "Capital needed"},
	{"hours", "hours", "Hours a year"},
	{"hired_hours", "hired_hours", "Hours hired"},
	{"peak_hours", "peak_hours", "Hours in the busiest month"},
	{"return_per_hour", "alone_return_per_hour", "Return on each hour of the owners"},
	{"margin_per_hectare", "alone_margin_per_hectare", "Net margin per hectare"},
	{"payback", "alone_payback", "Payback"},
	{"break_even_price", "alone_break_even_price", "Break-even price"},
	{"sales", "sales", "Sales"},
	{"direct_costs", "alone_direct_costs", "Variable costs before selling"},
	{"selling_costs", "channel_fees", "Selling costs"},
	{"hired_cost", "hired_cost", "Cost of hired hours"},
	{"own_overheads", "alone_own_overheads", "Overheads of its own, with rent and wear of equipment"},
	{"farm_overheads", "alone_farm_overheads", "Overheads and infrastructure of the farm"},
	{"hours_by_month", "hours_by_month", "Hours by month"},
}

// The sets of figures that tell of a living.
const (
	LivingWord      = "living"       // worked by the owners alone
	LivingHiredWord = "living_hired" // with hired help
	AtBestWord      = "at_best"      // the scale that leaves the most
)

// LivingDefinitions turns what Livings found in g into figures of a second
// graph: <enterprise>.living.<name>, and .living_hired.<name>, where name is
// scale, steps (how many were tried), below (net margin one step below), pays
// (yes or no), winter_income (cash in less cash out over the four dark months),
// takings.<channel> for each channel with a limit, or one of
//
//	net_margin, land, capital_needed, hours, hired_hours, peak_hours,
//	return_per_hour, margin_per_hectare, payback, break_even_price, sales,
//	direct_costs, selling_costs, hired_cost, own_overheads, farm_overheads,
//	hours_by_month
//
// All of them are those of the enterprise run on its own. Where no scale pays
// they have no answer, for the reason found. <enterprise>.at_best.<name> are
// those at the scale that leaves the most, with hired help; there, part is the
// net margin as a share of the target.
func LivingDefinitions(g *figures.Graph, livings []Living, style *quantity.Style) []figures.Definition {
	s := newSearch(g, style)
	var all []figures.Definition
	for i := range livings {
		l := &livings[i]
		all = append(all, s.define(l, &l.Owners, LivingWord, "worked by the owners alone")...)
		all = append(all, s.define(l, &l.Hired, LivingHiredWord, "with hired help for the hours that the owners don't have")...)
		all = append(all, s.define(l, &l.AtBest, AtBestWord, "at the scale that leaves the most")...)
	}
	return all
}

func (s *search) define(l *Living, a *Answer, word string, how say.Text) []figures.Definition {
	spec, id := l.Spec, l.Spec.ID+"."
	prefix := id + word + "."
	margin := id + "alone_net_margin"
	if word != LivingWord {
		margin += "_hired"
	}
	rest := []string{margin, id + "hired_hours", Target, id + "scale.step", id + "scale.least", id + "scale.most"}
	scale := s.g.Lookup(id + spec.Scale.Figure.Name)
	if scale == nil {
		scale = &figures.Figure{Definition: &figures.Definition{}}
	}
	size := s.text(scale, a.Scale)
	var all []figures.Definition
	add := func(name string, label, found say.Text, unit quantity.Unit, value float64, from ...string) *figures.Definition {
		all = append(all, figures.Definition{
			Name: prefix + name, Label: say.With("%s, %s", label, how), Scope: spec.ID, Place: spec.Place,
			Value: quantity.Quantity{Value: value, Unit: unit}, Found: found, NoAnswer: a.Reason, From: append(from, rest...),
		})
		return &all[len(all)-1]
	}
	search := say.With("the smallest scale, in whole steps, at which the enterprise alone pays the target income, %s; every step was tried from the smallest up, %s in all", how, say.Number(float64(a.Tried), 0))
	if !a.Pays {
		search = say.With("searched for the smallest scale, in whole steps, at which the enterprise alone pays the target income, %s", how)
	}
	if word == AtBestWord {
		search = "the scale, in whole steps, at which the enterprise alone leaves the most, after hired help"
	}
	at := func(what say.Text) say.Text {
		switch best := word == AtBestWord; {
		case best && a.Pays:
			return say.With("%s, at the scale that leaves the most, %s", what, size)
		case best:
			return say.With("%s, at the scale that leaves the most", what)
		case a.Pays:
			return say.With("%s, at the scale that pays, %s", what, size)
		}
		return say.With("%s, at the scale that pays", what)
	}
	f := add("found", "A scale was found", search, quantity.Unit{}, 0)
	f.Hidden, f.NoAnswer = true, ""
	if a.Pays {
		f.Value.Value = 1
	}
	add("scale", "Scale", search, scale.Unit, a.Scale)
	if word == AtBestWord {
		if s.target != nil {
			all = append(all, figures.Definition{
				Name: prefix + "part", Label: say.With("Part of the target, %s", how), Scope: spec.ID, Place: spec.Place,
				Formula: derived(spec, prefix+"net_margin / ("+Target+s.aYear+") as 1 %"),
			})
		}
	} else {
		all = append(all, figures.Definition{
			Name: prefix + "pays", Label: say.With("Pays the target income, %s", how), Scope: spec.ID, Place: spec.Place,
			Formula: derived(spec, prefix+"found is 1"),
		})
		add("steps", "Steps tried", search, quantity.Unit{}, float64(a.Tried))
		s.below(add, l, a, scale, margin)
	}
	for _, m := range measures {
		if m.name == "margin_per_hectare" {
			_, word := s.g.Units.Land()
			m.label = say.With("Net margin per %s", word)
		}
		source := s.g.Lookup(id + m.of)
		if m.name == "break_even_price" && spec.Output.Name == "" {
			continue
		}
		if source == nil {
			add(m.name, m.label, at(m.label), s.g.Units.Money(), 0, id+m.of)
			continue
		}
		d := add(m.name, m.label, at(source.Label), source.Unit, 0, source.Name)
		if source.Type.Len > 0 {
			d.Series = make([]float64, source.Type.Len)
		}
		if m.name == "land" {
			d.Value.Unit = s.landUnit(spec, source.Unit)
		}
		if source.Formula != nil && source.Formula.As != nil {
			d.Value.Step = source.Step
		}
		if strings.HasSuffix(m.name, "hours") {
			d.Value.Step = 1
		}
		if !a.Pays {
			continue
		}
		if source.Type.Len > 0 {
			d.Series = a.values.Months(source)
			continue
		}
		d.Value.Value = a.values.Of(source)
		if reason, none := a.values.None(source); none {
			d.NoAnswer = reason
		} else if math.IsNaN(d.Value.Value) || math.IsInf(d.Value.Value, 0) {
			d.NoAnswer = "it can't be worked out at that scale"
		}
		if m.name != "land" && d.Value.Step == 0 && d.NoAnswer == "" {
			d.Value.Unit = s.g.Units.Larger(d.Value.Value, d.Value.Unit)
		}
		if m.name == "capital_needed" || m.name == "margin_per_hectare" {
			d.Value.Step = threeFigures(d.Value.Unit.FromBase(d.Value.Value))
		}
	}
	s.winter(add, a, id)
	spec.usedThrough(func(channel string, takings []string) {
		if s.g.Lookup("prices.channels."+channel+".limit") == nil {
			return
		}
		label := say.With("Takings through %s", strings.ReplaceAll(channel, "_", " "))
		d := add("takings."+channel, label, at(label), s.g.Units.Money(), 0, takings...)
		if !a.Pays {
			return
		}
		for _, name := range takings {
			d.Value.Value += a.values.Of(s.g.Lookup(name))
		}
	})
	return all
}

type adder func(name string, label, found say.Text, unit quantity.Unit, value float64, from ...string) *figures.Definition

// below adds the proof that one step less would not do: its net margin.
func (s *search) below(add adder, l *Living, a *Answer, scale *figures.Figure, margin string) {
	d := add("below", "Net margin one step below", "the net margin one step below the scale that pays", s.g.Units.Money(), 0)
	f := s.g.Lookup(margin)
	switch {
	case !a.Pays || f == nil:
	case a.IsLeast:
		d.NoAnswer = "the smallest scale pays already"
	default:
		v := a.values.Clone()
		v.Set(scale, a.Below)
		v.Run()
		d.Found = say.With("the net margin at %s, one step below the scale that pays", s.text(scale, a.Below))
		if d.Value.Value = v.Of(f); math.IsNaN(d.Value.Value) {
			d.Value.Value, d.NoAnswer = 0, "it can't be worked out at that scale"
		}
	}
}

// winter adds the cash of the four months in which little grows.
func (s *search) winter(add adder, a *Answer, id string) {
	months, name := []int{10, 11, 0, 1}, say.Text("November to February")
	latitude := s.g.Lookup("farm.latitude")
	var from []string
	if latitude != nil {
		from = append(from, latitude.Name)
		if latitude.Current() < 0 {
			months, name = []int{4, 5, 6, 7}, "May to August"
		}
	}
	cash := s.g.Lookup(id + "cash_by_month")
	d := add("winter_income", "Cash in winter", say.With("sales less costs of %s, before overheads, at the scale that pays", name), s.g.Units.Money(), 0, append(from, id+"cash_by_month")...)
	if cash == nil || !a.Pays {
		return
	}
	values := a.values.Months(cash)
	for _, m := range months {
		d.Value.Value += values[m]
	}
	d.Value.Step = threeFigures(d.Value.Unit.FromBase(d.Value.Value))
}

// threeFigures is the step to show a value to which nobody knows to more: the
// third of its figures, but no finer than 1.
func threeFigures(value float64) float64 {
	if value == 0 || math.IsNaN(value) || math.IsInf(value, 0) {
		return 1
	}
	return max(1, math.Pow10(int(math.Floor(portable.Log10(math.Abs(value))))-2))
}

// landUnit is the unit that the farm measures its land in.
func (s *search) landUnit(spec *Spec, otherwise quantity.Unit) quantity.Unit {
	unit := otherwise
	spec.lines(Land, func(l *Line, _ string) {
		if area := s.g.Lookup("farm.land." + l.Use.Name + ".area"); area != nil && len(area.Unit.Parts) == 1 {
			unit = area.Unit
		}
	})
	if len(unit.Parts) == 1 && (unit.Parts[0].Unit.Symbol == "m" || unit.Parts[0].Unit.Symbol == "ft") {
		unit, _ = s.g.Units.Land()
	}
	return unit
}
