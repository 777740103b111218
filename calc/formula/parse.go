package formula

import (
	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

// A Formula is a formula that has been read but not yet checked.
type Formula struct {
	Span source.Span
	As   *quantity.Unit // the unit to show, or nil
	Step float64        // rounding step asked for with it, in units; 0 if none

	root   node
	tokens []token
	names  []*Name
}

// A Name is one mention of a figure in a formula.
type Name struct {
	Text string
	Span source.Span

	Full string // set by whoever resolves names
}

// Names lists the mentions of figures, in the order of the text.
func (f *Formula) Names() []*Name { return f.names }

type node interface{ where() source.Span }

type (
	numberNode struct {
		span  source.Span
		value quantity.Quantity
	}
	nameNode struct{ name *Name }
	textNode struct {
		span source.Span
		text string
	}
	monthsNode struct { // Apr or Apr..Oct
		span        source.Span
		first, last int
	}
	noneNode struct {
		span source.Span
		why  string
	}
	unaryNode struct {
		span source.Span
		op   string
		x    node
	}
	binaryNode struct {
		op   token
		x, y node
	}
	callNode struct {
		span source.Span // of the function's name
		name string
		args []node
		end  int
	}
)

func (n *numberNode) where() source.Span { return n.span }
func (n *nameNode) where() source.Span   { return n.name.Span }
func (n *textNode) where() source.Span   { return n.span }
func (n *monthsNode) where() source.Span { return n.span }
func (n *noneNode) where() source.Span   { return n.span }
func (n *unaryNode) where() source.Span {
	return n.span.File.Span(n.span.Start, n.x.where().End)
}
func (n *binaryNode) where() source.Span {
	return n.op.span.File.Span(n.x.where().Start, n.y.where().End)
}
func (n *callNode) where() source.Span { return n.span.File.Span(n.span.Start, n.end) }

// namesIn lists the mentions of figures in a part of a formula.
func namesIn(n node) []*Name {
	switch n := n.(type) {
	case *nameNode:
		return []*Name{n.name}
	case *unaryNode:
		return namesIn(n.x)
	case *binaryNode:
		return append(namesIn(n.x), namesIn(n.y)...)
	case *callNode:
		var names []*Name
		for _, a := range n.args {
			names = append(names, namesIn(a)...)
		}
		return names
	}
	return nil
}

// deepest bounds how far brackets nest; people use three or four levels.
const deepest = 100

type parser struct {
	*Formula
	units *quantity.System
	at    int
	depth int
	errs  source.Errors
}

// Parse reads the formula at a span. It fails with source.Errors.
func Parse(span source.Span, units *quantity.System) (*Formula, error) {
	tokens, errs := scan(span, units)
	if len(errs) > 0 {
		return nil, errs
	}
	p := &parser{Formula: &Formula{Span: span, tokens: tokens}, units: units}
	p.root = p.expression(0)
	if p.keyword("as") {
		p.as()
	}
	if t := p.tokens[p.at]; t.kind != tokEnd && len(p.errs) == 0 {
		p.unexpected(t, "an operator such as + or *, or the end")
	}
	if len(p.errs) > 0 {
		return nil, p.errs[:1] // what follows a first slip in a formula is guesswork
	}
	return p.Formula, nil
}

func (p *parser) fail(at source.Span, format string, args ...any) *source.Error {
	err := source.Errorf(source.Syntax, at, format, args...)
	p.errs = append(p.errs, err)
	return err
}

func (p *parser) unexpected(t token, wanted string) {
	switch t.kind {
	case tokEnd:
		p.fail(t.span, "the formula ends too early; expected %s", wanted)
	case tokMark:
		err := p.fail(t.span, "%s is out of place; expected %s", t.span.Text(), wanted)
		if t.text == "," && p.at > 0 && p.tokens[p.at-1].kind == tokNumber && p.tokens[p.at+1].kind == tokNumber {
			err.With("%s", thousands)
		}
	case tokNumber, tokName, tokMonth:
		if p.at > 0 {
			if before := p.tokens[p.at-1]; before.kind == tokNumber || before.kind == tokName || before.kind == tokMonth {
				p.fail(t.span, "%s follows %s without an operator; expected * or another between them", t.span.Text(), before.span.Text())
				return
			}
		}
		p.fail(t.span, "%s is out of place; expected %s", t.span.Text(), wanted)
	default:
		p.fail(t.span, "%s is out of place; expected %s", t.span.Text(), wanted)
	}
}

func (p *parser) is(k kind, text string) bool {
	t := p.tokens[p.at]
	return t.kind == k && t.text == text
}

func (p *parser) mark(text string) bool { return p.take(tokMark, text) }

func (p *parser) keyword(text string) bool { return p.take(tokKeyword, text) }

func (p *parser) take(k kind, text string) bool {
	if p.is(k, text) {
		p.at++
		return true
	}
	return false
}

// Binding strengths, weakest first. A sign binds more loosely than a power, so
// -2^2 is -4, as in school.
const (
	bindOr = iota + 1
	bindAnd
	bindNot
	bindCompare
	bindSum
	bindProduct
	bindSign
	bindPower
)

func strength(t token) (int, bool) {
	switch t.kind {
	case tokKeyword:
		switch t.text {
		case "or":
			return bindOr, true
		case "and":
			return bindAnd, true
		case "is":
			return bindCompare, true
		}
	case tokMark:
		switch t.text {
		case "<", "<=", ">", ">=":
			return bindCompare, true
		case "+", "-":
			return bindSum, true
		case "*", "/":
			return bindProduct, true
		case "^":
			return bindPower, true
		}
	}
	return 0, false
}

// expression reads operators that bind more tightly than least.
func (p *parser) expression(least int) node {
	if p.depth++; p.depth > deepest {
		p.fail(p.tokens[p.at].span, "this formula nests more than %d deep; split the formula into named steps", deepest)
	}
	defer func() { p.depth-- }()
	if len(p.errs) > 0 {
		return &noneNode{span: p.tokens[p.at].span}
	}
	at := p.at
	x := p.operand()
	for len(p.errs) == 0 {
		op := p.tokens[p.at]
		bind, ok := strength(op)
		if !ok || bind <= least {
			break
		}
		p.at++
		if op.text == "is" && p.keyword("not") {
			op.text = "is not"
		}
		y := p.rightOf(op, bind)
		if n, ok := x.(*numberNode); ok && op.text == "^" && len(n.value.Unit.Parts) > 0 && p.tokens[at].kind == tokNumber {
			p.fail(op.span, "it is not clear what is raised to a power here").
				With("write m2 for a square metre, and (5 m)^2 for the square of five metres")
		}
		x = &binaryNode{op: op, x: x, y: y}
		if next, ok := strength(p.tokens[p.at]); ok && next == bindCompare && bind == bindCompare {
			p.fail(p.tokens[p.at].span, "comparisons can't be chained; join two with and")
		}
	}
	return x
}

func (p *parser) rightOf(op token, bind int) node {
	if op.text == "^" {
		return p.expression(bind - 1) // 2^3^2 is 2^(3^2)
	}
	return p.expression(bind)
}

func (p *parser) operand() node {
	t := p.tokens[p.at]
	switch {
	case t.kind == tokNumber:
		p.at++
		return &numberNode{t.span, t.value}
	case t.kind == tokText:
		p.at++
		return &textNode{t.span, t.text}
	case t.kind == tokMonth:
		p.at++
		n := &monthsNode{t.span, t.month, t.month}
		if p.mark("..") {
			last := p.tokens[p.at]
			if last.kind != tokMonth {
				p.unexpected(last, "a month, as in Apr..Oct")
				return n
			}
			p.at++
			n.last = last.month
			n.span.End = last.span.End
		}
		return n
	case t.kind == tokName:
		p.at++
		if p.is(tokMark, "(") {
			return p.call(t)
		}
		name := &Name{Text: t.text, Span: t.span}
		p.names = append(p.names, name)
		return &nameNode{name}
	case p.mark("("):
		x := p.expression(0)
		if len(p.errs) == 0 && !p.mark(")") {
			p.unexpected(p.tokens[p.at], "a closing )")
		}
		return x
	case p.mark("-"):
		if n := p.tokens[p.at]; n.kind == tokNumber && n.value.Unit.Offset != 0 {
			p.at++ // -5 degC is five below zero, not the opposite of 5 degC
			n.value.Value = n.value.Unit.ToBase(-n.plain)
			return &numberNode{n.span, n.value}
		}
		return &unaryNode{t.span, "-", p.expression(bindSign)}
	case p.mark("+"):
		return p.expression(bindSign)
	case p.keyword("not"):
		return &unaryNode{t.span, "not", p.expression(bindNot)}
	case p.keyword("if"), p.keyword("none"):
		if !p.is(tokMark, "(") {
			p.unexpected(p.tokens[p.at], "( after "+t.text)
			return &noneNode{span: t.span}
		}
		return p.call(t)
	}
	p.unexpected(t, "a number, a name or (")
	return &noneNode{span: t.span}
}

func (p *parser) call(name token) node {
	n := &callNode{span: name.span, name: name.text}
	p.at++
	if !p.is(tokMark, ")") {
		n.args = append(n.args, p.expression(0))
	}
	for len(p.errs) == 0 && p.mark(",") {
		n.args = append(n.args, p.expression(0))
	}
	if len(p.errs) > 0 {
		return n
	}
	if !p.is(tokMark, ")") {
		p.unexpected(p.tokens[p.at], "a comma or the ) that closes "+name.text+"(")
		return n
	}
	n.end = p.tokens[p.at].span.End
	p.at++
	if name.text == "none" {
		if len(n.args) == 1 {
			if why, ok := n.args[0].(*textNode); ok {
				return &noneNode{n.where(), why.text}
			}
		}
		p.fail(name.span, "none needs its reason in quotes, as none(\"sales do not cover costs\")")
	}
	return n
}

// as reads what follows the word as: a unit, or a step and a unit.
func (p *parser) as() {
	t := p.tokens[p.at]
	switch t.kind {
	case tokNumber:
		p.at++
		if t.value.Unit.IsDate() || t.value.Unit.IsCalendar() {
			p.fail(t.span, "a date is no step to round to; expected something like as 0.1 kg, or as date")
		} else if t.plain <= 0 {
			p.fail(t.span, "the step to round to must be more than 0")
		}
		p.As, p.Step = &t.value.Unit, t.plain
	case tokUnit:
		p.at++
		unit, err := p.units.ParseUnit(t.text)
		if err != nil {
			p.errs = append(p.errs, source.Errorf(source.WrongUnit, t.span, "%v", err))
			return
		}
		p.As = &unit
	default:
		p.fail(t.span, "expected a unit after as, such as kg or GBP/kg")
	}
}
