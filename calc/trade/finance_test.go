package trade

import (
	"math"
	"testing"
)

// Rows named L, D, I, B and M are worked examples whose inputs and results are
// published. Where numpy-financial is named, its documentation prints the value
// (read in a stored page); the others are worked out again from the formula.
func TestLoans(t *testing.T) {
	const month = 1. / 12
	near(t, "numpy-financial, pmt", call(t, "loan_payment", 200_000.0, 0.075*month, 180.0)[0], 1854.0247200055, 1e-8)
	near(t, "numpy-financial, ipmt: payment", call(t, "loan_payment", 2_500.0, 0.0824*month, 12.0)[0], 217.7485903534, 1e-8)
	for _, c := range []struct{ n, principal, interest, after float64 }{{1, 200.58, 17.17, 2299.42}, {12, 216.26, 1.49, 0}} {
		i := call(t, "loan_interest", 2_500.0, 0.0824*month, 12.0, c.n)[0]
		near(t, "numpy-financial, ipmt: interest", i, c.interest, 0.005)
		near(t, "numpy-financial, ipmt: principal", 217.7485903534-i, c.principal, 0.005)
		near(t, "numpy-financial, ipmt: balance", call(t, "loan_balance", 2_500.0, 0.0824*month, 12.0, c.n)[0], c.after, 0.005)
	}
	sum := 0.0
	for n := 1.0; n <= 12; n++ {
		sum += call(t, "loan_interest", 2_500.0, 0.0824*month, 12.0, n)[0]
	}
	near(t, "numpy-financial, ipmt: interest of the year", sum, 112.98, 0.005)
	near(t, "numpy-financial, nper", call(t, "loan_payments", 8_000.0, 0.07*month, 150.0)[0], 64.07335, 1e-5)
	near(t, "numpy-financial, fv", call(t, "future_value", 100.0, 100.0, 0.05*month, 120.0)[0], 15692.9288943357, 1e-7)
	near(t, "effective rate", call(t, "effective_rate", 0.08, 12.0)[0], 0.0829995, 1e-7)
	near(t, "a rate charged once", call(t, "effective_rate", 0.08, 1.0)[0], 0.08, 1e-15)

	near(t, "annuity formula, 100,000 at 6 % over 5 years", call(t, "loan_payment", 100_000.0, 0.06, 5.0)[0], 23739.6400431, 1e-6)
	for n, want := range []float64{6000, 4935.62, 3807.38, 2611.44, 1343.75} {
		near(t, "its interest by years", call(t, "loan_interest", 100_000.0, 0.06, 5.0, float64(n+1))[0], want, 0.005)
	}
	near(t, "after two years of interest only", call(t, "loan_payment", 100_000.0, 0.06, 8.0)[0], 16103.5942648, 1e-6)
	near(t, "after a year of interest only", call(t, "loan_payment", 300_000.0, 0.065*month, 348.0)[0], 1917.6379987939, 1e-8)
	near(t, "without one", call(t, "loan_payment", 300_000.0, 0.065*month, 360.0)[0], 1896.2040704789, 1e-8)

	// numpy-financial states the same branch for no interest.
	near(t, "no interest", call(t, "loan_payment", 1_200.0, 0.0, 12.0)[0], 100, 0)
	near(t, "hardly any interest", call(t, "loan_payment", 1_200.0, 1e-15, 12.0)[0], 100, 1e-9)
	near(t, "no interest: balance", call(t, "loan_balance", 1_200.0, 0.0, 12.0, 5.0)[0], 700, 1e-12)
	near(t, "no interest: payments", call(t, "loan_payments", 1_200.0, 0.0, 100.0)[0], 12, 0)
	near(t, "no interest: later", call(t, "future_value", 100.0, 10.0, 0.0, 12.0)[0], 220, 0)
	near(t, "nothing paid yet", call(t, "loan_balance", 1_200.0, 0.01, 12.0, 0.0)[0], 1_200, 1e-9)
	near(t, "no periods", call(t, "future_value", 100.0, 10.0, 0.05, 0.0)[0], 100, 0)
	near(t, "no loan", call(t, "loan_payment", 0.0, 0.05, 12.0)[0], 0, 0)
	near(t, "a rest to be left", Payment(1_000, 0.01, 24, 300), Payment(700, 0.01, 24, 0)+3, 1e-9)
	near(t, "no periods left", Payment(1_000, 0.01, 0, 300), 700, 0)

	none(t, "a payment that is the interest", call(t, "loan_payments", 8_000.0, 0.01, 80.0))
	none(t, "a payment below the interest", call(t, "loan_payments", 8_000.0, 0.01, 79.0))
	none(t, "no payment", call(t, "loan_payments", 8_000.0, 0.0, 0.0))
	none(t, "no payments", call(t, "loan_payment", 1_000.0, 0.05, 0.0))
	none(t, "half a payment", call(t, "loan_payment", 1_000.0, 0.05, 10.5))
	none(t, "payments for more than a hundred years", call(t, "loan_payment", 1_000.0, 0.05, 1_201.0))
	none(t, "a loan below nought", call(t, "loan_payment", -1.0, 0.05, 10.0))
	none(t, "a rate below nought", call(t, "loan_payment", 1.0, -0.05, 10.0))
	none(t, "more paid than there is", call(t, "loan_balance", 1_000.0, 0.05, 10.0, 11.0))
	none(t, "the interest of payment nought", call(t, "loan_interest", 1_000.0, 0.05, 10.0, 0.0))
	none(t, "the interest of an eleventh of ten", call(t, "loan_interest", 1_000.0, 0.05, 10.0, 11.0))
	none(t, "all lost in each period", call(t, "future_value", 1.0, 1.0, -1.0, 5.0))
	none(t, "periods before today", call(t, "future_value", 1.0, 1.0, 0.1, -1.0))
	none(t, "charged less than once", call(t, "effective_rate", 0.08, 0.5))
	none(t, "charged more than daily", call(t, "effective_rate", 0.08, 367.0))
	near(t, "half lost in each period", call(t, "future_value", 8.0, 0.0, -0.5, 3.0)[0], 1, 1e-12)
}

func TestDepreciation(t *testing.T) {
	const y = 365 * day
	// A worked class example that compares the methods: cost 17,200, salvage
	// 1,000, five years (read in a stored page).
	near(t, "straight line", call(t, "straight_line", 17_200.0, 1_000.0, 5*y)[0], 3_240, 1e-9)
	for times, want := range map[float64][]float64{
		2:   {6880, 4128, 2476.80, 1486.08, 891.65},
		1.5: {5160, 3612, 2528.40, 1769.88, 1238.92},
	} {
		book := 17_200.0
		for n, d := range want {
			got := call(t, "declining_balance", 17_200.0, times, 5*y, float64(n+1))[0]
			near(t, "declining balance", got, d, 0.005)
			book -= got
		}
		near(t, "book value at the end", book, map[float64]float64{2: 1337.47, 1.5: 2890.80}[times], 0.005)
	}
	for n, want := range []float64{5400, 4320, 3240, 2160, 1080} {
		near(t, "sum of the years' digits", call(t, "sum_of_years", 17_200.0, 1_000.0, 5*y, float64(n+1))[0], want, 1e-9)
	}
	for n, want := range []float64{4000, 2400, 1440, 864, 296} {
		near(t, "declining to straight", call(t, "declining_to_straight", 10_000.0, 1_000.0, 2.0, 5*y, float64(n+1))[0], want, 1e-9)
	}
	// The straight line takes over where it is more: a tenth of the price is left
	// of ten years at one and a half times; worked by pencil, no source.
	near(t, "the line takes over", call(t, "declining_to_straight", 1_000.0, 0.0, 1.0, 4*y, 4.0)[0], 250, 1e-9)
	near(t, "all is written off", Decline(100, 100, 2, 5, 3), 0, 0)
	near(t, "below what is left", Decline(90, 100, 2, 5, 3), 0, 0)

	none(t, "no such year", call(t, "declining_balance", 100.0, 2.0, 5*y, 6.0))
	none(t, "year nought", call(t, "declining_balance", 100.0, 2.0, 5*y, 0.0))
	none(t, "a year and a half", call(t, "sum_of_years", 100.0, 0.0, 5*y, 1.5))
	none(t, "a life in parts of years", call(t, "sum_of_years", 100.0, 0.0, 5.5*y, 1.0))
	none(t, "a life in parts of years", call(t, "declining_to_straight", 100.0, 0.0, 2.0, 5.5*y, 1.0))
	none(t, "no such year", call(t, "declining_to_straight", 100.0, 0.0, 2.0, 5*y, 6.0))
	none(t, "more than all at once", call(t, "declining_balance", 100.0, 6.0, 5*y, 1.0))
	none(t, "more than all at once", call(t, "declining_to_straight", 100.0, 0.0, 6.0, 5*y, 1.0))
	none(t, "no part", call(t, "declining_balance", 100.0, 0.0, 5*y, 1.0))
	none(t, "half a year's life", call(t, "straight_line", 100.0, 0.0, 0.5*y))
	none(t, "a life of 101 years", call(t, "straight_line", 100.0, 0.0, 101*y))
	none(t, "worth less than nothing", call(t, "straight_line", 100.0, -1.0, 5*y))
	none(t, "a price below nought", call(t, "straight_line", -100.0, 0.0, 5*y))
	near(t, "all at once", call(t, "declining_balance", 100.0, 5.0, 5*y, 1.0)[0], 100, 1e-12)
	near(t, "it gains", call(t, "straight_line", 100.0, 150.0, 5*y)[0], -10, 1e-12)
}

func TestOwning(t *testing.T) {
	const y = 365 * day
	// Published table of annual capital recovery factors (engineering pocket
	// guide, 2013) for the first three.
	for _, c := range []struct{ rate, years, want, tolerance float64 }{
		{0.06, 10, 0.13587, 5e-6}, {0.08, 10, 0.14903, 5e-6}, {0.10, 10, 0.16275, 5e-6},
		{0.05, 10, 0.1295046, 1e-7}, {0.08, 15, 0.1168295, 1e-7}, {0.05, 15, 0.0963423, 1e-7}, {0, 8, 0.125, 0},
	} {
		near(t, "capital recovery", call(t, "capital_recovery", c.rate, c.years)[0], c.want, c.tolerance)
	}
	// A public utility-finance hand-out prints 11,230 with the factor rounded to
	// 0.2246.
	near(t, "yearly debt payment", 50_000*call(t, "capital_recovery", 0.04, 5.0)[0], 11_231.36, 0.005)
	// Inputs from Iowa State University Extension, A3-29.
	near(t, "yearly cost of a machine", call(t, "yearly_cost", 130_000.0, 34_500.0, 0.08, 15*y)[0], 13_917.22, 0.005)
	near(t, "its depreciation a year", call(t, "straight_line", 130_000.0, 34_500.0, 15*y)[0], 6366.67, 0.005)
	none(t, "no periods", call(t, "capital_recovery", 0.06, 0.0))
	none(t, "a rate below nought", call(t, "capital_recovery", -0.06, 10.0))
	none(t, "too many periods", call(t, "capital_recovery", 0.06, 1_201.0))
	none(t, "a rate below nought", call(t, "yearly_cost", 100.0, 0.0, -0.01, 5*y))
}

func TestInvestment(t *testing.T) {
	near(t, "numpy-financial, npv", call(t, "present_value", 0.08, -40_000.0, 5_000.0, 8_000.0, 12_000.0, 30_000.0)[0], 3065.22267, 1e-5)
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
		{"nothing at the end", []float64{-100, 121, 0}, []float64{0.21}, 1e-9},
		{"nothing", []float64{0, 0}, nil, 0},
		{"only out", []float64{-5, -3}, nil, 0},
		{"one flow", []float64{-5}, nil, 0},
		{"no number", []float64{-5, math.NaN()}, nil, 0},
		{"too large a number", []float64{-5, math.Inf(1)}, nil, 0},
		{"a hundredfold gain", []float64{-1, 101}, []float64{100}, 1e-9},
		{"nearly all lost", []float64{-1000, 2}, []float64{-0.998}, 1e-9},
		{"more than a thousandfold gain", []float64{-1, 1002}, nil, 0},
	} {
		got := InternalRates(c.flows)
		if len(got) != len(c.want) {
			t.Errorf("%s: rates %v, expected %v", c.what, got, c.want)
			continue
		}
		for i, want := range c.want {
			near(t, c.what, got[i], want, c.tol)
		}
	}
	near(t, "of several the nearest to nought", call(t, "internal_rate", -5.0, 10.5, 1.0, -8.0, 1.0)[0], 0.0886, 5e-5)
	near(t, "of two the lower", call(t, "internal_rate", -1_600.0, 10_000.0, -10_000.0)[0], 0.25, 1e-9)
	none(t, "no rate", call(t, "internal_rate", 1_000.0, -3_000.0, 2_500.0))
	for rate, want := range map[float64]float64{0.2: -0.0864, 0.3: 0.0069, 0.4: -0.0050, 0.5: 0.0247, 0.7: -0.0450} {
		near(t, "four rates: worth between them", call(t, "present_value", rate, -252.0, 1_431.0, -3_035.0, 2_850.0, -1_000.0)[0], want, 5e-5)
	}
	flows := []any{-10_000.0, 3_000.0, 4_200.0, 6_800.0}
	at := func(rate float64) []any { return append([]any{rate}, flows...) }
	near(t, "worth today", call(t, "present_value", at(0.10)...)[0], 1307.2877536, 1e-6)
	near(t, "rate of return", call(t, "internal_rate", flows...)[0], 0.1634056, 1e-7)
	near(t, "payback", call(t, "payback", at(0)...)[0], 2.4117647, 1e-6)
	near(t, "discounted payback", call(t, "payback", at(0.10)...)[0], 2.7441176, 1e-6)
	none(t, "9 does not bring 10 back", call(t, "payback", 0.0, -10.0, 4.0, 5.0))
	if years := call(t, "payback", 0.0, -10.0, 12.0, -5.0, 4.0)[0]; years < 2 {
		t.Errorf("money that goes out again counts as back after %v", years)
	}
	near(t, "back to the penny", call(t, "payback", 0.0, -10.0, 4.0, 6.0)[0], 2, 1e-12)
	near(t, "nothing was paid", call(t, "payback", 0.0, 0.0, 4.0)[0], 0, 0)
	near(t, "nothing comes after", call(t, "payback", 0.0, -10.0, 10.0, 0.0)[0], 1, 1e-12)
	none(t, "all lost in each period", call(t, "present_value", -1.0, -1.0, 2.0))
	near(t, "nearly all lost", call(t, "present_value", -0.5, 0.0, 1.0)[0], 2, 1e-12)
}

func TestBreakEven(t *testing.T) {
	// Penn State Extension, break-even guidance: definitions; numbers by pencil.
	near(t, "price", call(t, "break_even_price", 900.0, 6.0)[0], 150, 0)
	near(t, "yield", call(t, "break_even_yield", 900.0, 180.0)[0], 5, 0)
	near(t, "volume", call(t, "break_even_volume", 20_000.0, 0.0, 8.0, 3.0)[0], 4_000, 0)
	near(t, "volume for an income", call(t, "break_even_volume", 20_000.0, 50_000.0, 8.0, 3.0)[0], 14_000, 0)
	near(t, "turnover", call(t, "break_even_turnover", 7_000.0, 18_000.0, 30_000.0)[0], 17_500, 1e-9)
	near(t, "nothing to cover", call(t, "break_even_volume", 0.0, 0.0, 8.0, 3.0)[0], 0, 0)
	none(t, "a price that is the cost", call(t, "break_even_volume", 20_000.0, 0.0, 8.0, 8.0))
	none(t, "a price below the cost", call(t, "break_even_volume", 20_000.0, 0.0, 8.0, 9.0))
	none(t, "costs as high as sales", call(t, "break_even_turnover", 7_000.0, 30_000.0, 30_000.0))
	none(t, "no sales", call(t, "break_even_turnover", 7_000.0, -1.0, 0.0))
	none(t, "no yield", call(t, "break_even_price", 900.0, 0.0))
	none(t, "no price", call(t, "break_even_yield", 900.0, 0.0))
	none(t, "a cost below nought", call(t, "break_even_price", -1.0, 5.0))
	none(t, "a cost below nought", call(t, "break_even_yield", -1.0, 5.0))
	none(t, "fixed costs below nought", call(t, "break_even_turnover", -1.0, 1.0, 5.0))
	none(t, "fixed costs below nought", call(t, "break_even_volume", -1.0, 0.0, 8.0, 3.0))
}
