package quantity

import (
	"fmt"
	"math"
)

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
// 0), in a year of 365 days. It fails if the month has no such day.
func Date(dayOfMonth float64, month int) (float64, error) {
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
