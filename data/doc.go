// Package data reads a farm's data: the YAML files from which every number of a
// workbook springs. What follows is the manual of those files.
//
// # The files
//
// A workbook's folder holds a folder called data:
//
//	data/farm.yaml             the farm, its people, its land (always needed)
//	data/prices.yaml           how you sell, and the price list
//	data/climate.yaml          rain, temperatures, whatever else you measure
//	data/infrastructure.yaml   buildings, water, fences, machines
//	data/finance.yaml          where the money comes from, where it goes, overheads
//	data/cases.yaml            figures of other farms, to compare with
//	data/enterprises/*.yaml    one file for each enterprise
//	data/records/*.csv         what happened: money in and money out
//
// Any of them but farm.yaml may be left out. Another YAML file in data is a
// mistake, since it would not be read. Other files, such as notes, may lie there.
//
// The files are YAML: a key, a colon, a space, a value; what belongs to a key is
// written below it, indented by spaces (not tabs), or behind it in { }, parted by
// commas. A list has a dash before each entry, or stands in [ ]. What follows # is
// a remark of yours. Three slips are common:
//
//   - In { } and [ ] a comma begins a new entry. Write 1200 there, not 1,200, and
//     put a text or a formula that contains a comma in quotes.
//   - A text with a colon and a space in it needs quotes.
//   - The features of YAML that copy values about (&, *, <<) or change their type
//     (!) are refused: write a value out where it belongs, or give it a name and
//     use the name in a formula.
//
// A key that is not in this manual is a mistake, and the nearest one that is will
// be suggested. All mistakes of all files are reported together, each with its
// file, line and column.
//
// # Figures and their names
//
// Every number becomes a figure, and every figure has a name, by which formulas,
// chapters and charts refer to it. The name begins with that of the file without
// its ending; the rest is said below at each key. Within a file its own figures may
// be called without that beginning: in data/enterprises/hens.yaml, lay means
// hens.lay, and prices.layers_meal a figure of data/prices.yaml.
//
// Names that you choose consist of small letters, digits and _, and begin with a
// letter: egg_box. The words as, and, or, not, is, if and none are taken.
//
// # Values
//
// A value is a number with its unit: 0.52 GBP/kg, 72 %, 320 bird, 6.5 %/year, 25
// min/day, 4 m2/bird/day. A number alone is a pure number: 12. A day of the year is
// written 6 Apr. Twelve values in a list are a series from January to December:
//
//	rain: [82 mm, 60 mm, 55 mm, 50 mm, 52 mm, 58 mm, 55 mm, 66 mm, 64 mm, 85 mm, 90 mm, 88 mm]
//
// Wherever a value may stand, it may also be written long, to say how sure it is and
// where it comes from:
//
//	layers_meal:
//	  value: 0.46 GBP/kg
//	  low: 0.40 GBP/kg
//	  high: 0.58 GBP/kg
//	  source: quote from the mill
//	  as_of: 2026-02
//	  label: Layers' meal
//	  note: in bags; bulk would be cheaper
//
// Only value is needed. low and high are the least and the most that it may turn out
// to be; value must lie between them. as_of is a year, a month or a day. label is
// how the workbook calls the figure; without one the name is made readable (Layers
// meal).
//
// Dates (received, paid, bought, until, start, from, sells_from, up_to), the words
// of a choice (kind, repaid, depreciation), and yes or no (registered; prices, as
// without_tax) are figures too, and may be long, with value, source, as_of, label and
// note. A date is a year, a month or a day of the calendar, and stands for the first
// day of what it names; one that is not given is no figure. In finance.yaml these
// are worked figures:
//
//	late: sources.bank.received > 2028-03-31
//	borrowed: if(sources.bank.kind is "loan", sources.bank.amount, 0 GBP)
//
// Whether an enterprise is run is farm.plan.runs.hens.
//
// Some things can be and are still most likely slips: a scale beyond its most or off
// its step, a build-up beyond the most, a share of more than the whole, more land held
// than there is, a price twenty times what it is elsewhere, a cost below nought, sales
// before the start, the other hemisphere's frosts. The workbook is built and warns of
// them. Whoever means it says so beside the value, with the key meant and the reason:
//
//	now: {value: 12 batch, meant: the neighbour's field is ours from May}
//
// meant may stand in the long form of a value, under scale, frost, a kind of land, a
// product, a start, and in a line.
//
// A formula is written in the language of package calc/formula: names, numbers with
// units, + - * / ^, brackets, functions. It may be long too:
//
//	eggs: {formula: hens * lay * 1 egg/hen/day * 1 year, label: Eggs in a year}
//
// # In every file: inputs and worked
//
// inputs holds values of your own, worked holds formulas, each under a name that
// you choose. The words inputs and worked do not appear in the figures' names: box
// under inputs of farm.yaml is farm.box.
//
// # data/farm.yaml
//
// name and currency are needed, everything else may be left out.
//
//   - name, about: the farm's name, and a sentence on it.
//   - book: title (the farm's name if left out), subtitle, author, edition.
//   - front: the figures that the front page tells the farm by, as
//     [farm.target_income, plan.lowest_cash]; those of the plan if left out.
//   - people: each under a name, with name, hours (what the person can work on the
//     farm, as 40 h/week), income (earned elsewhere, as 900 GBP/month), elsewhere
//     (what of the hours goes to work off the farm, as 14 h/week), until (the month
//     in which income and work elsewhere end, as 2029-08), away (holidays: in a year,
//     as 20 day, or twelve values), note.
//     Figures: farm.people.<name>.hours, .income, .elsewhere and .away.
//   - place: name, country, latitude (52.3 deg; south is negative), altitude (85 m).
//     Figures: farm.latitude, farm.altitude.
//   - currency: the ISO 4217 code, such as GBP, EUR or USD.
//   - language: that of numbers, dates and all words that the workbook has of its own,
//     such as en-GB (if left out), de or de-CH. Your own texts stay as you write them.
//   - units: metric (if left out) or customary.
//   - counts: the things that the farm counts, such as hen or box. Each becomes a
//     unit that converts into no other, so that a price per hen can't be multiplied
//     by boxes. Behind the thing stands nothing, or its plural (boxes), or the size
//     of a pack (12 egg), or
//     {plural: ..., pack: ..., shown: ...}; shown is how pages write one of it, since a
//     name has small letters only: henne: {shown: Henne, plural: Hennen}.
//   - frost: last (the last frost of spring, as 6 May), first (of autumn).
//     Figures: farm.last_frost, farm.first_frost.
//   - land: each kind under a name, with label, area (needed), rent (nothing if
//     left out), rent_of_more (what a hectare beyond those would rent for, where an
//     enterprise is studied at a scale that takes more; the rent if left out), note.
//     Figures: farm.land.<name>.area, .rent and .rent_of_more.
//   - labour: wage (12.50 GBP/h; needed as soon as there is an enterprise), employment
//     (what an employer pays on top, as 14 %; 0 % if left out).
//     Figures: farm.wage, farm.employment.
//   - plan: enterprises, the list of those that are run; all if left out. The others
//     are only studied, for comparison.
//   - horizon: the whole years of the plan; 5 year if left out. Figure: farm.horizon.
//   - parts: parts of the book that are built, printed or bound by themselves, each
//     under a name: the list of its chapters, as bank: [goal, start_up].
//   - print: how the book is printed and bound; all of it may be left out. trim is
//     the size of a leaf: A4, A5, A6, B5, B6, letter or half_letter, or {width: 156
//     mm, height: 234 mm}. margins has inner, outer, top and bottom. binding is
//     paperback or case. paper has grammage (90 g/m2) with bulk (1.3 cm3/g) or
//     caliper (0.11 mm). cover has grammage and bleed (3 mm), and for a case board,
//     cloth, endpaper, overhang, hinge and turn_in. postage has the weights up to
//     which a parcel costs the same, each under a name, as letter: 100 g.
//     Figures: farm.print.width, farm.print.postage.letter and so on.
//
// An example, data/farm.yaml:
//
//	name: Nether Ridding
//	about: Four hectares of grass on a north slope, and ninety hens.
//	book: {title: Eggs from grass, author: two beginners}
//	people:
//	  sam: {name: Sam, hours: 38 h/week}
//	  ivy:
//	    name: Ivy
//	    hours: 10 h/week
//	    income: {value: 1600 GBP/month, source: payslip, as_of: 2026-01}
//	    note: teaches four days a week
//	place: {name: a limestone dale, country: England, latitude: 54.1 deg, altitude: 210 m}
//	currency: GBP
//	counts:
//	  hen:
//	  egg:
//	  dozen: {pack: 12 egg, plural: dozen}
//	  box: boxes
//	frost: {last: 18 May, first: 2 Oct}
//	land:
//	  grass: {label: Grass, area: 4 ha, rent: 140 GBP/ha/year}
//	labour: {wage: 12.50 GBP/h, employment: 14 %}
//	horizon: 6 year
//	parts:
//	  first_talk: [goal]
//	print:
//	  trim: {width: 156 mm, height: 234 mm}
//	  paper: {grammage: 90 g/m2, bulk: 1.3 cm3/g}
//	  postage: {small_parcel: 2 kg}
//	inputs:
//	  target_income: 9000 GBP/year
//	worked:
//	  hours_together: people.sam.hours + people.ivy.hours
//
// # data/prices.yaml
//
//   - channels: the ways in which you sell, each under a name, with label, fee (the
//     share of takings that it keeps or costs, 0 % if left out), hours (your work for
//     an amount of takings, as 0.012 h/GBP; none if left out), limit (the most that it
//     can take in a year, in money), note.
//     Figures: prices.channels.<channel>.fee, .hours and .limit.
//   - products: the price list, each product under a name, with label, note, and
//     by_channel (needed): the price in each channel that it is sold through.
//     Figures: prices.<product>.<channel>.
//
// An example, data/prices.yaml:
//
//	channels:
//	  farm_gate: {hours: 0.01 h/GBP}
//	  shop: {label: Village shop, fee: 20 %, limit: 6000 GBP}
//	products:
//	  eggs:
//	    label: Eggs
//	    by_channel:
//	      farm_gate: {value: 3.60 GBP/dozen, low: 3.20 GBP/dozen, high: 4 GBP/dozen}
//	      shop: 3.20 GBP/dozen
//	inputs:
//	  layers_meal: {value: 0.46 GBP/kg, source: quote from the mill, as_of: 2026-02}
//
// # data/climate.yaml
//
// It has inputs and worked only.
//
// An example, data/climate.yaml:
//
//	inputs:
//	  rain:
//	    value: [110 mm, 82 mm, 79 mm, 66 mm, 62 mm, 70 mm, 72 mm, 88 mm, 90 mm, 108 mm, 116 mm, 121 mm]
//	    source: a neighbour's rain gauge, ten years
//	worked:
//	  rain_a_year: sum(rain)
//
// # data/infrastructure.yaml
//
//   - items: each under a name, with label, group (the heading that it is listed
//     under), number (1 if left out; a value or a formula), cost (needed: what one
//     costs), life (needed: how long it lasts), residual (the share of its cost that it
//     fetches at the end; 0 % if left out), bought (a year, a month or a day), used_by
//     (enterprises, each with its share; 100 % together at most), note.
//
// The figures of an item are infrastructure.<item>.number, .cost, .life, .residual
// and .used_by.<enterprise>, and two that are worked out: .total = number * cost, and
// .yearly = total * (1 - residual) / life, its depreciation in equal parts. Of all
// items there are infrastructure.total and infrastructure.yearly;
// infrastructure.for_<enterprise> is what an enterprise bears of the yearly cost, and
// infrastructure.unshared what none bears.
//
// An example, data/infrastructure.yaml:
//
//	items:
//	  egg_store: {group: Buildings, cost: 1800 GBP, life: 15 year, residual: 10 %, bought: 2026-09, used_by: {hens: 100 %}}
//	  fence:
//	    label: Electric fence
//	    group: Grazing
//	    number: ceil(farm.land.grass.area / 0.8 ha)
//	    cost: 210 GBP
//	    life: 7 year
//	    used_by: {hens: 75 %}
//	    note: reels of 50 m, with posts
//
// # data/finance.yaml
//
//   - sources: where the money to start comes from, each under a name, with label,
//     kind (savings, loan, grant, gift or other, which it is if left out), amount
//     (needed: money, or a formula), rate (6.5 %/year), term (10 year), note, and for
//     the plan by months received (when it comes, as 2027-09; at the opening if left
//     out), repaid (level: the same payment each time, which it is if left out;
//     equal_principal; at_end), interest_only (how long at first only interest is paid),
//     balloon (the share left for the last payment), every (the time between payments,
//     1 month if left out).
//     Figures: finance.sources.<name>.amount, .rate, .term, .interest_only, .balloon
//     and .every.
//
//   - uses: what it is spent on, each under a name, with label, group (needed: property,
//     infrastructure, equipment, stock, working_capital or contingency), amount (needed),
//     note, and for the plan by months paid (when; at the opening if left out), and life
//     and residual of a thing that neither the infrastructure nor an enterprise has.
//     Figures: finance.uses.<name>.amount, .life and .residual.
//
//   - overheads: what the farm costs whatever it produces, each under a name, with label,
//     amount (needed: money in a time, or a formula), shared (enterprises, each with its
//     share; 100 % together at most), note.
//     Figures: finance.overheads.<name>.amount and .shared.<enterprise>.
//
//   - plan: how the whole farm is planned by months. start is its first month, 2027-01;
//     starts has, for an enterprise, from (when it starts, if not with the plan) and
//     sells_from (when it first sells). drawings is what the household takes out (money
//     in a time, or a formula), tax the share of profit set aside, tax_paid_after how
//     long after the year (10 month if left out), discount the rate at which later money
//     is worth less (5 %/year if left out). overdraft has limit and rate. depreciation is
//     straight_line (if left out) or declining_balance, at declining_times the straight
//     rate (2 if left out). sales_tax has registered (true or false), prices (with the
//     tax, which they are if left out, or without) and a rate for sales, costs,
//     overheads, capital, wages, rent and living; inflation has a rate for the same.
//     usual has your own lender's thresholds: debt_service_cover, current_ratio,
//     debt_to_assets, operating_margin, return_on_assets and fall.
//     Figures: finance.plan.drawings and so on.
//
//   - risk: how the plan is tried out, with every input that has a low and a high drawn
//     anew each time. runs is how many times (10000 if left out), seed the number that the
//     draws begin with (1 if left out; the same seed gives the same result), shape how a
//     value lies between low and high: pert (if left out; mostly near the value) or
//     triangular. groups has inputs that move together, each group under a name: of
//     (needed) lists them, against those that move the other way, as losses do when
//     yields are good, and except what doesn't belong; correlation (needed) is how closely
//     any two move together, 0 % to 100 %; each_year: true draws them for each year, as
//     weather is, where otherwise one draw holds for all years. fixed lists inputs that
//     are not drawn although they have a range, since you decide them. In these lists
//     prices stands for all inputs whose names begin with prices., and * for any letters,
//     as in garden.*_yield; names are full ones.
//     Figures: finance.risk.runs, .seed and .groups.<name>.correlation.
//
//   - scenarios: what may happen, each under a name, with label, note, over (when it
//     holds: a year, 2028; a month, 2028-04; or months, 2028-04..2028-06; the whole plan if
//     left out) and set (needed): figures by name, each with a value and its unit, 0.69
//     GBP/kg, or with x and how many times what it is, x 1.33 for a third more, x 0 for
//     nothing. A figure that is worked out can be set too. All but the hours of people
//     hold for whole years of the plan; farm.people.<name>.hours with x may be set by
//     months. It is a mistake if the plan does not change.
//
//   - records: how the records in data/records are counted. bad_rows says what a row
//     with a mistake does: refuse (which it does if left out: nothing is built) or
//     count_rest (the row is listed, and the rest counted). up_to is the last month
//     that is recorded whole, as 2027-09, or its last day; by default the month of the
//     latest record.
//
// Worked out of them: finance.sources_total, finance.uses_total, finance.uses_<group>
// for each of the six groups, finance.difference (sources less uses: what is left over
// is positive), finance.overheads_total, finance.overheads_for_<enterprise> and
// finance.overheads_unshared.
//
// An example, data/finance.yaml:
//
//	sources:
//	  savings: {kind: savings, amount: 5000 GBP}
//	  bank: {label: Bank loan, kind: loan, amount: 2500 GBP, rate: 7.5 %/year, term: 5 year}
//	uses:
//	  store: {label: Egg store, group: infrastructure, amount: infrastructure.egg_store.total}
//	  pullets: {group: stock, amount: hens.hens * 11 GBP/hen}
//	  reserve: {group: contingency, amount: {formula: 15 % * uses.store.amount, label: Reserve}}
//	overheads:
//	  insurance: {amount: 420 GBP/year, shared: {hens: 60 %}}
//	  telephone: {amount: 22 GBP/month}
//	risk:
//	  seed: 7
//	scenarios:
//	  dear_pullets: {set: {uses.pullets.amount: x 1.2}}
//
// # data/cases.yaml
//
// What other farms come to, in your own money and units or in theirs, for a chapter
// that holds yours against them.
//
//   - farms: each under a name, with label, source and as_of (of all its figures that
//     name none), figures (needed: values by name), note.
//     Figures: cases.<farm>.<name>.
//
// An example, data/cases.yaml:
//
//	farms:
//	  high_field:
//	    label: High Field
//	    source: asked at the mill
//	    as_of: 2026-01
//	    figures: {eggs: 268 egg/hen, price: 3.40 GBP/dozen}
//	worked:
//	  its_sales: high_field.eggs * high_field.price
//
// # data/enterprises/*.yaml
//
// The file's name without .yaml is the name of the enterprise: hens.yaml is hens. An
// enterprise is a scale and a list of lines; the engine adds up the rest.
//
//   - name (needed), about: its name, and one plain sentence.
//   - scale (needed): figure (the name of the figure that holds the scale), unit (what it
//     is counted in), now (the scale of the plan), step (by how much it can grow; one of
//     the unit if left out), least (one step if left out), most (what land, season or
//     market allow), because (why no more). figure, unit, now and most are needed.
//     Figure: <enterprise>.<figure>.
//   - output: the figure that measures the main product of a full year.
//   - inputs, worked: as in every file.
//   - calendar: the cycles of the year, such as batches, each under a name, with first
//     (the day on which the first starts), every (the time from one to the next) and
//     number (how many start in a full year); all three are needed, and formulas.
//   - build_up: a list of the scale in the first year, the second and so on, until the
//     plan's own is reached.
//   - lines (needed): the budget, see below.
//   - cautions: a list of the cautions that the chapter must carry.
//
// A line says what kind it is by its first key, whose value is its label. All amounts
// are those of one full year at the scale, and formulas:
//
//   - sale: amount (how much is sold) and one of: price (one price for all); product and
//     through (an entry of the price list, and the share that goes through each channel,
//     100 % together); price and through. side: true marks a by-product.
//   - cost: a variable cost; amount in money.
//   - overhead: a fixed cost of this enterprise alone; amount in money.
//   - hours: the work of one task; amount as a time.
//   - capital: things that last for years; number, cost (of one) and life are needed,
//     residual (the share of the cost left at the end) is not.
//   - land: a kind of land of farm.yaml; area is needed; label, and months (in which it is
//     held) are not.
//
// A line's formula may be a single value in long form, as
// cost: {value: 365 GBP, low: 300 GBP, high: 460 GBP, source: a quote}. It becomes the
// figure <enterprise>.<line>.cost_given.
//
// Every line may have a note, a name (that of its figure, <enterprise>.<name>; by
// default its label in small letters, or for land the kind) and when:
//
//   - months alone, as when: Apr..Oct, or {months: Apr..Oct}: evenly over these months;
//   - {weights: {Apr: 1, May: 3}}: over months in these proportions;
//   - {each: batch, day: 58 day}: on a day of each cycle, counted from its start;
//   - {each: batch, from: 21 day, to: 58 day}: evenly over these days of each cycle;
//   - nothing: evenly over the whole year.
//
// To any of these may be added lag (how long after the scale is set up the line first
// comes, as 2 year), every (it comes back only after this time, as 5 year) or once: true
// (it comes only when the scale is set up).
//
// An example, data/enterprises/hens.yaml:
//
//	name: Laying hens
//	about: One moveable coop on grass; eggs sold at the gate and in the shop.
//	scale: {figure: hens, unit: hen, now: 90 hen, step: 30 hen, least: 30 hen, most: 180 hen, because: the shop takes no more}
//	output: eggs
//	inputs:
//	  lay: {value: 78 %, low: 70 %, high: 84 %, label: Rate of lay}
//	  meal: 125 g/hen/day
//	worked:
//	  eggs: hens * lay * 1 egg/hen/day * 1 year
//	calendar:
//	  flock: {first: 14 Mar, every: 1 year, number: 1}
//	build_up: [30 hen, 60 hen]
//	lines:
//	  - sale: Eggs sold
//	    amount: eggs
//	    product: eggs
//	    through: {farm_gate: 55 %, shop: 45 %}
//	  - sale: Old hens
//	    amount: hens
//	    price: 2.50 GBP/hen
//	    side: true
//	    when: {each: flock, day: 360 day}
//	  - cost: Layers' meal
//	    amount: hens * meal * prices.layers_meal * 1 year
//	    when: {each: flock, from: 0 day, to: 360 day}
//	  - cost: Straw
//	    amount: 60 GBP
//	    when: {weights: {Sep: 3, Jan: 1}}
//	  - cost: First grit and drinkers
//	    name: first_outfit
//	    amount: 75 GBP
//	    when: {months: Mar, once: true}
//	  - overhead: Flock registration
//	    amount: 30 GBP
//	    when: {months: Jan, lag: 1 year, every: 2 year}
//	  - hours: Feeding and collecting
//	    amount: 45 min/day * 1 year
//	  - capital: Coop
//	    number: ceil(hens / 90 hen)
//	    cost: {value: 1900 GBP, low: 1600 GBP, high: 2400 GBP, source: two makers' lists}
//	    life: 12 year
//	    residual: 10 %
//	    note: on skids
//	  - land: grass
//	    area: hens * 40 m2/hen
//	    months: Apr..Oct
//	cautions: [salmonella]
//
// # data/records/*.csv
//
// Records are tables as spreadsheets save them: CSV with commas, in UTF-8, one record
// a line. The first line names the columns, in any order:
//
//		date,enterprise,item,quantity,amount
//		2027-06-02,hens,Eggs sold,84 dozen,289.80
//		2027-06-05,hens,layers_meal,1000 kg,-472.00
//		2027-06-05,farm,insurance,,-420.00
//
//	  - date: the day on which it was paid, as 2027-06-02.
//	  - enterprise: one that is run, by its file's name, or farm for the whole farm.
//	  - item: one of the enterprise's lines, by its name or its label; selling_costs, for
//	    what channels kept; or other. Of the farm: an overhead, by name or label; rent,
//	    hired_help, interest or other; and, no part of the profit, purchases, loans,
//	    introduced (savings, gifts, grants), off_farm, household, tax. Capital letters
//	    don't matter. Work and land are no money and can't be recorded.
//	  - quantity: how much, with its unit, as 320 kg, or a number alone in the unit in
//	    which the workbook shows the line; it may be empty. A sale's is what is sold. A
//	    cost's is what is bought; it is compared with the plan only if the cost's formula
//	    is one figure times another, such as grower * grower_feed.
//	  - amount: in the farm's currency, as on the bank's statement: money in is positive,
//	    money out is negative. A number alone will do. Sales tax is in it.
//
// Three more columns may be there:
//
//   - covers: the months that the amount is for, as 2027-01..2027-12, in equal parts;
//     otherwise it belongs to the month of its date.
//   - refund: yes, if money came back for a cost, or went back for a sale. Without it, a
//     cost with money coming in, or a sale with money going out, is taken for a slip of
//     the sign.
//   - note: anything.
//
// A text that contains a comma stands in quotation marks. Whatever a text looks like,
// it is never worked out: =1+1 is four characters. The same record in two files is a
// mistake, since the same statement may have been put in twice; two alike in one file
// are not. A row with a mistake is reported with its place; what then happens, finance.yaml
// says under records. Rows of another year of the plan than that of up_to, and later
// ones, are not counted, and the page says how many they are. A file whose first line is
// wrong can't be read at all, which always stops the build. package calc/actual says what
// is made of the records.
//
// # Limits
//
// A file may have 4 MB, a line 32768 characters, and entries may nest 64 deep; links to
// files elsewhere are not followed. There may be 60 files of records with 50000 rows
// together.
package data
