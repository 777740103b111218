package season

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// kept fails where a plan breaks a rule of grazing. Rules are read from the plan
// alone: from its visits, mowings and covers.
func kept(t *testing.T, g Grass, plan GrassPlan) {
	t.Helper()
	last := make([]int, len(g.Paddocks))
	for p, paddock := range g.Paddocks {
		last[p] = -1 - paddock.Rested
		if paddock.Rested == 0 {
			last[p] = -1 - g.Recovery[0]
		}
	}
	eaten, entered := 0.0, map[[2]int]bool{}
	for i, v := range plan.Visits {
		if v.Eaten <= 0 || v.To < v.From || g.Stay > 0 && v.To-v.From >= g.Stay {
			t.Fatalf("visit %+v", v)
		}
		eaten += v.Eaten
		for _, m := range plan.Mowings {
			if m.Paddock == v.Paddock && m.Day < v.From && m.Day > last[v.Paddock] {
				last[v.Paddock] = m.Day
			}
			if m.Paddock == v.Paddock && m.Day >= v.From && m.Day <= v.To {
				t.Fatalf("%+v is cut on day %d", v, m.Day)
			}
		}
		if rest := v.From - last[v.Paddock] - 1; rest < g.Recovery[v.From] {
			t.Fatalf("%+v is entered after %d days of rest", v, rest)
		}
		for _, w := range plan.Visits[:i] {
			if w.Paddock == v.Paddock && w.From <= v.To && v.From <= w.To {
				t.Fatalf("%+v and %+v share a paddock", v, w)
			}
		}
		last[v.Paddock] = v.To
		for d := v.From; d <= v.To; d++ {
			if in := g.Herds[v.Herd].In; in != nil && in[d] {
				t.Fatalf("%+v: the herd is housed on day %d", v, d)
			}
			if open := g.Paddocks[v.Paddock].Open; open != nil && !open[d] {
				t.Fatalf("%+v: the paddock is shut on day %d", v, d)
			}
		}
		entered[[2]int{v.Herd, v.From}] = true
	}
	before, after := 0.0, 0.0
	for p, paddock := range g.Paddocks {
		before += paddock.Cover * paddock.Area
		for d, covers := range plan.Covers {
			if covers[p] < g.Residual-1e-6 {
				t.Fatalf("%s has %g kg/ha on day %d", paddock.Name, covers[p], d)
			}
			if covers[p] > math.Max(g.Ceiling, paddock.Cover)+1e-6 {
				t.Fatalf("%s has %g kg/ha on day %d", paddock.Name, covers[p], d)
			}
		}
		after += plan.Covers[len(plan.Covers)-1][p] * paddock.Area
	}
	hay := 0.0
	for _, m := range plan.Mowings {
		hay += m.Hay
	}
	near(t, "grass that came and went", before+plan.Grown, after+eaten+hay+plan.Trodden, 1e-6*before)
	near(t, "hay", g.Barn+hay, total(plan.Fed)+plan.Barn, 1e-6*(1+g.Barn+hay))
	near(t, "what the visits ate", eaten, total(plan.Grazed), 1e-6)
	for d := range g.Growth {
		need := 0.0
		for _, h := range g.Herds {
			need += h.Need[d]
		}
		near(t, fmt.Sprint("feed of day ", d), plan.Grazed[d]+plan.Fed[d]+plan.Bought[d], need, 1e-6)
	}
}

func whole(n, each int) []int {
	x := make([]int, n)
	for i := range x {
		x[i] = each
	}
	return x
}

// By pencil: two paddocks of a hectare, one herd on 100 kg a day, no growth. 1,000
// kg above the residual, of which 80 % are eaten, make eight days on each; then
// hay: 300 kg in the barn, the rest bought.
func TestGrassByPencil(t *testing.T) {
	g := Grass{
		Paddocks: []Paddock{{Name: "A", Area: 1, Cover: 2500, Growth: 1}, {Name: "B", Area: 1, Cover: 2490, Growth: 1}},
		Herds:    []Herd{{Name: "Cows", Need: flat(20, 100)}},
		Growth:   flat(20, 0), Recovery: whole(20, 10), Residual: 1500, Ceiling: 4000, Used: 0.8, Made: 0.7, Barn: 300,
	}
	plan := g.Plan()
	kept(t, g, plan)
	// B has 990 * 80 % = 792: the eighth day's last 8 kg are hay.
	want := []Visit{{0, 0, 0, 7, 800}, {0, 1, 8, 14, 700}}
	if fmt.Sprint(plan.Visits[:2]) != fmt.Sprint(want) {
		t.Errorf("visits %v, want %v", plan.Visits, want)
	}
	near(t, "hay fed", total(plan.Fed), 300, 1e-9)
	near(t, "hay bought", total(plan.Bought), 2000-800-700-300, 1e-9)
	near(t, "trodden", plan.Trodden, 1500/0.8-1500, 1e-9)

	// What is not told to have rested for less has rested enough for the first day,
	// and one day less than enough is not.
	g.Recovery[0] = 40
	if plan := g.Plan(); plan.Visits[0].From != 0 {
		t.Errorf("grazing begins on day %d", plan.Visits[0].From)
	}
	g.Paddocks[0].Rested, g.Paddocks[1].Rested = 39, 39
	if plan := g.Plan(); plan.Visits[0].From != 1 {
		t.Errorf("rested for 39 days of 40, grazing begins on day %d", plan.Visits[0].From)
	}
	g.Recovery[0], g.Paddocks[0].Rested, g.Paddocks[1].Rested = 10, 0, 0

	// A stay of three days: the rest of A waits its recovery of ten days.
	g.Stay = 3
	plan = g.Plan()
	kept(t, g, plan)
	if got := fmt.Sprint(plan.Visits); got != fmt.Sprint([]Visit{{0, 0, 0, 2, 300}, {0, 1, 3, 5, 300}, {0, 0, 13, 15, 300}, {0, 1, 16, 18, 300}}) {
		t.Errorf("with stays of three days: %v", got)
	}

	// Two herds: the first takes the taller paddock, the second the other one; a
	// paddock that is shut waits.
	g.Herds = append(g.Herds, Herd{Name: "Ewes", Need: flat(20, 50)})
	plan = g.Plan()
	kept(t, g, plan)
	if v := plan.Visits; v[0].Paddock != 0 || v[1].Paddock != 1 || v[1].Herd != 1 || v[1].From != 0 {
		t.Errorf("two herds: %v", v)
	}
	g.Paddocks[0].Open = make([]bool, 20)
	g.Herds[1].In = make([]bool, 20)
	g.Herds[1].In[0] = true
	plan = g.Plan()
	kept(t, g, plan)
	if v := plan.Visits; v[0].Paddock != 1 || v[0].Herd != 0 {
		t.Errorf("with A shut: %v", v)
	}
}

// By pencil: no herd, growth of 50 kg a day from 2,000: on day 9 it reaches the
// 2,500 at which it is cut, and 70 % of the 1,000 kg come in.
func TestHayMaking(t *testing.T) {
	g := Grass{
		Paddocks: []Paddock{{Name: "A", Area: 2, Cover: 2000, Growth: 1, Hay: true}},
		Growth:   flat(12, 50), Recovery: whole(12, 21), Residual: 1500, Ceiling: 4000, Used: 0.8, Made: 0.7, CutAt: 2500,
	}
	plan := g.Plan()
	kept(t, g, plan)
	if len(plan.Mowings) != 1 || plan.Mowings[0].Day != 9 {
		t.Fatalf("mown %v", plan.Mowings)
	}
	near(t, "hay", plan.Mowings[0].Hay, 1400, 1e-9)
	near(t, "cover after two more days", plan.Covers[11][0], 1600, 1e-9)
	for name, change := range map[string]func(*Grass){
		"no day for it":      func(g *Grass) { g.Cut = make([]bool, 12) },
		"no hay on it":       func(g *Grass) { g.Paddocks = []Paddock{{Area: 2, Cover: 2000, Growth: 1}} },
		"never cut":          func(g *Grass) { g.CutAt = 0 },
		"the herd's reserve": func(g *Grass) { g.Herds = []Herd{{Need: flat(12, 50)}}; g.Reserve = 40 },
	} {
		with := g
		change(&with)
		if plan := with.Plan(); len(plan.Mowings) != 0 {
			t.Errorf("%s: mown %v", name, plan.Mowings)
		}
	}
	// The ceiling ends growth.
	g.CutAt, g.Ceiling = 0, 2120
	plan = g.Plan()
	kept(t, g, plan)
	near(t, "cover at the ceiling", plan.Covers[11][0], 2120, 1e-9)
	near(t, "grown", plan.Grown, 240, 1e-9)
}

// farm is a year of grass with a spring flush, as the demo's climate has it.
func farm(r *rand.Rand, herds, paddocks int) Grass {
	monthly := []float64{2, 4, 11, 27, 48, 43, 33, 30, 24, 13, 6, 3}
	g := Grass{Stay: r.IntN(5), Residual: 1500, Ceiling: 4000, Used: 0.85, CutAt: 3000, Made: 0.7, Reserve: 20, Barn: 5000 * r.Float64()}
	for d := range 365 {
		month := min(11, d*12/365)
		g.Growth = append(g.Growth, monthly[month])
		g.Recovery = append(g.Recovery, 18+r.IntN(2)+month)
		g.Cut = append(g.Cut, month >= 4 && month <= 8)
	}
	for p := range paddocks {
		g.Paddocks = append(g.Paddocks, Paddock{
			Name: fmt.Sprint(p), Area: 0.3 + r.Float64(), Cover: 1500 + 1200*r.Float64(), Growth: 0.8 + 0.4*r.Float64(),
			Hay: p%2 == 0, Rested: r.IntN(30),
		})
	}
	for h := range herds {
		herd := Herd{Name: fmt.Sprint(h), In: make([]bool, 365)}
		need := (20 + 60*r.Float64()) * float64(paddocks) / float64(8*herds)
		for d := range 365 {
			herd.Need = append(herd.Need, need)
			herd.In[d] = h%2 == 0 && (d < 90 || d > 310)
		}
		g.Herds = append(g.Herds, herd)
	}
	return g
}

func TestGrassKeepsItsRules(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 17))
	moved, cut := 0, 0
	for range 60 {
		g := farm(r, 1+r.IntN(4), 4+r.IntN(16))
		plan := g.Plan()
		kept(t, g, plan)
		moved, cut = moved+len(plan.Visits), cut+len(plan.Mowings)
		dry := g.Drier(0.3)
		near(t, "growth in May", dry.Growth[130], g.Growth[130]*0.7, 1e-12)
		drought := dry.Plan()
		kept(t, dry, drought)
		if drought.Grown >= plan.Grown {
			t.Errorf("in a drought %g kg grow, else %g", drought.Grown, plan.Grown)
		}
	}
	if moved < 1000 || cut < 20 {
		t.Errorf("%d visits and %d mowings are no test", moved, cut)
	}
}

// Grass wedge of an Irish farm paper: 3 livestock units on a hectare, 18 kg, 21
// days and 150 kg left make 1,284 kg to enter at; eight paddocks.
func TestWedge(t *testing.T) {
	steps := Wedge([]float64{160, 1350, 1150, 480, 830, 640, 1010, 310}, 1284, 150)
	sum := 0.0
	for i, want := range []Step{{1, 1350, 1284}, {2, 1150, 1122}, {6, 1010, 960}, {4, 830, 798}, {5, 640, 636}, {3, 480, 474}, {7, 310, 312}, {0, 160, 150}} {
		if steps[i].Paddock != want.Paddock || steps[i].Cover != want.Cover {
			t.Errorf("step %d is %+v, want %+v", i, steps[i], want)
		}
		near(t, fmt.Sprint("line of step ", i), steps[i].Line, want.Line, 0.05)
		sum += steps[i].Line
	}
	near(t, "mean of the line", sum/8, 717, 0.05)
	if even := Wedge([]float64{5, 9, 5}, 9, 1); even[0].Paddock != 1 || even[1].Paddock != 0 || even[2].Paddock != 2 {
		t.Errorf("paddocks alike are ordered %v", even)
	}
	if one := Wedge([]float64{900}, 1284, 150); one[0].Line != 1284 {
		t.Errorf("one paddock: %v", one)
	}
}

// By pencil: July grows for four fifths of the stock, June for all of it and a
// quarter more; nothing is grazed in January, and nothing grows.
func TestBears(t *testing.T) {
	times, worst := Bears([]float64{0, 1250, 800}, []float64{0, 1000, 1000})
	if times != 0.8 || worst != 2 {
		t.Errorf("month %d bears %g", worst, times)
	}
	if _, worst := Bears([]float64{2, 1, 1}, []float64{1, 1, 1}); worst != 1 {
		t.Errorf("of two months alike the later is named, %d", worst)
	}
	if times, _ := Bears([]float64{1}, []float64{0}); !math.IsInf(times, 1) {
		t.Errorf("without stock %g", times)
	}
}

func BenchmarkGrass(b *testing.B) {
	g := farm(rand.New(rand.NewPCG(6, 17)), 8, 60)
	for b.Loop() {
		g.Plan()
	}
}
