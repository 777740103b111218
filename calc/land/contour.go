package land

import (
	"math"
	"slices"
)

// A Contour is a line of one height on the plan, with the higher ground to its
// left. A closed one ends where it begins.
type Contour struct {
	Height float64
	Line   []Point
}

// Closed reports whether the line runs back to its beginning.
func (c Contour) Closed() bool { return len(c.Line) > 3 && c.Line[0] == c.Line[len(c.Line)-1] }

// Contours returns the lines at all whole multiples of an interval, in metres, that
// the grid has, from the lowest up. The interval must be above zero, and one so fine
// that there would be more than 10,000 levels gives none. Between two posts a line is
// set by their heights in proportion; where the four posts of a square leave open
// which two ways it takes, the mean of the four decides. A line ends at the edge of
// the grid or beside a post that is not known, nowhere else, and no two cross.
func (g *Grid) Contours(interval float64) []Contour {
	const most = 10000
	low, high := math.Inf(1), math.Inf(-1)
	for _, h := range g.Heights {
		low, high = min(low, nan(h, low)), max(high, nan(h, high))
	}
	if !(interval > 0) || !((high-low)/interval <= most) {
		return nil
	}
	first, last := int(math.Ceil(low/interval)), int(math.Floor(high/interval))
	levels := make([][]step, max(0, last-first+1))
	for row := range g.Rows - 1 {
		for column := range g.Columns - 1 {
			g.square(row, column, interval, first, levels)
		}
	}
	var lines []Contour
	for i, steps := range levels {
		lines = g.link(lines, float64(float64(first+i)*interval), steps)
	}
	return lines
}

// ContourAt returns the lines at one height.
func (g *Grid) ContourAt(height float64) []Contour {
	var steps [1][]step
	for row := range g.Rows - 1 {
		for column := range g.Columns - 1 {
			g.cross(row, column, height, &steps[0])
		}
	}
	return g.link(nil, height, steps[0])
}

// nan gives other in the place of a number that is none.
func nan(x, other float64) float64 {
	if math.IsNaN(x) {
		return other
	}
	return x
}

// A step is a line's way through one square, from one edge to another. The edge
// from a post to the next eastward has twice the number of the post, the one to the
// next southward one more.
type step struct{ from, to int }

// square adds the steps of all levels through one square.
func (g *Grid) square(row, column int, interval float64, first int, levels [][]step) {
	a, b, c, d := g.At(row, column), g.At(row, column+1), g.At(row+1, column+1), g.At(row+1, column)
	low, high := min(a, b, c, d), max(a, b, c, d)
	if math.IsNaN(low) || low == high {
		return
	}
	for i := int(math.Ceil(low / interval)); i <= int(math.Floor(high/interval)); i++ {
		g.cross(row, column, float64(float64(i)*interval), &levels[i-first])
	}
}

// cross adds the steps of one level through one square. A post at the very level
// counts as above it.
func (g *Grid) cross(row, column int, height float64, steps *[]step) {
	post := row*g.Columns + column
	// Corners and edges with the clock from the north-west; edge i follows corner i.
	corners := [4]float64{g.Heights[post], g.Heights[post+1], g.Heights[post+g.Columns+1], g.Heights[post+g.Columns]}
	edges := [4]int{2 * post, 2*(post+1) + 1, 2 * (post + g.Columns), 2*post + 1}
	mean := 0.0
	for _, h := range corners {
		mean += float64(h / 4)
	}
	if math.IsNaN(mean) {
		return
	}
	// With the clock the edges fall and rise in turn. A line comes in where they
	// rise and leaves where they fall: the higher ground is then to its left.
	for i := range 4 {
		if !(corners[i] >= height && corners[(i+1)%4] < height) {
			continue
		}
		// A low corner alone is cut off by the next rise; where two lie across from
		// each other, the mean says whether the low ground joins.
		rise := i + 1
		for corners[(rise+1)%4] < height {
			rise++
		}
		if rise == i+1 && corners[(i+3)%4] < height && mean < height {
			rise = i + 3 // the other low corner's
		}
		*steps = append(*steps, step{edges[rise%4], edges[i]})
	}
}

// link joins steps to lines: open ones first, each in the order of its edges.
func (g *Grid) link(lines []Contour, height float64, steps []step) []Contour {
	slices.SortFunc(steps, func(a, b step) int { return a.from - b.from })
	at := func(edge int) (int, bool) {
		return slices.BinarySearchFunc(steps, edge, func(s step, edge int) int { return s.from - edge })
	}
	entered := make([]bool, len(steps))
	for _, s := range steps {
		if i, ok := at(s.to); ok {
			entered[i] = true
		}
	}
	done := make([]bool, len(steps))
	follow := func(start int) {
		if done[start] {
			return
		}
		line := []Point{g.onEdge(steps[start].from, height)}
		for i, ok := start, true; ok && !done[i]; i, ok = at(steps[i].to) {
			done[i] = true
			if p := g.onEdge(steps[i].to, height); p != line[len(line)-1] {
				line = append(line, p)
			}
		}
		if len(line) > 1 {
			lines = append(lines, Contour{height, line})
		}
	}
	for i := range steps {
		if !entered[i] {
			follow(i)
		}
	}
	for i := range steps {
		follow(i)
	}
	return lines
}

// onEdge is where a level lies between the two posts of an edge.
func (g *Grid) onEdge(edge int, height float64) Point {
	post := edge / 2
	a, here := g.Heights[post], g.Post(post/g.Columns, post%g.Columns)
	if edge%2 == 0 {
		return Point{here.X + float64(share(a, g.Heights[post+1], height)*g.Cell), here.Y}
	}
	return Point{here.X, here.Y - float64(share(a, g.Heights[post+g.Columns], height)*g.Cell)}
}

// share is how far a level lies on the way from one height to another.
func share(from, to, height float64) float64 { return (height - from) / (to - from) }
