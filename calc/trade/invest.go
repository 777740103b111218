package trade

import (
	"cmp"
	"math"
	"slices"
)

// Flows in this file are the money of equal periods: the first falls today and
// is not discounted, each of the others at the end of its period. Rates are
// fractions for a period.

// PresentValue returns the flows' worth today.
func PresentValue(rate float64, flows []float64) float64 {
	worth := 0.0
	for n := len(flows) - 1; n >= 0; n-- { // Horner
		worth = worth/(1+rate) + flows[n]
	}
	return worth
}

// Rates between which internal rates of return are looked for: all but the
// whole lost in a period, and a thousandfold gain.
const (
	leastReturn = -0.999
	mostReturn  = 1000.
)

// InternalRates returns all rates at which the flows are worth nothing today,
// in rising order. A rate that the value touches without crossing zero is
// among them if it comes within a thousand-millionth of the flows.
func InternalRates(flows []float64) []float64 {
	size := 0.0
	for _, x := range flows {
		size = math.Max(size, math.Abs(x))
	}
	if size == 0 || math.IsInf(size, 0) || math.IsNaN(size) {
		return nil
	}
	// In x = 1/(1+rate) the value is a polynomial, whose real roots lie one
	// between each two neighbouring ones of its derivative.
	scaled := make([]float64, len(flows))
	for i, x := range flows {
		scaled[i] = x / size
	}
	var rates []float64
	for _, x := range roots(scaled, 1/(1+mostReturn), 1/(1+leastReturn)) {
		rates = append(rates, 1/x-1)
	}
	slices.Sort(rates)
	return rates
}

// sameRoot is how near two roots count as one: a root that is only touched can
// be found to half of the digits of a float64.
const sameRoot = 1e-7

// roots returns the real roots between low and high of the polynomial with the
// given coefficients, the constant first.
func roots(c []float64, low, high float64) []float64 {
	for len(c) > 0 && c[len(c)-1] == 0 {
		c = c[:len(c)-1]
	}
	if len(c) < 2 {
		return nil
	}
	slope := make([]float64, len(c)-1)
	for i := range slope {
		slope[i] = float64(i+1) * c[i+1]
	}
	ends := append([]float64{low}, roots(slope, low, high)...)
	ends = append(ends, high)
	at := func(x float64) float64 {
		y := 0.0
		for i := len(c) - 1; i >= 0; i-- {
			y = float64(y*x) + c[i]
		}
		return y
	}
	var found []float64
	add := func(x float64) {
		if len(found) == 0 || x-found[len(found)-1] > sameRoot*x {
			found = append(found, x)
		}
	}
	for i := 1; i < len(ends); i++ {
		a, b := ends[i-1], ends[i]
		ya, yb := at(a), at(b)
		if i > 1 && math.Abs(ya) < 1e-15 {
			add(a)
			continue
		}
		if ya == 0 || (ya < 0) == (yb < 0) {
			if ya == 0 {
				add(a)
			}
			continue
		}
		for range 200 {
			m := a + float64((b-a)/2)
			if m == a || m == b {
				break
			}
			if (at(m) < 0) == (ya < 0) {
				a = m
			} else {
				b = m
			}
		}
		add(a + float64((b-a)/2))
	}
	return found
}

// NearestRate returns the internal rate nearest to nought, which is usually meant
// where there are several, and whether there is any.
func NearestRate(flows []float64) (float64, bool) {
	rates := InternalRates(flows)
	if len(rates) == 0 {
		return 0, false
	}
	return slices.MinFunc(rates, func(a, b float64) int { return cmp.Compare(math.Abs(a), math.Abs(b)) }), true
}

// Payback returns after how many periods the flows have brought the first one
// back, each at its worth today and falling evenly within its period, and whether
// they do. Money is back only once it stays back.
func Payback(rate float64, flows []float64) (float64, bool) {
	back, found := 0.0, false
	sum, factor := 0.0, 1.0
	for n, x := range flows {
		before := sum
		sum += float64(x * factor)
		factor /= 1 + rate
		switch {
		case sum < 0:
			found = false
		case !found:
			found, back = true, 0
			if n > 0 && sum > before {
				back = float64(n-1) + -before/(sum-before)
			}
		}
	}
	return back, found
}
