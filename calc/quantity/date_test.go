package quantity

import (
	"math"
	"testing"

	"golang.org/x/text/language"
)

// TestCalendar holds dates against days that are published: the Julian day
// numbers of Meeus, Astronomical Algorithms, chapter 7 (2440587.5 is 1970-01-01),
// and the rule of leap years in ISO 8601.
func TestCalendar(t *testing.T) {
	for _, c := range []struct {
		year, month, day int
		julian           float64
	}{
		{2000, 1, 1, 2451544.5}, {1999, 1, 1, 2451179.5}, {1987, 1, 27, 2446822.5}, {1987, 6, 19, 2446965.5},
		{1988, 1, 27, 2447187.5}, {1900, 1, 1, 2415020.5}, {1600, 1, 1, 2305447.5}, {1600, 12, 31, 2305812.5}, {1970, 1, 1, 2440587.5},
	} {
		days, err := CalendarDate(c.year, c.month, c.day)
		if err != nil || days != c.julian-2440587.5 {
			t.Errorf("%d-%d-%d is day %v, want %v (%v)", c.year, c.month, c.day, days, c.julian-2440587.5, err)
		}
		for _, part := range []float64{0, 0.5, 0.999, -1e-10} {
			if y, m, d, ok := Calendar(days + part); !ok || y != c.year || m != c.month || d != c.day {
				t.Errorf("day %v is %d-%d-%d", days+part, y, m, d)
			}
		}
	}
	for _, c := range [][3]int{{2027, 2, 29}, {1900, 2, 29}, {2100, 2, 29}, {2027, 4, 31}, {2027, 0, 1}, {2027, 13, 1}, {2027, 1, 0}, {0, 12, 31}, {10000, 1, 1}, {-4, 1, 1}} {
		if days, err := CalendarDate(c[0], c[1], c[2]); err == nil {
			t.Errorf("%v is day %v", c, days)
		}
	}
	for _, c := range [][3]int{{2000, 2, 29}, {2028, 2, 29}, {1, 1, 1}, {9999, 12, 31}} {
		if _, err := CalendarDate(c[0], c[1], c[2]); err != nil {
			t.Errorf("%v: %v", c, err)
		}
	}
	for _, days := range []float64{math.NaN(), math.Inf(1), -math.MaxFloat64, 3e6, -3e6} {
		if _, _, _, ok := Calendar(days); ok {
			t.Errorf("day %v is in the calendar", days)
		}
	}
}

// TestMoveMonths: the examples of W3C, XML Schema Part 2, appendix E, and the
// ends of months.
func TestMoveMonths(t *testing.T) {
	for _, c := range []struct {
		from   string
		months int
		want   string
	}{
		{"2000-01-12", 17, "2001-06-12"}, {"2000-01-31", 1, "2000-02-29"}, {"2001-01-31", 1, "2001-02-28"}, {"2000-01-12", 1, "2000-02-12"},
		{"2027-03-31", -1, "2027-02-28"}, {"2028-03-31", -1, "2028-02-29"}, {"2028-02-29", 12, "2029-02-28"}, {"2028-02-29", 48, "2032-02-29"},
		{"2027-12-15", 1, "2028-01-15"}, {"2027-01-15", -1, "2026-12-15"}, {"2027-08-31", 1, "2027-09-30"}, {"2027-05-05", 0, "2027-05-05"}, {"2027-01-15", -13, "2025-12-15"},
	} {
		from, _ := ParseCalendar(c.from)
		want, err := ParseCalendar(c.want)
		if err != nil {
			t.Fatal(err)
		}
		if got := MoveMonths(from.Value/day, c.months); got != want.Value/day {
			t.Errorf("%s and %d months is day %v, want %v", c.from, c.months, got, want.Value/day)
		}
		if got := MoveMonths(from.Value/day+0.25, c.months); got != want.Value/day+0.25 {
			t.Errorf("%s at six and %d months is day %v", c.from, c.months, got)
		}
	}
	last, _ := CalendarDate(9999, 12, 31)
	first, _ := CalendarDate(1, 1, 1)
	for name, got := range map[string]float64{
		"after the last": MoveMonths(last, 1), "before the first": MoveMonths(first, -1),
		"far": MoveMonths(0, math.MaxInt), "far back": MoveMonths(0, math.MinInt), "nowhere": MoveMonths(math.NaN(), 1),
	} {
		if !math.IsNaN(got) {
			t.Errorf("%s is day %v", name, got)
		}
	}
	for _, c := range []struct {
		from   float64
		months int
		want   float64
	}{{30, 1, 58}, {58, 1, 58 + 28}, {0, 12, 365}, {0, -1, 334 - 365}, {334, 1, 365}, {364, 2, 365 + 58}, {400, -2, 365 - 31 + 4}, {0.5, 1, 31.5}, {-1, 1, 30}} {
		if got := MoveMonthsInYear(c.from, c.months); got != c.want {
			t.Errorf("day %v of the year and %d months is %v, want %v", c.from, c.months, got, c.want)
		}
	}
}

func TestDatesAreReadAndShown(t *testing.T) {
	s, err := NewSystem("GBP", nil)
	if err != nil {
		t.Fatal(err)
	}
	style := NewStyle(s, language.BritishEnglish)
	for text, want := range map[string]string{"2027-03-14": "14\u00a0Mar 2027", " 2028-02-29 ": "29\u00a0Feb 2028", "0001-01-01": "1\u00a0Jan 1", "29 Feb": "28\u00a0Feb"} {
		q, err := s.Parse(text)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if got := style.Text(q.Value, q.Unit, 0); got != want || q.Step != 1 {
			t.Errorf("%s is %q by %v", text, got, q.Step)
		}
	}
	for text, want := range map[string]string{
		"2027-02-29": "there is no day 2027-02-29", "2027-00-10": "there is no day 2027-00-10",
	} {
		if _, err := s.Parse(text); err == nil || err.Error() != want {
			t.Errorf("%s: %v", text, err)
		}
	}
	for _, text := range []string{"2027-3-14", "2027-03-1x", "2027/03/14", "27-03-14", "2027-03-141", "x027-03-14", "2027-03:14", "2027:03-14"} {
		if CalendarForm(text) {
			t.Errorf("%q has the form of a date", text)
		}
		if _, err := ParseCalendar(text); err == nil {
			t.Errorf("%q is a date", text)
		}
	}
	if got := style.Text(math.NaN(), CalendarDays, 0); got != "–" {
		t.Errorf("no date is %q", got)
	}
	if got := style.Text(1e15, CalendarDays, 0); got != "–" {
		t.Errorf("a date out of the calendar is %q", got)
	}
}

// TestWhatEqualsLeave: what a subtraction of equals leaves is nought.
func TestWhatEqualsLeave(t *testing.T) {
	s, err := NewSystem("GBP", nil)
	if err != nil {
		t.Fatal(err)
	}
	style := NewStyle(s, language.BritishEnglish)
	for _, c := range []struct {
		x    float64
		unit string
		want string
	}{
		{-5.7e-14, "K", "0\u00a0K"}, {2e-9, "K", "2\u00a0×\u00a010⁻⁹\u00a0K"}, {273.15 + 1e-13, "degC", "0\u00a0°C"}, {255.372222222222 - 1e-13, "degF", "0\u00a0°F"},
		{-1e-9, "GBP", "£0"}, {-5.7e-14, "kg", "−5.7\u00a0×\u00a010⁻¹⁴\u00a0kg"},
	} {
		if got := style.Text(c.x, s.Must(c.unit), 0); got != c.want {
			t.Errorf("%v %s is %q, want %q", c.x, c.unit, got, c.want)
		}
	}
	if got := style.Figures(-5.7e-14, s.Must("K"), 0); got != "0" {
		t.Errorf("-5.7e-14 K is %q", got)
	}
	if got := style.Step(-5.7e-14, s.Must("K")); got != 1 {
		t.Errorf("-5.7e-14 K is shown to %v", got)
	}
}
