package publish

import (
	"errors"
	"io"
	"os"
	"runtime"
	"syscall"
)

// A layer is what publishing asks of a disk. Tests let it fail.
type layer interface {
	mkdir(name string) error
	create(name string) (output, error)
	sync(folder string) error
	rename(from, to string) error
	// exchange swaps two folders in one step; errors.ErrUnsupported where the
	// system or the disk can't.
	exchange(one, other string) error
	remove(name string) error
}

type output interface {
	io.WriteCloser
	Sync() error
}

type system struct{}

func (system) mkdir(name string) error { return os.Mkdir(name, 0o755) }

func (system) create(name string) (output, error) {
	return os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
}

func (system) rename(from, to string) error { return os.Rename(from, to) }

func (system) exchange(one, other string) error { return exchange(one, other) }

func (system) remove(name string) error { return os.RemoveAll(name) }

func (system) sync(folder string) error {
	if runtime.GOOS == "windows" {
		return nil // its folders can't be flushed, and keep a journal
	}
	d, err := os.Open(folder)
	if err != nil {
		return err
	}
	err = d.Sync()
	if errors.Is(err, errors.ErrUnsupported) || errors.Is(err, syscall.EINVAL) {
		err = nil // a disk that can't flush folders
	}
	return errors.Join(err, d.Close())
}
