package data

import (
	"golang.org/x/text/language"

	"rickyard/calc/actual"
	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/risk"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// A Front is a figure that the front page shows.
type Front struct {
	Name  string
	Place source.Span
}

// A Farm is what the data files say: figures, and the structure that tables
// and budgets are built from. Every number in it is a figure of Definitions;
// the structure only names them.
type Farm struct {
	Name       string
	About      string
	Book       Book
	Front      []Front // what the front page tells the farm by; nil for the usual
	Parts      []Part  // of the book, that stand by themselves
	Print      Print
	People     []Person
	Place      Place
	Currency   string // ISO 4217
	Language   language.Tag
	LanguageAt source.Span // where the file names it, if it does
	Metric     bool
	Units      *quantity.System // nil if farm.yaml could not be read
	Horizon    int              // years that the plan covers; the figure farm.horizon

	// Definitions are the inputs and worked figures of all files: those of
	// farm.yaml first, then prices, climate, infrastructure, finance and cases, then
	// the enterprises in the order of their file names; within a file in the
	// order of its lines.
	Definitions []figures.Definition

	// Facts are the texts that a chapter may quote, by name, as farm.name,
	// farm.people.<id>.name or <enterprise>.name.
	Facts map[string]say.Text

	Enterprises    []enterprise.Spec
	Names          []string // of the enterprises' files, those that could not be read among them
	Channels       []enterprise.Channel
	Products       []enterprise.Product
	Land           []LandKind
	Infrastructure []Item
	Sources        []Source
	Uses           []Use
	Overheads      []Overhead
	Planned        []string // the enterprises that are run; nil for all
	Planning       Planning
	Risk           risk.Settings // how the plan is simulated
	Scenarios      []risk.Scenario
	Records        actual.Records // what happened; no rows if nothing is recorded

	// Unread says that farm.yaml could not be read, or its currency and counts,
	// so that no other figure means anything. Where another file could not be
	// read, a definition of its name has Failed, and so have figures that alone
	// could not be read.
	Unread bool

	meant map[string]string // answers to warnings, by figure

	// Warnings are of what is possible but hardly meant.
	Warnings source.Errors

	broken *source.Error // the first mistake

	Files []*source.File // what was read, in the order of Definitions
}

// A Book is what stands on the workbook's title page.
type Book struct {
	Title    string // the farm's name if none is given
	Subtitle string
	Author   string
	Edition  string
}

// A Person works on the farm. Their figures are farm.people.<id>.hours (working
// time in a time) and .income (money in a time, earned elsewhere), where given.
type Person struct {
	ID        string
	Name      string
	Note      string
	Place     source.Span
	HasHours  bool
	HasIncome bool
	Until     string // when income and work elsewhere end, as written
}

// Planning is how the whole farm is planned. Its numbers are figures:
// finance.plan.drawings (money in a time), .tax (share), .tax_paid_after (time),
// .discount (per time), .overdraft.limit and .rate, .declining_times,
// .sales_tax.<group> (share), .inflation.<group> (per time) and
// .usual.<measure>.
type Planning struct {
	Start string // as written
}

// A Place is where the farm lies. Its figures are farm.latitude and
// farm.altitude, where given.
type Place struct {
	Name        string
	Country     string
	HasLatitude bool
	HasAltitude bool
}

// A LandKind is one kind of land. Its figures are farm.land.<id>.area, .rent
// (money for an area and a time, 0 if none is given) and .rent_of_more.
type LandKind struct {
	ID    string
	Label string
	Note  string
	Place source.Span
}

// An Item is a piece of infrastructure. Its figures are
// infrastructure.<id>.number, .cost (money each), .life (time), .residual
// (share of the cost left at the end), .total (money), .yearly (money in a
// time) and .used_by.<enterprise> (share).
type Item struct {
	ID     string
	Label  string
	Group  string
	Bought string // a year, a month or a day, as written
	Note   string
	Place  source.Span
	UsedBy []string // enterprises, in the order written
}

// A Source is where money to start comes from. Its figures are
// finance.sources.<id>.amount (money), .rate (per time) and .term (time).
type Source struct {
	ID      string
	Label   string
	Kind    string // savings, loan, grant, gift or other
	Note    string
	Place   source.Span
	HasRate bool
	HasTerm bool

	Received string // when, as written
}

// A Use is what money to start is spent on. Its figure is
// finance.uses.<id>.amount (money).
type Use struct {
	ID    string
	Label string
	Group string // one of useGroups; finance.uses_<group> is the sum of its uses
	Note  string
	Place source.Span

	Paid    string // when, as written
	HasLife bool   // it has figures .life and .residual
}

// An Overhead is a cost that the farm has whatever it produces. Its figures are
// finance.overheads.<id>.amount (money in a time) and .shared.<enterprise>
// (share).
type Overhead struct {
	ID       string
	Label    string
	Note     string
	Place    source.Span
	SharedBy []string // enterprises, in the order written
}
