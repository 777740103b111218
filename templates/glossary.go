package templates

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"rickyard/content"
)

// A termFinder finds the terms of a glossary in running text.
type termFinder struct {
	byFirst map[string][]termWords // by the first word, longest first
}

type termWords struct {
	words []string // in small letters
	term  *content.Term
}

func newTermFinder(terms []*content.Term) *termFinder {
	f := &termFinder{byFirst: map[string][]termWords{}}
	for _, t := range terms {
		for _, form := range t.Words() {
			words := strings.FieldsFunc(strings.ToLower(form), func(r rune) bool { return !isWordRune(r) })
			if len(words) > 0 {
				f.byFirst[words[0]] = append(f.byFirst[words[0]], termWords{words, t})
			}
		}
	}
	for _, forms := range f.byFirst {
		slices.SortStableFunc(forms, func(a, b termWords) int { return cmp.Compare(len(b.words), len(a.words)) })
	}
	return f
}

func isWordRune(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }

// at returns the term that begins at the start of text, which starts a word,
// and where it ends; nil if none does.
func (f *termFinder) at(text string) (*content.Term, int) {
	for _, form := range f.byFirst[strings.ToLower(text[:wordEnd(text)])] {
		end := 0
		for i, word := range form.words {
			if i > 0 {
				gap := gapEnd(text[end:])
				if gap == 0 {
					end = -1
					break
				}
				end += gap
			}
			n := wordEnd(text[end:])
			if !strings.EqualFold(text[end:end+n], word) {
				end = -1
				break
			}
			end += n
		}
		if end > 0 {
			return form.term, end
		}
	}
	return nil, 0
}

func wordEnd(text string) int {
	for i, r := range text {
		if !isWordRune(r) {
			return i
		}
	}
	return len(text)
}

// gapEnd measures what may stand between the words of a term: blanks, one line
// end, a hyphen, an apostrophe.
func gapEnd(text string) int {
	for i, r := range text {
		if !strings.ContainsRune(" \n\u00a0-\u2010\u2011'’", r) {
			return i
		}
	}
	return len(text)
}

// noTerms are the elements in which no term is marked: what is a link already,
// a heading, a table, a drawing.
var noTerms = map[string]bool{"a": true, "h1": true, "h2": true, "h3": true, "h4": true, "h5": true, "h6": true,
	"table": true, "svg": true, "figure": true, "code": true, "pre": true, "section": true, "aside": true, "div": true}

// markTerms links the first use of each term in a chapter's text to what it
// means. It works on the page as written, where a term that a line end parts is
// one piece of text again.
func (p *page) markTerms(html string) string {
	if len(p.Book.Glossary) == 0 {
		return html
	}
	var b strings.Builder
	skip := 0 // elements of noTerms that are open
	for i := 0; i < len(html); {
		if html[i] == '<' {
			end := strings.IndexByte(html[i:], '>')
			if end < 0 {
				b.WriteString(html[i:])
				break
			}
			tag := html[i+1 : i+end]
			name := strings.TrimPrefix(tag, "/")
			name = name[:wordEnd(name)]
			if noTerms[name] {
				if tag[0] == '/' {
					skip--
				} else if !strings.HasSuffix(tag, "/") {
					skip++
				}
			}
			b.WriteString(html[i : i+end+1])
			i += end + 1
			continue
		}
		end := strings.IndexByte(html[i:], '<')
		if end < 0 {
			end = len(html) - i
		}
		if skip > 0 {
			b.WriteString(html[i : i+end])
		} else {
			p.markText(&b, html[i:i+end])
		}
		i += end
	}
	return b.String()
}

// markText links terms in a stretch of text.
func (p *page) markText(b *strings.Builder, text string) {
	word := false // the last character belongs to a word
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRuneInString(text[i:])
		if text[i] == '&' { // an entity is no word
			if end := strings.IndexByte(text[i:], ';'); end > 0 {
				n = end + 1
			}
		} else if isWordRune(r) && !word {
			if t, end := p.terms.at(text[i:]); t != nil && !p.explained[t.ID] {
				p.explained[t.ID] = true
				p.glossed = append(p.glossed, t)
				b.WriteString(p.term(t, text[i:i+end]))
				i += end
				word = true
				continue
			}
		}
		word = text[i] != '&' && isWordRune(r)
		b.WriteString(text[i : i+n])
		i += n
	}
}

// term links a use of a term, which is HTML already, to its explanation.
func (p *page) term(t *content.Term, text string) string {
	id := "rd-" + t.ID
	if p.together {
		id = p.made.Name + "--" + id
	}
	if p.paper != nil {
		p.paper.mention(p.paper.terms, t.ID, id, false)
		return fmt.Sprintf(`<span class="term" id="%s">%s</span>`, esc(id), text)
	}
	return fmt.Sprintf(`<a class="term" id="%s" href="#d-%s">%s</a>`, esc(id), esc(t.ID), text)
}

// glossary writes what the terms of a chapter mean.
func (p *page) glossary() {
	if len(p.glossed) == 0 {
		return
	}
	terms := slices.Clone(p.glossed)
	m := p.maker
	slices.SortStableFunc(terms, func(a, b *content.Term) int { return m.compare(a.Name, b.Name) })
	id := p.id("glossary")
	p.putf("<section class=\"glossary\" aria-labelledby=\"%s\"><h2 id=\"%[1]s\">%s</h2>\n", id, esc(p.words.Say("terms")))
	p.definitions(terms)
	p.put("</section>\n")
}

func (p *page) definitions(terms []*content.Term) {
	p.put("<dl>")
	for _, t := range terms {
		p.putf(`<div class="def" id="d-%s"><dt>%s</dt><dd>%s</dd></div>`+"\n", esc(t.ID), esc(upperFirst(t.Name)), p.line(t.Text))
	}
	p.put("</dl>\n")
}

// wholeGlossary writes all terms of the book.
func (m *maker) wholeGlossary(p *page, terms []*content.Term) string {
	if len(terms) == 0 {
		return ""
	}
	p.putf("<article class=\"chapter back-matter\" id=\"glossary\"><h1>%s</h1>\n<section class=\"glossary\">", esc(m.words.Say("glossary")))
	p.definitions(terms)
	p.put("</section>\n")
	if !p.together {
		p.workings()
	}
	p.put("</article>\n")
	return p.b.String()
}

func upperFirst(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(r)) + text[n:]
}
