package season

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// By pencil: a tractor job that only Ben may do fills his week, so that Ana must
// milk, though milking is Ben's.
func TestShare(t *testing.T) {
	people := []Person{{Name: "Ana", Hours: []float64{40, 40}}, {Name: "Ben", Hours: []float64{30, 30}, Skills: []string{"tractor"}}}
	jobs := []Job{
		{Name: "Milking", Hours: []float64{20, 20}, Owner: 1},
		{Name: "Hay", Hours: []float64{30, 0}, Owner: -1, Needs: "tractor"},
		{Name: "Fence", Hours: []float64{5, 5}, Owner: -1, Hands: 2, Hardly: true},
		{Name: "Books", Hours: []float64{25, 4}, Owner: 0, Hardly: true},
	}
	r := Share(jobs, people)
	if got, want := fmt.Sprint(r.Hours[0]), "[[20 0 0 20] [0 30 0 0]]"; got != want {
		t.Errorf("week 0: %v, want %v", got, want)
	}
	alike(t, "left over in week 0", r.Short[0], []float64{0, 0, 10, 5})
	if got, want := fmt.Sprint(r.Hours[1]), "[[0 0 5 4] [20 0 5 0]]"; got != want {
		t.Errorf("week 1: %v, want %v", got, want)
	}
	alike(t, "left over in week 1", r.Short[1], []float64{0, 0, 0, 0})
	// Ben is away: hay can't be made, the fence wants two.
	r = Share(jobs, Away(people, 1, 0, 1))
	alike(t, "without Ben", r.Short[0], []float64{0, 30, 10, 5})
	if people[1].Hours[0] != 30 || r.Short[1][0] != 0 {
		t.Error("Ben is away for good")
	}
}

// Against the sum over all ways to choose jobs: where the hours of some jobs are
// more than all who can do them have, that much is left over and no more (Hall's
// condition, as the max-flow min-cut theorem gives it).
func TestShareLeavesLeast(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 17))
	for range 2000 {
		skills := []string{"a", "b", ""}
		var jobs []Job
		for j := range 1 + r.IntN(5) {
			jobs = append(jobs, Job{Name: fmt.Sprint(j), Hours: []float64{float64(r.IntN(12))}, Hands: 1 + r.IntN(2), Owner: -1 + r.IntN(2), Needs: skills[r.IntN(3)], Hardly: r.IntN(3) == 0})
		}
		var people []Person
		for p := range 1 + r.IntN(4) {
			people = append(people, Person{Name: fmt.Sprint(p), Hours: []float64{float64(r.IntN(20))}, Skills: skills[:r.IntN(3)]})
		}
		rota := Share(jobs, people)
		for p, hours := range rota.Hours[0] {
			if total(hours) > people[p].Hours[0]+1e-6 {
				t.Fatalf("%v works %v", people[p], hours)
			}
			for j, h := range hours {
				if h < -1e-9 || h > jobs[j].Hours[0]+1e-9 || h > 0 && !people[p].can(jobs[j]) {
					t.Fatalf("%v does %g h of %v", people[p], h, jobs[j])
				}
			}
		}
		for j, job := range jobs {
			done := rota.Short[0][j]
			for p := range people {
				done += rota.Hours[0][p][j]
			}
			near(t, "hours of a job", done, job.Hours[0]*float64(job.Hands), 1e-6)
			joint := (job.Hours[0]*float64(job.Hands) - rota.Short[0][j]) / float64(job.Hands)
			for p := range people {
				if rota.Hours[0][p][j] > joint+1e-6 {
					t.Fatalf("%v is done for %g h, of which one does %g", job, joint, rota.Hours[0][p][j])
				}
			}
		}
		// A job for two that can't be done with all hands leaves more.
		left, must := total(rota.Short[0]), mustLeave(jobs, people)
		if two := slices.ContainsFunc(jobs, func(j Job) bool { return j.Hands > 1 }); left < must-1e-6 || left > must+1e-6 && (!two || must == 0) {
			t.Fatalf("%g h are left over, %g must be", left, must)
		}
	}
}

// mustLeave is the least that is left over: the most, over all sets of jobs, of
// what they want beyond what people can give them.
func mustLeave(jobs []Job, people []Person) (most float64) {
	for set := range 1 << len(jobs) {
		wanted, given := 0.0, 0.0
		for j, job := range jobs {
			if set>>j&1 == 1 {
				wanted += job.Hours[0] * float64(job.Hands)
			}
		}
		for _, p := range people {
			able := 0.0
			for j, job := range jobs {
				if set>>j&1 == 1 && p.can(job) {
					able += job.Hours[0]
				}
			}
			given += min(able, p.Hours[0])
		}
		most = max(most, wanted-given)
	}
	return most
}
