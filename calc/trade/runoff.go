package trade

import (
	"math"

	"rickyard/calc/formula"
	"rickyard/calc/quantity"
)

// runoffs are the two usual estimates of what a storm sends down, and what a
// spillway lets through. Both are for a first thought; a dam and its spillway are an
// engineer's work.
var runoffs = []*formula.Function{
	{
		Name: "runoff_peak", About: "the greatest flow off a small catchment in a storm",
		Source: "rational method; Maryland highway hydrology notes and American highway manuals, for catchments up to 80 ha",
		Params: []formula.Param{
			share("runoff", "the share of the rain that runs off"), atLeastNone("intensity", "the rain in a time, for a storm as long as water takes to run through", speed, "mm/h"),
			published(area("catchment", "the area that drains"), formula.Between(0, 80)),
		},
		Result: formula.Param{Dimension: volumeFlow, Unit: "L/s"},
		Eval:   func(x, out []float64) { out[0] = x[0] * x[1] * x[2] },
	},
	{
		Name: "runoff_depth", About: "the depth of a storm's rain that runs off, by the curve number of the ground",
		Source: "USDA Technical Release 55 (1986), equations 2-1 to 2-4",
		Params: []formula.Param{
			atLeastNone("rain", "the rain of the storm", quantity.Length, "mm"),
			published(number("curve", "the curve number of the ground", formula.Above(0).AtMost(100)), formula.Between(40, 98)),
		},
		Result: formula.Param{Dimension: quantity.Length, Unit: "mm"},
		Eval:   func(x, out []float64) { out[0] = curveRunoff(x[0], x[1]) },
	},
	{
		Name: "spillway_flow", About: "what a broad level spillway lets through",
		Source: broadCrest,
		Params: []formula.Param{length("width", "the width of the spillway"), length("head", "the depth of water above it, measured upstream"), crestShare},
		Result: formula.Param{Dimension: volumeFlow, Unit: "L/s"},
		Eval:   func(x, out []float64) { out[0] = x[0] * overCrest(x[1], x[2]) },
	},
	{
		Name: "spillway_width", About: "the width of a broad level spillway for a flow",
		Source: broadCrest,
		Params: []formula.Param{
			atLeastNone("flow", "the flow to let through", volumeFlow, "L/s"), gap("head", "the depth of water above it, measured upstream"), crestShare,
		},
		Result: formula.Param{Dimension: quantity.Length, Unit: "m"},
		Eval:   func(x, out []float64) { out[0] = x[0] / overCrest(x[1], x[2]) },
	},
}

const broadCrest = "flow over a broad crest at critical depth; US Bureau of Reclamation, Design of Small Dams, chapter 9"

var crestShare = published(someShare("share", "the share of the ideal flow, less on a rough crest"), formula.Between(80, 100))

// curveRunoff works in metres: a curve number's greatest retention is 1000/CN - 10
// inches, a fifth of which is lost before any water runs.
func curveRunoff(rain, curve float64) float64 {
	const inch = 0.0254
	kept := float64((1000/curve - 10) * inch)
	lost := float64(0.2 * kept)
	if rain <= lost {
		return 0
	}
	return (rain - lost) * (rain - lost) / (rain + float64(0.8*kept))
}

// overCrest is the flow over a metre: share * sqrt(g) * (2/3 head)^1.5.
func overCrest(head, share float64) float64 {
	deep := head * 2 / 3
	return share * deep * math.Sqrt(gravity*deep)
}

// A Cover is what grows on a ground, with its curve numbers for the soil groups A to
// D, from deep sand to heavy clay.
type Cover struct {
	Name   string
	Curves [4]float64
}

// Covers are those of a farm.
//
// Source: USDA Technical Release 55 (1986), tables 2-2a to 2-2c, average moisture before
// the storm; held against two public transcriptions of the tables.
var Covers = []Cover{
	{"bare soil", [4]float64{77, 86, 91, 94}},
	{"row crops in straight rows, poor cover", [4]float64{72, 81, 88, 91}},
	{"row crops in straight rows, good cover", [4]float64{67, 78, 85, 89}},
	{"row crops on the contour, good cover", [4]float64{65, 75, 82, 86}},
	{"small grain in straight rows, good cover", [4]float64{63, 75, 83, 87}},
	{"ley or close-sown legumes, good cover", [4]float64{58, 72, 81, 85}},
	{"pasture grazed bare", [4]float64{68, 79, 86, 89}},
	{"pasture, fair cover", [4]float64{49, 69, 79, 84}},
	{"pasture, good cover", [4]float64{39, 61, 74, 80}},
	{"meadow", [4]float64{30, 58, 71, 78}},
	{"scrub, good cover", [4]float64{30, 48, 65, 73}},
	{"orchard over grass, good cover", [4]float64{32, 58, 72, 79}},
	{"wood, grazed or burnt", [4]float64{45, 66, 77, 83}},
	{"wood, good cover", [4]float64{30, 55, 70, 77}},
	{"farmstead", [4]float64{59, 74, 82, 86}},
	{"dirt road", [4]float64{72, 82, 87, 89}},
	{"gravel road", [4]float64{76, 85, 89, 91}},
	{"roof or paved yard", [4]float64{98, 98, 98, 98}},
}
