package season

import (
	"cmp"
	"math"
	"slices"
)

// A Step is a paddock's place in a feed wedge.
type Step struct {
	Paddock int
	Cover   float64 // kg/ha
	Line    float64 // kg/ha that it should have
}

// Wedge sets the paddocks of a day beside the straight line from the cover at
// which a paddock is entered to that at which it is left, tallest first. Paddocks
// over the line are grass to spare, those under it a gap that is coming. Covers,
// entry and exit are all from the ground, or all above the stubble.
//
// Source: grass wedges as Irish and New Zealand dairy advisers draw them.
func Wedge(covers []float64, entry, exit float64) []Step {
	steps := make([]Step, len(covers))
	for p, cover := range covers {
		steps[p] = Step{Paddock: p, Cover: cover}
	}
	slices.SortStableFunc(steps, func(a, b Step) int { return cmp.Compare(b.Cover, a.Cover) })
	for i := range steps {
		steps[i].Line = entry
		if i > 0 {
			steps[i].Line -= (entry - exit) * float64(i) / float64(len(steps)-1)
		}
	}
	return steps
}

// Bears returns how many times the present stock the worst of some months bears
// where each feeds itself, and which one that is: grown is what stock could eat of
// the growth of each month, eaten what the present stock grazes, in one measure.
// Months without grazing bear any stock; without any the answer is infinite.
func Bears(grown, eaten []float64) (times float64, worst int) {
	times = math.Inf(1)
	for m := range eaten {
		if eaten[m] > 0 && grown[m]/eaten[m] < times {
			times, worst = grown[m]/eaten[m], m
		}
	}
	return times, worst
}
