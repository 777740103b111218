package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// asCommand in the environment makes the test program the command itself.
const asCommand = "RICKYARD_TEST_AS_COMMAND"

func TestMain(m *testing.M) {
	if os.Getenv(asCommand) != "" {
		main()
		return
	}
	testscript.Main(m, map[string]func(){"rickyard": main})
}

const (
	repo  = "../.."
	small = "../../testdata/small"
)

func TestScripts(t *testing.T) {
	whole, err := filepath.Abs(repo)
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("XDG_CACHE_HOME", filepath.Join(env.WorkDir, ".cache"))
			env.Setenv("REPO", whole)
			// The small workbook, to be changed at will.
			return os.CopyFS(filepath.Join(env.WorkDir, "farm"), os.DirFS(small))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"sametree": sameTree,
			"status":   exitStatus,
			"edit":     edit,
			"touched":  touched,
			"spoil":    spoil,
		},
	})
}

// tree reads all files of a folder.
func tree(dir string) (map[string]string, error) {
	files := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		raw, err := os.ReadFile(path)
		files[filepath.ToSlash(name)] = string(raw)
		return err
	})
	return files, err
}

// sameTree DIR DIR: both folders hold the same files, byte for byte.
func sameTree(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: sametree dir dir")
	}
	a, err := tree(ts.MkAbs(args[0]))
	ts.Check(err)
	b, err := tree(ts.MkAbs(args[1]))
	ts.Check(err)
	if len(a) == 0 {
		ts.Fatalf("%s is empty", args[0])
	}
	different := ""
	for name, text := range a {
		if other, ok := b[name]; !ok || other != text {
			different = name
		}
	}
	for name := range b {
		if _, ok := a[name]; !ok {
			different = name
		}
	}
	if (different != "") != neg {
		ts.Fatalf("%s and %s: %q differs", args[0], args[1], different)
	}
}

// exitStatus N COMMAND...: the command ends with the exit code N. What it said
// is then in stdout and stderr.
func exitStatus(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 || len(args[0]) != 1 {
		ts.Fatalf("usage: status n command...")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := 0
	if exit := new(exec.ExitError); errors.As(err, &exit) {
		got = exit.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if want := int(args[0][0] - '0'); got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// edit FILE OLD NEW: replaces a text in a file, which must have it.
func edit(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: edit file old new")
	}
	text := ts.ReadFile(args[0])
	if !strings.Contains(text, args[1]) {
		ts.Fatalf("%s has no %q", args[0], args[1])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Replace(text, args[1], args[2], 1)), 0o644))
}

// touched DIR: gives every file of a folder another date.
func touched(ts *testscript.TestScript, neg bool, args []string) {
	files, err := tree(ts.MkAbs(args[0]))
	ts.Check(err)
	day := time.Date(1999, 12, 31, 23, 59, 0, 0, time.UTC)
	for name := range files {
		ts.Check(os.Chtimes(filepath.Join(ts.MkAbs(args[0]), name), day, day))
	}
}

// spoil DIR: changes a byte of every file of a folder, which must have some.
func spoil(ts *testscript.TestScript, neg bool, args []string) {
	files, err := tree(ts.MkAbs(args[0]))
	ts.Check(err)
	if len(files) == 0 {
		ts.Fatalf("%s is empty", args[0])
	}
	for name, text := range files {
		ts.Check(os.WriteFile(filepath.Join(ts.MkAbs(args[0]), name), []byte(strings.Replace(text, "svg", "svG", 1)), 0o644))
	}
}

// A result is what came of running the command as a process of its own.
type result struct {
	code     int
	out, err string
}

// longestRun ends a run that hangs. It is far more than any may take.
const longestRun = 2 * time.Minute

// command runs rickyard in a folder.
func command(t *testing.T, dir string, args ...string) result {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), longestRun)
	defer cancel()
	c := commandFor(ctx, t, dir, args...)
	var out, errOut bytes.Buffer
	c.Stdout, c.Stderr = &out, &errOut
	err := c.Run()
	if ctx.Err() != nil {
		t.Fatalf("rickyard %v did not end", args)
	}
	if exit := new(exec.ExitError); err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return result{c.ProcessState.ExitCode(), out.String(), errOut.String()}
}

func commandFor(ctx context.Context, t *testing.T, dir string, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.CommandContext(ctx, self, args...)
	c.Dir = dir
	c.Env = append(os.Environ(), asCommand+"=1", "XDG_CACHE_HOME="+cacheHome(t))
	return c
}

// cacheHome is one cache for all tests of this run.
func cacheHome(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(os.TempDir(), "rickyard-test-cache")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	return dir
}

// copyFolder copies the data and content of a workbook into a new folder.
func copyFolder(t testing.TB, from string) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range sources {
		if err := os.CopyFS(filepath.Join(dir, name), os.DirFS(filepath.Join(from, name))); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func write(t testing.TB, name, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func read(t testing.TB, name string) string {
	t.Helper()
	raw, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

// replace edits a file, which must hold the old text once.
func replace(t *testing.T, name, old, new string) {
	t.Helper()
	text := read(t, name)
	if strings.Count(text, old) != 1 {
		t.Fatalf("%s holds %q %d times", name, old, strings.Count(text, old))
	}
	write(t, name, strings.Replace(text, old, new, 1))
}

func readFigures(t *testing.T, raw []byte) map[string]record {
	t.Helper()
	var list []record
	if err := json.Unmarshal(raw, &list); err != nil {
		t.Fatal(err)
	}
	byName := map[string]record{}
	for i, r := range list {
		if i > 0 && list[i-1].Name >= r.Name {
			t.Errorf("%s does not stand before %s", list[i-1].Name, r.Name)
		}
		if r.Kind != "input" && r.Kind != "worked" {
			t.Errorf("%s is of the kind %q", r.Name, r.Kind)
		}
		if r.Text == "" || r.File == "" || r.Line < 1 {
			t.Errorf("%s: text %q, place %s:%d", r.Name, r.Text, r.File, r.Line)
		}
		byName[r.Name] = r
	}
	return byName
}
