package content

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"

	"rickyard/calc/figures"
	"rickyard/calc/say"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// folder is where a workbook keeps its chapters.
const folder = "content"

// A Book is all chapters of a workbook.
type Book struct {
	Chapters []*Chapter          // in the order of their files' numbers
	Cautions map[string]*Caution // by name, from cautions.yaml
	Glossary []*Term             // by name, from glossary.yaml
	Pictures map[string][]byte   // by path under content/, those that are shown
	Files    []*source.File      // all texts that were read

	links   []*ChapterLink
	figures []*Figure     // those of cautions.yaml and glossary.yaml
	unread  *source.Error // why there are no cautions, if cautions.yaml can't be read
}

// Chapter returns the chapter of a name, or nil.
func (b *Book) Chapter(name string) *Chapter {
	for _, ch := range b.Chapters {
		if ch.Name == name {
			return ch
		}
	}
	return nil
}

// Definitions returns the figures that the book adds to the graph: its calc
// lines, and under a hidden name every formula that is shown in place.
func (b *Book) Definitions() []figures.Definition {
	var all []figures.Definition
	shown := func(list []*Figure) {
		for _, f := range list {
			all = append(all, figures.Definition{
				Name: f.Full, Label: say.Own(f.Words), Scope: f.Scope, Place: f.Formula, Formula: f.Formula, Want: f.Want, Hidden: true,
			})
		}
	}
	for _, ch := range b.Chapters {
		for _, block := range ch.Calc {
			for _, line := range block.Work {
				d := figures.Definition{Name: line.Full, Label: say.Own(line.Label), Scope: ch.Name, Place: line.Place, Formula: line.Formula}
				if line.Note != nil {
					d.Note = say.Own(line.Note.Plain())
				}
				all = append(all, d)
			}
		}
		shown(ch.Figures)
		all = append(all, ch.swept...)
	}
	shown(b.figures)
	return all
}

// Load reads the chapters of a workbook's folder: content/NN-name.md in the
// order of their numbers, content/cautions.yaml, content/glossary.yaml, and the
// pictures that the chapters show. An error is a source.Errors with all that is
// wrong; the book holds what could be read.
func Load(fsys fs.FS) (*Book, error) {
	l := &loader{
		fsys: fsys,
		book: &Book{Cautions: make(map[string]*Caution), Pictures: make(map[string][]byte)},
		seen: make(map[string]bool),
	}
	files := l.files()
	for _, name := range files {
		if isNotes(path.Base(name)) {
			l.notes(name)
		}
	}
	for _, name := range files {
		if !isNotes(path.Base(name)) {
			l.chapter(name)
		}
	}
	l.uniqueNames()
	l.resolveLinks()
	for _, p := range l.passages {
		p.Finish()
	}
	if len(l.errs) >= mostErrors {
		sorted := l.errs.Sorted()
		l.errs = append(sorted[:min(len(sorted), mostErrors)], &source.Error{Kind: source.Unsafe, Message: fmt.Sprintf("more than %d mistakes; the rest is not shown", mostErrors)})
		return l.book, l.errs
	}
	return l.book, l.errs.Err()
}

// A loader is one run of Load.
type loader struct {
	fsys     fs.FS
	book     *Book
	errs     source.Errors
	pending  []pendingLink
	seen     map[string]bool // pictures that were read
	passages []*leaf.Passage // of whole files
}

// fail reports an error. Past the limit it still returns one to be filled in.
func (l *loader) fail(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
	e := source.Errorf(kind, at, format, args...)
	if len(l.errs) <= mostErrors {
		l.errs = append(l.errs, e)
	}
	return e
}

func (l *loader) add(err error) {
	if len(l.errs) <= mostErrors {
		l.errs.Add(err)
	}
}

// A reader reads one file of the book.
type reader struct {
	*loader
	ch     *Chapter // nil in cautions.yaml
	prefix string   // of the names of its figures
	scope  string   // of its formulas

	begun      bool            // the chapter block has been read
	names      map[string]bool // of figures shown in place
	lines      map[string]*CalcLine
	headingIDs map[string]int
	figures    []*Figure
	refs       []*FigureRef
	calc       []*CalcBlock
	tables     []*TableBlock
	charts     []*ChartBlock
	only       []*Only
	open       []*Only
}

func (l *loader) reader(prefix string) *reader {
	return &reader{loader: l, prefix: prefix, names: make(map[string]bool), lines: make(map[string]*CalcLine), headingIDs: make(map[string]int)}
}

// files returns the files to read, in order.
func (l *loader) files() []string {
	info, err := fs.Lstat(l.fsys, folder)
	switch {
	case err != nil:
		e := &source.Error{Kind: source.IO, Message: "there is no folder content with chapters", Cause: err}
		l.add(e.With("name a workbook's folder, or begin one"))
		return nil
	case !info.IsDir():
		l.add(&source.Error{Kind: source.Unsafe, Message: "content is not a folder of its own, but a file or a link to another place"})
		return nil
	}
	entries, err := fs.ReadDir(l.fsys, folder)
	if err != nil {
		l.add(&source.Error{Kind: source.IO, Message: "the folder content can't be read: " + cause(err), Cause: err})
		return nil
	}
	type chapter struct {
		number int
		file   string
	}
	var chapters []chapter
	var files []string
	for _, e := range entries {
		name := folder + "/" + e.Name()
		switch {
		case e.IsDir():
		case isNotes(e.Name()):
			files = append(files, name)
		case strings.EqualFold(path.Ext(e.Name()), ".md"):
			m := chapterFile.FindStringSubmatch(e.Name())
			if m == nil {
				l.fail(source.Syntax, source.New(leaf.Clip(name), "").Whole(), "the file of a chapter is called by a number and a name, as 03-start-up.md").
					With("rename it, or move it out of %s/", folder)
				continue
			}
			number, err := strconv.Atoi(m[1])
			if err != nil {
				number = 1 << 40
			}
			chapters = append(chapters, chapter{number, name})
		}
	}
	slices.SortStableFunc(chapters, func(a, b chapter) int {
		if a.number != b.number {
			return a.number - b.number
		}
		return strings.Compare(a.file, b.file)
	})
	if len(chapters) > mostChapters {
		l.add(&source.Error{Kind: source.Unsafe, Message: fmt.Sprintf("content has more than %d chapters", mostChapters)})
		chapters = chapters[:mostChapters]
	}
	if len(chapters) == 0 && len(l.errs) == 0 {
		e := &source.Error{Kind: source.Missing, Message: "the folder content has no chapters"}
		l.add(e.With("write one as 01-goal.md"))
	}
	for _, c := range chapters {
		files = append(files, c.file)
	}
	return files
}

// open reads a text of the book, or reports why it can't.
func (l *loader) open(name string, most int) *source.File {
	empty := source.New(name, "")
	info, err := fs.Lstat(l.fsys, name)
	switch {
	case err != nil:
		l.fail(source.IO, empty.Whole(), "this file can't be read: %s", cause(err))
		return nil
	case !info.Mode().IsRegular():
		l.fail(source.Unsafe, empty.Whole(), "this is not a file of the book, but a link to another place or a device").With("copy the file itself into %s/", folder)
		return nil
	}
	data, err := l.read(name, most)
	if errors.Is(err, errTooLarge) {
		l.fail(source.Unsafe, empty.Whole(), "this file has more than %d KiB", most>>10).With("split it")
		return nil
	} else if err != nil {
		l.fail(source.IO, empty.Whole(), "this file can't be read: %s", cause(err))
		return nil
	}
	file := source.New(name, strings.TrimPrefix(string(data), "\ufeff"))
	l.book.Files = append(l.book.Files, file)
	return file
}

var errTooLarge = errors.New("too large")

func (l *loader) read(name string, most int) ([]byte, error) {
	f, err := l.fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, int64(most)+1))
	if err == nil && len(data) > most {
		err = errTooLarge
	}
	return data, err
}

// cause shortens an error of the file system: its path is already said.
func cause(err error) string {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return p.Err.Error()
	}
	return err.Error()
}

// passage returns all of a file, and remembers to finish it.
func (l *loader) passage(file *source.File) *leaf.Passage {
	p := leaf.Whole(file)
	l.passages = append(l.passages, p)
	return p
}

func (l *loader) notes(name string) {
	file := l.open(name, longestNotes)
	if file == nil {
		return
	}
	p := l.passage(file)
	r := l.reader(path.Base(name))
	if path.Base(name) == glossaryFile {
		r.glossary(p)
	} else {
		r.cautions(p)
	}
	l.book.figures = append(l.book.figures, slices.DeleteFunc(r.figures, func(f *Figure) bool { return f == nil })...)
}

// isNotes reports whether a file holds what several chapters share.
func isNotes(name string) bool { return name == notesFile || name == glossaryFile }

func (l *loader) chapter(name string) {
	file := l.open(name, longestChapter)
	stem := chapterFile.FindStringSubmatch(path.Base(name))[2]
	ch := &Chapter{Name: strings.ReplaceAll(stem, "-", "_"), Doc: ast.NewDocument(), broken: true}
	if ch.File = file; file == nil {
		ch.File = source.New(name, "")
		ch.named = ch.File.Whole()
		l.book.Chapters = append(l.book.Chapters, ch)
		return
	}
	l.book.Chapters = append(l.book.Chapters, ch)
	ch.named = file.Span(0, 0)
	ch.Source = []byte(file.Text)
	p := l.passage(file)
	if e := guard(p); e != nil {
		l.add(e)
		return
	}
	r := l.reader(ch.Name)
	r.scope, r.ch = ch.Name, ch
	ch.Doc, ch.Source = r.parse(p, chapterMarkdown)
	ch.broken = false
	ch.Calc, ch.Refs, ch.Tables, ch.Charts, ch.only = r.calc, r.refs, r.tables, r.charts, r.only
	ch.Figures = slices.DeleteFunc(r.figures, func(f *Figure) bool { return f == nil })
}

// uniqueNames reports chapters of the same name.
func (l *loader) uniqueNames() {
	first := make(map[string]*Chapter)
	for _, ch := range l.book.Chapters {
		if before := first[ch.Name]; before != nil {
			l.fail(source.Duplicate, ch.named, "a chapter called %s is already at %s", ch.Name, before.named.Position()).
				With("give one of them a name of its own in its chapter block")
			continue
		}
		first[ch.Name] = ch
	}
}

func numbered(base string, n int) string { return base + "-" + strconv.Itoa(n) }

func isWordRune(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' }
