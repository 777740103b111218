package data

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

// Bounds on what is read. A real farm's files have a few hundred lines; the
// bounds keep a hostile or broken file from filling memory or wasting time.
const (
	mostBytes  = 4 << 20
	mostLine   = 32 << 10 // bytes in one line
	mostMarks  = 300_000  // line ends and characters that can open or part entries
	mostLevels = 64       // of entries within entries
	mostErrors = 100      // reported for one file
)

// tooMany says that the rest of a file's errors are left out.
const tooMany = "more than %d mistakes in this file; the rest are not listed"

// A document is one YAML file with what is needed to point into it.
type document struct {
	file *source.File
	root *yaml.Node // nil if the file is empty or can't be read
	errs source.Errors

	lines []int // byte offset of each line as yaml.v3 counts lines
	// The place last asked for: nodes are asked for mostly in order.
	line, column, at int
}

// fail records an error and returns it, so that a remedy can be added.
func (d *document) fail(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
	err := source.Errorf(kind, at, format, args...)
	if len(d.errs) < mostErrors {
		d.errs = append(d.errs, err)
	} else if len(d.errs) == mostErrors {
		d.errs = append(d.errs, source.Errorf(source.Unsafe, d.file.Span(len(d.file.Text), len(d.file.Text)), tooMany, mostErrors))
	}
	return err
}

// full reports whether further errors would not be kept, so that no time need
// go into wording them.
func (d *document) full() bool { return len(d.errs) > mostErrors }

// parse reads a YAML text into nodes, refusing whatever a farm's data has no
// use for: aliases, tags, several documents, control characters.
func parse(name, text string) *document {
	text = strings.TrimPrefix(text, "\ufeff")
	d := &document{file: source.New(name, text)}
	if !d.guard() {
		return d
	}
	d.findLines()
	root, second, err := decode(text)
	if err != nil {
		d.syntax(err)
		return d
	}
	if root == nil {
		return d
	}
	if second != nil {
		at := d.offset(second.Line, second.Column)
		d.fail(source.Syntax, d.file.Span(at, at+1), "a second YAML document starts here; expected one document a file").
			With("delete the line --- above it, or move what follows to a file of its own")
	}
	if len(root.Content) == 1 && d.plain(root.Content[0]) {
		d.root = root.Content[0]
	}
	return d
}

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

// guard refuses texts that are too large or not plain text.
func (d *document) guard() bool {
	text := d.file.Text
	if len(text) > mostBytes {
		d.fail(source.Unsafe, d.file.Span(0, 0), "this file is larger than %d MB; a farm's data needs far less", mostBytes>>20)
		return false
	}
	marks, start := 0, 0
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '\n':
			start = i + 1
			marks++
		case ',', ':', '[', '{', '?':
			marks++
		case '-':
			if i+1 == len(text) || text[i+1] <= ' ' {
				marks++
			}
		}
		if i-start > mostLine {
			d.fail(source.Unsafe, d.file.Span(start, start+1), "this line is longer than %d characters", mostLine).With("break it into several lines")
			return false
		}
		if marks > mostMarks {
			d.fail(source.Unsafe, d.file.Span(0, 0), "this file holds more than %d entries; a farm's data needs far fewer", mostMarks)
			return false
		}
	}
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		at := d.file.Span(i, i+size)
		switch {
		case r == utf8.RuneError && size <= 1:
			d.fail(source.Syntax, at, "this is not UTF-8 text (byte %#x)", text[i]).With("save the file as UTF-8 in your editor")
			return false
		case r < ' ' && r != '\t' && r != '\n' && r != '\r', r >= 0x7f && r < 0xa0 && r != 0x85, r == 0xfeff, r == 0xfffe, r == 0xffff:
			d.fail(source.Syntax, at, "there is an invisible control character here (%U)", r).With("delete it")
			return false
		}
		i += size
	}
	return true
}

// findLines notes where lines start for yaml.v3, which also ends lines at a
// lone carriage return and at three rare Unicode characters.
func (d *document) findLines() {
	text := d.file.Text
	d.lines = []int{0}
	d.line, d.column, d.at = 1, 1, 0
	for i := 0; i < len(text); i++ {
		switch {
		case text[i] == '\n', text[i] == '\r' && !strings.HasPrefix(text[i+1:], "\n"):
			d.lines = append(d.lines, i+1)
		case text[i] == 0xc2 && strings.HasPrefix(text[i:], "\u0085"):
			d.lines = append(d.lines, i+2)
		case text[i] == 0xe2 && (strings.HasPrefix(text[i:], "\u2028") || strings.HasPrefix(text[i:], "\u2029")):
			d.lines = append(d.lines, i+3)
		}
	}
}

// offset returns the byte offset of a line and column as yaml.v3 counts them:
// columns in characters.
func (d *document) offset(line, column int) int {
	if line < 1 || line > len(d.lines) {
		return len(d.file.Text)
	}
	if line != d.line || column < d.column {
		d.line, d.column, d.at = line, 1, d.lines[line-1]
	}
	for ; d.column < column && d.at < len(d.file.Text); d.column++ {
		_, size := utf8.DecodeRuneInString(d.file.Text[d.at:])
		d.at += size
	}
	return d.at
}

// plain reports whether a tree of nodes uses nothing but maps, lists and
// values, and says where it does not.
func (d *document) plain(root *yaml.Node) bool {
	ok := true
	told := map[string]bool{} // anchors are copied by the thousand; one error each will do
	refuse := func(n *yaml.Node, kind source.Kind, format string, args ...any) *source.Error {
		ok = false
		at := d.offset(n.Line, n.Column)
		return d.fail(kind, d.file.Span(at, min(at+1, len(d.file.Text))), format, args...)
	}
	var walk func(n *yaml.Node, level int)
	walk = func(n *yaml.Node, level int) {
		if d.full() {
			return
		}
		at := d.offset(n.Line, n.Column)
		var first byte
		if at < len(d.file.Text) {
			first = d.file.Text[at]
		}
		switch {
		case level > mostLevels:
			refuse(n, source.Unsafe, "entries stand within entries more than %d deep here", mostLevels).With("check the brackets and the indentation")
			return
		case n.Kind == yaml.AliasNode:
			ok = false
			if told[n.Value] {
				return
			}
			told[n.Value] = true
			refuse(n, source.Unsafe, "*%s stands for a value that is written elsewhere; this is not used here", clip(n.Value)).With("write the value out, or use a named figure in a formula")
			return
		case n.Anchor != "":
			refuse(n, source.Unsafe, "&%s gives a value a name to copy it from; this is not used here", clip(n.Anchor)).With("write the value out wherever it is needed, or use a named figure in a formula")
		case n.Style&yaml.TaggedStyle != 0, first == '!' && n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) == 0:
			refuse(n, source.Syntax, "a type that begins with ! is not used here").With("delete it and write the value alone")
		case n.Kind == yaml.ScalarNode && n.Tag == "!!merge":
			refuse(n, source.Unsafe, "<< copies entries from elsewhere; this is not used here").With("write the entries out")
		}
		for _, child := range n.Content {
			walk(child, level+1)
		}
	}
	walk(root, 1)
	return ok
}

// span returns where a node's own text stands: the whole of a value, the first
// character of a map or list.
func (d *document) span(n *yaml.Node) source.Span {
	start := d.offset(n.Line, n.Column)
	text := d.file.Text
	if n.Kind != yaml.ScalarNode {
		return d.file.Span(start, min(start+1, len(text)))
	}
	end := start
	switch {
	case n.Style&yaml.DoubleQuotedStyle != 0:
		for end = start + 1; end < len(text) && text[end] != '"'; end++ {
			if text[end] == '\\' {
				end++
			}
		}
		end++
	case n.Style&yaml.SingleQuotedStyle != 0:
		for end = start + 1; end < len(text); end++ {
			if text[end] != '\'' {
				continue
			}
			if !strings.HasPrefix(text[end+1:], "'") {
				break
			}
			end++
		}
		end++
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		end = start + 1
	default:
		if e, ok := matches(text, start, n.Value); ok {
			end = e
		}
	}
	return d.file.Span(start, min(end, len(text)))
}

// formula returns where a value stands as it is written, if it does: a plain
// or quoted text without escapes, or a folded one that differs only in its
// line breaks. Otherwise it returns the value as a text of its own, whose
// errors are reported at the node.
func (d *document) formula(n *yaml.Node) source.Span {
	whole := d.span(n)
	start := whole.Start
	value := strings.TrimSpace(n.Value)
	switch {
	case n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0:
		start++
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		if i := strings.IndexByte(d.file.Text[start:], '\n'); i >= 0 {
			start += i
		}
	}
	for start < len(d.file.Text) && strings.IndexByte(" \t\r\n", d.file.Text[start]) >= 0 {
		start++
	}
	if end, ok := matches(d.file.Text, start, value); ok && value != "" {
		return d.file.Span(start, end)
	}
	return source.Derived(whole, n.Value).Whole()
}

// matches reports where in text, from start, value ends if it stands there, any
// stretch of white space counting as any other.
func matches(text string, start int, value string) (end int, ok bool) {
	white := func(c byte) bool { return c == ' ' || c == '\t' || c == '\r' || c == '\n' }
	at := start
	for i := 0; i < len(value); {
		if at >= len(text) {
			return start, false
		}
		if white(value[i]) {
			if !white(text[at]) {
				return start, false
			}
			for i < len(value) && white(value[i]) {
				i++
			}
			for at < len(text) && white(text[at]) {
				at++
			}
			continue
		}
		if text[at] != value[i] {
			return start, false
		}
		at++
		i++
	}
	return at, true
}

var yamlLine = regexp.MustCompile(`^yaml: (?:line ([0-9]+): )?(.*)$`)

// mostSearched bounds the files in which the place of a YAML slip is searched
// for by reading their beginnings again.
const mostSearched = 256 << 10

// syntax reports an error of yaml.v3, whose own line numbers are often those
// of the surrounding block. The slip stands where the shortest beginning of
// the file ends that fails in the same way.
func (d *document) syntax(err error) {
	text := d.file.Text
	parts := yamlLine.FindStringSubmatch(err.Error())
	problem, at := err.Error(), 0
	if parts != nil {
		problem = parts[2]
		if n, convErr := strconv.Atoi(parts[1]); convErr == nil && n <= len(d.lines) {
			at = d.lines[n-1]
		}
	}
	if len(text) <= mostSearched {
		quote := strings.Contains(problem, unclosed)
		same := func(end int) bool {
			_, _, e := decode(text[:end])
			return e != nil && (e.Error() == err.Error() || quote && strings.Contains(e.Error(), unclosed))
		}
		line := shortest(len(d.lines), func(n int) bool {
			if n == len(d.lines) {
				return true
			}
			return same(d.lines[n])
		})
		at = d.lines[line-1]
		end := len(text)
		if line < len(d.lines) {
			end = d.lines[line]
		}
		n := shortest(end-at, func(n int) bool {
			return at+n == end || utf8.RuneStart(text[at+n]) && same(at+n)
		})
		at += max(0, n-1)
		if quote {
			at = openQuote(text[:end], at, same)
		} else if at > 0 && (text[at-1] == '[' || text[at-1] == '{') {
			at--
		}
		for at > 0 && at < len(text) && !utf8.RuneStart(text[at]) {
			at--
		}
	}
	lineStart := strings.LastIndexByte(text[:min(at, len(text))], '\n') + 1
	lineText := text[lineStart:]
	if i := strings.IndexByte(lineText, '\n'); i >= 0 {
		lineText = lineText[:i]
	}
	indent := lineText[:len(lineText)-len(strings.TrimLeft(lineText, " \t"))]
	if i := strings.IndexByte(indent, '\t'); i >= 0 {
		d.fail(source.Syntax, d.file.Span(lineStart+i, lineStart+i+1), "there is a tab in the indentation; YAML allows only spaces there").
			With("replace it by spaces")
		return
	}
	at = max(at, lineStart+len(indent))
	span := d.file.Span(min(at, len(text)), min(at+1, len(text)))
	for _, known := range slips {
		if strings.Contains(problem, known.problem) {
			d.fail(known.kind, span, "%s", known.message).With("%s", known.remedy)
			return
		}
	}
	d.fail(source.Syntax, span, "this can't be read as YAML: %s", problem).With("check the indentation, colons and quotes here and in the line above")
}

const unclosed = "found unexpected end of stream"

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

// slips puts what yaml.v3 reports into a farmer's words.
var slips = []struct {
	problem string
	kind    source.Kind
	message string
	remedy  string
}{
	{"mapping values are not allowed", source.Syntax, "a colon is out of place here: this line is indented wrongly, or a text that contains a colon lacks quotes", "line the key up with its neighbours, or put the text in quotes"},
	{"did not find expected key", source.Syntax, "this line does not line up with the entries above it; expected a key with a colon", "indent it like its neighbours"},
	{"did not find expected '-' indicator", source.Syntax, "this line does not line up with the list above it; expected an entry that begins with -", "indent it like its neighbours"},
	{"did not find expected ',' or ']'", source.Syntax, "the list that begins here with [ is not closed or lacks a comma", "close it with ], and part its entries by commas"},
	{"did not find expected ',' or '}'", source.Syntax, "the entries that begin here with { are not closed or lack a comma", "close them with }, and part them by commas"},
	{"could not find expected ':'", source.Syntax, "a key lacks its colon here", "write key: value"},
	{unclosed, source.Syntax, "a quote that opens here is never closed", "close it"},
	{"found unexpected document indicator", source.Syntax, "a quote that opens before this place is never closed", "close it"},
	{"exceeded max depth", source.Unsafe, fmt.Sprintf("entries stand within entries more than %d deep here", mostLevels), "check the brackets and the indentation"},
	{"unknown anchor", source.Unsafe, "a * at the beginning of a value stands for a value that is written elsewhere; this is not used here", "write the value out, or put the text in quotes"},
	{"found unknown escape character", source.Syntax, "a backslash in double quotes has a meaning of its own, and this one is not known", "use single quotes, or double the backslash"},
	{"found a tab character", source.Syntax, "there is a tab here; YAML allows only spaces", "replace it by spaces"},
	{"found character that cannot start any token", source.Syntax, "a value can't begin with this character", "put the value in quotes"},
	{"block sequence entries are not allowed", source.Syntax, "a list entry is out of place here", "begin the list on a line of its own below its key"},
}

// shortest returns the least n from 1 to most for which ok holds; ok(most)
// must hold, and must go on holding once it does.
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

// clip shortens a text for a message.
func clip(text string) string {
	const most = 40
	if utf8.RuneCountInString(text) > most {
		return string([]rune(text)[:most]) + "..."
	}
	return text
}
