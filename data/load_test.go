package data

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/source"
)

var show = flag.Bool("show", false, "print the errors of bad inputs instead of comparing them")

// small is the made-up farm under testdata/small.
func small(t testing.TB) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	root := os.DirFS("testdata/small")
	err := fs.WalkDir(root, ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		b, err := fs.ReadFile(root, path)
		files[path] = &fstest.MapFile{Data: b}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func definition(t *testing.T, f *Farm, name string) figures.Definition {
	t.Helper()
	for _, d := range f.Definitions {
		if d.Name == name {
			return d
		}
	}
	t.Fatalf("no figure %s", name)
	return figures.Definition{}
}

func TestSmallFarm(t *testing.T) {
	f, err := Load(small(t))
	if err != nil {
		t.Fatal(err)
	}
	if f.Name != "Thornby Bottom" || f.Currency != "GBP" || f.Horizon != 5 || !f.Metric || f.Language.String() != "en-GB" {
		t.Errorf("farm read as %q, %s, %d years, metric %t, %s", f.Name, f.Currency, f.Horizon, f.Metric, f.Language)
	}
	// Each value in base units, worked out by hand.
	for _, c := range []struct {
		name string
		want float64
		unit string
	}{
		{"farm.people.robin.hours", 40. / 168, "h/week"},
		{"farm.latitude", 52.3 * math.Pi / 180, "deg"},
		{"farm.land.pasture.area", 32000, "ha"},
		{"farm.land.wet_ground.rent", 0, "GBP/ha/year"}, // not given
		{"farm.last_frost", 125 * 86400, "date"},        // 31+28+31+30+5 days after 1 January
		{"farm.wage", 12.5 / 3600, "GBP/h"},
		{"farm.employment", 0.14, "%"},
		{"farm.horizon", 5 * 365 * 86400, "year"},
		{"farm.target_income", 18000. / (365 * 86400), "GBP/year"},
		{"prices.channels.farm_gate.fee", 0, "%"},
		{"prices.channels.farm_gate.hours", 36, "h/GBP"},
		{"prices.channels.shop.limit", 6000, "GBP"},
		{"prices.eggs.farm_gate", 0.3, "GBP/dozen"},
		{"infrastructure.egg_store.number", 1, ""},
		{"infrastructure.fence.used_by.willow", 0.25, "%"},
		{"finance.sources.bank.rate", 0.075 / (365 * 86400), "%/year"},
		{"finance.overheads.insurance.shared.hens", 0.6, "%"},
		{"hens.hens", 120, "hen"},
		{"hens.coop.cost_given", 1400, "GBP"},
		{"willow.yield", 0.6, "kg/m2"},
	} {
		d := definition(t, f, c.name)
		if math.Abs(d.Value.Value-c.want) > 1e-12*math.Abs(c.want) || d.Value.Unit.String() != c.unit || !d.IsInput() {
			t.Errorf("%s = %v %s; want %v %s", c.name, d.Value.Value, d.Value.Unit, c.want, c.unit)
		}
	}
	for name, want := range map[string]string{
		"infrastructure.egg_store.total":  "infrastructure.egg_store.number * infrastructure.egg_store.cost as GBP",
		"infrastructure.egg_store.yearly": "infrastructure.egg_store.total * (1 - infrastructure.egg_store.residual) / infrastructure.egg_store.life as GBP/year",
		"infrastructure.for_willow":       "infrastructure.fence.yearly * infrastructure.fence.used_by.willow as GBP/year",
		"infrastructure.unshared":         "round(infrastructure.yearly - infrastructure.for_hens - infrastructure.for_willow, 0.01 GBP/year) as GBP/year",
		"infrastructure.fence.number":     "ceil(reels_needed)",
		"finance.uses_property":           "0 GBP",
		"finance.uses_equipment":          "finance.uses.tools.amount as GBP",
		"finance.difference":              "finance.sources_total - finance.uses_total as GBP",
		"finance.overheads_for_hens":      "finance.overheads.insurance.amount * finance.overheads.insurance.shared.hens as GBP/year",
		"finance.uses.reserve.amount":     "10 % * uses.tools.amount",
		"farm.week_hours":                 "people.robin.hours + people.jay.hours",
	} {
		if got := definition(t, f, name).Formula.Text(); got != want {
			t.Errorf("%s = %s\nwant %s", name, got, want)
		}
	}
	for name, want := range map[string]string{
		"farm.people.jay.note": "three days a week at the mill", "farm.book.title": "Hens and willow", "hens.name": "Laying hens",
	} {
		if f.Facts[name].String() != want {
			t.Errorf("fact %s is %q, want %q", name, f.Facts[name], want)
		}
	}
	if !slices.IsSortedFunc(f.Files, func(a, b *source.File) int { return order(a.Name) - order(b.Name) }) || len(f.Files) != 7 {
		t.Errorf("files %d out of order", len(f.Files))
	}
	if n := len(f.Channels); n != 2 || f.Channels[0].HasLimit || !f.Channels[1].HasLimit {
		t.Errorf("channels %+v", f.Channels)
	}
	if len(f.Infrastructure) != 3 || !slices.Equal(f.Infrastructure[1].UsedBy, []string{"hens", "willow"}) || f.Infrastructure[0].Bought != "2026-09" {
		t.Errorf("infrastructure %+v", f.Infrastructure)
	}
}

func order(name string) int {
	return slices.Index([]string{"data/farm.yaml", "data/prices.yaml", "data/climate.yaml", "data/infrastructure.yaml", "data/finance.yaml", "data/enterprises/hens.yaml", "data/enterprises/willow.yaml"}, name)
}

func TestDefinitionsInOrderOfFiles(t *testing.T) {
	f, err := Load(small(t))
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	last := [2]int{}
	for _, d := range f.Definitions {
		at := d.Place.Origin()
		here := [2]int{order(at.File.Name), at.Start}
		if here[0] < last[0] || here[0] == last[0] && here[1] < last[1] {
			t.Errorf("%s at %s stands before what precedes it", d.Name, d.Place.Position())
		}
		last = here
		if seen[d.Name] {
			t.Errorf("%s defined twice", d.Name)
		}
		seen[d.Name] = true
		if d.Label == "" || d.Scope == "" {
			t.Errorf("%s lacks a label or a scope", d.Name)
		}
	}
}

func TestEnterprise(t *testing.T) {
	f, err := Load(small(t))
	if err != nil {
		t.Fatal(err)
	}
	hens, willow := f.Enterprises[0], f.Enterprises[1]
	if hens.ID != "hens" || hens.Output.Name != "eggs" || hens.Scale.Now.Text() != "120 hen" || hens.Scale.Step.Text() != "60 hen" || len(hens.Cautions) != 1 {
		t.Errorf("hens read as %+v", hens)
	}
	if got := willow.Scale.Least; got.File != nil {
		t.Errorf("least of willow is %q, want none", got.Text())
	}
	lines := map[string]enterprise.Line{}
	for _, line := range append(hens.Lines, willow.Lines...) {
		lines[line.Name] = line
	}
	for _, c := range []struct {
		name, label, amount, months string
		kind                        enterprise.LineKind
	}{
		{"eggs_sold", "Eggs sold", "eggs", "", enterprise.Sale},
		{"layers_meal", "Layers' meal", "hens * meal * prices.layers_meal * 1 year", "", enterprise.Cost},
		{"coop", "Coop", "", "", enterprise.Capital},
		{"pasture", "Pasture", "hens * 40 m2/hen", "", enterprise.Land}, // label from farm.yaml
		{"willow_bed", "Willow bed", "bed", "Jan..Dec", enterprise.Land},
		{"bolts_of_willow", "Bolts of willow", "bolts", "monthly(1, 2, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1)", enterprise.Sale},
		{"cuttings", "Cuttings", "bed * 1.2 GBP/m2", "Feb..Mar", enterprise.Cost},
		{"weeding", "Weeding", "bed * 0.02 h/m2", "Apr..Jul", enterprise.Hours},
	} {
		line, ok := lines[c.name]
		if !ok || line.Label != c.label || line.Amount.Text() != c.amount || line.When.Months.Text() != c.months || line.Kind != c.kind {
			t.Errorf("line %s read as %s %q, %q, %q", c.name, line.Kind, line.Label, line.Amount.Text(), line.When.Months.Text())
		}
	}
	if eggs := lines["eggs_sold"]; eggs.Product.Name != "eggs" || len(eggs.Through) != 2 || eggs.Through[1].Channel.Name != "shop" || eggs.Through[1].Share.Text() != "45 %" {
		t.Errorf("eggs sold as %+v", lines["eggs_sold"])
	}
	if old := lines["old_hens"]; !old.Side || old.When.Each.Name != "flock" || old.When.Day.Text() != "360 day" || old.Price.Text() != "2.50 GBP/hen" {
		t.Errorf("old hens sold as %+v", old)
	}
	if coop := lines["coop"]; coop.UnitCost.Text() != "coop.cost_given" || coop.Life.Text() != "12 year" || coop.UnitCost.Position().String() != "data/enterprises/hens.yaml:46:19" {
		t.Errorf("coop costs %q at %s", coop.UnitCost.Text(), coop.UnitCost.Position())
	}
	if !lines["cuttings"].When.Once || lines["bolts_of_willow"].When.Lag.Text() != "2 year" {
		t.Error("timing of willow misread")
	}
}

// Formulas are found in the file however they are quoted or folded, so that
// their errors show the exact column; where they do not stand there, the place
// of the value is shown.
func TestPlacesOfFormulas(t *testing.T) {
	for _, c := range []struct{ name, text, want, at string }{
		{"plain", "a: b * c", "b * c", "1:4"},
		{"after accents", "é: 1\nñandú: {café: x, b: b * c}", "b * c", "2:21"},
		{"after a wide character", "a: {𝄞𝄞: 鸡蛋, b: b * c}", "b * c", "1:16"},
		{"double quotes", `a: "b * c"`, "b * c", "1:5"},
		{"single quotes", `a: 'b * c'`, "b * c", "1:5"},
		{"escape", `a: "b\x20* c"`, "b * c", "1:5"},
		{"folded", "a: >-\n  b\n  * c", "b\n  * c", "2:3"},
		{"literal", "a: |\n\n  b * c\n", "b * c", "3:3"},
		{"over two lines", "a: b *\n  c\nd: 1", "b *\n  c", "1:4"},
		{"carriage returns", "x: 1\r\na: b * c\r\n", "b * c", "2:4"},
		{"byte order mark", "\ufeffa: b * c", "b * c", "1:4"},
		{"a line separator in a text", "x: \"\u2028\"\na: b * c", "b * c", "2:4"},
		{"number", "a: 0.50", "0.50", "1:4"},
	} {
		d := parse("f.yaml", c.text)
		if d.Root == nil {
			t.Errorf("%s: %v", c.name, d.errs)
			continue
		}
		// The last scalar of the tree, or the last value of key a.
		n := d.Root.Content[len(d.Root.Content)-1]
		for i := 0; i+1 < len(d.Root.Content); i += 2 {
			if d.Root.Content[i].Value == "a" {
				n = d.Root.Content[i+1]
			}
		}
		for len(n.Content) > 0 {
			n = n.Content[len(n.Content)-1]
		}
		span := d.Formula(n)
		if span.Text() != c.want || span.Position().String() != "f.yaml:"+c.at {
			t.Errorf("%s: %q at %s; want %q at %s", c.name, span.Text(), span.Position(), c.want, c.at)
		}
	}
}

func TestLongAndShortLeavesAgree(t *testing.T) {
	for _, value := range []string{"3.2 ha", "32000 m2", "7.9 acre", "1,000 m2", "1_000 m2", "0 ha", "+2 ha", "3e4 m2", `"3 ha"`} {
		short, long := small(t), small(t)
		edit(t, short, "data/farm.yaml", "3.2 ha", "'"+strings.Trim(value, `"`)+"'")
		edit(t, long, "data/farm.yaml", "3.2 ha", "{value: '"+strings.Trim(value, `"`)+"', low: 0 ha, high: 9 ha, source: map, as_of: 2026, label: Grass, note: level}")
		a, err := Load(short)
		if err != nil {
			t.Fatal(err)
		}
		b, err := Load(long)
		if err != nil {
			t.Fatal(err)
		}
		x, y := definition(t, a, "farm.land.pasture.area"), definition(t, b, "farm.land.pasture.area")
		if x.Value.Value != y.Value.Value || x.Value.Unit.String() != y.Value.Unit.String() || x.Value.Step != y.Value.Step {
			t.Errorf("%s: short %v %s, long %v %s", value, x.Value.Value, x.Value.Unit, y.Value.Value, y.Value.Unit)
		}
		if x.Low != nil || x.High != nil || *y.Low != 0 || *y.High != 90000 || y.Source.String() != "map" || y.AsOf != "2026" || y.Label.String() != "Grass" || y.Note.String() != "level" {
			t.Errorf("%s: long leaf lost something: %+v", value, y)
		}
	}
}

func edit(t testing.TB, files fstest.MapFS, name, old, new string) {
	t.Helper()
	if old == "" {
		files[name] = &fstest.MapFile{Data: []byte(new)}
		return
	}
	text := string(files[name].Data)
	if strings.Count(text, old) != 1 {
		t.Fatalf("%q stands %d times in %s", old, strings.Count(text, old), name)
	}
	files[name] = &fstest.MapFile{Data: []byte(strings.Replace(text, old, new, 1))}
}

func TestBadInputs(t *testing.T) {
	for _, c := range badInputs {
		t.Run(c.name, func(t *testing.T) {
			files := small(t)
			edit(t, files, c.file, c.old, c.new)
			_, err := Load(files)
			if err == nil {
				t.Fatal("accepted")
			}
			var errs source.Errors
			if !errors.As(err, &errs) {
				t.Fatalf("error of type %T", err)
			}
			if *show {
				fmt.Printf("%s:\n%s\n", c.name, err)
				return
			}
			if got := err.Error(); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

// All mistakes of a farm are reported by one run, in the order of files and
// lines.
func TestAllErrorsTogether(t *testing.T) {
	files := small(t)
	edit(t, files, "data/farm.yaml", "3.2 ha", "3.2 kg")
	edit(t, files, "data/prices.yaml", "20 %", "120 %")
	edit(t, files, "data/climate.yaml", "formula:", "formla:")
	edit(t, files, "data/finance.yaml", "stock", "stok")
	edit(t, files, "data/enterprises/hens.yaml", "[60 hen]", "60 hen")
	edit(t, files, "data/enterprises/willow.yaml", "wet_ground", "wet_grund")
	f, err := Load(files)
	want := []string{"data/climate.yaml:7:17", "data/enterprises/hens.yaml:21:11", "data/enterprises/willow.yaml:24:11",
		"data/farm.yaml:33:19", "data/finance.yaml:11:20", "data/prices.yaml:5:10"}
	var errs source.Errors
	if !errors.As(err, &errs) {
		t.Fatal(err)
	}
	var got []string
	for _, e := range errs {
		got = append(got, e.Span.Position().String())
	}
	slices.Sort(want)
	if slices.Sort(got); !slices.Equal(got, want) {
		t.Errorf("errors at %v\nwant      %v\n%v", got, want, err)
	}
	if f.Name != "Thornby Bottom" || len(f.Enterprises) != 2 {
		t.Error("what could be read is not returned")
	}
}

func TestFilesThatAreNotRead(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(fstest.MapFS)
		want   string
	}{
		{"no data", func(f fstest.MapFS) { clear(f) }, "data:1:1: there is no folder called data here; run this in the workbook's folder, or begin one with rickyard begin"},
		{"no farm", func(f fstest.MapFS) { delete(f, "data/farm.yaml") }, "data/farm.yaml:1:1: this file is missing; it names the farm and its currency; write at least name: and currency: in it"},
		{"unknown file", func(f fstest.MapFS) { f["data/price.yaml"] = &fstest.MapFile{} }, "data/price.yaml:1:1: this file is not read; did you mean data/prices.yaml?"},
		{"enterprise outside its folder", func(f fstest.MapFS) { f["data/geese.yaml"] = &fstest.MapFile{} }, "data/geese.yaml:1:1: this file is not read; an enterprise belongs in data/enterprises; the other files are farm.yaml, prices.yaml, climate.yaml, infrastructure.yaml, finance.yaml and cases.yaml"},
		{"yml", func(f fstest.MapFS) { f["data/farm.yml"] = &fstest.MapFile{} }, "data/farm.yml:1:1: this file is not read; did you mean data/farm.yaml?"},
		{"folder misspelt", func(f fstest.MapFS) { f["data/enterprise/geese.yaml"] = &fstest.MapFile{} }, "data/enterprise:1:1: this folder is not read; did you mean data/enterprises?"},
		{"enterprise's name", func(f fstest.MapFS) { f["data/enterprises/Table Geese.yaml"] = &fstest.MapFile{} }, `data/enterprises/Table Geese.yaml:1:1: "Table Geese" can't be the name of an enterprise's file; expected a name in lower-case letters, digits and _ that begins with a letter, such as egg_box; call it table_geese.yaml`},
		{"enterprise's name taken", func(f fstest.MapFS) { f["data/enterprises/prices.yaml"] = &fstest.MapFile{} }, "data/enterprises/prices.yaml:1:1: an enterprise can't be called prices, since its figures would mix with those of data/prices.yaml; give the file another name"},
		{"link", func(f fstest.MapFS) {
			f["data/climate.yaml"] = &fstest.MapFile{Data: []byte("../../etc/passwd"), Mode: fs.ModeSymlink}
		}, "data/climate.yaml:1:1: this is not an ordinary file; a link is not followed; put the file itself here"},
		{"link among enterprises", func(f fstest.MapFS) {
			f["data/enterprises/geese.yaml"] = &fstest.MapFile{Data: []byte("hens.yaml"), Mode: fs.ModeSymlink}
		}, "data/enterprises/geese.yaml:1:1: this is not an ordinary file; a link is not followed; put the file itself here"},
		{"pipe", func(f fstest.MapFS) { f["data/climate.yaml"] = &fstest.MapFile{Mode: fs.ModeNamedPipe} }, "data/climate.yaml:1:1: this is not an ordinary file; a link is not followed; put the file itself here"},
		{"notes are left alone", func(f fstest.MapFS) {
			f["data/notes.txt"], f["data/.hidden.yaml"], f["data/testdata/x.yaml"] = &fstest.MapFile{}, &fstest.MapFile{}, &fstest.MapFile{}
		}, ""},
		{"only a farm", func(f fstest.MapFS) {
			clear(f)
			f["data/farm.yaml"] = &fstest.MapFile{Data: []byte("name: A\ncurrency: EUR\n")}
		}, ""},
	} {
		files := small(t)
		c.change(files)
		_, err := Load(files)
		got := ""
		if err != nil {
			got = err.Error()
		}
		if got != c.want {
			t.Errorf("%s: got  %s\nwant %s", c.name, got, c.want)
		}
	}
}

// On a real disk, a link is refused even where it leads to a good file.
func TestLinksOnDisk(t *testing.T) {
	dir := t.TempDir()
	outside := filepath.Join(t.TempDir(), "farm.yaml")
	if err := os.WriteFile(outside, []byte("name: Elsewhere\ncurrency: GBP\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(dir, "data"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(dir, "data", "farm.yaml")); err != nil {
		t.Skip(err)
	}
	if f, err := Load(os.DirFS(dir)); err == nil || f.Name != "" {
		t.Errorf("followed a link to %q: %v", f.Name, err)
	}
	other := t.TempDir()
	if err := os.Symlink(filepath.Join(dir, "data"), filepath.Join(other, "data")); err != nil {
		t.Skip(err)
	}
	_, err := Load(os.DirFS(other))
	if err == nil || !strings.HasPrefix(err.Error(), "data:1:1: data is not a folder") {
		t.Errorf("followed a folder that is a link: %v", err)
	}
}

// What the farm's totals read is there even when their file is not.
func TestTotalsWithoutFiles(t *testing.T) {
	files := fstest.MapFS{"data/farm.yaml": {Data: []byte("name: A\ncurrency: EUR\n")}}
	f, err := Load(files)
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{
		"infrastructure.total": "0 EUR", "infrastructure.yearly": "0 EUR/year", "infrastructure.unshared": "round(infrastructure.yearly, 0.01 EUR/year) as EUR/year",
		"finance.uses_total": "0 EUR", "finance.overheads_total": "0 EUR/year", "finance.uses_working_capital": "0 EUR",
	} {
		d := definition(t, f, name)
		if d.Formula.Text() != want || d.Formula.Position().String() != "data/farm.yaml:1:1" {
			t.Errorf("%s = %q at %s, want %q at the farm's name", name, d.Formula.Text(), d.Formula.Position(), want)
		}
	}
}

// longest bounds the time that a hostile file may take; it is generous for slow
// machines, since what it guards against takes minutes or never ends.
const longest = 5 * time.Second

func TestHostileFiles(t *testing.T) {
	for _, c := range hostileFiles {
		b, err := os.ReadFile(filepath.Join("..", "testdata", "hostile", "yaml", c.file))
		if err != nil {
			t.Error(err)
			continue
		}
		files := fstest.MapFS{}
		if c.as != farmYAML {
			files = small(t)
		}
		files[c.as] = &fstest.MapFile{Data: b}
		start := time.Now()
		f, err := Load(files)
		if took := time.Since(start); took > longest {
			t.Errorf("%s took %v", c.file, took)
		}
		if *show {
			fmt.Printf("%s:\n%v\n", c.file, err)
			continue
		}
		got := ""
		if err != nil {
			got = err.Error()
		}
		if got != c.want {
			t.Errorf("%s: got  %s\nwant %s", c.file, got, c.want)
		}
		if c.check != nil {
			c.check(t, f)
		}
	}
	entries, err := os.ReadDir("../testdata/hostile/yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, entry := range entries {
		if !slices.ContainsFunc(hostileFiles, func(c hostileFile) bool { return c.file == entry.Name() }) {
			t.Errorf("%s is not tried", entry.Name())
		}
	}
}

// Cases too large to keep as files.
func TestHugeFiles(t *testing.T) {
	line := func(n int, text string) string { return strings.Repeat(text, n) }
	deep := &strings.Builder{}
	for i := range 2000 {
		deep.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	many := &strings.Builder{}
	many.WriteString("inputs:\n")
	for i := range 60_000 {
		fmt.Fprintf(many, "  wrong_%d: x\n", i)
	}
	for _, c := range []struct{ name, text, want string }{
		{"a line of 10 MB", "name: " + line(10<<20, "a"), "data/farm.yaml:1:1: this is larger than 4 MB"},
		{"a line of 1 MB", "name: " + line(1<<20, "a"), "data/farm.yaml:1:1: this line is longer than 32768 characters; break it into several lines"},
		{"100,000 lists in lists", "inputs:\n  a: " + strings.ReplaceAll(line(100_000, "["), line(1000, "["), line(1000, "[")+"\n"), "entries stand within entries more than 64 deep here"},
		{"lists in lists in one line", "name: " + line(30_000, "["), "entries stand within entries more than 64 deep here"},
		{"maps in maps", "name: " + strings.ReplaceAll(line(100_000, "{a: "), line(1000, "{a: "), line(1000, "{a: ")+"\n"), "entries stand within entries more than 64 deep here"},
		{"100,000 dashes", line(15_000, "- ") + "\n" + line(15_000, "- "), "entries stand within entries more than 64 deep here"},
		{"questions in questions", line(15_000, "? "), "entries stand within entries more than 64 deep here"},
		{"indentation 2000 deep", deep.String(), "entries stand within entries more than 64 deep here"},
		{"lists 65 deep", "inputs:\n  a: " + line(65, "[") + line(65, "]"), "data/farm.yaml:2:68: entries stand within entries more than 64 deep here"},
		{"a million entries", "inputs: [" + line(1_000_000, "1,\n") + "]", "this holds more than 300000 entries"},
		{"60,000 mistakes", many.String(), "more than 100 mistakes in this file; the rest are not listed"},
		{"a key of 1000 letters", line(1000, "a") + ": 1", "is not a key of farm.yaml"},
		{"a long number", "name: A\ncurrency: GBP\ninputs:\n  a: " + line(30_000, "9"), "data/farm.yaml:4:6: a is too long for a number"},
	} {
		files := small(t)
		files["data/farm.yaml"] = &fstest.MapFile{Data: []byte(c.text)}
		start := time.Now()
		_, err := Load(files)
		if took := time.Since(start); took > longest {
			t.Errorf("%s took %v", c.name, took)
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %.300v\nwant %s", c.name, err, c.want)
		}
	}
}

func BenchmarkLoad(b *testing.B) {
	files := small(b)
	for b.Loop() {
		if _, err := Load(files); err != nil {
			b.Fatal(err)
		}
	}
}
