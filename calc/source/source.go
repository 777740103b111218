// Package source holds the texts that a farmer writes (YAML, Markdown,
// formulas) and the one error type that every stage of Rickyard reports with.
//
// Stages record byte offsets; lines and columns are worked out only when an
// error is shown. Lines and columns count from 1, columns in characters.
package source

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A File is one input text under the name that the user knows it by: a path
// with forward slashes, relative to the workbook's folder.
type File struct {
	Name string
	Text string

	lines  []int // byte offset at which each line starts
	origin Span  // where a derived text stems from
}

// New returns the file called name with the given text.
func New(name, text string) *File {
	f := &File{Name: name, Text: text, lines: []int{0}}
	for i := 0; i < len(text); i++ {
		if text[i] == '\n' {
			f.lines = append(f.lines, i+1)
		}
	}
	return f
}

// Derived returns a text that stands nowhere as such: a formula that the engine
// wrote for a line of YAML, or a folded scalar. Its spans are reported at
// origin, in the text that the user can edit.
func Derived(origin Span, text string) *File {
	f := New(origin.Position().File, text)
	f.origin = origin
	return f
}

// A Position is a place in a file as people count: line and column from 1.
type Position struct {
	File   string
	Line   int
	Column int
}

// String gives the position as file:line:col.
func (p Position) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Position returns the line and column of a byte offset. An offset outside
// the text is moved to its nearest end.
func (f *File) Position(offset int) Position {
	offset = max(0, min(offset, len(f.Text)))
	line := sort.SearchInts(f.lines, offset+1) - 1
	for offset > f.lines[line] && offset < len(f.Text) && !utf8.RuneStart(f.Text[offset]) {
		offset-- // inside a character: the place is where it starts
	}
	return Position{
		File:   f.Name,
		Line:   line + 1,
		Column: utf8.RuneCountInString(f.Text[f.lines[line]:offset]) + 1,
	}
}

// Offset returns the byte offset of a line and column, both from 1, or the
// nearest offset that exists.
func (f *File) Offset(line, column int) int {
	if line < 1 {
		return 0
	}
	if line > len(f.lines) {
		return len(f.Text)
	}
	at := f.lines[line-1]
	end := at + len(f.Line(line))
	for ; column > 1 && at < end; column-- {
		_, n := utf8.DecodeRuneInString(f.Text[at:])
		at += n
	}
	return at
}

// Line returns the text of a line, counted from 1, without its line end.
func (f *File) Line(line int) string {
	if line < 1 || line > len(f.lines) {
		return ""
	}
	end := len(f.Text)
	if line < len(f.lines) {
		end = f.lines[line] - 1
	}
	return strings.TrimSuffix(f.Text[f.lines[line-1]:end], "\r")
}

// A Span is a stretch of a file, from byte Start up to but not including End.
// The zero Span means that no place is known.
type Span struct {
	File  *File
	Start int
	End   int
}

// Span returns the stretch of f from start to end.
func (f *File) Span(start, end int) Span { return Span{File: f, Start: start, End: end} }

// Whole returns the span of all of f.
func (f *File) Whole() Span { return f.Span(0, len(f.Text)) }

// Origin returns the place in a text that the user wrote: s itself, or where
// its derived text stems from.
func (s Span) Origin() Span {
	for s.File != nil && s.File.origin.File != nil {
		s = s.File.origin
	}
	return s
}

// Position returns where the span starts, in the text that the user wrote.
func (s Span) Position() Position {
	s = s.Origin()
	if s.File == nil {
		return Position{}
	}
	return s.File.Position(s.Start)
}

// Text returns the text that the span covers.
func (s Span) Text() string {
	if s.File == nil || s.Start < 0 || s.End > len(s.File.Text) || s.Start > s.End {
		return ""
	}
	return s.File.Text[s.Start:s.End]
}

// A Kind says what sort of mistake an error reports, so that callers never
// match on its text.
type Kind string

// The kinds of error.
const (
	Syntax     Kind = "syntax"      // the text can't be read
	UnknownKey Kind = "unknown key" // a key or option that is not defined
	UnknownRef Kind = "unknown name"
	Duplicate  Kind = "duplicate"
	Missing    Kind = "missing"
	WrongUnit  Kind = "wrong unit"
	WrongType  Kind = "wrong type"
	OutOfRange Kind = "out of range"
	Cycle      Kind = "cycle"
	NotFinite  Kind = "not a number" // division by zero, overflow
	Unsafe     Kind = "unsafe"       // a path out of the book, a bomb, a limit passed
	IO         Kind = "file"
)

// An Error is one mistake in a user's text: where, what, and what to do.
type Error struct {
	Kind    Kind
	Span    Span
	Message string // what is wrong and what was expected
	Remedy  string // what to do; may be empty
	Cause   error  // may be nil
}

// Errorf returns an error of the given kind at a span.
func Errorf(kind Kind, at Span, format string, args ...any) *Error {
	return &Error{Kind: kind, Span: at, Message: fmt.Sprintf(format, args...)}
}

// With sets what the user can do about the error and returns it.
func (e *Error) With(format string, args ...any) *Error {
	e.Remedy = fmt.Sprintf(format, args...)
	return e
}

// Error gives the error on one line: file:line:col: message.
func (e *Error) Error() string {
	text := e.Message
	if e.Remedy != "" {
		text += "; " + e.Remedy
	}
	if at := e.Span.Position(); at.File != "" {
		return at.String() + ": " + text
	}
	return text
}

// Unwrap returns the error's cause.
func (e *Error) Unwrap() error { return e.Cause }

// longestQuote is the most characters of a user's line that an error quotes;
// more would fill a terminal without helping.
const longestQuote = 160

// Detail gives the error over several lines: place and message, the user's
// own line with a caret under the place, and the remedy.
func (e *Error) Detail() string {
	var b strings.Builder
	if at := e.Span.Position(); at.File == "" {
		b.WriteString(e.Message + "\n")
	} else {
		fmt.Fprintf(&b, "%s: %s\n", at, e.Message)
		quote, caret := excerpt(e.Span.Origin(), at)
		fmt.Fprintf(&b, "  %s\n  %s\n", quote, caret)
	}
	if e.Remedy != "" {
		fmt.Fprintf(&b, "  %s\n", e.Remedy)
	}
	return b.String()
}

// excerpt returns the part of the user's line around a span and a line with
// carets under it. It looks only at the characters that it shows, for a line
// may be many megabytes long.
func excerpt(s Span, at Position) (quote, caret string) {
	line := s.File.Line(at.Line)
	start := min(max(0, s.Start-s.File.lines[at.Line-1]), len(line)) // in bytes
	before := at.Column - 1
	from, dots := 0, ""
	if before > longestQuote-40 {
		dots, before = "...", 40
		from = start
		for range before {
			_, n := utf8.DecodeLastRuneInString(line[:from])
			from -= n
		}
	}
	to, after := start, 0
	for to < len(line) && before+after < longestQuote {
		_, n := utf8.DecodeRuneInString(line[to:])
		to += n
		after++
	}
	marked := line[start:min(to, max(start, start+s.End-s.Start))]
	width := max(1, utf8.RuneCountInString(marked))
	quote = dots + strings.Map(printable, line[from:to])
	if to < len(line) {
		quote += "..."
	}
	indent := utf8.RuneCountInString(line[from:start])
	return quote, strings.Repeat(" ", len(dots)+indent) + strings.Repeat("^", width)
}

// printable puts one plain character in place of each that would move a
// terminal's cursor, change its colours or turn the direction of the text.
func printable(r rune) rune {
	switch {
	case r == '\t':
		return ' '
	case r == utf8.RuneError, unicode.IsControl(r), unicode.Is(unicode.Bidi_Control, r), r == '\u2028', r == '\u2029':
		return '?'
	}
	return r
}

// Errors are all the mistakes of one run.
type Errors []*Error

// Error gives all the errors, one a line.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, err := range e {
		lines[i] = err.Error()
	}
	return strings.Join(lines, "\n")
}

// Err returns e sorted by place without repeats, or nil if there is none.
func (e Errors) Err() error {
	if len(e) == 0 {
		return nil
	}
	return e.Sorted()
}

// Sorted returns the errors in the order of file, place and message, each
// once.
func (e Errors) Sorted() Errors {
	sorted := slices.Clone(e)
	slices.SortStableFunc(sorted, func(a, b *Error) int {
		return cmp.Or(
			cmp.Compare(a.fileName(), b.fileName()),
			cmp.Compare(a.Span.Origin().Start, b.Span.Origin().Start),
			cmp.Compare(a.Message, b.Message),
		)
	})
	return slices.CompactFunc(sorted, func(a, b *Error) bool {
		return a.fileName() == b.fileName() && a.Span.Origin().Start == b.Span.Origin().Start && a.Message == b.Message
	})
}

func (e *Error) fileName() string {
	if e.Span.File == nil {
		return ""
	}
	return e.Span.File.Name
}

// Add appends an error unless it is nil; Errors, and errors that were joined,
// are added singly.
func (e *Errors) Add(err error) {
	switch err := err.(type) {
	case nil:
	case *Error:
		if err != nil {
			*e = append(*e, err)
		}
	case Errors:
		*e = append(*e, err...)
	case interface{ Unwrap() []error }:
		for _, each := range err.Unwrap() {
			e.Add(each)
		}
	default:
		*e = append(*e, &Error{Kind: IO, Message: err.Error(), Cause: err})
	}
}
