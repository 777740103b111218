package quantity

import "math"

// FootTo rounds parts to whole steps so that they add up to a total that is
// already rounded, by largest remainders; a total that is not finite, or too
// large to count in steps, changes nothing. Use it below a total that is itself
// a part of a larger one.
func FootTo(parts []float64, total, step float64) []float64 {
	rounded, sum, _ := Foot(parts, step)
	if step <= 0 || math.IsNaN(sum) || math.IsInf(sum, 0) || len(parts) == 0 {
		return rounded
	}
	missing := math.Round((total - sum) / step)
	if !(math.Abs(missing) < 1<<52) {
		return rounded
	}
	// What lies far off is first spread evenly; the rest is less than a round.
	if each := math.Trunc(missing / float64(len(parts))); math.Abs(each) > 1 {
		for i := range rounded {
			rounded[i] = roundTo(rounded[i]+float64(each*step), step)
		}
		missing -= float64(each * float64(len(parts)))
	}
	for missing != 0 {
		by := math.Copysign(1, missing)
		best := 0
		for i := range parts {
			// Move the part that is furthest behind its true value.
			if by*(parts[i]-rounded[i]) > by*(parts[best]-rounded[best]) {
				best = i
			}
		}
		rounded[best] = roundTo(rounded[best]+float64(by*step), step)
		missing -= by
	}
	return rounded
}

// FootGrid rounds a table of parts to whole steps so that it adds up as
// printed both ways: each row to its total at the right, each column to its total
// below, and the totals to the grand total. The row totals are footed to
// the rounded grand total first; each cell then lies less than two steps from
// its true value. Rows must be of equal length.
//
// This is controlled rounding: fractions are shifted round cycles of cells,
// alternately along rows and columns, until none is left.
func FootGrid(cells [][]float64, step float64) (rounded [][]float64, right, below []float64, total float64) {
	rows := len(cells)
	if rows == 0 {
		return nil, nil, nil, 0
	}
	columns := len(cells[0])
	sums := make([]float64, rows)
	for i, row := range cells {
		for _, x := range row {
			sums[i] += x
		}
	}
	right, total, _ = Foot(sums, step)
	// One more row holds the column totals, negative, so that every column
	// adds up to zero and every row to a whole number of steps.
	grid := make([][]float64, rows+1)
	grid[rows] = make([]float64, columns)
	for i, row := range cells {
		grid[i] = make([]float64, columns)
		weight := 0.0
		for _, x := range row {
			weight += math.Abs(x)
		}
		for j, x := range row {
			grid[i][j] = x / step
			if weight > 0 {
				grid[i][j] += (right[i] - sums[i]) / step * math.Abs(x) / weight
			}
			grid[rows][j] -= grid[i][j]
		}
	}
	settle(grid)
	rounded = make([][]float64, rows)
	below = make([]float64, columns)
	for i := range rows {
		rounded[i] = make([]float64, columns)
		for j := range columns {
			rounded[i][j] = roundTo(math.Round(grid[i][j])*step, step)
			below[j] += math.Round(grid[i][j])
		}
	}
	for j := range below {
		below[j] = roundTo(below[j]*step, step)
	}
	return rounded, right, below, total
}

// settled is how near to a whole number a cell counts as whole.
const settled = 1e-7

func fractional(x float64) bool { return math.Abs(x-math.Round(x)) > settled }

// settle makes all cells whole without changing the sum of any row or column.
func settle(grid [][]float64) {
	for {
		cycle := findCycle(grid)
		if cycle == nil {
			return
		}
		// Shifting up and down by turns, the least distance to a whole number
		// makes at least one more cell whole.
		up, down := math.Inf(1), math.Inf(1)
		for k, c := range cycle {
			x := grid[c[0]][c[1]]
			toCeil, toFloor := math.Ceil(x)-x, x-math.Floor(x)
			if k%2 == 1 {
				toCeil, toFloor = toFloor, toCeil
			}
			up, down = math.Min(up, toCeil), math.Min(down, toFloor)
		}
		by := up
		if down < up {
			by = -down
		}
		for k, c := range cycle {
			if k%2 == 0 {
				grid[c[0]][c[1]] += by
			} else {
				grid[c[0]][c[1]] -= by
			}
			if x := grid[c[0]][c[1]]; !fractional(x) {
				grid[c[0]][c[1]] = math.Round(x)
			}
		}
	}
}

// findCycle returns cells that are not whole, each in one row with the next
// and then in one column, and so on round; or nil if all are whole. A cell that
// alone is not whole in its row or column is so by noise only, and is rounded.
func findCycle(grid [][]float64) [][2]int {
	for i := range grid {
		for j := range grid[i] {
			for fractional(grid[i][j]) {
				cycle, lone := cycleFrom(grid, i, j)
				if cycle != nil {
					return cycle
				}
				grid[lone[0]][lone[1]] = math.Round(grid[lone[0]][lone[1]])
			}
		}
	}
	return nil
}

// cycleFrom walks from a cell until it comes back to a row, or to a lone cell.
func cycleFrom(grid [][]float64, i, j int) (cycle [][2]int, lone [2]int) {
	path := [][2]int{{i, j}}
	seen := map[[2]int]int{{i, 0}: 0} // a row entered, at which step of the path
	for {
		row := path[len(path)-1][0]
		next := -1
		for c := range grid[row] {
			if c != path[len(path)-1][1] && fractional(grid[row][c]) {
				next = c
				break
			}
		}
		if next < 0 {
			return nil, path[len(path)-1]
		}
		path = append(path, [2]int{row, next})
		below := -1
		for r := range grid {
			if r != row && fractional(grid[r][next]) {
				below = r
				break
			}
		}
		if below < 0 {
			return nil, [2]int{row, next}
		}
		if at, ok := seen[[2]int{below, 0}]; ok {
			// The row was entered at path[at]; close the cycle in this column.
			if path[at+1] == [2]int{below, next} {
				return path[at+2:], lone // the column was already crossed there
			}
			return append([][2]int{{below, next}}, path[at+1:]...), lone
		}
		seen[[2]int{below, 0}] = len(path)
		path = append(path, [2]int{below, next})
	}
}
