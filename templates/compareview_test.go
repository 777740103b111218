package templates_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/content"
	"rickyard/data"
	"rickyard/templates"
	"rickyard/templates/chart/drawer"
)

const compareChapter = "```chapter\ntitle: Compared\nname: compared\n```\n" + `
~~~table
title: All
show: comparison
~~~

~~~table
title: Read
show: reading
~~~

~~~table
title: Ranked
show: ranking
~~~

~~~chart
title: Land and capital
kind: points
show: comparison
~~~

~~~chart
title: Hours
kind: heat
show: comparison
~~~

~~~chart
title: An hour
kind: bars
show: comparison
~~~

~~~chart
title: The money
kind: stack
show: comparison
~~~

~~~chart
title: Swings
kind: ranges
show: sensitivity
of: broilers
~~~

~~~table
title: Where it ends
show: sensitivity
of: broilers
~~~

~~~table
title: A living
show: living
of: [broilers, garden]
~~~

~~~chart
title: Broilers by month
kind: stack
show: hours
of: broilers
target: {label: As much as one can do, figure: farm.people.merrin.hours * 1 year / 12}
~~~

~~~table
title: On one page
show: summary
of: broilers
~~~
`

var mostLine = regexp.MustCompile(`(?m)^  most: ([0-9a-z_][^{}\n#]*)$`)

// comparedDemo is the demo farm's data with a chapter of comparisons; times
// makes the largest scales so many times as large.
func comparedDemo(t *testing.T, times string) (string, []enterprise.Spec, *figures.Graph) {
	t.Helper()
	files := fstest.MapFS{"content/01-compared.md": {Data: []byte(compareChapter)}}
	err := fs.WalkDir(os.DirFS(".."), "data", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".yaml" || strings.Contains(path, "testdata") {
			return err
		}
		raw, err := os.ReadFile(filepath.Join("..", path))
		if strings.Contains(path, "enterprises") && times != "" {
			raw = mostLine.ReplaceAll(raw, []byte(`  most: "`+times+` * ($1)"`))
		}
		files[path] = &fstest.MapFile{Data: raw}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	farm, err := data.Load(files)
	if err != nil {
		t.Fatal(err)
	}
	book, err := content.Load(files)
	if err != nil {
		t.Fatal(err)
	}
	style := quantity.NewStyle(farm.Units, farm.Language)
	worked, err := farm.Whole(style).Work(book.Definitions(), false)
	if err != nil {
		t.Fatal(err)
	}
	graph := worked.Graph
	drawer := drawer.New(templates.ChartScript(), drawer.Options{})
	if err := drawer.Ready(); err != nil {
		t.Skip(err)
	}
	w := &templates.Workbook{Title: "Compared", Language: farm.Language, Metric: true, Book: book, Graph: graph, Style: style,
		Enterprises: farm.Enterprises, Facts: worked.Facts, Tables: worked.Tables, Drawer: drawer}
	pages, err := w.Make()
	if err != nil {
		t.Fatal(err)
	}
	return string(pages["compared.html"]), farm.Enterprises, graph
}

// between is the part of a page from one mark to the next.
func between(t *testing.T, page, from, to string) string {
	t.Helper()
	_, rest, ok := strings.Cut(page, from)
	if !ok {
		t.Fatalf("the page has no %q", from)
	}
	part, _, _ := strings.Cut(rest, to)
	return part
}

var missingWord = regexp.MustCompile(`\[[a-z]+_[a-z_]+\]|%!|NaN`)

func TestCompared(t *testing.T) {
	page, specs, g := comparedDemo(t, "")
	if bad := missingWord.FindString(page); bad != "" {
		t.Errorf("the page says %s", bad)
	}
	table := between(t, page, `<span>All`, "</table>")
	reading := between(t, page, `>Read</h`, "</section>")
	ranking := between(t, page, `<span>Ranked`, "</table>")
	pay := 0
	for _, s := range specs {
		pays := g.Lookup(s.ID+".living_hired.found").Current() == 1
		if pays {
			pay++
		}
		for name, part := range map[string]string{"comparison": table, "ranking": ranking} {
			if strings.Contains(part, `<th scope="row">`+s.Name+"<") != pays {
				t.Errorf("%s pays: %v, but the table of the %s has it otherwise", s.ID, pays, name)
			}
		}
		if !strings.Contains(strings.ToLower(reading), strings.ToLower(s.Name)) {
			t.Errorf("%s is not in the reading", s.ID)
		}
	}
	if pay < 2 {
		t.Fatalf("only %d enterprises pay", pay)
	}
	if n := strings.Count(table, "data-v="); n != pay*10 {
		t.Errorf("%d cells of the comparison can be sorted, want %d", n, pay*10)
	}
	if n := strings.Count(page, `<figure class="chart"`); n < 5 {
		t.Errorf("%d charts were drawn, want the four comparisons and the swings", n)
	}
	if !strings.Contains(page, "As much as one can do 183") {
		t.Error("the chart of hours does not show its target")
	}
	if !strings.Contains(between(t, page, `<span>Where it ends`, "</table>"), "Live weight") {
		t.Error("the broilers' live weight does not move them")
	}
	// What an enterprise sells beyond a channel's limit is told.
	for _, s := range specs {
		for _, word := range []string{"living", "living_hired"} {
			takings, limit := g.Lookup(s.ID+"."+word+".takings.farm_gate"), g.Lookup("prices.channels.farm_gate.limit")
			if takings == nil || limit == nil || !(takings.Current() > limit.Current()) {
				continue
			}
			if !strings.Contains(between(t, page, "beyond its limits", "</table>"), s.Name) {
				t.Errorf("%s sells more at the gate than it bears, and the reading does not tell", s.ID)
			}
		}
	}
}

// TestComparedWithout: where none pays, nothing fails and the reasons are told.
func TestComparedWithout(t *testing.T) {
	page, specs, g := comparedDemo(t, "0.1")
	if bad := missingWord.FindString(page); bad != "" {
		t.Errorf("the page says %s", bad)
	}
	others := between(t, page, "at their best scale", "</table>")
	for _, s := range specs {
		f := g.Lookup(s.ID + ".living_hired.scale")
		reason, none := g.Base().None(f)
		if !none {
			continue
		}
		if !strings.Contains(page, strings.TrimSuffix(reason.String()[1:], ".")[:20]) {
			t.Errorf("why %s can't pay is not told: %s", s.ID, reason)
		}
		if g.Lookup(s.ID+".at_best.found").Current() == 1 && !strings.Contains(others, s.Name) {
			t.Errorf("%s is not shown at its best", s.ID)
		}
	}
}
