//go:build !linux && !darwin

package publish

import "errors"

func exchange(one, other string) error { return errors.ErrUnsupported }
