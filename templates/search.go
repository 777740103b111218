package templates

import (
	"encoding/json"
	"strings"

	"rickyard/templates/tree"
)

// searchFile holds what the search knows, as a script: a page opened from a disk
// may load a script beside it, but no other file.
const searchFile = "search-index.js"

// Kinds of what can be found, as search.js knows them.
const (
	findHeading = iota // a chapter or a section of it, with its text
	findTerm
	findFigure
)

// A finding is one thing that can be found: its kind, the number of its page in
// the list of pages, its anchor there, what it is called and the text with it.
type finding [5]any

// searchIndex lists all that can be found, in the order of the book.
func (m *maker) searchIndex() []byte {
	pages := [][2]string{}
	findings := []finding{}
	page := func(title, href string) int {
		pages = append(pages, [2]string{title, href})
		return len(pages) - 1
	}
	for _, c := range m.chapters {
		at := page(c.Title, c.href())
		for _, s := range sections(c.article) {
			title := s.title
			if s.id == "" {
				title = c.Title
			}
			findings = append(findings, finding{findHeading, at, s.id, title, s.text})
		}
		for _, f := range c.figures {
			if f.Hidden || f.Label == "" {
				continue
			}
			anchor := "r-" + f.Name
			if c.rows[f.Name] {
				anchor = "w-" + f.Name
			}
			findings = append(findings, finding{findFigure, at, anchor, m.label(f, c.Name), m.shown(f)})
		}
	}
	if len(m.Book.Glossary) > 0 {
		at := page(m.words.Say("glossary"), "glossary.html")
		for _, t := range m.Book.Glossary {
			findings = append(findings, finding{findTerm, at, "d-" + t.ID, upperFirst(t.Name), strings.Join(append([]string{t.Text.Plain()}, t.Also...), "; ")})
		}
	}
	data, err := json.Marshal(map[string]any{"pages": pages, "findings": findings})
	if err != nil {
		m.errs.Add(err)
	}
	return append([]byte("window.rickyardIndex="), append(data, ';', '\n')...)
}

// A section is the text below one heading of a page.
type section struct{ id, title, text string }

// sections takes a page apart at its headings h2 and h3 that have an anchor.
// What stands before the first belongs to the page itself.
func sections(page *tree.Element) []section {
	s := sectioner{}
	s.walk(page.Kids)
	s.shut()
	return s.all
}

type sectioner struct {
	all  []section
	now  section
	text strings.Builder
}

func (s *sectioner) shut() {
	s.now.text = strings.Join(strings.Fields(s.text.String()), " ")
	if s.now.text != "" || s.now.title != "" {
		s.all = append(s.all, s.now)
	}
	s.text.Reset()
}

// inText are the elements that end no word.
var inText = map[string]bool{"a": true, "b": true, "strong": true, "em": true, "span": true, "code": true, "sup": true, "small": true, "i": true}

// unsought reports whether the text of an element is not searched: numbers, which
// the search finds as figures, what it finds as terms, and what is the same
// everywhere.
func unsought(e *tree.Element) bool {
	switch e.Name {
	case "svg", "details", "tbody", "thead", "h1":
		return true
	}
	return e.Is("as-shown") || e.Name == "section" && (e.Is("workings") || e.Is("glossary"))
}

func (s *sectioner) walk(nodes []tree.Node) {
	for _, n := range nodes {
		switch n := n.(type) {
		case tree.Text:
			s.text.WriteString(string(n))
		case *tree.Element:
			switch {
			case n.Name == "h2" || n.Name == "h3":
				s.shut()
				s.now = section{id: n.Get("id"), title: tree.Plain(n)}
			case !unsought(n):
				s.walk(n.Kids)
			}
			if !inText[n.Name] {
				s.text.WriteByte(' ') // a block ends a word
			}
		}
	}
}
