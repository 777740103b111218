package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// browserVariable names another browser than the one that is found.
const browserVariable = "RICKYARD_BROWSER"

// browserNames are the programs that can print a book, those first that most
// likely do it well.
var browserNames = []string{"chromium", "chromium-browser", "google-chrome-stable", "google-chrome", "chrome", "microsoft-edge-stable", "microsoft-edge", "msedge", "brave-browser", "vivaldi-stable"}

// browserPlaces are where they stand when no path leads to them.
func browserPlaces(system string, env func(string) string) []string {
	var places []string
	switch system {
	case "darwin":
		for _, root := range []string{"/Applications", filepath.Join(env("HOME"), "Applications")} {
			for _, name := range []string{"Chromium", "Google Chrome", "Microsoft Edge", "Brave Browser", "Vivaldi"} {
				places = append(places, filepath.Join(root, name+".app", "Contents", "MacOS", name))
			}
		}
	case "windows":
		for _, variable := range []string{"ProgramFiles", "ProgramFiles(x86)", "LocalAppData"} {
			root := env(variable)
			if root == "" {
				continue
			}
			for _, parts := range [][]string{{"Chromium"}, {"Google", "Chrome"}, {"Microsoft", "Edge"}, {"BraveSoftware", "Brave-Browser"}} {
				program := "chrome.exe"
				switch parts[len(parts)-1] {
				case "Edge":
					program = "msedge.exe"
				case "Brave-Browser":
					program = "brave.exe"
				}
				places = append(places, filepath.Join(append(append([]string{root}, parts...), "Application", program)...))
			}
		}
	default:
		places = append(places, "/snap/bin/chromium", "/usr/lib/chromium/chromium", "/opt/google/chrome/chrome")
	}
	return places
}

// errNoBrowser says how to print without one, and how to get one.
var errNoBrowser = errors.New(`no browser that can print a book was found on this machine.
Install Chromium, Chrome or Edge, or say where one is with --browser PATH or the variable ` + browserVariable + `.
By hand: build the workbook, open workbook.html in any browser and print it to a PDF; contents and index then have no page numbers`)

// findBrowser returns the browser to print with: the one that is named, else
// the first that is found.
func findBrowser(named string) (string, error) {
	for _, choice := range []struct{ path, from string }{{named, "--browser"}, {os.Getenv(browserVariable), browserVariable}} {
		if choice.path == "" {
			continue
		}
		found, err := exec.LookPath(choice.path)
		if err != nil {
			return "", fmt.Errorf("there is no browser at %s, which %s names", choice.path, choice.from)
		}
		return found, nil
	}
	for _, name := range browserNames {
		if found, err := exec.LookPath(name); err == nil {
			return found, nil
		}
	}
	for _, place := range browserPlaces(runtime.GOOS, os.Getenv) {
		if info, err := os.Stat(place); err == nil && !info.IsDir() {
			return place, nil
		}
	}
	return "", errNoBrowser
}

// A printer is a browser that has one page open.
type printer struct {
	ctx   context.Context
	cmd   *exec.Cmd // the browser, once it runs
	close func()
}

// longestPrint bounds one pass over a long book on a slow machine.
const longestPrint = 20 * time.Minute

// openPrinter starts a browser without a window and without a network.
func openPrinter(ctx context.Context, browser string) (*printer, error) {
	profile, err := os.MkdirTemp("", "rickyard-print-")
	if err != nil {
		return nil, err
	}
	p := &printer{}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(browser),
		chromedp.UserDataDir(profile),
		chromedp.DisableGPU,
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND"),
		chromedp.Flag("disable-component-update", true),
		chromedp.ModifyCmdFunc(func(cmd *exec.Cmd) { p.cmd = cmd }),
	)
	if runtime.GOOS == "linux" && os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox) // with one it refuses to start for root
	}
	allocator, stop := chromedp.NewExecAllocator(ctx, options...)
	tab, shut := chromedp.NewContext(allocator)
	p.ctx = tab
	p.close = func() {
		shut()
		stop()
		_ = os.RemoveAll(profile) // a browser that still shuts down may write to it
	}
	if err := chromedp.Do(tab, chromedp.Navigate("about:blank")); err != nil {
		p.close()
		return nil, fmt.Errorf("%s can't be started: %w", browser, err)
	}
	return p, nil
}

// show puts a page of HTML that stands by itself in place.
func (p *printer) show(html string) error {
	err := chromedp.Do(p.ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		tree, err := cdp.Call(ctx, t, page.GetFrameTree, cdp.Empty{})
		if err != nil {
			return err
		}
		_, err = cdp.Call(ctx, t, page.SetDocumentContent, page.SetDocumentContentParams{FrameID: tree.FrameTree.Frame.ID, HTML: html})
		return err
	}))
	if err != nil {
		return err
	}
	_, err = chromedp.Run(p.ctx, chromedp.Evaluate[bool]("Promise.all([...document.images].map(i => i.decode().catch(() => 0)).concat(document.fonts.ready)).then(() => true)",
		chromedp.EvalAwaitPromise))
	return err
}

// run runs a script in the page.
func (p *printer) run(script string) error {
	_, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](script+";true"))
	return err
}

// print returns the page as a tagged PDF with an outline, on the paper that its
// style sheet names.
func (p *printer) print() ([]byte, error) {
	ctx, cancel := context.WithTimeout(p.ctx, longestPrint)
	defer cancel()
	yes := true
	return chromedp.Run(ctx, chromedp.PrintToPDF(func(o *page.PrintToPDFParams) {
		o.PreferCSSPageSize, o.PrintBackground = &yes, &yes
		o.GenerateTaggedPDF, o.GenerateDocumentOutline = &yes, &yes
		// A long book is too large for one message.
		o.TransferMode = page.PrintToPDFTransferModeReturnAsStream
	}))
}

// browserVersion asks a browser what it is; "" if it does not say.
func browserVersion(path string) string {
	if runtime.GOOS == "windows" {
		return "" // there it opens a window instead
	}
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	out, err := exec.CommandContext(ctx, path, "--version").Output()
	if err != nil {
		return ""
	}
	line, _, _ := strings.Cut(strings.TrimSpace(string(out)), "\n")
	return line
}
