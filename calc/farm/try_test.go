package farm

import (
	"strings"
	"testing"

	"rickyard/calc/figures"
	"rickyard/calc/quantity"
	"rickyard/calc/source"
)

func tried(t *testing.T, price string, to ...Instead) *figures.Graph {
	t.Helper()
	units, err := quantity.NewSystem("GBP", nil)
	if err != nil {
		t.Fatal(err)
	}
	file := source.New("a.yaml", "x")
	input := func(name, text string) figures.Definition {
		q, err := units.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		return figures.Definition{Name: name, Place: file.Whole(), Value: q}
	}
	worked := func(name, text string) figures.Definition {
		return figures.Definition{Name: name, Place: file.Whole(), Formula: source.New("f", text).Whole()}
	}
	definitions := []figures.Definition{
		input("p.price", price), input("p.kept", "3 GBP"),
		worked("p.takings", "100 * price"), worked("p.little", "price - 2.5 GBP"), worked("p.share", "price / (1000 GBP) as 0.1 %"),
		worked("p.pays", "takings > 250 GBP"), worked("p.still", "kept * 2"),
		worked("p.answer", `if(price > 2.5 GBP, price, none("too little"))`),
		worked("plan.met.price", "p.price > 2.5 GBP"), worked("other.double", "p.price * 2"),
	}
	for i := range definitions {
		definitions[i].Scope, _, _ = strings.Cut(definitions[i].Name, ".")
	}
	(&Farm{Instead: to}).instead(definitions)
	g, err := figures.Build(units, 1, definitions)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func told(moves []Move) string {
	var names []string
	for _, m := range moves {
		names = append(names, m.Is.Name)
	}
	return strings.Join(names, " ")
}

// Of a price that goes from 2.00 to 3.00: takings move by a third of 300, what is
// left of 2.50 (from -0.50 to 0.50) by 1 in 3, since money below a hundredth of
// 300 counts as that, and a share of 0.3 % by 0.1 in 10.
func TestMoves(t *testing.T) {
	was, is := tried(t, "2 GBP"), tried(t, "3 GBP")
	part := func(f *figures.Figure) string {
		if strings.HasPrefix(f.Name, "p.") {
			return "P"
		}
		return ""
	}
	moves := Moves(was, is, part)
	if len(moves) != 1 {
		t.Fatalf("parts: %v", moves)
	}
	for _, m := range moves["P"] {
		want := map[string]float64{"p.takings": 1. / 3, "p.little": 1. / 3, "p.share": 0.01, "p.answer": 0}
		if x, ok := want[m.Is.Name]; !ok || m.By < x-1e-12 || m.By > x+1e-12 {
			t.Errorf("%s moved by %v", m.Is.Name, m.By)
		}
	}
	if got := told(moves["P"]); !strings.HasSuffix(got, "p.share p.answer") || strings.Count(got, " ") != 3 {
		t.Errorf("moved: %s", got)
	}
	if got := told(Flips(was, is)); got != "plan.met.price p.pays" {
		t.Errorf("flips: %s", got)
	}
	if moves, flips := Moves(was, was, part), Flips(was, was); len(moves)+len(flips) > 0 {
		t.Errorf("nothing was tried, but %v %v moved", moves, flips)
	}
}

// What is set in place of an input or of a formula is worked with; a formula that
// is multiplied still follows its inputs.
func TestInstead(t *testing.T) {
	units, _ := quantity.NewSystem("GBP", nil)
	three, _ := units.Parse("3 GBP")
	half, _ := units.Parse("0.5")
	for _, c := range []struct {
		name string
		to   []Instead
		want float64
	}{
		{"p.takings", []Instead{{Name: "p.price", Value: three}}, 300},
		{"p.takings", []Instead{{Name: "p.takings", Times: true, Value: half}, {Name: "p.price", Value: three}}, 150},
		{"p.takings", []Instead{{Name: "p.takings", Value: three}}, 3},
		{"p.share", []Instead{{Name: "p.share", Times: true, Value: half}}, 0.001},
		{"p.still", []Instead{{Name: "p.kept", Times: true, Value: half}}, 3},
	} {
		if got := tried(t, "2 GBP", c.to...).Lookup(c.name).Current(); got < c.want-1e-12 || got > c.want+1e-12 {
			t.Errorf("%s with %+v: %v, expected %v", c.name, c.to, got, c.want)
		}
	}
}
