package formula

import (
	"strings"

	"rickyard/calc/quantity"
)

// Describe says in words what a type measures.
func (c *Compiler) Describe(t Type) string { return c.DescribeIn(t, quantity.Unit{}) }

// DescribeIn says in words what a type measures; what has no name of its own,
// such as a price per kilogram, is named by the unit that it would be shown in.
func (c *Compiler) DescribeIn(t Type, unit quantity.Unit) string {
	switch {
	case t.Truth():
		return "yes or no"
	case t.Kind == Choice:
		return "one of " + t.Choices.list()
	}
	text := c.measure(t.Dimension, unit)
	switch scaleOf(unit) {
	case daysOfYear:
		text = "a day of the year"
	case calendarDays:
		text = "a date"
	}
	if t.Len > 0 {
		text += " for each month"
	}
	return text
}

// what describes an operand for an error.
func (c *Compiler) what(x Operand) string {
	if x.text {
		return "a text"
	}
	return c.DescribeIn(x.Type, x.Unit)
}

var kinds = map[quantity.Dimension]string{
	quantity.Number: "a plain number", quantity.Length: "a length", quantity.Area: "an area",
	quantity.Volume: "a volume", quantity.Mass: "a mass", quantity.Time: "a time",
	quantity.Temperature: "a temperature", quantity.Energy: "an energy", quantity.Power: "a power",
	quantity.Current: "a current", anyDimension: "none",
}

func (c *Compiler) measure(d quantity.Dimension, unit quantity.Unit) string {
	if text, ok := kinds[d]; ok {
		return text
	}
	if d == quantity.Base(c.units.Currency()) {
		return "money"
	}
	if thing, err := c.units.ParseUnit(string(d)); err == nil && len(thing.Parts) == 1 && thing.Parts[0].Unit.Plural != "" {
		return "a number of " + thing.Parts[0].Unit.Plural
	}
	if unit.Dimension == d && len(unit.Parts) > 0 {
		return unit.String()
	}
	return dimensionText(d)
}

// dimensionText writes a dimension as a unit of its base units: GBP/kg.
func dimensionText(d quantity.Dimension) string {
	var above, below []string
	for field := range strings.FieldsSeq(string(d)) {
		base, exp, _ := strings.Cut(field, "^")
		if rest, negative := strings.CutPrefix(exp, "-"); negative {
			below = append(below, base+strings.TrimPrefix(rest, "1"))
		} else {
			above = append(above, base+exp)
		}
	}
	text := strings.Join(above, "·")
	if text == "" {
		text = "1"
	}
	for _, b := range below {
		text += "/" + b
	}
	return text
}

// brief quotes a part of a formula in an error.
func brief(n node) string {
	text := strings.Join(strings.Fields(n.where().Text()), " ")
	if r := []rune(text); len(r) > 40 {
		text = string(r[:37]) + "..."
	}
	return text
}
