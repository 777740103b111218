package templates

import (
	"strings"

	"rickyard/templates/tree"
)

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

// A frame is what stands around a page, and the page.
type frame struct {
	*maker
	Title, Description, CSP, Home string
	Opening                       bool       // the title page, with the contents
	Answers                       tree.Nodes // what the title page tells
	Body                          tree.Nodes
	Styles                        []styleLink
	Scripts                       []string
	Index                         string // what the search loads; empty: it reads the page itself
	StyleInline, ScriptInline     string
	Data                          string // the workings, in the edition that is one file
	Prev, Next                    *link
	Parts                         []navPart
	Footer                        footer
}

type footer struct {
	Farm, Edition, Units string
	Notice               *link
}

// html is the whole page.
func (f *frame) html() string {
	body := tree.E("body.page", tree.E("a.skip", tree.Href("#main"), f.word("skip")), f.masthead())
	if f.Opening {
		body.AddClass("opening")
	} else {
		body.Add(f.contents())
	}
	main := tree.E("main", tree.ID("main"), tree.A("tabindex", "-1"))
	if f.Opening {
		main.Add(f.titlePage())
	}
	body.Add(main.Add(f.Body), f.turn(), f.colophon(), f.pop())
	if f.Data != "" {
		body.Add(tree.E("script", tree.A("type", "text/plain"), tree.ID("workings-data"), tree.Text(f.Data)))
	}
	return "<!doctype html>\n" + tree.HTML(tree.E("html", tree.A("lang", f.Language.String()), f.head(), body))
}

// trial says that the workbook is not the farm's own, and what was set; nil if it
// is.
func (m *maker) trial() *tree.Element {
	if len(m.Trial) == 0 {
		return nil
	}
	return tree.E("p.trial", tree.A("role", "note"), txt(m.trialText()))
}

func (m *maker) trialText() string { return m.words.Say("trial", strings.Join(m.Trial, "; ")) }

func (f *frame) word(name string) tree.Text { return txt(f.words.Say(name)) }

func (f *frame) head() *tree.Element {
	title := f.maker.Title
	if f.Title != "" {
		title = f.Title + " · " + title
	}
	meta := func(key, name, text string) *tree.Element {
		if text == "" {
			return nil
		}
		return tree.E("meta", tree.A(key, name), tree.A("content", curl(text)))
	}
	own := f.Title
	if own == "" {
		own = f.maker.Title
	}
	head := tree.E("head", tree.E("meta", tree.A("charset", "utf-8")), tree.E("meta", tree.A("http-equiv", "Content-Security-Policy"), tree.A("content", f.CSP)),
		meta("name", "viewport", "width=device-width, initial-scale=1"), tree.E("title", txt(title)), meta("name", "description", f.Description),
		meta("property", "og:type", "book"), meta("property", "og:title", own), meta("property", "og:description", f.Description),
		meta("name", "color-scheme", "light dark"))
	if f.StyleInline != "" {
		head.Add(tree.E("style", tree.Text(f.StyleInline)), tree.E("script", tree.Text(f.ScriptInline)))
	}
	for _, s := range f.Styles {
		head.Add(tree.E("link", tree.A("rel", "stylesheet"), tree.Href(s.Href), given("media", s.Media)))
	}
	for _, s := range f.Scripts {
		head.Add(tree.E("script", tree.A("src", s)))
	}
	for _, to := range []struct {
		rel string
		*link
	}{{"prev", f.Prev}, {"next", f.Next}} {
		if to.link != nil {
			head.Add(tree.E("link", tree.A("rel", to.rel), tree.Href(to.Href)))
		}
	}
	return head
}

func (f *frame) masthead() *tree.Element {
	head := tree.E("header.masthead")
	if len(f.Trial) > 0 {
		head.AddClass("tried")
	}
	if !f.Opening {
		head.Add(tree.E("a.book", tree.Href(f.Home), txt(f.maker.Title)))
		if f.Title != "" {
			head.Add(tree.E("span.here", txt(f.Title)))
		}
		head.Add(tree.E("a.to-contents", tree.Href("#contents"), f.word("contents")))
	}
	search := f.words.Say("search")
	return head.Add(tree.E("search.find", given("data-index", f.Index), tree.A("data-some", f.words.Say("found")), tree.A("data-none", f.words.Say("found_none")),
		tree.E("label.vh", tree.A("for", "find"), tree.Text(search)),
		tree.E("input", tree.ID("find"), tree.A("type", "search"), tree.A("placeholder", search), tree.A("autocomplete", "off"), tree.A("spellcheck", "false")),
		tree.E("p.vh", tree.A("role", "status")), tree.E("div.found", tree.A("hidden", ""), tree.E("ol"))),
		tree.E("button.shade", tree.A("type", "button"), tree.A("data-dark", f.words.Say("dark")), tree.A("data-light", f.words.Say("light")), f.word("dark")), f.trial())
}

func (f *frame) contents() *tree.Element {
	leaf := tree.E("div.leaf", tree.E("a.shut", tree.Href("#main"), f.word("close_contents")))
	for _, part := range f.Parts {
		list := tree.E("ol")
		for _, item := range part.Items {
			list.Add(item.inContents())
		}
		details := tree.E("details", tree.E("summary", txt(part.Title)), list)
		if part.Open {
			details.Set("open", "")
		}
		leaf.Add(details)
	}
	return tree.E("nav", tree.ID("contents"), tree.A("aria-label", f.words.Say("contents")), leaf)
}

func (item navItem) inContents() *tree.Element {
	a := tree.E("a", tree.Href(item.Href))
	if item.Current {
		a.Set("aria-current", "page")
	}
	if item.Number != "" {
		a.Add(tree.E("span.no", txt(item.Number)), tree.Text(" "))
	}
	li := tree.E("li", a.Add(tree.E("span.t", txt(item.Title))))
	if len(item.Sections) > 0 {
		sections := tree.E("ol")
		for _, s := range item.Sections {
			sections.Add(tree.E("li", tree.E("a", tree.Href(s.Href), txt(s.Title))))
		}
		li.Add(sections)
	}
	return li
}

// titlePage has the book's title and the contents.
func (f *frame) titlePage() tree.Nodes {
	title := tree.E("section.title-page", tree.E("h1", txt(f.maker.Title)))
	if f.Subtitle != "" {
		title.Add(tree.E("p.strap", txt(f.Subtitle)))
	}
	edition := tree.E("p.edition", txt(f.Footer.Farm))
	if f.Footer.Edition != "" {
		edition.Add(tree.E("br"), txt(f.Footer.Edition))
	}
	title.Add(edition)
	if f.Footer.Units != "" {
		title.Add(tree.E("p.units", txt(f.Footer.Units)))
	}
	chapters := tree.E("div.chapters", f.Answers)
	for _, part := range f.Parts {
		list := tree.E("ol")
		for _, item := range part.Items {
			a := tree.E("a", tree.Href(item.Href), tree.E("span.no", txt(item.Number)), tree.Text(" "), tree.E("span.t", txt(item.Title)))
			if item.Gloss != "" {
				a.Add(tree.Text(" "), tree.E("span.gloss", txt(item.Gloss)))
			}
			list.Add(tree.E("li", a))
		}
		section := tree.E("section.part")
		if part.Title != "" {
			section.Add(tree.E("h2", txt(part.Title)))
		}
		chapters.Add(section.Add(list))
	}
	return tree.Nodes{title, chapters}
}

// turn leads to the page before and the one after.
func (f *frame) turn() *tree.Element {
	if f.Prev == nil && f.Next == nil {
		return nil
	}
	nav := tree.E("nav.turn", tree.A("aria-label", f.words.Say("turn")))
	if f.Prev != nil {
		nav.Add(tree.E("a", tree.A("rel", "prev"), tree.Href(f.Prev.Href), tree.E("span.dir", f.word("previous")), txt(" "+f.Prev.Title)))
	}
	if f.Next != nil {
		nav.Add(tree.E("a", tree.A("rel", "next"), tree.Href(f.Next.Href), tree.E("span.dir", f.word("next")), txt(" "+f.Next.Title)))
	}
	return nav
}

func (f *frame) colophon() *tree.Element {
	who := f.Footer.Farm
	if f.Footer.Edition != "" {
		who += " · " + f.Footer.Edition
	}
	foot := tree.E("footer.colophon", tree.E("p", txt(who)))
	if f.Footer.Units != "" {
		foot.Add(tree.E("p", txt(f.Footer.Units)))
	}
	if f.Footer.Notice != nil {
		foot.Add(tree.E("p", tree.E("a", tree.Href(f.Footer.Notice.Href), txt(f.Footer.Notice.Title))))
	}
	return foot
}

// pop is where the script shows a working in place.
func (f *frame) pop() *tree.Element {
	return tree.E("div.pop", tree.ID("pop"), tree.A("popover", ""), tree.A("role", "dialog"), tree.A("aria-label", f.words.Say("working")), tree.A("tabindex", "-1"),
		tree.A("data-shown", f.words.Say("shown_in")), tree.A("data-keeps", f.words.Say("keeps_capitals")),
		tree.E("button.close", tree.A("type", "button"), f.word("close")),
		tree.E("button.return", tree.A("type", "button"), tree.A("hidden", ""), f.word("return")), tree.E("div.pop-body"))
}
