package chart

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Sizes of text in a chart, in CSS pixels.
const (
	TextSize   = 13
	LineHeight = 16
)

// TextWidth estimates the width of a text in CSS pixels at a size. The page's
// own font is not known when the chart is drawn, so it errs to the wide side:
// a little wider than the usual sans and serif faces of the desktop systems.
func TextWidth(s string, size float64) float64 {
	w := 0.0
	for _, r := range s {
		w += runeWidth(r)
	}
	return float64(w * size)
}

func runeWidth(r rune) float64 {
	switch {
	case r == ' ' || r == '\u00a0':
		return 0.32
	case strings.ContainsRune("ijl.,:;'|!`·", r):
		return 0.33
	case strings.ContainsRune("ftr()[]{}/\\I-\"*°–", r):
		return 0.45
	case r == 'm' || r == 'w' || r == '%' || r == '—' || r == '…':
		return 0.95
	case r == 'M' || r == 'W' || r == '@':
		return 1.0
	case r >= '0' && r <= '9':
		return 0.63
	case r < 0x2000 && unicode.Is(unicode.Mn, r):
		return 0
	case r < 0x500 && unicode.IsUpper(r):
		return 0.74
	case r < 0x500 && unicode.IsLower(r):
		return 0.61
	case r < 0x500:
		return 0.7
	case r == '−' || r == '×':
		return 0.84
	case r >= 0x2010 && r <= 0x2027:
		return 0.7
	case unicode.Is(unicode.Mn, r):
		return 0
	}
	return 1.05 // scripts with wide characters
}

// shorten cuts a text to a width, with an ellipsis.
func shorten(s string, width float64) string {
	if TextWidth(s, TextSize) <= width {
		return s
	}
	room := width - TextWidth("…", TextSize)
	w := 0.0
	for i, r := range s {
		w += float64(runeWidth(r) * TextSize)
		if w > room {
			return strings.TrimRight(s[:i], " ") + "…"
		}
	}
	return s
}

// WrapText breaks a text into at most the given number of lines of a width.
// What does not fit is cut with an ellipsis; broken tells that it was cut.
func WrapText(s string, width float64, most int) (lines []string, broken bool) {
	words := strings.Fields(s)
	line := ""
	for i, word := range words {
		joined := word
		if line != "" {
			joined = line + " " + word
		}
		if TextWidth(joined, TextSize) <= width {
			line = joined
			continue
		}
		if len(lines)+1 == most {
			rest := strings.Join(words[i:], " ")
			if line != "" {
				rest = line + " " + rest
			}
			return append(lines, shorten(rest, width)), true
		}
		if line != "" {
			lines = append(lines, line)
			if len(lines)+1 == most {
				rest := strings.Join(words[i:], " ")
				short := shorten(rest, width)
				return append(lines, short), short != rest
			}
		}
		if TextWidth(word, TextSize) > width {
			short := shorten(word, width)
			broken = true
			word = short
		}
		line = word
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines, broken
}

// upperFirst gives a name a capital.
func upperFirst(s string) string {
	r, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[size:]
}
