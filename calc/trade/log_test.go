package trade

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestLogs(t *testing.T) {
	const inch, foot = 0.0254, 0.3048
	cubicFoot := foot * foot * foot
	// University of Missouri, forest functions: a log of 16 ft with ends of 10
	// and 12 in, one of 5 m with ends of 25 and 29 cm.
	near(t, "Smalian, ft3", call(t, "log_smalian", 10*inch, 12*inch, 16*foot)[0]/cubicFoot, 10.647, 0.001)
	near(t, "Smalian, m3", call(t, "log_smalian", 0.25, 0.29, 5.0)[0], 0.287848, 1e-6)
	// Huber's formula as in an Irish forest research note; the middle of the
	// same log on a straight taper.
	near(t, "Huber", call(t, "log_huber", 0.27, 5.0)[0], 0.286278, 1e-6)
	// A log whose middle is thinner than its straight taper, worked out apart.
	near(t, "Smalian of a hollow log", call(t, "log_smalian", 0.30, 0.40, 4.0)[0], 0.392699, 1e-6)
	near(t, "Huber of a hollow log", call(t, "log_huber", 0.34, 4.0)[0], 0.363168, 1e-6)
	near(t, "Newton of a hollow log", call(t, "log_newton", 0.30, 0.34, 0.40, 4.0)[0], 0.373012, 1e-6)
	// The same Missouri page: the frustum of a cone, which Newton gives exactly.
	near(t, "cone", call(t, "log_newton", 0.25, 0.27, 0.29, 5.0)[0], 0.286801, 1e-6)
	// British mensuration notes: a quarter-girth volume is 21.5 % low.
	quarter := call(t, "log_quarter_girth", 1.2, 5.0)[0]
	near(t, "quarter girth", quarter, 0.450, 0.001)
	near(t, "quarter girth of the true volume", quarter/call(t, "log_huber", 1.2/math.Pi, 5.0)[0], 0.7854, 0.0001)

	none(t, "a diameter below zero", call(t, "log_huber", -0.1, 4.0))
	none(t, "a length below zero", call(t, "log_smalian", 0.1, 0.1, -4.0))

	r := rand.New(rand.NewPCG(9, 2026))
	for range 200 {
		a, b, c, long := r.Float64(), r.Float64(), r.Float64(), 6*r.Float64()
		huber, smalian := call(t, "log_huber", b, long)[0], call(t, "log_smalian", a, c, long)[0]
		near(t, "two of Huber and one of Smalian", call(t, "log_newton", a, b, c, long)[0], (2*huber+smalian)/3, 1e-9)
	}
}

func TestStacks(t *testing.T) {
	const cord = 128 * 0.3048 * 0.3048 * 0.3048
	near(t, "cord", cord, 3.6246, 0.0001)
	// Canadian scaling practice reckons 2.3 m3 of solid wood to a cord, US
	// pages 80 ft3: shares of 63.5 and 62.5 %.
	near(t, "solid wood of a cord", call(t, "stacked", 2.3, 0.635)[0], cord, 0.005)
	near(t, "80 cubic feet", call(t, "stacked", 80.0, 0.625)[0], 128, 1e-9)
	// 4 by 6.5 by 7 ft is 1.42 cords, a published worked example.
	near(t, "a stack in cords", call(t, "stacked", 4*6.5*7*0.65, 0.65)[0]/128, 1.42, 0.005)
	none(t, "a pile of air", call(t, "stacked", 1.0, 0.0))
	none(t, "more wood than pile", call(t, "stacked", 1.0, 1.2))
}
