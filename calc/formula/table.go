package formula

import (
	"slices"
	"strings"

	"rickyard/calc/say"
)

// An Entry is all that a reader is told of a function, of the language or of the
// trade: in the manual, on the page of functions, and where a figure that calls
// it is opened.
type Entry struct {
	Name   string
	Usage  string   // how it is called
	About  say.Text // what it gives
	Args   []Arg
	Rules  []say.Text // what leaves it without an answer, beside the limits of its arguments
	Unit   string     // that the result is shown in; "" where it follows the arguments
	Source string     // "" where it is a definition
	Trade  bool       // of the trade, not of the language
}

// An Arg is an argument of a function.
type Arg struct {
	Name  string
	About say.Text
	Unit  string // of its limits, and of what kind it is; "" for a plain number
	Any   bool   // of any kind
	// Sense says within which limits there is an answer, Published within which
	// its source vouches for it; "" for no limits.
	Sense, Published say.Text
}

// Describe lists the language's own functions and those given, by name.
func Describe(functions ...*Function) []Entry {
	entries := slices.Clone(own)
	for _, f := range functions {
		entries = append(entries, f.Entry())
	}
	slices.SortFunc(entries, func(a, b Entry) int { return strings.Compare(a.Name, b.Name) })
	return entries
}

// Entry describes the function.
func (f *Function) Entry() Entry {
	e := Entry{Name: f.Name, Usage: f.Usage(), About: f.About, Unit: f.Result.Unit, Source: f.Source, Trade: true}
	for _, p := range f.Params {
		e.Args = append(e.Args, Arg{p.Name, p.About, p.Unit, p.Any || p.Like > 0, p.Sense.Words(p.Unit), p.Published.Words(p.Unit)})
	}
	for _, rule := range f.Rules {
		e.Rules = append(e.Rules, rule.Words)
	}
	return e
}

// Calls lists the functions that the formula calls, in the order of the text,
// each once.
func (f *Formula) Calls() []string {
	var names []string
	for i, t := range f.tokens {
		call := t.kind == tokName || t.kind == tokKeyword && t.text == "if"
		if call && i+1 < len(f.tokens) && f.tokens[i+1].kind == tokMark && f.tokens[i+1].text == "(" && !slices.Contains(names, t.text) {
			names = append(names, t.text)
		}
	}
	return names
}

// A builtin is a function of the language: how many values it takes, and what
// compiles it. What it means stands in own.
type builtin struct {
	Entry
	least, most int
	emit        func(c *Compiler, n *callNode, args []Operand) Operand
}

const anyNumber = -1

var (
	builtins = map[string]builtin{}
	own      []Entry
)

// Arguments that many functions have.
var (
	ofSeries = anything("series", "a value for each month")
	ofNumber = anything("a", "a number with its unit, or a series")
	ofDate   = Arg{Name: "date", About: "a date", Unit: "calendar"}
	ofAngle  = Arg{Name: "angle", About: "the angle, in degrees or as a plain number of radians", Unit: "deg"}
	ofPower  = Arg{Name: "a", About: "a plain number, or a series of them"}
)

func anything(name string, about say.Text) Arg { return Arg{Name: name, About: about, Any: true} }

func init() {
	add := func(least, most int, emit func(*Compiler, *callNode, []Operand) Operand, usage string, about say.Text, args ...Arg) {
		name, _, _ := strings.Cut(usage, "(")
		e := Entry{Name: name, Usage: usage, About: about, Args: args}
		builtins[name] = builtin{e, least, most, emit}
		own = append(own, e)
	}
	several := anything("b, ...", "others of the same kind")
	add(3, 3, (*Compiler).choose, "if(condition, a, b)", "a where the condition holds, else b",
		Arg{Name: "condition", About: "a yes or no, such as a > b"}, anything("a", "the answer if it holds"), anything("b", "the answer if not"))
	add(1, anyNumber, join(opMin), "min(a, b, ...) or min(series)", "the least", ofNumber, several)
	add(1, anyNumber, join(opMax), "max(a, b, ...) or max(series)", "the greatest", ofNumber, several)
	add(1, anyNumber, join(opAdd), "sum(series) or sum(a, b, ...)", "all added up", ofNumber, several)
	add(1, 2, (*Compiler).average, "average(series) or average(series, weights)", "the mean of the months, weighed by another series if there is one",
		ofSeries, anything("weights", "how much each month counts"))
	add(1, 1, (*Compiler).magnitude, "abs(a)", "without its sign", ofNumber)
	add(1, 1, rounding(opCeil), "ceil(a)", "rounded up to a whole number of the unit that it is shown in", ofNumber)
	add(1, 1, rounding(opFloor), "floor(a)", "rounded down to a whole number of the unit that it is shown in", ofNumber)
	add(1, 2, rounding(opRound), "round(a) or round(a, step)", "rounded to the nearest step, halves away from zero",
		ofNumber, anything("step", "the step to round to, 1 of the unit that it is shown in if there is none"))
	add(1, 1, (*Compiler).root, "sqrt(a)", "the square root", ofNumber)
	add(1, 1, plain(opExp), "exp(a)", "e to the power of a", ofPower)
	add(1, 1, plain(opLog), "ln(a)", "the natural logarithm", ofPower)
	add(1, 1, plain(opSin), "sin(angle)", "the sine of an angle", ofAngle)
	add(1, 1, plain(opCos), "cos(angle)", "the cosine of an angle", ofAngle)
	add(0, 0, (*Compiler).pi, "pi()", "the length around a circle over that across it")
	add(2, 2, (*Compiler).atMonth, "at(series, month)", "the value in one month, as at(rain, Apr)", ofSeries, Arg{Name: "month", About: "a month, or its number counted from 1"})
	add(2, 2, (*Compiler).inYear, "in_year(series, year)", "the twelve months of one of the plan's years", anything("series", "a value for each month of the plan's years"), Arg{Name: "year", About: "the number of the year, counted from 1"})
	add(2, 2, (*Compiler).spread, "spread(amount, weights)", "the amount over the months by their weights", anything("amount", "what is spread"), anything("weights", "how much each month counts"))
	add(1, 1, (*Compiler).running, "running(series)", "each month with all before it", ofSeries)
	add(2, 2, (*Compiler).shift, "shift(series, months)", "moved later by whole months, round the year; over the plan's years nothing flows in from before them",
		ofSeries, Arg{Name: "months", About: "how many months later, written as a number"})
	add(12, 12, (*Compiler).monthly, "monthly(jan, feb, ... dec)", "a series of twelve values", anything("jan, feb, ... dec", "the value of each month"))
	add(0, 0, (*Compiler).monthDays, "month_days()", "the days of each month")
	add(1, 1, (*Compiler).eachYear, "each_year(series)", "twelve months repeated over the plan's years", ofSeries)
	add(1, anyNumber, (*Compiler).byYear, "by_year(first, second, ...)", "a series over the plan's years, one value a year; the last one holds on", anything("first, second, ...", "the value of each year"))
	add(1, 1, partOf(opYearOf), "year(date)", "the year of a date", ofDate)
	add(1, 1, partOf(opMonthOf), "month(date)", "the month of a date, January as 1", ofDate)
}
