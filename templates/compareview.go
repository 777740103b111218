package templates

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/risk"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/templates/chart"
)

// compareTable writes what sets enterprises side by side at one income; ok is
// false if the block asks for something else.
func (p *page) compareTable(block *content.TableBlock, title, note string) (html string, ok bool) {
	switch block.Show.Text {
	case "comparison":
		return p.comparison(title, note), true
	case "reading":
		return p.reading(title), true
	case "ranking":
		return p.ranking(title, note), true
	case "living", "sensitivity":
		var b strings.Builder
		for _, of := range block.Of {
			s, known := p.enterpriseAt(of)
			switch {
			case !known:
			case block.Show.Text == "living":
				b.WriteString(p.living(s, title, note))
			default:
				b.WriteString(p.swings(s, title, note))
			}
		}
		return b.String(), true
	}
	return "", false
}

// compareChart draws enterprises side by side, or what moves one of them; ok is
// false if the block asks for something else.
func (p *page) compareChart(block *content.ChartBlock) (html string, ok bool) {
	draw := func(c *chart.Chart) string {
		p.noTarget(block)
		if c == nil {
			return "<p>" + esc(p.words.Say("compare_nothing", p.targetText())) + "</p>\n"
		}
		c.Kind, c.Title, c.Alt = chart.Kind(block.Shape), block.Title.Plain(), block.Alt
		return p.draw(c, p.line(block.Title), p.line(block.Note), block.Place)
	}
	switch block.Show.Text {
	case "sensitivity":
		var b strings.Builder
		for _, of := range block.Of {
			s, known := p.enterpriseAt(of)
			if !known {
				continue
			}
			if block.Shape != string(chart.Ranges) {
				p.fail(source.Errorf(source.WrongType, block.Place, "a sensitivity is drawn with kind: ranges"), block.Place)
				return "", true
			}
			b.WriteString(draw(p.swingChart(s)))
		}
		return b.String(), true
	case "comparison":
		make := map[chart.Kind]func([]payer) *chart.Chart{chart.Points: p.landAndCapital, chart.Heat: p.hoursSideBySide, chart.Bars: p.hourlyReturns, chart.Stack: p.shareOut}[chart.Kind(block.Shape)]
		if make == nil {
			p.fail(source.Errorf(source.WrongType, block.Place, "a comparison can't be drawn as %s", block.Shape).
				With("points: land against capital; heat: hours by month; bars: return on each hour; stack: where the money goes"), block.Place)
			return "", true
		}
		payers := p.payers()
		if len(payers) == 0 {
			return draw(nil), true
		}
		return draw(make(payers)), true
	}
	return "", false
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
	return p.say("none")
}

// comparison is the table of all enterprises at the same income.
func (p *page) comparison(title, note string) string {
	payers := p.payers()
	var b strings.Builder
	if len(payers) > 0 {
		names := []string{"scale", "land", "capital_needed", "hours", "hired_hours", "peak_hours", "return_per_hour", "margin_per_hectare", "payback", "winter_income"}
		t := sheet.Table{Name: "comparison", Title: p.own("compare_title"), Head: p.own("compare_enterprise")}
		for _, name := range names {
			t.Columns = append(t.Columns, sheet.Column{Label: p.own("compare_" + name)})
		}
		for _, of := range payers {
			row := sheet.Row{Kind: sheet.Line, Label: say.Own(of.Name)}
			for _, name := range names {
				row.Cells = append(row.Cells, of.ID+"."+of.word+"."+name)
			}
			t.Rows = append(t.Rows, row)
		}
		b.WriteString(p.sortable(&t, title, note))
	}
	b.WriteString(p.othersAtBest())
	b.WriteString(p.cannotPay())
	return b.String()
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
func (p *page) othersAtBest() string {
	names := []string{"scale", "net_margin", "part", "land", "capital_needed", "hours", "hired_hours", "peak_hours", "return_per_hour", "winter_income"}
	t := sheet.Table{Name: "comparison_others", Title: p.own("compare_others", p.targetText()), Head: p.own("compare_enterprise")}
	for _, name := range names {
		t.Columns = append(t.Columns, sheet.Column{Label: p.own("compare_" + name)})
	}
	for _, of := range p.others() {
		row := sheet.Row{Kind: sheet.Line, Label: say.Own(of.Name)}
		for _, name := range names {
			row.Cells = append(row.Cells, of.ID+"."+of.word+"."+name)
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) == 0 {
		return ""
	}
	return p.sortable(&t, esc(p.words.Say("compare_others", p.targetText())), esc(p.words.Say("compare_others_note")))
}

// sortable prints a table of lines that a reader can sort by any column.
func (p *page) sortable(t *sheet.Table, title, note string) string {
	printed, err := t.Print(p.Graph, p.Style)
	if err != nil {
		p.errs.Add(err)
		return ""
	}
	p.csv(printed)
	var b strings.Builder
	p.tableStart(&b, "money sortable", "", title, note)
	p.headRow(&b, printed.Head, printed.Heads)
	for _, row := range printed.Rows {
		fmt.Fprintf(&b, `<tr><th scope="row">%s</th>`, esc(row.Label))
		for _, c := range row.Cells {
			// What has no answer sorts last.
			key := math.Inf(1)
			if c.Figure != nil && !math.IsNaN(c.Value) {
				key = c.Figure.Current()
			}
			b.WriteString(sortCell(key, p.cell(c, true)))
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString(tableEnd)
	return b.String()
}

func (p *page) headRow(b *strings.Builder, first string, heads []string) {
	fmt.Fprintf(b, `<thead><tr><th scope="col">%s</th>`, p.headText(first))
	for _, head := range heads {
		fmt.Fprintf(b, `<th scope="col" class="n">%s</th>`, esc(head))
	}
	b.WriteString("</tr></thead>\n<tbody>")
}

func sortCell(key float64, html string) string {
	text := "Infinity"
	if !math.IsInf(key, 0) && !math.IsNaN(key) {
		text = fmt.Sprintf("%g", key)
	}
	return `<td class="n" data-v="` + text + `">` + html + "</td>"
}

// cannotPay lists the enterprises that reach the target at no scale, and why.
func (p *page) cannotPay() string {
	payers := p.payers()
	var b strings.Builder
	for i := range p.Enterprises {
		s := &p.Enterprises[i]
		f := p.Graph.Lookup(s.ID + ".living_hired.scale")
		if f == nil || slices.ContainsFunc(payers, func(of payer) bool { return of.Spec == s }) {
			continue
		}
		reason, _ := p.Graph.Base().None(f)
		fmt.Fprintf(&b, `<li><span class="mark fail">%s</span> <span class="what">%s</span> <span class="why">%s</span></li>`+"\n",
			esc(p.words.Say("compare_cannot_mark")), esc(s.Name), esc(sentence(p.say(reason))))
	}
	if b.Len() == 0 {
		return ""
	}
	id := p.id("cannot")
	return fmt.Sprintf("<section class=\"checks\" aria-labelledby=\"%s\"><%[4]s id=\"%[1]s\">%[2]s</%[4]s><ul>\n%[3]s</ul></section>\n",
		id, esc(p.words.Say("compare_cannot", p.targetText())), b.String(), p.section())
}

// living is what it takes one enterprise to earn the target, or why it can't.
func (p *page) living(s *enterprise.Spec, title, note string) string {
	own, help := payer{s, enterprise.LivingWord}, payer{s, enterprise.LivingHiredWord}
	scale := p.measure(own, "scale")
	if scale == nil {
		return ""
	}
	ownWhy, ownNone := p.Graph.Base().None(scale)
	helpWhy, helpNone := p.Graph.Base().None(p.measure(help, "scale"))
	ownReason, helpReason := p.say(ownWhy), p.say(helpWhy)
	var b strings.Builder
	if !ownNone || !helpNone {
		t := sheet.Table{Name: s.ID + "_living", Title: say.Own(title), Head: p.own("living_measure")}
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
			row := sheet.Row{Kind: sheet.Line, Label: p.own("compare_" + name)}
			for _, word := range words {
				row.Cells = append(row.Cells, s.ID+"."+word+"."+name)
			}
			t.Rows = append(t.Rows, row)
		}
		b.WriteString(p.sheet(&t, title, note))
	}
	say := func(text string) { fmt.Fprintf(&b, "<p>%s</p>\n", text) }
	switch {
	case ownNone && helpNone && ownReason == helpReason:
		say(esc(p.words.Say("living_none", p.targetText(), ownReason)))
	case ownNone:
		say(esc(p.words.Say("living_owners_none", p.targetText(), ownReason)))
		if helpNone {
			say(esc(p.words.Say("living_hired_none", helpReason)))
		}
	case helpNone:
		say(esc(p.words.Say("living_hired_none", helpReason)))
	}
	for _, of := range p.payers() {
		if of.Spec == s {
			for _, text := range p.beyond(of) {
				say(text)
			}
		}
	}
	return b.String()
}

// livingShort tells in a sentence what it takes one enterprise to earn the
// target, or why it can't.
func (p *page) livingShort(s *enterprise.Spec) string {
	for _, of := range p.payers() {
		if of.Spec != s {
			continue
		}
		args := []any{p.targetText()}
		for _, name := range []string{"scale", "land", "capital_needed", "hours", "hired_hours"} {
			f := p.measure(of, name)
			args = append(args, p.figure(f, p.shown(f)))
		}
		text := "<p>" + fmt.Sprintf(esc(p.words.Say("living_short")), args...)
		for _, more := range p.beyond(of) {
			text += " " + more
		}
		return text + "</p>\n"
	}
	f := p.measure(payer{s, enterprise.LivingHiredWord}, "scale")
	if f == nil {
		return ""
	}
	reason, _ := p.Graph.Base().None(f)
	return "<p>" + esc(p.words.Say("living_none", p.targetText(), p.say(reason))) + "</p>\n"
}

// beyond tells what an enterprise would need at the scale that pays and the
// farm or its markets do not have, as HTML sentences.
func (p *page) beyond(of payer) []string {
	var texts, over []string
	name := esc(p.words.Mid(of.Name))
	var seen []string
	for _, l := range of.Lines {
		for _, c := range l.Through {
			id := c.Channel.Name
			takings, limit := p.measure(of, "takings."+id), p.Graph.Lookup("prices.channels."+id+".limit")
			if takings == nil || limit == nil || slices.Contains(seen, id) {
				continue
			}
			seen = append(seen, id)
			if takings.Current() > limit.Current()*(1+1e-9) {
				label := p.Facts["prices.channels."+id+".label"]
				over = append(over, fmt.Sprintf(esc(p.words.Say("beyond_market_item")), esc(p.words.Mid(p.say(label))), p.figure(takings, p.shown(takings)), p.figure(limit, p.shown(limit))))
			}
		}
	}
	if len(over) > 0 {
		texts = append(texts, fmt.Sprintf(esc(p.words.Say("beyond_market")), name, p.list(over)))
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
		texts = append(texts, fmt.Sprintf(esc(p.words.Say("beyond_land")), name, p.figure(land, p.shown(land)), esc(p.Style.Text(has, land.Unit, 0))))
	}
	return texts
}

// tradeOffs are the measures that readings weigh against each other.
var tradeOffs = []struct {
	name string
	more bool
}{{"land", false}, {"capital_needed", false}, {"hours", false}, {"return_per_hour", true}}

// reading tells the trade-offs between enterprises in sentences.
func (p *page) reading(title string) string {
	payers := p.payers()
	var texts []string
	say := func(format string, args ...any) {
		texts = append(texts, fmt.Sprintf(esc(p.words.Say(format)), args...))
	}
	target := esc(p.targetText())
	if f := p.Graph.Lookup(enterprise.Target); f != nil {
		target = p.figure(f, p.shown(f))
	}
	switch {
	case len(p.Enterprises) == 1 && len(payers) == 1:
		say("reading_one", p.Enterprises[0].Name, target)
	case len(p.Enterprises) == 1:
		say("reading_one_none", p.Enterprises[0].Name, target)
	case len(payers) == 0:
		say("reading_none", len(p.Enterprises), target)
	case len(payers) == len(p.Enterprises):
		say("reading_all", len(payers), target)
	default:
		say("reading_some", len(payers), len(p.Enterprises), target)
	}
	show := func(of payer, name string) string {
		f := p.measure(of, name)
		return p.figure(f, p.shown(f))
	}
	var own, help []string
	for _, of := range payers {
		text := esc(p.words.Mid(of.Name))
		if of.word == enterprise.LivingWord {
			own = append(own, text+" ("+show(of, "scale")+")")
		} else {
			help = append(help, fmt.Sprintf(esc(p.words.Say("reading_help_item")), text, show(of, "scale"), show(of, "hired_hours")))
		}
	}
	if len(own) > 0 {
		say("reading_own", p.list(own))
	}
	if len(help) > 0 {
		say("reading_help", p.list(help))
	}
	for _, of := range payers {
		var first []string
		for _, m := range tradeOffs {
			if best, ok := p.first(payers, m.name, m.more); ok && best.Spec == of.Spec && len(payers) > 1 {
				word := "reading_best_" + m.name
				if p.value(of, m.name) == 0 && m.name == "land" {
					word = "reading_no_land"
				}
				text := esc(p.words.Say(word))
				if strings.Contains(text, "%s") {
					text = strings.ReplaceAll(text, "%s", show(of, m.name))
				}
				first = append(first, text)
			}
		}
		if len(first) > 0 {
			texts = append(texts, fmt.Sprintf(esc(p.words.Say("reading_best")), esc(p.words.Mid(of.Name)), p.list(first))+" "+p.but(payers, of, show))
		}
	}
	p.readWages(payers, say, show)
	p.readWinter(payers, say)
	for _, of := range payers {
		if more := p.beyond(of); len(more) > 0 {
			texts = append(texts, strings.Join(more, " "))
		}
	}
	var others []string
	for _, of := range p.others() {
		others = append(others, esc(p.words.Mid(of.Name))+" ("+show(of, "net_margin")+")")
	}
	if len(others) > 0 {
		say("reading_cannot", p.list(others))
	}
	id := p.id("reading")
	var b strings.Builder
	fmt.Fprintf(&b, "<section class=\"reading\" aria-labelledby=\"%s\"><%[3]s id=\"%[1]s\">%[2]s</%[3]s><ul>\n", id, title, p.section())
	for _, text := range texts {
		fmt.Fprintf(&b, "<li>%s</li>\n", text)
	}
	b.WriteString("</ul></section>\n")
	return b.String()
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

// but tells what speaks most against an enterprise that is first in something.
func (p *page) but(payers []payer, of payer, show func(payer, string) string) string {
	worst, at := "", 1
	for _, m := range tradeOffs {
		if place := p.place(payers, of, m.name, m.more); place > at && !math.IsNaN(p.value(of, m.name)) {
			worst, at = m.name, place
		}
	}
	if worst == "" {
		return esc(p.words.Say("reading_unbeaten"))
	}
	return fmt.Sprintf(esc(p.words.Say("reading_but")), at, len(payers), esc(p.words.Say("reading_for_"+worst)), show(of, worst))
}

func (p *page) readWages(payers []payer, say func(string, ...any), show func(payer, string) string) {
	wage := p.Graph.Lookup("farm.wage")
	if wage == nil || len(payers) == 0 {
		return
	}
	var below []string
	for _, of := range payers {
		if p.value(of, "return_per_hour") < wage.Current() {
			below = append(below, esc(p.words.Mid(of.Name))+" ("+show(of, "return_per_hour")+")")
		}
	}
	if len(below) == 0 {
		word := "reading_wage_all"
		if len(payers) == 1 {
			word = "reading_wage_one"
		}
		say(word, p.figure(wage, p.shown(wage)))
		return
	}
	say("reading_wage_below", p.figure(wage, p.shown(wage)), p.list(below))
}

// mostNamed is how many enterprises a sentence names; of more it names the
// first.
const mostNamed = 5

func (p *page) readWinter(payers []payer, say func(string, ...any)) {
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
	var in []string
	for _, of := range with {
		f := p.measure(of, "winter_income")
		in = append(in, esc(p.words.Mid(of.Name))+" ("+p.figure(f, p.shown(f))+")")
	}
	switch {
	case len(payers) == 0:
	case len(in) == 0:
		say("reading_winter_none")
	case count > mostNamed:
		say("reading_winter_many", count, len(payers), p.list(in))
	default:
		say("reading_winter", p.list(in))
	}
}

// list joins texts as in a sentence.
func (p *page) list(texts []string) string {
	if len(texts) < 2 {
		return strings.Join(texts, "")
	}
	last := len(texts) - 1
	return strings.Join(texts[:last], ", ") + " " + esc(p.words.Say("and")) + " " + texts[last]
}

// ranking is the table of scores by the reader's weights, the best first.
func (p *page) ranking(title, note string) string {
	weighed := enterprise.WeightsOf(p.Graph)
	payers := p.payers()
	if len(weighed) == 0 {
		return "<p>" + esc(p.words.Say("ranking_no_weights")) + "</p>\n"
	}
	if len(payers) == 0 {
		return "<p>" + esc(p.words.Say("compare_nothing", p.targetText())) + "</p>\n"
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
	s := chart.Series{Name: p.words.Say("compare_title")}
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
	c := &chart.Chart{Unit: p.Style.Unit(hour, true)}
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
			return p.say("none")
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
func (p *page) swings(s *enterprise.Spec, title, note string) string {
	margin, swings := p.swingsOf(s)
	if len(swings) == 0 {
		return "<p>" + esc(p.words.Say("swing_nothing")) + "</p>\n"
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
			note = strings.TrimSpace(note + " " + fmt.Sprintf(esc(p.words.Say("swing_pays_note")), p.figure(p.measure(of, "scale"), p.shown(p.measure(of, "scale")))))
		}
	}
	alone := p.Graph.Lookup(s.ID + ".alone_net_margin_hired")
	heads := []string{p.words.Say("value"), p.words.Say("low"), p.words.Say("high"), p.words.Say("swing_at_low"), p.words.Say("swing_at_high"), p.words.Say("swing_zero")}
	if paying != nil {
		heads = append(heads, p.words.Say("swing_pays"))
	}
	var b strings.Builder
	p.tableStart(&b, "money sortable", "", title, note)
	p.headRow(&b, p.words.Say("swing_input"), heads)
	for _, swing := range swings {
		f := swing.Input
		bound := func(x *float64) string {
			if x == nil {
				return sortCell(math.NaN(), "")
			}
			return sortCell(*x, esc(p.inputText(*x, f, f.Step)))
		}
		amount := func(x float64) string {
			if math.IsNaN(x) {
				return sortCell(x, esc(p.say("none")))
			}
			return sortCell(x, esc(p.Style.Text(x, p.Graph.Units.Money(), 1)))
		}
		crossing := func(c risk.Crossing) string {
			if !c.Found {
				return sortCell(math.NaN(), esc(p.say("none")))
			}
			return sortCell(c.At, esc(p.inputText(c.At, f, 0)))
		}
		fmt.Fprintf(&b, `<tr><th scope="row">%s</th>%s%s%s%s%s%s`, esc(p.label(f, s.ID)), sortCell(f.Current(), p.figure(f, p.shown(f))),
			bound(f.Low), bound(f.High), amount(swing.Low), amount(swing.High), crossing(risk.Cross(p.Graph, p.Graph.Base(), f, margin, 0)))
		if paying != nil {
			b.WriteString(crossing(risk.Cross(p.Graph, paying, f, alone, level)))
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString(tableEnd)
	return b.String()
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
	return max(usual, math.Pow10(int(math.Floor(math.Log10(math.Abs(v))))-2))
}
