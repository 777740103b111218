package tree

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

var hostile = []string{"<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "' onclick='x", "]]>", "<!--", "&lt;b&gt; & c", "a\x00b\x07\x1b", "\xff\xfe", "\u2028", "</p></style></script>"}

// What is text stays text: a parser of HTML and one of XML find the same words
// again, and no element that was not made.
func TestTextStaysText(t *testing.T) {
	for _, text := range hostile {
		page := E("p.lead", A("title", text), E("b", Text(text)), E("br"))
		doc, err := html.Parse(strings.NewReader("<!doctype html><body>" + HTML(page)))
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		var title, words string
		var walk func(*html.Node)
		walk = func(n *html.Node) {
			if n.Type == html.ElementNode {
				names = append(names, n.Data)
				for _, a := range n.Attr {
					if a.Key == "title" {
						title = a.Val
					}
				}
			}
			if n.Type == html.TextNode {
				words += n.Data
			}
			for c := n.FirstChild; c != nil; c = c.NextSibling {
				walk(c)
			}
		}
		walk(doc)
		want := strings.NewReplacer("\x00", "", "\x07", "", "\x1b", "").Replace(strings.ToValidUTF8(text, ""))
		if got := strings.Join(names, " "); got != "html head body p b br" {
			t.Errorf("%q makes the elements %s", text, got)
		}
		if title != want || words != want {
			t.Errorf("%q reads %q and %q", text, title, words)
		}
		d := xml.NewDecoder(strings.NewReader(XHTML(page)))
		for {
			token, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%q is not well-formed: %v", text, err)
			}
			if c, ok := token.(xml.CharData); ok && string(c) != want {
				t.Errorf("%q reads %q in XML", text, c)
			}
		}
	}
}

// A script ends where it was ended, whatever stands in it.
func TestCode(t *testing.T) {
	const script = `x = "</script><b>"; y = "<!--"`
	z := html.NewTokenizer(strings.NewReader(HTML(E("script", Text(script)))))
	z.Next()
	z.Next()
	if got := string(z.Raw()); got != Code(script) || strings.Contains(got, "</") {
		t.Errorf("the script reads %s", got)
	}
}

func TestElements(t *testing.T) {
	e := E("td.n.total", Class("year"), ID(""), Attr{}, (*Element)(nil), Text(""), Text("a"), Nodes{Text("b"), E("i", Text(" c\n d"))})
	if got, want := HTML(e), `<td class="n total year">ab<i> c`+"\n d</i></td>"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if got := Plain(e); got != "ab c d" {
		t.Errorf("plain it is %q", got)
	}
	if got, want := XHTML(E("svg", E("path", A("d", "M0 0"))), E("hr"), E("p")), `<svg><path d="M0 0"/></svg><hr/><p></p>`; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func BenchmarkHTML(b *testing.B) {
	table := E("table")
	for range 200 {
		row := E("tr")
		for range 8 {
			row.Add(E("td.n", E("a.fig", Href("#f-x.y"), Text("1,234 & more"))))
		}
		table.Add(row)
	}
	for b.Loop() {
		HTML(table)
	}
}
