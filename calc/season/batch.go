package season

import "fmt"

// A Batch is animals that come in on one day.
type Batch struct {
	Name  string
	Start Day
	Heads float64
}

// Batches lays out a number of batches, one every so many days.
func Batches(name string, first Day, every, number int, heads float64) []Batch {
	all := make([]Batch, number)
	for i := range all {
		all[i] = Batch{fmt.Sprintf("%s %d", name, i+1), first + Day(i*every), heads}
	}
	return all
}

// A Task is something to do on days of each batch: to order, to move, to catch, to
// deliver.
type Task struct {
	Name, Title string
	From        int // from the batch's start, as 0; below 0 before it
	Days        int // how many; one if 0
	Person      string
}

// Dates writes the tasks of batches as events, batch by batch.
func Dates(batches []Batch, tasks []Task) []Event {
	var events []Event
	for _, b := range batches {
		for _, t := range tasks {
			events = append(events, Event{
				Name: b.Name + "/" + t.Name, Title: b.Name + ": " + t.Title, Group: b.Name, Person: t.Person,
				From: b.Start + Day(t.From), To: b.Start + Day(t.From+max(1, t.Days)-1),
			})
		}
	}
	return events
}

// A Rearing says by week of age what one living animal takes. A batch is gone when
// the weeks of Feed are over; shorter lists end in nothing.
type Rearing struct {
	Feed  []float64 // kg in the week
	Water []float64 // L in the week
	Space []float64 // m2
	Alive []float64 // share of those that came in that is alive; all where it ends
}

// Needs are what batches take in each week of a plan.
type Needs struct {
	Heads []float64 // alive, the most of any day
	Feed  []float64 // kg
	Water []float64 // L
	Space []float64 // m2, the most of any day
}

// Weeks adds up what batches take in each week from the one that begins on a day.
func (r Rearing) Weeks(batches []Batch, from Day, weeks int) Needs {
	n := Needs{make([]float64, weeks), make([]float64, weeks), make([]float64, weeks), make([]float64, weeks)}
	for day := range 7 * weeks {
		heads, space := 0.0, 0.0
		for _, b := range batches {
			age := int(from) + day - int(b.Start)
			if age < 0 || age >= 7*len(r.Feed) {
				continue
			}
			alive := float64(b.Heads * at(r.Alive, age/7, 1))
			heads += alive
			space += float64(alive * at(r.Space, age/7, 0))
			n.Feed[day/7] += alive * r.Feed[age/7] / 7
			n.Water[day/7] += alive * at(r.Water, age/7, 0) / 7
		}
		n.Heads[day/7] = max(n.Heads[day/7], heads)
		n.Space[day/7] = max(n.Space[day/7], space)
	}
	return n
}

func at(x []float64, i int, beyond float64) float64 {
	if i < len(x) {
		return x[i]
	}
	return beyond
}

// Growing returns the feed of each week from weights: weights[i] is that at the
// beginning of week i, and the last one that at the end; conversion is the feed
// for each kilogram of gain in the week.
func Growing(weights, conversion []float64) []float64 {
	feed := make([]float64, len(conversion))
	for i, c := range conversion {
		feed[i] = c * (weights[i+1] - weights[i])
	}
	return feed
}

// Orders returns the bags to have in each week where they are ordered every so
// many weeks, for all that is fed until the next order; stock is what there is at
// the beginning, in the measure of the need.
func Orders(need []float64, bag, stock float64, every int) []int {
	orders := make([]int, len(need))
	every = max(1, every)
	for week := 0; week < len(need); week += every {
		fed := total(need[week:min(week+every, len(need))])
		if fed > stock*(1+shade) {
			orders[week] = count((fed - stock) / bag)
		}
		stock += float64(float64(orders[week])*bag) - fed
	}
	return orders
}
