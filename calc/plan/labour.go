package plan

import (
	"cmp"
	"slices"
	"strings"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// mostNamed is how many overfull months the text of plan.overload names.
const mostNamed = 5

// labour defines hours of the plan's months and the calendar of its last year.
func (p *Declared) labour() {
	var tasks []string
	for i, t := range p.tasks {
		s := p.Enterprises[t.enterprise].Spec
		name := "plan.labour." + t.name
		p.calendarOf(p.lines[i], name, say.With("%s: %s", s.Name, say.Mid(t.label)))
		tasks = append(tasks, name)
	}
	needed := "0 * month_days()"
	if len(tasks) > 0 {
		needed = strings.Join(tasks, " + ")
	}
	p.worked("plan.labour.needed", "All tasks", "%s", needed)
	p.calendarOf("plan.hours_had", "plan.labour.had", "What the people have")
	p.worked("plan.labour.beyond", "Beyond what they have", "max(plan.labour.needed - plan.labour.had, 0 h)")
	p.worked("plan.labour.free", "Free", "max(plan.labour.had - plan.labour.needed, 0 h)")
	p.overload()
	p.worked("plan.met.labour", "No hired help needed", "plan.months_over is 0")
	p.worked("plan.most_over", "Hours too many in the worst month", `if(plan.months_over > 0, max(plan.hours_hired), none("no month has too many")) as 1 h`)
}

// calendarOf is the last year of a series, January first.
func (p *Declared) calendarOf(series, name string, label say.Text) {
	p.made[name] = true
	p.engine(string(label), func(d *figures.Declaration) figures.Run {
		in := d.Read(series)
		o := p.time(name, label, "the last year of the plan")
		o.Len = 12
		out := d.Give(o)
		return func(c *figures.Case) {
			last := 12 * (p.Years - 1)
			for m := range 12 {
				c.Room(out)[p.calendar(last+m+1)] = c.Series(in)[last+m]
			}
		}
	})
}

// overload says in which months the work is more than the people's hours, and of
// what.
func (p *Declared) overload() {
	p.made["plan.months_over"] = true
	p.engine("months with too much work", func(d *figures.Declaration) figures.Run {
		hired := d.Read("plan.hours_hired")
		var tasks []*figures.In
		for _, name := range p.lines {
			tasks = append(tasks, d.Read(name))
		}
		const how = "the months of the plan counted"
		count := d.Give(p.number("plan.months_over", "Months in which the work is more than the people's hours", how, quantity.Unit{Factor: 1}, 1, hired))
		list := d.Give(p.words("plan.overload", "Months with more work than the people's hours", how))
		when := d.Give(p.words("plan.most_over_when", "The month with most hours too many", how))
		what := d.Give(p.words("plan.most_over_task", "The largest task of that month", how))
		return func(c *figures.Case) {
			if unanswered(c, []*figures.In{hired}, count, list, when, what) {
				return
			}
			over := c.Series(hired)
			var months []int
			worst := -1
			for m, x := range over {
				if x <= 0 {
					continue
				}
				months = append(months, m)
				if worst < 0 || x > over[worst] {
					worst = m
				}
			}
			c.Give(count, float64(len(months)))
			c.Say(list, "no month")
			c.Say(when, "no month")
			c.Say(what, "no task")
			if worst < 0 {
				return
			}
			largest := func(m int) say.Text {
				most, at := 0.0, -1
				for i, in := range tasks {
					if x := c.Series(in)[m]; x > most {
						most, at = x, i
					}
				}
				if at < 0 {
					return ""
				}
				t := p.tasks[at]
				return say.With("%s, %s", say.Mid(t.label), say.Mid(p.Enterprises[t.enterprise].Name))
			}
			// The worst ones are named, in the order of the calendar.
			slices.SortStableFunc(months, func(a, b int) int { return cmp.Compare(over[b], over[a]) })
			months = months[:min(len(months), mostNamed)]
			slices.Sort(months)
			var named say.Text
			for _, m := range months {
				text := say.With("%s (%s h too many; the largest task is %s)", p.month(m+1).Name(), say.Number(over[m]/3600, 0), largest(m))
				if named != "" {
					text = say.With("%s; %s", named, text)
				}
				named = text
			}
			c.Say(list, named)
			c.Say(when, p.month(worst+1).Name())
			c.Say(what, largest(worst))
		}
	})
}

// land defines who holds which land when, in a full year at the plan's scale.
func (p *Declared) land() {
	for _, k := range p.Land {
		area := "farm.land." + k.ID + ".area"
		given := p.known(area)
		if given == nil {
			continue
		}
		unit := given.Value.Unit
		if given.Formula.File != nil {
			unit, _ = p.units.Land()
		}
		var holders []string
		for i := range p.Enterprises {
			e := &p.Enterprises[i]
			for j := range e.Lines {
				l := &e.Lines[j]
				of := e.ID + "." + l.Name + ".by_month"
				if l.Kind == enterprise.Land && l.Use.Name == k.ID && p.defined(of) {
					name := "plan.land." + k.ID + ".by." + e.ID + "_" + l.Name
					p.worked(name, say.With("%s held by %s", k.Label, say.Mid(e.Name)), "%s as %s", of, unit)
					holders = append(holders, name)
				}
			}
		}
		if len(holders) == 0 {
			continue
		}
		name := "plan.land." + k.ID
		p.worked(name+".used", say.With("%s held", k.Label), "(%s) as %s", strings.Join(holders, " + "), unit)
		p.worked(name+".left", say.With("%s left", k.Label), "%s - %s.used", area, name)
		p.worked(name+".most", say.With("%s held in the fullest month", k.Label), "max(%s.used)", name)
		p.worked(name+".enough", say.With("%s is promised only once", k.Label), "%s.most <= %s", name, area)
	}
}
