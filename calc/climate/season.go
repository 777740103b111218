package climate

import (
	"math"
	"slices"
)

// A Season is one year from winter to winter: from 1 January north of the equator,
// from 1 July south of it. Days count from its first as 0, in a year of 365.
type Season struct {
	Year int // in which it begins
	// LastFrost is the last day of spring whose lowest temperature is at or below a
	// limit, -1 where spring had none; FirstFrost the first such day from midsummer
	// on, 365 where there was none.
	LastFrost, FirstFrost int
	// Growth is from the first six days in a row that are warm to the first six from
	// midsummer on that are not; empty where there are no such.
	GrowthFrom, GrowthTo int
}

// FrostFree is the days between the two frosts.
func (s Season) FrostFree() int { return s.FirstFrost - s.LastFrost - 1 }

// Growth is the days of the growing season.
func (s Season) Growth() int { return s.GrowthTo - s.GrowthFrom }

// midsummer is the day of a season from which autumn is looked for.
const midsummer = 181

// StartOfSeason is the day of the plain year, from 0, on which seasons begin.
func StartOfSeason(south bool) int {
	if south {
		return 181 // 1 July
	}
	return 0
}

// Seasons returns the seasons of records of which nine days in ten have a lowest
// temperature. A day at or below frost degrees has a frost; a day whose mean is
// above warm degrees is one of growth.
//
// Source of the growing season: the index GSL of the joint CCl/WCRP/JCOMM expert team
// on climate change detection and indices, there with 5 degrees. Records that lack
// days go on as if the days before and after met.
func Seasons(records []Record, south bool, frost, warm float64) []Season {
	start := StartOfSeason(south)
	var seasons []Season
	for len(records) > 0 {
		year := seasonOf(records[0], start)
		n := slices.IndexFunc(records, func(r Record) bool { return seasonOf(r, start) != year })
		if n < 0 {
			n = len(records)
		}
		if s, ok := oneSeason(records[:n], start, frost, warm); ok {
			s.Year = year
			seasons = append(seasons, s)
		}
		records = records[n:]
	}
	return seasons
}

func seasonOf(r Record, start int) int {
	if r.plain() < start {
		return r.Year - 1
	}
	return r.Year
}

// spell is the days in a row that begin and end the season of growth.
const spell = 6

func oneSeason(records []Record, start int, frost, warm float64) (s Season, ok bool) {
	s = Season{LastFrost: -1, FirstFrost: 365, GrowthFrom: -1, GrowthTo: -1}
	known, above, below := 0, 0, 0
	for _, r := range records {
		day := (r.plain() - start + 365) % 365
		if !math.IsNaN(r.Low) {
			known++
		}
		if r.Low <= frost && day < midsummer {
			s.LastFrost = day
		}
		if r.Low <= frost && day >= midsummer && s.FirstFrost == 365 {
			s.FirstFrost = day
		}
		switch mean := (r.Low + r.High) / 2; {
		case mean > warm:
			above, below = above+1, 0
		case mean <= warm:
			above, below = 0, below+1
		}
		if above == spell && s.GrowthFrom < 0 {
			s.GrowthFrom = day - spell + 1
		}
		if below >= spell && day-spell+1 >= midsummer && s.GrowthTo < 0 {
			s.GrowthTo = day - spell + 1
		}
	}
	switch {
	case s.GrowthFrom < 0:
		s.GrowthFrom, s.GrowthTo = 0, 0
	case s.GrowthTo < s.GrowthFrom:
		s.GrowthTo = 365
	}
	return s, float64(known) >= enough*365
}

// SpringFrost returns the day of a season by which the last frost of spring is past
// in a share of years: Rank over the seasons' last frosts. After it a frost comes in
// the rest of the years. Where that share of years had no frost at all it is -1.
func SpringFrost(seasons []Season, share float64) float64 {
	return Rank(days(seasons, func(s Season) int { return s.LastFrost }), share)
}

// AutumnFrost returns the day of a season before which the first frost of autumn has
// come in a share of years: a gardener who wants nine years safe in ten asks for a
// tenth. Where fewer years had a frost it is 365.
func AutumnFrost(seasons []Season, share float64) float64 {
	return Rank(days(seasons, func(s Season) int { return s.FirstFrost }), share)
}

func days(seasons []Season, of func(Season) int) []float64 {
	out := make([]float64, len(seasons))
	for i, s := range seasons {
		out[i] = float64(of(s))
	}
	return out
}

// ShareAfter returns the share of values above x.
func ShareAfter(values []float64, x float64) float64 {
	n := 0
	for _, v := range values {
		if v > x {
			n++
		}
	}
	return float64(n) / float64(len(values))
}
