package season

import "math"

// A Store says how long a harvest keeps and what it loses. The zero Store keeps
// nothing beyond the week of picking.
type Store struct {
	Weeks int     // how many weeks after that of picking it may still be sold
	Lost  float64 // share that is lost in a week of keeping
}

// A Serving is what came of a harvest by week.
type Serving struct {
	Served []float64 // of what was wanted, by week
	Kept   []float64 // in store at the end of each week
	Spoilt []float64 // lost in store or kept too long, in the week that ends it
}

// A lot is what one week's picking has left.
type lot struct {
	week int
	left float64
}

// Serve gives out a harvest against what is wanted, by week, the oldest first.
// What its last week leaves over is spoilt; so is what keeping loses.
func (s Store) Serve(harvest, wanted []float64) Serving {
	out := Serving{make([]float64, len(wanted)), make([]float64, len(wanted)), make([]float64, len(wanted))}
	var lots []lot
	for week := range wanted {
		for i := range lots {
			gone := float64(lots[i].left * s.Lost)
			out.Spoilt[week] += gone
			lots[i].left -= gone
		}
		lots = append(lots, lot{week, harvest[week]})
		kept := lots[:0]
		for _, l := range lots {
			give := math.Min(l.left, wanted[week]-out.Served[week])
			out.Served[week] += give
			l.left -= give
			switch {
			case l.left == 0:
			case l.week+s.Weeks <= week:
				out.Spoilt[week] += l.left
			default:
				out.Kept[week] += l.left
				kept = append(kept, l)
			}
		}
		lots = kept
	}
	return out
}
