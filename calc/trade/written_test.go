package trade

import (
	"math"
	"testing"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

// written works out a formula as a farmer writes it, on a farm that counts birds,
// pigs and trees.
func written(t *testing.T, text, unit string) float64 {
	t.Helper()
	units, err := quantity.NewSystem("GBP", []quantity.Thing{{Name: "bird", Plural: "birds"}, {Name: "pig", Plural: "pigs"}, {Name: "tree", Plural: "trees"}})
	if err != nil {
		t.Fatal(err)
	}
	parsed, mistake := formula.Parse(source.New("page.md", text).Whole(), units)
	if mistake != nil {
		t.Fatal(mistake)
	}
	c := formula.NewCompiler(units, 5, Functions...)
	x, mistake := c.Compile(parsed, func(n *formula.Name) (formula.Operand, *source.Error) {
		t.Fatalf("%s: what is %s?", text, n.Text)
		return formula.Operand{}, nil
	})
	if mistake != nil {
		t.Fatalf("%s: %v", text, mistake)
	}
	u := units.Must(unit)
	if x.Type.Dimension != u.Dimension {
		t.Fatalf("%s is of %q, want %s", text, x.Type.Dimension, unit)
	}
	p := c.Program()
	frame := p.NewFrame()
	p.Run(frame, 0, p.Len())
	return u.FromBase(frame[x.Slot])
}

// Each function once as it stands in a chapter, by pencil or with the values of its
// own test, and once more at each bound that still has an answer. What lies beyond
// a bound has none.
func TestAsWritten(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		want       float64
	}{
		{"energy_corrected(30 kg, 4.2 %, 3.4 %, 4 %, 3.3 %)", "kg", 30.9712},
		{"energy_corrected(0.5 L/day, 0 %, 100 %, 0 %, 100 %)", "L/day", 0.5},
		{"energy_corrected(1, 100 %, 0 %, 100 %, 0 %)", "", 1},
		{"energy_corrected_us(100 kg, 3.5 %, 3.2 %, 7.2)", "kg", 101.065},
		{"energy_corrected_us(100 kg, 0 %, 100 %, 0)", "kg", 32.7},
		{"energy_corrected_us(100 kg, 100 %, 0 %, 0.5)", "kg", 1327.7},
		{"energy_corrected_us(1 kg, 101 %, 0 %, 7.2)", "kg", math.NaN()},
		{"energy_corrected_us(1 kg, 3 %, 101 %, 7.2)", "kg", math.NaN()},
		{"energy_corrected_us(1 kg, 3 %, 3 %, -1)", "kg", math.NaN()},
		{"fat_protein_corrected(1 L, 4 %, 3.3 %)", "L", 0.99988},
		{"fat_protein_corrected(1 L, 0 %, 0 %)", "L", 0.2534},
		{"fat_protein_corrected(1 L, 4 %, 101 %)", "L", math.NaN()},
		{"lactation_persistency(0.1029, 0.0015 /day)", "", 7.1714},
		{"sum(herd_milk(1 kg/day, 0, 0 /day, monthly(0.5, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0), 365 day)) / 12", "kg/day", 0.5},
		{"sum(herd_milk(1 kg/day, 0, 0 /day, monthly(-1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0), 365 day))", "kg/day", math.NaN()},
		{"cheese_yield(3.6 %, 2.5 %, 37 %)", "%", 9.945},
		{"cheese_yield(100 %, 0 %, 0 %)", "%", 101.261},
		{"cheese_yield(0 %, 100 %, 0 %)", "%", 108.891},
		{"cheese_yield(101 %, 0 %, 0 %)", "%", math.NaN()},
		{"cheese_yield(3 %, 101 %, 0 %)", "%", math.NaN()},
		{"cheese_yield(3 %, 2 %, -1 %)", "%", math.NaN()},
		{"cheese_yield_of(4 %, 2.6 %, 50 %, 90 %, 0.2 %, 5 %)", "%", 12.6},
		{"cheese_yield_of(4 %, 3 %, 0 %, 100 %, 0 %, 100 %)", "%", 14},
		{"cheese_yield_of(4 %, 3 %, 0 %, 0 %, 0 %, 0 %)", "%", 3},
		{"cheese_yield_of(4 %, 3 %, 0 %, 101 %, 0 %, 0 %)", "%", math.NaN()},
		{"cheese_yield_of(4 %, 3 %, 0 %, 90 %, -1 %, 0 %)", "%", math.NaN()},
		{"cheese_yield_of(4 %, 3 %, 0 %, 90 %, 0 %, -1 %)", "%", math.NaN()},
		{"saleable_meat(120 kg/pig, 75 %, 2 %, 70 %)", "kg/pig", 61.74},
		{"saleable_meat(0.5 kg, 100 %, 0 %, 100 %)", "kg", 0.5},
		{"saleable_meat(-1 kg, 75 %, 2 %, 70 %)", "kg", math.NaN()},
		{"saleable_meat(1 kg, 75 %, 2 %, 101 %)", "kg", math.NaN()},
		{"saleable_meat(1 kg, 75 %, -2 %, 70 %)", "kg", math.NaN()},
		{"animals_for(62 kg, 120 kg/pig, 75 %, 2 %, 70 %)", "pig", 2},
		{"animals_for(0.5 kg, 0.5 kg/pig, 100 %, 0 %, 100 %)", "pig", 1},
		{"animals_for(0 kg, 120 kg/pig, 75 %, 2 %, 70 %)", "pig", 0},
		{"animals_for(-1 kg, 120 kg/pig, 75 %, 2 %, 70 %)", "pig", math.NaN()},
		{"animals_for(62 kg, 0 kg/pig, 75 %, 2 %, 70 %)", "pig", math.NaN()},
		{"before_losses(300 tree, 15 %, 10 %, 5 %)", "tree", 413},
		{"before_losses(0.5 tree, 0 %)", "tree", 1},
		{"before_losses(-1 tree, 15 %)", "tree", math.NaN()},
		{"before_losses(1 tree, -1 %)", "tree", math.NaN()},
		{"after_losses(100 bird, 4 %, 3 %)", "bird", 93.12},
		{"after_losses(0.5 bird, 0 %)", "bird", 0.5},
		{"after_losses(-1 bird, 4 %)", "bird", math.NaN()},
		{"after_losses(1 bird, 101 %)", "bird", math.NaN()},
		{"brood_heat(21 day, 95 degF, 70 degF, 6)", "degF", 80},
		{"brood_heat(0 day, 35 degC, 20 degC, 2)", "degC", 35},
		{"brood_heat(7 day, 35 degC, 20 degC, 2)", "degC", 20},
		{"brood_heat(-1 day, 35 degC, 20 degC, 2)", "degC", math.NaN()},
		{"brood_heat(0 day, 35 degC, 20 degC, 1)", "degC", math.NaN()},
		{"production_index(2.257 kg, 37 day, 96 %, 1.62)", "", 361.48},
		{"production_index(0.5 kg, 0.5 day, 100 %, 0.5)", "", 20000},
		{"production_index(0 kg, 37 day, 0 %, 1.62)", "", 0},
		{"production_index(-1 kg, 37 day, 96 %, 1.62)", "", math.NaN()},
		{"production_index(2 kg, 37 day, 101 %, 1.62)", "", math.NaN()},
		{"entry_cover(54 kg/ha/day, 21 day, 150 kg/ha)", "kg/ha", 1284},
		{"entry_cover(0 kg/ha/day, 21 day, 0.5 kg/ha)", "kg/ha", 0.5},
		{"entry_cover(0.5 kg/ha/day, 0 day, 0 kg/ha)", "kg/ha", 0},
		{"entry_cover(-1 kg/ha/day, 21 day, 150 kg/ha)", "kg/ha", math.NaN()},
		{"entry_cover(54 kg/ha/day, -1 day, 150 kg/ha)", "kg/ha", math.NaN()},
		{"entry_cover(54 kg/ha/day, 21 day, -1 kg/ha)", "kg/ha", math.NaN()},
		{"regrowth(2800 kg/ha, 1500 kg/ha, 50 kg/ha/day)", "day", 26},
		{"regrowth(1500 kg/ha, 1500 kg/ha, 0.5 kg/ha/day)", "day", 0},
		{"round_length(30 ha, 2800 kg/ha, 1500 kg/ha, 650 kg/day)", "day", 60},
		{"round_length(0.5 ha, 1 kg/ha, 0 kg/ha, 0.5 kg/day)", "day", 1},
		{"round_length(-1 ha, 2800 kg/ha, 1500 kg/ha, 650 kg/day)", "day", math.NaN()},
		{"round_length(30 ha, 2800 kg/ha, 1500 kg/ha, 0 kg/day)", "day", math.NaN()},
		{"plate_cover(12, 140 kg/ha, 500 kg/ha)", "kg/ha", 2180},
		{"plate_cover(0.5, 0.5 kg/ha, 0.5 kg/ha)", "kg/ha", 0.75},
		{"plate_cover(-1, 140 kg/ha, 500 kg/ha)", "kg/ha", math.NaN()},
		{"cover_after(2100 kg/ha, 45 kg/ha/day, 50 kg/ha/day, 14 day)", "kg/ha", 2030},
		{"cover_after(0.5 kg/ha, 0.5 kg/ha/day, 0.5 kg/ha/day, 0.5 day)", "kg/ha", 0.5},
		{"cover_after(2100 kg/ha, -1 kg/ha/day, 50 kg/ha/day, 14 day)", "kg/ha", math.NaN()},
		{"cover_after(2100 kg/ha, 45 kg/ha/day, -1 kg/ha/day, 14 day)", "kg/ha", math.NaN()},
		{"grass_spare(20 ha, 40 kg/ha/day, 30 day, 2200 kg/ha, 1800 kg/ha, 840 kg/day)", "kg", 6800},
		{"grass_spare(0.5 ha, 0.5 kg/ha/day, 1 day, 0 kg/ha, 0 kg/ha, 0.5 kg/day)", "kg", -0.25},
		{"grass_spare(20 ha, -1 kg/ha/day, 30 day, 2200 kg/ha, 1800 kg/ha, 840 kg/day)", "kg", math.NaN()},
		{"grass_spare(20 ha, 40 kg/ha/day, 30 day, 2200 kg/ha, 1800 kg/ha, -1 kg/day)", "kg", math.NaN()},
		{"intake_fibre(600 kg, 40 %)", "kg/day", 18},
		{"intake_fibre(0.5 kg, 100 %)", "kg/day", 0.006},
		{"intake_fibre(-1 kg, 40 %)", "kg/day", math.NaN()},
		{"live_seed(98 %, 92 %, 5 %)", "%", 95.06},
		{"live_seed(100 %, 100 %, 0 %)", "%", 100},
		{"live_seed(0 %, 0 %, 100 %)", "%", 0},
		{"live_seed(101 %, 90 %, 0 %)", "%", math.NaN()},
		{"bulk_seed(40 kg/ha, 90 %, 80 %, 0 %)", "kg/ha", 55.5556},
		{"bulk_seed(0.5 kg, 100 %, 0 %, 100 %)", "kg", 0.5},
		{"bulk_seed(-1 kg, 90 %, 80 %, 0 %)", "kg", math.NaN()},
		{"last_sowing(19 Oct, 48 day, 28 day, 15 day, 10 day, 0 day)", "date", 190},
		{"last_sowing(19 Oct, 0 day, 0 day, 0 day, 0 day, 1 day)", "date", 290},
		{"last_sowing(19 Oct, 48 day, -1 day, 15 day, 10 day, 0 day)", "date", math.NaN()},
		{"mushroom_yield(100 kg, 68 %, 110 %)", "kg", 35.2},
		{"mushroom_yield(0.5 kg, 0 %, 0.5 %)", "kg", 0.0025},
		{"mushroom_yield(100 kg, 68 %, 0 %)", "kg", 0},
		{"mushroom_yield(-1 kg, 68 %, 110 %)", "kg", math.NaN()},
		{"mushroom_yield(100 kg, -1 %, 110 %)", "kg", math.NaN()},
		{"substrate_for(35.2 kg, 68 %, 110 %)", "kg", 100},
		{"substrate_for(0.5 kg, 0 %, 0.5 %)", "kg", 100},
		{"substrate_for(-1 kg, 68 %, 110 %)", "kg", math.NaN()},
		{"work_units(1800 h, 2700 h, 900 h)", "", 1.5},
		{"work_units(0.5 h, 0 h, 0.25 h)", "", 0.5},
		{"work_units(1800 h, -1 h)", "", math.NaN()},
		{"easter(2026)", "date", 94},
		{"easter(1583)", "date", 99},
		{"easter(4100)", "date", math.NaN()},
		{"eastern_easter(2027)", "date", 121},
		// One month eats 8,370 kg where 45 kg/ha grow a day.
		{"grazing_area(monthly(0 kg, 0 kg, 0 kg, 0 kg, 8370 kg, 0 kg, 0 kg, 0 kg, 0 kg, 0 kg, 0 kg, 0 kg), monthly(0 kg/ha/day, 0.5 kg/ha/day, 0 kg/ha/day, 0 kg/ha/day, 45 kg/ha/day, 0 kg/ha/day, 0 kg/ha/day, 0 kg/ha/day, 0 kg/ha/day, 0 kg/ha/day, 0 kg/ha/day, 0 kg/ha/day), 60 %, 0 %)", "ha", 10},
	} {
		got := written(t, c.text, c.unit)
		if math.IsNaN(c.want) {
			if !math.IsNaN(got) {
				t.Errorf("%s is %g, want no answer", c.text, got)
			}
			continue
		}
		near(t, c.text, got, c.want, 5e-5*math.Max(1, math.Abs(c.want)))
	}
}
