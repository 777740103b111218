package main

import (
	"archive/zip"
	"bytes"
	"io"
	"maps"
	"os"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"unicode"

	"gopkg.in/yaml.v3"

	"rickyard/templates"
)

// TestGermanWorkbook makes a workbook in German, with every table and chart that
// there is, as pages, as a book on paper and as an e-book, and looks for English
// in them: the program's own texts that have a German one, and English words
// that no German text has.
func TestGermanWorkbook(t *testing.T) {
	book, _, err := loadFrom(os.DirFS("../../testdata/german"))
	if err != nil {
		t.Fatal(err)
	}
	book.Drawer = newDrawer(t.TempDir())
	pages, err := book.Make()
	if err != nil {
		t.Fatal(err)
	}
	paper, err := book.Print(templates.Format{Width: 170, Height: 240, Inner: 20, Outer: 15, Top: 19, Bottom: 19})
	if err != nil {
		t.Fatal(err)
	}
	pages["on paper.html"] = paper.HTML
	ebook, err := book.Ebook()
	if err != nil {
		t.Fatal(err)
	}
	files, err := zip.NewReader(bytes.NewReader(ebook), int64(len(ebook)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files.File {
		if ext := path.Ext(f.Name); ext == ".xhtml" || ext == ".opf" {
			r, err := f.Open()
			if err != nil {
				t.Fatal(err)
			}
			raw, err := io.ReadAll(r)
			if err != nil {
				t.Fatal(err)
			}
			pages["ebook/"+f.Name] = raw
		}
	}

	english := newEnglish(t)
	looked, said := 0, map[string]bool{}
	for _, name := range slices.Sorted(maps.Keys(pages)) {
		var texts []string
		switch path.Ext(name) {
		case ".html", ".xhtml", ".opf":
			raw := string(pages[name])
			if !strings.Contains(raw, `lang="de"`) {
				t.Errorf("%s does not say that it is in German", name)
			}
			if name == "notices.html" {
				continue // licences, in their own words
			}
			texts = textsOf(raw)
		case ".csv":
			if name == "tables/left_out.csv" {
				continue // messages, which are in English; a page says so
			}
			texts = strings.FieldsFunc(string(pages[name]), func(r rune) bool { return r == ',' || r == '\n' || r == '"' })
		case ".js":
			if name == "search-index.js" {
				texts = regexp.MustCompile(`"[^"]*"`).FindAllString(string(pages[name]), -1)
			}
		}
		for _, text := range texts {
			looked++
			if path.Ext(name) == ".opf" && text == "none" || text == "and" {
				continue // a word of the e-book's metadata, and one of the formula language
			}
			if what := english.in(formulaWords.ReplaceAllString(text, "(")); what != "" && !said[text] {
				said[text] = true
				t.Errorf("%s says %q, which has %q in it", name, text, what)
			}
		}
	}
	if looked < 5000 {
		t.Errorf("only %d texts were looked at", looked)
	}
	// The same texts, in English, would be found.
	for _, text := range []string{"Gross margin", "Overheads of the whole farm", "Takings through Hofladen", "25 days", "It takes 3 of them", "6 Apr"} {
		if english.in(text) == "" {
			t.Errorf("%q is not taken for English", text)
		}
	}
	// What is wrong in a record is told in English, and marked so.
	if !strings.Contains(string(pages["geld.html"]), `lang="en">data/records/2027.csv:6:19: `) {
		t.Error("a message about a record is not marked as English")
	}
	for _, want := range []string{"12.\u00a0Mai", "0,44\u00a0€/Ei", "58.140\u00a0Eier", "5\u00a0%", "Januar 2027", "Juni bis Aug."} {
		if !strings.Contains(string(pages["hof.html"])+string(pages["geld.html"]), want) {
			t.Errorf("no page says %q", want)
		}
	}
}

var (
	formulaWords = regexp.MustCompile(`\b(month days|cycle day|cycle span)\(`)
	unread       = regexp.MustCompile(`(?s)<(style|script)\b.*?</(style|script)>|<(\w+)[^>]* lang="en"[^>]*>.*?</\w+>`)
	anyTag       = regexp.MustCompile(`(?s)<[^>]*>`)
	heard        = regexp.MustCompile(`\b(?:aria-label|alt|title|placeholder|data-label|data-some|data-none|data-dark|data-light|content)="([^"]*)"`)
)

// textsOf lists what a reader of a page sees or hears: its pieces of text, and
// the attributes that are read out.
func textsOf(page string) []string {
	page = unread.ReplaceAllString(page, "")
	var texts []string
	for _, m := range heard.FindAllStringSubmatch(page, -1) {
		texts = append(texts, m[1])
	}
	for _, text := range anyTag.Split(page, -1) {
		if text = strings.Join(strings.Fields(text), " "); text != "" {
			texts = append(texts, text)
		}
	}
	return texts
}

// english knows what is English.
type english struct {
	alone   map[string]bool // as a whole text
	within  []string        // as a part of one
	strange map[string]bool // words that no German text has
}

// newEnglish takes the English texts from the words files, with what is not the
// same in German.
func newEnglish(t *testing.T) *english {
	t.Helper()
	var de struct {
		Engine map[string]string `yaml:"engine"`
		Text   map[string]string `yaml:",inline"`
	}
	var en map[string]string
	for name, into := range map[string]any{"de": &de, "en": &en} {
		raw, err := os.ReadFile("../../templates/words/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		if err := yaml.Unmarshal(raw, into); err != nil {
			t.Fatal(err)
		}
	}
	e := &english{alone: map[string]bool{}, strange: map[string]bool{}}
	german := map[string]bool{}
	for _, text := range de.Engine {
		german[text] = true
	}
	for _, text := range de.Text {
		german[text] = true
	}
	add := func(text string) {
		text, _, _ = strings.Cut(text, "|")
		if german[text] {
			return
		}
		if !strings.Contains(text, "%") {
			e.alone[text] = true
		}
		for _, part := range regexp.MustCompile(`%(\[\d\])?[sd]`).Split(text, -1) {
			if part = strings.Trim(part, " ,.;:()"); strings.Contains(part, " ") && len(part) >= 9 && strings.IndexFunc(part, unicode.IsLetter) >= 0 {
				e.within = append(e.within, part)
			}
		}
	}
	for text := range de.Engine {
		add(text)
	}
	for name, text := range en {
		if de.Text[name] != text {
			add(text)
		}
	}
	// What formulas have in common with English is not among them.
	for _, word := range strings.Fields("the of with from which by for per day days week weeks month months year years its their than that this are when where") {
		e.strange[word] = true
	}
	return e
}

// in returns what of a text is English, or nothing.
func (e *english) in(text string) string {
	text = strings.Trim(strings.NewReplacer("\u00a0", " ", "\u2019", "'", "&#39;", "'").Replace(text), `" `)
	if e.alone[text] {
		return text
	}
	for _, part := range e.within {
		if at := strings.Index(text, part); at >= 0 && !letterBefore(text[:at]) {
			return part
		}
	}
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && r != '_' && r != '.' }) {
		if e.strange[word] {
			return word
		}
	}
	if m := regexp.MustCompile(`^\d+ (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)$`).FindString(text); m != "" {
		return m
	}
	return ""
}

func letterBefore(text string) bool {
	r := []rune(text)
	return len(r) > 0 && unicode.IsLetter(r[len(r)-1])
}

// A language that the workbook has no words in is a mistake of the file, told
// at its place.
func TestLanguageWithoutWords(t *testing.T) {
	folder := fstest.MapFS{}
	for name, text := range map[string]string{
		"data/farm.yaml":   "name: La Ferme\nlanguage: fr-FR\ncurrency: EUR\n",
		"content/01-a.md":  "```chapter\ntitle: A\n```\n\nTexte.\n",
		"data/prices.yaml": "{}\n",
	} {
		folder[name] = &fstest.MapFile{Data: []byte(text)}
	}
	_, _, err := loadFrom(folder)
	if err == nil || !strings.Contains(err.Error(), "data/farm.yaml:2:11: ") || !strings.Contains(err.Error(), "de, en") {
		t.Errorf("a workbook in French gives %v", err)
	}
}
