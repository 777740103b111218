package data_test

import (
	"io/fs"
	"math"
	"slices"
	"testing"
	"testing/fstest"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/trade"
	"rickyard/data"
)

// demoFarm works out the demo farm; its inputs are read with at, in the units
// that they are written in.
func demoFarm(t *testing.T) (g *figures.Graph, at func(name string) float64) {
	t.Helper()
	files := fstest.MapFS{}
	err := fs.WalkDir(data.Demo, ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		b, err := fs.ReadFile(data.Demo, path)
		files["data/"+path] = &fstest.MapFile{Data: b}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	f, err := data.Load(files)
	if err != nil {
		t.Fatal(err)
	}
	people := []string{}
	for _, p := range f.People {
		people = append(people, p.ID)
	}
	definitions := append(f.Definitions, enterprise.Definitions(f.Enterprises, enterprise.Context{
		Currency: f.Currency, People: people, Place: f.Files[0].Span(0, 0),
	})...)
	g, err = figures.Build(f.Units, f.Horizon, definitions, slices.Concat(enterprise.Functions, trade.Functions)...)
	if g == nil {
		t.Fatal(err)
	}
	return g, func(name string) float64 { return shown(t, g, name) }
}

// nearly holds a figure to a value within a share of it.
func nearly(t *testing.T, at func(string) float64, name string, want, share float64) {
	t.Helper()
	if got := at(name); !(math.Abs(got-want) <= share*math.Abs(want)) {
		t.Errorf("%s is %.6g, worked out apart %.6g", name, got, want)
	}
}

// through adds up takings, selling costs and selling hours of an amount that is
// sold through channels.
func through(at func(string) float64, product string, amount float64, shares map[string]float64) (takings, fees, hours float64) {
	for channel, share := range shares {
		money := amount * share * at("prices."+product+"."+channel)
		takings += money
		fees += money * at("prices.channels."+channel+".fee") / 100
		hours += money * at("prices.channels."+channel+".hours")
	}
	return takings, fees, hours
}

// A turkey is fed from gram to gram.
func TestTurkeysWorkedOutApart(t *testing.T) {
	_, get := demoFarm(t)
	at := func(name string) float64 { return get("turkeys." + name) }
	share := func(name string) float64 { return at(name) / 100 }

	bought := at("turkeys")
	grass := bought * (1 - share("brooder_loss"))
	sold := grass * (1 - share("field_loss"))
	fed := func(from, to float64) (kg float64) {
		const steps = 10_000
		for i := range steps {
			weight := from + (to-from)*(float64(i)+0.5)/steps
			kg += (to - from) / steps * (at("conversion_small") + at("conversion_rise")*weight)
		}
		return kg
	}
	var ready, finisher float64
	for _, hatch := range []string{"early", "late"} {
		stag, hen, stags := at(hatch+"_stag"), at(hatch+"_hen"), share("stags")
		ready += (stags*stag*share("stag_yield") + (1-stags)*hen*share("hen_yield")) / 2
		finisher += fed(at("twelve_weeks"), stags*stag+(1-stags)*hen) / 2
	}
	direct := math.Min(1, at("wanted")/sold)
	sales, fees, selling := through(get, "turkey", sold*ready, map[string]float64{
		"collection_ring": 0.6 * direct, "farm_gate": 0.4 * direct, "wholesale": 1 - direct,
	})
	trailers := math.Ceil(math.Max(0, sold-at("own_cold_store")) / at("trailer_holds"))
	costs := fees + bought*(at("poult_price")+at("brooding")) +
		(bought+grass)/2*fed(at("poult_weight"), at("six_weeks"))*at("starter_feed") +
		(grass+sold)/2*(fed(at("six_weeks"), at("twelve_weeks"))*at("grower_feed")+finisher*at("finisher_feed")) +
		grass*(at("straw_a_bird")+at("health")) + sold*(at("box")+at("waste")) + trailers*at("cold_trailer")
	nearly(t, get, "turkeys.oven_ready", sold*ready, 1e-9)
	nearly(t, get, "turkeys.sales", sales, 1e-9)
	nearly(t, get, "turkeys.variable_costs", costs, 1e-6)
	nearly(t, get, "turkeys.gross_margin", sales-costs, 1e-6)

	// 25 and 21 weeks on the calendar: 17 June and 11 July to 10 December.
	nearly(t, get, "turkeys.early_age", (30-17+31+31+30+31+30+10)/7., 1e-9)
	nearly(t, get, "turkeys.late_age", (31-11+31+30+31+30+10)/7., 1e-9)
	hours := 12 + math.Ceil(bought/75)*4 + at("brooder_round")/60*(at("brooder_days")+at("second_hatch_after")) +
		(at("field_round")+at("field_each")*grass)/60*(176-at("brooder_days")) +
		sold/at("pluck_rate") + sold/at("dress_rate") + 10 + 0.05*sold + 10 + 0.04*sold + selling
	nearly(t, get, "turkeys.hours", hours, 1e-9)
}

// Hens are counted week by week, and their eggs weighed out on a curve of errors
// that is added up in small steps.
func TestHensWorkedOutApart(t *testing.T) {
	_, get := demoFarm(t)
	at := func(name string) float64 { return get("hens." + name) }

	hens := at("houses") * at("hens_a_house")
	alive, eggs, henDays := hens, 0.0, 0.0
	for week := at("housed_at"); week < at("sold_at"); week++ {
		rate := at("top") * (week - at("lay_from")) / (at("peak_at") - at("lay_from"))
		if week >= at("peak_at") {
			rate = at("top") - at("fall")*(week-at("peak_at"))
		}
		eggs += alive * math.Max(0, rate) / 100 * 7
		henDays += alive * 7
		alive *= 1 - at("lost")/100
	}
	stay := (at("sold_at") - at("housed_at")) * 7
	turns := 365 / (stay + at("empty")) // in a year
	dozens := eggs * turns * (1 - at("seconds")/100) / 12
	meal := henDays * turns * at("feed_a_day") / 1000

	density := func(grams float64) float64 {
		z := (grams - at("egg_weight")) / at("egg_spread")
		return math.Exp(-z*z/2) / (at("egg_spread") * math.Sqrt(2*math.Pi))
	}
	heavier := func(from float64) (share float64) {
		for grams := from; grams < at("heaviest"); grams += 0.001 {
			share += 0.001 * density(grams+0.0005)
		}
		return share
	}
	large := heavier(at("large_from"))
	medium := heavier(at("medium_from")) - large
	direct := math.Min(1, at("village_eggs")/7*365/dozens)
	sales := alive * turns * at("spent")
	fees, selling := 0.0, 0.0
	for _, grade := range []struct {
		product string
		dozens  float64
		shares  map[string]float64
	}{
		{"eggs_large", dozens * large, map[string]float64{"box_scheme": 0.3, "farm_gate": 0.3, "collection_ring": 0.3, "restaurants": 0.1}},
		{"eggs_medium", dozens * medium, map[string]float64{"box_scheme": 0.3, "farm_gate": 0.25, "collection_ring": 0.25, "restaurants": 0.2}},
		{"eggs_small", dozens * (1 - large - medium), map[string]float64{"farm_gate": 0.5, "restaurants": 0.5}},
	} {
		for channel := range grade.shares {
			grade.shares[channel] *= direct
		}
		grade.shares["wholesale"] = 1 - direct
		m, f, h := through(get, grade.product, grade.dozens, grade.shares)
		sales, fees, selling = sales+m, fees+f, selling+h
	}
	costs := fees + hens*turns*(at("pullet")+at("litter")+at("vet")) + meal*at("meal") + dozens*at("carton")
	nearly(t, get, "hens.dozens_sold", dozens, 1e-9)
	nearly(t, get, "hens.meal_eaten", meal, 1e-9)
	nearly(t, get, "hens.sales", sales, 1e-6)
	nearly(t, get, "hens.variable_costs", costs, 1e-6)
	nearly(t, get, "hens.gross_margin", sales-costs, 1e-6)
	hours := (at("round")+at("round_each")*at("houses"))/60*365 + eggs*turns/12/at("grading") +
		(at("move")*at("houses")+0.6)*365/7 + at("houses")*turns*at("turning") + selling
	nearly(t, get, "hens.hours", hours, 1e-6)
}

// Pigs grow from hour to hour, and each kilogram takes its feed.
func TestPigsWorkedOutApart(t *testing.T) {
	_, get := demoFarm(t)
	at := func(name string) float64 { return get("pigs." + name) }
	share := func(name string) float64 { return at(name) / 100 }

	span := at("sold_weight") - at("weaner_weight")
	weight, hours, feed := at("weaner_weight"), 0.0, 0.0
	for weight < at("sold_weight") {
		grown := (weight - at("weaner_weight")) / span
		gain := (at("gain_light") + (at("gain_heavy")-at("gain_light"))*grown) / 24
		feed += gain * (at("conversion_light") + (at("conversion_heavy")-at("conversion_light"))*grown)
		weight += gain
		hours++
	}
	nearly(t, get, "pigs.stay", hours/24, 0.001)
	nearly(t, get, "pigs.feed_each", feed, 0.001)

	batches := at("batches")
	placed := batches * at("pigs_a_batch")
	sold := placed * (1 - share("died"))
	carcass := sold * at("sold_weight") * share("killing_out")
	meat := carcass * share("cut_yield")
	sausages, cured := meat*share("sausages"), meat*share("cured")
	var sales, fees, selling float64
	for _, line := range []struct {
		product string
		kg      float64
		shares  map[string]float64
	}{
		{"pork", meat - sausages - cured, map[string]float64{"collection_ring": 0.55, "farm_gate": 0.3, "restaurants": 0.15}},
		{"sausages", sausages, map[string]float64{"collection_ring": 0.4, "farm_gate": 0.25, "market_stall": 0.35}},
		{"bacon", cured, map[string]float64{"collection_ring": 0.4, "farm_gate": 0.25, "market_stall": 0.35}},
	} {
		m, f, h := through(get, line.product, line.kg, line.shares)
		sales, fees, selling = sales+m, fees+f, selling+h
	}
	trips := batches * math.Ceil(at("pigs_a_batch")/at("pigs_a_trip"))
	costs := fees + placed*(at("weaner_price")+at("vet")+at("straw_each")*get("prices.bedding_straw")) +
		(placed+sold)/2*feed*at("nuts") + sold*at("killing") + trips*at("haulage") +
		carcass*at("cutting") + sausages*at("making") + cured*at("curing")
	nearly(t, get, "pigs.pork_sold", meat, 1e-9)
	nearly(t, get, "pigs.sales", sales, 1e-9)
	nearly(t, get, "pigs.variable_costs", costs, 0.0005)
	nearly(t, get, "pigs.gross_margin", sales-costs, 0.001)

	stay := at("stay")
	here := math.Min(stay*batches, stay+at("buying_season")/batches*(batches-1))
	work := (at("round")*here+at("round_each")*placed*stay)/60 + batches*(at("new_plot")+at("shifts")*at("shift_time")) +
		batches*3.5 + trips*at("trip_time") + sold*at("box_time") + 8 + batches*2 + selling
	nearly(t, get, "pigs.hours", work, 1e-9)
}

// The demo's inputs lie inside the ranges that are published of them.
func TestFlocksInsidePublishedRanges(t *testing.T) {
	_, get := demoFarm(t)
	for _, c := range []struct {
		name      string
		low, high float64
	}{
		{"pigs.killing_out", 68, 76},       // US extension: 68 to 72 with the head off; University of Georgia: 74 with it
		{"pigs.feed_conversion", 2.6, 3.7}, // Prairie Swine Centre: 2.6 to 3.4 in barns, and a tenth for weather
		{"turkeys.stag_yield", 77, 81},     // US extension table: 77 to 81
		{"turkeys.hen_yield", 77, 83},      // Utah State University: 82.3 for hens
		{"hens.top", 85, 95},               // feed makers' pages
		{"hens.peak_at", 28, 32},
		{"hens.lay_from", 18, 22},
	} {
		if x := get(c.name); x < c.low || x > c.high {
			t.Errorf("%s is %g, published %g to %g", c.name, x, c.low, c.high)
		}
	}
}
