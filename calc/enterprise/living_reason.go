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
func (c *scan) whyOwners() (Why, say.Text) {
	if c.anyHours < 0 {
		return c.whyShort(c.best, "")
	}
	// It would pay, but no step that does fits the people's hours.
	v := c.valuesAt(c.anyHours)
	takes, have := c.g.Lookup(c.spec.ID+".hours_by_month"), c.g.Lookup("farm.hours_by_month")
	needed, there := v.Months(takes), v.Months(have)
	month, over := 0, math.Inf(-1)
	for m := range needed {
		if d := needed[m] - there[m]; d > over {
			month, over = m, d
		}
	}
	text := func(seconds float64) string { return c.style.Text(seconds, c.g.Units.Must("h"), 1) }
	return NoHours, say.With("it would pay from %s on, but the work then takes %s in %s and the people have %s",
		c.size(c.anyHours), text(needed[month]), say.Months[month], text(there[month]))
}

// whyHired tells why no step pays when help is hired.
func (c *scan) whyHired() (Why, say.Text) {
	if c.anyHours < 0 && math.IsInf(c.bestHired.value, -1) {
		return c.whyShort(c.best, "")
	}
	v := c.valuesAt(c.bestHired.at)
	hours, cost := v.Of(c.g.Lookup(c.spec.ID+".hired_hours")), v.Of(c.g.Lookup(c.spec.ID+".hired_cost"))
	paid := say.Text("before any is hired")
	if hours > nearly*c.g.Units.Must("year").ToBase(1) {
		paid = say.With("after paying %s for %s", c.money(cost), c.style.Text(hours, c.g.Units.Must("h"), 1))
	}
	if c.anyHours < 0 {
		if hours <= nearly*c.g.Units.Must("year").ToBase(1) {
			paid = ""
		}
		return c.whyShort(c.bestHired, paid)
	}
	return TooDear, say.With("the help that it takes is too dear: it leaves the most at %s, %s, which is %s short of the target, %s",
		c.size(c.bestHired.at), c.money(c.bestHired.value), c.money(c.aim-c.bestHired.value), paid)
}

// whyShort tells why the margin pays at no step, whatever the hours. top is the
// step that leaves the most, and paid what was paid for help there, if anything.
func (c *scan) whyShort(top extreme, paid say.Text) (Why, say.Text) {
	if c.answered == 0 {
		if reason, none := c.g.Base().None(c.net); none {
			return Unknown, reason
		}
		return Unknown, "its net margin can't be worked out at any scale"
	}
	unit := c.spec.Scale.Unit.Name
	if c.bestGross.value <= 0 {
		return Loss, say.With("each %s costs more than it brings: even at %s the sales are %s less than the variable costs",
			unit, c.size(c.bestGross.at), c.money(-c.bestGross.value))
	}
	best := say.With("it leaves %s, which is %s short of the target", c.money(top.value), c.money(c.aim-top.value))
	if paid != "" {
		best = say.With("%s, %s", best, paid)
	}
	if top.at < c.count-1 {
		return Short, say.With("at %s %s, and nothing larger up to %s leaves more", c.size(top.at), best, c.size(c.count-1))
	}
	why := Market
	for _, f := range c.g.Lookup(c.spec.ID + ".scale.most").Leaves() {
		if strings.HasPrefix(f.Name, "farm.land.") {
			why = NoLand
		}
	}
	text := say.With("at %s, the most that there can be, %s", c.size(top.at), best)
	if c.spec.Scale.Because != "" {
		text = say.With("%s (why no more: %s)", text, strings.TrimRight(c.spec.Scale.Because, ". "))
	}
	return why, c.landOver(text, top.at)
}

// landOver tells as well of land that a step takes beyond what the farm has.
func (c *scan) landOver(text say.Text, step int) say.Text {
	v := c.valuesAt(step)
	for _, use := range c.spec.landUses() {
		area := c.g.Lookup("farm.land." + use + ".area")
		if area == nil {
			continue
		}
		most := 0.0
		held := make([]float64, 12)
		c.spec.lines(Land, func(l *Line, name string) {
			if f := c.g.Lookup(name + ".by_month"); l.Use.Name == use && f != nil {
				for m, x := range v.Months(f) {
					held[m] += x
					most = max(most, held[m])
				}
			}
		})
		if most > v.Of(area)*(1+nearly) {
			text = say.With("%s; that alone would take %s of %s, and the farm has %s", text,
				c.style.Text(most, area.Unit, 0), strings.ReplaceAll(use, "_", " "), c.text(area, v.Of(area)))
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

func (c *scan) size(step int) string { return c.text(c.scale, c.at(step)) }
