package risk

import (
	"math"
	"slices"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
)

// A Swing is how far an outcome moves when one input goes from its low to its
// high and all others stay as they are. All values are in base units.
type Swing struct {
	Input     *figures.Figure
	Base      float64 // the outcome with the input as it is
	Low, High float64 // the outcome at the input's low and high; NaN for none
}

// Spread is the distance between the least and the greatest outcome over the
// input's low, high and present value.
func (s Swing) Spread() float64 {
	low, high := s.Base, s.Base
	for _, x := range []float64{s.Low, s.High} {
		if !math.IsNaN(x) {
			low, high = min(low, x), max(high, x)
		}
	}
	return high - low
}

// Ranged lists the inputs that an outcome depends on and whose low or high is
// known, sorted by name. An input with a value for each month has no range.
func Ranged(outcome *figures.Figure) []*figures.Figure {
	var ranged []*figures.Figure
	for _, f := range outcome.Leaves() {
		if f.Type.Len == 0 && (f.Low != nil || f.High != nil) {
			ranged = append(ranged, f)
		}
	}
	return ranged
}

// bounds are the low and high of an input; a missing one is its value.
func bounds(f *figures.Figure, now float64) (low, high float64) {
	low, high = now, now
	if f.Low != nil {
		low = *f.Low
	}
	if f.High != nil {
		high = *f.High
	}
	return low, high
}

// Swings works out an outcome with each of its ranged inputs at its low and at
// its high, in a given case, and returns those that move it, the largest
// spread first and at most most of them. The case is left as it was.
func Swings(g *figures.Graph, in *figures.Values, outcome *figures.Figure, most int) []Swing {
	var swings []Swing
	for _, input := range Ranged(outcome) {
		p := probeOf(g, in, input, outcome)
		low, high := bounds(input, p.now)
		s := Swing{Input: input, Base: in.Of(outcome), Low: p.at(low), High: p.at(high)}
		p.done()
		if s.Spread() > 1e-9*math.Abs(s.Base) {
			swings = append(swings, s)
		}
	}
	slices.SortStableFunc(swings, func(a, b Swing) int {
		if a.Spread() > b.Spread() {
			return -1
		} else if a.Spread() < b.Spread() {
			return 1
		}
		return 0
	})
	return swings[:min(len(swings), most)]
}

// A probe sets one input and reads one outcome, through formulas and engines.
type probe struct {
	cone           *figures.Cone
	lane           *figures.Lanes
	input, outcome *figures.Figure
	now            float64
}

func probeOf(g *figures.Graph, in *figures.Values, input, outcome *figures.Figure) *probe {
	cone := g.NewCone([]*figures.Figure{input}, []*figures.Figure{outcome}, true)
	return &probe{cone: cone, lane: cone.Lanes(in, 1), input: input, outcome: outcome, now: in.Of(input)}
}

func (p *probe) at(x float64) float64 {
	p.lane.Lane(p.input, 0)[0] = x
	p.cone.Run(p.lane)
	return p.lane.Lane(p.outcome, 0)[0]
}

// done gives the probe's room back.
func (p *probe) done() { p.lane.Free() }

// How far beyond low and high a crossing is looked for, as a multiple of their
// distance from the present value, and in how many cells on either side.
const (
	reach = 3
	cells = 96
)

// A Crossing is where an outcome reaches a level.
type Crossing struct {
	Found  bool
	At     float64 // the input there, base units
	Within bool    // between the input's low and high
}

// Cross finds the value of an input, nearest to its present one, at which an
// outcome passes a level, in a given case. It looks three times as far as the low and the
// high lie from the present value, but not past nothing, nor past the whole for
// a share of a whole. Each side is walked in equal cells, and the first
// cell whose ends lie on both sides of the level is halved until the value is
// known to nine figures; where the outcome jumps, that is the place of the
// jump. A dip within one cell can be missed.
func Cross(g *figures.Graph, in *figures.Values, input, outcome *figures.Figure, level float64) Crossing {
	p := probeOf(g, in, input, outcome)
	defer p.done()
	low, high := bounds(input, p.now)
	from, to := p.now-float64(reach*(p.now-low)), p.now+float64(reach*(high-p.now))
	if p.now >= 0 {
		from = max(from, 0)
	}
	if input.Unit.Dimension == quantity.Number && len(input.Unit.Parts) == 1 && p.now <= 1 {
		to = min(to, 1)
	}
	above := in.Of(outcome) >= level
	best := Crossing{}
	for _, end := range []float64{from, to} {
		if x, ok := p.walk(end, level, above); ok && (!best.Found || math.Abs(x-p.now) < math.Abs(best.At-p.now)) {
			best = Crossing{Found: true, At: x, Within: x >= low && x <= high}
		}
	}
	return best
}

// walk looks from the present value towards an end.
func (p *probe) walk(end, level float64, above bool) (float64, bool) {
	if end == p.now {
		return 0, false
	}
	crossed := func(x float64) bool {
		y := p.at(x)
		return !math.IsNaN(y) && y >= level != above
	}
	step := (end - p.now) / cells
	for i := 1; i <= cells; i++ {
		near, far := p.now+float64(float64(i-1)*step), p.now+float64(float64(i)*step)
		if !crossed(far) {
			continue
		}
		for range 60 {
			middle := (near + far) / 2
			if math.Abs(far-near) <= 1e-9*math.Abs(far) || middle == near || middle == far {
				break
			}
			if crossed(middle) {
				far = middle
			} else {
				near = middle
			}
		}
		return far, true
	}
	return 0, false
}
