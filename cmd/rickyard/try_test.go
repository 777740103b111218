package main

import (
	"fmt"
	"math"
	"testing"

	"rickyard/calc/plan"
)

// A trial under a scenario that holds for the whole plan is worked out by another
// way than the scenario's own figures, which bend the years of one graph: by a
// graph of its own. Both must come to the same.
func TestTrialIsTheScenario(t *testing.T) {
	was, farm, err := load("../..")
	if err != nil {
		t.Fatal(err)
	}
	compared := 0
	for i := range farm.Scenarios {
		x := &farm.Scenarios[i]
		if x.From != plan.Month(0) {
			continue
		}
		is, _, err := loadTrial("../..", trial{Scenario: x.ID})
		if err != nil {
			t.Fatal(err)
		}
		for year := 1; year <= farm.Horizon; year++ {
			for _, name := range []string{"profit", "cash_end", "hours_hired"} {
				of, in := fmt.Sprintf("scenarios.%s.year%d.%s", x.ID, year, name), fmt.Sprintf("plan.year%d.%s", year, name)
				want, got := was.Graph.Lookup(of).Current(), is.Graph.Lookup(in).Current()
				if math.Abs(got-want) > 1e-9*max(1, math.Abs(want)) {
					t.Errorf("%s is %v, but in the trial %s is %v", of, want, in, got)
				}
				compared++
			}
		}
	}
	if compared == 0 {
		t.Error("the demo has no scenario for the whole plan")
	}
}
