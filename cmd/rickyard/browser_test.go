package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"rickyard/cmd/rickyard/publish"
)

// needBrowser in the environment makes a missing browser a failure.
const needBrowser = "RICKYARD_NEED_BROWSER"

// Widths of a telephone, a tablet and a desk, in CSS pixels.
var widths = []int64{360, 768, 1440}

// A tab is a page of a browser, and all that it complained of.
type tab struct {
	*testing.T
	ctx context.Context

	mu         sync.Mutex
	complaints []string
	requests   int
}

// openBrowser starts a browser for a test, or skips the test if there is none.
func openBrowser(t *testing.T) context.Context {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			path = found
			break
		}
	}
	if path == "" {
		if os.Getenv(needBrowser) != "" {
			t.Fatal("there is no Chromium, and " + needBrowser + " asks for one")
		}
		t.Skip("there is no Chromium here: pages are not tried in a browser")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.Flag("disable-gpu", true),
		chromedp.Flag("disable-background-networking", true), chromedp.UserDataDir(t.TempDir()))
	ctx, cancel := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("the browser does not start: %v", err)
	}
	return ctx
}

// openTab opens an empty page that listens for complaints.
func openTab(t *testing.T, browser context.Context) *tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(browser)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, 2*longestRun)
	t.Cleanup(cancel)
	p := &tab{T: t, ctx: ctx}
	if err := chromedp.Listen(ctx, p.hear); err != nil {
		t.Fatal(err)
	}
	return p
}

func (p *tab) hear(event any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch e := event.(type) {
	case *runtime.EventConsoleAPICalled:
		p.complaints = append(p.complaints, fmt.Sprintf("console: %s %v", e.Type, e.Args))
	case *runtime.EventExceptionThrown:
		p.complaints = append(p.complaints, fmt.Sprintf("exception: %s %+v", e.ExceptionDetails.Text, e.ExceptionDetails.Exception))
	case *log.EventEntryAdded:
		p.complaints = append(p.complaints, fmt.Sprintf("%s: %s %s", e.Entry.Level, e.Entry.Text, e.Entry.URL))
	case *network.EventRequestWillBeSent:
		p.requests++
		if u := e.Request.URL; !strings.HasPrefix(u, "file:") && !strings.HasPrefix(u, "data:") {
			p.complaints = append(p.complaints, "a request for "+u)
		}
	case *network.EventLoadingFailed:
		p.complaints = append(p.complaints, "a request failed: "+e.ErrorText)
	}
}

func (p *tab) do(actions ...chromedp.Action[chromedp.Void]) {
	p.Helper()
	if err := chromedp.Do(p.ctx, actions...); err != nil {
		p.Fatal(err)
	}
}

// ask evaluates a script whose result is a list of texts.
func (p *tab) ask(script string, options ...chromedp.EvaluateOption) []string {
	p.Helper()
	raw, err := chromedp.Run(p.ctx, chromedp.Evaluate[[]byte](script, options...))
	if err != nil {
		p.Fatal(err)
	}
	var texts []string
	if err := json.Unmarshal(raw, &texts); err != nil {
		p.Fatalf("%v in %.200s", err, raw)
	}
	return texts
}

// quiet fails the test if the page complained.
func (p *tab) quiet(what string) {
	p.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, c := range p.complaints {
		p.Errorf("%s: %s", what, c)
	}
	p.complaints = nil
}

func fileURL(path string) string {
	return (&url.URL{Scheme: "file", Path: filepath.ToSlash(path)}).String()
}

// builtPages lists the pages of a finished workbook.
func builtPages(t *testing.T, dir string) []string {
	t.Helper()
	pages, err := fs.Glob(os.DirFS(dir), "*.html")
	if err != nil || len(pages) < 4 {
		t.Fatalf("%s has %d pages: %v", dir, len(pages), err)
	}
	return pages
}

// buildInto publishes a workbook as a reader gets it.
func buildInto(t *testing.T, from string) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "a reader's folder", "workbook")
	if _, err := publish.Folder(out, makeBook(t, from)); err != nil {
		t.Fatal(err)
	}
	return out
}

// tooWide lists what sticks out of the window to the right and can't be
// scrolled to within a region of its own.
const tooWide = `(() => {
	for (const d of document.querySelectorAll("main details")) d.open = true;
	const wide = document.documentElement.clientWidth, out = [];
	if (document.documentElement.scrollWidth > wide) out.push("the page itself: " + document.documentElement.scrollWidth + " of " + wide);
	for (const e of document.body.querySelectorAll("*")) {
		const box = e.getBoundingClientRect();
		if (box.width === 0 || box.height === 0 || box.right <= wide + 1) continue;
		if (e.closest("svg") && e.tagName !== "svg") continue;
		let scrolls = false;
		for (let p = e; p && p !== document.body; p = p.parentElement) {
			const s = getComputedStyle(p);
			if (/auto|scroll|hidden|clip/.test(s.overflowX) && (p !== e || s.overflowX !== "visible") && p.getBoundingClientRect().right <= wide + 1) scrolls = true;
			if (s.clipPath !== "none" || s.position === "fixed") scrolls = true;
		}
		if (!scrolls) out.push(e.tagName + "." + e.className + " ends at " + Math.round(box.right) + " of " + wide + ": " + e.textContent.trim().slice(0, 40));
	}
	return out.slice(0, 5);
})()`

// charts lists the charts that are not drawn, not of a size to read, whose
// words are too small, are cut or lie on each other, or that have no numbers
// behind them. Of a chart's two drawings one is hidden.
const charts = `[...document.querySelectorAll("figure.chart")].flatMap(f => {
	const shown = [...f.querySelectorAll("svg")].filter(s => s.getBoundingClientRect().width > 0);
	const out = [];
	if (shown.length !== 1) out.push(f.id + ": " + shown.length + " drawings are shown");
	for (const s of shown) {
		const b = s.getBoundingClientRect(), drawing = f.matches(".drawing");
		if (b.width < 260 || b.height < 40) out.push(f.id + ": " + Math.round(b.width) + " by " + Math.round(b.height));
		if (drawing) continue;
		const words = [...s.querySelectorAll("text")].flatMap(t => t.children.length ? [...t.children] : [t]);
		const boxes = words.map(w => w.getBoundingClientRect());
		for (const [i, w] of words.entries()) {
			const size = parseFloat(getComputedStyle(w).fontSize) * b.width / s.viewBox.baseVal.width, a = boxes[i];
			if (size < 12) out.push(f.id + ": " + w.textContent + " is " + size.toFixed(1) + " pixels high");
			if (a.left < b.left - 2 || a.right > b.right + 2 || a.top < b.top - 4 || a.bottom > b.bottom + 4) out.push(f.id + ": " + w.textContent + " is cut");
			const third = size / 3; // of a letter's box, which is higher than the letter
			for (let k = 0; k < i; k++) {
				const o = boxes[k];
				if (a.left + 1 < o.right && o.left + 1 < a.right && a.top + third < o.bottom && o.top + third < a.bottom) out.push(f.id + ": " + w.textContent + " lies on " + words[k].textContent);
			}
		}
	}
	if (!f.querySelector("svg title, [role=img][aria-label]")) out.push(f.id + ": no words for who can't see it");
	if (!f.querySelector("details table tbody tr")) out.push(f.id + ": no numbers");
	if (!f.querySelector("svg path, svg rect, svg line, svg circle")) out.push(f.id + ": nothing is drawn");
	return out;
})`

func TestPagesInBrowser(t *testing.T) {
	browser := openBrowser(t)
	axe, axeErr := os.ReadFile("../../templates/node_modules/axe-core/axe.min.js")
	if axeErr != nil && os.Getenv(needBrowser) != "" {
		t.Fatalf("%v; run go generate ./...", axeErr)
	}
	for _, from := range []string{repo, small} {
		out := buildInto(t, from)
		drawn := 0
		for _, page := range builtPages(t, out) {
			t.Run(filepath.Base(from)+"/"+page, func(t *testing.T) {
				p := openTab(t, browser)
				for _, width := range widths {
					p.do(chromedp.EmulateViewport(width, 900), chromedp.Navigate(fileURL(filepath.Join(out, page))))
					at := fmt.Sprintf("%d wide", width)
					for _, e := range p.ask(tooWide) {
						p.Errorf("%s: %s", at, e)
					}
					for _, e := range p.ask(charts) {
						p.Errorf("%s: chart %s", at, e)
					}
					p.quiet(at)
				}
				if p.requests == 0 {
					t.Error("the browser told of no request, not even for the page")
				}
				drawn += len(p.ask(`[...document.querySelectorAll("figure.chart")].map(f => f.id)`))
				if axeErr != nil {
					t.Logf("not checked for accessibility: %v", axeErr)
					return
				}
				for i, shade := range []string{"light", "dark"} {
					if i > 0 && strings.HasPrefix(page, "w-") {
						break // pages of workings have the same elements and colours as the others
					}
					p.do(chromedp.EmulateViewport(widths[2*i], 900), chromedp.Evaluate[chromedp.Void]("document.documentElement.dataset.shade = '"+shade+"'; "+string(axe)+"; undefined"))
					for _, e := range p.ask(`axe.run(document, {preload: false, resultTypes: ["violations"]}).then(r =>
						r.violations.flatMap(v => v.nodes.slice(0, 3).map(n => v.id + ": " + n.target + ": " + n.failureSummary)))`, chromedp.EvalAwaitPromise) {
						p.Errorf("%s: %s", shade, e)
					}
				}
			})
		}
		if drawn == 0 {
			t.Errorf("no chart in the workbook of %s", from)
		}
	}
}

// TestReadingInBrowser reads as a reader does: from page to page, a figure's
// working opened in place, a number followed to its source.
func TestReadingInBrowser(t *testing.T) {
	browser := openBrowser(t)
	out := buildInto(t, small)
	p := openTab(t, browser)
	p.do(chromedp.EmulateViewport(1440, 900), chromedp.Navigate(fileURL(filepath.Join(out, "index.html"))))
	seen := []string{}
	for range 10 {
		seen = append(seen, filepath.Base(p.ask(`[location.pathname]`)[0]))
		if len(p.ask(`[...document.querySelectorAll(".turn a[rel=next]")].map(a => a.href)`)) == 0 {
			break
		}
		p.do(chromedp.Click(".turn a[rel=next]"), waitFor(`!location.pathname.endsWith("/`+seen[len(seen)-1]+`") && document.readyState === "complete"`))
	}
	if len(seen) < 4 || seen[0] != "index.html" || seen[1] != "bees.html" || seen[2] != "money.html" {
		t.Errorf("turning the pages leads through %v", seen)
	}
	p.quiet("turning pages")

	// Every link of every page leads to a page that loads and a place in it.
	links := map[string]bool{}
	for _, page := range builtPages(t, out) {
		p.do(chromedp.Navigate(fileURL(filepath.Join(out, page))))
		for _, href := range p.ask(`[...document.querySelectorAll("a[href]")].map(a => a.href)`) {
			links[href] = true
		}
	}
	pages := map[string][]string{}
	for href := range links {
		if file, id, _ := strings.Cut(href, "#"); strings.HasPrefix(file, "file:") {
			pages[file] = append(pages[file], id)
		}
	}
	for file, ids := range pages {
		p.do(chromedp.Navigate(file))
		list, err := json.Marshal(ids)
		if err != nil {
			t.Fatal(err)
		}
		for _, id := range p.ask(string(list) + `.filter(id => id && !document.getElementById(decodeURIComponent(id)))`) {
			t.Errorf("%s has no %s", file, id)
		}
	}
	p.quiet("following links")

	// A figure opens its working in place.
	p.do(chromedp.Navigate(fileURL(filepath.Join(out, "money.html"))), chromedp.Click("a.fig"), waitFor(`document.querySelector("#pop").matches(":popover-open")`))
	if text := strings.Join(p.ask(`[document.querySelector(".pop-body").innerText]`), ""); !strings.Contains(text, "$13.00/jar") {
		t.Errorf("the working in place says %q", text)
	}
	p.do(chromedp.KeyEvent("\x1b"), waitFor(`!document.querySelector("#pop").matches(":popover-open")`))
	p.quiet("a figure")

	// Without its script a page still reads: the same words, charts, links.
	with := p.ask(`[document.querySelector("main").innerText]`)[0]
	still := openTab(t, browser)
	if _, err := chromedp.Run(still.ctx, call(emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})); err != nil {
		t.Fatal(err)
	}
	still.do(chromedp.EmulateViewport(1440, 900), chromedp.Navigate(fileURL(filepath.Join(out, "money.html"))))
	without := still.ask(`[document.querySelector("main").innerText]`)[0]
	if words := strings.Fields(without); len(words) < 200 {
		t.Errorf("without script the page has %d words", len(words))
	}
	// What opens in place with it stands below the text without it.
	for _, part := range []string{"What a jar costs", "$13.00/jar"} {
		if !strings.Contains(without, part) {
			t.Errorf("without script the page does not say %q", part)
		}
	}
	if !strings.Contains(with, "What a jar costs") {
		t.Error("with script the page does not say what it says")
	}
	for _, e := range still.ask(charts) {
		t.Errorf("without script: %s", e)
	}
	still.quiet("without script")

	// The edition that is one file needs nothing beside it.
	alone := filepath.Join(t.TempDir(), "attachment.html")
	raw, err := os.ReadFile(filepath.Join(out, "workbook.html"))
	if err != nil {
		t.Fatal(err)
	}
	write(t, alone, string(raw))
	single := openTab(t, browser)
	single.do(chromedp.EmulateViewport(1440, 900), chromedp.Navigate(fileURL(alone)))
	for _, e := range single.ask(charts) {
		t.Errorf("one file: %s", e)
	}
	for _, e := range single.ask(`[...document.images].filter(i => !i.complete || i.naturalWidth === 0).map(i => i.alt)`) {
		t.Errorf("one file: the picture %q is not shown", e)
	}
	for _, e := range single.ask(`[...document.querySelectorAll("a[href]")].filter(a => !a.getAttribute("href").startsWith("#")).map(a => a.href)`) {
		t.Errorf("one file: a link to %s", e)
	}
	if font := single.ask(`[getComputedStyle(document.querySelector("h1")).display, getComputedStyle(document.querySelector(".masthead")).display]`); !slices.Contains(font, "flex") {
		t.Errorf("one file: its style does not hold: %v", font)
	}
	if single.requests != 1+len(single.ask(`[...document.images].map(i => i.src)`)) {
		t.Errorf("one file: %d requests", single.requests)
	}
	single.quiet("one file")
}

// TestWatchInBrowser has a browser show a watched workbook while it changes.
func TestWatchInBrowser(t *testing.T) {
	browser := openBrowser(t)
	dir := copyFolder(t, small)
	w := startWatch(t, dir, watchCommand{})
	p := openTab(t, browser)
	says := func(part string, want bool) chromedp.Action[chromedp.Void] {
		quoted, err := json.Marshal(part)
		if err != nil {
			t.Fatal(err)
		}
		return waitFor(fmt.Sprintf(`document.readyState === "complete" && document.body.textContent.includes(%s) === %v`, quoted, want))
	}
	prices := filepath.Join(dir, "data", "prices.yaml")
	p.do(chromedp.Navigate(w.address+"money.html"), says("$13.00/jar", true))
	replace(t, prices, "14.50 USD/jar", "17 USD/jar")
	p.do(says("$14.00/jar", true))
	replace(t, prices, "market: 17", "markt: 17")
	p.do(says("data/prices.yaml:9:7", true), says("$14.00/jar", true))
	replace(t, prices, "markt: 17", "market: 17")
	p.do(says("data/prices.yaml:9:7", false))
	p.do(chromedp.Navigate(w.address+"workbook.html"), says("$14.00/jar", true))
	replace(t, prices, "17 USD/jar", "14.50 USD/jar")
	p.do(says("$13.00/jar", true))
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, c := range p.complaints {
		// Its own server is asked, and a question that is open when the page
		// is left ends as failed.
		if !strings.HasPrefix(c, "a request for "+w.address) && !strings.Contains(c, "ERR_ABORTED") {
			t.Error(c)
		}
	}
}

// waitFor waits until a script says true.
func waitFor(script string) chromedp.Action[chromedp.Void] {
	return func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
		for {
			// A page that is just being left has no answer.
			holds, err := chromedp.Evaluate[bool](script)(ctx, target)
			if err == nil && holds {
				return chromedp.Void{}, nil
			}
			select {
			case <-ctx.Done():
				return chromedp.Void{}, errors.Join(fmt.Errorf("it never came to %s", script), ctx.Err(), err)
			case <-time.After(20 * time.Millisecond):
			}
		}
	}
}

// call makes a command of the browser's an action.
func call[P, R any](command cdp.Command[P, R], params P) chromedp.Action[R] {
	return func(ctx context.Context, target *chromedp.Target) (R, error) {
		return cdp.Call(ctx, target, command, params)
	}
}
