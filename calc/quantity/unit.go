package quantity

import (
	"math/bits"
	"slices"
	"strconv"
	"strings"
)

// A Definition is one named unit: its size in base units and where that size
// is laid down.
type Definition struct {
	Symbol    string // as written, and as shown unless Shown is set
	Shown     string
	Plural    string // shown for any number but 1; "" for symbols, which don't inflect
	Dimension Dimension
	Factor    float64 // base units in one unit
	Offset    float64 // value at zero of the unit, in base units: degrees Celsius and Fahrenheit
	Exact     bool    // the source defines the factor; otherwise it is rounded
	Source    string
	Also      []string // other ways to write it
	Vague     []string // words that may mean it or another unit, and so are refused
	Counted   bool     // a thing of the farm's own, whose names the farmer gave
}

const (
	inch      = 0.0254     // m, exact: NIST SP 811, B.8
	foot      = 12 * inch  // m, exact
	acre      = 4840 * yd2 // m2, exact: 43 560 international square feet
	yd2       = 9 * foot * foot
	pound     = 0.45359237 // kg, exact: NIST SP 811, B.8
	cubicInch = inch * inch * inch
	usGallon  = 231 * cubicInch // m3, exact: NIST Handbook 44, appendix C
	impGallon = 4.54609e-3      // m3, exact: NIST SP 811, B.8
	gravity   = 9.80665         // m/s2, exact: NIST SP 811, B.8
	day       = 86400
	year      = 365 * day // s: NIST SP 811, B.8, "year (365 days)"
)

const (
	si        = "SI Brochure, 9th edition"
	sp811     = "NIST SP 811 (2008), appendix B.8"
	handbook  = "NIST Handbook 44, appendix C"
	bushelWgt = "US grain bushel weights, as printed by Ohio State and Florida extension"
)

// Standard lists the units that every farm knows, with their sources. A
// bushel of a crop is a mass; usbu and impbu are volumes.
var Standard = []Definition{
	{Symbol: "%", Factor: 0.01, Exact: true, Source: si},
	{Symbol: "deg", Shown: "°", Factor: 0.017453292519943295, Source: si, Also: []string{"°"}},

	{Symbol: "m", Dimension: Length, Factor: 1, Exact: true, Source: si, Also: []string{"metre", "metres", "meter", "meters"}},
	{Symbol: "mm", Dimension: Length, Factor: 1e-3, Exact: true, Source: si, Also: []string{"millimetre", "millimetres"}},
	{Symbol: "cm", Dimension: Length, Factor: 1e-2, Exact: true, Source: si, Also: []string{"centimetre", "centimetres"}},
	{Symbol: "km", Dimension: Length, Factor: 1e3, Exact: true, Source: si, Also: []string{"kilometre", "kilometres"}},
	{Symbol: "in", Dimension: Length, Factor: inch, Exact: true, Source: sp811, Also: []string{"inch", "inches"}},
	{Symbol: "ft", Dimension: Length, Factor: foot, Exact: true, Source: sp811, Also: []string{"foot", "feet"}},
	{Symbol: "yd", Dimension: Length, Factor: 3 * foot, Exact: true, Source: sp811, Also: []string{"yard", "yards"}},
	{Symbol: "mi", Dimension: Length, Factor: 5280 * foot, Exact: true, Source: sp811, Also: []string{"mile", "miles"}},

	{Symbol: "ha", Dimension: Area, Factor: 1e4, Exact: true, Source: si, Also: []string{"hectare", "hectares"}},
	{Symbol: "acre", Plural: "acres", Dimension: Area, Factor: acre, Exact: true, Source: sp811 + ", international foot"},

	{Symbol: "L", Dimension: Volume, Factor: 1e-3, Exact: true, Source: si, Also: []string{"liter", "liters", "l", "litre", "litres"}},
	{Symbol: "ml", Dimension: Volume, Factor: 1e-6, Exact: true, Source: si, Also: []string{"millilitre", "millilitres", "mL"}},
	{Symbol: "usgal", Shown: "US gal", Dimension: Volume, Factor: usGallon, Exact: true, Source: handbook, Vague: []string{"gal", "gallon", "gallons"}},
	{Symbol: "usqt", Shown: "US qt", Dimension: Volume, Factor: usGallon / 4, Exact: true, Source: handbook, Vague: []string{"qt", "quart", "quarts"}},
	{Symbol: "uspt", Shown: "US pt", Dimension: Volume, Factor: usGallon / 8, Exact: true, Source: handbook, Vague: []string{"pt", "pint", "pints"}},
	{Symbol: "usfloz", Shown: "US fl oz", Dimension: Volume, Factor: usGallon / 128, Exact: true, Source: handbook, Vague: []string{"floz"}},
	{Symbol: "impgal", Shown: "imp gal", Dimension: Volume, Factor: impGallon, Exact: true, Source: sp811, Vague: []string{"gal", "gallon", "gallons"}},
	{Symbol: "impqt", Shown: "imp qt", Dimension: Volume, Factor: impGallon / 4, Exact: true, Source: sp811, Vague: []string{"qt", "quart", "quarts"}},
	{Symbol: "imppt", Shown: "imp pt", Dimension: Volume, Factor: impGallon / 8, Exact: true, Source: sp811, Vague: []string{"pt", "pint", "pints"}},
	{Symbol: "impfloz", Shown: "imp fl oz", Dimension: Volume, Factor: impGallon / 160, Exact: true, Source: sp811, Vague: []string{"floz"}},
	{Symbol: "cord", Plural: "cords", Dimension: Volume, Factor: 128 * foot * foot * foot, Exact: true, Source: sp811 + ", 128 ft3"},
	{Symbol: "usbu", Shown: "US bu", Dimension: Volume, Factor: 2150.42 * cubicInch, Exact: true, Source: handbook, Vague: []string{"bu", "bushel", "bushels"}},
	{Symbol: "impbu", Shown: "imp bu", Dimension: Volume, Factor: 8 * impGallon, Exact: true, Source: sp811, Vague: []string{"bu", "bushel", "bushels"}},

	{Symbol: "kg", Dimension: Mass, Factor: 1, Exact: true, Source: si, Also: []string{"kilogram", "kilograms"}},
	{Symbol: "g", Dimension: Mass, Factor: 1e-3, Exact: true, Source: si, Also: []string{"gram", "grams"}},
	{Symbol: "mg", Dimension: Mass, Factor: 1e-6, Exact: true, Source: si},
	{Symbol: "t", Dimension: Mass, Factor: 1e3, Exact: true, Source: si, Also: []string{"tonne", "tonnes"}, Vague: []string{"ton", "tons"}},
	{Symbol: "lb", Dimension: Mass, Factor: pound, Exact: true, Source: sp811, Also: []string{"lbs", "pound", "pounds"}},
	{Symbol: "oz", Dimension: Mass, Factor: pound / 16, Exact: true, Source: sp811, Also: []string{"ounce", "ounces"}},
	{Symbol: "uston", Shown: "US ton", Plural: "US tons", Dimension: Mass, Factor: 2000 * pound, Exact: true, Source: sp811, Vague: []string{"ton", "tons"}},
	{Symbol: "impton", Shown: "imp ton", Plural: "imp tons", Dimension: Mass, Factor: 2240 * pound, Exact: true, Source: sp811, Vague: []string{"ton", "tons"}},
	{Symbol: "uscwt", Shown: "US cwt", Dimension: Mass, Factor: 100 * pound, Exact: true, Source: sp811, Vague: []string{"cwt"}},
	{Symbol: "impcwt", Shown: "imp cwt", Dimension: Mass, Factor: 112 * pound, Exact: true, Source: sp811, Vague: []string{"cwt"}},
	{Symbol: "bu_corn", Shown: "bu corn", Dimension: Mass, Factor: 56 * pound, Exact: true, Source: bushelWgt},
	{Symbol: "bu_rye", Shown: "bu rye", Dimension: Mass, Factor: 56 * pound, Exact: true, Source: bushelWgt},
	{Symbol: "bu_sorghum", Shown: "bu sorghum", Dimension: Mass, Factor: 56 * pound, Exact: true, Source: bushelWgt},
	{Symbol: "bu_wheat", Shown: "bu wheat", Dimension: Mass, Factor: 60 * pound, Exact: true, Source: bushelWgt, Vague: []string{"bu", "bushel", "bushels"}},
	{Symbol: "bu_soybean", Shown: "bu soybeans", Dimension: Mass, Factor: 60 * pound, Exact: true, Source: bushelWgt},
	{Symbol: "bu_barley", Shown: "bu barley", Dimension: Mass, Factor: 48 * pound, Exact: true, Source: "commodity conversion table, 45.930 bushels a tonne"},
	{Symbol: "bu_oats", Shown: "bu oats", Dimension: Mass, Factor: 32 * pound, Exact: true, Source: bushelWgt + " (34 lb in Canada)"},

	{Symbol: "s", Dimension: Time, Factor: 1, Exact: true, Source: si, Also: []string{"second", "seconds"}},
	{Symbol: "min", Dimension: Time, Factor: 60, Exact: true, Source: si, Also: []string{"minute", "minutes"}},
	{Symbol: "h", Dimension: Time, Factor: 3600, Exact: true, Source: si, Also: []string{"hour", "hours"}},
	{Symbol: "day", Plural: "days", Dimension: Time, Factor: day, Exact: true, Source: si},
	{Symbol: "week", Plural: "weeks", Dimension: Time, Factor: 7 * day, Exact: true, Source: "seven days"},
	{Symbol: "month", Plural: "months", Dimension: Time, Factor: year / 12., Exact: true, Source: "a twelfth of the year below"},
	{Symbol: "year", Plural: "years", Dimension: Time, Factor: year, Exact: true, Source: sp811 + ", year of 365 days"},

	{Symbol: "date", Dimension: Time, Factor: day, Exact: true, Source: "days since 1 January, in a year of 365 days"},

	{Symbol: "calendar", Dimension: Time, Factor: day, Exact: true, Source: "days since 1970-01-01, ISO 8601"},

	{Symbol: "K", Dimension: Temperature, Factor: 1, Exact: true, Source: si, Also: []string{"kelvin", "kelvins"}},
	{Symbol: "degC", Shown: "°C", Dimension: Temperature, Factor: 1, Offset: 273.15, Exact: true, Source: si, Also: []string{"°C"}, Vague: []string{"C"}},
	{Symbol: "degF", Shown: "°F", Dimension: Temperature, Factor: 5. / 9, Offset: 459.67 * 5 / 9, Exact: true, Source: sp811, Also: []string{"°F"}, Vague: []string{"F"}},

	{Symbol: "Fdeg", Shown: "F°", Dimension: Temperature, Factor: 5. / 9, Exact: true, Source: sp811 + ", a difference in degrees Fahrenheit"},

	{Symbol: "mph", Dimension: "m s^-1", Factor: 5280 * foot / 3600, Exact: true, Source: sp811},

	{Symbol: "J", Dimension: Energy, Factor: 1, Exact: true, Source: si},
	{Symbol: "kJ", Dimension: Energy, Factor: 1e3, Exact: true, Source: si},
	{Symbol: "MJ", Dimension: Energy, Factor: 1e6, Exact: true, Source: si},
	{Symbol: "GJ", Dimension: Energy, Factor: 1e9, Exact: true, Source: si},
	{Symbol: "Wh", Dimension: Energy, Factor: 3.6e3, Exact: true, Source: si},
	{Symbol: "kWh", Dimension: Energy, Factor: 3.6e6, Exact: true, Source: si},
	{Symbol: "Btu", Dimension: Energy, Factor: 1055.05585262, Exact: true, Source: sp811 + ", International Table"},
	{Symbol: "therm", Plural: "therms", Dimension: Energy, Factor: 1e5 * 1055.05585262, Exact: true, Source: sp811 + ", 100 000 Btu, International Table, as in Britain"},
	{Symbol: "ustherm", Shown: "US therm", Plural: "US therms", Dimension: Energy, Factor: 1.054804e8, Exact: true, Source: sp811},
	{Symbol: "W", Dimension: Power, Factor: 1, Exact: true, Source: si},
	{Symbol: "kW", Dimension: Power, Factor: 1e3, Exact: true, Source: si},
	{Symbol: "MW", Dimension: Power, Factor: 1e6, Exact: true, Source: si},
	{Symbol: "hp", Dimension: Power, Factor: 550 * foot * pound * gravity, Exact: true, Source: sp811 + ", 550 ft lbf/s"},

	{Symbol: "A", Dimension: Current, Factor: 1, Exact: true, Source: si},
	{Symbol: "mA", Dimension: Current, Factor: 1e-3, Exact: true, Source: si},
	{Symbol: "Ah", Dimension: "A s", Factor: 3600, Exact: true, Source: si},
	{Symbol: "V", Dimension: "A^-1 kg m^2 s^-3", Factor: 1, Exact: true, Source: si},
	{Symbol: "kV", Dimension: "A^-1 kg m^2 s^-3", Factor: 1e3, Exact: true, Source: si},
	{Symbol: "ohm", Shown: "Ω", Dimension: "A^-2 kg m^2 s^-3", Factor: 1, Exact: true, Source: si},
	{Symbol: "kohm", Shown: "kΩ", Dimension: "A^-2 kg m^2 s^-3", Factor: 1e3, Exact: true, Source: si},
	{Symbol: "N", Dimension: "kg m s^-2", Factor: 1, Exact: true, Source: si},
	{Symbol: "kN", Dimension: "kg m s^-2", Factor: 1e3, Exact: true, Source: si},
	{Symbol: "Pa", Dimension: "kg m^-1 s^-2", Factor: 1, Exact: true, Source: si},
	{Symbol: "kPa", Dimension: "kg m^-1 s^-2", Factor: 1e3, Exact: true, Source: si},
	{Symbol: "bar", Dimension: "kg m^-1 s^-2", Factor: 1e5, Exact: true, Source: si},
	{Symbol: "psi", Dimension: "kg m^-1 s^-2", Factor: pound * gravity / (inch * inch), Exact: true, Source: sp811},
}

// A Part is a power of one named unit.
type Part struct {
	Unit  *Definition
	Power int
}

// A Unit is how a quantity is written: a product of powers of named units, as
// in GBP/kg or m2/bird/day. The zero Unit is that of a pure number.
type Unit struct {
	Parts     []Part
	Dimension Dimension
	Factor    float64 // base units in one unit; 0 stands for 1
	Offset    float64 // only for a lone degC or degF
}

// scale returns the unit's size in base units.
func (u Unit) scale() float64 {
	if u.Factor == 0 {
		return 1
	}
	return u.Factor
}

// ToBase converts a number of units to base units.
func (u Unit) ToBase(x float64) float64 { return float64(x*u.scale()) + u.Offset }

// FromBase converts base units to a number of units.
func (u Unit) FromBase(x float64) float64 { return (x - u.Offset) / u.scale() }

// Of returns the unit of one definition.
func Of(d *Definition) Unit {
	return Unit{Parts: []Part{{d, 1}}, Dimension: d.Dimension, Factor: d.Factor, Offset: d.Offset}
}

// Times returns the unit of a product as a person would write it. Units of one
// dimension cancel across the product (h/day times weeks is hours) but not
// within one factor: min/bird/day times birds is min/day. A date counts as
// days; a temperature, but for products with a pure number, as a difference.
func (u Unit) Times(v Unit) Unit { return combine(u, v, 1) }

// IsDate reports whether u is a day of the year, shown as 6 Apr.
func (u Unit) IsDate() bool { return u.is("date") }

// IsCalendar reports whether u is a date, shown as 6 Apr 2027.
func (u Unit) IsCalendar() bool { return u.is("calendar") }

// InMonths reports whether u is a month or a year, by which a date is moved to
// the same day of another month.
func (u Unit) InMonths() bool { return u.is("month") || u.is("year") }

func (u Unit) is(symbol string) bool {
	return len(u.Parts) == 1 && u.Parts[0].Unit.Symbol == symbol && u.Parts[0].Power == 1
}

// Per returns the unit of a quotient.
func (u Unit) Per(v Unit) Unit { return combine(u, v, -1) }

// Pow returns the unit's nth power.
func (u Unit) Pow(n int) Unit {
	if n == 1 {
		return u
	}
	return product(nil, raise(u.Parts, n))
}

// undated returns parts with days in place of dates.
func undated(parts []Part) []Part {
	parts = slices.Clone(parts)
	for i := range parts {
		if symbol := parts[i].Unit.Symbol; symbol == "date" || symbol == "calendar" {
			parts[i].Unit = standard("day")
		}
	}
	return parts
}

func combine(u, v Unit, sign int) Unit {
	if len(v.Parts) == 0 && !u.IsDate() && !u.IsCalendar() {
		return u
	}
	return product(u.Parts, raise(v.Parts, sign))
}

func raise(parts []Part, n int) []Part {
	parts = slices.Clone(parts)
	for i := range parts {
		parts[i].Power *= n
	}
	return parts
}

func product(left, right []Part) Unit {
	var parts, others []Part
	var share *Definition // the first percentage above the line
	shares := 0
	take := func(p Part) bool {
		if p.Unit.Dimension != Number {
			return true
		}
		if share == nil && p.Power > 0 {
			share = p.Unit
		}
		shares += p.Power
		return false
	}
	for _, p := range undated(left) {
		if take(p) {
			parts = append(parts, p)
		}
	}
	for _, p := range undated(right) {
		if take(p) {
			others = append(others, p)
		}
	}
	merge(parts, others)
	parts = join(cancel(append(parts, others...)))
	above := slices.ContainsFunc(parts, func(p Part) bool { return p.Power > 0 })
	if share != nil && shares > 0 && !above {
		// A percentage of something is that thing; alone, or per year, it stays.
		parts = slices.Insert(parts, 0, Part{share, 1})
	}
	return unitOf(parts)
}

// merge cancels parts of one dimension on both sides of the line, equal units
// first, and adds up those on the same side. Where both operands are rates of
// one kind (h/day times day/week) what cancels once is enough: the result is a
// rate too.
func merge(left, right []Part) {
	rates := map[Dimension]bool{}
	for _, l := range left {
		d := l.Unit.Dimension
		rates[d] = bothSides(left, d) && bothSides(right, d)
	}
	done := map[Dimension]bool{}
	for _, alike := range []bool{true, false} {
		for j := range right {
			for i := range left {
				l, r := &left[i], &right[j]
				d := l.Unit.Dimension
				if d != r.Unit.Dimension || l.Power*r.Power >= 0 || alike != (l.Unit == r.Unit) {
					continue
				}
				if !alike && rates[d] && (done[d] || r.Power < 0) {
					continue
				}
				n := min(abs(l.Power), abs(r.Power))
				if r.Power < 0 {
					n = -n
				}
				l.Power += n
				r.Power -= n
				done[d] = done[d] || alike
			}
		}
	}
	for j := range right {
		for i := range left {
			l, r := &left[i], &right[j]
			if l.Unit.Dimension == r.Unit.Dimension && l.Power*r.Power > 0 {
				if abs(r.Power) > abs(l.Power) {
					l.Unit = r.Unit // millimetres of rain on square metres are cubic metres
				}
				l.Power += r.Power
				r.Power = 0
			}
		}
	}
}

func bothSides(parts []Part, d Dimension) bool {
	above, below := false, false
	for _, p := range parts {
		if p.Unit.Dimension == d {
			above, below = above || p.Power > 0, below || p.Power < 0
		}
	}
	return above && below
}

func abs(n int) int { return max(n, -n) }

// cancel drops parts of several dimensions that together are a pure number, as
// ha with m2 below the line, or kW and h with kWh below it; the fewest first.
func cancel(parts []Part) []Part {
	parts = slices.DeleteFunc(parts, func(p Part) bool { return p.Power == 0 })
	const most = 8 // beyond that no person reads the unit anyway
	for size := 2; size <= len(parts) && len(parts) <= most; size++ {
		for set := range 1 << len(parts) {
			if bits.OnesCount(uint(set)) != size {
				continue
			}
			var rest []Part
			product, kinds := Number, map[Dimension]bool{}
			for i, p := range parts {
				if set&(1<<i) == 0 {
					rest = append(rest, p)
					continue
				}
				product = product.Mul(p.Unit.Dimension.Pow(p.Power))
				kinds[p.Unit.Dimension] = true
			}
			if product == Number && len(kinds) > 1 {
				return cancel(rest)
			}
		}
	}
	return parts
}

// joined are pairs that have a unit of their own.
var joined = []struct{ a, b, both string }{
	{"kW", "h", "kWh"}, {"W", "h", "Wh"}, {"V", "A", "W"}, {"A", "h", "Ah"},
}

func join(parts []Part) []Part {
	find := func(symbol string, power int) int {
		return slices.IndexFunc(parts, func(p Part) bool { return p.Unit.Symbol == symbol && p.Power == power })
	}
	for _, pair := range joined {
		for _, power := range []int{1, -1} {
			if a, b := find(pair.a, power), find(pair.b, power); a >= 0 && b >= 0 {
				parts[min(a, b)] = Part{standard(pair.both), power}
				parts = slices.Delete(parts, max(a, b), max(a, b)+1)
			}
		}
	}
	// A depth of water over hectares is a volume.
	for _, depth := range []string{"mm", "cm", "m"} {
		if a, b := find("ha", 1), find(depth, 1); a >= 0 && b >= 0 {
			parts[min(a, b)] = Part{standard("m"), 3}
			parts = slices.Delete(parts, max(a, b), max(a, b)+1)
		}
	}
	return parts
}

func unitOf(parts []Part) Unit {
	parts = slices.DeleteFunc(parts, func(p Part) bool { return p.Power == 0 })
	if len(parts) == 1 && parts[0].Power == 1 {
		return Of(parts[0].Unit)
	}
	parts = undated(parts)
	u := Unit{Parts: parts, Factor: 1}
	for _, p := range parts {
		u.Dimension = u.Dimension.Mul(p.Unit.Dimension.Pow(p.Power))
		for range max(p.Power, -p.Power) {
			if p.Power > 0 {
				u.Factor *= p.Unit.Factor
			} else {
				u.Factor /= p.Unit.Factor
			}
		}
	}
	return u
}

// String writes the unit as it is read: "GBP/kg", "m2/bird/day", "1/year".
func (u Unit) String() string {
	return u.write(func(d *Definition) string { return d.Symbol }, strconv.Itoa)
}

func (u Unit) write(name func(*Definition) string, power func(int) string) string {
	var above, below []string
	for _, p := range u.Parts {
		text := name(p.Unit)
		if n := max(p.Power, -p.Power); n > 1 {
			text += power(n)
		}
		if p.Power > 0 {
			above = append(above, text)
		} else {
			below = append(below, text)
		}
	}
	text := strings.Join(above, "·")
	if text == "" && len(below) > 0 {
		text = "1"
	}
	for _, b := range below {
		text += "/" + b
	}
	return text
}

// Days and Kelvin are the units of a difference between two dates and between
// two temperatures.
var (
	Days        = Of(standard("day"))
	Kelvin      = Of(standard("K"))
	Fahrenheits = Of(standard("Fdeg"))
	// Months is a twelfth of a year of 365 days.
	Months = Of(standard("month"))
	// CalendarDays is the unit of a date.
	CalendarDays = Of(standard("calendar"))
)

func standard(symbol string) *Definition {
	for i := range Standard {
		if Standard[i].Symbol == symbol {
			return &Standard[i]
		}
	}
	panic("quantity: no standard unit " + symbol)
}
