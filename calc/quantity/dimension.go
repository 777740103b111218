package quantity

import (
	"slices"
	"strconv"
	"strings"
)

// A Dimension is what a quantity measures: a product of powers of base units,
// written in one canonical way ("GBP kg^-1"). Dimensions are comparable; the
// zero Dimension is that of a pure number.
type Dimension string

// Dimensions of the SI base units.
const (
	Number      Dimension = ""
	Length      Dimension = "m"
	Mass        Dimension = "kg"
	Time        Dimension = "s"
	Temperature Dimension = "K"
	Current     Dimension = "A"
)

// Dimensions derived from them.
const (
	Area   Dimension = "m^2"
	Volume Dimension = "m^3"
	Energy Dimension = "kg m^2 s^-2"
	Power  Dimension = "kg m^2 s^-3"
)

// Base returns the dimension of one base unit: a currency code or a counted
// thing.
func Base(name string) Dimension { return Dimension(name) }

type power struct {
	base string
	exp  int
}

func (d Dimension) powers() []power {
	if d == Number {
		return nil
	}
	fields := strings.Split(string(d), " ")
	powers := make([]power, len(fields))
	for i, field := range fields {
		base, exp, found := strings.Cut(field, "^")
		powers[i] = power{base, 1}
		if found {
			powers[i].exp, _ = strconv.Atoi(exp)
		}
	}
	return powers
}

func dimensionOf(powers []power) Dimension {
	var fields []string
	for _, p := range powers {
		switch p.exp {
		case 0:
		case 1:
			fields = append(fields, p.base)
		default:
			fields = append(fields, p.base+"^"+strconv.Itoa(p.exp))
		}
	}
	slices.Sort(fields)
	return Dimension(strings.Join(fields, " "))
}

func (d Dimension) combine(other Dimension, sign int) Dimension {
	if other == Number {
		return d
	}
	powers := d.powers()
next:
	for _, o := range other.powers() {
		for i := range powers {
			if powers[i].base == o.base {
				powers[i].exp += sign * o.exp
				continue next
			}
		}
		powers = append(powers, power{o.base, sign * o.exp})
	}
	return dimensionOf(powers)
}

// Mul returns the dimension of a product.
func (d Dimension) Mul(other Dimension) Dimension { return d.combine(other, 1) }

// Div returns the dimension of a quotient.
func (d Dimension) Div(other Dimension) Dimension { return d.combine(other, -1) }

// Pow returns the dimension of the nth power; n may be negative.
func (d Dimension) Pow(n int) Dimension {
	powers := d.powers()
	for i := range powers {
		powers[i].exp *= n
	}
	return dimensionOf(powers)
}

// Root returns the dimension of the nth root and whether it has whole powers.
func (d Dimension) Root(n int) (Dimension, bool) {
	if n == 0 {
		return Number, false
	}
	powers := d.powers()
	for i := range powers {
		if powers[i].exp%n != 0 {
			return Number, false
		}
		powers[i].exp /= n
	}
	return dimensionOf(powers), true
}
