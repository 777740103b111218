package leaf

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"rickyard/calc/source"
)

// decode returns the first document of a text and the second, if there is one.
// A fault inside yaml.v3 becomes an error.
func decode(text string) (first, second *yaml.Node, err error) {
	defer func() {
		if p := recover(); p != nil {
			first, second, err = nil, nil, fmt.Errorf("yaml: the text confuses the YAML reader (%v)", p)
		}
	}()
	decoder := yaml.NewDecoder(strings.NewReader(text))
	var a, b yaml.Node
	if err := decoder.Decode(&a); err != nil {
		if errors.Is(err, io.EOF) {
			err = nil
		}
		return nil, nil, err
	}
	switch err := decoder.Decode(&b); {
	case errors.Is(err, io.EOF):
		return &a, nil, nil
	case err != nil:
		return nil, nil, err
	}
	if len(b.Content) == 1 {
		return &a, b.Content[0], nil
	}
	return &a, &b, nil
}

// A slip is a way in which people break YAML.
type slip struct {
	kind    source.Kind
	message string
	remedy  string
}

var (
	openQuoteSlip = &slip{source.Syntax, "a quote that opens here is never closed", "close it"}
	otherSlip     = &slip{source.Syntax, "this can't be read as YAML", "check the indentation, colons and quotes here and in the line above"}
)

// slips has the slip behind what yaml.v3 reports. It has no types for its errors
// but their texts, so that this is the one place that reads a text.
var slips = []struct {
	reported string
	*slip
}{
	{"mapping values are not allowed", &slip{source.Syntax, "a colon is out of place here: this line is indented wrongly, or a text that contains a colon lacks quotes", "line the key up with its neighbours, or put the text in quotes"}},
	{"did not find expected key", &slip{source.Syntax, "this line does not line up with the entries above it; expected a key with a colon", "indent it like its neighbours"}},
	{"did not find expected '-' indicator", &slip{source.Syntax, "this line does not line up with the list above it; expected an entry that begins with -", "indent it like its neighbours"}},
	{"did not find expected ',' or ']'", &slip{source.Syntax, "the list that begins here with [ is not closed or lacks a comma", "close it with ], part its entries by commas, and put a formula that holds a comma in quotes"}},
	{"did not find expected ',' or '}'", &slip{source.Syntax, "the entries that begin here with { are not closed or lack a comma", "close them with }, part them by commas, and put a formula that holds a comma in quotes"}},
	{"could not find expected ':'", &slip{source.Syntax, "a key lacks its colon here", "write key: value"}},
	{"found unexpected end of stream", openQuoteSlip},
	{"found unexpected document indicator", &slip{source.Syntax, "a quote that opens before this place is never closed", "close it"}},
	{"exceeded max depth", &slip{source.Unsafe, fmt.Sprintf("entries stand within entries more than %d deep here", mostLevels), "check the brackets and the indentation"}},
	{"unknown anchor", &slip{source.Unsafe, "a * at the beginning of a value stands for a value that is written elsewhere; this is not used here", "write the value out, or put the text in quotes"}},
	{"found unknown escape character", &slip{source.Syntax, "a backslash in double quotes has a meaning of its own, and this one is not known", "use single quotes, or double the backslash"}},
	{"found a tab character", &slip{source.Syntax, "there is a tab here; YAML allows only spaces", "replace it by spaces"}},
	{"found character that cannot start any token", &slip{source.Syntax, "a value can't begin with this character", "put the value in quotes"}},
	{"block sequence entries are not allowed", &slip{source.Syntax, "a list entry is out of place here", "begin the list on a line of its own below its key"}},
}

// A report is what yaml.v3 says of a text.
type report struct {
	line int // as it counts, often that of the block around; 0 if it names none
	text string
	*slip
}

var reported = regexp.MustCompile(`^yaml: (?:line ([0-9]+): )?(.*)$`)

func reportOf(err error) report {
	r := report{text: err.Error(), slip: otherSlip}
	if parts := reported.FindStringSubmatch(r.text); parts != nil {
		r.text = parts[2]
		r.line, _ = strconv.Atoi(parts[1])
	}
	for _, s := range slips {
		if strings.Contains(r.text, s.reported) {
			r.slip = s.slip
			break
		}
	}
	return r
}

// mostSearched bounds the texts in which the place of a slip is searched for by
// reading their beginnings again.
const mostSearched = 256 << 10

// syntax reports an error of yaml.v3, whose own line numbers are often those of
// the surrounding block. The slip stands where the shortest beginning of the
// text ends that fails in the same way.
func (d *Document) syntax(err error) {
	text, found := d.Text, reportOf(err)
	at := 0
	if found.line > 0 && found.line <= len(d.lines) {
		at = d.lines[found.line-1]
	}
	if len(text) <= mostSearched {
		at = d.search(found)
	}
	lineStart := strings.LastIndexByte(text[:min(at, len(text))], '\n') + 1
	line := text[lineStart:LineEnd(text, lineStart)]
	indent := line[:len(line)-len(strings.TrimLeft(line, " \t"))]
	if i := strings.IndexByte(indent, '\t'); i >= 0 {
		d.fail(source.Syntax, d.Span(lineStart+i, lineStart+i+1), "there is a tab in the indentation; YAML allows only spaces there").
			With("replace it by spaces")
		return
	}
	at = min(max(at, lineStart+len(indent)), len(text))
	message := found.message
	if found.slip == otherSlip {
		message += ": " + found.text
	}
	d.fail(found.kind, d.Span(at, min(at+1, len(text))), "%s", message).With("%s", found.remedy)
}

// search finds where a slip stands.
func (d *Document) search(found report) int {
	text := d.Text
	same := func(end int) bool {
		_, _, err := decode(text[:end])
		if err == nil {
			return false
		}
		r := reportOf(err)
		return r.slip == found.slip && (found.slip == openQuoteSlip || r.line == found.line && r.text == found.text)
	}
	line := shortest(len(d.lines), func(n int) bool { return n == len(d.lines) || same(d.lines[n]) })
	at, end := d.lines[line-1], len(text)
	if line < len(d.lines) {
		end = d.lines[line]
	}
	n := shortest(end-at, func(n int) bool { return at+n == end || utf8.RuneStart(text[at+n]) && same(at+n) })
	at += max(0, n-1)
	if found.slip == openQuoteSlip {
		at = openQuote(text[:end], at, same)
	} else if at > 0 && (text[at-1] == '[' || text[at-1] == '{') {
		at--
	}
	for at > 0 && at < len(text) && !utf8.RuneStart(text[at]) {
		at--
	}
	return at
}

// openQuote finds the quote that is never closed in the last line of text: the
// first from which on every beginning fails.
func openQuote(text string, at int, same func(end int) bool) int {
	start := strings.LastIndexByte(strings.TrimSuffix(text, "\n"), '\n') + 1
	found := at
	for i, tries := len(text)-1, 0; i >= start && tries < 50; i-- {
		if text[i] != '"' && text[i] != '\'' {
			continue
		}
		tries++
		if !same(i + 1) {
			break
		}
		found = i
	}
	return found
}

// shortest returns the least n from 1 to most for which ok holds; ok(most) must
// hold, and must go on holding once it does.
func shortest(most int, ok func(n int) bool) int {
	low, high := 1, max(1, most)
	for low < high {
		mid := (low + high) / 2
		if ok(mid) {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return low
}
