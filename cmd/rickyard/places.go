package main

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
)

// readPlaces returns on which page, from 1, each named destination of a PDF
// lies, and how many pages the PDF has. It reads what browsers write: objects
// under a classic cross-reference table, named places under /Dests or in the
// name tree. Only those objects are read, so a long tagged book costs little.
func readPlaces(raw []byte) (places map[string]int, pages int, err error) {
	defer func() {
		// The reader below indexes freely; bytes that are no PDF must not stop
		// the program.
		if r := recover(); r != nil {
			places, pages, err = nil, 0, errors.New("the PDF can't be read: it is cut off or broken")
		}
	}()
	f := &pdfFile{raw: raw, offsets: map[int]int{}}
	if err := f.table(); err != nil {
		return nil, 0, err
	}
	root := f.dict(f.trailer["Root"])
	if root == nil {
		return nil, 0, errors.New("the PDF can't be read: it has no catalogue")
	}
	numbers := map[pdfRef]int{}
	f.pages(root["Pages"], numbers, 0)
	places = map[string]int{}
	add := func(name string, to any) {
		if d := f.dict(to); d != nil {
			to = d["D"]
		}
		list, _ := f.resolve(to).([]any)
		if len(list) == 0 {
			return
		}
		if ref, ok := list[0].(pdfRef); ok && numbers[ref] > 0 {
			places[name] = numbers[ref]
		}
	}
	for name, to := range f.dict(root["Dests"]) {
		add(name, to)
	}
	if names := f.dict(root["Names"]); names != nil {
		f.nameTree(names["Dests"], add, 0)
	}
	return places, len(numbers), nil
}

type (
	pdfRef  int
	pdfName string
	pdfDict map[string]any
)

type pdfFile struct {
	raw     []byte
	offsets map[int]int
	trailer pdfDict
}

// deepest bounds the trees of a PDF.
const deepest = 100

// table reads the cross-reference tables, the last one first.
func (f *pdfFile) table() error {
	at := bytes.LastIndex(f.raw, []byte("startxref"))
	if at < 0 {
		return errors.New("the PDF can't be read: it has no end")
	}
	next, ok := (&pdfScanner{raw: f.raw, at: at + len("startxref")}).value().(float64)
	for n := 0; ok && n < deepest; n++ {
		s := &pdfScanner{raw: f.raw, at: int(next)}
		if !s.word("xref") {
			return errors.New("the PDF can't be read: its list of objects is written in a way that browsers did not use so far")
		}
		for !s.word("trailer") {
			first, count := int(s.value().(float64)), int(s.value().(float64))
			for i := range count {
				offset := int(s.value().(float64))
				s.value() // the generation
				used := s.word("n")
				if !used && !s.word("f") {
					return errors.New("the PDF can't be read: its list of objects is broken")
				}
				if _, known := f.offsets[first+i]; used && !known {
					f.offsets[first+i] = offset
				}
			}
		}
		trailer, _ := s.value().(pdfDict)
		if f.trailer == nil {
			f.trailer = trailer
		}
		next, ok = trailer["Prev"].(float64)
	}
	return nil
}

// resolve follows a reference to its object.
func (f *pdfFile) resolve(v any) any {
	for range deepest {
		ref, ok := v.(pdfRef)
		if !ok {
			return v
		}
		offset, known := f.offsets[int(ref)]
		if !known {
			return nil
		}
		s := &pdfScanner{raw: f.raw, at: offset}
		s.value() // the object's number
		s.value() // its generation
		if !s.word("obj") {
			return nil
		}
		v = s.value()
	}
	return nil
}

func (f *pdfFile) dict(v any) pdfDict {
	d, _ := f.resolve(v).(pdfDict)
	return d
}

func (f *pdfFile) pages(v any, numbers map[pdfRef]int, depth int) {
	ref, _ := v.(pdfRef)
	d := f.dict(v)
	if d == nil || depth > deepest {
		return
	}
	kids, tree := f.resolve(d["Kids"]).([]any)
	if !tree {
		if numbers[ref] == 0 {
			numbers[ref] = len(numbers) + 1
		}
		return
	}
	for _, kid := range kids {
		f.pages(kid, numbers, depth+1)
	}
}

func (f *pdfFile) nameTree(v any, add func(string, any), depth int) {
	d := f.dict(v)
	if d == nil || depth > deepest {
		return
	}
	kids, _ := f.resolve(d["Kids"]).([]any)
	for _, kid := range kids {
		f.nameTree(kid, add, depth+1)
	}
	names, _ := f.resolve(d["Names"]).([]any)
	for i := 0; i+1 < len(names); i += 2 {
		if name, ok := names[i].(string); ok {
			add(name, names[i+1])
		}
	}
}

// A pdfScanner reads objects from a place of the file.
type pdfScanner struct {
	raw   []byte
	at    int
	depth int
}

func (s *pdfScanner) blanks() {
	for s.at < len(s.raw) {
		switch s.raw[s.at] {
		case ' ', '\t', '\r', '\n', '\f', 0:
			s.at++
		case '%':
			for s.at < len(s.raw) && s.raw[s.at] != '\n' && s.raw[s.at] != '\r' {
				s.at++
			}
		default:
			return
		}
	}
}

// word reads a keyword if it comes next.
func (s *pdfScanner) word(w string) bool {
	s.blanks()
	if !bytes.HasPrefix(s.raw[s.at:], []byte(w)) {
		return false
	}
	s.at += len(w)
	return true
}

func regular(c byte) bool { return c > ' ' && !bytes.ContainsRune([]byte("()<>[]{}/%"), rune(c)) }

// value reads one object: a float64, bool, string, pdfName, pdfRef, pdfDict,
// []any or nil.
func (s *pdfScanner) value() any {
	s.blanks()
	if s.depth++; s.depth > deepest {
		panic("too deep")
	}
	defer func() { s.depth-- }()
	switch c := s.raw[s.at]; {
	case c == '/':
		s.at++
		return pdfName(s.name())
	case c == '(':
		return s.text()
	case c == '[':
		s.at++
		list := []any{}
		for s.blanks(); s.raw[s.at] != ']'; s.blanks() {
			list = append(list, s.value())
		}
		s.at++
		return list
	case bytes.HasPrefix(s.raw[s.at:], []byte("<<")):
		s.at += 2
		d := pdfDict{}
		for s.blanks(); s.raw[s.at] != '>'; s.blanks() {
			key, ok := s.value().(pdfName)
			if !ok {
				panic("key")
			}
			d[string(key)] = s.value()
		}
		s.at += 2
		return d
	case c == '<':
		s.at++
		var digits []byte
		for ; s.raw[s.at] != '>'; s.at++ {
			if regular(s.raw[s.at]) {
				digits = append(digits, s.raw[s.at])
			}
		}
		s.at++
		if len(digits)%2 == 1 {
			digits = append(digits, '0')
		}
		text := make([]byte, len(digits)/2)
		for i := range text {
			n, _ := strconv.ParseUint(string(digits[2*i:2*i+2]), 16, 8) // a wrong digit makes a name that nobody asks for
			text[i] = byte(n)
		}
		return string(text)
	}
	start := s.at
	for s.at < len(s.raw) && regular(s.raw[s.at]) {
		s.at++
	}
	if s.at == start {
		panic(fmt.Sprintf("%q", s.raw[start]))
	}
	switch word := string(s.raw[start:s.at]); word {
	case "true", "false":
		return word == "true"
	case "null":
		return nil
	default:
		n, err := strconv.ParseFloat(word, 64)
		if err != nil {
			panic(word)
		}
		return s.reference(n)
	}
}

// reference reads what makes a number the first part of a reference: 12 0 R.
func (s *pdfScanner) reference(n float64) any {
	after := s.at
	s.blanks()
	digits := s.at
	for s.at < len(s.raw) && s.raw[s.at] >= '0' && s.raw[s.at] <= '9' {
		s.at++
	}
	if s.at > digits && s.at > after {
		s.blanks()
		if s.at < len(s.raw) && s.raw[s.at] == 'R' && (s.at+1 == len(s.raw) || !regular(s.raw[s.at+1])) {
			s.at++
			return pdfRef(n)
		}
	}
	s.at = after
	return n
}

func (s *pdfScanner) name() string {
	var b []byte
	for s.at < len(s.raw) && regular(s.raw[s.at]) {
		c := s.raw[s.at]
		if c == '#' && s.at+2 < len(s.raw) {
			if n, err := strconv.ParseUint(string(s.raw[s.at+1:s.at+3]), 16, 8); err == nil {
				c = byte(n)
				s.at += 2
			}
		}
		b = append(b, c)
		s.at++
	}
	return string(b)
}

func (s *pdfScanner) text() string {
	var b []byte
	depth := 0
	for {
		c := s.raw[s.at]
		s.at++
		switch c {
		case '(':
			if depth > 0 {
				b = append(b, c)
			}
			depth++
		case ')':
			if depth--; depth == 0 {
				return string(b)
			}
			b = append(b, c)
		case '\\':
			e := s.raw[s.at]
			s.at++
			switch e {
			case 'n':
				b = append(b, '\n')
			case 'r':
				b = append(b, '\r')
			case 't':
				b = append(b, '\t')
			case '\n':
			case '0', '1', '2', '3', '4', '5', '6', '7':
				n := int(e - '0')
				for i := 0; i < 2 && s.raw[s.at] >= '0' && s.raw[s.at] <= '7'; i++ {
					n = n*8 + int(s.raw[s.at]-'0')
					s.at++
				}
				b = append(b, byte(n))
			default:
				b = append(b, e)
			}
		default:
			b = append(b, c)
		}
	}
}
