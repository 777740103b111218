package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"

	"rickyard/calc/binding"
	"rickyard/calc/figures"
	"rickyard/cmd/rickyard/publish"
	"rickyard/data"
	"rickyard/templates"
)

type coverCommand struct {
	Part    string `help:"The cover of this part of the book." placeholder:"NAME"`
	Pages   int    `help:"How many pages the book has; by default those of the PDF that was last printed." placeholder:"N"`
	Of      string `help:"The PDF to count the pages of; by default book.pdf in the workbook's folder, or the part's name." placeholder:"FILE.pdf" type:"path"`
	Out     string `help:"Where to write the cover, as PDF or SVG; by default cover.pdf in the workbook's folder." placeholder:"FILE" type:"path"`
	Paper   string `help:"Another paper than farm.yaml's: A4, A5, A6, B5, B6, letter or half_letter." placeholder:"SIZE"`
	Browser string `help:"The browser to make a PDF with, if not the one that is found." placeholder:"PATH"`
}

// Run works out spine, cover and weight, and draws the cover at full size.
func (v *coverCommand) Run(all *commands, c *console) error {
	out := v.Out
	if out == "" {
		out = filepath.Join(all.Dir, "cover.pdf")
		if v.Part != "" {
			out = filepath.Join(all.Dir, v.Part+"-cover.pdf")
		}
	}
	kind := strings.ToLower(filepath.Ext(out))
	if kind != ".pdf" && kind != ".svg" {
		return fmt.Errorf("the cover is written as PDF or SVG; end the name of the file with .pdf or .svg")
	}
	book, farm, err := loadPart(all.Dir, v.Part)
	if err != nil {
		return err
	}
	pages, err := v.pages(all.Dir)
	if err != nil {
		return err
	}
	format, err := formatOf(book.Graph, farm, v.Paper)
	if err != nil {
		return err
	}
	b, err := bookOf(book.Graph, farm, format, pages)
	if err != nil {
		return err
	}
	svg, lettering, err := book.Cover(format, b.sheet, b.spine)
	if err != nil {
		return err
	}
	if kind == ".svg" {
		err = c.heed(publish.File(out, []byte(svg)))
	} else {
		err = v.pdf(c, out, svg, b.sheet)
	}
	if err != nil {
		return err
	}
	b.tell(c, book, farm, lettering)
	fmt.Fprintf(c.out, "\n%s: the cover sheet at full size\n", out)
	return nil
}

// pages is how many pages the book has.
func (v *coverCommand) pages(dir string) (int, error) {
	const most = 5000
	if v.Pages != 0 {
		if v.Pages < 1 || v.Pages > most {
			return 0, fmt.Errorf("a book has 1 to %d pages, not %d", most, v.Pages)
		}
		return v.Pages, nil
	}
	name, err := outFile(dir, v.Of, v.Part, ".pdf")
	if err != nil {
		return 0, err
	}
	raw, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return 0, fmt.Errorf("there is no %s to count the pages of; print the book first, or give its pages with --pages", name)
	}
	if err != nil {
		return 0, err
	}
	_, pages, err := readPlaces(raw)
	if err == nil && pages == 0 {
		err = errors.New("it has no pages")
	}
	if err != nil {
		return 0, fmt.Errorf("%s: %w", name, err)
	}
	return pages, nil
}

func (v *coverCommand) pdf(c *console, out, svg string, s binding.Sheet) error {
	browser, err := findBrowser(v.Browser)
	if err != nil {
		return fmt.Errorf("%w\nWithout a browser the cover can be written as SVG: --out cover.svg", err)
	}
	progress := c.progress()
	defer progress.done()
	progress.say("Drawing the cover ...")
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	p, err := openPrinter(ctx, browser)
	if err != nil {
		return err
	}
	defer p.close()
	html := fmt.Sprintf("<!doctype html><html><head><meta charset=\"utf-8\"><title>Cover</title><style>@page{size:%.3fmm %.3fmm;margin:0}body{margin:0}svg{display:block}</style></head><body>%s</body></html>",
		s.Width*1000, s.Height*1000, svg)
	if err := p.show(html); err != nil {
		return err
	}
	pdf, err := p.print()
	if err != nil {
		return err
	}
	return c.heed(publish.File(out, pdf))
}

// A bound book is what a book comes to once it is bound; SI units.
type boundBook struct {
	format templates.Format
	pages  int
	paper  binding.Paper
	bound  *binding.Case // nil for a paperback
	block  float64
	spine  float64
	sheet  binding.Sheet
	weight float64
}

// Covers as they are commonly made, where the farm says nothing (common
// practice, no source).
const (
	usualBleed     = 0.003
	usualPaperback = 0.300 // kg/m2
	usualCaseCover = 1.500 // kg/m2, board and cloth
)

func bookOf(g *figures.Graph, farm *data.Farm, format templates.Format, pages int) (*boundBook, error) {
	value := func(name string, otherwise float64) float64 {
		if f := g.Lookup("farm.print." + name); f != nil {
			return f.Current()
		}
		return otherwise
	}
	b := &boundBook{format: format, pages: pages, paper: binding.Paper{
		Grammage: value("paper_grammage", 0), Bulk: value("paper_bulk", 0), Caliper: value("paper_caliper", 0),
	}}
	if b.paper.Thickness() == 0 {
		return nil, errors.New("a spine needs to know the paper; in data/farm.yaml write\nprint:\n  paper: {grammage: 90 g/m2, bulk: 1.25 cm3/g}\nwith the values of the mill's data sheet, or a caliper in place of the bulk")
	}
	cover := usualPaperback
	if farm.Print.Binding == "case" {
		u := binding.Usual
		b.bound = &binding.Case{
			Board: value("board", u.Board), Cloth: value("cloth", u.Cloth), Endpaper: value("endpaper", u.Endpaper),
			Overhang: value("overhang", u.Overhang), Hinge: value("hinge", u.Hinge), TurnIn: value("turn_in", u.TurnIn),
		}
		cover = usualCaseCover
	}
	b.block = binding.Block(pages, b.paper)
	b.spine = binding.Spine(b.block, b.bound)
	b.sheet = binding.Cover(format.Width, format.Height, b.spine, value("cover_bleed", usualBleed), b.bound)
	b.weight = binding.Weight(pages, format.Width, format.Height, b.paper, b.sheet, value("cover_grammage", cover))
	return b, nil
}

// tell says what the book comes to.
func (b *boundBook) tell(c *console, book *templates.Workbook, farm *data.Farm, lettering float64) {
	mm := book.Graph.Units.Must("mm")
	gram := book.Graph.Units.Must("g")
	length := func(x float64) string { return book.Style.Text(x, mm, 0.1) }
	weight := func(x float64) string { return book.Style.Text(x, gram, 1) }
	line := func(label, format string, args ...any) {
		fmt.Fprintf(c.out, "%-18s %s\n", label, fmt.Sprintf(format, args...))
	}
	line("Pages", "%d, on %d leaves of %s by %s", b.pages, binding.Leaves(b.pages), length(b.format.Width), length(b.format.Height))
	line("One leaf", "%s thick", book.Style.Text(b.paper.Thickness(), mm, 0.001))
	if b.bound == nil {
		line("Spine", "%s, paperback", length(b.spine))
	} else {
		line("Spine", "%s: leaves %s, then endpapers, boards and cloth", length(b.spine), length(b.block))
	}
	edge := "bleed"
	if b.bound != nil {
		edge = "turn-in"
	}
	line("Cover sheet", "%s by %s, %s of %s on each side", length(b.sheet.Width), length(b.sheet.Height), edge, length(b.sheet.Edge))
	folds := make([]string, len(b.sheet.Folds))
	for i, at := range b.sheet.Folds {
		folds[i] = length(at)
	}
	line("Folds", "%s from the left", join(folds))
	if lettering > 0 {
		line("Spine's text", "%.1f point", lettering*72/0.0254)
	} else {
		line("Spine's text", "none: the spine is too thin for letters that can be read")
	}
	line("One copy", "%s, without glue and wrapping", weight(b.weight))
	b.postage(line, weight, book.Graph, farm)
	fmt.Fprint(c.out, "\nPaper swells and presses differ, so before anything is printed ask the printer for a\ndummy bound from the same paper, and take the spine and the cover from that.\n")
}

func (b *boundBook) postage(line func(string, string, ...any), weight func(float64) string, g *figures.Graph, farm *data.Farm) {
	type step struct {
		label string
		most  float64
	}
	var steps []step
	for _, s := range farm.Print.Postage {
		if f := g.Lookup("farm.print.postage." + s.ID); f != nil {
			steps = append(steps, step{s.Label, f.Current()})
		}
	}
	if len(steps) == 0 {
		line("Postage", "no steps are given; see postage: under print: in data/farm.yaml")
		return
	}
	slices.SortStableFunc(steps, func(a, b step) int { return cmp.Compare(a.most, b.most) })
	limits := make([]float64, len(steps))
	for i, s := range steps {
		limits[i] = s.most
	}
	i := binding.Step(b.weight, limits)
	last := len(steps) - 1
	switch {
	case i < 0:
		line("Postage", "passes %s (up to %s), the heaviest step that is given", steps[last].label, weight(steps[last].most))
	case i == 0:
		line("Postage", "within %s (up to %s), with %s to spare for the wrapping", steps[0].label, weight(steps[0].most), weight(steps[0].most-b.weight))
	default:
		line("Postage", "passes %s (up to %s); within %s (up to %s), with %s to spare for the wrapping",
			steps[i-1].label, weight(steps[i-1].most), steps[i].label, weight(steps[i].most), weight(steps[i].most-b.weight))
	}
}
