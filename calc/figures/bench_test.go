package figures_test

import (
	"math/rand/v2"
	"testing"

	"rickyard/calc/figures"
)

// The farm of these has 5,000 figures, about ten times the demo farm's.
const large = 5000

func BenchmarkBuild(b *testing.B) {
	system := units(b)
	definitions := define(b, system, randomFarm(rand.New(rand.NewPCG(1, 7)), large))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := figures.Build(system, 3, definitions); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkOverride sets one input and works out what depends on it; beside it,
// the same for all figures.
func BenchmarkOverride(b *testing.B) {
	g := mustBuild(b, randomFarm(rand.New(rand.NewPCG(1, 7)), large))
	var few *figures.Figure
	for _, f := range g.All() {
		if !f.IsInput() {
			continue
		}
		if n := len(dependents(g, f)); n >= 10 && n <= 30 {
			few = f
			break
		}
	}
	if few == nil {
		b.Fatal("no input has between 10 and 30 dependents")
	}
	inputs := map[string][]*figures.Figure{"few": {few}}
	for _, f := range g.All() {
		if f.IsInput() {
			inputs["all"] = append(inputs["all"], f)
		}
	}
	for _, name := range []string{"few", "all"} {
		b.Run(name, func(b *testing.B) {
			v := g.Base().Clone()
			b.ReportAllocs()
			for x := 1.0; b.Loop(); x++ {
				for _, f := range inputs[name] {
					v.Set(f, x)
				}
				v.Run()
			}
			b.ReportMetric(float64(len(dependents(g, inputs[name]...))), "dependents")
		})
	}
}
