package season

import (
	"fmt"
	"time"
)

// A Day is a day of the civil (Gregorian) calendar, counted from 1 January 1970
// as 0. It knows 29 February.
type Day int

// On returns a day by its date. It fails where the month has no such day.
func On(year, month, day int) (Day, error) {
	t := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if t.Year() != year || int(t.Month()) != month || t.Day() != day {
		return 0, fmt.Errorf("there is no day %04d-%02d-%02d", year, month, day)
	}
	return Day(floorDiv(int(t.Unix()), 86400)), nil
}

// Date returns the year, the month from 1 and the day of the month.
func (d Day) Date() (year, month, day int) {
	y, m, n := d.time().Date()
	return y, int(m), n
}

// String writes the date as ISO 8601 has it, 2026-06-05.
func (d Day) String() string { return d.time().Format(time.DateOnly) }

func (d Day) time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// A Week is a week of ISO 8601: it begins on a Monday and belongs to the year
// that has most of its days.
type Week struct{ Year, Number int }

// Week returns the week that a day lies in, and its weekday from 1 for Monday.
func (d Day) Week() (w Week, weekday int) {
	y, n := d.time().ISOWeek()
	return Week{y, n}, floorMod(int(d)+3, 7) + 1
}

// WeeksOf returns the number of weeks of a year, 52 or 53.
func WeeksOf(year int) int {
	last, _ := On(year, 12, 28) // always in the last week
	w, _ := last.Week()
	return w.Number
}

// Day returns a weekday of the week, from 1 for Monday to 7. It fails if the
// year has no such week or the week no such day.
func (w Week) Day(weekday int) (Day, error) {
	if w.Number < 1 || w.Number > WeeksOf(w.Year) {
		return 0, fmt.Errorf("%d has weeks 1 to %d, not %d", w.Year, WeeksOf(w.Year), w.Number)
	}
	if weekday < 1 || weekday > 7 {
		return 0, fmt.Errorf("a week has days 1 to 7, not %d", weekday)
	}
	fourth, _ := On(w.Year, 1, 4) // always in week 1
	_, past := fourth.Week()
	return fourth + Day(7*(w.Number-1)+weekday-past), nil
}

// String writes the week as ISO 8601 has it, 2026-W05.
func (w Week) String() string { return fmt.Sprintf("%04d-W%02d", w.Year, w.Number) }

// Easter returns the date of Easter Sunday in the Western churches.
//
// Source: J. Meeus, "Astronomical Algorithms", chapter 8, for the Gregorian
// calendar (from 1583).
func Easter(year int) (month, day int) {
	golden, century, rest := year%19, year/100, year%100
	d, e := century/4, century%4
	g := (century - (century+8)/25 + 1) / 3
	h := (19*golden + century - d - g + 15) % 30
	i, k := rest/4, rest%4
	l := (32 + 2*e + 2*i - h - k) % 7
	m := (golden + 11*h + 22*l) / 451
	n := h + l - 7*m + 114
	return n / 31, n%31 + 1
}

// EasternEaster returns the date of Easter Sunday in the Eastern churches, in
// the Gregorian calendar.
//
// Source: J. Meeus, "Astronomical Algorithms", chapter 8, for the Julian
// calendar; moved by the days between the two.
func EasternEaster(year int) (month, day int) {
	d := (19*(year%19) + 15) % 30
	e := (2*(year%4) + 4*(year%7) - d + 34) % 7
	n := d + e + 114
	behind := year/100 - year/400 - 2
	t := time.Date(year, time.Month(n/31), n%31+1+behind, 0, 0, 0, 0, time.UTC)
	return int(t.Month()), t.Day()
}

func floorDiv(a, b int) int { return (a - floorMod(a, b)) / b }

func floorMod(a, b int) int { return (a%b + b) % b }
