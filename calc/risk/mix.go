package risk

import (
	"errors"
	"math"
)

// An Offer is one enterprise at one scale: what it gains in a year, and how
// much it uses of each resource.
type Offer struct {
	Scale float64 // in base units
	Gain  float64 // money a year
	Uses  []float64
}

// A Resource is something that enterprises share: hours in May, hectares of
// pasture, capital, the takings that a channel can bear.
type Resource struct {
	Name  string
	Limit float64
	// More of it can be had at Price each, up to Most: hired hours. Most is 0
	// for a resource that can't be bought.
	Price float64
	Most  float64
}

// A Choice is a farm's question: of each enterprise at most one of its offers,
// within the resources, for the greatest gain.
type Choice struct {
	Resources []Resource
	Offers    [][]Offer // by enterprise, in the order of scale; nothing is always on offer
}

// A Mix is the answer.
type Mix struct {
	Gain   float64
	Chosen []int     // by enterprise: the index of its offer, or -1 for none
	Bought []float64 // by resource
	Used   []float64 // by resource
	// Worth is what one more unit of each resource would add to the gain if
	// scales could be divided (the shadow price of the relaxed program); 0
	// where it does not bind.
	Worth []float64
	// Bound is the gain of the relaxed program: no mix can gain more.
	Bound float64
}

// Best finds the mix with the greatest gain, exactly over all offered scales,
// so stepped capital counts as it is. It returns ErrTooHard with the best mix
// found if the search is cut off.
func (c *Choice) Best() (Mix, error) {
	p, columns := c.program()
	best, err := p.Solve()
	if err != nil && (!errors.Is(err, ErrTooHard) || best.X == nil) {
		return Mix{}, err
	}
	m := c.read(best, columns)
	relaxed := *p
	relaxed.Whole = nil
	bound, boundErr := relaxed.relaxed(nil)
	if boundErr != nil {
		return m, boundErr
	}
	m.Bound = bound.Gain
	m.Worth = make([]float64, len(c.Resources))
	for i := range c.Resources {
		if relaxed.Slack(i, bound.X) > 1e-6*math.Max(1, math.Abs(c.Resources[i].Limit)) {
			continue
		}
		if m.Worth[i], boundErr = relaxed.Worth(i); boundErr != nil {
			return m, boundErr
		}
	}
	return m, err
}

// program writes the choice as a linear program with one variable an offer and
// one for what is bought of each resource. columns says which offer each
// variable stands for.
func (c *Choice) program() (*Program, [][2]int) {
	var columns [][2]int
	p := &Program{}
	for e, offers := range c.Offers {
		var set []int
		for o, offer := range offers {
			if !c.possible(offer) {
				continue
			}
			set = append(set, len(columns))
			columns = append(columns, [2]int{e, o})
			p.Gain = append(p.Gain, offer.Gain)
		}
		if len(set) > 0 {
			p.Sets = append(p.Sets, set)
		}
	}
	offers := len(columns)
	bought := make([]int, len(c.Resources))
	for r, resource := range c.Resources {
		bought[r] = -1
		if resource.Most > 0 {
			bought[r] = len(p.Gain)
			p.Gain = append(p.Gain, -resource.Price)
		}
	}
	for r, resource := range c.Resources {
		row := Row{Name: resource.Name, Coefficients: make([]float64, len(p.Gain)), Limit: resource.Limit}
		for j, at := range columns {
			row.Coefficients[j] = c.Offers[at[0]][at[1]].Uses[r]
		}
		if bought[r] >= 0 {
			row.Coefficients[bought[r]] = -1
		}
		p.Rows = append(p.Rows, row)
	}
	for r, resource := range c.Resources {
		if bought[r] >= 0 {
			row := Row{Coefficients: make([]float64, len(p.Gain)), Limit: resource.Most}
			row.Coefficients[bought[r]] = 1
			p.Rows = append(p.Rows, row)
		}
	}
	for _, set := range p.Sets {
		row := Row{Coefficients: make([]float64, len(p.Gain)), Limit: 1}
		for _, j := range set {
			row.Coefficients[j] = 1
		}
		p.Rows = append(p.Rows, row)
	}
	p.Near = func(x []float64) (Optimum, bool) { return c.near(x, columns) }
	p.Whole = make([]bool, len(p.Gain))
	for j := range offers {
		p.Whole[j] = true
	}
	return p, columns
}

// near takes of each enterprise the offer nearest below the mean of those that
// x mixes, and then moves single enterprises up as long as that gains.
func (c *Choice) near(x []float64, columns [][2]int) (Optimum, bool) {
	chosen := make([]int, len(c.Offers))
	mean := make([]float64, len(c.Offers))
	for j, at := range columns {
		mean[at[0]] += float64(float64(at[1]+1) * x[j])
	}
	for e := range chosen {
		chosen[e] = int(mean[e]+wholeness) - 1
	}
	gain, ok := c.gain(chosen)
	if !ok {
		return Optimum{}, false
	}
	for improved := true; improved; {
		improved = false
		for e := range chosen {
			for _, by := range []int{1, -1} {
				if to := chosen[e] + by; to < -1 || to >= len(c.Offers[e]) {
					continue
				}
				chosen[e] += by
				if g, ok := c.gain(chosen); ok && g > gain+float64(1e-9*math.Abs(gain)) {
					gain, improved = g, true
				} else {
					chosen[e] -= by
				}
			}
		}
	}
	o := Optimum{Gain: gain, X: make([]float64, len(x))}
	for j, at := range columns {
		if chosen[at[0]] == at[1] {
			o.X[j] = 1
		}
	}
	return o, true
}

// gain returns what a choice of offers gains, less what must be bought for it.
func (c *Choice) gain(chosen []int) (float64, bool) {
	gain := 0.0
	for e, o := range chosen {
		if o >= 0 {
			if !c.possible(c.Offers[e][o]) {
				return 0, false
			}
			gain += c.Offers[e][o].Gain
		}
	}
	for r, resource := range c.Resources {
		used := 0.0
		for e, o := range chosen {
			if o >= 0 {
				used += c.Offers[e][o].Uses[r]
			}
		}
		short := used - resource.Limit
		if short > resource.Most+float64(1e-9*math.Max(1, math.Abs(resource.Limit))) {
			return 0, false
		}
		gain -= float64(math.Max(0, short) * resource.Price)
	}
	return gain, true
}

// possible reports whether an offer fits into the resources by itself.
func (c *Choice) possible(o Offer) bool {
	if math.IsNaN(o.Gain) || math.IsInf(o.Gain, 0) {
		return false
	}
	for r, use := range o.Uses {
		if !(use <= c.Resources[r].Limit+c.Resources[r].Most+float64(1e-9*math.Abs(c.Resources[r].Limit))) {
			return false
		}
	}
	return true
}

func (c *Choice) read(o Optimum, columns [][2]int) Mix {
	m := Mix{Chosen: make([]int, len(c.Offers)), Bought: make([]float64, len(c.Resources)), Used: make([]float64, len(c.Resources))}
	for e := range m.Chosen {
		m.Chosen[e] = -1
	}
	for j, at := range columns {
		if o.X[j] > 0.5 {
			m.Chosen[at[0]] = at[1]
			offer := c.Offers[at[0]][at[1]]
			m.Gain += offer.Gain
			for r, use := range offer.Uses {
				m.Used[r] += use
			}
		}
	}
	for r, resource := range c.Resources {
		if short := m.Used[r] - resource.Limit; short > 1e-9*math.Max(1, math.Abs(resource.Limit)) && resource.Most > 0 {
			m.Bought[r] = short
			m.Gain -= float64(short * resource.Price)
		}
	}
	return m
}
