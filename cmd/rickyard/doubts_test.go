package main

import (
	"bytes"
	"strings"
	"testing"
	"testing/fstest"
)

// doubtful are changes to the demo that can be, but are hardly meant, each with
// what is said of it and with the change that answers it.
var doubtful = []struct{ file, old, new, answered, want string }{
	{"data/enterprises/broilers.yaml", "  now: 6 batch\n", "  now: 62.5 batch\n  step: 1 batch\n", "  now: {value: 62.5 batch, meant: two sheds are let to us}\n  step: 1 batch\n",
		"data/enterprises/broilers.yaml: look at this: the present scale is 62.5 batch, beyond its most of 60 batch\n" +
			"data/enterprises/broilers.yaml: look at this: the present scale is 62.5 batch, which is not a whole number of steps of 1 batch\n"},
	{"data/enterprises/broilers.yaml", "build_up: [3 batch, 5 batch]", "build_up: [3 batch, 70 batch]", "",
		"data/enterprises/broilers.yaml: look at this: the build-up comes to 70 batch, beyond the scale's most of 60 batch\n"},
	{"data/enterprises/garden.yaml", "  unsold: {value: 7 %, low: 4 %, high: 14 %,", "  unsold: {value: 18, low: 4 %, high: 18,", "  unsold: {value: 18, low: 4 %, high: 18, meant: a try,",
		"data/enterprises/garden.yaml: look at this: Picked and not sold is 18, more than the whole, and garden.beans takes it from 1\n  write 18 % if that is meant\n"},
	{"data/prices.yaml", "farm_gate: {value: 9.60 GBP/kg, low: 8.40 GBP/kg, high: 10.60 GBP/kg,", "farm_gate: {value: 960 GBP/kg,", "farm_gate: {value: 960 GBP/kg, meant: a raffle,",
		"data/prices.yaml: look at this: the price of chicken at farm gate is 104 times what it is elsewhere\n"},
	{"data/farm.yaml", "  last: {value: 6 May, source", "  last: {value: 6 Nov, source", "  last: {value: 6 Nov, meant: a cold hollow, source",
		"data/farm.yaml: look at this: the last frost on 6 Nov belongs to the other hemisphere than the latitude 52.3 deg\n"},
	{"data/farm.yaml", "    area: 0.9 ha\n", "    area: 0.1 ha\n", "    area: 0.1 ha\n    meant: the rest is lent by a neighbour\n",
		"data/farm.yaml: look at this: the plan holds more garden ground than the 0.1 ha that there is\n"},
	{"data/finance.yaml", "    broilers: {from: 2027-03, sells_from: 2027-06}", "    broilers: {from: 2027-03, sells_from: 2027-02}", "    broilers: {from: 2027-03, sells_from: 2027-02, meant: the last owner's birds}",
		"data/finance.yaml: look at this: broilers sells from 2027-02, before it starts in 2027-03\n"},
	{"data/enterprises/broilers.yaml", "\nlines:\n", "\nlines:\n  - cost: Found money\n    amount: 0 GBP - 50 GBP\n", "\nlines:\n  - cost: Found money\n    amount: 0 GBP - 50 GBP\n    meant: a refund\n",
		"data/enterprises/broilers.yaml: look at this: less than nought for Found money: −£50\n"},
}

// What is possible but hardly meant is built and warned of, with its place; an
// answer in the data makes the warning an answered one.
func TestDoubts(t *testing.T) {
	var page string
	warned := func(answer bool) (string, int) {
		files := demoFiles(t)
		for _, d := range doubtful {
			text := string(files[d.file].Data)
			change := d.new
			if answer && d.answered != "" {
				change = d.answered
			}
			if !strings.Contains(text, d.old) {
				t.Fatalf("%s has no %q", d.file, d.old)
			}
			files[d.file] = &fstest.MapFile{Data: []byte(strings.Replace(text, d.old, change, 1))}
		}
		book, _, err := loadFrom(files)
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		newConsole(&out, &out).warn(book.Warnings)
		answered := 0
		for _, w := range book.Warnings {
			if w.Answer != "" {
				answered++
			}
		}
		book.Drawer, book.Only = demoDrawer(t), []string{"goal"}
		pages, err := book.Make()
		if err != nil {
			t.Fatal(err)
		}
		page = string(pages["look.html"])
		return places.ReplaceAllString(out.String(), ": "), answered
	}
	got, answered := warned(false)
	for _, d := range doubtful {
		for _, want := range strings.SplitAfter(d.want, "\n") {
			if !strings.Contains(got, want) {
				t.Errorf("no warning %s", want)
			}
		}
	}
	if answered > 0 || t.Failed() {
		t.Errorf("%d are answered that nobody answered; said:\n%s", answered, got)
	}
	got, answered = warned(true)
	if answered != 8 || strings.Count(got, "look at this") != 2 {
		t.Errorf("%d are answered, and said:\n%s", answered, got)
	}
	for _, want := range []string{"Two sheds are let to us", "The present scale is 62.5 batch", "The build-up comes to 70 batch", "data/farm.yaml:"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page has no %q", want)
		}
	}
}

// Terms that no loan can have are mistakes.
func TestLoanTerms(t *testing.T) {
	for _, c := range []struct{ change, want string }{
		{"term: 25 month\n    every: 1 year", "data/finance.yaml: the term of bank loan is 25 month, which is not a whole number of payments, one every 1 year; expected a multiple of it, such as 36 month"},
		{"term: 18 year\n    interest_only: 18 year", "data/finance.yaml: only interest is paid on bank loan for 18 year, but its term is 18 year; expected less than the term, in which the loan is paid back"},
	} {
		files := demoFiles(t)
		text := strings.Replace(string(files["data/finance.yaml"].Data), "term: 18 year", c.change, 1)
		files["data/finance.yaml"] = &fstest.MapFile{Data: []byte(text)}
		_, _, err := loadFrom(files)
		if err == nil || places.ReplaceAllString(err.Error(), ": ") != c.want {
			t.Errorf("got %v\nwant %s", err, c.want)
		}
	}
}
