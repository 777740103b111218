package trade

import "testing"

func TestFence(t *testing.T) {
	// By hand; common practice, no source.
	near(t, "along", call(t, "posts_along", 100.0, 4.0)[0], 26, 0)
	near(t, "along, a bit over", call(t, "posts_along", 101.0, 4.0)[0], 27, 0)
	near(t, "round", call(t, "posts_round", 100.0, 4.0)[0], 25, 0)
	near(t, "round, a bit over", call(t, "posts_round", 101.0, 4.0)[0], 26, 0)
	near(t, "no noise rounded up", call(t, "posts_round", 30.0, 0.3)[0], 100, 0)
	near(t, "strainers at corners", call(t, "strainers", 600.0, 6.0, 150.0)[0], 6, 0)
	near(t, "strainers by length", call(t, "strainers", 1000.0, 6.0, 150.0)[0], 7, 0)
	near(t, "wire", call(t, "fence_wire", 600.0, 5.0, 0.05)[0], 3150, 1e-9)
	// Ten joules at a metre of stake each, stakes of 2 m: five; three at least.
	near(t, "earth", call(t, "earth_stakes", 10.0, 1.0, 2.0, 3.0)[0], 5, 0)
	near(t, "three at least", call(t, "earth_stakes", 2.0, 1.0, 2.0, 3.0)[0], 3, 0)
	none(t, "no spacing", call(t, "posts_along", 100.0, 0.0))
	none(t, "no spacing round", call(t, "posts_round", 100.0, 0.0))
	none(t, "no strain", call(t, "strainers", 100.0, 4.0, 0.0))
	none(t, "no stake", call(t, "earth_stakes", 10.0, 1.0, 0.0, 3.0))
	none(t, "a length below nought", call(t, "fence_wire", -1.0, 5.0, 0.05))
}
