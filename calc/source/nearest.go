package source

import (
	"slices"
	"strings"
)

// Nearest returns the name among those known that a user most likely meant by
// word, or "" if none is close: the smallest edit distance (insertions,
// deletions, substitutions and swaps of neighbours, case ignored) of at most a
// third of the word, and never the whole of it. A name with dots is also compared by its last part.
// Ties go to the first in alphabetical order.
func Nearest(word string, known []string) string {
	lower := []rune(strings.ToLower(word))
	if len(lower) == 0 || len(lower) > longestName {
		return ""
	}
	limit := min(max(1, len(lower)/3), len(lower)-1) + 1
	best, bestDistance := "", limit
	for _, name := range slices.Sorted(slices.Values(known)) {
		other := strings.ToLower(name)
		d := distance(lower, []rune(other), bestDistance)
		if dot := strings.LastIndexByte(other, '.'); dot >= 0 && !strings.Contains(word, ".") {
			// A match of the last part alone is a little less likely.
			last := distance(lower, []rune(other[dot+1:]), limit)
			if last < limit {
				d = min(d, last+1)
			}
			if last == 0 && best == "" && bestDistance <= 1 {
				best = name // the whole of a very short word
			}
		}
		if d < bestDistance {
			best, bestDistance = name, d
		}
	}
	return best
}

// longestName bounds the words that are compared: the work grows with the
// square of their length.
const longestName = 200

// distance is the restricted Damerau-Levenshtein distance of a and b, or
// limit if it is at least that.
func distance(a, b []rune, limit int) int {
	if abs(len(a)-len(b)) >= limit || len(b) > longestName {
		return limit
	}
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return min(last[len(b)], limit)
}

func abs(x int) int {
	if x < 0 {
		return -x
	}
	return x
}
