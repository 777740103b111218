package place

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"rickyard/calc/land"
	"rickyard/calc/source"
)

// mostHeights bounds a grid; a square of 10 km at 2.5 m.
const mostHeights = 16_000_000

// Heights reads an ASCII grid. There is no grid where there is an error.
func Heights(f *source.File) (*land.Grid, []*source.Error) {
	r := heightReader{file: f, missing: -9999}
	g := r.read()
	if len(r.errs) > 0 {
		return nil, r.errs
	}
	return g, nil
}

type heightReader struct {
	file    *source.File
	at      int // where the next word is looked for
	missing float64
	errs    []*source.Error
}

// word returns the next word, empty at the end of the file.
func (r *heightReader) word() source.Span {
	text := r.file.Text
	from := r.at
	for from < len(text) && text[from] <= ' ' {
		from++
	}
	end := from
	for end < len(text) && text[end] > ' ' {
		end++
	}
	r.at = end
	return r.file.Span(from, end)
}

func (r *heightReader) fail(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
	e := source.Errorf(kind, at, format, args...)
	r.errs = append(r.errs, e)
	return e
}

// headings are the words of the heading; of corner and centre one of two is needed.
var headings = []string{"ncols", "nrows", "xllcorner", "yllcorner", "xllcenter", "yllcenter", "cellsize", "nodata_value"}

func (r *heightReader) read() *land.Grid {
	head, at := r.heading()
	if len(r.errs) > 0 {
		return nil
	}
	whole := func(name string) int {
		n := head[name]
		if !(n >= 1 && n <= mostHeights) || n != math.Trunc(n) {
			r.fail(source.OutOfRange, at[name], "%s must be a whole number from 1 to %d", name, mostHeights)
		}
		return int(n)
	}
	g := &land.Grid{Columns: whole("ncols"), Rows: whole("nrows"), Cell: head["cellsize"]}
	if !(g.Cell > 0) {
		r.fail(source.OutOfRange, at["cellsize"], "cellsize must be above 0 m")
	}
	if len(r.errs) == 0 && g.Rows > mostHeights/g.Columns {
		r.fail(source.Unsafe, at["nrows"], "%d times %d heights are more than %d", g.Rows, g.Columns, mostHeights).With("take a smaller piece of the map, or a wider cell")
	}
	if len(r.errs) > 0 {
		return nil
	}
	g.West, g.South = origin(head, "x", g.Cell), origin(head, "y", g.Cell)
	r.heights(g)
	return g
}

// origin is where the first post stands: in the middle of the corner's cell.
func origin(head map[string]float64, axis string, cell float64) float64 {
	if middle, ok := head[axis+"llcenter"]; ok {
		return middle
	}
	return head[axis+"llcorner"] + float64(cell/2)
}

// heading reads the lines before the heights.
func (r *heightReader) heading() (map[string]float64, map[string]source.Span) {
	values, at := map[string]float64{}, map[string]source.Span{}
	for {
		before := r.at
		key := r.word()
		name := strings.ToLower(strings.TrimPrefix(key.Text(), "\ufeff"))
		if name == "" || name[0] >= '0' && name[0] <= '9' || strings.ContainsRune("+-.", rune(name[0])) {
			r.at = before
			break
		}
		if !slices.Contains(headings, name) {
			e := r.fail(source.UnknownKey, key, "%s is no word of a grid's heading", clip(key.Text()))
			if near := source.Nearest(name, headings); near != "" {
				e.With("did you mean %s?", near)
			} else {
				e.With("expected ncols, nrows, xllcorner, yllcorner, cellsize and perhaps nodata_value")
			}
			return nil, nil
		}
		if _, twice := values[name]; twice {
			r.fail(source.Duplicate, key, "%s is given twice", name)
		}
		value := r.word()
		x, err := strconv.ParseFloat(value.Text(), 64)
		if err != nil || math.IsInf(x, 0) || math.IsNaN(x) && name != "nodata_value" {
			r.fail(source.WrongType, value, "%s is %q; expected a number", name, clip(value.Text()))
		}
		values[name], at[name] = x, value
	}
	for _, name := range []string{"ncols", "nrows", "cellsize"} {
		if _, ok := values[name]; !ok {
			r.fail(source.Missing, r.file.Span(0, 0), "the heading lacks %s", name)
		}
	}
	for _, axis := range []string{"x", "y"} {
		_, corner := values[axis+"llcorner"]
		_, middle := values[axis+"llcenter"]
		if corner == middle {
			r.fail(source.Missing, r.file.Span(0, 0), "the heading needs one of %[1]sllcorner and %[1]sllcenter", axis)
		}
	}
	if x, ok := values["nodata_value"]; ok {
		r.missing = x
	}
	return values, at
}

// Heights that are any on earth, in metres: the Dead Sea's floor and Everest, with
// room.
const lowest, highest = -800, 9000

func (r *heightReader) heights(g *land.Grid) {
	g.Heights = make([]float64, 0, min(g.Rows*g.Columns, len(r.file.Text)/2+1))
	for len(g.Heights) < g.Rows*g.Columns {
		w := r.word()
		if w.Start == w.End {
			r.fail(source.Missing, w, "the file ends after %d heights; expected %d rows of %d", len(g.Heights), g.Rows, g.Columns)
			return
		}
		x, err := height(w.Text())
		switch {
		case err == nil && (x == r.missing || math.IsNaN(x)):
			x = math.NaN()
		case err != nil || math.IsInf(x, 0):
			e := r.fail(source.WrongType, w, "%q is not a height; expected a number in metres", clip(w.Text()))
			if strings.Contains(w.Text(), ",") {
				e.With("write decimals with a point, and part heights by spaces")
			}
		case x < lowest || x > highest:
			r.fail(source.OutOfRange, w, "a height of %s m is none on earth", w.Text()).With("name the number that stands for unknown heights: nodata_value %s", w.Text())
		}
		if len(r.errs) == mostErrors {
			return
		}
		g.Heights = append(g.Heights, x)
	}
	if w := r.word(); w.Start < w.End {
		r.fail(source.Duplicate, w, "there are heights after the last of %d rows of %d", g.Rows, g.Columns).With("check ncols and nrows")
	}
}

// height reads a number. A plain one of at most 15 digits needs one division, which is
// as exact as the library's way and a good deal quicker; a grid has a million of them.
func height(text string) (float64, error) {
	digits, point, whole := 0, -1, 0
	rest := strings.TrimPrefix(text, "-")
	for i := range len(rest) {
		switch c := rest[i]; {
		case c >= '0' && c <= '9':
			digits, whole = digits+1, 10*whole+int(c-'0')
		case c == '.' && point < 0:
			point = i
		default:
			return strconv.ParseFloat(text, 64)
		}
		if digits > 15 {
			return strconv.ParseFloat(text, 64)
		}
	}
	if digits == 0 {
		return strconv.ParseFloat(text, 64)
	}
	x := float64(whole)
	if point >= 0 {
		x /= math.Pow10(len(rest) - 1 - point)
	}
	if len(rest) < len(text) {
		x = -x
	}
	return x, nil
}
