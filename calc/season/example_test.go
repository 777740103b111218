package season_test

import (
	"fmt"

	"rickyard/calc/season"
)

// Lettuce for a stall: raised for three weeks, five weeks from planting to picking
// in full season, 2 kg from a metre of bed. The third week's is one bed too many.
func ExampleGarden_Plan() {
	week := []float64{7}
	g := season.Garden{
		Crops:  []season.Crop{{Name: "Lettuce", Family: "Daisy", Raised: 3, Need: 35, Gain: week, Picks: []float64{1}, Yield: 2, Worth: 3}},
		Beds:   []season.Bed{{Name: "North", Length: 10}, {Name: "South", Length: 10}},
		Wanted: [][]float64{{0, 0, 0, 0, 0, 0, 0, 0, 20, 15, 10}},
	}
	begins, _ := season.Week{Year: 2026, Number: 10}.Day(1)
	date := func(week int) season.Day { return begins + season.Day(7*week) }
	plan := g.Plan()
	for _, p := range plan.Plantings {
		fmt.Println(g.Beds[p.Bed].Name, "sown", date(p.Sown), "planted", date(p.Planted), "picked", date(p.FirstPick))
	}
	for _, s := range plan.Short {
		fmt.Println(s.Short, "kg short in the week of", date(s.Week), s.Why == season.NoBed)
	}
	// Output:
	// North sown 2026-03-02 planted 2026-03-23 picked 2026-04-27
	// South sown 2026-03-09 planted 2026-03-30 picked 2026-05-04
	// 10 kg short in the week of 2026-05-11 true
}
