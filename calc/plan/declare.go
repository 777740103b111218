package plan

import (
	"fmt"
	"math"
	"regexp"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// A Declared is the plan of a farm as figures yet to be worked out: formulas,
// and the engines that they rest on. What there is of it hangs on the farm's
// lists alone, never on its numbers.
type Declared struct {
	*Farm
	Definitions []figures.Definition
	Engines     []*figures.Engine

	units  *quantity.System
	known  func(name string) *figures.Definition
	rounds *figures.Rounds
	tasks  []task
	made   map[string]bool // names of what is declared here

	lines   []string // the series of tasks' hours
	classes []class
	parts   map[string][]string // by row: the series it adds up
	opening map[string][]string // by row: what it adds up at the opening
}

// Declare lays the plan of a farm out. known gives what the farm's data or its
// enterprises define under a name, or nil.
func (f *Farm) Declare(units *quantity.System, known func(name string) *figures.Definition) *Declared {
	p := &Declared{Farm: f, units: units, known: known, made: map[string]bool{}, parts: map[string][]string{}, opening: map[string][]string{}}
	p.scales()
	p.text("plan.start", "The plan's first month", f.Start.Name())
	p.text("plan.end", "The plan's last month", f.month(12*f.Years).Name())
	p.define(figures.Definition{Name: priceLevel, Label: "Prices of all that is sold", Value: quantity.Quantity{Value: 1, Unit: quantity.Unit{Factor: 1}}, Hidden: true})
	for i := range f.Enterprises {
		p.enterprise(i)
	}
	p.wholeFarm()
	p.rows()
	p.books()
	p.lender()
	p.worth()
	p.labour()
	p.land()
	return p
}

// priceLevel is what takings are multiplied with: 1, but where it is asked how
// far prices may fall.
const priceLevel = "plan.price_level"

// columns is how many months a plan has.
func (p *Declared) months() int { return 12 * p.Years }

// scales says which scale each enterprise has in each year.
func (p *Declared) scales() {
	p.rounds = &figures.Rounds{Name: "in_year", To: make([][]string, p.Years)}
	for i := range p.Enterprises {
		e := &p.Enterprises[i]
		p.rounds.Set = append(p.rounds.Set, e.ID+"."+e.Scale.Figure.Name)
		moves := p.defined(fromOf(e)) && len(e.BuildUp) > 0
		if moves {
			p.scaleByYear(e)
		}
		for year := range p.Years {
			to := ""
			switch {
			case moves:
				to = scaleIn(e, year)
			case year < len(e.BuildUp):
				to = e.BuildUpFigure(year)
			}
			p.rounds.To[year] = append(p.rounds.To[year], to)
		}
	}
}

// fromOf and sellsOf name the dates from which an enterprise is run, and sells.
func fromOf(e *Enterprise) string  { return "finance.plan.starts." + e.ID + ".from" }
func sellsOf(e *Enterprise) string { return "finance.plan.starts." + e.ID + ".sells_from" }

func scaleIn(e *Enterprise, year int) string {
	return fmt.Sprintf("plan.scales.%s.year%d", e.ID, year+1)
}

// scaleByYear declares the scale of an enterprise in each year, which hangs on the
// date from which it is run.
func (p *Declared) scaleByYear(e *Enterprise) {
	p.engine("the scales of "+e.ID, func(d *figures.Declaration) figures.Run {
		from, own := d.Read(fromOf(e)), d.Read(e.ID+"."+e.Scale.Figure.Name)
		var buildUp []*figures.In
		for n := range e.BuildUp {
			buildUp = append(buildUp, d.Read(e.BuildUpFigure(n)))
		}
		outs := make([]*figures.Out, p.Years)
		for year := range outs {
			rests := append([]*figures.In{from, own}, buildUp[:min(year+1, len(buildUp))]...)
			outs[year] = d.Give(figures.Output{Name: scaleIn(e, year), Label: say.With("%s, scale in %s", e.Name, p.YearLabel(year)), Scope: "plan", Place: p.Place,
				How: "the build-up from the year in which it starts, then its own scale", Like: own, Rests: rests, Hidden: true})
		}
		return func(c *figures.Case) {
			if unanswered(c, []*figures.In{from}, outs...) {
				return
			}
			first := (p.begins(c, from) - 1) / 12
			for year, out := range outs {
				in := own
				if n := year - first; n >= 0 && n < len(buildUp) {
					in = buildUp[n]
				}
				if !unanswered(c, []*figures.In{in}, out) {
					c.Give(out, c.Of(in))
				}
			}
		}
	})
}

// begins is the month of the plan, from 1, in which what starts at a date is run.
func (p *Declared) begins(c *figures.Case, from *figures.In) int { return max(1, p.column(c.Of(from))) }

func (p *Declared) defined(name string) bool { return p.known(name) != nil }

// Made reports whether the plan gives a figure of that name.
func (p *Declared) Made(name string) bool { return p.made[name] }

func (p *Declared) define(d figures.Definition) {
	d.Scope, d.Place = "plan", p.Place
	p.made[d.Name] = true
	p.Definitions = append(p.Definitions, d)
}

// worked defines a figure by a formula on others.
func (p *Declared) worked(name string, label say.Text, formula string, args ...any) {
	p.define(figures.Definition{Name: name, Label: label, Formula: source.Derived(p.Place, fmt.Sprintf(formula, args...)).Whole(), Engine: true})
}

// step is worked for a figure that no reader needs to see.
func (p *Declared) step(name string, label say.Text, formula string, args ...any) {
	p.worked(name, label, formula, args...)
	p.Definitions[len(p.Definitions)-1].Hidden = true
}

// text defines words that a chapter may quote.
func (p *Declared) text(name string, label, words say.Text) {
	p.engine(string(label), func(d *figures.Declaration) figures.Run {
		out := d.Give(figures.Output{Name: name, Label: label, Scope: "plan", Place: p.Place, Text: true})
		return func(c *figures.Case) { c.Say(out, words) }
	})
	p.made[name] = true
}

func (p *Declared) engine(name string, declare func(*figures.Declaration) figures.Run) {
	p.Engines = append(p.Engines, &figures.Engine{Name: name, Declare: declare})
}

// money is a series of money by month that an engine gives.
func (p *Declared) money(name string, label say.Text, how say.Text, rests ...*figures.In) figures.Output {
	return figures.Output{Name: name, Label: label, Scope: "plan", Place: p.Place, How: how, Unit: p.units.Money(), Step: 1, Len: p.months(), Kind: formula.Flow, Rests: rests}
}

func (p *Declared) time(name string, label say.Text, how say.Text, rests ...*figures.In) figures.Output {
	o := p.money(name, label, how, rests...)
	o.Unit = p.units.Must("h")
	return o
}

func hidden(o figures.Output) figures.Output {
	o.Hidden = true
	return o
}

func single(o figures.Output) figures.Output {
	o.Len, o.Kind = 0, formula.Number
	return o
}

// part counts a series towards a row of the books.
func (p *Declared) part(row, name string) string {
	p.parts[row] = append(p.parts[row], name)
	p.made[name] = true
	return name
}

func (p *Declared) atOpening(row, name string) string {
	p.opening[row] = append(p.opening[row], name)
	p.made[name] = true
	return name
}

// Prices of a group: how they rise, and what of an amount is sales tax.
type pricing struct {
	rise, tax           *figures.In
	registered, without *figures.In // yes or no, or nil where there is no tax
	group               int
	*Farm
}

// taxed reports whether the data knows a rate of sales tax for a group of prices.
func (p *Declared) taxed(group int) bool {
	return p.defined("finance.plan.sales_tax." + groupNames[group])
}

// taxPart counts the sales tax on something towards what is owed, if there is a
// rate for it.
func (p *Declared) taxPart(group int, name string) {
	if p.taxed(group) {
		p.part("sales_tax_added", name)
	}
}

// pricing declares what moves the prices of a group.
func (p *Declared) pricing(d *figures.Declaration, group int) pricing {
	x := pricing{rise: d.ReadOr("finance.plan.inflation."+groupNames[group], 0), group: group, Farm: p.Farm}
	if p.taxed(group) && group != ofWages && group != ofLiving {
		x.tax = d.Read("finance.plan.sales_tax." + groupNames[group])
		x.registered, x.without = d.ReadOr(Registered, 0), d.ReadOr(withoutTax, 0)
	}
	return x
}

// Whether the farm is registered for sales tax, and whether the prices and costs
// in its data are without the tax.
const (
	Registered = "finance.plan.sales_tax.registered"
	withoutTax = "finance.plan.sales_tax.without_tax"
)

func (x pricing) ins() []*figures.In {
	if x.tax == nil {
		return []*figures.In{x.rise}
	}
	return []*figures.In{x.rise, x.tax, x.registered, x.without}
}

// prices are how the prices of a group stand in each year, and what of an
// amount in the data is a cost or an income, and what is sales tax beside it.
type prices struct {
	levels       []float64
	kept, levied float64
}

func (x pricing) of(c *figures.Case) prices {
	var y prices
	y.levels = c.Scratch(x.Years)
	rise, level := 1+float64(c.Of(x.rise)*yearSeconds), 1.0
	for year := range y.levels {
		y.levels[year] = level
		level *= rise
	}
	y.kept = 1
	if x.tax != nil {
		y.kept, y.levied = x.split(c.Of(x.tax), c.Of(x.registered) == 1, c.Of(x.without) == 1)
	}
	return y
}

// split tells the part of an amount that is kept from the part that is sales tax,
// at a rate of tax.
func (x pricing) split(rate float64, registered, without bool) (kept, levied float64) {
	kept = 1
	switch {
	case registered && without:
		levied = rate
	case registered:
		kept = 1 / (1 + rate)
		levied = 1 - kept
	case without && x.group != ofSales:
		kept = 1 + rate
	}
	if x.group != ofSales {
		levied = -levied // tax paid comes off tax taken
	}
	return kept, levied
}

// level is how the prices stand in a column.
func (y *prices) level(column int) float64 { return y.levels[max(0, column-1)/12] }

// at is an amount at the prices of a column, without sales tax, and the sales
// tax on it.
func (y *prices) at(column int, amount float64) (kept, tax float64) {
	amount *= y.level(column)
	return float64(amount * y.kept), float64(amount * y.levied)
}

// unanswered gives figures no answer where something that they can't do without
// has none, and reports whether that is so.
func unanswered(c *figures.Case, ins []*figures.In, outs ...*figures.Out) bool {
	for _, in := range ins {
		if in == nil {
			continue
		}
		if why, none := c.Why(in); none {
			for _, out := range outs {
				if out != nil {
					c.None(out, why)
				}
			}
			return true
		}
	}
	return false
}

// An event is money or hours of one line, as a year of it sets it going.
type lineIns struct {
	*enterprise.Line
	amount, fees, selling *figures.In
	months                *figures.In
	cycle                 [5]*figures.In
	lag, every            *figures.In
	from, sells           *figures.In // dates; sells of a sale
	prices                pricing
	level                 *figures.In // of all that is sold
}

// lineReads declares what a line of an enterprise reads; ok is false for one that
// the books take no notice of.
func (p *Declared) lineReads(d *figures.Declaration, e *Enterprise, l *enterprise.Line) (*lineIns, bool) {
	name := e.ID + "." + l.Name
	read := func(name string) *figures.In {
		in, _ := d.Rounds(p.rounds, name)
		return in
	}
	x := &lineIns{Line: l, from: d.ReadOr(fromOf(e), before)}
	switch l.Kind {
	case enterprise.Sale:
		x.sells = d.ReadOr(sellsOf(e), before)
		x.amount, x.fees, x.selling = read(name+".takings"), read(name+".fees"), read(name+".selling_hours")
		x.prices = p.pricing(d, ofSales)
		x.level = d.Read(priceLevel)
	case enterprise.Cost, enterprise.Overhead, enterprise.Hours:
		x.amount = read(name)
		if l.When.Every.File != nil {
			x.amount, x.every = read(name+".each_time"), read(name+".every")
		}
		group := ofCosts
		if l.Kind == enterprise.Overhead {
			group = ofOverheads
		}
		x.prices = p.pricing(d, group)
	}
	if x.amount == nil {
		return nil, false
	}
	if l.When.Lag.File != nil {
		x.lag = read(name + ".lag")
	}
	if w := &l.When; w.Each.Name != "" {
		cycle := e.ID + "." + w.Each.Name + "_cycle"
		from, to := name+".from", name+".to"
		if w.Day.File != nil {
			from, to = name+".day", name+".day"
		}
		for i, of := range []string{cycle + ".first", cycle + ".every", cycle + ".number", from, to} {
			if x.cycle[i] = read(of); x.cycle[i] == nil {
				return nil, false
			}
		}
	} else if x.months = read(name + ".months"); x.months == nil {
		return nil, false
	}
	return x, true
}

// timing is what says when the line falls.
func (x *lineIns) timing() []*figures.In {
	ins := []*figures.In{x.from, x.sells, x.months, x.lag, x.every}
	ins = append(ins, x.cycle[:]...)
	var all []*figures.In
	for _, in := range ins {
		if in != nil {
			all = append(all, in)
		}
	}
	return all
}

// falling is when a line falls in the months of a plan.
type falling struct {
	*lineIns
	*Farm
	c           *figures.Case
	from, sells int // columns
	first       int // year of the plan, from 0, in which the enterprise starts
	weights     []float64
	laid        [5]float64
	low, high   int
}

func (p *Declared) falling(c *figures.Case, x *lineIns) falling {
	w := falling{lineIns: x, Farm: p.Farm, c: c, from: p.begins(c, x.from), laid: [5]float64{math.NaN()}}
	w.sells = w.from
	if x.sells != nil {
		w.sells = max(w.from, p.column(c.Of(x.sells)))
	}
	w.first = (w.from - 1) / 12
	if x.months == nil {
		w.weights = c.Scratch(margin + 12*p.Years + 13)
	}
	return w
}

// lineRun lays a line out over the months of a plan.
type lineRun struct {
	falling
	prices prices
	fees   prices
}

func (p *Declared) lineRun(c *figures.Case, x *lineIns, fees pricing) lineRun {
	w := lineRun{falling: p.falling(c, x), prices: x.prices.of(c)}
	if x.fees != nil {
		w.fees = fees.of(c)
	}
	return w
}

func (w *falling) of(in *figures.In, year int) float64 { return w.c.Series(in)[year] }

// comes reports whether the line comes back in a year.
func (w *falling) comes(year int) bool {
	// The first time in the first year, but for a lag.
	return w.every == nil || (year-w.first)%max(1, months(w.of(w.every, year))/12) == 0
}

// more reports whether a year's amount is only what is more than the year
// before's: what is needed once is needed again for what is added.
func (w *falling) more(year int) bool { return w.every == nil && w.When.Once && year > w.first }

// year visits each column in which a year of the line falls, with the part of
// the amount that does. amount is that of all of them.
func (w *lineRun) year(year int, visit func(column int, weight, amount float64)) (amount float64) {
	if !w.comes(year) {
		return 0
	}
	amount = w.of(w.amount, year)
	if w.more(year) {
		amount = math.Max(0, amount-w.of(w.amount, year-1))
	}
	w.parts(year, func(column int, weight float64) { visit(column, weight, amount) })
	return amount
}

// parts visits each column in which a year of the line falls, with the part that
// does.
func (w *falling) parts(year int, visit func(column int, weight float64)) {
	first := 1 + 12*year
	if w.lag != nil {
		first += months(w.of(w.lag, year))
	}
	put := func(column int, weight float64) {
		if weight == 0 {
			return
		}
		visit(max(1, column), weight) // what falls before the plan is paid as it begins
	}
	if w.months == nil {
		w.lay(year)
		for i := w.low; i < w.high; i++ {
			put(first+i-margin, w.weights[i])
		}
		return
	}
	for m := range 12 {
		put(first+m, w.c.Series(w.lineIns.months)[12*year+(w.Start.Of()+m)%12])
	}
}

// lay lays out the months of a line that follows a cycle, unless they are those
// of the year before.
func (w *falling) lay(year int) {
	var now [5]float64
	for i, in := range w.cycle {
		now[i] = w.of(in, year)
	}
	if now == w.laid {
		return
	}
	w.laid = now
	every, number, to := now[1], now[2], now[4]
	// A month has 28 days at least, so nothing lies beyond these.
	reach := margin + 14 + int(math.Min(float64(12*w.Years+1), math.Max(0, float64(every*number)+to)/(28*daySeconds)))
	weights := w.weights[:min(len(w.weights), reach)]
	enterprise.CycleMonths(now[0], every, number, now[3], to, w.Start.Of(), margin, weights)
	w.low, w.high = 0, len(weights)
	for w.low < w.high && weights[w.low] == 0 {
		w.low++
	}
	for w.high > w.low && weights[w.high-1] == 0 {
		w.high--
	}
}

// falls reports whether a part of the line in a column counts: neither before
// the enterprise starts, nor a sale before it sells, nor after the plan.
func (w *falling) falls(column int) bool {
	return column <= 12*w.Years && column >= w.from && !(w.Kind == enterprise.Sale && column < w.sells)
}

func (p *Declared) enterprise(i int) {
	e := &p.Enterprises[i]
	lagged := false
	for k := range e.Lines {
		l := &e.Lines[k]
		switch l.Kind {
		case enterprise.Capital:
			name := e.ID + "." + l.Name
			p.class(class{label: l.Label, name: name, from: fromOf(e), run: true, group: e.Name},
				[]string{name + ".number", name + ".each", name + ".life", name + ".residual"})
		case enterprise.Land:
		default:
			p.line(i, l)
			lagged = lagged || l.Kind == enterprise.Sale && l.When.Lag.File != nil
		}
	}
	if lagged {
		p.growing(e)
	}
}

// rowsOf are the rows of the books that kinds of lines count to.
var rowsOf = map[enterprise.LineKind]string{
	enterprise.Sale: "sales", enterprise.Cost: "variable_costs", enterprise.Overhead: "own_overheads", enterprise.Hours: "hours_needed",
}

// groupOf are the groups of prices that kinds of lines belong to.
var groupOf = map[enterprise.LineKind]int{enterprise.Sale: ofSales, enterprise.Cost: ofCosts, enterprise.Overhead: ofOverheads}

// line is one line of an enterprise by month.
func (p *Declared) line(i int, l *enterprise.Line) {
	e := &p.Enterprises[i]
	name := "plan.lines." + e.ID + "." + l.Name
	label := say.With("%s: %s, by month", e.Name, l.Label)
	const how = "a full year of the line at each year's scale, laid on the months in which it falls"
	sale, hours := l.Kind == enterprise.Sale, l.Kind == enterprise.Hours
	fees := sale && len(l.Through) > 0
	if !p.defined(amountOf(e, l)) {
		return
	}
	p.part(rowsOf[l.Kind], name)
	p.quantities(e, l)
	if !hours {
		p.taxPart(groupOf[l.Kind], name+".sales_tax")
	}
	if fees {
		p.part("channel_fees", name+".fees")
		p.taxPart(ofCosts, name+".fees_sales_tax")
		p.part("hours_needed", name+".selling_hours")
		p.tasks = append(p.tasks, task{i, e.ID + "." + l.Name + "_selling", say.With("Selling: %s", say.Mid(l.Label))})
		p.lines = append(p.lines, name+".selling_hours")
	}
	if hours {
		p.tasks = append(p.tasks, task{i, e.ID + "." + l.Name, say.Own(l.Label)})
		p.lines = append(p.lines, name)
	}
	p.engine(fmt.Sprintf("the months of %s.%s", e.ID, l.Name), func(d *figures.Declaration) figures.Run {
		x, ok := p.lineReads(d, e, l)
		if !ok {
			return func(*figures.Case) {}
		}
		ofFees := p.pricing(d, ofCosts)
		timing := x.timing()
		from := func(ins ...*figures.In) []*figures.In { return append(ins, timing...) }
		var main, tax, fee, feeTax, selling *figures.Out
		if hours {
			main = d.Give(hidden(p.time(name, label, how, from(x.amount)...)))
		} else {
			priced := from(append(x.prices.ins(), x.amount)...)
			if sale {
				priced = append(priced, x.level)
			}
			main = d.Give(hidden(p.money(name, label, how, priced...)))
			tax = d.Give(hidden(p.money(name+".sales_tax", say.With("%s, sales tax", label), how, priced...)))
		}
		if fees {
			priced := from(append(ofFees.ins(), x.fees, x.level)...)
			fee = d.Give(hidden(p.money(name+".fees", say.With("%s, selling costs", label), how, priced...)))
			feeTax = d.Give(hidden(p.money(name+".fees_sales_tax", say.With("%s, sales tax on selling costs", label), how, priced...)))
			selling = d.Give(hidden(p.time(name+".selling_hours", say.With("%s, hours of selling", label), how, from(x.selling, x.level)...)))
		}
		d.Wide(func(l *figures.Lanes) bool {
			w := &wideLine{x: x, timing: timing, ofFees: ofFees, main: main, tax: tax, fee: fee, feeTax: feeTax, selling: selling}
			return w.work(p, l)
		})
		return func(c *figures.Case) {
			if unanswered(c, timing, main, tax, fee, feeTax, selling) {
				return
			}
			w := p.lineRun(c, x, ofFees)
			room := func(out *figures.Out) []float64 {
				if out == nil {
					return nil
				}
				return c.Room(out)
			}
			amounts, taxes, costs, costTaxes, times := room(main), room(tax), room(fee), room(feeTax), room(selling)
			scale := 1.0
			if sale {
				scale = c.Of(x.level)
			}
			for year := w.first; year < p.Years; year++ {
				w.year(year, func(column int, weight, amount float64) {
					if !w.falls(column) {
						return
					}
					at := column - 1
					part := float64(weight * amount * scale)
					if hours {
						amounts[at] += part
						return
					}
					kept, levied := w.prices.at(column, part)
					amounts[at] += kept
					taxes[at] += levied
					if fees {
						kept, levied := w.fees.at(column, weight*w.of(x.fees, year)*scale)
						costs[at] += kept
						costTaxes[at] += levied
						times[at] += float64(weight * w.of(x.selling, year) * scale)
					}
				})
			}
			p.because(c, main, x.amount)
			if fees {
				p.because(c, fee, x.fees)
				p.because(c, selling, x.selling)
			}
		}
	})
}

// because says why single months have no answer, if one of what they are worked
// from has none.
func (p *Declared) because(c *figures.Case, out *figures.Out, in *figures.In) {
	if why, none := c.Why(in); none {
		c.Say(out, why)
	}
}

// product is the formula of a cost that is one figure times another.
var product = regexp.MustCompile(`^\s*([a-z][a-z0-9_.]*)\s*\*\s*([a-z][a-z0-9_.]*)\s*$`)

// Quantities names the series of what a line sells or buys by month, and the
// figures that measure it in a full year: one for a sale, and for a cost that is
// one figure times another both of them, of which one is a price.
func (p *Declared) Quantities(e *Enterprise, l *enterprise.Line) (series, figures []string) {
	var names []string
	name := e.ID + "." + l.Name
	switch m := product.FindStringSubmatch(l.Amount.Text()); {
	case l.Kind == enterprise.Sale:
		names = []string{name}
	case l.Kind == enterprise.Cost && l.When.Every.File == nil && m != nil:
		for _, part := range m[1:] {
			if full := e.ID + "." + part; p.defined(full) {
				part = full
			}
			names = append(names, part)
		}
	}
	for i, of := range names {
		if !p.defined(of) {
			return nil, nil
		}
		series = append(series, fmt.Sprintf("plan.lines.%s.quantity%d", name, i+1))
	}
	return series, names
}

// quantities declares them.
func (p *Declared) quantities(e *Enterprise, l *enterprise.Line) {
	series, names := p.Quantities(e, l)
	for i, name := range series {
		of := names[i]
		p.engine("the quantities of "+of, func(d *figures.Declaration) figures.Run {
			x, ok := p.lineReads(d, e, l)
			amount, is := d.Rounds(p.rounds, of)
			if !ok || !is {
				return func(*figures.Case) {}
			}
			x.amount, x.fees = amount, nil
			timing := x.timing()
			out := d.Give(figures.Output{Name: name, Label: say.With("%s: %s, quantity by month", e.Name, l.Label), Scope: "plan", Place: p.Place, Hidden: true,
				Like: d.Read(of), Len: p.months(), Kind: formula.Flow, Rests: append(timing, amount)})
			return func(c *figures.Case) {
				if unanswered(c, append(timing, amount), out) {
					return
				}
				w := p.lineRun(c, x, pricing{Farm: p.Farm})
				sold := c.Room(out)
				for year := w.first; year < p.Years; year++ {
					w.year(year, func(column int, weight, amount float64) {
						if w.falls(column) {
							sold[column-1] += float64(weight * amount)
						}
					})
				}
			}
		})
	}
}

// amountOf names the figure of what a line comes to.
func amountOf(e *Enterprise, l *enterprise.Line) string {
	name := e.ID + "." + l.Name
	switch {
	case l.Kind == enterprise.Sale:
		return name + ".takings"
	case l.When.Every.File != nil:
		return name + ".each_time"
	}
	return name
}

// growing values what an enterprise that sells years later has set going and not
// sold yet, at its variable cost: for each year's production by the part of all
// its takings that is still to come.
func (p *Declared) growing(e *Enterprise) {
	name := p.part("growing", "plan.lines."+e.ID+".growing")
	p.engine("what grows at "+e.ID, func(d *figures.Declaration) figures.Run {
		var lines []*lineIns
		var timing []*figures.In
		for k := range e.Lines {
			l := &e.Lines[k]
			if l.Kind != enterprise.Sale && l.Kind != enterprise.Cost {
				continue
			}
			if x, ok := p.lineReads(d, e, l); ok {
				x.fees = nil
				lines = append(lines, x)
				timing = append(append(timing, x.timing()...), x.amount)
			}
		}
		o := hidden(p.money(name, say.With("%s: what grows, at its cost", e.Name), "variable costs of each year's production, by the part of its takings that is still to come"))
		o.Kind = formula.Level
		out := d.Give(o)
		return func(c *figures.Case) {
			if unanswered(c, timing, out) {
				return
			}
			first := p.Years
			runs := make([]lineRun, len(lines))
			for i, x := range lines {
				runs[i] = p.lineRun(c, x, pricing{Farm: p.Farm})
				first = runs[i].first
			}
			value := c.Room(out)
			spent, sold := c.Scratch(p.months()), c.Scratch(p.months())
			for year := first; year < p.Years; year++ {
				clear(spent)
				clear(sold)
				takings, kept := 0.0, 1.0
				for i := range runs {
					w := &runs[i]
					scale := 1.0
					if w.Kind == enterprise.Sale {
						scale, kept = c.Of(w.level), w.prices.kept
					}
					amount := w.year(year, func(column int, weight, amount float64) {
						part := float64(weight * amount * scale)
						if w.Kind == enterprise.Sale && column < w.sells {
							takings -= part // never comes
							return
						}
						if !w.falls(column) {
							return
						}
						got, _ := w.prices.at(column, part)
						if w.Kind == enterprise.Sale {
							sold[column-1] += got / w.prices.level(column)
						} else {
							spent[column-1] += got
						}
					})
					if w.Kind == enterprise.Sale {
						takings += float64(amount * scale)
					}
				}
				if takings <= 0 {
					continue
				}
				cost, gone, all := 0.0, 0.0, takings*kept
				for m := range value {
					cost += spent[m]
					gone += sold[m]
					value[m] += float64(cost * math.Max(0, 1-gone/all))
				}
			}
		}
	})
}
