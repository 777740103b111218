package enterprise

import (
	"math"
	"slices"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// A RankMeasure is one thing that a reader may weigh when ranking enterprises
// at the same income.
type RankMeasure struct {
	Name   string   // farm.weight_<name> is its weight, <enterprise>.rank.<name> its score
	Living string   // the measure of a living that it judges
	More   bool     // more is better
	What   say.Text // what is good
}

// RankMeasures has all that can be weighed.
var RankMeasures = []RankMeasure{
	{"land", "land", false, "little land"},
	{"capital", "capital_needed", false, "little capital"},
	{"hours", "hours", false, "few hours"},
	{"peak_hours", "peak_hours", false, "a quiet busiest month"},
	{"winter_income", "winter_income", true, "income in winter"},
	{"return_per_hour", "return_per_hour", true, "a good return on each hour"},
	{"payback", "payback", false, "money back soon"},
}

// weighed lists the measures that a farm gives a weight, farm.weight_<name>.
func weighed(defined func(string) bool) []RankMeasure {
	var some []RankMeasure
	for _, m := range RankMeasures {
		if defined("farm.weight_" + m.Name) {
			some = append(some, m)
		}
	}
	return some
}

// WeightsOf lists the measures that a farm weighs: those with a figure
// farm.weight_<name> above 0.
func WeightsOf(g *figures.Graph) []RankMeasure {
	return slices.DeleteFunc(weighed(func(name string) bool { return g.Lookup(name) != nil }), func(m RankMeasure) bool {
		return !(g.Lookup("farm.weight_"+m.Name).Current() > 0)
	})
}

// Searches are what is found of all enterprises: the scales at which they pay, and
// their ranks. known gives what is defined under a name, or nil.
func Searches(specs []Spec, style *quantity.Style, known func(string) *figures.Definition) ([]figures.Definition, []*figures.Engine) {
	definitions, rank := Compare(specs, func(name string) bool { return known(name) != nil })
	var engines []*figures.Engine
	for i := range specs {
		engines = append(engines, LivingEngine(&specs[i], style))
		definitions = append(definitions, LivingDefinitions(&specs[i], known(Target) != nil)...)
	}
	return definitions, append(engines, rank)
}

// Compare ranks the enterprises that can pay the target income by the reader's
// weights. For each enterprise it gives <enterprise>.rank.<measure>, from 1 for
// the best of them to 0 for the last, evenly spaced by place; equals share the
// mean of their places. So one enterprise that is far off does not hide what parts
// the others. <enterprise>.rank.score is the mean of these by the weights,
// <enterprise>.rank.place the place by score, 1 for the highest, and
// <enterprise>.rank.even_place what it would be with all weights the same.
//
// An enterprise is compared by the figures of the owners' work alone if they can
// live of it, else by those with hired help.
func Compare(specs []Spec, defined func(string) bool) ([]figures.Definition, *figures.Engine) {
	measures := weighed(defined)
	var definitions []figures.Definition
	for i := range specs {
		s := &specs[i]
		var terms, weights []string
		for _, m := range measures {
			terms = append(terms, s.ID+".rank."+m.Name+" * farm.weight_"+m.Name)
			weights = append(weights, "farm.weight_"+m.Name)
		}
		formula := `none("the farm has no weights; write, for example, weight_land: 2 under inputs in data/farm.yaml")`
		if len(terms) > 0 {
			sum := strings.Join(weights, " + ")
			formula = "if(" + sum + " > 0, (" + strings.Join(terms, " + ") + ") / (" + sum + `), none("all weights are nought")) as 0.01`
		}
		definitions = append(definitions, figures.Definition{Name: s.ID + ".rank.score", Label: "Score by the weights", Scope: s.ID, Place: s.Place,
			Formula: derived(s, formula), Engine: true})
	}
	return definitions, &figures.Engine{Name: "the ranks of enterprises", Declare: func(d *figures.Declaration) figures.Run {
		r := &ranking{measures: measures}
		for i := range specs {
			r.declare(d, &specs[i])
		}
		for _, m := range measures {
			r.weights = append(r.weights, d.Read("farm.weight_"+m.Name))
		}
		return r.run
	}}
}

// ranking is what ranks enterprises.
type ranking struct {
	measures []RankMeasure
	weights  []*figures.In
	all      []*ranked
}

// A ranked enterprise is told by one set of figures or the other.
type ranked struct {
	found         [2]*figures.In   // by the owners' work alone, and with hired help
	scale         *figures.In      // with the reason why the owners can't live of it
	of            [2][]*figures.In // by measure
	scores        []*figures.Out
	place, evenly *figures.Out
}

func (r *ranking) declare(d *figures.Declaration, s *Spec) {
	if !d.Has(s.ID + "." + LivingWord + ".found") {
		return
	}
	x := &ranked{scale: d.Read(s.ID + "." + LivingWord + ".scale")}
	for k, word := range []string{LivingWord, LivingHiredWord} {
		x.found[k] = d.Read(s.ID + "." + word + ".found")
		for _, m := range r.measures {
			x.of[k] = append(x.of[k], d.Read(s.ID+"."+word+"."+m.Living))
		}
	}
	give := func(name string, label, how say.Text, step float64) *figures.Out {
		return d.Give(figures.Output{Name: s.ID + ".rank." + name, Label: label, Scope: s.ID, Place: s.Place, How: how, Unit: quantity.Unit{Factor: 1}, Step: step})
	}
	for _, m := range r.measures {
		x.scores = append(x.scores, give(m.Name, say.With("Score for %s", m.What),
			say.With("the place among those that pay by %s, from 1 for the best to 0 for the last, evenly spaced; equals share", m.What), 0.01))
	}
	x.place = give("place", "Place by the weights", "the place by score, 1 for the highest; equals share it", 0)
	x.evenly = give("even_place", "Place with all weights the same", "the place if everything that has a weight weighed the same; equals share it", 0)
	r.all = append(r.all, x)
}

func (r *ranking) run(c *figures.Case) {
	var in []*ranked
	word := map[*ranked]int{}
	for _, x := range r.all {
		outs := append([]*figures.Out{x.place, x.evenly}, x.scores...)
		switch {
		case c.Of(x.found[0]) == 1:
			word[x] = 0
		case c.Of(x.found[1]) == 1:
			word[x] = 1
		default:
			why, _ := c.Why(x.scale)
			for _, out := range outs {
				c.None(out, say.With("it can't pay the target income: %s", why))
			}
			continue
		}
		in = append(in, x)
	}
	byWeight, even := make([]float64, len(in)), make([]float64, len(in))
	total := 0.0
	for k, m := range r.measures {
		weight := c.Of(r.weights[k])
		of := make([]float64, len(in))
		for i, x := range in {
			of[i] = c.Of(x.of[word[x]][k])
		}
		for i, score := range places(of, m.More) {
			c.Give(in[i].scores[k], score)
			byWeight[i] += float64(weight * score)
			if weight > 0 {
				even[i] += score
			}
		}
		total += weight
	}
	for i, x := range in {
		if !(total > 0) {
			c.None(x.place, "the farm has no weights; write, for example, weight_land: 2 under inputs in data/farm.yaml")
			c.None(x.evenly, "the farm has no weights; write, for example, weight_land: 2 under inputs in data/farm.yaml")
			continue
		}
		place, evenly := 1.0, 1.0
		for j := range in {
			if byWeight[j]/total > byWeight[i]/total+1e-9 {
				place++
			}
			if even[j]/total > even[i]/total+1e-9 {
				evenly++
			}
		}
		c.Give(x.place, place)
		c.Give(x.evenly, evenly)
	}
}

// places gives each value its place from 1 for the best to 0 for the last;
// equal values share the mean of theirs, and one alone is the best. What has
// no value is last.
func places(values []float64, more bool) []float64 {
	out := make([]float64, len(values))
	better := func(a, b float64) bool {
		switch {
		case math.IsNaN(b):
			return !math.IsNaN(a)
		case math.IsNaN(a), math.Abs(a-b) <= 1e-9*max(math.Abs(a), math.Abs(b)):
			return false
		}
		return a > b == more
	}
	for i, a := range values {
		if len(values) == 1 {
			out[i] = 1
			break
		}
		before, same := 0, 0
		for j, b := range values {
			switch {
			case i == j:
			case better(b, a):
				before++
			case !better(a, b):
				same++
			}
		}
		out[i] = 1 - (float64(before)+float64(float64(same)/2))/float64(len(values)-1)
	}
	return out
}
