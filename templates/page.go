package templates

import (
	"fmt"
	"strings"
	"time"
	"unicode"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
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
	used    []*figures.Figure     // whose workings the page needs, in order
	linked  map[string]bool       // the same, by name
	rows    map[string]bool       // figures with a row in a worked table
	counter map[string]int
	parted  bool // a heading has been written below the chapter's title

	explained map[string]bool // terms that were linked from the text, by id
	glossed   []*content.Term // the same, in order
}

// A ref is a number on the page that leads to the working of its figure. In
// passing: a line of a table, for which a page has no room.
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
	if p.together {
		return fmt.Sprintf("%s-%s-%d", kind, p.made.Name, p.counter[kind])
	}
	return fmt.Sprintf("%s-%d", kind, p.counter[kind])
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
	if p.paper != nil && (f.Hidden || passing) {
		return tree.Join(txt(text)) // a formula in a sentence has no name to be found by
	}
	link := tree.E("a.fig", tree.Href("#f-"+f.Name), txt(text))
	p.refs[link] = ref{f, passing && !p.together}
	return tree.Nodes{link}
}

// settle gives each figure that the finished page leads to an anchor where it
// first stands, and notes which they are.
func (p *page) settle(article *tree.Element) {
	own := map[string]bool{}
	tree.Elements(article.Kids, func(e *tree.Element) {
		if r, ok := p.refs[e]; ok && !r.passing {
			own[r.Name] = true
		}
	})
	tree.Elements(article.Kids, func(e *tree.Element) {
		r, ok := p.refs[e]
		switch {
		case !ok:
		case r.passing && !own[r.Name]:
			*e = *tree.E("a", tree.Href("figures.html#f-"+r.Name), tree.Nodes(e.Kids))
		case !p.linked[r.Name]:
			p.linked[r.Name] = true
			p.used = append(p.used, r.Figure)
			if p.paper != nil {
				e.Set("id", p.anchor("r-"+r.Name))
				p.paper.mention(p.paper.figures, r.Name, e.Get("id"), false)
			} else if !p.together {
				e.Set("id", "r-"+r.Name)
			}
		}
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
		article.Add(p.glossary(), p.workings())
	}
	return article
}

// workings is how each figure that the text links to is worked.
func (p *page) workings() *tree.Element {
	if len(p.used) == 0 {
		return nil
	}
	s := p.part("workings", "h2", tree.Nodes{txt(p.words.Say("workings"))})
	for _, f := range p.used {
		w := p.working(f, func(other *figures.Figure) string {
			if p.linked[other.Name] {
				return "#f-" + other.Name
			}
			return "figures.html#f-" + other.Name
		})
		back := tree.E("p.w-go")
		if p.rows[f.Name] {
			back.Add(tree.E("a", tree.Href("#w-"+f.Name), txt(p.words.Say("worked_table"))), tree.Text(" "))
		}
		s.Add(w.Add(back.Add(tree.E("a.w-back", tree.Href("#r-"+f.Name), txt(p.words.Say("back"))))))
	}
	return s
}

// working is one figure: value, formula in words, numbers put in, source. href
// says where the working of another figure stands.
func (p *page) working(f *figures.Figure, href func(*figures.Figure) string) *tree.Element {
	w := tree.E("div.working", tree.ID("f-"+f.Name),
		tree.E("p.w-name", tree.E("b", txt(p.label(f, p.scope()))), tree.Text(" "), tree.E("span.n", txt(p.shown(f)))))
	if how := p.inWords(f, href); len(how) > 0 {
		w.Add(tree.E("p.w-how", how))
	}
	if numbers := p.numbers(f); numbers != "" {
		w.Add(tree.E("p.w-put", numbers))
	}
	if text := p.origin(f); text != "" {
		w.Add(tree.E("p.w-src", text))
	}
	return w
}

// scope is the prefix of the chapter's own figures and, for a chapter about
// one enterprise, of that enterprise's: they are named the same.
func (p *page) scope() string {
	if p.made == nil {
		return ""
	}
	return p.made.Name
}

// inWords is a figure's formula with labels in place of names.
func (p *page) inWords(f *figures.Figure, href func(*figures.Figure) string) tree.Nodes {
	if f.Formula == nil {
		return nil
	}
	var nodes tree.Nodes
	for _, piece := range f.Formula.Pieces() {
		switch {
		case piece.Name != nil:
			used := p.Graph.Lookup(piece.Name.Full)
			label := txt(p.words.Mid(p.label(used, p.scope())))
			to := ""
			if href != nil {
				to = href(used)
			}
			if to == "" {
				nodes = append(nodes, label)
			} else {
				nodes = append(nodes, tree.E("a", tree.Href(to), label))
			}
		case piece.Quantity != nil:
			nodes = append(nodes, txt(p.Style.Text(piece.Quantity.Value, piece.Quantity.Unit, piece.Quantity.Step)))
		default:
			nodes = append(nodes, txt(p.piece(f, piece)))
		}
	}
	return nodes
}

// numbers is a figure's formula with values in place of names, or nothing where
// that would say no more.
func (p *page) numbers(f *figures.Figure) tree.Text {
	if f.Formula == nil || f.Formula.Bare() != nil || len(f.Formula.Names()) == 0 {
		return ""
	}
	var b strings.Builder
	for _, piece := range f.Formula.Pieces() {
		switch {
		case piece.Name != nil:
			used := p.Graph.Lookup(piece.Name.Full)
			if used.Type.Len > 0 {
				b.WriteString(p.words.Mid(p.label(used, p.scope())))
				break
			}
			b.WriteString(p.shown(used))
		case piece.Quantity != nil:
			b.WriteString(p.Style.Text(piece.Quantity.Value, piece.Quantity.Unit, piece.Quantity.Step))
		default:
			b.WriteString(p.piece(f, piece))
		}
	}
	return txt(b.String())
}

// piece writes a part of a formula that is neither a figure nor a number.
func (p *page) piece(f *figures.Figure, piece formula.Piece) string {
	switch {
	case piece.Month:
		if month, ok := quantity.Month(piece.Text); ok {
			return p.month(month)
		}
	case piece.To:
		return " " + p.say("to|months") + " "
	case piece.Reason && f.Engine:
		return p.words.Say("quoted", p.say(say.Text(piece.Text)))
	case piece.Reason:
		return p.words.Say("quoted", piece.Text)
	}
	return piece.Text
}

// origin says where an input comes from and where it is written.
func (p *page) origin(f *figures.Figure) tree.Text {
	var parts []string
	if reason, none := p.Graph.Base().None(f); none {
		parts = append(parts, p.words.Say("none_because", p.say(reason)))
	}
	if f.Found != "" {
		parts = append(parts, sentence(p.say(f.Found)))
	}
	if f.IsInput() {
		if f.Source != "" {
			parts = append(parts, sentence(p.say(f.Source)))
		} else {
			parts = append(parts, p.words.Say("no_source"))
		}
		if f.AsOf != "" {
			parts = append(parts, p.words.Say("as_of", p.asOf(f)))
		}
		if f.Low != nil && f.High != nil {
			parts = append(parts, p.words.Say("range", p.Style.Text(*f.Low, f.Unit, f.Step), p.Style.Text(*f.High, f.Unit, f.Step)))
		}
		place := f.Place.Position()
		parts = append(parts, p.words.Say("written_in", place.File, place.Line))
	}
	if f.Note != "" {
		parts = append(parts, sentence(p.say(f.Note)))
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
