package quantity

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

// Whatever reads as a quantity is finite, prints fit for a page, and reads
// back as the same from its number and unit, and from its own text.
func FuzzParse(f *testing.F) {
	for _, text := range []string{
		"0.52 GBP/kg", "6 %", "12,000", "-3 degC", "−3 °C", "1.5e3 kg", "6 Apr", "31 Feb", "4 m²/bird/day", "1 1/year", "3 /year", "7 W·h",
		"1e308 t", "0e999", "1e-400 kg", "5_kg", "1,5", "12 dozen", "2 crate", "-0", ".5", "5 GBP/GBP", "5 mg9·mg9", "1 date2/date", "5 %2", "5 1·kg", "5 m\u00b2\u00b2",
	} {
		f.Add(text)
	}
	s := system(f, "GBP", Thing{Name: "bird"}, Thing{Name: "egg"}, Thing{Name: "crate", Pack: "360 egg"}, Thing{Name: "dozen", Pack: "12", Plural: "dozen"})
	style := NewStyle(s, english)
	f.Fuzz(func(t *testing.T, text string) {
		q, err := s.Parse(text)
		if err != nil {
			if err.Error() == "" || len(err.Error()) > 600 {
				t.Errorf("Parse(%q) fails with %q", text, err)
			}
			return
		}
		if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) || !(q.Step >= 0) || math.IsInf(q.Step, 0) {
			t.Fatalf("Parse(%q) = %v by %v", text, q.Value, q.Step)
		}
		value := q.Unit.FromBase(q.Value)
		near := func(x, tolerance float64) bool {
			return math.Abs(x-q.Value) <= tolerance+1e-12*math.Abs(q.Value)+1e-12*math.Abs(q.Unit.Offset)
		}
		for _, step := range []float64{0, q.Step, 0.01} {
			shown := style.Text(q.Value, q.Unit, step)
			if shown == "" || strings.Contains(shown, "NaN") || strings.HasPrefix(shown, "-") || strings.HasPrefix(shown, "−0\u00a0") {
				t.Errorf("%q prints as %q", text, shown)
			}
		}
		if q.Unit.IsDate() {
			// Days beyond the year count on into the next.
			again, err := s.Parse(style.Text(q.Value, q.Unit, 0))
			month, dayOfMonth := MonthDay(value)
			if m, d := MonthDay(again.Unit.FromBase(again.Value)); err != nil || m != month || d != dayOfMonth {
				t.Errorf("the date %q reads back as %v, %v", text, again.Value, err)
			}
			return
		}
		full := strconv.FormatFloat(value, 'g', -1, 64) + " " + q.Unit.String()
		again, err := s.Parse(full)
		if math.Abs(value) > 1e-290 && math.Abs(value) < 1e290 || value == 0 {
			if err != nil || !near(again.Value, 0) || again.Unit.Dimension != q.Unit.Dimension {
				t.Errorf("%q prints as %q, which reads back as %v %v, %v", text, full, again.Value, again.Unit, err)
			}
		}
		if _, _, money := style.money(q.Unit); money || math.Abs(value) >= largest || q.Step < 1e-9 {
			return
		}
		for _, p := range q.Unit.Parts {
			if _, known := s.named(style.Unit(Of(p.Unit), true)); !known || p.Power > 9 || p.Power < -9 {
				return // US gal and its like are shown in words
			}
		}
		shown := style.Text(q.Value, q.Unit, q.Step)
		if again, err = s.Parse(strings.Replace(shown, " per ", " 1/", 1)); err != nil || !near(again.Value, q.Unit.scale()*q.Step*0.51) {
			t.Errorf("%q prints as %q, which reads back as %v, %v", text, shown, again.Value, err)
		}
	})
}

// Whatever reads as a unit prints as the same unit, and its products keep
// their dimension.
func FuzzParseUnit(f *testing.F) {
	for _, text := range []string{"kg", "GBP/kg", "m2/bird/day", "W·h", "1/year", "/day", "kg·", "·", "/", "m^2", "m²", "h/day", "GBP/GBP", "%/year", "date", "date/year", "mg9·mg9·mg9", "degC·day", "", " kg / m2 ", "1/1", "°C", "11/kg"} {
		f.Add(text)
	}
	s := system(f, "GBP", Thing{Name: "bird"}, Thing{Name: "egg"}, Thing{Name: "crate", Pack: "360 egg"})
	others := []Unit{{}, s.Must("kg"), s.Must("m2/bird/day"), s.Must("h/day"), s.Must("%"), s.Must("date"), s.Must("GBP/kWh")}
	f.Fuzz(func(t *testing.T, text string) {
		u, err := s.ParseUnit(text)
		if err != nil {
			if err.Error() == "" || len(err.Error()) > 600 {
				t.Errorf("ParseUnit(%q) fails with %q", text, err)
			}
			return
		}
		if again, err := s.ParseUnit(u.String()); err != nil || again.Dimension != u.Dimension || math.Abs(again.scale()/u.scale()-1) > 1e-12 {
			t.Errorf("%q prints as %q, which reads back as %v, %v", text, u, again, err)
		}
		for _, v := range others {
			if got, want := u.Times(v).Dimension, u.Dimension.Mul(v.Dimension); got != want {
				t.Errorf("%q × %q has the dimension %q, want %q", text, v, got, want)
			}
			if got, want := u.Per(v).Dimension, u.Dimension.Div(v.Dimension); got != want {
				t.Errorf("%q ÷ %q has the dimension %q, want %q", text, v, got, want)
			}
		}
	})
}
