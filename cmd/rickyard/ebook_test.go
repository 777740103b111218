package main

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func ebookOf(t *testing.T, args ...string) (string, []byte) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "book.epub")
	var out strings.Builder
	if code := run(append([]string{"--dir", "../..", "ebook", "--out", file}, args...), &out, &out); code != 0 {
		t.Fatal(out.String())
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return file, raw
}

// epubcheck is Debian's program, a jar that the system may not start by itself.
func epubcheck(t *testing.T, file string) {
	t.Helper()
	path, err := exec.LookPath("epubcheck")
	if err != nil {
		t.Skip("epubcheck is not on this machine (Debian: apt-get install epubcheck)")
	}
	first := make([]byte, 2)
	if f, err := os.Open(path); err == nil {
		_, err = io.ReadFull(f, first)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(path, file)
	if string(first) == "PK" {
		cmd = exec.Command("java", "-jar", path, file)
	}
	out, err := cmd.CombinedOutput()
	if err != nil || !strings.Contains(string(out), "0 fatals / 0 errors / 0 warnings") {
		t.Errorf("epubcheck: %v\n%.4000s", err, out)
	}
}

func TestEbook(t *testing.T) {
	file, raw := ebookOf(t)
	t.Run("same bytes", func(t *testing.T) {
		if _, again := ebookOf(t); !bytes.Equal(raw, again) {
			t.Error("made again, the e-book has other bytes")
		}
	})
	z, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	// OCF 3.3, 4.3: the kind comes first, stored, without an extra field.
	for _, f := range z.File {
		// A date that no calendar has, and a time, would be the clock's or nobody's.
		if when := f.Modified; when.Year() < 2000 || when.Hour() != 0 {
			t.Errorf("%s is dated %v", f.Name, when)
		}
	}
	if kind := z.File[0]; kind.Name != "mimetype" || kind.Method != zip.Store || len(kind.Extra) > 0 {
		t.Errorf("the first entry is %+v", z.File[0].FileHeader)
	}
	if !bytes.Equal(raw[30:58], []byte("mimetypeapplication/epub+zip")) {
		t.Errorf("the file begins with %q", raw[:60])
	}
	texts := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		texts[f.Name] = string(text)
	}
	for _, want := range []string{"schema:accessModeSufficient", "schema:accessibilityFeature", "schema:accessibilityHazard", "schema:accessibilitySummary", "dcterms:modified", `properties="svg"`, `properties="cover-image"`} {
		if !strings.Contains(texts["book/package.opf"], want) {
			t.Errorf("the package does not say %s", want)
		}
	}
	goal := texts["book/goal.xhtml"]
	for _, want := range []string{`<svg `, `role="img"`, `aria-label="`, `<td class="n" data-label="Result">`, `class="term"`, `href="start_up.xhtml"`} {
		if !strings.Contains(goal, want) {
			t.Errorf("goal.xhtml does not have %s", want)
		}
	}
	for name, text := range texts {
		if strings.Contains(text, `.html"`) || strings.Contains(text, `.html#`) || strings.Contains(text, "tabindex") || strings.Contains(text, "<script") {
			t.Errorf("%s has what belongs to a page", name)
		}
	}
	if !strings.Contains(texts["book/nav.xhtml"], `<a href="goal.xhtml#what-a-year-must-bring">`) {
		t.Error("the contents do not lead to the sections")
	}
	epubcheck(t, file)
}

func TestEbookOfAPart(t *testing.T) {
	file, raw := ebookOf(t, "--part", "bank")
	z, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		if f.Name == "book/broilers.xhtml" {
			t.Error("the part has a chapter that is not in its list")
		}
	}
	epubcheck(t, file)
}
