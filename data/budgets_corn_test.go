package data

import (
	"math"
	"os"
	"testing"
)

// Two published budgets, re-entered under testdata/budgets, come out as printed.
// What neither page prints, the break-even, follows from the printed totals by
// the rule of the same textbook: total cost over yield, and total cost over price.
func TestPublishedCornBudgets(t *testing.T) {
	const bushel = 56 * 0.45359237 // kg of corn: USDA, 56 lb
	for _, c := range []struct {
		name, figure string
		want, within float64 // for what is printed in cents, half of one
		unit         float64 // base units of one of the printed ones
	}{
		// Alabama Cooperative Extension System, corn, north Alabama.
		{"corn-north-alabama", "corn.sales", 900.00, 0.005, 1},
		{"corn-north-alabama", "corn.interest_base", 189.34, 0.005, 1},
		{"corn-north-alabama", "corn.interest", 13.25, 0.005, 1},
		{"corn-north-alabama", "corn.variable_costs", 391.93, 0.005, 1},
		{"corn-north-alabama", "corn.general_overhead", 31.35, 0.005, 1},
		{"corn-north-alabama", "corn.overheads", 66.35, 0.005, 1},
		{"corn-north-alabama", "corn.gross_margin", 900 - 391.93, 0.005, 1},
		{"corn-north-alabama", "corn.net_margin", 900 - 458.28, 0.005, 1},
		{"corn-north-alabama", "corn.break_even_price", 458.28 / 150, 0.005, 1 / bushel},
		{"corn-north-alabama", "corn.hours", 1.20, 0.005, 3600},
		// Kay and Edwards, Farm Management, chapter 10.
		{"corn-textbook", "corn.sales", 325.00, 0.005, 1},
		{"corn-textbook", "corn.variable_costs", 154.70, 0.005, 1},
		{"corn-textbook", "corn.gross_margin", 170.30, 0.005, 1},
		{"corn-textbook", "corn.overheads", 154.00, 0.005, 1},
		{"corn-textbook", "corn.net_margin", 16.30, 0.005, 1},
		{"corn-textbook", "corn.break_even_price", 2.37, 0.005, 1 / bushel},
		// The yield at which sales at 2.50 meet all costs is 123.48 bushels. The
		// engine's volume falls with the costs of the crop instead, so it is lower.
		{"corn-textbook", "corn.break_even_volume", 130 * 154 / 170.30, 0.005, bushel},
	} {
		f, err := Load(os.DirFS("../testdata/budgets/" + c.name))
		if err != nil {
			t.Fatal(err)
		}
		g, err := graph(f)
		if err != nil {
			t.Fatal(err)
		}
		figure := g.Lookup(c.figure)
		if figure == nil {
			t.Errorf("%s: no figure %s", c.name, c.figure)
			continue
		}
		if got := figure.Current() / c.unit; !(math.Abs(got-c.want) <= c.within) {
			t.Errorf("%s: %s is %.4f, want %.4f within %g", c.name, c.figure, got, c.want, c.within)
		}
	}
}
