package publish

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/gofrs/flock"
)

// A place is where a folder or a file goes, while this program alone writes there.
type place struct {
	disk     layer
	name     string // from the root
	lock     *flock.Flock
	warnings []string
}

// Beside a place stand its lock, what is being written, and, where the system can't
// exchange two folders in one step, the last one for a moment.
const (
	lockEnd = ".rickyard-lock"
	newMark = ".rickyard-new-"
	lastEnd = ".rickyard-last"
)

func (p *place) beside(end string) string {
	return filepath.Join(filepath.Dir(p.name), "."+filepath.Base(p.name)+end)
}

// fresh is a name that nobody else uses.
func (p *place) fresh() string { return p.beside(newMark + strings.ToLower(rand.Text()[:10])) }

// patience is how long a program waits for another that writes into the same place:
// longer than writing takes.
var patience = usualPatience

const usualPatience = 30 * time.Second

// claim waits until this program alone writes to a place. Where the disk knows no
// locks, it goes on without.
func claim(disk layer, name string) (*place, error) {
	name, err := filepath.Abs(name)
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return nil, err
	}
	p := &place{disk: disk, name: name}
	waiting, stop := context.WithTimeout(context.Background(), patience)
	defer stop()
	for {
		p.lock = flock.New(p.beside(lockEnd), flock.SetPermissions(0o644))
		got, err := p.lock.TryLockContext(waiting, 20*time.Millisecond)
		if errors.Is(err, context.DeadlineExceeded) {
			who, _ := os.ReadFile(p.beside(lockEnd)) // nothing if it can't be read
			return nil, fmt.Errorf("another program%s is writing to %s; wait until it is done, then try again", strings.TrimSuffix(string(who), "\n"), name)
		}
		if err != nil || !got {
			p.lock = nil
			return p, nil
		}
		// Who had the lock before may have taken its file away meanwhile.
		here, err := os.Lstat(p.beside(lockEnd))
		held, e := p.lock.Stat()
		if err == nil && e == nil && os.SameFile(here, held) {
			_ = os.WriteFile(p.beside(lockEnd), fmt.Appendf(nil, " (process %d)\n", os.Getpid()), 0o644) // only helps to tell who it is
			return p, nil
		}
		_ = p.lock.Close()
	}
}

// release lets others write to the place, and returns what could not be tidied up.
func (p *place) release() []string {
	if p.lock == nil {
		return nil
	}
	// Where an open file can't be removed the lock's stays, and locks again.
	_ = os.Remove(p.beside(lockEnd))
	if err := p.lock.Close(); err != nil {
		return []string{fmt.Sprintf("%s can be removed: %v", p.beside(lockEnd), err)}
	}
	return nil
}

func (p *place) warn(format string, args ...any) {
	p.warnings = append(p.warnings, fmt.Sprintf(format, args...))
}

// leftovers are what programs that were cut off left beside the place. None of them
// writes there any more: the lock is ours.
func (p *place) leftovers() []string {
	entries, err := os.ReadDir(filepath.Dir(p.name))
	if err != nil {
		return nil
	}
	var left []string
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), "."+filepath.Base(p.name)+newMark) {
			left = append(left, filepath.Join(filepath.Dir(p.name), e.Name()))
		}
	}
	return left
}

// recover puts back the last folder if a build was cut off between taking it away
// and putting the new one in its place, and tidies up.
func (p *place) recover() error {
	last := p.beside(lastEnd)
	if _, err := os.Lstat(last); err == nil {
		if _, err := os.Lstat(p.name); errors.Is(err, fs.ErrNotExist) {
			if err := p.disk.rename(last, p.name); err != nil {
				return err
			}
		} else {
			p.retire(last, nil)
		}
	}
	for _, left := range p.leftovers() {
		p.retire(left, nil)
	}
	return nil
}

// exchange puts next in the place, and what was there under next's name.
func (p *place) exchange(next string) error {
	err := p.disk.exchange(next, p.name)
	if err == nil || !errors.Is(err, errors.ErrUnsupported) {
		return err
	}
	last := p.beside(lastEnd)
	if err := p.disk.rename(p.name, last); err != nil {
		return fmt.Errorf("the last workbook can't be moved away; close what has it open: %w", err)
	}
	if err := p.disk.rename(next, p.name); err != nil {
		return errors.Join(err, p.disk.rename(last, p.name))
	}
	if err := p.disk.rename(last, next); err != nil {
		p.warn("%s is the last workbook, and can be removed: %v", last, err)
	}
	return nil
}

// flush sees to it that the exchange itself is on the disk.
func (p *place) flush() {
	if err := p.disk.sync(filepath.Dir(p.name)); err != nil {
		p.warn("%s is written, but may not outlast a power cut: %v", p.name, err)
	}
}

// discard removes what is of no use to anybody.
func (p *place) discard(name string) {
	if err := p.disk.remove(name); err != nil {
		p.warn("%s is left over, and can be removed: %v", name, err)
	}
}

// retire removes a folder that was in the place before, but for what is somebody
// else's: that comes along. before is what it held when it was looked through.
func (p *place) retire(old string, before map[string]state) {
	found, list, err := look(old)
	unfinished := list == nil && before == nil // or it held nothing but bystanders
	if err != nil {
		p.warn("%s is left over from an earlier workbook, and could not be looked through; see whether anything in it is yours, then remove it: %v", old, err)
		return
	}
	kept := false
	for name, now := range found {
		was, known := before[name]
		sum, made := list[name]
		if name == listName || made && (known && was == now || !known && unchanged(old, name, sum)) || unfinished && !bystander(name) {
			continue
		}
		from, to := filepath.Join(old, filepath.FromSlash(name)), filepath.Join(p.name, filepath.FromSlash(name))
		err := bring(from, to)
		switch {
		case bystander(name) && (err == nil || errors.Is(err, fs.ErrExist)):
		case bystander(name):
			kept = true
			p.warn("%s could not come along into the new workbook, and is kept: %v", from, err)
		case err == nil:
			p.warn("%s was saved while the workbook was being written, and is no part of it; move it away before the next build", to)
		default:
			kept = true
			p.warn("%s was saved while the workbook was being written, and is kept: take what you need of it, then remove %s", from, old)
		}
	}
	if !kept {
		p.discard(old)
	}
}

// bring moves a file to where none is.
func bring(from, to string) error {
	if _, err := os.Lstat(to); !errors.Is(err, fs.ErrNotExist) {
		return fs.ErrExist
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return err
	}
	return os.Rename(from, to)
}
