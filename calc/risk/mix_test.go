package risk

import (
	"fmt"
	"math"
	"math/rand"
	"slices"
	"testing"

	"rickyard/calc/linear/lineartest"
)

// randomFarm is a made farm: enterprises with stepped gains and uses.
func randomFarm(r *rand.Rand, enterprises, steps, resources int) *Choice {
	c := &Choice{}
	for i := range resources {
		resource := Resource{Name: fmt.Sprintf("r%d", i), Limit: math.Round(50 + 150*r.Float64())}
		if r.Intn(4) == 0 {
			resource.Price, resource.Most = 5+10*r.Float64(), 40
		}
		c.Resources = append(c.Resources, resource)
	}
	for range enterprises {
		var offers []Offer
		gain, fixed := 5+20*r.Float64(), 40*r.Float64()
		uses := make([]float64, resources)
		for k := range uses {
			if r.Intn(3) > 0 {
				uses[k] = 1 + 9*r.Float64()
			}
		}
		for s := 1; s <= steps; s++ {
			o := Offer{Scale: float64(s), Uses: make([]float64, resources)}
			// A new building every third step makes the gain uneven.
			o.Gain = math.Round((gain*float64(s)-fixed*float64((s+2)/3)/2)*100) / 100
			for k, u := range uses {
				o.Uses[k] = math.Round(u*math.Pow(float64(s), 0.9)*100) / 100
			}
			offers = append(offers, o)
		}
		c.Offers = append(c.Offers, offers)
	}
	return c
}

// GLPK (Debian's glpk-utils) is an independent solver.
func TestMixAgainstGLPK(t *testing.T) {
	r := rand.New(rand.NewSource(26))
	for n := range 40 {
		c := randomFarm(r, 2+r.Intn(8), 1+r.Intn(10), 2+r.Intn(12))
		mix, err := c.Best(searchSteps)
		if err != nil {
			t.Fatalf("farm %d: %v", n, err)
		}
		want, err := lineartest.GLPK(t, &c.written().program)
		if err != nil {
			t.Fatalf("farm %d: GLPK: %v", n, err)
		}
		if math.Abs(mix.Gain-want) > 1e-5*math.Max(1, math.Abs(want)) {
			t.Errorf("farm %d: gain %.6f, GLPK finds %.6f", n, mix.Gain, want)
		}
	}
}

// Every mix of a small farm, one by one.
func TestMixAgainstAll(t *testing.T) {
	r := rand.New(rand.NewSource(7))
	for n := range 60 {
		c := randomFarm(r, 1+r.Intn(4), 1+r.Intn(6), 1+r.Intn(5))
		mix, err := c.Best(searchSteps)
		if err != nil {
			t.Fatalf("farm %d: %v", n, err)
		}
		if want := c.tryAll(0, make([]int, len(c.Offers))); math.Abs(mix.Gain-want) > 1e-6*math.Max(1, want) {
			t.Errorf("farm %d: gain %.6f, the best of all is %.6f", n, mix.Gain, want)
		}
		if mix.Gain > mix.Bound+1e-6*math.Max(1, mix.Bound) {
			t.Errorf("farm %d: gain %.6f is above its bound %.6f", n, mix.Gain, mix.Bound)
		}
	}
}

func (c *Choice) tryAll(e int, chosen []int) float64 {
	if e == len(c.Offers) {
		gain := 0.0
		used := make([]float64, len(c.Resources))
		for k, o := range chosen {
			if o == 0 {
				continue
			}
			gain += c.Offers[k][o-1].Gain
			for r, u := range c.Offers[k][o-1].Uses {
				used[r] += u
			}
		}
		for r, resource := range c.Resources {
			if short := used[r] - resource.Limit; short > 1e-9 {
				if short > resource.Most+1e-9 {
					return math.Inf(-1)
				}
				gain -= short * resource.Price
			}
		}
		return gain
	}
	best := math.Inf(-1)
	for o := 0; o <= len(c.Offers[e]); o++ {
		chosen[e] = o
		best = math.Max(best, c.tryAll(e+1, chosen))
	}
	chosen[e] = 0
	return best
}

// valley is a farm of so many varied enterprises: hours by month with help to hire,
// three kinds of land in every month, capital, and ways of selling.
func valley(r *rand.Rand, enterprises int) *Choice {
	c := &Choice{}
	for m := range 12 {
		c.Resources = append(c.Resources, Resource{Name: fmt.Sprintf("hours %d", m), Limit: 320 + float64(r.Intn(40)), Price: 15, Most: 80})
	}
	for k := range 3 {
		for m := range 12 {
			c.Resources = append(c.Resources, Resource{Name: fmt.Sprintf("land %d, %d", k, m), Limit: []float64{72, 9, 26}[k]})
		}
	}
	c.Resources = append(c.Resources, Resource{Name: "capital", Limit: 64_000})
	for k := range 8 {
		c.Resources = append(c.Resources, Resource{Name: fmt.Sprintf("channel %d", k), Limit: 9_000 + float64(r.Intn(50_000))})
	}
	for range enterprises {
		steps, season, length, land := 20+r.Intn(180), r.Intn(12), 3+r.Intn(10), r.Intn(4)
		takings := (200 + 2000*r.Float64()) * 60 / float64(steps)
		margin, hours, area := 0.2+0.4*r.Float64(), takings/(20+60*r.Float64()), takings*r.Float64()*0.004
		house, places, each := 500+5000*r.Float64(), 1+steps/(2+r.Intn(4)), takings*0.3*r.Float64()
		first, second := r.Intn(8), r.Intn(8)
		var offers []Offer
		for s := 1; s <= steps; s++ {
			n, houses := float64(s), float64((s+places-1)/places)
			o := Offer{Scale: n, Gain: takings*n*margin - house*houses/10, Uses: make([]float64, len(c.Resources))}
			for m := season; m < season+length; m++ {
				o.Uses[m%12] += hours*n/float64(length) + 4*math.Sqrt(n)
				if land < 3 {
					o.Uses[12+12*land+m%12] += area * n
				}
			}
			o.Uses[48] = house*houses + each*n
			o.Uses[49+first] += takings * n * 0.6
			o.Uses[49+second] += takings * n * 0.4
			offers = append(offers, o)
		}
		c.Offers = append(c.Offers, offers)
	}
	return c
}

// search is the work that the best mix of some farms takes, farm by farm, and how
// many of them are proven.
func search(t testing.TB, farms int, farm func(r *rand.Rand) *Choice) (steps, nodes []float64, proven int) {
	t.Helper()
	for seed := range farms {
		m, err := farm(rand.New(rand.NewSource(int64(seed)))).Best(searchSteps)
		if err != nil {
			t.Fatal(err)
		}
		if m.Gap == 0 {
			proven++
		}
		steps, nodes = append(steps, float64(m.Work.Steps)), append(nodes, float64(m.Work.Nodes))
	}
	slices.Sort(steps)
	slices.Sort(nodes)
	return steps, nodes, proven
}

// Three times the enterprises are at most ten times the work, on the median farm: a
// few farms are hard.
func TestWorkGrowsSlowly(t *testing.T) {
	small, smallNodes, _ := search(t, 5, func(r *rand.Rand) *Choice { return valley(r, 13) })
	large, largeNodes, proven := search(t, 5, func(r *rand.Rand) *Choice { return valley(r, 39) })
	t.Logf("steps with 13 enterprises %v, with 39 %v", small, large)
	if large[2] > 10*small[2] || largeNodes[2] > 10*smallNodes[2] || proven < 5 {
		t.Errorf("39 enterprises take %v steps, 13 take %v; %d of 5 proven", large, small, proven)
	}
}

func TestMostFarmsOf39AreProven(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	if steps, _, proven := search(t, 20, func(r *rand.Rand) *Choice { return randomFarm(r, 39, 10, 30) }); proven < 18 {
		t.Errorf("%d of 20 farms proven, in %v steps", proven, steps)
	}
}

// Equal enterprises are one to the search, and share out what it finds.
func TestEqualEnterprises(t *testing.T) {
	r := rand.New(rand.NewSource(4))
	for n := range 20 {
		c := randomFarm(r, 2, 1+r.Intn(4), 1+r.Intn(4))
		c.Offers = append(c.Offers, c.Offers[1], c.Offers[0], c.Offers[1])
		mix, err := c.Best(searchSteps)
		if err != nil {
			t.Fatal(err)
		}
		if want := c.tryAll(0, make([]int, 5)); math.Abs(mix.Gain-want) > 1e-6*math.Max(1, want) {
			t.Errorf("farm %d: gain %.6f, the best of all is %.6f", n, mix.Gain, want)
		}
		if got := mix.Chosen; got[0] < got[3] || got[1] < got[2] || got[2] < got[4] {
			t.Errorf("farm %d: chosen %v; of equal enterprises the first should be the largest", n, got)
		}
	}
	c := randomFarm(r, 13, 10, 30)
	alone, err := c.Best(searchSteps)
	if err != nil {
		t.Fatal(err)
	}
	thrice := &Choice{Resources: c.Resources, Offers: slices.Concat(c.Offers, c.Offers, c.Offers)}
	mix, err := thrice.Best(searchSteps)
	if err != nil || mix.Gap != 0 || mix.Work.Steps > 10*alone.Work.Steps {
		t.Errorf("%v: thirteen take %+v, three times the same %+v, gap %g", err, alone.Work, mix.Work, mix.Gap)
	}
	one := &Choice{Resources: c.Resources}
	for range 40 {
		one.Offers = append(one.Offers, c.Offers[0])
	}
	if mix, err := one.Best(searchSteps); err != nil || mix.Gap != 0 || mix.Work.Steps > 500 {
		t.Errorf("%v: forty times the same take %+v, gap %g", err, mix.Work, mix.Gap)
	}
}

// What a mix tells of itself holds: it keeps within the resources, and its gain is
// that of its offers less what it buys.
func TestMixAddsUp(t *testing.T) {
	c := valley(rand.New(rand.NewSource(2)), 26)
	for r := range c.Resources {
		c.Wanted = append(c.Wanted, []int{r})
	}
	for _, steps := range []int{searchSteps, 60} {
		mix, err := c.Best(steps)
		if err != nil {
			t.Fatal(err)
		}
		if proven := steps == searchSteps; proven != (mix.Gap == 0) || mix.Gain+mix.Gap > mix.Bound*(1+1e-6) {
			t.Errorf("after %+v: gain %g, gap %g, bound %g", mix.Work, mix.Gain, mix.Gap, mix.Bound)
		}
		gain, used := 0.0, make([]float64, len(c.Resources))
		for e, o := range mix.Chosen {
			if o >= 0 {
				gain += c.Offers[e][o].Gain
				for r, use := range c.Offers[e][o].Uses {
					used[r] += use
				}
			}
		}
		worth := 0
		for r, resource := range c.Resources {
			if math.Abs(used[r]-mix.Used[r]) > 1e-6 || mix.Bought[r] > resource.Most || used[r] > resource.Limit+mix.Bought[r]+1e-6 ||
				mix.Bought[r] > math.Max(0, used[r]-resource.Limit)+1e-6 {
				t.Errorf("%s: used %g of %g and %g bought; told %g", resource.Name, used[r], resource.Limit, mix.Bought[r], mix.Used[r])
			}
			gain -= mix.Bought[r] * resource.Price
			if mix.Worth[r] < 0 {
				t.Errorf("%s: one more is worth %g", resource.Name, mix.Worth[r])
			}
			if mix.Worth[r] > 0 {
				worth++
			}
		}
		if math.Abs(gain-mix.Gain) > 1e-6 || worth == 0 {
			t.Errorf("gain %g, its parts come to %g; %d resources are worth something", mix.Gain, gain, worth)
		}
	}
}

// An offer that is no number, or that nothing can bear, is none.
func TestOffersThatDoNotFit(t *testing.T) {
	c := &Choice{Resources: []Resource{{Limit: 10, Price: 1, Most: 5}}, Offers: [][]Offer{
		{{Gain: 4, Uses: []float64{4}}, {Gain: math.NaN(), Uses: []float64{1}}, {Gain: math.Inf(1), Uses: []float64{1}}, {Gain: 9, Uses: []float64{12}}, {Gain: 90, Uses: []float64{16}}},
		{{Gain: 80, Uses: []float64{math.NaN()}}, {Gain: 80, Uses: []float64{math.Inf(-1)}}},
		{},
	}}
	mix, err := c.Best(searchSteps)
	if err != nil || mix.Gain != 7 || !slices.Equal(mix.Chosen, []int{3, -1, -1}) || mix.Bought[0] != 2 {
		t.Errorf("%v: %+v; want the fourth offer for 9, less 2 bought", err, mix)
	}
	// What another enterprise adds makes room.
	c.Offers[1] = []Offer{{Gain: -30, Uses: []float64{-1}}}
	if mix, err = c.Best(searchSteps); err != nil || mix.Gain != 55 || !slices.Equal(mix.Chosen, []int{4, 0, -1}) {
		t.Errorf("%v: %+v; want the fifth offer for 90, less 30 and 5 bought", err, mix)
	}
}

// BenchmarkMix counts the work of the best mix on the median of eleven farms: varied
// ones, random ones, and those whose enterprises are three times the same thirteen.
func BenchmarkMix(b *testing.B) {
	for _, farm := range []struct {
		name string
		made func(r *rand.Rand) *Choice
	}{
		{"13varied", func(r *rand.Rand) *Choice { return valley(r, 13) }},
		{"26varied", func(r *rand.Rand) *Choice { return valley(r, 26) }},
		{"39varied", func(r *rand.Rand) *Choice { return valley(r, 39) }},
		{"50varied", func(r *rand.Rand) *Choice { return valley(r, 50) }},
		{"39identical", func(r *rand.Rand) *Choice {
			c := valley(r, 13)
			c.Offers = slices.Concat(c.Offers, c.Offers, c.Offers)
			return c
		}},
		{"13random", func(r *rand.Rand) *Choice { return randomFarm(r, 13, 10, 30) }},
		{"39random", func(r *rand.Rand) *Choice { return randomFarm(r, 39, 10, 30) }},
	} {
		b.Run(farm.name, func(b *testing.B) {
			for b.Loop() {
				steps, nodes, proven := search(b, 11, farm.made)
				b.ReportMetric(steps[5], "steps")
				b.ReportMetric(steps[10], "most-steps")
				b.ReportMetric(nodes[5], "nodes")
				b.ReportMetric(100*float64(proven)/11, "%proven")
			}
		})
	}
}
