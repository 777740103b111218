package publish

import (
	"errors"
	"fmt"

	"golang.org/x/sys/unix"
)

func exchange(one, other string) error {
	err := unix.RenamexNp(one, other, unix.RENAME_SWAP)
	if errors.Is(err, unix.ENOSYS) || errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP) {
		return fmt.Errorf("%w: %w", errors.ErrUnsupported, err)
	}
	return err
}
