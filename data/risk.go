package data

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/risk"
	"rickyard/calc/say"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

var (
	wantRuns = &want{name: "runs", what: "a whole number", example: "10000", unit: `\s*$`, bare: true, fits: isPlain,
		least: 100, most: 1_000_000, limits: "100 to 1,000,000"}
	wantSeed = &want{name: "seed", what: "a whole number", example: "7", unit: `\s*$`, bare: true, fits: isPlain,
		most: 1 << 53, limits: "0 or more"}
)

func isPlain(u quantity.Unit, _ quantity.Dimension) bool {
	return u.Dimension == quantity.Number && len(u.Parts) == 0
}

// longestFigure bounds the full names of figures where they are keys.
const longestFigure = 4 * longestName

const refPattern = `^[a-z*][a-z0-9_*]*(\.[a-z*][a-z0-9_*]*)*$`

var (
	refText    = regexp.MustCompile(refPattern)
	timesText  = regexp.MustCompile(`^[x×]\s*(.*)$`)
	figureRule = &rule{pattern: figurePattern, noun: "the name of a figure, such as broilers.grower_feed", ok: func(s string) bool {
		return len(s) <= longestFigure && figureName.MatchString(s)
	}}
)

func refsField(key, doc string) *field {
	return &field{key: key, doc: doc, is: &shape{form: listForm, noun: "a list of names", example: "[prices, garden.*_yield]", of: textShape}}
}

var riskShape = &shape{form: recordForm, noun: "the simulation", fields: []*field{
	{key: "runs", doc: "How many times the plan is worked out; by default 10000.", is: leafShape(wantRuns)},
	{key: "seed", doc: "The number that the draws begin with: the same seed gives the same result; by default 1.", is: leafShape(wantSeed)},
	{key: "shape", doc: "How an input is spread between low and high: pert (the default), close about its value, or triangular.", is: choiceShape("pert", "triangular")},
	{key: "groups", doc: "Inputs that move together, as prices do, each group under a name.", is: tableShape("groups", "A group.", "the group %s", nameRule,
		&shape{form: recordForm, noun: "a group", example: "{of: [prices], correlation: 50 %}", fields: []*field{
			need(refsField("of", "The inputs in it, by name; prices stands for all under it, garden.*_yield for all that fit.")),
			refsField("against", "Inputs that move the other way, as losses do when yields are good."),
			refsField("except", "Inputs that of and against would take in and that do not belong."),
			{key: "correlation", need: true, doc: "How closely any two of them move together: 0 % not at all, 100 % as one.", is: leafShape(wantShare)},
			{key: "each_year", doc: "true: drawn anew for each year of the plan, as weather is. Otherwise one draw holds for all years.", is: trueShape},
		}})},
	refsField("fixed", "Inputs that have a range and are still not drawn, since you decide them."),
}}

var changeShape = &shape{form: textForm, noun: "a value with its unit, or x and a number", example: "x 1.33"}

var scenariosShape = tableShape("scenarios", "A scenario.", "the scenario %s", nameRule,
	&shape{form: recordForm, noun: "a scenario", example: "{label: Feed up a third, set: {broilers.grower_feed: x 1.33}}", fields: []*field{
		labelField,
		noteField,
		{key: "over", doc: "When it holds: a year, as 2028, a month, or months as 2028-04..2028-06; by default the whole plan.", is: &shape{form: textForm, noun: "a year or months", example: "2028-04..2028-06"}},
		{key: "set", need: true, doc: "What is otherwise: a figure, and its value then (0.69 GBP/kg), or how many times what it was (x 1.33).",
			is: tableShape("figures with their values", "What this figure is then: a value with its unit, or x and a number.", "what %s is set to", figureRule, changeShape)},
	}})

// risk reads how the plan is simulated.
func (p *page) risk(v *value) {
	s := &p.farm.Risk
	s.Runs, s.Seed, s.Place = risk.DefaultRuns, 1, p.file.Span(0, 0)
	if v == nil {
		return
	}
	s.Place = v.keySpan
	number := func(key string, label say.Text, otherwise string, put func(x float64)) {
		p.inputOr("risk."+key, label, v.get(key), v.keySpan, otherwise)
		l := v.get(key)
		if l == nil || l.leaf == nil {
			return
		}
		if x := l.leaf.Value; x != math.Trunc(x) {
			p.fail(source.OutOfRange, l.span, "the %s is %s; expected a whole number", words(key), leaf.Clip(l.span.Text()))
		} else {
			put(x)
		}
	}
	number("runs", "Runs of the simulation", "10000", func(x float64) { s.Runs = int(x) })
	number("seed", "Seed of the simulation", "1", func(x float64) { s.Seed = uint64(x) })
	if v.str("shape") == "triangular" {
		s.Shape = risk.Triangular
	}
	s.Fixed = p.refs(v.get("fixed"))
	for _, g := range v.get("groups").all() {
		group := risk.Group{ID: g.key, Of: p.refs(g.get("of")), Against: p.refs(g.get("against")), Except: p.refs(g.get("except"))}
		p.input("risk.groups."+g.key+".correlation", say.With("Correlation within the group %s", words(g.key)), g.get("correlation"))
		if c := g.get("correlation"); c != nil && c.leaf != nil {
			group.Correlation = c.leaf.Value
		}
		if each := g.get("each_year"); each != nil {
			group.EachYear = each.truth
		}
		s.Groups = append(s.Groups, group)
	}
}

// refs reads a list of names that may stand for many.
func (p *page) refs(v *value) []risk.Ref {
	var refs []risk.Ref
	for _, e := range v.all() {
		if !refText.MatchString(e.text) {
			p.fail(source.Syntax, e.span, "%s is not the name of an input, nor the beginning of one", leaf.Clip(e.text)).
				With("write it as prices, garden.salad_yield or garden.*_yield")
			continue
		}
		refs = append(refs, risk.Ref{Text: e.text, At: e.span})
	}
	return refs
}

// scenarios reads what may happen.
func (p *page) scenarios(v *value) {
	for _, e := range v.all() {
		x := risk.Scenario{ID: e.key, Label: labelOf(e), Note: e.str("note"), Place: e.keySpan}
		if over := e.get("over"); over != nil {
			x.Over = over.span
			var ok bool
			if x.From, x.To, ok = parseMonths(over.text); !ok {
				p.fail(source.Syntax, over.span, "%s is neither a year nor months", leaf.Clip(over.text)).With("write it as 2028, 2028-04 or 2028-04..2028-06")
				continue
			}
		}
		for _, c := range e.get("set").all() {
			if change, ok := p.change(c); ok {
				x.Changes = append(x.Changes, change)
			}
		}
		if e.get("set") != nil && len(e.get("set").all()) == 0 && !e.get("set").broken {
			p.fail(source.Missing, e.keySpan, "the scenario %s changes nothing", words(e.key)).With("add a figure under set, such as broilers.grower_feed: x 1.33")
		}
		p.farm.Scenarios = append(p.farm.Scenarios, x)
		if x.Note != "" {
			p.fact("scenarios."+x.ID+".note", x.Note)
		}
	}
}

// parseMonths reads 2028, 2028-04 or 2028-04..2028-06.
func parseMonths(text string) (from, to plan.Month, ok bool) {
	first, last, span := strings.Cut(text, "..")
	first, last = strings.TrimSpace(first), strings.TrimSpace(last)
	month := regexp.MustCompile(`^[0-9]{4}(-(0[1-9]|1[0-2]))?$`)
	if !span {
		last = first
	}
	if !month.MatchString(first) || !month.MatchString(last) {
		return 0, 0, false
	}
	from, _ = plan.ParseMonth(first)
	to, _ = plan.ParseMonth(last)
	if len(last) == 4 {
		to += 11
	}
	return from, to, from <= to
}

// change reads what a figure is set to.
func (p *page) change(v *value) (risk.Change, bool) {
	c := risk.Change{Figure: risk.Ref{Text: v.key, At: v.keySpan}, Scope: p.prefix, At: v.span}
	if m := timesText.FindStringSubmatch(v.text); m != nil {
		x, err := strconv.ParseFloat(strings.ReplaceAll(m[1], "_", ""), 64)
		if err != nil || x < 0 || math.IsInf(x, 0) {
			p.fail(source.Syntax, v.span, "%s does not say how many times", leaf.Clip(v.text)).With("write x and a number of 0 or more, as x 1.33 for a third more or x 0.75 for a quarter less")
			return c, false
		}
		c.Times, c.Value = true, quantity.Quantity{Value: x, Unit: quantity.Unit{Factor: 1}}
		return c, true
	}
	if strings.HasPrefix(v.text, "+") || strings.HasPrefix(v.text, "-") && strings.HasSuffix(v.text, "%") {
		e := p.fail(source.Syntax, v.span, "%s could mean a share more or less, or a value", leaf.Clip(v.text))
		if x, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(v.text, "%")), 64); err == nil && strings.HasSuffix(v.text, "%") && x >= -100 {
			e.With("for that much more or less write x %s", strconv.FormatFloat(1+x/100, 'g', 6, 64))
		} else {
			e.With("write x 1.33 for a third more, or the value with its unit")
		}
		return c, false
	}
	q, err := p.loader.units.Parse(v.text)
	if err != nil {
		p.fail(source.Syntax, v.span, "%s: %v", leaf.Clip(v.text), err).With("write a value with its unit, as 0.69 %s/kg, or x 1.33 for a third more", p.loader.units.Currency())
		return c, false
	}
	c.Value = q
	return c, true
}
