package quantity

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/currency"

	"rickyard/calc/source"
)

// A Thing is something that a farm counts: a dimension of its own, or a pack
// of a known size (a dozen is 12 eggs).
type Thing struct {
	Name   string // singular, as written in formulas
	Plural string
	Pack   string // "" or what one holds, as "12 egg"
}

// A System knows all the units of one farm. It is not changed after New, and
// many goroutines may read it.
type System struct {
	currency   string
	decimals   int
	names      map[string]*Definition
	currencies map[string]*Definition
}

var thingName = regexp.MustCompile(`^[a-z][a-z0-9_]*$`)

// NewSystem returns the units of a farm that reckons in the given ISO 4217
// currency and counts the given things. It fails on an unknown currency, on a
// thing whose name is not a plain lower-case word or is taken by a unit, and
// on a pack of something unknown; all failures are joined in one error.
func NewSystem(currencyCode string, things []Thing) (*System, error) {
	s := &System{names: map[string]*Definition{}, currencies: map[string]*Definition{}}
	for i := range Standard {
		d := &Standard[i]
		s.names[d.Symbol] = d
		for _, name := range d.Also {
			s.names[name] = d
		}
		if d.Plural != "" && !strings.Contains(d.Plural, " ") {
			s.names[d.Plural] = d
		}
	}
	unit, err := currency.ParseISO(currencyCode)
	if err != nil || currencyCode != strings.ToUpper(currencyCode) {
		return nil, fmt.Errorf("%q is not a currency; expected an ISO 4217 code such as GBP, USD or EUR", currencyCode)
	}
	s.currency = currencyCode
	s.decimals, _ = currency.Standard.Rounding(unit)
	for _, t := range things {
		if err := s.count(t); err != nil {
			return nil, err
		}
	}
	// Each currency is its own dimension: money in two currencies can't be added.
	for _, code := range isoCodes() {
		s.currencies[code] = &Definition{Symbol: code, Dimension: Base(code), Factor: 1, Exact: true, Source: "ISO 4217"}
	}
	return s, nil
}

func (s *System) count(t Thing) error {
	if !thingName.MatchString(t.Name) {
		return fmt.Errorf("%q can't be the name of a counted thing; expected a lower-case word such as hen or market_box", t.Name)
	}
	if _, taken := s.names[t.Name]; taken {
		return fmt.Errorf("%q is already a unit, so it can't be counted; choose another word", t.Name)
	}
	d := &Definition{Symbol: t.Name, Plural: t.Plural, Dimension: Base(t.Name), Factor: 1, Exact: true, Source: "counted on this farm"}
	d.Shown = strings.ReplaceAll(t.Name, "_", " ")
	if d.Plural == "" {
		d.Plural = d.Shown + "s"
	}
	if t.Pack != "" {
		pack, err := s.Parse(t.Pack)
		if err != nil {
			return fmt.Errorf("the size of %s: %w", t.Name, err)
		}
		if pack.Value <= 0 {
			return fmt.Errorf("the size of %s must be more than 0", t.Name)
		}
		d.Dimension, d.Factor = pack.Unit.Dimension, pack.Value
	}
	s.names[t.Name] = d
	if plural := strings.ReplaceAll(d.Plural, " ", "_"); s.names[plural] == nil {
		s.names[plural] = d
	}
	return nil
}

func isoCodes() []string {
	var codes []string
	for it := currency.Query(currency.Historical); it.Next(); {
		codes = append(codes, it.Unit().String())
	}
	slices.Sort(codes)
	return slices.Compact(codes)
}

// Currency returns the farm's currency code.
func (s *System) Currency() string { return s.currency }

// Decimals returns how many decimals the farm's currency has.
func (s *System) Decimals() int { return s.decimals }

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
	name := strings.TrimRight(text, "0123456789")
	digits := text[len(name):]
	name = strings.TrimSuffix(name, "^")
	if d, ok := s.named(name); ok && len(digits) == 1 && digits[0] >= '1' {
		return Part{d, int(digits[0] - '0')}, nil
	}
	if better, ok := vague[name]; ok {
		return Part{}, fmt.Errorf("%q means different things in different countries; write %s", name, better)
	}
	if near := source.Nearest(name, s.Names()); near != "" {
		return Part{}, fmt.Errorf("%q is not a unit or a counted thing of this farm; did you mean %s?", text, near)
	}
	return Part{}, fmt.Errorf("%q is not a unit or a counted thing of this farm; a thing to count is declared under counts in farm.yaml", text)
}

// longestUnit bounds the text of a unit; real ones have a few parts.
const longestUnit = 120

// ParseUnit reads a unit such as kg, GBP/kg, m2/bird/day, W·h or 1/year. "" is
// the unit of a pure number. What stands after each / is below the line.
func (s *System) ParseUnit(text string) (Unit, error) {
	if text == "" {
		return Unit{Factor: 1}, nil
	}
	if len(text) > longestUnit {
		return Unit{}, fmt.Errorf("this is too long for a unit; expected something like GBP/kg")
	}
	var parts []Part
	for i, below := range strings.Split(text, "/") {
		if i == 0 && (below == "1" || below == "") && strings.Contains(text, "/") {
			continue
		}
		for j, name := range strings.FieldsFunc(below, func(r rune) bool { return r == '·' || r == '*' }) {
			p, err := s.part(strings.TrimSpace(name))
			if err != nil {
				return Unit{}, err
			}
			if i > 0 && j == 0 {
				p.Power = -p.Power
			}
			parts = append(parts, p)
		}
		if strings.Trim(below, "·* ") == "" {
			return Unit{}, fmt.Errorf("%q lacks a unit beside its /; expected something like GBP/kg", text)
		}
	}
	return unitOf(parts), nil
}

// A Quantity is a number with its unit as somebody wrote it.
type Quantity struct {
	Value float64 // in base units
	Unit  Unit    // how it was written
	Step  float64 // place value of the last digit written, in units; 0 if unknown
}

var (
	leadingNumber = regexp.MustCompile(`^([+\-−]?)((?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9][0-9_]*)(?:\.[0-9]+)?|\.[0-9]+)([eE][+-]?[0-9]{1,3})?`)
	decimalComma  = regexp.MustCompile(`^[+\-−]?[0-9]+,[0-9]+`)
)

// Parse reads a number with its unit: "0.52 GBP/kg", "6 %", "12,000", "-3
// degC". Thousands may be parted by commas or underscores; the decimal mark is
// a point. It fails on anything else, and on a number too large for float64.
func (s *System) Parse(text string) (Quantity, error) {
	text = strings.TrimSpace(text)
	number := leadingNumber.FindString(text)
	rest := text[len(number):]
	if number == "" {
		return Quantity{}, fmt.Errorf("%s is not a number with a unit; expected something like 0.52 %s/kg", quoteShort(text), s.currency)
	}
	if strings.HasPrefix(rest, ",") && decimalComma.MatchString(text) {
		return Quantity{}, fmt.Errorf("%s has a decimal comma; write it with a point", quoteShort(text))
	}
	value, step, err := parseNumber(number)
	if err != nil {
		return Quantity{}, err
	}
	rest = strings.TrimSpace(rest)
	if month, ok := Month(rest); ok {
		days, err := Date(value, month)
		return Quantity{Value: days * day, Unit: s.Must("date"), Step: 1}, err
	}
	unit, err := s.ParseUnit(rest)
	if err != nil {
		return Quantity{}, err
	}
	return Quantity{Value: unit.ToBase(value), Unit: unit, Step: step}, nil
}

func parseNumber(text string) (value, step float64, err error) {
	clean := strings.NewReplacer(",", "", "_", "", "−", "-").Replace(text)
	value, err = strconv.ParseFloat(clean, 64)
	if err != nil {
		return 0, 0, fmt.Errorf("%s is too large a number", quoteShort(text))
	}
	mantissa, exponent, _ := strings.Cut(strings.ToLower(clean), "e")
	_, decimals, _ := strings.Cut(mantissa, ".")
	exp, _ := strconv.Atoi(exponent)
	return value, pow10(exp - len(decimals)), nil
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
