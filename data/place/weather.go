package place

import (
	"math"
	"strconv"
	"strings"

	"rickyard/calc/climate"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

// A Column is where a file has something, and in which unit.
type Column struct {
	Name string
	Unit quantity.Unit
}

// Columns are those of a file of daily records.
type Columns struct {
	Date            string
	Rain, Low, High Column
}

// Usual are the columns of a farm that says nothing.
func Usual(units *quantity.System) Columns {
	return Columns{"date", Column{"rain", units.Must("mm")}, Column{"tmin", units.Must("degC")}, Column{"tmax", units.Must("degC")}}
}

// Bounds on files.
const (
	mostDays   = 100_000 // 270 years
	mostErrors = 20      // of one file that are told
)

// Weather reads daily records. The records are whole only where no error is a
// mistake; the warnings among the errors tell of missing days. A byte order mark and
// line ends of any system are taken.
func Weather(f *source.File, columns Columns) ([]climate.Record, []*source.Error) {
	r := weatherReader{file: f, columns: columns}
	r.read()
	if len(r.errs) == 0 {
		r.check()
	}
	return r.records, r.errs
}

type weatherReader struct {
	file    *source.File
	columns Columns
	at      [4]int // the cells of date, rain, low, high
	records []climate.Record
	spans   []source.Span // of their dates
	errs    []*source.Error
}

func (r *weatherReader) fail(e *source.Error) { r.errs = append(r.errs, e) }

func (r *weatherReader) read() {
	text := r.file.Text
	heading := true
	for from := 0; from < len(text) && len(r.errs) < mostErrors; {
		end := strings.IndexByte(text[from:], '\n')
		next := from + end + 1
		if end < 0 {
			next = len(text)
			end = len(text) - from
		}
		line := r.file.Span(from, from+len(strings.TrimRight(text[from:from+end], "\r")))
		from = next
		switch {
		case strings.TrimSpace(line.Text()) == "":
		case heading:
			heading = false
			if !r.heading(cells(line)) {
				return
			}
		case len(r.records) == mostDays:
			r.fail(source.Errorf(source.Unsafe, line, "there are more than %d days", mostDays))
			return
		default:
			r.day(cells(line))
		}
	}
	if heading {
		r.fail(source.Errorf(source.Missing, r.file.Span(0, 0), "the file has no heading; expected %s", strings.Join(r.names(), ",")))
	}
}

func (r *weatherReader) names() []string {
	return []string{r.columns.Date, r.columns.Rain.Name, r.columns.Low.Name, r.columns.High.Name}
}

// cells parts a line at its commas. A cell may stand in quotation marks; none of
// this file's needs a comma within.
func cells(line source.Span) []source.Span {
	var all []source.Span
	for from := line.Start; ; {
		end := line.End
		if i := strings.IndexByte(line.File.Text[from:line.End], ','); i >= 0 {
			end = from + i
		}
		all = append(all, trimmed(line.File, from, end))
		if end == line.End {
			return all
		}
		from = end + 1
	}
}

func trimmed(f *source.File, from, end int) source.Span {
	const space = " \t\r\"\ufeff"
	text := f.Text[from:end]
	from += len(text) - len(strings.TrimLeft(text, space))
	if text = strings.Trim(text, space); text == "" {
		return f.Span(end, end)
	}
	return f.Span(from, from+len(text))
}

func (r *weatherReader) heading(cells []source.Span) bool {
	if len(cells) == 1 && strings.Contains(cells[0].Text(), ";") {
		r.fail(source.Errorf(source.Syntax, cells[0], "the columns are parted by semicolons; expected commas, and numbers with a decimal point").
			With("save the file as CSV with commas"))
		return false
	}
	var found []string
	for _, c := range cells {
		found = append(found, strings.ToLower(c.Text()))
	}
	for i, name := range r.names() {
		r.at[i] = -1
		for j, text := range found {
			switch {
			case text != strings.ToLower(name):
			case r.at[i] >= 0:
				r.fail(source.Errorf(source.Duplicate, cells[j], "there are two columns %s", name))
			default:
				r.at[i] = j
			}
		}
		if r.at[i] >= 0 || i > 0 && name == "" {
			continue
		}
		e := source.Errorf(source.Missing, cells[0], "there is no column %s", name)
		if near := source.Nearest(name, found); near != "" {
			e.With("is it %s? Name the columns in climate.yaml", near)
		} else {
			e.With("name the columns of this file in climate.yaml")
		}
		r.fail(e)
	}
	return len(r.errs) == 0
}

func (r *weatherReader) day(cells []source.Span) {
	cell := func(i int) source.Span {
		if at := r.at[i]; at >= 0 && at < len(cells) {
			return cells[at]
		}
		end := cells[len(cells)-1].End
		return r.file.Span(end, end)
	}
	date := cell(0)
	year, day, ok := isoDay(date.Text())
	if !ok {
		r.fail(source.Errorf(source.Syntax, date, "%q is not a date; expected one such as 2024-05-31", clip(date.Text())))
		return
	}
	number := func(i int, unit quantity.Unit) float64 {
		x, e := measured(cell(i))
		if e != nil {
			r.fail(e)
		}
		return unit.ToBase(x)
	}
	r.records = append(r.records, climate.Record{
		Year: year, Day: day,
		Rain: number(1, r.columns.Rain.Unit) * 1000,
		Low:  number(2, r.columns.Low.Unit) - 273.15,
		High: number(3, r.columns.High.Unit) - 273.15,
	})
	r.spans = append(r.spans, date)
}

// measured reads a number; an empty cell is none.
func measured(cell source.Span) (float64, *source.Error) {
	text := cell.Text()
	if text == "" {
		return math.NaN(), nil
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return math.NaN(), source.Errorf(source.WrongType, cell, "%q is not a number; expected one such as 3.2, or an empty cell where nothing was measured", clip(text))
	}
	return x, nil
}

// isoDay reads 2024-05-31 as the year and its day.
func isoDay(text string) (year, day int, ok bool) {
	if len(text) != 10 || text[4] != '-' || text[7] != '-' {
		return 0, 0, false
	}
	year, err1 := strconv.Atoi(text[:4])
	month, err2 := strconv.Atoi(text[5:7])
	dayOfMonth, err3 := strconv.Atoi(text[8:])
	day = climate.DayOf(year, month, dayOfMonth)
	return year, day, err1 == nil && err2 == nil && err3 == nil && day > 0
}

// check tells what can't be, and the days that are missing.
func (r *weatherReader) check() {
	missing, gaps, first := 0, 0, source.Span{}
	for _, f := range climate.Check(r.records) {
		at, rec := r.spans[f.At], r.records[f.At]
		if f.Kind != climate.Gap && len(r.errs) == mostErrors {
			return
		}
		switch f.Kind {
		case climate.Gap:
			if gaps == 0 {
				first = at
			}
			gaps, missing = gaps+1, missing+f.Missing
		case climate.Order:
			r.fail(source.Errorf(source.Duplicate, at, "%s is not later than the day before it; expected one row a day, oldest first", at.Text()))
		case climate.Crossed:
			r.fail(source.Errorf(source.OutOfRange, at, "on %s the lowest temperature, %s, is above the highest, %s", at.Text(), short(rec.Low), short(rec.High)).
				With("perhaps the two columns are named the wrong way round"))
		case climate.Heat:
			r.fail(source.Errorf(source.OutOfRange, at, "on %s a temperature of %s to %s °C can't be: none was ever measured beyond -89.2 and 56.7", at.Text(), short(rec.Low), short(rec.High)).
				With("check the unit of the columns; leave a cell empty where nothing was measured"))
		case climate.Downpour:
			r.fail(source.Errorf(source.OutOfRange, at, "on %s rain of %s mm can't be: at most 1,825 ever fell in a day", at.Text(), short(rec.Rain)).
				With("check the unit of the column; leave a cell empty where nothing was measured"))
		}
	}
	if gaps > 0 {
		r.fail(source.Warningf(first, "%d days are missing in %d places, the first before %s", missing, gaps, first.Text()))
	}
}

func short(x float64) string { return strconv.FormatFloat(math.Round(x*10)/10, 'f', -1, 64) }

// clip shortens what somebody wrote for a message.
func clip(text string) string {
	const most = 30
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "..."
	}
	return text
}
