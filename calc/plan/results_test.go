package plan_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"golang.org/x/text/language"

	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/sheet"
)

// TestResults: the figures of random farms, and of one with nothing in it, are
// sound; their balance sheets tie as figures; their tables can be printed, and
// those of money by year need no adjusting, since they add up by themselves.
func TestResults(t *testing.T) {
	farms := map[string]*sketch{"nothing": newSketch(3)}
	for seed := range 150 {
		farms[fmt.Sprintf("farm %d", seed)] = randomFarm(rand.New(rand.NewPCG(uint64(seed), 3)))
	}
	for name, s := range farms {
		b := s.build(t)
		for _, f := range b.All() {
			if strings.HasSuffix(f.Name, ".ties") && !b.v.Holds(f) {
				t.Errorf("%s: %s does not hold", name, f.Name)
			}
		}
		style := quantity.NewStyle(b.Units, language.BritishEnglish)
		for word, table := range b.plan.Tables() {
			printed, err := table.Print(b.Graph, style)
			if err != nil {
				t.Fatalf("%s: %s: %v", name, word, err)
			}
			if printed.Adjusted && word != "labour_calendar" && word != "land_calendar" {
				t.Errorf("%s: %s is adjusted", name, word)
			}
			if word == "cash_by_month" {
				monthsEndInYear(t, name, printed, b.of("plan.year1.cash_end"))
			}
		}
	}
}

// monthsEndInYear: the last line of a cash flow ends on the year's balance.
func monthsEndInYear(t *testing.T, name string, table *sheet.Printed, want float64) {
	t.Helper()
	cells := table.Rows[len(table.Rows)-1].Cells
	for _, c := range cells[11:] {
		if c.Value != want {
			t.Errorf("%s: the months end at %v, the year at %v", name, c.Value, want)
		}
	}
}

// TestMonths reads and writes months.
func TestMonths(t *testing.T) {
	for text, want := range map[string]string{"2027": "January 2027", "2027-03": "March 2027", "2027-12-31": "December 2027"} {
		if m, ok := plan.ParseMonth(text); !ok || m.Name().String() != want {
			t.Errorf("%s is read as %s", text, m.Name())
		}
	}
	for _, text := range []string{"", "2027-13", "spring", "-3"} {
		if m, ok := plan.ParseMonth(text); ok {
			t.Errorf("%q is read as %s", text, m.Name())
		}
	}
}
