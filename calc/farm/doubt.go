package farm

import (
	"math"
	"regexp"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

// Doubts returns what is worked out but is hardly meant, as warnings, and shares
// of channels that can't be, as mistakes.
func (f *Farm) Doubts(g *figures.Graph) source.Errors {
	d := &doubter{Farm: f, g: g, told: map[*figures.Figure]*source.Error{}}
	d.shares()
	for i := range f.Enterprises {
		d.enterprise(&f.Enterprises[i])
	}
	for _, kind := range f.Plan.Land {
		if enough := g.Lookup("plan.land." + kind.ID + ".enough"); enough != nil && answers(enough) && !g.Base().Holds(enough) {
			if area := g.Lookup("farm.land." + kind.ID + ".area"); area != nil {
				d.doubt(area.Name, area.Place, "the plan holds more %s than the %s that there is", strings.ToLower(kind.Label), area.Place.Text())
			}
		}
	}
	return d.errs
}

type doubter struct {
	*Farm
	g    *figures.Graph
	errs source.Errors
	told map[*figures.Figure]*source.Error // inputs that are doubted
}

func (d *doubter) doubt(name string, at source.Span, format string, args ...any) *source.Error {
	e := source.Warningf(at, format, args...)
	e.Answer = d.Meant[name]
	d.errs = append(d.errs, e)
	return e
}

// less doubts a line that comes to less than nought, unless that follows from an
// input that is doubted.
func (d *doubter) less(f *figures.Figure, l *enterprise.Line) {
	for _, leaf := range f.Leaves() {
		if e := d.told[leaf]; e != nil {
			e.Follow(l.Amount)
			return
		}
	}
	d.doubt(f.Name, l.Amount, "less than nought for %s: %s", l.Label, d.Style.Text(f.Current(), f.Unit, f.Step))
}

func answers(f *figures.Figure) bool { return !math.IsNaN(f.Current()) }

// enterprise looks through the lines of an enterprise.
func (d *doubter) enterprise(s *enterprise.Spec) {
	for i := range s.Lines {
		l := &s.Lines[i]
		name := s.ID + "." + l.Name
		f := d.g.Lookup(name)
		if f == nil {
			continue
		}
		if f.Current() < 0 {
			d.less(f, l)
		}
		total, known := 0.0, len(l.Through) > 0
		for _, c := range l.Through {
			share := d.g.Lookup(name + ".share." + c.Channel.Name)
			if known = known && share != nil && answers(share); known {
				total += share.Current()
			}
		}
		if known && math.Abs(total-1) > 1e-6 {
			d.errs = append(d.errs, source.Errorf(source.OutOfRange, l.Through[0].Share, "the shares of %s come to %.4g %%; expected 100 %% together", l.Label, total*100))
		}
	}
}

// oneLess finds what a formula takes from the whole, as in 1 - unsold.
var oneLess = regexp.MustCompile(`\b1\s*-\s*([a-z][a-z0-9_.]*)\s*(?:$|[)+,-])`)

// shares doubts inputs that formulas take from the whole and that are more than
// all of it.
func (d *doubter) shares() {
	for _, f := range d.g.All() {
		if f.Formula == nil || f.Engine {
			continue
		}
		for _, m := range oneLess.FindAllStringSubmatch(f.Definition.Formula.Text(), -1) {
			used, err := d.g.Find(f.Scope, m[1], f.Place)
			if err != nil || d.told[used] != nil || !used.IsInput() || used.Type.Len > 0 || used.Type.Dimension != quantity.Number || used.Current() <= 1+1e-9 {
				continue
			}
			text := used.Place.Text()
			e := d.doubt(used.Name, used.Place, "%s is %s, more than the whole, and %s takes it from 1", used.Label, text, f.Name)
			d.told[used] = e
			if len(used.Unit.Parts) == 0 && used.Current() <= 100 {
				e.With("write %s %% if that is meant", text)
			}
		}
	}
}
