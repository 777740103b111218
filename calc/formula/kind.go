package formula

import (
	"math"
	"slices"
	"strings"

	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// A Kind is what a figure's values are. Of a series it says what one value of
// all its months is, see Whole.
type Kind uint8

// The kinds. A single value that is a number is just that; what a series of
// numbers is comes from its definition, or from the formula, or from what it
// measures.
const (
	Number      Kind = iota
	Flow             // adds up: money paid, eggs laid, rain fallen
	Level            // stands at the month's end: a balance, a flock; the last counts
	Held             // is taken up: land, places in a barn; the fullest month counts
	Price            // so much for each of something, or in each time: a mean
	Share            // a part of something: a mean
	Temperature      // a mean
	Date             // a day of the calendar, or of the year
	Truth            // yes or no
	Choice           // one of a list of words
)

// String names the kind as definitions state it.
func (k Kind) String() string {
	return [...]string{"number", "flow", "level", "held", "price", "share", "temperature", "date", "yes or no", "choice"}[k]
}

// KindNamed returns the kind of a series that a word states: flow, level,
// held, price, share or temperature.
func KindNamed(word string) (Kind, bool) {
	for k := Flow; k <= Temperature; k++ {
		if k.String() == word {
			return k, true
		}
	}
	return Number, false
}

// Whole returns the one value that stands for a series: the sum of a flow, the
// last of a level, the most of what is held, the mean of a price, a share or a temperature, weighted where
// there are weights (one for each value, or nil) that come to more than nought.
// Yes and no come to yes if every month is yes; dates and choices to the last.
// What has no answer in one month has none as a whole.
func (k Kind) Whole(values, weights []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	if i := slices.IndexFunc(values, math.IsNaN); i >= 0 {
		return values[i]
	}
	switch k {
	case Level, Date, Choice:
		return values[len(values)-1]
	case Held:
		return slices.Max(values)
	case Truth:
		return slices.Min(values)
	case Price, Share, Temperature:
		return mean(values, weights)
	}
	return sum(values)
}

func sum(values []float64) float64 {
	total := 0.0
	for _, x := range values {
		total += x
	}
	return total
}

func mean(values, weights []float64) float64 {
	whole := sum(weights)
	if len(weights) != len(values) || !(whole > 0) || math.IsInf(whole, 0) {
		return sum(values) / float64(len(values))
	}
	weighted := 0.0
	for i, x := range values {
		weighted += float64(x * weights[i])
	}
	return weighted / whole
}

// Choices are the words that a figure can be, such as loan, grant and savings.
// Its value is the place of a word in the list, from 0.
type Choices struct{ Words []say.Text }

// Place returns the place of a word as formulas write it, in English or as the
// farmer named it.
func (c *Choices) Place(word string) (int, bool) {
	i := slices.IndexFunc(c.Words, func(w say.Text) bool { return w.String() == word })
	return i, i >= 0
}

// Word returns the word that a value stands for, or nothing.
func (c *Choices) Word(value float64) say.Text {
	if !(value >= 0 && value < float64(len(c.Words))) {
		return ""
	}
	return c.Words[int(value)]
}

func (c *Choices) same(d *Choices) bool {
	return c == d || c != nil && d != nil && slices.Equal(c.Words, d.Words)
}

func (c *Choices) list() string {
	words := make([]string, len(c.Words))
	for i, w := range c.Words {
		words[i] = w.String()
	}
	return strings.Join(words, ", ")
}

// KindOf returns what a series of a unit's values is where nobody says: by what
// it measures. An area is held; money, weights and counted things flow; what is
// so much for each of something is a price; per cent is a share.
func KindOf(u quantity.Unit, d quantity.Dimension) Kind {
	switch {
	case u.IsDate() || u.IsCalendar():
		return Date
	case u.Offset != 0 || d == quantity.Temperature:
		return Temperature
	case d == quantity.Area:
		return Held
	case d == quantity.Number && len(u.Parts) > 0:
		return Share
	case d == quantity.Energy:
		return Flow
	case d == quantity.Current || strings.Contains(string(d), "^-"):
		return Price
	}
	return Flow
}

// Settled is the type with its kind: where nobody says, a series of numbers is
// what its unit says, and so is a date.
func (t Type) Settled(u quantity.Unit) Type {
	if k := KindOf(u, t.Dimension); t.Kind == Number && !t.Open() && (t.Len > 0 || k == Date) {
		t.Kind = k
	}
	return t
}

// summed is the kind of a sum or difference, and of what is chosen from two.
func summed(a, b Kind) Kind {
	switch {
	case a == Number || a == b:
		return b
	case b == Number:
		return a
	case b.stands():
		return b // a balance, and what came in
	}
	return a
}

// stands reports whether the values are there, and not so much for something.
func (k Kind) stands() bool { return k == Level || k == Held }

// factor is the kind that counts in a product: plain numbers change none.
func factor(x Operand) Kind {
	if x.Type.Kind == Flow && x.Type.Dimension == quantity.Number {
		return Number
	}
	return x.Type.Kind
}

// multiplied is the kind of a product with the given dimension, Number where
// the dimension has to say.
func (c *Compiler) multiplied(x, y Operand, d quantity.Dimension) Kind {
	if !x.series() || !y.series() {
		return scaled(x, y, d)
	}
	a, b := factor(x), factor(y)
	a, b = min(a, b), max(a, b)
	switch {
	case a == Number:
		return b
	case a == Flow && (b.stands() || b == Price || b == Share):
		return Flow
	case a.stands() && b == Price && strings.Contains(string(d), "s^-"):
		return Price // so much in each time
	case a.stands() && (b == Price || b == Share):
		return a
	case a == Price && (b == Price || b == Share):
		return Price
	case a == Share && b == Share:
		return Share
	}
	return Number
}

// scaled is the kind of a series times or over a single value. What flows or
// stands still does; a price of something times so much of it is what the
// dimension says.
func scaled(x, y Operand, d quantity.Dimension) Kind {
	series, by := x, y
	if y.series() {
		series, by = y, x
	}
	k := series.Type.Kind
	if !series.series() || k == Flow || k.stands() || by.Type.Dimension == quantity.Number {
		return k
	}
	return Number
}

// divided is the kind of a quotient with the given dimension.
func (c *Compiler) divided(x, y Operand, d quantity.Dimension) Kind {
	switch {
	case !y.series():
		return scaled(x, y, d)
	case !x.series():
		return Number
	}
	a, b := factor(x), factor(y)
	switch {
	case b == Number:
		return a
	case a == Number:
		return Number
	case (a == Flow || a.stands()) && (b == Price || b == Share):
		return a
	case b == Share:
		return a
	case d == quantity.Number:
		return Share
	}
	return Price
}

// A scale is what points on it can be told apart by and not compared across.
type scale uint8

const (
	amounts scale = iota // not a point
	daysOfYear
	calendarDays
	degrees
)

func scaleOf(u quantity.Unit) scale {
	switch {
	case u.IsDate():
		return daysOfYear
	case u.IsCalendar():
		return calendarDays
	case u.Offset != 0:
		return degrees
	}
	return amounts
}

func (c *Compiler) sameScale(n node, left, right node, x, y Operand) bool {
	if x.Type.Dimension == anyDimension || y.Type.Dimension == anyDimension || scaleOf(x.Unit) == scaleOf(y.Unit) {
		return true
	}
	c.fail(source.WrongUnit, n.where(), "%s and %s don't go together: %s is the one, %s the other",
		c.what(x), c.what(y), brief(left), brief(right)).With("%s", scaleAdvice(x, y))
	return false
}

func scaleAdvice(x, y Operand) string {
	if a, b := scaleOf(x.Unit), scaleOf(y.Unit); a != amounts && b != amounts {
		return "a date has its year, as 2027-03-14; a day of the year has none, as 14 Mar"
	}
	return "a point in time or on a scale is no amount; subtract another point to get one"
}

// chosen compiles a comparison of a choice with a word, or with another choice
// of the same words.
func (c *Compiler) chosen(n *binaryNode, x, y Operand) Operand {
	if x.Type.Kind != Choice {
		x, y = y, x
	}
	words := x.Type.Choices
	op := n.op.text
	switch {
	case op != "is" && op != "is not":
		c.fail(source.WrongType, n.where(), "%s is one of %s; it can only be compared, as in %[1]s is %[3]q", brief(n.x), words.list(), words.Words[0].String())
		return Operand{}
	case y.text:
		place, ok := words.Place(y.words)
		if !ok {
			err := c.fail(source.UnknownRef, n.where(), "%q is none of its words, which are %s", y.words, words.list())
			if near := source.Nearest(y.words, strings.Split(words.list(), ", ")); near != "" {
				err.With("did you mean %q?", near)
			}
			return Operand{}
		}
		y = Operand{Slot: c.constant(float64(place))}
	case y.Type.Kind != Choice || !words.same(y.Type.Choices):
		c.fail(source.WrongType, n.where(), "this compares one of %s with %s; expected a word in quotes, as %q", words.list(), c.what(y), words.Words[0].String())
		return Operand{}
	}
	return c.each(comparisons[op], Type{Kind: Truth, Len: max(x.Type.Len, y.Type.Len)}, quantity.Unit{}, n.op.span, x, y)
}
