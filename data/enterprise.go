package data

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

func (l *loader) enterpriseFile(id string, d *document) {
	p := l.open(d, id, enterpriseShape)
	defer p.close()
	if p.root == nil {
		return
	}
	s := enterprise.Spec{ID: id, Name: p.root.str("name"), About: p.root.str("about"), Place: p.at("name")}
	p.fact("name", s.Name)
	p.fact("about", s.About)
	s.Scale = p.scale(p.root.get("scale"))
	p.doubtScale(p.root.get("scale"), p.root.get("build_up"))
	s.Output = ref(p.root.get("output"))
	p.free()
	cycles := []string{}
	calendar := p.root.get("calendar")
	for _, v := range calendar.all() {
		s.Cycles = append(s.Cycles, enterprise.Cycle{
			Name: enterprise.Ref{Name: v.key, Span: v.keySpan}, First: p.formulaOf(v.get("first")), Every: p.formulaOf(v.get("every")), Number: p.formulaOf(v.get("number")),
		})
		cycles = append(cycles, v.key)
	}
	if calendar != nil && calendar.broken {
		cycles = nil
	}
	for _, v := range p.root.get("build_up").all() {
		s.BuildUp = append(s.BuildUp, p.formulaOf(v))
	}
	lines := p.root.get("lines")
	if lines != nil && len(lines.entries) == 0 && !lines.broken {
		p.fail(source.Missing, lines.keySpan, "there are no lines").With("add at least one sale and one cost")
	}
	if p.few(lines, "lines") {
		taken := p.taken()
		for _, v := range lines.all() {
			line := p.line(v, cycles, taken)
			if line.Name == "" { // reported already; the rest of the budget goes on
				line.Name = fmt.Sprintf("line_%d", len(s.Lines)+1)
			}
			s.Lines = append(s.Lines, line)
		}
	}
	for _, v := range p.root.get("cautions").all() {
		s.Cautions = append(s.Cautions, v.text)
	}
	l.farm.Enterprises = append(l.farm.Enterprises, s)
}

func ref(v *value) enterprise.Ref {
	if v == nil {
		return enterprise.Ref{}
	}
	return enterprise.Ref{Name: v.text, Span: v.span}
}

// unread is the figure that stands in for the formulas of an enterprise that
// could not be read.
const unread = "unread.formula"

// formulaOf returns where a formula stands; if it could not be read, a mention
// of a figure that failed.
func (p *page) formulaOf(v *value) source.Span {
	switch {
	case v == nil:
		return source.Span{}
	case v.failed == nil:
		return v.formula
	}
	name := fmt.Sprintf("%s_%d", unread, len(p.farm.Definitions))
	p.failed(name, "A formula that could not be read", v.span, v.failed)
	return source.Derived(v.span, name).Whole()
}

// scale reads the scale and defines its figure, whose value is that of now.
func (p *page) scale(v *value) enterprise.Scale {
	s := enterprise.Scale{
		Figure: ref(v.get("figure")), Unit: ref(v.get("unit")), Because: v.str("because"),
		Step: p.formulaOf(v.get("step")), Least: p.formulaOf(v.get("least")), Most: p.formulaOf(v.get("most")),
	}
	p.fact("because", s.Because)
	now := v.get("now")
	if s.Now = p.formulaOf(now); now != nil && now.leaf != nil {
		s.Now = now.leaf.formula
	}
	fits := true
	defer func() {
		switch name := s.Figure.Name; {
		case name == "":
		case fits:
			p.input(name, say.Own(label(name)), now)
		default:
			p.failed(name, say.Own(label(name)), now.span, p.last())
		}
	}()
	if s.Unit.Name == "" || p.loader.units == nil {
		return s
	}
	unit, err := p.loader.units.ParseUnit(s.Unit.Name)
	if err != nil {
		if !p.refused(s.Unit.Name) {
			p.fail(source.UnknownRef, s.Unit.Span, "%v", err)
		}
		return s
	}
	if s.Step.File == nil {
		s.Step = source.Derived(s.Unit.Span, "1 "+s.Unit.Name).Whole()
	} else if q, ok := p.literal(s.Step); ok && q.Value <= 0 {
		p.fail(source.OutOfRange, s.Step, "the step of the scale is %s; expected more than 0", s.Step.Text())
	}
	fits = p.inUnit(now, "now", unit)
	for _, key := range []string{"step", "least", "most"} {
		p.inUnit(v.get(key), key, unit)
	}
	return s
}

// inUnit checks that a plain value of the scale is in the scale's unit; a
// formula is checked by the engine.
func (p *page) inUnit(v *value, key string, unit quantity.Unit) bool {
	if v == nil {
		return true
	}
	at, q, ok := v.formula, quantity.Quantity{}, false
	if v.leaf != nil {
		at, q, ok = v.leaf.span, v.leaf.Quantity, true
		if v.leaf.series != nil {
			p.fail(source.WrongType, at, "the present scale is a list; expected a single value such as 1 %s", unit)
			return false
		}
	} else {
		q, ok = p.literal(at)
	}
	if ok && (q.Unit.Dimension != unit.Dimension || q.Unit.IsDate()) {
		say := key + " of the scale"
		if key == "now" {
			say = "present scale"
		}
		p.fail(source.WrongUnit, at, "the %s %s; expected a number of %s, as 1 %s", say, in(q.Unit), unit, unit)
		return false
	}
	return true
}

// literal reads a formula that is nothing but a quantity.
func (p *page) literal(at source.Span) (quantity.Quantity, bool) {
	if p.loader.units == nil || at.File == nil || at.End-at.Start > 200 {
		return quantity.Quantity{}, false
	}
	q, err := p.loader.units.Parse(at.Text())
	return q, err == nil
}

// taken are the bare names that the enterprise's file uses for figures, with
// their places.
func (p *page) taken() map[string]source.Span {
	taken := map[string]source.Span{}
	for _, table := range []string{"inputs", "worked"} {
		for _, v := range p.root.get(table).all() {
			taken[v.key] = v.keySpan
		}
	}
	if figure := p.root.get("scale").get("figure"); figure != nil {
		taken[figure.text] = figure.span
	}
	return taken
}

func (p *page) line(v *value, cycles []string, taken map[string]source.Span) enterprise.Line {
	head := v.get(v.kind)
	line := enterprise.Line{
		Kind: enterprise.LineKind(v.kind), Label: v.str(v.kind), Note: v.str("note"), Place: v.keySpan,
	}
	if head != nil {
		line.Place = head.span
	}
	if side := v.get("side"); side != nil {
		line.Side = side.truth
	}
	switch line.Kind {
	case enterprise.Land:
		line.Use = ref(head)
		line.Label = v.str("label")
		if line.Label == "" {
			line.Label = p.land[line.Use.Name]
		}
		if line.Label == "" {
			line.Label = label(line.Use.Name)
		}
		if head != nil && p.land != nil {
			p.refer(head.span, head.text, keysOf(p.land), "a kind of land", "land in data/farm.yaml")
		}
	}
	line.Name = p.lineName(line, v, head, taken)
	p.mean(line.Name, v.str("meant"))
	given := func(key string) source.Span { return p.given(&line, key, v.get(key)) }
	if line.Amount = given("amount"); line.Kind == enterprise.Land {
		line.Amount = given("area")
	}
	line.Price, line.Number, line.Life, line.Residual = given("price"), given("number"), given("life"), given("residual")
	switch line.Kind {
	case enterprise.Capital:
		line.UnitCost = given("cost")
	case enterprise.Sale:
		p.sale(&line, v)
	}
	line.When = p.timing(v, cycles)
	return line
}

// givenLabels are what the parts of a line are called that become inputs.
var givenLabels = map[string]say.Text{
	"amount": "%s, amount", "area": "%s, area", "price": "%s, price", "number": "%s, number", "cost": "%s, cost", "life": "%s, life", "residual": "%s, residual",
}

// given returns a line's formula. A value in long form becomes an input of its
// own, <line>.<key>_given, so that its source and its range are kept.
func (p *page) given(line *enterprise.Line, key string, v *value) source.Span {
	if v == nil || v.leaf == nil {
		return p.formulaOf(v)
	}
	name := line.Name + "." + key + "_given"
	p.input(name, say.With(givenLabels[key], line.Label), v)
	return source.Derived(v.leaf.span, name).Whole()
}

func keysOf(m map[string]string) []string {
	keys := []string{}
	for key := range m {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}

// lineName is the line's own name or one made of its label, used by no other
// figure of the file.
func (p *page) lineName(line enterprise.Line, v, head *value, taken map[string]source.Span) string {
	name := v.str("name")
	var at source.Span
	if given := v.get("name"); given != nil {
		at = given.span
	} else {
		if head == nil {
			return ""
		}
		name, at = slug(line.Label), head.span
		if len(name) > longestName {
			name = strings.TrimRight(name[:longestName], "_")
		}
		if line.Kind == enterprise.Land && v.get("label") == nil {
			name = line.Use.Name
		}
		if !isName(name) {
			p.fail(source.Missing, at, "no name for a figure can be made of %q", leaf.Clip(line.Label)).With("add a line such as name: %s_1", v.kind)
			return ""
		}
	}
	if first, twice := taken[name]; twice {
		p.fail(source.Duplicate, at, "the line %q would be called %s, a name used already at %s", leaf.Clip(line.Label), name, first.Position()).
			With("give it a name of its own: name: %s_%s", name, v.kind)
		return ""
	}
	taken[name] = at
	return name
}

// sale reads how a line is sold: at one price, or as a product of the price
// list, through channels.
func (p *page) sale(line *enterprise.Line, v *value) {
	line.Product = ref(v.get("product"))
	// A line whose product or channel is unknown keeps its place in the budget,
	// with a price that could not be read.
	unknown := func(at source.Span) {
		line.Product = enterprise.Ref{}
		line.Price = p.formulaOf(&value{failed: p.last(), span: at})
	}
	known := p.channels
	where := "channels in data/prices.yaml"
	what := "a channel"
	if product := line.Product; product.Name != "" && p.products != nil {
		names := []string{}
		for name := range p.products {
			names = append(names, name)
		}
		slices.Sort(names)
		if p.refer(product.Span, product.Name, names, "a product of the price list", "products in data/prices.yaml") {
			known = p.products[product.Name]
			what = "a channel with a price for " + words(product.Name)
			where = "by_channel of " + product.Name + " in data/prices.yaml"
		} else {
			unknown(product.Span)
		}
	}
	through := v.get("through")
	if through == nil {
		return
	}
	total, all := 0., !through.broken
	for _, share := range through.all() {
		if p.refer(share.keySpan, share.key, known, what, where) {
			line.Through = append(line.Through, enterprise.ChannelShare{Channel: enterprise.Ref{Name: share.key, Span: share.keySpan}, Share: p.formulaOf(share)})
		} else {
			unknown(share.keySpan)
		}
		q, ok := p.literal(share.formula)
		switch {
		case !ok:
			all = false
		case q.Unit.Dimension != quantity.Number:
			p.fail(source.WrongUnit, share.formula, "the share through %s %s; expected a share such as 60 %%", words(share.key), in(q.Unit))
			all = false
		case q.Value < 0 || q.Value > 1+1e-9:
			p.fail(source.OutOfRange, share.formula, "the share through %s is %s; expected 0 %% to 100 %%", words(share.key), share.formula.Text())
			all = false
		default:
			total += q.Value
		}
	}
	if all && p.loader.units != nil && math.Abs(total-1) > 1e-9 {
		p.fail(source.OutOfRange, through.keySpan, "the shares of %s come to %.4g %%; expected 100 %% together", leaf.Clip(line.Label), total*100)
	}
}

func (p *page) timing(v *value, cycles []string) enterprise.Timing {
	when := v.get("when")
	if months := v.get("months"); months != nil {
		return enterprise.Timing{Place: months.keySpan, Months: p.formulaOf(months)}
	}
	if when == nil {
		return enterprise.Timing{}
	}
	if when.failed != nil || when.broken {
		when.failed = p.last()
		return enterprise.Timing{Place: when.keySpan, Months: p.formulaOf(when)}
	}
	if when.formula.File != nil { // the short form
		if slices.Contains(cycles, when.text) {
			p.fail(source.Syntax, when.formula, "%s is a cycle of the calendar, so a day of it is needed", when.text).
				With("write {each: %s, day: 0 day}, or from and to", when.text)
		}
		return enterprise.Timing{Place: when.keySpan, Months: when.formula}
	}
	t := enterprise.Timing{
		Place: when.keySpan, Each: ref(when.get("each")), Day: p.formulaOf(when.get("day")), From: p.formulaOf(when.get("from")), To: p.formulaOf(when.get("to")),
		Months: p.formulaOf(when.get("months")), Lag: p.formulaOf(when.get("lag")), Every: p.formulaOf(when.get("every")),
	}
	if t.Each.Name != "" {
		if !p.refer(t.Each.Span, t.Each.Name, cycles, "a cycle of the calendar", "calendar of this file") {
			return enterprise.Timing{Place: when.keySpan, Months: p.formulaOf(&value{failed: p.last(), span: t.Each.Span})}
		}
	}
	if once := when.get("once"); once != nil {
		t.Once = once.truth
		if once.truth && t.Every.File != nil {
			p.fail(source.Syntax, once.keySpan, "a line that comes only once can't come back every so often").With("delete once or every")
		}
	}
	if weights := when.get("weights"); weights != nil {
		t.Months = p.weights(weights)
	}
	return t
}

// weights turns weights by month into a formula of twelve values.
func (p *page) weights(v *value) source.Span {
	var by [12]float64
	total := 0.
	for _, w := range v.entries {
		month, ok := quantity.Month(w.key)
		if ok && w.leaf != nil {
			by[month] = w.leaf.Value
			total += w.leaf.Value
		}
	}
	if total <= 0 {
		if !v.broken && p.loader.units != nil {
			p.fail(source.OutOfRange, v.keySpan, "the weights are all 0; expected at least one month with more")
		}
		return source.Span{}
	}
	texts := make([]string, 12)
	for i, w := range by {
		texts[i] = fmt.Sprintf("%.12g", w)
	}
	return source.Derived(v.keySpan, "monthly("+strings.Join(texts, ", ")+")").Whole()
}
