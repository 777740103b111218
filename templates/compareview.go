package templates

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/portable"
	"rickyard/calc/risk"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
	"rickyard/content"
	"rickyard/templates/chart"
	"rickyard/templates/tree"
)

// compareChart draws enterprises side by side, or what moves one of them; ok is
// false if the block asks for something else.
func (p *page) compareChart(block *content.ChartBlock) (nodes tree.Nodes, ok bool) {
	draw := func(c *chart.Chart) tree.Nodes {
		if c == nil {
			return p.says("compare_nothing", p.targetText())
		}
		c.Kind, c.Alt = chart.Kind(block.Shape), block.Alt
		return p.draw(c, p.line(block.Title), p.line(block.Note), block.Place)
	}
	switch block.Show.Text {
	case "sensitivity":
		for _, of := range block.Of {
			if s := p.enterpriseOf(of.Text); s != nil {
				nodes = append(nodes, draw(p.swingChart(s))...)
			}
		}
		return nodes, true
	case "comparison":
		payers := p.payers()
		if len(payers) == 0 {
			return draw(nil), true
		}
		make := map[chart.Kind]func([]payer) *chart.Chart{chart.Points: p.landAndCapital, chart.Heat: p.hoursSideBySide, chart.Bars: p.hourlyReturns, chart.Stack: p.shareOut}
		return draw(make[chart.Kind(block.Shape)](payers)), true
	}
	return nil, false
}

// says is a paragraph of the program's own words.
func (p *page) says(word string, args ...any) tree.Nodes {
	return tree.Nodes{tree.E("p", phrase(p.words.Say(word), args...))}
}

// A payer is an enterprise that can pay the target income, with the set of
// figures that tells how: by the owners alone if they can.
type payer struct {
	*enterprise.Spec
	word string
}

func (p *page) payers() []payer {
	var payers []payer
	for i := range p.Enterprises {
		s := &p.Enterprises[i]
		for _, word := range []string{enterprise.LivingWord, enterprise.LivingHiredWord} {
			if f := p.Graph.Lookup(s.ID + "." + word + ".found"); f != nil && f.Current() == 1 {
				payers = append(payers, payer{s, word})
				break
			}
		}
	}
	return payers
}

func (p *page) measure(of payer, name string) *figures.Figure {
	return p.Graph.Lookup(of.ID + "." + of.word + "." + name)
}

// value is a measure in base units, NaN where it has no answer.
func (p *page) value(of payer, name string) float64 {
	if f := p.measure(of, name); f != nil {
		return f.Current()
	}
	return math.NaN()
}

func (p *page) targetText() string {
	if f := p.Graph.Lookup(enterprise.Target); f != nil {
		return p.shown(f)
	}
	return p.say("–")
}

// comparison is the table of all enterprises at the same income.
func (p *page) comparison(title, note tree.Nodes) tree.Nodes {
	payers := p.payers()
	var nodes tree.Nodes
	if len(payers) > 0 {
		names := []string{"scale", "land", "capital_needed", "hours", "hired_hours", "peak_hours", "return_per_hour", "margin_per_hectare", "payback", "winter_income"}
		t := sheet.Table{Name: "comparison", Title: p.own("compare_title"), Head: p.own("compare_enterprise")}
		for _, name := range names {
			t.Columns = append(t.Columns, sheet.Column{Label: p.compared(name)})
		}
		for _, of := range payers {
			row := sheet.Row{Kind: sheet.Line, Label: say.Own(of.Name)}
			for _, name := range names {
				row.Cells = append(row.Cells, of.ID+"."+of.word+"."+name)
			}
			t.Rows = append(t.Rows, row)
		}
		nodes = p.sortable(&t, title, note)
	}
	return tree.Join(nodes, p.othersAtBest(), p.cannotPay())
}

// others are the enterprises that can't pay, at the scale that leaves the most.
func (p *page) others() []payer {
	var others []payer
	payers := p.payers()
	for i := range p.Enterprises {
		of := payer{&p.Enterprises[i], enterprise.AtBestWord}
		if f := p.measure(of, "found"); f != nil && f.Current() == 1 && !slices.ContainsFunc(payers, func(other payer) bool { return other.Spec == of.Spec }) {
			others = append(others, of)
		}
	}
	return others
}

// othersAtBest is the table of the enterprises that can't pay, each at the
// scale at which it leaves the most.
func (p *page) othersAtBest() tree.Nodes {
	names := []string{"scale", "net_margin", "part", "land", "capital_needed", "hours", "hired_hours", "peak_hours", "return_per_hour", "winter_income"}
	t := sheet.Table{Name: "comparison_others", Title: p.own("compare_others", p.targetText()), Head: p.own("compare_enterprise")}
	for _, name := range names {
		t.Columns = append(t.Columns, sheet.Column{Label: p.compared(name)})
	}
	for _, of := range p.others() {
		row := sheet.Row{Kind: sheet.Line, Label: say.Own(of.Name)}
		for _, name := range names {
			row.Cells = append(row.Cells, of.ID+"."+of.word+"."+name)
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return p.sortable(&t, phrase(p.words.Say("compare_others", p.targetText())), phrase(p.words.Say("compare_others_note")))
}

// sortable prints a table of lines that a reader can sort by any column.
func (p *page) sortable(t *sheet.Table, title, note tree.Nodes) tree.Nodes {
	printed, err := t.Print(p.Graph, p.Style)
	if err != nil {
		p.errs.Add(err)
		return nil
	}
	p.csv(printed)
	body := tree.E("tbody")
	for _, row := range printed.Rows {
		tr := tree.E("tr", rowHead(row.Label))
		for _, c := range row.Cells {
			// What has no answer sorts last.
			key := math.Inf(1)
			if c.Figure != nil && !math.IsNaN(c.Value) {
				key = c.Figure.Current()
			}
			tr.Add(sortCell(key, p.cell(c, true)))
		}
		body.Add(tr)
	}
	return p.captioned("table.money.sortable", "", title, note, p.headRow(printed.Head, printed.Heads), body)
}

func (p *page) headRow(first string, heads []string) *tree.Element {
	row := tree.E("tr", p.headCell("", first))
	for _, head := range heads {
		row.Add(p.headCell("n", head))
	}
	return tree.E("thead", row)
}

func sortCell(key float64, nodes tree.Nodes) *tree.Element {
	text := "Infinity"
	if !math.IsInf(key, 0) && !math.IsNaN(key) {
		text = fmt.Sprintf("%g", key)
	}
	return tree.E("td.n", tree.A("data-v", text), nodes)
}

// cannotPay lists the enterprises that reach the target at no scale, and why.
func (p *page) cannotPay() *tree.Element {
	payers := p.payers()
	list := tree.E("ul")
	for i := range p.Enterprises {
		s := &p.Enterprises[i]
		f := p.Graph.Lookup(s.ID + ".living_hired.scale")
		if f == nil || slices.ContainsFunc(payers, func(of payer) bool { return of.Spec == s }) {
			continue
		}
		reason, _ := p.Graph.Base().None(f)
		list.Add(checked(tree.E("span.mark.fail", txt(p.words.Say("compare_cannot_mark"))), txt(s.Name), tree.Join(txt(sentence(p.say(reason))))))
	}
	if len(list.Kids) == 0 {
		return nil
	}
	return p.part("checks", p.section(), phrase(p.words.Say("compare_cannot", p.targetText()))).Add(list)
}

// living is what it takes one enterprise to earn the target, or why it can't.
func (p *page) living(s *enterprise.Spec, title, note tree.Nodes) tree.Nodes {
	own, help := payer{s, enterprise.LivingWord}, payer{s, enterprise.LivingHiredWord}
	scale := p.measure(own, "scale")
	if scale == nil {
		return nil
	}
	ownWhy, ownNone := p.Graph.Base().None(scale)
	helpWhy, helpNone := p.Graph.Base().None(p.measure(help, "scale"))
	ownReason, helpReason := p.say(ownWhy), p.say(helpWhy)
	var nodes tree.Nodes
	if !ownNone || !helpNone {
		t := p.livingTable(own, help, ownNone, helpNone, tree.Plain(title...))
		nodes = p.sheet(&t, title, note)
	}
	switch {
	case ownNone && helpNone && ownReason == helpReason:
		nodes = append(nodes, p.says("living_none", p.targetText(), ownReason)...)
	case ownNone:
		nodes = append(nodes, p.says("living_owners_none", p.targetText(), ownReason)...)
		if helpNone {
			nodes = append(nodes, p.says("living_hired_none", helpReason)...)
		}
	case helpNone:
		nodes = append(nodes, p.says("living_hired_none", helpReason)...)
	}
	for _, of := range p.payers() {
		if of.Spec == s {
			for _, text := range p.beyond(of) {
				nodes = append(nodes, tree.E("p", text))
			}
		}
	}
	return nodes
}

// livingTable sets what it takes by the owners alone beside what it takes with
// help.
func (p *page) livingTable(own, help payer, ownNone, helpNone bool, title string) sheet.Table {
	t := sheet.Table{Name: own.ID + "_living", Title: say.Own(title), Head: p.own("living_measure")}
	var words []string
	for _, of := range []payer{own, help} {
		if of.word == enterprise.LivingWord && ownNone || of.word == enterprise.LivingHiredWord && helpNone {
			continue
		}
		// With no hours to hire, the two answers are one.
		if len(words) > 0 && p.value(own, "scale") == p.value(help, "scale") {
			continue
		}
		words = append(words, of.word)
		t.Columns = append(t.Columns, sheet.Column{Label: p.own(of.word)})
	}
	for _, name := range []string{"scale", "net_margin", "land", "capital_needed", "hours", "hired_hours", "peak_hours", "return_per_hour", "margin_per_hectare", "payback", "break_even_price", "below"} {
		if name == "break_even_price" && p.measure(own, name) == nil {
			continue
		}
		row := sheet.Row{Kind: sheet.Line, Label: p.compared(name)}
		for _, word := range words {
			row.Cells = append(row.Cells, own.ID+"."+word+"."+name)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// compared is what a measure is called in a comparison.
func (p *page) compared(name string) say.Text {
	if name == "margin_per_hectare" {
		_, word := p.Graph.Units.Land()
		return p.own("compare_"+name, p.say(word))
	}
	return p.own("compare_" + name)
}

// show is a measure in a sentence, its unit in words.
func (p *page) show(of payer, name string) tree.Nodes {
	f := p.measure(of, name)
	return p.figure(f, p.inSentence(f))
}

// inSentence writes a value as in a sentence: hours, and what is per hour or
// per hectare, in words.
func (m *maker) inSentence(f *figures.Figure) string {
	if _, none := m.Graph.Base().None(f); none {
		return m.words.Say("none_text")
	}
	unit := f.Unit
	if m.grows(f) {
		unit = m.Graph.Units.Larger(f.Current(), unit)
	}
	hour := m.Graph.Units.Must("h")
	money := m.Graph.Units.Money()
	switch {
	case unit.String() == hour.String():
		if number := m.Style.Figures(f.Current(), unit, f.Step); number == "1" {
			return m.words.Say("hour_words", number)
		} else {
			return m.words.Say("hours_words", number)
		}
	case unit.String() == money.Per(hour).String():
		return m.words.Say("per_hour_words", m.Style.Text(f.Current()*hour.ToBase(1), money, f.Step))
	}
	return m.shown(f)
}

// inWords writes a number up to twelve as a word.
func (w *Words) inWords(n int) string {
	if words := strings.Fields(w.text["numbers_words"]); n >= 0 && n < len(words) {
		return words[n]
	}
	return w.Number(float64(n), 0)
}

// livingShort tells in a sentence what it takes one enterprise to earn the
// target, or why it can't.
func (p *page) livingShort(s *enterprise.Spec) tree.Nodes {
	for _, of := range p.payers() {
		if of.Spec != s {
			continue
		}
		nodes := p.says("living_short", p.targetText(), p.list(p.needs(of)))
		for _, more := range p.beyond(of) {
			nodes = append(nodes, tree.E("p", more))
		}
		return nodes
	}
	f := p.measure(payer{s, enterprise.LivingHiredWord}, "scale")
	if f == nil {
		return nil
	}
	reason, _ := p.Graph.Base().None(f)
	return p.says("living_none", p.targetText(), p.say(reason))
}

// needs lists what an enterprise needs to earn the target. Nought is a word, and
// land is left out where the scale is itself an area.
func (p *page) needs(of payer) []tree.Nodes {
	needs := []tree.Nodes{p.show(of, "scale")}
	var without []tree.Nodes
	switch land := p.measure(of, "land"); {
	case land.Current() == 0:
		without = append(without, phrase(p.words.Say("needs_no_land")))
	case p.measure(of, "scale").Type.Dimension != land.Type.Dimension:
		needs = append(needs, phrase(p.words.Say("needs_land"), p.show(of, "land")))
	}
	needs = append(needs, phrase(p.words.Say("needs_capital"), p.show(of, "capital_needed")))
	if p.value(of, "hired_hours") > 0 {
		needs = append(needs, phrase(p.words.Say("needs_hours_hired"), p.show(of, "hours"), p.show(of, "hired_hours")))
	} else {
		needs = append(needs, phrase(p.words.Say("needs_hours"), p.show(of, "hours")))
		without = append(without, phrase(p.words.Say("needs_no_hired")))
	}
	return append(needs, without...)
}

// A lack is what an enterprise would need at the scale that pays, and the farm or
// its markets do not have.
type lack struct {
	of    string // a channel, or land
	need  *figures.Figure
	limit tree.Nodes
	land  bool
}

// lacks lists what an enterprise would need beyond what there is.
func (p *page) lacks(of payer) []lack {
	var lacks []lack
	seen := map[string]bool{}
	for _, l := range of.Lines {
		for _, c := range l.Through {
			id := c.Channel.Name
			takings, limit := p.measure(of, "takings."+id), p.Graph.Lookup("prices.channels."+id+".limit")
			if takings == nil || limit == nil || seen[id] {
				continue
			}
			seen[id] = true
			if takings.Current() > limit.Current()*(1+1e-9) {
				lacks = append(lacks, lack{p.say(p.Facts["prices.channels."+id+".label"]), takings, p.figure(limit, p.shown(limit)), false})
			}
		}
	}
	land := p.measure(of, "land")
	has, kinds := 0.0, []string{}
	for _, l := range of.Lines {
		if area := p.Graph.Lookup("farm.land." + l.Use.Name + ".area"); l.Kind == enterprise.Land && area != nil && !slices.Contains(kinds, l.Use.Name) {
			kinds = append(kinds, l.Use.Name)
			has += area.Current()
		}
	}
	if len(kinds) > 0 && land.Current() > has*(1+1e-9) {
		lacks = append(lacks, lack{p.words.Say("compare_land"), land, tree.Nodes{txt(p.Style.Text(has, land.Unit, 0))}, true})
	}
	return lacks
}

// beyond tells what an enterprise lacks in sentences.
func (p *page) beyond(of payer) []tree.Nodes {
	var texts, over []tree.Nodes
	name := p.words.Mid(of.Name)
	for _, l := range p.lacks(of) {
		need := p.figure(l.need, p.shown(l.need))
		if l.land {
			texts = append(texts, phrase(p.words.Say("beyond_land"), name, need, l.limit))
		} else {
			over = append(over, phrase(p.words.Say("beyond_market_item"), p.words.Mid(l.of), need, l.limit))
		}
	}
	if len(over) > 0 {
		texts = slices.Insert(texts, 0, phrase(p.words.Say("beyond_market"), name, p.list(over)))
	}
	return texts
}

// shortOf is the table of what enterprises lack.
func (p *page) shortOf(payers []payer) tree.Nodes {
	body := tree.E("tbody")
	for _, of := range payers {
		for _, l := range p.lacks(of) {
			body.Add(tree.E("tr", rowHead(of.Name), tree.E("td", txt(l.of)), tree.E("td.n", p.refer(l.need, p.shown(l.need), true)), tree.E("td.n", l.limit)))
		}
	}
	if len(body.Kids) == 0 {
		return nil
	}
	head := tree.E("tr", p.headCell("", p.words.Say("compare_enterprise")), p.headCell("", p.words.Say("beyond_what")), p.headCell("n", p.words.Say("beyond_needed")), p.headCell("n", p.words.Say("beyond_limit")))
	return p.captioned("table.plain", " snug", phrase(p.words.Say("beyond_title")), nil, tree.E("thead", head), body)
}

// tradeOffs are the measures that readings weigh against each other.
var tradeOffs = []struct {
	name string
	more bool
}{{"land", false}, {"capital_needed", false}, {"hours", false}, {"return_per_hour", true}}

// reading tells the trade-offs between enterprises in sentences.
func (p *page) reading(title tree.Nodes) tree.Nodes {
	payers := p.payers()
	var texts []tree.Nodes
	say := func(word string, args ...any) { texts = append(texts, phrase(p.words.Say(word), args...)) }
	var target any = p.targetText()
	if f := p.Graph.Lookup(enterprise.Target); f != nil {
		target = p.figure(f, p.shown(f))
	}
	texts = append(texts, p.howMany(len(payers), target))
	var own, help []tree.Nodes
	for _, of := range payers {
		if of.word == enterprise.LivingWord {
			own = append(own, p.item(of, "scale"))
		} else {
			help = append(help, phrase(p.words.Say("reading_help_item"), p.words.Mid(of.Name), p.show(of, "scale"), p.show(of, "hired_hours")))
		}
	}
	if len(own) > 0 {
		say("reading_own", p.fewOf(own))
	}
	if len(help) > 0 {
		say("reading_help", p.fewOf(help))
	}
	for _, of := range payers {
		if best := p.bestIn(payers, of); len(best) > 0 {
			texts = append(texts, p.but(payers, of, p.list(best)))
		}
	}
	p.readWages(payers, say)
	p.readWinter(payers, say)
	var others []tree.Nodes
	for _, of := range p.others() {
		others = append(others, p.orLoss(of))
	}
	if len(others) > 0 {
		say("reading_cannot", p.fewOf(others))
	}
	list := tree.E("ul")
	for _, text := range texts {
		list.Add(tree.E("li", text))
	}
	return tree.Nodes{p.part("reading", p.section(), title).Add(list, p.shortOf(payers))}
}

// howMany tells how many of the enterprises reach the target alone.
func (p *page) howMany(some int, target any) tree.Nodes {
	all := len(p.Enterprises)
	say := func(word string, args ...any) tree.Nodes { return phrase(p.words.Say(word), append(args, target)...) }
	switch {
	case all == 1 && some == 1:
		return say("reading_one", p.words.Mid(p.Enterprises[0].Name))
	case all == 1:
		return say("reading_one_none", p.words.Mid(p.Enterprises[0].Name))
	case some == 0 && all == 2:
		return say("reading_none_two")
	case some == 0:
		return say("reading_none", p.words.inWords(all))
	case some == all && all == 2:
		return say("reading_all_two")
	case some == all:
		return say("reading_all", p.words.inWords(all))
	case some == 1:
		return say("reading_some_one", p.words.inWords(all))
	}
	return say("reading_some", upperFirst(p.words.inWords(some)), p.words.inWords(all))
}

// item is an enterprise in a list, with a measure of it.
func (p *page) item(of payer, measure string) tree.Nodes {
	return tree.Join(txt(p.words.Mid(of.Name)+" ("), p.show(of, measure), tree.Text(")"))
}

// orLoss is an enterprise in a list with what it earns; less than nothing is a
// loss.
func (p *page) orLoss(of payer) tree.Nodes {
	f := p.measure(of, "net_margin")
	if f.Current() >= 0 {
		return p.item(of, "net_margin")
	}
	return tree.Join(txt(p.words.Mid(of.Name)+" ("), phrase(p.words.Say("reading_loss"), p.figure(f, strings.TrimPrefix(p.shown(f), "−"))), tree.Text(")"))
}

// fewOf lists the first of some texts; a table beside them has the rest.
func (p *page) fewOf(texts []tree.Nodes) tree.Nodes {
	if len(texts) <= mostNamed+1 {
		return p.list(texts)
	}
	var first tree.Nodes
	for i, text := range texts[:mostNamed] {
		if i > 0 {
			first = append(first, tree.Text(", "))
		}
		first = append(first, text...)
	}
	return phrase(p.words.Say("reading_more"), first, p.words.inWords(len(texts)-mostNamed))
}

// bestIn tells by what measures an enterprise is the best of all.
func (p *page) bestIn(payers []payer, of payer) []tree.Nodes {
	var best []tree.Nodes
	for _, m := range tradeOffs {
		if first, ok := p.first(payers, m.name, m.more); ok && first.Spec == of.Spec && len(payers) > 1 {
			word := "reading_best_" + m.name
			if p.value(of, m.name) == 0 && m.name == "land" {
				word = "reading_no_land"
			}
			best = append(best, phrase(p.words.Say(word), p.show(of, m.name)))
		}
	}
	return best
}

// first is the enterprise that is best by a measure; ok is false if none has it.
func (p *page) first(payers []payer, name string, more bool) (of payer, ok bool) {
	best := math.NaN()
	for _, candidate := range payers {
		v := p.value(candidate, name)
		if !math.IsNaN(v) && (math.IsNaN(best) || v != best && v > best == more) {
			of, best, ok = candidate, v, true
		}
	}
	return of, ok
}

// place counts how many enterprises are better than one by a measure, plus one.
func (p *page) place(payers []payer, of payer, name string, more bool) int {
	place, own := 1, p.value(of, name)
	for _, other := range payers {
		if v := p.value(other, name); v != own && v > own == more && !math.IsNaN(v) {
			place++
		}
	}
	return place
}

// but tells what an enterprise is best in, and what speaks most against it.
func (p *page) but(payers []payer, of payer, best tree.Nodes) tree.Nodes {
	worst, at := "", 1
	for _, m := range tradeOffs {
		if place := p.place(payers, of, m.name, m.more); place > at && !math.IsNaN(p.value(of, m.name)) {
			worst, at = m.name, place
		}
	}
	switch {
	case worst == "":
		return phrase(p.words.Say("reading_unbeaten"), of.Name, best)
	case at == len(payers):
		return phrase(p.words.Say("reading_best_but"), of.Name, best, phrase(p.words.Say("reading_but_last_"+worst), p.show(of, worst)))
	}
	return phrase(p.words.Say("reading_best_but"), of.Name, best,
		phrase(p.words.Say("reading_but"), p.words.inWords(at), p.words.inWords(len(payers)), p.words.Say("reading_for_"+worst), p.show(of, worst)))
}

func (p *page) readWages(payers []payer, say func(string, ...any)) {
	wage := p.Graph.Lookup("farm.wage")
	if wage == nil || len(payers) == 0 {
		return
	}
	var below []tree.Nodes
	for _, of := range payers {
		if p.value(of, "return_per_hour") < wage.Current() {
			below = append(below, p.item(of, "return_per_hour"))
		}
	}
	if len(below) == 0 {
		word := "reading_wage_all"
		if len(payers) == 1 {
			word = "reading_wage_one"
		}
		say(word, p.figure(wage, p.inSentence(wage)))
		return
	}
	say("reading_wage_below", p.figure(wage, p.inSentence(wage)), p.fewOf(below))
}

// mostNamed is how many enterprises a sentence names; of more it names the
// first.
const mostNamed = 5

// winter names the four months in which little grows.
func (p *page) winter() string {
	first, last := 10, 1
	if place := p.Graph.Lookup("farm.latitude"); place != nil && place.Current() < 0 {
		first, last = 4, 7
	}
	return p.words.Say("formula_months", p.say(say.Months[first]), p.say(say.Months[last]))
}

func (p *page) readWinter(payers []payer, tell func(string, ...any)) {
	var with []payer
	for _, of := range payers {
		if p.value(of, "winter_income") > 0 {
			with = append(with, of)
		}
	}
	count := len(with)
	if count > mostNamed {
		slices.SortStableFunc(with, func(a, b payer) int { return cmp.Compare(p.value(b, "winter_income"), p.value(a, "winter_income")) })
		with = with[:3]
	}
	var in []tree.Nodes
	for _, of := range with {
		in = append(in, p.item(of, "winter_income"))
	}
	switch {
	case len(payers) == 0:
	case len(in) == 0:
		tell("reading_winter_none", p.winter())
	case count > mostNamed && count == len(payers):
		tell("reading_winter_all", p.winter(), p.words.inWords(count), p.list(in))
	case count > mostNamed:
		tell("reading_winter_many", p.winter(), p.words.inWords(count), p.words.inWords(len(payers)), p.list(in))
	default:
		tell("reading_winter", p.winter(), p.list(in))
	}
}

// list joins texts as in a sentence.
func (m *maker) list(texts []tree.Nodes) tree.Nodes {
	var nodes tree.Nodes
	for i, text := range texts {
		switch {
		case i > 0 && i == len(texts)-1:
			nodes = append(nodes, txt(" "+m.words.Say("and")+" "))
		case i > 0:
			nodes = append(nodes, tree.Text(", "))
		}
		nodes = append(nodes, text...)
	}
	return nodes
}

// ranking is the table of scores by the reader's weights, the best first.
func (p *page) ranking(title, note tree.Nodes) tree.Nodes {
	weighed := enterprise.WeightsOf(p.Graph)
	payers := p.payers()
	if len(weighed) == 0 {
		return p.says("ranking_no_weights")
	}
	if len(payers) == 0 {
		return p.says("compare_nothing", p.targetText())
	}
	t := sheet.Table{Name: "ranking", Title: p.own("ranking_title"), Head: p.own("compare_enterprise")}
	for _, m := range weighed {
		weight := p.Graph.Lookup("farm.weight_" + m.Name)
		t.Columns = append(t.Columns, sheet.Column{Label: p.own("ranking_column", p.words.Say("weigh_"+m.Name), p.shown(weight))})
	}
	for _, name := range []string{"score", "place", "even_place"} {
		t.Columns = append(t.Columns, sheet.Column{Label: p.own("ranking_" + name)})
	}
	for _, of := range payers {
		row := sheet.Row{Kind: sheet.Line, Label: say.Own(of.Name)}
		for _, m := range weighed {
			row.Cells = append(row.Cells, of.ID+".rank."+m.Name)
		}
		row.Cells = append(row.Cells, of.ID+".rank.score", of.ID+".rank.place", of.ID+".rank.even_place")
		t.Rows = append(t.Rows, row)
	}
	sheet.Sort(&t, "largest", func(r sheet.Row) float64 {
		if f := p.Graph.Lookup(r.Cells[len(weighed)]); f != nil {
			return f.Current()
		}
		return math.Inf(-1)
	})
	return p.sortable(&t, title, note)
}

func (p *page) landAndCapital(payers []payer) *chart.Chart {
	c := &chart.Chart{}
	var s chart.Series
	for i, of := range payers {
		land, capital := p.measure(of, "land"), p.measure(of, "capital_needed")
		if i == 0 {
			c.Across = axisName(p.words.Say("compare_land"), p.Style.Unit(land.Unit, true))
			c.Unit = axisName(p.words.Say("compare_capital_needed"), p.Style.Unit(capital.Unit, true))
		}
		c.Categories = append(c.Categories, of.Name)
		s.At, s.ShownAt = append(s.At, p.measure(payers[0], "land").Unit.FromBase(land.Current())), append(s.ShownAt, p.shown(land))
		s.Values, s.Shown = append(s.Values, capital.Shown()), append(s.Shown, p.shown(capital))
	}
	c.Series = []chart.Series{s}
	return c
}

func (p *page) hoursSideBySide(payers []payer) *chart.Chart {
	hour := p.Graph.Units.Must("h")
	c := &chart.Chart{Unit: p.Style.Unit(hour, true), Each: true}
	for m := range 12 {
		c.Categories = append(c.Categories, p.month(m))
	}
	for _, of := range payers {
		s := chart.Series{Name: of.Name}
		for _, x := range p.measure(of, "hours_by_month").Months() {
			s.Values = append(s.Values, hour.FromBase(x))
			s.Shown = append(s.Shown, p.Style.Figures(x, hour, 1))
		}
		c.Series = append(c.Series, s)
	}
	return c
}

func (p *page) hourlyReturns(payers []payer) *chart.Chart {
	payers = slices.Clone(payers)
	slices.SortStableFunc(payers, func(a, b payer) int { return cmp.Compare(p.value(b, "return_per_hour"), p.value(a, "return_per_hour")) })
	unit := p.Graph.Units.Money().Per(p.Graph.Units.Must("h"))
	c := &chart.Chart{Unit: p.Style.Unit(unit, true)}
	s := chart.Series{Name: p.words.Say("compare_return_per_hour")}
	for _, of := range payers {
		c.Categories = append(c.Categories, of.Name)
		x := p.value(of, "return_per_hour")
		s.Values = append(s.Values, unit.FromBase(x))
		s.Shown = append(s.Shown, p.shown(p.measure(of, "return_per_hour")))
	}
	c.Series = []chart.Series{s}
	if wage := p.Graph.Lookup("farm.wage"); wage != nil {
		c.Marks = []chart.Mark{{Name: p.say(wage.Label), Value: unit.FromBase(wage.Current()), Shown: p.shown(wage)}}
	}
	return c
}

// shareOut shows which part of the sales goes where.
func (p *page) shareOut(payers []payer) *chart.Chart {
	c := &chart.Chart{Unit: p.words.Say("compare_share_unit")}
	percent := p.Graph.Units.Must("%")
	for _, of := range payers {
		c.Categories = append(c.Categories, of.Name)
	}
	for _, name := range []string{"direct_costs", "selling_costs", "hired_cost", "own_overheads", "farm_overheads", "net_margin"} {
		s := chart.Series{Name: p.words.Say("share_" + name)}
		some := false
		for _, of := range payers {
			x := p.value(of, name) / p.value(of, "sales")
			some = some || x != 0
			s.Values = append(s.Values, percent.FromBase(x))
			s.Shown = append(s.Shown, p.Style.Text(x, percent, 1))
		}
		if some {
			c.Series = append(c.Series, s)
		}
	}
	return c
}

// mostSwings is how many inputs a sensitivity shows.
const mostSwings = 10

func (p *page) swingsOf(s *enterprise.Spec) (*figures.Figure, []risk.Swing) {
	margin := p.Graph.Lookup(s.ID + ".net_margin")
	if margin == nil {
		return nil, nil
	}
	return margin, risk.Swings(p.Graph, p.Graph.Base(), margin, mostSwings)
}

// swingChart shows how far the low and high of each input move the net margin.
func (p *page) swingChart(s *enterprise.Spec) *chart.Chart {
	margin, swings := p.swingsOf(s)
	if len(swings) == 0 {
		return nil
	}
	money := p.Graph.Units.Money()
	text := func(x float64) string {
		if math.IsNaN(x) {
			return p.say("–")
		}
		return p.Style.Figures(x, money, 1)
	}
	c := &chart.Chart{Unit: p.Style.Unit(money, true), Base: money.FromBase(margin.Current()), BaseShown: text(margin.Current()), BaseName: p.say(margin.Label)}
	series := chart.Series{LowName: p.words.Say("swing_low"), HighName: p.words.Say("swing_high")}
	for _, swing := range swings {
		c.Categories = append(c.Categories, p.label(swing.Input, s.ID))
		series.Low, series.ShownLow = append(series.Low, money.FromBase(swing.Low)), append(series.ShownLow, text(swing.Low))
		series.High, series.ShownHigh = append(series.High, money.FromBase(swing.High)), append(series.ShownHigh, text(swing.High))
	}
	c.Series = []chart.Series{series}
	return c
}

// swings is the table behind the chart, with the value of each input at which
// the net margin is gone, and at which the scale that pays pays no longer.
func (p *page) swings(s *enterprise.Spec, title, note tree.Nodes) tree.Nodes {
	margin, swings := p.swingsOf(s)
	if len(swings) == 0 {
		return p.says("swing_nothing")
	}
	scale, aim := p.Graph.Lookup(s.ID+"."+s.Scale.Figure.Name), p.Graph.Lookup(enterprise.Target)
	paying, level := (*figures.Values)(nil), 0.0
	for _, of := range p.payers() {
		if of.Spec == s && scale != nil && aim != nil {
			paying = p.Graph.Base().Clone()
			paying.Set(scale, p.value(of, "scale"))
			paying.Run()
			if level = aim.Current(); aim.Type.Dimension != p.Graph.Units.Money().Dimension {
				level *= p.Graph.Units.Must("year").ToBase(1)
			}
			if len(note) > 0 {
				note = tree.Join(note, tree.Text(" "))
			}
			note = tree.Join(note, phrase(p.words.Say("swing_pays_note"), p.show(of, "scale")))
		}
	}
	alone := p.Graph.Lookup(s.ID + ".alone_net_margin_hired")
	heads := []string{p.words.Say("value"), p.words.Say("low"), p.words.Say("high"), p.words.Say("swing_at_low"), p.words.Say("swing_at_high"), p.words.Say("swing_zero")}
	if paying != nil {
		heads = append(heads, p.words.Say("swing_pays"))
	}
	none := tree.Nodes{txt(p.words.Say("swing_never"))}
	body := tree.E("tbody")
	for _, swing := range swings {
		f := swing.Input
		bound := func(x *float64) *tree.Element {
			if x == nil {
				return sortCell(math.NaN(), nil)
			}
			return sortCell(*x, tree.Nodes{txt(p.inputText(*x, f, f.Step))})
		}
		amount := func(x float64) *tree.Element {
			if math.IsNaN(x) {
				return sortCell(x, tree.Nodes{tree.Text("–")})
			}
			return sortCell(x, tree.Nodes{txt(p.Style.Text(x, p.Graph.Units.Money(), 1))})
		}
		crossing := func(c risk.Crossing) *tree.Element {
			if !c.Found {
				return sortCell(math.NaN(), none)
			}
			return sortCell(c.At, tree.Nodes{txt(p.inputText(c.At, f, 0))})
		}
		tr := tree.E("tr", rowHead(p.label(f, s.ID)), sortCell(f.Current(), p.figure(f, p.shown(f))),
			bound(f.Low), bound(f.High), amount(swing.Low), amount(swing.High), crossing(risk.Cross(p.Graph, p.Graph.Base(), f, margin, 0)))
		if paying != nil {
			tr.Add(crossing(risk.Cross(p.Graph, paying, f, alone, level)))
		}
		body.Add(tr)
	}
	return p.captioned("table.money.sortable", "", title, note, p.headRow(p.words.Say("swing_input"), heads), body)
}

// inputText writes a value that an input might have. One that was worked out
// needs three figures, and a date its day.
func (p *page) inputText(x float64, f *figures.Figure, step float64) string {
	if step == 0 && !f.Unit.IsDate() {
		step = p.threeFigures(f.Unit.FromBase(x), p.Style.Step(x, f.Unit))
	}
	return p.Style.Text(x, f.Unit, step)
}

func (p *page) threeFigures(v, usual float64) float64 {
	if v == 0 {
		return usual
	}
	return max(usual, math.Pow10(int(math.Floor(portable.Log10(math.Abs(v))))-2))
}
