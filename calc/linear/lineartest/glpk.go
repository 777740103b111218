// Package lineartest holds what tests of linear programs share: another solver's
// answer.
package lineartest

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"rickyard/calc/linear"
)

// GLPK solves a program by the GNU Linear Programming Kit's glpsol (Debian's
// glpk-utils), to the best there is, and returns its gain, or
// linear.ErrInfeasible. Where glpsol is not installed it skips the test.
func GLPK(t testing.TB, p *linear.Program) (float64, error) {
	t.Helper()
	if _, err := exec.LookPath("glpsol"); err != nil {
		t.Skip("glpsol is not installed; cmd/verify installs Debian's glpk-utils")
	}
	dir := t.TempDir()
	model, report := filepath.Join(dir, "farm.lp"), filepath.Join(dir, "report.txt")
	if err := os.WriteFile(model, []byte(write(p)), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("glpsol", "--lp", model, "-o", report).CombinedOutput()
	if err != nil {
		t.Fatalf("glpsol: %v\n%s", err, out)
	}
	if bytes.Contains(out, []byte("NO PRIMAL FEASIBLE")) || bytes.Contains(out, []byte("NO INTEGER FEASIBLE")) {
		return 0, linear.ErrInfeasible
	}
	raw, err := os.ReadFile(report)
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(raw, []byte("UNDEFINED")) || bytes.Contains(raw, []byte("INTEGER EMPTY")) {
		return 0, linear.ErrInfeasible
	}
	found := regexp.MustCompile(`Objective:\s+gain = (\S+)`).FindSubmatch(raw)
	if found == nil {
		t.Fatalf("no objective in glpsol's report:\n%s\n%s", out, raw)
	}
	gain, err := strconv.ParseFloat(string(found[1]), 64)
	if err != nil {
		t.Fatal(errors.Join(err, fmt.Errorf("%s", found[1])))
	}
	return gain, nil
}

// write writes a program in CPLEX LP format.
func write(p *linear.Program) string {
	var b strings.Builder
	terms := 0
	term := func(c float64, j int) {
		if terms++; terms%8 == 0 {
			b.WriteString("\n ") // lines have a greatest length
		}
		fmt.Fprintf(&b, " %+.15g x%d", c, j)
	}
	b.WriteString("Maximize\n gain:")
	for j, v := range p.Variables {
		term(v.Gain, j)
	}
	b.WriteString("\nSubject To\n")
	for i, row := range p.Rows {
		fmt.Fprintf(&b, " c%d: 0 z", i)
		for _, t := range row.Terms {
			term(t.Coefficient, t.Variable)
		}
		fmt.Fprintf(&b, " %s %.15g\n", map[linear.Sense]string{linear.AtMost: "<=", linear.AtLeast: ">=", linear.Equal: "="}[row.Sense], row.Limit)
	}
	whole := map[int]bool{}
	for i, set := range p.Sets {
		fmt.Fprintf(&b, " s%d: 0 z", i)
		for _, j := range set {
			term(1, j)
			whole[j] = true
		}
		b.WriteString(" <= 1\n")
	}
	b.WriteString("Bounds\n")
	for j, v := range p.Variables {
		if math.IsInf(v.Most, 1) {
			fmt.Fprintf(&b, " %.15g <= x%d <= +inf\n", v.Least, j)
		} else {
			fmt.Fprintf(&b, " %.15g <= x%d <= %.15g\n", v.Least, j, v.Most)
		}
	}
	b.WriteString("General\n")
	for j, v := range p.Variables {
		if v.Whole || whole[j] {
			fmt.Fprintf(&b, " x%d\n", j)
		}
	}
	b.WriteString("End\n")
	return b.String()
}
