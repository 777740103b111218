package content_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"rickyard/content"
)

// slow is far more than any hostile chapter may take, even on a slow machine
// with the race detector on.
const slow = 5 * time.Second

const hostile = "../testdata/hostile/chapters"

// What each file of testdata/hostile/chapters ends in: parts of its errors,
// or of its tree if it is safe text.
var hostileFiles = map[string]struct{ errors, tree []string }{
	"01-script.md":           {tree: []string{`heading 1 #script-alert-1-script`, `text "<script>alert(1)</script"`, `code "html"`, `"<script>alert(1)</script>" script.a`}},
	"02-title.md":            {tree: []string{`"</title><script>alert(1)</script>"`}},
	"03-javascript-links.md": {errors: []string{":5:5: a link can't begin with javascript:", ":5:26: a link can't begin with JaVaScRiPt:", ":5:57: a link can't begin with javascript:", "no chapter is called java script:alert(1)", "can't begin with vbscript:", "can't begin with data:", "6:79: a link can't begin with javascript:"}},
	"04-escaping-paths.md":   {errors: []string{"5:6: a picture must be a file under content/", "the path of a picture begins at content/", "there is no picture content/..%2fsecret.png", "because a workbook fetches nothing"}},
	"05-yaml-bomb.md":        {errors: []string{"7:7: &a gives a value a name to copy it from; this is not used here"}},
	"06-yaml-tags.md":        {errors: []string{"a type that begins with ! is not used here"}},
	"07-not-utf8.md":         {errors: []string{"5:4: this is not UTF-8 text"}},
	"08-control.md":          {errors: []string{"5:6: there is an invisible control character here (U+0007)"}},
	"09-quotes.md":           {errors: []string{"5:1: lists and quotes are nested 200 deep here"}},
	"10-lists.md":            {errors: []string{"5:1: lists and quotes are nested 200 deep here"}},
	"11-list-stairs.md":      {errors: []string{"lists and quotes are nested 61 deep here"}},
	"12-table-bomb.md":       {errors: []string{"5:1: this table has more than 100000 cells"}},
	"13-nan-and-overflow.md": {tree: []string{"nan_and_overflow.huge", "10 ^ 10 ^ 10"}},
	"14-names.md":            {errors: []string{"6:8: __proto__ can't be a name", "8:13: a\u200bb can't be a name", "9:10: \u0430 can't be a name"}},
	"15-unclosed.md":         {errors: []string{"5:1: this block is never closed"}},
	"16-right-to-left.md":    {errors: []string{"5:8: a hidden character (U+202E) stands here"}},
	"17-nested-emphasis.md":  {errors: []string{"marks are nested more than 400 deep here"}},
	"18-yaml-deep.md":        {errors: []string{"this can't be read as YAML: did not find expected node content"}},
}

func TestHostileFiles(t *testing.T) {
	entries, err := os.ReadDir(hostile)
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != len(hostileFiles) {
		t.Errorf("%d files, and %d expectations", len(entries), len(hostileFiles))
	}
	for _, entry := range entries {
		t.Run(entry.Name(), func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(hostile, entry.Name()))
			if err != nil {
				t.Fatal(err)
			}
			want, known := hostileFiles[entry.Name()]
			if !known {
				t.Fatal("nothing is said of this file")
			}
			book, err := content.Load(fstest.MapFS{"content/" + entry.Name(): {Data: data}})
			if err == nil && want.errors != nil {
				t.Fatal("no error")
			}
			if err != nil && want.errors == nil {
				t.Fatal(err)
			}
			for _, part := range want.errors {
				if !strings.Contains(err.Error(), part) {
					t.Errorf("no %q in\n%s", part, err)
				}
			}
			tree := dump(book)
			for _, part := range want.tree {
				if !strings.Contains(tree, part) {
					t.Errorf("no %q in\n%s", part, tree)
				}
			}
			if strings.Contains(tree, "HTMLBlock") || strings.Contains(tree, "RawHTML") {
				t.Error("raw HTML in the tree")
			}
		})
	}
}

// Chapters that are too large to keep as files. Each is made of n bytes of a
// pattern and must end quickly: with an error that holds the given words, or,
// where none are given, either way.
var hostilePatterns = []struct {
	name  string
	make  func(n int) string
	error string
}{
	{"line of 10 MB", func(int) string { return strings.Repeat("a", 10<<20) }, "more than 4096 KiB"},
	{"line of 3 MB", func(int) string { return strings.Repeat("a", 3<<20) }, "more than the 100000 that a line may have"},
	{"100,000 quotes", func(int) string { return strings.Repeat(">", 100_000) }, "nested 100000 deep"},
	{"100,000 brackets", func(int) string { return strings.Repeat("[", 100_000) }, "too many of the marks"},
	{"brackets closed", func(n int) string { return strings.Repeat("[", 9000) + strings.Repeat("]", 9000) }, ""},
	{"link openers", lines("[a]("), "too many of the marks"},
	{"link openers apart", paragraphs("[a](", 60_000), "too many of the marks"},
	{"link titles", lines("[a](b \""), "too many of the marks"},
	{"crossed emphasis", lines("*a_ "), "too many of the marks"},
	{"crossed emphasis apart", paragraphs("*a_ ", 8000), ""},
	{"quotation marks", lines("'"), "too many of the marks"},
	{"quotation marks apart", paragraphs("'", 4000), ""},
	{"backticks", lines("`a``b"), "too many of the marks"},
	{"pictures", lines("!["), "too many of the marks"},
	{"references", func(n int) string {
		var b strings.Builder
		for i := 0; b.Len() < n; i++ {
			fmt.Fprintf(&b, "[a%d]: b\n\n", i)
		}
		return b.String()
	}, ""},
	{"footnotes", func(n int) string {
		var b strings.Builder
		for i := 0; b.Len() < n; i++ {
			fmt.Fprintf(&b, "[^%d]\n\n[^%d]: b\n\n", i, i)
		}
		return b.String()
	}, "marks of footnotes"},
	{"lists", func(n int) string { return strings.Repeat("- a\n", n/4) }, ""},
	{"lists apart", func(n int) string { return strings.Repeat("- a\n\n\n", n/6) }, ""},
	{"ordered", lines("1. "), "deep here"},
	{"terms", func(n int) string { return strings.Repeat("a\n: b\n\n", n/7) }, ""},
	{"headings", func(n int) string { return strings.Repeat("# a\n", n/4) }, ""},
	{"setext headings", func(n int) string { return strings.Repeat("a\n-\n", n/4) }, ""},
	{"wide table", func(n int) string {
		return strings.Repeat("|a", 40_000) + "\n" + strings.Repeat("|-", 40_000) + "\n" + strings.Repeat("|\n", 100_000)
	}, "more than 100000 cells"},
	{"long table", func(n int) string { return "|a|b|\n|-|-|\n" + strings.Repeat("a\n", n/2) }, "more than 100000 cells"},
	{"many tables", func(n int) string { return strings.Repeat("|a|b|\n|-|-|\n|\n\n", n/16) }, ""},
	{"fences", func(n int) string { return strings.Repeat("```\n```\n", n/8) }, ""},
	{"open fences", func(n int) string { return strings.Repeat("> ```calc\n\n", n/11) }, "more than 500 mistakes"},
	{"blank lines", func(n int) string { return strings.Repeat("\n", n) }, ""},
	{"list and blank lines", func(n int) string { return "- a\n" + strings.Repeat("\n", n) + "b" }, ""},
	{"backslashes", lines("\\"), "too many of the marks"},
	{"figures", paragraphs("`calc: a` ", 3000), "more than 20000 figures"},
	{"figures over lines of quotes", func(n int) string { return strings.Repeat("> `calc: a +\n> b`\n\n", n/20) }, "more than 20000 figures"},
	{"calc lines", func(n int) string {
		var b strings.Builder
		b.WriteString("```calc\n")
		for i := 0; b.Len() < n; i++ {
			fmt.Fprintf(&b, "A: a%d = 1\n", i)
		}
		return b.String() + "```\n"
	}, ""},
	{"wrong calc lines", func(n int) string { return "```calc\n" + strings.Repeat("A\n", n/2) + "```\n" }, "more than 500 mistakes"},
	{"calc line that goes on", func(n int) string { return "```calc\nA: a = 1\n" + strings.Repeat("  + 1\n", n/6) + "```\n" }, ""},
	{"calc line with gaps", func(n int) string { return "```calc\nA: a = 1\n" + strings.Repeat("  + 1\n#\n", n/8) + "```\n" }, ""},
	{"colons", func(n int) string { return "```calc\n" + strings.Repeat(": a", 30_000) + " = 1\n```\n" }, ""},
	{"cells", func(n int) string {
		block := "```table\ntitle: x\nrows: [" + strings.Repeat("a,", 399) + "a]\ncolumns: [" + strings.Repeat("b,", 39) + "b]\n```\n\n"
		return strings.Repeat(block, n/len(block))
	}, "more than 20000 figures"},
	{"wrong links", paragraphs("[a](b) ", 700), "more than 500 mistakes"},
	{"wrong pictures", paragraphs("![a](b.png) ", 600), "more than 500 mistakes"},
	{"YAML brackets", func(n int) string { return "```table\na: " + strings.Repeat("[", 25_000) + "\n```\n" }, "entries stand within entries more than 64 deep"},
	{"YAML too long", func(n int) string { return "```table\n" + strings.Repeat("a: b\n", n/5) + "```\n" }, "a table has more than"},
	{"YAML keys", func(n int) string {
		block := "```table\n{" + strings.Repeat("a: 1,\n", 10_000) + "}\n```\n\n"
		return strings.Repeat(block, n/len(block)-1) + "```chart\n{" + strings.Repeat("é: 1,\n", 9_000) + "}\n```\n\n"
	}, "more than 500 mistakes"},
	{"YAML tags", func(n int) string {
		block := "```chart\ntitle: a\nkind: lines\nshow: hours\nof: [" + strings.Repeat("é,\n", 15_000) + "]\n```\n\n"
		return strings.Repeat(block, n/len(block))
	}, "more than 500 mistakes"},
	{"many forms", func(n int) string { return strings.Repeat("```form\na: b\n```\n", n/17) }, ""},
	{"many cautions", func(n int) string { return strings.Repeat("```caution\na\n```\n", n/17) }, ""},
}

// lines repeats a pattern in one paragraph, with line ends between.
func lines(pattern string) func(int) string {
	return func(n int) string {
		line := strings.Repeat(pattern, 90_000/len(pattern)) + "\n"
		return strings.Repeat(line, max(1, n/len(line)))
	}
}

// paragraphs repeats a pattern in paragraphs of a length.
func paragraphs(pattern string, length int) func(int) string {
	return func(n int) string {
		paragraph := strings.Repeat(pattern, length/len(pattern)) + "\n\n"
		return strings.Repeat(paragraph, n/len(paragraph))
	}
}

func TestHostilePatterns(t *testing.T) {
	const most = 1 << 20 // a quarter of the limit: the time grows no faster than the size
	for _, c := range hostilePatterns {
		t.Run(c.name, func(t *testing.T) {
			text := c.make(most)
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			book, err := load(t, text)
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			t.Logf("%d bytes: %.2f s, %d MB", len(text), took.Seconds(), (after.TotalAlloc-before.TotalAlloc)>>20)
			if took > slow {
				t.Errorf("took %s", took)
			}
			if c.error != "" && (err == nil || !strings.Contains(err.Error(), c.error)) {
				t.Errorf("got %.300v, want an error with %q", err, c.error)
			}
			if book == nil || len(book.Chapters) != 1 || book.Chapters[0].Doc == nil {
				t.Error("the book is not returned as far as read")
			}
		})
	}
}

func TestHostileCautions(t *testing.T) {
	for name, text := range map[string]string{
		"bomb":     "a: &a {title: x, text: y}\nb: {<<: *a}\n",
		"brackets": strings.Repeat("[", 400_000),
		"long":     strings.Repeat("a", 1<<20),
		"list":     "- a\n",
		"null":     "~\n",
		"binary":   "\x00\xff",
		"escapes":  "a: {title: \"x\\u202ey\", text: y, applies: \"\\x07\"}\n",
		"nested":   "a: {title: x, text: '" + strings.Repeat("> ", 200) + "'}\n",
		"emphasis": "a:\n  title: x\n  text: " + strings.Repeat("*a_ ", 100_000) + "\n",
	} {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			_, err := content.Load(fstest.MapFS{
				"content/cautions.yaml": {Data: []byte(text)},
				"content/01-a.md":       {Data: []byte("```chapter\ntitle: A\n```\n")},
			})
			if err == nil || !strings.Contains(err.Error(), "content/cautions.yaml:") {
				t.Errorf("got %v, want an error in cautions.yaml", err)
			}
			if took := time.Since(start); took > slow {
				t.Errorf("took %s", took)
			}
		})
	}
}

// TestLinksOutOfTheBook checks with real files that nothing outside the
// folder content is read.
func TestLinksOutOfTheBook(t *testing.T) {
	dir := t.TempDir()
	chapter := "```chapter\ntitle: A\n```\n\n![a](pictures/linked.png) ![b](linked/secret.png) ![c](pictures/big.png)\n"
	png := "\x89PNG\r\n\x1a\nsecret"
	write := func(name, text string) {
		t.Helper()
		name = filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	link := func(to, name string) {
		t.Helper()
		if err := os.Symlink(filepath.Join(dir, to), filepath.Join(dir, name)); err != nil {
			t.Skip("no symbolic links here:", err)
		}
	}
	write("outside/secret.png", png)
	write("outside/secret.md", "```chapter\ntitle: Secret\n```\n")
	write("book/content/01-a.md", chapter)
	write("book/content/pictures/big.png", png+strings.Repeat("x", 9<<20))
	link("outside/secret.png", "book/content/pictures/linked.png")
	link("outside", "book/content/linked")
	link("outside/secret.md", "book/content/02-secret.md")
	book, err := content.Load(os.DirFS(filepath.Join(dir, "book")))
	if err == nil {
		t.Fatal("no error")
	}
	for _, part := range []string{
		"content/pictures/linked.png is a link to another place",
		"content/linked is a link to another place",
		"content/pictures/big.png has 9 MiB",
		"content/02-secret.md:1:1: this is not a file of the book",
	} {
		if !strings.Contains(err.Error(), part) {
			t.Errorf("no %q in\n%s", part, err)
		}
	}
	if len(book.Pictures) > 0 || strings.Contains(dump(book), "Secret") {
		t.Error("something outside the book was read")
	}
	link("book/content", "linkedbook")
	if err := os.Mkdir(filepath.Join(dir, "other"), 0o755); err != nil {
		t.Fatal(err)
	}
	link("book/content", "other/content")
	if _, err := content.Load(os.DirFS(filepath.Join(dir, "other"))); err == nil || !strings.Contains(err.Error(), "content is not a folder of its own") {
		t.Errorf("a linked folder gave %v", err)
	}
}

func TestPictures(t *testing.T) {
	good := map[string]string{
		"a.png":  "\x89PNG\r\n\x1a\n",
		"b.JPG":  "\xff\xd8\xff",
		"c.jpeg": "\xff\xd8\xff",
		"d.gif":  "GIF89a",
		"e.webp": "RIFF\x00\x00\x00\x00WEBP",
		"f.svg":  `<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd"><svg xmlns="http://www.w3.org/2000/svg"><a href="#x"><use href="#y"/></a></svg>`,
	}
	fsys := fstest.MapFS{}
	text := "```chapter\ntitle: A\n```\n"
	for name, data := range good {
		fsys["content/pictures/"+name] = &fstest.MapFile{Data: []byte(data)}
		text += "\n![x](pictures/" + name + ")\n"
	}
	fsys["content/01-a.md"] = &fstest.MapFile{Data: []byte(text)}
	book, err := content.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range good {
		if !bytes.Equal(book.Pictures["pictures/"+name], []byte(data)) {
			t.Errorf("%s is not in the book", name)
		}
	}
}
