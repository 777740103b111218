package templates

import (
	"slices"
	"strings"

	"golang.org/x/text/collate"
	"golang.org/x/text/language"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/templates/chart"
	"rickyard/templates/tree"
)

// A Workbook is all that the pages are made from.
type Workbook struct {
	Title    string
	Subtitle string
	Author   string
	Edition  string
	Front    []content.Word // figures that the front page tells the farm by; nil for the usual
	Farm     string         // the farm's name
	Language language.Tag
	Metric   bool

	Book        *content.Book
	Graph       *figures.Graph
	Style       *quantity.Style
	Enterprises []enterprise.Spec
	Planned     []string            // the enterprises that are run
	Start       plan.Month          // of the plan by months
	Facts       map[string]say.Text // texts that a chapter may quote, by name
	// Tables are those that belong to the whole farm, by the word that
	// chapters ask for them with, such as infrastructure or cash_by_year.
	Tables map[string]sheet.Table

	// Only names the chapters of a part of the book, in its order; nil for the
	// whole book. Chapters keep the numbers that they have in the whole.
	Only []string
	Part string // what the part is called

	// Trial says what was set otherwise than the farm's data; every page then says
	// that it is a trial.
	Trial []string

	Drawer chart.Drawer

	Warnings source.Errors // what is possible but hardly meant, in order
	// Progress is told how far the work is, if it is set.
	Progress func(done, total int, what string)
}

// Pages are the files of a finished workbook, by path with forward slashes.
type Pages map[string][]byte

// Make draws every page of the workbook. It fails with all the errors of the
// run together, as source.Errors, or with what keeps the drawer
// from drawing.
func (b *Workbook) Make() (Pages, error) {
	m, err := b.maker()
	if err != nil {
		return nil, err
	}
	m.make()
	if len(m.errs) > 0 {
		return nil, m.errs.Err()
	}
	return m.pages, nil
}

func (b *Workbook) maker() (*maker, error) {
	if err := b.Drawer.Ready(); err != nil {
		return nil, err
	}
	words, err := ReadWordsFor(b.Language)
	if err != nil {
		return nil, err
	}
	names := []string{b.Farm}
	for name, fact := range b.Facts {
		if strings.HasPrefix(name, "farm.people.") && strings.HasSuffix(name, ".name") {
			names = append(names, fact.In(words))
		}
	}
	words = words.keeping(names...)
	b.Style.Language = words
	m := &maker{Workbook: b, words: words, small: newMinifier(), pages: Pages{}, tables: map[string]bool{},
		terms: newTermFinder(b.Book.Glossary), order: collate.New(b.Language, collate.IgnoreCase)}
	m.work = m.newWorkings()
	return m, nil
}

// chosen are the chapters to make, with the numbers that they have in the book.
func (b *Workbook) chosen() []*made {
	var chapters []*made
	for i, chapter := range b.Book.Chapters {
		if b.has(chapter.Name) {
			chapters = append(chapters, &made{Chapter: chapter, number: i + 1})
		}
	}
	if b.Only != nil {
		slices.SortStableFunc(chapters, func(x, y *made) int {
			return slices.Index(b.Only, x.Name) - slices.Index(b.Only, y.Name)
		})
	}
	return chapters
}

// has reports whether a chapter is made.
func (b *Workbook) has(name string) bool { return b.Only == nil || slices.Contains(b.Only, name) }

// compare orders texts as the workbook's language does.
func (m *maker) compare(a, b string) int {
	if n := m.order.CompareString(a, b); n != 0 {
		return n
	}
	return strings.Compare(a, b)
}

type maker struct {
	*Workbook
	words    *Words
	small    minifier
	pages    Pages
	chapters []*made
	errs     source.Errors
	tables   map[string]bool // names of CSV files that are taken
	terms    *termFinder
	work     *workings
	told     tree.Nodes // the farm on the front page
	order    *collate.Collator
}

// A made chapter is a chapter as elements.
type made struct {
	*content.Chapter
	number   int
	gloss    string        // its summary without marks
	article  *tree.Element // for a page of its own
	together *tree.Element // for the edition that is one file
	figures  []*figures.Figure
	rows     map[string]bool // figures with a row in a worked table
}

func (c *made) href() string { return c.Name + ".html" }

// at sets the place of an error that has none.
func at(err error, place source.Span) error {
	if e, ok := err.(*source.Error); ok && e.Span.File == nil {
		e.Span = place
	}
	return err
}

func (m *maker) make() {
	chapters := m.chosen()
	for i, c := range chapters {
		if m.Progress != nil {
			m.Progress(i, len(chapters), c.Title)
		}
		p := m.newPage(c, false)
		c.article = p.chapter()
		c.gloss = p.plain(c.Summary)
		c.figures, c.rows = p.used, p.rows
		single := m.newPage(c, true)
		c.together = single.chapter()
		m.chapters = append(m.chapters, c)
	}
	if len(m.errs) > 0 {
		return
	}
	m.told = m.answers()
	m.glossaryPage()
	m.lookPage()
	m.work.settle()
	m.assets()
	m.opening()
	for i := range m.chapters {
		m.chapterPage(i)
	}
	m.figuresPage()
	m.work.files()
	m.single()
	for path, raw := range m.Book.Pictures {
		m.pages[path] = raw
	}
}

// enterpriseOf returns the enterprise with an id, or nil.
func (m *maker) enterpriseOf(id string) *enterprise.Spec {
	for i := range m.Enterprises {
		if m.Enterprises[i].ID == id {
			return &m.Enterprises[i]
		}
	}
	return nil
}

// label is how a figure is called in a given scope: with its enterprise's name
// where it belongs to another one.
func (m *maker) label(f *figures.Figure, scope string) string {
	if f.Label == "" || f.Hidden { // what a hidden one is called is its formula
		return m.words.Say("worked_here")
	}
	label := m.say(f.Label)
	id, _, _ := strings.Cut(f.Name, ".")
	if s := m.enterpriseOf(id); s != nil && id != scope {
		return s.Name + ": " + m.words.Mid(label)
	}
	return label
}

// say returns a text in the workbook's language.
func (m *maker) say(text say.Text) string { return text.In(m.words) }

// shown writes a figure's value as it stands in a sentence.
func (m *maker) shown(f *figures.Figure) string { return m.text(f) }

// Text writes a figure's value as it stands in a sentence of the workbook.
func (b *Workbook) Text(f *figures.Figure) string { return b.text(f) }

func (b *Workbook) text(f *figures.Figure) string {
	if f.Text {
		return b.Graph.Base().Text(f).In(b.Style.Language)
	}
	if _, none := b.Graph.Base().None(f); none {
		return "–"
	}
	if f.Type.Truth() {
		if b.Graph.Base().Holds(f) {
			return b.Style.Words("yes")
		}
		return b.Style.Words("no")
	}
	if c := f.Type.Choices; c != nil {
		return c.Word(f.Current()).In(b.Style.Language)
	}
	unit, step := f.Unit, f.Step
	if b.grows(f) {
		unit = b.Graph.Units.Larger(f.Current(), unit)
	}
	return b.Style.Text(f.Current(), unit, step)
}

// grows reports whether a figure is shown in a larger unit if it is large: one
// that is worked out, and whose author named no unit. One that only stands for
// another is shown as that is.
func (b *Workbook) grows(f *figures.Figure) bool {
	for range 9 {
		if f.Formula == nil || f.Formula.As != nil {
			return false
		}
		if f.Formula.Bare() == nil {
			return true
		}
		of := f.Needs()
		if len(of) != 1 {
			return false
		}
		f = of[0]
	}
	return false
}
