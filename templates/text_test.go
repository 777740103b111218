package templates

import "testing"

func TestMid(t *testing.T) {
	words, err := ReadWords("en")
	if err != nil {
		t.Fatal(err)
	}
	words = words.keeping("The Long Acre", "Merrin Pask")
	for text, want := range map[string]string{
		"Hours by month":           "hours by month",
		"A lamb at the mart":       "a lamb at the mart",
		"The first ewes":           "the first ewes",
		"Merrin Pask, hours":       "Merrin Pask, hours",
		"Pask's van":               "Pask's van",
		"Keeps to the plan":        "keeps to the plan",
		"Christmas turkeys":        "Christmas turkeys",
		"VAT on sales":             "VAT on sales",
		"N in the dung":            "N in the dung",
		"Long grass":               "Long grass", // a word of the farm's name
		"Érable":                   "érable",
		"55 beds":                  "55 beds",
		"":                         "",
		"No-dig market garden":     "no-dig market garden",
		"Novemberish":              "novemberish",
		"November, cash":           "November, cash",
		"Stall":                    "stall",
		"\"Good\" trees by August": "\"Good\" trees by August",
	} {
		if got := words.Mid(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}

func TestApostrophes(t *testing.T) {
	for text, want := range map[string]string{
		"the farm's own":      "the farm\u2019s own",
		"two days' runs":      "two days\u2019 runs",
		"5 o'clock, '27":      "5 o\u2019clock, '27", // what opens a quotation is no apostrophe
		"d\u2019accord":       "d\u2019accord",
		"'quoted' word":       "'quoted\u2019 word",
		"rate * 1 'unit'":     "rate * 1 'unit\u2019",
		"Élan's, 3 ha's edge": "Élan\u2019s, 3 ha\u2019s edge",
	} {
		if got := curl(text); got != want {
			t.Errorf("%q is written %q, want %q", text, got, want)
		}
	}
}
