package tree

import (
	"strings"
	"unicode/utf8"
)

// HTML writes nodes as HTML.
func HTML(nodes ...Node) string {
	var w writer
	w.nodes(nodes, false)
	return w.b.String()
}

// XHTML writes nodes as well-formed XML: HTML's own elements, and SVG.
func XHTML(nodes ...Node) string {
	w := writer{xml: true}
	w.nodes(nodes, false)
	return w.b.String()
}

type writer struct {
	b   strings.Builder
	xml bool
}

// void elements have no end tag in HTML.
var void = map[string]bool{"br": true, "col": true, "hr": true, "img": true, "input": true, "link": true, "meta": true, "wbr": true}

func (w *writer) nodes(nodes []Node, svg bool) {
	for _, n := range nodes {
		switch n := n.(type) {
		case Text:
			w.escape(string(n), false)
		case Drawn:
			w.b.WriteString(string(n))
		case *Element:
			w.element(n, svg || n.Name == "svg")
		}
	}
}

func (w *writer) element(e *Element, svg bool) {
	w.b.WriteByte('<')
	w.b.WriteString(e.Name)
	for _, a := range e.Attrs {
		w.b.WriteByte(' ')
		w.b.WriteString(a.Key)
		w.b.WriteString(`="`)
		w.escape(a.Value, true)
		w.b.WriteByte('"')
	}
	switch {
	case len(e.Kids) == 0 && (svg || w.xml && void[e.Name]):
		w.b.WriteString("/>")
		return
	case void[e.Name] && !w.xml:
		w.b.WriteByte('>')
		return
	}
	w.b.WriteByte('>')
	if !w.xml && (e.Name == "script" || e.Name == "style") {
		for _, k := range e.Kids {
			if t, ok := k.(Text); ok {
				w.b.WriteString(Code(string(t)))
			}
		}
	} else {
		w.nodes(e.Kids, svg)
	}
	w.b.WriteString("</" + e.Name + ">")
}

// Code is a script or a style as it is written in HTML, where it is read without
// entities and would end at its first </, which both languages let be written
// another way within the strings where it can stand.
func Code(text string) string {
	return strings.ReplaceAll(strings.ReplaceAll(text, "</", `<\/`), "<!--", `<\!--`)
}

// escape writes text. What XML allows in no document is left out.
func (w *writer) escape(text string, attribute bool) {
	last := 0
	for i := 0; i < len(text); {
		r, n := rune(text[i]), 1
		if r >= utf8.RuneSelf {
			r, n = utf8.DecodeRuneInString(text[i:])
		}
		with := ""
		switch {
		case r == '&':
			with = "&amp;"
		case r == '<':
			with = "&lt;"
		case r == '>':
			with = "&gt;"
		case r == '"' && attribute:
			with = "&#34;"
		case r == '\n' && attribute && w.xml:
			with = "&#10;"
		case r < ' ' && r != '\n' && r != '\t', r == 0x7f, r == 0xfffe, r == 0xffff, r == utf8.RuneError && n == 1:
		default:
			i += n
			continue
		}
		w.b.WriteString(text[last:i])
		w.b.WriteString(with)
		i += n
		last = i
	}
	w.b.WriteString(text[last:])
}
