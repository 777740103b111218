package season

import (
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.9g, want %.9g within %g", what, got, want, within)
	}
}

func alike(t *testing.T, what string, got, want []float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s is %v, want %v", what, got, want)
		return
	}
	for i := range got {
		if !(math.Abs(got[i]-want[i]) <= 1e-9) {
			t.Errorf("%s is %v, want %v", what, got, want)
			return
		}
	}
}

// By pencil: 100 kg of roots lifted in week 1, 10 % lost in each week, 30 kg
// wanted from week 0 to 5, kept for three weeks.
func TestServe(t *testing.T) {
	got := Store{Weeks: 3, Lost: 0.1}.Serve([]float64{0, 100, 0, 0, 0, 0}, []float64{30, 30, 30, 30, 30, 30})
	alike(t, "what is served", got.Served, []float64{0, 30, 30, 29.7, 0, 0})
	alike(t, "what is kept", got.Kept, []float64{0, 70, 33, 0, 0, 0})
	alike(t, "what is lost", got.Spoilt, []float64{0, 0, 7, 3.3, 0, 0})
	got = Store{Weeks: 2}.Serve([]float64{9, 0, 5, 0}, []float64{1, 1, 1, 1})
	alike(t, "the older is served first", got.Served, []float64{1, 1, 1, 1})
	alike(t, "kept after it", got.Kept, []float64{8, 7, 5, 4})
	alike(t, "past its time", got.Spoilt, []float64{0, 0, 6, 0})
	got = Store{}.Serve([]float64{9, 1}, []float64{4, 4})
	alike(t, "served fresh", got.Served, []float64{4, 1})
	alike(t, "left over", got.Spoilt, []float64{5, 0})
	alike(t, "nothing is kept", got.Kept, []float64{0, 0})
}

// Whatever is picked is served, lost or still there.
func TestServeLosesNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 17))
	for range 500 {
		n := 1 + r.IntN(20)
		harvest, wanted := make([]float64, n), make([]float64, n)
		for i := range n {
			harvest[i], wanted[i] = float64(r.IntN(3))*r.Float64(), r.Float64()
		}
		got := Store{r.IntN(6), float64(r.IntN(2)) * r.Float64()}.Serve(harvest, wanted)
		near(t, "what comes out", total(got.Served)+total(got.Spoilt)+got.Kept[n-1], total(harvest), 1e-9)
		for i := range n {
			if got.Served[i] > wanted[i]+1e-12 || got.Kept[i] < 0 || got.Spoilt[i] < 0 {
				t.Fatalf("%v of %v gives %v", harvest, wanted, got)
			}
		}
	}
}

func TestStarts(t *testing.T) {
	// By pencil: trays that give 0.4 kg two weeks after sowing.
	units, missing := Starts([]float64{0.1, 0, 1, 0.4, 0.81}, 2, []float64{0.4})
	if !equal(units, []int{3, 1, 3, 0, 0}) {
		t.Errorf("sown %v", units)
	}
	alike(t, "too early", missing, []float64{0.1, 0, 0, 0, 0})
	// Blocks with nothing in the first week and two flushes: the second one
	// serves week 4.
	units, missing = Starts([]float64{0, 0, 0, 6, 4}, 1, []float64{0, 3, 2})
	if !equal(units, []int{0, 2, 0, 0, 0}) || total(missing) != 0 {
		t.Errorf("started %v, missing %v", units, missing)
	}
	units, missing = Starts([]float64{1}, 0, nil)
	if units[0] != 0 || missing[0] != 1 {
		t.Errorf("what yields nothing is started: %v %v", units, missing)
	}
	// Three tenths and a tenth are four tenths.
	if units, _ = Starts([]float64{0.3 + 0.1, 0.1 * 3}, 0, []float64{0.1}); !equal(units, []int{4, 3}) {
		t.Errorf("noise of fractions starts %v", units)
	}
}

// Bags of nothing, seed of which none comes up: an absurd number, the same on every
// machine, and no endless loop.
func TestCount(t *testing.T) {
	for _, c := range []struct {
		x    float64
		want int
	}{{2.1, 3}, {3 + 1e-12, 3}, {0, 0}, {-5, 0}, {math.Inf(1), 1_000_000_000}, {math.Inf(-1), 0}, {math.NaN(), 0}, {2e9, 1_000_000_000}} {
		if got := count(c.x); got != c.want {
			t.Errorf("%g counts as %d, want %d", c.x, got, c.want)
		}
	}
	if got := Orders([]float64{1, 2}, 0, 0, 0); !equal(got, []int{1_000_000_000, 1_000_000_000}) {
		t.Errorf("bags of nothing: %v", got)
	}
}

// Against trying everything: no fewer units cover what is wanted.
func TestStartsAreFewest(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 17))
	for range 300 {
		n, lead, span := 5, r.IntN(2), 1+r.IntN(3)
		wanted, yields := make([]float64, n), make([]float64, span)
		for i := lead; i < n; i++ {
			wanted[i] = float64(r.IntN(4))
		}
		for i := range yields {
			yields[i] = 1
		}
		units, missing := Starts(wanted, lead, yields)
		if total(missing) > 0 {
			t.Fatalf("missing %v of %v", missing, wanted)
		}
		if !covers(units, wanted, lead, span) {
			t.Fatalf("%v does not cover %v (lead %d, span %d)", units, wanted, lead, span)
		}
		sum := 0
		for _, u := range units {
			sum += u
		}
		if fewer(make([]int, n), 0, sum-1, wanted, lead, span) {
			t.Fatalf("%v covers %v with more than it takes", units, wanted)
		}
	}
}

func covers(units []int, wanted []float64, lead, span int) bool {
	for week, want := range wanted {
		have := 0
		for i := range span {
			if s := week - lead - i; s >= 0 {
				have += units[s]
			}
		}
		if float64(have) < want {
			return false
		}
	}
	return true
}

// fewer tries all ways to start at most left units.
func fewer(units []int, at, left int, wanted []float64, lead, span int) bool {
	if left < 0 {
		return false
	}
	if at == len(units) {
		return covers(units, wanted, lead, span)
	}
	for units[at] = 0; units[at] <= left; units[at]++ {
		if fewer(units, at+1, left-units[at], wanted, lead, span) {
			return true
		}
	}
	units[at] = 0
	return false
}
