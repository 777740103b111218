package templates

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
	"rickyard/calc/source"
	"rickyard/content"
)

func wrongSeries(f *figures.Figure, place source.Span) *source.Error {
	return source.Errorf(source.WrongType, place, "%s has a value for each month; one value was expected here", f.Name).
		With("write sum(...), max(...) or at(..., Apr)")
}

// result writes the value of a worked line: yes or no as a mark.
func (p *page) result(f *figures.Figure) string {
	if f.Type.Truth {
		return p.mark(p.Graph.Base().Holds(f))
	}
	if f.Type.Len > 0 {
		texts := make([]string, f.Type.Len)
		for i, x := range f.Months() {
			texts[i] = p.Style.Figures(x, f.Unit, f.Step)
		}
		return esc(strings.Join(texts, " ") + " " + p.Style.Unit(f.Unit, true))
	}
	return p.figure(f, p.shown(f))
}

func (p *page) mark(holds bool) string {
	if holds {
		return `<span class="mark pass">` + esc(p.words.Say("pass")) + "</span>"
	}
	return `<span class="mark fail">` + esc(p.words.Say("fail")) + "</span>"
}

// table writes a table block.
func (p *page) table(block *content.TableBlock) string {
	title := p.line(block.Title)
	note := p.line(block.Note)
	block, planned := p.planned(block)
	if block.Show.Text == "" {
		t, ok := p.ownTable(block)
		if !ok {
			return ""
		}
		return p.sheet(t, title, note)
	}
	word := block.Show.Text
	var b strings.Builder
	switch word {
	case "inputs":
		return p.inputs(block, planned, title, note)
	case "checks":
		return p.checks(block, title)
	case "sources":
		return p.sources(block, planned, title)
	}
	if html, ok := p.compareTable(block, title, note); ok {
		return html
	}
	if len(block.Of) == 0 {
		t, ok := p.Tables[word]
		if !ok {
			p.fail(source.Errorf(source.UnknownRef, block.Show.Place, "there is nothing to show for %s without of", word).
				With("name an enterprise: of: broilers"), block.Show.Place)
			return ""
		}
		return p.sheet(&t, title, note)
	}
	for _, of := range block.Of {
		if t, ok := p.Tables[word+"_"+of.Text]; ok {
			b.WriteString(p.sheet(&t, title, note))
			continue
		}
		s, ok := p.enterpriseAt(of)
		if !ok {
			continue
		}
		if word == "summary" {
			b.WriteString(p.summary(s))
			continue
		}
		if t, ok := enterprise.Table(word, s); ok {
			b.WriteString(p.sheet(&t, title, note))
		} else {
			p.fail(source.Errorf(source.UnknownRef, block.Show.Place, "%s is not shown for one enterprise", word).With("leave of out"), block.Show.Place)
		}
	}
	return b.String()
}

// plannedWord stands for all enterprises that the plan runs.
const plannedWord = "planned"

// planned puts the enterprises that are run in place of the word for them, and
// returns the inputs that they rest on as well; nil if the word is not there.
func (p *page) planned(block *content.TableBlock) (*content.TableBlock, map[string]bool) {
	at := slices.IndexFunc(block.Of, func(w content.Word) bool { return w.Text == plannedWord })
	if at < 0 || len(p.Planned) == 0 || p.enterpriseOf(plannedWord) != nil {
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

func (p *page) enterpriseAt(of content.Word) (*enterprise.Spec, bool) {
	if s := p.enterpriseOf(of.Text); s != nil {
		return s, true
	}
	err := source.Errorf(source.UnknownRef, of.Place, "no enterprise is called %s", of.Text)
	var known []string
	for _, s := range p.Enterprises {
		known = append(known, s.ID)
	}
	if near := source.Nearest(of.Text, known); near != "" {
		err.With("did you mean %s?", near)
	}
	p.fail(err, of.Place)
	return nil, false
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
func (p *page) sheet(t *sheet.Table, title, note string) string {
	printed, err := t.Print(p.Graph, p.Style)
	if err != nil {
		p.errs.Add(err)
		return ""
	}
	if title == "" {
		title = esc(printed.Title)
	}
	if note == "" {
		note = esc(printed.Note)
	}
	if printed.Adjusted {
		note = strings.TrimSpace(note + " " + esc(p.words.Say("adjusted")))
	}
	if !slices.ContainsFunc(t.Rows, func(r sheet.Row) bool { return r.Kind != sheet.Head && r.Kind != sheet.Total }) {
		return "<p><strong>" + title + ".</strong> " + esc(p.words.Say("nothing_listed")) + "</p>\n"
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

// tableStart opens a table in a region that scrolls by itself.
func (p *page) tableStart(b *strings.Builder, class, size, title, note string) {
	id := p.id("table")
	if note != "" {
		note = " <small>" + note + "</small>"
	}
	role := ""
	if class == "money lines" {
		role = ` role="table"` // its rows turn to blocks on a narrow screen
	}
	fmt.Fprintf(b, `%s<table class="%s"%s id="%s"><caption id="%[4]s-c"><span>%[5]s%[6]s</span></caption>`+"\n",
		p.scrolls("scroll"+size, id+"-c"), class, role, id, title, note)
}

// scrolls opens an element that scrolls by itself, named by those with the
// given ids.
func (p *page) scrolls(class, labelledBy string) string {
	return p.scrollsNamed(class, `aria-labelledby="`+labelledBy+`"`)
}

// scrollsNamed opens an element that scrolls by itself. It is a landmark, whose
// name must be its own; in one file several tables may share a title, and
// there it is a group.
func (p *page) scrollsNamed(class, name string) string {
	role := "region"
	if p.together && p.paper == nil {
		role = "group"
	}
	return fmt.Sprintf(`<div class="%s" role="%s" %s tabindex="0">`, class, role, name)
}

// numbersStart opens the table of numbers behind the figure with an id.
func (p *page) numbersStart(id, summary, class string) string {
	return fmt.Sprintf(`<details class="numbers"><summary id="%s-s">%s</summary>%s<table class="%s"><thead><tr>`,
		id, esc(summary), p.scrolls("scroll", id+"-s "+id+"-c"), class)
}

const tableEnd = "</tbody></table></div>\n"

func (p *page) moneyTable(t *sheet.Printed, title, note string) string {
	// Where each sum stands in several columns, a page has no room for the
	// workings of the sums either.
	years := len(t.Columns) >= 5
	var b strings.Builder
	size := ""
	if len(t.Columns) <= 4 {
		size = " snug"
	}
	p.tableStart(&b, "money", size, title, note)
	fmt.Fprintf(&b, `<thead><tr><th scope="col">%s</th>`, p.headText(t.Head))
	for _, head := range t.Heads {
		fmt.Fprintf(&b, `<th scope="col" class="n">%s</th>`, p.headText(head))
	}
	b.WriteString("</tr></thead>\n<tbody>")
	for i, row := range t.Rows {
		if row.Kind == sheet.Head {
			if i > 0 {
				b.WriteString("</tbody>\n<tbody class=\"group\">")
			}
			fmt.Fprintf(&b, `<tr class="head"><th scope="rowgroup" colspan="%d">%s</th></tr>`+"\n", len(t.Columns)+1, esc(row.Label))
			continue
		}
		if row.Kind == sheet.Check {
			fmt.Fprintf(&b, `<tr class="check"><th scope="row">%s</th><td colspan="%d">%s</td></tr>`+"\n", esc(row.Label), len(t.Columns), p.mark(row.Holds))
			continue
		}
		class := map[sheet.RowKind]string{sheet.Sub: ` class="sub"`, sheet.Total: ` class="total"`}[row.Kind]
		foreign := ""
		if base, _ := p.Language.Base(); row.English && base.String() != "en" {
			foreign = ` lang="en"`
		}
		fmt.Fprintf(&b, `<tr%s><th scope="row"%s>%s</th>`, class, foreign, esc(row.Label))
		for _, c := range row.Cells {
			b.WriteString(`<td class="n">` + p.cell(c, row.Kind == sheet.Line || years) + "</td>")
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString(tableEnd)
	return b.String()
}

// linesTable writes an enterprise budget. Its roles are spelled out, for a
// narrow screen sets each row as a block, which would hide that it is a table.
func (p *page) linesTable(t *sheet.Printed, title, note string) string {
	var b strings.Builder
	p.tableStart(&b, "money lines", "", title, note)
	fmt.Fprintf(&b, `<thead role="rowgroup"><tr role="row"><th scope="col" role="columnheader">%s</th><th scope="col" role="columnheader" class="n" colspan="2">%s</th>`, esc(t.Head), esc(p.say(t.Columns[0].Label)))
	for j, head := range t.Heads[1:] {
		if j == 0 {
			head = p.say(t.Columns[1].Label) // each price has a unit of its own
		}
		fmt.Fprintf(&b, `<th scope="col" role="columnheader" class="n">%s</th>`, esc(head))
	}
	b.WriteString("</tr></thead>\n<tbody role=\"rowgroup\">")
	for i, row := range t.Rows {
		if row.Kind == sheet.Head {
			if i > 0 {
				b.WriteString("</tbody>\n<tbody class=\"group\" role=\"rowgroup\">")
			}
			fmt.Fprintf(&b, `<tr class="head" role="row"><th scope="rowgroup" colspan="6" role="rowheader">%s</th></tr>`+"\n", esc(row.Label))
			continue
		}
		class := map[sheet.RowKind]string{sheet.Sub: ` class="sub"`, sheet.Total: ` class="total"`}[row.Kind]
		fmt.Fprintf(&b, `<tr%s role="row"><th scope="row" role="rowheader">%s</th>`, class, esc(row.Label))
		var quantityText, unit, price string
		if f := row.Cells[0].Figure; f != nil {
			u := p.Graph.Units.Larger(f.Current(), f.Unit)
			quantityText, unit = p.Style.Figures(f.Current(), u, p.wholeStep(f.Current(), u)), p.Style.Unit(u, true)
		}
		if f := row.Cells[1].Figure; f != nil {
			price = p.shown(f)
		}
		line := row.Kind == sheet.Line
		fmt.Fprintf(&b, `<td class="n q" role="cell">%s</td><td class="u" role="cell">%s</td><td class="n p" role="cell">%s</td><td class="n amount" role="cell">%s</td><td class="n share" role="cell">%s</td></tr>`+"\n",
			esc(quantityText), esc(unit), esc(price), p.cell(row.Cells[2], line), esc(row.Cells[3].Text))
	}
	b.WriteString(tableEnd)
	return b.String()
}

// wholeStep shows an amount of ten and more to the whole unit.
func (p *page) wholeStep(x float64, u quantity.Unit) float64 {
	if math.Abs(u.FromBase(x)) >= 10 {
		return 1
	}
	return 0
}

// cell writes one value, linked to its working: that of a line, for which a
// page has no room, among those of every figure.
func (p *page) cell(c sheet.Cell, line bool) string {
	if c.Text == "" {
		return ""
	}
	if c.Figure == nil || c.Figure.Type.Truth {
		return esc(c.Text)
	}
	if line && p.paper != nil {
		return esc(c.Text)
	}
	if line && !p.linked[c.Figure.Name] && !p.together {
		return fmt.Sprintf(`<a href="figures.html#f-%s">%s</a>`, esc(c.Figure.Name), esc(c.Text))
	}
	return p.figure(c.Figure, c.Text)
}

func (p *page) monthsTable(t *sheet.Printed, title, note string) string {
	var b strings.Builder
	p.tableStart(&b, "months", "", title, note)
	fmt.Fprintf(&b, `<thead><tr><th scope="col">%s</th>`, p.headText(t.Head))
	for i := range t.Heads {
		class := "n"
		if i == len(t.Heads)-1 {
			class = "n year"
		}
		fmt.Fprintf(&b, `<th scope="col" class="%s">%s</th>`, class, esc(p.month(monthAt(t, i))))
	}
	b.WriteString("</tr></thead>\n<tbody>")
	most := 0.0
	for _, row := range t.Rows {
		if row.Kind == sheet.Line {
			for m := range max(0, len(row.Cells)-1) {
				most = math.Max(most, math.Abs(row.Cells[m].Value))
			}
		}
	}
	for _, row := range t.Rows {
		if row.Kind == sheet.Head {
			fmt.Fprintf(&b, `<tr class="head"><th scope="rowgroup" colspan="14">%s</th></tr>`+"\n", esc(row.Label))
			continue
		}
		class := map[sheet.RowKind]string{sheet.Sub: ` class="sub"`, sheet.Total: ` class="total"`}[row.Kind]
		fmt.Fprintf(&b, `<tr%s><th scope="row">%s</th>`, class, esc(row.Label))
		for m, c := range row.Cells {
			heat := ""
			if m == len(row.Cells)-1 {
				heat = " year"
			} else if row.Kind == sheet.Line {
				heat = fmt.Sprintf(" h%d", heatOf(c.Value, most))
			}
			fmt.Fprintf(&b, `<td class="n%s">%s</td>`, heat, esc(c.Text))
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString(tableEnd)
	return b.String()
}

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
func (p *page) month(i int) string {
	if i >= 12 {
		return p.words.Say("year")
	}
	return p.say(say.ShortMonths[i])
}

// summary writes an enterprise on one page.
func (p *page) summary(s *enterprise.Spec) string {
	var b strings.Builder
	id := p.id("summary")
	fmt.Fprintf(&b, "<section class=\"summary\" aria-labelledby=\"%s\"><h2 id=\"%[1]s\">%s</h2>\n", id, esc(p.words.Say("on_one_page", s.Name)))
	if f := p.Graph.Lookup(s.ID + "." + s.Scale.Figure.Name); f != nil {
		fmt.Fprintf(&b, "<p class=\"scale\"><strong>%s</strong>. %s</p>\n", p.figure(f, p.shown(f)), esc(sentence(s.About)))
	}
	b.WriteString("<dl class=\"measures\">")
	for _, row := range enterprise.Measures(s) {
		f := p.Graph.Lookup(row.Of)
		if f == nil {
			continue
		}
		fmt.Fprintf(&b, "<div><dt>%s</dt><dd>%s</dd></div>\n", esc(p.say(f.Label)), p.figure(f, p.shown(f)))
	}
	b.WriteString("</dl>\n")
	b.WriteString(p.livingShort(s))
	t := enterprise.HoursByMonth(s)
	b.WriteString(p.sheet(&t, "", ""))
	if c := p.moneyChart(s); c != nil {
		b.WriteString(p.draw(c, esc(c.Title), "", s.Place))
	}
	b.WriteString("</section>\n")
	return b.String()
}

// inputs writes every input of an enterprise or of the whole farm with its
// range, source and date.
func (p *page) inputs(block *content.TableBlock, more map[string]bool, title, note string) string {
	var b strings.Builder
	p.tableStart(&b, "plain", "", title, note)
	b.WriteString("<thead><tr>")
	for i, word := range []string{"label", "value", "low", "high", "source", "date"} {
		class := ""
		if i >= 1 && i <= 3 {
			class = ` class="n"`
		}
		fmt.Fprintf(&b, `<th scope="col"%s>%s</th>`, class, esc(p.words.Say(word)))
	}
	b.WriteString("</tr></thead>\n<tbody>")
	shown := func(f *figures.Figure) bool {
		return f.IsInput() && !f.Hidden && (more[f.Name] || p.within(f, block.Of))
	}
	row := func(f *figures.Figure, scope string) {
		bound := func(x *float64) string {
			if x == nil {
				return ""
			}
			return esc(p.Style.Text(*x, f.Unit, f.Step))
		}
		class := ` class="n"`
		if f.Type.Len > 0 {
			class = "" // twelve values need more than a line
		}
		fmt.Fprintf(&b, `<tr><th scope="row">%s</th><td%s>%s</td><td class="n">%s</td><td class="n">%s</td><td>%s</td><td>%s</td></tr>`+"\n",
			esc(p.label(f, scope)), class, esc(p.shownSeries(f)), bound(f.Low), bound(f.High), esc(p.say(f.Source)), esc(p.asOf(f)))
	}
	if more == nil {
		for _, f := range p.Graph.All() {
			if shown(f) {
				row(f, p.scope())
			}
		}
		b.WriteString(tableEnd)
		return b.String()
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
		fmt.Fprintf(&b, `<tr class="head"><th scope="rowgroup" colspan="6">%s</th></tr>`+"\n", esc(heading))
		for _, f := range byFile[file] {
			row(f, file)
		}
	}
	b.WriteString(tableEnd)
	return b.String()
}

func (p *page) shownSeries(f *figures.Figure) string {
	if f.Type.Len == 0 {
		return p.shown(f)
	}
	texts := make([]string, 0, f.Type.Len)
	for _, x := range f.Months() {
		texts = append(texts, p.Style.Figures(x, f.Unit, f.Step))
	}
	return strings.Join(texts, " ") + " " + p.Style.Unit(f.Unit, true)
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

// checks writes every yes-or-no figure and whether it holds.
func (p *page) checks(block *content.TableBlock, title string) string {
	var b strings.Builder
	id := p.id("checks")
	fmt.Fprintf(&b, "<section class=\"checks\" aria-labelledby=\"%s\"><%[3]s id=\"%[1]s\">%[2]s</%[3]s><ul>\n", id, title, p.section())
	for _, f := range p.Graph.All() {
		if !f.Type.Truth || f.Type.Len > 0 || f.Hidden || !p.within(f, block.Of) {
			continue
		}
		fmt.Fprintf(&b, `<li>%s <span class="what">%s</span> <span class="why">%s</span></li>`+"\n", p.mark(p.Graph.Base().Holds(f)), esc(p.label(f, p.scope())), p.numbers(f))
	}
	b.WriteString("</ul></section>\n")
	return b.String()
}

// sources writes every source that an input names, once.
func (p *page) sources(block *content.TableBlock, more map[string]bool, title string) string {
	var b strings.Builder
	id := p.id("sources")
	fmt.Fprintf(&b, "<section class=\"sources\" aria-labelledby=\"%s\"><%[3]s id=\"%[1]s\">%[2]s</%[3]s><ol>\n", id, title, p.section())
	type entry struct {
		text   string
		labels []string
	}
	var order []string
	byText := map[string]*entry{}
	for _, f := range p.Graph.All() {
		if !f.IsInput() || f.Source == "" || !more[f.Name] && !p.within(f, block.Of) {
			continue
		}
		text := sentence(p.say(f.Source))
		if f.AsOf != "" {
			text += " " + p.words.Say("as_of", p.asOf(f))
		}
		if byText[text] == nil {
			byText[text] = &entry{text: text}
			order = append(order, text)
		}
		byText[text].labels = append(byText[text].labels, p.words.Mid(p.label(f, "")))
	}
	for _, text := range order {
		e := byText[text]
		fmt.Fprintf(&b, "<li>%s <span class=\"why\">%s</span></li>\n", esc(e.text), esc(p.words.Say("used_in", strings.Join(e.labels, "; "))))
	}
	b.WriteString("</ol></section>\n")
	return b.String()
}
