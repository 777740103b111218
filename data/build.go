package data

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/unicode/norm"
	"gopkg.in/yaml.v3"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

const defaultHorizon = 5

// mostThings bounds counts, mostSummed the tables that are added up in one
// formula.
const (
	mostThings = 300
	mostSummed = 500
)

// notGiven is the note of a figure that the files leave to its default.
const notGiven = "not given in the data; this is the default"

// label makes a name readable: "Chicks a batch".
func label(name string) string {
	text := words(name)
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// labelOf is the label that an entry gives itself, or its key made readable.
func labelOf(v *value) string {
	if text := v.str("label"); text != "" {
		return text
	}
	return label(v.key)
}

// slug makes a name of a label: lower case, what is not a letter or digit
// becomes _, accents are dropped.
func slug(text string) string {
	var b strings.Builder
	gap := false
	for _, c := range norm.NFD.String(strings.ToLower(text)) {
		switch {
		case c >= 'a' && c <= 'z' || c >= '0' && c <= '9':
			if gap && b.Len() > 0 {
				b.WriteByte('_')
			}
			gap = false
			b.WriteRune(c)
		case c >= 0x300 && c < 0x370: // an accent parted from its letter
		default:
			gap = true
		}
	}
	return b.String()
}

// input defines a figure by a leaf; one that could not be read is left out.
func (p *page) input(name string, label say.Text, v *value) bool {
	switch {
	case v == nil:
		return false
	case v.failed != nil:
		p.failed(name, label, v.span, v.failed)
		return true
	case v.leaf == nil:
		return false
	}
	l := v.leaf
	if l.label != "" {
		label = say.Own(l.label)
	}
	p.mean(name, l.meant)
	p.farm.Definitions = append(p.farm.Definitions, figures.Definition{
		Name: p.prefix + "." + name, Label: label, Scope: p.prefix, Place: l.span, Note: say.Own(l.note),
		Value: l.Quantity, Series: l.series, Low: l.low, High: l.high, Source: say.Own(l.source), AsOf: l.asOf,
	})
	return true
}

// word defines a figure that is a date, a choice, or yes or no:
// otherwise, if it is not given. A date that is not given is no figure.
func (p *page) word(name string, label say.Text, v *value, at source.Span, otherwise string) {
	d := figures.Definition{Name: p.prefix + "." + name, Label: label, Scope: p.prefix, Place: at, Note: notGiven}
	if v != nil {
		d.Place, d.Note = v.span, ""
		if l := v.leaf; l != nil {
			d.Note, d.Source, d.AsOf = say.Own(l.note), say.Own(l.source), l.asOf
			if l.label != "" {
				d.Label = say.Own(l.label)
			}
		}
		otherwise = v.text
	}
	d.Value.Unit = quantity.Unit{Factor: 1}
	switch choices := choicesOf[name[strings.LastIndexByte(name, '.')+1:]]; {
	case choices != nil:
		d.Kind, d.Choices = formula.Choice, choices
		place, _ := choices.Place(otherwise)
		d.Value.Value = float64(place)
	case otherwise == "true" || otherwise == "false":
		d.Kind = formula.Truth
		if otherwise == "true" {
			d.Value.Value = 1
		}
	case otherwise == "":
		return
	default:
		d.Kind = formula.Date
		d.Value, _ = calendarDay(otherwise) // the reader has checked it
	}
	p.farm.Definitions = append(p.farm.Definitions, d)
}

// choicesOf has the words that a figure can be, by the last part of its name, in
// the order of the shapes.
var choicesOf = map[string]*formula.Choices{
	"kind":         {Words: []say.Text{"savings", "loan", "grant", "gift", "other"}},
	"repaid":       {Words: []say.Text{"level", "equal_principal", "at_end"}},
	"depreciation": {Words: []say.Text{"straight_line", "declining_balance"}},
}

// mean keeps the answer to a warning of a figure.
func (p *page) mean(name, why string) {
	if why != "" {
		p.farm.meant[p.prefix+"."+name] = why
	}
}

// failed defines a figure whose value or formula could not be read.
func (p *page) failed(name string, label say.Text, at source.Span, why *source.Error) {
	p.farm.Definitions = append(p.farm.Definitions, figures.Definition{
		Name: p.prefix + "." + name, Label: label, Scope: p.prefix, Place: at, Failed: why,
	})
}

// inputOr is input with a default for a leaf that is not given.
func (p *page) inputOr(name string, label say.Text, v *value, at source.Span, otherwise string) {
	if v != nil || p.loader.units == nil {
		p.input(name, label, v)
		return
	}
	q, err := p.loader.units.Parse(otherwise)
	if err != nil {
		panic("data: default of " + name + ": " + err.Error())
	}
	p.farm.Definitions = append(p.farm.Definitions, figures.Definition{
		Name: p.prefix + "." + name, Label: label, Scope: p.prefix, Place: at, Note: notGiven, Value: q,
	})
}

// worked defines a figure by a formula that the farmer wrote.
func (p *page) worked(name string, label say.Text, v *value, want *figures.Want) {
	switch {
	case v == nil:
		return
	case v.failed != nil:
		p.failed(name, label, v.span, v.failed)
		return
	case v.formula.File == nil:
		return
	}
	if v.label != "" {
		label = say.Own(v.label)
	}
	p.farm.Definitions = append(p.farm.Definitions, figures.Definition{
		Name: p.prefix + "." + name, Label: label, Scope: p.prefix, Place: v.span, Note: say.Own(v.note), Formula: v.formula, Want: want,
	})
}

// amount defines a figure by a leaf or a formula.
func (p *page) amount(name string, label say.Text, v *value) {
	if v == nil || p.input(name, label, v) {
		return
	}
	var want *figures.Want
	if w := v.shape.want; w != nil && w.dims != nil && p.loader.units != nil {
		want = &figures.Want{What: label.String(), Dimensions: w.dims(quantity.Base(p.loader.units.Currency()))}
	}
	p.worked(name, label, v, want)
}

// derived defines a figure by a formula of the engine's own.
func (p *page) derived(name string, label say.Text, at source.Span, formula string, w *want) {
	d := figures.Definition{
		Name: p.prefix + "." + name, Label: label, Scope: p.prefix, Place: at, Formula: source.Derived(at, formula).Whole(), Engine: true,
	}
	if w != nil && p.loader.units != nil {
		d.Want = &figures.Want{What: label.String(), Dimensions: w.dims(quantity.Base(p.loader.units.Currency()))}
	}
	p.farm.Definitions = append(p.farm.Definitions, d)
}

// sum is the formula that adds figures, or nothing of the given unit.
func sum(names []string, unit string) string {
	if len(names) == 0 {
		return "0 " + unit
	}
	return strings.Join(names, " + ") + " as " + unit
}

// engineInputs are those of a farm's free inputs that the engine looks for by
// name, so that they have a label of the program's own.
var engineInputs = map[string]say.Text{
	"farm.target_income": "Target income", "farm.hired_hours_a_month": "Hired hours a month",
	"finance.capital_for_enterprises": "Capital for enterprises",
	"farm.weight_land":                "Weight land", "farm.weight_capital": "Weight capital", "farm.weight_hours": "Weight hours",
	"farm.weight_peak_hours": "Weight peak hours", "farm.weight_winter_income": "Weight winter income",
	"farm.weight_return_per_hour": "Weight return per hour", "farm.weight_payback": "Weight payback",
}

// free defines the figures of inputs and worked.
func (p *page) free() {
	for _, v := range p.root.get("inputs").all() {
		name, known := engineInputs[p.prefix+"."+v.key]
		if !known {
			name = say.Own(label(v.key))
		}
		p.input(v.key, name, v)
		p.doubtShare(v)
	}
	for _, v := range p.root.get("worked").all() {
		p.worked(v.key, say.Own(label(v.key)), v, nil)
	}
}

// fact keeps a text under a name, unless it is empty.
func (p *page) fact(name, text string) {
	if text != "" {
		p.farm.Facts[p.prefix+"."+name] = say.Own(text)
	}
}

// at is where a key of the page's root stands, or where the page's figures
// stand otherwise.
func (p *page) at(key string) source.Span {
	if v := p.root.get(key); v != nil && v.keySpan.File != nil {
		return v.keySpan
	}
	return p.start
}

// few reports a table that is too long to be added up.
func (p *page) few(v *value, what string) bool {
	if v == nil || len(v.entries) <= mostSummed {
		return true
	}
	p.fail(source.Unsafe, v.keySpan, "there are more than %d %s", mostSummed, what)
	return false
}

// under has what stands before the name of what is referred to, where that is no
// enterprise, in the names of its figures.
var under = map[string]string{"a channel": "prices.channels.", "a product of the price list": "prices.", "a kind of land": "farm.land."}

// refer checks that a text names one of known; nil stands for names that could
// not be read, which are not checked against.
func (p *page) refer(at source.Span, word string, known []string, what, where string) bool {
	if known == nil || slices.Contains(known, word) {
		return true
	}
	e := p.fail(source.Unknown{Name: under[what] + word}, at, "%s is not %s", leaf.Clip(word), what)
	switch near := p.nearest(word, known); {
	case near != "":
		e.With("did you mean %s?", near)
	case len(known) > 0 && len(known) <= 12:
		e.With("%s has %s", where, leaf.List(known, "and"))
	default:
		e.With("add it to %s", where)
	}
	return false
}

// findUnits reads the currency and the counted things, which every other value
// needs; what is wrong in their form is reported when the file is read as a
// whole.
func (l *loader) findUnits(d *document) {
	kept := len(d.errs)
	defer func() { d.errs = d.errs[:kept] }()
	top := &shape{form: recordForm, fields: []*field{farmShape.field("currency"), farmShape.field("units"), farmShape.field("counts")}}
	if d.Root != nil && d.Root.Kind != yaml.MappingNode {
		return
	}
	var v *value
	if d.Root != nil {
		v = (&reader{document: d}).read(d.Root, top, place{})
		l.uncounted = wrongThings(d.Root)
	}
	code := v.get("currency")
	if code != nil {
		if _, err := quantity.NewSystem(code.text, nil); err != nil {
			l.fail(source.UnknownRef, code.span, "%v", err)
		} else {
			l.money = true
		}
	}
	currency := "GBP" // stands in: with the currency unknown, money is not checked
	if l.money {
		currency = code.text
	}
	table := v.get("counts").all()
	if len(table) > mostThings {
		l.fail(source.Unsafe, v.get("counts").keySpan, "more than %d things are counted", mostThings)
		table = table[:mostThings]
	}
	l.units = l.system(currency, table)
	if l.units != nil && v.str("units") == "customary" {
		l.units = l.units.Customary()
	}
	if !l.money || len(l.uncounted) > 0 {
		l.farm.Unread = true
	}
}

// wrongThings lists the keys of counts that are not names.
func wrongThings(root *yaml.Node) []string {
	var names []string
	for i := 0; i+1 < len(root.Content); i += 2 {
		counts := root.Content[i+1]
		if root.Content[i].Value != "counts" || counts.Kind != yaml.MappingNode {
			continue
		}
		for j := 0; j+1 < len(counts.Content) && j < 2*mostThings; j += 2 {
			if key := counts.Content[j].Value; !isName(key) {
				names = append(names, key, nearName(key))
			}
		}
	}
	return names
}

type thing struct {
	quantity.Thing
	key, at source.Span
}

// system builds the units, leaving out and reporting each thing that can't be
// counted.
func (l *loader) system(currency string, table []*value) *quantity.System {
	var things []thing
	for _, v := range table {
		t := thing{Thing: quantity.Thing{Name: v.key, Plural: v.str("plural"), Shown: v.str("shown"), Pack: v.str("pack")}, key: v.keySpan, at: v.span}
		if v.text != "" {
			if first := v.text[0]; first >= '0' && first <= '9' || first == '.' || first == '-' {
				t.Pack = v.text
			} else {
				t.Plural = v.text
			}
		} else if pack := v.get("pack"); pack != nil {
			t.at = pack.span
		}
		things = append(things, t)
	}
	// A pack may hold what is declared further down.
	slices.SortStableFunc(things, func(a, b thing) int { return min(len(a.Pack), 1) - min(len(b.Pack), 1) })
	good := []quantity.Thing{}
	try := func(more ...quantity.Thing) (*quantity.System, error) {
		return quantity.NewSystem(currency, append(slices.Clone(good), more...))
	}
	all := make([]quantity.Thing, len(things))
	for i, t := range things {
		all[i] = t.Thing
	}
	if s, err := try(all...); err == nil {
		return s
	}
	for progress := true; progress; {
		progress = false
		var left []thing
		for _, t := range things {
			if _, err := try(t.Thing); err == nil {
				good = append(good, t.Thing)
				progress = true
			} else {
				left = append(left, t)
			}
		}
		things = left
	}
	for _, t := range things {
		_, err := try(t.Thing)
		at := t.key
		if t.Pack != "" {
			if _, nameErr := try(quantity.Thing{Name: t.Name, Plural: t.Plural}); nameErr == nil {
				at = t.at
			}
		}
		l.fail(source.WrongUnit, at, "%v", err)
		l.uncounted = append(l.uncounted, t.Name)
	}
	s, err := try()
	if err != nil {
		panic("data: " + err.Error())
	}
	return s
}

func (l *loader) farmFile(d *document) {
	p := l.open(d, "farm", farmShape)
	defer p.close()
	f, root := l.farm, p.root
	f.Units = l.units
	f.Name, f.About = root.str("name"), root.str("about")
	if name := root.get("name"); name != nil {
		l.fallback = name.keySpan
	} else {
		l.fallback = p.start
	}
	p.fact("name", f.Name)
	p.fact("about", f.About)
	p.book(root.get("book"))
	for _, v := range root.get("front").all() {
		f.Front = append(f.Front, Front{v.text, v.span})
	}
	for _, v := range root.get("people").all() {
		person := Person{ID: v.key, Name: v.str("name"), Note: v.str("note"), Place: v.keySpan}
		called := person.Name
		if called == "" {
			called = label(v.key)
		}
		person.HasHours = p.input("people."+v.key+".hours", say.With("%s, time for the farm", called), v.get("hours"))
		person.HasIncome = p.input("people."+v.key+".income", say.With("%s, income off the farm", called), v.get("income"))
		p.input("people."+v.key+".elsewhere", say.With("%s, work elsewhere", called), v.get("elsewhere"))
		p.input("people."+v.key+".away", say.With("%s, time away", called), v.get("away"))
		person.Until = v.str("until")
		p.word("people."+v.key+".until", say.With("%s, elsewhere until", person.Name), v.get("until"), v.keySpan, "")
		p.fact("people."+v.key+".name", person.Name)
		p.fact("people."+v.key+".note", person.Note)
		f.People = append(f.People, person)
	}
	where := root.get("place")
	f.Place.Name, f.Place.Country = where.str("name"), where.str("country")
	f.Place.HasLatitude = p.input("latitude", "Latitude", where.get("latitude"))
	f.Place.HasAltitude = p.input("altitude", "Altitude", where.get("altitude"))
	p.fact("place.name", f.Place.Name)
	p.fact("place.country", f.Place.Country)
	if l.money {
		f.Currency = l.units.Currency()
		p.fact("currency", f.Currency)
	}
	p.language(root.get("language"))
	f.Metric = root.str("units") != "customary"
	frost := root.get("frost")
	p.input("last_frost", "Last frost of spring", frost.get("last"))
	p.input("first_frost", "First frost of autumn", frost.get("first"))
	p.doubtFrost(frost, root.get("place").get("latitude"))
	p.landKinds(root.get("land"))
	labour := root.get("labour")
	p.input("wage", "Wage", labour.get("wage"))
	if wage := labour.get("wage"); wage == nil && len(l.enterprises) > 0 && root != nil && !root.broken && (labour == nil || !labour.broken) {
		p.fail(source.Missing, p.at("labour"), "the farm has no wage, which its enterprises need to reckon hired help").
			With("add a line such as labour: {wage: 12.50 %s/h}", p.reader.currency())
	}
	if labour.get("wage") == nil && len(l.enterprises) > 0 {
		p.failed("wage", "Wage", p.at("labour"), p.last())
	}
	p.inputOr("employment", "Employer's on-cost", labour.get("employment"), p.at("labour"), "0 %")
	p.horizon(root.get("horizon"))
	p.planned(root.get("plan"))
	p.print(root.get("parts"), root.get("print"))
	p.free()
}

func (p *page) book(v *value) {
	b := Book{Title: v.str("title"), Subtitle: v.str("subtitle"), Author: v.str("author"), Edition: v.str("edition")}
	if b.Title == "" {
		b.Title = p.farm.Name
	}
	p.farm.Book = b
	p.fact("book.title", b.Title)
	p.fact("book.subtitle", b.Subtitle)
	p.fact("book.author", b.Author)
	p.fact("book.edition", b.Edition)
}

func (p *page) language(v *value) {
	if v != nil {
		tag, err := language.Parse(v.text)
		if err != nil {
			p.fail(source.UnknownRef, v.span, "%q is not a language tag", leaf.Clip(v.text)).With("write one such as en-GB, de or de-CH")
			return
		}
		p.farm.Language, p.farm.LanguageAt = tag, v.span
	}
	p.fact("language", p.farm.Language.String())
}

func (p *page) landKinds(v *value) {
	if p.root != nil {
		p.land = map[string]string{}
	}
	rent := "0 " + p.reader.currency() + "/ha/year"
	if !p.farm.Metric {
		rent = "0 " + p.reader.currency() + "/acre/year"
	}
	for _, v := range v.all() {
		kind := LandKind{ID: v.key, Label: labelOf(v), Note: v.str("note"), Place: v.keySpan}
		name := "land." + v.key
		p.input(name+".area", say.With("%s, area", kind.Label), v.get("area"))
		p.inputOr(name+".rent", say.With("%s, rent", kind.Label), v.get("rent"), v.keySpan, rent)
		if more := v.get("rent_of_more"); more != nil {
			p.input(name+".rent_of_more", say.With("%s, rent of more", kind.Label), more)
		} else {
			p.derived(name+".rent_of_more", say.With("%s, rent of more", kind.Label), v.keySpan, p.prefix+"."+name+".rent", nil)
		}
		p.mean(name+".area", v.str("meant"))
		p.fact(name+".label", kind.Label)
		p.fact(name+".note", kind.Note)
		p.farm.Land = append(p.farm.Land, kind)
		p.land[v.key] = kind.Label
	}
	if v != nil && v.broken {
		p.land = nil // a kind may be missing only because of a slip reported already
	}
}

func (p *page) horizon(v *value) {
	p.inputOr("horizon", "Years of the plan", v, p.start, "5 year")
	if v == nil || v.leaf == nil {
		return
	}
	years := v.leaf.Value / yearSeconds
	if math.Abs(years-math.Round(years)) > 1e-9 {
		p.fail(source.OutOfRange, v.leaf.span, "the horizon is %s; expected whole years such as 5 year", leaf.Clip(v.leaf.span.Text()))
		return
	}
	p.farm.Horizon = int(math.Round(years))
}

// yes is a value that says yes or no in other words.
func yes(v *value, holds bool) *value {
	if v == nil {
		return nil
	}
	return &value{span: v.span, leaf: v.leaf, text: strconv.FormatBool(holds)}
}

// planned reads which enterprises are run.
func (p *page) planned(v *value) {
	list := v.get("enterprises")
	runs := map[string]*value{}
	defer func() {
		p.farm.Planned = p.trial.plan(p.enterprises, p.farm.Planned)
		for _, id := range p.enterprises {
			run := runs[id]
			if run == nil && list != nil {
				run = yes(list, false)
			}
			if holds, set := p.trial.runs[id]; set {
				run = yes(&value{span: p.start}, holds)
			}
			p.word("plan.runs."+id, say.With("%s is run", p.names[id]), run, p.start, "true")
		}
	}()
	if list == nil {
		return
	}
	p.farm.Planned = []string{}
	for _, e := range list.all() {
		if slices.Contains(p.farm.Planned, e.text) {
			p.fail(source.Duplicate, e.span, "%s is in the plan twice", leaf.Clip(e.text))
			continue
		}
		if p.refer(e.span, e.text, p.enterprises, "an enterprise", "data/enterprises") {
			p.farm.Planned = append(p.farm.Planned, e.text)
			runs[e.text] = yes(e, true)
		}
	}
}

func (l *loader) pricesFile(d *document) {
	p := l.open(d, "prices", pricesShape)
	defer p.close()
	if _, there := l.files["prices.yaml"]; p.root == nil && there {
		return // its channels are unknown, so nothing is checked against them
	}
	l.channels, l.products = []string{}, map[string][]string{}
	channels := p.root.get("channels")
	for _, v := range channels.all() {
		c := enterprise.Channel{ID: v.key, Label: labelOf(v), Place: v.keySpan}
		name := "channels." + v.key
		p.inputOr(name+".fee", say.With("%s, fee", c.Label), v.get("fee"), v.keySpan, "0 %")
		if l.units != nil {
			p.inputOr(name+".hours", say.With("%s, work for takings", c.Label), v.get("hours"), v.keySpan, "0 h/"+l.units.Currency())
		}
		c.HasLimit = p.input(name+".limit", say.With("%s, most in a year", c.Label), v.get("limit"))
		p.fact(name+".label", c.Label)
		p.fact(name+".note", v.str("note"))
		l.farm.Channels = append(l.farm.Channels, c)
		l.channels = append(l.channels, v.key)
	}
	if channels != nil && channels.broken {
		l.channels = nil
	}
	products := p.root.get("products")
	for _, v := range products.all() {
		product := enterprise.Product{ID: v.key, Label: labelOf(v), Place: v.keySpan}
		prices := v.get("by_channel")
		p.doubtPrices(v, prices)
		unsure := prices == nil || prices.broken
		for _, price := range prices.all() {
			if !p.refer(price.keySpan, price.key, l.channels, "a channel", "channels in data/prices.yaml") {
				unsure = true
				if near := p.nearest(price.key, l.channels); near != "" && prices.get(near) == nil {
					p.failed(v.key+"."+near, say.With("%s, %s", product.Label, l.channelLabel(near)), price.keySpan, p.last())
				}
				continue
			}
			p.input(v.key+"."+price.key, say.With("%s, %s", product.Label, l.channelLabel(price.key)), price)
			product.Channels = append(product.Channels, price.key)
		}
		p.fact(v.key+".label", product.Label)
		p.fact(v.key+".note", v.str("note"))
		l.farm.Products = append(l.farm.Products, product)
		l.products[v.key] = product.Channels
		if unsure {
			l.products[v.key] = nil
		}
	}
	if products != nil && products.broken {
		l.products = nil
	}
	p.free()
}

func (l *loader) channelLabel(id string) say.Text {
	for _, c := range l.farm.Channels {
		if c.ID == id {
			return say.Mid(c.Label)
		}
	}
	return say.Own(words(id))
}

func (l *loader) climateFile(d *document) {
	p := l.open(d, "climate", climateShape)
	defer p.close()
	p.free()
}

func (l *loader) casesFile(d *document) {
	p := l.open(d, "cases", casesShape)
	defer p.close()
	for _, farm := range p.root.get("farms").all() {
		name := labelOf(farm)
		for _, v := range farm.get("figures").all() {
			before := len(p.farm.Definitions)
			p.input(farm.key+"."+v.key, say.With("%s, %s", say.Own(name), say.Own(words(v.key))), v)
			for i := before; i < len(p.farm.Definitions); i++ {
				f := &p.farm.Definitions[i]
				if f.Source == "" {
					f.Source, f.AsOf = say.Own(farm.str("source")), cmp.Or(f.AsOf, farm.str("as_of"))
				}
			}
		}
		p.fact(farm.key+".label", name)
		p.fact(farm.key+".note", farm.str("note"))
	}
	p.free()
}

// shares defines the shares by enterprise of one thing and returns the
// enterprises. More than the whole is an error.
func (p *page) shares(name, label string, v *value) []string {
	var ids []string
	total := 0.
	for _, share := range v.all() {
		known := p.enterprises
		if known == nil {
			known = []string{}
		}
		if !p.refer(share.keySpan, share.key, known, "an enterprise", "data/enterprises") {
			p.lack(name+"."+share.key, share)
			continue
		}
		p.input(name+"."+share.key, say.With("%s, share of %s", label, p.names[share.key]), share)
		if share.leaf != nil {
			total += share.leaf.Value
		}
		ids = append(ids, share.key)
	}
	if total > 1+1e-9 {
		p.fail(source.OutOfRange, v.keySpan, "the shares of %s come to %.4g %%; expected 100 %% or less together", label, total*100)
	}
	return ids
}

// lack notes an enterprise that is named and not there, whose share is a figure
// that fails.
func (p *page) lack(name string, share *value) {
	why := p.reader.last()
	p.failed(name, say.Own(words(share.key)), share.keySpan, why)
	if p.lacking == nil {
		p.lacking = map[string]*source.Error{}
	}
	if p.lacking[share.key] == nil {
		p.lacking[share.key] = why
	}
}

// perEnterprise defines, for every enterprise, the sum of its shares of yearly
// costs, and what no enterprise bears. The terms are by enterprise.
func (p *page) perEnterprise(stem string, label, restLabel say.Text, rest string, at source.Span, terms map[string][]string, total, unit string) {
	left := p.prefix + "." + total
	for _, id := range slices.Sorted(maps.Keys(p.lacking)) {
		p.failed(stem+id, say.With(label, words(id)), at, p.lacking[id])
	}
	for _, id := range p.enterprises {
		p.derived(stem+id, say.With(label, p.names[id]), at, sum(terms[id], unit), wantPay)
		left += " - " + p.prefix + "." + stem + id
	}
	// What should be nothing is a hair off it where shares were added up.
	p.derived(rest, restLabel, at, "round("+left+", 0.01 "+unit+") as "+unit, wantPay)
}

func (l *loader) infrastructureFile(d *document) {
	p := l.open(d, "infrastructure", infrastructureShape)
	defer p.close()
	if l.units == nil {
		return
	}
	money := l.units.Currency()
	yearUnit := money + "/year"
	var totals, yearlies []string
	terms := map[string][]string{}
	items := p.root.get("items")
	if p.few(items, "items") {
		for _, v := range items.all() {
			item := Item{ID: v.key, Label: labelOf(v), Group: v.str("group"), Bought: v.str("bought"), Note: v.str("note"), Place: v.keySpan}
			full := "infrastructure." + v.key
			p.word(v.key+".bought", say.With("%s, bought", item.Label), v.get("bought"), v.keySpan, "")
			number := v.get("number")
			if number == nil {
				p.inputOr(v.key+".number", say.With("%s, number", item.Label), nil, v.keySpan, "1")
			}
			p.amount(v.key+".number", say.With("%s, number", item.Label), number)
			p.input(v.key+".cost", say.With("%s, cost each", item.Label), v.get("cost"))
			p.input(v.key+".life", say.With("%s, life", item.Label), v.get("life"))
			p.inputOr(v.key+".residual", say.With("%s, left at the end", item.Label), v.get("residual"), v.keySpan, "0 %")
			p.numberTimesCost(item, number, v.get("cost"))
			p.derived(v.key+".total", say.With("%s, cost", item.Label), v.keySpan, full+".number * "+full+".cost as "+money, wantMoney)
			p.derived(v.key+".yearly", say.With("%s, a year", item.Label), v.keySpan, full+".total * (1 - "+full+".residual) / "+full+".life as "+yearUnit, wantPay)
			item.UsedBy = p.shares(v.key+".used_by", item.Label, v.get("used_by"))
			for _, id := range item.UsedBy {
				terms[id] = append(terms[id], full+".yearly * "+full+".used_by."+id)
			}
			totals = append(totals, full+".total")
			yearlies = append(yearlies, full+".yearly")
			p.fact(v.key+".label", item.Label)
			p.fact(v.key+".group", item.Group)
			p.fact(v.key+".note", item.Note)
			l.farm.Infrastructure = append(l.farm.Infrastructure, item)
		}
	}
	at := p.at("items")
	p.derived("total", "Infrastructure, cost", at, sum(totals, money), wantMoney)
	p.derived("yearly", "Infrastructure, a year", at, sum(yearlies, yearUnit), wantPay)
	p.perEnterprise("for_", "Infrastructure for %s", "Infrastructure for no enterprise in particular", "unshared", at, terms, "yearly", yearUnit)
	p.free()
}

// numberTimesCost checks that a number and a cost that are both plain values
// make money together, so that the error stands at the cost and not at a
// formula that nobody wrote.
func (p *page) numberTimesCost(item Item, number, cost *value) {
	if cost == nil || cost.leaf == nil || number != nil && number.leaf == nil || !p.loader.money {
		return
	}
	dimension := cost.leaf.Unit.Dimension
	counted := "a number without a unit"
	if number != nil {
		dimension = dimension.Mul(number.leaf.Unit.Dimension)
		if len(number.leaf.Unit.Parts) > 0 {
			counted = "a number in " + number.leaf.Unit.String()
		}
	}
	if dimension != quantity.Base(p.loader.units.Currency()) {
		p.fail(source.WrongUnit, cost.leaf.span, "the cost of %s is in %s, which does not go with %s", words(item.ID), cost.leaf.Unit, counted).
			With("give the number in what the cost is for, as 12 pen with 380 %s/pen, or both without", p.loader.units.Currency())
	}
}

func (l *loader) financeFile(d *document) {
	p := l.open(d, "finance", financeShape)
	defer p.close()
	if l.units == nil {
		return
	}
	money := l.units.Currency()
	p.startUp(money)
	p.overheads(money + "/year")
	p.planning(p.root.get("plan"))
	p.risk(p.root.get("risk"))
	p.scenarios(p.root.get("scenarios"))
	p.recordKeys(p.root.get("records"))
	p.free()
}

// planning reads how the whole farm is planned.
func (p *page) planning(v *value) {
	p.farm.Planning.Start = v.str("start")
	p.word("plan.start", "First month of the plan", v.get("start"), p.at("plan"), "")
	for _, s := range v.get("starts").all() {
		if p.refer(s.keySpan, s.key, p.enterprises, "an enterprise", "data/enterprises") {
			p.doubtStart(s)
			p.word("plan.starts."+s.key+".from", say.With("%s, start", p.names[s.key]), s.get("from"), s.keySpan, "")
			p.word("plan.starts."+s.key+".sells_from", say.With("%s, first sales", p.names[s.key]), s.get("sells_from"), s.keySpan, "")
		}
	}
	p.amount("plan.drawings", "Taken out by the household", v.get("drawings"))
	p.amount("plan.tax", "Share of profit set aside for tax", v.get("tax"))
	p.input("plan.tax_paid_after", "Tax is paid after", v.get("tax_paid_after"))
	p.inputOr("plan.discount", "Rate at which later money is worth less", v.get("discount"), p.at("plan"), "5 %/year")
	overdraft := v.get("overdraft")
	p.input("plan.overdraft.limit", "Limit of the overdraft", overdraft.get("limit"))
	p.input("plan.overdraft.rate", "Interest on the overdraft", overdraft.get("rate"))
	p.word("plan.depreciation", "How equipment loses value", v.get("depreciation"), p.at("plan"), "straight_line")
	p.input("plan.declining_times", "Declining balance, times the straight line's rate", v.get("declining_times"))
	tax := v.get("sales_tax")
	p.word("plan.sales_tax.registered", "Registered for sales tax", tax.get("registered"), p.at("plan"), "false")
	p.word("plan.sales_tax.without_tax", "Prices are without sales tax", yes(tax.get("prices"), tax.str("prices") == "without"), p.at("plan"), "false")
	for _, group := range plan.PriceGroups() {
		p.input("plan.sales_tax."+group, say.With("Sales tax on %s", plan.PriceGroup(group)), tax.get(group))
		p.input("plan.inflation."+group, say.With("Rise of %s a year", plan.PriceGroup(group)), v.get("inflation").get(group))
	}
	for _, t := range plan.Thresholds {
		p.input("plan.usual."+t.ID, t.Label, v.get("usual").get(t.ID))
	}
}

func (p *page) startUp(money string) {
	var total []string
	sources := p.root.get("sources")
	if p.few(sources, "sources of money") {
		for _, v := range sources.all() {
			s := Source{ID: v.key, Label: labelOf(v), Kind: v.str("kind"), Note: v.str("note"), Place: v.keySpan}
			if s.Kind == "" {
				s.Kind = "other"
			}
			name := "sources." + v.key
			p.amount(name+".amount", say.Own(s.Label), v.get("amount"))
			s.HasRate = p.input(name+".rate", say.With("%s, interest", s.Label), v.get("rate"))
			s.HasTerm = p.input(name+".term", say.With("%s, term", s.Label), v.get("term"))
			p.input(name+".interest_only", say.With("%s, interest only for", s.Label), v.get("interest_only"))
			p.input(name+".balloon", say.With("%s, left for the last payment", s.Label), v.get("balloon"))
			p.input(name+".every", say.With("%s, time between payments", s.Label), v.get("every"))
			p.loanTerms(v)
			s.Received = v.str("received")
			p.word(name+".kind", say.With("%s, kind", s.Label), v.get("kind"), v.keySpan, s.Kind)
			p.word(name+".received", say.With("%s, received", s.Label), v.get("received"), v.keySpan, "")
			if s.Kind == "loan" || v.get("repaid") != nil {
				p.word(name+".repaid", say.With("%s, how it is paid back", s.Label), v.get("repaid"), v.keySpan, "level")
			}
			p.fact(name+".label", s.Label)
			p.fact(name+".note", s.Note)
			total = append(total, "finance."+name+".amount")
			p.farm.Sources = append(p.farm.Sources, s)
		}
	}
	var spent []string
	byGroup := map[string][]string{}
	uses := p.root.get("uses")
	if p.few(uses, "uses of money") {
		for _, v := range uses.all() {
			u := Use{ID: v.key, Label: labelOf(v), Group: v.str("group"), Note: v.str("note"), Place: v.keySpan}
			name := "uses." + v.key
			p.amount(name+".amount", say.Own(u.Label), v.get("amount"))
			u.Paid = v.str("paid")
			p.word(name+".paid", say.With("%s, paid", u.Label), v.get("paid"), v.keySpan, "")
			if u.HasLife = p.input(name+".life", say.With("%s, life", u.Label), v.get("life")); u.HasLife {
				p.inputOr(name+".residual", say.With("%s, left at the end", u.Label), v.get("residual"), v.keySpan, "0 %")
			}
			p.fact(name+".label", u.Label)
			p.fact(name+".group", u.Group)
			p.fact(name+".note", u.Note)
			spent = append(spent, "finance."+name+".amount")
			byGroup[u.Group] = append(byGroup[u.Group], "finance."+name+".amount")
			p.farm.Uses = append(p.farm.Uses, u)
		}
	}
	p.derived("sources_total", "Money to start, all sources", p.at("sources"), sum(total, money), wantMoney)
	p.derived("uses_total", "Money to start, all uses", p.at("uses"), sum(spent, money), wantMoney)
	for _, group := range useGroups {
		p.derived("uses_"+group, useGroupNames[group], p.at("uses"), sum(byGroup[group], money), wantMoney)
	}
	p.derived("difference", "Sources less uses", p.at("sources"), "finance.sources_total - finance.uses_total as "+money, wantMoney)
}

func (p *page) overheads(yearUnit string) {
	var total []string
	terms := map[string][]string{}
	table := p.root.get("overheads")
	if p.few(table, "overheads") {
		for _, v := range table.all() {
			o := Overhead{ID: v.key, Label: labelOf(v), Note: v.str("note"), Place: v.keySpan}
			name := "overheads." + v.key
			p.amount(name+".amount", say.Own(o.Label), v.get("amount"))
			o.SharedBy = p.shares(name+".shared", o.Label, v.get("shared"))
			for _, id := range o.SharedBy {
				terms[id] = append(terms[id], "finance."+name+".amount * finance."+name+".shared."+id)
			}
			p.fact(name+".label", o.Label)
			p.fact(name+".note", o.Note)
			total = append(total, "finance."+name+".amount")
			p.farm.Overheads = append(p.farm.Overheads, o)
		}
	}
	at := p.at("overheads")
	p.derived("overheads_total", "Overheads, a year", at, sum(total, yearUnit), wantPay)
	p.perEnterprise("overheads_for_", "Overheads for %s", "Overheads for no enterprise in particular", "overheads_unshared", at, terms, "overheads_total", yearUnit)
}
