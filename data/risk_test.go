package data

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/risk"
)

// riskFarm is a farm with little but the keys risk and scenarios of finance.yaml.
func riskFarm(finance string) fstest.MapFS {
	file := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }
	return fstest.MapFS{
		"data/farm.yaml":    file("name: Hill\ncurrency: GBP\npeople: {robin: {name: Robin, hours: 40 h/week}}\n"),
		"data/finance.yaml": file(finance),
	}
}

func TestRiskKeys(t *testing.T) {
	f, err := Load(riskFarm(`risk:
  runs: 20000
  seed: 12
  shape: triangular
  groups:
    weather: {of: [garden.*_yield, hens.lay], against: [hens.loss], except: [garden.leek_yield], correlation: 60 %, each_year: true}
  fixed: [sources.bank]
scenarios:
  ill: {label: Robin ill, over: 2028-04..2028-06, set: {farm.people.robin.hours: x 0}}
  dear: {set: {feed: 0.69 GBP/kg, seed.price: × 1.33}, over: 2028}
inputs: {feed: 0.5 GBP/kg}
`))
	if err != nil {
		t.Fatal(err)
	}
	s := f.Risk
	if s.Runs != 20000 || s.Seed != 12 || s.Shape != risk.Triangular || len(s.Groups) != 1 || len(s.Fixed) != 1 {
		t.Fatalf("read as %+v", s)
	}
	g := s.Groups[0]
	if g.ID != "weather" || len(g.Of) != 2 || g.Of[0].Text != "garden.*_yield" || len(g.Against) != 1 || len(g.Except) != 1 || g.Correlation != 0.6 || !g.EachYear {
		t.Errorf("the group is read as %+v", g)
	}
	for _, name := range []string{"finance.risk.runs", "finance.risk.seed", "finance.risk.groups.weather.correlation"} {
		if !slices.ContainsFunc(f.Definitions, func(d figures.Definition) bool { return d.Name == name }) {
			t.Errorf("there is no figure %s", name)
		}
	}
	if len(f.Scenarios) != 2 {
		t.Fatalf("%d scenarios", len(f.Scenarios))
	}
	ill, dear := f.Scenarios[0], f.Scenarios[1]
	if ill.Label != "Robin ill" || ill.From != plan.MonthOf(2028, 3) || ill.To != plan.MonthOf(2028, 5) || !ill.Changes[0].Times || ill.Changes[0].Value.Value != 0 {
		t.Errorf("ill is read as %+v", ill)
	}
	if dear.From != plan.MonthOf(2028, 0) || dear.To != plan.MonthOf(2028, 11) || len(dear.Changes) != 2 || dear.Changes[0].Times || dear.Changes[0].Value.Value != 0.69 || dear.Changes[1].Value.Value != 1.33 {
		t.Errorf("dear is read as %+v", dear)
	}
	// Nothing said: 10,000 runs of PERT, from seed 1.
	if f, err = Load(riskFarm("inputs: {feed: 0.5 GBP/kg}\n")); err != nil || f.Risk.Runs != 10000 || f.Risk.Seed != 1 || f.Risk.Shape != risk.PERT {
		t.Errorf("by default %+v, %v", f.Risk, err)
	}
}

func TestRiskMistakes(t *testing.T) {
	for _, c := range []struct{ finance, want string }{
		{"risk: {runs: 50}", "data/finance.yaml:1:14: the runs is 50; expected 100 to 1,000,000"},
		{"risk: {runs: 1000.5}", "data/finance.yaml:1:14: the runs is 1000.5; expected a whole number"},
		{"risk: {seed: 3 kg}", "the seed is in kg; expected a whole number"},
		{"risk: {shape: normal}", `the shape is "normal"; expected pert or triangular`},
		{"risk: {shap: pert}", `"shap" is not a key of the simulation; did you mean shape?`},
		{"risk: {groups: {a: {of: [prices]}}}", "the group a has no correlation"},
		{"risk: {groups: {a: {of: [prices], correlation: 0.5 kg}}}", "expected a share"},
		{"risk: {groups: {a: {of: [prices], correlation: 150 %}}}", "expected 0 % to 100 %"},
		{"risk: {groups: {a: {of: [Prices], correlation: 50 %}}}", "Prices is not the name of an input, nor the beginning of one"},
		{"scenarios: {a: {over: 2028}}", "the scenario a has no set"},
		{"scenarios: {a: {set: {}}}", "the scenario a changes nothing"},
		{"scenarios: {a: {over: spring, set: {feed: x 2}}}", "spring is neither a year nor months; write it as 2028, 2028-04 or 2028-04..2028-06"},
		{"scenarios: {a: {over: 2028-06..2028-04, set: {feed: x 2}}}", "is neither a year nor months"},
		{"scenarios: {a: {set: {feed: +33 %}}}", "+33 % could mean a share more or less, or a value; for that much more or less write x 1.33"},
		{"scenarios: {a: {set: {feed: -25 %}}}", "write x 0.75"},
		{"scenarios: {a: {set: {feed: x a third}}}", "x a third does not say how many times"},
		{"scenarios: {a: {set: {feed: x -1}}}", "does not say how many times"},
		{"scenarios: {a: {set: {feed: dear}}}", "write a value with its unit, as 0.69 GBP/kg, or x 1.33 for a third more"},
		{"scenarios: {a: {set: {Feed it: x 2}}}", "expected the name of a figure"},
	} {
		_, err := Load(riskFarm(c.finance + "\n"))
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s\n  gives %v\n  expected %s", c.finance, err, c.want)
		}
	}
}
