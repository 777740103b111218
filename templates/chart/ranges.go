package chart

import "math"

var ranges = &kind{says: "Ranges about a base line", categories: mostRows, series: 1, marks: true, lay: layRows}

// rangeSpans draws each range as two bars that meet at the base, with the
// outcome beyond the end of each. Where both ends lie on the same side, the
// nearer one has no room for its text; the table has it.
func (r *rows) rangeSpans() {
	s := r.Series[0]
	for i := range r.Categories {
		low := span{From: r.Base, To: s.Low[i], Fill: StandIn("c1")}
		high := span{From: r.Base, To: s.High[i], Fill: StandIn("c2")}
		// The longer bar comes first, so that a shorter one shows on top of it.
		ends := []struct {
			span  span
			shown string
		}{{low, s.ShownLow[i]}, {high, s.ShownHigh[i]}}
		if math.Abs(s.High[i]-r.Base) > math.Abs(s.Low[i]-r.Base) {
			ends[0], ends[1] = ends[1], ends[0]
		}
		left, right := false, false
		for _, e := range ends {
			v := e.span.To
			if math.IsNaN(v) {
				continue
			}
			e.span.Y, e.span.High = r.middle[i], r.high
			r.Spans[i] = append(r.Spans[i], e.span)
			if v < r.Base && !left {
				r.text(i, v, r.middle[i], e.shown, true)
				left = true
			} else if v >= r.Base && !right {
				r.text(i, v, r.middle[i], e.shown, false)
				right = true
			} else {
				r.untold = true
			}
		}
	}
}
