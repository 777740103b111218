package leaf

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// List joins words as in a sentence: "a, b or c".
func List(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " " + last + " " + words[len(words)-1]
}

// Clip shortens a text of the user's for a message, on one line.
func Clip(text string) string {
	const most = 60
	text = strings.ToValidUTF8(strings.Join(strings.Fields(text), " "), "?")
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return '?'
		}
		return r
	}, text)
	if utf8.RuneCountInString(text) > most {
		return string([]rune(text)[:most]) + "..."
	}
	return text
}
