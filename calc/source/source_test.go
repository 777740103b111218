package source

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"
)

func TestPosition(t *testing.T) {
	const text = "one\n\ttwo £x\r\nthree\n\nlast"
	f := New("data/farm.yaml", text)
	at := func(part string) int { return strings.Index(text, part) }
	tests := []struct {
		name   string
		offset int
		line   int
		column int
	}{
		{"start", 0, 1, 1},
		{"line end belongs to its line", 3, 1, 4},
		{"a tab is one column", at("two"), 2, 2},
		{"before a two-byte character", at("£"), 2, 6},
		{"inside a two-byte character", at("£") + 1, 2, 6},
		{"after a two-byte character", at("x"), 2, 7},
		{"carriage return", at("\r"), 2, 8},
		{"line feed after it", at("\r") + 1, 2, 9},
		{"next line after both", at("three"), 3, 1},
		{"empty line", at("\n\nlast") + 1, 4, 1},
		{"last line has no end", at("last"), 5, 1},
		{"end of the text", len(text), 5, 5},
		{"beyond the end", len(text) + 99, 5, 5},
		{"before the start", -7, 1, 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			want := Position{"data/farm.yaml", test.line, test.column}
			if got := f.Position(test.offset); got != want {
				t.Errorf("Position(%d) = %v, want %v", test.offset, got, want)
			}
		})
	}
	if got := New("empty", "").Position(3).String(); got != "empty:1:1" {
		t.Errorf("position in an empty text = %s", got)
	}
	if got := (Position{File: "farm.yaml"}).String(); got != "farm.yaml" {
		t.Errorf("a position without a line = %q", got)
	}
}

func TestOffset(t *testing.T) {
	const text = "a£c\r\nde\nf"
	f := New("f", text)
	tests := []struct{ line, column, want int }{
		{1, 1, 0}, {1, 2, 1}, {1, 3, 3}, {1, 4, 4},
		{1, 99, 4}, // not past the \r\n
		{2, 1, 6}, {2, 3, 8}, {2, 9, 8},
		{3, 1, 9}, {3, 2, 10}, {3, 50, 10},
		{0, 5, 0}, {-1, 1, 0}, {4, 1, 10}, {2, 0, 6}, {2, -3, 6},
	}
	for _, test := range tests {
		if got := f.Offset(test.line, test.column); got != test.want {
			t.Errorf("Offset(%d, %d) = %d, want %d", test.line, test.column, got, test.want)
		}
	}
	// Every place of a character leads back to itself.
	for offset := range text {
		if text[offset] == '\n' && text[offset-1] == '\r' {
			continue
		}
		at := f.Position(offset)
		if got := f.Offset(at.Line, at.Column); got != offset {
			t.Errorf("offset %d is %v, which leads back to %d", offset, at, got)
		}
	}
}

func TestLine(t *testing.T) {
	f := New("f", "one\r\n\ntwo\rx\nlast")
	for line, want := range map[int]string{0: "", 1: "one", 2: "", 3: "two\rx", 4: "last", 5: "", -1: ""} {
		if got := f.Line(line); got != want {
			t.Errorf("Line(%d) = %q, want %q", line, got, want)
		}
	}
}

func TestSpanText(t *testing.T) {
	f := New("f", "price: 4")
	for _, test := range []struct {
		span Span
		want string
	}{
		{f.Span(0, 5), "price"}, {f.Whole(), "price: 4"}, {f.Span(3, 3), ""},
		{f.Span(5, 2), ""}, {f.Span(-1, 2), ""}, {f.Span(0, 9), ""}, {Span{}, ""},
	} {
		if got := test.span.Text(); got != test.want {
			t.Errorf("Text of %d to %d = %q, want %q", test.span.Start, test.span.End, got, test.want)
		}
	}
}

func TestDerivedTextIsReportedAtItsOrigin(t *testing.T) {
	yaml := New("data/enterprises/hens.yaml", "name: Hens\nlines:\n  - cost: Feed\n")
	start := strings.Index(yaml.Text, "Feed")
	formula := Derived(yaml.Span(start, start+4), "hens * feed_price")
	deeper := Derived(formula.Span(7, 17), "feed_price")
	for _, span := range []Span{formula.Span(7, 17), deeper.Span(3, 4)} {
		if got := span.Position().String(); got != "data/enterprises/hens.yaml:3:11" {
			t.Errorf("position = %s", got)
		}
		if got := span.Origin().Text(); got != "Feed" {
			t.Errorf("origin = %q", got)
		}
	}
	err := Errorf(UnknownRef, deeper.Span(0, 10), "there is no figure feed_price")
	want := "data/enterprises/hens.yaml:3:11: there is no figure feed_price\n" +
		"    - cost: Feed\n" +
		"            ^^^^\n"
	if got := err.Detail(); got != want {
		t.Errorf("detail:\n%s\nwant:\n%s", got, want)
	}

	// The engine's own text without any origin names no place.
	nowhere := Errorf(Syntax, Derived(Span{}, "1 +").Span(3, 3), "the formula ends too early")
	if got := nowhere.Error(); got != "the formula ends too early" {
		t.Errorf("error = %q", got)
	}
	if got := nowhere.Detail(); got != "the formula ends too early\n" {
		t.Errorf("detail = %q", got)
	}
}

func TestDetail(t *testing.T) {
	span := func(text, part string) Span {
		start := strings.Index(text, part)
		return New("farm.yaml", text).Span(start, start+len(part))
	}
	long := strings.Repeat("abcdefghi ", 40) // 400 characters
	tests := []struct {
		name string
		err  *Error
		want string
	}{
		{
			"a key and a remedy",
			Errorf(UnknownKey, span("a: 1\n\tsède: 2\n", "sède"), "%q is not a key of farm.yaml", "sède").With("did you mean side?"),
			"farm.yaml:2:2: \"sède\" is not a key of farm.yaml\n" +
				"   sède: 2\n" +
				"   ^^^^\n" +
				"  did you mean side?\n",
		},
		{
			"no width",
			Errorf(Syntax, span("price:\r\nnext: 1", "\r"), "a value is missing"),
			"farm.yaml:1:7: a value is missing\n" +
				"  price:\n" +
				"        ^\n",
		},
		{
			"over several lines",
			Errorf(Syntax, span("a: [1,\n 2]\nb: 3", "[1,\n 2]"), "expected one value"),
			"farm.yaml:1:4: expected one value\n" +
				"  a: [1,\n" +
				"     ^^^\n",
		},
		{
			"at the end of the text",
			Errorf(Syntax, New("farm.yaml", "a: 1\nb").Span(6, 6), "the line ends too early"),
			"farm.yaml:2:2: the line ends too early\n" +
				"  b\n" +
				"   ^\n",
		},
		{
			"beyond the end of the text",
			Errorf(Syntax, New("farm.yaml", "a").Span(40, 50), "the line ends too early"),
			"farm.yaml:1:2: the line ends too early\n" +
				"  a\n" +
				"   ^\n",
		},
		{
			"no place",
			(&Error{Kind: Missing, Message: "there is no farm.yaml in data"}).With("rickyard begin DIR writes one"),
			"there is no farm.yaml in data\n" +
				"  rickyard begin DIR writes one\n",
		},
		{
			"long line, place near its start",
			Errorf(Syntax, New("farm.yaml", long).Span(10, 19), "unclear"),
			"farm.yaml:1:11: unclear\n" +
				"  " + long[:160] + "...\n" +
				"            ^^^^^^^^^\n",
		},
		{
			"long line, place far inside",
			Errorf(Syntax, New("farm.yaml", long).Span(200, 209), "unclear"),
			"farm.yaml:1:201: unclear\n" +
				"  ..." + long[160:320] + "...\n" +
				"  " + strings.Repeat(" ", 43) + "^^^^^^^^^\n",
		},
		{
			"long line, place at its end",
			Errorf(Syntax, New("farm.yaml", long).Span(400, 400), "unclear"),
			"farm.yaml:1:401: unclear\n" +
				"  ..." + long[360:] + "\n" +
				"  " + strings.Repeat(" ", 43) + "^\n",
		},
		{
			"all of a long line",
			Errorf(Syntax, New("farm.yaml", long).Whole(), "unclear"),
			"farm.yaml:1:1: unclear\n" +
				"  " + long[:160] + "...\n" +
				"  " + strings.Repeat("^", 160) + "\n",
		},
		{
			// In bytes: a, two stray ones, b, space, ESC, [31m, three of the
			// override of direction, r.
			"bytes that are no text, and characters that steer a terminal",
			Errorf(Syntax, New("farm.yaml", "a\xff\xfeb \x1b[31m\u202ered: x").Span(14, 15), "unclear"),
			"farm.yaml:1:13: unclear\n" +
				"  a??b ?[31m?red: x\n" +
				"              ^\n",
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := test.err.Detail(); got != test.want {
				t.Errorf("got:\n%s\nwant:\n%s", got, test.want)
			}
		})
	}
}

func TestErrorOnOneLine(t *testing.T) {
	f := New("content/03-start-up.md", "one\ntwo")
	cause := errors.New("disk full")
	err := Errorf(OutOfRange, f.Span(4, 7), "%d is too many", 3).With("write at most %d", 2)
	err.Cause = cause
	if got, want := err.Error(), "content/03-start-up.md:2:1: 3 is too many; write at most 2"; got != want {
		t.Errorf("error = %q, want %q", got, want)
	}
	if !errors.Is(fmt.Errorf("build: %w", err), cause) {
		t.Error("the cause is lost")
	}
}

func TestErrorsAreSortedEachOnce(t *testing.T) {
	a, b := New("a.yaml", "x\ny\nz"), New("b.yaml", "x\ny")
	derived := Derived(a.Span(2, 3), "some longer formula")
	var errs Errors
	if errs.Err() != nil {
		t.Error("no errors are an error")
	}
	errs.Add(nil)
	errs.Add((*Error)(nil))
	errs.Add(Errorf(Syntax, b.Span(0, 1), "first of b"))
	errs.Add(Errorf(Syntax, a.Span(4, 5), "third of a"))
	errs.Add(Errors{Errorf(Syntax, derived.Span(9, 12), "second of a"), Errorf(Syntax, a.Span(2, 3), "another second")})
	errs.Add(errors.Join(Errorf(Syntax, a.Span(0, 1), "first of a"), errors.New("cannot read c.yaml")))
	errs.Add(Errorf(Syntax, a.Span(4, 5), "third of a"))        // a repeat
	errs.Add(Errorf(Syntax, derived.Span(0, 4), "second of a")) // shown at the same place
	want := "cannot read c.yaml\n" +
		"a.yaml:1:1: first of a\n" +
		"a.yaml:2:1: another second\n" +
		"a.yaml:2:1: second of a\n" +
		"a.yaml:3:1: third of a\n" +
		"b.yaml:1:1: first of b"
	if got := errs.Err().Error(); got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
	if errs[0].Message != "first of b" {
		t.Error("sorting moved the errors themselves")
	}
	var list Errors
	if !errors.As(errs.Err(), &list) || list[0].Kind != IO {
		t.Errorf("the first error is %v", list[0])
	}
}

// One line of ten megabytes with an error at its far end must not cost more
// than a look at it.
func TestDetailOfAVeryLongLine(t *testing.T) {
	text := strings.Repeat("x", 10<<20)
	f := New("farm.yaml", text)
	start := time.Now()
	for range 50 {
		detail := Errorf(Syntax, f.Span(len(text)-5, len(text)), "unclear").Detail()
		if len(detail) > 400 {
			t.Fatalf("the detail has %d bytes", len(detail))
		}
	}
	if took := time.Since(start); took > 5*time.Second {
		t.Errorf("50 errors took %v", took)
	}
}
