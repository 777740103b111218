package trade

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"rickyard/calc/formula"
)

var update = flag.Bool("update", false, "rewrite testdata/functions.txt from the table of functions; read the change like code")

// TestListing holds the table of functions against testdata/functions.txt, which
// somebody has read beside the publications: what each gives and in what, its
// arguments with their limits, and where it is published.
func TestListing(t *testing.T) {
	var b strings.Builder
	for _, f := range Functions {
		list(&b, f)
	}
	const name = "testdata/functions.txt"
	if *update {
		if err := os.WriteFile(name, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	got, listed := strings.Split(b.String(), "\n\n"), strings.Split(string(want), "\n\n")
	for i := range max(len(got), len(listed)) {
		switch {
		case i >= len(got):
			t.Errorf("this is no function any more:\n%s", listed[i])
		case i >= len(listed):
			t.Errorf("this is not in %s; go test ./calc/trade -update writes it:\n%s", name, got[i])
		case got[i] != listed[i]:
			t.Fatalf("the table has\n%s\nand %s\n%s\ngo test ./calc/trade -update rewrites it", got[i], name, listed[i])
		}
	}
}

func list(b *strings.Builder, f *formula.Function) {
	fmt.Fprintf(b, "%s\n  %s\n", f.Usage(), f.About)
	for _, p := range f.Params {
		fmt.Fprintf(b, "  %s: %s%s", p.Name, p.About, measure(f, p))
		if words := p.Sense.Words(p.Unit); words != "" {
			fmt.Fprintf(b, "; %s", words)
		}
		if words := p.Published.Words(p.Unit); words != "" {
			fmt.Fprintf(b, "; published for %s", words)
		}
		b.WriteString("\n")
	}
	fmt.Fprintf(b, "  gives%s\n", measure(f, f.Result))
	for _, rule := range f.Rules {
		fmt.Fprintf(b, "  none where %s\n", rule.Words)
	}
	fmt.Fprintf(b, "  %s\n\n", f.Source)
}

// measure says what an argument or a result is measured in.
func measure(f *formula.Function, p formula.Param) string {
	text := ""
	switch {
	case p.Any:
		text = ", of any kind"
	case p.Like > 0:
		text = ", like " + f.Params[p.Like-1].Name
		if p.Over > 0 {
			text += " over " + f.Params[p.Over-1].Name
		}
	case p.Dimension != "":
		text = ", " + string(p.Dimension)
	}
	if p.Unit != "" {
		text += " in " + p.Unit
	}
	if p.Months {
		text += ", for each month"
	}
	if p.Many {
		text += ", one or more"
	}
	if p.Kind != formula.Number {
		text += ", a " + p.Kind.String()
	}
	return text
}
