package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/portable"
	"rickyard/calc/quantity"
)

// milk brings milk of any richness to one, and a herd's cows into one year.
// Energy corrected milk is reckoned to the fat and protein that a contract or a
// country names; the American form has its own standard, 3.5 % of fat and 3.2 %
// of protein, and does not give 1 exactly there.
var milk = []*formula.Function{
	{
		Name: "energy_corrected", About: "the milk of a given fat and protein that has the same energy", Source: "energy of milk as in the IFCN's formula, (0.383 fat + 0.242 protein + 0.7832) in MJ for per cents",
		Params: []formula.Param{
			theMilk(), share("fat", "the share of fat in the milk's weight"), share("protein", "the share of protein in the milk's weight"),
			share("to_fat", "the fat of the milk that is reckoned to"), share("to_protein", "the protein of the milk that is reckoned to"),
		},
		Result: formula.Param{Like: 1},
		Eval:   func(x, out []float64) { out[0] = x[0] * milkEnergy(x[1], x[2]) / milkEnergy(x[3], x[4]) },
	},
	{
		Name: "energy_corrected_us", About: "the milk of 3.5 % fat and 3.2 % protein that has the same energy, as American herd testing reckons it", Source: "0.327 milk + 12.95 fat + 7.65 protein by weight, herd-testing glossary, 2010; 7.2 in place of 7.65 in feed advice, for crude protein from memory",
		Params: []formula.Param{
			theMilk(), share("fat", "the share of fat in the milk's weight"), share("protein", "the share of protein in the milk's weight"),
			published(number("factor", "the weight of protein in the sum, 7.65 for true protein and 7.2 for crude", formula.AtLeast(0)), formula.Between(7.2, 7.65)),
		},
		Result: formula.Param{Like: 1},
		Eval: func(x, out []float64) {
			out[0] = x[0] * (0.327 + float64(12.95*x[1]) + float64(x[3]*x[2]))
		},
	},
	{
		Name: "fat_protein_corrected", About: "the milk of 4 % fat and 3.3 % protein by which emissions are compared", Source: "International Dairy Federation, 0.1226 fat + 0.0776 protein + 0.2534 for per cents",
		Params: []formula.Param{theMilk(), share("fat", "the share of fat in the milk's weight"), share("protein", "the share of protein in the milk's weight")},
		Result: formula.Param{Like: 1},
		Eval: func(x, out []float64) {
			out[0] = x[0] * (0.2534 + float64(12.26*x[1]) + float64(7.76*x[2]))
		},
	},
	{
		Name: "lactation_persistency", About: "how well a cow holds her yield, by Wood's curve", Source: woodSource,
		Params: woodParams()[1:],
		Result: formula.Param{Dimension: quantity.Number},
		Rules: []formula.Rule{{
			Words: "the curve has no peak unless it first rises and then falls",
			Holds: func(x []float64) bool { return x[0] > 0 && x[1] > 0 },
		}},
		Eval: func(x, out []float64) { out[0] = -(x[0] + 1) * portable.Log(x[1]*daySeconds) },
	},
	{
		Name: "herd_milk", About: "the yield of a day in each month, for a herd that calves at the middle of its months each year", Source: woodSource,
		Params: append(woodParams(),
			byMonth(number("calvings", "the cows that calve in each month", formula.AtLeast(0))),
			inMilk(365)),
		Result: formula.Param{Like: 1, Months: true},
		Eval: func(x, out []float64) {
			clear(out)
			days := math.Round(x[15] / daySeconds)
			for calving, cows := range x[3:15] {
				if cows > 0 {
					addLactation(out, x[0]*cows, x[1], x[2]*daySeconds, middle(calving), days)
				}
			}
		},
	},
}

func theMilk() formula.Param {
	return formula.Param{Name: "milk", About: "the weight of the milk", Any: true}
}

// milkEnergy is in MJ for a kilogram, from shares of fat and protein.
func milkEnergy(fat, protein float64) float64 {
	return 0.7832 + float64(38.3*fat) + float64(24.2*protein)
}

// middle is the day of the year, from 0, in the middle of a month.
func middle(month int) float64 {
	first := 0
	for _, n := range quantity.MonthDays[:month] {
		first += n
	}
	return float64(first + quantity.MonthDays[month]/2)
}

// addLactation adds what cows that calve on a day give in each month, as the mean
// of a day.
func addLactation(out []float64, a, b, c, calving, days float64) {
	for t := 1.0; t <= days; t++ {
		month, _ := quantity.MonthDay(calving + t - 1)
		out[month] += wood(a, b, c, t) / float64(quantity.MonthDays[month])
	}
}
