package content

import (
	"bytes"
	"regexp"
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// KindChapterLink is the kind of ChapterLink.
var KindChapterLink = ast.NewNodeKind("ChapterLink")

// A ChapterLink is a link to a chapter or to one of its headings. Its children
// are the text of the link. Links that stay ast.Link or ast.AutoLink lead out
// of the workbook, by http, https or mailto.
type ChapterLink struct {
	ast.BaseInline
	Chapter *Chapter
	Heading string // the heading's ID, or "" for the chapter's beginning
	Title   string
}

// Kind implements ast.Node.
func (*ChapterLink) Kind() ast.NodeKind { return KindChapterLink }

// Dump implements ast.Node.
func (n *ChapterLink) Dump(src []byte, level int) {
	ast.DumpHelper(n, src, level, map[string]string{"Chapter": n.Chapter.Name, "Heading": n.Heading}, nil)
}

// A pendingLink waits until all chapters are read.
type pendingLink struct {
	node  *ast.Link
	to    string
	place source.Span
	from  *Chapter // nil in cautions.yaml and glossary.yaml
}

var scheme = regexp.MustCompile(`^([A-Za-z][A-Za-z0-9+.-]*):`)

// outside has the schemes by which a link may lead out of the workbook.
var outside = []string{"http", "https", "mailto"}

// resolved is a link's address as a browser will see it: without Markdown's
// escapes and entities.
func resolved(address []byte) string {
	return string(util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(address))))
}

// addressSpan returns where the address of a link or picture is written, or
// where the link begins if the address stands elsewhere.
func (m *markup) addressSpan(n ast.Node, address []byte, byReference bool) source.Span {
	if at := n.Pos(); at >= 0 && !byReference && len(address) > 0 {
		if last := lastText(n); last > at {
			at = last
		}
		window := m.source[at:min(len(m.source), at+len(address)+2000)]
		for _, before := range []string{"](", "](<", "] (", "("} {
			if i := bytes.Index(window, append([]byte(before), address...)); i >= 0 {
				start := at + i + len(before)
				return m.passage.Span(start, start+len(address))
			}
		}
	}
	return m.spot(n)
}

// lastText returns the end of the last text inside a node, or -1.
func lastText(n ast.Node) int {
	for c := n.LastChild(); c != nil; c = c.LastChild() {
		if t, ok := c.(*ast.Text); ok {
			return t.Segment.Stop
		}
	}
	return -1
}

// leadsOut checks an address that has a scheme, as in https://... It reports
// whether the address has one.
func (r *reader) leadsOut(to string, at source.Span) bool {
	found := scheme.FindStringSubmatch(to)
	if found == nil {
		return false
	}
	if !slices.Contains(outside, strings.ToLower(found[1])) {
		r.fail(source.Unsafe, at, "a link can't begin with %s:", leaf.Clip(found[1])).
			With("a link leads to a chapter by its name, or out of the workbook by %s", leaf.List(outside, "and"))
	}
	return true
}

func (m *markup) link(n *ast.Link) {
	if insidePicture(n) {
		return
	}
	to := resolved(n.Destination)
	at := m.addressSpan(n, n.Destination, n.Reference != nil)
	if strings.TrimSpace(to) == "" {
		m.fail(source.Missing, at, "this link leads nowhere").With("write the name of a chapter or an address in its round brackets")
		return
	}
	if m.leadsOut(to, at) {
		return
	}
	m.pending = append(m.pending, pendingLink{n, to, at, m.ch})
}

func (m *markup) autoLink(n *ast.AutoLink) {
	if n.AutoLinkType == ast.AutoLinkURL {
		m.leadsOut(string(n.URL(m.source)), m.spot(n))
	}
}

// resolveLinks turns links between chapters into their nodes.
func (l *loader) resolveLinks() {
	byName := make(map[string]*Chapter)
	byFile := make(map[string]*Chapter)
	var known []string
	for _, ch := range l.book.Chapters {
		if byName[ch.Name] == nil {
			byName[ch.Name] = ch
			known = append(known, ch.Name)
		}
		file := strings.TrimPrefix(ch.File.Name, folder+"/")
		byFile[file] = ch
		known = append(known, file)
	}
	ids := make(map[*Chapter][]string)
	for _, ch := range l.book.Chapters {
		for _, h := range ch.Headings {
			ids[ch] = append(ids[ch], h.ID)
		}
	}
	has := make(map[*Chapter]map[string]bool)
	for ch, list := range ids {
		has[ch] = make(map[string]bool, len(list))
		for _, id := range list {
			has[ch][id] = true
		}
	}
	for _, p := range l.pending {
		if len(l.errs) >= mostErrors {
			return
		}
		name, id, toHeading := strings.Cut(p.to, "#")
		name = strings.TrimPrefix(name, "./")
		ch := p.from
		switch {
		case name != "":
			if ch = byName[name]; ch == nil {
				ch = byFile[name]
			}
		case ch == nil:
			l.fail(source.UnknownRef, p.place, "a link outside a chapter names its chapter").With("write the chapter before the #")
			continue
		}
		if ch == nil {
			e := l.fail(source.Unknown{Name: "chapter " + name}, p.place, "no chapter is called %s", leaf.Clip(name))
			if near := source.Nearest(name, known); near != "" {
				e.With("did you mean %s?", near)
			} else {
				e.With("a link leads to a chapter by its name, or out of the workbook by %s", leaf.List(outside, "and"))
			}
			continue
		}
		if toHeading && !ch.broken && !has[ch][id] {
			e := l.fail(source.UnknownRef, p.place, "the chapter %s has no heading with the id %s", ch.Name, leaf.Clip(id))
			if near := source.Nearest(id, ids[ch]); near != "" {
				e.With("did you mean %s?", near)
			} else {
				e.With("an id is the heading in small letters with - for blanks")
			}
			continue
		}
		own := &ChapterLink{Chapter: ch, Heading: id, Title: string(util.UnescapePunctuations(p.node.Title))}
		own.SetPos(p.node.Pos())
		for c := p.node.FirstChild(); c != nil; {
			next := c.NextSibling()
			own.AppendChild(own, c)
			c = next
		}
		l.book.links = append(l.book.links, own)
		p.node.Parent().ReplaceChild(p.node.Parent(), p.node, own)
	}
}

// anchor makes the id of a heading out of its text: letters and digits of any
// script in small letters, with one hyphen for what stands between.
func anchor(text string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(text) {
		switch {
		case isWordRune(r):
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			b.WriteRune(r)
		case r == '\'' || r == '’':
		default:
			gap = true
		}
	}
	if b.Len() == 0 {
		return "heading"
	}
	return b.String()
}
