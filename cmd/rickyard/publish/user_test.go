//go:build linux

package publish

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// The variables by which the tests' own program is told to publish: once, or until
// it is killed.
const (
	asUser  = "RICKYARD_PUBLISH_ONCE"
	forever = "RICKYARD_PUBLISH_FOREVER"
	nobody  = 65534
)

// TestMain publishes, if it is told to, and says how it went.
func TestMain(m *testing.M) {
	for n := 0; os.Getenv(forever) != ""; n++ {
		if _, err := Folder(os.Getenv(forever), edition(n%3)); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
	}
	dir := os.Getenv(asUser)
	if dir == "" {
		os.Exit(m.Run())
	}
	warnings, err := Folder(dir, edition(1))
	fmt.Println(strings.Join(warnings, "\n"))
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
}

// publishAs publishes edition 1 as the user nobody.
func publishAs(t *testing.T, dir string) (said string, err error) {
	t.Helper()
	if os.Getuid() != 0 {
		t.Skip("only root can become another user")
	}
	// The test's own binary may lie where nobody can go.
	self, err := os.ReadFile(os.Args[0])
	if err != nil {
		t.Fatal(err)
	}
	open, err := os.MkdirTemp("/tmp", "rickyard-user-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.RemoveAll(open) })
	program := filepath.Join(open, "publish.test")
	for _, err := range []error{os.Chmod(open, 0o755), os.WriteFile(program, self, 0o755)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(program)
	cmd.Env = append(os.Environ(), asUser+"="+dir)
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	err = cmd.Run()
	return out.String(), err
}

// openFolder is a folder that everybody can go to and, if shared, write to.
func openFolder(t *testing.T, shared bool) string {
	t.Helper()
	parent, err := os.MkdirTemp("/tmp", "rickyard-shared-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.RemoveAll(parent) })
	mode := os.FileMode(0o755)
	if shared {
		mode = 0o777
	}
	if err := os.Chmod(parent, mode); err != nil {
		t.Fatal(err)
	}
	return parent
}

// After a build by one user another's builds publish, and say what he has to have
// removed; again and again.
func TestAnotherUser(t *testing.T) {
	parent := openFolder(t, true)
	dir := filepath.Join(parent, "public")
	warnings, err := Folder(dir, edition(0))
	quiet(t, warnings, err)
	put(t, filepath.Join(dir, ".gitignore"), "*")
	for range 2 {
		said, err := publishAs(t, dir)
		if err != nil || !strings.Contains(said, "can be removed") && !strings.Contains(said, "is kept") {
			t.Fatalf("%v: %s", err, said)
		}
		got := holds(t, dir)
		delete(got, ".gitignore")
		if !same(got, edition(1)) {
			t.Error("not the new edition")
		}
	}
	if gone := filepath.Join(parent, ".public"+lockEnd); exists(gone) {
		t.Errorf("%s is left", gone)
	}
}

func exists(name string) bool { _, err := os.Lstat(name); return err == nil }

// Where nothing can be written nothing is changed, and the reason is told.
func TestReadOnlyFolder(t *testing.T) {
	dir := filepath.Join(openFolder(t, false), "public")
	warnings, err := Folder(dir, edition(0))
	quiet(t, warnings, err)
	said, err := publishAs(t, dir)
	if err == nil || !strings.Contains(said, "permission denied") || !strings.Contains(said, "was changed") {
		t.Errorf("%v: %s", err, said)
	}
	if !same(holds(t, dir), edition(0)) {
		t.Error("the old edition is gone")
	}
	alone(t, filepath.Dir(dir), "public")
}

// A disk that fills up while a workbook is written keeps the old one whole.
func TestFullDisk(t *testing.T) {
	parent := t.TempDir()
	if err := syscall.Mount("tmpfs", parent, "tmpfs", 0, "size=1m"); err != nil {
		t.Skip(err)
	}
	defer syscall.Unmount(parent, 0)
	dir := filepath.Join(parent, "public")
	warnings, err := Folder(dir, edition(0))
	quiet(t, warnings, err)
	large := edition(1)
	large["large.html"] = make([]byte, 2<<20)
	if _, err := Folder(dir, large); err == nil || !strings.Contains(err.Error(), "no space left") {
		t.Error(err)
	}
	if !same(holds(t, dir), edition(0)) {
		t.Error("the old edition is gone")
	}
	alone(t, parent, "public")
	warnings, err = Folder(dir, edition(2))
	quiet(t, warnings, err)
}

// Two programs publish into one folder without end and are killed at any moment: the
// folder always holds one edition, whole, and the next build tidies up. The kills
// are 300 if RICKYARD_LONG is set.
func TestKilled(t *testing.T) {
	kills := 8
	if os.Getenv("RICKYARD_LONG") != "" {
		kills = 300
	}
	parent := t.TempDir()
	dir := filepath.Join(parent, "public")
	warnings, err := Folder(dir, edition(0))
	quiet(t, warnings, err)
	put(t, filepath.Join(dir, ".gitignore"), "*")
	r := rand.New(rand.NewPCG(19, 6))
	for k := range kills {
		var running []*exec.Cmd
		for range 2 {
			cmd := exec.Command(os.Args[0])
			cmd.Env = append(os.Environ(), forever+"="+dir)
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			running = append(running, cmd)
		}
		time.Sleep(20*time.Millisecond + time.Duration(r.IntN(200_000))*time.Microsecond)
		for _, cmd := range running {
			_ = cmd.Process.Kill()
			_ = cmd.Wait() // that it was killed is no news
		}
		got := holds(t, dir)
		delete(got, ".gitignore") // may still be on its way
		if !same(got, edition(0)) && !same(got, edition(1)) && !same(got, edition(2)) {
			t.Fatalf("after kill %d: %v", k, got)
		}
		warnings, err := Folder(dir, edition(k%3))
		quiet(t, warnings, err)
		if text, _ := os.ReadFile(filepath.Join(dir, ".gitignore")); string(text) != "*" {
			t.Fatalf("after kill %d .gitignore is lost", k)
		}
		alone(t, parent, "public")
	}
}
