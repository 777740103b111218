package source

import (
	"strings"
	"testing"
)

func TestNearest(t *testing.T) {
	names := []string{
		"kg", "g", "A", "GBP", "day", "days", "acre", "farm.savings", "farm.target_income",
		"broilers.live_weight", "broilers.sold", "Grünland", "layers.sold", "x.q",
	}
	tests := []struct{ why, word, want string }{
		{"one letter missing", "farm.target_incme", "farm.target_income"},
		{"one letter too many", "farm.savingss", "farm.savings"},
		{"one letter wrong", "farm.sevings", "farm.savings"},
		{"neighbours swapped", "farm.svaings", "farm.savings"},
		{"case", "gbp", "GBP"},
		{"case of a short one", "KG", "kg"},
		{"an umlaut is one letter", "Grunland", "Grünland"},
		{"the last part alone", "live_weight", "broilers.live_weight"},
		{"the last part misspelt", "live_wieght", "broilers.live_weight"},
		{"a tie goes to the first by the alphabet", "sold", "broilers.sold"},
		{"the name itself before its neighbour", "days", "days"},
		{"a third of the word at most", "acmo", ""},
		{"nothing alike", "tractor", ""},
		{"one letter shares nothing with another", "z", ""},
		{"one letter that is a last part", "q", "x.q"},
		{"one letter by its case", "a", "A"},
		{"no word", "", ""},
		{"a dotted word is not cut up", "prices.sold", ""},
		{"a very long word", strings.Repeat("kg", 5000), ""},
	}
	for _, test := range tests {
		t.Run(test.why, func(t *testing.T) {
			if got := Nearest(test.word, names); got != test.want {
				t.Errorf("Nearest(%.40q) = %q, want %q", test.word, got, test.want)
			}
		})
	}
	if got := Nearest("kg", nil); got != "" {
		t.Errorf("nearest of none = %q", got)
	}
	if got := Nearest("k", []string{strings.Repeat("k", 10_000)}); got != "" {
		t.Errorf("a name of 10 000 letters was taken for k")
	}
	if names[0] != "kg" {
		t.Error("Nearest sorted the caller's names")
	}
}

// The distances of these pairs are those of the restricted Damerau-Levenshtein
// distance; CA to ABC is 3 in it (2 without the restriction), after the
// encyclopaedia's example. From memory, and counted by hand.
func TestDistance(t *testing.T) {
	tests := []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"ca", "abc", 3},
		{"ab", "ba", 1}, {"", "abc", 3}, {"abc", "abc", 0}, {"hen", "then", 1}, {"£1", "$1", 1},
	}
	for _, test := range tests {
		for _, pair := range [][2]string{{test.a, test.b}, {test.b, test.a}} {
			if got := distance([]rune(pair[0]), []rune(pair[1]), 99); got != test.want {
				t.Errorf("distance(%q, %q) = %d, want %d", pair[0], pair[1], got, test.want)
			}
		}
		if test.want > 0 {
			if got := distance([]rune(test.a), []rune(test.b), test.want); got != test.want {
				t.Errorf("distance(%q, %q) beyond its limit = %d, want %d", test.a, test.b, got, test.want)
			}
		}
	}
}
