// Package content reads the chapters of a workbook into trees and figures.
//
// The rest of this page is for the author of a workbook: what a chapter may
// hold, and how it is written. Programmers begin at [Load].
//
// # Files
//
// A workbook's chapters lie in its folder content:
//
//	content/01-the-goal.md
//	content/02-start-up.md
//	content/cautions.yaml
//	content/glossary.yaml
//	content/pictures/field-pen.svg
//
// The number puts the chapters in order. The rest of the file's name, with _
// for -, is the chapter's name: 02-start-up.md is the chapter start_up. Names
// have small letters and digits. Other files in the folder are left alone.
//
// A chapter is plain text in Markdown, as other programs show it too:
// headings, paragraphs, lists, tables, footnotes, definition lists, *emphasis*
// and **strong emphasis**, block quotes. Straight quotation marks become
// curly, -- becomes a dash and ... an ellipsis. HTML is not read: a tag is
// shown as it is typed.
//
// What is special to a workbook stands in fenced blocks, which begin with
// ```word and end with ```, and in code spans that begin with calc:. The words
// are chapter, calc, table, chart, drawing, caution, if, unless and end; form and
// calendar are kept for later and refused. A block with
// another word, or none, is shown as it is. In the examples below a fence is
// drawn as ~~~, which a chapter may use as well.
//
// # The chapter block
//
// Each chapter begins with a block that says what it is:
//
//	~~~chapter
//	title: What it takes to start
//	part: Before you buy
//	tags: [money, buildings]
//	cautions: [fire, contracts]
//	summary: "Starting costs `calc: total as 1000 GBP`, of which a third is borrowed."
//	~~~
//
// Only title is needed. part is the part of the book that the chapter belongs
// to. cautions are names out of cautions.yaml. summary is one sentence, which
// may hold figures. name gives the chapter another name than its file's.
//
// This block, and those of tables and charts, are YAML: one key and its value
// to a line. A text needs quotation marks around it if it holds a colon and a
// blank (so always if it holds a figure) or begins with a mark such as ` [ { *
// or &. Keys that are not known are errors, never ignored.
//
// # Calc blocks
//
// A calc block is a worked table. Each line says in words what is worked out,
// gives it a name, and the formula:
//
//	~~~calc
//	title: Birds through the year
//	# Lines that begin with # are remarks to yourself.
//	Chicks placed: placed = broilers.batches * 320 bird/batch
//	Birds sold: sold = placed
//	    * (1 - broilers.brooder_loss)
//	    * (1 - broilers.field_loss)
//	> Losses are counted one after the other: the second falls only on birds
//	> that live through the first.
//	---
//	Sales: sales = sold * 14.50 GBP/bird as 10 GBP
//	~~~
//
// The label goes up to the colon before the name; it may hold colons itself. A
// name has small letters, digits and _ and begins with a letter. The formula
// may go on over lines that are indented. Lines that begin with > under a
// figure are its note; --- draws a rule above the line that follows; title: on
// the first line gives the table a title. The language of formulas is described
// in package formula.
//
// In its own chapter the figure is called sold; anywhere else it is called by
// the chapter too: start_up.sold. A chapter can't have two figures of one name.
// A line whose formula compares (sold >= 2000 bird) is a check, and the page
// shows whether it passes.
//
// # Figures in sentences
//
// A code span that begins with calc: shows a figure in the text:
//
//	They sell `calc: sold` birds for `calc: sales as 100 GBP`, which is
//	`calc: sales / farm.target_income as %` of what they need.
//
// This works wherever text stands: in headings, lists, table cells, footnotes
// and quotes, and in the titles and notes of the blocks on this page. It does
// not work in the title of a chapter and in the words of a picture. A formula
// may go on over a line end, but a line of Markdown must not begin with + - or
// *, which would begin a list.
//
// # Tables
//
// A table shows figures. Its rows are figures by name, or formulas with a
// label; between them may stand sub-heads and totals:
//
//	~~~table
//	title: What a year costs
//	rows:
//	  - group: Animals
//	  - broilers.chicks
//	  - {label: Feed and litter, figure: broilers.feed + broilers.litter}
//	  - {total: Animals together}
//	  - group: House
//	  - farm.living_costs
//	  - {total: The farm's own sum, figure: farm.costs}
//	note: "Feed is `calc: broilers.feed / farm.costs as %` of it."
//	~~~
//
// A total without a figure adds up the rows since the last total or sub-head.
// With the key total: and a label, a row at the foot adds up all rows. With
// sort: largest, smallest or name, the rows are put in order.
//
// With columns, a row names what the columns are of, and a cell is the figure
// row.column:
//
//	~~~table
//	title: Three enterprises beside one another
//	rows: [broilers, garden, mushrooms]
//	columns:
//	  - {label: Net margin, of: net_margin}
//	  - {label: Hours, of: hours}
//	  - {label: Margin an hour, formula: row.net_margin / row.hours, total: no}
//	total: The farm
//	sort: largest
//	~~~
//
// So the first cell is broilers.net_margin. In a column's formula the word row
// stands for the row. total: no leaves a column out of the totals, as for a
// rate that can't be added up. A formula that holds a comma needs quotation
// marks in a list or between braces: "max(row.hours, 1 h)".
//
// Tables that every enterprise and farm has are made by one word:
//
//	~~~table
//	title: The budget of the broilers
//	show: budget
//	of: broilers
//	~~~
//
//	budget            the lines of an enterprise: output, variable costs, margins (needs of); as a chart: steps
//	summary           the one-page summary of an enterprise (needs of)
//	hours             hours by task and month (may have of); as a chart: stack, columns, lines, area or heat (needs of)
//	cash              money in and out of an enterprise by month in a full year (needs of)
//	land              land by month (may have of)
//	capital           buildings and equipment with their life and cost a year (may have of)
//	people            who works on the farm, how long, and what they earn elsewhere
//	farm_land         the farm's land by kind, with its rent
//	brief             the enterprises that are run beside one another, with their key measures
//	market            the ways of selling that the plan uses, and how far it fills each
//	infrastructure    the infrastructure list
//	sources_and_uses  the start-up budget: where the money comes from and goes to
//	overheads         overheads and how they are shared out (may have of)
//	channels          where the produce is sold, with the costs of selling (may have of)
//	prices            the price list by channel (may have of)
//	inputs            every input with its value, range and source (may have of)
//	cash_by_month     the whole farm's cash flow by month: of its first year, or with of: year_2 of the second (may have of)
//	cash_by_year      the whole farm's cash flow by year
//	profit            the whole farm's profit and loss by year
//	balance           the whole farm's balance sheet at the opening and at each year's end
//	profit_to_cash    how each year's profit becomes money in the bank
//	loans             each loan by year: interest, paid back, owed
//	depreciation      what buildings and equipment lose by year
//	measures          what a lender asks for, with the usual thresholds
//	measures_by_year  a lender's ratios by year
//	labour_calendar   hours of the whole farm by month and task beside what the people have
//	land_calendar     land of the whole farm held by month, by kind
//	actual            the year to date beside the plan; with of, an enterprise or farm line by line (may have of)
//	variances         the difference from the plan, by price and by volume (may have of)
//	forecast          the year as it will end: the rest as planned, and at this year's rate
//	left_out          how many records were counted, and which were left out and why
//	risk              how likely it is that the money runs out, by year; as a chart: columns or lines, by month
//	risk_bands        profit and money in the bank as one in ten, half and nine in ten runs of the simulation have them; as a chart: lines, the bank by month
//	risk_drivers      the inputs that move the least in the bank most, by rank correlation; as a chart: bars
//	scenarios         the plan beside what happens in each scenario
//	checks            every check and whether it passes (may have of)
//	mix               the best mix of enterprises
//	mix_limits        what one more hour, hectare or thousand would be worth in the best mix
//	mix_hours         hours hired in the best mix, by month
//	sources           every source that an input names (may have of)
//	living            the scale at which an enterprise alone pays the target income, or why there is none (needs of)
//	comparison        all enterprises side by side at the target income; as a chart: points, heat, bars or stack
//	reading           the trade-offs between enterprises, in sentences
//	ranking           the enterprises in order, by the reader's weights
//	sensitivity       the inputs that move an enterprise's net margin most (needs of); as a chart: ranges
//
// of names one enterprise or a list of them, or says planned for all that the
// plan runs; without it the table is of the whole farm. The cash flow by month may
// be of a year (of: year_2), and what happened beside the plan of the farm, line by
// line (of: farm). Inputs, sources and checks are of any beginning of names, such as
// finance or plan.met. Inputs and sources of planned are those that these enterprises rest on, prices included, but for
// the farm's infrastructure, overheads and finance.
//
// # Charts
//
// A chart has the rows and columns of a table, or show and of, and a kind:
//
//	~~~chart
//	title: Net margin of the enterprises
//	kind: bars
//	rows: [broilers.net_margin, garden.net_margin]
//	unit: GBP
//	target: {label: What the couple needs, figure: farm.target_income}
//	alt: The broilers bring in more than the garden.
//	~~~
//
//	~~~chart
//	title: Money in the bank through the year
//	kind: lines
//	series: [plan.balance, {label: Overdraft, figure: 0 GBP - bank.limit}]
//	~~~
//
// rows are figures with one value each, series are figures with a value for
// each month. (months: yes says the same of rows with columns.) The kinds:
//
//	columns  upright bars, one for each row; several columns stand side by side
//	bars     bars that lie, one for each row: best for long labels
//	stack    upright bars in which the columns of a row, or the series of a month, stand on one another
//	lines    a line for each series
//	area     lines with the area under them filled, on one another
//	heat     a grid of shaded cells: rows by columns or by months
//	points   a point for each row: the first column across, the second up
//	ranges   a span for each row: columns low, likely and high
//	steps    rows that each begin where the last one ended: what goes off a sum, step by step
//	split    one bar that is split into the rows: the parts of a whole
//
// unit is the unit to draw in, alt what the chart says in words for a reader who
// can't see it, note a text beneath. A title may say what the chart shows, with
// figures in it: title: "Lowest in `calc: plan.lowest_cash_when`".
//
// target is a line to reach: a figure with one value, or in a chart by months
// one with a value for each month. marks points out more: lowest and highest
// name those points of the first series, anything else is a further line.
//
//	marks: [lowest, {label: Overdraft, figure: 0 GBP - bank.limit}]
//
// A stack of more than four parts, and lines of more than six, are drawn in small
// plots of their own. Columns whose names have no room lie down. Points that bunch
// get an axis on which each line is a multiple of the last. shade: rows shades each
// row of a heat chart by its own highest value. A chart none of whose figures has a
// value becomes a sentence.
//
// sweep works the rows of a chart out again for a range of one value, on a true
// axis, and marks where the farm stands:
//
//	~~~chart
//	title: What the price leaves
//	kind: lines
//	sweep: {over: broilers.price, from: 7 GBP/kg, to: 12 GBP/kg, step: 0.5 GBP/kg}
//	rows: [broilers.net_margin]
//	~~~
//
// over is a figure of the farm; with let instead, a name of the chart's own, which
// its formulas then use, and at says where the farm stands. label names the axis.
// by is a second range, for kind: heat and one row.
//
//	sweep: {let: age, label: Age, from: 18 week, to: 88 week, at: hens.sold_at}
//	rows: [{label: Rate of lay, figure: "lay_rate(age, hens.lay_from, hens.peak_at, hens.top, hens.fall)"}]
//
// # Drawings
//
// A drawing is a diagram to scale, from figures. It has a kind, and under the
// keys of that kind figures or formulas:
//
//	~~~drawing
//	title: A pen and the ground that it moves to
//	kind: pen
//	length: 4 m
//	width: 3 m
//	height: 0.6 m
//	birds: broilers.birds_at_once / broilers.pens
//	move: 4 m
//	~~~
//
// Change a figure and the drawing changes. The kinds and their keys, of which
// those in brackets may be left out:
//
//	pen        a field pen from above and from the side, with the ground that it moves to
//	    length          in the direction of the move
//	    width           across it
//	    height          to the top of the roof
//	    birds           in the pen
//	    move            the day's move, from front to front
//	    [room]          floor for each bird
//	hen_house  a mobile hen house from the side and in section
//	    length          of the house
//	    width           of the house
//	    height          from the floor to the ridge
//	    drawbar         its length in front of the house
//	    nest_boxes      how many
//	    perch           all perches together
//	    hens            in the house
//	    [hens_a_metre]  hens for each length of perch
//	bed        a garden bed from above with its rows; its length is cut by a break mark
//	    width           of the bed
//	    path            width of a path
//	    length          of the bed
//	    rows            on the bed
//	    [between]       from row to row; else the rows share the width
//	    spacing         from plant to plant in the row
//	pond       a section through a pond and its bank
//	    depth           of the water
//	    freeboard       from the water to the crest
//	    slope           of the bank under water: N of 1 in N
//	    back            slope of the bank's dry side: N of 1 in N
//	    crest           width of the bank's top
//	    core            width of the clay core
//	    key             how deep the core goes into the ground
//	    spillway        width of the spillway
//	keyline    a valley from above with contours, its keyline and the lines to cultivate along
//	    ridge           from the valley's floor to the ridge, on the map
//	    slope           of the ground down the valley: N of 1 in N
//	    rise            of the ridge above the valley's floor beside it
//	    interval        height from contour to contour
//	    apart           from line to line of cultivation, along the valley
//	    fall            of the lines from valley to ridge: N of 1 in N
//
// 1 in N is a slope that falls by 1 on a way of N across. Sizes that can't be,
// such as a core wider than its bank, are mistakes. A drawing may have a note and
// an alt as a chart has; its alt is worked out from the sizes if it has none.
//
// # Passages under a condition
//
// What stands between an if block and its end stands only if the condition holds,
// between unless and end only if it does not. In any Markdown viewer the passage
// reads on between two small marks:
//
//	~~~if
//	there is broilers
//	~~~
//
//	## The birds
//
//	They take `calc: broilers.hours` a year.
//
//	~~~unless
//	broilers.hours <= 600 h
//	~~~
//
//	That is more than one pair of hands can give.
//
//	~~~end
//	~~~
//
//	~~~end
//	~~~
//
// there is asks whether something is defined: an enterprise, a loan
// (finance.sources.bank_loan), a person (farm.people.robin), a channel
// (prices.channels.farm_gate), a price, any figure; several names must all be there.
// What is out because something is not defined is as if it had never been written:
// its figures are not looked up, and its calc lines don't exist. Anything else is a
// condition, a formula that comes out as yes or no, such as the name of a check. It
// decides only what is shown: calc lines in it are worked out either way. A
// condition without an answer does not hold.
//
// A passage may hold headings, tables, charts, calc blocks and other passages. It
// begins and ends at one depth: both in the same list or quote, or in none. A link
// to a heading that is out leads to its chapter.
//
// # Cautions
//
// A caution is set apart from the text. It is written in place, as Markdown
// under an optional title:
//
//	~~~caution
//	title: Check before you slaughter
//	Ask the food authority how many birds you may kill on the farm, and whom
//	you may sell them to.
//	~~~
//
// or it is written once in content/cautions.yaml and called by its name in
// chapters, in enterprises, and in place:
//
//	heat_lamps:
//	  title: Heat lamps burn barns
//	  text: |
//	    Hang each lamp from a chain, never from its flex. Keep straw away.
//	  applies: wherever chicks are brooded
//
//	~~~caution
//	name: heat_lamps
//	~~~
//
// What follows name: in the block is added for this place.
//
// # The glossary
//
// content/glossary.yaml explains the words of the trade, once for all chapters:
//
//	gross margin:
//	  also: [gross margins]
//	  text: What an enterprise's sales leave after its variable costs.
//
// # Links and pictures
//
// A link leads to another chapter by its name or its file, and to a heading by
// the heading's words in small letters with - for blanks and other marks:
//
//	See [what it costs](start_up), [the loan](start_up#borrowing-the-rest),
//	[the garden](05-garden.md) and [below](#what-can-go-wrong).
//
// A heading that comes twice in a chapter has -2 after its words the second
// time. Links out of the workbook begin with https:, http: or mailto:; no
// other kind is allowed.
//
// A picture is a png, jpg, svg, webp or gif file of at most 8 MiB under
// content. It needs words for a reader who can't see it:
//
//	![A field pen with its drag bar](pictures/field-pen.svg)
//
// # Mistakes
//
// All mistakes of all chapters are reported together, each with file, line and
// column, the line itself, and what to do. A chapter may have 4 MiB, its lines
// 100,000 characters; lists and quotes may nest 60 deep.
package content
