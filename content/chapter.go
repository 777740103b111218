package content

import (
	"regexp"
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"

	"rickyard/calc/figures"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// A Chapter is one Markdown file of the book.
type Chapter struct {
	File     *source.File
	Name     string // prefix of its calc lines, and what links call it
	Title    string // plain, with typographic quotes
	Part     string // of the book; may be empty
	Tags     []string
	Cautions []*Caution
	Summary  *Prose // one sentence; nil if there is none

	Doc    ast.Node // the tree; an empty document if the file can't be read
	Source []byte   // what the segments of Doc count in

	Calc     []*CalcBlock
	Refs     []*FigureRef         // all figures in sentences, titles and notes
	Figures  []*Figure            // all figures that are shown: of Refs, tables and charts
	swept    []figures.Definition // names that charts sweep over
	Tables   []*TableBlock
	Charts   []*ChartBlock
	Headings []*Heading

	only   []*Only     // outer ones first
	named  source.Span // where its name is given, or its file's beginning
	broken bool        // not parsed, so its headings are not known
}

// KindChapterBlock is the kind of ChapterBlock.
var KindChapterBlock = ast.NewNodeKind("ChapterBlock")

// A ChapterBlock is the first block of a chapter. What it says stands in
// Chapter.
type ChapterBlock struct {
	ast.BaseBlock
	Chapter *Chapter
}

// Kind implements ast.Node.
func (*ChapterBlock) Kind() ast.NodeKind { return KindChapterBlock }

// IsRaw implements ast.Node.
func (*ChapterBlock) IsRaw() bool { return true }

// Dump implements ast.Node.
func (n *ChapterBlock) Dump(src []byte, level int) { ast.DumpHelper(n, src, level, nil, nil) }

// chapterFile is the form of a chapter's file name: 03-start-up.md.
var chapterFile = regexp.MustCompile(`^([0-9]+)-([a-z][a-z0-9]*(?:[-_][a-z0-9]+)*)\.md$`)

// chapterBlock reads the first block of a chapter, which says what it is.
func (m *markup) chapterBlock(doc ast.Node) {
	n, ok := doc.FirstChild().(*ast.FencedCodeBlock)
	if !ok || n.Info == nil || strings.TrimSpace(string(n.Info.Segment.Value(m.source))) != "chapter" {
		at := m.passage.Span(0, 0)
		if first := doc.FirstChild(); ok && n.Info != nil && first != nil {
			at = m.passage.Span(n.Info.Segment.Start, n.Info.Segment.Stop)
		}
		m.fail(source.Missing, at, "a chapter begins with a chapter block").
			With("write ```chapter, then title: and the title, then ``` as the first lines of the file")
		return
	}
	if !m.closed[n] {
		m.fail(source.Syntax, m.spot(n), "this block is never closed").With("end it with a line of the same marks that it begins with")
	}
	m.begun = true
	place := m.passage.Span(n.Info.Segment.Start, n.Info.Segment.Stop)
	own := &ChapterBlock{Chapter: m.ch}
	own.SetPos(n.Pos())
	doc.ReplaceChild(doc, n, own)
	s := m.readSpec(linesOf(m.passage, n.Lines(), place), place, "a chapter block")
	if s == nil {
		return
	}
	v := s.keys(s.Root, s.what, "title", "name", "part", "tags", "cautions", "summary")
	if name := s.word(v["name"], "a name"); name.Text != "" {
		if bareName.MatchString(name.Text) {
			m.ch.Name, m.prefix, m.scope, m.ch.named = name.Text, name.Text, name.Text, name.Place
		} else {
			m.fail(source.Syntax, name.Place, "%s can't be a name: a name has small letters, digits and _, and begins with a letter", leaf.Clip(name.Text))
		}
	}
	s.need(s.Root, v, s.what, "title")
	figures := len(m.figures)
	if title := s.prose(v["title"], "a title"); title != nil {
		m.ch.Title = title.Plain()
		if len(m.figures) > figures {
			m.fail(source.Syntax, title.Place, "the title of a chapter can't hold a figure").With("put it into the summary or the text")
		}
	}
	m.ch.Part = s.word(v["part"], "a part of the book").Text
	for _, tag := range s.words(v["tags"], "a tag") {
		if slices.Contains(m.ch.Tags, tag.Text) {
			m.fail(source.Duplicate, tag.Place, "the tag %s is given twice", leaf.Clip(tag.Text))
			continue
		}
		m.ch.Tags = append(m.ch.Tags, tag.Text)
	}
	for _, name := range s.words(v["cautions"], "the name of a caution") {
		c, err := m.book.Caution(name.Text, name.Place)
		m.add(err)
		if c != nil {
			m.ch.Cautions = append(m.ch.Cautions, c)
		}
	}
	m.ch.Summary = s.prose(v["summary"], "a summary")
}

func (m *markup) strayChapterBlock(b *block) ast.Node {
	if m.begun {
		m.fail(source.Duplicate, b.place, "a chapter has one chapter block, its first block").With("begin a new chapter in a file of its own")
	}
	return nil
}
