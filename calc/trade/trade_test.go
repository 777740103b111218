package trade

import (
	"math"
	"slices"
	"strings"
	"testing"

	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// Units in the base units that functions take.
const (
	day  = 86400.0
	lb   = 0.45359237
	acre = 4046.8564224
	ha   = 1e4
)

// call works a function out; a series argument is a []float64 of twelve, and what
// can be many stands at the end.
func call(t *testing.T, name string, args ...any) []float64 {
	t.Helper()
	for _, f := range Functions {
		if f.Name != name {
			continue
		}
		last := len(f.Params) - 1
		if len(args) != len(f.Params) && !(f.Params[last].Many && len(args) > last) {
			t.Fatalf("%s has %d parameters, not %d", name, len(f.Params), len(args))
		}
		var flat []float64
		for i, a := range args {
			i = min(i, last)
			switch a := a.(type) {
			case float64:
				if f.Params[i].Months {
					t.Fatalf("%s wants twelve months for %s", name, f.Params[i].Name)
				}
				flat = append(flat, a)
			case []float64:
				if len(a) != 12 || !f.Params[i].Months {
					t.Fatalf("%s: %s is %v", name, f.Params[i].Name, a)
				}
				flat = append(flat, a...)
			default:
				t.Fatalf("%s: %T for %s", name, a, f.Params[i].Name)
			}
		}
		out := make([]float64, 1)
		if f.Result.Months {
			out = make([]float64, 12)
		}
		f.Work(flat, out)
		return out
	}
	t.Fatalf("there is no function %s", name)
	return nil
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.7g, want %.7g within %g", what, got, want, within)
	}
}

func none(t *testing.T, what string, got []float64) {
	t.Helper()
	for _, x := range got {
		if !math.IsNaN(x) {
			t.Errorf("%s is %v, want no answer", what, got)
			return
		}
	}
}

// TestFunctionsAreDescribed: each function and argument says what it is, in the
// midst of a sentence; limits are in a unit of the argument's own dimension.
func TestFunctionsAreDescribed(t *testing.T) {
	units, err := quantity.NewSystem("GBP", nil)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, f := range Functions {
		if seen[f.Name] {
			t.Errorf("two functions are called %s", f.Name)
		}
		seen[f.Name] = true
		if f.Source == "" {
			t.Errorf("%s has no source", f.Name)
		}
		phrase(t, f.Name, f.About)
		for _, rule := range f.Rules {
			phrase(t, f.Name+": rule", rule.Words)
		}
		for _, p := range f.Params {
			phrase(t, f.Name+": "+p.Name, p.About)
		}
		for i, p := range append(slices.Clone(f.Params), f.Result) {
			unit, err := units.ParseUnit(p.Unit)
			if free := p.Any || p.Like > 0; err != nil || !free && p.Unit != "" && unit.Dimension != p.Dimension || free && p.Dimension != "" {
				t.Errorf("%s: argument %d is of %q and measured in %q (%v)", f.Name, i+1, p.Dimension, p.Unit, err)
			}
			if words := p.Sense.Words(p.Unit); p.Dimension != "" && p.Unit == "" && words != "" {
				t.Errorf("%s: argument %d must be %s, but of what?", f.Name, i+1, words)
			}
			if p.Many && i != len(f.Params)-1 {
				t.Errorf("%s: only the last argument can be many", f.Name)
			}
		}
	}
}

func phrase(t *testing.T, what string, words say.Text) {
	t.Helper()
	text := words.String()
	if text == "" || strings.HasSuffix(text, ".") || strings.HasPrefix(text, " ") {
		t.Errorf("%s is described as %q", what, text)
	}
}
