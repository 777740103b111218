package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"rickyard/templates"
)

// listName is the file by which a build knows a folder that it made: the names
// of its files, one a line.
const listName = ".rickyard-made"

// keeps are files of the user's that a build leaves where they are.
var keeps = []string{".gitignore"}

// publishable fails if dir holds a file that no build made: writing there would
// lose it.
func publishable(dir string) error {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return err
	}
	if err := putBack(dir); err != nil {
		return err
	}
	info, err := os.Lstat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case !info.IsDir():
		return fmt.Errorf("%s is not a folder but a file or a link; name another with --out", dir)
	}
	made := map[string]bool{listName: true}
	for _, name := range keeps {
		made[name] = true
	}
	names, err := madeNames(dir)
	if err != nil {
		return err
	}
	for _, name := range names {
		made[name] = true
	}
	var strange []string
	err = filepath.WalkDir(dir, func(file string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(dir, file)
		if err != nil {
			return err
		}
		if !entry.IsDir() && !made[filepath.ToSlash(name)] {
			strange = append(strange, filepath.ToSlash(name))
		}
		return nil
	})
	if err != nil {
		return err
	}
	if len(strange) > 0 {
		slices.Sort(strange)
		return fmt.Errorf("%s holds %s, which no build made (%d such files); nothing was written: move it away, or name another folder with --out", dir, strange[0], len(strange))
	}
	return nil
}

// madeNames lists the files of a folder that a build made.
func madeNames(dir string) ([]string, error) {
	list, err := readIn(dir, listName)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return strings.FieldsFunc(string(list), func(r rune) bool { return r == '\n' || r == '\r' }), err
}

// readIn reads a file of a folder, and none outside it.
func readIn(dir, name string) ([]byte, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	return root.ReadFile(filepath.FromSlash(name))
}

func fresh(dir string) string { return sibling(dir, "new") }
func last(dir string) string  { return sibling(dir, "last") }

// sibling is a folder beside dir, on the same disk, so that it can take dir's
// place by renaming.
func sibling(dir, what string) string {
	clean := filepath.Clean(dir)
	return filepath.Join(filepath.Dir(clean), "."+filepath.Base(clean)+".rickyard-"+what)
}

// putBack puts back the last workbook if a build was cut off between taking it
// away and putting the new one in its place.
func putBack(dir string) error {
	if _, err := os.Lstat(dir); !errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if _, err := os.Lstat(last(dir)); err != nil {
		return nil
	}
	return os.Rename(last(dir), dir)
}

// publish writes the files beside dir and then puts them in its place. If
// anything fails before that, dir is as it was.
func publish(dir string, pages templates.Pages) (err error) {
	dir, err = filepath.Abs(dir)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(dir), 0o755); err != nil {
		return err
	}
	next := fresh(dir)
	if err := os.RemoveAll(next); err != nil {
		return err
	}
	defer func() {
		if err != nil {
			_ = os.RemoveAll(next) // what is left over says nothing
		}
	}()
	names := make([]string, 0, len(pages))
	for name := range pages {
		if !fs.ValidPath(name) || path.Clean(name) != name || strings.ContainsAny(name, "\r\n") {
			return fmt.Errorf("%q can't be the name of a page", name)
		}
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		file := filepath.Join(next, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(file, pages[name], 0o644); err != nil {
			return err
		}
	}
	if err := os.MkdirAll(next, 0o755); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(next, listName), []byte(strings.Join(names, "\n")+"\n"), 0o644); err != nil {
		return err
	}
	for _, name := range keeps {
		raw, err := os.ReadFile(filepath.Join(dir, name))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(next, name), raw, 0o644); err != nil {
			return err
		}
	}
	return swap(dir, next)
}

// swap puts next in the place of dir, which need not exist.
func swap(dir, next string) error {
	old := last(dir)
	if err := os.RemoveAll(old); err != nil {
		return err
	}
	err := os.Rename(dir, old)
	if errors.Is(err, fs.ErrNotExist) {
		return os.Rename(next, dir)
	}
	if err != nil {
		return fmt.Errorf("the last workbook can't be moved away; close what has it open: %w", err)
	}
	if err := os.Rename(next, dir); err != nil {
		return errors.Join(err, os.Rename(old, dir))
	}
	return os.RemoveAll(old)
}
