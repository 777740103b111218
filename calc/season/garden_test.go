package season

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// sound fails where a plan breaks a rule of the garden. It knows the rules from
// their words, not from the planner.
func sound(t *testing.T, g *Garden, plan GardenPlan) {
	t.Helper()
	weeks := len(g.Wanted[0])
	harvest := make([][]float64, len(g.Crops))
	for c := range harvest {
		harvest[c] = make([]float64, weeks)
	}
	for i, p := range plan.Plantings {
		c, bed := g.Crops[p.Crop], g.Beds[p.Bed]
		grown := 0.0
		for w := p.Planted; w < p.FirstPick; w++ {
			grown += c.Gain[w%len(c.Gain)]
		}
		if grown < c.Need-1e-6 {
			t.Fatalf("%v is picked after growth of %g of %g", p, grown, c.Need)
		}
		if p.Sown < 0 || p.Planted-p.Sown != c.Raised || p.LastPick-p.FirstPick+1 != len(c.Picks) {
			t.Fatalf("%v: raised for %d, picked for %d", p, c.Raised, len(c.Picks))
		}
		allowed := c.Open
		if bed.Under {
			allowed = c.Under
		}
		for w := p.Planted; w <= p.LastPick; w++ {
			if allowed != nil && !allowed[w%len(allowed)] {
				t.Fatalf("%v stands in week %d", p, w)
			}
		}
		for _, past := range bed.Past {
			if past.Family == c.Family && p.Planted-past.Until-1 < c.Rest {
				t.Fatalf("%v follows its family of week %d", p, past.Until)
			}
		}
		for j, q := range plan.Plantings {
			if i == j || p.Bed != q.Bed {
				continue
			}
			if p.Planted <= q.LastPick && q.Planted <= p.LastPick {
				t.Fatalf("%v and %v share a bed", p, q)
			}
			d := g.Crops[q.Crop]
			if gap := q.Planted - p.LastPick - 1; gap >= 0 && c.Family == d.Family && gap < max(c.Rest, d.Rest) {
				t.Fatalf("%v returns after %v", q, p)
			}
		}
		for k, share := range c.Picks {
			if w := p.FirstPick + k; w < weeks {
				harvest[p.Crop][w] += share * c.Yield * bed.Length
			}
		}
	}
	short := map[[2]int]float64{}
	for _, s := range plan.Short {
		short[[2]int{s.Crop, s.Week}] = s.Short
	}
	for c := range g.Crops {
		served := g.Crops[c].Store.Serve(harvest[c], g.Wanted[c]).Served
		for w, want := range g.Wanted[c] {
			if math.Abs(want-served[w]-short[[2]int{c, w}]) > 1e-6 {
				t.Fatalf("%s lacks %g in week %d, the plan says %g", g.Crops[c].Name, want-served[w], w, short[[2]int{c, w}])
			}
		}
	}
}

// noRoom fails where something is short that one more planting could bring, and
// where the reason given is not the true one.
func noRoom(t *testing.T, g *Garden, plan GardenPlan) {
	t.Helper()
	for _, short := range plan.Short {
		c := &g.Crops[short.Crop]
		why := Season
		for planted := -40; planted < len(g.Wanted[0]); planted++ {
			s, ok := c.standing(planted)
			if !ok || !c.picksFor(s, short.Week) {
				continue
			}
			for _, bed := range g.Beds {
				if bed.Under && !s.under || !bed.Under && !s.open {
					continue
				}
				if planted < c.Raised {
					if why == Season {
						why = Begun
					}
					continue
				}
				if why <= Begun {
					why = NoBed
				}
				free, rested := true, true
				check := func(from, to int, family string, rest int) {
					free = free && (s.last < from || to < planted)
					if family == c.Family {
						rested = rested && (s.last+rest < from || to+rest < planted)
					}
				}
				for _, p := range plan.Plantings {
					if g.Beds[p.Bed].Name == bed.Name {
						check(p.Planted, p.LastPick, g.Crops[p.Crop].Family, max(c.Rest, g.Crops[p.Crop].Rest))
					}
				}
				for _, past := range bed.Past {
					check(-1000, past.Until, past.Family, c.Rest)
				}
				if free && rested {
					t.Fatalf("%s lacks %g in week %d, but bed %s could take it from week %d", c.Name, short.Short, short.Week, bed.Name, planted)
				}
				if free {
					why = Rotation
				}
			}
		}
		if why != short.Why {
			t.Fatalf("%s lacks %g in week %d for reason %d, it is said for %d", c.Name, short.Short, short.Week, why, short.Why)
		}
	}
}

func lacking(g *Garden, plan GardenPlan) (worth float64) {
	for _, s := range plan.Short {
		worth += s.Short * g.Crops[s.Crop].Worth
	}
	return worth
}

func flat(weeks int, each float64) []float64 {
	x := make([]float64, weeks)
	for i := range x {
		x[i] = each
	}
	return x
}

// By pencil: lettuce raised for 3 weeks, 35 days to its one picking, on beds of
// 10 m that give 2 kg a metre.
func TestGardenByPencil(t *testing.T) {
	lettuce := Crop{Name: "Lettuce", Family: "Daisy", Raised: 3, Need: 35, Gain: flat(52, 7), Picks: []float64{1}, Yield: 2, Worth: 1}
	wanted := make([]float64, 20)
	wanted[8], wanted[9], wanted[7] = 20, 25, 5
	g := &Garden{Crops: []Crop{lettuce}, Beds: []Bed{{Name: "A", Length: 10}, {Name: "B", Length: 10}, {Name: "C", Length: 10}}, Wanted: [][]float64{wanted}}
	plan := g.Plan()
	sound(t, g, plan)
	want := []Planting{
		{Crop: 0, Bed: 0, Sown: 0, Planted: 3, FirstPick: 8, LastPick: 8},
		{Crop: 0, Bed: 1, Sown: 1, Planted: 4, FirstPick: 9, LastPick: 9},
		{Crop: 0, Bed: 2, Sown: 1, Planted: 4, FirstPick: 9, LastPick: 9},
	}
	if fmt.Sprint(plan.Plantings) != fmt.Sprint(want) {
		t.Errorf("planted %v, want %v", plan.Plantings, want)
	}
	if len(plan.Short) != 1 || plan.Short[0] != (Shortage{0, 7, 5, Begun}) || !plan.Best {
		t.Errorf("short of %v", plan.Short)
	}

	// One bed less: 5 kg lack in week 9 and nothing else.
	g.Beds = g.Beds[:2]
	plan = g.Plan()
	sound(t, g, plan)
	if len(plan.Short) != 2 || plan.Short[1] != (Shortage{0, 9, 5, NoBed}) || !plan.Best {
		t.Errorf("with two beds short of %v", plan.Short)
	}

	// Daisies stood on B until a week before the plan: four weeks' rest lets
	// them back in time for one bed of two.
	g.Crops[0].Rest = 4
	g.Beds[1].Past = []Past{{"Daisy", -1}, {"Cabbage", -1}}
	plan = g.Plan()
	sound(t, g, plan)
	if len(plan.Short) != 2 || plan.Short[1] != (Shortage{0, 9, 5, NoBed}) {
		t.Errorf("after daisies short of %v", plan.Short)
	}
	g.Crops[0].Rest = 104
	plan = g.Plan()
	sound(t, g, plan)
	if len(plan.Short) != 2 || plan.Short[1] != (Shortage{0, 9, 25, Rotation}) {
		t.Errorf("after daisies, two years' rest: short of %v", plan.Short)
	}

	// Frost until week 10: nothing may stand in the open before.
	g.Crops[0].Rest, g.Beds[1].Past = 0, nil
	g.Crops[0].Open = Within(52, 4, 40)
	plan = g.Plan()
	sound(t, g, plan)
	if len(plan.Short) != 2 || plan.Short[0] != (Shortage{0, 7, 5, Season}) || plan.Short[1] != (Shortage{0, 8, 20, Season}) {
		t.Errorf("with frost short of %v", plan.Short)
	}
	g.Beds[0].Under = true
	plan = g.Plan()
	sound(t, g, plan)
	if len(plan.Short) != 2 || plan.Short[0] != (Shortage{0, 7, 5, Begun}) || plan.Short[1] != (Shortage{0, 9, 5, NoBed}) {
		t.Errorf("with a cover short of %v", plan.Short)
	}
}

// The southern farm's year begins in July: what is within the frost-free weeks of
// one half of the world is so half a year on in the other.
func TestGardenTurnsTheYear(t *testing.T) {
	gain := flat(52, 7)
	for w := range gain {
		if w < 8 || w >= 46 {
			gain[w] = 0
		}
	}
	turn := func(x []float64) []float64 { return append(append([]float64{}, x[26:]...), x[:26]...) }
	wanted := make([]float64, 52)
	for w := 20; w < 44; w++ {
		wanted[w] = 3
	}
	beds := []Bed{{Length: 5}, {Length: 5}, {Length: 5}, {Length: 5}}
	crop := Crop{Name: "Beans", Family: "Pea", Need: 60, Gain: gain, Picks: []float64{0.5, 0.3, 0.2}, Yield: 1.8, Worth: 1, Open: Within(52, 18, 41)}
	north := &Garden{Crops: []Crop{crop}, Beds: beds, Wanted: [][]float64{append(append([]float64{}, wanted...), flat(52, 0)...)}}
	crop.Gain, crop.Open = turn(gain), Within(52, 18+26, 41+26)
	south := &Garden{Crops: []Crop{crop}, Beds: beds, Wanted: [][]float64{append(append(flat(26, 0), wanted...), flat(26, 0)...)}}
	a, b := north.Plan(), south.Plan()
	sound(t, north, a)
	sound(t, south, b)
	if len(a.Plantings) == 0 || len(a.Short) == 0 {
		t.Fatalf("the season is no test: %v", a)
	}
	for i, p := range a.Plantings {
		if p.LastPick >= 52 {
			break
		}
		p.Sown, p.Planted, p.FirstPick, p.LastPick = p.Sown+26, p.Planted+26, p.FirstPick+26, p.LastPick+26
		if b.Plantings[i] != p {
			t.Errorf("planting %d is %v in the south, want %v", i, b.Plantings[i], p)
		}
	}
}

func TestFirstPick(t *testing.T) {
	hours := []float64{8, 9, 10, 11, 12, 11, 10, 9}
	c := Crop{Need: 21, Gain: Lit(hours, 10)}
	for planted, want := range map[int]int{0: 5, 2: 5, 3: 6, 5: 11, -1: 5} {
		if got, ok := c.FirstPick(planted); got != want || !ok {
			t.Errorf("planted in week %d it is picked in %d, %v, want %d", planted, got, ok, want)
		}
	}
	if got, ok := (&Crop{Need: 1, Gain: flat(52, 0)}).FirstPick(3); ok {
		t.Errorf("in the dark it is picked in week %d", got)
	}
	// 0.1 + 0.2 is three tenths.
	if got, _ := (&Crop{Need: 0.3, Gain: []float64{0.1, 0.2}}).FirstPick(0); got != 2 {
		t.Errorf("picked in week %d, want 2", got)
	}
	frostFree := Within(52, 40, 10)
	for w, want := range map[int]bool{39: false, 40: true, 51: true, 0: true, 9: true, 10: false} {
		if frostFree[w] != want {
			t.Errorf("week %d is frost-free: %v", w, frostFree[w])
		}
	}
}

// small makes a garden that can be tried through.
func small(r *rand.Rand) *Garden {
	weeks := 6 + r.IntN(2)
	g := &Garden{Tries: math.MaxInt}
	for b := range 2 {
		bed := Bed{Name: fmt.Sprint(b), Length: float64(1 + r.IntN(2)), Under: r.IntN(4) == 0}
		if r.IntN(3) == 0 {
			bed.Past = []Past{{"f", -1 - r.IntN(2)}}
		}
		g.Beds = append(g.Beds, bed)
	}
	for c := range 2 {
		crop := Crop{
			Name: fmt.Sprint(c), Family: []string{"f", "g"}[r.IntN(2)], Raised: r.IntN(2), Need: float64(1 + r.IntN(2)),
			Gain: []float64{1, float64(r.IntN(2)), 1}, Picks: [][]float64{{1}, {0.5, 0.5}, {0.75, 0.25}}[r.IntN(3)],
			Yield: float64(1 + r.IntN(2)), Rest: r.IntN(3), Worth: float64(1 + r.IntN(3)),
			Store: Store{Weeks: r.IntN(2) * r.IntN(4)},
		}
		if r.IntN(3) == 0 {
			crop.Open = Within(weeks, r.IntN(weeks), r.IntN(weeks))
		}
		g.Crops = append(g.Crops, crop)
		wanted := make([]float64, weeks)
		for w := range wanted {
			wanted[w] = float64(r.IntN(2) * r.IntN(4))
		}
		g.Wanted = append(g.Wanted, wanted)
	}
	return g
}

// everything returns the least worth that is short over all ways to plant.
func everything(g *Garden) float64 {
	weeks := len(g.Wanted[0])
	ways := make([][][]Planting, len(g.Beds))
	for b := range g.Beds {
		var grow func(from int, so []Planting)
		grow = func(from int, so []Planting) {
			ways[b] = append(ways[b], append([]Planting{}, so...))
			for planted := from; planted < weeks; planted++ {
				for c, crop := range g.Crops {
					if p, ok := may(crop, g.Beds[b], so, g, planted); ok {
						p.Crop, p.Bed = c, b
						grow(p.LastPick+1, append(so, p))
					}
				}
			}
		}
		grow(0, nil)
	}
	least := math.Inf(1)
	for _, first := range ways[0] {
		for _, second := range ways[1] {
			lost := 0.0
			for c, crop := range g.Crops {
				harvest := make([]float64, weeks)
				for _, p := range append(append([]Planting{}, first...), second...) {
					for i, share := range crop.Picks {
						if p.Crop == c && p.FirstPick+i < weeks {
							harvest[p.FirstPick+i] += share * crop.Yield * g.Beds[p.Bed].Length
						}
					}
				}
				lost += crop.Worth * (total(g.Wanted[c]) - total(crop.Store.Serve(harvest, g.Wanted[c]).Served))
			}
			least = math.Min(least, lost)
		}
	}
	return least
}

// may tells whether a crop may follow what a bed has held so far.
func may(c Crop, bed Bed, so []Planting, g *Garden, planted int) (p Planting, ok bool) {
	first, grown := planted, 0.0
	for grown < c.Need {
		grown += c.Gain[first%len(c.Gain)]
		if first++; first > planted+50 {
			return p, false
		}
	}
	p = Planting{Sown: planted - c.Raised, Planted: planted, FirstPick: first, LastPick: first + len(c.Picks) - 1}
	for w := planted; w <= p.LastPick; w++ {
		if !bed.Under && c.Open != nil && !c.Open[w%len(c.Open)] {
			return p, false
		}
	}
	for _, past := range bed.Past {
		if past.Family == c.Family && planted-past.Until <= c.Rest {
			return p, false
		}
	}
	for _, q := range so {
		d := g.Crops[q.Crop]
		if d.Family == c.Family && planted-q.LastPick <= max(c.Rest, d.Rest) {
			return p, false
		}
	}
	return p, p.Sown >= 0
}

// Small gardens are tried through in a second, independent way: the plan is short
// of no more than it must be.
func TestGardenAgainstEverything(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 17))
	for i := range 400 {
		g := small(r)
		plan := g.Plan()
		sound(t, g, plan)
		noRoom(t, g, plan)
		if got, want := lacking(g, plan), everything(g); got > want+1e-9 || !plan.Best {
			t.Fatalf("garden %d lacks %g, could lack %g (best: %v): %+v", i, got, want, plan.Best, g)
		}
	}
}

// big is a market garden of 60 crops on 200 beds.
func big() *Garden {
	r := rand.New(rand.NewPCG(4, 17))
	g := &Garden{}
	for b := range 200 {
		g.Beds = append(g.Beds, Bed{Name: fmt.Sprint(b), Length: []float64{15, 30}[b%2], Under: b%10 == 0})
	}
	gain := make([]float64, 52)
	for w := range gain {
		gain[w] = math.Max(0, 7*math.Sin(math.Pi*float64(w-4)/48))
	}
	for c := range 60 {
		crop := Crop{
			Name: fmt.Sprint(c), Family: fmt.Sprint("family", c%9), Raised: r.IntN(6), Need: 30 + 60*r.Float64(), Gain: gain,
			Picks: flat(1+r.IntN(6), 1), Yield: 1 + 2*r.Float64(), Rest: 26, Worth: 1 + r.Float64(), Store: Store{r.IntN(4) * r.IntN(6), 0.02},
			Open: Within(52, 12+r.IntN(6), 40+r.IntN(6)), Under: Within(52, 8, 48),
		}
		for i := range crop.Picks {
			crop.Picks[i] = 1 / float64(len(crop.Picks))
		}
		wanted := make([]float64, 52)
		for w := 24; w < 46; w++ {
			wanted[w] = 15 + 25*r.Float64()
		}
		g.Crops, g.Wanted = append(g.Crops, crop), append(g.Wanted, wanted)
	}
	return g
}

func TestBigGarden(t *testing.T) {
	g := big()
	plan := g.Plan()
	sound(t, g, plan)
	some := plan
	some.Short = nil
	for i := 0; i < len(plan.Short); i += 40 {
		some.Short = append(some.Short, plan.Short[i])
	}
	noRoom(t, g, some)
	wanted, lost := 0.0, 0.0
	for _, w := range g.Wanted {
		wanted += total(w)
	}
	for _, s := range plan.Short {
		lost += s.Short
	}
	t.Logf("%d plantings, %.0f of %.0f kg short, best %v", len(plan.Plantings), lost, wanted, plan.Best)
	if len(plan.Plantings) < 200 {
		t.Errorf("only %d plantings", len(plan.Plantings))
	}
}

func BenchmarkGarden(b *testing.B) {
	g := big()
	for b.Loop() {
		g.Plan()
	}
}

// By pencil: which bed is taken. The shortest that holds enough, in the open before
// under cover; where none holds enough the longest; and of beds alike the one that
// is idle least.
func TestBedTaken(t *testing.T) {
	crop := Crop{Name: "Chard", Family: "Beet", Need: 14, Gain: []float64{7}, Picks: []float64{1}, Yield: 2, Worth: 1}
	beds := []Bed{{Name: "long", Length: 30}, {Name: "under", Length: 11, Under: true}, {Name: "short", Length: 12}, {Name: "middle", Length: 20}}
	for kg, want := range map[float64][]int{24: {2}, 25: {3}, 41: {0}, 60: {0}, 61: {0, 2}, 100: {0, 3}, 122: {0, 3, 2}, 150: {0, 3, 2, 1}} {
		g := &Garden{Crops: []Crop{crop}, Beds: beds, Wanted: [][]float64{{0, 0, 0, kg}}}
		plan := g.Plan()
		var took []int
		for _, p := range plan.Plantings {
			took = append(took, p.Bed)
		}
		if !equal(took, want) {
			t.Errorf("for %g kg beds %v are taken, want %v", kg, took, want)
		}
	}
	// Chard stands on A from week 3 and on B from week 5; cress that is off by then
	// goes onto A.
	early := crop
	early.Name, early.Worth = "Cress", 0.1
	g := &Garden{
		Crops:  []Crop{crop, early},
		Beds:   []Bed{{Name: "A", Length: 10}, {Name: "B", Length: 10}},
		Wanted: [][]float64{{0, 0, 0, 0, 0, 20, 0, 20, 0}, {0, 0, 20, 0, 0, 0, 0, 0, 0}},
	}
	plan := g.Plan()
	if len(plan.Short) != 0 || len(plan.Plantings) != 3 || plan.Plantings[2].Bed != plan.Plantings[0].Bed {
		t.Errorf("planted %v, short of %v", plan.Plantings, plan.Short)
	}
	// Beet has just stood on A, so that chard goes onto B; cress fills the weeks before
	// it there and leaves A whole.
	g.Crops[0].Rest, g.Crops[1].Family = 50, "Cabbage"
	g.Beds[0].Past = []Past{{"Beet", -1}}
	g.Wanted[0] = []float64{0, 0, 0, 0, 0, 20, 0, 0, 0}
	if plan := g.Plan(); len(plan.Plantings) != 2 || plan.Plantings[0].Bed != 1 || plan.Plantings[1].Bed != 1 {
		t.Errorf("before chard: %v", plan.Plantings)
	}
}
