package enterprise

import (
	"math"
	"strings"

	"rickyard/calc/say"
	"rickyard/calc/source"
)

func derived(spec *Spec, formula string) source.Span {
	return source.Derived(spec.Place, formula).Whole()
}

// whyOwners tells why no step pays when the people do all the work.
func (x *scan) whyOwners() say.Text {
	if x.anyHours < 0 {
		return x.whyShort(x.best, "")
	}
	// It would pay, but no step that does fits the people's hours.
	x.stand(x.anyHours)
	needed, there := x.months(x.takes), x.months(x.have)
	month, over := 0, math.Inf(-1)
	for m := range needed {
		if d := needed[m] - there[m]; d > over {
			month, over = m, d
		}
	}
	text := func(seconds float64) string { return x.style.Text(seconds, x.units.Must("h"), 1) }
	return say.With("the target is reached at %s, but the work then takes %s in %s and the owners have %s",
		x.sizeOf(x.anyHours), text(needed[month]), say.Months[month], text(there[month]))
}

// whyHired tells why no step pays when help is hired.
func (x *scan) whyHired() say.Text {
	if x.anyHours < 0 && math.IsInf(x.bestHired.value, -1) {
		return x.whyShort(x.best, "")
	}
	x.stand(x.bestHired.at)
	hours, cost := x.of(x.hours), x.of(x.cost)
	paid := say.Text("before any is hired")
	some := hours > nearly*x.units.Must("year").ToBase(1)
	if some {
		paid = say.With("after %s of wages (%s)", x.money(cost), x.style.Text(hours, x.units.Must("h"), 1))
	}
	if x.anyHours < 0 {
		if !some {
			paid = ""
		}
		return x.whyShort(x.bestHired, paid)
	}
	return say.With("the help costs too much: the best scale is %s, which earns %s, %s below the target, %s",
		x.sizeOf(x.bestHired.at), x.money(x.bestHired.value), x.money(x.aim-x.bestHired.value), paid)
}

// whyShort tells why the margin pays at no step, whatever the hours. top is the
// step that leaves the most, and paid what was paid for help there, if anything.
func (x *scan) whyShort(top extreme, paid say.Text) say.Text {
	if x.answered == 0 {
		x.stand(0)
		if reason, none := x.one.Why(x.tell, x.net); none && reason != "" {
			return reason
		}
		return "its net margin can't be worked out at any scale"
	}
	unit := x.Scale.Unit.Name
	if x.bestGross.value <= 0 {
		return say.With("each %s costs more than it brings: even at %s the sales are %s below the variable costs",
			unit, x.sizeOf(x.bestGross.at), x.money(-x.bestGross.value))
	}
	best := say.With("it earns %s, %s below the target", x.money(top.value), x.money(x.aim-top.value))
	if paid != "" {
		best = say.With("%s, %s", best, paid)
	}
	if top.at < x.count-1 {
		return say.With("at %s %s; nothing larger, up to %s, earns more", x.sizeOf(top.at), best, x.sizeOf(x.count-1))
	}
	text := say.With("at %s, the largest possible, %s", x.sizeOf(top.at), best)
	if x.Scale.Because != "" {
		text = say.With("%s. The limit: %s", text, strings.TrimRight(x.Scale.Because, ". "))
	}
	return x.landOver(text, top.at)
}

// landOver tells as well of land that a step takes beyond what the farm has.
func (x *scan) landOver(text say.Text, step int) say.Text {
	x.stand(step)
	for _, use := range x.landUses() {
		in := x.areas[use]
		if in == nil {
			continue
		}
		most := 0.0
		held := make([]float64, 12)
		for _, line := range x.held[use] {
			for m, area := range x.months(line) {
				held[m] += area
				most = max(most, held[m])
			}
		}
		if area := x.of(in); most > area*(1+nearly) {
			text = say.With("%s; that alone would need %s of %s, and the farm has %s", text,
				x.style.Text(most, in.Figure().Unit, 0), strings.ReplaceAll(use, "_", " "), x.text(in, area))
		}
	}
	return text
}

// landUses lists the kinds of land that the enterprise takes.
func (s *Spec) landUses() []string {
	var uses []string
	s.lines(Land, func(l *Line, _ string) {
		for _, use := range uses {
			if use == l.Use.Name {
				return
			}
		}
		uses = append(uses, l.Use.Name)
	})
	return uses
}

func (x *scan) sizeOf(step int) string { return x.text(x.set, x.at(step)) }
