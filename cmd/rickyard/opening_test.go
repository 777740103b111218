package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// popText is what stands in the place where a number opens.
const popText = `[document.querySelector(".pop-body").innerText]`

// Every number opens where it stands: its working names what it is worked from,
// each of that opens in the same place with the way there above it, and a way
// back. It is so in the pages and in the one file, by hand and by keyboard.
func TestNumbersOpenInPlace(t *testing.T) {
	browser := openBrowser(t)
	out := buildInto(t, small)
	alone := filepath.Join(t.TempDir(), "attachment.html")
	raw, err := os.ReadFile(filepath.Join(out, "workbook.html"))
	if err != nil {
		t.Fatal(err)
	}
	write(t, alone, string(raw))
	for i, page := range []string{filepath.Join(out, "bees.html"), alone} {
		for _, width := range widths[:3-2*i] {
			p := openTab(t, browser)
			p.do(chromedp.EmulateViewport(width, 900), chromedp.Navigate(fileURL(page)))
			at := filepath.Base(page)
			// All numbers of the page: none leads away.
			p.do(chromedp.Evaluate[chromedp.Void](`window.here = location.href; undefined`))
			if bad := p.ask(`(async () => {
				const wrong = [];
				for (const d of document.querySelectorAll("main details")) d.open = true;
				for (const a of [...document.querySelectorAll("main a.fig")].slice(0, 60)) {
					a.click();
					await new Promise(r => setTimeout(r, 12));
					if (location.href !== here) { wrong.push("leads to " + location.href); break; }
					const pop = document.getElementById("pop");
					if (!pop.matches(":popover-open") || !pop.querySelector(".w-name b").textContent) wrong.push(a.textContent + " does not open");
					if (/undefined|\[object|[\u0001-\u0003]/.test(pop.textContent)) wrong.push(a.textContent + " says " + pop.textContent);
					pop.hidePopover();
					await new Promise(r => setTimeout(r, 5));
					if (wrong.length > 3) break;
				}
				return wrong;
			})()`, chromedp.EvalAwaitPromise); len(bad) > 0 {
				t.Errorf("%s, %d wide: %v", at, width, bad)
			}
			// Down the ingredients and back, by keyboard.
			p.do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll("main a.fig")].find(a => a.closest(".calc, p")).focus(); undefined`),
				chromedp.KeyEvent("\r"), waitFor(`document.querySelector("#pop").matches(":popover-open")`))
			first := p.ask(`[document.querySelector(".pop-body .w-name b").textContent]`)[0]
			if len(p.ask(`[...document.querySelectorAll(".pop-body .w-how a")].map(a => a.textContent)`)) == 0 {
				p.do(chromedp.Evaluate[chromedp.Void](`document.getElementById("pop").hidePopover(); [...document.querySelectorAll("main .total a.fig")][0].click(); undefined`),
					waitFor(`document.querySelector("#pop").matches(":popover-open") && !!document.querySelector(".pop-body .w-how a")`))
				first = p.ask(`[document.querySelector(".pop-body .w-name b").textContent]`)[0]
			}
			p.do(chromedp.Evaluate[chromedp.Void](`document.querySelector(".pop-body .w-how a").focus(); undefined`), chromedp.KeyEvent("\r"),
				waitFor(`!!document.querySelector(".pop-body .trail")`))
			if trail := p.ask(`[document.querySelector(".pop-body .trail").innerText]`)[0]; !strings.Contains(trail, first) {
				t.Errorf("%s: the way says %q after %s", at, trail, first)
			}
			p.do(chromedp.Click(".return"), waitFor(`!document.querySelector(".pop-body .trail")`))
			if again := p.ask(`[document.querySelector(".pop-body .w-name b").textContent]`)[0]; again != first {
				t.Errorf("%s: back leads to %q, not to %q", at, again, first)
			}
			if used := p.ask(`[...document.querySelectorAll(".pop-body .w-go a")].map(a => a.getAttribute("href"))`); len(used) == 0 {
				t.Errorf("%s: %s is shown nowhere", at, first)
			}
			p.do(chromedp.KeyEvent("\x1b"), waitFor(`!document.querySelector("#pop").matches(":popover-open")`))
			p.quiet(at)
		}
	}
}
