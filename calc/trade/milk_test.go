package trade

import "testing"

// Milk brought to one energy. Where a calculator's printed table does not follow
// its own formula, the value is that of the formula, and what is printed is named.
func TestEnergyCorrected(t *testing.T) {
	// IFCN, to 4.0 % fat and 3.3 % protein: 30 kg of 4.2 and 3.4 % (30.97 printed).
	near(t, "30 kg to 4.0 and 3.3 %", call(t, "energy_corrected", 30.0, 0.042, 0.034, 0.04, 0.033)[0], 30.9712, 0.0001)
	near(t, "as it is", call(t, "energy_corrected", 25.0, 0.04, 0.033, 0.04, 0.033)[0], 25, 1e-12)
	// American herd testing, glossary of 2010: 50 lb with 2.0 of fat and 1.5 of
	// protein.
	near(t, "50 lb", call(t, "energy_corrected_us", 50.0, 2./50, 1.5/50, 7.65)[0], 53.725, 1e-9)
	for _, c := range []struct{ milk, fat, protein, want float64 }{
		{30, 0.038, 0.032, 31.485},  // an online calculator prints 31.56
		{28, 0.041, 0.033, 30.6754}, // 31.04 printed
		{34, 0.035, 0.030, 33.8725}, // 33.58 printed
		{20, 0.040, 0.035, 21.94},
		{100, 0.035, 0.032, 101.065}, // so its own standard is not quite itself
	} {
		near(t, "crude protein", call(t, "energy_corrected_us", c.milk, c.fat, c.protein, 7.2)[0], c.want, 0.0005)
	}
	near(t, "true protein", call(t, "energy_corrected_us", 100.0, 0.035, 0.032, 7.65)[0], 102.505, 0.0005)
	// International Dairy Federation, in the manual of a library on the footprint
	// of milk: 750,000 L of 1.03 kg, 85,000 kg of CO2.
	kg := call(t, "fat_protein_corrected", 750000*1.03, 0.04, 0.033)[0]
	near(t, "a farm's milk", kg, 772407.3, 0.5)
	near(t, "at its own standard", kg/(750000*1.03), 0.99988, 1e-5)
	near(t, "footprint", 85000/kg, 0.110046, 1e-5)
	near(t, "richer milk", call(t, "fat_protein_corrected", 1.0, 0.05, 0.04)[0], 0.1226*5+0.0776*4+0.2534, 1e-9)
	none(t, "all fat and more", call(t, "energy_corrected", 1.0, 1.1, 0.03, 0.04, 0.033))
}

// First-lactation Simmental, Animal Bioscience 34(6):949-956, 2021: b 0.1029 and c
// 0.0015; persistency worked out apart.
func TestPersistency(t *testing.T) {
	near(t, "persistency", call(t, "lactation_persistency", 0.1029, 0.0015/day)[0], 7.1714, 0.001)
	none(t, "of a curve that only falls", call(t, "lactation_persistency", -0.1, 0.0015/day))
	none(t, "of a curve that never rises", call(t, "lactation_persistency", 0.0, 0.0015/day))
	none(t, "of a curve that only rises", call(t, "lactation_persistency", 0.1, 0.0))
}

// A herd's year holds the milk of its lactations: 6,022.42 kg each by the curve of
// TestLactation; and a cow alone gives what lactation_months says.
func TestHerdMilk(t *testing.T) {
	calvings := []float64{0, 3, 5, 2, 0, 0, 0, 0, 1, 0, 0, 1}
	months := call(t, "herd_milk", 15.2317/day, 0.1029, 0.0015/day, calvings, 305*day)
	sum := 0.0
	for m, x := range months {
		sum += x * day * monthDays[m]
	}
	near(t, "milk of twelve cows", sum, 12*6022.42, 1)
	one := make([]float64, 12)
	one[2] = 1
	herd := call(t, "herd_milk", 15.2317/day, 0.1029, 0.0015/day, one, 305*day)
	cow := call(t, "lactation_months", 15.2317/day, 0.1029, 0.0015/day, (31+28+15)*day, 305*day)
	for m := range herd {
		near(t, "a cow that calves on 16 March", herd[m]*day, cow[m]*day, 1e-9)
	}
	near(t, "no cows", call(t, "herd_milk", 15.0, 0.1, 0.0015/day, make([]float64, 12), 305*day)[5], 0, 0)
	none(t, "more than a year in milk", call(t, "herd_milk", 15.0, 0.1, 0.0015/day, one, 400*day))
}

func TestCheese(t *testing.T) {
	// University of Guelph's pages on cheese: 3.6 % fat, 2.5 % casein, 37 % water.
	// Put as 109 / (100 - moisture), as a dairy-science calculator has it, it is
	// the same.
	near(t, "Cheddar", call(t, "cheese_yield", 0.036, 0.025, 0.37)[0], 0.099450, 0.00001)
	near(t, "Cheddar in per cents", call(t, "cheese_yield", 0.036, 0.025, 0.37)[0]*100, (0.93*3.6+2.5-0.1)*109/(100-37), 1e-9)
	// Mean of five vats in a model of cheese making, Table 1: 9.27 %.
	near(t, "five vats", call(t, "cheese_yield", 0.0349, 0.0231, 0.358)[0], 0.0927, 0.0002)
	near(t, "with Cheddar's constants given", call(t, "cheese_yield_of", 0.036, 0.025, 0.37, 0.93, 0.001, 0.09)[0], 0.099450, 0.00001)
	// By pencil: 0.9 * 4 + 2.6 - 0.2 = 6.0, with 5 % 6.3, in cheese of half water.
	near(t, "another cheese", call(t, "cheese_yield_of", 0.04, 0.026, 0.5, 0.9, 0.002, 0.05)[0], 0.126, 1e-9)
	near(t, "water", call(t, "cheese_yield", 0.0, 0.0, 0.37)[0], 0, 0)
	none(t, "a cheese of water", call(t, "cheese_yield", 0.036, 0.025, 1.0))
}
