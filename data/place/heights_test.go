package place

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"rickyard/calc/land"
	"rickyard/calc/source"
)

const heading = "ncols 3\nnrows 2\nxllcorner 1000\nyllcorner 2000\ncellsize 10\n"

func TestHeights(t *testing.T) {
	g, errs := Heights(source.New("heights.asc", "\ufeffNCOLS 3\r\nNROWS 2\r\nXLLCORNER 1000\r\nYLLCORNER 2000\r\nCELLSIZE 10\r\nNODATA_value -32768\r\n31.5 31 30\r\n -3\t-32768 1e1\r\n"))
	if len(errs) > 0 {
		t.Fatal(told(errs))
	}
	if g.Columns != 3 || g.Rows != 2 || g.Cell != 10 || g.West != 1005 || g.South != 2005 {
		t.Errorf("grid %+v", g)
	}
	for i, want := range []float64{31.5, 31, 30, -3, math.NaN(), 10} {
		if h := g.Heights[i]; h != want && !(math.IsNaN(h) && math.IsNaN(want)) {
			t.Errorf("height %d is %v, want %v", i, h, want)
		}
	}
	if p := g.Post(0, 0); p != (land.Point{X: 1005, Y: 2015}) {
		t.Errorf("the first height stands at %v", p)
	}
	// The centre of a cell needs no half; the usual number stands for unknown.
	g, errs = Heights(source.New("heights.asc", "ncols 1\nnrows 1\nxllcenter 1000\nyllcenter 2000\ncellsize 10\n-9999"))
	if len(errs) > 0 || g.West != 1000 || g.South != 2000 || !math.IsNaN(g.Heights[0]) {
		t.Errorf("grid %+v, %s", g, told(errs))
	}
}

func TestHeightsUnknownByName(t *testing.T) {
	g, errs := Heights(source.New("heights.asc", heading+"nodata_value nan\n1 2 nan 4 5 6"))
	if len(errs) > 0 || !math.IsNaN(g.Heights[2]) || g.Heights[3] != 4 {
		t.Errorf("grid %+v, %s", g, told(errs))
	}
}

func TestHeightMistakes(t *testing.T) {
	for text, want := range map[string]string{
		"":                                    "h.asc:1:1: the heading lacks ncols\nh.asc:1:1: the heading lacks nrows\nh.asc:1:1: the heading lacks cellsize\nh.asc:1:1: the heading needs one of xllcorner and xllcenter\nh.asc:1:1: the heading needs one of yllcorner and yllcenter",
		"ncol 3":                              "h.asc:1:1: ncol is no word of a grid's heading; did you mean ncols?",
		"banana 3":                            "h.asc:1:1: banana is no word of a grid's heading; expected ncols, nrows, xllcorner, yllcorner, cellsize and perhaps nodata_value",
		"ncols 3\n" + heading + "1 2 3 4 5 6": "h.asc:2:1: ncols is given twice",
		strings.Replace(heading, "3", "x", 1) + "1 2 3 4 5 6":            `h.asc:1:7: ncols is "x"; expected a number`,
		strings.Replace(heading, "3", "2.5", 1) + "1 2 3 4 5 6":          "h.asc:1:7: ncols must be a whole number from 1 to 16000000",
		strings.Replace(heading, "nrows 2", "nrows 0", 1) + "1":          "h.asc:2:7: nrows must be a whole number from 1 to 16000000",
		strings.Replace(heading, "cellsize 10", "cellsize 0", 1) + "1":   "h.asc:5:10: cellsize must be above 0 m",
		strings.Replace(heading, "cellsize 10", "cellsize nan", 1) + "1": `h.asc:5:10: cellsize is "nan"; expected a number`,
		heading + "xllcenter 3\n1 2 3 4 5 6":                             "h.asc:1:1: the heading needs one of xllcorner and xllcenter",
		heading + "1 2 3 4 5":                                            "h.asc:6:10: the file ends after 5 heights; expected 2 rows of 3",
		heading + "1 2 3 4 5 6 7":                                        "h.asc:6:13: there are heights after the last of 2 rows of 3; check ncols and nrows",
		heading + "1 2 x3 4 5 6":                                         `h.asc:6:5: "x3" is not a height; expected a number in metres`,
		heading + "1 2 3,5 4 5 6":                                        `h.asc:6:5: "3,5" is not a height; expected a number in metres; write decimals with a point, and part heights by spaces`,
		heading + "1 2 -32768 4 5 6":                                     "h.asc:6:5: a height of -32768 m is none on earth; name the number that stands for unknown heights: nodata_value -32768",
		heading + "1 2 9000.1 4 5 6":                                     "h.asc:6:5: a height of 9000.1 m is none on earth; name the number that stands for unknown heights: nodata_value 9000.1",
		strings.Replace(heading, "ncols 3", "ncols 4001", 1) + "":        "h.asc:6:1: the file ends after 0 heights; expected 2 rows of 4001",
		"ncols 4001\nnrows 4000\nxllcorner 0\nyllcorner 0\ncellsize 1":   "h.asc:2:7: 4000 times 4001 heights are more than 16000000; take a smaller piece of the map, or a wider cell",
	} {
		g, errs := Heights(source.New("h.asc", text))
		if got := told(errs); got != want || g != nil {
			t.Errorf("%q\n got %s, %v\nwant %s", text, got, g, want)
		}
	}
	_, errs := Heights(source.New("h.asc", strings.Replace(heading, "ncols 3", "ncols 300", 1)+strings.Repeat("1x ", 600)))
	if len(errs) != mostErrors {
		t.Errorf("%d mistakes are told, want %d", len(errs), mostErrors)
	}
}

// The quick way is the library's, to the bit.
func TestHeightIsExact(t *testing.T) {
	for _, text := range []string{"0", "-0", "1", "-1.", ".5", "-.25", "123.456", "31.2", "9999999999999.99", "12345678901234567", "0.000000000000001", "1e3", "-9999", "-9999.000", "8848.86", "0.1", "1.7976931348623157"} {
		got, err := height(text)
		want, wantErr := strconv.ParseFloat(text, 64)
		if err != nil || wantErr != nil || math.Float64bits(got) != math.Float64bits(want) {
			t.Errorf("%s is %v (%v), want %v (%v)", text, got, err, want, wantErr)
		}
	}
	for _, text := range []string{"", "-", ".", "1.2.3", "--1", "1-", "x"} {
		if x, err := height(text); err == nil {
			t.Errorf("%q is %v", text, x)
		}
	}
}

func BenchmarkMillionHeights(b *testing.B) {
	var text strings.Builder
	text.WriteString("ncols 1000\nnrows 1000\nxllcorner 0\nyllcorner 0\ncellsize 5\n")
	for i := range 1_000_000 {
		fmt.Fprintf(&text, "%.2f ", 100+float64(i%977)/10)
	}
	f := source.New("h.asc", text.String())
	b.ReportAllocs()
	for b.Loop() {
		if _, errs := Heights(f); len(errs) > 0 {
			b.Fatal(told(errs))
		}
	}
}
