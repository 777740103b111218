package enterprise_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
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

// found is what a search has told of an enterprise.
type found struct {
	pays         bool
	scale, below float64 // no number if there is none
	reason       string
}

func living(g *figures.Graph, id, word string) found {
	of := func(name string) float64 { return g.Lookup(id + "." + word + "." + name).Current() }
	reason, _ := g.Base().None(g.Lookup(id + "." + word + ".scale"))
	return found{of("found") == 1, of("scale"), of("below"), plain(reason.String())}
}

func checkAnswer(t *testing.T, what string, a found, want float64) {
	t.Helper()
	switch {
	case math.IsNaN(want) && a.pays:
		t.Errorf("%s: pays at %g, but no step does", what, a.scale)
	case !math.IsNaN(want) && !a.pays:
		t.Errorf("%s: no scale found (%s); want %g", what, a.reason, want)
	case a.pays && a.scale != want:
		t.Errorf("%s: pays at %g, want %g", what, a.scale, want)
	case !a.pays && a.reason == "":
		t.Errorf("%s: no reason given", what)
	}
}

// TestLivingOfDemo holds the search against one that looks at each step alone,
// for every enterprise of the demo farm, at its own span and at a tenth of it.
func TestLivingOfDemo(t *testing.T) {
	for _, mosts := range []map[string]string{nil, smaller(t)} {
		d := loadDemo(t, mosts)
		pay := 0
		for i := range d.farm.Enterprises {
			s := &d.farm.Enterprises[i]
			owners, hired := brute(d.Graph, s, d.Lookup(enterprise.Target).Current())
			help := living(d.Graph, s.ID, enterprise.LivingHiredWord)
			checkAnswer(t, s.ID+" by the owners", living(d.Graph, s.ID, enterprise.LivingWord), owners)
			checkAnswer(t, s.ID+" with help", help, hired)
			if help.pays {
				pay++
			}
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
		a := living(g, "x", enterprise.LivingWord)
		target := g.Lookup(enterprise.Target).Current()
		owners, hired := brute(g, &specs[0], target)
		checkAnswer(t, "by the owners", a, owners)
		checkAnswer(t, "with help", living(g, "x", enterprise.LivingHiredWord), hired)
		if !a.pays {
			continue
		}
		pays++
		v := g.Base().Clone()
		at := func(scale float64) (net, over float64) {
			v.Set(g.Lookup("x.crates"), scale)
			v.Run()
			return v.Of(g.Lookup("x.alone_net_margin")), v.Of(g.Lookup("x.hired_hours"))
		}
		if net, over := at(a.scale); net < target*(1-1e-9) || over > 1e-6 {
			t.Errorf("the scale %g found does not pay: %g, %g s over", a.scale, net, over)
		}
		if !math.IsNaN(a.below) {
			least := g.Lookup("x.scale.step").Current()
			if net, over := at(a.scale - least); net >= target && over == 0 {
				t.Errorf("one step below %g pays too: %g", a.scale, net)
			}
		}
		if net, _ := at(a.scale + g.Lookup("x.scale.step").Current()); net < target {
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
		below         float64 // what one step below leaves; no number: there is none
	}{
		{"350 GBP", "", 5, 250}, {"351 GBP", "", 7, 300}, {"700 GBP", "", 10, 600}, {"701 GBP", "", 12, 650},
		{"350 GBP", "6 crate", 7, 300}, {"300 GBP", "6 crate", 6, math.NaN()}, {"650 GBP", "11 crate", 11, math.NaN()},
	} {
		p := plot{target: c.target, least: c.least, lines: []enterprise.Line{sale("crates", "100 GBP/crate"), cost("van", "ceil(crates / (5 crate)) * 150 GBP")}}
		g, _ := p.graph(t)
		a := living(g, "x", enterprise.LivingWord)
		checkAnswer(t, c.target+" from "+c.least, a, c.want)
		if a.below != c.below && (c.below == c.below || a.below == a.below) {
			t.Errorf("%s: one step below leaves %g, want %g", c.target, a.below, c.below)
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
		owners, hired string // part of the reasons; none: it pays
	}{
		{"a loss on each", plot{lines: []enterprise.Line{sale("crates", "100 GBP/crate"), cost("feed", "crates * 130 GBP/crate")}},
			"each crate costs more than it brings: even at 1 crate the sales are £30 below", "each crate costs more than it brings"},
		{"the market", plot{most: "8 crate", because: "there are two kitchens.", lines: []enterprise.Line{sale("crates", "100 GBP/crate")}},
			"at 8 crates, the largest possible, it earns £800, £200 below the target. The limit: there are two kitchens", "The limit: there are two kitchens"},
		{"land", plot{most: "farm.land.pasture.area * 2 crate/ha", land: "4 ha", lines: []enterprise.Line{sale("crates", "100 GBP/crate"), pasture("crates * 0.6 ha/crate")}},
			"that alone would need 4.8 ha of pasture, and the farm has 4 ha", "the farm has 4 ha"},
		{"larger is worse", plot{most: "50 crate", lines: []enterprise.Line{sale("crates", "100 GBP/crate"), cost("feed", "crates * crates * 5 GBP/crate^2")}},
			"at 10 crates it earns £500, £500 below the target; nothing larger, up to 50 crates, earns more", "at 10 crates it earns £500"},
		{"hours", plot{hours: "35 h/week", target: "4000 GBP", lines: []enterprise.Line{sale("crates", "400 GBP/crate"), work("crates * 20 h/crate", "Jul")}},
			"the target is reached at 10 crates, but the work then takes 200 h in July and the owners have 155 h", ""},
		{"help too dear", plot{hours: "7 h/week", most: "30 crate", lines: hours},
			"in July", "the help costs too much: the best scale is 1 crate, which earns £100, £900 below the target"},
		{"no target", plot{noTarget: true, lines: hours}, "target_income", "target_income"},
		{"a target of time", plot{target: "40 h/week", lines: hours}, "target_income", "target_income"},
		{"an empty span", plot{least: "9 crate", most: "8 crate", lines: hours}, "its largest scale, 8 crates, is below its smallest, 9 crates", "below its smallest"},
		{"a step of nothing", plot{step: "0 crate", lines: hours}, "no answer", "no answer"},
		{"a step back", plot{step: "0 crate - 1 crate", lines: hours}, "no answer", "no answer"},
		{"too many steps", plot{step: "0.000001 crate", lines: hours}, "more than a million steps", "more than a million steps"},
		{"no answer", plot{lines: []enterprise.Line{sale("crates", "100 GBP/crate"), cost("feed", `if(crates > 0 crate, none("the mill is shut"), 0 GBP)`)}},
			"the mill is shut", "the mill is shut"},
	} {
		t.Run(c.what, func(t *testing.T) {
			g, _ := c.plot.graph(t)
			owners, hired := living(g, "x", enterprise.LivingWord), living(g, "x", enterprise.LivingHiredWord)
			if !strings.Contains(owners.reason, c.owners) || !strings.Contains(hired.reason, c.hired) {
				t.Errorf("the reasons are %q and %q; want %q and %q in them", owners.reason, hired.reason, c.owners, c.hired)
			}
			if owners.pays || hired.pays != (c.hired == "") {
				t.Errorf("pays: %v, with help %v", owners.pays, hired.pays)
			}
		})
	}
}

// TestHiredHelp works by hand: a crate leaves 100 and takes 20 h in July. The
// people have 31 days of 7 h a week, 31 h; help costs 12 an hour, so each crate
// beyond them costs 240. Ten crates leave 1000 less 169 h at 12 = 2028.
func TestHiredHelp(t *testing.T) {
	p := plot{hours: "7 h/week", most: "10 crate", lines: []enterprise.Line{sale("crates", "100 GBP/crate"), work("crates * 20 h/crate", "Jul")}}
	g, _ := p.graph(t)
	// Best is 1 crate: 20 h, none hired. At 2: 200 - 9 h at 12 = 92.
	if got, want := living(g, "x", enterprise.LivingHiredWord).reason, "the best scale is 1 crate, which earns £100, £900 below the target, before any is hired"; !strings.Contains(got, want) {
		t.Errorf("the reason is %q; want %q in it", got, want)
	}
	v := g.Base().Clone()
	v.Set(g.Lookup("x.crates"), 10)
	v.Run()
	if got := v.Of(g.Lookup("x.alone_net_margin_hired")); math.Abs(got-(1000-169*12)) > 1e-9 {
		t.Errorf("ten crates leave %g after help, want %d", got, 1000-169*12)
	}
}

func TestTargetByTheYear(t *testing.T) {
	line := []enterprise.Line{sale("crates", "100 GBP/crate")}
	check := func(what string, g *figures.Graph) {
		checkAnswer(t, what, living(g, "x", enterprise.LivingWord), 10)
		if part := g.Lookup("x.at_best.part"); math.Abs(part.Current()-10) > 1e-12 {
			t.Errorf("%s: a hundred crates are %v of the target, want 10", what, part.Current())
		}
	}
	for _, target := range []string{"1_000 GBP", "1_000 GBP/year"} {
		g, _ := (&plot{target: target, lines: line}).graph(t)
		check(target, g)
		g, _ = (&plot{noTarget: true, lines: line}).graph(t, figures.Definition{Name: enterprise.Target, Place: span(target), Formula: span(target + " * 2 / 2")})
		check(target+", worked", g)
	}
}

// TestLivingFigures checks what is told of a scale that pays.
func TestLivingFigures(t *testing.T) {
	p := plot{limit: "700 GBP", lines: []enterprise.Line{sale("crates", "100 GBP/crate"), work("crates * 10 h/crate", "Mar"), pasture("crates * 0.25 ha/crate")}}
	with, _ := p.graph(t)
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
	if got := plain(style(with.Units).Text(with.Lookup("x.living.land").Current(), with.Lookup("x.living.land").Unit, 0)); got != "2.5 ha" {
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
	with, _ := p.graph(t, figures.Definition{Name: "rests", Place: span("rests"), Formula: span("x.living.net_margin * 2")})
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
		} else if !none || !strings.Contains(reason.String(), "the largest possible") {
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
	var definitions []figures.Definition
	for _, f := range g.All() {
		d := *f.Definition
		if d.Name == "x.extra" {
			d.Formula = span("living.net_margin * 1 %")
		}
		if d.Found == "" && !strings.HasPrefix(d.Name, "x.living") && !strings.HasPrefix(d.Name, "x.at_best") && !strings.HasPrefix(d.Name, "x.rank") {
			definitions = append(definitions, d)
		}
	}
	_, err := searched(g.Units, 3, definitions, specs)
	if err == nil || !strings.Contains(err.Error(), "is worked out from itself") {
		t.Errorf("the error is %v", err)
	}
}

func TestRankOfDemo(t *testing.T) {
	d := loadDemo(t, nil)
	with := d.Graph
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

// searching searches again and again, for a target that is another each time.
func searching(b *testing.B, g *figures.Graph) {
	v, target := g.Base().Clone(), g.Lookup(enterprise.Target)
	aim := target.Current()
	b.ReportAllocs()
	for b.Loop() {
		aim++
		v.Set(target, aim)
		v.Run()
	}
}

func BenchmarkLivings(b *testing.B) {
	d := loadDemo(b, nil)
	searching(b, d.Graph)
	b.ReportMetric(float64(len(d.farm.Enterprises)), "enterprises")
}

// BenchmarkLivingSteps shows the growth as the steps of one enterprise double:
// the garden's, for the broilers' batches stop making sense at one a day.
func BenchmarkLivingSteps(b *testing.B) {
	for _, n := range []int{1000, 2000, 4000, 8000, 16000} {
		d := loadDemo(b, map[string]string{"garden": fmt.Sprintf("%d bed", 4+4*n)})
		garden := slices.IndexFunc(d.farm.Enterprises, func(s enterprise.Spec) bool { return s.ID == "garden" })
		g, err := searched(d.farm.Units, d.farm.Horizon, d.definitions, d.farm.Enterprises[garden:garden+1])
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) { searching(b, g) })
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
