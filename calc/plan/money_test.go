package plan_test

import (
	"math"
	"testing"

	"rickyard/calc/plan"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tolerance {
		t.Errorf("%s: %.10g, expected %.10g", what, got, want)
	}
}

func ok(t *testing.T, what string) func(float64, bool) float64 {
	return func(x float64, ok bool) float64 {
		t.Helper()
		if !ok {
			t.Errorf("%s has no answer", what)
		}
		return x
	}
}

// Where a check names numpy-financial, its documentation prints the value (read
// in a stored page); the others are worked out again from the formula.
func TestLoans(t *testing.T) {
	const year = 12.
	near(t, "numpy-financial, pmt", plan.Payment(200_000, 0.075/year, 180, 0), 1854.0247200055, 1e-8)
	near(t, "numpy-financial, ipmt", plan.Payment(2_500, 0.0824/year, 12, 0), 217.7485903534, 1e-8)
	schedule := plan.Terms{Amount: 2_500, Rate: 0.0824 / year, Periods: 12}.Schedule(nil)
	for _, c := range []struct {
		month                      int
		principal, interest, after float64
	}{{1, 200.58, 17.17, 2299.42}, {12, 216.26, 1.49, 0}} {
		i := schedule[c.month-1]
		near(t, "numpy-financial, ipmt: principal", i.Principal, c.principal, 0.005)
		near(t, "numpy-financial, ipmt: interest", i.Interest, c.interest, 0.005)
		near(t, "numpy-financial, ipmt: balance", i.After, c.after, 0.005)
	}
	near(t, "numpy-financial, ipmt: interest of the year", interestOf(schedule), 112.98, 0.005)
	near(t, "numpy-financial, nper", ok(t, "nper")(plan.Periods(8_000, 0.07/year, 150)), 64.07335, 1e-5)
	if _, pays := plan.Periods(8_000, 0.07/year, 46); pays {
		t.Error("46 a month pays 8,000 at 7 %, but its interest is 46.67")
	}
	near(t, "numpy-financial, fv", plan.FutureValue(100, 100, 0.05/year, 120), 15692.9288943357, 1e-7)
	near(t, "effective rate", plan.EffectiveRate(0.08, 12), 0.0829995, 1e-7)

	annual := plan.Terms{Amount: 100_000, Rate: 0.06, Periods: 5}
	for n, interest := range []float64{6000, 4935.62, 3807.38, 2611.44, 1343.75} {
		i := annual.Schedule(nil)[n]
		near(t, "level: payment", i.Interest+i.Principal, 23739.6400431, 1e-6)
		near(t, "level: interest", i.Interest, interest, 0.005)
	}
	for n, i := range annual.InWhole(100, nil) {
		want := 23739.64
		if n == 4 {
			want = 23739.63
		}
		if got := math.Round(100*(i.Interest+i.Principal)) / 100; got != want {
			t.Errorf("in whole cents: payment %d is %v, expected %v", n+1, got, want)
		}
		if n == 4 && i.After != 0 {
			t.Errorf("in whole cents: %v is left", i.After)
		}
	}
	equal := annual
	equal.Repayment = plan.EqualPrincipal
	for n, want := range []float64{26_000, 24_800, 23_600, 22_400, 21_200} {
		i := equal.Schedule(nil)[n]
		near(t, "equal principal", i.Interest+i.Principal, want, 1e-9)
	}
	near(t, "equal principal: interest", interestOf(equal.Schedule(nil)), 18_000, 1e-9)

	later := plan.Terms{Amount: 100_000, Rate: 0.06, Periods: 10, InterestOnly: 2}
	for n, i := range later.Schedule(nil) {
		want := 16103.5942648
		if n < 2 {
			want = 6000
		}
		near(t, "two years of interest only", i.Interest+i.Principal, want, 1e-6)
	}
	near(t, "two years of interest only: interest", interestOf(later.Schedule(nil)), 40828.75, 0.005)
	later.InterestOnly = 0
	near(t, "level from the start: interest", interestOf(later.Schedule(nil)), 35867.96, 0.005)
	long := plan.Terms{Amount: 300_000, Rate: 0.065 / year, Periods: 360, InterestOnly: 12}.Schedule(nil)
	near(t, "a year of interest only", long[0].Interest+long[0].Principal, 1625, 1e-9)
	near(t, "and then", long[12].Interest+long[12].Principal, 1917.6379987939, 1e-8)
	near(t, "without", plan.Payment(300_000, 0.065/year, 360, 0), 1896.2040704789, 1e-8)
	near(t, "without interest", plan.Payment(1_200, 0, 12, 0), 100, 0)
	near(t, "hardly any interest", plan.Payment(1_200, 1e-15, 12, 0), 100, 1e-9)

	// A rest of 30 % at the end: the balance before the last payment, less that
	// payment's principal but for the rest, is the rest.
	balloon := plan.Terms{Amount: 1_000, Rate: 0.01, Periods: 24, Balloon: 0.3}.Schedule(nil)
	near(t, "balloon", balloon[23].Principal-(balloon[0].Principal+balloon[0].Interest-balloon[23].Interest), 300, 1e-9)
	end := plan.Terms{Amount: 1_000, Rate: 0.01, Periods: 4, Repayment: plan.AtEnd}.Schedule(nil)
	if end[2].Principal != 0 || end[3].Principal != 1_000 || end[3].After != 0 {
		t.Errorf("paid at the end: %v", end)
	}
}

func interestOf(schedule []plan.Instalment) float64 {
	sum := 0.0
	for _, i := range schedule {
		sum += i.Interest
	}
	return sum
}

func TestDepreciation(t *testing.T) {
	// A worked class example that compares the methods: cost 17,200, salvage
	// 1,000, five years (read in a stored page).
	near(t, "straight line", plan.StraightLine(17_200, 1_000, 5), 3_240, 1e-9)
	for times, want := range map[float64][]float64{
		2:   {6880, 4128, 2476.80, 1486.08, 891.65},
		1.5: {5160, 3612, 2528.40, 1769.88, 1238.92},
	} {
		for n, d := range plan.DecliningBalance(17_200, times, 5, nil) {
			near(t, "declining balance", d, want[n], 0.005)
		}
	}
	for n, want := range []float64{5400, 4320, 3240, 2160, 1080} {
		near(t, "sum of the years' digits", plan.SumOfYears(17_200, 1_000, 5, n+1), want, 1e-9)
	}
	for n, d := range plan.DecliningToStraight(10_000, 1_000, 2, 5, nil) {
		near(t, "declining to straight", d, []float64{4000, 2400, 1440, 864, 296}[n], 1e-9)
	}
	// Published table of annual capital recovery factors (engineering pocket
	// guide, 2013) for the first three.
	for _, c := range []struct{ rate, years, want, tolerance float64 }{
		{0.06, 10, 0.13587, 5e-6}, {0.08, 10, 0.14903, 5e-6}, {0.10, 10, 0.16275, 5e-6},
		{0.05, 10, 0.1295046, 1e-7}, {0.08, 15, 0.1168295, 1e-7}, {0.05, 15, 0.0963423, 1e-7},
	} {
		near(t, "capital recovery", plan.CapitalRecovery(c.rate, c.years), c.want, c.tolerance)
	}
	near(t, "yearly debt payment", 50_000*plan.CapitalRecovery(0.04, 5), 11_231.36, 0.005)
	// Inputs from Iowa State University Extension, A3-29.
	near(t, "yearly cost of a machine", plan.YearlyCost(130_000, 34_500, 0.08, 15), 13_917.22, 0.005)
}

func TestInvestment(t *testing.T) {
	near(t, "numpy-financial, npv", plan.NetPresentValue(0.08, []float64{-40_000, 5_000, 8_000, 12_000, 30_000}), 3065.22267, 1e-5)
	for _, c := range []struct {
		what  string
		flows []float64
		want  []float64
		tol   float64
	}{
		{"numpy-financial, front page", []float64{-250_000, 100_000, 150_000, 200_000, 250_000, 300_000}, []float64{0.5672303344}, 1e-9},
		{"numpy-financial, irr", []float64{-100, 39, 59, 55, 20}, []float64{0.28095}, 5e-6},
		{"numpy-financial, irr below zero", []float64{-100, 0, 0, 74}, []float64{-0.0955}, 5e-5},
		{"numpy-financial, several signs", []float64{-5, 10.5, 1, -8, 1}, []float64{-0.8702012, 0.0886, 0.7095595}, 5e-5},
		{"the pump, a textbook case", []float64{-1_600, 10_000, -10_000}, []float64{0.25, 4}, 1e-9},
		{"four rates, a corporate-finance textbook", []float64{-252, 1_431, -3_035, 2_850, -1_000}, []float64{1. / 4, 1. / 3, 3. / 7, 2. / 3}, 1e-9},
		{"no rate", []float64{1_000, -3_000, 2_500}, nil, 0},
		{"a rate that is only touched", []float64{-1, 2.2, -1.21}, []float64{0.1}, 1e-6},
		{"nothing is paid today", []float64{0, -100, 121}, []float64{0.21}, 1e-9},
		{"nothing", []float64{0, 0}, nil, 0},
		{"only out", []float64{-5, -3}, nil, 0},
	} {
		got := plan.InternalRates(c.flows)
		if len(got) < len(c.want) || c.want == nil && len(got) > 0 {
			t.Errorf("%s: rates %v, expected %v", c.what, got, c.want)
			continue
		}
		for i, want := range c.want {
			near(t, c.what, got[i], want, c.tol)
		}
		if c.want != nil && len(got) > len(c.want) {
			t.Errorf("%s: rates %v, expected %v", c.what, got, c.want)
		}
	}
	near(t, "nearest zero", ok(t, "nearest zero")(plan.NearestZero([]float64{-5, 10.5, 1, -8, 1})), 0.0886, 5e-5)
	for rate, want := range map[float64]float64{0.2: -0.0864, 0.3: 0.0069, 0.4: -0.0050, 0.5: 0.0247, 0.7: -0.0450} {
		near(t, "four rates: value between them", plan.NetPresentValue(rate, []float64{-252, 1_431, -3_035, 2_850, -1_000}), want, 5e-5)
	}
	flows := []float64{-10_000, 3_000, 4_200, 6_800}
	near(t, "value today", plan.NetPresentValue(0.10, flows), 1307.2877536, 1e-6)
	near(t, "rate of return", plan.InternalRates(flows)[0], 0.1634056, 1e-7)
	near(t, "payback", ok(t, "payback")(plan.Payback(flows)), 2.4117647, 1e-6)
	near(t, "discounted payback", ok(t, "payback")(plan.DiscountedPayback(0.10, flows)), 2.7441176, 1e-6)
	if years, back := plan.Payback([]float64{-10, 4, 5}); back {
		t.Errorf("9 brings 10 back after %v", years)
	}
	if years, _ := plan.Payback([]float64{-10, 12, -5, 4}); years < 2 {
		t.Errorf("money that goes out again counts as back after %v", years)
	}
}

func TestRatios(t *testing.T) {
	near(t, "current ratio, Minnesota Extension", ok(t, "ratio")(plan.CurrentRatio(200_000, 120_000)), 1.67, 0.005)
	near(t, "break-even price", ok(t, "price")(plan.BreakEvenPrice(900, 6)), 150, 0)
	near(t, "break-even yield", ok(t, "yield")(plan.BreakEvenYield(900, 180)), 5, 0)
	near(t, "break-even volume", ok(t, "volume")(plan.BreakEvenVolume(20_000, 0, 8, 3)), 4_000, 0)
	near(t, "volume for an income", ok(t, "volume")(plan.BreakEvenVolume(20_000, 50_000, 8, 3)), 14_000, 0)
	near(t, "break-even turnover", ok(t, "turnover")(plan.BreakEvenTurnover(7_000, 18_000, 30_000)), 17_500, 1e-9)
	for _, variable := range []float64{8, 9} {
		if x, any := plan.BreakEvenVolume(20_000, 0, 8, variable); any {
			t.Errorf("at 8 less %v the volume is %v", variable, x)
		}
	}
	// Averages of 76 farms in 2004, Minnesota college farm business programme:
	// operating margin times asset turnover is the return on assets.
	margin := ok(t, "margin")(plan.OperatingMargin(14.7, 5.0, 14.7+5.0-11.9, 100))
	near(t, "return on assets by parts", margin*47.1, 5.6, 0.05)
	assets := 100 / 0.471
	near(t, "return on assets", 100*ok(t, "return")(plan.ReturnOnAssets(14.7, 5.0, 14.7+5.0-11.9, assets)), 5.6, 0.05)
	debt := ok(t, "debt")(plan.DebtToAssets(48, 100))
	near(t, "debt to equity of the same farms", debt/(1-debt), 0.92, 0.005)
	near(t, "term debt cover by its definition", ok(t, "cover")(plan.TermDebtCover(30_000, 5_000, 8_000, 4_000, 3_000, 24_000, 12_000)), 1.25, 1e-12)
	if _, any := plan.CurrentRatio(5, 0); any {
		t.Error("a current ratio without anything to pay")
	}
}
