package season

import "math"

// A Paddock is a piece of grass that one herd grazes at a time.
type Paddock struct {
	Name   string
	Area   float64 // ha
	Cover  float64 // kg of dry matter on a hectare at the beginning, from the ground
	Growth float64 // beside the farm's mean, 1 for the same
	Hay    bool    // may be cut
	Rested int     // days since it was last grazed; the plan's own recovery if 0
	Open   []bool  // days on which it may be grazed, from the first; nil for all
}

// A Herd eats together on one paddock.
type Herd struct {
	Name string
	Need []float64 // kg of dry matter in a day, by day of the plan
	In   []bool    // days on which it is housed and eats no grass; nil for none
}

// Grass is a farm's grazing over a number of days. Covers and what must stay
// count from the ground, as a plate meter measures them.
type Grass struct {
	Paddocks []Paddock
	Herds    []Herd
	Growth   []float64 // kg of dry matter on a hectare in a day, by day of the plan
	Recovery []int     // days of rest that a paddock must have had, by the day that it is entered
	Stay     int       // the longest stay of a herd, in days; 0 for no limit
	Residual float64   // kg/ha that must stay
	Ceiling  float64   // kg/ha at which old leaves die as fast as new ones grow
	Used     float64   // share of the grass above the residual that is eaten and not trodden in
	CutAt    float64   // kg/ha at which a paddock that no herd needs is cut; 0 for never
	Cut      []bool    // days on which hay can be made; nil for all
	Made     float64   // share of the grass cut that comes into the barn
	Reserve  int       // days of grass for all herds that stay uncut
	Barn     float64   // kg of hay at the beginning, in dry matter as it is eaten
}

// A Visit is a herd on a paddock, from a day up to and with another.
type Visit struct {
	Herd, Paddock int
	From, To      int
	Eaten         float64 // kg of dry matter
}

// A Mowing is a paddock cut.
type Mowing struct {
	Paddock, Day int
	Hay          float64 // kg of dry matter into the barn
}

// A GrassPlan is the year that comes of it. Series are by day, in kg of dry matter.
type GrassPlan struct {
	Visits  []Visit
	Mowings []Mowing
	Covers  [][]float64 // kg/ha at the end of each day, by day and paddock
	Grazed  []float64
	Fed     []float64 // hay from the barn
	Bought  []float64 // hay that the barn did not have
	Grown   float64   // over the plan, what died at the ceiling left aside
	Trodden float64   // grazed off but not eaten, and lost in hay making
	Barn    float64   // left at the end
}

// Drier is the same farm where grass grows less by a share.
func (g Grass) Drier(by float64) Grass {
	growth := make([]float64, len(g.Growth))
	for d := range growth {
		growth[d] = g.Growth[d] * (1 - by)
	}
	g.Growth = growth
	return g
}

// Plan moves the herds day by day. A herd stays while its paddock gives a whole
// day's feed and its stay is not over; then it goes to the paddock with the most
// grass of those that are free and rested. Herds move in their order, so the
// first has the first choice. No paddock is grazed below the residual, none is
// entered before its recovery, none holds two herds on a day. What is missing is
// fed as hay. A paddock that no herd needs is cut where the season allows it and
// the farm keeps its reserve.
func (g Grass) Plan() GrassPlan {
	s := newGraze(g)
	for day := range g.Growth {
		s.day(day)
	}
	return s.plan
}

// A graze is the state of a plan on a day.
type graze struct {
	Grass
	plan   GrassPlan
	cover  []float64 // kg/ha by paddock
	last   []int     // the day on which a paddock was last grazed or cut
	holder []int     // the herd that holds a paddock today, or -1
	visit  []int     // by herd: its present visit in the plan, or -1
}

func newGraze(g Grass) *graze {
	days := len(g.Growth)
	s := &graze{Grass: g}
	s.plan = GrassPlan{Grazed: make([]float64, days), Fed: make([]float64, days), Bought: make([]float64, days), Barn: g.Barn}
	for _, p := range g.Paddocks {
		rested := p.Rested
		if rested == 0 && days > 0 {
			rested = g.Recovery[0]
		}
		s.cover, s.last, s.holder = append(s.cover, p.Cover), append(s.last, -rested-1), append(s.holder, -1)
	}
	for range g.Herds {
		s.visit = append(s.visit, -1)
	}
	return s
}

func (s *graze) day(day int) {
	s.grow(day)
	s.release(day)
	for h := range s.Herds {
		s.feed(h, day)
	}
	s.mow(day)
	s.plan.Covers = append(s.plan.Covers, append([]float64{}, s.cover...))
}

// grow lets each paddock grow for a day, up to the ceiling.
func (s *graze) grow(day int) {
	for p, paddock := range s.Paddocks {
		grown := math.Min(s.Growth[day]*paddock.Growth, math.Max(0, s.Ceiling-s.cover[p]))
		s.cover[p] += grown
		s.plan.Grown += float64(grown * paddock.Area)
	}
}

// release frees the paddocks that no herd holds on from yesterday.
func (s *graze) release(day int) {
	for p := range s.holder {
		s.holder[p] = -1
	}
	for h, v := range s.visit {
		if v < 0 {
			continue
		}
		at := s.plan.Visits[v]
		over := s.Stay > 0 && day-at.From >= s.Stay
		if over || s.housed(h, day) || !s.opens(at.Paddock, day) || s.above(at.Paddock) < s.Herds[h].Need[day]*(1-shade) {
			s.visit[h] = -1
			continue
		}
		s.holder[at.Paddock] = h
	}
}

func (s *graze) housed(h, day int) bool { return s.Herds[h].In != nil && s.Herds[h].In[day] }

func (s *graze) opens(p, day int) bool { return s.Paddocks[p].Open == nil || s.Paddocks[p].Open[day] }

// above is what a herd can eat on a paddock, in kg.
func (s *graze) above(p int) float64 {
	return math.Max(0, s.cover[p]-s.Residual) * s.Paddocks[p].Area * s.Used
}

// feed gives a herd its day: grass, from as many paddocks as it takes, then hay.
func (s *graze) feed(h, day int) {
	need := s.Herds[h].Need[day]
	for !s.housed(h, day) && need > shade*s.Herds[h].Need[day] {
		if s.visit[h] < 0 && !s.enter(h, day) {
			break
		}
		v := &s.plan.Visits[s.visit[h]]
		eaten := math.Min(need, s.above(v.Paddock))
		s.cover[v.Paddock] -= eaten / s.Used / s.Paddocks[v.Paddock].Area
		s.plan.Trodden += eaten/s.Used - eaten
		s.plan.Grazed[day] += eaten
		s.last[v.Paddock] = day
		v.Eaten, v.To = v.Eaten+eaten, day
		if need -= eaten; need > shade*s.Herds[h].Need[day] {
			s.visit[h] = -1
		}
	}
	fed := math.Min(math.Max(0, need), s.plan.Barn)
	s.plan.Fed[day] += fed
	s.plan.Barn -= fed
	s.plan.Bought[day] += math.Max(0, need) - fed
}

// enter moves a herd to the free and rested paddock with the most grass on it.
func (s *graze) enter(h, day int) bool {
	best, most := -1, 0.0
	for p := range s.Paddocks {
		if s.free(p, day) && s.opens(p, day) && s.above(p) > shade && s.cover[p] > most {
			best, most = p, s.cover[p]
		}
	}
	if best < 0 {
		return false
	}
	s.holder[best] = h
	s.visit[h] = len(s.plan.Visits)
	s.plan.Visits = append(s.plan.Visits, Visit{Herd: h, Paddock: best, From: day, To: day})
	return true
}

func (s *graze) free(p, day int) bool {
	return s.holder[p] < 0 && day-s.last[p]-1 >= s.Recovery[day]
}

// mow cuts the tallest paddocks that no herd will need within the reserve.
func (s *graze) mow(day int) {
	if s.CutAt == 0 || s.Cut != nil && !s.Cut[day] {
		return
	}
	reserve, ready := 0.0, 0.0
	for h := range s.Herds {
		if !s.housed(h, day) {
			reserve += float64(s.Herds[h].Need[day] * float64(s.Reserve))
		}
	}
	for p := range s.Paddocks {
		ready += s.above(p)
	}
	for {
		tallest := -1
		for p, paddock := range s.Paddocks {
			if paddock.Hay && s.holder[p] < 0 && s.last[p] < day && s.cover[p] >= s.CutAt && (tallest < 0 || s.cover[p] > s.cover[tallest]) {
				tallest = p
			}
		}
		if tallest < 0 || ready-s.above(tallest) < reserve {
			return
		}
		ready -= s.above(tallest)
		s.cut(tallest, day)
	}
}

func (s *graze) cut(p, day int) {
	grass := float64(math.Max(0, s.cover[p]-s.Residual) * s.Paddocks[p].Area)
	hay := float64(grass * s.Made)
	s.cover[p], s.last[p] = math.Min(s.cover[p], s.Residual), day
	s.plan.Barn += hay
	s.plan.Trodden += grass - hay
	s.plan.Mowings = append(s.plan.Mowings, Mowing{p, day, hay})
}
