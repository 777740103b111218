package linear

import (
	"cmp"
	"errors"
	"math"
	"slices"
)

// tryFor is for how many steps each side of a cut is tried.
const tryFor = 40

// A cut parts what is left in two, both of which shut the plan at hand out.
type cut struct {
	key, at int
	shut    [2]float64 // what each side shuts out
	score   float64
	sides   [2]trial
}

// A trial is what is known of one side of a cut: a bound of its gain, and where the
// method stood when it was left; nil if it was not tried, or is shut.
type trial struct {
	bound float64
	end   *state
}

// A history is what cuts of a variable or set have lowered the bound by, for
// each unit that they shut out, down and up.
type history [2]struct {
	sum   float64
	count int
}

// cuts lists where a plan that is not whole can be cut.
func (s *search) cuts(x []float64) []*cut {
	var all []*cut
	for k, set := range s.p.Sets {
		if at, above, ok := middle(set, x); ok {
			all = append(all, &cut{key: len(s.p.Variables) + k, at: at, shut: [2]float64{above, 1 - above}})
		}
	}
	for j, whole := range s.whole {
		if !whole || s.setOf[j] >= 0 || math.Abs(x[j]-math.Round(x[j])) <= wholeness {
			continue
		}
		floor := math.Floor(x[j])
		all = append(all, &cut{key: j, at: int(floor), shut: [2]float64{x[j] - floor, floor + 1 - x[j]}})
	}
	return all
}

// middle returns where a set is best cut, the member next above the mean of those
// that the plan mixes, and how much of it lies from there on; ok is false if the
// set is whole.
func middle(set []int, x []float64) (at int, above float64, ok bool) {
	mean := 0.0
	for k, j := range set {
		mean += float64(float64(k+1) * x[j])
		ok = ok || math.Abs(x[j]-math.Round(x[j])) > wholeness
	}
	if !ok {
		return 0, 0, false
	}
	from := func(at int) float64 {
		sum := 0.0
		for _, j := range set[at:] {
			sum += x[j]
		}
		return sum
	}
	// None of the set is its place 0. The cut must shut some out on both sides.
	at = min(int(math.Floor(mean)), len(set)-1)
	for at > 0 && from(at) <= wholeness {
		at--
	}
	for at < len(set)-1 && from(at) >= 1-wholeness {
		at++
	}
	return at, from(at), true
}

// choose picks the cut that lowers the bound on both sides most: it tries them in
// the order of what is foreseen of them until one is no better than the one before.
func (s *search) choose(all []*cut, bound float64) *cut {
	mean := s.mean()
	for _, c := range all {
		c.sides = [2]trial{{bound: bound}, {bound: bound}}
		c.score = score(s.foreseen(c, 0, mean), s.foreseen(c, 1, mean))
	}
	slices.SortStableFunc(all, func(a, b *cut) int { return cmp.Compare(b.score, a.score) })
	best := all[0]
	for i, c := range all {
		if s.limit-s.lp.steps <= 2*tryFor {
			break
		}
		s.try(c, bound)
		c.score = score(bound-c.sides[0].bound, bound-c.sides[1].bound)
		if i > 0 && c.score <= best.score {
			break
		}
		best = c
		if best.sides[0].bound <= s.enough() || best.sides[1].bound <= s.enough() {
			break // one side is shut: no cut is better
		}
	}
	return best
}

// score is high if both sides fall.
func score(down, up float64) float64 {
	const least = 1e-6
	return math.Max(down, least) * math.Max(up, least)
}

// foreseen is by how much a side of a cut is likely to lower the bound.
func (s *search) foreseen(c *cut, side int, mean [2]float64) float64 {
	if h := s.history[c.key][side]; h.count > 0 {
		return h.sum / float64(h.count) * c.shut[side]
	}
	return mean[side] * c.shut[side]
}

// mean is what a unit shut out has lowered the bound by, on either side, over all
// variables that were cut; 1 before any was.
func (s *search) mean() [2]float64 {
	var mean [2]float64
	for side := range mean {
		sum, count := 0.0, 0
		for _, h := range s.history {
			if h[side].count > 0 {
				sum += h[side].sum / float64(h[side].count)
				count++
			}
		}
		mean[side] = 1
		if count > 0 {
			mean[side] = sum / float64(count)
		}
	}
	return mean
}

// try solves both sides of a cut, for some steps, and leaves the program as it was.
func (s *search) try(c *cut, bound float64) {
	lp := s.lp
	before := lp.save()
	least, most := slices.Clone(lp.least), slices.Clone(lp.most)
	for side := range c.sides {
		t := &c.sides[side]
		s.apply(split{c.key, c.at, side})
		lp.place()
		err := lp.solve(s.enough(), tryFor)
		switch {
		case err == nil || errors.Is(err, errSlow):
			t.bound = math.Min(bound, lp.objective())
			end := lp.save()
			t.end = &end
			h := &s.history[c.key][side]
			h.sum += (bound - t.bound) / c.shut[side]
			h.count++
		case !errors.Is(err, errLost):
			t.bound = math.Inf(-1) // nothing better is there
		}
		copy(lp.least, least)
		copy(lp.most, most)
		lp.load(&before)
	}
}
