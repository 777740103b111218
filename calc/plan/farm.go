package plan

import (
	"fmt"
	"math"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// A Farm is what the plan is made of. It names things; their numbers are the
// figures that doc.go lists.
type Farm struct {
	Currency string      // ISO 4217
	Years    int         // the horizon
	Start    Month       // the plan's first month
	Place    source.Span // where the plan's figures stand

	Enterprises []Enterprise
	Idle        map[string]bool // enterprises that are defined, and not run
	People      []Person
	Land        []Named // kinds of land
	Items       []Item  // infrastructure
	Overheads   []Named
	Sources     []Source
	Uses        []Use
}

// A Month is a month of a year, counted on from the year 0; the zero Month is
// none.
type Month int

// MonthOf returns a month of a year; month counts from 0.
func MonthOf(year, month int) Month { return Month(12*year + month) }

// Year returns the month's year.
func (m Month) Year() int { return int(m) / 12 }

// Of returns the month within its year, from 0.
func (m Month) Of() int { return int(m) % 12 }

// ParseMonth reads 2027, 2027-03 or 2027-03-14.
func ParseMonth(text string) (Month, bool) {
	var year, month, day int
	switch strings.Count(text, "-") {
	case 0:
		if n, err := fmt.Sscanf(text, "%d", &year); n != 1 || err != nil {
			return 0, false
		}
		month = 1
	case 1:
		if n, err := fmt.Sscanf(text, "%d-%d", &year, &month); n != 2 || err != nil {
			return 0, false
		}
	default:
		if n, err := fmt.Sscanf(text, "%d-%d-%d", &year, &month, &day); n != 3 || err != nil {
			return 0, false
		}
	}
	if year < 1 || month < 1 || month > 12 {
		return 0, false
	}
	return MonthOf(year, month-1), true
}

// String writes the month as 2027-03.
func (m Month) String() string { return fmt.Sprintf("%d-%02d", m.Year(), m.Of()+1) }

// Name writes the month as March 2027, or as March of year 1 where a plan has no
// date.
func (m Month) Name() say.Text {
	if m.undated() {
		return say.With("%s of year %s", say.Months[m.Of()], m.Year())
	}
	return say.With("%s %s|month and year", say.Months[m.Of()], m.Year())
}

func (m Month) undated() bool { return m.Year() < 1000 }

// An Enterprise is one that the plan runs.
type Enterprise struct{ *enterprise.Spec }

// A Person works on the farm.
type Person struct {
	ID       string
	Name     string
	HasHours bool // it is known how long they work
}

// A Named is a thing with a label.
type Named struct {
	ID    string
	Label string
}

// An Item is a piece of infrastructure.
type Item struct {
	Named
	Group string
}

// A Source is where money to start comes from.
type Source struct {
	Named
	Loan bool // the data has it for a loan: it has figures of its own by year
}

// A Use is what money to start is spent on. Property, stock, and whatever has a
// life of its own are paid; other infrastructure and equipment is what the
// items and the enterprises buy, and working capital and reserve stay in cash.
type Use struct {
	Named
	Group string
	Life  bool // it has figures .life and perhaps .residual of its own
}

// column returns the column of the plan's tables in which a date falls, in seconds
// since 1970: 0 is the opening, which takes all that was before, 1 the first month,
// and the one after the last is beyond the plan.
func (f *Farm) column(date float64) int {
	year, month, _, ok := quantity.Calendar(date / daySeconds)
	beyond := 12*f.Years + 1
	switch {
	case ok:
		return min(max(0, int(MonthOf(year, month-1)-f.Start)+1), beyond)
	case date > 0:
		return beyond
	}
	return 0
}

// before stands for a date that is not given and means the opening; never for
// one that does not come.
var before, never = math.Inf(-1), math.Inf(1)

// calendar returns the month of the year, from 0, that a column is.
func (f *Farm) calendar(column int) int { return (f.Start.Of() + column - 1 + 12) % 12 }

// month returns the month that a column is.
func (f *Farm) month(column int) Month { return f.Start + Month(column-1) }

// YearLabel names a year of the plan, counted from 0.
func (f *Farm) YearLabel(year int) say.Text {
	first := f.Start + Month(12*year)
	if first.undated() {
		return say.With("year %s", year+1)
	}
	if first.Of() == 0 {
		return say.Own(fmt.Sprint(first.Year()))
	}
	return say.Own(fmt.Sprintf("%d/%02d", first.Year(), (first.Year()+1)%100))
}

// Short writes the month as Mar 2028, or as Mar of year 1 where a plan has no
// date.
func (m Month) Short() say.Text {
	if m.undated() {
		return say.With("%s of year %s", say.ShortMonths[m.Of()], m.Year())
	}
	return say.With("%s %s|month and year", say.ShortMonths[m.Of()], m.Year())
}
