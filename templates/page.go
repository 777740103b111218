package templates

import (
	"fmt"
	"html"
	"strings"
	"time"
	"unicode"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
	"rickyard/content"
)

// A page is a chapter while it is being written as HTML.
type page struct {
	*maker
	made *made
	// together: the chapter stands in one file with all others, so anchors
	// carry the chapter's name and workings stand at the end of the file.
	together bool
	paper    *paper // set for the edition on paper, which is together

	b       strings.Builder
	used    []*figures.Figure // whose workings the page needs, in order
	linked  map[string]bool   // figures that were linked from the text
	rows    map[string]bool   // figures with a row in a worked table
	counter map[string]int
	parted  bool // a heading has been written below the chapter's title

	explained map[string]bool // terms that were linked from the text, by id
	glossed   []*content.Term // the same, in order
}

func (m *maker) newPage(c *made, together bool) *page {
	return &page{maker: m, made: c, together: together, linked: map[string]bool{}, rows: map[string]bool{}, counter: map[string]int{},
		explained: map[string]bool{}}
}

// esc writes a text into a page, with the apostrophes that a printer sets.
func esc(text string) string { return html.EscapeString(curl(text)) }

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

func (p *page) put(parts ...string) {
	for _, part := range parts {
		p.b.WriteString(part)
	}
}

// headText is what heads a column; one that the table leaves open has words
// for those who hear the page.
func (p *page) headText(text string) string {
	if text == "" {
		return `<span class="vh">` + esc(p.words.Say("line")) + "</span>"
	}
	return esc(text)
}

// section returns the level of a heading within the part that it stands in.
func (p *page) section() string {
	if p.parted {
		return "h3"
	}
	return "h2"
}

func (p *page) putf(format string, args ...any) { fmt.Fprintf(&p.b, format, args...) }

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
func (p *page) figure(f *figures.Figure, text string) string {
	if p.paper != nil && f.Hidden {
		return esc(text) // a formula in a sentence has no name to be found by
	}
	back := ""
	if !p.linked[f.Name] {
		p.linked[f.Name] = true
		p.used = append(p.used, f)
		switch {
		case p.paper != nil && p.made != nil:
			id := p.made.Name + "--r-" + f.Name
			p.paper.mention(p.paper.figures, f.Name, id, false)
			back = fmt.Sprintf(` id="%s"`, esc(id))
		case !p.together:
			back = fmt.Sprintf(` id="r-%s"`, esc(f.Name))
		}
	}
	return fmt.Sprintf(`<a class="fig"%s href="#f-%s">%s</a>`, back, esc(f.Name), esc(text))
}

// anchors sees to it that each figure that was linked has its anchor in the
// text: what was written first may have been left out again.
func (p *page) anchors() {
	if p.together && p.paper == nil {
		return
	}
	text := p.b.String()
	var used []*figures.Figure
	for _, f := range p.used {
		id := "r-" + f.Name
		if p.paper != nil {
			id = p.made.Name + "--" + id
		}
		if !strings.Contains(text, fmt.Sprintf(` id="%s"`, esc(id))) {
			link := fmt.Sprintf(`<a class="fig" href="#f-%s"`, esc(f.Name))
			if !strings.Contains(text, link) {
				delete(p.linked, f.Name)
				if p.paper != nil {
					p.paper.forget(f.Name, id)
				}
				continue
			}
			text = strings.Replace(text, link, fmt.Sprintf(`<a class="fig" id="%s" href="#f-%s"`, esc(id), esc(f.Name)), 1)
		}
		used = append(used, f)
	}
	p.used = used
	p.b.Reset()
	p.b.WriteString(text)
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

func (p *page) chapter() string {
	p.put(`<article class="chapter"`)
	if p.together {
		p.putf(` id="%s"`, esc(p.made.Name))
	}
	p.putf("><h1><span class=\"no\">%d</span> %s</h1>\n", p.made.number, esc(p.made.Title))
	if p.made.Summary != nil {
		p.put("<p class=\"lead\">", p.line(p.made.Summary), "</p>\n")
	}
	p.put(p.markTerms(p.markdown(p.made.Doc, p.made.Source)))
	p.chapterCautions()
	p.anchors()
	if !p.together {
		p.glossary()
		p.workings()
	}
	p.put("</article>\n")
	return p.b.String()
}

func (p *page) chapterCautions() {
	for _, c := range p.made.Cautions {
		p.put(p.caution(c.Title, c.Body))
	}
}

// workings writes how each figure that the text links to is worked.
func (p *page) workings() {
	if len(p.used) == 0 {
		return
	}
	id := p.id("workings")
	p.putf("<section class=\"workings\" aria-labelledby=\"%s\"><h2 id=\"%[1]s\">%s</h2>\n", id, esc(p.words.Say("workings")))
	for _, f := range p.used {
		p.working(f, func(other *figures.Figure) string {
			if p.linked[other.Name] {
				return "#f-" + other.Name
			}
			return "figures.html#f-" + other.Name
		}, true)
	}
	p.put("</section>\n")
}

// working writes one figure: value, formula in words, numbers put in, source.
// href says where the working of another figure stands.
func (p *page) working(f *figures.Figure, href func(*figures.Figure) string, back bool) {
	name := esc(f.Name)
	p.putf(`<div class="working" id="f-%s"><p class="w-name"><b>%s</b> <span class="n">%s</span></p>`, name, esc(p.label(f, p.scope())), esc(p.shown(f)))
	p.put("\n")
	if how := p.inWords(f, href); how != "" {
		p.putf("<p class=\"w-how\">%s</p>\n", how)
	}
	if numbers := p.numbers(f); numbers != "" {
		p.putf("<p class=\"w-put\">%s</p>\n", numbers)
	}
	if text := p.origin(f); text != "" {
		p.putf("<p class=\"w-src\">%s</p>\n", text)
	}
	if back {
		p.put("<p class=\"w-go\">")
		if p.rows[f.Name] {
			p.putf("<a href=\"#w-%s\">%s</a> ", name, esc(p.words.Say("worked_table")))
		}
		p.putf("<a class=\"w-back\" href=\"#r-%s\">%s</a></p>", name, esc(p.words.Say("back")))
	}
	p.put("</div>\n")
}

// scope is the prefix of the chapter's own figures and, for a chapter about
// one enterprise, of that enterprise's: they are named the same.
func (p *page) scope() string {
	if p.made == nil {
		return ""
	}
	return p.made.Name
}

// inWords writes a figure's formula with labels in place of names.
func (p *page) inWords(f *figures.Figure, href func(*figures.Figure) string) string {
	var b strings.Builder
	if f.Formula == nil {
		return ""
	}
	for _, piece := range f.Formula.Pieces() {
		switch {
		case piece.Name != nil:
			used := p.Graph.Lookup(piece.Name.Full)
			label := esc(p.words.Mid(p.label(used, p.scope())))
			to := ""
			if href != nil {
				to = href(used)
			}
			if to == "" {
				b.WriteString(label)
				break
			}
			fmt.Fprintf(&b, `<a href="%s">%s</a>`, esc(to), label)
		case piece.Quantity != nil:
			b.WriteString(esc(p.Style.Text(piece.Quantity.Value, piece.Quantity.Unit, piece.Quantity.Step)))
		default:
			b.WriteString(esc(p.piece(f, piece)))
		}
	}
	return b.String()
}

// numbers writes a figure's formula with values in place of names, or nothing
// where that would say no more.
func (p *page) numbers(f *figures.Figure) string {
	if f.Formula == nil || f.Formula.Bare() != nil || len(f.Formula.Names()) == 0 {
		return ""
	}
	var b strings.Builder
	for _, piece := range f.Formula.Pieces() {
		switch {
		case piece.Name != nil:
			used := p.Graph.Lookup(piece.Name.Full)
			if used.Type.Len > 0 {
				b.WriteString(esc(p.words.Mid(p.label(used, p.scope()))))
				break
			}
			b.WriteString(esc(p.shown(used)))
		case piece.Quantity != nil:
			b.WriteString(esc(p.Style.Text(piece.Quantity.Value, piece.Quantity.Unit, piece.Quantity.Step)))
		default:
			b.WriteString(esc(p.piece(f, piece)))
		}
	}
	return b.String()
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
func (p *page) origin(f *figures.Figure) string {
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
	return esc(strings.Join(parts, " "))
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
