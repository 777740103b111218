package templates

import (
	"rickyard/calc/figures"
	"rickyard/content"
	"rickyard/templates/tree"
)

// calc is a worked table. Its roles are spelled out, for a narrow screen sets
// its rows as blocks, which would hide that it is a table.
func (p *page) calc(block *content.CalcBlock) tree.Nodes {
	id := p.id("calc")
	table := tree.E("table.calc", tree.A("role", "table"))
	if block.Title != nil {
		table.Add(tree.A("aria-labelledby", id+"-c"), tree.E("caption", tree.ID(id+"-c"), tree.E("span", p.line(block.Title))))
	} else {
		table.Add(tree.A("aria-label", p.words.Say("how")))
	}
	head := func(class, word string) *tree.Element {
		return tree.E("th", tree.A("scope", "col"), tree.A("role", "columnheader"), tree.Class(class), txt(p.words.Say(word)))
	}
	rows := tree.E("tbody", tree.A("role", "rowgroup"))
	table.Add(tree.E("thead", tree.A("role", "rowgroup"), tree.E("tr", tree.A("role", "row"), head("", "figure"), head("", "how"), head("n", "result"))), rows)
	for i, line := range block.Work {
		if row := p.calcLine(line); row != nil {
			if i > 0 && i == len(block.Work)-1 {
				row.AddClass("answer")
			}
			rows.Add(row)
		}
	}
	return tree.Nodes{tree.E("div.calc-block", table, tree.E("p.as-shown", txt(p.words.Say("rounded"))))}
}

func (p *page) calcLine(line *content.CalcLine) *tree.Element {
	f := p.Graph.Lookup(line.Full)
	if f == nil {
		return nil // its error is reported by the graph
	}
	row := tree.E("tr", tree.A("role", "row"))
	if !p.together || p.paper != nil {
		row.Set("id", "w-"+f.Name)
		p.rows[f.Name] = true
	}
	if p.paper != nil {
		p.paper.mention(p.paper.figures, f.Name, "w-"+f.Name, true)
	}
	how := tree.E("td.how", tree.A("role", "cell")).Add(p.worked(f)...)
	if line.Note != nil {
		how.Add(tree.E("span.note", p.line(line.Note)))
	}
	value := tree.E("td.n", tree.A("role", "cell"), p.result(f))
	if f.Type.Len > 0 {
		value.AddClass("series")
	}
	return row.Add(tree.E("th", tree.A("scope", "row"), tree.A("role", "rowheader"), txt(line.Label)), how, value)
}

// worked is how a line is worked: in words, and with the numbers put in. One that
// only takes another figure says which.
func (p *page) worked(f *figures.Figure) []tree.Part {
	if of := p.behind(f); of != f {
		return []tree.Part{tree.E("span.words", p.refer(of, p.label(of, p.scope()), true))}
	}
	how := p.speak(f)
	called := func(of *figures.Figure) string { return p.words.Mid(p.label(of, p.scope())) }
	said, put := tree.E("span.words"), tree.E("span.put")
	for _, piece := range how {
		if piece.of == nil {
			said.Add(txt(piece.text))
			put.Add(txt(piece.text))
			continue
		}
		said.Add(txt(called(piece.of)))
		put.Add(p.refer(piece.of, p.valueIn(piece.of, called), true))
	}
	if p.putIn(how, called) == "" {
		return []tree.Part{said}
	}
	return []tree.Part{said, put}
}
