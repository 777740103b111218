package actual

import (
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// Records are what was written down, read and checked as far as that goes
// without the farm's figures.
type Records struct {
	Rows []Row
	// Refuse says that a bad row fails the build; else the rest is counted.
	Refuse bool
	UpTo   plan.Month // the last month of the year to date; 0: that of the latest row
	UpToAt source.Span
	Files  []string // by path, in order
	Bad    []BadRow
}

// A Row is one record.
type Row struct {
	File       int // in Records.Files
	Place      source.Span
	Month      plan.Month // in which it was paid
	From, To   plan.Month // months that it covers; both Month if it names none
	Enterprise string     // Farm for the whole farm
	Item       string     // name of a line, of an overhead, or one of the words
	Amount     float64    // base units; money in is positive

	HasQuantity bool
	Quantity    quantity.Quantity // negative for a refund
	Bare        bool              // without a unit: in the line's own
	QuantityAt  source.Span
}

// A BadRow is a row that can't be counted.
type BadRow struct {
	File int
	Err  *source.Error
}

// Farm is what a record's enterprise is called if it is of the whole farm.
const Farm = "farm"

// Words that stand for an item beside the names of lines and overheads.
const (
	Other        = "other"
	SellingCosts = "selling_costs" // of an enterprise: fees of its channels
)

// FarmWords are the items of the whole farm beside its overheads and Other.
var FarmWords = []string{"rent", "hired_help", "interest", "purchases", "loans", "introduced", "off_farm", "household", "tax"}

// A farmItem is an item of the whole farm that the plan has rows for.
type farmItem struct {
	word        string
	label       say.Text
	plus, minus []string // flows of the plan
	profit      bool     // it counts for the profit
}

var farmItems = []farmItem{
	{"rent", "Rent of land", nil, []string{"rent"}, true},
	{"hired_help", "Hired help", nil, []string{"hired_labour"}, true},
	{"interest", "Interest", nil, []string{"interest", "overdraft_interest"}, true},
	{"purchases", "Things that last, and first stock", []string{"equipment_sold"}, []string{"property_bought", "equipment_bought", "stock_bought"}, false},
	{"loans", "Loans received, less paid back", []string{"loans_drawn"}, []string{"principal"}, false},
	{"introduced", "Savings, gifts and grants", []string{"introduced", "grants"}, nil, false},
	{"off_farm", "Income from off the farm", []string{"off_farm"}, nil, false},
	{"household", "Household", nil, []string{"drawings"}, false},
	{"tax", "Income tax", nil, []string{"tax_paid"}, false},
}
