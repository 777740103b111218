package risk_test

import (
	"math"
	"testing"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/risk"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// A ranged input: value, low and high as a farmer writes them; "" for none.
type ranged struct{ name, value, low, high string }

func graph(t testing.TB, inputs []ranged, worked map[string]string) *figures.Graph {
	t.Helper()
	units, err := quantity.NewSystem("GBP", []quantity.Thing{{Name: "bird"}})
	if err != nil {
		t.Fatal(err)
	}
	var definitions []figures.Definition
	for _, in := range inputs {
		parse := func(text string) *float64 {
			if text == "" {
				return nil
			}
			q, err := units.Parse(text)
			if err != nil {
				t.Fatal(err)
			}
			return &q.Value
		}
		q, err := units.Parse(in.value)
		if err != nil {
			t.Fatal(err)
		}
		definitions = append(definitions, figures.Definition{Name: in.name, Label: say.Own(in.name), Value: q, Low: parse(in.low), High: parse(in.high), Place: source.New("t", in.value).Whole()})
	}
	for name, formula := range worked {
		definitions = append(definitions, figures.Definition{Name: name, Label: say.Own(name), Place: source.New("t", formula).Whole(), Formula: source.New("t", formula).Whole()})
	}
	g, err := figures.Build(units, 3, definitions)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// flock leaves 200 * 6 - 900 = 300 as it is.
func flock(t testing.TB) *figures.Graph {
	return graph(t, []ranged{
		{"birds", "200 bird", "150 bird", "220 bird"}, {"price", "6 GBP/bird", "5 GBP/bird", "7 GBP/bird"},
		{"feed", "900 GBP", "800 GBP", ""}, {"rent", "0 GBP", "", ""}, {"idle", "3 kg", "1 kg", "9 kg"},
	}, map[string]string{"margin": "birds * price - feed - rent"})
}

func TestSwings(t *testing.T) {
	g := flock(t)
	v := g.Base().Clone()
	swings := risk.Swings(g, v, g.Lookup("margin"), 10)
	want := []struct {
		name      string
		low, high float64
	}{
		{"birds", 150*6 - 900, 220*6 - 900}, {"price", 200*5 - 900, 200*7 - 900}, {"feed", 400, 300},
	}
	if len(swings) != len(want) {
		t.Fatalf("%d inputs swing it, want %d", len(swings), len(want))
	}
	// Spreads: birds 420, price 400, feed 100; what is idle is left out.
	for i, w := range want {
		if s := swings[i]; s.Input.Name != w.name || math.Abs(s.Low-w.low) > 1e-9 || math.Abs(s.High-w.high) > 1e-9 || math.Abs(s.Base-300) > 1e-9 {
			t.Errorf("number %d is %s from %g to %g about %g; want %s from %g to %g about 300", i+1, s.Input.Name, s.Low, s.High, s.Base, w.name, w.low, w.high)
		}
	}
	if got := risk.Swings(g, v, g.Lookup("margin"), 2); len(got) != 2 {
		t.Errorf("%d swings were given for 2", len(got))
	}
	for _, f := range g.All() {
		if v.Of(f) != g.Base().Of(f) {
			t.Errorf("%s is %g after all, and was %g", f.Name, v.Of(f), g.Base().Of(f))
		}
	}
}

// TestSwingAboutAPeak: the spread counts the present value too, where low and
// high lie on one side of it.
func TestSwingAboutAPeak(t *testing.T) {
	g := graph(t, []ranged{{"x", "5", "3", "7"}}, map[string]string{"y": "25 - (x - 5) ^ 2"})
	s := risk.Swings(g, g.Base(), g.Lookup("y"), 1)
	if len(s) != 1 || s[0].Low != 21 || s[0].High != 21 || s[0].Spread() != 4 {
		t.Errorf("the swing is %+v; want 21 and 21 about 25", s)
	}
}

func TestCross(t *testing.T) {
	for _, c := range []struct {
		what   string
		inputs []ranged
		worked string
		level  float64
		want   float64 // NaN: none
		within bool
	}{
		{"a price that just covers", []ranged{{"x", "6", "5", "7"}}, "200 * x - 900", 0, 4.5, false},
		{"within the range", []ranged{{"x", "6", "4", "7"}}, "200 * x - 900", 0, 4.5, true},
		{"upwards", []ranged{{"x", "6", "4", "7"}}, "200 * x - 900", 400, 6.5, true},
		{"a cost", []ranged{{"x", "900", "", "1100"}}, "1200 - x", 0, 1200, false},
		{"too far", []ranged{{"x", "6", "5.9", "6.1"}}, "200 * x - 900", 0, math.NaN(), false},
		{"no range on that side", []ranged{{"x", "6", "", "7"}}, "200 * x - 900", 0, math.NaN(), false},
		{"not below nothing", []ranged{{"x", "1", "0", "1"}}, "200 * x + 100", 0, math.NaN(), false},
		{"not above the whole", []ranged{{"x", "60 %", "50 %", "90 %"}}, "1100 - 1000 * x", 0, math.NaN(), false},
		{"a jump", []ranged{{"x", "6", "1", "9"}}, "if(x > 3.2, 100, -100)", 0, 3.2, true},
		{"the nearer of two", []ranged{{"x", "5", "0", "9"}}, "4 - (x - 6) ^ 2", 0, 4, true},
		{"on the level", []ranged{{"x", "5", "0", "9"}}, "x - 5", 0, 5, true},
		{"a gap without answer", []ranged{{"x", "6", "2", "7"}}, `if(x < 5, none("too small"), x - 4)`, 0, math.NaN(), false},
		{"it doesn't matter", []ranged{{"x", "6", "2", "7"}}, "3 + 0 * x", 0, math.NaN(), false},
	} {
		g := graph(t, c.inputs, map[string]string{"y": c.worked})
		x, y := g.Lookup("x"), g.Lookup("y")
		got := risk.Cross(g, g.Base(), x, y, c.level)
		switch {
		case math.IsNaN(c.want):
			if got.Found {
				t.Errorf("%s: found at %g", c.what, got.At)
			}
		case !got.Found || math.Abs(got.At-c.want) > 1e-6*math.Abs(c.want) || got.Within != c.within:
			t.Errorf("%s: %+v, want %g, within: %v", c.what, got, c.want, c.within)
		}
	}
}

// TestCrossInACase: the case's own values count, not the farm's.
func TestCrossInACase(t *testing.T) {
	g := flock(t)
	v := g.Base().Clone()
	v.Set(g.Lookup("rent"), 150)
	v.Run()
	if got := risk.Cross(g, v, g.Lookup("price"), g.Lookup("margin"), 0); !got.Found || math.Abs(got.At-5.25) > 1e-8 || !got.Within {
		t.Errorf("%+v; with a rent of 150 the price must be 1050 / 200", got)
	}
}

func BenchmarkSensitivity(b *testing.B) {
	g := flock(b)
	margin := g.Lookup("margin")
	for b.Loop() {
		for _, s := range risk.Swings(g, g.Base(), margin, 10) {
			risk.Cross(g, g.Base(), s.Input, margin, 0)
		}
	}
}
