package content

import (
	"strings"

	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// Limits of a book. They are far above what a person writes and keep the time
// and memory of reading a hostile chapter small.
const (
	mostChapters   = 1000
	mostErrors     = 500
	longestChapter = 4 << 20   // bytes
	longestLine    = 100_000   // bytes
	longestSpec    = 64 << 10  // bytes of a block's YAML
	longestNotes   = 512 << 10 // bytes of cautions.yaml
	largestPicture = 8 << 20   // bytes
	deepestBlocks  = 60        // lists and quotes inside one another
	deepestTree    = 400       // what all else may nest to
	mostCells      = 100_000   // rows times columns of one Markdown table
	mostFootnotes  = 2000      // marks of footnotes in a chapter
	mostFigures    = 20_000    // formulas shown in a chapter, tables and charts included

	// The Markdown parser compares the emphasis and link marks of a paragraph
	// with one another, so its work grows with their square.
	mostComparisons = 1_000_000_000
)

// guard looks for what would make a text slow or deep to parse, or misleading
// to read. It returns the first such place, or nil.
func guard(p *leaf.Passage) *source.Error {
	text := p.Text
	if e := p.BadCharacter(); e != nil {
		return e
	}
	var (
		footnotes, comparisons int
		paragraph              = -1 // where the lines without a blank line between them began
		marks, rows, columns   int
	)
	for start := 0; start < len(text); {
		end := strings.IndexByte(text[start:], '\n')
		if end < 0 {
			end = len(text)
		} else {
			end += start
		}
		line := text[start:end]
		here := p.Span(start, start+min(len(line), 1))
		if len(line) > longestLine {
			return source.Errorf(source.Unsafe, here, "this line has %d characters, more than the %d that a line may have", len(line), longestLine).
				With("break it into lines")
		}
		if depth := nesting(line); depth > deepestBlocks {
			return source.Errorf(source.Unsafe, here, "lists and quotes are nested %d deep here, more than the %d that a text may have", depth, deepestBlocks).
				With("take some of the > or - marks off the start of the line")
		}
		footnotes += strings.Count(line, "[^")
		if footnotes > mostFootnotes {
			return source.Errorf(source.Unsafe, here, "more than %d marks of footnotes stand here", mostFootnotes).With("split the chapter")
		}
		if strings.Trim(line, " \t\r>") == "" {
			comparisons += marks * marks
			paragraph, marks, rows, columns = -1, 0, 0, 0
		} else {
			if paragraph < 0 {
				paragraph = start
			}
			for i := range len(line) {
				switch line[i] {
				case '*', '_', '\'', '"', '[', ']', '(', ')', '<', '>', '!', '`', '\\':
					marks++
				}
			}
			if strings.Contains(line, "|") && strings.Trim(line, "|:- \t\r>") == "" {
				columns = max(columns, strings.Count(line, "|")+1)
			}
			rows++
			if rows*columns > mostCells {
				return source.Errorf(source.Unsafe, p.Span(paragraph, paragraph+1), "this table has more than %d cells", mostCells).With("split the table")
			}
			if comparisons+marks*marks > mostComparisons {
				return source.Errorf(source.Unsafe, p.Span(paragraph, paragraph+1), "too many of the marks * _ ' \" [ ] ( ) < > stand here without a blank line between them").
					With("split the text into paragraphs")
			}
		}
		start = end + 1
	}
	return nil
}

// nesting returns the most blocks that can be open inside one another after a
// line: one for each mark that opens a block at its start, and one for every
// two blanks before such a mark.
func nesting(line string) int {
	depth, blanks := 0, 0
	for i := 0; i < len(line); {
		switch c := line[i]; {
		case c == ' ':
			blanks++
			i++
			continue
		case c == '\t':
			blanks += 4
			i++
			continue
		case c == '>':
			i++
		case c == '-' || c == '+' || c == '*' || c == ':':
			if i+1 < len(line) && line[i+1] != ' ' && line[i+1] != '\t' {
				return depth
			}
			i++
		case c >= '0' && c <= '9':
			j := i
			for j < len(line) && line[j] >= '0' && line[j] <= '9' {
				j++
			}
			if j == len(line) || line[j] != '.' && line[j] != ')' {
				return depth
			}
			i = j + 1
		case strings.HasPrefix(line[i:], "[^"):
			close := strings.Index(line[i:], "]:")
			if close < 0 {
				return depth
			}
			i += close + 2
		default:
			return depth
		}
		depth += 1 + blanks/2
		blanks = 0
	}
	return depth
}
