package risk

import (
	"math"
	"slices"

	"rickyard/calc/linear"
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
	// Wanted are the resources whose worth is asked for, each alone or several
	// together: a hectare more is one in every month.
	Wanted [][]int
}

// A Mix is the answer.
type Mix struct {
	Gain   float64
	Chosen []int     // by enterprise: the index of its offer, or -1 for none
	Bought []float64 // by resource
	Used   []float64 // by resource
	// Worth is what one more unit of what is Wanted would add to the gain if
	// scales could be divided (the shadow price of the relaxed program); 0
	// where it does not bind.
	Worth []float64
	// Bound is the gain of the relaxed program: no mix can gain more.
	Bound float64
	// Gap is how much more than Gain another mix may gain, where the search came
	// to its limit; 0 where the mix is proven to be the best.
	Gap  float64
	Work linear.Work
}

// searchSteps is how many steps of the simplex method a farm's search may take:
// some seconds.
const searchSteps = 100_000

// Best finds the mix with the greatest gain, exactly over all offered scales,
// so stepped capital counts as it is: to one part in a million, or, if that takes
// more than so many steps, to the Gap that it tells. Enterprises that are equal in
// all offers are one to the search, and those that come first get the larger scale.
func (c *Choice) Best(steps int) (Mix, error) {
	w := c.written()
	relaxed, err := w.program.Relax()
	if err != nil {
		return Mix{}, err
	}
	best, err := w.program.Solve(steps)
	if err != nil {
		return Mix{}, err
	}
	m := w.mix(w.chosen(best.X))
	m.Bound, m.Gap, m.Work = relaxed.Gain, best.Gap(), best.Work
	for _, resources := range c.Wanted {
		m.Worth = append(m.Worth, relaxed.Worth(resources...))
	}
	return m, nil
}

// A written choice is one as a program: a variable for each offer of each kind of
// enterprise, and one for what is bought of each resource; a row for each resource.
type written struct {
	*Choice
	program linear.Program
	kinds   []kind
	bought  []int // by resource: the variable, or -1
	polish  float64
}

// A kind is one enterprise, or several that are equal in all offers.
type kind struct {
	members []int   // enterprises
	offers  []Offer // those that fit
	numbers []int   // of these offers among all of the enterprise
	first   int     // the variable of the first of them
}

func (c *Choice) written() *written {
	w := &written{Choice: c, bought: make([]int, len(c.Resources)), polish: math.Inf(-1)}
	p, room := &w.program, c.room()
	for _, members := range c.equal() {
		k := kind{members: members, first: len(p.Variables)}
		for o, offer := range c.Offers[members[0]] {
			if offer.fits(room) {
				k.offers, k.numbers = append(k.offers, offer), append(k.numbers, o)
				p.Variables = append(p.Variables, linear.Variable{Gain: offer.Gain, Most: float64(len(members)), Whole: true})
			}
		}
		w.kinds = append(w.kinds, k)
	}
	for r, resource := range c.Resources {
		row := linear.Row{Limit: resource.Limit}
		for _, k := range w.kinds {
			for i, offer := range k.offers {
				row.Terms = append(row.Terms, linear.Term{Variable: k.first + i, Coefficient: offer.Uses[r]})
			}
		}
		w.bought[r] = -1
		if resource.Most > 0 {
			w.bought[r] = len(p.Variables)
			row.Terms = append(row.Terms, linear.Term{Variable: len(p.Variables), Coefficient: -1})
			p.Variables = append(p.Variables, linear.Variable{Gain: -resource.Price, Most: resource.Most})
		}
		p.Rows = append(p.Rows, row)
	}
	for _, k := range w.kinds {
		w.atMostOneEach(k)
	}
	p.Near = w.near
	return w
}

// atMostOneEach says that an enterprise has one scale.
func (w *written) atMostOneEach(k kind) {
	if len(k.offers) == 0 {
		return
	}
	if len(k.members) == 1 {
		set := make([]int, len(k.offers))
		for i := range set {
			set[i] = k.first + i
			w.program.Variables[set[i]].Most = math.Inf(1) // the set bounds it
		}
		w.program.Sets = append(w.program.Sets, set)
		return
	}
	row := linear.Row{Limit: float64(len(k.members))}
	for i := range k.offers {
		row.Terms = append(row.Terms, linear.Term{Variable: k.first + i, Coefficient: 1})
	}
	w.program.Rows = append(w.program.Rows, row)
}

// equal groups the enterprises whose offers are the same.
func (c *Choice) equal() [][]int {
	var groups [][]int
	for e, offers := range c.Offers {
		g := slices.IndexFunc(groups, func(group []int) bool {
			return slices.EqualFunc(c.Offers[group[0]], offers, func(a, b Offer) bool {
				return a.Gain == b.Gain && slices.Equal(a.Uses, b.Uses)
			})
		})
		if g < 0 {
			groups = append(groups, []int{e})
		} else {
			groups[g] = append(groups[g], e)
		}
	}
	return groups
}

// room is how much of each resource the offers of one enterprise could use at
// most: what there is, what can be bought, and what others may add.
func (c *Choice) room() []float64 {
	room := make([]float64, len(c.Resources))
	for r, resource := range c.Resources {
		room[r] = resource.Limit + resource.Most + slip(resource)
		for _, offers := range c.Offers {
			adds := 0.0
			for _, o := range offers {
				adds = math.Max(adds, -o.Uses[r])
			}
			room[r] += adds
		}
	}
	return room
}

// fits reports whether an offer is a number and fits by itself.
func (o *Offer) fits(room []float64) bool {
	for r, use := range o.Uses {
		if !(use <= room[r]) || math.IsInf(use, -1) {
			return false
		}
	}
	return !math.IsNaN(o.Gain) && !math.IsInf(o.Gain, 0)
}

// slip is how much of a resource rounding may use beyond its limit.
func slip(r Resource) float64 { return float64(1e-9 * math.Max(1, math.Abs(r.Limit))) }

// chosen reads from a plan which of its kind's offers each enterprise takes, -1
// for none. Of equal enterprises the first get the largest. Shares of offers come
// to the offer nearest below their mean, so that any plan makes a choice.
func (w *written) chosen(x []float64) []int {
	chosen := make([]int, len(w.Offers))
	for e := range chosen {
		chosen[e] = -1
	}
	for _, k := range w.kinds {
		i, left := len(k.offers)-1, 0.0
		if i >= 0 {
			left = x[k.first+i]
		}
		for _, e := range k.members {
			mean, room := 0.0, 1.0
			for i >= 0 && room > 0 {
				take := math.Min(room, left)
				mean += float64(float64(i+1) * take)
				room, left = room-take, left-take
				if left <= wholeness {
					if i--; i >= 0 {
						left = x[k.first+i]
					}
				}
			}
			chosen[e] = min(int(mean+1e-4), len(k.offers)) - 1
		}
	}
	return chosen
}

// wholeness is what is left of a share by rounding.
const wholeness = 1e-6

// mix tells what a choice comes to.
func (w *written) mix(chosen []int) Mix {
	t := w.trial(chosen)
	m := Mix{Chosen: make([]int, len(chosen)), Bought: make([]float64, len(t.used)), Used: t.used}
	m.Gain, _ = t.gain()
	for e, i := range chosen {
		m.Chosen[e] = -1
		if i >= 0 {
			m.Chosen[e] = t.kinds[e].numbers[i]
		}
	}
	for r, resource := range w.Resources {
		if short := t.used[r] - resource.Limit; short > slip(resource) && resource.Most > 0 {
			m.Bought[r] = short
		}
	}
	return m
}

// plan is the inverse of chosen.
func (w *written) plan(chosen []int, used []float64) []float64 {
	x := make([]float64, len(w.program.Variables))
	for _, k := range w.kinds {
		for _, e := range k.members {
			if chosen[e] >= 0 {
				x[k.first+chosen[e]]++
			}
		}
	}
	for r, j := range w.bought {
		if j >= 0 {
			x[j] = math.Max(0, math.Min(w.Resources[r].Most, used[r]-w.Resources[r].Limit))
		}
	}
	return x
}
