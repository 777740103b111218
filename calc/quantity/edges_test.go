package quantity

import "testing"

// TestPartsOfGallons: NIST Handbook 44, appendix C, and NIST SP 811: a gallon is
// four quarts and eight pints; of fluid ounces 128 in America and 160 in Britain.
func TestPartsOfGallons(t *testing.T) {
	s, err := NewSystem("GBP", []Thing{{Name: "hen"}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		parts  float64
		of, in string
	}{{4, "usqt", "usgal"}, {8, "uspt", "usgal"}, {128, "usfloz", "usgal"}, {4, "impqt", "impgal"}, {8, "imppt", "impgal"}, {160, "impfloz", "impgal"}, {8, "impgal", "impbu"}} {
		part, whole := s.Must(c.of), s.Must(c.in)
		if got := whole.FromBase(part.ToBase(c.parts)); got < 1-1e-12 || got > 1+1e-12 {
			t.Errorf("%v %s are %v %s", c.parts, c.of, got, c.in)
		}
	}
	if q, err := s.Parse("5 hen"); err != nil || q.Value != 5 {
		t.Errorf("five hens are %v (%v)", q.Value, err)
	}
}

// TestLot: a round sum is a thousand, or a hundred thousand of money without
// decimals. The decimals are those of ISO 4217.
func TestLot(t *testing.T) {
	for code, want := range map[string]float64{"GBP": 1000, "JPY": 100_000, "KWD": 1000} {
		s, err := NewSystem(code, nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Lot(); got != want {
			t.Errorf("a lot of %s is %v, want %v", code, got, want)
		}
	}
}
