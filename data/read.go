package data

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// A value is what the reader made of one node: checked against its shape, not
// yet given a meaning. Methods of a nil value answer as if it were empty, so
// that what was left out and what could not be read need no special care.
type value struct {
	shape   *shape
	key     string // its key in a record or table
	keySpan source.Span
	span    source.Span // of the value itself
	text    string      // textForm and its relatives
	truth   bool
	leaf    *input
	formula source.Span // formulaForm, plainForm, amountForm
	label   string      // long formula
	note    string
	kind    string        // kindForm: which
	entries []*value      // recordForm, tableForm, listForm: in the order of the file
	broken  bool          // part of it could not be read
	failed  *source.Error // why nothing of it could
}

// An input is a quantity or a monthly series with what is known of it.
type input struct {
	quantity.Quantity
	series    []float64
	low, high *float64
	source    string
	asOf      string
	label     string
	note      string
	meant     string // why it is so, where it looks like a slip
	span      source.Span
	formula   source.Span // the value as a formula
}

func (v *value) get(key string) *value {
	if v == nil {
		return nil
	}
	for _, e := range v.entries {
		if e.key == key {
			return e
		}
	}
	return nil
}

func (v *value) str(key string) string {
	if v = v.get(key); v == nil {
		return ""
	}
	return v.text
}

func (v *value) all() []*value {
	if v == nil {
		return nil
	}
	return v.entries
}

// mostErrors bounds the errors reported for one file.
const mostErrors = 100

// A document is one file of the data.
type document struct {
	*leaf.Document
	file *source.File
	errs source.Errors
	set  []int // where values stand that a trial put there
}

// parse reads a file's text into nodes.
func parse(name, text string) *document {
	d := &document{file: source.New(name, strings.TrimPrefix(text, "\ufeff"))}
	d.Document = leaf.Read(leaf.Whole(d.file), d.fail)
	return d
}

// fail records an error and returns it, so that a remedy can be added.
func (d *document) fail(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
	err := source.Errorf(kind, at, format, args...)
	if len(d.errs) < mostErrors {
		d.errs = append(d.errs, err)
	} else if len(d.errs) == mostErrors {
		d.errs = append(d.errs, source.Errorf(source.Unsafe, d.file.Span(len(d.file.Text), len(d.file.Text)), "more than %d mistakes in this file; the rest are not listed", mostErrors))
	}
	return err
}

// last is the error reported last: what could not be read follows from it.
func (d *document) last() *source.Error {
	if len(d.errs) == 0 { // reported elsewhere, as a wrong currency is
		return source.Errorf(source.Syntax, d.file.Span(0, 0), "this could not be read")
	}
	return d.errs[len(d.errs)-1]
}

// full reports whether further errors would not be kept, so that no time need
// go into wording them.
func (d *document) full() bool { return len(d.errs) > mostErrors }

// A reader checks the nodes of one document against shapes.
type reader struct {
	*document
	units *quantity.System // nil if not known: quantities are then not looked into
	money bool             // the currency is known

	uncounted []string // things that farm.yaml declares wrongly
}

// A place is where in a shape the reader stands, for the wording of errors.
type place struct {
	key   string      // nearest key; its span is where something missing is reported
	at    source.Span // of the key
	say   string      // what stands here, as "the area of pasture"
	owner string      // the entry around it, as "pasture"; may be empty
	value bool        // inside the long form of a value, which say names
}

func (r *reader) read(n *yaml.Node, s *shape, p place) *value {
	v := &value{shape: s, key: p.key, keySpan: p.at, span: r.At(n)}
	if leaf.IsNull(n) {
		v.span = p.at
		return r.empty(v, s, p)
	}
	switch s.form {
	case textForm, choiceForm, truthForm, nameForm, figureForm, datedForm:
		return r.text(n, v, p)
	case leafForm:
		return r.leaf(n, v, p)
	case rawForm:
		v.leaf = r.raw(n, s, p)
	case plainForm:
		return r.plainFormula(n, v, p)
	case lineForm:
		if n.Kind == yaml.MappingNode {
			return r.leaf(n, v, p)
		}
		return r.plainFormula(n, v, p)
	case formulaForm, amountForm:
		return r.formulaOrLeaf(n, v, p)
	case recordForm:
		return r.record(n, v, p)
	case tableForm:
		return r.table(n, v, p)
	case listForm:
		return r.list(n, v, p)
	case kindForm:
		return r.kindOf(n, v, p)
	case eitherForm:
		if n.Kind == yaml.MappingNode {
			return r.read(n, s.long, p)
		}
		if n.Kind != yaml.ScalarNode {
			return r.wrong(n, s, p)
		}
		return r.read(n, s.short, p)
	}
	if v.leaf == nil && s.form == rawForm {
		return nil
	}
	return v
}

// empty deals with a key that has nothing after its colon.
func (r *reader) empty(v *value, s *shape, p place) *value {
	switch {
	case s.blank:
		return v
	case s.form == tableForm, s.form == listForm:
		return v
	case s.form == recordForm:
		return r.lacking(v, p)
	}
	r.fail(source.Missing, p.at, "%s has no value", p.say).With("%s, or delete the key", r.expected(s))
	return nil
}

// expected says what a shape expects, as an instruction.
func (r *reader) expected(s *shape) string {
	if example := r.example(s); example != "" {
		return fmt.Sprintf("write %s such as %s", s.noun, example)
	}
	return "write " + s.noun
}

func (r *reader) currency() string {
	if r.units == nil {
		return "GBP"
	}
	return r.units.Currency()
}

func (r *reader) example(s *shape) string {
	if s.want != nil && s.example == "" {
		return s.want.exampleFor(r.currency())
	}
	if s.form == choiceForm {
		return s.words[0]
	}
	return strings.ReplaceAll(s.example, "GBP", r.currency())
}

// wrong reports a node of the wrong kind.
func (r *reader) wrong(n *yaml.Node, s *shape, p place) *value {
	expected := s.noun
	switch s.form {
	case recordForm:
		expected = "keys with values, such as " + s.fields[0].key + ":"
	case tableForm:
		expected = "names with what belongs to each"
	}
	e := r.fail(source.WrongType, r.At(n), "%s is %s here; expected %s", p.say, leaf.Found(n), expected)
	if example := r.example(s); example != "" && s.form != recordForm {
		e.With("write it like this: %s", example)
	}
	return nil
}

var (
	figureName = regexp.MustCompile(`^[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)*$`)
	dated      = regexp.MustCompile(datedPattern)
)

const (
	figurePattern = `^[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)*$`
	datedPattern  = `^[0-9]{4}(-(0[1-9]|1[0-2])(-(0[1-9]|[12][0-9]|3[01]))?)?$`
)

func (r *reader) text(n *yaml.Node, v *value, p place) *value {
	s := v.shape
	if s.figure && n.Kind == yaml.MappingNode {
		return r.longWord(n, v, p)
	}
	if n.Kind != yaml.ScalarNode {
		return r.wrong(n, s, p)
	}
	v.text = strings.TrimSpace(n.Value)
	if i := strings.IndexFunc(v.text, func(c rune) bool { return unicode.IsControl(c) && c != '\n' && c != '\t' }); i >= 0 {
		r.fail(source.Syntax, v.span, "%s holds an invisible control character", p.say).With("delete it")
		return nil
	}
	switch s.form {
	case textForm:
		if v.text == "" {
			return r.empty(v, s, p)
		}
	case truthForm:
		if v.text != "true" && v.text != "false" {
			r.fail(source.WrongType, v.span, "%s is %q; expected true or false", p.say, leaf.Clip(v.text))
			return nil
		}
		v.truth = v.text == "true"
	case choiceForm:
		if !r.OneOf(v.text, v.span, p.say, s.words) {
			return nil
		}
	case nameForm:
		if !isName(v.text) {
			r.fail(source.Syntax, v.span, "%s is %q; expected %s", p.say, leaf.Clip(v.text), nameRule.noun)
			return nil
		}
	case figureForm:
		if !figureName.MatchString(v.text) {
			r.fail(source.Syntax, v.span, "%s is %q; expected the name of a figure, such as carcass", p.say, leaf.Clip(v.text))
			return nil
		}
	case datedForm:
		if !dated.MatchString(v.text) {
			r.fail(source.Syntax, v.span, "%s is %q; expected a year, a month or a day", p.say, leaf.Clip(v.text)).With("write it as 2026, 2026-02 or 2026-02-14")
			return nil
		}
		if _, err := calendarDay(v.text); err != nil {
			r.fail(source.OutOfRange, v.span, "%s: %v", p.say, err)
			return nil
		}
	}
	return v
}

// calendarDay is the first day of what a year, a month or a day names.
func calendarDay(text string) (quantity.Quantity, error) {
	return quantity.ParseCalendar(text + "0000-01-01"[len(text):])
}

// longWord reads the long form of a date, a choice, or yes or no.
func (r *reader) longWord(n *yaml.Node, v *value, p place) *value {
	p.value = true
	long := r.record(n, &value{shape: wordRecord(v.shape)}, p)
	main := long.get("value")
	if main == nil {
		return nil
	}
	v.text, v.truth, v.span = main.text, main.truth, main.span
	v.leaf = &input{source: long.str("source"), asOf: long.str("as_of"), label: long.str("label"), note: long.str("note"), meant: long.str("meant")}
	return v
}

// nearest is source.Nearest unless the error is not kept anyway.
func (r *reader) nearest(word string, known []string) string {
	if r.full() {
		return ""
	}
	return source.Nearest(word, known)
}

func (r *reader) record(n *yaml.Node, v *value, p place) *value {
	s := v.shape
	if n.Kind != yaml.MappingNode {
		return r.wrong(n, s, p)
	}
	seen := map[string]source.Span{}
	meant := map[string]bool{} // keys that are there but misspelt
	whole := r.Entries(n, func(e leaf.Entry) bool {
		seen[e.Key] = e.At
		f := s.field(e.Key)
		if f == nil {
			v.broken = true
			meant[r.nearest(e.Key, s.keyNames())] = true
			r.UnknownKey(e, s.noun, s.keyNames())
			return !r.full()
		}
		r.child(v, e, f.is, inField(p, f, e.At))
		return !r.full()
	})
	v.broken = v.broken || !whole
	for _, f := range s.fields {
		switch _, given := seen[f.key]; {
		case !f.need || given:
		case meant[f.key]:
			v.addFailed(f, v.span, r.last())
		default:
			r.missing(v, f, p)
		}
	}
	r.ways(v, seen, p)
	return v
}

// child reads the value of an entry into v.
func (r *reader) child(v *value, e leaf.Entry, s *shape, p place) {
	child := r.read(e.Value, s, p)
	if child == nil {
		v.broken = true
		if child = failedValue(s, e.Key, e.At, r.last()); child == nil {
			return
		}
	}
	child.key = e.Key
	v.entries = append(v.entries, child)
}

// failedValue stands in for a value that could not be read, where it would have
// become a figure: so that whoever needs the figure is not told that it does
// not exist.
func failedValue(s *shape, key string, at source.Span, why *source.Error) *value {
	v := &value{shape: s, key: key, keySpan: at, span: at, broken: true}
	switch s.form {
	case leafForm, amountForm, formulaForm, lineForm, plainForm:
		v.failed = why
		return v
	case recordForm:
		for _, f := range s.fields {
			if f.need {
				v.addFailed(f, at, why)
			}
		}
		return v
	}
	return nil
}

func (v *value) addFailed(f *field, at source.Span, why *source.Error) {
	if child := failedValue(f.is, f.key, at, why); child != nil {
		v.entries = append(v.entries, child)
	}
}

// inField is the place of a record's field.
func inField(p place, f *field, at source.Span) place {
	say := f.say
	if say == "" {
		say = words(f.key)
	}
	say = "the " + say
	switch {
	case p.value && (f.key == "value" || f.key == "formula"):
		say = p.say
	case p.value:
		say += " of " + p.say
	case p.owner != "":
		say += " of " + p.owner
	}
	return place{key: f.key, at: at, say: say, owner: p.owner}
}

// lacking is a record without any entries.
func (r *reader) lacking(v *value, p place) *value {
	for _, f := range v.shape.fields {
		if f.need {
			r.missing(v, f, p)
		}
	}
	return v
}

func (r *reader) missing(v *value, f *field, p place) {
	v.broken = true
	at := p.at
	if at.File == nil {
		at = r.file.Span(0, 0)
	}
	e := r.fail(source.Missing, at, "%s has no %s", p.say, f.key)
	v.addFailed(f, at, e)
	example := r.example(f.is)
	if strings.HasPrefix(example, "{") || strings.HasPrefix(example, "- ") {
		example = ""
	}
	switch {
	case f.is.form == choiceForm:
		e.With("add %s: with one of %s", f.key, leaf.List(f.is.words, "or"))
	case example != "" && f.is.form != plainForm && f.is.form != lineForm:
		e.With("add a line such as %s: %s", f.key, example)
	default:
		e.With("add a line %s: with %s", f.key, f.is.noun)
	}
}

// ways checks keys that go together or exclude each other.
func (r *reader) ways(v *value, seen map[string]source.Span, p place) {
	s := v.shape
	if len(s.ways) == 0 {
		return
	}
	var given, options []string
	var at source.Span
	for _, f := range s.fields {
		if !slices.ContainsFunc(s.ways, func(way []string) bool { return slices.Contains(way, f.key) }) {
			continue
		}
		if span, ok := seen[f.key]; ok {
			given = append(given, f.key)
			if at.File == nil {
				at = span
			}
		}
	}
	for _, way := range s.ways {
		if len(way) == len(given) && !slices.ContainsFunc(way, func(key string) bool { return !slices.Contains(given, key) }) {
			return
		}
		if len(way) > 0 {
			options = append(options, leaf.List(way, "and"))
		}
	}
	v.broken = true
	expected := strings.Join(options, ", or ")
	if len(given) == 0 {
		r.fail(source.Missing, p.at, "%s has none of its keys %s", p.say, expected)
		return
	}
	r.fail(source.Syntax, at, "%s has %s; expected %s", p.say, leaf.List(given, "and"), expected)
}

func (r *reader) table(n *yaml.Node, v *value, p place) *value {
	s := v.shape
	if n.Kind != yaml.MappingNode {
		return r.wrong(n, s, p)
	}
	given := map[string]bool{}
	whole := r.Entries(n, func(e leaf.Entry) bool {
		given[e.Key] = true
		if !s.keys.ok(e.Key) {
			v.broken = true
			if near := r.wrongName(e, s); near != "" && !given[near] && (s.of.form == leafForm || s.of.form == formulaForm) {
				v.entries = append(v.entries, failedValue(s.of, near, e.At, r.last()))
				given[near] = true
			}
			return !r.full()
		}
		name := words(e.Key)
		if s.keys == monthRule {
			name = e.Key
		}
		r.child(v, e, s.of, place{key: e.Key, at: e.At, say: fmt.Sprintf(s.say, name), owner: name})
		return !r.full()
	})
	v.broken = v.broken || !whole
	return v
}

// wrongName reports a key that a table can't have, and returns the name that was
// meant.
func (r *reader) wrongName(e leaf.Entry, s *shape) string {
	err := r.fail(source.Syntax, e.At, "%q can't be used here; expected %s", leaf.Clip(e.Key), s.keys.noun)
	switch near := nearName(e.Key); {
	case e.Comma:
		err.With("%s", leaf.CommaRemedy)
	case formula.Reserved(e.Key):
		err.With("%s has a meaning in formulas", e.Key)
	case s.keys == nameRule && near != "":
		err.With("write it as %s", near)
		return near
	}
	return ""
}

// nearName turns a text into a name, if that leaves something.
func nearName(text string) string {
	if name := slug(text); isName(name) {
		return name
	}
	return ""
}

func (r *reader) list(n *yaml.Node, v *value, p place) *value {
	if n.Kind != yaml.SequenceNode {
		return r.wrong(n, v.shape, p)
	}
	for i, item := range n.Content {
		if r.full() {
			break
		}
		say := fmt.Sprintf("entry %d of %s", i+1, strings.TrimPrefix(p.say, "the "))
		child := r.read(item, v.shape.of, place{at: r.At(item), say: say})
		if child == nil {
			v.broken = true
			continue
		}
		v.entries = append(v.entries, child)
	}
	return v
}

// kindOf reads a record whose kind is told by one of its keys.
func (r *reader) kindOf(n *yaml.Node, v *value, p place) *value {
	s := v.shape
	if n.Kind != yaml.MappingNode {
		return r.wrong(n, s, p)
	}
	var kindNames, keys []string
	var found []*variant
	for _, variant := range s.variants {
		kindNames = append(kindNames, variant.kind)
		for i := 0; i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == variant.kind {
				found = append(found, variant)
				break
			}
		}
	}
	// A thing bought has a cost too, which does not make it one.
	found = slices.DeleteFunc(slices.Clone(found), func(v *variant) bool {
		return slices.ContainsFunc(found, func(other *variant) bool { return other != v && other.is.field(v.kind) != nil })
	})
	switch len(found) {
	case 0:
		for i := 0; i+1 < len(n.Content); i += 2 {
			keys = append(keys, n.Content[i].Value)
		}
		e := r.fail(source.Missing, p.at, "%s does not say what kind of line it is; expected a key %s", p.say, leaf.List(kindNames, "or"))
		for _, key := range keys {
			if near := r.nearest(key, kindNames); near != "" {
				e.With("did you mean %s instead of %s?", near, leaf.Clip(key))
				break
			}
		}
		return nil
	case 1:
		for i := 0; i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value != found[0].kind {
				continue
			}
			p.at = r.At(n.Content[i])
			if head := n.Content[i+1]; head.Kind == yaml.ScalarNode && head.Value != "" {
				p.owner = leaf.Clip(strings.TrimSpace(head.Value))
				p.say = p.owner
			}
			break
		}
		line := r.read(n, found[0].is, p)
		if line != nil {
			line.kind = found[0].kind
			line.keySpan = p.at
		}
		return line
	}
	r.fail(source.Duplicate, p.at, "this line is both %s and %s; expected one kind a line", found[0].kind, found[1].kind).With("make two lines of it")
	return nil
}

func (r *reader) leaf(n *yaml.Node, v *value, p place) *value {
	if n.Kind != yaml.MappingNode {
		v.leaf = r.raw(n, v.shape, p)
		if v.leaf == nil {
			return nil
		}
		return v
	}
	p.value = true
	long := r.record(n, &value{shape: leafRecord(v.shape.want, v.shape.single)}, p)
	if long == nil {
		return nil
	}
	main := long.get("value")
	if main == nil || main.leaf == nil {
		return nil
	}
	l := main.leaf
	l.source, l.asOf, l.label, l.note, l.meant = long.str("source"), long.str("as_of"), long.str("label"), long.str("note"), long.str("meant")
	r.bounds(l, long, p)
	v.leaf, v.span = l, l.span
	return v
}

// bounds takes over low and high and checks that the value lies between them.
func (r *reader) bounds(l *input, long *value, p place) {
	for _, key := range []string{"low", "high"} {
		bound := long.get(key)
		if bound == nil || bound.leaf == nil {
			continue
		}
		b := bound.leaf
		switch {
		case l.series != nil:
			r.fail(source.WrongType, b.span, "%s is a list of months and can't have one %s", p.say, key).With("delete %s", key)
			continue
		case b.Unit.Dimension != l.Unit.Dimension || b.Unit.IsDate() != l.Unit.IsDate():
			r.fail(source.WrongUnit, b.span, "the %s value of %s %s, but its value %s", key, p.say, in(b.Unit), in(l.Unit)).With("give both in the same unit")
			continue
		case slices.Contains(r.set, l.span.Start) && (key == "low") == (b.Value > l.Value):
			b.Value = l.Value
		case key == "low" && b.Value > l.Value:
			r.fail(source.OutOfRange, b.span, "the low value of %s is %s, more than its value %s", p.say, b.span.Text(), l.span.Text()).With("expected low, value and high in rising order")
			continue
		case key == "high" && b.Value < l.Value:
			r.fail(source.OutOfRange, b.span, "the high value of %s is %s, less than its value %s", p.say, b.span.Text(), l.span.Text()).With("expected low, value and high in rising order")
			continue
		}
		x := b.Value
		if key == "low" {
			l.low = &x
		} else {
			l.high = &x
		}
	}
}

// in words a unit as the end of "the area is ...".
func in(u quantity.Unit) string {
	switch {
	case u.IsDate():
		return "is a date"
	case len(u.Parts) == 0:
		return "has no unit"
	}
	return "is in " + u.String()
}

// raw reads a quantity, or a list of twelve.
func (r *reader) raw(n *yaml.Node, s *shape, p place) *input {
	switch {
	case n.Kind == yaml.SequenceNode && !s.single:
		return r.series(n, s, p)
	case n.Kind != yaml.ScalarNode:
		r.wrong(n, s, p)
		return nil
	}
	return r.quantity(n, s.want, p)
}

func (r *reader) series(n *yaml.Node, s *shape, p place) *input {
	if len(n.Content) != 12 {
		e := r.fail(source.WrongType, r.At(n), "%s is a list of %d values; expected 12, for January to December", p.say, len(n.Content))
		if n.Style&yaml.FlowStyle != 0 && len(n.Content) > 12 {
			e.With("a comma in [ ] begins a new entry, so write numbers there without commas")
		}
		return nil
	}
	var series *input
	failed := false
	for i, item := range n.Content {
		at := place{at: r.At(item), say: fmt.Sprintf("%s in %s", p.say, quantity.MonthNames[i])}
		if item.Kind != yaml.ScalarNode {
			r.wrong(item, s, at)
			failed = true
			continue
		}
		if leaf.IsNull(item) {
			r.fail(source.Missing, r.At(item), "%s has no value", at.say)
			failed = true
			continue
		}
		l := r.quantity(item, s.want, at)
		switch {
		case l == nil:
			failed = true
		case series == nil:
			series = l
			series.series = append(series.series, l.Value)
		case l.Unit.Dimension != series.Unit.Dimension || l.Unit.IsDate() != series.Unit.IsDate():
			r.fail(source.WrongUnit, l.span, "%s %s, but the first month %s", at.say, in(l.Unit), in(series.Unit)).With("give all months in the same unit")
			failed = true
		default:
			series.series = append(series.series, l.Value)
			series.Step = min(series.Step, l.Step)
		}
	}
	if failed || series == nil {
		return nil
	}
	series.span = r.At(n)
	series.formula = source.Span{}
	return series
}

func (r *reader) quantity(n *yaml.Node, w *want, p place) *input {
	at := r.At(n)
	if r.units == nil {
		return nil
	}
	if len(n.Value) > 200 {
		r.fail(source.Syntax, at, "%s is too long for a number with its unit", p.say)
		return nil
	}
	q, err := r.units.Parse(n.Value)
	if err != nil {
		if r.refused(n.Value) {
			return nil
		}
		var kind source.Kind = source.WrongUnit
		if e := (*source.Error)(nil); errors.As(err, &e) {
			kind = e.Kind
		}
		r.fail(kind, at, "%s: %v", p.say, err)
		return nil
	}
	l := &input{Quantity: q, span: at, formula: r.Formula(n)}
	if strings.Contains(n.Value, ",") { // commas part arguments in a formula
		l.formula = source.Derived(at, strings.ReplaceAll(n.Value, ",", "")).Whole()
	}
	if math.IsInf(q.Value, 0) || math.IsNaN(q.Value) {
		r.fail(source.NotFinite, at, "%s is too large a number", p.say)
		return nil
	}
	if !r.fits(l, w, p) {
		return nil
	}
	return l
}

// refused reports whether a text has a unit that farm.yaml tries to declare; why
// it can't be counted is reported there.
func (r *reader) refused(text string) bool {
	return slices.ContainsFunc(r.uncounted, func(name string) bool { return name != "" && strings.Contains(text, name) })
}

// fits reports whether a quantity is what is wanted, and says so if not.
func (r *reader) fits(l *input, w *want, p place) bool {
	if w == nil {
		return true
	}
	money := quantity.Base(r.units.Currency())
	if w.fits != nil && !w.fits(l.Unit, money) {
		if !r.money && w.ofMoney() {
			return false // the currency itself is wrong, which is reported
		}
		r.fail(source.WrongUnit, l.span, "%s %s; expected %s such as %s", p.say, in(l.Unit), w.what, w.exampleFor(r.units.Currency()))
		return false
	}
	const slack = 1e-9
	low := w.least
	if l.Value < low-float64(slack*math.Abs(low)) || w.above && l.Value <= low || l.Value > w.most*(1+slack) {
		e := r.fail(source.OutOfRange, l.span, "%s is %s; expected %s", p.say, leaf.Clip(strings.TrimSpace(l.span.Text())), w.limits)
		if w == wantShare && len(l.Unit.Parts) == 0 && l.Value <= 100 {
			e.With("write %s %% if that is meant", strings.TrimSpace(l.span.Text()))
		}
		return false
	}
	return true
}

// ofMoney reports whether the want has to do with the farm's currency.
func (w *want) ofMoney() bool { return strings.Contains(w.example, "CUR") }

func (r *reader) plainFormula(n *yaml.Node, v *value, p place) *value {
	if n.Kind != yaml.ScalarNode {
		return r.wrong(n, v.shape, p)
	}
	if strings.TrimSpace(n.Value) == "" {
		return r.empty(v, v.shape, p)
	}
	v.formula = r.Formula(n)
	v.text = strings.TrimSpace(n.Value)
	return v
}

// formulaOrLeaf reads a formula, short or long, or where amounts are wanted, a
// quantity instead.
func (r *reader) formulaOrLeaf(n *yaml.Node, v *value, p place) *value {
	s := v.shape
	if n.Kind == yaml.MappingNode {
		if s.form == amountForm && !r.longFormula(n) {
			return r.leaf(n, v, p)
		}
		p.value = true
		long := r.record(n, &value{shape: formulaRecord}, p)
		f := long.get("formula")
		if f == nil || f.failed != nil {
			return nil
		}
		v.formula, v.label, v.note, v.text, v.span = f.formula, long.str("label"), long.str("note"), f.text, f.span
		return v
	}
	if s.form == amountForm && n.Kind == yaml.ScalarNode && r.units != nil && len(n.Value) <= 200 {
		if _, err := r.units.Parse(n.Value); err == nil {
			if v.leaf = r.quantity(n, s.want, p); v.leaf == nil {
				return nil
			}
			return v
		}
	}
	return r.plainFormula(n, v, p)
}

// longFormula reports whether a record is, or was meant to be, the long form of
// a formula and not of a value.
func (r *reader) longFormula(n *yaml.Node) bool {
	meant := false
	for i := 0; i+1 < len(n.Content) && i < 2*len(formulaRecord.fields); i += 2 {
		switch key := n.Content[i].Value; {
		case key == "formula":
			return true
		case key == "value":
			return false
		case r.nearest(key, []string{"formula", "value"}) == "formula":
			meant = true
		}
	}
	return meant
}

// words makes a name readable: "chicks a batch".
func words(name string) string { return strings.ReplaceAll(name, "_", " ") }
