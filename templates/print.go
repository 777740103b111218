package templates

import (
	"encoding/json"
	"fmt"
	"html"
	"slices"
	"sort"
	"strings"

	"rickyard/calc/figures"
	"rickyard/content"
	"rickyard/templates/chart"
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

// forget takes back that a figure is mentioned at an anchor.
func (p *paper) forget(name, anchor string) {
	p.figures[name] = slices.DeleteFunc(p.figures[name], func(m mention) bool { return m.anchor == anchor })
	if len(p.figures[name]) == 0 {
		delete(p.figures, name)
	}
}

// onPage says behind a link on paper where it leads.
func (p *page) onPage(chapter, heading string) string {
	if p.paper == nil {
		return ""
	}
	to := strings.TrimPrefix(p.chapterHref(chapter, heading), "#")
	return ` <span class="on-page">(` + p.words.Say("on_page", `<span data-to="`+esc(to)+`">000</span>`) + ")</span>"
}

// Print makes the book for paper. It fails as Make does.
func (b *Workbook) Print(f Format) (*PrintBook, error) {
	m, err := b.maker()
	if err != nil {
		return nil, err
	}
	book := &paper{terms: map[string][]mention{}, figures: map[string][]mention{}}
	m.chapters = m.chosen()
	out := &PrintBook{Title: b.Title}
	var body strings.Builder
	used := map[string]*figures.Figure{}
	terms := map[string]*content.Term{}
	var rules strings.Builder
	open := func(id, title, article string) {
		fmt.Fprintf(&body, "<div class=\"blank-leaf\" data-before=\"%s\" hidden></div>\n<div class=\"opener\" id=\"open-%[1]s\">\n%s</div>\n", esc(id), article)
		out.Openers = append(out.Openers, "open-"+id)
		fmt.Fprintf(&rules, "#open-%s{page:p-%[1]s}@page p-%[1]s:right{@top-right{content:%s}}", id, cssText(title))
	}
	for i, c := range m.chapters {
		if m.Progress != nil {
			m.Progress(i, len(m.chapters), c.Title)
		}
		p := m.newPage(c, true)
		p.paper = book
		open(c.Name, c.Title, chart.Sharp(p.chapter()))
		for _, f := range p.used {
			used[f.Name] = f
		}
		for _, t := range p.glossed {
			terms[t.ID] = t
		}
	}
	type back struct{ id, title, article string }
	var backs []back
	add := func(id, title, article string) {
		if article != "" {
			backs = append(backs, back{id, title, article})
		}
	}
	add("glossary", m.words.Say("glossary"), m.printedGlossary(book, terms))
	add("workings", m.words.Say("print_workings"), m.printedWorkings(book, used))
	add("index", m.words.Say("index"), m.index(book, used))
	for _, b := range backs {
		open(b.id, b.title, b.article)
	}
	text := body.String()
	body.Reset()
	m.front(&body)
	var items []navItem
	for _, b := range backs {
		items = append(items, navItem{Title: b.title, Href: "#open-" + b.id})
	}
	list := m.printedContents(items)
	out.Openers = append([]string{"open-contents"}, out.Openers...)
	fmt.Fprintf(&rules, "#open-contents{page:p-contents}@page p-contents:right{@top-right{content:%s}}", cssText(m.words.Say("contents")))
	fmt.Fprintf(&body, "<div class=\"blank-leaf\" data-before=\"contents\" hidden></div>\n<div class=\"opener\" id=\"open-contents\">\n%s</div>\n%s", list, text)
	// A browser makes a place of the PDF's for each anchor that a link leads to.
	body.WriteString("<nav hidden>")
	for _, id := range out.Openers {
		fmt.Fprintf(&body, `<a href="#%s"></a>`, esc(id))
	}
	body.WriteString("</nav>")
	if len(m.errs) > 0 {
		return nil, m.errs.Err()
	}
	style := withoutScreens(m.file(styleFile)) + chart.PaletteCSS() + m.file(printFile) + f.css(m.Title) + rules.String()
	out.HTML = fmt.Appendf(nil, "<!doctype html>\n<html lang=\"%s\"><head><meta charset=\"utf-8\"><title>%s</title><style>%s</style><script>%s</script></head>\n<body class=\"page book\">\n<main>%s</main>\n</body></html>\n",
		esc(m.Language.String()), esc(m.Title), style, printScript, body.String())
	return out, nil
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
	const line, gap, most, notes = 0.118, 0.006, 0.044, 0.035
	measure := f.Width - f.Inner - f.Outer
	side := min(most, max(0, measure-line-gap))
	if side == 0 {
		b.WriteString(".book{--p-side:0mm;--p-gap:0mm}")
	} else {
		fmt.Fprintf(&b, ".book{--p-side:%s;--p-gap:%s}", mm(side), mm(gap))
	}
	b.WriteString(".book{--out:calc(var(--p-side) + var(--p-gap))}")
	if side < notes {
		b.WriteString(".side{float:none;width:auto;margin:0 0 3mm;padding-left:3mm}")
	}
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

// front writes the title page and, on its back, what edition this is.
func (m *maker) front(b *strings.Builder) {
	d := m.newData("")
	fmt.Fprintf(b, "<section class=\"title-leaf\"><h1>%s</h1>", esc(m.Title))
	if m.Part != "" {
		fmt.Fprintf(b, "<p class=\"part-name\">%s</p>", esc(m.Part))
	}
	if m.Subtitle != "" {
		fmt.Fprintf(b, "<p class=\"strap\">%s</p>", esc(m.Subtitle))
	}
	if m.Author != "" {
		fmt.Fprintf(b, "<p class=\"author\">%s</p>", esc(m.Author))
	}
	b.WriteString("</section>\n<section class=\"imprint\">")
	for _, line := range []string{m.Farm, m.Edition, d.Footer.Units, m.words.Say("made_with"), m.words.Say("chart_notice")} {
		if line != "" {
			fmt.Fprintf(b, "<p>%s</p>", esc(line))
		}
	}
	b.WriteString("</section>\n")
}

func (m *maker) printedContents(back []navItem) string {
	var b strings.Builder
	fmt.Fprintf(&b, "<nav class=\"chapter print-contents\"><h1>%s</h1>\n", esc(m.words.Say("contents")))
	for _, part := range m.parts(-1, func(c *made) string { return "#open-" + c.Name }, back...) {
		fmt.Fprintf(&b, "<section class=\"part\"><h2>%s</h2><ol>\n", esc(part.Title))
		for _, item := range part.Items {
			fmt.Fprintf(&b, `<li><a href="%s"><span class="no">%s</span> <span class="t">%s</span> <span class="dots"></span> <span class="to" data-to="%s">000</span></a></li>`+"\n",
				esc(item.Href), esc(item.Number), esc(item.Title), esc(strings.TrimPrefix(item.Href, "#")))
		}
		b.WriteString("</ol></section>\n")
	}
	b.WriteString("</nav>\n")
	return b.String()
}

// backPage is a page for what stands behind the chapters. No chapter has its
// name, for theirs have no hyphens.
func (m *maker) backPage(name string, book *paper) *page {
	p := m.newPage(&made{Chapter: &content.Chapter{Name: "back-" + name}}, true)
	p.paper = book
	return p
}

// printedGlossary explains the terms that the chapters use.
func (m *maker) printedGlossary(book *paper, used map[string]*content.Term) string {
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

// printedWorkings writes how the figures of the text are worked, by heading.
func (m *maker) printedWorkings(book *paper, used map[string]*figures.Figure) string {
	if len(used) == 0 {
		return ""
	}
	p := m.backPage("workings", book)
	p.putf("<article class=\"chapter back-matter\"><h1>%s</h1><p class=\"lead\">%s</p>\n", esc(m.words.Say("print_workings")), esc(m.words.Say("print_workings_lead")))
	for _, g := range m.groups(used) {
		id, _, _ := strings.Cut(g.figures[0].Name, ".")
		p.made = &made{Chapter: &content.Chapter{Name: id}} // so that labels leave out what the heading says
		p.putf("<section class=\"workings\"><h2>%s</h2>\n", esc(g.title))
		for _, f := range g.figures {
			p.working(f, func(other *figures.Figure) string {
				if used[other.Name] != nil && !other.Hidden {
					return "#f-" + other.Name
				}
				return ""
			}, false)
		}
		p.put("</section>\n")
	}
	p.put("</article>\n")
	return p.b.String()
}

// An entry is a line of the index, with those below it.
type entry struct {
	text  string
	at    []mention
	below []entry
}

// index writes the back-of-book index of terms and figures.
func (m *maker) index(book *paper, used map[string]*figures.Figure) string {
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
		return ""
	}
	slices.SortStableFunc(entries, func(a, b entry) int { return m.compare(a.text, b.text) })
	var b strings.Builder
	fmt.Fprintf(&b, "<article class=\"chapter back-matter\"><h1>%s</h1><p class=\"lead\">%s</p>\n<div class=\"index\">\n", esc(m.words.Say("index")), esc(m.words.Say("index_lead")))
	for _, e := range entries {
		if len(e.below) == 0 {
			fmt.Fprintf(&b, "<p class=\"entry\">%s %s</p>\n", esc(e.text), pagesOf(e.at))
			continue
		}
		fmt.Fprintf(&b, "<p class=\"entry head\">%s</p>\n", esc(e.text))
		for _, below := range e.below {
			fmt.Fprintf(&b, "<p class=\"entry below\">%s %s</p>\n", esc(m.words.Mid(below.text)), pagesOf(below.at))
		}
	}
	b.WriteString("</div></article>\n")
	return b.String()
}

func pagesOf(at []mention) string {
	var b strings.Builder
	b.WriteString(`<span class="at" data-each>`)
	for i, mention := range at {
		class, gap := "", ""
		if mention.main {
			class = ` class="main"`
		}
		if i > 0 {
			gap = ", "
		}
		fmt.Fprintf(&b, `<a href="#%s"%s>%s000</a>`, html.EscapeString(mention.anchor), class, gap)
	}
	b.WriteString("</span>")
	return b.String()
}
