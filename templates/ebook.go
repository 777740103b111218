package templates

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
	"time"

	"rickyard/templates/chart"
	"rickyard/templates/tree"
)

//go:embed ebook.css
var ebookStyle string

// Ebook makes the book as an EPUB 3.3 file from the same tree as the pages. The
// same book gives the same bytes. It fails as Make does.
func (b *Workbook) Ebook() ([]byte, error) {
	m, err := b.maker()
	if err != nil {
		return nil, err
	}
	e := &ebook{maker: m}
	chapters := m.chosen()
	for i, c := range chapters {
		if m.Progress != nil {
			m.Progress(i, len(chapters), c.Title)
		}
		p := m.newPage(c, false)
		c.article = p.chapter()
	}
	m.chapters = chapters
	if len(m.errs) > 0 {
		return nil, m.errs.Err()
	}
	e.add("title", m.words.Say("title_page"), e.titlePage())
	for _, c := range chapters {
		e.add(c.Name, c.Title, c.article)
	}
	if len(m.Book.Glossary) > 0 {
		p := m.backPage("glossary", nil)
		p.together = false
		e.add("glossary", m.words.Say("glossary"), m.wholeGlossary(p, m.Book.Glossary))
	}
	m.work.settle()
	e.add("figures", m.words.Say("all_figures"), m.work.index())
	for _, s := range m.work.parts {
		e.add(strings.TrimSuffix(workingsFile(s.id, ""), "."), s.title, m.work.page(s))
	}
	e.add("notices", m.words.Say("notices"), notices(m.words))
	if len(m.errs) > 0 {
		return nil, m.errs.Err()
	}
	return e.pack()
}

type ebook struct {
	*maker
	files []ebookFile
}

type ebookFile struct {
	id, title string
	body      tree.Nodes
	svg       bool
}

func (e *ebook) titlePage() *tree.Element {
	section := tree.E("section.title-page", tree.E("h1", txt(e.Title)))
	for _, part := range []struct{ tag, text string }{{"p.part-name", e.Part}, {"p.strap", e.Subtitle}, {"p.author", e.Author}, {"p.edition", e.Edition}, {"p.units", e.newFrame("").Footer.Units}} {
		if part.text != "" {
			section.Add(tree.E(part.tag, txt(part.text)))
		}
	}
	return section
}

// add turns a page into a file of the e-book.
func (e *ebook) add(id, title string, article *tree.Element) {
	if article == nil {
		return
	}
	f := ebookFile{id: id, title: title, body: tree.Nodes{article}}
	tree.Walk(f.body, func(n tree.Node) bool {
		_, drawn := n.(tree.Drawn)
		el, ok := n.(*tree.Element)
		f.svg = f.svg || drawn || ok && el.Name == "svg"
		if ok {
			forReaders(el)
		}
		return true
	})
	e.files = append(e.files, f)
}

var pageHref = regexp.MustCompile(`^([-a-z_0-9]+)\.html(#.*)?$`)

// forReaders fits an element for a reading system.
func forReaders(e *tree.Element) {
	e.Attrs = slices.DeleteFunc(e.Attrs, func(a tree.Attr) bool {
		// They make up for what a style sheet does on a screen.
		return a.Key == "tabindex" || a.Key == "role" && !strings.HasPrefix(a.Value, "doc-") && e.Name != "svg" && !e.Is("drawn") ||
			strings.HasPrefix(a.Key, "aria-") && e.Name != "section" && e.Name != "aside" && e.Name != "table" && !e.Is("drawn")
	})
	if to := pageHref.FindStringSubmatch(e.Get("href")); to != nil {
		e.Set("href", to[1]+".xhtml"+to[2])
	}
	if e.Name == "table" {
		labelCells(e)
	}
	var kids []tree.Node
	for _, k := range e.Kids {
		kids = append(kids, k)
		// The numbers of a drawing may run over pages, and a figure may not.
		if figure, ok := k.(*tree.Element); ok && figure.Name == "figure" {
			if last, ok := figure.Kids[len(figure.Kids)-1].(*tree.Element); ok && last.Name == "details" {
				figure.Kids = figure.Kids[:len(figure.Kids)-1]
				kids = append(kids, last)
			}
		}
	}
	e.Kids = kids
}

// labelCells tells the cells of a table the heading of their column, by which a
// narrow screen shows them without the table.
func labelCells(table *tree.Element) {
	var heads []string
	column := 0
	tree.Elements(table.Kids, func(e *tree.Element) {
		switch {
		case e.Name == "tr":
			column = 0
		case e.Name == "th" && e.Get("scope") == "col":
			heads = append(heads, tree.Plain(e))
			if e.Get("colspan") == "2" {
				heads = append(heads, "")
			}
		case e.Name == "td" || e.Name == "th":
			if e.Name == "td" && column < len(heads) && heads[column] != "" {
				e.Set("data-label", heads[column])
			}
			column++
		}
	})
}

const xhtmlHead = `<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE html>
`

// document is a file of the e-book.
func (e *ebook) document(title string, body *tree.Element) string {
	language := e.Language.String()
	return xhtmlHead + tree.XHTML(tree.E("html", tree.A("xmlns", "http://www.w3.org/1999/xhtml"), tree.A("xmlns:epub", "http://www.idpf.org/2007/ops"),
		tree.A("lang", language), tree.A("xml:lang", language),
		tree.E("head", tree.E("meta", tree.A("charset", "utf-8")), tree.E("title", txt(title)), tree.E("link", tree.A("rel", "stylesheet"), tree.Href("style.css"))), body))
}

func (e *ebook) page(f ebookFile) string {
	kind := "bodymatter"
	switch f.id {
	case "title":
		kind = "frontmatter"
	case "glossary", "figures", "notices":
		kind = "backmatter"
	}
	if strings.HasPrefix(f.id, "w-") {
		kind = "backmatter"
	}
	return e.document(f.title, tree.E("body", tree.A("epub:type", kind), f.body))
}

// nav is the e-book's own contents: parts, chapters and their sections.
func (e *ebook) nav() string {
	title := e.words.Say("contents")
	parts := tree.E("ol")
	var list *tree.Element
	open := ""
	for _, f := range e.files {
		if f.id == "title" {
			continue
		}
		i := slices.IndexFunc(e.chapters, func(c *made) bool { return c.Name == f.id })
		part := e.words.Say("at_the_back")
		if i >= 0 {
			if part = e.chapters[i].Part; part == "" {
				part = e.words.Say("chapters")
			}
		}
		if part != open {
			list = tree.E("ol")
			parts.Add(tree.E("li", tree.E("span", txt(part)), list))
			open = part
		}
		item := tree.E("li", tree.E("a", tree.Href(f.id+".xhtml"), txt(f.title)))
		if i >= 0 {
			sections := tree.E("ol")
			for _, h := range e.chapters[i].Headings {
				if h.Level == 2 {
					sections.Add(tree.E("li", tree.E("a", tree.Href(f.id+".xhtml#"+h.ID), txt(h.Text))))
				}
			}
			if len(sections.Kids) > 0 {
				item.Add(sections)
			}
		}
		list.Add(item)
	}
	landmark := func(kind, href, text string) *tree.Element {
		return tree.E("li", tree.E("a", tree.A("epub:type", kind), tree.Href(href), txt(text)))
	}
	marks := tree.E("ol", landmark("titlepage", "title.xhtml", e.words.Say("title_page")), landmark("toc", "nav.xhtml", title))
	if len(e.chapters) > 0 {
		marks.Add(landmark("bodymatter", e.chapters[0].Name+".xhtml", e.chapters[0].Title))
	}
	return e.document(title, tree.E("body",
		tree.E("nav", tree.A("epub:type", "toc"), tree.A("role", "doc-toc"), tree.ID("toc"), tree.E("h1", txt(title)), parts),
		tree.E("nav", tree.A("epub:type", "landmarks"), tree.A("hidden", "hidden"), marks)))
}

// asOf is the day of the newest input, which stands for the day on which the
// e-book was made: made again from the same data, it is the same file.
func (e *ebook) asOf() time.Time {
	day := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	for _, f := range e.Graph.All() {
		for _, layout := range []string{"2006", "2006-01", "2006-01-02"} {
			if t, err := time.Parse(layout, f.AsOf); err == nil && t.After(day) {
				day = t
			}
		}
	}
	return day
}

var pictureKinds = map[string]string{".svg": "image/svg+xml", ".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".gif": "image/gif", ".webp": "image/webp"}

// pictures are those that the files show, sorted.
func (e *ebook) pictures() []string {
	shown := map[string]bool{}
	for _, f := range e.files {
		tree.Elements(f.body, func(img *tree.Element) {
			if img.Name == "img" && e.Book.Pictures[img.Get("src")] != nil {
				shown[img.Get("src")] = true
			}
		})
	}
	return slices.Sorted(maps.Keys(shown))
}

func (e *ebook) opf() string {
	sum := sha256.Sum256([]byte(strings.Join([]string{e.Title, e.Author, e.Part, e.Language.String()}, "\x00")))
	sum[6], sum[8] = sum[6]&0x0f|0x80, sum[8]&0x3f|0x80 // RFC 9562, version 8
	title := e.Title
	if e.Part != "" {
		title += ": " + e.Part
	}
	metadata := tree.E("metadata", tree.A("xmlns:dc", "http://purl.org/dc/elements/1.1/"),
		tree.E("dc:identifier", tree.ID("id"), tree.Text(fmt.Sprintf("urn:uuid:%x-%x-%x-%x-%x", sum[0:4], sum[4:6], sum[6:8], sum[8:10], sum[10:16]))),
		tree.E("dc:title", txt(title)), tree.E("dc:language", tree.Text(e.Language.String())))
	if e.Author != "" {
		metadata.Add(tree.E("dc:creator", txt(e.Author)))
	}
	if e.Subtitle != "" {
		metadata.Add(tree.E("dc:description", txt(e.Subtitle)))
	}
	for _, m := range [][2]string{{"dcterms:modified", e.asOf().Format("2006-01-02T15:04:05Z")},
		{"schema:accessMode", "textual"}, {"schema:accessMode", "visual"}, {"schema:accessModeSufficient", "textual"},
		{"schema:accessibilityFeature", "alternativeText"}, {"schema:accessibilityFeature", "displayTransformability"}, {"schema:accessibilityFeature", "readingOrder"},
		{"schema:accessibilityFeature", "structuralNavigation"}, {"schema:accessibilityFeature", "tableOfContents"},
		{"schema:accessibilityHazard", "none"}, {"schema:accessibilitySummary", e.words.Say("ebook_access")}} {
		metadata.Add(tree.E("meta", tree.A("property", m[0]), txt(m[1])))
	}
	item := func(id, href, kind, properties string) *tree.Element {
		return tree.E("item", tree.ID(id), tree.Href(href), tree.A("media-type", kind), given("properties", properties))
	}
	const page = "application/xhtml+xml"
	manifest := tree.E("manifest", item("nav", "nav.xhtml", page, "nav"), item("style", "style.css", "text/css", ""),
		item("cover-picture", "cover.svg", "image/svg+xml", "cover-image"))
	spine := tree.E("spine")
	for i, f := range e.files {
		properties := ""
		if f.svg {
			properties = "svg"
		}
		manifest.Add(item("page-"+f.id, f.id+".xhtml", page, properties))
		spine.Add(tree.E("itemref", tree.A("idref", "page-"+f.id)))
		if i == 0 {
			spine.Add(tree.E("itemref", tree.A("idref", "nav")))
		}
	}
	for i, name := range e.pictures() {
		manifest.Add(item(fmt.Sprintf("picture-%d", i+1), name, pictureKinds[strings.ToLower(path.Ext(name))], ""))
	}
	return `<?xml version="1.0" encoding="utf-8"?>` + "\n" + tree.XHTML(tree.E("package", tree.A("xmlns", "http://www.idpf.org/2007/opf"), tree.A("version", "3.0"),
		tree.A("unique-identifier", "id"), tree.A("xml:lang", e.Language.String()), metadata, manifest, spine))
}

const ebookContainer = `<?xml version="1.0" encoding="utf-8"?>
<container version="1.0" xmlns="urn:oasis:names:tc:opendocument:xmlns:container">
<rootfiles><rootfile full-path="book/package.opf" media-type="application/oebps-package+xml"/></rootfiles>
</container>
`

// pack writes the file: the kind first, unpacked, so that programs know it by
// its first bytes.
func (e *ebook) pack() ([]byte, error) {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	var errs []error
	// The date as MS-DOS wrote it, which every entry has a place for: another would
	// take a further field, and the first entry may have none.
	day := e.asOf()
	date := uint16(day.Day() | int(day.Month())<<5 | (day.Year()-1980)<<9)
	put := func(name, text string, method uint16) {
		if ext := path.Ext(name); ext == ".xhtml" || ext == ".opf" || ext == ".xml" {
			if err := wellFormed(text); err != nil {
				errs = append(errs, fmt.Errorf("e-book: %s: %w", name, err))
			}
		}
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: method, ModifiedDate: date})
		if err == nil {
			_, err = io.WriteString(w, text)
		}
		errs = append(errs, err)
	}
	put("mimetype", "application/epub+zip", zip.Store)
	put("META-INF/container.xml", ebookContainer, zip.Deflate)
	put("book/package.opf", e.opf(), zip.Deflate)
	put("book/nav.xhtml", e.nav(), zip.Deflate)
	put("book/style.css", e.minified("text/css", ebookStyle+chart.BookCSS()), zip.Deflate)
	put("book/cover.svg", e.frontCover(), zip.Deflate)
	for _, f := range e.files {
		put("book/"+f.id+".xhtml", e.page(f), zip.Deflate)
	}
	for _, name := range e.pictures() {
		put("book/"+name, string(e.Book.Pictures[name]), zip.Deflate)
	}
	errs = append(errs, z.Close())
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	return out.Bytes(), e.errs.Err()
}

func wellFormed(text string) error {
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}
