package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rickyard/templates"
	"rickyard/templates/chart/drawer"
)

// The benchmarks build the demo workbook:
//
//	go test ./cmd/rickyard -run '^$' -bench Build -benchtime 5x
//
// Cold is a first build, with no chart drawn before. PriceWatched is what
// watch does when one price is saved; PriceAgain is rickyard build after it, a
// new process less its start, with the charts of the last build in the cache.
// Chapters are cold builds of a workbook and of one with ten times the chapters
// and charts over the same data.

func BenchmarkBuildCold(b *testing.B) {
	dir := copyFolder(b, repo)
	for b.Loop() {
		benchMake(b, dir, drawer.New(templates.ChartScript(), drawer.Options{CacheDir: b.TempDir()}))
	}
}

func BenchmarkBuildChapters(b *testing.B) {
	for _, chapters := range []int{10, 100} {
		b.Run(fmt.Sprint(chapters), func(b *testing.B) {
			dir := manyChapters(b, chapters)
			for b.Loop() {
				benchMake(b, dir, drawer.New(templates.ChartScript(), drawer.Options{CacheDir: b.TempDir()}))
			}
		})
	}
}

func BenchmarkBuildPriceWatched(b *testing.B) {
	dir := copyFolder(b, repo)
	drawer := drawer.New(templates.ChartScript(), drawer.Options{})
	benchMake(b, dir, drawer)
	for n := 0; b.Loop(); n++ {
		setPrice(b, dir, n)
		benchMake(b, dir, drawer)
	}
}

func BenchmarkBuildPriceAgain(b *testing.B) {
	dir, cache := copyFolder(b, repo), b.TempDir()
	drawer := func() *drawer.Drawer { return drawer.New(templates.ChartScript(), drawer.Options{CacheDir: cache}) }
	benchMake(b, dir, drawer())
	for n := 0; b.Loop(); n++ {
		setPrice(b, dir, n)
		benchMake(b, dir, drawer())
	}
}

func benchMake(b *testing.B, dir string, drawer *drawer.Drawer) {
	b.Helper()
	c := newConsole(b.Output(), b.Output())
	if _, err := makePages(dir, drawer, c.progress()); err != nil {
		c.report(err)
		b.Fatal("the workbook can't be built")
	}
}

// setPrice gives one price of the demo farm a value that it never had.
func setPrice(b *testing.B, dir string, n int) {
	b.Helper()
	name := filepath.Join(dir, "data", "enterprises", "broilers.yaml")
	lines := strings.Split(read(b, name), "\n")
	for i, line := range lines {
		if strings.HasPrefix(line, "  grower_feed: {") {
			lines[i] = fmt.Sprintf("  grower_feed: {value: %.5f GBP/kg, low: 0.45 GBP/kg, high: 0.66 GBP/kg}", 0.5+float64(n+1)/10000)
			write(b, name, strings.Join(lines, "\n"))
			return
		}
	}
	b.Fatal("the demo farm has no grower_feed")
}

// manyChapters is the small workbook with its chapters over and over, each
// with a chart of its own.
func manyChapters(b *testing.B, chapters int) string {
	b.Helper()
	dir := copyFolder(b, small)
	content := filepath.Join(dir, "content")
	bees, money := filepath.Join(content, "01-bees.md"), filepath.Join(content, "02-money.md")
	first, second := read(b, bees), read(b, money)
	for _, name := range []string{bees, money} {
		if err := os.Remove(name); err != nil {
			b.Fatal(err)
		}
	}
	for n := 1; n <= chapters/2; n++ {
		a := strings.ReplaceAll(first, "(money", fmt.Sprintf("(money_%d", n))
		a = strings.ReplaceAll(a, "title: Hours by month", fmt.Sprintf("title: Hours by month, %d", n))
		write(b, filepath.Join(content, fmt.Sprintf("%d-apiary-%d.md", 2*n, n)), a)
		write(b, filepath.Join(content, fmt.Sprintf("%d-money-%d.md", 2*n+1, n)), strings.ReplaceAll(second, "(bees)", fmt.Sprintf("(apiary_%d)", n)))
	}
	return dir
}
