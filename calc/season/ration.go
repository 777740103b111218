package season

import (
	"errors"
	"math"

	"rickyard/calc/linear"
)

// An Ingredient is a feed that may go into a ration.
type Ingredient struct {
	Name  string
	Price float64   // of a kilogram
	Holds []float64 // what a kilogram holds, by need; on the basis that needs are given on
	Least float64   // kg that go in at least
	Most  float64   // kg that go in at most; 0 for no limit
	Bag   float64   // kg of a bag, where only whole bags go in; 0 for any weight
}

// A Need bounds what a ration holds of one thing.
type Need struct {
	Name        string
	Least, Most float64 // in the whole ration; Least math.Inf(-1) and Most 0 for no limit
}

// A Ration asks for the cheapest mix that keeps within all needs and limits. The
// cheapest is not always safe: what salt, copper, urea or a mouldy bag can do must
// stand in the limits.
type Ration struct {
	Weight      float64 // kg; 0 where only needs and limits decide
	Ingredients []Ingredient
	Needs       []Need
}

// A Mix is the answer.
type Mix struct {
	Kg    []float64 // by ingredient
	Cost  float64
	Holds []float64 // by need
	// Enter is by ingredient the price of a kilogram at which more of it than its
	// least begins to pay; NaN for one that is in the mix beyond it already, or of
	// which no more fits in. Bags are taken as open for it.
	Enter []float64
	// Saves is by need what one unit less of Least, or more of Most, takes off the
	// cost, with bags open; 0 where the need does not bind.
	Saves []float64
}

// ErrNoMix says that no mix keeps within all needs and limits.
var ErrNoMix = errors.New("season: no mix of these feeds keeps within all needs and limits")

// rationSteps bounds the search for whole bags.
const rationSteps = 200_000

// Cheapest finds the mix, by linear programming. It returns ErrNoMix if there is
// none; In the way then tells what to ask less of.
func (r *Ration) Cheapest() (Mix, error) {
	p, needs := r.program()
	solved, err := p.Solve(rationSteps)
	if err != nil {
		return Mix{}, ErrNoMix
	}
	m := Mix{Kg: make([]float64, len(r.Ingredients)), Holds: make([]float64, len(r.Needs)), Cost: -solved.Gain}
	for i := range m.Kg {
		m.Kg[i] = math.Max(0, solved.X[i]) * r.Ingredients[i].unit()
	}
	for n := range r.Needs {
		for i, g := range r.Ingredients {
			m.Holds[n] += float64(m.Kg[i] * g.Holds[n])
		}
	}
	open, err := p.Relax()
	if err != nil {
		return Mix{}, ErrNoMix
	}
	for n := range r.Needs {
		saves := 0.0
		for row, of := range needs {
			if of == n {
				saves = math.Max(saves, math.Abs(open.Worth(row)))
			}
		}
		m.Saves = append(m.Saves, saves)
	}
	for i := range r.Ingredients {
		m.Enter = append(m.Enter, r.enters(i, open))
	}
	return m, nil
}

// InTheWay lists the needs each of which, left out by itself, lets a mix be found.
// It is empty if there is a mix, or if more than one stands in the way.
func (r *Ration) InTheWay() []int {
	if r.mixes() {
		return nil
	}
	var blame []int
	for n := range r.Needs {
		without := *r
		without.Needs = append([]Need{}, r.Needs...)
		without.Needs[n] = Need{Least: math.Inf(-1)}
		if without.mixes() {
			blame = append(blame, n)
		}
	}
	return blame
}

// mixes tells whether there is a mix at all, with bags open.
func (r *Ration) mixes() bool {
	p, _ := r.program()
	_, err := p.Relax()
	return err == nil
}

// unit is what one of an ingredient's variable weighs.
func (g *Ingredient) unit() float64 {
	if g.Bag > 0 {
		return g.Bag
	}
	return 1
}

// program writes the ration as a linear program, with the need that each row is of;
// the last row may be the weight's and of none.
func (r *Ration) program() (p *linear.Program, needs []int) {
	p = &linear.Program{}
	weight := make([]linear.Term, len(r.Ingredients))
	for i, g := range r.Ingredients {
		unit := g.unit()
		v := linear.Variable{Gain: -g.Price * unit, Least: g.Least / unit, Most: math.Inf(1), Whole: g.Bag > 0}
		if g.Most > 0 {
			v.Most = g.Most / unit
		}
		if v.Whole {
			v.Least, v.Most = nearCeil(v.Least), -nearCeil(-v.Most)
		}
		p.Variables = append(p.Variables, v)
		weight[i] = linear.Term{Variable: i, Coefficient: unit}
	}
	for n, need := range r.Needs {
		terms := make([]linear.Term, len(r.Ingredients))
		for i, g := range r.Ingredients {
			terms[i] = linear.Term{Variable: i, Coefficient: g.Holds[n] * g.unit()}
		}
		if !math.IsInf(need.Least, -1) {
			p.Rows = append(p.Rows, linear.Row{Terms: terms, Sense: linear.AtLeast, Limit: need.Least})
			needs = append(needs, n)
		}
		if need.Most > 0 {
			p.Rows = append(p.Rows, linear.Row{Terms: terms, Sense: linear.AtMost, Limit: need.Most})
			needs = append(needs, n)
		}
	}
	if r.Weight > 0 {
		p.Rows = append(p.Rows, linear.Row{Terms: weight, Sense: linear.Equal, Limit: r.Weight})
	}
	return p, needs
}

// enters finds the price at which more of an ingredient pays, by putting a little
// more of it in than its least: what that saves on the others is what it may cost.
// The cost of the others is a line of straight pieces, so the little is halved
// until it lies on the first piece.
func (r *Ration) enters(i int, open *linear.Relaxation) float64 {
	g := &r.Ingredients[i]
	p, _ := r.program()
	v := &p.Variables[i]
	if open.X[i] > v.Least+float64(1e-7*math.Max(1, v.Least)) {
		return math.NaN()
	}
	least, most := v.Least, v.Most
	others := func(little float64) (float64, bool) {
		v.Least, v.Most = least+little, least+little
		with, err := p.Relax()
		if err != nil || v.Least > most {
			return 0, false
		}
		return -with.Gain + float64(v.Gain*v.Least), true
	}
	none, _ := others(0)
	last := math.NaN()
	for little := r.scale() / 64; little > r.scale()*1e-6; little /= 2 {
		cost, ok := others(little)
		if !ok {
			last = math.NaN()
			continue
		}
		price := (none - cost) / little / g.unit()
		if math.Abs(price-last) <= 1e-6*math.Max(1, math.Abs(price)) {
			return price
		}
		last = price
	}
	return last
}

// scale is the size of a ration.
func (r *Ration) scale() float64 {
	if r.Weight > 0 {
		return r.Weight
	}
	return 1
}
