package templates

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/templates/tree"
)

func wrongSeries(f *figures.Figure, place source.Span) *source.Error {
	return source.Errorf(source.WrongType, place, "%s has a value for each month; one value was expected here", f.Name).
		With("write sum(...), max(...) or at(..., Apr)")
}

// result is the value of a worked line: yes or no as a mark.
func (p *page) result(f *figures.Figure) tree.Nodes {
	if _, none := p.Graph.Base().None(f); f.Type.Truth() && !none {
		return tree.Nodes{p.mark(p.Graph.Base().Holds(f))}
	}
	if f.Type.Len > 0 {
		return tree.Nodes{txt(p.shownWhole(f))}
	}
	return p.figure(f, p.shown(f))
}

func (p *page) mark(holds bool) *tree.Element {
	if holds {
		return tree.E("span.mark.pass", txt(p.words.Say("pass")))
	}
	return tree.E("span.mark.fail", txt(p.words.Say("fail")))
}

// verdict is the mark of a check, and why; one without an answer says so, and
// neither passes nor fails.
func (p *page) verdict(f *figures.Figure) (mark *tree.Element, why tree.Nodes) {
	if reason, none := p.Graph.Base().None(f); none {
		return tree.E("span.mark", tree.Text("–")), tree.Nodes{txt(p.say(reason))}
	}
	return p.mark(p.Graph.Base().Holds(f)), p.why(f)
}

// A tableMaker makes what a word shows as a table where that is no sheet; planned
// are the inputs of the enterprises that the plan runs, where all of them are
// meant.
type tableMaker func(p *page, block *content.TableBlock, planned map[string]bool, title, note tree.Nodes) tree.Nodes

// of makes a table of each enterprise that a block names.
func of(make func(p *page, s *enterprise.Spec, title, note tree.Nodes) tree.Nodes) tableMaker {
	return func(p *page, block *content.TableBlock, _ map[string]bool, title, note tree.Nodes) (nodes tree.Nodes) {
		for _, of := range block.Of {
			if s := p.enterpriseOf(of.Text); s != nil {
				nodes = append(nodes, make(p, s, title, note)...)
			}
		}
		return nodes
	}
}

// tableMakers are by the words of content.Shows; the others show sheets.
var tableMakers = map[string]tableMaker{
	"inputs": (*page).inputs,
	"checks": func(p *page, block *content.TableBlock, _ map[string]bool, title, _ tree.Nodes) tree.Nodes {
		return p.checks(block, title)
	},
	"sources": func(p *page, block *content.TableBlock, planned map[string]bool, title, _ tree.Nodes) tree.Nodes {
		return p.sources(block, planned, title)
	},
	"comparison": func(p *page, _ *content.TableBlock, _ map[string]bool, title, note tree.Nodes) tree.Nodes {
		return p.comparison(title, note)
	},
	"reading": func(p *page, _ *content.TableBlock, _ map[string]bool, title, _ tree.Nodes) tree.Nodes {
		return p.reading(title)
	},
	"ranking": func(p *page, _ *content.TableBlock, _ map[string]bool, title, note tree.Nodes) tree.Nodes {
		return p.ranking(title, note)
	},
	"summary":     of(func(p *page, s *enterprise.Spec, _, _ tree.Nodes) tree.Nodes { return p.summary(s) }),
	"living":      of((*page).living),
	"sensitivity": of((*page).swings),
}

// table shows a table block.
func (p *page) table(block *content.TableBlock) tree.Nodes {
	title, note := p.line(block.Title), p.line(block.Note)
	word := block.Show.Text
	if word == "" {
		t, ok := p.ownTable(block)
		if !ok {
			return nil
		}
		return p.sheet(t, title, note)
	}
	if show := content.ShowOf(word); len(block.Of) == 0 && show.Whole != "" {
		own := *block
		if block = &own; show.Whole == content.Planned {
			block.Of = []content.Word{{Text: content.Planned, Place: block.Show.Place}}
		} else {
			word = show.Whole
		}
	}
	block, planned := p.planned(block)
	if make := tableMakers[word]; make != nil {
		return make(p, block, planned, title, note)
	}
	names := []string{word}
	if len(block.Of) > 0 {
		names = nil
	}
	for _, of := range block.Of {
		names = append(names, word+"_"+of.Text)
	}
	var nodes tree.Nodes
	for i, name := range names {
		t, ok := p.Tables[name]
		if !ok && len(block.Of) > 0 {
			s := p.enterpriseOf(block.Of[i].Text)
			if s == nil {
				continue // a year beyond the plan's
			}
			if t, ok = enterprise.Table(word, s); !ok {
				nodes = append(nodes, p.says("show_not_run", s.Name)...)
				continue
			}
		}
		if !ok {
			p.fail(source.Errorf(source.Missing, block.Show.Place, "there is no %s to show", strings.ReplaceAll(name, "_", " ")), block.Show.Place)
			continue
		}
		nodes = append(nodes, p.sheet(&t, title, note)...)
	}
	return nodes
}

// planned puts the enterprises that are run in place of the word for them, and
// returns the inputs that they rest on as well; nil if the word is not there.
func (p *page) planned(block *content.TableBlock) (*content.TableBlock, map[string]bool) {
	at := slices.IndexFunc(block.Of, func(w content.Word) bool { return w.Text == content.Planned })
	if at < 0 || len(p.Planned) == 0 || p.enterpriseOf(content.Planned) != nil {
		return block, nil
	}
	own := *block
	own.Of = slices.Delete(slices.Clone(block.Of), at, at+1)
	inputs := map[string]bool{}
	for _, id := range p.Planned {
		own.Of = append(own.Of, content.Word{Text: id, Place: block.Of[at].Place})
		for _, result := range []string{"net_margin", "hours_by_month", "cash_by_month", "capital_needed"} {
			f := p.Graph.Lookup(id + "." + result)
			if f == nil {
				continue
			}
			for _, leaf := range f.Leaves() {
				file, _, _ := strings.Cut(leaf.Name, ".")
				if file != "infrastructure" && file != "finance" {
					inputs[leaf.Name] = true
				}
			}
		}
	}
	return &own, inputs
}

// ownTable lays out a table whose rows a chapter names.
func (p *page) ownTable(block *content.TableBlock) (*sheet.Table, bool) {
	t := &sheet.Table{Name: fmt.Sprintf("%s_table_%d", p.made.Name, p.counter["own"]+1), Title: say.Own(block.Title.Plain())}
	p.counter["own"]++
	for _, c := range block.Columns {
		t.Columns = append(t.Columns, sheet.Column{Label: say.Own(c.Label), Foots: c.Total})
	}
	single := len(block.Columns) == 0
	if single {
		t.Columns = []sheet.Column{{Foots: true}}
	}
	months := single
	var byMonth *figures.Figure // the first of a table by month, in whose unit it is
	var since []sheet.Part
	var all []sheet.Part
	ok := true
	for _, row := range block.Rows {
		r := sheet.Row{Kind: sheet.Line, Label: say.Own(row.Label)}
		switch row.Kind {
		case content.RowGroup:
			r.Kind = sheet.Head
			since = nil
		case content.RowTotal:
			r.Kind, r.Parts = sheet.Sub, since
			since = nil
		}
		for j, cell := range row.Cells {
			f := p.lookup(cell)
			if f == nil {
				ok = false
				continue
			}
			if r.Label == "" && j == 0 {
				r.Label = say.Own(p.rowLabel(row, f, single))
			}
			if single && j < len(t.Columns) && f.Type.Len == 12 {
				r.Of = f.Name
				switch {
				case byMonth == nil:
					byMonth = f
				case f.Type.Dimension != byMonth.Type.Dimension && !f.Type.Open() && !byMonth.Type.Open():
					p.errs.Add(source.Errorf(source.WrongUnit, cell.Formula, "%s can't stand by month in %s beside %s", f.Name, p.Style.Unit(byMonth.Unit, true), byMonth.Name).
						With("put it into a table of its own"))
					ok = false
				}
			} else {
				months = false
			}
			r.Cells = append(r.Cells, f.Name)
			if j < len(t.Columns) && t.Columns[j].Label == "" && !single && row.Kind == content.RowFigure {
				t.Columns[j].Label = f.Label
			}
		}
		if row.Kind == content.RowFigure {
			since = append(since, sheet.Part{Row: len(t.Rows)})
			all = append(all, sheet.Part{Row: len(t.Rows)})
		}
		t.Rows = append(t.Rows, r)
	}
	t.Months = months && len(all) > 0
	if block.Sort != "" {
		p.sort(t, block.Sort)
	}
	if block.Total != "" {
		t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Total, Label: say.Own(block.Total), Parts: all})
	}
	return t, ok
}

// rowLabel names a row: by its enterprise where columns ask it for several
// figures, else by its figure.
func (p *page) rowLabel(row *content.Row, f *figures.Figure, single bool) string {
	if !single {
		if s := p.enterpriseOf(row.Name); s != nil {
			return s.Name
		}
	}
	return p.label(f, p.scope())
}

func (p *page) sort(t *sheet.Table, how string) {
	value := func(r sheet.Row) float64 {
		if len(r.Cells) == 0 {
			return math.Inf(-1)
		}
		return p.Graph.Lookup(r.Cells[0]).Current()
	}
	sheet.Sort(t, how, value)
}

// sheet prints a table of figures.
func (p *page) sheet(t *sheet.Table, title, note tree.Nodes) tree.Nodes {
	printed, err := t.Print(p.Graph, p.Style)
	if err != nil {
		p.errs.Add(err)
		return nil
	}
	if len(title) == 0 {
		title = tree.Nodes{txt(printed.Title)}
	}
	if len(note) == 0 {
		note = tree.Join(txt(printed.Note))
	}
	if printed.Adjusted {
		if len(note) > 0 {
			note = tree.Join(note, tree.Text(" "))
		}
		note = tree.Join(note, txt(p.words.Say("adjusted")))
	}
	if !slices.ContainsFunc(t.Rows, func(r sheet.Row) bool { return r.Kind != sheet.Head && r.Kind != sheet.Total }) {
		return tree.Nodes{tree.E("p", tree.E("strong", title, tree.Text(".")), tree.Text(" "), txt(p.words.Say("nothing_listed")))}
	}
	p.csv(printed)
	switch {
	case t.Months:
		return p.monthsTable(printed, title, note)
	case t.Lines:
		return p.linesTable(printed, title, note)
	}
	return p.moneyTable(printed, title, note)
}

// captioned is a table with its caption, in a region that scrolls by itself.
func (p *page) captioned(tag, size string, title, note tree.Nodes, parts ...tree.Part) tree.Nodes {
	id := p.id("table")
	caption := tree.E("span", title)
	if len(note) > 0 {
		caption.Add(tree.Text(" "), tree.E("small", note))
	}
	table := tree.E(tag, tree.ID(id), tree.E("caption", tree.ID(id+"-c"), caption)).Add(parts...)
	return tree.Nodes{p.scrolls("scroll"+size, tree.A("aria-labelledby", id+"-c")).Add(table)}
}

// scrolls is an element that scrolls by itself, named by an attribute. It is a
// landmark, whose name must be its own; in one file several tables may share a
// title, and there it is a group.
func (p *page) scrolls(classes string, named tree.Attr) *tree.Element {
	role := "region"
	if p.together && p.paper == nil {
		role = "group"
	}
	return tree.E("div", tree.Class(classes), tree.A("role", role), named, tree.A("tabindex", "0"))
}

// numbersTable holds the numbers behind the figure with an id.
func (p *page) numbersTable(id, summary, tag string, head *tree.Element, body *tree.Element) *tree.Element {
	return tree.E("details.numbers", tree.E("summary", tree.ID(id+"-s"), txt(summary)),
		p.scrolls("scroll", tree.A("aria-labelledby", id+"-s "+id+"-c")).Add(tree.E(tag, tree.E("thead", head), body)))
}

// headCell is the head of a column.
func (p *page) headCell(class, text string) *tree.Element {
	return tree.E("th", tree.A("scope", "col"), tree.Class(class), p.headText(text))
}

// rowHead is the head of a row.
func rowHead(text string) *tree.Element {
	return tree.E("th", tree.A("scope", "row"), txt(text))
}

// groupRow is a row that heads those below it.
func groupRow(columns int, text string) *tree.Element {
	return tree.E("tr.head", tree.E("th", tree.A("scope", "rowgroup"), tree.A("colspan", strconv.Itoa(columns)), txt(text)))
}

// A rowGroups is the rows of a table, each group of them a body of its own.
type rowGroups struct {
	bodies tree.Nodes
	attrs  []tree.Part
}

// begin begins a group, unless nothing has been added to the first.
func (g *rowGroups) begin() {
	if len(g.bodies) > 0 {
		g.bodies = append(g.bodies, tree.E("tbody.group", g.attrs...))
	}
}

func (g *rowGroups) add(row *tree.Element) {
	if len(g.bodies) == 0 {
		g.bodies = tree.Nodes{tree.E("tbody", g.attrs...)}
	}
	g.bodies[len(g.bodies)-1].(*tree.Element).Add(row)
}

// sumClass is the class of a row that sums others.
var sumClass = map[sheet.RowKind]string{sheet.Sub: "sub", sheet.Total: "total"}

func (p *page) moneyTable(t *sheet.Printed, title, note tree.Nodes) tree.Nodes {
	// Where each sum stands in several columns, a page has no room for the
	// workings of the sums either.
	years := len(t.Columns) >= 5
	size := ""
	if len(t.Columns) <= 4 {
		size = " snug"
	}
	head := tree.E("tr", p.headCell("", t.Head))
	for _, text := range t.Heads {
		head.Add(p.headCell("n", text))
	}
	var rows rowGroups
	for _, row := range t.Rows {
		if row.Kind == sheet.Head {
			rows.begin()
			rows.add(groupRow(len(t.Columns)+1, row.Label))
			continue
		}
		if row.Kind == sheet.Check {
			mark := p.mark(row.Holds)
			if f := p.Graph.Lookup(row.Of); f != nil {
				mark, _ = p.verdict(f)
			}
			rows.add(tree.E("tr.check", rowHead(row.Label), tree.E("td", tree.A("colspan", strconv.Itoa(len(t.Columns))), mark)))
			continue
		}
		th := rowHead(row.Label)
		if base, _ := p.Language.Base(); row.English && base.String() != "en" {
			th.Set("lang", "en")
		}
		tr := tree.E("tr", tree.Class(sumClass[row.Kind]), th)
		for _, c := range row.Cells {
			tr.Add(tree.E("td.n", p.cell(c, row.Kind == sheet.Line || years)))
		}
		rows.add(tr)
	}
	return p.captioned("table.money", size, title, note, tree.E("thead", head), rows.bodies)
}

// linesTable is an enterprise budget. Its roles are spelled out, for a narrow
// screen sets each row as a block, which would hide that it is a table.
func (p *page) linesTable(t *sheet.Printed, title, note tree.Nodes) tree.Nodes {
	role := func(name string) tree.Attr { return tree.A("role", name) }
	head := tree.E("tr", role("row"), p.headCell("", t.Head).Add(role("columnheader")),
		p.headCell("n", p.say(t.Columns[0].Label)).Add(role("columnheader"), tree.A("colspan", "2")))
	for j, text := range t.Heads[1:] {
		if j == 0 {
			text = p.say(t.Columns[1].Label) // each price has a unit of its own
		}
		head.Add(p.headCell("n", text).Add(role("columnheader")))
	}
	rows := rowGroups{attrs: []tree.Part{role("rowgroup")}}
	for _, row := range t.Rows {
		if row.Kind == sheet.Head {
			rows.begin()
			tr := groupRow(6, row.Label).Add(role("row"))
			tr.Kids[0].(*tree.Element).Set("role", "rowheader")
			rows.add(tr)
			continue
		}
		var quantityText, unit, price string
		if f := row.Cells[0].Figure; f != nil {
			u := p.Graph.Units.Larger(f.Current(), f.Unit)
			quantityText, unit = p.Style.Figures(f.Current(), u, p.wholeStep(f.Current(), u)), p.Style.Unit(u, true)
		}
		if f := row.Cells[1].Figure; f != nil {
			price = p.shown(f)
		}
		cell := func(tag string, parts ...tree.Part) *tree.Element { return tree.E(tag, role("cell")).Add(parts...) }
		rows.add(tree.E("tr", tree.Class(sumClass[row.Kind]), role("row"), rowHead(row.Label).Add(role("rowheader")),
			cell("td.n.q", txt(quantityText)), cell("td.u", txt(unit)), cell("td.n.p", txt(price)),
			cell("td.n.amount", p.cell(row.Cells[2], row.Kind == sheet.Line)), cell("td.n.share", txt(row.Cells[3].Text))))
	}
	return p.captioned("table.money.lines", "", title, note, role("table"), tree.E("thead", role("rowgroup"), head), rows.bodies)
}

// wholeStep shows an amount of ten and more to the whole unit.
func (p *page) wholeStep(x float64, u quantity.Unit) float64 {
	if math.Abs(u.FromBase(x)) >= 10 {
		return 1
	}
	return 0
}

// cell is one value, linked to its working: that of a line, for which a page has
// no room, among those of every figure.
func (p *page) cell(c sheet.Cell, line bool) tree.Nodes {
	if c.Text == "" || c.Figure == nil || c.Figure.Type.Truth() {
		return tree.Join(txt(c.Text))
	}
	return p.refer(c.Figure, c.Text, line)
}

func (p *page) monthsTable(t *sheet.Printed, title, note tree.Nodes) tree.Nodes {
	head := tree.E("tr", p.headCell("", t.Head))
	for i := range t.Heads {
		class := "n"
		if i == len(t.Heads)-1 {
			class = "n year"
		}
		head.Add(p.headCell(class, p.month(monthAt(t, i))))
	}
	most := 0.0
	for _, row := range t.Rows {
		if row.Kind == sheet.Line {
			for m := range max(0, len(row.Cells)-1) {
				most = math.Max(most, math.Abs(row.Cells[m].Value))
			}
		}
	}
	body := tree.E("tbody")
	for _, row := range t.Rows {
		if row.Kind == sheet.Head {
			body.Add(groupRow(14, row.Label))
			continue
		}
		tr := tree.E("tr", tree.Class(sumClass[row.Kind]), rowHead(row.Label))
		for m, c := range row.Cells {
			td := tree.E("td.n")
			if m == len(row.Cells)-1 {
				td.AddClass("year")
				td.Add(p.yearCell(row, c))
			} else {
				td.Add(txt(c.Text))
				if row.Kind == sheet.Line {
					td.AddClass(heat[heatOf(c.Value, most)])
				}
			}
			tr.Add(td)
		}
		body.Add(tr)
	}
	return p.captioned("table.months", "", title, note, tree.E("thead", head), body)
}

// yearCell is the sum of a row of months, which leads to the working of them all.
func (p *page) yearCell(row sheet.PrintedRow, c sheet.Cell) tree.Nodes {
	for _, month := range append([]sheet.Cell{c}, row.Cells...) {
		if month.Figure != nil && c.Text != "" {
			return p.refer(month.Figure, c.Text, true)
		}
	}
	return tree.Join(txt(c.Text))
}

// heat are the classes of the shades of a month, nothing first.
var heat = [...]string{"h0", "h1", "h2", "h3", "h4", "h5"}

// monthAt returns the month of a column of a table of months; 12 is the year.
func monthAt(t *sheet.Printed, column int) int {
	if column >= 12 {
		return column
	}
	return (t.First + column) % 12
}

// heatOf shades a value by fifths of the largest; nothing stays white.
func heatOf(v, most float64) int {
	if v == 0 || most == 0 || math.IsNaN(v) {
		return 0
	}
	return min(5, max(1, int(math.Ceil(5*math.Abs(v)/most))))
}

// month names a month in the workbook's language; 12 is the year.
func (m *maker) month(i int) string {
	if i >= 12 {
		return m.words.Say("year")
	}
	return m.say(say.ShortMonths[i])
}

// summary is an enterprise on one page.
func (p *page) summary(s *enterprise.Spec) tree.Nodes {
	section := p.part("summary", "h2", tree.Nodes{txt(p.words.Say("on_one_page", s.Name))})
	if f := p.Graph.Lookup(s.ID + "." + s.Scale.Figure.Name); f != nil {
		section.Add(tree.E("p.scale", tree.E("strong", p.figure(f, p.shown(f))), tree.Text(". "), txt(sentence(s.About))))
	}
	measures := tree.E("dl.measures")
	for _, row := range enterprise.Measures(s) {
		if f := p.Graph.Lookup(row.Of); f != nil {
			measures.Add(tree.E("div", tree.E("dt", txt(p.say(f.Label))), tree.E("dd", p.figure(f, p.shown(f)))))
		}
	}
	t := enterprise.HoursByMonth(s)
	section.Add(measures, p.livingShort(s), p.sheet(&t, nil, nil))
	if c := p.moneyChart(s); c != nil {
		section.Add(p.draw(c, tree.Nodes{txt(p.words.Say("where_it_goes", s.Name))}, nil, s.Place))
	}
	return tree.Nodes{section}
}

// inputs lists every input of an enterprise or of the whole farm with its range,
// source and date.
func (p *page) inputs(block *content.TableBlock, more map[string]bool, title, note tree.Nodes) tree.Nodes {
	head := tree.E("tr")
	for i, word := range []string{"label", "value", "low", "high", "source", "date"} {
		class := ""
		if i >= 1 && i <= 3 {
			class = "n"
		}
		head.Add(p.headCell(class, p.words.Say(word)))
	}
	shown := func(f *figures.Figure) bool {
		return f.IsInput() && !f.Hidden && (more[f.Name] || p.within(f, block.Of))
	}
	body := tree.E("tbody")
	if more == nil {
		for _, f := range p.Graph.All() {
			if shown(f) {
				body.Add(p.inputRow(f, p.scope()))
			}
		}
		return p.captioned("table.plain", "", title, note, tree.E("thead", head), body)
	}
	// What a plan rests on is long, so it stands under the files' names. How a
	// cost is shared out among the enterprises says nothing of the world.
	var files []string
	byFile := map[string][]*figures.Figure{}
	for _, f := range p.Graph.All() {
		file, _, _ := strings.Cut(f.Name, ".")
		if !shown(f) || strings.Contains(f.Name, ".used_by.") || strings.Contains(f.Name, ".shared.") {
			continue
		}
		if byFile[file] == nil {
			files = append(files, file)
		}
		byFile[file] = append(byFile[file], f)
	}
	for _, file := range files {
		heading, _ := p.group(byFile[file][0])
		body.Add(groupRow(6, heading))
		for _, f := range byFile[file] {
			body.Add(p.inputRow(f, file))
		}
	}
	return p.captioned("table.plain", "", title, note, tree.E("thead", head), body)
}

func (p *page) inputRow(f *figures.Figure, scope string) *tree.Element {
	bound := func(x *float64) *tree.Element {
		if x == nil {
			return tree.E("td.n")
		}
		return tree.E("td.n", txt(p.Style.Text(*x, f.Unit, f.Step)))
	}
	value := tree.E("td", txt(p.shownWhole(f)))
	if f.Type.Len == 0 { // twelve values need more than a line
		value.AddClass("n")
	}
	return tree.E("tr", rowHead(p.label(f, scope)), value, bound(f.Low), bound(f.High), tree.E("td", txt(p.say(f.Source))), tree.E("td", txt(p.asOf(f))))
}

// within reports whether a figure belongs to one of the names asked for.
func (p *page) within(f *figures.Figure, of []content.Word) bool {
	if len(of) == 0 {
		return true
	}
	for _, w := range of {
		if f.Name == w.Text || strings.HasPrefix(f.Name, w.Text+".") {
			return true
		}
	}
	return false
}

// checks lists every yes-or-no figure and whether it holds.
func (p *page) checks(block *content.TableBlock, title tree.Nodes) tree.Nodes {
	list := tree.E("ul")
	for _, f := range p.Graph.All() {
		if f.Type.Truth() && f.Type.Len == 0 && !f.Hidden && !f.IsInput() && p.within(f, block.Of) {
			mark, why := p.verdict(f)
			list.Add(checked(mark, txt(p.label(f, p.scope())), why))
		}
	}
	return tree.Nodes{p.part("checks", p.section(), title).Add(list)}
}

// why says the figure of a check and what is asked of it: how many of several
// hold, or the value with its limit.
func (p *page) why(f *figures.Figure) tree.Nodes {
	called := func(of *figures.Figure) string { return p.words.Mid(p.label(of, p.scope())) }
	if f.Formula == nil {
		return nil
	}
	r := reader{maker: p.maker, of: f}
	part := f.Formula.Read()
	if all, hold := p.conditions(part); all > 1 {
		if all == hold {
			return phrase(p.words.Say("all_hold"), p.words.inWords(all))
		}
		return phrase(p.words.Say("some_hold"), p.words.inWords(hold), p.words.inWords(all))
	}
	asked := map[string]string{">=": "asked_least", "<=": "asked_most", ">": "asked_more", "<": "asked_less", "is": "asked_is", "is not": "asked_is_not"}[part.Op]
	if asked == "" {
		return tree.Join(txt(p.putIn(p.speak(f), called)))
	}
	if part.Args[0].Op == "abs" || part.Op == "is" && p.flag(part.Args[0]) {
		return nil // a sum that comes out at nought, or a yes: the mark says it all
	}
	side := func(of formula.Reading) string {
		s := r.say(of, bindSum)
		if len(s) == 1 && s[0].of != nil {
			return p.inSentence(s[0].of)
		}
		if put := p.putIn(s, called); put != "" {
			return put
		}
		return inWords(s, called)
	}
	return phrase(p.words.Say(asked), side(part.Args[0]), side(part.Args[1]))
}

// flag reports whether a part of a check is a figure that is 1 for yes and 0 for
// no.
func (p *page) flag(part formula.Reading) bool {
	return part.Op == "name" && strings.HasSuffix(part.Name.Full, ".found")
}

// conditions counts the yes-or-no figures that a check joins, and those that
// hold; 0 if it is no row of such figures.
func (p *page) conditions(part formula.Reading) (all, hold int) {
	switch part.Op {
	case "and":
		for _, a := range part.Args {
			n, m := p.conditions(a)
			if n == 0 {
				return 0, 0
			}
			all, hold = all+n, hold+m
		}
	case "name":
		if f := p.Graph.Lookup(part.Name.Full); f != nil && f.Type.Truth() {
			all = 1
			if p.Graph.Base().Holds(f) {
				hold = 1
			}
		}
	}
	return all, hold
}

// checked is a line of a list of checks: a mark, what it is of, and why.
func checked(mark *tree.Element, what tree.Text, why tree.Nodes) *tree.Element {
	return tree.E("li", mark, tree.Text(" "), tree.E("span.what", what), tree.Text(" "), tree.E("span.why", why))
}

// sources lists every source that an input names, once.
func (p *page) sources(block *content.TableBlock, more map[string]bool, title tree.Nodes) tree.Nodes {
	var order []string
	labels := map[string][]string{}
	for _, f := range p.Graph.All() {
		if !f.IsInput() || f.Source == "" || !more[f.Name] && !p.within(f, block.Of) {
			continue
		}
		text := sentence(p.say(f.Source))
		if f.AsOf != "" {
			text += " " + p.words.Say("as_of", p.asOf(f))
		}
		if labels[text] == nil {
			order = append(order, text)
		}
		labels[text] = append(labels[text], p.words.Mid(p.label(f, "")))
	}
	list := tree.E("ol")
	for _, text := range order {
		list.Add(tree.E("li", txt(text), tree.Text(" "), tree.E("span.why", txt(p.words.Say("used_in", strings.Join(labels[text], "; "))))))
	}
	return tree.Nodes{p.part("sources", p.section(), title).Add(list)}
}
