package trade

import (
	"math"
	"testing"
)

func TestHazenWilliams(t *testing.T) {
	for _, c := range []struct{ flow, diameter, length, smoothness, loss, speed float64 }{
		// The formula of an irrigation glossary, worked by hand.
		{1, 40, 100, 150, 1.778, 0.796}, {0.5, 25, 100, 150, 4.859, 1.019}, {1.2, 40.8, 250, 150, 5.659, 0.918}, {50, 250, 1000, 130, 4.322, 1.019},
	} {
		loss := call(t, "pipe_loss", c.flow*litre, c.diameter*mm, c.length, c.smoothness)[0]
		near(t, "loss", loss, c.loss, math.Max(0.003, 0.001*c.loss))
		near(t, "speed", call(t, "pipe_speed", c.flow*litre, c.diameter*mm)[0], c.speed, 0.001)
		near(t, "flow back", call(t, "pipe_flow", loss, c.diameter*mm, c.length, c.smoothness)[0], c.flow*litre, 1e-12)
	}
	// The American form on a fire-service page: 20 gpm in 2 in, C 150, 100 ft lose
	// 0.3718 psi, 0.859 ft, at 2.04 ft/s.
	const gpm, inch, foot = 3.785411784e-3 / 60, 0.0254, 0.3048
	near(t, "feet", call(t, "pipe_loss", 20*gpm, 2*inch, 100*foot, 150.0)[0]/foot, 0.859, 0.005)
	near(t, "ft/s", call(t, "pipe_speed", 20*gpm, 2*inch)[0]/foot, 2.04, 0.005)
	near(t, "still water", call(t, "pipe_loss", 0.0, 0.04, 100.0, 150.0)[0], 0, 0)
	near(t, "no fall", call(t, "pipe_flow", 0.0, 0.04, 100.0, 150.0)[0], 0, 0)
	none(t, "no pipe", call(t, "pipe_loss", 0.001, 0.0, 100.0, 150.0))
	none(t, "no length to drive", call(t, "pipe_flow", 1.0, 0.04, 0.0, 150.0))
	none(t, "no smoothness", call(t, "pipe_loss", 0.001, 0.04, 100.0, 0.0))
}

func TestDarcyWeisbach(t *testing.T) {
	// A Python package's manual: Re 60 000, e/D 0.0023; the rest are roots of
	// Colebrook's equation.
	for _, c := range [][3]float64{{60000, 0.0023, 0.026755}, {1e5, 1e-4, 0.0185139}, {1e5, 0, 0.0179898}, {1e6, 1e-3, 0.0199435}, {4000, 0, 0.0399070}, {1e8, 0.05, 0.0715509}} {
		near(t, "friction", call(t, "pipe_friction", c[0], c[1])[0], c[2], 1e-6)
	}
	near(t, "smooth flow", call(t, "pipe_friction", 1563.0, 0.004)[0], 0.04094, 0.00001)
	near(t, "just below the bend", call(t, "pipe_friction", 2299.9, 0.0)[0], 64/2299.9, 1e-12)
	// At the bend Colebrook's factor is the larger.
	if f := call(t, "pipe_friction", 2300.0, 0.0)[0]; f < 64.0/2300 {
		t.Errorf("at 2300 the factor is %v", f)
	}
	// Colebrook's own equation holds of what comes out.
	for _, re := range []float64{2300, 1e4, 1e7} {
		for _, e := range []float64{0, 1e-3, 0.05, 0.5} {
			f := call(t, "pipe_friction", re, e)[0]
			near(t, "Colebrook", 1/math.Sqrt(f), -2*math.Log10(e/3.7+2.51/(re*math.Sqrt(f))), 1e-9)
		}
	}
	// R package examples: 25 mm and 0.031 L/s, 50 mm and 0.6 L/s, roughness 0.1 mm,
	// viscosity 1.01e-6; and plastic of 40 mm by the formulas, 7 % above Hazen-Williams.
	near(t, "smooth", call(t, "pipe_loss_darcy", 0.031*litre, 0.025, 100.0, 1e-4, 1.01e-6)[0], 0.0333, 0.0001)
	near(t, "rough", call(t, "pipe_loss_darcy", 0.6*litre, 0.05, 200.0, 1e-4, 1.01e-6)[0], 0.594, 0.001)
	plastic := call(t, "pipe_loss_darcy", litre, 0.04, 100.0, 7e-6, 1.004e-6)[0]
	near(t, "plastic", plastic, 1.909, 0.002)
	near(t, "beside Hazen-Williams", plastic/call(t, "pipe_loss", litre, 0.04, 100.0, 150.0)[0], 1.07, 0.01)
	near(t, "still water", call(t, "pipe_loss_darcy", 0.0, 0.04, 100.0, 7e-6, 1.004e-6)[0], 0, 0)
	none(t, "no viscosity", call(t, "pipe_loss_darcy", litre, 0.04, 100.0, 7e-6, 0.0))
	none(t, "rougher than wide", call(t, "pipe_friction", 1e5, 1.1))
	none(t, "no Reynolds number", call(t, "pipe_friction", 0.0, 0.01))
}

func TestOutletsFactor(t *testing.T) {
	// Christiansen 1942, from memory; exact sums for 10 and 20 are 0.40217 and 0.37602.
	for n, want := range map[float64]float64{1: 1, 10: 0.402, 20: 0.376, 100: 0.356} {
		near(t, "outlets", call(t, "outlets_factor", n)[0], want, 0.0005)
	}
	none(t, "no outlet", call(t, "outlets_factor", 0.0))
}

func TestPump(t *testing.T) {
	const hp, gpm, foot = 745.69987158227022, 3.785411784e-3 / 60, 0.3048
	// An engineering note: 130 m3/h, 85 m, 60 %: 30.11 kW in the water, 50.19 at the shaft.
	near(t, "in the water", call(t, "pump_power", 130/3600.0, 85.0, 1.0)[0], 30110, 10)
	near(t, "at the shaft", call(t, "pump_power", 130/3600.0, 85.0, 0.6)[0], 50190, 10)
	near(t, "in hp", call(t, "pump_power", 130/3600.0, 85.0, 0.6)[0]/hp, 67.3, 0.05)
	// Water-planning guide and engineering tables.
	for _, c := range [][4]float64{{200, 100, 5.06, 0.01}, {20, 20, 0.101, 0.0005}, {10, 50, 0.126, 0.0005}} {
		near(t, "hp", call(t, "pump_power", c[0]*gpm, c[1]*foot, 1.0)[0]/hp, c[2], c[3])
	}
	// 5 L/s, 30 m, pump 65 %, motor 88 %, 360 h a season: by the weight of the water.
	near(t, "water", call(t, "pump_power", 0.005, 30.0, 1.0)[0], 1471.5, 0.5)
	near(t, "pump", call(t, "pump_power", 0.005, 30.0, 0.65)[0], 2263.8, 0.5)
	motor := call(t, "pump_power", 0.005, 30.0, 0.65*0.88)[0]
	near(t, "motor", motor, 2572.6, 0.5)
	near(t, "kWh", motor*360/1000, 926.1, 0.1)
	// 1 m3 by 1 m; 36 m3 by 20 m at 50 %.
	near(t, "a cubic metre by one", call(t, "pump_power", 1.0, 1.0, 1.0)[0]/3.6e6, 0.002725, 1e-6)
	near(t, "36 by 20", call(t, "pump_power", 36.0, 20.0, 0.5)[0]/3.6e6, 3.924, 0.001)
	none(t, "no efficiency", call(t, "pump_power", 1.0, 1.0, 0.0))
}

func TestHead(t *testing.T) {
	const psi, foot = 6894.757293168361, 0.3048
	// An irrigation page has 2.31 ft for a psi; definitions give the rest.
	near(t, "a psi in feet", call(t, "head_of", psi)[0]/foot, 2.31, 0.005)
	near(t, "a psi in metres", call(t, "head_of", psi)[0], 0.70307, 1e-5)
	near(t, "a metre in bar", call(t, "pressure_of", 1.0)[0], 9806.65, 0)
}
