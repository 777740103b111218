package data

import (
	"strings"
	"testing"
)

type hostileFile struct {
	file  string
	as    string // the data file that it stands for
	want  string // the whole error, or "" if the file is harmless
	check func(*testing.T, *Farm)
}

var hostileFiles = []hostileFile{
	{file: "alias-bomb.yaml", as: farmYAML,
		want: "data/farm.yaml:4:6: &a gives a value a name to copy it from; this is not used here; write the value out wherever it is needed, or use a named figure in a formula\n" +
			"data/farm.yaml:5:6: &b gives a value a name to copy it from; this is not used here; write the value out wherever it is needed, or use a named figure in a formula\n" +
			"data/farm.yaml:5:10: *a stands for a value that is written elsewhere; this is not used here; write the value out, or use a named figure in a formula\n" +
			"data/farm.yaml:6:6: &c gives a value a name to copy it from; this is not used here; write the value out wherever it is needed, or use a named figure in a formula\n" +
			"data/farm.yaml:6:10: *b stands for a value that is written elsewhere; this is not used here; write the value out, or use a named figure in a formula\n" +
			"data/farm.yaml:7:6: &d gives a value a name to copy it from; this is not used here; write the value out wherever it is needed, or use a named figure in a formula\n" +
			"data/farm.yaml:7:10: *c stands for a value that is written elsewhere; this is not used here; write the value out, or use a named figure in a formula\n" +
			"data/farm.yaml:8:6: &e gives a value a name to copy it from; this is not used here; write the value out wherever it is needed, or use a named figure in a formula\n" +
			"data/farm.yaml:8:10: *d stands for a value that is written elsewhere; this is not used here; write the value out, or use a named figure in a formula\n" +
			"data/farm.yaml:9:6: &f gives a value a name to copy it from; this is not used here; write the value out wherever it is needed, or use a named figure in a formula\n" +
			"data/farm.yaml:9:10: *e stands for a value that is written elsewhere; this is not used here; write the value out, or use a named figure in a formula\n" +
			"data/farm.yaml:10:6: &g gives a value a name to copy it from; this is not used here; write the value out wherever it is needed, or use a named figure in a formula\n" +
			"data/farm.yaml:10:10: *f stands for a value that is written elsewhere; this is not used here; write the value out, or use a named figure in a formula\n" +
			"data/farm.yaml:11:6: &h gives a value a name to copy it from; this is not used here; write the value out wherever it is needed, or use a named figure in a formula\n" +
			"data/farm.yaml:11:10: *g stands for a value that is written elsewhere; this is not used here; write the value out, or use a named figure in a formula\n" +
			"data/farm.yaml:12:6: &i gives a value a name to copy it from; this is not used here; write the value out wherever it is needed, or use a named figure in a formula\n" +
			"data/farm.yaml:12:10: *h stands for a value that is written elsewhere; this is not used here; write the value out, or use a named figure in a formula"},
	{file: "alias-to-itself.yaml", as: farmYAML,
		want: "data/farm.yaml:3:7: &land gives a value a name to copy it from; this is not used here; write the value out wherever it is needed, or use a named figure in a formula\n" +
			"data/farm.yaml:4:10: *land stands for a value that is written elsewhere; this is not used here; write the value out, or use a named figure in a formula"},
	{file: "merge-key.yaml", as: farmYAML,
		want: "data/farm.yaml:4:10: &g gives a value a name to copy it from; this is not used here; write the value out wherever it is needed, or use a named figure in a formula\n" +
			"data/farm.yaml:6:5: << copies entries from elsewhere; this is not used here; write the entries out\n" +
			"data/farm.yaml:6:9: *g stands for a value that is written elsewhere; this is not used here; write the value out, or use a named figure in a formula"},
	{file: "custom-tag.yaml", as: farmYAML,
		want: "data/farm.yaml:1:7: a type that begins with ! is not used here; delete it and write the value alone\n" +
			"data/farm.yaml:2:11: a type that begins with ! is not used here; delete it and write the value alone"},
	{file: "bare-tag.yaml", as: farmYAML,
		want: "data/farm.yaml:1:7: a type that begins with ! is not used here; delete it and write the value alone"},
	{file: "not-a-number.yaml", as: farmYAML,
		want: "data/farm.yaml:4:6: a: \".nan\" is not a number with a unit; expected something like 0.52 GBP/kg\n" +
			"data/farm.yaml:5:6: b: \".inf\" is not a number with a unit; expected something like 0.52 GBP/kg\n" +
			"data/farm.yaml:6:6: c: \"-.inf\" is not a number with a unit; expected something like 0.52 GBP/kg\n" +
			"data/farm.yaml:7:6: d: \"NaN kg\" is not a number with a unit; expected something like 0.52 GBP/kg\n" +
			"data/farm.yaml:8:6: e: \"1e999\" is too large a number\n" +
			"data/farm.yaml:9:6: f: \"1e308 km\" is too large a number\n" +
			"data/farm.yaml:11:6: h: \"x1F\" is not a unit or a counted thing of this farm; a thing to count is declared under counts in farm.yaml\n" +
			"data/farm.yaml:12:25: the low value of i: \".nan\" is not a number with a unit; expected something like 0.52 GBP/kg\n" +
			"data/farm.yaml:12:37: the high value of i: \"1e999\" is too large a number"},
	{file: "duplicate-keys.yaml", as: farmYAML,
		want: "data/farm.yaml:2:1: \"name\" is given twice; the first is at data/farm.yaml:1:1; delete or rename one of them\n" +
			"data/farm.yaml:5:23: \"area\" is given twice; the first is at data/farm.yaml:5:11; delete or rename one of them\n" +
			"data/farm.yaml:6:3: \"grass\" is given twice; the first is at data/farm.yaml:5:3; delete or rename one of them"},
	{file: "path-out-of-the-book.yaml", as: farmYAML,
		want: "data/farm.yaml:4:3: \"../../grass\" can't be used here; expected a name in lower-case letters, digits and _ that begins with a letter, such as egg_box; write it as grass\n" +
			"data/farm.yaml:6:4: \"..\" can't be used here; expected a name in lower-case letters, digits and _ that begins with a letter, such as egg_box"},
	{file: "script-in-names.yaml", as: farmYAML, check: func(t *testing.T, f *Farm) {
		if f.Name != `<script>alert("farm")</script>` || !strings.Contains(f.Land[0].Label, "<svg") {
			t.Errorf("texts are kept as they are, for the pages to escape: %q", f.Name)
		}
	}},
	{file: "script-in-keys.yaml", as: farmYAML,
		want: "data/farm.yaml:4:3: \"<script>\" can't be used here; expected a name in lower-case letters, digits and _ that begins with a letter, such as egg_box; write it as script\n" +
			"data/farm.yaml:5:4: \"a\\\"b\" can't be used here; expected a name in lower-case letters, digits and _ that begins with a letter, such as egg_box; write it as a_b\n" +
			"data/farm.yaml:6:3: \"a.b\" can't be used here; expected a name in lower-case letters, digits and _ that begins with a letter, such as egg_box; write it as a_b\n" +
			"data/farm.yaml:7:3: \"if\" can't be used here; expected a name in lower-case letters, digits and _ that begins with a letter, such as egg_box; if has a meaning in formulas\n" +
			"data/farm.yaml:8:3: \"Apr\" can't be used here; expected a name in lower-case letters, digits and _ that begins with a letter, such as egg_box; Apr has a meaning in formulas\n" +
			"data/farm.yaml:9:1: \"<script>\" is not a key of farm.yaml; expected name, about, book, front, people, place, currency, language, units, counts, frost, land, labour, plan, horizon, parts, print, inputs or worked"},
	{file: "control-characters.yaml", as: farmYAML,
		want: "data/farm.yaml:1:8: the name holds an invisible control character; delete it"},
	{file: "two-documents.yaml", as: farmYAML,
		want: "data/farm.yaml:4:1: a second YAML document starts here; expected one document; delete the line --- above it, or move what follows to a file of its own"},
	{file: "keys-that-are-maps.yaml", as: farmYAML,
		want: "data/farm.yaml:3:3: a key must be a single word; if this was meant to be a value, put it in quotes\n" +
			"data/farm.yaml:5:3: a key must be a single word; if this was meant to be a value, put it in quotes"},
	{file: "unclosed-quote.yaml", as: farmYAML,
		want: "data/farm.yaml:1:7: a quote that opens here is never closed; close it"},
	{file: "tabs.yaml", as: farmYAML,
		want: "data/farm.yaml:4:1: there is a tab in the indentation; YAML allows only spaces there; replace it by spaces"},
	{file: "only-a-text.yaml", as: farmYAML,
		want: "data/farm.yaml:1:1: this file is the single value just a text here; expected keys with values, such as name:"},
	{file: "only-a-list.yaml", as: farmYAML,
		want: "data/farm.yaml:1:1: this file is a list here; expected keys with values, such as name:"},
	{file: "empty.yaml", as: farmYAML,
		want: "data/farm.yaml:1:1: this file has no currency; add a line such as currency: GBP\n" +
			"data/farm.yaml:1:1: this file has no name; add a line name: with a text"},
	{file: "only-comments.yaml", as: "data/climate.yaml"},
	{file: "formula-of-the-devil.yaml", as: hensYAML,
		want: "data/enterprises/hens.yaml:2:56: the step of the scale is 0 hen; expected more than 0\n" +
			"data/enterprises/hens.yaml:13:12: no name for a figure can be made of \"鸡蛋\"; add a line such as name: cost_1"},
	{file: "invalid-utf8.yaml", as: farmYAML,
		want: "data/farm.yaml:1:10: this is not UTF-8 text (byte 0xe9); save the file as UTF-8 in your editor"},
	{file: "utf16.yaml", as: farmYAML,
		want: "data/farm.yaml:1:1: this is not UTF-8 text (byte 0xff); save the file as UTF-8 in your editor"},
	{file: "nul.yaml", as: farmYAML,
		want: "data/farm.yaml:1:8: there is an invisible control character here (U+0000); delete it"},
}

// A badInput is the small farm with one change, and the whole error that it
// leads to. Where seen is true, the schema refuses the file as well.
type badInput struct {
	name, file, old, new string
	want                 string
	seen                 bool
	spreads              bool // figures are gone whose names are not known
}

const (
	farmYAML   = "data/farm.yaml"
	pricesYAML = "data/prices.yaml"
	thingsYAML = "data/infrastructure.yaml"
	moneyYAML  = "data/finance.yaml"
	hensYAML   = "data/enterprises/hens.yaml"
	willowYAML = "data/enterprises/willow.yaml"
)

var badInputs = []badInput{
	{name: "wrong dimension", file: farmYAML, old: "3.2 ha", new: "6 kg",
		want: "data/farm.yaml:33:19: the area of pasture is in kg; expected an area such as 6 ha"},
	{name: "no unit", file: farmYAML, old: "3.2 ha", new: "6", seen: true,
		want: "data/farm.yaml:33:19: the area of pasture has no unit; expected an area such as 6 ha"},
	{name: "unknown unit", file: farmYAML, old: "3.2 ha", new: "6 hectars",
		want: "data/farm.yaml:33:19: the area of pasture: \"hectars\" is not a unit or a counted thing of this farm; did you mean hectare?"},
	{name: "not a number", file: farmYAML, old: "3.2 ha", new: "six ha", seen: true,
		want: "data/farm.yaml:33:19: the area of pasture: \"six ha\" is not a number with a unit; expected something like 0.52 GBP/kg"},
	{name: "decimal comma", file: farmYAML, old: "16 h/week", new: "16,5 h/week",
		want: "data/farm.yaml:13:12: the working time of jay: \"16,5 h/week\" has a decimal comma; write it with a point"},
	{name: "negative area", file: farmYAML, old: "3.2 ha", new: "-3.2 ha",
		want: "data/farm.yaml:33:19: the area of pasture is -3.2 ha; expected 0 or more"},
	{name: "hours without a week", file: farmYAML, old: "16 h/week", new: "16 h",
		want: "data/farm.yaml:13:12: the working time of jay is in h; expected working time in a time such as 40 h/week"},
	{name: "a date is no time", file: thingsYAML, old: "15 year", new: "15 Apr",
		want: "data/infrastructure.yaml:2:55: the life of egg store is a date; expected a time such as 8 year"},
	{name: "a time is no date", file: farmYAML, old: "6 May", new: "6 month", seen: true,
		want: "data/farm.yaml:31:15: the last frost is in month; expected a day of the year such as 6 Apr"},
	{name: "no such day", file: farmYAML, old: "6 May", new: "31 Jun",
		want: "data/farm.yaml:31:15: the last frost: Jun has no day 31; expected 1 to 30"},
	{name: "latitude without degrees", file: farmYAML, old: "52.3 deg", new: "52.3", seen: true,
		want: "data/farm.yaml:19:13: the latitude has no unit; expected degrees north (south is negative) such as 52.3 deg"},
	{name: "latitude beyond the pole", file: farmYAML, old: "52.3 deg", new: "152.3 deg",
		want: "data/farm.yaml:19:13: the latitude is 152.3 deg; expected -90 deg to 90 deg"},
	{name: "half a year", file: farmYAML, old: "5 year", new: "5.5 year",
		want: "data/farm.yaml:38:10: the horizon is 5.5 year; expected whole years such as 5 year"},
	{name: "share without its sign", file: farmYAML, old: "14 %", new: "14", seen: true,
		want: "data/farm.yaml:37:41: the on-cost of employment is 14; expected 0 % to 100 %; write 14 % if that is meant"},
	{name: "share beyond the whole", file: pricesYAML, old: "20 %", new: "120 %",
		want: "data/prices.yaml:5:10: the fee of shop is 120 %; expected 0 % to 100 %"},
	{name: "foreign money", file: farmYAML, old: "12.50 GBP/h", new: "12.50 EUR/h",
		want: "data/farm.yaml:37:16: the wage is in EUR/h; expected money for a time such as 12.50 GBP/h"},
	{name: "price without a thing", file: pricesYAML, old: "3.20 GBP/dozen\ninputs", new: "3.20 GBP\ninputs", seen: true,
		want: "data/prices.yaml:12:13: the price at shop is in GBP; expected a price such as 4.20 GBP/kg"},
	{name: "unknown key", file: farmYAML, old: "currency:", new: "currancy:", seen: true,
		want: "data/farm.yaml:21:1: \"currancy\" is not a key of farm.yaml; did you mean currency?"},
	{name: "unknown key, nothing near", file: farmYAML, old: "horizon: 5 year", new: "zzz: 5 year", seen: true,
		want: "data/farm.yaml:38:1: \"zzz\" is not a key of farm.yaml; expected name, about, book, front, people, place, currency, language, units, counts, frost, land, labour, plan, horizon, parts, print, inputs or worked"},
	{name: "unknown key of a leaf", file: pricesYAML, old: "as_of", new: "asof", seen: true,
		want: "data/prices.yaml:14:103: \"asof\" is not a key of a value in long form; did you mean as_of?"},
	{name: "key given twice", file: farmYAML, old: "horizon: 5 year", new: "name: Other", seen: false,
		want: "data/farm.yaml:38:1: \"name\" is given twice; the first is at data/farm.yaml:2:1; delete or rename one of them"},
	{name: "missing keys", file: willowYAML, old: "", new: "about: nothing else\n", seen: true,
		want: "data/enterprises/willow.yaml:1:1: this file has no lines; add a line lines: with a list of lines\n" +
			"data/enterprises/willow.yaml:1:1: this file has no name; add a line name: with a text\n" +
			"data/enterprises/willow.yaml:1:1: this file has no scale; add a line scale: with the scale"},
	{name: "missing area", file: farmYAML, old: "{area: 3.2 ha, rent: 150 GBP/ha/year}", new: "{rent: 150 GBP/ha/year}", seen: true,
		want: "data/farm.yaml:33:3: pasture has no area; add a line such as area: 6 ha"},
	{name: "key without value", file: farmYAML, old: "horizon: 5 year", new: "horizon:", seen: true,
		want: "data/farm.yaml:38:1: the horizon has no value; write whole years such as 5 year, or delete the key"},
	{name: "required record without entries", file: farmYAML, old: "pasture: {area: 3.2 ha, rent: 150 GBP/ha/year}", new: "pasture:", seen: true,
		want: "data/farm.yaml:33:3: pasture has no area; add a line such as area: 6 ha"},
	{name: "list for a map", file: farmYAML, old: "labour: {wage: 12.50 GBP/h, employment: 14 %}", new: "labour: [12.50 GBP/h]", seen: true,
		want: "data/farm.yaml:37:9: the labour is a list here; expected keys with values, such as wage:"},
	{name: "value for a map", file: farmYAML, old: "frost: {last: 6 May, first: 12 Oct}", new: "frost: 6 May", seen: true,
		want: "data/farm.yaml:31:8: the frost is the single value 6 May here; expected keys with values, such as last:"},
	{name: "map for a value", file: farmYAML, old: "altitude: 85 m", new: "altitude: {metres: 85}", seen: true,
		want: "data/farm.yaml:20:3: the altitude has no value; add a line such as value: 85 m\n" +
			"data/farm.yaml:20:14: \"metres\" is not a key of a value in long form; expected value, low, high, source, as_of, label, note or meant"},
	{name: "no wage", file: farmYAML, old: "labour: {wage: 12.50 GBP/h, employment: 14 %}\n", new: "",
		want: "data/farm.yaml:1:1: the farm has no wage, which its enterprises need to reckon hired help; add a line such as labour: {wage: 12.50 GBP/h}"},
	{name: "units", file: farmYAML, old: "units: metric", new: "units: metrc", seen: true,
		want: "data/farm.yaml:23:8: the system of units is \"metrc\"; expected metric or customary; did you mean metric?"},
	{name: "currency", file: farmYAML, old: "currency: GBP", new: "currency: QQQ",
		want: "data/farm.yaml:21:11: \"QQQ\" is not a currency; expected an ISO 4217 code such as GBP, USD or EUR"},
	{name: "language", file: farmYAML, old: "language: en-GB", new: "language: english of kent",
		want: "data/farm.yaml:22:11: \"english of kent\" is not a language tag; write one such as en-GB, de or de-CH"},
	{name: "name of a thing", file: farmYAML, old: "  bolt:", new: "  Bolt:", seen: true,
		want: "data/farm.yaml:29:3: \"Bolt\" can't be used here; expected a name in lower-case letters, digits and _ that begins with a letter, such as egg_box; write it as bolt"},
	{name: "thing that is a unit", file: farmYAML, old: "  coop:", new: "  kg:",
		want: "data/farm.yaml:30:3: \"kg\" is already a unit, so it can't be counted; choose another word"},
	{name: "pack of something unknown", file: farmYAML, old: "pack: 12 egg", new: "pack: 12 eeg",
		want: "data/farm.yaml:28:17: the size of dozen: \"eeg\" is not a unit or a counted thing of this farm; did you mean deg?"},
	{name: "as_of", file: farmYAML, old: "as_of: 2026-01", new: "as_of: January", seen: true,
		want: "data/farm.yaml:14:61: the date (as_of) of the income of jay is \"January\"; expected a year, a month or a day; write it as 2026, 2026-02 or 2026-02-14"},
	{name: "low above the value", file: pricesYAML, old: "low: 3.20 GBP/dozen", new: "low: 3.70 GBP/dozen",
		want: "data/prices.yaml:11:47: the low value of the price at farm gate is 3.70 GBP/dozen, more than its value 3.60 GBP/dozen; expected low, value and high in rising order"},
	{name: "high below the value", file: pricesYAML, old: "high: 4.00 GBP/dozen", new: "high: 3.00 GBP/dozen",
		want: "data/prices.yaml:11:69: the high value of the price at farm gate is 3.00 GBP/dozen, less than its value 3.60 GBP/dozen; expected low, value and high in rising order"},
	{name: "low in another unit", file: pricesYAML, old: "low: 3.20 GBP/dozen", new: "low: 3.20 GBP/kg",
		want: "data/prices.yaml:11:47: the low value of the price at farm gate is in GBP/kg, but its value is in GBP/dozen; give both in the same unit"},
	{name: "eleven months", file: "data/climate.yaml", old: "82 mm, ", new: "", seen: true,
		want: "data/climate.yaml:3:12: rain is a list of 11 values; expected 12, for January to December"},
	{name: "a thousand in a list", file: "data/climate.yaml", old: "82 mm, ", new: "1,082 mm, ", seen: true,
		want: "data/climate.yaml:3:12: rain is a list of 13 values; expected 12, for January to December; a comma in [ ] begins a new entry, so write numbers there without commas"},
	{name: "mixed months", file: "data/climate.yaml", old: "60 mm", new: "60 kg",
		want: "data/climate.yaml:3:20: rain in Feb is in kg, but the first month is in mm; give all months in the same unit"},
	{name: "low of a series", file: "data/climate.yaml", old: "    label: Rain\n", new: "    low: 10 mm\n",
		want: "data/climate.yaml:5:10: rain is a list of months and can't have one low; delete low"},
	{name: "series where one value is wanted", file: farmYAML, old: "altitude: 85 m", new: "altitude: [1 m, 2 m]", seen: true,
		want: "data/farm.yaml:20:13: the altitude is a list here; expected a height; write it like this: 85 m"},
	{name: "name of a figure", file: pricesYAML, old: "layers_meal", new: "layers-meal", seen: true,
		want: "data/prices.yaml:14:3: \"layers-meal\" can't be used here; expected a name in lower-case letters, digits and _ that begins with a letter, such as egg_box; write it as layers_meal"},
	{name: "keyword as a name", spreads: true, file: pricesYAML, old: "layers_meal", new: "if",
		want: "data/prices.yaml:14:3: \"if\" can't be used here; expected a name in lower-case letters, digits and _ that begins with a letter, such as egg_box; if has a meaning in formulas"},
	{name: "figure defined twice", file: farmYAML, old: "target_income: 18,000 GBP/year", new: "wage: 10 GBP/h",
		want: "data/farm.yaml:40:9: the figure farm.wage is defined twice; the first is at data/farm.yaml:37:16; rename one of them"},
	{name: "unknown channel", file: pricesYAML, old: "      shop: 3.20", new: "      shopp: 3.20",
		want: "data/prices.yaml:12:7: shopp is not a channel; did you mean shop?"},
	{name: "unknown enterprise", file: thingsYAML, old: "{hens: 100 %}", new: "{hen: 100 %}",
		want: "data/infrastructure.yaml:2:107: hen is not an enterprise; did you mean hens?"},
	{name: "shares beyond the whole", file: thingsYAML, old: "willow: 25 %", new: "willow: 35 %",
		want: "data/infrastructure.yaml:9:5: the shares of Electric fence come to 110 %; expected 100 % or less together"},
	{name: "number and cost", file: thingsYAML, old: "number: 3,", new: "number: 3 coop,",
		want: "data/infrastructure.yaml:10:38: the cost of water butt is in GBP, which does not go with a number in coop; give the number in what the cost is for, as 12 pen with 380 GBP/pen, or both without"},
	{name: "life of nothing", file: thingsYAML, old: "15 year", new: "0 year",
		want: "data/infrastructure.yaml:2:55: the life of egg store is 0 year; expected more than 0"},
	{name: "when bought", file: thingsYAML, old: "2026-09", new: "2026-13", seen: true,
		want: "data/infrastructure.yaml:2:88: the date of purchase of egg store is \"2026-13\"; expected a year, a month or a day; write it as 2026, 2026-02 or 2026-02-14"},
	{name: "group of a use", file: moneyYAML, old: "group: contingency", new: "group: contingencies", seen: true,
		want: "data/finance.yaml:13:20: the group of reserve is \"contingencies\"; expected property, infrastructure, equipment, stock, working_capital or contingency; did you mean contingency?"},
	{name: "amount of time", file: moneyYAML, old: "1500 GBP", new: "1500 h",
		want: "data/finance.yaml:12:37: the amount of tools is in h; expected money such as 380 GBP"},
	{name: "overhead without a time", file: moneyYAML, old: "22 GBP/month", new: "22 GBP",
		want: "data/finance.yaml:16:23: the amount of telephone is in GBP; expected money for a time such as 1200 GBP/year"},
	{name: "interest without a time", file: moneyYAML, old: "7.5 %/year", new: "7.5 %",
		want: "data/finance.yaml:7:11: the rate of bank is in %; expected a rate of interest such as 6.5 %/year"},
	{name: "unknown key of a formula", file: moneyYAML, old: "formula: 10 %", new: "formla: 10 %", seen: true,
		want: "data/finance.yaml:13:42: \"formla\" is not a key of a worked figure; did you mean formula?"},
	{name: "no kind of line", file: hensYAML, old: "- hours: Feeding and collecting", new: "- ours: Feeding and collecting", seen: true,
		want: "data/enterprises/hens.yaml:42:5: entry 6 of lines does not say what kind of line it is; expected a key sale, cost, overhead, hours, capital or land; did you mean hours instead of ours?"},
	{name: "two kinds of line", file: hensYAML, old: "- hours: Feeding and collecting", new: "- hours: Feeding and collecting\n    sale: Eggs", seen: true,
		want: "data/enterprises/hens.yaml:42:5: this line is both sale and hours; expected one kind a line; make two lines of it"},
	{name: "sale without a price", file: hensYAML, old: "    price: 2.50 GBP/hen\n", new: "", seen: true,
		want: "data/enterprises/hens.yaml:27:5: Old hens has none of its keys price, or price and through, or product and through"},
	{name: "sale with price and product", file: hensYAML, old: "    price: 2.50 GBP/hen\n", new: "    price: 2.50 GBP/hen\n    product: eggs\n", seen: true,
		want: "data/enterprises/hens.yaml:29:5: Old hens has price and product; expected price, or price and through, or product and through"},
	{name: "unknown product", file: hensYAML, old: "product: eggs", new: "product: egs",
		want: "data/enterprises/hens.yaml:25:14: egs is not a product of the price list; did you mean eggs?"},
	{name: "channel without a price", file: hensYAML, old: "{farm_gate: 55 %, shop: 45 %}", new: "{farm_gate: 55 %, market: 45 %}",
		want: "data/enterprises/hens.yaml:26:32: market is not a channel with a price for eggs; by_channel of eggs in data/prices.yaml has farm_gate and shop"},
	{name: "shares short of the whole", file: hensYAML, old: "shop: 45 %", new: "shop: 40 %",
		want: "data/enterprises/hens.yaml:26:5: the shares of Eggs sold come to 95 %; expected 100 % together"},
	{name: "unknown cycle", file: hensYAML, old: "{each: flock, day: 360 day}", new: "{each: flok, day: 360 day}",
		want: "data/enterprises/hens.yaml:31:18: flok is not a cycle of the calendar; did you mean flock?"},
	{name: "cycle without a day", file: hensYAML, old: "{each: flock, day: 360 day}", new: "{each: flock}", seen: true,
		want: "data/enterprises/hens.yaml:31:12: the timing of Old hens has each; expected each and day, or each, from and to, or months, or weights"},
	{name: "cycle as months", file: hensYAML, old: "{each: flock, day: 360 day}", new: "flock",
		want: "data/enterprises/hens.yaml:31:11: flock is a cycle of the calendar, so a day of it is needed; write {each: flock, day: 0 day}, or from and to"},
	{name: "months twice", file: willowYAML, old: "    months: Jan..Dec\n", new: "    months: Jan..Dec\n    when: Jan\n", seen: true,
		want: "data/enterprises/willow.yaml:27:5: wet_ground has months and when; expected months, or when"},
	{name: "weights of nothing", file: willowYAML, old: "{Jan: 1, Feb: 2, Dec: 1}", new: "{Jan: 0}",
		want: "data/enterprises/willow.yaml:14:12: the weights are all 0; expected at least one month with more"},
	{name: "weight of no month", file: willowYAML, old: "{Jan: 1, Feb: 2, Dec: 1}", new: "{January: 1}", seen: true,
		want: "data/enterprises/willow.yaml:14:22: \"January\" can't be used here; expected a month: Jan, Feb, Mar, Apr, May, Jun, Jul, Aug, Sep, Oct, Nov or Dec"},
	{name: "once and every", file: willowYAML, old: "once: true", new: "once: true, every: 2 year",
		want: "data/enterprises/willow.yaml:18:30: a line that comes only once can't come back every so often; delete once or every"},
	{name: "once, in other words", file: willowYAML, old: "once: true", new: "once: oui", seen: true,
		want: "data/enterprises/willow.yaml:18:36: the once of Cuttings is \"oui\"; expected true or false"},
	{name: "unknown land", file: willowYAML, old: "land: wet_ground", new: "land: wet_grund",
		want: "data/enterprises/willow.yaml:24:11: wet_grund is not a kind of land; did you mean wet_ground?"},
	{name: "name used twice", file: hensYAML, old: "cost: Pullets", new: "cost: Old hens",
		want: "data/enterprises/hens.yaml:34:11: the line \"Old hens\" would be called old_hens, a name used already at data/enterprises/hens.yaml:27:11; give it a name of its own: name: old_hens_cost"},
	{name: "no name to be made", file: hensYAML, old: "cost: Pullets", new: "cost: 鸡",
		want: "data/enterprises/hens.yaml:34:11: no name for a figure can be made of \"鸡\"; add a line such as name: cost_1"},
	{name: "scale in another unit", file: hensYAML, old: "now: 120 hen", new: "now: 120 egg",
		want: "data/enterprises/hens.yaml:6:8: the present scale is in egg; expected a number of hen, as 1 hen"},
	{name: "unknown unit of the scale", file: hensYAML, old: "unit: hen", new: "unit: henn",
		want: "data/enterprises/hens.yaml:5:9: \"henn\" is not a unit or a counted thing of this farm; did you mean hen?"},
	{name: "step of nothing", file: hensYAML, old: "step: 60 hen", new: "step: 0 hen",
		want: "data/enterprises/hens.yaml:7:9: the step of the scale is 0 hen; expected more than 0"},
	{name: "scale by formula", file: hensYAML, old: "now: 120 hen", new: "now: eggs / 2", seen: true,
		want: "data/enterprises/hens.yaml:6:8: the present scale: \"eggs / 2\" is not a number with a unit; expected something like 0.52 GBP/kg"},
	{name: "life missing", file: hensYAML, old: "    life: 12 year\n", new: "", seen: true,
		want: "data/enterprises/hens.yaml:44:5: Coop has no life; add a line life: with a formula"},
	{name: "no lines", file: willowYAML, old: "", new: "name: Willow\nscale: {figure: bed, unit: m2, now: 1 m2, most: 2 m2}\nlines: []\n",
		want: "data/enterprises/willow.yaml:3:1: there are no lines; add at least one sale and one cost"},
	{name: "comma in a text", file: pricesYAML, old: "source: quote from the mill", new: "source: quote, from the mill", seen: true,
		want: "data/prices.yaml:14:89: \"from the mill\" is not a key of a value in long form; a comma in { } begins a new entry; put a text that contains one in quotes, and write numbers without commas"},
	{name: "colon in a text", file: farmYAML, old: "about: Eleven acres of wet grass", new: "about: land: eleven acres",
		want: "data/farm.yaml:3:12: a colon is out of place here: this line is indented wrongly, or a text that contains a colon lacks quotes; line the key up with its neighbours, or put the text in quotes"},
	{name: "indentation", file: farmYAML, old: "  subtitle:", new: "   subtitle:",
		want: "data/farm.yaml:6:12: a colon is out of place here: this line is indented wrongly, or a text that contains a colon lacks quotes; line the key up with its neighbours, or put the text in quotes"},
	{name: "dedent", file: farmYAML, old: "    income: {value", new: "   income: {value",
		want: "data/farm.yaml:14:4: this line does not line up with the entries above it; expected a key with a colon; indent it like its neighbours"},
	{name: "bracket", file: farmYAML, old: "frost: {last: 6 May, first: 12 Oct}", new: "frost: {last: 6 May, first: 12 Oct",
		want: "data/farm.yaml:31:8: the entries that begin here with { are not closed or lack a comma; close them with }, part them by commas, and put a formula that holds a comma in quotes"},
	{name: "at sign", file: farmYAML, old: "name: Thornby Bottom", new: "name: @Thornby",
		want: "data/farm.yaml:2:7: a value can't begin with this character; put the value in quotes"},
}
