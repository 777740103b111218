package main

import (
	"context"
	"fmt"
	"maps"
	"os"
	"os/signal"
	"path/filepath"
	"strings"

	"rickyard/calc/binding"
	"rickyard/calc/figures"
	"rickyard/cmd/rickyard/publish"
	"rickyard/data"
	"rickyard/templates"
)

type printCommand struct {
	Part    string   `help:"Only this part of the book, named under parts in farm.yaml." placeholder:"NAME"`
	Out     string   `help:"Where to write the PDF; by default book.pdf in the workbook's folder, or the part's name." placeholder:"FILE.pdf" type:"path"`
	Paper   string   `help:"Another paper than farm.yaml's: A4, A5, A6, B5, B6, letter or half_letter." placeholder:"SIZE"`
	Browser string   `help:"The browser to print with, if not the one that is found." placeholder:"PATH"`
	With    []string `help:"Another value for an input, as if the data said so; every page then says that it is a trial. Can be given more than once." sep:"none" placeholder:"NAME=VALUE"`
}

// Run prints the book through a browser.
func (p *printCommand) Run(all *commands, c *console) error {
	browser, err := findBrowser(p.Browser)
	if err != nil {
		return err
	}
	suffix := ".pdf"
	if p.Out == "" && len(p.With) > 0 {
		suffix = "-trial.pdf"
	}
	out, err := outFile(all.Dir, p.Out, p.Part, suffix)
	if err != nil {
		return err
	}
	progress := c.progress()
	defer progress.done()
	progress.say("Reading %s ...", all.Dir)
	book, farm, err := loadPart(all.Dir, p.Part, p.With...)
	if err != nil {
		return err
	}
	format, err := formatOf(book.Graph, farm, p.Paper)
	if err != nil {
		return err
	}
	book.Drawer = newDrawer(all.Dir)
	book.Progress = func(done, total int, what string) { progress.say("%d of %d: %s ...", done+1, total, what) }
	sheets, err := book.Print(format)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	printed, err := printBook(ctx, browser, sheets, progress.say)
	if err != nil {
		return err
	}
	if err := c.heed(publish.File(out, printed.pdf)); err != nil {
		return err
	}
	progress.done()
	fmt.Fprintf(c.out, "%s: %d pages, printed %d times\n", out, printed.pages, printed.passes)
	return nil
}

// outFile is where a command writes its file: named, or after the part.
func outFile(dir, named, part, suffix string) (string, error) {
	if named == "" {
		if part == "" {
			part = "book"
		}
		return filepath.Join(dir, part+suffix), nil
	}
	if !strings.EqualFold(filepath.Ext(named), suffix) {
		return "", fmt.Errorf("the name of the file to write ends with %s, as %s", suffix, strings.TrimSuffix(filepath.Base(named), filepath.Ext(named))+suffix)
	}
	return named, nil
}

// Margins where the farm gives none, in m.
const (
	usualInner = 0.020
	usualOuter = 0.016
	usualEdge  = 0.020 // at head and foot
)

// formatOf is the paper that a book is printed on.
func formatOf(g *figures.Graph, farm *data.Farm, size string) (templates.Format, error) {
	length := func(name string, otherwise float64) float64 {
		if f := g.Lookup("farm.print." + name); f != nil {
			return f.Current()
		}
		return otherwise
	}
	if size == "" {
		size = farm.Print.Size
	}
	width, height, err := binding.Size("A4")
	if size != "" {
		width, height, err = binding.Size(size)
	} else {
		width, height = length("width", width), length("height", height)
	}
	if err != nil {
		return templates.Format{}, fmt.Errorf("%w; expected A4, A5, A6, B5, B6, letter or half_letter", err)
	}
	f := templates.Format{
		Width: width, Height: height,
		Inner: length("margin_inner", usualInner), Outer: length("margin_outer", usualOuter),
		Top: length("margin_top", usualEdge), Bottom: length("margin_bottom", usualEdge),
	}
	const least = 0.050 // of text
	if width-f.Inner-f.Outer < least || height-f.Top-f.Bottom < least {
		return f, fmt.Errorf("the margins leave less than %.0f mm of the page for text; see print: in data/farm.yaml", least*1000)
	}
	return f, nil
}

// A printout is a finished book.
type printout struct {
	pdf    []byte
	pages  int
	passes int
	places map[string]int // pages of the anchors
	blanks int            // pages that were put in so that chapters open on the right
}

// mostPasses bounds how often a book is printed until its page numbers hold.
// Two passes are usual: a number that grows by a digit may move a line.
const mostPasses = 6

// printBook prints a book until the page numbers printed in it are those of the
// pages that it has.
func printBook(ctx context.Context, browser string, book *templates.PrintBook, say func(string, ...any)) (*printout, error) {
	say("Starting %s ...", browser)
	p, err := openPrinter(ctx, browser)
	if err != nil {
		return nil, err
	}
	defer p.close()
	if err := p.show(string(book.HTML)); err != nil {
		return nil, fmt.Errorf("the browser can't show the book: %w", err)
	}
	return settle(book, func(script string, pass int) ([]byte, error) {
		say("Printing, pass %d ...", pass)
		if err := p.run(script); err != nil {
			return nil, fmt.Errorf("the browser can't number the pages: %w", err)
		}
		pdf, err := p.print()
		if err != nil {
			return nil, fmt.Errorf("the browser can't print the book: %w", err)
		}
		return pdf, nil
	})
}

func settle(book *templates.PrintBook, print func(script string, pass int) ([]byte, error)) (*printout, error) {
	to, before := map[string]int{}, map[string]bool{}
	for pass := 1; pass <= mostPasses; pass++ {
		pdf, err := print(book.Fill(to, before), pass)
		if err != nil {
			return nil, err
		}
		landed, pages, err := readPlaces(pdf)
		if err != nil {
			return nil, err
		}
		if pass > 1 && maps.Equal(landed, to) {
			return &printout{pdf, pages, pass, landed, len(before)}, nil
		}
		to, before = turn(book.Openers, landed, before)
	}
	return nil, fmt.Errorf("the page numbers did not settle after %d passes; print it again on another paper", mostPasses)
}

// turn works out before which openers a blank page is needed so that each lies
// on a right-hand page, which has an odd number, and where all anchors lie then.
// landed is where they lay with the blank pages of before.
func turn(openers []string, landed map[string]int, before map[string]bool) (map[string]int, map[string]bool) {
	next := map[string]bool{}
	type shift struct{ from, by int }
	var shifts []shift // from a page as landed on, how far all moves
	by := 0
	for _, opener := range openers {
		page, ok := landed[opener]
		if !ok {
			continue
		}
		id := strings.TrimPrefix(opener, "open-")
		if before[id] {
			by--
		}
		if (page+by)%2 == 0 {
			next[id] = true
			by++
		}
		shifts = append(shifts, shift{page, by})
	}
	to := make(map[string]int, len(landed))
	for anchor, page := range landed {
		to[anchor] = page
		for i := len(shifts) - 1; i >= 0; i-- {
			if page >= shifts[i].from {
				to[anchor] += shifts[i].by
				break
			}
		}
	}
	return to, next
}
