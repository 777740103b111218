package plan

import (
	"fmt"
	"math"
	"strings"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/trade"
)

// usual defines the thresholds.
func (p *Declared) usual() {
	for _, t := range Thresholds {
		name := "finance.plan.usual." + t.ID
		if p.defined(name) {
			p.worked("plan.usual."+t.ID, t.Label, "%s", name)
			continue
		}
		unit, step := quantity.Unit{Factor: 1}, 0.01
		if t.Share {
			unit, step = p.units.Must("%"), 1
		}
		p.define(figures.Definition{Name: "plan.usual." + t.ID, Label: t.Label, Value: quantity.Quantity{Value: t.Value, Unit: unit, Step: step}, Source: t.Source, AsOf: t.AsOf})
	}
}

// met defines whether a measure keeps its threshold.
func (p *Declared) met(measure, figure, threshold string, label say.Text, most bool) {
	sign := ">="
	if most {
		sign = "<="
	}
	p.worked("plan.met."+measure, label, "%s %s %s", figure, sign, threshold)
}

// lender defines what a lender asks for.
func (p *Declared) lender() {
	p.usual()
	cash := p.Currency
	p.worked("plan.lowest_cash", "Least in the bank at a month's end", "min(plan.cash) as 1 %s", cash)
	p.lowest()
	p.worked("plan.peak_overdraft", "Deepest overdraft", "max(-plan.lowest_cash, 0 %s) as 1 %s", cash, cash)
	if p.defined("finance.plan.overdraft.limit") {
		p.worked("plan.met.overdraft", "The overdraft is within its limit", "plan.peak_overdraft <= finance.plan.overdraft.limit")
	} else {
		p.worked("plan.met.overdraft", "The bank is never overdrawn", "plan.lowest_cash >= 0 %s", cash)
	}
	p.worked("plan.working_capital", "Working capital needed", "max(-min(running(%s)), 0 %s) as 1 %s", signed("plan.months.",
		[]string{"net_cash", "property_bought", "equipment_bought", "stock_bought"}, []string{"introduced", "grants", "loans_drawn", "equipment_sold"}), cash, cash)
	for year := range p.Years {
		p.ratios(year)
	}
	last := p.Years - 1
	for _, m := range []struct {
		id    string
		label say.Text
	}{
		{"debt_service_cover", "Loans are covered in %s"}, {"current_ratio", "Debts due within a year are covered at the end of %s"},
		{"operating_margin", "Operating profit margin in %s"}, {"return_on_assets", "Return on assets in %s"},
	} {
		p.met(m.id, yearName(last, m.id), "plan.usual."+m.id, say.With(m.label, p.YearLabel(last)), false)
	}
	p.met("debt_to_assets", yearName(last, "debt_to_assets"), "plan.usual.debt_to_assets", say.With("Debt to assets at the end of %s", p.YearLabel(last)), true)
	ties := []string{"plan.opening.ties"}
	for year := range p.Years {
		ties = append(ties, yearName(year, "balance.ties"))
	}
	p.worked("plan.met.balance", "Every balance sheet balances", "%s", strings.Join(ties, " and "))
	p.fall()
	p.met("fall", "plan.price_fall_to_miss_loan", "plan.usual.fall", "Prices or yields can fall by the usual margin", false)
}

// lowest finds the month with least in the bank.
func (p *Declared) lowest() {
	p.made["plan.lowest_cash_month"] = true
	p.engine("the month with least in the bank", func(d *figures.Declaration) figures.Run {
		cash := d.Read("plan.cash")
		const how = "the first month of the plan with the least at its end"
		month := d.Give(p.number("plan.lowest_cash_month", "Month of the plan with the least in the bank", how, quantity.Unit{Factor: 1}, 1))
		when := d.Give(p.words("plan.lowest_cash_when", "When there is least in the bank", how))
		return func(c *figures.Case) {
			if unanswered(c, []*figures.In{cash}, month, when) {
				return
			}
			low := Lowest(c.Series(cash))
			c.Give(month, float64(low+1))
			c.Say(when, p.month(low+1).Name())
		}
	})
}

// Lowest returns the place of the least value, counted from 0: the first, if
// others are as low.
func Lowest(months []float64) int {
	low := 0
	for m, x := range months {
		if x < months[low]-0.005 {
			low = m
		}
	}
	return low
}

// number is a single figure that an engine gives.
func (p *Declared) number(name string, label, how say.Text, unit quantity.Unit, step float64, rests ...*figures.In) figures.Output {
	p.made[name] = true
	return figures.Output{Name: name, Label: label, Scope: "plan", Place: p.Place, How: how, Unit: unit, Step: step, Rests: rests}
}

func (p *Declared) words(name string, label, how say.Text) figures.Output {
	p.made[name] = true
	return figures.Output{Name: name, Label: label, Scope: "plan", Place: p.Place, How: how, Text: true}
}

// ratios defines what a lender reckons of a year. Net farm income is after
// interest and before tax and living. Sources: the current ratio, University of
// Minnesota Extension, farm finance ratios; debt service cover, operating margin
// and return on assets, a US farm-credit lender's list of sixteen measures; the
// turnover at which nothing is lost, fixed costs over 1 less the part of the
// variable ones.
func (p *Declared) ratios(y int) {
	at := yearName(y, "")
	zero := "0 " + p.Currency
	when := func(label say.Text) say.Text { return say.With("%s in %s", label, p.YearLabel(y)) }
	end := func(label say.Text) say.Text { return say.With("%s at the end of %s", label, p.YearLabel(y)) }
	in := func(text string) string { return strings.ReplaceAll(text, "~", at) }
	put := func(name string, label say.Text, over, under string, why say.Text, as string) {
		p.worked(at+name, label, "%s", in(fmt.Sprintf("if(%s > %s, (%s) / (%[1]s), none(%[4]q)) as %[5]s", under, zero, over, string(why), as)))
	}
	put("debt_service_cover", when("Debt service cover"),
		"~profit + ~off_farm + ~depreciation + ~interest - ~tax - ~drawings", "~principal + ~interest", "no loan is paid in this year", "0.01")
	put("current_ratio", end("Current ratio"),
		"~balance.bank + ~balance.tax_back + ~balance.stock + ~balance.growing",
		"~balance.overdraft + ~balance.sales_tax_due + ~balance.loans_soon + ~balance.interest_due + ~balance.tax_due", "nothing must be paid within a year", "0.01")
	put("debt_to_assets", end("Debt to assets"), "~balance.liabilities", "~balance.assets", "nothing is owned", "1 %")
	kept := "~profit + ~interest + ~overdraft_interest - ~drawings"
	put("operating_margin", when("Operating profit margin"), kept, "~sales", "nothing is sold in this year", "0.1 %")
	put("return_on_assets", when("Return on assets"), kept, "~balance.assets", "nothing is owned", "0.1 %")
	variable := "(~channel_fees + ~variable_costs + ~stock_used - ~growing_change)"
	turnover := func(name string, label say.Text, fixed string) {
		p.worked(at+name, when(label), "%s", in("if(~sales <= "+zero+`, none("nothing is sold in this year"), if(~sales <= `+variable+
			`, none("what is sold does not cover its variable costs"), (`+fixed+") / (1 - "+variable+" / ~sales))) as 1 "+p.Currency))
	}
	fixed := "~sales - " + variable + " - ~profit"
	turnover("break_even_turnover", "Sales that cover all costs", fixed)
	turnover("living_turnover", "Sales that also cover the household's living, tax and loan payments", fixed+" - ~depreciation + ~drawings - ~off_farm + ~tax + ~principal")
}

// fall searches how far prices may fall before a loan can't be paid.
func (p *Declared) fall() {
	p.engine("how far prices may fall", func(d *figures.Declaration) figures.Run {
		level := d.Name(priceLevel)
		cash, opening := d.Name("plan.cash"), d.Name("plan.before.net_cash")
		limit := d.ReadOr("finance.plan.overdraft.limit", 0)
		cone := d.Again([]*figures.In{level}, []*figures.In{cash, opening}, true)
		now, before := d.Read("plan.cash"), d.Read("plan.before.net_cash")
		out := d.Give(p.number("plan.price_fall_to_miss_loan", "Fall of prices, or of yields at full cost, until a payment is missed",
			"the least fall, of all prices in all years, at which the bank is overdrawn beyond its limit in some month and the next payment can't be made; found by halving",
			d.Units().Must("%"), 0.1))
		return func(c *figures.Case) {
			if unanswered(c, []*figures.In{now, before, limit}, out) {
				return
			}
			l := c.Lanes(cone, 1)
			defer l.Free()
			least := -math.Max(0, c.Of(limit)) - 0.005
			short := func(fall float64) int {
				l.Set(level, 0, 1-fall)
				cone.Run(l)
				if l.Of(opening, 0) < least {
					return 0
				}
				for m := range p.months() {
					if l.At(cash, m, 0) < least {
						return m
					}
				}
				return -1
			}
			if m := short(0); m >= 0 {
				c.None(out, say.With("the money runs out in %s as the plan stands", p.month(m+1).Name()))
				return
			}
			if short(1) < 0 {
				c.None(out, "the money lasts even if nothing is sold")
				return
			}
			low, high := 0.0, 1.0
			for range 40 {
				if m := (low + high) / 2; short(m) >= 0 {
					high = m
				} else {
					low = m
				}
			}
			c.Give(out, low)
		}
	})
}

// worth defines what the start-up is worth as an investment: what is bought at
// the opening, then what each year leaves before money put in or borrowed and
// before what that costs, household and tax paid; the last year with all that is
// owned then at book value. Before the household's living, its drawings less
// income from off the farm are left out.
func (p *Declared) worth() {
	last := yearName(p.Years-1, "balance.")
	for _, way := range []struct {
		suffix string
		what   say.Text
		left   string
	}{{"", "after the household's living", ""}, {"_before_drawings", "before the household's living", " + ~drawings - ~off_farm"}} {
		flow := func(year int) string { return fmt.Sprintf("plan.investment%s.year%d", way.suffix, year) }
		what := way.what
		p.step(flow(0), say.With("Money of the opening before financing, %s", what), "plan.before.net_cash - plan.before.introduced - plan.before.loans_drawn")
		for year := range p.Years {
			p.step(flow(year+1), say.With("Money of %s before financing, %s", p.YearLabel(year), what), "%s", strings.ReplaceAll(
				"~net_cash - ~introduced - ~loans_drawn + ~principal + ~interest_paid + ~overdraft_interest"+way.left, "~", yearName(year, "")))
		}
		rest := "plan.investment" + way.suffix + ".rest"
		p.step(rest, "All that is owned at the end, at book value, less taxes owed", "%s", strings.ReplaceAll(
			"~property + ~equipment + ~stock + ~growing + ~tax_back - ~sales_tax_due - ~tax_due", "~", last))
		p.engine("what the start-up is worth, "+string(what), func(d *figures.Declaration) figures.Run {
			var ins []*figures.In
			for year := range p.Years + 1 {
				ins = append(ins, d.Read(flow(year)))
			}
			owned := d.Read(rest)
			rate := d.ReadOr("finance.plan.discount", defaultDiscount/yearSeconds)
			all := append(append([]*figures.In{}, ins...), owned)
			found := say.With("yearly money of the farm before financing, %s, with all that is owned at the end of %s at book value", what, p.YearLabel(p.Years-1))
			npv := d.Give(p.number("plan.npv"+way.suffix, say.With("Net present value of the start-up, %s", what), say.With("%s, discounted at the rate of finance.plan.discount", found), d.Units().Money(), 1))
			irr := d.Give(p.number("plan.irr"+way.suffix, say.With("Internal rate of return of the start-up, %s", what), say.With("the yearly rate at which that is worth nothing today: %s", found), d.Units().Must("%"), 0.1, all...))
			payback := d.Give(p.number("plan.payback"+way.suffix, say.With("Years until the start-up's money is back, %s", what),
				say.With("yearly money of the farm before financing, %s, added up, without what is owned", what), d.Units().Must("year"), 0.1, ins...))
			return func(c *figures.Case) {
				if unanswered(c, append(all, rate), npv, irr, payback) {
					return
				}
				bare := make([]float64, len(ins))
				for i, in := range ins {
					bare[i] = c.Of(in)
				}
				flows := append([]float64{}, bare...)
				flows[p.Years] += c.Of(owned)
				c.Give(npv, trade.PresentValue(float64(c.Of(rate)*yearSeconds), flows))
				x, reason := returnOf(flows)
				if c.Give(irr, x); reason != "" {
					c.None(irr, reason)
				}
				switch years, ok := trade.Payback(0, bare); {
				case !ok:
					c.None(payback, say.With("it is not back within the %s years of the plan", p.Years))
				case years == 0:
					c.None(payback, "nothing is paid out first")
				default:
					c.Give(payback, years*yearSeconds)
				}
			}
		})
	}
}

// returnOf gives the internal rate of return, or the reason why there is none.
func returnOf(oldFlows []float64) (float64, say.Text) {
	rates := trade.InternalRates(oldFlows)
	switch len(rates) {
	case 0:
		in, out := false, false
		for _, x := range oldFlows {
			in, out = in || x > 0, out || x < 0
		}
		switch {
		case !out:
			return 0, "no money goes out, so there is no rate"
		case !in:
			return 0, "no money ever comes in, so there is no rate"
		}
		return 0, "at no rate is it worth nothing today"
	case 1:
		return rates[0], ""
	}
	var texts say.Text
	for _, x := range rates {
		text := say.With("%s %%", say.Number(100*x, 1))
		if texts != "" {
			text = say.With("%s, %s", texts, text)
		}
		texts = text
	}
	return 0, say.With("there are several such rates (%s), because money goes in and out more than once; look at the net present value", texts)
}
