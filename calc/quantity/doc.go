// Package quantity gives numbers their units: dimensions, exact conversion,
// reading and showing.
//
// A value is kept as a float64 in coherent base units (metre, kilogram,
// second, kelvin, ampere, one unit of a currency, one counted thing), so
// arithmetic on values needs no conversion. A [Dimension] says what is
// measured, a [Unit] how a person writes it, and a [System] knows all units of
// one farm: the standard ones, its currency, and the things that it counts
// (hen, tray, batch). A counted thing is a dimension of its own, so a price per
// hen can't be multiplied by trays.
//
// Conversion factors are exact where the source defines them so; the table in
// unit.go names the source of each.
package quantity
