package content

import (
	"slices"
	"strings"

	"github.com/yuin/goldmark/text"
	"gopkg.in/yaml.v3"

	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// A Word is a short text of a block's YAML and where it is written.
type Word struct {
	Text  string
	Place source.Span
}

// A spec is the YAML of a block, always a mapping.
type spec struct {
	*leaf.Document
	r     *reader
	place source.Span // of the block's word
	what  string      // "a table"
	chart bool        // it is a chart
}

// readSpec reads a passage as a YAML mapping, or returns nil.
func (r *reader) readSpec(p *leaf.Passage, place source.Span, what string) *spec {
	if len(p.Text) > longestSpec && !isNotes(what) {
		r.fail(source.Unsafe, place, "%s has more than %d characters", what, longestSpec).With("split it")
		return nil
	}
	errors := len(r.errs)
	s := &spec{Document: leaf.Read(p, r.fail), r: r, place: place, what: what}
	switch {
	case s.Root == nil && len(r.errs) > errors:
		return nil
	case s.Root == nil || leaf.IsNull(s.Root):
		r.fail(source.Missing, place, "%s is empty", what)
		return nil
	case s.Root.Kind != yaml.MappingNode:
		r.fail(source.WrongType, s.At(s.Root), "%s is %s here; expected keys with values", what, leaf.Found(s.Root))
		return nil
	}
	return s
}

// keys checks the keys of a mapping against those known and returns its
// values by key. Keys without a value are reported and left out.
func (s *spec) keys(n *yaml.Node, what string, known ...string) map[string]*yaml.Node {
	values := make(map[string]*yaml.Node)
	if n.Kind != yaml.MappingNode {
		s.r.fail(source.WrongType, s.At(n), "%s is %s here; expected keys with values", what, leaf.Found(n)).With("the keys are %s", leaf.List(known, "and"))
		return values
	}
	s.Entries(n, func(e leaf.Entry) bool {
		switch {
		case !slices.Contains(known, e.Key):
			s.UnknownKey(e, what, known)
		case leaf.IsNull(e.Value):
			s.r.fail(source.Missing, e.At, "a value was expected after %s:", e.Key)
		default:
			values[e.Key] = e.Value
		}
		return true
	})
	return values
}

// need reports a key that a mapping must have and has not.
func (s *spec) need(n *yaml.Node, values map[string]*yaml.Node, what string, keys ...string) {
	if n.Kind != yaml.MappingNode {
		return // which is reported
	}
	for _, key := range keys {
		if values[key] == nil && !hasKey(n, key) {
			at := s.place
			if n != s.Root {
				at = s.At(n)
			}
			s.r.fail(source.Missing, at, "%s needs a key %s", what, key)
		}
	}
}

func hasKey(n *yaml.Node, key string) bool {
	for i := 0; i < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
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
	if n.Kind != yaml.ScalarNode || leaf.IsNull(n) || leaf.IsBlank(n.Value) {
		s.r.fail(source.WrongType, s.At(n), "%s is a text", what)
		return Word{}
	}
	if n.Style&yaml.DoubleQuotedStyle != 0 { // it may have escapes
		if e := s.Value(n).BadCharacter(); e != nil {
			s.r.add(e)
			return Word{}
		}
	}
	return Word{strings.TrimSpace(n.Value), s.At(n)}
}

// prose returns the Markdown of a scalar, or nil.
func (s *spec) prose(n *yaml.Node, what string) *Prose {
	if n == nil || s.word(n, what).Text == "" {
		return nil
	}
	p := s.Value(n)
	return s.r.prose(p.Cut(p.Trim(0, len(p.Text))), false)
}

// figure returns the figure of a scalar that holds a formula, or nil.
func (s *spec) figure(n *yaml.Node, what string) *Figure {
	if n == nil || s.word(n, what).Text == "" {
		return nil
	}
	p := s.Value(n)
	from, to := p.Trim(0, len(p.Text))
	at := p.Span(from, to)
	return s.r.figure(at, p.Text[from:to], at, "")
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
		s.r.fail(source.Missing, s.At(n), "%s is empty", what)
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
	s.r.fail(source.WrongType, s.At(n), "%s is yes or no", key)
	return otherwise
}

// oneOf checks the word of a key against those known.
func (s *spec) oneOf(w Word, key string, known []string) {
	if w.Text != "" {
		s.OneOf(w.Text, w.Place, key, known)
	}
}

// linesOf returns the passage that consists of the given lines of p.
func linesOf(p *leaf.Passage, segments *text.Segments, home source.Span) *leaf.Passage {
	var b strings.Builder
	var pieces []leaf.Piece
	for i := range segments.Len() {
		s := segments.At(i)
		b.WriteString(strings.Repeat(" ", s.Padding))
		pieces = append(pieces, leaf.Piece{At: b.Len(), From: s.Start, N: s.Stop - s.Start})
		b.WriteString(p.Text[s.Start:s.Stop])
		if s.ForceNewline && !strings.HasSuffix(p.Text[s.Start:s.Stop], "\n") {
			b.WriteByte('\n')
		}
	}
	return p.Part(b.String(), pieces, home)
}
