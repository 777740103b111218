package main

import (
	"fmt"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/source"
	"rickyard/templates"
)

type explainCommand struct {
	Name  string   `arg:"" help:"The figure's full name, such as broilers.net_margin."`
	Depth int      `help:"How many steps to go down; 0 for all." default:"0"`
	With  []string `help:"Another value for an input, as if the data said so. Can be given more than once." sep:"none" placeholder:"NAME=VALUE"`
}

// Run prints the figure, its formula and what it rests on.
func (e *explainCommand) Run(all *commands, c *console) error {
	book, _, err := loadTrial(all.Dir, trial{With: e.With})
	if err != nil {
		return err
	}
	f, err := book.Graph.Find("", e.Name, source.Span{})
	if err != nil {
		return err
	}
	for _, set := range book.Trial {
		fmt.Fprintf(c.out, "A trial: %s\n", set)
	}
	x := &explainer{console: c, book: book, depth: e.Depth, seen: map[string]bool{}}
	x.figure(f, 0)
	leaves := f.Leaves()
	if !f.IsInput() {
		fmt.Fprintf(c.out, "\n%s\n", c.paint(bold, fmt.Sprintf("It rests on %d inputs:", len(leaves))))
		for _, leaf := range leaves {
			x.input(leaf, 1)
		}
	}
	if users := f.Users(); len(users) > 0 {
		names := make([]string, 0, len(users))
		for _, u := range users {
			if !u.Hidden {
				names = append(names, u.Name)
			}
		}
		if len(names) > 0 {
			fmt.Fprintf(c.out, "\nIt is used for: %s\n", strings.Join(names, ", "))
		}
	}
	return nil
}

type explainer struct {
	*console
	book  *templates.Workbook
	depth int
	seen  map[string]bool
}

func (x *explainer) figure(f *figures.Figure, level int) {
	indent := strings.Repeat("  ", level)
	fmt.Fprintf(x.out, "%s%s = %s", indent, x.paint(bold, f.Name), x.book.Text(f))
	if f.Label != "" {
		fmt.Fprintf(x.out, "   %s", f.Label)
	}
	if x.seen[f.Name] && len(f.Needs()) > 0 {
		fmt.Fprint(x.out, "   (as above)\n")
		return
	}
	x.seen[f.Name] = true
	fmt.Fprintf(x.out, "   %s\n", x.paint(dim, f.Place.Position().String()))
	if f.IsInput() {
		x.origin(f, indent)
		return
	}
	if reason, none := x.book.Graph.Base().None(f); none {
		fmt.Fprintf(x.out, "%s  no answer: %s\n", indent, reason)
	}
	if f.Found != "" {
		fmt.Fprintf(x.out, "%s  %s\n", indent, f.Found)
	} else {
		fmt.Fprintf(x.out, "%s  = %s\n", indent, strings.Join(strings.Fields(f.Formula.Span.Text()), " "))
	}
	if x.depth > 0 && level >= x.depth {
		return
	}
	for _, need := range f.Needs() {
		x.figure(need, level+1)
	}
}

func (x *explainer) input(f *figures.Figure, level int) {
	indent := strings.Repeat("  ", level)
	fmt.Fprintf(x.out, "%s%s = %s   %s\n", indent, f.Name, x.book.Text(f), x.paint(dim, f.Place.Position().String()))
	x.origin(f, indent)
}

func (x *explainer) origin(f *figures.Figure, indent string) {
	var parts []string
	if f.Low != nil && f.High != nil {
		parts = append(parts, fmt.Sprintf("from %s to %s", x.book.Style.Text(*f.Low, f.Unit, f.Step), x.book.Style.Text(*f.High, f.Unit, f.Step)))
	}
	if f.Source != "" {
		parts = append(parts, "source: "+f.Source.String())
	}
	if f.AsOf != "" {
		parts = append(parts, "as of "+f.AsOf)
	}
	if len(parts) > 0 {
		fmt.Fprintf(x.out, "%s  %s\n", indent, strings.Join(parts, "; "))
	}
}
