package formula_test

import (
	"math"
	"testing"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

// TestWhole: what one value of a series is, by its kind.
func TestWhole(t *testing.T) {
	for _, c := range []struct {
		kind            formula.Kind
		values, weights []float64
		want            float64
	}{
		{formula.Flow, []float64{3, 1, 2}, nil, 6},
		{formula.Number, []float64{3, 1, 2}, nil, 6},
		{formula.Level, []float64{3, 1, 2}, nil, 2},
		{formula.Held, []float64{1, 3, 2}, nil, 3},
		{formula.Price, []float64{3, 1, 2}, nil, 2},
		{formula.Share, []float64{0.5, 0.1}, []float64{1, 3}, 0.2},
		{formula.Share, []float64{0.5, 0.1}, []float64{0, 0}, 0.3},
		{formula.Share, []float64{0.5, 0.1}, []float64{1}, 0.3},
		{formula.Temperature, []float64{280, 290}, nil, 285},
		{formula.Truth, []float64{1, 0, 1}, nil, 0},
		{formula.Truth, []float64{1, 1}, nil, 1},
		{formula.Date, []float64{5, 9}, nil, 9},
		{formula.Choice, []float64{2, 1}, nil, 1},
		{formula.Flow, nil, nil, 0},
		{formula.Level, []float64{math.NaN(), 1}, nil, math.NaN()},
		{formula.Held, []float64{1, math.NaN()}, nil, math.NaN()},
	} {
		got := c.kind.Whole(c.values, c.weights)
		if math.Abs(got-c.want) > 1e-12 || math.IsNaN(got) != math.IsNaN(c.want) {
			t.Errorf("%s %v by %v is %v as a whole, want %v", c.kind, c.values, c.weights, got, c.want)
		}
	}
}

func TestKindNames(t *testing.T) {
	for _, k := range []formula.Kind{formula.Flow, formula.Level, formula.Held, formula.Price, formula.Share, formula.Temperature} {
		if got, ok := formula.KindNamed(k.String()); !ok || got != k {
			t.Errorf("%s means %v, %v", k, got, ok)
		}
	}
	for _, word := range []string{"number", "date", "choice", "yes or no", "flows", ""} {
		if k, ok := formula.KindNamed(word); ok {
			t.Errorf("%q means %s", word, k)
		}
	}
}

// TestKindsFollow: a series knows what it is from what it is worked from.
func TestKindsFollow(t *testing.T) {
	system := units(t)
	series := func(name, unit string, kind formula.Kind, values ...float64) figures.Definition {
		d := figures.Definition{Name: name, Place: source.New("farm.txt", name).Whole(), Kind: kind, Value: quantity.Quantity{Unit: system.Must(unit)}}
		for m := range 12 {
			d.Series = append(d.Series, d.Value.Unit.ToBase(values[min(m, len(values)-1)]))
		}
		return d
	}
	base := []figures.Definition{
		series("cash", "GBP", formula.Number, 100, 300, 200), series("sold", "kg", formula.Number, 10, 20, 40), series("price", "GBP/kg", formula.Number, 10, 5),
		series("lay", "%", formula.Number, 80, 60), series("balance", "GBP", formula.Level, 500, 700), series("flock", "hen", formula.Level, 90, 80), series("field", "ha", formula.Number, 1, 3, 2),
		series("air", "degC", formula.Number, 5, 15), series("ration", "kg/hen/day", formula.Number, 0.12), series("loads", "", formula.Number, 1, 2),
	}
	for text, want := range map[string]struct {
		kind  formula.Kind
		whole float64 // as shown
	}{
		"cash":                               {formula.Flow, 2400},
		"Apr..Oct":                           {formula.Flow, 7},
		"12 GBP * Apr..Oct":                  {formula.Flow, 84},
		"sold * price":                       {formula.Flow, 100 + 100 + 10*200},
		"12 kg * price":                      {formula.Flow, 12 * (10 + 11*5)},
		"price * 2":                          {formula.Price, 130. / 12},
		"price * price / price":              {formula.Price, 65. / 12},
		"cash / sold":                        {formula.Price, 2400. / 430},
		"cash / sold as GBP/kg":              {formula.Price, 2400. / 430},
		"2 * (cash / sold)":                  {formula.Price, 2 * 2400. / 430},
		"cash / cash":                        {formula.Share, 1},
		"cash / (2 * cash)":                  {formula.Share, 0.5},
		"cash / 4 kg":                        {formula.Flow, 600},
		"cash * lay":                         {formula.Flow, 80 + 0.6*2300},
		"lay":                                {formula.Share, 740. / 12},
		"1 - lay":                            {formula.Share, 100 - 740./12},
		"lay * lay":                          {formula.Share, 0},
		"balance":                            {formula.Level, 700},
		"balance + cash":                     {formula.Level, 900},
		"cash + balance":                     {formula.Level, 900},
		"balance * lay":                      {formula.Level, 420},
		"balance / 2":                        {formula.Level, 350},
		"-balance":                           {formula.Level, -700},
		"balance / cash":                     {formula.Share, 0},
		"cash / price":                       {formula.Flow, 10 + 60 + 400},
		"flock * ration":                     {formula.Price, 0.12 * (90 + 11*80) / 12},
		"flock * ration * month_days()":      {formula.Flow, 0.12 * (90*31 + 80*334)},
		"running(cash)":                      {formula.Level, 2400},
		"field":                              {formula.Held, 3},
		"field * 2":                          {formula.Held, 6},
		"field * 100 GBP/ha":                 {formula.Held, 300},
		"field * loads":                      {formula.Held, 6},
		"field / loads":                      {formula.Held, 1.5},
		"air":                                {formula.Temperature, 170. / 12},
		"air - 5 degC":                       {formula.Temperature, 110. / 12},
		"each_year(balance)":                 {formula.Level, 700},
		"in_year(each_year(balance), 2)":     {formula.Level, 700},
		"in_year(each_year(cash / sold), 2)": {formula.Price, 0},
		"shift(balance, 1)":                  {formula.Level, 700},
		"by_year(1 GBP, 2 GBP)":              {formula.Flow, 12 + 48},
		"monthly(1 ha, 1 ha, 5 ha, 1 ha, 1 ha, 1 ha, 1 ha, 1 ha, 1 ha, 1 ha, 1 ha, 1 ha)": {formula.Held, 5},
		"spread(120 GBP, lay)":              {formula.Flow, 120},
		"if(cash > 150 GBP, balance, cash)": {formula.Level, 700},
		"max(balance, 600 GBP)":             {formula.Level, 700},
		"cash > 0 GBP":                      {formula.Truth, 1},
		"sqrt(field)":                       {formula.Flow, 0},
		"sum(balance)":                      {formula.Number, 8200},
		"at(balance, Jan)":                  {formula.Number, 500},
		"average(price, sold)":              {formula.Number, 2200. / 430},
		"ceil(lay)":                         {formula.Share, 0},
		"sum(air - 5 degC)":                 {formula.Number, 110},
	} {
		g, err := figures.Build(system, years, append(base[:len(base):len(base)], figures.Definition{Name: "result", Formula: source.New("page.md", text).Whole()}))
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		f := g.Lookup("result")
		if f.Type.Kind != want.kind {
			t.Errorf("%s is a %s, want a %s", text, f.Type.Kind, want.kind)
		}
		if got := f.Shown(); want.whole != 0 && math.Abs(got-want.whole) > 1e-9*math.Max(1, math.Abs(want.whole)) {
			t.Errorf("%s is %v as a whole, want %v", text, got, want.whole)
		}
	}
	// What the definition says goes before what follows.
	g, err := figures.Build(system, years, append(base, figures.Definition{Name: "result", Kind: formula.Level, Formula: source.New("page.md", "cash").Whole()}))
	if err != nil || g.Lookup("result").Shown() != 200 {
		t.Errorf("a stated level: %v, %v", g.Lookup("result"), err)
	}
}
