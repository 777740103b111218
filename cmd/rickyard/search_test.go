package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// openForTest opens the browser, or skips the test where there is none.
func openForTest(t testing.TB) *printer {
	t.Helper()
	browser, err := findBrowser("")
	if err != nil {
		if os.Getenv(needBrowser) != "" {
			t.Fatal(err)
		}
		t.Skip("no browser on this machine")
	}
	p, err := openPrinter(context.Background(), browser)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(p.close)
	return p
}

// demoPages builds the demo workbook into a folder of the test's own.
func demoPages(t testing.TB) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "built")
	var out strings.Builder
	if code := run([]string{"--dir", "../..", "build", "--out", dir}, &out, &out); code != 0 {
		t.Fatalf("build: %s", out.String())
	}
	return dir
}

func TestSearch(t *testing.T) {
	p := openForTest(t)
	dir := demoPages(t)
	ctx, cancel := context.WithTimeout(p.ctx, 2*time.Minute)
	defer cancel()
	hits := func(query string) []string {
		t.Helper()
		err := chromedp.Do(ctx,
			chromedp.Focus("#find"),
			chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
				_, err := chromedp.Run(ctx, chromedp.Evaluate[string]("document.querySelector('#find').value = ''"))
				return err
			}),
			chromedp.SendKeys("#find", query),
			chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
				_, err := chromedp.Run(ctx, chromedp.Poll[bool]("document.querySelector('.find [role=status]').textContent !== ''"))
				return err
			}),
		)
		if err != nil {
			t.Fatalf("%s: %v", query, err)
		}
		got, err := chromedp.Run(ctx, chromedp.Evaluate[[]string]("[...document.querySelectorAll('.found a')].map(a => a.querySelector('b').textContent + ' -> ' + a.getAttribute('href'))"))
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	for _, c := range []struct{ file, query, first string }{
		{"index.html", "what a year must", "What a year must bring -> goal.html#what-a-year-must-bring"},
		{"index.html", "room to sp", "Room to spare -> goal.html#w-goal.to_spare"},
		{"broilers.html", "KILLING-OUT perc", "Killing-out percentage -> glossary.html#d-killing-out-percentage"},
		{"goal.html", "dentist", "What a year must bring -> goal.html#what-a-year-must-bring"},
		{"workbook.html", "dentist", "What a year must bring -> #goal--what-a-year-must-bring"},
		{"workbook.html", "killing-out perc", "Killing-out percentage -> #d-killing-out-percentage"},
	} {
		if err := chromedp.Do(ctx, chromedp.Navigate(fileURL(filepath.Join(dir, c.file)))); err != nil {
			t.Fatal(err)
		}
		got := hits(c.query)
		if len(got) == 0 || got[0] != c.first {
			t.Errorf("%s, %q: got %q, want first %q", c.file, c.query, got, c.first)
		}
	}
	if got := hits("zzqqx"); len(got) != 0 {
		t.Errorf("a word that is nowhere finds %q", got)
	}
	// By keyboard alone: down to the first, up to the field, Escape shuts.
	if err := chromedp.Do(ctx, chromedp.Navigate(fileURL(filepath.Join(dir, "goal.html")))); err != nil {
		t.Fatal(err)
	}
	hits("net margin")
	focus := func(want string, keys ...string) {
		t.Helper()
		for _, key := range keys {
			if err := chromedp.Do(ctx, chromedp.KeyEvent(key)); err != nil {
				t.Fatal(err)
			}
		}
		got, err := chromedp.Run(ctx, chromedp.Evaluate[string]("document.activeElement.id || document.activeElement.closest('li') && 'hit ' + [...document.activeElement.closest('ol').children].indexOf(document.activeElement.closest('li'))"))
		if err != nil {
			t.Fatal(err)
		}
		if got != want {
			t.Errorf("after %q the focus is on %q, want %q", keys, got, want)
		}
	}
	focus("hit 1", kb.ArrowDown, kb.ArrowDown)
	focus("find", kb.ArrowUp, kb.ArrowUp)
	focus("find", kb.Escape)
	open, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("document.querySelector('.found').checkVisibility()"))
	if err != nil || open {
		t.Errorf("Escape leaves the list open (%v)", err)
	}
}
