package chart

import (
	"math"
	"strconv"
)

var split = &kind{says: "A whole and its parts", categories: mostRows, series: 1, lay: layRows}

// splitSpans draws each part where the one before it ended, on a pale bar of
// the whole, with its value and its share.
func (r *rows) splitSpans() {
	s := r.Series[0]
	whole := 0.0
	for _, v := range s.Values {
		if !math.IsNaN(v) {
			whole += v
		}
	}
	shares := splitShares(s.Values)
	from := 0.0
	for i, v := range s.Values {
		r.Spans[i] = append(r.Spans[i], span{Y: r.middle[i], High: r.high, From: 0, To: whole, Fill: StandIn("h1")})
		if math.IsNaN(v) {
			continue
		}
		r.Spans[i] = append(r.Spans[i], span{Y: r.middle[i], High: r.high, From: from, To: from + v, Fill: StandIn("c1")})
		from += v
		text := shares[i]
		if s.Shown[i] != text {
			text = s.Shown[i] + " · " + text
		}
		r.texts = append(r.texts, sideText{i, whole, r.middle[i], text, false, TextWidth(text, TextSize)})
	}
}

// splitShares gives each part's share of the whole as a whole percentage;
// rounded by largest remainder, so that the shares printed add up to 100 %.
func splitShares(values []float64) []string {
	sum := 0.0
	for _, v := range values {
		if v > 0 {
			sum += v
		}
	}
	out := make([]string, len(values))
	if sum <= 0 {
		return out
	}
	whole, rest := make([]int, len(values)), make([]float64, len(values))
	left := 100
	for i, v := range values {
		if !(v > 0) {
			rest[i] = -1
			continue
		}
		share := float64(v / sum * 100)
		whole[i] = int(share)
		rest[i] = share - float64(whole[i])
		left -= whole[i]
	}
	for ; left > 0; left-- {
		best := 0
		for i := range rest {
			if rest[i] > rest[best] {
				best = i
			}
		}
		whole[best]++
		rest[best] = -1
	}
	for i, v := range values {
		switch {
		case math.IsNaN(v):
		case v > 0 && whole[i] == 0:
			out[i] = "under 1 %"
		default:
			out[i] = strconv.Itoa(whole[i]) + " %"
		}
	}
	return out
}
