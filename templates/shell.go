package templates

import (
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"strings"

	"github.com/tdewolff/minify/v2"
	"github.com/tdewolff/minify/v2/css"
	"github.com/tdewolff/minify/v2/html"
	"github.com/tdewolff/minify/v2/js"

	"rickyard/templates/chart"
	"rickyard/templates/tree"
)

//go:embed style.css print.css workbook.js search.js
var pageFiles embed.FS

// A minifier makes pages and what they load smaller. It leaves style and script
// in a page as they are, for their hash is in its policy.
type minifier struct{ pages, assets *minify.M }

func newMinifier() minifier {
	pages, assets := minify.New(), minify.New()
	pages.Add("text/html", &html.Minifier{KeepEndTags: true, KeepDocumentTags: true, KeepQuotes: true, KeepDefaultAttrVals: true})
	assets.AddFunc("text/css", css.Minify)
	assets.AddFunc("application/javascript", js.Minify)
	return minifier{pages, assets}
}

// policy lets a page load its own style, script and pictures, and nothing else.
const policy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'none'"

const (
	styleFile     = "style.css"
	printFile     = "print.css"
	chartFile     = "charts.css"
	behaviourFile = "workbook.js"
	findFile      = "search.js" // joined to it
)

func (m *maker) newFrame(title string) *frame {
	w := m.words.Say
	unitsNote := w("units_note", m.currency())
	if !m.Metric {
		unitsNote = w("units_note_customary", m.currency())
	}
	edition := strings.Trim(m.Part+" · "+m.Edition, " ·")
	if m.Author != "" {
		edition = strings.TrimSuffix(m.Author+" · "+edition, " · ")
	}
	return &frame{maker: m, Title: title, CSP: policy, Home: "index.html",
		Styles:  []styleLink{{styleFile, ""}, {chartFile, ""}, {printFile, "print"}},
		Scripts: []string{behaviourFile},
		Index:   searchFile,
		Footer:  footer{Farm: m.Farm, Edition: edition, Units: unitsNote, Notice: &link{w("notices"), "notices.html"}}}
}

// currency is the farm's currency as amounts show it, with its code.
func (m *maker) currency() string {
	code := m.Style.System().Currency()
	if sign := m.Style.Symbol(code); sign != code && sign != "" {
		return sign + " (" + code + ")"
	}
	return code
}

// write minifies a page and keeps it.
func (m *maker) write(path string, f *frame) {
	small, err := m.small.pages.String("text/html", f.html())
	if err != nil {
		m.errs.Add(fmt.Errorf("%s: %w", path, err))
		return
	}
	m.pages[path] = []byte(small)
}

func (m *maker) minified(kind, text string) string {
	small, err := m.small.assets.String(kind, text)
	if err != nil {
		m.errs.Add(fmt.Errorf("%s: %w", kind, err))
	}
	return small
}

func (m *maker) file(name string) string {
	raw, err := pageFiles.ReadFile(name)
	if err != nil {
		m.errs.Add(err)
	}
	return string(raw)
}

// assets writes the style sheets and the script.
func (m *maker) assets() {
	m.pages[styleFile] = []byte(m.minified("text/css", m.file(styleFile)))
	m.pages[printFile] = []byte(m.minified("text/css", m.file(printFile)))
	m.pages[chartFile] = []byte(m.minified("text/css", chart.CSS()))
	m.pages[behaviourFile] = []byte(m.minified("application/javascript", m.file(behaviourFile)+m.file(findFile)))
	m.pages[searchFile] = m.searchIndex()
}

// parts lists the chapters by the part of the book that they belong to.
// current is the chapter that is open, or -1; href says where each stands.
func (m *maker) parts(current int, href func(*made) string, extra ...navItem) []navPart {
	var parts []navPart
	for i, c := range m.chapters {
		if len(parts) == 0 || parts[len(parts)-1].Title != c.Part {
			parts = append(parts, navPart{Title: c.Part})
		}
		part := &parts[len(parts)-1]
		item := navItem{Number: fmt.Sprint(c.number), Title: c.Title, Href: href(c), Gloss: c.gloss, Current: i == current}
		if i == current {
			part.Open = true
			for _, h := range c.Headings {
				if h.Level == 2 {
					item.Sections = append(item.Sections, link{h.Text, "#" + h.ID})
				}
			}
		}
		part.Items = append(part.Items, item)
	}
	if len(extra) > 0 {
		parts = append(parts, navPart{Title: m.words.Say("at_the_back"), Items: extra, Open: current < 0})
	}
	for i := range parts {
		if parts[i].Title == "" {
			parts[i].Title = m.words.Say("chapters")
		}
		if current < 0 {
			parts[i].Open = true
		}
	}
	return parts
}

func (m *maker) back() []navItem {
	var items []navItem
	if len(m.Book.Glossary) > 0 {
		items = append(items, navItem{Title: m.words.Say("glossary"), Href: "glossary.html", Gloss: m.words.Say("glossary_gloss")})
	}
	if len(m.Warnings) > 0 {
		items = append(items, navItem{Title: m.words.Say("look"), Href: "look.html", Gloss: m.words.Say("look_gloss")})
	}
	return append(items, navItem{Title: m.words.Say("all_figures"), Href: "figures.html", Gloss: m.words.Say("all_figures_gloss")})
}

// glossaryPage writes what the book's terms mean.
func (m *maker) glossaryPage() {
	p := m.backPage("glossary", nil)
	p.together = false
	body := m.wholeGlossary(p, m.Book.Glossary)
	if body == nil {
		return
	}
	d := m.newFrame(m.words.Say("glossary"))
	d.Description = m.words.Say("glossary_gloss")
	d.Body = tree.Nodes{body}
	d.Parts = m.parts(-1, (*made).href, m.back()...)
	m.write("glossary.html", d)
}

// opening writes the title page with the contents.
func (m *maker) opening() {
	d := m.newFrame("")
	d.Opening = true
	d.Answers = m.told
	d.Description = m.Subtitle
	d.Parts = m.parts(-1, (*made).href, m.back()...)
	if len(m.chapters) > 0 {
		d.Next = &link{m.chapters[0].Title, m.chapters[0].href()}
	}
	m.write("index.html", d)
}

func (m *maker) chapterPage(i int) {
	c := m.chapters[i]
	d := m.newFrame(c.Title)
	d.Description = c.gloss
	d.Body = tree.Nodes{c.article}
	d.Parts = m.parts(i, (*made).href, m.back()...)
	if i > 0 {
		d.Prev = &link{m.chapters[i-1].Title, m.chapters[i-1].href()}
	} else {
		d.Prev = &link{m.words.Say("front"), "index.html"}
	}
	if i+1 < len(m.chapters) {
		d.Next = &link{m.chapters[i+1].Title, m.chapters[i+1].href()}
	} else {
		d.Next = &link{m.words.Say("all_figures"), "figures.html"}
	}
	m.write(c.href(), d)
}

// figuresPage writes the list of all workings.
func (m *maker) figuresPage() {
	d := m.newFrame(m.words.Say("all_figures"))
	d.Description = m.words.Say("all_figures_gloss")
	d.Body = tree.Nodes{m.work.index()}
	d.Parts = m.parts(-1, (*made).href, m.back()...)
	if n := len(m.chapters); n > 0 {
		d.Prev = &link{m.chapters[n-1].Title, m.chapters[n-1].href()}
	}
	m.write("figures.html", d)

	d = m.newFrame(m.words.Say("notices"))
	d.Body = tree.Nodes{notices(m.words).Add(tree.E("h2", txt(m.words.Say("licences"))), tree.E("pre.licences", txt(Notices())))}
	d.Parts = m.parts(-1, (*made).href, m.back()...)
	m.write("notices.html", d)
}

// single writes the edition that is one file: everything in it, fit to send.
func (m *maker) single() {
	style := m.minified("text/css", m.file(styleFile)+chart.CSS()+"@media print{"+m.file(printFile)+"}")
	script := m.minified("application/javascript", m.file(behaviourFile)+m.file(findFile))
	d := m.newFrame("")
	d.Styles, d.Scripts, d.Index = nil, nil, ""
	d.StyleInline, d.ScriptInline = style, script
	d.CSP = fmt.Sprintf("default-src 'none'; style-src '%s'; script-src '%s'; img-src data:; base-uri 'none'; form-action 'none'", hashOf(style), hashOf(script))
	d.Description = m.Subtitle
	d.Home = "#main"
	d.Footer.Notice = &link{m.words.Say("notices"), "#notices"}
	d.Body = tree.Join(tree.E("section.title-page", tree.E("h1", txt(m.Title)), tree.E("p.strap", txt(m.Subtitle)),
		tree.E("p.edition", txt(m.Farm), tree.E("br"), txt(d.Footer.Edition))))
	for _, c := range m.chapters {
		d.Body = append(d.Body, c.together)
	}
	d.Body = tree.Join(d.Body, m.wholeGlossary(m.backPage("glossary", nil), m.Book.Glossary), m.look(), m.work.together(), notices(m.words))
	m.work.leadTogether(d.Body)
	d.Data = m.packed(m.json(m.work.allData()))
	back := m.back()
	for i := range back {
		back[i].Href = map[string]string{"glossary.html": "#glossary", "look.html": "#look", "figures.html": "#workings"}[back[i].Href]
	}
	d.Parts = m.parts(-1, func(c *made) string { return "#" + c.Name }, back...)
	m.write("workbook.html", d)
}

// hashOf is by what a page's policy knows a script or a style in it.
func hashOf(text string) string {
	sum := sha256.Sum256([]byte(tree.Code(text)))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// notices says what the workbook is made with and under which licences.
func notices(w *Words) *tree.Element {
	return tree.E("article.chapter", tree.ID("notices"), tree.E("h1", txt(w.Say("notices"))), tree.E("p", txt(w.Say("made_with"))), tree.E("p", txt(w.Say("chart_notice"))))
}

// picture returns the address of a picture on the page.
func (p *page) picture(path string) string {
	if !p.together {
		return path
	}
	raw := p.Book.Pictures[path]
	kind := map[string]string{"svg": "image/svg+xml", "png": "image/png", "jpg": "image/jpeg", "jpeg": "image/jpeg", "webp": "image/webp", "gif": "image/gif"}[strings.ToLower(path[strings.LastIndexByte(path, '.')+1:])]
	return "data:" + kind + ";base64," + base64.StdEncoding.EncodeToString(raw)
}
