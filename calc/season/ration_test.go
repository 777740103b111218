package season

import (
	"encoding/csv"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"rickyard/calc/linear/lineartest"
)

func feed(name string, price float64, holds ...float64) Ingredient {
	return Ingredient{Name: name, Price: price, Holds: holds}
}

// limited gives a feed its least and most.
func limited(g Ingredient, least, most float64) Ingredient {
	g.Least, g.Most = least, most
	return g
}

func inBags(g Ingredient, bag float64) Ingredient {
	g.Bag = bag
	return g
}

// Diet and feed problems with a known best mix.
var publishedMixes = []struct {
	source string
	ration Ration
	kg     []float64
	cost   float64
	within float64
}{
	{"an operations-research textbook's first diet problem, 437.65 printed",
		Ration{800, []Ingredient{feed("corn", 0.30, 0.09, 0.02), feed("soya", 0.90, 0.60, 0.06)}, []Need{{"protein", 240, 0}, {"fibre", 0, 40}}},
		[]float64{470.588, 329.412}, 437.647, 0.001},
	{"the same with 450 of corn at most",
		Ration{800, []Ingredient{limited(feed("corn", 0.30, 0.09, 0.02), 0, 450), feed("soya", 0.90, 0.60, 0.06)}, []Need{{"protein", 240, 0}, {"fibre", 0, 40}}},
		[]float64{450, 350}, 450, 0.001},
	{"an optimization textbook's animal-feed mix, table 2.1, 65, 3 and 32 % printed",
		Ration{1, []Ingredient{feed("maize", 30.5, 0.001, 0.09, 0.02), feed("lime", 10, 0.38, 0, 0), feed("soya", 90, 0.002, 0.50, 0.08)},
			[]Need{{"calcium", 0.008, 0.012}, {"protein", 0.22, 0}, {"fibre", 0, 0.05}}},
		[]float64{0.64857, 0.02817, 0.32326}, 49.1563, 1e-4},
	{"the blending example of an R library on linear inverse models",
		Ration{1, []Ingredient{feed("first", 40, 100, 50, 40, 10), feed("second", 60, 200, 150, 10, 0), feed("filler", 0, 0, 0, 0, 0)},
			[]Need{{"A", 80, 0}, {"B", 50, 0}, {"C", 25, 0}, {"D", 5, 0}}},
		[]float64{0.590909, 0.136364, 0.272727}, 31.8182, 1e-4},
	{"a Python library's blending problem, short form; its text cuts the cost to 96 cents",
		Ration{100, []Ingredient{feed("chicken", 0.013, 0.1, 0.08, 0.001, 0.002), feed("beef", 0.008, 0.2, 0.1, 0.005, 0.005)},
			[]Need{{"protein", 8, 0}, {"fat", 6, 0}, {"fibre", 0, 2}, {"salt", 0, 0.4}}},
		[]float64{33.3333, 66.6667}, 0.966667, 1e-4},
	{"a homework page on sacks of soya and oats prints 18/11 and 28/11 for 52, which is not the least",
		Ration{0, []Ingredient{feed("soya", 21, 70, 9, 7), feed("oats", 7, 21, 7, 1)}, []Need{{"a", 168, 0}, {"b", 27, 0}, {"c", 14, 0}}},
		[]float64{87. / 43, 54. / 43}, 51.2791, 1e-4},
	{"the same in whole sacks, as a second homework page prints",
		Ration{0, []Ingredient{inBags(feed("soya", 21, 70, 9, 7), 1), inBags(feed("oats", 7, 21, 7, 1), 1)}, []Need{{"a", 168, 0}, {"b", 27, 0}, {"c", 14, 0}}},
		[]float64{2, 2}, 56, 1e-6},
	{"a classroom feed mix of alfalfa and maize, worked out apart",
		Ration{0, []Ingredient{feed("alfalfa", 1, 1, 3, 1), feed("maize", 2, 1, 1, 6)}, []Need{{"a", 10, 0}, {"b", 15, 0}, {"c", 15, 0}}},
		[]float64{9, 1}, 11, 1e-6},
	{"a statistics program's manual, diet problem; the best mix worked out apart",
		Ration{0, []Ingredient{
			feed("bread", 2, 4, 1, 15, 90), limited(feed("milk", 3.5, 8, 5, 11.7, 120), 0, 1), feed("cheese", 8, 7, 9, 0.4, 106),
			feed("potato", 1.5, 1.3, 0.1, 22.6, 97), limited(feed("fish", 11, 8, 7, 0, 130), 0.5, 0), feed("yogurt", 1, 9.2, 1, 17, 180)},
			[]Need{{"protein", 0, 10}, {"fat", 8, 0}, {"carbohydrate", 10, 0}, {"energy", 300, 0}}},
		[]float64{0, 0.053599, 0.449499, 1.865168, 0.5, 0}, 12.08134, 1e-4},
}

func TestPublishedMixes(t *testing.T) {
	for _, c := range publishedMixes {
		m, err := c.ration.Cheapest()
		if err != nil {
			t.Errorf("%s: %v", c.source, err)
			continue
		}
		near(t, c.source+": cost", m.Cost, c.cost, c.within)
		for i, kg := range c.kg {
			near(t, c.source+": "+c.ration.Ingredients[i].Name, m.Kg[i], kg, c.within)
		}
	}
}

// stigler is the diet of 77 foods that began linear programming.
func stigler(t *testing.T) *Ration {
	t.Helper()
	f, err := os.Open("testdata/stigler.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	read := csv.NewReader(f)
	read.Comment = '#'
	rows, err := read.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	r := &Ration{}
	for i, least := range []float64{3, 70, 0.8, 12, 5, 1.8, 2.7, 18, 75} {
		r.Needs = append(r.Needs, Need{Name: []string{"energy", "protein", "calcium", "iron", "A", "B1", "B2", "niacin", "C"}[i], Least: least})
	}
	for _, row := range rows {
		g := Ingredient{Name: row[0], Price: 1}
		for _, cell := range row[1:] {
			x, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			g.Holds = append(g.Holds, x)
		}
		r.Ingredients = append(r.Ingredients, g)
	}
	return r
}

// 39.66 dollars a year: five foods of 77, as solvers' samples print it. History
// (Cambridge Statistical Laboratory) tells of 39.69 by hand in 1947 and of 39.93
// by Stigler's own reasoning.
func TestStigler(t *testing.T) {
	r := stigler(t)
	m, err := r.Cheapest()
	if err != nil || len(r.Ingredients) != 77 {
		t.Fatal(err, len(r.Ingredients))
	}
	near(t, "a year", 365*m.Cost, 39.6617, 0.001)
	bought := map[string]float64{"Wheat flour": 10.7745, "Liver": 0.6908, "Cabbage": 4.0933, "Spinach": 1.8278, "Navy beans": 22.2754}
	for i, g := range r.Ingredients {
		near(t, g.Name, 365*m.Kg[i], bought[g.Name], 0.001)
		if in := bought[g.Name] > 0; in != math.IsNaN(m.Enter[i]) {
			t.Errorf("%s would enter at %g", g.Name, m.Enter[i])
		}
		// The nearest to coming in is evaporated milk, at 0.956 of its price:
		// shadow prices worked out apart for 20 foods.
		if g.Name == "Evaporated milk" {
			near(t, "price at which evaporated milk comes in", m.Enter[i], 0.956, 0.0005)
		} else if m.Enter[i] > 0.956 {
			t.Errorf("%s comes in at %g", g.Name, m.Enter[i])
		}
		if !math.IsNaN(m.Enter[i]) && g.Name != "Milk" {
			continue
		}
		// Just below its price of entry a food is in the mix, just above it is not.
		if g.Name == "Milk" {
			for _, side := range []float64{0.99, 1.01} {
				r.Ingredients[i].Price = m.Enter[i] * side
				with, err := r.Cheapest()
				if err != nil || with.Kg[i] > 0 != (side < 1) {
					t.Errorf("at %g of its price of entry there are %g of milk (%v)", side, with.Kg[i], err)
				}
			}
			r.Ingredients[i].Price = 1
		}
	}
	// What needs save adds up to the cost: the strong duality of linear programs.
	sum := 0.0
	for n, need := range r.Needs {
		sum += m.Saves[n] * need.Least
	}
	near(t, "needs times what each saves", sum, m.Cost, 1e-6)
}

// randomRation has whole bags in some of its feeds.
func randomRation(r *rand.Rand) *Ration {
	ration := &Ration{Weight: float64(r.IntN(2)) * 100}
	needs := 1 + r.IntN(3)
	for range needs {
		least := math.Round(100 * r.Float64() * 5)
		ration.Needs = append(ration.Needs, Need{Least: least, Most: float64(r.IntN(2)) * (least + 200)})
	}
	for range 2 + r.IntN(5) {
		g := Ingredient{Price: 0.1 + r.Float64(), Least: float64(r.IntN(2) * r.IntN(5)), Most: float64(r.IntN(2)) * 60}
		if r.IntN(4) == 0 {
			g.Bag = 5
		}
		for range needs {
			g.Holds = append(g.Holds, math.Round(100*r.Float64()*10)/100)
		}
		ration.Ingredients = append(ration.Ingredients, g)
	}
	return ration
}

// The GNU Linear Programming Kit finds no cheaper mix, and none where we find none.
func TestMixesAgainstGLPK(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 17))
	none := 0
	for i := range 60 {
		ration := randomRation(r)
		p, _ := ration.program()
		gain, theirs := lineartest.GLPK(t, p)
		m, err := ration.Cheapest()
		if (err != nil) != (theirs != nil) {
			t.Fatalf("ration %d: %v here, %v there", i, err, theirs)
		}
		if err != nil {
			none++
			continue
		}
		near(t, "cost", m.Cost, -gain, 1e-5*math.Max(1, -gain))
		for n, need := range ration.Needs {
			if m.Holds[n] < need.Least-1e-4 || need.Most > 0 && m.Holds[n] > need.Most+1e-4 {
				t.Errorf("ration %d holds %g of %v", i, m.Holds[n], need)
			}
		}
	}
	if none == 0 || none > 40 {
		t.Errorf("%d of 60 have no mix", none)
	}
}

// fixed is a diet as it is printed: each feed as much as it says.
func fixed(t *testing.T, needs int, feeds ...Ingredient) Mix {
	t.Helper()
	r := Ration{Ingredients: feeds}
	for range needs {
		r.Needs = append(r.Needs, Need{})
	}
	m, err := r.Cheapest()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func weighed(kg float64, holds ...float64) Ingredient {
	return Ingredient{Holds: holds, Least: kg, Most: kg}
}

// What printed diets hold, from tables of feeds: NRC 1994 Table 9-1 for maize (8.5
// % protein, 3,350 kcal/kg) and soya meal (44 %, 2,230), from memory; fish meal 60
// % and 2,820, oil 8,800 kcal/kg.
func TestPrintedDiets(t *testing.T) {
	// Scientific Reports 2025, broiler diets, Table 1: starter 22.3 % protein and
	// 3,062 kcal/kg, finisher 20.3 %.
	m := fixed(t, 2, weighed(0.550, 8.5, 3350), weighed(0.350, 44, 2230), weighed(0.040, 60, 2820), weighed(0.030, 0, 8800))
	near(t, "starter's protein", m.Holds[0], 22.3, 0.4)
	near(t, "starter's energy", m.Holds[1], 3062, 0.03*3062)
	near(t, "the same to the digit", m.Holds[0], 22.475, 1e-6)
	m = fixed(t, 1, weighed(0.586, 8.5), weighed(0.320, 44), weighed(0.020, 60))
	near(t, "finisher's protein", m.Holds[0], 20.3, 0.4)
	// A layer diet in the Korean Journal of Poultry Science 45(3), Table 1: 9.35 %
	// limestone of 38 % calcium, in a diet of 3.80.
	m = fixed(t, 1, weighed(9.35, 0.38), weighed(53.65+18.25+3.86+11.27+1.60+1.05+0.30+0.15+0.02+0.50, 0))
	near(t, "limestone's calcium", m.Holds[0], 3.55, 0.005)
	near(t, "the parts", total(m.Kg), 100, 1e-9)
	// 3.25 g of calcium from oyster shell of 38 % alone, by pencil.
	shell := Ration{0, []Ingredient{feed("shell", 1, 0.38)}, []Need{{"calcium", 3.25, 0}}}
	if m, err := shell.Cheapest(); err != nil || math.Abs(m.Kg[0]-8.553) > 0.001 {
		t.Errorf("%v of shell (%v)", m.Kg, err)
	}
}

func TestInTheWay(t *testing.T) {
	r := Ration{100, []Ingredient{feed("straw", 0.1, 0.04, 0.4), feed("beans", 0.4, 0.25, 0.1)}, []Need{{"protein", 30, 0}, {"fibre", 0, 50}}}
	if _, err := r.Cheapest(); !errors.Is(err, ErrNoMix) {
		t.Errorf("30 parts of protein out of beans of 25: %v", err)
	}
	if got := r.InTheWay(); !equal(got, []int{0}) {
		t.Errorf("in the way is %v", got)
	}
	r.Needs[0].Least = 20
	if got := r.InTheWay(); got != nil {
		t.Errorf("in the way of a mix that is found is %v", got)
	}
	r.Needs = []Need{{"protein", 30, 0}, {"fibre", 0, 5}}
	if got := r.InTheWay(); len(got) != 0 {
		t.Errorf("two stand in the way, of which one is %v", got)
	}
}

// A feed that needs and limits keep out has no price at which it comes in; one at
// its least comes in beyond it; one at its most can't.
func TestEnter(t *testing.T) {
	r := Ration{100, []Ingredient{feed("barley", 0.2, 0.10), limited(feed("beans", 0.5, 0.25), 10, 0), limited(feed("meal", 0.3, 0.20), 0, 20)}, []Need{{"protein", 12, 0}}}
	m, err := r.Cheapest()
	if err != nil {
		t.Fatal(err)
	}
	// By pencil: 10 of beans bring 2.5, the rest of 9.5 out of 90 by barley and
	// meal: 5 of meal. A kilogram more of beans replaces 1.5 of meal for half a
	// kilogram of barley: worth 0.45 - 0.10 = 0.35.
	alike(t, "mix", m.Kg, []float64{85, 10, 5})
	near(t, "beans at their least", m.Enter[1], 0.35, 1e-6)
	if !math.IsNaN(m.Enter[0]) || !math.IsNaN(m.Enter[2]) {
		t.Errorf("what is in the mix enters at %v", m.Enter)
	}
	near(t, "protein", m.Saves[0], 1, 1e-6)
	r.Ingredients = append(r.Ingredients, limited(feed("sand", 0.01, -1e9), 0, 0))
	if m, err = r.Cheapest(); err != nil || m.Enter[3] > -1e3 && !math.IsNaN(m.Enter[3]) {
		t.Errorf("sand enters at %g (%v)", m.Enter[3], err)
	}
}
