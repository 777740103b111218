package enterprise

import (
	"math"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
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

// A living is what it takes an enterprise, run on its own, to earn the farm's
// target income: the smallest scale in whole steps at which it does. Every step
// is looked at. Nothing is assumed about how the margin moves between steps:
// costs may jump and the margin fall and rise again. Land beyond what the farm has
// and takings beyond what a channel bears do not end a search; they are part of
// the answer.
type living struct {
	*Spec
	units *quantity.System
	style *quantity.Style

	target, step, least, most *figures.In
	scale                     *figures.In // as it is now; for its unit
	set                       *figures.In
	net, hired, hours, gross  *figures.In
	search                    *figures.Cone

	tell   *figures.Cone // what is told of a scale
	told   []*figures.In // by measure; nil where there is none
	takes  *figures.In   // hours by month
	have   *figures.In
	cost   *figures.In
	held   map[string][]*figures.In // land by month, by kind
	areas  map[string]*figures.In
	cash   *figures.In
	place  *figures.In // the farm's latitude
	routes []route
	sets   [3]set
}

// A route is a channel with a limit, and the takings through it.
type route struct {
	id      string
	takings []*figures.In
}

// A set is the figures that tell of one answer.
type set struct {
	word                               string
	found, scale, steps, below, winter *figures.Out
	target                             *figures.Out // of the best alone: the farm's, for a year
	measures                           []*figures.Out
	routes                             []*figures.Out
}

// An answer is a scale that pays, or the reason why there is none.
type answer struct {
	pays   bool
	step   int      // from the least
	tried  int      // steps up to the scale, or all there are if none pays
	reason say.Text // a plain sentence without its full stop; empty if it pays
}

// LivingEngine works out at which scale an enterprise alone pays the farm's
// target income. It gives <enterprise>.living.<name> for the owners' work alone,
// and .living_hired.<name> with hired help, where name is scale, steps (how many
// were tried), below (net margin one step below), pays (yes or no),
// winter_income (cash in less cash out over the four dark months),
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
func LivingEngine(spec *Spec, style *quantity.Style) *figures.Engine {
	return &figures.Engine{Name: "the scale at which " + spec.ID + " pays", Declare: func(d *figures.Declaration) figures.Run {
		l := &living{Spec: spec, units: d.Units(), style: style, held: map[string][]*figures.In{}, areas: map[string]*figures.In{}}
		if !l.declare(d) {
			return func(*figures.Case) {}
		}
		return l.run
	}}
}

// LivingDefinitions are the formulas on what LivingEngine gives. target says
// whether the farm names one.
func LivingDefinitions(spec *Spec, target bool) []figures.Definition {
	var all []figures.Definition
	add := func(word, name string, label, how say.Text, formula string) {
		all = append(all, figures.Definition{Name: spec.ID + "." + word + "." + name, Label: say.With("%s, %s", label, how), Scope: spec.ID, Place: spec.Place, Formula: derived(spec, formula)})
	}
	for _, s := range livingSets {
		if s.word != AtBestWord {
			add(s.word, "pays", "Pays the target income", s.how, spec.ID+"."+s.word+".found is 1")
		} else if target {
			add(s.word, "part", "Part of the target", s.how, spec.ID+"."+s.word+".net_margin / "+spec.ID+"."+s.word+".target as 1 %")
		}
	}
	return all
}

// The sets of figures that tell of a living.
const (
	LivingWord      = "living"       // worked by the owners alone
	LivingHiredWord = "living_hired" // with hired help
	AtBestWord      = "at_best"      // the scale that leaves the most
)

var livingSets = [3]struct {
	word string
	how  say.Text
}{
	{LivingWord, "without hired help"},
	{LivingHiredWord, "with hired help"},
	{AtBestWord, "at the scale that leaves the most"},
}

// ofTarget reports whether the farm's target is a sum of money, or money in a
// time, of which a year's is meant.
func (l *living) aim(c *figures.Case) (float64, bool) {
	f := l.target.Figure()
	switch {
	case f == nil || f.Type.Len > 0:
	case f.Type.Dimension == l.units.Money().Dimension:
		return c.Of(l.target), true
	case f.Type.Dimension == l.units.Must(l.units.Currency()+"/year").Dimension:
		return c.Of(l.target) * l.units.Must("year").ToBase(1), true
	}
	return 0, false
}

func (l *living) declare(d *figures.Declaration) bool {
	id := l.ID + "."
	l.target = d.ReadOr(Target, math.NaN())
	l.step, l.least, l.most = d.ReadOr(id+"scale.step", math.NaN()), d.ReadOr(id+"scale.least", math.NaN()), d.ReadOr(id+"scale.most", math.NaN())
	for _, name := range []string{"scale.step", "scale.least", "scale.most", l.Scale.Figure.Name, "alone_net_margin_hired"} {
		if !d.Has(id + name) {
			return false // its own mistake is reported
		}
	}
	l.set = d.Name(id + l.Scale.Figure.Name)
	l.net, l.hired = d.Name(id+"alone_net_margin"), d.Name(id+"alone_net_margin_hired")
	l.hours, l.gross = d.Name(id+"hired_hours"), d.Name(id+"gross_margin")
	searched := []*figures.In{l.net, l.hired, l.hours, l.gross}
	l.search = d.Again([]*figures.In{l.set}, searched, false)
	l.cost, l.takes, l.have, l.cash = d.Name(id+"hired_cost"), d.Name(id+"hours_by_month"), d.Name("farm.hours_by_month"), d.Name(id+"cash_by_month")
	l.place = d.ReadOr("farm.latitude", 0)
	wants := []*figures.In{l.cost, l.takes, l.have, l.cash}
	cones := map[string]*figures.Cone{}
	cone := func(key string, ins ...*figures.In) { cones[key] = d.Again([]*figures.In{l.set}, ins, false) }
	for _, m := range measures {
		in := d.Name(id + m.of)
		if !d.Has(id + m.of) {
			in = nil
		} else {
			wants = append(wants, in)
			cone(m.name, in)
		}
		l.told = append(l.told, in)
	}
	cone("winter_income", l.cash)
	for _, use := range l.landUses() {
		if area := "farm.land." + use + ".area"; d.Has(area) {
			l.areas[use] = d.Name(area)
			wants = append(wants, l.areas[use])
		}
		l.lines(Land, func(x *Line, name string) {
			if x.Use.Name == use && d.Has(name+".by_month") {
				in := d.Name(name + ".by_month")
				l.held[use] = append(l.held[use], in)
				wants = append(wants, in)
			}
		})
	}
	l.usedThrough(func(channel string, takings []string) {
		if !d.Has("prices.channels." + channel + ".limit") {
			return
		}
		r := route{id: channel}
		for _, name := range takings {
			r.takings = append(r.takings, d.Name(name))
		}
		wants = append(wants, r.takings...)
		cone("takings."+channel, r.takings...)
		l.routes = append(l.routes, r)
	})
	l.tell = d.Again([]*figures.In{l.set}, append(wants, searched...), false)
	for i, s := range livingSets {
		l.sets[i] = l.outputs(d, s.word, s.how, cones)
	}
	return true
}

func (l *living) outputs(d *figures.Declaration, word string, how say.Text, cones map[string]*figures.Cone) set {
	s := set{word: word}
	best := word == AtBestWord
	add := func(name string, label, found say.Text, o figures.Output) *figures.Out {
		o.Name, o.Label, o.Scope, o.Place, o.How = l.ID+"."+word+"."+name, say.With("%s, %s", label, how), l.ID, l.Place, found
		o.Rests = []*figures.In{l.target, l.step, l.least, l.most}
		o.RestsOn = []*figures.Cone{l.search}
		if name == "winter_income" {
			o.Rests = append(o.Rests, l.place)
		}
		if c := cones[name]; c != nil {
			o.RestsOn = append(o.RestsOn, c)
		}
		return d.Give(o)
	}
	search := say.With("the smallest scale, in whole steps, at which the enterprise alone pays the target income, %s; every step is tried from the smallest up", how)
	if best {
		search = "the scale, in whole steps, at which the enterprise alone leaves the most, after hired help"
	}
	at := func(what say.Text) say.Text {
		if best {
			return say.With("%s, at the scale that earns the most", what)
		}
		return say.With("%s, at the scale that reaches the target", what)
	}
	money := l.units.Money()
	s.found = add("found", "A scale was found", search, figures.Output{Unit: quantity.Unit{Factor: 1}, Hidden: true})
	s.scale = add("scale", "Scale", search, figures.Output{Like: l.set})
	if best {
		s.target = add("target", "Target income", "the farm's target income; a year of it, if it is money in a time", figures.Output{Unit: money, Hidden: true})
	} else {
		s.steps = add("steps", "Steps tried", search, figures.Output{Unit: quantity.Unit{Factor: 1}})
		s.below = add("below", "Net margin one step below", "the net margin one step below the scale that pays", figures.Output{Unit: money})
	}
	for i, m := range measures {
		var out *figures.Out
		label := m.label
		if m.name == "margin_per_hectare" {
			_, word := l.units.Land()
			label = say.With("Net margin per %s", word)
		}
		if in := l.told[i]; m.name == "break_even_price" && l.Output.Name == "" {
		} else if in == nil {
			out = add(m.name, label, at(label), figures.Output{Unit: money})
		} else {
			o := figures.Output{Like: in, LikeLen: true, LikeStep: true, Larger: m.name != "land"}
			switch {
			case strings.HasSuffix(m.name, "hours"):
				o.Step, o.Larger = 1, false
			case m.name == "land":
				o.InLand = true
			}
			out = add(m.name, label, at(label), o)
		}
		s.measures = append(s.measures, out)
	}
	s.winter = add("winter_income", "Cash in winter", "sales less costs of November to February, or south of the equator of May to August, before overheads", figures.Output{Unit: money})
	for _, r := range l.routes {
		label := say.With("Takings through %s", strings.ReplaceAll(r.id, "_", " "))
		s.routes = append(s.routes, add("takings."+r.id, label, at(label), figures.Output{Unit: money}))
	}
	return s
}

// A scan is what one pass over the steps of an enterprise sees.
type scan struct {
	*living
	c           *figures.Case
	one         *figures.Lanes // what is told, one scale at a time
	aim         float64
	first, size float64 // the least scale and one step
	count       int

	owners, help    int // first step that pays, or -1
	anyHours        int // first step that would pay if hours were no matter, or -1
	best, bestGross extreme
	bestHired       extreme
	answered        int // steps with a margin
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

func (l *living) run(c *figures.Case) {
	refuse := func(reason say.Text) {
		for i := range l.sets {
			l.give(c, nil, &l.sets[i], answer{reason: reason})
		}
	}
	aim, ok := l.aim(c)
	if !ok {
		refuse("the farm has no target income; write target_income, a sum of money, under inputs in data/farm.yaml")
		return
	}
	if why, none := c.Why(l.target); none {
		refuse(why)
		return
	}
	x := &scan{living: l, c: c, aim: aim, first: c.Of(l.least), size: c.Of(l.step), owners: -1, help: -1, anyHours: -1}
	lowest := extreme{value: math.Inf(-1)}
	x.best, x.bestGross, x.bestHired = lowest, lowest, lowest
	n := math.Floor((c.Of(l.most)-x.first)/x.size + 1e-9)
	switch {
	case math.IsNaN(n) || !(x.size > 0):
		refuse("the span of its scale has no answer")
		return
	case n < 0:
		refuse(say.With("its largest scale, %s, is below its smallest, %s", l.text(l.most, c.Of(l.most)), l.text(l.least, x.first)))
		return
	case n >= mostSteps:
		refuse("its scale has more than a million steps; make the step larger")
		return
	}
	x.count = int(n) + 1
	x.look()
	x.one = c.Lanes(l.tell, 1)
	defer x.one.Free()
	owners := x.answer(x.owners)
	if !owners.pays {
		owners.reason = x.whyOwners()
	}
	help := x.answer(x.help)
	if !help.pays {
		help.reason = x.whyHired()
	}
	best := x.answer(x.bestHired.at)
	if math.IsInf(x.bestHired.value, -1) {
		best = answer{tried: x.count, reason: "its net margin can't be worked out at any scale"}
	}
	for i, a := range []answer{owners, help, best} {
		l.give(c, x, &l.sets[i], a)
	}
}

// at is the scale after so many steps from the least.
func (x *scan) at(step int) float64 { return x.first + float64(float64(step)*x.size) }

// look looks at all steps, in blocks.
func (x *scan) look() {
	l := x.c.Lanes(x.search, lanes)
	defer l.Free()
	enough := x.aim - float64(nearly*math.Abs(x.aim))
	slack := nearly * x.units.Must("year").ToBase(1)
	scale := l.Lane(x.set.Figure(), 0)
	net, hired, hours, gross := l.In(x.net, 0), l.In(x.hired, 0), l.In(x.hours, 0), l.In(x.gross, 0)
	for from := 0; from < x.count; from += lanes {
		for i := range scale {
			scale[i] = x.at(min(from+i, x.count-1))
		}
		x.search.Run(l)
		for i := 0; i < lanes && from+i < x.count; i++ {
			k := from + i
			if !math.IsNaN(net[i]) {
				x.answered++
			}
			x.best.take(k, net[i])
			x.bestGross.take(k, gross[i])
			x.bestHired.take(k, hired[i])
			if net[i] >= enough && x.anyHours < 0 {
				x.anyHours = k
			}
			if net[i] >= enough && hours[i] <= slack && x.owners < 0 {
				x.owners = k
			}
			if hired[i] >= enough && x.help < 0 {
				x.help = k
			}
		}
	}
}

func (x *scan) answer(step int) answer {
	if step < 0 {
		return answer{tried: x.count}
	}
	return answer{pays: true, step: step, tried: step + 1}
}

// stand works out what is told of a step.
func (x *scan) stand(step int) {
	x.one.Set(x.set, 0, x.at(step))
	x.tell.Run(x.one)
}

func (x *scan) of(in *figures.In) float64 { return x.one.Of(in, 0) }

// months are the values of a series at the step that stands.
func (x *scan) months(in *figures.In) []float64 {
	f := in.Figure()
	if f == nil {
		return make([]float64, 12)
	}
	out := make([]float64, max(1, f.Type.Len))
	for m := range out {
		out[m] = x.one.At(in, m, 0)
	}
	return out
}

// give gives the figures that tell of an answer.
func (l *living) give(c *figures.Case, x *scan, s *set, a answer) {
	outs := append(append([]*figures.Out{s.scale, s.steps, s.below, s.winter, s.target}, s.measures...), s.routes...)
	if !a.pays {
		for _, out := range outs {
			if out != nil {
				c.None(out, a.reason)
			}
		}
		return
	}
	c.Give(s.found, 1)
	if s.steps != nil {
		c.Give(s.steps, float64(a.tried))
	}
	if s.target != nil {
		c.Give(s.target, x.aim)
	}
	c.Give(s.scale, x.at(a.step))
	const unknown = "it can't be worked out at that scale"
	put := func(out *figures.Out, value float64, reason say.Text) {
		if c.Give(out, value); value-value != 0 {
			c.None(out, reason)
		}
	}
	if s.below != nil {
		if a.step == 0 {
			c.None(s.below, "the smallest scale pays already")
		} else {
			x.stand(a.step - 1)
			margin := l.hired
			if s.word == LivingWord {
				margin = l.net
			}
			put(s.below, x.of(margin), unknown)
		}
	}
	x.stand(a.step)
	for i, out := range s.measures {
		switch in := l.told[i]; {
		case out == nil:
		case in == nil:
			c.None(out, unknown)
		case in.Figure().Type.Len > 0:
			c.Give(out, x.months(in)...)
		default:
			reason := say.Text(unknown)
			if why, none := x.one.Why(x.tell, in); none && why != "" {
				reason = why
			}
			put(out, x.of(in), reason)
		}
	}
	dark := []int{10, 11, 0, 1}
	if c.Of(l.place) < 0 {
		dark = []int{4, 5, 6, 7}
	}
	cash, winter := x.months(l.cash), 0.0
	for _, m := range dark {
		winter += cash[m]
	}
	put(s.winter, winter, unknown)
	for i, r := range l.routes {
		sum := 0.0
		for _, in := range r.takings {
			sum += x.of(in)
		}
		put(s.routes[i], sum, unknown)
	}
}

// text writes a value as the figure is shown.
func (l *living) text(in *figures.In, value float64) string {
	f := in.Figure()
	unit, step := f.Unit, f.Step
	if f.Formula == nil || f.Formula.As == nil {
		unit, step = l.units.Larger(value, unit), 0
	}
	return l.style.Text(value, unit, step)
}

// money writes an amount in whole units of the currency.
func (l *living) money(value float64) string { return l.style.Text(value, l.units.Money(), 1) }

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
