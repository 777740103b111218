package land

import (
	"math"

	"rickyard/calc/portable"
)

// The ellipsoid of WGS84: NIMA TR8350.2, 3rd edition.
const (
	equatorRadius = 6378137.0
	flattening    = 1 / 298.257223563
	squash        = 1 - flattening
	polarRadius   = equatorRadius * squash
	eccentricity2 = flattening * (2 - flattening)
	secondEcc2    = eccentricity2 / (squash * squash)
)

// A Place is a point on the globe, in degrees of WGS84. North and east are
// positive.
type Place struct{ Latitude, Longitude float64 }

// OnGlobe reports whether the place is one: latitude from -90 to 90, longitude
// from -180 to 180.
func (p Place) OnGlobe() bool {
	return math.Abs(p.Latitude) <= 90 && math.Abs(p.Longitude) <= 180
}

// Distance returns the length in metres of the shortest way between two places on
// the ellipsoid of WGS84, at the height of the sea. It holds to a hundredth of a
// millimetre. NaN for places off the globe, and for two that lie almost opposite
// each other on it, which no farm spans.
//
// Source: the integrals of Karney, Algorithms for geodesics, Journal of Geodesy 87
// (2013), equations 7 and 8, by Gauss's rule in place of series; the azimuth by
// Vincenty's iteration.
func Distance(a, b Place) float64 { return follow(a, b).length }

// Length returns the length in metres of the way through places in their order.
func Length(way []Place) float64 {
	sum := 0.0
	for i := 1; i < len(way); i++ {
		sum += Distance(way[i-1], way[i])
	}
	return sum
}

// Ring returns the signed area in square metres and the perimeter in metres of a
// polygon on the globe whose sides are shortest ways. The area is positive where
// the corners run against the clock, as the outer rings of RFC 7946 do. The last
// corner joins the first, whether that is repeated or not. Rings may cross the
// antimeridian and may go round a pole; the area is then that on the pole's side.
// Area and perimeter are those at the height of the sea: at 300 m the ground is
// 0.01 % larger.
//
// Source: Karney 2013 as for Distance, equations 58 to 63.
func Ring(corners []Place) (area, perimeter float64) {
	if n := len(corners); n > 1 && corners[0] == corners[n-1] {
		corners = corners[:n-1]
	}
	if len(corners) < 3 {
		return math.NaN(), math.NaN()
	}
	turns := 0.0
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		g := follow(a, b)
		area -= g.under
		perimeter += g.length
		turns += eastward(a, b)
	}
	// A ring round a pole turns once; what lies under it is then short by the
	// half of the globe, on the side that the ring keeps to its left.
	if turns = math.Round(turns / 360); turns != 0 {
		area += float64(turns * globeArea() / 2)
	}
	if half := float64(globeArea() / 2); area > half {
		area -= float64(2 * half)
	} else if area < -half {
		area += float64(2 * half)
	}
	return area, perimeter
}

// eastward is the difference in longitude from a to b by the shorter way round.
func eastward(a, b Place) float64 {
	d := math.Mod(b.Longitude-a.Longitude, 360)
	switch {
	case d > 180:
		d -= 360
	case d < -180:
		d += 360
	}
	return d
}

// globeArea is the area of the whole ellipsoid.
func globeArea() float64 { return 4 * math.Pi * authalic2() }

// authalic2 is the square of the radius of the sphere that has the ellipsoid's
// area: Karney 2013, equation 60.
func authalic2() float64 {
	e := math.Sqrt(eccentricity2)
	return equatorRadius*equatorRadius/2 + polarRadius*polarRadius/2*portable.Atanh(e)/e
}

// A geodesic is a shortest way between two places.
type geodesic struct {
	length float64 // metres
	under  float64 // signed area between it and the equator, positive for eastward ways in the north
}

// rounds bounds the iteration; each round makes the longitude some 300 times as
// good, but for nearly opposite places, where it does not settle.
const rounds = 30

func follow(a, b Place) geodesic {
	none := geodesic{math.NaN(), math.NaN()}
	if !a.OnGlobe() || !b.OnGlobe() {
		return none
	}
	if a == b {
		return geodesic{}
	}
	const degree = math.Pi / 180
	sin1, cos1 := reduced(a.Latitude * degree)
	sin2, cos2 := reduced(b.Latitude * degree)
	east := float64(eastward(a, b) * degree)
	around := east // difference in longitude on the auxiliary sphere
	for range rounds {
		arc := onSphere(sin1, cos1, sin2, cos2, around)
		next := east + float64(flattening*arc.sin0*arc.integral(arc.lag))
		if math.Abs(next) > math.Pi {
			return none
		}
		if math.Abs(next-around) <= 1e-15*math.Abs(next) {
			return geodesic{
				length: polarRadius * arc.integral(arc.stretch),
				under:  arc.under(sin1, cos1, sin2, cos2, next),
			}
		}
		around = next
	}
	return none
}

// reduced gives the sine and cosine of the reduced latitude.
func reduced(latitude float64) (sin, cos float64) {
	s, c := squash*portable.Sin(latitude), portable.Cos(latitude)
	h := math.Sqrt(float64(s*s) + float64(c*c))
	return s / h, math.Abs(c) / h
}

// An arc is a great circle's on the auxiliary sphere, from the angle start over the
// angle length, both from where the circle crosses the equator northward.
type arc struct {
	sin0, cos02   float64 // azimuth at the equator: its sine, its cosine squared
	k2            float64
	start, length float64
}

func onSphere(sin1, cos1, sin2, cos2, around float64) arc {
	sinL, half := portable.Sin(around), portable.Sin(around/2)
	// cos1 sin2 - sin1 cos2 cos(around), written so that short ways keep their digits
	north := float64(cos1*sin2) - float64(sin1*cos2) + float64(2*sin1*cos2*half*half)
	aside := cos2 * sinL
	sinS := math.Sqrt(float64(aside*aside) + float64(north*north))
	cosS := float64(sin1*sin2) + float64(cos1*cos2*portable.Cos(around))
	if sinS == 0 {
		return arc{}
	}
	var g arc
	g.sin0 = cos1 * aside / sinS
	g.cos02 = 1 - float64(g.sin0*g.sin0)
	g.k2 = secondEcc2 * g.cos02
	g.start = portable.Atan2(sin1, cos1*north/sinS)
	g.length = portable.Atan2(sinS, cosS)
	return g
}

// Gauss's rule of eight points on -1 to 1, half of it: Abramowitz and Stegun, table
// 25.4. Four stretches of it hold a way round half the globe to the last digit.
var gauss = [4][2]float64{
	{0.1834346424956498, 0.3626837833783620},
	{0.5255324099163290, 0.3137066458778873},
	{0.7966664774136267, 0.2223810344533745},
	{0.9602898564975363, 0.1012285362903763},
}

func (g arc) integral(f func(sin float64) float64) float64 {
	const stretches = 4
	sum, width := 0.0, g.length/(2*stretches)
	for i := range stretches {
		middle := g.start + float64(float64(2*i+1)*width)
		for _, p := range gauss {
			d := float64(p[0] * width)
			sum += float64(p[1] * (f(portable.Sin(middle-d)) + f(portable.Sin(middle+d))))
		}
	}
	return sum * width
}

// stretch is the integrand of length: Karney 2013, equation 7.
func (g arc) stretch(sin float64) float64 { return math.Sqrt(1 + float64(g.k2*sin*sin)) }

// lag is that of longitude: equation 8.
func (g arc) lag(sin float64) float64 {
	return (2 - flattening) / (1 + float64(squash*g.stretch(sin)))
}

// under is the area between the way and the equator: equations 58 to 63.
func (g arc) under(sin1, cos1, sin2, cos2, around float64) float64 {
	// Half the spherical excess, from the half angles so that little fields keep
	// their digits.
	t1, t2 := sin1/(1+cos1), sin2/(1+cos2)
	excess := 2 * portable.Atan2(portable.Sin(around/2)*(t1+t2), portable.Cos(around/2)*(1+float64(t1*t2)))
	turn := -math.Sqrt(g.cos02) * g.sin0 * g.integral(g.bulge)
	return float64(authalic2()*excess) + float64(eccentricity2*equatorRadius*equatorRadius*turn)
}

// bulge is the integrand of equation 62.
func (g arc) bulge(sin float64) float64 {
	x := float64(g.k2 * sin * sin)
	gap := secondEcc2 - x
	if gap < nearPole {
		return slopeOfT((secondEcc2+x)/2) * sin / 2
	}
	return (areaT(secondEcc2) - areaT(x)) / gap * sin / 2
}

// nearPole is where the difference of equation 62 has lost more digits than its
// derivative half-way leaves out.
const nearPole = 1e-5

// areaT is t of equation 61; slopeOfT its derivative.
func areaT(x float64) float64 {
	if x < 1e-16 {
		return 1 + x
	}
	return x + float64(math.Sqrt(1/x+1)*portable.Asinh(math.Sqrt(x)))
}

func slopeOfT(x float64) float64 {
	return 1 + 1/(2*x) - portable.Asinh(math.Sqrt(x))/(2*x*math.Sqrt(float64(x*x)+x))
}
