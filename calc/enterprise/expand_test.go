package enterprise_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(1, math.Abs(a), math.Abs(b)) }

// TestTotals adds up the lines of every enterprise of the demo farm anew.
func TestTotals(t *testing.T) {
	d := loadDemo(t, nil)
	if len(d.farm.Enterprises) < 3 {
		t.Fatal("the demo farm has too few enterprises")
	}
	year := d.Units.Must("year").ToBase(1)
	for _, s := range d.farm.Enterprises {
		of := func(name string) float64 {
			f := d.Lookup(s.ID + "." + name)
			if f == nil {
				t.Fatalf("there is no %s.%s", s.ID, name)
			}
			return f.Current()
		}
		months := func(name string) []float64 { return d.Lookup(s.ID + "." + name).Months() }
		var sales, fees, costs, overheads, wear, rent, hours, capital float64
		var salesBy, costsBy, hoursBy, landBy [12]float64
		landOf, lags := map[string]*[12]float64{}, map[string]float64{}
		add := func(to *[12]float64, from []float64) {
			for m, x := range from {
				to[m] += x
			}
		}
		for _, l := range s.Lines {
			n := l.Name
			if l.When.Lag.File != nil {
				lag, err := d.farm.Units.Parse(l.When.Lag.Text())
				if err != nil {
					t.Fatal(err)
				}
				lags[n] = lag.Value / year
			}
			switch l.Kind {
			case enterprise.Sale:
				sales += of(n) * of(n+".price")
				add(&salesBy, months(n+".by_month"))
				share := 0.0
				for _, c := range l.Through {
					id := c.Channel.Name
					part := of(n + ".share." + id)
					share += part
					price := of(n + ".price")
					if l.Price.File == nil {
						price = d.Lookup("prices." + l.Product.Name + "." + id).Current()
					}
					takings := of(n) * part * price
					fees += takings * d.Lookup("prices.channels."+id+".fee").Current()
					hours += takings * d.Lookup("prices.channels."+id+".hours").Current()
				}
				if len(l.Through) > 0 {
					if !near(share, 1) {
						t.Errorf("%s.%s: the shares come to %g", s.ID, n, share)
					}
					add(&costsBy, months(n+".fees_by_month"))
					add(&hoursBy, months(n+".selling_by_month"))
				}
			case enterprise.Cost:
				costs += of(n)
				add(&costsBy, months(n+".by_month"))
			case enterprise.Overhead:
				overheads += of(n)
				add(&costsBy, months(n+".by_month"))
			case enterprise.Hours:
				hours += of(n)
				add(&hoursBy, months(n+".by_month"))
			case enterprise.Capital:
				cost := of(n+".number") * of(n+".each")
				left := 0.0
				if l.Residual.File != nil {
					left = cost * of(n+".residual")
				}
				capital += cost
				wear += (cost - left) * year / of(n+".life")
			case enterprise.Land:
				rent += of(n) * d.Lookup("farm.land."+l.Use.Name+".rent").Current() * year
				add(&landBy, months(n+".by_month"))
				if landOf[l.Use.Name] == nil {
					landOf[l.Use.Name] = new([12]float64)
				}
				add(landOf[l.Use.Name], months(n+".by_month"))
			}
		}
		moreRent := 0.0
		for kind, held := range landOf {
			over := slices.Max(held[:]) - d.Lookup("farm.land."+kind+".area").Current()
			moreRent += max(0, over) * d.Lookup("farm.land."+kind+".rent_of_more").Current() * year
		}
		shared := (d.Lookup("infrastructure.for_"+s.ID).Current() + d.Lookup("finance.overheads_for_"+s.ID).Current()) * year
		alone, needs := 0.0, 0.0
		for _, o := range d.farm.Overheads {
			alone += d.Lookup("finance.overheads."+o.ID+".amount").Current() * year
		}
		for _, item := range d.farm.Infrastructure {
			for _, id := range item.UsedBy {
				if id != s.ID {
					continue
				}
				name := "infrastructure." + item.ID + "."
				total := d.Lookup(name+"number").Current() * d.Lookup(name+"cost").Current()
				needs += total
				alone += total * (1 - d.Lookup(name+"residual").Current()) * year / d.Lookup(name+"life").Current()
			}
		}
		own := overheads + wear + rent
		hired := 0.0
		have := d.Lookup("farm.hours_by_month").Months()
		for m := range 12 {
			hired += max(0, hoursBy[m]-have[m])
		}
		// Two like years end to end: the deepest fall from any point of them to
		// a later one, at most a year away.
		lowest := 0.0
		for from := range 12 {
			running := 0.0
			for m := from; m < from+12; m++ {
				running += salesBy[m%12] - costsBy[m%12]
				lowest = min(lowest, running)
			}
		}
		// And the first years, in which what lags is not there yet.
		running := 0.0
		for month := range 12 * d.farm.Horizon {
			running += salesBy[month%12] - costsBy[month%12]
			for k := range s.Lines {
				l := &s.Lines[k]
				if l.When.Lag.File == nil || lags[l.Name] <= float64(month/12) {
					continue
				}
				switch n := l.Name; l.Kind {
				case enterprise.Sale:
					running -= months(n + ".by_month")[month%12]
					if len(l.Through) > 0 {
						running += months(n + ".fees_by_month")[month%12]
					}
				case enterprise.Cost, enterprise.Overhead:
					running += months(n + ".by_month")[month%12]
				}
			}
			if len(lags) > 0 {
				lowest = min(lowest, running)
			}
		}
		help := hired * d.Lookup("farm.wage").Current() * (1 + d.Lookup("farm.employment").Current())
		net := sales - costs - fees - own - shared
		netAlone := sales - costs - fees - own - moreRent - alone
		for name, want := range map[string]float64{
			"sales": sales, "channel_fees": fees, "variable_costs": costs + fees, "gross_margin": sales - costs - fees,
			"overheads": own + shared, "net_margin": net, "hours": hours, "capital": capital, "working_capital": -lowest,
			"capital_needed": capital - lowest, "hired_hours": hired, "hired_cost": help, "net_margin_hired": net - help,
			"alone_more_rent": moreRent, "alone_overheads": own + moreRent + alone, "alone_net_margin": netAlone, "alone_net_margin_hired": netAlone - help,
			"alone_capital": capital - lowest + needs,
		} {
			if got := of(name); !near(got, want) {
				t.Errorf("%s.%s is %g, but its lines come to %g", s.ID, name, got, want)
			}
		}
		for name, want := range map[string][12]float64{"sales_by_month": salesBy, "costs_by_month": costsBy, "hours_by_month": hoursBy, "land_by_month": landBy} {
			for m, x := range months(name) {
				if !near(x, want[m]) {
					t.Errorf("%s.%s in month %d is %g, but its lines come to %g", s.ID, name, m+1, x, want[m])
				}
			}
		}
		// The months hold the whole year.
		for name, whole := range map[string]float64{"sales_by_month": sales, "hours_by_month": hours, "costs_by_month": costs + fees + overheads} {
			if got := of(name); !near(got, whole) {
				t.Errorf("%s.%s adds up to %g, not %g", s.ID, name, got, whole)
			}
		}
		if s.Output.Name != "" && of("fee_share") < 1 {
			breakEvens(t, d, s.ID)
		}
	}
}

// breakEvens puts the break-even price and volume back in: nothing is left.
func breakEvens(t *testing.T, d *demo, id string) {
	of := func(name string) float64 { return d.Lookup(id + "." + name).Current() }
	price, fee := of("break_even_price"), of("fee_share")
	if left := (price*of("output")+of("side_sales"))*(1-fee) - of("costs_to_cover"); math.Abs(left) > 1e-6*of("sales") {
		t.Errorf("%s: at its break-even price %g is left", id, left)
	}
	if _, none := d.Base().None(d.Lookup(id + ".break_even_volume")); !none {
		if left := of("break_even_volume")/of("output")*of("gross_margin") - of("overheads"); math.Abs(left) > 1e-6*of("sales") {
			t.Errorf("%s: at its break-even volume %g is left", id, left)
		}
	}
	if share := of("break_even_of_prices"); math.Abs(share*of("sales")*(1-fee)-of("costs_to_cover")) > 1e-6*of("sales") {
		t.Errorf("%s: at %g of today's prices the costs are not covered exactly", id, share)
	}
}

// TestBroilers works the broilers out from nothing but the inputs of their
// file, as on paper: chicks, losses, meat, money, hours.
func TestBroilers(t *testing.T) {
	d := loadDemo(t, nil)
	in := func(name string) float64 {
		f := d.Lookup(name)
		if f == nil || !f.IsInput() {
			t.Fatalf("%s is not an input", name)
		}
		return f.Current()
	}
	b := func(name string) float64 { return in("broilers." + name) }
	const hour, day, week = 3600., 86400., 7 * 86400.

	placed := b("batches") * b("chicks_a_batch")
	out := placed * (1 - b("brooder_loss"))
	sold := out * (1 - b("field_loss"))
	meat := sold * b("live_weight") * b("killing_out")

	sales, fees, selling := 0.0, 0.0, 0.0
	for channel, share := range map[string]float64{"collection_ring": .60, "farm_gate": .25, "restaurants": .15} {
		takings := meat * share * in("prices.chicken."+channel)
		sales += takings
		fees += takings * in("prices.channels."+channel+".fee")
		selling += takings * in("prices.channels."+channel+".hours")
	}
	costs := placed*b("chick_price") +
		(placed+out)/2*b("starter_each")*b("starter_feed") + // the dead ate half
		(out+sold)/2*b("grower_each")*b("grower_feed") +
		b("bedding_and_heat")*b("batches") +
		sold*b("processing_fee") + b("batches")*b("lorry_trip") +
		sold*b("bags_and_labels")

	onGrass := b("slaughter_age") - b("brooder_days")
	n := b("batches")
	between := min(b("slot"), b("season")/max(1, n-1))
	atOnce := min(math.Ceil(onGrass/between), b("batches"))
	pens := math.Ceil(atOnce * b("chicks_a_batch") * (1 - b("brooder_loss")) / b("birds_a_pen"))
	// The walk is walked once a day, however many batches are out.
	hours := b("lamp_round")*min(n*b("brooder_days"), b("brooder_days")+(n-1)*between) + b("each_brooder")*n*b("brooder_days") +
		b("walk")*min(n*onGrass, onGrass+(n-1)*between) + b("each_pen")*n*onGrass*b("chicks_a_batch")/b("birds_a_pen") +
		11*hour*n + (18+2*n)*hour + selling
	grass := placed * b("grass_a_bird") * onGrass / b("passes")

	for name, want := range map[string]float64{
		"sold": sold, "carcass": meat, "pens": pens, "sales": sales, "channel_fees": fees, "variable_costs": costs + fees,
		"gross_margin": sales - costs - fees, "hours": hours, "land": grass,
	} {
		if got := d.Lookup("broilers." + name).Current(); !near(got, want) {
			t.Errorf("broilers.%s is %.9g; worked on paper it is %.9g", name, got, want)
		}
	}
	if week != d.Units.Must("week").ToBase(1) {
		t.Error("a week is not seven days")
	}
}

// TestTables prints every table of every enterprise: the names in it are
// figures, and what is printed adds up.
func TestTables(t *testing.T) {
	d := loadDemo(t, nil)
	for i := range d.farm.Enterprises {
		s := &d.farm.Enterprises[i]
		for _, word := range []string{"budget", "hours", "cash", "land", "capital"} {
			table, ok := enterprise.Table(word, s)
			if !ok {
				t.Fatalf("there is no table for %s", word)
			}
			printed, err := table.Print(d.Graph, style(d.Units))
			if err != nil {
				t.Errorf("%s of %s: %v", word, s.ID, err)
				continue
			}
			for r, row := range printed.Rows {
				for c := range row.Cells {
					if len(row.Parts) == 0 || row.Cells[c].Figure == nil || !table.Months && !table.Columns[c].Foots {
						continue
					}
					sum := 0.0
					for _, part := range row.Parts {
						x := printed.Rows[part.Row].Cells[c].Value
						if part.Minus {
							x = -x
						}
						sum += x
					}
					if got := row.Cells[c].Value; math.Abs(got-sum) > 1e-6 {
						t.Errorf("%s of %s, row %d, column %d: %g is printed, and its parts add up to %g", word, s.ID, r+1, c+1, got, sum)
					}
				}
			}
			if len(printed.Rows) == 0 && word != "land" && word != "capital" {
				t.Errorf("%s of %s is empty", word, s.ID)
			}
		}
		for _, row := range enterprise.Measures(s) {
			if d.Lookup(row.Of) == nil {
				t.Errorf("%s is measured by %s, which is not a figure", s.ID, row.Of)
			}
		}
	}
	if _, ok := enterprise.Table("weather", &d.farm.Enterprises[0]); ok {
		t.Error("there is a table of the weather")
	}
}

// TestBareEnterprise: an enterprise without one kind of line or another still
// has all its totals, and they are nothing.
func TestBareEnterprise(t *testing.T) {
	for name, p := range map[string]plot{
		"nothing": {}, "only a cost": {lines: []enterprise.Line{cost("feed", "crates * 3 GBP/crate")}},
		"only a sale": {lines: []enterprise.Line{sale("crates", "3 GBP/crate")}}, "only work": {lines: []enterprise.Line{work("crates * 1 h/crate", "Jan..Dec")}},
		"only land": {lines: []enterprise.Line{pasture("crates * 1 ha/crate")}},
	} {
		g, specs := p.graph(t)
		net := 0.0
		switch name {
		case "only a cost":
			net = -3
		case "only a sale":
			net = 3
		}
		if got := g.Lookup("x.net_margin").Current(); got != net {
			t.Errorf("%s: the net margin is %g, want %g", name, got, net)
		}
		for _, word := range []string{"budget", "hours", "cash", "land", "capital"} {
			table, _ := enterprise.Table(word, &specs[0])
			if _, err := table.Print(g, style(g.Units)); err != nil {
				t.Errorf("%s, %s: %v", name, word, err)
			}
		}
		if name == "nothing" {
			for _, measure := range []string{"return_per_hour", "margin_per_hectare", "payback", "break_even_of_prices"} {
				if reason, none := g.Base().None(g.Lookup("x." + measure)); !none || reason == "" {
					t.Errorf("%s of nothing is %g, and gives no reason", measure, g.Lookup("x."+measure).Current())
				}
			}
		}
	}
}

// TestWrongUnits: lines and scales in the wrong unit are errors at the
// farmer's own words.
func TestWrongUnits(t *testing.T) {
	for _, c := range []struct{ what, want string }{
		{"cost", "a cost must come out as"}, {"hours", "the time for a task must come out as"},
		{"land", "land must come out as"}, {"most", "the scale must come out as"}, {"sale", "what is sold times its price must come out as"},
	} {
		p := plot{}
		wrong := span("7 kg")
		switch c.what {
		case "cost":
			p.lines = []enterprise.Line{{Kind: enterprise.Cost, Name: "feed", Label: "Feed", Place: wrong, Amount: wrong}}
		case "hours":
			p.lines = []enterprise.Line{{Kind: enterprise.Hours, Name: "work", Label: "Work", Place: wrong, Amount: wrong}}
		case "land":
			p.lines = []enterprise.Line{{Kind: enterprise.Land, Name: "grass", Label: "Grass", Place: wrong, Amount: wrong, Use: enterprise.Ref{Name: "pasture"}}}
		case "most":
			p.most = "7 kg"
		case "sale":
			p.lines = []enterprise.Line{sale("7 kg", "3 GBP/crate")}
		}
		units, err := quantity.NewSystem("GBP", []quantity.Thing{{Name: "crate"}})
		if err != nil {
			t.Fatal(err)
		}
		inputs := map[string]string{"x.crates": "1 crate", "farm.land.pasture.area": "5 ha", "farm.land.pasture.rent": "0 GBP/ha/year", "farm.land.pasture.rent_of_more": "0 GBP/ha/year", "farm.wage": "1 GBP/h", "farm.employment": "0 %",
			"infrastructure.for_x": "0 GBP/year", "finance.overheads_for_x": "0 GBP/year", "finance.overheads_total": "0 GBP/year", "farm.people.a.hours": "1 h/week",
			"prices.channels.gate.fee": "0 %", "prices.channels.gate.hours": "0 h/GBP"}
		var definitions []figures.Definition
		for name, text := range inputs {
			value, err := units.Parse(text)
			if err != nil {
				t.Fatal(err)
			}
			definitions = append(definitions, figures.Definition{Name: name, Label: say.Own(name), Place: span(text), Value: value})
		}
		definitions = append(definitions, enterprise.Definitions([]enterprise.Spec{p.spec()}, enterprise.Context{Currency: "GBP", People: []string{"a"}, Place: span("farm"), Units: units})...)
		_, err = figures.Build(units, 3, definitions, enterprise.Functions...)
		errs, ok := err.(source.Errors)
		if !ok || len(errs) != 1 || !strings.Contains(errs[0].Error(), c.want) {
			t.Errorf("%s: the errors are %v; want one with %q", c.what, err, c.want)
		}
	}
}
