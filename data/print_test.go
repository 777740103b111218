package data

import (
	"strings"
	"testing"
	"testing/fstest"
)

const printHead = "name: Test\ncurrency: GBP\n"

func TestPrintAndParts(t *testing.T) {
	farm, err := Load(fstest.MapFS{"data/farm.yaml": {Data: []byte(printHead + `parts:
  bank: [start_up, goal]
print:
  trim: B5
  binding: case
  paper: {grammage: 90 g/m2, caliper: 0.11 mm}
  postage:
    letter: {value: 100 g, label: An ordinary letter}
    parcel: 2 kg
`)}})
	if err != nil {
		t.Fatal(err)
	}
	if len(farm.Parts) != 1 || farm.Parts[0].Label != "Bank" || len(farm.Parts[0].Chapters) != 2 || farm.Parts[0].Chapters[0].Name != "start_up" {
		t.Errorf("parts: %+v", farm.Parts)
	}
	p := farm.Print
	if p.Size != "B5" || p.Binding != "case" || len(p.Postage) != 2 || p.Postage[0].Label != "An ordinary letter" || p.Postage[1].Label != "Parcel" {
		t.Errorf("print: %+v", p)
	}
	values := map[string]float64{}
	for _, d := range farm.Definitions {
		values[d.Name] = d.Value.Value
	}
	for name, want := range map[string]float64{"farm.print.paper_grammage": 0.09, "farm.print.paper_caliper": 0.00011, "farm.print.postage.letter": 0.1, "farm.print.postage.parcel": 2} {
		if got := values[name]; got < want*(1-1e-12) || got > want*(1+1e-12) {
			t.Errorf("%s = %v, want %v", name, got, want)
		}
	}
}

func TestBadPrint(t *testing.T) {
	for _, c := range []struct{ yaml, want string }{
		{"print: {trim: A44}\n", `data/farm.yaml:3:15: `},
		{"print: {paper: {grammage: 90 g/m2}}\n", `data/farm.yaml:3:17: the paper has grammage; expected grammage and bulk, or grammage and caliper`},
		{"print: {paper: {grammage: 90 g/m2, bulk: 1.3 cm3/g, caliper: 0.1 mm}}\n", `data/farm.yaml:3:`},
		{"print: {trim: {width: 156 kg, height: 234 mm}}\n", `data/farm.yaml:3:23: `},
		{"print: {trimm: A4}\n", `did you mean trim?`},
		{"parts: {bank: [goal, goal]}\n", `data/farm.yaml:3:22: the part bank already has the chapter goal`},
		{"parts: {bank: []}\n", `data/farm.yaml:3:9: the part bank has no chapters`},
	} {
		_, err := Load(fstest.MapFS{"data/farm.yaml": {Data: []byte(printHead + c.yaml)}})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v\nwant %s", c.yaml, err, c.want)
		}
	}
}
