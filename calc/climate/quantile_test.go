package climate

import (
	"math"
	"testing"
)

// Twenty years of last frosts, days of the year, by hand.
var frosts = []float64{118, 125, 109, 131, 122, 115, 128, 120, 112, 135, 124, 119, 127, 121, 116, 130, 123, 114, 126, 117}

func TestQuantiles(t *testing.T) {
	for _, c := range []struct{ share, rank, sheet float64 }{{0.1, 112.2 - 0.0, 113.8}, {0.5, 121.5, 121.5}, {0.9, 130.9, 130.1}} {
		near(t, "by p(n+1)", Rank(frosts, c.share), c.rank, 0.05)
		near(t, "by p(n-1)+1", Spreadsheet(frosts, c.share), c.sheet, 0.05)
	}
	nine := []float64{9, 8, 7, 6, 5, 4, 3, 2, 1}
	near(t, "a tenth of nine years", Rank(nine, 0.1), 1, 0)
	near(t, "nine tenths", Rank(nine, 0.9), 9, 0)
	none(t, "a twentieth of nine years", Rank(nine, 0.05))
	none(t, "beyond the last", Rank(nine, 0.95))
	near(t, "the least", Spreadsheet(nine, 0), 1, 0)
	near(t, "the most", Spreadsheet(nine, 1), 9, 0)
	none(t, "nothing", Spreadsheet(nil, 0.5))
	none(t, "unknown", Rank([]float64{1, math.NaN(), 3}, 0.5))
	// 1.0/49 * 49 is a hair below 1.
	near(t, "a 49th of 48 years", Rank(make([]float64, 48), 1.0/49), 0, 0)
	if nine[0] != 9 {
		t.Error("the values were sorted in place")
	}
	// Share of years with a frost after 6 May, day 126, by counting.
	near(t, "after", ShareAfter(frosts, 126), 0.25, 0)
	near(t, "on or after", ShareAfter(frosts, 125), 0.30, 0)
}
