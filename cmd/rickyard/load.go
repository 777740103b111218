package main

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rickyard/calc/actual"
	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/risk"
	"rickyard/calc/sheet"
	"rickyard/calc/source"
	"rickyard/calc/trade"
	"rickyard/content"
	"rickyard/data"
	"rickyard/templates"
)

// load reads a workbook's folder and works out its figures. It fails with all
// mistakes of the folder together, as source.Errors.
func load(dir string) (*templates.Workbook, *data.Farm, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, nil, fmt.Errorf("the workbook's folder can't be opened: %w", err)
	}
	defer root.Close()
	return loadFrom(root.FS())
}

func loadFrom(fsys fs.FS) (*templates.Workbook, *data.Farm, error) {
	var errs source.Errors
	farm, err := data.Load(fsys)
	errs.Add(err)
	book, err := content.Load(fsys)
	errs.Add(err)
	checkParts(farm, book, &errs)
	if farm == nil || farm.Units == nil || farm.Unread {
		return nil, farm, errs.Err() // every name of an unread file would seem unknown
	}
	style := quantity.NewStyle(farm.Units, farm.Language)
	if words, err := templates.ReadWordsFor(farm.Language); err != nil {
		errs.Add(source.Errorf(source.UnknownRef, farm.LanguageAt, "%v", err).With("write one of these, with a country or without: en-GB, de, de-CH"))
	} else {
		style.Language = words
	}
	people := []string{}
	for _, p := range farm.People {
		if p.HasHours {
			people = append(people, p.ID)
		}
	}
	definitions := append([]figures.Definition{}, farm.Definitions...)
	definitions = append(definitions, enterprise.Definitions(farm.Enterprises, enterprise.Context{
		Currency: farm.Currency, People: people, Place: farmPlace(farm), UsedBy: usedBy(farm), Units: farm.Units,
	})...)
	definitions = append(definitions, enterprise.TimingDefinitions(farm.Enterprises)...)
	selling := enterprise.NewSelling(farm.Enterprises, running(farm), farm.Channels)
	definitions = append(definitions, selling.Definitions()...)
	planned := farm.Plan()
	tables := farm.Tables()
	maps.Copy(tables, selling.Tables())
	// Searches and plans run on a first graph; what they find are figures of
	// the second, on which chapters rest. Mistakes in the first come again.
	first, err := figures.Build(farm.Units, farm.Horizon, definitions, functions...)
	if err == nil || len(first.All()) > 0 {
		definitions = append(definitions, found(first, farm, style, tables)...)
		whole := plan.Work(first, planned)
		definitions = append(definitions, whole.Definitions()...)
		maps.Copy(tables, whole.Tables())
		maps.Copy(farm.Facts, whole.Facts())
		definitions = append(definitions, tryOut(first, farm, book, whole, tables, &errs)...)
		happened := actual.Work(first, whole, &farm.Records)
		errs = append(errs, happened.Mistakes()...)
		definitions = append(definitions, happened.Definitions()...)
		maps.Copy(tables, happened.Tables())
		maps.Copy(farm.Facts, happened.Facts())
	}
	for _, d := range book.Definitions() {
		// What a chapter quotes may be a text, which is no figure.
		if _, text := farm.Facts[strings.TrimSpace(d.Formula.Text())]; !text || !d.Hidden {
			definitions = append(definitions, d)
		}
	}
	graph, err := figures.Build(farm.Units, farm.Horizon, definitions, functions...)
	errs.Add(err)
	if len(errs) > 0 {
		return nil, farm, errs.Err()
	}
	return &templates.Workbook{
		Title: farm.Book.Title, Subtitle: farm.Book.Subtitle, Author: farm.Book.Author, Edition: farm.Book.Edition,
		Farm: farm.Name, Language: farm.Language, Metric: farm.Metric,
		Book: book, Graph: graph, Style: style,
		Enterprises: farm.Enterprises, Planned: running(farm), Start: planned.Start, Facts: farm.Facts, Tables: tables,
	}, farm, nil
}

// functions are those that formulas can call beside the language's own.
var functions = slices.Concat(enterprise.Functions, trade.Functions)

// found are the figures that searches find, with their tables: none of them
// may fail the build by itself, for a farm in the making has figures without an
// answer.
func found(g *figures.Graph, farm *data.Farm, style *quantity.Style, tables map[string]sheet.Table) []figures.Definition {
	all := enterprise.Compare(g, farm.Enterprises, style)
	kinds := make([]string, len(farm.Land))
	for i, kind := range farm.Land {
		kinds[i] = kind.ID
	}
	mix := risk.BestFarmMix(g, farm.Enterprises, running(farm), kinds, farm.Channels)
	maps.Copy(tables, mix.Tables())
	all = append(all, mix.Definitions()...)
	for i := range all {
		if all[i].Place.File == nil {
			all[i].Place = farmPlace(farm) // what rests on the whole farm stands at its head
		}
	}
	return all
}

// running lists the enterprises that the plan runs.
func running(farm *data.Farm) []string {
	if farm.Planned != nil {
		return farm.Planned
	}
	ids := []string{}
	for i := range farm.Enterprises {
		ids = append(ids, farm.Enterprises[i].ID)
	}
	return ids
}

// usedBy lists the infrastructure that each enterprise would need alone.
func usedBy(farm *data.Farm) map[string][]string {
	used := map[string][]string{}
	for _, item := range farm.Infrastructure {
		for _, id := range item.UsedBy {
			used[id] = append(used[id], item.ID)
		}
	}
	return used
}

// farmPlace is where figures are placed that belong to the farm as a whole.
func farmPlace(farm *data.Farm) source.Span {
	if len(farm.People) > 0 {
		return farm.People[0].Place
	}
	if len(farm.Files) > 0 {
		return farm.Files[0].Span(0, 0)
	}
	return source.Span{}
}

// chartCache is the folder in which drawn charts are kept between runs, or ""
// if the system names none.
func chartCache() string {
	dir, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "rickyard", "charts")
}

// isMistake reports whether err is about the user's files, not the machine.
func isMistake(err error) bool {
	var errs source.Errors
	var one *source.Error
	return errors.As(err, &errs) || errors.As(err, &one)
}
