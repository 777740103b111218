package risk

import (
	"fmt"
	"math"
	"math/rand"
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

// BenchmarkMix shows how the search for the mix grows as enterprises and steps double.
func BenchmarkMix(b *testing.B) {
	for _, size := range []struct{ enterprises, steps int }{{6, 10}, {12, 10}, {12, 20}, {24, 10}} {
		b.Run(fmt.Sprintf("%dx%d", size.enterprises, size.steps), func(b *testing.B) {
			c := randomFarm(rand.New(rand.NewSource(3)), size.enterprises, size.steps, 30)
			for b.Loop() {
				if _, err := c.Best(searchSteps); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
