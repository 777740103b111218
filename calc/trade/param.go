package trade

import (
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
)

var (
	speed        = quantity.Length.Div(quantity.Time)
	volumeFlow   = quantity.Volume.Div(quantity.Time)
	pressure     = quantity.Energy.Div(quantity.Volume)
	radiation    = quantity.Power.Div(quantity.Area)
	energyOfMass = quantity.Energy.Div(quantity.Mass)
	perArea      = quantity.Number.Div(quantity.Area)
	massOfVolume = quantity.Mass.Div(quantity.Volume)
)

// atLeastNone is an argument in a unit that can't be below nought.
func atLeastNone(name string, about say.Text, d quantity.Dimension, unit string) formula.Param {
	return formula.Param{Name: name, About: about, Dimension: d, Unit: unit, Sense: formula.AtLeast(0)}
}

// aboveNone is one that is divided by.
func aboveNone(name string, about say.Text, d quantity.Dimension, unit string) formula.Param {
	return formula.Param{Name: name, About: about, Dimension: d, Unit: unit, Sense: formula.Above(0)}
}

// number is a pure number in a range.
func number(name string, about say.Text, sense formula.Range) formula.Param {
	return formula.Param{Name: name, About: about, Dimension: quantity.Number, Sense: sense}
}

// published says where the source vouches for an argument.
func published(p formula.Param, r formula.Range) formula.Param {
	p.Published = r
	return p
}

// byMonth makes a series of an argument.
func byMonth(p formula.Param) formula.Param {
	p.Months = true
	return p
}

// many makes it take one value or more.
func many(p formula.Param) formula.Param {
	p.Many = true
	return p
}
