package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"
)

const (
	bold = "\x1b[1m"
	red  = "\x1b[31m"
	dim  = "\x1b[2m"
)

// wantsColour reports whether w is a terminal whose user has not asked for
// plain text (https://no-color.org).
func wantsColour(w io.Writer) bool {
	if os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb" {
		return false
	}
	return isTerminal(w)
}

func isTerminal(w io.Writer) bool {
	file, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := file.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// A console is where a command speaks: results to out, all else to err. Each
// has colours of its own, for one may be a terminal and the other a file.
type console struct {
	out, err             io.Writer
	outColour, errColour bool
	all                  bool // mistakes and warnings are listed to the last
}

func newConsole(out, err io.Writer) *console {
	return &console{out: out, err: err, outColour: wantsColour(out), errColour: wantsColour(err)}
}

// paint colours a text for out.
func (c *console) paint(colour, text string) string { return painted(c.outColour, colour, text) }

// paintErr colours a text for err.
func (c *console) paintErr(colour, text string) string { return painted(c.errColour, colour, text) }

func painted(wanted bool, colour, text string) string {
	if !wanted {
		return text
	}
	return colour + text + "\x1b[0m"
}

// longestLine is the most characters of one line of an error that are shown.
// A cycle of many figures fits; a name of a megabyte does not.
const longestLine = 4000

// readable cuts lines that nobody would read to their end.
func readable(detail string) string {
	lines := strings.Split(detail, "\n")
	for i, line := range lines {
		if r := []rune(line); len(r) > longestLine {
			lines[i] = string(r[:longestLine]) + " ..."
		}
	}
	return strings.Join(lines, "\n")
}

// paintPlace makes the place and message of an error bold and its caret red.
func (c *console) paintPlace(detail string) string {
	lines := strings.Split(readable(detail), "\n")
	lines[0] = c.paintErr(bold, lines[0])
	for i, line := range lines[1:] {
		if strings.Trim(line, " ^") == "" && line != "" {
			lines[i+1] = c.paintErr(red, line)
		}
	}
	return strings.Join(lines, "\n")
}

// patience is how long a command works before it says what it is doing.
const patience = time.Second

// A progress says what is being done, once it takes longer than patience.
type progress struct {
	mu    sync.Mutex
	c     *console
	began time.Time
	shown bool
	last  time.Time
}

func (c *console) progress() *progress { return &progress{c: c, began: time.Now()} }

// say shows one step; on a terminal the line is written over.
func (p *progress) say(format string, args ...any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	now := time.Now()
	if now.Sub(p.began) < patience || now.Sub(p.last) < patience/10 {
		return
	}
	if !isTerminal(p.c.err) {
		if p.shown {
			return // one line is enough in a log
		}
		fmt.Fprintf(p.c.err, format+"\n", args...)
	} else {
		fmt.Fprintf(p.c.err, "\r\x1b[K"+format, args...)
	}
	p.shown, p.last = true, now
}

// done clears the progress line.
func (p *progress) done() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.shown && isTerminal(p.c.err) {
		fmt.Fprint(p.c.err, "\r\x1b[K")
	}
}

// heed shows what publishing warns of, and hands its error on.
func (c *console) heed(warnings []string, err error) error {
	for _, w := range warnings {
		fmt.Fprintln(c.err, c.paintErr(red, "rickyard:"), w)
	}
	return err
}
