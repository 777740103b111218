package publish

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// listName is the file by which a build knows a folder that it made: a checksum and
// a name a line.
const listName = ".rickyard-made"

func listOf(names []string, files map[string][]byte) []byte {
	var out bytes.Buffer
	for _, name := range names {
		fmt.Fprintf(&out, "%x %s\n", sha256.Sum256(files[name]), name)
	}
	return out.Bytes()
}

// readList reads a list; a name without a checksum, as older programs wrote it, has
// "".
func readList(text string) map[string]string {
	list := map[string]string{}
	for line := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == '\n' || r == '\r' }) {
		sum, name, ok := strings.Cut(line, " ")
		if raw, err := hex.DecodeString(sum); !ok || err != nil || len(raw) != sha256.Size {
			sum, name = "", line
		}
		list[name] = sum
	}
	return list
}

// bystander tells whether a file is one that systems, programs and servers leave in
// a folder, or the user keeps there: it is let be, and comes along unread.
func bystander(name string) bool {
	base := path.Base(name)
	switch strings.ToLower(base) {
	case ".gitignore", ".nojekyll", ".ds_store", "thumbs.db", "desktop.ini":
		return true
	}
	return strings.HasPrefix(base, "~$") || strings.HasPrefix(base, "._") || strings.HasPrefix(base, ".~lock.") && strings.HasSuffix(base, "#")
}

// A state tells whether a file was touched.
type state struct {
	mode  fs.FileMode
	size  int64
	saved time.Time
}

// look returns what a folder holds but for folders, and what its list says it
// should.
func look(dir string) (found map[string]state, list map[string]string, err error) {
	found = map[string]state{}
	err = filepath.WalkDir(dir, func(file string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		info, err := entry.Info()
		if err != nil {
			return err
		}
		name, err := filepath.Rel(dir, file)
		found[filepath.ToSlash(name)] = state{info.Mode(), info.Size(), info.ModTime()}
		return err
	})
	if err != nil {
		return nil, nil, err
	}
	if _, ok := found[listName]; ok {
		text, err := Read(dir, listName)
		if err != nil {
			return nil, nil, err
		}
		list = readList(string(text))
	}
	return found, list, nil
}

// survey returns what a folder holds; nil if there is none. It is an error if that
// is not what a build wrote there.
func survey(dir string) (map[string]state, error) {
	info, err := os.Lstat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case !info.IsDir():
		return nil, fmt.Errorf("%s is not a folder but a file or a link; name another with --out", dir)
	}
	found, list, err := look(dir)
	if err != nil {
		return nil, err
	}
	var strange, edited []string
	for name := range found {
		sum, made := list[name]
		switch {
		case name == listName || bystander(name):
		case !made:
			strange = append(strange, name)
		case !unchanged(dir, name, sum):
			edited = append(edited, name)
		}
	}
	slices.Sort(strange)
	slices.Sort(edited)
	if len(strange) > 0 {
		return nil, fmt.Errorf("%s holds %s, which no build made (%d such files); nothing was written: move it away, or name another folder with --out", dir, strange[0], len(strange))
	}
	if len(edited) > 0 {
		return nil, fmt.Errorf("%s was changed after it was built (%d such files), and a build would lose that; nothing was written: take what you need of it into content or data, remove %s, and build again", filepath.Join(dir, filepath.FromSlash(edited[0])), len(edited), edited[0])
	}
	return found, nil
}

// unchanged tells whether a file is still what was written.
func unchanged(dir, name, sum string) bool {
	f, err := open(dir, name)
	if err != nil {
		return false
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return false
	}
	return sum == "" || hex.EncodeToString(h.Sum(nil)) == sum
}

// open opens a plain file of a folder, and nothing else, and none outside it.
func open(dir, name string) (*os.File, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	name = filepath.FromSlash(name)
	info, err := root.Lstat(name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is not a plain file", filepath.Join(dir, name))
	}
	return root.Open(name)
}

// Read reads a file that a build wrote into a folder.
func Read(dir, name string) ([]byte, error) {
	f, err := open(dir, name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}

// Names lists the files that a build wrote into a folder, sorted; none if there was
// no build.
func Names(dir string) ([]string, error) {
	text, err := Read(dir, listName)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var names []string
	for name := range readList(string(text)) {
		names = append(names, name)
	}
	slices.Sort(names)
	return names, err
}
