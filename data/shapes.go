package data

import (
	"fmt"
	"regexp"

	"rickyard/calc/formula"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
)

// Words of choices that the code refers to.
var (
	sourceKinds = []string{"savings", "loan", "grant", "gift", "other"}
	useGroups   = []string{"property", "infrastructure", "equipment", "stock", "working_capital", "contingency"}
)

var (
	repayments    = []string{"level", "equal_principal", "at_end"}
	depreciations = []string{"straight_line", "declining_balance"}
)

// groupFields has a field for each group of prices.
func groupFields(w *want, doc string) []*field {
	var fields []*field
	for _, group := range plan.PriceGroups() {
		fields = append(fields, &field{key: group, doc: fmt.Sprintf(doc, group), is: leafShape(w)})
	}
	return fields
}

func usualFields() []*field {
	var fields []*field
	for _, t := range plan.Thresholds {
		w := wantWeight
		if t.Share {
			w = wantShare
		}
		fields = append(fields, &field{key: t.ID, doc: t.Label.String() + ".", is: leafShape(w)})
	}
	return fields
}

// longestName bounds names, which have to fit into formulas and messages.
const longestName = 60

const namePattern = `^[a-z][a-z0-9_]*$`

var nameText = regexp.MustCompile(namePattern)

func isName(s string) bool {
	return len(s) <= longestName && nameText.MatchString(s) && !formula.Reserved(s)
}

var nameRule = &rule{pattern: namePattern, noun: "a name in lower-case letters, digits and _ that begins with a letter, such as egg_box", ok: isName}

var monthRule = &rule{
	pattern: "^(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)$",
	noun:    "a month: Jan, Feb, Mar, Apr, May, Jun, Jul, Aug, Sep, Oct, Nov or Dec",
	ok:      func(s string) bool { _, ok := quantity.Month(s); return ok },
}

// Keys that may stand at the top of every file.
var (
	inputsField = &field{key: "inputs", doc: "Figures that you know or assume, by name.",
		is: tableShape("figures by name", "A figure: its value with its unit, short or long.", "%s", nameRule, &shape{form: leafForm, want: wantAny, noun: "a number with its unit", example: "320 kg"})}
	workedField = &field{key: "worked", doc: "Figures that are worked out by a formula, by name.",
		is: tableShape("formulas by name", "A worked figure: its formula, short or long.", "%s", nameRule, &shape{form: formulaForm, noun: "a formula", example: "placed * 0.9"})}
)

var farmShape = &shape{form: recordForm, noun: "farm.yaml", fields: []*field{
	{key: "name", need: true, doc: "What the farm is called.", is: textShape},
	{key: "about", doc: "The farm in a sentence or two.", is: textShape},
	{key: "book", doc: "The workbook's title page.", is: &shape{form: recordForm, noun: "the title page", fields: []*field{
		{key: "title", doc: "The title; by default the farm's name.", is: textShape},
		{key: "subtitle", doc: "The line below the title.", is: textShape},
		{key: "author", doc: "Who wrote the workbook.", is: textShape},
		{key: "edition", doc: "Which edition this is, as \"first, spring 2026\".", is: textShape},
	}}},
	{key: "front", doc: "The figures that the front page tells the farm by, at most ten; by default those of the plan.", is: &shape{form: listForm, noun: "a list of figures", example: "[farm.target_income, plan.lowest_cash]", of: textShape}},
	{key: "people", doc: "Who works on the farm, each under a short name of your choice.", is: tableShape("people", "A person.", "%s", nameRule,
		&shape{form: recordForm, noun: "a person", example: "{name: Robin, hours: 40 h/week}", fields: []*field{
			{key: "name", need: true, doc: "The person's name.", is: textShape},
			{key: "hours", say: "working time", doc: "How much the person can work on the farm, as 40 h/week.", is: leafShape(wantHours)},
			{key: "income", doc: "What the person earns off the farm, as 900 GBP/month.", is: leafShape(wantPay)},
			{key: "elsewhere", say: "work elsewhere", doc: "What of these hours goes to work off the farm, as 14 h/week.", is: leafShape(wantHours)},
			{key: "until", doc: "The month in which income and work elsewhere end, as 2029-08; by default never.", is: dateInput},
			{key: "away", say: "time away", doc: "Holidays and other time away: in a year, as 20 day, or a list of twelve for January to December.", is: &shape{form: leafForm, want: wantSpan, noun: wantSpan.what}},
			noteField,
		}})},
	{key: "place", doc: "Where the farm lies.", is: &shape{form: recordForm, noun: "the place", fields: []*field{
		{key: "name", doc: "The place in words, as \"a clay valley, 12 km from the coast\".", is: textShape},
		{key: "country", doc: "The country.", is: textShape},
		{key: "latitude", doc: "Degrees north of the equator, south negative, as 52.3 deg; gives day length and season.", is: leafShape(wantAngle)},
		{key: "altitude", doc: "Height above the sea, as 85 m.", is: leafShape(wantHeight)},
	}}},
	{key: "currency", need: true, doc: "The currency that the farm reckons in: its ISO 4217 code, as GBP.", is: &shape{form: textForm, noun: "a currency code", example: "GBP"}},
	{key: "language", doc: "The language of numbers, dates and all words that the workbook has of its own: en or de, with a country or without; by default en-GB.", is: &shape{form: textForm, noun: "a language tag", example: "en-GB"}},
	{key: "units", say: "system of units", doc: "The units that charts and tables use where nobody says: metric (the default) or customary.", is: choiceShape("metric", "customary")},
	{key: "counts", doc: "The things that the farm counts; each is a unit of its own, so a price per hen can't be multiplied by trays.",
		is: tableShape("things by name", "A counted thing: empty, its plural (boxes), the size of a pack (12 egg), or both.", "%s", nameRule, &shape{form: eitherForm, blank: true,
			noun: "the plural of a counted thing or the size of a pack", example: "12 egg", short: textShape,
			long: &shape{form: recordForm, noun: "a counted thing", fields: []*field{
				{key: "shown", doc: "How pages write one of it, where that is not its name: Henne.", is: textShape},
				{key: "plural", doc: "The plural, where it is not formed by an s.", is: textShape},
				{key: "pack", doc: "What one of it holds, as 12 egg.", is: textShape},
			}}})},
	{key: "frost", doc: "The frost dates that you plan with.", is: &shape{form: recordForm, noun: "the frost dates", fields: []*field{
		{key: "last", say: "last frost", doc: "The last frost of spring, as 6 May.", is: leafShape(wantDate)},
		{key: "first", say: "first frost", doc: "The first frost of autumn, as 12 Oct.", is: leafShape(wantDate)},
		meantField,
	}}},
	{key: "land", doc: "The land, by kind: each under a name that enterprises refer to.", is: tableShape("kinds of land", "A kind of land.", "%s", nameRule,
		&shape{form: recordForm, noun: "a kind of land", example: "{area: 6 ha}", fields: []*field{
			labelField,
			{key: "area", need: true, doc: "How much there is, as 6 ha.", is: leafShape(wantArea)},
			{key: "rent", doc: "The rent, as 180 GBP/ha/year; by default nothing.", is: leafShape(wantRent)},
			{key: "rent_of_more", say: "rent of more", doc: "What more of such land would rent for, where an enterprise is studied at a scale for which the farm has too little; by default the rent.", is: leafShape(wantRent)},
			noteField, meantField,
		}})},
	{key: "labour", doc: "What an hour of work costs.", is: &shape{form: recordForm, noun: "labour", fields: []*field{
		{key: "wage", doc: "The wage that an hour is reckoned at, as 12.50 GBP/h; enterprises need it.", is: leafShape(wantWage)},
		{key: "employment", say: "on-cost of employment", doc: "What an employer pays on top of the wage, as 14 %; by default 0 %.", is: leafShape(wantShare)},
	}}},
	{key: "plan", doc: "What the plan of the whole farm runs.", is: &shape{form: recordForm, noun: "the plan", fields: []*field{
		{key: "enterprises", doc: "The enterprises that are run; by default all. The others are only studied.", is: &shape{form: listForm, noun: "a list of enterprises", example: "[hens, orchard]", of: nameShape}},
	}}},
	{key: "horizon", doc: "How many whole years the plan covers; by default 5 year.", is: leafShape(wantHorizon)},
	partsField, printField,
	inputsField, workedField,
}}

var pricesShape = &shape{form: recordForm, noun: "prices.yaml", fields: []*field{
	{key: "channels", doc: "The ways in which you sell, each under a name of your choice.", is: tableShape("channels", "A way to sell.", "%s", nameRule,
		&shape{form: recordForm, noun: "a channel", example: "{fee: 10 %, hours: 0.012 h/GBP}", fields: []*field{
			labelField,
			{key: "fee", doc: "The share of the takings that the channel keeps or costs; by default 0 %.", is: leafShape(wantShare)},
			{key: "hours", say: "working time", doc: "Your work for an amount of takings, as 0.012 h/GBP; by default none.", is: leafShape(wantTakingsHours)},
			{key: "limit", doc: "The most that the channel can take in a year, in money.", is: leafShape(wantMoney)},
			noteField,
		}})},
	{key: "products", doc: "The price list: each product under a name of your choice.", is: tableShape("products", "A product.", "%s", nameRule,
		&shape{form: recordForm, noun: "a product", example: "{by_channel: {farm_gate: 4.20 GBP/kg}}", fields: []*field{
			labelField,
			{key: "by_channel", need: true, doc: "The price in each channel that it is sold through.",
				is: tableShape("prices by channel", "The price in this channel.", "the price at %s", nameRule, leafShape(wantPrice))},
			noteField, meantField,
		}})},
	inputsField, workedField,
}}

var climateShape = &shape{form: recordForm, noun: "climate.yaml", fields: []*field{inputsField, workedField}}

var sharesByEnterprise = tableShape("shares by enterprise", "The share of this enterprise.", "the share of %s", nameRule, leafShape(wantShare))

var casesShape = &shape{form: recordForm, noun: "cases.yaml", fields: []*field{
	{key: "farms", doc: "Other farms, each under a name, with what is known of them.", is: tableShape("farms", "Another farm.", "%s", nameRule,
		&shape{form: recordForm, noun: "another farm", example: "{source: asked at the mill, figures: {eggs: 268 egg/hen}}", fields: []*field{
			labelField,
			{key: "source", doc: "Where its figures come from, unless one of them says otherwise.", is: textShape},
			{key: "as_of", say: "date (as_of)", doc: "When they were true, unless one of them says otherwise.", is: datedShape},
			{key: "figures", need: true, doc: "What is known of it, by name.", is: inputsField.is},
			noteField,
		}})},
	inputsField, workedField,
}}

var infrastructureShape = &shape{form: recordForm, noun: "infrastructure.yaml", fields: []*field{
	{key: "items", doc: "What stands on the farm for many years: buildings, water, fences, machines.", is: tableShape("items", "An item.", "%s", nameRule,
		&shape{form: recordForm, noun: "an item", example: "{cost: 1800 GBP, life: 15 year}", fields: []*field{
			labelField,
			{key: "group", doc: "The heading that it is listed under, as Buildings.", is: textShape},
			{key: "number", doc: "How many: a number, a counted quantity or a formula; by default 1.", is: amountShape(wantAny)},
			{key: "cost", need: true, doc: "What one costs, as 1800 GBP.", is: leafShape(wantCost)},
			{key: "life", need: true, doc: "How long it lasts, as 15 year.", is: leafShape(wantTime)},
			{key: "residual", doc: "The share of its cost that it still fetches at the end; by default 0 %.", is: leafShape(wantShare)},
			{key: "bought", say: "date of purchase", doc: "When it is bought: a year, a month (2027-03) or a day.", is: dateInput},
			{key: "used_by", doc: "Which enterprises use it, and for which share of its yearly cost.", is: sharesByEnterprise},
			noteField,
		}})},
	inputsField, workedField,
}}

var financeShape = &shape{form: recordForm, noun: "finance.yaml", fields: []*field{
	{key: "sources", doc: "Where the money to start comes from.", is: tableShape("sources of money", "A source of money.", "%s", nameRule,
		&shape{form: recordForm, noun: "a source of money", example: "{kind: savings, amount: 20000 GBP}", fields: []*field{
			labelField,
			{key: "kind", doc: "What kind of money it is; by default other.", is: choiceInput(sourceKinds...)},
			{key: "amount", need: true, doc: "How much: money or a formula.", is: amountShape(wantMoney)},
			{key: "rate", doc: "The interest on a loan, as 6.5 %/year.", is: leafShape(wantRate)},
			{key: "term", doc: "The time over which a loan is paid back, as 10 year.", is: leafShape(wantTime)},
			{key: "received", say: "date of receipt", doc: "When it comes, as 2027-09; by default at the opening.", is: dateInput},
			{key: "repaid", doc: "How a loan is paid back: level (the same payment each time, the default), equal_principal or at_end.", is: choiceInput(repayments...)},
			{key: "interest_only", say: "time of interest only", doc: "How long at first only the interest is paid, as 12 month.", is: leafShape(wantSpan)},
			{key: "balloon", doc: "The share of a loan that is left for the last payment; by default 0 %.", is: leafShape(wantShare)},
			{key: "every", say: "time between payments", doc: "The time from one payment to the next; by default 1 month.", is: leafShape(wantTime)},
			noteField,
		}})},
	{key: "uses", doc: "What the money is spent on before the farm pays for itself.", is: tableShape("uses of money", "A use of money.", "%s", nameRule,
		&shape{form: recordForm, noun: "a use of money", example: "{group: equipment, amount: 4000 GBP}", fields: []*field{
			labelField,
			{key: "group", need: true, doc: "Which of the six groups of a start-up budget it belongs to.", is: choiceShape(useGroups...)},
			{key: "amount", need: true, doc: "How much: money or a formula.", is: amountShape(wantMoney)},
			{key: "paid", say: "date of payment", doc: "When it is paid, as 2027-02; by default at the opening.", is: dateInput},
			{key: "life", doc: "How long it lasts, if it is a thing that no list of infrastructure and no enterprise has, as 12 year.", is: leafShape(wantTime)},
			{key: "residual", doc: "The share of it that is left at the end of its life; by default 0 %.", is: leafShape(wantShare)},
			noteField,
		}})},
	{key: "overheads", doc: "What the farm costs whatever it produces: insurance, accountant, telephone.", is: tableShape("overheads", "An overhead.", "%s", nameRule,
		&shape{form: recordForm, noun: "an overhead", example: "{amount: 600 GBP/year}", fields: []*field{
			labelField,
			{key: "amount", need: true, doc: "How much in a time, as 600 GBP/year, or a formula.", is: amountShape(wantPay)},
			{key: "shared", doc: "Which enterprises bear it, and which share of it.", is: sharesByEnterprise},
			noteField,
		}})},
	{key: "plan", doc: "How the whole farm is planned, month by month.", is: &shape{form: recordForm, noun: "the plan", fields: []*field{
		{key: "start", doc: "The plan's first month, as 2027-01; by default January of the year in which the first thing is bought.", is: dateInput},
		{key: "starts", doc: "When an enterprise starts, if not with the plan.", is: tableShape("starts by enterprise", "When this enterprise starts.", "the start of %s", nameRule,
			&shape{form: recordForm, noun: "a start", example: "{from: 2027-01, sells_from: 2027-06}", fields: []*field{
				{key: "from", doc: "The month in which it starts, as 2028-03.", is: dateInput},
				{key: "sells_from", doc: "The month in which it first sells.", is: dateInput},
				meantField,
			}})},
		{key: "drawings", doc: "What the household takes out, as 2200 GBP/month, or a formula.", is: amountShape(wantPay)},
		{key: "tax", doc: "The share of a year's profit that is set aside for income tax: an estimate, for a talk with an adviser.", is: amountShape(wantShare)},
		{key: "tax_paid_after", doc: "How long after the year's end the tax is paid; by default 10 month.", is: leafShape(wantTime)},
		{key: "discount", doc: "The rate at which later money is worth less; by default 5 %/year.", is: leafShape(wantRate)},
		{key: "overdraft", doc: "What the bank lends on the account.", is: &shape{form: recordForm, noun: "an overdraft", fields: []*field{
			{key: "limit", doc: "The most, as 5000 GBP.", is: leafShape(wantMoney)},
			{key: "rate", doc: "The interest on it.", is: leafShape(wantRate)},
		}}},
		{key: "depreciation", doc: "How equipment loses value: straight_line (the default) or declining_balance.", is: choiceInput(depreciations...)},
		{key: "declining_times", doc: "Declining balance: how many times the straight line's rate; by default 2.", is: leafShape(wantTimes)},
		{key: "sales_tax", doc: "The tax on what is sold and bought.", is: &shape{form: recordForm, noun: "sales tax", fields: append([]*field{
			{key: "registered", doc: "true: the farm is registered, so that it settles the tax each quarter.", is: truthInput},
			{key: "prices", doc: "Whether prices and costs in the data are with the tax (the default) or without.", is: choiceInput("with", "without")},
		}, groupFields(wantShare, "The rate on %s; by default 0 %%.")...)}},
		{key: "inflation", doc: "How prices rise from year to year; by default not.", is: &shape{form: recordForm, noun: "inflation", fields: groupFields(wantRise, "The rise of %s a year, as 2 %%/year.")}},
		{key: "usual", doc: "What your own lender looks for, in place of the usual thresholds.", is: &shape{form: recordForm, noun: "thresholds", fields: usualFields()}},
	}}},
	{key: "risk", doc: "How the plan is tried out with all inputs that have a range drawn anew, many times.", is: riskShape},
	{key: "scenarios", doc: "What may happen, each under a name: some figures otherwise, and the plan worked out again beside the plan.", is: scenariosShape},
	{key: "records", doc: "How the records in data/records are counted.", is: &shape{form: recordForm, noun: "records", fields: []*field{
		{key: "bad_rows", doc: "What a row with a mistake does: refuse (the default: nothing is built) or count_rest (it is listed, and the rest counted).", is: choiceShape("refuse", "count_rest")},
		{key: "up_to", doc: "The month up to which all is recorded, as 2027-09; by default that of the latest record.", is: dateInput},
	}}},
	inputsField, workedField,
}}

// Timing of a line, long form.
var whenShape = &shape{form: eitherForm, noun: "a timing", example: "{each: batch, day: 58 day}",
	short: &shape{form: plainForm, noun: "months such as Apr..Oct", example: "Apr..Oct"},
	long: &shape{form: recordForm, noun: "a timing", fields: []*field{
		{key: "each", doc: "The cycle of the calendar that it follows, as batch.", is: nameShape},
		{key: "day", doc: "On this day of each cycle, counted from its first day, as 58 day.", is: formulaShape},
		{key: "from", doc: "From this day of each cycle, as 21 day.", is: formulaShape},
		{key: "to", doc: "Up to this day of each cycle, as 58 day.", is: formulaShape},
		{key: "months", doc: "Evenly over these months, as Apr..Oct.", is: formulaShape},
		{key: "weights", doc: "Over the months in these proportions, as {Apr: 1, May: 3}.",
			is: tableShape("weights by month", "The weight of this month.", "the weight of %s", monthRule, leafShape(wantWeight))},
		{key: "lag", doc: "How long after the scale is set up it first comes, as 2 year.", is: formulaShape},
		{key: "every", doc: "It comes back after this time only, as 5 year.", is: formulaShape},
		{key: "once", doc: "true: it comes only once, when the scale is set up.", is: trueShape},
	}, ways: [][]string{{}, {"each", "day"}, {"each", "from", "to"}, {"months"}, {"weights"}}}}

var (
	lineNameField = &field{key: "name", doc: "The name of the line's figure; by default its label in small letters.", is: nameShape}
	lineAmount    = func(doc string) *field { return &field{key: "amount", need: true, doc: doc, is: lineFormula} }
	whenField     = &field{key: "when", say: "timing", doc: "When in the year it falls; by default evenly over the whole year.", is: whenShape}
)

func lineShape(kind, kindDoc string, kindIs *shape, rest ...*field) *variant {
	fields := append([]*field{{key: kind, need: true, doc: kindDoc, is: kindIs}, lineNameField}, rest...)
	return &variant{kind: kind, is: &shape{form: recordForm, noun: "a line of kind " + kind, fields: append(fields, noteField, meantField)}}
}

func lineVariants() []*variant {
	sale := lineShape("sale", "Something sold: its label.", textShape,
		lineAmount("How much is sold in a full year: a formula, as carcass."),
		&field{key: "price", doc: "One price for all that is sold: a formula, as 4.20 GBP/kg.", is: lineFormula},
		&field{key: "product", doc: "The entry of the price list that it is sold as.", is: nameShape},
		&field{key: "through", doc: "The share of the amount that goes through each channel; 100 % together.",
			is: tableShape("shares by channel", "The share that goes through this channel: a formula, as 60 %.", "the share through %s", nameRule, formulaShape)},
		&field{key: "side", doc: "true: a by-product, set against the costs when the break-even price is worked out.", is: trueShape},
		whenField)
	sale.is.ways = [][]string{{"price"}, {"price", "through"}, {"product", "through"}}
	land := lineShape("land", "Land held over some months: the name of a kind of land in farm.yaml.", nameShape,
		labelField,
		&field{key: "area", need: true, doc: "How much land: a formula, as on_grass * 4 m2/bird.", is: lineFormula},
		&field{key: "months", doc: "The months in which the land is held, as Apr..Oct; short for when.", is: formulaShape},
		whenField)
	land.is.ways = [][]string{{}, {"months"}, {"when"}}
	return []*variant{
		sale,
		lineShape("cost", "A variable cost: its label.", textShape, lineAmount("What it costs in a full year: a formula that gives money."), whenField),
		lineShape("overhead", "A fixed cost of this enterprise alone: its label.", textShape, lineAmount("What it costs in a full year: a formula that gives money."), whenField),
		lineShape("hours", "The work of one task: its label.", textShape, lineAmount("How long it takes in a full year: a formula that gives a time."), whenField),
		lineShape("capital", "Things bought for this enterprise that last for years: their label.", textShape,
			&field{key: "number", need: true, doc: "How many are needed: a formula, often ceil(...).", is: lineFormula},
			&field{key: "cost", need: true, doc: "What one costs: a formula, as 380 GBP.", is: lineFormula},
			&field{key: "life", need: true, doc: "How long it lasts: a formula, as 8 year.", is: lineFormula},
			&field{key: "residual", doc: "The share of the cost that it still fetches at the end; by default nothing.", is: lineFormula},
			whenField),
		land,
	}
}

var enterpriseShape = &shape{form: recordForm, noun: "an enterprise", fields: []*field{
	{key: "name", need: true, doc: "What the enterprise is called.", is: textShape},
	{key: "about", doc: "The enterprise in one plain sentence.", is: textShape},
	{key: "scale", need: true, doc: "How large the enterprise is, and in which steps it can grow.", is: &shape{form: recordForm, noun: "the scale", example: "{figure: batches, unit: batch, now: 4 batch, most: 10 batch}", fields: []*field{
		{key: "figure", need: true, doc: "The name of the figure that holds the scale, for use in formulas.", is: nameShape},
		{key: "unit", need: true, doc: "What the scale is counted in: a counted thing or a unit, as batch or m2.", is: &shape{form: textForm, noun: "a unit"}},
		{key: "now", need: true, say: "present scale", doc: "The scale of the plan, as 7 batch.", is: leafShape(wantAny)},
		{key: "step", doc: "The least by which the scale can grow; by default one of the unit.", is: formulaShape},
		{key: "least", doc: "The smallest scale worth doing; by default one step.", is: formulaShape},
		{key: "most", need: true, doc: "The largest scale that land, season or market allow.", is: formulaShape},
		{key: "because", doc: "Why it can't be larger.", is: textShape},
		meantField,
	}}},
	{key: "output", doc: "The figure that measures the main product of a full year, as carcass.", is: figureShape},
	inputsField, workedField,
	{key: "calendar", doc: "The cycles of the year, such as batches, each under a name that lines refer to.", is: tableShape("cycles", "A cycle.", "%s", nameRule,
		&shape{form: recordForm, noun: "a cycle", example: "{first: 6 Apr, every: 21 day, number: batches}", fields: []*field{
			{key: "first", need: true, doc: "The day on which the first one starts: a formula, as 6 Apr.", is: formulaShape},
			{key: "every", need: true, doc: "The time from one start to the next: a formula, as 21 day.", is: formulaShape},
			{key: "number", need: true, doc: "How many start in a full year: a formula, as batches.", is: formulaShape},
		}})},
	{key: "build_up", doc: "The scale in the first year, the second and so on, until the plan's own is reached.", is: &shape{form: listForm, noun: "a list of scales", example: "[4 batch, 7 batch]", of: formulaShape}},
	{key: "lines", need: true, doc: "The budget: sales, costs, overheads, hours, capital and land.",
		is: &shape{form: listForm, noun: "a list of lines", example: "- cost: Feed", of: &shape{form: kindForm, noun: "a line", variants: lineVariants()}}},
	{key: "cautions", doc: "The cautions that the chapter must carry, by name.", is: &shape{form: listForm, noun: "a list of cautions", example: "[slaughter]", of: textShape}},
}}

type kindOfFile struct {
	name  string
	title string
	is    *shape
}

// kinds are the files by the name that [Schema] knows them by.
var kinds = []kindOfFile{
	{"farm", "The farm: data/farm.yaml", farmShape},
	{"prices", "Channels and prices: data/prices.yaml", pricesShape},
	{"climate", "The climate: data/climate.yaml", climateShape},
	{"infrastructure", "Infrastructure: data/infrastructure.yaml", infrastructureShape},
	{"finance", "Finance: data/finance.yaml", financeShape},
	{"cases", "Other farms: data/cases.yaml", casesShape},
	{"enterprise", "An enterprise: data/enterprises/*.yaml", enterpriseShape},
}
