package plan_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"rickyard/calc/figures"
)

// varied are figures to set otherwise: all numbers that the farm's data gives,
// and with timings also when its lines fall.
func (b *books) varied(timings bool) []*figures.Figure {
	var all []*figures.Figure
	timing := regexp.MustCompile(`_cycle\.(first|every|number)$|\.(lag|every|day|from|to)$`)
	for _, f := range b.All() {
		if strings.HasSuffix(f.Name, ".every") && f.IsInput() {
			continue // of a loan, which is not paid less often than once a year
		}
		if f.IsInput() && f.Unit.IsDate() && !timings {
			continue
		}
		if f.IsInput() && !strings.HasPrefix(f.Name, "plan.") || timings && strings.HasPrefix(f.Name, "e") && timing.MatchString(f.Name) {
			all = append(all, f)
		}
	}
	return all
}

// shaken is a value that is otherwise, by a month or two where it is a time.
func shaken(r *rand.Rand, f *figures.Figure, x float64) float64 {
	if f.Formula != nil {
		return x * float64(1+r.IntN(3)) / 2
	}
	return x * (0.5 + r.Float64())
}

// Cases side by side are those worked out one by one, to the bit, in every month
// of every figure of the plan: with the money otherwise alone, and with what says
// when it falls otherwise too.
func TestLanesAreThePlan(t *testing.T) {
	n := 60
	if testing.Short() {
		n = 20
	}
	const width = 5
	for seed := range n {
		r := rand.New(rand.NewPCG(uint64(seed), 3))
		b := randomFarm(r).build(t)
		set := b.varied(seed%2 == 1)
		var want []*figures.Figure
		for _, f := range b.All() {
			if strings.HasPrefix(f.Name, "plan.") && !f.Text && !f.IsInput() {
				want = append(want, f)
			}
		}
		cone := b.NewCone(set, want, true)
		lanes := cone.Lanes(b.Base(), width)
		drawn := make([][width]float64, len(set))
		for i, f := range set {
			for l := range width {
				drawn[i][l] = shaken(r, f, f.Current())
				for m := range max(1, f.Type.Len) {
					lanes.Lane(f, m)[l] = drawn[i][l]
				}
			}
		}
		cone.Run(lanes)
		for l := range width {
			v := b.Base().Clone()
			for i, f := range set {
				v.Set(f, drawn[i][l])
			}
			v.Run()
			for _, f := range want {
				for m := range max(1, f.Type.Len) {
					got, one := lanes.Lane(f, m)[l], v.At(f, m)
					if math.Float64bits(got) != math.Float64bits(one) && (got == got || one == one) {
						t.Fatalf("farm %d, case %d: %s is %v in month %d, worked out by itself %v", seed, l, f.Name, got, m, one)
					}
				}
			}
			(&books{b.Graph, v, b.plan, t}).ties(fmt.Sprintf("farm %d, case %d", seed, l))
		}
		lanes.Free()
	}
}

// What is set and set back leaves every figure as it was.
func TestSetBack(t *testing.T) {
	b := evenFarm(2, 3).build(t)
	v := b.Base().Clone()
	size := b.figure("e0.size")
	before := b.of("plan.year3.profit")
	v.Set(size, 3*size.Current())
	v.Run()
	if v.Of(b.figure("plan.year3.profit")) == before {
		t.Error("the profit does not change with the scale")
	}
	v.Set(size, size.Current())
	v.Run()
	for _, f := range b.All() {
		for m := range max(1, f.Type.Len) {
			if got, want := v.At(f, m), b.Base().At(f, m); got != want && want == want {
				t.Errorf("%s is %v in month %d, it was %v", f.Name, got, m, want)
			}
		}
	}
}
