package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/source"
	"rickyard/templates"
)

type explainCommand struct {
	Name  string   `arg:"" help:"The figure's full name, such as broilers.net_margin."`
	Depth int      `help:"How many steps to go down; with --all as many as there are." default:"1"`
	JSON  bool     `name:"json" help:"As data, for other programs."`
	With  []string `help:"Another value for an input, as if the data said so. Can be given more than once." sep:"none" placeholder:"NAME=VALUE"`
}

// What is printed of a figure before the rest is folded, and at most of all.
const (
	fewLines  = 30
	fewUses   = 12
	mostLines = 5000
)

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
	if e.JSON {
		raw, err := json.MarshalIndent(explained(book, f), "", " ")
		fmt.Fprintf(c.out, "%s\n", raw)
		return err
	}
	for _, set := range book.Trial {
		fmt.Fprintf(c.out, "A trial: %s\n", set)
	}
	x := &explainer{console: c, book: book, depth: e.Depth, few: fewLines, uses: fewUses, room: mostLines, seen: map[*figures.Figure]bool{}}
	if all.All {
		x.depth, x.few, x.uses = mostLines, mostLines, mostLines
	}
	x.figure(f, 0)
	if !f.IsInput() {
		x.inputs(f.Leaves())
	}
	x.users(f)
	if x.folded {
		fmt.Fprintf(c.out, "\n%s\n", x.paint(dim, "--depth goes further down, --all leaves nothing out."))
	}
	return nil
}

// An explanation is what explain says of a figure, as data.
type explanation struct {
	record
	Label   string   `json:"label"`
	Formula string   `json:"formula,omitempty"`
	Found   string   `json:"found,omitempty"`  // how an engine comes by it
	Reason  string   `json:"reason,omitempty"` // why it has no answer
	Reads   []string `json:"reads"`            // what it is worked from
	Leaves  []string `json:"leaves"`           // the inputs that it rests on
	Low     *float64 `json:"low,omitempty"`    // in unit, as High
	High    *float64 `json:"high,omitempty"`
	Source  string   `json:"source,omitempty"`
	AsOf    string   `json:"as_of,omitempty"`
	Trial   []string `json:"trial,omitempty"` // the values with which it is tried
}

func explained(book *templates.Workbook, f *figures.Figure) explanation {
	e := explanation{record: recordOf(book, f), Label: f.Label.In(book.Style.Language), Reads: namesOf(f.Needs()), Leaves: []string{}, Source: f.Source.String(), AsOf: f.AsOf}
	if f.Formula != nil {
		e.Formula = formulaText(f)
	}
	e.Found = f.Found.In(book.Style.Language)
	if reason, none := book.Graph.Base().None(f); none && !f.Text {
		e.Reason = reason.In(book.Style.Language)
	}
	if !f.IsInput() {
		e.Leaves = namesOf(f.Leaves())
	}
	in := func(x *float64) *float64 {
		if x == nil {
			return nil
		}
		return number(f.Unit.FromBase(*x))
	}
	e.Low, e.High = in(f.Low), in(f.High)
	for _, set := range book.Trial {
		e.Trial = append(e.Trial, fmt.Sprint(set))
	}
	return e
}

func namesOf(figures []*figures.Figure) []string {
	names := make([]string, len(figures))
	for i, f := range figures {
		names[i] = f.Name
	}
	return names
}

// formulaText is a figure's formula on one line.
func formulaText(f *figures.Figure) string {
	return strings.Join(strings.Fields(f.Definition.Formula.Text()), " ")
}

type explainer struct {
	*console
	book      *templates.Workbook
	depth     int
	few, uses int // how much of a list is printed
	room      int // lines that may still be printed of what a figure is worked from
	folded    bool
	seen      map[*figures.Figure]bool
}

// mostSetIn is how far lines are set in: steps below stand under one another.
const mostSetIn = 12

func (x *explainer) line(f *figures.Figure, level int) (indent string) {
	indent = strings.Repeat("  ", min(level, mostSetIn))
	fmt.Fprintf(x.out, "%s%s = %s", indent, x.paint(bold, f.Name), x.book.Text(f))
	if f.Label != "" {
		fmt.Fprintf(x.out, "   %s", f.Label.In(x.book.Style.Language))
	}
	return indent
}

func (x *explainer) figure(f *figures.Figure, level int) {
	x.room--
	indent := x.line(f, level)
	if x.seen[f] && len(f.Needs()) > 0 {
		fmt.Fprint(x.out, "   (as above)\n")
		return
	}
	x.seen[f] = true
	fmt.Fprintf(x.out, "   %s\n", x.paint(dim, f.Place.Position().String()))
	if reason, none := x.book.Graph.Base().None(f); none && !f.Text {
		fmt.Fprintf(x.out, "%s  no answer: %s\n", indent, reason.In(x.book.Style.Language))
	}
	if level == 0 {
		x.series(f)
	}
	switch {
	case f.IsInput():
		x.origin(f, indent)
		return
	case f.Found != "":
		fmt.Fprintf(x.out, "%s  %s\n", indent, f.Found.In(x.book.Style.Language))
	default:
		fmt.Fprintf(x.out, "%s  = %s\n", indent, formulaText(f))
	}
	needs := f.Needs()
	if level >= x.depth {
		x.folded = x.folded || len(needs) > 0
		return
	}
	for i, need := range needs {
		if left := len(needs) - i; i >= x.few || x.room <= 0 {
			fmt.Fprintf(x.out, "%s  %s\n", indent, x.paint(dim, fmt.Sprintf("and %d more that it is worked from", left)))
			x.folded = true
			return
		}
		x.figure(need, level+1)
	}
}

// series prints what a series is, and its values.
func (x *explainer) series(f *figures.Figure) {
	if f.Type.Len == 0 || f.Text {
		return
	}
	var values []string
	for m, value := range f.Months() {
		if m >= max(12, x.few) {
			values = append(values, "...")
			x.folded = true
			break
		}
		if value-value != 0 {
			values = append(values, "none")
			continue
		}
		values = append(values, x.book.Style.Figures(value, f.Unit, f.Step))
	}
	fmt.Fprintf(x.out, "  %d values (%s): %s\n", f.Type.Len, f.Type.Kind, strings.Join(values, "; "))
}

// inputs prints the inputs that a figure rests on, by the files in which they
// stand.
func (x *explainer) inputs(leaves []*figures.Figure) {
	title := fmt.Sprintf("It rests on %d inputs:", len(leaves))
	switch len(leaves) {
	case 0:
		title = "It rests on no input."
	case 1:
		title = "It rests on one input:"
	}
	fmt.Fprintf(x.out, "\n%s\n", x.paint(bold, title))
	file := func(f *figures.Figure) string { return f.Place.Position().File }
	slices.SortStableFunc(leaves, func(a, b *figures.Figure) int { return cmp.Compare(file(a), file(b)) })
	whole := len(leaves) <= x.few
	for len(leaves) > 0 {
		of := leaves
		if i := slices.IndexFunc(leaves, func(f *figures.Figure) bool { return file(f) != file(leaves[0]) }); i > 0 {
			of = leaves[:i]
		}
		leaves = leaves[len(of):]
		fmt.Fprintf(x.out, "  %s: %d\n", file(of[0]), len(of))
		if !whole {
			x.folded = true
			continue
		}
		for _, leaf := range of {
			indent := x.line(leaf, 2)
			fmt.Fprintf(x.out, "   %s\n", x.paint(dim, leaf.Place.Position().String()))
			x.origin(leaf, indent)
		}
	}
}

func (x *explainer) users(f *figures.Figure) {
	names := namesOf(slices.DeleteFunc(slices.Clone(f.Users()), func(u *figures.Figure) bool { return u.Hidden }))
	if len(names) == 0 {
		return
	}
	if left := len(names) - x.uses; left > 0 {
		names = append(names[:x.uses], fmt.Sprintf("and %d more", left))
		x.folded = true
	}
	fmt.Fprintf(x.out, "\nIt is used for: %s\n", strings.Join(names, ", "))
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
