// Package say tells the program's own words from the farmer's, so that the
// first can be put into another language and the second are left alone.
//
// Packages below templates name their figures and tables in English. That
// English text is itself the key under which a words file has its translation.
// An untyped constant becomes a Text by itself, so a label is written as before;
// a text that the farmer wrote is no constant, and has to be marked with Own
// before it can stand where a Text is expected.
package say

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// A Text is something that a reader is told: the program's own words, or the
// farmer's, or words with others put in. The empty Text says nothing.
//
// What follows | in a constant is not shown. It keeps apart what is one word in
// English and two elsewhere: "May" the month and "May|short", its short form.
type Text string

// How a Text begins that is not just the program's words.
const (
	own  = '\x01' // the farmer's words
	num  = '\x04' // a number: its decimals, a colon and its digits
	with = '\x02' // a pattern and what is put in, each behind its length
	mid  = '\x03' // another Text, as it stands in the midst of a sentence
)

// Own marks words of the farmer's, which stay as they are in every language.
func Own(text string) Text {
	if text == "" {
		return ""
	}
	return Text(own) + Text(text)
}

// With puts something into the program's words wherever they have %s, or %[2]s
// for the second. An argument is a Text, or a string or number that stays as it
// is.
func With(words Text, args ...any) Text {
	var b strings.Builder
	b.WriteByte(with)
	frame := func(text string) {
		b.WriteString(strconv.Itoa(len(text)))
		b.WriteByte(':')
		b.WriteString(text)
	}
	frame(string(words))
	for _, arg := range args {
		if text, ok := arg.(Text); ok {
			frame(string(text))
		} else {
			frame(string(Own(fmt.Sprint(arg))))
		}
	}
	return Text(b.String())
}

// Number is a number with so many decimals, written as the language does.
func Number(x float64, decimals int) Text {
	return Text(num) + Text(strconv.Itoa(decimals)+":"+strconv.FormatFloat(x, 'g', -1, 64))
}

// Mid makes a text fit for the midst of a sentence, or after a colon: English
// gives it a small letter there. The text is a Text or a string of the farmer's.
func Mid[T Text | string](text T) Text {
	switch t := any(text).(type) {
	case Text:
		if t == "" {
			return ""
		}
		return Text(mid) + t
	default:
		return Mid(Own(string(text)))
	}
}

// A Language puts the program's words into a language.
type Language interface {
	// Word returns the translation of a text of the program's; false if it has
	// none, and then the English text stands.
	Word(english string) (string, bool)
	// Mid fits a text for the midst of a sentence.
	Mid(text string) string
	// Number writes a number with so many decimals.
	Number(x float64, decimals int) string
}

// String returns the text in English.
func (t Text) String() string { return t.In(English) }

// In returns the text in a language; nil is English.
func (t Text) In(l Language) string {
	if l == nil {
		l = English
	}
	if t == "" {
		return ""
	}
	switch t[0] {
	case own:
		return string(t[1:])
	case num:
		decimals, digits, _ := strings.Cut(string(t[1:]), ":")
		n, _ := strconv.Atoi(decimals)
		x, _ := strconv.ParseFloat(digits, 64)
		return l.Number(x, n)
	case mid:
		return l.Mid(t[1:].In(l))
	case with:
		frames := t.frames()
		args := make([]any, len(frames)-1)
		for i, arg := range frames[1:] {
			args[i] = arg.In(l)
		}
		return fmt.Sprintf(frames[0].In(l), args...)
	}
	if text, ok := l.Word(string(t)); ok {
		return text
	}
	text, _, _ := strings.Cut(string(t), "|")
	return text
}

// Keys calls visit with each text of the program's own that a Text holds.
func (t Text) Keys(visit func(english string)) {
	switch {
	case t == "" || t[0] == own || t[0] == num:
	case t[0] == mid:
		t[1:].Keys(visit)
	case t[0] == with:
		for _, part := range t.frames() {
			part.Keys(visit)
		}
	default:
		visit(string(t))
	}
}

// frames takes what With made apart: the pattern, then what is put in.
func (t Text) frames() []Text {
	var frames []Text
	for rest := t[1:]; rest != ""; {
		size, after, _ := strings.Cut(string(rest), ":")
		n, _ := strconv.Atoi(size)
		frames = append(frames, Text(after[:n]))
		rest = Text(after[n:])
	}
	return frames
}

// English is the language of the program's own words.
var English Language = english{}

type english struct{}

func (english) Word(string) (string, bool) { return "", false }

// Mid gives a text a small first letter, unless it begins with an abbreviation.
func (english) Mid(text string) string { return LowerFirst(text) }

func (english) Number(x float64, decimals int) string {
	return strconv.FormatFloat(x, 'f', decimals, 64)
}

// LowerFirst gives a text a small first letter, unless its second is a capital
// too or a digit, as in an abbreviation.
func LowerFirst(text string) string {
	r := []rune(text)
	if len(r) == 0 {
		return text
	}
	if len(r) > 1 && (unicode.IsUpper(r[1]) || unicode.IsDigit(r[1])) {
		return text
	}
	return string(unicode.ToLower(r[0])) + string(r[1:])
}

// Months are the names of the months, and ShortMonths their short forms, from
// January on.
var (
	Months = [12]Text{"January", "February", "March", "April", "May", "June",
		"July", "August", "September", "October", "November", "December"}
	ShortMonths = [12]Text{"Jan|short", "Feb|short", "Mar|short", "Apr|short", "May|short", "Jun|short",
		"Jul|short", "Aug|short", "Sep|short", "Oct|short", "Nov|short", "Dec|short"}
)
