package place

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rickyard/calc/climate"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

func units(t testing.TB) *quantity.System {
	t.Helper()
	s, err := quantity.NewSystem("GBP", nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// told are errors as a farmer sees them, each on a line.
func told(errs []*source.Error) string {
	var lines []string
	for _, e := range errs {
		lines = append(lines, e.Error())
	}
	return strings.Join(lines, "\n")
}

func TestWeather(t *testing.T) {
	text := "\ufeffDate, tmax ,\"rain\",tmin,note\r\n2024-02-28,7.5,3.2,-1.5,windy\r\n\r\n2024-02-29, 8 ,,0.4\r\n2024-03-01,9,0,1,"
	records, errs := Weather(source.New("weather/a.csv", text), Usual(units(t)))
	if len(errs) > 0 {
		t.Fatal(told(errs))
	}
	want := []climate.Record{{Year: 2024, Day: 59, Rain: 3.2, Low: -1.5, High: 7.5}, {Year: 2024, Day: 60, Rain: math.NaN(), Low: 0.4, High: 8}, {Year: 2024, Day: 61, Rain: 0, Low: 1, High: 9}}
	if len(records) != len(want) {
		t.Fatalf("records %v", records)
	}
	same := func(a, b float64) bool { return math.Abs(a-b) < 1e-9 || math.IsNaN(a) && math.IsNaN(b) }
	for i, w := range want {
		if r := records[i]; r.Year != w.Year || r.Day != w.Day || !same(r.Rain, w.Rain) || !same(r.Low, w.Low) || !same(r.High, w.High) {
			t.Errorf("record %d is %v, want %v", i, r, w)
		}
	}
}

func TestWeatherInOtherUnits(t *testing.T) {
	u := units(t)
	columns := Columns{"Day", Column{"Precip", u.Must("in")}, Column{"Lo", u.Must("degF")}, Column{"Hi", u.Must("degF")}}
	records, errs := Weather(source.New("a.csv", "Day,Precip,Lo,Hi\n2024-01-01,1,32,212\n"), columns)
	if len(errs) != 1 || !strings.Contains(told(errs), "check the unit") {
		t.Error(told(errs)) // boiling water is no weather
	}
	if r := records[0]; math.Abs(r.Rain-25.4) > 1e-9 || math.Abs(r.Low) > 1e-9 || math.Abs(r.High-100) > 1e-9 {
		t.Errorf("record %v", r)
	}
	// A farm may have rain alone.
	records, errs = Weather(source.New("a.csv", "Day,Precip\n2024-01-01,1\n"), Columns{Date: "Day", Rain: Column{"Precip", u.Must("in")}})
	if len(errs) > 0 || len(records) != 1 || !math.IsNaN(records[0].Low) {
		t.Error(records, told(errs))
	}
}

func TestWeatherMistakes(t *testing.T) {
	const head = "date,rain,tmin,tmax\n"
	for text, want := range map[string]string{
		"":                                          "a.csv:1:1: the file has no heading; expected date,rain,tmin,tmax",
		"\n ":                                       "a.csv:1:1: the file has no heading; expected date,rain,tmin,tmax",
		"date;rain;tmin;tmax\n":                     "a.csv:1:1: the columns are parted by semicolons; expected commas, and numbers with a decimal point; save the file as CSV with commas",
		"date,rian,tmin,tmax\n":                     "a.csv:1:1: there is no column rain; is it rian? Name the columns in climate.yaml",
		"x,rain,tmin,tmax\n":                        "a.csv:1:1: there is no column date; name the columns of this file in climate.yaml",
		"date,rain,rain,tmin,tmax":                  "a.csv:1:11: there are two columns rain",
		head + "1.2.2024,1,2,3":                     `a.csv:2:1: "1.2.2024" is not a date; expected one such as 2024-05-31`,
		head + "2023-02-29,1,2,3":                   `a.csv:2:1: "2023-02-29" is not a date; expected one such as 2024-05-31`,
		head + "2023/02/28,1,2,3":                   `a.csv:2:1: "2023/02/28" is not a date; expected one such as 2024-05-31`,
		head + "20x3-02-28,1,2,3":                   `a.csv:2:1: "20x3-02-28" is not a date; expected one such as 2024-05-31`,
		head + "2023-02-28,1,2,x3":                  `a.csv:2:16: "x3" is not a number; expected one such as 3.2, or an empty cell where nothing was measured`,
		head + "2023-02-28,1,NaN,3":                 `a.csv:2:14: "NaN" is not a number; expected one such as 3.2, or an empty cell where nothing was measured`,
		head + "2023-02-28,1,2,3\n2023-02-28,1,2,3": "a.csv:3:1: 2023-02-28 is not later than the day before it; expected one row a day, oldest first",
		head + "2023-02-28,1,12,3":                  "a.csv:2:1: on 2023-02-28 the lowest temperature, 12, is above the highest, 3; perhaps the two columns are named the wrong way round",
		head + "2023-02-28,1,-99.9,3":               "a.csv:2:1: on 2023-02-28 a temperature of -99.9 to 3 °C can't be: none was ever measured beyond -89.2 and 56.7; check the unit of the columns; leave a cell empty where nothing was measured",
		head + "2023-02-28,-1,2,3":                  "a.csv:2:1: on 2023-02-28 rain of -1 mm can't be: at most 1,825 ever fell in a day; check the unit of the column; leave a cell empty where nothing was measured",
		head + "2023-02-28,1,2,3\n2023-03-03,1,2,3\n2023-03-05,1,2,3": "a.csv:3:1: 3 days are missing in 2 places, the first before 2023-03-03",
	} {
		_, errs := Weather(source.New("a.csv", text), Usual(units(t)))
		if got := told(errs); got != want {
			t.Errorf("%q\n got %s\nwant %s", text, got, want)
		}
	}
	_, errs := Weather(source.New("a.csv", head+strings.Repeat("x,1,2,3\n", 100)), Usual(units(t)))
	if len(errs) != mostErrors {
		t.Errorf("%d mistakes are told, want %d", len(errs), mostErrors)
	}
	_, errs = Weather(source.New("a.csv", head+"2023-02-28,1,2,3\n2023-03-03,1,2,3\n"), Usual(units(t)))
	if len(errs) != 1 || errs[0].Weight != source.Warning {
		t.Error("missing days are no warning")
	}
}

func BenchmarkTenYears(b *testing.B) {
	var text strings.Builder
	text.WriteString("date,rain,tmin,tmax\n")
	for year := 2015; year < 2025; year++ {
		for month := 1; month <= 12; month++ {
			for day := 1; climate.DayOf(year, month, day) > 0; day++ {
				fmt.Fprintf(&text, "%d-%02d-%02d,%d.5,4.1,12.3\n", year, month, day, day%7)
			}
		}
	}
	f, columns := source.New("a.csv", text.String()), Usual(units(b))
	b.ReportAllocs()
	for b.Loop() {
		if records, errs := Weather(f, columns); len(records) != 3653 || len(errs) > 0 {
			b.Fatal(len(records), told(errs))
		}
	}
}
