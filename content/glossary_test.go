package content_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"rickyard/content"
)

const oneChapter = "```chapter\ntitle: One\n```\n\nText.\n"

func withGlossary(text string) fstest.MapFS {
	return fstest.MapFS{"content/01-one.md": {Data: []byte(oneChapter)}, "content/glossary.yaml": {Data: []byte(text)}}
}

func TestGlossary(t *testing.T) {
	b, err := content.Load(withGlossary("stocking rate:\n  also: [stocking rates, stocking]\n  text: Animals *on an area*.\nBatch:\n  text: 'Begun together, `calc: 2 + 2`.'\n"))
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Glossary) != 2 || b.Glossary[0].Name != "Batch" || b.Glossary[1].ID != "stocking-rate" {
		t.Fatalf("got %+v", b.Glossary)
	}
	if words := strings.Join(b.Glossary[1].Words(), ", "); words != "stocking rate, stocking rates, stocking" {
		t.Errorf("words: %s", words)
	}
	if text := b.Glossary[1].Text.Plain(); text != "Animals on an area." {
		t.Errorf("text: %q", text)
	}
	if n := len(b.Definitions()); n != 1 {
		t.Errorf("%d figures; the glossary shows one", n)
	}
}

func TestBadGlossary(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"batch: {text: A, alsoo: [b]}\n", "content/glossary.yaml:1:18: \"alsoo\" is not a key of a term; did you mean also?"},
		{"batch: {also: [b]}\n", "content/glossary.yaml:1:8: a term needs a key text"},
		{"batch: {text: A, also: [bed]}\nbed: {text: B}\n", "content/glossary.yaml:2:1: the term bed is explained twice, first at content/glossary.yaml:1:25; leave one of them out"},
		{"<b>: {text: A}\n", "content/glossary.yaml:1:1: <b> can't be a term: a term is a few words of letters and digits"},
		{"batch: A\n", "content/glossary.yaml:1:8: a term is the single value A here; expected keys with values; the keys are text and also"},
		{"[a]\n", "content/glossary.yaml:1:1: glossary.yaml is a list here; expected keys with values"},
		{"batch: {text: '[x](nowhere)'}\n", "content/glossary.yaml:1:20: no chapter is called nowhere; a link leads to a chapter by its name, or out of the workbook by http, https and mailto"},
		{"\u00e9 \x01: {text: A}\n", "content/glossary.yaml:1:3: "},
	} {
		_, err := content.Load(withGlossary(c.text))
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: got %v\nwant %s", c.text, err, c.want)
		}
	}
}
