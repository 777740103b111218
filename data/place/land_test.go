package place

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rickyard/calc/land"
	"rickyard/calc/source"
)

func mapOf(geometries ...string) string {
	var features []string
	for i, g := range geometries {
		features = append(features, fmt.Sprintf(`{"type": "Feature", "properties": {"name": "f%d", "kind": "field"}, "geometry": %s}`, i+1, g))
	}
	return `{"type": "FeatureCollection", "features": [` + strings.Join(features, ",\n") + `]}`
}

func read(t *testing.T, text string) []Feature {
	t.Helper()
	features, errs := Land(source.New("land.geojson", text))
	if len(errs) > 0 {
		t.Fatal(told(errs))
	}
	return features
}

func TestLand(t *testing.T) {
	features := read(t, "\ufeff"+mapOf(
		// RFC 7946, appendix A.3: a polygon with a hole; then its outer ring with the
		// clock, as older files have it.
		`{"type": "Polygon", "coordinates": [[[100,0],[101,0],[101,1],[100,1],[100,0]], [[100.8,0.8],[100.8,0.2],[100.2,0.2],[100.2,0.8],[100.8,0.8]]]}`,
		`{"type": "Polygon", "coordinates": [[[100,0],[100,1],[101,1],[101,0],[100,0]], [[100.2,0.2],[100.8,0.2],[100.8,0.8],[100.2,0.8],[100.2,0.2]]]}`,
		// 3.1.9: cut at the antimeridian.
		`{"type": "MultiPolygon", "coordinates": [[[[180,40],[180,50],[170,50],[170,40],[180,40]]], [[[-170,40],[-170,50],[-180,50],[-180,40],[-170,40]]]]}`,
		`{"type": "MultiLineString", "coordinates": [[[170,45],[180,45]], [[-180,45],[-170,45]]]}`,
		`{"type": "GeometryCollection", "geometries": [{"type": "Point", "coordinates": [0, 51.48, 45]}, {"type": "LineString", "coordinates": [[0,51.48],[0.1,51.5]]}, {"type": "MultiPoint", "coordinates": [[1,2],[3,4]]}]}`,
		// Over the antimeridian in one ring.
		`{"type": "Polygon", "coordinates": [[[179.99,-16.8],[-179.99,-16.8],[-179.99,-16.78],[179.99,-16.78],[179.99,-16.8]]]}`,
	))
	area := func(f Feature) (sum float64) {
		for _, rings := range f.Areas {
			for _, ring := range rings {
				a, _ := land.Ring(ring)
				sum += a
			}
		}
		return sum
	}
	// Areas by geographiclib 2.0.
	for i, want := range map[int]float64{0: 7877655572.4, 1: 7877655572.4, 2: 2 * 874001606082.7, 5: 4719004.8} {
		if got := area(features[i]); math.Abs(got-want) > 2 {
			t.Errorf("feature %d has %v m2, want %v", i+1, got, want)
		}
	}
	f := features[4]
	if len(f.Points) != 3 || len(f.Lines) != 1 || len(f.Areas) != 0 || f.Points[0] != (land.Place{Latitude: 51.48, Longitude: 0}) {
		t.Errorf("a collection is read as %+v", f)
	}
	if f.Name != "f5" || f.Kind != "field" || f.At.Text() != `"f5"` {
		t.Errorf("it is called %s, a %s, at %s", f.Name, f.Kind, f.At.Text())
	}
	if len(features[3].Lines) != 2 {
		t.Errorf("a line cut in two is read as %v", features[3].Lines)
	}
	if features := read(t, `{"type": "FeatureCollection", "features": []}`); len(features) != 0 {
		t.Errorf("an empty map has %v", features)
	}
}

func TestLandMistakes(t *testing.T) {
	polygon := func(ring string) string { return mapOf(`{"type": "Polygon", "coordinates": [` + ring + `]}`) }
	for text, want := range map[string]string{
		"":                              "m:1:1: this is not GeoJSON: the file ends too early",
		"{":                             "m:1:2: this is not GeoJSON: the file ends too early",
		"{} {":                          "m:1:4: this is not GeoJSON: there is something after the end of the map",
		`{"a" 1}`:                       "m:1:6: this is not GeoJSON: invalid character '1' after object key",
		strings.Repeat("[", 20):         "m:1:14: this is not GeoJSON: it nests more than 12 deep",
		"[]":                            "m:1:1: a map is a FeatureCollection; this is something else; put the features into one",
		"3":                             "m:1:1: a map is a FeatureCollection; this is something else; put the features into one",
		`{"type": "Feature"}`:           "m:1:1: a map is a FeatureCollection; this is Feature; put the features into one",
		`{"type": "FeatureCollection"}`: "m:1:1: the map has no features",
		`{"type": "FeatureCollection", "crs": {"type": "name"}, "features": []}`:                        "m:1:38: a map has no crs any more: RFC 7946 knows only longitude and latitude of WGS84; save the map with that, and take crs out",
		`{"type": "FeatureCollection", "features": [{"type": "Point"}]}`:                                "m:1:44: expected a Feature; this is Point",
		`{"type": "FeatureCollection", "features": [{"type": "Feature"}]}`:                              `m:1:44: this feature has no name; write "properties": {"name": "top_field"}, with the name that farm.yaml has`,
		`{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {"name": "a"}}]}`: "m:1:87: a has no geometry",
		mapOf(`{"type": "Polgon", "coordinates": []}`):                                                  "m:1:123: Polgon is no geometry; did you mean Polygon?",
		mapOf(`{"type": "Point", "coordinates": 3}`):                                                    "m:1:156: expected a list of longitude and latitude",
		mapOf(`{"type": "Point"}`):                                                                      "m:1:123: expected a list of longitude and latitude",
		mapOf(`{"type": "Point", "coordinates": [1]}`):                                                  "m:1:156: a position is a longitude and a latitude, such as [0.12, 52.2]",
		mapOf(`{"type": "Point", "coordinates": ["1", 2]}`):                                             "m:1:156: a position is a longitude and a latitude, such as [0.12, 52.2]",
		mapOf(`{"type": "Point", "coordinates": [52.2, 120.1]}`):                                        "m:1:156: longitude 52.2 and latitude 120.1 are not on the globe; longitude stands first",
		mapOf(`{"type": "Point", "coordinates": [303189.3, 5787193]}`):                                  "m:1:156: longitude 303189.3 and latitude 5.787193e+06 are not on the globe; they look like metres of a national grid; save the map in degrees of WGS84",
		mapOf(`{"type": "Point", "coordinates": [303189.3, 52]}`):                                       "m:1:156: longitude 303189.3 and latitude 52 are not on the globe; they look like metres of a national grid; save the map in degrees of WGS84",
		mapOf(`{"type": "Point", "coordinates": [100, 5787193.5]}`):                                     "m:1:156: longitude 100 and latitude 5.7871935e+06 are not on the globe; they look like metres of a national grid; save the map in degrees of WGS84",
		mapOf(`{"type": "Point", "coordinates": [200, 300]}`):                                           "m:1:156: longitude 200 and latitude 300 are not on the globe",
		mapOf(`{"type": "LineString", "coordinates": [[1,2]]}`):                                         "m:1:161: a line has two positions or more",
		mapOf(`{"type": "MultiLineString", "coordinates": 1}`):                                          "m:1:166: expected a list of coordinates",
		mapOf(`{"type": "GeometryCollection"}`):                                                         "m:1:123: expected a list of geometries",
		// RFC 7946, 3.1.6.
		polygon(`[[0,0],[1,0],[0,0]]`):             "m:1:159: a ring has four positions or more, the last the same as the first; this has 3",
		polygon(`[[0,0],[1,0],[1,1],[0,1]]`):       "m:1:159: this ring does not close: its last position is not its first; repeat the first position at the end",
		polygon(`[[0,0],[1,1],[1,0],[0,1],[0,0]]`): "m:1:159: this ring crosses itself, between sides 1 and 3; it has no area to speak of; move or remove a position, or draw two features",
		polygon(`3`): "m:1:159: expected a list of positions",
	} {
		_, errs := Land(source.New("m", text))
		if got := told(errs); got != want {
			t.Errorf("%s\n got %s\nwant %s", text, got, want)
		}
	}
	twice := strings.Replace(mapOf(`{"type": "Point", "coordinates": [1,2]}`, `{"type": "Point", "coordinates": [1,2]}`), "f2", "f1", 1)
	if _, errs := Land(source.New("m", twice)); told(errs) != "m:2:44: two features are called f1" {
		t.Error(told(errs))
	}
	long := polygon("[" + strings.Repeat("[1,2],", 10_001) + "[1,2]]")
	if _, errs := Land(source.New("m", long)); !strings.Contains(told(errs), "10002 positions; expected at most 10000") {
		t.Error(told(errs))
	}
	var bad []string
	for range 100 {
		bad = append(bad, `{"type": "Blob"}`)
	}
	if _, errs := Land(source.New("m", mapOf(bad...))); len(errs) != mostErrors {
		t.Errorf("%d mistakes are told, want %d", len(errs), mostErrors)
	}
}

func FuzzPlace(f *testing.F) {
	f.Add(mapOf(`{"type": "Polygon", "coordinates": [[[100,0],[101,0],[101,1],[100,0]]]}`))
	f.Add(heading + "1 2 3 4 5 6")
	f.Add("date,rain,tmin,tmax\n2024-01-01,1,2,3\n")
	f.Add("\ufeff\"\\\"{\n,\r")
	columns := Usual(units(f))
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 10_000 {
			return
		}
		_, land := Land(source.New("a", text))
		_, heights := Heights(source.New("b", text))
		_, weather := Weather(source.New("c", text), columns)
		for _, errs := range [][]*source.Error{land, heights, weather} {
			for _, e := range errs {
				if e.Message == "" || !strings.Contains(e.Error(), e.Message) || e.Detail() == "" {
					t.Errorf("an error says %q", e.Error())
				}
			}
		}
	})
}
