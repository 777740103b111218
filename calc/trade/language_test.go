package trade_test

import (
	"strings"
	"testing"

	"golang.org/x/text/language"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
	"rickyard/calc/trade"
)

// reckon works one formula out as a page shows it, with the warnings beside.
func reckon(t *testing.T, text string) (shown, warned string) {
	t.Helper()
	units, err := quantity.NewSystem("GBP", nil)
	if err != nil {
		t.Fatal(err)
	}
	g, err := figures.Build(units, 1, []figures.Definition{{Name: "x", Label: "X", Formula: source.New("page.md", text).Whole()}}, trade.Functions...)
	if err != nil {
		return err.Error(), ""
	}
	for _, w := range g.Base().Warnings() {
		warned += w.Message + "\n"
	}
	f := g.Lookup("x")
	if reason, none := g.Base().None(f); none {
		return "none: " + reason.String(), warned
	}
	style := quantity.NewStyle(units, language.BritishEnglish)
	values := []float64{f.Current()}
	if f.Type.Len > 0 {
		values = g.Base().Months(f)
	}
	var all []string
	for _, v := range values {
		all = append(all, strings.ReplaceAll(style.Text(v, f.Unit, f.Step), "\u00a0", " "))
	}
	return strings.Join(all, ", "), warned
}

// Places in both hemispheres, months, customary units; outside what is published an
// answer with a warning, outside sense none with the reason. The numbers are those of
// FAO-56, TR-55 and the pipe formulas that the tests beside hold to.
func TestInTheLanguage(t *testing.T) {
	for _, c := range []struct{ text, want, warned string }{
		{"day_length(50 deg, 21 Jun) as 0.01 h", "16.15 h", ""},
		// As FAO-56's table 2.7 has it (from memory), and the year turned round.
		{"day_length(-36 deg, mid_days()) as 0.1 h", "14.2 h, 13.3 h, 12.3 h, 11.1 h, 10.1 h, 9.6 h, 9.8 h, 10.6 h, 11.8 h, 12.9 h, 14.0 h, 14.4 h", ""},
		{"day_length(36 deg, mid_days()) as 0.1 h", "9.8 h, 10.7 h, 11.7 h, 12.9 h, 13.9 h, 14.4 h, 14.2 h, 13.4 h, 12.2 h, 11.1 h, 10.0 h, 9.6 h", ""},
		{"day_length(100 deg, 21 Jun)", "none: the latitude (below nought in the south) must be from -90 to 90 deg", "has no answer"},
		{"sky_radiation(60 deg, 21 Jun) as 0.1 MJ/m2/day", "41.3 MJ/m²/day", "lies outside what is published for it, from -55 to 55 deg (FAO Irrigation and Drainage Paper 56, equation 21)"},
		{"sky_radiation(-36 deg, 21 Dec) as 1 MJ/m2/day", "44 MJ/m²/day", ""},
		{"hargreaves(14.8 degC, 26.6 degC, 40.6 MJ/m2/day) as 0.1 mm/day", "5.0 mm/day", ""},
		{"hargreaves(monthly(1 degC, 1 degC, 2 degC, 4 degC, 7 degC, 10 degC, 12 degC, 12 degC, 9 degC, 7 degC, 4 degC, 2 degC), 22 degC, 30 MJ/m2/day) * month_days() as 1 mm", "117 mm, 106 mm, 116 mm, 110 mm, 109 mm, 99 mm, 96 mm, 96 mm, 101 mm, 109 mm, 110 mm, 116 mm", ""},
		{"years_below(20 %, 700 mm, 650 mm, 810 mm, 590 mm)", "590 mm", ""},
		{"years_below(10 %, 700 mm, 650 mm, 810 mm, 590 mm)", "none: there are too few years to say", "has no answer"},
		{"rain_caught(1000 m2, 1 in, 85 %) as 1 usgal", "5,703 US gal", ""},
		{"runoff_depth(6 in, 75) as 0.01 in", "3.28 in", ""},
		{"runoff_depth(6 in, 30) as 0.01 in", "0.07 in", "the curve number of the ground lies outside what is published for it"},
		{"runoff_depth(6 in, 101)", "none: the curve number of the ground must be above 0 and at most 100", "has no answer"},
		{"pipe_loss(1 L/s, 40 mm, 100 m, 150) as 0.01 m", "1.78 m", ""},
		{"pump_power(5 L/s, 30 m, 57.2 %) * 360 h as 0.1 kWh", "926.1 kWh", ""},
		{"pond_volume(30 m, 20 m, 6 m, 2)", "none: the sides meet before the depth is reached", "has no answer"},
		{"sum(tank_supply(10 m3, monthly(6.8 m3, 5.95 m3, 5.1 m3, 3.4 m3, 1.7 m3, 0.85 m3, 0 m3, 0.425 m3, 2.55 m3, 5.1 m3, 7.65 m3, 8.5 m3), 4 m3, 0 m3)) as 1 L", "30,925 L", ""},
		{"part_of(10 kg, 77 %, 45 %) / part_of(10 kg, 77 %, 2.4 %) as 0.01", "18.75", ""},
		{"add_for_moisture(10 t, 77 %, 35 %, 80 %)", "none: the moisture wanted does not lie between those of the two materials", "has no answer"},
		{"before_losses(300, 15 %, 10 %, 5 %)", "413", ""},
		{"soil_carbon(30 cm, 1.45 t/m3, 1.12 %, 58 %, 0 %) as 0.1 t/ha", "28.3 t/ha", ""},
		{"lime_need(5.5, 6.5, 3 t/ha, 50 %) as 0.1 t/acre", "2.4 t/acre", ""},
		{"crop_coefficient_here(1.2, 8 m/s, 44 %, 2 m) as 0.01", "1.42", "the wind at 2 m lies outside what is published for it, from 1 to 6 m/s"},
		{"drinking(40 L, 70 L, 25 degC, 32 degC, monthly(5 degC, 5 degC, 10 degC, 15 degC, 20 degC, 25 degC, 28.5 degC, 32 degC, 25 degC, 15 degC, 10 degC, 5 degC)) as 1 L", "40 L, 40 L, 40 L, 40 L, 40 L, 40 L, 55 L, 70 L, 40 L, 40 L, 40 L, 40 L", ""},
	} {
		shown, warned := reckon(t, c.text)
		if shown != c.want {
			t.Errorf("%s\n got %s\nwant %s", c.text, shown, c.want)
		}
		if c.warned == "" && warned != "" || !strings.Contains(warned, c.warned) {
			t.Errorf("%s warns %q, want %q", c.text, warned, c.warned)
		}
	}
}

// Where a source vouches for a formula, argument by argument.
func TestPublishedRanges(t *testing.T) {
	between := formula.Between
	want := map[string]formula.Range{
		// FAO-56, chapter 3: above 55 degrees the equations are limited in some seasons;
		// table of the adjustment; equation 62: 1 to 6 m/s, 20 to 80 %, 0.1 to 10 m.
		"sky_radiation latitude": between(-55, 55), "solar_of_range adjustment": between(0.16, 0.19),
		"crop_coefficient_here wind": between(1, 6), "crop_coefficient_here driest": between(20, 80), "crop_coefficient_here height": between(0.1, 10),
		// No coefficient of FAO-56's table 12 is above 1.25; with wind and dry air 1.4.
		"crop_coefficient_here table": between(0, 1.4), "crop_coefficient first": between(0, 1.4), "crop_coefficient full": between(0, 1.4), "crop_coefficient last": between(0, 1.4), "irrigation_need crop": between(0, 1.4),
		// Anemometers lower than half a metre are in the grass's own air: common practice.
		"wind_at_two height": formula.AtLeast(0.5),
		// American highway manuals: 200 acres, 80 ha. TR-55, table 2-1: 40 to 98.
		"runoff_peak catchment": between(0, 80), "runoff_depth curve": between(40, 98),
		// Design of Small Dams: square-nosed 1.44 of 1.705, vegetated 1.55 to 1.66.
		"spillway_flow share": between(80, 100), "spillway_width share": between(80, 100),
		// The Moody diagram's edges; tables of C from old iron to plastic.
		"pipe_friction reynolds": between(0, 1e8), "pipe_friction roughness": between(0, 0.05),
		"pipe_loss smoothness": between(60, 150), "pipe_flow smoothness": between(60, 150),
		// Green wood holds 60 % water at most; van Bemmelen's 58 % and the 50 % of later
		// work; peat to compacted subsoil; soils from acid peat to alkali; Cornell's 20 to 40.
		"wood_heat moisture": between(0, 60), "soil_carbon carbon": between(50, 58), "soil_mass density": between(0.2, 1.9), "soil_carbon density": between(0.2, 1.9),
		"lime_need measured": between(3.5, 9), "lime_need target": between(3.5, 9), "lime_share measured": between(3.5, 9), "lime_share target": between(3.5, 9), "lime_share all": between(3.5, 9),
		"add_for_ratio wanted": between(20, 40),
	}
	topics := map[string]bool{}
	for name := range want {
		topics[strings.Fields(name)[0]] = true
	}
	seen := 0
	for _, f := range trade.Functions {
		for _, p := range f.Params {
			r, listed := want[f.Name+" "+p.Name]
			if listed {
				seen++
			}
			if topics[f.Name] && p.Published != r {
				t.Errorf("%s: %s is published %s, want %s", f.Name, p.Name, p.Published.Words(p.Unit), r.Words(p.Unit))
			}
		}
	}
	if seen != len(want) {
		t.Errorf("%d of %d ranges found", seen, len(want))
	}
}
