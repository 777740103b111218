package publish

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// edition returns the pages of an edition, and none of another's.
func edition(n int) map[string][]byte {
	files := map[string][]byte{}
	for i := range 12 {
		files[fmt.Sprintf("page-%d.html", i)] = fmt.Appendf(nil, "edition %d, page %d", n, i)
		files[fmt.Sprintf("tables/of-%d/%d.csv", n, i)] = fmt.Appendf(nil, "edition %d, table %d", n, i)
	}
	return files
}

// holds returns what is in a folder, but for its list.
func holds(t *testing.T, dir string) map[string][]byte {
	t.Helper()
	found, _, err := look(dir)
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for name, s := range found {
		if name != listName && s.mode.IsRegular() {
			files[name], _ = os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		}
	}
	return files
}

func same(a, b map[string][]byte) bool { return maps.EqualFunc(a, b, slices.Equal) }

// alone fails if anything but these stands beside each other.
func alone(t *testing.T, parent string, names ...string) {
	t.Helper()
	entries, _ := os.ReadDir(parent)
	var here []string
	for _, e := range entries {
		here = append(here, e.Name())
	}
	if !slices.Equal(here, names) {
		t.Errorf("beside each other stand %q, want %q", here, names)
	}
}

func put(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// quiet fails on an error or a warning.
func quiet(t *testing.T, warnings []string, err error) {
	t.Helper()
	if err != nil || len(warnings) > 0 {
		t.Fatalf("%q, %v", warnings, err)
	}
}

func TestFolder(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "public")
	for n := range 3 {
		warnings, err := Folder(dir, edition(n))
		quiet(t, warnings, err)
		if !same(holds(t, dir), edition(n)) {
			t.Fatalf("edition %d: %v", n, holds(t, dir))
		}
	}
	alone(t, parent, "public")
	names, err := Names(dir)
	if want := slices.Sorted(maps.Keys(edition(2))); err != nil || !slices.Equal(names, want) {
		t.Errorf("%v, %v", names, err)
	}
}

// A folder is exchanged by two names where the system can't do it in one step.
func TestFolderByTwoNames(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "public")
	for n := range 3 {
		warnings, err := folder(&faulty{plain: true}, dir, edition(n))
		quiet(t, warnings, err)
		if !same(holds(t, dir), edition(n)) {
			t.Fatalf("edition %d", n)
		}
	}
	alone(t, parent, "public")
}

func TestFile(t *testing.T) {
	parent := t.TempDir()
	name := filepath.Join(parent, "book.pdf")
	put(t, filepath.Join(parent, ".book.pdf"+newMark+"abc"), "cut off")
	for _, text := range []string{"one", "two"} {
		warnings, err := File(name, []byte(text))
		quiet(t, warnings, err)
		if got, _ := os.ReadFile(name); string(got) != text {
			t.Errorf("%q, want %q", got, text)
		}
	}
	alone(t, parent, "book.pdf")
	if _, err := File(parent, nil); err == nil || !strings.Contains(err.Error(), "is a folder") {
		t.Error(err)
	}
	// What a link leads to stays.
	if os.Symlink("book.pdf", filepath.Join(parent, "link.pdf")) == nil {
		warnings, err := File(filepath.Join(parent, "link.pdf"), []byte("three"))
		quiet(t, warnings, err)
		if got, _ := os.ReadFile(name); string(got) != "two" {
			t.Errorf("%q went through a link", got)
		}
	}
}

// Many builds write into one folder at once: it always holds one edition, whole.
func TestManyAtOnce(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "public")
	quietly := func(n int) {
		if warnings, err := Folder(dir, edition(n)); err != nil || len(warnings) > 0 {
			t.Errorf("edition %d: %q, %v", n, warnings, err)
		}
	}
	quietly(0)
	var writers sync.WaitGroup
	for n := range 6 {
		writers.Go(func() {
			for range 10 {
				quietly(n)
			}
		})
	}
	writers.Wait()
	got := holds(t, dir)
	if !slices.ContainsFunc([]int{0, 1, 2, 3, 4, 5}, func(n int) bool { return same(got, edition(n)) }) {
		t.Errorf("a mixture: %v", slices.Sorted(maps.Keys(got)))
	}
	alone(t, parent, "public")
}

// What no build wrote, or wrote otherwise, is never lost: neither what lies there
// before, nor what is saved there while a build runs.
func TestOtherPeoplesFiles(t *testing.T) {
	for _, c := range []struct{ name, text, says string }{
		{"letter.txt", "Dear Ada", "which no build made"},
		{"tables/of-0/mine.csv", "1,2", "which no build made"},
		{"page-3.html", "edited by hand", "was changed after it was built"},
	} {
		parent := t.TempDir()
		dir := filepath.Join(parent, "public")
		warnings, err := Folder(dir, edition(0))
		quiet(t, warnings, err)
		mine := filepath.Join(dir, filepath.FromSlash(c.name))
		put(t, mine, c.text)
		for _, try := range []func() ([]string, error){
			func() ([]string, error) { return Check(dir) },
			func() ([]string, error) { return Folder(dir, edition(1)) },
		} {
			if _, err := try(); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%s: %v", c.name, err)
			}
		}
		if got, _ := os.ReadFile(mine); string(got) != c.text {
			t.Errorf("%s: %q is left", c.name, got)
		}
		alone(t, parent, "public")
	}
}

func TestSavedMeanwhile(t *testing.T) {
	for _, name := range []string{"letter.txt", "page-3.html"} {
		for _, plain := range []bool{false, true} {
			parent := t.TempDir()
			dir := filepath.Join(parent, "public")
			warnings, err := Folder(dir, edition(0))
			quiet(t, warnings, err)
			disk := &faulty{plain: plain, before: func(step string) {
				if strings.HasPrefix(step, "exchange") {
					put(t, filepath.Join(dir, name), "Dear Ada")
				}
			}}
			warnings, err = folder(disk, dir, edition(1))
			if err != nil || len(warnings) != 1 || !strings.Contains(warnings[0], "was saved while") {
				t.Fatalf("%s: %q, %v", name, warnings, err)
			}
			kept := false
			_ = filepath.WalkDir(parent, func(file string, _ os.DirEntry, _ error) error {
				text, _ := os.ReadFile(file)
				kept = kept || string(text) == "Dear Ada" && strings.Contains(warnings[0], file)
				return nil
			})
			if !kept {
				t.Errorf("%s is lost: %q", name, warnings)
			}
			got := holds(t, dir)
			delete(got, "letter.txt")
			if !same(got, edition(1)) {
				t.Errorf("%s: the workbook is not the new one", name)
			}
		}
	}
}

// What systems and programs leave about, and what the user keeps there, comes along
// as it is.
func TestBystanders(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "public")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	names := []string{".gitignore", ".nojekyll", ".DS_Store", "Thumbs.db", "desktop.ini", ".~lock.sales.csv#", "~$sales.xlsx", "._page.html"}
	for _, name := range names {
		put(t, filepath.Join(dir, name), name)
	}
	for n := range 2 {
		warnings, err := Folder(dir, edition(n))
		quiet(t, warnings, err)
		put(t, filepath.Join(dir, "tables", ".DS_Store"), "again")
		for _, name := range names {
			if got, _ := os.ReadFile(filepath.Join(dir, name)); string(got) != name {
				t.Errorf("build %d: %s holds %q", n, name, got)
			}
		}
	}
}

// Links come along unread, whatever they lead to.
func TestLinksAreNotRead(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "public")
	warnings, err := Folder(dir, edition(0))
	quiet(t, warnings, err)
	secret := filepath.Join(parent, "secret")
	put(t, secret, "secret")
	for _, to := range []string{secret, "/dev/zero", filepath.Join(parent, "nowhere"), ".gitignore"} {
		link := filepath.Join(dir, ".gitignore")
		if err := os.Symlink(to, link); err != nil {
			t.Skip(err)
		}
		warnings, err := Folder(dir, edition(1))
		quiet(t, warnings, err)
		if got, err := os.Readlink(link); err != nil || got != to {
			t.Errorf("%s: %s, %v", to, got, err)
		}
		_ = os.Remove(link)
	}
	// A page, or the list itself, that is now a link is not the build's own.
	for _, name := range []string{"page-1.html", listName} {
		page := filepath.Join(dir, name)
		text, _ := os.ReadFile(page)
		put(t, secret, string(text))
		_ = os.Remove(page)
		if err := os.Symlink(secret, page); err != nil {
			t.Fatal(err)
		}
		if _, err := Folder(dir, edition(2)); err == nil {
			t.Errorf("%s: a link was taken for what was written", name)
		}
		if _, err := Read(dir, name); err == nil {
			t.Errorf("%s was read through a link", name)
		}
		_ = os.Remove(page)
		put(t, page, string(text))
	}
}

// The lists of older programs have no checksums.
func TestOldList(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "public")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(dir, "index.html"), "old")
	put(t, filepath.Join(dir, listName), "index.html\n../outside.txt\n")
	warnings, err := Folder(dir, edition(1))
	quiet(t, warnings, err)
	if !same(holds(t, dir), edition(1)) {
		t.Error("not the new one")
	}
}

// A build says who is writing if it has to wait for long.
func TestLockIsTold(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "public")
	p, err := claim(system{}, dir)
	if err != nil || p.lock == nil {
		t.Fatal(err)
	}
	patience = 50 * time.Millisecond
	defer func() { patience = usualPatience }()
	if _, err := Folder(dir, edition(0)); err == nil || !strings.Contains(err.Error(), "another program") ||
		runtime.GOOS != "windows" && !strings.Contains(err.Error(), fmt.Sprintf("process %d", os.Getpid())) {
		t.Error(err)
	}
	p.release()
	warnings, err := Folder(dir, edition(0))
	quiet(t, warnings, err)
}

// A faulty disk fails, or stops for good, at one step of all.
type faulty struct {
	system
	failAt int  // counted from 1
	dead   bool // nothing happens after the failure: a kill, a power cut
	plain  bool // folders can't be exchanged in one step
	before func(step string)

	mu    sync.Mutex
	steps int
	gone  bool
}

var errDisk = errors.New("the disk is full")

func (f *faulty) step(what string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.before != nil {
		f.before(what)
	}
	f.steps++
	if f.gone || f.steps == f.failAt {
		f.gone = f.dead
		return errDisk
	}
	return nil
}

func (f *faulty) mkdir(name string) error {
	if err := f.step("mkdir " + name); err != nil {
		return err
	}
	return f.system.mkdir(name)
}

func (f *faulty) create(name string) (output, error) {
	if err := f.step("create " + name); err != nil {
		return nil, err
	}
	file, err := f.system.create(name)
	return &faultyFile{file, f, name}, err
}

func (f *faulty) sync(name string) error {
	if err := f.step("sync " + name); err != nil {
		return err
	}
	return f.system.sync(name)
}

func (f *faulty) rename(from, to string) error {
	if err := f.step("rename " + to); err != nil {
		return err
	}
	return f.system.rename(from, to)
}

func (f *faulty) exchange(one, other string) error {
	if err := f.step("exchange " + other); err != nil {
		return err
	}
	if f.plain {
		return errors.ErrUnsupported
	}
	return f.system.exchange(one, other)
}

func (f *faulty) remove(name string) error {
	if err := f.step("remove " + name); err != nil {
		return err
	}
	return f.system.remove(name)
}

// A faultyFile writes half of what it should before it fails.
type faultyFile struct {
	output
	disk *faulty
	name string
}

func (f *faultyFile) Write(text []byte) (int, error) {
	if err := f.disk.step("write " + f.name); err != nil {
		n, _ := f.output.Write(text[:len(text)/2])
		return n, err
	}
	return f.output.Write(text)
}

func (f *faultyFile) Sync() error {
	if err := f.disk.step("flush " + f.name); err != nil {
		return err
	}
	return f.output.Sync()
}

// Whatever step fails, and whether the program goes on or is cut off there, the
// folder holds the old or the new edition whole, and the next build puts it right.
func TestEveryStepFailsOnce(t *testing.T) {
	small := func(n int) map[string][]byte {
		return map[string][]byte{"index.html": fmt.Appendf(nil, "edition %d", n), fmt.Sprintf("tables/%d.csv", n): []byte("1")}
	}
	for _, dead := range []bool{false, true} {
		for _, plain := range []bool{false, true} {
			for n := 1; ; n++ {
				parent := t.TempDir()
				dir := filepath.Join(parent, "public")
				if err := os.MkdirAll(dir, 0o755); err != nil {
					t.Fatal(err)
				}
				put(t, filepath.Join(dir, ".gitignore"), "*")
				warnings, err := Folder(dir, small(1))
				quiet(t, warnings, err)
				disk := &faulty{failAt: n, dead: dead, plain: plain}
				warnings, err = folder(disk, dir, small(2))
				if disk.steps < n {
					break // no step was left to fail
				}
				want := small(2)
				if err != nil {
					want = small(1)
				}
				if err == nil && len(warnings) == 0 {
					t.Errorf("step %d: the failure was not told", n)
				}
				name := fmt.Sprintf("step %d, dead %v, plain %v: %q, %v", n, dead, plain, warnings, err)
				// Between two renames the place is empty for a moment; the next run
				// of anything begins with putting the last one back.
				if _, err := Check(dir); err != nil {
					t.Errorf("%s: then %v", name, err)
				}
				got := holds(t, dir)
				if string(got[".gitignore"]) != "*" {
					t.Errorf("%s: .gitignore is lost", name)
				}
				delete(got, ".gitignore")
				if !same(got, want) {
					t.Errorf("%s: holds %v", name, slices.Sorted(maps.Keys(got)))
				}
				warnings, err = Folder(dir, small(3))
				if err != nil || len(warnings) > 0 {
					t.Errorf("%s: the next build: %q, %v", name, warnings, err)
				}
				alone(t, parent, "public")
			}
		}
	}
}

func TestEveryStepOfAFileFailsOnce(t *testing.T) {
	for _, dead := range []bool{false, true} {
		for n := 1; ; n++ {
			parent := t.TempDir()
			name := filepath.Join(parent, "book.pdf")
			put(t, name, "the old one")
			disk := &faulty{failAt: n, dead: dead}
			_, err := file(disk, name, []byte("the new one"))
			if disk.steps < n {
				break
			}
			want := "the new one"
			if err != nil {
				want = "the old one"
			}
			if got, _ := os.ReadFile(name); string(got) != want {
				t.Errorf("step %d: %q, want %q", n, got, want)
			}
			warnings, err := File(name, []byte("the next"))
			quiet(t, warnings, err)
			alone(t, parent, "book.pdf")
		}
	}
}
