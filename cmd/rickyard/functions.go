package main

import (
	"fmt"
	"io"
	"strings"

	"rickyard/calc/farm"
	"rickyard/calc/formula"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

type functionsCommand struct {
	Name string `arg:"" optional:"" help:"Of which function, as loan_payment. Left out: of all."`
}

// Run prints what formulas can call.
func (f *functionsCommand) Run(c *console) error {
	entries := formula.Describe(farm.Functions...)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name)
		if f.Name == "" || f.Name == e.Name {
			describe(c.out, e)
		}
		if f.Name == e.Name {
			return nil
		}
	}
	if f.Name == "" {
		return nil
	}
	err := source.Errorf(source.UnknownRef, source.Span{}, "there is no function %s", f.Name)
	if near := source.Nearest(f.Name, names); near != "" {
		err.With("did you mean %s?", near)
	}
	return err
}

// describe writes one function: how it is called, what it gives, its arguments
// with their limits, and where it is published.
func describe(w io.Writer, e formula.Entry) {
	fmt.Fprintf(w, "%s\n    %s\n", e.Usage, e.About)
	for _, a := range e.Args {
		parts := []string{a.About.String()}
		add := func(format string, words say.Text) {
			if words != "" {
				parts = append(parts, fmt.Sprintf(format, words))
			}
		}
		if a.Sense == "" && a.Published == "" && a.Unit != "" {
			parts = append(parts, "in "+a.Unit)
		}
		add("%s", a.Sense)
		add("published for %s", a.Published)
		fmt.Fprintf(w, "      %-12s %s\n", a.Name, strings.Join(parts, "; "))
	}
	for _, rule := range e.Rules {
		fmt.Fprintf(w, "    No answer where %s.\n", rule)
	}
	if e.Source != "" {
		fmt.Fprintf(w, "    Source: %s\n", e.Source)
	}
	fmt.Fprintln(w)
}
