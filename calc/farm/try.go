package farm

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/risk"
	"rickyard/calc/source"
)

// An Instead is what a figure is in a trial, in place of what the data says: a
// value in base units, or so many times what it was.
type Instead struct {
	Name  string
	Times bool
	Value quantity.Quantity
}

// instead puts the trial's values into definitions. A worked figure keeps its
// formula within the new one, so that it follows its inputs, at every year's
// scale.
func (f *Farm) instead(definitions []figures.Definition) {
	for _, to := range f.Instead {
		i := slices.IndexFunc(definitions, func(d figures.Definition) bool { return d.Name == to.Name })
		if i < 0 {
			continue
		}
		d := &definitions[i]
		switch {
		case d.Formula.File != nil:
			d.Formula = source.Derived(d.Formula, to.formula(d.Formula.Text())).Whole()
		case to.Times:
			d.Value.Value *= to.Value.Value
			d.Series = each(d.Series, func(x float64) float64 { return x * to.Value.Value })
		default:
			d.Value.Value = to.Value.Value
			d.Series = each(d.Series, func(float64) float64 { return to.Value.Value })
		}
		if d.Low != nil {
			low := min(*d.Low, d.Value.Value)
			d.Low = &low
		}
		if d.High != nil {
			high := max(*d.High, d.Value.Value)
			d.High = &high
		}
	}
}

func each(series []float64, to func(float64) float64) []float64 {
	if series == nil {
		return nil
	}
	all := make([]float64, len(series))
	for i, x := range series {
		all[i] = to(x)
	}
	return all
}

// shownAs parts what a formula works out from the unit that it is shown in.
var shownAs = regexp.MustCompile(`(?s)^(.*?)(\sas\s[^()]*)?$`)

func (to *Instead) formula(was string) string {
	number := fmt.Sprintf("%.15g", figures.Clean(to.Value.Unit.FromBase(to.Value.Value)))
	if !to.Times {
		return strings.TrimSpace(number + " " + to.Value.Unit.String())
	}
	parts := shownAs.FindStringSubmatch(was)
	return "(" + parts[1] + ") * " + number + parts[2]
}

// Ends are the lows, or the highs, of all inputs under a name that have one.
func (f *Farm) Ends(under string, high bool) []Instead {
	var all []Instead
	for i := range f.Definitions {
		d := &f.Definitions[i]
		end := d.Low
		if high {
			end = d.High
		}
		if end == nil || d.Series != nil || d.Name != under && !strings.HasPrefix(d.Name, under+".") {
			continue
		}
		all = append(all, Instead{Name: d.Name, Value: quantity.Quantity{Value: *end, Unit: d.Value.Unit, Step: d.Value.Step}})
	}
	return all
}

// Ranged lists the names that have inputs with a low or a high under them.
func (f *Farm) Ranged() []string {
	var names []string
	for i := range f.Definitions {
		if d := &f.Definitions[i]; d.Low != nil || d.High != nil {
			for name := d.Name; name != ""; name = name[:max(0, strings.LastIndexByte(name, '.'))] {
				names = append(names, name)
			}
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// Scenario is what a scenario sets, as if it held for the whole plan.
func (f *Farm) Scenario(x *risk.Scenario) []Instead {
	known := map[string]bool{}
	for _, d := range f.Budgets() {
		known[d.Name] = true
	}
	var all []Instead
	for i := range x.Changes {
		c := &x.Changes[i]
		if name, ok := c.Named(func(name string) bool { return known[name] }); ok {
			all = append(all, Instead{Name: name, Times: c.Times, Value: c.Value})
		}
	}
	return all
}

// A Move is a figure that comes out otherwise in a trial.
type Move struct {
	Was, Is *figures.Figure // in the graph of the farm, and in that of the trial

	// By is how far it moved, as a share of the larger of the two values; of money,
	// of no less than a hundredth of the largest amount of its part, since what is
	// nearly nought moves by much for nothing; of a share, of no less than a tenth of
	// the whole. It is 0 if only one of them has an
	// answer.
	By float64
}

// Flips are the yes-or-no figures that come out otherwise: the tests of the plan,
// then all others, by name.
func Flips(was, is *figures.Graph) []Move {
	var flips []Move
	both(was, is, func(m Move) {
		if a, b := was.Base().Of(m.Was), is.Base().Of(m.Is); m.Was.Type.Truth() && m.Was.Type.Len == 0 && a != b && (a == a || b == b) {
			flips = append(flips, m)
		}
	})
	slices.SortStableFunc(flips, func(a, b Move) int { return others(a) - others(b) })
	return flips
}

// others is 0 for a test of the plan and 1 for another figure.
func others(m Move) int {
	if strings.HasPrefix(m.Is.Name, "plan.met.") {
		return 0
	}
	return 1
}

// placed begins the names of figures of a list in order: the input that stands
// first in it is another one in a trial, so the two can't be compared.
const placed = "risk.driver"

// Moves are the worked numbers that come out otherwise, by the part that each
// belongs to, those that moved most first, and last those that have an answer in
// only one of the two. A figure of no part is left out.
func Moves(was, is *figures.Graph, part func(*figures.Figure) string) map[string][]Move {
	largest := map[string]float64{} // money, by part and dimension
	base, trial, money := was.Base(), is.Base(), is.Units.Money().Dimension
	moves := map[string][]Move{}
	both(was, is, func(m Move) {
		in := part(m.Is)
		if in == "" || m.Was.Type.Truth() || m.Was.Type.Choices != nil || m.Was.Unit.IsDate() || m.Was.Unit.IsCalendar() {
			return
		}
		a, b := base.Of(m.Was), trial.Of(m.Is)
		scale := in + "\n" + string(m.Is.Unit.Dimension)
		for _, x := range []float64{a, b} {
			if x == x {
				largest[scale] = max(largest[scale], math.Abs(x))
			}
		}
		if a == b || a != a && b != b {
			return
		}
		moves[in] = append(moves[in], m)
	})
	for in, list := range moves {
		for i := range list {
			d := list[i].Is.Unit.Dimension
			least := 0.0
			switch {
			case d == money || d == money.Div(quantity.Time):
				least = leastOfLargest * largest[in+"\n"+string(d)]
			case d == quantity.Number:
				least = leastNumber
			}
			list[i].By = list[i].by(least)
		}
		// What conversions leave is no movement.
		list = slices.DeleteFunc(list, func(m Move) bool { return m.By < 1e-9 && m.answered() })
		slices.SortStableFunc(list, func(a, b Move) int {
			switch {
			case a.By > b.By:
				return -1
			case a.By < b.By:
				return 1
			}
			return 0
		})
		if moves[in] = list; len(list) == 0 {
			delete(moves, in)
		}
	}
	return moves
}

// leastOfLargest is the share of the largest amount below which money counts as
// small.
const leastOfLargest = 0.01

// leastNumber is the number, or share, below which one counts as small.
const leastNumber = 0.1

func (m *Move) by(least float64) float64 {
	a, b := m.Was.Current(), m.Is.Current()
	if a != a || b != b {
		return 0
	}
	return math.Abs(b-a) / max(math.Abs(a), math.Abs(b), least)
}

// answered reports whether the figure has an answer in both graphs.
func (m *Move) answered() bool {
	a, b := m.Was.Current(), m.Is.Current()
	return a == a && b == b
}

// both goes through the figures that are worked out in both graphs, by name.
func both(was, is *figures.Graph, do func(Move)) {
	for _, f := range is.All() {
		before := was.Lookup(f.Name)
		if f.Hidden || f.Text || strings.HasPrefix(f.Name, placed) || f.IsInput() || before == nil || before.Text || before.Unit.Dimension != f.Unit.Dimension || before.Type.Truth() != f.Type.Truth() {
			continue
		}
		do(Move{Was: before, Is: f})
	}
}
