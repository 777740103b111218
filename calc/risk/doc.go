// Package risk tells how far a result moves when its inputs do: by how much
// each input's low and high swing it, at which value of an input it reaches a
// level, which mix of enterprises is best, how often a plan's money runs out, and
// what a plan comes to when something happens.
//
// # Simulation
//
// Every input that the plan of the whole farm rests on and that has a low or a high
// is drawn, from a PERT or a triangular distribution on its range that is highest at
// its value, and the plan is worked out again; by default 10,000 times. A missing
// bound is the value itself. Inputs with a value for each month are not drawn, nor
// are those that Settings fixes.
//
// Inputs of one group move together by a common cause: the normal score of each is
// sqrt(r) of the cause's and sqrt(1-r) of one of its own, so that any two have the
// normal correlation r (a Gaussian copula with one factor; R. B. Nelsen, "An
// Introduction to Copulas"; from memory). Members that move against the others have
// the cause's score with the other sign.
//
// A run draws each input once and keeps it for all years of the plan; inputs of a
// group with EachYear are drawn for each year. What a plan reads once for all its
// years (loans, lives of equipment, tax) takes the last year's draw of those. Nobody
// in a run does anything about what happens. A figure that has no answer in a run
// counts as nothing there, and the runs in which that happens are counted.
//
// The draws come from ChaCha8, one stream for each input and block of 64 runs, seeded
// by the SHA-256 of the seed, the block and the input's name, and are made normal by
// the inverse of the distribution. So the answer is the same whatever number of cores
// shares the work; a further range leaves the draws of the rest as they are; and since
// figures are rounded to what is shown, the last binary digits in which processors
// differ don't reach the page, unless a result lies within them of a rounding's
// edge.
//
// # Scenarios
//
// A scenario sets some figures to a value, or to so many times what they are, for the
// whole plan or for some of its years, and works the plan out as it is. Of a person's
// hours, so many times may be said for single months.
package risk
