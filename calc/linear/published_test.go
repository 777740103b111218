package linear

import (
	"errors"
	"math"
	"testing"
)

// dense writes a program whose variables run from 0 and whose rows give a number
// for each of them.
func dense(gain []float64, rows ...denseRow) *Program {
	p := &Program{}
	for _, g := range gain {
		p.Variables = append(p.Variables, Variable{Gain: g, Most: math.Inf(1)})
	}
	for _, r := range rows {
		row := Row{Sense: r.sense, Limit: r.limit}
		for j, c := range r.terms {
			row.Terms = append(row.Terms, Term{j, c})
		}
		p.Rows = append(p.Rows, row)
	}
	return p
}

type denseRow struct {
	terms []float64
	sense Sense
	limit float64
}

func cornAndOats() *Program {
	return dense([]float64{40, 30}, denseRow{[]float64{1, 1}, AtMost, 240}, denseRow{[]float64{2, 1}, AtMost, 320})
}

func sugarBeet(yield float64) *Program {
	p := dense([]float64{-150, -230, -260, -238, -210, 170, 150, 36, 10},
		denseRow{[]float64{1, 1, 1, 0, 0, 0, 0, 0, 0}, AtMost, 500},
		denseRow{[]float64{2.5 * yield, 0, 0, 1, 0, -1, 0, 0, 0}, AtLeast, 200},
		denseRow{[]float64{0, 3 * yield, 0, 0, 1, 0, -1, 0, 0}, AtLeast, 240},
		denseRow{[]float64{0, 0, -20 * yield, 0, 0, 0, 0, 1, 1}, AtMost, 0})
	p.Variables[7].Most = 6000 // the quota
	return p
}

// The published programs of farm plans, each with the name of its source.
var published = []struct {
	name   string
	p      *Program
	gain   float64
	x      []float64
	worth  map[int]float64
	source string
}{
	{"P1", cornAndOats(), 8000, []float64{80, 160}, map[int]float64{0: 20, 1: 10}, "business-mathematics textbook exercise, corn and oats"},
	{"P2", dense([]float64{80, 100}, denseRow{[]float64{1, 1}, AtMost, 100}, denseRow{[]float64{4, 16}, AtMost, 800}, denseRow{[]float64{20, 40}, AtMost, 2400}),
		8400, []float64{80, 20}, map[int]float64{0: 60, 1: 0, 2: 1}, "school exercise, wheat and corn"},
	{"P3", dense([]float64{150, 200, -10}, denseRow{[]float64{1, 1, 0}, AtMost, 45}, denseRow{[]float64{6, 10, -1}, AtMost, 0},
		denseRow{[]float64{0, 0, 1}, AtMost, 350}, denseRow{[]float64{5, 0, 0}, AtMost, 140}, denseRow{[]float64{0, 4, 0}, AtMost, 120}),
		4250, []float64{25, 20, 350}, map[int]float64{0: 75, 1: 12.5, 2: 2.5, 3: 0, 4: 0}, "operations-research textbook exercise, hired labour"},
	{"P4", dense([]float64{30, 100}, denseRow{[]float64{1, 1}, AtMost, 7}, denseRow{[]float64{4, 10}, AtMost, 40}, denseRow{[]float64{10, 0}, AtLeast, 30}),
		370, []float64{3, 2.8}, map[int]float64{0: 0, 1: 10, 2: -1}, "operations-research textbook exercise, minimum crop"},
	// acres of wheat, corn, beet; bought wheat, corn; sold wheat, corn, beet to
	// the quota, beet beyond it.
	{"P5", sugarBeet(1), 118600, []float64{120, 80, 300, 0, 0, 100, 0, 6000, 0}, map[int]float64{0: 275},
		"Birge and Louveaux, Introduction to Stochastic Programming, section 1.1"},
	{"P6", sugarBeet(0.8), 59950, []float64{100, 25, 375}, nil, "as P5, yields times 0.8"},
	{"P7", sugarBeet(1.2), 167666.0 + 2./3, []float64{183 + 1./3, 66 + 2./3, 250}, nil, "as P5, yields times 1.2"},
}

func TestPublishedPlans(t *testing.T) {
	for _, test := range published {
		t.Run(test.name, func(t *testing.T) {
			relaxed, err := test.p.Relax()
			if err != nil {
				t.Fatalf("%v (%s)", err, test.source)
			}
			solved, err := test.p.Solve(1000)
			if err != nil || !solved.Proven || solved.Gap() != 0 {
				t.Fatalf("%v, proven %t, gap %g (%s)", err, solved.Proven, solved.Gap(), test.source)
			}
			for _, gain := range []float64{relaxed.Gain, solved.Gain} {
				if math.Abs(gain-test.gain) > 1e-6 {
					t.Errorf("gain %.9f, want %.9f (%s)", gain, test.gain, test.source)
				}
			}
			for j, want := range test.x {
				if math.Abs(solved.X[j]-want) > 1e-6 {
					t.Errorf("x[%d] = %.9f, want %.9f (%s)", j, solved.X[j], want, test.source)
				}
			}
			for row, want := range test.worth {
				if worth := relaxed.Worth(row); math.Abs(worth-want) > 1e-6 {
					t.Errorf("one more of row %d is worth %.9f, want %.9f (%s)", row, worth, want, test.source)
				}
			}
		})
	}
}

// P9: what it is worth to know the year beforehand, and to plan for all three
// years and not for the mean one. The acres are decided first; bought and sold are
// decided in each year.
func TestPublishedPlanUnderUncertainty(t *testing.T) {
	p := dense([]float64{-150, -230, -260}, denseRow{[]float64{1, 1, 1}, AtMost, 500})
	foreseen := 0.0
	for _, yield := range []float64{0.8, 1, 1.2} {
		year := sugarBeet(yield)
		relaxed, err := year.Relax()
		if err != nil {
			t.Fatal(err)
		}
		foreseen += relaxed.Gain / 3
		first := len(p.Variables) - 3
		for _, v := range year.Variables[3:] {
			v.Gain /= 3
			p.Variables = append(p.Variables, v)
		}
		for _, row := range year.Rows[1:] {
			moved := Row{Sense: row.Sense, Limit: row.Limit}
			for _, term := range row.Terms {
				if term.Variable >= 3 {
					term.Variable += first
				}
				moved.Terms = append(moved.Terms, term)
			}
			p.Rows = append(p.Rows, moved)
		}
	}
	all, err := p.Relax()
	if err != nil {
		t.Fatal(err)
	}
	kept := *p
	kept.Variables = append([]Variable{}, p.Variables...)
	for j, acres := range []float64{120, 80, 300} {
		kept.Variables[j].Least, kept.Variables[j].Most = acres, acres
	}
	mean, err := kept.Relax()
	if err != nil {
		t.Fatal(err)
	}
	const source = "Birge and Louveaux, Introduction to Stochastic Programming, section 1.1"
	for _, check := range []struct {
		name      string
		got, want float64
	}{
		{"known beforehand", foreseen, 115405.56}, {"acres of the mean year", mean.Gain, 107240},
		{"value of perfect information", foreseen - all.Gain, 7015.56}, {"value of the stochastic solution", all.Gain - mean.Gain, 1150},
	} {
		if math.Abs(check.got-check.want) > 0.005 {
			t.Errorf("%s: %.4f, want %.2f (%s)", check.name, check.got, check.want, source)
		}
	}
}

func TestNoPlan(t *testing.T) {
	p := cornAndOats()
	p.Rows = append(p.Rows, Row{Terms: []Term{{0, 1}}, Sense: AtLeast, Limit: 200})
	if _, err := p.Solve(1000); !errors.Is(err, ErrInfeasible) {
		t.Errorf("P10, 200 acres of corn need 400 hours of 320: %v, want %v", err, ErrInfeasible)
	}
	p = dense([]float64{1, 0}, denseRow{[]float64{-1, 1}, AtMost, 3})
	if _, err := p.Solve(1000); !errors.Is(err, ErrUnbounded) {
		t.Errorf("nothing bounds the first variable: %v, want %v", err, ErrUnbounded)
	}
}
