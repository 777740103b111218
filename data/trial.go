package data

import (
	"cmp"
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/source"
)

// A Setting is an input that is read as if the data gave it another value.
type Setting struct {
	Name, Value string
	Was         string // as the data writes it
	Widened     string // low or high, if the value lies beyond it
}

// LoadWith is Load with some inputs set otherwise, each written as NAME=VALUE. A
// value takes the place of the one in the file before anything is read, so that
// it is held to all that the file is held to, and moves all that it would move
// there: dates, choices and the years of the plan too. Only the range that the
// file gives may be left: it is then widened.
func LoadWith(fsys fs.FS, settings []string) (*Farm, []Setting, error) {
	farm, err := Load(fsys)
	if err != nil || len(settings) == 0 {
		return farm, nil, err
	}
	t := &trial{farm: farm, texts: map[string]string{}, set: map[string][]int{}, runs: map[string]bool{}}
	for _, text := range settings {
		t.read(text)
	}
	if err := t.errs.Err(); err != nil {
		return farm, nil, err
	}
	t.splice()
	set, err := loadFrom(fsys, t)
	if err != nil {
		return set, nil, err
	}
	for i := range t.changes {
		t.changes[i].widened(set)
	}
	all := make([]Setting, len(t.changes))
	for i, c := range t.changes {
		all[i] = c.Setting
	}
	return set, all, nil
}

// A trial is how files are read otherwise than they are.
type trial struct {
	farm    *Farm
	errs    source.Errors
	changes []change
	texts   map[string]string // of files, by path
	set     map[string][]int  // where values stand that were set, by path
	runs    map[string]bool   // which enterprises are run, where that was set
}

type change struct {
	Setting
	place source.Span // of the value that it replaces; none of an enterprise that is run
	was   *figures.Definition
}

// runsName stands before the name of an enterprise in that of the figure which
// says whether it is run. The data writes that as a list.
const runsName = "farm.plan.runs."

// plan is which of the enterprises are run, given those that the data plans; nil
// for all.
func (t *trial) plan(enterprises, planned []string) []string {
	if len(t.runs) == 0 {
		return planned
	}
	run := []string{}
	for _, id := range planned {
		if holds, set := t.runs[id]; holds || !set {
			run = append(run, id)
		}
	}
	for _, id := range enterprises {
		if holds, set := t.runs[id]; (holds || planned == nil && !set) && !slices.Contains(run, id) {
			run = append(run, id)
		}
	}
	return run
}

// settingName is what a setting is called where its mistakes are told.
const settingName = "NAME=VALUE"

// read takes one setting.
func (t *trial) read(text string) {
	file := source.New(settingName, text)
	name, value, found := strings.Cut(text, "=")
	name, value = strings.TrimSpace(name), strings.TrimSpace(value)
	at := file.Span(strings.Index(text, name), strings.Index(text, name)+len(name))
	fail := func(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
		e := source.Errorf(kind, at, format, args...)
		t.errs = append(t.errs, e)
		return e
	}
	of := file.Span(len(text)-len(value), len(text))
	d := t.farm.definition(name)
	switch {
	case !found || name == "" || value == "":
		fail(source.Syntax, file.Whole(), "expected a name and its value, as farm.wage=14 %s/h", t.farm.Currency)
	case d == nil:
		t.unknown(name, at, fail)
	case !d.IsInput():
		fail(source.WrongType, at, "%s is worked out, and can't be set", name).With("rickyard explain %s lists the inputs that it rests on", name)
	case slices.ContainsFunc(t.changes, func(c change) bool { return c.Name == name }):
		fail(source.Duplicate, at, "%s is set twice", name)
	case strings.ContainsAny(value, "\"'\\\n\r\t#&*!|>{}") || strings.Contains(value, ": "):
		fail(source.Syntax, of, "a value is a number with its unit, a date or a word")
	case strings.HasPrefix(name, runsName):
		if value != "true" && value != "false" {
			fail(source.WrongType, of, "%s is %q; expected true or false", name, value)
			return
		}
		t.runs[name[len(runsName):]] = value == "true"
		t.changes = append(t.changes, change{Setting{Name: name, Value: value, Was: strconv.FormatBool(d.Value.Value == 1)}, source.Span{}, d})
	case d.Note == notGiven:
		fail(source.Missing, at, "%s is not written in the data, which leaves it to its default", name).With("write it there, and try other values then")
	default:
		place := whole(d)
		if place.Text() == "" {
			fail(source.WrongType, at, "%s can't be tried by one value", name).With("change it at %s", d.Place.Position())
			return
		}
		t.changes = append(t.changes, change{Setting{Name: name, Value: value, Was: place.Text()}, place, d})
	}
}

// definition is the figure of the data that is called name, or nil.
func (f *Farm) definition(name string) *figures.Definition {
	for i := range f.Definitions {
		if f.Definitions[i].Name == name {
			return &f.Definitions[i]
		}
	}
	return nil
}

func (t *trial) unknown(name string, at source.Span, fail func(source.Kind, source.Span, string, ...any) *source.Error) {
	e := fail(source.Unknown{Name: name}, at, "no input is called %s", name)
	var known []string
	for i := range t.farm.Definitions {
		if d := &t.farm.Definitions[i]; d.IsInput() && !d.Hidden {
			known = append(known, d.Name)
		}
	}
	if near := source.Nearest(name, known); near != "" {
		e.With("did you mean %s?", near)
		return
	}
	e.With("rickyard explain says which inputs a figure rests on")
}

// whole is where an input's value is written: of twelve months in brackets, all
// of them.
func whole(d *figures.Definition) source.Span {
	at := d.Place.Origin()
	if d.Series == nil {
		return at
	}
	text := at.File.Text[at.Start:]
	if end := strings.IndexByte(text, ']'); strings.HasPrefix(text, "[") && end > 0 {
		return at.File.Span(at.Start, at.Start+end+1)
	}
	return source.Span{}
}

// bareValue is what YAML takes for one word or number wherever it stands.
var bareValue = regexp.MustCompile(`^-?[\pL\pN.£$€][^,:\[\]{}"'#]*$`)

// written is a change's value as it stands in the file.
func (c *change) written() string {
	value := c.Value
	quote := c.place.Start > 0 && strings.IndexByte(`"'`, c.place.File.Text[c.place.Start-1]) >= 0
	if !quote && !bareValue.MatchString(value) {
		value = `"` + value + `"`
	}
	if c.was.Series != nil {
		value = "[" + strings.TrimSuffix(strings.Repeat(value+", ", 12), ", ") + "]"
	}
	return value
}

// splice puts the values into the texts of their files, and notes where they then
// stand.
func (t *trial) splice() {
	var order []*change
	for i := range t.changes {
		if t.changes[i].place.File != nil {
			order = append(order, &t.changes[i])
		}
	}
	slices.SortFunc(order, func(a, b *change) int {
		return cmp.Or(strings.Compare(a.place.File.Name, b.place.File.Name), a.place.Start-b.place.Start)
	})
	var file *source.File
	moved := 0
	for _, c := range order {
		if c.place.File != file {
			file, moved = c.place.File, 0
			t.texts[file.Name] = file.Text
		}
		text, value := t.texts[file.Name], c.written()
		t.texts[file.Name] = text[:c.place.Start+moved] + value + text[c.place.End+moved:]
		at := c.place.Start + moved
		if strings.HasPrefix(value, `"`) {
			at++
		}
		t.set[file.Name] = append(t.set[file.Name], at)
		moved += len(value) - (c.place.End - c.place.Start)
	}
}

// widened notes which end of its range a value left.
func (c *change) widened(set *Farm) {
	now := set.definition(c.Name)
	if now == nil || now.Series != nil {
		return
	}
	switch x := now.Value.Value; {
	case c.was.Low != nil && x < *c.was.Low:
		c.Widened = "low"
	case c.was.High != nil && x > *c.was.High:
		c.Widened = "high"
	}
}

// String says what was set, in place of what.
func (s Setting) String() string { return fmt.Sprintf("%s = %s instead of %s", s.Name, s.Value, s.Was) }
