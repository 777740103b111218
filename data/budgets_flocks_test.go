package data_test

import (
	"math"
	"testing"
	"testing/fstest"
)

// Rutgers Cooperative Extension, northeastern United States 1996, table 37: a
// house of laying hens. Fowl is printed 40 cents short of its weight times its
// price, and all that rests on it with it. The table prints no break-even price;
// that here is worked out of its totals: all costs less fowl, over all dozens.
func TestLayersBudget(t *testing.T) {
	g := grazingBook(t, "../testdata/budgets/layers-northeast", nil)
	compare(t, g, []published{
		{"layers.extra_large_sold.takings", 256388.60, 0.005},
		{"layers.large_sold.takings", 490018.00, 0.005},
		{"layers.medium_sold.takings", 188834.80, 0.005},
		{"layers.fowl_sold.takings", 40497.00, 0.41},
		{"layers.sales", 1051436.45, 0.41},
		{"layers.pullets", 244944.00, 0.005},
		{"layers.feed_cost", 518100.00, 0.005},
		{"layers.hired_labor", 16633.46, 0.005},
		{"layers.before_interest", 806677.46, 0.005},
		{"layers.interest", 6453.42, 0.005},
		{"layers.variable_costs", 813130.88, 0.01},
		{"layers.gross_margin", 238305.57, 0.41},
		{"layers.land_charge", 250, 0.005},
		{"layers.management_fee", 64865.42, 0.005},
		{"layers.net_margin", 59672.15, 0.41},
		{"layers.break_even_price", (991764.30 - 40497.00) / 2135017, 0.41 / 2135017},
	})
	if fixed := shown(t, g, "layers.overheads") - shown(t, g, "layers.management_fee"); math.Abs(fixed-113768) > 0.005 {
		t.Errorf("fixed costs are %.2f, published 113768.00", fixed)
	}
}

// Texas Agricultural Extension Service 1988, finishing hogs. The break-even prices
// are printed with two decimals out of costs that have more than those printed: a
// cent on costs of 2.156 hundredweight.
func TestHogsBudget(t *testing.T) {
	g := grazingBook(t, "../testdata/budgets/hogs-rolling-plains", nil)
	compare(t, g, []published{
		{"hogs.sales", 94.86, 0.005},
		{"hogs.variable_costs", 108.29, 0.005},
		{"hogs.gross_margin", -13.43, 0.005},
		{"hogs.overheads", 23.79, 0.005},
		{"hogs.net_margin", -37.22, 0.005},
		{"hogs.break_even_price", 61.25, 0.015},
	})
	if over := shown(t, g, "hogs.variable_costs") / shown(t, g, "hogs.output"); math.Abs(over-50.22) > 0.01 {
		t.Errorf("break-even over variable costs is %.4f, published 50.22", over)
	}
	g = grazingBook(t, "../testdata/budgets/hogs-rolling-plains", func(files fstest.MapFS) {
		replaceIn(t, files, "data/enterprises/hogs.yaml", "price: 44 USD/uscwt", "price: 61.25 USD/uscwt")
	})
	if left := shown(t, g, "hogs.net_margin"); math.Abs(left) > 0.015*2.156 {
		t.Errorf("at the published break-even price %.4f is left", left)
	}
}
