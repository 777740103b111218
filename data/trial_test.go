package data

import (
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

// Every input of the demo that is written in its data, set to what it is, changes
// nothing, alone or together with all others.
func TestSetToWhatItIs(t *testing.T) {
	files := os.DirFS("..")
	farm, err := Load(files)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for i := range farm.Definitions {
		d := &farm.Definitions[i]
		if d.IsInput() && d.Note != notGiven && d.Series == nil && !strings.HasPrefix(d.Name, "farm.plan.runs.") {
			all = append(all, d.Name+"="+d.Place.Text())
		}
	}
	if len(all) < 500 {
		t.Fatalf("only %d inputs are written", len(all))
	}
	set, settings, err := LoadWith(files, all)
	if err != nil {
		t.Fatal(err)
	}
	if len(settings) != len(all) {
		t.Errorf("%d of %d were set", len(settings), len(all))
	}
	for i := range farm.Definitions {
		was, is := &farm.Definitions[i], &set.Definitions[i]
		if was.Name != is.Name || was.Value.Value != is.Value.Value || was.Place.Text() != is.Place.Text() || !sameEnd(was.Low, is.Low) || !sameEnd(was.High, is.High) {
			t.Errorf("%s is %v, and was %v", is.Name, is.Value.Value, was.Value.Value)
		}
	}
	for _, s := range settings {
		if s.Widened != "" {
			t.Errorf("%s: wider", s)
		}
	}
}

func sameEnd(a, b *float64) bool { return a == b || a != nil && b != nil && *a == *b }

func trialFiles() fstest.MapFS {
	return fstest.MapFS{"data/farm.yaml": {Data: []byte(`name: Home
currency: GBP
frost: {last: "6 May"}
land: {grass: {area: 6 ha, rent: {value: '180 GBP/ha/year', low: 150 GBP/ha/year, high: 200 GBP/ha/year}}}
inputs:
  rain: [1 mm, 2 mm, 3 mm, 4 mm, 5 mm, 6 mm, 7 mm, 8 mm, 9 mm, 10 mm, 11 mm, 12 mm]
  hay: {value: 90 GBP/t, low: 80 GBP/t}
`)}}
}

// Values stand where they are written, whatever is around them.
func TestSettings(t *testing.T) {
	set, settings, err := LoadWith(trialFiles(), []string{
		"farm.hay = 70 GBP/t", "farm.land.grass.rent=1,200.50 GBP/ha/year", "farm.last_frost=28 Apr", "farm.rain=2.5 mm", "farm.land.grass.area=5.25 ha"})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"farm.hay": 0.07, "farm.land.grass.rent": 1200.50 / 1e4 / yearSeconds, "farm.last_frost": 117 * daySeconds, "farm.land.grass.area": 52500}
	for name, x := range want {
		if d := set.definition(name); d == nil || d.Value.Value < x*(1-1e-12) || d.Value.Value > x*(1+1e-12) {
			t.Errorf("%s: %+v, expected %v", name, d, x)
		}
	}
	if d := set.definition("farm.rain"); len(d.Series) != 12 || slices.Max(d.Series) != 0.0025 {
		t.Errorf("rain: %v", d.Series)
	}
	rent, hay := set.definition("farm.land.grass.rent"), set.definition("farm.hay")
	if *rent.High != rent.Value.Value || *rent.Low >= *rent.High || *hay.Low != hay.Value.Value || hay.High != nil {
		t.Errorf("ranges: %v %v", rent, hay)
	}
	var wider []string
	for _, s := range settings {
		wider = append(wider, s.Widened)
	}
	if !slices.Equal(wider, []string{"low", "high", "", "", ""}) {
		t.Errorf("wider: %q", wider)
	}
}

// Which enterprises are run is a list in the data, and a value each in a trial.
func TestSetWhatIsRun(t *testing.T) {
	for _, c := range []struct{ planned, enterprises, set, want string }{
		{"a b", "a b c", "", "a b"},
		{"b a", "a b c", "a=false", "b"},
		{"a", "a b c", "c=true b=true", "a b c"},
		{"a b", "a b c", "a=true b=false", "a"},
		{"", "a b c", "b=false", "a c"}, // all are run if none is named
	} {
		runs := map[string]bool{}
		for _, s := range strings.Fields(c.set) {
			id, value, _ := strings.Cut(s, "=")
			runs[id] = value == "true"
		}
		var planned []string
		if c.planned != "" {
			planned = strings.Fields(c.planned)
		}
		if got := strings.Join((&trial{runs: runs}).plan(strings.Fields(c.enterprises), planned), " "); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
}

// A value is held to what the file is held to.
func TestWrongSettings(t *testing.T) {
	for setting, want := range map[string]string{
		"farm.hey=70 GBP/t":          "did you mean farm.hay?",
		"farm.hay=70 GBP/ha":         "",
		"farm.last_frost=31 Apr":     "",
		"farm.land.grass.area=-1 ha": "expected 0 or more",
		"farm.land.grass.rent=null":  "",
		"farm.hay=":                  "expected a name and its value",
		"farm.hay=1 GBP/t, low: 0":   "a value is a number",
		"farm.hay=1 GBP/t\n  a: 1":   "a value is a number",
		"farm.hay=[1 GBP/t]":         "",
		"farm.horizon=3 year":        "not written in the data",
	} {
		_, _, err := LoadWith(trialFiles(), []string{setting})
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, expected %q", setting, err, want)
		}
	}
	if _, _, err := LoadWith(trialFiles(), []string{"farm.hay=1 GBP/t", "farm.hay=2 GBP/t"}); err == nil {
		t.Error("set twice")
	}
}
