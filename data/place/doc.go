// Package place reads what a farm may have of its land and weather beside its YAML:
// daily records, a map and heights. Each is optional.
//
// # Daily records
//
// A CSV file with a row a day, oldest first, and a heading that names the columns:
//
//	date,rain,tmin,tmax
//	2024-01-01,3.2,1.5,7.0
//	2024-01-02,,0.4,6.1
//
// Dates are written as ISO 8601 has them. A cell left empty was not measured. The
// names and units of the columns are the farm's own (millimetres and degrees Celsius
// where it says nothing); columns that are not named are left alone. Days that are
// missing are told as a warning, what can't be is a mistake.
//
// # The map
//
// GeoJSON as RFC 7946 has it: a FeatureCollection, positions with longitude first, in
// degrees of WGS84. Each feature has a name, and may have a kind, among its
// properties:
//
//	{"type": "FeatureCollection", "features": [
//	  {"type": "Feature", "properties": {"name": "top_field", "kind": "field"},
//	   "geometry": {"type": "Polygon", "coordinates": [[[0.12, 52.2], [0.13, 52.2], [0.13, 52.21], [0.12, 52.2]]]}}]}
//
// Rings that run with the clock, as older programs write them, are turned round.
//
// # Heights
//
// An ASCII grid: a heading, then rows from north to south, all in metres on a plan
// such as the UTM grid's. Heights that are not known have the number that
// nodata_value names (-9999 where nothing is said).
//
//	ncols 4
//	nrows 3
//	xllcorner 303000
//	yllcorner 5787000
//	cellsize 5
//	nodata_value -9999
//	31.2 31.0 30.7 30.5
//	30.9 30.6 30.4 30.1
//	30.5 30.2 30.0 -9999
//
// Or points in square, a row each, in any order:
//
//	east,north,height
//	303002.5,5787012.5,31.2
//	303007.5,5787012.5,31.0
package place
