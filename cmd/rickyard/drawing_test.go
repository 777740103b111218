package main

import (
	"fmt"
	"io/fs"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/calc/source"
)

// drawings has a block of each kind with sizes that can be built, in a farm of
// customary units.
var drawings = map[string]string{
	"pen":       "length: 12 ft\nwidth: 10 ft\nheight: 2 ft\nbirds: 75\nmove: 12 ft",
	"hen_house": "length: 24 ft\nwidth: 10 ft\nheight: 7 ft\ndrawbar: 4 ft\nnest_boxes: 30\nperch: 100 ft\nhens: 200",
	"bed":       "width: 30 in\npath: 18 in\nlength: 50 ft\nrows: 3\nspacing: 12 in",
	"pond":      "depth: 6 ft\nfreeboard: 2 ft\nslope: 3\nback: 2\ncrest: 10 ft\ncore: 4 ft\nkey: 2 ft\nspillway: 8 ft",
	"keyline":   "ridge: 300 ft\nslope: 12\nrise: 10 ft\ninterval: 5 ft\napart: 30 ft\nfall: 300",
}

// drawn makes a book of one chapter with a drawing.
func drawn(t *testing.T, kind, sizes string) (string, error) {
	t.Helper()
	fsys := fstest.MapFS{}
	for _, name := range []string{"data/farm.yaml", "data/prices.yaml", "data/finance.yaml", "data/enterprises/bees.yaml"} {
		raw, err := fs.ReadFile(os.DirFS(small), name)
		if err != nil {
			t.Fatal(err)
		}
		fsys[name] = &fstest.MapFile{Data: raw}
	}
	fsys["content/01-d.md"] = &fstest.MapFile{Data: []byte("```chapter\ntitle: D\n```\n\n```drawing\ntitle: A thing\nkind: " + kind + "\n" + sizes + "\n```\n")}
	book, _, err := loadFrom(fsys)
	if err != nil {
		return "", err
	}
	book.Drawer = newDrawer(t.TempDir())
	pages, err := book.Make()
	return string(pages["d.html"]), err
}

// views returns the drawings of a page, the wide one first.
func views(page string) []string {
	return regexp.MustCompile(`(?s)<svg [^>]*role="?img.*?</svg>`).FindAllString(page, -1)
}

func TestDrawings(t *testing.T) {
	for kind, sizes := range drawings {
		page, err := drawn(t, kind, sizes)
		if err != nil {
			t.Errorf("%s: %v", kind, err)
			continue
		}
		svgs := views(page)
		if len(svgs) != 2 {
			t.Errorf("%s: %d drawings, not a wide and a narrow one", kind, len(svgs))
			continue
		}
		for _, svg := range svgs {
			if strings.Contains(svg, "style=") || strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") ||
				!strings.Contains(svg, "<title>A thing</title>") || !strings.Contains(svg, "<desc>") {
				t.Errorf("%s: not fit for a page: %.300s", kind, svg)
			}
			box := regexp.MustCompile(`viewBox="0 0 (\S+) (\S+)"`).FindStringSubmatch(svg)
			for i, m := range regexp.MustCompile(`[ML](-?[\d.]+) (-?[\d.]+)`).FindAllStringSubmatch(svg, -1) {
				for k := range 2 {
					v, most := parsed(t, m[1+k]), parsed(t, box[1+k])
					if v < -1 || v > most+1 {
						t.Errorf("%s: spot %d at %s %s is off the drawing of %s by %s", kind, i, m[1], m[2], box[1], box[2])
					}
				}
			}
		}
		again, err := drawn(t, kind, sizes)
		if err != nil || again != page {
			t.Errorf("%s: drawn again it is another drawing (%v)", kind, err)
		}
	}
}

func parsed(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Each size changes the drawing or what is written on it.
func TestDrawingFollowsItsSizes(t *testing.T) {
	sized := regexp.MustCompile(`^(\w+): ([\d.]+)(.*)$`)
	for kind, sizes := range drawings {
		page, err := drawn(t, kind, sizes)
		if err != nil {
			t.Fatal(kind, err)
		}
		lines := strings.Split(sizes, "\n")
		for i, line := range lines {
			m := sized.FindStringSubmatch(line)
			changed := append([]string{}, lines...)
			changed[i] = fmt.Sprintf("%s: %g%s", m[1], math.Ceil(parsed(t, m[2])*1.3), m[3])
			other, err := drawn(t, kind, strings.Join(changed, "\n"))
			if err != nil {
				t.Errorf("%s with %s: %v", kind, changed[i], err)
				continue
			}
			// Without the texts, for what is drawn itself.
			bare := func(page string) string {
				return regexp.MustCompile(`<(desc|text)[^>]*>[^<]*</(desc|text)>`).ReplaceAllString(views(page)[0], "")
			}
			written := m[1] == "hens" || m[1] == "spillway" || kind == "bed" && m[1] == "length" // which a break mark cuts
			if !written && bare(page) == bare(other) {
				t.Errorf("%s: %s draws the same as %s", kind, changed[i], line)
			}
			if views(page)[0] == views(other)[0] {
				t.Errorf("%s: %s shows the same as %s", kind, changed[i], line)
			}
		}
	}
}

// A pen of 12 by 10 feet is drawn 12 to 10, and has a mark for each bird.
func TestDrawingIsToScale(t *testing.T) {
	page, err := drawn(t, "pen", drawings["pen"])
	if err != nil {
		t.Fatal(err)
	}
	for _, svg := range views(page) {
		m := regexp.MustCompile(`class="?ds"? d="M\S+ \S+h([\d.]+)v([\d.]+)`).FindStringSubmatch(svg)
		if m == nil {
			t.Fatalf("no pen in %.500s", svg)
		}
		if ratio := parsed(t, m[1]) / parsed(t, m[2]); math.Abs(ratio-1.2) > 0.005 {
			t.Errorf("12 by 10 feet are drawn %s by %s", m[1], m[2])
		}
		birds := regexp.MustCompile(`class="?db"? d="([^"]*)"`).FindStringSubmatch(svg)
		if n := strings.Count(birds[1], "h0"); n != 75 {
			t.Errorf("%d birds, not 75", n)
		}
		for _, text := range []string{"12 ft", "10 ft", "2 ft"} {
			if !strings.Contains(strings.ReplaceAll(svg, "\u00a0", " "), ">"+text+"<") {
				t.Errorf("%s is not written in the drawing", text)
			}
		}
	}
}

func TestImpossibleDrawings(t *testing.T) {
	for _, c := range []struct{ kind, from, to, want string }{
		{"pen", "length: 12 ft", "length: 0 ft", "length is 0 ft, and can't be drawn"},
		{"pen", "width: 10 ft", "width: 0 ft - 3 ft", "can't be drawn"},
		{"pen", "height: 2 ft", `height: none("nobody measured it")`, "because nobody measured it"},
		{"pen", "height: 2 ft", "height: 2 acre", "height is a length, and this is in acres"},
		{"pen", "height: 2 ft", "height: 200 ft", "at most twice as high as it is long"},
		{"pen", "birds: 75", "birds: 75_000", "from 1 to 600 birds can be drawn"},
		{"pen", "birds: 75", "birds: 75 ft", "birds is a number of things"},
		{"bed", "rows: 3", "rows: 3\nbetween: 20 in", "wider than the bed"},
		{"pond", "core: 4 ft", "core: 14 ft", "at most as wide as the crest"},
		{"pond", "slope: 3", "slope: 3 ft", "plain number N of a slope"},
		{"keyline", "fall: 300", "fall: 3", "fall more gently"},
		{"keyline", "apart: 30 ft", "apart: 1 ft", "up to 40 lines"},
	} {
		_, err := drawn(t, c.kind, strings.Replace(drawings[c.kind], c.from, c.to, 1))
		if err == nil || !strings.Contains(strings.ReplaceAll(err.Error(), "\u00a0", " "), c.want) {
			t.Errorf("%s with %s: error %v, not %q", c.kind, c.to, err, c.want)
			continue
		}
		key, _, _ := strings.Cut(c.to[strings.LastIndex(c.to, "\n")+1:], ":")
		var all source.Errors
		if all.Add(err); len(all) != 1 {
			t.Errorf("%s with %s: %d errors: %v", c.kind, c.to, len(all), err)
		}
		e := all[0]
		text := strings.Split(e.Span.Origin().File.Text, "\n")
		if line := text[e.Span.Position().Line-1]; !strings.HasPrefix(line, key+":") {
			t.Errorf("%s with %s: the error stands at %q", c.kind, c.to, line)
		}
	}
}
