package chart_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"rickyard/templates/chart"
	"rickyard/templates/chart/drawer"
)

var gallery = flag.String("gallery", "", "write every test chart into this folder, to look at")

func testDrawer(t testing.TB) *drawer.Drawer {
	t.Helper()
	text := script(t)
	sharedDrawer.Do(func() { shared = drawer.New(text, drawer.Options{}) })
	return shared
}

// The tests share one drawer, since drawing takes a moment.
var (
	sharedDrawer sync.Once
	shared       *drawer.Drawer
)

// script is the chart script; without it a test of drawings is skipped.
func script(t testing.TB) string {
	t.Helper()
	b, err := os.ReadFile("../script/echarts.min.js")
	if err != nil {
		t.Skip("the chart script is missing: run go generate ./... first")
	}
	return string(b)
}

// TestGalleryToLookAt writes all cases to look at, at three widths and as they look
// on light paper, on a dark screen, in grey print and to colour-blind eyes:
// go test ./templates/chart -run LookAt -gallery DIR
func TestGalleryToLookAt(t *testing.T) {
	if *gallery == "" {
		t.Skip("no -gallery folder given")
	}
	d := testDrawer(t)
	var all strings.Builder
	for _, c := range append(chartCases, sorted()...) {
		drawing, err := d.Draw(&c.chart)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		both := drawing.Wide + drawing.Narrow
		fmt.Fprintf(&all, "<figure><figcaption>%s, %d B</figcaption><div class=row><div class=drawn style='width:824px'>%s</div><div class=drawn style='width:544px'>%[3]s</div><div class=drawn style='width:280px'>%[3]s</div></div></figure>\n",
			c.name, len(both), both)
	}
	filters := "<svg width=0 height=0 style='position:absolute'>"
	for name, m := range map[string]string{
		// Machado, Oliveira and Fernandes 2009, full severity; see palette_test.go.
		"protanopia":   "0.152286 1.052583 -0.204868 0 0 0.114503 0.786281 0.099216 0 0 -0.003882 -0.048116 1.051998 0 0 0 0 0 1 0",
		"deuteranopia": "0.367322 0.860646 -0.227968 0 0 0.280085 0.672501 0.047413 0 0 -0.011820 0.042940 0.968881 0 0 0 0 0 1 0",
		"tritanopia":   "1.255528 -0.076749 -0.178779 0 0 -0.078411 0.930809 0.147602 0 0 0.004733 0.691367 0.303900 0 0 0 0 0 1 0",
	} {
		filters += "<filter id=" + name + " color-interpolation-filters=linearRGB><feColorMatrix values='" + m + "'/></filter>"
	}
	filters += "</svg>"
	for name, look := range map[string]string{
		"light": "", "dark": "", "grey": "figure{filter:grayscale(1)}.ch .x{display:inline}",
		"protanopia": "figure{filter:url(#protanopia)}", "deuteranopia": "figure{filter:url(#deuteranopia)}", "tritanopia": "figure{filter:url(#tritanopia)}",
	} {
		shade := "light"
		if name == "dark" {
			shade = "dark"
		}
		text := "<!doctype html><html data-shade=" + shade + "><meta charset=utf-8><style>" + chart.CSS() +
			"body{margin:16px;font-family:sans-serif;background:var(--chart-paper);color:var(--chart-text)}.row{display:flex;gap:40px;align-items:start}.drawn{flex:none}figcaption{font-weight:600;margin:1em 0 .4em}" +
			look + "</style>" + filters + all.String()
		if err := os.WriteFile(filepath.Join(*gallery, name+".html"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
