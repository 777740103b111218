package content

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"io/fs"
	"path"
	"regexp"
	"strings"

	"github.com/yuin/goldmark/ast"

	"rickyard/calc/source"
	"rickyard/data/leaf"
)

// KindPicture is the kind of Picture.
var KindPicture = ast.NewNodeKind("Picture")

// A Picture is a picture of the book. Its bytes are Book.Pictures[Path]. An
// SVG has been checked as an image file: show it through an img element, never
// by putting its text into a page.
type Picture struct {
	ast.BaseInline
	Path  string // under content/, with forward slashes
	Alt   string // what it shows, in words; never empty
	Title string // may be empty
	Place source.Span
}

// Kind implements ast.Node.
func (*Picture) Kind() ast.NodeKind { return KindPicture }

// Dump implements ast.Node.
func (n *Picture) Dump(src []byte, level int) {
	ast.DumpHelper(n, src, level, map[string]string{"Path": n.Path, "Alt": n.Alt}, nil)
}

// pictureTypes has the check of each kind of picture file.
var pictureTypes = map[string]func([]byte) error{
	".png":  beginsWith("PNG", "\x89PNG\r\n\x1a\n"),
	".jpg":  beginsWith("JPEG", "\xff\xd8\xff"),
	".jpeg": beginsWith("JPEG", "\xff\xd8\xff"),
	".gif":  beginsWith("GIF", "GIF8"),
	".webp": isWebP,
	".svg":  safeSVG,
}

func beginsWith(format, signature string) func([]byte) error {
	return func(data []byte) error {
		if !bytes.HasPrefix(data, []byte(signature)) {
			return errors.New("is not a " + format + " picture, though its name says so")
		}
		return nil
	}
}

func isWebP(data []byte) error {
	if len(data) < 12 || string(data[:4]) != "RIFF" || string(data[8:12]) != "WEBP" {
		return errors.New("is not a WebP picture, though its name says so")
	}
	return nil
}

func (m *markup) image(n *ast.Image) {
	if insidePicture(n) {
		return
	}
	to := resolved(n.Destination)
	at := m.addressSpan(n, n.Destination, n.Reference != nil)
	p := &Picture{Path: strings.TrimPrefix(to, "./"), Alt: plain(n, m.source), Title: resolved(n.Title), Place: at}
	p.SetPos(n.Pos())
	if p.Alt == "" {
		m.fail(source.Missing, m.spot(n), "this picture has no words for a reader who can't see it").
			With("say between [ and ] what it shows")
	}
	n.Parent().ReplaceChild(n.Parent(), n, p)
	m.picture(p.Path, at)
}

// insidePicture reports whether a node is among the words of a picture, of
// which only the plain text is kept.
func insidePicture(n ast.Node) bool {
	for a := n.Parent(); a != nil; a = a.Parent() {
		if a.Kind() == ast.KindImage {
			return true
		}
	}
	return false
}

// picture reads a picture into the book, once.
func (l *loader) picture(name string, at source.Span) {
	if l.seen[name] || len(l.errs) > mostErrors {
		return
	}
	data, err := l.readPicture(name)
	if err != nil {
		err.Span = at
		l.add(err)
		return
	}
	l.seen[name] = true
	l.book.Pictures[name] = data
}

func (l *loader) readPicture(name string) ([]byte, *source.Error) {
	refuse := func(kind source.Kind, format string, args ...any) ([]byte, *source.Error) {
		return nil, source.Errorf(kind, source.Span{}, format, args...)
	}
	switch {
	case name == "":
		return refuse(source.Missing, "this picture names no file")
	case scheme.MatchString(name) || strings.HasPrefix(name, "//"):
		_, e := refuse(source.Unsafe, "a picture is a file under %s/, because a workbook fetches nothing", folder)
		return nil, e.With("save the picture under %s/ and name it from there, as in pictures/pen.jpg", folder)
	case strings.HasPrefix(name, "/") || strings.Contains(name, `\`):
		return refuse(source.Unsafe, "the path of a picture begins at %s/ and has forward slashes, as in pictures/pen.jpg", folder)
	case !fs.ValidPath(name) || path.Clean(name) != name || name == ".":
		return refuse(source.Unsafe, "a picture must be a file under %s/, so its path has no . or .. and no empty part", folder)
	}
	check, known := pictureTypes[strings.ToLower(path.Ext(name))]
	if !known {
		return refuse(source.WrongType, "%s is not a picture file that a workbook can show: png, jpg, svg, webp or gif", leaf.Clip(name))
	}
	full := folder
	var info fs.FileInfo
	for _, part := range strings.Split(name, "/") {
		full = path.Join(full, part)
		var err error
		info, err = fs.Lstat(l.fsys, full)
		if err != nil {
			_, e := refuse(source.IO, "there is no picture %s", leaf.Clip(folder+"/"+name))
			if near := l.nearPicture(name); near != "" {
				e.With("did you mean %s?", near)
			}
			return nil, e
		}
		if info.Mode()&fs.ModeSymlink != 0 {
			_, e := refuse(source.Unsafe, "%s is a link to another place, not a file of the book", leaf.Clip(full))
			return nil, e.With("copy the picture itself into %s/", folder)
		}
	}
	switch {
	case !info.Mode().IsRegular():
		return refuse(source.Unsafe, "%s is not a file", leaf.Clip(full))
	case info.Size() > largestPicture:
		_, e := refuse(source.Unsafe, "%s has %d MiB, more than the %d MiB that a picture may have", leaf.Clip(full), info.Size()>>20, largestPicture>>20)
		return nil, e.With("save it smaller")
	}
	data, err := l.read(full, largestPicture)
	if err != nil {
		return refuse(source.IO, "%s can't be read: %s", leaf.Clip(full), cause(err))
	}
	if err := check(data); err != nil {
		return refuse(source.Unsafe, "%s %s", leaf.Clip(full), err)
	}
	return data, nil
}

// nearPicture returns the picture in the same folder that was most likely
// meant.
func (l *loader) nearPicture(name string) string {
	dir := path.Dir(name)
	entries, err := fs.ReadDir(l.fsys, path.Join(folder, dir))
	if err != nil || len(entries) > 10_000 {
		return ""
	}
	var known []string
	for _, e := range entries {
		if pictureTypes[strings.ToLower(path.Ext(e.Name()))] != nil {
			known = append(known, path.Join(dir, e.Name()))
		}
	}
	return source.Nearest(name, known)
}

const deepestSVG = 200

var (
	svgElements   = map[string]bool{"script": true, "foreignobject": true, "iframe": true, "embed": true, "object": true, "handler": true, "listener": true, "audio": true, "video": true}
	imageData     = regexp.MustCompile(`^data:image/(png|jpeg|gif|webp)[;,]`)
	svgURL        = regexp.MustCompile(`(?i)url\(\s*["']?\s*([^)"'\s]*)`)
	animatedLinks = regexp.MustCompile(`(?i)^\s*((xlink:)?href|on.*)\s*$`)
)

// safeSVG refuses an SVG that could run a script or fetch anything. It lets
// pass what it knows to be harmless in an image file.
func safeSVG(data []byte) error {
	d := xml.NewDecoder(bytes.NewReader(data))
	d.Strict = true
	depth, style, root := 0, 0, false
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return errors.New("is not well-formed SVG: " + err.Error())
		}
		switch t := token.(type) {
		case xml.StartElement:
			name := strings.ToLower(t.Name.Local)
			if !root && name != "svg" {
				return errors.New("is not an SVG picture, though its name says so")
			}
			root = true
			if depth++; depth > deepestSVG {
				return errors.New("is nested too deep for a picture")
			}
			if svgElements[name] {
				return errors.New("holds the element " + t.Name.Local + ", which a picture of a workbook can't have")
			}
			if name == "style" || style > 0 {
				style++
			}
			for _, a := range t.Attr {
				if err := safeSVGAttribute(a); err != nil {
					return err
				}
			}
		case xml.EndElement:
			depth--
			style = max(0, style-1)
		case xml.CharData:
			if style > 0 {
				if err := safeStyle(string(t)); err != nil {
					return err
				}
			}
		case xml.ProcInst:
			if t.Target != "xml" {
				return errors.New("holds an instruction (" + leaf.Clip(t.Target) + ") that a picture of a workbook can't have")
			}
		case xml.Directive:
			if bytes.ContainsAny(t, "[<") || !bytes.HasPrefix(bytes.ToUpper(t), []byte("DOCTYPE SVG")) {
				return errors.New("holds declarations that a picture of a workbook can't have")
			}
		}
	}
	if !root {
		return errors.New("is not an SVG picture, though its name says so")
	}
	return nil
}

func safeSVGAttribute(a xml.Attr) error {
	name, value := strings.ToLower(a.Name.Local), strings.TrimSpace(a.Value)
	switch {
	case strings.HasPrefix(name, "on"):
		return errors.New("holds the script attribute " + leaf.Clip(a.Name.Local))
	case name == "href" || name == "src":
		if !strings.HasPrefix(value, "#") && !imageData.MatchString(value) {
			return errors.New("refers to something outside itself: " + leaf.Clip(value))
		}
	case name == "base":
		return errors.New("refers to something outside itself: " + leaf.Clip(value))
	case name == "attributename" && animatedLinks.MatchString(value):
		return errors.New("changes its own links")
	case name != "xmlns" && a.Name.Space != "xmlns":
		return safeStyle(value)
	}
	return nil
}

// safeStyle refuses a style that refers to something outside the picture.
func safeStyle(text string) error {
	lower := strings.ToLower(text)
	if strings.Contains(lower, "@import") || strings.Contains(lower, "image(") || strings.Contains(lower, "image-set(") || strings.Contains(lower, `\`) && strings.Contains(lower, "(") {
		return errors.New("has a style that refers to something outside itself")
	}
	for _, u := range svgURL.FindAllStringSubmatch(text, -1) {
		if !strings.HasPrefix(u[1], "#") && !imageData.MatchString(u[1]) {
			return errors.New("refers to something outside itself: " + leaf.Clip(u[1]))
		}
	}
	return nil
}
