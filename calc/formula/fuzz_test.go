package formula_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"rickyard/calc/figures"
	"rickyard/calc/source"
)

// FuzzFormula works any text out as a formula on the little farm. It must come
// to finite numbers, to no answer with its reason, or to errors that have a
// place in the text; and soon.
func FuzzFormula(f *testing.F) {
	for _, name := range []string{"testdata/values.txt", "testdata/errors.txt"} {
		for _, line := range lines(f, name) {
			text, _, isValue := strings.Cut(line, " -> ")
			if rest, isError := strings.CutPrefix(line, "> "); isError {
				f.Add(rest)
			} else if isValue {
				f.Add(text)
			}
		}
	}
	system := units(f)
	base := farm(f, system)
	f.Fuzz(func(t *testing.T, text string) {
		from := time.Now()
		result := figures.Definition{Name: "result", Label: "Result", Formula: source.New("page.md", text).Whole()}
		g, err := figures.Build(system, years, append(base[:len(base):len(base)], result), trade, harvest)
		if took := time.Since(from); took > 10*time.Second {
			t.Fatalf("took %v", took)
		}
		if err != nil {
			refused(t, err)
			return
		}
		figure, v := g.Lookup("result"), g.Base()
		reason, none := v.None(figure)
		if none {
			if warned := v.Warnings().Error(); !strings.Contains(text+warned, reason.String()) && reason.String() != "sales do not cover costs" {
				t.Errorf("no answer for a reason that nobody gave: %q", reason)
			}
			return
		}
		for _, x := range append(v.Months(figure), v.Of(figure)) {
			if figure.Type.Len > 0 && math.IsInf(v.Of(figure), 0) {
				continue // months that are finite may have a sum that is not
			}
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Errorf("comes to %v without an error", x)
			}
			if figure.Type.Truth() && figure.Type.Len == 0 && x != 0 && x != 1 {
				t.Errorf("a yes or no comes to %v", x)
			}
		}
		shownUnit := figure.Unit
		if shownUnit.Dimension != figure.Type.Dimension && !figure.Type.Truth() {
			t.Errorf("%s is shown in %s", figure.Type.Dimension, shownUnit)
		}
	})
}

// refused checks that errors have a place and say something.
func refused(t *testing.T, err error) {
	t.Helper()
	var all source.Errors
	if !errors.As(err, &all) || len(all) == 0 {
		t.Fatalf("%v are not source.Errors", err)
	}
	for _, e := range all {
		if p := e.Span.Position(); p.File != "page.md" || p.Line < 1 || p.Column < 1 || e.Message == "" {
			t.Errorf("%q stands at %v", e.Message, p)
		}
		e.Detail()
	}
}
