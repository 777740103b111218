package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rickyard/calc/quantity"
	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/data"
	"rickyard/templates"
)

// load reads a workbook's folder and works out its figures. It fails with all
// mistakes of the folder together, as source.Errors.
func load(dir string) (*templates.Workbook, *data.Farm, error) { return loadTrial(dir, trial{}) }

// loadTrial is load with some values set otherwise.
func loadTrial(dir string, t trial) (*templates.Workbook, *data.Farm, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, nil, fmt.Errorf("the workbook's folder can't be opened: %w", err)
	}
	defer root.Close()
	return loadTrialFrom(root.FS(), t)
}

func loadFrom(fsys fs.FS) (*templates.Workbook, *data.Farm, error) {
	return loadTrialFrom(fsys, trial{})
}

func loadTrialFrom(fsys fs.FS, t trial) (*templates.Workbook, *data.Farm, error) {
	var errs source.Errors
	farm, set, err := data.LoadWith(fsys, t.With)
	if err != nil && t.With != nil {
		return nil, farm, err // of the values given: without them the chapters mean nothing
	}
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
	whole := farm.Whole(style)
	trial, err := t.put(whole, style)
	if err != nil {
		return nil, farm, err
	}
	trial = append(settings(set), trial...)
	names := whole.Names()
	errs = append(errs, book.Settle(names.Has, names)...)
	errs = append(errs, book.CheckShows(farm.Names)...)
	worked, err := whole.Work(book.Definitions(), asksForRisk(book))
	errs.Add(err)
	errs = slices.Concat(errs, worked.Warnings, farm.Warnings)
	if errs.Err() == nil {
		errs = append(errs, whole.Doubts(worked.Graph)...)
	}
	if err := errs.Err(); err != nil {
		return nil, farm, err
	}
	base := worked.Graph.Base()
	errs = append(errs, base.Warnings()...)
	book.Hide(func(f *content.Figure) bool {
		holds := worked.Graph.Lookup(f.Full)
		return holds != nil && base.Holds(holds)
	})
	var front []content.Word
	for _, f := range farm.Front {
		front = append(front, content.Word{Text: f.Name, Place: f.Place})
	}
	return &templates.Workbook{
		Front: front, Trial: trial,
		Title: farm.Book.Title, Subtitle: farm.Book.Subtitle, Author: farm.Book.Author, Edition: farm.Book.Edition,
		Farm: farm.Name, Language: farm.Language, Metric: farm.Metric,
		Book: book, Graph: worked.Graph, Style: style,
		Enterprises: farm.Enterprises, Planned: whole.Running(), Start: whole.Plan.Start, Facts: worked.Facts, Tables: worked.Tables,
		Warnings: errs.Of(source.Warning).Sorted(),
	}, farm, nil
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
