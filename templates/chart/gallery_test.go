package chart_test

import (
	"flag"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rickyard/templates"
	"rickyard/templates/chart"
	"rickyard/templates/chart/drawer"
)

var gallery = flag.String("gallery", "", "write every test chart into this folder, to look at")

// TestGallery writes the test charts to look at: go test ./templates -run Gallery -gallery DIR
func TestGallery(t *testing.T) {
	if *gallery == "" {
		t.Skip("no -gallery folder given")
	}
	d := testDrawer(t)
	var all strings.Builder
	for _, c := range chartCases {
		drawing, err := d.Draw(&c.chart)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		page := func(dark, extra string) string {
			return "<!doctype html><meta charset=utf-8><style>" + strings.ReplaceAll(chart.PaletteCSS(), "@media screen and (prefers-color-scheme:dark)", "@media "+dark) +
				"body{margin:16px;width:640px;font-family:Georgia,serif;background:var(--chart-paper);color:var(--chart-text)}" + extra + "</style>" +
				"<p>" + html.EscapeString(c.chart.Title) + "</p>" + drawing.SVG
		}
		for name, text := range map[string]string{
			c.name + ".svg":        drawing.SVG,
			c.name + "-light.html": page("not all", ""),
			c.name + "-dark.html":  page("all", ""),
			c.name + "-grey.html":  page("not all", "svg{filter:grayscale(1)}"),
		} {
			if err := os.WriteFile(filepath.Join(*gallery, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		fmt.Fprintf(&all, "<p>%s</p>%s", html.EscapeString(c.chart.Title), drawing.SVG)
	}
	for _, mode := range []string{"not all", "all"} {
		text := "<!doctype html><meta charset=utf-8><style>" + strings.ReplaceAll(chart.PaletteCSS(), "@media screen and (prefers-color-scheme:dark)", "@media "+mode) +
			"body{margin:16px;width:1320px;columns:2;font-family:Georgia,serif;background:var(--chart-paper);color:var(--chart-text)}p{break-after:avoid}svg{break-inside:avoid}</style>" + all.String()
		if err := os.WriteFile(filepath.Join(*gallery, "all-"+strings.ReplaceAll(mode, " ", "-")+".html"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func testDrawer(t testing.TB) *drawer.Drawer {
	t.Helper()
	if templates.ChartScript() == "" {
		t.Skip("built without the chart script: run go generate ./... first")
	}
	return drawer.New(templates.ChartScript(), drawer.Options{})
}

func TestPaletteCSS(t *testing.T) {
	css := chart.PaletteCSS()
	if strings.Count(css, "{") != strings.Count(css, "}") || strings.Contains(css, "url(") || strings.Contains(css, "<") {
		t.Errorf("odd style sheet: %s", css)
	}
	d := testDrawer(t)
	used := map[string]bool{}
	for _, c := range chartCases {
		drawing, err := d.Draw(&c.chart)
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range strings.Split(drawing.SVG, `class="`)[1:] {
			list, _, _ := strings.Cut(part, `"`)
			for _, class := range strings.Fields(list) {
				used[class] = true
			}
		}
	}
	delete(used, "chart")
	for class := range used {
		if !strings.Contains(css, ".chart ."+class+"{") {
			t.Errorf("the class %s has no rule", class)
		}
	}
	for _, r := range chart.Roles() {
		// Once for light, once for a dark system, once for a reader's own choice.
		if strings.Count(css, r.Property()+":") != 3 {
			t.Errorf("%s is not set for light, a dark system and a chosen dark", r.Property())
		}
	}
	if len(used) < 20 {
		t.Errorf("the test charts use only %d classes", len(used))
	}
}
