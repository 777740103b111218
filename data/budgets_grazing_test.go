package data_test

import (
	"io/fs"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/source"
	"rickyard/calc/trade"
	"rickyard/data"
)

// grazingBook loads a workbook folder and works its figures out; edit may
// change files before.
func grazingBook(t *testing.T, dir string, edit func(fstest.MapFS)) *figures.Graph {
	t.Helper()
	files := fstest.MapFS{}
	root := os.DirFS(dir)
	err := fs.WalkDir(root, ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		b, err := fs.ReadFile(root, path)
		files[path] = &fstest.MapFile{Data: b}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if edit != nil {
		edit(files)
	}
	f, err := data.Load(files)
	if err != nil {
		t.Fatal(err)
	}
	definitions := append(f.Definitions, enterprise.Definitions(f.Enterprises, enterprise.Context{
		Currency: f.Currency, Place: source.Span{File: f.Files[0].Span(0, 0).File},
	})...)
	g, err := figures.Build(f.Units, f.Horizon, definitions, slices.Concat(enterprise.Functions, trade.Functions)...)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// shown is a figure's value in the unit that it is shown in.
func shown(t *testing.T, g *figures.Graph, name string) float64 {
	t.Helper()
	f := g.Lookup(name)
	if f == nil {
		t.Fatalf("no figure %s", name)
	}
	return g.Base().Of(f) / f.Unit.Factor
}

type published struct {
	name   string
	want   float64
	within float64
}

func compare(t *testing.T, g *figures.Graph, rows []published) {
	t.Helper()
	for _, c := range rows {
		if got := shown(t, g, c.name); !(math.Abs(got-c.want) <= c.within) {
			t.Errorf("%s is %.4f, published %.4f", c.name, got, c.want)
		}
	}
}

// Texas A&M AgriLife Extension, cow-calf budget of 2014 for 200 cows, Panhandle
// District 1. Its break-even price of calves sets cull cows against costs, as
// this program does with by-products.
func TestCowCalfBudget(t *testing.T) {
	g := grazingBook(t, "../testdata/budgets/cow-calf-panhandle", nil)
	compare(t, g, []published{
		{"cowcalf.steer_calves.takings", 82556.25, 0.005},
		{"cowcalf.heifer_calves.takings", 38237.50, 0.005},
		{"cowcalf.cull_cows.takings", 20640, 0.005},
		{"cowcalf.sales", 141433.75, 0.005},
		{"cowcalf.variable_costs", 45607.03, 0.02},
		{"cowcalf.gross_margin", 95826.72, 0.02},
		{"cowcalf.land_charge", 32500, 0.005},
		{"cowcalf.overheads", 46021.68, 0.005},
		{"cowcalf.net_margin", 49805.04, 0.02},
		{"cowcalf.break_even_price", 106.79, 0.005}, // dollars for 100 lb
	})
	variable := (shown(t, g, "cowcalf.variable_costs") - shown(t, g, "cowcalf.side_sales")) / shown(t, g, "cowcalf.output")
	if math.Abs(variable-37.56) > 0.005 {
		t.Errorf("break-even over variable costs is %.4f, published 37.56", variable)
	}
	// Printed for one cow.
	if each := shown(t, g, "cowcalf.gross_margin") / 200; math.Abs(each-479.13) > 0.006 {
		t.Errorf("gross margin of a cow is %.4f, published 479.13", each)
	}
}

// Texas A&M AgriLife Extension, stocker budget of 2016 for 800 calves on
// grazed-out wheat, Rolling Plains District 3: a year that loses money. Its
// first page divides costs by the weight of a calf that lives (178.50); its
// table of sensitivity by the weight sold, deaths taken off (184.02), which is
// what breaks even.
func TestStockerBudget(t *testing.T) {
	g := grazingBook(t, "../testdata/budgets/stocker-rolling-plains", nil)
	compare(t, g, []published{
		{"stocker.sales", 987072, 0.005},
		{"stocker.stocker_purchase", 855000, 0.005},
		{"stocker.variable_costs", 1129460.63, 0.02},
		{"stocker.gross_margin", -142388.63, 0.02},
		{"stocker.overheads", 5781.13, 0.005},
		{"stocker.net_margin", -148169.76, 0.02},
		{"stocker.break_even_price", 184.02, 0.005},
	})
	if alive := shown(t, g, "stocker.break_even_price") * 0.97; math.Abs(alive-178.50) > 0.005 {
		t.Errorf("break-even on the weight of all calves bought is %.4f, published 178.50", alive)
	}
	// At the break-even price nothing is left.
	g = grazingBook(t, "../testdata/budgets/stocker-rolling-plains", func(files fstest.MapFS) {
		replaceIn(t, files, "data/enterprises/stocker.yaml", "price: 160 USD/uscwt", "price: 184.02 USD/uscwt")
	})
	if left := shown(t, g, "stocker.net_margin"); math.Abs(left) > 0.005*6169.2 {
		t.Errorf("at the break-even price %.2f is left", left)
	}
}

func replaceIn(t *testing.T, files fstest.MapFS, path, old, with string) {
	t.Helper()
	before, after, found := strings.Cut(string(files[path].Data), old)
	if !found {
		t.Fatalf("%s has no %q", path, old)
	}
	files[path] = &fstest.MapFile{Data: []byte(before + with + after)}
}

// A mixed herd in the units of Regulation (EC) 1200/2009, Annex I, as the
// Eurostat glossary gives them; the sum worked out apart.
func TestLivestockUnits(t *testing.T) {
	g := grazingBook(t, "../testdata/livestock-units", nil)
	compare(t, g, []published{
		{"farm.units", 50.9, 0.001},
		{"farm.density", 1.590625, 1e-6}, // a hectare
	})
}
