package publish

import (
	"errors"
	"fmt"

	"golang.org/x/sys/unix"
)

func exchange(one, other string) error {
	return unsupported(unix.Renameat2(unix.AT_FDCWD, one, unix.AT_FDCWD, other, unix.RENAME_EXCHANGE))
}

// unsupported marks the answers by which systems and disks say that they can't.
func unsupported(err error) error {
	if errors.Is(err, unix.ENOSYS) || errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP) {
		return fmt.Errorf("%w: %w", errors.ErrUnsupported, err)
	}
	return err
}
