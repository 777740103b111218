package data

import (
	"fmt"
	"math"
	"slices"

	"rickyard/calc/plan"
	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// What can be, but is hardly meant, is a warning. Whoever means it says so under
// the key meant, with the reason.

// meantField is the answer to a warning.
var meantField = &field{key: "meant", doc: "Why this is so, if the workbook warns that it is hardly meant: the warning is then an answered one.", is: textShape}

// doubt warns of what a value says; near holds the answer, if there is one.
func (p *page) doubt(at source.Span, near *value, format string, args ...any) *source.Error {
	e := source.Warningf(at, format, args...)
	switch {
	case near == nil:
	case near.leaf != nil && near.leaf.meant != "":
		e.Answer = near.leaf.meant
	default:
		e.Answer = near.str("meant")
	}
	p.loader.errs = append(p.loader.errs, e)
	return e
}

// steep is how many times the other prices of a product a price is that is hardly
// meant: a point or a unit is then most likely wrong.
const steep = 20

// prices doubts a price that is far from those of the same product elsewhere.
func (p *page) doubtPrices(product, prices *value) {
	for _, v := range prices.all() {
		if v.leaf == nil || v.leaf.Value <= 0 {
			continue
		}
		var others []float64
		for _, other := range prices.all() {
			if other != v && other.leaf != nil && other.leaf.Value > 0 && other.leaf.Unit.Dimension == v.leaf.Unit.Dimension {
				others = append(others, other.leaf.Value)
			}
		}
		if len(others) == 0 {
			continue
		}
		slices.Sort(others)
		if times := v.leaf.Value / others[len(others)/2]; times >= steep || times <= 1/steep && len(others) > 1 {
			p.doubt(v.leaf.span, answered(v, product), "the price of %s at %s is %.3g times what it is elsewhere", words(product.key), words(v.key), times)
		}
	}
}

// answered is the first of the values that answers a warning.
func answered(values ...*value) *value {
	for _, v := range values {
		if v != nil && (v.leaf != nil && v.leaf.meant != "" || v.str("meant") != "") {
			return v
		}
	}
	return nil
}

// doubtScale doubts a scale beyond its most or off its step, and a build-up beyond
// it. What only a formula says is not looked into.
func (p *page) doubtScale(scale, buildUp *value) {
	number := func(v *value) (float64, source.Span, bool) {
		switch {
		case v == nil:
			return 0, source.Span{}, false
		case v.leaf != nil:
			return v.leaf.Value, v.leaf.span, true
		}
		q, ok := p.literal(v.formula)
		return q.Value, v.formula, ok
	}
	most, mostAt, hasMost := number(scale.get("most"))
	now, at, hasNow := number(scale.get("now"))
	near := answered(scale.get("now"), scale)
	if hasNow && hasMost && now > most*(1+1e-9) {
		p.doubt(at, near, "the present scale is %s, beyond its most of %s", at.Text(), mostAt.Text())
	}
	if step, stepAt, ok := number(scale.get("step")); ok && hasNow && step > 0 {
		if n := now / step; math.Abs(n-math.Round(n)) > 1e-9 {
			p.doubt(at, near, "the present scale is %s, which is not a whole number of steps of %s", at.Text(), stepAt.Text())
		}
	}
	for _, v := range buildUp.all() {
		if x, at, ok := number(v); ok && hasMost && x > most*(1+1e-9) {
			p.doubt(at, scale, "the build-up comes to %s, beyond the scale's most of %s", at.Text(), mostAt.Text())
		}
	}
}

// doubtFrost doubts frosts of the other hemisphere.
func (p *page) doubtFrost(frost, latitude *value) {
	if latitude == nil || latitude.leaf == nil {
		return
	}
	north := latitude.leaf.Value >= 0
	for _, key := range []string{"last", "first"} {
		v := frost.get(key)
		if v == nil || v.leaf == nil || !v.leaf.Unit.IsDate() {
			continue
		}
		firstHalf := v.leaf.Value < yearSeconds/2
		if firstHalf != (north == (key == "last")) {
			p.doubt(v.leaf.span, answered(v, frost), "the %s frost on %s belongs to the other hemisphere than the latitude %s", key, v.leaf.span.Text(), latitude.leaf.span.Text())
		}
	}
}

// doubtStart doubts sales before an enterprise starts.
func (p *page) doubtStart(v *value) {
	from, _ := plan.ParseMonth(v.str("from"))
	sells, ok := plan.ParseMonth(v.str("sells_from"))
	if at := v.get("sells_from"); ok && at != nil && from != 0 && sells < from {
		p.doubt(at.span, answered(at, v), "%s sells from %s, before it starts in %s", words(v.key), v.str("sells_from"), v.str("from"))
	}
}

// doubtShare doubts a share of more than all.
func (p *page) doubtShare(v *value) {
	if l := v.leaf; l != nil && l.series == nil && l.Value > 1+1e-9 && len(l.Unit.Parts) == 1 && l.Unit.Parts[0].Unit.Symbol == "%" {
		p.doubt(l.span, v, "%s is %s, more than the whole", words(v.key), leaf.Clip(l.span.Text()))
	}
}

// loanTerms reports terms that no loan can have.
func (p *page) loanTerms(v *value) {
	term, every, only := v.get("term"), v.get("every"), v.get("interest_only")
	if term == nil || term.leaf == nil {
		return
	}
	between, said := yearSeconds/12, "1 month"
	if every != nil && every.leaf != nil {
		between, said = every.leaf.Value, every.leaf.span.Text()
	}
	if n := term.leaf.Value / between; math.Abs(n-math.Round(n)) > 1e-6 {
		p.fail(source.OutOfRange, term.leaf.span, "the term of %s is %s, which is not a whole number of payments, one every %s", words(v.key), leaf.Clip(term.leaf.span.Text()), said).
			With("expected a multiple of it, such as %s", inMonths(math.Ceil(n)*between))
	}
	if only != nil && only.leaf != nil && only.leaf.Value >= term.leaf.Value {
		p.fail(source.OutOfRange, only.leaf.span, "only interest is paid on %s for %s, but its term is %s", words(v.key), leaf.Clip(only.leaf.span.Text()), leaf.Clip(term.leaf.span.Text())).
			With("expected less than the term, in which the loan is paid back")
	}
}

func inMonths(seconds float64) string { return fmt.Sprintf("%.0f month", seconds/(yearSeconds/12)) }
