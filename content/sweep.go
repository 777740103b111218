package content

import (
	"gopkg.in/yaml.v3"

	"rickyard/calc/figures"
	"rickyard/calc/say"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// A Sweep is one value that a chart moves over a range, to work its figures out
// anew at each step.
type Sweep struct {
	Label string
	Over  *Figure // the figure of the farm that is moved; nil for a name of the chart's own
	Own   string  // that name in the graph
	From  *Figure
	To    *Figure
	Step  *Figure // nil: so many steps as show a curve
	At    *Figure // where the farm stands; nil: where Over stands
	Place source.Span
}

const sweepKeys = "over is a figure of the farm, let a name of the chart's own that its formulas use"

// sweeps reads the ranges of a chart: one along it, and by a second one up.
func (s *spec) sweeps(n *ChartBlock, v map[string]*yaml.Node) {
	for _, key := range []string{"sweep", "by"} {
		if v[key] == nil {
			continue
		}
		if key == "by" && v["sweep"] == nil {
			s.r.fail(source.Missing, s.At(v[key]), "by is a second range, and a key sweep with the first is missing")
			return
		}
		if sweep := s.sweep(v[key]); sweep != nil {
			n.Sweeps = append(n.Sweeps, sweep)
		}
	}
	switch count, kind := len(n.Sweeps), n.Shape; {
	case count == 0:
	case n.Show.Text != "" || n.Months || len(n.Columns) > 0:
		s.r.fail(source.Syntax, n.Sweeps[0].Place, "a chart with a sweep has rows with one figure each, and no columns, series or show")
	case count == 1 && kind != "lines" && kind != "area" && kind != "columns" && kind != "":
		s.r.fail(source.WrongType, n.Sweeps[0].Place, "a sweep of one value can't be drawn as %s", kind).With("expected kind: lines, area or columns")
	case count == 2 && kind != "heat" && kind != "":
		s.r.fail(source.WrongType, n.Sweeps[0].Place, "a sweep of two values can't be drawn as %s", kind).With("expected kind: heat")
	case count == 2 && len(n.Rows) > 1:
		s.r.fail(source.Syntax, n.Rows[1].Place, "a sweep of two values shows one figure").With("draw the second one in a chart of its own")
	}
}

func (s *spec) sweep(n *yaml.Node) *Sweep {
	const what = "a sweep"
	v := s.keys(n, what, "over", "let", "label", "from", "to", "step", "at")
	s.need(n, v, what, "from", "to")
	w := &Sweep{Place: s.At(n), Label: s.word(v["label"], "a label").Text,
		From: s.figure(v["from"], "where a sweep begins"), To: s.figure(v["to"], "where a sweep ends"),
		Step: s.figure(v["step"], "a step"), At: s.figure(v["at"], "where the farm stands")}
	switch {
	case w.From == nil || w.To == nil:
		return nil
	case (v["over"] == nil) == (v["let"] == nil):
		s.r.fail(source.Missing, w.Place, "a sweep has one of over and let").With(sweepKeys)
		return nil
	case v["over"] != nil:
		if w.Over = s.figure(v["over"], "what a sweep moves"); w.Over == nil {
			return nil
		}
		if w.Over.Ref == "" {
			s.r.fail(source.WrongType, w.Over.Formula, "a sweep moves a figure by its name, not a formula").With(sweepKeys)
			return nil
		}
		return w
	}
	name := s.word(v["let"], "a name")
	if !bareName.MatchString(name.Text) {
		s.r.fail(source.Syntax, name.Place, "%s is not a name for a value", leaf.Clip(name.Text)).With("a name has small letters, digits and _, as in age")
		return nil
	}
	w.Own = s.r.prefix + "." + name.Text
	if w.Label == "" {
		w.Label = name.Text
	}
	// Charts of a chapter may move the same name; it is defined once.
	if !s.r.names[w.Own] && s.r.ch != nil {
		s.r.names[w.Own] = true
		s.r.ch.swept = append(s.r.ch.swept, figures.Definition{
			Name: w.Own, Label: say.Own(w.Label), Scope: s.r.scope, Place: name.Place, Formula: w.From.Formula, Hidden: true,
		})
	}
	return w
}
