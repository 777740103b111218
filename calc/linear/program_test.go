package linear_test

import (
	"errors"
	"math"
	"math/rand"
	"testing"

	"rickyard/calc/linear"
	"rickyard/calc/linear/lineartest"
)

// randomProgram is a made program of every kind of row, bound, variable and set.
func randomProgram(r *rand.Rand, variables, rows int) *linear.Program {
	p := &linear.Program{}
	for range variables {
		v := linear.Variable{Gain: math.Round(200*r.Float64()-80) / 4, Least: float64(r.Intn(3) - 1), Whole: r.Intn(3) > 0}
		v.Most = v.Least + float64(1+r.Intn(6))
		if r.Intn(8) == 0 {
			v.Most, v.Gain = math.Inf(1), -math.Abs(v.Gain)
		}
		p.Variables = append(p.Variables, v)
	}
	free := r.Perm(variables)
	for range r.Intn(3) {
		size := min(2+r.Intn(4), len(free))
		set := free[:size]
		free = free[size:]
		for _, j := range set {
			p.Variables[j].Least = 0
			p.Variables[j].Most = math.Max(1, p.Variables[j].Most)
		}
		p.Sets = append(p.Sets, set)
	}
	for range rows {
		row := linear.Row{Sense: linear.Sense(r.Intn(8) / 4)}
		if r.Intn(10) == 0 {
			row.Sense = linear.Equal
		}
		for j := range variables {
			if r.Intn(2) == 0 {
				row.Terms = append(row.Terms, linear.Term{Variable: j, Coefficient: float64(r.Intn(19) - 6)})
			}
		}
		row.Limit = float64(r.Intn(40))
		if row.Sense == linear.AtLeast {
			row.Limit = float64(r.Intn(30) - 20)
		}
		p.Rows = append(p.Rows, row)
	}
	return p
}

// GLPK (Debian's glpk-utils) is an independent solver.
func TestAgainstGLPK(t *testing.T) {
	r := rand.New(rand.NewSource(26))
	plans := 0
	for n := range 150 {
		p := randomProgram(r, 2+r.Intn(14), 1+r.Intn(9))
		want, wantErr := lineartest.GLPK(t, p)
		got, err := p.Solve(100_000)
		if wantErr != nil || err != nil {
			if !errors.Is(err, linear.ErrInfeasible) || wantErr == nil {
				t.Errorf("program %d: %v, GLPK says %v", n, err, wantErr)
			}
			continue
		}
		plans++
		if math.Abs(got.Gain-want) > 1e-5*math.Max(1, math.Abs(want)) || !got.Proven {
			t.Errorf("program %d: gain %.6f, proven %t; GLPK finds %.6f", n, got.Gain, got.Proven, want)
		}
		relaxed, err := p.Relax()
		if err != nil || relaxed.Gain < got.Gain-1e-6*math.Max(1, math.Abs(got.Gain)) {
			t.Errorf("program %d: %v, gain without whole numbers %.6f, with them %.6f", n, err, relaxed.Gain, got.Gain)
		}
	}
	if plans < 60 {
		t.Errorf("only %d of 150 programs have a plan", plans)
	}
}
