package season

import "math"

// A Garden is beds, crops, and what is wanted of each crop in each week of the
// plan.
type Garden struct {
	Crops  []Crop
	Beds   []Bed
	Wanted [][]float64 // kg, by crop and week; all of one length
	// Tries bounds the search for a better plan where the first falls short, in
	// looks at a bed; 0 for DefaultTries.
	Tries int
}

// DefaultTries lets a small garden be tried through.
const DefaultTries = 3_000_000

// A Bed is the smallest piece of ground that is sown or planted at once.
type Bed struct {
	Name   string
	Length float64 // m
	Under  bool    // under cover
	Past   []Past
}

// A Past is a family that stood on a bed before the plan.
type Past struct {
	Family string
	Until  int // its last week, below 0
}

// A Planting is one succession: a crop on one bed, from planting to last picking.
type Planting struct {
	Crop, Bed           int
	Sown, Planted       int // weeks; the same where it is sown in place
	FirstPick, LastPick int
}

// Harvest returns what a planting gives in each week from its first picking, in kg.
func (g *Garden) Harvest(p Planting) []float64 {
	c := &g.Crops[p.Crop]
	out := make([]float64, len(c.Picks))
	for i, share := range c.Picks {
		out[i] = c.Yield * g.Beds[p.Bed].Length * share
	}
	return out
}

// Why something could not be had.
type Why int

// The reasons, from the one that no gardener can mend.
const (
	Season   Why = iota // sown in no week does it stand through frost and dark to be picked then
	Begun               // it would have to be sown before the plan begins
	NoBed               // in all weeks that would do, every bed is taken
	Rotation            // a bed is free, but its family stood or will stand there too near
)

// A Shortage is what one crop lacks in one week.
type Shortage struct {
	Crop, Week int
	Short      float64 // kg
	Why        Why
}

// A GardenPlan is the answer.
type GardenPlan struct {
	Plantings []Planting
	Servings  []Serving // by crop
	Short     []Shortage
	Best      bool // no plan is short of less, by worth: everything was tried, or nothing lacks but by season
}

// Plan turns what is wanted into sowings. Each succession starts as late as it
// still serves the first week that is short, on the shortest bed that holds
// enough. No bed holds two crops in a week, no family returns to its bed before
// its rest is over, and nothing stands out of its season. Crops that are worth
// most for the time that they take up a bed are fitted in first; where something
// is short, other ways are tried, all of them in a small garden.
func (g *Garden) Plan() GardenPlan {
	s := newBedSearch(g)
	s.try(0, 0)
	return s.answer()
}

// why says what stands in the way of a crop in a week.
func (s *bedSearch) why(crop, week int) Why {
	c := &s.garden.Crops[crop]
	reason, begun := Season, false
	for planted := week; planted >= week-longestGrowth; planted-- {
		st, ok := s.standing(c, planted)
		if !ok || !c.picksFor(st, week) {
			continue
		}
		if planted < c.Raised {
			begun = true
			continue
		}
		reason = max(reason, NoBed)
		for b := range s.beds {
			if s.fits(b, crop, st, true) {
				reason = Rotation
			}
		}
	}
	if reason == Season && begun {
		return Begun
	}
	return reason
}

// worthOf ranks crops: what a metre of bed brings in a week that it is taken.
func worthOf(c *Crop) float64 {
	best := math.Inf(-1)
	for planted := range c.Gain {
		if st, ok := c.standing(planted); ok {
			best = math.Max(best, c.Worth*c.Yield/float64(st.last-planted+1))
		}
	}
	return best
}
