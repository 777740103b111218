package enterprise

import (
	"math"
	"strconv"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// TimingDefinitions are the figures of what a budget of one full year does not
// need but a plan over years does: <enterprise>.build_up_1, _2 ... (the scale in
// its first years) and <enterprise>.<line>.lag (a time).
func TimingDefinitions(specs []Spec) []figures.Definition {
	x := &expander{}
	for i := range specs {
		s := &specs[i]
		x.id = s.ID
		for n, formula := range s.BuildUp {
			x.place = formula
			x.own(s.BuildUpFigure(n), say.With("%s, scale in year %s", s.Name, n+1), formula, nil)
		}
		for k := range s.Lines {
			if l := &s.Lines[k]; l.When.Lag.File != nil {
				x.place = l.Place
				x.own(s.ID+"."+l.Name+".lag", say.With("%s, comes after", l.Label), l.When.Lag, &figures.Want{What: "a lag", Dimensions: wantTime})
			}
		}
	}
	return x.definitions
}

// BuildUpFigure names the figure of the scale in a year, counted from 0.
func (s *Spec) BuildUpFigure(year int) string { return s.ID + ".build_up_" + strconv.Itoa(year+1) }

// CycleMonths lays the cycles of one year on a calendar that does not close:
// what runs past the year's end falls into the months after it. The year begins
// on the first of a month (start, from 0 for January); months[margin] is its
// first month. Each cycle's part is spread evenly from day from to day to (the
// same: falls on that day). All times are in seconds, first after 1 January.
// The shares add up to 1, but for what lies outside months.
func CycleMonths(first, every, number, from, to float64, start, margin int, months []float64) {
	for i := range months {
		months[i] = 0
	}
	if !(to >= from && to-from <= longestSpan) || !(number > 0 && number <= mostCycles) || every < 0 || math.IsNaN(first) {
		return
	}
	begin := 0.0
	for _, n := range quantity.MonthDays[:start] {
		begin += float64(n)
	}
	// Days after the year's beginning, with a hair's breadth against noise.
	at := math.Mod(first/daySeconds-begin, 365)
	if at < -1e-9 {
		at += 365
	}
	put := func(days, share float64) {
		if m := margin + monthFrom(days, start); m >= 0 && m < len(months) {
			months[m] += share
		}
	}
	for n := 0; float64(n) < number-1e-9; n++ {
		share := math.Min(1, number-float64(n)) / number
		a := at + float64(n)*every/daySeconds + from/daySeconds
		b := a + (to-from)/daySeconds
		if b-a < 1e-9 {
			put(a, share)
			continue
		}
		for day := a; day < b-1e-9; {
			next := math.Min(b, monthEnd(day, start))
			put(day, share*(next-day)/(b-a))
			day = next
		}
	}
}

// monthFrom returns the month, counted from the one that a year begins in, that
// lies some days after the year's beginning.
func monthFrom(days float64, start int) int {
	years := math.Floor((days + 1e-9) / 365)
	left := days + 1e-9 - float64(365*years)
	m := 0
	for left >= float64(quantity.MonthDays[(start+m)%12]) {
		left -= float64(quantity.MonthDays[(start+m)%12])
		m++
	}
	return 12*int(years) + m
}

// monthEnd returns the day at which the month of a day ends.
func monthEnd(days float64, start int) float64 {
	years := math.Floor((days + 1e-9) / 365)
	end := 365 * years
	for m := 0; end <= days+1e-9; m++ {
		end += float64(quantity.MonthDays[(start+m)%12])
	}
	return end
}
