package plan

import (
	"math"
	"testing"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// ratiosOf works out what a lender reckons of a year with the given amounts, in
// pounds; all others are nought.
func ratiosOf(t *testing.T, amounts map[string]float64) (value func(name string) float64) {
	t.Helper()
	units, err := quantity.NewSystem("GBP", nil)
	if err != nil {
		t.Fatal(err)
	}
	p := &Declared{Farm: &Farm{Currency: "GBP"}, units: units, made: map[string]bool{}}
	p.ratios(0)
	all, defined := p.Definitions, map[string]bool{}
	for _, d := range p.Definitions {
		defined[d.Name] = true
	}
	for _, d := range p.Definitions {
		f, err := formula.Parse(d.Formula, units)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range f.Names() {
			if defined[name.Text] {
				continue
			}
			defined[name.Text] = true
			all = append(all, figures.Definition{Name: name.Text, Value: quantity.Quantity{Value: amounts[name.Text[len("plan.year1."):]], Unit: units.Money()}})
		}
	}
	g, err := figures.Build(units, 1, all)
	if err != nil {
		t.Fatal(err)
	}
	return func(name string) float64 { return g.Lookup("plan.year1." + name).Current() }
}

func TestRatios(t *testing.T) {
	near := func(what string, got, want, within float64) {
		t.Helper()
		if !(math.Abs(got-want) <= within) {
			t.Errorf("%s is %v, want %v", what, got, want)
		}
	}
	// University of Minnesota Extension, ratios page: 200,000 over 120,000.
	year := ratiosOf(t, map[string]float64{"balance.bank": 150_000, "balance.stock": 50_000, "balance.loans_soon": 100_000, "balance.tax_due": 20_000})
	near("current ratio", year("current_ratio"), 1.67, 0.005)
	year = ratiosOf(t, map[string]float64{"balance.bank": 1, "balance.tax_back": 2, "balance.stock": 4, "balance.growing": 8,
		"balance.overdraft": 1, "balance.sales_tax_due": 1, "balance.loans_soon": 1, "balance.interest_due": 1, "balance.tax_due": 1})
	near("current ratio of all its parts", year("current_ratio"), 3, 1e-12)

	// Averages of 76 farms in 2004, Minnesota college farm business programme:
	// operating margin times asset turnover is the return on assets.
	year = ratiosOf(t, map[string]float64{"profit": 14.7, "interest": 4, "overdraft_interest": 1, "drawings": 14.7 + 5 - 11.9, "sales": 100, "balance.assets": 100 / 0.471, "balance.liabilities": 48 / 0.471})
	near("operating margin", year("operating_margin"), 0.119, 1e-12)
	near("return on assets by parts", year("operating_margin")*0.471, 0.056, 0.0005)
	near("return on assets", year("return_on_assets"), 0.056, 0.0005)
	debt := year("debt_to_assets")
	near("debt to equity of the same farms", debt/(1-debt), 0.92, 0.005)

	// Set L of the checks gives the definition; numbers by pencil.
	year = ratiosOf(t, map[string]float64{"profit": 30_000, "off_farm": 5_000, "depreciation": 8_000, "interest": 4_000, "tax": 3_000, "drawings": 24_000, "principal": 12_000})
	near("term debt cover", year("debt_service_cover"), 1.25, 1e-12)

	// Fixed costs of 7,000 and variable ones of 18,000 in sales of 30,000.
	year = ratiosOf(t, map[string]float64{"sales": 30_000, "variable_costs": 19_000, "channel_fees": 1_000, "stock_used": 500, "growing_change": 2_500, "profit": 5_000})
	near("break-even turnover", year("break_even_turnover"), 17_500, 1e-9)
	year = ratiosOf(t, map[string]float64{"sales": 30_000, "variable_costs": 18_000, "profit": 5_000, "depreciation": 1_000, "drawings": 4_000, "off_farm": 500, "tax": 700, "principal": 800})
	near("turnover to live on", year("living_turnover"), (7_000-1_000+4_000-500+700+800)/0.4, 1e-9)
	for _, name := range []string{"debt_service_cover", "current_ratio", "debt_to_assets", "operating_margin", "return_on_assets", "break_even_turnover"} {
		if x := ratiosOf(t, nil)(name); !math.IsNaN(x) {
			t.Errorf("%s of nothing is %v", name, x)
		}
	}
	if x := ratiosOf(t, map[string]float64{"sales": 10, "variable_costs": 10})("break_even_turnover"); !math.IsNaN(x) {
		t.Errorf("costs as high as sales break even at %v", x)
	}
}
