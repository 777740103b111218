package season

import (
	"fmt"
	"testing"
)

// By pencil: radish, 8 days of which 3 in the dark, 0.25 kg a tray, sown on
// Mondays and Thursdays, may lie two days.
func TestSowings(t *testing.T) {
	s := Shoot{Name: "Radish", Days: 8, Dark: 3, Hold: 2, Yield: 0.25, Seed: 70, Sow: [7]bool{0: true, 3: true}, Spare: 0.1}
	orders := []Order{
		{"Inn", on(t, "2026-06-05"), 1},      // a Friday: Thursday 28 May is eight days before
		{"Stall", on(t, "2026-06-06"), 0.5},  // held a day
		{"Box", on(t, "2026-06-11"), 0.2},    // Wednesday 3 June is no day to sow; 1 June with two days held
		{"Kitchen", on(t, "2026-06-08"), 10}, // 31, 30 and 29 May are none
	}
	got, served := s.Sowings(orders)
	want := []Sowing{
		{0, on(t, "2026-05-28"), on(t, "2026-06-05"), 5, 350},
		{1, on(t, "2026-05-28"), on(t, "2026-06-05"), 3, 210},
		{2, on(t, "2026-06-01"), on(t, "2026-06-09"), 1, 70},
	}
	if fmt.Sprint(got) != fmt.Sprint(want) || fmt.Sprint(served) != "[true true true false]" {
		t.Errorf("sown %v, %v", got, served)
	}
	dark, light := s.Racks(got, on(t, "2026-05-27"), 10)
	if !equal(dark, []int{0, 8, 8, 8, 0, 1, 1, 1, 0, 0}) || !equal(light, []int{0, 0, 0, 0, 8, 8, 8, 8, 9, 1}) {
		t.Errorf("in the dark %v, in the light %v", dark, light)
	}
	s.Sow = [7]bool{}
	if got, _ := s.Sowings(orders[3:]); len(got) != 1 || got[0].Sown.String() != "2026-05-31" || got[0].Trays != 44 {
		t.Errorf("sown on any day: %v", got)
	}
}

// By pencil: blocks stand two weeks in the dark room, then three to fruit.
func TestStanding(t *testing.T) {
	starts := []int{2, 0, 1, 0, 0, 0}
	if got := Standing(starts, 0, 2); !equal(got, []int{2, 2, 1, 1, 0, 0}) {
		t.Errorf("in the dark %v", got)
	}
	if got := Standing(starts, 2, 3); !equal(got, []int{0, 0, 2, 2, 3, 1}) {
		t.Errorf("fruiting %v", got)
	}
}

// By pencil: to sell 90 and 45 trees in the third and fourth year of a plan, with
// a tenth lost in the ground over two years and a quarter of the grafts in one.
func TestRaise(t *testing.T) {
	begun, early := Raise([]Stage{{"Graft", 0.25, 1}, {"Grow on", 0.1, 2}}, []float64{0, 0, 90, 45})
	alike(t, "grown on", begun[1], []float64{100, 50, 0, 0})
	alike(t, "grafted", begun[0], []float64{67, 0, 0, 0})
	alike(t, "too late to begin", early, []float64{134, 0})
}
