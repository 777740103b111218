package climate

import (
	"math"
	"testing"
)

// years makes records of whole years by a formula of the plain day from 0.
func years(first, last int, of func(year, day int) (rain, low, high float64)) []Record {
	var records []Record
	for y := first; y <= last; y++ {
		for d := 1; d <= YearDays(y); d++ {
			r := Record{Year: y, Day: d}
			r.Rain, r.Low, r.High = of(y, r.plain())
			records = append(records, r)
		}
	}
	return records
}

func TestDays(t *testing.T) {
	// Calendar: FAO-56 counts 6 July as 187; in a leap year it is 188.
	for _, c := range [][4]int{{2025, 4, 15, 105}, {2025, 5, 15, 135}, {2025, 7, 6, 187}, {2025, 9, 3, 246}, {2024, 7, 6, 188}, {2024, 2, 29, 60},
		{2025, 2, 29, 0}, {1900, 2, 29, 0}, {2000, 2, 29, 60}, {2024, 12, 31, 366}, {2025, 12, 31, 365},
		{2025, 13, 1, 0}, {2025, 0, 1, 0}, {2025, 4, 31, 0}, {2025, 4, 0, 0}, {2025, 1, 1, 1}, {2025, 12, 32, 0}} {
		if got := DayOf(c[0], c[1], c[2]); got != c[3] {
			t.Errorf("%d-%d-%d is day %d, want %d", c[0], c[1], c[2], got, c[3])
		}
	}
	for m, day := range MidMonth {
		if want := DayOf(2025, m+1, 15); day != float64(want) {
			t.Errorf("month %d is stood for by day %v, want %d", m+1, day, want)
		}
	}
	for _, c := range [][3]int{{2025, 1, 0}, {2025, 31, 0}, {2025, 32, 1}, {2024, 60, 1}, {2025, 60, 2}, {2024, 61, 2}, {2025, 365, 11}, {2024, 366, 11}} {
		if got := month(c[0], c[1]); got != c[2] {
			t.Errorf("day %d of %d lies in month %d, want %d", c[1], c[0], got, c[2])
		}
	}
	for m, day := range MidMonth {
		if want := DayOf(2025, m+1, 15); day != float64(want) {
			t.Errorf("month %d is stood for by day %v, want %d", m+1, day, want)
		}
	}
	for _, c := range [][3]int{{2025, 1, 0}, {2024, 59, 58}, {2024, 60, 58}, {2024, 61, 59}, {2025, 60, 59}, {2024, 366, 364}, {2025, 365, 364}} {
		if got := (Record{Year: c[0], Day: c[1]}).plain(); got != c[2] {
			t.Errorf("day %d of %d is plain day %d, want %d", c[1], c[0], got, c[2])
		}
	}
}

func TestCheck(t *testing.T) {
	good := years(2023, 2024, func(int, int) (float64, float64, float64) { return 2, 5, 15 })
	if faults := Check(good); len(faults) != 0 {
		t.Errorf("good records have %v", faults)
	}
	set := func(i int, r Record) { good[i] = r }
	set(10, Record{2023, 11, -0.1, 5, 15})
	set(11, Record{2023, 12, 1825.1, 5, 15})
	set(12, Record{2023, 13, 1825, 15, 14.9})
	set(13, Record{2023, 14, 2, -89.3, 0})
	set(14, Record{2023, 15, 2, 0, 56.8})
	set(15, Record{2023, 16, math.NaN(), math.NaN(), math.NaN()})
	set(16, Record{2023, 16, 0, -89.2, 56.7}) // again the 16th, then two days on
	set(20, Record{2023, 366, 0, 5, 15})
	want := []Fault{{10, Downpour, 0}, {11, Downpour, 0}, {12, Crossed, 0}, {13, Heat, 0}, {14, Heat, 0}, {16, Order, 0}, {17, Gap, 1}, {20, Order, 0}, {21, Order, 0}}
	faults := Check(good)
	if len(faults) != len(want) {
		t.Fatalf("faults %v, want %v", faults, want)
	}
	for i := range want {
		if faults[i] != want[i] {
			t.Errorf("fault %v, want %v", faults[i], want[i])
		}
	}
	over := []Record{{2023, 360, 0, 1, 2}, {2025, 3, 0, 1, 2}, {2023, 361, 0, 1, 2}, {2023, 0, 0, 1, 2}}
	faults = Check(over)
	// 5 days are left in 2023, all of 2024, 2 in 2025.
	if len(faults) != 3 || faults[0] != (Fault{1, Gap, 5 + 366 + 2}) || faults[1].Kind != Order || faults[2].Kind != Order {
		t.Errorf("faults over the years: %v", faults)
	}
}

func TestNormals(t *testing.T) {
	records := years(2021, 2024, func(year, day int) (float64, float64, float64) {
		return float64(year - 2020), float64(day), float64(day) + 10
	})
	n := NormalsOf(records)
	near(t, "January's rain", n.Rain[0], 31*2.5, 1e-9)
	near(t, "January's lows", n.Low[0], 15, 1e-9)
	near(t, "January's highs", n.High[0], 25, 1e-9)
	near(t, "December's rain", n.Rain[11], 31*2.5, 1e-9)
	near(t, "February's rain", n.Rain[1], 28*2.5, 1e-9)
	if n.Years[5] != 4 {
		t.Errorf("June is the mean of %d years", n.Years[5])
	}
	// A June with three of thirty days missing counts, with four it doesn't.
	for i := range records {
		if r := &records[i]; r.Year == 2024 && month(r.Year, r.Day) == 5 && r.plain() < 151+3 {
			r.Rain = math.NaN()
		}
	}
	if n := NormalsOf(records); n.Years[5] != 4 || math.Abs(n.Rain[5]-75) > 1e-9 {
		t.Errorf("with three days missing June has %v mm of %d years", n.Rain[5], n.Years[5])
	}
	for i := range records {
		if r := &records[i]; r.Year == 2024 && r.plain() == 154 {
			r.Rain = math.NaN()
		}
	}
	if n := NormalsOf(records); n.Years[5] != 3 || math.Abs(n.Rain[5]-60) > 1e-9 {
		t.Errorf("with four days missing June has %v mm of %d years", n.Rain[5], n.Years[5])
	}
	rain := YearRain(records)
	if len(rain) != 4 {
		t.Fatalf("years of rain: %v", rain)
	}
	for i, mm := range []float64{365, 730, 1095, 1460} {
		near(t, "a year's rain", rain[i], mm, 1e-9)
	}
	if n := NormalsOf(nil); !math.IsNaN(n.Rain[0]) || n.Years[0] != 0 {
		t.Errorf("no records have the normals %v", n)
	}
	if rain := YearRain(records[:200]); len(rain) != 0 {
		t.Errorf("half a year has the rain %v", rain)
	}
}

func BenchmarkTenYears(b *testing.B) {
	records := years(2015, 2024, func(_, day int) (float64, float64, float64) {
		warm := 10 - 9*math.Cos(2*math.Pi*float64(day-20)/365)
		return float64(day % 7), warm - 5, warm + 5
	})
	b.ReportAllocs()
	for b.Loop() {
		faults := Check(records)
		normals := NormalsOf(records)
		seasons := Seasons(records, false, 0, 5)
		sum := Rank(YearRain(records), 0.2) + SpringFrost(seasons, 0.9)
		for i := 1; i+1 < len(records); i++ {
			r := records[i]
			sum += SineDegrees(r.Low, r.High, 10, 30)
			for _, x := range Hours(r.Low, r.High, records[i+1].Low, records[i-1].High, DayLength(52, float64(r.Day), Flat)) {
				sum += UtahUnit(x)
			}
			sum += Hargreaves(r.Low, r.High, Radiation(52, float64(r.Day)))
		}
		if len(faults) > 0 || math.IsNaN(sum+normals.Rain[0]) {
			b.Fatal(sum, faults)
		}
	}
}
