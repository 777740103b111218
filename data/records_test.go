package data

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"rickyard/calc/plan"
	"rickyard/calc/source"
)

// coop is a farm with little but what records can name.
var coop = map[string]string{
	"data/farm.yaml": `
name: Coop
currency: GBP
counts: {hen: , egg: , dozen: 12 egg}
land: {grass: {area: 1 ha}}
labour: {wage: 12 GBP/h}
plan: {enterprises: [hens]}
`,
	"data/finance.yaml": `
overheads: {insurance: {label: Insurance of it all, amount: 100 GBP/year}}
records: {bad_rows: count_rest, up_to: 2027-09-30}
`,
	"data/enterprises/hens.yaml": `
name: Hens
scale: {figure: hens, unit: hen, now: 30 hen, most: 60 hen}
lines:
  - {sale: Eggs sold, amount: hens * 300 egg/hen, price: 0.3 GBP/egg}
  - {cost: "Layers' meal", amount: 500 GBP}
  - {overhead: Registration, amount: 24 GBP}
  - {hours: Feeding, amount: 50 h}
  - {capital: Henhouse, number: 1, cost: 900 GBP, life: 10 year}
  - {land: grass, area: 0.1 ha}
`,
	"data/enterprises/geese.yaml": `
name: Geese
scale: {figure: geese, unit: hen, now: 3 hen, most: 6 hen}
lines: [{sale: Geese sold, amount: geese, price: 30 GBP/hen}]
`,
}

func coopWith(files map[string]string) fstest.MapFS {
	all := fstest.MapFS{}
	for _, part := range []map[string]string{coop, files} {
		for name, text := range part {
			all[name] = &fstest.MapFile{Data: []byte(text)}
		}
	}
	return all
}

func badRows(f *Farm) []string {
	var texts []string
	for _, b := range f.Records.Bad {
		texts = append(texts, b.Err.Error())
	}
	return texts
}

const recordHead = "date,enterprise,item,quantity,amount,covers,refund,note"

func TestGoodRecords(t *testing.T) {
	f, err := Load(coopWith(map[string]string{"data/records/2027.csv": `amount,date,item,enterprise,quantity,note,covers,refund
"1,234.50",2027-05-14,EGGS SOLD,hens,"4,100 egg","a comma, and ""quotes""",,
-62.40 GBP,2027-05-15,Layers' meal,hens,,,,
−62.40,2027-05-15,layers_meal,hens,40,two alike are two,,no
−62.40,2027-05-15,layers_meal,hens,40,two alike are two,,no

-100,2027-01-02,insurance of it all,farm,,,2027-01..2027-12,
100,2027-01-02,insurance,farm,,,,yes
-3,2027-02-28,eggs_sold,hens,1 dozen,,,yes
-900,2028-02-29,henhouse,hens,1,,,
12,2027-02-03,Off farm,farm,,,,
-12,2027-02-03,other,farm,,,,
0,2027-02-03,eggs_sold,hens,6,given away,,
,,,,,,,
`}))
	if err != nil {
		t.Fatal(err)
	}
	if bad := badRows(f); len(bad) > 0 {
		t.Fatalf("good rows are refused:\n%s", strings.Join(bad, "\n"))
	}
	var got []string
	for _, r := range f.Records.Rows {
		q := "-"
		if r.HasQuantity {
			q = fmt.Sprintf("%v %s bare=%t", r.Quantity.Value, r.Quantity.Unit, r.Bare)
		}
		got = append(got, fmt.Sprintf("%s %s..%s %s.%s %v %s", r.Month, r.From, r.To, r.Enterprise, r.Item, r.Amount, q))
	}
	want := []string{
		"2027-05 2027-05..2027-05 hens.eggs_sold 1234.5 4100 egg bare=false",
		"2027-05 2027-05..2027-05 hens.layers_meal -62.4 -",
		"2027-05 2027-05..2027-05 hens.layers_meal -62.4 40  bare=true",
		"2027-05 2027-05..2027-05 hens.layers_meal -62.4 40  bare=true",
		"2027-01 2027-01..2027-12 farm.insurance -100 -",
		"2027-01 2027-01..2027-01 farm.insurance 100 -",
		"2027-02 2027-02..2027-02 hens.eggs_sold -3 -12 dozen bare=false",
		"2028-02 2028-02..2028-02 hens.henhouse -900 1  bare=true",
		"2027-02 2027-02..2027-02 farm.off_farm 12 -",
		"2027-02 2027-02..2027-02 farm.other -12 -",
		"2027-02 2027-02..2027-02 hens.eggs_sold 0 6  bare=true",
	}
	if !slices.Equal(got, want) {
		t.Errorf("read as\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if f.Records.UpTo != plan.MonthOf(2027, 8) || f.Records.Refuse {
		t.Errorf("up to %s, refuse %t", f.Records.UpTo, f.Records.Refuse)
	}
}

// Each row is the only one of its file after the head; the message is whole.
var badRecords = []struct{ row, want string }{
	{"14/05/2027,hens,eggs_sold,7,2,,,", `2:1: the date is "14/05/2027"; expected year, month and day; write it as 2027-05-14`},
	{"2027-5-14,hens,eggs_sold,7,2,,,", `2:1: the date is "2027-5-14"; expected year, month and day; write it as 2027-05-14`},
	{"2027-02-29,hens,eggs_sold,7,2,,,", `2:1: 2027-02-29 is not a day of the calendar`},
	{"0000-02-01,hens,eggs_sold,7,2,,,", `2:1: 0000-02-01 is not a day of the calendar`},
	{",hens,eggs_sold,7,2,,,", `2:1: this row has no date`},
	{"2027-05-14,,eggs_sold,7,2,,,", `2:12: this row has no enterprise; write farm for the farm as a whole`},
	{"2027-05-14,hen,eggs_sold,7,2,,,", `2:12: "hen" is not an enterprise; did you mean hens?`},
	{"2027-05-14,Zebras,eggs_sold,7,2,,,", `2:12: "Zebras" is not an enterprise; expected hens or farm`},
	{"2027-05-14,geese,geese_sold,7,2,,,", `2:12: geese is studied but not run, so there is no plan beside it; add it to plan: enterprises in data/farm.yaml, or record it as farm, other`},
	{"2027-05-14,hens,,7,2,,,", `2:17: this row has no item; name a line of hens, or write other`},
	{"2027-05-14,hens,egs_sold,7,2,,,", `2:17: "egs_sold" is not an item of hens; did you mean eggs_sold?`},
	{"2027-05-14,hens,tractor,7,2,,,", `2:17: "tractor" is not an item of hens; name a line of its file, or write other`},
	{"2027-05-14,farm,insurence,,-2,,,", `2:17: "insurence" is not an item of the farm as a whole; did you mean insurance?`},
	{"2027-05-14,hens,feeding,7,-2,,,", `2:17: feeding is work and not money; help that is paid is farm, hired_help; rent is farm, rent`},
	{"2027-05-14,hens,grass,7,-2,,,", `2:17: grass is land and not money; help that is paid is farm, hired_help; rent is farm, rent`},
	{"2027-05-14,hens,eggs_sold,7,,,,", `2:29: this row has no amount; write 0 if no money changed hands`},
	{"2027-05-14,hens,eggs_sold,7,£2,,,", `2:29: the amount is "£2"; expected money in GBP: a number, with a minus if it was paid out; write it as -62.40`},
	{"2027-05-14,hens,eggs_sold,7,2 EUR,,,", `2:29: the amount is "2 EUR"; expected money in GBP: a number, with a minus if it was paid out; write it as -62.40`},
	{"2027-05-14,hens,eggs_sold,7,(2.00),,,", `2:29: the amount is "(2.00)"; expected money in GBP: a number, with a minus if it was paid out; write it as -62.40`},
	{"2027-05-14,hens,eggs_sold,7,\"2,50\",,,", `2:29: the amount is "2,50"; expected money in GBP: a number, with a minus if it was paid out; write it as -62.40`},
	{"2027-05-14,hens,eggs_sold,7,5 %,,,", `2:29: the amount is "5 %"; expected money in GBP: a number, with a minus if it was paid out; write it as -62.40`},
	{"2027-05-14,hens,eggs_sold,7,6 May,,,", `2:29: the amount is "6 May"; expected money in GBP: a number, with a minus if it was paid out; write it as -62.40`},
	{"2027-05-14,hens,eggs_sold,7,9e12,,,", `2:29: the amount is 9e12; that is more than a farm's records can hold`},
	{"2027-05-14,hens,eggs_sold,7,-2,,,", `2:29: the amount is -2, money out, but eggs_sold is a sale; write it without the minus, or yes in a column refund if you gave the money back`},
	{"2027-05-14,hens,layers_meal,7,2,,,", `2:31: the amount is 2, money in, but layers_meal is a cost; write -2, or yes in a column refund if the money came back`},
	{"2027-05-14,farm,interest,,2,,,", `2:27: the amount is 2, money in, but interest is a cost; write -2, or yes in a column refund if the money came back`},
	{"2027-05-14,hens,henhouse,,2,,,", `2:27: the amount is 2, money in, but henhouse is a cost; write -2, or yes in a column refund if the money came back`},
	{"2027-05-14,hens,eggs_sold,7,2,,yes,", `2:29: the amount is 2, money in, for a sale that was refunded; write -2`},
	{"2027-05-14,hens,layers_meal,7,-2,,yes,", `2:31: the amount is -2, money out, for a cost that was refunded; write it without the minus`},
	{"2027-05-14,hens,eggs_sold,7,2,,maybe,", `2:32: refund is "maybe"; expected yes, or nothing`},
	{"2027-05-14,hens,eggs_sold,seven,2,,,", `2:27: the quantity is "seven"; expected a number, with its unit or without; write it as 320 kg, or leave it empty`},
	{"2027-05-14,hens,eggs_sold,7 eg,2,,,", `2:27: the quantity is "7 eg"; expected a number, with its unit or without; write it as 320 kg, or leave it empty`},
	{"2027-05-14,hens,eggs_sold,0,2,,,", `2:27: the quantity is 0; expected more than 0; leave it empty if there is none`},
	{"2027-05-14,hens,eggs_sold,-7 egg,2,,,", `2:27: the quantity is -7 egg; expected more than 0; leave it empty if there is none`},
	{"2027-05-14,hens,eggs_sold,6 May,2,,,", `2:27: the quantity is 6 May, a date; write it as 320 kg, or leave it empty`},
	{"2027-05-14,hens,eggs_sold,1e25,2,,,", `2:27: the quantity is 1e25; that is more than a farm's records can hold`},
	{"2027-05-14,hens,eggs_sold,7,2,2027,,", `2:31: covers is "2027"; expected the first and the last month, 60 at most; write it as 2027-01..2027-12`},
	{"2027-05-14,hens,eggs_sold,7,2,2027-06..2027-05,,", `2:31: covers is "2027-06..2027-05"; expected the first and the last month, 60 at most; write it as 2027-01..2027-12`},
	{"2027-05-14,hens,eggs_sold,7,2,2027-01..2033-01,,", `2:31: covers is "2027-01..2033-01"; expected the first and the last month, 60 at most; write it as 2027-01..2027-12`},
	{"2027-05-14,hens,eggs_sold,7,2,2027-01..2027-13,,", `2:31: covers is "2027-01..2027-13"; expected the first and the last month, 60 at most; write it as 2027-01..2027-12`},
	{"2027-05-14,hens,eggs_sold,7", `2:1: this row has 4 entries; the file has 8 columns`},
	{"2027-05-14,hens,eggs_sold,7,1,234.50,,,", `2:1: this row has 9 entries; the file has 8 columns; put a text or a number that contains a comma in quotation marks`},
	{"2027-05-14,hens,\"eggs_sold,7,2,,,", `2:17: a quotation mark in this row is not closed, or stands inside a text; put the whole text in quotation marks, write a mark within it twice, and keep each record on one line`},
	{"2027-05-14,hens,eggs \"big\",7,2,,,", `2:22: a quotation mark in this row is not closed, or stands inside a text; put the whole text in quotation marks, write a mark within it twice, and keep each record on one line`},
	{"2027-05-14,hens,\"eg\"gs,7,2,,,", `2:20: a quotation mark in this row is not closed, or stands inside a text; put the whole text in quotation marks, write a mark within it twice, and keep each record on one line`},
}

func TestBadRecords(t *testing.T) {
	for _, c := range badRecords {
		const good = "2027-05-14,hens,eggs_sold,700,210,,,\n"
		f, err := Load(coopWith(map[string]string{"data/records/a.csv": recordHead + "\n" + c.row + "\n" + good}))
		if err != nil {
			t.Errorf("%s: the rest is to be counted, but %v", c.row, err)
			continue
		}
		bad := badRows(f)
		if *show {
			fmt.Printf("\t{%q, `%s`},\n", c.row, strings.TrimPrefix(strings.Join(bad, "\n"), "data/records/a.csv:"))
			continue
		}
		if len(bad) != 1 || bad[0] != "data/records/a.csv:"+c.want {
			t.Errorf("%s\n is left out since\n%s\n want\n%s", c.row, strings.Join(bad, "\n"), c.want)
		}
		if len(f.Records.Rows) != 1 {
			t.Errorf("%s: %d rows are counted beside it, want 1", c.row, len(f.Records.Rows))
		}
	}
}

// What makes a whole file, or the key in finance.yaml, useless stops the build.
func TestRecordsThatStopTheBuild(t *testing.T) {
	const good = "2027-05-14,hens,eggs_sold,700,210\n"
	head := "date,enterprise,item,quantity,amount\n"
	with := func(records string) map[string]string {
		return map[string]string{"data/finance.yaml": strings.Replace(coop["data/finance.yaml"], "records: {bad_rows: count_rest, up_to: 2027-09-30}", records, 1), "data/records/a.csv": head + good}
	}
	for _, c := range []struct {
		files map[string]string
		want  string
	}{
		{map[string]string{"data/records/a.csv": "date,enterprise,itm,quantity,amount\n" + good}, `data/records/a.csv:1:17: "itm" is not a column of records; did you mean item?`},
		{map[string]string{"data/records/a.csv": "date,enterprise,item,quantity,amount,weather\n" + good}, `data/records/a.csv:1:38: "weather" is not a column of records; the columns are date, enterprise, item, quantity, amount, covers, refund and note; put remarks into note`},
		{map[string]string{"data/records/a.csv": "Date,enterprise,item,quantity,amount\n" + good}, `data/records/a.csv:1:1: "Date" is not a column of records; did you mean date?`},
		{map[string]string{"data/records/a.csv": "date,enterprise,item,amount\n" + good}, `data/records/a.csv:1:1: the column quantity is missing; begin the file with date,enterprise,item,quantity,amount`},
		{map[string]string{"data/records/a.csv": "date,enterprise,item,quantity,amount,date\n" + good}, `data/records/a.csv:1:38: the column date is there twice`},
		{map[string]string{"data/records/a.csv": ""}, `data/records/a.csv:1:1: this file has no row of column names; begin it with date,enterprise,item,quantity,amount`},
		{map[string]string{"data/records/a.csv": strings.ReplaceAll(head+good, ",", ";")}, `data/records/a.csv:1:1: the columns of this file are not parted by commas; save it as CSV with commas, and with a point in decimal numbers`},
		{map[string]string{"data/records/a.xlsx": "PK"}, `data/records/a.xlsx:1:1: this file is not read; save it as CSV, with a name that ends in .csv`},
		{map[string]string{"data/records/a.CSV": head}, `data/records/a.CSV:1:1: this file is not read; save it as CSV, with a name that ends in .csv`},
		{map[string]string{"data/2027.csv": head}, `data/2027.csv:1:1: this file is not read; records belong in data/records`},
		{map[string]string{"data/record/2027.csv": head}, `data/record:1:1: this folder is not read; did you mean data/records?`},
		{with("records: {bad_rows: skip}"), `data/finance.yaml:3:21: the bad rows is "skip"; expected refuse or count_rest`},
		{with("records: {bad_row: refuse}"), `data/finance.yaml:3:11: "bad_row" is not a key of records; did you mean bad_rows?`},
		{with("records: {up_to: 2027-09-15}"), `data/finance.yaml:3:18: up_to is 2027-09-15; expected a month, or its last day, for the plan goes by whole months; write 2027-09`},
		{with("records: {up_to: 2027-09-31}"), `data/finance.yaml:3:18: the up to: there is no day 2027-09-31`},
		{with("records: {up_to: 2027}"), `data/finance.yaml:3:18: up_to is 2027; expected a month such as 2027-09`},
		{map[string]string{"data/finance.yaml": strings.Replace(coop["data/finance.yaml"], "count_rest", "refuse", 1), "data/records/a.csv": head + "2027-05-14,hens,eggs_sold,700,\n" + good},
			`data/records/a.csv:2:31: this row has no amount; write 0 if no money changed hands`},
	} {
		_, err := Load(coopWith(c.files))
		if *show {
			fmt.Println(err)
			continue
		}
		if err == nil || err.Error() != c.want {
			t.Errorf("got\n%v\nwant\n%s", err, c.want)
		}
	}
}

// The same statement in two files counts once.
func TestSameRecordInTwoFiles(t *testing.T) {
	text := recordHead + "\n2027-05-14,hens,eggs_sold,700,210,,,\n2027-05-14,hens,eggs_sold,700,210,,,\n"
	f, err := Load(coopWith(map[string]string{"data/records/may.csv": text, "data/records/spring.csv": text}))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Records.Rows) != 2 || len(f.Records.Bad) != 2 || badRows(f)[0] != "data/records/spring.csv:2:1: the same record stands in another file, at data/records/may.csv:2:1; delete one, or tell them apart in the column note" {
		t.Errorf("%d rows counted, left out %q", len(f.Records.Rows), badRows(f))
	}
}

// hostileRecords says of each file how many rows are counted and left out; -1
// for a file that stops the build.
var hostileRecords = map[string][2]int{
	"bom-and-crlf.csv": {2, 0}, "direction.csv": {1, 1}, "empty.csv": {-1, 0}, "formula.csv": {1, 5}, "header-only.csv": {0, 0},
	"latin-1.csv": {1, 1}, "lone-cr.csv": {-1, 0}, "long-line.csv": {1, 1}, "many-columns.csv": {1, 1}, "nan.csv": {1, 6},
	"no-header.csv": {-1, 0}, "quote-inside.csv": {1, 1}, "semicolons.csv": {-1, 0}, "unclosed-quote.csv": {1, 1}, "utf-16.csv": {-1, 0}, "zero-bytes.csv": {1, 1},
}

func TestHostileRecords(t *testing.T) {
	files, err := filepath.Glob("../testdata/hostile/records/*.csv")
	if err != nil || len(files) != len(hostileRecords) {
		t.Fatalf("%d files, want %d (%v)", len(files), len(hostileRecords), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		checkHostile(t, filepath.Base(file), string(text), hostileRecords[filepath.Base(file)])
	}
	ten := strings.Repeat("x", 10<<20)
	checkHostile(t, "ten megabytes", recordHead+"\n"+ten, [2]int{-1, 0})
	checkHostile(t, "ten megabytes of lines", recordHead+"\n"+strings.Repeat("2027-05-14,hens,eggs_sold,7,2,,,\n", 10<<20/33), [2]int{-1, 0})
	checkHostile(t, "many bad rows", recordHead+"\n"+strings.Repeat("2027-05-14,hens,egs_sold,7,2,,,\n", 49_000), [2]int{0, 49_000})
	checkHostile(t, "too many rows", recordHead+"\n"+strings.Repeat("2027-05-14,hens,eggs_sold,7,2,,,\n", 50_001), [2]int{-1, 0})
}

func checkHostile(t *testing.T, name, text string, want [2]int) {
	t.Helper()
	start := time.Now()
	f, err := Load(coopWith(map[string]string{"data/records/a.csv": text}))
	if took := time.Since(start); took > 5*time.Second {
		t.Errorf("%s took %v", name, took)
	}
	if want[0] < 0 {
		var errs source.Errors
		if !errors.As(err, &errs) || len(errs) == 0 {
			t.Errorf("%s is read", name)
		}
		return
	}
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	if got := [2]int{len(f.Records.Rows), len(f.Records.Bad)}; got != want {
		t.Errorf("%s: %v rows counted and left out, want %v:\n%.2000s", name, got, want, strings.Join(badRows(f), "\n"))
	}
}

// A link out of the workbook is not followed.
func TestLinkedRecords(t *testing.T) {
	files := coopWith(map[string]string{})
	files["data/records/a.csv"] = &fstest.MapFile{Data: []byte("/etc/passwd"), Mode: fs.ModeSymlink}
	_, err := Load(files)
	if want := "data/records/a.csv:1:1: this is not an ordinary file; a link is not followed; put the file itself here"; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// Every line after the head is counted, left out with a reason in that line, or
// empty; nothing that is counted is not a number.
func FuzzRecords(f *testing.F) {
	f.Add("2027-05-14,hens,eggs_sold,700,210\n")
	f.Add("2027-05-14,hens,\"Layers' meal\",\"1,000 egg\",-12\r\n,,,,\r\n")
	files, _ := filepath.Glob("../testdata/hostile/records/*.csv")
	for _, file := range files {
		if text, err := os.ReadFile(file); err == nil {
			f.Add(string(text))
		}
	}
	base := coopWith(map[string]string{})
	f.Fuzz(func(t *testing.T, rows string) {
		if len(rows) > 1<<16 {
			return
		}
		text := "date,enterprise,item,quantity,amount\n" + rows
		base["data/records/a.csv"] = &fstest.MapFile{Data: []byte(text)}
		farm, err := Load(base)
		if err != nil {
			t.Fatalf("rows alone stop the build: %v", err)
		}
		seen := map[int]bool{}
		note := func(at source.Span) {
			line := at.Position().Line
			if line < 2 || seen[line] {
				t.Errorf("line %d is told twice, or is the head", line)
			}
			seen[line] = true
		}
		for _, r := range farm.Records.Rows {
			note(r.Place)
			if math.IsNaN(r.Amount) || math.Abs(r.Amount) > 1e12 || r.HasQuantity && !(math.Abs(r.Quantity.Value) <= 1e18) || r.To < r.From {
				t.Errorf("counted: %+v", r)
			}
		}
		for _, b := range farm.Records.Bad {
			note(b.Err.Span)
			if b.Err.Detail() == "" {
				t.Error("a row is left out without a reason")
			}
		}
		for i, line := range strings.Split(text, "\n") {
			line = strings.TrimSuffix(line, "\r")
			if i > 0 && strings.Trim(line, " \t,") != "" && !seen[i+1] {
				t.Errorf("line %d vanished: %q", i+1, line)
			}
		}
	})
}
