package data

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/source"
	"rickyard/calc/trade"
)

// graph works out a farm as the command does.
func graph(f *Farm) (*figures.Graph, error) {
	people := []string{}
	for _, p := range f.People {
		if p.HasHours {
			people = append(people, p.ID)
		}
	}
	at := source.Span{}
	if len(f.Files) > 0 {
		at = f.Files[0].Span(0, 0)
	}
	definitions := append(f.Definitions, enterprise.Definitions(f.Enterprises, enterprise.Context{Currency: f.Currency, People: people, Place: at})...)
	return figures.Build(f.Units, f.Horizon, definitions, slices.Concat(enterprise.Functions, trade.Functions)...)
}

// The worked figures of the small farm, reckoned by hand.
func TestSmallFarmWorkedOut(t *testing.T) {
	f, err := Load(small(t))
	if err != nil {
		t.Fatal(err)
	}
	g, err := graph(f)
	if err != nil {
		t.Fatal(err)
	}
	const year = 365 * 86400.
	for _, c := range []struct {
		name string
		want float64 // in base units
	}{
		{"infrastructure.egg_store.total", 1800},
		{"infrastructure.egg_store.yearly", 1800 * 0.9 / 15 / year}, // 108 a year
		{"infrastructure.fence.number", 4},                          // 3.2 ha / 0.8 ha
		{"infrastructure.fence.yearly", 4 * 210 / 7. / year},        // 120 a year
		{"infrastructure.water_butt.yearly", 3 * 65 / 10. / year},   // 19.50 a year
		{"infrastructure.total", 1800 + 840 + 195},                  // 2835
		{"infrastructure.yearly", 247.5 / year},                     // 108 + 120 + 19.50
		{"infrastructure.for_hens", (108 + 90) / year},              // all of the store, 75 % of the fence
		{"infrastructure.for_willow", 30 / year},                    // 25 % of the fence
		{"infrastructure.unshared", 19.5 / year},                    // the butts
		{"finance.sources_total", 20000},                            // 14 000 + 6 000
		{"finance.uses_total", 1800 + 1320 + 1500 + 150},            // 120 pullets at 11, a tenth of the tools
		{"finance.uses_infrastructure", 1800},                       //
		{"finance.uses_contingency", 150},                           //
		{"finance.uses_property", 0},                                //
		{"finance.difference", 20000 - 4770},                        //
		{"finance.overheads_total", (420 + 12*22) / year},           // 684: twelve months in a year
		{"finance.overheads_for_hens", 252 / year},                  // 60 % of 420
		{"finance.overheads_for_willow", 84 / year},                 // 20 % of 420
		{"finance.overheads_unshared", (684 - 252 - 84) / year},     //
		{"hens.eggs", 120 * 0.78 * 365},                             // 34 164 eggs
		{"willow.bolts", 2000 * 0.6 / 6},                            // 200
		{"climate.rain_a_year", 0.805},                              // the twelve months added up
		{"farm.week_hours", 56. / 168},                              // 40 and 16 hours of 168
	} {
		figure := g.Lookup(c.name)
		if figure == nil {
			t.Errorf("no figure %s", c.name)
			continue
		}
		if got := figure.Current(); math.Abs(got-c.want) > 1e-9*math.Abs(c.want)+1e-15 {
			t.Errorf("%s = %v, want %v", c.name, got, c.want)
		}
	}
}

// A slip in one place is reported there and nowhere else: what needs the figure
// that could not be read does not claim that it is unknown.
func TestErrorsDoNotSpread(t *testing.T) {
	for _, c := range badInputs {
		files := small(t)
		edit(t, files, c.file, c.old, c.new)
		f, err := Load(files)
		if f.Unread || f.Units == nil || c.spreads {
			continue
		}
		var reported source.Errors
		errors.As(err, &reported)
		_, err = graph(f)
		var errs source.Errors
		if errors.As(err, &errs) {
			for _, e := range errs {
				at := e.Span.Position()
				if !containsPlace(reported, at) {
					t.Errorf("%s: besides, %v", c.name, e)
				}
			}
		}
	}
}

func containsPlace(errs source.Errors, at source.Position) bool {
	for _, e := range errs {
		if p := e.Span.Position(); p.File == at.File && p.Line == at.Line {
			return true
		}
	}
	return false
}

// Dates, choices, and yes or no are figures, short or long, and can be reckoned
// with.
func TestWordsAreFigures(t *testing.T) {
	files := small(t)
	files["data/finance.yaml"] = &fstest.MapFile{Data: []byte(`sources:
  bank: {kind: loan, amount: 9000 GBP, rate: 6 %/year, term: 5 year, received: {value: 2028-02-29, source: offer of the bank, as_of: 2026-03}}
plan:
  start: 2027
  depreciation: declining_balance
  sales_tax: {registered: true, prices: without}
worked:
  wait: sources.bank.received - plan.start
  lent: if(sources.bank.kind is "loan", 1, 0)
  slow: if(plan.depreciation is "straight_line", 1, 0)
  net: if(plan.sales_tax.registered and plan.sales_tax.without_tax, 1, 0)
`)}
	f, err := Load(files)
	if err != nil {
		t.Fatal(err)
	}
	g, err := graph(f)
	if err != nil {
		t.Fatal(err)
	}
	// 2027 has 365 days; from 1 January to 29 February 2028 it is 31 + 28 more.
	for name, want := range map[string]float64{"wait": (365 + 31 + 28) * daySeconds, "lent": 1, "slow": 0, "net": 1} {
		if got := g.Lookup("finance." + name).Current(); got != want {
			t.Errorf("%s is %v, want %v", name, got, want)
		}
	}
	received := g.Lookup("finance.sources.bank.received")
	if received.Source.String() != "offer of the bank" || received.AsOf != "2026-03" || !received.IsInput() || received.Place.Text() != "2028-02-29" {
		t.Errorf("received: %+v", received.Definition)
	}
	edit(t, files, "data/finance.yaml", "2028-02-29", "2027-02-29")
	if _, err := Load(files); err == nil || !strings.Contains(err.Error(), "the date of receipt of bank: there is no day 2027-02-29") {
		t.Errorf("29 February 2027: %v", err)
	}
}
