package content

import (
	"sort"
	"strings"

	"github.com/yuin/goldmark/text"

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

// finish gives the copy its text; spans into it can be read only then.
func (o *original) finish() {
	if o.masked != nil {
		o.masked.Text = string(o.mask)
	}
}

// A piece says that text[at:at+n] of a passage is file[from:from+n].
type piece struct{ at, from, n int }

// A passage is a text put together from pieces of a file: the lines of a
// fenced block, the value of a YAML string. What no piece covers (a line end
// at the end of the file, an escaped character) stands nowhere as such.
type passage struct {
	of     *original
	text   string
	pieces []piece
	home   source.Span // where the passage is, if it has no pieces
}

// whole is the passage that is all of a file.
func whole(file *source.File) *passage {
	return &passage{
		of:     &original{file: file},
		text:   file.Text,
		pieces: []piece{{0, 0, len(file.Text)}},
		home:   file.Whole(),
	}
}

// after returns the index of the first piece that ends after an offset.
func (p *passage) after(offset int) int {
	return sort.Search(len(p.pieces), func(i int) bool { return p.pieces[i].at+p.pieces[i].n > offset })
}

// part returns the passage that reads text, where each of the given pieces
// counts from the start of p's own text.
func (p *passage) part(text string, pieces []piece, home source.Span) *passage {
	q := &passage{of: p.of, text: text, home: home}
	for _, w := range pieces {
		for i := p.after(w.from); i < len(p.pieces) && p.pieces[i].at < w.from+w.n; i++ {
			have := p.pieces[i]
			from, to := max(w.from, have.at), min(w.from+w.n, have.at+have.n)
			q.pieces = append(q.pieces, piece{w.at + from - w.from, have.from + from - have.at, to - from})
		}
	}
	return q
}

// cut returns the passage that is text[start:end] of p.
func (p *passage) cut(start, end int) *passage {
	return p.part(p.text[start:end], []piece{{0, start, end - start}}, p.span(start, start))
}

// lines returns the passage that consists of the given lines of p.
func (p *passage) lines(segments *text.Segments, home source.Span) *passage {
	var b strings.Builder
	var pieces []piece
	for i := range segments.Len() {
		s := segments.At(i)
		b.WriteString(strings.Repeat(" ", s.Padding))
		pieces = append(pieces, piece{b.Len(), s.Start, s.Stop - s.Start})
		b.WriteString(p.text[s.Start:s.Stop])
		if s.ForceNewline && !strings.HasSuffix(p.text[s.Start:s.Stop], "\n") {
			b.WriteByte('\n')
		}
	}
	return p.part(b.String(), pieces, home)
}

// joined returns the passage that consists of stretches of p, one a line.
func (p *passage) joined(stretches [][2]int) *passage {
	var b strings.Builder
	var pieces []piece
	for i, s := range stretches {
		if i > 0 {
			b.WriteByte('\n')
		}
		pieces = append(pieces, piece{b.Len(), s[0], s[1] - s[0]})
		b.WriteString(p.text[s[0]:s[1]])
	}
	return p.part(b.String(), pieces, p.span(stretches[0][0], stretches[0][0]))
}

// span returns where text[start:end] of p is written. Formulas are read
// through this span, so its text is what the passage says, but for blanks.
func (p *passage) span(start, end int) source.Span {
	file := p.of.file
	i := p.after(start)
	if len(p.pieces) == 0 {
		if end > start {
			return source.Derived(p.home, p.text[start:end]).Whole()
		}
		return p.home
	}
	if start >= end || i == len(p.pieces) {
		if i == len(p.pieces) {
			last := p.pieces[i-1]
			return file.Span(last.from+last.n, last.from+last.n)
		}
		at := p.pieces[i].from + max(0, start-p.pieces[i].at)
		return file.Span(at, at)
	}

	first, done, reached, exact := -1, start, 0, true
	var gaps [][2]int
	for ; i < len(p.pieces) && p.pieces[i].at < end; i++ {
		w := p.pieces[i]
		from, to := max(w.at, start), min(w.at+w.n, end)
		at := w.from + from - w.at
		exact = exact && isBlank(p.text[done:from])
		switch {
		case first < 0:
			first = at
		case at < reached || at > reached && !p.blankAround(from):
			// Blanks in the file would split a word of the text.
			exact = false
		case !isBlank(file.Text[reached:at]):
			gaps = append(gaps, [2]int{reached, at})
		}
		done, reached = to, at+to-from
	}
	exact = exact && isBlank(p.text[done:end])
	switch {
	case first < 0:
		return source.Derived(p.span(start, start), p.text[start:end]).Whole()
	case !exact:
		return source.Derived(file.Span(first, reached), p.text[start:end]).Whole()
	case len(gaps) == 0:
		return file.Span(first, reached)
	}
	for _, gap := range gaps {
		p.of.blank(gap[0], gap[1])
	}
	return p.of.masked.Span(first, reached)
}

// blankAround reports whether a blank stands before or after an offset.
func (p *passage) blankAround(offset int) bool {
	return offset > 0 && isBlank(p.text[offset-1:offset]) || offset < len(p.text) && isBlank(p.text[offset:offset+1])
}

// lineEnd returns where the line ends that holds an offset, without its line
// end.
func lineEnd(text string, offset int) int {
	if n := strings.IndexByte(text[offset:], '\n'); n >= 0 {
		return offset + n
	}
	return len(text)
}

func isBlank(s string) bool { return strings.Trim(s, " \t\r\n") == "" }

// trim narrows text[start:end] by the blanks at its ends.
func (p *passage) trim(start, end int) (int, int) {
	for start < end && isBlank(p.text[start:start+1]) {
		start++
	}
	for end > start && isBlank(p.text[end-1:end]) {
		end--
	}
	return start, end
}
