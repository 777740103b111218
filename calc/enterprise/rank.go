package enterprise

import (
	"math"
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

// Compare searches for the scale at which each enterprise pays and ranks those
// that do: all figures of LivingDefinitions and RankDefinitions, to be added to
// those that g was built from.
func Compare(g *figures.Graph, specs []Spec, style *quantity.Style) []figures.Definition {
	livings := Livings(g, specs, style)
	definitions := LivingDefinitions(g, livings, style)
	return append(definitions, RankDefinitions(g, livings, definitions)...)
}

// Best is the set of figures of an enterprise's living that it is compared by:
// that of the owners alone if they can live of it, else with hired help. ok is
// false if neither pays.
func (l *Living) Best() (word string, answer *Answer, ok bool) {
	switch {
	case l.Owners.Pays:
		return LivingWord, &l.Owners, true
	case l.Hired.Pays:
		return LivingHiredWord, &l.Hired, true
	}
	return "", &l.Owners, false
}

// WeightsOf lists the measures that a farm weighs: those with a figure
// farm.weight_<name> above 0.
func WeightsOf(g *figures.Graph) []RankMeasure {
	var weighed []RankMeasure
	for _, m := range RankMeasures {
		if f := g.Lookup("farm.weight_" + m.Name); f != nil && f.Type.Dimension == quantity.Number && f.Type.Len == 0 && f.Current() > 0 {
			weighed = append(weighed, m)
		}
	}
	return weighed
}

// RankDefinitions ranks the enterprises that can pay the target income by the
// reader's weights. living are the definitions of LivingDefinitions. For each
// enterprise it gives <enterprise>.rank.<measure>, from 1 for the best of them
// to 0 for the last, evenly spaced by place; equals share the mean of their
// places. So one enterprise that is far off does not hide what parts the
// others. <enterprise>.rank.score is the mean of these by the weights,
// <enterprise>.rank.place the place by score, 1 for the highest, and
// <enterprise>.rank.even_place what it would be with all weights the same.
func RankDefinitions(g *figures.Graph, livings []Living, living []figures.Definition) []figures.Definition {
	weighed := WeightsOf(g)
	values := map[string]*figures.Definition{}
	for i := range living {
		values[living[i].Name] = &living[i]
	}
	var in []*Living
	for i := range livings {
		if _, _, ok := livings[i].Best(); ok {
			in = append(in, &livings[i])
		}
	}
	var all []figures.Definition
	scores, even := map[*Living]float64{}, map[*Living]float64{} // by the weights, and all weighed the same
	total := 0.0
	for _, m := range weighed {
		weight := "farm.weight_" + m.Name
		w := g.Lookup(weight).Current()
		total += w
		of := make([]float64, len(in))
		from := []string{}
		for i, l := range in {
			word, _, _ := l.Best()
			name := l.Spec.ID + "." + word + "." + m.Living
			from = append(from, name)
			of[i] = math.NaN()
			if d := values[name]; d != nil && d.NoAnswer == "" {
				of[i] = d.Value.Value
			}
		}
		for i, score := range places(of, m.More) {
			scores[in[i]] += float64(w * score)
			even[in[i]] += score
			all = append(all, figures.Definition{
				Name: in[i].Spec.ID + ".rank." + m.Name, Label: say.With("Score for %s", m.What), Scope: in[i].Spec.ID, Place: in[i].Spec.Place,
				Value: quantity.Quantity{Value: score, Step: 0.01}, From: from,
				Found: say.With("the place among %s by %s, from 1 for the best to 0 for the last, evenly spaced; equals share", len(in), m.What),
			})
		}
	}
	var terms, weights []string
	for _, m := range weighed {
		terms = append(terms, "~.rank."+m.Name+" * farm.weight_"+m.Name)
		weights = append(weights, "farm.weight_"+m.Name)
	}
	byScore, evenly := make([]float64, len(in)), make([]float64, len(in))
	var from []string
	for i, l := range in {
		byScore[i], evenly[i] = scores[l]/total, even[l]
		from = append(from, l.Spec.ID+".rank.score")
	}
	place, evenPlace := map[*Living]int{}, map[*Living]int{}
	for i, l := range in {
		place[l], evenPlace[l] = 1, 1
		for j := range in {
			if byScore[j] > byScore[i]+1e-9 {
				place[l]++
			}
			if evenly[j] > evenly[i]+1e-9 {
				evenPlace[l]++
			}
		}
	}
	for i := range livings {
		l := &livings[i]
		_, answer, ok := l.Best()
		reason := say.Text("")
		switch {
		case len(weighed) == 0:
			reason = "the farm has no weights; write, for example, weight_land: 2 under inputs in data/farm.yaml"
		case !ok:
			reason = say.With("it can't pay the target income: %s", answer.Reason)
		}
		score := figures.Definition{Name: l.Spec.ID + ".rank.score", Label: "Score by the weights", Scope: l.Spec.ID, Place: l.Spec.Place}
		if reason == "" {
			formula := "(" + strings.Join(terms, " + ") + ") / (" + strings.Join(weights, " + ") + ") as 0.01"
			score.Formula = derived(l.Spec, strings.ReplaceAll(formula, "~", l.Spec.ID))
		} else {
			score.Found, score.NoAnswer = "the mean of the scores by the weights", reason
			for _, word := range []string{LivingWord, LivingHiredWord} {
				score.From = append(score.From, l.Spec.ID+"."+word+".scale")
			}
		}
		all = append(all, score, figures.Definition{
			Name: l.Spec.ID + ".rank.place", Label: "Place by the weights", Scope: l.Spec.ID, Place: l.Spec.Place,
			Value: quantity.Quantity{Value: float64(place[l])}, Found: "the place by score, 1 for the highest; equals share it", NoAnswer: reason,
			From: append([]string{l.Spec.ID + ".rank.score"}, from...),
		}, figures.Definition{
			Name: l.Spec.ID + ".rank.even_place", Label: "Place with all weights the same", Scope: l.Spec.ID, Place: l.Spec.Place,
			Value: quantity.Quantity{Value: float64(evenPlace[l])}, Found: "the place if everything that has a weight weighed the same; equals share it", NoAnswer: reason,
			From: append([]string{l.Spec.ID + ".rank.score"}, from...),
		})
	}
	return all
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
