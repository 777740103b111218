package season

import "testing"

// By pencil. A bed of 30 m in three rows at 30 cm holds 300 plants; with 10 %
// spare and 85 % germination that is 388.2, so 389 cells: 4 trays of 128 or 6 of
// 72 (rounding of nursery orders, common practice).
func TestChores(t *testing.T) {
	g := &Garden{
		Crops:  []Crop{{Picks: []float64{0.6, 0.4}, Yield: 2}, {Picks: []float64{1}, Yield: 1}},
		Beds:   []Bed{{Length: 30}, {Length: 10}},
		Wanted: [][]float64{make([]float64, 8), make([]float64, 8)},
	}
	plan := GardenPlan{Plantings: []Planting{
		{Crop: 0, Bed: 0, Sown: 0, Planted: 2, FirstPick: 5, LastPick: 6},
		{Crop: 1, Bed: 1, Sown: 3, Planted: 3, FirstPick: 8, LastPick: 8},
	}}
	raising := []Raising{
		{Plants: 10, Spare: 0.1, Germination: 0.85, Cells: 128, TrayLitres: 4, Compost: 3, Sow: 0.5, Plant: 0.1, Tend: 0.02, Pick: 0.03},
		{Plants: 20, Germination: 0.5, Sow: 0.01, Plant: 0, Tend: 0.01, Pick: 1},
	}
	got := g.Chores(plan, raising)
	if !equal(got.SownTrays, []int{4, 0, 0, 0, 0, 0, 0, 0}) || !equal(got.Bench, []int{4, 4, 0, 0, 0, 0, 0, 0}) {
		t.Errorf("trays %v, on the bench %v", got.SownTrays, got.Bench)
	}
	alike(t, "seeds", got.Seeds, []float64{389, 400})
	alike(t, "potting mix", got.Mix, []float64{16, 0, 0, 0, 0, 0, 0, 0})
	alike(t, "compost", got.Compost, []float64{0, 0, 90, 0, 0, 0, 0, 0})
	// Sowing 4 trays 2 h; planting 3 h; tending 0.6 h in weeks 3 and 4; picking 36
	// and 24 kg; the second crop 0.1 h to sow and 0.1 h in each week after.
	alike(t, "hours", got.Hours, []float64{2, 0, 3, 0.6 + 0.1, 0.6 + 0.1, 1.08 + 0.1, 0.72 + 0.1, 0.1})
	raising[0].Cells = 72
	if got = g.Chores(plan, raising); got.SownTrays[0] != 6 {
		t.Errorf("%d trays of 72", got.SownTrays[0])
	}
	one := &Garden{Crops: g.Crops[:1], Beds: g.Beds, Wanted: g.Wanted[:1]}
	alike(t, "of one crop", one.Chores(GardenPlan{Plantings: plan.Plantings[:1]}, raising).Seeds, []float64{389})
	if none := (&Garden{}).Chores(GardenPlan{}, nil); len(none.Hours) != 0 {
		t.Errorf("an empty garden takes %v", none.Hours)
	}
}
