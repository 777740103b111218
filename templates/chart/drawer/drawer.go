// Package drawer has the chart script draw charts, and keeps what was drawn. It
// alone runs scripts; whoever only orders charts needs package chart.
package drawer

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"time"

	"github.com/dop251/goja"

	"rickyard/templates/chart"
)

// ErrNoChartScript is the answer of a program that was built without its
// chart script. No workbook is written without its charts.
var ErrNoChartScript = errors.New("this rickyard was built without its chart script; run go generate ./... and build again")

// Options are the options of New.
type Options struct {
	// CacheDir is a folder in which drawn charts are kept from one run to the
	// next; it is made when it is first needed. Empty: they are kept in memory
	// alone. A folder that can't be read or written only costs time.
	CacheDir string
}

// A Drawer draws charts. Drawing starts the chart script, which takes a
// moment, only when a chart is not at hand in memory or in the cache folder.
// A Drawer may be used by several goroutines; they draw one at a time.
type Drawer struct {
	mu     sync.Mutex
	dir    string
	script string
	stamp  string // of the script and of all that is done to its drawings
	drawn  map[string]chart.Drawing
	asked  map[string]bool // keys of drawn that were asked for since the last Sweep
	vm     *goja.Runtime
	call   goja.Callable
}

// New returns a Drawer that draws with a chart script, "" if the program was
// built without it. It starts nothing yet.
func New(script string, o Options) *Drawer {
	sum := sha256.Sum256([]byte(script))
	return &Drawer{dir: o.CacheDir, script: script, drawn: map[string]chart.Drawing{}, asked: map[string]bool{},
		stamp: chart.Version() + " " + hex.EncodeToString(sum[:]) + " " + drawScript}
}

// Ready returns ErrNoChartScript if no chart can be drawn.
func (d *Drawer) Ready() error {
	if d.script == "" {
		return ErrNoChartScript
	}
	return nil
}

// Started tells whether the chart script had to be started.
func (d *Drawer) Started() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.vm != nil
}

// Draw draws a chart. The same chart gives the same bytes, always. The error
// is ErrNoChartScript, a *source.Error without a place for a chart that can't
// be drawn as asked, or a fault of the chart script.
func (d *Drawer) Draw(c *chart.Chart) (chart.Drawing, error) {
	if err := d.Ready(); err != nil {
		return chart.Drawing{}, err
	}
	o, err := c.Order()
	if err != nil {
		return chart.Drawing{}, err
	}
	whole, err := json.Marshal([]string{d.stamp, o.JSON, o.Title, o.Alt})
	if err != nil {
		return chart.Drawing{}, fmt.Errorf("chart options: %w", err)
	}
	sum := sha256.Sum256(whole)
	key := hex.EncodeToString(sum[:])

	d.mu.Lock()
	defer d.mu.Unlock()
	d.asked[key] = true
	if have, ok := d.drawn[key]; ok {
		return have, nil
	}
	drawing := chart.Drawing{ID: "k" + key[:10], Width: o.Width, Height: o.Height}
	if svg, ok := d.load(key); ok {
		drawing.SVG = svg
		d.drawn[key] = drawing
		return drawing, nil
	}
	raw, err := d.run(o.JSON)
	if err != nil {
		return chart.Drawing{}, err
	}
	drawing.SVG, err = o.Finish(raw, drawing.ID)
	if err != nil {
		return chart.Drawing{}, err
	}
	d.drawn[key] = drawing
	d.save(key, drawing.SVG)
	return drawing, nil
}

// longestDraw stops a drawing that will not end.
const longestDraw = 60 * time.Second

// run has the script draw an order; it starts the script if need be.
func (d *Drawer) run(orderJSON string) (string, error) {
	if d.vm == nil {
		if err := d.start(); err != nil {
			return "", err
		}
	}
	timer := time.AfterFunc(longestDraw, func() { d.vm.Interrupt("the drawing did not end") })
	v, err := d.call(goja.Undefined(), d.vm.ToValue(orderJSON), d.vm.ToValue(chart.StandIn("ct")), d.vm.ToValue(chart.StandIn("ca")),
		d.vm.ToValue(chart.StandIn("cp")))
	if !timer.Stop() {
		d.vm.ClearInterrupt()
	}
	if err != nil {
		return "", fmt.Errorf("the chart script failed: %w", err)
	}
	return v.String(), nil
}

func (d *Drawer) start() error {
	vm := goja.New()
	if err := portableMath(vm); err != nil {
		return err
	}
	// The script puts off work that only a screen needs.
	for _, name := range []string{"setTimeout", "clearTimeout"} {
		if err := vm.Set(name, func() int { return 0 }); err != nil {
			return err
		}
	}
	if _, err := vm.RunScript("echarts.min.js", d.script); err != nil {
		return fmt.Errorf("the chart script can't be started: %w", err)
	}
	v, err := vm.RunScript("draw.js", drawScript)
	if err != nil {
		return fmt.Errorf("the chart script can't be started: %w", err)
	}
	setUp, ok := goja.AssertFunction(v)
	if !ok {
		return errors.New("the chart script can't be started")
	}
	v, err = setUp(goja.Undefined(), vm.ToValue(chart.TextWidth))
	if err != nil {
		return fmt.Errorf("the chart script can't be started: %w", err)
	}
	if d.call, ok = goja.AssertFunction(v); !ok {
		return errors.New("the chart script can't be started")
	}
	d.vm = vm
	return nil
}

// A cache entry is a line with the checksum of what follows, then the SVG.

func (d *Drawer) path(key string) string { return filepath.Join(d.dir, key+".svg") }

func (d *Drawer) load(key string) (string, bool) {
	if d.dir == "" {
		return "", false
	}
	b, err := os.ReadFile(d.path(key))
	if err != nil {
		return "", false
	}
	sum, svg, ok := strings.Cut(string(b), "\n")
	want := sha256.Sum256([]byte(svg))
	return svg, ok && sum == hex.EncodeToString(want[:])
}

// save keeps a drawing for the next run. It is written beside its place and
// then moved, so that a run that is stopped leaves no half entry.
func (d *Drawer) save(key, svg string) {
	if d.dir == "" || os.MkdirAll(d.dir, 0o755) != nil {
		return
	}
	f, err := os.CreateTemp(d.dir, "new-*.tmp")
	if err != nil {
		return
	}
	sum := sha256.Sum256([]byte(svg))
	_, err = f.WriteString(hex.EncodeToString(sum[:]) + "\n" + svg)
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(f.Name(), d.path(key))
	}
	if err != nil {
		os.Remove(f.Name())
	}
}

var cacheName = regexp.MustCompile(`^([0-9a-f]{64})\.svg$`)

// Sweep forgets the drawings that were not asked for since the last Sweep, in
// memory and in the cache folder. Call it after a whole build.
func (d *Drawer) Sweep() {
	d.mu.Lock()
	defer d.mu.Unlock()
	used := d.asked
	d.asked = map[string]bool{}
	maps.DeleteFunc(d.drawn, func(key string, _ chart.Drawing) bool { return !used[key] })
	if d.dir == "" {
		return
	}
	entries, err := os.ReadDir(d.dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		if m := cacheName.FindStringSubmatch(e.Name()); m != nil && !used[m[1]] {
			os.Remove(filepath.Join(d.dir, e.Name()))
		}
	}
}
