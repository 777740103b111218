package enterprise

import "rickyard/calc/source"

// A Spec is one enterprise as its YAML tells it: a scale and a list of lines.
// Formulas are spans of the user's text, in the language of calc/formula;
// bare names in them are looked up among the enterprise's own figures first.
type Spec struct {
	ID      string      // prefix of its figures, as broilers
	Name    string      // as people call it, as "Pastured broilers"
	About   string      // one plain sentence
	Place   source.Span // its name in the file
	Scale   Scale
	Output  Ref // the figure that measures the main product over one full year, as carcass; may be empty
	Cycles  []Cycle
	Lines   []Line
	BuildUp []source.Span // scale in year 1, 2, ... until the plan's own scale; formulas

	Cautions []string // names of cautions
}

// A Ref is a name in a text.
type Ref struct {
	Name string
	Span source.Span
}

// A Scale is how large an enterprise is, in whole steps.
type Scale struct {
	Figure  Ref // bare name of the figure that holds the scale, as batches
	Unit    Ref // the counted thing, as batch
	Now     source.Span
	Step    source.Span // formula: one step; never zero
	Least   source.Span // formula; zero Span: one step
	Most    source.Span // formula: what land, season or market allow
	Because string      // why no more than Most
}

// A Cycle is something that starts several times a year: a batch, a flock, a
// succession.
type Cycle struct {
	Name   Ref
	First  source.Span // formula: a date, as 6 Apr
	Every  source.Span // formula: a time, as 21 day
	Number source.Span // formula: how many start in a full year
}

// A LineKind says what a line is.
type LineKind string

// The kinds of line.
const (
	Sale     LineKind = "sale"     // amount sold; taken at a price through channels
	Cost     LineKind = "cost"     // a variable cost
	Overhead LineKind = "overhead" // a fixed cost of this enterprise alone
	Hours    LineKind = "hours"    // labour of one task
	Capital  LineKind = "capital"  // things bought, with a life
	Land     LineKind = "land"     // land of one kind held over some months
)

// A Line is one entry of an enterprise's budget. Amounts are those of one full
// year at the scale.
type Line struct {
	Kind  LineKind
	Name  string // bare name of its figure, as field_pen
	Label string
	Note  string
	Place source.Span

	Amount source.Span // sale: what is sold; cost, overhead: money; hours: time; land: area

	Product Ref            // sale: entry of the price list; or Price
	Price   source.Span    // sale: formula of one price for all that is sold
	Through []ChannelShare // sale: shares of the amount by channel, 100 % together
	Side    bool           // sale of a by-product, set against costs for the break-even price

	Number   source.Span // capital: how many, usually stepped by ceil
	UnitCost source.Span // capital: money each
	Life     source.Span // capital: time in use
	Residual source.Span // capital: share of the cost left at the end; zero Span: none

	Use Ref // land: kind of land

	When Timing
}

// A ChannelShare is the part of a sale that goes through one channel.
type ChannelShare struct {
	Channel Ref
	Share   source.Span // formula: a share, as 60 %
}

// A Timing spreads a line's yearly amount over the months. The zero Timing
// spreads it evenly by days.
type Timing struct {
	Place  source.Span
	Each   Ref         // the cycle that it follows, or empty
	Day    source.Span // on this day of each cycle, as 58 day
	From   source.Span // or spread from this day ...
	To     source.Span // ... to this one
	Months source.Span // or a formula of months, as Apr..Oct, or of monthly weights
	Lag    source.Span // years after the year that the scale is set up, as 2 year
	Every  source.Span // comes back after so many years, as 5 year
	Once   bool        // only once, when the scale is set up
}

// A Channel is a way to sell, shared by all enterprises.
type Channel struct {
	ID    string
	Label string
	Place source.Span
	// Its figures are prices.channels.<id>.fee (share of takings), .hours
	// (labour for an amount of takings) and .limit (takings a year that the
	// market bears); the data always defines fee and hours.
	HasLimit bool
}

// A Product is an entry of the price list: one price by channel, the figures
// prices.<id>.<channel>.
type Product struct {
	ID       string
	Label    string
	Place    source.Span
	Channels []string
}

// A Share is the part of a farm-wide overhead that an enterprise bears.
type Share struct {
	Enterprise Ref
	Share      source.Span // formula
}
