package content

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/yuin/goldmark/ast"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// A Figure is a formula whose value is shown where it is written: in a
// sentence, in a cell of a table, as a point of a chart.
type Figure struct {
	Words   string // the formula, as written
	Formula source.Span
	Ref     string        // the name, if the formula is only the name of a figure
	Full    string        // its own name in the graph: chapter:line:column
	Want    *figures.Want // what it must come out in; nil for anything
	Scope   string        // the prefix under which bare names are looked up first
}

var (
	dottedName = regexp.MustCompile(`^[a-z][a-z0-9_]*(\.[a-z0-9_]+)*$`)
	bareName   = regexp.MustCompile(`^[a-z][a-z0-9_]*$`)
)

// figure returns the figure of a formula that is shown at a place, or nil if
// the chapter has too many. The suffix tells figures at one place apart.
func (r *reader) figure(formulaSpan source.Span, words string, place source.Span, suffix string) *Figure {
	if len(r.figures) >= mostFigures {
		if len(r.figures) == mostFigures {
			r.figures = append(r.figures, nil)
			r.fail(source.Unsafe, formulaSpan, "more than %d figures are shown in this file", mostFigures).With("split it")
		}
		return nil
	}
	f := &Figure{Words: strings.Join(strings.Fields(words), " "), Formula: formulaSpan, Scope: r.scope}
	if dottedName.MatchString(f.Words) && !formula.Reserved(f.Words) {
		f.Ref = f.Words
	}
	at := place.Position()
	base := fmt.Sprintf("%s:%d:%d%s", r.prefix, at.Line, at.Column, suffix)
	f.Full = base
	for n := 2; r.names[f.Full]; n++ {
		f.Full = numbered(base, n)
	}
	r.names[f.Full] = true
	r.figures = append(r.figures, f)
	return f
}

// KindFigureRef is the kind of FigureRef.
var KindFigureRef = ast.NewNodeKind("FigureRef")

// A FigureRef is a figure in a sentence: a code span that begins with calc:.
type FigureRef struct {
	ast.BaseInline
	*Figure
}

// Kind implements ast.Node.
func (*FigureRef) Kind() ast.NodeKind { return KindFigureRef }

// Dump implements ast.Node.
func (n *FigureRef) Dump(src []byte, level int) {
	ast.DumpHelper(n, src, level, map[string]string{"Words": n.Words, "Full": n.Full}, nil)
}

const figureMark = "calc:"

func (m *markup) codeSpan(n *ast.CodeSpan) {
	first, ok := n.FirstChild().(*ast.Text)
	if !ok || n.Parent() == nil {
		return
	}
	last := n.LastChild().(*ast.Text)
	start, end := m.passage.Trim(first.Segment.Start, last.Segment.Stop)
	words := m.passage.Text[start:end]
	if !strings.HasPrefix(words, figureMark) {
		if word, _, found := strings.Cut(words, ":"); found && isNear(word, "calc") {
			m.fail(source.UnknownKey, m.passage.Span(start, start+len(word)), "a figure in a sentence begins with calc:, not with %s:", word)
		}
		return
	}
	if insidePicture(n) {
		m.fail(source.Syntax, m.passage.Span(start, end), "a figure can't stand in the words of a picture").With("put it into the sentence before or after")
		return
	}
	// The lines of the span, without what stands between them (a quote's >).
	p := m.passage.Part(spanLines(n, m.passage.Text))
	from, to := p.Trim(strings.Index(p.Text, figureMark)+len(figureMark), len(p.Text))
	if from == to {
		m.fail(source.Missing, m.passage.Span(start, end), "a formula was expected after calc:").With("write the name of a figure or a formula, as in calc: broilers.sold")
		return
	}
	at := p.Span(from, to)
	f := m.figure(at, p.Text[from:to], at, "")
	if f == nil {
		return
	}
	ref := &FigureRef{Figure: f}
	ref.SetPos(n.Pos())
	m.refs = append(m.refs, ref)
	n.Parent().ReplaceChild(n.Parent(), n, ref)
}

func spanLines(n *ast.CodeSpan, text string) (string, []leaf.Piece, source.Span) {
	var b strings.Builder
	var pieces []leaf.Piece
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		if t, ok := c.(*ast.Text); ok {
			pieces = append(pieces, leaf.Piece{At: b.Len(), From: t.Segment.Start, N: t.Segment.Len()})
			b.WriteString(text[t.Segment.Start:t.Segment.Stop])
		}
	}
	return b.String(), pieces, source.Span{}
}

// isNear reports whether a word is a slip of the pen for another.
func isNear(word, known string) bool {
	return len(word) > 2 && word != known && source.Nearest(word, []string{known}) != ""
}
