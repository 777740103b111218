package place

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"rickyard/calc/land"
	"rickyard/calc/source"
)

// pointColumns are the columns of heights as points.
var pointColumns = []string{"east", "north", "height"}

// Points reads heights as points: a CSV file with a heading and the columns east,
// north and height, all in metres on a plan, in any order of columns and rows. The
// points must stand in square, as a survey by drone or a national model gives them;
// posts that have none are not known. There is no grid where there is an error.
func Points(f *source.File) (*land.Grid, []*source.Error) {
	r := pointReader{heightReader: heightReader{file: f}}
	r.read()
	if len(r.errs) > 0 {
		return nil, r.errs
	}
	g := r.grid()
	if len(r.errs) > 0 {
		return nil, r.errs
	}
	return g, nil
}

type pointReader struct {
	heightReader
	points [][3]float64 // east, north, height
	rows   []source.Span
}

func (r *pointReader) read() {
	text := r.file.Text
	var at []int
	for from := 0; from < len(text) && len(r.errs) < mostErrors; {
		end := strings.IndexByte(text[from:], '\n')
		if end < 0 {
			end = len(text) - from
		}
		line := r.file.Span(from, from+end)
		from += end + 1
		switch {
		case strings.TrimSpace(line.Text()) == "":
		case at == nil:
			at = r.columns(cells(line))
		case len(r.points) == mostHeights:
			r.fail(source.Unsafe, line, "there are more than %d points", mostHeights)
			return
		default:
			r.point(line, cells(line), at)
		}
	}
	if len(r.errs) == 0 && len(r.points) < 4 {
		r.fail(source.Missing, r.file.Span(0, 0), "there are %d points; expected a heading %s and four points or more", len(r.points), strings.Join(pointColumns, ","))
	}
}

// columns finds the three columns in the heading.
func (r *pointReader) columns(cells []source.Span) []int {
	var found []string
	for _, c := range cells {
		found = append(found, strings.ToLower(c.Text()))
	}
	at := make([]int, len(pointColumns))
	for i, name := range pointColumns {
		if at[i] = slices.Index(found, name); at[i] < 0 {
			e := r.fail(source.Missing, cells[0], "there is no column %s; expected the heading %s", name, strings.Join(pointColumns, ","))
			if near := source.Nearest(name, found); near != "" {
				e.With("rename %s", near)
			}
		}
	}
	return at
}

func (r *pointReader) point(line source.Span, cells []source.Span, at []int) {
	var p [3]float64
	for i, column := range at {
		if column < 0 || column >= len(cells) {
			if column >= 0 {
				r.fail(source.Missing, line, "this row has no %s", pointColumns[i])
			}
			return
		}
		x, err := height(cells[column].Text())
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) || math.Abs(x) > 1e8 {
			r.fail(source.WrongType, cells[column], "%q is not a number of metres", clip(cells[column].Text()))
			return
		}
		if i == 2 && (x < lowest || x > highest) {
			r.fail(source.OutOfRange, cells[column], "a height of %s m is none on earth", cells[column].Text()).With("leave out points that are not known")
			return
		}
		p[i] = x
	}
	r.points, r.rows = append(r.points, p), append(r.rows, line)
}

// nearPost is how far a point may stand from its post, as a part of a cell.
const nearPost = 0.01

func (r *pointReader) grid() *land.Grid {
	west, columns, cellX := r.spacing(0)
	south, rows, cellY := r.spacing(1)
	if !(math.Abs(cellX-cellY) <= nearPost*cellX) {
		r.fail(source.OutOfRange, r.rows[0], "the points do not stand in square: the least steps are %s m east and %s m north", spacingText(cellX), spacingText(cellY)).
			With("save the heights as a grid")
		return nil
	}
	if columns > mostHeights || rows > mostHeights/columns {
		r.fail(source.Unsafe, r.rows[0], "a grid over these points has more than %d posts", mostHeights).With("take a smaller piece of the map, or leave out points that lie far off")
		return nil
	}
	g := &land.Grid{Rows: int(rows), Columns: int(columns), Cell: cellX, West: west, South: south, Heights: make([]float64, int(rows)*int(columns))}
	for i := range g.Heights {
		g.Heights[i] = math.NaN()
	}
	for i, p := range r.points {
		x, y := (p[0]-west)/cellX, (p[1]-south)/cellX
		column, up := math.Round(x), math.Round(y)
		if math.Abs(x-column) > nearPost || math.Abs(y-up) > nearPost {
			r.fail(source.OutOfRange, r.rows[i], "this point does not stand in square with the others, %s m apart", spacingText(cellX)).With("save the heights as a grid")
			return nil
		}
		post := &g.Heights[(g.Rows-1-int(up))*g.Columns+int(column)]
		if !math.IsNaN(*post) {
			r.fail(source.Duplicate, r.rows[i], "there is a second point at the same place")
			return nil
		}
		*post = p[2]
	}
	return g
}

// spacing returns the least of one coordinate, how many posts it spans, and the least
// step between two of its values that differ by more than a centimetre.
func (r *pointReader) spacing(axis int) (least, posts, cell float64) {
	values := make([]float64, len(r.points))
	for i, p := range r.points {
		values[i] = p[axis]
	}
	slices.Sort(values)
	cell = math.NaN()
	for i := 1; i < len(values); i++ {
		if step := values[i] - values[i-1]; step > 0.01 && !(cell <= step) {
			cell = step
		}
	}
	first, last := values[0], values[len(values)-1]
	return first, math.Round((last-first)/cell) + 1, cell
}

func spacingText(x float64) string {
	if math.IsNaN(x) {
		return "0"
	}
	return strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64)
}
