package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"net"
	"net/http"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"

	"github.com/fsnotify/fsnotify"

	"rickyard/cmd/rickyard/publish"
	"rickyard/templates"
	"rickyard/templates/chart/drawer"
)

type watchCommand struct {
	Out  string `help:"Where to write the workbook." default:"" placeholder:"DIR"`
	Port int    `help:"The port to serve on; 0 for any that is free." default:"7425"`
}

// Run builds and serves the workbook, and does so again whenever a file of it
// is saved, until it is interrupted.
func (w *watchCommand) Run(all *commands, c *console) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop) // a second interrupt ends the program at once
	return w.watch(ctx, all.Dir, c, func(address string) {
		fmt.Fprintf(c.out, "The workbook is at %s for this computer alone. Ctrl-C ends.\n", address)
	})
}

const (
	// quiet is how long the folder must be still before a build: an editor
	// saves in several steps.
	quiet = 120 * time.Millisecond
	// longestWait is how long a build is put off in a folder that is never still.
	longestWait = 2 * time.Second
	// longestGoodbye is how long open requests may take to end.
	longestGoodbye = 2 * time.Second
)

// watch does the work of Run until ctx ends; ready is told the address.
func (w *watchCommand) watch(ctx context.Context, dir string, c *console, ready func(address string)) error {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return err
	}
	out := outFolder(w.Out, dir)
	if err := c.heed(publish.Check(out)); err != nil {
		return err
	}
	events, err := fsnotify.NewWatcher()
	if err != nil {
		return fmt.Errorf("this system can't tell of changed files: %w", err)
	}
	defer events.Close()
	f := &follower{dir: dir, events: events}
	if err := f.follow(); err != nil {
		return err
	}
	listener, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", fmt.Sprint(w.Port)))
	if err != nil {
		return fmt.Errorf("port %d can't be served (%w); name another with --port, or 0 for any", w.Port, err)
	}
	d := newDesk(dir, out, c)
	d.build()

	server := &http.Server{
		Handler:           localOnly(d),
		ReadHeaderTimeout: 10 * time.Second,
		BaseContext:       func(net.Listener) context.Context { return ctx },
	}
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	ready("http://" + listener.Addr().String() + "/")
	err = f.run(ctx, failed, d.build)

	goodbye, cancel := context.WithTimeout(context.Background(), longestGoodbye)
	defer cancel()
	if e := server.Shutdown(goodbye); e != nil {
		_ = server.Close() // whoever still reads is cut off
	}
	return err
}

// A follower tells of changes in a workbook's folder.
type follower struct {
	dir    string
	events *fsnotify.Watcher
}

// sources are the folders whose files a workbook is made from.
var sources = []string{"data", "content"}

// follow watches the folder and every folder below data and content; those
// that are watched already stay so. The folder itself is watched since data or
// content may be taken away and put back.
func (f *follower) follow() error {
	folders := []string{f.dir}
	for _, name := range sources {
		// A folder may go while it is walked; what is gone needs no watching.
		_ = filepath.WalkDir(filepath.Join(f.dir, name), func(path string, entry fs.DirEntry, err error) error {
			if err == nil && entry.IsDir() {
				folders = append(folders, path)
			}
			return nil
		})
	}
	for _, folder := range folders {
		if err := f.events.Add(folder); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s can't be watched: %w", folder, err)
		}
	}
	return nil
}

// concerns reports whether an event may change the workbook.
func (f *follower) concerns(event fsnotify.Event) bool {
	if event.Op == fsnotify.Chmod {
		return false
	}
	name, err := filepath.Rel(f.dir, event.Name)
	if err != nil {
		return false
	}
	first, _, _ := strings.Cut(filepath.ToSlash(name), "/")
	return slices.Contains(sources, first)
}

// run calls build after every change, once the folder is still, until ctx
// ends or the server fails.
func (f *follower) run(ctx context.Context, failed <-chan error, build func()) error {
	var due <-chan time.Time
	var first time.Time
	wait := func() {
		if due == nil {
			first = time.Now()
		}
		due = time.After(max(0, min(quiet, longestWait-time.Since(first))))
	}
	for {
		select {
		case <-ctx.Done():
			return nil
		case err := <-failed:
			return fmt.Errorf("the workbook can't be served any longer: %w", err)
		case event, ok := <-f.events.Events:
			if !ok {
				return errors.New("the system no longer tells of changed files")
			}
			if f.concerns(event) {
				wait()
			}
		case <-f.events.Errors:
			wait() // some changes were not told; a build finds them all
		case <-due:
			due = nil
			// New folders are watched before the build reads them, so that
			// nothing saved from here on is missed.
			if err := f.follow(); err != nil {
				return err
			}
			build()
		}
	}
}

// A desk keeps the last good workbook and what is wrong with the newest.
type desk struct {
	dir, out string
	console  *console
	drawer   *drawer.Drawer
	run      string // sets this run's numbers apart from those of an earlier one

	mu      sync.Mutex
	pages   templates.Pages // the last that could be built; nil if there is none
	failure error
	number  int           // of the state; changes when pages or failure do
	changed chan struct{} // closed when number changes
}

func newDesk(dir, out string, c *console) *desk {
	return &desk{dir: dir, out: out, console: c, drawer: newDrawer(dir),
		run: fmt.Sprintf("%x", time.Now().UnixNano()), changed: make(chan struct{})}
}

// build makes the workbook, publishes it, and tells the open pages.
func (d *desk) build() {
	began := time.Now()
	p := d.console.progress()
	pages, err := makePages(d.dir, d.drawer, p)
	p.done()
	if err == nil {
		d.drawer.Sweep()
	}
	have := d.state()
	switch {
	case err != nil && have.failure != nil && err.Error() == have.failure.Error():
		return
	case err != nil:
		d.console.report(err)
		if have.pages == nil {
			pages = lastWorkbook(d.out)
		} else {
			pages = have.pages
		}
	case have.number > 0 && have.failure == nil && maps.EqualFunc(pages, have.pages, slices.Equal):
		return // saved without a change that matters
	default:
		if err = d.console.heed(publish.Folder(d.out, pages)); err != nil {
			d.console.report(err)
		} else {
			fmt.Fprintf(d.console.out, "%s: built in %.2f s\n", time.Now().Format(time.TimeOnly), time.Since(began).Seconds())
		}
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.pages, d.failure = pages, err
	d.number++
	close(d.changed)
	d.changed = make(chan struct{})
}

// A deskState is what the desk holds at one moment.
type deskState struct {
	pages   templates.Pages
	failure error
	number  int
	id      string // of the state, for pages to compare
	changed <-chan struct{}
}

func (d *desk) state() deskState {
	d.mu.Lock()
	defer d.mu.Unlock()
	return deskState{d.pages, d.failure, d.number, fmt.Sprintf("%s-%d", d.run, d.number), d.changed}
}
