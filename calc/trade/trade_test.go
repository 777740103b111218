package trade

import (
	"math"
	"strings"
	"testing"
)

// Units in the base units that functions take.
const (
	day  = 86400.0
	lb   = 0.45359237
	acre = 4046.8564224
	ha   = 1e4
)

// call works a function out; a series argument is a []float64 of twelve.
func call(t *testing.T, name string, args ...any) []float64 {
	t.Helper()
	for _, f := range Functions {
		if f.Name != name {
			continue
		}
		if len(args) != len(f.Params) {
			t.Fatalf("%s has %d parameters, not %d", name, len(f.Params), len(args))
		}
		var flat []float64
		for i, a := range args {
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
		f.Eval(flat, out)
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

func TestFunctionsAreDescribed(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range Functions {
		if seen[f.Name] {
			t.Errorf("two functions are called %s", f.Name)
		}
		seen[f.Name] = true
		if f.About == "" || f.Source == "" || strings.HasSuffix(f.About, ".") {
			t.Errorf("%s: about %q, source %q", f.Name, f.About, f.Source)
		}
		for _, p := range append(f.Params, f.Result) {
			if p.Any && p.Dimension != "" {
				t.Errorf("%s: %s is of any dimension and of %s", f.Name, p.Name, p.Dimension)
			}
		}
	}
}
