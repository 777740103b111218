package trade

import "testing"

func TestWoodHeat(t *testing.T) {
	const kwh = 3.6e6
	// A boiler maker's table: beech of 15 % water 4.13 kWh/kg, spruce 4.49. From 18.0
	// and 19.45 MJ/kg dry the standard's rule gives these.
	near(t, "beech", call(t, "wood_heat", 18.0e6, 0.15)[0]/kwh, 4.13, 0.03)
	near(t, "spruce", call(t, "wood_heat", 19.45e6, 0.15)[0]/kwh, 4.49, 0.01)
	// And 435 kg of beech in a stacked cubic metre: about 1800 kWh; spruce 293 kg, 1310.
	near(t, "a stacked metre of beech", call(t, "wood_heat", 18.0e6, 0.15)[0]/kwh*435, 1800, 15)
	near(t, "a stacked metre of spruce", call(t, "wood_heat", 19.45e6, 0.15)[0]/kwh*293, 1310, 10)
	near(t, "dry", call(t, "wood_heat", 18.0e6, 0.0)[0], 18.0e6, 0)
	near(t, "all water", call(t, "wood_heat", 18.0e6, 1.0)[0], -2.443e6, 0)
	none(t, "more than all water", call(t, "wood_heat", 18.0e6, 1.1))
}

func TestMoisture(t *testing.T) {
	// Wet 20 % is dry 25 %, by definition.
	near(t, "of the dry", call(t, "moisture_of_dry", 0.2)[0], 0.25, 1e-12)
	none(t, "nothing but water", call(t, "moisture_of_dry", 1.0))
	// A tonne of 50 % water dried to 20 %: its 500 kg are then four fifths.
	near(t, "dried", call(t, "dried_to", 1000.0, 0.5, 0.2)[0], 625, 1e-9)
	near(t, "as it was", call(t, "dried_to", 1000.0, 0.2, 0.2)[0], 1000, 1e-9)
	none(t, "wetter", call(t, "dried_to", 1000.0, 0.2, 0.21))
	none(t, "to nothing but water", call(t, "dried_to", 1000.0, 1.0, 1.0))
}
