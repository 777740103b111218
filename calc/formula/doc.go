// Package formula is the language in which a farmer writes how a figure is
// worked out. It is read, its units are checked, and it is compiled to a short
// list of instructions over float64 that run without allocating.
//
// # A line of a calculation
//
// In a calc block of a chapter each line is
//
//	Label: name = formula
//
// and may end in "as" and the unit to show. The label is what readers see. The
// name is how other formulas call the figure: letters a to z, digits and _, with
// dots between its parts, as in prices.eggs.farm_gate. A name is looked up in
// the chapter or the file where it stands, and then as a full name. Keywords
// (and, or, not, is, if, as, none) and months (Jan to Dec) can't be names.
//
// The examples below are run by the tests. They have birds of 320 bird, pens of
// 4, width of 1.2 m, loss of 4 %, start of 6 Apr, and rain, a monthly series.
//
// # Numbers and units
//
// A unit follows its number. Units are joined by / or · without spaces, and a
// power is one digit; what stands after each / is below the line.
//
//	18 m -> 18 m
//	1_200 kg -> 1,200 kg
//	6 % -> 6%
//	0.52 GBP/kg -> £0.52/kg
//	4 m2/bird/day * 10 bird * 2 day -> 80 m²
//	2 /year -> 2 per year
//
// The unit belongs to its number before anything else is done. So a number and
// its unit are divided by as one:
//
//	10 GBP / 2 kg -> £5.00/kg
//	1/2 kg -> 0.5 per kg
//	0.5 kg -> 0.5 kg
//
// A / without spaces joins a unit only if one follows; else it divides. Where a
// figure has the name of a unit, the unit is meant: write 2 kg / bird with spaces
// for the figure.
//
//	5 m/width -> 4.17
//	5 m / width -> 4.17
//	2 kg/bird * birds -> 640 kg
//
// Units convert by themselves, and a result is shown in the first unit of its
// sum. Things that a farm counts are units too, so a number of birds is not a
// number of hens, and neither is a plain number.
//
//	1 kg + 500 g -> 1.5 kg
//	500 g + 1 kg -> 1,500 g
//	25 min/day * 1 week as h -> 2.92 h
//
// A percentage of something is shown as that thing; write "as %" to see a share.
//
//	birds * loss -> 12.8 birds
//	1 - loss -> 96%
//	300 * 6 % -> 18
//	300 * 6 % / 60 as % -> 30%
//
// # Operators
//
// From the tightest to the loosest: ^, the sign -, then * and /, + and -, the
// comparisons, not, and, or. Equals in strength bind from the left, but ^ from the right, as
// in school. × ÷ − ≤ ≥ may be written for * / - <= >=.
//
//	2 + 3 * 4 -> 14
//	(2 + 3) * 4 -> 20
//	10 / 2 / 5 -> 1
//	-2 ^ 2 -> −4
//	2 ^ 3 ^ 2 -> 512
//	2 - -3 -> 5
//
// What has a unit can be raised only to a whole power, and in brackets if it is a
// number with its unit: 5 m ^ 2 could be meant in two ways and is refused.
//
//	(5 m) ^ 2 -> 25 m²
//	5 m2 -> 5 m²
//
// # Comparisons and conditions
//
// Comparisons are < <= > >= is, and is not. Two numbers are equal if they differ
// by less than one part in a thousand million, since a computer can't hold most
// decimal fractions exactly; neither is then greater. That is no help against 0:
// ask whether a is b, not whether a - b is 0.
//
//	0.1 + 0.2 is 0.3 -> yes
//	0.1 + 0.2 > 0.3 -> no
//	pens > 3 and not pens is 5 -> yes
//	if(birds > 300 bird, 2, 1) -> 2
//
// Both answers of an if are of one kind. Comparisons can't be chained; join two
// with and.
//
// # No answer
//
// none("why") says that there is no answer, with the reason for the reader. All
// that is worked out from it has no answer either, for the same reason.
//
//	if(pens > 9, 12 month, none("sales do not cover costs")) -> no answer: sales do not cover costs
//	1 year + if(pens > 9, 1 year, none("too few pens")) -> no answer: too few pens
//
// A division by nought, the root of a number below it or a result too large for a
// float64 (about 1.8e308) has no answer either. The reason names what is nought,
// and a warning stands at the formula. An if looks only at the branch that it
// takes; one no settles an and, and one yes an or.
//
//	birds / (pens - 4) -> no answer: what it is divided by comes to nought: “pens”
//	if(pens > 0, birds / pens, none("no pens")) -> 80 birds
//	pens > 9 and 1 / 0 > 2 -> no
//
// In a series each month has an answer or none by itself. What is worked from all
// of them, such as their sum, has none if one month has none.
//
//	sum(if(rain > 70 mm, none("too wet"), 1)) -> no answer: too wet
//	at(if(rain > 70 mm, none("too wet"), 1), May) -> 1
//
// # Dates and temperatures
//
// A date is written as ISO 8601 has it and is a day of the calendar, with its 29
// February. A day of the year has no year, comes again each year and is one of
// 365; what falls on 29 February falls on the 28th in it. Time is added to either
// or taken from it; two are some days apart, less than none if the second is the
// later. The two don't mix.
//
//	2027-03-14 -> 14 Mar 2027
//	2028-02-28 + 1 day -> 29 Feb 2028
//	2027-06-05 - 2027-03-14 -> 83 days
//	6 Apr -> 6 Apr
//	start + 21 day -> 27 Apr
//	20 Dec + 30 day -> 19 Jan
//	20 Dec - start -> 258 days
//	year(2027-03-14) + month(start) -> 2,031
//
// Months and years move a date to the same day of another month, or to that
// month's last if it has no such day. So they must be whole; parts are said in
// days. Only where a rate is reckoned has a year 365 days, and a month a twelfth.
//
//	2028-01-31 + 1 month -> 29 Feb 2028
//	31 Jan + 1 month -> 28 Feb
//	2028-02-29 + 1 year -> 28 Feb 2029
//	2027-03-14 - 18 month -> 14 Sep 2025
//	6 Apr + 1.5 month -> no answer: a date moves by whole months; a part of one is said in days
//
// Temperatures are written in degC or degF, their differences in K or, of degrees
// Fahrenheit, Fdeg.
//
//	-5 degC + 10 K -> 5 °C
//	18 degC - 5 degC -> 13 K
//	212 degF is 100 degC -> yes
//	212 degF - 32 degF -> 180 F°
//	50 degF + 18 Fdeg as degC -> 20 °C
//
// Neither dates nor such temperatures can be multiplied or added up: 20 degC is
// not twice 10 degC.
//
// # Words
//
// Some figures of the data are not numbers but one of a list of words, such as
// what pays for a thing: loan, grant or savings. They are compared with a word in
// quotes. Here payment is "grant".
//
//	if(payment is "grant", 40 %, 0 %) -> 40%
//	payment is not "loan" -> yes
//
// # Months and series
//
// A monthly series has twelve values, January first. A month, or a range of
// months, is a series of 1 in those months and 0 in the others; a range may run
// over the turn of the year. Between series an operator works month by month, and
// a single value stands beside a series by repeating.
//
//	Apr..Oct -> 3 × 0, 7 × 1, 2 × 0
//	Oct..Mar -> 3 × 1, 6 × 0, 3 × 1
//	100 GBP * Apr..May -> 3 × £0, 2 × £100, 7 × £0
//	if(rain > 70 mm, 1, 0) -> 1, 8 × 0, 3 × 1
//
// A series can also run over the plan's years (three in these examples): see
// each_year and by_year. The two lengths don't mix.
//
// A series knows what it is, and so what it comes to as a whole. Money, weights
// and counted things flow and add up; land is held, and the fullest month counts;
// of a level, such as a balance, the last month counts; of a price, a share and a
// temperature the mean. Most of it follows from the unit and the formula: a flow
// at a price is a flow, running sums are a level, one flow over another is a share
// or a price whose mean is weighed by what it divides by. Where it does not, the
// data says so.
//
// # Functions
//
// Beside these a formula can use the trade's own functions, such as loan_payment.
// rickyard functions lists all of them, with what each argument means, within
// which limits there is an answer, and where the formula is published. A function
// of single values works month by month on series.
//
//   - abs(a): without its sign
//   - at(series, month): the value in one month, as at(rain, Apr)
//   - average(series) or average(series, weights): the mean of the months, weighed by another series if there is one
//   - by_year(first, second, ...): a series over the plan's years, one value a year; the last one holds on
//   - ceil(a): rounded up to a whole number of the unit that it is shown in
//   - cos(angle): the cosine of an angle
//   - each_year(series): twelve months repeated over the plan's years
//   - exp(a): e to the power of a
//   - floor(a): rounded down to a whole number of the unit that it is shown in
//   - if(condition, a, b): a where the condition holds, else b
//   - in_year(series, year): the twelve months of one of the plan's years
//   - ln(a): the natural logarithm
//   - max(a, b, ...) or max(series): the greatest
//   - min(a, b, ...) or min(series): the least
//   - month(date): the month of a date, January as 1
//   - month_days(): the days of each month
//   - monthly(jan, feb, ... dec): a series of twelve values
//   - pi(): the length around a circle over that across it
//   - round(a) or round(a, step): rounded to the nearest step, halves away from zero
//   - running(series): each month with all before it
//   - shift(series, months): moved later by whole months, round the year; over the plan's years nothing flows in from before them
//   - sin(angle): the sine of an angle
//   - spread(amount, weights): the amount over the months by their weights
//   - sqrt(a): the square root
//   - sum(series) or sum(a, b, ...): all added up
//   - year(date): the year of a date
//
// For example:
//
//	abs(2 kg - 5 kg) -> 3 kg
//	at(rain, Apr) -> 40 mm
//	average(rain) -> 62.9 mm
//	average(rain, Apr..May) -> 42.5 mm
//	by_year(2, 5) -> 12 × 2, 24 × 5
//	ceil(birds / 75 bird) -> 5
//	cos(60 deg) -> 0.5
//	ceil(2.3 lb) -> 3 lb
//	each_year(Jan) -> 1, 11 × 0, 1, 11 × 0, 1, 11 × 0
//	exp(1) as 0.001 -> 2.718
//	floor(2.9) -> 2
//	in_year(by_year(2, 5), 2) -> 12 × 5
//	ln(10) as 0.001 -> 2.303
//	max(1 kg, 1500 g) -> 1.5 kg
//	min(rain) -> 40 mm
//	month(2027-03-14) -> 3
//	sum(month_days()) -> 365 days
//	monthly(1, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 4) -> 3 × 1, 3 × 2, 3 × 3, 3 × 4
//	round(7.3 kg, 0.5 kg) -> 7.5 kg
//	pi() * (2 m) ^ 2 as 0.01 m2 -> 12.57 m²
//	running(Jan..Mar) -> 1, 2, 10 × 3
//	shift(Jan, 2) -> 2 × 0, 1, 9 × 0
//	shift(by_year(2 GBP, 5 GBP), 1) -> £0, 12 × £2, 23 × £5
//	sin(30 deg) -> 0.5
//	spread(120 GBP, Apr..Jun) -> 3 × £0, 3 × £40, 6 × £0
//	sqrt(16 m2) -> 4 m
//	sum(Apr..Oct) -> 7
//
// ceil and floor take a number within a thousand-millionth of a whole one for that
// one, so 300 birds at 75 to a pen need four pens.
//
// # The unit to show
//
// "as" ends a formula, with the unit to show, or with a step to round to and a
// unit. It changes nothing but what is shown.
//
//	1 acre as m2 -> 4,047 m²
//	1 acre as 0.1 ha -> 0.4 ha
//	0.0614 as 0.1 % -> 6.1%
//	96 day as date -> 7 Apr
//
// # Limits
//
// A formula has at most 65,536 characters and 20,000 parts, nests at most 100
// deep and compiles to at most about 500,000 instructions. There are no loops and no names for parts of a formula: give a step a line of its
// own.
package formula
