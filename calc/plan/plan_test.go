package plan_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

// A sketch is a farm in the making for tests: figures as "name: value" or
// "name = formula", and the structure that goes with them.
type sketch struct {
	farm  plan.Farm
	lines []string
	specs []*enterprise.Spec
}

func newSketch(years int) *sketch {
	return &sketch{farm: plan.Farm{Currency: "GBP", Years: years, Start: plan.MonthOf(2027, 0)}}
}

func (s *sketch) add(format string, args ...any) {
	s.lines = append(s.lines, fmt.Sprintf(format, args...))
}

// date adds a date: a month, as its first day, or nothing if there is none.
func (s *sketch) date(name string, month plan.Month) {
	if month != 0 {
		s.add("%s: %s-01", name, month)
	}
}

// choose adds a choice by its place, or yes or no.
func (s *sketch) choose(name string, place int) { s.add("%s: %d", name, place) }

func (s *sketch) yes(name string, holds bool) { s.choose(name, map[bool]int{true: 1}[holds]) }

const (
	registered = "finance.plan.sales_tax.registered"
	withoutTax = "finance.plan.sales_tax.without_tax"
)

func text(format string, args ...any) source.Span {
	return source.New("test.yaml", fmt.Sprintf(format, args...)).Whole()
}

// enterprise adds one whose scale is counted in plain numbers.
func (s *sketch) enterprise(id string, scale string, buildUp ...string) *enterprise.Spec {
	spec := &enterprise.Spec{ID: id, Name: id, Scale: enterprise.Scale{Figure: enterprise.Ref{Name: "size"}}, Place: text("%s", id)}
	s.add("%s.size: %s", id, scale)
	s.add("infrastructure.for_%s: 0 GBP/year", id)
	s.add("finance.overheads_for_%s: 0 GBP/year", id)
	for _, b := range buildUp {
		spec.BuildUp = append(spec.BuildUp, text("%s", b))
	}
	s.specs = append(s.specs, spec)
	return spec
}

// build puts the sketch together as a farm is: its data, its enterprises and its
// plan, in one graph.
func (s *sketch) build(t testing.TB) *books {
	t.Helper()
	units, err := quantity.NewSystem("GBP", nil)
	if err != nil {
		t.Fatal(err)
	}
	var definitions []figures.Definition
	for _, line := range append([]string{"farm.wage: 13 GBP/h", "farm.employment: 10 %", "finance.overheads_total: 0 GBP/year"}, s.lines...) {
		d := figures.Definition{Place: text("%s", line)}
		if name, formula, worked := strings.Cut(line, " = "); worked {
			d.Name, d.Formula = name, text("%s", formula)
		} else {
			name, value, _ := strings.Cut(line, ": ")
			q, err := units.Parse(value)
			if err != nil {
				t.Fatalf("%s: %v", line, err)
			}
			d.Name, d.Value = name, q
		}
		definitions = append(definitions, d)
	}
	var specs []enterprise.Spec
	for _, spec := range s.specs {
		specs = append(specs, *spec)
	}
	if s.farm.Enterprises == nil {
		for _, spec := range s.specs {
			s.farm.Enterprises = append(s.farm.Enterprises, plan.Enterprise{Spec: spec})
		}
	}
	var people []string
	for _, p := range s.farm.People {
		people = append(people, p.ID)
	}
	definitions = append(definitions, enterprise.Definitions(specs, enterprise.Context{Currency: "GBP", People: people, Place: text("farm")})...)
	definitions = append(definitions, enterprise.TimingDefinitions(specs)...)
	known := map[string]*figures.Definition{}
	for i := range definitions {
		known[definitions[i].Name] = &definitions[i]
	}
	s.farm.Place = text("farm")
	p := s.farm.Declare(units, func(name string) *figures.Definition { return known[name] })
	g, err := figures.BuildWith(units, s.farm.Years, append(definitions, p.Definitions...), p.Engines, enterprise.Functions...)
	if err != nil {
		t.Fatal(err)
	}
	return &books{g, g.Base(), p, t}
}

func (s *sketch) work(t testing.TB) *books {
	t.Helper()
	b := s.build(t)
	b.ties("books")
	return b
}

// books are the rows of a plan in one case, each with the opening before its
// months.
type books struct {
	*figures.Graph
	v    *figures.Values
	plan *plan.Declared
	t    testing.TB
}

func (b *books) figure(name string) *figures.Figure {
	b.t.Helper()
	f := b.Lookup(name)
	if f == nil {
		b.t.Fatalf("there is no %s", name)
	}
	return f
}

func (b *books) of(name string) float64 { b.t.Helper(); return b.v.Of(b.figure(name)) }

// levels are the balances, by what they are at the opening.
var levels = map[string][]string{
	"cash": {"net_cash"}, "property": {"property_bought"}, "equipment": {"equipment_bought"}, "growing": nil, "stock": {"stock_bought"},
	"sales_tax_due": {"sales_tax_added"}, "loans": {"loans_drawn"}, "due_soon": {"due_soon"}, "interest_due": nil, "tax_due": nil, "equity": {"introduced", "grants"},
}

func (b *books) row(name string) []float64 {
	b.t.Helper()
	at, before := "plan.months."+name, []string{name}
	if names, level := levels[name]; level {
		at, before = "plan.balances."+name, names
	}
	switch name {
	case "cash":
		at = "plan.cash"
	case "hours_had", "hours_hired", "hours_needed":
		at = "plan." + name
	}
	opening := 0.0
	for _, x := range before {
		if f := b.Lookup("plan.before." + x); f != nil {
			opening += b.v.Of(f)
		}
	}
	return append([]float64{opening}, b.v.Months(b.figure(at))...)
}

// year is what a flow adds up to in a year, counted from 0; end is a balance at
// its end, or at the opening for -1.
func (b *books) year(name string, year int) float64 {
	b.t.Helper()
	sum := 0.0
	for _, x := range b.row(name)[1+12*year : 13+12*year] {
		sum += x
	}
	return sum
}

func (b *books) end(name string, year int) float64 { b.t.Helper(); return b.row(name)[12*(year+1)] }

// ties checks what must hold in every month. Money is in whole units, so that
// all of it holds to the last digit of its sums.
func (b *books) ties(what string) {
	b.t.Helper()
	const penny = 1e-6
	rows := map[string][]float64{}
	at := func(name string, c int) float64 {
		if rows[name] == nil {
			rows[name] = b.row(name)
		}
		return rows[name][c]
	}
	columns := len(b.row("cash"))
	bank := 0.0
	for c := range columns {
		owned := at("property", c) + at("equipment", c) + at("growing", c) + at("stock", c) + at("cash", c)
		owed := at("loans", c) + at("interest_due", c) + at("sales_tax_due", c) + at("tax_due", c)
		if d := owned - owed - at("equity", c); !(math.Abs(d) < penny) {
			b.t.Fatalf("%s: in column %d what is owned, %.2f, less what is owed, %.2f, is not the equity, %.2f", what, c, owned, owed, at("equity", c))
		}
		bank += at("net_cash", c)
		if !(math.Abs(bank-at("cash", c)) < penny) {
			b.t.Fatalf("%s: in column %d the cash flow comes to %.2f, the bank has %.2f", what, c, bank, at("cash", c))
		}
	}
	// What is due within twelve months is what is then paid, unless a loan is
	// drawn in between.
	for c := range columns - 12 {
		drawn, paid := 0.0, 0.0
		for k := c + 1; k <= c+12; k++ {
			drawn += at("loans_drawn", k)
			paid += at("principal", k)
		}
		if due := at("due_soon", c); drawn == 0 && !(math.Abs(due-paid) < penny) {
			b.t.Fatalf("%s: in column %d %.2f is due within a year, and %.2f is paid", what, c, due, paid)
		}
	}
	spent := 0.0
	for c := range columns {
		owed := 0.0
		for k := max(0, c-11); k <= c; k++ {
			owed += at("interest", k)
		}
		spent += at("variable_costs", c)
		// The parts of what grows are valued before they are rounded.
		if x := at("growing", c); x < -penny || x > spent+1 {
			b.t.Fatalf("%s: in column %d growing crops stand at %.2f of %.2f spent", what, c, x, spent)
		}
		if x := at("interest_due", c); x < -penny || x > owed+penny {
			b.t.Fatalf("%s: in column %d interest of %.2f is owed, %.2f fell due in the year", what, c, x, owed)
		}
		if x := at("stock", c); x < -1-penny { // each of its two rows is half a unit off
			b.t.Fatalf("%s: in column %d stock is %.2f", what, c, x)
		}
	}
	// Profit to cash over each year, from balances and not from flows: profit,
	// and what it does not pay at once, and what is paid without being cost.
	for year := range (columns - 1) / 12 {
		change := func(name string) float64 { return at(name, 12*(year+1)) - at(name, 12*year) }
		sum := func(name string) float64 { return b.year(name, year) }
		cash := sum("profit") + sum("depreciation") - change("stock") - change("growing") +
			change("interest_due") + change("sales_tax_due") + change("tax_due") - sum("tax") +
			change("loans") - sum("equipment_bought") + sum("equipment_sold") - change("property") +
			sum("introduced") + sum("grants") + sum("off_farm") - sum("drawings")
		if d := cash - change("cash"); !(math.Abs(d) < penny) {
			b.t.Fatalf("%s: profit of year %d comes to %.2f in cash, the bank has changed by %.2f", what, year+1, cash, change("cash"))
		}
	}
}

// whole checks that every month of every row of money is in whole units.
func (b *books) whole(what string) {
	b.t.Helper()
	for _, f := range b.All() {
		if !strings.HasPrefix(f.Name, "plan.months.") && !strings.HasPrefix(f.Name, "plan.balances.") && f.Name != "plan.cash" {
			continue
		}
		for m, x := range b.v.Months(f) {
			if x != math.Round(x) {
				b.t.Fatalf("%s: %s is %v in month %d", what, f.Name, x, m+1)
			}
		}
	}
}

// TestByHand works a small farm out with a pencil: one enterprise that sells
// in June, with a field, a house, a loan and a household.
func TestByHand(t *testing.T) {
	s := newSketch(2)
	e := s.enterprise("eggs", "2", "1")
	e.Lines = []enterprise.Line{
		{Kind: enterprise.Sale, Name: "eggs", Label: "Eggs", Amount: text("size * 100"), Price: text("10 GBP"), When: enterprise.Timing{Months: text("Jun")}},
		{Kind: enterprise.Cost, Name: "feed", Label: "Feed", Amount: text("size * 300 GBP"), When: enterprise.Timing{Months: text("Jan..Feb * month_days() / month_days()")}},
		{Kind: enterprise.Capital, Name: "house", Label: "House", Number: text("size"), UnitCost: text("1200 GBP"), Life: text("10 year"), Residual: text("25 %%")},
	}
	s.add("finance.sources.savings.amount: 5000 GBP")
	s.add("finance.sources.bank.amount: 1000 GBP")
	s.add("finance.sources.bank.rate: 12 %%/year")
	s.add("finance.sources.bank.term: 10 month")
	s.add("finance.uses.field.amount: 4000 GBP")
	s.add("finance.plan.drawings: 20 GBP/month")
	s.add("finance.plan.tax: 50 %%")
	s.farm.Sources = []plan.Source{{Named: plan.Named{ID: "savings"}}, {Named: plan.Named{ID: "bank"}, Loan: true}}
	s.choose("finance.sources.bank.kind", 1)
	s.choose("finance.sources.bank.repaid", int(plan.EqualPrincipal))
	s.farm.Uses = []plan.Use{{Named: plan.Named{ID: "field"}, Group: "property"}}
	b := s.work(t)

	// Opening: 5,000 and 1,000 in, 4,000 for the field.
	near(t, "opening bank", b.row("cash")[0], 2000, 1e-9)
	// January: half of 300 for feed, the house 1,200, 100 and 10 to the bank, 20
	// to the household.
	near(t, "January", b.row("net_cash")[1], -150-1200-110-20, 1e-9)
	near(t, "depreciation of a month", b.row("depreciation")[1], 1200*0.75/120, 0.5) // in whole units
	near(t, "sales in June", b.row("sales")[6], 1000, 1e-9)
	interest := 0.12 / 12 * (1000 + 900 + 800 + 700 + 600 + 500 + 400 + 300 + 200 + 100)
	near(t, "interest of the year", b.year("interest", 0), interest, 1e-9)
	profit := 1000 - 300 - 90 - interest
	near(t, "profit of the first year", b.year("profit", 0), profit, 1e-9)
	near(t, "set aside", b.row("tax")[12], math.Round(profit/2), 1e-9)
	// The tax of the first year is paid ten months after it.
	near(t, "tax paid", b.row("tax_paid")[22], math.Round(profit/2), 1e-9)
	near(t, "bank at the first year's end", b.end("cash", 0), 2000-1200-300+1000-1000-interest-240, 1e-9)
	// The second year doubles: another house in January.
	near(t, "second house", b.row("equipment_bought")[13], 1200, 1e-9)
	near(t, "second year's sales", b.year("sales", 1), 2000, 1e-9)
	near(t, "houses at the end", b.end("equipment", 1), 2400-90-180, 1e-9)
	near(t, "bank at the end", b.end("cash", 1), 2000-1200-300+1000-1000-interest-240-1200-600+2000-240-math.Round(profit/2), 1e-9)
}

// TestNursery: plants that are potted each January for 100 and sold in June two
// years later stand in the balance sheet until then.
func TestNursery(t *testing.T) {
	s := newSketch(4)
	e := s.enterprise("nursery", "1")
	e.Lines = []enterprise.Line{
		{Kind: enterprise.Cost, Name: "pots", Label: "Pots", Amount: text("size * 100 GBP"), When: enterprise.Timing{Months: text("Jan")}},
		{Kind: enterprise.Sale, Name: "plants", Label: "Plants", Amount: text("size * 40"), Price: text("10 GBP"), When: enterprise.Timing{Months: text("Jun"), Lag: text("2 year")}},
	}
	b := s.work(t)
	for year, want := range []struct{ growing, sales, profit float64 }{{100, 0, 0}, {200, 0, 0}, {200, 400, 300}, {200, 400, 300}} {
		near(t, "growing", b.end("growing", year), want.growing, 1e-9)
		near(t, "sales", b.year("sales", year), want.sales, 1e-9)
		near(t, "profit", b.year("profit", year), want.profit, 1e-9)
	}
}

// TestSalesTax: a farm that is registered sells 1,200 with tax at 20 % in
// February and buys for 600 in January; the 100 between the two taxes are
// settled in the month after the quarter.
func TestSalesTax(t *testing.T) {
	make := func(isRegistered, without bool) *books {
		s := newSketch(1)
		e := s.enterprise("eggs", "1")
		e.Lines = []enterprise.Line{
			{Kind: enterprise.Sale, Name: "eggs", Label: "Eggs", Amount: text("120"), Price: text("10 GBP"), When: enterprise.Timing{Months: text("Feb")}},
			{Kind: enterprise.Cost, Name: "feed", Label: "Feed", Amount: text("600 GBP"), When: enterprise.Timing{Months: text("Jan")}},
		}
		s.add("finance.plan.sales_tax.sales: 20 %%")
		s.add("finance.plan.sales_tax.costs: 20 %%")
		s.yes(registered, isRegistered)
		s.yes(withoutTax, without)
		return s.work(t)
	}
	for _, c := range []struct {
		registered, without bool
		settled, profit     float64
	}{{true, false, 100, 500}, {true, true, 120, 600}, {false, false, 0, 600}, {false, true, 0, 480}} {
		b := make(c.registered, c.without)
		what := fmt.Sprintf("registered %v, prices without tax %v: ", c.registered, c.without)
		near(t, what+"settled in April", b.row("sales_tax_settled")[4], c.settled, 1e-9)
		near(t, what+"profit", b.year("profit", 0), c.profit, 1e-9)
		near(t, what+"bank", b.end("cash", 0), c.profit, 1e-9)
	}
}

// TestLabourHired: 100 h of work in a January for someone with 40 h a week less
// 8 elsewhere and 10 days away.
func TestLabourHired(t *testing.T) {
	s := newSketch(1)
	e := s.enterprise("hay", "1")
	e.Lines = []enterprise.Line{{Kind: enterprise.Hours, Name: "work", Label: "Work", Amount: text("200 h"), When: enterprise.Timing{Months: text("Jan")}}}
	s.farm.People = []plan.Person{{ID: "robin"}}
	s.date("farm.people.robin.until", plan.MonthOf(2027, 1))
	s.add("farm.people.robin.hours: 40 h/week")
	s.add("farm.people.robin.elsewhere: 8 h/week")
	s.add("farm.people.robin.income: 365 GBP/year")
	s.add("farm.people.robin.away: 120 day")
	b := s.work(t)
	had := 32. / 7 * (31 - 10)
	near(t, "hours had", b.row("hours_had")[1]/3600, had, 1e-9)
	near(t, "hired", b.row("hired_labour")[1], (200-had)*13*1.1, 0.5)
	near(t, "hours had in February", b.row("hours_had")[2]/3600, 40./7*(28-10), 1e-9)
	near(t, "income from elsewhere", b.year("off_farm", 0), 365./12, 0.5)
}

// TestPastTheYear: a batch of December is sold in February of the next year,
// and what comes back every two years comes in the first and the third.
func TestPastTheYear(t *testing.T) {
	s := newSketch(3)
	e := s.enterprise("geese", "1")
	e.Cycles = []enterprise.Cycle{{Name: enterprise.Ref{Name: "batch"}, First: text("334 day"), Every: text("1 day"), Number: text("1")}}
	e.Lines = []enterprise.Line{
		{Kind: enterprise.Sale, Name: "geese", Label: "Geese", Amount: text("10"), Price: text("10 GBP"), When: enterprise.Timing{Each: enterprise.Ref{Name: "batch"}, Day: text("62 day")}},
		{Kind: enterprise.Overhead, Name: "net", Label: "Net", Amount: text("30 GBP"), When: enterprise.Timing{Months: text("Jan"), Every: text("2 year")}},
		{Kind: enterprise.Overhead, Name: "start", Label: "Start", Amount: text("7 GBP"), When: enterprise.Timing{Months: text("Mar"), Once: true}},
	}
	b := s.work(t)
	for column, want := range map[int]float64{2: 0, 14: 100, 26: 100} {
		near(t, "sold", b.row("sales")[column], want, 1e-9)
	}
	for year, want := range []float64{37, 0, 30} {
		near(t, "overheads", b.year("own_overheads", year), want, 1e-9)
	}
}

// TestDeclining: the books of a machine, 10,000 with 1,000 left after five
// years at the double rate, follow the yearly method; then it is bought again.
func TestDeclining(t *testing.T) {
	s := newSketch(6)
	s.choose("finance.plan.depreciation", 1)
	s.farm.Items = []plan.Item{{Named: plan.Named{ID: "machine"}}}
	s.add("infrastructure.machine.number: 1")
	s.add("infrastructure.machine.cost: 10000 GBP")
	s.add("infrastructure.machine.life: 5 year")
	s.add("infrastructure.machine.residual: 10 %%")
	b := s.work(t)
	for year, want := range []float64{4000, 2400, 1440, 864, 296, 4000} {
		near(t, "declining balance", b.year("depreciation", year), want, 1e-9)
	}
	near(t, "sold", b.year("equipment_sold", 5), 1000, 1e-9)
	near(t, "bought again", b.year("equipment_bought", 5), 10_000, 1e-9)
	near(t, "in the opening", b.row("equipment")[0], 10_000, 1e-9)
}

// TestRandomFarms holds a thousand farms of all kinds to the balance.
func TestRandomFarms(t *testing.T) {
	n := 1000
	if testing.Short() {
		n = 100
	}
	for seed := range n {
		r := rand.New(rand.NewPCG(uint64(seed), 3))
		s := randomFarm(r)
		b := s.build(t)
		b.ties(fmt.Sprintf("farm %d", seed))
		b.whole(fmt.Sprintf("farm %d", seed))
	}
}

func pick[T any](r *rand.Rand, of ...T) T { return of[r.IntN(len(of))] }

func randomFarm(r *rand.Rand) *sketch {
	s := newSketch(1 + r.IntN(7))
	s.farm.Start = plan.MonthOf(2027, pick(r, 0, 0, 3, 6, 11))
	s.choose("finance.plan.depreciation", r.IntN(2))
	s.choose(registered, r.IntN(2))
	s.choose(withoutTax, r.IntN(2))
	month := func() plan.Month {
		if r.IntN(2) == 0 {
			return 0
		}
		return s.farm.Start + plan.Month(r.IntN(12*s.farm.Years+6)-3)
	}
	for i := range 1 + r.IntN(3) {
		id := fmt.Sprintf("e%d", i)
		var build []string
		for range r.IntN(4) {
			build = append(build, fmt.Sprint(1+r.IntN(8)))
		}
		e := s.enterprise(id, fmt.Sprint(1+r.IntN(8)), build...)
		e.Cycles = []enterprise.Cycle{{Name: enterprise.Ref{Name: "batch"}, First: text("%d day", r.IntN(365)), Every: text("%d day", 1+r.IntN(60)), Number: text("%d", 1+r.IntN(8))}}
		when := func() enterprise.Timing {
			w := enterprise.Timing{}
			switch r.IntN(4) {
			case 0:
				w.Each.Name, w.Day = "batch", text("%d day", r.IntN(200)-30)
			case 1:
				from := r.IntN(200)
				w.Each.Name, w.From, w.To = "batch", text("%d day", from), text("%d day", from+r.IntN(90))
			case 2:
				w.Months = text("%s..%s", pick(r, "Jan", "Apr", "Nov"), pick(r, "Feb", "May", "Oct"))
			}
			if r.IntN(4) == 0 {
				w.Lag = text("%d month", r.IntN(40))
			}
			switch r.IntN(8) {
			case 0:
				w.Every = text("%d year", 1+r.IntN(4))
			case 1:
				w.Once = true
			}
			return w
		}
		for k := range 1 + r.IntN(3) {
			w := when()
			w.Every = source.Span{}
			e.Lines = append(e.Lines, enterprise.Line{Kind: enterprise.Sale, Name: fmt.Sprintf("s%d", k), Label: "Sale", Amount: text("size * %d", 10+r.IntN(900)), Price: text("%d GBP", 1+r.IntN(20)), When: w})
		}
		for k := range r.IntN(5) {
			kind, amount := enterprise.Cost, "GBP"
			switch r.IntN(3) {
			case 1:
				kind = enterprise.Overhead
			case 2:
				kind, amount = enterprise.Hours, "h"
			}
			e.Lines = append(e.Lines, enterprise.Line{Kind: kind, Name: fmt.Sprintf("c%d", k), Label: "Cost", Amount: text("size * %d %s", 1+r.IntN(900), amount), When: when()})
		}
		for k := range r.IntN(3) {
			e.Lines = append(e.Lines, enterprise.Line{Kind: enterprise.Capital, Name: fmt.Sprintf("k%d", k), Label: "Thing", Number: text("ceil(size / %d)", 1+r.IntN(4)), UnitCost: text("%d GBP", 10+r.IntN(4000)), Life: text("%d month", 1+r.IntN(120)), Residual: text("%d %%", r.IntN(100))})
		}
		s.farm.Enterprises = append(s.farm.Enterprises, plan.Enterprise{Spec: e})
		s.date("finance.plan.starts."+e.ID+".from", month())
		s.date("finance.plan.starts."+e.ID+".sells_from", month())
	}
	for i := range r.IntN(3) {
		id := fmt.Sprintf("p%d", i)
		s.farm.People = append(s.farm.People, plan.Person{ID: id})
		s.date("farm.people."+id+".until", month())
		s.add("farm.people.%s.hours: %d h/week", id, r.IntN(50))
		s.add("farm.people.%s.elsewhere: %d h/week", id, r.IntN(20))
		s.add("farm.people.%s.income: %d GBP/month", id, r.IntN(900))
		s.add("farm.people.%s.away: %d day", id, r.IntN(40))
	}
	if len(s.farm.People) == 0 {
		s.farm.People = append(s.farm.People, plan.Person{ID: "p"})
		s.add("farm.people.p.hours: 40 h/week")
	}
	for i := range r.IntN(6) {
		id := fmt.Sprintf("m%d", i)
		s.farm.Sources = append(s.farm.Sources, plan.Source{Named: plan.Named{ID: id}})
		name := "finance.sources." + id
		s.choose(name+".kind", pick(r, 0, 1, 1, 2, 3, 4))
		s.choose(name+".repaid", r.IntN(3))
		s.date(name+".received", month())
		s.add("%s.amount: %d GBP", name, r.IntN(90_000))
		s.add("%s.rate: %d %%/year", name, r.IntN(20))
		s.add("%s.term: %d month", name, r.IntN(200))
		s.add("%s.interest_only: %d month", name, r.IntN(30))
		s.add("%s.balloon: %d %%", name, r.IntN(50))
		s.add("%s.every: %d month", name, pick(r, 1, 1, 3, 12))
	}
	for i := range r.IntN(6) {
		id := fmt.Sprintf("u%d", i)
		u := plan.Use{Named: plan.Named{ID: id}, Group: pick(r, "property", "stock", "equipment", "working_capital"), Life: r.IntN(2) == 0}
		s.farm.Uses = append(s.farm.Uses, u)
		s.date("finance.uses."+id+".paid", month())
		s.add("finance.uses.%s.amount: %d GBP", id, r.IntN(50_000))
		s.add("finance.uses.%s.life: %d month", id, 1+r.IntN(100))
		s.add("finance.uses.%s.residual: %d %%", id, r.IntN(100))
	}
	for i := range r.IntN(4) {
		id := fmt.Sprintf("i%d", i)
		s.farm.Items = append(s.farm.Items, plan.Item{Named: plan.Named{ID: id}})
		s.date("infrastructure."+id+".bought", month())
		s.add("infrastructure.%s.number: %d", id, 1+r.IntN(4))
		s.add("infrastructure.%s.cost: %d GBP", id, r.IntN(9000))
		s.add("infrastructure.%s.life: %d month", id, 1+r.IntN(300))
		s.add("infrastructure.%s.residual: %d %%", id, r.IntN(60))
	}
	for i := range r.IntN(3) {
		id := fmt.Sprintf("o%d", i)
		s.farm.Overheads = append(s.farm.Overheads, plan.Named{ID: id})
		s.add("finance.overheads.%s.amount: %d GBP/year", id, r.IntN(4000))
		s.farm.Land = append(s.farm.Land, plan.Named{ID: id})
		s.add("farm.land.%s.area: %d ha", id, r.IntN(40))
		s.add("farm.land.%s.rent: %d GBP/ha/year", id, r.IntN(200))
	}
	s.add("finance.plan.drawings: %d GBP/month", r.IntN(3000))
	s.add("finance.plan.tax: %d %%", r.IntN(40))
	s.add("finance.plan.tax_paid_after: %d month", 1+r.IntN(14))
	s.add("finance.plan.overdraft.rate: %d %%/year", r.IntN(20))
	s.add("finance.plan.declining_times: %d", 1+r.IntN(3))
	for _, group := range []string{"sales", "costs", "overheads", "capital", "wages", "rent", "living"} {
		s.add("finance.plan.inflation.%s: %d %%/year", group, r.IntN(2)*r.IntN(9))
		s.add("finance.plan.sales_tax.%s: %d %%", group, r.IntN(25))
	}
	return s
}

// A date, a choice, or yes or no that is set in a case comes to the same as one
// that is written in the data, to the bit.
func TestWordsSetAsWritten(t *testing.T) {
	n := 60
	if testing.Short() {
		n = 15
	}
	moved := 0
	for seed := range n {
		r := rand.New(rand.NewPCG(uint64(seed), 5))
		s := randomFarm(r)
		was := s.build(t)
		var words []int // places of lines that are dates, choices, and yes or no
		for i, line := range s.lines {
			name, value, _ := strings.Cut(line, ": ")
			if value != "" && (strings.HasSuffix(name, ".kind") || strings.HasSuffix(name, ".repaid") || strings.HasSuffix(name, ".depreciation") ||
				name == registered || name == withoutTax || quantity.CalendarForm(value)) {
				words = append(words, i)
			}
		}
		set := was.v.Clone()
		for range 4 {
			i := words[r.IntN(len(words))]
			name, value, _ := strings.Cut(s.lines[i], ": ")
			f := was.figure(name)
			switch {
			case quantity.CalendarForm(value):
				day := fmt.Sprintf("%d-%02d-%02d", 2026+r.IntN(10), 1+r.IntN(12), pick(r, 1, 15, 28))
				if r.IntN(4) == 0 {
					day = "2028-02-29"
				}
				s.lines[i] = name + ": " + day
				date, _ := quantity.ParseCalendar(day)
				set.Set(f, date.Value)
			default:
				of := 2
				if strings.HasSuffix(name, ".kind") {
					of = 5
				} else if strings.HasSuffix(name, ".repaid") {
					of = 3
				}
				place := r.IntN(of)
				s.lines[i] = fmt.Sprintf("%s: %d", name, place)
				set.Set(f, float64(place))
			}
		}
		set.Run()
		written := s.build(t)
		written.ties(fmt.Sprintf("farm %d", seed))
		for _, f := range was.All() {
			other := written.figure(f.Name)
			for m := range max(1, f.Type.Len) {
				a, b, before := set.At(f, m), written.v.At(other, m), was.v.At(f, m)
				if math.Float64bits(a) != math.Float64bits(b) && !(a != a && b != b) {
					t.Fatalf("farm %d: %s comes to %v where it is set, to %v where it is written", seed, f.Name, a, b)
				}
				if a != before {
					moved++
				}
			}
		}
	}
	if moved < 1000 {
		t.Errorf("only %d values have moved at all", moved)
	}
}

// A loan and a grant are what their kind says; the day on which they come is a day
// of the calendar, 29 February among them.
func TestKindOfMoney(t *testing.T) {
	s := newSketch(2)
	s.enterprise("eggs", "1")
	s.farm.Sources = []plan.Source{{Named: plan.Named{ID: "money"}}}
	s.add("finance.sources.money.amount: 6000 GBP")
	s.add("finance.sources.money.term: 6 month")
	s.add("finance.sources.money.rate: 0 %%/year")
	s.add("finance.sources.money.received: 2028-02-29")
	s.choose("finance.sources.money.kind", 2)
	b := s.work(t)
	near(t, "granted in February of the second year", b.row("grants")[14], 6000, 0)
	near(t, "equity at the end", b.end("equity", 1), 6000, 0)
	b.v.Set(b.figure("finance.sources.money.kind"), 1)
	b.v.Run()
	b.ties("a loan")
	near(t, "no grant", b.year("grants", 1), 0, 0)
	near(t, "drawn in February", b.row("loans_drawn")[14], 6000, 0)
	near(t, "paid back from February to July", b.year("principal", 1), 6000, 0)
	b.v.Set(b.figure("finance.sources.money.kind"), 3)
	far, _ := quantity.ParseCalendar("2031-02-28")
	b.v.Set(b.figure("finance.sources.money.received"), far.Value)
	b.v.Run()
	near(t, "beyond the plan", b.year("introduced", 0)+b.year("introduced", 1)+b.end("cash", 1), 0, 0)
	early, _ := quantity.ParseCalendar("2020-02-29")
	b.v.Set(b.figure("finance.sources.money.received"), early.Value)
	b.v.Run()
	b.ties("a gift before the plan")
	near(t, "before the plan is at the opening", b.row("introduced")[0], 6000, 0)
}
