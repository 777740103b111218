package plan

import (
	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/say"
)

const (
	daySeconds   = 86400.
	yearSeconds  = 365 * daySeconds
	monthSeconds = yearSeconds / 12
)

// A Plan is a farm's plan, compiled: which numbers it reads of the graph, and
// what it does with them. It is not changed by working it out, so that several
// goroutines may do so, each with its own Inputs and Books.
type Plan struct {
	*Farm
	columns int // months of the plan and one for its opening

	// The figures that are read, once for each vintage: the farm with every
	// enterprise at the scale of one of the years.
	reads    []read
	vintages []vintage
	byYear   []int // the vintage of each year

	defaults    []float64 // of slots that no figure fills
	enterprises []business
	tasks       []task
	classes     []class
	loans       []loan
	money       []introduced
	spent       []outlay
	overheads   []int // slots: money in a time
	rents       [][2]int
	people      []worker
	staffed     bool // someone's hours are known, so that what lies beyond them is hired

	wage, employment, drawings, tax, taxAfter, discount int
	overdraftLimit, overdraftRate, declining            int
	inflation                                           [groups]int
	salesTax                                            [groups]int
}

type read struct {
	figure *figures.Figure
	month  int
}

// A vintage holds the scale of each enterprise: the figure that says it, or
// none for the scale that the enterprise has now.
type vintage struct{ scales []*figures.Figure }

// Groups of prices, for inflation and sales tax.
const (
	ofSales = iota
	ofCosts
	ofOverheads
	ofCapital
	ofWages
	ofRent
	ofLiving
	groups
)

var groupNames = [groups]string{"sales", "costs", "overheads", "capital", "wages", "rent", "living"}

// PriceGroups returns the groups that prices are parted into, for inflation and
// sales tax: figures finance.plan.inflation.<group> (a rate) and
// finance.plan.sales_tax.<group> (a share).
func PriceGroups() []string { return append([]string(nil), groupNames[:]...) }

// PriceGroup is what a group of prices is called in the midst of a label.
func PriceGroup(name string) say.Text {
	return map[string]say.Text{
		"sales": "sales|prices", "costs": "costs|prices", "overheads": "overheads|prices", "capital": "capital|prices",
		"wages": "wages|prices", "rent": "rent|prices", "living": "living|prices",
	}[name]
}

type business struct {
	scale   *figures.Figure
	buildUp []*figures.Figure
	from    int // column in which it starts
	sells   int
	year    int // year of the plan in which it starts
	lagged  bool
	lines   []line
}

// A line is what one line of an enterprise does to the books, by slots.
type line struct {
	kind          enterprise.LineKind
	amount        int // money, or time for hours
	fees, selling int // of a sale: money, time
	months        int // first of twelve weights by calendar month, or
	cycle         int // first of first, every, number, from, to
	lag, every    int // times
	once          bool
	task, sold    int // tasks that the hours count to
}

// A task is a row of the labour calendar.
type task struct {
	enterprise int
	name       string // of its figure, without the plan's prefix
	label      say.Text
}

// A class is one kind of thing that is bought and wears out.
type class struct {
	label                        string
	name                         string // of its figures
	number, each, life, residual int
	from                         int // column of the first purchase
	group                        string
}

type loan struct {
	Named
	amount, rate, term, free, balloon, every int
	at                                       int
	repaid                                   Repayment
}

// introduced is money that comes in for good.
type introduced struct {
	amount, at int
	grant      bool
}

// outlay is property, which keeps its value, or first stock, which is used up
// in a year.
type outlay struct {
	amount, at int
	stock      bool
}

type worker struct {
	hours, away, elsewhere, income int
	monthly                        bool // away is a series
	until                          int  // first column without work elsewhere
}

const none = -1

// Compile makes the plan of a farm whose figures stand in a graph, those of
// enterprise.TimingDefinitions among them. What is not in the graph counts as
// nothing, so that a farm in the making has a plan too.
func Compile(g *figures.Graph, farm *Farm) *Plan {
	c := &compiler{Plan: &Plan{Farm: farm, columns: 12*farm.Years + 1}, graph: g, slots: map[*figures.Figure]int{}}
	for i := range farm.Enterprises {
		c.enterprise(i)
	}
	c.vintage()
	c.whole()
	return c.Plan
}

type compiler struct {
	*Plan
	graph *figures.Graph
	slots map[*figures.Figure]int // of single values, or the first of a series
}

// of returns the slot of a figure, or of the default if there is none.
func (c *compiler) of(name string, otherwise float64) int {
	f := c.graph.Lookup(name)
	if f == nil {
		// Defaults follow the reads; they are numbered when all are known.
		c.defaults = append(c.defaults, otherwise)
		return -1 - len(c.defaults)
	}
	if slot, ok := c.slots[f]; ok {
		return slot
	}
	slot := len(c.reads)
	c.slots[f] = slot
	for m := range max(1, f.Type.Len) {
		c.reads = append(c.reads, read{f, m})
	}
	return slot
}

// maybe is of, or none where there is no such figure.
func (c *compiler) maybe(name string) int {
	if c.graph.Lookup(name) == nil {
		return none
	}
	return c.of(name, 0)
}

func (c *compiler) enterprise(i int) {
	e := &c.Enterprises[i]
	s := e.Spec
	b := business{scale: c.graph.Lookup(s.ID + "." + s.Scale.Figure.Name)}
	b.from = max(1, c.column(e.From))
	b.sells = max(b.from, c.column(e.Sells))
	b.year = (b.from - 1) / 12
	for n := range s.BuildUp {
		if f := c.graph.Lookup(s.BuildUpFigure(n)); f != nil {
			b.buildUp = append(b.buildUp, f)
		}
	}
	for k := range s.Lines {
		c.line(i, &b, &s.Lines[k])
	}
	c.enterprises = append(c.enterprises, b)
}

func (c *compiler) line(i int, b *business, l *enterprise.Line) {
	id := c.Enterprises[i].ID
	name := id + "." + l.Name
	x := line{kind: l.Kind, amount: none, fees: none, selling: none, months: none, cycle: none, lag: none, every: none, once: l.When.Once, task: none, sold: none}
	switch l.Kind {
	case enterprise.Sale:
		x.amount = c.maybe(name + ".takings")
		x.fees = c.maybe(name + ".fees")
		x.selling = c.maybe(name + ".selling_hours")
		if x.selling != none {
			x.sold = c.task(i, l.Name+"_selling", say.With("Selling: %s", say.Mid(l.Label)))
		}
	case enterprise.Cost, enterprise.Overhead, enterprise.Hours:
		x.amount = c.maybe(name)
		if l.When.Every.File != nil {
			x.amount, x.every = c.maybe(name+".each_time"), c.maybe(name+".every")
		}
		if l.Kind == enterprise.Hours {
			x.task = c.task(i, l.Name, say.Own(l.Label))
		}
	case enterprise.Capital:
		c.classes = append(c.classes, class{
			label: l.Label, name: id + "." + l.Name, number: c.of(name+".number", 0), each: c.of(name+".each", 0),
			life: c.of(name+".life", yearSeconds), residual: c.of(name+".residual", 0), from: b.from, group: c.Enterprises[i].Name,
		})
		return
	default:
		return // land is held, not paid, by the enterprise
	}
	if x.amount == none {
		return
	}
	if l.When.Lag.File != nil {
		x.lag = c.maybe(name + ".lag")
		b.lagged = b.lagged || l.Kind == enterprise.Sale && x.lag != none
	}
	if w := &l.When; w.Each.Name != "" {
		cycle := id + "." + w.Each.Name + "_cycle"
		from, to := name+".from", name+".to"
		if w.Day.File != nil {
			from, to = name+".day", name+".day"
		}
		// Five slots in a row, whatever else reads the same figures.
		x.cycle = len(c.reads)
		for _, of := range []string{cycle + ".first", cycle + ".every", cycle + ".number", from, to} {
			f := c.graph.Lookup(of)
			if f == nil {
				c.reads = c.reads[:x.cycle]
				return
			}
			c.reads = append(c.reads, read{f, 0})
		}
	} else if x.months = c.maybe(name + ".months"); x.months == none {
		return
	}
	b.lines = append(b.lines, x)
}

func (c *compiler) task(i int, name string, label say.Text) int {
	c.tasks = append(c.tasks, task{i, c.Enterprises[i].ID + "." + name, label})
	return len(c.tasks) - 1
}

// vintage finds which years have every enterprise at the same scale.
func (c *compiler) vintage() {
	for year := range c.Years {
		v := vintage{scales: make([]*figures.Figure, len(c.enterprises))}
		for i := range c.enterprises {
			b := &c.enterprises[i]
			if n := year - b.year; n >= 0 && n < len(b.buildUp) && b.scale != nil {
				v.scales[i] = b.buildUp[n]
			}
		}
		at := -1
		for k := range c.vintages {
			if !c.Apart && sameScales(c.vintages[k], v) {
				at = k
			}
		}
		if at < 0 {
			at = len(c.vintages)
			c.vintages = append(c.vintages, v)
		}
		c.byYear = append(c.byYear, at)
	}
}

func sameScales(a, b vintage) bool {
	for i := range a.scales {
		if a.scales[i] != b.scales[i] {
			return false
		}
	}
	return true
}

func (c *compiler) whole() {
	for _, item := range c.Items {
		name := "infrastructure." + item.ID
		c.classes = append(c.classes, class{
			label: item.Label, name: name, number: c.of(name+".number", 1), each: c.of(name+".cost", 0),
			life: c.of(name+".life", yearSeconds), residual: c.of(name+".residual", 0), from: c.column(item.Bought), group: item.Group,
		})
	}
	for _, u := range c.Uses {
		name := "finance.uses." + u.ID
		switch {
		case u.Group == "property" || u.Group == "stock":
			c.spent = append(c.spent, outlay{c.of(name+".amount", 0), c.column(u.Paid), u.Group == "stock"})
		case u.Life:
			c.classes = append(c.classes, class{
				label: u.Label, name: "uses." + u.ID, number: c.of("", 1), each: c.of(name+".amount", 0),
				life: c.of(name+".life", yearSeconds), residual: c.of(name+".residual", 0), from: c.column(u.Paid),
			})
		}
	}
	for _, s := range c.Sources {
		name := "finance.sources." + s.ID
		if s.Kind != "loan" {
			c.money = append(c.money, introduced{c.of(name+".amount", 0), c.column(s.Received), s.Kind == "grant"})
			continue
		}
		c.loans = append(c.loans, loan{
			Named: s.Named, amount: c.of(name+".amount", 0), rate: c.of(name+".rate", 0), term: c.of(name+".term", 0),
			free: c.of(name+".interest_only", 0), balloon: c.of(name+".balloon", 0), every: c.of(name+".every", monthSeconds),
			at: c.column(s.Received), repaid: s.Repaid,
		})
	}
	for _, o := range c.Overheads {
		c.overheads = append(c.overheads, c.of("finance.overheads."+o.ID+".amount", 0))
	}
	for _, k := range c.Land {
		name := "farm.land." + k.ID
		c.rents = append(c.rents, [2]int{c.of(name+".area", 0), c.of(name+".rent", 0)})
	}
	for _, p := range c.People {
		name := "farm.people." + p.ID
		until := c.columns
		if p.Until != 0 {
			until = max(1, c.column(p.Until))
		}
		away := c.graph.Lookup(name + ".away")
		monthly := away != nil && away.Type.Len > 0
		c.staffed = c.staffed || c.graph.Lookup(name+".hours") != nil
		c.people = append(c.people, worker{
			hours: c.of(name+".hours", 0), away: c.maybe(name + ".away"), elsewhere: c.of(name+".elsewhere", 0),
			income: c.of(name+".income", 0), until: until, monthly: monthly,
		})
	}
	c.wage, c.employment = c.of("farm.wage", 0), c.of("farm.employment", 0)
	c.drawings, c.tax = c.of("finance.plan.drawings", 0), c.of("finance.plan.tax", 0)
	c.taxAfter = c.of("finance.plan.tax_paid_after", 10*monthSeconds)
	c.discount = c.of("finance.plan.discount", defaultDiscount/yearSeconds)
	c.overdraftLimit, c.overdraftRate = c.of("finance.plan.overdraft.limit", 0), c.of("finance.plan.overdraft.rate", 0)
	c.declining = c.of("finance.plan.declining_times", 2)
	for i, name := range groupNames {
		c.inflation[i] = c.of("finance.plan.inflation."+name, 0)
		c.salesTax[i] = c.of("finance.plan.sales_tax."+name, 0)
	}
}

// defaultDiscount is the yearly rate at which later money is discounted where
// the farm's data names none.
const defaultDiscount = 0.05

// Inputs are the numbers that a plan is worked out from: those of each vintage
// one after the other. Money, areas and times are in base units.
type Inputs struct {
	plan   *Plan
	values []float64

	now, scales []float64 // of the enterprises, while they are read

	// What each person still works of their hours, by person and column; nil for
	// all of them.
	works []float64
}

// NewInputs returns inputs that hold nothing yet.
func (p *Plan) NewInputs() *Inputs {
	n := len(p.enterprises)
	return &Inputs{p, make([]float64, len(p.reads)*len(p.vintages)), make([]float64, n), make([]float64, n), nil}
}

// CopyFrom takes over the numbers of other inputs of the same plan.
func (in *Inputs) CopyFrom(other *Inputs) {
	copy(in.values, other.values)
	in.works = append(in.works[:0], other.works...)
}

// Vintages returns how many times the graph has to be worked out for one plan,
// each with the scales that Scales gives.
func (p *Plan) Vintages() int { return len(p.vintages) }

// Scales calls set with each figure that holds the scale of an enterprise in a
// vintage and the figure whose value it takes; nil stands for the scale that
// it has already.
func (p *Plan) Scales(vintage int, set func(scale, value *figures.Figure)) {
	for i, from := range p.vintages[vintage].scales {
		if scale := p.enterprises[i].scale; scale != nil {
			set(scale, from)
		}
	}
}

// Reads returns the figures that a plan reads of each vintage, with the month
// of those that are series.
func (p *Plan) Reads(visit func(slot int, f *figures.Figure, month int)) {
	for slot, r := range p.reads {
		visit(slot, r.figure, r.month)
	}
}

// Set sets what one slot of Reads holds in a vintage.
func (in *Inputs) Set(vintage, slot int, value float64) {
	in.values[vintage*len(in.plan.reads)+slot] = value
}

// Read takes the inputs from a case of the graph. It sets the scales of the
// enterprises there, and puts them back.
func (p *Plan) Read(v *figures.Values, in *Inputs) {
	v.Run()
	for i := range p.enterprises {
		if f := p.enterprises[i].scale; f != nil {
			in.now[i] = v.Of(f)
		}
	}
	for k := range p.vintages {
		// What the scales come to is looked up before any of them is changed.
		for i, from := range p.vintages[k].scales {
			in.scales[i] = in.now[i]
			if from != nil {
				in.scales[i] = v.Of(from)
			}
		}
		p.setScales(v, in.scales)
		values := in.values[k*len(p.reads):]
		for slot := range p.reads {
			r := &p.reads[slot]
			values[slot] = v.At(r.figure, r.month)
		}
		p.setScales(v, in.now)
	}
}

func (p *Plan) setScales(v *figures.Values, scales []float64) {
	for i := range p.enterprises {
		if f := p.enterprises[i].scale; f != nil && v.Of(f) != scales[i] {
			v.Set(f, scales[i])
		}
	}
	v.Run()
}

// at returns what a slot holds in a vintage; a figure without an answer counts
// as nothing.
func (in *Inputs) at(vintage, slot int) float64 {
	if slot < none {
		return in.plan.defaults[-slot-2]
	}
	x := in.values[vintage*len(in.plan.reads)+slot]
	if x-x != 0 { // no number, or no finite one
		return 0
	}
	return x
}
