package quantity

import (
	"fmt"
	"math"
	"math/rand"
	"strings"
	"testing"

	"golang.org/x/text/language"
)

var english = language.BritishEnglish

// nb puts the no-break spaces that bind a number to its unit where a test
// shows a low line.
func nb(text string) string { return strings.ReplaceAll(text, "_", "\u00a0") }

func TestText(t *testing.T) {
	s := NewStyle(farm(t), english)
	inf := math.Inf(1)
	tests := []struct {
		value float64 // in units
		unit  string
		step  float64
		want  string
	}{
		// Money: whole from 1 000 on, otherwise pence; pence hidden when there are none.
		{12345.67, "GBP", 0, "£12,346"},
		{1234567.89, "GBP", 0, "£1,234,568"},
		{1000, "GBP", 0, "£1,000"},
		{999.99, "GBP", 0, "£999.99"},
		{999.995, "GBP", 0, "£1,000"},
		{380, "GBP", 0, "£380"},
		{379.999, "GBP", 0, "£380"},
		{0, "GBP", 0, "£0"},
		{0.5, "GBP", 0, "£0.50"},
		{0.05, "GBP", 0, "£0.05"},
		{0.1, "GBP", 0, "£0.10"},
		{0.0052, "GBP", 0, "£0.0052"},
		{-12.5, "GBP", 0, "−£12.50"},
		{-45000, "GBP", 0, "−£45,000"},
		{12.5, "GBP", 1, "£13"},
		{12, "GBP", 0.01, "£12.00"},
		{-0.001, "GBP", 0.01, "£0.00"},
		{-0.4, "GBP", 1, "£0"},
		{1.005, "GBP", 0.01, "£1.01"},
		{2.675, "GBP", 0.01, "£2.68"},
		{-1.005, "GBP", 0.01, "−£1.01"},
		{-0.5, "GBP", 1, "−£1"},
		{999.995, "GBP", 0.01, "£1,000.00"},
		{1e10 + 0.25, "GBP", 0.01, "£10,000,000,000.25"},

		// Prices per unit keep their pence.
		{0.52, "GBP/kg", 0, "£0.52/kg"},
		{2, "GBP/kg", 0, "£2.00/kg"},
		{1234.5, "GBP/ha", 0, "£1,235/ha"},
		{0.052, "GBP/egg", 0, "£0.052/egg"},
		{12, "GBP/h", 0, "£12.00/h"},
		{3.5, "GBP/bird/week", 0, "£3.50/bird/week"},
		{-0.3, "GBP/kWh", 0, "−£0.30/kWh"},
		{5, "kg/GBP", 0, "5_kg/£"},
		{5, "GBP·day", 0, "5_£·day"},
		{1.25, "GBP/GBP", 0, "£1.25/£"},

		// Money of other countries.
		{12.5, "USD", 0, "US$12.50"},
		{12.5, "JPY", 0, "JP¥13"},
		{1234.5, "JPY/kg", 0, "JP¥1,235/kg"},
		{1.2345, "KWD", 0, "KWD_1.235"},
		{12.5, "CHF", 0, "CHF_12.50"},

		// Shares.
		{6, "%", 0, "6%"},
		{12.34, "%", 0, "12.3%"},
		{0.5, "%", 0, "0.5%"},
		{72, "%", 0.1, "72.0%"},
		{-3, "%", 0, "−3%"},
		{5, "%/year", 0, "5%/year"},

		// Counted things.
		{320, "bird", 0, "320_birds"},
		{1, "bird", 0, "1_bird"},
		{-1, "bird", 0, "−1_bird"},
		{0, "bird", 0, "0_birds"},
		{0.5, "bird", 0, "0.5_birds"},
		{1.2, "bird", 1, "1_bird"},
		{297.98, "bird", 0, "298_birds"},
		{2, "market_box", 0, "2_market boxes"},
		{1, "market_box", 0, "1_market box"},
		{7, "batch", 0, "7_batches"},
		{12, "sheep", 0, "12_sheep"},
		{5, "bird/m2", 0, "5_birds/m²"},
		{1, "bird/m2", 0, "1_bird/m²"},
		{320, "bird/batch", 0, "320_birds/batch"},
		{2.5, "kg/bird", 0, "2.5_kg/bird"},

		// Other units.
		{2.9, "kg", 0, "2.9_kg"},
		{2.98765, "kg", 0, "2.99_kg"},
		{298.765, "kg", 0, "299_kg"},
		{29876.5, "kg", 0, "29,877_kg"},
		{0.0123456, "kg", 0, "0.0123_kg"},
		{25, "min/day", 0, "25_min/day"},
		{4, "m2/bird/day", 0, "4_m²/bird/day"},
		{1.5, "m3", 0, "1.5_m³"},
		{1, "day", 0, "1_day"},
		{21, "day", 0, "21_days"},
		{2, "acre", 0, "2_acres"},
		{2, "h", 0, "2_h"},
		{3, "usgal", 0, "3_US gal"},
		{2, "uston", 0, "2_US tons"},
		{35, "degC", 0, "35_°C"},
		{-3.5, "degC", 0, "−3.5_°C"},
		{95, "degF", 0, "95_°F"},
		{30, "deg", 0, "30°"},
		{500, "ohm", 0, "500_Ω"},
		{2.5, "1/year", 0, "2.5 per year"},
		{0.1, "1/day", 0, "0.1 per day"},
		{5, "1/m2/day", 0, "5 per m²/day"},
		{3.14159, "", 0, "3.14"},
		{1234567, "", 0, "1,234,567"},
		{9999, "", 0, "9,999"},
		{-7, "", 0, "−7"},
		{12.5, "kg", 0.25, "12.50_kg"},
		{12.6, "kg", 0.25, "12.50_kg"},
		{12.4, "kg", 5, "10_kg"},
		{12.5, "kg", 5, "15_kg"},
		{1234, "kg", 100, "1,200_kg"},
		{2, "kg", 0.1, "2.0_kg"},
		{0.9, "kg", 0.3, "0.9_kg"},

		// Near a power of ten.
		{0.999999, "kg", 0, "1_kg"},
		{9.999, "kg", 0, "10_kg"},
		{99.96, "kg", 0, "100_kg"},
		{999.7, "kg", 0, "1,000_kg"},
		{0.1 + 0.2, "kg", 0, "0.3_kg"},
		{1000.0000000001, "kg", 0, "1,000_kg"},
		{0.01, "kg", 0, "0.01_kg"},
		{0.001, "kg", 0, "0.001_kg"},

		// Very small, very large, and nothing.
		{0, "kg", 0, "0_kg"},
		{math.Copysign(0, -1), "kg", 0, "0_kg"},
		{1e-5, "m", 0, "0.00001_m"},
		{1e-12, "m", 0, "1_×_10⁻¹²_m"},
		{-1.2345e-9, "m", 0, "−1.23_×_10⁻⁹_m"},
		{2e-7, "GBP", 0, "£2_×_10⁻⁷"},
		{1e-12, "GBP", 0, "£0"},
		{-1e-12, "GBP/kg", 0, "£0.00/kg"},
		{1e-12, "m", 0.01, "0.00_m"},
		{999999999999999, "", 0, "999,999,999,999,999"},
		{1e15, "", 0, "1_×_10¹⁵"},
		{1.5e15, "kg", 1, "1,500,000,000,000,000_kg"},
		{1.234e300, "kg", 0, "1.23_×_10³⁰⁰_kg"},
		{inf, "kg", 0, "∞_kg"},
		{-inf, "GBP", 0, "−£∞"},
		{inf, "date", 0, "∞_date"},
		{math.NaN(), "kg", 0, "–"},
		{math.NaN(), "GBP/kg", 0.01, "–"},
		{math.NaN(), "date", 0, "–"},

		// Dates.
		{95, "date", 0, "6_Apr"},
		{0, "date", 0, "1_Jan"},
		{364, "date", 0, "31_Dec"},
		{365, "date", 0, "1_Jan"},
		{-1, "date", 0, "31_Dec"},
	}
	for _, test := range tests {
		u := s.System().Must(test.unit)
		if got := s.Text(u.ToBase(test.value), u, test.step); got != nb(test.want) {
			t.Errorf("%v %s by %v = %q, want %q", test.value, test.unit, test.step, got, nb(test.want))
		}
	}
}

// Grouping, decimal marks and the place of the money sign as CLDR has them for
// each language, as any browser's Intl.NumberFormat shows them. From memory.
func TestTextInOtherLanguages(t *testing.T) {
	tests := []struct {
		language, currency string
		value              float64
		unit               string
		step               float64
		want               string
	}{
		{"en-US", "USD", 1234.5, "USD", 0.01, "$1,234.50"},
		{"en-US", "USD", 0.52, "USD/lb", 0, "$0.52/lb"},
		{"en-US", "USD", -3, "USD", 0, "−$3"},
		{"en-CA", "CAD", 5, "CAD", 0, "$5"},
		{"en-CA", "CAD", 5, "USD", 0, "US$5"},
		{"de-DE", "EUR", 1234.5, "EUR", 0.01, "1.234,50_€"},
		{"de-DE", "EUR", -1234567.5, "EUR", 0, "−1.234.568_€"},
		{"de-DE", "EUR", 0.52, "EUR/kg", 0, "0,52_€/kg"},
		{"de-DE", "EUR", 6.5, "%", 0, "6,5_%"},
		{"de-DE", "EUR", 12345.678, "kg", 0.001, "12.345,678_kg"},
		{"de-AT", "EUR", 5, "EUR", 0, "€5"},
		{"fr-FR", "EUR", 1234.5, "EUR", 0.01, "1_234,50_€"},
		{"es-ES", "EUR", 12345, "kg", 0, "12.345_kg"},
		{"de-CH", "CHF", 1234.5, "CHF", 0.01, "CHF_1’234.50"},
		{"ja-JP", "JPY", 1234.5, "JPY", 0, "￥1,235"},
		{"en-GB", "JPY", 5.25, "JPY", 0, "¥5.3"},
		{"en-GB", "JPY", 5, "JPY/kg", 0, "¥5/kg"},
		{"en-GB", "JPY", 1500, "JPY", 0, "¥1,500"},
		{"en-GB", "KWD", 12.3456, "KWD", 0, "KWD_12.346"},
		{"en-GB", "KWD", 12, "KWD/kg", 0, "KWD_12.000/kg"},
		{"en-GB", "KWD", 12.5, "GBP", 0, "£12.50"},
		{"en-IN", "INR", 1234567.5, "INR", 0, "₹12,34,568"},
	}
	for _, test := range tests {
		s := NewStyle(system(t, test.currency), language.MustParse(test.language))
		u := s.System().Must(test.unit)
		if got := s.Text(u.ToBase(test.value), u, test.step); got != nb(test.want) {
			t.Errorf("%s: %v %s by %v = %q, want %q", test.language, test.value, test.unit, test.step, got, nb(test.want))
		}
	}
}

// The fast way to write digits must agree with the printer that it stands in
// for.
func TestDigitsAgreeWithThePrinter(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	for _, tag := range []string{"en-GB", "en-US", "de", "de-AT", "de-CH", "fr", "es", "it", "nl", "sv", "pl", "pt-PT", "pt-BR", "ru", "hi", "ar", "ja", "cy", "en-IN", "el"} {
		fast := NewStyle(farm(t), language.MustParse(tag))
		slow := NewStyle(farm(t), language.MustParse(tag))
		slow.plain = false
		for range 300 {
			v := math.Abs(r.NormFloat64()) * math.Pow(10, float64(r.Intn(15)-3))
			decimals := r.Intn(5)
			v = roundTo(v, pow10(-decimals))
			if got, want := fast.digits(v, decimals), slow.digits(v, decimals); got != want {
				t.Fatalf("%s: %v to %d decimals = %q, the printer writes %q", tag, v, decimals, got, want)
			}
		}
	}
}

func TestFiguresKeepTheirZeros(t *testing.T) {
	s := NewStyle(farm(t), english)
	for _, test := range []struct {
		value float64
		unit  string
		step  float64
		want  string
	}{
		{2, "kg", 0.01, "2.00"}, {12.5, "GBP", 0.01, "12.50"}, {-1234.5, "kg", 0.1, "−1,234.5"}, {math.NaN(), "kg", 1, "–"},
		{math.Inf(-1), "kg", 1, "−∞"}, {-0.001, "kg", 0.1, "0.0"}, {12345.6, "GBP", 0, "12,346"},
	} {
		u := s.System().Must(test.unit)
		if got := s.Figures(u.ToBase(test.value), u, test.step); got != test.want {
			t.Errorf("%v %s by %v = %q, want %q", test.value, test.unit, test.step, got, test.want)
		}
	}
}

func TestUnitNames(t *testing.T) {
	s := NewStyle(farm(t), english)
	for _, test := range []struct {
		unit   string
		plural bool
		want   string
	}{
		{"kg/bird", true, "kg/bird"}, {"GBP/kg", true, "£/kg"}, {"bird", true, "birds"}, {"bird", false, "bird"}, {"m2", true, "m²"},
		{"bird/m2", true, "birds/m²"}, {"1/year", true, "1/year"}, {"", true, ""}, {"bird·day", true, "bird·day"}, {"market_box/week", true, "market boxes/week"},
	} {
		if got := s.Unit(s.System().Must(test.unit), test.plural); got != test.want {
			t.Errorf("%s = %q, want %q", test.unit, got, test.want)
		}
	}
	high := s.System().Must("m9").Times(s.System().Must("m3"))
	if got := s.Unit(high, false); got != "m¹²" {
		t.Errorf("m to the power of 12 = %q", got)
	}
}

type words map[string]string

func (w words) Word(english string) (string, bool) {
	text, ok := w[english]
	return text, ok
}

func (w words) Mid(text string) string { return text }

func (w words) Number(x float64, decimals int) string { return fmt.Sprintf("%.*f", decimals, x) }

func TestWords(t *testing.T) {
	s := NewStyle(farm(t), language.German)
	s.Language = words{"days|unit": "Tage", "birds|unit": "Vögel", "Apr|short": "Apr.", "%s\u00a0%s|day and month": "%s.\u00a0%s", "%s per %s": "%s je %s", "–": "keine"}
	for _, test := range []struct {
		text, want string
	}{
		{"6 Apr", "6._Apr."}, {"21 day", "21_Tage"}, {"3 1/day", "3 je day"},
		// What the farm counts keeps the name that the farmer gave it.
		{"320 bird", "320_birds"}, {"5 GBP/bird", "5,00_£/bird"},
	} {
		q, err := s.System().Parse(test.text)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Text(q.Value, q.Unit, 0); got != nb(test.want) {
			t.Errorf("%s = %q, want %q", test.text, got, nb(test.want))
		}
	}
}

func TestRound(t *testing.T) {
	tests := []struct{ value, step, want float64 }{
		{1.005, 0.01, 1.01}, {2.675, 0.01, 2.68}, {-0.5, 1, -1}, {0.5, 1, 1}, {1.5, 1, 2}, {2.5, 1, 3}, {-2.5, 1, -3}, {999.995, 0.01, 1000},
		{1.0049, 0.01, 1}, {0.49, 1, 0}, {0.4999, 1, 0}, {12.4, 5, 10}, {12.5, 5, 15}, {-12.5, 5, -15}, {0.3, 0.25, 0.25}, {0.375, 0.25, 0.5},
		{0.7, 0.3, 0.6}, {7, 2.5, 7.5}, {1234, 100, 1200}, {0.615, 0.01, 0.62}, {1.115, 0.01, 1.12}, {10.235, 0.01, 10.24},
		{5e11, 1, 5e11}, {1e15, 1, 1e15}, {123456789012.34, 0.01, 123456789012.34}, {1e300, 0.01, 1e300}, {-1e300, 1e-12, -1e300},
		{1.5, 0, 1.5}, {1.5, -1, 1.5}, {1.5, math.NaN(), 1.5}, {1.5, math.Inf(1), 1.5}, {math.Inf(1), 1, math.Inf(1)},
	}
	s := farm(t)
	for _, test := range tests {
		if got := Round(test.value, Unit{}, test.step); math.Abs(got-test.want) > 1e-15*math.Abs(test.want) {
			t.Errorf("%v by %v = %v, want %v", test.value, test.step, got, test.want)
		}
	}
	if got := Round(math.NaN(), Unit{}, 1); !math.IsNaN(got) {
		t.Errorf("what is no number rounds to %v", got)
	}
	for _, v := range []float64{-0.3, math.Copysign(0, -1), -1e-300} {
		if got := roundTo(v, 1); got != 0 || math.Signbit(got) {
			t.Errorf("%v rounds to %v with a sign", v, got)
		}
	}
	if got := Round(1234, s.Must("g"), 1); math.Abs(got-1234) > 1e-9 {
		t.Errorf("1 234 kg to the gram = %v", got)
	}
	r := rand.New(rand.NewSource(4))
	for range 20_000 {
		v, step := r.NormFloat64()*math.Pow(10, float64(r.Intn(8))), []float64{1, 0.1, 0.01, 0.001, 0.25, 0.5, 5, 100, 0.3, 2.5}[r.Intn(10)]
		once := roundTo(v, step)
		if twice := roundTo(once, step); twice != once {
			t.Fatalf("%v by %v = %v, and again %v", v, step, once, twice)
		}
		if math.Abs(once-v) > step/2*(1+1e-9) {
			t.Fatalf("%v by %v = %v", v, step, once)
		}
		if mirrored := roundTo(-v, step); mirrored != -once {
			t.Fatalf("%v by %v = %v, but its negative %v", v, step, once, mirrored)
		}
	}
}

func TestDecimals(t *testing.T) {
	for step, want := range map[float64]int{1: 0, 5: 0, 100: 0, 0.1: 1, 0.5: 1, 0.01: 2, 0.25: 2, 0.05: 2, 2.5: 1, 0.125: 3, 1e-8: 8, 1e-20: 12, 0: 0, -1: 0, 0.3: 1} {
		if got := Decimals(step); got != want {
			t.Errorf("a step of %v takes %d decimals, want %d", step, got, want)
		}
	}
	if got := Decimals(math.NaN()); got != 0 {
		t.Errorf("no step takes %d decimals", got)
	}
}

// Whatever the value, its text has no meaningless zeros, no signed nought and
// no word of the machine's.
func TestTextIsAlwaysFit(t *testing.T) {
	s := NewStyle(farm(t), english)
	units := []Unit{{}, s.System().Money(), s.System().Must("GBP/kg"), s.System().Must("kg"), s.System().Must("bird"), s.System().Must("%"), s.System().Must("degC"), s.System().Must("1/day"), s.System().Must("ha")}
	r := rand.New(rand.NewSource(5))
	for range 50_000 {
		v := r.NormFloat64() * math.Pow(10, float64(r.Intn(40)-20))
		if r.Intn(5) == 0 {
			v = math.Round(v*100) / 100
		}
		if r.Intn(50) == 0 {
			v = math.Float64frombits(r.Uint64())
		}
		u := units[r.Intn(len(units))]
		got := s.Text(u.ToBase(v), u, 0)
		if strings.Contains(got, "NaN") || strings.Contains(got, "Inf") || strings.Contains(got, "e+") || strings.Contains(got, "-") || got == "" {
			t.Fatalf("%v %s = %q", v, u, got)
		}
		number := strings.TrimLeft(got, "−£")
		end := strings.IndexFunc(number, func(r rune) bool { return r != '.' && r != ',' && (r < '0' || r > '9') })
		if end >= 0 {
			number = number[:end]
		}
		if strings.HasPrefix(got, "−") && strings.Trim(number, "0.,") == "" && !strings.Contains(got, "∞") {
			t.Fatalf("%v %s = %q, a signed nought", v, u, got)
		}
		if _, _, money := s.money(u); !money && strings.Contains(number, ".") && strings.HasSuffix(number, "0") {
			t.Fatalf("%v %s = %q ends in a nought", v, u, got)
		}
	}
}

func TestTextAllocatesLittle(t *testing.T) {
	s := NewStyle(farm(t), english)
	price := s.System().Must("GBP/kg")
	s.Text(0.52, price, 0)
	if n := testing.AllocsPerRun(100, func() { s.Text(1234.56, price, 0.01) }); n > 12 {
		t.Errorf("a price takes %v allocations", n)
	}
}

func BenchmarkText(b *testing.B) {
	s := NewStyle(farm(b), english)
	for _, c := range []struct {
		name  string
		value float64
		unit  string
		step  float64
	}{
		{"money", 12345.67, "GBP", 0}, {"price", 0.52, "GBP/kg", 0}, {"count", 320, "bird", 0}, {"mass", 2.98765, "kg", 0}, {"date", 95, "date", 0},
	} {
		u := s.System().Must(c.unit)
		x := u.ToBase(c.value)
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				s.Text(x, u, c.step)
			}
		})
	}
}
