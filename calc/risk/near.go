package risk

import "math"

// near makes a mix out of a plan that is not whole: of each enterprise the offer
// nearest below what the plan mixes, and then, as long as that gains, single
// enterprises a few offers up or down. One that comes near the best so made has two
// enterprises moved at a time, by one offer, and a new best by any few. It returns nil
// if the mix is no better than one made before.
func (w *written) near(x []float64) []float64 {
	t := w.trial(w.chosen(x))
	gain, ok := t.gain()
	if !ok {
		return nil
	}
	gain = t.single(gain)
	if gain > w.polish-float64(0.01*math.Abs(w.polish)) {
		gain = t.climb(gain, 1)
	}
	if gain <= w.polish {
		return nil
	}
	w.polish = t.climb(gain, math.MaxInt)
	return w.plan(t.chosen, t.used)
}

// climb moves pairs by so many offers at most, and single enterprises, as long as
// that gains.
func (t *trial) climb(gain float64, most int) float64 {
	for {
		next := t.single(t.pairs(gain, most))
		if next <= gain {
			return gain
		}
		gain = next
	}
}

// A trial is a mix that is being changed.
type trial struct {
	w      *written
	chosen []int // by enterprise, an offer of its kind; -1 for none
	kinds  []*kind
	sum    float64 // of the offers' gains
	used   []float64
}

func (w *written) trial(chosen []int) *trial {
	t := &trial{w: w, chosen: chosen, kinds: make([]*kind, len(chosen)), used: make([]float64, len(w.Resources))}
	for i := range w.kinds {
		for _, e := range w.kinds[i].members {
			t.kinds[e] = &w.kinds[i]
		}
	}
	for e := range chosen {
		t.count(e, 1)
	}
	return t
}

// count adds an enterprise's offer to the sums, so many times.
func (t *trial) count(e int, times float64) {
	if o := t.chosen[e]; o >= 0 {
		offer := &t.kinds[e].offers[o]
		t.sum += float64(times * offer.Gain)
		for r, use := range offer.Uses {
			t.used[r] += float64(times * use)
		}
	}
}

// gain is what the mix gains, less what must be bought for it; false if it does
// not fit.
func (t *trial) gain() (float64, bool) {
	gain := t.sum
	for r, resource := range t.w.Resources {
		short := t.used[r] - resource.Limit
		if short > resource.Most+slip(resource) {
			return 0, false
		}
		if short > 0 {
			gain -= float64(short * resource.Price)
		}
	}
	return gain, true
}

// move changes an enterprise's offer by so many; false if it has none there.
func (t *trial) move(e, by int) bool {
	to := t.chosen[e] + by
	if to < -1 || to >= len(t.kinds[e].offers) {
		return false
	}
	t.count(e, -1)
	t.chosen[e] = to
	t.count(e, 1)
	return true
}

// better is by what part of the gain a move must better it.
func better(gain, than float64) bool { return gain > than+float64(1e-9*math.Max(1, math.Abs(than))) }

// single moves single enterprises as long as that gains.
func (t *trial) single(gain float64) float64 {
	for improved := true; improved; {
		improved = false
		for e := range t.kinds {
			t.moves(e, math.MaxInt, func() bool {
				g, ok := t.gain()
				if ok = ok && better(g, gain); ok {
					gain, improved = g, true
				}
				return ok
			})
		}
	}
	return gain
}

// moves tries an enterprise's offers up and down from where it is, by one, two, four
// and so on to so many, until keep keeps a move; it reports whether one was kept.
func (t *trial) moves(e, most int, keep func() bool) bool {
	for by := 1; by <= min(most, len(t.kinds[e].offers)); by *= 2 {
		for _, by := range [2]int{by, -by} {
			if !t.move(e, by) {
				continue
			}
			if keep() {
				return true
			}
			t.move(e, -by)
		}
	}
	return false
}

// pairs moves two enterprises at a time, each by so many offers at most, wherever
// that gains.
func (t *trial) pairs(gain float64, most int) float64 {
	for e := range t.kinds {
		t.moves(e, most, func() bool {
			for second := e + 1; second < len(t.kinds); second++ {
				if t.moves(second, most, func() bool {
					g, ok := t.gain()
					if ok = ok && better(g, gain); ok {
						gain = g
					}
					return ok
				}) {
					return true
				}
			}
			return false
		})
	}
	return gain
}
