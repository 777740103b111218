package place

import (
	"math"
	"testing"

	"rickyard/calc/source"
)

func TestPoints(t *testing.T) {
	g, errs := Points(source.New("h.csv", "\ufeffheight,East,north,note\r\n5,1000,2000,a\r\n\r\n6,1010,2000,b\r\n7.5,1000.005,2010,\r\n9,1020,2010\r\n"))
	if len(errs) > 0 {
		t.Fatal(told(errs))
	}
	if g.Rows != 2 || g.Columns != 3 || math.Abs(g.Cell-9.995) > 0.001 || g.West != 1000 || g.South != 2000 {
		t.Errorf("grid %+v", g)
	}
	g, errs = Points(source.New("h.csv", "east,north,height\n1000,2000,5\n1010,2000,6\n1000,2010,7.5\n1020,2010,9\n"))
	if len(errs) > 0 || g.Cell != 10 || g.Columns != 3 {
		t.Fatal(told(errs), g)
	}
	for i, want := range []float64{7.5, math.NaN(), 9, 5, 6, math.NaN()} {
		if h := g.Heights[i]; h != want && !(math.IsNaN(h) && math.IsNaN(want)) {
			t.Errorf("post %d is %v, want %v", i, h, want)
		}
	}
}

func TestPointMistakes(t *testing.T) {
	const head = "east,north,height\n0,0,1\n10,0,2\n0,10,3\n"
	for text, want := range map[string]string{
		"":                          "h:1:1: there are 0 points; expected a heading east,north,height and four points or more",
		head:                        "h:1:1: there are 3 points; expected a heading east,north,height and four points or more",
		"easts,north,height\n1,2,3": "h:1:1: there is no column east; expected the heading east,north,height; rename easts",
		"x,north,height\n1,2,3":     "h:1:1: there is no column east; expected the heading east,north,height",
		head + "10,10":              "h:5:1: this row has no height",
		head + "10,x,3":             `h:5:4: "x" is not a number of metres`,
		head + "10,10,-9999":        "h:5:7: a height of -9999 m is none on earth; leave out points that are not known",
		head + "10,10,4\n0,0,5":     "h:6:1: there is a second point at the same place",
		head + "10,10,4\n25,0,5":    "h:6:1: this point does not stand in square with the others, 10 m apart; save the heights as a grid",
		head + "10,10,4\n3,3,5":     "h:3:1: this point does not stand in square with the others, 3 m apart; save the heights as a grid",
		head + "5,10,4":             "h:2:1: the points do not stand in square: the least steps are 5 m east and 10 m north; save the heights as a grid",
		"east,north,height\n0,0,1\n0,1,1\n0,2,1\n0,3,1\n": "h:2:1: the points do not stand in square: the least steps are 0 m east and 1 m north; save the heights as a grid",
		head + "90000000,90000000,4":                      "h:2:1: a grid over these points has more than 16000000 posts; take a smaller piece of the map, or leave out points that lie far off",
	} {
		g, errs := Points(source.New("h", text))
		if got := told(errs); got != want || g != nil {
			t.Errorf("%q\n got %s, %v\nwant %s", text, got, g, want)
		}
	}
}
