package chart

import (
	"fmt"
	"strings"
)

// A shade is one colour of the palette with the ink that reads on it, on
// light paper and on a dark screen.
type shade struct {
	light, lightInk string
	dark, darkInk   string
}

// seriesPalette is the palette of the series. Each colour has at least 3:1
// contrast with the paper it lies on; neighbours differ in lightness by 2:1 or
// more, so that they stay apart in grey print; and any two stay apart for
// readers with any of the three kinds of colour blindness.
var seriesPalette = [8]shade{
	{"#006666", "#ffffff", "#468889", "#0d1110"}, // deep teal
	{"#a09132", "#161a19", "#ecc372", "#0d1110"}, // dry hay
	{"#6e0a2e", "#ffffff", "#c46f61", "#0d1110"}, // damson
	{"#7b976d", "#161a19", "#bbecb0", "#0d1110"}, // sage
	{"#5b4392", "#ffffff", "#7d74cb", "#0d1110"}, // violet
	{"#c76fa8", "#161a19", "#e0cdd5", "#0d1110"}, // clover
	{"#6f460e", "#ffffff", "#818326", "#0d1110"}, // umber
	{"#2998e9", "#161a19", "#71c3f4", "#0d1110"}, // sky
}

// heatPalette shades the cells of a heat map from little to much.
var heatPalette = [7]shade{
	{"#e9f0ee", "#161a19", "#22302e", "#ffffff"},
	{"#c6dcd7", "#161a19", "#29423f", "#ffffff"},
	{"#9dc4bd", "#161a19", "#315753", "#ffffff"},
	{"#71a9a1", "#161a19", "#3c6f6a", "#ffffff"},
	{"#458b85", "#0d1110", "#549089", "#0d1110"},
	{"#1f6b67", "#ffffff", "#7db4ab", "#0d1110"},
	{"#064a49", "#ffffff", "#b3dcd3", "#0d1110"},
}

// coldPalette shades the cells below zero, from little to much.
var coldPalette = [4]shade{
	{"#f4e7e4", "#161a19", "#3a2a29", "#e6e9e7"},
	{"#e2b9b3", "#161a19", "#5c3c3a", "#e6e9e7"},
	{"#b9706c", "#0d1110", "#a56e68", "#0d1110"},
	{"#7c2f38", "#ffffff", "#cf9a92", "#0d1110"},
}

// Colours that are not a series.
var (
	chartText  = shade{light: "#1d2322", dark: "#e6e9e7"} // words and numbers
	chartMuted = shade{light: "#55605d", dark: "#a7b0ad"} // units, axis numbers
	chartGrid  = shade{light: "#dfe4e2", dark: "#2e3533"}
	chartAxis  = shade{light: "#808a87", dark: "#737d7a"}
	chartPaper = shade{light: "#ffffff", dark: "#151918"}
)

// A role is what a colour is for. While a chart is drawn, each role has a
// stand-in colour of its own; afterwards the stand-in becomes the colour for
// a class, which the style sheet colours.
type role struct {
	fill, stroke string // class when it fills, when it strokes
	property     string // custom property of the style sheet
	light, dark  string
}

var (
	roles      []role
	roleByName = map[string]int{}
)

func init() {
	add := func(fill, stroke, property, light, dark string) {
		roleByName[fill] = len(roles)
		roles = append(roles, role{fill, stroke, property, light, dark})
	}
	series := func(fill, stroke, ink, name string, list []shade) {
		for i, s := range list {
			n := i + 1
			line := ""
			if stroke != "" {
				line = fmt.Sprint(stroke, n)
			}
			add(fmt.Sprint(fill, n), line, fmt.Sprintf("--chart-%s%d", name, n), s.light, s.dark)
			add(fmt.Sprint(ink, n), "", fmt.Sprintf("--chart-%sink-%d", name, n), s.lightInk, s.darkInk)
		}
	}
	series("c", "s", "i", "", seriesPalette[:])
	series("h", "", "hi", "heat-", heatPalette[:])
	series("n", "", "ni", "cold-", coldPalette[:])
	add("ct", "st", "--chart-text", chartText.light, chartText.dark)
	add("cm", "sm", "--chart-muted", chartMuted.light, chartMuted.dark)
	add("cg", "sg", "--chart-grid", chartGrid.light, chartGrid.dark)
	add("ca", "sa", "--chart-axis", chartAxis.light, chartAxis.dark)
	add("cp", "sp", "--chart-paper", chartPaper.light, chartPaper.dark)
}

// StandIn returns the colour that stands for a role while a chart is drawn.
func StandIn(name string) string {
	i, ok := roleByName[name]
	if !ok {
		panic("chart: no chart colour has the role " + name)
	}
	return fmt.Sprintf("#7e57%02x", i+1)
}

// roleOf finds the role that a colour of a drawing stands for.
func roleOf(colour string) (role, bool) {
	var n int
	if len(colour) != 7 || !strings.EqualFold(colour[:5], "#7e57") {
		return role{}, false
	}
	if _, err := fmt.Sscanf(strings.ToLower(colour[5:]), "%02x", &n); err != nil || n < 1 || n > len(roles) {
		return role{}, false
	}
	return roles[n-1], true
}

// CSS returns the rules for charts inside a page: colours for light paper and
// for dark screens as custom properties, a class for each role, and which of a
// chart's two drawings is shown. A page may set --chart-paper to its own
// background. Print always uses light paper.
func CSS() string {
	var b strings.Builder
	list := func(dark bool) {
		for _, r := range roles {
			colour := r.light
			if dark {
				colour = r.dark
			}
			fmt.Fprintf(&b, "%s:%s;", r.property, colour)
		}
	}
	b.WriteString(":root{")
	list(false)
	b.WriteString("}\n@media screen{@media (prefers-color-scheme:dark){:root:not([data-shade=\"light\"]){")
	list(true)
	b.WriteString("}}\n:root[data-shade=\"dark\"]{")
	list(true)
	b.WriteString("}}\n")
	writeRules(&b, func(r role) string { return "var(" + r.property + ")" })
	fmt.Fprintf(&b, `.drawn{container-type:inline-size}
.ch.narrow{display:none;max-width:23rem}
@container (max-width:%dpx){.ch.wide{display:none}.ch.narrow{display:block}}
@media print{.ch .x{display:inline}@container (max-width:%dpx){.ch.narrow{max-width:80mm}}}
`, wideFrom-1, wideFrom-1)
	return b.String()
}

// wideFrom is the room, in CSS pixels, from which the wide drawing is shown: its
// letters are then 12 pixels high or more.
const wideFrom = 622

// BookCSS returns the rules for charts in an e-book: plain colours, since its
// readers may know no custom properties, and the narrow drawing unless the
// page is known to be wide.
func BookCSS() string {
	var b strings.Builder
	writeRules(&b, func(r role) string { return r.light })
	fmt.Fprintf(&b, `.ch.wide{display:none}.ch.narrow{max-width:24em}
@media (min-width:%dpx){.ch.wide{display:block}.ch.narrow{display:none}}
`, wideFrom)
	return b.String()
}

// writeRules writes the classes of a drawing: colours by their roles; m, e
// where a text is set from; o a rim of paper; w a line of a series, d1 and d3
// dashed and dotted; k a mark's line; f a pale area; x hatching, on paper alone.
func writeRules(b *strings.Builder, colour func(role) string) {
	for _, r := range roles {
		fmt.Fprintf(b, ".ch .%s{fill:%s}", r.fill, colour(r))
		if r.stroke != "" {
			fmt.Fprintf(b, ".ch .%s{stroke:%s}", r.stroke, colour(r))
		}
	}
	fmt.Fprintf(b, `
.ch{display:block;width:100%%;height:auto;fill:none}
.ch text{font-size:%dpx;font-variant-numeric:tabular-nums lining-nums}
.ch .m{text-anchor:middle}.ch .e{text-anchor:end}
.ch .o{paint-order:stroke;stroke:%s;stroke-width:3px;stroke-linejoin:round}
.ch .w{stroke-width:2;stroke-linejoin:round}.ch .d1{stroke-dasharray:7 3}.ch .d3{stroke-dasharray:2 3}
.ch .k{stroke-width:1.25;stroke-dasharray:6 3}.ch .f{fill-opacity:.28}.ch .x{display:none}
`, TextSize, colour(roles[roleByName["cp"]]))
}
