package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/portable"
	"rickyard/calc/quantity"
)

// pipes have the flow, head and power of water in pipes. Head is the height of
// water that a pressure would hold up. Hazen and Williams made their law for water
// of about 15 degrees in mains that run full and turbulent; Darcy and Weisbach's
// holds for any pipe. The two differ by some 7 % in a small plastic pipe.
var pipes = []*formula.Function{
	{
		Name: "pipe_loss", About: "the head that a pipe loses to friction, by Hazen and Williams",
		Source: hazenWilliams,
		Params: []formula.Param{pipeFlow, gap("diameter", "the inner diameter"), length("length", "the length of the pipe"), smoothness},
		Result: metres,
		Eval: func(x, out []float64) {
			out[0] = 10.67 * x[2] * portable.Pow(x[0]/x[3], 1.852) / portable.Pow(x[1], 4.87)
		},
	},
	{
		Name: "pipe_flow", About: "the flow that a fall drives through a pipe, by Hazen and Williams",
		Source: hazenWilliams,
		Params: []formula.Param{length("fall", "the head there is"), gap("diameter", "the inner diameter"), gap("length", "the length of the pipe"), smoothness},
		Result: formula.Param{Dimension: volumeFlow, Unit: "L/s"},
		Eval: func(x, out []float64) {
			out[0] = x[3] * portable.Pow(x[0]*portable.Pow(x[1], 4.87)/(10.67*x[2]), 1/1.852)
		},
	},
	{
		Name: "pipe_speed", About: "how fast water runs in a pipe",
		Source: "flow divided by cross section",
		Params: []formula.Param{pipeFlow, gap("diameter", "the inner diameter")},
		Result: formula.Param{Dimension: speed, Unit: "m/s"},
		Eval:   func(x, out []float64) { out[0] = inPipe(x[0], x[1]) },
	},
	{
		Name: "pipe_friction", About: "the friction factor of a pipe, by Colebrook and White, or by Poiseuille where the flow is smooth",
		Source: "Colebrook 1939; 64 / Re below 2300",
		Params: []formula.Param{
			published(number("reynolds", "the Reynolds number", formula.Above(0)), formula.Between(0, 1e8)),
			published(number("roughness", "the roughness as a part of the diameter", formula.Between(0, 1)), formula.Between(0, 0.05)),
		},
		Result: formula.Param{Dimension: quantity.Number},
		Eval:   func(x, out []float64) { out[0] = friction(x[0], x[1]) },
	},
	{
		Name: "pipe_loss_darcy", About: "the head that a pipe loses to friction, by Darcy and Weisbach",
		Source: "Darcy and Weisbach with Colebrook's factor, hydraulics textbooks",
		Params: []formula.Param{
			pipeFlow, gap("diameter", "the inner diameter"), length("length", "the length of the pipe"), length("roughness", "the height of its roughness"),
			aboveNone("viscosity", "the kinematic viscosity, 1.0 mm2/s for water at 20 °C", quantity.Area.Div(quantity.Time), "mm2/s"),
		},
		Result: metres,
		Eval: func(x, out []float64) {
			v := inPipe(x[0], x[1])
			if v == 0 {
				out[0] = 0
				return
			}
			out[0] = friction(v*x[1]/x[4], x[3]/x[1]) * x[2] / x[1] * v * v / (2 * gravity)
		},
	},
	{
		Name: "outlets_factor", About: "the part of the loss that is left where a pipe feeds outlets evenly along its length",
		Source: "Christiansen 1942, with the exponent 1.852",
		Params: []formula.Param{number("outlets", "the number of outlets", formula.AtLeast(1))},
		Result: formula.Param{Dimension: quantity.Number},
		Eval: func(x, out []float64) {
			const m = 1.852
			out[0] = math.Min(1, 1/(m+1)+1/(2*x[0])+math.Sqrt(m-1)/(6*x[0]*x[0]))
		},
	},
	{
		Name: "pump_power", About: "the power that lifts a flow through a head",
		Source: "weight of the water times head, divided by efficiency; engineering notes on pumps",
		Params: []formula.Param{pipeFlow, length("head", "the head in all"), someShare("efficiency", "the share of the power that reaches the water")},
		Result: formula.Param{Dimension: quantity.Power, Unit: "kW"},
		Eval:   func(x, out []float64) { out[0] = waterWeight * x[0] * x[1] / x[2] },
	},
	{
		Name: "head_of", About: "the height of water that a pressure holds up",
		Source: "conventional metre of water, 9806.65 Pa",
		Params: []formula.Param{atLeastNone("pressure", "the pressure", pressure, "bar")},
		Result: metres,
		Eval:   func(x, out []float64) { out[0] = x[0] / metreOfWater },
	},
	{
		Name: "pressure_of", About: "the pressure at the foot of a height of water",
		Source: "conventional metre of water, 9806.65 Pa",
		Params: []formula.Param{length("head", "the height of water")},
		Result: formula.Param{Dimension: pressure, Unit: "bar"},
		Eval:   func(x, out []float64) { out[0] = x[0] * metreOfWater },
	},
}

const (
	hazenWilliams = "Hazen and Williams, with 10.67 and 4.87 as in irrigation glossaries"
	gravity       = 9.81           // m/s2, as hydraulics handbooks take it
	waterWeight   = 1000 * gravity // N/m3
	metreOfWater  = 9806.65        // Pa, NIST SP 811, B.8
)

var (
	pipeFlow   = atLeastNone("flow", "the flow", volumeFlow, "L/s")
	smoothness = published(number("smoothness", "the coefficient C of the pipe, 150 for plastic", formula.Above(0)), formula.Between(60, 150))
	metres     = formula.Param{Dimension: quantity.Length, Unit: "m"}
)

func inPipe(flow, diameter float64) float64 { return flow / (math.Pi / 4 * diameter * diameter) }

// smooth is the Reynolds number below which flow is smooth. From there to 4000 it may
// be either; Colebrook's factor is then the larger, and taken.
const smooth = 2300

// friction solves Colebrook and White's equation by Newton's rule.
func friction(reynolds, roughness float64) float64 {
	if reynolds < smooth {
		return 64 / reynolds
	}
	x := 6.0 // 1 / sqrt(f)
	for range 50 {
		inner := roughness/3.7 + float64(2.51*x/reynolds)
		miss := x + float64(2*portable.Log(inner)/math.Ln10)
		step := miss / (1 + 2*2.51/(reynolds*inner*math.Ln10))
		x -= step
		if math.Abs(step) < 1e-13*x {
			break
		}
	}
	return 1 / (x * x)
}
