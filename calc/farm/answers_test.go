package farm_test

import (
	"io/fs"
	"path"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"gopkg.in/yaml.v3"

	"rickyard/calc/quantity"
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

// without takes an enterprise out, with all that names it.
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
					switch {
					case k.Value == id, mentions(k.Value), formula != nil && mentions(formula.Value):
						continue
					case v.Kind == yaml.ScalarNode && mentions(v.Value):
						if k.Value != "amount" {
							continue
						}
						v.Value = "0 " + currencyOf(files)
					}
					sweep(v)
					if v.Kind == yaml.MappingNode && len(v.Content) == 0 && k.Value != "shared" && k.Value != "used_by" {
						continue
					}
					keep = append(keep, k, v)
				}
				n.Content = keep
			case yaml.SequenceNode:
				for _, item := range n.Content {
					if item.Value != id && !mentions(item.Value) {
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

var noLoan = func(t testing.TB, files fstest.MapFS) {
	t.Helper()
	cut("finance.yaml", "sources.bank_loan", "worked.loan_years", "worked.loan_payment", "risk.fixed")(t, files)
	put("farm.yaml", "worked.needed_to_live.formula", "household_spending * 1 year / (1 - tax_share) as GBP")(t, files)
}

func TestWhatOnceWasRefused(t *testing.T) {
	for _, c := range demoChanges {
		t.Run(c.name, func(t *testing.T) {
			checkChange(t, files(t, "demo"), c)
		})
	}
}

func checkChange(t *testing.T, from fs.FS, c change) {
	t.Helper()
	book, err := bookOf(edited(t, from, c.edits...))
	if err == nil {
		_, err = book.Make()
	}
	if err != nil {
		t.Error(err)
	}
}
