package main

import (
	"fmt"

	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/data"
	"rickyard/templates"
)

// checkParts reports chapters of parts that the book does not have.
func checkParts(farm *data.Farm, book *content.Book, errs *source.Errors) {
	if farm == nil || len(book.Chapters) == 0 {
		return
	}
	var known []string
	for _, chapter := range book.Chapters {
		known = append(known, chapter.Name)
	}
	for _, part := range farm.Parts {
		for _, c := range part.Chapters {
			if book.Chapter(c.Name) != nil {
				continue
			}
			err := source.Errorf(source.Unknown{Name: "chapter " + c.Name}, c.Place, "no chapter is called %s", c.Name)
			if near := source.Nearest(c.Name, known); near != "" {
				err.With("did you mean %s?", near)
			} else {
				err.With("a chapter is called like its file without the number, as start_up for 02-start-up.md, or by name: in its chapter block")
			}
			errs.Add(err)
		}
	}
}

// loadPart reads a workbook of which only one part is to be made; "" for all of
// it. with sets some inputs otherwise.
func loadPart(dir, name string, with ...string) (*templates.Workbook, *data.Farm, error) {
	book, farm, err := loadTrial(dir, trial{With: with})
	if err != nil || name == "" {
		return book, farm, err
	}
	var known []string
	for _, part := range farm.Parts {
		if part.Name != name {
			known = append(known, part.Name)
			continue
		}
		book.Only = []string{}
		for _, c := range part.Chapters {
			book.Only = append(book.Only, c.Name)
		}
		book.Part = part.Label
		return book, farm, nil
	}
	message := fmt.Sprintf("the book has no part called %s", name)
	switch near := source.Nearest(name, known); {
	case near != "":
		message += fmt.Sprintf("; did you mean %s?", near)
	case len(known) > 0:
		message += fmt.Sprintf("; it has %s", join(known))
	default:
		message += "; name one under parts: in data/farm.yaml, as bank: [goal, start_up]"
	}
	return nil, nil, fmt.Errorf("%s", message)
}

// join lists names: a, b and c.
func join(names []string) string {
	text := ""
	for i, name := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			text += " and "
		default:
			text += ", "
		}
		text += name
	}
	return text
}
