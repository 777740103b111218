package season

// Ages is a herd or flock of females by year of age, from those born in the year.
type Ages struct {
	Heads []float64
	Young []float64 // females that a head of each age bears and rears in a year
	Kept  []float64 // share of each age that is still there a year on
}

// Next returns the heads by age a year on, with all young kept. What is past the
// last age has gone.
func (a Ages) Next() []float64 {
	next := make([]float64, len(a.Heads))
	for i, heads := range a.Heads {
		next[0] += float64(heads * a.Young[i])
		if i+1 < len(next) {
			next[i+1] = heads * a.Kept[i]
		}
	}
	return next
}

// Steady returns the herd that stays as it is with so many heads of breeding ages,
// those that bear young. Its first entry is the young to keep in each year; spare
// is the young borne beyond them, below 0 for those that must be bought.
func (a Ages) Steady(breeding float64) (heads []float64, spare float64) {
	heads = make([]float64, len(a.Young))
	left, breeders, born := 1.0, 0.0, 0.0
	for i, young := range a.Young {
		heads[i] = left
		if young > 0 {
			breeders += left
		}
		born += float64(left * young)
		left *= a.Kept[i]
	}
	if breeders == 0 {
		return make([]float64, len(heads)), 0
	}
	for i := range heads {
		heads[i] *= breeding / breeders
	}
	return heads, (born - 1) * breeding / breeders
}

// Weighed adds up heads by class, each times what one of its class counts for:
// livestock units, dry matter eaten, nitrogen excreted, water drunk. What a head
// counts for differs by scheme and comes with its source from the farm's data.
func Weighed(heads, each []float64) float64 {
	sum := 0.0
	for i, n := range heads {
		sum += float64(n * each[i])
	}
	return sum
}
