package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"rickyard/calc/binding"
	"rickyard/templates"
)

// program runs one of the programs that read PDFs, or skips the test where the
// machine has none.
func program(t testing.TB, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		t.Skipf("%s is not on this machine (Debian: poppler-utils, qpdf)", name)
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %q: %v\n%s", name, args, err, out)
	}
	return string(out)
}

// A printedDemo is the demo workbook on paper.
type printedDemo struct {
	book  *templates.Workbook
	sheet *templates.PrintBook
	done  *printout
	file  string
	pages []string // the text of each page; pages[0] is page 1
}

var demoPrint = sync.OnceValues(func() (*printedDemo, error) {
	browser, err := findBrowser("")
	if err != nil {
		return nil, err
	}
	book, farm, err := loadPart("../..", "")
	if err != nil {
		return nil, err
	}
	book.Drawer = newDrawer("../..")
	format, err := formatOf(book.Graph, farm, "")
	if err != nil {
		return nil, err
	}
	d := &printedDemo{book: book}
	if d.sheet, err = book.Print(format); err != nil {
		return nil, err
	}
	d.done, err = printBook(context.Background(), browser, d.sheet, func(string, ...any) {})
	return d, err
})

func printDemo(t *testing.T) *printedDemo {
	t.Helper()
	d, err := demoPrint()
	if err != nil {
		if err == errNoBrowser && os.Getenv(needBrowser) == "" {
			t.Skip("no browser on this machine")
		}
		t.Fatal(err)
	}
	p := *d
	p.file = filepath.Join(t.TempDir(), "book.pdf")
	if err := os.WriteFile(p.file, p.done.pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	p.pages = pageTexts(t, p.file)
	return &p
}

// pageTexts is the text of each page, with single blanks.
func pageTexts(t *testing.T, file string) []string {
	pages := strings.Split(program(t, "pdftotext", "-raw", file, "-"), "\f")
	return pages[:len(pages)-1]
}

func squeezed(text string) string {
	return strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(text, "\u00a0", " ")), " "))
}

// The reader of places agrees with poppler.
func TestPlacesAsPopplerReadsThem(t *testing.T) {
	d := printDemo(t)
	want := map[string]int{}
	line := regexp.MustCompile(`^\s*(\d+) \[.*\] "(.*)"$`)
	for _, l := range strings.Split(program(t, "pdfinfo", "-dests", d.file), "\n") {
		if m := line.FindStringSubmatch(l); m != nil {
			want[m[2]], _ = strconv.Atoi(m[1])
		}
	}
	got, pages, err := readPlaces(d.done.pdf)
	if err != nil {
		t.Fatal(err)
	}
	if pages != len(d.pages) {
		t.Errorf("%d pages, poppler counts %d", pages, len(d.pages))
	}
	if len(want) < 100 || !maps.Equal(got, want) {
		t.Errorf("%d places, poppler finds %d", len(got), len(want))
	}
}

// The page numbers in contents, index and text are those of the pages where the
// text is.
func TestPrintedPageNumbers(t *testing.T) {
	d := printDemo(t)
	at := func(page int) string {
		if page < 1 || page > len(d.pages) {
			return ""
		}
		return squeezed(d.pages[page-1])
	}
	contents := ""
	for page := 3; page < d.done.places["open-"+d.book.Book.Chapters[0].Name]; page++ {
		contents += d.pages[page-1]
	}
	starts := map[string]int{}
	for _, chapter := range d.book.Book.Chapters {
		m := regexp.MustCompile(`(?m)^\s*(\d+) ` + regexp.QuoteMeta(chapter.Title) + `\s+(\d+)\s*$`).FindStringSubmatch(contents)
		if m == nil {
			t.Errorf("the contents have no line for %s:\n%s", chapter.Title, contents)
			continue
		}
		page, _ := strconv.Atoi(m[2])
		starts[chapter.Name] = page
		if page%2 == 0 {
			t.Errorf("%s opens on page %d, a left-hand page", chapter.Title, page)
		}
		if !strings.Contains(at(page), squeezed(m[1]+" "+chapter.Title)) {
			t.Errorf("%s is not on page %d, as the contents say: %.200s", chapter.Title, page, at(page))
		}
		// The head of a right-hand page is the chapter, of a left-hand one the book.
		if next := at(page + 1); next != "" && !strings.Contains(next, squeezed(d.book.Title)) && strings.TrimSpace(next) != "" {
			t.Errorf("page %d has no running head: %.100s", page+1, next)
		}
	}
	// Links in the text.
	links := 0
	walk := func(name, text string) {
		for _, m := range regexp.MustCompile(`href="#`+name+`">([^<]+)</a> <span class="on-page">`).FindAllStringSubmatch(text, -1) {
			links++
			label := squeezed(strings.ReplaceAll(strings.ReplaceAll(m[1], "&#39;", "'"), "&amp;", "&"))
			want := fmt.Sprintf("%s (page %d)", label, starts[name])
			if !slices.ContainsFunc(d.pages, func(page string) bool { return strings.Contains(joined(squeezed(page)), joined(want)) }) {
				t.Errorf("nowhere in the book: %q", want)
			}
		}
	}
	for name := range starts {
		walk(name, string(d.sheet.HTML))
	}
	if links < 5 {
		t.Errorf("only %d links with page numbers", links)
	}
	d.checkIndex(t, at)
}

var (
	indexEntry = regexp.MustCompile(`<p class="entry(?: below)?">([^<]*) <span class="at" data-each(?:="")?>(.*?)</span></p>`)
	indexLink  = regexp.MustCompile(`<a href="#([^"]+)"`)
	tags       = regexp.MustCompile(`<[^>]*>`)
)

// checkIndex takes the index entry by entry: what it leads to stands on the page
// where the browser put it, and the index prints just those pages.
func (d *printedDemo) checkIndex(t *testing.T, at func(int) string) {
	t.Helper()
	whole := string(d.sheet.HTML)
	index := ""
	for page := d.done.places["open-index"]; page <= len(d.pages); page++ {
		index += " " + d.pages[page-1]
	}
	index = squeezed(index)
	// What an anchor stands at: a term or a figure as it is written, a row of a
	// worked table by its label.
	written := map[string]string{}
	for _, m := range regexp.MustCompile(`<(?:a|span|em) [^>]*?id="([^"]+)"[^>]*>([^<]*)<`).FindAllStringSubmatch(whole, -1) {
		written[m[1]] = m[2]
	}
	for _, m := range regexp.MustCompile(`<tr [^>]*?id="([^"]+)"[^>]*><th[^>]*>(.*?)</th>`).FindAllStringSubmatch(whole, -1) {
		written[m[1]] = tags.ReplaceAllString(m[2], "")
	}
	entries, links := 0, 0
	for _, m := range indexEntry.FindAllStringSubmatch(whole, -1) {
		label := html.UnescapeString(m[1])
		var pages []string
		for _, link := range indexLink.FindAllStringSubmatch(m[2], -1) {
			id := html.UnescapeString(link[1])
			page := d.done.places[id]
			text := squeezed(html.UnescapeString(written[link[1]]))
			if text == "" {
				t.Errorf("index, %s: nothing is written at %s", label, id)
				continue
			}
			links++
			if !strings.Contains(joined(at(page)), joined(text)) {
				t.Errorf("index, %s: %q is not on page %d", label, text, page)
			}
			if number := strconv.Itoa(page); !slices.Contains(pages, number) {
				pages = append(pages, number)
			}
		}
		entries++
		if want := squeezed(label + " " + strings.Join(pages, ", ")); !strings.Contains(joined(index), joined(want)) {
			t.Errorf("the index does not print %q", want)
		}
	}
	if entries < 100 || links < 150 {
		t.Errorf("the index has %d entries and %d links", entries, links)
	}
}

// joined leaves out blanks, by which a line's end and a kern differ.
func joined(text string) string { return strings.ReplaceAll(text, " ", "") }

func TestPrintedFile(t *testing.T) {
	d := printDemo(t)
	program(t, "qpdf", "--check", d.file)
	info := program(t, "pdfinfo", d.file)
	for _, want := range []string{"Tagged: yes", "Title: " + d.book.Title} {
		if !strings.Contains(strings.Join(strings.Fields(info), " "), want) {
			t.Errorf("pdfinfo does not say %q:\n%s", want, info)
		}
	}
	// Chromium rounds a page to whole pixels of 1/96 inch.
	var width, height float64
	size := regexp.MustCompile(`Page size:\s+([\d.]+) x ([\d.]+)`).FindStringSubmatch(info)
	width, _ = strconv.ParseFloat(size[1], 64)
	height, _ = strconv.ParseFloat(size[2], 64)
	if want := 170 * 72 / 25.4; width < want-1 || width > want+1 {
		t.Errorf("pages are %v points wide, want %v", width, want)
	}
	if want := 240 * 72 / 25.4; height < want-1 || height > want+1 {
		t.Errorf("pages are %v points high, want %v", height, want)
	}
	lines := strings.Split(strings.TrimSpace(program(t, "pdffonts", d.file)), "\n")
	for _, font := range lines[2:] {
		if fields := strings.Fields(font); fields[len(fields)-5] != "yes" {
			t.Errorf("a font is not embedded: %s", font)
		}
	}
	for _, part := range []string{"/Outlines", "/StructTreeRoot"} {
		if !bytes.Contains(d.done.pdf, []byte(part)) {
			t.Errorf("the PDF has no %s", part)
		}
	}
	// The charts are drawings, not pictures of drawings.
	if n := bytes.Count(d.done.pdf, []byte("/Subtype /Image")); n > 2*len(d.book.Book.Pictures) {
		t.Errorf("the PDF holds %d pictures", n)
	}
	for i, page := range d.pages {
		if strings.TrimSpace(page) == "" && i%2 == 0 {
			t.Errorf("page %d, on the right, is blank", i+1)
		}
	}
}

// A table that is longer than a page has its head on each; no heading stands
// last on a page.
func TestPrintedTablesAndHeadings(t *testing.T) {
	d := printDemo(t)
	p := openForTest(t)
	r := rand.New(rand.NewPCG(1, 2))
	var b strings.Builder
	b.WriteString(`<article class="chapter"><h1>Try</h1><div class="scroll"><table class="money"><caption><span>Long</span></caption><thead><tr><th scope="col">Headword</th><th scope="col" class="n">Sum</th></tr></thead><tbody>`)
	for i := range 160 {
		fmt.Fprintf(&b, `<tr><th scope="row">Row %d</th><td class="n">%d</td></tr>`, i, i)
	}
	b.WriteString("</tbody></table></div>")
	for i := range 120 {
		fmt.Fprintf(&b, "<h2>Heading %dx</h2>", i)
		for range 1 + r.IntN(4) {
			b.WriteString("<p>" + strings.Repeat("words that fill a line or two ", 2+r.IntN(14)) + "</p>")
		}
	}
	b.WriteString("</article>")
	whole := string(d.sheet.HTML)
	from, to := strings.Index(whole, "<main>")+len("<main>"), strings.LastIndex(whole, "</main>")
	if err := p.show(whole[:from] + b.String() + whole[to:]); err != nil {
		t.Fatal(err)
	}
	pdf, err := p.print()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "try.pdf")
	if err := os.WriteFile(file, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	heading, row := regexp.MustCompile(`^Heading \d+x$`), regexp.MustCompile(`(?m)^Row \d+`)
	split := 0
	for i, page := range pageTexts(t, file) {
		if row.MatchString(page) {
			split++
			if strings.Count(page, "Headword") != 1 {
				t.Errorf("page %d has rows of the table and its head %d times", i+1, strings.Count(page, "Headword"))
			}
		}
		lines := strings.Split(strings.TrimSpace(page), "\n")
		last := lines[len(lines)-1]
		if _, err := strconv.Atoi(last); err == nil && len(lines) > 1 {
			last = lines[len(lines)-2] // the page number
		}
		if heading.MatchString(last) {
			t.Errorf("page %d ends with %q", i+1, last)
		}
	}
	if split < 3 {
		t.Errorf("the table stands on %d pages", split)
	}
}

// A pretended printer: chapters of some pages each, of which the contents take
// more room once their numbers are long.
func TestSettle(t *testing.T) {
	for _, lengths := range [][]int{{1}, {1, 1, 1}, {2, 3, 4, 5}, {9, 1, 90, 2}} {
		openers := []string{"open-contents"}
		for i := range lengths {
			openers = append(openers, fmt.Sprintf("open-c%d", i))
		}
		book := &templates.PrintBook{Openers: openers}
		done, err := settle(book, func(script string, pass int) ([]byte, error) {
			var filled struct {
				To     map[string]int
				Blanks []string
			}
			if err := json.Unmarshal([]byte(strings.TrimSuffix(strings.TrimPrefix(script, "rickyardFill("), ")")), &filled); err != nil {
				return nil, err
			}
			page := 3
			places := map[string]int{}
			place := func(id string, pages int) {
				if slices.Contains(filled.Blanks, strings.TrimPrefix(id, "open-")) {
					page++
				}
				places[id] = page
				page += pages
			}
			contents := 1
			if filled.To["open-c0"] > 0 {
				contents = 2 // the numbers that were put in need another page
			}
			place("open-contents", contents)
			for i, n := range lengths {
				id := fmt.Sprintf("open-c%d", i)
				place(id, n)
				places[fmt.Sprintf("end-%d", i)] = page - 1
			}
			return pretendPDF(page-1, places), nil
		})
		if err != nil {
			t.Errorf("%v: %v", lengths, err)
			continue
		}
		for _, id := range openers {
			if done.places[id]%2 == 0 {
				t.Errorf("%v: %s lies on page %d", lengths, id, done.places[id])
			}
		}
		if done.passes > 4 {
			t.Errorf("%v: %d passes", lengths, done.passes)
		}
	}
}

// pretendPDF writes the least PDF that has pages and named places.
func pretendPDF(pages int, places map[string]int) []byte {
	var b bytes.Buffer
	var offsets []int
	object := func(text string) {
		offsets = append(offsets, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", len(offsets), text)
	}
	b.WriteString("%PDF-1.4\n")
	object("<</Type /Catalog /Pages 2 0 R /Dests 3 0 R>>")
	var kids, dests strings.Builder
	for i := range pages {
		fmt.Fprintf(&kids, "%d 0 R ", i+4)
	}
	for name, page := range places {
		fmt.Fprintf(&dests, "/%s [%d 0 R /XYZ 0 700 0]\n", strings.ReplaceAll(name, "-", "#2d"), page+3)
	}
	object("<</Type /Pages /Kids [" + kids.String() + "] /Count " + strconv.Itoa(pages) + ">>")
	object("<<" + dests.String() + ">>")
	for range pages {
		object("<</Type /Page /Parent 2 0 R>> % a page")
	}
	at := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(offsets)+1)
	for _, offset := range offsets {
		fmt.Fprintf(&b, "%010d 00000 n \n", offset)
	}
	fmt.Fprintf(&b, "trailer\n<</Size %d /Root 1 0 R>>\nstartxref\n%d\n%%%%EOF", len(offsets)+1, at)
	return b.Bytes()
}

// Broken files are refused, whatever is wrong with them, and none stops the
// program.
func FuzzPlaces(f *testing.F) {
	good := pretendPDF(3, map[string]int{"a": 1, "b-c": 3})
	if places, pages, err := readPlaces(good); err != nil || pages != 3 || places["b-c"] != 3 {
		f.Fatalf("%v, %d pages, %v", places, pages, err)
	}
	f.Add(good)
	for n := 0; n < len(good); n += 37 {
		f.Add(good[:n])
	}
	f.Add([]byte("xref\n0 1\n0000000000 65535 f \ntrailer <</Root 1 0 R /Prev 0>>\nstartxref\n0\n%%EOF"))
	f.Add([]byte("startxref\n0"))
	f.Add([]byte("startxref " + strings.Repeat("[", 1_000_000)))
	f.Add([]byte("xref 0 999999999 trailer <<>> startxref 0"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		places, pages, err := readPlaces(raw)
		if err != nil && (places != nil || pages != 0) {
			t.Errorf("an error, and yet %d pages", pages)
		}
		for name, page := range places {
			if page < 1 || page > pages {
				t.Errorf("%q lies on page %d of %d", name, page, pages)
			}
		}
	})
}

func TestBrowserPlaces(t *testing.T) {
	env := map[string]string{"HOME": "/home/x", "ProgramFiles": "P", "LocalAppData": "L"}
	for system, want := range map[string]string{
		"darwin":  filepath.Join("/Applications", "Google Chrome.app", "Contents", "MacOS", "Google Chrome"),
		"windows": filepath.Join("P", "Microsoft", "Edge", "Application", "msedge.exe"),
		"linux":   "/snap/bin/chromium",
	} {
		places := browserPlaces(system, func(name string) string { return env[name] })
		if !slices.Contains(places, want) {
			t.Errorf("%s: %q is not among %q", system, want, places)
		}
	}
	if _, err := findBrowser(filepath.Join(t.TempDir(), "none")); err == nil || !strings.Contains(err.Error(), "--browser") {
		t.Errorf("a browser that is not there: %v", err)
	}
	t.Setenv(browserVariable, filepath.Join(t.TempDir(), "none"))
	if _, err := findBrowser(""); err == nil || !strings.Contains(err.Error(), browserVariable) {
		t.Errorf("a browser that is not there: %v", err)
	}
}

func TestWithoutBrowser(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the places of other systems can't be hidden")
	}
	for _, place := range browserPlaces(runtime.GOOS, os.Getenv) {
		if _, err := os.Stat(place); err == nil {
			t.Skipf("%s can't be hidden", place)
		}
	}
	t.Setenv("PATH", t.TempDir())
	t.Setenv(browserVariable, "")
	var out, errOut strings.Builder
	if code := run([]string{"--dir", "../../testdata/small", "print"}, &out, &errOut); code != 1 {
		t.Errorf("exit code %d", code)
	}
	for _, want := range []string{"Install Chromium", browserVariable, "By hand", "workbook.html"} {
		if !strings.Contains(errOut.String(), want) {
			t.Errorf("the message does not say %q:\n%s", want, errOut.String())
		}
	}
	errOut.Reset()
	if code := run([]string{"tools"}, &out, &errOut); code != 1 || !strings.Contains(out.String(), "missing") {
		t.Errorf("tools: code %d\n%s", code, out.String())
	}
}

func TestParts(t *testing.T) {
	say := func(args ...string) (int, string) {
		var out strings.Builder
		code := run(append([]string{"--dir", "../.."}, args...), &out, &out)
		return code, out.String()
	}
	if code, text := say("ebook", "--part", "bnak", "--out", filepath.Join(t.TempDir(), "x.epub")); code != 1 || !strings.Contains(text, "the book has no part called bnak; did you mean bank?") {
		t.Errorf("code %d: %s", code, text)
	}
	if code, text := say("print", "--part", "bank", "--out", "x.txt"); code != 1 || !strings.Contains(text, ".pdf") {
		t.Errorf("code %d: %s", code, text)
	}
	out := filepath.Join(t.TempDir(), "part")
	if code, text := say("build", "--part", "course_week_1", "--out", out); code != 0 {
		t.Fatalf("code %d: %s", code, text)
	}
	for name, want := range map[string]bool{"goal.html": true, "broilers.html": true, "garden.html": false, "glossary.html": true} {
		if _, err := os.Stat(filepath.Join(out, name)); (err == nil) != want {
			t.Errorf("%s: %v", name, err)
		}
	}
	// A link to a chapter that is not in the part is plain text.
	if text := read(t, filepath.Join(out, "goal.html")); strings.Contains(text, `href="start_up.html"`) || !strings.Contains(text, "the start-up budget") {
		t.Error("goal.html links to a chapter that is not in the part")
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../testdata/small")); err != nil {
		t.Fatal(err)
	}
	farm := filepath.Join(dir, "data", "farm.yaml")
	name := ""
	entries, err := fs.ReadDir(os.DirFS(dir), "content")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if m := regexp.MustCompile(`^\d+-(.*)\.md$`).FindStringSubmatch(e.Name()); m != nil {
			name = strings.ReplaceAll(m[1], "-", "_")
		}
	}
	write(t, farm, read(t, farm)+"\nparts:\n  short: ["+name+"]\n")
	if _, _, err := load(dir); err != nil {
		t.Fatal(err)
	}
	replace(t, farm, "short: ["+name+"]", "short: ["+name+"x]")
	_, _, err = load(dir)
	if err == nil || !strings.Contains(err.Error(), "no chapter is called "+name+"x; did you mean "+name+"?") {
		t.Errorf("an unknown chapter in a part: %v", err)
	}
}

func TestCover(t *testing.T) {
	dir := t.TempDir()
	say := func(args ...string) (int, string) {
		var out strings.Builder
		code := run(append([]string{"--dir", "../..", "cover"}, args...), &out, &out)
		return code, strings.ReplaceAll(out.String(), "\u00a0", " ")
	}
	file := filepath.Join(dir, "cover.svg")
	code, text := say("--pages", "240", "--out", file)
	if code != 0 {
		t.Fatalf("code %d: %s", code, text)
	}
	// By hand, with the demo's paper (90 g/m2, 1.25 cm3/g) and trim (170 by 240
	// mm): 120 leaves of 0.1125 mm are 13.5 mm; 2 x 170 + 13.5 + 2 x 3 wide;
	// 120 x 0.0408 m2 x 90 g and 0.3535 x 0.24 m2 x 300 g are 466 g.
	for _, want := range []string{"on 120 leaves", "13.5 mm, paperback", "359.5 mm by 246.0 mm", "173.0 mm and 186.5 mm", "466 g", "within Large letter (up to 750 g)", "dummy"} {
		if !strings.Contains(text, want) {
			t.Errorf("the cover does not say %q:\n%s", want, text)
		}
	}
	svg := read(t, file)
	for _, want := range []string{`width="359.500mm" height="246.000mm"`, "rotate(90)", "A living from"} {
		if !strings.Contains(svg, want) {
			t.Errorf("the drawing does not have %q", want)
		}
	}
	if code, text := say("--pages", "20", "--out", file); code != 0 || !strings.Contains(text, "too thin") || strings.Contains(read(t, file), "rotate(90)") {
		t.Errorf("a spine of 10 leaves: code %d\n%s", code, text)
	}
	if code, text := say("--pages", "1200", "--out", file); code != 0 || !strings.Contains(text, "passes Small parcel (up to 2,000 g)") {
		t.Errorf("a heavy book: code %d\n%s", code, text)
	}
	for _, c := range []struct{ args, want string }{
		{"--pages -1", "1 to 5000 pages"}, {"--pages 100 --out cover.png", ".pdf or .svg"},
		{"--of nowhere.pdf", "print the book first"}, {"--pages 100 --paper A44 --out x.svg", "expected A4"},
	} {
		args := strings.Fields(strings.ReplaceAll(c.args, "--pages -1", "--pages=-1"))
		if code, text := say(args...); code != 1 || !strings.Contains(text, c.want) {
			t.Errorf("%s: code %d\n%s", c.args, code, text)
		}
	}
}

// The sheet that a browser makes of the cover has the size that was reckoned.
func TestCoverSheet(t *testing.T) {
	p := openForTest(t)
	p.close()
	file := filepath.Join(t.TempDir(), "cover.pdf")
	var out strings.Builder
	if code := run([]string{"--dir", "../..", "cover", "--pages", "240", "--out", file}, &out, &out); code != 0 {
		t.Fatal(out.String())
	}
	info := program(t, "pdfinfo", file)
	s := binding.Cover(0.170, 0.240, 0.0135, 0.003, nil)
	m := regexp.MustCompile(`Page size:\s+([\d.]+) x ([\d.]+)`).FindStringSubmatch(info)
	for i, want := range []float64{s.Width, s.Height} {
		got, _ := strconv.ParseFloat(m[i+1], 64)
		if diff := got/72*25.4 - want*1000; diff < -0.3 || diff > 0.3 {
			t.Errorf("the sheet measures %v points, want %v mm", m[i+1], want*1000)
		}
	}
	if !strings.Contains(strings.Join(strings.Fields(info), " "), "Pages: 1 ") {
		t.Errorf("the cover has more than one page:\n%s", info)
	}
	// The letters of the spine lie between its folds.
	box := program(t, "pdftotext", "-bbox", file, "-")
	words := 0
	// Poppler takes each letter of a text that runs down for a word.
	for _, m := range regexp.MustCompile(`xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)"[^>]*>.<`).FindAllStringSubmatch(box, -1) {
		left, _ := strconv.ParseFloat(m[1], 64)
		right, _ := strconv.ParseFloat(m[2], 64)
		left, right = left/72*0.0254, right/72*0.0254
		if left > s.SpineFrom-0.02 && right < s.SpineTo+0.02 {
			words++
			if left < s.SpineFrom || right > s.SpineTo {
				t.Errorf("letters from %.4f to %.4f m, the spine from %.4f to %.4f m", left, right, s.SpineFrom, s.SpineTo)
			}
		}
	}
	if words < 10 {
		t.Errorf("the spine has %d letters", words)
	}
}

// BenchmarkLongBook prints a book of some 750 pages made of the demo's chapters
// again and again, and measures the browser's memory.
func BenchmarkLongBook(b *testing.B) {
	const wanted = 750
	browser, err := findBrowser("")
	if err != nil {
		b.Skip("no browser on this machine")
	}
	for b.Loop() {
		book, farm, err := loadPart("../..", "")
		if err != nil {
			b.Fatal(err)
		}
		book.Drawer = newDrawer("../..")
		format, err := formatOf(book.Graph, farm, "")
		if err != nil {
			b.Fatal(err)
		}
		first := book.Book.Chapters
		d, err := demoPrint()
		if err != nil {
			b.Fatal(err)
		}
		text := d.done.places["open-glossary"] // pages of the chapters, about
		for n := 2; n*text < wanted; n++ {
			for _, chapter := range first {
				again := *chapter
				again.Name = fmt.Sprintf("%s_%d", chapter.Name, n)
				book.Book.Chapters = append(book.Book.Chapters, &again)
			}
		}
		sheets, err := book.Print(format)
		if err != nil {
			b.Fatal(err)
		}
		start := time.Now()
		p, err := openPrinter(context.Background(), browser)
		if err != nil {
			b.Fatal(err)
		}
		peak, stop := watchMemory(p)
		if err := p.show(string(sheets.HTML)); err != nil {
			b.Fatal(err)
		}
		done, err := settle(sheets, func(script string, _ int) ([]byte, error) {
			if err := p.run(script); err != nil {
				return nil, err
			}
			return p.print()
		})
		stop()
		p.close()
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(done.pages), "pages")
		b.ReportMetric(float64(done.passes), "passes")
		b.ReportMetric(time.Since(start).Seconds(), "s-printing")
		b.ReportMetric(float64(len(done.pdf))/1e6, "MB-file")
		if n := peak(); n > 0 {
			b.ReportMetric(float64(n)/1e6, "MB-browser")
		}
	}
}

// watchMemory samples what all processes of a browser hold together, each
// shared page counted once (Linux).
func watchMemory(p *printer) (peak func() int64, stop func()) {
	var mu sync.Mutex
	var most int64
	end, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		for {
			select {
			case <-end:
				return
			case <-time.After(200 * time.Millisecond):
			}
			if p.cmd == nil || p.cmd.Process == nil {
				continue
			}
			sum := int64(0)
			for _, pid := range family(p.cmd.Process.Pid) {
				sum += proportional(pid)
			}
			mu.Lock()
			most = max(most, sum)
			mu.Unlock()
		}
	}()
	return func() int64 { mu.Lock(); defer mu.Unlock(); return most }, func() { close(end); <-ended }
}

// family is a process and all that it started.
func family(root int) []int {
	parents := map[int]int{}
	entries, _ := os.ReadDir("/proc") // elsewhere than on Linux there is none, and nothing is measured
	for _, e := range entries {
		pid, err := strconv.Atoi(e.Name())
		if err != nil {
			continue
		}
		stat, err := os.ReadFile(filepath.Join("/proc", e.Name(), "stat"))
		if err != nil {
			continue
		}
		fields := strings.Fields(string(stat[bytes.LastIndexByte(stat, ')')+1:]))
		if len(fields) > 1 {
			parents[pid], _ = strconv.Atoi(fields[1])
		}
	}
	all := []int{root}
	for i := 0; i < len(all); i++ {
		for pid, parent := range parents {
			if parent == all[i] {
				all = append(all, pid)
			}
		}
	}
	return all
}

// proportional is the memory of a process in bytes, its share of what is shared.
func proportional(pid int) int64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/smaps_rollup", pid))
	if err != nil {
		return 0
	}
	m := regexp.MustCompile(`(?m)^Pss:\s+(\d+) kB`).FindSubmatch(text)
	if m == nil {
		return 0
	}
	kB, _ := strconv.ParseInt(string(m[1]), 10, 64)
	return kB * 1024
}
