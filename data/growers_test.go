package data_test

import (
	"math"
	"testing"
)

var daysOfMonths = [12]float64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// Trays are sown month by month and followed one kind at a time.
func TestMicrogreensWorkedOutApart(t *testing.T) {
	g, get := demoFarm(t)
	at := func(name string) float64 { return get("microgreens." + name) }
	share := func(name string) float64 { return at(name) / 100 }

	season, power := g.Lookup("microgreens.season").Months(), g.Lookup("microgreens.room_power").Months()
	sown, room := 0.0, 0.0 // trays; kWh in a room
	for m, days := range daysOfMonths {
		sown += at("trays") * season[m] * days / 7
		room += power[m] * 86400 / 3.6e6 * days
	}
	left := (1 - share("failed")) * (1 - share("moulded")) * (1 - share("unsold"))
	area := at("tray_length") * at("tray_width") / 1e4
	sales, fees, hours, sold, seed, lit := 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
	for _, kind := range []struct {
		name, product string
		shares        map[string]float64
	}{
		{"pea", "pea_shoots", map[string]float64{"restaurants": 0.55, "market_stall": 0.25, "box_scheme": 0.20}},
		{"sunflower", "sunflower_shoots", map[string]float64{"restaurants": 0.45, "market_stall": 0.30, "box_scheme": 0.25}},
		{"radish", "radish_shoots", map[string]float64{"restaurants": 0.70, "market_stall": 0.30}},
		{"brassica", "brassica_shoots", map[string]float64{"restaurants": 0.65, "market_stall": 0.35}},
		{"herb", "micro_herbs", map[string]float64{"restaurants": 1}},
	} {
		trays := sown * share(kind.name+"_trays")
		kg := trays * left * at(kind.name+"_cut") / 1000
		money, fee, selling := through(get, kind.product, kg, kind.shares)
		sales, fees, hours, sold = sales+money, fees+fee, hours+selling, sold+kg
		seed += trays * at(kind.name+"_density") * area / 1000 * at(kind.name+"_seed_price")
		lit += trays * at(kind.name+"_days")
	}
	racks := math.Ceil(at("trays") / 7 * lit / sown / at("rack_holds"))
	rooms := math.Ceil(racks / at("room_holds"))
	costs := fees + seed + sown*at("growing_medium")*at("medium_price") + sold*at("packs") + at("cleaning")*365/7 +
		(lit/at("rack_holds")*at("light_hours")*at("rack_power")+rooms*room)*at("electricity")
	hours += sown*(at("sow_time")+at("water_time")+at("wash_time"))/60 + at("round_time")/60*365 +
		sold/(1-share("unsold"))*(1/at("cut_rate")+1/at("pack_rate")) + 26 + at("trays")*0.6

	nearly(t, get, "microgreens.shoots_sold", sold, 1e-9)
	nearly(t, get, "microgreens.racks", racks, 0)
	nearly(t, get, "microgreens.sales", sales, 1e-9)
	nearly(t, get, "microgreens.variable_costs", costs, 1e-9)
	nearly(t, get, "microgreens.gross_margin", sales-costs, 1e-9)
	nearly(t, get, "microgreens.hours", hours, 1e-9)
	fridges := math.Ceil(at("trays") * sold / sown / at("fridge_holds"))
	capital := rooms*at("room.cost_given") + racks*at("rack.cost_given") + math.Ceil(3.2*at("trays"))*at("tray_stock.cost_given") +
		fridges*at("fridge.cost_given") + at("bench.cost_given")
	nearly(t, get, "microgreens.capital", capital, 1e-9)
}

// A nursery in which every stage is counted, three crops beside one another.
func TestNurseryWorkedOutApart(t *testing.T) {
	_, get := demoFarm(t)
	at := func(name string) float64 { return get("nursery." + name) }
	share := func(name string) float64 { return at(name) / 100 }

	stocks := at("lined_out") * share("tree_share")
	cuttings := at("lined_out") - stocks
	budded := stocks * share("established")
	taken := budded * share("bud_take")
	good := taken * share("maidens_stand") * share("maiden_grade")
	maidens := good * share("sold_as_maidens")
	grown := good - maidens
	bushes := grown * share("bushes_stand") * share("bush_grade")
	rooted := cuttings * share("cuttings_root")
	currants := rooted * share("currants_stand")
	ordered := 1 - share("unsold")

	trees := (maidens + bushes) * ordered
	wholesale := math.Max(share("wholesale_least"), 1-at("retail_most")/trees)
	channels := map[string]float64{"online": 0.65 * (1 - wholesale), "farm_gate": 0.35 * (1 - wholesale), "wholesale": wholesale}
	sales, fees, hours := through(get, "bush_trees", bushes*ordered, channels)
	for _, more := range []struct {
		product string
		amount  float64
		shares  map[string]float64
	}{
		{"maiden_trees", maidens * ordered, channels},
		{"currant_bushes", currants * ordered, map[string]float64{"online": 0.4, "farm_gate": 0.3, "wholesale": 0.3}},
	} {
		s, f, h := through(get, more.product, more.amount, more.shares)
		sales, fees, hours = sales+s, fees+f, hours+h
	}
	sold := trees + currants*ordered
	places := stocks + taken + grown + cuttings + rooted
	costs := fees + math.Ceil(stocks/25)*25*at("rootstock") + budded*at("budwood") + taken*at("cane") +
		places*(at("mulch_and_feed")+at("protection")) + sold*at("label_and_wrap") + trees*at("royalty")
	hours += at("lined_out")/at("line_out_rate") + budded/at("bud_rate") + taken/at("head_rate") + grown/at("prune_rate") +
		places*at("weeding")/60 + (maidens+bushes+currants)/at("lift_rate") + sold/at("plants_an_order")*at("pack_time")/60 +
		36 + at("lined_out")/60
	row := func(plants, spacing float64) float64 { return math.Ceil(plants / math.Floor(25/spacing+1e-9)) }
	rows := 2*row(stocks, 0.30) + row(grown, 0.60) + 2*row(cuttings, 0.20)

	nearly(t, get, "nursery.plants_sold", sold, 1e-9)
	nearly(t, get, "nursery.ground", rows*25*0.9*1.18, 1e-9)
	nearly(t, get, "nursery.sales", sales, 1e-9)
	nearly(t, get, "nursery.variable_costs", costs, 1e-9)
	nearly(t, get, "nursery.gross_margin", sales-costs, 1e-9)
	nearly(t, get, "nursery.hours", hours, 1e-9)
	nearly(t, get, "nursery.net_margin", sales-costs-670-
		4*math.Sqrt(rows*25*0.9*1.18)*at("fence.cost_given")/15-rows*at("mat.cost_given")/6-math.Ceil(rows/40)*at("drip.cost_given")/8-
		math.Ceil(sold/1500)*at("packing_tunnel.cost_given")/12-at("tools.cost_given")/8, 1e-9)
}

// The wood in solid and stacked cubic metres.
func TestTimberWorkedOutApart(t *testing.T) {
	_, get := demoFarm(t)
	at := func(name string) float64 { return get("timber." + name) }
	share := func(name string) float64 { return at(name) / 100 }

	hauled := at("felled") * (1 - share("left_lying"))
	saw := hauled * share("sawlog_share")
	stack := (hauled - saw) / share("solid_share")
	dry := stack * (1 - share("shrinks")) * (1 - share("rotten"))
	gate := share("at_the_gate")
	sales, fees, hours := through(get, "firewood", dry, map[string]float64{"delivered": 1 - gate, "farm_gate": gate})
	s, f, h := through(get, "sawlogs", saw, map[string]float64{"wholesale": 1})
	sales, fees, hours = sales+s, fees+f, hours+h
	costs := fees + at("felled")*at("fuel_and_chain") + hauled*at("winch_hire") + stack*(at("split_fuel")+at("nets_and_covers"))
	hours += at("felled")*(at("mark_time")+at("fell_time")+at("extract_time")) + stack*at("split_time") + dry*at("load_time")
	sheds := math.Ceil(2 * stack / 12)
	own := 95 + 60 + at("saw_kit.cost_given")/6 + at("certificate.cost_given")/10 +
		at("splitter.cost_given")*0.8/12 + sheds*at("shed.cost_given")/15

	nearly(t, get, "timber.firewood_sold", dry, 1e-9)
	nearly(t, get, "timber.sales", sales, 1e-9)
	nearly(t, get, "timber.gross_margin", sales-costs, 1e-9)
	nearly(t, get, "timber.net_margin", sales-costs-own, 1e-9)
	nearly(t, get, "timber.hours", hours, 1e-9)
	nearly(t, get, "timber.break_even_price", ((costs-fees+own)/(1-fees/sales)-s)/dry, 1e-9)
	if at("felled") > get("farm.land.woodland.area")*at("growth") {
		t.Error("more is felled than grows")
	}
}

// Courses, and copies that are printed, weighed and posted.
func TestTeachingWorkedOutApart(t *testing.T) {
	_, get := demoFarm(t)
	at := func(name string) float64 { return get("teaching." + name) }
	share := func(name string) float64 { return at(name) / 100 }

	filled := at("courses") * at("seats") * share("filled")
	paid := filled * (1 - share("free_seats"))
	posted := at("listed") + at("courses")*at("after_a_course")
	handed := paid * share("take_home")
	run := math.Ceil((posted+handed)*(1+share("given"))/50-1e-9) * 50
	each := at("each_100")
	for _, step := range []struct {
		from float64
		name string
	}{{200, "each_200"}, {400, "each_400"}, {800, "each_800"}} {
		if run >= step.from {
			each = at(step.name)
		}
	}
	bill := at("setup") + run*each
	grams := at("pages")/2*at("leaf")/1e4*at("grammage") + at("cover_weight") + at("mailer_weight")
	step := "_light"
	if grams > at("light_up_to") {
		step = "_heavy"
	}
	far := 1 - share("home") - share("near_abroad")
	postage := share("home")*at("home"+step) + share("near_abroad")*at("near"+step) + far*at("far"+step)
	payments := posted/at("copies_an_order") + filled/at("seats_a_booking")

	online := map[string]float64{"online": 1}
	sales, fees, hours := through(get, "course_seats", paid, online)
	s, f, h := through(get, "manual", posted, online)
	sales, fees, hours = sales+s, fees+f, hours+h
	s, f, h = through(get, "manual", handed, map[string]float64{"farm_gate": 1})
	sales, fees, hours = sales+s, fees+f, hours+h
	charged := posted * at("flat_postage")
	sales, fees, hours = sales+charged, fees+charged*get("prices.channels.online.fee")/100, hours+charged*get("prices.channels.online.hours")

	days := at("courses") * at("course_days")
	costs := fees + bill + posted*(postage+at("mailer")) + payments*at("fixed_fee") + days*at("hall") +
		filled*at("food")*at("course_days") + at("courses")*(at("guest")+at("advertising")) + filled*at("handouts")
	hours += at("courses")*(at("teach_time")+at("prepare_time")+at("invite_time")) + posted/at("pack_rate") + at("edition_hours")/at("edition_lasts")

	nearly(t, get, "teaching.run", run, 1e-9)
	nearly(t, get, "teaching.weight", grams, 1e-9)
	nearly(t, get, "teaching.postage", postage, 1e-9)
	nearly(t, get, "teaching.sales", sales, 1e-9)
	nearly(t, get, "teaching.variable_costs", costs, 1e-9)
	nearly(t, get, "teaching.gross_margin", sales-costs, 1e-9)
	nearly(t, get, "teaching.hours", hours, 1e-9)

	early := posted * share("pre_ordered")
	price := get("prices.manual.online") + at("flat_postage")
	money := early*price*(1-get("prices.channels.online.fee")/100) - early/at("copies_an_order")*at("fixed_fee")
	nearly(t, get, "teaching.pre_order_money", money, 1e-9)
	if got := at("pre_orders_pay") != 0; got != (money >= bill) {
		t.Errorf("pre-orders of %.2f against a bill of %.2f: %v", money, bill, got)
	}
	leaves := get("prices.manual.online")*(1-get("prices.channels.online.fee")/100) - each - (postage + at("mailer") - at("flat_postage")) - at("fixed_fee")/at("copies_an_order")
	nearly(t, get, "teaching.copies_to_break_even", math.Ceil((at("setup")+at("edition_cost")/at("edition_lasts"))/leaves), 1e-9)
}
