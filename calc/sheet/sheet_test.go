package sheet

import (
	"fmt"
	"math"
	"math/rand"
	"strings"
	"testing"

	"golang.org/x/text/language"

	"rickyard/calc/figures"
	"rickyard/calc/formula"
	"rickyard/calc/quantity"
	"rickyard/calc/say"
	"rickyard/calc/source"
)

// A maker builds a graph of inputs.
type maker struct {
	t     *testing.T
	units *quantity.System
	all   []figures.Definition
}

func newMaker(t *testing.T) *maker {
	t.Helper()
	units, err := quantity.NewSystem("GBP", []quantity.Thing{{Name: "hen"}})
	if err != nil {
		t.Fatal(err)
	}
	return &maker{t: t, units: units}
}

func (m *maker) input(name string, value float64, unit string) {
	m.all = append(m.all, figures.Definition{Name: name, Label: say.Own(name), Value: quantity.Quantity{Value: m.units.Must(unit).ToBase(value), Unit: m.units.Must(unit)}})
}

func (m *maker) series(name string, values []float64, unit string) {
	u := m.units.Must(unit)
	base := make([]float64, len(values))
	for i, x := range values {
		base[i] = u.ToBase(x)
	}
	m.all = append(m.all, figures.Definition{Name: name, Label: say.Own(name), Series: base, Value: quantity.Quantity{Unit: u}})
}

func (m *maker) worked(name, formula string) {
	m.all = append(m.all, figures.Definition{Name: name, Label: say.Own(name), Formula: source.New("test", formula).Whole()})
}

func (m *maker) print(table Table) *Printed {
	m.t.Helper()
	g, err := figures.Build(m.units, 5, m.all)
	if err != nil {
		m.t.Fatal(err)
	}
	printed, err := table.Print(g, quantity.NewStyle(m.units, language.BritishEnglish))
	if err != nil {
		m.t.Fatal(err)
	}
	return printed
}

// number reads a printed number back, as a reader would.
func number(t *testing.T, text string) float64 {
	t.Helper()
	var x float64
	clean := strings.NewReplacer(",", "", "−", "-").Replace(text)
	if _, err := fmt.Sscanf(clean, "%g", &x); err != nil {
		t.Fatalf("%q is not a number", text)
	}
	return x
}

// A reader with a pencil adds up each column of a budget with sums of sums: of
// a thousand, none may be out by a penny.
func TestBudgetsFootAsPrinted(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	for n := range 1000 {
		m := newMaker(t)
		size := math.Pow(10, float64(r.Intn(5)))
		sales, costs := 1+r.Intn(6), 1+r.Intn(8)
		table := Table{Columns: []Column{{Foots: true}, {Share: true}}}
		group := func(name string, count int) int {
			var parts []Part
			var names []string
			for i := range count {
				id := fmt.Sprintf("%s%d", name, i)
				m.input(id, size*(r.Float64()-0.1), "GBP")
				names = append(names, id)
				parts = append(parts, Part{Row: len(table.Rows)})
				table.Rows = append(table.Rows, Row{Kind: Line, Label: say.Own(id), Cells: []string{id}})
			}
			m.worked(name, strings.Join(names, " + "))
			table.Rows = append(table.Rows, Row{Kind: Sub, Label: say.Own(name), Cells: []string{name}, Parts: parts, Whole: name == "sales"})
			return len(table.Rows) - 1
		}
		s, c := group("sales", sales), group("costs", costs)
		m.worked("margin", "sales - costs")
		table.Rows = append(table.Rows, Row{Kind: Total, Label: "margin", Cells: []string{"margin"}, Parts: []Part{{Row: s}, {Row: c, Minus: true}}})
		printed := m.print(table)
		for i, row := range printed.Rows {
			if len(row.Parts) == 0 {
				continue
			}
			for column := range table.Columns {
				if printed.Rows[i].Cells[column].Text == "" {
					continue // no share of nothing
				}
				sum := 0.0
				for _, part := range row.Parts {
					sum += sign(part) * number(t, printed.Rows[part.Row].Cells[column].Text)
				}
				if want := number(t, row.Cells[column].Text); math.Abs(sum-want) > 1e-6 {
					t.Fatalf("budget %d: %s prints %v, its parts add up to %v", n, row.Label, want, sum)
				}
			}
		}
	}
}

// A table of months adds up along its rows and down its columns.
func TestMonthsFootBothWays(t *testing.T) {
	r := rand.New(rand.NewSource(2))
	for n := range 300 {
		m := newMaker(t)
		table := Table{Months: true}
		var names []string
		var parts []Part
		for i := range 1 + r.Intn(9) {
			id := fmt.Sprintf("task%d", i)
			months := make([]float64, 12)
			for k := range months {
				if r.Intn(3) > 0 {
					months[k] = 40 * r.Float64()
				}
			}
			m.series(id, months, "h")
			names = append(names, id)
			parts = append(parts, Part{Row: i})
			table.Rows = append(table.Rows, Row{Kind: Line, Label: say.Own(id), Of: id})
		}
		m.worked("all", strings.Join(names, " + "))
		table.Rows = append(table.Rows, Row{Kind: Total, Label: "all", Of: "all", Parts: parts})
		printed := m.print(table)
		last := len(printed.Rows) - 1
		down := make([]float64, 13)
		for i, row := range printed.Rows {
			along := 0.0
			for k := range 12 {
				x := number(t, row.Cells[k].Text)
				along += x
				if i < last {
					down[k] += x
				}
			}
			year := number(t, row.Cells[12].Text)
			if math.Abs(along-year) > 1e-6 {
				t.Fatalf("table %d: %s adds up to %v along its months, and prints %v", n, row.Label, along, year)
			}
			if i < last {
				down[12] += year
			}
		}
		for k, sum := range down {
			if want := number(t, printed.Rows[last].Cells[k].Text); math.Abs(sum-want) > 1e-6 {
				t.Fatalf("table %d: column %d adds up to %v, and prints %v", n, k, sum, want)
			}
		}
	}
}

func TestColumns(t *testing.T) {
	m := newMaker(t)
	m.input("hens", 400, "hen")
	m.input("eggs", 0.275, "kg/hen")
	m.input("cost", 12.5, "GBP/hen")
	m.input("house", 4800, "GBP")
	m.input("repair", 96.4, "GBP")
	m.worked("rent", `none("rented out")`)
	table := Table{Name: "mixed", Head: "Item", Columns: []Column{{Label: "Of each"}, {Label: "Money", Foots: true}}, Rows: []Row{
		{Kind: Line, Label: "Hens", Cells: []string{"hens", ""}},
		{Kind: Line, Label: "Eggs", Cells: []string{"eggs", ""}},
		{Kind: Line, Label: "House", Cells: []string{"cost", "house"}},
		{Kind: Line, Label: "Repair", Cells: []string{"", "repair"}},
		{Kind: Total, Label: "All", Parts: []Part{{Row: 2}, {Row: 3}}},
		{Kind: Line, Label: "Rent", Cells: []string{"rent", ""}},
	}}
	printed := m.print(table)
	for i, want := range [][2]string{{"400\u00a0hens", ""}, {"0.275\u00a0kg/hen", ""}, {"£12.50/hen", "4,800"}, {"", "96"}, {"", "4,896"}, {"–", ""}} {
		for k, text := range want {
			if got := printed.Rows[i].Cells[k].Text; got != text {
				t.Errorf("row %s, column %d: %q, want %q", printed.Rows[i].Label, k, got, text)
			}
		}
	}
	if printed.Heads[1] != "Money, £" {
		t.Errorf("the money column is headed %q", printed.Heads[1])
	}
}

func TestUnknownFigure(t *testing.T) {
	m := newMaker(t)
	m.input("hens", 1, "hen")
	g, err := figures.Build(m.units, 5, m.all)
	if err != nil {
		t.Fatal(err)
	}
	table := Table{Name: "odd", Columns: []Column{{}}, Rows: []Row{{Kind: Line, Cells: []string{"cocks"}}}}
	if _, err := table.Print(g, quantity.NewStyle(m.units, language.BritishEnglish)); err == nil || !strings.Contains(err.Error(), "cocks") {
		t.Errorf("an unknown figure gives %v", err)
	}
}

func TestSort(t *testing.T) {
	value := map[string]float64{"a": 2, "b": 3, "c": 1}
	for how, want := range map[string]string{"largest": "bac", "smallest": "cab", "name": "abc"} {
		table := Table{Rows: []Row{{Kind: Line, Label: "c"}, {Kind: Line, Label: "a"}, {Kind: Line, Label: "b"}, {Kind: Total, Label: "x"}}}
		Sort(&table, how, func(r Row) float64 { return value[r.Label.String()] })
		got := ""
		for _, r := range table.Rows[:3] {
			got += r.Label.String()
		}
		if got != want || table.Rows[3].Kind != Total {
			t.Errorf("%s: %s, want %s with the total last", how, got, want)
		}
	}
}

// The year of a table by month is what the kind of each row says: months flow
// together, a balance is its last, land its fullest month, a share their mean. A
// month without an answer has none, and the others have theirs. What measures
// something else has no place in the table.
func TestYearByKind(t *testing.T) {
	months := []float64{1, 2, 3, 4, 5, 6, 12, 6, 5, 4, 3, 9}
	for _, c := range []struct {
		kind formula.Kind
		unit string
		year float64
	}{{formula.Flow, "kg", 60}, {formula.Level, "kg", 9}, {formula.Number, "m2", 12}, {formula.Held, "kg", 12}, {formula.Number, "%", 5}} {
		m := newMaker(t)
		m.series("x", months, c.unit)
		m.all[0].Kind = c.kind
		row := m.print(Table{Months: true, Rows: []Row{{Kind: Line, Label: "x", Of: "x"}}}).Rows[0]
		if got := number(t, row.Cells[12].Text); got != c.year {
			t.Errorf("%v in %s: the year is %v, want %v", c.kind, c.unit, got, c.year)
		}
	}
	m := newMaker(t)
	m.series("x", months, "kg")
	m.worked("y", `if(x > 11 kg, none("too much"), x)`)
	cells := m.print(Table{Months: true, Rows: []Row{{Kind: Line, Label: "y", Of: "y"}}}).Rows[0].Cells
	for k, cell := range cells {
		if has := strings.ContainsAny(cell.Text, "0123456789"); has == (k == 6 || k == 12) {
			t.Errorf("column %d of a series without an answer in July says %q", k, cell.Text)
		}
	}
	m = newMaker(t)
	m.series("x", months, "kg")
	m.series("y", months, "h")
	g, err := figures.Build(m.units, 5, m.all)
	if err != nil {
		t.Fatal(err)
	}
	mixed := Table{Name: "mixed", Months: true, Rows: []Row{{Kind: Line, Label: "x", Of: "x"}, {Kind: Line, Label: "y", Of: "y"}}}
	if _, err := mixed.Print(g, quantity.NewStyle(m.units, language.BritishEnglish)); err == nil || !strings.Contains(err.Error(), "has y by month beside others in kg") {
		t.Errorf("weights and hours in one table: %v", err)
	}
}
