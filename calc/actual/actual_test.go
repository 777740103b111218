package actual_test

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/calc/actual"
	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/sheet"
	"rickyard/calc/source"
	"rickyard/data"
)

var update = flag.Bool("update", false, "write the golden tables anew")

// hive is a small farm whose year begins in April, with two enterprises, so
// that months, years and quantities do not fall together by chance.
var hive = map[string]string{
	"data/farm.yaml": `
name: Farthing Bank
currency: GBP
counts: {hive: , jar: , hen: , egg: }
labour: {wage: 12 GBP/h}
horizon: 2 year
`,
	"data/prices.yaml": `
channels: {gate: {label: Gate}, shop: {label: Shop, fee: 10 %}}
products: {honey: {by_channel: {gate: 6 GBP/jar, shop: 5 GBP/jar}}}
inputs: {glass: 0.5 GBP/jar}
`,
	"data/finance.yaml": `
sources: {bank: {kind: loan, amount: 1200 GBP, rate: 6 %/year, term: 2 year}}
overheads: {insurance: {label: Insurance, amount: 120 GBP/year}}
plan: {start: 2027-04, drawings: 10 GBP/month}
records: {bad_rows: count_rest}
`,
	"data/enterprises/bees.yaml": `
name: Bees
scale: {figure: hives, unit: hive, now: 10 hive, most: 20 hive}
build_up: [5 hive]
worked: {jars: hives * 20 jar/hive}
lines:
  - {sale: Honey, amount: jars, product: honey, through: {gate: 50 %, shop: 50 %}, when: {months: Jul..Sep}}
  - {cost: Jars and lids, amount: jars * prices.glass, when: Jun}
  - {cost: Sugar, amount: 8 GBP + hives * 4 GBP/hive, when: Sep}
  - {hours: Work, amount: 50 h}
  - {capital: Boxes, number: hives, cost: 100 GBP/hive, life: 10 year}
`,
	"data/enterprises/hens.yaml": `
name: Hens
scale: {figure: hens, unit: hen, now: 30 hen, most: 60 hen}
inputs: {feed_price: 0.4 GBP/kg}
worked: {eggs: hens * 300 egg/hen, feed: hens * 45 kg/hen}
lines:
  - {sale: Eggs, name: egg_sales, amount: eggs, price: 0.3 GBP/egg}
  - {cost: Feed, name: meal, amount: feed * feed_price}
  - {overhead: Registration, amount: 24 GBP, when: Apr}
`,
}

type worked struct {
	*actual.Results
	graph *figures.Graph
	plan  *plan.Declared
	style *quantity.Style
	farm  *data.Farm
}

// work builds the farm with records, each file by its name; swaps are texts in
// the farm's data and what stands in place of them.
func work(t testing.TB, records map[string]string, swaps ...string) *worked {
	t.Helper()
	files := fstest.MapFS{}
	for name, text := range hive {
		files[name] = &fstest.MapFile{Data: []byte(strings.NewReplacer(swaps...).Replace(text))}
	}
	for name, text := range records {
		files["data/records/"+name] = &fstest.MapFile{Data: []byte(text)}
	}
	farm, err := data.Load(files)
	if err != nil {
		t.Fatal(err)
	}
	whole := farm.Whole(nil)
	definitions := whole.Budgets()
	known := map[string]*figures.Definition{}
	for i := range definitions {
		known[definitions[i].Name] = &definitions[i]
	}
	w := &worked{farm: farm, style: quantity.NewStyle(farm.Units, farm.Language)}
	w.plan = whole.Plan.Declare(farm.Units, func(name string) *figures.Definition { return known[name] })
	w.Results = actual.Declare(w.plan, farm.Units, whole.Records)
	definitions = slices.Concat(definitions, w.plan.Definitions, w.Definitions)
	if w.graph, err = figures.BuildWith(farm.Units, farm.Horizon, definitions, append(w.plan.Engines, w.Engines...), enterprise.Functions...); err != nil {
		t.Fatal(err)
	}
	return w
}

// words are what a figure says.
func (w *worked) words(name string) string {
	return w.graph.Base().Text(w.graph.Lookup(name)).String()
}

func (w *worked) value(t testing.TB, name string) float64 {
	t.Helper()
	f := w.graph.Lookup(name)
	if f == nil {
		t.Fatalf("no figure %s", name)
	}
	return f.Current()
}

func (w *worked) want(t testing.TB, name string, want float64) {
	t.Helper()
	if got := w.value(t, name); math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
		t.Errorf("%s is %v, want %v", name, got, want)
	}
}

const head = "date,enterprise,item,quantity,amount\n"

// Worked examples that others published. The farm's plan is made to be theirs:
// so many at such a price in the months to date.
func TestPublishedVariances(t *testing.T) {
	for _, c := range []struct {
		source                         string
		cost                           bool
		planned, price, quantity, paid float64
		byPrice, byVolume              float64 // good for the profit: positive
	}{
		// accountingqa.blogspot.com, 2018, exercise 23-5 of a textbook on managerial
		// accounting: 430 units at $6.90, used 450 for $2,925; price -180, favourable,
		// quantity 138, unfavourable, in all -42.
		{"direct materials, exercise 23-5", true, 430, 6.9, 450, 2925, 180, -138},
		// justaaa.com, finance, "Describe the difference between price versus ...":
		// budget 100 at 10, sold 90 at 9; price -90, volume -100, in all -190.
		{"sales, 100 at 10 and 90 at 9", false, 100, 10, 90, 810, -90, -100},
		// basiccollegeaccounting.com, 2007: 10,500 at $70 planned, 12,000 at $65 sold;
		// price 60,000 adverse. Its volume variance is that of profit; of revenue it
		// is 1,500 at $70.
		{"sales, 10,500 at 70 and 12,000 at 65", false, 10500, 70, 12000, 780000, -60000, 105000},
		// qammunity.org, question 7248905, the price part: 8,200 bought at 0.84
		// for 0.80; 328 unfavourable.
		{"materials bought, 8,200 at 0.84", true, 8200, 0.8, 8200, 6888, -328, 0},
	} {
		sign, item := 1.0, "egg_sales"
		if c.cost {
			sign, item = -1, "meal"
		}
		row := fmt.Sprintf("%s2028-03-31,hens,%s,%v,%v\n", head, item, c.quantity, sign*c.paid)
		w := work(t, map[string]string{"year.csv": row},
			"hens * 300 egg/hen", fmt.Sprintf("%v egg", c.planned), "price: 0.3 GBP/egg", fmt.Sprintf("price: %v GBP/egg", c.price),
			"hens * 45 kg/hen", fmt.Sprintf("%v kg", c.planned), "feed_price: 0.4", fmt.Sprintf("feed_price: %v", c.price))
		name := "actual.hens." + item
		w.want(t, name+".price_variance", c.byPrice)
		w.want(t, name+".volume_variance", c.byVolume)
		w.want(t, name+".variance", c.byPrice+c.byVolume)
		if t.Failed() {
			t.Fatal(c.source)
		}
	}
}

// What a small farm recorded in its first seven months, one row of each kind.
const seven = `date,enterprise,item,quantity,amount,covers,refund,note
2027-04-05,hens,Egg,700,210,,,not an item
2027-04-05,hens,eggs,700 egg,217.00,,,
2027-05-04,hens,Eggs,690,206.50,,,a bare number is in eggs
2027-06-04,hens,EGG_SALES,10 kg,206.50,,,wrong unit
2027-06-04,hens,egg_sales,650,195,,,
2027-06-09,hens,egg_sales,30,-9,,yes,cracked
2027-04-02,hens,meal,700 kg,-301,,,
2027-06-20,hens,meal,100 kg,-41,2027-06..2027-07,,
2027-04-20,hens,Registration,,-26.4,,,
2027-06-01,bees,jars_and_lids,100 jar,-55,,,
2027-07-20,bees,Honey,30 jar,174,,,
2027-08-20,bees,Honey,,110,,,quantity forgotten
2027-08-20,bees,selling_costs,,-11,,,
2027-09-20,bees,sugar,,-35.5,,,
2027-09-22,bees,boxes,1 hive,-104,,,
2027-04-03,farm,insurance,,-132,2027-04..2028-03,,
2027-10-28,farm,interest,,-38,,,
2027-10-28,farm,loans,,-400,,,
2027-10-30,farm,other,,12,,,"=HYPERLINK(""x"") is a text"
2028-05-01,hens,egg_sales,600,180,,,the year after
2035-05-01,hens,egg_sales,600,180,,,outside the plan
`

func TestYearToDate(t *testing.T) {
	w := work(t, map[string]string{"2027.csv": seven}, "records: {bad_rows: count_rest}", "records: {bad_rows: count_rest, up_to: 2027-10-31}")
	w.want(t, "actual.months", 7)
	w.want(t, "actual.rows_counted", 17)
	w.want(t, "actual.rows_outside", 1)
	w.want(t, "actual.rows_left_out", 3)
	// Eggs: 9000 in 365 days, of which April to October have 214; by hand.
	w.want(t, "actual.hens.egg_sales.planned", math.Round(2700*214./365))
	w.want(t, "actual.hens.egg_sales.planned_quantity", 9000*214./365)
	w.want(t, "actual.hens.egg_sales.quantity", 700+690+650-30)
	w.want(t, "actual.hens.egg_sales.amount", math.Round(217+206.5+195-9))
	w.want(t, "actual.hens.egg_sales.planned_price", 0.3)
	w.want(t, "actual.hens.egg_sales.price", 609.5/2010)
	// Half of what was paid in June is for July; both are to date.
	w.want(t, "actual.hens.meal.amount", -342)
	w.want(t, "actual.hens.meal.quantity", 800)
	// A twelfth a month of what covers a year: 7/12 of 132.
	w.want(t, "actual.farm.insurance.amount", -77)
	w.want(t, "actual.farm.insurance.planned", -70)
	w.want(t, "actual.farm.insurance.remaining", -50)
	// The first year has five hives of twenty jars: half at 6, half at 5 less 10 %.
	w.want(t, "actual.bees.honey.planned", 550)
	w.want(t, "actual.bees.selling_costs.planned", -25)
	w.want(t, "actual.bees.honey.unsplit_variance", 174+110-550)
	if w.value(t, "actual.bees.honey.split") != 0 {
		t.Error("honey is split although a quantity was forgotten")
	}
	w.want(t, "actual.bees.jars_and_lids.price_variance", -5)
	w.want(t, "actual.bees.jars_and_lids.volume_variance", 0)
	w.want(t, "actual.bees.sugar.unsplit_variance", math.Round(-35.5)+28)
	w.want(t, "actual.farm.purchases.amount", -104)
	w.want(t, "actual.farm.other.amount", 12)
	w.want(t, "actual.planned_profit", w.value(t, "plan.year1.profit"))
	for _, check := range []string{"actual.splits", "actual.forecast_ties"} {
		if !w.graph.Base().Holds(w.graph.Lookup(check)) {
			t.Errorf("%s does not hold", check)
		}
	}
	if got := w.words("actual.up_to"); got != "October 2027" {
		t.Errorf("up to %q", got)
	}
	golden(t, "seven.txt", w.text(t))
}

// text writes the tables as a reader gets them.
func (w *worked) text(t testing.TB) string {
	t.Helper()
	var b strings.Builder
	tables := w.Tables(w.graph)
	for _, name := range []string{"actual", "actual_hens", "variances", "variances_hens", "variances_bees", "variances_farm", "forecast", "left_out"} {
		table := tables[name]
		printed, err := table.Print(w.graph, w.style)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "%s\n%s | %s\n", table.Title, table.Head, strings.Join(printed.Heads, " | "))
		for _, row := range printed.Rows {
			texts := []string{row.Label}
			for _, c := range row.Cells {
				texts = append(texts, c.Text)
			}
			fmt.Fprintf(&b, "%-5s %s\n", row.Kind, strings.Join(texts, " | "))
		}
		b.WriteString("\n")
		foots(t, printed)
	}
	return b.String()
}

// foots checks that a table adds up downwards and sideways as printed.
func foots(t testing.TB, p *sheet.Printed) {
	t.Helper()
	for _, row := range p.Rows {
		for j, c := range row.Cells {
			if len(row.Parts) > 0 && p.Columns[j].Foots && c.Text != "" {
				sum := 0.0
				for _, part := range row.Parts {
					if x := p.Rows[part.Row].Cells[j]; x.Text != "" {
						sum += x.Value
					}
				}
				if math.Abs(sum-c.Value) > 1e-6 {
					t.Errorf("%s, %s: the parts of %s come to %v, printed is %s", p.Name, p.Heads[j], row.Label, sum, c.Text)
				}
			}
			if across := p.Columns[j].Across; across != nil && c.Text != "" {
				sum := 0.0
				for _, part := range across {
					if x := row.Cells[part.Row]; x.Text != "" && part.Minus {
						sum -= x.Value
					} else if x.Text != "" {
						sum += x.Value
					}
				}
				if math.Abs(sum-c.Value) > 1e-6 || math.Abs(c.Value-c.Figure.Shown()) > 1e-6 {
					t.Errorf("%s, %s: sideways it comes to %v, printed is %s, the figure is %v", p.Name, row.Label, sum, c.Text, c.Figure.Shown())
				}
			}
		}
	}
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != got {
		t.Errorf("the tables are not as in %s:\n%s", file, got)
	}
}

// Whatever is recorded, price and volume and the rest are the whole difference,
// tables add up as printed, and the year to date and the rest are the forecast.
func TestVariancesSum(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 60))
	items := []struct {
		enterprise, item, unit string
		sign                   float64
	}{
		{"hens", "egg_sales", "egg", 1}, {"hens", "meal", "kg", -1}, {"hens", "registration", "", -1}, {"hens", "other", "", 0},
		{"bees", "honey", "jar", 1}, {"bees", "jars_and_lids", "jar", -1}, {"bees", "sugar", "", -1}, {"bees", "selling_costs", "", -1},
		{"farm", "insurance", "", -1}, {"farm", "interest", "", -1}, {"farm", "other", "", 0}, {"farm", "household", "", 0},
	}
	for n := range 300 {
		var b strings.Builder
		b.WriteString(head)
		rows := r.IntN(40)
		for range rows {
			it := items[r.IntN(len(items))]
			amount := math.Round(math.Pow(10, r.Float64()*5)*100) / 100
			sign := it.sign
			if sign == 0 {
				sign = float64(2*r.IntN(2) - 1)
			}
			q := ""
			if it.unit != "" && r.IntN(12) > 0 {
				q = fmt.Sprintf("%.3f %s", 0.001+math.Pow(10, r.Float64()*4), it.unit)
			}
			month := r.IntN(24)
			fmt.Fprintf(&b, "%d-%02d-%02d,%s,%s,%s,%.2f\n", 2027+(month+3)/12, (month+3)%12+1, 1+r.IntN(28), it.enterprise, it.item, q, sign*amount)
		}
		w := work(t, map[string]string{"a.csv": b.String()})
		w.want(t, "actual.rows_left_out", 0)
		w.want(t, "actual.rows_counted", float64(rows)-w.value(t, "actual.rows_outside"))
		for _, id := range []string{"actual", "actual.hens", "actual.bees", "actual.farm"} {
			sum := w.value(t, id+".price_variance") + w.value(t, id+".volume_variance") + w.value(t, id+".unsplit_variance")
			w.want(t, id+".variance", sum)
			w.want(t, id+".forecast", w.value(t, strings.Replace(id+".margin", "actual.margin", "actual.result", 1))+w.value(t, id+".remaining"))
		}
		w.want(t, "actual.forecast_profit", w.value(t, "actual.planned_profit")+w.value(t, "actual.variance"))
		// The definition, but for the whole units that money is in.
		for _, name := range []string{"hens.egg_sales", "hens.meal", "bees.honey", "bees.jars_and_lids"} {
			name = "actual." + name
			if w.value(t, name+".split") == 0 || w.value(t, name+".quantity") == 0 {
				continue
			}
			sign := 1.0
			if w.value(t, name+".amount") < 0 {
				sign = -1
			}
			want := sign * (w.value(t, name+".price") - w.value(t, name+".planned_price")) * w.value(t, name+".quantity")
			if got := w.value(t, name+".price_variance"); math.Abs(got-want) > 1.5+1e-9*math.Abs(want) {
				t.Errorf("%s: price variance %v, by its definition %v", name, got, want)
			}
		}
		w.text(t) // checks that the tables add up
		if t.Failed() {
			t.Fatalf("run %d:\n%s", n, b.String())
		}
	}
}

// If everything goes as planned, nothing differs, and the forecast is the plan.
func TestAsPlanned(t *testing.T) {
	bare := work(t, nil)
	bare.want(t, "actual.months", 0)
	bare.want(t, "actual.variance", 0)
	bare.want(t, "actual.forecast_profit", bare.value(t, "plan.year1.profit"))
	bare.want(t, "actual.forecast_profit_at_rate", bare.value(t, "plan.year1.profit"))
	if bare.words("actual.up_to") != "nothing yet" {
		t.Error("something is recorded although there are no records")
	}
	var b strings.Builder
	b.WriteString(head)
	series := func(name string) []float64 {
		if f := bare.graph.Lookup(name); f != nil {
			return f.Months()
		}
		return nil
	}
	start := plan.MonthOf(2027, 3)
	for i := range bare.plan.Enterprises {
		e := &bare.plan.Enterprises[i]
		for k := range e.Lines {
			l := &e.Lines[k]
			name := "plan.lines." + e.ID + "." + l.Name
			money, fees := series(name), series(name+".fees")
			if l.Kind == enterprise.Hours || money == nil {
				continue
			}
			quantities, of := bare.plan.Quantities(e, l)
			for m, x := range money[:8] {
				if l.Kind != enterprise.Sale {
					x = -x
				}
				if x == 0 {
					continue
				}
				q := ""
				if len(of) > 0 {
					q = fmt.Sprintf("%.9f", bare.graph.Lookup(of[0]).Unit.FromBase(series(quantities[0])[m]))
				}
				fmt.Fprintf(&b, "%s-15,%s,%s,%s,%.9f\n", start+plan.Month(m), e.ID, l.Name, q, x)
				if fees != nil {
					fmt.Fprintf(&b, "%s-15,%s,selling_costs,,%.9f\n", start+plan.Month(m), e.ID, -fees[m])
				}
			}
		}
	}
	interest, overdraft := series("plan.months.interest"), series("plan.months.overdraft_interest")
	for m, x := range series("plan.overheads.insurance")[:8] {
		fmt.Fprintf(&b, "%s-15,farm,insurance,,%.9f\n%[1]s-16,farm,interest,,%.9[3]f\n", start+plan.Month(m), -x, -interest[m]-overdraft[m])
	}
	w := work(t, map[string]string{"2027.csv": b.String()})
	w.want(t, "actual.months", 8)
	w.want(t, "actual.rows_left_out", 0)
	w.want(t, "actual.variance", 0)
	for _, f := range w.graph.All() {
		if strings.HasPrefix(f.Name, "actual.") && strings.HasSuffix(f.Name, "_variance") && !strings.HasPrefix(f.Name, "actual.farm.purchases") && math.Abs(f.Current()) > 1e-6 {
			t.Errorf("%s is %v although all went as planned", f.Name, f.Current())
		}
	}
	w.want(t, "actual.forecast_profit", w.value(t, "plan.year1.profit"))
	if d := w.value(t, "actual.forecast_profit_at_rate") - w.value(t, "plan.year1.profit"); math.Abs(d) > 1 {
		t.Errorf("at this year's rate, the forecast is %v off the plan", d)
	}
}

// Half the sales and twice the costs, scaled.
func TestRate(t *testing.T) {
	// April to September have 183 of 365 days: eggs 2700 and feed 540 a year.
	w := work(t, map[string]string{"a.csv": head + "2027-09-01,hens,egg_sales,,676.85\n2027-09-01,hens,meal,,-541.48\n2027-04-01,hens,registration,,-48\n"})
	w.want(t, "actual.hens.sales_rate", 677./math.Round(2700*183./365))
	w.want(t, "actual.hens.costs_rate", (541.+48)/(math.Round(540*183./365)+24))
	rest := math.Round(math.Round(2700*182./365)*w.value(t, "actual.hens.sales_rate") - math.Round(540*182./365)*w.value(t, "actual.hens.costs_rate"))
	w.want(t, "actual.hens.forecast_at_rate", 677-541-48+rest)
}

// A farm that is registered for sales tax records what it pays with the tax.
func TestSalesTax(t *testing.T) {
	w := work(t, map[string]string{"a.csv": head + "2027-04-01,hens,egg_sales,,105\n2027-04-01,hens,meal,,-120\n2027-04-01,farm,insurance,,-112\n2027-04-01,farm,other,,10\n"},
		"drawings: 10 GBP/month", "drawings: 10 GBP/month, sales_tax: {registered: true, sales: 5 %, costs: 20 %, overheads: 12 %}")
	w.want(t, "actual.hens.egg_sales.amount", 100)
	w.want(t, "actual.hens.meal.amount", -100)
	w.want(t, "actual.farm.insurance.amount", -100)
	w.want(t, "actual.farm.other.amount", 10)
}

func TestLeftOutOrRefused(t *testing.T) {
	w := work(t, map[string]string{"2027.csv": seven})
	if errs := w.Mistakes(); len(errs) > 0 {
		t.Errorf("the rest is to be counted, but the build fails with %v", errs)
	}
	var got []string
	for _, err := range w.Bad() {
		got = append(got, err.Error())
	}
	want := []string{
		"data/records/2027.csv:2:17: \"Egg\" is not an item of hens; did you mean eggs?",
		"data/records/2027.csv:5:27: the quantity is in kg, but eggs is counted in egg; write it in egg, or a number alone",
		"data/records/2027.csv:22:1: 2035-05 is outside the plan, which runs from 2027-04 to 2029-03; check the year",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("left out are\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}

	fine := strings.Replace(seven, "2027-04-05,hens,Egg,700,210,,,not an item\n", "", 1)
	w = work(t, map[string]string{"2027.csv": fine}, "bad_rows: count_rest", "bad_rows: refuse")
	if errs := w.Mistakes(); len(errs) != 2 || errs[0].Kind != source.WrongUnit || errs[1].Kind != source.OutOfRange {
		t.Errorf("two rows are to be refused, got %v", errs)
	}
	w = work(t, nil, "bad_rows: count_rest", "bad_rows: count_rest, up_to: 2031-05")
	if errs := w.Mistakes(); len(errs) != 1 || errs[0].Error() != "data/finance.yaml:5:40: 2031-05 is outside the plan, which runs from 2027-04 to 2029-03" {
		t.Errorf("a month outside the plan: %v", errs)
	}
	files := fstest.MapFS{}
	for name, text := range hive {
		files[name] = &fstest.MapFile{Data: []byte(strings.Replace(text, "count_rest", "refuse", 1))}
	}
	files["data/records/2027.csv"] = &fstest.MapFile{Data: []byte(seven)}
	_, err := data.Load(files)
	var errs source.Errors
	if !errors.As(err, &errs) || len(errs) != 1 || errs[0].Error() != want[0] {
		t.Errorf("refused is %v, want %s", err, want[0])
	}
}
