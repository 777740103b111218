package content

import (
	"bytes"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// The three ways in which Markdown is read: a chapter, the Markdown text of a
// caution, and a line of text (a title, a note).
var (
	chapterMarkdown = newMarkdown(true, true)
	textMarkdown    = newMarkdown(true, false)
	lineMarkdown    = newMarkdown(false, false)
)

// newMarkdown returns a parser without raw HTML: what looks like a tag is text.
func newMarkdown(blocks, footnotes bool) parser.Parser {
	blockParsers := []util.PrioritizedValue{util.Prioritized(parser.NewParagraphParser(), 1000)}
	if blocks {
		blockParsers = append(blockParsers,
			util.Prioritized(parser.NewSetextHeadingParser(), 100),
			util.Prioritized(parser.NewThematicBreakParser(), 200),
			util.Prioritized(parser.NewListParser(), 300),
			util.Prioritized(parser.NewListItemParser(), 400),
			util.Prioritized(parser.NewCodeBlockParser(), 500),
			util.Prioritized(parser.NewATXHeadingParser(), 600),
			util.Prioritized(fenceParser{parser.NewFencedCodeBlockParser()}, 700),
			util.Prioritized(parser.NewBlockquoteParser(), 800),
		)
	}
	options := []parser.Option{
		parser.WithBlockParsers(blockParsers...),
		parser.WithInlineParsers(
			util.Prioritized(parser.NewCodeSpanParser(), 100),
			util.Prioritized(parser.NewLinkParser(), 200),
			util.Prioritized(parser.NewAutoLinkParser(), 300),
			util.Prioritized(parser.NewEmphasisParser(), 500),
		),
		parser.WithASTTransformers(
			util.Prioritized(footnoteTransformer{}, 500), // before goldmark's own, at 999
			util.Prioritized(treeTransformer{}, 2000),
		),
	}
	if blocks {
		options = append(options, parser.WithParagraphTransformers(util.Prioritized(parser.LinkReferenceParagraphTransformer, 100)))
	}
	extensions := []goldmark.Extender{
		extension.NewTypographer(extension.WithTypographicSubstitutions(map[extension.TypographicPunctuation][]byte{
			extension.LeftSingleQuote:  []byte("‘"),
			extension.RightSingleQuote: []byte("’"),
			extension.LeftDoubleQuote:  []byte("“"),
			extension.RightDoubleQuote: []byte("”"),
			extension.EnDash:           []byte("–"),
			extension.EmDash:           []byte("—"),
			extension.Ellipsis:         []byte("…"),
			extension.Apostrophe:       []byte("’"),
			extension.LeftAngleQuote:   nil,
			extension.RightAngleQuote:  nil,
		})),
	}
	if blocks {
		extensions = append(extensions, extension.Table, extension.DefinitionList)
	}
	if footnotes {
		extensions = append(extensions, extension.Footnote)
	}
	return goldmark.New(goldmark.WithParser(parser.NewParser(options...)), goldmark.WithExtensions(extensions...)).Parser()
}

// A fenceParser is goldmark's parser of fenced blocks that also notes which
// blocks were closed.
type fenceParser struct{ parser.BlockParser }

var closedKey = parser.NewContextKey()

// Continue implements parser.BlockParser.
func (f fenceParser) Continue(node ast.Node, reader text.Reader, pc parser.Context) parser.State {
	state := f.BlockParser.Continue(node, reader, pc)
	if state&parser.Close != 0 {
		closed := pc.ComputeIfAbsent(closedKey, func() any { return map[ast.Node]bool{} }).(map[ast.Node]bool)
		closed[node] = true
	}
	return state
}

var markupKey = parser.NewContextKey()

// A treeTransformer hands a parsed tree to the markup it is parsed for.
type treeTransformer struct{}

// Transform implements parser.ASTTransformer.
func (treeTransformer) Transform(doc *ast.Document, reader text.Reader, pc parser.Context) {
	if m, ok := pc.Get(markupKey).(*markup); ok {
		m.closed, _ = pc.Get(closedKey).(map[ast.Node]bool)
		m.transform(doc)
	}
}

// A footnoteTransformer reports footnotes to which nothing refers, before
// goldmark drops them.
type footnoteTransformer struct{}

// Transform implements parser.ASTTransformer.
func (footnoteTransformer) Transform(doc *ast.Document, reader text.Reader, pc parser.Context) {
	m, ok := pc.Get(markupKey).(*markup)
	if !ok || !m.chapter {
		return
	}
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if f, ok := n.(*east.Footnote); ok && entering && f.Index < 0 {
			m.fail(source.UnknownRef, m.spot(f), "nothing refers to the footnote [^%s]", leaf.Clip(string(f.Ref))).
				With("put [^%s] into a sentence, or take the footnote out", leaf.Clip(string(f.Ref)))
		}
		return ast.WalkContinue, nil
	})
}

// A markup is one run of the Markdown parser over a passage.
type markup struct {
	*reader
	passage *leaf.Passage
	source  []byte
	closed  map[ast.Node]bool
	chapter bool // the text of a chapter, not of a caution or title
}

// parse reads a passage as Markdown.
func (r *reader) parse(p *leaf.Passage, how parser.Parser) (ast.Node, []byte) {
	m := &markup{reader: r, passage: p, source: []byte(p.Text), chapter: how == chapterMarkdown}
	pc := parser.NewContext()
	pc.Set(markupKey, m)
	return how.Parse(text.NewReader(m.source), parser.WithContext(pc)), m.source
}

// transform puts Rickyard's own nodes in place of goldmark's.
func (m *markup) transform(doc *ast.Document) {
	if deep := tooDeep(doc); deep != nil {
		m.fail(source.Unsafe, m.spot(deep), "marks are nested more than %d deep here", deepestTree).With("take some of them out")
		doc.RemoveChildren(doc)
		return
	}
	var nodes []ast.Node
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			nodes = append(nodes, n)
		}
		return ast.WalkContinue, nil
	})
	if m.chapter {
		m.chapterBlock(doc)
	}
	var headings []*ast.Heading
	for _, n := range nodes {
		switch n := n.(type) {
		case *ast.FencedCodeBlock:
			m.fenced(n)
		case *ast.CodeSpan:
			m.codeSpan(n)
		case *ast.Link:
			m.link(n)
		case *ast.AutoLink:
			m.autoLink(n)
		case *ast.Image:
			m.image(n)
		case *ast.Heading:
			headings = append(headings, n)
		case *ast.Text:
			m.leftover(n)
		}
	}
	if m.chapter {
		m.unended()
		for _, h := range headings {
			m.heading(h)
		}
	}
}

// tooDeep returns the first node deeper in the tree than is allowed, or nil.
// It does not recurse: the tree is not known to be shallow.
func tooDeep(doc ast.Node) ast.Node {
	depth := 0
	for n := doc; n != nil; {
		if depth > deepestTree {
			return n
		}
		if c := n.FirstChild(); c != nil {
			n, depth = c, depth+1
			continue
		}
		for n != doc && n.NextSibling() == nil {
			n, depth = n.Parent(), depth-1
		}
		if n == doc {
			return nil
		}
		n = n.NextSibling()
	}
	return nil
}

// spot returns where a node begins, as near as goldmark tells.
func (m *markup) spot(n ast.Node) source.Span {
	for ; n != nil; n = n.Parent() {
		if at := n.Pos(); at >= 0 && n.Kind() != ast.KindDocument {
			return m.passage.Span(at, min(at+1, len(m.passage.Text)))
		}
	}
	return m.passage.Span(0, 0)
}

// fenced turns a fenced block of ours into its node.
func (m *markup) fenced(n *ast.FencedCodeBlock) {
	if n.Parent() == nil {
		return
	}
	if !m.closed[n] {
		m.fail(source.Syntax, m.spot(n), "this block is never closed").With("end it with a line of the same marks that it begins with")
	}
	if n.Info == nil {
		return
	}
	info := n.Info.Segment
	word, rest, _ := strings.Cut(string(info.Value(m.source)), " ")
	place := m.passage.Span(info.Start, info.Start+len(word))
	read, known := blockReaders[word]
	if !known {
		if near := source.Nearest(word, blockWords); near != "" && len(word) > 2 {
			m.fail(source.UnknownKey, place, "there is no block called %s", word).With("did you mean %s?", near)
		}
		return
	}
	if !m.chapter {
		m.fail(source.Syntax, place, "a %s block can't stand inside a caution", word).With("put it before or after")
		return
	}
	if strings.TrimSpace(rest) != "" {
		m.fail(source.Syntax, place, "nothing may follow the word %s on its line", word).With("write what the block shows on the lines below")
	}
	body := linesOf(m.passage, n.Lines(), place)
	if own := read(m, &block{word: word, body: body, place: place, node: n}); own != nil {
		own.(interface{ SetPos(int) }).SetPos(n.Pos())
		own.SetBlankPreviousLines(n.HasBlankPreviousLines())
		n.Parent().ReplaceChild(n.Parent(), n, own)
	} else {
		n.Parent().RemoveChild(n.Parent(), n)
	}
}

// A block is a fenced block whose word (chapter, calc, ...) is one of ours.
type block struct {
	word  string
	body  *leaf.Passage
	node  ast.Node    // goldmark's
	place source.Span // of its word
}

// blockReaders has the reader of each kind of block; it returns nil if it
// leaves nothing to show.
var blockReaders map[string]func(*markup, *block) ast.Node

var blockWords = []string{"calc", "calendar", "caution", "chapter", "chart", "drawing", "end", "form", "if", "table", "unless"}

func init() {
	blockReaders = map[string]func(*markup, *block) ast.Node{
		"chapter":  (*markup).strayChapterBlock,
		"calc":     (*markup).calcBlock,
		"table":    (*markup).tableBlock,
		"chart":    (*markup).chartBlock,
		"drawing":  (*markup).drawingBlock,
		"if":       (*markup).onlyBlock,
		"unless":   (*markup).onlyBlock,
		"end":      (*markup).endBlock,
		"caution":  (*markup).cautionBlock,
		"form":     (*markup).laterBlock,
		"calendar": (*markup).laterBlock,
	}
}

// laterBlock refuses a block that nothing draws.
func (m *markup) laterBlock(b *block) ast.Node {
	m.fail(source.UnknownKey, b.place, "a %s block can't be drawn yet", b.word).With("take it out, or write it as a table")
	return nil
}

// leftover reports text that was meant to be a figure or the mark of a
// footnote and is neither.
func (m *markup) leftover(n *ast.Text) {
	if n.IsRaw() {
		return
	}
	for at := n.Segment.Start; at < n.Segment.Stop; at++ {
		c := m.source[at]
		if c != '[' && c != '`' || at > 0 && m.source[at-1] == '\\' {
			continue
		}
		rest, _, _ := bytes.Cut(m.source[at:min(len(m.source), at+200)], []byte("\n"))
		if bytes.HasPrefix(rest, []byte("`"+figureMark)) {
			m.fail(source.Syntax, m.passage.Span(at, at+1+len(figureMark)), "this figure has no ` at its end").
				With("close it in the same paragraph, and begin no line of it with * + or -")
			return
		}
		label, _, closed := strings.Cut(string(rest), "]")
		if closed && m.chapter && strings.HasPrefix(label, "[^") && len(label) > len("[^") {
			m.fail(source.UnknownRef, m.passage.Span(at, at+len(label)+1), "the footnote %s] is not written", label).
				With("write it on a line of its own: %s]: text", label)
			return
		}
	}
}

// A Heading is a heading of a chapter.
type Heading struct {
	Level int    // 1 to 6
	ID    string // what a link names after the #; unique in the chapter
	Text  string // without marks and without figures
	Node  *ast.Heading
	Place source.Span
}

func (m *markup) heading(n *ast.Heading) {
	words := plain(n, m.source)
	id := anchor(words)
	m.headingIDs[id]++
	if k := m.headingIDs[id]; k > 1 {
		for m.headingIDs[numbered(id, k)] > 0 {
			k++
		}
		m.headingIDs[id] = k
		id = numbered(id, k)
		m.headingIDs[id]++
	}
	n.SetAttributeString("id", []byte(id))
	m.ch.Headings = append(m.ch.Headings, &Heading{n.Level, id, words, n, m.spot(n)})
}

// plain returns the text of a node without marks; figures are left out.
func plain(n ast.Node, src []byte) string {
	var b strings.Builder
	var add func(n ast.Node)
	add = func(n ast.Node) {
		switch n := n.(type) {
		case *ast.Text:
			b.Write(util.UnescapePunctuations(n.Segment.Value(src)))
			if n.SoftLineBreak() || n.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(n.Value)
		case *ast.AutoLink:
			b.Write(n.Label(src))
		case *FigureRef, *Picture, *east.FootnoteLink, *east.FootnoteBacklink:
		default:
			for c := n.FirstChild(); c != nil; c = c.NextSibling() {
				add(c)
			}
		}
	}
	add(n)
	return strings.Join(strings.Fields(b.String()), " ")
}

// Prose is Markdown that stands inside YAML: a title, a note, the text of a
// caution. It has a tree and a source of its own.
type Prose struct {
	Text   string // as written
	Place  source.Span
	Doc    ast.Node // a document
	Source []byte   // what the segments of Doc count in
}

// Plain returns the text without marks and without figures. It is "" for nil.
func (p *Prose) Plain() string {
	if p == nil {
		return ""
	}
	return plain(p.Doc, p.Source)
}

// prose reads a passage as Markdown: a line of text, or with blocks.
func (r *reader) prose(p *leaf.Passage, blocks bool) *Prose {
	how := lineMarkdown
	if blocks {
		how = textMarkdown
	}
	if e := guard(p); e != nil {
		r.add(e)
		p = p.Cut(0, 0)
	}
	doc, src := r.parse(p, how)
	return &Prose{Text: p.Text, Place: p.Span(p.Trim(0, len(p.Text))), Doc: doc, Source: src}
}
