package chart

import (
	"fmt"
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
	Lines   Kind = "lines"   // a line for each series
	Area    Kind = "area"    // filled lines, the series on top of each other
	Heat    Kind = "heat"    // a row for each series, a cell for each category, shaded by value
	Points  Kind = "points"  // a named point for each category, by two values
	Ranges  Kind = "ranges"  // a row for each category, from a low to a high about a base
	Steps   Kind = "steps"   // a row for each category, each starting where the last one ended
	Split   Kind = "split"   // one lying bar, the whole shared out over the categories
)

// Kinds lists every kind of chart in the order of the manual.
var Kinds = []Kind{Columns, Bars, Stack, Lines, Area, Heat, Points, Ranges, Steps, Split}

// A Chart is a chart in the farm's own terms: which figures, by what name, in
// what unit. All values of a chart are in one unit (except for points, whose
// two axes may differ). A NaN is a gap: no figure there, never zero.
type Chart struct {
	Kind Kind

	// Title names the chart in its text alternative. It is not drawn: the
	// page's caption carries it, as real text.
	Title string
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

	// Unit is the unit of the values, drawn at the top left: "GBP a year".
	Unit string
	// Across heads the categories ("Month") in the table behind the chart; for
	// points it is the unit of the axis across, and is drawn.
	Across string

	// Decimals is the number of decimals of values that have no Shown text.
	// Negative: as many as the steps of the axis need.
	Decimals int
	// Number writes a value with so many decimals, for axis labels and values
	// without a Shown text. Nil: Number.
	Number func(value float64, decimals int) string

	// Width and Height are in CSS pixels and fix the shape: the drawing itself
	// scales. Zero: 640, and a height that fits the contents.
	Width, Height int

	// Marks are lines across the chart at a value, such as a target income.
	Marks []Mark

	// Base is the value that ranges are drawn from, and BaseName its label.
	// BaseShown is its text, empty: worked out.
	Base                float64
	BaseName, BaseShown string

	// Sums are the indexes of the steps that show the sum so far (a margin
	// after costs): their bars stand on zero. Their value is checked against
	// the steps before them; NaN asks for it to be filled in.
	Sums []int
}

// A Series is one row of values of a chart.
type Series struct {
	Name   string
	Values []float64 // one for each category; for ranges it may be nil
	Shown  []string  // the values as text, for labels and the table; may be nil or shorter

	// At is where each point stands on the axis across (points only).
	At      []float64
	ShownAt []string

	// Low and High are the ends of each range (ranges only): the outcome when
	// the category's figure is at its low and at its high. Either end may be
	// the larger. LowName and HighName tell what the two ends mean.
	Low, High           []float64
	ShownLow, ShownHigh []string
	LowName, HighName   string
}

// A Mark is a line across the chart at a value.
type Mark struct {
	Name  string
	Value float64
	Shown string // empty: worked out
}

// What can still be told apart, read and drawn.
const (
	mostSeries   = len(seriesPalette)
	mostHeatRows = 60
	mostRows     = 60   // of a chart with a row for each category
	mostAcross   = 1200 // categories of a chart that runs from left to right
	mostHeatCols = 120
	mostPoints   = 400
	mostParts    = len(seriesPalette)
	mostMarks    = 6
	leastWidth   = 240
	mostWidth    = 2400
	mostHeight   = 6000
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

// settle returns a copy of the chart that is ready to draw: checked, its
// texts safe to draw, every Shown text filled in, sums worked out.
func (c *Chart) settle() (*Chart, error) {
	known := false
	names := make([]string, len(Kinds))
	for i, k := range Kinds {
		known = known || c.Kind == k
		names[i] = string(k)
	}
	if !known {
		remedy := "kinds of chart: " + strings.Join(names, ", ")
		if near := source.Nearest(string(c.Kind), names); near != "" {
			remedy = "did you mean " + near + "? " + remedy
		}
		return nil, errorf(source.UnknownRef, remedy, "no kind of chart is called %q", clip(string(c.Kind), 60))
	}

	s := *c
	s.Title, s.Alt = cleanText(c.Title), cleanText(c.Alt)
	s.Unit, s.Across = cleanText(c.Unit), cleanText(c.Across)
	s.BaseName, s.BaseShown = cleanText(c.BaseName), cleanText(c.BaseShown)
	s.Categories = cleanTexts(c.Categories)
	s.Series = make([]Series, len(c.Series))
	for i, r := range c.Series {
		r.Name, r.LowName, r.HighName = cleanText(r.Name), cleanText(r.LowName), cleanText(r.HighName)
		r.Shown, r.ShownAt = cleanTexts(r.Shown), cleanTexts(r.ShownAt)
		r.ShownLow, r.ShownHigh = cleanTexts(r.ShownLow), cleanTexts(r.ShownHigh)
		r.Values = append([]float64(nil), r.Values...)
		s.Series[i] = r
	}
	s.Marks = append([]Mark(nil), c.Marks...)
	for i := range s.Marks {
		s.Marks[i].Name, s.Marks[i].Shown = cleanText(s.Marks[i].Name), cleanText(s.Marks[i].Shown)
	}
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
	if err := s.checkValues(); err != nil {
		return nil, err
	}
	if s.Kind == Steps {
		if err := s.sumSteps(); err != nil {
			return nil, err
		}
	}
	s.fillShown()
	return &s, nil
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
	if len(c.Categories) == 0 {
		return errorf(source.Missing, "name what the values belong to: months, enterprises, items",
			"the chart has no categories")
	}
	if len(c.Series) == 0 {
		return errorf(source.Missing, "name at least one figure to show", "the chart has no series of figures")
	}
	most := map[Kind]int{Bars: mostRows, Ranges: mostRows, Steps: mostRows, Split: mostParts,
		Heat: mostHeatCols, Points: mostPoints}[c.Kind]
	if most == 0 {
		most = mostAcross
	}
	if n := len(c.Categories); n > most {
		return errorf(source.OutOfRange, "show fewer, or put the smallest together",
			"a chart of kind %s can show %d categories at most, but has %d", c.Kind, most, n)
	}
	most = mostSeries
	switch c.Kind {
	case Heat:
		most = mostHeatRows
	case Ranges, Steps, Split:
		most = 1
	}
	if n := len(c.Series); n > most {
		return errorf(source.OutOfRange, "show fewer, or put the smallest together",
			"a chart of kind %s can show %d series at most, but has %d", c.Kind, most, n)
	}
	if len(c.Marks) > mostMarks {
		return errorf(source.OutOfRange, "keep the marks that a reader must see",
			"a chart can have %d marks at most, but has %d", mostMarks, len(c.Marks))
	}
	if len(c.Marks) > 0 && (c.Kind == Heat || c.Kind == Split) {
		return errorf(source.WrongType, "leave the mark out, or choose another kind of chart",
			"a chart of kind %s has no axis of values that a mark could stand on", c.Kind)
	}
	if c.Width != 0 && (c.Width < leastWidth || c.Width > mostWidth) {
		return errorf(source.OutOfRange, "leave it out for the usual width",
			"a chart's width must be from %d to %d, but is %d", leastWidth, mostWidth, c.Width)
	}
	if c.Height != 0 && (c.Height < 80 || c.Height > mostHeight) {
		return errorf(source.OutOfRange, "leave it out for a height that fits",
			"a chart's height must be from 80 to %d, but is %d", mostHeight, c.Height)
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
			{"lows", s.Low, c.Kind == Ranges},
			{"highs", s.High, c.Kind == Ranges},
		} {
			if part.needed && len(part.values) != len(c.Categories) {
				return errorf(source.WrongType, "give one for each category",
					"%s has %d %s for %d categories", seriesName(s, i), len(part.values), part.what, len(c.Categories))
			}
		}
	}
	return nil
}

func seriesName(s Series, i int) string {
	if s.Name == "" {
		return fmt.Sprintf("series %d", i+1)
	}
	return fmt.Sprintf("the series %q", clip(s.Name, 60))
}

func (c *Chart) checkValues() error {
	any := false
	check := func(v float64, what string) error {
		if math.IsInf(v, 0) || math.Abs(v) > mostValue {
			return errorf(source.NotFinite, "look for a division by zero or a slip in a unit",
				"%s is too large to draw: %g", what, v)
		}
		any = any || !math.IsNaN(v)
		return nil
	}
	for i, s := range c.Series {
		for _, list := range [][]float64{s.Values, s.At, s.Low, s.High} {
			for j, v := range list {
				if j >= len(c.Categories) {
					break
				}
				what := fmt.Sprintf("%s at %q", seriesName(s, i), clip(c.Categories[j], 60))
				if err := check(v, what); err != nil {
					return err
				}
				if v < 0 && c.Kind == Split {
					return errorf(source.OutOfRange, "use steps or bars for amounts below zero",
						"%s is below zero, so it can't be a part of a whole", what)
				}
			}
		}
	}
	if !any {
		return errorf(source.Missing, "every value of the chart is a gap: check the figures that it names",
			"the chart has nothing to show")
	}
	for _, m := range c.Marks {
		if err := check(m.Value, fmt.Sprintf("the mark %q", clip(m.Name, 60))); err != nil {
			return err
		}
		if math.IsNaN(m.Value) {
			return errorf(source.NotFinite, "check the figure that it names", "the mark %q has no value", clip(m.Name, 60))
		}
	}
	switch c.Kind {
	case Ranges:
		if err := check(c.Base, "the base line"); err != nil {
			return err
		}
		if math.IsNaN(c.Base) {
			return errorf(source.NotFinite, "check the figure that it names", "the base line has no value")
		}
	case Split:
		sum := 0.0
		for _, v := range c.Series[0].Values {
			if !math.IsNaN(v) {
				sum += v
			}
		}
		if sum <= 0 {
			return errorf(source.OutOfRange, "check the figures that it names", "the parts of the whole add up to nothing")
		}
	case Area:
		if len(c.Series) < 2 {
			break
		}
		for i, s := range c.Series {
			for j, v := range s.Values {
				if v < 0 {
					return errorf(source.OutOfRange, "use lines or a stack for amounts below zero",
						"%s at %q is below zero, so it can't be stacked as an area", seriesName(s, i), clip(c.Categories[j], 60))
				}
			}
		}
	}
	return nil
}

// sumSteps fills in the sums that were left open and checks the others.
func (c *Chart) sumSteps() error {
	sums := map[int]bool{}
	for _, i := range c.Sums {
		if i < 0 || i >= len(c.Categories) {
			return errorf(source.OutOfRange, fmt.Sprintf("steps are counted from 0 to %d", len(c.Categories)-1),
				"there is no step %d to be a sum", i)
		}
		sums[i] = true
	}
	values := c.Series[0].Values
	running, size := 0.0, 0.0
	for i, v := range values {
		if !sums[i] {
			if !math.IsNaN(v) {
				running += v
				size = max(size, math.Abs(v), math.Abs(running))
			}
			continue
		}
		if i == 0 && !math.IsNaN(v) {
			running = v // nothing comes before it: it opens the chart
			size = math.Abs(v)
			continue
		}
		if math.IsNaN(v) {
			values[i] = running
			continue
		}
		// Figures shown to a step may each be off by half of it; 0.5 % of the
		// largest step lets that pass and still shows a missing step.
		if math.Abs(v-running) > 0.005*size+1e-9 {
			return errorf(source.OutOfRange, "name every step between two sums",
				"%q shows %s, but the steps before it add up to %s", clip(c.Categories[i], 60),
				c.Number(v, 2), c.Number(running, 2))
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
			s.LowName = "low"
		}
		if s.HighName == "" {
			s.HighName = "high"
		}
	}
	for i := range c.Marks {
		if c.Marks[i].Shown == "" {
			c.Marks[i].Shown = cleanText(c.Number(c.Marks[i].Value, decimals))
		}
	}
	if c.BaseShown == "" && c.Kind == Ranges {
		c.BaseShown = cleanText(c.Number(c.Base, decimals))
	}
	if c.BaseName == "" {
		c.BaseName = "base"
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

// Table gives the numbers behind the chart as text: a header and rows of the
// same length, the first cell of each row being its heading. A gap is "–".
// It returns nothing for a chart that can't be drawn.
func (c *Chart) Table() (header []string, rows [][]string) {
	s, err := c.settle()
	if err != nil {
		return nil, nil
	}
	withUnit := func(name string) string {
		switch {
		case s.Unit == "":
			return name
		case name == "":
			return s.Unit
		}
		return name + ", " + s.Unit
	}
	cell := func(shown []string, i int) string {
		if t := pick(shown, i); t != "" {
			return t
		}
		return "–"
	}
	switch s.Kind {
	case Points:
		header = []string{"", s.Across, s.Unit}
		for _, r := range s.Series {
			for i, name := range s.Categories {
				if len(s.Series) > 1 && r.Name != "" {
					name = r.Name + ": " + name
				}
				if math.IsNaN(r.Values[i]) && math.IsNaN(r.At[i]) && len(s.Series) > 1 {
					continue
				}
				rows = append(rows, []string{name, cell(r.ShownAt, i), cell(r.Shown, i)})
			}
		}
	case Ranges:
		r := s.Series[0]
		header = []string{s.Across, withUnit(r.LowName), withUnit(r.HighName)}
		for i, name := range s.Categories {
			rows = append(rows, []string{name, cell(r.ShownLow, i), cell(r.ShownHigh, i)})
		}
		rows = append(rows, []string{s.BaseName, s.BaseShown, s.BaseShown})
	case Columns, Stack, Lines, Area:
		if s.Years && len(s.Categories)%12 == 0 {
			return yearsTable(s, withUnit(""), cell)
		}
		header, rows = plainTable(s, withUnit, cell)
	case Heat:
		header = append([]string{withUnit("")}, s.Categories...)
		for _, r := range s.Series {
			row := []string{r.Name}
			for i := range s.Categories {
				row = append(row, cell(r.Shown, i))
			}
			rows = append(rows, row)
		}
	case Split:
		r := s.Series[0]
		header = []string{s.Across, withUnit(r.Name), say.Text("share|chart").In(s.Language)}
		shares := splitShares(r.Values)
		for i, name := range s.Categories {
			rows = append(rows, []string{name, cell(r.Shown, i), shares[i]})
		}
	default:
		header, rows = plainTable(s, withUnit, cell)
	}
	if s.Kind != Ranges {
		for _, m := range s.Marks {
			row := make([]string, len(header))
			row[0] = m.Name
			for i := 1; i < len(row); i++ {
				row[i] = m.Shown
			}
			if s.Kind == Points {
				row[1] = "–"
			}
			rows = append(rows, row)
		}
	}
	return header, rows
}

// plainTable has a row for each category and a column for each series.
func plainTable(s *Chart, withUnit func(string) string, cell func([]string, int) string) (header []string, rows [][]string) {
	header = []string{s.Across}
	for _, r := range s.Series {
		header = append(header, withUnit(r.Name))
	}
	for i, name := range s.Categories {
		row := []string{name}
		for _, r := range s.Series {
			row = append(row, cell(r.Shown, i))
		}
		rows = append(rows, row)
	}
	return header, rows
}

// yearsTable has a column for each month and a row for each year of each series.
func yearsTable(s *Chart, unit string, cell func([]string, int) string) (header []string, rows [][]string) {
	header = []string{unit}
	for _, name := range s.Categories[:12] {
		month, _, _ := strings.Cut(name, " ")
		header = append(header, month)
	}
	for _, r := range s.Series {
		for from := 0; from < len(s.Categories); from += 12 {
			_, label, _ := strings.Cut(s.Categories[from], " ")
			if _, last, _ := strings.Cut(s.Categories[from+11], " "); last != label {
				label += "/" + last[max(0, len(last)-2):]
			}
			if len(s.Series) > 1 {
				label = r.Name + ", " + label
			}
			row := []string{label}
			for m := range 12 {
				row = append(row, cell(r.Shown, from+m))
			}
			rows = append(rows, row)
		}
	}
	for _, mark := range s.Marks {
		row := append([]string{mark.Name}, make([]string, 12)...)
		row[1] = mark.Shown
		rows = append(rows, row)
	}
	return header, rows
}

var kindWords = map[Kind]say.Text{
	Columns: "Columns", Bars: "Bars", Stack: "Stacked columns", Lines: "Lines", Area: "Areas",
	Heat: "Shaded table", Points: "Points", Ranges: "Ranges about a base line",
	Steps: "Steps from one sum to the next", Split: "A bar split into its parts",
}

// altText describes a settled chart in words. Few figures are all told; of
// many, the lowest and the highest.
func (c *Chart) altText() string {
	if c.Alt != "" {
		return c.Alt
	}
	var b strings.Builder
	tell := func(text say.Text) string { return text.In(c.Language) }
	if c.Unit != "" {
		b.WriteString(tell(say.With("%s, in %s.", kindWords[c.Kind], c.Unit)))
	} else {
		b.WriteString(tell(say.With("%s.", kindWords[c.Kind])))
	}
	named := func(name, text string) string { return strings.TrimSpace(clip(name, 80) + " " + text) }
	for i, s := range c.Series {
		if i == 8 {
			b.WriteString(" " + tell(say.With("And %s more.", len(c.Series)-i)))
			break
		}
		b.WriteString(" ")
		if s.Name != "" && len(c.Series) > 1 {
			b.WriteString(clip(s.Name, 80) + ": ")
		}
		switch {
		case c.Kind == Ranges:
			var parts []string
			for j, name := range c.Categories {
				if j == 12 {
					parts = append(parts, tell(say.With("and %s more", len(c.Categories)-j)))
					break
				}
				parts = append(parts, named(name, tell(say.With("%s to %s|range", c.orGap(s.ShownLow[j]), c.orGap(s.ShownHigh[j])))))
			}
			b.WriteString(named(c.BaseName, c.BaseShown) + "; " + strings.Join(parts, "; ") + ".")
		case len(c.Categories)*len(c.Series) <= 24:
			var parts []string
			for j, name := range c.Categories {
				text := c.orGap(s.Shown[j])
				if c.Kind == Points {
					text = tell(say.With("%s across, %s", c.orGap(pick(s.ShownAt, j)), text))
				}
				parts = append(parts, named(name, text))
			}
			b.WriteString(strings.Join(parts, "; ") + ".")
		default:
			low, high := -1, -1
			for j, v := range s.Values {
				if math.IsNaN(v) {
					continue
				}
				if low < 0 || v < s.Values[low] {
					low = j
				}
				if high < 0 || v > s.Values[high] {
					high = j
				}
			}
			if low < 0 {
				b.WriteString(tell("no figures."))
				continue
			}
			b.WriteString(tell(say.With("lowest %s; highest %s.", named(c.Categories[low], s.Shown[low]), named(c.Categories[high], s.Shown[high]))))
		}
	}
	for _, m := range c.Marks {
		b.WriteString(" " + named(m.Name, m.Shown) + ".")
	}
	return b.String()
}

func (c *Chart) orGap(s string) string {
	if s == "" {
		return say.Text("no figure").In(c.Language)
	}
	return s
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
