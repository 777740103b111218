// Package risk tells how far a result moves when its inputs do: by how much
// each input's low and high swing it, and at which value of an input it
// reaches a level.
package risk
