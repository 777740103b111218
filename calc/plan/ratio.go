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
