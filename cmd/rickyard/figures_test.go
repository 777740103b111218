package main

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"rickyard/calc/figures"
	"rickyard/templates"
	"rickyard/templates/chart/drawer"
)

func demoDrawer(t testing.TB) *drawer.Drawer {
	t.Helper()
	drawer := drawer.New(templates.ChartScript(), drawer.Options{CacheDir: filepath.Join(os.TempDir(), "rickyard-test-cache", "demo")})
	if err := drawer.Ready(); err != nil {
		t.Fatal(err)
	}
	return drawer
}

// TestOnePriceChangesWhatDependsOnIt edits one price of the demo farm at a
// time: exactly the figures that the graph says depend on it may change.
func TestOnePriceChangesWhatDependsOnIt(t *testing.T) {
	for _, edit := range []struct{ name, file, old, new string }{
		{"broilers.grower_feed", "data/enterprises/broilers.yaml", "grower_feed: {value: 0.52 GBP/kg", "grower_feed: {value: 0.55 GBP/kg"},
		{"prices.chicken.farm_gate", "data/prices.yaml", "farm_gate: {value: 9.60 GBP/kg", "farm_gate: {value: 9.10 GBP/kg"},
	} {
		t.Run(edit.name, func(t *testing.T) {
			dir := copyFolder(t, repo)
			before, graph := figuresOf(t, dir)
			replace(t, filepath.Join(dir, edit.file), edit.old, edit.new)
			after, _ := figuresOf(t, dir)

			input := graph.Lookup(edit.name)
			if input == nil {
				t.Fatalf("the demo farm has no %s", edit.name)
			}
			may := map[string]bool{edit.name: true}
			for _, f := range graph.All() {
				if slices.Contains(f.Leaves(), input) {
					may[f.Name] = true
				}
			}
			var changed []string
			for name, r := range before {
				if !reflect.DeepEqual(r, after[name]) {
					changed = append(changed, name)
					if !may[name] {
						t.Errorf("%s changed, and does not depend on %s", name, edit.name)
					}
				}
			}
			if len(before) != len(after) {
				t.Errorf("%d figures before, %d after", len(before), len(after))
			}
			// What depends on a price need not change with it: a check holds as
			// before, the greatest of several sums is another. Most do, and these.
			for _, name := range []string{edit.name, "broilers.gross_margin", "broilers.net_margin", "broilers.return_per_hour", "broilers.cash_by_month"} {
				if !slices.Contains(changed, name) {
					t.Errorf("%s did not change", name)
				}
			}
			if len(changed) < len(may)/3 {
				t.Errorf("of %d figures that depend on it %d changed", len(may), len(changed))
			}
			if len(changed) > len(before)/2 {
				t.Errorf("%d of %d figures changed", len(changed), len(before))
			}
		})
	}
}

func figuresOf(t *testing.T, dir string) (map[string]record, *figures.Graph) {
	t.Helper()
	book, _, err := load(dir)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := figuresJSON(book)
	if err != nil {
		t.Fatal(err)
	}
	return readFigures(t, raw), book.Graph
}
