package templates

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"strings"

	"github.com/tdewolff/minify/v2"
	"github.com/tdewolff/minify/v2/css"
	"github.com/tdewolff/minify/v2/html"
	"github.com/tdewolff/minify/v2/js"

	"rickyard/calc/figures"

	"rickyard/templates/chart"
)

//go:embed pages/*.html style.css print.css workbook.js search.js
var pageFiles embed.FS

// A shell is what stands around every page.
type shell struct {
	template *template.Template
	pages    *minify.M // leaves style and script in a page as they are: their hash is in its policy
	assets   *minify.M
}

func newShell() (*shell, error) {
	t, err := template.ParseFS(pageFiles, "pages/*.html")
	if err != nil {
		return nil, fmt.Errorf("the page's template: %w", err)
	}
	pages, assets := minify.New(), minify.New()
	pages.Add("text/html", &html.Minifier{KeepEndTags: true, KeepDocumentTags: true, KeepQuotes: true, KeepDefaultAttrVals: true})
	assets.AddFunc("text/css", css.Minify)
	assets.AddFunc("application/javascript", js.Minify)
	return &shell{t, pages, assets}, nil
}

// A link is an address within the workbook and what it is called.
type link struct{ Title, Href string }

type navItem struct {
	Number      string
	Title, Href string
	Gloss       string
	Current     bool
	Sections    []link
}

type navPart struct {
	Title string
	Open  bool
	Items []navItem
}

type styleLink struct{ Href, Media string }

// A pageData is what the page's template is filled with.
type pageData struct {
	Lang, Title, BookTitle, Description, CSP, Home, Strap string
	Opening                                               bool
	Body                                                  template.HTML
	Styles                                                []styleLink
	Scripts                                               []string
	Index                                                 string // what the search loads; empty: it reads the page itself
	StyleInline                                           template.CSS
	ScriptInline                                          template.JS
	Prev, Next                                            *link
	Parts                                                 []navPart
	Footer                                                footer
	Words                                                 shellWords
}

type footer struct {
	Farm, Edition, Units string
	Notice               *link
}

type shellWords struct {
	Skip, Contents, CloseContents, Dark, Light, Turn, Previous, Next, Working, Close string
	Search, Found, FoundNone                                                         string
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

func (m *maker) newData(title string) *pageData {
	w := m.words.Say
	unitsNote := w("units_note", m.Style.System().Currency())
	if !m.Metric {
		unitsNote = w("units_note_customary", m.Style.System().Currency())
	}
	edition := strings.Trim(m.Part+" · "+m.Edition, " ·")
	if m.Author != "" {
		edition = strings.TrimSuffix(m.Author+" · "+edition, " · ")
	}
	return &pageData{
		Lang: m.Language.String(), Title: title, BookTitle: m.Title, Strap: m.Subtitle, CSP: policy, Home: "index.html",
		Styles:  []styleLink{{styleFile, ""}, {chartFile, ""}, {printFile, "print"}},
		Scripts: []string{behaviourFile},
		Index:   searchFile,
		Footer:  footer{Farm: m.Farm, Edition: edition, Units: unitsNote, Notice: &link{w("notices"), "notices.html"}},
		Words: shellWords{w("skip"), w("contents"), w("close_contents"), w("dark"), w("light"), w("turn"),
			w("previous"), w("next"), w("working"), w("close"), w("search"), w("found"), w("found_none")},
	}
}

// write fills the template, minifies the page and keeps it.
func (m *maker) write(path string, d *pageData) {
	var b bytes.Buffer
	if err := m.shell.template.ExecuteTemplate(&b, "shell", d); err != nil {
		m.errs.Add(fmt.Errorf("%s: %w", path, err))
		return
	}
	small, err := m.shell.pages.Bytes("text/html", b.Bytes())
	if err != nil {
		m.errs.Add(fmt.Errorf("%s: %w", path, err))
		return
	}
	m.pages[path] = small
}

func (m *maker) minified(kind, text string) string {
	small, err := m.shell.assets.String(kind, text)
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
	m.pages[chartFile] = []byte(m.minified("text/css", chart.PaletteCSS()))
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
	return append(items, navItem{Title: m.words.Say("all_figures"), Href: "figures.html", Gloss: m.words.Say("all_figures_gloss")})
}

// glossaryPage writes what the book's terms mean.
func (m *maker) glossaryPage() {
	p := m.backPage("glossary", nil)
	p.together = false
	body := m.wholeGlossary(p, m.Book.Glossary)
	if body == "" {
		return
	}
	d := m.newData(m.words.Say("glossary"))
	d.Description = m.words.Say("glossary_gloss")
	d.Body = template.HTML(body)
	d.Parts = m.parts(-1, (*made).href, m.back()...)
	m.write("glossary.html", d)
}

// opening writes the title page with the contents.
func (m *maker) opening() {
	d := m.newData("")
	d.Opening = true
	d.Description = m.Subtitle
	d.Parts = m.parts(-1, (*made).href, m.back()...)
	if len(m.chapters) > 0 {
		d.Next = &link{m.chapters[0].Title, m.chapters[0].href()}
	}
	m.write("index.html", d)
}

func (m *maker) chapterPage(i int) {
	c := m.chapters[i]
	d := m.newData(c.Title)
	d.Description = c.gloss
	d.Body = template.HTML(c.article)
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

// figuresPage writes every figure of the book with its working.
func (m *maker) figuresPage() {
	d := m.newData(m.words.Say("all_figures"))
	d.Description = m.words.Say("all_figures_gloss")
	d.Body = template.HTML(m.everyFigure())
	d.Parts = m.parts(-1, (*made).href, m.back()...)
	if n := len(m.chapters); n > 0 {
		d.Prev = &link{m.chapters[n-1].Title, m.chapters[n-1].href()}
	}
	m.write("figures.html", d)

	d = m.newData(m.words.Say("notices"))
	d.Body = template.HTML(noticesHTML(m.words))
	d.Parts = m.parts(-1, (*made).href, m.back()...)
	m.write("notices.html", d)
}

// everyFigure writes the workings of all figures, by name.
func (m *maker) everyFigure() string {
	if m.every != "" {
		return m.every
	}
	p := m.newPage(nil, true)
	p.putf("<article class=\"chapter\" id=\"every-figure\"><h1>%s</h1><p class=\"lead\">%s</p>\n", esc(m.words.Say("all_figures")), esc(m.words.Say("all_figures_lead")))
	p.put("<section class=\"workings\">\n")
	here := func(f *figures.Figure) string { return "#f-" + f.Name }
	for _, f := range m.Graph.All() {
		p.working(f, here, false)
	}
	p.put("</section></article>\n")
	m.every = p.b.String()
	return m.every
}

// single writes the edition that is one file: everything in it, fit to send.
func (m *maker) single() {
	style := m.minified("text/css", m.file(styleFile)+chart.PaletteCSS()+"@media print{"+m.file(printFile)+"}")
	script := m.minified("application/javascript", m.file(behaviourFile)+m.file(findFile))
	d := m.newData("")
	d.Styles, d.Scripts, d.Index = nil, nil, ""
	d.StyleInline, d.ScriptInline = template.CSS(style), template.JS(script)
	d.CSP = fmt.Sprintf("default-src 'none'; style-src '%s'; script-src '%s'; img-src data:; base-uri 'none'; form-action 'none'", hashOf(style), hashOf(script))
	d.Description = m.Subtitle
	d.Home = "#main"
	d.Footer.Notice = &link{m.words.Say("notices"), "#notices"}
	var body strings.Builder
	fmt.Fprintf(&body, "<section class=\"title-page\"><h1>%s</h1><p class=\"strap\">%s</p><p class=\"edition\">%s<br>%s</p></section>\n",
		esc(m.Title), esc(m.Subtitle), esc(m.Farm), esc(d.Footer.Edition))
	for _, c := range m.chapters {
		body.WriteString(c.together)
	}
	body.WriteString(m.wholeGlossary(m.backPage("glossary", nil), m.Book.Glossary))
	body.WriteString(m.everyFigure())
	body.WriteString(noticesHTML(m.words))
	d.Body = template.HTML(body.String())
	back := m.back()
	for i := range back {
		back[i].Href = map[string]string{"glossary.html": "#glossary", "figures.html": "#every-figure"}[back[i].Href]
	}
	d.Parts = m.parts(-1, func(c *made) string { return "#" + c.Name }, back...)
	m.write("workbook.html", d)
}

func hashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// noticesHTML says what the workbook is made with and under which licences.
func noticesHTML(w *Words) string {
	return fmt.Sprintf("<article class=\"chapter\" id=\"notices\"><h1>%s</h1><p>%s</p><p>%s</p></article>\n",
		esc(w.Say("notices")), esc(w.Say("made_with")), esc(w.Say("chart_notice")))
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
