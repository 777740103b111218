package data

import (
	"errors"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"testing/fstest"
	"time"

	"rickyard/calc/source"
)

// fuzzed are the files that a fuzzed text may stand for.
var fuzzed = []string{farmYAML, pricesYAML, "data/climate.yaml", thingsYAML, moneyYAML, hensYAML, willowYAML}

// FuzzLoad puts any text in the place of one file of the small farm: reading
// never panics and never hangs, errors are of the one type and point into a file
// that was read, and what is accepted points there too.
func FuzzLoad(f *testing.F) {
	for i, name := range fuzzed {
		f.Add(uint8(i), string(small(f)[name].Data))
	}
	for _, c := range badInputs {
		files := small(f)
		edit(f, files, c.file, c.old, c.new)
		f.Add(uint8(slices.Index(fuzzed, c.file)), string(files[c.file].Data))
	}
	for _, c := range hostileFiles {
		b, err := os.ReadFile(filepath.Join("..", "testdata", "hostile", "yaml", c.file))
		if err != nil {
			f.Fatal(err)
		}
		for i, name := range fuzzed {
			if name == c.as {
				f.Add(uint8(i), string(b))
			}
		}
	}
	good := small(f)
	f.Fuzz(func(t *testing.T, which uint8, text string) {
		files := maps.Clone(good)
		name := fuzzed[int(which)%len(fuzzed)]
		files[name] = &fstest.MapFile{Data: []byte(text)}
		start := time.Now()
		farm, err := Load(files)
		if took := time.Since(start); took > longest {
			t.Errorf("took %v", took)
		}
		if err != nil {
			var errs source.Errors
			if !errors.As(err, &errs) || len(errs) == 0 {
				t.Fatalf("error of type %T", err)
			}
			for _, e := range errs {
				if e.Message == "" || e.Span.File == nil || e.Kind == nil {
					t.Errorf("an error without a place or a message: %+v", e)
				}
				if e.Detail() == "" || e.Span.Start > e.Span.End || e.Span.End > len(e.Span.File.Text) {
					t.Errorf("error %v covers %d to %d", e, e.Span.Start, e.Span.End)
				}
			}
			return
		}
		names := map[string]bool{}
		for _, d := range farm.Definitions {
			if d.Place.File == nil || d.Name == "" || names[d.Name] {
				t.Errorf("figure %q at %v is without a place or defined twice", d.Name, d.Place.Position())
			}
			names[d.Name] = true
			if !d.IsInput() && d.Formula.Text() == "" {
				t.Errorf("%s has an empty formula", d.Name)
			}
		}
	})
}
