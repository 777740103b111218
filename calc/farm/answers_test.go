package farm_test

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"gopkg.in/yaml.v3"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/data"
	"rickyard/templates"
	"rickyard/templates/chart"
)

// An edit changes a workbook's files.
type edit func(t testing.TB, files fstest.MapFS)

// edited are the files of a workbook after some edits.
func edited(t testing.TB, from fs.FS, edits ...edit) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	for _, folder := range []string{"data", "content"} {
		err := fs.WalkDir(from, folder, func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || path.Ext(name) == ".go" || strings.Contains(name, "testdata") {
				return err
			}
			text, err := fs.ReadFile(from, name)
			files[name] = &fstest.MapFile{Data: text}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, e := range edits {
		e(t, files)
	}
	return files
}

// yamlEdit changes one YAML file.
func yamlEdit(t testing.TB, files fstest.MapFS, file string, change func(root *yaml.Node)) {
	t.Helper()
	var doc yaml.Node
	if f := files[file]; f == nil {
		return
	} else if err := yaml.Unmarshal(f.Data, &doc); err != nil {
		t.Fatal(err)
	}
	change(doc.Content[0])
	text, err := yaml.Marshal(&doc)
	if err != nil {
		t.Fatal(err)
	}
	files[file] = &fstest.MapFile{Data: text}
}

// key returns the value behind a key of a mapping, and its place; nil if it has
// none.
func key(n *yaml.Node, name string) (*yaml.Node, int) {
	if n != nil && n.Kind == yaml.MappingNode {
		for i := 0; i < len(n.Content); i += 2 {
			if n.Content[i].Value == name {
				return n.Content[i+1], i
			}
		}
	}
	return nil, 0
}

// put writes a value, in YAML, behind a path of keys.
func put(file, at, value string) edit {
	return func(t testing.TB, files fstest.MapFS) {
		t.Helper()
		yamlEdit(t, files, "data/"+file, func(n *yaml.Node) {
			for _, name := range strings.Split(at, ".") {
				next, _ := key(n, name)
				if next == nil {
					next = &yaml.Node{Kind: yaml.MappingNode}
					n.Content = append(n.Content, &yaml.Node{Kind: yaml.ScalarNode, Value: name}, next)
				}
				n = next
			}
			var doc yaml.Node
			if err := yaml.Unmarshal([]byte(value), &doc); err != nil {
				t.Fatal(err)
			}
			*n = *doc.Content[0]
		})
	}
}

// cut takes out what stands behind paths of keys; * stands for every key.
func cut(file string, paths ...string) edit {
	return func(t testing.TB, files fstest.MapFS) {
		t.Helper()
		yamlEdit(t, files, "data/"+file, func(root *yaml.Node) {
			for _, at := range paths {
				cutAt(root, strings.Split(at, "."))
			}
		})
	}
}

func cutAt(n *yaml.Node, at []string) {
	if n == nil || n.Kind != yaml.MappingNode {
		return
	}
	if at[0] == "*" {
		for i := 1; i < len(n.Content); i += 2 {
			cutAt(n.Content[i], at[1:])
		}
		return
	}
	value, i := key(n, at[0])
	switch {
	case value == nil:
	case len(at) > 1:
		cutAt(value, at[1:])
	default:
		n.Content = slices.Delete(n.Content, i, i+2)
	}
}

// without takes out an enterprise, or another root of names, with all that names
// it; an amount of a cost is nought then.
func without(id string) edit {
	return func(t testing.TB, files fstest.MapFS) {
		t.Helper()
		delete(files, "data/enterprises/"+id+".yaml")
		mentions := func(text string) bool {
			at := strings.Index(text, id+".")
			return at >= 0 && (at == 0 || !strings.ContainsAny(text[at-1:at], "abcdefghijklmnopqrstuvwxyz_"))
		}
		var sweep func(n *yaml.Node)
		sweep = func(n *yaml.Node) {
			var keep []*yaml.Node
			switch n.Kind {
			case yaml.MappingNode:
				for i := 0; i < len(n.Content); i += 2 {
					k, v := n.Content[i], n.Content[i+1]
					formula, _ := key(v, "formula")
					if formula != nil && mentions(formula.Value) && k.Value == "amount" {
						*v = yaml.Node{Kind: yaml.ScalarNode, Value: formula.Value}
						formula = nil
					}
					switch {
					case k.Value == id && !named(v), k.Value == "set" && len(v.Content) == 0, mentions(k.Value), formula != nil && mentions(formula.Value):
						continue
					case v.Kind == yaml.ScalarNode && mentions(v.Value):
						if k.Value != "amount" {
							continue
						}
						v.Value = "0 " + currencyOf(files)
					}
					sweep(v)
					if set, _ := key(v, "set"); set == nil && k.Value != "set" && isScenario(v) {
						continue
					}
					if k.Value == "set" && len(v.Content) == 0 {
						continue
					}
					keep = append(keep, k, v)
				}
				n.Content = keep
			case yaml.SequenceNode:
				for _, item := range n.Content {
					cost, _ := key(item, "cost")
					amount, _ := key(item, "amount")
					if item.Value != id && !mentions(item.Value) && (amount == nil || cost != nil || !mentions(amount.Value)) {
						sweep(item)
						keep = append(keep, item)
					}
				}
				n.Content = keep
			}
		}
		for name := range files {
			if strings.HasPrefix(name, "data/") && path.Ext(name) == ".yaml" && !strings.HasSuffix(name, "cases.yaml") {
				yamlEdit(t, files, name, sweep)
			}
			if path.Ext(name) == ".csv" {
				var rows []string
				for _, row := range strings.Split(string(files[name].Data), "\n") {
					if !strings.Contains(row, ","+id+",") {
						rows = append(rows, row)
					}
				}
				files[name] = &fstest.MapFile{Data: []byte(strings.Join(rows, "\n"))}
			}
		}
	}
}

// named reports whether something of a name is no enterprise's: a kind of land.
func named(v *yaml.Node) bool {
	area, _ := key(v, "area")
	return area != nil
}

// isScenario reports whether something says what a scenario is of.
func isScenario(v *yaml.Node) bool {
	label, _ := key(v, "label")
	note, _ := key(v, "note")
	return label != nil && note != nil && len(v.Content) <= 6 && v.Content[0].Value == "label" && v.Content[2].Value == "note"
}

func currencyOf(files fstest.MapFS) string {
	var farm struct{ Currency string }
	_ = yaml.Unmarshal(files["data/farm.yaml"].Data, &farm)
	return farm.Currency
}

// A plainDrawer draws no charts, but has them laid out as far as words go.
type plainDrawer struct{}

func (plainDrawer) Ready() error { return nil }

func (plainDrawer) Draw(c *chart.Chart) (chart.Drawing, error) {
	return chart.Drawing{Wide: "<svg></svg>", Narrow: "<svg></svg>", ID: "c", Alt: "a chart"}, nil
}

// bookOf works a workbook out as the command does.
func bookOf(files fs.FS) (*templates.Workbook, error) {
	f, err := data.Load(files)
	if err != nil {
		return nil, err
	}
	book, err := content.Load(files)
	if err != nil {
		return nil, err
	}
	style := quantity.NewStyle(f.Units, f.Language)
	words, err := templates.ReadWordsFor(f.Language)
	if err != nil {
		return nil, err
	}
	style.Language = words
	whole := f.Whole(style)
	names := whole.Names()
	book.Settle(names.Has, names)
	if err := book.CheckShows(f.Names).Err(); err != nil {
		return nil, err
	}
	w, err := whole.Work(book.Definitions(), false)
	if err != nil {
		return nil, err
	}
	book.Hide(func(f *content.Figure) bool {
		holds := w.Graph.Lookup(f.Full)
		return holds != nil && w.Graph.Base().Holds(holds)
	})
	return &templates.Workbook{
		Title: f.Book.Title, Subtitle: f.Book.Subtitle, Author: f.Book.Author, Edition: f.Book.Edition,
		Farm: f.Name, Language: f.Language, Metric: f.Metric, Book: book, Graph: w.Graph, Style: style,
		Enterprises: f.Enterprises, Planned: whole.Running(), Start: whole.Plan.Start, Facts: w.Facts, Tables: w.Tables,
		Drawer: plainDrawer{},
	}, nil
}

// A change is a farm altered in what there is of it.
type change struct {
	name  string
	edits []edit
	why   string // what the one mistake must say; "" for a workbook
}

func one(name string, edits ...edit) change { return change{name: name, edits: edits} }

// running has the plan run some enterprises.
func running(ids ...string) edit {
	return put("farm.yaml", "plan.enterprises", "["+strings.Join(ids, ", ")+"]")
}

// demoChanges are those that once refused the demo.
var demoChanges = []change{
	one("savings of 20,000", put("finance.yaml", "sources.savings.amount", "20_000 GBP")),
	one("a loan of nought", put("finance.yaml", "sources.bank_loan.amount", "0 GBP")),
	one("no income from off the farm", cut("farm.yaml", "people.jonah.income", "people.jonah.elsewhere", "people.jonah.until")),
	one("horizon 4", put("farm.yaml", "horizon", "4 year")),
	one("horizon 1", put("farm.yaml", "horizon", "1 year"), cut("finance.yaml", "scenarios.*.over")),
	one("a start a year later", put("finance.yaml", "plan.start", "2028-01")),
	one("garden alone", running("garden")),
	one("a target of nought", put("farm.yaml", "inputs.target_income", "0 GBP")),
	one("no loan", noLoan),
}

// noLoan takes out the loan of the demo, with what names it.
func noLoan(t testing.TB, files fstest.MapFS) {
	t.Helper()
	cut("finance.yaml", "sources.bank_loan", "worked.loan_years", "worked.loan_payment", "risk.fixed")(t, files)
	put("farm.yaml", "worked.needed_to_live.formula", "household_spending * 1 year / (1 - tax_share) as GBP")(t, files)
}

// noHours takes out what rests on people's hours.
func noHours(t testing.TB, files fstest.MapFS) {
	t.Helper()
	yamlEdit(t, files, "data/finance.yaml", func(root *yaml.Node) {
		scenarios, _ := key(root, "scenarios")
		for i := 1; scenarios != nil && i < len(scenarios.Content); i += 2 {
			if set, _ := key(scenarios.Content[i], "set"); set != nil && strings.HasPrefix(set.Content[0].Value, "farm.people.") {
				scenarios.Content = slices.Delete(scenarios.Content, i-1, i+1)
				i -= 2
			}
		}
	})
}

// shared puts the chapters that the case farms share in place of the book's own.
func shared(t testing.TB, all fstest.MapFS) {
	t.Helper()
	for name := range all {
		if strings.HasPrefix(name, "content/") {
			delete(all, name)
		}
	}
	for name, f := range files(t, "cellar-nine").(fstest.MapFS) {
		if strings.HasPrefix(name, "content/") {
			all[name] = f
		}
	}
}

// noLand takes out the farm's land, and the lines of enterprises that hold it.
func noLand(t testing.TB, files fstest.MapFS) {
	t.Helper()
	cut("farm.yaml", "land")(t, files)
	for name := range files {
		if path.Dir(name) != "data/enterprises" {
			continue
		}
		yamlEdit(t, files, name, func(root *yaml.Node) {
			if lines, _ := key(root, "lines"); lines != nil {
				lines.Content = slices.DeleteFunc(lines.Content, func(line *yaml.Node) bool {
					land, _ := key(line, "land")
					return land != nil
				})
			}
		})
	}
}

// What was refused once is a workbook, with the demo's own chapters.
func TestWhatOnceWasRefused(t *testing.T) {
	for _, c := range demoChanges {
		t.Run(c.name, func(t *testing.T) { ends(t, files(t, "demo"), c, true) })
	}
}

// structures are all ways in which what there is of a farm is changed.
func structures(t testing.TB, from fs.FS) []change {
	t.Helper()
	f, err := data.Load(from)
	if err != nil {
		t.Fatal(err)
	}
	var all []change
	add := func(name string, edits ...edit) { all = append(all, one(name, edits...)) }
	for years := 1; years <= 30; years++ {
		add(fmt.Sprint("horizon ", years), put("farm.yaml", "horizon", fmt.Sprint(years, " year")))
	}
	start := f.Whole(quantity.NewStyle(f.Units, f.Language)).Plan.Start
	for _, months := range []plan.Month{-240, -12, -1, 1, 5, 12, 120} {
		add(fmt.Sprint("start moved by ", months, " months"), put("finance.yaml", "plan.start", (start+months).String()))
	}
	add("nothing run", running())
	add("all run", running(f.Names...))
	var loans []string
	for _, id := range f.Names {
		add(id+" alone", running(id))
		add("all but "+id, running(slices.DeleteFunc(slices.Clone(f.Names), func(x string) bool { return x == id })...))
		add("no "+id, shared, without(id))
	}
	for _, s := range f.Sources {
		if s.Kind == "loan" {
			loans = append(loans, "sources."+s.ID)
		}
	}
	loan := fmt.Sprintf("{kind: loan, label: Another loan, amount: 1_000 %s, rate: 5 %%/year, term: 4 year, received: %s}", f.Currency, (start + 5).String())
	add("another loan", put("finance.yaml", "sources.another_loan", loan))
	unsaid := cut("finance.yaml", loans...)
	if f.Name == "Sallow Bank" {
		unsaid = noLoan
	}
	add("no loan", unsaid)
	add("no sources", unsaid, cut("finance.yaml", "sources"))
	add("no ranges said", cut("finance.yaml", "risk"))
	add("no target", put("farm.yaml", "inputs.target_income", "0 "+f.Currency))
	add("channels without limits", cut("prices.yaml", "channels.*.limit"))
	add("no uses", shared, cut("finance.yaml", "uses"), without("uses"))
	add("no overheads", shared, cut("finance.yaml", "overheads"), without("overheads"))
	add("no overdraft", shared, cut("finance.yaml", "plan.overdraft"))
	add("no scenarios", shared, cut("finance.yaml", "scenarios"))
	add("nobody's hours known", shared, cut("farm.yaml", "people.*.hours", "people.*.elsewhere"), noHours)
	add("no people", shared, cut("farm.yaml", "people"), noHours)
	add("no land", shared, noLand, without("farm.land"), without("timber"))
	add("no infrastructure", shared, put("infrastructure.yaml", "items", "{}"), without("infrastructure"))
	return all
}

// TestEveryFarmHasAnAnswer changes what there is of each farm: each change ends
// in a workbook, or in one mistake at the input itself. All with RICKYARD_LONG,
// else a sample.
func TestEveryFarmHasAnAnswer(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 2))
	for _, name := range farms(t) {
		from := files(t, name)
		for _, c := range structures(t, from) {
			if !long() && rng.IntN(24) > 0 {
				continue
			}
			t.Run(name+"/"+c.name, func(t *testing.T) { ends(t, from, c, rng.IntN(5) == 0) })
		}
	}
}

// ends checks how a change ends; pages says to make them too.
func ends(t *testing.T, from fs.FS, c change, pages bool) {
	t.Helper()
	book, err := bookOf(edited(t, from, c.edits...))
	if err == nil && pages {
		_, err = book.Make()
	}
	var mistakes source.Errors
	errors.As(err, &mistakes)
	switch {
	case c.why == "" && err != nil:
		t.Error(err)
	case c.why != "" && (len(mistakes) != 1 || !strings.Contains(mistakes[0].Error(), c.why)):
		t.Errorf("expected one mistake, %q, but got %v", c.why, err)
	}
}

// Two inputs at nought at a time: whatever has no answer then says why.
func TestPairsAtNought(t *testing.T) {
	w := worked(t, files(t, "demo"))
	r := reachOf(w.Graph)
	base := w.Graph.Base()
	v := base.Clone()
	rng := rand.New(rand.NewPCG(3, 5))
	pairs := 40
	if long() {
		pairs = 500
	}
	for range pairs {
		a, b := r.inputs[rng.IntN(len(r.inputs))], r.inputs[rng.IntN(len(r.inputs))]
		v.CopyFrom(base)
		v.Set(a, 0)
		v.Set(b, 0)
		v.Run()
		for _, f := range r.moved(base, v) {
			if f.Text {
				continue
			}
			if why, none := v.None(f); none && (why == "" || why == "it can't be worked out") {
				t.Errorf("%s has no answer at %s and %s of nought, and doesn't say why: %q", f.Name, a.Name, b.Name, why)
			}
		}
	}
}

// What has no answer is never counted as nothing: where an input has none, what
// of the books moves with it has none either.
func TestNoAnswerIsNeverNought(t *testing.T) {
	w := worked(t, files(t, "demo"))
	r := reachOf(w.Graph)
	base := w.Graph.Base()
	v := base.Clone()
	rng := rand.New(rand.NewPCG(4, 6))
	var sums []*figures.Figure
	for _, name := range []string{"profit", "cash_end", "sales", "variable_costs", "overheads", "depreciation", "interest", "drawings", "balance.assets", "balance.liabilities"} {
		for year := 1; year <= 5; year++ {
			if f := w.Graph.Lookup(fmt.Sprintf("plan.year%d.%s", year, name)); f != nil {
				sums = append(sums, f)
			}
		}
	}
	if len(sums) < 30 {
		t.Fatalf("only %d sums of the books", len(sums))
	}
	tried := 0
	for _, in := range r.inputs {
		if in.Type.Kind == formula.Date || in.Type.Truth() || in.Type.Kind == formula.Choice || !long() && rng.IntN(6) > 0 {
			continue
		}
		moves := map[*figures.Figure]bool{}
		v.CopyFrom(base)
		set(v, in, 1.37*value(base, in))
		v.Run()
		for _, f := range sums {
			moves[f] = v.Of(f) != base.Of(f)
		}
		v.CopyFrom(base)
		v.Set(in, math.NaN())
		v.Run()
		for _, f := range sums {
			if _, none := v.None(f); moves[f] && !none {
				t.Errorf("%s has no answer, and %s has %v", in.Name, f.Name, v.Of(f))
			}
			if moves[f] {
				tried++
			}
		}
	}
	if tried < 100 {
		t.Errorf("only %d figures were tried", tried)
	}
}

var (
	firstNumber = regexp.MustCompile(`[0-9][0-9_.]*`)
	lowest      = regexp.MustCompile(`^([^{}]*\blow: )[0-9][0-9_.]*`)
)

// Every input at nought, written into the data: the demo's own chapters still
// make a workbook, or the input itself says why it can't be nought.
func TestInputsAtNought(t *testing.T) {
	from := files(t, "demo")
	w := worked(t, from)
	rng := rand.New(rand.NewPCG(5, 7))
	for _, in := range reachOf(w.Graph).inputs {
		at, value := in.Place.Position(), in.Place.Text()
		number := firstNumber.FindStringIndex(value)
		if number == nil || in.Type.Len > 0 || in.Type.Kind == formula.Date || !strings.HasPrefix(at.File, "data/") || strings.Contains(value, "\n") || !long() && rng.IntN(60) > 0 {
			continue
		}
		t.Run(in.Name, func(t *testing.T) {
			nought := func(t testing.TB, all fstest.MapFS) {
				lines := strings.Split(string(all[at.File].Data), "\n")
				line := lines[at.Line-1]
				begin := strings.Index(line, value)
				if begin < 0 {
					t.Skip("not written on one line")
				}
				rest := lowest.ReplaceAllString(line[begin+number[1]:], "${1}0")
				lines[at.Line-1] = line[:begin+number[0]] + "0" + rest
				all[at.File] = &fstest.MapFile{Data: []byte(strings.Join(lines, "\n"))}
			}
			book, err := bookOf(edited(t, from, nought))
			if err == nil && rng.IntN(6) == 0 {
				_, err = book.Make()
			}
			var mistakes source.Errors
			switch {
			case err == nil:
			case !errors.As(err, &mistakes) || len(mistakes) != 1:
				t.Error(err)
			default:
				t.Log(err)
				if where := mistakes[0].Span.Position(); where.File != at.File || where.Line != at.Line {
					t.Errorf("the mistake is not at the input: %v", err)
				}
			}
		})
	}
}
