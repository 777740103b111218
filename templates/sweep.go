package templates

import (
	"math"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
	"rickyard/content"
	"rickyard/templates/chart"
)

// How many steps a sweep has that says none: along a line, and for each side of
// a shaded table. mostSteps is what it may have.
const (
	lineSteps  = 25
	tableSteps = 6
	mostSteps  = 120
)

// A swept is a range of one value, ready to be worked over.
type swept struct {
	figure *figures.Figure // that is moved
	unit   quantity.Unit
	label  string
	at     []float64 // in base units
	here   float64   // where the farm stands; NaN: nowhere
	shown  string    // the same, as text
}

// swept reads a chart's range off the graph.
func (g *grid) swept(w *content.Sweep, steps int) (swept, bool) {
	s := swept{label: w.Label, here: math.NaN()}
	from, to := g.lookup(w.From), g.lookup(w.To)
	if from == nil || to == nil {
		return s, false
	}
	if w.Over != nil {
		s.figure = g.lookup(w.Over)
	} else {
		s.figure = g.Graph.Lookup(w.Own)
	}
	if s.figure == nil {
		return s, false
	}
	refuse := func(place source.Span, format string, args ...any) (swept, bool) {
		g.fail(source.Errorf(source.OutOfRange, place, format, args...).With("write from: and to: in the unit of what is moved, the smaller first"), w.Place)
		return s, false
	}
	for _, end := range []*figures.Figure{from, to} {
		if end.Type.Dimension != s.figure.Type.Dimension || end.Type.Len > 0 || s.figure.Type.Len > 0 {
			return refuse(w.Place, "%s can't be moved from %s to %s", g.say(s.figure.Label), g.shown(from), g.shown(to))
		}
	}
	low, high := from.Current(), to.Current()
	if !(low < high) {
		return refuse(w.From.Formula, "a sweep goes from a smaller value to a larger one, not from %s to %s", g.shown(from), g.shown(to))
	}
	if w.Step != nil {
		step := g.lookup(w.Step)
		if step == nil {
			return s, false
		}
		count := (high - low) / step.Current()
		if step.Type.Dimension != from.Type.Dimension || !(count >= 1 && count <= mostSteps) {
			return refuse(w.Step.Formula, "from %s to %s a step of %s is none of 1 to %d", g.shown(from), g.shown(to), g.shown(step), mostSteps)
		}
		steps = int(count+1e-9) + 1
		high = low + float64(float64(steps-1)*step.Current())
	}
	for i := range steps {
		s.at = append(s.at, low+float64((high-low)*float64(i)/float64(steps-1)))
	}
	s.unit = from.Unit
	if s.label == "" {
		s.label = g.say(s.figure.Label)
	}
	at := s.figure
	if w.At != nil {
		if at = g.lookup(w.At); at == nil {
			return s, false
		}
	}
	if (w.Over != nil || w.At != nil) && at.Type.Dimension == s.figure.Type.Dimension {
		if x := at.Current(); x >= low && x <= high {
			s.here, s.shown = x, g.Style.Text(x, s.unit, at.Step)
		}
	}
	return s, true
}

// names are the values of a range as text, in its unit.
func (g *grid) names(s swept) []string {
	step := 1.0
	for _, x := range s.at {
		for v := s.unit.FromBase(x); step > 1e-3 && math.Abs(v/step-math.Round(v/step)) > 1e-6; {
			step /= 10
		}
	}
	var names []string
	for _, x := range s.at {
		names = append(names, g.Style.Figures(x, s.unit, step))
	}
	return names
}

// sweep fills a chart with its figures, worked out anew at each step of a range
// in a case of its own; the farm's stays as it is.
func (g *grid) sweep() bool {
	steps := lineSteps
	if len(g.block.Sweeps) > 1 {
		steps = tableSteps
	}
	across, ok := g.swept(g.block.Sweeps[0], steps)
	if !ok {
		return false
	}
	var wanted []*figures.Figure
	var labels []string
	for _, row := range g.block.Rows {
		if len(row.Cells) == 0 {
			continue
		}
		f := g.lookup(row.Cells[0])
		if f == nil {
			return false
		}
		if f.Type.Len > 0 {
			g.fail(source.Errorf(source.WrongType, row.Cells[0].Formula, "a sweep shows one value at each step, and %s has one for each month", g.say(f.Label)).
				With("write sum(...), max(...) or at(..., May) round it"), row.Place)
			return false
		}
		if _, _, ok := g.take(f, row.Cells[0].Formula); !ok {
			return false
		}
		wanted, labels = append(wanted, f), append(labels, g.rowName(row, f))
	}
	c := g.chart
	c.Decimals = -1 // of figures that say none: the same all along
	c.Categories, c.Across = g.names(across), axisName(across.label, g.Style.Unit(across.unit, true))
	for _, x := range across.at {
		c.Along = append(c.Along, across.unit.FromBase(x))
	}
	c.HereWords = g.words.Say("chart_here")
	if len(g.block.Sweeps) > 1 {
		return g.sweepTable(across, wanted[0])
	}
	v := g.Graph.Base().Clone()
	c.Series = make([]chart.Series, len(wanted))
	for i := range wanted {
		if len(wanted) > 1 {
			c.Series[i].Name = labels[i]
		}
	}
	for _, x := range across.at {
		v.Set(across.figure, x)
		v.Run()
		for i, f := range wanted {
			g.addValue(&c.Series[i], v, f)
		}
	}
	if c.Kind == chart.Columns {
		c.Along = nil
	} else if !math.IsNaN(across.here) {
		c.Here = &chart.Place{At: across.unit.FromBase(across.here), Shown: across.shown}
	}
	return g.target()
}

// sweepTable works one figure over two ranges.
func (g *grid) sweepTable(across swept, f *figures.Figure) bool {
	up, ok := g.swept(g.block.Sweeps[1], tableSteps)
	if !ok {
		return false
	}
	c := g.chart
	c.Up = axisName(up.label, g.Style.Unit(up.unit, true))
	v := g.Graph.Base().Clone()
	for j, name := range g.names(up) {
		s := chart.Series{Name: name}
		for _, x := range across.at {
			v.Set(across.figure, x)
			v.Set(up.figure, up.at[j])
			v.Run()
			g.addValue(&s, v, f)
		}
		c.Series = append(c.Series, s)
	}
	if !math.IsNaN(across.here) && !math.IsNaN(up.here) {
		c.Here = &chart.Place{At: float64(nearest(across.at, across.here)), Shown: across.shown + ", " + up.shown}
		c.HereRow = nearest(up.at, up.here)
	}
	return true
}

func nearest(list []float64, x float64) int {
	best := 0
	for i, v := range list {
		if math.Abs(v-x) < math.Abs(list[best]-x) {
			best = i
		}
	}
	return best
}

// addValue adds what a figure is in a case to a series.
func (g *grid) addValue(s *chart.Series, v *figures.Values, f *figures.Figure) {
	v.Ask(f)
	x, text := v.Of(f), ""
	if _, none := v.None(f); none || math.IsNaN(x) || math.IsInf(x, 0) {
		x, text = math.NaN(), g.say("–")
	} else {
		if f.Step != 0 {
			text = g.Style.Figures(x, g.unit, f.Step)
		}
		x = g.unit.FromBase(x)
	}
	s.Values, s.Shown = append(s.Values, x), append(s.Shown, text)
}

// rowName is what a row of a chart is called.
func (g *grid) rowName(row *content.Row, f *figures.Figure) string {
	if row.Label != "" {
		return row.Label
	}
	return strings.TrimSpace(g.rowLabel(row, f, true))
}
