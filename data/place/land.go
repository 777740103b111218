package place

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"rickyard/calc/land"
	"rickyard/calc/source"
)

// A Feature is one thing on the map.
type Feature struct {
	Name, Kind string
	At         source.Span // its name in the file
	Points     []land.Place
	Lines      [][]land.Place
	Areas      [][][]land.Place // each an outer ring, against the clock, and its holes, with it
}

// Bounds on a map.
const (
	mostPlaces  = 200_000
	mostInRing  = 10_000 // each side is held against each other
	deepestNest = 12
)

// Land reads a map. The features are whole only where there is no error.
//
// It is read here and not by a library since a mistake must name its line, and a ring
// that does not close or crosses itself is one.
func Land(f *source.File) ([]Feature, []*source.Error) {
	r := landReader{file: f}
	root, ok := r.parse()
	if !ok {
		return nil, r.errs
	}
	r.collection(root)
	return r.features, r.errs
}

type landReader struct {
	file     *source.File
	features []Feature
	places   int
	errs     []*source.Error
}

func (r *landReader) fail(kind source.Kind, at source.Span, format string, args ...any) *source.Error {
	e := source.Errorf(kind, at, format, args...)
	if len(r.errs) < mostErrors {
		r.errs = append(r.errs, e)
	}
	return e
}

// A jsonNode is a value of the file with its place.
type jsonNode struct {
	span   source.Span
	keys   []string // of an object, in their order
	fields map[string]*jsonNode
	items  []*jsonNode // of an array
	value  any         // string, float64, bool or nil
	kind   byte        // '{', '[' or 'v'
}

func (n *jsonNode) field(name string) *jsonNode {
	if n == nil {
		return nil
	}
	return n.fields[name]
}

// text is the string of a field, "" where there is none.
func (n *jsonNode) text(name string) string {
	if f := n.field(name); f != nil {
		s, _ := f.value.(string)
		return s
	}
	return ""
}

// parse reads the file into nodes.
func (r *landReader) parse() (*jsonNode, bool) {
	text := strings.TrimPrefix(r.file.Text, "\ufeff")
	p := jsonParser{reader: r, decoder: json.NewDecoder(strings.NewReader(text)), shift: len(r.file.Text) - len(text)}
	root, err := p.value(0)
	if err == nil && p.decoder.More() {
		err = fmt.Errorf("there is something after the end of the map")
	}
	if err != nil {
		at := min(len(r.file.Text), p.shift+int(p.decoder.InputOffset()))
		r.fail(source.Syntax, r.file.Span(at, at), "this is not GeoJSON: %v", plain(err))
		return nil, false
	}
	return root, true
}

// plain words the two errors of the decoder that a farmer meets.
func plain(err error) string {
	switch text := err.Error(); text {
	case "EOF", "unexpected EOF":
		return "the file ends too early"
	default:
		return text
	}
}

type jsonParser struct {
	reader  *landReader
	decoder *json.Decoder
	shift   int
}

func (p *jsonParser) value(depth int) (*jsonNode, error) {
	if depth > deepestNest {
		return nil, fmt.Errorf("it nests more than %d deep", deepestNest)
	}
	token, err := p.decoder.Token()
	if err != nil {
		return nil, err
	}
	end := p.shift + int(p.decoder.InputOffset())
	n := &jsonNode{kind: 'v', value: token, span: p.reader.file.Span(start(p.reader.file.Text, end, token), end)}
	switch token {
	case json.Delim('{'):
		n.kind, n.fields = '{', map[string]*jsonNode{}
		for p.decoder.More() {
			key, err := p.decoder.Token()
			if err != nil {
				return nil, err
			}
			v, err := p.value(depth + 1)
			if err != nil {
				return nil, err
			}
			name := key.(string)
			n.keys, n.fields[name] = append(n.keys, name), v
		}
		_, err = p.decoder.Token()
	case json.Delim('['):
		n.kind = '['
		for p.decoder.More() {
			v, err := p.value(depth + 1)
			if err != nil {
				return nil, err
			}
			n.items = append(n.items, v)
		}
		_, err = p.decoder.Token()
	}
	return n, err
}

// start finds where a token that ends at a place begins.
func start(text string, end int, token json.Token) int {
	at := end
	switch token.(type) {
	case json.Delim:
		return end - 1
	case string:
		for at--; at > 0; at-- { // the closing mark, then back to an opening one that is not escaped
			if text[at-1] == '"' && (at < 2 || text[at-2] != '\\') {
				return at - 1
			}
		}
	default:
		for at > 0 && !strings.ContainsRune(" \t\r\n,[:{", rune(text[at-1])) {
			at--
		}
	}
	return at
}

func (r *landReader) collection(root *jsonNode) {
	if root.text("type") != "FeatureCollection" {
		r.fail(source.WrongType, root.span, "a map is a FeatureCollection; this is %s", named(root.text("type"))).With("put the features into one")
		return
	}
	if crs := root.field("crs"); crs != nil {
		r.fail(source.UnknownKey, crs.span, "a map has no crs any more: RFC 7946 knows only longitude and latitude of WGS84").With("save the map with that, and take crs out")
	}
	features := root.field("features")
	if features == nil || features.kind != '[' {
		r.fail(source.Missing, root.span, "the map has no features")
		return
	}
	seen := map[string]bool{}
	for _, n := range features.items {
		r.feature(n, seen)
	}
}

func named(kind string) string {
	if kind == "" {
		return "something else"
	}
	return clip(kind)
}

func (r *landReader) feature(n *jsonNode, seen map[string]bool) {
	if n.text("type") != "Feature" {
		r.fail(source.WrongType, n.span, "expected a Feature; this is %s", named(n.text("type")))
		return
	}
	properties := n.field("properties")
	f := Feature{Name: properties.text("name"), Kind: properties.text("kind"), At: n.span}
	if f.Name == "" {
		r.fail(source.Missing, n.span, "this feature has no name").With(`write "properties": {"name": "top_field"}, with the name that farm.yaml has`)
		return
	}
	f.At = properties.field("name").span
	if seen[f.Name] {
		r.fail(source.Duplicate, f.At, "two features are called %s", clip(f.Name))
	}
	seen[f.Name] = true
	geometry := n.field("geometry")
	if geometry == nil || geometry.kind != '{' {
		r.fail(source.Missing, f.At, "%s has no geometry", clip(f.Name))
		return
	}
	r.geometry(&f, geometry)
	r.features = append(r.features, f)
}

// geometries are those of RFC 7946.
var geometries = []string{"Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon", "GeometryCollection"}

func (r *landReader) geometry(f *Feature, n *jsonNode) {
	kind := n.text("type")
	if kind == "GeometryCollection" {
		for _, g := range r.list(n.field("geometries"), n.span, "geometries") {
			r.geometry(f, g)
		}
		return
	}
	if !slices.Contains(geometries, kind) {
		e := r.fail(source.UnknownKey, n.span, "%s is no geometry", named(kind))
		if near := source.Nearest(kind, geometries); near != "" {
			e.With("did you mean %s?", near)
		}
		return
	}
	coordinates := n.field("coordinates")
	many := strings.HasPrefix(kind, "Multi")
	parts := []*jsonNode{coordinates}
	if many {
		parts = r.list(coordinates, n.span, "coordinates")
	}
	for _, part := range parts {
		switch strings.TrimPrefix(kind, "Multi") {
		case "Point":
			if p, ok := r.place(part, n.span); ok {
				f.Points = append(f.Points, p)
			}
		case "LineString":
			f.Lines = append(f.Lines, r.line(part, n.span))
		case "Polygon":
			f.Areas = append(f.Areas, r.polygon(part, n.span))
		}
	}
}

// list are the items of an array; anything else is a mistake.
func (r *landReader) list(n *jsonNode, at source.Span, name string) []*jsonNode {
	if n == nil || n.kind != '[' {
		if n != nil {
			at = n.span
		}
		r.fail(source.WrongType, at, "expected a list of %s", name)
		return nil
	}
	return n.items
}

func (r *landReader) place(n *jsonNode, at source.Span) (land.Place, bool) {
	items := r.list(n, at, "longitude and latitude")
	if items == nil {
		return land.Place{}, false
	}
	if r.places++; r.places == mostPlaces+1 {
		r.fail(source.Unsafe, n.span, "the map has more than %d positions", mostPlaces)
	}
	var xy [2]float64
	for i := range xy {
		ok := i < len(items)
		if ok {
			xy[i], ok = items[i].value.(float64)
		}
		if !ok {
			r.fail(source.WrongType, n.span, "a position is a longitude and a latitude, such as [0.12, 52.2]")
			return land.Place{}, false
		}
	}
	p := land.Place{Longitude: xy[0], Latitude: xy[1]}
	if !p.OnGlobe() {
		e := r.fail(source.OutOfRange, n.span, "longitude %v and latitude %v are not on the globe", xy[0], xy[1])
		switch swapped := (land.Place{Longitude: xy[1], Latitude: xy[0]}); {
		case swapped.OnGlobe():
			e.With("longitude stands first")
		case math.Abs(xy[0]) > 1000 || math.Abs(xy[1]) > 1000:
			e.With("they look like metres of a national grid; save the map in degrees of WGS84")
		}
		return land.Place{}, false
	}
	return p, true
}

func (r *landReader) placesOf(n *jsonNode, at source.Span) (places []land.Place, whole bool) {
	items := r.list(n, at, "positions")
	whole = items != nil
	for _, item := range items {
		p, ok := r.place(item, at)
		places, whole = append(places, p), whole && ok
	}
	return places, whole
}

func (r *landReader) line(n *jsonNode, at source.Span) []land.Place {
	places, _ := r.placesOf(n, at)
	if n != nil && n.kind == '[' && len(places) < 2 {
		r.fail(source.OutOfRange, n.span, "a line has two positions or more")
	}
	return places
}

func (r *landReader) polygon(n *jsonNode, at source.Span) [][]land.Place {
	var rings [][]land.Place
	for i, item := range r.list(n, at, "rings") {
		ring, whole := r.placesOf(item, at)
		if !whole || !r.ring(ring, item.span) {
			continue
		}
		if area, _ := land.Ring(ring); (area < 0) == (i == 0) {
			slices.Reverse(ring)
		}
		rings = append(rings, ring)
	}
	return rings
}

// ring reports what keeps places from being a ring.
func (r *landReader) ring(ring []land.Place, at source.Span) bool {
	if len(ring) < 4 {
		r.fail(source.OutOfRange, at, "a ring has four positions or more, the last the same as the first; this has %d", len(ring))
		return false
	}
	if len(ring) > mostInRing {
		r.fail(source.Unsafe, at, "this ring has %d positions; expected at most %d", len(ring), mostInRing).With("save the map with fewer: a metre between two is fine enough")
		return false
	}
	if ring[0] != ring[len(ring)-1] {
		r.fail(source.OutOfRange, at, "this ring does not close: its last position is not its first").With("repeat the first position at the end")
		return false
	}
	flat := make([]land.Point, len(ring))
	for i, p := range ring {
		// Over the antimeridian longitudes go on, so that sides don't run round the globe.
		x := p.Longitude - ring[0].Longitude
		flat[i] = land.Point{X: x - float64(360*math.Round(x/360)), Y: p.Latitude}
	}
	if i, j, ok := land.Crossing(flat); ok {
		r.fail(source.OutOfRange, at, "this ring crosses itself, between sides %d and %d; it has no area to speak of", i+1, j+1).With("move or remove a position, or draw two features")
		return false
	}
	return true
}
