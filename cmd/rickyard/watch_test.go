package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// A buffer may be written to by one goroutine and read by another.
type buffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (b *buffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.Write(p)
}

func (b *buffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.String()
}

// A watched workbook is one that rickyard watch serves.
type watched struct {
	*testing.T
	dir, address string
	out, err     *buffer
	events       chan string // ids of states
}

// startWatch serves a copy of a workbook until the test ends.
func startWatch(t *testing.T, dir string, options watchCommand) *watched {
	t.Helper()
	t.Setenv("XDG_CACHE_HOME", cacheHome(t))
	w := &watched{T: t, dir: dir, out: &buffer{}, err: &buffer{}, events: make(chan string, 100)}
	ctx, cancel := context.WithCancel(context.Background())
	ready, ended := make(chan string, 1), make(chan error, 1)
	go func() {
		ended <- options.watch(ctx, dir, newConsole(w.out, w.err), func(address string) { ready <- address })
	}()
	t.Cleanup(func() {
		cancel()
		select {
		case err := <-ended:
			if err != nil {
				t.Errorf("watch ended with: %v", err)
			}
		case <-time.After(longestRun):
			t.Error("watch does not end")
		}
	})
	select {
	case w.address = <-ready:
	case err := <-ended:
		ended <- nil
		t.Fatalf("watch ended at once: %v", err)
	case <-time.After(longestRun):
		t.Fatal("watch does not start")
	}
	w.listen(ctx)
	return w
}

// listen hears the states that the server tells of.
func (w *watched) listen(ctx context.Context) {
	w.Helper()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, strings.TrimSuffix(w.address, "/")+eventsAddress, nil)
	if err != nil {
		w.Fatal(err)
	}
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		w.Fatal(err)
	}
	if kind := response.Header.Get("Content-Type"); kind != "text/event-stream" {
		w.Fatalf("events are %s", kind)
	}
	go func() {
		defer response.Body.Close()
		for lines := bufio.NewScanner(response.Body); lines.Scan(); {
			if id, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				w.events <- id
			}
		}
	}()
}

// next waits for the server to tell of a state.
func (w *watched) next() string {
	w.Helper()
	select {
	case id := <-w.events:
		return id
	case <-time.After(longestRun):
		w.Fatalf("nothing was told\n%s%s", w.out, w.err)
		return ""
	}
}

func (w *watched) get(path string) (int, string) {
	w.Helper()
	response, err := http.Get(w.address + path)
	if err != nil {
		w.Fatal(err)
	}
	defer response.Body.Close()
	raw, err := io.ReadAll(response.Body)
	if err != nil {
		w.Fatal(err)
	}
	return response.StatusCode, string(raw)
}

func (w *watched) page(path string) string {
	w.Helper()
	code, text := w.get(path)
	if code != http.StatusOK {
		w.Errorf("%s: %d", path, code)
	}
	return text
}

func (w *watched) has(text, part string, want bool) {
	w.Helper()
	if strings.Contains(text, part) != want {
		w.Errorf("contains %q: %v, want %v in\n%.2000s", part, !want, want, text)
	}
}

func TestWatch(t *testing.T) {
	dir := copyFolder(t, small)
	w := startWatch(t, dir, watchCommand{})
	first := w.next()
	prices := filepath.Join(dir, "data", "prices.yaml")

	page := w.page("money.html")
	w.has(page, "connect-src 'self'", true)
	w.has(page, `data-state="`+first+`"`, true)
	w.has(page, "error-box", false)
	w.has(page, "$13.00/jar", true) // 60 % at 12.00 and 40 % at 14.50
	w.has(w.page(""), "The money", true)
	w.has(w.page(strings.TrimPrefix(scriptAddress, "/")), "EventSource", true)
	w.has(w.page("pictures/hive.svg"), "<svg", true)
	if code, _ := w.get("no-such-page.html"); code != http.StatusNotFound {
		t.Errorf("a page that is not there: %d", code)
	}
	// What is published is for readers and knows nothing of the watch.
	published := filepath.Join(dir, "public", "money.html")
	w.has(read(t, published), "connect-src", false)
	w.has(read(t, published), ".rickyard", false)

	// A price is saved.
	replace(t, prices, "14.50 USD/jar", "17 USD/jar")
	second := w.next()
	if second == first {
		t.Error("the state is told twice")
	}
	w.has(w.page("money.html"), "$14.00/jar", true)
	w.has(read(t, published), "$14.00/jar", true)

	// A mistake is saved: pages stay, with the mistake at their top.
	replace(t, prices, "market: 17 USD/jar", "markt: 17 USD/jar")
	w.next()
	page = w.page("money.html")
	w.has(page, `<main id="main" tabindex="-1"><div class="error-box" role="alert">`, true)
	w.has(page, "data/prices.yaml:9:7", true)
	w.has(page, "$14.00/jar", true)
	w.has(w.err.String(), "data/prices.yaml:9:7", true)
	w.has(w.page("workbook.html"), "error-box", true)
	w.has(read(t, published), "error-box", false)
	w.has(read(t, published), "$14.00/jar", true)

	// It is mended as some editors save: a new file takes the old one's place.
	mended := filepath.Join(dir, "data", "prices.yaml.new")
	write(t, mended, strings.Replace(read(t, prices), "markt: 17 USD/jar", "market: 14.50 USD/jar", 1))
	if err := os.Rename(mended, prices); err != nil {
		t.Fatal(err)
	}
	w.next()
	page = w.page("money.html")
	w.has(page, "error-box", false)
	w.has(page, "$13.00/jar", true)

	// A new folder is watched too.
	write(t, filepath.Join(dir, "content", "more", "dot.svg"), `<svg xmlns="http://www.w3.org/2000/svg"/>`)
	replace(t, filepath.Join(dir, "content", "02-money.md"), "Back to", "![A dot](more/dot.svg)\n\nBack to")
	w.next()
	w.page("more/dot.svg")
	write(t, filepath.Join(dir, "content", "more", "dot.svg"), `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"/>`)
	w.next()
	w.has(w.page("more/dot.svg"), "viewBox", true)

	// Saving what changes nothing tells nothing; a new chapter does.
	write(t, prices, read(t, prices))
	write(t, filepath.Join(dir, "data", "notes.txt"), "call the county")
	write(t, filepath.Join(dir, "content", "03-wax.md"), "```chapter\ntitle: Wax\n```\n\nCandles.\n")
	id := w.next()
	w.has(w.page("wax.html"), "Candles", true)
	w.has(w.page("wax.html"), id, true)

	// Data is taken away as a whole and put back.
	data, away := filepath.Join(dir, "data"), filepath.Join(dir, "away")
	if err := os.Rename(data, away); err != nil {
		t.Fatal(err)
	}
	w.next()
	w.has(w.page("money.html"), "error-box", true)
	if err := os.Rename(away, data); err != nil {
		t.Fatal(err)
	}
	w.next()
	w.has(w.page("money.html"), "error-box", false)
	replace(t, prices, "14.50 USD/jar", "17 USD/jar")
	w.next()
	w.has(w.page("money.html"), "$14.00/jar", true)
}

// A workbook with mistakes is served as well: as it was last published, or if
// it never was, the mistakes alone.
func TestWatchBeginsWithMistakes(t *testing.T) {
	dir := copyFolder(t, small)
	chapter := filepath.Join(dir, "content", "02-money.md")
	replace(t, chapter, "`calc: bees.break_even_price`", "`calc: bees.brek_even_price`")
	w := startWatch(t, dir, watchCommand{})
	w.next()
	page := w.page("money.html")
	w.has(page, "did you mean bees.break_even_price?", true)
	w.has(page, `class="error-box"`, true)
	w.has(page, scriptAddress, true)
	if _, err := os.Stat(filepath.Join(dir, "public")); err == nil {
		t.Error("a workbook with mistakes was published")
	}
	replace(t, chapter, "bees.brek_even_price", "bees.break_even_price")
	w.next()
	w.has(w.page("money.html"), `class="error-box"`, false)

	replace(t, chapter, "bees.break_even_price", "bees.brek_even_price")
	again := startWatch(t, dir, watchCommand{})
	again.next()
	page = again.page("money.html")
	again.has(page, "did you mean bees.break_even_price?", true)
	again.has(page, "What a jar costs", true) // as published before
}

func TestWatchEscapesMistakes(t *testing.T) {
	dir := copyFolder(t, small)
	replace(t, filepath.Join(dir, "content", "02-money.md"), "`calc: bees.break_even_price`", "`calc: <script>alert(1)</script>`")
	w := startWatch(t, dir, watchCommand{})
	w.has(w.page("money.html"), "<script>alert", false)
	w.has(w.page("%3Cscript%3Ealert(1)"), "<script>alert", false)
}

func TestWatchAnswersThisComputerAlone(t *testing.T) {
	dir := copyFolder(t, small)
	w := startWatch(t, dir, watchCommand{})
	if !strings.HasPrefix(w.address, "http://127.0.0.1:") {
		t.Errorf("served at %s", w.address)
	}
	port := w.address[strings.LastIndexByte(w.address, ':')+1 : len(w.address)-1]
	for _, c := range []struct {
		method, host, path string
		code               int
	}{
		{"GET", "127.0.0.1:" + port, "/", 200},
		{"GET", "localhost:" + port, "/", 200},
		{"HEAD", "LOCALHOST:" + port, "/", 200},
		{"GET", "evil.example", "/", 403},
		{"GET", "evil.example:" + port, "/figures.json", 403},
		{"GET", "127.0.0.1.evil.example:" + port, "/", 403},
		{"GET", "localhost.evil.example", eventsAddress, 403},
		{"GET", "[::ffff:7f00:1]:" + port, "/", 403},
		{"POST", "127.0.0.1:" + port, "/", 405},
		{"GET", "127.0.0.1:" + port, "/../../etc/passwd", 404},
		{"GET", "127.0.0.1:" + port, "/%2e%2e/data/farm.yaml", 404},
		{"GET", "127.0.0.1:" + port, "/data/farm.yaml", 404},
	} {
		// Written by hand, for the client would mend such requests.
		line, err := net.Dial("tcp", "127.0.0.1:"+port)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := fmt.Fprintf(line, "%s %s HTTP/1.1\r\nHost: %s\r\n\r\n", c.method, c.path, c.host); err != nil {
			t.Fatal(err)
		}
		response, err := http.ReadResponse(bufio.NewReader(line), &http.Request{Method: c.method})
		if err != nil {
			t.Fatal(err)
		}
		line.Close()
		if response.StatusCode != c.code {
			t.Errorf("%s %s at %s: %d, want %d", c.method, c.path, c.host, response.StatusCode, c.code)
		}
		if got := response.Header.Get("Access-Control-Allow-Origin"); got != "" {
			t.Errorf("pages of %s may read this", got)
		}
	}
	// The port is taken now.
	taken, err := strconv.Atoi(port)
	if err != nil {
		t.Fatal(err)
	}
	err = (&watchCommand{Port: taken}).watch(t.Context(), dir, newConsole(io.Discard, io.Discard), func(string) {})
	if err == nil || !strings.Contains(err.Error(), "--port") {
		t.Errorf("a port that is taken: %v", err)
	}
	// Nor does a watch write over what it did not make.
	write(t, filepath.Join(dir, "elsewhere", "letter.txt"), "mine")
	err = (&watchCommand{Out: filepath.Join(dir, "elsewhere")}).watch(t.Context(), dir, newConsole(io.Discard, io.Discard), func(string) {})
	if err == nil || !strings.Contains(err.Error(), "letter.txt") {
		t.Errorf("a folder with a strange file: %v", err)
	}
}

// The command itself says where it serves, and ends well on Ctrl-C.
func TestWatchEndsOnInterrupt(t *testing.T) {
	ctx, cancel := context.WithTimeout(t.Context(), longestRun)
	defer cancel()
	c := commandFor(ctx, t, copyFolder(t, small), "watch", "--port", "0")
	var errOut bytes.Buffer
	c.Stderr = &errOut
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	address := regexp.MustCompile(`http://127\.0\.0\.1:\d+/`)
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if at := address.FindString(lines.Text()); at != "" {
			// An open page must not hold it up.
			response, err := http.Get(strings.TrimSuffix(at, "/") + eventsAddress)
			if err != nil {
				t.Fatal(err)
			}
			defer response.Body.Close()
			break
		}
	}
	if err := c.Process.Signal(os.Interrupt); err != nil {
		_ = c.Process.Kill()
		t.Skip("this system has no interrupt to send:", err)
	}
	_, _ = io.Copy(io.Discard, out)
	if err := c.Wait(); err != nil {
		exit, _ := err.(*exec.ExitError)
		t.Errorf("%v %v\n%s", err, exit, errOut.String())
	}
}
