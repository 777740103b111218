package risk

import (
	"errors"
	"math"
	"testing"
)

// The published programs of farm plans, each with the name of its source.
var published = []struct {
	name   string
	p      Program
	gain   float64
	x      []float64
	worth  map[int]float64
	source string
}{
	{"P1", Program{Gain: []float64{40, 30}, Rows: []Row{
		{Name: "land", Coefficients: []float64{1, 1}, Limit: 240}, {Name: "labour", Coefficients: []float64{2, 1}, Limit: 320}}},
		8000, []float64{80, 160}, map[int]float64{0: 20, 1: 10}, "business-mathematics textbook exercise, corn and oats"},
	{"P2", Program{Gain: []float64{80, 100}, Rows: []Row{
		{Name: "land", Coefficients: []float64{1, 1}, Limit: 100}, {Name: "labour", Coefficients: []float64{4, 16}, Limit: 800},
		{Name: "capital", Coefficients: []float64{20, 40}, Limit: 2400}}},
		8400, []float64{80, 20}, map[int]float64{0: 60, 1: 0, 2: 1}, "school exercise, wheat and corn"},
	{"P3", Program{Gain: []float64{150, 200, -10}, Rows: []Row{
		{Name: "land", Coefficients: []float64{1, 1, 0}, Limit: 45}, {Name: "hours", Coefficients: []float64{6, 10, -1}, Limit: 0},
		{Name: "hire", Coefficients: []float64{0, 0, 1}, Limit: 350}, {Name: "wheat", Coefficients: []float64{5, 0, 0}, Limit: 140},
		{Name: "corn", Coefficients: []float64{0, 4, 0}, Limit: 120}}},
		4250, []float64{25, 20, 350}, map[int]float64{0: 75, 1: 12.5}, "operations-research textbook exercise, hired labour"},
	{"P4", Program{Gain: []float64{30, 100}, Rows: []Row{
		{Coefficients: []float64{1, 1}, Limit: 7}, {Coefficients: []float64{4, 10}, Limit: 40}, {Coefficients: []float64{10, 0}, Sense: AtLeast, Limit: 30}}},
		370, []float64{3, 2.8}, nil, "operations-research textbook exercise, minimum crop"},
	// acres of wheat, corn, beet; bought wheat, corn; sold wheat, corn, beet to
	// the quota, beet beyond it.
	{"P5", sugarBeet(1), 118600, []float64{120, 80, 300, 0, 0, 100, 0, 6000, 0}, map[int]float64{0: 275},
		"Birge and Louveaux, Introduction to Stochastic Programming, section 1.1"},
	{"P6", sugarBeet(0.8), 59950, []float64{100, 25, 375}, nil, "as P5, yields times 0.8"},
	{"P7", sugarBeet(1.2), 167666.0 + 2./3, []float64{183 + 1./3, 66 + 2./3, 250}, nil, "as P5, yields times 1.2"},
}

func sugarBeet(yield float64) Program {
	return Program{Gain: []float64{-150, -230, -260, -238, -210, 170, 150, 36, 10}, Rows: []Row{
		{Name: "land", Coefficients: []float64{1, 1, 1, 0, 0, 0, 0, 0, 0}, Limit: 500},
		{Name: "wheat", Coefficients: []float64{2.5 * yield, 0, 0, 1, 0, -1, 0, 0, 0}, Sense: AtLeast, Limit: 200},
		{Name: "corn", Coefficients: []float64{0, 3 * yield, 0, 0, 1, 0, -1, 0, 0}, Sense: AtLeast, Limit: 240},
		{Name: "beet", Coefficients: []float64{0, 0, -20 * yield, 0, 0, 0, 0, 1, 1}, Limit: 0},
		{Name: "quota", Coefficients: []float64{0, 0, 0, 0, 0, 0, 0, 1, 0}, Limit: 6000},
	}}
}

func TestPublishedPlans(t *testing.T) {
	for _, test := range published {
		t.Run(test.name, func(t *testing.T) {
			got, err := test.p.Solve()
			if err != nil {
				t.Fatalf("%v (%s)", err, test.source)
			}
			if math.Abs(got.Gain-test.gain) > 1e-4 {
				t.Errorf("gain %.6f, want %.6f (%s)", got.Gain, test.gain, test.source)
			}
			for j, want := range test.x {
				if math.Abs(got.X[j]-want) > 1e-4 {
					t.Errorf("x[%d] = %.6f, want %.6f (%s)", j, got.X[j], want, test.source)
				}
			}
			for row, want := range test.worth {
				worth, err := test.p.Worth(row)
				if err != nil || math.Abs(worth-want) > 1e-4 {
					t.Errorf("one more of %s is worth %.6f, %v; want %.6f (%s)", test.p.Rows[row].Name, worth, err, want, test.source)
				}
			}
		})
	}
}

func TestNoPlan(t *testing.T) {
	p := published[0].p
	p.Rows = append(append([]Row{}, p.Rows...), Row{Coefficients: []float64{1, 0}, Sense: AtLeast, Limit: 200})
	if _, err := p.Solve(); !errors.Is(err, ErrInfeasible) {
		t.Errorf("P10, 200 acres of corn need 400 hours of 320: %v, want %v", err, ErrInfeasible)
	}
	p = Program{Gain: []float64{1, 0}, Rows: []Row{{Coefficients: []float64{-1, 1}, Limit: 3}}}
	if _, err := p.Solve(); !errors.Is(err, ErrUnbounded) {
		t.Errorf("nothing bounds the first variable: %v, want %v", err, ErrUnbounded)
	}
}
