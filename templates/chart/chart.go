// Package chart orders charts: it takes figures in the farm's own terms, lays
// each chart out for a wide and for a narrow page, and finishes what the chart
// script draws so that it is fit for every edition.
//
// A kind of chart is a file: columns.go, lines.go, rows.go and so on, with an
// entry of kinds. Package drawer runs the script; nothing here does.
package chart

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"rickyard/calc/say"
	"rickyard/calc/source"
)

// A Kind says how a chart shows its figures.
type Kind string

// The kinds of chart.
const (
	Columns Kind = "columns" // upright bars, side by side within a category
	Bars    Kind = "bars"    // lying bars, a row for each category
	Stack   Kind = "stack"   // upright bars, the series on top of each other
	Lines   Kind = "lines"   // a line for each series, with a band if it has a low and a high
	Area    Kind = "area"    // filled lines, the series on top of each other
	Heat    Kind = "heat"    // a row for each series, a cell for each category, shaded by value
	Points  Kind = "points"  // a named point for each category, by two values
	Ranges  Kind = "ranges"  // a row for each category, from a low to a high about a base
	Steps   Kind = "steps"   // a row for each category, each starting where the last one ended
	Split   Kind = "split"   // a row for each part of a whole, one after the other
)

// Kinds lists every kind of chart in the order of the manual.
var Kinds = []Kind{Columns, Bars, Stack, Lines, Area, Heat, Points, Ranges, Steps, Split}

// A kind is what the package knows of a Kind.
type kind struct {
	says       say.Text // what it is called in a text alternative
	categories int      // the most that can still be told apart
	series     int
	marks      bool // it has an axis of values that a mark can stand on
	lay        func(*layout) *base
}

var kinds map[Kind]*kind

func init() {
	kinds = map[Kind]*kind{Columns: columns, Bars: bars, Stack: stack, Lines: lines, Area: area,
		Heat: heat, Points: points, Ranges: ranges, Steps: steps, Split: split}
}

// A Chart is a chart in the farm's own terms: which figures, by what name, in
// what unit. All values of a chart are in one unit (except for points, whose
// two axes may differ). A NaN is a gap: no figure there, never zero.
type Chart struct {
	Kind Kind

	// Alt is the text alternative. Empty: one is worked out from the figures, in
	// Language; nil is English.
	Alt      string
	Language say.Language

	// Categories are the months, enterprises or items that the values of each
	// series belong to, in order. Columns of a heat map, names of points.
	Categories []string
	Series     []Series
	// Years says that the categories are the months of whole years, as Jan 2027;
	// the table behind the chart then sets a year to a row.
	Years bool
	// Along are the categories as numbers, rising, for lines and areas on a true
	// axis: ages, sizes, prices. Nil: the categories stand side by side.
	Along []float64
	// Here is where the farm itself stands among them: a place of Along for
	// lines, the column of a heat map whose row is HereRow. Nil: nowhere.
	Here      *Place
	HereRow   int
	HereWords string // what the place is called: "your farm"
	// Up heads the names of the rows of a shaded table.
	Up string

	// Unit is the unit of the values, drawn at the top left: "GBP a year".
	Unit string
	// Across heads the categories ("Month") in the table behind the chart; for
	// points, and along a true axis, it names the axis across, and is drawn.
	Across string

	// Decimals is the number of decimals of values that have no Shown text.
	// Negative: as many as the steps of the axis need.
	Decimals int
	// Number writes a value with so many decimals, for axis labels and values
	// without a Shown text. Nil: Number.
	Number func(value float64, decimals int) string

	// Marks are lines across the chart at a value, such as a target income.
	Marks []Mark
	// Lowest and Highest ask for a dot and a label at the lowest and the
	// highest value of the first series.
	Lowest, Highest bool

	// Each says that each row of a heat map is shaded by its own highest value.
	Each bool

	// Base is the value that ranges are drawn from, and BaseName its label.
	// BaseShown is its text, empty: worked out.
	Base                float64
	BaseName, BaseShown string

	// Sums are the indexes of the steps that show the sum so far (a margin
	// after costs): their bars stand on zero. Their value is checked against
	// the steps before them; NaN asks for it to be filled in.
	Sums []int
}

// A Place is where the farm stands along a chart.
type Place struct {
	At    float64
	Shown string
}

// A Series is one row of values of a chart.
type Series struct {
	Name   string
	Values []float64 // one for each category; for ranges it may be nil
	Shown  []string  // the values as text, for labels and the table; may be nil or shorter

	// At is where each point stands on the axis across (points only).
	At      []float64
	ShownAt []string

	// Low and High are the ends of each range: the outcome when the category's
	// figure is at its low and at its high. Either end may be the larger. For
	// lines they are a band about the line. LowName and HighName tell what the
	// two ends mean.
	Low, High           []float64
	ShownLow, ShownHigh []string
	LowName, HighName   string
}

// A Mark is a line across the chart at a value.
type Mark struct {
	Name  string
	Value float64
	Shown string // empty: worked out
	// Values has a value for each category instead: the line then steps along
	// upright bars.
	Values []float64
}

// What can still be told apart, read and drawn.
const (
	mostAcross = 1200 // categories of a chart that runs from left to right
	mostRows   = 60   // of a chart with a row for each category
	mostPanels = 24   // series that are drawn in panels of their own
	mostMarks  = 6
	// Beyond this an axis step is lost in rounding or overflows.
	mostValue = 1e15
)

func errorf(kind source.Kind, remedy, format string, args ...any) error {
	return source.Errorf(kind, source.Span{}, format, args...).With("%s", remedy)
}

// Check tells what keeps the chart from being drawn, as one *source.Error
// without a place: the caller knows where the chart was asked for.
func (c *Chart) Check() error {
	_, err := c.settle()
	return err
}

// Empty tells that no figure of the chart has a value, so that there is nothing
// to draw: a sentence then stands in its place.
func (c *Chart) Empty() bool {
	for _, s := range c.Series {
		for _, list := range [][]float64{s.Values, s.Low, s.High} {
			for i, v := range list {
				if fine(v) && (c.Kind != Split || v != 0) && (c.Kind != Points || i < len(s.At) && fine(s.At[i])) {
					return false
				}
			}
		}
	}
	return true
}

// fine tells a value that can be drawn from a gap.
func fine(v float64) bool { return math.Abs(v) <= mostValue }

// settle returns a copy of the chart that is ready to draw: checked, its
// texts safe to draw, every Shown text filled in, sums worked out.
func (c *Chart) settle() (*Chart, error) {
	if kinds[c.Kind] == nil {
		names := make([]string, len(Kinds))
		for i, k := range Kinds {
			names[i] = string(k)
		}
		remedy := "kinds of chart: " + strings.Join(names, ", ")
		if near := source.Nearest(string(c.Kind), names); near != "" {
			remedy = "did you mean " + near + "? " + remedy
		}
		return nil, errorf(source.UnknownRef, remedy, "no kind of chart is called %q", clip(string(c.Kind), 60))
	}
	s := *c
	s.clean()
	if s.Number == nil {
		s.Number = Number
	}
	s.Decimals = min(s.Decimals, 9)
	if s.Kind == Split {
		s.joinParts()
	}
	if err := s.checkCounts(); err != nil {
		return nil, err
	}
	s.bend()
	if s.Empty() {
		return nil, errorf(source.Missing, "check the figures that it names", "the chart has nothing to show")
	}
	if s.Kind == Steps {
		if err := s.sumSteps(); err != nil {
			return nil, err
		}
	}
	s.fillShown()
	return &s, nil
}

// clean copies what is changed later and makes all texts fit to draw.
func (c *Chart) clean() {
	c.Alt, c.Unit, c.Across = cleanText(c.Alt), cleanText(c.Unit), cleanText(c.Across)
	c.BaseName, c.BaseShown, c.HereWords = cleanText(c.BaseName), cleanText(c.BaseShown), cleanText(c.HereWords)
	c.Up = cleanText(c.Up)
	c.Categories = cleanTexts(c.Categories)
	gaps := func(list []float64) []float64 {
		out := append([]float64(nil), list...)
		for i, v := range out {
			if !fine(v) {
				out[i] = math.NaN()
			}
		}
		return out
	}
	series := make([]Series, len(c.Series))
	for i, r := range c.Series {
		r.Name, r.LowName, r.HighName = cleanText(r.Name), cleanText(r.LowName), cleanText(r.HighName)
		r.Shown, r.ShownAt = cleanTexts(r.Shown), cleanTexts(r.ShownAt)
		r.ShownLow, r.ShownHigh = cleanTexts(r.ShownLow), cleanTexts(r.ShownHigh)
		r.Values, r.At, r.Low, r.High = gaps(r.Values), gaps(r.At), gaps(r.Low), gaps(r.High)
		series[i] = r
	}
	c.Series = series
	var marks []Mark
	for _, m := range c.Marks {
		m.Name, m.Shown = cleanText(m.Name), cleanText(m.Shown)
		m.Values = gaps(m.Values)
		if fine(m.Value) || len(m.Values) > 0 { // one without a value marks nothing
			marks = append(marks, m)
		}
	}
	c.Marks = marks
	if !fine(c.Base) {
		c.Base = 0
	}
	if c.Here != nil && !fine(c.Here.At) {
		c.Here = nil
	}
}

// bend chooses another kind where the figures don't bear the one asked for: a
// part below zero is no part of a whole.
func (c *Chart) bend() {
	below := func(s Series) bool {
		for _, v := range s.Values {
			if v < 0 {
				return true
			}
		}
		return false
	}
	for _, s := range c.Series {
		switch {
		case !below(s):
		case c.Kind == Split:
			c.Kind = Bars
		case c.Kind == Area && len(c.Series) > 1:
			c.Kind = Lines
		}
	}
	for _, s := range c.Series {
		if c.Kind == Split && len(s.Values) > len(seriesPalette) {
			c.Kind = Bars
		}
	}
}

// joinParts makes one series of a split whose parts came as series of one
// value each.
func (c *Chart) joinParts() {
	if len(c.Series) < 2 || len(c.Categories) > 1 {
		return
	}
	var one Series
	var names []string
	for _, s := range c.Series {
		if len(s.Values) != 1 {
			return
		}
		names = append(names, s.Name)
		one.Values = append(one.Values, s.Values[0])
		one.Shown = append(one.Shown, pick(s.Shown, 0))
	}
	if len(c.Categories) == 1 {
		one.Name = c.Categories[0]
	}
	c.Categories, c.Series = names, []Series{one}
}

func (c *Chart) checkCounts() error {
	k := kinds[c.Kind]
	const fewer = "show fewer, or put the smallest together"
	switch n, m := len(c.Categories), len(c.Series); {
	case n == 0:
		return errorf(source.Missing, "name what the values belong to: months, enterprises, items",
			"the chart has no categories")
	case m == 0:
		return errorf(source.Missing, "name at least one figure to show", "the chart has no series of figures")
	case n > k.categories:
		return errorf(source.OutOfRange, fewer, "a chart of kind %s can show %d categories at most, but has %d", c.Kind, k.categories, n)
	case m > k.series:
		return errorf(source.OutOfRange, fewer, "a chart of kind %s can show %d series at most, but has %d", c.Kind, k.series, m)
	case len(c.Marks) > mostMarks:
		return errorf(source.OutOfRange, "keep the marks that a reader must see",
			"a chart can have %d marks at most, but has %d", mostMarks, len(c.Marks))
	case len(c.Marks) > 0 && !k.marks:
		return errorf(source.WrongType, "leave the mark out, or choose another kind of chart",
			"a chart of kind %s has no axis of values that a mark could stand on", c.Kind)
	case c.Along != nil && len(c.Along) != n:
		return errorf(source.WrongType, "give one for each category", "%d places along for %d categories", len(c.Along), n)
	}
	for i, s := range c.Series {
		if s.Name == "" && len(c.Series) > 1 && c.Kind != Points {
			return errorf(source.Missing, "give each series a name", "series %d of the chart has no name", i+1)
		}
		for _, part := range []struct {
			what   string
			values []float64
			needed bool
		}{
			{"values", s.Values, c.Kind != Ranges},
			{"places across", s.At, c.Kind == Points},
			{"lows", s.Low, c.Kind == Ranges || len(s.High) > 0},
			{"highs", s.High, c.Kind == Ranges || len(s.Low) > 0},
		} {
			if part.needed && len(part.values) != len(c.Categories) {
				return errorf(source.WrongType, "give one for each category",
					"series %d has %d %s for %d categories", i+1, len(part.values), part.what, len(c.Categories))
			}
		}
	}
	return nil
}

// fillShown gives every value its text.
func (c *Chart) fillShown() {
	decimals := c.Decimals
	if decimals < 0 {
		decimals = c.neededDecimals()
	}
	fill := func(shown []string, values []float64) []string {
		out := make([]string, len(values))
		for i, v := range values {
			switch {
			case math.IsNaN(v):
				out[i] = ""
			case pick(shown, i) != "":
				out[i] = shown[i]
			default:
				out[i] = cleanText(c.Number(v, decimals))
			}
		}
		return out
	}
	for i := range c.Series {
		s := &c.Series[i]
		s.Shown = fill(s.Shown, s.Values)
		s.ShownAt = fill(s.ShownAt, s.At)
		s.ShownLow, s.ShownHigh = fill(s.ShownLow, s.Low), fill(s.ShownHigh, s.High)
		if s.LowName == "" {
			s.LowName = say.Text("low").In(c.Language)
		}
		if s.HighName == "" {
			s.HighName = say.Text("high").In(c.Language)
		}
	}
	for i := range c.Marks {
		if m := &c.Marks[i]; m.Shown == "" && len(m.Values) == 0 {
			m.Shown = cleanText(c.Number(m.Value, decimals))
		}
	}
	if c.BaseShown == "" && c.Kind == Ranges {
		c.BaseShown = cleanText(c.Number(c.Base, decimals))
	}
}

// neededDecimals is how many decimals show the values to three figures of the
// largest, at most 3.
func (c *Chart) neededDecimals() int {
	most := 0.0
	for _, s := range c.Series {
		for _, list := range [][]float64{s.Values, s.Low, s.High} {
			for _, v := range list {
				if !math.IsNaN(v) {
					most = max(most, math.Abs(v))
				}
			}
		}
	}
	switch {
	case most == 0 || most >= 100:
		return 0
	case most >= 10:
		return 1
	case most >= 1:
		return 2
	}
	return 3
}

func pick(list []string, i int) string {
	if i < len(list) {
		return list[i]
	}
	return ""
}

// longestText is how much of a text is kept: more can be neither drawn nor
// read, and would only slow the layout.
const longestText = 500

// cleanText makes a user's text fit to draw: one line, no characters that XML
// forbids, of bounded length.
func cleanText(s string) string {
	var b strings.Builder
	space, n := false, 0
	for _, r := range s {
		switch {
		case unicode.IsSpace(r):
			space = b.Len() > 0
			continue
		case r == utf8.RuneError || r < 0x20 || r >= 0x7f && r < 0xa0 || r == 0xfffe || r == 0xffff:
			r = '\uFFFD'
		case isHidden(r):
			continue // it would turn round what is drawn beside it
		}
		if n++; n > longestText {
			return b.String() + "…"
		}
		if space {
			b.WriteByte(' ')
			space = false
		}
		b.WriteRune(r)
	}
	return b.String()
}

// isHidden tells the characters that turn the direction of text, and the word
// joiner, which guard uses.
func isHidden(r rune) bool {
	return r == 0x2060 || r == 0x200e || r == 0x200f || r == 0x061c || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069
}

func cleanTexts(list []string) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = cleanText(s)
	}
	return out
}

// clip cuts a text to n characters.
func clip(s string, n int) string {
	count := 0
	for i := range s {
		if count++; count > n {
			return s[:i] + "…"
		}
	}
	return s
}
