package main

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"rickyard/calc/binding"
	"rickyard/templates"
)

// plant is markup that a user can type where a text is wanted. Wherever it comes
// out, it is text.
const plant = `<img src=x onerror=alert(1)>Bees & honey"><script>alert(2)</script>`

// plantable are the keys of YAML whose values are texts for people.
var plantable = regexp.MustCompile(`\b(name|title|subtitle|author|edition|label|source|because|about|country|summary|part)(: +)([^,{}\n]+)`)

var wholeLine = regexp.MustCompile(`^(\s*(?:name|title|summary|about|text|part))(: +)([^|].*)$`)

// planted puts markup into every text of a workbook that a user can give.
func planted(t *testing.T, dir string) string {
	copied := copyFolder(t, dir)
	count := 0
	err := filepath.WalkDir(copied, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		text := string(raw)
		lines := strings.Split(text, "\n")
		for i, line := range lines {
			texts := wholeLine
			if strings.Contains(line, "{") {
				texts = plantable
			}
			lines[i] = texts.ReplaceAllStringFunc(line, func(entry string) string { count++; return plantedEntry(texts, entry) })
		}
		switch filepath.Ext(path) {
		case ".yaml":
			text = strings.Join(lines, "\n")
		case ".md":
			text = strings.Join(lines, "\n")
			text = strings.Replace(text, "Two boxes on a stand", "Two boxes "+`\<img src=x onerror=alert(3)>`, 1)
			text = strings.Replace(text, "## A year's honey", "## A year's honey "+plant, 1)
			text = strings.Replace(text, "Hives that live:", "Hives <img src=x onerror=alert(4)> that live:", 1)
			text = strings.Replace(text, "| April | look       |", "| April "+plant+" | look |", 1)
			text = strings.Replace(text, "Long before the clover.", "Long before "+plant, 1)
		}
		return os.WriteFile(path, []byte(text), 0o600)
	})
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(copied, "content", "glossary.yaml"), "full super:\n  text: '"+plant+"'\n")
	if count < 20 {
		t.Fatalf("only %d texts were planted", count)
	}
	return copied
}

func plantedEntry(texts *regexp.Regexp, entry string) string {
	m := texts.FindStringSubmatch(entry)
	value := strings.Trim(strings.TrimSpace(m[3]), `"'`)
	return m[1] + m[2] + "'" + strings.ReplaceAll(value, "'", "''") + " " + plant + "'"
}

// live lists what of the plant came alive in a page or a drawing.
func live(text string) []string {
	doc, err := html.Parse(strings.NewReader(text))
	if err != nil {
		return []string{err.Error()}
	}
	var found []string
	var walk func(*html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.ElementNode {
			for _, a := range n.Attr {
				if strings.HasPrefix(a.Key, "on") {
					found = append(found, "<"+n.Data+"> has "+a.Key)
				}
			}
			if n.Data == "script" && n.FirstChild != nil && strings.HasPrefix(n.FirstChild.Data, "alert") {
				found = append(found, "a script: "+n.FirstChild.Data)
			}
			if src := attributeIn(n, "src"); n.Data == "img" && src == "x" {
				found = append(found, "a picture of x")
			}
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(doc)
	return found
}

func attributeIn(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// Markup that somebody typed into the data or a chapter comes out live nowhere:
// not in the pages, the one file, the printed page, the e-book, the drawings, the
// tables for a spreadsheet or the cover.
func TestPlantedMarkupIsText(t *testing.T) {
	dir := planted(t, small)
	c := newConsole(t.Output(), t.Output())
	book, _, err := load(dir)
	if err != nil {
		c.report(err)
		t.Fatal("the planted workbook can't be built")
	}
	book.Drawer = demoDrawer(t)
	pages, err := book.Make()
	if err != nil {
		c.report(err)
		t.Fatal("its pages can't be made")
	}
	seen := 0
	check := func(name, text string) {
		if strings.Contains(text, "onerror") {
			seen++
		}
		for _, problem := range live(text) {
			t.Errorf("%s: %s", name, problem)
		}
	}
	for name, raw := range pages {
		switch filepath.Ext(name) {
		case ".html", ".svg":
			check(name, string(raw))
		case ".js":
			if strings.Contains(string(raw), "</script") {
				t.Errorf("%s can end a script", name)
			}
		case ".csv":
			rows, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
			for _, row := range rows {
				for _, cell := range row {
					if strings.HasPrefix(cell, "=") || strings.HasPrefix(cell, "@") || strings.HasPrefix(cell, "+") {
						t.Errorf("%s: a spreadsheet reckons %q", name, cell)
					}
				}
			}
		}
	}
	format := templates.Format{Width: 0.17, Height: 0.24, Inner: 0.02, Outer: 0.015, Top: 0.019, Bottom: 0.019}
	paper, err := book.Print(format)
	if err != nil {
		t.Fatal(err)
	}
	check("the printed page", string(paper.HTML))
	cover, _, err := book.Cover(format, binding.Cover(0.17, 0.24, 0.0135, 0.003, nil), 0.0135)
	if err != nil {
		t.Fatal(err)
	}
	check("the cover", cover)
	file, err := book.Ebook()
	if err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		check("the e-book's "+f.Name, string(raw))
	}
	if seen < 8 {
		t.Errorf("the markup came out in %d files", seen)
	}
}
