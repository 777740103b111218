package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/calc/quantity"
	"rickyard/data"
	"rickyard/templates"
	"rickyard/templates/chart/drawer"
)

const (
	farmsFolder = "../../testdata/farms"
	casesFile   = "../../data/cases.yaml"
)

// A caseFarm is an invented farm in a context of its own.
type caseFarm struct {
	dir, name string
	kind      string
	symbol    string // of its money, as printed
	land      string // the kind of land whose area is the farm's; "" for all
}

var caseFarms = []caseFarm{
	{dir: "hazel-run", name: "Hazel Run", kind: "a market garden from nothing", symbol: "$"},
	{dir: "upper-quarter", name: "The Upper Quarter", kind: "taken over from parents", symbol: "€"},
	{dir: "broadwash", name: "Broadwash", kind: "on someone else's land", symbol: "$"},
	{dir: "stara-miedza", name: "Stara Miedza", kind: "geese put into an orchard", symbol: "zł\u00a0", land: "orchard"},
	{dir: "kumo-terraces", name: "Kumo Terraces", kind: "both with full-time jobs", symbol: "¥"},
	{dir: "cellar-nine", name: "Cellar Nine", kind: "a cellar without land", symbol: "kr\u00a0"},
}

// caseWorkbook lays the chapters that all case farms share, and the demo's bank
// pack, over one farm's data.
func caseWorkbook(t *testing.T, dir string) fstest.MapFS {
	t.Helper()
	merged := fstest.MapFS{}
	take := func(folder, to string, want func(name string) bool) {
		fsys := os.DirFS(folder)
		err := fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !want(filepath.Base(name)) {
				return err
			}
			text, err := fs.ReadFile(fsys, name)
			merged[path.Join(to, name)] = &fstest.MapFile{Data: text}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	pack := regexp.MustCompile(`^7\d-.*\.md$|^cautions\.yaml$|^glossary\.yaml$`)
	all := func(string) bool { return true }
	take("../../content", "content", pack.MatchString)
	take(farmsFolder+"/content", "content", all)
	take(farmsFolder+"/"+dir, ".", all)
	return merged
}

// TestCaseFarms builds whole workbooks for farms in other contexts from the same
// chapters, checks that their books tie and their tables add up, and holds the
// demo's comparison to them.
func TestCaseFarms(t *testing.T) {
	var written bytes.Buffer
	written.WriteString(casesHead)
	chapters := ""
	for _, c := range caseFarms {
		t.Run(c.dir, func(t *testing.T) {
			files := caseWorkbook(t, c.dir)
			book, farm, err := loadFrom(files)
			if err != nil {
				t.Fatal(err)
			}
			same := ""
			for _, ch := range book.Book.Chapters {
				same += ch.Name + " "
			}
			if chapters == "" {
				chapters = same
			} else if same != chapters {
				t.Errorf("chapters %s, other farms have %s", same, chapters)
			}
			checkTies(t, book)
			book.Drawer = drawer.New(templates.ChartScript(), drawer.Options{CacheDir: t.TempDir()})
			pages, err := book.Make()
			if err != nil {
				t.Fatal(err)
			}
			checkCasePages(t, c, farm, pages)
			writeCase(t, &written, c, book, farm)
		})
	}
	if t.Failed() {
		return
	}
	if *update {
		if err := os.WriteFile(casesFile, written.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	have, err := os.ReadFile(casesFile)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(have, written.Bytes()) {
		t.Errorf("data/cases.yaml is not what the case farms come to; run go test ./cmd/rickyard -run CaseFarms -update\n%s", difference(string(have), written.String()))
	}
}

const casesHead = `# What the farms of testdata/farms come to, for the chapter on other farms. A test
# writes this file (go test ./cmd/rickyard -run CaseFarms -update), and fails when
# one of those farms comes to something else.
farms:
`

// checkTies adds each year's books up from their parts.
func checkTies(t *testing.T, book *templates.Workbook) {
	t.Helper()
	value := func(name string) float64 {
		if f := book.Graph.Lookup(name); f != nil {
			return f.Current()
		}
		return 0 // what never happens has no figure
	}
	must := func(name string) float64 {
		if book.Graph.Lookup(name) == nil {
			t.Errorf("there is no figure %s", name)
		}
		return value(name)
	}
	before := must("plan.opening.bank") - value("plan.opening.overdraft")
	equity := must("plan.opening.equity")
	for year := 1; year <= 5; year++ {
		p := fmt.Sprintf("plan.year%d.", year)
		b := p + "balance."
		owned, owed := 0.0, 0.0
		for _, line := range []string{"property", "equipment", "growing", "stock", "tax_back", "bank"} {
			owned += value(b + line)
		}
		for _, line := range []string{"overdraft", "loans_soon", "loans_later", "interest_due", "sales_tax_due", "tax_due"} {
			owed += value(b + line)
		}
		after := value(b+"bank") - value(b+"overdraft")
		for _, tie := range []struct {
			what      string
			got, want float64
		}{
			{"what is owned, line by line", owned, must(b + "assets")},
			{"what is owed, line by line", owed, must(b + "liabilities")},
			{"owned less owed", owned - owed, must(b + "equity")},
			{"the bank, from the cash flow", before + must(p+"money_in") - must(p+"money_out"), after},
			{"owners' equity, from profit and what the household puts in and takes out", equity + must(p+"profit_after_tax") + value(p+"off_farm") + value(p+"introduced") + value(p+"grants") - value(p+"drawings"), must(b + "equity")},
		} {
			if math.Abs(tie.got-tie.want) > 0.5 {
				t.Errorf("year %d: %s is %.2f, the books say %.2f", year, tie.what, tie.got, tie.want)
			}
		}
		if ties := book.Graph.Lookup(b + "ties"); ties == nil || !book.Graph.Base().Holds(ties) {
			t.Errorf("year %d does not tie", year)
		}
		before, equity = after, value(b+"equity")
	}
}

// checkCasePages checks every page: that it is sound, that tables add up as
// printed, and that money and land are shown as this farm counts them.
func checkCasePages(t *testing.T, c caseFarm, farm *data.Farm, files templates.Pages) {
	t.Helper()
	pages := map[string]*parsedPage{}
	for name, raw := range files {
		if filepath.Ext(name) != ".html" {
			continue
		}
		page, err := parsePage(raw)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		pages[name] = page
	}
	sums, money := 0, 0
	for name, page := range pages {
		for _, e := range page.all {
			if problem := address(e, name, files, pages); problem != "" {
				t.Errorf("%s: %s", name, problem)
			}
		}
		for _, e := range page.root.find("table") {
			sums += checkFoots(t, name, e)
		}
		text := page.root.find("body")[0].texts()
		if at := missingWords.FindString(text); at != "" && name != "notices.html" { // licences speak for themselves
			t.Errorf("%s: there are no words for %s", name, at)
		}
		money += strings.Count(text, c.symbol)
		for _, sign := range []string{"£", "€", "$", "¥", "zł", "kr\u00a0"} {
			if at := strings.Index(text, sign); at >= 0 && sign != strings.TrimSuffix(c.symbol, "\u00a0") && sign != c.symbol {
				t.Errorf("%s: shows money as %q: %s", name, sign, around(text, at))
			}
		}
		for _, wrong := range []string{"NaN", "Infinity", "<nil>", "the 1 "} {
			if at := strings.Index(text, wrong); at >= 0 {
				t.Errorf("%s: %q: %s", name, wrong, around(text, at))
			}
		}
		if farm.Metric {
			if at := strings.Index(text, "acre"); at >= 0 {
				t.Errorf("%s: acres on a metric farm: %s", name, around(text, at))
			}
		} else if at := metricLand.FindStringIndex(text); at != nil {
			t.Errorf("%s: a metric unit on a farm in customary ones: %s", name, around(text, at[0]))
		}
		if farm.Units.DecimalsOf(farm.Currency) == 0 {
			if at := regexp.MustCompile(regexp.QuoteMeta(c.symbol) + `[1-9]\d{0,2}(,\d{3})*\.\d`).FindStringIndex(text); at != nil {
				t.Errorf("%s: decimals of a currency that has none: %s", name, around(text, at[0]))
			}
		}
	}
	if sums < 100 || money < 100 {
		t.Errorf("only %d sums and %d amounts of money were checked", sums, money)
	}
}

var metricLand = regexp.MustCompile(`[Pp]er hectare|more hectare|\d\s?(ha|m²|kg)\b|/ha\b|\bin²`)

func around(text string, at int) string {
	return strings.Join(strings.Fields(text[max(0, at-60):min(len(text), at+60)]), " ")
}

// TestCaseFarmsDiffer checks what is special to a context: seasons south of the
// equator, a business without land, one without a loan, acres and round sums.
func TestCaseFarmsDiffer(t *testing.T) {
	load := map[string]*templates.Workbook{}
	for _, c := range caseFarms {
		book, _, err := loadFrom(caseWorkbook(t, c.dir))
		if err != nil {
			t.Fatalf("%s: %v", c.dir, err)
		}
		load[c.dir] = book
	}
	south := load["broadwash"]
	// Winter is turned round: set the latitude north, and it is another.
	winter := south.Graph.Lookup("hens.at_best.winter_income")
	north := south.Graph.Base().Clone()
	north.Set(south.Graph.Lookup("farm.latitude"), -south.Graph.Lookup("farm.latitude").Current())
	north.Run()
	if winter == nil || winter.Current() == north.Of(winter) {
		t.Errorf("winter in the south: %v", winter)
	}
	garlic := south.Graph.Lookup("garlic.hours_by_month").Months()
	if slices.Index(garlic, slices.Max(garlic)) > 1 {
		t.Errorf("garlic is lifted at midsummer, in January: %v", garlic)
	}
	if table := south.Tables["cash_by_month"]; table.First != 6 {
		t.Errorf("a plan that starts in July has month %d first", table.First)
	}
	if got := south.Facts["plan.end"].String(); got != "June 2032" {
		t.Errorf("five years from July 2027 end in %s", got)
	}

	cellar := load["cellar-nine"]
	for _, name := range []string{"oysters.margin_per_hectare", "plan.year3.debt_service_cover"} {
		if _, none := cellar.Graph.Base().None(cellar.Graph.Lookup(name)); !none {
			t.Errorf("%s has an answer without land and loan", name)
		}
	}
	if rows := cellar.Tables["loans"].Rows; len(rows) > 0 {
		t.Errorf("loans of a farm without one: %v", rows)
	}

	acres := load["hazel-run"]
	land, margin := acres.Graph.Lookup("vegetables.land"), acres.Graph.Lookup("vegetables.margin_per_hectare")
	if !strings.Contains(margin.Label.String(), "acre") || margin.Unit.String() != "USD/acre" {
		t.Errorf("margin by land: %s in %s", margin.Label, margin.Unit)
	}
	// An acre is 4 046.8564224 m2 (international foot; NIST SP 811).
	want := acres.Graph.Lookup("vegetables.net_margin").Current() / (land.Current() / 4046.8564224)
	if got := margin.Shown(); math.Abs(got-want) > 1e-6*want {
		t.Errorf("margin per acre is %v, want %v", got, want)
	}
	if got := acres.Text(land); !strings.Contains(got, "acre") {
		t.Errorf("land is shown as %s", got)
	}

	yen := load["kumo-terraces"]
	for _, f := range yen.Graph.All() {
		if strings.HasPrefix(f.Name, "mix.worth_of_channel.") && !strings.Contains(f.Label.String(), "100,000 more") {
			t.Errorf("%s is labelled %s", f.Name, f.Label)
		}
	}
	if got := yen.Text(yen.Graph.Lookup("rice.sales")); got != "¥1,462,890" {
		// 5,200 m2 at 0.465 kg, 54 % at ¥720 and 46 % at ¥470: by hand.
		t.Errorf("sales of rice are %s", got)
	}
}

// writeCase writes a farm's entry of data/cases.yaml, and logs it.
func writeCase(t *testing.T, to *bytes.Buffer, c caseFarm, book *templates.Workbook, farm *data.Farm) {
	t.Helper()
	value := func(name string) float64 {
		f := book.Graph.Lookup(name)
		if f == nil {
			return 0
		}
		return f.Current()
	}
	total := func(result string) float64 {
		sum := 0.0
		for _, id := range book.Planned {
			sum += value(id + "." + result)
		}
		return sum
	}
	land := 0.0
	for _, kind := range farm.Land {
		if c.land == "" || kind.ID == c.land {
			land += value("farm.land." + kind.ID + ".area")
		}
	}
	borrowed := 0.0
	for _, s := range farm.Sources {
		if s.Kind == "loan" {
			borrowed += value("finance.sources." + s.ID + ".amount")
		}
	}
	hours := total("hours") / 3600
	anHour := total("net_margin") / hours
	wage := value("farm.wage") * 3600
	uses := value("finance.uses_total")
	unit, _ := farm.Units.Land()
	plain := func(x float64, decimals int) string {
		return quantity.NewStyle(farm.Units, farm.Language).Figures(x, quantity.Unit{}, math.Pow10(-decimals))
	}
	yaml := func(x float64, decimals int, unit string) string {
		text := strings.NewReplacer(",", "_", "−", "-").Replace(plain(x, decimals))
		return strings.TrimSpace(text + " " + unit)
	}
	share := func(part, whole float64) string { return yaml(100*part/whole, 0, "%") }
	lines := [][2]string{
		{"land", yaml(unit.FromBase(land), 1, unit.String())},
		{"start", yaml(uses, 0, farm.Currency)},
		{"sales", yaml(total("sales"), 0, farm.Currency)},
		{"net_margin", yaml(total("net_margin"), 0, farm.Currency)},
		{"hours", yaml(hours, 0, "h")},
		{"an_hour", yaml(anHour, farm.Units.DecimalsOf(farm.Currency), farm.Currency+"/h")},
		{"of_sales", share(total("net_margin"), total("sales"))},
		{"of_target", share(total("net_margin"), value("farm.target_income"))},
		{"of_wage", share(anHour, wage)},
		{"years_of_margin", yaml(uses/total("net_margin"), 1, "year")},
		{"property", share(value("finance.uses_property"), uses)},
		{"borrowed", share(borrowed, value("finance.sources_total"))},
		{"from_jobs", share(value("plan.year1.off_farm"), value("plan.year1.drawings"))},
		{"lowest", share(value("plan.lowest_cash"), uses)},
		{"bears", share(value("plan.price_fall_to_miss_loan"), 1)},
		{"runs_out", yaml(100*value("risk.chance_cash_runs_out"), 1, "%")},
	}
	id := strings.ReplaceAll(c.dir, "-", "_")
	fmt.Fprintf(to, "  %s:\n    label: \"%s, %s\"\n    source: testdata/farms/%s, built\n    figures:\n", id, c.name, c.kind, c.dir)
	for _, line := range lines {
		fmt.Fprintf(to, "      %s: %s\n", line[0], line[1])
	}
	t.Log(c.name, lines)
}
