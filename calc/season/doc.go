// Package season plans a year: crops on beds, herds on paddocks, batches,
// trays, rations, births and the people who do the work.
//
// Every planner is a pure function from what is wanted to what must be done and
// when. None knows a file, a graph or the clock. What can't be had is part of
// the answer, with the week and the reason, and never an error: a plan that falls
// short is news that its farmer needs. Panics are for slices of the wrong length.
//
// Weeks are counted from the first week of the plan, as 0. That week may lie
// anywhere in the year, so a southern farm begins its year in July and its
// series of the climate with it. Weights are in kilograms, areas in hectares
// where grass is meant and lengths of beds in metres, times in days unless named.
package season
