package quantity

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func TestNewSystemRefuses(t *testing.T) {
	tests := []struct {
		name     string
		currency string
		things   []Thing
		want     string
	}{
		{"no currency", "", nil, `"" is not a currency; expected an ISO 4217 code such as GBP, USD or EUR`},
		{"lower case", "gbp", nil, `"gbp" is not a currency; expected an ISO 4217 code such as GBP, USD or EUR`},
		{"a sign", "£", nil, `"£" is not a currency; expected an ISO 4217 code such as GBP, USD or EUR`},
		{"an unknown code", "ZZZ", nil, `"ZZZ" is not a currency; expected an ISO 4217 code such as GBP, USD or EUR`},
		{"gold is no currency", "XAU", nil, `"XAU" is not a currency; expected an ISO 4217 code such as GBP, USD or EUR`},
		{"nor is the code for none", "XXX", nil, `"XXX" is not a currency; expected an ISO 4217 code such as GBP, USD or EUR`},
		{"a thing in capitals", "GBP", []Thing{{Name: "Hen"}}, `"Hen" can't be the name of a counted thing; expected a lower-case word such as hen or market_box`},
		{"two words", "GBP", []Thing{{Name: "market box"}}, `"market box" can't be the name of a counted thing; expected a lower-case word such as hen or market_box`},
		{"no name", "GBP", []Thing{{}}, `"" can't be the name of a counted thing; expected a lower-case word such as hen or market_box`},
		{"a very long name", "GBP", []Thing{{Name: strings.Repeat("x", 5000)}}, `"` + strings.Repeat("x", 40) + `..." can't be the name of a counted thing; expected a lower-case word such as hen or market_box`},
		{"a power", "GBP", []Thing{{Name: "m2"}}, `"m2" can't be the name of a counted thing: a figure at its end would be read as a power, like the 2 of m2`},
		{"a unit", "GBP", []Thing{{Name: "acre"}}, `"acre" is already a unit, so it can't be counted; choose another word`},
		{"the plural of a unit", "GBP", []Thing{{Name: "weeks"}}, `"weeks" is already a unit, so it can't be counted; choose another word`},
		{"another name of a unit", "GBP", []Thing{{Name: "litre"}}, `"litre" is already a unit, so it can't be counted; choose another word`},
		{"twice", "GBP", []Thing{{Name: "hen"}, {Name: "hen"}}, `"hen" is already a unit, so it can't be counted; choose another word`},
		{"a pack of something unknown", "GBP", []Thing{{Name: "tray", Pack: "30 egg"}}, `the size of tray: "egg" is not a unit or a counted thing of this farm; a thing to count is declared under counts in farm.yaml`},
		{"a pack of itself", "GBP", []Thing{{Name: "tray", Pack: "30 tray"}}, `the size of tray: "tray" is not a unit or a counted thing of this farm; a thing to count is declared under counts in farm.yaml`},
		{"packs in a ring", "GBP", []Thing{{Name: "tray", Pack: "2 boxes"}, {Name: "box", Pack: "2 tray"}}, `the size of tray leads back to itself; say what one holds in a unit or a plain counted thing`},
		{"an empty pack", "GBP", []Thing{{Name: "egg"}, {Name: "tray", Pack: "0 egg"}}, `the size of tray must be more than 0`},
		{"a negative pack", "GBP", []Thing{{Name: "egg"}, {Name: "tray", Pack: "-3 egg"}}, `the size of tray must be more than 0`},
		{"a pack of no size", "GBP", []Thing{{Name: "egg"}, {Name: "tray", Pack: "egg"}}, `the size of tray: "egg" is not a number with a unit; expected something like 0.52 GBP/kg`},
		{"a pack of heat", "GBP", []Thing{{Name: "tray", Pack: "20 degC"}}, `the size of tray can't be a temperature or a date; expected an amount such as 12 egg or 25 kg`},
		{"a pack of a date", "GBP", []Thing{{Name: "tray", Pack: "6 Apr"}}, `the size of tray can't be a temperature or a date; expected an amount such as 12 egg or 25 kg`},
		{
			"several mistakes at once", "GBP", []Thing{{Name: "Hen"}, {Name: "acre"}, {Name: "egg"}},
			`"Hen" can't be the name of a counted thing; expected a lower-case word such as hen or market_box` + "\n" +
				`"acre" is already a unit, so it can't be counted; choose another word`,
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s, err := NewSystem(test.currency, test.things)
			if err == nil || s != nil {
				t.Fatalf("NewSystem = %v, %v", s, err)
			}
			if err.Error() != test.want {
				t.Errorf("got:  %s\nwant: %s", err, test.want)
			}
		})
	}
}

func TestPacks(t *testing.T) {
	// A pack may stand before what it holds, and hold packs.
	s := system(t, "GBP", Thing{Name: "crate", Pack: "10 trays"}, Thing{Name: "tray", Pack: "30 egg"}, Thing{Name: "egg"},
		Thing{Name: "sack", Pack: "25 kg"}, Thing{Name: "dozen", Pack: "12", Plural: "dozen"})
	for _, test := range []struct {
		text, in string
		want     float64
	}{
		{"2 crate", "egg", 600}, {"2 crates", "tray", 20}, {"3 sacks", "kg", 75}, {"2 dozen", "", 24}, {"6 GBP/tray", "GBP/egg", 0.2},
	} {
		q, err := s.Parse(test.text)
		if err != nil {
			t.Errorf("%s: %v", test.text, err)
			continue
		}
		if u := s.Must(test.in); u.Dimension != q.Unit.Dimension || math.Abs(u.FromBase(q.Value)-test.want) > 1e-12 {
			t.Errorf("%s = %v %s, want %v", test.text, u.FromBase(q.Value), test.in, test.want)
		}
	}
	if s.Must("egg").Dimension == s.Must("sack").Dimension {
		t.Error("eggs and sacks are alike")
	}
}

func TestPluralsRead(t *testing.T) {
	s := system(t, "GBP", Thing{Name: "batch"}, Thing{Name: "box"}, Thing{Name: "baby"}, Thing{Name: "tray"}, Thing{Name: "market_box", Plural: "market boxes"},
		Thing{Name: "sheep", Plural: "sheep"}, Thing{Name: "fish"})
	for plural, want := range map[string]string{
		"batches": "batch", "boxes": "box", "babies": "baby", "trays": "tray", "market_boxes": "market_box", "sheep": "sheep", "fishes": "fish",
		"days": "day", "weeks": "week", "acres": "acre",
	} {
		if u, err := s.ParseUnit(plural); err != nil || u.String() != want {
			t.Errorf("%s = %v, %v, want %s", plural, u, err, want)
		}
	}
}

// Minor units by ISO 4217, list one, from memory; KWD and JPY as any browser's
// Intl.NumberFormat shows them.
func TestDecimalsOfCurrencies(t *testing.T) {
	for code, want := range map[string]int{
		"GBP": 2, "EUR": 2, "USD": 2, "CHF": 2, "INR": 2, "PKR": 2, "COP": 2, "HUF": 2, "IDR": 2, "ZAR": 2, "SLE": 2, "VES": 2, "XCG": 2, "MRU": 2,
		"JPY": 0, "KRW": 0, "ISK": 0, "CLP": 0, "VND": 0, "XOF": 0, "UGX": 0, "RWF": 0,
		"KWD": 3, "BHD": 3, "TND": 3, "OMR": 3, "JOD": 3, "IQD": 3, "LYD": 3,
	} {
		s := system(t, code)
		if got := s.Decimals(); got != want {
			t.Errorf("%s has %d decimals, want %d", code, got, want)
		}
		if s.Currency() != code || s.Money().String() != code || s.Money().Dimension != Base(code) {
			t.Errorf("the money of %s is %v", code, s.Money())
		}
	}
}

// All of ISO 4217's list one (active codes, funds and metals left out), from
// memory, as of 2025.
const active = `AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF
CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS
INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR
MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP
SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX USD UYU UZS VED VES VND VUV WST XAF XCD XCG XOF
XPF YER ZAR ZMW ZWG`

func TestEveryCurrencyIsADimensionOfItsOwn(t *testing.T) {
	s := farm(t)
	seen := map[Dimension]string{}
	for _, code := range strings.Fields(active) {
		u, err := s.ParseUnit(code)
		if err != nil {
			t.Errorf("%s: %v", code, err)
			continue
		}
		if other := seen[u.Dimension]; other != "" {
			t.Errorf("%s and %s can be added", code, other)
		}
		seen[u.Dimension] = code
	}
	if !slices.IsSorted(isoCodes()) {
		t.Error("the codes are not sorted")
	}
	// Money of the past is known on any day: the list asks for no date.
	for _, code := range []string{"DEM", "FRF", "IEP", "GBP"} {
		if !slices.Contains(isoCodes(), code) {
			t.Errorf("%s is not known", code)
		}
	}
}

func TestNames(t *testing.T) {
	s := farm(t)
	names := s.Names()
	for _, want := range []string{"kg", "GBP", "hen", "hens", "tray", "market_boxes", "litre", "%"} {
		if !slices.Contains(names, want) {
			t.Errorf("%s is not among the names", want)
		}
		if !s.Known(want) {
			t.Errorf("%s is not known", want)
		}
	}
	if slices.Contains(names, "USD") || !s.Known("USD") {
		t.Error("foreign money is to be known, but not suggested")
	}
	for _, name := range names {
		if _, err := s.ParseUnit(name); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, want := range map[string]bool{"m2": true, "ft^3": true, "m²": true, "m0": false, "m10": false, "hen2": true, "x": false, "": false, "kg/m": false} {
		if s.Known(name) != want {
			t.Errorf("Known(%q) = %v", name, !want)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("Must of an unknown unit went through")
		}
	}()
	s.Must("furlong")
}

func TestParse(t *testing.T) {
	s := farm(t)
	tests := []struct {
		text  string
		value float64 // in units
		unit  string
		step  float64
	}{
		{"0.52 GBP/kg", 0.52, "GBP/kg", 0.01},
		{"6 %", 6, "%", 1},
		{"6%", 6, "%", 1},
		{"12,000", 12000, "", 1},
		{"1,234,567.50 GBP", 1234567.5, "GBP", 0.01},
		{"12_000 bird", 12000, "bird", 1},
		{"-3 degC", -3, "degC", 1},
		{"−3 °C", -3, "degC", 1},
		{"+4", 4, "", 1},
		{".5 ha", 0.5, "ha", 0.1},
		{"1.5e3 kg", 1500, "kg", 100},
		{"1E-3 m", 0.001, "m", 0.001},
		{"  4   m2/bird/day ", 4, "m2/bird/day", 1},
		{"4 m²/bird", 4, "m2/bird", 1},
		{"4 m^2", 4, "m2", 1},
		{"5kg", 5, "kg", 1},
		{"5 eggs", 5, "egg", 1},
		{"1 1/year", 1, "1/year", 1},
		{"3 /year", 3, "1/year", 1},
		{"7.20 W·h", 7.2, "W·h", 0.01},
		{"7 W*h", 7, "W·h", 1},
		{"5 GBP / kg", 5, "GBP/kg", 1},
		{"0", 0, "", 1},
		{"-0 kg", 0, "kg", 1},
		{"0e999", 0, "", 0},
		{"1 Jan", 0, "date", 1},
		{"6 Apr", 95, "date", 1},
		{"31 Dec", 364, "date", 1},
		{"1\u00a0234", 0, "", -1},
		{"5\u00a0kg", 5, "kg", 1},
	}
	for _, test := range tests {
		q, err := s.Parse(test.text)
		if test.step < 0 {
			if err == nil {
				t.Errorf("Parse(%q) = %v", test.text, q)
			}
			continue
		}
		if err != nil {
			t.Errorf("Parse(%q): %v", test.text, err)
			continue
		}
		if got := q.Unit.FromBase(q.Value); math.Abs(got-test.value) > 1e-13*max(1, test.value) || q.Unit.String() != test.unit || math.Abs(q.Step-test.step) > 1e-15*test.step {
			t.Errorf("Parse(%q) = %v %q with a step of %v, want %v %q, %v", test.text, got, q.Unit, q.Step, test.value, test.unit, test.step)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	s := farm(t)
	tests := []struct{ text, want string }{
		{"", `"" is not a number with a unit; expected something like 0.52 GBP/kg`},
		{"kg", `"kg" is not a number with a unit; expected something like 0.52 GBP/kg`},
		{"about 5 kg", `"about 5 kg" is not a number with a unit; expected something like 0.52 GBP/kg`},
		{"£5", `"£5" has its money before the number; write 5 GBP`},
		{"--5", `"--5" is not a number with a unit; expected something like 0.52 GBP/kg`},
		{"NaN", `"NaN" is not a number with a unit; expected something like 0.52 GBP/kg`},
		{"Inf kg", `"Inf kg" is not a number with a unit; expected something like 0.52 GBP/kg`},
		{strings.Repeat("y", 999), `"` + strings.Repeat("y", 40) + `..." is not a number with a unit; expected something like 0.52 GBP/kg`},
		{"1,5 kg", `"1,5 kg" has a decimal comma; write it with a point`},
		{"0,52 GBP/kg", `"0,52 GBP/kg" has a decimal comma; write it with a point`},
		{"1.234.567", `"1.234.567" is not a number; expected digits with one decimal point, and thousands in threes if they are parted at all, as in 12,000.50`},
		{"1,2345", `"1,2345" is not a number; expected digits with one decimal point, and thousands in threes if they are parted at all, as in 12,000.50`},
		{"5. kg", `"5. kg" is not a number; expected digits with one decimal point, and thousands in threes if they are parted at all, as in 12,000.50`},
		{"5_kg", `"5_kg" is not a number; expected digits with one decimal point, and thousands in threes if they are parted at all, as in 12,000.50`},
		{"1e999", `"1e999" is too large a number`},
		{"1e308 t", `"1e308 t" is too large a number`},
		{"5 kilo", `"kilo" is not a unit or a counted thing of this farm; a thing to count is declared under counts in farm.yaml`},
		{"5 KG", `"KG" is not a unit or a counted thing of this farm; did you mean kg?`},
		{"5 hem", `"hem" is not a unit or a counted thing of this farm; did you mean hen?`},
		{"5 GBP/trai", `"trai" is not a unit or a counted thing of this farm; did you mean tray?`},
		{"5 usd", `"usd" is not a unit or a counted thing of this farm; did you mean USD?`},
		{"5 ton", `"ton" means different things in different countries; write t, uston or impton`},
		{"5 gal/acre", `"gal" means different things in different countries; write usgal or impgal`},
		{"12 C", `"C" means different things in different countries; write degC`},
		{"5 GBP/", `"GBP/" lacks a unit beside a / or ·; expected something like GBP/kg`},
		{"5 GBP//kg", `"GBP//kg" lacks a unit beside a / or ·; expected something like GBP/kg`},
		{"5 kg·", `"kg·" lacks a unit beside a / or ·; expected something like GBP/kg`},
		{"5 /", `"/" lacks a unit beside a / or ·; expected something like GBP/kg`},
		{"5 GBP/kg·day", `"GBP/kg·day" can be read in two ways; write what is multiplied first, and a / before each unit that divides`},
		{"5 m0", `"m0" is not a unit or a counted thing of this farm; did you mean m?`},
		{"5 " + strings.Repeat("kg·", 60) + "kg", `this is too long for a unit; expected something like GBP/kg`},
		{"5 " + strings.Repeat("mg9·", 23) + "mg9", `"` + strings.Repeat("mg9·", 23) + `mg9" is too large or too small a unit to reckon with`},
		{"31 Feb", `Feb has no day 31; expected 1 to 28`},
		{"0 Jan", `Jan has no day 0; expected 1 to 31`},
		{"1.5 Jan", `Jan has no day 1.5; expected 1 to 31`},
		{"6 April", `"April" is not a unit or a counted thing of this farm; a thing to count is declared under counts in farm.yaml`},
	}
	for _, test := range tests {
		q, err := s.Parse(test.text)
		if err == nil {
			t.Errorf("Parse(%.60q) = %v %s", test.text, q.Value, q.Unit)
			continue
		}
		if err.Error() != test.want {
			t.Errorf("Parse(%.60q):\ngot:  %s\nwant: %s", test.text, err, test.want)
		}
		if q.Value != 0 || q.Unit.Parts != nil {
			t.Errorf("Parse(%.60q) fails and still gives %v", test.text, q)
		}
	}
}

func TestLarger(t *testing.T) {
	s := farm(t)
	tests := []struct {
		value    float64
		from, to string
	}{
		{999, "g", "g"}, {1000, "g", "kg"}, {-2500, "g", "kg"}, {5000, "kg", "kg"},
		{119, "min", "min"}, {120, "min", "h"}, {119, "s", "s"}, {120, "s", "min"}, {7199, "s", "min"}, {7200, "s", "h"},
		{1000, "ml", "L"}, {9999, "mm", "mm"}, {10000, "mm", "m"}, {9999, "m2", "m2"}, {10000, "m2", "ha"}, {10000, "m", "m"},
		{1000, "Wh", "kWh"}, {9999, "W", "W"}, {10000, "W", "kW"},
		{5000, "g/bird", "g/bird"}, {5000, "", ""}, {99999, "GBP", "GBP"}, {math.NaN(), "g", "g"},
		{0.1 * 3 * 1000 / 0.3, "g", "kg"}, // 1 000 but for the last bit
	}
	for _, test := range tests {
		u := s.Must(test.from)
		if got := s.Larger(u.ToBase(test.value), u).String(); got != test.to {
			t.Errorf("%v %s are shown in %s, want %s", test.value, test.from, got, test.to)
		}
	}
}

func TestDates(t *testing.T) {
	// Days of the year as printed in any calendar of a common year: 1 April is
	// day 91, 1 July 182, 31 December 365. From memory.
	for _, test := range []struct{ day, month, want int }{{1, 0, 1}, {1, 3, 91}, {1, 6, 182}, {31, 11, 365}, {28, 1, 59}, {1, 2, 60}} {
		days, err := Date(float64(test.day), test.month)
		if err != nil || days != float64(test.want-1) {
			t.Errorf("%d %s = %v, %v", test.day, MonthNames[test.month], days, err)
		}
	}
	for n := -400; n < 800; n++ {
		month, dayOfMonth := MonthDay(float64(n))
		days, err := Date(float64(dayOfMonth), month)
		if err != nil || days != float64(((n%365)+365)%365) {
			t.Fatalf("day %d is %d %s, which is day %v, %v", n, dayOfMonth, MonthNames[month], days, err)
		}
	}
	if m, d := MonthDay(94.9999999999); m != 3 || d != 6 {
		t.Errorf("a hair before 6 April is %d %s", d, MonthNames[m])
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e300} {
		if m, d := MonthDay(bad); m < 0 || m > 11 || d < 1 || d > MonthDays[m] {
			t.Errorf("%v days after 1 January is %d of month %d", bad, d, m)
		}
	}
	for _, bad := range []float64{0, 32, 1.5, -1, math.NaN(), math.Inf(1)} {
		if _, err := Date(bad, 0); err == nil {
			t.Errorf("January has a day %v", bad)
		}
	}
	if m, ok := Month("Sep"); !ok || m != 8 {
		t.Error("Sep is not month 8")
	}
	if _, ok := Month("sep"); ok {
		t.Error("sep is a month")
	}
}
