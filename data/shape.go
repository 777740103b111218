package data

// A shape describes what may stand at one place of a data file. The tree of
// shapes in shapes.go is the one description of the files: the reader checks
// against it, and [Schema] writes it down for editors.
type shape struct {
	form    form
	noun    string // what this is, as "a kind of land"
	example string // how it may look, on one line of YAML

	want   *want    // leafForm, formulaForm, amountForm; nil for anything
	single bool     // leafForm: no monthly series
	words  []string // choiceForm: the words allowed
	figure bool     // datedForm, choiceForm, truthForm: it becomes a figure, and may be long

	fields []*field   // recordForm
	ways   [][]string // recordForm: of all keys in here, exactly one of these sets is given

	of     *shape // tableForm, listForm: each entry
	keys   *rule  // tableForm: what its keys may be
	say    string // tableForm: an entry in an error, with the key for %s, as "the share of %s"
	anyKey string // tableForm: what an entry is, for the schema

	variants []*variant // kindForm: one record for each key that may tell the kind

	short, long *shape // eitherForm: a single value, or a record
	blank       bool   // an empty value will do
}

type form int

const (
	textForm    form = iota // any text
	choiceForm              // one of some words
	truthForm               // true
	nameForm                // a name, as chicks_a_batch
	figureForm              // the name of a figure, as carcass or prices.feed
	datedForm               // 2026, 2026-02 or 2026-02-14
	leafForm                // a quantity, short or long
	formulaForm             // a formula, short or long
	plainForm               // a formula, short only
	amountForm              // a leaf or a formula
	lineForm                // a formula, or a leaf in its long form
	rawForm                 // a quantity or a monthly series, inside a long leaf
	recordForm              // keys that are known beforehand
	tableForm               // keys that the farmer chooses
	listForm                // entries one after the other
	kindForm                // a record whose kind is told by which key it has
	eitherForm              // a short form or a long one
)

// A field is one key of a record.
type field struct {
	key  string
	doc  string // one sentence for the editor
	need bool
	is   *shape
	say  string // how errors call it, if not by its key, as "last frost"
}

// A variant is one kind of record and the key that tells it.
type variant struct {
	kind string
	is   *shape
}

// A rule says what the keys of a table may be.
type rule struct {
	pattern string
	noun    string // as "a name"
	ok      func(string) bool
}

func (s *shape) field(key string) *field {
	for _, f := range s.fields {
		if f.key == key {
			return f
		}
	}
	return nil
}

func (s *shape) keyNames() []string {
	names := make([]string, len(s.fields))
	for i, f := range s.fields {
		names[i] = f.key
	}
	return names
}

// leafRecord is the long form of a leaf that wants w.
func leafRecord(w *want, single bool) *shape {
	return &shape{form: recordForm, noun: "a value in long form", fields: []*field{
		{key: "value", need: true, doc: "The value with its unit, or a list of twelve for January to December.", is: &shape{form: rawForm, want: w, single: single, noun: "a value"}},
		{key: "low", say: "low value", doc: "The least that it may turn out to be; used to see what matters most.", is: &shape{form: rawForm, want: w, single: true, noun: "a value"}},
		{key: "high", say: "high value", doc: "The most that it may turn out to be.", is: &shape{form: rawForm, want: w, single: true, noun: "a value"}},
		{key: "source", doc: "Where the value comes from: a quote, your own record, a publication.", is: textShape},
		{key: "as_of", say: "date (as_of)", doc: "When it was true: a year, a month (2026-02) or a day (2026-02-14).", is: datedShape},
		{key: "label", doc: "How the workbook calls it; by default its name, made readable.", is: textShape},
		{key: "note", doc: "A remark for the reader.", is: textShape},
		meantField,
	}}
}

// wordRecord is the long form of what is not a number but a date, a choice, or
// yes or no.
func wordRecord(s *shape) *shape {
	short := *s
	short.figure = false
	long := leafRecord(nil, true)
	return &shape{form: recordForm, noun: "a value in long form", fields: append([]*field{
		{key: "value", need: true, doc: "The value.", is: &short},
	}, long.fields[3:]...)}
}

// formulaRecord is the long form of a formula.
var formulaRecord = &shape{form: recordForm, noun: "a worked figure", fields: []*field{
	{key: "formula", need: true, doc: "The formula.", is: &shape{form: plainForm, noun: "a formula"}},
	{key: "label", doc: "How the workbook calls it; by default its name, made readable.", is: textShape},
	{key: "note", doc: "A remark for the reader.", is: textShape},
}}

var (
	textShape    = &shape{form: textForm, noun: "a text"}
	datedShape   = &shape{form: datedForm, noun: "a date such as 2026-02", example: "2026-02"}
	nameShape    = &shape{form: nameForm, noun: "a name"}
	figureShape  = &shape{form: figureForm, noun: "the name of a figure"}
	formulaShape = &shape{form: plainForm, noun: "a formula", example: "placed * 0.9"}
	lineFormula  = &shape{form: lineForm, want: wantAny, single: true, noun: "a formula"}
	trueShape    = &shape{form: truthForm, noun: "true or false"}
	dateInput    = &shape{form: datedForm, noun: datedShape.noun, example: datedShape.example, figure: true}
	truthInput   = &shape{form: truthForm, noun: trueShape.noun, figure: true}
	noteField    = &field{key: "note", doc: "A remark for the reader.", is: textShape}
	labelField   = &field{key: "label", doc: "How the workbook calls it; by default its name, made readable.", is: textShape}
)

func leafShape(w *want) *shape { return &shape{form: leafForm, want: w, single: true, noun: w.what} }
func amountShape(w *want) *shape {
	return &shape{form: amountForm, want: w, single: true, noun: w.what}
}
func tableShape(noun, entry, say string, keys *rule, of *shape) *shape {
	return &shape{form: tableForm, noun: noun, anyKey: entry, say: say, keys: keys, of: of}
}
func choiceShape(words ...string) *shape {
	return &shape{form: choiceForm, noun: "a word", words: words}
}

// choiceInput is a choice that becomes a figure.
func choiceInput(words ...string) *shape {
	s := choiceShape(words...)
	s.figure = true
	return s
}

func need(f *field) *field {
	copy := *f
	copy.need = true
	return &copy
}
