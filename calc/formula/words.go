package formula

import "rickyard/calc/quantity"

// A Reading is a formula, or a part of one, for whoever says it in words. Op says
// what it is: "name" for a mention of a figure, "number", "months" for Apr or
// Apr..Oct, "text", "none" with its reason as Text; else an operator as it is
// typed (with "neg" for a sign, "not", "is not"), or the name of a function.
type Reading struct {
	Op          string
	Name        *Name
	Quantity    quantity.Quantity
	Text        string
	First, Last int // months, from 0
	Args        []Reading
}

// Read returns the formula, without its `as`, to be said in words.
func (f *Formula) Read() Reading { return read(f.root) }

func read(n node) Reading {
	switch n := n.(type) {
	case *numberNode:
		return Reading{Op: "number", Quantity: n.value}
	case *nameNode:
		return Reading{Op: "name", Name: n.name}
	case *textNode:
		return Reading{Op: "text", Text: n.text}
	case *monthsNode:
		return Reading{Op: "months", First: n.first, Last: n.last}
	case *noneNode:
		return Reading{Op: "none", Text: n.why}
	case *unaryNode:
		return Reading{Op: map[string]string{"-": "neg", "not": "not"}[n.op], Args: []Reading{read(n.x)}}
	case *binaryNode:
		return Reading{Op: n.op.text, Args: []Reading{read(n.x), read(n.y)}}
	}
	call := n.(*callNode)
	r := Reading{Op: call.name}
	for _, a := range call.args {
		r.Args = append(r.Args, read(a))
	}
	return r
}

// Bare returns the mention of a figure that is the whole formula, or nil.
func (f *Formula) Bare() *Name {
	if n, ok := f.root.(*nameNode); ok {
		return n.name
	}
	return nil
}
