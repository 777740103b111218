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

// KindOnly is the kind of Only.
var KindOnly = ast.NewNodeKind("Only")

// An Only is what stands between an if or unless block and its end block: a
// passage that a chapter has only under a condition. Its children are that
// passage. Settle and Hide leave none of it in the tree.
type Only struct {
	ast.BaseBlock
	Unless    bool
	There     []Word  // names that must all be defined; none if there is a condition
	Condition *Figure // yes or no; nil if it is on names
	Place     source.Span

	parent ast.Node
	from   extent
	within map[any]bool // what of the chapter's lists stands in it
}

// Kind implements ast.Node.
func (*Only) Kind() ast.NodeKind { return KindOnly }

// Dump implements ast.Node.
func (n *Only) Dump(src []byte, level int) { ast.DumpHelper(n, src, level, nil, nil) }

// An extent is how far the lists of a chapter have come.
type extent struct{ calc, tables, charts, figures, refs int }

func (r *reader) extent() extent {
	return extent{len(r.calc), len(r.tables), len(r.charts), len(r.figures), len(r.refs)}
}

var (
	thereIs  = regexp.MustCompile(`(?s)^there (?:is|are)\s+(.+)$`)
	apart    = regexp.MustCompile(`\s*,\s*|\s+and\s+|\s+`)
	onlyForm = "there is broilers, or a condition such as farm.horizon >= 5 year"
)

func (m *markup) onlyBlock(b *block) ast.Node {
	n := &Only{Unless: b.word == "unless", Place: b.place, parent: b.node.Parent(), within: map[any]bool{}}
	from, to := b.body.Trim(0, len(b.body.Text))
	text, at := b.body.Text[from:to], b.body.Span(from, to)
	switch names := thereIs.FindStringSubmatch(text); {
	case text == "":
		m.fail(source.Missing, b.place, "this %s block says no condition", b.word).With("write %s", onlyForm)
	case names != nil:
		for _, name := range apart.Split(strings.TrimSpace(names[1]), -1) {
			if !dottedName.MatchString(name) {
				m.fail(source.Syntax, at, "%s is not the name of an enterprise or a figure", leaf.Clip(name)).With("write %s", onlyForm)
				continue
			}
			n.There = append(n.There, Word{name, at})
		}
	default:
		if n.Condition = m.figure(at, text, at, ""); n.Condition != nil {
			n.Condition.Want = &figures.Want{What: "a condition", Truth: true}
		}
	}
	n.from = m.extent()
	m.only = append(m.only, n)
	m.open = append(m.open, n)
	return n
}

// endBlock takes what stands since the last if or unless into it.
func (m *markup) endBlock(b *block) ast.Node {
	if !leaf.IsBlank(b.body.Text) {
		m.fail(source.Syntax, b.place, "an end block holds nothing").With("close it on the next line, and write what follows below")
	}
	if len(m.open) == 0 {
		m.fail(source.Syntax, b.place, "nothing is ended here: no if or unless is open").With("take it out")
		return nil
	}
	n := m.open[len(m.open)-1]
	m.open = m.open[:len(m.open)-1]
	if n.parent != b.node.Parent() {
		m.fail(source.Syntax, b.place, "this end stands in another list or quote than the block at %s that it would end", n.Place.Position()).
			With("write both at the same depth")
		return nil
	}
	for c := n.NextSibling(); c != nil && c != b.node; c = n.NextSibling() {
		n.AppendChild(n, c)
	}
	take(n, m.calc[n.from.calc:])
	take(n, m.tables[n.from.tables:])
	take(n, m.charts[n.from.charts:])
	take(n, m.figures[n.from.figures:])
	take(n, m.refs[n.from.refs:])
	return nil
}

func take[T comparable](n *Only, items []T) {
	for _, item := range items {
		n.within[item] = true
	}
}

// unended reports blocks that are open at the end of a chapter.
func (m *markup) unended() {
	for _, n := range m.open {
		m.fail(source.Syntax, n.Place, "what begins here is never ended").With("end it with a block of the word end: ```end, and ``` below")
	}
}

// Settle decides what stands only where something is defined: an enterprise, a
// loan, a person, a channel, any figure. What is out is no part of the book, as
// if it had never been written. It returns warnings of names that look misspelt.
func (b *Book) Settle(defined func(name string) bool, known []string) source.Errors {
	own := map[string]bool{}
	for _, ch := range b.Chapters {
		for _, block := range ch.Calc {
			for _, line := range block.Work {
				own[line.Full] = !ch.inOnly(block)
			}
		}
	}
	var warnings source.Errors
	for _, ch := range b.Chapters {
		b.decide(ch, func(n *Only) (in, decided bool) {
			if n.Condition != nil {
				return false, false
			}
			in = true
			for _, name := range n.There {
				if defined(name.Text) || own[name.Text] {
					continue
				}
				in = false
				if near := source.Nearest(name.Text, known); near != "" {
					warnings = append(warnings, source.Warningf(name.Place, "there is no %s", name.Text).With("did you mean %s?", near))
				}
			}
			return in != n.Unless, true
		}, true)
	}
	return warnings
}

// Hide decides what is shown only under a condition. What is hidden stays worked
// out, so that nothing hangs on it whether a figure exists. A condition without
// an answer does not hold.
func (b *Book) Hide(holds func(*Figure) bool) {
	for _, ch := range b.Chapters {
		b.decide(ch, func(n *Only) (in, decided bool) {
			return n.Condition == nil || holds(n.Condition) != n.Unless, true
		}, false)
	}
}

func (ch *Chapter) inOnly(item any) bool {
	return slices.ContainsFunc(ch.only, func(n *Only) bool { return n.within[item] })
}

// decide puts the passages that are in where their blocks stood, and takes out
// those that are not; whole says that their figures go as well.
func (b *Book) decide(ch *Chapter, in func(*Only) (in, decided bool), whole bool) {
	gone := map[any]bool{}
	var rest []*Only
	for _, n := range ch.only {
		if gone[n] {
			continue
		}
		holds, decided := in(n)
		if !decided {
			rest = append(rest, n)
			continue
		}
		parent := n.Parent()
		if holds {
			for c := n.FirstChild(); c != nil; c = n.FirstChild() {
				parent.InsertBefore(parent, n, c)
			}
		} else {
			for item := range n.within {
				gone[item] = true
			}
			_ = ast.Walk(n, func(c ast.Node, _ bool) (ast.WalkStatus, error) {
				gone[c] = true
				return ast.WalkContinue, nil
			})
		}
		parent.RemoveChild(parent, n)
	}
	ch.only = rest
	if len(gone) == 0 {
		return
	}
	ch.Headings = without(ch.Headings, func(h *Heading) bool {
		if gone[h.Node] {
			b.unlink(ch, h.ID)
		}
		return gone[h.Node]
	})
	ch.Tables, ch.Charts, ch.Refs = drop(ch.Tables, gone), drop(ch.Charts, gone), drop(ch.Refs, gone)
	if whole {
		ch.Calc, ch.Figures = drop(ch.Calc, gone), drop(ch.Figures, gone)
	}
}

func drop[T comparable](items []T, gone map[any]bool) []T {
	return without(items, func(item T) bool { return gone[item] })
}

func without[T any](items []T, out func(T) bool) []T {
	return slices.DeleteFunc(slices.Clone(items), out)
}

// unlink lets links to a heading that is out lead to its chapter.
func (b *Book) unlink(ch *Chapter, id string) {
	for _, link := range b.links {
		if link.Chapter == ch && link.Heading == id {
			link.Heading = ""
		}
	}
}
