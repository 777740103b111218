package main

import (
	"math"
	"os"
	"strings"
	"testing"
	"testing/fstest"
)

const onlyChapter = "```chapter\ntitle: Passages\nname: passages\n```\n" + `
[To the goats](#the-goats), [to the garden](#the-garden).

~~~if
there is goats
~~~

## The goats

They give ~calc: goats.milk as 10 L~.

~~~calc
Milk: milk = goats.milk * 2
~~~

~~~table
title: Goats
show: budget
of: goats
~~~

~~~end
~~~

~~~unless
there is goats, garden
~~~

- No goats are kept.

~~~calc
Milk: milk = 3 L
~~~

~~~if
milk > 5 L
~~~

Plenty: ~calc: milk * 2~.

~~~calc
Cheese: cheese = milk / 10
~~~

~~~end
~~~

~~~end
~~~

~~~if
there is garden
~~~

## The garden

~~~unless
passages.milk > 5 L
~~~

Milk is short: ~calc: cheese + 1 L~.

~~~end
~~~

~~~end
~~~
`

// A passage about what is not there is as if it had never been written; one under
// a condition that does not hold is worked out and not shown.
func TestPassagesUnderAConditionAreShown(t *testing.T) {
	files := demoFiles(t)
	files["content/90-passages.md"] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(onlyChapter, "~", "`"))}
	book, _, err := loadFrom(files)
	if err != nil {
		t.Fatal(err)
	}
	book.Drawer = demoDrawer(t)
	book.Only = []string{"passages"}
	pages, err := book.Make()
	if err != nil {
		t.Fatal(err)
	}
	page := string(pages["passages.html"])
	for _, want := range []string{"No goats are kept", "The garden", "Milk is short", "1.3", `href="passages.html#the-garden"`} {
		if !strings.Contains(page, want) {
			t.Errorf("the page has no %q", want)
		}
	}
	for _, not := range []string{"They give", "the-goats", "Plenty", "Cheese", "there is goats"} {
		if strings.Contains(page, not) {
			t.Errorf("the page has %q", not)
		}
	}
	if f := book.Graph.Lookup("passages.cheese"); f == nil || math.Abs(f.Shown()-0.3) > 1e-9 {
		t.Errorf("what is hidden is not worked out: %v", f)
	}
}

func TestPassagesThatAreWrong(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"~~~if\nthere is farm.wage\n~~~\n\ntext\n", "content/90-passages.md:5:4: what begins here is never ended; end it with a block of the word end: ```end, and ``` below"},
		{"~~~end\n~~~\n", "content/90-passages.md:5:4: nothing is ended here: no if or unless is open; take it out"},
		{"~~~if\n~~~\n\ntext\n\n~~~end\n~~~\n", "content/90-passages.md:5:4: this if block says no condition; write there is broilers, or a condition such as farm.horizon >= 5 year"},
		{"~~~if\nthere is Gar-den\n~~~\n\n~~~end\n~~~\n", "content/90-passages.md:6:1: Gar-den is not the name of an enterprise or a figure; write there is broilers, or a condition such as farm.horizon >= 5 year"},
		{"~~~if\nfarm.horizon\n~~~\n\n~~~end\n~~~\n", "content/90-passages.md:6:1: a condition can't be a time; expected yes or no"},
		{"> ~~~if\n> there is farm.wage\n> ~~~\n\n~~~end\n~~~\n", "content/90-passages.md:9:4: this end stands in another list or quote than the block at content/90-passages.md:5:6 that it would end; write both at the same depth"},
		{"~~~if\nthere is farm.wage\n~~~\n\n~~~calc\nA: a = 1\n~~~\n\n~~~end\n~~~\n\n~~~calc\nA: a = 2\n~~~\n", "content/90-passages.md:17:4: passages.a is defined twice; first at content/90-passages.md:10:4; give one of them another name"},
	} {
		files := filesOf(t, os.DirFS("../../testdata/small"))
		text := "```chapter\ntitle: P\n```\n\n" + strings.ReplaceAll(c.text, "~", "`")
		files["content/90-passages.md"] = &fstest.MapFile{Data: []byte(text)}
		_, _, err := loadFrom(files)
		if err == nil || err.Error() != c.want {
			t.Errorf("%s\ngot  %v\nwant %s", c.text, err, c.want)
		}
	}
}
