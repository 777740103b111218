package land

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.12g, want %.12g within %g", what, got, want, within)
	}
}

// ring reads latitudes and longitudes in turn.
func ring(at ...float64) []Place {
	var places []Place
	for i := 0; i < len(at); i += 2 {
		places = append(places, Place{at[i], at[i+1]})
	}
	return places
}

func reversed(places []Place) []Place {
	out := make([]Place, len(places))
	for i, p := range places {
		out[len(places)-1-i] = p
	}
	return out
}

func TestRing(t *testing.T) {
	for _, c := range []struct {
		name            string
		corners         []Place
		area, perimeter float64
		tol, tolP       float64
	}{
		// Manual of the Rust port of GeographicLib, example of the polygon.
		{"one degree", ring(0, 0, 0, 1, 1, 1, 1, 0), 12308778361.469, 443770.917248, 0.01, 1e-5},
		// Points of an example program of GeographicLib, values by geographiclib 2.0.
		{"London, New York, Rio, Johannesburg", ring(52, 0, 41, -74, -23, -43, -26, 28), 65690027591346, 29506941.155, 10, 0.01},
		// A public note on a roof's area (points), values by geographiclib 2.0.
		{"a roof", ring(33.4022475, -111.9427525, 33.4022475, -111.9426775, 33.4023225, -111.9426775, 33.4023225, -111.9427525), 58.0374, 30.5908, 0.0005, 0.0005},
		// GeographicLib's manual, Antarctica: crosses the antimeridian, rings the pole.
		{"Antarctica", ring(-63.1, -58, -72.9, -74, -71.9, -102, -74.9, -102, -74.3, -131, -77.5, -163, -77.4, 163, -71.7, 172, -65.9, 140,
			-65.7, 113, -66.6, 88, -66.9, 59, -69.8, 25, -70, -4, -71, -14, -77.3, -33, -77.9, -46, -74.7, -61), 13662703680020, 16831067.893, 10, 0.01},
		// The rest by geographiclib 2.0.
		{"ten hectares", ring(52.2, 0.12, 52.1999999, 0.1258504, 52.2022466, 0.1258507, 52.2022468, 0.12), 99999.65, 1299.999, 0.05, 0.005},
		{"ten hectares turned", ring(52.2, 0.12, 52.1982025, 0.1250664, 52.2001481, 0.1268949, 52.2019457, 0.1218283), 99998.59, 1299.995, 0.05, 0.005},
		{"on the equator", ring(0, 10, 0, 10.0035933, 0.0022609, 10.0035933, 0.0022609, 10), 100000.03, 1300, 0.05, 0.01},
		{"far north", ring(60, 10, 59.9999998, 10.0071685, 60.0022437, 10.0071689, 60.0022439, 10), 99999.21, 1300, 0.05, 0.01},
		{"south", ring(-37.8, 175.3, -37.7999999, 175.3045418, -37.7977475, 175.3045417, -37.7977476, 175.3), 99999.98, 1300, 0.05, 0.01},
		{"an L", ring(52.2, 0.12, 52.2, 0.126, 52.202, 0.126, 52.202, 0.123, 52.204, 0.123, 52.204, 0.12), 136934.07, 1710.6, 0.05, 0.005},
		{"a pond", ring(52.2005, 0.121, 52.2005, 0.122, 52.201, 0.122, 52.201, 0.121), 3803.83, 247.95, 0.05, 0.1},
		{"a triangle", ring(52, 0, 52, 0.01, 52.01, 0), 382081.38, 3106.974, 0.05, 0.005},
		{"over the antimeridian", ring(-16.8, 179.99, -16.8, -179.99, -16.78, -179.99, -16.78, 179.99), 4719004.8, 8690.83, 0.5, 0.01},
		// RFC 7946, appendix A.3 and 3.1.9 (rings); values by geographiclib 2.0.
		{"RFC 7946 outer", ring(0, 100, 0, 101, 1, 101, 1, 100, 0, 100), 12308778361.5, 443770.917, 0.5, 0.01},
		{"RFC 7946 west", ring(40, 180, 50, 180, 50, 170, 40, 170, 40, 180), 874001606082.7, 3790000, 1, 1e5},
	} {
		area, perimeter := Ring(c.corners)
		near(t, c.name+": area", area, c.area, c.tol)
		near(t, c.name+": perimeter", perimeter, c.perimeter, c.tolP)
		back, _ := Ring(reversed(c.corners))
		near(t, c.name+": area the other way round", back, -c.area, c.tol)
	}
}

// A ring round the north pole is the mirror of one round the south pole.
func TestRingRoundPole(t *testing.T) {
	north, _ := Ring(ring(60, 0, 70, 120, 65, -120))
	south, _ := Ring(ring(-65, -120, -70, 120, -60, 0))
	near(t, "round the south", south, north, 1)
	cap, _ := Ring(ring(89.999, 0, 89.999, 90, 89.999, 180, 89.999, -90))
	near(t, "a square at the pole", cap, 2*111.694*111.694, 1) // its half diagonal is 0.001 degree, 111.694 m there
	// A triangle with a corner at the pole is a sixth of all that six such make.
	slice, _ := Ring(ring(90, 0, 60, 0, 60, 60))
	whole, _ := Ring(ring(60, 0, 60, 60, 60, 120, 60, 180, 60, -120, 60, -60))
	near(t, "six slices", 6*slice, whole, 10)
}

func TestRingWithHole(t *testing.T) {
	// RFC 7946, appendix A.3: a polygon with a hole, by geographiclib 2.0.
	outer, _ := Ring(ring(0, 100, 0, 101, 1, 101, 1, 100))
	hole, _ := Ring(ring(0.8, 100.8, 0.2, 100.8, 0.2, 100.2, 0.8, 100.2))
	near(t, "polygon with a hole", outer+hole, 7877655572.4, 0.5)
	if hole >= 0 {
		t.Errorf("a ring with the clock has the area %v, want it below zero", hole)
	}
}

func TestDistance(t *testing.T) {
	// Manual of the Rust port of GeographicLib, example of the inverse.
	near(t, "Los Angeles to Tallinn", Distance(Place{34.095925, -118.2884237}, Place{59.4323439, 24.7341649}), 9094718.727511, 1e-5)
	// A degree of latitude, by geographiclib 2.0.
	for _, c := range [][2]float64{{0, 110574.304}, {30, 110852.457}, {45, 111131.778}, {52, 111267.347}, {60, 111412.273}} {
		near(t, "a degree of latitude", Distance(Place{c[0] - 0.5, 7}, Place{c[0] + 0.5, 7}), c[1], 0.005)
	}
	// The sixth decimal of a degree at 52 N, by geographiclib 2.0.
	near(t, "a millionth north", Distance(Place{52, 0}, Place{52.000001, 0}), 0.111, 0.001)
	near(t, "a millionth east", Distance(Place{52, 0}, Place{52, 0.000001}), 0.069, 0.001)
	// Along the equator the way is the radius times the angle.
	near(t, "a degree on the equator", Distance(Place{0, -0.5}, Place{0, 0.5}), equatorRadius*math.Pi/180, 1e-8)
	near(t, "a way of two legs", Length([]Place{{0, 0}, {0, 1}, {0, 0.5}}), 1.5*equatorRadius*math.Pi/180, 1e-7)
	near(t, "nowhere to go", Distance(Place{52, 1}, Place{52, 1}), 0, 0)
	near(t, "from the pole", Distance(Place{90, 0}, Place{89, 77}), Distance(Place{90, 77}, Place{89, 77}), 1e-8)
	for _, c := range [][2]Place{{{0, 0}, {0, 179.9}}, {{91, 0}, {0, 0}}, {{0, 0}, {0, 181}}, {{math.NaN(), 0}, {0, 0}}} {
		if d := Distance(c[0], c[1]); !math.IsNaN(d) {
			t.Errorf("from %v to %v is %v, want no answer", c[0], c[1], d)
		}
	}
	if area, _ := Ring(ring(0, 0, 1, 1, 0, 0)); !math.IsNaN(area) {
		t.Errorf("two corners enclose %v, want no answer", area)
	}
}
