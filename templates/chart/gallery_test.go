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

// TestGallery writes the test charts to look at: go test ./templates/chart -run Gallery -gallery DIR
func TestGalleryToLookAt(t *testing.T) {
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
		fmt.Fprintf(&all, "<figure><figcaption>%s, %d B</figcaption><div class=two><div class=drawn style='width:824px'>%s</div><div class=drawn style='width:300px'>%s</div></div></figure>\n",
			c.name, len(drawing.Wide)+len(drawing.Narrow), drawing.Wide, drawing.Narrow)
	}
	text := "<!doctype html><meta charset=utf-8><style>:root{--sans:'DejaVu Sans Condensed','DejaVu Sans',sans-serif}" + chart.CSS() +
		"body{margin:16px;font-family:var(--sans);background:var(--chart-paper);color:var(--chart-text)}.two{display:flex;gap:40px;align-items:start}figcaption{font-weight:600;margin:1em 0 .4em}</style>" + all.String()
	if err := os.WriteFile(filepath.Join(*gallery, "all.html"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}
