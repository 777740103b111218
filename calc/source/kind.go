package source

// A Kind says what sort of thing an error reports, with what is needed to
// answer it, so that callers never match on its text.
type Kind interface {
	// Sort is the kind in a word or two, as "wrong unit".
	Sort() string
}

type plainKind string

func (s plainKind) Sort() string { return string(s) }

// The kinds that need nothing but their place to be understood.
const (
	Syntax     plainKind = "syntax"      // the text can't be read
	UnknownKey plainKind = "unknown key" // a key or option that is not defined
	UnknownRef plainKind = "unknown name"
	Duplicate  plainKind = "duplicate"
	Missing    plainKind = "missing"
	WrongUnit  plainKind = "wrong unit"
	WrongType  plainKind = "wrong type"
	OutOfRange plainKind = "out of range"
	Cycle      plainKind = "cycle"
	NotFinite  plainKind = "not a number" // division by zero, overflow
	Unsafe     plainKind = "unsafe"       // a path out of the book, a bomb, a limit passed
	IO         plainKind = "file"
	Hardly     plainKind = "hardly meant" // possible, and still most likely a slip
)

// Unknown is the kind of an error that names something that is not there. All
// that name the same, or anything under it, have one cause.
type Unknown struct {
	Name  string // as broilers or broilers.net_margin
	Scope string // where it was looked up first: there it may be missing because all of the scope is
}

// Sort implements Kind.
func (Unknown) Sort() string { return "unknown name" }
