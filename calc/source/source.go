// Package source holds the texts that a farmer writes (YAML, Markdown,
// formulas) and the one error type that every stage of Rickyard reports with.
//
// Stages record byte offsets; lines and columns are worked out only when an
// error is shown. Lines and columns count from 1, columns in characters.
package source

import (
	"fmt"
	"sort"
	"strings"
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
