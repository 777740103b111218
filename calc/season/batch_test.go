package season

import (
	"math"
	"testing"
)

func TestBatchDates(t *testing.T) {
	batches := Batches("Broilers", on(t, "2026-04-06"), 21, 3, 320)
	if len(batches) != 3 || batches[2].Name != "Broilers 3" || batches[2].Start.String() != "2026-05-18" || batches[1].Heads != 320 {
		t.Fatalf("batches %v", batches)
	}
	events := Dates(batches, []Task{
		{Name: "order", Title: "order chicks", From: -42, Person: "Ana"},
		{Name: "move", Title: "move the pens", From: 21, Days: 37},
		{Name: "kill", Title: "to the abattoir", From: 58},
	})
	if len(events) != 9 {
		t.Fatalf("%d events", len(events))
	}
	for i, want := range map[int][2]string{0: {"2026-02-23", "2026-02-23"}, 1: {"2026-04-27", "2026-06-02"}, 8: {"2026-07-15", "2026-07-15"}} {
		if e := events[i]; e.From.String() != want[0] || e.To.String() != want[1] {
			t.Errorf("%s runs from %v to %v, want %v", e.Name, e.From, e.To, want)
		}
	}
	if e := events[0]; e.Name != "Broilers 1/order" || e.Title != "Broilers 1: order chicks" || e.Group != "Broilers 1" || e.Person != "Ana" {
		t.Errorf("event %+v", e)
	}
}

// By pencil: two batches of 100, the second two weeks and three days after the
// first, three weeks of feed each, a tenth dead after the first week.
func TestRearingWeeks(t *testing.T) {
	r := Rearing{Feed: []float64{0.7, 1.4, 2.1}, Water: []float64{1.4, 2.8}, Space: []float64{0.05, 0.1, 0.1}, Alive: []float64{1, 0.9, 0.9}}
	batches := []Batch{{Start: 100, Heads: 100}, {Start: 117, Heads: 100}}
	n := r.Weeks(batches, 100, 6)
	// Daily feed: 10, 18 and 27 kg in the three weeks of a batch.
	alike(t, "feed", n.Feed, []float64{70, 126, 189 + 4*10, 3*10 + 4*18, 3*18 + 4*27, 3 * 27})
	alike(t, "water", n.Water, []float64{140, 252, 4 * 20, 3*20 + 4*36, 3 * 36, 0})
	alike(t, "heads", n.Heads, []float64{100, 90, 190, 100, 90, 90})
	alike(t, "space", n.Space, []float64{5, 9, 14, 9, 9, 9})
	// Where the list of those alive is short, all live.
	n = Rearing{Feed: []float64{7}}.Weeks([]Batch{{Start: 0, Heads: 2}}, -7, 3)
	alike(t, "feed of a batch to come", n.Feed, []float64{0, 14, 0})
	alike(t, "heads of a batch to come", n.Heads, []float64{0, 2, 0})
	alike(t, "space that nobody gave", n.Space, []float64{0, 0, 0})
	alike(t, "water that nobody gave", n.Water, []float64{0, 0, 0})
}

// NRC 1984 (8th edition) Table 1, male broilers: 3,025 g of feed to 6 weeks and
// 1,690 g of weight, 6,650 g to 9 weeks and 2,925 g. Feed by week comes back from
// weights and the conversion of each week, whatever the weeks between are.
func TestGrowing(t *testing.T) {
	weights := []float64{0.040, 1.690, 2.925}
	feed := Growing(weights, []float64{3.025 / 1.650, 3.625 / 1.235})
	alike(t, "feed", feed, []float64{3.025, 3.625})
	near(t, "feed by live weight at six weeks", feed[0]/weights[1], 1.790, 0.001)
	near(t, "feed by live weight at nine weeks", total(feed)/weights[2], 2.274, 0.001)
}

func TestOrders(t *testing.T) {
	// By pencil: bags of 25 kg, ordered every two weeks, 10 kg there.
	got := Orders([]float64{30, 30, 10, 5, 100, 0, 1}, 25, 10, 2)
	if !equal(got, []int{2, 0, 1, 0, 4, 0, 0}) {
		t.Errorf("bags %v", got)
	}
	if got := Orders([]float64{0.1, 0.2}, 0.1, 0, 2); got[0] != 3 {
		t.Errorf("three tenths take %d bags of a tenth", got[0])
	}
	stock, need := 10.0, []float64{30, 30, 10, 5, 100, 0, 1}
	for week, bags := range Orders(need, 25, 10, 1) {
		stock += 25*float64(bags) - need[week]
		if stock < 0 || stock >= 25 {
			t.Errorf("after week %d %g kg are left", week, stock)
		}
	}
}

func TestHerdByAge(t *testing.T) {
	// By pencil: 10 heifers, 8 and 6 cows; every cow rears 0.45 heifers, 90 % of
	// heifers and 80 % of cows stay.
	a := Ages{Heads: []float64{10, 8, 6}, Young: []float64{0, 0.45, 0.45}, Kept: []float64{0.9, 0.8, 0}}
	alike(t, "a year on", a.Next(), []float64{6.3, 9, 6.4})
	// A steady herd comes back to itself once the spare young are gone.
	heads, spare := a.Steady(18)
	near(t, "cows", heads[1]+heads[2], 18, 1e-9)
	a.Heads = heads
	next := a.Next()
	next[0] -= spare
	alike(t, "the steady herd a year on", next, heads)
	near(t, "young to be bought", -spare, heads[0]-18*0.45, 1e-9)
	if spare >= 0 {
		t.Errorf("a herd that rears 8.1 heifers for %g is said to have %g to spare", heads[0], spare)
	}
	if heads, spare := (Ages{Young: []float64{0, 0}, Kept: []float64{1, 1}}).Steady(5); spare != 0 || total(heads) != 0 {
		t.Errorf("without births: %v, %g", heads, spare)
	}
	// A sow: 114 days, 28 suckling and 7 to service make 149 days.
	near(t, "litters in a year", 365./float64(sow.Usual+28+7), 2.450, 0.0005)
}

// Each scheme has its own table; the sums are of published coefficients.
func TestWeighed(t *testing.T) {
	// Eurostat glossary, "Livestock unit" (Regulation (EC) 1200/2009, Annex I): 20
	// dairy cows, 6 bovines of 1 to 2 years, 8 under 1, 50 ewes, 4 sows, 30 other
	// pigs, 200 laying hens, 500 broilers, 40 turkeys.
	heads := []float64{20, 6, 8, 50, 4, 30, 200, 500, 40}
	eurostat := []float64{1, 0.7, 0.4, 0.1, 0.5, 0.3, 0.014, 0.007, 0.03}
	units := Weighed(heads, eurostat)
	near(t, "livestock units", units, 50.9, 0.001)
	near(t, "units on 32 ha", units/32, 1.590625, 1e-6)
	// SI 2008/2349 (England), Schedule 1, g of nitrogen a day: dairy cows over
	// 9,000 L, 6,000 to 9,000 and under 6,000, and others; a year of 365 days.
	for i, kg := range []float64{114.98, 100.74, 77.02, 60.96, 82.86, 7.67, 12.05, 16.06, 17.89} {
		grams := []float64{315, 276, 211, 167, 227, 21, 33, 44, 49}[i]
		near(t, "nitrogen of a head", Weighed([]float64{1}, []float64{grams * 365 / 1000}), kg, 0.006)
	}
	// Directive 91/676/EEC, Annex III: 170 kg/ha.
	near(t, "cows on a hectare, 276 g", 170/Weighed([]float64{1}, []float64{100.74}), 1.6875, 0.0005)
	near(t, "cows on a hectare, 315 g", 170/Weighed([]float64{1}, []float64{114.975}), 1.4786, 0.0005)
	// Irish bands, from memory, with an example of the Irish farm press, January
	// 2024: 80 cows on 40 ha, 20 young at 24 and 20 at 57 kg, before calves sold.
	irish := func(band float64) float64 { return Weighed([]float64{80, 20, 20}, []float64{band, 24, 57}) / 40 }
	near(t, "the band of 92 kg", irish(92), 224.5, 0.1)
	near(t, "the band of 106 kg", irish(106), 252.5, 0.1)
	near(t, "the step of the band", irish(106)-irish(92), 28, 1e-9)
	// Drinking water, New Zealand farm-supply figures: 70 L a cow in milk, 45 dry,
	// 20 for a hundred birds.
	near(t, "water", Weighed([]float64{40, 10, 500}, []float64{70, 45, 0.2}), 3350, 1e-9)
}

func TestNoBatches(t *testing.T) {
	if n := (Rearing{}).Weeks(nil, 0, 2); math.IsNaN(total(n.Feed)) || len(n.Feed) != 2 {
		t.Errorf("no batches need %v", n)
	}
}
