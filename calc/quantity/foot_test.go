package quantity

import (
	"math"
	"math/rand"
	"reflect"
	"slices"
	"testing"
	"testing/quick"
)

// The published splits U8 to U12 of the project's table of values.
func TestLargestRemainder(t *testing.T) {
	share := func(total float64, parts ...float64) []float64 {
		sum := 0.0
		for _, p := range parts {
			sum += p
		}
		for i := range parts {
			parts[i] *= total / sum
		}
		return parts
	}
	tenth := 0.1 // no constant, whose sum would be exact
	tests := []struct {
		row    string
		parts  []float64
		step   float64
		want   []float64
		total  float64
		moved  bool
		source string
	}{
		{"U8", share(7, 50, 30, 20), 1, []float64{4, 2, 1}, 7, false, "public glossary entry"},
		{"U9", share(10, 47000, 16000, 15800, 12000, 6100, 3100), 1, []float64{5, 2, 1, 1, 1, 0}, 10, true, "encyclopaedia example, simple quota"},
		{"U10", share(100, 1, 1, 1), 1, []float64{34, 33, 33}, 100, true, "tie goes to the earlier item"},
		{"U11", share(100, 145, 145, 145, 565), 1, []float64{15, 15, 14, 56}, 100, true, "largest remainder"},
		{"U12", share(100, 1, 1, 1), 0.01, []float64{33.34, 33.33, 33.33}, 100, true, "largest remainder"},

		// By hand, with the method's own rule.
		{"debts", []float64{-33.335, -33.335, -33.33}, 0.01, []float64{-33.33, -33.34, -33.33}, -100, true, ""},
		{"both signs", []float64{10.4, -5.4, 1.4}, 1, []float64{10, -5, 1}, 6, false, ""},
		{"both signs, moved", []float64{10.4, -5.2, 1.4}, 1, []float64{11, -5, 1}, 7, true, ""},
		{"a step of 0.25", []float64{0.3, 0.3, 0.4}, 0.25, []float64{0.25, 0.25, 0.5}, 1, false, ""},
		{"a step of 5", []float64{12, 12, 12}, 5, []float64{15, 10, 10}, 35, true, ""},
		{"a tie but for the noise of 0.1 + 0.2", []float64{0.3, tenth + 0.2, 0.2, 0.2}, 1, []float64{1, 0, 0, 0}, 1, true, ""},
		{"nothing", nil, 1, []float64{}, 0, false, ""},
		{"one part", []float64{2.5}, 1, []float64{3}, 3, false, ""},
		{"half a step in all", []float64{0.25, 0.25}, 1, []float64{1, 0}, 1, true, ""},
		{"no step", []float64{1.5, 2.25}, 0, []float64{1.5, 2.25}, 3.75, false, ""},
	}
	for _, test := range tests {
		rounded, total, moved := Foot(test.parts, test.step)
		if !slices.Equal(rounded, test.want) || total != test.total || moved != test.moved {
			t.Errorf("%s: Foot(%v, %v) = %v, %v, %v, want %v, %v, %v", test.row, test.parts, test.step, rounded, total, moved, test.want, test.total, test.moved)
		}
	}
}

func TestFootOfWhatIsNotFinite(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300} {
		parts := []float64{1.5, bad, 2}
		rounded, total, moved := Foot(parts, 0.01)
		if moved || rounded[0] != 1.5 || rounded[2] != 2 || total == total && total != bad+3.5 {
			t.Errorf("with %v: %v, %v, %v", bad, rounded, total, moved)
		}
	}
	for _, step := range []float64{math.NaN(), math.Inf(1), -1} {
		if rounded, total, _ := Foot([]float64{1.25, 1}, step); rounded[0] != 1.25 || total != 2.25 {
			t.Errorf("with a step of %v: %v, %v", step, rounded, total)
		}
	}
}

// parts is a random column of figures, in steps of its own: money from pennies
// to millions, shares, debts, noughts and halves.
type parts struct {
	values []float64
	step   float64
}

func (parts) Generate(r *rand.Rand, size int) reflect.Value {
	p := parts{step: []float64{1, 0.01, 0.001, 0.1, 5, 0.25, 100, 0.05}[r.Intn(8)]}
	scale := math.Pow(10, float64(r.Intn(9)))
	for range r.Intn(size + 1) {
		v := r.NormFloat64() * scale
		switch r.Intn(8) {
		case 0:
			v = 0
		case 1:
			v = math.Round(v) + 0.5
		case 2:
			v = math.Trunc(v*100) / 100
		case 3:
			v = float64(r.Intn(1000)) * p.step
		}
		p.values = append(p.values, v)
	}
	return reflect.ValueOf(p)
}

// steps counts whole steps exactly; it fails the property by returning NaN
// where v is not a whole number of them.
func steps(v, step float64) float64 {
	n := math.Round(v / step)
	if roundTo(n*step, step) != v {
		return math.NaN()
	}
	return n
}

func TestFootAlwaysAddsUp(t *testing.T) {
	property := func(p parts) bool {
		before := slices.Clone(p.values)
		rounded, total, moved := Foot(p.values, p.step)
		sum, off := 0.0, false
		for i, v := range rounded {
			sum += steps(v, p.step)
			if !(math.Abs(v-p.values[i]) < p.step*(1+1e-6)) {
				t.Logf("part %d moved from %v to %v", i, p.values[i], v)
				return false
			}
			off = off || math.Abs(v-roundTo(p.values[i], p.step)) > p.step/2
		}
		if sum != steps(total, p.step) {
			t.Logf("the parts make %v steps, the total %v", sum, total/p.step)
			return false
		}
		again, same, movedAgain := Foot(rounded, p.step)
		if !slices.Equal(again, rounded) || same != total || movedAgain {
			t.Logf("footing again gives %v, %v, %v", again, same, movedAgain)
			return false
		}
		return off == moved && slices.Equal(before, p.values)
	}
	if err := quick.Check(property, &quick.Config{MaxCount: 5000, Rand: rand.New(rand.NewSource(1))}); err != nil {
		t.Error(err)
	}
}

// As printed: the texts of a footed column, read as pence, add up to the text
// of the total.
func TestFootedColumnAddsUpAsPrinted(t *testing.T) {
	s := NewStyle(farm(t), english)
	pence := func(text string) (n int) {
		sign := 1
		for _, r := range text {
			switch {
			case r == '−':
				sign = -1
			case r >= '0' && r <= '9':
				n = 10*n + int(r-'0')
			}
		}
		return sign * n
	}
	r := rand.New(rand.NewSource(2))
	for range 300 {
		values := make([]float64, 1+r.Intn(12))
		for i := range values {
			values[i] = r.NormFloat64() * 5000
		}
		rounded, total, _ := Foot(values, 0.01)
		sum := 0
		for _, v := range rounded {
			sum += pence(s.Text(v, s.System().Money(), 0.01))
		}
		if want := pence(s.Text(total, s.System().Money(), 0.01)); sum != want {
			t.Fatalf("%v prints as parts of %d and a total of %d", values, sum, want)
		}
	}
}

func TestFootOfALongColumn(t *testing.T) {
	// Each part is a hair below a whole number of a great many steps, so all
	// are taken for it; the hairs make several steps together.
	values := make([]float64, 20_000)
	for i := range values {
		values[i] = 123_456_789 - 9e-5
	}
	rounded, total, _ := Foot(values, 1)
	sum := 0.0 // exact: whole numbers below 2^53
	for _, v := range rounded {
		sum += v
	}
	if sum != total || total != 20_000*123_456_789-2 {
		t.Errorf("parts make %.0f, total %.0f", sum, total)
	}
}
