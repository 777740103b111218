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

func (s *sketch) graph(t testing.TB, more ...figures.Definition) *figures.Graph {
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
	var people []string
	for _, p := range s.farm.People {
		people = append(people, p.ID)
	}
	definitions = append(definitions, enterprise.Definitions(specs, enterprise.Context{Currency: "GBP", People: people, Place: text("farm")})...)
	definitions = append(definitions, enterprise.TimingDefinitions(specs)...)
	definitions = append(definitions, more...)
	g, err := figures.Build(units, s.farm.Years, definitions, enterprise.Functions...)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func (s *sketch) compile(t testing.TB) (*figures.Graph, *plan.Plan) {
	t.Helper()
	g := s.graph(t)
	if s.farm.Enterprises == nil {
		for _, spec := range s.specs {
			s.farm.Enterprises = append(s.farm.Enterprises, plan.Enterprise{Spec: spec})
		}
	}
	return g, plan.Compile(g, &s.farm)
}

func (s *sketch) work(t testing.TB) *plan.Books {
	t.Helper()
	g, p := s.compile(t)
	in, b := p.NewInputs(), p.NewBooks()
	p.Read(g.Base().Clone(), in)
	p.Work(in, b)
	ties(t, "books", b, len(b.Row(plan.Bank)))
	return b
}

// ties checks what must hold in every month, to a tenth of a penny.
func ties(t testing.TB, what string, b *plan.Books, columns int) {
	t.Helper()
	const penny = 0.001
	bank := 0.0
	for c := range columns {
		if d := b.Assets(c) - b.Liabilities(c) - b.Row(plan.Equity)[c]; !(math.Abs(d) < penny) {
			t.Fatalf("%s: in column %d assets %.2f less liabilities %.2f are not the equity %.2f", what, c, b.Assets(c), b.Liabilities(c), b.Row(plan.Equity)[c])
		}
		bank += b.Row(plan.NetCash)[c]
		if !(math.Abs(bank-b.Row(plan.Bank)[c]) < penny) {
			t.Fatalf("%s: in column %d the cash flow comes to %.2f, the bank has %.2f", what, c, bank, b.Row(plan.Bank)[c])
		}
	}
	// What is due within twelve months is what is then paid, unless a loan is
	// drawn in between.
	for c := range columns - 12 {
		drawn, paid := 0.0, 0.0
		for k := c + 1; k <= c+12; k++ {
			drawn += b.Row(plan.LoansDrawn)[k]
			paid += b.Row(plan.Principal)[k]
		}
		if due := b.Row(plan.DueSoon)[c]; drawn == 0 && !(math.Abs(due-paid) < penny) {
			t.Fatalf("%s: in column %d %.2f is due within a year, and %.2f is paid", what, c, due, paid)
		}
	}
	spent, owed := 0.0, 0.0
	for c := range columns {
		spent += b.Row(plan.VariableCosts)[c]
		for k := max(0, c-11); k <= c; k++ {
			owed += b.Row(plan.Interest)[k]
		}
		if x := b.Row(plan.Growing)[c]; x < -penny || x > spent+penny {
			t.Fatalf("%s: in column %d growing crops stand at %.2f of %.2f spent", what, c, x, spent)
		}
		if x := b.Row(plan.Accrued)[c]; x < -penny || x > owed+penny {
			t.Fatalf("%s: in column %d interest of %.2f is owed, %.2f fell due in the year", what, c, x, owed)
		}
		if x := b.Row(plan.Stock)[c]; x < -penny {
			t.Fatalf("%s: in column %d stock is %.2f", what, c, x)
		}
		owed = 0
	}
	// Profit to cash over each year, from balances and not from flows: profit,
	// and what it does not pay at once, and what is paid without being cost.
	for year := range (columns - 1) / 12 {
		change := func(r plan.Row) float64 { return b.End(r, year) - b.End(r, year-1) }
		sum := func(r plan.Row) float64 { return b.Year(r, year) }
		cash := sum(plan.Profit) + sum(plan.Depreciation) - change(plan.Stock) - change(plan.Growing) +
			change(plan.Accrued) + change(plan.SalesTaxDue) + change(plan.TaxDue) - sum(plan.Tax) +
			change(plan.Loans) - sum(plan.EquipmentBought) + sum(plan.EquipmentSold) - change(plan.Property) +
			sum(plan.Introduced) + sum(plan.Grants) + sum(plan.OffFarm) - sum(plan.Drawings)
		if d := cash - change(plan.Bank); !(math.Abs(d) < penny) {
			t.Fatalf("%s: profit of year %d comes to %.2f in cash, the bank has changed by %.2f", what, year+1, cash, change(plan.Bank))
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
	s.farm.Sources = []plan.Source{{Named: plan.Named{ID: "savings"}, Kind: "savings"}, {Named: plan.Named{ID: "bank"}, Kind: "loan", Repaid: plan.EqualPrincipal}}
	s.farm.Uses = []plan.Use{{Named: plan.Named{ID: "field"}, Group: "property"}}
	b := s.work(t)

	// Opening: 5,000 and 1,000 in, 4,000 for the field.
	near(t, "opening bank", b.Row(plan.Bank)[0], 2000, 1e-9)
	// January: half of 300 for feed, the house 1,200, 100 and 10 to the bank, 20
	// to the household.
	near(t, "January", b.Row(plan.NetCash)[1], -150-1200-110-20, 1e-9)
	near(t, "depreciation of a month", b.Row(plan.Depreciation)[1], 1200*0.75/120, 1e-9)
	near(t, "sales in June", b.Row(plan.Sales)[6], 1000, 1e-9)
	interest := 0.12 / 12 * (1000 + 900 + 800 + 700 + 600 + 500 + 400 + 300 + 200 + 100)
	near(t, "interest of the year", b.Year(plan.Interest, 0), interest, 1e-9)
	profit := 1000 - 300 - 90 - interest
	near(t, "profit of the first year", b.Year(plan.Profit, 0), profit, 1e-9)
	near(t, "set aside", b.Row(plan.Tax)[12], profit/2, 1e-9)
	// The tax of the first year is paid ten months after it.
	near(t, "tax paid", b.Row(plan.TaxPaid)[22], profit/2, 1e-9)
	near(t, "bank at the first year's end", b.End(plan.Bank, 0), 2000-1200-300+1000-1000-interest-240, 1e-9)
	// The second year doubles: another house in January.
	near(t, "second house", b.Row(plan.EquipmentBought)[13], 1200, 1e-9)
	near(t, "second year's sales", b.Year(plan.Sales, 1), 2000, 1e-9)
	near(t, "houses at the end", b.End(plan.Equipment, 1), 2400-90-180, 1e-9)
	near(t, "bank at the end", b.End(plan.Bank, 1), 2000-1200-300+1000-1000-interest-240-1200-600+2000-240-profit/2, 1e-9)
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
		near(t, "growing", b.End(plan.Growing, year), want.growing, 1e-9)
		near(t, "sales", b.Year(plan.Sales, year), want.sales, 1e-9)
		near(t, "profit", b.Year(plan.Profit, year), want.profit, 1e-9)
	}
}

// TestSalesTax: a farm that is registered sells 1,200 with tax at 20 % in
// February and buys for 600 in January; the 100 between the two taxes are
// settled in the month after the quarter.
func TestSalesTax(t *testing.T) {
	make := func(registered, without bool) *plan.Books {
		s := newSketch(1)
		e := s.enterprise("eggs", "1")
		e.Lines = []enterprise.Line{
			{Kind: enterprise.Sale, Name: "eggs", Label: "Eggs", Amount: text("120"), Price: text("10 GBP"), When: enterprise.Timing{Months: text("Feb")}},
			{Kind: enterprise.Cost, Name: "feed", Label: "Feed", Amount: text("600 GBP"), When: enterprise.Timing{Months: text("Jan")}},
		}
		s.add("finance.plan.sales_tax.sales: 20 %%")
		s.add("finance.plan.sales_tax.costs: 20 %%")
		s.farm.Registered, s.farm.WithoutTax = registered, without
		return s.work(t)
	}
	for _, c := range []struct {
		registered, without bool
		settled, profit     float64
	}{{true, false, 100, 500}, {true, true, 120, 600}, {false, false, 0, 600}, {false, true, 0, 480}} {
		b := make(c.registered, c.without)
		what := fmt.Sprintf("registered %v, prices without tax %v: ", c.registered, c.without)
		near(t, what+"settled in April", b.Row(plan.SalesTaxSettled)[4], c.settled, 1e-9)
		near(t, what+"profit", b.Year(plan.Profit, 0), c.profit, 1e-9)
		near(t, what+"bank", b.End(plan.Bank, 0), c.profit, 1e-9)
	}
}

// TestLabourHired: 100 h of work in a January for someone with 40 h a week less
// 8 elsewhere and 10 days away.
func TestLabourHired(t *testing.T) {
	s := newSketch(1)
	e := s.enterprise("hay", "1")
	e.Lines = []enterprise.Line{{Kind: enterprise.Hours, Name: "work", Label: "Work", Amount: text("200 h"), When: enterprise.Timing{Months: text("Jan")}}}
	s.farm.People = []plan.Person{{ID: "robin", Until: plan.MonthOf(2027, 1)}}
	s.add("farm.people.robin.hours: 40 h/week")
	s.add("farm.people.robin.elsewhere: 8 h/week")
	s.add("farm.people.robin.income: 365 GBP/year")
	s.add("farm.people.robin.away: 120 day")
	b := s.work(t)
	had := 32. / 7 * (31 - 10)
	near(t, "hours had", b.Row(plan.HoursHad)[1]/3600, had, 1e-9)
	near(t, "hired", b.Row(plan.HiredLabour)[1], (200-had)*13*1.1, 1e-9)
	near(t, "hours had in February", b.Row(plan.HoursHad)[2]/3600, 40./7*(28-10), 1e-9)
	near(t, "income from elsewhere", b.Year(plan.OffFarm, 0), 365./12, 1e-9)
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
		near(t, "sold", b.Row(plan.Sales)[column], want, 1e-9)
	}
	for year, want := range []float64{37, 0, 30} {
		near(t, "overheads", b.Year(plan.OwnOverheads, year), want, 1e-9)
	}
}

// TestDeclining: the books of a machine, 10,000 with 1,000 left after five
// years at the double rate, follow the yearly method; then it is bought again.
func TestDeclining(t *testing.T) {
	s := newSketch(6)
	s.farm.Declining = true
	s.farm.Items = []plan.Item{{Named: plan.Named{ID: "machine"}}}
	s.add("infrastructure.machine.number: 1")
	s.add("infrastructure.machine.cost: 10000 GBP")
	s.add("infrastructure.machine.life: 5 year")
	s.add("infrastructure.machine.residual: 10 %%")
	b := s.work(t)
	for year, want := range []float64{4000, 2400, 1440, 864, 296, 4000} {
		near(t, "declining balance", b.Year(plan.Depreciation, year), want, 1e-9)
	}
	near(t, "sold", b.Year(plan.EquipmentSold, 5), 1000, 1e-9)
	near(t, "bought again", b.Year(plan.EquipmentBought, 5), 10_000, 1e-9)
	near(t, "in the opening", b.Row(plan.Equipment)[0], 10_000, 1e-9)
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
		g, p := s.compile(t)
		in, b := p.NewInputs(), p.NewBooks()
		p.Read(g.Base().Clone(), in)
		p.Work(in, b)
		ties(t, fmt.Sprintf("farm %d", seed), b, 12*s.farm.Years+1)
		whole := p.NewBooks()
		whole.Whole = true
		p.Work(in, whole)
		ties(t, fmt.Sprintf("farm %d in whole pounds", seed), whole, 12*s.farm.Years+1)
		for row := plan.Sales; row <= plan.Equity; row++ {
			for c, x := range whole.Row(row) {
				// Up to twenty rows run into a balance, each half a pound off, and
				// what is left of old equipment, the tax and the overdraft's interest
				// are half a pound off each time, and bear interest.
				if d := math.Abs(x - b.Row(row)[c]); x != math.Round(x) || d > 20+1.5*float64(c)+1e-5*math.Abs(x) {
					t.Fatalf("farm %d: row %d of column %d is %v in whole pounds, %v to the penny", seed, row, c, x, b.Row(row)[c])
				}
			}
		}
	}
}

func pick[T any](r *rand.Rand, of ...T) T { return of[r.IntN(len(of))] }

func randomFarm(r *rand.Rand) *sketch {
	s := newSketch(1 + r.IntN(7))
	s.farm.Start = plan.MonthOf(2027, pick(r, 0, 0, 3, 6, 11))
	s.farm.Declining = r.IntN(2) == 0
	s.farm.Registered = r.IntN(2) == 0
	s.farm.WithoutTax = r.IntN(2) == 0
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
		s.farm.Enterprises = append(s.farm.Enterprises, plan.Enterprise{Spec: e, From: month(), Sells: month()})
	}
	for i := range r.IntN(3) {
		id := fmt.Sprintf("p%d", i)
		s.farm.People = append(s.farm.People, plan.Person{ID: id, Until: month()})
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
		s.farm.Sources = append(s.farm.Sources, plan.Source{Named: plan.Named{ID: id}, Kind: pick(r, "savings", "loan", "loan", "grant", "gift"), Received: month(), Repaid: pick(r, plan.Level, plan.EqualPrincipal, plan.AtEnd)})
		name := "finance.sources." + id
		s.add("%s.amount: %d GBP", name, r.IntN(90_000))
		s.add("%s.rate: %d %%/year", name, r.IntN(20))
		s.add("%s.term: %d month", name, r.IntN(200))
		s.add("%s.interest_only: %d month", name, r.IntN(30))
		s.add("%s.balloon: %d %%", name, r.IntN(50))
		s.add("%s.every: %d month", name, pick(r, 1, 1, 3, 12))
	}
	for i := range r.IntN(6) {
		id := fmt.Sprintf("u%d", i)
		u := plan.Use{Named: plan.Named{ID: id}, Group: pick(r, "property", "stock", "equipment", "working_capital"), Paid: month(), Life: r.IntN(2) == 0}
		s.farm.Uses = append(s.farm.Uses, u)
		s.add("finance.uses.%s.amount: %d GBP", id, r.IntN(50_000))
		s.add("finance.uses.%s.life: %d month", id, 1+r.IntN(100))
		s.add("finance.uses.%s.residual: %d %%", id, r.IntN(100))
	}
	for i := range r.IntN(4) {
		id := fmt.Sprintf("i%d", i)
		s.farm.Items = append(s.farm.Items, plan.Item{Named: plan.Named{ID: id}, Bought: month()})
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
