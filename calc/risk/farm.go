package risk

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/linear"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
	"rickyard/calc/source"
)

// mostOffers bounds the scales of one enterprise that a mix chooses from. One
// with more steps is offered at every second, third or further step, and the
// step that it is run at now; the mix says so.
const mostOffers = 5000

// Names of figures that bound a mix beside hours, land and channels. A farm
// that has none of them sets no such bound.
const (
	// CapitalLimit is the money that may stand in the enterprises' own
	// equipment and working capital.
	CapitalLimit = "finance.capital_for_enterprises"
	// HiredLimit is the time of hired help that can be had in a month.
	HiredLimit = "farm.hired_hours_a_month"
)

// A FarmMix is the best mix of enterprises on a farm: of all enterprises, each at
// a whole step of its scale or not at all, the mix with the greatest margin: gross
// margin less the enterprise's own overheads, depreciation and rent of land, for
// the farm's other overheads are there whatever it grows. It keeps within the
// hours of every month (help is hired at the wage, up to HiredLimit), each kind of
// land in every month, CapitalLimit, and the takings that each channel bears.
type FarmMix struct {
	Specs    []enterprise.Spec
	Running  []string // the enterprises that are run today
	Land     []string // kinds
	Channels []enterprise.Channel
	Units    *quantity.System
	Place    source.Span
}

// A bound is a resource as the engine reads it.
type bound struct {
	name  string // hours.5, land.pasture.5, capital, channel.stall
	of    string // what a worth is of: hours.5, land.pasture, capital, channel.stall
	label string
	limit *figures.In
	month int
	wage  bool
}

// An offering is an enterprise as the engine reads it.
type offering struct {
	*enterprise.Spec
	scale             *figures.In // set
	now               *figures.In
	least, step, most *figures.In
	parts             []*figures.In // gross margin, and what comes off it
	uses              [][]lane      // by bound
	cone              *figures.Cone
}

// A lane is a figure that takes from a resource, and in which month.
type lane struct {
	in    *figures.In
	month int
}

// Engine searches for the mix when somebody asks. It gives
//
//	mix.gain, mix.gain_now         margin a year of the best mix, and of today's
//	mix.gap                        how much more another mix may leave: 0 once the best is proven
//	mix.<enterprise>.scale, .gain  0 where it is not in the mix
//	mix.worth_of_hour              money for one hour more, by month
//	mix.worth_of_land.<kind>       money a year for one hectare (or acre) more
//	mix.worth_of_capital           money a year for 1,000 more of capital
//	mix.worth_of_channel.<id>      money a year for 1,000 more of takings
//
// (for 100,000 more in a currency without decimals)
//
//	mix.hired_hours                by month
//	mix.help                       what they cost in a year, below 0
//
// and as texts mix.tried, the scales that it chose from, and mix.proof, whether a
// better mix may exist. A worth is that of the last piece of each limit if scales
// could be divided; whole steps may use more or less of it.
func (f *FarmMix) Engine() *figures.Engine {
	return &figures.Engine{Name: "the best mix", Late: true, Declare: func(d *figures.Declaration) figures.Run {
		m := &mixing{FarmMix: f}
		m.declare(d)
		return m.run
	}}
}

// mixing is the search as an engine.
type mixing struct {
	*FarmMix
	bounds             []bound
	all                []*offering
	hire, wage, onCost *figures.In

	gain, gainNow, gap, most *figures.Out
	scales, gains            []*figures.Out
	hours, help, hired       *figures.Out
	worth                    map[string]*figures.Out
	tried, proof             *figures.Out
}

func (m *mixing) declare(d *figures.Declaration) {
	m.hire, m.wage, m.onCost = d.ReadOr(HiredLimit, 0), d.ReadOr("farm.wage", 0), d.ReadOr("farm.employment", 0)
	if d.Has("farm.hours_by_month") {
		for month := range 12 {
			m.bounds = append(m.bounds, bound{name: fmt.Sprintf("hours.%d", month), of: fmt.Sprintf("hours.%d", month), label: "hours", limit: d.Read("farm.hours_by_month"), month: month, wage: true})
		}
	}
	for _, kind := range m.Land {
		if area := "farm.land." + kind + ".area"; d.Has(area) {
			for month := range 12 {
				m.bounds = append(m.bounds, bound{name: fmt.Sprintf("land.%s.%d", kind, month), of: "land." + kind, label: kind, limit: d.Read(area)})
			}
		}
	}
	if d.Has(CapitalLimit) {
		m.bounds = append(m.bounds, bound{name: "capital", of: "capital", label: "capital", limit: d.Read(CapitalLimit)})
	}
	for _, c := range m.Channels {
		if limit := "prices.channels." + c.ID + ".limit"; c.HasLimit && d.Has(limit) {
			m.bounds = append(m.bounds, bound{name: "channel." + c.ID, of: "channel." + c.ID, label: c.Label, limit: d.Read(limit)})
		}
	}
	for i := range m.Specs {
		m.all = append(m.all, m.offering(d, &m.Specs[i]))
	}
	m.outputs(d)
}

// takes names the figures of an enterprise that take from a resource.
func (m *mixing) takes(s *enterprise.Spec, b *bound) (names []string, month int) {
	kind, rest, _ := strings.Cut(b.name, ".")
	switch kind {
	case "hours":
		fmt.Sscan(rest, &month)
		return []string{s.ID + ".hours_by_month"}, month
	case "land":
		use, at, _ := strings.Cut(rest, ".")
		fmt.Sscan(at, &month)
		for _, l := range s.Lines {
			if l.Kind == enterprise.Land && l.Use.Name == use {
				names = append(names, s.ID+"."+l.Name+".by_month")
			}
		}
		return names, month
	case "capital":
		return []string{s.ID + ".capital_needed"}, 0
	}
	for _, l := range s.Lines {
		for _, t := range l.Through {
			if t.Channel.Name == rest {
				names = append(names, s.ID+"."+l.Name+".through."+rest)
			}
		}
	}
	return names, 0
}

func (m *mixing) offering(d *figures.Declaration, s *enterprise.Spec) *offering {
	id := s.ID + "."
	scale := id + s.Scale.Figure.Name
	parts := []string{id + "gross_margin", id + "own_overheads", id + "depreciation", id + "land_charge"}
	for _, name := range append([]string{scale, id + "scale.least", id + "scale.step", id + "scale.most"}, parts...) {
		if !d.Has(name) {
			return nil // its own mistake is reported
		}
	}
	o := &offering{Spec: s, scale: d.Name(scale), now: d.Read(scale), least: d.Read(id + "scale.least"), step: d.Read(id + "scale.step"), most: d.Read(id + "scale.most")}
	var wants []*figures.In
	known := map[string]*figures.In{}
	want := func(name string) *figures.In {
		if known[name] == nil {
			known[name] = d.Name(name)
			wants = append(wants, known[name])
		}
		return known[name]
	}
	for _, name := range parts {
		o.parts = append(o.parts, want(name))
	}
	for i := range m.bounds {
		names, month := m.takes(s, &m.bounds[i])
		var lanes []lane
		for _, name := range names {
			if d.Has(name) {
				lanes = append(lanes, lane{want(name), month})
			}
		}
		o.uses = append(o.uses, lanes)
	}
	o.cone = d.Again([]*figures.In{o.scale}, wants, false)
	return o
}

func (m *mixing) outputs(d *figures.Declaration) {
	money := m.Units.Money()
	const how = "found by branch and bound over a linear program: of all mixes that keep within the farm's hours, land, capital and markets, the one with the greatest margin"
	add := func(name string, label say.Text, o figures.Output) *figures.Out {
		o.Name, o.Label, o.Place, o.How = "mix."+name, label, m.Place, how
		if o.Unit.Dimension == money.Dimension && o.Like == nil {
			o.Step = 1
		}
		return d.Give(o)
	}
	inMoney := figures.Output{Unit: money}
	m.gain = add("gain", "Margin of the best mix", inMoney)
	var present figures.Output = inMoney
	present.Alone = true
	for _, o := range m.all {
		if o != nil && slices.Contains(m.Running, o.ID) {
			present.Rests = append(present.Rests, o.now)
			present.RestsOn = append(present.RestsOn, o.cone)
		}
	}
	m.gainNow = add("gain_now", "Margin of today's enterprises, all at their present scale", present)
	m.gap = add("gap", "Most that another mix may leave beyond the best one found", inMoney)
	m.most = add("bound", "Most that any mix could gain if scales could be divided", inMoney)
	for i, o := range m.all {
		s := &m.Specs[i]
		scale := inMoney
		if o != nil {
			scale = figures.Output{Like: o.now, LikeStep: true}
		}
		m.scales = append(m.scales, add(s.ID+".scale", say.With("%s in the best mix", s.Name), scale))
		m.gains = append(m.gains, add(s.ID+".gain", say.With("%s: margin in the best mix", s.Name), inMoney))
	}
	m.hours = add("worth_of_hour", "Worth of one more hour, by month", figures.Output{Unit: m.Units.Must(m.Units.Currency() + "/h"), Len: 12, Kind: formula.Price})
	m.help = add("help", "What hired help takes from the best mix", inMoney)
	m.hired = add("hired_hours", "Hours hired in the best mix, by month", figures.Output{Unit: m.Units.Must("h"), Len: 12, Kind: formula.Flow})
	m.worth = map[string]*figures.Out{}
	for _, of := range m.worths() {
		m.worth[of] = add("worth_of_"+of, say.With("Worth of %s", m.oneMore(of)), inMoney)
	}
	m.tried = add("tried", "Scales that the search chose from", figures.Output{Text: true})
	m.proof = add("proof", "Whether a better mix may exist", figures.Output{Text: true})
}

// worths lists what one more of is worth something: land.pasture, channel.stall,
// capital.
func (m *mixing) worths() []string {
	var all []string
	for i := range m.bounds {
		if of := m.bounds[i].of; !strings.HasPrefix(of, "hours.") && of != "capital" && !slices.Contains(all, of) {
			all = append(all, of)
		}
	}
	return append(all, "capital")
}

func (m *mixing) run(c *figures.Case) {
	x := &choosing{mixing: m, c: c}
	if why, none := x.resources(); none {
		x.refuse(why)
		return
	}
	present := 0.0
	for _, o := range m.all {
		offers, now := x.offers(o)
		x.choice.Offers = append(x.choice.Offers, offers)
		if o != nil && slices.Contains(m.Running, o.ID) {
			present += now
		}
	}
	c.Give(m.gainNow, present)
	x.narrow()
	x.want()
	c.Say(m.tried, x.offered())
	best, err := x.choice.Best(searchSteps)
	if err != nil {
		why, proof := say.Text("no mix keeps within the farm's limits"), say.Text("No mix keeps within the farm's limits.")
		if errors.Is(err, linear.ErrTooHard) {
			why, proof = "the search came to its limit of work before it found a mix", "The search came to its limit of work before it found a mix."
		}
		x.refuse(why)
		c.Give(m.gainNow, present)
		c.Say(m.proof, proof)
		return
	}
	x.give(best)
}

// choosing is one search.
type choosing struct {
	*mixing
	c      *figures.Case
	choice Choice
	names  []string // of the resources
	wanted []string // of what a worth is of
	coarse []string // names of the enterprises of which not every step was on offer
}

func (x *choosing) refuse(why say.Text) {
	outs := append(append([]*figures.Out{x.gain, x.gainNow, x.gap, x.most, x.hours, x.help, x.hired}, x.scales...), x.gains...)
	for _, of := range x.worths() {
		outs = append(outs, x.worth[of])
	}
	for _, out := range outs {
		x.c.None(out, why)
	}
	x.c.Say(x.tried, why)
	x.c.Say(x.proof, why)
}

// resources reads the farm's limits. None may be without an answer.
func (x *choosing) resources() (say.Text, bool) {
	hire, price := x.c.Of(x.hire), x.c.Of(x.wage)*(1+x.c.Of(x.onCost))
	for _, in := range []*figures.In{x.hire, x.wage, x.onCost} {
		if why, none := x.c.Why(in); none {
			return why, true
		}
	}
	for i := range x.bounds {
		b := &x.bounds[i]
		if why, none := x.c.Why(b.limit); none {
			return why, true
		}
		r := Resource{Name: b.label, Limit: x.c.Series(b.limit)[b.month]}
		if b.wage {
			r.Price, r.Most = price, hire
		}
		x.names = append(x.names, b.name)
		x.choice.Resources = append(x.choice.Resources, r)
	}
	return "", false
}

// offers works an enterprise out at each step of its scale, and returns what it
// gains today as well. Where it has no answer it is not on offer.
func (x *choosing) offers(o *offering) (offers []Offer, now float64) {
	if o == nil {
		return nil, 0
	}
	least, size, today := x.c.Of(o.least), x.c.Of(o.step), x.c.Of(o.now)
	count := math.Floor((x.c.Of(o.most)-least)/size+1e-9) + 1
	stride := max(1, math.Ceil(count/mostOffers))
	if stride > 1 {
		x.coarse = append(x.coarse, o.Name)
	}
	scales := []float64{today}
	if size > 0 && count >= 1 {
		last := math.Inf(-1)
		for k := 0.0; k < count; k += stride {
			value := least + float64(k*size)
			if k > 0 && today > last*(1+1e-9) && today < value*(1-1e-9) {
				scales = append(scales, today)
			}
			scales = append(scales, value)
			last = value
		}
	}
	l := x.c.Lanes(o.cone, laneOffers)
	defer l.Free()
	for from := 0; from < len(scales); from += laneOffers {
		for i := range laneOffers {
			l.Set(o.scale, i, scales[min(from+i, len(scales)-1)])
		}
		o.cone.Run(l)
		for i := 0; i < laneOffers && from+i < len(scales); i++ {
			offer := Offer{Scale: scales[from+i], Uses: make([]float64, len(x.bounds))}
			offer.Gain = l.Of(o.parts[0], i) - l.Of(o.parts[1], i) - l.Of(o.parts[2], i) - l.Of(o.parts[3], i)
			sound := offer.Gain-offer.Gain == 0
			for r, lanes := range o.uses {
				for _, take := range lanes {
					at := 0
					if take.in.Figure().Type.Len > 0 {
						at = take.month
					}
					offer.Uses[r] += l.At(take.in, at, i)
				}
				sound = sound && offer.Uses[r]-offer.Uses[r] == 0
			}
			switch {
			case from+i == 0:
				now = offer.Gain
			case sound:
				offers = append(offers, offer)
			}
		}
	}
	return offers, now
}

// laneOffers is how many scales are worked out side by side.
const laneOffers = 32

// narrow leaves out resources that can never bind, which spares the search work
// and changes nothing.
func (x *choosing) narrow() {
	var keep []int
	for r, resource := range x.choice.Resources {
		most := 0.0
		for _, offers := range x.choice.Offers {
			largest := 0.0
			for _, o := range offers {
				largest = math.Max(largest, o.Uses[r])
			}
			most += largest
		}
		if most > resource.Limit {
			keep = append(keep, r)
		}
	}
	names, resources := make([]string, len(keep)), make([]Resource, len(keep))
	for k, r := range keep {
		names[k], resources[k] = x.names[r], x.choice.Resources[r]
	}
	for _, offers := range x.choice.Offers {
		for i := range offers {
			uses := make([]float64, len(keep))
			for k, r := range keep {
				uses[k] = offers[i].Uses[r]
			}
			offers[i].Uses = uses
		}
	}
	x.names, x.choice.Resources = names, resources
}

// want asks for the worth of each resource; of land, which is there in every
// month or not at all, for all months together.
func (x *choosing) want() {
	for r, name := range x.names {
		if strings.HasPrefix(name, "land.") {
			name = name[:strings.LastIndexByte(name, '.')]
		}
		if at := slices.Index(x.wanted, name); at >= 0 {
			x.choice.Wanted[at] = append(x.choice.Wanted[at], r)
			continue
		}
		x.wanted = append(x.wanted, name)
		x.choice.Wanted = append(x.choice.Wanted, []int{r})
	}
}

// offered says which scales the search had to choose from.
func (x *choosing) offered() say.Text {
	if len(x.coarse) == 0 {
		return "Every whole step of every enterprise's scale was on offer."
	}
	return say.With("Every whole step of every enterprise's scale was on offer, but for %s: of so many steps, only every second or further one was.", strings.Join(x.coarse, ", "))
}

func (x *choosing) give(best Mix) {
	c := x.c
	c.Give(x.gain, best.Gain)
	c.Give(x.gap, best.Gap)
	c.Give(x.most, best.Bound)
	proof := say.Text("No other mix that fits leaves more: the search shut every one of them out.")
	if best.Gap > 0 {
		proof = "That this is the best is not proven: the search came to its limit of work before it could shut every other mix out."
	}
	c.Say(x.proof, proof)
	for e, chosen := range best.Chosen {
		if chosen >= 0 {
			o := x.choice.Offers[e][chosen]
			c.Give(x.scales[e], o.Scale)
			c.Give(x.gains[e], o.Gain)
		}
	}
	land, _ := x.Units.Land()
	for k, of := range x.wanted {
		worth := best.Worth[k]
		if month, ok := strings.CutPrefix(of, "hours."); ok {
			at, _ := strconv.Atoi(month)
			c.Room(x.hours)[at] = worth
			continue
		}
		unit := x.Units.Lot()
		if strings.HasPrefix(of, "land.") {
			unit = land.ToBase(1)
		}
		c.Give(x.worth[of], unit*worth)
	}
	help := 0.0
	for r, bought := range best.Bought {
		help += float64(bought * x.choice.Resources[r].Price)
		if month, ok := strings.CutPrefix(x.names[r], "hours."); ok {
			at, _ := strconv.Atoi(month)
			c.Room(x.hired)[at] = bought
		}
	}
	c.Give(x.help, -help)
}

// Tables are the mix for chapters, by the words mix and mix_limits.
func (f *FarmMix) Tables(defined func(string) bool) map[string]sheet.Table {
	mix := sheet.Table{Name: "mix", Title: "The best mix of enterprises", NoteOf: "mix.proof", Head: "Enterprise",
		Columns: []sheet.Column{{Label: "Now or as studied"}, {Label: "In the best mix"}, {Label: "Margin in it", Foots: true}}}
	var parts []sheet.Part
	for i := range f.Specs {
		s := &f.Specs[i]
		parts = append(parts, sheet.Part{Row: len(mix.Rows)})
		mix.Rows = append(mix.Rows, sheet.Row{Kind: sheet.Line, Label: say.Own(s.Name),
			Cells: []string{s.ID + "." + s.Scale.Figure.Name, "mix." + s.ID + ".scale", "mix." + s.ID + ".gain"}})
	}
	parts = append(parts, sheet.Part{Row: len(mix.Rows)})
	mix.Rows = append(mix.Rows, sheet.Row{Kind: sheet.Line, Label: "Hired help", Cells: []string{"", "", "mix.help"}, IfAny: true})
	mix.Rows = append(mix.Rows, sheet.Row{Kind: sheet.Total, Label: "All", Cells: []string{"", "", "mix.gain"}, Parts: parts},
		sheet.Row{Kind: sheet.Line, Label: "Another mix may leave more, by up to", Cells: []string{"", "", "mix.gap"}, IfAny: true})
	limits := sheet.Table{Name: "mix_limits", Title: "What one more would be worth", Head: "One more of",
		Columns: []sheet.Column{{Label: "Worth a year"}}}
	row := func(of string) {
		limits.Rows = append(limits.Rows, sheet.Row{Kind: sheet.Line, Label: f.oneMore(of), Cells: []string{"mix.worth_of_" + of}})
	}
	for _, kind := range f.Land {
		if defined("farm.land." + kind + ".area") {
			row("land." + kind)
		}
	}
	for _, c := range f.Channels {
		if c.HasLimit && defined("prices.channels."+c.ID+".limit") {
			row("channel." + c.ID)
		}
	}
	row("capital")
	hours := sheet.Table{Name: "mix_hours", Title: "Hours in the best mix", Head: "By month", Months: true, Rows: []sheet.Row{
		{Kind: sheet.Line, Label: "Hours hired", Of: "mix.hired_hours"},
	}}
	return map[string]sheet.Table{"mix": mix, "mix_limits": limits, "mix_hours": hours}
}

// oneMore says what a worth is the worth of one more of.
func (f *FarmMix) oneMore(of string) say.Text {
	if kind, ok := strings.CutPrefix(of, "land."); ok {
		_, word := f.Units.Land()
		return say.With("%s of %s|one more", word, strings.ReplaceAll(kind, "_", " "))
	}
	if id, ok := strings.CutPrefix(of, "channel."); ok {
		return say.With("%s more of takings through %s", f.round(), strings.ReplaceAll(id, "_", " "))
	}
	return say.With("another %s of capital", f.round())
}

// round writes the lot in which money is reckoned.
func (f *FarmMix) round() say.Text {
	if f.Units.Lot() > 1000 {
		return "100,000"
	}
	return "1,000"
}
