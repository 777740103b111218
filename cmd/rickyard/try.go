package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"rickyard/calc/farm"
	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
	"rickyard/data"
	"rickyard/templates"
)

// A trial is what is set otherwise than the data says.
type trial struct {
	With      []string // NAME=VALUE
	Low, High []string // names, or what stands before the dot of names
	Scenario  string
}

type tryCommand struct {
	Values   []string `arg:"" optional:"" name:"name=value" help:"An input and its value, such as prices.honey.porch=14 GBP/jar; quote what holds blanks."`
	Low      []string `help:"Set all inputs under a name, such as prices, to their low." sep:"none" placeholder:"NAME"`
	High     []string `help:"Set all inputs under a name to their high." sep:"none" placeholder:"NAME"`
	Scenario string   `help:"Set what a scenario of finance.yaml sets." placeholder:"NAME"`
	JSON     bool     `help:"Write the answer for programs to read, with all that moves." name:"json"`
}

// mostMoved is how many figures of a part are told.
const mostMoved = 5

// Run compares the workbook with itself under other values.
func (t *tryCommand) Run(all *commands, c *console) error {
	other := trial{With: t.Values, Low: t.Low, High: t.High, Scenario: t.Scenario}
	if len(t.Values)+len(t.Low)+len(t.High) == 0 && t.Scenario == "" {
		return errors.New("say what to try: NAME=VALUE, --low NAME, --high NAME or --scenario NAME")
	}
	was, _, err := load(all.Dir)
	if err != nil {
		return err
	}
	is, _, err := loadTrial(all.Dir, other)
	if err != nil {
		return err
	}
	a, err := answerOf(was, is)
	if err != nil {
		return err
	}
	if t.JSON {
		encoder := json.NewEncoder(c.out)
		encoder.SetIndent("", " ")
		encoder.SetEscapeHTML(false)
		return encoder.Encode(a)
	}
	a.print(c)
	return nil
}

// An answer is what a trial comes to.
type answer struct {
	Set    []string    `json:"set"`
	Checks []moved     `json:"checks"` // yes-or-no figures that come out otherwise
	Front  []moved     `json:"front"`  // all of the front page
	Parts  []movedPart `json:"parts"`  // what else comes out otherwise
}

type movedPart struct {
	Part    string  `json:"part"`
	Figures []moved `json:"figures"` // those that moved most first
}

type moved struct {
	Name  string  `json:"name"`
	Label string  `json:"label"`
	From  reading `json:"from"`
	To    reading `json:"to"`
	By    float64 `json:"moved,omitempty"` // as a share; see farm.Move
}

type reading struct {
	Value *float64 `json:"value"` // in unit; null for no answer
	Unit  string   `json:"unit,omitempty"`
	Text  string   `json:"text"`
}

func answerOf(was, is *templates.Workbook) (*answer, error) {
	a := &answer{Set: is.Trial, Checks: []moved{}, Front: []moved{}, Parts: []movedPart{}}
	tell := func(m farm.Move) moved {
		return moved{m.Is.Name, labelIn(is, m.Is), readingOf(was, m.Was), readingOf(is, m.Is), m.By}
	}
	told := map[string]bool{}
	front, errs := is.FrontFigures()
	if err := errs.Err(); err != nil {
		return nil, err
	}
	for _, f := range front {
		told[f.Name] = true
		if before := was.Graph.Lookup(f.Name); before != nil {
			a.Front = append(a.Front, tell(farm.Move{Was: before, Is: f}))
		} else {
			a.Front = append(a.Front, moved{Name: f.Name, Label: labelIn(is, f), From: reading{Text: "no such figure"}, To: readingOf(is, f)})
		}
	}
	for _, m := range farm.Flips(was.Graph, is.Graph) {
		a.Checks = append(a.Checks, tell(m))
	}
	names, part := partsOf(is)
	moves := farm.Moves(was.Graph, is.Graph, part)
	for _, name := range names {
		p := movedPart{Part: name}
		for _, m := range moves[name] {
			if !told[m.Is.Name] {
				p.Figures = append(p.Figures, tell(m))
			}
		}
		if len(p.Figures) > 0 {
			a.Parts = append(a.Parts, p)
		}
	}
	return a, nil
}

// labelIn is what a figure is called, with its enterprise's name.
func labelIn(book *templates.Workbook, f *figures.Figure) string {
	id, _, _ := strings.Cut(f.Name, ".")
	for i := range book.Enterprises {
		if s := &book.Enterprises[i]; s.ID == id {
			return book.Style.Words(say.With("%s: %s", say.Own(s.Name), say.Mid(f.Label)))
		}
	}
	return book.Style.Words(f.Label)
}

func readingOf(book *templates.Workbook, f *figures.Figure) reading {
	r := reading{Unit: f.Unit.String(), Text: book.Text(f)}
	if reason, none := book.Graph.Base().None(f); none {
		r.Text = "none (" + reason.String() + ")"
		return r
	}
	r.Value = number(f.Shown())
	return r
}

// partsOf lists the parts of the book, and says to which a figure belongs: that of
// the chapter which is called like the first part of its name, or of the first
// that shows anything under that; to none if the book shows nothing of it.
func partsOf(book *templates.Workbook) (names []string, part func(*figures.Figure) string) {
	of := map[string]string{}
	for _, ch := range book.Book.Chapters {
		name := ch.Part
		if name == "" {
			name = ch.Title
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
		of[ch.Name] = name
	}
	for _, ch := range book.Book.Chapters {
		for _, f := range ch.Figures {
			root, _, dotted := strings.Cut(f.Ref, ".")
			if _, known := of[root]; dotted && !known {
				of[root] = of[ch.Name]
			}
		}
	}
	return names, func(f *figures.Figure) string {
		root, _, _ := strings.Cut(f.Name, ".")
		return of[root]
	}
}

func (a *answer) print(c *console) {
	for _, set := range a.Set {
		fmt.Fprintf(c.out, "With %s\n", set)
	}
	line := func(m moved) {
		if m.From.Text == m.To.Text && m.By == 0 {
			fmt.Fprintf(c.out, "  %s: %s as before   %s\n", m.Label, m.To.Text, c.paint(dim, m.Name))
			return
		}
		fmt.Fprintf(c.out, "  %s: from %s to %s   %s\n", m.Label, m.From.Text, m.To.Text, c.paint(dim, m.Name))
	}
	section := func(title string, list []moved) {
		if len(list) > 0 {
			fmt.Fprintf(c.out, "\n%s\n", c.paint(bold, title))
		}
		for _, m := range list {
			line(m)
		}
	}
	if len(a.Checks) == 0 {
		fmt.Fprint(c.out, "\nNo check comes out otherwise.\n")
	}
	section("Checks that come out otherwise", a.Checks)
	section("The front page", a.Front)
	if len(a.Parts) == 0 {
		fmt.Fprint(c.out, "\nNothing else moves.\n")
	}
	for _, p := range a.Parts {
		list, title := p.Figures, p.Part
		if more := len(list) - mostMoved; more > 0 {
			list = list[:mostMoved]
			title += fmt.Sprintf(" (what moved most; %d more with --json)", more)
		}
		section(title, list)
	}
}

// settings says what was set.
func settings(all []data.Setting) []string {
	var texts []string
	for _, s := range all {
		text := s.String()
		if s.Widened != "" {
			text += ", beyond its " + s.Widened + ", so its range is wider"
		}
		texts = append(texts, text)
	}
	return texts
}

// put sets what the trial sets by names, and says what that is.
func (t *trial) put(whole *farm.Farm, style *quantity.Style) ([]string, error) {
	var said []string
	for _, end := range []struct {
		word  string
		names []string
		high  bool
	}{{"low", t.Low, false}, {"high", t.High, true}} {
		for _, name := range end.names {
			set := whole.Ends(name, end.high)
			if len(set) == 0 {
				return nil, nearly(fmt.Sprintf("no input under %s has a %s", name, end.word), name, whole.Ranged(), "give inputs a low and a high in the data")
			}
			whole.Instead = append(whole.Instead, set...)
			said = append(said, fmt.Sprintf("%s at the %s of %s", name, end.word, inputs(len(set))))
		}
	}
	if t.Scenario == "" {
		return said, nil
	}
	var known []string
	for i := range whole.Scenarios {
		x := &whole.Scenarios[i]
		if known = append(known, x.ID); x.ID != t.Scenario {
			continue
		}
		whole.Instead = append(whole.Instead, whole.Scenario(x)...)
		text := fmt.Sprintf("the scenario %s (%s)", x.ID, x.Label)
		if x.From != 0 {
			text += ", as if it held for the whole plan"
		}
		return append(said, text), nil
	}
	return nil, nearly("no scenario is called "+t.Scenario, t.Scenario, known, "write one under scenarios: in data/finance.yaml")
}

func inputs(n int) string {
	if n == 1 {
		return "1 input"
	}
	return fmt.Sprintf("%d inputs", n)
}

// nearly is a mistake in a name, with the nearest that there is, or all if they
// are few.
func nearly(message, name string, known []string, otherwise string) error {
	switch near := source.Nearest(name, known); {
	case near != "":
		otherwise = "did you mean " + near + "?"
	case len(known) > 0 && len(known) <= 12:
		otherwise = "there are " + join(known)
	}
	return fmt.Errorf("%s; %s", message, otherwise)
}
