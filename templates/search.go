package templates

import (
	"encoding/json"
	"html"
	"strings"
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

// unsought are the elements whose text is not searched: drawings, and what the
// search finds as figures and terms.
var unsought = []string{"svg", "details", "tbody", "thead"}

// sections takes a page apart at its headings h2 and h3 that have an anchor.
// What stands before the first belongs to the page itself.
func sections(page string) []section {
	var all []section
	var text, title strings.Builder
	now := section{}
	shut := func() {
		now.text = strings.Join(strings.Fields(html.UnescapeString(text.String())), " ")
		if now.text != "" || now.title != "" {
			all = append(all, now)
		}
		text.Reset()
	}
	inTitle := ""
	for i := 0; i < len(page); {
		if page[i] != '<' {
			end := strings.IndexByte(page[i:], '<')
			if end < 0 {
				end = len(page) - i
			}
			if inTitle != "" {
				title.WriteString(page[i : i+end])
			} else {
				text.WriteString(page[i : i+end])
			}
			i += end
			continue
		}
		end := strings.IndexByte(page[i:], '>')
		if end < 0 {
			break
		}
		tag := page[i+1 : i+end]
		i += end + 1
		name := strings.TrimPrefix(tag, "/")
		name = name[:wordEnd(name)]
		switch {
		case strings.HasPrefix(tag, "section class=\"workings\"") || strings.HasPrefix(tag, "section class=\"glossary\""):
			shut()
			return all
		case tag == `p class="as-shown"`: // the same everywhere
			if end := strings.Index(page[i:], "</p>"); end >= 0 {
				i += end
			}
		case tag[0] != '/' && (name == "h2" || name == "h3"):
			shut()
			now = section{id: attributeOf(tag, "id")}
			title.Reset()
			inTitle = name
		case tag[0] != '/' && name == "h1":
			inTitle = name
		case tag[0] == '/' && name == inTitle:
			if name != "h1" {
				now.title = strings.Join(strings.Fields(html.UnescapeString(title.String())), " ")
			}
			title.Reset()
			inTitle = ""
		case tag[0] != '/' && contains(unsought, name) && !strings.HasSuffix(tag, "/"):
			if shut := strings.Index(page[i:], "</"+name); shut >= 0 {
				i += shut
			}
		}
		switch name {
		case "a", "b", "strong", "em", "span", "code", "sup", "small", "i":
		default:
			text.WriteByte(' ') // a block ends a word
		}
	}
	shut()
	return all
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}

func attributeOf(tag, name string) string {
	_, rest, ok := strings.Cut(tag, " "+name+`="`)
	if !ok {
		return ""
	}
	value, _, _ := strings.Cut(rest, `"`)
	return html.UnescapeString(value)
}
