package plan

import (
	"math"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

// HoursOf names the series of the hours that a person has for the farm, by month
// of the plan.
func HoursOf(person string) string { return "plan.people." + person + ".hours" }

// hours declares what a person has for the farm: their hours less those worked
// elsewhere, on the days that they are there. A day away is a day of the
// ordinary week's hours.
func (p *Declared) hours(who *Person) {
	of := "farm.people." + who.ID
	if !p.defined(of + ".hours") {
		return
	}
	name := p.part("hours_had", HoursOf(who.ID))
	p.engine("the hours of "+who.ID, func(d *figures.Declaration) figures.Run {
		read := func(name string) *figures.In {
			in, _ := d.Rounds(p.rounds, name)
			return in
		}
		hours, elsewhere, away := read(of+".hours"), read(of+".elsewhere"), read(of+".away")
		out := d.Give(hidden(p.time(name, say.With("%s: hours by month", who.Name), "hours of an ordinary week, less those worked elsewhere, on the days that they are there")))
		end := d.ReadOr(of+".until", never)
		return func(c *figures.Case) {
			if unanswered(c, []*figures.In{hours, elsewhere, away, end}, out) {
				return
			}
			until, had := p.until(c, end), c.Room(out)
			for m := range had {
				year := m / 12
				share := c.Series(hours)[year]
				if elsewhere != nil && m < until {
					share -= c.Series(elsewhere)[year]
				}
				month := p.calendar(m + 1)
				gone := 0.0
				if away != nil {
					if days := c.Series(away); len(days) == p.Years {
						gone = days[year] / 12
					} else {
						gone = days[12*year+month]
					}
				}
				length := float64(float64(quantity.MonthDays[month]) * daySeconds)
				had[m] = float64(math.Max(0, share) * math.Max(0, length-gone))
			}
		}
	})
}

// hired declares the hours beyond the people's, which are hired if anybody's
// hours are known.
func (p *Declared) hired() {
	staffed := len(p.parts["hours_had"]) > 0
	p.part("hired_labour", "plan.hired.cost")
	p.made["plan.hours_hired"] = true
	p.engine("hired help", func(d *figures.Declaration) figures.Run {
		needed, had := d.Read("plan.hours_needed"), d.Read("plan.hours_had")
		wage, onCost := p.inYears(d, "farm.wage"), p.inYears(d, "farm.employment")
		rise := p.pricing(d, ofWages)
		hours := d.Give(p.time("plan.hours_hired", "Hours beyond theirs by month", "what the tasks take beyond what the people have", needed, had))
		cost := d.Give(hidden(p.money("plan.hired.cost", "Hired help by month", "hours beyond the people's, at the wage and what employing costs on top")))
		return func(c *figures.Case) {
			if !staffed || unanswered(c, []*figures.In{needed, had}, hours, cost) {
				return
			}
			y := rise.of(c)
			why, none := c.Why(wage.in)
			for m := range c.Room(hours) {
				beyond := c.Series(needed)[m] - c.Series(had)[m]
				if beyond <= 0 {
					continue
				}
				c.Room(hours)[m] = beyond
				paid, _ := y.at(m+1, beyond*wage.of(c, m/12)*(1+onCost.of(c, m/12)))
				c.Room(cost)[m] = paid
			}
			if none {
				c.Say(cost, why)
			}
		}
	})
}

// yearly is a figure read at each year's scale, or nought.
type yearly struct{ in *figures.In }

func (p *Declared) inYears(d *figures.Declaration, name string) yearly {
	in, ok := d.Rounds(p.rounds, name)
	if !ok {
		in = d.ReadOr(name, 0)
	}
	return yearly{in}
}

func (y yearly) of(c *figures.Case, year int) float64 {
	if series := c.Series(y.in); year < len(series) {
		return series[year]
	}
	return c.Of(y.in)
}
