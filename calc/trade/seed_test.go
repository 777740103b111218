package trade

import "testing"

func TestLiveSeed(t *testing.T) {
	// Seed companies' pages.
	near(t, "98 and 90 %", call(t, "live_seed", 0.98, 0.90, 0.0)[0], 0.882, 1e-12)
	near(t, "a bag of 50 lb", 50*call(t, "live_seed", 0.98, 0.90, 0.0)[0], 44.1, 1e-9)
	near(t, "with hard seed", call(t, "live_seed", 0.98, 0.92, 0.05)[0], 0.9506, 1e-12)
	near(t, "3 lb an acre of it", call(t, "bulk_seed", 3.0, 0.98, 0.92, 0.05)[0], 3.16, 0.005)
	near(t, "1 lb of 96 and 80 %", call(t, "bulk_seed", 1.0, 0.96, 0.80, 0.0)[0], 1.30, 0.005)
	near(t, "1,000 lb", call(t, "bulk_seed", 1000.0, 0.98, 0.95, 0.0)[0], 1074, 1)
	near(t, "price of a pound, at 5.00", 5*call(t, "bulk_seed", 1.0, 0.98, 0.95, 0.0)[0], 5.37, 0.005)
	// International rice institute: 40 kg/ha at 80 %; with 90 % of grains filled.
	near(t, "rice", call(t, "bulk_seed", 40.0, 1.0, 0.80, 0.0)[0], 50, 1e-9)
	near(t, "rice with empty grains", call(t, "bulk_seed", 40.0, 0.9, 0.80, 0.0)[0], 55.6, 0.1)
	none(t, "more alive than all", call(t, "live_seed", 0.98, 0.97, 0.05))
	none(t, "more alive than all, weighed", call(t, "bulk_seed", 1.0, 0.98, 0.97, 0.05))
	none(t, "dead seed", call(t, "bulk_seed", 1.0, 0.98, 0.0, 0.0))
}

// Virginia Cooperative Extension's count back, on a regional page and a garden
// blog: frost on 19 October, 48 days from planting, raised for 28, 15 to 20 of
// picking, 10 to 14 for autumn make 10 to 1 July. (The blog says about 100 days
// and 13 July; 100 days before is 11 July.)
func TestLastSowing(t *testing.T) {
	const frost = (273 + 18) * day // 19 October
	july := func(n float64) float64 { return 181 + n - 1 }
	near(t, "short", call(t, "last_sowing", frost, 48*day, 28*day, 15*day, 10*day, 0.0)[0]/day, july(10), 1e-9)
	near(t, "long", call(t, "last_sowing", frost, 48*day, 28*day, 20*day, 14*day, 0.0)[0]/day, july(1), 1e-9)
	near(t, "tender", call(t, "last_sowing", frost, 48*day, 28*day, 20*day, 14*day, 14*day)[0]/day, july(1)-14, 1e-9)
	none(t, "ripe before it is sown", call(t, "last_sowing", frost, -48*day, 28*day, 20*day, 14*day, 0.0))
}

func TestMushrooms(t *testing.T) {
	// An oyster trial on wheat straw, Table 2: 910.1 g of a bag at 105.0 %.
	dry := call(t, "substrate_for", 910.1, 0.0, 1.05)[0]
	near(t, "dry substrate", dry, 866.8, 1)
	// A grower's block of 5 lb with 3.1 lb of water gives 2 lb: 105.3 %.
	near(t, "block", call(t, "mushroom_yield", 5.0, 3.1/5, 1.053)[0], 2, 0.002)
	// By pencil: 100 kg of 68 % water hold 32 kg dry.
	near(t, "100 kg", call(t, "mushroom_yield", 100.0, 0.68, 1.0)[0], 32, 1e-9)
	near(t, "back from 32 kg", call(t, "substrate_for", 32.0, 0.68, 1.0)[0], 100, 1e-9)
	none(t, "a block of water", call(t, "mushroom_yield", 100.0, 1.0, 1.0))
	none(t, "a block that gives nothing", call(t, "substrate_for", 32.0, 0.68, 0.0))
}

// Eurostat's glossary, "Annual work unit": 1,800 hours, nobody more than one.
func TestWorkUnits(t *testing.T) {
	const hour = 3600.0
	near(t, "two people", call(t, "work_units", 1800*hour, 1350*hour, 1350*hour)[0], 1.5, 1e-12)
	near(t, "one who works too much", call(t, "work_units", 1800*hour, 2700*hour)[0], 1, 0)
	near(t, "four people", call(t, "work_units", 1800*hour, 450*hour, 450*hour, 450*hour, 450*hour)[0], 1, 1e-12)
	none(t, "no full year", call(t, "work_units", 0.0, 1350*hour))
}

// Dates of both Easters are tested in package season.
func TestEaster(t *testing.T) {
	near(t, "5 April 2026", call(t, "easter", 2026.0)[0]/day, 94, 0)
	near(t, "12 April 2026", call(t, "eastern_easter", 2026.0)[0]/day, 101, 0)
	none(t, "before the calendar", call(t, "easter", 1500.0))
}
