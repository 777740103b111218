package content

import (
	"regexp"
	"slices"
	"strings"

	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// glossaryFile is the file in which the words of the trade are explained.
const glossaryFile = "glossary.yaml"

// A Term is a word of the trade that glossary.yaml explains.
type Term struct {
	Name  string   // as it is written in a sentence: small letters but for names
	ID    string   // of its anchors, as gross-margin
	Also  []string // other forms and words that mean it
	Text  *Prose   // what it means, in a sentence or two
	Place source.Span
}

// Words returns the forms in which a text may use the term, its name first.
func (t *Term) Words() []string { return append([]string{t.Name}, t.Also...) }

// termText is the form of a term: words of letters and digits.
var termText = regexp.MustCompile(`^[\pL\d]+(?:[ '’/-][\pL\d]+)*$`)

const longestTerm = 60 // bytes

// glossary reads glossary.yaml.
func (r *reader) glossary(p *leaf.Passage) {
	s := r.readSpec(p, p.Span(0, 0), glossaryFile)
	if s == nil {
		return
	}
	places := make(map[string]source.Span) // of every word, in small letters
	ids := make(map[string]bool)
	use := func(word Word) bool {
		low := strings.ToLower(word.Text)
		switch before, again := places[low]; {
		case len(word.Text) > longestTerm || !termText.MatchString(word.Text):
			r.fail(source.Syntax, word.Place, "%s can't be a term: a term is a few words of letters and digits", leaf.Clip(word.Text))
		case again:
			r.fail(source.Duplicate, word.Place, "the term %s is explained twice, first at %s", word.Text, before.Position()).With("leave one of them out")
		default:
			places[low] = word.Place
			return true
		}
		return false
	}
	s.Entries(s.Root, func(e leaf.Entry) bool {
		if !use(Word{e.Key, e.At}) {
			return true
		}
		keys := s.keys(e.Value, "a term", "text", "also")
		s.need(e.Value, keys, "a term", "text")
		t := &Term{Name: e.Key, ID: anchor(e.Key), Place: e.At, Text: s.prose(keys["text"], "what a term means")}
		for n := 2; ids[t.ID]; n++ {
			t.ID = numbered(anchor(e.Key), n)
		}
		ids[t.ID] = true
		for _, word := range s.words(keys["also"], "another word for a term") {
			if use(word) {
				t.Also = append(t.Also, word.Text)
			}
		}
		r.book.Glossary = append(r.book.Glossary, t)
		return true
	})
	slices.SortStableFunc(r.book.Glossary, func(a, b *Term) int {
		return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	})
}
