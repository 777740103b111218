package farm

import (
	"regexp"
	"strconv"
	"strings"

	"rickyard/calc/actual"
	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// Why what a chapter may name has no answer.
const (
	beyondHorizon = `none("beyond the plan's horizon")`
	notRun        = `none("not run in the plan")`
)

// ofYear is the name of a figure of one year of the plan.
var ofYear = regexp.MustCompile(`^((?:plan|scenarios|risk)\.(?:[a-z0-9_]+\.)*year)([1-9][0-9]{0,3})(\..+)$`)

// beyond defines what a chapter may name although the plan has it not: figures of
// years after its last, and of enterprises that it does not run. They have no
// answer, which says why.
func (f *Farm) beyond(known func(string) *figures.Definition) figures.Beyond {
	idle := f.Plan.Idle
	var whole *plan.Declared
	var happened *actual.Results
	return func(name string, has func(string) bool) *figures.Definition {
		why, first := notRun, name
		if m := ofYear.FindStringSubmatch(name); m != nil {
			if year, _ := strconv.Atoi(m[2]); year > f.Plan.Years {
				why, first = beyondHorizon, m[1]+"1"+m[3]
			}
		}
		if why == notRun || !has(first) {
			if len(idle) == 0 || !strings.HasPrefix(name, "plan.") && !strings.HasPrefix(name, "actual.") {
				return nil
			}
			if whole == nil {
				all := *f.Plan
				for i := range f.Enterprises {
					if s := &f.Enterprises[i]; idle[s.ID] {
						all.Enterprises = append(all.Enterprises, plan.Enterprise{Spec: s})
					}
				}
				whole = all.Declare(f.Units, known)
				happened = actual.Declare(whole, f.Units, &actual.Records{})
			}
			if !whole.Made(first) && !happened.Made(first) {
				return nil
			}
		}
		return &figures.Definition{Name: name, Label: say.Own(name), Place: f.Place, Engine: true,
			Formula: source.Derived(f.Place, why).Whole()}
	}
}
