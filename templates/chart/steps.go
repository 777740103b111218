package chart

import (
	"fmt"
	"math"

	"rickyard/calc/source"
)

var steps = &kind{says: "Steps from one sum to the next", categories: mostRows, series: 1, marks: true, lay: layRows}

// stepSpans draws each step from where the last one ended, and each sum from
// zero.
func (r *rows) stepSpans() {
	sums := map[int]bool{}
	for _, i := range r.Sums {
		sums[i] = true
	}
	s := r.Series[0]
	running := 0.0
	for i, v := range s.Values {
		if math.IsNaN(v) {
			continue
		}
		sp := span{Y: r.middle[i], High: r.high, From: running, To: running + v, Fill: StandIn("c2")}
		if v > 0 {
			sp.Fill = StandIn("c4")
		}
		if sums[i] || i == 0 {
			sp.From, sp.To, sp.Fill = 0, v, StandIn("c1")
		}
		if i+1 < len(s.Values) && !r.narrow { // there names lie in between
			sp.Join = r.middle[i+1] - float64(r.high/2)
		}
		running = sp.To
		r.Spans[i] = append(r.Spans[i], sp)
		if max(sp.From, sp.To) <= 0 && sp.From != sp.To {
			r.text(i, min(sp.From, sp.To), r.middle[i], s.Shown[i], true)
		} else {
			r.text(i, max(sp.From, sp.To), r.middle[i], s.Shown[i], false)
		}
	}
}

// sumSteps fills in the sums that were left open and checks the others.
func (c *Chart) sumSteps() error {
	sums := map[int]bool{}
	for _, i := range c.Sums {
		if i < 0 || i >= len(c.Categories) {
			return errorf(source.OutOfRange, fmt.Sprintf("steps are counted from 0 to %d", len(c.Categories)-1),
				"there is no step %d to be a sum", i)
		}
		sums[i] = true
	}
	values := c.Series[0].Values
	running, size := 0.0, 0.0
	for i, v := range values {
		if !sums[i] {
			if !math.IsNaN(v) {
				running += v
				size = max(size, math.Abs(v), math.Abs(running))
			}
			continue
		}
		if i == 0 && !math.IsNaN(v) {
			running = v // nothing comes before it: it opens the chart
			size = math.Abs(v)
			continue
		}
		if math.IsNaN(v) {
			values[i] = running
			continue
		}
		// Figures shown to a step may each be off by half of it; 0.5 % of the
		// largest step lets that pass and still shows a missing step.
		if math.Abs(v-running) > float64(0.005*size)+1e-9 {
			return errorf(source.OutOfRange, "name every step between two sums",
				"%q shows %s, but the steps before it add up to %s", clip(c.Categories[i], 60),
				c.Number(v, 2), c.Number(running, 2))
		}
	}
	return nil
}
