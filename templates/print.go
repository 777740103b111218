package templates

import (
	"encoding/json"
	"fmt"
	"slices"
	"sort"
	"strings"

	"rickyard/calc/figures"
	"rickyard/content"
	"rickyard/templates/chart"
	"rickyard/templates/tree"
)

// A Format is the paper that a book is printed on; lengths in metres. Inner is
// the margin at the spine: on the left of a right-hand page, on the right of a
// left-hand one.
type Format struct {
	Width, Height             float64
	Inner, Outer, Top, Bottom float64
}

// A PrintBook is the whole book as one page of HTML that stands by itself, to be
// printed by a browser. Where its parts land is known only then, so printing
// takes at least two passes: print, read on which page each anchor landed, Fill
// the page, print again.
type PrintBook struct {
	HTML    []byte
	Openers []string // ids of what opens on a right-hand page, in order
	Title   string
}

// Fill returns a script that puts page numbers into the printed page: to says on
// which page each anchor lies, before which of the openers a blank page stands.
func (*PrintBook) Fill(to map[string]int, before map[string]bool) string {
	var blanks []string
	for id := range before {
		if before[id] {
			blanks = append(blanks, id)
		}
	}
	sort.Strings(blanks)
	data, _ := json.Marshal(map[string]any{"to": to, "blanks": append([]string{}, blanks...)}) // of texts and numbers, which does not fail
	return "rickyardFill(" + string(data) + ")"
}

// printScript is run by the browser that prints, never delivered with a page.
const printScript = `
function rickyardFill(o) {
  "use strict";
  var doc = document;
  doc.querySelectorAll("[data-to]").forEach(function (e) {
    var page = o.to[e.dataset.to];
    e.textContent = page === undefined ? "000" : page;
  });
  doc.querySelectorAll("[data-each]").forEach(function (e) {
    var seen = {}, first = true;
    e.querySelectorAll("a").forEach(function (a) {
      var page = o.to[a.getAttribute("href").slice(1)];
      var text = page === undefined ? "000" : String(page);
      var again = page !== undefined && seen[text];
      a.textContent = again ? "" : (first ? "" : ", ") + text;
      if (again) { if (a.className) seen[text].className = a.className; return; }
      seen[text] = a;
      first = false;
    });
  });
  doc.querySelectorAll(".blank-leaf").forEach(function (e) {
    e.hidden = o.blanks.indexOf(e.dataset.before) < 0;
  });
}
`

// A paper is what a printed edition gathers for its index.
type paper struct {
	terms   map[string][]mention
	figures map[string][]mention
}

// A mention is a place in the text that the index leads to; main marks the one
// where a figure is worked out.
type mention struct {
	anchor string
	main   bool
}

func (p *paper) mention(in map[string][]mention, name, anchor string, main bool) {
	in[name] = append(in[name], mention{anchor, main})
}

// onPage says behind a link on paper where it leads.
func (p *page) onPage(chapter, heading string) tree.Nodes {
	if p.paper == nil {
		return nil
	}
	to := strings.TrimPrefix(p.chapterHref(chapter, heading), "#")
	return tree.Join(tree.Text(" "), tree.E("span.on-page", tree.Text("("), phrase(p.words.Say("on_page"), tree.E("span", tree.A("data-to", to), tree.Text(noPage))), tree.Text(")")))
}

// noPage stands for a page's number until it is known.
const noPage = "000"

// Print makes the book for paper. It fails as Make does.
func (b *Workbook) Print(f Format) (*PrintBook, error) {
	m, err := b.maker()
	if err != nil {
		return nil, err
	}
	book := &paper{terms: map[string][]mention{}, figures: map[string][]mention{}}
	m.chapters = m.chosen()
	out := &PrintBook{Title: b.Title}
	var body tree.Nodes
	used := map[string]*figures.Figure{}
	terms := map[string]*content.Term{}
	var rules strings.Builder
	open := func(id, title string, article *tree.Element) tree.Nodes {
		out.Openers = append(out.Openers, "open-"+id)
		fmt.Fprintf(&rules, "#open-%s{page:p-%[1]s}@page p-%[1]s:right{@top-right{content:%s}}", id, cssText(title))
		return tree.Join(tree.E("div.blank-leaf", tree.A("data-before", id), tree.A("hidden", "")), tree.E("div.opener", tree.ID("open-"+id), article))
	}
	for i, c := range m.chapters {
		if m.Progress != nil {
			m.Progress(i, len(m.chapters), c.Title)
		}
		p := m.newPage(c, true)
		p.paper = book
		article := p.chapter()
		sharpen(article)
		body = append(body, open(c.Name, c.Title, article)...)
		for _, f := range p.used {
			used[f.Name] = f
		}
		for _, t := range p.glossed {
			terms[t.ID] = t
		}
	}
	var items []navItem
	for _, b := range []struct {
		id, title string
		article   *tree.Element
	}{{"glossary", m.words.Say("glossary"), m.printedGlossary(book, terms)}, {"workings", m.words.Say("print_workings"), m.printedWorkings(used)},
		{"index", m.words.Say("index"), m.index(book, used)}} {
		if b.article != nil {
			body = append(body, open(b.id, b.title, b.article)...)
			items = append(items, navItem{Title: b.title, Href: "#open-" + b.id})
		}
	}
	openers := out.Openers
	out.Openers = nil
	contents := open("contents", m.words.Say("contents"), m.printedContents(items))
	out.Openers = append(out.Openers, openers...)
	// A browser makes a place of the PDF's for each anchor that a link leads to.
	places := tree.E("nav", tree.A("hidden", ""))
	for _, id := range out.Openers {
		places.Add(tree.E("a", tree.Href("#"+id)))
	}
	if len(m.errs) > 0 {
		return nil, m.errs.Err()
	}
	if len(m.Trial) > 0 {
		fmt.Fprintf(&rules, "@page{@bottom-center{content:%s;font:8pt var(--sans);vertical-align:top;padding-top:4mm}}", cssText(m.trialText()))
	}
	style := withoutScreens(m.file(styleFile)) + chart.CSS() + m.file(printFile) + f.css(m.Title) + rules.String()
	out.HTML = []byte("<!doctype html>\n" + tree.HTML(tree.E("html", tree.A("lang", m.Language.String()),
		tree.E("head", tree.E("meta", tree.A("charset", "utf-8")), tree.E("title", txt(m.Title)), tree.E("style", tree.Text(style)), tree.E("script", tree.Text(printScript))),
		tree.E("body.page.book", tree.E("main", m.front(), contents, body, places)))))
	return out, nil
}

// sharpen has the patterns of drawings drawn line by line.
func sharpen(article *tree.Element) {
	tree.Elements(article.Kids, func(e *tree.Element) {
		for i, k := range e.Kids {
			if drawn, ok := k.(tree.Drawn); ok {
				e.Kids[i] = tree.Drawn(chart.Sharp(string(drawn)))
			}
		}
	})
}

// css sets the paper and the running heads: the book's title over left-hand
// pages, the chapter's over right-hand ones.
func (f Format) css(title string) string {
	mm := func(x float64) string { return fmt.Sprintf("%.2fmm", x*1000) }
	var b strings.Builder
	fmt.Fprintf(&b, "@page{size:%s %s;margin-top:%s;margin-bottom:%s}", mm(f.Width), mm(f.Height), mm(f.Top), mm(f.Bottom))
	fmt.Fprintf(&b, "@page :right{margin-left:%s;margin-right:%s}", mm(f.Inner), mm(f.Outer))
	fmt.Fprintf(&b, "@page :left{margin-left:%s;margin-right:%s;@top-left{content:%s}}", mm(f.Outer), mm(f.Inner), cssText(title))
	// Beside the longest line that reads well is room for notes and a pencil.
	const line, gap, most = 0.118, 0.006, 0.044
	measure := f.Width - f.Inner - f.Outer
	side := min(most, max(0, measure-line-gap))
	if side == 0 {
		b.WriteString(".book{--p-side:0mm;--p-gap:0mm}")
	} else {
		fmt.Fprintf(&b, ".book{--p-side:%s;--p-gap:%s}", mm(side), mm(gap))
	}
	b.WriteString(".book{--out:calc(var(--p-side) + var(--p-gap))}")
	if measure < line {
		b.WriteString("html{font-size:8.5pt}.book{font-size:9.5pt}.book table{font-size:7.5pt}.book .months{font-size:5.8pt}.book .months th{min-width:0}")
	}
	return b.String()
}

// cssText writes a text as a string of a style sheet.
func cssText(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r < ' ' || r == '"' || r == '\\' || r == '<' || r == '>' || r == '&':
			fmt.Fprintf(&b, "\\%x ", r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// withoutScreens leaves out the rules of a style sheet that hold for a window
// of some width: a leaf is not a narrow window.
func withoutScreens(css string) string {
	var b strings.Builder
	for {
		at := strings.Index(css, "@media")
		if at < 0 {
			b.WriteString(css)
			return b.String()
		}
		b.WriteString(css[:at])
		css = css[at:]
		open := strings.IndexByte(css, '{')
		if open < 0 {
			return b.String()
		}
		end, depth := open+1, 1
		for ; end < len(css) && depth > 0; end++ {
			switch css[end] {
			case '{':
				depth++
			case '}':
				depth--
			}
		}
		condition := css[:open]
		if !strings.Contains(condition, "width") && !strings.Contains(condition, "screen") && !strings.Contains(condition, "prefers") {
			b.WriteString(css[:end])
		}
		css = css[end:]
	}
}

// front is the title page and, on its back, what edition this is.
func (m *maker) front() tree.Nodes {
	title := tree.E("section.title-leaf", tree.E("h1", txt(m.Title)))
	for _, part := range []struct{ tag, text string }{{"p.part-name", m.Part}, {"p.strap", m.Subtitle}, {"p.author", m.Author}} {
		if part.text != "" {
			title.Add(tree.E(part.tag, txt(part.text)))
		}
	}
	title.Add(m.trial())
	imprint := tree.E("section.imprint")
	for _, line := range []string{m.Farm, m.Edition, m.newFrame("").Footer.Units, m.words.Say("made_with"), m.words.Say("chart_notice")} {
		if line != "" {
			imprint.Add(tree.E("p", txt(line)))
		}
	}
	return tree.Nodes{title, imprint}
}

func (m *maker) printedContents(back []navItem) *tree.Element {
	nav := tree.E("nav.chapter.print-contents", tree.E("h1", txt(m.words.Say("contents"))))
	for _, part := range m.parts(-1, func(c *made) string { return "#open-" + c.Name }, back...) {
		list := tree.E("ol")
		for _, item := range part.Items {
			list.Add(tree.E("li", tree.E("a", tree.Href(item.Href), tree.E("span.no", txt(item.Number)), tree.Text(" "), tree.E("span.t", txt(item.Title)), tree.Text(" "),
				tree.E("span.dots"), tree.Text(" "), tree.E("span.to", tree.A("data-to", strings.TrimPrefix(item.Href, "#")), tree.Text(noPage)))))
		}
		nav.Add(tree.E("section.part", tree.E("h2", txt(part.Title)), list))
	}
	return nav
}

// backPage is a page for what stands behind the chapters. No chapter has its
// name, for theirs have no hyphens.
func (m *maker) backPage(name string, book *paper) *page {
	p := m.newPage(&made{Chapter: &content.Chapter{Name: "back-" + name}}, true)
	p.paper = book
	return p
}

// printedGlossary explains the terms that the chapters use.
func (m *maker) printedGlossary(book *paper, used map[string]*content.Term) *tree.Element {
	var terms []*content.Term
	for _, t := range m.Book.Glossary {
		if used[t.ID] != nil {
			terms = append(terms, t)
		}
	}
	p := m.backPage("glossary", book)
	p.paper = &paper{terms: map[string][]mention{}, figures: map[string][]mention{}} // the index leads to the text
	return m.wholeGlossary(p, terms)
}

// group returns the heading under which a figure is listed, and its label there.
func (m *maker) group(f *figures.Figure) (string, string) {
	id, _, _ := strings.Cut(f.Name, ".")
	label := m.say(f.Label)
	if label == "" {
		label = f.Name
	}
	if s := m.enterpriseOf(id); s != nil {
		return s.Name, label
	}
	if c := m.Book.Chapter(id); c != nil {
		return c.Title, label
	}
	if word := m.words.Say("group_" + id); word != "[group_"+id+"]" {
		return word, label
	}
	return upperFirst(strings.ReplaceAll(id, "_", " ")), label
}

// A figureGroup is the figures under one heading.
type figureGroup struct {
	title   string
	figures []*figures.Figure
}

// groups sorts figures by heading and label.
func (m *maker) groups(used map[string]*figures.Figure) []figureGroup {
	by := map[string][]*figures.Figure{}
	for _, f := range used {
		if f.Hidden {
			continue
		}
		title, _ := m.group(f)
		by[title] = append(by[title], f)
	}
	var groups []figureGroup
	for title, list := range by {
		slices.SortFunc(list, func(a, b *figures.Figure) int {
			_, x := m.group(a)
			_, y := m.group(b)
			if n := m.compare(x, y); n != 0 {
				return n
			}
			return strings.Compare(a.Name, b.Name)
		})
		groups = append(groups, figureGroup{title, list})
	}
	slices.SortFunc(groups, func(a, b figureGroup) int { return m.compare(a.title, b.title) })
	return groups
}

// printedWorkings is how the figures of the text are worked, by heading.
func (m *maker) printedWorkings(used map[string]*figures.Figure) *tree.Element {
	if len(used) == 0 {
		return nil
	}
	w := m.newWorkings()
	for _, f := range used {
		w.add(f)
	}
	w.settle()
	article := tree.E("article.chapter.back-matter", tree.E("h1", txt(m.words.Say("print_workings"))), tree.E("p.lead", txt(m.words.Say("print_workings_lead"))))
	for _, g := range m.groups(used) {
		section := tree.E("section.workings", tree.E("h2", txt(g.title)))
		for _, f := range g.figures {
			section.Add(w.element(w.byName[f.Name], "f-"+f.Name, func(other *figures.Figure) string {
				if used[other.Name] != nil && !other.Hidden {
					return "#f-" + other.Name
				}
				return ""
			}))
		}
		article.Add(section)
	}
	return article
}

// An entry is a line of the index, with those below it.
type entry struct {
	text  string
	at    []mention
	below []entry
}

// index is the back-of-book index of terms and figures.
func (m *maker) index(book *paper, used map[string]*figures.Figure) *tree.Element {
	var entries []entry
	for _, t := range m.Book.Glossary {
		if at := book.terms[t.ID]; len(at) > 0 {
			entries = append(entries, entry{text: upperFirst(t.Name), at: at})
		}
	}
	all := map[string]*figures.Figure{}
	for name := range book.figures {
		if f := m.Graph.Lookup(name); f != nil && !f.Hidden {
			all[name] = f
		}
	}
	for _, g := range m.groups(all) {
		e := entry{text: g.title}
		for _, f := range g.figures {
			_, label := m.group(f)
			at := book.figures[f.Name]
			if n := len(e.below) - 1; n >= 0 && e.below[n].text == label {
				e.below[n].at = append(e.below[n].at, at...)
				continue
			}
			e.below = append(e.below, entry{text: label, at: at})
		}
		entries = append(entries, e)
	}
	if len(entries) == 0 {
		return nil
	}
	slices.SortStableFunc(entries, func(a, b entry) int { return m.compare(a.text, b.text) })
	lines := tree.E("div.index")
	for _, e := range entries {
		if len(e.below) == 0 {
			lines.Add(tree.E("p.entry", txt(e.text+" "), pagesOf(e.at)))
			continue
		}
		lines.Add(tree.E("p.entry.head", txt(e.text)))
		for _, below := range e.below {
			lines.Add(tree.E("p.entry.below", txt(m.words.Mid(below.text)+" "), pagesOf(below.at)))
		}
	}
	return tree.E("article.chapter.back-matter", tree.E("h1", txt(m.words.Say("index"))), tree.E("p.lead", txt(m.words.Say("index_lead"))), lines)
}

func pagesOf(at []mention) *tree.Element {
	pages := tree.E("span.at", tree.A("data-each", ""))
	for i, mention := range at {
		text := noPage
		if i > 0 {
			text = ", " + noPage
		}
		a := tree.E("a", tree.Href("#"+mention.anchor), tree.Text(text))
		if mention.main {
			a.AddClass("main")
		}
		pages.Add(a)
	}
	return pages
}
