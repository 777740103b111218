package land

import "math"

// A Direction is where water leaves a cell: to one of its eight neighbours, or Out.
// Its number is the usual code of such grids.
type Direction uint8

// Out stands where no neighbour is lower: in a pit, and at the edge of the map
// where the water leaves it.
const (
	Out       Direction = 0
	East      Direction = 1
	SouthEast Direction = 2
	South     Direction = 4
	SouthWest Direction = 8
	West      Direction = 16
	NorthWest Direction = 32
	North     Direction = 64
	NorthEast Direction = 128
)

// neighbours are in the order of their codes.
var neighbours = [8]struct {
	code         Direction
	south, east  int
	stepsBetween float64
}{
	{East, 0, 1, 1}, {SouthEast, 1, 1, math.Sqrt2}, {South, 1, 0, 1}, {SouthWest, 1, -1, math.Sqrt2},
	{West, 0, -1, 1}, {NorthWest, -1, -1, math.Sqrt2}, {North, -1, 0, 1}, {NorthEast, -1, 1, math.Sqrt2},
}

// Flow is where the water of a grid runs: all of a cell's to one neighbour.
type Flow struct {
	Rows, Columns int
	Cell          float64
	Directions    []Direction
	Above         []int32   // cells that drain through each, its own not counted
	Filled        []float64 // heights with every pit filled to where it spills
	known         []bool
}

// Flow fills the grid's pits and sends the water of each cell down the steepest of
// its eight ways. Over the level ground of a filled pit it goes the way the pit
// spills. Of two ways equally steep the first with the clock from east is taken. A
// cell at the edge of the map, or beside an unknown post, with no lower neighbour
// sends its water out of the map. Cells that are not known take no part.
//
// The method suits gullies and swales; on an even slope real water spreads, and
// culverts, ditches and drains are not in the heights.
//
// Sources: O'Callaghan and Mark, The extraction of drainage networks from digital
// elevation data, Computer Vision, Graphics and Image Processing 28 (1984);
// Barnes, Lehman and Mulla, Priority-flood, Computers and Geosciences 62 (2014).
func (g *Grid) Flow() *Flow {
	f := &Flow{Rows: g.Rows, Columns: g.Columns, Cell: g.Cell,
		Directions: make([]Direction, len(g.Heights)), Above: make([]int32, len(g.Heights)),
		Filled: make([]float64, len(g.Heights)), known: make([]bool, len(g.Heights))}
	copy(f.Filled, g.Heights)
	for i, h := range g.Heights {
		f.known[i] = !math.IsNaN(h)
	}
	f.flood()
	f.steepest()
	f.gather()
	return f
}

// Area returns the area in square metres that drains through a cell, with its own.
func (f *Flow) Area(row, column int) float64 {
	return float64(f.Above[row*f.Columns+column]+1) * f.Cell * f.Cell
}

// Catchment marks the cells whose water runs through one, that one among them.
func (f *Flow) Catchment(row, column int) []bool {
	in := make([]bool, len(f.Directions))
	waiting := []int{row*f.Columns + column}
	in[waiting[0]] = true
	for len(waiting) > 0 {
		i := waiting[len(waiting)-1]
		waiting = waiting[:len(waiting)-1]
		f.around(i, func(j, k int) {
			if f.next(j) == i {
				in[j] = true
				waiting = append(waiting, j)
			}
		})
	}
	return in
}

// Way returns the cells that water from one runs through, that one first, as
// numbers row * Columns + column, until it leaves the map.
func (f *Flow) Way(row, column int) []int {
	var way []int
	for i := row*f.Columns + column; i >= 0; i = f.next(i) {
		way = append(way, i)
	}
	return way
}

// Streams returns the ways of water through cells that drain at least an area, in
// square metres: each from where it gathers, or two meet, to where it meets another
// (that cell among it) or leaves the map.
func (f *Flow) Streams(area float64) [][]int {
	stream := func(i int) bool {
		return f.known[i] && float64(f.Above[i]+1)*f.Cell*f.Cell >= area
	}
	into := make([]uint8, len(f.Directions))
	for i := range f.Directions {
		if j := f.next(i); j >= 0 && stream(i) {
			into[j]++
		}
	}
	var ways [][]int
	for i := range f.Directions {
		if !stream(i) || into[i] == 1 {
			continue
		}
		way := []int{i}
		for j := f.next(i); j >= 0; j = f.next(j) {
			way = append(way, j)
			if into[j] > 1 {
				break
			}
		}
		ways = append(ways, way)
	}
	return ways
}

// next is the cell that a cell's water runs to, -1 for out.
func (f *Flow) next(i int) int {
	for _, n := range neighbours {
		if f.Directions[i] == n.code {
			return i + n.south*f.Columns + n.east
		}
	}
	return -1
}

// around calls do for each neighbour j of i that is on the map and known, with its
// place among neighbours.
func (f *Flow) around(i int, do func(j, k int)) {
	row, column := i/f.Columns, i%f.Columns
	for k, n := range neighbours {
		r, c := row+n.south, column+n.east
		if r < 0 || c < 0 || r >= f.Rows || c >= f.Columns {
			continue
		}
		if j := r*f.Columns + c; f.known[j] {
			do(j, k)
		}
	}
}

// edge reports whether water can leave the map from a cell.
func (f *Flow) edge(i int) bool {
	n := 0
	f.around(i, func(int, int) { n++ })
	return n < 8
}

// flood raises each cell to the lowest height from which water can leave the map,
// and points it at the neighbour over which the flood came: the way out of a level.
// Cells no higher than what the flood comes from wait in a plain row, the rest in a
// heap.
func (f *Flow) flood() {
	seen := make([]bool, len(f.Filled))
	var rim heap
	var level []int32
	for i := range f.Filled {
		if f.known[i] && f.edge(i) {
			seen[i] = true
			rim.push(f.Filled[i], int32(i))
		}
	}
	for len(level) > 0 || len(rim) > 0 {
		var i int
		if n := len(level); n > 0 {
			i = int(level[0])
			if level = level[1:]; n == 1 {
				level = nil
			}
		} else {
			i = int(rim.pop())
		}
		f.around(i, func(j, k int) {
			if seen[j] {
				return
			}
			seen[j] = true
			f.Directions[j] = neighbours[(k+4)%8].code
			if f.Filled[j] <= f.Filled[i] {
				f.Filled[j] = f.Filled[i]
				level = append(level, int32(j))
			} else {
				rim.push(f.Filled[j], int32(j))
			}
		})
	}
}

// steepest points each cell down its steepest way, if it has a lower neighbour.
func (f *Flow) steepest() {
	for i := range f.Filled {
		if !f.known[i] {
			continue
		}
		best := 0.0
		f.around(i, func(j, k int) {
			if drop := (f.Filled[i] - f.Filled[j]) / neighbours[k].stepsBetween; drop > best {
				best, f.Directions[i] = drop, neighbours[k].code
			}
		})
	}
}

// gather counts the cells above each, from the highest down.
func (f *Flow) gather() {
	into := make([]uint8, len(f.Directions))
	for i := range f.Directions {
		if j := f.next(i); j >= 0 {
			into[j]++
		}
	}
	for i := range f.Directions {
		for j := i; into[j] == 0; {
			into[j] = 255 // done
			to := f.next(j)
			if to < 0 {
				break
			}
			f.Above[to] += f.Above[j] + 1
			into[to]--
			j = to
		}
	}
}

// A heap of cells, the lowest on top; of equal ones the one that came first in
// number, so that the flood is the same everywhere.
type heap []waiting

type waiting struct {
	height float64
	cell   int32
}

func (w waiting) before(v waiting) bool {
	return w.height < v.height || w.height == v.height && w.cell < v.cell
}

func (h *heap) push(height float64, cell int32) {
	*h = append(*h, waiting{height, cell})
	s := *h
	for i := len(s) - 1; i > 0; {
		up := (i - 1) / 4
		if !s[i].before(s[up]) {
			break
		}
		s[i], s[up] = s[up], s[i]
		i = up
	}
}

func (h *heap) pop() int32 {
	s := *h
	top, last := s[0].cell, len(s)-1
	s[0] = s[last]
	s = s[:last]
	*h = s
	for i := 0; ; {
		least := i
		for c := 4*i + 1; c <= min(4*i+4, last-1); c++ {
			if s[c].before(s[least]) {
				least = c
			}
		}
		if least == i {
			return top
		}
		s[i], s[least] = s[least], s[i]
		i = least
	}
}
