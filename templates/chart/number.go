package chart

import (
	"math"
	"strconv"
	"strings"

	"rickyard/calc/portable"
)

// Number writes a number with a fixed number of decimals, commas between
// thousands and a true minus sign: −12,500.0.
func Number(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	digits := strconv.FormatFloat(math.Abs(v), 'f', max(0, decimals), 64)
	whole, part, _ := strings.Cut(digits, ".")
	var b strings.Builder
	if v < 0 && strings.Trim(digits, "0.") != "" {
		b.WriteString("−")
	}
	for i, d := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteByte(',')
		}
		b.WriteRune(d)
	}
	if part != "" {
		b.WriteString("." + part)
	}
	return b.String()
}

// A scale is an axis of values: from min to max, with a tick at every step.
type scale struct {
	min, max, step float64
	decimals       int // that the ticks need
}

// smallestScale is the smallest value that an axis is drawn for: its ticks can
// be written with 9 decimals.
const smallestScale = 1e-8

// niceScale returns a scale over low to high of about the given number of
// steps, each 1, 2, 2.5 or 5 times a power of ten.
func niceScale(low, high float64, steps int) scale {
	if size := max(math.Abs(low), math.Abs(high)); size < smallestScale {
		low, high = 0, 1
	} else if high-low < 1e-9*size {
		// All but flat: what little differs is rounding.
		low, high = min(0, low), max(0, high)
	}
	raw := (high - low) / float64(max(1, steps))
	power := portable.Pow(10, math.Floor(portable.Log10(raw)))
	step := 10 * power
	for _, m := range []float64{1, 2, 2.5, 5} {
		if m*power >= raw*0.999 {
			step = m * power
			break
		}
	}
	s := scale{step: step}
	s.min = float64(math.Floor(low/step+1e-9) * step)
	s.max = float64(math.Ceil(high/step-1e-9) * step)
	if s.min == s.max {
		s.max = s.min + step
	}
	for d := 0; d < 9; d++ {
		s.decimals = d
		if p := float64(step * portable.Pow(10, float64(d))); math.Abs(p-math.Round(p)) < 1e-6*p {
			break
		}
	}
	return s
}

// ticks returns the values of the ticks from min to max.
func (s scale) ticks() []float64 {
	var out []float64
	for i := 0; i < 200; i++ {
		v := s.min + float64(float64(i)*s.step)
		if v > s.max+float64(s.step*1e-6) {
			break
		}
		if math.Abs(v) < s.step*1e-9 {
			v = 0
		}
		out = append(out, v)
	}
	return out
}
