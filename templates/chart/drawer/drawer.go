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
// The two widths of a chart are drawn side by side, each by an interpreter of
// its own. A Drawer may be used by several goroutines; they draw one at a time.
type Drawer struct {
	mu     sync.Mutex
	dir    string
	script string
	stamp  string // of the script and of all that is done to its drawings
	drawn  map[string]pair
	asked  map[string]bool // keys of drawn that were asked for since the last Sweep

	program *goja.Program
	pens    [2]*pen
}

// A pair is the two drawings of a chart.
type pair struct{ wide, narrow string }

// New returns a Drawer that draws with a chart script, "" if the program was
// built without it. It starts nothing yet.
func New(script string, o Options) *Drawer {
	sum := sha256.Sum256([]byte(script))
	return &Drawer{dir: o.CacheDir, script: script, drawn: map[string]pair{}, asked: map[string]bool{},
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
	return d.pens[0] != nil
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
	sheets := [2]*chart.Sheet{o.Wide, o.Narrow}
	var orders [2]string
	for i, sheet := range sheets {
		b, err := json.Marshal(sheet)
		if err != nil {
			return chart.Drawing{}, fmt.Errorf("chart options: %w", err)
		}
		orders[i] = string(b)
	}
	sum := sha256.Sum256([]byte(d.stamp + "\x00" + orders[0] + "\x00" + orders[1]))
	key := hex.EncodeToString(sum[:])
	drawing := chart.Drawing{ID: "k" + key[:8], Alt: o.Alt, Told: o.Told}

	d.mu.Lock()
	defer d.mu.Unlock()
	d.asked[key] = true
	have, ok := d.drawn[key]
	if !ok {
		if have, ok = d.load(key); !ok {
			if have, err = d.drawBoth(sheets, orders, drawing.ID); err != nil {
				return chart.Drawing{}, err
			}
			d.save(key, have)
		}
		d.drawn[key] = have
	}
	drawing.Wide, drawing.Narrow = have.wide, have.narrow
	return drawing, nil
}

// drawBoth draws the two widths of a chart side by side.
func (d *Drawer) drawBoth(sheets [2]*chart.Sheet, orders [2]string, id string) (pair, error) {
	if d.program == nil {
		program, err := goja.Compile("echarts.min.js", d.script, false)
		if err != nil {
			return pair{}, fmt.Errorf("the chart script can't be read: %w", err)
		}
		d.program = program
	}
	var svgs [2]string
	var errs [2]error
	var both sync.WaitGroup
	for i := range sheets {
		both.Go(func() {
			if d.pens[i] == nil {
				if d.pens[i], errs[i] = newPen(d.program); errs[i] != nil {
					return
				}
			}
			raw, err := d.pens[i].draw(orders[i])
			if err != nil {
				errs[i] = err
				return
			}
			svgs[i], errs[i] = sheets[i].Finish(raw, [2]string{"wide", "narrow"}[i], id+[2]string{"", "-n"}[i])
		})
	}
	both.Wait()
	return pair{svgs[0], svgs[1]}, errors.Join(errs[:]...)
}

// longestDraw stops a drawing that will not end.
const longestDraw = 60 * time.Second

// A pen is an interpreter with the chart script in it.
type pen struct {
	vm   *goja.Runtime
	call goja.Callable
}

func newPen(program *goja.Program) (*pen, error) {
	vm := goja.New()
	if err := portableMath(vm); err != nil {
		return nil, err
	}
	// The script puts off work that only a screen needs.
	for _, name := range []string{"setTimeout", "clearTimeout"} {
		if err := vm.Set(name, func() int { return 0 }); err != nil {
			return nil, err
		}
	}
	started := func(v goja.Value, err error) (goja.Callable, error) {
		if err != nil {
			return nil, fmt.Errorf("the chart script can't be started: %w", err)
		}
		call, ok := goja.AssertFunction(v)
		if !ok {
			return nil, errors.New("the chart script can't be started")
		}
		return call, nil
	}
	if _, err := vm.RunProgram(program); err != nil {
		return nil, fmt.Errorf("the chart script can't be started: %w", err)
	}
	setUp, err := started(vm.RunScript("draw.js", drawScript))
	if err != nil {
		return nil, err
	}
	call, err := started(setUp(goja.Undefined()))
	return &pen{vm, call}, err
}

// draw has the script draw an order.
func (p *pen) draw(orderJSON string) (string, error) {
	timer := time.AfterFunc(longestDraw, func() { p.vm.Interrupt("the drawing did not end") })
	v, err := p.call(goja.Undefined(), p.vm.ToValue(orderJSON), p.vm.ToValue(chart.StandIn("ca")), p.vm.ToValue(chart.StandIn("cp")))
	if !timer.Stop() {
		p.vm.ClearInterrupt()
	}
	if err != nil {
		return "", fmt.Errorf("the chart script failed: %w", err)
	}
	return v.String(), nil
}

// A cache entry is a line with the checksum of what follows, then the wide
// drawing, then on a line of its own the narrow one.

func (d *Drawer) path(key string) string { return filepath.Join(d.dir, key+".svg") }

func (d *Drawer) load(key string) (pair, bool) {
	if d.dir == "" {
		return pair{}, false
	}
	b, err := os.ReadFile(d.path(key))
	if err != nil {
		return pair{}, false
	}
	sum, svg, ok := strings.Cut(string(b), "\n")
	want := sha256.Sum256([]byte(svg))
	wide, narrow, both := strings.Cut(svg, "\n")
	return pair{wide, narrow}, ok && both && sum == hex.EncodeToString(want[:])
}

// save keeps a drawing for the next run. It is written beside its place and
// then moved, so that a run that is stopped leaves no half entry.
func (d *Drawer) save(key string, drawn pair) {
	if d.dir == "" || os.MkdirAll(d.dir, 0o755) != nil {
		return
	}
	f, err := os.CreateTemp(d.dir, "new-*.tmp")
	if err != nil {
		return
	}
	svg := drawn.wide + "\n" + drawn.narrow
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
	maps.DeleteFunc(d.drawn, func(key string, _ pair) bool { return !used[key] })
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
