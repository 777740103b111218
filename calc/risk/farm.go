package risk

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
)

// mostOffers bounds the scales of one enterprise that a mix chooses from. One
// with more steps is offered at every second, third or further step, and the
// step that it is run at now; the mix says so.
const mostOffers = 5000

// A FarmMix is the best mix of enterprises on a farm, with what it rests on.
type FarmMix struct {
	Mix
	Choice *Choice
	Specs  []enterprise.Spec

	graph   *figures.Graph
	names   []string // of the resources: hours.5, land.pasture.5, capital, channel.stall
	wanted  []string // of what a worth is of: hours.5, land.pasture, capital, channel.stall
	offers  [][]Offer
	coarse  []string // names of the enterprises of which not every step was on offer
	err     error
	present float64 // what the mix of today gains, reckoned the same way
}

// Names of figures that bound a mix beside hours, land and channels. A farm
// that has none of them sets no such bound.
const (
	// CapitalLimit is the money that may stand in the enterprises' own
	// equipment and working capital.
	CapitalLimit = "finance.capital_for_enterprises"
	// HiredLimit is the time of hired help that can be had in a month.
	HiredLimit = "farm.hired_hours_a_month"
)

// BestFarmMix chooses among all enterprises, each at every whole step of its
// scale or not at all, the mix with the greatest margin: gross margin less the
// enterprise's own overheads, depreciation and rent of land, for the farm's
// other overheads are there whatever it grows. It keeps within the hours of
// every month (help is hired at the wage, up to HiredLimit), each kind of land
// in every month, CapitalLimit, and the takings that each channel bears.
//
// running names the enterprises that are run today.
func BestFarmMix(g *figures.Graph, specs []enterprise.Spec, running, land []string, channels []enterprise.Channel) *FarmMix {
	f := &FarmMix{graph: g, Specs: specs, Choice: &Choice{}}
	uses := f.resources(land, channels)
	for i := range specs {
		offers, now := f.offer(&specs[i], uses)
		f.offers = append(f.offers, offers)
		if slices.Contains(running, specs[i].ID) {
			f.present += now
		}
	}
	f.Choice.Offers = f.offers
	f.narrow()
	f.want()
	f.Mix, f.err = f.Choice.Best(searchSteps)
	return f
}

// A use says which figure of an enterprise takes from a resource, and in which
// month; several figures may.
type use func(s *enterprise.Spec) []lane

type lane struct {
	figure string
	month  int
}

func (f *FarmMix) limit(name string) (float64, bool) {
	figure := f.graph.Lookup(name)
	if figure == nil || math.IsNaN(figure.Current()) {
		return 0, false
	}
	return figure.Current(), true
}

func (f *FarmMix) add(name string, r Resource) {
	f.names = append(f.names, name)
	f.Choice.Resources = append(f.Choice.Resources, r)
}

func (f *FarmMix) resources(land []string, channels []enterprise.Channel) []use {
	var uses []use
	if hours := f.graph.Lookup("farm.hours_by_month"); hours != nil {
		hire, _ := f.limit(HiredLimit)
		wage, _ := f.limit("farm.wage")
		oncost, _ := f.limit("farm.employment")
		for m, limit := range hours.Months() {
			f.add(fmt.Sprintf("hours.%d", m), Resource{Name: "hours", Limit: limit, Price: wage * (1 + oncost), Most: hire})
			uses = append(uses, func(s *enterprise.Spec) []lane { return []lane{{s.ID + ".hours_by_month", m}} })
		}
	}
	for _, kind := range land {
		limit, ok := f.limit("farm.land." + kind + ".area")
		if !ok {
			continue
		}
		for m := range 12 {
			f.add(fmt.Sprintf("land.%s.%d", kind, m), Resource{Name: kind, Limit: limit})
			uses = append(uses, func(s *enterprise.Spec) []lane {
				var lanes []lane
				for _, l := range s.Lines {
					if l.Kind == enterprise.Land && l.Use.Name == kind {
						lanes = append(lanes, lane{s.ID + "." + l.Name + ".by_month", m})
					}
				}
				return lanes
			})
		}
	}
	if limit, ok := f.limit(CapitalLimit); ok {
		f.add("capital", Resource{Name: "capital", Limit: limit})
		uses = append(uses, func(s *enterprise.Spec) []lane { return []lane{{s.ID + ".capital_needed", 0}} })
	}
	for _, c := range channels {
		if limit, ok := f.limit("prices.channels." + c.ID + ".limit"); ok && c.HasLimit {
			f.add("channel."+c.ID, Resource{Name: c.Label, Limit: limit})
			uses = append(uses, func(s *enterprise.Spec) []lane {
				var lanes []lane
				for _, l := range s.Lines {
					for _, t := range l.Through {
						if t.Channel.Name == c.ID {
							lanes = append(lanes, lane{s.ID + "." + l.Name + ".through." + c.ID, 0})
						}
					}
				}
				return lanes
			})
		}
	}
	return uses
}

// offer works an enterprise out at each step of its scale, and returns what it
// gains today as well.
func (f *FarmMix) offer(s *enterprise.Spec, uses []use) (offers []Offer, now float64) {
	g := f.graph
	scale := g.Lookup(s.ID + "." + s.Scale.Figure.Name)
	least, step, most := g.Lookup(s.ID+".scale.least"), g.Lookup(s.ID+".scale.step"), g.Lookup(s.ID+".scale.most")
	var parts []*figures.Figure
	for _, name := range []string{"gross_margin", "own_overheads", "depreciation", "land_charge"} {
		parts = append(parts, g.Lookup(s.ID+"."+name))
	}
	wanted := append([]*figures.Figure{}, parts...)
	lanesOf := make([][]lane, len(uses))
	for r, use := range uses {
		for _, l := range use(s) {
			if figure := g.Lookup(l.figure); figure != nil {
				lanesOf[r] = append(lanesOf[r], l)
				wanted = append(wanted, figure)
			}
		}
	}
	for _, figure := range append([]*figures.Figure{scale, least, step, most}, parts...) {
		if figure == nil {
			return nil, 0 // its error is reported by the graph
		}
	}
	stepSize := step.Current()
	count := int(math.Floor((most.Current()-least.Current())/stepSize+1e-9)) + 1
	if !(stepSize > 0) || count < 1 {
		return nil, 0
	}
	stride := (count + mostOffers - 1) / mostOffers
	if stride > 1 {
		f.coarse = append(f.coarse, s.Name)
	}
	route := g.RouteTo([]*figures.Figure{scale}, wanted)
	v := g.Base().Clone()
	at := func(value float64) Offer {
		v.Set(scale, value)
		route.Run(v)
		o := Offer{Scale: value, Gain: v.Of(parts[0]) - v.Of(parts[1]) - v.Of(parts[2]) - v.Of(parts[3]), Uses: make([]float64, len(uses))}
		for r := range uses {
			for _, l := range lanesOf[r] {
				figure := g.Lookup(l.figure)
				if figure.Type.Len > 0 {
					o.Uses[r] += v.Months(figure)[l.month]
				} else {
					o.Uses[r] += v.Of(figure)
				}
			}
		}
		return o
	}
	today := scale.Current()
	for k := 0; k < count; k += stride {
		value := least.Current() + float64(float64(k)*stepSize)
		if k > 0 && today > offers[len(offers)-1].Scale*(1+1e-9) && today < value*(1-1e-9) {
			offers = append(offers, at(today))
		}
		offers = append(offers, at(value))
	}
	return offers, at(today).Gain
}

// narrow leaves out resources that can never bind, which spares the search
// work and changes nothing.
func (f *FarmMix) narrow() {
	var keep []int
	for r, resource := range f.Choice.Resources {
		most := 0.0
		for _, offers := range f.Choice.Offers {
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
	names := make([]string, len(keep))
	resources := make([]Resource, len(keep))
	for k, r := range keep {
		names[k], resources[k] = f.names[r], f.Choice.Resources[r]
	}
	offers := make([][]Offer, len(f.offers))
	for e := range f.offers {
		offers[e] = append([]Offer{}, f.offers[e]...)
		for i := range offers[e] {
			uses := make([]float64, len(keep))
			for k, r := range keep {
				uses[k] = f.offers[e][i].Uses[r]
			}
			offers[e][i].Uses = uses
		}
	}
	f.names, f.Choice.Resources, f.Choice.Offers = names, resources, offers
}

// want asks for the worth of each resource; of land, which is there in every
// month or not at all, for all months together.
func (f *FarmMix) want() {
	for r, name := range f.names {
		if strings.HasPrefix(name, "land.") {
			name = name[:strings.LastIndexByte(name, '.')]
		}
		if at := slices.Index(f.wanted, name); at >= 0 {
			f.Choice.Wanted[at] = append(f.Choice.Wanted[at], r)
			continue
		}
		f.wanted = append(f.wanted, name)
		f.Choice.Wanted = append(f.Choice.Wanted, []int{r})
	}
}

// chosen returns the scale at which an enterprise is in the mix, in base
// units, and what it gains; 0 for one that is not.
func (f *FarmMix) chosen(e int) (scale, gain float64) {
	if f.err != nil || f.Mix.Chosen[e] < 0 {
		return 0, 0
	}
	o := f.Choice.Offers[e][f.Mix.Chosen[e]]
	return o.Scale, o.Gain
}

// how says for readers how the mix was found.
func (f *FarmMix) how() say.Text {
	return say.With("found by branch and bound over a linear program: of all mixes that keep within the farm's hours, land, capital and markets, the one with the greatest margin. %s %s", f.tried(), f.proof())
}

// tried says which scales the search had to choose from.
func (f *FarmMix) tried() say.Text {
	if len(f.coarse) == 0 {
		return "Every whole step of every enterprise's scale was on offer."
	}
	return say.With("Every whole step of every enterprise's scale was on offer, but for %s: of so many steps, only every second or further one was.", strings.Join(f.coarse, ", "))
}

// proof says whether a better mix may exist.
func (f *FarmMix) proof() say.Text {
	switch {
	case f.err != nil:
		return noMix
	case f.Mix.Gap > 0:
		return "That this is the best is not proven: the search came to its limit of work before it could shut every other mix out."
	}
	return "No other mix that fits leaves more: the search shut every one of them out."
}

const noMix say.Text = "No mix keeps within the farm's limits."

// Definitions are the mix as figures:
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
// A worth is that of the last piece of each limit if scales could be divided;
// whole steps may use more or less of it.
func (f *FarmMix) Definitions() []figures.Definition {
	money := f.graph.Units.Money()
	var all []figures.Definition
	how := f.how()
	add := func(name string, label say.Text, value float64, unit quantity.Unit, from ...string) *figures.Definition {
		d := figures.Definition{Name: name, Label: label, Value: quantity.Quantity{Value: value, Unit: unit}, Found: how, From: from}
		if unit.Dimension == money.Dimension {
			d.Value.Step = 1
		}
		if f.err != nil {
			d.NoAnswer = "no mix keeps within the farm's limits"
		}
		all = append(all, d)
		return &all[len(all)-1]
	}
	var from []string
	for i := range f.Specs {
		id := f.Specs[i].ID
		from = append(from, id+".gross_margin", id+".hours_by_month", id+".land_by_month", id+".capital_needed", id+".scale.most")
	}
	add("mix.gain", "Margin of the best mix", f.Mix.Gain, money, from...)
	add("mix.gain_now", "Margin of today's enterprises, all at their present scale", f.present, money, from...)
	add("mix.gap", "Most that another mix may leave beyond the best one found", f.Mix.Gap, money, "mix.gain")
	add("mix.bound", "Most that any mix could gain if scales could be divided", f.Mix.Bound, money, from...)
	for e := range f.Specs {
		s := &f.Specs[e]
		scale, gain := f.chosen(e)
		unit := money
		if figure := f.graph.Lookup(s.ID + "." + s.Scale.Figure.Name); figure != nil {
			unit = figure.Unit
		}
		add("mix."+s.ID+".scale", say.With("%s in the best mix", s.Name), scale, unit, "mix.gain")
		add("mix."+s.ID+".gain", say.With("%s: margin in the best mix", s.Name), gain, money, "mix.gain")
	}
	worth, bought := map[string]float64{}, map[string]float64{}
	if f.err == nil {
		for k, name := range f.wanted {
			worth[name] = f.Mix.Worth[k]
		}
		for r, name := range f.names {
			bought[name] = f.Mix.Bought[r]
		}
	}
	hour := f.graph.Units.Must("h")
	perHour := f.graph.Units.Must(f.graph.Units.Currency() + "/h")
	series := func(from map[string]float64) []float64 {
		months := make([]float64, 12)
		for m := range months {
			months[m] = from[fmt.Sprintf("hours.%d", m)]
		}
		return months
	}
	add("mix.worth_of_hour", "Worth of one more hour, by month", 0, perHour, "mix.gain").Series = series(worth)
	add("mix.help", "What hired help takes from the best mix", -f.hired(), money, "mix.gain", "farm.wage", "farm.employment")
	add("mix.hired_hours", "Hours hired in the best mix, by month", 0, hour, "mix.gain").Series = series(bought)
	kinds, channels := []string{}, []string{}
	for _, name := range f.wanted {
		if kind, ok := strings.CutPrefix(name, "land."); ok {
			kinds = append(kinds, kind)
		}
		if channel, ok := strings.CutPrefix(name, "channel."); ok {
			channels = append(channels, channel)
		}
	}
	land, word := f.graph.Units.Land()
	lot := f.graph.Units.Lot()
	round := f.round()
	for _, kind := range kinds {
		add("mix.worth_of_land."+kind, say.With("Worth of one more %s of %s", word, strings.ReplaceAll(kind, "_", " ")), worth["land."+kind]*land.ToBase(1), money, "mix.gain")
	}
	for _, id := range channels {
		add("mix.worth_of_channel."+id, say.With("Worth of %s more of takings through %s", round, strings.ReplaceAll(id, "_", " ")), lot*worth["channel."+id], money, "mix.gain")
	}
	add("mix.worth_of_capital", say.With("Worth of another %s of capital", round), lot*worth["capital"], money, "mix.gain")
	return all
}

// Tables are the mix for chapters, by the words mix and mix_limits.
func (f *FarmMix) Tables() map[string]sheet.Table {
	mix := sheet.Table{Name: "mix", Title: "The best mix of enterprises", Note: f.proof(), Head: "Enterprise",
		Columns: []sheet.Column{{Label: "Now or as studied"}, {Label: "In the best mix"}, {Label: "Margin in it", Foots: true}}}
	var parts []sheet.Part
	for i := range f.Specs {
		s := &f.Specs[i]
		parts = append(parts, sheet.Part{Row: len(mix.Rows)})
		mix.Rows = append(mix.Rows, sheet.Row{Kind: sheet.Line, Label: say.Own(s.Name),
			Cells: []string{s.ID + "." + s.Scale.Figure.Name, "mix." + s.ID + ".scale", "mix." + s.ID + ".gain"}})
	}
	if f.hired() > 0 {
		parts = append(parts, sheet.Part{Row: len(mix.Rows)})
		mix.Rows = append(mix.Rows, sheet.Row{Kind: sheet.Line, Label: "Hired help", Cells: []string{"", "", "mix.help"}})
	}
	mix.Rows = append(mix.Rows, sheet.Row{Kind: sheet.Total, Label: "All", Cells: []string{"", "", "mix.gain"}, Parts: parts})
	if f.Mix.Gap > 0 {
		mix.Rows = append(mix.Rows, sheet.Row{Kind: sheet.Line, Label: "Another mix may leave more, by up to", Cells: []string{"", "", "mix.gap"}})
	}
	limits := sheet.Table{Name: "mix_limits", Title: "What one more would be worth", Head: "One more of",
		Columns: []sheet.Column{{Label: "Worth a year"}}}
	row := func(label say.Text, figure string) {
		limits.Rows = append(limits.Rows, sheet.Row{Kind: sheet.Line, Label: label, Cells: []string{figure}})
	}
	for _, d := range f.Definitions() {
		if strings.HasPrefix(d.Name, "mix.worth_of_") && d.Series == nil {
			row(f.oneMore(d.Name), d.Name)
		}
	}
	hours := sheet.Table{Name: "mix_hours", Title: "Hours in the best mix", Head: "By month", Months: true, Rows: []sheet.Row{
		{Kind: sheet.Line, Label: "Hours hired", Of: "mix.hired_hours"},
	}}
	return map[string]sheet.Table{"mix": mix, "mix_limits": limits, "mix_hours": hours}
}

// Facts are what a chapter may quote of the search: mix.tried, the scales that it
// chose from, and mix.proof, whether a better mix may exist.
func (f *FarmMix) Facts() map[string]say.Text {
	return map[string]say.Text{"mix.tried": f.tried(), "mix.proof": f.proof()}
}

// oneMore says what a worth is the worth of one more of.
func (f *FarmMix) oneMore(name string) say.Text {
	of := strings.TrimPrefix(name, "mix.worth_of_")
	if kind, ok := strings.CutPrefix(of, "land."); ok {
		_, word := f.graph.Units.Land()
		return say.With("%s of %s|one more", word, strings.ReplaceAll(kind, "_", " "))
	}
	if id, ok := strings.CutPrefix(of, "channel."); ok {
		return say.With("%s more of takings through %s", f.round(), strings.ReplaceAll(id, "_", " "))
	}
	return say.With("another %s of capital", f.round())
}

// round writes the lot in which money is reckoned.
func (f *FarmMix) round() say.Text {
	if f.graph.Units.Lot() > 1000 {
		return "100,000"
	}
	return "1,000"
}

// hired is what the help that the mix hires costs in a year.
func (f *FarmMix) hired() float64 {
	sum := 0.0
	for r, b := range f.Mix.Bought {
		sum += float64(b * f.Choice.Resources[r].Price)
	}
	return sum
}
