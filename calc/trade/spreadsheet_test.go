package trade

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// TestAgainstSpreadsheet compares the finance of this package, on random
// loans, machines and flows, with those of a spreadsheet that has nothing to do with it:
// Gnumeric, whose ssconvert works out a sheet without a window.
func TestAgainstSpreadsheet(t *testing.T) {
	ssconvert, err := exec.LookPath("ssconvert")
	if err != nil {
		t.Skip("ssconvert is not here; install it with: apt-get install --no-install-recommends gnumeric")
	}
	r := rand.New(rand.NewPCG(4, 7))
	var formulas []string
	var ours []float64
	check := func(value float64, format string, args ...any) {
		formulas = append(formulas, fmt.Sprintf(format, args...))
		ours = append(ours, value)
	}
	work := func(name string, args ...float64) float64 {
		all := make([]any, len(args))
		for i, x := range args {
			all[i] = x
		}
		return call(t, name, all...)[0]
	}
	for range 60 {
		amount := float64(1000 + r.IntN(400_000))
		rate := float64(1+r.IntN(2000)) / 10_000 / 12
		n := 2 + r.IntN(300)
		rest := float64(r.IntN(5)) / 10 * amount
		check(Payment(amount, rate, float64(n), rest), "=-PMT(%v;%d;%v;-%v)", rate, n, amount, rest)
		check(work("future_value", amount, 100, rate, float64(n)), "=-FV(%v;%d;100;%v)", rate, n, amount)
		payment := amount * rate * (1.05 + r.Float64())
		check(work("loan_payments", amount, rate, payment), "=NPER(%v;-%v;%v)", rate, payment, amount)
		k := 1 + r.IntN(n)
		interest := work("loan_interest", amount, rate, float64(n), float64(k))
		check(interest, "=-IPMT(%v;%d;%d;%v)", rate, k, n, amount)
		check(work("loan_payment", amount, rate, float64(n))-interest, "=-PPMT(%v;%d;%d;%v)", rate, k, n, amount)
		yearly := float64(1+r.IntN(3000)) / 10_000
		times := 1 + r.IntN(12)
		check(work("effective_rate", yearly, float64(times)), "=EFFECT(%v;%d)", yearly, times)

		cost, left, life := float64(1000+r.IntN(90_000)), float64(r.IntN(900)), 2+r.IntN(20)
		year, years := 1+r.IntN(life), float64(life*yearSeconds)
		check(work("straight_line", cost, left, years), "=SLN(%v;%v;%d)", cost, left, life)
		check(work("sum_of_years", cost, left, years, float64(year)), "=SYD(%v;%v;%d;%d)", cost, left, life, year)
		check(work("declining_balance", cost, 2, years, float64(year)), "=DDB(%v;0;%d;%d;2)", cost, life, year)
		check(work("declining_to_straight", cost, left, 2, years, float64(year)), "=VDB(%v;%v;%d;%d;%d;2)", cost, left, life, year-1, year)

		flows := []float64{-float64(1000 + r.IntN(50_000))}
		for range 3 + r.IntN(8) {
			flows = append(flows, float64(r.IntN(20_000)))
		}
		var texts []string
		for _, x := range flows[1:] {
			texts = append(texts, strconv.FormatFloat(x, 'f', -1, 64))
		}
		list := strings.Join(texts, ";")
		check(PresentValue(yearly, flows), "=%v+NPV(%v;%s)", flows[0], yearly, list)
		if rates := InternalRates(flows); len(rates) == 1 && rates[0] > -0.9 {
			check(rates[0], "=IRR({%v;%s};%v)", flows[0], list, rates[0]+0.01)
		}
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.csv"), filepath.Join(dir, "out.csv")
	// An array constant is {1;2;3} by rows in the C locale, and arguments are
	// parted by commas.
	var sheet strings.Builder
	for _, f := range formulas {
		if strings.HasPrefix(f, "=IRR(") {
			end := strings.IndexByte(f, '}')
			f = f[:end] + strings.ReplaceAll(f[end:], ";", ",")
		} else {
			f = strings.ReplaceAll(f, ";", ",")
		}
		// Twelve digits and more are only printed if text is asked for.
		sheet.WriteString(`"=TEXT(` + f[1:] + `,""0.000000000000E+00"")"` + "\n")
	}
	if err := os.WriteFile(in, []byte(sheet.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(ssconvert, in, out)
	cmd.Env = append(os.Environ(), "LC_ALL=C")
	var said bytes.Buffer
	cmd.Stderr = &said
	if err := cmd.Run(); err != nil {
		t.Fatalf("ssconvert: %v\n%s", err, said.Bytes())
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	if len(lines) != len(ours) {
		t.Fatalf("%d answers to %d formulas", len(lines), len(ours))
	}
	for i, line := range lines {
		theirs, err := strconv.ParseFloat(strings.Trim(line, `"`), 64)
		if err != nil {
			t.Errorf("%s gives %s", formulas[i], line)
			continue
		}
		near(t, formulas[i], ours[i], theirs, 1e-9*max(1, theirs, -theirs))
	}
	t.Logf("%d formulas compared", len(ours))
}
