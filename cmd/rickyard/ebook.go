package main

import (
	"fmt"

	"rickyard/cmd/rickyard/publish"
)

type ebookCommand struct {
	Part string `help:"Only this part of the book, named under parts in farm.yaml." placeholder:"NAME"`
	Out  string `help:"Where to write it; by default book.epub in the workbook's folder, or the part's name." placeholder:"FILE.epub" type:"path"`
}

// Run writes the book as an EPUB.
func (e *ebookCommand) Run(all *commands, c *console) error {
	out, err := outFile(all.Dir, e.Out, e.Part, ".epub")
	if err != nil {
		return err
	}
	progress := c.progress()
	defer progress.done()
	progress.say("Reading %s ...", all.Dir)
	book, _, err := loadPart(all.Dir, e.Part)
	if err != nil {
		return err
	}
	book.Drawer = newDrawer(all.Dir)
	book.Progress = func(done, total int, what string) { progress.say("%d of %d: %s ...", done+1, total, what) }
	file, err := book.Ebook()
	if err != nil {
		return err
	}
	if err := c.heed(publish.File(out, file)); err != nil {
		return err
	}
	progress.done()
	fmt.Fprintf(c.out, "%s: %d kB\n", out, (len(file)+500)/1000)
	return nil
}
