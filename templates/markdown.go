package templates

import (
	"bytes"
	"fmt"
	"html"
	"regexp"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	gmhtml "github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/util"

	"rickyard/content"
)

// markdown writes a tree of the content package as HTML.
func (p *page) markdown(doc ast.Node, src []byte) string {
	prefix := ""
	if p.together {
		prefix = p.made.Name + "--"
	}
	r := renderer.NewRenderer(renderer.WithNodeRenderers(
		util.Prioritized(p, 100),
		util.Prioritized(extension.NewFootnoteHTMLRenderer(extension.WithFootnoteIDPrefix(prefix)), 400),
		util.Prioritized(extension.NewDefinitionListHTMLRenderer(), 500),
		util.Prioritized(gmhtml.NewRenderer(), 1000),
	))
	var b bytes.Buffer
	if err := r.Render(&b, src, doc); err != nil {
		p.errs.Add(err)
	}
	return b.String()
}

// line writes prose that stands in a line: without its paragraph.
func (p *page) line(prose *content.Prose) string {
	if prose == nil {
		return ""
	}
	text := strings.TrimSpace(p.markdown(prose.Doc, prose.Source))
	return strings.TrimSuffix(strings.TrimPrefix(text, "<p>"), "</p>")
}

// plain writes prose without marks, its figures as they are shown.
func (p *page) plain(prose *content.Prose) string {
	return strings.Join(strings.Fields(html.UnescapeString(tag.ReplaceAllString(p.line(prose), ""))), " ")
}

var tag = regexp.MustCompile(`<[^>]*>`) // in our own HTML, in whose attributes > is escaped

// RegisterFuncs implements goldmark's renderer.NodeRenderer for the nodes of
// the content package and for those that goldmark writes in another way than
// the pages need.
func (p *page) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	leaf := func(kind ast.NodeKind, write func(n ast.Node) string) {
		reg.Register(kind, func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
			if entering {
				_, _ = w.WriteString(write(n))
			}
			return ast.WalkSkipChildren, nil
		})
	}
	leaf(content.KindChapterBlock, func(ast.Node) string { return "" })
	leaf(content.KindCalcBlock, func(n ast.Node) string { return p.calc(n.(*content.CalcBlock)) })
	leaf(content.KindFigureRef, func(n ast.Node) string { return p.inline(n.(*content.FigureRef)) })
	leaf(content.KindTableBlock, func(n ast.Node) string { return p.table(n.(*content.TableBlock)) })
	leaf(content.KindChartBlock, func(n ast.Node) string { return p.chart(n.(*content.ChartBlock)) })
	leaf(content.KindDrawingBlock, func(n ast.Node) string { return p.drawing(n.(*content.DrawingBlock)) })
	leaf(content.KindCautionBlock, func(n ast.Node) string {
		c := n.(*content.CautionBlock)
		var body []*content.Prose
		if c.Caution != nil {
			body = append(body, c.Caution.Body)
		}
		return p.caution(c.Title, append(body, c.Body)...)
	})
	leaf(content.KindPicture, func(n ast.Node) string {
		pic := n.(*content.Picture)
		return fmt.Sprintf(`<img src="%s" alt="%s">`, esc(p.picture(pic.Path)), esc(pic.Alt))
	})
	// Raw HTML is shown as the text that it is.
	reg.Register(ast.KindRawHTML, func(w util.BufWriter, src []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			segments := n.(*ast.RawHTML).Segments
			for i := range segments.Len() {
				segment := segments.At(i)
				_, _ = w.WriteString(esc(string(segment.Value(src))))
			}
		}
		return ast.WalkSkipChildren, nil
	})
	reg.Register(ast.KindHTMLBlock, func(w util.BufWriter, src []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			_, _ = w.WriteString("<p>")
			for i := range n.Lines().Len() {
				line := n.Lines().At(i)
				_, _ = w.WriteString(esc(string(line.Value(src))))
			}
			_, _ = w.WriteString("</p>\n")
		}
		return ast.WalkSkipChildren, nil
	})
	reg.Register(ast.KindHeading, func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		// The chapter's title is the page's only h1.
		level := min(6, max(2, n.(*ast.Heading).Level))
		if !entering {
			_, _ = fmt.Fprintf(w, "</h%d>\n", level)
			return ast.WalkContinue, nil
		}
		id, _ := n.AttributeString("id")
		raw, _ := id.([]byte)
		p.parted = true
		_, _ = fmt.Fprintf(w, `<h%d id="%s">`, level, esc(p.anchor(string(raw))))
		return ast.WalkContinue, nil
	})
	reg.Register(content.KindChapterLink, func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		link := n.(*content.ChapterLink)
		switch {
		case !p.has(link.Chapter.Name): // not in this part of the book
		case entering:
			_, _ = fmt.Fprintf(w, `<a href="%s">`, esc(p.chapterHref(link.Chapter.Name, link.Heading)))
		default:
			_, _ = w.WriteString("</a>" + p.onPage(link.Chapter.Name, link.Heading))
		}
		return ast.WalkContinue, nil
	})
	p.registerTables(reg)
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

// registerTables writes Markdown's own tables without style attributes.
func (p *page) registerTables(reg renderer.NodeRendererFuncRegisterer) {
	wrap := func(kind ast.NodeKind, open, shut func(n ast.Node) string) {
		reg.Register(kind, func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
			if entering {
				_, _ = w.WriteString(open(n))
			} else {
				_, _ = w.WriteString(shut(n))
			}
			return ast.WalkContinue, nil
		})
	}
	text := func(s string) func(ast.Node) string { return func(ast.Node) string { return s } }
	wrap(east.KindTable, func(ast.Node) string {
		return p.scrollsNamed("scroll snug", `aria-label="`+esc(p.words.Say("table"))+`"`) + "<table class=\"plain\">\n"
	}, text("</tbody></table></div>\n"))
	wrap(east.KindTableHeader, text("<thead><tr>"), text("</tr></thead>\n<tbody>\n"))
	wrap(east.KindTableRow, text("<tr>"), text("</tr>\n"))
	cell := func(n ast.Node) string {
		if n.Parent().Kind() == east.KindTableHeader {
			return "th"
		}
		return "td"
	}
	wrap(east.KindTableCell, func(n ast.Node) string {
		class := ""
		if n.(*east.TableCell).Alignment == east.AlignRight {
			class = ` class="n"`
		}
		scope := ""
		if cell(n) == "th" {
			scope = ` scope="col"`
		}
		return "<" + cell(n) + scope + class + ">"
	}, func(n ast.Node) string { return "</" + cell(n) + ">" })
}

func (p *page) caution(title *content.Prose, bodies ...*content.Prose) string {
	id := p.id("caution")
	var b strings.Builder
	fmt.Fprintf(&b, `<aside class="caution" role="note" aria-labelledby="%s"><p class="caution-title" id="%[1]s"><span class="caution-word">%s</span> %s</p>`,
		id, esc(p.words.Say("caution")), p.line(title))
	b.WriteByte('\n')
	for _, body := range bodies {
		if body == nil {
			continue
		}
		html := strings.TrimSpace(p.markdown(body.Doc, body.Source))
		if !strings.HasPrefix(html, "<") {
			html = "<p>" + html + "</p>"
		}
		b.WriteString(html)
	}
	b.WriteString("</aside>\n")
	return b.String()
}

// inline writes a figure in a sentence, or a text that the farm gives.
func (p *page) inline(ref *content.FigureRef) string {
	if text, ok := p.Facts[ref.Ref]; ok && ref.Ref != "" {
		return esc(p.say(text))
	}
	f := p.lookup(ref.Figure)
	if f == nil {
		return ""
	}
	if f.Type.Len > 0 {
		p.fail(wrongSeries(f, ref.Formula), ref.Formula)
		return ""
	}
	return p.figure(f, p.shown(f))
}

// calc writes a worked table.
func (p *page) calc(block *content.CalcBlock) string {
	var b strings.Builder
	id := p.id("calc")
	b.WriteString(`<div class="calc-block"><table class="calc" role="table"`)
	if block.Title != nil {
		fmt.Fprintf(&b, ` aria-labelledby="%s-c"><caption id="%[1]s-c"><span>%s</span></caption>`, id, p.line(block.Title))
	} else {
		fmt.Fprintf(&b, ` aria-label="%s">`, esc(p.words.Say("how")))
	}
	fmt.Fprintf(&b, `
<thead role="rowgroup"><tr role="row"><th scope="col" role="columnheader">%s</th><th scope="col" role="columnheader">%s</th><th scope="col" role="columnheader" class="n">%s</th></tr></thead>
<tbody role="rowgroup">`, esc(p.words.Say("figure")), esc(p.words.Say("how")), esc(p.words.Say("result")))
	last := len(block.Work) - 1
	for i, line := range block.Work {
		f := p.Graph.Lookup(line.Full)
		if f == nil {
			continue // its error is reported by the graph
		}
		class := ""
		if i == last && last > 0 {
			class = ` class="answer"`
		}
		row := ""
		if !p.together || p.paper != nil {
			row = fmt.Sprintf(` id="w-%s"`, esc(f.Name))
			p.rows[f.Name] = true
		}
		if p.paper != nil {
			p.paper.mention(p.paper.figures, f.Name, "w-"+f.Name, true)
		}
		numbers := p.numbers(f)
		if numbers != "" {
			numbers = `<span class="put">` + numbers + "</span>"
		}
		series := ""
		if f.Type.Len > 0 {
			series = " series"
		}
		note := ""
		if line.Note != nil {
			note = `<span class="note">` + p.line(line.Note) + "</span>"
		}
		fmt.Fprintf(&b, "\n<tr%s%s role=\"row\"><th scope=\"row\" role=\"rowheader\">%s</th><td class=\"how\" role=\"cell\"><span class=\"words\">%s</span>%s%s</td><td class=\"n%s\" role=\"cell\">%s</td></tr>",
			row, class, esc(line.Label), p.inWords(f, nil), numbers, note, series, p.result(f))
	}
	b.WriteString("</tbody></table>\n")
	fmt.Fprintf(&b, "<p class=\"as-shown\">%s</p></div>\n", esc(p.words.Say("rounded")))
	return b.String()
}
