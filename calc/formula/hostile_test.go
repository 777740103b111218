package formula_test

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// TestHostile runs the formulas of testdata/hostile/formula.
func TestHostile(t *testing.T) {
	files, err := filepath.Glob("../../testdata/hostile/formula/*.txt")
	if err != nil || len(files) < 20 {
		t.Fatalf("%d cases found: %v", len(files), err)
	}
	for _, name := range files {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txt"), func(t *testing.T) {
			text, want := hostile(t, name)
			from := time.Now()
			if got := shown(t, text); !strings.Contains(got, want) {
				t.Errorf("got %.300s\nwant %s", got, want)
			}
			if _, _, err := work(t, text); err != nil && len(details(err)) > 2000+2*len(text) {
				t.Errorf("the error has %d characters", len(details(err)))
			}
			if took := time.Since(from); took > 5*time.Second {
				t.Errorf("took %v", took)
			}
		})
	}
}

// hostile reads a case as the README there describes.
func hostile(t *testing.T, name string) (text, want string) {
	t.Helper()
	content, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for line := range strings.SplitSeq(strings.TrimSuffix(string(content), "\n"), "\n") {
		if rest, ok := strings.CutPrefix(line, "=> "); ok {
			return b.String(), rest
		}
		count, part, ok := strings.Cut(line, " x ")
		if n, err := strconv.Atoi(count); ok && err == nil {
			b.WriteString(strings.Repeat(part, n))
		} else {
			b.WriteString(line)
		}
	}
	t.Fatalf("%s does not say what is wanted", name)
	return "", ""
}
