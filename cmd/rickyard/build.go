package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"path/filepath"

	"rickyard/calc/figures"
	"rickyard/cmd/rickyard/publish"
	"rickyard/templates"
	"rickyard/templates/chart/drawer"
)

type buildCommand struct {
	Part string   `help:"Only this part of the book, named under parts in farm.yaml." placeholder:"NAME"`
	Out  string   `help:"Where to write the workbook; by default public in its folder, public-NAME for a part, public-trial for a trial." default:"" placeholder:"DIR"`
	With []string `help:"Another value for an input, as if the data said so; the workbook then says that it is a trial. Can be given more than once." sep:"none" placeholder:"NAME=VALUE"`
}

// Run builds the workbook and puts it in place of the last one.
func (b *buildCommand) Run(all *commands, c *console) error {
	p := c.progress()
	defer p.done()
	out := outFolder(b.Out, all.Dir)
	if b.Out == "" && b.Part != "" {
		out += "-" + b.Part
	}
	if b.Out == "" && len(b.With) > 0 {
		out += "-trial"
	}
	if err := c.heed(publish.Check(out)); err != nil {
		return err
	}
	drawer := newDrawer(all.Dir)
	pages, err := makePart(all.Dir, b.Part, drawer, p, b.With...)
	if err != nil {
		return err
	}
	if b.Part == "" && len(b.With) == 0 {
		drawer.Sweep()
	}
	err = c.heed(publish.Folder(out, pages))
	p.done()
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "%s: %d files; open %s\n", out, len(pages), filepath.Join(out, "index.html"))
	return nil
}

// outFolder is where the workbook of a folder is written.
func outFolder(named, dir string) string {
	if named == "" {
		return filepath.Join(dir, "public")
	}
	return named
}

// newDrawer returns a drawer that keeps its charts between runs, those of each
// workbook in a folder of their own, so that old ones can be swept away.
func newDrawer(dir string) *drawer.Drawer {
	cache := chartCache()
	if whole, err := filepath.Abs(dir); err == nil && cache != "" {
		sum := sha256.Sum256([]byte(whole))
		cache = filepath.Join(cache, hex.EncodeToString(sum[:8]))
	}
	return drawer.New(templates.ChartScript(), drawer.Options{CacheDir: cache})
}

// makePages reads a workbook's folder and makes all its files.
func makePages(dir string, drawer *drawer.Drawer, p *progress) (templates.Pages, error) {
	return makePart(dir, "", drawer, p)
}

// makePart makes the files of a part of the book; "" for all of it.
func makePart(dir, part string, drawer *drawer.Drawer, p *progress, with ...string) (templates.Pages, error) {
	p.say("Reading %s ...", dir)
	book, _, err := loadPart(dir, part, with...)
	if err != nil {
		return nil, err
	}
	p.done()
	p.c.warn(book.Warnings)
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
	Value  *float64   `json:"value"` // in unit; null for no answer, and for words; of a series, what Series says
	Unit   string     `json:"unit"`
	Text   string     `json:"text"`
	Kind   string     `json:"kind"` // input or worked
	File   string     `json:"file"`
	Line   int        `json:"line"`
	Series string     `json:"series,omitempty"` // what a series is: flow, level, held, price, share, temperature, ...
	Months []*float64 `json:"months,omitempty"` // of a series, in unit
}

// figuresJSON lists every figure, sorted by name.
func figuresJSON(book *templates.Workbook) ([]byte, error) {
	records := []record{}
	for _, f := range book.Graph.All() {
		if f.Hidden {
			continue
		}
		records = append(records, recordOf(book, f))
	}
	raw, err := json.MarshalIndent(records, "", " ")
	return append(raw, '\n'), err
}

func recordOf(book *templates.Workbook, f *figures.Figure) record {
	at := f.Place.Position()
	r := record{Name: f.Name, Unit: f.Unit.String(), Text: book.Text(f), Kind: "worked", File: at.File, Line: at.Line}
	if f.IsInput() {
		r.Kind = "input"
	}
	if f.Text {
		return r
	}
	r.Value = number(f.Shown())
	months := f.Months()
	for _, x := range months {
		r.Months = append(r.Months, number(f.Unit.FromBase(x)))
	}
	if months != nil {
		r.Series = f.Type.Kind.String()
	}
	return r
}

func number(x float64) *float64 {
	if x-x != 0 {
		return nil
	}
	// Trailing noise of a conversion (0.30000000000000004) helps nobody.
	x = figures.Clean(x)
	return &x
}
