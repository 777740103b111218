package leaf

import (
	"sort"
	"strings"

	"rickyard/calc/source"
)

// An original is a file with a copy of its text in which the marks that stand
// between the parts of a formula (a quote's > at the start of a line, an
// escape) are blanked, so that a formula over several lines is one stretch of
// it and still keeps its place.
type original struct {
	file   *source.File
	masked *source.File
	mask   []byte
}

func (o *original) blank(from, to int) {
	if o.masked == nil {
		o.masked = source.New(o.file.Name, o.file.Text)
		o.mask = []byte(o.file.Text)
	}
	for i := from; i < to; i++ {
		if o.mask[i] != '\n' && o.mask[i] != '\r' {
			o.mask[i] = ' '
		}
	}
}

// Finish gives what was blanked its text. Spans that go over a blanked mark can
// be read only then; it is called once for a file, on any of its passages.
func (p *Passage) Finish() {
	if o := p.of; o.masked != nil {
		o.masked.Text = string(o.mask)
	}
}

// A Piece says that Text[At:At+N] of a passage is file[From:From+N].
type Piece struct{ At, From, N int }

// A Passage is a text put together from pieces of a file: the lines of a
// fenced block, the value of a YAML string. What no piece covers (a line end
// at the end of the file, an escaped character) stands nowhere as such.
type Passage struct {
	Text string

	of     *original
	pieces []Piece
	home   source.Span // where the passage is, if it has no pieces
}

// Whole is the passage that is all of a file.
func Whole(file *source.File) *Passage {
	return &Passage{
		of:     &original{file: file},
		Text:   file.Text,
		pieces: []Piece{{0, 0, len(file.Text)}},
		home:   file.Whole(),
	}
}

// after returns the index of the first piece that ends after an offset.
func (p *Passage) after(offset int) int {
	return sort.Search(len(p.pieces), func(i int) bool { return p.pieces[i].At+p.pieces[i].N > offset })
}

// Part returns the passage that reads text, where each of the given pieces
// counts from the start of p's own text.
func (p *Passage) Part(text string, pieces []Piece, home source.Span) *Passage {
	q := &Passage{of: p.of, Text: text, home: home}
	for _, w := range pieces {
		for i := p.after(w.From); i < len(p.pieces) && p.pieces[i].At < w.From+w.N; i++ {
			have := p.pieces[i]
			from, to := max(w.From, have.At), min(w.From+w.N, have.At+have.N)
			q.pieces = append(q.pieces, Piece{w.At + from - w.From, have.From + from - have.At, to - from})
		}
	}
	return q
}

// Cut returns the passage that is Text[start:end] of p.
func (p *Passage) Cut(start, end int) *Passage {
	return p.Part(p.Text[start:end], []Piece{{0, start, end - start}}, p.Span(start, start))
}

// Joined returns the passage that consists of stretches of p, one a line.
func (p *Passage) Joined(stretches [][2]int) *Passage {
	var b strings.Builder
	var pieces []Piece
	for i, s := range stretches {
		if i > 0 {
			b.WriteByte('\n')
		}
		pieces = append(pieces, Piece{b.Len(), s[0], s[1] - s[0]})
		b.WriteString(p.Text[s[0]:s[1]])
	}
	return p.Part(b.String(), pieces, p.Span(stretches[0][0], stretches[0][0]))
}

// Span returns where Text[start:end] of p is written. Formulas are read
// through this span, so its text is what the passage says, but for blanks.
func (p *Passage) Span(start, end int) source.Span { return p.stretch(start, end, true) }

// stretch is Span; where marks stand between the parts and may not be blanked,
// the text is one of its own.
func (p *Passage) stretch(start, end int, blanking bool) source.Span {
	file := p.of.file
	i := p.after(start)
	if len(p.pieces) == 0 {
		if end > start {
			return source.Derived(p.home, p.Text[start:end]).Whole()
		}
		return p.home
	}
	if start >= end || i == len(p.pieces) {
		if i == len(p.pieces) {
			last := p.pieces[i-1]
			return file.Span(last.From+last.N, last.From+last.N)
		}
		at := p.pieces[i].From + max(0, start-p.pieces[i].At)
		return file.Span(at, at)
	}

	first, done, reached, exact := -1, start, 0, true
	var gaps [][2]int
	for ; i < len(p.pieces) && p.pieces[i].At < end; i++ {
		w := p.pieces[i]
		from, to := max(w.At, start), min(w.At+w.N, end)
		at := w.From + from - w.At
		exact = exact && IsBlank(p.Text[done:from])
		switch {
		case first < 0:
			first = at
		case at < reached || at > reached && !p.blankAround(from):
			// Blanks in the file would split a word of the text.
			exact = false
		case !IsBlank(file.Text[reached:at]):
			gaps = append(gaps, [2]int{reached, at})
		}
		done, reached = to, at+to-from
	}
	exact = exact && IsBlank(p.Text[done:end])
	switch {
	case first < 0:
		return source.Derived(p.Span(start, start), p.Text[start:end]).Whole()
	case !exact, len(gaps) > 0 && !blanking:
		return source.Derived(file.Span(first, reached), p.Text[start:end]).Whole()
	case len(gaps) == 0:
		return file.Span(first, reached)
	}
	for _, gap := range gaps {
		p.of.blank(gap[0], gap[1])
	}
	return p.of.masked.Span(first, reached)
}

// blankAround reports whether a blank stands before or after an offset.
func (p *Passage) blankAround(offset int) bool {
	return offset > 0 && IsBlank(p.Text[offset-1:offset]) || offset < len(p.Text) && IsBlank(p.Text[offset:offset+1])
}

// LineEnd returns where the line ends that holds an offset, without its line
// end.
func LineEnd(text string, offset int) int {
	if n := strings.IndexByte(text[offset:], '\n'); n >= 0 {
		return offset + n
	}
	return len(text)
}

// IsBlank reports whether a text is nothing but blanks.
func IsBlank(s string) bool { return strings.Trim(s, " \t\r\n") == "" }

// Trim narrows Text[start:end] by the blanks at its ends.
func (p *Passage) Trim(start, end int) (int, int) {
	for start < end && IsBlank(p.Text[start:start+1]) {
		start++
	}
	for end > start && IsBlank(p.Text[end-1:end]) {
		end--
	}
	return start, end
}
