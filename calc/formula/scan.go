package formula

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

type kind uint8

const (
	tokEnd kind = iota
	tokNumber
	tokName
	tokMonth
	tokText
	tokMark    // + - * / ^ ( ) , .. < <= > >=
	tokKeyword // and or not is if as none
)

type token struct {
	kind  kind
	span  source.Span
	text  string
	value quantity.Quantity // of a number with its unit
	month int
}

var keywords = map[string]bool{"and": true, "or": true, "not": true, "is": true, "if": true, "as": true, "none": true}

// Reserved reports whether a word can't be the name of a figure: a keyword or
// a month.
func Reserved(word string) bool {
	_, month := quantity.Month(word)
	return keywords[word] || month
}

// longestFormula and mostTokens bound a formula; the longest that an engine
// writes sums a few hundred lines.
const (
	longestFormula = 64 << 10
	mostTokens     = 20_000
)

type scanner struct {
	file   *source.File
	at     int
	end    int
	units  *quantity.System
	tokens []token
	errs   source.Errors
}

func scan(span source.Span, units *quantity.System) ([]token, source.Errors) {
	s := &scanner{file: span.File, at: span.Start, end: span.End, units: units}
	if span.End-span.Start > longestFormula {
		s.fail(source.Unsafe, s.file.Span(span.Start, span.Start+1), "this formula is longer than %d characters; split it into named steps", longestFormula)
		return nil, s.errs
	}
	for s.next() {
		if len(s.tokens) > mostTokens {
			s.fail(source.Unsafe, s.tokens[0].span, "this formula has more than %d parts; split it into named steps", mostTokens)
			return nil, s.errs
		}
		if len(s.errs) > 0 {
			return nil, s.errs
		}
	}
	s.tokens = append(s.tokens, token{kind: tokEnd, span: s.file.Span(s.end, s.end)})
	return s.tokens, s.errs
}

func (s *scanner) fail(kind source.Kind, at source.Span, format string, args ...any) {
	s.errs = append(s.errs, source.Errorf(kind, at, format, args...))
}

func (s *scanner) peek(ahead int) byte {
	if s.at+ahead >= s.end {
		return 0
	}
	return s.file.Text[s.at+ahead]
}

func (s *scanner) emit(k kind, start int) *token {
	s.tokens = append(s.tokens, token{kind: k, span: s.file.Span(start, s.at), text: s.file.Text[start:s.at]})
	return &s.tokens[len(s.tokens)-1]
}

// marks are the operators that people type or paste, and how they are read.
var marks = []struct{ text, means string }{
	{"..", ".."}, {"<=", "<="}, {">=", ">="}, {"≤", "<="}, {"≥", ">="},
	{"+", "+"}, {"-", "-"}, {"−", "-"}, {"*", "*"}, {"×", "*"}, {"/", "/"}, {"÷", "/"},
	{"^", "^"}, {"(", "("}, {")", ")"}, {",", ","}, {"<", "<"}, {">", ">"},
}

func (s *scanner) next() bool {
	for s.at < s.end && strings.IndexByte(" \t\r\n", s.file.Text[s.at]) >= 0 {
		s.at++
	}
	if s.at >= s.end {
		return false
	}
	start, c := s.at, s.peek(0)
	switch {
	case isDigit(c) || c == '.' && isDigit(s.peek(1)):
		s.number()
		return true
	case isLetter(c):
		s.word()
		return true
	case c == '"':
		s.quoted()
		return true
	}
	rest := s.file.Text[s.at:s.end]
	for _, m := range marks {
		if strings.HasPrefix(rest, m.text) {
			s.at += len(m.text)
			s.emit(tokMark, start).text = m.means
			return true
		}
	}
	r, size := utf8.DecodeRuneInString(rest)
	s.at += size
	at := s.file.Span(start, s.at)
	switch r {
	case '=':
		s.errs = append(s.errs, source.Errorf(source.Syntax, at, "= is not part of a formula").With("to ask whether two things are equal, write is"))
	case '%':
		if n := len(s.tokens); n > 0 && s.tokens[n-1].text == "as" {
			s.emit(tokName, start)
			break
		}
		s.errs = append(s.errs, source.Errorf(source.Syntax, at, "%% belongs directly after a number").With("for a figure that holds a share, leave it out"))
	default:
		shown := string(r)
		if !unicode.IsPrint(r) {
			shown = fmt.Sprintf("%U", r)
		}
		s.fail(source.Syntax, at, "%s has no meaning in a formula; expected a number, a name or one of + - * / ^ ( )", shown)
	}
	return true
}

func (s *scanner) quoted() {
	start := s.at
	s.at++
	for s.at < s.end && s.peek(0) != '"' {
		s.at++
	}
	if s.at >= s.end {
		s.fail(source.Syntax, s.file.Span(start, s.end), "this text has no closing \"")
		return
	}
	s.at++
	s.emit(tokText, start).text = s.file.Text[start+1 : s.at-1]
}

func (s *scanner) word() {
	start := s.at
	for {
		for isLetter(s.peek(0)) || isDigit(s.peek(0)) || s.peek(0) == '_' {
			s.at++
		}
		// A dot joins the parts of a name; two dots are a range of months.
		if s.peek(0) == '.' && isLetter(s.peek(1)) {
			s.at++
			continue
		}
		break
	}
	text := s.file.Text[start:s.at]
	if month, ok := quantity.Month(text); ok {
		s.emit(tokMonth, start).month = month
	} else if keywords[text] {
		s.emit(tokKeyword, start)
	} else {
		s.emit(tokName, start)
	}
}

func (s *scanner) number() {
	start := s.at
	for isDigit(s.peek(0)) || s.peek(0) == '_' {
		s.at++
	}
	decimals := 0
	if s.peek(0) == '.' && isDigit(s.peek(1)) {
		s.at++
		for isDigit(s.peek(0)) {
			s.at++
			decimals++
		}
	}
	if e := s.peek(0); e == 'e' || e == 'E' {
		n := 1
		if s.peek(n) == '+' || s.peek(n) == '-' {
			n++
		}
		if isDigit(s.peek(n)) {
			for isDigit(s.peek(n)) {
				n++
			}
			s.at += n
		}
	}
	text := strings.ReplaceAll(s.file.Text[start:s.at], "_", "")
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		s.fail(source.OutOfRange, s.file.Span(start, s.at), "this number is too large")
		return
	}
	step := 1.0
	if decimals > 0 && decimals < 300 {
		step, _ = strconv.ParseFloat("1e-"+strconv.Itoa(decimals), 64)
	}
	unit, ok := s.unit()
	if !ok {
		return
	}
	base := unit.ToBase(value)
	if month, ok := quantity.Month(s.file.Text[max(start, s.at-3):s.at]); ok {
		days, err := quantity.Date(value, month)
		if err != nil {
			s.fail(source.OutOfRange, s.file.Span(start, s.at), "%v", err)
			return
		}
		base = unit.ToBase(days)
	}
	s.emit(tokNumber, start).value = quantity.Quantity{Value: base, Unit: unit, Step: step}
}

// unit reads the unit that follows a number, if there is one: %, a month (the
// number is then the day of a date), or unit names joined by / and ·
// without spaces.
func (s *scanner) unit() (quantity.Unit, bool) {
	after := s.at
	for s.peek(0) == ' ' {
		s.at++
	}
	from := s.at
	if s.peek(0) == '%' {
		s.at++
	} else if !s.per() { // 3 /year
		word := s.unitWord(0)
		_, month := quantity.Month(word)
		if word == "" || keywords[word] || month && s.peek(len(word)) == '.' {
			s.at = after
			return quantity.Unit{Factor: 1}, true
		}
		s.at += len(word)
		if month {
			return s.units.Must("date"), true
		}
		if _, err := s.units.ParseUnit(word); err != nil {
			e := source.Errorf(source.WrongUnit, s.file.Span(from, s.at), "%v", err)
			if s.peek(0) == '.' || s.peek(0) == '(' {
				e = source.Errorf(source.Syntax, e.Span, "a number and a name stand side by side; expected * or another operator between them")
			}
			s.errs = append(s.errs, e)
			return quantity.Unit{}, false
		}
	}
	for s.per() {
	}
	unit, err := s.units.ParseUnit(s.file.Text[from:s.at])
	if err != nil {
		s.fail(source.WrongUnit, s.file.Span(from, s.at), "%v", err)
		return quantity.Unit{}, false
	}
	return unit, true
}

// per moves over one "/unit" or "·unit" that stands without spaces.
func (s *scanner) per() bool {
	n := 0
	switch {
	case s.peek(0) == '/':
		n = 1
	case strings.HasPrefix(s.file.Text[s.at:s.end], "·"):
		n = len("·")
	default:
		return false
	}
	word := s.unitWord(n)
	if word == "" || !s.units.Known(word) || s.peek(n+len(word)) == '.' {
		return false
	}
	s.at += n + len(word)
	return true
}

// unitWord returns the unit name that stands ahead: letters, digits and
// underscores, with a power as in m^2.
func (s *scanner) unitWord(ahead int) string {
	n := ahead
	if !isLetter(s.peek(n)) {
		return ""
	}
	for isLetter(s.peek(n)) || isDigit(s.peek(n)) || s.peek(n) == '_' {
		n++
	}
	if s.peek(n) == '^' && isDigit(s.peek(n+1)) {
		n += 2
	}
	return s.file.Text[s.at+ahead : s.at+n]
}

func isDigit(c byte) bool  { return c >= '0' && c <= '9' }
func isLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }
