package season

import (
	"cmp"
	"math"
	"slices"
)

// A Job is work that recurs: so many hours in each week.
type Job struct {
	Name   string
	Hours  []float64 // by week, of each of those who do it together
	Hands  int       // how many do it together, 1 or more
	Owner  int       // who does it where they can, or -1
	Needs  string    // a licence or skill that each of them must have; may be empty
	Hardly bool      // can be put off: it is given out last
}

// A Person is somebody who works.
type Person struct {
	Name   string
	Hours  []float64 // that they can and will work in each week; 0 when away
	Skills []string
}

// A Rota is who does what.
type Rota struct {
	Hours [][][]float64 // by week, person and job
	Short [][]float64   // hours that nobody does, by week and job, of all hands together
}

// Share gives out the hours of each week: first what cannot wait, first to those
// whose work it is, and so that as few hours as can be are left over. A job for two
// is done by two different people; nobody does more hours of it than it lasts.
func Share(jobs []Job, people []Person) Rota {
	weeks := 0
	for _, j := range jobs {
		weeks = max(weeks, len(j.Hours))
	}
	var r Rota
	for w := range weeks {
		hours, short := shareWeek(jobs, people, w)
		r.Hours, r.Short = append(r.Hours, hours), append(r.Short, short)
	}
	return r
}

// Away returns the people with one of them away for some weeks.
func Away(people []Person, who, from, weeks int) []Person {
	out := append([]Person{}, people...)
	out[who].Hours = append([]float64{}, people[who].Hours...)
	for w := from; w < from+weeks && w < len(out[who].Hours); w++ {
		out[who].Hours[w] = 0
	}
	return out
}

// A dayBook is one week's hours being given out, as a flow from jobs to people
// that is only ever added to: giving one hour may move others from person to
// person, but takes none from a job that has it.
type dayBook struct {
	jobs   []Job
	people []Person
	able   [][]bool
	given  [][]float64 // by person and job
	free   []float64   // by person
	most   []float64   // by job, of one person
	open   []float64   // by job, hours that are still to be given
}

// shareWeek gives out one week. A job that lacks hands is then done for as long
// as enough people do it together, and the week given out anew: hours of one
// person at a job for two help nobody.
func shareWeek(jobs []Job, people []Person, week int) (given [][]float64, short []float64) {
	hours := make([]float64, len(jobs))
	for j, job := range jobs {
		hours[j] = at(job.Hours, week, 0)
	}
	for again := true; again; {
		given = giveOut(jobs, people, hours, week)
		again = false
		for j, job := range jobs {
			if joint := together(given, j, job.hands()); joint < hours[j]-least {
				hours[j], again = joint, true
			}
		}
	}
	short = make([]float64, len(jobs))
	for j, job := range jobs {
		if lacks := at(job.Hours, week, 0) - hours[j]; lacks > least {
			short[j] = lacks * float64(job.hands())
		}
	}
	return given, short
}

func (j Job) hands() int { return max(1, j.Hands) }

// together is how long so many people do a job at a time: the longest time of
// which their hours, of each no more than it, make up all hands. The busiest do it
// throughout, the others take turns at the hands that are left.
func together(given [][]float64, j, hands int) float64 {
	var own []float64
	rest := 0.0
	for p := range given {
		own = append(own, given[p][j])
		rest += given[p][j]
	}
	slices.SortFunc(own, func(a, b float64) int { return cmp.Compare(b, a) })
	for full := range hands - 1 {
		joint := rest / float64(hands-full)
		if full == len(own) || own[full] <= joint {
			return joint
		}
		rest -= own[full]
	}
	return rest
}

// giveOut gives so many hours of each job, for each hand, to the people of a week.
func giveOut(jobs []Job, people []Person, hours []float64, week int) [][]float64 {
	b := dayBook{jobs: jobs, people: people, most: hours}
	for _, p := range people {
		b.free = append(b.free, at(p.Hours, week, 0))
		b.given = append(b.given, make([]float64, len(jobs)))
		able := make([]bool, len(jobs))
		for j := range jobs {
			able[j] = p.can(jobs[j])
		}
		b.able = append(b.able, able)
	}
	for j, job := range jobs {
		b.open = append(b.open, hours[j]*float64(job.hands()))
	}
	for _, waits := range []bool{false, true} {
		for j := range jobs {
			if jobs[j].Hardly == waits && jobs[j].Owner >= 0 {
				b.give(j, jobs[j].Owner)
			}
		}
		for j := range jobs {
			for jobs[j].Hardly == waits && b.open[j] > least && b.augment(j) {
			}
		}
	}
	return b.given
}

// least is an hour so short that it is nothing, in hours.
const least = 1e-9

func (p Person) can(j Job) bool {
	if j.Needs == "" {
		return true
	}
	for _, s := range p.Skills {
		if s == j.Needs {
			return true
		}
	}
	return false
}

// give lets a person do as much of a job as they have time for.
func (b *dayBook) give(j, p int) {
	if !b.able[p][j] {
		return
	}
	hours := math.Min(b.open[j], math.Min(b.free[p], b.most[j]-b.given[p][j]))
	b.given[p][j] += hours
	b.free[p] -= hours
	b.open[j] -= hours
}

// augment finds somebody with time for a job, if need be by moving other jobs
// from person to person in a chain, the shortest that there is. It is false where
// there is none: then no hour more of the job can be done beside those given out.
func (b *dayBook) augment(j int) bool {
	type step struct{ person, job, back int } // the person takes job over; back is who hands it on, as a place in the queue
	var queue []step
	seen := make([]bool, len(b.people))
	reach := func(job, back int) {
		for p := range b.people {
			if !seen[p] && b.able[p][job] && b.most[job]-b.given[p][job] > least {
				seen[p] = true
				queue = append(queue, step{p, job, back})
			}
		}
	}
	reach(j, -1)
	for i := 0; i < len(queue); i++ {
		p := queue[i].person
		if b.free[p] > least {
			hours := math.Min(b.open[j], b.free[p])
			for k := i; k >= 0; k = queue[k].back {
				hours = math.Min(hours, b.most[queue[k].job]-b.given[queue[k].person][queue[k].job])
				if back := queue[k].back; back >= 0 {
					hours = math.Min(hours, b.given[queue[back].person][queue[k].job])
				}
			}
			b.free[p] -= hours
			b.open[j] -= hours
			for k := i; k >= 0; k = queue[k].back {
				b.given[queue[k].person][queue[k].job] += hours
				if back := queue[k].back; back >= 0 {
					b.given[queue[back].person][queue[k].job] -= hours
				}
			}
			return true
		}
		for job := range b.jobs {
			if b.given[p][job] > least {
				reach(job, i)
			}
		}
	}
	return false
}
