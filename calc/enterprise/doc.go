// Package enterprise turns an enterprise (a scale and a list of lines) into
// figures whose formulas are written in the language of calc/formula, so that
// every result of a budget can be traced like any other figure: gross margin,
// overheads, net margin, hours and land by month, break-even, payback. It also
// searches for the scale at which an enterprise pays.
package enterprise
