package season

// A Crop is one kind of plant raised in one way; the same vegetable in spring and
// in autumn may be two crops. Series by week hold one year from the plan's first
// week and repeat.
type Crop struct {
	Name   string
	Family string
	Raised int       // weeks from sowing to planting out; 0 where it is sown in place
	Need   float64   // growth from planting to the first picking, in days or degree days
	Gain   []float64 // growth of each week, in the same: 7 days in full season, less in the cold and dark
	Picks  []float64 // share of the yield that each week of picking gives, from the first
	Yield  float64   // kg from a metre of bed
	Open   []bool    // weeks in which it may stand in the open; nil for all
	Under  []bool    // weeks in which it may stand under cover; nil for all
	Rest   int       // weeks until its family may stand on the same bed again
	Store  Store
	Worth  float64 // of a kilogram: where not all can be had, the plan is short of what is worth least
}

// Within marks the weeks of a year from one up to another, itself not counted,
// round the end of the year if need be: the frost-free weeks, say.
func Within(year, from, to int) []bool {
	weeks := make([]bool, year)
	for w := floorMod(from, year); w != floorMod(to, year); w = (w + 1) % year {
		weeks[w] = true
	}
	return weeks
}

// Lit gives full growth (7 days a week) in weeks with enough hours of daylight and
// none in the others. Gardeners reckon that leaves stand still below ten hours.
func Lit(hours []float64, least float64) []float64 {
	gain := make([]float64, len(hours))
	for w, h := range hours {
		if h >= least {
			gain[w] = 7
		}
	}
	return gain
}

// longestGrowth bounds the weeks from planting to picking: a crop that takes
// three years is no garden crop.
const longestGrowth = 156

// FirstPick returns the week in which a crop planted in a week is first picked, at
// the earliest the week after. It is false if the crop never gets there.
func (c *Crop) FirstPick(planted int) (week int, ok bool) {
	grown := 0.0
	for k := range longestGrowth {
		grown += c.Gain[floorMod(planted+k, len(c.Gain))]
		if grown >= c.Need*(1-shade) {
			return planted + k + 1, true
		}
	}
	return 0, false
}

// stands tells whether it may stand on a kind of bed from one week to another.
func (c *Crop) stands(under bool, from, to int) bool {
	allowed := c.Open
	if under {
		allowed = c.Under
	}
	if allowed == nil {
		return true
	}
	for w := from; w <= to; w++ {
		if !allowed[floorMod(w, len(allowed))] {
			return false
		}
	}
	return true
}

// A stand is what planting in one week comes to.
type stand struct {
	planted, first, last int
	open, under          bool // where the season allows it
}

// standing works out planting in a week; nothing of it hangs on the beds.
func (c *Crop) standing(planted int) (s stand, ok bool) {
	first, ok := c.FirstPick(planted)
	if !ok {
		return s, false
	}
	s = stand{planted: planted, first: first, last: first + len(c.Picks) - 1}
	s.open, s.under = c.stands(false, planted, s.last), c.stands(true, planted, s.last)
	return s, s.open || s.under
}

// picksFor tells whether some of what a stand gives can be eaten in a week.
func (c *Crop) picksFor(s stand, week int) bool {
	for i, share := range c.Picks {
		if at := s.first + i; share > 0 && at <= week && week <= at+c.Store.Weeks {
			return true
		}
	}
	return false
}
