package main

import (
	"math"
	"os"
	"strings"
	"testing"

	"rickyard/templates"
	"rickyard/templates/chart/drawer"
)

// An enterprise that no Go file knows of is added by YAML and a chapter: it gets
// its budget, its hours by month, its capital, its search for the scale that pays
// and its page. What it comes to is worked out here once more, without the engine,
// from the numbers of testdata/bees.
func TestEnterpriseAddedByYAMLAndChapterAlone(t *testing.T) {
	book, farm, err := loadFrom(os.DirFS("../../testdata/bees"))
	if err != nil {
		t.Fatal(err)
	}
	if len(farm.Enterprises) != 1 || farm.Enterprises[0].ID != "honey" {
		t.Fatalf("enterprises: %v", farm.Enterprises)
	}

	const (
		day  = 86400.0
		year = 365 * day
		hour = 3600.0
	)
	type budget struct {
		sales, fees, costs, gross, net, hours, capital, alone float64
		jars, peak, hired, aprilVisits                        float64
		breakEven                                             float64
	}
	// The 14 rounds start on 12 April, day 101, and come every nine days.
	rounds := [12]float64{}
	ends := []float64{31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365}
	for n := range 14 {
		month := 0
		for ends[month] <= float64(101+9*n) {
			month++
		}
		rounds[month]++
	}
	work := func(hives float64) budget {
		b := budget{}
		crop := hives * (1 - 0.10) * (9 + 14)
		b.jars = math.Floor(crop/0.340 + 1e-9)
		door, shop, wax := b.jars*0.6*8, b.jars*0.4*7, crop*0.015*11
		b.sales, b.fees = door+shop+wax, shop*0.25
		bought := math.Ceil(hives*0.25/2 - 1e-9)
		loads := math.Ceil(hives/6 - 1e-9)
		before := b.jars*0.55 + hives*12*0.95 + bought*180 + loads*2*18
		b.costs = before + b.fees
		b.gross = b.sales - b.costs
		extractors := math.Ceil(hives/25 - 1e-9)
		wear := hives*220*0.9/10 + extractors*640/16
		own := 45 + wear + hives*20/1e4*150
		b.net = b.gross - own - 0.5*120
		b.alone = b.gross - own - 120
		visits, filling, selling := hives*25/60*14, b.jars*1.5/60+6, door*0.01
		b.hours = visits + filling + selling
		b.aprilVisits = visits * rounds[3] / 14
		weights := [12]float64{6: 1, 7: 2, 8: 2, 10: 1, 11: 4} // of the honey sold
		for m := range 12 {
			h := visits*rounds[m]/14 + selling*weights[m]/10
			if m == 6 || m == 7 { // July and August have 31 days each
				h += filling / 2
			}
			b.peak = math.Max(b.peak, h)
			days := ends[m]
			if m > 0 {
				days -= ends[m-1]
			}
			b.hired += math.Max(0, h-15./7*days)
		}
		b.capital = hives*220 + extractors*640
		b.breakEven = ((before+own+0.5*120)/(1-b.fees/b.sales) - wax) / b.jars
		return b
	}

	now := work(12)
	value := func(name string) float64 {
		t.Helper()
		f := book.Graph.Lookup(name)
		if f == nil {
			t.Fatalf("no figure %s", name)
		}
		return f.Current()
	}
	for _, c := range []struct {
		name string
		want float64
	}{
		{"honey.jars", now.jars}, {"honey.sales", now.sales}, {"honey.channel_fees", now.fees},
		{"honey.variable_costs", now.costs}, {"honey.gross_margin", now.gross}, {"honey.net_margin", now.net},
		{"honey.hours", now.hours * hour}, {"honey.peak_hours", now.peak * hour}, {"honey.capital", now.capital},
		{"honey.land", 12 * 20}, {"honey.break_even_price", now.breakEven}, {"honey.alone_net_margin", now.alone},
		{"honey.return_per_hour", now.net / (now.hours * hour)},
	} {
		if got := value(c.name); math.Abs(got-c.want) > 1e-9*math.Abs(c.want) {
			t.Errorf("%s is %v, want %v", c.name, got, c.want)
		}
	}
	if april := book.Graph.Lookup("honey.inspections.by_month").Months()[3]; math.Abs(april-now.aprilVisits*hour) > 1e-6 {
		t.Errorf("inspections in April: %v s, want %v", april, now.aprilVisits*hour)
	}

	// The smallest scale that pays, tried by hand from two hives up: one person
	// has 15 h a week, in every month.
	pays := 0.0
	for hives := 2.0; hives <= 40 && pays == 0; hives += 2 {
		if b := work(hives); b.alone >= 1500 && b.hired == 0 {
			pays = hives
		}
	}
	if pays == 0 || work(pays-2).alone >= 1500 {
		t.Fatalf("the hand's own search found %v hives", pays)
	}
	if got := value("honey.living.scale"); got != pays {
		t.Errorf("pays at %v hives, want %v", got, pays)
	}

	book.Drawer = drawer.New(templates.ChartScript(), drawer.Options{CacheDir: t.TempDir()})
	pages, err := book.Make()
	if err != nil {
		t.Fatal(err)
	}
	page := string(pages["honey.html"])
	for _, want := range []string{
		"Honey from the limes", "Beeswax", "Gross margin", "Net margin", "Inspections", "Extractor",
		"A few people die of one sting", "<svg",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("honey.html lacks %q", want)
		}
	}
	if !strings.Contains(string(pages["index.html"]), "honey.html") {
		t.Error("the contents don't lead to the chapter")
	}
}
