package quantity

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"golang.org/x/text/currency"

	"rickyard/calc/say"
	"rickyard/calc/source"
)

// A Thing is something that a farm counts: a dimension of its own, or a pack
// of a known size (a dozen is 12 eggs).
type Thing struct {
	Name   string // singular, as written in formulas
	Plural string
	Shown  string // the singular as pages show it, such as Henne; "" for Name
	Pack   string // "" or what one holds, as "12 egg"
}

// A System knows all the units of one farm. It is not changed after New, and
// many goroutines may read it.
type System struct {
	currency   string
	names      map[string]*Definition
	currencies map[string]*Definition
	customary  bool
	vague      map[string][]string // words that may mean one of several units
}

var thingName = regexp.MustCompile(`^[a-z][a-z0-9_]{0,39}$`)

// NewSystem returns the units of a farm that reckons in the given ISO 4217
// currency and counts the given things. It fails on an unknown currency, on a
// thing whose name is not a plain lower-case word or is taken by a unit, and
// on a pack of something unknown; all failures are joined in one error.
func NewSystem(currencyCode string, things []Thing) (*System, error) {
	s := &System{names: map[string]*Definition{}, currencies: map[string]*Definition{}, vague: map[string][]string{}}
	for i := range Standard {
		d := &Standard[i]
		s.names[d.Symbol] = d
		for _, name := range d.Also {
			s.names[name] = d
		}
		if d.Plural != "" && !strings.Contains(d.Plural, " ") {
			s.names[d.Plural] = d
		}
		for _, word := range d.Vague {
			s.vague[word] = append(s.vague[word], d.Symbol)
		}
	}
	// Each currency is its own dimension: money in two currencies can't be added.
	for _, code := range isoCodes() {
		s.currencies[code] = &Definition{Symbol: code, Dimension: Base(code), Factor: 1, Exact: true, Source: "ISO 4217"}
	}
	if s.currencies[currencyCode] == nil {
		return nil, fmt.Errorf("%s is not a currency; expected an ISO 4217 code such as GBP, USD or EUR", quoteShort(currencyCode))
	}
	s.currency = currencyCode
	if err := s.declare(things); err != nil {
		return nil, err
	}
	return s, nil
}

// Customary returns the same units for a farm that measures its land in acres.
func (s *System) Customary() *System {
	c := *s
	c.customary = true
	return &c
}

// Land returns the unit in which the farm measures land, hectares or acres, and
// what one of it is called.
func (s *System) Land() (unit Unit, word say.Text) {
	if s.customary {
		return s.Must("acre"), "acre"
	}
	return s.Must("ha"), "hectare"
}

// Lot returns a round sum of the farm's money: 1,000, or 100,000 of a currency
// without decimals, of which 1,000 would be small change.
func (s *System) Lot() float64 { return math.Pow10(5 - min(2, s.DecimalsOf(s.currency))) }

// declare defines things, packs after what they hold.
func (s *System) declare(things []Thing) error {
	var failed []error
	waiting := map[string]string{} // singulars and plurals to the thing
	for _, t := range things {
		waiting[t.Name], waiting[pluralName(t)] = t.Name, t.Name
	}
	for len(things) > 0 {
		var later []Thing
		for _, t := range things {
			if holds := waiting[packOf(t)]; holds != "" && holds != t.Name {
				later = append(later, t)
				continue
			}
			if err := s.count(t); err != nil {
				failed = append(failed, err)
			}
			delete(waiting, t.Name)
			delete(waiting, pluralName(t))
		}
		if len(later) == len(things) {
			failed = append(failed, fmt.Errorf("the size of %s leads back to itself; say what one holds in a unit or a plain counted thing", later[0].Name))
			break
		}
		things = later
	}
	return errors.Join(failed...)
}

// packOf returns the word that names what a thing holds, or "".
func packOf(t Thing) string {
	return strings.TrimSpace(strings.TrimPrefix(t.Pack, leadingNumber.FindString(t.Pack)))
}

func (s *System) count(t Thing) error {
	if !thingName.MatchString(t.Name) {
		return fmt.Errorf("%s can't be the name of a counted thing; expected a lower-case word such as hen or market_box", quoteShort(t.Name))
	}
	if last := t.Name[len(t.Name)-1]; '0' <= last && last <= '9' {
		return fmt.Errorf("%q can't be the name of a counted thing: a figure at its end would be read as a power, like the 2 of m2", t.Name)
	}
	if _, taken := s.names[t.Name]; taken {
		return fmt.Errorf("%q is already a unit, so it can't be counted; choose another word", t.Name)
	}
	d := &Definition{Symbol: t.Name, Plural: t.Plural, Dimension: Base(t.Name), Factor: 1, Exact: true, Source: "counted on this farm", Counted: true}
	d.Shown = t.Shown
	if d.Shown == "" {
		d.Shown = strings.ReplaceAll(t.Name, "_", " ")
	}
	if d.Plural == "" {
		d.Plural = plural(d.Shown)
	}
	if t.Pack != "" {
		pack, err := s.Parse(t.Pack)
		if err != nil {
			return fmt.Errorf("the size of %s: %w", t.Name, err)
		}
		if pack.Unit.Offset != 0 || pack.Unit.IsDate() || pack.Unit.IsCalendar() {
			return fmt.Errorf("the size of %s can't be a temperature or a date; expected an amount such as 12 egg or 25 kg", t.Name)
		}
		if pack.Value <= 0 {
			return fmt.Errorf("the size of %s must be more than 0", t.Name)
		}
		d.Dimension, d.Factor = pack.Unit.Dimension, pack.Value
	}
	s.names[t.Name] = d
	if plural := pluralName(t); s.names[plural] == nil {
		s.names[plural] = d
	}
	return nil
}

// pluralName is how a formula writes the plural of a thing.
func pluralName(t Thing) string {
	if t.Plural == "" {
		return plural(t.Name)
	}
	return strings.ReplaceAll(t.Plural, " ", "_")
}

// plural is the regular English plural of a word.
func plural(word string) string {
	for _, end := range []string{"s", "x", "z", "ch", "sh"} {
		if strings.HasSuffix(word, end) {
			return word + "es"
		}
	}
	if stem, ok := strings.CutSuffix(word, "y"); ok && stem != "" && !strings.ContainsRune("aeiou", rune(stem[len(stem)-1])) {
		return stem + "ies"
	}
	return word + "s"
}

// newCodes are the currencies that ISO 4217 gained since the tables of
// golang.org/x/text were made (CLDR 32, 2017): amendments 165 to 177.
var newCodes = []string{"MRU", "SLE", "UYW", "VED", "VES", "XCG", "ZWG"}

// isoCodes lists the codes of all money that is or was legal tender somewhere.
var isoCodes = sync.OnceValue(func() []string {
	codes := slices.Clone(newCodes)
	for it := currency.Query(currency.Historical); it.Next(); {
		codes = append(codes, it.Unit().String())
	}
	slices.Sort(codes)
	return slices.Compact(codes)
})

// minorUnits are the decimals of currencies that don't have two, by ISO 4217.
// CLDR's own table counts the coins that still circulate, and so drops the
// paisa, the dirham and others that accounts are kept in.
var minorUnits = map[string]int{
	"BIF": 0, "CLP": 0, "DJF": 0, "GNF": 0, "ISK": 0, "JPY": 0, "KMF": 0, "KRW": 0, "PYG": 0, "RWF": 0,
	"UGX": 0, "VND": 0, "VUV": 0, "XAF": 0, "XOF": 0, "XPF": 0,
	"BHD": 3, "IQD": 3, "JOD": 3, "KWD": 3, "LYD": 3, "OMR": 3, "TND": 3,
	"UYW": 4,
}

// Currency returns the farm's currency code.
func (s *System) Currency() string { return s.currency }

// Decimals returns how many decimals the farm's currency has.
func (s *System) Decimals() int { return s.DecimalsOf(s.currency) }

// DecimalsOf returns how many decimals a currency has, by ISO 4217.
func (s *System) DecimalsOf(code string) int {
	if n, ok := minorUnits[code]; ok {
		return n
	}
	return 2
}

// Money returns the unit of the farm's currency.
func (s *System) Money() Unit { u, _ := s.named(s.currency); return Of(u) }

// Must returns the unit that text names; it panics if there is none, and is
// meant for units fixed in code.
func (s *System) Must(text string) Unit {
	u, err := s.ParseUnit(text)
	if err != nil {
		panic(err)
	}
	return u
}

func (s *System) named(name string) (*Definition, bool) {
	if d, ok := s.names[name]; ok {
		return d, true
	}
	d, ok := s.currencies[name]
	return d, ok
}

// Known reports whether name is a unit, with an optional power (m2, ft^3).
func (s *System) Known(name string) bool {
	_, err := s.part(name)
	return err == nil
}

// Names lists all names by which units can be written, sorted, currencies but
// the farm's own left out.
func (s *System) Names() []string {
	return append(slices.Sorted(maps.Keys(s.names)), s.currency)
}

// part reads one unit with an optional power: kg, m2, ft^3.
func (s *System) part(text string) (Part, error) {
	if d, ok := s.named(text); ok {
		return Part{d, 1}, nil
	}
	if text == "" {
		return Part{}, fmt.Errorf("a unit is missing; expected something like %s/kg", s.currency)
	}
	name := strings.TrimRight(superscripts.Replace(text), "0123456789")
	digits := superscripts.Replace(text)[len(name):]
	name = strings.TrimSuffix(name, "^")
	if d, ok := s.named(name); ok && len(digits) == 1 && digits[0] >= '1' {
		return Part{d, int(digits[0] - '0')}, nil
	}
	if better := s.vague[name]; better != nil {
		return Part{}, fmt.Errorf("%q means different things in different countries; write %s", name, oneOf(better))
	}
	near := source.Nearest(name, s.Names())
	if code := strings.ToUpper(name); s.currencies[code] != nil {
		near = code // foreign money is not among the names
	}
	if near != "" {
		return Part{}, fmt.Errorf("%s is not a unit or a counted thing of this farm; did you mean %s?", quoteShort(text), near)
	}
	return Part{}, fmt.Errorf("%s is not a unit or a counted thing of this farm; a thing to count is declared under counts in farm.yaml", quoteShort(text))
}

// oneOf lists words of which one is meant: a, b or c.
func oneOf(words []string) string {
	last := len(words) - 1
	if last == 0 {
		return words[0]
	}
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

var superscripts = strings.NewReplacer("¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9")

// longestUnit bounds the text of a unit; real ones have a few parts.
const longestUnit = 120

// ParseUnit reads a unit such as kg, GBP/kg, m2/bird/day, W·h or 1/year. "" is
// the unit of a pure number. Each / puts the one unit after it below the line.
func (s *System) ParseUnit(text string) (Unit, error) {
	if text = strings.TrimSpace(text); text == "" {
		return Unit{Factor: 1}, nil
	}
	if len(text) > longestUnit {
		return Unit{}, fmt.Errorf("this is too long for a unit; expected something like %s/kg", s.currency)
	}
	var parts []Part
	for i, below := range strings.Split(text, "/") {
		names := strings.FieldsFunc(below, isTimes)
		if i == 0 && strings.Contains(text, "/") && strings.Trim(below, "1 ") == "" {
			continue
		}
		if strings.Count(strings.Map(onlyTimes, below), "*") != len(names)-1 {
			return Unit{}, fmt.Errorf("%q lacks a unit beside a / or ·; expected something like %s/kg", text, s.currency)
		}
		if i > 0 && len(names) > 1 {
			return Unit{}, fmt.Errorf("%q can be read in two ways; write what is multiplied first, and a / before each unit that divides", text)
		}
		for _, name := range names {
			if strings.TrimSpace(name) == "" {
				return Unit{}, fmt.Errorf("%q lacks a unit beside a / or ·; expected something like %s/kg", text, s.currency)
			}
			p, err := s.part(strings.TrimSpace(name))
			if err != nil {
				return Unit{}, err
			}
			if i > 0 {
				p.Power = -p.Power
			}
			parts = append(parts, p)
		}
	}
	unit := unitOf(parts)
	if scale := unit.scale(); unit.Factor == 0 || !(scale > 1e-200 && scale < 1e200) {
		return Unit{}, fmt.Errorf("%q is too large or too small a unit to reckon with", text)
	}
	return unit, nil
}

func isTimes(r rune) bool { return r == '·' || r == '*' }

func onlyTimes(r rune) rune {
	if isTimes(r) {
		return '*'
	}
	return -1
}

// A Quantity is a number with its unit as somebody wrote it.
type Quantity struct {
	Value float64 // in base units
	Unit  Unit    // how it was written
	Step  float64 // place value of the last digit written, in units; 0 if unknown
}

var (
	leadingNumber = regexp.MustCompile(`^([+\-−]?)((?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+(?:_[0-9]+)*)(?:\.[0-9]+)?|\.[0-9]+)([eE][+-]?[0-9]{1,3})?`)
	moneyBefore   = regexp.MustCompile(`^(?:[A-Z]{0,3}[$£€¥]|[A-Z]{3}\s)\s*([0-9][0-9,_.]*)\s*(/\S+)?$`)
	numberSpan    = regexp.MustCompile(`^([0-9][0-9.]*)\s*[-–]\s*([0-9][0-9.]*)(\s*[^0-9\s-][^0-9-]*)$`)
	decimalComma  = regexp.MustCompile(`^[+\-−]?[0-9]+,[0-9]+`)
)

// Parse reads a number with its unit, or a date: "0.52 GBP/kg", "6 %", "12,000",
// "-3 degC", "6 Apr", "2027-03-14". Thousands may be parted by commas or underscores; the decimal mark is
// a point. It fails on anything else, and on a number too large for float64.
func (s *System) Parse(text string) (Quantity, error) {
	text = strings.TrimSpace(text)
	if CalendarForm(text) {
		return ParseCalendar(text)
	}
	number := leadingNumber.FindString(text)
	rest := text[len(number):]
	if money := moneyBefore.FindStringSubmatch(text); money != nil {
		return Quantity{}, refuse(source.WrongType, "%s has its money before the number; write %s %s%s", quoteShort(text), money[1], s.currency, money[2])
	}
	if number == "" {
		return Quantity{}, refuse(source.WrongType, "%s is not a number with a unit; expected something like 0.52 %s/kg", quoteShort(text), s.currency)
	}
	if span := numberSpan.FindStringSubmatch(text); span != nil {
		return Quantity{}, refuse(source.WrongType, "%s is two numbers; write the likely one as value, with low: %s and high: %s beside it", quoteShort(text), span[1]+span[3], span[2]+span[3])
	}
	if strings.HasPrefix(rest, ",") && decimalComma.MatchString(text) {
		return Quantity{}, refuse(source.WrongType, "%s has a decimal comma; write it with a point", quoteShort(text))
	}
	if rest != "" && strings.ContainsRune("0123456789.,_", rune(rest[0])) {
		return Quantity{}, refuse(source.WrongType, "%s is not a number; expected digits with one decimal point, and thousands in threes if they are parted at all, as in 12,000.50", quoteShort(text))
	}
	value, step, err := parseNumber(number)
	if err != nil {
		return Quantity{}, err
	}
	rest = strings.TrimSpace(rest)
	if month, ok := Month(rest); ok {
		days, err := Date(value, month)
		if err != nil {
			return Quantity{}, err
		}
		return Quantity{Value: days * day, Unit: s.Must("date"), Step: 1}, nil
	}
	unit, err := s.ParseUnit(rest)
	if err != nil {
		return Quantity{}, err
	}
	base := unit.ToBase(value)
	if math.IsInf(base, 0) {
		return Quantity{}, refuse(source.NotFinite, "%s is too large a number", quoteShort(text))
	}
	return Quantity{Value: base, Unit: unit, Step: step}, nil
}

// refuse is an error whose kind says what is wrong with a number; whoever reads
// the text knows its place.
func refuse(kind source.Kind, format string, args ...any) error {
	return source.Errorf(kind, source.Span{}, format, args...)
}

func parseNumber(text string) (value, step float64, err error) {
	clean := strings.NewReplacer(",", "", "_", "", "−", "-").Replace(text)
	value, err = strconv.ParseFloat(clean, 64)
	if err != nil {
		return 0, 0, refuse(source.NotFinite, "%s is too large a number", quoteShort(text))
	}
	mantissa, exponent, _ := strings.Cut(strings.ToLower(clean), "e")
	_, decimals, _ := strings.Cut(mantissa, ".")
	exp, _ := strconv.Atoi(exponent)
	if step = pow10(exp - len(decimals)); math.IsInf(step, 0) {
		step = 0
	}
	return value, step, nil
}

func pow10(n int) float64 {
	step, _ := strconv.ParseFloat("1e"+strconv.Itoa(n), 64)
	return step
}

func quoteShort(text string) string {
	const most = 40
	if utf8.RuneCountInString(text) > most {
		text = string([]rune(text)[:most]) + "..."
	}
	return strconv.Quote(text)
}
