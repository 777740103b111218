package trade

import "testing"

const kgHa = 1 / ha

func TestWedgeCover(t *testing.T) {
	// An Irish farm paper: 3 livestock units on a hectare on 18 kg, round in 21
	// days, 150 kg left. The page rounds the demand to 55 and prints 1,300.
	near(t, "entry", call(t, "entry_cover", 3*18*kgHa/day, 21*day, 150*kgHa)[0]/kgHa, 1284, 1e-9)
	near(t, "with 55", call(t, "entry_cover", 55*kgHa/day, 21*day, 150*kgHa)[0]/kgHa, 1305, 1e-9)
	// The same in New Zealand, where covers count from the ground.
	near(t, "from the ground", call(t, "entry_cover", 3.2*16*kgHa/day, 21*day, 1500*kgHa)[0]/kgHa, 2575, 0.5)
}

// Worked out by the definition, each by pencil.
func TestGrassByDays(t *testing.T) {
	near(t, "back at 50 kg a day", call(t, "regrowth", 2800*kgHa, 1500*kgHa, 50*kgHa/day)[0]/day, 26, 1e-9)
	near(t, "back at 25", call(t, "regrowth", 2800*kgHa, 1500*kgHa, 25*kgHa/day)[0]/day, 52, 1e-9)
	none(t, "more is left", call(t, "regrowth", 1400*kgHa, 1500*kgHa, 25*kgHa/day))
	none(t, "no growth", call(t, "regrowth", 2800*kgHa, 1500*kgHa, 0.0))
	// 40 cows on 16 kg and 1,300 kg above the residual: 0.4923 ha a day, 30 ha in
	// 60.9 days.
	round := call(t, "round_length", 30*ha, 2800*kgHa, 1500*kgHa, 640/day)[0] / day
	near(t, "round", round, 60.9, 0.05)
	near(t, "area of a day", 30/round, 0.4923, 0.0001)
	none(t, "more is left", call(t, "round_length", 30*ha, 1400*kgHa, 1500*kgHa, 640/day))
	// Plate-meter equations in use, worked at a reading of 12: a meter maker's page
	// for New Zealand's winter, Northern Ireland's department of agriculture, and
	// one from memory.
	near(t, "158 a step and 200", call(t, "plate_cover", 12.0, 158*kgHa, 200*kgHa)[0]/kgHa, 2096, 1e-9)
	near(t, "158 a step and 330", call(t, "plate_cover", 12.0, 158*kgHa, 330*kgHa)[0]/kgHa, 2226, 1e-9)
	near(t, "140 a step", call(t, "plate_cover", 12.0, 140*kgHa, 500*kgHa)[0]/kgHa, 2180, 1e-9)
	near(t, "two weeks on", call(t, "cover_after", 2100*kgHa, 45*kgHa/day, 50*kgHa/day, 14*day)[0]/kgHa, 2030, 1e-9)
	near(t, "it runs out", call(t, "cover_after", 100*kgHa, 0.0, 50*kgHa/day, 14*day)[0]/kgHa, -600, 1e-9)
	// 20 ha, 40 kg a day for 30 days, from 2,200 to 1,800; 60 cows on 14 kg.
	near(t, "spare", call(t, "grass_spare", 20*ha, 40*kgHa/day, 30*day, 2200*kgHa, 1800*kgHa, 60*14/day)[0], 6800, 1e-6)
}

// Mertens' rule in American extension: 1,300 lb on feed of 50 % fibre eat 31.2 lb;
// 120 divided by the per cent is the per cent of live weight.
func TestIntakeByFibre(t *testing.T) {
	near(t, "a cow", call(t, "intake_fibre", 1300*lb, 0.5)[0]*day/lb, 31.2, 1e-9)
	near(t, "3 % of live weight", call(t, "intake_fibre", 1.0, 0.4)[0]*day, 0.03, 1e-12)
	none(t, "no fibre", call(t, "intake_fibre", 1300*lb, 0.0))
}
