package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"

	"rickyard/calc/figures"
	"rickyard/templates"
)

type buildCommand struct {
	Out string `help:"Where to write the workbook." default:"" placeholder:"DIR"`
}

// Run builds the workbook and puts it in place of the last one.
func (b *buildCommand) Run(all *commands, c *console) error {
	p := c.progress()
	defer p.done()
	out := b.Out
	if out == "" {
		out = filepath.Join(all.Dir, "public")
	}
	if err := publishable(out); err != nil {
		return err
	}
	pages, err := makePages(all.Dir, templates.NewDrawer(templates.DrawerOptions{CacheDir: chartCache()}), p)
	if err != nil {
		return err
	}
	if err := publish(out, pages); err != nil {
		return err
	}
	p.done()
	fmt.Fprintf(c.out, "%s: %d files; open %s\n", out, len(pages), filepath.Join(out, "index.html"))
	return nil
}

// makePages reads a workbook's folder and makes all its files.
func makePages(dir string, drawer *templates.Drawer, p *progress) (templates.Pages, error) {
	p.say("Reading %s ...", dir)
	book, _, err := load(dir)
	if err != nil {
		return nil, err
	}
	book.Drawer = drawer
	book.Progress = func(done, total int, what string) { p.say("%d of %d: %s ...", done, total, what) }
	pages, err := book.Make()
	if err != nil {
		return nil, err
	}
	pages["figures.json"], err = figuresJSON(book)
	return pages, err
}

// A record is a figure as programs read it.
type record struct {
	Name   string     `json:"name"`
	Value  *float64   `json:"value"` // in unit; null for no answer; a series: its sum
	Unit   string     `json:"unit"`
	Text   string     `json:"text"`
	Kind   string     `json:"kind"` // input or worked
	File   string     `json:"file"`
	Line   int        `json:"line"`
	Months []*float64 `json:"months,omitempty"` // of a series, in unit
}

// figuresJSON lists every figure, sorted by name.
func figuresJSON(book *templates.Workbook) ([]byte, error) {
	records := []record{}
	for _, f := range book.Graph.All() {
		if f.Hidden {
			continue
		}
		at := f.Place.Position()
		r := record{Name: f.Name, Unit: f.Unit.String(), Text: book.Text(f), Kind: "worked", File: at.File, Line: at.Line}
		if f.IsInput() {
			r.Kind = "input"
		}
		if _, none := book.Graph.Base().None(f); !none {
			r.Value = number(f.Shown())
		}
		for _, x := range f.Months() {
			r.Months = append(r.Months, number(f.Unit.FromBase(x)))
		}
		records = append(records, r)
	}
	raw, err := json.MarshalIndent(records, "", " ")
	return append(raw, '\n'), err
}

func number(x float64) *float64 {
	if x != x {
		return nil
	}
	// Trailing noise of a conversion (0.30000000000000004) helps nobody.
	x = figures.Clean(x)
	return &x
}
