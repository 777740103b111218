package leaf

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"rickyard/calc/source"
)

// Bounds on what is read. A real farm's files have a few hundred lines; the
// bounds keep a hostile or broken text from filling memory or wasting time.
const (
	MostBytes  = 4 << 20
	MostLine   = 32 << 10 // bytes in one line
	mostMarks  = 300_000  // line ends and characters that can open or part entries
	mostLevels = 64       // of entries within entries
)

// A Fail reports an error and returns it, so that a remedy can be added.
type Fail func(kind source.Kind, at source.Span, format string, args ...any) *source.Error

// A Document is one YAML text with what is needed to point into it.
type Document struct {
	*Passage
	Root *yaml.Node // nil if the text is empty or can't be read

	fail  Fail
	lines []int // byte offset of each line as yaml.v3 counts lines
	// The place last asked for: nodes are asked for mostly in order.
	line, column, at int
}

// Read reads a YAML text into nodes, refusing whatever a farm's data has no use
// for: aliases, tags, several documents, control characters.
func Read(p *Passage, fail Fail) *Document {
	d := &Document{Passage: p, fail: fail}
	if err := p.guard(); err != nil {
		fail(err.Kind, err.Span, "%s", err.Message).With("%s", err.Remedy)
		return d
	}
	d.findLines()
	root, second, err := decode(p.Text)
	if err != nil {
		d.syntax(err)
		return d
	}
	if root == nil {
		return d
	}
	if second != nil {
		d.fail(source.Syntax, d.begin(second), "a second YAML document starts here; expected one document").
			With("delete the line --- above it, or move what follows to a file of its own")
		return d
	}
	if len(root.Content) == 1 && d.plain(root.Content[0]) {
		d.Root = root.Content[0]
	}
	return d
}

// guard refuses texts that are too large or not plain text.
func (p *Passage) guard() *source.Error {
	if len(p.Text) > MostBytes {
		return source.Errorf(source.Unsafe, p.Span(0, 0), "this is larger than %d MB; a farm's data needs far less", MostBytes>>20)
	}
	marks, start := 0, 0
	for i := 0; i < len(p.Text); i++ {
		switch p.Text[i] {
		case '\n':
			start = i + 1
			marks++
		case ',', ':', '[', '{', '?':
			marks++
		case '-':
			if i+1 == len(p.Text) || p.Text[i+1] <= ' ' {
				marks++
			}
		}
		if i-start > MostLine {
			return source.Errorf(source.Unsafe, p.Span(start, start+1), "this line is longer than %d characters", MostLine).With("break it into several lines")
		}
		if marks > mostMarks {
			return source.Errorf(source.Unsafe, p.Span(0, 0), "this holds more than %d entries; a farm's data needs far fewer", mostMarks)
		}
	}
	return p.BadCharacter()
}

// BadCharacter reports the first character that is not text, or nil: what is no
// UTF-8, control characters other than tab and line end, and those that turn
// the direction of writing, which could make a formula look like another.
func (p *Passage) BadCharacter() *source.Error {
	for i, r := range p.Text {
		switch {
		case r == utf8.RuneError:
			if _, n := utf8.DecodeRuneInString(p.Text[i:]); n == 1 {
				return source.Errorf(source.Syntax, p.Span(i, i+1), "this is not UTF-8 text (byte %#x)", p.Text[i]).With("save the file as UTF-8 in your editor")
			}
		case r < ' ' && r != '\t' && r != '\n' && r != '\r', r >= 0x7f && r < 0xa0 && r != 0x85, r == 0xfeff, r == 0xfffe, r == 0xffff:
			return source.Errorf(source.Syntax, p.Span(i, i+utf8.RuneLen(r)), "there is an invisible control character here (%U)", r).With("delete it")
		case r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069:
			return source.Errorf(source.Unsafe, p.Span(i, i+3), "a hidden character (%U) stands here that turns the direction of the text", r).With("delete it")
		}
	}
	return nil
}

// findLines notes where lines start for yaml.v3, which also ends lines at a
// lone carriage return and at three rare Unicode characters.
func (d *Document) findLines() {
	text := d.Text
	d.lines = []int{0}
	d.line, d.column, d.at = 1, 1, 0
	for i := 0; i < len(text); i++ {
		switch {
		case text[i] == '\n', text[i] == '\r' && !strings.HasPrefix(text[i+1:], "\n"):
			d.lines = append(d.lines, i+1)
		case text[i] == 0xc2 && strings.HasPrefix(text[i:], "\u0085"):
			d.lines = append(d.lines, i+2)
		case text[i] == 0xe2 && (strings.HasPrefix(text[i:], "\u2028") || strings.HasPrefix(text[i:], "\u2029")):
			d.lines = append(d.lines, i+3)
		}
	}
}

// offset returns where a node begins in the text; yaml.v3 counts columns in
// characters.
func (d *Document) offset(n *yaml.Node) int {
	if n.Line < 1 || n.Line > len(d.lines) {
		return len(d.Text)
	}
	if n.Line != d.line || n.Column < d.column {
		d.line, d.column, d.at = n.Line, 1, d.lines[n.Line-1]
	}
	for ; d.column < n.Column && d.at < len(d.Text); d.column++ {
		_, size := utf8.DecodeRuneInString(d.Text[d.at:])
		d.at += size
	}
	return d.at
}

// begin returns the first character of a node.
func (d *Document) begin(n *yaml.Node) source.Span {
	at := d.offset(n)
	_, width := utf8.DecodeRuneInString(d.Text[at:])
	return d.Span(at, at+width)
}

// plain reports whether a tree of nodes uses nothing but maps, lists and
// values, and says where it does not.
func (d *Document) plain(root *yaml.Node) bool {
	ok := true
	told := map[string]bool{} // anchors are copied by the thousand; one error each will do
	refuse := func(n *yaml.Node, kind source.Kind, format string, args ...any) *source.Error {
		ok = false
		return d.fail(kind, d.begin(n), format, args...)
	}
	var walk func(n *yaml.Node, level int)
	walk = func(n *yaml.Node, level int) {
		at := d.offset(n)
		var first byte
		if at < len(d.Text) {
			first = d.Text[at]
		}
		switch {
		case level > mostLevels:
			refuse(n, source.Unsafe, "entries stand within entries more than %d deep here", mostLevels).With("check the brackets and the indentation")
			return
		case n.Kind == yaml.AliasNode:
			ok = false
			if told[n.Value] {
				return
			}
			told[n.Value] = true
			refuse(n, source.Unsafe, "*%s stands for a value that is written elsewhere; this is not used here", Clip(n.Value)).With("write the value out, or use a named figure in a formula")
			return
		case n.Anchor != "":
			refuse(n, source.Unsafe, "&%s gives a value a name to copy it from; this is not used here", Clip(n.Anchor)).With("write the value out wherever it is needed, or use a named figure in a formula")
		case n.Style&yaml.TaggedStyle != 0, first == '!' && n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) == 0:
			refuse(n, source.Syntax, "a type that begins with ! is not used here").With("delete it and write the value alone")
		case n.Kind == yaml.ScalarNode && n.Tag == "!!merge":
			refuse(n, source.Unsafe, "<< copies entries from elsewhere; this is not used here").With("write the entries out")
		}
		for _, child := range n.Content {
			walk(child, level+1)
		}
	}
	walk(root, 1)
	return ok
}

// IsNull reports whether nothing stands where a value belongs.
func IsNull(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// At returns where a node is written: all of a value, without its quotes, and
// the first character of a map or list.
func (d *Document) At(n *yaml.Node) source.Span {
	if n.Kind == yaml.ScalarNode && n.Value != "" {
		if p := d.Value(n); len(p.pieces) > 0 {
			last := p.pieces[len(p.pieces)-1]
			return p.of.file.Span(p.pieces[0].From, last.From+last.N)
		}
	}
	return d.begin(n)
}

// Formula returns where the text of a value stands, without blanks around it.
// If the text stands nowhere as such, since it has escapes, it is a text of its
// own whose errors are reported at the value.
func (d *Document) Formula(n *yaml.Node) source.Span {
	p := d.Value(n)
	from, to := p.Trim(0, len(p.Text))
	return p.stretch(from, to, false)
}

// Value returns the text of a value as a passage of the file.
func (d *Document) Value(n *yaml.Node) *Passage {
	at := d.offset(n)
	switch {
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		at = LineEnd(d.Text, at)
	case n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0:
		at++
	}
	at = min(at, len(d.Text))
	pieces := align(n.Value, d.Text[at:], n.Style)
	for i := range pieces {
		pieces[i].From += at
	}
	return d.Part(n.Value, pieces, d.begin(n))
}

// align finds the characters of a YAML value in its text: the same characters,
// but for line ends, indentation and escapes. It returns nil if they don't
// match.
func align(value, raw string, style yaml.Style) []Piece {
	var pieces []Piece
	for i, j := 0, 0; i < len(value); {
		if j == len(raw) {
			if IsBlank(value[i:]) {
				return pieces
			}
			return nil
		}
		escape := style&yaml.DoubleQuotedStyle != 0 && raw[j] == '\\' && j+1 < len(raw)
		switch {
		case escape:
			j++
			if raw[j] == '"' || raw[j] == '\\' || raw[j] == '/' {
				pieces = append(pieces, Piece{i, j, 1})
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
			if k := len(pieces) - 1; k >= 0 && pieces[k].At+pieces[k].N == i && pieces[k].From+pieces[k].N == j {
				pieces[k].N++
			} else {
				pieces = append(pieces, Piece{i, j, 1})
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

// An Entry is a key of a map with its value.
type Entry struct {
	Key   string
	At    source.Span // of the key
	Value *yaml.Node
	// Comma says that the key may be the rest of a text broken at a comma.
	Comma bool
}

// Entries goes through the keys of a map in their order until more says no. Keys
// that are no single words or come twice are reported and left out, and the map
// is then not whole.
func (d *Document) Entries(n *yaml.Node, each func(Entry) (more bool)) (whole bool) {
	whole = true
	seen := map[string]source.Span{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		e := Entry{Key: k.Value, At: d.At(k), Value: v, Comma: n.Style&yaml.FlowStyle != 0 && IsNull(v) && i > 0}
		first, twice := seen[e.Key]
		switch {
		case k.Kind != yaml.ScalarNode:
			d.fail(source.Syntax, e.At, "a key must be a single word").With("if this was meant to be a value, put it in quotes")
		case k.Value == "" || IsNull(k):
			d.fail(source.Syntax, e.At, "a key is missing before this colon")
		case twice:
			d.fail(source.Duplicate, e.At, "%q is given twice; the first is at %s", Clip(e.Key), first.Position()).With("delete or rename one of them")
		default:
			seen[e.Key] = e.At
			if !each(e) {
				return whole
			}
			continue
		}
		whole = false
	}
	return whole
}

// CommaRemedy is what to do about a key that a comma made.
const CommaRemedy = "a comma in { } begins a new entry; put a text that contains one in quotes, and write numbers without commas"

// UnknownKey reports a key of something that has others; near finds the nearest
// of them.
func (d *Document) UnknownKey(e Entry, of string, known []string) {
	err := d.fail(source.UnknownKey, e.At, "%q is not a key of %s", Clip(e.Key), of)
	switch near := source.Nearest(e.Key, known); {
	case e.Comma:
		err.With("%s", CommaRemedy)
	case near != "":
		err.With("did you mean %s?", near)
	default:
		err.With("expected %s", List(known, "or"))
	}
}

// OneOf checks that a word is one of those known.
func (d *Document) OneOf(word string, at source.Span, say string, known []string) bool {
	for _, k := range known {
		if k == word {
			return true
		}
	}
	near := source.Nearest(word, known)
	switch {
	case len(known) <= 12:
		err := d.fail(source.UnknownKey, at, "%s is %q; expected %s", say, Clip(word), List(known, "or"))
		if near != "" {
			err.With("did you mean %s?", near)
		}
	case near != "":
		d.fail(source.UnknownKey, at, "%s is %q, which there is not", say, Clip(word)).With("did you mean %s?", near)
	default:
		d.fail(source.UnknownKey, at, "%s is %q, which there is not", say, Clip(word)).With("expected %s", List(known, "or"))
	}
	return false
}

// Found words what a node is, for an error that expected something else.
func Found(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "keys with values"
	case yaml.SequenceNode:
		return "a list"
	}
	return fmt.Sprintf("the single value %s", Clip(n.Value))
}
