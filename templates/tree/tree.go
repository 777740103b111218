// Package tree holds what a page is made of: elements, texts and drawings. Its
// two writers, of HTML and of XHTML, escape by themselves, so nobody else does.
package tree

import "strings"

// A Node is a part of a page: an *Element, a Text or a Drawn.
type Node interface{ node() }

// A Text is plain text.
type Text string

// A Drawn is a picture as SVG that is written as it stands: a chart that the
// chart script drew. No other node is written without being escaped.
type Drawn string

// An Element is an element of HTML or of SVG.
type Element struct {
	Name  string
	Attrs []Attr
	Kids  []Node
}

// An Attr is an attribute of an element. One without a key is none.
type Attr struct{ Key, Value string }

// Attrs are attributes that belong together.
type Attrs []Attr

// Nodes are nodes that follow one another.
type Nodes []Node

func (Text) node()     {}
func (Drawn) node()    {}
func (*Element) node() {}

// A Part is what an element is put together from: an attribute, or a node or
// several that stand in it. A nil element is nothing.
type Part interface{ join(*Element) }

func (a Attr) join(e *Element) {
	switch {
	case a.Key == "":
	case a.Key == "class":
		e.AddClass(a.Value)
	default:
		e.Attrs = append(e.Attrs, a)
	}
}

func (a Attrs) join(e *Element) {
	for _, one := range a {
		one.join(e)
	}
}

func (t Text) join(e *Element) {
	if t != "" {
		e.Kids = append(e.Kids, t)
	}
}

func (d Drawn) join(e *Element) { e.Kids = append(e.Kids, d) }
func (n Nodes) join(e *Element) { e.Kids = append(e.Kids, n...) }
func (k *Element) join(e *Element) {
	if k != nil {
		e.Kids = append(e.Kids, k)
	}
}

// E makes an element. Its tag may carry classes, as in td.n.total.
func E(tag string, parts ...Part) *Element {
	name, classes, _ := strings.Cut(tag, ".")
	e := &Element{Name: name}
	if classes != "" {
		e.Attrs = append(e.Attrs, Attr{"class", strings.ReplaceAll(classes, ".", " ")})
	}
	return e.Add(parts...)
}

// Add puts more into an element, and returns it.
func (e *Element) Add(parts ...Part) *Element {
	for _, p := range parts {
		if p != nil {
			p.join(e)
		}
	}
	return e
}

// Join makes nodes of parts; attributes among them are dropped.
func Join(parts ...Part) Nodes { return new(Element).Add(parts...).Kids }

// A makes an attribute.
func A(key, value string) Attr { return Attr{key, value} }

// ID makes an attribute that names its element; none for "".
func ID(id string) Attr { return optional("id", id) }

// Class makes an attribute of further classes; none for "".
func Class(names string) Attr { return optional("class", names) }

// Href makes an attribute that leads to an address.
func Href(to string) Attr { return Attr{"href", to} }

func optional(key, value string) Attr {
	if value == "" {
		return Attr{}
	}
	return Attr{key, value}
}

// Get returns the value of an attribute, "" if it is not there.
func (e *Element) Get(key string) string {
	for _, a := range e.Attrs {
		if a.Key == key {
			return a.Value
		}
	}
	return ""
}

// Has reports whether an element has an attribute.
func (e *Element) Has(key string) bool {
	for _, a := range e.Attrs {
		if a.Key == key {
			return true
		}
	}
	return false
}

// Set gives an attribute a value, and makes it if need be.
func (e *Element) Set(key, value string) {
	for i := range e.Attrs {
		if e.Attrs[i].Key == key {
			e.Attrs[i].Value = value
			return
		}
	}
	e.Attrs = append(e.Attrs, Attr{key, value})
}

// AddClass gives an element further classes, parted by blanks.
func (e *Element) AddClass(names string) {
	if old := e.Get("class"); old != "" {
		names = old + " " + names
	}
	e.Set("class", names)
}

// Is reports whether an element has a class.
func (e *Element) Is(class string) bool {
	for _, name := range strings.Fields(e.Get("class")) {
		if name == class {
			return true
		}
	}
	return false
}

// Walk visits nodes and all that is in them, in the order of the page. Where
// visit returns false, what is in an element is left out.
func Walk(nodes []Node, visit func(Node) bool) {
	for _, n := range nodes {
		if e, ok := n.(*Element); visit(n) && ok {
			Walk(e.Kids, visit)
		}
	}
}

// Elements visits all elements among nodes, in the order of the page.
func Elements(nodes []Node, visit func(*Element)) {
	Walk(nodes, func(n Node) bool {
		if e, ok := n.(*Element); ok {
			visit(e)
		}
		return true
	})
}

// Plain is the text of nodes without their elements, each run of blanks as one.
func Plain(nodes ...Node) string {
	var b strings.Builder
	Walk(nodes, func(n Node) bool {
		if t, ok := n.(Text); ok {
			b.WriteString(string(t))
		}
		return true
	})
	return strings.Join(strings.Fields(b.String()), " ")
}
