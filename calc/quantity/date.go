package quantity

import (
	"fmt"
	"math"
	"time"
)

// There are two kinds of dates. A day of the year ("14 Mar", unit date) comes
// again each year, which then has 365 days. A date ("2027-03-14", unit calendar)
// is one day of the proleptic Gregorian calendar, as ISO 8601 has it.

// MonthNames are the months as formulas write them.
var MonthNames = [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

// MonthDays are the days of each month in a year of 365 days.
var MonthDays = [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// Month returns the number of a month from 0 by its short English name.
func Month(name string) (int, bool) {
	for i, m := range MonthNames {
		if m == name {
			return i, true
		}
	}
	return 0, false
}

// Date returns the days between 1 January and a day of a month (counted from
// 0), in a year of 365 days. It fails if the month has no such day. What falls on
// 29 February falls on the last of the month in such a year.
func Date(dayOfMonth float64, month int) (float64, error) {
	if month == 1 && dayOfMonth == 29 {
		dayOfMonth = 28
	}
	if dayOfMonth != math.Trunc(dayOfMonth) || dayOfMonth < 1 || dayOfMonth > float64(MonthDays[month]) {
		return 0, fmt.Errorf("%s has no day %v; expected 1 to %d", MonthNames[month], dayOfMonth, MonthDays[month])
	}
	days := dayOfMonth - 1
	for _, n := range MonthDays[:month] {
		days += float64(n)
	}
	return days, nil
}

// MonthDay returns the month, from 0, and the day of the month, from 1, that
// lies the given days after 1 January. Days beyond the year, or before it,
// count on into the next or the last; 1 January stands for what is not finite.
func MonthDay(days float64) (month, dayOfMonth int) {
	if math.IsNaN(days) || math.IsInf(days, 0) {
		return 0, 1
	}
	n := int(math.Mod(math.Floor(days+1e-9), 365))
	if n < 0 {
		n += 365
	}
	for n >= MonthDays[month] {
		n -= MonthDays[month]
		month++
	}
	return month, n + 1
}

// The years that a date may lie in, as ISO 8601 writes them.
const firstYear, lastYear = 1, 9999

// CalendarDate returns the days between 1 January 1970 and a date, months and
// days counted from 1. It fails where the calendar has no such day, and outside
// the years 1 to 9999.
func CalendarDate(year, month, dayOfMonth int) (float64, error) {
	t := time.Date(year, time.Month(month), dayOfMonth, 0, 0, 0, 0, time.UTC)
	if year < firstYear || year > lastYear || t.Year() != year || int(t.Month()) != month || t.Day() != dayOfMonth {
		return 0, fmt.Errorf("there is no day %04d-%02d-%02d", year, month, dayOfMonth)
	}
	return float64(t.Unix()) / day, nil
}

// Calendar returns the date that lies so many days after 1 January 1970, months
// and days counted from 1; false outside the years 1 to 9999. A part of a day
// belongs to the day that it lies in.
func Calendar(days float64) (year, month, dayOfMonth int, ok bool) {
	if !(math.Abs(days) < 4e6) {
		return 0, 0, 0, false
	}
	t := time.Unix(int64(math.Floor(days+1e-9))*day, 0).UTC()
	y, m, d := t.Date()
	return y, int(m), d, y >= firstYear && y <= lastYear
}

// MoveMonths moves a date by whole months. Where the month that it comes to has
// no such day, it is that month's last: a month after 31 January is 28 or 29
// February. Source: W3C, XML Schema Part 2, appendix E, adding durations to
// dates. It is NaN outside the years 1 to 9999.
func MoveMonths(days float64, months int) float64 {
	year, month, dayOfMonth, ok := Calendar(days)
	if !ok || months > 12*lastYear || months < -12*lastYear {
		return math.NaN()
	}
	first := time.Date(year, time.Month(month+months), 1, 0, 0, 0, 0, time.UTC)
	last := first.AddDate(0, 1, -1).Day()
	moved, err := CalendarDate(first.Year(), int(first.Month()), min(dayOfMonth, last))
	if err != nil {
		return math.NaN()
	}
	return moved + partOfDay(days)
}

// MoveMonthsInYear moves a day of the year by whole months, and past the year's
// end, as MoveMonths does in a calendar whose years all have 365 days.
func MoveMonthsInYear(days float64, months int) float64 {
	month, dayOfMonth := MonthDay(days)
	years := math.Floor((days + 1e-9) / 365)
	month += months
	years += math.Floor(float64(month) / 12)
	month = (month%12 + 12) % 12
	moved, _ := Date(float64(min(dayOfMonth, MonthDays[month])), month)
	return moved + float64(years*365) + partOfDay(days)
}

// partOfDay is what days are over whole ones, but for the noise of float64.
func partOfDay(days float64) float64 { return max(0, days-math.Floor(days+1e-9)) }

// parseCalendar reads a date as ISO 8601 writes it, 2027-03-14; found says
// whether the text has that form.
func parseCalendar(text string) (days float64, found bool, err error) {
	if !CalendarForm(text) {
		return 0, false, nil
	}
	number := func(from, to int) int {
		n := 0
		for _, c := range text[from:to] {
			n = 10*n + int(c-'0')
		}
		return n
	}
	days, err = CalendarDate(number(0, 4), number(5, 7), number(8, 10))
	return days, true, err
}

// ParseCalendar reads a date such as 2027-03-14. It fails on anything else.
func ParseCalendar(text string) (Quantity, error) {
	days, found, err := parseCalendar(text)
	if !found {
		err = fmt.Errorf("%s is not a date; expected year, month and day, as 2027-03-14", quoteShort(text))
	}
	return Quantity{Value: days * day, Unit: CalendarDays, Step: 1}, err
}

// CalendarForm reports whether a text is written as a date is: four digits, two
// and two, with a hyphen between.
func CalendarForm(text string) bool {
	if len(text) != len("2027-03-14") {
		return false
	}
	for i, c := range []byte(text) {
		if hyphen := i == 4 || i == 7; hyphen != (c == '-') || !hyphen && (c < '0' || c > '9') {
			return false
		}
	}
	return true
}
