package main

import (
	"maps"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/risk"
	"rickyard/calc/sheet"
	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/data"
)

// tryOut works out the scenarios, and runs the simulation if a chapter asks for
// what it finds. Mistakes in the settings of both are reported either way.
func tryOut(g *figures.Graph, farm *data.Farm, book *content.Book, whole *plan.Results, tables map[string]sheet.Table, errs *source.Errors) []figures.Definition {
	scenarios := risk.WorkScenarios(g, whole, farm.Scenarios)
	*errs = append(*errs, scenarios.Mistakes()...)
	maps.Copy(tables, scenarios.Tables())
	maps.Copy(farm.Facts, scenarios.Facts())
	simulation, mistakes := risk.NewSimulation(g, whole.Farm, farm.Risk)
	*errs = append(*errs, mistakes...)
	if len(mistakes) > 0 || !asksForRisk(book) {
		return scenarios.Definitions()
	}
	report := simulation.Run(0).Report()
	maps.Copy(tables, report.Tables())
	maps.Copy(farm.Facts, report.Facts())
	return append(scenarios.Definitions(), report.Definitions()...)
}

// asksForRisk reports whether a chapter shows or uses anything of the
// simulation.
func asksForRisk(book *content.Book) bool {
	asks := func(show content.Word) bool { return strings.HasPrefix(show.Text, "risk") }
	for _, ch := range book.Chapters {
		for _, t := range ch.Tables {
			if asks(t.Show) {
				return true
			}
		}
		for _, c := range ch.Charts {
			if asks(c.Show) {
				return true
			}
		}
	}
	for _, d := range book.Definitions() {
		if strings.Contains(d.Formula.Text(), "risk.") {
			return true
		}
	}
	return false
}
