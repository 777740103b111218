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
	"path"
	"regexp"
	"slices"
	"sort"
	"strings"
	"time"

	"rickyard/calc/figures"
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
	e := &ebook{maker: m, linked: map[string]bool{}}
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
	e.add("figures", m.words.Say("all_figures"), e.figures())
	e.add("notices", m.words.Say("notices"), noticesHTML(m.words))
	if len(m.errs) > 0 {
		return nil, m.errs.Err()
	}
	return e.pack()
}

type ebook struct {
	*maker
	files  []ebookFile
	linked map[string]bool // figures whose workings stand among all figures
}

type ebookFile struct {
	id, title string
	text      string // the body, as XHTML
	svg       bool
}

func (e *ebook) titlePage() string {
	var b strings.Builder
	fmt.Fprintf(&b, "<section class=\"title-page\"><h1>%s</h1>", esc(e.Title))
	for _, part := range []struct{ class, text string }{{"part-name", e.Part}, {"strap", e.Subtitle}, {"author", e.Author}, {"edition", e.Edition}, {"units", e.newData("").Footer.Units}} {
		if part.text != "" {
			fmt.Fprintf(&b, "<p class=\"%s\">%s</p>", part.class, esc(part.text))
		}
	}
	b.WriteString("</section>")
	return b.String()
}

var figureLink = regexp.MustCompile(`href="figures\.html#f-([^"]+)"`)

// figures writes the workings that chapters lead to but do not carry.
func (e *ebook) figures() string {
	for _, file := range e.files {
		for _, m := range figureLink.FindAllStringSubmatch(strings.ReplaceAll(file.text, "figures.xhtml", "figures.html"), -1) {
			e.linked[m[1]] = true
		}
	}
	p := e.newPage(nil, true)
	p.putf("<article class=\"chapter\"><h1>%s</h1><p class=\"lead\">%s</p>\n<section class=\"workings\">\n", esc(e.words.Say("all_figures")), esc(e.words.Say("print_workings_lead")))
	for _, f := range e.Graph.All() {
		if e.linked[esc(f.Name)] {
			p.working(f, func(other *figures.Figure) string {
				if e.linked[esc(other.Name)] {
					return "#f-" + other.Name
				}
				return ""
			}, false)
		}
	}
	p.put("</section></article>\n")
	return p.b.String()
}

// add turns a page's HTML into a file of the e-book.
func (e *ebook) add(id, title, html string) {
	if html == "" {
		return
	}
	text := paintOrder.ReplaceAllString(xhtml(html), ` style="paint-order:$1"`)
	text = strings.ReplaceAll(text, "</figcaption>\n<details class=\"numbers\">", "</figcaption></figure>\n<details class=\"numbers\">")
	text = strings.ReplaceAll(text, "</details></figure>", "</details>")
	e.files = append(e.files, ebookFile{id: id, title: title, text: text, svg: strings.Contains(text, "<svg")})
}

// paintOrder is an attribute of SVG 2, which readers know only as a style.
var paintOrder = regexp.MustCompile(` paint-order="([a-z ]+)"`)

// voidElements have no end tag.
var voidElements = map[string]bool{"area": true, "br": true, "col": true, "hr": true, "img": true, "input": true, "wbr": true}

var (
	attribute = regexp.MustCompile(`\s+([a-zA-Z_:][-a-zA-Z0-9_:.]*)(?:="([^"]*)")?`)
	pageHref  = regexp.MustCompile(`^([a-z_0-9]+)\.html(#.*)?$`)
)

// xhtml turns HTML as the pages write it (every attribute in double quotes,
// every element closed) into well-formed XML. A table's cells learn the heading
// of their column, by which a narrow screen shows them without the table.
func xhtml(html string) string {
	var b strings.Builder
	var heads []string
	var head strings.Builder
	inHead, twice, column := false, false, 0
	for i := 0; i < len(html); {
		if strings.HasPrefix(html[i:], "<svg") { // XML already
			end := strings.Index(html[i:], "</svg>")
			if end < 0 {
				end = len(html) - i - len("</svg>")
			}
			b.WriteString(html[i : i+end+len("</svg>")])
			i += end + len("</svg>")
			continue
		}
		if html[i] != '<' {
			end := strings.IndexByte(html[i:], '<')
			if end < 0 {
				end = len(html) - i
			}
			if inHead {
				head.WriteString(html[i : i+end])
			}
			b.WriteString(html[i : i+end])
			i += end
			continue
		}
		end := strings.IndexByte(html[i:], '>')
		if end < 0 {
			b.WriteString(esc(html[i:]))
			break
		}
		tag := strings.TrimSuffix(html[i+1:i+end], "/")
		i += end + 1
		if tag[0] == '/' {
			if tag == "/th" && inHead {
				heads = append(heads, strings.TrimSpace(head.String()))
				if twice {
					heads = append(heads, "")
				}
			}
			inHead = inHead && tag != "/th"
			b.WriteString("<" + tag + ">")
			continue
		}
		name := tag[:wordEnd(tag)]
		var attrs [][2]string
		for _, a := range attribute.FindAllStringSubmatch(tag[len(name):], -1) {
			attrs = append(attrs, [2]string{a[1], a[2]})
		}
		get := func(key string) string {
			for _, a := range attrs {
				if a[0] == key {
					return a[1]
				}
			}
			return ""
		}
		label := ""
		switch {
		case name == "table":
			heads = nil
		case name == "tr":
			column = 0
		case name == "th" && get("scope") == "col":
			head.Reset()
			inHead, twice = true, get("colspan") == "2"
		case name == "th" || name == "td":
			if name == "td" && column < len(heads) {
				label = heads[column]
			}
			column++
		}
		b.WriteString("<" + name)
		for _, a := range attrs {
			switch {
			case a[0] == "tabindex", a[0] == "role" && !strings.HasPrefix(a[1], "doc-"),
				strings.HasPrefix(a[0], "aria-") && name != "section" && name != "aside" && name != "table":
				continue // they make up for what a style sheet does on a screen
			case a[0] == "href":
				if m := pageHref.FindStringSubmatch(a[1]); m != nil {
					a[1] = m[1] + ".xhtml" + m[2]
				}
			}
			fmt.Fprintf(&b, ` %s="%s"`, a[0], a[1])
		}
		if label != "" {
			fmt.Fprintf(&b, ` data-label="%s"`, label)
		}
		if voidElements[name] {
			b.WriteString("/")
		}
		b.WriteString(">")
	}
	return b.String()
}

const xhtmlHead = `<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE html>
<html xmlns="http://www.w3.org/1999/xhtml" xmlns:epub="http://www.idpf.org/2007/ops" lang="%s" xml:lang="%[1]s">
<head><meta charset="utf-8"/><title>%s</title><link rel="stylesheet" href="style.css"/></head>
`

func (e *ebook) page(f ebookFile) string {
	kind := "bodymatter"
	switch f.id {
	case "title":
		kind = "frontmatter"
	case "glossary", "figures", "notices":
		kind = "backmatter"
	}
	return fmt.Sprintf(xhtmlHead, esc(e.Language.String()), esc(f.title)) +
		fmt.Sprintf("<body epub:type=\"%s\">\n%s</body></html>\n", kind, f.text)
}

// nav is the e-book's own contents: parts, chapters and their sections.
func (e *ebook) nav() string {
	var b strings.Builder
	fmt.Fprintf(&b, xhtmlHead, esc(e.Language.String()), esc(e.words.Say("contents")))
	fmt.Fprintf(&b, "<body>\n<nav epub:type=\"toc\" role=\"doc-toc\" id=\"toc\"><h1>%s</h1>\n<ol>\n", esc(e.words.Say("contents")))
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
			if open != "" {
				b.WriteString("</ol></li>\n")
			}
			fmt.Fprintf(&b, "<li><span>%s</span><ol>\n", esc(part))
			open = part
		}
		fmt.Fprintf(&b, "<li><a href=\"%s.xhtml\">%s</a>", f.id, esc(f.title))
		if i >= 0 {
			var sections strings.Builder
			for _, h := range e.chapters[i].Headings {
				if h.Level == 2 {
					fmt.Fprintf(&sections, "<li><a href=\"%s.xhtml#%s\">%s</a></li>", f.id, esc(h.ID), esc(h.Text))
				}
			}
			if sections.Len() > 0 {
				b.WriteString("<ol>" + sections.String() + "</ol>")
			}
		}
		b.WriteString("</li>\n")
	}
	b.WriteString("</ol></li>\n</ol></nav>\n<nav epub:type=\"landmarks\" hidden=\"hidden\"><ol>\n")
	fmt.Fprintf(&b, "<li><a epub:type=\"titlepage\" href=\"title.xhtml\">%s</a></li>\n", esc(e.words.Say("title_page")))
	fmt.Fprintf(&b, "<li><a epub:type=\"toc\" href=\"nav.xhtml\">%s</a></li>\n", esc(e.words.Say("contents")))
	if len(e.chapters) > 0 {
		fmt.Fprintf(&b, "<li><a epub:type=\"bodymatter\" href=\"%s.xhtml\">%s</a></li>\n", e.chapters[0].Name, esc(e.chapters[0].Title))
	}
	b.WriteString("</ol></nav>\n</body></html>\n")
	return b.String()
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
	var shown []string
	for name := range e.Book.Pictures {
		for _, f := range e.files {
			if strings.Contains(f.text, `src="`+esc(name)+`"`) {
				shown = append(shown, name)
				break
			}
		}
	}
	sort.Strings(shown)
	return shown
}

func (e *ebook) opf() string {
	sum := sha256.Sum256([]byte(strings.Join([]string{e.Title, e.Author, e.Part, e.Language.String()}, "\x00")))
	sum[6], sum[8] = sum[6]&0x0f|0x80, sum[8]&0x3f|0x80 // RFC 9562, version 8
	var b strings.Builder
	put := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	put(`<?xml version="1.0" encoding="utf-8"?>`)
	put(`<package xmlns="http://www.idpf.org/2007/opf" version="3.0" unique-identifier="id" xml:lang="%s">`, esc(e.Language.String()))
	put(`<metadata xmlns:dc="http://purl.org/dc/elements/1.1/">`)
	put(`<dc:identifier id="id">urn:uuid:%x-%x-%x-%x-%x</dc:identifier>`, sum[0:4], sum[4:6], sum[6:8], sum[8:10], sum[10:16])
	title := e.Title
	if e.Part != "" {
		title += ": " + e.Part
	}
	put(`<dc:title>%s</dc:title>`, esc(title))
	put(`<dc:language>%s</dc:language>`, esc(e.Language.String()))
	if e.Author != "" {
		put(`<dc:creator>%s</dc:creator>`, esc(e.Author))
	}
	if e.Subtitle != "" {
		put(`<dc:description>%s</dc:description>`, esc(e.Subtitle))
	}
	put(`<meta property="dcterms:modified">%s</meta>`, e.asOf().Format("2006-01-02T15:04:05Z"))
	for _, mode := range []string{"textual", "visual"} {
		put(`<meta property="schema:accessMode">%s</meta>`, mode)
	}
	put(`<meta property="schema:accessModeSufficient">textual</meta>`)
	for _, feature := range []string{"alternativeText", "displayTransformability", "readingOrder", "structuralNavigation", "tableOfContents"} {
		put(`<meta property="schema:accessibilityFeature">%s</meta>`, feature)
	}
	put(`<meta property="schema:accessibilityHazard">none</meta>`)
	put(`<meta property="schema:accessibilitySummary">%s</meta>`, esc(e.words.Say("ebook_access")))
	put(`</metadata>`)
	put(`<manifest>`)
	put(`<item id="nav" href="nav.xhtml" media-type="application/xhtml+xml" properties="nav"/>`)
	put(`<item id="style" href="style.css" media-type="text/css"/>`)
	put(`<item id="cover-picture" href="cover.svg" media-type="image/svg+xml" properties="cover-image"/>`)
	for _, f := range e.files {
		properties := ""
		if f.svg {
			properties = ` properties="svg"`
		}
		put(`<item id="page-%s" href="%[1]s.xhtml" media-type="application/xhtml+xml"%s/>`, f.id, properties)
	}
	for i, name := range e.pictures() {
		put(`<item id="picture-%d" href="%s" media-type="%s"/>`, i+1, esc(name), pictureKinds[strings.ToLower(path.Ext(name))])
	}
	put(`</manifest>`)
	put(`<spine>`)
	for i, f := range e.files {
		put(`<itemref idref="page-%s"/>`, f.id)
		if i == 0 {
			put(`<itemref idref="nav"/>`)
		}
	}
	put(`</spine>`)
	put(`</package>`)
	return b.String()
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
	put := func(name, text string, method uint16) {
		if ext := path.Ext(name); ext == ".xhtml" || ext == ".opf" || ext == ".xml" {
			if err := wellFormed(text); err != nil {
				errs = append(errs, fmt.Errorf("e-book: %s: %w", name, err))
			}
		}
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: method})
		if err == nil {
			_, err = io.WriteString(w, text)
		}
		errs = append(errs, err)
	}
	put("mimetype", "application/epub+zip", zip.Store)
	put("META-INF/container.xml", ebookContainer, zip.Deflate)
	put("book/package.opf", e.opf(), zip.Deflate)
	put("book/nav.xhtml", e.nav(), zip.Deflate)
	put("book/style.css", e.minified("text/css", ebookStyle), zip.Deflate)
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
