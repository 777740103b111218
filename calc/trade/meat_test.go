package trade

import "testing"

func TestMeat(t *testing.T) {
	// Extension figures on an aggregate page: 1,200 lb, 63 % and 65 %, printed as
	// 750 lb of carcass and roughly 490 of meat.
	near(t, "carcass", call(t, "saleable_meat", 1200.0, 0.63, 0.0, 1.0)[0], 756, 1e-9)
	near(t, "meat", call(t, "saleable_meat", 1200.0, 0.63, 0.0, 0.65)[0], 491.4, 1e-9)
	near(t, "chilled", call(t, "saleable_meat", 1200.0, 0.63, 0.02, 0.65)[0], 491.4*0.98, 1e-9)
	// Turkeys of a youth show, Journal of the NACAA 14(1), 2021: 78.58 % for toms
	// and 82.29 % for hens.
	near(t, "tom", call(t, "saleable_meat", 20.0, 0.7858, 0.0, 1.0)[0], 15.716, 0.001)
	near(t, "hen", call(t, "saleable_meat", 12.0, 0.8229, 0.0, 1.0)[0], 9.875, 0.001)
	// Back from the same steer: two of them give 982.8 lb.
	near(t, "two steers", call(t, "animals_for", 982.8, 1200.0, 0.63, 0.0, 0.65)[0], 2, 0)
	near(t, "a pound more", call(t, "animals_for", 983.8, 1200.0, 0.63, 0.0, 0.65)[0], 3, 0)
	none(t, "no carcass", call(t, "animals_for", 10.0, 1200.0, 0.0, 0.0, 0.65))
	none(t, "all dripped away", call(t, "animals_for", 10.0, 1200.0, 0.6, 1.0, 0.65))
	none(t, "more carcass than animal", call(t, "saleable_meat", 1200.0, 1.2, 0.0, 0.65))
}

// By pencil: of 100 chicks 4 % and then 3 % are lost; 93.12 are left.
func TestLosses(t *testing.T) {
	near(t, "left of a hundred", call(t, "after_losses", 100.0, 0.04, 0.03)[0], 93.12, 1e-9)
	near(t, "for 93.12", call(t, "before_losses", 93.12, 0.04, 0.03)[0], 100, 0)
	near(t, "for 94", call(t, "before_losses", 94.0, 0.04, 0.03)[0], 101, 0)
	near(t, "nothing lost", call(t, "before_losses", 7.0, 0.0)[0], 7, 0)
	near(t, "all lost", call(t, "after_losses", 7.0, 1.0)[0], 0, 0)
	none(t, "all lost, and yet some are wanted", call(t, "before_losses", 7.0, 0.5, 1.0))
}
