package templates

import (
	"flag"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"strings"
	"testing"
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
			return "<!doctype html><meta charset=utf-8><style>" + strings.ReplaceAll(PaletteCSS(), "@media screen and (prefers-color-scheme:dark)", "@media "+dark) +
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
		text := "<!doctype html><meta charset=utf-8><style>" + strings.ReplaceAll(PaletteCSS(), "@media screen and (prefers-color-scheme:dark)", "@media "+mode) +
			"body{margin:16px;width:1320px;columns:2;font-family:Georgia,serif;background:var(--chart-paper);color:var(--chart-text)}p{break-after:avoid}svg{break-inside:avoid}</style>" + all.String()
		if err := os.WriteFile(filepath.Join(*gallery, "all-"+strings.ReplaceAll(mode, " ", "-")+".html"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func testDrawer(t testing.TB) *Drawer {
	t.Helper()
	if !HasChartScript() {
		t.Skip("built without the chart script: run go generate ./... first")
	}
	return NewDrawer(DrawerOptions{})
}
