package climate

import (
	"math"
	"testing"
)

// A year that swings between -10 and 30 degrees, coldest on a given plain day; a
// frost as long as the lowest is at 0 or below.
func swing(coldest int) func(year, day int) (float64, float64, float64) {
	return func(year, day int) (float64, float64, float64) {
		mean := 10 - 15*math.Cos(2*math.Pi*float64(day-coldest)/365)
		return 1, mean - 5, mean + 5
	}
}

func TestSeasonsNorth(t *testing.T) {
	// The mean passes 5, and with it the lowest 0, at acos(1/3) of the swing: 71.4
	// days from the coldest day, 20; it is above till 71.4 days before the next.
	seasons := Seasons(years(2021, 2024, swing(20)), false, 0, 5)
	if len(seasons) != 4 {
		t.Fatalf("%d seasons, want 4", len(seasons))
	}
	for i, s := range seasons {
		if s.Year != 2021+i || s.LastFrost != 91 || s.FirstFrost != 314 || s.FrostFree() != 222 {
			t.Errorf("season %+v, want frosts on days 91 and 314", s)
		}
		if s.GrowthFrom != 92 || s.GrowthTo != 314 || s.Growth() != 222 {
			t.Errorf("season %+v, want growth from day 92 to 314", s)
		}
	}
}

// South of the equator the same weather half a year on gives the same seasons.
func TestSeasonsSouth(t *testing.T) {
	seasons := Seasons(years(2020, 2024, swing(20+181)), true, 0, 5)
	// The first and last half years are no whole seasons.
	if len(seasons) != 4 {
		t.Fatalf("%d seasons, want 4", len(seasons))
	}
	for i, s := range seasons {
		if s.Year != 2020+i || s.LastFrost != 91 || s.FirstFrost != 314 || s.GrowthFrom != 92 || s.GrowthTo != 314 {
			t.Errorf("season %+v, want frosts on days 91 and 314", s)
		}
	}
	if StartOfSeason(true) != DayOf(2025, 7, 1)-1 || StartOfSeason(false) != 0 {
		t.Error("seasons begin on 1 July in the south, on 1 January in the north")
	}
}

func TestFrostlessYears(t *testing.T) {
	mild := years(2021, 2021, func(int, int) (float64, float64, float64) { return 0, 8, 14 })
	s := Seasons(mild, false, 0, 5)[0]
	if s.LastFrost != -1 || s.FirstFrost != 365 || s.FrostFree() != 365 || s.GrowthFrom != 0 || s.GrowthTo != 365 {
		t.Errorf("a year without frost is %+v", s)
	}
	cold := years(2021, 2021, func(int, int) (float64, float64, float64) { return 0, -8, 4 })
	s = Seasons(cold, false, 0, 5)[0]
	if s.Growth() != 0 || s.LastFrost != 180 || s.FirstFrost != 181 || s.FrostFree() != 0 {
		t.Errorf("a year of frost is %+v", s)
	}
	// At the very degree of frost there is one; at the very degree of warmth no growth.
	edge := years(2021, 2021, func(int, int) (float64, float64, float64) { return 0, 0, 10 })
	s = Seasons(edge, false, 0, 5)[0]
	if s.Growth() != 0 || s.LastFrost != 180 {
		t.Errorf("a year at the limits is %+v", s)
	}
}

func TestSpells(t *testing.T) {
	// Five warm days don't begin a season, six do; five cold days don't end it.
	weather := func(year, day int) (float64, float64, float64) {
		warm := day >= 50 && day < 55 || day >= 80 && !(day >= 200 && day < 205) && day < 300
		if warm {
			return 0, 8, 12
		}
		return 0, 1, 5
	}
	s := Seasons(years(2021, 2021, weather), false, 0, 5)[0]
	if s.GrowthFrom != 80 || s.GrowthTo != 300 {
		t.Errorf("growth from %d to %d, want 80 to 300", s.GrowthFrom, s.GrowthTo)
	}
	// A cold spell that begins before midsummer does not end the season.
	early := func(year, day int) (float64, float64, float64) {
		if day >= 80 && day < 170 || day >= 190 && day < 250 {
			return 0, 8, 12
		}
		return 0, 1, 5
	}
	s = Seasons(years(2021, 2021, early), false, 0, 5)[0]
	if s.GrowthTo != 181 {
		t.Errorf("growth ends on %d, want midsummer, when six cold days lie behind it", s.GrowthTo)
	}
}

func TestGapsInSeasons(t *testing.T) {
	records := years(2021, 2022, swing(20))
	for i := range records {
		if records[i].Year == 2021 && records[i].Day <= 36 {
			records[i].Low = math.NaN() // 329 of 365 are enough
		}
	}
	if s := Seasons(records, false, 0, 5); len(s) != 2 || s[0].LastFrost != 91 {
		t.Errorf("with 36 days unknown: %+v", s)
	}
	records[36].Low = math.NaN()
	if s := Seasons(records, false, 0, 5); len(s) != 1 || s[0].Year != 2022 {
		t.Errorf("with 37 days unknown: %+v", s)
	}
	if s := Seasons(nil, true, 0, 5); len(s) != 0 {
		t.Errorf("no records have the seasons %+v", s)
	}
}

func TestFrostByProbability(t *testing.T) {
	var seasons []Season
	for _, day := range frosts {
		seasons = append(seasons, Season{LastFrost: int(day), FirstFrost: 400 - int(day)})
	}
	near(t, "past in nine years of ten", SpringFrost(seasons, 0.9), 130.9, 0.05)
	near(t, "past in one year of ten", SpringFrost(seasons, 0.1), 112.2, 0.05)
	near(t, "come in one year of ten", AutumnFrost(seasons, 0.1), 400-130.9, 0.05)
	// In spring the later date has the smaller chance of a frost after it, as the
	// seed company's page on station data says.
	if SpringFrost(seasons, 0.9) <= SpringFrost(seasons, 0.5) {
		t.Error("the safer date of spring is not the later one")
	}
	none(t, "too few years", SpringFrost(seasons[:8], 0.9))
}
