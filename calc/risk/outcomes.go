package risk

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
)

// Short returns in how many runs the money runs out, and in how many of those it
// does so first in each column of the books: the bank is overdrawn beyond the
// run's own limit and more besides. Columns count months from 1; 0 is the
// opening.
func (o *Outcomes) Short(more float64) (runs int, first []int) {
	first = make([]int, o.columns)
	for run := range o.Runs {
		for c, x := range o.run(run) {
			if x < -o.limit[run]-more-0.005 {
				first[c]++
				runs++
				break
			}
		}
	}
	return runs, first
}

// run is the bank's balance in one run.
func (o *Outcomes) run(run int) []float64 { return o.bank[run*o.columns : (run+1)*o.columns] }

// Chance is the part of the runs in which the money runs out, with so much more
// lent on the account than the overdraft's limit.
func (o *Outcomes) Chance(more float64) float64 {
	runs, _ := o.Short(more)
	return float64(runs) / float64(o.Runs)
}

// Lowest is the least at a month's end in each run.
func (o *Outcomes) Lowest() []float64 {
	lowest := make([]float64, o.Runs)
	for run := range lowest {
		lowest[run] = slices.Min(o.run(run)[1:])
	}
	return lowest
}

// Income is the profit before tax of a year, counted from 0, in each run.
func (o *Outcomes) Income(year int) []float64 {
	return o.column(o.income, o.plan.Years, year)
}

// Cash is what is in the bank at the end of a column in each run.
func (o *Outcomes) Cash(column int) []float64 { return o.column(o.bank, o.columns, column) }

func (o *Outcomes) column(values []float64, stride, at int) []float64 {
	out := make([]float64, o.Runs)
	for run := range out {
		out[run] = values[run*stride+at]
	}
	return out
}

// below is the part of the runs whose value lies below a level; a run without a
// value does not.
func below(values []float64, level float64) float64 {
	n := 0
	for _, x := range values {
		if x < level {
			n++
		}
	}
	return float64(n) / float64(len(values))
}

// Percentiles returns the values below which the given parts of a sample lie,
// straight between the two nearest. It sorts the sample.
//
// Source: definition 7 of R. J. Hyndman and Y. Fan, "Sample quantiles in
// statistical packages", The American Statistician 50 (1996); from memory.
func Percentiles(sample []float64, parts ...float64) []float64 {
	slices.Sort(sample)
	out := make([]float64, len(parts))
	for i, p := range parts {
		at := float64(p * float64(len(sample)-1))
		k := int(at)
		out[i] = sample[k]
		if k+1 < len(sample) {
			out[i] += float64((at - float64(k)) * (sample[k+1] - sample[k]))
		}
	}
	return out
}

// Ranks returns each value's place in the order of its sample, counted from 1;
// equal values share the mean of their places.
func Ranks(sample []float64) []float64 {
	type place struct {
		x  float64
		at int
	}
	order := make([]place, len(sample))
	for i, x := range sample {
		order[i] = place{x, i}
	}
	slices.SortFunc(order, func(a, b place) int {
		if c := cmp.Compare(a.x, b.x); c != 0 {
			return c
		}
		return a.at - b.at
	})
	ranks := make([]float64, len(sample))
	for i := 0; i < len(order); {
		j := i + 1
		for j < len(order) && order[j].x == order[i].x {
			j++
		}
		for _, p := range order[i:j] {
			ranks[p.at] = float64(i+j+1) / 2
		}
		i = j
	}
	return ranks
}

// Correlation is the ordinary correlation of two samples, from -1 to 1; 0 if one
// of them does not vary. Of ranks it is the rank correlation.
func Correlation(a, b []float64) float64 {
	meanA, meanB := 0.0, 0.0
	for i := range a {
		meanA += a[i]
		meanB += b[i]
	}
	meanA, meanB = meanA/float64(len(a)), meanB/float64(len(b))
	var ab, aa, bb float64
	for i := range a {
		x, y := a[i]-meanA, b[i]-meanB
		ab += float64(x * y)
		aa += float64(x * x)
		bb += float64(y * y)
	}
	if aa == 0 || bb == 0 {
		return 0
	}
	return ab / math.Sqrt(aa*bb)
}

// A Driver is an input with its rank correlation with two outcomes.
type Driver struct {
	Input  *figures.Figure
	Cash   float64 // with the least in the bank
	Income float64 // with the profit of the last year
}

// Drivers returns the inputs that vary, those first whose rank correlation with
// the least in the bank is farthest from 0. An input that moves with others in a
// group shares their correlation, so that it may stand high without doing much
// itself.
//
// Source: C. Spearman, "The proof and measurement of association between two
// things", American Journal of Psychology 15 (1904), for the measure; its use to
// rank inputs is that of J. C. Helton and F. J. Davis, Reliability Engineering
// and System Safety 81 (2003). From memory.
func (o *Outcomes) Drivers() []Driver {
	cash, income := Ranks(o.Lowest()), Ranks(o.Income(o.plan.Years-1))
	drivers := make([]Driver, len(o.inputs))
	o.together(len(drivers), func(i int) {
		ranks := Ranks(o.Drawn(i))
		drivers[i] = Driver{o.inputs[i].figure, Correlation(ranks, cash), Correlation(ranks, income)}
	})
	slices.SortStableFunc(drivers, func(a, b Driver) int { return cmp.Compare(math.Abs(b.Cash), math.Abs(a.Cash)) })
	return drivers
}

// together does n things on two or more cores.
func (o *Outcomes) together(n int, do func(i int)) {
	var wait sync.WaitGroup
	const workers = 2
	for w := range workers {
		wait.Go(func() {
			for i := w; i < n; i += workers {
				do(i)
			}
		})
	}
	wait.Wait()
}

// bands are the parts of the runs that a band names.
var bands = []float64{0.1, 0.5, 0.9}

var bandNames = []string{"p10", "p50", "p90"}

var bandLabels = []say.Text{"%s, below this in one of ten runs", "%s, the middle run", "%s, above this in one of ten runs"}

// mostDrivers is how many inputs the table of drivers names.
const mostDrivers = 12

// A report tells what the runs came to, figure by figure. Its figures are
//
//	risk.runs, risk.inputs        how many runs, and how many inputs vary
//	risk.runs_unanswered          runs in which some figure had no answer; they are left out
//	risk.chance_cash_runs_out     in some month of the plan
//	risk.chance_overdrawn         likewise, whether beyond the overdraft's limit or not
//	risk.chance_error             how far it may be off because the runs are not more: the
//	                              half of the range that holds it 19 times in 20
//	risk.year<k>.chance_cash_runs_out    by that year's end
//	risk.year<k>.chance_overdrawn, .chance_loss, .chance_loan_not_covered
//	risk.year<k>.income_p10, _p50, _p90  profit before tax
//	risk.year<k>.cash_p10, _p50, _p90    in the bank at the year's end
//	risk.lowest_cash_p10, _p50, _p90     at any month's end
//	risk.cash_p10, _p50, _p90     by month
//	risk.runs_out_by_month        the part of all runs in which it runs out first then
//	risk.driver<n>.cash, .income  rank correlations, the strongest first
//
// and as texts risk.most_likely_month, in which the money runs out most often,
// and risk.driver<n>, an input's label. They are rounded as shown, so that no
// machine's last digit shows.
type report struct {
	*Outcomes
	units *quantity.System
	put   func(out figures.Output, values []float64, words, reason say.Text)
}

// declare declares what the report gives, by telling of no runs at all: what
// there is of it does not hang on what they come to.
func (s *Simulation) declare(d *figures.Declaration) {
	s.outs = map[string]*figures.Out{}
	years := s.plan.Years
	none := &Outcomes{drawing: &drawing{Simulation: s}, Runs: 1, asked: 1, columns: 12*years + 1, bank: make([]float64, 12*years+1),
		income: make([]float64, years), cover: make([]float64, years), limit: make([]float64, 1), faulty: make([]bool, 1)}
	none.tell(d.Units(), func(out figures.Output, _ []float64, _, _ say.Text) { s.outs[out.Name] = d.Give(out) })
	s.units = d.Units()
}

// report gives what the runs came to.
func (o *Outcomes) report(c *figures.Case) {
	if o.Runs == 0 {
		o.refuse(c, "in none of the runs has the plan an answer")
		return
	}
	o.tell(o.units, func(out figures.Output, values []float64, words, reason say.Text) {
		at := o.outs[out.Name]
		switch {
		case out.Text:
			c.Say(at, words)
		case reason != "":
			c.None(at, reason)
		default:
			c.Give(at, values...)
		}
	})
}

func (o *Outcomes) tell(units *quantity.System, put func(out figures.Output, values []float64, words, reason say.Text)) {
	r := &report{o, units, put}
	r.chances()
	r.bands()
	r.drive()
}

func (r *report) output(name string, label say.Text, unit quantity.Unit, step float64) figures.Output {
	return figures.Output{Name: "risk." + name, Label: label, Scope: "risk", Place: r.plan.Place,
		How: "the plan worked out many times, each time with all inputs that have a range drawn anew", Unit: unit, Step: step}
}

func (r *report) add(name string, label say.Text, x float64, unit quantity.Unit, step float64) {
	r.put(r.output(name, label, unit, step), []float64{quantity.Round(x, unit, step)}, "", "")
}

func (r *report) series(name string, label say.Text, kind formula.Kind, unit quantity.Unit, step float64, values []float64) {
	out := r.output(name, label, unit, step)
	out.Len, out.Kind = len(values), kind
	for i := range values {
		values[i] = quantity.Round(values[i], unit, step)
	}
	r.put(out, values, "", "")
}

func (r *report) words(name string, label, words say.Text) {
	out := r.output(name, label, quantity.Unit{}, 0)
	out.Text, out.Hidden = true, strings.HasSuffix(name, ".input")
	r.put(out, nil, words, "")
}

func (r *report) share() quantity.Unit  { return r.units.Must("%") }
func (r *report) money() quantity.Unit  { return r.units.Money() }
func (r *report) number() quantity.Unit { return quantity.Unit{Factor: 1} }

// Steps of what is shown.
const (
	chanceStep = 0.1
	rankStep   = 0.01
)

func (r *report) chances() {
	n := float64(r.Runs)
	r.add("runs", "Runs of the simulation", n, r.number(), 1)
	r.add("inputs", "Inputs that vary", float64(len(r.inputs)), r.number(), 1)
	left := r.asked - r.Runs
	r.add("runs_unanswered", "Runs in which some figure had no answer", float64(left), r.number(), 1)
	note := say.Text("Counted over all runs. A chance here speaks only of the ranges that were given.")
	if left > 0 {
		note = say.With("%s %s runs, in which some figure had no answer, are left out.", note, left)
	}
	r.words("note", "What the chances are counted over", note)
	short, first := r.Short(0)
	p := float64(short) / n
	r.add("chance_cash_runs_out", "Chance that the money runs out", p, r.share(), chanceStep)
	// Of a share from n runs, at 1.96 standard errors.
	r.add("chance_error", "Half of the range that holds this chance 19 times in 20", 1.96*math.Sqrt(p*(1-p)/n), r.share(), chanceStep)
	months := make([]float64, r.columns-1)
	worst := 0
	for c, runs := range first {
		months[max(0, c-1)] += float64(runs) / n
	}
	for m, x := range months {
		if x > months[worst] {
			worst = m
		}
	}
	likely := say.Text("no month")
	if short > 0 {
		likely = (r.plan.Start + plan.Month(worst)).Name()
	}
	r.words("most_likely_month", "The month in which the money runs out most often", likely)
	r.add("chance_overdrawn", "Chance that the overdraft is used at some month's end", below(r.Lowest(), -0.005), r.share(), chanceStep)
	r.series("runs_out_by_month", "Chance that the money runs out first in the month", formula.Flow, r.share(), chanceStep, months)
	sum := 0
	for y := range r.plan.Years {
		label := r.plan.YearLabel(y)
		for c := 12*y + 1; c <= 12*y+12; c++ {
			sum += first[c]
		}
		if y == 0 {
			sum += first[0]
		}
		year := fmt.Sprintf("year%d.", y+1)
		r.add(year+"chance_cash_runs_out", say.With("Chance that the money has run out by the end of %s", label), float64(sum)/n, r.share(), chanceStep)
		overdrawn := 0
		for run := range r.Runs {
			if slices.Min(r.run(run)[12*y+1:12*y+13]) < -0.005 {
				overdrawn++
			}
		}
		r.add(year+"chance_overdrawn", say.With("Chance that the overdraft is used in %s", label), float64(overdrawn)/n, r.share(), chanceStep)
		r.add(year+"chance_loss", say.With("Chance of a loss in %s", label), below(r.Income(y), 0), r.share(), chanceStep)
		cover := r.output(year+"chance_loan_not_covered", say.With("Chance that %s does not cover its loan payments", label), r.share(), chanceStep)
		if paid := r.paid(y); len(paid) == 0 {
			r.put(cover, nil, "", "no loan is paid in this year")
		} else {
			r.put(cover, []float64{quantity.Round(below(paid, 1), cover.Unit, chanceStep)}, "", "")
		}
	}
}

// paid is the debt service cover of a year in each run in which a loan is paid.
func (r *report) paid(year int) []float64 {
	return slices.DeleteFunc(r.column(r.cover, r.plan.Years, year), func(x float64) bool { return x != x })
}

func (r *report) bands() {
	put := func(name string, label say.Text, sample []float64) {
		for i, x := range Percentiles(sample, bands...) {
			r.add(name+"_"+bandNames[i], say.With(bandLabels[i], label), x, r.money(), 1)
		}
	}
	for y := range r.plan.Years {
		year := fmt.Sprintf("year%d.", y+1)
		put(year+"income", say.With("Profit before tax in %s", r.plan.YearLabel(y)), r.Income(y))
		put(year+"cash", say.With("In the bank at the end of %s", r.plan.YearLabel(y)), r.Cash(12*y+12))
	}
	put("lowest_cash", "Least in the bank at a month's end", r.Lowest())
	months := make([][]float64, len(bands))
	for i := range months {
		months[i] = make([]float64, r.columns-1)
	}
	r.together(r.columns-1, func(m int) {
		for i, x := range Percentiles(r.Cash(m+1), bands...) {
			months[i][m] = x
		}
	})
	for i := range bands {
		r.series("cash_"+bandNames[i], say.With(bandLabels[i], say.Text("In the bank at the month's end")), formula.Level, r.money(), 1, months[i])
	}
}

func (r *report) drive() {
	drivers := r.Drivers()
	last := r.plan.YearLabel(r.plan.Years - 1)
	for i := range mostDrivers {
		name := fmt.Sprintf("driver%d", i+1)
		cash, income := r.output(name+".cash", say.With("Driver %s: rank correlation with the least in the bank", i+1), r.number(), rankStep),
			r.output(name+".income", say.With("Driver %s: rank correlation with the profit of %s", i+1, last), r.number(), rankStep)
		if i >= len(drivers) {
			const fewer = "fewer inputs vary"
			r.put(cash, nil, "", fewer)
			r.put(income, nil, "", fewer)
			r.words(name, say.With("Driver %s", i+1), fewer)
			r.words(name+".input", say.With("Driver %s, by its full name", i+1), "")
			continue
		}
		d := drivers[i]
		r.put(cash, []float64{quantity.Round(d.Cash, cash.Unit, rankStep)}, "", "")
		r.put(income, []float64{quantity.Round(d.Income, income.Unit, rankStep)}, "", "")
		r.words(name, say.With("Driver %s", i+1), d.Input.Label)
		r.words(name+".input", say.With("Driver %s, by its full name", i+1), say.Own(d.Input.Name))
	}
}

// DrawnAs is added to a word for the table that its chart is drawn from, where
// that is another than the one shown.
const DrawnAs = " drawn"

// Tables lays the report out, by the words that chapters use.
func (r *Simulation) Tables() map[string]sheet.Table {
	risk := sheet.Table{Name: "risk", Title: "How likely it goes wrong", Head: "Chance that",
		NoteOf: "risk.note"}
	bands := sheet.Table{Name: "risk_bands", Title: "What most runs come to", Head: "Outcome",
		Columns: []sheet.Column{{Label: "As planned"}, {Label: "Worse in 1 of 10"}, {Label: "Middle"}, {Label: "Better in 1 of 10"}}}
	row := func(t *sheet.Table, kind sheet.RowKind, label say.Text, cells ...string) {
		t.Rows = append(t.Rows, sheet.Row{Kind: kind, Label: label, Cells: cells})
	}
	rows := []struct {
		name  string
		label say.Text
	}{
		{"chance_cash_runs_out", "the money has run out by the year's end"},
		{"chance_overdrawn", "the bank is overdrawn at some month's end"},
		{"chance_loss", "the year makes a loss"}, {"chance_loan_not_covered", "the year does not cover its loan payments"},
	}
	cells := make([][]string, len(rows))
	for y := range r.plan.Years {
		risk.Columns = append(risk.Columns, sheet.Column{Label: r.plan.YearLabel(y)})
		for i := range rows {
			cells[i] = append(cells[i], fmt.Sprintf("risk.year%d.%s", y+1, rows[i].name))
		}
	}
	for i := range rows {
		row(&risk, sheet.Line, rows[i].label, cells[i]...)
	}
	group := func(head say.Text, name, planned string) {
		row(&bands, sheet.Head, head)
		for y := range r.plan.Years {
			of := fmt.Sprintf("risk.year%d.%s_", y+1, name)
			row(&bands, sheet.Line, r.plan.YearLabel(y), fmt.Sprintf("plan.year%d.%s", y+1, planned), of+"p10", of+"p50", of+"p90")
		}
	}
	group("Profit before tax", "income", "profit")
	group("In the bank at the year's end", "cash", "cash_end")
	row(&bands, sheet.Head, "Over all months")
	row(&bands, sheet.Line, "Least in the bank", "plan.lowest_cash", "risk.lowest_cash_p10", "risk.lowest_cash_p50", "risk.lowest_cash_p90")

	last := r.plan.YearLabel(r.plan.Years - 1)
	drivers := sheet.Table{Name: "risk_drivers", Title: "What moves it", Head: "Input",
		Columns: []sheet.Column{{Label: "As planned"}, {Label: "With the least in the bank"}, {Label: say.With("With the profit of %s", last)}},
		Note:    "Rank correlation, from −1 to 1: 1 if the outcome always rises with the input, −1 if it always falls, 0 if they are unrelated."}
	drawn := sheet.Table{Columns: []sheet.Column{{Label: "With the least in the bank"}}}
	for i := range min(mostDrivers, len(r.candidates)) {
		name := fmt.Sprintf("risk.driver%d", i+1)
		drivers.Rows = append(drivers.Rows, sheet.Row{Kind: sheet.Line, Label: "%s", With: name, IfSaid: true, Cells: []string{sheet.NamedBy + name + ".input", name + ".cash", name + ".income"}})
		drawn.Rows = append(drawn.Rows, sheet.Row{Kind: sheet.Line, Label: "%s", With: name, IfAny: true, Cells: []string{name + ".cash"}})
	}
	months := func(rows ...sheet.Row) sheet.Table {
		t := sheet.Table{Months: true, First: r.plan.Start.Of(), Rows: rows}
		for m := range 12 * r.plan.Years {
			t.Columns = append(t.Columns, sheet.Column{Label: (r.plan.Start + plan.Month(m)).Short()})
		}
		return t
	}
	return map[string]sheet.Table{
		"risk": risk, "risk_bands": bands, "risk_drivers": drivers, "risk_drivers" + DrawnAs: drawn,
		"risk" + DrawnAs: months(sheet.Row{Label: "The money runs out", Of: "risk.runs_out_by_month"}),
		"risk_bands" + DrawnAs: months(sheet.Row{Label: "Better in 1 of 10", Of: "risk.cash_p90"}, sheet.Row{Label: "Middle", Of: "risk.cash_p50"},
			sheet.Row{Label: "Worse in 1 of 10", Of: "risk.cash_p10"}),
	}
}
