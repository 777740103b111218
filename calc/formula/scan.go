package formula

import (
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
	tokUnit    // all that follows as, unless that is a number
)

type token struct {
	kind  kind
	span  source.Span
	text  string
	value quantity.Quantity // of a number with its unit
	plain float64           // the number as written, without its unit
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

func (s *scanner) fail(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
	err := source.Errorf(kind, at, format, args...)
	s.errs = append(s.errs, err)
	return err
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
	{"+", "+"}, {"-", "-"}, {"−", "-"}, {"–", "-"}, {"*", "*"}, {"×", "*"}, {"/", "/"}, {"÷", "/"},
	{"^", "^"}, {"(", "("}, {")", ")"}, {",", ","}, {"<", "<"}, {">", ">"},
}

// space moves over white space, which in text copied from a page may be of the
// kind that does not break.
func (s *scanner) space() {
	for s.at < s.end {
		r, size := utf8.DecodeRuneInString(s.file.Text[s.at:s.end])
		if !unicode.IsSpace(r) {
			return
		}
		s.at += size
	}
}

func (s *scanner) next() bool {
	s.space()
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
	s.stray(rest)
	return false
}

// stray reports a character that has no place in a formula.
func (s *scanner) stray(rest string) {
	r, size := utf8.DecodeRuneInString(rest)
	at := s.file.Span(s.at, s.at+size)
	switch {
	case r == '=':
		s.fail(source.Syntax, at, "= is not part of a formula").With("to ask whether two things are equal, write is")
	case r == '%':
		s.fail(source.Syntax, at, "%% belongs directly after a number").With("a figure that holds a share needs none")
	case unicode.IsLetter(r):
		s.fail(source.Syntax, at, "%c can't stand in a name; names are made of the letters a to z, digits, _ and dots", r)
	case unicode.IsPrint(r) && r != utf8.RuneError:
		s.fail(source.Syntax, at, "%c has no meaning in a formula; expected a number, a name or one of + - * / ^ ( )", r)
	default:
		s.fail(source.Syntax, at, "a character that can't be seen (%U) has no meaning in a formula", r)
	}
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
		if text == "as" {
			s.shownUnit()
		}
	} else {
		s.emit(tokName, start)
	}
}

// shownUnit takes all that follows the word as for a unit, unless it starts
// with a number: that is the step to round to.
func (s *scanner) shownUnit() {
	s.space()
	start := s.at
	if start == s.end || isDigit(s.peek(0)) && !strings.HasPrefix(s.file.Text[start:s.end], "1/") {
		return
	}
	s.at = start + len(strings.TrimRightFunc(s.file.Text[start:s.end], unicode.IsSpace))
	s.emit(tokUnit, start)
}

// date reads a date such as 2027-03-14, which without its noughts and hyphens
// would be a subtraction.
func (s *scanner) date() bool {
	end := s.at + len("2027-03-14")
	if end > s.end || !quantity.CalendarForm(s.file.Text[s.at:end]) || end < s.end && (isDigit(s.file.Text[end]) || s.file.Text[end] == '-') {
		return false
	}
	start := s.at
	s.at = end
	value, err := quantity.ParseCalendar(s.file.Text[start:end])
	if err != nil {
		s.fail(source.OutOfRange, s.file.Span(start, end), "%v", err)
		return true
	}
	s.emit(tokNumber, start).value = value
	return true
}

func (s *scanner) number() {
	if s.date() {
		return
	}
	start := s.at
	decimals := s.digits()
	text := s.file.Text[start:s.at]
	at := s.file.Span(start, s.at)
	if n := len(s.tokens); n > 1 && len(text) > 1 && text[0] == '0' && isDigit(text[1]) &&
		s.tokens[n-1].text == "," && s.tokens[n-1].span.End == start && s.tokens[n-2].kind == tokNumber {
		s.fail(source.Syntax, at, "a comma parts the values of a function, not the thousands of a number").With("%s", thousands)
		return
	}
	value, err := strconv.ParseFloat(strings.ReplaceAll(text, "_", ""), 64)
	if err != nil {
		s.fail(source.OutOfRange, at, "this number is too large")
		return
	}
	step := 1.0
	if decimals > 0 && decimals < 300 {
		step, _ = strconv.ParseFloat("1e-"+strconv.Itoa(decimals), 64)
	}
	unit, month := s.unit()
	if len(s.errs) > 0 {
		return
	}
	base := unit.ToBase(value)
	if month >= 0 {
		days, err := quantity.Date(value, month)
		if err != nil {
			s.fail(source.OutOfRange, s.file.Span(start, s.at), "%v", err)
			return
		}
		base = unit.ToBase(days)
	}
	t := s.emit(tokNumber, start)
	t.plain, t.value = value, quantity.Quantity{Value: base, Unit: unit, Step: step}
}

const thousands = "write 12_000 or 12000 for twelve thousand"

// digits moves over a number and returns how many decimals it has.
func (s *scanner) digits() (decimals int) {
	for isDigit(s.peek(0)) || s.peek(0) == '_' {
		s.at++
	}
	if s.peek(0) == '.' && isDigit(s.peek(1)) {
		s.at++
		for isDigit(s.peek(0)) {
			s.at++
			decimals++
		}
	}
	if e := s.peek(0); e != 'e' && e != 'E' {
		return decimals
	}
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
	return decimals
}

// unit reads the unit that follows a number, if there is one: %, a month (the
// number is then the day of a date), or unit names joined by / and ·
// without spaces. month is -1 unless the unit is a date.
func (s *scanner) unit() (u quantity.Unit, month int) {
	after := s.at
	s.space()
	from := s.at
	switch word := s.unitWord(0); {
	case s.peek(0) == '%':
		s.at++
	case s.per(): // 3 /year
	case word == "" || keywords[word]:
		s.at = after
		return quantity.Unit{Factor: 1}, -1
	default:
		if month, ok := quantity.Month(word); ok {
			if s.peek(len(word)) == '.' { // 3 * Apr..Oct with its * forgotten
				s.at = after
				return quantity.Unit{Factor: 1}, -1
			}
			s.at += len(word)
			return s.units.Must("date"), month
		}
		s.at += len(word)
		if c := s.peek(0); c == '(' || c == '.' && isLetter(s.peek(1)) {
			s.fail(source.Syntax, s.file.Span(from, s.at), "a number and a name stand side by side; expected * or another operator between them")
			return u, -1
		}
		if !s.units.Known(word) {
			_, err := s.units.ParseUnit(word)
			s.fail(source.WrongUnit, s.file.Span(from, s.at), "%v", err).With("if %s is a figure, put * before it", word)
			return u, -1
		}
	}
	for s.per() {
	}
	u, err := s.units.ParseUnit(s.file.Text[from:s.at])
	if err != nil {
		s.fail(source.WrongUnit, s.file.Span(from, s.at), "%v", err)
	}
	return u, -1
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
