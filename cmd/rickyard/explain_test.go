package main

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"golang.org/x/text/language"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
	"rickyard/templates"
)

// A chain of sixty thousand figures is explained within bounds, and what is left
// out is said.
func TestExplainKeepsWithinBounds(t *testing.T) {
	const steps = 60_000
	units, err := quantity.NewSystem("GBP", nil)
	if err != nil {
		t.Fatal(err)
	}
	at := source.New("chain.yaml", "x").Whole()
	definitions := []figures.Definition{{Name: "c0", Place: at, Value: quantity.Quantity{Value: 1, Unit: quantity.Unit{Factor: 1}}}}
	for i := 1; i < steps; i++ {
		definitions = append(definitions, figures.Definition{Name: fmt.Sprintf("c%d", i), Place: at, Formula: source.New("chain.yaml", fmt.Sprintf("c%d + 1", i-1)).Whole()})
	}
	g, err := figures.Build(units, 1, definitions)
	if err != nil {
		t.Fatal(err)
	}
	book := &templates.Workbook{Graph: g, Style: quantity.NewStyle(units, language.BritishEnglish)}
	last := g.Lookup(fmt.Sprintf("c%d", steps-1))
	var out bytes.Buffer
	x := &explainer{console: &console{out: &out}, book: book, depth: mostLines, few: mostLines, uses: mostLines, room: mostLines, seen: map[*figures.Figure]bool{}}
	x.figure(last, 0)
	x.inputs(last.Leaves())
	text := out.String()
	if n := strings.Count(text, "\n"); n > 3*mostLines || out.Len() > 200*mostLines {
		t.Errorf("%d lines, %d bytes", n, out.Len())
	}
	for _, want := range []string{"c59999 = 60,000", "and 1 more that it is worked from", "It rests on one input:", "c0 = 1"} {
		if !strings.Contains(text, want) {
			t.Errorf("it does not say %q", want)
		}
	}
	e := explained(book, last)
	if *e.Value != steps || len(e.Reads) != 1 || e.Reads[0] != "c59998" || len(e.Leaves) != 1 || e.Formula != "c59998 + 1" {
		t.Errorf("as data: %+v", e)
	}
}
