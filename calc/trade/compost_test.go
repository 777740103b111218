package trade

import "testing"

func TestCompostMoisture(t *testing.T) {
	// Cornell's example: 10 kg of grass at 77 % and leaves at 35 %, goal 60 %.
	near(t, "three alike", call(t, "add_for_moisture", 5.0, 0.6, 0.6, 0.6)[0], 0, 0)
	leaves := call(t, "add_for_moisture", 10.0, 0.77, 0.35, 0.60)[0]
	near(t, "leaves", leaves, 6.8, 0.05)
	// That mix has 60 % and a ratio of 36.7: grass 2.4 % N and 45 % C, leaves 0.75 and 50.
	dry := call(t, "part_of", 10.0, 0.77, 1.0)[0] + call(t, "part_of", leaves, 0.35, 1.0)[0]
	near(t, "moisture", 1-dry/(10+leaves), 0.60, 1e-12)
	carbon := call(t, "part_of", 10.0, 0.77, 0.45)[0] + call(t, "part_of", leaves, 0.35, 0.50)[0]
	nitrogen := call(t, "part_of", 10.0, 0.77, 0.024)[0] + call(t, "part_of", leaves, 0.35, 0.0075)[0]
	near(t, "ratio", carbon/nitrogen, 36.7, 0.1)
	near(t, "as it is", call(t, "add_for_moisture", 10.0, 0.6, 0.35, 0.60)[0], 0, 0)
	near(t, "both alike", call(t, "add_for_moisture", 10.0, 0.6, 0.6, 0.60)[0], 0, 0)
	near(t, "wetter", call(t, "add_for_moisture", 10.0, 0.35, 0.77, 0.60)[0], 10*25/17.0, 1e-9)
	none(t, "goal above both", call(t, "add_for_moisture", 10.0, 0.77, 0.35, 0.80))
	none(t, "goal below both", call(t, "add_for_moisture", 10.0, 0.77, 0.35, 0.30))
	none(t, "goal of the second alone", call(t, "add_for_moisture", 10.0, 0.77, 0.35, 0.35))
}

func TestCompostRatio(t *testing.T) {
	// Cornell's two-material solution (from memory): 3.5 kg of leaves for a ratio of 30.
	leaves := call(t, "add_for_ratio", 10.0, 0.77, 0.45, 0.024, 0.35, 0.50, 0.0075, 30.0)[0]
	near(t, "leaves", leaves, 3.474, 0.0005)
	part := func(weight, moisture, of float64) float64 { return call(t, "part_of", weight, moisture, of)[0] }
	near(t, "ratio", (part(10, 0.77, 0.45)+part(leaves, 0.35, 0.50))/(part(10, 0.77, 0.024)+part(leaves, 0.35, 0.0075)), 30, 1e-9)
	near(t, "its moisture", 1-(part(10, 0.77, 1)+part(leaves, 0.35, 1))/(10+leaves), 0.662, 0.001)
	// A gardening hand-out, percentages of the wet weight: hay, scraps, coffee grounds.
	carbon := part(50, 0, 0.40) + part(10, 0, 0.10) + part(2, 0, 0.25)
	nitrogen := part(50, 0, 0.01) + part(10, 0, 0.01) + part(2, 0, 0.01)
	near(t, "carbon of three", carbon, 21.5, 1e-9)
	near(t, "ratio of three", carbon/nitrogen, 34.7, 0.05)
	near(t, "as it is", call(t, "add_for_ratio", 10.0, 0.77, 0.6, 0.02, 0.35, 0.50, 0.0075, 30.0)[0], 0, 0)
	none(t, "goal above both", call(t, "add_for_ratio", 10.0, 0.77, 0.45, 0.024, 0.35, 0.50, 0.0075, 70.0))
	none(t, "goal below both", call(t, "add_for_ratio", 10.0, 0.77, 0.45, 0.024, 0.35, 0.50, 0.0075, 18.0))
	none(t, "nothing dry in the second", call(t, "add_for_ratio", 10.0, 0.77, 0.45, 0.024, 1.0, 0.50, 0.0075, 30.0))
	none(t, "the second has the ratio itself", call(t, "add_for_ratio", 10.0, 0.77, 0.45, 0.024, 0.35, 0.30, 0.01, 30.0))
	// Cornell's oven test: 10 g before, 2.3 g after, is 77 %.
	near(t, "oven test", 10*(1-0.77), call(t, "part_of", 10.0, 0.77, 1.0)[0], 1e-12)
}
