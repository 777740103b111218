package farm_test

import (
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/calc/farm"
	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/content"
	"rickyard/data"
)

// long reports whether every input is tried, and not a sample.
func long() bool { return os.Getenv("RICKYARD_LONG") != "" }

// worked works a workbook's folder out.
func worked(t testing.TB, files fs.FS) *farm.Worked {
	t.Helper()
	f, err := data.Load(files)
	if err != nil {
		t.Fatal(err)
	}
	book, err := content.Load(files)
	if err != nil {
		t.Fatal(err)
	}
	whole := f.Whole(quantity.NewStyle(f.Units, f.Language))
	names := whole.Names()
	book.Settle(names.Has, names)
	w, err := whole.Work(book.Definitions(), false)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// reach knows on which inputs each figure rests.
type reach struct {
	graph  *figures.Graph
	all    []*figures.Figure
	inputs []*figures.Figure
	leaves map[*figures.Figure]map[*figures.Figure]bool
}

func reachOf(g *figures.Graph) *reach {
	r := &reach{graph: g, all: g.All(), leaves: map[*figures.Figure]map[*figures.Figure]bool{}}
	for _, f := range r.all {
		if f.IsInput() && !f.Hidden && !f.Text {
			r.inputs = append(r.inputs, f)
		}
		r.leaves[f] = map[*figures.Figure]bool{}
		for _, leaf := range f.Leaves() {
			r.leaves[f][leaf] = true
		}
	}
	return r
}

// tries are the values that an input is set to: its low and its high, half,
// double and nought, or others where those mean nothing.
func tries(f *figures.Figure, now float64) []float64 {
	const month = 365 * 86400 / 12.
	var all []float64
	switch {
	case f.Type.Kind == formula.Date:
		all = []float64{now + month, now - month, now + 12*month, now - 12*month}
	case f.Type.Truth():
		all = []float64{1 - now}
	case f.Type.Kind == formula.Choice:
		for i := range f.Choices.Words {
			all = append(all, float64(i))
		}
	default:
		if f.Low != nil {
			all = append(all, *f.Low)
		}
		if f.High != nil {
			all = append(all, *f.High)
		}
		all = append(all, now/2, now*2, 0)
		if now == 0 {
			all = append(all, f.Unit.ToBase(1))
		}
	}
	return slices.DeleteFunc(all, func(x float64) bool { return x == now })
}

// set sets an input in a case, every month of it in proportion.
func set(v *figures.Values, f *figures.Figure, x float64) {
	months := v.Months(f)
	if months == nil {
		v.Set(f, x)
		return
	}
	now := mean(months)
	for m := range months {
		if now == 0 {
			months[m] = x
		} else {
			months[m] *= x / now
		}
	}
	v.SetMonths(f, months)
}

func mean(months []float64) float64 {
	sum := 0.0
	for _, x := range months {
		sum += x
	}
	return sum / float64(len(months))
}

func value(v *figures.Values, f *figures.Figure) float64 {
	if months := v.Months(f); months != nil {
		return mean(months)
	}
	return v.Of(f)
}

// moved lists the figures whose values differ between two cases.
func (r *reach) moved(a, b *figures.Values) []*figures.Figure {
	var some []*figures.Figure
	for _, f := range r.all {
		if a.Waits(f) || b.Waits(f) || f.Hidden {
			continue
		}
		if f.Text {
			if a.Text(f) != b.Text(f) {
				some = append(some, f)
			}
			continue
		}
		if why, none := a.None(f); none {
			// Of what has no answer, the reason is the answer.
			if other, still := b.None(f); !still || why != other {
				some = append(some, f)
			}
			continue
		}
		for m := range max(1, f.Type.Len) {
			if a.At(f, m) != b.At(f, m) {
				some = append(some, f)
				break
			}
		}
	}
	return some
}

// A trace never lies: what moves a figure is among what it names. And it names
// little else: of the inputs that figures name, most move them.
func TestATraceNeverLies(t *testing.T) {
	for _, name := range farms(t) {
		t.Run(name, func(t *testing.T) {
			w := worked(t, files(t, name))
			r := reachOf(w.Graph)
			base := w.Graph.Base()
			inputs := r.inputs
			if !long() {
				rng := rand.New(rand.NewPCG(1, 2))
				rng.Shuffle(len(inputs), func(i, j int) { inputs[i], inputs[j] = inputs[j], inputs[i] })
				inputs = inputs[:min(len(inputs), 40)]
			}
			moves := map[*figures.Figure]int{} // how many inputs move it
			missing := 0
			v := base.Clone()
			for _, in := range inputs {
				any := map[*figures.Figure]bool{}
				for _, x := range tries(in, value(base, in)) {
					v.CopyFrom(base)
					set(v, in, x)
					v.Run()
					for _, f := range r.moved(base, v) {
						if f != in {
							any[f] = true
						}
						if !r.leaves[f][in] {
							if missing++; missing < 20 {
								t.Errorf("%s moves with %s (%v) and does not name it", f.Name, in.Name, x)
							}
						}
					}
				}
				for f := range any {
					moves[f]++
				}
			}
			if missing > 0 {
				t.Errorf("%d times a figure moved with an input that it does not name", missing)
			}
			if !long() {
				return
			}
			named, moved := 0, 0
			byGroup := map[string][2]int{}
			for _, f := range r.all {
				if f.IsInput() || f.Hidden || f.Text || base.Waits(f) {
					continue
				}
				n := len(r.leaves[f])
				group := groupOf(f)
				if f.Type.Truth() || strings.HasSuffix(group, " rank") {
					continue // a place, or a yes, turns only where two are close
				}
				named, moved = named+n, moved+moves[f]
				byGroup[group] = [2]int{byGroup[group][0] + n, byGroup[group][1] + moves[f]}
				if of, _, _ := strings.Cut(f.Name, "."); (of == "plan" || of == "mix" || of == "risk") && n > 3 && 2*moves[f] < n {
					t.Logf("%s names %d inputs, of which %d move it", f.Name, n, moves[f])
				}
			}
			for _, group := range slices.Sorted(maps.Keys(byGroup)) {
				t.Logf("%s: %.0f %% of %d", group, 100*float64(byGroup[group][1])/float64(byGroup[group][0]), byGroup[group][0])
			}
			t.Logf("%d inputs; of those named, %.1f %% move what names them", len(inputs), 100*float64(moved)/float64(named))
			if name == "demo" && float64(moved) < 0.7*float64(named) {
				t.Errorf("figures name %d inputs in all, of which %d move them", named, moved)
			}
		})
	}
}

// groupOf names the part of the book that a figure is of.
func groupOf(f *figures.Figure) string {
	parts := strings.Split(f.Name, ".")
	switch parts[0] {
	case "plan", "mix", "risk", "scenarios", "actual", "farm", "finance", "prices", "infrastructure", "climate":
		return parts[0]
	}
	if len(parts) > 2 {
		return "an enterprise's " + parts[1]
	}
	return "an enterprise's own"
}

// farms are the demo and the case farms.
func farms(t testing.TB) []string {
	t.Helper()
	dirs, err := os.ReadDir("../../testdata/farms")
	if err != nil {
		t.Fatal(err)
	}
	all := []string{"demo"}
	for _, d := range dirs {
		if d.Name() != "content" {
			all = append(all, d.Name())
		}
	}
	return all
}

// files are those of the demo, or of a case farm with the chapters that all of
// them share and the demo's pack for a bank.
func files(t testing.TB, name string) fs.FS {
	t.Helper()
	if name == "demo" {
		return os.DirFS("../..")
	}
	merged := fstest.MapFS{}
	take := func(folder, to string, want func(name string) bool) {
		fsys := os.DirFS(folder)
		err := fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !want(path.Base(name)) {
				return err
			}
			text, err := fs.ReadFile(fsys, name)
			merged[path.Join(to, name)] = &fstest.MapFile{Data: text}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	all := func(string) bool { return true }
	take("../../content", "content", regexp.MustCompile(`^7\d-.*\.md$|^cautions\.yaml$|^glossary\.yaml$`).MatchString)
	take("../../testdata/farms/content", "content", all)
	take("../../testdata/farms/"+name, ".", all)
	return merged
}
