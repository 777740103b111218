package sheet

import (
	"cmp"
	"slices"
	"strings"
)

// Sort puts the lines of a table without sums in order: "largest" or
// "smallest" by a value, or by "name". Rows of other kinds keep their place
// among themselves, behind the lines.
func Sort(t *Table, how string, value func(Row) float64) {
	slices.SortStableFunc(t.Rows, func(a, b Row) int {
		if (a.Kind == Line) != (b.Kind == Line) {
			if a.Kind == Line {
				return -1
			}
			return 1
		}
		switch how {
		case "largest":
			return cmp.Compare(value(b), value(a))
		case "smallest":
			return cmp.Compare(value(a), value(b))
		}
		return strings.Compare(strings.ToLower(a.Label.String()), strings.ToLower(b.Label.String()))
	})
}
