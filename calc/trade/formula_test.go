package trade_test

import (
	"strings"
	"testing"

	"golang.org/x/text/language"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
	"rickyard/calc/trade"
)

// TestInFormulas: functions as a formula calls them, with units.
func TestInFormulas(t *testing.T) {
	units, err := quantity.NewSystem("GBP", []quantity.Thing{{Name: "hen"}, {Name: "plant"}})
	if err != nil {
		t.Fatal(err)
	}
	style := quantity.NewStyle(units, language.BritishEnglish)
	for text, want := range map[string]string{
		"loan_payment(200_000 GBP, 7.5 %/year * 1 month, 180) as 0.01 GBP":    "£1,854.02",
		"loan_balance(100_000 GBP, 6 %, 5, 2) as 1 GBP":                       "£63,456",
		"loan_interest(100_000 GBP, 6 %, 5, 2) as 0.01 GBP":                   "£4,935.62",
		"loan_payment(0 GBP, 0 %, 12)":                                        "£0",
		"present_value(10 %, -10_000 GBP, 3_000 GBP, 4_200 GBP, 6_800 GBP)":   "£1,307",
		"present_value(0 %, by_year(-12 GBP, 24 GBP))":                        "£144",
		"internal_rate(-100 GBP, 39 GBP, 59 GBP, 55 GBP, 20 GBP)":             "28.1%",
		"payback(0 %, -10 GBP, 4 GBP, 12 GBP)":                                "1.5",
		"future_value(100 GBP, 100 GBP, 5 %/year * 1 month, 120)":             "£15,693",
		"effective_rate(8 %, 12)":                                             "8.3%",
		"straight_line(17_200 GBP, 1_000 GBP, 5 year)":                        "£3,240",
		"declining_to_straight(10_000 GBP, 1_000 GBP, 2, 5 year, 5)":          "£296",
		"break_even_price(900 GBP/ha, 6 t/ha)":                                "£150.00/t",
		"break_even_yield(900 GBP/ha, 180 GBP/t)":                             "5 t/ha",
		"break_even_volume(20_000 GBP, 0 GBP, 8 GBP/hen, 3 GBP/hen)":          "4,000 hens",
		"break_even_turnover(7_000 GBP, 18_000 GBP, 30_000 GBP)":              "£17,500",
		"feed_between(30 kg, 90 kg, 2, 3)":                                    "150 kg",
		"at(straight_line(by_year(1_000 GBP, 2_000 GBP), 0 GBP, 5 year), 14)": "£400",
		"loan_payment(100 GBP, 1 %, 10.5)":                                    "no answer: the number of payments is not a whole one",
		"loan_payments(8_000 GBP, 1 %, 80 GBP)":                               "no answer: the payment does not cover the interest, so the loan is never paid back",
		"break_even_price(900 GBP, 0 t)":                                      "no answer: the yield expected must be above 0",
		"seeds_needed(10 plant, 0 %, 120 %)":                                  "no answer: the share of the seeds that germinates must be above 0 % and at most 100 %",
		"hay_needed(1 t, 85 %, 1 - 0.3 - 0.7)":                                "1.18 t",
		"internal_rate(5 GBP, 4 GBP)":                                         "no answer: no rate makes these flows worth nothing",
		"present_value(10 %, 5 GBP, 4 kg)":                                    "page.md:1:28: present_value(rate, flow, ...) needs money for flow; this is a mass",
		"loan_payments(10 GBP, 1 %, 5 kg)":                                    "page.md:1:28: loan_payments(loan, rate, payment) needs money for payment; this is a mass",
		"present_value(10 %, 5 GBP, by_year(4 GBP))":                          "page.md:1:28: present_value(rate, flow, ...) takes single values for flow, or one series; this is a series among others",
		"loan_payment(100 GBP, 1 %)":                                          "page.md:1:1: loan_payment has 2 values here; expected loan_payment(loan, rate, payments)",
	} {
		definition := figures.Definition{Name: "result", Formula: source.New("page.md", text).Whole()}
		g, err := figures.Build(units, 2, []figures.Definition{definition}, trade.Functions...)
		if err != nil {
			if err.Error() != want {
				t.Errorf("%s\n got %v\nwant %s", text, err, want)
			}
			continue
		}
		f := g.Lookup("result")
		got := strings.ReplaceAll(style.Text(f.Current(), f.Unit, f.Step), "\u00a0", " ")
		if reason, none := g.Base().None(f); none {
			got = "no answer: " + reason.String()
		}
		if got != want {
			t.Errorf("%s\n got %s\nwant %s", text, got, want)
		}
	}
}

// TestCallsAreFound: what a page needs to explain a formula's functions.
func TestCallsAreFound(t *testing.T) {
	units, _ := quantity.NewSystem("GBP", nil)
	f, err := formula.Parse(source.New("page.md", "if(a > 1, loan_payment(b, 1 %, 12) + max(b, c), loan_payment(c, 1 %, 6)) as GBP").Whole(), units)
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(f.Calls(), " "); got != "if loan_payment max" {
		t.Errorf("calls are %s", got)
	}
	entries := formula.Describe(trade.Functions...)
	for i, e := range entries {
		if i > 0 && entries[i-1].Name >= e.Name {
			t.Errorf("%s stands before %s", entries[i-1].Name, e.Name)
		}
		if e.Trade && e.Source == "" || e.About == "" || e.Usage == "" {
			t.Errorf("%s is not described: %+v", e.Name, e)
		}
	}
}
