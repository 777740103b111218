package chart_test

import (
	"math"

	"rickyard/templates/chart"
)

var months = []string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

var gap = math.NaN()

// chartCases has at least one chart of each kind, as a farm would ask for it.
// The figures are invented.
var chartCases = []struct {
	name  string
	chart chart.Chart
}{
	{"columns", chart.Chart{Kind: chart.Columns, Unit: "GBP a year", Decimals: 0,
		Categories: []string{"Pastured broilers", "Market garden", "Oyster mushrooms", "Laying hens"},
		Series:     []chart.Series{{Name: "Net margin", Values: []float64{11240, 18655, 7020, -1380}}},
		Marks:      []chart.Mark{{Name: "Target income", Value: 16000, Shown: "16,000"}}}},
	{"columns-side-by-side", chart.Chart{Kind: chart.Columns, Unit: "hours",
		Categories: months,
		Series: []chart.Series{
			{Name: "Pastured broilers", Values: []float64{0, 0, 12, 58, 74, 80, 81, 80, 76, 48, 10, 0}},
			{Name: "Market garden", Values: []float64{40, 62, 120, 168, 190, 204, 210, 196, 150, 110, 60, 36}},
		},
		Marks: []chart.Mark{{Name: "Hours two people have", Value: 260}}}},
	{"bars", chart.Chart{Kind: chart.Bars, Unit: "GBP",
		Categories: []string{"Property", "Infrastructure: tracks, water and fences", "Equipment", "Stock and plants", "Working capital", "Contingency"},
		Series:     []chart.Series{{Name: "Cost", Values: []float64{72000, 31500, 18250, 9400, 22000, 15315}}}}},
	{"bars-pairs", chart.Chart{Kind: chart.Bars, Unit: "GBP/h", Decimals: 2,
		Categories: []string{"Pastured broilers", "Market garden", "Oyster mushrooms"},
		Series: []chart.Series{
			{Name: "At the farm gate", Values: []float64{14.2, 17.85, -3.1}},
			{Name: "Wholesale", Values: []float64{6.4, 9.2, gap}},
			{Name: "Restaurants", Values: []float64{12.4, 19.2, 8.35}}},
		Marks: []chart.Mark{{Name: "Wage", Value: 12.21}}}},
	{"stack", chart.Chart{Kind: chart.Stack, Unit: "hours", Categories: months,
		Series: []chart.Series{
			{Name: "Pastured broilers", Values: []float64{0, 0, 12, 58, 74, 80, 81, 80, 76, 48, 10, 0}},
			{Name: "Market garden", Values: []float64{40, 62, 120, 168, 190, 204, 210, 196, 150, 110, 60, 36}},
			{Name: "Oyster mushrooms", Values: []float64{44, 44, 46, 40, 36, 30, 28, 30, 38, 44, 46, 44}},
			{Name: "Overheads and office", Values: []float64{30, 26, 24, 18, 16, 14, 14, 14, 18, 22, 26, 34}},
		},
		Marks: []chart.Mark{{Name: "Hours two people have", Value: 300}}}},
	{"stack-eight", chart.Chart{Kind: chart.Stack, Unit: "GBP a year",
		Categories: []string{"Year 1", "Year 2", "Year 3", "Year 4", "Year 5"},
		Series: []chart.Series{
			{Name: "Broilers", Values: []float64{12000, 16000, 18000, 18200, 18500}},
			{Name: "Garden", Values: []float64{9000, 14000, 21000, 24000, 25500}},
			{Name: "Mushrooms", Values: []float64{4000, 6000, 8000, 8100, 8200}},
			{Name: "Eggs", Values: []float64{2000, 4000, 6000, 6200, 6200}},
			{Name: "Honey", Values: []float64{0, 500, 1500, 1800, 1900}},
			{Name: "Seedlings", Values: []float64{800, 1400, 2500, 2900, 3000}},
			{Name: "Courses", Values: []float64{0, 2000, 4000, 5000, 5200}},
			{Name: "Firewood", Values: []float64{500, 1700, 2800, 2900, 3000}},
		}}},
	{"lines", chart.Chart{Kind: chart.Lines, Unit: "GBP", Categories: months,
		Series: []chart.Series{
			{Name: "As planned", Values: []float64{24000, 18500, 9200, 2100, -1400, 800, 5200, 9100, 13600, 17200, 17900, 16300}},
			{Name: "Sales a month late", Values: []float64{24000, 17800, 7900, -300, -5200, -4100, -600, 4200, 8800, 12600, 14800, 14100}},
			{Name: "Feed 20 % dearer", Values: []float64{24000, 18300, 8700, 1200, -2900, -1400, 2300, 5500, 9300, gap, gap, gap}},
		},
		Marks: []chart.Mark{{Name: "Overdraft limit", Value: -5000, Shown: "−5,000"}}}},
	{"lines-years", chart.Chart{Kind: chart.Lines, Unit: "GBP", Categories: fiveYears(),
		Series: []chart.Series{{Name: "Cash", Values: wave(60, 20000, 9000)}}}},
	{"area", chart.Chart{Kind: chart.Area, Unit: "GBP", Categories: months,
		Series: []chart.Series{{Name: "Cash", Values: []float64{24000, 18500, 9200, 2100, -1400, 800, 5200, 9100, 13600, 17200, 17900, 16300}}}}},
	{"area-stacked", chart.Chart{Kind: chart.Area, Unit: "ha", Decimals: 1, Categories: months,
		Series: []chart.Series{
			{Name: "Pens", Values: []float64{0, 0, 0, .4, .8, 1.2, 1.3, 1.2, .9, .4, 0, 0}},
			{Name: "Hay", Values: []float64{0, 0, 0, 1.5, 2.5, 2.5, 1, 0, 0, 0, 0, 0}},
			{Name: "Sheep", Values: []float64{2, 2, 2, 1, .6, .6, 1.5, 2, 2.2, 2.4, 2.2, 2}},
		}}},
	{"heat", chart.Chart{Kind: chart.Heat, Unit: "hours", Categories: months,
		Series: []chart.Series{
			{Name: "Brooding", Values: []float64{gap, gap, 8, 16, 16, 16, 16, 16, 12, gap, gap, gap}},
			{Name: "Moving pens and feeding", Values: []float64{gap, gap, gap, 18, 36, 42, 44, 42, 40, 22, gap, gap}},
			{Name: "Processing days", Values: []float64{gap, gap, gap, gap, 22, 24, 22, 24, 22, 20, 8, gap}},
			{Name: "Selling", Values: []float64{2, 2, 3, 5, 11, 12, 11, 12, 12, 10, 6, 9}},
		}}},
	{"heat-cash", chart.Chart{Kind: chart.Heat, Unit: "GBP", Categories: months,
		Series: []chart.Series{
			{Name: "Year 1", Values: []float64{-12400, -8800, -6100, -3200, -900, 1100, 2600, 3100, 2800, 900, -400, -1200}},
			{Name: "Year 2", Values: []float64{-2400, -1800, -2100, -600, 1900, 3100, 4600, 5100, 4800, 2900, 1400, 200}},
			{Name: "Year 3", Values: []float64{-900, -800, -1100, 600, 3900, 5100, 6600, 7100, 6800, 4900, 2400, 1200}},
		}}},
	{"points", chart.Chart{Kind: chart.Points, Unit: "GBP an hour", Across: "GBP a hectare",
		Categories: []string{"Pastured broilers", "Market garden", "Oyster mushrooms", "Laying hens", "Sheep", "Hay", "Store cattle"},
		Series: []chart.Series{{
			At:     []float64{4200, 31000, 22000, 3900, 640, 410, 720},
			Values: []float64{13.4, 17.2, 11.9, 12.8, 7.2, 15.5, 9.1}}},
		Marks: []chart.Mark{{Name: "Wage", Value: 12.21, Shown: "12.21"}}}},
	{"ranges", chart.Chart{Kind: chart.Ranges, Unit: "GBP a year",
		Categories: []string{"Price of a bird", "Feed price", "Chicks lost in the field", "Killing-out percentage", "Hours on a processing day", "Litter"},
		Series: []chart.Series{{Name: "Net margin", LowName: "figure at its low", HighName: "figure at its high",
			Low:  []float64{4100, 14700, 12900, 9100, 11900, 11300},
			High: []float64{18300, 7200, 8300, 12800, 10200, 11500}}},
		Base: 11240, BaseName: "As planned"}},
	{"steps", chart.Chart{Kind: chart.Steps, Unit: "pence", Decimals: 1,
		Categories: []string{"Sales", "Feed", "Day-old chicks", "Processing and packing", "Litter, heat and losses", "Gross margin", "Overheads", "Net margin"},
		Series:     []chart.Series{{Values: []float64{100, -38.4, -11.2, -14.5, -4.3, gap, -17.9, gap}}},
		Sums:       []int{5, 7}}},
	{"steps-below", chart.Chart{Kind: chart.Steps, Unit: "GBP",
		Categories: []string{"Sales", "Variable costs", "Overheads", "Grant", "Result"},
		Series:     []chart.Series{{Values: []float64{14200, -9900, -12600, 3500, gap}}},
		Sums:       []int{4}}},
	{"split", chart.Chart{Kind: chart.Split, Unit: "GBP",
		Categories: []string{"Property", "Infrastructure", "Equipment", "Stock and plants", "Working capital", "Contingency"},
		Series:     []chart.Series{{Values: []float64{72000, 31500, 18250, 9400, 22000, 2315}}}}},
	{"split-eight", chart.Chart{Kind: chart.Split,
		Categories: []string{"Moving pens", "Feeding", "Water", "Garden", "Selling", "Office", "Repairs", "Other"},
		Series:     []chart.Series{{Values: []float64{12, 9, 8, 30, 14, 11, 9, 7}, Shown: []string{"12 h", "9 h", "8 h", "30 h", "14 h", "11 h", "9 h", "7 h"}}}}},
	{"lines-key", chart.Chart{Kind: chart.Lines, Unit: "g a bird a day", Across: "Week", Categories: []string{"1", "2", "3", "4", "5", "6", "7", "8"},
		Series: []chart.Series{
			{Name: "Breeder's table for a slow-growing bird", Values: []float64{16, 34, 52, 71, 88, 102, 114, 122}},
			{Name: "Fed on this farm in the first batch of spring", Values: []float64{18, 36, gap, 80, 99, 117, gap, 139}},
			{Name: "Fed on this farm in the last batch of autumn", Values: []float64{18, gap, 61, gap, gap, 125, 140, 152}},
			{Name: "Fed in summer", Values: []float64{17, 35, 54, 73, 90, 104, 118, 126}}}}},
	{"points-two", chart.Chart{Kind: chart.Points, Unit: "kg/m2", Across: "hours a bed", Decimals: 1,
		Categories: []string{"Salad", "Leeks", "Kale", "Tomatoes"},
		Series: []chart.Series{
			{Name: "Planned", At: []float64{6, 4, 3, 9}, Values: []float64{4, 3.5, 3, 9}},
			{Name: "First year", At: []float64{9, 5.5, 3.2, 12}, Values: []float64{3.4, 3, 3.3, 7.2}}}}},
	{"heat-shades", chart.Chart{Kind: chart.Heat, Unit: "hours", Categories: fiveYears()[:52],
		Series: []chart.Series{{Name: "Broilers", Values: wave(52, 20, 19)}, {Name: "Market garden", Values: wave(52, 30, 20)}}}},
	{"bars-narrow", chart.Chart{Kind: chart.Bars, Unit: "GBP a year",
		Categories: []string{"Pastured broilers on the upper field", "Market garden", "Oyster mushrooms"},
		Series:     []chart.Series{{Values: []float64{11240, -8655, 7020}}}, Marks: []chart.Mark{{Name: "Target income", Value: 16000}}}},
	{"columns-many", chart.Chart{Kind: chart.Columns, Unit: "mm", Categories: fiveYears(),
		Series: []chart.Series{{Values: wave(60, 70, 40)}}}},
	{"columns-long-names", chart.Chart{Kind: chart.Columns, Unit: "kg/m2", Decimals: 1,
		Categories: []string{"Salad leaves under cover", "Courgettes", "Early new potatoes", "Purple sprouting broccoli", "Winter squash", "Runner beans", "Tomatoes", "Chard and perpetual spinach", "Leeks", "Garlic", "Kale", "Beetroot"},
		Series:     []chart.Series{{Name: "Planned", Values: []float64{4, 5, 3, 1.5, 3, 3.2, 9, 5.5, 3.5, 1.8, 3, 4}}, {Name: "Got", Values: []float64{3.4, 6, 2.6, 1.1, 2.5, 3, 7.2, 5, 3, 1.6, 3.3, 3.7}}}}},
	{"stack-both-ways", chart.Chart{Kind: chart.Stack, Unit: "GBP", Categories: []string{"Spring", "Summer", "Autumn", "Winter"},
		Series: []chart.Series{
			{Name: "Sales", Values: []float64{4000, 16000, 12000, 5000}},
			{Name: "Grant", Values: []float64{3500, 0, 0, 0}},
			{Name: "Costs", Values: []float64{-9000, -7000, -5000, -4000}}}}},
	{"stack-panels-target", chart.Chart{Kind: chart.Stack, Unit: "hours", Categories: months, Series: tasks(7),
		Marks: []chart.Mark{{Name: "What two people have", Value: 140}}}},
	{"stack-months-have", chart.Chart{Kind: chart.Stack, Unit: "hours", Categories: months, Series: tasks(3),
		Marks: []chart.Mark{{Name: "What two people have", Value: gap, Values: wave(12, 120, 15)}}}},
	{"stack-lying", chart.Chart{Kind: chart.Stack, Unit: "GBP", Categories: longNames[:6], Series: parts(6, 3)}},
	{"stack-bar-table", chart.Chart{Kind: chart.Stack, Unit: "% of sales", Categories: longNames, Series: parts(8, 6)}},
	{"lines-low", chart.Chart{Kind: chart.Lines, Unit: "GBP", Years: true, Lowest: true, Categories: fiveYears(), Series: []chart.Series{{Values: wave(60, 20000, 12000)}},
		Marks: []chart.Mark{{Name: "Overdraft that the bank allows", Value: -6000}}}},
	{"lines-band", chart.Chart{Kind: chart.Lines, Unit: "GBP", Years: true, Categories: fiveYears(), Series: []chart.Series{{Name: "Middle", Values: wave(60, 20000, 12000),
		Low: wave(60, 2000, 12000), High: wave(60, 33000, 15000), LowName: "Worse in 1 of 10", HighName: "Better in 1 of 10"}}}},
	{"lines-eight", chart.Chart{Kind: chart.Lines, Unit: "kg", Categories: months, Series: tasks(8)}},
	{"sweep", chart.Chart{Kind: chart.Lines, Unit: "%", Highest: true, Categories: []string{"16", "18", "28", "60", "90"}, Along: []float64{16, 18, 28, 60, 90}, Across: "Age of the hens, weeks",
		Series: []chart.Series{{Values: []float64{0, 0, 93, 80, 68}}}, Here: &chart.Place{At: 76, Shown: "76 weeks"}, HereWords: "this farm"}},
	{"sweep-two", chart.Chart{Kind: chart.Lines, Unit: "GBP", Categories: []string{"7", "8", "9", "10", "11", "12"}, Along: []float64{7, 8, 9, 10, 11, 12}, Across: "Price, GBP/kg",
		Series: []chart.Series{{Name: "Six batches", Values: []float64{-4100, -900, 2300, 5500, 8700, 11900}}, {Name: "Eight batches", Values: []float64{-5800, -1400, 3000, 7400, 11800, 16200}}},
		Marks:  []chart.Mark{{Name: "Target", Value: 9000}}, Here: &chart.Place{At: 9.2, Shown: "9.20"}, HereWords: "this farm"}},
	{"sweep-table", chart.Chart{Kind: chart.Heat, Unit: "GBP", Up: "Batches", Across: "Price, GBP/kg", Categories: []string{"7", "8", "9", "10"}, Along: []float64{7, 8, 9, 10},
		Series: []chart.Series{{Name: "2", Values: []float64{-900, 700, 2300, 3900}}, {Name: "4", Values: []float64{-100, 3100, 6300, 9500}}}, Here: &chart.Place{At: 2}, HereRow: 1}},
	{"heat-rows", chart.Chart{Kind: chart.Heat, Unit: "hours", Each: true, Categories: months, Series: []chart.Series{{Name: "Grass-fed beef", Values: wave(12, 300, 290)}, {Name: "Bees", Values: wave(12, 9, 8)}}}},
	{"points-bunched", chart.Chart{Kind: chart.Points, Unit: "Capital, GBP", Across: "Land, ha", Categories: longNames,
		Series: []chart.Series{{At: []float64{0, 0, 0.6, 0.7, 5.9, 6, 10.6, 190}, Values: []float64{87000, 88000, 121000, 122000, 106000, 161000, 86000, 240000}}}}},
}

func fiveYears() []string {
	var out []string
	for y := 1; y <= 5; y++ {
		for _, m := range months {
			out = append(out, m+" "+string(rune('0'+y)))
		}
	}
	return out
}

func wave(n int, mid, swing float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Round(mid + swing*math.Sin(float64(i)*2*math.Pi/12) + float64(i)*swing/40)
	}
	return out
}

var longNames = []string{"Pastured broilers on the upper field", "No-dig market garden", "Oyster mushrooms in the old stable", "Fruit tree nursery",
	"Micro dairy with raw milk and yogurt", "Laying hens", "Woodland pigs", "Timber and firewood from the north wood"}

func tasks(n int) []chart.Series {
	var out []chart.Series
	for i := range n {
		out = append(out, chart.Series{Name: longNames[i], Values: wave(12, float64(12+9*i), float64(11+8*i))})
	}
	return out
}

func parts(categories, n int) []chart.Series {
	var out []chart.Series
	for i := range n {
		out = append(out, chart.Series{Name: longNames[len(longNames)-1-i], Values: wave(categories, float64(8+5*i), float64(4+3*i))})
	}
	return out
}

// A sort of values that a chart may meet, for five categories.
var valueSorts = []struct {
	name   string
	values [5]float64
}{
	{"easy", [5]float64{12, 30, 21, 8, 17}},
	{"huge", [5]float64{4.1e11, 9.8e11, 1.2e11, 7e10, 5.5e11}},
	{"tiny", [5]float64{0.0012, 0.003, 0.0007, 0.0021, 0.0018}},
	{"negative", [5]float64{-1200, 3400, -560, -7800, 2100}},
	{"all-negative", [5]float64{-12, -30, -21, -8, -17}},
	{"equal", [5]float64{250, 250, 250, 250, 250}},
	{"missing", [5]float64{12, gap, 21, gap, 17}},
	{"one-tall", [5]float64{3, 4, 2, 9000, 5}},
}

// sorted are charts of every kind with values of every sort, and with names short
// and long.
func sorted() (cases []struct {
	name  string
	chart chart.Chart
}) {
	for _, kind := range chart.Kinds {
		for _, sort := range valueSorts {
			for _, names := range [][]string{{"Ewes", "Hens", "Pigs", "Bees", "Cows"}, longNames[:5]} {
				for _, series := range []int{1, 3} {
					if series > 1 && (kind == chart.Ranges || kind == chart.Steps || kind == chart.Split) {
						continue
					}
					c := chart.Chart{Kind: kind, Decimals: -1, Unit: "GBP a year", Across: "hours", Categories: names, BaseName: "As planned", Base: sort.values[0]}
					for k := range series {
						values := make([]float64, 5)
						for i := range values {
							values[i] = sort.values[(i+k)%5]
						}
						s := chart.Series{Name: longNames[k], Values: values}
						switch kind {
						case chart.Points:
							s.At = []float64{5, 3, 9, 1, 7}
						case chart.Ranges:
							s.Low, s.High = values, []float64{values[1], values[2], values[3], values[4], values[0]}
						}
						c.Series = append(c.Series, s)
					}
					name := string(kind) + " " + sort.name + " " + names[0] + " " + string(rune('0'+series))
					cases = append(cases, struct {
						name  string
						chart chart.Chart
					}{name, c})
				}
			}
		}
	}
	return cases
}
