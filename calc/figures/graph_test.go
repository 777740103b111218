package figures_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

func units(t testing.TB) *quantity.System {
	t.Helper()
	system, err := quantity.NewSystem("GBP", []quantity.Thing{{Name: "hen"}, {Name: "tray"}})
	if err != nil {
		t.Fatal(err)
	}
	return system
}

// define reads one definition a line: "name: value" is an input, "name =
// formula" a worked figure. The scope is what stands before the last dot.
func define(t testing.TB, system *quantity.System, text string) []figures.Definition {
	t.Helper()
	file := source.New("farm.txt", text)
	var definitions []figures.Definition
	at := 0
	for line := range strings.Lines(text) {
		start := at
		at += len(line)
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		sep := strings.IndexAny(line, ":=")
		name := strings.TrimSpace(line[:sep])
		d := figures.Definition{Name: name, Label: say.Own(name), Place: file.Span(start, start+len(name))}
		if dot := strings.LastIndexByte(name, '.'); dot >= 0 {
			d.Scope = name[:dot]
		}
		if line[sep] == '=' {
			d.Formula = file.Span(start+sep+2, start+len(line))
		} else {
			var err error
			if d.Value, err = system.Parse(line[sep+1:]); err != nil {
				t.Fatal(err)
			}
		}
		definitions = append(definitions, d)
	}
	return definitions
}

func build(t testing.TB, text string) (*figures.Graph, error) {
	t.Helper()
	system := units(t)
	return figures.Build(system, 3, define(t, system, text))
}

func mustBuild(t testing.TB, text string) *figures.Graph {
	t.Helper()
	g, err := build(t, text)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func names(all []*figures.Figure) string {
	var texts []string
	for _, f := range all {
		texts = append(texts, f.Name)
	}
	return strings.Join(texts, " ")
}

func TestErrors(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"itself", "a = a + 1", "farm.txt:1:1: a is worked out from itself: a needs a; one of them must be an input"},
		{"two", "a = b\nb = a", "farm.txt:1:1: a is worked out from itself: a needs b needs a; one of them must be an input"},
		{"long", "x = a\na = b\nb = c\nc = d\nd = a + e\ne: 1\ny = x",
			"farm.txt:2:1: a is worked out from itself: a needs b needs c needs d needs a; one of them must be an input"},
		{"several", "a = b\nb = a\nc = d\nd = c + a\ne = e",
			"farm.txt:1:1: a is worked out from itself: a needs b needs a; one of them must be an input\n" +
				"farm.txt:3:1: c is worked out from itself: c needs d needs c; one of them must be an input\n" +
				"farm.txt:5:1: e is worked out from itself: e needs e; one of them must be an input"},
		{"sharing", "a = b + c\nb = a\nc = a",
			"farm.txt:1:1: a is worked out from itself: a needs b needs a; one of them must be an input\n" +
				"farm.txt:1:1: a is worked out from itself: a needs c needs a; one of them must be an input"},
		{"unknown", "hens.count: 5\neggs.total = cuont * 2\neggs.count: 3",
			"farm.txt:2:14: no figure is called cuont; did you mean count?"},
		{"unknown in full", "hens.count: 5\neggs.total = hens.cuont",
			"farm.txt:2:14: no figure is called hens.cuont; did you mean hens.count?"},
		{"a unit", "a = kg * 2", "farm.txt:1:5: no figure is called kg; kg is a unit, which stands after a number, as in 1 kg"},
		{"a function", "a = max * 2", "farm.txt:1:5: no figure is called max; max is a function: max(a, b, ...) or max(series)"},
		{"nothing near", "a = elephant", "farm.txt:1:5: no figure is called elephant"},
		{"twice", "a: 1\nb: 2\na: 3", "farm.txt:3:1: a is defined twice; first at farm.txt:1:1; give one of them another name"},
		{"no cascade", "a = 1 kg + 1 m\nb = a * 2\nc = b + a\nd = elephant\ne = d + c",
			"farm.txt:1:5: can't add a length to a mass: 1 kg is a mass, but 1 m is a length\nfarm.txt:4:5: no figure is called elephant"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := build(t, c.text)
			if err == nil || err.Error() != c.want {
				t.Errorf("got %v\nwant %s", err, c.want)
			}
		})
	}
}

// TestNoAnswer: what can't be reckoned has no answer that names its cause, all
// that rests on it has none for the same reason, and it is warned of once.
func TestNoAnswer(t *testing.T) {
	g, err := build(t, "z: 0\none: 1\na = 1 / (2 * z)\nb = a * 2\nc = b + a\nd = one / (z - z * one)\ne = max(c, 5)\nf = if(z > 1, c, 7)\ng = if(c > 1, 2, 3)")
	if err != nil {
		t.Fatal(err)
	}
	reason := say.With("“%s” is nought, and it is divided by that", say.Own("z"))
	for name, want := range map[string]say.Text{
		"a": reason, "c": reason, "e": reason, "g": reason, "f": "",
		"d": say.With("what it is divided by comes to nought: %s", say.With("%s, “%s”", say.With("%s, “%s”", say.With("“%s”", say.Own("z")), say.Own("z")), say.Own("one"))),
	} {
		if got, none := g.Base().None(g.Lookup(name)); got.String() != want.String() || none != (want != "") {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	const want = "farm.txt:3:7: a has no answer: “z” is nought, and it is divided by that; if that can happen, say what it means: if(... > ..., ..., none(\"the reason\"))\n" +
		"farm.txt:6:9: d has no answer: what it is divided by comes to nought: “z”, “z”, “one”; if that can happen, say what it means: if(... > ..., ..., none(\"the reason\"))"
	if got := g.Base().Warnings().Error(); got != want {
		t.Errorf("warned of\n%s\nwant\n%s", got, want)
	}
}

// TestMonthsHaveNoAnswerOneByOne: a month that can't be reckoned leaves the
// others standing; their total has no answer for the same reason.
func TestMonthsHaveNoAnswerOneByOne(t *testing.T) {
	g, err := build(t, "s = monthly(1, 0, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11)\na = 1 / s\nb = sum(a)\nc = a * 2")
	if err != nil {
		t.Fatal(err)
	}
	v, c := g.Base(), g.Lookup("c")
	for m := range 12 {
		if _, none := v.NoneAt(c, m); none != (m == 1) {
			t.Errorf("month %d: none %v", m, none)
		}
	}
	if v.At(c, 2) != 1 {
		t.Errorf("March is %v", v.At(c, 2))
	}
	for _, name := range []string{"c", "b"} {
		if reason, none := v.None(g.Lookup(name)); !none || !strings.Contains(reason.String(), "“s” is nought") {
			t.Errorf("%s: %q, %v", name, reason, none)
		}
	}
}

func TestNotANumberInAnInput(t *testing.T) {
	system := units(t)
	definitions := define(t, system, "a: 1\nb = a * 2")
	definitions[0].Value.Value = math.Inf(1)
	_, err := figures.Build(system, 3, definitions)
	if want := "farm.txt:1:1: a is not a number"; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

func TestWant(t *testing.T) {
	money := &figures.Want{What: "a cost", Dimensions: []quantity.Dimension{quantity.Base("GBP")}}
	for _, c := range []struct {
		formula string
		want    *figures.Want
		err     string
	}{
		{"9 GBP/hen * 30 tray", money, "a cost must come out as money, but this comes out as GBP·tray/hen"},
		{"9 GBP", money, ""},
		{`none("not yet")`, money, ""},
		{"9 GBP * Apr..Oct", money, "a cost is a single value, but this is a monthly series; sum(...) adds its months up"},
		{"1 > 2", money, "a cost can't be yes or no; expected money"},
		{"3", &figures.Want{What: "a check", Truth: true}, "a check can't be a plain number; expected yes or no"},
		{"1 > 2", &figures.Want{What: "a check", Truth: true}, ""},
		{"Apr..Oct", &figures.Want{What: "weights", Dimensions: []quantity.Dimension{quantity.Number}, Monthly: true}, ""},
		{"5 kg", &figures.Want{What: "land", Dimensions: []quantity.Dimension{quantity.Area, quantity.Length}},
			"land must come out as an area or a length, but this comes out as a mass"},
	} {
		system := units(t)
		definitions := define(t, system, "a = "+c.formula+"\nuser = a")
		definitions[0].Want = c.want
		_, err := figures.Build(system, 3, definitions)
		if got := fmt.Sprint(err); c.err == "" && err != nil || c.err != "" && got != "farm.txt:1:5: "+c.err {
			t.Errorf("%s: got %v, want %s", c.formula, err, c.err)
		}
	}
}

const farm = `
hens: 120 hen
eggs.rate: 0.8 tray/hen
eggs.price: 2.40 GBP/tray
eggs.trays = hens * rate
eggs.sales = trays * price
feed: 3 GBP/hen
eggs.costs = hens * feed
margin = eggs.sales - eggs.costs
spare: 1
`

func TestTraces(t *testing.T) {
	g := mustBuild(t, farm)
	margin, hens := g.Lookup("margin"), g.Lookup("hens")
	if got, want := names(margin.Needs()), "eggs.sales eggs.costs"; got != want {
		t.Errorf("needs %s, want %s", got, want)
	}
	if got, want := names(margin.Leaves()), "eggs.price eggs.rate feed hens"; got != want {
		t.Errorf("leaves %s, want %s", got, want)
	}
	if got, want := names(hens.Leaves()), "hens"; got != want {
		t.Errorf("leaves %s, want %s", got, want)
	}
	if got, want := names(hens.Users()), "eggs.trays eggs.costs"; got != want {
		t.Errorf("users %s, want %s", got, want)
	}
	if got, want := names(dependents(g, g.Lookup("eggs.price"))), "eggs.sales margin"; got != want {
		t.Errorf("dependents %s, want %s", got, want)
	}
	if got := names(dependents(g, g.Lookup("spare"))); got != "" {
		t.Errorf("dependents %s, want none", got)
	}
	for _, f := range g.All() {
		for _, used := range f.Needs() {
			if used.Index >= f.Index {
				t.Errorf("%s stands before %s", f.Name, used.Name)
			}
		}
	}
	// By hand: 120 hens at 0.8 trays, 2.40 GBP a tray, less 3 GBP a hen.
	if got := margin.Current(); math.Abs(got-(120*0.8*2.40-120*3)) > 1e-9 {
		t.Errorf("margin %v", got)
	}
}

func TestFind(t *testing.T) {
	g, _ := build(t, farm+"eggs.broken = 1 kg + 1 m\neggs.after = broken * 2")
	for _, c := range []struct{ scope, name, want string }{
		{"eggs", "trays", "eggs.trays"}, {"eggs", "hens", "hens"}, {"", "eggs.trays", "eggs.trays"}, {"eggs.white", "trays", "eggs.trays"},
	} {
		if f, err := g.Find(c.scope, c.name, source.Span{}); err != nil || f.Name != c.want {
			t.Errorf("Find(%s, %s) gives %v, %v", c.scope, c.name, f, err)
		}
	}
	if _, err := g.Find("eggs", "tryas", source.Span{}); fmt.Sprint(err) != "no figure is called tryas; did you mean trays?" {
		t.Errorf("got %v", err)
	}
	for name, want := range map[string]bool{"broken": true, "after": true, "trays": false, "tryas": false} {
		if g.Failed("eggs", name) != want {
			t.Errorf("Failed(%s) is %v", name, !want)
		}
	}
	if _, err := g.Find("eggs", "broken", source.Span{}); fmt.Sprint(err) != "broken could not be worked out; see the other errors" {
		t.Errorf("got %v", err)
	}
}

func TestNone(t *testing.T) {
	g := mustBuild(t, `
a: 1
never = if(a > 5, 2 year, none("sales do not cover costs"))
alias = never
later = -max(1 year, alias * 2)
guarded = if(a > 5, never, 1 year)
series = never * Apr
`)
	v := g.Base().Clone()
	for name, want := range map[string]bool{"never": true, "alias": true, "later": true, "series": true, "guarded": false, "a": false} {
		reason, none := v.None(g.Lookup(name))
		if none != want || none && reason.String() != "sales do not cover costs" {
			t.Errorf("%s: %q, %v", name, reason, none)
		}
	}
	v.Set(g.Lookup("a"), 6)
	v.Run()
	if _, none := v.None(g.Lookup("later")); none || v.Of(g.Lookup("alias")) != 2*365*86400 {
		t.Error("an answer is not found once there is one")
	}
}

func TestSetConstantsAndAliases(t *testing.T) {
	g := mustBuild(t, "five = 5\nten = five * 2\nother = 5\nalias = other\nafter = alias + five")
	v := g.Base().Clone()
	v.Set(g.Lookup("five"), 7)
	v.Set(g.Lookup("alias"), 1)
	v.Run()
	for name, want := range map[string]float64{"five": 7, "ten": 14, "other": 5, "alias": 1, "after": 8} {
		if got := v.Of(g.Lookup(name)); got != want {
			t.Errorf("%s is %v, want %v", name, got, want)
		}
	}
	if g.Lookup("five").Current() != 5 {
		t.Error("a clone changed the farm's own case")
	}
	w := v.Clone()
	w.Set(g.Lookup("five"), 1)
	again := w.Clone() // takes what still waits to be worked out with it
	again.Run()
	if v.Of(g.Lookup("ten")) != 14 || again.Of(g.Lookup("ten")) != 2 {
		t.Error("clones are not apart")
	}
	w.CopyFrom(g.Base())
	w.Run()
	if w.Of(g.Lookup("ten")) != 10 {
		t.Error("CopyFrom left something behind")
	}
}

// randomFarm writes a graph of n figures, some of them series.
func randomFarm(random *rand.Rand, n int) string {
	var b strings.Builder
	var single, series []string
	for i := range n {
		name := fmt.Sprintf("f%d", i)
		pick := func(of []string) string { return of[random.IntN(len(of))] }
		switch {
		case i < 4 || random.IntN(4) == 0:
			fmt.Fprintf(&b, "%s: %.3f\n", name, random.Float64()*20)
			single = append(single, name)
		case random.IntN(5) == 0:
			fmt.Fprintf(&b, "%s = spread(%s, month_days()) + %s * Apr..Oct\n", name, pick(single), pick(single))
			series = append(series, name)
		case len(series) > 0 && random.IntN(3) == 0:
			fmt.Fprintf(&b, "%s = sum(%s) - at(%s, May)\n", name, pick(series), pick(series))
			single = append(single, name)
		default:
			form := []string{
				"%[1]s = %[2]s + %[3]s * 0.5", "%[1]s = %[2]s - %[3]s", "%[1]s = if(%[2]s > %[3]s, %[2]s, %[4]s / 3)",
				"%[1]s = %[2]s / (1 + abs(%[3]s))", "%[1]s = ceil(%[2]s) + min(%[3]s, %[4]s)", "%[1]s = 3", "%[1]s = %[2]s",
			}[random.IntN(7)]
			line := fmt.Sprintf(form, name, pick(single), pick(single), pick(single))
			line, _, _ = strings.Cut(line, "%!(EXTRA")
			b.WriteString(line + "\n")
			single = append(single, name)
		}
	}
	return b.String()
}

// TestOverridesEqualBuildingAnew: setting inputs gives to the bit what building
// with the changed inputs gives, changes nothing else, and so do lanes.
func TestOverridesEqualBuildingAnew(t *testing.T) {
	for seed := range uint64(60) {
		random := rand.New(rand.NewPCG(seed, 7))
		system := units(t)
		definitions := define(t, system, randomFarm(random, 60))
		g, err := figures.Build(system, 3, definitions)
		if err != nil {
			t.Fatal(err)
		}
		var changed []*figures.Figure
		anew := slices.Clone(definitions)
		v := g.Base().Clone()
		values := map[*figures.Figure]float64{}
		for i := range anew {
			if f := g.Lookup(anew[i].Name); f.IsInput() && random.IntN(3) == 0 {
				anew[i].Value.Value = random.Float64() * 20
				v.Set(f, anew[i].Value.Value)
				values[f] = anew[i].Value.Value
				changed = append(changed, f)
			}
		}
		v.Run()
		want, err := figures.Build(system, 3, anew)
		if err != nil {
			t.Fatal(err)
		}
		cone := g.NewCone(changed, g.All(), false)
		lanes := cone.Lanes(g.Base(), 3)
		for f, x := range values {
			lanes.Lane(f, 0)[1] = x
		}
		cone.Run(lanes)
		touched := append(dependents(g, changed...), changed...)
		for _, f := range g.All() {
			equal(t, f, v, want.Base(), want.Lookup(f.Name))
			for m := range max(1, f.Type.Len) {
				x, own := v.Of(f), g.Base().Of(f)
				if months := v.Months(f); months != nil {
					x, own = months[m], g.Base().Months(f)[m]
				}
				if lane := lanes.Lane(f, m); lane[1] != x || lane[0] != own || lane[2] != own {
					t.Fatalf("seed %d: %s in lanes is %v, want %v and %v", seed, f.Name, lane, own, x)
				}
			}
			if !slices.Contains(touched, f) && v.Of(f) != g.Base().Of(f) {
				t.Fatalf("seed %d: %s changed but does not depend on what was set", seed, f.Name)
			}
		}
	}
}

// dependents are the worked figures that rest on some.
func dependents(g *figures.Graph, on ...*figures.Figure) []*figures.Figure {
	var all []*figures.Figure
	for _, f := range g.All() {
		if !f.IsInput() && slices.ContainsFunc(f.Leaves(), func(leaf *figures.Figure) bool { return slices.Contains(on, leaf) }) {
			all = append(all, f)
		}
	}
	return all
}

func equal(t *testing.T, f *figures.Figure, v, w *figures.Values, other *figures.Figure) {
	t.Helper()
	if v.Of(f) != w.Of(other) || !slices.Equal(v.Months(f), w.Months(other)) {
		t.Fatalf("%s is %v, built anew %v", f.Name, v.Of(f), w.Of(other))
	}
}

// TestRunTouchesOnlyDependents sets a worked figure: it stays as it was set
// while what it does not depend on is worked out anew.
func TestRunTouchesOnlyDependents(t *testing.T) {
	g := mustBuild(t, "a: 1\nb: 2\nc = a * 10\nd = b * 10\ne = c + d")
	v := g.Base().Clone()
	v.Set(g.Lookup("c"), 500)
	v.Run()
	v.Set(g.Lookup("b"), 3)
	v.Run()
	if got := v.Of(g.Lookup("e")); got != 530 {
		t.Errorf("e is %v, want 530", got)
	}
	v.Set(g.Lookup("a"), 2)
	v.Run()
	if got := v.Of(g.Lookup("e")); got != 50 {
		t.Errorf("e is %v, want 50 once the override has lapsed", got)
	}
}

func TestSeriesInputs(t *testing.T) {
	system := units(t)
	definitions := define(t, system, "rain: 1 mm\ntotal = sum(rain)\nlast = at(rain, Dec)")
	definitions[0].Series = make([]float64, 12)
	for m := range definitions[0].Series {
		definitions[0].Series[m] = float64(m)
	}
	g, err := figures.Build(system, 3, definitions)
	if err != nil {
		t.Fatal(err)
	}
	if g.Lookup("total").Current() != 66 || g.Lookup("rain").Current() != 66 {
		t.Errorf("total %v, sum of rain %v, want 66", g.Lookup("total").Current(), g.Lookup("rain").Current())
	}
	v := g.Base().Clone()
	v.Set(g.Lookup("rain"), 2)
	v.Run()
	if v.Of(g.Lookup("total")) != 24 || v.Of(g.Lookup("last")) != 2 {
		t.Errorf("total %v, last %v, want 24 and 2", v.Of(g.Lookup("total")), v.Of(g.Lookup("last")))
	}
	months := make([]float64, 12)
	months[11] = 9
	v.SetMonths(g.Lookup("rain"), months)
	v.Run()
	if v.Of(g.Lookup("total")) != 9 || v.Of(g.Lookup("last")) != 9 {
		t.Errorf("total %v, last %v, want 9 and 9", v.Of(g.Lookup("total")), v.Of(g.Lookup("last")))
	}
}

func TestRunningAllocatesNothing(t *testing.T) {
	g := mustBuild(t, farm)
	v, hens := g.Base().Clone(), g.Lookup("hens")
	x := 1.0
	if n := testing.AllocsPerRun(100, func() { x++; v.Set(hens, x); v.Run() }); n != 0 {
		t.Errorf("Set and Run allocate %v times", n)
	}
	cone := g.NewCone([]*figures.Figure{hens}, g.All(), false)
	lanes := cone.Lanes(g.Base(), 64)
	if n := testing.AllocsPerRun(100, func() { cone.Run(lanes) }); n != 0 {
		t.Errorf("a cone in lanes allocates %v times", n)
	}
}

// TestLarge builds shapes that would overflow a stack or take quadratic or
// exponential time if they were walked carelessly.
func TestLarge(t *testing.T) {
	chain := func(n int, last string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "f%d = f%d + 1\n", i, i+1)
		}
		fmt.Fprintf(&b, "f%d%s\n", n, last)
		return b.String()
	}
	var diamonds strings.Builder
	diamonds.WriteString("d0 = none(\"no\")\n")
	for i := range 2000 {
		fmt.Fprintf(&diamonds, "d%d = d%d - d%d\n", i+1, i, i)
	}
	var tangle, unknown strings.Builder
	for i := range 3000 {
		fmt.Fprintf(&tangle, "t%d = t%d", i, (i+1)%3000)
		if i%2 == 0 {
			tangle.WriteString(" + t0")
		}
		tangle.WriteString("\n")
		fmt.Fprintf(&unknown, "u%d = vvv%d\n", i, i)
	}
	within := func(limit time.Duration, name, text string, check func(*figures.Graph, error)) {
		from := time.Now()
		check(build(t, text))
		if took := time.Since(from); took > limit {
			t.Errorf("%s took %v", name, took)
		}
	}
	within(20*time.Second, "a chain", chain(100_000, ": 1"), func(g *figures.Graph, err error) {
		if err != nil {
			t.Fatal(err)
		}
		f := g.Lookup("f0")
		if f.Current() != 100_001 || names(f.Leaves()) != "f100000" {
			t.Errorf("the chain comes to %v from %s", f.Current(), names(f.Leaves()))
		}
	})
	within(20*time.Second, "a chain without an answer", chain(20_000, ` = none("no")`), func(g *figures.Graph, err error) {
		if err != nil {
			t.Fatal(err)
		}
		if reason, none := g.Base().None(g.Lookup("f0")); !none || reason.String() != "no" {
			t.Errorf("the chain has the reason %q", reason)
		}
	})
	within(20*time.Second, "a cycle", chain(20_000, " = f0"), func(_ *figures.Graph, err error) {
		if got := strings.Count(fmt.Sprint(err), " needs "); got != 20_001 {
			t.Errorf("the cycle has %d steps", got)
		}
	})
	within(20*time.Second, "diamonds", diamonds.String(), func(g *figures.Graph, err error) {
		if err != nil {
			t.Fatal(err)
		}
		if _, none := g.Base().None(g.Lookup("d2000")); !none {
			t.Error("the diamonds have an answer")
		}
	})
	within(20*time.Second, "a tangle", tangle.String(), func(_ *figures.Graph, err error) {
		if n := len(fmt.Sprint(err)); n > 1<<20 {
			t.Errorf("the errors have %d characters", n)
		}
	})
	within(20*time.Second, "unknown names", unknown.String(), func(_ *figures.Graph, err error) {
		if n := strings.Count(fmt.Sprint(err), "\n"); n != 2999 {
			t.Errorf("%d errors", n+1)
		}
	})
}
