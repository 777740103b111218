package templates

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"encoding/json"
	"slices"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/say"
	"rickyard/templates/tree"
)

// The workings of a book are those of every number that it shows, and of all
// that these rest on. They stand by subject: that of a figure is the first word
// of its name.
type workings struct {
	*maker
	byName map[string]*working
	parts  []*subject
	places []place
	placed map[string]int // places by address
}

// A subject is the figures of an enterprise, a chapter or a file of the farm.
type subject struct {
	id, title string
	list      []*working
}

// A working is how one figure is worked.
type working struct {
	*figures.Figure
	of    *subject
	id    string // within its subject
	label string
	how   spoken
	used  []int // places where it is shown
	prose bool  // in a sentence or a worked table
}

// A place is where the book shows figures: a section, a table, a chart.
type place struct{ href, title string }

// subjectOf takes a figure's name apart: the subject, and its name there.
func subjectOf(name string) (subject, id string) {
	at := strings.IndexAny(name, ".:")
	if at < 0 {
		return name, name
	}
	return name[:at], strings.TrimPrefix(name[at:], ".")
}

// workingsFile is the page of a subject's workings.
func workingsFile(subject, ext string) string { return "w-" + subject + ext }

// workingHref is where the working of a figure stands.
func workingHref(f *figures.Figure) string {
	subject, id := subjectOf(f.Name)
	return workingsFile(subject, ".html") + "#" + id
}

func (m *maker) newWorkings() *workings {
	return &workings{maker: m, byName: map[string]*working{}, placed: map[string]int{}}
}

// show notes that a figure is shown at a place.
func (w *workings) show(f *figures.Figure, at place, prose bool) {
	one := w.add(f)
	one.prose = one.prose || prose
	n, ok := w.placed[at.href]
	if !ok {
		n = len(w.places)
		w.placed[at.href] = n
		w.places = append(w.places, at)
	}
	if !slices.ContainsFunc(one.used, func(k int) bool { return w.places[k].title == at.title }) {
		one.used = append(one.used, n)
	}
}

// add takes a figure in, with all that its working names.
func (w *workings) add(first *figures.Figure) *working {
	for next := []*figures.Figure{first}; len(next) > 0; {
		f := next[len(next)-1]
		next = next[:len(next)-1]
		if w.byName[f.Name] != nil {
			continue
		}
		one := &working{Figure: f, how: w.speak(f)}
		one.label = w.name(one)
		_, one.id = subjectOf(f.Name)
		w.byName[f.Name] = one
		for _, p := range one.how {
			if p.of != nil {
				next = append(next, p.of)
			}
		}
		for _, of := range w.restsOn(f) {
			next = append(next, of)
		}
	}
	return w.byName[first.Name]
}

// mostNeeds is how many figures a found one names that it rests on.
const mostNeeds = 12

// restsOn are the figures that one rests on which has no formula, if it can be
// told in a sentence.
func (m *maker) restsOn(f *figures.Figure) []*figures.Figure {
	if f.Formula != nil || f.IsInput() {
		return nil
	}
	var needs []*figures.Figure
	for _, n := range f.Needs() {
		if n = m.behind(n); !n.Hidden && n.Label != "" && !n.Text && !slices.Contains(needs, n) {
			needs = append(needs, n)
		}
	}
	if len(needs) > mostNeeds {
		return needs[:mostNeeds]
	}
	return needs
}

// longestName is how many letters of its formula stand for the name of a figure
// that has none.
const longestName = 80

// name is what a figure is called among those of its subject. One of a sentence
// that has no name is called as it is worked.
func (w *workings) name(one *working) string {
	if one.Label != "" && !one.Hidden {
		return w.say(one.Label)
	}
	text := upperFirst(inWords(one.how, func(f *figures.Figure) string { return w.words.Mid(w.label(f, "")) }))
	if letters := []rune(text); len(letters) > longestName {
		text = strings.TrimRight(string(letters[:longestName]), " ") + "…"
	}
	if text == "" {
		return w.words.Say("worked_here")
	}
	return text
}

// tellApart gives figures of one name further words: what they belong to, or
// what they are counted in.
func (w *workings) tellApart(s *subject) {
	by := map[string][]*working{}
	for _, one := range s.list {
		by[one.label] = append(by[one.label], one)
	}
	for label, same := range by {
		if len(same) < 2 {
			continue
		}
		for _, one := range same {
			if of := w.parent(one.Figure); of != "" && of != label && !strings.HasPrefix(label, of) {
				one.label = of + ": " + w.words.Mid(label)
			}
		}
	}
	clear(by)
	for _, one := range s.list {
		by[one.label] = append(by[one.label], one)
	}
	for label, same := range by {
		for _, one := range same {
			if unit := w.Style.Unit(one.Unit, true); len(same) > 1 && unit != "" {
				one.label = label + " (" + unit + ")"
			}
		}
	}
}

// parent is what the figure is called to whose name another's is added.
func (w *workings) parent(f *figures.Figure) string {
	for name := f.Name; ; {
		at := strings.LastIndexByte(name, '.')
		if at < 0 {
			return ""
		}
		name = name[:at]
		if of := w.Graph.Lookup(name); of != nil && of.Label != "" && !of.Hidden {
			return w.say(of.Label)
		}
	}
}

// settle sorts the workings by subject and name.
func (w *workings) settle() {
	by := map[string]*subject{}
	for _, f := range w.Graph.All() {
		one := w.byName[f.Name]
		if one == nil {
			continue
		}
		id, _ := subjectOf(f.Name)
		if by[id] == nil {
			title, _ := w.group(f)
			by[id] = &subject{id: id, title: title}
			w.parts = append(w.parts, by[id])
		}
		one.of = by[id]
		by[id].list = append(by[id].list, one)
	}
	for _, s := range w.parts {
		w.tellApart(s)
		slices.SortStableFunc(s.list, func(a, b *working) int { return w.compare(a.label, b.label) })
	}
	slices.SortFunc(w.parts, func(a, b *subject) int { return w.compare(a.title, b.title) })
}

// called is what a figure is called in the working of another.
func (w *workings) called(f *figures.Figure, in *subject) string {
	one := w.byName[f.Name]
	if one == nil {
		return w.words.Mid(w.label(f, ""))
	}
	if one.of != in {
		return one.of.title + ": " + w.words.Mid(one.label)
	}
	return w.words.Mid(one.label)
}

// element is one working as elements; href says where that of another stands.
func (w *workings) element(one *working, id string, href func(*figures.Figure) string) *tree.Element {
	div := tree.E("div.working", tree.ID(id), tree.E("p.w-name", tree.E("b", txt(one.label)), tree.Text(" "), tree.E("span.n", txt(w.shownWhole(one.Figure)))))
	link := func(f *figures.Figure) tree.Nodes {
		label := txt(w.called(f, one.of))
		if to := href(f); to != "" {
			return tree.Nodes{tree.E("a", tree.Href(to), label)}
		}
		return tree.Nodes{label}
	}
	called := func(f *figures.Figure) string { return w.called(f, one.of) }
	if w.says(one) {
		how := tree.E("p.w-how")
		for _, p := range one.how {
			if p.of != nil {
				how.Add(link(p.of))
			} else {
				how.Add(txt(p.text))
			}
		}
		div.Add(how)
	}
	if put := w.putIn(one.how, called); put != "" {
		div.Add(tree.E("p.w-put", txt(put)))
	}
	if needs := w.restsOn(one.Figure); len(needs) > 0 {
		var links []tree.Nodes
		for _, n := range needs {
			links = append(links, link(n))
		}
		div.Add(tree.E("p.w-how", phrase(w.restWords(one.Figure, len(needs)), w.list(links))))
	}
	if text := w.origin(one.Figure); text != "" {
		div.Add(tree.E("p.w-src", text))
	}
	return div
}

// says reports whether the formula of a figure says more than its name and value.
func (w *workings) says(one *working) bool {
	text := inWords(one.how, func(f *figures.Figure) string { return w.words.Mid(w.label(f, "")) })
	return text != "" && text != w.shown(one.Figure) && upperFirst(text) != one.label
}

// restWords say that a figure rests on some others, or on more than are named.
func (w *workings) restWords(f *figures.Figure, named int) string {
	if len(f.Needs()) > mostNeeds {
		return w.words.Say("rests_on_more")
	}
	return w.words.Say("rests_on")
}

// usedIn says where the book shows a figure.
func (w *workings) usedIn(one *working) *tree.Element {
	if len(one.used) == 0 {
		return nil
	}
	list := tree.E("p.w-go", txt(w.words.Say("shown_in")+" "))
	for i, n := range one.used {
		if i > 0 {
			list.Add(tree.Text("; "))
		}
		list.Add(tree.E("a", tree.Href(w.places[n].href), txt(w.places[n].title)))
	}
	return list
}

// page is the page of a subject's workings.
func (w *workings) page(s *subject) *tree.Element {
	list := tree.E("section.workings")
	for _, one := range s.list {
		list.Add(w.element(one, one.id, func(f *figures.Figure) string {
			if subject, id := subjectOf(f.Name); subject == s.id {
				return "#" + id
			}
			return workingHref(f)
		}).Add(w.usedIn(one)))
	}
	return tree.E("article.chapter", tree.E("h1", txt(s.title)), tree.E("p.lead", txt(w.words.Say("workings_lead"))), list)
}

// files writes the workings beside the pages: for each subject a page, and the
// same as data for the script.
func (w *workings) files() {
	for _, s := range w.parts {
		d := w.newFrame(s.title)
		d.Description = w.words.Say("all_figures_gloss")
		d.Body = tree.Nodes{w.page(s)}
		d.Parts = w.maker.parts(-1, (*made).href, w.back()...)
		d.Prev = &link{w.words.Say("all_figures"), "figures.html"}
		w.write(workingsFile(s.id, ".html"), d)
		w.pages[workingsFile(s.id, ".js")] = []byte("(window.rickyardWorkings=window.rickyardWorkings||{})[" + w.json(s.id) + "]=" + w.json(w.data(s)) + ";\n")
	}
}

// index is the list of subjects.
func (w *workings) index() *tree.Element {
	list := tree.E("ol.subjects")
	for _, s := range w.parts {
		list.Add(tree.E("li", tree.E("a", tree.Href(workingsFile(s.id, ".html")), txt(s.title)), tree.Text(" "),
			tree.E("span.gloss", txt(w.words.Say("figures_count", w.words.Number(float64(len(s.list)), 0))))))
	}
	return tree.E("article.chapter", tree.E("h1", txt(w.words.Say("all_figures"))), tree.E("p.lead", txt(w.words.Say("all_figures_lead"))), list)
}

// together is the workings that the edition that is one file has for those who
// read it without its script: of sentences and worked tables.
func (w *workings) together() *tree.Element {
	article := tree.E("article.chapter.back-matter", tree.ID("workings"), tree.E("h1", txt(w.words.Say("workings"))), tree.E("p.lead", txt(w.words.Say("workings_lead"))))
	for _, s := range w.parts {
		section := tree.E("section.workings", tree.E("h2", txt(s.title)))
		for _, one := range s.list {
			if one.prose {
				section.Add(w.element(one, "f-"+one.Name, func(f *figures.Figure) string {
					if of := w.byName[f.Name]; of != nil && of.prose {
						return "#f-" + f.Name
					}
					return ""
				}))
			}
		}
		if len(section.Kids) > 1 {
			article.Add(section)
		}
	}
	return article
}

// leadTogether gives the numbers of the edition that is one file an address,
// where there is one without the script. The others are for the script alone: in
// a table the cell says which figure it shows.
func (w *workings) leadTogether(nodes []tree.Node) {
	tree.Elements(nodes, func(e *tree.Element) {
		if e.Name == "td" && len(e.Kids) == 1 {
			if a, ok := e.Kids[0].(*tree.Element); ok && a.Has("data-f") && !w.byName[a.Get("data-f")].prose {
				e.Set("data-f", a.Get("data-f"))
				e.Kids = a.Kids
				return
			}
		}
		name := e.Get("data-f")
		if one := w.byName[name]; one != nil && one.prose && e.Name == "a" {
			*e = *tree.E("a.fig", tree.Href("#f-"+name), tree.Nodes(e.Kids))
		}
	})
}

// packed is data for the script of the edition that is one file, as small as it
// gets: gzip in base64.
func (m *maker) packed(data string) string {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		m.errs.Add(err)
		return ""
	}
	_, _ = z.Write([]byte(data)) // to memory, which does not fail
	_ = z.Close()
	return base64.StdEncoding.EncodeToString(b.Bytes())
}

// allData is all subjects for the script of the edition that is one file.
func (w *workings) allData() map[string]subjectData {
	all := map[string]subjectData{}
	for _, s := range w.parts {
		d := w.data(s)
		for i := range d.Places {
			file, anchor, _ := strings.Cut(d.Places[i][0], ".html")
			d.Places[i][0] = "#" + file + strings.Replace(anchor, "#", "--", 1)
		}
		all[s.id] = d
	}
	return all
}

// A subjectData is a subject for the script: its title, the places that show its
// figures, and each working by its name there.
type subjectData struct {
	Title  string           `json:"t"`
	Places [][2]string      `json:"p"`
	Works  map[string][]any `json:"w"`
}

// hole stands in a formula where a figure is named.
const hole = "\x01"

// silent begins a formula that says no more than the name or the value: only its
// numbers are shown.
const silent = "\x03"

// data is a subject for the script. A working is its label, value, formula with
// holes, the figures that fill them, the places that show it, its source, and
// what it rests on; at the end, what is empty is left out.
func (w *workings) data(s *subject) subjectData {
	d := subjectData{Title: curl(s.title), Places: [][2]string{}, Works: map[string][]any{}}
	at := map[int]int{}
	for _, one := range s.list {
		places := []int{}
		for _, n := range one.used {
			if _, ok := at[n]; !ok {
				at[n] = len(d.Places)
				d.Places = append(d.Places, [2]string{w.places[n].href, curl(w.places[n].title)})
			}
			places = append(places, at[n])
		}
		var how strings.Builder
		fills := []string{}
		if !w.says(one) && len(one.how) > 0 {
			how.WriteString(silent)
		}
		for _, p := range one.how {
			if p.of == nil {
				how.WriteString(curl(p.text))
				continue
			}
			how.WriteString(hole)
			fills = append(fills, w.short(p.of, s))
		}
		rests := []string{}
		needs := w.restsOn(one.Figure)
		for _, n := range needs {
			rests = append(rests, w.short(n, s))
		}
		row := []any{curl(one.label), w.shownWhole(one.Figure), how.String(), fills, places, string(w.origin(one.Figure)), rests}
		if len(needs) > 0 {
			row = append(row, w.restWords(one.Figure, len(needs)))
		}
		d.Works[one.id] = trimmed(row)
	}
	return d
}

// trimmed leaves out what is empty at the end of a row.
func trimmed(row []any) []any {
	for len(row) > 0 {
		switch last := row[len(row)-1].(type) {
		case string:
			if last != "" {
				return row
			}
		case []string:
			if len(last) > 0 {
				return row
			}
		case []int:
			if len(last) > 0 {
				return row
			}
		}
		row = row[:len(row)-1]
	}
	return row
}

// short is a figure's name for the script: without its subject if that is the
// same.
func (w *workings) short(f *figures.Figure, in *subject) string {
	subject, id := subjectOf(f.Name)
	if subject != in.id {
		return f.Name
	}
	if strings.HasPrefix(id, ":") {
		return id
	}
	return "." + id
}

func (m *maker) json(v any) string {
	data, err := json.Marshal(v)
	if err != nil {
		m.errs.Add(err)
	}
	return string(data)
}

// engineSays is a text that the engine wrote.
func (m *maker) engineSays(text string) string { return m.say(say.Text(text)) }

// shownWhole is a figure's value in its working: one of months says them all, or
// where they are lowest and highest.
func (m *maker) shownWhole(f *figures.Figure) string {
	if f.Text {
		return m.say(m.Graph.Base().Text(f))
	}
	if f.Type.Len == 0 {
		return m.shown(f)
	}
	if _, none := m.Graph.Base().None(f); none {
		return m.shown(f)
	}
	months := f.Months()
	if len(months) <= 12 {
		return m.shownMonths(f)
	}
	low, high := slices.Index(months, slices.Min(months)), slices.Index(months, slices.Max(months))
	if low < 0 || high < 0 {
		return m.shownMonths(f)
	}
	at := func(i int) string { return m.say((m.Start + plan.Month(i)).Short()) }
	show := func(i int) string { return m.Style.Text(months[i], f.Unit, f.Step) }
	return m.words.Say("months_between", show(low), at(low), show(high), at(high))
}

// shownMonths writes each month of a figure.
func (m *maker) shownMonths(f *figures.Figure) string {
	var texts []string
	unit := f.Unit
	if m.grows(f) {
		unit = m.Graph.Units.Larger(slices.Max(f.Months()), unit)
	}
	for _, x := range f.Months() {
		texts = append(texts, m.Style.Figures(x, unit, f.Step))
	}
	return strings.TrimSpace(strings.Join(texts, " ") + " " + m.Style.Unit(unit, true))
}
