package season

import (
	"cmp"
	"math"
	"slices"
)

// A bedSearch goes through the ways to plant a garden. A way is a list of
// plantings, found crop by crop: for the first week that is short, each planting
// that serves it is tried, and then leaving it short.
type bedSearch struct {
	garden *Garden
	weeks  int
	order  []int     // crops, those worth most of a bed first
	stands [][]stand // by crop, those that begin within the plan, latest first
	least  []float64 // from order[i] on, what is lost whatever is planted

	open, under bool // whether there are such beds
	families    map[string]int
	family      []int // by crop

	beds      []bedState
	plantings []Planting

	lost  float64 // worth of what crops before the present one lack
	tries int
	best  []Planting
	cost  float64
	ended bool // the tries are used up
}

// A bedState is what stands on a bed. Beds of one mark are alike.
type bedState struct {
	taken []taken
	mark  uint64
}

type taken struct {
	from, to     int
	family, rest int
}

func newBedSearch(g *Garden) *bedSearch {
	s := &bedSearch{garden: g, cost: math.Inf(1), tries: g.Tries, families: map[string]int{}}
	if s.tries == 0 {
		s.tries = DefaultTries
	}
	if len(g.Wanted) > 0 {
		s.weeks = len(g.Wanted[0])
	}
	s.beds = make([]bedState, len(g.Beds))
	for b, bed := range g.Beds {
		s.open, s.under = s.open || !bed.Under, s.under || bed.Under
		for _, p := range bed.Past {
			s.take(b, taken{math.MinInt / 2, p.Until, s.familyOf(p.Family), 0})
		}
	}
	for c := range g.Crops {
		s.order = append(s.order, c)
		s.family = append(s.family, s.familyOf(g.Crops[c].Family))
		s.stands = append(s.stands, s.within(&g.Crops[c]))
	}
	slices.SortStableFunc(s.order, func(a, b int) int {
		return cmp.Compare(worthOf(&g.Crops[b]), worthOf(&g.Crops[a]))
	})
	s.least = make([]float64, len(s.order)+1)
	for i := len(s.order) - 1; i >= 0; i-- {
		s.least[i] = s.least[i+1] + s.hopeless(s.order[i])
	}
	return s
}

// familyOf numbers the families.
func (s *bedSearch) familyOf(name string) int {
	n, ok := s.families[name]
	if !ok {
		n = len(s.families)
		s.families[name] = n
	}
	return n
}

// within lists the stands of a crop that begin and give within the plan, latest
// first.
func (s *bedSearch) within(c *Crop) (all []stand) {
	for planted := s.weeks - 1; planted >= c.Raised; planted-- {
		if st, ok := s.standing(c, planted); ok && st.first < s.weeks {
			all = append(all, st)
		}
	}
	return all
}

// standing is what planting in a week comes to on the beds that there are.
func (s *bedSearch) standing(c *Crop, planted int) (stand, bool) {
	st, ok := c.standing(planted)
	st.open, st.under = st.open && s.open, st.under && s.under
	return st, ok && (st.open || st.under)
}

// hopeless is the worth of what a crop lacks even with beds without end.
func (s *bedSearch) hopeless(crop int) float64 {
	c, lost := &s.garden.Crops[crop], 0.0
	for week, want := range s.garden.Wanted[crop] {
		if !slices.ContainsFunc(s.stands[crop], func(st stand) bool { return c.picksFor(st, week) }) {
			lost += float64(c.Worth * want)
		}
	}
	return lost
}

// try goes on from a crop's week with what has been planted so far.
func (s *bedSearch) try(at, week int) {
	if s.ended || s.lost+s.least[at] >= s.cost*(1-shade) {
		return
	}
	if at == len(s.order) {
		s.best, s.cost = slices.Clone(s.plantings), s.lost
		s.ended = s.cost <= s.least[0]*(1+shade)
		return
	}
	crop := s.order[at]
	short := s.short(crop)
	for week < s.weeks && short[week] <= shade*s.garden.Wanted[crop][week] {
		week++
	}
	if week == s.weeks {
		lost := float64(total(short) * s.garden.Crops[crop].Worth)
		s.lost += lost
		s.try(at+1, 0)
		s.lost -= lost
		return
	}
	for _, st := range s.stands[crop] {
		if st.first <= week {
			s.tryStand(at, week, st, short)
		}
	}
	s.try(at, week+1) // left short
}

// tryStand tries one time of planting on each bed that will have it.
func (s *bedSearch) tryStand(at, week int, st stand, short []float64) {
	crop := s.order[at]
	if !s.garden.Crops[crop].picksFor(st, week) {
		return
	}
	for _, b := range s.choices(crop, st, short[week]) {
		if s.ended {
			return
		}
		s.plant(crop, b, st)
		if now := s.short(crop); anyLess(now[week:week+1], short[week:week+1]) && !anyLess(now[:week], short[:week]) {
			s.try(at, week)
		}
		s.uproot()
	}
}

// anyLess tells whether any week lacks less than before. Where one that was left
// short is served after all, that way is tried elsewhere.
func anyLess(now, before []float64) bool {
	for i := range now {
		if now[i] < before[i]*(1-shade) {
			return true
		}
	}
	return false
}

func (s *bedSearch) short(crop int) []float64 {
	wanted := s.garden.Wanted[crop]
	short := s.garden.Crops[crop].Store.Serve(s.harvest(crop, s.plantings), wanted).Served
	for w := range short {
		short[w] = wanted[w] - short[w]
	}
	return short
}

// harvest is what a crop's plantings give in each week of the plan.
func (s *bedSearch) harvest(crop int, plantings []Planting) []float64 {
	all := make([]float64, s.weeks)
	for _, p := range plantings {
		if p.Crop != crop {
			continue
		}
		for i, kg := range s.garden.Harvest(p) {
			if w := p.FirstPick + i; w < s.weeks {
				all[w] += kg
			}
		}
	}
	return all
}

// choices lists the beds for a stand, one of each that are alike: first those in
// the open, those that hold enough, the shortest of them, and of these the one
// that is idle least on either side.
func (s *bedSearch) choices(crop int, st stand, short float64) []int {
	type choice struct {
		bed, under, small int
		length            float64
		idle              int
	}
	var all []choice
	seen := map[[3]uint64]bool{}
	c := &s.garden.Crops[crop]
	most := slices.Max(c.Picks)
	if s.tries -= len(s.beds); s.tries < 0 && !math.IsInf(s.cost, 1) {
		s.ended = true
	}
	for b := range s.beds {
		bed := &s.garden.Beds[b]
		if !s.fits(b, crop, st, false) {
			continue
		}
		ch := choice{bed: b, length: bed.Length, idle: s.idle(b, st)}
		if bed.Under {
			ch.under = 1
		}
		key := [3]uint64{uint64(ch.under), math.Float64bits(bed.Length), s.beds[b].mark}
		if seen[key] {
			continue
		}
		seen[key] = true
		if bed.Length*c.Yield*most < short*(1-shade) {
			ch.small, ch.length = 1, -bed.Length // then the longest first
		}
		all = append(all, ch)
	}
	slices.SortStableFunc(all, func(a, b choice) int {
		return cmp.Or(a.under-b.under, a.small-b.small, cmp.Compare(a.length, b.length), a.idle-b.idle)
	})
	beds := make([]int, len(all))
	for i, ch := range all {
		beds[i] = ch.bed
	}
	return beds
}

// fits tells whether a bed can take a stand; anyFamily leaves rotation aside.
func (s *bedSearch) fits(b, crop int, st stand, anyFamily bool) bool {
	if under := s.garden.Beds[b].Under; under && !st.under || !under && !st.open {
		return false
	}
	c := &s.garden.Crops[crop]
	for _, t := range s.beds[b].taken {
		rest := 0
		if t.family == s.family[crop] && !anyFamily {
			rest = max(t.rest, c.Rest)
		}
		if st.planted <= t.to+rest && t.from <= st.last+rest {
			return false
		}
	}
	return true
}

// idle is how long a bed lies empty before and after a stand, with the plan's
// ends as walls.
func (s *bedSearch) idle(b int, st stand) int {
	before, after := st.planted, max(0, s.weeks-1-st.last)
	for _, t := range s.beds[b].taken {
		if t.to < st.planted {
			before = min(before, st.planted-t.to-1)
		} else {
			after = min(after, t.from-st.last-1)
		}
	}
	return before + after
}

func (s *bedSearch) plant(crop, b int, st stand) {
	c := &s.garden.Crops[crop]
	p := Planting{Crop: crop, Bed: b, Sown: st.planted - c.Raised, Planted: st.planted, FirstPick: st.first, LastPick: st.last}
	s.plantings = append(s.plantings, p)
	s.take(b, taken{st.planted, st.last, s.family[crop], c.Rest})
}

// uproot takes the last planting back.
func (s *bedSearch) uproot() {
	p := s.plantings[len(s.plantings)-1]
	s.plantings = s.plantings[:len(s.plantings)-1]
	bed := &s.beds[p.Bed]
	last := bed.taken[len(bed.taken)-1]
	bed.taken = bed.taken[:len(bed.taken)-1]
	bed.mark -= last.mark()
}

func (s *bedSearch) take(b int, t taken) {
	s.beds[b].taken = append(s.beds[b].taken, t)
	s.beds[b].mark += t.mark()
}

// mark is a number that tells what stands on a bed, whatever came first.
func (t taken) mark() uint64 {
	h := uint64(14695981039346656037) // FNV-1a
	for _, v := range [...]int{t.from, t.to, t.family, t.rest} {
		h = (h ^ uint64(v)) * 1099511628211
	}
	return h
}

// answer lays out the best plan that was found.
func (s *bedSearch) answer() GardenPlan {
	plan := GardenPlan{Plantings: s.best, Best: s.tries >= 0 || s.cost <= s.least[0]*(1+shade)}
	for _, p := range s.best {
		s.take(p.Bed, taken{p.Planted, p.LastPick, s.family[p.Crop], s.garden.Crops[p.Crop].Rest})
	}
	for crop := range s.garden.Crops {
		wanted := s.garden.Wanted[crop]
		serving := s.garden.Crops[crop].Store.Serve(s.harvest(crop, s.best), wanted)
		plan.Servings = append(plan.Servings, serving)
		for week, want := range wanted {
			if short := want - serving.Served[week]; short > shade*want {
				plan.Short = append(plan.Short, Shortage{crop, week, short, s.why(crop, week)})
			}
		}
	}
	return plan
}

func total(x []float64) (sum float64) {
	for _, v := range x {
		sum += v
	}
	return sum
}
