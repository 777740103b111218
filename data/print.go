package data

import (
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// A Part is a list of chapters that are built, printed or bound by themselves.
type Part struct {
	Name     string
	Label    string
	Place    source.Span
	Chapters []PartChapter // in the order in which the part has them
}

// A PartChapter names a chapter of a part.
type PartChapter struct {
	Name  string
	Place source.Span
}

// A Print is how the book is printed and bound. Its figures, where given, are
// farm.print.width and .height (of a leaf after trimming), .margin_inner,
// .margin_outer, .margin_top, .margin_bottom, .paper_grammage (mass per area),
// .paper_bulk (volume per mass) or .paper_caliper (length),
// .cover_grammage, .cover_bleed, .board, .cloth, .endpaper, .overhang, .hinge
// and .turn_in (lengths), and farm.print.postage.<id> (mass).
type Print struct {
	Size    string // one of the sizes known by name, or ""
	Binding string // paperback or case
	Postage []PostageStep
	Place   source.Span // zero if farm.yaml has no print
}

// A PostageStep is a weight up to which a parcel costs the same.
type PostageStep struct {
	ID    string
	Label string
	Place source.Span
}

// printSizes are the trim sizes that have a name.
var printSizes = []string{"A4", "A5", "A6", "B5", "B6", "letter", "half_letter"}

var (
	wantLength = &want{name: "length", what: "a length", example: "156 mm", unit: otherUnit, fits: fixed(quantity.Length), most: 100, limits: "0 to 100 m"}
	wantLeaf   = &want{name: "leaf", what: "a length", example: "156 mm", unit: otherUnit, fits: fixed(quantity.Length),
		least: 0.07, most: 1.2, limits: "70 mm to 1200 mm"}
	wantGrammage = &want{name: "grammage", what: "the weight of an area of paper", example: "90 g/m2", unit: otherUnit,
		fits: fixed(quantity.Mass.Div(quantity.Area)), most: 2, above: true, limits: "more than 0, at most 2000 g/m2"}
	wantBulk = &want{name: "bulk", what: "the volume of a weight of paper", example: "1.3 cm3/g", unit: otherUnit,
		fits: fixed(quantity.Volume.Div(quantity.Mass)), most: 0.01, above: true, limits: "more than 0, at most 10 cm3/g"}
	wantThick = &want{name: "thickness", what: "a thickness", example: "0.11 mm", unit: otherUnit, fits: fixed(quantity.Length),
		most: 0.01, above: true, limits: "more than 0, at most 10 mm"}
	wantMass = &want{name: "mass", what: "a weight", example: "750 g", unit: otherUnit, fits: fixed(quantity.Mass),
		most: anyLimit, above: true, limits: "more than 0"}
)

var partsField = &field{key: "parts", doc: "Parts of the book that are built, printed or bound by themselves, each under a name of your choice: a list of chapters.",
	is: tableShape("parts of the book", "A part: its chapters, by name.", "%s", nameRule,
		&shape{form: listForm, noun: "a list of chapters", example: "[goal, start_up]", of: textShape})}

var printField = &field{key: "print", doc: "How the book is printed and bound.", is: &shape{form: recordForm, noun: "the print", fields: []*field{
	{key: "trim", doc: "The size of a leaf after trimming: A4 (the default), another size by its name, or a width and a height.", is: &shape{form: eitherForm,
		noun: "a trim size", example: "{width: 156 mm, height: 234 mm}", short: choiceShape(printSizes...),
		long: &shape{form: recordForm, noun: "a trim size", fields: []*field{
			{key: "width", need: true, doc: "The width, as 156 mm.", is: leafShape(wantLeaf)},
			{key: "height", need: true, doc: "The height, as 234 mm.", is: leafShape(wantLeaf)},
		}}}},
	{key: "margins", doc: "The white around the text.", is: &shape{form: recordForm, noun: "margins", fields: []*field{
		{key: "inner", say: "inner margin", doc: "At the spine, as 22 mm.", is: leafShape(wantLength)},
		{key: "outer", say: "outer margin", doc: "At the fore-edge, as 16 mm.", is: leafShape(wantLength)},
		{key: "top", say: "top margin", doc: "At the head, as 20 mm.", is: leafShape(wantLength)},
		{key: "bottom", say: "bottom margin", doc: "At the foot, as 20 mm.", is: leafShape(wantLength)},
	}}},
	{key: "binding", doc: "How the leaves are held: paperback (the default) or case.", is: choiceShape("paperback", "case")},
	{key: "paper", doc: "The paper of the leaves: its grammage, and its bulk or the caliper of one sheet.", is: &shape{form: recordForm, noun: "the paper",
		example: "{grammage: 90 g/m2, bulk: 1.3 cm3/g}", fields: []*field{
			{key: "grammage", doc: "What a square metre weighs, as 90 g/m2.", is: leafShape(wantGrammage)},
			{key: "bulk", doc: "Its volume by weight, from the mill's data sheet, as 1.3 cm3/g.", is: leafShape(wantBulk)},
			{key: "caliper", doc: "The thickness of one sheet, as 0.11 mm.", is: leafShape(wantThick)},
		}, ways: [][]string{{"grammage", "bulk"}, {"grammage", "caliper"}}}},
	{key: "cover", doc: "The cover.", is: &shape{form: recordForm, noun: "the cover", fields: []*field{
		{key: "grammage", doc: "What a square metre of the cover weighs, as 300 g/m2; for a case, board and cloth together.", is: leafShape(wantGrammage)},
		{key: "bleed", doc: "What the printer trims off around the cover, as 3 mm.", is: leafShape(wantLength)},
		{key: "board", doc: "The thickness of a case's boards, as 2 mm.", is: leafShape(wantThick)},
		{key: "cloth", doc: "The thickness of a case's cloth or paper, as 0.3 mm.", is: leafShape(wantThick)},
		{key: "endpaper", doc: "The thickness of an endpaper, as 0.15 mm.", is: leafShape(wantThick)},
		{key: "overhang", doc: "How far a case's boards stand over the leaves, as 3 mm.", is: leafShape(wantLength)},
		{key: "hinge", doc: "The groove between a case's board and spine, as 8 mm.", is: leafShape(wantLength)},
		{key: "turn_in", doc: "How far a case's cloth is folded round the boards, as 15 mm.", is: leafShape(wantLength)},
	}}},
	{key: "postage", doc: "The weights up to which a parcel costs the same, each under a name of your choice.",
		is: tableShape("postage steps", "The most that a parcel of this step may weigh.", "%s", nameRule, leafShape(wantMass))},
}}}

// print reads what farm.yaml says of parts and of printing.
func (p *page) print(parts, v *value) {
	for _, e := range parts.all() {
		part := Part{Name: e.key, Label: label(e.key), Place: e.keySpan}
		seen := map[string]bool{}
		for _, c := range e.all() {
			if c.failed != nil || c.text == "" {
				continue
			}
			if seen[c.text] {
				p.fail(source.Duplicate, c.span, "the part %s already has the chapter %s", e.key, leaf.Clip(c.text)).With("name each chapter once")
				continue
			}
			seen[c.text] = true
			part.Chapters = append(part.Chapters, PartChapter{c.text, c.span})
		}
		if len(part.Chapters) == 0 && !e.broken && e.failed == nil {
			p.fail(source.Missing, e.keySpan, "the part %s has no chapters", e.key).With("list their names, as %s: [goal, start_up]", e.key)
		}
		p.farm.Parts = append(p.farm.Parts, part)
	}
	p.farm.Print = Print{Binding: "paperback"}
	if v == nil {
		return
	}
	f := &p.farm.Print
	f.Place = v.keySpan
	if word := v.str("binding"); word != "" {
		f.Binding = word
	}
	trim, margins, paper, cover := v.get("trim"), v.get("margins"), v.get("paper"), v.get("cover")
	if trim != nil {
		f.Size = trim.text
	}
	p.input("print.width", "Width of a leaf", trim.get("width"))
	p.input("print.height", "Height of a leaf", trim.get("height"))
	for _, side := range []string{"inner", "outer", "top", "bottom"} {
		p.input("print.margin_"+side, marginLabels[side], margins.get(side))
	}
	p.input("print.paper_grammage", "Grammage of the book's paper", paper.get("grammage"))
	p.input("print.paper_bulk", "Bulk of the book's paper", paper.get("bulk"))
	p.input("print.paper_caliper", "Caliper of the book's paper", paper.get("caliper"))
	p.input("print.cover_grammage", "Grammage of the cover", cover.get("grammage"))
	p.input("print.cover_bleed", "Bleed of the cover", cover.get("bleed"))
	p.input("print.board", "Board of the case", cover.get("board"))
	p.input("print.cloth", "Cloth of the case", cover.get("cloth"))
	p.input("print.endpaper", "Endpaper", cover.get("endpaper"))
	p.input("print.overhang", "Overhang of the boards", cover.get("overhang"))
	p.input("print.hinge", "Hinge of the case", cover.get("hinge"))
	p.input("print.turn_in", "Turn-in of the cloth", cover.get("turn_in"))
	for _, e := range v.get("postage").all() {
		step := PostageStep{ID: e.key, Label: label(e.key), Place: e.keySpan}
		if e.leaf != nil && e.leaf.label != "" {
			step.Label = e.leaf.label
		}
		if p.input("print.postage."+e.key, say.With("Postage: %s, up to", say.Mid(step.Label)), e) {
			f.Postage = append(f.Postage, step)
		}
	}
}

var marginLabels = map[string]say.Text{
	"inner": "Inner margin of a page", "outer": "Outer margin of a page", "top": "Top margin of a page", "bottom": "Bottom margin of a page",
}
