package enterprise_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/language"

	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
	"rickyard/calc/trade"
	"rickyard/data"
)

// span is a text as if a farmer had written it.
func span(text string) source.Span {
	if text == "" {
		return source.Span{}
	}
	return source.New("test", text).Whole()
}

// A plot is a made-up farm with one enterprise, crates of something.
type plot struct {
	step, least, most, because string
	hours                      string // that the people have
	target                     string
	lines                      []enterprise.Line
	worked                     map[string]string // figures of the enterprise's own
	land                       string            // area of pasture
	limit                      string            // of the gate; "" for none
	noTarget                   bool
}

func sale(amount, price string) enterprise.Line {
	return enterprise.Line{Kind: enterprise.Sale, Name: "sold", Label: "Sold", Place: span("sold"), Amount: span(amount), Price: span(price),
		Through: []enterprise.ChannelShare{{Channel: enterprise.Ref{Name: "gate", Span: span("gate")}, Share: span("100 %")}}}
}

func cost(name, amount string) enterprise.Line {
	return enterprise.Line{Kind: enterprise.Cost, Name: name, Label: name, Place: span(name), Amount: span(amount)}
}

func work(amount, months string) enterprise.Line {
	return enterprise.Line{Kind: enterprise.Hours, Name: "work", Label: "Work", Place: span("work"), Amount: span(amount), When: enterprise.Timing{Months: span(months)}}
}

func pasture(amount string) enterprise.Line {
	return enterprise.Line{Kind: enterprise.Land, Name: "grass", Label: "Grass", Place: span("grass"), Amount: span(amount), Use: enterprise.Ref{Name: "pasture", Span: span("pasture")}}
}

func (p *plot) spec() enterprise.Spec {
	most := p.most
	if most == "" {
		most = "100 crate"
	}
	return enterprise.Spec{
		ID: "x", Name: "Crates", Place: span("x"), Lines: p.lines,
		Scale: enterprise.Scale{
			Figure: enterprise.Ref{Name: "crates", Span: span("crates")}, Unit: enterprise.Ref{Name: "crate", Span: span("crate")},
			Step: span(p.step), Least: span(p.least), Most: span(most), Because: p.because,
		},
	}
}

func or(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// graph works the farm out with what is searched of it, with whatever more is
// given.
func (p *plot) graph(t testing.TB, more ...figures.Definition) (*figures.Graph, []enterprise.Spec) {
	t.Helper()
	units, err := quantity.NewSystem("GBP", []quantity.Thing{{Name: "crate"}})
	if err != nil {
		t.Fatal(err)
	}
	inputs := map[string]string{
		"x.crates": "1 crate", "prices.channels.gate.fee": "0 %", "prices.channels.gate.hours": "0 h/GBP",
		"farm.land.pasture.area": or(p.land, "5 ha"), "farm.land.pasture.rent": "0 GBP/ha/year", "farm.land.pasture.rent_of_more": "0 GBP/ha/year", "farm.wage": "10 GBP/h", "farm.employment": "20 %",
		"infrastructure.for_x": "0 GBP/year", "finance.overheads_for_x": "0 GBP/year", "finance.overheads_total": "0 GBP/year",
		"farm.people.a.hours": or(p.hours, "70 h/week"), enterprise.Target: or(p.target, "1_000 GBP"),
		"farm.weight_land": "1",
	}
	if p.noTarget {
		delete(inputs, enterprise.Target)
	}
	if p.limit != "" {
		inputs["prices.channels.gate.limit"] = p.limit
	}
	var definitions []figures.Definition
	for name, text := range inputs {
		value, err := units.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		definitions = append(definitions, figures.Definition{Name: name, Label: say.Own(name), Place: span(text), Value: value})
	}
	for name, formula := range p.worked {
		definitions = append(definitions, figures.Definition{Name: "x." + name, Label: say.Own(name), Scope: "x", Place: span(formula), Formula: span(formula)})
	}
	specs := []enterprise.Spec{p.spec()}
	definitions = append(definitions, enterprise.Definitions(specs, enterprise.Context{Currency: "GBP", People: []string{"a"}, Place: span("farm"), Units: units})...)
	definitions = append(definitions, more...)
	slices.SortStableFunc(definitions, func(a, b figures.Definition) int { return strings.Compare(a.Name, b.Name) })
	g, err := searched(units, 3, definitions, specs)
	if err != nil {
		t.Fatal(err)
	}
	return g, specs
}

func style(units *quantity.System) *quantity.Style {
	return quantity.NewStyle(units, language.BritishEnglish)
}

// searched works figures out together with what is searched of the enterprises.
func searched(units *quantity.System, years int, definitions []figures.Definition, specs []enterprise.Spec) (*figures.Graph, error) {
	known := map[string]*figures.Definition{}
	for i := range definitions {
		known[definitions[i].Name] = &definitions[i]
	}
	more, engines := enterprise.Searches(specs, style(units), func(name string) *figures.Definition { return known[name] })
	return figures.BuildWith(units, years, append(slices.Clone(definitions), more...), engines, slices.Concat(enterprise.Functions, trade.Functions)...)
}

// demo is the demo farm as its files tell it. mosts replaces the largest scale
// of enterprises.
type demo struct {
	*figures.Graph
	farm        *data.Farm
	definitions []figures.Definition
}

func loadDemo(t testing.TB, mosts map[string]string) *demo {
	t.Helper()
	farm, err := data.Load(os.DirFS("../.."))
	if err != nil {
		t.Fatal(err)
	}
	used := map[string][]string{}
	for _, item := range farm.Infrastructure {
		for _, id := range item.UsedBy {
			used[id] = append(used[id], item.ID)
		}
	}
	for i := range farm.Enterprises {
		if most := mosts[farm.Enterprises[i].ID]; most != "" {
			farm.Enterprises[i].Scale.Most = span(most)
		}
	}
	var people []string
	for _, p := range farm.People {
		if p.HasHours {
			people = append(people, p.ID)
		}
	}
	d := &demo{farm: farm, definitions: farm.Definitions}
	d.definitions = append(d.definitions, enterprise.Definitions(farm.Enterprises, enterprise.Context{
		Currency: farm.Currency, People: people, Place: span("farm"), UsedBy: used, Units: farm.Units,
	})...)
	d.Graph, err = searched(farm.Units, farm.Horizon, d.definitions, farm.Enterprises)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// smaller is a tenth of the demo farm's own largest scales, so that few
// enterprises find a scale that pays.
func smaller(t testing.TB) map[string]string {
	mosts := map[string]string{}
	for _, s := range loadDemo(t, nil).farm.Enterprises {
		mosts[s.ID] = fmt.Sprintf("max(%s, (%s) / 10)", or(s.Scale.Least.Text(), "1 "+s.Scale.Unit.Name), s.Scale.Most.Text())
	}
	return mosts
}
