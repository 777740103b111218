package climate

import (
	"math"

	"rickyard/calc/quantity"
)

// A Record is what was measured on one day. NaN stands for what was not.
type Record struct {
	Year, Day int     // the day of the calendar year, from 1; 31 December is 366 in a leap year
	Rain      float64 // mm
	Low, High float64 // degrees Celsius
}

// Leap reports whether a year has a 29 February.
func Leap(year int) bool { return year%4 == 0 && (year%100 != 0 || year%400 == 0) }

// YearDays is how many days a year has.
func YearDays(year int) int {
	if Leap(year) {
		return 366
	}
	return 365
}

// DayOf returns the day of a year, from 1, of a date; 0 if there is no such date.
// Months count from 1.
func DayOf(year, month, dayOfMonth int) int {
	if month < 1 || month > 12 || dayOfMonth < 1 || dayOfMonth > monthDays(year, month) {
		return 0
	}
	day := dayOfMonth
	for m := 1; m < month; m++ {
		day += monthDays(year, m)
	}
	return day
}

func monthDays(year, month int) int {
	if month == 2 && Leap(year) {
		return 29
	}
	return quantity.MonthDays[month-1]
}

// month is the month of a day of a year, from 0.
func month(year, day int) int {
	m := 0
	for m < 11 && day > monthDays(year, m+1) {
		day -= monthDays(year, m+1)
		m++
	}
	return m
}

// plain is the day from 0 in a year of 365 days; 29 February counts as the 28th.
func (r Record) plain() int {
	if Leap(r.Year) && r.Day >= 60 {
		return r.Day - 2
	}
	return r.Day - 1
}

// A Fault is something about a record that can't be, or that is missing before it.
type Fault struct {
	At      int // the record's place, from 0
	Kind    FaultKind
	Missing int // days, for Gap
}

// A FaultKind says what is wrong.
type FaultKind string

// What can be wrong with a record.
const (
	Gap      FaultKind = "gap"      // days are missing before it
	Order    FaultKind = "order"    // it is no later than the one before, or no day of its year
	Crossed  FaultKind = "crossed"  // the lowest temperature is above the highest
	Heat     FaultKind = "heat"     // a temperature that was never measured on earth
	Downpour FaultKind = "downpour" // rain below nought, or more than ever fell in a day
)

// What was ever measured, by the World Meteorological Organization's archive of
// extremes: Vostok 1983, Furnace Creek 1913, Foc-Foc on Reunion 1966.
const (
	coldest = -89.2
	hottest = 56.7
	wettest = 1825.0
)

// Check returns the faults of records, in their order.
func Check(records []Record) []Fault {
	var faults []Fault
	for i, r := range records {
		fault := func(kind FaultKind) { faults = append(faults, Fault{At: i, Kind: kind}) }
		if r.Day < 1 || r.Day > YearDays(r.Year) {
			fault(Order)
		} else if i > 0 {
			if days := daysBetween(records[i-1], r); days < 1 {
				fault(Order)
			} else if days > 1 {
				faults = append(faults, Fault{i, Gap, days - 1})
			}
		}
		if r.Low > r.High {
			fault(Crossed)
		}
		if r.Low < coldest || r.High > hottest || r.Low > hottest || r.High < coldest {
			fault(Heat)
		}
		if r.Rain < 0 || r.Rain > wettest {
			fault(Downpour)
		}
	}
	return faults
}

func daysBetween(a, b Record) int {
	days := b.Day - a.Day
	for y := a.Year; y < b.Year; y++ {
		days += YearDays(y)
	}
	for y := b.Year; y < a.Year; y++ {
		days -= YearDays(y)
	}
	return days
}

// Normals are the means of the months over all years of which nine days in ten were
// measured in that month.
type Normals struct {
	Rain, Low, High [12]float64 // the month's sum in mm; the mean day's temperatures
	Years           [12]int     // that a month's rain is the mean of
}

// NormalsOf returns the means of the months. A month that no year has enough of is
// NaN. Days without rain measured count as the mean of those with.
func NormalsOf(records []Record) Normals {
	var n Normals
	for m := range 12 {
		rain := monthly(records, m, func(r Record) float64 { return r.Rain })
		n.Rain[m], n.Years[m] = mean(rain)*float64(quantity.MonthDays[m]), len(rain)
		n.Low[m] = mean(monthly(records, m, func(r Record) float64 { return r.Low }))
		n.High[m] = mean(monthly(records, m, func(r Record) float64 { return r.High }))
	}
	return n
}

// monthly returns the mean of something in one month of each year that has enough.
func monthly(records []Record, m int, of func(Record) float64) []float64 {
	return byYear(records, func(r Record) int {
		if month(r.Year, r.Day) != m {
			return math.MinInt
		}
		return r.Year
	}, of, func(year int) int { return monthDays(year, m+1) })
}

// YearRain returns the rain in mm of each year of which nine days in ten were
// measured, the rest counted as the mean of those.
func YearRain(records []Record) []float64 {
	means := byYear(records, func(r Record) int { return r.Year }, func(r Record) float64 { return r.Rain }, YearDays)
	for i := range means {
		means[i] *= 365
	}
	return means
}

// enough is the share of its days that a stretch must have to count.
const enough = 0.9

// byYear returns the mean of something over the records of each key, in the order
// they come, where enough of its days were measured.
func byYear(records []Record, key func(Record) int, of func(Record) float64, days func(int) int) []float64 {
	var means []float64
	at, sum, n := math.MinInt, 0.0, 0
	close := func() {
		if at != math.MinInt && float64(n) >= enough*float64(days(at)) {
			means = append(means, sum/float64(n))
		}
	}
	for _, r := range records {
		k := key(r)
		if k == math.MinInt {
			continue
		}
		if k != at {
			close()
			at, sum, n = k, 0, 0
		}
		if x := of(r); !math.IsNaN(x) {
			sum += x
			n++
		}
	}
	close()
	return means
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, x := range values {
		sum += x
	}
	return sum / float64(len(values))
}
