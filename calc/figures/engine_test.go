package figures_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"rickyard/calc/figures"
	"rickyard/calc/say"
)

// doubler gives twice what it reads, and what it read in words.
func doubler(runs *int, late bool) *figures.Engine {
	return &figures.Engine{Name: "doubling", Late: late, Declare: func(d *figures.Declaration) figures.Run {
		in := d.Read("hens.eggs")
		twice := d.Give(figures.Output{Name: "twice", Like: in})
		least := d.Give(figures.Output{Name: "capped", Like: in})
		words := d.Give(figures.Output{Name: "words", Text: true})
		return func(c *figures.Case) {
			*runs++
			c.Give(twice, 2*c.Of(in))
			c.Give(least, min(c.Of(in), 1000))
			if why, none := c.Why(in); none {
				c.None(twice, why)
			}
			if c.Of(in) > 5000 {
				c.None(twice, "too many to double")
			}
			c.Say(words, say.With("%s eggs", say.Number(c.Of(in), 0)))
		}
	}}
}

func engines(t *testing.T, all []*figures.Engine, text string) *figures.Graph {
	t.Helper()
	system := units(t)
	g, err := figures.BuildWith(system, 5, define(t, system, text), all)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func TestAnEngineRunsWhenWhatItReadsChanges(t *testing.T) {
	runs := 0
	g := engines(t, []*figures.Engine{doubler(&runs, false)}, `hens.number: 10
hens.lay: 300
hens.eggs = number * lay
cheap = twice / 2
flat = capped + 1
other: 4
beside = other + 1`)
	of := func(v *figures.Values, name string) float64 { return v.Of(g.Lookup(name)) }
	if runs != 1 || of(g.Base(), "twice") != 6000 || of(g.Base(), "cheap") != 3000 {
		t.Fatalf("%d runs, twice %v", runs, of(g.Base(), "twice"))
	}
	if got := g.Base().Text(g.Lookup("words")); got.String() != "3000 eggs" {
		t.Errorf("words are %q", got)
	}
	v := g.Base().Clone()
	v.Set(g.Lookup("other"), 5)
	v.Run()
	if runs != 1 || of(v, "beside") != 6 {
		t.Errorf("the engine ran for what it does not read: %d runs", runs)
	}
	v.Set(g.Lookup("hens.number"), 11)
	v.Run()
	if runs != 2 || of(v, "twice") != 6600 || of(v, "flat") != 1001 || of(g.Base(), "twice") != 6000 {
		t.Errorf("%d runs; twice %v, in the base %v", runs, of(v, "twice"), of(g.Base(), "twice"))
	}
	v.Set(g.Lookup("hens.number"), 20)
	v.Run()
	if reason, none := v.None(g.Lookup("cheap")); !none || reason != "too many to double" {
		t.Errorf("no reason for none: %q, %v", reason, none)
	}
	v.Set(g.Lookup("hens.number"), math.NaN())
	v.Run()
	if reason, none := v.None(g.Lookup("flat")); !none || reason != "it can't be worked out" {
		t.Errorf("hens without a number: %q, %v", reason, none)
	}
	if names := namesOf(g.Lookup("cheap").Leaves()); !slices.Equal(names, []string{"hens.lay", "hens.number"}) {
		t.Errorf("leaves are %v", names)
	}
	if names := namesOf(g.Lookup("hens.eggs").Users()); !slices.Equal(names, []string{"twice", "capped", "words"}) {
		t.Errorf("users are %v", names)
	}
}

func namesOf(all []*figures.Figure) []string {
	var names []string
	for _, f := range all {
		names = append(names, f.Name)
	}
	return names
}

func TestALateEngineWaitsUntilSomebodyAsks(t *testing.T) {
	runs := 0
	g := engines(t, []*figures.Engine{doubler(&runs, true)}, `hens.number: 10
hens.lay: 300
hens.eggs = number * lay
cheap = twice / 2
more = cheap + 1`)
	if runs != 0 || !g.Base().Waits(g.Lookup("more")) {
		t.Fatalf("%d runs before anybody asked", runs)
	}
	v := g.Base().Clone()
	v.Set(g.Lookup("hens.number"), 11)
	v.Run()
	if runs != 0 {
		t.Fatalf("%d runs after a change", runs)
	}
	if v.Of(g.Lookup("more")) != 3301 || runs != 1 {
		t.Errorf("more is %v after %d runs", v.Of(g.Lookup("more")), runs)
	}
	if v.Of(g.Lookup("twice")) != 6600 || runs != 1 {
		t.Errorf("asked again it ran again")
	}
	v.Set(g.Lookup("hens.number"), 12)
	v.Run()
	if v.Of(g.Lookup("more")) != 3601 || runs != 2 {
		t.Errorf("more is %v after %d runs", v.Of(g.Lookup("more")), runs)
	}
}

// A plan reads the cost of feed at each year's scale.
func inRounds(seen *[][]float64) *figures.Engine {
	r := &figures.Rounds{Name: "in_year", Set: []string{"hens.number", "pigs.number"},
		To: [][]string{{"hens.first", ""}, {"", ""}, {"", ""}}}
	return &figures.Engine{Name: "years", Declare: func(d *figures.Declaration) figures.Run {
		feed, _ := d.Rounds(r, "hens.feed")
		swill, _ := d.Rounds(r, "pigs.feed")
		rent, _ := d.Rounds(r, "rent")
		sum := d.Give(figures.Output{Name: "feed_of_years", Rests: []*figures.In{feed}})
		pigs := d.Give(figures.Output{Name: "swill_of_years", Rests: []*figures.In{swill}})
		_ = rent
		return func(c *figures.Case) {
			*seen = append(*seen, slices.Clone(c.Series(feed)))
			x := 0.0
			for _, y := range c.Series(feed) {
				x += y
			}
			c.Give(sum, x)
			c.Give(pigs, c.Series(swill)[0])
		}
	}}
}

func TestRoundsWorkAFigureAtOtherScales(t *testing.T) {
	var seen [][]float64
	g := engines(t, []*figures.Engine{inRounds(&seen)}, `hens.number: 100
hens.first: 40
hens.each: 30
hens.feed = number * each
pigs.number: 5
pigs.each: 200
pigs.feed = number * each
rent: 7
whole = hens.feed + feed_of_years`)
	if !slices.Equal(seen[0], []float64{1200, 3000, 3000}) {
		t.Fatalf("by year %v", seen[0])
	}
	if g.Lookup("hens.feed").Current() != 3000 {
		t.Errorf("the present scale is not put back: %v", g.Lookup("hens.feed").Current())
	}
	if got := namesOf(g.Lookup("feed_of_years").Leaves()); !slices.Equal(got, []string{"hens.each", "hens.first", "hens.number"}) {
		t.Errorf("feed rests on %v", got)
	}
	if got := namesOf(g.Lookup("swill_of_years").Leaves()); !slices.Equal(got, []string{"pigs.each", "pigs.number"}) {
		t.Errorf("swill rests on %v", got)
	}
	v := g.Base().Clone()
	v.Set(g.Lookup("hens.first"), 50)
	v.Run()
	if v.Of(g.Lookup("feed_of_years")) != 7500 || v.Of(g.Lookup("whole")) != 10500 {
		t.Errorf("%v, %v", v.Of(g.Lookup("feed_of_years")), v.Of(g.Lookup("whole")))
	}
	runs := len(seen)
	v.Set(g.Lookup("rent"), 7)
	v.Run()
	if len(seen) != runs {
		t.Errorf("an input set to what it was ran the engine")
	}
	// The same in lanes, with the feed dearer in the second year alone.
	c := g.NewCone([]*figures.Figure{g.Lookup("hens.each")}, []*figures.Figure{g.Lookup("whole")}, true)
	c.Bend(g.Lookup("hens.each"))
	l := c.Lanes(g.Base(), 2)
	copy(l.Lane(g.Lookup("hens.each"), 0), []float64{30, 20})
	c.Run(l)
	if got := l.Lane(g.Lookup("whole"), 0); got[0] != 3000+7200 || got[1] != 2000+4800 {
		t.Errorf("in lanes %v", got)
	}
	l.Bends(figures.Bend{Figure: g.Lookup("hens.each"), Values: []float64{30, 20, 60, 40, 30, 20}})
	c.Run(l)
	if got := l.Lane(g.Lookup("whole"), 0); got[0] != 3000+1200+6000+3000 || got[1] != 2000+800+4000+2000 {
		t.Errorf("dearer in one year %v", got)
	}
	l.Free()
	// A worked figure halved in the first year.
	c = g.NewCone([]*figures.Figure{g.Lookup("hens.feed")}, []*figures.Figure{g.Lookup("feed_of_years")}, true)
	c.Bend(g.Lookup("hens.feed"))
	l = c.Lanes(g.Base(), 1)
	l.Bends(figures.Bend{Figure: g.Lookup("hens.feed"), Times: true, Values: []float64{0.5, math.NaN(), math.NaN()}})
	c.Run(l)
	if got := l.Lane(g.Lookup("feed_of_years"), 0); got[0] != 600+3000+3000 {
		t.Errorf("halved in the first year %v", got)
	}
}

// A search tries a formula at other values.
func TestAConeRestsOnWhatLiesBetween(t *testing.T) {
	e := &figures.Engine{Name: "search", Declare: func(d *figures.Declaration) figures.Run {
		scale, margin := d.Name("hens.number"), d.Name("margin")
		cone := d.Again([]*figures.In{scale}, []*figures.In{margin}, false)
		best := d.Give(figures.Output{Name: "best"})
		return func(c *figures.Case) {
			l := c.Lanes(cone, 4)
			defer l.Free()
			for i := range 4 {
				l.Set(scale, i, float64(100*i))
			}
			cone.Run(l)
			most := math.Inf(-1)
			for i := range 4 {
				most = max(most, l.Of(margin, i))
			}
			c.Give(best, most)
		}
	}}
	g := engines(t, []*figures.Engine{e}, `hens.number: 10
hens.egg: 2
hens.rent: 50
margin = hens.number * hens.egg - hens.rent
aside: 3
hens.more = best + 1`)
	if got := g.Lookup("hens.more").Current(); got != 551 {
		t.Errorf("best and one is %v", got)
	}
	if got := namesOf(g.Lookup("best").Leaves()); !slices.Equal(got, []string{"hens.egg", "hens.rent"}) {
		t.Errorf("it rests on %v", got)
	}
	v := g.Base().Clone()
	v.Set(g.Lookup("hens.rent"), 40)
	v.Run()
	if got := v.Of(g.Lookup("best")); got != 560 {
		t.Errorf("best is %v", got)
	}
}

func TestACycleThroughAnEngineIsNamed(t *testing.T) {
	runs := 0
	system := units(t)
	_, err := figures.BuildWith(system, 5, define(t, system, "hens.number: 10\nhens.eggs = number * twice"), []*figures.Engine{doubler(&runs, false)})
	if err == nil || !strings.Contains(err.Error(), "hens.eggs is worked out from itself") {
		t.Errorf("got %v", err)
	}
}
