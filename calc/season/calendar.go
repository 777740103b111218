package season

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// An Event takes whole days, From up to and with To.
type Event struct {
	Name     string // never changes while the event is the same one: its identity
	Title    string
	About    string // may be empty
	Group    string // what it belongs to, such as a herd; may be empty
	Person   string // who does it; may be empty
	From, To Day
	Revision int // raised by each change that those who have it should see
}

// A Calendar is what goes into one file of dates.
type Calendar struct {
	Title  string
	Origin string // a domain-like name that makes identities the farm's own
	Stamp  Day    // the date of the edition, which stands for the time of writing
	Events []Event
}

// For returns the calendar of one person.
func (c Calendar) For(person string) Calendar {
	var own []Event
	for _, e := range c.Events {
		if e.Person == person {
			own = append(own, e)
		}
	}
	c.Events = own
	return c
}

// Text writes the calendar as RFC 5545 has it: lines end in CR LF and are folded
// at 75 octets between letters, the end of an event is the day after its last.
// The same calendar always gives the same bytes.
func (c Calendar) Text() string {
	var b strings.Builder
	line := func(name, value string) { fold(&b, name+":"+value) }
	line("BEGIN", "VCALENDAR")
	line("VERSION", "2.0")
	line("PRODID", "-//Rickyard//Year//EN")
	line("X-WR-CALNAME", escape(c.Title))
	for _, e := range c.Events {
		line("BEGIN", "VEVENT")
		line("UID", escape(e.Name+"@"+c.Origin))
		line("DTSTAMP", basic(c.Stamp)+"T000000Z")
		line("DTSTART;VALUE=DATE", basic(e.From))
		line("DTEND;VALUE=DATE", basic(max(e.From, e.To)+1))
		line("SEQUENCE", fmt.Sprint(e.Revision))
		line("SUMMARY", escape(e.Title))
		if e.About != "" {
			line("DESCRIPTION", escape(e.About))
		}
		if e.Group != "" {
			line("CATEGORIES", escape(e.Group))
		}
		line("TRANSP", "TRANSPARENT")
		line("END", "VEVENT")
	}
	line("END", "VCALENDAR")
	return b.String()
}

func basic(d Day) string { return strings.ReplaceAll(d.String(), "-", "") }

// escape writes a text value: RFC 5545 section 3.3.11. A line break of any kind
// becomes \n; other control characters have no place in a text and go.
func escape(text string) string {
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	text = strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\t' || r == 0x7f {
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, "\uFFFD"))
	return strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`).Replace(text)
}

// mostOctets is the longest line without its end: RFC 5545 section 3.1.
const mostOctets = 75

func fold(b *strings.Builder, line string) {
	room := mostOctets
	for len(line) > room {
		cut := room
		for !utf8.RuneStart(line[cut]) {
			cut--
		}
		b.WriteString(line[:cut] + "\r\n ")
		line, room = line[cut:], mostOctets-1
	}
	b.WriteString(line + "\r\n")
}
