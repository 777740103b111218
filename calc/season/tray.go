package season

// An Order is what somebody wants on a day.
type Order struct {
	Name   string
	Day    Day
	Amount float64 // kg
}

// A Shoot is a microgreen as it is grown in trays.
type Shoot struct {
	Name  string
	Days  int     // from sowing to cutting
	Dark  int     // of which in the dark or under weight, from the first
	Hold  int     // days that it may lie cut and cold before it is delivered
	Yield float64 // kg of a tray
	Seed  float64 // g of a tray
	Sow   [7]bool // weekdays on which it is sown, from Monday; none for all
	Spare float64 // share of trays sown beyond those needed
}

// A Sowing is trays sown for one order.
type Sowing struct {
	Order     int
	Sown, Cut Day
	Trays     int
	Seed      float64 // g
}

// Sowings tells for each order when to sow how many trays: on the latest day for
// sowing from which it is cut in time and does not lie longer than it may. False
// marks an order that no such day serves; it has no sowing.
func (s Shoot) Sowings(orders []Order) (sowings []Sowing, served []bool) {
	served = make([]bool, len(orders))
	for i, o := range orders {
		for held := 0; held <= s.Hold && !served[i]; held++ {
			sown := o.Day - Day(held+s.Days)
			if !s.sows(sown) {
				continue
			}
			trays := count(o.Amount * (1 + s.Spare) / s.Yield)
			sowings = append(sowings, Sowing{i, sown, o.Day - Day(held), trays, float64(trays) * s.Seed})
			served[i] = true
		}
	}
	return sowings, served
}

func (s Shoot) sows(d Day) bool {
	_, weekday := d.Week()
	return s.Sow == [7]bool{} || s.Sow[weekday-1]
}

// Racks counts the trays of sowings that stand in the dark and in the light on
// each day from one on.
func (s Shoot) Racks(sowings []Sowing, from Day, days int) (dark, light []int) {
	dark, light = make([]int, days), make([]int, days)
	for _, w := range sowings {
		for d := max(w.Sown, from); d < min(w.Cut, from+Day(days)); d++ {
			if d < w.Sown+Day(s.Dark) {
				dark[d-from] += w.Trays
			} else {
				light[d-from] += w.Trays
			}
		}
	}
	return dark, light
}

// Standing counts what stands in a room in each week: units started in a week that
// come in so many weeks later and stay for a number of weeks.
func Standing(starts []int, after, stay int) []int {
	room := make([]int, len(starts))
	for week, n := range starts {
		for w := week + after; w < min(week+after+stay, len(room)); w++ {
			room[w] += n
		}
	}
	return room
}

// A Stage is one step in raising a plant for sale: cuttings struck, grafts made,
// liners potted on.
type Stage struct {
	Name string
	Lost float64 // share that does not come through
	Time int     // years, or whatever the sales are counted in, until the next stage or the sale
}

// Raise works back from sales to what each stage must begin with, by stage and
// year. Early is what would have had to be begun before the plan, by stage.
func Raise(stages []Stage, sales []float64) (begun [][]float64, early []float64) {
	begun, early = make([][]float64, len(stages)), make([]float64, len(stages))
	for s := range stages {
		begun[s] = make([]float64, len(sales))
	}
	for year, sold := range sales {
		need, when := sold, year
		for s := len(stages) - 1; s >= 0; s-- {
			need, when = nearCeil(need/(1-stages[s].Lost)), when-stages[s].Time
			if when < 0 {
				early[s] += need
			} else {
				begun[s][when] += need
			}
		}
	}
	return begun, early
}
