package season

// A Term is how long an animal carries or sits, in days. Published means differ
// by breed and book, and so do animals: a term is a window and never one day.
type Term struct{ Least, Usual, Most int }

// A Due is when young are to be looked for: the first day, the likeliest, the last.
type Due struct{ First, Likely, Last Day }

// From returns when what was served or set on a day is due.
func (t Term) From(served Day) Due {
	return t.Joined(served, served)
}

// Joined returns when young are due where males run with females from one day up
// to and with another; the likeliest day is that of a service on the first.
func (t Term) Joined(first, last Day) Due {
	return Due{first + Day(t.Least), first + Day(t.Usual), last + Day(t.Most)}
}

// For returns the day to serve or to set for a likeliest day of birth or hatch.
func (t Term) For(wanted Day) Day { return wanted - Day(t.Usual) }
