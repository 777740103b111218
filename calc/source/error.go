package source

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Weight says what an error means for the workbook.
type Weight int

// The weights.
const (
	Mistake Weight = iota // it can't be so, and nothing is built
	Warning               // it can be so, but is hardly meant: the workbook is built and says so
)

// An Error is one mistake in a user's text, or one warning: where, what, and
// what to do.
type Error struct {
	Kind    Kind
	Weight  Weight
	Span    Span
	Message string // what is wrong and what was expected
	Remedy  string // what to do; may be empty
	Cause   error  // may be nil
	Answer  string // why what a warning is of is meant; empty if nobody said

	followers []Span // see Follow
}

// Errorf returns an error of the given kind at a span.
func Errorf(kind Kind, at Span, format string, args ...any) *Error {
	return &Error{Kind: kind, Span: at, Message: fmt.Sprintf(format, args...)}
}

// Warningf returns a warning at a span: of what can be, but is hardly meant.
func Warningf(at Span, format string, args ...any) *Error {
	e := Errorf(Hardly, at, format, args...)
	e.Weight = Warning
	return e
}

// With sets what the user can do about the error and returns it.
func (e *Error) With(format string, args ...any) *Error {
	e.Remedy = fmt.Sprintf(format, args...)
	return e
}

// Follow notes that what stands at a place can't be had because of e, so that
// it need not be reported by itself.
func (e *Error) Follow(at Span) { e.followers = append(e.followers, at.Origin()) }

// Followers returns the places that can't be had because of e, in the order of
// files and lines, each once and its own left out.
func (e *Error) Followers() []Span {
	places := slices.DeleteFunc(slices.Clone(e.followers), func(s Span) bool { return comparePlaces(s, e.Span) == 0 })
	slices.SortStableFunc(places, comparePlaces)
	return slices.CompactFunc(places, func(a, b Span) bool { return comparePlaces(a, b) == 0 })
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

// Detail gives the error over several lines: place and message, the user's
// own line with a caret under the place, the remedy, and how many places need
// what is wrong or missing.
func (e *Error) Detail() string { return e.detail(0) }

// Everything is Detail with every place that needs what is wrong or missing.
func (e *Error) Everything() string { return e.detail(len(e.followers)) }

func (e *Error) detail(listed int) string {
	var b strings.Builder
	message := e.Message
	if e.Weight == Warning {
		message = "look at this: " + message
	}
	if at := e.Span.Position(); at.File == "" {
		b.WriteString(message + "\n")
	} else {
		fmt.Fprintf(&b, "%s: %s\n", at, message)
		quote, caret := excerpt(e.Span.Origin(), at)
		fmt.Fprintf(&b, "  %s\n  %s\n", quote, caret)
	}
	if e.Remedy != "" {
		fmt.Fprintf(&b, "  %s\n", e.Remedy)
	}
	places := e.Followers()
	for _, s := range places[:min(listed, len(places))] {
		fmt.Fprintf(&b, "  %s needs it\n", s.Position())
	}
	switch n := len(places); {
	case listed > 0 || n == 0:
	case n == 1:
		fmt.Fprintf(&b, "  and one place that needs it: %s\n", places[0].Position())
	default:
		fmt.Fprintf(&b, "  and %d places that need it\n", n)
	}
	return b.String()
}

// longestQuote is the most characters of a user's line that an error quotes;
// more would fill a terminal without helping.
const longestQuote = 160

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

// Errors are all the mistakes and warnings of one run.
type Errors []*Error

// Error gives all of them, one a line.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, err := range e {
		lines[i] = err.Error()
	}
	return strings.Join(lines, "\n")
}

// Err returns the mistakes by their causes, or nil if there is none. Warnings
// are no mistakes.
func (e Errors) Err() error {
	if mistakes := e.Of(Mistake); len(mistakes) > 0 {
		return mistakes.Causes()
	}
	return nil
}

// Of returns those of one weight.
func (e Errors) Of(w Weight) Errors {
	return slices.DeleteFunc(slices.Clone(e), func(err *Error) bool { return err.Weight != w })
}

// Causes returns one error for each cause, sorted: of those that name the same
// missing thing the first, which the places of the others follow.
func (e Errors) Causes() Errors {
	sorted := e.Sorted()
	roots := map[string]*Error{} // by the name that is missing
	for _, err := range sorted {
		if k, ok := err.Kind.(Unknown); ok && roots[k.Name] == nil {
			roots[k.Name] = err
		}
	}
	return slices.DeleteFunc(sorted, func(err *Error) bool {
		k, ok := err.Kind.(Unknown)
		if !ok {
			return false
		}
		root := topmost(k.Name, roots)
		if scope := topmost(k.Scope, roots); scope != nil {
			root = scope
		}
		if root == err {
			return false
		}
		root.Follow(err.Span)
		root.followers = append(root.followers, err.followers...)
		return true
	})
}

// topmost returns the error of the shortest name, in whole parts, with which a
// name begins; nil if there is none.
func topmost(name string, roots map[string]*Error) *Error {
	var root *Error
	for ; name != ""; name = name[:max(0, strings.LastIndexByte(name, '.'))] {
		if r := roots[name]; r != nil {
			root = r
		}
	}
	return root
}

// Sorted returns the errors in the order of file, place and message, each
// once. The data comes before the chapters that rest on it.
func (e Errors) Sorted() Errors {
	sorted := slices.Clone(e)
	slices.SortStableFunc(sorted, compareErrors)
	return slices.CompactFunc(sorted, func(a, b *Error) bool {
		if compareErrors(a, b) != 0 {
			return false
		}
		if a != b {
			a.followers = append(a.followers, b.followers...)
		}
		return true
	})
}

func compareErrors(a, b *Error) int {
	return cmp.Or(cmp.Compare(a.Weight, b.Weight), comparePlaces(a.Span, b.Span), cmp.Compare(a.Message, b.Message))
}

func comparePlaces(a, b Span) int {
	a, b = a.Origin(), b.Origin()
	x, y := a.fileName(), b.fileName()
	return cmp.Or(cmp.Compare(stage(x), stage(y)), cmp.Compare(x, y), cmp.Compare(a.Start, b.Start))
}

// stage is 0 for what no file holds, 1 for the data and 2 for all else.
func stage(file string) int {
	switch {
	case file == "":
		return 0
	case file == "data" || strings.HasPrefix(file, "data/"):
		return 1
	}
	return 2
}

func (s Span) fileName() string {
	if s.File == nil {
		return ""
	}
	return s.File.Name
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
