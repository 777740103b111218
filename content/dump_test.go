package content_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"rickyard/calc/source"
	"rickyard/content"
)

// dump writes a book as text: chapters, trees and the figures it defines.
func dump(b *content.Book) string {
	d := &dumper{}
	for _, name := range slices.Sorted(maps.Keys(b.Cautions)) {
		c := b.Cautions[name]
		d.line(0, "caution %s %s applies %q", c.Name, at(c.Place), c.Applies)
		d.prose(1, "title", c.Title)
		d.prose(1, "text", c.Body)
	}
	for _, ch := range b.Chapters {
		d.line(0, "chapter %s (%s) %q part %q tags %q", ch.Name, ch.File.Name, ch.Title, ch.Part, ch.Tags)
		for _, c := range ch.Cautions {
			d.line(1, "caution %s", c.Name)
		}
		d.prose(1, "summary", ch.Summary)
		for _, h := range ch.Headings {
			d.line(1, "heading %d #%s %q %s", h.Level, h.ID, h.Text, at(h.Place))
		}
		d.src = ch.Source
		d.tree(1, ch.Doc)
	}
	for _, name := range slices.Sorted(maps.Keys(b.Pictures)) {
		d.line(0, "picture %s %d bytes", name, len(b.Pictures[name]))
	}
	for _, f := range b.Definitions() {
		hidden := ""
		if f.Hidden {
			hidden = " hidden"
		}
		d.line(0, "figure %s = %q %s scope %q label %q%s", f.Name, f.Formula.Text(), at(f.Place), f.Scope, f.Label, hidden)
		if f.Note != "" {
			d.line(1, "note %q", f.Note)
		}
	}
	return d.String()
}

type dumper struct {
	strings.Builder
	src []byte
}

func at(s source.Span) string {
	p := s.Position()
	return fmt.Sprintf("%d:%d", p.Line, p.Column)
}

func (d *dumper) line(indent int, format string, args ...any) {
	d.WriteString(strings.Repeat("  ", indent) + fmt.Sprintf(format, args...) + "\n")
}

func (d *dumper) prose(indent int, what string, p *content.Prose) {
	if p == nil {
		return
	}
	d.line(indent, "%s %s", what, at(p.Place))
	src := d.src
	d.src = p.Source
	d.tree(indent+1, p.Doc)
	d.src = src
}

func (d *dumper) figure(f *content.Figure) string {
	text := fmt.Sprintf("%q %s", f.Formula.Text(), at(f.Formula))
	if f.Ref != "" {
		text += " ref " + f.Ref
	}
	return text
}

func (d *dumper) grid(i int, g content.Grid) {
	if g.Show.Text != "" {
		d.line(i, "show %s %s", g.Show.Text, at(g.Show.Place))
	}
	for _, of := range g.Of {
		d.line(i, "of %s %s", of.Text, at(of.Place))
	}
	for _, c := range g.Columns {
		d.line(i, "column %q of %q formula %q total %v", c.Label, c.Of, c.Formula, c.Total)
	}
	for _, r := range g.Rows {
		d.line(i, "row %s %q name %q %s", []string{"figure", "group", "total"}[r.Kind], r.Label, r.Name, at(r.Place))
		for _, c := range r.Cells {
			d.line(i+1, "cell %s", d.figure(c))
		}
	}
}

func (d *dumper) children(i int, n ast.Node) {
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		d.tree(i, c)
	}
}

func (d *dumper) tree(i int, n ast.Node) {
	switch n := n.(type) {
	case *ast.Document:
		d.children(i, n)
		return
	case *ast.Text:
		end := ""
		if n.SoftLineBreak() {
			end = " soft"
		} else if n.HardLineBreak() {
			end = " hard"
		}
		d.line(i, "text %q%s", n.Segment.Value(d.src), end)
	case *ast.String:
		d.line(i, "text %q", n.Value)
	case *ast.Heading:
		id, _ := n.AttributeString("id")
		d.line(i, "heading %d #%s", n.Level, id)
		d.children(i+1, n)
	case *ast.Link:
		d.line(i, "link %s", n.Destination)
		d.children(i+1, n)
	case *ast.AutoLink:
		d.line(i, "autolink %s", n.URL(d.src))
	case *ast.FencedCodeBlock:
		d.line(i, "code %q", n.Language(d.src))
	case *east.FootnoteLink:
		d.line(i, "footnote %d", n.Index)
	case *content.ChapterBlock:
		d.line(i, "ChapterBlock")
	case *content.ChapterLink:
		d.line(i, "ChapterLink %s#%s", n.Chapter.Name, n.Heading)
		d.children(i+1, n)
	case *content.Picture:
		d.line(i, "Picture %s %q %q", n.Path, n.Alt, n.Title)
	case *content.FigureRef:
		d.line(i, "FigureRef %s", d.figure(n.Figure))
	case *content.CalcBlock:
		d.line(i, "CalcBlock %s", at(n.Place))
		d.prose(i+1, "title", n.Title)
		for _, w := range n.Work {
			if w.Rule {
				d.line(i+1, "rule")
			}
			d.line(i+1, "%q %s %s = %q %s", w.Label, w.Full, at(w.Place), w.Formula.Text(), at(w.Formula))
			d.prose(i+2, "note", w.Note)
		}
	case *content.TableBlock:
		d.line(i, "TableBlock %s total %q sort %q", at(n.Place), n.Total, n.Sort)
		d.prose(i+1, "title", n.Title)
		d.prose(i+1, "note", n.Note)
		d.grid(i+1, n.Grid)
	case *content.ChartBlock:
		d.line(i, "ChartBlock %s %s months %v unit %q alt %q", n.Shape, at(n.Place), n.Months, n.Unit.Text, n.Alt)
		d.prose(i+1, "title", n.Title)
		d.prose(i+1, "note", n.Note)
		d.grid(i+1, n.Grid)
		if n.Target != nil {
			d.line(i+1, "target %q %s", n.Target.Label, d.figure(n.Target.Figure))
		}
	case *content.DrawingBlock:
		d.line(i, "DrawingBlock %s %s alt %q", n.Of, at(n.Place), n.Alt)
		d.prose(i+1, "title", n.Title)
		d.prose(i+1, "note", n.Note)
		for _, s := range n.Sizes {
			d.line(i+1, "%s %s", s.Key, d.figure(s.Figure))
		}
	case *content.CautionBlock:
		name := ""
		if n.Caution != nil {
			name = n.Caution.Name
		}
		d.line(i, "CautionBlock %q %s", name, at(n.Place))
		d.prose(i+1, "title", n.Title)
		d.prose(i+1, "text", n.Body)
	default:
		d.line(i, "%s", n.Kind())
		d.children(i+1, n)
	}
}
