package quantity

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func system(t testing.TB, currency string, things ...Thing) *System {
	t.Helper()
	s, err := NewSystem(currency, things)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func farm(t testing.TB) *System {
	t.Helper()
	return system(t, "GBP",
		Thing{Name: "bird"}, Thing{Name: "hen"}, Thing{Name: "batch"}, Thing{Name: "tray", Pack: "30 egg"},
		Thing{Name: "egg"}, Thing{Name: "market_box", Plural: "market boxes"}, Thing{Name: "sheep", Plural: "sheep"})
}

// Published conversions. Rows N1 to N21 are those of the project's table of
// values to check against; rows without a number come from the source named.
// Where the source prints a rounded value, the tolerance is half its last
// figure.
func TestConversions(t *testing.T) {
	const (
		notice   = "NIST notice retiring the survey foot"
		act      = "UK Weights and Measures Act 1985; NIST SP 811"
		pound59  = "international pound; NIST SP 811"
		h44      = "NIST Handbook 44, appendix C"
		h44Mem   = "NIST Handbook 44, appendix C, from memory"
		b8       = "NIST SP 811, appendix B.8, from memory"
		ohio     = "Ohio State and Florida extension"
		missouri = "University of Missouri extension, G4020"
		trade    = "commodity conversion table"
		si       = "SI Brochure, 9th edition, from memory"
	)
	tests := []struct {
		row       string
		value     float64
		from, to  string
		want      float64
		tolerance float64 // 0: exact but for the last bits of float64
		source    string
	}{
		{"N1", 1, "ft", "m", 0.3048, 0, notice},
		{"N2", 1200. / 3937, "m", "ft", 0.3048006096 / 0.3048, 1e-9, notice + "; the survey foot is no unit here"},
		{"N3", 1, "acre", "m2", 4046.8564224, 0, "43 560 square feet"},
		{"N3", 1, "acre", "ft2", 43560, 0, "43 560 square feet"},
		{"N5", 1, "ha", "acre", 2.4710538147, 1e-10, "from N3"},
		{"N6", 1, "usgal", "L", 3.785411784, 0, "231 cubic inches; NIST SP 811"},
		{"N6", 1, "usgal", "in3", 231, 0, "university extension table"},
		{"N7", 1, "impgal", "L", 4.54609, 0, act},
		{"N7", 1, "impgal", "usgal", 1.2009499, 1e-7, act},
		{"N8", 1, "lb", "kg", 0.45359237, 0, pound59},
		{"N9", 1, "usbu", "in3", 2150.42, 0, h44},
		{"N9", 1, "usbu", "L", 35.23907016688, 0, h44},
		{"N10", 1, "impbu", "L", 36.36872, 0, "8 imperial gallons"},
		{"N11", 1, "bu_corn", "kg", 25.40117272, 0, ohio},
		{"N11", 1, "bu_rye", "kg", 25.40117272, 0, ohio},
		{"N11", 1, "bu_sorghum", "kg", 25.40117272, 0, ohio},
		{"N12", 1, "bu_wheat", "kg", 27.2155422, 0, ohio},
		{"N12", 1, "bu_soybean", "kg", 27.2155422, 0, ohio},
		{"N14", 1, "bu_oats", "kg", 14.51495584, 0, ohio},
		{"N15", 1, "t", "bu_corn", 39.3683, 0.00005, trade},
		{"N15", 1, "t", "bu_wheat", 36.7437, 0.00005, trade},
		{"N15", 1, "t", "bu_barley", 45.9296, 0.00005, trade},
		{"N15", 1, "t", "bu_corn", 39.368, 0.0005, trade},
		{"N15", 1, "t", "bu_soybean", 36.744, 0.0005, trade},
		{"N15", 1, "t", "bu_barley", 45.930, 0.0005, trade},
		{"N16", 1, "bu_corn/acre", "t/ha", 0.0627677, 1e-7, "from N3 and N11"},
		{"N16", 1, "bu_wheat/acre", "t/ha", 0.0672511, 1e-7, "from N3 and N12"},
		{"N16", 1, "bu_barley/acre", "t/ha", 0.0538009, 1e-7, "from N3 and N15"},
		{"N16", 1, "bu_oats/acre", "t/ha", 0.0358672, 1e-7, "from N3 and N14"},
		{"N17", 1, "lb/acre", "kg/ha", 1.1208512, 1e-7, "from N3 and N8"},
		{"N17", 1, "usgal/acre", "L/ha", 9.3539562, 1e-7, "from N3 and N6"},
		{"N18", 1, "acre·in", "usgal", 27154.29, 0.005, "Kansas and Texas extension tables print 27 154"},
		{"N18", 1, "acre·in", "m3", 102.7901531, 1e-7, "from N1 and N3"},
		{"N19", 1, "uston", "kg", 907.18474, 0, "from N8"},
		{"N19", 1, "impton", "kg", 1016.0469088, 0, "from N8"},
		{"N19", 1, "uscwt", "kg", 45.359237, 0, "from N8"},
		{"N19", 1, "impcwt", "kg", 50.80234544, 0, "from N8"},
		{"N20", 1, "hp", "W", 745.69987158, 1e-8, "550 ft lbf/s, from N1, N8 and 9.80665 m/s2"},
		{"N21", 95, "degF", "degC", 35, 1e-9, "(F - 32) x 5/9"},

		{"", 1, "in", "mm", 25.4, 0, b8},
		{"", 1, "yd", "m", 0.9144, 0, b8},
		{"", 1, "mi", "m", 1609.344, 0, b8},
		{"", 1, "mi2", "ha", 258.9988110336, 1e-9, b8},
		{"", 1, "yd3", "m3", 0.764554857984, 1e-12, b8},
		{"", 1, "ft3", "L", 28.316846592, 1e-9, b8},
		{"", 1, "oz", "g", 28.349523125, 0, b8},
		{"", 1, "Btu", "J", 1055.056, 0.0005, b8},
		{"", 1, "kWh", "MJ", 3.6, 0, b8},
		{"", 1, "therm", "J", 1.05506e8, 500, b8 + ", therm (EC)"},
		{"", 1, "ustherm", "J", 1.054804e8, 0, b8 + ", therm (US)"},
		{"", 1, "cord", "m3", 3.624556, 5e-7, b8},
		{"", 1, "mph", "m/s", 0.44704, 1e-15, b8 + ", mile per hour"},
		{"", 1, "mph", "km/h", 1.609344, 1e-14, b8 + ", mile per hour"},
		{"", 18, "Fdeg", "K", 10, 1e-14, b8 + ", degree Fahrenheit (temperature interval)"},
		{"", 1, "psi", "kPa", 6.894757, 5e-7, b8},
		{"", 1, "bar", "kPa", 100, 0, b8},
		{"", 1, "impfloz", "ml", 28.41306, 5e-6, b8},
		{"", 1, "usfloz", "ml", 29.57353, 5e-6, b8},
		{"", 1, "usqt", "L", 0.9463529, 5e-8, b8},
		{"", 1, "uspt", "L", 0.4731765, 5e-8, b8},
		{"", 180, "deg", "", math.Pi, 1e-15, si},
		{"", 1, "bar", "Pa", 1e5, 0, si},
		{"", 1, "t", "kg", 1000, 0, si},
		{"", 1, "ha", "m2", 10000, 0, si},
		{"", 1, "day", "s", 86400, 0, si},
		{"", 1, "year", "s", 3.1536e7, 0, b8 + ", year of 365 days"},
		{"", 12, "month", "day", 365, 0, "a month is a twelfth of that year"},

		{"", 1, "usbu", "L", 35.239, 0.0005, h44},
		{"", 1, "impbu", "in3", 2219.36, 0.005, h44},
		{"", 1, "impbu", "usbu", 1.032, 0.0005, h44},
		{"", 1, "ft3", "usgal", 7.481, 0.0005, h44},
		{"", 1, "ft3", "in3", 1728, 0, h44Mem},
		{"", 1, "in3", "usfloz", 0.554, 0.0005, h44},
		{"", 1, "in3", "ml", 16.387, 0.0005, h44},
		{"", 1, "yd3", "m3", 0.765, 0.0005, h44},
		{"", 8, "usfloz", "uspt", 0.5, 0, h44},
		{"", 8, "usfloz", "ml", 237, 0.5, h44},
		{"", 1, "impqt", "usqt", 1.201, 0.0005, h44Mem},
		{"", 1, "mi", "ft", 5280, 0, h44Mem},
		{"", 1, "mi2", "acre", 640, 0, h44Mem},
		{"", 1, "bu_barley", "lb", 48, 0, missouri},
		{"", 1, "bu_oats", "lb", 32, 0, missouri},
		{"", 1, "bu_rye", "lb", 56, 0, missouri},
		{"", 1, "bu_sorghum", "lb", 56, 0, missouri},
		{"", 1, "bu_wheat", "lb", 60, 0, missouri},

		{"", 32, "degF", "degC", 0, 1e-9, "freezing point of water, from memory"},
		{"", -40, "degF", "degC", -40, 1e-9, "where both scales meet, from memory"},
		{"", 212, "degF", "K", 373.15, 1e-9, "boiling point of water, from memory"},
		{"", 1, "W·h", "J", 3600, 0, si},
		{"", 12, "V·A", "W", 12, 0, si},
		{"", 8000, "V", "kV", 8, 0, si},
		{"", 500, "V/ohm", "A", 500, 0, "Ohm's law, from memory"},
		{"", 1, "N·m", "J", 1, 0, si},
	}
	s := farm(t)
	for _, test := range tests {
		from, to := s.Must(test.from), s.Must(test.to)
		if from.Dimension != to.Dimension {
			t.Errorf("%s %s is %q and %s is %q", test.row, test.from, from.Dimension, test.to, to.Dimension)
			continue
		}
		tolerance := test.tolerance
		if tolerance == 0 {
			tolerance = 1e-14 * math.Abs(test.want)
		}
		if got := to.FromBase(from.ToBase(test.value)); !(math.Abs(got-test.want) <= tolerance) {
			t.Errorf("%s: %v %s = %.14g %s, want %.14g (%s)", test.row, test.value, test.from, got, test.to, test.want, test.source)
		}
	}
}

func TestEveryUnitIsSourcedAndNamedOnce(t *testing.T) {
	names, vague := map[string]string{}, map[string]bool{}
	bases := map[Dimension]int{}
	for _, d := range Standard {
		for _, word := range d.Vague {
			vague[word] = true
		}
	}
	for _, d := range Standard {
		if d.Source == "" {
			t.Errorf("%s has no source", d.Symbol)
		}
		if !(d.Factor > 0) || math.IsInf(d.Factor, 0) {
			t.Errorf("%s has the factor %v", d.Symbol, d.Factor)
		}
		if !d.Exact && d.Symbol != "deg" { // pi/180 has no end
			t.Errorf("%s is not exact", d.Symbol)
		}
		if d.Dimension != dimensionOf(d.Dimension.powers()) {
			t.Errorf("%s has the dimension %q, not in canonical form", d.Symbol, d.Dimension)
		}
		if d.Factor == 1 && d.Offset == 0 {
			bases[d.Dimension]++
		}
		for _, name := range append([]string{d.Symbol}, d.Also...) {
			if other, taken := names[name]; taken {
				t.Errorf("%q names both %s and %s", name, other, d.Symbol)
			}
			names[name] = d.Symbol
			if taken := vague[name]; taken {
				t.Errorf("%q is both a unit and too vague to be one", name)
			}
			if _, month := Month(name); month {
				t.Errorf("%q is both a unit and a month", name)
			}
		}
	}
	for dimension, n := range bases {
		if n > 1 {
			t.Errorf("%d units are the base unit of %q", n, dimension)
		}
	}
	s := farm(t)
	for name, symbol := range names {
		u, err := s.ParseUnit(name)
		if err != nil || u.String() != symbol {
			t.Errorf("ParseUnit(%q) = %v, %v, want %s", name, u, err, symbol)
		}
	}
	for word := range vague {
		if _, err := s.ParseUnit(word); err == nil || !strings.Contains(err.Error(), "means different things in different countries; write ") {
			t.Errorf("%s: %v", word, err)
		}
	}
}

// The SI's coherent units follow from each other without any factor.
func TestCoherence(t *testing.T) {
	s := farm(t)
	for _, test := range []struct{ product, unit string }{
		{"kg·m/s2", "N"}, {"N/m2", "Pa"}, {"N·m", "J"}, {"J/s", "W"}, {"W/A", "V"}, {"V/A", "ohm"}, {"V·A", "W"}, {"A·h", "Ah"}, {"kW·h", "kWh"},
		{"mm·m2", "L"}, {"kg·m2/s2", "J"},
	} {
		p, u := s.Must(test.product), s.Must(test.unit)
		if p.Dimension != u.Dimension || math.Abs(p.ToBase(1)-u.ToBase(1)) > 1e-15*u.ToBase(1) {
			t.Errorf("1 %s is %v %q, and 1 %s is %v %q", test.product, p.ToBase(1), p.Dimension, test.unit, u.ToBase(1), u.Dimension)
		}
	}
}

func TestThereAndBack(t *testing.T) {
	s := farm(t)
	for _, name := range s.Names() {
		u := s.Must(name)
		for _, x := range []float64{0, 1, -1, 0.1, 1.0 / 3, 12345.678, -2.5e-4, 9e9} {
			// A temperature near 0 °C sits on an offset of some 273 K.
			if got := u.FromBase(u.ToBase(x)); math.Abs(got-x) > 4e-16*(math.Abs(x)+2*math.Abs(u.Offset/u.scale())) {
				t.Errorf("%v %s comes back as %v", x, name, got)
			}
		}
	}
}

// Products as a person writes them.
func TestUnitAlgebra(t *testing.T) {
	s := farm(t)
	tests := []struct{ left, op, right, want string }{
		{"min/day", "×", "day", "min"},
		{"GBP/kg", "×", "kg", "GBP"},
		{"GBP/kg", "×", "t", "GBP"},
		{"kg/bird", "×", "bird", "kg"},
		{"min/bird/day", "×", "bird", "min/day"},
		{"h/day", "×", "day/week", "h/week"},
		{"day/week", "×", "h/day", "h/week"},
		{"h/day", "×", "week/year", "h/year"},
		{"week", "×", "h/day", "h"},
		{"GBP/h", "×", "min/day", "GBP/day"},
		{"GBP/kg", "×", "kg/t", "GBP/t"},
		{"kg/kg", "×", "kg/bird", "kg/bird"},
		{"h/day", "×", "h", "h"},
		{"h", "÷", "h/day", "day"},
		{"h/day", "×", "week", "h"},
		{"%", "×", "kg", "kg"},
		{"kg", "×", "%", "kg"},
		{"m2/bird/day", "×", "bird", "m2/day"},
		{"m2/day", "×", "day", "m2"},
		{"bird/batch", "×", "batch", "bird"},
		{"GBP/egg", "×", "tray", "GBP"},
		{"egg", "÷", "tray", ""},
		{"GBP", "÷", "bird", "GBP/bird"},
		{"GBP", "÷", "GBP", ""},
		{"kg", "÷", "t", ""},
		{"kg/kg", "×", "kg", "kg"},
		{"kg/kg", "×", "", "kg/kg"},
		{"m", "×", "m", "m2"},
		{"m", "×", "ft", "m2"},
		{"m2", "×", "m", "m3"},
		{"m3", "÷", "m2", "m"},
		{"", "÷", "year", "1/year"},
		{"1/year", "×", "year", ""},
		{"GBP", "÷", "", "GBP"},

		// Lengths, areas and volumes have units of several kinds.
		{"kg/ha", "×", "m2", "kg"},
		{"GBP/m2", "×", "acre", "GBP"},
		{"bird/m2", "×", "ha", "bird"},
		{"L/m2", "×", "m2", "L"},
		{"L/m2", "×", "ha", "L"},
		{"L", "÷", "ha", "L/ha"},
		{"m3", "÷", "ha", "m3/ha"},
		{"L/h", "÷", "m", "L/h/m"},
		{"kg/L", "×", "m3", "kg"},
		{"mm", "×", "m2", "m3"},
		{"m2", "×", "mm", "m3"},
		{"mm", "×", "ha", "m3"},
		{"acre", "×", "in", "acre·in"},
		{"in", "×", "ft2", "ft3"},
		{"ha", "÷", "m2", ""},
		{"L/m3", "×", "kg", "kg"},

		// Energy and electricity.
		{"kW", "×", "h", "kWh"},
		{"kW", "×", "h/day", "kWh/day"},
		{"GBP/kWh", "×", "kWh", "GBP"},
		{"V", "×", "A", "W"},
		{"A", "×", "h", "Ah"},
		{"V", "÷", "ohm", "V/ohm"},

		// Shares.
		{"%", "×", "%", "%"},
		{"%", "÷", "%", ""},
		{"%", "×", "", "%"},
		{"%", "÷", "year", "%/year"},
		{"%/year", "×", "year", "%"},
		{"%/year", "×", "GBP", "GBP/year"},
		{"GBP", "÷", "%", "GBP"},

		// In a product a date counts as days, and a temperature as a difference.
		{"date", "×", "GBP/day", "GBP"},
		{"date", "×", "", "day"},
		{"date", "×", "kg", "day·kg"},
		{"date", "÷", "day", ""},
		{"kg/day", "×", "date", "kg"},
		{"kg", "÷", "date", "kg/day"},
		{"degC", "×", "day", "degC·day"},
	}
	for _, test := range tests {
		left, right := s.Must(test.left), s.Must(test.right)
		got, dimension := left.Times(right), left.Dimension.Mul(right.Dimension)
		if test.op == "÷" {
			got, dimension = left.Per(right), left.Dimension.Div(right.Dimension)
		}
		if got.String() != test.want {
			t.Errorf("%s %s %s = %q, want %q", test.left, test.op, test.right, got, test.want)
		}
		if got.Dimension != dimension {
			t.Errorf("%s %s %s has the dimension %q, want %q", test.left, test.op, test.right, got.Dimension, dimension)
		}
		if again, err := s.ParseUnit(got.String()); err != nil || again.Dimension != got.Dimension || math.Abs(again.scale()/got.scale()-1) > 1e-14 {
			t.Errorf("%s reads back as %v, %v", got, again, err)
		}
		if got.IsDate() {
			t.Errorf("%s %s %s is a date", test.left, test.op, test.right)
		}
	}

	// A cost of electricity has four factors.
	cost := s.Must("GBP/kWh").Times(s.Must("kW")).Times(s.Must("h/day")).Times(s.Must("day"))
	if cost.String() != "GBP" {
		t.Errorf("a cost of electricity comes in %s", cost)
	}
	before := s.Must("GBP/kg")
	before.Times(s.Must("kg"))
	if before.String() != "GBP/kg" {
		t.Errorf("Times changed its unit to %s", before)
	}
}

func TestPow(t *testing.T) {
	s := farm(t)
	for _, test := range []struct {
		unit string
		n    int
		want string
	}{
		{"m", 2, "m2"}, {"m", 1, "m"}, {"m", 0, ""}, {"day", -1, "1/day"}, {"m/s", 2, "m2/s2"}, {"m2", 3, "m6"},
		{"GBP/kg", -1, "kg/GBP"}, {"%", 2, "%"}, {"%", 0, ""}, {"", 5, ""}, {"date", 2, "day2"}, {"date", 1, "date"},
	} {
		u := s.Must(test.unit)
		got := u.Pow(test.n)
		if got.String() != test.want || got.Dimension != u.Dimension.Pow(test.n) {
			t.Errorf("%s to the power of %d = %s (%q), want %s", test.unit, test.n, got, got.Dimension, test.want)
		}
	}
}

// Converting a product's value by its unit must give what converting its
// factors gave, whatever unit the product is shown in.
func TestProductsKeepTheirSize(t *testing.T) {
	s := farm(t)
	units := []string{"", "%", "m", "mm", "ft", "m2", "ha", "acre", "L", "m3", "kg", "t", "lb", "h", "day", "year", "GBP", "GBP/kg", "kg/ha", "L/m2",
		"kW", "kWh", "GBP/kWh", "A", "V", "bird", "tray", "egg", "1/year", "%/year", "bar", "m2/bird/day", "date", "kg/kg"}
	for _, l := range units {
		for _, r := range units {
			left, right := s.Must(l), s.Must(r)
			for _, got := range []Unit{left.Times(right), left.Per(right), right.Per(left), left.Times(right).Per(right), left.Times(right).Pow(2)} {
				size := 1.0
				d := Number
				for _, p := range got.Parts {
					size *= math.Pow(p.Unit.Factor, float64(p.Power))
					d = d.Mul(p.Unit.Dimension.Pow(p.Power))
				}
				if d != got.Dimension || math.Abs(got.ToBase(1)/size-1) > 1e-12 {
					t.Errorf("%s and %s give %s of %q and size %v; its parts make %q and %v", l, r, got, got.Dimension, got.ToBase(1), d, size)
				}
			}
			if got, want := left.Times(right).Dimension, left.Dimension.Mul(right.Dimension); got != want {
				t.Errorf("%s × %s has the dimension %q, want %q", l, r, got, want)
			}
			if got, want := left.Per(right).Dimension, left.Dimension.Div(right.Dimension); got != want {
				t.Errorf("%s ÷ %s has the dimension %q, want %q", l, r, got, want)
			}
		}
	}
}

func TestDimensionLaws(t *testing.T) {
	all := []Dimension{Number, Length, Mass, Time, Temperature, Current, Area, Volume, Energy, Power, Base("GBP"), Base("m_bird"), "A^-1 kg m^2 s^-3", "GBP kg^-1"}
	for _, a := range all {
		if a.Mul(Number) != a || Number.Mul(a) != a || a.Div(Number) != a || a.Div(a) != Number {
			t.Errorf("%q: a pure number changes it", a)
		}
		if Number.Div(a) != a.Pow(-1) || a.Pow(0) != Number || a.Pow(1) != a {
			t.Errorf("%q: powers", a)
		}
		for n := -3; n <= 3; n++ {
			if n == 0 {
				continue
			}
			if root, ok := a.Pow(n).Root(n); !ok || root != a {
				t.Errorf("root %d of %q to the power of %d = %q, %v", n, a, n, root, ok)
			}
		}
		if _, ok := a.Root(0); ok {
			t.Errorf("%q has a root of nothing", a)
		}
		for _, b := range all {
			if a.Mul(b) != b.Mul(a) {
				t.Errorf("%q times %q depends on the order", a, b)
			}
			if a.Mul(b).Div(b) != a || a.Div(b).Mul(b) != a || a.Div(b) != b.Div(a).Pow(-1) {
				t.Errorf("%q and %q: dividing does not undo multiplying", a, b)
			}
			if a.Mul(b).Pow(2) != a.Pow(2).Mul(b.Pow(2)) {
				t.Errorf("%q and %q: the square of a product", a, b)
			}
			if (a == b) != slices.Equal(a.powers(), b.powers()) {
				t.Errorf("%q and %q are written alike", a, b)
			}
			for _, c := range all {
				if a.Mul(b).Mul(c) != a.Mul(b.Mul(c)) {
					t.Errorf("%q, %q, %q: the brackets matter", a, b, c)
				}
			}
		}
	}
	if _, ok := Volume.Root(2); ok {
		t.Error("a volume has a square root")
	}
	if Energy.Div(Time) != Power || Length.Pow(3) != Volume || Area.Mul(Length) != Volume {
		t.Error("the named dimensions don't fit together")
	}
}
