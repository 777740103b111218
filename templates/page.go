package templates

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"rickyard/calc/figures"
	"rickyard/calc/say"
	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/templates/tree"
)

// A page is a chapter while it is being put together.
type page struct {
	*maker
	made *made
	// together: the chapter stands in one file with all others, so anchors
	// carry the chapter's name and workings stand at the end of the file.
	together bool
	paper    *paper // set for the edition on paper, which is together

	refs    map[*tree.Element]ref // every number on the page that leads to a working
	used    []*figures.Figure     // those of sentences and worked tables, as they first stand
	linked  map[string]bool       // the same, by name
	rows    map[string]bool       // figures with a row in a worked table
	counter map[string]int
	parted  bool // a heading has been written below the chapter's title

	explained map[string]bool // terms that were linked from the text, by id
	glossed   []*content.Term // the same, in order
}

// A ref is a number on the page that leads to the working of its figure. One in
// passing stands in a table, whose workings paper has no room for.
type ref struct {
	*figures.Figure
	passing bool
}

func (m *maker) newPage(c *made, together bool) *page {
	return &page{maker: m, made: c, together: together, refs: map[*tree.Element]ref{}, linked: map[string]bool{}, rows: map[string]bool{},
		counter: map[string]int{}, explained: map[string]bool{}}
}

// txt is a text of a page, with the apostrophes that a printer sets.
func txt(text string) tree.Text { return tree.Text(curl(text)) }

// curl makes a straight apostrophe after a letter or digit a curly one: those of
// labels out of YAML, where Markdown's own rules don't reach.
func curl(text string) string {
	if !strings.Contains(text, "'") {
		return text
	}
	var b strings.Builder
	last := ' '
	for _, r := range text {
		if r == '\'' && (unicode.IsLetter(last) || unicode.IsDigit(last)) {
			r = '\u2019'
		}
		b.WriteRune(r)
		last = r
	}
	return b.String()
}

// phrase puts nodes, texts and numbers into words, where they have %s or %d.
func phrase(words string, args ...any) tree.Nodes {
	var nodes tree.Nodes
	next := 0
	for {
		before, rest, found := strings.Cut(words, "%")
		if before != "" {
			nodes = append(nodes, txt(before))
		}
		if !found {
			return nodes
		}
		if strings.HasPrefix(rest, "%") {
			nodes = append(nodes, tree.Text("%"))
			words = rest[1:]
			continue
		}
		if strings.HasPrefix(rest, "[") { // %[2]s
			number, after, _ := strings.Cut(rest[1:], "]")
			_, _ = fmt.Sscan(number, &next)
			next--
			rest = after
		}
		if next < len(args) && rest != "" {
			switch a := args[next].(type) {
			case tree.Nodes:
				nodes = append(nodes, a...)
			case tree.Node:
				nodes = append(nodes, a)
			default:
				nodes = append(nodes, txt(fmt.Sprint(a)))
			}
			rest = rest[1:]
		}
		next++
		words = rest
	}
}

// headText is what heads a column; one that the table leaves open has words
// for those who hear the page.
func (p *page) headText(text string) tree.Nodes {
	if text == "" {
		return tree.Nodes{tree.E("span.vh", txt(p.words.Say("line")))}
	}
	return tree.Nodes{txt(text)}
}

// section returns the level of a heading within the part that it stands in.
func (p *page) section() string {
	if p.parted {
		return "h3"
	}
	return "h2"
}

// part opens a section of the page with its heading.
func (p *page) part(class, level string, title tree.Nodes) *tree.Element {
	id := p.id(class)
	return tree.E("section."+class, tree.A("aria-labelledby", id), tree.E(level, tree.ID(id), title))
}

// id returns an id that no other element of the file has.
func (p *page) id(kind string) string {
	p.counter[kind]++
	return p.anchor(fmt.Sprintf("%s-%d", kind, p.counter[kind]))
}

// anchor turns an anchor of the chapter into one of the file.
func (p *page) anchor(id string) string {
	if p.together {
		return p.made.Name + "--" + id
	}
	return id
}

func (p *page) fail(err error, place source.Span) {
	if !p.together || p.paper != nil { // else the same error would come twice
		p.errs.Add(at(err, place))
	}
}

// figure links the text of a figure to its working.
func (p *page) figure(f *figures.Figure, text string) tree.Nodes { return p.refer(f, text, false) }

func (p *page) refer(f *figures.Figure, text string, passing bool) tree.Nodes {
	f = p.behind(f)
	if p.paper != nil && (f.Hidden || passing) {
		return tree.Join(txt(text)) // a formula in a sentence has no name to be found by
	}
	link := tree.E("a.fig", txt(text))
	p.refs[link] = ref{f, passing}
	return tree.Nodes{link}
}

// settle says where each number on the finished page leads, and tells the
// workings of the book where it is shown.
func (p *page) settle(article *tree.Element) {
	p.settleIn(article.Kids, &place{href: p.made.href(), title: p.made.Title})
}

func (p *page) settleIn(nodes []tree.Node, at *place) {
	for _, n := range nodes {
		e, ok := n.(*tree.Element)
		if !ok {
			continue
		}
		if r, ok := p.refs[e]; ok {
			p.lead(e, r, *at)
			continue
		}
		inside := at
		if what := headingOf(e); e.Get("id") != "" && what != "" {
			here := place{href: p.made.href() + "#" + e.Get("id"), title: p.made.Title + ": " + what}
			if e.Name == "h2" || e.Name == "h3" {
				*at = here
			} else {
				inside = &here
			}
		}
		p.settleIn(e.Kids, inside)
	}
}

// lead says where a number on the page leads.
func (p *page) lead(e *tree.Element, r ref, at place) {
	first := !p.linked[r.Name] && !r.passing
	if first {
		p.linked[r.Name] = true
		p.used = append(p.used, r.Figure)
	}
	switch {
	case p.paper != nil:
		e.Set("href", "#f-"+r.Name)
		if first {
			e.Set("id", p.anchor("r-"+r.Name))
			p.paper.mention(p.paper.figures, r.Name, e.Get("id"), false)
		}
	case p.together:
		e.Set("data-f", r.Name)
	default:
		e.Set("href", workingHref(r.Figure))
		if first {
			e.Set("id", "r-"+r.Name)
		}
		p.work.show(r.Figure, at, !r.passing)
	}
}

// headingOf is what a section, a table or a drawing is called.
func headingOf(e *tree.Element) string {
	switch e.Name {
	case "h2", "h3":
		return tree.Plain(e)
	case "figure", "table":
		for _, k := range e.Kids {
			if c, ok := k.(*tree.Element); ok && c.Name == "figcaption" || ok && c.Name == "caption" && len(c.Kids) > 0 {
				if span, ok := c.Kids[0].(*tree.Element); ok && span.Name == "span" {
					c = span
				}
				return tree.Plain(withoutSmall(c.Kids)...)
			}
		}
	}
	return ""
}

// withoutSmall leaves the notes of a caption out.
func withoutSmall(nodes []tree.Node) []tree.Node {
	return slices.DeleteFunc(slices.Clone(nodes), func(n tree.Node) bool {
		e, ok := n.(*tree.Element)
		return ok && e.Name == "small"
	})
}

// lookup finds the figure that a chapter shows.
func (p *page) lookup(c *content.Figure) *figures.Figure {
	if c.Ref == "" {
		if f := p.Graph.Lookup(c.Full); f != nil {
			return f
		}
	}
	f, err := p.Graph.Find(c.Scope, c.Words, c.Formula)
	if err != nil {
		p.fail(err, c.Formula)
		return nil
	}
	return f
}

func (p *page) chapter() *tree.Element {
	article := tree.E("article.chapter")
	if p.together {
		article.Set("id", p.made.Name)
	}
	article.Add(tree.E("h1", tree.E("span.no", txt(fmt.Sprint(p.made.number))), tree.Text(" "), txt(p.made.Title)))
	if p.made.Summary != nil {
		article.Add(tree.E("p.lead", p.line(p.made.Summary)))
	}
	article.Add(p.markTerms(p.markdown(p.made.Doc, p.made.Source)))
	for _, c := range p.made.Cautions {
		article.Add(p.caution(c.Title, c.Body))
	}
	p.settle(article)
	if !p.together {
		article.Add(p.glossary())
	}
	return article
}

// scope is the prefix of the chapter's own figures and, for a chapter about
// one enterprise, of that enterprise's: they are named the same.
func (p *page) scope() string {
	if p.made == nil {
		return ""
	}
	return p.made.Name
}

// origin says where an input comes from and where it is written.
func (m *maker) origin(f *figures.Figure) tree.Text {
	var parts []string
	if reason, none := m.Graph.Base().None(f); none {
		parts = append(parts, m.words.Say("none_because", m.say(reason)))
	}
	if f.Found != "" {
		parts = append(parts, sentence(m.say(f.Found)))
	}
	if f.IsInput() {
		if f.Source != "" {
			parts = append(parts, sentence(m.say(f.Source)))
		} else {
			parts = append(parts, m.words.Say("no_source"))
		}
		if f.AsOf != "" {
			parts = append(parts, m.words.Say("as_of", m.asOf(f)))
		}
		if f.Low != nil && f.High != nil {
			parts = append(parts, m.words.Say("range", m.Style.Text(*f.Low, f.Unit, f.Step), m.Style.Text(*f.High, f.Unit, f.Step)))
		}
		place := f.Place.Position()
		parts = append(parts, m.words.Say("written_in", place.File, place.Line))
	}
	if f.Note != "" {
		parts = append(parts, sentence(m.say(f.Note)))
	}
	return txt(strings.Join(parts, " "))
}

// asOf writes from when an input is: a year, a month or a day.
func (m *maker) asOf(f *figures.Figure) string {
	day, err := time.Parse("2006-01-02", f.AsOf)
	if err == nil {
		return m.say(say.With("%s %s %s|date", day.Day(), say.Months[day.Month()-1], day.Year()))
	}
	if month, err := time.Parse("2006-01", f.AsOf); err == nil {
		return m.say(say.With("%s %s|month and year", say.Months[month.Month()-1], month.Year()))
	}
	return f.AsOf
}

// sentence gives a remark a capital and a full stop.
func sentence(text string) string {
	text = strings.TrimSpace(text)
	if text == "" {
		return ""
	}
	r := []rune(text)
	text = strings.ToUpper(string(r[0])) + string(r[1:])
	if !strings.ContainsAny(text[len(text)-1:], ".!?") {
		text += "."
	}
	return text
}
