package data

import (
	"encoding/csv"
	"io/fs"
	"math"
	"path"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"rickyard/calc/actual"
	"rickyard/calc/enterprise"
	"rickyard/calc/plan"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

const recordsFolder = "records"

// Bounds on records.
const (
	mostRecordFiles = 60
	mostRecords     = 50_000 // in all files together
	mostBadRows     = 1000   // for which the nearest name is looked for
)

// recordColumns are the columns of a file of records, and whether each is
// needed.
var recordColumns = []struct {
	name string
	need bool
}{{"date", true}, {"enterprise", true}, {"item", true}, {"quantity", true}, {"amount", true}, {"covers", false}, {"refund", false}, {"note", false}}

// surveyRecords finds the files of records.
func (l *loader) surveyRecords(folderEntry fs.DirEntry) {
	dir := path.Join(folder, folderEntry.Name())
	for _, entry := range l.within(folderEntry, dir) {
		name := entry.Name()
		full := path.Join(dir, name)
		switch ending := strings.ToLower(path.Ext(name)); {
		case strings.HasPrefix(name, "."), entry.IsDir():
		case slices.Contains([]string{".xlsx", ".xls", ".ods", ".tsv", ".txt", ".numbers"}, ending), ending == ".csv" && !strings.HasSuffix(name, ".csv"):
			l.fail(source.UnknownKey, missingFile(full), "this file is not read").With("save it as CSV, with a name that ends in .csv")
		case ending != ".csv":
		case len(l.records) == mostRecordFiles:
			l.fail(source.Unsafe, missingFile(full), "there are more than %d files of records", mostRecordFiles)
			return
		case l.regular(entry, full):
			l.records = append(l.records, full)
		}
	}
	slices.Sort(l.records)
}

var wholeDay = regexp.MustCompile(`^[0-9]{4}-[0-9]{2}-[0-9]{2}$`)

// recordKeys reads the key records of finance.yaml.
func (p *page) recordKeys(v *value) {
	r := &p.farm.Records
	r.Refuse = v.str("bad_rows") != "count_rest"
	upTo := v.get("up_to")
	if upTo == nil || upTo.text == "" {
		return
	}
	text := upTo.text
	p.word("records.up_to", "All is recorded up to", upTo, upTo.keySpan, "")
	m, ok := plan.ParseMonth(text)
	r.UpTo, r.UpToAt = m, upTo.span
	switch strings.Count(text, "-") {
	case 1:
	case 2:
		day, err := time.Parse("2006-01-02", text)
		if err != nil || day.AddDate(0, 0, 1).Day() != 1 {
			p.fail(source.OutOfRange, upTo.span, "up_to is %s; expected a month, or its last day, for the plan goes by whole months", text).
				With("write %s-%s", text[:4], text[5:7])
		}
	default:
		ok = false
	}
	if !ok {
		p.fail(source.OutOfRange, upTo.span, "up_to is %s; expected a month such as 2027-09", leaf.Clip(text))
	}
}

// A recordReader reads the files of records.
type recordReader struct {
	*loader
	items   map[string]map[string]string // by enterprise: what people write, in small letters -> the item's name
	known   map[string][]string          // the names to suggest
	kinds   map[string]enterprise.LineKind
	running []string
	seen    map[string]source.Span // rows, by what they say
	seenIn  map[string]int
	loose   bool // some names could not be read, which is reported
	rows    int
	bad     int // in all files

	file    int
	f       *source.File
	columns []string
}

func (l *loader) recordFiles() {
	r := &l.farm.Records
	if len(l.records) == 0 || l.units == nil || !l.money {
		return
	}
	rr := &recordReader{loader: l, seen: map[string]source.Span{}, seenIn: map[string]int{}}
	rr.know()
	rr.loose = l.farm.Unread || slices.ContainsFunc(l.errs, func(e *source.Error) bool {
		name := e.Span.Position().File
		return e.Weight == source.Mistake && (strings.HasPrefix(name, "data/enterprises/") || name == "data/finance.yaml" || name == "data/farm.yaml")
	})
	for i, full := range l.records {
		r.Files = append(r.Files, full)
		text, err := l.text(full)
		if err != nil {
			l.fail(source.IO, missingFile(full), "this file can't be read: %v", plainCause(err))
			continue
		}
		rr.file = i
		if !rr.read(full, text) {
			break
		}
	}
	if !r.Refuse {
		return
	}
	for i, b := range r.Bad {
		if i == mostErrors {
			l.fail(source.Unsafe, b.Err.Span, "%d more records can't be counted", len(r.Bad)-mostErrors)
			break
		}
		l.errs = append(l.errs, b.Err)
	}
}

// know gathers what a record can name.
func (rr *recordReader) know() {
	rr.items, rr.known, rr.kinds = map[string]map[string]string{}, map[string][]string{}, map[string]enterprise.LineKind{}
	add := func(id, name, label string) {
		if rr.items[id] == nil {
			rr.items[id] = map[string]string{}
		}
		for _, text := range []string{name, label} {
			if text = strings.ToLower(strings.TrimSpace(text)); text == "" {
				continue
			}
			if _, taken := rr.items[id][text]; !taken {
				rr.items[id][text] = name
				rr.known[id] = append(rr.known[id], text)
			}
		}
	}
	for i := range rr.farm.Enterprises {
		s := &rr.farm.Enterprises[i]
		if rr.farm.Planned == nil || slices.Contains(rr.farm.Planned, s.ID) {
			rr.running = append(rr.running, s.ID)
		}
		for k := range s.Lines {
			add(s.ID, s.Lines[k].Name, s.Lines[k].Label)
			rr.kinds[s.ID+"."+s.Lines[k].Name] = s.Lines[k].Kind
		}
		add(s.ID, actual.SellingCosts, "Selling costs")
		add(s.ID, actual.Other, "")
	}
	for _, o := range rr.farm.Overheads {
		add(actual.Farm, o.ID, o.Label)
	}
	for _, word := range append(slices.Clone(actual.FarmWords), actual.Other) {
		add(actual.Farm, word, words(word))
	}
}

// leave notes a row that can't be counted.
func (rr *recordReader) leave(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
	e := source.Errorf(kind, at, format, args...)
	r := &rr.farm.Records
	rr.bad++
	r.Bad = append(r.Bad, actual.BadRow{File: rr.file, Err: e})
	return e
}

// read reads one file. Each line is read by itself, so that a quote left open
// spoils one row and not the rest of the file. It reports false if no more
// files are to be read.
func (rr *recordReader) read(full, text string) bool {
	text = strings.TrimPrefix(text, "\ufeff")
	rr.f = source.New(full, text)
	rr.columns = nil
	if len(text) > leaf.MostBytes {
		rr.fail(source.Unsafe, rr.f.Span(0, 0), "this file is larger than %d MB; a year's records need far less", leaf.MostBytes>>20).With("split it by years")
		return true
	}
	for start := 0; start < len(text); {
		end := strings.IndexByte(text[start:], '\n')
		if end < 0 {
			end = len(text)
		} else {
			end += start
		}
		line := strings.TrimSuffix(text[start:end], "\r")
		at := rr.f.Span(start, start+len(line))
		start = end + 1
		switch {
		case strings.Trim(line, " \t,") == "": // spreadsheets end with empty rows
			continue
		case rr.columns == nil:
			if !rr.header(at) {
				return true
			}
			continue
		case rr.rows == mostRecords:
			rr.fail(source.Unsafe, at, "there are more than %d records", mostRecords).With("keep the years that are over elsewhere")
			return false
		}
		rr.rows++
		rr.row(at)
	}
	if rr.columns == nil {
		rr.fail(source.Missing, rr.f.Span(0, 0), "this file has no row of column names").With("begin it with date,enterprise,item,quantity,amount")
	}
	return true
}

// A cell is one entry of a row, and where it stands.
type cell struct {
	text string
	at   source.Span
}

// split parts a line into its fields.
func (rr *recordReader) split(at source.Span, leave func(source.Kind, source.Span, string, ...any) *source.Error) ([]cell, bool) {
	line := at.Text()
	if len(line) > leaf.MostLine {
		leave(source.Unsafe, rr.f.Span(at.Start, at.Start+1), "this line is longer than %d characters", leaf.MostLine)
		return nil, false
	}
	for i := 0; i < len(line); {
		c, size := utf8.DecodeRuneInString(line[i:])
		here := rr.f.Span(at.Start+i, at.Start+i+size)
		if c == utf8.RuneError && size <= 1 {
			leave(source.Syntax, here, "this is not UTF-8 text (byte %#x)", line[i]).With("save the file as CSV UTF-8")
			return nil, false
		}
		if c == 0xfeff || c == 0xfffe || c == 0xffff || unicode.IsControl(c) && c != '\t' {
			leave(source.Syntax, here, "there is an invisible control character here (%U)", c).With("delete it")
			return nil, false
		}
		i += size
	}
	reader := csv.NewReader(strings.NewReader(line))
	reader.FieldsPerRecord = -1
	fields, err := reader.Read()
	if err != nil {
		// An open mark is found out only at the end of the line.
		from := strings.IndexByte(line, '"')
		where := rr.f.Span(at.Start+max(0, from), at.End)
		if parse, ok := err.(*csv.ParseError); ok && parse.Column > 0 && parse.Column <= len(line) {
			where.Start = at.Start + parse.Column - 1
		}
		leave(source.Syntax, where, "a quotation mark in this row is not closed, or stands inside a text").
			With(`put the whole text in quotation marks, write a mark within it twice, and keep each record on one line`)
		return nil, false
	}
	cells := make([]cell, len(fields))
	for i, text := range fields {
		_, column := reader.FieldPos(i)
		from := at.Start + column - 1
		cells[i] = cell{strings.TrimSpace(text), rr.f.Span(from, min(at.End, from+max(1, len(text))))}
	}
	return cells, true
}

// header reads the row of column names; without it nothing of the file can be
// read.
func (rr *recordReader) header(at source.Span) bool {
	cells, ok := rr.split(at, rr.fail)
	if !ok {
		return false
	}
	var names []string
	for _, c := range recordColumns {
		names = append(names, c.name)
	}
	if len(cells) == 1 && strings.ContainsAny(at.Text(), ";\t") {
		rr.fail(source.Syntax, at, "the columns of this file are not parted by commas").With("save it as CSV with commas, and with a point in decimal numbers")
		return false
	}
	fine := true
	var meant []string
	for _, c := range cells {
		name := c.text
		if slices.Contains(rr.columns, name) && name != "" {
			rr.fail(source.Duplicate, c.at, "the column %s is there twice", name)
			fine = false
		} else if !slices.Contains(names, name) {
			e := rr.fail(source.UnknownKey, c.at, "%q is not a column of records", leaf.Clip(name))
			if near := source.Nearest(name, names); near != "" {
				e.With("did you mean %s?", near)
				meant = append(meant, near)
			} else {
				e.With("the columns are %s; put remarks into note", leaf.List(names, "and"))
			}
			fine = false
		}
		rr.columns = append(rr.columns, name)
	}
	for _, c := range recordColumns {
		if c.need && !slices.Contains(rr.columns, c.name) && !slices.Contains(meant, c.name) {
			rr.fail(source.Missing, at, "the column %s is missing", c.name).With("begin the file with date,enterprise,item,quantity,amount")
			fine = false
		}
	}
	return fine
}

// row reads one record.
func (rr *recordReader) row(at source.Span) {
	// One row is one entry of the list, whatever is wrong with it.
	cells, ok := rr.split(at, rr.leave)
	if !ok {
		return
	}
	if len(cells) != len(rr.columns) {
		e := rr.leave(source.Syntax, at, "this row has %d entries; the file has %d columns", len(cells), len(rr.columns))
		if len(cells) > len(rr.columns) {
			e.With("put a text or a number that contains a comma in quotation marks")
		}
		return
	}
	get := func(name string) cell {
		if i := slices.Index(rr.columns, name); i >= 0 {
			return cells[i]
		}
		return cell{at: at}
	}
	row := actual.Row{File: rr.file, Place: at}
	if row.Month, ok = rr.date(get("date")); !ok {
		return
	}
	if row.From, row.To, ok = rr.covers(get("covers"), row.Month); !ok {
		return
	}
	if row.Enterprise, row.Item, ok = rr.item(get("enterprise"), get("item")); !ok {
		return
	}
	refund := false
	switch c := get("refund"); strings.ToLower(c.text) {
	case "yes":
		refund = true
	case "", "no":
	default:
		rr.leave(source.UnknownKey, c.at, "refund is %q; expected yes, or nothing", leaf.Clip(c.text))
		return
	}
	if row.Amount, ok = rr.amount(get("amount"), &row, refund); !ok {
		return
	}
	if !rr.quantity(get("quantity"), &row, refund) {
		return
	}
	// The same bank statement put into two files counts everything twice.
	var texts []string
	for _, c := range recordColumns {
		texts = append(texts, get(c.name).text)
	}
	said := strings.Join(texts, "\x00")
	if first, twice := rr.seen[said]; !twice {
		rr.seen[said], rr.seenIn[said] = at, rr.file
	} else if rr.seenIn[said] != rr.file {
		rr.leave(source.Duplicate, at, "the same record stands in another file, at %s", first.Position()).With("delete one, or tell them apart in the column note")
		return
	}
	rr.farm.Records.Rows = append(rr.farm.Records.Rows, row)
}

func (rr *recordReader) date(c cell) (plan.Month, bool) {
	if c.text == "" {
		rr.leave(source.Missing, c.at, "this row has no date")
		return 0, false
	}
	day, err := time.Parse("2006-01-02", c.text)
	switch {
	case !wholeDay.MatchString(c.text):
		rr.leave(source.WrongType, c.at, "the date is %q; expected year, month and day", leaf.Clip(c.text)).With("write it as 2027-05-14")
		return 0, false
	case err != nil || day.Year() < 1:
		rr.leave(source.OutOfRange, c.at, "%s is not a day of the calendar", c.text)
		return 0, false
	}
	return plan.MonthOf(day.Year(), int(day.Month())-1), true
}

var coversText = regexp.MustCompile(`^([0-9]{4}-[0-9]{2})\.\.([0-9]{4}-[0-9]{2})$`)

// mostCovered bounds the months that one record covers.
const mostCovered = 60

func (rr *recordReader) covers(c cell, month plan.Month) (from, to plan.Month, ok bool) {
	if c.text == "" {
		return month, month, true
	}
	parts := coversText.FindStringSubmatch(c.text)
	if parts != nil {
		var good bool
		if from, good = plan.ParseMonth(parts[1]); good {
			to, good = plan.ParseMonth(parts[2])
		}
		if good && to >= from && to-from < mostCovered {
			return from, to, true
		}
	}
	rr.leave(source.WrongType, c.at, "covers is %q; expected the first and the last month, %d at most", leaf.Clip(c.text), mostCovered).With("write it as 2027-01..2027-12")
	return 0, 0, false
}

// item finds what a row is about.
func (rr *recordReader) item(e, c cell) (id, item string, ok bool) {
	known := append(slices.Clone(rr.running), actual.Farm)
	switch {
	case e.text == "":
		rr.leave(source.Missing, e.at, "this row has no enterprise").With("write farm for the farm as a whole")
		return "", "", false
	case !slices.Contains(known, e.text) && !rr.loose:
		if slices.Contains(rr.enterprises, e.text) {
			rr.leave(source.UnknownRef, e.at, "%s is studied but not run, so there is no plan beside it", e.text).
				With("add it to plan: enterprises in data/farm.yaml, or record it as farm, other")
			return "", "", false
		}
		err := rr.leave(source.Unknown{Name: e.text}, e.at, "%q is not an enterprise", leaf.Clip(e.text))
		if near := rr.nearest(e.text, known); near != "" {
			err.With("did you mean %s?", near)
		} else {
			err.With("expected %s", leaf.List(known, "or"))
		}
		return "", "", false
	case c.text == "":
		rr.leave(source.Missing, c.at, "this row has no item").With("name a line of %s, or write other", e.text)
		return "", "", false
	}
	item, found := rr.items[e.text][strings.ToLower(c.text)]
	if !found && rr.loose {
		return e.text, c.text, true
	}
	if !found {
		where := e.text
		if e.text == actual.Farm {
			where = "the farm as a whole"
		}
		err := rr.leave(source.UnknownRef, c.at, "%q is not an item of %s", leaf.Clip(c.text), where)
		if near := rr.nearest(strings.ToLower(c.text), rr.known[e.text]); near != "" {
			err.With("did you mean %s?", near)
		} else {
			err.With("name a line of its file, or write other")
		}
		return "", "", false
	}
	if kind := rr.kinds[e.text+"."+item]; kind == enterprise.Hours || kind == enterprise.Land {
		what := map[enterprise.LineKind]string{enterprise.Hours: "work", enterprise.Land: "land"}[kind]
		rr.leave(source.UnknownRef, c.at, "%s is %s and not money", item, what).With("help that is paid is farm, hired_help; rent is farm, rent")
		return "", "", false
	}
	return e.text, item, true
}

// nearest is source.Nearest, unless so many rows are bad that it would take too
// long.
func (rr *recordReader) nearest(word string, known []string) string {
	if rr.bad > mostBadRows {
		return ""
	}
	return source.Nearest(word, known)
}

// mostAmount bounds an amount of money: more is a slip.
const mostAmount = 1e12

// way says which way the money of an item goes: 1 in, -1 out, 0 either.
func (rr *recordReader) way(row *actual.Row) int {
	if row.Enterprise != actual.Farm {
		switch rr.kinds[row.Enterprise+"."+row.Item] {
		case enterprise.Sale:
			return 1
		case enterprise.Cost, enterprise.Overhead, enterprise.Capital:
			return -1
		}
		if row.Item == actual.SellingCosts {
			return -1
		}
		return 0
	}
	if slices.ContainsFunc(rr.farm.Overheads, func(o Overhead) bool { return o.ID == row.Item }) {
		return -1
	}
	switch row.Item {
	case "rent", "hired_help", "interest":
		return -1
	}
	return 0
}

func (rr *recordReader) amount(c cell, row *actual.Row, refund bool) (float64, bool) {
	currency := rr.units.Currency()
	if c.text == "" {
		rr.leave(source.Missing, c.at, "this row has no amount").With("write 0 if no money changed hands")
		return 0, false
	}
	q, err := rr.units.Parse(c.text)
	money := rr.units.Money()
	bare := err == nil && len(q.Unit.Parts) == 0 && !q.Unit.IsDate()
	if len(c.text) > 60 || err != nil || !bare && (q.Unit.Dimension != money.Dimension || q.Unit.IsDate()) {
		rr.leave(source.WrongType, c.at, "the amount is %q; expected money in %s: a number, with a minus if it was paid out", leaf.Clip(c.text), currency).With("write it as -62.40")
		return 0, false
	}
	x := q.Value
	if bare {
		x = money.ToBase(x)
	}
	if math.Abs(x) > mostAmount {
		rr.leave(source.OutOfRange, c.at, "the amount is %s; that is more than a farm's records can hold", leaf.Clip(c.text))
		return 0, false
	}
	way := rr.way(row)
	if refund {
		way = -way
	}
	switch {
	case way < 0 && x > 0 && refund:
		rr.leave(source.OutOfRange, c.at, "the amount is %s, money in, for a sale that was refunded", c.text).With("write -%s", strings.TrimPrefix(c.text, "+"))
	case way < 0 && x > 0:
		rr.leave(source.OutOfRange, c.at, "the amount is %s, money in, but %s is a cost", c.text, row.Item).
			With("write -%s, or yes in a column refund if the money came back", strings.TrimPrefix(c.text, "+"))
	case way > 0 && x < 0 && refund:
		rr.leave(source.OutOfRange, c.at, "the amount is %s, money out, for a cost that was refunded", c.text).With("write it without the minus")
	case way > 0 && x < 0:
		rr.leave(source.OutOfRange, c.at, "the amount is %s, money out, but %s is a sale", c.text, row.Item).
			With("write it without the minus, or yes in a column refund if you gave the money back")
	default:
		return x, true
	}
	return 0, false
}

func (rr *recordReader) quantity(c cell, row *actual.Row, refund bool) bool {
	if c.text == "" {
		return true
	}
	q, err := rr.units.Parse(c.text)
	switch {
	case len(c.text) > 60 || err != nil:
		rr.leave(source.WrongType, c.at, "the quantity is %q; expected a number, with its unit or without", leaf.Clip(c.text)).With("write it as 320 kg, or leave it empty")
		return false
	case q.Unit.IsDate():
		rr.leave(source.WrongType, c.at, "the quantity is %s, a date", leaf.Clip(c.text)).With("write it as 320 kg, or leave it empty")
		return false
	case !(q.Value > 0):
		rr.leave(source.OutOfRange, c.at, "the quantity is %s; expected more than 0", leaf.Clip(c.text)).With("leave it empty if there is none")
		return false
	case math.IsInf(q.Value, 0) || q.Value > mostAmount*1e6:
		rr.leave(source.OutOfRange, c.at, "the quantity is %s; that is more than a farm's records can hold", leaf.Clip(c.text))
		return false
	}
	row.HasQuantity, row.QuantityAt = true, c.at
	row.Quantity = q
	row.Bare = len(q.Unit.Parts) == 0 && !strings.Contains(c.text, "%")
	if refund {
		row.Quantity.Value = -row.Quantity.Value
	}
	return true
}
