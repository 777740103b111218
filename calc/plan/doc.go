// Package plan is the plan of the whole farm.
package plan
