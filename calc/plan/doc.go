// Package plan is the plan of the whole farm: the lines of all enterprises that
// are run, at each year's scale, laid on one calendar with overheads, purchases,
// loans, household and tax. It gives the cash flow by month, profit and loss,
// balance sheets that tie in every month, what a lender asks, and hours and land
// through the year.
//
// # How it reckons
//
// A year of the plan is the twelve months from its start. Each enterprise is
// worked out at the scale of the year: build_up's first scale in the year in
// which it starts, then the next, then its own. Lines that follow a cycle run on
// past the year's end into the next; a line with a lag falls so much later; one
// that comes back every so many years comes first in the enterprise's first
// year, or a lag after it; one that comes once comes again only for what is
// added. A line whose months are a formula (as shift(...)) is taken as it stands,
// round the year. Nothing falls before an enterprise's start, and no sale before
// the month from which it sells.
//
// Things with a life are bought when the scale first needs them, by the
// difference at the start of each year, and again at the end of their life as
// far as they are still needed, when what is left of the old ones is sold at its
// residual. Infrastructure is bought in its month; what has no date, and what has
// one before the plan, at the opening. Of the start-up budget, property and first
// stock are paid, and whatever has a life of its own; other infrastructure and
// equipment is what the items and the enterprises buy, and working capital and
// reserve stay in the bank. Property keeps its cost. First stock is used up over
// twelve months. The variable costs of an enterprise that sells years later stand
// in the balance sheet until the sale, by the part of that production's takings
// that is still to come.
//
// Loans are charged by the month, a twelfth of the yearly rate each, and paid at
// the end of each period; interest between payments is owed. The overdraft costs
// interest on the end of the month before. Hours beyond the people's are hired in
// the month. Money put in and grants go to the owners' equity, not to profit. Tax
// is a share of each year's profit, set aside at its end; losses are not carried
// on. Sales tax of a registered farm is settled in the month after each quarter.
// Prices rise at the start of each year, if at all. A year has 365 days.
//
// # What it reads
//
// The enterprises' figures, see package enterprise. farm.people.<id>.hours,
// .elsewhere (both time in a time), .away (time a year, or by month) and .income
// (money in a time); farm.land.<kind>.area and .rent; farm.wage,
// farm.employment. infrastructure.<item>.number, .cost, .life and .residual.
// finance.sources.<id>.amount, .rate, .term, .interest_only, .balloon and .every;
// finance.uses.<id>.amount, .life and .residual; finance.overheads.<id>.amount.
// finance.plan.drawings, .tax, .tax_paid_after, .discount, .overdraft.limit,
// .overdraft.rate, .declining_times, .sales_tax.<group>, .inflation.<group> and
// .usual.<measure>.
//
// Dates: finance.plan.starts.<id>.from and .sells_from, farm.people.<id>.until,
// infrastructure.<item>.bought, finance.sources.<id>.received, finance.uses.<id>.paid.
// One before the plan is its opening; one beyond it does not happen within it. Choices,
// by their place: finance.sources.<id>.kind (savings, loan, grant, gift, other) and
// .repaid (level, equal_principal, at_end), finance.plan.depreciation (straight_line,
// declining_balance). Yes or no: finance.plan.sales_tax.registered and .without_tax.
// The plan's start and which enterprises are run are no figures but its structure, for
// its years and months are named after them: to move them is to read the data anew.
//
// What is missing counts as nothing, or as the default that the
// manual of the data files names.
//
// # What it gives
//
// All in whole units of money, so that every table adds up as printed. <k>
// counts years from 1; <flow> is one of sales, channel_fees, variable_costs,
// stock_used, own_overheads, farm_overheads, rent, hired_labour, depreciation,
// interest, overdraft_interest, tax, profit, off_farm, drawings, introduced,
// grants, loans_drawn, principal, interest_paid, property_bought,
// equipment_bought, equipment_sold, stock_bought, sales_tax_added,
// sales_tax_settled, tax_paid, net_cash; one that never happens has no figures.
//
//	plan.cash                      in the bank at each month's end, a series over all months
//	plan.months.<flow>             by month, likewise; and .money_in, .money_out
//	plan.year<k>.<flow>            by year
//	plan.year<k>.gross_margin, .overheads, .profit_after_tax, .growing_change,
//	  .money_in, .money_out, .profit_and_received, .paid_beside, .cash_end, .equity_change, .hours, .hours_hired
//	plan.opening.<line>, plan.year<k>.balance.<line>    property, equipment, growing,
//	  stock, tax_back, bank, assets; overdraft, loans_soon, loans_later,
//	  interest_due, sales_tax_due, tax_due, liabilities; equity, both, ties (yes or no)
//	plan.year<k>.debt_service_cover, .current_ratio, .debt_to_assets,
//	  .operating_margin, .return_on_assets, .break_even_turnover, .living_turnover
//	plan.year<k>.loans.<source>.interest, .principal, .debt
//	plan.year<k>.depreciation.<thing>, and for the last year .book.<thing>
//	plan.lowest_cash, plan.lowest_cash_month (counted from 1), plan.peak_overdraft,
//	  plan.working_capital
//	plan.npv, plan.irr, plan.payback, and each with _before_drawings
//	plan.price_fall_to_miss_loan
//	plan.usual.<measure>, plan.met.<measure>, plan.met.overdraft, .balance, .labour, .fall
//	plan.hours_needed, plan.hours_had, plan.hours_hired     series over all months
//	plan.months_over, plan.most_over
//	plan.labour.<enterprise>.<task>, .needed, .had, .beyond, .free    the last year, January first
//	plan.land.<kind>.used, .left, .by.<enterprise>_<line> (by month), .most, .enough
//
// and as texts plan.start, plan.end, plan.lowest_cash_when, plan.overload,
// plan.most_over_when and plan.most_over_task.
//
// # Many runs
//
// [Farm.Declare] lays all of this out as formulas and engines of the graph, so
// that a [figures.Cone] works as much of it again as a question needs, many cases
// side by side. What is read at each year's scale is worked in rounds
// ([figures.Rounds]), so that something may be otherwise in one year alone
// ([figures.Bend]). Loans, lives of things, rates and taxes are read once.
package plan
