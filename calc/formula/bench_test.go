package formula_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/vm"
)

// The same expressions are run by our program on one case, by our program on
// 256 cases side by side, by a general-purpose expression VM, and as plain Go.
// Compare them within one run of
//
//	go test -run - -bench Formula ./calc/formula
//
// Inputs come from a table of cases, so that no compiler can work the result
// out beforehand.

type margin struct {
	Birds, Weight, Price, Feed, FeedPrice, Overheads float64
}

// Field order is that of the program's inputs.
var marginInputs = []string{"Birds", "Weight", "Price", "Feed", "FeedPrice", "Overheads"}

func (m margin) values() []float64 {
	return []float64{m.Birds, m.Weight, m.Price, m.Feed, m.FeedPrice, m.Overheads}
}

var benchmarks = []struct {
	name, ours, general string
	plain               func(m *margin) float64
}{
	{
		"margin",
		"Birds * Weight * Price - Birds * Feed * FeedPrice - Overheads",
		"Birds * Weight * Price - Birds * Feed * FeedPrice - Overheads",
		func(m *margin) float64 { return m.Birds*m.Weight*m.Price - m.Birds*m.Feed*m.FeedPrice - m.Overheads },
	},
	{
		"branch",
		"if(Birds * Weight > 500, Birds * Weight * Price, Birds * Weight * Price * 0.9) - max(Birds * Feed * FeedPrice, Overheads)",
		"(Birds * Weight > 500 ? Birds * Weight * Price : Birds * Weight * Price * 0.9) - max(Birds * Feed * FeedPrice, Overheads)",
		func(m *margin) float64 {
			sales := m.Birds * m.Weight * m.Price
			if m.Birds*m.Weight <= 500 {
				sales *= 0.9
			}
			return sales - max(m.Birds*m.Feed*m.FeedPrice, m.Overheads)
		},
	},
}

const cases = 256

func marginCases() []margin {
	random := rand.New(rand.NewPCG(3, 4))
	all := make([]margin, cases)
	for i := range all {
		all[i] = margin{
			Birds: 100 + 300*random.Float64(), Weight: 2 + random.Float64(), Price: 5 + 3*random.Float64(),
			Feed: 5 + random.Float64(), FeedPrice: 0.4 + 0.2*random.Float64(), Overheads: 500 + 500*random.Float64(),
		}
	}
	return all
}

var sink float64

func BenchmarkFormula(b *testing.B) {
	all := marginCases()
	inputs := map[string]string{}
	for _, name := range marginInputs {
		inputs[name] = ""
	}
	for _, bench := range benchmarks {
		p := compile(b, inputs, bench.ours)
		result := p.results[0].Slot
		frame := p.program.NewFrame()
		slots := make([]int, len(marginInputs))
		for i, name := range marginInputs {
			slots[i] = p.inputs[name]
		}
		general, err := expr.Compile(bench.general, expr.Env(margin{}))
		if err != nil {
			b.Fatal(err)
		}
		b.Run(bench.name+"/ours", func(b *testing.B) {
			b.ReportAllocs()
			for i := range b.N {
				m := &all[i%cases]
				frame[slots[0]], frame[slots[1]], frame[slots[2]] = m.Birds, m.Weight, m.Price
				frame[slots[3]], frame[slots[4]], frame[slots[5]] = m.Feed, m.FeedPrice, m.Overheads
				p.program.Run(frame, 0, p.program.Len())
				sink = frame[result]
			}
		})
		b.Run(bench.name+"/lanes", func(b *testing.B) {
			b.ReportAllocs()
			lanes := p.program.NewLanes(cases)
			for i := 0; i < b.N; i += cases {
				for l := range all {
					for s, x := range all[l].values() {
						lanes[slots[s]*cases+l] = x
					}
				}
				p.program.RunLanes(lanes, cases, 0, p.program.Len())
				sink = lanes[result*cases]
			}
		})
		b.Run(bench.name+"/plain", func(b *testing.B) {
			for i := range b.N {
				sink = bench.plain(&all[i%cases])
			}
		})
		b.Run(bench.name+"/general", func(b *testing.B) {
			b.ReportAllocs()
			environments := make([]any, cases) // boxed once: the VM is not charged for it
			for i := range all {
				environments[i] = all[i]
			}
			machine := vm.VM{}
			for i := range b.N {
				out, err := machine.Run(general, environments[i%cases])
				if err != nil {
					b.Fatal(err)
				}
				sink = out.(float64)
			}
		})
		for i := range all {
			out, err := expr.Run(general, all[i])
			if err != nil {
				b.Fatal(err)
			}
			for s, x := range all[i].values() {
				frame[slots[s]] = x
			}
			p.program.Run(frame, 0, p.program.Len())
			for _, x := range []float64{frame[result], bench.plain(&all[i])} {
				if math.Abs(x-out.(float64)) > 1e-9*math.Abs(x) {
					b.Fatalf("%s: the runners disagree: %v and %v", bench.name, x, out)
				}
			}
		}
	}
}

// BenchmarkFormulaSeries sums twelve months of sales less costs.
func BenchmarkFormulaSeries(b *testing.B) {
	type environment struct {
		Eggs         []float64
		Price, Costs float64
	}
	random := rand.New(rand.NewPCG(5, 6))
	all := make([]environment, cases)
	environments := make([]any, cases)
	for i := range all {
		all[i] = environment{Eggs: make([]float64, 12), Price: 2 + random.Float64(), Costs: 50 * random.Float64()}
		for m := range 12 {
			all[i].Eggs[m] = 100 * random.Float64()
		}
		environments[i] = all[i]
	}
	p := compile(b, map[string]string{"Eggs": "monthly ", "Price": "", "Costs": ""}, "sum(Eggs * Price - Costs)")
	frame := p.program.NewFrame()
	eggs, price, costs, result := p.inputs["Eggs"], p.inputs["Price"], p.inputs["Costs"], p.results[0].Slot
	b.Run("ours", func(b *testing.B) {
		b.ReportAllocs()
		for i := range b.N {
			e := &all[i%cases]
			copy(frame[eggs:eggs+12], e.Eggs)
			frame[price], frame[costs] = e.Price, e.Costs
			p.program.Run(frame, 0, p.program.Len())
			sink = frame[result]
		}
	})
	b.Run("lanes", func(b *testing.B) {
		b.ReportAllocs()
		lanes := p.program.NewLanes(cases)
		for i := 0; i < b.N; i += cases {
			for l := range all {
				for m, x := range all[l].Eggs {
					lanes[(eggs+m)*cases+l] = x
				}
				lanes[price*cases+l], lanes[costs*cases+l] = all[l].Price, all[l].Costs
			}
			p.program.RunLanes(lanes, cases, 0, p.program.Len())
			sink = lanes[result*cases]
		}
	})
	b.Run("plain", func(b *testing.B) {
		for i := range b.N {
			e := &all[i%cases]
			sum := 0.0
			for _, x := range e.Eggs {
				sum += x*e.Price - e.Costs
			}
			sink = sum
		}
	})
	b.Run("general", func(b *testing.B) {
		b.ReportAllocs()
		general, err := expr.Compile("sum(Eggs, # * Price - Costs)", expr.Env(environment{}))
		if err != nil {
			b.Fatal(err)
		}
		machine := vm.VM{}
		for i := range b.N {
			out, err := machine.Run(general, environments[i%cases])
			if err != nil {
				b.Fatal(err)
			}
			sink = out.(float64)
		}
	})
}
