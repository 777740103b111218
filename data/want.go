package data

import (
	"math"
	"strings"

	"rickyard/calc/quantity"
)

// A want is what a value must measure.
type want struct {
	name    string // in the schema, as "money"
	what    string // in errors, as "an area"
	example string // in errors; CUR stands for the farm's currency
	unit    string // schema: regular expression of the unit with its spaces
	bare    bool   // a number without a unit will do
	fits    func(u quantity.Unit, money quantity.Dimension) bool
	least   float64 // in base units
	most    float64
	above   bool   // more than least, not least itself
	limits  string // the range in words
	dims    func(money quantity.Dimension) []quantity.Dimension
}

func same(dimension func(money quantity.Dimension) quantity.Dimension) func(quantity.Unit, quantity.Dimension) bool {
	return func(u quantity.Unit, money quantity.Dimension) bool {
		return u.Dimension == dimension(money) && !u.IsDate()
	}
}

func fixed(d quantity.Dimension) func(quantity.Unit, quantity.Dimension) bool {
	return same(func(quantity.Dimension) quantity.Dimension { return d })
}

func isAngle(u quantity.Unit) bool {
	return len(u.Parts) == 1 && u.Parts[0].Unit.Symbol == "deg" && u.Parts[0].Power == 1
}

// isPrice reports whether u is money for each of something.
func isPrice(u quantity.Unit, money quantity.Dimension) bool {
	for _, p := range strings.Fields(string(u.Dimension)) {
		if p == string(money) {
			return u.Dimension != money
		}
	}
	return false
}

func yearly(money quantity.Dimension) quantity.Dimension { return money.Div(quantity.Time) }

const (
	daySeconds  = 86400.
	yearSeconds = 365 * daySeconds
	degree      = math.Pi / 180
)

var anyLimit = math.Inf(1)

const (
	otherUnit = `\s*[^\s0-9,.]\S*\s*$`
	moneyUnit = `\s*[A-Z]{3}\s*$`
	priceUnit = `\s*[A-Z]{3}/\S+\s*$`
)

// The wants.
var (
	wantAny = &want{name: "quantity", what: "a number with its unit", example: "320 kg",
		unit: `(\s*[^\s0-9,.].*)?\s*$`, bare: true, least: -anyLimit, most: anyLimit}
	wantMoney = &want{name: "money", what: "money", example: "380 CUR", unit: moneyUnit,
		fits: same(func(m quantity.Dimension) quantity.Dimension { return m }), most: anyLimit, limits: "0 or more",
		dims: func(m quantity.Dimension) []quantity.Dimension { return []quantity.Dimension{m} }}
	wantCost = &want{name: "cost", what: "money for each", example: "380 CUR", unit: `\s*[A-Z]{3}(/\S+)?\s*$`,
		fits: func(u quantity.Unit, m quantity.Dimension) bool { return u.Dimension == m || isPrice(u, m) }, most: anyLimit, limits: "0 or more"}
	wantPrice = &want{name: "price", what: "a price", example: "4.20 CUR/kg", unit: priceUnit, fits: isPrice, most: anyLimit, limits: "0 or more"}
	wantPay   = &want{name: "money_over_time", what: "money for a time", example: "1200 CUR/year", unit: priceUnit,
		fits: same(yearly), most: anyLimit, limits: "0 or more",
		dims: func(m quantity.Dimension) []quantity.Dimension { return []quantity.Dimension{yearly(m)} }}
	wantWage = &want{name: "wage", what: "money for a time", example: "12.50 CUR/h", unit: priceUnit, fits: same(yearly), most: anyLimit, limits: "0 or more"}
	wantRent = &want{name: "rent", what: "money for an area and a time", example: "180 CUR/ha/year", unit: priceUnit,
		fits: same(func(m quantity.Dimension) quantity.Dimension { return yearly(m).Div(quantity.Area) }), most: anyLimit, limits: "0 or more"}
	wantShare = &want{name: "share", what: "a share", example: "25 %", unit: `\s*%?\s*$`, bare: true,
		fits: func(u quantity.Unit, _ quantity.Dimension) bool { return u.Dimension == quantity.Number && !isAngle(u) },
		most: 1, limits: "0 % to 100 %",
		dims: func(quantity.Dimension) []quantity.Dimension { return []quantity.Dimension{quantity.Number} }}
	wantArea = &want{name: "area", what: "an area", example: "6 ha", unit: otherUnit, fits: fixed(quantity.Area), most: anyLimit, limits: "0 or more"}
	wantTime = &want{name: "time", what: "a time", example: "8 year", unit: otherUnit, fits: fixed(quantity.Time),
		most: anyLimit, above: true, limits: "more than 0"}
	wantSpan = &want{name: "time_or_none", what: "a time", example: "6 month", unit: otherUnit, fits: fixed(quantity.Time), most: anyLimit, limits: "0 or more"}
	wantRise = &want{name: "rise", what: "a rate of change", example: "2 %/year", unit: otherUnit,
		fits: fixed(quantity.Number.Div(quantity.Time)), least: -0.5 / yearSeconds, most: 1 / yearSeconds, limits: "-50 % to 100 % a year"}
	wantTimes = &want{name: "times", what: "a number without a unit", example: "2", unit: `\s*$`, bare: true,
		fits:  func(u quantity.Unit, _ quantity.Dimension) bool { return u.Dimension == quantity.Number && !isAngle(u) },
		least: 1, most: 10, limits: "1 to 10"}
	wantHorizon = &want{name: "whole_years", what: "whole years", example: "5 year", unit: otherUnit, fits: fixed(quantity.Time),
		least: yearSeconds, most: 50 * yearSeconds, limits: "1 to 50 years"}
	wantHours = &want{name: "hours_over_time", what: "working time in a time", example: "40 h/week", unit: otherUnit,
		fits: func(u quantity.Unit, _ quantity.Dimension) bool {
			return u.Dimension == quantity.Number && len(u.Parts) == 2 &&
				u.Parts[0].Unit.Dimension == quantity.Time && u.Parts[1].Unit.Dimension == quantity.Time
		}, most: 1, limits: "0 to all hours of the day"}
	wantTakingsHours = &want{name: "hours_for_takings", what: "working time for an amount of takings", example: "0.012 h/CUR",
		unit: `\s*\S+/[A-Z]{3}\s*$`, fits: same(func(m quantity.Dimension) quantity.Dimension { return quantity.Time.Div(m) }),
		most: anyLimit, limits: "0 or more"}
	wantRate = &want{name: "interest", what: "a rate of interest", example: "6.5 %/year", unit: otherUnit,
		fits: fixed(quantity.Number.Div(quantity.Time)), most: 1 / yearSeconds, limits: "0 to 100 % a year"}
	wantAngle = &want{name: "degrees", what: "degrees north (south is negative)", example: "52.3 deg", unit: `\s*deg\s*$`,
		fits:  func(u quantity.Unit, _ quantity.Dimension) bool { return isAngle(u) },
		least: -90.000001 * degree, most: 90.000001 * degree, limits: "-90 deg to 90 deg"}
	wantHeight = &want{name: "height", what: "a height", example: "85 m", unit: otherUnit, fits: fixed(quantity.Length),
		least: -500, most: 9000, limits: "-500 m to 9000 m"}
	wantDate = &want{name: "date", what: "a day of the year", example: "6 Apr",
		unit: `\s*(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\s*$`,
		fits: func(u quantity.Unit, _ quantity.Dimension) bool { return u.IsDate() }, most: yearSeconds}
	wantWeight = &want{name: "weight", what: "a number without a unit", example: "3", unit: `\s*%?\s*$`, bare: true,
		fits: func(u quantity.Unit, _ quantity.Dimension) bool { return u.Dimension == quantity.Number && !isAngle(u) },
		most: anyLimit, limits: "0 or more"}
)

// exampleFor gives the want's example in a farm's currency.
func (w *want) exampleFor(currency string) string {
	return strings.ReplaceAll(w.example, "CUR", currency)
}
