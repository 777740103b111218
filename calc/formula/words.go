package formula

import (
	"strings"

	"rickyard/calc/quantity"
)

// A Piece is a part of a formula as it is read on a page: a mention of a
// figure, a number with its unit, or other text.
type Piece struct {
	Name     *Name
	Quantity *quantity.Quantity
	Text     string
	Reason   bool // Text is a reason that none gives
	Month    bool // Text is a month
	To       bool // Text stands between two months: Apr to Oct
}

// Pieces cuts the formula, without its `as`, into what a page shows. Joined
// with figures' labels in place of names they read as the formula in words;
// with values, as the sum that a reader can follow with a pencil.
func (f *Formula) Pieces() []Piece {
	var pieces []Piece
	text := func(s string) {
		if n := len(pieces); n > 0 && pieces[n-1].Name == nil && pieces[n-1].Quantity == nil && !pieces[n-1].Reason && !pieces[n-1].Month && !pieces[n-1].To {
			pieces[n-1].Text += s
			return
		}
		pieces = append(pieces, Piece{Text: s})
	}
	names := f.names
	operand := false // whether an operand has just ended, so that - subtracts
	for i, t := range f.tokens {
		switch {
		case t.kind == tokEnd, t.kind == tokKeyword && t.text == "as":
			return pieces
		case t.kind == tokNumber:
			pieces = append(pieces, Piece{Quantity: &f.tokens[i].value, Text: t.text})
		case t.kind == tokName && f.tokens[i+1].text == "(" && f.tokens[i+1].kind == tokMark:
			text(strings.ReplaceAll(t.text, "_", " "))
		case t.kind == tokName:
			pieces = append(pieces, Piece{Name: names[0]})
			names = names[1:]
		case t.kind == tokKeyword && t.text == "not":
			text("not ")
		case t.kind == tokKeyword && (t.text == "if" || t.text == "none"):
			text(t.text)
		case t.kind == tokKeyword:
			text(" " + t.text + " ")
		case t.kind == tokText:
			pieces = append(pieces, Piece{Text: t.text, Reason: true})
		case t.kind == tokMonth:
			pieces = append(pieces, Piece{Text: t.text, Month: true})
		case t.text == "(" || t.text == ")":
			text(t.text)
		case t.text == ",":
			text(", ")
		case t.text == "..":
			pieces = append(pieces, Piece{Text: "to", To: true})
		case !operand:
			text(map[string]string{"-": "−", "+": ""}[t.text])
		case t.text == "^":
			text("^")
		default:
			text(" " + printed.Replace(t.text) + " ")
		}
		operand = t.kind == tokNumber || t.kind == tokName || t.kind == tokMonth || t.text == ")"
	}
	return pieces
}

// printed turns typed operators into those of print.
var printed = strings.NewReplacer("<=", "≤", ">=", "≥", "*", "×", "/", "÷", "-", "−")

// Bare returns the mention of a figure that is the whole formula, or nil.
func (f *Formula) Bare() *Name {
	if n, ok := f.root.(*nameNode); ok {
		return n.name
	}
	return nil
}
