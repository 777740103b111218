package main

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/calc/source"
	"rickyard/content"
)

// Whatever the manual says that a table or chart can show builds: of the whole
// farm, of an enterprise, of all that are run, and in every shape.
func TestEveryShowBuilds(t *testing.T) {
	var chapter strings.Builder
	chapter.WriteString("```chapter\ntitle: All that there is to show\n```\n")
	blocks := 0
	add := func(kind, show, rest string) {
		blocks++
		fmt.Fprintf(&chapter, "\n```%s\ntitle: %s %d\nshow: %s\n%s```\n", kind, show, blocks, show, rest)
	}
	ofs := func(need content.Need, show content.Show) []string {
		var all []string
		if need != content.Must {
			all = append(all, "")
		}
		if need != content.Never {
			if !show.Instead {
				all = append(all, "of: broilers\n", "of: [hens, garden]\n", "of: planned\n")
			}
			if show.Else != nil {
				for _, word := range []string{"year_2", "farm"} {
					if show.Else.MatchString(word) {
						all = append(all, "of: "+word+"\n")
					}
				}
			}
		}
		return all
	}
	for _, show := range content.Shows {
		for _, of := range ofs(show.Of, show) {
			add("table", show.Word, of)
		}
		if show.Chart == nil {
			continue
		}
		for _, shape := range show.Chart.Shapes {
			for _, of := range ofs(show.Chart.Of, show) {
				add("chart", show.Word, "kind: "+shape+"\n"+of)
			}
		}
	}
	files := demoFiles(t)
	files["content/90-shows.md"] = &fstest.MapFile{Data: []byte(chapter.String())}
	book, _, err := loadFrom(files)
	if err == nil {
		book.Drawer = demoDrawer(t)
		book.Only = []string{"shows"}
		_, err = book.Make()
	}
	var errs source.Errors
	if errors.As(err, &errs) {
		for _, e := range errs {
			t.Error(e.Detail())
		}
	} else if err != nil {
		t.Error(err)
	}
	if blocks < 90 {
		t.Errorf("only %d blocks", blocks)
	}
}
