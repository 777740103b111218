package quantity

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/currency"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"

	"rickyard/calc/say"
)

// A Style shows values as text in one language. It is not safe for use by
// several goroutines at once.
type Style struct {
	system    *System
	printer   *message.Printer
	symbol    map[string]string
	moneyLast bool

	// How the language writes numbers, if plain: see learn.
	plain        bool
	group, point string
	percent      string // what stands before the sign

	// Language has the words of the style's language: units' names, months,
	// "–" for no value. nil is English. What the farm counts keeps its own name.
	Language say.Language
}

// NewStyle returns the style of a language for one farm's units.
func NewStyle(s *System, tag language.Tag) *Style {
	style := &Style{system: s, printer: message.NewPrinter(tag), symbol: map[string]string{}, moneyLast: symbolFollows(tag)}
	style.learn()
	return style
}

// Words returns a text in the style's language.
func (s *Style) Words(text say.Text) string { return text.In(s.Language) }

// System returns the units that the style shows.
func (s *Style) System() *System { return s.system }

// money returns the currency of u if u is money, alone or per something.
func (s *Style) money(u Unit) (code string, alone, ok bool) {
	for _, p := range u.Parts {
		if p.Power < 1 {
			continue
		}
		if code != "" || p.Power > 1 || s.system.currencies[p.Unit.Symbol] != p.Unit {
			return "", false, false // "GBP·day" is no amount of money
		}
		code = p.Unit.Symbol
	}
	return code, len(u.Parts) == 1, code != ""
}

// Values below smallest or from largest on take a power of ten to write.
const (
	smallest = 1e-6
	largest  = 1e15
	leftover = 1e-7 // of a unit of money: what a subtraction of equals leaves
	coldest  = 1e-9 // of a degree: the same of temperatures
)

// Step returns the place value (in units of u) to which x, in base units, is
// shown when its author names none: whole units of money from 1 000 on and the
// decimals of its currency below (two figures where that would leave less), and
// otherwise three figures but never less than the whole number.
func (s *Style) Step(x float64, u Unit) float64 {
	_, v := s.settled(x, u.FromBase(x), u)
	v = math.Abs(v)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 1
	}
	if code, alone, ok := s.money(u); ok {
		cent := pow10(-s.system.DecimalsOf(code))
		near := roundTo(v, cent)
		switch {
		case v != 0 && v < 10*cent:
			if step := figures(v, 2); step < cent && math.Abs(roundTo(v, step)-near) > step/2 {
				return step
			}
			return cent
		case v >= 1000, alone && math.Abs(near-math.Round(near)) < slack(near):
			return 1
		}
		return cent
	}
	if near := math.Round(v); (near != 0 || v == 0) && math.Abs(v-near) < slack(v) {
		return 1
	}
	return figures(v, 3)
}

// figures returns the place value of the nth figure of v once v is rounded to
// n figures, but at most 1.
func figures(v float64, n int) float64 {
	v = max(v, smallest)
	_, exponent, _ := strings.Cut(strconv.FormatFloat(v, 'e', n-1, 64), "e")
	place, _ := strconv.Atoi(exponent)
	return pow10(min(0, place-n+1))
}

// slack is how far a number of steps may lie from a whole or a half and still
// be taken for it: what a few operations on float64 add up to. 1.005 has no
// exact float64, and counts as a half of 0.01.
func slack(n float64) float64 { return min(1e-9+float64(1e-12*math.Abs(n)), 1e-4) }

// Round returns x, in base units, rounded to a whole number of steps of u,
// halves away from zero.
func Round(x float64, u Unit, step float64) float64 {
	return u.ToBase(roundTo(u.FromBase(x), step))
}

// roundTo rounds to a whole number of steps, halves away from zero. It never
// returns a negative zero, and leaves alone what is too large to have steps.
func roundTo(v, step float64) float64 {
	if !(step > 0) || math.IsInf(step, 0) {
		return v
	}
	// Working with the reciprocal of 0.01 keeps whole numbers of cents whole.
	perUnit := math.Round(1 / step)
	reciprocal := step < 1 && math.Abs(float64(perUnit*step)-1) < 1e-9
	n := math.Abs(v / step)
	if reciprocal {
		n = math.Abs(v * perUnit)
	}
	if !(n < 1<<52) {
		return v
	}
	whole, rest := math.Modf(n)
	if rest >= 0.5-slack(n) {
		whole++
	}
	if whole == 0 {
		return 0
	}
	whole = math.Copysign(whole, v)
	if reciprocal {
		return whole / perUnit
	}
	return whole * step
}

// Decimals returns how many decimals show a multiple of step.
func Decimals(step float64) int {
	if !(step > 0) {
		return 0
	}
	for n := 0; n < 12; n++ {
		if scaled := float64(step * pow10(n)); math.Abs(scaled-math.Round(scaled)) < 1e-6*scaled {
			return n
		}
	}
	return 12
}

// Figures writes the number alone, without its unit, to the given step of u;
// a step of 0 asks for the default. Trailing zeros stay, so that columns line
// up.
func (s *Style) Figures(x float64, u Unit, step float64) string {
	if step <= 0 {
		step = s.Step(x, u)
	}
	_, v := s.settled(x, u.FromBase(x), u)
	v = roundTo(v, step)
	return s.sign(v, s.digits(math.Abs(v), Decimals(step)))
}

// sign puts a true minus sign, as wide as a plus, before a negative number.
func (s *Style) sign(v float64, text string) string {
	switch {
	case math.IsNaN(v):
		return s.Words("–")
	case math.IsInf(v, 0):
		if v < 0 {
			return "−∞"
		}
		return "∞"
	}
	if v < 0 {
		return "−" + text
	}
	return text
}

// digits writes a number that is not negative with so many decimals.
func (s *Style) digits(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	if !s.plain || v >= largest {
		return s.printer.Sprint(number.Decimal(v, number.MinFractionDigits(decimals), number.MaxFractionDigits(decimals)))
	}
	var room, out [40]byte
	text := strconv.AppendFloat(room[:0], v, 'f', decimals, 64)
	whole := len(text)
	if decimals > 0 {
		whole -= decimals + 1
	}
	shown := out[:0]
	for i, digit := range text[:whole] {
		if i > 0 && (whole-i)%3 == 0 {
			shown = append(shown, s.group...)
		}
		shown = append(shown, digit)
	}
	if decimals > 0 {
		shown = append(shown, s.point...)
		shown = append(shown, text[whole+1:]...)
	}
	return string(shown)
}

// learn finds out how the language parts thousands and marks decimals, since
// its printer is too slow to ask for each number. Languages that write other
// digits or groups stay with the printer.
func (s *Style) learn() {
	long := s.printer.Sprint(number.Decimal(1234567.5, number.MaxFractionDigits(1)))
	short := s.printer.Sprint(number.Decimal(1234))
	one, rest, ok := strings.Cut(long, "234")
	if !ok || !strings.HasPrefix(one, "1") {
		return
	}
	s.group = one[1:]
	point, ok := strings.CutPrefix(rest, s.group+"567")
	if !ok || !strings.HasSuffix(point, "5") {
		return
	}
	s.point = strings.TrimSuffix(point, "5")
	if short != "1"+s.group+"234" {
		return
	}
	s.plain = s.group != "" && s.point != ""
	percent := s.printer.Sprint(number.Percent(0.06))
	if sign, ok := strings.CutPrefix(percent, "6"); ok {
		s.percent = strings.TrimSuffix(sign, "%")
	}
}

// scientific writes what has too many zeros to read: 1.2 × 10⁻⁹.
func (s *Style) scientific(v float64) string {
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(math.Abs(v), 'e', 2, 64), "e")
	m, _ := strconv.ParseFloat(mantissa, 64)
	e, _ := strconv.Atoi(exponent)
	decimals := 0
	for decimals < 2 && roundTo(m, pow10(-decimals)) != m {
		decimals++
	}
	text := s.digits(m, decimals) + "\u00a0×\u00a010"
	if e < 0 {
		text += "⁻"
	}
	return s.sign(v, text+superscript(max(e, -e)))
}

// Text writes the value with its unit as it stands in a sentence: "£0.52/kg",
// "320 birds", "6%", "25 min/day". A step of 0 asks for the default.
func (s *Style) Text(x float64, u Unit, step float64) string {
	v := u.FromBase(x)
	if math.IsNaN(v) {
		return s.Words("–")
	}
	if u.IsDate() && !math.IsInf(v, 0) {
		month, dayOfMonth := MonthDay(v)
		return s.Words(say.With("%s\u00a0%s|day and month", s.digits(float64(dayOfMonth), 0), say.ShortMonths[month]))
	}
	if u.IsCalendar() {
		if year, month, dayOfMonth, ok := Calendar(v); ok {
			return s.Words(say.With("%s\u00a0%s %s|date", strconv.Itoa(dayOfMonth), say.ShortMonths[month-1], strconv.Itoa(year)))
		}
		return s.Words("–")
	}
	x, v = s.settled(x, v, u)
	if a := math.Abs(v); step <= 0 && (a != 0 && a < smallest || a >= largest) && !math.IsInf(v, 0) {
		return s.attach(s.scientific(v), u, true)
	}
	if step <= 0 {
		step = s.Step(x, u)
		if _, _, money := s.money(u); !money {
			// Zeros at the end say nothing when nobody asked for them.
			near := roundTo(v, step)
			for step < 1 && math.Abs(roundTo(v, step*10)-near) < step/1e3 {
				step = pow10(1 - Decimals(step))
			}
		}
	}
	near := roundTo(v, step)
	return s.attach(s.sign(near, s.digits(math.Abs(near), Decimals(step))), u, math.Abs(near) != 1)
}

// settled takes what a subtraction of equals leaves for nought: of money, and of
// temperatures, whose values stand for 273 K and more.
func (s *Style) settled(x, v float64, u Unit) (base, shown float64) {
	_, _, money := s.money(u)
	if money && math.Abs(v) < leftover || u.Dimension == Temperature && math.Abs(v) < coldest {
		return u.ToBase(0), 0
	}
	return x, v
}

func (s *Style) attach(figures string, u Unit, plural bool) string {
	if code, alone, ok := s.money(u); ok {
		text := s.withSymbol(figures, code)
		if alone {
			return text
		}
		rest := Unit{Parts: slices.DeleteFunc(slices.Clone(u.Parts), func(p Part) bool { return p.Power > 0 })}
		return text + strings.TrimPrefix(s.Unit(rest, false), "1")
	}
	name := s.Unit(u, plural)
	switch {
	case name == "":
		return figures
	case strings.HasPrefix(name, "%"):
		return figures + s.percent + name
	case strings.HasPrefix(name, "°") && !strings.HasPrefix(name, "°C") && !strings.HasPrefix(name, "°F"):
		return figures + name
	case strings.HasPrefix(name, "1/"):
		return s.Words(say.With("%s per %s", figures, name[2:]))
	}
	return figures + "\u00a0" + name
}

// Unit writes the unit alone, as it heads a column: "kg/bird", "£/kg",
// "birds". Money takes its symbol.
func (s *Style) Unit(u Unit, plural bool) string {
	above := 0
	for _, p := range u.Parts {
		if p.Power > 0 {
			above++
		}
	}
	return u.write(func(d *Definition) string {
		if s.system.currencies[d.Symbol] == d {
			return s.Symbol(d.Symbol)
		}
		many := plural && above == 1 && slices.ContainsFunc(u.Parts, func(p Part) bool { return p.Unit == d && p.Power == 1 })
		shown := d.Shown
		if shown == "" {
			shown = d.Symbol
		}
		if many && d.Plural != "" {
			shown = d.Plural
		}
		if s.Language != nil && !d.Counted {
			if word, ok := s.Language.Word(shown + "|unit"); ok {
				return word
			}
		}
		return shown
	}, superscript)
}

func superscript(n int) string {
	text := ""
	for _, digit := range strconv.Itoa(n) {
		text += string([]rune("⁰¹²³⁴⁵⁶⁷⁸⁹")[digit-'0'])
	}
	return text
}

// Symbol returns the sign of a currency in the style's language, such as £, or
// its code where it has none: the shortest for the farm's own money, and for
// other money one that can't be mistaken for it (US$).
func (s *Style) Symbol(code string) string {
	if text, ok := s.symbol[code]; ok {
		return text
	}
	text := code
	if unit, err := currency.ParseISO(code); err == nil {
		sign := currency.Symbol
		if code == s.system.currency {
			sign = currency.NarrowSymbol
		}
		text = s.printer.Sprint(sign(unit))
	}
	if code != s.system.currency && text == s.Symbol(s.system.currency) {
		text = code // two dollars
	}
	s.symbol[code] = text
	return text
}

func (s *Style) withSymbol(figures, code string) string {
	symbol := s.Symbol(code)
	space := ""
	// Unicode CLDR parts letters from digits: kr 100, but £100.
	if last, _ := utf8.DecodeLastRuneInString(symbol); unicode.IsLetter(last) || last == '.' {
		space = "\u00a0"
	}
	rest, negative := strings.CutPrefix(figures, "−")
	text := symbol + space + rest
	if s.moneyLast {
		text = rest + "\u00a0" + symbol
	}
	if negative {
		text = "−" + text
	}
	return text
}

// moneyLast are the languages that write 5 € rather than €5, unless a region
// of theirs does otherwise. From Unicode CLDR, standard currency patterns.
var (
	moneyLast  = strings.Fields("be bg bs ca cs da de el es et eu fi fr gl hr hu hy is it ka lt lv mk nb nn no pl pt ro ru sk sl sq sr sv uk vi")
	moneyFirst = strings.Fields("de-AT de-CH de-LI it-CH pt-BR es-AR es-BO es-CL es-CO es-DO es-EC es-GT es-HN es-MX es-NI es-PA es-PE es-PR es-PY es-SV es-US es-UY es-VE")
)

func symbolFollows(tag language.Tag) bool {
	base, _ := tag.Base()
	region, _ := tag.Region()
	return slices.Contains(moneyLast, base.String()) && !slices.Contains(moneyFirst, base.String()+"-"+region.String())
}

// Larger returns the unit that a person would move to once x, in base units,
// grows: kilograms from 1 000 g, hours from 120 min, hectares from 10 000 m2 (or
// acres, on a farm that measures in them). Other units are returned as they are.
func (s *System) Larger(x float64, u Unit) Unit {
	if len(u.Parts) != 1 {
		return u
	}
	v := math.Abs(u.FromBase(x))
	symbol := u.Parts[0].Unit.Symbol
	for _, step := range []struct {
		from, to string
		power    int
		at       float64
	}{
		{"g", "kg", 1, 1000}, {"min", "h", 1, 120}, {"s", "min", 1, 120}, {"ml", "L", 1, 1000},
		{"mm", "m", 1, 10000}, {"m", "", 2, 10000}, {"in", "ft2", 2, 1440}, {"ft", "", 2, 10000}, {"oz", "lb", 1, 16}, {"Wh", "kWh", 1, 1000}, {"W", "kW", 1, 10000},
	} {
		if step.from == symbol && step.power == u.Parts[0].Power && v >= step.at*(1-1e-12) {
			larger, _ := s.Land()
			if step.to != "" {
				larger = s.Must(step.to)
			}
			return s.Larger(x, larger)
		}
	}
	return u
}
