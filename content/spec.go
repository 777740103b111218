package content

import (
	"bytes"
	"errors"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	"gopkg.in/yaml.v3"

	"rickyard/calc/source"
)

// A Word is a short text of a block's YAML and where it is written.
type Word struct {
	Text  string
	Place source.Span
}

// KindSpecBlock is the kind of SpecBlock.
var KindSpecBlock = ast.NewNodeKind("SpecBlock")

// A SpecBlock is a form or calendar block: its YAML as it stands, without
// anchors, aliases and tags.
type SpecBlock struct {
	ast.BaseBlock
	Word  string     // form or calendar
	Spec  *yaml.Node // a mapping; nil if it can't be read
	Place source.Span

	spec *spec
}

// Kind implements ast.Node.
func (*SpecBlock) Kind() ast.NodeKind { return KindSpecBlock }

// IsRaw implements ast.Node.
func (*SpecBlock) IsRaw() bool { return true }

// Dump implements ast.Node.
func (n *SpecBlock) Dump(src []byte, level int) {
	ast.DumpHelper(n, src, level, map[string]string{"Word": n.Word}, nil)
}

// Span returns where a node of Spec is written.
func (n *SpecBlock) Span(node *yaml.Node) source.Span { return n.spec.at(node) }

func (m *markup) specBlock(b *block) ast.Node {
	n := &SpecBlock{Word: b.word, Place: b.place}
	n.spec = m.readSpec(b.body, b.place, "a "+b.word)
	if n.spec != nil {
		n.Spec = n.spec.root
	}
	return n
}

// A spec is the YAML of a block, always a mapping.
type spec struct {
	r       *reader
	p       *passage
	lines   *source.File // p's text, to turn YAML's lines and columns into offsets
	root    *yaml.Node
	columns map[int][]int // offsets of the characters of a line
	place   source.Span   // of the block's word
	what    string        // "a table"
}

// readSpec reads a passage as a YAML mapping, or returns nil.
func (r *reader) readSpec(p *passage, place source.Span, what string) *spec {
	s := &spec{r: r, p: p, lines: source.New("", p.text), columns: make(map[int][]int), place: place, what: what}
	if len(p.text) > longestSpec && !isNotes(what) {
		r.fail(source.Unsafe, place, "%s has more than %d characters", what, longestSpec).With("split it")
		return nil
	}
	decoder := yaml.NewDecoder(strings.NewReader(p.text))
	var doc yaml.Node
	if err := decoder.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			r.fail(source.Missing, place, "%s is empty", what)
			return nil
		}
		s.notYAML(err)
		return nil
	}
	var more yaml.Node
	if err := decoder.Decode(&more); err == nil {
		r.fail(source.Syntax, s.at(&more), "%s is one YAML document, and a second one begins here", what).With("take the line --- out")
		return nil
	} else if !errors.Is(err, io.EOF) {
		s.notYAML(err)
		return nil
	}
	s.root = doc.Content[0]
	if !s.simple(s.root) {
		return nil
	}
	if s.root.Kind != yaml.MappingNode {
		if isNull(s.root) {
			r.fail(source.Missing, place, "%s is empty", what)
		} else {
			r.fail(source.WrongType, s.at(s.root), "%s is written as lines of `key: value`", what)
		}
		return nil
	}
	return s
}

var yamlLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?`)

// yamlRemedies says what an author most likely did to get an error of the
// YAML parser.
var yamlRemedies = []struct{ message, remedy string }{
	{"mapping values are not allowed", "put a text that holds a colon and a blank into quotes"},
	{"cannot start any token", "put a text that begins with this mark into quotes, and indent with blanks, not tabs"},
	{"did not find expected ',' or ']'", "close the list with ], and put a formula that holds a comma into quotes"},
	{"did not find expected ',' or '}'", "close the braces with }, and put a formula that holds a comma into quotes"},
	{"could not find expected ':'", "write each line as `key: value`"},
	{"did not find expected key", "begin the keys that belong together in the same column"},
}

func (s *spec) notYAML(err error) {
	message := err.Error()
	line := 1
	if m := yamlLine.FindStringSubmatch(message); m != nil {
		message = strings.TrimPrefix(message, m[0])
		if n, err := strconv.Atoi(m[1]); err == nil {
			line = n
		}
	}
	start := s.lines.Offset(line, 1)
	at := s.p.span(s.p.trim(start, start+len(s.lines.Line(line))))
	e := s.r.fail(source.Syntax, at, "%s can't be read as YAML: %s", s.what, message)
	for _, y := range yamlRemedies {
		if strings.Contains(message, y.message) {
			e.With("%s", y.remedy)
		}
	}
}

// simple reports whether a node holds nothing but mappings, lists and
// scalars; it reports what it finds else.
func (s *spec) simple(n *yaml.Node) bool {
	switch {
	case n.Kind == yaml.AliasNode || n.Anchor != "":
		s.r.fail(source.Unsafe, s.at(n), "%s can't have the YAML marks & and *", s.what).With("write the value out, or put it into quotes")
		return false
	case n.Style&yaml.TaggedStyle != 0:
		s.r.fail(source.Unsafe, s.at(n), "%s can't have YAML tags (!)", s.what).With("put the value into quotes")
		return false
	}
	for _, c := range n.Content {
		if !s.simple(c) {
			return false
		}
	}
	return true
}

func isNull(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// at returns where a node is written: all of a scalar, the beginning of
// anything else.
func (s *spec) at(n *yaml.Node) source.Span {
	if n.Kind == yaml.ScalarNode && n.Value != "" {
		if p := s.value(n); len(p.pieces) > 0 {
			return p.of.file.Span(p.pieces[0].from, p.pieces[len(p.pieces)-1].from+p.pieces[len(p.pieces)-1].n)
		}
	}
	return s.begin(n)
}

// offset returns where a node begins in the passage.
func (s *spec) offset(n *yaml.Node) int {
	columns, known := s.columns[n.Line]
	if !known {
		start := s.lines.Offset(n.Line, 1)
		for i := range s.p.text[start:lineEnd(s.p.text, start)] {
			columns = append(columns, start+i)
		}
		s.columns[n.Line] = columns
	}
	if n.Column < 1 || n.Column > len(columns) {
		return s.lines.Offset(n.Line, n.Column)
	}
	return columns[n.Column-1]
}

func (s *spec) begin(n *yaml.Node) source.Span {
	at := s.offset(n)
	_, width := utf8.DecodeRuneInString(s.p.text[at:])
	return s.p.span(at, at+width)
}

// value returns the text of a scalar as a passage of the file.
func (s *spec) value(n *yaml.Node) *passage {
	at := s.offset(n)
	if n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
		at = s.lines.Offset(n.Line+1, 1)
	} else if n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0 {
		at++
	}
	at = min(at, len(s.p.text))
	pieces := align(n.Value, s.p.text[at:], n.Style)
	for i := range pieces {
		pieces[i].from += at
	}
	return s.p.part(n.Value, pieces, s.begin(n))
}

// align finds the characters of a YAML scalar's value in its text: the same
// characters, but for line ends, indentation and escapes. It returns nil if
// they don't match.
func align(value, raw string, style yaml.Style) []piece {
	var pieces []piece
	for i, j := 0, 0; i < len(value); {
		if j == len(raw) {
			if isBlank(value[i:]) {
				return pieces
			}
			return nil
		}
		escape := style&yaml.DoubleQuotedStyle != 0 && raw[j] == '\\' && j+1 < len(raw)
		switch {
		case escape:
			j++
			if raw[j] == '"' || raw[j] == '\\' || raw[j] == '/' {
				pieces = append(pieces, piece{i, j, 1})
				i, j = i+1, j+1
				break
			}
			if raw[j] == '\n' || raw[j] == '\r' { // the line goes on
				break
			}
			_, width := utf8.DecodeRuneInString(value[i:])
			i += width
			switch raw[j] {
			case 'x':
				j += 2
			case 'u':
				j += 4
			case 'U':
				j += 8
			}
			j = min(j+1, len(raw))
		case raw[j] == value[i]:
			if k := len(pieces) - 1; k >= 0 && pieces[k].at+pieces[k].n == i && pieces[k].from+pieces[k].n == j {
				pieces[k].n++
			} else {
				pieces = append(pieces, piece{i, j, 1})
			}
			i, j = i+1, j+1
			if style&yaml.SingleQuotedStyle != 0 && raw[j-1] == '\'' {
				j = min(j+1, len(raw)) // the second of two
			}
		case raw[j] == ' ' || raw[j] == '\t' || raw[j] == '\n' || raw[j] == '\r':
			j++
		case value[i] == ' ' || value[i] == '\n':
			i++
		default:
			return nil
		}
	}
	return pieces
}

// keys checks the keys of a mapping against those known and returns its
// values by key. Keys without a value are reported and left out.
func (s *spec) keys(n *yaml.Node, what string, known ...string) map[string]*yaml.Node {
	values := make(map[string]*yaml.Node)
	if n.Kind != yaml.MappingNode {
		s.r.fail(source.WrongType, s.at(n), "%s is written as `key: value`", what).With("the keys are %s", list(known))
		return values
	}
	places := make(map[string]source.Span)
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		at := s.at(k)
		if k.Kind != yaml.ScalarNode {
			s.r.fail(source.WrongType, at, "a key of %s is one word", what)
			continue
		}
		if before, again := places[k.Value]; again {
			s.r.fail(source.Duplicate, at, "%s is given twice, first at %s", k.Value, before.Position())
			continue
		}
		places[k.Value] = at
		if !contains(known, k.Value) {
			e := s.r.fail(source.UnknownKey, at, "%s has no key %s", what, shown(k.Value))
			if near := source.Nearest(k.Value, known); near != "" {
				e.With("did you mean %s?", near)
			} else {
				e.With("the keys are %s", list(known))
			}
			continue
		}
		if isNull(v) {
			s.r.fail(source.Missing, at, "a value was expected after %s:", k.Value)
			continue
		}
		values[k.Value] = v
	}
	return values
}

// need reports a key that a mapping must have and has not.
func (s *spec) need(n *yaml.Node, values map[string]*yaml.Node, what string, keys ...string) {
	for _, key := range keys {
		if values[key] == nil && !hasKey(n, key) {
			at := s.place
			if n != s.root {
				at = s.begin(n)
			}
			s.r.fail(source.Missing, at, "%s needs a key %s", what, key)
		}
	}
}

func hasKey(n *yaml.Node, key string) bool {
	for i := 0; i < len(n.Content); i += 2 {
		if n.Kind == yaml.MappingNode && n.Content[i].Value == key {
			return true
		}
	}
	return false
}

// word returns the text of a scalar. The zero Word stands for no value.
func (s *spec) word(n *yaml.Node, what string) Word {
	if n == nil {
		return Word{}
	}
	if n.Kind != yaml.ScalarNode || isNull(n) || isBlank(n.Value) {
		s.r.fail(source.WrongType, s.at(n), "%s is a text", what)
		return Word{}
	}
	if n.Style&yaml.DoubleQuotedStyle != 0 { // it may have escapes
		if e := s.value(n).badCharacter(); e != nil {
			s.r.add(e)
			return Word{}
		}
	}
	return Word{strings.TrimSpace(n.Value), s.at(n)}
}

// prose returns the Markdown of a scalar, or nil.
func (s *spec) prose(n *yaml.Node, what string) *Prose {
	if n == nil || s.word(n, what).Text == "" {
		return nil
	}
	p := s.value(n)
	return s.r.prose(p.cut(p.trim(0, len(p.text))), false)
}

// figure returns the figure of a scalar that holds a formula, or nil.
func (s *spec) figure(n *yaml.Node, what string) *Figure {
	if n == nil || s.word(n, what).Text == "" {
		return nil
	}
	p := s.value(n)
	from, to := p.trim(0, len(p.text))
	at := p.span(from, to)
	return s.r.figure(at, p.text[from:to], at, "")
}

// words returns the texts of a list, or of one text standing for a list.
func (s *spec) words(n *yaml.Node, what string) []Word {
	if n == nil {
		return nil
	}
	items := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		items = n.Content
	}
	var words []Word
	for _, item := range items {
		if w := s.word(item, what); w.Text != "" {
			words = append(words, w)
		}
	}
	return words
}

// items returns the items of a list; one value stands for a list of one.
func (s *spec) items(n *yaml.Node, what string) []*yaml.Node {
	switch {
	case n == nil:
		return nil
	case n.Kind != yaml.SequenceNode:
		return []*yaml.Node{n}
	case len(n.Content) == 0:
		s.r.fail(source.Missing, s.at(n), "%s is empty", what)
	}
	return n.Content
}

// yes returns the value of a scalar that says yes or no.
func (s *spec) yes(n *yaml.Node, key string, otherwise bool) bool {
	if n == nil {
		return otherwise
	}
	if n.Kind == yaml.ScalarNode {
		switch n.Value {
		case "yes", "true":
			return true
		case "no", "false":
			return false
		}
	}
	s.r.fail(source.WrongType, s.at(n), "%s is yes or no", key)
	return otherwise
}

// oneOf checks a word against those known.
func (s *spec) oneOf(w Word, what string, known []string) {
	if w.Text == "" || contains(known, w.Text) {
		return
	}
	e := s.r.fail(source.UnknownKey, w.Place, "%s is not %s", shown(w.Text), what)
	if near := source.Nearest(w.Text, known); near != "" {
		e.With("did you mean %s?", near)
	} else {
		e.With("it is one of %s", list(known))
	}
}

func contains(words []string, word string) bool {
	for _, w := range words {
		if w == word {
			return true
		}
	}
	return false
}

// list writes words out: a, b and c.
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// shown shortens a text for an error.
func shown(s string) string {
	s = string(bytes.ToValidUTF8([]byte(strings.Join(strings.Fields(s), " ")), []byte("?")))
	if utf8.RuneCountInString(s) > 60 {
		s = string([]rune(s)[:60]) + "..."
	}
	return s
}
