package main

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"html"
	"io"
	"slices"
	"strings"

	"github.com/tdewolff/parse/v2"
	lex "github.com/tdewolff/parse/v2/html"
)

// An element is an element of a page, or if it has no name a piece of text.
type element struct {
	name   string
	attr   map[string]string
	text   string // of a piece of text
	inside []*element
	parent *element
}

// A parsedPage is a page of a workbook as a tree.
type parsedPage struct {
	root *element
	all  []*element // every element, in order; no texts
	ids  map[string]*element
}

// Elements that have no end tag.
var void = map[string]bool{"area": true, "base": true, "br": true, "col": true, "embed": true, "hr": true, "img": true,
	"input": true, "link": true, "meta": true, "source": true, "track": true, "wbr": true}

// parsePage reads a page strictly: every element is closed where it should be,
// no attribute and no id comes twice.
func parsePage(raw []byte) (*parsedPage, error) {
	p := &parsedPage{root: &element{}, ids: map[string]*element{}}
	at := p.root
	l := lex.NewLexer(parse.NewInput(bytes.NewReader(raw)))
	var open *element
	add := func(e *element) {
		e.parent = at
		at.inside = append(at.inside, e)
	}
	for {
		kind, data := l.Next()
		switch kind {
		case lex.ErrorToken:
			if err := l.Err(); !errors.Is(err, io.EOF) {
				return nil, err
			}
			if at != p.root {
				return nil, fmt.Errorf("<%s> is never closed", at.name)
			}
			return p, nil
		case lex.StartTagToken:
			open = &element{name: string(l.Text()), attr: map[string]string{}}
			add(open)
			p.all = append(p.all, open)
			at = open
		case lex.AttributeToken:
			name := string(l.AttrKey())
			value := string(l.AttrVal())
			if n := len(value); n >= 2 && (value[0] == '"' || value[0] == '\'') && value[n-1] == value[0] {
				value = value[1 : n-1]
			}
			value = html.UnescapeString(value)
			if _, twice := open.attr[name]; twice {
				return nil, fmt.Errorf("<%s> has the attribute %s twice", open.name, name)
			}
			open.attr[name] = value
			if name == "id" {
				if p.ids[value] != nil || value == "" || strings.ContainsAny(value, " \t\n") {
					return nil, fmt.Errorf("the id %q is there twice, or is none", value)
				}
				p.ids[value] = open
			}
		case lex.StartTagCloseToken:
			if void[at.name] {
				at = at.parent
			}
		case lex.StartTagVoidToken: // <path/>, in SVG
			at = at.parent
		case lex.EndTagToken:
			if name := string(l.Text()); name != at.name {
				return nil, fmt.Errorf("</%s> closes <%s>", name, at.name)
			}
			at = at.parent
		case lex.TextToken:
			add(&element{text: html.UnescapeString(string(data))})
		case lex.SVGToken, lex.MathToken:
			// Given as a whole: read what is in it as markup of its own.
			if err := p.drawing(data, at); err != nil {
				return nil, err
			}
		case lex.CommentToken:
			return nil, fmt.Errorf("a comment is left in the page: %.60s", data)
		}
	}
}

// drawing reads an SVG as the XML that it must also be, to stand in a file of
// its own.
func (p *parsedPage) drawing(raw []byte, at *element) error {
	d := xml.NewDecoder(bytes.NewReader(raw))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("in a drawing: %w", err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := &element{name: token.Name.Local, attr: map[string]string{}, parent: at}
			for _, a := range token.Attr {
				e.attr[a.Name.Local] = a.Value
				if a.Name.Local == "id" {
					if p.ids[a.Value] != nil {
						return fmt.Errorf("the id %q is there twice", a.Value)
					}
					p.ids[a.Value] = e
				}
			}
			at.inside = append(at.inside, e)
			p.all = append(p.all, e)
			at = e
		case xml.EndElement:
			at = at.parent
		case xml.CharData:
			at.inside = append(at.inside, &element{text: string(token), parent: at})
		}
	}
}

// texts is all text in an element.
func (e *element) texts() string {
	if e.name == "" {
		return e.text
	}
	var b strings.Builder
	for _, c := range e.inside {
		b.WriteString(c.texts())
	}
	return b.String()
}

// has reports whether the element carries a class.
func (e *element) has(class string) bool {
	return slices.Contains(strings.Fields(e.attr["class"]), class)
}

// find lists the elements of a name in e, in order.
func (e *element) find(name string) []*element {
	var found []*element
	for _, c := range e.inside {
		if c.name == name {
			found = append(found, c)
		}
		found = append(found, c.find(name)...)
	}
	return found
}

// within reports whether e stands in an element of a name.
func (e *element) within(name string) bool {
	for p := e.parent; p != nil; p = p.parent {
		if p.name == name {
			return true
		}
	}
	return false
}
