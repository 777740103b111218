package templates

import (
	"rickyard/templates/tree"
)

// look lists what is possible but hardly meant: first what nobody has said is so,
// then what is answered in the data.
func (m *maker) look() *tree.Element {
	if len(m.Warnings) == 0 {
		return nil
	}
	open, answered := tree.E("dl"), tree.E("dl")
	for _, w := range m.Warnings {
		into, said := open, w.Remedy
		if w.Answer != "" {
			into, said = answered, w.Answer
		}
		entry := tree.E("div.def", tree.E("dt", txt(upperFirst(w.Message))), tree.E("dd", tree.E("code", txt(w.Span.Position().String()))))
		if said != "" {
			entry.Add(tree.E("dd", txt(upperFirst(said))))
		}
		into.Add(entry)
	}
	article := tree.E("article.chapter.back-matter", tree.ID("look"), tree.E("h1", txt(m.words.Say("look"))), tree.E("p", txt(m.words.Say("look_why"))))
	if len(open.Kids) > 0 {
		article.Add(tree.E("section.glossary", open))
	}
	if len(answered.Kids) > 0 {
		article.Add(tree.E("section.glossary", tree.E("h2", txt(m.words.Say("look_answered"))), answered))
	}
	return article
}

// lookPage writes what to look at.
func (m *maker) lookPage() {
	body := m.look()
	if body == nil {
		return
	}
	d := m.newFrame(m.words.Say("look"))
	d.Description = m.words.Say("look_gloss")
	d.Body = tree.Nodes{body}
	d.Parts = m.parts(-1, (*made).href, m.back()...)
	m.write("look.html", d)
}
