// Package figures keeps every number of a workbook in one graph: inputs, and
// the figures worked from them. It orders them by what they depend on, names
// cycles and unknown names, runs the compiled formulas, recomputes only what an
// override touches, and traces a figure back to its inputs.
package figures
