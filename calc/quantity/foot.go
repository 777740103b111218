package quantity

import (
	"cmp"
	"math"
	"slices"
)

// Foot rounds parts to whole steps so that they add up to their rounded total
// as printed: each part is rounded down, then the parts with the largest
// remainders (the earlier first where they tie) are raised by one step until
// the sum is right. It returns the rounded parts and total, and whether some
// part had to move off the value that it would be rounded to alone.
//
// This is the method of largest remainders. Parts, total and step share one
// unit; halves of the total are rounded away from zero. A part that is not
// finite makes the total so too; it, and parts too large for whole steps to be
// told apart, are returned as they are.
func Foot(parts []float64, step float64) (rounded []float64, total float64, moved bool) {
	sum := preciseSum(parts)
	rounded = slices.Clone(parts)
	// Whole steps are counted as float64: exact up to 2^53 of them.
	size := 0.0
	for _, p := range parts {
		size += math.Abs(p / step)
	}
	if !(step > 0) || math.IsInf(step, 0) || !(size < 1<<52) {
		return rounded, sum, false
	}
	total = roundTo(sum, step)
	wanted := math.Round(total / step)
	order := make([]int, len(parts))
	count := make([]float64, len(parts))
	remainder := make([]float64, len(parts))
	for i, p := range parts {
		order[i] = i
		quota := p / step
		if near := math.Round(quota); math.Abs(quota-near) < slack(quota) {
			quota = near
		}
		count[i] = math.Floor(quota)
		// Remainders that differ only by the noise of float64 are a tie.
		remainder[i] = math.Round((quota - count[i]) * 1e9)
		wanted -= count[i]
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(remainder[b], remainder[a]) })
	for _, i := range order {
		if wanted < 1 {
			break
		}
		count[i]++
		wanted--
	}
	for _, i := range slices.Backward(order) {
		if wanted > -1 {
			break
		}
		count[i]-- // many parts were taken for the whole number just above them
		wanted++
	}
	for i := range parts {
		rounded[i] = roundTo(count[i]*step, step)
		if math.Abs(rounded[i]-roundTo(parts[i], step)) > step/2 {
			moved = true
		}
	}
	return rounded, total, moved
}

// preciseSum sums with the lost low bits carried along (Neumaier's method), so
// that a long column can't drift by a step. What is not finite stays so.
func preciseSum(parts []float64) float64 {
	sum, lost := 0.0, 0.0
	for _, p := range parts {
		next := sum + p
		if math.Abs(sum) >= math.Abs(p) {
			lost += (sum - next) + p
		} else {
			lost += (p - next) + sum
		}
		sum = next
	}
	if math.IsNaN(sum + lost) {
		return sum
	}
	return sum + lost
}
