package season

import (
	"strings"
	"testing"

	ics "github.com/arran4/golang-ical"
)

func unfolded(text string) string { return strings.ReplaceAll(text, "\r\n ", "") }

// The calendar is read back by a library, as a telephone would.
func TestCalendarReadBack(t *testing.T) {
	c := Calendar{Title: "Long Leas, 2026", Origin: "longleas.example", Stamp: on(t, "2026-01-15"), Events: []Event{
		{Name: "beans-1", Title: `Sow beans, peas; see C:\plan`, About: "Two rows.\nNet them: \"pigeons\".", Group: "Garden", Person: "Ana", From: on(t, "2026-06-05"), To: on(t, "2026-06-05")},
		{Name: "batch-2", Title: strings.Repeat("é", 60), Person: "Ben", From: on(t, "2026-04-10"), To: on(t, "2026-04-12"), Revision: 3},
		{Name: "leap", Title: "Hedge", From: on(t, "2028-02-28"), To: on(t, "2028-03-01")},
	}}
	text := c.Text()
	read, err := ics.ParseCalendar(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	events := read.Events()
	if len(events) != 3 {
		t.Fatalf("%d events come back", len(events))
	}
	// All-day events: the end is the day after the last, RFC 5545 section 3.6.1.
	for i, want := range [][2]string{{"20260605", "20260606"}, {"20260410", "20260413"}, {"20280228", "20280302"}} {
		e := events[i]
		from, to := e.GetProperty(ics.ComponentPropertyDtStart), e.GetProperty(ics.ComponentPropertyDtEnd)
		if from.Value != want[0] || to.Value != want[1] || from.ICalParameters["VALUE"][0] != "DATE" {
			t.Errorf("event %d runs from %s to %s, want %v", i, from.Value, to.Value, want)
		}
		if got := e.Id(); got != c.Events[i].Name+"@longleas.example" {
			t.Errorf("event %d is known as %s", i, got)
		}
		if got := e.GetProperty(ics.ComponentPropertyDtstamp).Value; got != "20260115T000000Z" {
			t.Errorf("event %d is stamped %s", i, got)
		}
		if got := e.GetProperty(ics.ComponentPropertySummary).Value; got != c.Events[i].Title {
			t.Errorf("event %d is called %q", i, got)
		}
	}
	if got := events[0].GetProperty(ics.ComponentPropertyCategories); got == nil || got.Value != "Garden" {
		t.Errorf("the group reads %v", got)
	}
	if events[1].GetProperty(ics.ComponentPropertyCategories) != nil || events[1].GetProperty(ics.ComponentPropertyDescription) != nil {
		t.Error("an event has a group or a note that nobody gave it")
	}
	if got := events[0].GetProperty(ics.ComponentPropertyDescription).Value; got != c.Events[0].About {
		t.Errorf("the note reads %q", got)
	}
	if got := events[1].GetProperty(ics.ComponentPropertySequence).Value; got != "3" {
		t.Errorf("the revision reads %s", got)
	}
	if c.Text() != text {
		t.Error("the same calendar gives other bytes")
	}
	if own := c.For("Ana"); len(own.Events) != 1 || own.Events[0].Name != "beans-1" || len(c.Events) != 3 {
		t.Errorf("Ana's calendar is %v", own.Events)
	}
}

// RFC 5545 sections 3.1 (lines of at most 75 octets, CR LF) and 3.3.11 (text).
func TestCalendarLines(t *testing.T) {
	folded := func(line string) []string {
		var b strings.Builder
		fold(&b, line)
		return strings.Split(strings.TrimSuffix(b.String(), "\r\n"), "\r\n")
	}
	lengths := func(lines []string) (n []int) {
		for _, l := range lines {
			n = append(n, len(l))
		}
		return n
	}
	for _, c := range []struct {
		line string
		want []int
	}{
		{"SUMMARY:" + strings.Repeat("a", 67), []int{75}},
		{"SUMMARY:" + strings.Repeat("a", 68), []int{75, 2}},
		{"SUMMARY:" + strings.Repeat("é", 60), []int{74, 55}},
		{"SUMMARY:" + strings.Repeat("a", 67+74), []int{75, 75}},
		{"SUMMARY:" + strings.Repeat("a", 67+75), []int{75, 75, 2}},
		{"DESCRIPTION:This is a long description that exists on a long line.", []int{66}},
	} {
		lines := folded(c.line)
		if got := lengths(lines); !equal(got, c.want) {
			t.Errorf("%.20q folds into %v octets, want %v", c.line, got, c.want)
		}
		if got := unfolded(strings.Join(lines, "\r\n")); got != c.line {
			t.Errorf("%q unfolds into %q", c.line, got)
		}
	}
	for in, want := range map[string]string{
		"Sow beans, peas; see C:\\plan\n": `Sow beans\, peas\; see C:\\plan\n`,
		"abc:d;e":                         `abc:d\;e`,
		"a\r\nb\rc":                       `a\nb\nc`,
		"say \"when\"\x07\tnow":           "say \"when\"\tnow",
	} {
		if got := escape(in); got != want {
			t.Errorf("%q is written %q, want %q", in, got, want)
		}
	}
	text := Calendar{Title: "x\ny", Events: []Event{{Title: "a", From: 1, To: 0}}}.Text()
	if strings.Contains(strings.ReplaceAll(text, "\r\n", ""), "\n") {
		t.Error("a line ends without CR")
	}
	// An event that would end before it begins takes its one day.
	if !strings.Contains(text, "DTSTART;VALUE=DATE:19700102\r\nDTEND;VALUE=DATE:19700103\r\n") {
		t.Errorf("the short event reads\n%s", text)
	}
}

func equal(a, b []int) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
