package content

import (
	"regexp"
	"sort"
	"strings"

	"github.com/yuin/goldmark/ast"

	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// notesFile is the file in which cautions that several chapters and
// enterprises share are written once.
const notesFile = "cautions.yaml"

// A Caution is a warning that cautions.yaml defines.
type Caution struct {
	Name    string
	Title   *Prose
	Body    *Prose
	Applies string // to whom or what it applies; may be empty
	Place   source.Span
}

// KindCautionBlock is the kind of CautionBlock.
var KindCautionBlock = ast.NewNodeKind("CautionBlock")

// A CautionBlock is a warning set apart from the text: one that cautions.yaml
// defines, one written in place, or both.
type CautionBlock struct {
	ast.BaseBlock
	Caution *Caution // nil if it names none
	Title   *Prose   // that of the block, else of Caution; nil if there is none
	Body    *Prose   // what the block says itself; nil if nothing
	Place   source.Span
}

// Kind implements ast.Node.
func (*CautionBlock) Kind() ast.NodeKind { return KindCautionBlock }

// IsRaw implements ast.Node.
func (*CautionBlock) IsRaw() bool { return true }

// Dump implements ast.Node.
func (n *CautionBlock) Dump(src []byte, level int) { ast.DumpHelper(n, src, level, nil, nil) }

// Caution returns the caution of a name, or an error at the given place; neither
// if the file of cautions can't be read, which is reported.
func (b *Book) Caution(name string, at source.Span) (*Caution, error) {
	if c := b.Cautions[name]; c != nil {
		return c, nil
	}
	if b.unread != nil {
		b.unread.Follow(at)
		return nil, nil
	}
	e := source.Errorf(source.Unknown{Name: "caution " + name}, at, "no caution is called %s", leaf.Clip(name))
	known := make([]string, 0, len(b.Cautions))
	for name := range b.Cautions {
		known = append(known, name)
	}
	sort.Strings(known)
	if near := source.Nearest(name, known); near != "" {
		return nil, e.With("did you mean %s?", near)
	}
	return nil, e.With("cautions are defined in content/%s", notesFile)
}

// cautions reads cautions.yaml.
func (r *reader) cautions(p *leaf.Passage) {
	at := p.Span(0, 0)
	s := r.readSpec(p, at, notesFile)
	if s == nil {
		r.book.unread = r.errs[len(r.errs)-1]
		return
	}
	s.Entries(s.Root, func(e leaf.Entry) bool {
		if !bareName.MatchString(e.Key) {
			r.fail(source.Syntax, e.At, "%s can't be the name of a caution: a name has small letters, digits and _, and begins with a letter", leaf.Clip(e.Key))
			return true
		}
		keys := s.keys(e.Value, "a caution", "title", "text", "applies")
		s.need(e.Value, keys, "a caution", "title", "text")
		c := &Caution{Name: e.Key, Place: e.At}
		c.Title = s.prose(keys["title"], "a title")
		if n := keys["text"]; n != nil && s.word(n, "the text of a caution").Text != "" {
			c.Body = r.prose(s.Value(n), true)
		}
		c.Applies = s.word(keys["applies"], "what a caution applies to").Text
		r.book.Cautions[e.Key] = c
		return true
	})
}

var (
	cautionKey  = regexp.MustCompile(`^(name|title):[ \t]*`)
	cautionYAML = regexp.MustCompile(`(?m)\A(?:(?:name|title):.*\n)*text:`)
	anyKey      = regexp.MustCompile(`^([a-z]+): `)
)

func (m *markup) cautionBlock(b *block) ast.Node {
	n := &CautionBlock{Place: b.place}
	if leaf.IsBlank(b.body.Text) {
		m.fail(source.Missing, b.place, "this caution is empty").With("write its text, or name: and the name of a caution of content/%s", notesFile)
		return n
	}
	var name Word
	if cautionYAML.MatchString(b.body.Text) {
		s := m.readSpec(b.body, b.place, "a caution")
		if s == nil {
			return n
		}
		v := s.keys(s.Root, s.what, "name", "title", "text")
		name = s.word(v["name"], "the name of a caution")
		n.Title = s.prose(v["title"], "a title")
		if v["text"] != nil && s.word(v["text"], "the text of a caution").Text != "" {
			n.Body = m.prose(s.Value(v["text"]), true)
		}
	} else {
		at := 0
		for at < len(b.body.Text) {
			end := leaf.LineEnd(b.body.Text, at)
			line := b.body.Text[at:end]
			key := cautionKey.FindString(line)
			if key == "" {
				break
			}
			from, to := b.body.Trim(at+len(key), at+len(line))
			switch {
			case from == to:
				m.fail(source.Missing, b.body.Span(at, at+len(line)), "a value was expected after %s", strings.TrimSpace(key))
			case strings.HasPrefix(key, "name"):
				if name.Text != "" {
					m.fail(source.Duplicate, b.body.Span(at, to), "a caution block has one name").With("write a block for each")
				}
				name = Word{b.body.Text[from:to], b.body.Span(from, to)}
			case n.Title != nil:
				m.fail(source.Duplicate, b.body.Span(at, to), "a caution block has one title")
			default:
				n.Title = m.prose(b.body.Cut(from, to), false)
			}
			at = min(end+1, len(b.body.Text))
		}
		from, to := b.body.Trim(at, len(b.body.Text))
		rest := b.body.Text[from:to]
		if key := anyKey.FindStringSubmatch(rest); key != nil && (isNear(key[1], "name") || isNear(key[1], "title") || isNear(key[1], "text")) {
			m.fail(source.UnknownKey, b.body.Span(from, from+len(key[1])), "a caution has no key %s", key[1]).With("the keys are name, title and text")
			return n
		}
		if rest != "" {
			n.Body = m.prose(b.body.Cut(at, to), true)
		}
	}
	if name.Text != "" {
		c, err := m.book.Caution(name.Text, name.Place)
		m.add(err)
		n.Caution = c
		if c != nil && n.Title == nil {
			n.Title = c.Title
		}
	}
	return n
}
