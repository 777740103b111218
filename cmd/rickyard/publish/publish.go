// Package publish puts what was made in the place of what was there: a folder of
// pages, or a single file, whole or not at all.
//
// What is new is written beside its place under a name of its own and flushed to
// the disk; then, under a lock, the two are exchanged, in one step where the system
// can; only then does what was there go. Cut off at any moment, by a kill, a power
// cut or a full disk, the place holds the old or the new one, whole.
//
// A folder holds a list of what was written there, with checksums. Files that are
// not on it, or no longer what was written, are somebody else's work: they are
// looked for before and again after the exchange, and never thrown away. Nothing in
// the folder is read through a link.
package publish

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// Folder puts files, by their names with slashes, in the place of the folder dir.
// Warnings say what is left over, or was saved there in the meantime, and what to
// do; the folder is then the new one all the same. An error leaves it as it was.
func Folder(dir string, files map[string][]byte) (warnings []string, err error) {
	return folder(system{}, dir, files)
}

// File puts a text in the place of a file.
func File(name string, text []byte) (warnings []string, err error) {
	return file(system{}, name, text)
}

// Check returns an error if dir holds what no build wrote, or wrote otherwise: a
// build there would lose it. First it puts right what a build left that was cut off.
func Check(dir string) (warnings []string, err error) {
	if _, err := os.Stat(filepath.Dir(dir)); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	place, err := claim(system{}, dir)
	if err != nil {
		return nil, err
	}
	defer func() { warnings = append(place.warnings, place.release()...) }()
	if err := place.recover(); err != nil {
		return nil, err
	}
	_, err = survey(place.name)
	return nil, err
}

func folder(disk layer, dir string, files map[string][]byte) (warnings []string, err error) {
	place, err := claim(disk, dir)
	if err != nil {
		return nil, err
	}
	defer func() { warnings = append(place.warnings, place.release()...) }()
	if err := place.recover(); err != nil {
		return nil, err
	}
	before, err := survey(place.name)
	if err != nil {
		return nil, err
	}
	next := place.fresh()
	if err := write(disk, next, files); err != nil {
		place.discard(next)
		return nil, fmt.Errorf("%w\nNothing in %s was changed", err, place.name)
	}
	if before == nil {
		err = disk.rename(next, place.name)
	} else {
		err = place.exchange(next)
	}
	if err != nil {
		place.discard(next)
		return nil, err
	}
	place.flush()
	if before != nil {
		place.retire(next, before)
	}
	return nil, nil
}

// write writes files into a new folder, then their list, and flushes all of it.
func write(disk layer, dir string, files map[string][]byte) error {
	names := make([]string, 0, len(files))
	for name := range files {
		if !fs.ValidPath(name) || path.Clean(name) != name || strings.ContainsAny(name, "\r\n") || name == listName {
			return fmt.Errorf("%q can't be the name of a page", name)
		}
		names = append(names, name)
	}
	slices.Sort(names)
	folders := []string{dir}
	if err := disk.mkdir(dir); err != nil {
		return err
	}
	made := map[string]bool{".": true}
	for _, name := range names {
		for _, parent := range parents(name) {
			if made[parent] {
				continue
			}
			made[parent] = true
			folders = append(folders, filepath.Join(dir, filepath.FromSlash(parent)))
			if err := disk.mkdir(folders[len(folders)-1]); err != nil {
				return err
			}
		}
	}
	if err := writeAll(disk, dir, names, files); err != nil {
		return err
	}
	// A folder with a list is a whole one.
	list := filepath.Join(dir, listName)
	if err := writeFile(disk, list+".part", listOf(names, files)); err != nil {
		return err
	}
	if err := disk.rename(list+".part", list); err != nil {
		return err
	}
	for _, folder := range slices.Backward(folders) {
		if err := disk.sync(folder); err != nil {
			return err
		}
	}
	return nil
}

// parents are the folders that a name lies in, the outermost first.
func parents(name string) []string {
	var list []string
	for i, c := range name {
		if c == '/' {
			list = append(list, name[:i])
		}
	}
	return list
}

// writeAll writes the files a few at a time: flushing is waiting.
func writeAll(disk layer, dir string, names []string, files map[string][]byte) error {
	const atOnce = 8
	failures := make(chan error, atOnce)
	for worker := range atOnce {
		go func() {
			for i := worker; i < len(names); i += atOnce {
				if err := writeFile(disk, filepath.Join(dir, filepath.FromSlash(names[i])), files[names[i]]); err != nil {
					failures <- err
					return
				}
			}
			failures <- nil
		}()
	}
	var first error
	for range atOnce {
		if err := <-failures; first == nil {
			first = err
		}
	}
	return first
}

// writeFile writes a new file and flushes it.
func writeFile(disk layer, name string, text []byte) error {
	f, err := disk.create(name)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

func file(disk layer, name string, text []byte) (warnings []string, err error) {
	place, err := claim(disk, name)
	if err != nil {
		return nil, err
	}
	defer func() { warnings = append(place.warnings, place.release()...) }()
	if info, err := os.Lstat(place.name); err == nil && info.IsDir() {
		return nil, fmt.Errorf("%s is a folder; name a file", place.name)
	}
	for _, left := range place.leftovers() {
		place.discard(left)
	}
	next := place.fresh()
	err = writeFile(disk, next, text)
	if err == nil {
		err = disk.rename(next, place.name)
	}
	if err != nil {
		place.discard(next)
		return nil, fmt.Errorf("%w\n%s is as it was", err, place.name)
	}
	place.flush()
	return nil, nil
}
