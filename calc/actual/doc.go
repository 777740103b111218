// Package actual sets what happened on a farm beside its plan: the year to date,
// the variances and where they come from, and a forecast to the year's end.
//
// # Signs
//
// Money in is positive and money out is negative, in the records as in every
// figure here, so that all of it can be added up. A variance is what happened
// less what was planned: positive is good for the profit, negative is bad,
// whether it comes of a sale or of a cost.
//
// # Price and volume
//
// A line that has a quantity is split as in standard costing:
//
//	price variance  = (actual price - planned price) * actual quantity
//	volume variance = (actual quantity - planned quantity) * planned price
//
// with the signs turned round for a cost, whose volume variance is called usage
// or quantity variance in textbooks. Their sum is the whole variance. (C. T.
// Horngren, S. M. Datar and M. V. Rajan, Cost Accounting: a managerial emphasis,
// the chapters on flexible budgets and on sales variances, from memory; the
// worked examples that the tests hold to are named there.) The plan is taken as it
// stands and not flexed to what was produced: fewer birds sold show as an adverse
// volume variance of the sales and a favourable one of the feed.
//
// A sale has a quantity always. A cost has one if its formula is one figure times
// another, as grower * grower_feed, of which one is a price. Where one of a line's
// records has no quantity, or the plan knows none, the line's variance is not split.
//
// # The year to date and the forecast
//
// The year to date is the whole months of the plan's year up to a day, by default
// the last day of the month of the latest record. The plan's amounts are those of
// the same months in that year of the plan, at the scale and the prices which the
// plan has then. A record may cover months, such as an insurance paid for a year:
// each of them then has an equal part.
//
// The forecast is made in two ways. As planned: what happened, and the plan for
// the months that are left. At this year's rate: for each enterprise, the sales
// of the months that are left are scaled by actual over planned sales to date, and
// its costs likewise; what the farm as a whole costs is taken as planned. Profit
// also takes in what no record shows, depreciation, first stock used up and the
// growth of crops and stock on hand, for the whole year as planned.
//
// # Figures
//
// Of each line with money, <e> being an enterprise, or farm for the whole farm:
//
//	actual.<e>.<line>.amount, .planned, .variance, .remaining
//	actual.<e>.<line>.quantity, .planned_quantity, .price, .planned_price,
//	actual.<e>.<line>.price_variance, .volume_variance   if it is split; .price
//	                                                     only if there is a quantity
//	actual.<e>.<line>.unsplit_variance                   if it is not
//
// Of each enterprise and of the farm, where sales are the farm's none:
//
//	actual.<e>.sales, .costs, .other, .margin, each with .planned_ before its name
//	actual.<e>.variance, .price_variance, .volume_variance, .unsplit_variance
//	actual.<e>.remaining_sales, .remaining_costs, .sales_rate, .costs_rate
//	actual.<e>.sales_variance, .costs_variance, .planned_year
//	actual.<e>.remaining, .remaining_at_rate, .forecast, .forecast_at_rate
//
// Of all together:
//
//	actual.result, .planned_result, .variance, .price_variance, .volume_variance,
//	actual.unsplit_variance, .months, .rows_counted, .rows_left_out, .rows_outside
//	actual.remaining, .remaining_at_rate, .forecast, .forecast_at_rate (results)
//	actual.forecast_profit, .forecast_profit_at_rate, .planned_profit, .not_recorded
//	actual.remaining_profit, .remaining_profit_at_rate, .planned_year_result
//	actual.splits, .forecast_ties    checks
package actual
