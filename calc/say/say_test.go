package say_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/quick"

	"rickyard/calc/say"
)

// spanish has a few words, and keeps capitals as German does, so that both ways
// of Mid are seen.
type spanish map[string]string

func (s spanish) Word(english string) (string, bool) {
	text, ok := s[english]
	return text, ok
}

func (s spanish) Mid(text string) string { return text }

func (s spanish) Number(x float64, decimals int) string {
	return strings.ReplaceAll(fmt.Sprintf("%.*f", decimals, x), ".", ",")
}

func TestText(t *testing.T) {
	words := spanish{"Sales": "Ventas", "%s by month": "%s por mes", "May": "mayo", "May|short": "may.", "%s: %s": "%[2]s (%[1]s)", "%s left": "quedan %s"}
	for _, c := range []struct {
		text             say.Text
		english, spanish string
	}{
		{"Sales", "Sales", "Ventas"},
		{"Costs", "Costs", "Costs"}, // not in the file
		{"May", "May", "mayo"},
		{"May|short", "May", "may."},
		{say.Own("Sales"), "Sales", "Sales"}, // so the farmer called it
		{say.Own("May|short"), "May|short", "May|short"},
		{say.Own("%d %s 100%"), "%d %s 100%", "%d %s 100%"},
		{say.With("%s by month", say.Text("Sales")), "Sales by month", "Ventas por mes"},
		{say.With("%s by month", "Sales"), "Sales by month", "Sales por mes"},
		{say.With("%s: %s", "Eggs %s", say.With("%s by month", say.Text("Sales"))), "Eggs %s: Sales by month", "Ventas por mes (Eggs %s)"},
		{say.With("%s: %s", "2:x", say.Mid(say.Text("Sales"))), "2:x: sales", "Ventas (2:x)"},
		{say.Mid("Eggs"), "eggs", "Eggs"},
		{say.Mid("PAYE and levies"), "PAYE and levies", "PAYE and levies"},
		{say.Mid("B1 stock"), "B1 stock", "B1 stock"},
		{say.Mid("Öl"), "öl", "Öl"},
		{say.Mid(""), "", ""},
		{say.With("%s left", say.Number(2.5, 1)), "2.5 left", "quedan 2,5"},
		{say.With("%s left", 12), "12 left", "quedan 12"},
		{"", "", ""},
		{say.Own(""), "", ""},
	} {
		if got := c.text.String(); got != c.english {
			t.Errorf("%q is %q in English, want %q", c.text, got, c.english)
		}
		if got := c.text.In(words); got != c.spanish {
			t.Errorf("%q is %q in Spanish, want %q", c.text, got, c.spanish)
		}
	}
	var keys []string
	say.With("%s: %s", "Eggs", say.Mid(say.With("%s by month", say.Text("Sales")))).Keys(func(key string) { keys = append(keys, key) })
	if !slices.Equal(keys, []string{"%s: %s", "%s by month", "Sales"}) {
		t.Errorf("the program's own texts are %q", keys)
	}
}

// What a farmer writes comes out as it went in, whatever it is and wherever it
// is put.
func TestOwnTextsStay(t *testing.T) {
	if err := quick.Check(func(a, b string) bool {
		return say.With("[%s]", say.With("<%s, %s>", a, say.Own(b))).String() == "[<"+a+", "+b+">]"
	}, &quick.Config{MaxCount: 2000}); err != nil {
		t.Error(err)
	}
}
