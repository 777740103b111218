package templates

import (
	"bufio"
	"bytes"
	"html"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	gmhtml "github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/util"

	"rickyard/content"
	"rickyard/templates/tree"
)

// A marked is a stretch of Markdown that is being turned into elements.
type marked struct {
	*page
	src []byte
}

// markdown turns a tree of the content package into elements.
func (p *page) markdown(doc ast.Node, src []byte) tree.Nodes {
	return marked{p, src}.inside(doc)
}

// line is prose that stands in a line: without its paragraph.
func (p *page) line(prose *content.Prose) tree.Nodes {
	if prose == nil {
		return nil
	}
	nodes := p.markdown(prose.Doc, prose.Source)
	if len(nodes) == 1 {
		if e, ok := nodes[0].(*tree.Element); ok && e.Name == "p" {
			return e.Kids
		}
	}
	return nodes
}

// plain is prose without marks, its figures as they are shown.
func (p *page) plain(prose *content.Prose) string { return tree.Plain(p.line(prose)...) }

// inside turns what is in a node into elements. Texts that follow one another
// become one, so that a term that a line end parts is found.
func (m marked) inside(n ast.Node) tree.Nodes {
	var nodes tree.Nodes
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		for _, node := range m.node(c) {
			if text, ok := node.(tree.Text); ok && len(nodes) > 0 {
				if last, ok := nodes[len(nodes)-1].(tree.Text); ok {
					nodes[len(nodes)-1] = last + text
					continue
				}
			}
			nodes = append(nodes, node)
		}
	}
	return nodes
}

// node turns one node of Markdown, or of ours, into elements.
func (m marked) node(n ast.Node) tree.Nodes {
	if nodes, ok := m.block(n); ok {
		return nodes
	}
	with := func(tag string, parts ...tree.Part) tree.Nodes {
		return tree.Nodes{tree.E(tag, parts...).Add(m.inside(n))}
	}
	switch n := n.(type) {
	case *ast.Text:
		return m.text(n)
	case *ast.String:
		return tree.Nodes{tree.Text(m.read(n.Value, n.IsRaw() || n.IsCode()))}
	case *ast.Paragraph:
		return with("p")
	case *ast.TextBlock:
		nodes := m.inside(n)
		if n.NextSibling() != nil && len(nodes) > 0 {
			nodes = append(nodes, tree.Text("\n"))
		}
		return nodes
	case *ast.Heading:
		id, _ := n.AttributeString("id")
		raw, _ := id.([]byte)
		m.parted = true
		// The chapter's title is the page's only h1.
		return with("h"+strconv.Itoa(min(6, max(2, n.Level))), tree.ID(m.anchor(string(raw))))
	case *ast.Blockquote:
		return with("blockquote")
	case *ast.List:
		return m.list(n)
	case *ast.ListItem:
		return with("li")
	case *ast.CodeBlock, *ast.FencedCodeBlock:
		return tree.Nodes{tree.E("pre", tree.E("code", tree.Text(n.Lines().Value(m.src))))}
	case *ast.HTMLBlock: // shown as the text that it is
		return tree.Nodes{tree.E("p", txt(string(n.Lines().Value(m.src))))}
	case *ast.RawHTML:
		return tree.Nodes{txt(string(n.Segments.Value(m.src)))}
	case *ast.ThematicBreak:
		return tree.Nodes{tree.E("hr")}
	case *ast.CodeSpan:
		return tree.Nodes{tree.E("code", tree.Text(strings.ReplaceAll(string(n.Text(m.src)), "\n", " ")))}
	case *ast.Emphasis:
		return with(map[bool]string{false: "em", true: "strong"}[n.Level == 2])
	case *ast.Link:
		return with("a", tree.Href(address(n.Destination)), given("title", m.read(n.Title, false)))
	case *ast.AutoLink:
		to := address(n.URL(m.src))
		if n.AutoLinkType == ast.AutoLinkEmail && !strings.HasPrefix(strings.ToLower(to), "mailto:") {
			to = "mailto:" + to
		}
		return tree.Nodes{tree.E("a", tree.Href(to), tree.Text(n.Label(m.src)))}
	case *ast.LinkReferenceDefinition:
		return nil
	case *east.Table:
		return m.ruled(n)
	case *east.DefinitionList:
		return with("dl")
	case *east.DefinitionTerm:
		return with("dt")
	case *east.DefinitionDescription:
		return with("dd")
	case *east.FootnoteLink, *east.FootnoteBacklink, *east.FootnoteList, *east.Footnote:
		return m.footnote(n)
	}
	return m.inside(n)
}

// block shows a node of the content package.
func (m marked) block(n ast.Node) (nodes tree.Nodes, ok bool) {
	switch n := n.(type) {
	case *content.ChapterBlock:
		return nil, true
	case *content.CalcBlock:
		return m.calc(n), true
	case *content.FigureRef:
		return m.inline(n), true
	case *content.TableBlock:
		return m.table(n), true
	case *content.ChartBlock:
		return m.chart(n), true
	case *content.DrawingBlock:
		return m.drawing(n), true
	case *content.CautionBlock:
		var body []*content.Prose
		if n.Caution != nil {
			body = append(body, n.Caution.Body)
		}
		return m.caution(n.Title, append(body, n.Body)...), true
	case *content.Picture:
		return tree.Nodes{tree.E("img", tree.A("src", m.picture(n.Path)), tree.A("alt", curl(n.Alt)))}, true
	case *content.ChapterLink:
		if !m.has(n.Chapter.Name) { // not in this part of the book
			return m.inside(n), true
		}
		link := tree.E("a", tree.Href(m.chapterHref(n.Chapter.Name, n.Heading)), m.inside(n))
		return tree.Join(link, m.onPage(n.Chapter.Name, n.Heading)), true
	}
	return nil, false
}

func (m marked) text(n *ast.Text) tree.Nodes {
	text := tree.Text(m.read(n.Segment.Value(m.src), n.IsRaw()))
	switch {
	case n.IsRaw():
		return tree.Nodes{text}
	case n.HardLineBreak():
		return tree.Nodes{text, tree.E("br"), tree.Text("\n")}
	case n.SoftLineBreak():
		return tree.Nodes{text + "\n"}
	}
	return tree.Nodes{text}
}

// read resolves what Markdown writes with a backslash or as an entity.
func (m marked) read(value []byte, raw bool) string {
	if raw || bytes.IndexByte(value, '\\') < 0 && bytes.IndexByte(value, '&') < 0 {
		return string(value)
	}
	// goldmark resolves only while it writes.
	var b bytes.Buffer
	w := bufio.NewWriter(&b)
	gmhtml.DefaultWriter.Write(w, value)
	_ = w.Flush() // to memory, which does not fail
	return html.UnescapeString(b.String())
}

// address is where a link leads, nowhere if that could run a script.
func address(to []byte) string {
	if gmhtml.IsDangerousURL(to) {
		return ""
	}
	return string(util.URLEscape(to, true))
}

// given is an attribute that is left out if it is empty.
func given(key, value string) tree.Attr {
	if value == "" {
		return tree.Attr{}
	}
	return tree.A(key, value)
}

func (m marked) list(n *ast.List) tree.Nodes {
	if !n.IsOrdered() {
		return tree.Nodes{tree.E("ul", m.inside(n))}
	}
	start := ""
	if n.Start != 1 {
		start = strconv.Itoa(n.Start)
	}
	return tree.Nodes{tree.E("ol", given("start", start), m.inside(n))}
}

// ruled is one of Markdown's own tables.
func (m marked) ruled(n *east.Table) tree.Nodes {
	head, body := tree.E("thead"), tree.E("tbody")
	for row := n.FirstChild(); row != nil; row = row.NextSibling() {
		to, cell := body, "td"
		if row.Kind() == east.KindTableHeader {
			to, cell = head, "th"
		}
		tr := tree.E("tr")
		for c := row.FirstChild(); c != nil; c = c.NextSibling() {
			e := tree.E(cell)
			if cell == "th" {
				e.Set("scope", "col")
			}
			if c.(*east.TableCell).Alignment == east.AlignRight {
				e.AddClass("n")
			}
			tr.Add(e.Add(m.inside(c)))
		}
		to.Add(tr)
	}
	return tree.Nodes{m.scrolls("scroll snug", tree.A("aria-label", m.words.Say("table"))).Add(tree.E("table.plain", head, body))}
}

// footnote is a mark in the text, or the notes that the marks lead to.
func (m marked) footnote(n ast.Node) tree.Nodes {
	prefix := ""
	if m.together {
		prefix = m.made.Name + "--"
	}
	id := func(kind string, ref, index int) string {
		if ref > 0 {
			kind += strconv.Itoa(ref)
		}
		return prefix + kind + ":" + strconv.Itoa(index)
	}
	switch n := n.(type) {
	case *east.FootnoteLink:
		return tree.Nodes{tree.E("sup", tree.ID(id("fnref", n.RefIndex, n.Index)),
			tree.E("a.footnote-ref", tree.Href("#"+id("fn", 0, n.Index)), tree.A("role", "doc-noteref"), tree.Text(strconv.Itoa(n.Index))))}
	case *east.FootnoteBacklink:
		return tree.Nodes{tree.Text("\u00a0"), tree.E("a.footnote-backref", tree.Href("#"+id("fnref", n.RefIndex, n.Index)), tree.A("role", "doc-backlink"),
			tree.Text("\u21a9\ufe0e"))}
	case *east.Footnote:
		return tree.Nodes{tree.E("li", tree.ID(id("fn", 0, n.Index)), m.inside(n))}
	}
	return tree.Nodes{tree.E("div.footnotes", tree.A("role", "doc-endnotes"), tree.E("hr"), tree.E("ol", m.inside(n)))}
}

func (p *page) chapterHref(name, heading string) string {
	switch {
	case p.together && heading != "":
		return "#" + name + "--" + heading
	case p.together:
		return "#" + name
	case heading != "":
		return name + ".html#" + heading
	}
	return name + ".html"
}

func (p *page) caution(title *content.Prose, bodies ...*content.Prose) tree.Nodes {
	id := p.id("caution")
	aside := tree.E("aside.caution", tree.A("role", "note"), tree.A("aria-labelledby", id),
		tree.E("p.caution-title", tree.ID(id), tree.E("span.caution-word", txt(p.words.Say("caution"))), tree.Text(" "), p.line(title)))
	for _, body := range bodies {
		if body != nil {
			aside.Add(p.markdown(body.Doc, body.Source))
		}
	}
	return tree.Nodes{aside}
}

// inline is a figure in a sentence, or a text that the farm gives.
func (p *page) inline(ref *content.FigureRef) tree.Nodes {
	if text, ok := p.Facts[ref.Ref]; ok && ref.Ref != "" {
		return tree.Nodes{txt(p.say(text))}
	}
	f := p.lookup(ref.Figure)
	if f == nil {
		return nil
	}
	if f.Type.Len > 0 {
		p.fail(wrongSeries(f, ref.Formula), ref.Formula)
		return nil
	}
	if _, none := p.Graph.Base().None(f); none {
		return p.figure(f, p.words.Say("none_text"))
	}
	return p.figure(f, p.shown(f))
}
