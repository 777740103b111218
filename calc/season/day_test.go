package season

import (
	"fmt"
	"testing"
)

func on(t *testing.T, date string) Day {
	t.Helper()
	var y, m, n int
	if _, err := fmt.Sscanf(date, "%d-%d-%d", &y, &m, &n); err != nil {
		t.Fatal(err)
	}
	d, err := On(y, m, n)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The rule of ISO 8601: a week belongs to the year of its Thursday.
func TestWeeks(t *testing.T) {
	for date, want := range map[string]string{
		"2024-12-30": "2025-W01-1", "2025-12-29": "2026-W01-1", "2027-01-01": "2026-W53-5",
		"2028-01-01": "2027-W52-6", "2020-12-31": "2020-W53-4", "2032-12-31": "2032-W53-5",
		"2027-01-03": "2026-W53-7", "2025-05-14": "2025-W20-3", "2028-02-28": "2028-W09-1",
		"1969-12-31": "1970-W01-3", "1960-02-29": "1960-W09-1",
	} {
		w, weekday := on(t, date).Week()
		if got := fmt.Sprintf("%v-%d", w, weekday); got != want {
			t.Errorf("%s lies in %s, want %s", date, got, want)
		}
		back, err := w.Day(weekday)
		if err != nil || back.String() != date {
			t.Errorf("%s is %v, %v; want %s", want, back, err, date)
		}
	}
	for _, w := range []Week{{2025, 53}, {2025, 0}, {2026, 54}} {
		if d, err := w.Day(1); err == nil {
			t.Errorf("%v is said to begin on %v", w, d)
		}
	}
	if _, err := (Week{2026, 53}).Day(1); err != nil {
		t.Error(err)
	}
	for _, weekday := range []int{0, 8} {
		if _, err := (Week{2026, 5}).Day(weekday); err == nil {
			t.Errorf("a week is said to have a day %d", weekday)
		}
	}
	// Sown in week 50 of 2026, which has 53, and picked nine weeks on.
	sown, _ := Week{2026, 50}.Day(1)
	if picked, _ := (sown + 9*7).Week(); picked != (Week{2027, 6}) {
		t.Errorf("nine weeks after 2026-W50 is %v", picked)
	}
}

func TestNoSuchDay(t *testing.T) {
	for _, d := range [][3]int{{2025, 2, 29}, {2026, 13, 1}, {2026, 4, 31}, {2026, 0, 1}, {2026, 1, 0}} {
		if got, err := On(d[0], d[1], d[2]); err == nil {
			t.Errorf("%v is said to be %v", d, got)
		}
	}
	if y, m, d := on(t, "2028-02-29").Date(); y != 2028 || m != 2 || d != 29 {
		t.Errorf("the leap day reads as %d %d %d", y, m, d)
	}
}

// Western and Eastern Easter: a public listing of calendars, and dateutil; the
// limits of the Western date are in every almanac.
func TestEaster(t *testing.T) {
	for year, want := range map[int][4]int{
		2020: {4, 12, 4, 19}, 2021: {4, 4, 5, 2}, 2022: {4, 17, 4, 24}, 2023: {4, 9, 4, 16},
		2024: {3, 31, 5, 5}, 2025: {4, 20, 4, 20}, 2026: {4, 5, 4, 12}, 2027: {3, 28, 5, 2},
	} {
		m, d := Easter(year)
		em, ed := EasternEaster(year)
		if got := [4]int{m, d, em, ed}; got != want {
			t.Errorf("%d: %v, want %v", year, got, want)
		}
	}
	// 1954 and 1981 are the two exceptions of Gauss's rule in the last century.
	for year, want := range map[int][2]int{1818: {3, 22}, 2008: {3, 23}, 1943: {4, 25}, 2038: {4, 25}, 1954: {4, 18}, 1981: {4, 19}} {
		if m, d := Easter(year); m != want[0] || d != want[1] {
			t.Errorf("%d: %d/%d, want %v", year, d, m, want)
		}
	}
}
