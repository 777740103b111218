package plan

import "rickyard/calc/say"

// A Threshold is what a lender usually looks for in a measure. Lenders differ,
// so each names its set, and a farm's data may set its own.
type Threshold struct {
	ID     string   // of the measure
	Label  say.Text // of the threshold
	Value  float64  // a plain number, or a fraction
	Share  bool     // shown in per cent
	Most   bool     // the measure should be at most so much; else at least
	Source say.Text
	AsOf   string
}

// Thresholds are those used where a farm's data names none. Their figures are
// plan.usual.<id>; finance.plan.usual.<id> takes their place where given.
var Thresholds = []Threshold{
	{ID: "debt_service_cover", Label: "Debt service cover, usual floor", Value: 1.25,
		Source: "usual floor in farm lending: credit guidelines of two US agricultural lenders (1.25 to 1; another product of one asks 1.35)"},
	{ID: "current_ratio", Label: "Current ratio, usual floor", Value: 1.3,
		Source: "university small-farms scorecard (Cornell): above 2 comfort, 1.3 to 2 caution, below 1.3 danger"},
	{ID: "debt_to_assets", Label: "Debt to assets, usual ceiling", Value: 0.5, Share: true, Most: true,
		Source: "US farm-credit lender's list of sixteen measures: below 40 %, not above 50 %"},
	{ID: "operating_margin", Label: "Operating profit margin, usual floor", Value: 0.3, Share: true,
		Source: "US farm-credit lender's list of sixteen measures: above 30 %"},
	{ID: "return_on_assets", Label: "Return on assets, usual floor", Value: 0.06, Share: true,
		Source: "US farm-credit lender's list of sixteen measures: above 6 %"},
	{ID: "fall", Label: "Fall of prices or yields that a plan should bear", Value: 0.1, Share: true,
		Source: "common practice, no source"},
}

// CurrentRatio is what is owned and turns to money within a year over what must
// be paid within one. There is none where nothing must be paid.
// University of Minnesota Extension, farm finance ratios.
func CurrentRatio(currentAssets, currentLiabilities float64) (float64, bool) {
	return over(currentAssets, currentLiabilities)
}

// DebtToAssets is all that is owed over all that is owned, a fraction.
func DebtToAssets(liabilities, assets float64) (float64, bool) { return over(liabilities, assets) }

// TermDebtCover is what a year leaves to pay loans with over what they ask in
// that year: (net farm income + income from elsewhere + depreciation + interest
// on loans - income tax - family living) / (principal + interest). Net farm
// income is after interest and before tax and living.
// US farm-credit lender's list of sixteen measures.
func TermDebtCover(income, elsewhere, depreciation, interest, tax, living, principal float64) (float64, bool) {
	return over(income+elsewhere+depreciation+interest-tax-living, principal+interest)
}

// OperatingMargin is (net farm income + interest - family living) / turnover, a
// fraction; ReturnOnAssets the same over all that is owned.
// US farm-credit lender's list of sixteen measures.
func OperatingMargin(income, interest, living, turnover float64) (float64, bool) {
	return over(income+interest-living, turnover)
}

// ReturnOnAssets is (net farm income + interest - family living) / assets, a
// fraction. US farm-credit lender's list of sixteen measures.
func ReturnOnAssets(income, interest, living, assets float64) (float64, bool) {
	return over(income+interest-living, assets)
}

// BreakEvenTurnover is the turnover at which nothing is lost, if variable costs
// stay the same part of it: fixed / (1 - variable/turnover).
func BreakEvenTurnover(fixed, variable, turnover float64) (float64, bool) {
	if turnover <= 0 {
		return 0, false
	}
	return over(fixed, 1-variable/turnover)
}

func over(a, b float64) (float64, bool) {
	if !(b > 0) {
		return 0, false
	}
	return a / b, true
}
