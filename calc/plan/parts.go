package plan

import (
	"math"

	"rickyard/calc/say"
)

const (
	daySeconds   = 86400.
	yearSeconds  = 365 * daySeconds
	monthSeconds = yearSeconds / 12
)

// Groups of prices, for inflation and sales tax.
const (
	ofSales = iota
	ofCosts
	ofOverheads
	ofCapital
	ofWages
	ofRent
	ofLiving
	groups
)

var groupNames = [groups]string{"sales", "costs", "overheads", "capital", "wages", "rent", "living"}

// PriceGroups returns the groups that prices are parted into, for inflation and
// sales tax: figures finance.plan.inflation.<group> (a rate) and
// finance.plan.sales_tax.<group> (a share).
func PriceGroups() []string { return append([]string(nil), groupNames[:]...) }

// PriceGroup is what a group of prices is called in the midst of a label.
func PriceGroup(name string) say.Text {
	return map[string]say.Text{
		"sales": "sales|prices", "costs": "costs|prices", "overheads": "overheads|prices", "capital": "capital|prices",
		"wages": "wages|prices", "rent": "rent|prices", "living": "living|prices",
	}[name]
}

// A task is a row of the labour calendar.
type task struct {
	enterprise int
	name       string // of its figure, without the plan's prefix
	label      say.Text
}

// A class is one kind of thing that is bought and wears out.
type class struct {
	label string
	name  string // of its figures
	from  string // the date of the first purchase; at the opening if there is none
	run   bool   // an enterprise's, which begins to run in the first month at the earliest
	group string
}

// defaultDiscount is the yearly rate at which later money is discounted where
// the farm's data names none.
const defaultDiscount = 0.05

// A cohort is what is bought of a class at once.
type cohort struct {
	number, cost, book float64
	worn               float64 // book is cost less this, but for rounding
	start              int     // first column that bears depreciation
	monthly            float64 // depreciation, for the year of its life that it is in
}

// margin is how many months before a year its cycles may reach.
const margin = 12

// months rounds a time to whole months.
func months(seconds float64) int { return int(math.Round(seconds / monthSeconds)) }
