package quantity

import (
	"math"
	"math/rand"
	"slices"
	"testing"
	"time"
)

func TestFootTo(t *testing.T) {
	for _, test := range []struct {
		name  string
		parts []float64
		total float64
		step  float64
		want  []float64
	}{
		{"the total that Foot gives", []float64{3.5, 2.1, 1.4}, 7, 1, []float64{4, 2, 1}},
		{"one step more", []float64{3.5, 2.1, 1.4}, 8, 1, []float64{4, 2, 2}},
		{"one step less", []float64{3.5, 2.1, 1.4}, 6, 1, []float64{3, 2, 1}},
		{"cents", []float64{33.335, 33.335}, 66.66, 0.01, []float64{33.33, 33.33}},
		{"no parts", nil, 5, 1, []float64{}},
		{"no step", []float64{1.5}, 2, 0, []float64{1.5}},
		{"many steps", []float64{0, 0, 0}, 4, 1, []float64{2, 1, 1}},
		{"very many", []float64{5, 5}, 1_000_001, 1, []float64{500_001, 500_000}},
	} {
		if got := FootTo(test.parts, test.total, test.step); !slices.Equal(got, test.want) {
			t.Errorf("%s: %v, want %v", test.name, got, test.want)
		}
	}
	// A total out of all proportion, or none, must not keep a build busy.
	start := time.Now()
	for _, total := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, 1e12} {
		got := FootTo([]float64{1, 2}, total, 0.01)
		if total == 1e12 && got[0]+got[1] != total {
			t.Errorf("the parts of %v make %v", total, got[0]+got[1])
		}
	}
	if took := time.Since(start); took > time.Second {
		t.Errorf("that took %v", took)
	}
}

func TestFootGridAddsUpBothWays(t *testing.T) {
	r := rand.New(rand.NewSource(6))
	for n := range 3000 {
		rows, columns := 1+r.Intn(8), 1+r.Intn(13)
		step := []float64{1, 0.01, 0.1, 5, 100}[r.Intn(5)]
		scale := math.Pow(10, float64(r.Intn(7)))
		cells := make([][]float64, rows)
		for i := range cells {
			cells[i] = make([]float64, columns)
			for j := range cells[i] {
				switch r.Intn(5) {
				case 0: // many lines fall in few months
				case 1:
					cells[i][j] = float64(r.Intn(50)) * step
				default:
					cells[i][j] = r.NormFloat64() * scale
				}
			}
		}
		rounded, right, below, total := FootGrid(cells, step)
		columnSums := make([]float64, columns)
		grand := 0.0
		for i, row := range rounded {
			sum := 0.0
			for j, x := range row {
				if math.Abs(x-cells[i][j]) >= 2*step {
					t.Fatalf("grid %d: %v became %v by a step of %v", n, cells[i][j], x, step)
				}
				if cells[i][j] == 0 && x != 0 {
					t.Fatalf("grid %d: an empty cell became %v", n, x)
				}
				sum += steps(x, step)
				columnSums[j] += steps(x, step)
			}
			if sum != steps(right[i], step) {
				t.Fatalf("grid %d: row %d makes %v steps, its total %v", n, i, sum, right[i]/step)
			}
			grand += sum
		}
		for j, sum := range columnSums {
			if sum != steps(below[j], step) {
				t.Fatalf("grid %d: column %d makes %v steps, its total %v", n, j, sum, below[j]/step)
			}
		}
		if grand != steps(total, step) {
			t.Fatalf("grid %d: all makes %v steps, the total %v", n, grand, total/step)
		}
	}
}

func TestFootGridOfLittle(t *testing.T) {
	if rounded, right, below, total := FootGrid(nil, 1); rounded != nil || right != nil || below != nil || total != 0 {
		t.Error("an empty grid gives something")
	}
	rounded, right, below, total := FootGrid([][]float64{{0.5, 0.5}, {0.5, 0.5}}, 1)
	if total != 2 || right[0]+right[1] != 2 || below[0]+below[1] != 2 || rounded[0][0]+rounded[0][1] != right[0] {
		t.Errorf("four halves give %v, %v, %v, %v", rounded, right, below, total)
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), 1e300} {
		rounded, _, _, _ := FootGrid([][]float64{{bad, 1.5}, {2, 2.25}}, 1)
		if len(rounded) != 2 || len(rounded[0]) != 2 {
			t.Errorf("with %v: %v", bad, rounded)
		}
	}
}
