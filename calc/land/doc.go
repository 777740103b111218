// Package land measures a piece of land: areas and lengths on the globe and on a
// plan, a grid of heights with its slopes, contours and flowing water, sections
// along a line and the earth that a dig moves.
//
// It is handed numbers and gives numbers: no file format, no drawing. Lengths are
// in metres, areas in square metres, volumes in cubic metres, angles in degrees
// where a map gives them so (latitude, longitude, bearings) and slopes as rise over
// run. What has no answer is NaN.
//
// Nothing here sets anything out in the field. Heights from a map are good enough
// to think with; levels are taken on the ground.
package land
