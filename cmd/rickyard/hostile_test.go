package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const hostile = "../../testdata/hostile"

// TestHostile builds a workbook around each hostile file, as a process of its
// own that must end. It may fail, with mistakes that name a place, or succeed
// with safe text; it must not crash, hang, or write anything outside.
func TestHostile(t *testing.T) {
	for _, c := range hostileCases(t) {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			dir := copyFolder(t, small)
			for name, text := range c.files {
				write(t, filepath.Join(dir, filepath.FromSlash(name)), text)
			}
			before, err := tree(dir)
			if err != nil {
				t.Fatal(err)
			}
			r := command(t, dir, "build")
			checkSpoken(t, r)
			after, err := tree(dir)
			if err != nil {
				t.Fatal(err)
			}
			for name := range after {
				if _, had := before[name]; !had && !strings.HasPrefix(name, "public/") {
					t.Errorf("%s was written", name)
				}
			}
			if r.code == 1 {
				checkMistakes(t, r, c.blames)
				if _, err := os.Stat(filepath.Join(dir, "public")); err == nil {
					t.Error("a failed build published something")
				}
				return
			}
			checkHarmless(t, filepath.Join(dir, "public"))
		})
	}
}

type hostileCase struct {
	name   string
	files  map[string]string // what the workbook holds besides
	blames string            // the file that mistakes must name, if there are any
}

func hostileCases(t *testing.T) []hostileCase {
	t.Helper()
	var cases []hostileCase
	each := func(kind string, add func(name, text string)) {
		entries, err := os.ReadDir(filepath.Join(hostile, kind))
		if err != nil {
			t.Fatal(err)
		}
		for _, entry := range entries {
			if entry.Name() != "README" {
				add(entry.Name(), read(t, filepath.Join(hostile, kind, entry.Name())))
			}
		}
	}
	each("yaml", func(name, text string) {
		for _, place := range []string{"data/farm.yaml", "data/prices.yaml", "data/enterprises/bees.yaml", "content/cautions.yaml"} {
			cases = append(cases, hostileCase{name + " as " + filepath.Base(place), map[string]string{place: text}, ""})
		}
	})
	each("chapters", func(name, text string) {
		cases = append(cases, hostileCase{name, map[string]string{"content/" + name: text}, "content/" + name})
	})
	each("formula", func(name, text string) {
		formula := formulaOf(text)
		cases = append(cases, hostileCase{name + " in a chapter", map[string]string{
			"content/03-x.md": "```chapter\ntitle: X\n```\n\n```calc\nHostile: hostile = " + formula + "\n```\n\nIn a line: `calc: " + formula + "`.\n",
		}, "content/03-x.md"})
		cases = append(cases, hostileCase{name + " in data", map[string]string{
			"data/climate.yaml": "worked:\n  hostile: '" + strings.ReplaceAll(formula, "'", "''") + "'\n",
		}, "data/climate.yaml"})
	})
	deep := strings.Repeat("[", 100_000)
	long := strings.Repeat("x", 10<<20)
	for name, files := range map[string]map[string]string{
		"nesting in farm.yaml":          {"data/farm.yaml": "name: " + deep},
		"nesting in blocks":             {"data/farm.yaml": nested(2000)},
		"nesting in a chart":            {"content/03-x.md": "```chapter\ntitle: X\n```\n\n```chart\ntitle: " + deep + "\n```\n"},
		"a line of 10 MB in farm.yaml":  {"data/farm.yaml": "name: " + long},
		"a line of 10 MB in a chapter":  {"content/03-x.md": "```chapter\ntitle: X\n```\n\n" + long},
		"a line of 10 MB in cautions":   {"content/cautions.yaml": "a: {title: " + long + "}"},
		"a picture of 10 MB":            {"content/pictures/hive.svg": "<svg xmlns=\"http://www.w3.org/2000/svg\"><!--" + long + "--></svg>"},
		"a picture that runs a script":  {"content/pictures/hive.svg": "<svg xmlns=\"http://www.w3.org/2000/svg\" onload=\"alert(1)\"><script>alert(1)</script></svg>"},
		"a picture with an entity bomb": {"content/pictures/hive.svg": "<!DOCTYPE svg [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;\">]><svg xmlns=\"http://www.w3.org/2000/svg\"><text>&b;</text></svg>"},
	} {
		cases = append(cases, hostileCase{name, files, ""})
	}
	return cases
}

// nested is YAML that is indented ever deeper.
func nested(depth int) string {
	var b strings.Builder
	for i := range depth {
		b.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return b.String()
}

// formulaOf puts a hostile formula together as testdata/hostile/formula/README
// says.
func formulaOf(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		if strings.HasPrefix(line, "=> ") {
			continue
		}
		if times, part, ok := strings.Cut(line, " x "); ok {
			if n, err := strconv.Atoi(times); err == nil {
				b.WriteString(strings.Repeat(part, n))
				continue
			}
		}
		b.WriteString(line)
	}
	return b.String()
}

// checkSpoken checks that a run ended as one should: by itself, with an exit
// code of the command's own, and in few enough words to be read.
func checkSpoken(t *testing.T, r result) {
	t.Helper()
	for _, sign := range []string{"panic:", "goroutine ", "runtime error", "fatal error"} {
		if strings.Contains(r.err, sign) {
			t.Fatalf("the command crashed:\n%.3000s", r.err)
		}
	}
	if r.code != 0 && r.code != 1 {
		t.Errorf("exit code %d", r.code)
	}
	if len(r.err) > 64<<10 {
		t.Errorf("%d bytes of errors, beginning with\n%.500s", len(r.err), r.err)
	}
	if at := strings.IndexFunc(r.err, func(r rune) bool { return r < ' ' && r != '\n' || r == 0x7f }); at >= 0 {
		t.Errorf("a control character in the errors: %q", r.err[at:at+1])
	}
}

func checkMistakes(t *testing.T, r result, blames string) {
	t.Helper()
	if !strings.Contains(r.err, blames+":") {
		t.Errorf("no mistake in %s:\n%.2000s", blames, r.err)
	}
	if !strings.Contains(r.err, "data/") && !strings.Contains(r.err, "content/") {
		t.Errorf("no place:\n%.2000s", r.err)
	}
}

// checkHarmless checks that no page of a workbook runs what a farmer's files
// say.
func checkHarmless(t *testing.T, dir string) {
	t.Helper()
	files, err := tree(dir)
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range files {
		if filepath.Ext(name) != ".html" {
			continue
		}
		page, err := parsePage([]byte(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, e := range page.all {
			if problem := dangerous(e, name); problem != "" {
				t.Errorf("%s: %s", name, problem)
			}
		}
	}
	if raw, ok := files["figures.json"]; ok {
		readFigures(t, []byte(raw))
		if bytes.Contains([]byte(raw), []byte("<script")) {
			t.Error("figures.json: a script")
		}
	}
}

func dangerous(e *element, page string) string {
	switch e.name {
	case "iframe", "object", "embed", "base", "form", "applet", "frame":
		return "an element " + e.name
	case "script":
		if e.attr["src"] != "workbook.js" && page != "workbook.html" {
			return fmt.Sprintf("a script %v", e.attr)
		}
	case "style":
		if page != "workbook.html" {
			return "a style sheet in the page"
		}
	}
	for name, value := range e.attr {
		switch {
		case strings.HasPrefix(name, "on"):
			return fmt.Sprintf("<%s %s=%q>", e.name, name, value)
		case name == "href" || name == "src":
			if scheme, _, ok := strings.Cut(strings.ToLower(strings.TrimSpace(value)), ":"); ok &&
				(strings.Contains(scheme, "script") || scheme == "data" && name == "href") {
				return fmt.Sprintf("<%s %s=%q>", e.name, name, value)
			}
		}
	}
	return ""
}
