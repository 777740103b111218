package templates

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"rickyard/content"
	"rickyard/templates/tree"
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
// means.
func (p *page) markTerms(nodes tree.Nodes) tree.Nodes {
	if len(p.Book.Glossary) == 0 {
		return nodes
	}
	var marked tree.Nodes
	for _, n := range nodes {
		switch n := n.(type) {
		case tree.Text:
			marked = append(marked, p.markText(string(n))...)
			continue
		case *tree.Element:
			if !noTerms[n.Name] {
				n.Kids = p.markTerms(n.Kids)
			}
		}
		marked = append(marked, n)
	}
	return marked
}

// markText links terms in a stretch of text.
func (p *page) markText(text string) tree.Nodes {
	var nodes tree.Nodes
	last := 0
	word := false // the last character belongs to a word
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRuneInString(text[i:])
		if isWordRune(r) && !word {
			if t, end := p.terms.at(text[i:]); t != nil && !p.explained[t.ID] {
				p.explained[t.ID] = true
				p.glossed = append(p.glossed, t)
				nodes = append(nodes, tree.Join(tree.Text(text[last:i]), p.term(t, text[i:i+end]))...)
				i += end
				last, word = i, true
				continue
			}
		}
		word = isWordRune(r)
		i += n
	}
	return append(nodes, tree.Join(tree.Text(text[last:]))...)
}

// term links a use of a term to its explanation.
func (p *page) term(t *content.Term, text string) *tree.Element {
	id := p.anchor("rd-" + t.ID)
	if p.paper != nil {
		p.paper.mention(p.paper.terms, t.ID, id, false)
		return tree.E("span.term", tree.ID(id), tree.Text(text))
	}
	return tree.E("a.term", tree.ID(id), tree.Href("#d-"+t.ID), tree.Text(text))
}

// glossary is what the terms of a chapter mean.
func (p *page) glossary() *tree.Element {
	if len(p.glossed) == 0 {
		return nil
	}
	terms := slices.Clone(p.glossed)
	m := p.maker
	slices.SortStableFunc(terms, func(a, b *content.Term) int { return m.compare(a.Name, b.Name) })
	return p.part("glossary", "h2", tree.Nodes{txt(p.words.Say("terms"))}).Add(p.definitions(terms))
}

func (p *page) definitions(terms []*content.Term) *tree.Element {
	list := tree.E("dl")
	for _, t := range terms {
		list.Add(tree.E("div.def", tree.ID("d-"+t.ID), tree.E("dt", txt(upperFirst(t.Name))), tree.E("dd", p.line(t.Text))))
	}
	return list
}

// wholeGlossary has all terms of the book.
func (m *maker) wholeGlossary(p *page, terms []*content.Term) *tree.Element {
	if len(terms) == 0 {
		return nil
	}
	article := tree.E("article.chapter.back-matter", tree.ID("glossary"), tree.E("h1", txt(m.words.Say("glossary"))),
		tree.E("section.glossary", p.definitions(terms)))
	p.settle(article)
	return article
}

func upperFirst(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(r)) + text[n:]
}
