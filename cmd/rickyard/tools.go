package main

import (
	"errors"
	"fmt"
	"os"

	"rickyard/templates"
)

type toolsCommand struct {
	Browser string `help:"Look at this browser, not at the one that is found." placeholder:"PATH"`
}

// A tool is something that the program needs and does not bring with it.
type tool struct {
	name    string
	here    string // what was found; "" if it is missing
	serves  string
	remedy  string
	without string // what still works
}

// Run says what is missing on this machine and how to get it. It fails if
// anything is.
func (t *toolsCommand) Run(c *console) error {
	missing := 0
	for _, tool := range t.look() {
		if tool.here != "" {
			fmt.Fprintf(c.out, "%-14s here: %s\n", tool.name, tool.here)
			continue
		}
		missing++
		fmt.Fprintf(c.out, "%-14s %s\n", tool.name, c.paint(red, "missing"))
		fmt.Fprintf(c.out, "%-14s needed to %s\n%-14s %s\n", "", tool.serves, "", tool.remedy)
		if tool.without != "" {
			fmt.Fprintf(c.out, "%-14s %s\n", "", tool.without)
		}
	}
	switch missing {
	case 0:
		fmt.Fprintln(c.out, "Nothing is missing.")
		return nil
	case 1:
		return errors.New("one tool is missing")
	}
	return fmt.Errorf("%d tools are missing", missing)
}

func (t *toolsCommand) look() []tool {
	charts := tool{name: "Chart script", serves: "draw charts: build, watch, print and ebook stop without it",
		remedy: "take a released rickyard, which has it built in; or in the source run: go generate ./... and build again"}
	if templates.ChartScript() != "" {
		charts.here = "built in"
	}
	browser := tool{name: "Browser", serves: "print the book and draw its cover as PDF: print, cover",
		remedy:  "install Chromium, Chrome or Edge; or name one with --browser PATH or the variable " + browserVariable,
		without: "build, watch and ebook work without it, and cover --out cover.svg"}
	path, err := findBrowser(t.Browser)
	switch {
	case err == nil:
		browser.here = path
		if version := browserVersion(path); version != "" {
			browser.here += " (" + version + ")"
		}
	case !errors.Is(err, errNoBrowser):
		browser.remedy = err.Error()
	}
	cache := tool{name: "Cache folder", serves: "keep drawn charts from one build to the next, which saves time and nothing else",
		remedy: "set HOME (on Windows LocalAppData) to a folder that can be written to", without: "everything works without it"}
	if dir := chartCache(); dir != "" {
		if err := os.MkdirAll(dir, 0o755); err == nil {
			cache.here = dir
		}
	}
	return []tool{charts, browser, cache}
}
