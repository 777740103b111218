package enterprise_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
)

// brute looks at the steps one at a time, with the graph's own values, and
// applies the two conditions as their definition has them.
func brute(g *figures.Graph, s *enterprise.Spec, target float64) (owners, hired float64) {
	owners, hired = math.NaN(), math.NaN()
	look := func(name string) *figures.Figure { return g.Lookup(s.ID + "." + name) }
	scale, step, least, most := look(s.Scale.Figure.Name), look("scale.step").Current(), look("scale.least").Current(), look("scale.most").Current()
	v := g.Base().Clone()
	for k := 0; least+float64(k)*step <= most+step*1e-9; k++ {
		at := least + float64(k)*step
		v.Set(scale, at)
		v.Run()
		net := v.Of(look("alone_net_margin"))
		fits, hiring := true, 0.0
		have := v.Months(g.Lookup("farm.hours_by_month"))
		for m, x := range v.Months(look("hours_by_month")) {
			if x > have[m]*(1+1e-12) {
				fits = false
				hiring += x - have[m]
			}
		}
		if math.IsNaN(owners) && fits && net >= target*(1-1e-9) {
			owners = at
		}
		wage := v.Of(g.Lookup("farm.wage")) * (1 + v.Of(g.Lookup("farm.employment")))
		if math.IsNaN(hired) && net-hiring*wage >= target*(1-1e-9) {
			hired = at
		}
	}
	return owners, hired
}

func checkAnswer(t *testing.T, what string, a enterprise.Answer, want float64) {
	t.Helper()
	switch {
	case math.IsNaN(want) && a.Pays:
		t.Errorf("%s: pays at %g, but no step does", what, a.Scale)
	case !math.IsNaN(want) && !a.Pays:
		t.Errorf("%s: no scale found (%s); want %g", what, a.Reason, want)
	case a.Pays && a.Scale != want:
		t.Errorf("%s: pays at %g, want %g", what, a.Scale, want)
	case !a.Pays && (a.Reason == "" || a.Why == ""):
		t.Errorf("%s: no reason given", what)
	}
}

// TestLivingOfDemo holds the search against one that looks at each step alone,
// for every enterprise of the demo farm, at its own span and at a tenth of it.
func TestLivingOfDemo(t *testing.T) {
	for _, mosts := range []map[string]string{nil, smaller(t)} {
		d := loadDemo(t, mosts)
		pay := 0
		for _, l := range enterprise.Livings(d.Graph, d.farm.Enterprises, style(d.Graph)) {
			owners, hired := brute(d.Graph, l.Spec, d.Lookup(enterprise.Target).Current())
			checkAnswer(t, l.Spec.ID+" by the owners", l.Owners, owners)
			checkAnswer(t, l.Spec.ID+" with help", l.Hired, hired)
			if l.Hired.Pays {
				pay++
			}
			t.Log(l.Spec.ID, l.Owners.Pays, l.Owners.Scale, l.Owners.Reason, "|", l.Hired.Pays, l.Hired.Scale, l.Hired.Reason)
		}
		if mosts == nil && pay < 8 || mosts != nil && pay > 5 {
			t.Errorf("%d enterprises pay, so this shows little", pay)
		}
	}
}

// TestLivingProperty makes farms by chance, with stepped costs that make the
// margin fall and rise again.
func TestLivingProperty(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	pays, notMonotone := 0, 0
	for range 300 {
		p := plot{
			target: fmt.Sprintf("%d GBP", 200+r.IntN(4000)), hours: fmt.Sprintf("%d h/week", 20+r.IntN(100)),
			least: fmt.Sprintf("%d crate", 1+r.IntN(9)), step: fmt.Sprintf("%d crate", 1+r.IntN(3)), most: fmt.Sprintf("%d crate", 10+r.IntN(300)),
			lines: []enterprise.Line{
				sale("crates", fmt.Sprintf("%d GBP/crate", 60+r.IntN(100))),
				cost("feed", fmt.Sprintf("crates * %d GBP/crate", r.IntN(60))),
				cost("van", fmt.Sprintf("ceil(crates / %d crate) * %d GBP", 2+r.IntN(30), r.IntN(800))),
				work(fmt.Sprintf("crates * %d h/crate", r.IntN(20)), "Mar..Aug"),
			},
		}
		g, specs := p.graph(t)
		l := enterprise.Livings(g, specs, style(g))[0]
		target := g.Lookup(enterprise.Target).Current()
		owners, hired := brute(g, &specs[0], target)
		checkAnswer(t, "by the owners", l.Owners, owners)
		checkAnswer(t, "with help", l.Hired, hired)
		if !l.Owners.Pays {
			continue
		}
		pays++
		v := g.Base().Clone()
		at := func(scale float64) (net, over float64) {
			v.Set(g.Lookup("x.crates"), scale)
			v.Run()
			return v.Of(g.Lookup("x.alone_net_margin")), v.Of(g.Lookup("x.hired_hours"))
		}
		if net, over := at(l.Owners.Scale); net < target*(1-1e-9) || over > 1e-6 {
			t.Errorf("the scale %g found does not pay: %g, %g s over", l.Owners.Scale, net, over)
		}
		if !l.Owners.IsLeast {
			if net, over := at(l.Owners.Below); net >= target && over == 0 {
				t.Errorf("one step below %g pays too: %g", l.Owners.Scale, net)
			}
		}
		if net, _ := at(l.Owners.Scale + g.Lookup("x.scale.step").Current()); net < target {
			notMonotone++
		}
	}
	if pays < 20 || notMonotone == 0 {
		t.Errorf("%d farms of 300 pay, %d with a margin that falls again: too few to show anything", pays, notMonotone)
	}
}

// TestLivingStepped works by hand: 100 a crate, 150 for a van to each five
// crates. From 4 to 12 crates that leaves 250 350 300 400 500 600 700 650 750.
func TestLivingStepped(t *testing.T) {
	for _, c := range []struct {
		target, least string
		want          float64
		below         float64 // 0: there is no step below
	}{
		{"350 GBP", "", 5, 4}, {"351 GBP", "", 7, 6}, {"700 GBP", "", 10, 9}, {"701 GBP", "", 12, 11},
		{"350 GBP", "6 crate", 7, 6}, {"300 GBP", "6 crate", 6, 0}, {"650 GBP", "11 crate", 11, 0},
	} {
		p := plot{target: c.target, least: c.least, lines: []enterprise.Line{sale("crates", "100 GBP/crate"), cost("van", "ceil(crates / (5 crate)) * 150 GBP")}}
		g, specs := p.graph(t)
		a := enterprise.Livings(g, specs, style(g))[0].Owners
		checkAnswer(t, c.target+" from "+c.least, a, c.want)
		if a.Below != c.below || a.IsLeast != (c.below == 0) {
			t.Errorf("%s: the step below is %g, want %g", c.target, a.Below, c.below)
		}
	}
}

// plain writes the spaces before units as common ones.
func plain(text string) string { return strings.ReplaceAll(text, "\u00a0", " ") }

func TestLivingReasons(t *testing.T) {
	hours := []enterprise.Line{sale("crates", "100 GBP/crate"), work("crates * 20 h/crate", "Jul")}
	for _, c := range []struct {
		what          string
		plot          plot
		owners, hired enterprise.Why
		text          string // part of the owners' reason
	}{
		{"a loss on each", plot{lines: []enterprise.Line{sale("crates", "100 GBP/crate"), cost("feed", "crates * 130 GBP/crate")}},
			enterprise.Loss, enterprise.Loss, "each crate costs more than it brings: even at 1 crate the sales are £30 less"},
		{"the market", plot{most: "8 crate", because: "there are two kitchens.", lines: []enterprise.Line{sale("crates", "100 GBP/crate")}},
			enterprise.Market, enterprise.Market, "at 8 crates, the most that there can be, it leaves £800, which is £200 short of the target (why no more: there are two kitchens)"},
		{"land", plot{most: "farm.land.pasture.area * 2 crate/ha", land: "4 ha", lines: []enterprise.Line{sale("crates", "100 GBP/crate"), pasture("crates * 0.6 ha/crate")}},
			enterprise.NoLand, enterprise.NoLand, "that alone would take 4.8 ha of pasture, and the farm has 4 ha"},
		{"larger is worse", plot{most: "50 crate", lines: []enterprise.Line{sale("crates", "100 GBP/crate"), cost("feed", "crates * crates * 5 GBP/crate^2")}},
			enterprise.Short, enterprise.Short, "at 10 crates it leaves £500, which is £500 short of the target, and nothing larger up to 50 crates leaves more"},
		{"hours", plot{hours: "35 h/week", target: "4000 GBP", lines: []enterprise.Line{sale("crates", "400 GBP/crate"), work("crates * 20 h/crate", "Jul")}}, enterprise.NoHours, "", "it would pay from 10 crates on, but the work then takes 200 h in July and the people have 155 h"},
		{"help too dear", plot{hours: "7 h/week", most: "30 crate", lines: hours}, enterprise.NoHours, enterprise.TooDear, "in July"},
		{"no target", plot{noTarget: true, lines: hours}, enterprise.NoTarget, enterprise.NoTarget, "target_income"},
		{"a target of time", plot{target: "40 h/week", lines: hours}, enterprise.NoTarget, enterprise.NoTarget, "target_income"},
		{"an empty span", plot{least: "9 crate", most: "8 crate", lines: hours}, enterprise.NoTarget, enterprise.NoTarget, "its largest scale, 8 crates, is below its smallest, 9 crates"},
		{"a step of nothing", plot{step: "0 crate", lines: hours}, enterprise.NoTarget, enterprise.NoTarget, "no answer"},
		{"a step back", plot{step: "0 crate - 1 crate", lines: hours}, enterprise.NoTarget, enterprise.NoTarget, "no answer"},
		{"too many steps", plot{step: "0.000001 crate", lines: hours}, enterprise.NoTarget, enterprise.NoTarget, "more than a million steps"},
		{"no answer", plot{lines: []enterprise.Line{sale("crates", "100 GBP/crate"), cost("feed", `if(crates > 0 crate, none("the mill is shut"), 0 GBP)`)}},
			enterprise.Unknown, enterprise.Unknown, "the mill is shut"},
	} {
		t.Run(c.what, func(t *testing.T) {
			g, specs := c.plot.graph(t)
			l := enterprise.Livings(g, specs, style(g))[0]
			if l.Owners.Why != c.owners || l.Hired.Why != c.hired {
				t.Errorf("the reasons are %q (%s) and %q (%s); want %q and %q", l.Owners.Why, l.Owners.Reason, l.Hired.Why, l.Hired.Reason, c.owners, c.hired)
			}
			if !strings.Contains(plain(l.Owners.Reason.String()), c.text) {
				t.Errorf("the reason is %q; want %q in it", l.Owners.Reason, c.text)
			}
			if l.Owners.Pays || l.Hired.Pays != (c.hired == "") {
				t.Errorf("pays: %v, with help %v", l.Owners.Pays, l.Hired.Pays)
			}
		})
	}
}

// TestHiredHelp works by hand: a crate leaves 100 and takes 20 h in July. The
// people have 31 days of 7 h a week, 31 h; help costs 12 an hour, so each crate
// beyond them costs 240. Ten crates leave 1000 less 169 h at 12 = 2028.
func TestHiredHelp(t *testing.T) {
	p := plot{hours: "7 h/week", most: "10 crate", lines: []enterprise.Line{sale("crates", "100 GBP/crate"), work("crates * 20 h/crate", "Jul")}}
	g, specs := p.graph(t)
	l := enterprise.Livings(g, specs, style(g))[0]
	// Best is 1 crate: 20 h, none hired. At 2: 200 - 9 h at 12 = 92.
	if want := "it leaves the most at 1 crate, £100, which is £900 short of the target, before any is hired"; !strings.Contains(plain(l.Hired.Reason.String()), want) {
		t.Errorf("the reason is %q; want %q in it", l.Hired.Reason, want)
	}
	v := g.Base().Clone()
	v.Set(g.Lookup("x.crates"), 10)
	v.Run()
	if got := v.Of(g.Lookup("x.alone_net_margin_hired")); math.Abs(got-(1000-169*12)) > 1e-9 {
		t.Errorf("ten crates leave %g after help, want %d", got, 1000-169*12)
	}
}

func TestTargetByTheYear(t *testing.T) {
	for _, target := range []string{"1_000 GBP", "1_000 GBP/year", "1_000 GBP/year as GBP/month"} {
		p := plot{target: strings.TrimSuffix(target, " as GBP/month"), lines: []enterprise.Line{sale("crates", "100 GBP/crate")}}
		g, specs := p.graph(t)
		checkAnswer(t, target, enterprise.Livings(g, specs, style(g))[0].Owners, 10)
	}
}

// TestLivingFigures checks what a second graph holds.
func TestLivingFigures(t *testing.T) {
	p := plot{limit: "700 GBP", lines: []enterprise.Line{sale("crates", "100 GBP/crate"), work("crates * 10 h/crate", "Mar"), pasture("crates * 0.25 ha/crate")}}
	g, specs := p.graph(t)
	with, _ := p.graph(t, enterprise.Compare(g, specs, style(g))...)
	for name, want := range map[string]float64{
		"x.living.scale": 10, "x.living.steps": 10, "x.living.net_margin": 1000, "x.living.land": 25000, "x.living.hours": 100 * 3600,
		"x.living.peak_hours": 100 * 3600, "x.living.return_per_hour": 10. / 3600, "x.living.margin_per_hectare": 0.04, "x.living.below": 900,
		"x.living.takings.gate": 1000, "x.living.pays": 1, "x.living.hired_hours": 0, "x.living.hours_by_month": 100 * 3600,
		"x.living_hired.scale": 10, // March has 310 h; a crate beyond brings 100 and costs 120 of help.
		"x.at_best.scale":      31, "x.at_best.net_margin": 3100, "x.at_best.part": 3.1,
		"x.rank.land": 1, "x.rank.score": 1, "x.rank.place": 1,
	} {
		f := with.Lookup(name)
		if f == nil {
			t.Errorf("there is no %s", name)
		} else if math.Abs(f.Current()-want) > 1e-9*(1+math.Abs(want)) {
			t.Errorf("%s is %g, want %g", name, f.Current(), want)
		}
	}
	if got := plain(style(with).Text(with.Lookup("x.living.land").Current(), with.Lookup("x.living.land").Unit, 0)); got != "2.5 ha" {
		t.Errorf("the land is shown as %s", got)
	}
	// Found figures rest on the inputs that they depend on.
	var rests []string
	for _, f := range with.Lookup("x.living.scale").Leaves() {
		rests = append(rests, f.Name)
	}
	if text := strings.Join(rests, " "); !strings.Contains(text, enterprise.Target) || !strings.Contains(text, "farm.people.a.hours") {
		t.Errorf("the scale rests on %s", text)
	}
}

// TestLivingNoAnswer: what can't pay has the reason in each of its figures, and
// fails nothing that rests on them.
func TestLivingNoAnswer(t *testing.T) {
	p := plot{most: "8 crate", lines: []enterprise.Line{sale("crates", "100 GBP/crate")}}
	g, specs := p.graph(t)
	more := append(enterprise.Compare(g, specs, style(g)), figures.Definition{Name: "rests", Place: span("rests"), Formula: span("x.living.net_margin * 2")})
	with, _ := p.graph(t, more...)
	for _, name := range []string{"x.living.scale", "x.living_hired.hours_by_month", "x.living.pays", "x.rank.score", "rests"} {
		f := with.Lookup(name)
		if f == nil {
			t.Fatalf("there is no %s", name)
		}
		reason, none := with.Base().None(f)
		if name == "x.living.pays" {
			if with.Base().Holds(f) {
				t.Error("it pays")
			}
		} else if !none || !strings.Contains(reason.String(), "the most that there can be") {
			t.Errorf("%s: none %v, %q", name, none, reason)
		}
	}
	if f := with.Lookup("x.at_best.scale"); f.Current() != 8 {
		t.Errorf("it leaves the most at %g", f.Current())
	}
}

// TestLivingOfItself: a budget that needs its own living is a cycle, and said
// to be one.
func TestLivingOfItself(t *testing.T) {
	p := plot{worked: map[string]string{"extra": "0 GBP"}, lines: []enterprise.Line{sale("crates", "100 GBP/crate"), cost("feed", "extra")}}
	g, specs := p.graph(t)
	found := enterprise.Compare(g, specs, style(g))
	var definitions []figures.Definition
	for _, f := range g.All() {
		d := *f.Definition
		if d.Name == "x.extra" {
			d.Formula = span("living.net_margin * 1 %")
		}
		definitions = append(definitions, d)
	}
	_, err := figures.Build(g.Units, 3, append(definitions, found...), enterprise.Functions...)
	if err == nil || !strings.Contains(err.Error(), "is worked out from itself") {
		t.Errorf("the error is %v", err)
	}
}

func TestRankOfDemo(t *testing.T) {
	d := loadDemo(t, nil)
	with := second(t, d.farm.Units, d.definitions, d.Graph, d.farm.Enterprises)
	weights, total := map[string]float64{}, 0.0
	for _, m := range enterprise.WeightsOf(with) {
		weights[m.Name] = with.Lookup("farm.weight_" + m.Name).Current()
		total += weights[m.Name]
	}
	if len(weights) < 2 {
		t.Fatalf("the demo farm has %d weights", len(weights))
	}
	bySum := map[string]float64{}
	for _, s := range d.farm.Enterprises {
		if with.Lookup(s.ID+".living_hired.found").Current() == 0 {
			if _, none := with.Base().None(with.Lookup(s.ID + ".rank.score")); !none {
				t.Errorf("%s can't pay and has a score", s.ID)
			}
			continue
		}
		score := 0.0
		for name, w := range weights {
			x := with.Lookup(s.ID + ".rank." + name).Current()
			bySum[name] += x
			score += w * x / total
		}
		if got := with.Lookup(s.ID + ".rank.score").Current(); math.Abs(got-score) > 1e-12 {
			t.Errorf("%s scores %g, want %g", s.ID, got, score)
		}
		bySum["n"]++
	}
	// Evenly spaced places add up to half their number, ties or not.
	for name := range weights {
		if math.Abs(bySum[name]-bySum["n"]/2) > 1e-9 {
			t.Errorf("the scores for %s add up to %g among %g", name, bySum[name], bySum["n"])
		}
	}
}

func BenchmarkLivings(b *testing.B) {
	d := loadDemo(b, nil)
	b.ReportAllocs()
	for b.Loop() {
		enterprise.Livings(d.Graph, d.farm.Enterprises, style(d.Graph))
	}
	b.ReportMetric(float64(len(d.farm.Enterprises)), "enterprises")
}

// BenchmarkLivingSteps shows the growth as the steps of one enterprise double:
// the garden's, for the broilers' batches stop making sense at one a day.
func BenchmarkLivingSteps(b *testing.B) {
	for _, n := range []int{1000, 2000, 4000, 8000, 16000} {
		d := loadDemo(b, map[string]string{"garden": fmt.Sprintf("%d bed", 4+4*n)})
		for i := range d.farm.Enterprises {
			if d.farm.Enterprises[i].ID == "garden" {
				b.Run(fmt.Sprint(n), func(b *testing.B) {
					for b.Loop() {
						enterprise.Livings(d.Graph, d.farm.Enterprises[i:i+1], style(d.Graph))
					}
				})
			}
		}
	}
}

// BenchmarkStepsAlone is the same search, a step at a time.
func BenchmarkStepsAlone(b *testing.B) {
	d := loadDemo(b, map[string]string{"garden": "4_004 bed"})
	for i := range d.farm.Enterprises {
		if d.farm.Enterprises[i].ID == "garden" {
			for b.Loop() {
				brute(d.Graph, &d.farm.Enterprises[i], 46000)
			}
		}
	}
}
