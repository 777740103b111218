package figures

import (
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// A Definition says what one figure is: an input with its value, or a worked
// figure with its formula.
type Definition struct {
	Name  string      // full name, as broilers.live_weight
	Label say.Text    // how people call it, as "Live weight"
	Scope string      // prefix under which bare names in the formula are looked up first
	Place source.Span // where it is written
	Note  say.Text    // a remark of the author's, may be empty

	// Kind says what the values are, where their unit or formula does not: of a
	// series, what its whole is; yes or no, as 1 or 0; one of Choices, by its place.
	Kind    formula.Kind
	Choices *formula.Choices

	// An input has Value, or Series with one value a month.
	Value  quantity.Quantity
	Series []float64 // base units; Value.Unit is its unit
	Low    *float64  // base units; nil if not given
	High   *float64
	Source say.Text
	AsOf   string

	Words say.Text // of an input that is words, and no number

	// A worked figure has a Formula, which may end in `as unit`.
	Formula source.Span
	Want    *Want // what the formula must come out in; nil for anything
	Engine  bool  // the engine wrote the formula, so reasons in it are the program's own words

	NoAnswer say.Text // why an input has no value

	Found say.Text // how an engine comes by the figure, for readers

	Hidden bool // a step of the engine's own: not in figures.json
	// Failed is why it could not be read, which is reported already: what needs
	// it follows from that, and is not reported by itself.
	Failed *source.Error
}

// IsInput reports whether the figure is an input.
func (d *Definition) IsInput() bool { return d.Formula.File == nil && d.Found == "" }

// given reports whether the definition brings its value: an input or a found
// figure.
func (d *Definition) given() bool { return d.Formula.File == nil }

// A Want is what a formula must come out in.
type Want struct {
	What       string // for the error: "a cost"
	Dimensions []quantity.Dimension
	Monthly    bool // a monthly series will also do
	Truth      bool // yes or no
}
