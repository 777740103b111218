package content

import (
	"regexp"
	"strings"

	"github.com/yuin/goldmark/ast"

	"rickyard/calc/formula"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// KindCalcBlock is the kind of CalcBlock.
var KindCalcBlock = ast.NewNodeKind("CalcBlock")

// A CalcBlock is a worked table.
type CalcBlock struct {
	ast.BaseBlock
	Title *Prose // nil if it has none
	Work  []*CalcLine
	Place source.Span
}

// Kind implements ast.Node.
func (*CalcBlock) Kind() ast.NodeKind { return KindCalcBlock }

// IsRaw implements ast.Node.
func (*CalcBlock) IsRaw() bool { return true }

// Dump implements ast.Node.
func (n *CalcBlock) Dump(src []byte, level int) { ast.DumpHelper(n, src, level, nil, nil) }

// A CalcLine is one line of a worked table: a worked figure.
type CalcLine struct {
	Label   string
	Name    string      // within the chapter
	Full    string      // chapter.name
	Formula source.Span // the formula; may go over several lines
	Place   source.Span // of the name
	Note    *Prose      // nil if it has none
	Rule    bool        // a rule is drawn above this line
}

// A calc line's name and = after its label. The label is all before the first
// colon that is followed by these.
var calcName = regexp.MustCompile(`:[ \t]+([a-z][a-z0-9_]*)[ \t]*=`)

const calcForm = "Label: name = formula"

func (m *markup) calcBlock(b *block) ast.Node {
	n := &CalcBlock{Place: b.place}
	text := b.body.Text
	var (
		line     *CalcLine // the line above, nil after a blank line
		form     [][2]int  // the lines of its formula
		note     [2]int    // of its note
		rule     = -1
		begun    bool
		indented = -1 // of the first line
	)
	finish := func() {
		if line == nil {
			return
		}
		formula := b.body.Joined(form)
		line.Formula = formula.Span(formula.Trim(0, len(formula.Text)))
		if leaf.IsBlank(formula.Text) {
			m.fail(source.Missing, line.Formula, "a formula was expected after %s =", line.Name)
		}
		if note[1] > 0 {
			line.Note = m.note(b.body, note[0], note[1])
		}
		line, note = nil, [2]int{}
	}
	for start := 0; start < len(text); {
		end := leaf.LineEnd(text, start)
		from, to := b.body.Trim(start, end)
		words := text[from:to]
		if indented < 0 && words != "" {
			indented = from - start
		}
		isFirst := !begun && words != "" && !strings.HasPrefix(words, "#")
		begun = begun || isFirst
		switch {
		case words == "":
			finish()
		case strings.HasPrefix(words, "#"):
		case strings.HasPrefix(words, ">"):
			if line == nil {
				m.fail(source.Syntax, b.body.Span(from, from+1), "a note (>) belongs directly under the line that it explains")
				break
			}
			if note[1] == 0 {
				note[0] = from
			}
			note[1] = to
		case from-start > indented:
			switch {
			case line == nil:
				m.fail(source.Syntax, b.body.Span(from, to), "an indented line goes on with the formula above, and there is none").
					With("begin the line at the margin: %s", calcForm)
			case note[1] > 0:
				m.fail(source.Syntax, b.body.Span(from, to), "a formula can't go on after its note").With("move the note below")
			default:
				form = append(form, [2]int{from, to})
			}
		case strings.Trim(words, "-") == "" && len(words) >= 3:
			finish()
			rule = from
		case isFirst && (strings.HasPrefix(words, "title: ") || words == "title:"):
			at, stop := b.body.Trim(from+len("title:"), to)
			if at == stop {
				m.fail(source.Missing, b.body.Span(from, to), "a title was expected after title:")
				break
			}
			// Quotation marks round the whole, as the other blocks need them.
			if mark := text[at]; stop-at > 2 && (mark == '"' || mark == '\'') && text[stop-1] == mark && strings.IndexByte(text[at+1:stop-1], mark) < 0 {
				at, stop = at+1, stop-1
			}
			n.Title = m.prose(b.body.Cut(at, stop), false)
		default:
			finish()
			if line, form = m.calcLine(b.body, from, to); line == nil {
				// The lines that belong to a wrong one say nothing more.
				for end < len(text) && end+1 < len(text) {
					next := end + 1
					stop := leaf.LineEnd(text, next)
					at, _ := b.body.Trim(next, stop)
					if at == stop || at-next <= indented && text[at] != '>' {
						break
					}
					end = stop
				}
				break
			}
			line.Rule = rule >= 0
			rule = -1
			n.Work = append(n.Work, line)
		}
		start = end + 1
	}
	finish()
	if rule >= 0 {
		m.fail(source.Syntax, b.body.Span(rule, rule+3), "a rule (---) is drawn above a line, and no line follows this one")
	}
	if len(n.Work) == 0 && !begun {
		m.fail(source.Missing, b.place, "this calc block is empty").With("write a line such as %s", calcForm)
	}
	m.calc = append(m.calc, n)
	return n
}

// calcLine reads the first line of a worked figure. It returns nil if the line
// is not one, and where the formula stands.
func (m *markup) calcLine(p *leaf.Passage, from, to int) (*CalcLine, [][2]int) {
	words := p.Text[from:to]
	at := calcName.FindStringSubmatchIndex(words)
	if at == nil {
		m.notCalcLine(p, from, to)
		return nil, nil
	}
	line := &CalcLine{
		Label: strings.TrimSpace(words[:at[0]]),
		Name:  words[at[2]:at[3]],
		Place: p.Span(from+at[2], from+at[3]),
	}
	line.Full = m.prefix + "." + line.Name
	if line.Label == "" {
		m.fail(source.Missing, p.Span(from, from+1), "a label was expected before the colon").With("say in words what %s is", line.Name)
	}
	if formula.Reserved(line.Name) {
		m.fail(source.Syntax, line.Place, "%s has a meaning in formulas and can't be the name of a figure", line.Name).With("take another name")
	}
	// In a passage that stands under a condition, another may have the same name;
	// that both stand is found out when all is put together.
	if first := m.lines[line.Name]; first == nil {
		if len(m.open) == 0 {
			m.lines[line.Name] = line
		}
	} else if len(m.open) == 0 {
		m.fail(source.Duplicate, line.Place, "%s is already worked at %s", line.Name, first.Place.Position()).With("give one of them another name")
	}
	return line, [][2]int{{from + at[1], to}}
}

// notCalcLine says what is wrong with a line that is not Label: name = formula.
func (m *markup) notCalcLine(p *leaf.Passage, from, to int) {
	words := p.Text[from:to]
	equals := strings.IndexByte(words, '=')
	if equals < 0 {
		m.fail(source.Syntax, p.Span(from, to), "a line of a calc block is %s, and this one has no =", calcForm).
			With("for a remark, begin the line with #")
		return
	}
	colon := strings.LastIndex(words[:equals], ":")
	if colon < 0 {
		m.fail(source.Syntax, p.Span(from, from+equals), "a label and a colon were expected before the name").
			With("write the line as %s", calcForm)
		return
	}
	start, end := p.Trim(from+colon+1, from+equals)
	name := p.Text[start:end]
	switch {
	case name == "":
		m.fail(source.Missing, p.Span(from+equals, from+equals+1), "a name was expected before =").With("write the line as %s", calcForm)
	case strings.Contains(name, "."):
		m.fail(source.Syntax, p.Span(start, end), "%s: a calc block names figures of its own chapter only, without a dot", name)
	case bareName.MatchString(name): // no blank after the colon
		m.fail(source.Syntax, p.Span(start, end), "a blank was expected between the colon and %s", name)
	default:
		m.fail(source.Syntax, p.Span(start, end), "%s can't be a name: a name has small letters, digits and _, and begins with a letter", name).
			With("write the line as %s", calcForm)
	}
}

// note reads the note under a calc line: lines that begin with >.
func (m *markup) note(p *leaf.Passage, from, to int) *Prose {
	var lines [][2]int
	for start := from; start < to; {
		end := min(to, leaf.LineEnd(p.Text, start))
		at, stop := p.Trim(start, end)
		if at < stop && p.Text[at] == '>' { // not a # line between
			at, stop = p.Trim(at+1, stop)
			lines = append(lines, [2]int{at, stop})
		}
		start = end + 1
	}
	note := p.Joined(lines)
	if leaf.IsBlank(note.Text) {
		m.fail(source.Missing, p.Span(from, to), "a note was expected after >")
		return nil
	}
	return m.prose(note, false)
}
