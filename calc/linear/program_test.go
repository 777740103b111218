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

// best is the greatest gain of all plans of a program whose variables are all whole
// and bounded, found by trying each; -Inf if there is none.
func best(p *linear.Program) float64 {
	gain, x := math.Inf(-1), make([]float64, len(p.Variables))
	var try func(j int)
	try = func(j int) {
		if j < len(x) {
			for x[j] = p.Variables[j].Least; x[j] <= p.Variables[j].Most; x[j]++ {
				try(j + 1)
			}
			return
		}
		for i, row := range p.Rows {
			slack := p.Slack(i, x)
			if row.Sense != linear.AtLeast && slack < 0 || row.Sense != linear.AtMost && slack > 0 {
				return
			}
		}
		for _, set := range p.Sets {
			sum := 0.0
			for _, k := range set {
				sum += x[k]
			}
			if sum > 1 {
				return
			}
		}
		gain = math.Max(gain, p.Gain(x))
	}
	try(0)
	return gain
}

// Every plan of small programs, one by one. Their numbers are small and whole, so
// that sums are exact.
func TestAgainstAllPlans(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	for n := range 400 {
		p := randomProgram(r, 1+r.Intn(5), 1+r.Intn(4))
		for j := range p.Variables {
			v := &p.Variables[j]
			v.Whole, v.Most = true, math.Min(v.Most, v.Least+3)
		}
		want := best(p)
		got, err := p.Solve(10_000)
		switch {
		case math.IsInf(want, -1):
			if !errors.Is(err, linear.ErrInfeasible) {
				t.Errorf("program %d: %v, want %v", n, err, linear.ErrInfeasible)
			}
		case err != nil || math.Abs(got.Gain-want) > 1e-5*math.Max(1, math.Abs(want)):
			t.Errorf("program %d: gain %g, %v; the best of all is %g", n, got.Gain, err, want)
		case !got.Proven || got.Bound < got.Gain || got.Gap() != 0:
			t.Errorf("program %d: proven %t, bound %g, gap %g of gain %g", n, got.Proven, got.Bound, got.Gap(), got.Gain)
		}
	}
}

// hard is a knapsack in five rows whose best plan takes many steps to prove.
func hard() *linear.Program {
	r := rand.New(rand.NewSource(9))
	p := &linear.Program{Rows: make([]linear.Row, 5)}
	for j := range 40 {
		p.Variables = append(p.Variables, linear.Variable{Gain: float64(100 + r.Intn(100)), Most: 1, Whole: true})
		for i := range p.Rows {
			p.Rows[i].Terms = append(p.Rows[i].Terms, linear.Term{Variable: j, Coefficient: float64(50 + r.Intn(100))})
			p.Rows[i].Limit = 2000
		}
	}
	return p
}

// A search that stops at its limit says what it doesn't know: how much more there
// may be, and never less than there is.
func TestLimit(t *testing.T) {
	p := hard()
	whole, err := p.Solve(1_000_000)
	if err != nil || !whole.Proven {
		t.Fatalf("%v, proven %t", err, whole.Proven)
	}
	// It took 3,063 steps and 527 nodes when this was written: less is welcome, but
	// hard enough to stop on the way.
	if whole.Work.Steps < 1000 || whole.Work.Steps > 3200 || whole.Work.Nodes > 560 {
		t.Errorf("the search took %+v", whole.Work)
	}
	if _, err := p.Solve(3); !errors.Is(err, linear.ErrTooHard) {
		t.Errorf("after 3 steps: %v, want %v", err, linear.ErrTooHard)
	}
	relaxed, err := p.Relax()
	if err != nil {
		t.Fatal(err)
	}
	before := relaxed.Gain
	for limit := 400; limit < whole.Work.Steps; limit += 173 {
		got, err := p.Solve(limit)
		if err != nil {
			t.Fatalf("after %d steps: %v", limit, err)
		}
		if got.Work.Steps > limit || got.Proven != (got.Gap() == 0) || !got.Proven && got.Gap() != got.Bound-got.Gain || got.Proven && limit < whole.Work.Steps*9/10 {
			t.Errorf("after %d steps: proven %t, gap %g, %+v", limit, got.Proven, got.Gap(), got.Work)
		}
		if got.Gain > whole.Gain || got.Bound < whole.Gain || got.Bound > before*(1+1e-6) {
			t.Errorf("after %d steps: from %g to %g; before it was up to %g, and the best is %g", limit, got.Gain, got.Bound, before, whole.Gain)
		}
		before = got.Bound
	}
	again, err := p.Solve(1_000_000)
	if err != nil || !again.Proven || again.Gain != whole.Gain || again.Work != whole.Work {
		t.Errorf("the same search took %+v for %g, then %+v for %g", whole.Work, whole.Gain, again.Work, again.Gain)
	}
}

// A plan that is given to a search spares it work and never stands in the way of a
// better one; one that breaks a limit counts for nothing.
func TestNear(t *testing.T) {
	p := hard()
	alone, err := p.Solve(1_000_000)
	if err != nil {
		t.Fatal(err)
	}
	p.Near = func([]float64) []float64 { return alone.X }
	helped, err := p.Solve(1_000_000)
	if err != nil || helped.Gain != alone.Gain || helped.Work.Steps >= alone.Work.Steps {
		t.Errorf("%v: with the best plan given, %+v for %g; without, %+v for %g", err, helped.Work, helped.Gain, alone.Work, alone.Gain)
	}
	p.Near = func(x []float64) []float64 {
		all := make([]float64, len(x))
		for j := range all {
			all[j] = 1
		}
		return all
	}
	wrong, err := p.Solve(1_000_000)
	if err != nil || wrong.Gain != alone.Gain {
		t.Errorf("%v: with a plan that breaks limits given, gain %g, want %g", err, wrong.Gain, alone.Gain)
	}
}

// E. M. L. Beale's program, in which Dantzig's rule runs in a circle ("Cycling in
// the dual simplex algorithm", Naval Research Logistics Quarterly 2, 1955; as in
// textbooks, from memory): the best is 1/20.
func TestCircle(t *testing.T) {
	inf := math.Inf(1)
	p := &linear.Program{
		Variables: []linear.Variable{{Gain: .75, Most: inf}, {Gain: -150, Most: inf}, {Gain: .02, Most: inf}, {Gain: -6, Most: inf}},
		Rows: []linear.Row{
			{Terms: []linear.Term{{Variable: 0, Coefficient: .25}, {Variable: 1, Coefficient: -60}, {Variable: 2, Coefficient: -.04}, {Variable: 3, Coefficient: 9}}},
			{Terms: []linear.Term{{Variable: 0, Coefficient: .5}, {Variable: 1, Coefficient: -90}, {Variable: 2, Coefficient: -.02}, {Variable: 3, Coefficient: 3}}},
			{Terms: []linear.Term{{Variable: 2, Coefficient: 1}}, Limit: 1},
		},
	}
	got, err := p.Relax()
	if err != nil || math.Abs(got.Gain-.05) > 1e-9 {
		t.Errorf("gain %g, %v; want 0.05", got.Gain, err)
	}
}

// Two limits that bind together are worth nothing each alone and something
// together: a hectare more in May only is no use.
func TestWorthTogether(t *testing.T) {
	one := []linear.Term{{Variable: 0, Coefficient: 1}}
	p := &linear.Program{Variables: []linear.Variable{{Gain: 7, Most: math.Inf(1)}},
		Rows: []linear.Row{{Terms: one, Limit: 12}, {Terms: one, Limit: 12}, {Terms: one, Limit: 30}}}
	got, err := p.Relax()
	if err != nil {
		t.Fatal(err)
	}
	for _, check := range []struct {
		rows []int
		want float64
	}{{[]int{0}, 0}, {[]int{1}, 0}, {[]int{0, 1}, 7}, {[]int{2}, 0}, {[]int{0, 1, 2}, 7}, {[]int{0}, 0}} {
		if worth := got.Worth(check.rows...); math.Abs(worth-check.want) > 1e-9 {
			t.Errorf("rows %v are worth %g, want %g", check.rows, worth, check.want)
		}
	}
	if got.Slack(0) != 0 || got.Slack(2) != 18 {
		t.Errorf("the plan leaves %g and %g, want 0 and 18", got.Slack(0), got.Slack(2))
	}
}

func TestBounds(t *testing.T) {
	for _, test := range []struct {
		name string
		v    linear.Variable
		gain float64
		err  error
	}{
		{"up to a bound", linear.Variable{Gain: 2, Least: -3, Most: 4.5}, 9, nil},
		{"down to a bound", linear.Variable{Gain: -2, Least: -3, Most: 4.5}, 6, nil},
		{"whole below a bound", linear.Variable{Gain: 2, Least: -3, Most: 4.5, Whole: true}, 8, nil},
		{"whole above a bound", linear.Variable{Gain: -2, Least: .5, Most: 4.5, Whole: true}, -2, nil},
		{"none between", linear.Variable{Gain: 2, Least: .2, Most: .8, Whole: true}, 0, linear.ErrInfeasible},
		{"crossed", linear.Variable{Gain: 2, Least: 3, Most: 2}, 0, linear.ErrInfeasible},
		{"no bound", linear.Variable{Gain: 2, Most: math.Inf(1)}, 0, linear.ErrUnbounded},
	} {
		got, err := (&linear.Program{Variables: []linear.Variable{test.v}}).Solve(100)
		if !errors.Is(err, test.err) || math.Abs(got.Gain-test.gain) > 1e-9 {
			t.Errorf("%s: gain %g, %v; want %g, %v", test.name, got.Gain, err, test.gain, test.err)
		}
	}
}

func TestNoProgram(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	one := []linear.Variable{{Most: 1}}
	row := func(limit float64, terms ...linear.Term) []linear.Row {
		return []linear.Row{{Terms: terms, Limit: limit}}
	}
	for name, p := range map[string]*linear.Program{
		"gain":           {Variables: []linear.Variable{{Gain: nan}}},
		"endless gain":   {Variables: []linear.Variable{{Gain: inf}}},
		"least":          {Variables: []linear.Variable{{Least: -inf}}},
		"no least":       {Variables: []linear.Variable{{Least: nan}}},
		"most":           {Variables: []linear.Variable{{Most: nan}}},
		"limit":          {Variables: one, Rows: row(nan)},
		"endless limit":  {Variables: one, Rows: row(inf)},
		"variable":       {Variables: one, Rows: row(1, linear.Term{Variable: 1, Coefficient: 1})},
		"below":          {Variables: one, Rows: row(1, linear.Term{Variable: -1, Coefficient: 1})},
		"twice":          {Variables: one, Rows: row(1, linear.Term{Variable: 0, Coefficient: 1}, linear.Term{Variable: 0, Coefficient: 2})},
		"coefficient":    {Variables: one, Rows: row(1, linear.Term{Variable: 0, Coefficient: nan})},
		"endless":        {Variables: one, Rows: row(1, linear.Term{Variable: 0, Coefficient: -inf})},
		"set":            {Variables: one, Sets: [][]int{{1}}},
		"set below":      {Variables: one, Sets: [][]int{{-1}}},
		"set twice":      {Variables: one, Sets: [][]int{{0}, {0}}},
		"set from above": {Variables: []linear.Variable{{Least: 1, Most: 1}}, Sets: [][]int{{0}}},
	} {
		if _, err := p.Solve(100); err == nil || errors.Is(err, linear.ErrInfeasible) || errors.Is(err, linear.ErrUnbounded) {
			t.Errorf("%s: %v, want a refusal", name, err)
		}
		if _, err := p.Relax(); err == nil || errors.Is(err, linear.ErrInfeasible) || errors.Is(err, linear.ErrUnbounded) {
			t.Errorf("%s: %v, want a refusal from Relax", name, err)
		}
	}
}
