// Package farm puts a farm together and works it out: its data, enterprises,
// plan, mix, simulation and records become the figures of one graph, with the
// tables that show them.
package farm

import (
	"maps"
	"slices"
	"strings"

	"rickyard/calc/actual"
	"rickyard/calc/enterprise"
	"rickyard/calc/figures"
	"rickyard/calc/plan"
	"rickyard/calc/quantity"
	"rickyard/calc/risk"
	"rickyard/calc/say"
	"rickyard/calc/sheet"
	"rickyard/calc/source"
	"rickyard/calc/trade"
)

// A Farm is what the figures of a workbook are worked out from. Every number in
// it is a figure of Definitions; the rest only names them.
type Farm struct {
	Units       *quantity.System
	Style       *quantity.Style // how numbers are written within reasons
	Definitions []figures.Definition
	Facts       map[string]say.Text // texts that a chapter may quote
	Tables      map[string]sheet.Table

	Enterprises []enterprise.Spec
	Channels    []enterprise.Channel
	UsedBy      map[string][]string // infrastructure that each enterprise would need alone
	Plan        *plan.Farm          // with the enterprises that are run
	Scenarios   []risk.Scenario
	Risk        risk.Settings
	Records     *actual.Records
	Place       source.Span // where figures stand that belong to the farm as a whole

	// Meant has the answers to warnings, by the name of the figure that is warned of.
	Meant map[string]string

	// Instead are the values of a trial, in place of the data's own.
	Instead []Instead

	// Broken is the first mistake of the data, nil if it has none: what rests on
	// the whole farm follows from it.
	Broken *source.Error
}

// Worked is a farm worked out.
type Worked struct {
	Graph  *figures.Graph
	Tables map[string]sheet.Table
	Facts  map[string]say.Text

	Warnings source.Errors // what is possible, but hardly meant
}

// Functions are those that formulas can call beside the language's own.
var Functions = slices.Concat(enterprise.Functions, trade.Functions)

// Running lists the enterprises that the plan runs.
func (f *Farm) Running() []string {
	ids := make([]string, 0, len(f.Plan.Enterprises))
	for i := range f.Plan.Enterprises {
		ids = append(ids, f.Plan.Enterprises[i].ID)
	}
	return ids
}

// Names are names of figures, sorted.
type Names []string

// Names returns the names of the figures of the data and of the enterprises.
func (f *Farm) Names() Names {
	budgets := f.Budgets()
	names := make(Names, 0, len(budgets)+len(f.Enterprises))
	for i := range budgets {
		names = append(names, budgets[i].Name)
	}
	for i := range f.Enterprises {
		names = append(names, f.Enterprises[i].ID)
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// Has reports whether a figure is called name, or anything under it.
func (n Names) Has(name string) bool {
	for _, from := range []string{name, name + "."} {
		if i, exact := slices.BinarySearch(n, from); exact || i < len(n) && strings.HasSuffix(from, ".") && strings.HasPrefix(n[i], from) {
			return true
		}
	}
	return false
}

// Budgets returns the figures of the data and of the enterprises, each for
// itself.
func (f *Farm) Budgets() []figures.Definition {
	people := []string{}
	for _, p := range f.Plan.People {
		if p.HasHours {
			people = append(people, p.ID)
		}
	}
	all := slices.Concat(f.Definitions,
		enterprise.Definitions(f.Enterprises, enterprise.Context{
			Currency: f.Plan.Currency, People: people, Place: f.Place, UsedBy: f.UsedBy, Units: f.Units}),
		enterprise.TimingDefinitions(f.Enterprises))
	f.instead(all)
	return all
}

// Work works a farm out together with the figures of its chapters. simulate says
// whether anybody asks for what the simulation finds. Its error holds all
// mistakes together, as source.Errors.
func (f *Farm) Work(chapters []figures.Definition, simulate bool) (*Worked, error) {
	var errs source.Errors
	definitions := f.Budgets()
	selling := enterprise.NewSelling(f.Enterprises, f.Running(), f.Channels)
	definitions = append(definitions, selling.Definitions()...)
	w := &Worked{Tables: maps.Clone(f.Tables), Facts: maps.Clone(f.Facts)}
	maps.Copy(w.Tables, selling.Tables())
	known := map[string]*figures.Definition{}
	for i := range definitions {
		known[definitions[i].Name] = &definitions[i]
	}
	lookup := func(name string) *figures.Definition { return known[name] }
	declared := f.Plan.Declare(f.Units, lookup)
	maps.Copy(w.Tables, declared.Tables())
	scenarios := risk.NewScenarios(declared, f.Scenarios)
	maps.Copy(w.Tables, scenarios.Tables())
	simulation := risk.NewSimulation(declared, f.Risk, definitions)
	maps.Copy(w.Tables, simulation.Tables())
	engines := declared.Engines
	compared, searches := enterprise.Searches(f.Enterprises, f.Style, lookup)
	definitions, engines = append(definitions, compared...), append(engines, searches...)
	mix := &risk.FarmMix{Specs: f.Enterprises, Running: f.Running(), Channels: f.Channels, Units: f.Units, Place: f.Place}
	for _, kind := range f.Plan.Land {
		mix.Land = append(mix.Land, kind.ID)
	}
	maps.Copy(w.Tables, mix.Tables(func(name string) bool { return known[name] != nil }))
	engines = append(engines, mix.Engine())
	happened := actual.Declare(declared, f.Units, f.Records)
	engines = append(engines, happened.Engines...)
	var texts []figures.Definition
	for name, words := range w.Facts {
		texts = append(texts, figures.Definition{Name: name, Label: say.Own(name), Place: f.Place, Words: words, Hidden: true})
	}
	slices.SortFunc(texts, func(a, b figures.Definition) int { return strings.Compare(a.Name, b.Name) })
	definitions = slices.Concat(definitions, declared.Definitions, happened.Definitions, texts, chapters)
	engines = append(slices.Concat(engines, scenarios.Engines()), simulation.Engine())
	if f.Broken != nil {
		definitions = append(definitions, f.lost(f.Broken)...)
	}
	var err error
	w.Graph, err = figures.BuildBeyond(f.beyond(lookup), f.Units, f.Plan.Years, definitions, engines, Functions...)
	errs.Add(err)
	if err == nil && f.Broken == nil { // else names in them follow from what is broken
		errs = slices.Concat(errs, scenarios.Mistakes(w.Graph), simulation.Mistakes(w.Graph), happened.Mistakes())
	}
	w.Warnings = errs.Of(source.Warning)
	if err := errs.Err(); err != nil {
		return w, err
	}
	maps.Copy(w.Tables, happened.Tables(w.Graph))
	base := w.Graph.Base()
	if simulate {
		base.Ask(w.Graph.All()...)
	}
	for _, x := range w.Graph.All() {
		if x.Text && !base.Waits(x) {
			w.Facts[x.Name] = base.Text(x)
		}
	}
	return w, errs.Err()
}

// lost stand for the figures that rest on the whole farm, if it has a mistake.
func (f *Farm) lost(why *source.Error) []figures.Definition {
	names := []string{"plan", "mix", "risk", "scenarios", "actual"}
	for i := range f.Enterprises {
		for _, word := range []string{enterprise.LivingWord, enterprise.LivingHiredWord, enterprise.AtBestWord, "rank"} {
			names = append(names, f.Enterprises[i].ID+"."+word)
		}
	}
	all := make([]figures.Definition, len(names))
	for i, name := range names {
		all[i] = figures.Definition{Name: name, Place: f.Place, Hidden: true, Failed: why}
	}
	return all
}
