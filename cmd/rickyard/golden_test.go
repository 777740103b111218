package main

import (
	"flag"
	"fmt"
	"math"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rickyard/templates"
)

var update = flag.Bool("update", false, "write the golden pages anew")

// makeBook makes the files of a workbook without writing them.
func makeBook(t testing.TB, dir string) templates.Pages {
	t.Helper()
	c := newConsole(t.Output(), t.Output())
	pages, err := makePages(dir, demoDrawer(t), c.progress())
	if err != nil {
		c.report(err)
		t.Fatal("the workbook can't be built")
	}
	return pages
}

// TestGoldenPages compares the pages of the small workbook with those that
// were read and found right: go test ./cmd/rickyard -run Golden -update writes
// them anew, and the difference is then to be read like code.
func TestGoldenPages(t *testing.T) {
	pages := makeBook(t, small)
	for _, name := range []string{"index.html", "bees.html", "money.html"} {
		page, err := parsePage(pages[name])
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		var b strings.Builder
		for _, e := range page.root.find("head") {
			outline(&b, e, 0)
		}
		for _, e := range page.root.find("main") {
			outline(&b, e, 0)
		}
		golden := filepath.Join("testdata", "golden", strings.TrimSuffix(name, ".html")+".txt")
		if *update {
			write(t, golden, b.String())
			continue
		}
		if got, want := b.String(), read(t, golden); got != want {
			t.Errorf("%s is not as in %s:\n%s", name, golden, difference(want, got))
		}
	}
}

// outline writes an element as an indented outline: what a reader or a style
// sheet can tell apart, a line for each element that is not within a line of
// text. Of a drawing it writes only what it says.
func outline(b *strings.Builder, e *element, level int) {
	indent := strings.Repeat("  ", level)
	if e.name == "" {
		if text := strings.Join(strings.Fields(e.text), " "); text != "" {
			fmt.Fprintf(b, "%s%q\n", indent, text)
		}
		return
	}
	b.WriteString(indent + e.name)
	for _, name := range []string{"id", "class", "role", "href", "src", "alt", "name", "content", "scope", "colspan", "aria-labelledby"} {
		if value, ok := e.attr[name]; ok && e.name != "svg" {
			fmt.Fprintf(b, " %s=%s", name, value)
		}
	}
	if e.name == "svg" {
		for _, c := range e.inside {
			if c.name == "title" || c.name == "desc" {
				fmt.Fprintf(b, " %s=%q", c.name, c.texts())
			}
		}
		b.WriteString("\n")
		return
	}
	if len(e.inside) == 1 && e.inside[0].name == "" {
		fmt.Fprintf(b, " %q\n", strings.Join(strings.Fields(e.inside[0].text), " "))
		return
	}
	b.WriteString("\n")
	for _, c := range e.inside {
		outline(b, c, level+1)
	}
}

// difference shows the first lines in which two texts differ.
func difference(want, got string) string {
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	at := 0
	for at < min(len(a), len(b)) && a[at] == b[at] {
		at++
	}
	from := max(0, at-3)
	part := func(lines []string) string { return strings.Join(lines[from:min(len(lines), at+5)], "\n") }
	return fmt.Sprintf("from line %d, want\n%s\ngot\n%s", from+1, part(a), part(b))
}

// TestEveryPage checks what must hold of any page of any workbook.
func TestEveryPage(t *testing.T) {
	for _, dir := range []string{repo, small} {
		files := makeBook(t, dir)
		pages := map[string]*parsedPage{}
		for name, raw := range files {
			if filepath.Ext(name) != ".html" {
				continue
			}
			page, err := parsePage(raw)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			pages[name] = page
		}
		rows := 0
		for name, page := range pages {
			for _, e := range page.all {
				if problem := dangerous(e, name); problem != "" {
					t.Errorf("%s: %s", name, problem)
				}
				if _, ok := e.attr["style"]; ok {
					t.Errorf("%s: <%s> has a style attribute", name, e.name)
				}
				if problem := address(e, name, files, pages); problem != "" {
					t.Errorf("%s: %s", name, problem)
				}
			}
			checkHead(t, name, page)
			if charts := len(page.root.find("figure")); charts <= 2 && len(files[name]) > heaviestPage && name != "workbook.html" && !strings.HasPrefix(name, "w-") {
				t.Errorf("%s has %d charts and weighs %d bytes; the most is %d", name, charts, len(files[name]), heaviestPage)
			}
			for _, e := range page.root.find("table") {
				rows += checkFoots(t, name, e)
			}
			if at := missingWords.FindString(page.root.find("body")[0].texts()); at != "" && name != "notices.html" { // licences speak for themselves
				t.Errorf("%s: there are no words for %s", name, at)
			}
		}
		if rows < 10 && dir == repo || rows == 0 {
			t.Errorf("only %d sums in tables were checked", rows)
		}
	}
}

// heaviestPage is what a chapter with two charts may weigh, in bytes before
// compression: a telephone on a poor line has it in seconds.
const heaviestPage = 150_000

// missingWords is how words that there are none of show on a page.
var missingWords = regexp.MustCompile(`\[[a-z]+(_[a-z]+)*\]`)

// allowedAddresses begin the only addresses outside a workbook that a page may
// hold: names of vocabularies, which nothing fetches, and what notices cite.
var allowedAddresses = []string{"http://www.w3.org/"}

var outside = regexp.MustCompile(`(?i)\b(?:https?:)?//[a-z0-9]`)

// contentHash is a hash in a page's policy.
var contentHash = regexp.MustCompile(`'sha256-[A-Za-z0-9+/=]+'`)

// address checks every address in an element: within the page, it names an id
// that is there; within the workbook, a file; outside, it is not allowed.
func address(e *element, page string, files templates.Pages, pages map[string]*parsedPage) string {
	for name, value := range e.attr {
		switch name {
		case "href", "src", "srcset", "action", "poster", "data":
		case "aria-labelledby", "aria-describedby", "aria-controls":
			for id := range strings.FieldsSeq(value) {
				if pages[page].ids[id] == nil {
					return fmt.Sprintf("<%s %s=%q>: there is no such id", e.name, name, value)
				}
			}
			continue
		default:
			value = contentHash.ReplaceAllString(value, "") // base64 may hold //
			if outside.MatchString(value) && !strings.HasPrefix(name, "xmlns") && !strings.HasPrefix(value, allowedAddresses[0]) {
				return fmt.Sprintf("<%s %s=%q> holds an address outside", e.name, name, value)
			}
			continue
		}
		if strings.HasPrefix(value, "data:image/") && e.name == "img" {
			continue
		}
		u, err := url.Parse(value)
		if err != nil || u.Scheme != "" || u.Host != "" || strings.HasPrefix(u.Path, "/") {
			if e.name == "a" && err == nil && (u.Scheme == "https" || u.Scheme == "http" || u.Scheme == "mailto") {
				continue // a link that a chapter's author wrote; nothing fetches it
			}
			return fmt.Sprintf("<%s %s=%q> leads outside", e.name, name, value)
		}
		target := u.Path
		if target == "" {
			target = page
		}
		if page == "workbook.html" && target != page {
			return fmt.Sprintf("<%s %s=%q> needs another file", e.name, name, value)
		}
		if _, ok := files[target]; !ok {
			return fmt.Sprintf("<%s %s=%q>: there is no such file", e.name, name, value)
		}
		if u.Fragment != "" && (pages[target] == nil || pages[target].ids[u.Fragment] == nil) {
			return fmt.Sprintf("<%s %s=%q>: there is no such id", e.name, name, value)
		}
	}
	return ""
}

func checkHead(t *testing.T, name string, page *parsedPage) {
	t.Helper()
	html := page.root.find("html")
	if len(html) != 1 || html[0].attr["lang"] == "" {
		t.Errorf("%s: no language", name)
	}
	if titles := page.root.find("head")[0].find("title"); len(titles) != 1 || titles[0].texts() == "" {
		t.Errorf("%s: %d titles", name, len(titles))
	}
	if h1 := len(page.root.find("h1")); h1 != 1 && name != "workbook.html" {
		t.Errorf("%s: %d headings of the first level", name, h1)
	}
	var policies []string
	for _, e := range page.root.find("meta") {
		if e.attr["http-equiv"] == "Content-Security-Policy" {
			policies = append(policies, e.attr["content"])
		}
	}
	if len(policies) != 1 || !strings.HasPrefix(policies[0], "default-src 'none';") {
		t.Fatalf("%s: policies %q", name, policies)
	}
	for _, loose := range []string{"unsafe", "*", "http", "blob:", "connect-src"} {
		if strings.Contains(policies[0], loose) {
			t.Errorf("%s: the policy allows %s", name, loose)
		}
	}
	if name == "workbook.html" && strings.Contains(policies[0], "'self'") {
		t.Errorf("%s: the policy allows files beside it", name)
	}
	for _, e := range page.root.find("img") {
		if e.attr["alt"] == "" {
			t.Errorf("%s: the picture %.60s has no words", name, e.attr["src"])
		}
	}
}

// A printedRow is a row of a table as a reader sees it.
type printedRow struct {
	kind   string // line, sub, total or head
	label  string
	values []float64 // NaN where there is no number
}

// checkFoots adds a printed table up as a reader with a pencil would, and
// returns how many sums it looked at.
func checkFoots(t *testing.T, page string, table *element) int {
	t.Helper()
	if !table.has("money") && !table.has("months") {
		return 0
	}
	title := ""
	for _, c := range table.find("caption") {
		title = strings.Join(strings.Fields(c.find("span")[0].texts()), " ")
	}
	var rows []printedRow
	for _, tr := range table.find("tr") {
		if tr.within("thead") || tr.has("check") {
			continue
		}
		row := printedRow{kind: "line"}
		for _, kind := range []string{"head", "sub", "total"} {
			if tr.has(kind) {
				row.kind = kind
			}
		}
		for _, th := range tr.find("th") {
			row.label = th.texts()
		}
		for _, td := range tr.find("td") {
			row.values = append(row.values, printedNumber(td.texts()))
		}
		rows = append(rows, row)
	}
	checked := 0
	for i, row := range rows {
		if row.kind == "head" {
			continue
		}
		if table.has("months") && len(row.values) == 13 {
			checked++
			sum, least, most := 0.0, math.Inf(1), math.Inf(-1)
			for _, x := range row.values[:12] {
				sum += x
				least, most = math.Min(least, x), math.Max(most, x)
			}
			// A balance ends on its last month, and what is left is the least.
			if year := row.values[12]; !equal(sum, year) && !equal(most, year) && !equal(least, year) && !equal(row.values[11], year) {
				t.Errorf("%s: %s: %s: the months come to %v, the year says %v", page, title, row.label, sum, year)
			}
		}
		if row.kind != "sub" && row.kind != "total" {
			continue
		}
		checked++
		if how := ways(rows, i); len(how) == 0 {
			t.Errorf("%s: %s: %s does not add up: %v of", page, title, row.label, row.values)
			for _, above := range rows[:i] {
				t.Logf("    %-5s %v %s", above.kind, above.values, above.label)
			}
		}
	}
	return checked
}

// ways lists how a sum may come about from the rows above it such that it is
// right in every column.
func ways(rows []printedRow, at int) []string {
	var since, lines, subs []int
	for i, row := range rows[:at] {
		switch row.kind {
		case "line":
			since, lines = append(since, i), append(lines, i)
		case "head":
			since = nil
		default:
			since, subs = nil, append(subs, i)
		}
	}
	plus := func(list []int) map[int]float64 {
		signs := map[int]float64{}
		for _, i := range list {
			signs[i] = 1
		}
		return signs
	}
	tries := map[string]map[int]float64{"lines since the last sum": plus(since), "all lines": plus(lines), "all sums": plus(subs)}
	if len(lines) > 1 {
		tries["first line less the others"] = plus(lines)
		for _, i := range lines[1:] {
			tries["first line less the others"][i] = -1
		}
	}
	for _, a := range subs {
		var after []int
		for _, i := range lines {
			if i > a {
				after = append(after, i)
			}
		}
		tries[fmt.Sprintf("lines after %d", a)] = plus(after)
		for _, b := range subs {
			if a != b {
				tries[fmt.Sprintf("%d less %d", a, b)] = map[int]float64{a: 1, b: -1}
				tries[fmt.Sprintf("%d and %d", a, b)] = map[int]float64{a: 1, b: 1}
			}
		}
		more := plus(since)
		more[a] = 1
		tries[fmt.Sprintf("%d and the lines since", a)] = more
		less := map[int]float64{a: 1}
		for _, i := range since {
			less[i] = -1
		}
		tries[fmt.Sprintf("%d less the lines since", a)] = less
	}
	var found []string
	for name, signs := range tries {
		if len(signs) > 0 && adds(rows, at, signs) {
			found = append(found, name)
		}
	}
	slices.Sort(found)
	return found
}

func adds(rows []printedRow, at int, signs map[int]float64) bool {
	for column, want := range rows[at].values {
		if math.IsNaN(want) {
			continue
		}
		sum, any := 0.0, false
		for i, sign := range signs {
			if column < len(rows[i].values) && !math.IsNaN(rows[i].values[column]) {
				sum += sign * rows[i].values[column]
				any = true
			}
		}
		if any && !equal(sum, want) {
			return false
		}
	}
	return true
}

// equal compares printed numbers, which have few places.
func equal(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

// printedNumber reads a number as it is printed in English, or returns NaN.
func printedNumber(text string) float64 {
	text = strings.NewReplacer(",", "", "\u2212", "-", "\u00a0", "", "£", "", "$", "").Replace(strings.TrimSpace(text))
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return math.NaN()
	}
	return x
}

// TestFootsCheckCanFail holds the check above to tables that do not add up.
func TestFootsCheckCanFail(t *testing.T) {
	row := func(kind string, values ...float64) printedRow { return printedRow{kind: kind, values: values} }
	good := []printedRow{row("head"), row("line", 3), row("line", 4), row("sub", 7), row("head"), row("line", 2), row("sub", 2), row("total", 5)}
	for _, at := range []int{3, 6, 7} {
		if len(ways(good, at)) == 0 {
			t.Errorf("row %d adds up and is said not to", at)
		}
		bad := slices.Clone(good)
		bad[at] = row(bad[at].kind, bad[at].values[0]+1)
		if how := ways(bad, at); at != 7 && len(how) > 0 {
			t.Errorf("row %d does not add up and is said to: %v", at, how)
		}
	}
}

func TestDemoIsPublished(t *testing.T) {
	files := makeBook(t, repo)
	for _, name := range []string{"index.html", "workbook.html", "figures.html", "notices.html", "figures.json", "style.css", "workbook.js"} {
		if len(files[name]) == 0 {
			t.Errorf("no %s", name)
		}
	}
	if n := len(readFigures(t, files["figures.json"])); n < 300 {
		t.Errorf("only %d figures", n)
	}
	if size := len(files["workbook.html"]); size > 8<<20 {
		t.Errorf("workbook.html has %d MB, too much to send", size>>20)
	}
	if info, err := os.Stat(filepath.Join(repo, "public", ".gitignore")); err != nil || info.Size() == 0 {
		t.Errorf("public/.gitignore: %v", err)
	}
}
