package season

import "testing"

// Usual lengths and windows: cow 283 (279-292), sow 114 (111-120), ewe 147
// (142-155), goat 150 (145-155), mare 340 (326-354), rabbit 31 (28-35), several
// veterinary and extension pages; published means differ by breed, of cows from
// 274 to 290 days.
var (
	cow    = Term{279, 283, 292}
	sow    = Term{111, 114, 120}
	ewe    = Term{142, 147, 155}
	goat   = Term{145, 150, 155}
	mare   = Term{326, 340, 354}
	rabbit = Term{28, 31, 35}
)

// Calendar arithmetic on the usual lengths.
func TestBirths(t *testing.T) {
	for _, c := range []struct {
		term         Term
		served, want string
	}{
		{cow, "2025-03-01", "2025-12-09"}, {sow, "2025-03-01", "2025-06-23"}, {ewe, "2025-03-01", "2025-07-26"},
		{goat, "2025-03-01", "2025-07-29"}, {mare, "2025-03-01", "2026-02-04"},
		{ewe, "2026-11-05", "2027-04-01"}, {sow, "2026-11-05", "2027-02-27"}, {cow, "2026-11-05", "2027-08-15"},
		{goat, "2026-11-05", "2027-04-04"}, {rabbit, "2026-11-05", "2026-12-06"}, {mare, "2026-11-05", "2027-10-11"},
		// Some run over 29 February 2028.
		{ewe, "2027-08-20", "2028-01-14"}, {cow, "2027-08-20", "2028-05-29"}, {mare, "2027-08-20", "2028-07-25"},
		// A university teacher's code lesson: a sow served on 28 May 2020.
		{sow, "2020-05-28", "2020-09-19"},
		{rabbit, "2026-01-10", "2026-02-10"},
		// Eggs set on 1 April: hens 21 days, turkeys 28; Mississippi State
		// University Extension.
		{Term{20, 21, 22}, "2025-04-01", "2025-04-22"}, {Term{27, 28, 29}, "2025-04-01", "2025-04-29"},
	} {
		due := c.term.From(on(t, c.served))
		if due.Likely.String() != c.want {
			t.Errorf("served on %s: due on %v, want %s", c.served, due.Likely, c.want)
		}
		if back := c.term.For(due.Likely); back.String() != c.served {
			t.Errorf("for %s served on %v, want %s", c.want, back, c.served)
		}
	}
	// A sheep page prints the window of 142 to 152 days for a ewe.
	due := Term{142, 147, 152}.From(on(t, "2025-11-20"))
	if due != (Due{on(t, "2026-04-11"), on(t, "2026-04-16"), on(t, "2026-04-21")}) {
		t.Errorf("a ewe served on 20 November is due %v", due)
	}
	// The ram runs from 15 October for two cycles, its last day 17 November.
	due = Term{142, 147, 152}.Joined(on(t, "2026-10-15"), on(t, "2026-11-17"))
	if due.First != on(t, "2027-03-06") || due.Last != on(t, "2027-04-18") {
		t.Errorf("two cycles are due %v", due)
	}
	if ram := ewe.For(on(t, "2027-04-01")); ram.String() != "2026-11-05" {
		t.Errorf("for April the ram goes in on %v", ram)
	}
	// One hatch day, 20 April 2026: Muscovy ducks 35 days, turkeys and ducks 28,
	// hens 21, quail 17; a poultry teaching page.
	for days, want := range map[int]string{35: "2026-03-16", 28: "2026-03-23", 21: "2026-03-30", 17: "2026-04-03"} {
		if set := (Term{Usual: days}).For(on(t, "2026-04-20")); set.String() != want {
			t.Errorf("eggs of %d days are set on %v, want %s", days, set, want)
		}
	}
	// Counting back over 29 February takes real days; 14 weeks before 10 April.
	if sown := on(t, "2028-04-10") - 14*7; sown.String() != "2028-01-03" {
		t.Errorf("14 weeks before 10 April 2028 is %v", sown)
	}
	// Eight weeks before a last frost on 15 May, 143 days from it to 5 October.
	if sown := on(t, "2026-05-15") - 8*7; sown.String() != "2026-03-20" {
		t.Errorf("eight weeks before 15 May is %v", sown)
	}
	if free := on(t, "2026-10-05") - on(t, "2026-05-15"); free != 143 {
		t.Errorf("%d frost-free days", free)
	}
	// 6 to 8 weeks before 22 May: 10 April to 27 March.
	if late, early := on(t, "2026-05-22")-6*7, on(t, "2026-05-22")-8*7; late.String() != "2026-04-10" || early.String() != "2026-03-27" {
		t.Errorf("%v to %v", early, late)
	}
}
